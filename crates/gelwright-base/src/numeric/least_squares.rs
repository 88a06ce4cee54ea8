//! Damped least squares with bounds, and the factor of the covariance at its end.
//!
//! Levenberg-Marquardt: a step solves `[J; sqrt(damping) D] s = [-r; 0]` by Householder reflections, so that no condition
//! number is squared; `D` holds the longest columns of `J` so far (J. J. Moré, *The Levenberg-Marquardt algorithm:
//! implementation and theory*, Lecture Notes in Mathematics 630:105 (1978) `[from memory]`). Bounds are kept by putting a point back inside.
//! `strd.rs` holds it to the reference sets of NIST.

use crate::error::Result;

/// How derivatives are taken.
#[derive(Debug, Clone, Copy)]
pub enum Derivatives {
    /// Forward by a fixed step, and carried along from step to step (C. G. Broyden, *A class of methods for solving
    /// nonlinear simultaneous equations*, Math. Comput. 19:577 (1965)): for a model that costs more than all else and that
    /// its own steps in time make rough.
    CarriedAlong {
        /// The step.
        step: f64,
    },
    /// Central at every point, by a part of each parameter: for a smooth model.
    Central,
}

/// How a search goes.
#[derive(Debug, Clone, Copy)]
pub struct Rules {
    /// How derivatives are taken.
    pub derivatives: Derivatives,
    /// Steps of a search.
    pub most_steps: u32,
    /// Longest step of a parameter.
    pub longest: f64,
    /// Part of the sum of squares (plus one, where they are carried along) by which a step must lessen it to go on.
    pub worth: f64,
}

impl Rules {
    /// For a model that follows cups, each parameter on a logarithm or its like.
    pub const fn followed(step: f64) -> Self {
        Rules {
            derivatives: Derivatives::CarriedAlong { step },
            most_steps: 40,
            longest: 1.5,
            worth: 1e-6,
        }
    }

    /// For a smooth formula.
    pub const SMOOTH: Rules = Rules {
        derivatives: Derivatives::Central,
        most_steps: 5000,
        longest: f64::INFINITY,
        worth: 1e-15,
    };
}

/// Tries of a step with more damping.
const MOST_TRIES: u32 = 10;
/// Tries where derivatives are fresh and cheap.
const MOST_TRIES_SMOOTH: u32 = 40;

/// Where a search has ended.
#[derive(Debug, Clone)]
pub struct Found {
    /// The parameters.
    pub at: Vec<f64>,
    /// The residuals there.
    pub residuals: Vec<f64>,
    /// Residuals by parameter, a row a residual.
    pub jacobian: Vec<Vec<f64>>,
}

impl Found {
    /// Sum of squares of the residuals.
    pub fn squares(&self) -> f64 {
        sum_of_squares(&self.residuals)
    }
}

/// Sum of the squares of numbers.
pub fn sum_of_squares(r: &[f64]) -> f64 {
    r.iter().map(|x| x * x).sum()
}

/// Lessens the sum of squares from a start. A model may answer what is no number where it cannot be: no step goes there.
///
/// # Errors
/// What the model says, or where it is cancelled.
pub fn least_squares(
    start: Vec<f64>,
    rules: &Rules,
    bounded: impl Fn(&mut [f64]),
    mut model: impl FnMut(&[f64]) -> Result<Vec<f64>>,
) -> Result<Found> {
    let carried = matches!(rules.derivatives, Derivatives::CarriedAlong { .. });
    let mut at = start;
    bounded(&mut at);
    let mut residuals = model(&at)?;
    let mut damping = 1e-3;
    let mut jacobian = derivatives(&at, &residuals, rules, &mut model)?;
    let mut scale = vec![0.0; at.len()];
    let mut fresh = true;
    let mut stalled = 0;
    for _ in 0..rules.most_steps {
        lengthen(&mut scale, &jacobian);
        let before = sum_of_squares(&residuals);
        let tries = match (carried, fresh) {
            (true, true) => MOST_TRIES,
            (true, false) => 2,
            (false, _) => MOST_TRIES_SMOOTH,
        };
        let mut better = None;
        for _ in 0..tries {
            let Some(s) = damped_step(&jacobian, &residuals, damping, &scale) else {
                damping *= 10.0;
                continue;
            };
            let mut to = at.clone();
            for (x, s) in to.iter_mut().zip(&s) {
                *x += s.clamp(-rules.longest, rules.longest);
            }
            bounded(&mut to);
            let there = model(&to)?;
            if sum_of_squares(&there) < before {
                better = Some((to, there));
                damping = (damping * 0.1).max(1e-12);
                break;
            }
            damping *= 8.0;
        }
        let done = match better {
            Some((to, there)) => {
                let gained = before - sum_of_squares(&there);
                if carried {
                    carry_along(&mut jacobian, (&at, &residuals), (&to, &there));
                }
                at = to;
                residuals = there;
                let little = gained <= rules.worth * (before + if carried { 1.0 } else { 0.0 });
                stalled = if little { stalled + 1 } else { 0 };
                // Where derivatives are central a flat valley may give little once and then much.
                let done = stalled >= if carried { 1 } else { 3 };
                if fresh && done {
                    fresh = false;
                    break;
                }
                fresh = false;
                done || !carried
            }
            None if fresh => break,
            None => true,
        };
        if done {
            jacobian = derivatives(&at, &residuals, rules, &mut model)?;
            fresh = true;
        }
    }
    if !fresh {
        jacobian = derivatives(&at, &residuals, rules, &mut model)?;
    }
    Ok(Found {
        at,
        residuals,
        jacobian,
    })
}

