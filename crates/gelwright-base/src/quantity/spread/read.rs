//! Reading a quantity with its spread.

use super::{Distribution, Input, Spread, example};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::number;
use crate::quantity::parse::Asked;
use crate::quantity::typed::{self, LONGEST_TEXT};
use crate::quantity::unit::{self, Kind, Tag, Unit};
use crate::quantity::{Measure, Quantity, parse_number_and_unit};

/// The longest text that is read as a quantity with its spread, in characters: two numbers with their units, and what stands
/// between.
pub const LONGEST_SPREAD: usize = 2 * LONGEST_TEXT + 40;

/// Reads a quantity with its spread; the [module](super) has the forms.
///
/// # Errors
/// As [`read`].
pub fn parse<Q: Quantity>(field: &str, text: &str) -> Result<Spread<Q>> {
    read(field, text, Q::MEASURE)
        .and_then(Spread::of)
        .map_err(|e| e.at(field))
}

/// As [`parse`], of a quantity known only at run time.
///
/// # Errors
/// As [`quantity::parse`](crate::quantity::parse()) of each number; as [`Input::check`];
/// [`ErrorKind::WrongDimension`] for a percent that could be points or a part of the value;
/// [`ErrorKind::Unreadable`] for an expanded uncertainty without its coverage factor, and for two spreads at once.
pub fn read(field: &str, text: &str, of: &'static Measure) -> Result<Input> {
    let example = example(of);
    typed::check_length(field, text, LONGEST_SPREAD, &example)?;
    let plain = typed::plain(text.trim());
    let said = Said {
        field,
        text: text.trim(),
        of,
        example,
    };
    let (value, distribution) = said.read(&plain)?;
    // A zero spread is none.
    let input = Input {
        value,
        distribution,
        of,
    };
    let input = if input.is_exact() {
        Input {
            distribution: Distribution::Exact,
            ..input
        }
    } else {
        input
    };
    input.check().map_err(|e| e.at(field))?;
    Ok(input)
}

/// Whether a text can only be meant as a quantity with its spread: no number with its unit holds one of its marks.
pub fn is_marked(text: &str) -> bool {
    MARKS.iter().any(|m| text.contains(m)) || text.contains('=') && uncertainty(text).is_some()
}

/// What stands between a value and its limits, or between two ends.
const MARKS: [&str; 3] = ["+/-", "±", " to "];

/// The text, and what it is to say.
struct Said<'a> {
    field: &'a str,
    text: &'a str,
    of: &'static Measure,
    example: String,
}

/// A spread: in SI, or as a part of the value.
enum Size {
    Si(f64),
    Part(f64),
}

