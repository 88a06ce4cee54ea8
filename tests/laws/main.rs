//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
#[cfg(feature = "proptest")]
mod plan;
mod cure;
mod data;
mod flow;
mod laminate;
mod light;
mod mix;
mod heat;
mod units;
