//! What fuzzing has found at the door and in castings does not come back: every kept input, with the ordinary compiler.
#![allow(clippy::unwrap_used)]

#[path = "../checks/answer.rs"]
mod answer;
#[path = "../checks/casting.rs"]
mod casting;
mod corpus;
#[path = "../checks/door.rs"]
mod door;

#[test]
fn every_kept_request_is_answered_or_refused() {
    corpus::each("door", door::check);
}

#[test]
fn every_kept_casting_is_planned_or_refused() {
    corpus::each("casting", casting::check);
}

/// A kept casting that is refused for its version would check nothing.
#[test]
fn kept_castings_are_read() {
    for kept in [
        include_str!("../corpus/casting/cure_of_fifteen_years"),
        include_str!("../corpus/casting/panel"),
    ] {
        gelwright::plan::Casting::from_toml(kept).unwrap();
    }
}

/// The checks themselves must be able to fail.
#[test]
fn what_is_no_number_is_noticed() {
    let noticed =
        |request: &str, answer: &str| std::panic::catch_unwind(|| answer::sound(request, answer)).is_err();
    assert!(noticed("{}", r#"{"mass": "NaN g"}"#));
    assert!(noticed("{}", r#"["-inf"]"#));
    assert!(noticed("{}", r#"{"mass": NaN}"#));
    assert!(!noticed("{}", r#"{"mass": "1 g", "note": "information"}"#));
    assert!(!noticed(r#"{"name": "inf"}"#, r#"{"casting": "inf"}"#));
}
