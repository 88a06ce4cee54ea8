//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
#[cfg(feature = "proptest")]
mod plan;
mod units;
