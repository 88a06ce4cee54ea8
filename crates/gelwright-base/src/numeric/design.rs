//! Which tests tell most: designs over rows of derivatives, a row a reading, a column a constant.
//!
//! D-optimal designs make `det(X'X)` greatest, which makes the ellipsoid of the constants smallest (J. Kiefer, J. Wolfowitz,
//! *Optimum designs in regression problems*, Ann. Math. Stat. 30:271 (1959) `[from memory]`); V-optimal ones make the variance of what is
//! wanted smallest. Up to [`MOST_SETS`] sets are all tried; of more, rows are exchanged as long as that helps (V. V. Fedorov,
//! *Theory of Optimal Experiments*, Academic Press (1972), chapter 3 `[from memory]`), from several starts.

use std::convert::Infallible;

use super::least_squares::{cholesky, forward, sum_of_squares};

/// Sets that are all tried.
pub const MOST_SETS: usize = 100_000;
/// Starts of an exchange.
const STARTS: usize = 8;

/// `X'X` of rows.
pub fn information<'a>(rows: impl IntoIterator<Item = &'a Vec<f64>>, constants: usize) -> Vec<Vec<f64>> {
    let mut a = vec![vec![0.0; constants]; constants];
    for row in rows {
        for i in 0..constants {
            for j in 0..constants {
                a[i][j] += row[i] * row[j];
            }
        }
    }
    a
}

/// `det(X'X)`; 0 where the rows leave a constant open, that is where a column depends on the others to one part in 1e10.
pub fn determinant(information: &[Vec<f64>]) -> f64 {
    let Some(c) = cholesky(information) else {
        return 0.0;
    };
    let open = (0..c.len()).any(|i| c[i][i] * c[i][i] <= 1e-10 * information[i][i]);
    if open {
        return 0.0;
    }
    (0..c.len()).map(|i| c[i][i] * c[i][i]).product()
}

/// `g' A^-1 g`: the variance of what goes by `aim` with the constants, where the information is `A`; none where it is singular.
pub fn variance_of(information: &[Vec<f64>], aim: &[f64]) -> Option<f64> {
    let c = cholesky(information)?;
    Some(sum_of_squares(&forward(&c, aim)))
}

/// A set of offered tests, and how good it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Which, by rising place.
    pub tests: Vec<usize>,
    /// Its merit, the greater the better.
    pub merit: f64,
}

/// How many sets of `count` there are of `of`, no more than told.
fn sets(of: usize, count: usize, most: usize) -> usize {
    let mut n: usize = 1;
    for k in 0..count {
        n = n.saturating_mul(of - k) / (k + 1);
        if n > most {
            return most + 1;
        }
    }
    n
}

/// The set of `count` out of `of` tests with the greatest merit; none where no set has any above 0. A merit that is the same
/// goes to the set whose tests stand first. Where not all sets are tried, from a set that is told (of `count` tests) too.
///
/// # Errors
/// What the merit says, or where it is cancelled.
pub fn best_set<E>(
    of: usize,
    count: usize,
    told: Option<&[usize]>,
    mut merit: impl FnMut(&[usize]) -> Result<f64, E>,
) -> Result<Option<Chosen>, E> {
    if count == 0 || count > of {
        return Ok(None);
    }
    let mut best: Option<Chosen> = None;
    let mut see = |tests: &[usize]| -> Result<f64, E> {
        let mut sorted = tests.to_vec();
        sorted.sort_unstable();
        let m = merit(&sorted)?;
        if m > 0.0 && best.as_ref().is_none_or(|b| m > b.merit) {
            best = Some(Chosen {
                tests: sorted,
                merit: m,
            });
        }
        Ok(m)
    };
    if sets(of, count, MOST_SETS) <= MOST_SETS {
        let mut at: Vec<usize> = (0..count).collect();
        loop {
            see(&at)?;
            let Some(turn) = (0..count).rev().find(|&i| at[i] < of - count + i) else {
                break;
            };
            at[turn] += 1;
            for i in turn + 1..count {
                at[i] = at[i - 1] + 1;
            }
        }
    } else {
        let spread = |start: usize| {
            (0..count)
                .map(|i| (i * of / count + start * of / (count * STARTS)) % of)
                .collect::<Vec<_>>()
        };
        for mut at in told
            .map(<[usize]>::to_vec)
            .into_iter()
            .chain((0..STARTS).map(spread))
        {
            let mut here = see(&at)?;
            loop {
                let mut better = None;
                for i in 0..count {
                    for test in (0..of).filter(|t| !at.contains(t)) {
                        let mut to = at.clone();
                        to[i] = test;
                        let m = see(&to)?;
                        if m > here * (1.0 + 1e-12) && better.as_ref().is_none_or(|(b, _)| m > *b) {
                            better = Some((m, to));
                        }
                    }
                }
                let Some((m, to)) = better else { break };
                (here, at) = (m, to);
            }
        }
    }
    Ok(best)
}

/// What tests tell, those that are known and each that is offered, so that of a set it is a sum.
pub struct Offer {
    known: Vec<Vec<f64>>,
    each: Vec<Vec<Vec<f64>>>,
}

impl Offer {
    /// Of what is known, and of the rows of each offered test.
    pub fn new(known: Vec<Vec<f64>>, offered: &[Vec<Vec<f64>>]) -> Self {
        let constants = known.len();
        Offer {
            each: offered.iter().map(|rows| information(rows, constants)).collect(),
            known,
        }
    }

