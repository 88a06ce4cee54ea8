//! Damped least squares with bounds, and the factor of the covariance at its end.
//!
//! Levenberg-Marquardt with the diagonal of the normal matrix as the damping: D. W. Marquardt, *An algorithm for least-squares
//! estimation of nonlinear parameters*, J. SIAM 11:431 (1963). Of the crates that have it none takes bounds or a model that
//! refuses at some points (a cup that never gels); ten parameters need no sparse or blocked algebra.

use crate::error::Result;

/// Steps of a search.
const MOST_STEPS: u32 = 40;
/// Tries of a step with more damping.
const MOST_TRIES: u32 = 10;
/// Longest step of a parameter.
const LONGEST: f64 = 1.5;
/// Part of the sum of squares by which a step must lessen it to go on.
const WORTH: f64 = 1e-6;

/// Where a search has ended.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) at: Vec<f64>,
    pub(super) residuals: Vec<f64>,
    /// Residuals by parameter, a row a residual.
    pub(super) jacobian: Vec<Vec<f64>>,
}

impl Found {
    pub(super) fn squares(&self) -> f64 {
        sum_of_squares(&self.residuals)
    }
}

pub(super) fn sum_of_squares(r: &[f64]) -> f64 {
    r.iter().map(|x| x * x).sum()
}

/// Lessens the sum of squares from a start. The derivatives are taken at the start, at the end, and where a step with those
/// carried along (C. G. Broyden, *A class of methods for solving nonlinear simultaneous equations*, Math. Comput. 19:577
/// (1965)) goes nowhere: a model that follows a cup costs more than all else.
///
/// # Errors
/// What the model says, or where it is cancelled.
pub(super) fn least_squares(
    start: Vec<f64>,
    step: f64,
    bounded: impl Fn(&mut [f64]),
    mut model: impl FnMut(&[f64]) -> Result<Vec<f64>>,
) -> Result<Found> {
    let mut at = start;
    bounded(&mut at);
    let mut residuals = model(&at)?;
    let mut damping = 1e-3;
    let mut jacobian = derivatives(&at, &residuals, step, &mut model)?;
    let mut fresh = true;
    for _ in 0..MOST_STEPS {
        let before = sum_of_squares(&residuals);
        let mut better = None;
        for _ in 0..if fresh { MOST_TRIES } else { 2 } {
            let Some(s) = damped_step(&jacobian, &residuals, damping) else {
                damping *= 10.0;
                continue;
            };
            let mut to = at.clone();
            for (x, s) in to.iter_mut().zip(&s) {
                *x += s.clamp(-LONGEST, LONGEST);
            }
            bounded(&mut to);
            let there = model(&to)?;
            if sum_of_squares(&there) < before {
                better = Some((to, there));
                damping = (damping * 0.1).max(1e-9);
                break;
            }
            damping *= 8.0;
        }
        let done = match better {
            Some((to, there)) => {
                let gained = before - sum_of_squares(&there);
                carry_along(&mut jacobian, (&at, &residuals), (&to, &there));
                at = to;
                residuals = there;
                let done = gained <= WORTH * (1.0 + before);
                if fresh && done {
                    fresh = false;
                    break;
                }
                fresh = false;
                done
            }
            None if fresh => break,
            None => true,
        };
        if done {
            jacobian = derivatives(&at, &residuals, step, &mut model)?;
            fresh = true;
        }
    }
    if !fresh {
        jacobian = derivatives(&at, &residuals, step, &mut model)?;
    }
    Ok(Found {
        at,
        residuals,
        jacobian,
    })
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

/// By forward differences.
fn derivatives(
    at: &[f64],
    residuals: &[f64],
    step: f64,
    model: &mut impl FnMut(&[f64]) -> Result<Vec<f64>>,
) -> Result<Vec<Vec<f64>>> {
    let mut jacobian = vec![vec![0.0; at.len()]; residuals.len()];
    for j in 0..at.len() {
        let mut beside = at.to_vec();
        beside[j] += step;
        for (row, (there, here)) in jacobian.iter_mut().zip(model(&beside)?.iter().zip(residuals)) {
            row[j] = (there - here) / step;
        }
    }
    Ok(jacobian)
}

/// `J'J`, its diagonal lengthened.
fn normal_matrix(jacobian: &[Vec<f64>], damping: f64) -> Vec<Vec<f64>> {
    let n = jacobian.first().map_or(0, Vec::len);
    let mut a = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..n {
            a[i][j] = jacobian.iter().map(|row| row[i] * row[j]).sum();
        }
        a[i][i] = a[i][i] * (1.0 + damping) + 1e-14;
    }
    a
}

