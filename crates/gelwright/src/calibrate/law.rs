//! The constants of the free-radical law as coordinates of a search, and what is known of them before anything is measured.

use crate::constants::{GAS_CONSTANT, ZERO_CELSIUS};
use crate::cure::{
    DoseEffect, FittedRange, FreeRadical, Kinetics, Radicals, RateConstant, RateLaw, Vitrification,
};
use crate::error::{Error, Result};
use crate::noun::Noun;
use crate::numeric::normal;
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Frequency, MolarEnergy, Phr, Quantity, ThermodynamicTemperature,
};
use crate::source::{Property, Source};

/// How many constants there are.
pub(super) const CONSTANTS: usize = 8;

/// Which constant stands where.
pub(super) const INHIBITOR: usize = 0;
pub(super) const DECOMPOSITION: usize = 1;
pub(super) const PROPAGATION: usize = 2;
pub(super) const DECOMPOSITION_ENERGY: usize = 3;
pub(super) const PROPAGATION_ENERGY: usize = 4;
pub(super) const DOSE_ORDER: usize = 5;
pub(super) const GEL: usize = 6;
pub(super) const HEAT: usize = 7;

/// Temperature at which the rate constants are told, K.
const REFERENCE: f64 = 25.0 + ZERO_CELSIUS;
/// Order of the decomposition in the promoter. Common practice, no source.
const PROMOTER_ORDER: f64 = 0.5;

/// What a constant is a coordinate by.
#[derive(Clone, Copy)]
enum Scale {
    /// Itself.
    Straight,
    /// Its natural logarithm.
    Log,
    /// The logarithm of its odds.
    Odds,
}

impl Scale {
    fn coordinate(self, x: f64) -> f64 {
        match self {
            Scale::Straight => x,
            Scale::Log => x.ln(),
            Scale::Odds => (x / (1.0 - x)).ln(),
        }
    }
    fn value(self, y: f64) -> f64 {
        match self {
            Scale::Straight => y,
            Scale::Log => y.exp(),
            Scale::Odds => 1.0 / (1.0 + (-y).exp()),
        }
    }
}

/// A constant: what it is called, its unit and that unit in SI, and where it can be at all.
struct Described {
    name: &'static str,
    unit: &'static str,
    in_si: f64,
    scale: Scale,
    /// In SI.
    within: (f64, f64),
}

const DESCRIBED: [Described; CONSTANTS] = [
    Described {
        name: "inhibitor, as a part of the reference dose",
        unit: "1",
        in_si: 1.0,
        scale: Scale::Odds,
        within: (0.002, 0.97),
    },
    Described {
        name: "decomposition at 25 °C",
        unit: "1/s",
        in_si: 1.0,
        scale: Scale::Log,
        within: (1e-10, 1.0),
    },
    Described {
        name: "propagation at 25 °C and 1 phr",
        unit: "1/s",
        in_si: 1.0,
        scale: Scale::Log,
        within: (1e-7, 1e2),
    },
    Described {
        name: "activation energy of decomposition",
        unit: "kJ/mol",
        in_si: 1e3,
        scale: Scale::Log,
        within: (10e3, 250e3),
    },
    Described {
        name: "activation energy of propagation",
        unit: "kJ/mol",
        in_si: 1e3,
        scale: Scale::Log,
        within: (5e3, 120e3),
    },
    Described {
        name: "order of decomposition in the dose",
        unit: "1",
        in_si: 1.0,
        scale: Scale::Straight,
        within: (-0.8, 1.0),
    },
    Described {
        name: "conversion at gel",
        unit: "%",
        in_si: 0.01,
        scale: Scale::Log,
        within: (0.003, 0.4),
    },
    Described {
        name: "heat of reaction",
        unit: "J/g",
        in_si: 1e3,
        scale: Scale::Log,
        within: (HEATS.0, HEATS.1),
    },
];

/// Heats of reaction that a resin may have, J/kg.
pub(super) const HEATS: (f64, f64) = (80e3, 800e3);

/// What is known of the constants before anything is measured: coordinates and their standard deviations.
#[derive(Clone)]
pub(super) struct Prior {
    pub(super) middle: [f64; CONSTANTS],
    pub(super) deviation: [f64; CONSTANTS],
}

