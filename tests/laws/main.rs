//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
mod flow;
mod light;
mod units;