impl Said<'_> {
    fn read(&self, text: &str) -> Result<(f64, Distribution)> {
        if let Some((value, spread)) = split_at_any(text, &["+/-", "±"]) {
            if split_at_any(spread, &["+/-", "±"]).is_some() || uncertainty(spread).is_some() {
                return Err(self.unreadable("give one spread"));
            }
            return self.within(value, spread);
        }
        if let Some((value, letter, size)) = uncertainty(text) {
            return self.standard(value, letter, size);
        }
        if let Some((low, high)) = split_at_any(text, &[" to "]) {
            return self.between(low.trim(), high.trim());
        }
        Ok((self.quantity(text)?, Distribution::Exact))
    }

    /// `20 +/- 1 degC`, `20 degC +/- 1 K`, `(20 +/- 1) degC`, `450 g/m^2 +/- 5 %`.
    fn within(&self, value: &str, spread: &str) -> Result<(f64, Distribution)> {
        let (value, mut spread) = (value.trim(), spread.trim().to_owned());
        let value = match (value.strip_prefix('('), spread.split_once(')')) {
            (Some(inner), Some((size, unit))) => {
                spread = format!("{} {}", size.trim(), unit.trim());
                inner.trim()
            }
            _ => value,
        };
        let shared = self.shared(value, &spread)?;
        let x = self.quantity(shared.as_deref().unwrap_or(value))?;
        let half = match self.size(&spread, shared.is_some())? {
            Size::Si(half) => half,
            Size::Part(part) => part * x.abs(),
        };
        Ok((x, Distribution::Within(half)))
    }

    /// `19 to 23 min`, `19 min to 23 min`.
    fn between(&self, low: &str, high: &str) -> Result<(f64, Distribution)> {
        let shared = self.shared(low, high)?;
        let low = self.quantity(shared.as_deref().unwrap_or(low))?;
        let high = self.quantity(high)?;
        if low == high {
            return Ok((low, Distribution::Exact));
        }
        // Halved first: the sum of two large numbers is no number.
        Ok((0.5 * low + 0.5 * high, Distribution::Between(low, high)))
    }

    /// `20 degC, u = 0.5 K`, `20 degC (U = 1 K, k = 2)`.
    fn standard(&self, value: &str, letter: char, size: &str) -> Result<(f64, Distribution)> {
        let value = value.trim_end_matches([' ', ',', ';']);
        let (value, size) = match (value.strip_suffix('('), size.trim_end().strip_suffix(')')) {
            (Some(value), Some(size)) => (value.trim_end(), size.trim_end()),
            (Some(_), None) => return Err(self.unreadable("a bracket is not closed")),
            _ => (value, size.trim_end()),
        };
        let (size, factor) = match (letter, marked(size, 'k')) {
            ('U', Some((size, k))) => {
                let k = k.trim_end_matches([')', ' ']);
                (
                    size.trim_end_matches([' ', ',', ';', '(']),
                    self.coverage_factor(k)?,
                )
            }
            ('U', None) => {
                return Err(self.unreadable(
                    "an expanded uncertainty needs its coverage factor, as in 'U = 1 K, k = 2' (the unit your own)",
                ));
            }
            (_, Some(_)) => return Err(self.unreadable("a standard uncertainty 'u' has no coverage factor")),
            (_, None) => (size, 1.0),
        };
        let x = self.quantity(value)?;
        Ok(match self.size(size, false)? {
            Size::Si(u) => (x, Distribution::Normal(u / factor)),
            Size::Part(part) => (x, Distribution::LogNormal(part / factor)),
        })
    }

    fn coverage_factor(&self, text: &str) -> Result<f64> {
        match text.trim().parse::<f64>() {
            Ok(k) if k.is_finite() && k > 0.0 => Ok(k),
            _ => Err(self.unreadable("the coverage factor is a number above zero, as in 'k = 2'")),
        }
    }

    fn quantity(&self, text: &str) -> Result<f64> {
        let of = self.of;
        parse_number_and_unit(self.field, text, of.dimension, of.name, of.example)
    }

    /// The first of two numbers with the unit of the second, where it has none of its own.
    fn shared(&self, first: &str, second: &str) -> Result<Option<String>> {
        let bare = number::split(first).is_ok_and(|(_, rest)| rest.trim().is_empty());
        if !bare || self.of.dimension.kind == Kind::Number {
            return Ok(None);
        }
        let unit = number::split(second).map_or("", |(_, rest)| rest).trim();
        let two = unit
            .split(' ')
            .skip(1)
            .any(|word| word.starts_with(number::begins));
        if two {
            return Err(self.unreadable("give each number its unit"));
        }
        Ok(Some(format!("{first} {unit}")))
    }

    /// The size of a spread; `shared`: its unit is the value's, too.
    fn size(&self, text: &str, shared: bool) -> Result<Size> {
        let of = self.of.difference();
        let asked = Asked {
            field: self.field,
            text: self.text,
            wanted: of.dimension,
            name: of.name,
            example: of.example,
        };
        let Ok((number, rest)) = number::split(text) else {
            return parse_number_and_unit(self.field, text, of.dimension, of.name, of.example).map(Size::Si);
        };
        let rest = rest.trim();
        let part = || asked.si(&number, &PERCENT).map(Size::Part);
        match rest {
            "" if of.dimension.kind != Kind::Number => Err(asked.refuse(
                ErrorKind::BareNumber,
                format!("the spread needs a unit: write for example '{}'", self.example),
            )),
            "% of value" | "% of reading" | "percent of value" => self.of_value().and_then(|()| part()),
            "percentage points" | "percentage point" if self.of.is_percentage() => {
                asked.si(&number, &PERCENT).map(Size::Si)
            }
            "%" | "percent" if self.of.is_percentage() && shared => asked.si(&number, &PERCENT).map(Size::Si),
            "%" | "percent" if self.of.unit.contains('%') => Err(self.points_or_part(text)),
            "%" | "percent" => self.of_value().and_then(|()| part()),
            // Behind a point a degree of a scale can only be meant as an interval.
            name if self.of.dimension.kind == Kind::Point
                && unit::lookup(name).is_some_and(|u| u.tag == Tag::Scale) =>
            {
                let degree = unit::lookup(name).map_or(Unit::ONE, |u| Unit { offset: 0.0, ..u });
                asked.si(&number, &degree).map(Size::Si)
            }
            _ => parse_number_and_unit(self.field, text, of.dimension, of.name, of.example).map(Size::Si),
        }
    }

    /// Whether a part of the value means anything.
    fn of_value(&self) -> Result<()> {
        if self.of.dimension.kind == Kind::Point {
            return Err(self.refuse(
                ErrorKind::WrongDimension,
                "a part of a temperature means nothing: its zero is the scale's",
            ));
        }
        Ok(())
    }

    fn points_or_part(&self, spread: &str) -> Error {
        let points = if self.of.is_percentage() {
            "percentage points"
        } else {
            self.of.unit
        };
        let number = number::split(spread).map_or(spread, |(_, rest)| &spread[..spread.len() - rest.len()]);
        let number = number.trim();
        self.refuse(
            ErrorKind::WrongDimension,
            &format!(
                "a percent of a {} could be a part of it: write '{number} {points}' or '{number} % of value'",
                self.of.name
            ),
        )
    }

    fn unreadable(&self, why: &str) -> Error {
        self.refuse(ErrorKind::Unreadable, why)
    }

    fn refuse(&self, kind: ErrorKind, why: &str) -> Error {
        Error::new(kind, self.field)
            .with_value(format_args!("'{}'", self.text))
            .with_way_out(format!("{why}; write for example '{}'", self.example))
    }
}

