//! Gelwright computes a composite casting before any resin is mixed: how much of each material, how much
//! catalyst today, how long each batch stays workable, what breaks a limit and from which source.
//!
//! Data flows one way: [`quantity`], [`source`] → [`mould`], [`stock`] → [`material`] → [`mix`] → [`cure`], [`flow`],
//! [`laminate`], [`light`] → [`heat`] → [`calibrate`] → [`limit`] → [`air`] → [`plan`] → [`risk`] → [`card`]. A module imports only
//! from its left. What can be asked of the nouns in these rooms can be asked by name too, in JSON, for other languages: `door`
//! (feature `door`).
#![forbid(unsafe_code)]

pub mod air;
pub mod calibrate;
pub mod card;
pub mod cure;
#[cfg(feature = "door")]
pub mod door;
pub mod flow;
pub mod heat;
pub mod laminate;
pub mod light;
pub mod limit;
pub mod material;
pub mod mix;
pub mod plan;
mod ranges;
pub mod risk;
#[cfg(feature = "proptest")]
pub mod strategies;

pub use gelwright_base::{
    Cancel, Error, ErrorKind, Noun, Property, Result, Source, Standing, Why, cancel, constants, document,
    error, noun, propagate, quantity, question, random, reliability, sensitivity, source, uncertain,
};

/// Measuring a mould: a crate of its own.
pub use gelwright_mould as mould;
/// The shelf over time: lots, packages, cut lists, what parts cost.
pub use gelwright_stock as stock;

use gelwright_base::{check, cores, kept, numeric, sample};

/// The Rust of the README runs as a doc test.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
