//! A value held against a limit.

use super::{LimitQuantity, QuantityText, Severity};
use crate::noun::Noun;
use crate::quantity::{
    Force, Index, Length, Mass, MassFraction, Measure, Phr, Quantity, RelativeHumidity,
    ThermodynamicTemperature, Time, Volume,
};
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

    /// Whether it lies outside a window, in SI. A value that carries rounding from a unit conversion does not, by 1e-16.
    pub(crate) fn breaks(&self, low: Option<f64>, high: Option<f64>) -> bool {
        nearest(self.si, low, high).is_some_and(|(_, x)| x < -1e-9 * self.si.abs().max(1e-12))
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
            broken: self.breaks(low, high),
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
    /// Told, not judged: the product's data sheet, this shop's measurement or a rule of a higher rank for the same thing says
    /// otherwise.
    #[noun(default)]
    pub set_aside: bool,
    /// The least change of one input that cures it, proved by planning again; only where it was looked for.
    pub smallest_cure: Option<SmallestCure>,
    /// It was looked for, and no change of one input within its range cures it: it is told before the others of its severity.
    #[noun(default)]
    pub no_cure: bool,
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

/// The least change of one input of a casting that cures a finding, rounded to what a hand can set, and proved by planning
/// again.
#[derive(Clone, PartialEq, Noun)]
pub struct SmallestCure {
    /// What is changed.
    pub lever: Lever,
    /// The inputs that are set, by their paths in the casting; several where one act sets them (the air, the mould and the tin
    /// of one warmed shop; layers that are laid alike).
    pub fields: Vec<String>,
    /// What is set, where it has a name of its own (a zone, a recipe).
    #[noun(default)]
    pub of: Vec<String>,
    /// The value before, where there was one.
    pub from: Option<QuantityText>,
    /// The value that cures it; absent where it is done or not done.
    pub to: Option<QuantityText>,
    /// Findings that the change brings, by the names of their limits; none of them as bad as what it cures.
    #[noun(default)]
    pub brings: Vec<String>,
    /// Other findings that it cures too.
    #[noun(default)]
    pub cures_too: Vec<String>,
}

/// What can be changed to cure a finding, the least harmful first: what is measured and waited before what is warmed, warmth
/// before what the part is made of. The order is the authors' choice.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Lever {
    /// The dropper's drops are counted onto the scale once.
    CountedDrops,
    /// A syringe for the catalyst, by its division.
    Syringe,
    /// A finer scale, by its step.
    Scale,
    /// The mould's pores are sealed.
    SealedPores,
    /// Coats of a release agent.
    ReleaseCoats,
    /// Clamps.
    Clamps,
    /// Force of each clamp.
    ClampForce,
    /// Time in the closed mould.
    InMouldTime,
    /// The mould alone is warmed or cooled.
    MouldTemperature,
    /// The resin in its tin alone is warmed or cooled.
    ResinTemperature,
    /// Air, mould and resin together.
    ShopTemperature,
    /// Humidity of the air.
    Humidity,
    /// The oven's temperature in the post-cure.
    OvenTemperature,
    /// How long the oven is left to rise.
    OvenRise,
    /// Heat that the part is kept below in use.
    HeatInUse,
    /// More coats of gel coat, the film as thick as before.
    Coats,
    /// Wet thickness of each coat.
    CoatThickness,
    /// Layers that a pour is split into, each hardened before the next.
    PourLayers,
    /// Sessions that the plies of a laminate are laid in, each let go cool before the next.
    Sessions,
    /// Thickness of a pour.
    PourThickness,
    /// Height of the seam's bead.
    BeadHeight,
    /// Dose of catalyst or hardener, inside its window.
    Dose,
    /// Thickener in a paste.
    Thickener,
    /// Filler, chopped fibre or pigment.
    Loading,
    /// Thinner in the resin.
    Thinner,
    /// Glass content of a laminate.
    GlassContent,
}

impl Lever {
    /// What kind of quantity it sets.
    pub fn measure(self) -> &'static Measure {
        use Lever as L;
        match self {
            L::CountedDrops | L::SealedPores | L::ReleaseCoats | L::Clamps => Index::MEASURE,
            L::Coats | L::PourLayers | L::Sessions => Index::MEASURE,
            L::Syringe => Volume::MEASURE,
            L::Scale => Mass::MEASURE,
            L::ClampForce => Force::MEASURE,
            L::InMouldTime | L::OvenRise => Time::MEASURE,
            L::MouldTemperature | L::ResinTemperature | L::ShopTemperature => {
                ThermodynamicTemperature::MEASURE
            }
            L::OvenTemperature | L::HeatInUse => ThermodynamicTemperature::MEASURE,
            L::Humidity => RelativeHumidity::MEASURE,
            L::CoatThickness | L::PourThickness | L::BeadHeight => Length::MEASURE,
            L::Dose | L::Thickener | L::Loading | L::Thinner => Phr::MEASURE,
            L::GlassContent => MassFraction::MEASURE,
        }
    }
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
    /// Whether it lies below its bound.
    pub(crate) fn is_low(&self) -> bool {
        matches!(self.bound(), Some(Bound::AtLeast(_)))
    }

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

/// Nobody writes a value to more than nine figures: 10 x 0.18 is 1.8.
pub(crate) fn as_written(x: f64) -> f64 {
    format!("{x:.8e}").parse().unwrap_or(x)
}
