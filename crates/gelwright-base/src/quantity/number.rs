//! The number before a unit: a decimal number, or a fraction such as `½`, `1/2`, `1 1/2`.

use std::borrow::Cow;

use crate::error::{Error, ErrorKind, cut_at};

/// A number as it is written: `digits` × 10^`exponent` / `over`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number<'a> {
    /// A decimal number without an exponent.
    digits: Cow<'a, str>,
    exponent: i64,
    /// One, or what a fraction's numerator stands over.
    over: u16,
}

/// Why no number can be read.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Fault {
    /// None is there.
    Missing,
    /// A word such as `NaN`.
    NotFinite,
    /// Other marks than one decimal point: the text without them, once for each number that it may be.
    Marks(Vec<String>),
    /// A fraction that is no part of one.
    Fraction,
}

/// The largest exponent that is told apart: far beyond all numbers there are.
const LARGEST_EXPONENT: i64 = 100_000;
/// The largest denominator of a fraction: the finest marks of a ruler.
const LARGEST_DENOMINATOR: u16 = 64;

const VULGAR: [(char, u16, u16); 15] = [
    ('½', 1, 2),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];

impl Number<'_> {
    /// The number × 10^`power`, rounded once (a fraction: once more).
    pub(super) fn scaled(&self, power: i32) -> f64 {
        let exponent = self.exponent + i64::from(power);
        let upper: f64 = format!("{}e{exponent}", self.digits).parse().unwrap_or(f64::NAN);
        if self.over == 1 {
            upper
        } else {
            upper / f64::from(self.over)
        }
    }

    pub(super) fn is_zero(&self) -> bool {
        !self.digits.bytes().any(|c| (b'1'..=b'9').contains(&c))
    }

    pub(super) fn is_negative(&self) -> bool {
        self.digits.starts_with('-')
    }

    /// The digits of a whole number without sign and exponent.
    pub(super) fn whole(&self) -> Option<&str> {
        let plain = self.over == 1 && self.exponent == 0 && self.digits.bytes().all(|c| c.is_ascii_digit());
        plain.then_some(&*self.digits)
    }
}

impl Fault {
    /// The refusal of `text`, where `what` such as `example` is wanted.
    pub(super) fn refuse(self, field: &str, text: &str, name: &str, what: &str, example: &str) -> Error {
        let (kind, way_out) = match self {
            Fault::Missing => (
                ErrorKind::Unreadable,
                format!("write {what}, for example '{example}'"),
            ),
            Fault::NotFinite => (
                ErrorKind::NotFinite,
                format!("give a finite {name}, for example '{example}'"),
            ),
            Fault::Marks(meant) => {
                let write = match &meant[..] {
                    [] => format!("for example '{example}'"),
                    [one] => format!("'{}'", cut_at(one, 80)),
                    all => format!("'{}', whichever is meant", cut_at(&all.join("' or '"), 80)),
                };
                let comma = if text.contains(',') {
                    "a comma is not read: "
                } else {
                    ""
                };
                (
                    ErrorKind::Unreadable,
                    format!(
                        "{comma}a number has a decimal point and no marks between its thousands: write {write}"
                    ),
                )
            }
            Fault::Fraction => (
                ErrorKind::Unreadable,
                format!(
                    "a fraction is less than one, in parts of {LARGEST_DENOMINATOR} at most, such as '1/2' or \
                     '1 1/2': write a decimal number, for example '{example}'"
                ),
            ),
        };
        Error::new(kind, field)
            .with_value(format_args!("'{}'", text.trim()))
            .with_way_out(way_out)
    }
}

/// Splits `-1.5e-3 kg` into its number and what follows.
pub(super) fn split(text: &str) -> Result<(Number<'_>, &str), Fault> {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let sign = &text[..text.len() - unsigned.len()];
    if let Some((part, rest)) = vulgar(unsigned) {
        return Ok((fraction(sign, "", part)?, rest));
    }
    let end = unsigned
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(unsigned.len());
    let (mantissa, rest) = unsigned.split_at(end);
    let marked = rest.starts_with(MARKS) && rest[1..].starts_with(|c: char| c.is_ascii_digit());
    if mantissa.matches('.').count() > 1 || marked {
        return Err(Fault::Marks(unmarked(sign, unsigned)));
    }
    if !mantissa.bytes().any(|c| c.is_ascii_digit()) {
        return Err(no_number(unsigned));
    }
    if !mantissa.contains('.')
        && let Some((whole, part, rest)) = parts(mantissa, rest)
    {
        return Ok((fraction(sign, whole, part)?, rest));
    }
    let (exponent, rest) = exponent(rest);
    let digits = Cow::Borrowed(&text[..sign.len() + end]);
    Ok((
        Number {
            digits,
            exponent,
            over: 1,
        },
        rest,
    ))
}

