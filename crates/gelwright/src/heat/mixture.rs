//! How a mixture of resin, filler and reinforcement holds and conducts heat.

use super::layer::Thermal;
use crate::check::{not_negative, positive};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Mass, MassDensity, Quantity, SpecificHeatCapacity, ThermalConductivity};

impl Thermal {
    /// A mixture of parts that keep their own volumes, each by its mass and its own properties (their slopes are left
    /// out).
    ///
    /// Density by volumes that add, `rho = sum m / sum (m/rho)`; specific heat by mass, `c = sum m c / sum m`: both
    /// exact. Conductivity as the geometric mean by volume, `ln k = sum v ln k / sum v`: K. Lichtenecker, Die
    /// Dielektrizitätskonstante natürlicher und künstlicher Mischkörper, Physikalische Zeitschrift 27 (1926) 115-158
    /// (volume and pages from memory). It lies between layers along and across the heat's way; no more is known of a hand lay-up.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] for a mixture of nothing; [`ErrorKind::OutOfRange`] for a part without mass density,
    /// specific heat or conductivity above zero.
    pub fn of_mixture(parts: &[(Mass, Thermal)]) -> Result<Thermal> {
        let (mut mass, mut volume, mut heat, mut ln_conductivity) = (0.0, 0.0, 0.0, 0.0);
        for (i, (m, of)) in parts.iter().enumerate() {
            let at = |e: Error| e.within(format_args!("parts[{i}]"));
            let m = not_negative("mass", *m).map_err(at)?;
            let v = m / positive("density", of.density).map_err(at)?;
            mass += m;
            volume += v;
            heat += m * positive("specific_heat", of.specific_heat).map_err(at)?;
            ln_conductivity += v * positive("conductivity", of.conductivity).map_err(at)?.ln();
        }
        if mass <= 0.0 {
            return Err(Error::new(ErrorKind::Document, "parts")
                .with_value("a mixture of nothing")
                .with_way_out("give its parts with their masses"));
        }
        Ok(Thermal::new(
            MassDensity::from_si(mass / volume)?,
            SpecificHeatCapacity::from_si(heat / mass)?,
            ThermalConductivity::from_si((ln_conductivity / volume).exp())?,
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thermal(rho: f64, c: f64, k: f64) -> Thermal {
        Thermal::new(
            MassDensity::from_si(rho).unwrap(),
            SpecificHeatCapacity::from_si(c).unwrap(),
            ThermalConductivity::from_si(k).unwrap(),
        )
    }
    fn kg(m: f64) -> Mass {
        Mass::from_si(m).unwrap()
    }

    /// Mat laminate of 30 wt% glass by hand: 0.7 kg of resin are 0.63636 L, 0.3 kg of glass 0.11811 L.
    #[test]
    fn a_laminate_by_hand() {
        let parts = [
            (kg(0.7), thermal(1100.0, 1900.0, 0.18)),
            (kg(0.3), thermal(2540.0, 800.0, 1.0)),
        ];
        let t = Thermal::of_mixture(&parts).unwrap();
        assert!((t.density.si() - 1325.427).abs() < 1e-2);
        assert!((t.specific_heat.si() - 1570.0).abs() < 1e-9);
        // Share of the glass by volume 0.15655: 0.18^0.84345 = 0.23544.
        assert!((t.conductivity.si() - 0.23544).abs() < 1e-4);
        // Between the bounds of layers across the heat and along it (Wiener 1912).
        let v = 0.15655;
        assert!(
            t.conductivity.si() > 1.0 / ((1.0 - v) / 0.18 + v) && t.conductivity.si() < (1.0 - v) * 0.18 + v
        );
        // Halving what is mixed changes nothing; one part alone is itself.
        let half = parts.map(|(m, of)| (m * 0.5, of));
        assert!(
            (Thermal::of_mixture(&half).unwrap().conductivity.si() / t.conductivity.si() - 1.0).abs() < 1e-12
        );
        let alone = Thermal::of_mixture(&parts[..1]).unwrap();
        assert!((alone.conductivity.si() - 0.18).abs() < 1e-12 && (alone.density.si() - 1100.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_and_a_part_without_density_are_refused() {
        assert_eq!(Thermal::of_mixture(&[]).unwrap_err().kind(), ErrorKind::Document);
        let e = Thermal::of_mixture(&[(kg(1.0), thermal(0.0, 1900.0, 0.18))]).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "parts[0].density"));
    }
}
