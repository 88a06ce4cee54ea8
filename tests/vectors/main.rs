//! The cases of `tests/vectors/*.json`, answered from Rust. The same cases are answered from C
//! (`tests/abi/vectors.c`) and from Python (`python/tests/test_vectors.py`): all three must agree.
//!
//! A case: `name`, `source`, `question`, `request`, and either `expect` (paths of the answer to numbers, texts
//! with units, or parts; within `rtol` and `atol`) or `error` (`kind`, `field`, `says`: a part of the message).
#![allow(clippy::unwrap_used)]

use std::path::Path;

use gelwright::{Cancel, ErrorKind, door};
use serde_json::{Value, json};

fn cases() -> Vec<(String, Value)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/vectors");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    let mut all = vec![];
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let list: Vec<Value> =
            serde_json::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let stem = file.file_stem().unwrap().to_string_lossy().into_owned();
        all.extend(list.into_iter().map(|case| (stem.clone(), case)));
    }
    all
}

/// A value by its path: `parts.0.mass` or `parts[0].mass`.
fn at<'a>(value: &'a Value, path: &str) -> Option<&'a Value> {
    path.split(['.', '[', ']'])
        .filter(|p| !p.is_empty())
        .try_fold(value, |v, part| match v {
            Value::Array(list) => list.get(part.parse::<usize>().ok()?),
            other => other.get(part),
        })
}

fn split(text: &str) -> Option<(f64, &str)> {
    let end = text
        .char_indices()
        .find(|(i, c)| {
            !(c.is_ascii_digit()
                || "+-.".contains(*c)
                || (matches!(c, 'e' | 'E')
                    && text[i + 1..].starts_with(|d: char| d.is_ascii_digit() || "+-".contains(d))))
        })
        .map_or(text.len(), |(i, _)| i);
    Some((text[..end].parse().ok()?, text[end..].trim()))
}

fn same_text(found: &str, expected: &str, near: impl Fn(f64, f64) -> bool) -> bool {
    if found == expected {
        return true;
    }
    let (Some((a, unit_found)), Some((b, unit))) = (split(found), split(expected)) else {
        return false;
    };
    if unit_found == unit {
        return near(a, b);
    }
    let request = json!({ "quantity": found, "to": unit }).to_string();
    door::ask("quantity.convert", &request)
        .ok()
        .and_then(|answer| serde_json::from_str::<Value>(&answer).ok())
        .and_then(|answer| answer["number"].as_f64())
        .is_some_and(|a| near(a, b))
}

fn same(found: Option<&Value>, expected: &Value, rtol: f64, atol: f64) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= atol + rtol * b.abs();
    match (found, expected) {
        (None | Some(Value::Null), Value::Null) => true,
        (Some(Value::Number(a)), Value::Number(b)) => {
            a.as_f64().zip(b.as_f64()).is_some_and(|(a, b)| near(a, b))
        }
        (Some(Value::String(a)), Value::String(b)) => same_text(a, b, near),
        (Some(Value::Array(a)), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(Some(a), b, rtol, atol))
        }
        (Some(a @ Value::Object(_)), Value::Object(b)) => {
            b.iter().all(|(path, b)| same(at(a, path), b, rtol, atol))
        }
        (Some(a), b) => a == b,
        (None, _) => false,
    }
}

/// What is wrong with the outcome of a case.
fn complaints(case: &Value) -> Vec<String> {
    let text = |key: &str| case[key].as_str();
    let (Some(question), Some(_), Some(_)) = (text("question"), text("name"), text("source")) else {
        return vec!["a case needs name, source, question, request".to_owned()];
    };
    let outcome = door::ask(question, &case["request"].to_string());
    let expected_error = case.get("error");
    match (outcome, expected_error) {
        (Ok(answer), Some(_)) => vec![format!("is answered, a refusal was expected: {answer}")],
        (Err(e), None) => vec![format!("is refused: {e}")],
        (Ok(answer), None) => {
            let answer: Value = serde_json::from_str(&answer).unwrap();
            let Some(expect) = case["expect"].as_object().filter(|e| !e.is_empty()) else {
                return vec!["expects nothing: add `expect` or `error`".to_owned()];
            };
            let rtol = case["rtol"].as_f64().unwrap_or(1e-9);
            let atol = case["atol"].as_f64().unwrap_or(0.0);
            expect
                .iter()
                .filter(|(path, expected)| !same(at(&answer, path), expected, rtol, atol))
                .map(|(path, expected)| match at(&answer, path) {
                    Some(found) => format!("{path} is {found}, expected {expected}"),
                    None => format!("{path} is missing, expected {expected}"),
                })
                .collect()
        }
        (Err(e), Some(expected)) => {
            let mut wrong = vec![];
            let message = e.to_string();
            for (key, fits) in [
                (
                    "kind",
                    expected["kind"].as_str().is_none_or(|k| k == e.kind().name()),
                ),
                ("field", expected["field"].as_str().is_none_or(|f| f == e.field())),
                (
                    "says",
                    expected["says"].as_str().is_none_or(|s| message.contains(s)),
                ),
            ] {
                if !fits {
                    wrong.push(format!(
                        "{key} should be {}: {} at '{}': {message}",
                        expected[key],
                        e.kind().name(),
                        e.field()
                    ));
                }
            }
            wrong
        }
    }
}

