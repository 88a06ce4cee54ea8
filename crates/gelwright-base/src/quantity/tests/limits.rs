//! Long, deep, huge and tiny.

use std::time::{Duration, Instant};

use super::super::*;
use super::{reads, refuses};
use crate::ErrorKind;

#[test]
fn numbers_beyond_all_sizes_are_refused() {
    use ErrorKind::{NotFinite, OutOfRange};
    refuses("1e9223372036854775807 t", "kg", NotFinite, "finite mass");
    refuses("1e99999999999999999999999999 t", "kg", NotFinite, "finite mass");
    refuses("1e999 g", "g", NotFinite, "finite mass");
    refuses("1e308 GPa", "Pa", NotFinite, "finite pressure");
    refuses("1e-400 g", "g", OutOfRange, "write 0");
    refuses("1e-9223372036854775808 t", "kg", OutOfRange, "write 0");
    refuses("1e-300 um^4", "m^4", OutOfRange, "write 0");
    refuses("-1e-400 degC", "degC", OutOfRange, "write 0");
    reads("0e-400 g", 0.0, "g");
    reads("0.000e9223372036854775807 g", 0.0, "g");
    reads("1e-320 kg", 1e-320, "kg");
    refuses(
        "1 ((((((((mm/m)^4)^4)^4)^4)^4)^4)^4)",
        "1",
        ErrorKind::Unreadable,
        "powers are too large",
    );
}

/// Texts that are long or deep, and what they are to measure.
fn heavy() -> Vec<String> {
    let deep = |n: usize| format!("1 {}g{}", "(".repeat(n), ")".repeat(n));
    vec![
        deep(19_000),
        deep(45),
        format!("1 {}g", "(".repeat(98)),
        format!("1 {}", ")".repeat(98)),
        format!("1{} g", "0".repeat(390)),
        format!("1{} g", "0".repeat(1_000_000)),
        format!("0.{}1 g", "0".repeat(380)),
        format!("1 {}", "g ".repeat(50)),
        format!("1 {}", "g/".repeat(50)),
        format!("1 {}", "x".repeat(100)),
        format!("1 {}", "abcdefghij".repeat(10)),
        format!("1 {}", "abcdefghijklmnopqrstuvwxyz".repeat(40_000)),
        format!("1 {}", "kilogramme".repeat(4)),
        "1 lb ".repeat(80),
        "1,".repeat(200),
        "½".repeat(400),
        "1 ".repeat(200),
        " ".repeat(1_000_000),
    ]
}

#[test]
fn long_and_deep_texts_are_answered_at_once() {
    for text in heavy() {
        let mut best = Duration::MAX;
        for _ in 0..5 {
            let start = Instant::now();
            for of in [Mass::MEASURE, Time::MEASURE, HeatTransfer::MEASURE, Phr::MEASURE] {
                let read = parse_number_and_unit("x", &text, of.dimension, of.name, of.example);
                if let Err(e) = read {
                    assert!(e.to_string().chars().count() < 600, "{e}");
                }
            }
            best = best.min(start.elapsed());
        }
        // Some ten microseconds each, a million spaces or letters aside; never slower than a millisecond or so.
        assert!(
            best < Duration::from_millis(8),
            "{best:?}: {}",
            crate::error::cut(&text)
        );
    }
}

#[test]
fn limits_are_kept_to_the_character() {
    let deep = |n: usize| format!("1 {}g{}", "(".repeat(n), ")".repeat(n));
    reads(&deep(DEEPEST_BRACKETS), 1.0, "g");
    refuses(
        &deep(DEEPEST_BRACKETS + 1),
        "g",
        ErrorKind::Unreadable,
        "brackets stand within 8 others at most",
    );
    refuses(
        &deep(19_000),
        "g",
        ErrorKind::Unreadable,
        "400 characters at most",
    );
    refuses(&deep(19_000), "g", ErrorKind::Unreadable, "(38003 characters)");
    let long = |n: usize| format!("{} g", "0".repeat(n));
    reads(&long(LONGEST_TEXT - 2), 0.0, "g");
    refuses(
        &long(LONGEST_TEXT - 1),
        "g",
        ErrorKind::Unreadable,
        "400 characters at most",
    );
    let wide = |n: usize| format!("g{}", " ".repeat(n - 1));
    assert!(unit::read("to", &wide(LONGEST_UNIT)).is_ok());
    assert!(unit::read("to", &wide(LONGEST_UNIT + 1)).is_err());
    assert!(Price::parse("p", &format!("1 EUR/{}", deep(19_000))).is_err());
    assert!(Money::parse("p", &"1".repeat(401)).is_err());
}
