//! The card: what a person reads first of a plan (`plan::Plan`). Whether to cast today, what is most likely to ruin
//! it and what to change, a card for each cup, the clock; then everything else, once. As text for a terminal and as a page
//! that prints. Labels and units come from one table of messages, in English and German.
//!
//! Data flows one way here too: message, cause → figure → card → wording → text, picture, page → compare.

mod cause;
mod chance;
mod figure;
mod made;
mod message;
mod page;
mod picture;
mod record;
mod rest;
mod shelf;
mod side_by_side;
mod style;
mod text;
mod wording;

pub use crate::limit::Cause;
pub use made::{Card, ClockLine, CupCard, CupLine, Trouble};
pub use message::Language;
pub use page::page_of;

#[cfg(feature = "door")]
use crate::plan::{Comparison, Plan, RestOfDay};
#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
use crate::risk::Risk;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Plan::CARD,
    Card::QUESTIONS,
    &[page::PAGE_OF],
    Comparison::SIDE_BY_SIDE,
    RestOfDay::TELLING,
    Risk::TELLING,
];
