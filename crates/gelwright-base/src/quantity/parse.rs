//! Reading a number with its unit.

use super::number::{self, Number};
use super::typed::{self, LONGEST_TEXT};
use super::unit::{self, Expected, Kind, Unit};
use super::{Dimension, Quantity, misfit, sum};
use crate::error::{Error, ErrorKind, Result, cut_at};

/// Reads a quantity from text such as `"8 fl oz"`, `"450 g/m^2"`, `"18 degC"`, `"20 mil"`, `"2 wt%"`, `"1/2 pint"`,
/// `"1 lb 3 oz"`.
///
/// `field` names the input in the error. A temperature field takes a point (`degC`, `degF`, `K`), an interval
/// field an interval (`K`, `delta_degC`). A ratio must say of what (`wt%`, `vol%`, `phr`), except where its
/// field can only mean one thing (humidity, degree of cure, strain, probability: `%`). At most [`LONGEST_TEXT`]
/// characters are read.
///
/// # Errors
/// [`ErrorKind::BareNumber`], [`ErrorKind::Unreadable`], [`ErrorKind::UnknownUnit`],
/// [`ErrorKind::WrongDimension`], [`ErrorKind::NotFinite`], and [`ErrorKind::OutOfRange`] where the type itself
/// is bounded, a temperature lies below absolute zero, or a number is too small to be told from zero.
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
    typed::check_length(field, text, LONGEST_TEXT, example)?;
    let asked = Asked {
        field,
        text,
        wanted,
        name,
        example,
    };
    let text = typed::plain(text.trim());
    let si = match sum::read(&asked, &text) {
        Some(si) => si?,
        None => asked.one(&text)?,
    };
    if wanted.kind == Kind::Point && si < 0.0 {
        return Err(Error::out_of_range(
            field,
            asked.text.trim(),
            "-273.15 degC or more",
            format!("absolute zero is -273.15 degC; write for example '{example}'"),
        ));
    }
    Ok(si)
}

/// What is asked for, and the text that is to say it.
pub(super) struct Asked<'a> {
    pub(super) field: &'a str,
    pub(super) text: &'a str,
    pub(super) wanted: Dimension,
    pub(super) name: &'a str,
    pub(super) example: &'a str,
}

impl Asked<'_> {
    /// The refusal of the text.
    pub(super) fn refuse(&self, kind: ErrorKind, way_out: impl Into<String>) -> Error {
        Error::new(kind, self.field)
            .with_value(format_args!("'{}'", self.text.trim()))
            .with_way_out(way_out)
    }

    /// What a unit of it may be.
    pub(super) fn expected(&self) -> Expected<'_> {
        Expected {
            any_of: std::slice::from_ref(&self.wanted),
            example: self.example,
        }
    }

    /// One number and one unit.
    fn one(&self, text: &str) -> Result<f64> {
        let (number, rest) = number::split(text).map_err(|fault| {
            fault.refuse(
                self.field,
                self.text,
                self.name,
                "a number and a unit",
                self.example,
            )
        })?;
        let rest = rest.trim();
        if let Some(way_out) = self.no_unit(&number, rest) {
            return Err(self.refuse(ErrorKind::Unreadable, way_out));
        }
        let unit = unit::read_as(self.field, rest, self.expected())?;
        if !unit.fits(self.wanted) {
            return Err(misfit::refusal(self, rest, &unit));
        }
        self.si(&number, &unit)
    }

    /// The number in SI.
    pub(super) fn si(&self, number: &Number<'_>, unit: &Unit) -> Result<f64> {
        let size = number.scaled(unit.pow10) * unit.factor;
        if size == 0.0 && !number.is_zero() {
            return Err(Error::out_of_range(
                self.field,
                format_args!("'{}'", self.text.trim()),
                "0, or more than about 1e-320 in SI units",
                format!(
                    "write 0, or a number that can be told from it, for example '{}'",
                    self.example
                ),
            ));
        }
        // A point on a scale: the number, then the shift of the scale's zero.
        let si = size + unit.offset;
        if si.is_finite() {
            Ok(si)
        } else {
            Err(self.refuse(
                ErrorKind::NotFinite,
                format!("give a finite {}, for example '{}'", self.name, self.example),
            ))
        }
    }

    /// What to write, where what follows the number is no unit's beginning.
    fn no_unit(&self, number: &Number<'_>, rest: &str) -> Option<String> {
        let times = rest.trim_start_matches(['x', 'X', '×', '*', '·', ' ']);
        if times.len() < rest.len() && times.starts_with("10") {
            return Some(format!(
                "write a power of ten as in '1e-3', for example '{}'",
                self.example
            ));
        }
        match (rest.chars().next()?, number.whole()) {
            // A unit may begin with a one over something: "2e-4 1/s".
            ('1', _) if unit_below(&rest[1..]) => None,
            ('/', _) if unit_below(rest) => Some(format!(
                "write a number, a space, and one over the unit, as in '5 1{}'",
                cut_at(rest, 80)
            )),
            (c, _) if c.is_alphabetic() || "%°(".contains(c) => None,
            (_, Some(whole)) if thousands(rest) => Some(format!(
                "write no space between thousands: '{}'",
                cut_at(&format!("{whole}{rest}"), 80)
            )),
            _ => {
                let or = sum::example(self).map_or_else(String::new, |e| format!(" or '{e}'"));
                Some(format!(
                    "write one number and one unit, for example '{}'{or}",
                    self.example
                ))
            }
        }
    }
}

/// A line and a unit below it.
fn unit_below(text: &str) -> bool {
    text.strip_prefix('/')
        .is_some_and(|u| u.starts_with(|c: char| c.is_alphabetic() || c == '('))
}

/// Three digits at the start and no more.
fn thousands(text: &str) -> bool {
    text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len()) == 3
}
