//! Requests at the door: the first line names the question, the rest is its JSON.
#![no_main]

#[path = "../checks/answer.rs"]
mod answer;
#[path = "../checks/door.rs"]
mod check;

mod mutate;
mod seeds;
mod words;

use std::collections::BTreeSet;

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
    let (question, request) = text.split_once('\n')?;
    let mut request: Value = serde_json::from_str(request).ok()?;
    let all: Vec<&str> = gelwright::door::questions().map(|q| q.name).collect();
    let question = if draw.below(16) == 0 {
        all[draw.below(all.len())]
    } else {
        question
    };
    mutate::document(&mut request, &words::ALL, draw);
    Some(format!("{question}\n{request}"))
}

fn start() -> (BTreeSet<String>, BTreeSet<String>) {
    let seeds = seeds::cases().into_iter().filter_map(|case| {
        let question = case["question"].as_str()?;
        Some(format!("{question}\n{}", case["request"]))
    });
    (seeds.collect(), words::ALL.iter().cloned().collect())
}