#[test]
fn every_case_is_answered_as_expected() {
    let cases = cases();
    assert!(!cases.is_empty());
    let mut wrong = vec![];
    for (file, case) in &cases {
        for complaint in complaints(case) {
            wrong.push(format!("{file}: {}: {complaint}", case["name"]));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {} cases:\n{}",
        wrong.len(),
        cases.len(),
        wrong.join("\n")
    );
}

/// A question that may take long gives up when it is told to, wherever it stands: at its first look and at a later one.
#[test]
fn every_long_question_stops_when_told() {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let mut stopped = std::collections::BTreeSet::new();
    // The demo's plan follows every cup and zone, with kinetics searched for: what a plan nests stops as well.
    let demo = include_str!("../../crates/gelwright/demo/moth_lantern.toml");
    let demo = gelwright::noun::to_value(&gelwright::plan::Casting::from_toml(demo).unwrap()).unwrap();
    let demo = json!({ "name": "plan", "question": "plan.make", "request": demo });
    for (file, case) in cases().into_iter().chain([("demo".to_owned(), demo)]) {
        let question = case["question"].as_str().unwrap_or_default();
        let Some(entry) = door::questions().find(|e| e.name == question && e.long) else {
            continue;
        };
        if case.get("error").is_some() {
            continue;
        }
        let request = case["request"].to_string();
        let looks = AtomicUsize::new(0);
        let stop_after = |n: usize| {
            looks.store(0, Ordering::Relaxed);
            entry.ask(
                &request,
                Cancel::when(&|| looks.fetch_add(1, Ordering::Relaxed) >= n),
            )
        };
        // Once before it is counted: laws that a plan fits are kept for the next.
        assert!(stop_after(usize::MAX).is_ok(), "{file}: {}", case["name"]);
        assert!(stop_after(usize::MAX).is_ok(), "{file}: {}", case["name"]);
        let all = looks.load(Ordering::Relaxed);
        // Six cups, four zones: each looks once or more.
        assert!(file != "demo" || all >= 12, "{all} looks");
        for n in [0, all / 2, all.saturating_sub(1)] {
            let kind = stop_after(n).map_err(|e| e.kind());
            assert_eq!(
                kind,
                Err(ErrorKind::Cancelled),
                "{file}: {}: look {n} of {all}",
                case["name"]
            );
        }
        stopped.insert(entry.name);
    }
    let long: std::collections::BTreeSet<_> = door::questions().filter(|e| e.long).map(|e| e.name).collect();
    assert_eq!(stopped, long, "a long question has no case that is answered");
}

/// The comparison itself must be able to fail.
#[test]
fn a_wrong_expectation_is_noticed() {
    let case = |expect: Value| {
        json!({ "name": "n", "source": "s", "question": "quantity.convert", "rtol": 1e-6,
            "request": { "quantity": "1 in", "to": "mm" }, "expect": expect })
    };
    assert_eq!(complaints(&case(json!({ "number": 25.4 }))), Vec::<String>::new());
    assert_eq!(complaints(&case(json!({ "number": 25.41 }))).len(), 1);
    assert_eq!(complaints(&case(json!({ "length": 25.4 }))).len(), 1);
    assert!(same(Some(&json!("1 in")), &json!("25.4 mm"), 1e-9, 0.0));
    assert!(!same(Some(&json!("1 in")), &json!("25.4 g"), 1e-9, 0.0));
    assert!(same(
        Some(&json!({ "a": [{ "b": 1 }] })),
        &json!({ "a.0.b": 1, "a[0].b": 1 }),
        1e-9,
        0.0
    ));
}
