//! How sure the numbers of an answer are.

use crate::noun::Noun;
use crate::propagate::Straightness;
use crate::quantity::spread::DistributionKind;
use crate::quantity::{Probability, QuantityText};

/// How sure the numbers of an answer are, by the spreads of what was asked.
///
/// Each number of the answer that moves is told: quantities, ratios, plain numbers and amounts of money, at their places in
/// lists and tables. Counts, words and times of day are those at the spreads' values. Interval and standard uncertainty are by
/// sampling (JCGM 101:2008, 7.5 to 7.7) on scrambled Sobol' points, beside them first order (JCGM 100:2008, 5.1.2); where no
/// points were asked for they are by first order.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Band {
    /// What was given with a spread.
    pub inputs: Vec<InputSpread>,
    /// The numbers that move, in the order of the answer; then those that the answer has only in some runs.
    pub numbers: Vec<NumberBand>,
    /// Runs that were refused, where any was: they are in no band.
    pub refused: Option<RefusedRuns>,
    /// Whether every band is settled; none where nothing was sampled.
    pub settled: Option<bool>,
    /// The seed of the sampling.
    pub seed: u64,
    /// Its scramblings.
    pub scramblings: u32,
    /// Points of each; 0 for first order alone.
    pub points: u32,
    /// Runs in all: that at the spreads' values, two for each spread, and the points.
    pub runs: usize,
}

impl Band {
    /// Of the number at that path of the answer; none where it does not move.
    pub fn of(&self, path: &str) -> Option<&NumberBand> {
        self.numbers.iter().find(|n| n.path == path)
    }
}

/// A quantity that was given with its spread.
#[derive(Clone, PartialEq, Noun)]
pub struct InputSpread {
    /// Where it stands in what was asked.
    pub path: String,
    /// As a document holds it.
    pub written: String,
    /// What it may reasonably be.
    pub distribution: DistributionKind,
    /// Its value.
    pub value: QuantityText,
    /// One standard deviation; of a temperature an interval.
    pub standard_uncertainty: QuantityText,
}

/// How sure one number of an answer is.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct NumberBand {
    /// Where it stands in the answer; empty where the answer is this one number.
    pub path: String,
    /// At the spreads' values: as the answer has it; none where the answer there has none.
    pub value: Option<QuantityText>,
    /// The mean over the samples.
    pub mean: Option<QuantityText>,
    /// One standard deviation; of a temperature an interval. None where too few runs have the number.
    pub standard_uncertainty: Option<QuantityText>,
    /// Lower end of the 95 % interval, with as much outside below as above.
    pub low: Option<QuantityText>,
    /// Upper end.
    pub high: Option<QuantityText>,
    /// Standard uncertainty by first order; none where the answer at the spreads' values has no such number.
    pub first_order: Option<QuantityText>,
    /// Whether the first order is enough; none where not every run has the number.
    pub straightness: Option<Straightness>,
    /// Whether mean, standard uncertainty and both ends are known to the numerical tolerance (JCGM 101:2008, 7.9.4); more
    /// points settle them. None where nothing was sampled.
    pub settled: Option<bool>,
    /// Share of the answered runs in which the answer has no such number, where there are such: the band is of the others.
    pub absent: Option<Probability>,
    /// The uncertainty budget (JCGM 200:2012, 2.33): what makes the band, the largest first, down to a hundredth.
    pub budget: Vec<BudgetLine>,
}

/// What one input has of a band.
#[derive(Clone, PartialEq, Noun)]
pub struct BudgetLine {
    /// The input's path.
    pub input: String,
    /// Its part of the variance, 0 to 1: by first order, `(c u)²/u_c²`; with `indices` the Sobol' total index, what it makes
    /// alone and with others, so that the sum may be above 1.
    pub part: f64,
}

/// Runs that were refused.
#[derive(Clone, PartialEq, Noun)]
pub struct RefusedRuns {
    /// How many of all runs.
    pub runs: usize,
    /// Share of the samples; where nothing was sampled, of all runs.
    pub share: Probability,
    /// What the first of them was refused for.
    pub first: String,
    /// The kind of that refusal.
    pub kind: String,
    /// The field it names.
    pub field: String,
    /// What the inputs were there, in their order.
    pub at: Vec<QuantityText>,
}
