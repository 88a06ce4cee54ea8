//! Checks against the outside: one file a topic, the source beside each expected value.
#![allow(clippy::unwrap_used)]
mod flow_drain;
mod flow_paste;
mod flow_squeeze;
mod flow_viscosity;
mod light_hiding;
mod light_translucency;
mod units;
