//! Reading a number with its unit.

use super::unit::{self, Kind, Tag, Unit};
use super::{Dimension, Quantity};
use crate::error::{Error, ErrorKind, Result};

/// Reads a quantity from text such as `"8 fl oz"`, `"450 g/m^2"`, `"18 degC"`, `"20 mil"`, `"2 wt%"`.
///
/// `field` names the input in the error. A temperature field takes a point (`degC`, `degF`, `K`), an interval
/// field an interval (`K`, `delta_degC`). A ratio must say of what (`wt%`, `vol%`, `phr`), except where its
/// field can only mean one thing (humidity, degree of cure, strain, probability: `%`).
///
/// # Errors
/// [`ErrorKind::BareNumber`], [`ErrorKind::Unreadable`], [`ErrorKind::UnknownUnit`],
/// [`ErrorKind::WrongDimension`], [`ErrorKind::NotFinite`], and [`ErrorKind::OutOfRange`] where the type itself
/// is bounded or a temperature lies below absolute zero.
pub fn parse<Q: Quantity>(field: &str, text: &str) -> Result<Q> {
    let si = parse_number_and_unit(field, text, Q::DIMENSION, Q::NAME, Q::EXAMPLE)?;
    Q::from_si(si).map_err(|e| e.at(field))
}

/// As [`parse`], for a dimension known only at run time; answers in the coherent SI unit.
///
/// # Errors
/// As [`parse`].
pub fn parse_number_and_unit(
    field: &str,
    text: &str,
    wanted: Dimension,
    name: &str,
    example: &str,
) -> Result<f64> {
    let shown = || format!("'{}'", text.trim());
    let (number, rest) = split_number(text.trim()).ok_or_else(|| {
        let lower = text.trim().trim_start_matches(['-', '+']).to_lowercase();
        if lower.starts_with("nan") || lower.starts_with("inf") {
            return Error::new(ErrorKind::NotFinite, field)
                .with_value(shown())
                .with_way_out(format!("give a finite {name}, for example '{example}'"));
        }
        Error::new(ErrorKind::Unreadable, field)
            .with_value(shown())
            .with_way_out(format!("write a number and a unit, for example '{example}'"))
    })?;
    let rest = rest.trim();
    // A unit may begin with a one over something: "2e-4 1/s".
    let reciprocal = rest
        .strip_prefix("1/")
        .is_some_and(|u| u.starts_with(|c: char| c.is_alphabetic() || c == '('));
    if rest.starts_with(',')
        || (rest.starts_with(|c: char| c.is_ascii_digit()) && !reciprocal)
        || rest.starts_with('/')
    {
        return Err(Error::new(ErrorKind::Unreadable, field)
            .with_value(shown())
            .with_way_out(format!(
                "write one decimal number with a point, for example '{example}'"
            )));
    }
    let unit = unit::read(field, rest)?;
    if !unit.fits(wanted) {
        return Err(misfit(field, &shown(), rest, &unit, wanted, name, example));
    }
    let scaled: f64 = format!("{}e{}", number.mantissa, number.exponent + i64::from(unit.pow10))
        .parse()
        .map_err(|_| Error::new(ErrorKind::Unreadable, field).with_value(shown()))?;
    // A point on a scale: the number, then the shift of the scale's zero.
    let si = scaled * unit.factor + unit.offset;
    if !si.is_finite() {
        return Err(Error::new(ErrorKind::NotFinite, field)
            .with_value(shown())
            .with_way_out(format!("give a finite {name}, for example '{example}'")));
    }
    if wanted.kind == Kind::Point && si < 0.0 {
        return Err(Error::out_of_range(
            field,
            text.trim(),
            "-273.15 degC or more",
            format!("absolute zero is -273.15 degC; write for example '{example}'"),
        ));
    }
    Ok(si)
}

