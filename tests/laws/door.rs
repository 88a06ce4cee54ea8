//! Whatever is asked, the door answers or refuses in words.

use std::time::{Duration, Instant};

use gelwright::door;
use gelwright::quantity::{Measure, parse_number_and_unit};
use gelwright::strategies::document;
use gelwright::{ErrorKind, question::Entry};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::Value;

/// Asks for a fifth of a second at most.
fn ask(of: &Entry, request: &str) -> gelwright::Result<String> {
    let begun = Instant::now();
    door::ask_cancellable(of.name, request, &mut || {
        begun.elapsed() > Duration::from_millis(200)
    })
}

/// Requests drawn from each question's own table: right field by field, not always as a whole.
#[test]
fn every_question_answers_or_refuses_what_its_table_allows() {
    let mut never_answered = Vec::new();
    for q in door::questions() {
        let answered = std::cell::Cell::new(0);
        let config = Config {
            cases: if q.long { 8 } else { 48 },
            failure_persistence: None,
            ..Config::default()
        };
        TestRunner::new(config)
            .run(&document((q.request)()), |request| {
                match ask(q, &request.to_string()) {
                    Ok(answer) => {
                        answered.set(answered.get() + 1);
                        prop_assert!(
                            serde_json::from_str::<serde_json::Value>(&answer).is_ok(),
                            "{answer}"
                        );
                    }
                    Err(e) => {
                        prop_assert!(e.kind() != ErrorKind::NotFinite, "{}: {e}\n{request}", q.name);
                        prop_assert!(!e.to_string().is_empty());
                    }
                }
                Ok(())
            })
            .unwrap_or_else(|e| panic!("{}: {e}", q.name));
        if answered.get() == 0 {
            never_answered.push(q.name);
        }
    }
    println!("no draw was answered of: {}", never_answered.join(", "));
    assert!(
        never_answered.len() * 2 < door::questions().count(),
        "{never_answered:?}"
    );
}

/// The first text in a tree that is a number with its unit, from the so many-th on, with a spread of a millionth behind it.
fn with_spread(tree: &mut Value, nth: &mut usize) -> bool {
    match tree {
        Value::String(text) => {
            let Some((number, unit)) = text.split_once(' ') else {
                return false;
            };
            let Ok(x) = number.parse::<f64>() else {
                return false;
            };
            let measured = Measure::all()
                .any(|m| parse_number_and_unit("", text, m.dimension, m.name, m.example).is_ok());
            if !measured || x == 0.0 {
                return false;
            }
            if *nth > 0 {
                *nth -= 1;
                return false;
            }
            *text = format!("{number} +/- {} {unit}", 1e-6 * x.abs());
            true
        }
        Value::Array(items) => items.iter_mut().any(|v| with_spread(v, nth)),
        Value::Object(fields) => fields.values_mut().any(|v| with_spread(v, nth)),
        _ => false,
    }
}

/// A spread at any quantity of any request leaves the answer what it is at the value, or is refused in words.
#[test]
fn a_spread_anywhere_leaves_the_answer_at_its_value() {
    let banded = std::cell::Cell::new(0);
    for q in door::questions().filter(|q| !q.long) {
        let config = Config {
            cases: 12,
            failure_persistence: None,
            ..Config::default()
        };
        TestRunner::new(config)
            .run(&(document((q.request)()), 0usize..6), |(request, mut nth)| {
                let Ok(plain) = ask(q, &request.to_string()) else {
                    return Ok(());
                };
                let mut spread = request.clone();
                if !with_spread(&mut spread, &mut nth) {
                    return Ok(());
                }
                if let Some(fields) = spread.as_object_mut() {
                    fields.insert("spread_sampling".to_owned(), serde_json::json!({ "points": 0 }));
                }
                match ask(q, &spread.to_string()) {
                    Ok(answer) => {
                        let mut answer: Value = serde_json::from_str(&answer).unwrap();
                        let band = answer.as_object_mut().and_then(|a| a.remove("band"));
                        let inputs = band
                            .as_ref()
                            .and_then(|b| b["inputs"].as_array())
                            .map_or(0, Vec::len);
                        banded.set(banded.get() + inputs);
                        // A field that is a quantity with its spread goes into the answer's own uncertainty.
                        if inputs > 0 {
                            prop_assert_eq!(
                                answer,
                                serde_json::from_str::<Value>(&plain).unwrap(),
                                "{}",
                                spread
                            );
                        }
                    }
                    Err(e) => prop_assert!(
                        !e.to_string().is_empty() && e.kind() != ErrorKind::NotFinite,
                        "{e}"
                    ),
                }
                Ok(())
            })
            .unwrap_or_else(|e| panic!("{}: {e}", q.name));
    }
    assert!(banded.get() > 100, "{}", banded.get());
}
