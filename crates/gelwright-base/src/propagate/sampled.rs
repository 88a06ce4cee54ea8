//! What samples of a model say.

use crate::reliability::order;
use crate::sensitivity::{Answers, indices};

/// A number found by sampling, and how far off it may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// The number.
    pub value: f64,
    /// Its standard error: from the scatter among the scramblings.
    pub standard_error: f64,
}

/// A result by sampling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sampled {
    /// Mean of the model over its inputs.
    pub mean: Settling,
    /// Its standard deviation.
    pub standard_uncertainty: Settling,
    /// Lower end of the 95 % interval, with as much outside below as above.
    pub low: Settling,
    /// Upper end.
    pub high: Settling,
    /// The shortest 95 % interval.
    pub shortest: [f64; 2],
    /// The numerical tolerance of the standard uncertainty: half a unit of its last significant digit (JCGM 101:2008,
    /// 7.9.2).
    pub tolerance: f64,
    /// Whether mean, standard uncertainty and both ends are known to the tolerance: twice the standard error is not more
    /// (JCGM 101:2008, 7.9.4).
    pub settled: bool,
    /// How many samples.
    pub samples: usize,
}

/// What lies outside the interval.
const OUTSIDE: f64 = 0.05;

/// The model's answers to the points.
pub(super) struct Samples<'a> {
    pub(super) all: &'a [f64],
    /// Runs of a scrambling.
    pub(super) of_scrambling: usize,
    /// Runs of a point: the first is the point's own.
    pub(super) each: usize,
    /// Whether none of them is NaN: no number.
    pub(super) complete: bool,
}

impl Sampled {
    /// What they say; of each input with a spread its first-order and its total index, where those were run.
    ///
    /// Source: JCGM 101:2008, 7.5 to 7.7. Indices: [`indices`].
    ///
    /// Of incomplete ones those that are numbers, without indices; none where a scrambling has fewer than two.
    pub(super) fn of(samples: &Samples<'_>, digits: u8) -> Option<(Self, Vec<[Settling; 2]>)> {
        let scramblings: Vec<&[f64]> = samples.all.chunks_exact(samples.of_scrambling).collect();
        let points = |s: &[f64]| {
            let points = s.iter().step_by(samples.each).copied();
            points.filter(|y| !y.is_nan()).collect::<Vec<_>>()
        };
        let points_of_each: Vec<Vec<f64>> = scramblings.iter().map(|s| points(s)).collect();
        if points_of_each.iter().any(|p| p.len() < 2) {
            return None;
        }
        let each: Vec<Summary> = points_of_each.into_iter().map(Summary::of).collect();
        let together = Summary::of(points(samples.all));
        let settling = |value: f64, of: &dyn Fn(&Summary) -> f64| Settling {
            value,
            standard_error: standard_error(&each.iter().map(of).collect::<Vec<_>>()),
        };
        let mean = settling(together.mean, &|s| s.mean);
        let standard_uncertainty = settling(together.deviation, &|s| s.deviation);
        let low = settling(together.at(0.5 * OUTSIDE), &|s| s.at(0.5 * OUTSIDE));
        let high = settling(together.at(1.0 - 0.5 * OUTSIDE), &|s| s.at(1.0 - 0.5 * OUTSIDE));
        let tolerance = tolerance(together.deviation, digits);
        let sampled = Sampled {
            mean,
            standard_uncertainty,
            low,
            high,
            shortest: together.shortest(),
            tolerance,
            settled: [mean, standard_uncertainty, low, high]
                .iter()
                .all(|s| 2.0 * s.standard_error <= tolerance),
            samples: together.sorted.len(),
        };
        let inputs = if samples.complete {
            samples.each.saturating_sub(2)
        } else {
            0
        };
        let indices = (0..inputs)
            .map(|j| {
                let found: Vec<[f64; 2]> = scramblings
                    .iter()
                    .map(|s| indices_of(s, samples.each, j))
                    .collect();
                [0, 1].map(|which| {
                    let found: Vec<f64> = found.iter().map(|f| f[which]).collect();
                    Settling {
                        value: mean_of(&found),
                        standard_error: standard_error(&found),
                    }
                })
            })
            .collect();
        Some((sampled, indices))
    }
}

/// First-order and total index of one input over one scrambling.
fn indices_of(samples: &[f64], each: usize, j: usize) -> [f64; 2] {
    let answers: Vec<Answers> = samples
        .chunks_exact(each)
        .map(|run| [run[0], run[1], run[2 + j]])
        .collect();
    indices(&answers)
}

/// Mean, deviation and order of a sample.
struct Summary {
    mean: f64,
    deviation: f64,
    sorted: Vec<f64>,
}

impl Summary {
    fn of(mut values: Vec<f64>) -> Self {
        let sum_of_squares = |mean: f64| values.iter().map(|y| (y - mean).powi(2)).sum::<f64>();
        let mean = mean_of(&values);
        let deviation = (sum_of_squares(mean) / (count(&values) - 1.0)).sqrt();
        values.sort_unstable_by(f64::total_cmp);
        // The mean of equal numbers is rounded; their deviation is none.
        let (mean, deviation) = match (values[0], values[values.len() - 1]) {
            (least, most) if least == most => (least, 0.0),
            _ => (mean, deviation),
        };
        Summary {
            mean,
            deviation,
            sorted: values,
        }
    }

    fn at(&self, p: f64) -> f64 {
        order::at(&self.sorted, p)
    }

    /// The shortest interval that holds all but `OUTSIDE` of the sample: JCGM 101:2008, 7.7.2, 7.7.4.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    fn shortest(&self) -> [f64; 2] {
        let span = (((1.0 - OUTSIDE) * count(&self.sorted) + 0.5) as usize).min(self.sorted.len() - 1);
        self.sorted
            .windows(span + 1)
            .map(|w| [w[0], w[span]])
            .min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
            .unwrap_or([self.mean; 2])
    }
}

#[allow(clippy::cast_precision_loss)]
fn count(values: &[f64]) -> f64 {
    values.len() as f64
}

fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / count(values)
}

/// Standard error of the mean of a few independent values.
fn standard_error(values: &[f64]) -> f64 {
    let mean = mean_of(values);
    let squares: f64 = values.iter().map(|y| (y - mean).powi(2)).sum();
    (squares / (count(values) - 1.0) / count(values)).sqrt()
}

/// Half a unit of the last of so many significant digits: `u = c·10^l` with a whole `c` of that many, `δ = 10^l/2`.
fn tolerance(u: f64, digits: u8) -> f64 {
    if u == 0.0 {
        return 0.0;
    }
    0.5 * 10f64.powf(u.log10().floor() - f64::from(digits - 1))
}
