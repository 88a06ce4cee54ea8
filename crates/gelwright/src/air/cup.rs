//! How fast a liquid in an open cup evaporates.

use crate::constants::{ATMOSPHERE, GAS_CONSTANT};
use crate::error::{Error, Result};
use crate::noun::{self, Noun, questions};
use crate::quantity::{
    DiffusionCoefficient, Length, MassFlux, MolarMass, Pressure, Quantity, ThermodynamicTemperature,
    Velocity, show,
};
use crate::source::{Source, Why};

/// A full cup or a wet face in moving air.
///
/// `j = k M p/(R T)` with the mass transfer coefficient `k = 0.0048 U^(7/9) d^(-1/9) Sc^(-2/3)` (U in m/s, d in m, k in m/s),
/// `Sc = nu/D`, `nu` the kinematic viscosity of air at that temperature, as the films of heat have it (Sutherland's law).
///
/// For a pure liquid that does not cool as it evaporates. Of a mixture the vapour pressure is lower: give that of the mixture.
///
/// Source: P. I. Kawamura, D. Mackay, The evaporation of volatile liquids, J. Hazard. Mater. 15:343 (1987).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct OpenCup {
    /// Its diameter along the wind.
    #[noun(within(> "0 m", "10 m", "give the cup's diameter, for example '80 mm'"))]
    pub diameter: Length,
    /// Air speed over it.
    #[noun(within(> "0 m/s", "20 m/s", "a quiet room has '0.1 m/s', a draught '0.5 m/s'"))]
    pub wind: Velocity,
    /// Vapour pressure of the liquid.
    #[noun(within("0 Pa", "101325 Pa", "styrene has '867 Pa' at 25 °C"))]
    pub vapour_pressure: Pressure,
    /// Molar mass of the vapour.
    #[noun(within(> "0 g/mol", "1000 g/mol", "styrene has '104.15 g/mol'"))]
    pub molar_mass: MolarMass,
    /// How fast the vapour spreads in air.
    #[noun(within(> "0 m^2/s", "1e-3 m^2/s", "styrene has '7.5e-6 m^2/s'"))]
    pub diffusion: DiffusionCoefficient,
    /// Temperature of the liquid.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
}

/// A liquid below the rim of a cup, in still air.
///
/// Diffusion through stagnant air: `j = M D P/(R T z) ln(P/(P - p))`, `P` 101 325 Pa, nothing of the vapour at the rim.
///
/// Source: the standard solution of J. Stefan; C. J. Geankoplis, Transport Processes and Unit Operations, section 6.2C (from
/// memory).
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct StagnantCup {
    /// From the liquid to the rim.
    #[noun(within(> "0 m", "10 m", "give how far the liquid stands below the rim, for example '30 mm'"))]
    pub path: Length,
    /// Vapour pressure of the liquid.
    #[noun(within("0 Pa", < "101325 Pa", "what boils needs no diffusion"))]
    pub vapour_pressure: Pressure,
    /// Molar mass of the vapour.
    #[noun(within(> "0 g/mol", "1000 g/mol", "styrene has '104.15 g/mol'"))]
    pub molar_mass: MolarMass,
    /// How fast the vapour spreads in air.
    #[noun(within(> "0 m^2/s", "1e-3 m^2/s", "styrene has '7.5e-6 m^2/s'"))]
    pub diffusion: DiffusionCoefficient,
    /// Temperature.
    #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
}

/// How fast it evaporates.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EvaporationRate {
    /// Mass by area and time.
    pub rate: MassFlux,
    /// The mass transfer coefficient behind it, of a cup in moving air.
    pub mass_transfer: Option<Velocity>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl OpenCup {
    /// How fast a liquid evaporates from an open cup or a wet face in moving air.
    ///
    /// [`OpenCup`] gives equation and source.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("air.open_cup")]
    pub fn evaporation(&self) -> Result<EvaporationRate> {
        noun::check(self)?;
        let (_, viscosity, _) = crate::heat::face::air(self.temperature.si());
        let schmidt = viscosity / self.diffusion.si();
        let k = 0.0048
            * self.wind.si().powf(7.0 / 9.0)
            * self.diameter.si().powf(-1.0 / 9.0)
            * schmidt.powf(-2.0 / 3.0);
        let saturated =
            self.molar_mass.si() * self.vapour_pressure.si() / (GAS_CONSTANT * self.temperature.si());
        let rate = MassFlux::from_si(k * saturated)?;
        Ok(EvaporationRate {
            rate,
            mass_transfer: Some(Velocity::from_si(k)?),
            why: Why::computed(
                "evaporation by area",
                show(rate),
                "k M p/(R T), k = 0.0048 U^(7/9) d^(-1/9) Sc^(-2/3)",
                vec![
                    Why::given("U, air speed", show(self.wind)),
                    Why::given("d, diameter", show(self.diameter)),
                    Why::given("Sc", format!("{schmidt:.3}")),
                    Why::given("p, vapour pressure", show(self.vapour_pressure)),
                ],
            )
            .with_source(&Source::published(
                "P. I. Kawamura, D. Mackay",
                "The evaporation of volatile liquids, J. Hazard. Mater. 15",
                1987,
                "p. 343",
            )),
        })
    }
}

#[questions]
impl StagnantCup {
    /// How fast a liquid evaporates that stands below the rim of a cup in still air.
    ///
    /// [`StagnantCup`] gives equation and source.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("air.stagnant_cup")]
    pub fn evaporation(&self) -> Result<EvaporationRate> {
        noun::check(self)?;
        let p = self.vapour_pressure.si();
        if p >= ATMOSPHERE {
            return Err(Error::out_of_range(
                "vapour_pressure",
                show(self.vapour_pressure),
                "below 101325 Pa",
                "what boils needs no diffusion",
            ));
        }
        let moles =
            self.diffusion.si() * ATMOSPHERE / (GAS_CONSTANT * self.temperature.si() * self.path.si());
        let rate = MassFlux::from_si(-self.molar_mass.si() * moles * (-p / ATMOSPHERE).ln_1p())?;
        Ok(EvaporationRate {
            rate,
            mass_transfer: None,
            why: Why::computed(
                "evaporation by area",
                show(rate),
                "M D P/(R T z) ln(P/(P - p))",
                vec![
                    Why::given("z, liquid to rim", show(self.path)),
                    Why::given("D, diffusion in air", show(self.diffusion)),
                    Why::given("p, vapour pressure", show(self.vapour_pressure)),
                ],
            )
            .with_source(
                &Source::published(
                    "C. J. Geankoplis",
                    "Transport Processes and Unit Operations",
                    1993,
                    "section 6.2C",
                )
                .from_memory(),
            ),
        })
    }
}
