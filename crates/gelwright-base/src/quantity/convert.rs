//! What can be asked of quantities: converting between units, and the table of factors.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{parse_number_and_unit, unit};
#[cfg(feature = "door")]
use crate::question::Entry;

/// A quantity in the unit wanted.
#[derive(Clone, Noun)]
pub struct Converted {
    /// The number in the unit wanted.
    pub number: f64,
    /// The unit wanted.
    pub unit: String,
    /// What it measures.
    pub dimension: String,
}

/// Reads a number with its unit and gives it in another unit of the same kind.
///
/// # Errors
/// As [`parse_number_and_unit`]; `NotFinite` where the number does not fit.
#[questions("quantity.convert")]
pub fn convert(
    /// A number with its unit, such as "8 fl oz".
    quantity: &str,
    /// The unit wanted, such as "mL".
    to: &str,
) -> Result<Converted> {
    let wanted = unit::read("to", to)?;
    let dimension = wanted.dimension();
    let example = format!("1 {}", to.trim());
    let si = parse_number_and_unit("quantity", quantity, dimension, &dimension.to_string(), &example)?;
    let number = wanted.number_of(si);
    if !number.is_finite() {
        return Err(Error::new(ErrorKind::NotFinite, "quantity").with_value(quantity));
    }
    Ok(Converted {
        number,
        unit: to.trim().to_owned(),
        dimension: dimension.to_string(),
    })
}

/// The factor of each unit name to the coherent SI unit.
#[derive(Clone, Noun)]
pub struct FactorTable {
    /// Unit name to factor (for a temperature scale: of its degree; for a ratio: of the plain number).
    pub factors: BTreeMap<String, f64>,
    /// Whose measure it is, for a unit name that is another measure in another country ("pint").
    pub notes: BTreeMap<String, String>,
}

/// The factor of every unit name to the coherent SI unit.
#[questions("quantity.factors")]
pub fn factors() -> FactorTable {
    FactorTable {
        factors: unit::all_names().map(|(n, f)| (n.to_owned(), f)).collect(),
        notes: unit::notes()
            .map(|(n, note)| (n.to_owned(), note.to_owned()))
            .collect(),
    }
}

/// What can be asked of quantities.
#[cfg(feature = "door")]
pub const QUESTIONS: &[Entry] = &[CONVERT, FACTORS];
