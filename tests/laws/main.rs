//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
mod data;
mod cure;
mod mix;
mod laminate;
mod flow;
mod light;
mod units;
