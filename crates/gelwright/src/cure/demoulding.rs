//! When a part may leave the mould, and how warm the room must be for it to leave by a time.

use std::ops::ControlFlow;

use super::curing_modulus::CuringModulus;
use super::followed::Followed;
use super::gel_table::seconds;
use super::glass::GlassTransition;
use super::kinetics::{Kernel, Kinetics};
use super::readiness::{CureState, Follows, Numbers, no_glass};
use super::run::{LOOK, Moment, after, after_from};
use super::schedule::{Schedule, SchedulePoint};
use crate::cancel::Cancel;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::quantity::{
    DegreeOfCure, Pressure, Quantity, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::{Source, Why};

/// When a part may leave the mould. Every condition given must hold.
#[derive(Clone, PartialEq, Noun)]
pub struct DemouldCriterion {
    /// Least conversion.
    pub conversion: Option<DegreeOfCure>,
    /// Glass transition against conversion, for the next conditions; that at which the kinetics vitrify, if left out.
    pub glass_transition: Option<GlassTransition>,
    /// How far the glass transition must lie above the part's own temperature; negative allows a part that is
    /// still rubbery and supported.
    pub above_part: Option<TemperatureInterval>,
    /// Least modulus of the resin at the part's temperature.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Option<Pressure>,
    /// How stiff the resin is while it cures, for that.
    pub curing_modulus: Option<CuringModulus>,
    /// On whose word.
    pub source: Source,
}

/// What a criterion asks, checked, plain SI.
pub(super) struct Asked {
    pub(super) follows: Follows,
    conversion: f64,
    above: Option<f64>,
    modulus: Option<f64>,
    /// In words.
    pub(super) goal: String,
}

/// Which end of a band is asked.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum End {
    Low = 0,
    Middle = 1,
    High = 2,
}

impl Asked {
    /// At least zero where the numbers at a temperature in K meet the criterion: only its sign counts. It never falls with
    /// conversion and never rises with the part's temperature.
    pub(super) fn margin(&self, n: &Numbers, t: f64, end: End) -> f64 {
        let i = end as usize;
        let mut margin = n.conversion[i] - self.conversion;
        if let (Some(above), Some(glass)) = (self.above, n.glass) {
            margin = margin.min(glass[i] - t - above);
        }
        if let (Some(least), Some(modulus)) = (self.modulus, n.modulus) {
            margin = margin.min(modulus[i] / least - 1.0);
        }
        margin
    }

    fn met(&self, a: f64, t: f64, end: End) -> f64 {
        if self.above.is_none() && self.modulus.is_none() {
            return self.follows.conversion(a, t, end as usize) - self.conversion;
        }
        self.margin(&self.follows.at(a, t), t, end)
    }
}

impl DemouldCriterion {
    pub(super) fn asked(&self, kinetics: &Kinetics) -> Result<Asked> {
        check(self)?;
        let half = |field: &str, needs: &str, way_out: &str| {
            Err(Error::inconsistent(
                field,
                "one without the other",
                needs,
                way_out,
            ))
        };
        if self.glass_transition.is_some() && self.above_part.is_none() && self.modulus.is_none() {
            return half(
                "",
                "glass_transition and above_part, or neither",
                "give the glass transition and how far above the part it must lie",
            );
        }
        if self.modulus.is_some() != self.curing_modulus.is_some() {
            return half(
                "modulus",
                "modulus and curing_modulus, or neither",
                "give the least modulus and how stiff the resin is while it cures",
            );
        }
        let mut goal = Vec::new();
        if let Some(c) = self.conversion {
            goal.push(format!("a conversion of {}", show(c)));
        }
        if let Some(above) = self.above_part {
            goal.push(format!(
                "a glass transition {:.0} K above the part",
                finite("above_part", above.si())?
            ));
        }
        if let Some(e) = self.modulus {
            goal.push(format!("a modulus of {}", show(e)));
        }
        if goal.is_empty() {
            return Err(Error::inconsistent(
                "",
                "no condition",
                "a conversion, a glass transition, a modulus, or several",
                "give for example conversion = '80 %'",
            ));
        }
        let follows = Follows::of(
            kinetics.vitrification,
            self.glass_transition,
            self.curing_modulus.as_ref(),
        )?;
        if follows.glass.is_none() && (self.above_part.is_some() || self.modulus.is_some()) {
            return Err(no_glass());
        }
        Ok(Asked {
            follows,
            conversion: self.conversion.map_or(f64::NEG_INFINITY, DegreeOfCure::get),
            above: self.above_part.map(Quantity::si),
            modulus: self.modulus.map(Quantity::si),
            goal: goal.join(" and "),
        })
    }
}

