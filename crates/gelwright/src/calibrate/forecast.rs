//! What a calibrated law foretells, with the band of the law.

use super::band::{ends, normal_points};
use super::calibration::Calibration;
use super::law::{self, CONSTANTS};
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{Phr, Probability, Quantity, ThermodynamicTemperature, Time, show};
use crate::source::Why;

/// What makes a band, and how much of it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct BandDriver {
    /// What.
    pub input: String,
    /// The part of the variance that goes with it; what moves together is counted at each.
    pub part: f64,
}

impl BandDriver {
    /// A part of a band.
    pub fn new(input: impl Into<String>, part: f64) -> Self {
        BandDriver {
            input: input.into(),
            part,
        }
    }
}

/// A gel time that a calibrated law foretells.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GelForecast {
    /// By the most probable law.
    pub time: Time,
    /// One law in twenty gels sooner: plan the working time with this one.
    pub low: Time,
    /// One law in twenty gels later, or never: then it is missing.
    pub high: Option<Time>,
    /// How many of the laws in the band never gel at this dose, within 60 days.
    pub never_gels: Probability,
    /// What decides whether it gels at all, where that is open.
    pub decides: Option<String>,
    /// What makes the band, the largest first.
    pub drivers: Vec<BandDriver>,
    /// What lies outside what was measured.
    pub extrapolated: Option<String>,
    /// What it rests on.
    pub basis: String,
    /// The chain behind it.
    pub why: Why,
}

/// Laws that a band is made of, a power of two.
const LAWS: u32 = 256;
/// The same band on every day.
const SEED: u64 = 0x6765_6c5f_7469_6d65;
/// Part of the laws that never gel from which that is told.
const OPEN: f64 = 0.01;

#[questions(calibration)]
impl Calibration {
    /// Gel time of a mix without self-heating, with the band of the calibrated law.
    ///
    /// 256 laws drawn from the band on scrambled Sobol' points; 5 % gel before `low`, 5 % after `high`; ends as of
    /// `calibrate.forecast_cup`.
    ///
    /// # Errors
    /// `NoSolution` where the most probable law never gels, saying what decides it; `Inconsistent` for kinetics that no
    /// calibration made; `OutOfRange` for dose or temperature.
    #[question("calibrate.forecast_gel")]
    pub fn forecast_gel(
        &self,
        /// Catalyst on 100 parts of resin by mass.
        #[noun(within(> "0 phr", .., "a mix without catalyst does not gel"))]
        dose: Phr,
        /// Temperature of resin, mould and air.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: ThermodynamicTemperature,
    ) -> Result<GelForecast> {
        let kelvin = temperature.si();
        let frame = self.frame()?;
        let gel = |z: &[f64]| -> Result<(Option<f64>, [f64; CONSTANTS])> {
            let p = self.point(z)?;
            let law = frame.law(&p)?;
            Ok((law.gel_time(dose, kelvin)?, frame.told(&p)))
        };
        let drawn = normal_points(SEED, LAWS, CONSTANTS);
        let shown: Result<Vec<_>> = drawn.iter().map(|z| gel(z)).collect();
        let (times, points): (Vec<_>, Vec<_>) = shown?.into_iter().unzip();
        let times: Vec<f64> = times.into_iter().map(|t| t.unwrap_or(f64::INFINITY)).collect();
        let never = times.iter().filter(|t| t.is_infinite()).count();
        let never_gels = Probability::new(share(never, times.len()))?;
        let decides = (never_gels.get() > OPEN).then(|| {
            let known = if self.knows_inhibitor() {
                ""
            } else {
                ", which nothing here measured,"
            };
            format!(
                "the inhibitor's share{known} decides whether it gels at all: of the laws that go with the evidence {:.0} % never gel \
                 at {}; time a cup at this dose before it is cast",
                100.0 * never_gels.get(),
                show(dose)
            )
        });
        let Some(time) = gel(&[])?.0 else {
            return Err(Error::no_solution(
                "dose",
                format_args!("a gel time at {} and {}", show(dose), show(temperature)),
                "the most probable law never gels",
                decides.unwrap_or_else(|| {
                    "raise the dose inside the data sheet's window, or warm resin, mould and air".to_owned()
                }),
            ));
        };
        let drivers = drivers(&times, &points);
        let logs: Vec<f64> = times.iter().map(|t| t.ln()).collect();
        let (low, high) = ends(&drawn, &logs, 0.9);
        let low = Time::from_si(low.exp().min(time))?;
        let high = high.exp().max(time);
        let high = high.is_finite().then(|| Time::from_si(high)).transpose()?;
        let extrapolated = self.outside(dose, temperature);
        let time = Time::from_si(time)?;
        let mut why = Why::computed(
            "gel time",
            show(time),
            format!(
                "time at which the most probable law reaches its conversion at gel; its band by {LAWS} laws that go with the evidence"
            ),
            vec![
                Why::given("dose", show(dose)),
                Why::given("temperature", show(temperature)),
                self.why.clone(),
            ],
        );
        if let Some(text) = &extrapolated {
            why = why.with_note(format!("extrapolated: {text}"));
        }
        Ok(GelForecast {
            time,
            low,
            high,
            never_gels,
            decides,
            drivers,
            extrapolated,
            basis: self.basis.clone(),
            why,
        })
    }
}

