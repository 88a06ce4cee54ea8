//! A quantity in two or more units, as people say it: `1 lb 3 oz`, `1 h 30 min`, `1h30`.

use super::misfit::one;
use super::number::{self, Number};
use super::parse::Asked;
use super::unit::{self, Kind, Unit, hint};
use crate::error::{Error, ErrorKind, Result};

/// The most parts that are read: `1 d 2 h 3 min 4 s`.
const MOST: usize = 4;
const HOUR: f64 = 3600.0;

/// A number and what follows it up to the next number.
struct Part<'a> {
    number: Number<'a>,
    name: &'a str,
}

/// The sum in SI; `None` where the text is no such sum, or the quantity is not said so.
pub(super) fn read(asked: &Asked<'_>, text: &str) -> Option<Result<f64>> {
    let example = example(asked)?;
    let mut parts = parts(text)?;
    let first = unit::lookup(parts[0].name).filter(|u| u.fits(asked.wanted))?;
    if let Some(minutes) = minutes_after_hours(&parts, text, &first) {
        parts[1].name = minutes;
    }
    let refuse = |why: &str| {
        Some(Err(asked.refuse(
            ErrorKind::Unreadable,
            format!("{why}, for example '{example}'"),
        )))
    };
    let mut units = vec![first];
    for (i, part) in parts.iter().enumerate().skip(1) {
        if part.name.is_empty() {
            // A power, `m2`, unless it stands apart or no power can be meant.
            let apart = text.trim_end_matches(number::begins).ends_with(' ');
            return if apart || parts[i - 1].name == "h" {
                refuse("give each number its unit")
            } else {
                None
            };
        }
        match unit::lookup(part.name) {
            Some(u) if u.fits(asked.wanted) => units.push(u),
            _ if part.name.chars().all(|c| c.is_alphabetic() || c == ' ') => {
                return Some(Err(unknown(asked, part.name, example)));
            }
            _ => return None,
        }
    }
    if parts.iter().any(|p| p.number.is_negative()) {
        return refuse("write a negative amount in one unit");
    }
    if parts[..parts.len() - 1]
        .iter()
        .any(|p| p.number.whole().is_none())
    {
        return refuse("write whole numbers before the last unit");
    }
    let mut sum = asked.si(&parts[0].number, &units[0]);
    for i in 1..parts.len() {
        let (size, before) = (asked.si(&parts[i].number, &units[i]), units[i - 1].size());
        // 16 oz are a pound: within the rounding of the ounce.
        if units[i].size() >= before || size.as_ref().is_ok_and(|s| *s >= before * (1.0 - 1e-9)) {
            return refuse("write the larger unit first, then less than one of it");
        }
        sum = sum.and_then(|a| Ok(a + size?));
    }
    Some(sum)
}

/// How such a sum of the quantity is written.
pub(super) fn example(asked: &Asked<'_>) -> Option<&'static str> {
    match (asked.wanted.exponents, asked.wanted.kind) {
        ([1, 0, 0, 0, 0], Kind::Plain) => Some("5 ft 3 in"),
        ([3, 0, 0, 0, 0], Kind::Plain) => Some("1 gal 2 qt"),
        ([0, 1, 0, 0, 0], Kind::Plain) => Some("1 lb 3 oz"),
        ([0, 0, 1, 0, 0], Kind::Plain) => Some("1 h 30 min"),
        _ => None,
    }
}

/// The parts, two at least.
fn parts(text: &str) -> Option<Vec<Part<'_>>> {
    let mut parts = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let (number, after) = number::split(rest).ok()?;
        let after = after.trim_start();
        let (name, next) = after.split_at(after.find(number::begins).unwrap_or(after.len()));
        let name = name.trim_end_matches([' ', ',', '.']);
        parts.push(Part { number, name });
        if parts.len() > MOST {
            return None;
        }
        rest = next;
    }
    (parts.len() > 1).then_some(parts)
}

/// The minutes of `1h30`: two digits that follow an hour without a space, less than sixty.
fn minutes_after_hours(parts: &[Part<'_>], text: &str, first: &Unit) -> Option<&'static str> {
    let [_, minutes] = parts else { return None };
    let digits = minutes.number.whole().filter(|d| d.len() == 2 && *d < "60")?;
    let hours = text.strip_suffix(digits)?;
    (minutes.name.is_empty() && first.size() == HOUR && hours.ends_with('h')).then_some("min")
}

fn unknown(asked: &Asked<'_>, name: &str, example: &str) -> Error {
    let kind = if unit::lookup(name).is_some() {
        ErrorKind::WrongDimension
    } else {
        ErrorKind::UnknownUnit
    };
    let way_out = hint::near(name, asked.expected(), true)
        .unwrap_or_else(|| format!("give each number its unit, for example '{example}'"));
    Error::new(kind, asked.field)
        .with_value(format_args!("'{name}'"))
        .with_allowed(one(asked.name))
        .with_way_out(way_out)
}
