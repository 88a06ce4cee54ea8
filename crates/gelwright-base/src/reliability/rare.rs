//! Failures too rare to be drawn by chance: importance sampling that finds its way to them.
//!
//! The model is asked at points of independent standard normal numbers and answers with a margin: zero or less is failure. In
//! levels the points move towards the failures: of each level's points those with the least margins, weighted by how likely they
//! were, give the centre and the spread of the next (the cross-entropy method). Once a tenth of them fail, the rest of the
//! evaluations are drawn from that distribution and a tenth from the standard normal one, and the weights `φ/q` of those that fail
//! are averaged: whatever the levels did, the mean is right, and no weight is above ten.
//!
//! Sources: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method (Springer, 2004), chapter 3 `[from memory]`; N. Kurtz, J. Song,
//! Cross-entropy-based adaptive importance sampling using Gaussian mixture, Structural Safety 42 (2013) 35-44, doi
//! 10.1016/j.strusafe.2013.01.006 `[from memory]`; both distributions weighed as one: A. Owen, Y. Zhou, Safe and effective importance
//! sampling, J. Am. Stat. Assoc. 95 (2000) 135-143, doi 10.1080/01621459.2000.10473909 `[from memory]`.
//!
//! Not found: a failure far from all that the levels saw (an island smaller than what a level's points fall on). Ask again with
//! another seed; several that agree say more than one.

use std::convert::Infallible;

use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::error::{Error, ErrorKind, Result};
use crate::measurement::COVERAGE_FACTOR_95;
use crate::noun::Noun;
use crate::numeric::least_squares::{forward, lower_root};
use crate::quantity::Probability;
use crate::random;

/// How a rare failure is looked for.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub struct RareSettings {
    /// Where the random numbers come from: the same seed, the same answer.
    #[noun(default = 0)]
    pub seed: u64,
    /// How often the model is asked in all, at most.
    #[noun(
        default = 5000,
        within(400, 100000000, "some thousands; the less likely the failure, the more")
    )]
    pub evaluations: u32,
    /// How often in each level, and at a time: what is written down between two such blocks can be gone on with.
    #[noun(default = 500, within(100, 1000000, "some hundreds; more for many inputs"))]
    pub block: u32,
}

impl Default for RareSettings {
    /// Seed 0, 5000 evaluations in blocks of 500.
    fn default() -> Self {
        crate::noun::defaults()
    }
}

/// A search for a rare failure as it stands: written as a document and read back it goes on to the same bits.
///
/// [`points`](RareFailure::points) are to be asked next; [`told`](RareFailure::told) takes their margins. Which thread asks
/// which is all the same.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RareFailure {
    /// How it is looked for.
    pub settings: RareSettings,
    /// How many standard normal numbers a point has.
    pub dimensions: usize,
    /// Whether the levels are over: the points are from the last distribution, and count.
    pub found: bool,
    /// How often the model has been asked.
    pub evaluations: u64,
    /// How often it refused: counted as failures.
    pub refused: u64,
    /// Centre of the distribution.
    pub centre: Vec<f64>,
    /// Its spread: a triangular root of its covariance, row by row.
    pub spread: Vec<Vec<f64>>,
    /// Sum of the weights of those that failed.
    pub sum: f64,
    /// Sum of their squares.
    pub squares: f64,
    /// Points of which they are a part.
    pub counted: u64,
}

/// What a search for a rare failure found.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct RareEstimate {
    /// Probability of failure.
    pub probability: Probability,
    /// Its standard deviation over itself.
    pub coefficient_of_variation: f64,
    /// Lower end of its 95 % interval, of a log-normal distribution with that coefficient.
    pub low: Probability,
    /// Upper end.
    pub high: Probability,
    /// How often the model was asked.
    pub evaluations: u64,
    /// How often it refused: counted as failures.
    pub refused: u64,
}

/// Part of a level's points that the next is made from.
const ELITE: f64 = 0.1;
/// One point in so many is of the standard normal distribution, once the levels are over: bounds the weights.
const PLAIN_EVERY: u64 = 10;
/// Part of the evaluations that the levels may take.
const LEVELS_PART: f64 = 0.6;
/// Deviations of the last distribution over those of what failed: tails that are too thick cost little, thin ones all.
const WIDER: f64 = 1.15;

