//! Questions about quantities: converting between units, and the table of factors.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::unit;
use crate::door::{Entry, Question, entry};
use crate::error::{Error, ErrorKind, Result};

/// A quantity in another unit.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Convert {
    /// A number with its unit, such as "8 fl oz".
    pub quantity: String,
    /// The unit wanted, such as "mL".
    pub to: String,
}

/// The quantity in the unit wanted.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Converted {
    /// The number in the unit wanted.
    pub number: f64,
    /// The unit wanted.
    pub unit: String,
    /// What it measures.
    pub dimension: String,
}

impl Question for Convert {
    const NAME: &'static str = "quantity.convert";
    const ABOUT: &'static str = "Reads a number with its unit and gives it in another unit of the same kind.";
    type Answer = Converted;
    fn answer(&self) -> Result<Converted> {
        let to = unit::read("to", &self.to)?;
        let dimension = to.dimension();
        let si = super::parse_number_and_unit(
            "quantity",
            &self.quantity,
            dimension,
            &dimension.to_string(),
            &format!("1 {}", self.to.trim()),
        )?;
        let number = to.number_of(si);
        if !number.is_finite() {
            return Err(Error::new(ErrorKind::NotFinite, "quantity").with_value(&self.quantity));
        }
        Ok(Converted {
            number,
            unit: self.to.trim().to_owned(),
            dimension: dimension.to_string(),
        })
    }
}

/// The table of units that can be written.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Factors {}

/// The factor of each unit name to the coherent SI unit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FactorTable {
    /// Unit name to factor (for a temperature scale: of its degree; for a ratio: of the plain number).
    pub factors: BTreeMap<String, f64>,
}

impl Question for Factors {
    const NAME: &'static str = "quantity.factors";
    const ABOUT: &'static str = "The factor of every unit name to the coherent SI unit.";
    type Answer = FactorTable;
    fn answer(&self) -> Result<FactorTable> {
        Ok(FactorTable {
            factors: unit::all_names().map(|(n, f)| (n.to_owned(), f)).collect(),
        })
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[entry::<Convert>(), entry::<Factors>()];
