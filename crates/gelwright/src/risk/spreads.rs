//! How far off what the bench does not tell may be.

use crate::error::{Error, Result};
use crate::noun::Noun;
use crate::plan::{LeftOpen, Openness};
use crate::quantity::{RelativeSpread, TemperatureInterval};
use gelwright_base::reliability::Correlation;

/// How far off what the bench does not tell may be. Relative standard uncertainties: two in three are off by less.
#[derive(Clone, PartialEq, Noun)]
pub struct RiskSpreads {
    /// Of the thickness of a layer as a hand lays it: common practice, no source; a comb pressed in at ten places tells this
    /// shop's own.
    #[noun(
        default = "15 %",
        within("0 %", "99 %", "a spread wider than its value is no knowledge: measure some")
    )]
    pub thickness: RelativeSpread,
    /// Of the pace of the hands over a day: common practice, no source; the shop's own hours tell better.
    #[noun(
        default = "20 %",
        within("0 %", "99 %", "a spread wider than its value is no knowledge: time some")
    )]
    pub pace: RelativeSpread,
    /// Of every dose, where it is not to be as the bench measures it.
    #[noun(within("0 %", "99 %", "a spread wider than its value is no knowledge: weigh some"))]
    pub dose: Option<RelativeSpread>,
    /// Of the temperature, where it is not to be as the bench's thermometer shows it.
    #[noun(within("0 K", "20 K", "give one standard deviation, for example '0.5 K'"))]
    pub temperature: Option<TemperatureInterval>,
    /// Inputs that go together: a Gaussian copula.
    #[noun(default)]
    pub correlations: Vec<Correlated>,
}

/// Two inputs that go together.
#[derive(Clone, PartialEq, Noun)]
pub struct Correlated {
    /// The one, by its name in [`Risk::inputs`](super::Risk::inputs).
    pub one: String,
    /// The other.
    pub other: String,
    /// Correlation of their standard normal numbers.
    #[noun(within(-1.0, 1.0, "a correlation lies between -1 and 1"))]
    pub correlation: f64,
}

impl Default for RiskSpreads {
    fn default() -> Self {
        crate::noun::defaults()
    }
}

impl RiskSpreads {
    pub(super) fn openness(&self) -> Openness {
        Openness {
            thickness: self.thickness,
            pace: self.pace,
            dose: self.dose,
            temperature: self.temperature,
        }
    }

    /// The inputs' correlations; none where all are independent.
    ///
    /// # Errors
    /// `UnknownName` for an input that is not left open; as [`Correlation::new`].
    pub(super) fn correlation(&self, open: &[LeftOpen]) -> Result<Option<Correlation>> {
        if self.correlations.is_empty() {
            return Ok(None);
        }
        let mut matrix: Vec<Vec<f64>> = (0..open.len())
            .map(|i| (0..open.len()).map(|j| f64::from(i == j)).collect())
            .collect();
        for (k, pair) in self.correlations.iter().enumerate() {
            let at = |field: &str, name: &str| {
                open.iter().position(|o| o.name == name).ok_or_else(|| {
                    let known = open.iter().map(|o| o.name.as_str());
                    Error::unknown_name(format!("spreads.correlations[{k}].{field}"), name, known)
                })
            };
            let (i, j) = (at("one", &pair.one)?, at("other", &pair.other)?);
            if i == j || matrix[i][j] != 0.0 {
                return Err(Error::inconsistent(
                    format!("spreads.correlations[{k}]"),
                    format_args!("'{}' with '{}'", pair.one, pair.other),
                    "each pair of two inputs once",
                    "leave it out",
                ));
            }
            (matrix[i][j], matrix[j][i]) = (pair.correlation, pair.correlation);
        }
        Correlation::new(&matrix)
            .map(Some)
            .map_err(|e| e.at("spreads.correlations"))
    }
}
