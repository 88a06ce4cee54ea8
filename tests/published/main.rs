//! Checks against the outside: one file a topic, the source beside each expected value.
#![allow(clippy::unwrap_used)]
mod heat_conduction;
mod heat_critical;
mod heat_cure;
mod heat_reference;
mod units;
