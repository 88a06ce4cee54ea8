//! The shelf over time: which lot goes first ([`Shelf`]), which packages to buy ([`Purchase`]), how to cut mat and cloth
//! from the roll ([`Roll`]), what a part costs ([`PartCosts`]). Pure functions of plain data: who embeds this keeps the
//! database.
//!
//! Use the `gelwright` crate, which gives all of this as `gelwright::stock`; this crate is apart only so that it builds beside
//! the science.
#![forbid(unsafe_code)]

mod costs;
mod cut;
mod date;
mod held;
mod lot;
mod package;

pub use costs::{BreakEven, CastingCosts, CheaperFrom, PartCosts, Way};
pub use cut::{CutList, CutPiece, Piece, Roll};
pub use date::Date;
pub use held::Held;
pub use lot::{Lot, LotWord, Missing, Shelf, Taken, Wanted, WantedBatch, Withdrawal, Word};
pub use package::{Bought, Cover, Package, PriceFrom, Purchase};

#[cfg(feature = "door")]
use gelwright_base::question::Entry;
/// What can be asked of the shelf.
#[cfg(feature = "door")]
pub const QUESTIONS: &[&[Entry]] = &[
    Shelf::QUESTIONS,
    Purchase::QUESTIONS,
    Roll::QUESTIONS,
    PartCosts::QUESTIONS,
    BreakEven::QUESTIONS,
];
