//! What a calibrated law foretells of the next cup, and the dose for a gel time, each with its interval.

use super::band::{ends, normal_points};
use super::calibration::Calibration;
use super::evidence::{MODEL_PEAK_KELVIN, RESIN_CONDUCTIVITY};
use super::forecast::share;
use super::law::{CONSTANTS, DrawnLaw};
use crate::cancel::Cancel;
use crate::cores::on_all_cores;
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{Course, Cup, Cure, EMISSIVITY, Place, Thermal};
use crate::noun::{Noun, questions};
use crate::numeric::roots::halved;
use crate::quantity::{
    Mass, MassDensity, Phr, Probability, Quantity, ThermalConductivity, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// What a calibrated law foretells of a cup on a bench.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupForecast {
    /// Mixing to gel in the middle, by the most probable law.
    pub gel_time: Time,
    /// Low end of its interval.
    pub gel_low: Time,
    /// High end of its interval; missing where it may never gel.
    pub gel_high: Option<Time>,
    /// Peak in the middle, by the most probable law.
    pub peak_temperature: ThermodynamicTemperature,
    /// Low end of its interval.
    pub peak_low: ThermodynamicTemperature,
    /// High end of its interval.
    pub peak_high: ThermodynamicTemperature,
    /// How many of the laws in the band never gel in it.
    pub never_gels: Probability,
    /// What part of the laws the intervals hold.
    pub confidence: f64,
    /// What lies outside what was measured.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The dose that a calibrated law foretells for a gel time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DoseForecast {
    /// By the most probable law.
    pub dose: Phr,
    /// Low end of its interval.
    pub low: Phr,
    /// High end of its interval; missing where no dose up to 20 phr may do.
    pub high: Option<Phr>,
    /// What part of the laws the interval holds.
    pub confidence: f64,
    /// What lies outside what was measured.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Laws that a band is made of, a power of two.
const LAWS: u32 = 128;
const SEED: u64 = 0x6e65_7874_5f63_7570;
/// Doses that are looked among, phr.
const DOSES: (f64, f64) = (0.02, 20.0);

/// A resin in a cup as wide as it is deep, on a bench in still air of its own temperature.
pub(super) fn bench_cup(
    law: &DrawnLaw,
    dose: Phr,
    mass: Mass,
    temperature: ThermodynamicTemperature,
    density: MassDensity,
) -> Result<Cup> {
    let diameter = Cup::as_wide_as_deep(mass.si() / density.si())?;
    let thermal = Thermal::new(
        density,
        law.specific_heat,
        ThermalConductivity::from_si(RESIN_CONDUCTIVITY)?,
    );
    let cure = Cure::new(law.kinetics.with_dose(dose)?, law.gel_conversion);
    let place = Place::Bench {
        air: Course::Steady(temperature),
        emissivity: EMISSIVITY,
    };
    let week = Time::from_si(604_800.0)?;
    Ok(Cup {
        stop_when_cooling: true,
        film_factor: law.film_factor,
        ..Cup::new(mass, diameter, thermal, cure, temperature, place, week)
    })
}

#[questions(calibration, FORECASTS)]
impl Calibration {
    /// Gel time and peak of the next cup on the bench, with intervals.
    ///
    /// 128 laws drawn from the band on scrambled Sobol' points, each followed in a cup as wide as it is deep
    /// (`heat.cup`); the peak with what the model of a cup may be off, 3.4 K to both sides. The ends are those of the straight
    /// line through the draws, moved by how far the draws' own ends are off its (a control variate).
    ///
    /// # Errors
    /// `NoSolution` where the most probable law never gels in it; `Inconsistent` for kinetics that no calibration made;
    /// `OutOfRange`; `Cancelled`.
    #[question("calibrate.forecast_cup", long)]
    pub fn forecast_cup(
        &self,
        /// Catalyst on 100 parts of resin by mass.
        #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
        dose: Phr,
        /// Mass of mix.
        #[noun(within("1 g", "100 kg", "give the mass of the mix, for example '100 g'"))]
        mass: Mass,
        /// Temperature of the mix at the start, and of the air.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: ThermodynamicTemperature,
        /// Density of the mix.
        #[noun(default = "1.1 g/mL", within = crate::ranges::MIX_DENSITY)]
        density: MassDensity,
        /// What part of the laws the intervals hold.
        #[noun(default = 0.95, within(0.5, 0.999, "0.95 holds nineteen in twenty"))]
        confidence: f64,
        cancel: Cancel<'_>,
    ) -> Result<CupForecast> {
        let of = |z: &[f64]| {
            let law = self.law_at(z)?;
            bench_cup(&law, dose, mass, temperature, density)?.reading(cancel)
        };
        let middle = of(&[]).map_err(|e| e.at("dose"))?;
        // One number more than the law's: what the model of a cup is off.
        let points = normal_points(SEED, LAWS, CONSTANTS + 1);
        let runs: Result<Vec<(f64, f64)>> = on_all_cores(
            points.len(),
            || (),
            |(), i| match of(&points[i][..CONSTANTS]) {
                Ok(r) => Ok((
                    r.gel_time.si().ln(),
                    r.peak_temperature.si() + MODEL_PEAK_KELVIN * points[i][CONSTANTS],
                )),
                Err(e) if e.kind() == ErrorKind::NoSolution => Ok((f64::INFINITY, temperature.si())),
                Err(e) => Err(e),
            },
        );
        let (times, peaks): (Vec<f64>, Vec<f64>) = runs?.into_iter().unzip();
        let never = times.iter().filter(|t| t.is_infinite()).count();
        let never_gels = Probability::new(share(never, times.len()))?;
        let (low, high) = ends(&points, &times, confidence);
        let (coolest, hottest) = ends(&points, &peaks, confidence);
        let gel = middle.gel_time.si();
        let (low, high) = (low.exp().min(gel), high.exp().max(gel));
        let peak = middle.peak_temperature.si();
        let extrapolated = self.outside(dose, temperature);
        let why = Why::computed(
            "gel and peak of a cup",
            format!(
                "gel after {}, peak {}",
                show(middle.gel_time),
                show(middle.peak_temperature)
            ),
            format!(
                "the cup followed by the most probable law; intervals by {LAWS} laws that go with the evidence"
            ),
            vec![
                Why::given("dose", show(dose)),
                Why::given("mass", show(mass)),
                Why::given("temperature", show(temperature)),
                self.why.clone(),
            ],
        );
        Ok(CupForecast {
            gel_time: middle.gel_time,
            gel_low: Time::from_si(low)?,
            gel_high: high.is_finite().then(|| Time::from_si(high)).transpose()?,
            peak_temperature: middle.peak_temperature,
            peak_low: ThermodynamicTemperature::from_si(coolest.clamp(temperature.si().min(peak), peak))?,
            peak_high: ThermodynamicTemperature::from_si(hottest.max(peak))?,
            never_gels,
            confidence,
            extrapolated,
            why,
        })
    }

    /// The dose for a gel time without self-heating, with its interval.
    ///
    /// Of each of 128 laws of the band the dose at which it gels then, by halving; ends as of `calibrate.forecast_cup`.
    ///
    /// # Errors
    /// `NoSolution` where no dose from 0.02 to 20 phr does by the most probable law; as `calibrate.forecast_gel`.
    #[question("calibrate.forecast_dose")]
    pub fn forecast_dose(
        &self,
        /// Gel time wanted.
        #[noun(within = crate::ranges::SHEET_TIME)]
        time: Time,
        /// Temperature of resin, mould and air.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: ThermodynamicTemperature,
        /// What part of the laws the interval holds.
        #[noun(default = 0.95, within(0.5, 0.999, "0.95 holds nineteen in twenty"))]
        confidence: f64,
    ) -> Result<DoseForecast> {
        let of = |z: &[f64]| -> Result<f64> {
            let law = self.law_at(z)?;
            let gels_later = |ln_dose: f64| -> Result<bool> {
                let gel = law.gel_time(Phr::new(ln_dose.exp())?, temperature.si())?;
                Ok(gel.is_none_or(|t| t > time.si()))
            };
            let (least, most) = (DOSES.0.ln(), DOSES.1.ln());
            if gels_later(most)? {
                return Ok(f64::INFINITY);
            }
            Ok(halved(least, most, 30, |x| gels_later(x).unwrap_or(true)).1.exp())
        };
        let dose = of(&[])?;
        if !dose.is_finite() || dose <= DOSES.0 * 1.001 {
            return Err(Error::no_solution(
                "time",
                format_args!("a dose that gels after {} at {}", show(time), show(temperature)),
                "none between 0.02 and 20 phr",
                "warm resin, mould and air, or take another gel time",
            ));
        }
        let points = normal_points(SEED, LAWS, CONSTANTS);
        let doses: Result<Vec<f64>> = points.iter().map(|z| Ok(of(z)?.ln())).collect();
        let (low, high) = ends(&points, &doses?, confidence);
        let (low, high) = (low.exp().min(dose), high.exp().max(dose));
        let dose = Phr::new(dose)?;
        Ok(DoseForecast {
            dose,
            low: Phr::new(low)?,
            high: high.is_finite().then(|| Phr::new(high)).transpose()?,
            confidence,
            extrapolated: self.outside(dose, temperature),
            why: Why::computed(
                "dose for a gel time",
                show(dose),
                format!("dose at which the most probable law gels then; its interval by {LAWS} laws that go with the evidence"),
                vec![
                    Why::given("gel time", show(time)),
                    Why::given("temperature", show(temperature)),
                    self.why.clone(),
                ],
            )
            .with_note("a dose stays inside the window of the product's data sheet"),
        })
    }
}