/// A margin that is no number: the model refused.
pub const REFUSED: f64 = f64::NEG_INFINITY;

impl RareFailure {
    /// A search that has not begun, over so many standard normal numbers.
    ///
    /// # Errors
    /// As the settings' ranges refuse; `OutOfRange` for no dimension, and for a block larger than a quarter of the evaluations.
    pub fn new(dimensions: usize, settings: RareSettings) -> Result<Self> {
        crate::noun::check(&settings)?;
        if dimensions == 0 {
            return Err(Error::out_of_range(
                "dimensions",
                "none",
                "one or more",
                "nothing is uncertain: ask the model once",
            ));
        }
        if settings.block > settings.evaluations / 4 {
            return Err(Error::out_of_range(
                "block",
                settings.block,
                format!(
                    "at most {}, a quarter of the evaluations",
                    settings.evaluations / 4
                ),
                "the way to a rare failure takes several levels",
            ));
        }
        let unit = |i: usize| (0..=i).map(|j| f64::from(i == j)).collect();
        Ok(RareFailure {
            settings,
            dimensions,
            found: false,
            evaluations: 0,
            refused: 0,
            centre: vec![0.0; dimensions],
            spread: (0..dimensions).map(unit).collect(),
            sum: 0.0,
            squares: 0.0,
            counted: 0,
        })
    }

    /// The points to ask next; none once all evaluations are spent.
    pub fn points(&self) -> Vec<Vec<f64>> {
        let left = u64::from(self.settings.evaluations).saturating_sub(self.evaluations);
        let block = left.min(u64::from(self.settings.block));
        (0..block).map(|i| self.point(self.evaluations + i)).collect()
    }

    /// The point of a number: a pure function of it and of the distribution.
    fn point(&self, index: u64) -> Vec<f64> {
        let z: Vec<f64> = (0..self.dimensions as u64)
            .map(|d| random::normal(self.settings.seed, d, index))
            .collect();
        if self.found && index.is_multiple_of(PLAIN_EVERY) {
            return z;
        }
        let moved =
            |(centre, row): (&f64, &Vec<f64>)| centre + row.iter().zip(&z).map(|(l, z)| l * z).sum::<f64>();
        self.centre.iter().zip(&self.spread).map(moved).collect()
    }

    /// Takes the margins of [`points`](RareFailure::points), in their order: zero or less is failure, [`REFUSED`] where the
    /// model refused.
    ///
    /// # Errors
    /// `NotFinite` for a margin that is NaN; `Inconsistent` for another number of them; `NotConverged` where the levels do not
    /// come to the failures, saying how near they came.
    pub fn told(&mut self, margins: &[f64]) -> Result<()> {
        let points = self.points();
        if margins.len() != points.len() {
            return Err(Error::inconsistent(
                "margins",
                margins.len(),
                format!("{}, one for each point", points.len()),
                "give the margins of the points that were handed out",
            ));
        }
        if margins.iter().any(|m| m.is_nan()) {
            return Err(Error::new(ErrorKind::NotFinite, "margins")
                .with_way_out("a model that refuses a point has failed there: give minus infinity"));
        }
        self.evaluations += points.len() as u64;
        self.refused += margins.iter().filter(|m| **m == REFUSED).count() as u64;
        if self.found {
            self.count(&points, margins);
            return Ok(());
        }
        self.next_level(&points, margins)
    }

    /// Logarithm of the density of its distribution over that of the standard normal one.
    fn ln_over_plain(&self, x: &[f64]) -> f64 {
        let off: Vec<f64> = x.iter().zip(&self.centre).map(|(x, c)| x - c).collect();
        let z = forward(&self.spread, &off);
        let mut ln = 0.0;
        for (i, row) in self.spread.iter().enumerate() {
            ln += 0.5 * (x[i] * x[i] - z[i] * z[i]) - row[i].ln();
        }
        ln
    }

