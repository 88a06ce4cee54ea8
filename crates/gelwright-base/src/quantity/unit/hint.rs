//! What was probably meant by a unit that is not known.

use super::table::{Row, rows};
use super::{Dimension, Expected, Tag};
use crate::error::nearest;

/// Longer than any name: nothing is near.
const LONGEST: usize = 40;

/// The names nearest to `word` as a question, among the units of what is expected: a mass is no answer where a time
/// is wanted. `alone`: the word is the whole unit, not a factor of one.
pub(in crate::quantity) fn near(word: &str, expected: Expected<'_>, alone: bool) -> Option<String> {
    if word.chars().nth(LONGEST).is_some() {
        return None;
    }
    let lower = word.to_lowercase();
    let candidates: Vec<&Row> = rows()
        .filter(|r| expected.any_of.is_empty() || expected.any_of.iter().any(|d| suits(r, *d, alone)))
        .collect();
    let has = |r: &Row, found: &dyn Fn(&str) -> bool| r.names().iter().any(|n| found(n));
    // The same letters, small or capital, first.
    let mut meant: Vec<&Row> = Vec::new();
    meant.extend(
        candidates
            .iter()
            .filter(|r| has(r, &|n| n.to_lowercase() == lower)),
    );
    if meant.is_empty() {
        // Who mistypes a unit rarely does so in its first letter.
        let known: Vec<&str> = candidates
            .iter()
            .flat_map(|r| r.names().iter().copied())
            .filter(|n| n.to_lowercase().chars().next() == lower.chars().next())
            .collect();
        for name in nearest(word, &known) {
            let row = candidates.iter().find(|r| has(r, &|n| n == name))?;
            if !meant.iter().any(|r| std::ptr::eq(*r, *row)) {
                meant.push(row);
            }
        }
    }
    let names: Vec<String> = meant.iter().map(|r| asked(r, word)).collect();
    match &names[..] {
        [] => None,
        [one] => Some(format!("did you mean {one}?")),
        many => Some(format!("did you mean one of {}?", many.join(", "))),
    }
}

/// The name of a unit that is nearest to the word, as a question has it: `'pint' (US)`.
fn asked(row: &Row, word: &str) -> String {
    let length = word.chars().count();
    let name = row.names().iter().min_by_key(|n| {
        let distance = strsim::damerau_levenshtein(word, n);
        (distance, n.chars().count().abs_diff(length))
    });
    let name = name.unwrap_or(&"");
    match row.listed(name).strip_prefix(name) {
        Some(note) => format!("'{name}'{note}"),
        None => format!("'{name}'"),
    }
}

/// Whether a quantity of dimension `d` may be written in this unit, or, where it has no name of its own or another
/// unit stands beside it, in a product with it.
fn suits(row: &Row, d: Dimension, alone: bool) -> bool {
    let unit = row.unit();
    if alone && rows().any(|r| r.unit().fits(d)) {
        return unit.fits(d);
    }
    matches!(unit.tag, Tag::Plain | Tag::Absolute | Tag::Scale | Tag::Delta)
        && unit
            .exponents
            .iter()
            .zip(d.exponents)
            .all(|(u, d)| *u == 0 || d != 0)
}
