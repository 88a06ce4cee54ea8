//! Quantities, their units, and how people write them.
//!
//! Inside Rust a quantity is a `uom` type ([`uom::si::f64`]) or one of this module's ratio newtypes; a unit
//! appears only at the edge. [`parse`] reads `"8 fl oz"`, `"450 g/m^2"`, `"18 degC"`; [`show`] and [`show_in`]
//! write what stands on a bench; [`tagged`] writes what a document holds, and reading that back is exact.
//!
//! * A temperature *point* ([`ThermodynamicTemperature`]) and a temperature *interval*
//!   ([`TemperatureInterval`]) are different types; the arithmetic between points is in [`temperature`].
//! * A ratio always says of what: [`MassFraction`], [`VolumeFraction`], [`Phr`], [`DegreeOfCure`], [`Strain`],
//!   [`RelativeHumidity`] ... A bare percent is refused where more than one could be meant.
//! * Ounces: `oz` is a mass, `fl oz` a volume; mat is in `oz/ft^2`, cloth in `oz/yd^2`.
//! * `fl oz`, `gal`, `qt`, `pint`, `cup`, `tbsp`, `tsp` are US liquid measure; imperial is `imp fl oz`, `imp gal`,
//!   `imp qt`, `imp pint`.
//! * What people type is read where it means one thing (`½ cup`, `1 1/2 pint`, `1 lb 3 oz`, `1h30`, `20 ℃`, `1 gal.`)
//!   and refused with what to write where it does not (`1,000 g`, `1 Kg`). A text has at most [`LONGEST_TEXT`]
//!   characters, its unit [`LONGEST_UNIT`], with brackets within [`DEEPEST_BRACKETS`] others.

pub mod convert;
mod misfit;
pub mod money;
mod number;
mod parse;
pub mod ratio;
mod show;
pub mod spread;
mod sum;
pub mod temperature;
#[cfg(test)]
mod tests;
mod text;
mod typed;
pub mod unit;

pub use uom::si::f64::{
    Acceleration, AmountOfSubstance, Angle, Area, ArealMassDensity, AvailableEnergy, DiffusionCoefficient,
    DynamicViscosity, Energy, Force, Frequency, HeatFluxDensity, HeatTransfer, Length, LinearMassDensity,
    Mass, MassDensity, MassFlux, MolarEnergy, MolarMass, Power, Pressure, ReciprocalLength,
    SpecificHeatCapacity, SpecificVolume, SurfaceTension, TemperatureCoefficient, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};

pub use money::{Currency, Money, Price, PriceBasis};
pub use parse::{parse, parse_number_and_unit};
pub use ratio::{
    DegreeOfCure, HydroxylNumber, Index, MassFraction, PartsByVolume, Phr, Probability, RelativeAmount,
    RelativeHumidity, RelativeSpread, Strain, VolumeFraction,
};
pub use show::{
    BenchUnits, Shown, brief, brief_in, figures, show, show_in, show_si, show_si_to, tagged, tagged_si,
};
pub use text::QuantityText;
pub use typed::{DEEPEST_BRACKETS, LONGEST_TEXT, LONGEST_UNIT};
pub use unit::{Dimension, Kind};

/// What a kind of quantity is called, measures, and is written like.
#[derive(Debug)]
pub struct Measure {
    /// What it is called ("mass density").
    pub name: &'static str,
    /// Its dimension and kind.
    pub dimension: Dimension,
    /// The unit a document is written in.
    pub unit: &'static str,
    /// An example of what to write.
    pub example: &'static str,
    /// The least and the most that its type holds, in SI; infinite where it has no bound.
    pub bounds: [f64; 2],
}

impl Measure {
    /// All of them.
    pub fn all() -> impl Iterator<Item = &'static Measure> {
        UOM.iter().chain(ratio::RATIOS).copied()
    }

    /// The one of that name.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName), with the nearest.
    pub fn named(field: &str, name: &str) -> crate::Result<&'static Measure> {
        Measure::all()
            .find(|m| m.name == name)
            .ok_or_else(|| crate::Error::unknown_name(field, name, Measure::all().map(|m| m.name)))
    }

    /// Whether it is written in percent alone.
    pub fn is_percentage(&self) -> bool {
        self.unit == "%"
    }

    /// What a difference between two of it measures: of temperature points an interval.
    pub fn difference(&'static self) -> &'static Measure {
        match self.dimension.kind {
            Kind::Point => TemperatureInterval::MEASURE,
            _ => self,
        }
    }
}

/// A quantity of a constant of this code, in SI.
///
/// # Panics
/// Where the constant is none of that quantity's: a mistake in the code that writes it.
pub fn known<Q: Quantity>(si: f64) -> Q {
    match Q::from_si(si) {
        Ok(q) => q,
        Err(e) => unreachable!("a constant out of its range: {e}"),
    }
}

