//! Monomer that boils in what has not cured yet: foam and cracks.

use crate::noun::Noun;
use crate::quantity::temperature::celsius;
use crate::quantity::{Length, MassFraction, Quantity, RelativeAmount, ThermodynamicTemperature, Time};

/// What of a resin mix can boil: the styrene of a polyester or a vinyl ester.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Monomer {
    /// Of the resin mix by mass, before any of it has reacted.
    #[noun(within(> "0 wt%", "100 wt%", "a polyester holds 35 to 45 wt% of styrene"))]
    pub content: MassFraction,
    /// At one atmosphere, of the monomer alone; that of styrene where not given.
    #[noun(default = styrene_boils(), within = crate::ranges::HEAT_TEMPERATURE)]
    pub boiling_point: ThermodynamicTemperature,
}

impl Monomer {
    /// Styrene.
    pub fn styrene(content: MassFraction) -> Self {
        Monomer {
            content,
            boiling_point: styrene_boils(),
        }
    }

    /// Vapour pressure above the mix by Raoult's law by mass, Pa: `w p(T)`.
    pub(crate) fn pressure(&self, at: ThermodynamicTemperature) -> f64 {
        self.content.get() * vapour_pressure(at.si(), self.boiling_point.si()) * crate::constants::ATMOSPHERE
    }
}

/// As the catalogue has it (`material.styrene`, its source there).
fn styrene_boils() -> ThermodynamicTemperature {
    celsius(145.0)
}

/// Monomer that passes its boiling point before it has reacted: it foams the mix, or cracks it once that has set.
///
/// Every cell and moment is held against two laws, between which the truth lies. *Alone*: `T >= T_boil` with monomer left,
/// `w (1 - a)` of the resin mix, `a` the degree of cure. *Diluted, by Raoult*: `w (1 - a) p(T)` reaches one atmosphere, with
/// Antoine's `log10(p / p_atm) = B (1/(T_boil + C) - 1/(T + C))`, `B` = 1459.909 K and `C` = -59.551 K of styrene (G. Dreyer,
/// E. Martin, U. von Weber, J. prakt. Chem. 1, 324 (1955), 303 K to 418 K, as the NIST Chemistry WebBook, SRD 69, lists them;
/// from memory; beyond 418 K extrapolated; for another monomer the shape of styrene's curve). A network pushes monomer out
/// (Flory, Huggins), so that it boils between the two.
/// Not modelled: that activity, monomer and double bonds of the resin that react at different rates, superheating, the
/// pressure of depth and of the gel around a bubble, how much it foams, the heat that boiling takes.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Boiling {
    /// When monomer first passes its boiling point.
    pub begins: Time,
    /// Where, below the first face.
    pub depth: Length,
    /// In which layer.
    pub place: String,
    /// Unreacted there then, of the resin mix.
    pub monomer: MassFraction,
    /// Most unreacted monomer that any part holds as it passes the boiling point, of the resin mix.
    pub most_monomer: MassFraction,
    /// Highest vapour pressure of the diluted monomer by Raoult's law, over one atmosphere: from 100 % on it boils even so.
    pub diluted_pressure: RelativeAmount,
}

/// Vapour pressure of a monomer that boils at `boils` K, over one atmosphere, at `t` K.
pub(super) fn vapour_pressure(t: f64, boils: f64) -> f64 {
    const B: f64 = 1459.909;
    const C: f64 = -59.551;
    10f64.powf(B * (1.0 / (boils + C) - 1.0 / (t + C)))
}

/// What a layer's track has seen boil.
#[derive(Debug, Clone, Copy)]
pub(super) struct Boil {
    /// When and in which cell first, with how much monomer.
    pub(super) first: Option<(f64, usize, f64)>,
    pub(super) most: f64,
    pub(super) pressure: f64,
}

impl Boil {
    pub(super) const NONE: Boil = Boil {
        first: None,
        most: 0.0,
        pressure: 0.0,
    };

    /// The answer; `depth` of each cell (the last of those behind it, where it has fewer), `place` of each layer in their order.
    pub(super) fn answer<'a>(
        all: impl Iterator<Item = (&'a Boil, &'a str)>,
        depth: &[f64],
    ) -> crate::error::Result<Option<Boiling>> {
        let mut found: Option<Boiling> = None;
        for (b, place) in all {
            let Some((time, cell, left)) = b.first else {
                continue;
            };
            let most = found.as_ref().map_or(0.0, |f| f.most_monomer.get()).max(b.most);
            let pressure = found
                .as_ref()
                .map_or(0.0, |f| f.diluted_pressure.get())
                .max(b.pressure);
            let earlier = found.take().filter(|f| f.begins.si() <= time);
            let mut now = match earlier {
                Some(f) => f,
                None => Boiling {
                    begins: Time::from_si(time)?,
                    depth: Length::from_si(depth[cell.min(depth.len() - 1)])?,
                    place: place.to_owned(),
                    monomer: MassFraction::new(left.clamp(0.0, 1.0))?,
                    most_monomer: MassFraction::ZERO,
                    diluted_pressure: RelativeAmount::ZERO,
                },
            };
            now.most_monomer = MassFraction::new(most.clamp(0.0, 1.0))?;
            now.diluted_pressure = RelativeAmount::new(pressure)?;
            found = Some(now);
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    /// The catalogue's boiling point (US EPA) is the default; its vapour pressure at 20 °C, 5 mmHg, lies on the curve
    /// within a tenth (it is printed to one figure).
    #[test]
    fn styrene_is_the_catalogues() {
        let styrene = Catalogue::generic().get("styrene").unwrap().solvent().unwrap();
        let boils = styrene.boiling_point.as_ref().unwrap().value;
        let m = Monomer::styrene(MassFraction::new(0.4).unwrap());
        assert!((m.boiling_point.si() - boils.si()).abs() < 1e-9);
        let given: Monomer =
            crate::document::from_json(r#"{"content": "40 wt%"}"#, crate::Cancel::NEVER).unwrap();
        assert!(given == m);
        assert!((vapour_pressure(boils.si(), boils.si()) - 1.0).abs() < 1e-12);
        let at_20 = vapour_pressure(293.15, boils.si()) * crate::constants::ATMOSPHERE;
        let printed = styrene.vapour_pressure.as_ref().unwrap().value.si();
        assert!(
            (at_20 / printed - 1.0).abs() < 0.1,
            "{at_20} Pa against {printed} Pa"
        );
    }
}
