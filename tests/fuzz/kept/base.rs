//! What fuzzing has found in texts with units does not come back: every kept input, with the ordinary compiler.
#![allow(clippy::unwrap_used)]

mod corpus;
#[path = "../checks/unit_text.rs"]
mod unit_text;

#[test]
fn every_kept_text_with_a_unit_is_read_or_refused() {
    corpus::each("unit_text", unit_text::check);
}

/// The check itself must be able to fail.
#[test]
#[should_panic(expected = "which is refused")]
fn a_text_that_shows_what_can_not_be_read_is_noticed() {
    unit_text::reads_back(gelwright_base::quantity::MassFraction::ZERO, "101 wt%", 0.0);
}
