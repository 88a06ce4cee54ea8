//! Limits as data, and what breaks them: by how much, from which source, with the way out.
//!
//! A limit bounds one [`LimitQuantity`] for the materials, resin families or acts named in `applies_to` (none
//! named: for all). Published limits that contradict each other both stand and both answer; they are never
//! averaged. A limit from the product's data sheet, or measured in this shop, wins: it sets aside the general
//! ones of the same quantity for the same subject, which are still shown as set aside.

mod finding;
pub(crate) mod limits;
mod quantity;

pub use crate::quantity::QuantityText;
pub use finding::{Bound, Finding, Measured, SlipOfTen};
pub use limits::{LIMITS_VERSION, Limit, Limits};
pub use quantity::LimitQuantity;

use crate::noun::Noun;
#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[Limits::QUESTIONS];

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

impl std::fmt::Display for Severity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Stop => "stop",
        })
    }
}