impl Calibration {
    /// What of a dose and a temperature lies outside what was measured.
    pub(crate) fn outside(&self, dose: Phr, temperature: ThermodynamicTemperature) -> Option<String> {
        let mut outside: Vec<String> = self
            .kinetics
            .outside_fitted(temperature, temperature)
            .into_iter()
            .collect();
        let d = dose.get();
        if d < self.least_dose.get() * (1.0 - 1e-9) || d > self.most_dose.get() * (1.0 + 1e-9) {
            outside.push(if self.least_dose == self.most_dose {
                format!(
                    "dose {} where {} alone was tested",
                    show(dose),
                    show(self.least_dose)
                )
            } else {
                format!(
                    "dose {} outside the tested {} to {}",
                    show(dose),
                    show(self.least_dose),
                    show(self.most_dose)
                )
            });
        }
        (!outside.is_empty()).then(|| outside.join("; "))
    }
}

#[allow(clippy::cast_precision_loss)]
pub(super) fn share(part: usize, of: usize) -> f64 {
    part as f64 / of as f64
}

/// Which constants go with the logarithm of the times, those that come at all.
fn drivers(times: &[f64], points: &[[f64; CONSTANTS]]) -> Vec<BandDriver> {
    let come: Vec<(f64, &[f64; CONSTANTS])> = times
        .iter()
        .zip(points)
        .filter(|(t, _)| t.is_finite() && **t > 0.0)
        .map(|(t, p)| (t.ln(), p))
        .collect();
    let mut found: Vec<BandDriver> = (0..CONSTANTS)
        .map(|k| {
            BandDriver::new(
                law::name(k),
                squared_correlation(come.iter().map(|(t, p)| (*t, p[k]))),
            )
        })
        .filter(|d| d.part > 0.01)
        .collect();
    found.sort_by(|a, b| b.part.total_cmp(&a.part));
    found
}

/// Squared correlation of pairs; 0 where one of them does not move.
fn squared_correlation(pairs: impl Iterator<Item = (f64, f64)>) -> f64 {
    let pairs: Vec<(f64, f64)> = pairs.collect();
    #[allow(clippy::cast_precision_loss)]
    let n = pairs.len().max(1) as f64;
    let (mx, my) = pairs
        .iter()
        .fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1 / n));
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (x, y) in pairs {
        xx += (x - mx) * (x - mx);
        xy += (x - mx) * (y - my);
        yy += (y - my) * (y - my);
    }
    if xx > 0.0 && yy > 0.0 {
        xy * xy / (xx * yy)
    } else {
        0.0
    }
}
