//! A quantity whose kind only its neighbours tell.

use std::sync::OnceLock;

use crate::error::{Error, ErrorKind, Result};
use crate::noun::{AsText, Grammar};
use crate::quantity::{Measure, Quantity, parse, parse_number_and_unit, tagged_si};
use crate::text_noun;

/// A quantity of whatever kind: a number with its unit.
///
/// ```
/// use gelwright_base::quantity::{Length, MassFraction, Quantity, QuantityText};
///
/// let share = QuantityText::of(MassFraction::new(0.024)?);
/// assert_eq!(share.as_str(), "2.4 wt%");
/// assert_eq!(share.read::<MassFraction>("share")?.si(), 0.024);
/// assert!(share.read::<Length>("share").is_err());
/// # Ok::<(), gelwright_base::Error>(())
/// ```
#[derive(Clone)]
pub struct QuantityText {
    /// Written once it is read: most of what a plan holds against limits nobody reads.
    text: OnceLock<String>,
    /// What it is written from, or was read as, in SI: a limit is held against a thousand plans.
    of: OnceLock<(f64, &'static Measure)>,
}

impl PartialEq for QuantityText {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl std::fmt::Debug for QuantityText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

impl QuantityText {
    /// Of a typed quantity.
    pub fn of<Q: Quantity>(q: Q) -> Self {
        QuantityText::of_si(q.si(), Q::MEASURE)
    }

    /// Of an SI value.
    pub fn of_si(si: f64, of: &'static Measure) -> Self {
        QuantityText {
            text: OnceLock::new(),
            of: (si, of).into(),
        }
    }

    fn written(text: String) -> Self {
        QuantityText {
            text: text.into(),
            of: OnceLock::new(),
        }
    }

    /// Of a number in that unit.
    pub(crate) fn of_number(x: f64, unit: &str) -> Self {
        // Without exponents where it is neither huge nor tiny.
        let number = match x.abs() {
            0.0 => "0".to_owned(),
            size if (1e-5..1e15).contains(&size) => x.to_string(),
            _ => format!("{x:e}"),
        };
        QuantityText::written(format!("{number} {unit}").trim_end().to_owned())
    }

    /// As a typed quantity.
    ///
    /// # Errors
    /// As [`quantity::parse`](crate::quantity::parse).
    pub fn read<Q: Quantity>(&self, field: &str) -> Result<Q> {
        if let Some((si, of)) = self.of.get()
            && of.name == Q::MEASURE.name
        {
            return Q::from_si(*si).map_err(|e| e.at(field));
        }
        let read: Q = parse(field, self.as_str())?;
        // What it was written from stays; both write the same text.
        let _ = self.of.set((read.si(), Q::MEASURE));
        Ok(read)
    }

    /// In SI, of a kind known only at run time; the bounds of the kind (no negative share) are not asked: a margin may
    /// be negative.
    ///
    /// # Errors
    /// As [`quantity::parse_number_and_unit`](crate::quantity::parse_number_and_unit).
    pub fn si(&self, field: &str, of: &Measure) -> Result<f64> {
        parse_number_and_unit(field, self.as_str(), of.dimension, of.name, of.example)
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        let write = || {
            self.of
                .get()
                .map_or_else(String::new, |(si, of)| tagged_si(*si, of))
        };
        self.text.get_or_init(write)
    }
}

impl AsText for QuantityText {
    const MEASURED: bool = true;
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "QuantityText",
        doc: "A number with its unit; what kind of quantity it is stands beside it.",
        examples: &["2.4 wt%", "13 degC"],
    };
    fn from_text(text: &str) -> Result<Self> {
        let text = text.trim();
        let digits = text.trim_start_matches(['-', '+', '.']);
        if digits.starts_with(|c: char| c.is_ascii_digit()) {
            return Ok(QuantityText::written(text.to_owned()));
        }
        Err(Error::new(ErrorKind::Unreadable, "")
            .with_value(format_args!("'{text}'"))
            .with_way_out("write a number and a unit, for example '2.4 wt%'"))
    }
    fn to_text(&self) -> String {
        self.as_str().to_owned()
    }
}
text_noun!(QuantityText);