impl Prior {
    /// With the heat of reaction that the catalogue has for the resin.
    pub(super) fn new(heat: Option<&Property<AvailableEnergy>>) -> Self {
        let (heat, of_heat) = match heat {
            Some(p) => {
                let range = p
                    .range
                    .map_or(0.15, |(low, high)| (high.si() / low.si()).ln() / 4.0);
                (p.value.si(), range.max(0.02))
            }
            None => (USUAL_HEAT.0, USUAL_HEAT.1),
        };
        let values = [0.3, 3e-4, 3e-3, 55e3, 28e3, 0.0, 0.045, heat];
        let deviation = [
            1.0,
            // A resin gels within minutes or within hours: weak.
            1.6,
            1.1,
            8.0 / 55.0,
            3.5 / 28.0,
            0.2,
            // 2 to 10 % hold nine in ten.
            0.49,
            of_heat,
        ];
        Prior {
            middle: std::array::from_fn(|k| DESCRIBED[k].scale.coordinate(values[k])),
            deviation,
        }
    }
}

/// Heat of reaction of a resin whose catalogue entry has none, J/kg, and the standard deviation of its logarithm: from
/// memory, styrenated polyesters have 250 to 450 J/g.
const USUAL_HEAT: (f64, f64) = (350e3, 0.15);

/// What the priors of the constants rest on, in words; the heat of reaction's is the catalogue's.
pub(super) const PRIORS: [(usize, &str); CONSTANTS - 1] = [
    (INHIBITOR, "common practice, no source"),
    (
        DECOMPOSITION,
        "common practice, no source: weak, resins gel within minutes or hours",
    ),
    (
        PROPAGATION,
        "common practice, no source: weak, cups of data sheets peak 9 to 21 min after gel",
    ),
    (
        DECOMPOSITION_ENERGY,
        "redox-initiated polyesters show 40 to 60 kJ/mol: J. Appl. Polym. Sci. 102:1870 (2006), abstract",
    ),
    (
        PROPAGATION_ENERGY,
        "polyester 23.6 kJ/mol: Thermochim. Acta 289:209 (1996), abstract; styrene 31 kJ/mol: Macromol. Chem. Phys. 196 (1995), abstract",
    ),
    (
        DOSE_ORDER,
        "common practice, no source: each part of the peroxide decomposes alone, or shares the promoter",
    ),
    (GEL, "from memory: styrenated polyesters gel at 2 to 10 %"),
];

/// Keeps coordinates where a law exists at all.
pub(super) fn bounded(p: &mut [f64]) {
    for (x, d) in p.iter_mut().zip(&DESCRIBED) {
        let (low, high) = d.within;
        *x = x.clamp(d.scale.coordinate(low), d.scale.coordinate(high));
    }
}

/// A coordinate from a constant in SI.
pub(super) fn coordinate(k: usize, si: f64) -> f64 {
    DESCRIBED[k].scale.coordinate(si)
}

/// A constant in SI from its coordinate.
pub(super) fn value(k: usize, coordinate: f64) -> f64 {
    DESCRIBED[k].scale.value(coordinate)
}

/// What is the same in all laws of a search.
pub(super) struct Frame {
    /// Dose that the inhibitor is a part of, and at which the decomposition constant holds.
    pub(super) reference_dose: Phr,
    pub(super) vitrification: Option<Vitrification>,
    pub(super) fitted: Option<FittedRange>,
    pub(super) source: Source,
}

/// Activation energy for a first guess, J/mol.
const GUESSED_ENERGY: f64 = 50e3;

impl Frame {
    /// That of calibrated kinetics, and their constants' coordinates.
    ///
    /// # Errors
    /// `Inconsistent` for kinetics that no calibration made.
    pub(super) fn of(kinetics: &Kinetics, gel: DegreeOfCure) -> Result<(Self, [f64; CONSTANTS])> {
        let made = match &kinetics.law {
            RateLaw::FreeRadical(f) => f.dose_effect.map(|e| (f, e)),
            _ => None,
        };
        let Some((f, e)) = made else {
            return Err(Error::inconsistent(
                "kinetics.law",
                kinetics.law.name(),
                "the free-radical law with the effect of its dose, as a calibration gives it",
                "hand in the calibration as it was answered",
            ));
        };
        let values = [
            f.inhibitor.get() / e.reference_dose.get(),
            f.decomposition.factor.si(),
            f.propagation.factor.si(),
            f.decomposition.activation_energy.si(),
            f.propagation.activation_energy.si(),
            e.order,
            gel.get(),
            kinetics.heat_of_reaction.si(),
        ];
        let mut p = std::array::from_fn(|k| coordinate(k, values[k]));
        bounded(&mut p);
        let frame = Frame {
            reference_dose: e.reference_dose,
            vitrification: kinetics.vitrification,
            fitted: kinetics.fitted,
            source: kinetics.source.clone(),
        };
        Ok((frame, p))
    }