/// Lower triangle `C` with `C C' = A`; none where `A` is not positive definite.
fn cholesky(a: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let n = a.len();
    let mut c = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| c[i][k] * c[j][k]).sum();
            let left = a[i][j] - known;
            if i == j {
                if left.is_nan() || left <= 0.0 {
                    return None;
                }
                c[i][i] = left.sqrt();
            } else {
                c[i][j] = left / c[j][j];
            }
        }
    }
    Some(c)
}

/// Solves `C' x = b` for a lower triangle.
fn back(c: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let n = c.len();
    let mut x = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| c[k][i] * x[k]).sum();
        x[i] = (b[i] - known) / c[i][i];
    }
    x
}

fn damped_step(jacobian: &[Vec<f64>], residuals: &[f64], damping: f64) -> Option<Vec<f64>> {
    let c = cholesky(&normal_matrix(jacobian, damping))?;
    let n = c.len();
    let mut y = vec![0.0; n];
    for i in 0..n {
        let slope: f64 = jacobian.iter().zip(residuals).map(|(row, r)| row[i] * r).sum();
        let known: f64 = (0..i).map(|k| c[i][k] * y[k]).sum();
        y[i] = (-slope - known) / c[i][i];
    }
    let step = back(&c, &y);
    step.iter().all(|x| x.is_finite()).then_some(step)
}

/// A factor `L` of the covariance `(J'J)^-1 = L L'`, a row a parameter; none where the residuals leave one open.
pub(super) fn covariance_factor(jacobian: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let c = cholesky(&normal_matrix(jacobian, 0.0))?;
    let n = c.len();
    let mut factor = vec![vec![0.0; n]; n];
    for j in 0..n {
        let mut unit = vec![0.0; n];
        unit[j] = 1.0;
        for (row, x) in factor.iter_mut().zip(back(&c, &unit)) {
            row[j] = x;
        }
    }
    Some(factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Textbook: a straight line through three points, by the normal equations; its covariance is `(X'X)^-1`.
    #[test]
    fn a_straight_line_and_its_covariance() {
        let data = [(0.0, 1.0), (1.0, 3.0), (2.0, 4.0)];
        let found = least_squares(
            vec![0.0, 0.0],
            1e-3,
            |_| {},
            |p| Ok(data.iter().map(|(x, y)| p[0] + p[1] * x - y).collect()),
        )
        .unwrap();
        assert!((found.at[0] - 7.0 / 6.0).abs() < 1e-5 && (found.at[1] - 1.5).abs() < 1e-5);
        assert!((found.squares() - 1.0 / 6.0).abs() < 1e-9);
        let l = covariance_factor(&found.jacobian).unwrap();
        let cov = |i: usize, j: usize| -> f64 { l[i].iter().zip(&l[j]).map(|(a, b)| a * b).sum() };
        assert!((cov(0, 0) - 5.0 / 6.0).abs() < 1e-9, "{}", cov(0, 0));
        assert!((cov(0, 1) + 0.5).abs() < 1e-9 && (cov(1, 1) - 0.5).abs() < 1e-9);
    }

    /// Analytic: the valley of `(1 - x)² + 100 (y - x²)²` ends at (1, 1); bounded below y = 0.5 it ends on that bound.
    #[test]
    fn a_bent_valley_and_a_bound() {
        let model = |p: &[f64]| Ok(vec![1.0 - p[0], 10.0 * (p[1] - p[0] * p[0])]);
        let free = least_squares(vec![-1.2, 1.0], 1e-6, |_| {}, model).unwrap();
        assert!(
            (free.at[0] - 1.0).abs() < 1e-3 && (free.at[1] - 1.0).abs() < 2e-3,
            "{:?}",
            free.at
        );
        let held = least_squares(vec![-0.5, 0.2], 1e-6, |p| p[1] = p[1].min(0.5), model).unwrap();
        assert!(held.at[1] <= 0.5 && held.squares() < 0.1, "{:?}", held);
    }
}
