//! A layer of a wall: how it holds and conducts heat, and how it cures.

use super::boiling::Monomer;
use crate::noun::Noun;

use crate::check::between;
use crate::cure::{Kernel, Kinetics};
use crate::error::{Error, Result};
use crate::quantity::{
    DegreeOfCure, HeatTransfer, Length, MassDensity, MassFraction, Quantity, SpecificHeatCapacity,
    TemperatureCoefficient, ThermalConductivity, ThermodynamicTemperature, Time, show, temperature::celsius,
};

/// How a material holds and conducts heat.
///
/// With slopes, `c(T) = c (1 + s_c (T - T_ref))` and `k(T) = k (1 + s_k (T - T_ref))`.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Thermal {
    /// Mass density, that of a gas to that of a heavy metal.
    #[noun(within("0.5 kg/m^3", "25000 kg/m^3", "for a resin about '1.1 g/mL'"))]
    pub density: MassDensity,
    /// Specific heat capacity.
    #[noun(within("50 J/(kg*K)", "10000 J/(kg*K)", "for a resin about '1.9 J/(g*K)'"))]
    pub specific_heat: SpecificHeatCapacity,
    /// Thermal conductivity.
    #[noun(within("0.005 W/(m*K)", "500 W/(m*K)", "for a resin about '0.18 W/(m*K)'"))]
    pub conductivity: ThermalConductivity,
    /// Relative change of the specific heat per kelvin.
    #[noun(
        default = "0 1/K",
        within = crate::ranges::CHANGE_PER_KELVIN
    )]
    pub specific_heat_slope: TemperatureCoefficient,
    /// Relative change of the conductivity per kelvin.
    #[noun(
        default = "0 1/K",
        within = crate::ranges::CHANGE_PER_KELVIN
    )]
    pub conductivity_slope: TemperatureCoefficient,
    /// Where a value with a slope is the one given.
    #[noun(
        default = "25 degC",
        within = crate::ranges::HEAT_TEMPERATURE
    )]
    pub reference: ThermodynamicTemperature,
}

/// Reference temperature where none is given, degrees Celsius.
const REFERENCE: f64 = 25.0;

impl Thermal {
    /// Constant properties.
    pub fn new(
        density: MassDensity,
        specific_heat: SpecificHeatCapacity,
        conductivity: ThermalConductivity,
    ) -> Self {
        Thermal {
            density,
            specific_heat,
            conductivity,
            specific_heat_slope: TemperatureCoefficient::default(),
            conductivity_slope: TemperatureCoefficient::default(),
            reference: celsius(REFERENCE),
        }
    }

    /// Thermal diffusivity `k / (rho c)`, m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity.si() / (self.density.si() * self.specific_heat.si())
    }

    /// What a field's range does not say.
    pub(crate) fn check(&self) -> Result<()> {
        let straight = self.specific_heat_slope.si() == 0.0 && self.conductivity_slope.si() == 0.0;
        if straight && self.reference != celsius(REFERENCE) {
            return Err(Error::inconsistent(
                "reference",
                show(self.reference),
                "a reference beside a slope",
                "without a slope both values hold at any temperature: leave the reference out, or give a slope",
            ));
        }
        Ok(())
    }
}

/// Least part of its reference value that a specific heat with a slope may sink to.
const LEAST_SPECIFIC_HEAT: f64 = 0.1;

/// Refuses a temperature at which a specific heat with this slope is next to nothing, or negative: heat then warms
/// without bound, and no step is short enough.
pub(crate) fn holds_heat(slope: f64, reference: f64, at: f64) -> Result<()> {
    let left = 1.0 + slope * (at - reference);
    if left >= LEAST_SPECIFIC_HEAT {
        return Ok(());
    }
    Err(Error::inconsistent(
        "thermal.specific_heat_slope",
        show(TemperatureCoefficient::from_si(slope)?),
        format!(
            "a specific heat that stays above {:.0} % of that at {}",
            100.0 * LEAST_SPECIFIC_HEAT,
            show(ThermodynamicTemperature::from_si(reference)?)
        ),
        format!(
            "at {}, which is reached, it would be {:.0} %: give a slope that holds over the whole run, or none",
            show(ThermodynamicTemperature::from_si(at)?),
            100.0 * left
        ),
    ))
}

/// Refuses a temperature at which no resin is handled.
pub(crate) fn temperature(field: &str, t: ThermodynamicTemperature) -> Result<f64> {
    between(field, t, 100.0, 1000.0, "check the unit: '20 degC', not '20 K'")
}

