//! Water poured in and weighed.

use gelwright_base::constants::ZERO_CELSIUS;
use gelwright_base::error::{Error, Result};
use gelwright_base::measurement::{of_limits, of_step};
use gelwright_base::noun::{Noun, questions};
use gelwright_base::quantity::{
    self, Mass, MassDensity, Quantity, TemperatureInterval, ThermodynamicTemperature, Volume,
};
use gelwright_base::source::Why;

use crate::size::{Budget, Reading, Size, computed, given};
use crate::sources;

/// Density of steel weights that a scale is adjusted with, kg/m³.
///
/// Source: OIML D 28:2004, Conventional value of the result of weighing in air, which sets 8000 kg/m³ (from memory).
const WEIGHTS: f64 = 8000.0;

/// Air-free water at 101 325 Pa, kg/m³, by its temperature in °C.
fn tanaka(t: f64) -> f64 {
    const A: [f64; 5] = [-3.983_035, 301.797, 522_528.9, 69.348_81, 999.974_950];
    A[4] * (1.0 - (t + A[0]) * (t + A[0]) * (t + A[1]) / (A[2] * (t + A[3])))
}

/// Density of water at 101 325 Pa.
///
/// `rho = a5 (1 - (t + a1)^2 (t + a2)/(a3 (t + a4)))`, `t` in °C, of air-free water of the oceans' mean isotopes; Tanaka et
/// al., Metrologia 38 (2001) 301, equation (1), 0 to 40 °C, within 1e-6. What tap water holds of air and salts (some 1e-5 to
/// 3e-4) is not modelled.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](gelwright_base::ErrorKind::OutOfRange) below 0 °C (ice) and above 40 °C.
#[questions("mould.water_density")]
pub fn water_density(
    /// Temperature of the water.
    temperature: ThermodynamicTemperature,
) -> Result<MassDensity> {
    let t = temperature.si() - ZERO_CELSIUS;
    // What is written as 0 degC or 40 degC is inside, whatever its rounding did.
    if !(-1e-9..=40.0 + 1e-9).contains(&t) {
        let way_out = if t < 0.0 {
            "below 0 degC it is ice: let it thaw, and read the thermometer in the water"
        } else {
            "let it cool below 40 degC: hot water steams off while it is weighed"
        };
        return Err(Error::out_of_range(
            "temperature",
            quantity::show(temperature),
            "0 degC to 40 degC",
            way_out,
        ));
    }
    MassDensity::from_si(tanaka(t))
}

/// Water that fills a mould or a half of it, weighed.
#[derive(Clone, PartialEq, Noun)]
pub struct WaterFill {
    /// What the scale shows of the water alone (full less empty).
    #[noun(within(> "0 g", "10000 kg", "give what the scale shows, for example '1234 g'"))]
    pub mass: Mass,
    /// Temperature of the water.
    pub temperature: ThermodynamicTemperature,
    /// Step of the scale's display.
    #[noun(within(> "0 g", "1 kg", "give the step of the display, for example '0.1 g'"))]
    pub readability: Mass,
    /// How far the thermometer may be off.
    #[noun(default = "1 K", within("0 K", "20 K", "give the limits, for example '1 K'"))]
    pub thermometer: TemperatureInterval,
    /// Density of the air.
    #[noun(
        default = "1.2 kg/m^3",
        within("0 kg/m^3", "1.5 kg/m^3", "air near the sea has '1.2 kg/m^3'")
    )]
    pub air: MassDensity,
    /// How much more or less than full it may have been: the bulge at the rim, drops left behind, bubbles (common practice,
    /// no source: a part in two hundred, if not said).
    #[noun(within("0 mL", "1 m^3", "give the limits, for example '2 mL'"))]
    pub filled: Option<Volume>,
}

/// Limits of a filling by eye, relative: common practice, no source.
const BY_EYE: f64 = 0.005;
/// Limits of what tap water's salts and air change of its density, relative: from memory.
const TAP: f64 = 3e-4;

