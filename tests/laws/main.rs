//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
#![allow(clippy::unwrap_used)]
#[cfg(feature = "proptest")]
mod air;
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
mod limits;
mod mix;
mod mould;
mod movers;
#[cfg(feature = "proptest")]
mod plan;
mod readiness;
mod record;
mod shop_tests;
mod spread;
mod units;
