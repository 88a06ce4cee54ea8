//! A quantity with its spread: what it may reasonably be, as a bench, a maker or a certificate says it.
//!
//! | written | read as | source |
//! |---|---|---|
//! | `20 degC` | known exactly | |
//! | `20 +/- 1 degC`, `20 degC ± 1 K`, `(20 ± 1) °C` | anywhere within 1 K of 20 degC: rectangular, `u = 1 K/√3` | JCGM 100:2008, 4.3.7 |
//! | `450 g/m^2 +/- 5 %` | the same, the half-width as a part of the value | |
//! | `19 to 23 min` | anywhere between: rectangular, its value the middle | JCGM 100:2008, 4.3.7 |
//! | `20 degC, u = 0.5 K` | standard uncertainty: normal | JCGM 100:2008, 7.2.2; JCGM 101:2008, 6.4.7 |
//! | `20 degC (U = 1 K, k = 2)` | expanded uncertainty: normal, `u = U/k` | JCGM 100:2008, 7.2.4, 4.3.3 |
//! | `450 g/m^2, u = 5 %` | relative standard uncertainty: log-normal about the value as its mean, never negative | |
//!
//! A `+/-` without more is what a maker's tolerance or a bench says: limits, and nothing known of what lies between them. It
//! is no standard uncertainty: JCGM 100:2008, 7.2.2, warns of `±` for that, so that is said with `u =`.
//!
//! * Of a temperature point the spread is an interval: `+/- 1 K`, `+/- 1 degC` and `+/- 1 delta_degC` are the same.
//! * Where the quantity is itself a percentage, a percent alone behind `+/-` or `u =` could be points or a part of the value:
//!   it is refused. `65 +/- 5 %` is points; so is `65 %, u = 2 percentage points`; of `30 wt%` write `+/- 2 wt%`. A part of the
//!   value is then said so: `65 % +/- 5 % of value`.
//! * Limits outside what the quantity can be (`3 +/- 5 wt%`) are refused, with the limits that are left as the way out. A
//!   normal or log-normal distribution is cut off at the bounds of the quantity's type (a fraction at 0 and 1, a temperature at
//!   absolute zero): what is left has another mean and standard deviation, and those are answered. A standard uncertainty
//!   larger than half the width between two bounds is refused: nothing within the bounds has one.
//! * It is written back in the form it was given, in the document's unit, so that reading gives the same bits; an expanded
//!   uncertainty as the standard uncertainty that it is, a relative half-width as the half-width that it is.

mod ask;
mod distribution;
mod read;
#[cfg(test)]
mod tests;
mod write;

#[cfg(feature = "door")]
pub use ask::QUESTIONS;
pub use ask::{DistributionKind, ReadSpread, spread};
pub use distribution::{Distribution, Input};
pub use read::{LONGEST_SPREAD, is_marked, parse, read};

use super::{Measure, Quantity};
use crate::error::Result;
use crate::noun::{Noun, Reader, Shape, Value, Walk, Written};

/// A quantity with its spread. See the [module](self) for how it is written.
#[derive(Clone, Copy, PartialEq)]
pub struct Spread<Q: Quantity> {
    value: Q,
    distribution: Distribution,
}

impl<Q: Quantity> Spread<Q> {
    /// Known exactly.
    pub const fn exact(value: Q) -> Self {
        Spread {
            value,
            distribution: Distribution::Exact,
        }
    }

    /// Of a distribution, in SI.
    ///
    /// # Errors
    /// As [`Input::check`].
    pub fn new(value: Q, distribution: Distribution) -> Result<Self> {
        Spread::of(Input::new(value.si(), distribution, Q::MEASURE)?)
    }

    fn of(input: Input) -> Result<Self> {
        Ok(Spread {
            value: Q::from_si(input.value)?,
            distribution: input.distribution,
        })
    }

    /// Its value: the middle of limits, the most probable of a normal distribution, the mean of a log-normal one, each
    /// before it is cut off at a bound.
    pub const fn value(&self) -> Q {
        self.value
    }

    /// What it may reasonably be, in SI.
    pub const fn distribution(&self) -> Distribution {
        self.distribution
    }

    /// As an input of a model, in SI.
    pub fn input(&self) -> Input {
        Input {
            value: self.value.si(),
            distribution: self.distribution,
            of: Q::MEASURE,
        }
    }
}

impl<Q: Quantity> From<Q> for Spread<Q> {
    fn from(value: Q) -> Self {
        Spread::exact(value)
    }
}

impl<Q: Quantity> std::fmt::Debug for Spread<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.input().shown())
    }
}

impl<Q: Quantity> Written for Spread<Q> {
    fn walk(&self, w: &mut dyn Walk) {
        w.spread(&self.input());
    }
}

impl<Q: Quantity> Noun for Spread<Q> {
    fn shape() -> &'static Shape {
        const { &Shape::Spread(Q::MEASURE) }
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        let text = r.text_of(
            value,
            "a number with its unit, with or without its spread, as text",
        )?;
        r.ask(
            read("", &text, Q::MEASURE)
                .and_then(Spread::of)
                .map_err(|e| e.at("")),
        )
    }
}

/// What to write of a quantity, for example.
pub fn example(of: &Measure) -> String {
    match of.example.split_once(' ') {
        Some((number, unit)) => format!("{number} +/- {} {unit}", twentieth(number)),
        None => format!("{} +/- {}", of.example, twentieth(of.example)),
    }
}

/// A twentieth of a number, as it is written.
fn twentieth(number: &str) -> String {
    number
        .parse::<f64>()
        .map_or_else(|_| number.to_owned(), |x| super::figures(0.05 * x))
}