    #[allow(clippy::cast_precision_loss)]
    fn count(&mut self, points: &[Vec<f64>], margins: &[f64]) {
        let plain = 1.0 / PLAIN_EVERY as f64;
        for (x, _) in points.iter().zip(margins).filter(|(_, m)| **m <= 0.0) {
            let weight = 1.0 / (plain + (1.0 - plain) * self.ln_over_plain(x).exp());
            self.sum += weight;
            self.squares += weight * weight;
        }
        self.counted += points.len() as u64;
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        clippy::cast_sign_loss
    )]
    fn next_level(&mut self, points: &[Vec<f64>], margins: &[f64]) -> Result<()> {
        let mut ascending = margins.to_vec();
        ascending.sort_unstable_by(f64::total_cmp);
        let elite = ((ELITE * margins.len() as f64) as usize).max(1);
        let level = ascending[elite - 1].max(0.0);
        let weighted: Vec<(f64, &Vec<f64>)> = points
            .iter()
            .zip(margins)
            .filter(|(_, m)| **m <= level)
            .map(|(x, _)| ((-self.ln_over_plain(x)).exp(), x))
            .collect();
        self.fit(&weighted);
        self.found = level == 0.0;
        if self.found {
            for l in self.spread.iter_mut().flatten() {
                *l *= WIDER;
            }
        } else if self.evaluations as f64 >= LEVELS_PART * f64::from(self.settings.evaluations) {
            return Err(Error::new(ErrorKind::NotConverged, "evaluations")
                .with_value(format_args!(
                    "a margin of {level:.3e} left after {} evaluations",
                    self.evaluations
                ))
                .with_way_out(
                    "allow more evaluations; a margin that jumps leads nowhere: give one that grows smoothly",
                ));
        }
        Ok(())
    }

    /// Centre and covariance of weighted points; of few of them drawn towards the standard normal one's covariance.
    #[allow(clippy::cast_precision_loss)]
    fn fit(&mut self, weighted: &[(f64, &Vec<f64>)]) {
        let n = self.dimensions;
        let sum: f64 = weighted.iter().map(|w| w.0).sum();
        let squares: f64 = weighted.iter().map(|w| w.0 * w.0).sum();
        let mean = |d: usize| weighted.iter().map(|(w, x)| w * x[d]).sum::<f64>() / sum;
        let centre: Vec<f64> = (0..n).map(mean).collect();
        let effective = sum * sum / squares;
        let drawn = (n as f64 + 1.0) / (n as f64 + 1.0 + effective);
        let covariance = |i: usize, j: usize| {
            let products = weighted
                .iter()
                .map(|(w, x)| w * (x[i] - centre[i]) * (x[j] - centre[j]));
            (1.0 - drawn) * products.sum::<f64>() / sum + drawn * f64::from(i == j)
        };
        let own = |_: usize, left: f64| Ok::<f64, Infallible>(left.max(1e-6).sqrt());
        let Ok(spread) = lower_root(n, covariance, own);
        (self.centre, self.spread) = (centre, spread);
    }

    /// What it has found so far; none before a failure has been counted.
    ///
    /// # Errors
    /// Never of a search that was told margins.
    #[allow(clippy::cast_precision_loss)]
    pub fn estimate(&self) -> Result<Option<RareEstimate>> {
        let n = self.counted as f64;
        if self.counted < 2 || self.sum <= 0.0 {
            return Ok(None);
        }
        let p = self.sum / n;
        let variance = (self.squares / n - p * p).max(0.0) / (n - 1.0);
        let cv = variance.sqrt() / p;
        let factor = (COVERAGE_FACTOR_95 * cv.mul_add(cv, 1.0).ln().sqrt()).exp();
        Ok(Some(RareEstimate {
            probability: Probability::new(p.min(1.0))?,
            coefficient_of_variation: cv,
            low: Probability::new((p / factor).min(1.0))?,
            high: Probability::new((p * factor).min(1.0))?,
            evaluations: self.evaluations,
            refused: self.refused,
        }))
    }

    /// Goes on to the end, on all cores: the same bits on any number of them.
    ///
    /// # Errors
    /// As [`RareFailure::told`]; [`ErrorKind::Cancelled`], after which it stands where the last block ended and can be gone on
    /// with.
    pub fn go_on(
        &mut self,
        cancel: Cancel<'_>,
        margin: impl Fn(&[f64]) -> Result<f64> + Sync + Send,
    ) -> Result<Option<RareEstimate>> {
        loop {
            let points = self.points();
            if points.is_empty() {
                return self.estimate();
            }
            let asked: Result<Vec<f64>> = on_all_cores(
                points.len(),
                || (),
                |(), i| {
                    cancel.check()?;
                    Ok(finished(margin(&points[i]))?.unwrap_or(REFUSED))
                },
            );
            self.told(&asked?)?;
        }
    }
}
