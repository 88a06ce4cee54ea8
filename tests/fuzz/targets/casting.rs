//! Castings as people write them, in TOML.
#![no_main]

#[path = "../checks/answer.rs"]
mod answer;
#[path = "../checks/casting.rs"]
mod check;

mod mutate;
mod seeds;
mod words;

use std::collections::BTreeSet;
use std::path::Path;

use gelwright::document;
use libfuzzer_sys::{Corpus, fuzz_mutator, fuzz_target};
use serde_json::Value;

fuzz_target!(
    init: seeds::if_asked(start),
    |input: &[u8]| -> Corpus {
        seeds::text(input, check::check)
    }
);

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let mut draw = mutate::Draw::new(seed);
    mutate::text(data, size, max_size, &mut draw, changed)
});

fn changed(text: &str, draw: &mut mutate::Draw) -> Option<String> {
    let mut casting = document::toml_value(text).ok()?;
    mutate::document(&mut casting, &words::ALL, draw);
    toml::to_string(&casting).ok()
}

fn start() -> (BTreeSet<String>, BTreeSet<String>) {
    let mut seeds = BTreeSet::new();
    for case in seeds::cases() {
        castings(&case["request"], &mut seeds);
    }
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../crates/gelwright/demo");
    for file in std::fs::read_dir(demo).into_iter().flatten().flatten() {
        seeds.extend(std::fs::read_to_string(file.path()));
    }
    (seeds, words::ALL.iter().cloned().collect())
}

/// The castings within a request, as TOML.
fn castings(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) if fields.contains_key("zones") && fields.contains_key("recipes") => {
            found.extend(toml::to_string(value));
        }
        Value::Object(fields) => {
            found.extend(
                fields
                    .get("casting_toml")
                    .and_then(Value::as_str)
                    .map(str::to_owned),
            );
            fields.values().for_each(|v| castings(v, found));
        }
        Value::Array(items) => items.iter().for_each(|v| castings(v, found)),
        _ => {}
    }
}
