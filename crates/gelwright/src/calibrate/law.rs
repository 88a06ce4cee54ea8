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

/// Where in a point the search goes another way than by the constant of that place: what is measured hangs on these nearly
/// straight, so that the band of a law stays the band of what was measured.
const GEL_TIME: usize = DECOMPOSITION;
const GROWTH_TIME: usize = PROPAGATION;
const INDUCTION: usize = GEL;

/// Temperature at which the rate constants are told, K.
const TOLD_AT: f64 = 25.0 + ZERO_CELSIUS;
/// Order of the decomposition in the promoter. Common practice, no source.
const PROMOTER_ORDER: f64 = 0.5;

/// What a number is searched, and its spread told, by.
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
    fn from(self, x: f64) -> f64 {
        match self {
            Scale::Straight => x,
            Scale::Log => x.ln(),
            Scale::Odds => (x / (1.0 - x)).ln(),
        }
    }
    fn back(self, y: f64) -> f64 {
        match self {
            Scale::Straight => y,
            Scale::Log => y.exp(),
            Scale::Odds => 1.0 / (1.0 + (-y).exp()),
        }
    }
}

/// A constant: what it is called, its unit and that unit in SI.
struct Described {
    name: &'static str,
    unit: &'static str,
    in_si: f64,
    scale: Scale,
}

const fn described(name: &'static str, unit: &'static str, in_si: f64, scale: Scale) -> Described {
    Described {
        name,
        unit,
        in_si,
        scale,
    }
}

const DESCRIBED: [Described; CONSTANTS] = [
    described(
        "inhibitor, as a part of the reference dose",
        "1",
        1.0,
        Scale::Odds,
    ),
    described(
        "decomposition at 25 °C and the reference dose",
        "1/s",
        1.0,
        Scale::Log,
    ),
    described("propagation at 25 °C and 1 phr", "1/s", 1.0, Scale::Log),
    described("activation energy of decomposition", "kJ/mol", 1e3, Scale::Log),
    described("activation energy of propagation", "kJ/mol", 1e3, Scale::Log),
    described("order of decomposition in the dose", "1", 1.0, Scale::Straight),
    described("conversion at gel", "%", 0.01, Scale::Log),
    described("heat of reaction", "J/g", 1e3, Scale::Log),
];

/// What is searched, and where it can be at all, in SI.
const SEARCHED: [(Scale, (f64, f64)); CONSTANTS] = [
    (Scale::Odds, (0.002, 0.97)),
    // Gel time at the reference temperature and dose.
    (Scale::Log, (1.0, 3e8)),
    // Growth time there: 1/sqrt(kp kd (d0 - z)).
    (Scale::Log, (0.1, 1e9)),
    (Scale::Log, (10e3, 250e3)),
    (Scale::Log, (5e3, 120e3)),
    (Scale::Straight, (-0.8, 1.0)),
    // Part of that gel time that is induction.
    (Scale::Odds, (0.003, 0.997)),
    (Scale::Log, HEATS),
];

/// Heats of reaction that a resin may have, J/kg.
pub(super) const HEATS: (f64, f64) = (80e3, 800e3);

