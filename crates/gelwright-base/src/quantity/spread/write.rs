//! Writing a quantity with its spread.

use super::{Distribution, Input};
use crate::quantity::{Quantity, RelativeSpread, figures, show_si, tagged_si};

impl Input {
    /// Written in the document's unit: [`read`](super::read()) gives back the same bits.
    pub fn tagged(&self) -> String {
        let value = tagged_si(self.value, self.of);
        let spread = |x: f64| tagged_si(x, self.of.difference());
        match self.distribution {
            Distribution::Exact => value,
            Distribution::Within(half) => {
                format!("{} +/- {}", number(&value), self.unit_of(&value, &spread(half)))
            }
            Distribution::Between(low, high) => {
                let (low, high) = (tagged_si(low, self.of), tagged_si(high, self.of));
                format!("{} to {high}", number(&low))
            }
            Distribution::Normal(u) if self.of.is_percentage() => {
                format!("{value}, u = {} percentage points", number(&spread(u)))
            }
            Distribution::Normal(u) => format!("{value}, u = {}", spread(u)),
            Distribution::LogNormal(relative) => {
                let of = if self.of.unit.contains('%') {
                    " of value"
                } else {
                    ""
                };
                format!(
                    "{value}, u = {}{of}",
                    tagged_si(relative, RelativeSpread::MEASURE)
                )
            }
        }
    }

    /// The spread's number in the unit of the value, which is as large as that of its difference.
    fn unit_of(&self, value: &str, spread: &str) -> String {
        match value.split_once(' ') {
            Some((_, unit)) => format!("{} {unit}", number(spread)),
            None => spread.to_owned(),
        }
    }

    /// For people: to few figures, in the units of the bench.
    pub fn shown(&self) -> String {
        let value = show_si(self.value, self.of);
        let spread = |x: f64| show_si(x, self.of.difference());
        match self.distribution {
            Distribution::Exact => value,
            Distribution::Within(half) => format!("{value} ± {}", spread(half)),
            Distribution::Between(low, high) => {
                format!("{} to {}", show_si(low, self.of), show_si(high, self.of))
            }
            Distribution::Normal(u) => format!("{value}, u = {}", spread(u)),
            Distribution::LogNormal(relative) => format!("{value}, u = {} %", figures(100.0 * relative)),
        }
    }
}

/// The number before a unit.
fn number(text: &str) -> &str {
    text.split_once(' ').map_or(text, |(n, _)| n)
}
