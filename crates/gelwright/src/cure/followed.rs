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
        Ok(begun.to_the_end())
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

    fn to_the_end(mut self) -> Self {
        let mut steps = std::mem::take(&mut self.steps);
        let from = last(&steps).unwrap_or((0.0, self.kernel.start()));
        let end = self.schedule.end().si();
        follow_within(&self.kernel, &self.schedule, from, end, self.warmer, |s| {
            steps.push(*s);
            ControlFlow::Continue(())
        });
        Followed { steps, ..self }
    }

    /// The same part along a schedule that is this one as far as this was followed.
    pub(crate) fn onward(&self, schedule: Schedule) -> Self {
        Followed {
            schedule,
            ..self.clone()
        }
        .to_the_end()
    }

    pub(crate) fn schedule(&self) -> &Schedule {
        &self.schedule
    }

    fn end(&self) -> Moment {
        last(&self.steps).unwrap_or((0.0, self.kernel.start()))
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

fn last(steps: &[Step]) -> Option<Moment> {
    steps.last().map(|s| (s.t1, s.y1))
}
