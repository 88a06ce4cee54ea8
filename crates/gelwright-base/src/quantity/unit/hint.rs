//! What was probably meant by a unit that is not known.

use super::table::{Row, rows};
use super::{Dimension, Expected, Tag};
use crate::error::nearest;

/// The names nearest to `word` as a question, among the units of what is expected: a mass is no answer where a time
/// is wanted. `alone`: the word is the whole unit, not a factor of one.
pub(in crate::quantity) fn near(word: &str, expected: Expected<'_>, alone: bool) -> Option<String> {
    let candidates: Vec<(&str, &Row)> = rows()
        .filter(|r| {
            expected.any_of.is_empty() || expected.any_of.iter().any(|d| suits(r, *d, alone))
        })
        .flat_map(|r| r.names().iter().map(move |n| (*n, r)))
        .collect();
    let lower = word.to_lowercase();
    let mut found: Vec<&str> = candidates
        .iter()
        .map(|(n, _)| *n)
        .filter(|n| n.to_lowercase() == lower)
        .collect();
    let known: Vec<&str> = candidates.iter().map(|(n, _)| *n).collect();
    let close = nearest(word, &known);
    if found.is_empty() {
        found = close.iter().map(String::as_str).collect();
    }
    let mut said: Vec<&Row> = Vec::new();
    let mut names = Vec::new();
    for name in found {
        if let Some((_, row)) = candidates.iter().find(|(n, _)| *n == name)
            && !said.iter().any(|r| std::ptr::eq(*r, *row))
        {
            said.push(row);
            names.push(match row.whose() {
                Some("US") if !name.starts_with("US ") => format!("'{name}' (US)"),
                _ => format!("'{name}'"),
            });
        }
    }
    match &names[..] {
        [] => None,
        [one] => Some(format!("did you mean {one}?")),
        many => Some(format!("did you mean one of {}?", many.join(", "))),
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
        && unit.exponents.iter().zip(d.exponents).all(|(u, d)| *u == 0 || d != 0)
}
