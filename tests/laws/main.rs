//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
mod calibrate;
#[cfg(feature = "proptest")]
mod card;
mod cure;
mod data;
#[cfg(feature = "proptest")]
mod door;
mod fit;
mod flow;
mod heat;
mod laminate;
mod light;
mod mix;
#[cfg(feature = "proptest")]
mod plan;
mod readiness;
mod spread;
mod units;