/// When a part may leave the mould.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DemouldTime {
    /// From mixing; absent where it does not come to it by itself: see `stops_at`.
    pub time: Option<Time>,
    /// Earliest, if all that is unsure falls out well: the high ends meet the criterion.
    pub earliest: Option<Time>,
    /// When it is sure: the low ends meet the criterion. Absent where they never do by themselves.
    pub sure: Option<Time>,
    /// How it stands at that time, or at the end of the search.
    pub state: CureState,
    /// Where it stops before, and what takes it further.
    pub stops_at: Option<CureStop>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Not by itself: it vitrifies before.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureStop {
    /// How far it comes, held at the last temperature of the schedule.
    pub conversion: DegreeOfCure,
    /// Its glass transition then, where known.
    pub glass_transition: Option<ThermodynamicTemperature>,
    /// The least temperature that does, and the part back at the last temperature of the schedule to be judged.
    pub warm_to: ThermodynamicTemperature,
    /// For so long, begun at the end of the schedule and not before a day.
    pub warm_for: Time,
}

/// The temperature that is needed for a part to leave the mould by a time.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct NeededTemperature {
    /// Least temperature.
    pub temperature: ThermodynamicTemperature,
    /// Least one if all that is unsure falls out well.
    pub least: ThermodynamicTemperature,
    /// Least one at which it is sure; absent where none of the range is.
    pub sure: Option<ThermodynamicTemperature>,
    /// How the part stands by that time at the middle one.
    pub state: CureState,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How long a part that stops is warmed, s.
const WARM_FOR: f64 = 86_400.0;
/// Hottest that it is warmed to: above it resin starts to char (from memory).
const WARMEST: f64 = 473.15;
/// A temperature is looked for this closely, K.
const CLOSE: f64 = 0.01;

#[questions(DEMOULDING)]
impl Kinetics {
    /// When a part may leave the mould along a schedule, by conversion, by glass transition against its own temperature and
    /// by modulus: the first time at which every condition holds, with the earliest and the sure one. Where cure vitrifies
    /// before, how far it comes and the temperature that takes it there.
    ///
    /// `a >= conversion`, `Tg(a) >= T + above_part`, `E(a, Tg, T) >= modulus`. Earliest and sure ask the same of the high and
    /// the low ends of [`Vitrified`](super::Vitrified). Looked for up to 60 days after the schedule's last point.
    ///
    /// # Errors
    /// `Inconsistent` for a criterion without any condition or with half of one; `NoSolution` where it never holds and a day
    /// at 200 °C does not help, saying why; else as [`time_to`](Self::time_to).
    #[question("cure.demould_time")]
    pub fn demould_time(
        &self,
        /// What must hold.
        criterion: &DemouldCriterion,
        /// Temperature of the part against time.
        schedule: &Schedule,
    ) -> Result<DemouldTime> {
        check(self)?;
        self.demould_time_of(criterion, &Followed::begun(self.kernel()?, schedule.clone()))
    }

