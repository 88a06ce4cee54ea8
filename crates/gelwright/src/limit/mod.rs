//! Limits as data, and what breaks them: by how much, from which source, with the way out.
//!
//! A limit bounds one [`LimitQuantity`] for the materials, resin families or acts named in `applies_to` (none
//! named: for all), and where it says so for one [`Method`]. Published rules for one thing (`about`) that contradict each
//! other all stand and are never averaged: the one of the highest [`Rank`] is judged, the others are told. A limit from the
//! product's data sheet, or measured in this shop, wins over all general ones of the same quantity for the same subject.

mod allowed_dose;
mod cause;
mod finding;
pub(crate) mod limits;
mod quantity;

pub use crate::quantity::QuantityText;
pub use allowed_dose::{AllowedDose, allowed_doses};
pub use cause::Cause;
pub(crate) use cause::{GEL_TIME_UNKNOWN, NOTHING_CURES};
pub(crate) use finding::as_written;
pub use finding::{Bound, Finding, Lever, Measured, SlipOfTen, SmallestCure};
pub(crate) use limits::POROUS_WALL;
pub use limits::{LIMITS_VERSION, Limit, Limits};
pub use quantity::LimitQuantity;

use crate::noun::Noun;
#[cfg(feature = "door")]
use crate::question::Entry;
use crate::source::Standing;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[Limits::QUESTIONS, &[allowed_dose::ALLOWED_DOSES]];

/// How bad it is to break a limit.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
pub enum Severity {
    /// Worth knowing.
    Advice,
    /// The part may fail.
    Warning,
    /// Do not start: the part will fail or somebody may be hurt.
    Stop,
}

/// How something is put on. The words that a limit's `method` uses.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum Method {
    /// By brush.
    Brush,
    /// By spray gun.
    Spray,
    /// Plies wetted and rolled out by hand.
    Roller,
    /// Poured.
    Pour,
}

impl Method {
    /// Its word.
    pub fn name(self) -> &'static str {
        match self {
            Method::Brush => "brush",
            Method::Spray => "spray",
            Method::Roller => "roller",
            Method::Pour => "pour",
        }
    }
}

/// Whom breaking a limit harms.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Protects {
    /// The part, the mould or the material.
    #[default]
    Part,
    /// Somebody: such a stop stays whatever its source's standing, and its way out names the data sheet.
    Person,
}

/// What kind of source a rule comes from, the weakest first: of rules for one thing the highest is judged.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
pub enum Rank {
    /// A rule of thumb, or recalled.
    CommonPractice,
    /// A supplier's guide, a trade paper, a maker's sheet of a like product.
    TradeGuide,
    /// A handbook or a scientific paper.
    Handbook,
    /// A standard.
    Standard,
    /// The data sheet of the product in hand.
    DataSheet,
    /// Measured in this shop.
    ShopTest,
}

impl Rank {
    /// What a standing alone says.
    pub fn of(standing: Standing) -> Rank {
        match standing {
            Standing::MeasuredHere => Rank::ShopTest,
            Standing::DataSheet => Rank::DataSheet,
            Standing::Published | Standing::Derived => Rank::TradeGuide,
            _ => Rank::CommonPractice,
        }
    }
}

impl std::fmt::Display for Severity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Stop => "stop",
        })
    }
}
