//! Types that are a text with rules of their own: a dose, an amount of money, a time of day.

use serde_json::Value;

use super::shape::{Grammar, Shape};
use super::{Noun, Reader, Walk, Written};
use crate::error::Result;
use crate::quantity::{Measure, tagged_si};

/// A type that a document holds as a text. A noun by this: [`text_noun`](crate::text_noun).
pub trait AsText: Sized {
    /// Its name, what it is, and examples of what to write.
    const GRAMMAR: &'static Grammar;
    /// Reads it.
    ///
    /// # Errors
    /// As the type says, with an empty field.
    fn from_text(text: &str) -> Result<Self>;
    /// Writes it so that reading gives it back exactly.
    fn to_text(&self) -> String;
    /// What its number may measure, where it may be given with a spread.
    const SPREADS: &'static [&'static Measure] = &[];
    /// The one whose number measures that, in SI: one of [`AsText::SPREADS`].
    ///
    /// # Errors
    /// As the type says, with an empty field.
    fn of_si(of: &'static Measure, si: f64) -> Result<Self> {
        Self::from_text(&tagged_si(si, of))
    }
    /// Whether it is a number with its unit.
    const MEASURED: bool = false;
}

/// Reads a text with rules of its own; a bare number is handed on as text, so that they can say what is wrong with it.
pub fn read<T: AsText>(value: &Value, r: &mut Reader) -> Option<T> {
    let wanted = match T::GRAMMAR.examples {
        [] => "a text".to_owned(),
        examples => format!("a text, for example '{}'", examples[0]),
    };
    let text = r.text_of(value, &wanted)?;
    if !T::SPREADS.is_empty() && r.takes_spread(&text) {
        let (of, si) = r.spread(&text, T::SPREADS)?;
        return r.ask(T::of_si(of, si));
    }
    r.ask(T::from_text(&text))
}

/// Hands the text on.
pub fn walk<T: AsText>(v: &T, w: &mut dyn Walk) {
    if T::MEASURED {
        w.measured(&v.to_text());
    } else {
        w.text(&v.to_text());
    }
}

/// Makes a noun of a type that is [`AsText`](crate::noun::AsText).
#[macro_export]
macro_rules! text_noun {
    ($ty:ty) => {
        impl $crate::noun::Written for $ty {
            fn walk(&self, w: &mut dyn $crate::noun::Walk) {
                $crate::noun::walk_text(self, w);
            }
        }
        impl $crate::noun::Noun for $ty {
            fn shape() -> &'static $crate::noun::Shape {
                const { &$crate::noun::Shape::Text(<$ty as $crate::noun::AsText>::GRAMMAR) }
            }
            fn read(value: &$crate::noun::Value, r: &mut $crate::noun::Reader) -> Option<Self> {
                $crate::noun::read_text(value, r)
            }
        }
    };
}

/// A quantity is a noun: a text with its unit.
macro_rules! quantity_nouns {
    ($($ty:ty),* $(,)?) => {$(
        impl Written for $ty {
            fn walk(&self, w: &mut dyn Walk) {
                w.quantity($crate::quantity::Quantity::si(*self), <$ty as $crate::quantity::Quantity>::MEASURE);
            }
        }
        impl Noun for $ty {
            fn shape() -> &'static Shape {
                const { &Shape::Quantity(<$ty as $crate::quantity::Quantity>::MEASURE) }
            }
            fn read(value: &Value, r: &mut Reader) -> Option<Self> {
                let si = r.quantity(value, <$ty as $crate::quantity::Quantity>::MEASURE)?;
                r.ask(<$ty as $crate::quantity::Quantity>::from_si(si).map_err(|e| e.at("")))
            }
        }
    )*};
}

mod quantities {
    use super::{Noun, Reader, Shape, Value, Walk, Written};
    use crate::quantity::*;

    quantity_nouns!(
        Acceleration,
        AmountOfSubstance,
        Angle,
        Area,
        ArealMassDensity,
        AvailableEnergy,
        DiffusionCoefficient,
        DynamicViscosity,
        Energy,
        Force,
        Frequency,
        HeatFluxDensity,
        HeatTransfer,
        Length,
        LinearMassDensity,
        Mass,
        MassDensity,
        MassFlux,
        MolarEnergy,
        MolarMass,
        Power,
        Pressure,
        ReciprocalLength,
        SpecificHeatCapacity,
        SpecificVolume,
        SurfaceTension,
        TemperatureCoefficient,
        TemperatureInterval,
        ThermalConductivity,
        ThermodynamicTemperature,
        Time,
        Velocity,
        Volume,
        VolumeRate,
        DegreeOfCure,
        HydroxylNumber,
        Index,
        MassFraction,
        PartsByVolume,
        Phr,
        Probability,
        RelativeAmount,
        RelativeHumidity,
        RelativeSpread,
        Strain,
        VolumeFraction,
    );
}