/// A quantity that can be read from and written to text with its unit.
///
/// Implemented for the `uom` types re-exported here and for the ratio newtypes.
pub trait Quantity:
    crate::noun::Noun + Copy + PartialEq + PartialOrd + std::fmt::Debug + Send + Sync + 'static
{
    /// What it is called ("mass density").
    const NAME: &'static str;
    /// Its dimension and kind.
    const DIMENSION: Dimension;
    /// The unit a document is written in.
    const TAG_UNIT: &'static str;
    /// An example of what to write.
    const EXAMPLE: &'static str;
    /// The least and the most that the type holds, in SI.
    const BOUNDS: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];
    /// All of these as data.
    const MEASURE: &'static Measure = &Measure {
        name: Self::NAME,
        dimension: Self::DIMENSION,
        unit: Self::TAG_UNIT,
        example: Self::EXAMPLE,
        bounds: Self::BOUNDS,
    };
    /// From the value in the coherent SI unit (for a ratio: 0.02 for 2 %; for [`Phr`]: 2 for 2 phr).
    ///
    /// # Errors
    /// Where the type itself has bounds (a fraction lies in 0..=1), or for NaN and infinities.
    fn from_si(value: f64) -> crate::Result<Self>;
    /// The value in the coherent SI unit.
    fn si(self) -> f64;
}

macro_rules! uom_quantities {
    ($($ty:ident $name:literal ($l:literal $m:literal $t:literal $th:literal $n:literal) $kind:ident $tag:literal $example:literal;)*) => {
        $(impl Quantity for $ty {
            const NAME: &'static str = $name;
            const DIMENSION: Dimension = Dimension::new($l, $m, $t, $th, $n, Kind::$kind);
            const TAG_UNIT: &'static str = $tag;
            const EXAMPLE: &'static str = $example;
            const BOUNDS: [f64; 2] = match Kind::$kind {
                // absolute zero
                Kind::Point => [0.0, f64::INFINITY],
                _ => [f64::NEG_INFINITY, f64::INFINITY],
            };
            fn from_si(value: f64) -> crate::Result<Self> {
                let value = crate::error::finite($name, value)?;
                Ok($ty { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value })
            }
            fn si(self) -> f64 {
                self.value
            }
        })*
        const UOM: &[&Measure] = &[$($ty::MEASURE),*];
    };
}

uom_quantities! {
    Length "length" (1 0 0 0 0) Plain "mm" "12 mm";
    Area "area" (2 0 0 0 0) Plain "m^2" "0.35 m^2";
    Volume "volume" (3 0 0 0 0) Plain "mL" "250 mL";
    Mass "mass" (0 1 0 0 0) Plain "g" "120 g";
    Time "time" (0 0 1 0 0) Plain "s" "20 min";
    Velocity "velocity" (1 0 -1 0 0) Plain "m/s" "2 mm/s";
    Acceleration "acceleration" (1 0 -2 0 0) Plain "m/s^2" "9.81 m/s^2";
    Frequency "rate" (0 0 -1 0 0) Plain "1/s" "2e-4 1/s";
    VolumeRate "volume rate" (3 0 -1 0 0) Plain "m^3/s" "150 m^3/h";
    MassDensity "mass density" (-3 1 0 0 0) Plain "kg/m^3" "1.10 g/mL";
    SpecificVolume "specific volume" (3 -1 0 0 0) Plain "mL/kg" "20 mL/kg";
    ArealMassDensity "areal mass" (-2 1 0 0 0) Plain "g/m^2" "450 g/m^2";
    ReciprocalLength "per length" (-1 0 0 0 0) Plain "1/mm" "25 1/mm";
    LinearMassDensity "linear mass" (-1 1 0 0 0) Plain "g/m" "40 g/m";
    Force "force" (1 1 -2 0 0) Plain "N" "150 N";
    Pressure "pressure" (-1 1 -2 0 0) Plain "Pa" "25 MPa";
    SurfaceTension "surface tension" (0 1 -2 0 0) Plain "N/m" "30 mN/m";
    DynamicViscosity "dynamic viscosity" (-1 1 -1 0 0) Plain "Pa*s" "450 mPa*s";
    DiffusionCoefficient "diffusivity" (2 0 -1 0 0) Plain "m^2/s" "1e-7 m^2/s";
    Energy "energy" (2 1 -2 0 0) Plain "J" "40 kJ";
    Power "power" (2 1 -3 0 0) Plain "W" "60 W";
    AvailableEnergy "energy per mass" (2 0 -2 0 0) Plain "J/kg" "350 J/g";
    SpecificHeatCapacity "specific heat capacity" (2 0 -2 -1 0) Plain "J/(kg*K)" "1.9 J/(g*K)";
    ThermalConductivity "thermal conductivity" (1 1 -3 -1 0) Plain "W/(m*K)" "0.18 W/(m*K)";
    HeatTransfer "heat transfer coefficient" (0 1 -3 -1 0) Plain "W/(m^2*K)" "10 W/(m^2*K)";
    MassFlux "mass flux" (-2 1 -1 0 0) Plain "kg/(m^2*s)" "70 mg/(m^2*s)";
    HeatFluxDensity "heat flux" (0 1 -3 0 0) Plain "W/m^2" "100 W/m^2";
    TemperatureCoefficient "temperature coefficient" (0 0 0 -1 0) Plain "1/K" "70e-6 1/K";
    AmountOfSubstance "amount of substance" (0 0 0 0 1) Plain "mol" "0.5 mol";
    MolarMass "molar mass" (0 1 0 0 -1) Plain "g/mol" "190 g/mol";
    MolarEnergy "molar energy" (2 1 -2 0 -1) Plain "kJ/mol" "58 kJ/mol";
    ThermodynamicTemperature "temperature" (0 0 0 1 0) Point "degC" "18 degC";
    TemperatureInterval "temperature interval" (0 0 0 1 0) Interval "K" "10 K";
    Angle "angle" (0 0 0 0 0) Angle "rad" "30 deg";
}
