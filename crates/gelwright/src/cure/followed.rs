//! A part followed once along a schedule, and then asked as often as is wanted.

use std::ops::ControlFlow;

use super::along::{Step, WARMER, follow_within};
use super::curing_modulus::CuringModulus;
use super::kinetics::{Kernel, Kinetics};
use super::readiness::{CureState, Follows, no_glass};
use super::run::Moment;
use super::schedule::Schedule;
use crate::error::Result;
use crate::quantity::{Quantity, TemperatureInterval, Time};

/// A part on its way along a schedule, as far as it was followed; what is asked beyond is followed anew.
#[derive(Clone)]
pub(crate) struct Followed {
    pub(super) kernel: Kernel,
    schedule: Schedule,
    /// Change of the steepest rate constant over a piece.
    warmer: f64,
    steps: Vec<Step>,
}

/// The most that a part is above its own glass transition.
pub(crate) struct Softest {
    /// Below zero where it stays under it.
    pub(crate) above_glass: TemperatureInterval,
    /// When.
    pub(crate) at: Time,
    /// Its low and its high end.
    pub(crate) ends: (TemperatureInterval, TemperatureInterval),
}

impl Kinetics {
    /// A part that is followed to the end of a schedule in pieces over which the steepest rate constant changes by `warmer`.
    pub(crate) fn followed(&self, schedule: Schedule, warmer: f64) -> Result<Followed> {
        let begun = Followed {
            warmer,
            ..Followed::begun(self.kernel()?, schedule)
        };
        Ok(begun.followed_through())
    }
}

impl Followed {
    /// Not followed yet.
    pub(super) fn begun(kernel: Kernel, schedule: Schedule) -> Self {
        Followed {
            kernel,
            schedule,
            warmer: WARMER,
            steps: vec![],
        }
    }

    fn followed_through(mut self) -> Self {
        let (from, end) = (self.end(), self.schedule.end().si());
        let mut steps = std::mem::take(&mut self.steps);
        follow_within(&self.kernel, &self.schedule, from, end, self.warmer, |s| {
            steps.push(*s);
            ControlFlow::Continue(())
        });
        Followed { steps, ..self }
    }

    /// The same part along a schedule that is this one as far as this was followed.
    pub(crate) fn along(&self, schedule: Schedule) -> Self {
        Followed {
            schedule,
            ..self.clone()
        }
    }

    /// And followed to its end.
    pub(crate) fn onward(&self, schedule: Schedule) -> Self {
        self.along(schedule).followed_through()
    }

    pub(crate) fn schedule(&self) -> &Schedule {
        &self.schedule
    }

    fn end(&self) -> Moment {
        let last = self.steps.last().map(|s| (s.t1, s.y1));
        last.unwrap_or((0.0, self.kernel.start()))
    }

    /// Each step up to a time, those that were followed first, until `on_step` breaks.
    pub(super) fn each(&self, until: f64, mut on_step: impl FnMut(&Step) -> ControlFlow<()>) {
        for s in &self.steps {
            if on_step(s).is_break() {
                return;
            }
        }
        follow_within(
            &self.kernel,
            &self.schedule,
            self.end(),
            until,
            self.warmer,
            on_step,
        );
    }

    /// Conversion and initiator spent at a time.
    pub(super) fn at(&self, time: f64) -> [f64; 2] {
        let i = self.steps.partition_point(|s| s.t1 < time);
        if let Some(s) = self.steps.get(i) {
            return s.at(time);
        }
        let mut y = self.end().1;
        follow_within(&self.kernel, &self.schedule, self.end(), time, self.warmer, |s| {
            y = s.y1;
            ControlFlow::Continue(())
        });
        y
    }

    /// Conversion at a time.
    pub(crate) fn conversion(&self, time: f64) -> f64 {
        self.at(time)[0].clamp(0.0, 1.0)
    }

    /// How the part stands at a time.
    pub(crate) fn state(&self, time: f64, modulus: Option<&CuringModulus>) -> Result<CureState> {
        let follows = Follows::of(self.kernel.vitrification, None, modulus)?;
        follows.state(time, self.at(time)[0], self.schedule.kelvin(time).0)
    }

    /// The most that the part is above its own glass transition from a time to the end of the schedule.
    pub(crate) fn softest(&self, from: f64) -> Result<Softest> {
        let follows = Follows::of(self.kernel.vitrification, None, None)?;
        let ends = |t: f64, a: f64| {
            let kelvin = self.schedule.kelvin(t).0;
            Some(follows.at(a, kelvin).glass?.map(|g| kelvin - g))
        };
        let mut worst = (from, ends(from, self.at(from)[0]).ok_or_else(no_glass)?);
        // A step is short against a ramp, and within a hold the glass transition only climbs: its ends tell.
        self.each(self.schedule.end().si(), |s| {
            if s.t1 >= from
                && let Some(at_end) = ends(s.t1, s.y1[0])
                && at_end[1] > worst.1[1]
            {
                worst = (s.t1, at_end);
            }
            ControlFlow::Continue(())
        });
        let interval = TemperatureInterval::from_si;
        let (at, [high, middle, low]) = worst;
        Ok(Softest {
            above_glass: interval(middle)?,
            at: Time::from_si(at)?,
            ends: (interval(low)?, interval(high)?),
        })
    }
}