/// How the reacting part of a layer cures.
#[derive(Clone, PartialEq, Noun)]
pub struct Cure {
    /// Rate law, heat, seed.
    pub kinetics: Kinetics,
    /// Resin mix in the layer by mass; the rest (glass, filler) does not react.
    #[noun(default = "100 wt%", within(> "0 wt%", "100 wt%", "leave `cure` out for a layer that does not react"))]
    pub resin_content: MassFraction,
    /// Conversion at gel.
    #[noun(within(> "0 %", < "100 %", "a free-radical resin gels at a few percent, an epoxy at about 60 %"))]
    pub gel_at: DegreeOfCure,
    /// Conversion at which the layer may be demoulded.
    pub demould_at: Option<DegreeOfCure>,
    /// What of the resin mix can boil; without it nothing is said of boiling.
    pub monomer: Option<Monomer>,
}

impl Cure {
    /// Neat resin mix.
    pub fn new(kinetics: Kinetics, gel_at: DegreeOfCure) -> Self {
        Cure {
            kinetics,
            resin_content: MassFraction::ZERO.rest(),
            gel_at,
            demould_at: None,
            monomer: None,
        }
    }

    /// What the fields' ranges do not say.
    pub(crate) fn check(&self) -> Result<Kernel> {
        let kernel = self.kinetics.kernel().map_err(|e| e.within("kinetics"))?;
        if let Some(d) = self.demould_at
            && d.get() < self.gel_at.get()
        {
            return Err(Error::inconsistent(
                "demould_at",
                show(d),
                format!("{} (gel) or more", show(self.gel_at)),
                "a part is demoulded after it has gelled",
            ));
        }
        Ok(kernel)
    }

    /// Heat of a full cure per mass of layer, J/kg.
    pub(crate) fn heat_per_mass(&self) -> f64 {
        self.kinetics.heat_of_reaction.si() * self.resin_content.get()
    }
}

/// A layer of a wall.
#[derive(Clone, PartialEq, Noun)]
pub struct Layer {
    /// What it is: "plaster mould", "gel coat", "core pour".
    pub name: String,
    /// Thickness.
    #[noun(within("0.001 mm", "5 m", "check the unit: '12 mm'"))]
    pub thickness: Length,
    /// Heat capacity and conduction.
    pub thermal: Thermal,
    /// How it cures; left out for what does not react.
    pub cure: Option<Cure>,
    /// Temperature when laid.
    #[noun(within = crate::ranges::HEAT_TEMPERATURE)]
    pub starts_at: ThermodynamicTemperature,
    /// When it is laid on those before it.
    #[noun(
        default = "0 s",
        within("0 s", "1e8 s", "times count from the start of the run")
    )]
    pub laid_at: Time,
    /// Contact conductance to the layer before; perfect contact where not given.
    #[noun(within(
        "0.1 W/(m^2*K)",
        "1e7 W/(m^2*K)",
        "an air gap of 0.1 mm is about '250 W/(m^2*K)'; leave it out for perfect contact"
    ))]
    pub contact: Option<HeatTransfer>,
}

impl Layer {
    /// A layer that does not react, laid at the start.
    pub fn inert(
        name: &str,
        thickness: Length,
        thermal: Thermal,
        starts_at: ThermodynamicTemperature,
    ) -> Self {
        Layer {
            name: name.into(),
            thickness,
            thermal,
            cure: None,
            starts_at,
            laid_at: Time::default(),
            contact: None,
        }
    }

    /// A layer that cures, laid at the start.
    pub fn curing(
        name: &str,
        thickness: Length,
        thermal: Thermal,
        cure: Cure,
        starts_at: ThermodynamicTemperature,
    ) -> Self {
        Layer {
            cure: Some(cure),
            ..Layer::inert(name, thickness, thermal, starts_at)
        }
    }

    /// The same, laid at `time`.
    #[must_use]
    pub fn laid_at(mut self, time: Time) -> Self {
        self.laid_at = time;
        self
    }

    /// The same, in imperfect contact with the layer before.
    #[must_use]
    pub fn in_contact(mut self, conductance: HeatTransfer) -> Self {
        self.contact = Some(conductance);
        self
    }

    /// What the fields' ranges do not say.
    pub(crate) fn check(&self) -> Result<Option<Kernel>> {
        self.thermal.check().map_err(|e| e.within("thermal"))?;
        self.cure
            .as_ref()
            .map(|c| c.check().map_err(|e| e.within("cure")))
            .transpose()
    }
}
