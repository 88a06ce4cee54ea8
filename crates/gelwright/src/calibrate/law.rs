//! The constants of the free-radical law as coordinates of a search, and what is known of them before anything is measured.

use crate::constants::{GAS_CONSTANT, ZERO_CELSIUS};
use crate::cure::usual;
use crate::cure::{
    DoseEffect, FittedRange, FreeRadical, Kinetics, Radicals, RateConstant, RateLaw, Vitrification,
};
use crate::error::{Error, Result};
use crate::material::{PeroxideCure, Resin};
use crate::noun::Noun;
use crate::numeric::normal;
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Frequency, MolarEnergy, Phr, Quantity, SpecificHeatCapacity,
    ThermodynamicTemperature,
};
use crate::source::{Property, Source};

/// How many constants there are.
pub(super) const CONSTANTS: usize = 10;

/// Which constant stands where.
pub(super) const INHIBITOR: usize = 0;
pub(super) const DECOMPOSITION: usize = 1;
pub(super) const PROPAGATION: usize = 2;
pub(super) const DECOMPOSITION_ENERGY: usize = 3;
pub(super) const PROPAGATION_ENERGY: usize = 4;
pub(super) const DOSE_ORDER: usize = 5;
pub(super) const GEL: usize = 6;
pub(super) const HEAT: usize = 7;
pub(super) const FILM: usize = 8;
pub(super) const SPECIFIC_HEAT: usize = 9;

/// Where in a point the search goes another way than by the constant of that place: what is measured hangs on these nearly
/// straight, so that the band of a law stays the band of what was measured.
const GEL_TIME: usize = DECOMPOSITION;
const GROWTH_TIME: usize = PROPAGATION;
const INDUCTION: usize = GEL;

/// Temperature at which the rate constants are told, K.
const TOLD_AT: f64 = 25.0 + ZERO_CELSIUS;
/// Standard uncertainty of a film in still air, of its logarithm: anywhere within a quarter (common practice, no source).
pub(crate) const STILL_AIR: f64 = 0.25 / 1.732;

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
    described("factor on the film of a cup in still air", "1", 1.0, Scale::Log),
    described("specific heat capacity of the resin", "J/(g*K)", 1e3, Scale::Log),
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
    // A film that a quarter and more of a bench's scatter does not explain is another place than a bench.
    (Scale::Log, (0.2, 5.0)),
    (Scale::Log, (500.0, 5000.0)),
];

/// Heats of reaction that a resin may have, J/kg.
pub(super) const HEATS: (f64, f64) = (80e3, 800e3);

/// What is known of the constants before anything is measured, each on its scale.
#[derive(Clone)]
pub(super) struct Prior {
    pub(super) middle: [f64; CONSTANTS],
    pub(super) deviation: [f64; CONSTANTS],
    /// What each rests on, in words.
    pub(super) on: [String; CONSTANTS],
}

/// What is known of a constant that no catalogue has, or where it says nothing: its value in SI, the standard deviation on its
/// scale, on whose word. None where the catalogue's usual resin has it.
const USUAL: [Option<(f64, f64, &str)>; CONSTANTS] = [
    None,
    Some((
        3e-4,
        1.6,
        "common practice, no source: weak, resins gel within minutes or hours",
    )),
    Some((
        3e-3,
        1.1,
        "common practice, no source: weak, cups of data sheets peak 9 to 21 min after gel",
    )),
    None,
    None,
    Some((
        0.0,
        0.2,
        "common practice, no source: each part of the peroxide decomposes alone, or shares the promoter",
    )),
    None,
    Some((
        350e3,
        0.15,
        "from memory: styrenated polyesters have 250 to 450 J/g",
    )),
    Some((
        1.0,
        STILL_AIR,
        "films in still air are good to a quarter (common practice, no source)",
    )),
    Some((1900.0, 0.12, "from memory: polyesters have 1.5 to 2.4 J/(g K)")),
];

/// Least standard deviation of a catalogue's value.
const LEAST_DEVIATION: f64 = 0.02;

impl Prior {
    /// With what the catalogue has for the resin, or for the usual one: its values, their ranges as two standard deviations to
    /// both sides.
    pub(super) fn of(resin: &Resin) -> Result<Self> {
        let told = |k: usize| USUAL[k].unwrap_or((1.0, 1.0, ""));
        let mut prior = Prior {
            middle: std::array::from_fn(|k| DESCRIBED[k].scale.from(told(k).0)),
            deviation: std::array::from_fn(|k| told(k).1),
            on: std::array::from_fn(|k| told(k).2.to_owned()),
        };
        prior.take_cure(INHIBITOR, resin, |c| c.inhibitor_share.as_ref())?;
        prior.take_cure(DECOMPOSITION_ENERGY, resin, |c| c.decomposition_energy.as_ref())?;
        prior.take_cure(PROPAGATION_ENERGY, resin, |c| c.propagation_energy.as_ref())?;
        prior.take_cure(GEL, resin, |c| c.gel_conversion.as_ref())?;
        prior.take(HEAT, resin.heat_of_reaction.as_ref());
        prior.take(SPECIFIC_HEAT, resin.specific_heat.as_ref());
        Ok(prior)
    }