/// The longest columns so far.
fn lengthen(scale: &mut [f64], jacobian: &[Vec<f64>]) {
    for (j, s) in scale.iter_mut().enumerate() {
        let length = jacobian.iter().map(|row| row[j] * row[j]).sum::<f64>().sqrt();
        *s = s.max(length);
    }
}

/// Turns the derivatives so that they show the step that was taken.
fn carry_along(jacobian: &mut [Vec<f64>], (from, before): (&[f64], &[f64]), (to, after): (&[f64], &[f64])) {
    let step: Vec<f64> = to.iter().zip(from).map(|(a, b)| a - b).collect();
    let squared = sum_of_squares(&step);
    if squared <= 0.0 {
        return;
    }
    for (row, (after, before)) in jacobian.iter_mut().zip(after.iter().zip(before)) {
        let foreseen: f64 = row.iter().zip(&step).map(|(j, s)| j * s).sum();
        let missed = (after - before - foreseen) / squared;
        for (j, s) in row.iter_mut().zip(&step) {
            *j += missed * s;
        }
    }
}

fn derivatives(
    at: &[f64],
    residuals: &[f64],
    rules: &Rules,
    model: &mut impl FnMut(&[f64]) -> Result<Vec<f64>>,
) -> Result<Vec<Vec<f64>>> {
    let mut jacobian = vec![vec![0.0; at.len()]; residuals.len()];
    for j in 0..at.len() {
        let mut beside = at.to_vec();
        let (above, below, width) = match rules.derivatives {
            Derivatives::CarriedAlong { step } => {
                beside[j] += step;
                (model(&beside)?, residuals.to_vec(), step)
            }
            Derivatives::Central => {
                let h = 6e-6 * if at[j] == 0.0 { 1.0 } else { at[j].abs() };
                beside[j] = at[j] + h;
                let (above, up) = (model(&beside)?, beside[j]);
                beside[j] = at[j] - h;
                (above, model(&beside)?, up - beside[j])
            }
        };
        for (row, (a, b)) in jacobian.iter_mut().zip(above.iter().zip(&below)) {
            row[j] = (a - b) / width;
        }
    }
    Ok(jacobian)
}

/// Householder's triangle `R` of a matrix with at least as many rows as columns, and what becomes of a right side; none
/// where a column depends on those before it.
fn triangle(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Option<(Vec<Vec<f64>>, Vec<f64>)> {
    let n = a.first().map_or(0, Vec::len);
    if a.len() < n {
        return None;
    }
    for j in 0..n {
        let whole = a.iter().map(|row| row[j] * row[j]).sum::<f64>().sqrt();
        let length = a[j..].iter().map(|row| row[j] * row[j]).sum::<f64>().sqrt();
        if !length.is_finite() || length <= 1e-14 * whole || length == 0.0 {
            return None;
        }
        let turned = if a[j][j] > 0.0 { -length } else { length };
        let mut v: Vec<f64> = a[j..].iter().map(|row| row[j]).collect();
        v[0] -= turned;
        let squared = sum_of_squares(&v);
        if squared > 0.0 {
            for k in j..n {
                let along: f64 = v.iter().zip(&a[j..]).map(|(v, row)| v * row[k]).sum();
                let by = 2.0 * along / squared;
                for (v, row) in v.iter().zip(&mut a[j..]) {
                    row[k] -= by * v;
                }
            }
            let along: f64 = v.iter().zip(&b[j..]).map(|(v, b)| v * b).sum();
            let by = 2.0 * along / squared;
            for (v, b) in v.iter().zip(&mut b[j..]) {
                *b -= by * v;
            }
        }
        a[j][j] = turned;
    }
    a.truncate(n);
    b.truncate(n);
    Some((a, b))
}

/// Solves `R x = b` for an upper triangle.
fn back(r: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let n = r.len();
    let mut x = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| r[i][k] * x[k]).sum();
        x[i] = (b[i] - known) / r[i][i];
    }
    x
}

fn damped_step(jacobian: &[Vec<f64>], residuals: &[f64], damping: f64, scale: &[f64]) -> Option<Vec<f64>> {
    let n = scale.len();
    let mut a = jacobian.to_vec();
    let mut b: Vec<f64> = residuals.iter().map(|r| -r).collect();
    for j in 0..n {
        let mut row = vec![0.0; n];
        row[j] = (damping.sqrt() * scale[j]).max(1e-150);
        a.push(row);
        b.push(0.0);
    }
    let (r, b) = triangle(a, b)?;
    let step = back(&r, &b);
    step.iter().all(|x| x.is_finite()).then_some(step)
}

