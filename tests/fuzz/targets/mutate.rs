//! Changes to documents that leave them documents: of random bytes alone few would reach a question.

use gelwright_base::random::uniform;
use libfuzzer_sys::fuzzer_mutate;
use serde_json::{Map, Value, json};

/// Numbers at the edges of what is held or sensible.
const NUMBERS: [f64; 17] = [
    0.0,
    -0.0,
    1.0,
    -1.0,
    0.5,
    2.0,
    100.0,
    1e-320,
    1e-30,
    1e-9,
    1e-3,
    1e3,
    1e9,
    1e30,
    1e300,
    -1e300,
    9_007_199_254_740_993.0,
];
/// By how much a number is moved.
const STEPS: [f64; 8] = [0.1, 0.5, 0.9, 0.999_999, 1.000_001, 1.1, 2.0, 10.0];

/// Random choices, all from one seed.
pub(crate) struct Draw {
    seed: u64,
    index: u64,
}

impl Draw {
    pub(crate) fn new(seed: u32) -> Self {
        Draw {
            seed: seed.into(),
            index: 0,
        }
    }
    /// A whole number from 0 to `n` - 1; 0 where there is none.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        self.index += 1;
        ((uniform(self.seed, 0, self.index) * n as f64) as usize).min(n.saturating_sub(1))
    }
    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// Changes the text in `data` as a document, once in five times and where it is none as bytes.
///
/// `as_document` gives the changed text, or `None` where the text is no document.
pub(crate) fn text(
    data: &mut [u8],
    size: usize,
    max_size: usize,
    draw: &mut Draw,
    as_document: impl FnOnce(&str, &mut Draw) -> Option<String>,
) -> usize {
    let changed = match std::str::from_utf8(&data[..size]) {
        Ok(text) if draw.below(5) > 0 => as_document(text, draw),
        _ => None,
    };
    match changed {
        Some(new) if new.len() <= max_size => {
            data[..new.len()].copy_from_slice(new.as_bytes());
            new.len()
        }
        _ => fuzzer_mutate(data, size, max_size),
    }
}

/// Changes one to four places of a document.
pub(crate) fn document(value: &mut Value, words: &[String], draw: &mut Draw) {
    for _ in 0..=draw.below(4) {
        let mut which = draw.below(count(value));
        if let Some(place) = nth(value, &mut which) {
            change(place, words, draw);
        }
    }
}

fn count(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(count).sum(),
        Value::Object(fields) => fields.values().map(count).sum(),
        _ => 0,
    }
}

fn nth<'v>(value: &'v mut Value, n: &mut usize) -> Option<&'v mut Value> {
    if *n == 0 {
        return Some(value);
    }
    *n -= 1;
    match value {
        Value::Array(items) => items.iter_mut().find_map(|v| nth(v, n)),
        Value::Object(fields) => fields.values_mut().find_map(|v| nth(v, n)),
        _ => None,
    }
}

fn change(place: &mut Value, words: &[String], draw: &mut Draw) {
    if draw.below(8) == 0 {
        *place = leaf(words, draw);
        return;
    }
    match place {
        Value::Null => *place = leaf(words, draw),
        Value::Bool(b) => *b = !*b,
        Value::Number(n) => *place = moved(n.as_f64().unwrap_or(1.0), draw),
        Value::String(text) => {
            let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
            let new = match (number.parse::<f64>(), draw.below(4)) {
                (Ok(x), 0 | 1) => format!("{} {unit}", moved(x, draw)),
                (Ok(_), 2) => {
                    let word = draw.of(words);
                    format!(
                        "{number} {}",
                        word.split_once(' ').map_or(word.as_str(), |(_, u)| u)
                    )
                }
                _ => draw.of(words).clone(),
            };
            *text = new;
        }
        Value::Array(items) => change_list(items, words, draw),
        Value::Object(fields) => change_table(fields, words, draw),
    }
}

fn change_list(items: &mut Vec<Value>, words: &[String], draw: &mut Draw) {
    let (one, other) = (draw.below(items.len()), draw.below(items.len()));
    match draw.below(5) {
        0 => items.clear(),
        1 if !items.is_empty() => drop(items.remove(one)),
        2 if !items.is_empty() => items.swap(one, other),
        3 if !items.is_empty() => items.insert(other, items[one].clone()),
        _ => items.push(leaf(words, draw)),
    }
}

fn change_table(fields: &mut Map<String, Value>, words: &[String], draw: &mut Draw) {
    let names: Vec<String> = fields.keys().cloned().collect();
    if names.is_empty() {
        fields.insert(draw.of(words).clone(), leaf(words, draw));
        return;
    }
    let (one, other) = (draw.of(&names).clone(), draw.of(&names).clone());
    match draw.below(5) {
        0 => drop(fields.shift_remove(&one)),
        1 => drop(fields.insert(draw.of(words).clone(), leaf(words, draw))),
        2 => {
            let held = fields.shift_remove(&one).unwrap_or_default();
            fields.insert(draw.of(words).clone(), held);
        }
        // One field's content in another's place.
        _ => {
            let held = fields.get(&one).cloned().unwrap_or_default();
            fields.insert(other, held);
        }
    }
}

fn leaf(words: &[String], draw: &mut Draw) -> Value {
    match draw.below(8) {
        0 => Value::Null,
        1 => json!(true),
        2 => json!([]),
        3 => json!({}),
        4 | 5 => json!(draw.of(&NUMBERS)),
        _ => json!(draw.of(words)),
    }
}

fn moved(x: f64, draw: &mut Draw) -> Value {
    match draw.below(5) {
        0 => json!(draw.of(&NUMBERS)),
        1 => json!(-x),
        // Whole, where a whole number may be wanted.
        2 => json!((x * draw.of(&STEPS)).round() as i64),
        _ => json!(x * draw.of(&STEPS)),
    }
}