#[questions]
impl WaterFill {
    /// The volume of a mould from the water that fills it.
    ///
    /// `V = m (1 - rho_a/rho_m)/(rho_w - rho_a)`: `rho_w` of [`water_density`], air `rho_a` whose buoyancy lifts the water
    /// and the scale's weights of `rho_m = 8000 kg/m^3`. Without it the volume is 0.1 % too small. Not modelled: a mould
    /// that drinks (seal plaster and wood first) or that bulges under the water.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](gelwright_base::ErrorKind::OutOfRange) for a mass or step that is not above zero, for ice,
    /// and for water above 40 °C.
    #[question("mould.water_fill")]
    pub fn measure(&self) -> Result<Size<Volume>> {
        gelwright_base::noun::check(self)?;
        let density = water_density(self.temperature)?;
        let t = self.temperature.si() - ZERO_CELSIUS;
        // A net mass is a difference of two readings.
        let step = 2f64.sqrt() * of_step(self.readability.si());
        let readings = [
            Reading::new("the scale's readings", self.mass.si(), step),
            Reading::new("the water's temperature", t, of_limits(self.thermometer.si())),
            Reading::new("salts and air in the water", 1.0, of_limits(TAP)),
        ];
        let air = self.air.si();
        let (volume, budget) = Budget::carried(&readings, "", |x| {
            Ok(x[0] * (1.0 - air / WEIGHTS) / (tanaka(x[1]) * x[2] - air))
        })?;
        let filled = self.filled.map_or(BY_EYE * volume, Quantity::si);
        let budget = budget.with("how full it was", of_limits(filled));
        let from: Vec<Why> = vec![
            given("water on the scale, m", self.mass),
            given("density of water, rho_w", density).with_source(&sources::water_density()),
            given("density of air, rho_a", self.air),
        ];
        let equation = "V = m (1 - rho_a/8000 kg/m^3)/(rho_w - rho_a)";
        budget.size(volume, computed::<Volume>("volume", volume, equation, from)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use gelwright_base::ErrorKind;

    fn at(t: f64) -> ThermodynamicTemperature {
        quantity::known(t + ZERO_CELSIUS)
    }

    /// CRC Handbook of Chemistry and Physics, 53rd edition, 1972, p. F4, g/mL of air-free water, within 1e-5; the last four
    /// of a table in kg/m³ that repeats the international equation of state of water.
    #[test]
    fn water_is_as_dense_as_the_tables_say() {
        for (t, rho) in [
            (4.0, 999.973),
            (5.4, 999.957),
            (10.0, 999.700),
            (12.0, 999.498),
            (15.0, 999.099),
            (20.0, 998.2071),
            (25.0, 997.0479),
            (30.0, 995.6502),
        ] {
            let found = water_density(at(t)).unwrap().si();
            assert!((found / rho - 1.0).abs() < 1e-5, "{t}: {found}");
        }
        // The formula's own paper, table 1 (20 °C), from memory.
        assert!((tanaka(20.0) - 998.2067).abs() < 2e-4);
    }

    fn fill(mass: f64, t: f64) -> WaterFill {
        WaterFill {
            mass: quantity::known(mass * 1e-3),
            temperature: at(t),
            readability: quantity::known(1e-4),
            thermometer: quantity::known(1.0),
            air: quantity::known(1.2),
            filled: Some(Volume::default()),
        }
    }

    /// Analytic, with the density of an independent library (CoolProp).
    #[test]
    fn buoyancy_adds_a_thousandth() {
        let v = fill(1234.5, 18.0).measure().unwrap();
        assert!((v.value().si() * 1e6 - 1237.53).abs() < 0.01);
        let v = fill(842.0, 24.0).measure().unwrap();
        assert!((v.value().si() * 1e6 - 845.17).abs() < 0.01);
        let bare = WaterFill {
            air: MassDensity::default(),
            ..fill(1234.5, 18.0)
        };
        assert!((bare.measure().unwrap().value().si() * 1e6 - 1236.23).abs() < 0.01);
        // Left unsaid, how full it was is most of what is not known.
        let usual = WaterFill {
            filled: None,
            ..fill(1234.5, 18.0)
        };
        let v = usual.measure().unwrap();
        assert_eq!(v.dominant.as_deref(), Some("how full it was"));
        assert!((v.relative() - 0.0029).abs() < 1e-4, "{}", v.relative());
    }

    #[test]
    fn ice_and_steam_are_refused() {
        for (t, says) in [(-0.5, "ice"), (-40.0, "ice"), (41.0, "cool")] {
            let e = fill(100.0, t).measure().unwrap_err();
            assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "temperature"));
            assert!(e.to_string().contains(says), "{e}");
        }
        assert!(fill(100.0, 0.0).measure().is_ok());
        assert!(fill(100.0, 40.0).measure().is_ok());
        assert_eq!(fill(0.0, 20.0).measure().unwrap_err().field(), "mass");
        assert_eq!(fill(-5.0, 20.0).measure().unwrap_err().field(), "mass");
    }
}
