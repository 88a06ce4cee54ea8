//! A value held against a limit.

use super::{LimitQuantity, QuantityText, Severity};
use crate::noun::Noun;
use crate::quantity::Quantity;
use crate::source::Source;

/// A value to be held against limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// What it is.
    pub quantity: LimitQuantity,
    /// Of what, in words ("gel coat, batch 2").
    pub subject: String,
    /// Material ids, resin family, acts: what `applies_to` is matched with.
    pub tags: Vec<String>,
    /// The value in SI.
    pub si: f64,
    /// Its low and high end in SI, where it is no surer than that.
    pub band: Option<(f64, f64)>,
}

impl Measured {
    /// Of a typed quantity.
    pub fn new<Q: Quantity>(
        quantity: LimitQuantity,
        subject: impl Into<String>,
        tags: &[String],
        q: Q,
    ) -> Self {
        Measured {
            quantity,
            subject: subject.into(),
            tags: tags.to_vec(),
            si: q.si(),
            band: None,
        }
    }

    /// With its low and its high end.
    #[must_use]
    pub fn between<Q: Quantity>(mut self, low: Q, high: Q) -> Self {
        self.band = Some((low.si(), high.si()));
        self
    }

    /// Held against a window, in SI.
    pub(crate) fn held_in(&self, low: Option<f64>, high: Option<f64>) -> Held {
        let text = |si: f64| QuantityText::of_si(si, self.quantity.measure());
        let margin = nearest(self.si, low, high).map(|(_, margin)| margin);
        Held {
            value: text(self.si),
            ends: self.band.map(|(low, high)| (text(low), text(high))),
            low: low.map(text),
            high: high.map(text),
            margin: margin.map(|x| QuantityText::of_si(x, self.quantity.difference())),
            // A value that carries rounding from a unit conversion is not "outside" by 1e-16.
            broken: margin.is_some_and(|x| x < -1e-9 * self.si.abs().max(1e-12)),
        }
    }
}

/// A value held against one limit: numbers; what is said of them is put into words where it is shown.
#[derive(Clone, PartialEq, Noun)]
pub struct Finding {
    /// The limit's name.
    pub limit: String,
    /// What is bounded.
    pub quantity: LimitQuantity,
    /// Of what.
    pub subject: String,
    /// The value; absent where nobody can tell it.
    pub value: Option<QuantityText>,
    /// Low end of the value, where it is no surer than that.
    pub value_low: Option<QuantityText>,
    /// High end of the value.
    pub value_high: Option<QuantityText>,
    /// Not below.
    pub low: Option<QuantityText>,
    /// Not above.
    pub high: Option<QuantityText>,
    /// How far inside (positive) or outside (negative) the nearest bound.
    pub margin: Option<QuantityText>,
    /// Whether the limit is broken.
    pub broken: bool,
    /// How bad that is.
    pub severity: Severity,
    /// What goes wrong.
    pub message: String,
    /// What to do instead.
    pub way_out: String,
    /// What was probably meant, where the value is off by a power of ten.
    pub slip: Option<SlipOfTen>,
    /// Set aside because the product's data sheet or this shop's measurement says otherwise.
    #[noun(default)]
    pub set_aside: bool,
    /// On whose word.
    pub source: Source,
}

/// A value that would be inside its window with its point one place further: the dose of another cup.
#[derive(Clone, PartialEq, Noun)]
pub struct SlipOfTen {
    /// What was probably meant.
    pub meant: QuantityText,
    /// How many times the value given that is: 10 or 0.1.
    pub times: f64,
}

/// A bound of a finding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound<'f> {
    /// Not below this.
    AtLeast(&'f QuantityText),
    /// Not above this.
    AtMost(&'f QuantityText),
}

impl Finding {
    /// The bound that the margin is counted from.
    pub fn bound(&self) -> Option<Bound<'_>> {
        let si = |t: &Option<QuantityText>| t.as_ref()?.si("", self.quantity.measure()).ok();
        match nearest(si(&self.value)?, si(&self.low), si(&self.high))?.0 {
            Side::Low => self.low.as_ref().map(Bound::AtLeast),
            Side::High => self.high.as_ref().map(Bound::AtMost),
        }
    }
}

/// What a window says of a value.
pub(crate) struct Held {
    pub(crate) value: QuantityText,
    pub(crate) ends: Option<(QuantityText, QuantityText)>,
    pub(crate) low: Option<QuantityText>,
    pub(crate) high: Option<QuantityText>,
    pub(crate) margin: Option<QuantityText>,
    pub(crate) broken: bool,
}

enum Side {
    Low,
    High,
}

/// The nearest bound, and how far inside it the value lies.
fn nearest(si: f64, low: Option<f64>, high: Option<f64>) -> Option<(Side, f64)> {
    let below = low.map(|b| (Side::Low, si - b));
    let above = high.map(|b| (Side::High, b - si));
    match (below, above) {
        (Some((_, b)), Some((side, a))) if a <= b => Some((side, a)),
        (Some(b), _) => Some(b),
        (None, a) => a,
    }
}

/// A value that would be inside its window at ten times, or a tenth, was probably written with its point in the
/// wrong place. A window open on one side proves nothing.
pub(super) fn slip_of_ten(m: &Measured, low: Option<f64>, high: Option<f64>) -> Option<SlipOfTen> {
    let (low, high) = (low?, high?);
    let meant = [(10.0, m.si * 10.0), (0.1, m.si / 10.0)];
    meant
        .into_iter()
        .find(|(_, si)| (low..=high).contains(si))
        .map(|(times, si)| SlipOfTen {
            meant: QuantityText::of_si(as_written(si), m.quantity.measure()),
            times,
        })
}

/// Nobody writes a dose to more than nine figures: 10 x 0.18 is 1.8.
fn as_written(x: f64) -> f64 {
    format!("{x:.8e}").parse().unwrap_or(x)
}
