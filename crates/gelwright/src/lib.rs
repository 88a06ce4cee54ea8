//! Gelwright computes a composite casting before any resin is mixed: how much of each material, how much
//! catalyst today, how long each batch stays workable, what breaks a limit and from which source.
//!
//! Data flows one way: [`quantity`], [`source`] → material → mix → cure, flow, laminate, light → heat → mould →
//! limit → plan → stock, fit, risk, sweep. A module imports only from its left.
#![forbid(unsafe_code)]

pub mod cancel;
mod check;
pub mod cure;
pub mod document;
pub mod door;
pub mod error;
pub mod flow;
pub mod heat;
pub mod laminate;
pub mod light;
pub mod limit;
pub mod material;
pub mod mix;
pub mod plan;
pub mod quantity;
pub mod random;
pub mod source;
#[cfg(feature = "proptest")]
pub mod strategies;

pub use cancel::Cancel;
pub use error::{Error, ErrorKind, Result};
pub use source::{Property, Source, Standing, Why};

/// The Rust of the README runs as a doc test.
#[cfg(doctest)]
#[doc = include_str!("../../../README.md")]
pub struct Readme;