    /// What is known after a set of the offered tests.
    pub fn with(&self, set: &[usize]) -> Vec<Vec<f64>> {
        let mut sum = self.known.clone();
        for &test in set {
            for (row, more) in sum.iter_mut().zip(&self.each[test]) {
                for (a, b) in row.iter_mut().zip(more) {
                    *a += b;
                }
            }
        }
        sum
    }
}

/// The D-optimal set of `count` of the offered rows beside those that are known; none where no such set tells all constants.
pub fn d_optimal(known: &[Vec<f64>], offered: &[Vec<f64>], count: usize) -> Option<Chosen> {
    let constants = offered.first().or(known.first()).map_or(0, Vec::len);
    let each: Vec<Vec<Vec<f64>>> = offered.iter().map(|row| vec![row.clone()]).collect();
    let offer = Offer::new(information(known, constants), &each);
    let best = best_set(offered.len(), count, None, |set| {
        Ok::<f64, Infallible>(determinant(&offer.with(set)))
    });
    let Ok(best) = best;
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(low: f64, high: f64, n: u32, row: impl Fn(f64) -> Vec<f64>) -> (Vec<f64>, Vec<Vec<f64>>) {
        let x: Vec<f64> = (0..=n)
            .map(|i| low + (high - low) * f64::from(i) / f64::from(n))
            .collect();
        let rows = x.iter().map(|x| row(*x)).collect();
        (x, rows)
    }

    fn support(low: f64, high: f64, n: u32, row: impl Fn(f64) -> Vec<f64>) -> Vec<f64> {
        let (x, rows) = grid(low, high, n, row);
        let chosen = d_optimal(&[], &rows, rows[0].len()).unwrap();
        chosen.tests.iter().map(|&i| x[i]).collect()
    }

    fn near(got: &[f64], of: &[f64], within: f64) {
        assert!(got.len() == of.len(), "{got:?}");
        for (g, o) in got.iter().zip(of) {
            assert!((g - o).abs() <= within, "{got:?} against {of:?}");
        }
    }

    /// Analytic: polynomials on -1 to 1 are told best at -1, 0, 1; at ±1, ±1/√5; at ±1, ±√(3/7), 0 (P. G. Hoel, *Efficiency
    /// problems in polynomial estimation*, Ann. Math. Stat. 29:1134 (1958) `[from memory]`: the ends and the roots of a Legendre
    /// polynomial's derivative). Tolerance: the grid's step.
    #[test]
    fn polynomials() {
        let power = |degree: i32| move |x: f64| (0..=degree).map(|k| x.powi(k)).collect::<Vec<_>>();
        near(&support(-1.0, 1.0, 80, power(2)), &[-1.0, 0.0, 1.0], 1e-12);
        near(
            &support(-1.0, 1.0, 200, power(3)),
            &[-1.0, -(0.2f64.sqrt()), 0.2f64.sqrt(), 1.0],
            0.01,
        );
        let root = (3.0f64 / 7.0).sqrt();
        near(
            &support(-1.0, 1.0, 120, power(4)),
            &[-1.0, -root, 0.0, root, 1.0],
            0.017,
        );
    }

    /// Analytic: of `a x/(b + x)` up to x = 5 with b = 1: 5 and 5/7; of `A exp(-k t)`: 0 and 1/k.
    #[test]
    fn saturation_and_decay() {
        let saturates = |x: f64| vec![x / (1.0 + x), -x / (1.0 + x).powi(2)];
        near(&support(0.0, 5.0, 400, saturates), &[5.0 / 7.0, 5.0], 0.0126);
        let decays = |t: f64| vec![(-2.0 * t).exp(), -t * (-2.0 * t).exp()];
        near(&support(0.0, 3.0, 300, decays), &[0.0, 0.5], 0.011);
    }

    /// Analytic: what is wanted at the middle of two constants of one variance has half of it.
    #[test]
    fn a_variance_wanted() {
        let a = information(&[vec![1.0, 0.0], vec![0.0, 1.0]], 2);
        assert!((variance_of(&a, &[0.5, 0.5]).unwrap() - 0.5).abs() < 1e-12);
        assert!(variance_of(&information(&[vec![1.0, 1.0]], 2), &[1.0, 0.0]).is_none());
        let best = |of, count, merit: f64| best_set(of, count, None, |_| Ok::<f64, ()>(merit)).unwrap();
        assert!(best(3, 4, 1.0).is_none() && best(3, 2, 0.0).is_none() && best(3, 2, 1.0).is_some());
        assert!(best_set(3, 2, None, |_| Err::<f64, _>("stopped")) == Err("stopped"));
    }

    /// A merit that is nothing but near one set: of more sets than are tried an exchange from that set finds the best there.
    #[test]
    fn an_exchange_begins_where_it_is_told() {
        let near = |set: &[usize]| {
            let off = set
                .iter()
                .zip([398, 399, 400])
                .map(|(a, b)| a.abs_diff(b))
                .sum::<usize>();
            Ok::<f64, ()>(if off < 3 { 1.0 / (1.0 + off as f64) } else { 0.0 })
        };
        assert!(sets(401, 3, MOST_SETS) > MOST_SETS);
        assert!(best_set(401, 3, None, near).unwrap().is_none());
        let found = best_set(401, 3, Some(&[397, 399, 400]), near).unwrap().unwrap();
        assert_eq!(found.tests, [398, 399, 400]);
    }

    /// Two ways to the same set: all tried, and exchanged.
    #[test]
    fn an_exchange_finds_what_trying_all_finds() {
        let (_, rows) = grid(-1.0, 1.0, 400, |x| vec![1.0, x, x * x]);
        let chosen = d_optimal(&[], &rows, 3).unwrap();
        assert_eq!(chosen.tests, [0, 200, 400]);
    }
}