fn misfit(
    field: &str,
    shown: &str,
    unit_text: &str,
    unit: &Unit,
    wanted: Dimension,
    name: &str,
    example: &str,
) -> Error {
    let write = format!("write for example '{example}'");
    if unit_text.is_empty() {
        return Error::new(ErrorKind::BareNumber, field)
            .with_value(shown)
            .with_way_out(format!(
                "a {name} needs a unit{}: {write}",
                few(&unit::names_for(wanted))
            ));
    }
    let way_out = match (wanted.kind, unit.tag) {
        (Kind::Interval, Tag::Scale) => {
            format!(
                "a temperature interval has no zero point: write '10 K' or '10 delta_degC', not '{unit_text}'"
            )
        }
        (Kind::Point, Tag::Delta) => format!("a temperature is a point, not an interval: {write}"),
        (Kind::MassFraction | Kind::VolumeFraction | Kind::Phr | Kind::VolumeOnResin, Tag::Percent) => {
            format!("a percent must say of what: a {name} is written like '{example}'")
        }
        (Kind::MassFraction, Tag::Phr) | (Kind::Phr, Tag::WeightPercent) => {
            "parts per hundred resin are not a percentage of the whole: convert first (10 phr are 9.09 wt%)"
                .to_owned()
        }
        _ => {
            let hint = match (wanted.exponents, unit.exponents) {
                ([3, 0, 0, 0, 0], [0, 1, 0, 0, 0]) => " ('oz' is a mass, 'fl oz' a volume)",
                ([0, 1, 0, 0, 0], [3, 0, 0, 0, 0]) => " ('fl oz' is a volume, 'oz' a mass)",
                _ => "",
            };
            format!("a {name} is needed{hint}: {write}")
        }
    };
    let found = match unit.tag {
        Tag::Percent => "percent".to_owned(),
        Tag::WeightPercent => "percent by mass".to_owned(),
        Tag::VolumePercent => "percent by volume".to_owned(),
        Tag::Phr => "parts per hundred resin".to_owned(),
        Tag::VolumeOnResin => "volume on resin".to_owned(),
        Tag::HydroxylNumber => "hydroxyl number".to_owned(),
        Tag::Angle => "angle".to_owned(),
        Tag::Delta => "temperature interval".to_owned(),
        Tag::One => "plain number".to_owned(),
        _ => Dimension {
            exponents: unit.exponents,
            kind: Kind::Plain,
        }
        .to_string(),
    };
    Error::new(ErrorKind::WrongDimension, field)
        .with_value(format_args!("{shown} ({found})"))
        .with_allowed(format!("a {name}"))
        .with_way_out(way_out)
}

/// A few of the names in parentheses; nothing where a unit has no name of its own, as '1/K'.
fn few(names: &[&str]) -> String {
    const MOST: usize = 6;
    match names.len() {
        0 => String::new(),
        n if n > MOST => format!(" ({} ...)", names[..MOST].join(", ")),
        _ => format!(" ({})", names.join(", ")),
    }
}

struct Number<'a> {
    mantissa: &'a str,
    exponent: i64,
}

/// Splits `-1.5e-3 kg` into its number and what follows.
fn split_number(text: &str) -> Option<(Number<'_>, &str)> {
    let b = text.as_bytes();
    let mut i = usize::from(matches!(b.first(), Some(b'+' | b'-')));
    let digits_from = i;
    while i < b.len() && (b[i].is_ascii_digit() || b[i] == b'.') {
        i += 1;
    }
    let mantissa = &text[..i];
    if !mantissa[digits_from..].bytes().any(|c| c.is_ascii_digit()) || mantissa.matches('.').count() > 1 {
        return None;
    }
    let mut exponent = 0i64;
    if matches!(b.get(i), Some(b'e' | b'E')) {
        let mut j = i + 1 + usize::from(matches!(b.get(i + 1), Some(b'+' | b'-')));
        let from = j;
        while j < b.len() && b[j].is_ascii_digit() {
            j += 1;
        }
        if j > from {
            exponent = text[i + 1..j].parse().ok()?;
            i = j;
        }
    }
    Some((Number { mantissa, exponent }, &text[i..]))
}