    /// How warm a part must be held, from the end of a history on, to be ready to leave the mould by a time; or a proof
    /// that no temperature of a range does.
    ///
    /// Conversion never falls as the temperature rises, and each condition of the criterion never falls with conversion and
    /// never rises with the part's own temperature. So between two temperatures the criterion can hold only if it does with
    /// the conversion of the warmer and the temperature of the colder: intervals for which it does not are left out, the
    /// others halved down to 0.01 K. `cancel` is asked before every temperature.
    ///
    /// # Errors
    /// `OutOfRange` for a deadline not after the history; `Inconsistent` for an empty range; `NoSolution` where none of the
    /// range does, with how far the warmest comes; `Cancelled`; as [`demould_time`](Self::demould_time) else.
    #[question("cure.temperature_for", long)]
    pub fn temperature_for(
        &self,
        /// What must hold.
        criterion: &DemouldCriterion,
        /// What it has gone through: from the last point on it is held at the temperature looked for. One point: from mixing on.
        schedule: &Schedule,
        /// Deadline, from mixing; the part is judged at the temperature looked for.
        by: Time,
        /// Coldest to look at.
        #[noun(default = "0 degC", within = crate::ranges::CURE_TEMPERATURE)]
        coldest: ThermodynamicTemperature,
        /// Warmest that room, mould and part can be brought to.
        #[noun(default = "40 degC", within = crate::ranges::CURE_TEMPERATURE)]
        warmest: ThermodynamicTemperature,
        cancel: Cancel<'_>,
    ) -> Result<NeededTemperature> {
        check(self)?;
        let asked = criterion.asked(self).map_err(|e| e.within("criterion"))?;
        if coldest >= warmest {
            return Err(Error::inconsistent(
                "warmest",
                show(warmest),
                format!("above the coldest {}", show(coldest)),
                "give the range of temperatures that the room can be brought to",
            ));
        }
        let from = held_from(schedule);
        let deadline = finite("by", by.si())?;
        if deadline <= from || deadline > super::run::LONGEST {
            return Err(Error::out_of_range(
                "by",
                show(by),
                format!("after {}, at most ten years", show(seconds(from))),
                "a deadline lies after mixing and after the history: give it as a time from mixing, for example '15 h'",
            ));
        }
        let kernel = self.kernel()?;
        let conversion = |t: f64| -> Result<f64> {
            cancel.check()?;
            Ok(after(&kernel, &held(schedule, t)?, deadline)[0])
        };
        let (low, high) = (coldest.si(), warmest.si());
        let ends = (conversion(low)?, conversion(high)?);
        let least = |end: End| {
            least_that_holds((low, ends.0), (high, ends.1), &conversion, &|a, t| {
                asked.met(a, t, end)
            })
        };
        let Some(kelvin) = least(End::Middle)? else {
            let reached = asked.follows.state(deadline, ends.1, high)?;
            let glass = reached
                .glass_transition
                .map_or_else(String::new, |g| format!(", glass transition {}", show(g.value)));
            return Err(Error::no_solution(
                "by",
                format_args!("{} after {}", asked.goal, show(by)),
                format!(
                    "at {} it is {} cured{glass}",
                    show(warmest),
                    show(reached.conversion)
                ),
                format!(
                    "no temperature of {} to {} does: wait longer, allow a warmer room, or ask for less",
                    show(coldest),
                    show(warmest)
                ),
            ));
        };
        let temperature = ThermodynamicTemperature::from_si(kelvin)?;
        let schedule = held(schedule, kelvin)?;
        let mut why = self.why("temperature needed", &schedule, show(temperature));
        why.from.insert(
            0,
            Why::given("by", show(by))
                .with_note(asked.goal.clone())
                .with_source(&criterion.source),
        );
        Ok(NeededTemperature {
            temperature,
            least: ThermodynamicTemperature::from_si(least(End::High)?.map_or(kelvin, |t| t.min(kelvin)))?,
            sure: least(End::Low)?
                .map(ThermodynamicTemperature::from_si)
                .transpose()?,
            state: asked.follows.state(deadline, conversion(kelvin)?, kelvin)?,
            extrapolated: self.extrapolated(&schedule),
            why,
        })
    }
}