/// What is known of the constants before anything is measured, each on its scale.
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
            None => USUAL_HEAT,
        };
        let values = [0.3, 3e-4, 3e-3, 55e3, 28e3, 0.0, 0.045, heat];
        let deviation = [
            1.0,
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
            middle: std::array::from_fn(|k| DESCRIBED[k].scale.from(values[k])),
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

/// Keeps a point where a law exists at all.
pub(super) fn bounded(p: &mut [f64]) {
    for (x, (scale, (low, high))) in p.iter_mut().zip(&SEARCHED) {
        *x = x.clamp(scale.from(*low), scale.from(*high));
    }
}

/// What is the same in all laws of a search.
pub(super) struct Frame {
    /// Dose that the inhibitor is a part of, and at which the decomposition constant holds.
    pub(super) reference_dose: Phr,
    /// Temperature in the midst of what was measured, K.
    pub(super) kelvin: f64,
    pub(super) vitrification: Option<Vitrification>,
    pub(super) fitted: Option<FittedRange>,
    pub(super) source: Source,
}

/// Activation energy and order in the dose for a first guess.
const GUESSED: (f64, f64) = (50e3, 1.0);

/// `s - (1 - e^(-k s))/k`, without loss of figures for a small `k s`.
fn grown(k: f64, s: f64) -> f64 {
    let x = k * s;
    if x < 1e-3 {
        0.5 * s * x * (1.0 - x / 3.0)
    } else {
        (x + (-x).exp_m1()) / k
    }
}

impl Frame {
    /// That of calibrated kinetics.
    ///
    /// # Errors
    /// `Inconsistent` for kinetics that no calibration made.
    pub(super) fn of(kinetics: &Kinetics) -> Result<Self> {
        if let RateLaw::FreeRadical(f) = &kinetics.law
            && let (Some(effect), Some(at)) = (f.dose_effect, f.decomposition.at)
        {
            return Ok(Frame {
                reference_dose: effect.reference_dose,
                kelvin: at.si(),
                vitrification: kinetics.vitrification,
                fitted: kinetics.fitted,
                source: kinetics.source.clone(),
            });
        }
        Err(Error::inconsistent(
            "kinetics.law",
            kinetics.law.name(),
            "the free-radical law with the effect of its dose, as a calibration gives it",
            "hand in the calibration as it was answered",
        ))
    }

    /// The constants of a point in SI, those of rates at the frame's temperature.
    fn constants(&self, p: &[f64]) -> [f64; CONSTANTS] {
        let mut v: [f64; CONSTANTS] = std::array::from_fn(|k| SEARCHED[k].0.back(p[k]));
        let (time, growth, part) = (v[GEL_TIME], v[GROWTH_TIME], v[INDUCTION]);
        let left = (1.0 - v[INHIBITOR]) * self.reference_dose.get();
        // t* = -ln(1 - z/d)/kd; ln(1/(1 - ag)) = kp (d - z)(s - (1 - e^(-kd s))/kd).
        let kd = -(-v[INHIBITOR]).ln_1p() / (part * time);
        let kp = 1.0 / (kd * left * growth * growth);
        v[DECOMPOSITION] = kd;
        v[PROPAGATION] = kp;
        v[GEL] = (-(-kp * left * grown(kd, (1.0 - part) * time)).exp_m1()).clamp(1e-4, 0.6);
        v
    }

    /// The constants of a point as they are told, each on its scale.
    pub(super) fn told(&self, p: &[f64]) -> [f64; CONSTANTS] {
        let v = self.constants(p);
        let warmer = (1.0 / self.kelvin - 1.0 / TOLD_AT) / GAS_CONSTANT;
        std::array::from_fn(|k| {
            DESCRIBED[k].scale.from(match k {
                DECOMPOSITION => v[k] * (v[DECOMPOSITION_ENERGY] * warmer).exp(),
                PROPAGATION => v[k] * (v[PROPAGATION_ENERGY] * warmer).exp(),
                _ => v[k],
            })
        })
    }

    /// The kinetics of a point, at the reference dose, and its conversion at gel.
    pub(super) fn law(&self, p: &[f64]) -> Result<(Kinetics, DegreeOfCure)> {
        let v = self.constants(p);
        let one = Phr::new(1.0)?;
        let at = ThermodynamicTemperature::from_si(self.kelvin)?;
        let kinetics = Kinetics {
            law: RateLaw::FreeRadical(FreeRadical {
                decomposition: RateConstant::at(
                    at,
                    Frequency::from_si(v[DECOMPOSITION])?,
                    MolarEnergy::from_si(v[DECOMPOSITION_ENERGY])?,
                ),
                thermal_decomposition: Some(RateConstant::of_ketone_peroxide_by_heat()?),
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
                promoter_retards: 0.0,
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
        };
        Ok((kinetics, DegreeOfCure::new(v[GEL])?))
    }

    /// A point whose law gels after about `time` s at `kelvin` and `dose`, with `part` of it induction.
    pub(super) fn start(&self, prior: &Prior, (time, kelvin, dose): (f64, f64, f64), part: f64) -> Vec<f64> {
        let warmer = (1.0 / kelvin - 1.0 / self.kelvin) * GUESSED.0 / GAS_CONSTANT;
        let time = time * (-warmer).exp() * (dose / self.reference_dose.get()).powf(GUESSED.1);
        let mut p = prior.middle.to_vec();
        let gel = DESCRIBED[GEL].scale.back(prior.middle[GEL]);
        p[GEL_TIME] = time.ln();
        p[GROWTH_TIME] = ((1.0 - part) * time / (2.0 * gel).sqrt()).ln();
        p[INDUCTION] = SEARCHED[INDUCTION].0.from(part);
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

/// The table of the constants, as they are told, with their standard deviations on their scales.
pub(super) fn table(prior: &Prior, at: &[f64], deviation: &[f64]) -> Vec<CalibratedConstant> {
    (0..CONSTANTS)
        .map(|k| {
            let d = &DESCRIBED[k];
            let ends = |middle: f64, u: f64| {
                [-ninety(), 0.0, ninety()].map(|z| d.scale.back(middle + z * u) / d.in_si)
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
