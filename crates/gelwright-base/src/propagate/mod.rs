//! How the spread of what goes into a model reaches what comes out of it.
//!
//! First order (JCGM 100:2008) beside sampling (JCGM 101:2008) on scrambled Sobol' points, several scramblings of them, so
//! that the answer says how far off it may be itself. Where the two agree the first order is enough; where the model has no
//! slope at its inputs' values, as `y = x²` has none at 0, the first order says zero, and is told to be wrong.
//!
//! ```
//! use gelwright_base::Cancel;
//! use gelwright_base::propagate::{Sampling, Straightness, propagate};
//! use gelwright_base::quantity::{Index, spread};
//!
//! let x = spread::parse::<Index>("x", "0, u = 1").unwrap().input();
//! let squared = propagate(&[x], Sampling::default(), Cancel::NEVER, |x| Ok(x[0] * x[0])).unwrap();
//! assert_eq!(squared.first_order.standard_uncertainty, 0.0);
//! assert_eq!(squared.straightness, Straightness::Flat);
//! assert!((squared.sampled.unwrap().mean.value - 1.0).abs() < 0.01);
//! ```
//!
//! The inputs are independent. The runs are laid out first ([`Design`]): each is a pure function of its number, so a room
//! works them out on as many threads as it likes, in any order, and has them [read](Design::read) to the same bits.

mod design;
mod first_order;
mod sampled;
#[cfg(test)]
mod tests;

pub use design::{Design, MOST_RUNS, Sampling};
pub use first_order::FirstOrder;
pub use sampled::{Sampled, Settling};

use crate::cancel::Cancel;
use crate::error::Result;
use crate::quantity::spread::Input;

/// What comes out of a model, in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// The model at its inputs' values.
    pub value: f64,
    /// By first order.
    pub first_order: FirstOrder,
    /// By sampling; none where no points were asked for.
    pub sampled: Option<Sampled>,
    /// Whether the first order is enough.
    pub straightness: Straightness,
    /// What each input with a spread has of the band: the largest first.
    pub shares: Vec<Share>,
}

/// Whether the model is straight enough over its inputs' spread for the first order.
#[derive(Clone, Copy, PartialEq, Eq, crate::noun::Noun)]
pub enum Straightness {
    /// It is: the first order's 95 % interval ends where the sampled one does, within the numerical tolerance of JCGM
    /// 101:2008, clause 8.1.
    Straight,
    /// It is not: the two intervals end elsewhere.
    Bent,
    /// It has no slope at its inputs' values, and moves all the same: an extremum, or inputs that only act together.
    Flat,
    /// No points were asked for; each input alone bends it so little that the second order adds less than a twentieth
    /// to the standard uncertainty. Inputs that only act together are not seen.
    SeemsStraight,
}

impl Straightness {
    /// Whether the first order will do.
    pub const fn first_order_is_enough(self) -> bool {
        matches!(self, Straightness::Straight)
    }
}

/// What an input has of the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Which input.
    pub input: usize,
    /// Its part of the variance by first order, `(c u)²/u_c²`; zero where the first order says that there is none.
    pub first_order: f64,
    /// The part of the variance that would go if it alone were known exactly (Sobol' index of first order); with
    /// [`Sampling::indices`].
    pub alone: Option<Settling>,
    /// The part that would stay if all but it were known (Sobol' total index): what it makes alone and with others.
    pub total: Option<Settling>,
    /// The model has no slope in it at the inputs' values, and yet moves with it: its first-order share says nothing.
    pub flat: bool,
}

impl Share {
    /// Its part of the variance, as far as is known.
    pub fn part(&self) -> f64 {
        self.total.map_or(self.first_order, |t| t.value)
    }
}

impl Propagated {
    /// The inputs that make the band: the fewest that hold `part` of the sum of all shares, the largest first.
    pub fn made_by(&self, part: f64) -> Vec<usize> {
        let all: f64 = self.shares.iter().map(Share::part).sum();
        let mut held = 0.0;
        let mut makers = Vec::new();
        for share in &self.shares {
            if held >= part * all || share.part() <= 0.0 {
                break;
            }
            held += share.part();
            makers.push(share.input);
        }
        makers
    }
}

/// Works out all runs one by one on the calling thread; a room that has threads lays out a [`Design`] itself.
///
/// # Errors
/// As [`Design::new`] and [`Design::read`]; as the model refuses; [`ErrorKind::Cancelled`](crate::ErrorKind::Cancelled).
pub fn propagate(
    inputs: &[Input],
    sampling: Sampling,
    cancel: Cancel<'_>,
    mut model: impl FnMut(&[f64]) -> Result<f64>,
) -> Result<Propagated> {
    let design = Design::new(inputs, sampling)?;
    let mut x = vec![0.0; inputs.len()];
    let mut results = Vec::with_capacity(design.runs());
    for run in 0..design.runs() {
        cancel.check()?;
        design.run(run, &mut x);
        results.push(model(&x)?);
    }
    design.read(&results)
}
