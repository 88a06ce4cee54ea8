//! A layer of a wall: how it holds and conducts heat, and how it cures.

use crate::noun::Noun;

use crate::check::between;
use crate::cure::{Kernel, Kinetics};
use crate::error::{Error, Result};
use crate::quantity::{
    DegreeOfCure, HeatTransfer, Length, MassDensity, MassFraction, Quantity, SpecificHeatCapacity,
    TemperatureCoefficient, ThermalConductivity, ThermodynamicTemperature, Time, show,
};

/// How a material holds and conducts heat.
///
/// With slopes, `c(T) = c (1 + s_c (T - T_ref))` and `k(T) = k (1 + s_k (T - T_ref))`.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Thermal {
    /// Mass density, 0.5 kg/m³ (a gas) to 25 000 kg/m³.
    pub density: MassDensity,
    /// Specific heat capacity, 50 J/(kg K) to 10 000 J/(kg K).
    pub specific_heat: SpecificHeatCapacity,
    /// Thermal conductivity, 0.005 W/(m K) to 500 W/(m K).
    pub conductivity: ThermalConductivity,
    /// Relative change of the specific heat per kelvin, within ±0.02 1/K.
    pub specific_heat_slope: Option<TemperatureCoefficient>,
    /// Relative change of the conductivity per kelvin, within ±0.02 1/K.
    pub conductivity_slope: Option<TemperatureCoefficient>,
    /// Where the values without slope hold; 25 °C where not given.
    pub reference: Option<ThermodynamicTemperature>,
}

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
            specific_heat_slope: None,
            conductivity_slope: None,
            reference: None,
        }
    }

    /// Thermal diffusivity `k / (rho c)`, m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity.si() / (self.density.si() * self.specific_heat.si())
    }

    pub(crate) fn check(&self) -> Result<()> {
        between(
            "density",
            self.density,
            0.5,
            25_000.0,
            "for a resin about '1.1 g/mL'",
        )?;
        between(
            "specific_heat",
            self.specific_heat,
            50.0,
            10_000.0,
            "for a resin about '1.9 J/(g*K)'",
        )?;
        between(
            "conductivity",
            self.conductivity,
            0.005,
            500.0,
            "for a resin about '0.18 W/(m*K)'",
        )?;
        for (field, slope) in [
            ("specific_heat_slope", self.specific_heat_slope),
            ("conductivity_slope", self.conductivity_slope),
        ] {
            if let Some(s) = slope {
                between(
                    field,
                    s,
                    -0.02,
                    0.02,
                    "a few tenths of a percent per kelvin are usual: '0.002 1/K'",
                )?;
            }
        }
        if let Some(t) = self.reference {
            temperature("reference", t)?;
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
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Cure {
    /// Rate law, heat, seed.
    pub kinetics: Kinetics,
    /// Resin mix in the layer by mass; the rest (glass, filler) does not react. 100 % where not given.
    pub resin_content: Option<MassFraction>,
    /// Conversion at gel.
    pub gel_at: DegreeOfCure,
    /// Conversion at which the layer may be demoulded.
    pub demould_at: Option<DegreeOfCure>,
}

impl Cure {
    /// Neat resin mix.
    pub fn new(kinetics: Kinetics, gel_at: DegreeOfCure) -> Self {
        Cure {
            kinetics,
            resin_content: None,
            gel_at,
            demould_at: None,
        }
    }

    pub(crate) fn check(&self) -> Result<Kernel> {
        let kernel = self.kinetics.kernel().map_err(|e| e.within("kinetics"))?;
        if self.resin_content.is_some_and(|w| w.get() <= 0.0) {
            return Err(Error::out_of_range(
                "resin_content",
                "0 wt%",
                "above 0 wt%",
                "leave `cure` out for a layer that does not react",
            ));
        }
        if self.gel_at.get() <= 0.0 || self.gel_at.get() >= 1.0 {
            return Err(Error::out_of_range(
                "gel_at",
                show(self.gel_at),
                "above 0 %, below 100 %",
                "a free-radical resin gels at a few percent, an epoxy at about 60 %",
            ));
        }
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
        self.kinetics.heat_of_reaction.si() * self.resin_content.map_or(1.0, MassFraction::get)
    }
}

/// A layer of a wall.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Layer {
    /// What it is: "plaster mould", "gel coat", "core pour".
    pub name: String,
    /// Thickness, 1 µm to 5 m.
    pub thickness: Length,
    /// Heat capacity and conduction.
    pub thermal: Thermal,
    /// How it cures; left out for what does not react.
    pub cure: Option<Cure>,
    /// Temperature when laid.
    pub starts_at: ThermodynamicTemperature,
    /// When it is laid on those before it; at the start where not given.
    pub laid_at: Option<Time>,
    /// Contact conductance to the layer before; perfect contact where not given.
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
            laid_at: None,
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
        self.laid_at = Some(time);
        self
    }

    /// The same, in imperfect contact with the layer before.
    #[must_use]
    pub fn in_contact(mut self, conductance: HeatTransfer) -> Self {
        self.contact = Some(conductance);
        self
    }

    pub(crate) fn laid(&self) -> f64 {
        self.laid_at.map_or(0.0, Quantity::si)
    }

    pub(crate) fn check(&self) -> Result<Option<Kernel>> {
        between("thickness", self.thickness, 1e-6, 5.0, "check the unit: '12 mm'")?;
        self.thermal.check().map_err(|e| e.within("thermal"))?;
        temperature("starts_at", self.starts_at)?;
        if let Some(t) = self.laid_at {
            between("laid_at", t, 0.0, 1e8, "times count from the start of the run")?;
        }
        if let Some(h) = self.contact {
            between(
                "contact",
                h,
                0.1,
                1e7,
                "an air gap of 0.1 mm is about '250 W/(m^2*K)'; leave it out for perfect contact",
            )?;
        }
        self.cure
            .as_ref()
            .map(|c| c.check().map_err(|e| e.within("cure")))
            .transpose()
    }
}
