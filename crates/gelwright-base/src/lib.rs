//! What the rooms of Gelwright stand on: [`quantity`] (units as people write them), [`source`] (where a number comes
//! from), [`error`] (what can be wrong), [`noun`] (how a noun of the trade is described once, and read, written,
//! checked and explained from that), [`document`] (TOML and JSON), [`question`] (what can be asked of a noun).
//!
//! Use the `gelwright` crate, which gives all of this under its own name; this crate is apart only so that a change
//! in the science does not build it again.
#![forbid(unsafe_code)]

extern crate self as gelwright_base;

pub mod cancel;
pub mod check;
pub mod constants;
#[doc(hidden)]
pub mod cores;
pub mod document;
pub mod error;
pub mod kept;
pub mod measurement;
pub mod noun;
pub mod numeric;
pub mod propagate;
pub mod quantity;
pub mod question;
pub mod random;
pub mod reliability;
pub mod sample;
pub mod sensitivity;
pub mod source;
pub mod uncertain;

pub use cancel::Cancel;
pub use error::{Error, ErrorKind, Result};
pub use measurement::Estimate;
pub use noun::Noun;
pub use source::{Property, Source, Standing, Why};
pub use uncertain::{Banded, Uncertain};