/// Whether a number may begin with this character.
pub(super) fn begins(c: char) -> bool {
    c.is_ascii_digit() || VULGAR.iter().any(|v| v.0 == c)
}

fn no_number(unsigned: &str) -> Fault {
    let end = unsigned
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(unsigned.len());
    match unsigned[..end].to_lowercase().as_str() {
        "nan" | "inf" | "infinity" => Fault::NotFinite,
        _ => Fault::Missing,
    }
}

/// `e-3` at the start.
fn exponent(text: &str) -> (i64, &str) {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return (0, text);
    };
    let unsigned = after.strip_prefix(['+', '-']).unwrap_or(after);
    let end = unsigned
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(unsigned.len());
    if end == 0 {
        return (0, text);
    }
    let digits = unsigned[..end].trim_start_matches('0');
    let size = match digits.len() {
        0 => 0,
        1..=5 => digits.parse().unwrap_or(LARGEST_EXPONENT),
        _ => LARGEST_EXPONENT,
    };
    let exponent = if after.starts_with('-') { -size } else { size };
    (exponent, &unsigned[end..])
}

/// A fraction in one character at the start.
fn vulgar(text: &str) -> Option<((u16, u16), &str)> {
    let c = text.chars().next()?;
    let (_, over, under) = VULGAR.into_iter().find(|v| v.0 == c)?;
    Some(((over, under), &text[c.len_utf8()..]))
}

/// The fraction that begins with `digits`: a whole number before `½` or `1/2`, or the upper part of `1/2`.
fn parts<'a>(digits: &'a str, rest: &'a str) -> Option<(&'a str, (u16, u16), &'a str)> {
    if let Some((below, rest)) = below(rest) {
        return Some(("", (small(digits), below), rest));
    }
    let next = rest.trim_start();
    if let Some((part, rest)) = vulgar(next) {
        return Some((digits, part, rest));
    }
    if next.len() == rest.len() {
        return None;
    }
    let end = next.find(|c: char| !c.is_ascii_digit())?;
    let (upper, after) = next.split_at(end);
    let (below, rest) = below(after).filter(|_| end > 0)?;
    Some((digits, (small(upper), below), rest))
}

/// `/2` at the start.
fn below(text: &str) -> Option<(u16, &str)> {
    let digits = text.strip_prefix('/')?;
    let end = digits
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(digits.len());
    (end > 0).then(|| (small(&digits[..end]), &digits[end..]))
}

/// A number of a fraction; too large or no whole number: one that no fraction has.
fn small(digits: &str) -> u16 {
    digits.parse().unwrap_or(u16::MAX)
}

fn fraction(sign: &str, whole: &str, (upper, lower): (u16, u16)) -> Result<Number<'static>, Fault> {
    let proper = upper < lower && (2..=LARGEST_DENOMINATOR).contains(&lower);
    let whole = if whole.is_empty() { "0" } else { whole };
    match whole.parse::<u32>() {
        Ok(whole) if proper => Ok(Number {
            digits: Cow::Owned(format!(
                "{sign}{}",
                u64::from(whole) * u64::from(lower) + u64::from(upper)
            )),
            exponent: 0,
            over: lower,
        }),
        _ => Err(Fault::Fraction),
    }
}

/// What stands between the digits of a number elsewhere; not all that do.
const MARKS: [char; 3] = [',', '\'', '_'];

/// The text with its number as it is to be written, for each number that it may be.
fn unmarked(sign: &str, unsigned: &str) -> Vec<String> {
    let end = unsigned
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || MARKS.contains(&c)))
        .unwrap_or(unsigned.len());
    let (number, rest) = unsigned.split_at(end);
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|c| c.is_ascii_digit());
    let mut meant = Vec::new();
    for (between, point) in [(',', '.'), ('.', ','), ('\'', '.'), ('\'', ','), ('_', '.')] {
        let (whole, part) = match number.split_once(point) {
            Some((whole, part)) if digits(part) => (whole, format!(".{part}")),
            Some(_) => continue,
            None => (number, String::new()),
        };
        let mut groups = whole.split(between);
        let first = groups.next().unwrap_or("");
        let thousands = whole.contains(between);
        let leads = digits(first) && (!thousands || (first.len() <= 3 && !first.starts_with('0')));
        if leads && groups.all(|g| digits(g) && g.len() == 3) {
            let text = format!("{sign}{}{part}{rest}", whole.replace(between, ""));
            if !meant.contains(&text) {
                meant.push(text);
            }
        }
    }
    meant
}
