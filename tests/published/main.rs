//! Checks against the outside: one file a topic, the source beside each expected value.
#![allow(clippy::unwrap_used)]
mod laminate_contents;
mod laminate_edge;
mod laminate_micro;
mod laminate_theory;
mod units;