#[cfg(test)]
mod tests {
    use uom::si::temperature_interval::kelvin;

    use super::super::gel_table::molar_energy;
    use super::super::glass::{GlassTransition, Vitrification};
    use super::super::kinetics::{KamalSourour, RateConstant, RateLaw};
    use super::super::run::after;
    use super::super::schedule::SchedulePoint;
    use super::*;
    use crate::quantity::temperature::celsius;
    use crate::quantity::{AvailableEnergy, DegreeOfCure, Frequency};
    use crate::source::{Source, Standing};

    fn vitrifying() -> Kinetics {
        let rate =
            |k: f64, e: f64| RateConstant::at(celsius(25.0), Frequency::from_si(k).unwrap(), molar_energy(e));
        Kinetics {
            law: RateLaw::KamalSourour(KamalSourour {
                k1: rate(4e-6, 70e3),
                k2: rate(1.2e-3, 55e3),
                m: 0.85,
                n: 1.5,
            }),
            heat_of_reaction: AvailableEnergy::from_si(300e3).unwrap(),
            seed: DegreeOfCure::new(0.0).unwrap(),
            vitrification: Some(Vitrification {
                glass_transition: GlassTransition {
                    uncured: celsius(-40.0),
                    cured: celsius(110.0),
                    lambda: 0.5,
                },
                above: TemperatureInterval::new::<kelvin>(10.0),
                slows_over: Some(TemperatureInterval::new::<kelvin>(3.0)),
                spread: None,
            }),
            fitted: None,
            source: Source::of(Standing::Invented, "made for this test"),
        }
    }

    /// A wall that warms itself and cools again, stands overnight and goes into the oven.
    fn day(hours: f64) -> Schedule {
        let points = [
            (0.0, 20.0),
            (0.6, 24.0),
            (0.9, 58.0),
            (2.0, 30.0),
            (4.0, 21.0),
            (18.0, 18.0),
            (18.5, 60.0),
            (22.0, 60.0),
            (22.5, 20.0),
        ];
        let of = |(t, c): &(f64, f64)| SchedulePoint {
            time: Time::from_si(t * 3600.0).unwrap(),
            temperature: celsius(*c),
        };
        Schedule::new(points.iter().filter(|p| p.0 <= hours).map(of).collect()).unwrap()
    }

    #[test]
    fn what_is_asked_of_it_is_what_following_anew_tells() {
        let kinetics = vitrifying();
        let kernel = kinetics.kernel().unwrap();
        let whole = day(99.0);
        let fine = kinetics.followed(whole.clone(), WARMER).unwrap();
        let in_mould = kinetics.followed(day(17.0), WARMER).unwrap();
        let onward = in_mould.onward(whole.clone());
        for minutes in (0..1600).step_by(37) {
            let t = 60.0 * f64::from(minutes);
            let anew = after(&kernel, &whole, t)[0];
            assert!((fine.conversion(t) - anew).abs() < 1e-8, "{minutes} min");
            assert!((onward.conversion(t) - anew).abs() < 1e-8, "{minutes} min");
            // In its mould it stays at the last temperature.
            if t < 3600.0 * 4.0 {
                assert!((in_mould.conversion(t) - anew).abs() < 1e-8, "{minutes} min");
            }
        }
        // It hardens in the mould, stops there, and goes on in the oven.
        assert!(
            fine.conversion(4.0 * 3600.0) > 0.5
                && fine.conversion(22.0 * 3600.0) > fine.conversion(18.0 * 3600.0) + 0.02
        );
    }

    #[test]
    fn pieces_of_five_per_cent_move_a_conversion_by_less_than_a_hundred_thousandth() {
        let kinetics = vitrifying();
        let fine = kinetics.followed(day(99.0), WARMER).unwrap();
        let coarse = kinetics.followed(day(99.0), 0.05).unwrap();
        assert!(coarse.steps.len() * 3 < fine.steps.len());
        for minutes in 0..1400 {
            let t = 60.0 * f64::from(minutes);
            let off = (coarse.conversion(t) - fine.conversion(t)).abs();
            assert!(off < 1e-5, "{minutes} min: {off:e}");
        }
        let from = 17.0 * 3600.0;
        let (a, b) = (fine.softest(from).unwrap(), coarse.softest(from).unwrap());
        assert!((a.above_glass.si() - b.above_glass.si()).abs() < 0.1);
    }
}