    fn take_cure<Q: Quantity>(
        &mut self,
        k: usize,
        resin: &Resin,
        of: fn(&PeroxideCure) -> Option<&Property<Q>>,
    ) -> Result<()> {
        let (known, own) = usual::of_peroxide(resin, of)?;
        self.take(k, Some(known));
        if !own {
            self.on[k] = format!("the catalogue's of an orthophthalic polyester: {}", known.source);
        }
        Ok(())
    }

    fn take<Q: Quantity>(&mut self, k: usize, known: Option<&Property<Q>>) {
        let Some(known) = known else { return };
        let (low, high) = SEARCHED_AS_TOLD[k];
        let on_scale = |x: f64| DESCRIBED[k].scale.from(x.clamp(low, high));
        self.middle[k] = on_scale(known.value.si());
        if let Some((least, most)) = known.range {
            let wide = on_scale(most.si()) - on_scale(least.si());
            self.deviation[k] = (0.25 * wide).max(LEAST_DEVIATION);
        }
        self.on[k] = format!("the catalogue's: {}", known.source);
    }
}

/// Where a constant can be at all as it is told, in SI.
const SEARCHED_AS_TOLD: [(f64, f64); CONSTANTS] = {
    let mut ends = [(1e-12, 1e12); CONSTANTS];
    ends[INHIBITOR] = SEARCHED[INHIBITOR].1;
    ends[DOSE_ORDER] = SEARCHED[DOSE_ORDER].1;
    ends[GEL] = (1e-4, 0.6);
    ends[HEAT] = HEATS;
    ends
};

/// How a resin's peroxide decomposes by heat alone, and the order in its promoter: what the catalogue has, else what is usual.
/// Neither is searched for.
pub(super) fn beside(resin: &Resin) -> Result<(Option<RateConstant>, f64)> {
    let energy = usual::of_peroxide(resin, |c| c.thermal_decomposition_energy.as_ref())?.0;
    let order = usual::of_peroxide(resin, |c| c.promoter_order.as_ref())?.0;
    let by_heat = RateConstant::ketone_peroxide_by_heat(energy.value)?;
    Ok((Some(by_heat), order.value.si()))
}

/// Keeps a point where a law exists at all; what stands behind the constants within a factor of e^4 of a usual lag.
pub(super) fn bounded(p: &mut [f64]) {
    for x in p.iter_mut().skip(CONSTANTS) {
        let usual = super::curve::LAG.0.ln();
        *x = x.clamp(usual - 4.0, usual + 4.0);
    }
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
    /// Decomposition by heat alone, and the order in the promoter.
    pub(super) beside: (Option<RateConstant>, f64),
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
                beside: (f.thermal_decomposition, f.promoter_order),
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

    /// The law of a point, at the reference dose.
    pub(super) fn law(&self, p: &[f64]) -> Result<DrawnLaw> {
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
                thermal_decomposition: self.beside.0,
                propagation: RateConstant::at(
                    at,
                    Frequency::from_si(v[PROPAGATION])?,
                    MolarEnergy::from_si(v[PROPAGATION_ENERGY])?,
                ),
                dose: self.reference_dose,
                inhibitor: Phr::new(v[INHIBITOR] * self.reference_dose.get())?,
                promoter: one,
                reference_promoter: one,
                promoter_order: self.beside.1,
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
        Ok(DrawnLaw {
            kinetics,
            gel_conversion: DegreeOfCure::new(v[GEL])?,
            film_factor: v[FILM],
            specific_heat: SpecificHeatCapacity::from_si(v[SPECIFIC_HEAT])?,
        })
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

/// A law of a resin: how it cures, and what of its surroundings goes with it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DrawnLaw {
    /// The kinetics, at the calibration's reference dose.
    pub kinetics: Kinetics,
    /// Conversion at gel that goes with them.
    pub gel_conversion: DegreeOfCure,
    /// Factor on the film of a cup on a bench in still air: what the correlations for still air leave open, and the same bench
    /// for every cup.
    pub film_factor: f64,
    /// Specific heat capacity of the resin as supplied that goes with them.
    pub specific_heat: SpecificHeatCapacity,
}

impl DrawnLaw {
    /// Gel time without self-heating at a dose, s; none where it never gels.
    pub(super) fn gel_time(&self, dose: Phr, kelvin: f64) -> Result<Option<f64>> {
        self.kinetics
            .with_dose(dose)?
            .isothermal_time(self.gel_conversion.get(), kelvin)
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
    /// What it rested on before anything was measured.
    pub rested_on: String,
}

/// Standard deviations to an end of an interval that holds nine in ten.
pub(super) fn ninety() -> f64 {
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
                rested_on: prior.on[k].clone(),
            }
        })
        .collect()
}

/// How far the constants lie from what was known before, in standard deviations of that.
pub(super) fn moved(prior: &Prior, told: &[f64; CONSTANTS], k: usize) -> f64 {
    (told[k] - prior.middle[k]) / prior.deviation[k]
}

/// What a constant is called.
pub(super) fn name(k: usize) -> &'static str {
    DESCRIBED[k].name
}
