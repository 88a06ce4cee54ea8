//! Checks against the outside: one file a topic, the source beside each expected value.
#![allow(clippy::unwrap_used)]
mod batch;
mod plan;
mod units;
