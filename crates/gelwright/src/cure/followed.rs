//! A part followed once along a schedule, and then asked as often as is wanted.

use std::ops::ControlFlow;

use super::along::{Step, follow_from};
use super::curing_modulus::CuringModulus;
use super::kinetics::{Kernel, Kinetics};
use super::readiness::{CureState, Follows, no_glass};
use super::run::Moment;
use super::schedule::Schedule;
use super::stepped::{follow_stepped, starts_at_once};
use crate::error::Result;
use crate::quantity::{Quantity, TemperatureInterval, Time};

/// A part on its way along a schedule, as far as it was followed; what is asked beyond is followed anew.
#[derive(Clone)]
pub(crate) struct Followed {
    pub(super) kernel: Kernel,
    schedule: Schedule,
    /// By steps in time instead of quadratures.
    stepped: bool,
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
    /// A part that is followed to the end of a schedule, by steps in time where its law lends itself to them: the temperatures come
    /// from a wall that is followed to some hundredths of a kelvin.
    pub(crate) fn followed(&self, schedule: Schedule) -> Result<Followed> {
        let kernel = self.kernel()?;
        let begun = Followed {
            stepped: starts_at_once(&kernel, schedule.kelvin(0.0).0),
            ..Followed::begun(kernel, schedule)
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
            stepped: false,
            steps: vec![],
        }
    }

    /// Goes on from a moment until a time, handing each step to `on_step` until that breaks.
    fn go_on(&self, from: Moment, until: f64, mut on_step: impl FnMut(&Step) -> ControlFlow<()>) {
        let left = if self.stepped {
            follow_stepped(&self.kernel, &self.schedule, from, until, &mut on_step)
        } else {
            Some(from)
        };
        if let Some(from) = left {
            follow_from(&self.kernel, &self.schedule, from, until, on_step);
        }
    }

    fn followed_through(mut self) -> Self {
        let mut steps = std::mem::take(&mut self.steps);
        let from = steps.last().map_or((0.0, self.kernel.start()), |s| (s.t1, s.y1));
        self.go_on(from, self.schedule.end().si(), |s| {
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
        self.go_on(self.end(), until, on_step);
    }

    /// Conversion and initiator spent at a time.
    pub(super) fn at(&self, time: f64) -> [f64; 2] {
        let i = self.steps.partition_point(|s| s.t1 < time);
        if let Some(s) = self.steps.get(i) {
            return s.at(time);
        }
        let mut y = self.end().1;
        self.go_on(self.end(), time, |s| {
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
    use super::super::kinetics::{NthOrder, RateLaw, samples};
    use super::super::run::after;
    use super::super::schedule::SchedulePoint;
    use super::*;
    use crate::quantity::DegreeOfCure;
    use crate::quantity::temperature::celsius;

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

    /// By quadratures, gone on with or asked as often as is wanted: what following anew tells.
    #[test]
    fn what_is_asked_of_it_is_what_following_anew_tells() {
        let kinetics = samples::slowed(samples::laws()[2]);
        let kernel = kinetics.kernel().unwrap();
        let whole = day(99.0);
        let followed = |schedule| Followed::begun(kernel, schedule).followed_through();
        let fine = followed(whole.clone());
        let in_mould = followed(day(17.0));
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

    /// Following by steps in time tells what following by quadratures does, of every law in every way that it may slow; gone on with
    /// it is the same.
    #[test]
    fn steps_in_time_are_within_a_hundred_thousandth_of_quadratures() {
        let whole = day(99.0);
        let mut stepped = 0;
        for kinetics in samples::kinetics() {
            let kernel = kinetics.kernel().unwrap();
            let followed = kinetics.followed(whole.clone()).unwrap();
            let in_mould = kinetics.followed(day(17.0)).unwrap();
            let onward = in_mould.onward(whole.clone());
            stepped += u32::from(followed.stepped);
            assert!(followed.steps.len() < 600, "{}", followed.steps.len());
            for minutes in (0..1600).step_by(37) {
                let t = 60.0 * f64::from(minutes);
                let anew = after(&kernel, &whole, t)[0];
                let name = kinetics.law.name();
                for (way, of) in [("whole", &followed), ("onward", &onward)] {
                    let off = (of.conversion(t) - anew).abs();
                    assert!(off < 1e-5, "{way} {name} at {minutes} min: {off:e}");
                }
                // In its mould it stays at the last temperature.
                if t < 3600.0 * 4.0 {
                    assert!((in_mould.conversion(t) - anew).abs() < 1e-5, "{minutes} min");
                }
            }
            if kinetics.vitrification.is_some() {
                let from = 17.0 * 3600.0;
                let softest = followed.softest(from).unwrap().above_glass.si();
                let anew = Followed::begun(kernel, whole.clone()).softest(from).unwrap();
                assert!((softest - anew.above_glass.si()).abs() < 0.1);
            }
        }
        assert!(stepped > 20, "{stepped}");
    }

    /// A law so quick that steps in time would take days is gone on with by quadratures, and says the same.
    #[test]
    fn what_is_too_stiff_for_steps_is_followed_all_the_same() {
        for factor in [1.0, 1e3, 1e9] {
            let kinetics = samples::with(
                RateLaw::NthOrder(NthOrder {
                    k: samples::rate(factor, 60e3),
                    n: 1.5,
                }),
                false,
            );
            let followed = kinetics.followed(day(99.0)).unwrap();
            let kernel = kinetics.kernel().unwrap();
            assert!(followed.steps.len() < 20_000, "{}", followed.steps.len());
            for t in [1e-9, 1.0, 3600.0, 8e4] {
                let anew = after(&kernel, &day(99.0), t)[0];
                assert!((followed.conversion(t) - anew).abs() < 1e-5, "{factor} at {t} s");
            }
        }
    }

    /// A reaction of first order at one temperature is `1 - e^(-k t)`, and it reaches a conversion at `-ln(1 - a)/k`.
    #[test]
    fn first_order_is_an_exponential() {
        let k = 3e-4;
        let kinetics = samples::with(
            RateLaw::NthOrder(NthOrder {
                k: samples::rate(k, 60e3),
                n: 1.0,
            }),
            false,
        );
        let kinetics = Kinetics {
            seed: DegreeOfCure::new(0.0).unwrap(),
            ..kinetics
        };
        let at = celsius(25.0);
        let hold = |t: f64| SchedulePoint {
            time: Time::from_si(t).unwrap(),
            temperature: at,
        };
        let followed = kinetics
            .followed(Schedule::new(vec![hold(0.0), hold(2e4)]).unwrap())
            .unwrap();
        assert!(followed.stepped);
        for t in [10.0, 777.0, 5e3, 2e4, 3e4] {
            let exact = 1.0 - f64::exp(-k * t);
            assert!((followed.conversion(t) - exact).abs() < 2e-6, "{t}");
        }
        let mut reached = None;
        followed.each(2e4, |s| {
            reached = s.reaches(0.6);
            match reached {
                Some(_) => ControlFlow::Break(()),
                None => ControlFlow::Continue(()),
            }
        });
        let exact = -f64::ln(0.4) / k;
        assert!((reached.unwrap() / exact - 1.0).abs() < 1e-5);
    }
}