    /// The kinetics of a point, at the reference dose.
    pub(super) fn kinetics(&self, p: &[f64]) -> Result<Kinetics> {
        let v: [f64; CONSTANTS] = std::array::from_fn(|k| value(k, p[k]));
        let one = Phr::new(1.0)?;
        let at = ThermodynamicTemperature::from_si(REFERENCE)?;
        Ok(Kinetics {
            law: RateLaw::FreeRadical(FreeRadical {
                decomposition: RateConstant::at(
                    at,
                    Frequency::from_si(v[DECOMPOSITION])?,
                    MolarEnergy::from_si(v[DECOMPOSITION_ENERGY])?,
                ),
                thermal_decomposition: None,
                propagation: RateConstant::at(
                    at,
                    Frequency::from_si(v[PROPAGATION])?,
                    MolarEnergy::from_si(v[PROPAGATION_ENERGY])?,
                ),
                dose: self.reference_dose,
                inhibitor: Phr::new(v[INHIBITOR] * self.reference_dose.get())?,
                promoter: one,
                reference_promoter: one,
                promoter_order: PROMOTER_ORDER,
                dose_effect: Some(DoseEffect {
                    reference_dose: self.reference_dose,
                    order: v[DOSE_ORDER],
                }),
                radicals: Radicals::Trapped,
            }),
            heat_of_reaction: AvailableEnergy::from_si(v[HEAT])?,
            seed: DegreeOfCure::new(0.0)?,
            vitrification: self.vitrification,
            fitted: self.fitted,
            source: self.source.clone(),
        })
    }

    /// A point whose law gels after about `time` s at `kelvin`, with `part` of it induction.
    pub(super) fn start(&self, prior: &Prior, (time, kelvin): (f64, f64), part: f64) -> Vec<f64> {
        let warmer = (1.0 / kelvin - 1.0 / REFERENCE) * GUESSED_ENERGY / GAS_CONSTANT;
        let gel = time * (-warmer).exp();
        let mut p = prior.middle.to_vec();
        let share = value(INHIBITOR, p[INHIBITOR]);
        let kd = -(1.0 - share).ln() / (part * gel);
        let s = (1.0 - part) * gel;
        let kp = 2.0 * value(GEL, p[GEL]) / (self.reference_dose.get() * (1.0 - share) * kd * s * s);
        p[DECOMPOSITION] = coordinate(DECOMPOSITION, kd);
        p[PROPAGATION] = coordinate(PROPAGATION, kp);
        p
    }
}

/// A constant of a calibrated law: what was known of it, and what is known now. Intervals hold nine in ten.
#[derive(Clone, PartialEq, Noun)]
pub struct CalibratedConstant {
    /// Which.
    pub constant: String,
    /// Unit of all its numbers.
    pub unit: String,
    /// Its value.
    pub value: f64,
    /// Low end of what it may be.
    pub low: f64,
    /// High end of what it may be.
    pub high: f64,
    /// Its value before anything was measured.
    pub prior: f64,
    /// Low end of that.
    pub prior_low: f64,
    /// High end of that.
    pub prior_high: f64,
    /// Standard deviation over that before anything was measured, both on the scale of the search: 1 where nothing was
    /// learned.
    pub left_open: f64,
}

/// Standard deviations to an end of an interval that holds nine in ten.
fn ninety() -> f64 {
    normal::quantile(0.95)
}

/// The table of the constants at a point with its standard deviations.
pub(super) fn table(prior: &Prior, at: &[f64], deviation: &[f64]) -> Vec<CalibratedConstant> {
    (0..CONSTANTS)
        .map(|k| {
            let d = &DESCRIBED[k];
            let ends = |middle: f64, u: f64| {
                [-ninety(), 0.0, ninety()].map(|z| d.scale.value(middle + z * u) / d.in_si)
            };
            let [low, value, high] = ends(at[k], deviation[k]);
            let [prior_low, before, prior_high] = ends(prior.middle[k], prior.deviation[k]);
            CalibratedConstant {
                constant: d.name.to_owned(),
                unit: d.unit.to_owned(),
                value,
                low,
                high,
                prior: before,
                prior_low,
                prior_high,
                left_open: deviation[k] / prior.deviation[k],
            }
        })
        .collect()
}

/// What a constant is called.
pub(super) fn name(k: usize) -> &'static str {
    DESCRIBED[k].name
}
