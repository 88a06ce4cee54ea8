//! Conversion over time at one point whose temperature is known: isothermal, or along a [`Schedule`].
//!
//! No heat balance: the part follows the schedule exactly. A cup or a thick pour warms itself and runs ahead of
//! this; that is `heat`'s question.

use std::ops::ControlFlow;

use crate::noun::Noun;

use super::gel_table::seconds;
use super::integrate::{Step, System, integrate};
use super::kinetics::{Kernel, KernelLaw, Kinetics};
use super::schedule::Schedule;
use crate::error::{Error, Result, finite};
use crate::quantity::{DegreeOfCure, Quantity, ThermodynamicTemperature, Time, show};
use crate::source::Why;

/// Conversion over time along a schedule.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureCurve {
    /// Times from mixing, s, evenly spaced.
    pub time_s: Vec<f64>,
    /// Temperature of the part, K.
    #[noun(name = "temperature_K")]
    pub temperature_k: Vec<f64>,
    /// Conversion, 0 to 1.
    pub conversion: Vec<f64>,
    /// Spent fraction of the initiator, 0 to 1, where the law has one.
    pub initiator_spent: Option<Vec<f64>>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// When something is reached along a schedule.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureTime {
    /// Time from mixing.
    pub time: Time,
    /// Conversion then.
    pub conversion: DegreeOfCure,
    /// Temperature of the part then.
    pub temperature: ThermodynamicTemperature,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Longest run of this module: ten years.
const LONGEST: f64 = 10.0 * 365.25 * 86_400.0;
/// How long to look for an event after the last point of the schedule: 60 days.
const LOOK: f64 = 60.0 * 86_400.0;

struct AtPoint<'a> {
    kernel: Kernel,
    schedule: &'a Schedule,
}

impl System<2> for AtPoint<'_> {
    fn rate(&self, t: f64, y: &[f64; 2]) -> [f64; 2] {
        let r = self.kernel.rate(y[0], y[1], self.schedule.kelvin(t).0);
        [r.dalpha, r.di]
    }
    fn jacobian(&self, t: f64, y: &[f64; 2]) -> ([[f64; 2]; 2], [f64; 2]) {
        let (kelvin, slope) = self.schedule.kelvin(t);
        let r = self.kernel.rate(y[0], y[1], kelvin);
        (
            [[r.dalpha_dalpha, r.dalpha_di], [0.0, r.di_di]],
            [r.dalpha_dt * slope, r.di_dt * slope],
        )
    }
    fn scale(&self) -> [f64; 2] {
        [1e-9, 1e-9]
    }
    fn most(&self) -> [f64; 2] {
        [0.03, 0.03]
    }
    fn rising(&self) -> usize {
        2
    }
}

pub(crate) fn run(
    kernel: Kernel,
    schedule: &Schedule,
    duration: f64,
    on_step: impl FnMut(&Step<2>) -> ControlFlow<()>,
) -> Result<bool> {
    integrate(
        &AtPoint { kernel, schedule },
        0.0,
        duration,
        &schedule.corners(),
        kernel.start(),
        on_step,
    )
}

impl Kinetics {
    /// Conversion along a schedule for a duration, at `samples` evenly spaced times (2 to 10 001).
    ///
    /// Integrates the rate law (RODAS3, relative tolerance 1e-7) with the part at the schedule's temperature.
    ///
    /// # Errors
    /// As [`Kinetics::kernel`]; `OutOfRange` for a duration not above zero or over ten years, or the samples;
    /// `NotConverged` where the integration does not finish.
    pub fn cure(&self, schedule: &Schedule, duration: Time, samples: usize) -> Result<CureCurve> {
        let kernel = self.kernel().map_err(|e| e.within("kinetics"))?;
        let end = checked_duration("duration", duration)?;
        if !(2..=10_001).contains(&samples) {
            return Err(Error::out_of_range(
                "samples",
                samples,
                "2 to 10001",
                "give for example 101",
            ));
        }
        #[allow(clippy::cast_precision_loss)]
        let at = |k: usize| end * (k as f64) / ((samples - 1) as f64);
        let mut curve = CureCurve {
            time_s: Vec::with_capacity(samples),
            temperature_k: Vec::with_capacity(samples),
            conversion: Vec::with_capacity(samples),
            initiator_spent: kernel.spends_initiator().then(|| Vec::with_capacity(samples)),
            extrapolated: self.extrapolated(schedule),
            why: self.why("conversion over time", schedule, String::new()),
        };
        let mut push = |t: f64, a: f64, i: f64| {
            curve.time_s.push(t);
            curve.temperature_k.push(schedule.kelvin(t).0);
            curve.conversion.push(a.clamp(0.0, 1.0));
            if let Some(spent) = &mut curve.initiator_spent {
                spent.push(i.clamp(0.0, 1.0));
            }
        };
        let mut next = 0;
        run(kernel, schedule, end, |s| {
            while next < samples && at(next) <= s.t1 {
                push(at(next), s.at(0, at(next)), s.at(1, at(next)));
                next += 1;
            }
            ControlFlow::Continue(())
        })?;
        curve.why.value = format!(
            "{} after {}",
            show(DegreeOfCure::new(
                *curve.conversion.last().unwrap_or(&kernel.seed)
            )?),
            show(duration)
        );
        Ok(curve)
    }