/// One hundredth.
const PERCENT: Unit = Unit {
    pow10: -2,
    tag: Tag::Percent,
    ..Unit::ONE
};

fn split_at_any<'a>(text: &'a str, marks: &[&str]) -> Option<(&'a str, &'a str)> {
    marks
        .iter()
        .filter_map(|m| text.find(m).map(|at| (at, m.len())))
        .min()
        .map(|(at, length)| (&text[..at], &text[at + length..]))
}

/// What stands before and after `u =` or `U =`, and which it is.
fn uncertainty(text: &str) -> Option<(&str, char, &str)> {
    ['u', 'U']
        .into_iter()
        .find_map(|letter| marked(text, letter).map(|(before, after)| (before, letter, after)))
}

/// What stands before and after a letter on its own with an equals sign behind it.
fn marked(text: &str, letter: char) -> Option<(&str, &str)> {
    let (before, after) = text.split_once('=')?;
    match before.trim_end().strip_suffix(letter) {
        Some(before) if !before.ends_with(char::is_alphanumeric) => Some((before, after.trim_start())),
        Some(_) => None,
        // The next one, in 'U = 1 K, k = 2'.
        None => {
            let (inner, after) = marked(after, letter)?;
            Some((&text[..before.len() + 1 + inner.len()], after))
        }
    }
}
