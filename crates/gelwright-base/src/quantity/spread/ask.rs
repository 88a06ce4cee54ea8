//! What can be asked of a spread.

use super::{Distribution, Input, read};
use crate::error::Result;
use crate::noun::{Noun, questions};
use crate::quantity::{Measure, Probability, QuantityText};
#[cfg(feature = "door")]
use crate::question::Entry;

/// The kind of a distribution.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum DistributionKind {
    /// Known exactly.
    Exact,
    /// Anywhere between two ends, nothing more known.
    Rectangular,
    /// Normal, cut off at the bounds of what is measured.
    Normal,
    /// Log-normal, never negative.
    LogNormal,
}

/// A quantity with its spread, as it was understood.
#[derive(Clone, Noun)]
pub struct ReadSpread {
    /// Its value.
    pub value: QuantityText,
    /// What it may reasonably be.
    pub distribution: DistributionKind,
    /// One standard deviation; of a temperature an interval.
    pub standard_uncertainty: QuantityText,
    /// Lower end: of a rectangular distribution, or of the interval that holds 95 %.
    pub low: QuantityText,
    /// Upper end.
    pub high: QuantityText,
    /// The probability that it lies between the two.
    pub coverage: Probability,
    /// The same spread as a document holds it.
    pub written: String,
}

/// Reads a quantity with or without its spread, and says what is understood.
///
/// A `+/-` gives limits, of which nothing more is known: rectangular, `u = a/√3`. So do two ends, "19 to 23 min". A standard
/// uncertainty is said with `u =` (normal; relative, in percent: log-normal), an expanded one with `U =` and `k =`.
/// Source: JCGM 100:2008, 4.3.7, 7.2.2, 7.2.4.
///
/// # Errors
/// As [`read`](super::read()); `UnknownName` for the name of a quantity.
#[questions("quantity.spread")]
pub fn spread(
    /// A number with its unit and its spread, such as "20 +/- 1 degC".
    text: &str,
    /// What it measures, such as "temperature".
    quantity: &str,
) -> Result<ReadSpread> {
    let of = Measure::named("quantity", quantity)?;
    let input = read("text", text, of)?;
    let (low, high) = input.ends();
    Ok(ReadSpread {
        value: QuantityText::of_si(input.value, of),
        distribution: input.kind(),
        standard_uncertainty: QuantityText::of_si(input.standard_uncertainty(), of.difference()),
        low: QuantityText::of_si(low, of),
        high: QuantityText::of_si(high, of),
        coverage: Probability::new(match input.kind() {
            DistributionKind::Exact | DistributionKind::Rectangular => 1.0,
            DistributionKind::Normal | DistributionKind::LogNormal => super::distribution::COVERAGE,
        })?,
        written: input.tagged(),
    })
}

impl Input {
    /// The kind of its distribution.
    pub const fn kind(&self) -> DistributionKind {
        match self.distribution {
            Distribution::Exact => DistributionKind::Exact,
            Distribution::Within(_) | Distribution::Between(..) => DistributionKind::Rectangular,
            Distribution::Normal(_) => DistributionKind::Normal,
            Distribution::LogNormal(_) => DistributionKind::LogNormal,
        }
    }
}

/// What can be asked of a spread.
#[cfg(feature = "door")]
pub const QUESTIONS: &[Entry] = &[SPREAD];