    /// When a conversion is reached along a schedule (looked for up to 60 days after its last point).
    ///
    /// # Errors
    /// `NoSolution` where it is not reached, saying how far cure comes and why it stops; else as
    /// [`cure`](Self::cure).
    pub fn time_to(&self, conversion: DegreeOfCure, schedule: &Schedule) -> Result<CureTime> {
        let goal = conversion.get();
        self.first_time(
            schedule,
            |_, y| y[0] - goal,
            "time to a conversion",
            &format!("a conversion of {}", show(conversion)),
        )
    }

    /// The first time `g(t, [conversion, initiator spent])` is zero or above.
    pub(crate) fn first_time(
        &self,
        schedule: &Schedule,
        g: impl Fn(f64, &[f64; 2]) -> f64,
        what: &str,
        goal: &str,
    ) -> Result<CureTime> {
        let kernel = self.kernel().map_err(|e| e.within("kinetics"))?;
        let start = kernel.start();
        let mut found = (g(0.0, &start) >= 0.0).then_some((0.0, start));
        let mut last = (0.0, start);
        if found.is_none() {
            let horizon = schedule.end().si() + LOOK;
            run(kernel, schedule, horizon, |s| {
                last = (s.t1, s.y1);
                match s.rises_through_zero(&g) {
                    None => ControlFlow::Continue(()),
                    Some(t) => {
                        found = Some((t, [s.at(0, t), s.at(1, t)]));
                        ControlFlow::Break(())
                    }
                }
            })?;
        }
        let Some((t, y)) = found else {
            return Err(self.never(&kernel, schedule, last, goal));
        };
        let conversion = DegreeOfCure::new(y[0].clamp(0.0, 1.0))?;
        let temperature = ThermodynamicTemperature::from_si(schedule.kelvin(t).0)?;
        let time = seconds(t);
        Ok(CureTime {
            time,
            conversion,
            temperature,
            extrapolated: self.extrapolated(schedule),
            why: {
                let mut why = self.why(what, schedule, show(time));
                why.from.insert(0, Why::given("reached", goal));
                why
            },
        })
    }

    fn never(&self, kernel: &Kernel, schedule: &Schedule, last: (f64, [f64; 2]), goal: &str) -> Error {
        let reached = last.1[0].clamp(0.0, 1.0);
        let percent = |a: f64| format!("{:.1} %", 100.0 * a);
        let end = schedule.kelvin(f64::MAX).0;
        let limit = kernel.limit(end).0;
        let starved = match kernel.law {
            KernelLaw::FreeRadical { dose, inhibitor, .. } if dose <= inhibitor => Some(format!(
                "the inhibitor uses up {inhibitor:.3} phr of catalyst and the mix has {dose:.3} phr: raise the dose, inside the data sheet's window"
            )),
            KernelLaw::FreeRadical { trapped: false, .. } if last.1[1] > 0.999 && reached < limit - 1e-3 => {
                Some("the initiator is spent (dead end): raise the dose inside the data sheet's window, or warm later in the cure".to_owned())
            }
            _ => None,
        };
        let way_out = starved.unwrap_or_else(|| {
            if limit < 1.0 && reached > limit - 0.02 {
                format!(
                    "cure vitrifies near {} at {:.0} °C: warm the part (post-cure)",
                    percent(limit),
                    end - 273.15
                )
            } else {
                "warm the part, or ask for less".to_owned()
            }
        });
        Error::no_solution(
            "schedule",
            goal,
            format!("{} after {:.0} d", percent(reached), last.0 / 86_400.0),
            way_out,
        )
    }

    pub(crate) fn extrapolated(&self, schedule: &Schedule) -> Option<String> {
        let (coldest, hottest) = schedule.range();
        self.outside_fitted(coldest, hottest)
    }

    /// The link of a chain for an answer along a schedule.
    pub(crate) fn why(&self, what: &str, schedule: &Schedule, value: String) -> Why {
        let mut why = Why::computed(
            what,
            value,
            self.law.equation(),
            vec![
                Why::given("temperature of the part", schedule.describe()).with_note(
                    "the part is taken to follow it; a cup or a thick pour warms itself and runs ahead",
                ),
                Why::given("rate law", self.law.name()).with_source(&self.source),
            ],
        );
        if self.seed.get() > 0.0 {
            why.from
                .push(Why::given("conversion at the start", show(self.seed)));
        }
        if let Some(text) = self.extrapolated(schedule) {
            why = why.with_note(format!("extrapolated: {text}"));
        }
        why
    }
}

pub(crate) fn checked_duration(field: &str, duration: Time) -> Result<f64> {
    let d = finite(field, duration.si())?;
    if d > 0.0 && d <= LONGEST {
        Ok(d)
    } else {
        Err(Error::out_of_range(
            field,
            show(duration),
            "above 0 s, at most ten years",
            "give for example '4 h'",
        ))
    }
}
