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

pub mod money;
mod parse;
mod questions;
pub mod ratio;
mod show;
pub mod temperature;
pub mod unit;

pub use uom::si::f64::{
    Acceleration, AmountOfSubstance, Angle, Area, ArealMassDensity, AvailableEnergy, DiffusionCoefficient,
    DynamicViscosity, Energy, Force, Frequency, HeatFluxDensity, HeatTransfer, Length, LinearMassDensity,
    Mass, MassDensity, MolarEnergy, MolarMass, Power, Pressure, ReciprocalLength, SpecificHeatCapacity,
    SpecificVolume, SurfaceTension, TemperatureCoefficient, TemperatureInterval, ThermalConductivity,
    ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};

pub use money::{Currency, Money, Price, PriceBasis};
pub use parse::{parse, parse_number_and_unit};
pub(crate) use questions::QUESTIONS;
pub use questions::{Convert, Converted, FactorTable, Factors};
pub use ratio::{
    DegreeOfCure, HydroxylNumber, Index, MassFraction, PartsByVolume, Phr, Probability, RelativeAmount,
    RelativeHumidity, RelativeSpread, Strain, VolumeFraction,
};
pub(crate) use show::figures;
pub use show::{BenchUnits, brief, brief_in, show, show_in, tagged};
pub use unit::{Dimension, Kind};

/// A quantity that can be read from and written to text with its unit.
///
/// Implemented for the `uom` types re-exported here and for the ratio newtypes.
pub trait Quantity: Copy + PartialEq + PartialOrd + std::fmt::Debug + Send + Sync + 'static {
    /// What it is called ("mass density").
    const NAME: &'static str;
    /// Its dimension and kind.
    const DIMENSION: Dimension;
    /// The unit a document is written in.
    const TAG_UNIT: &'static str;
    /// An example of what to write.
    const EXAMPLE: &'static str;
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
            fn from_si(value: f64) -> crate::Result<Self> {
                let value = crate::error::finite($name, value)?;
                Ok($ty { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value })
            }
            fn si(self) -> f64 {
                self.value
            }
        })*
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
    HeatFluxDensity "heat flux" (0 1 -3 0 0) Plain "W/m^2" "100 W/m^2";
    TemperatureCoefficient "temperature coefficient" (0 0 0 -1 0) Plain "1/K" "70e-6 1/K";
    AmountOfSubstance "amount of substance" (0 0 0 0 1) Plain "mol" "0.5 mol";
    MolarMass "molar mass" (0 1 0 0 -1) Plain "g/mol" "190 g/mol";
    MolarEnergy "molar energy" (2 1 -2 0 -1) Plain "kJ/mol" "58 kJ/mol";
    ThermodynamicTemperature "temperature" (0 0 0 1 0) Point "degC" "18 degC";
    TemperatureInterval "temperature interval" (0 0 0 1 0) Interval "K" "10 K";
    Angle "angle" (0 0 0 0 0) Angle "rad" "30 deg";
}

/// Serde for a quantity field: `#[serde(with = "crate::quantity::serde_tagged")]`, a text with its unit.
pub mod serde_tagged {
    use super::{Quantity, parse, tagged};
    use serde::{Deserialize, Deserializer, Serializer};

    /// Writes the quantity as text with its unit.
    ///
    /// # Errors
    /// Whatever the serializer refuses.
    pub fn serialize<Q: Quantity, S: Serializer>(q: &Q, s: S) -> Result<S::Ok, S::Error> {
        if !q.si().is_finite() {
            return Err(serde::ser::Error::custom(format_args!(
                "a {} that is not finite",
                Q::NAME
            )));
        }
        s.serialize_str(&tagged(*q))
    }
    /// Reads the quantity from text with its unit; a bare number is refused.
    ///
    /// # Errors
    /// As [`parse`].
    pub fn deserialize<'de, Q: Quantity, D: Deserializer<'de>>(d: D) -> Result<Q, D::Error> {
        let text = super::Text::deserialize(d)?;
        parse::<Q>("", &text.0).map_err(crate::document::through_serde)
    }
}

/// Serde for an optional quantity field (with `#[serde(default)]`).
pub mod serde_tagged_option {
    use super::{Quantity, parse, tagged};
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    /// Writes the quantity, where there is one, as text with its unit.
    ///
    /// # Errors
    /// Whatever the serializer refuses.
    pub fn serialize<Q: Quantity, S: Serializer>(q: &Option<Q>, s: S) -> Result<S::Ok, S::Error> {
        q.map(tagged).serialize(s)
    }
    /// Reads the quantity, where there is one, from text with its unit.
    ///
    /// # Errors
    /// As [`parse`].
    pub fn deserialize<'de, Q: Quantity, D: Deserializer<'de>>(d: D) -> Result<Option<Q>, D::Error> {
        Option::<super::Text>::deserialize(d)?
            .map(|t| parse::<Q>("", &t.0).map_err(crate::document::through_serde))
            .transpose()
    }
}

/// A text, or a bare number kept as text so that [`parse`] can say what is wrong with it.
pub(crate) struct Text(pub(crate) String);

impl<'de> serde::Deserialize<'de> for Text {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct V;
        impl serde::de::Visitor<'_> for V {
            type Value = Text;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a number with its unit, as text")
            }
            fn visit_str<E>(self, v: &str) -> Result<Text, E> {
                Ok(Text(v.to_owned()))
            }
            fn visit_f64<E>(self, v: f64) -> Result<Text, E> {
                Ok(Text(v.to_string()))
            }
            fn visit_i64<E>(self, v: i64) -> Result<Text, E> {
                Ok(Text(v.to_string()))
            }
            fn visit_u64<E>(self, v: u64) -> Result<Text, E> {
                Ok(Text(v.to_string()))
            }
        }
        d.deserialize_any(V)
    }
}

/// The JSON schema of a quantity field: a string of format `quantity`.
/// `#[schemars(with = "crate::quantity::Tagged")]` beside [`serde_tagged`].
#[derive(Debug)]
pub struct Tagged;

impl schemars::JsonSchema for Tagged {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Quantity".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "format": "quantity" })
    }
}
