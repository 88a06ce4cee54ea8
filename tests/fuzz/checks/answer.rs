//! What must hold for any answer and any refusal, whatever was asked.

use gelwright_base::Error;
use serde_json::Value;

/// An answer is JSON, and no text in it shows a number that is none, unless the request spoke of one.
pub(crate) fn sound(request: &str, answer: &str) {
    let value: Value =
        serde_json::from_str(answer).unwrap_or_else(|e| panic!("an answer is no JSON: {e}\n{answer}"));
    if !speaks_of_no_number(request) {
        texts(&value, &mut |text| {
            let line = text.lines().find(|line| has_no_number(line));
            assert!(line.is_none(), "an answer says {line:?}");
        });
    }
}

/// A refusal says something, and no more than its fifty mistakes need.
pub(crate) fn refused(e: &Error) {
    let message = e.to_string();
    assert!(
        !message.is_empty() && message.len() < 1_000_000,
        "a refusal of {} bytes",
        message.len()
    );
}

fn has_no_number(text: &str) -> bool {
    text.split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .any(|word| matches!(word, "NaN" | "inf"))
}

fn speaks_of_no_number(request: &str) -> bool {
    let small = request.to_ascii_lowercase();
    small.contains("nan") || small.contains("inf")
}

fn texts(value: &Value, each: &mut dyn FnMut(&str)) {
    match value {
        Value::String(text) => each(text),
        Value::Array(items) => items.iter().for_each(|v| texts(v, each)),
        Value::Object(fields) => fields.iter().for_each(|(name, v)| {
            each(name);
            texts(v, each);
        }),
        _ => {}
    }
}