impl Kinetics {
    /// As [`demould_time`](Self::demould_time), of a part that was followed.
    pub(crate) fn demould_time_of(
        &self,
        criterion: &DemouldCriterion,
        followed: &Followed,
    ) -> Result<DemouldTime> {
        let asked = criterion.asked(self).map_err(|e| e.within("criterion"))?;
        let (kernel, schedule) = (followed.kernel, followed.schedule());
        let horizon = schedule.end().si() + LOOK;
        // One pass for all three.
        let start = kernel.start();
        let ends = [End::Middle, End::High, End::Low];
        let holds = |t: f64, y: &[f64; 2], end: End| asked.met(y[0], schedule.kelvin(t).0, end);
        let mut met = ends.map(|end| (holds(0.0, &start, end) >= 0.0).then_some((0.0, start)));
        let mut last = (0.0, start);
        let warmed = schedule.end().si().max(86_400.0);
        let mut in_room = last;
        if met.iter().any(Option::is_none) {
            followed.each(horizon, |step| {
                last = (step.t1, step.y1);
                if step.t0 < warmed {
                    in_room = (step.t1.min(warmed), step.at(warmed));
                }
                for (met, end) in met.iter_mut().zip(ends).filter(|(met, _)| met.is_none()) {
                    let at = step.rises_through_zero(|t, y| holds(t, y, end));
                    *met = at.map(|t| (t, step.at(t)));
                }
                if met.iter().all(Option::is_some) {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            });
        }
        let [middle, high, low] = met;
        let found = middle.ok_or(last);
        let time = |m: Option<Moment>| m.map(|m| seconds(m.0));
        let (at, y) = middle.unwrap_or(last);
        let state = asked.follows.state(at, y[0], schedule.kelvin(at).0)?;
        let stops_at = match found {
            Ok(_) => None,
            Err(last) => Some(
                self.stop(&asked, (&kernel, schedule), in_room, &state)?
                    .ok_or_else(|| self.never(&kernel, schedule, last, &asked.goal))?,
            ),
        };
        let value = match (&found, &stops_at) {
            (Ok(m), _) => show(seconds(m.0)),
            (_, Some(s)) => format!("not by itself: stops at {}", show(s.conversion)).into(),
            _ => "".into(),
        };
        let mut why = self.why("time to demould", schedule, value);
        why.from.insert(
            0,
            Why::given("criterion", asked.goal.clone()).with_source(&criterion.source),
        );
        Ok(DemouldTime {
            earliest: time(high),
            sure: time(low),
            time: time(middle),
            state,
            stops_at,
            extrapolated: self.extrapolated(schedule),
            why,
        })
    }

    /// The least warmth that takes a part which stops to what is asked, from where it stood when it is warmed; nothing where
    /// none does.
    fn stop(
        &self,
        asked: &Asked,
        (kernel, schedule): (&Kernel, &Schedule),
        in_room: Moment,
        state: &CureState,
    ) -> Result<Option<CureStop>> {
        let room = schedule.kelvin(f64::MAX).0;
        let holds = |t: f64| -> Result<bool> {
            let warm = Schedule::isothermal(ThermodynamicTemperature::from_si(t)?)?;
            let a = after_from(kernel, &warm, in_room, in_room.0 + WARM_FOR)[0];
            Ok(asked.met(a, room, End::Middle) >= 0.0)
        };
        let hottest = WARMEST.max(room + 1.0);
        if !holds(hottest)? {
            return Ok(None);
        }
        let (_, warm_to) = crate::numeric::roots::halve(room, hottest, 16, |t| Ok::<_, Error>(!holds(t)?))?;
        Ok(Some(CureStop {
            conversion: state.conversion,
            glass_transition: state.glass_transition.map(|g| g.value),
            warm_to: ThermodynamicTemperature::from_si(warm_to)?,
            warm_for: seconds(WARM_FOR),
        }))
    }
}

/// A jump of temperature is a steep ramp, s.
pub(super) const JUMP: f64 = 1.0;

pub(super) fn point(t: f64, temperature: ThermodynamicTemperature) -> SchedulePoint {
    SchedulePoint {
        time: seconds(t),
        temperature,
    }
}

/// From when on a part is held.
fn held_from(schedule: &Schedule) -> f64 {
    if schedule.points().len() == 1 {
        0.0
    } else {
        schedule.end().si() + JUMP
    }
}

/// A history, then held at a temperature, K.
fn held(schedule: &Schedule, t: f64) -> Result<Schedule> {
    let temperature = ThermodynamicTemperature::from_si(t)?;
    if schedule.points().len() == 1 {
        return Schedule::isothermal(temperature);
    }
    let mut points = schedule.points().to_vec();
    points.push(point(held_from(schedule), temperature));
    Schedule::new(points)
}

/// The least `t` from `low` to `high` (each with its conversion) at which `holds` of conversion and `t` is not negative, where
/// conversion never falls with `t` and `holds` never falls with conversion and never rises with `t`; none where none does, to
/// within [`CLOSE`].
fn least_that_holds(
    low: (f64, f64),
    high: (f64, f64),
    conversion: &dyn Fn(f64) -> Result<f64>,
    holds: &dyn Fn(f64, f64) -> f64,
) -> Result<Option<f64>> {
    if holds(low.1, low.0) >= 0.0 {
        return Ok(Some(low.0));
    }
    let at_high = holds(high.1, high.0);
    if holds(high.1, low.0).max(at_high) < 0.0 {
        return Ok(None);
    }
    if high.0 - low.0 <= CLOSE {
        return Ok((at_high >= 0.0).then_some(high.0));
    }
    let t = 0.5 * (low.0 + high.0);
    let middle = (t, conversion(t)?);
    match least_that_holds(low, middle, conversion, holds)? {
        Some(found) => Ok(Some(found)),
        None => least_that_holds(middle, high, conversion, holds),
    }
}