/// A factor `L` of the covariance `(J'J)^-1 = L L'`, an upper triangle with a positive diagonal, a row a parameter; none where the residuals leave one open.
pub fn covariance_factor(jacobian: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let (r, _) = triangle(jacobian.to_vec(), vec![0.0; jacobian.len()])?;
    let n = r.len();
    let mut factor = vec![vec![0.0; n]; n];
    for j in 0..n {
        let mut unit = vec![0.0; n];
        unit[j] = r[j][j].signum();
        for (row, x) in factor.iter_mut().zip(back(&r, &unit)) {
            row[j] = x;
        }
    }
    Some(factor)
}

/// Lower triangle `C` with `C C' = A`; none where `A` is not positive definite.
pub fn cholesky(a: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let own = |_: usize, left: f64| if left > 0.0 { Ok(left.sqrt()) } else { Err(()) };
    let mut c = lower_root(a.len(), |i, j| a[i][j], own).ok()?;
    for row in &mut c {
        row.resize(a.len(), 0.0);
    }
    Some(c)
}

/// The same of a matrix of `n` rows, each up to its diagonal alone; `own` makes a row's place on the diagonal of what the
/// rows before leave of `A` there, or refuses.
pub(crate) fn lower_root<E>(
    n: usize,
    a: impl Fn(usize, usize) -> f64,
    own: impl Fn(usize, f64) -> std::result::Result<f64, E>,
) -> std::result::Result<Vec<Vec<f64>>, E> {
    let mut c: Vec<Vec<f64>> = Vec::with_capacity(n);
    for i in 0..n {
        let mut row: Vec<f64> = Vec::with_capacity(i + 1);
        for (j, before) in c.iter().enumerate() {
            let known: f64 = row.iter().zip(before).map(|(x, y)| x * y).sum();
            row.push((a(i, j) - known) / before[j]);
        }
        let left = a(i, i) - sum_of_squares(&row);
        row.push(own(i, left)?);
        c.push(row);
    }
    Ok(c)
}

/// Solves `C y = b` for a lower triangle.
pub fn forward(c: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let mut y: Vec<f64> = Vec::with_capacity(b.len());
    for (i, b) in b.iter().enumerate() {
        let known: f64 = c[i].iter().zip(&y).map(|(c, y)| c * y).sum();
        y.push((b - known) / c[i][i]);
    }
    y
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Analytic (x 1..5; y 1.1 1.9 3.2 3.9 5.1, by the normal equations): 0.04 (0.16248077), 1.00 (0.04898979), s² 0.024.
    #[test]
    fn a_straight_line_and_its_deviations() {
        let data = [(1.0, 1.1), (2.0, 1.9), (3.0, 3.2), (4.0, 3.9), (5.0, 5.1)];
        let found = least_squares(
            vec![0.0, 0.0],
            &Rules::SMOOTH,
            |_| {},
            |p| Ok(data.iter().map(|(x, y)| p[0] + p[1] * x - y).collect()),
        )
        .unwrap();
        assert!((found.at[0] - 0.04).abs() < 1e-9 && (found.at[1] - 1.0).abs() < 1e-9);
        let variance = found.squares() / 3.0;
        assert!((variance - 0.024).abs() < 1e-12);
        let l = covariance_factor(&found.jacobian).unwrap();
        let deviation = |i: usize| (variance * sum_of_squares(&l[i])).sqrt();
        assert!((deviation(0) - 0.162_480_77).abs() < 1e-7, "{}", deviation(0));
        assert!((deviation(1) - 0.048_989_79).abs() < 1e-7, "{}", deviation(1));
        let slack: f64 = l[0].iter().zip(&l[1]).map(|(a, b)| a * b).sum();
        // (X'X)^-1 = [1.1 -0.3; -0.3 0.1].
        assert!((slack + 0.3).abs() < 1e-8, "{slack}");
    }

    /// Analytic: the valley of `(1 - x)² + 100 (y - x²)²` ends at (1, 1); bounded below y = 0.5 it ends on that bound.
    #[test]
    fn a_bent_valley_and_a_bound() {
        let model = |p: &[f64]| Ok(vec![1.0 - p[0], 10.0 * (p[1] - p[0] * p[0])]);
        let rules = Rules::followed(1e-6);
        let free = least_squares(vec![-1.2, 1.0], &rules, |_| {}, model).unwrap();
        assert!(
            (free.at[0] - 1.0).abs() < 1e-3 && (free.at[1] - 1.0).abs() < 2e-3,
            "{:?}",
            free.at
        );
        let held = least_squares(vec![-0.5, 0.2], &rules, |p| p[1] = p[1].min(0.5), model).unwrap();
        assert!(held.at[1] <= 0.5 && held.squares() < 0.1, "{:?}", held);
    }

    /// Two columns that are one: nothing is claimed of either.
    #[test]
    fn what_the_rows_leave_open_has_no_covariance() {
        assert!(covariance_factor(&[vec![1.0, 2.0], vec![2.0, 4.0], vec![3.0, 6.0]]).is_none());
        assert!(covariance_factor(&[vec![1.0, 2.0]]).is_none());
        assert!(cholesky(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
    }
}
