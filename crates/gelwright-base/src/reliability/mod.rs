//! How likely something fails: shares with their intervals, quantiles of what was drawn, inputs that go together, and
//! failures too rare to be drawn by chance.
//!
//! * [`Proportion`]: so many of so many, and what that says of the probability.
//! * [`order`]: quantiles of a sample with intervals that ask nothing of its distribution, and how many runs a statement takes.
//! * [`Correlation`]: inputs that go together, by a Gaussian copula.
//! * [`RareFailure`]: importance sampling that finds its way to the failures; it can be written down at any time and gone
//!   on with.
//!
//! Means and quantiles from quasi-random points, with their errors from independent scramblings, stand in
//! [`propagate`](crate::propagate); which input makes a spread, in [`sensitivity`](crate::sensitivity).

mod correlation;
pub mod order;
mod proportion;
mod rare;
#[cfg(test)]
mod tests;

pub use correlation::Correlation;
pub use proportion::{Proportion, ProportionInterval};
pub use rare::{REFUSED, RareEstimate, RareFailure, RareSettings};

use crate::error::{Error, Result};

/// A confidence strictly between none and certainty.
fn confident(confidence: f64) -> Result<f64> {
    if confidence > 0.0 && confidence < 1.0 {
        return Ok(confidence);
    }
    Err(Error::out_of_range(
        "confidence",
        confidence,
        "above 0 % and below 100 %",
        "95 % is usual",
    ))
}
