//! Post-cure: what an oven does, and one hold for another.

use std::ops::ControlFlow;

use super::along::follow;
use super::demoulding::point;
use super::gel_table::seconds;
use super::glass::{GlassTransition, Vitrified};
use super::kinetics::Kinetics;
use super::readiness::{Follows, TemperatureBand, no_glass};
use super::run::{Moment, first};
use super::schedule::{Schedule, SchedulePoint};
use crate::cancel::Cancel;
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::numeric::quadrature;
use crate::quantity::{
    DegreeOfCure, MolarEnergy, Quantity, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// A schedule as a hold at one temperature.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EquivalentTime {
    /// The hold that does the same.
    pub time: Time,
    /// The chain behind it.
    pub why: Why,
}

/// The hold at one temperature that cures as far as a schedule until its last point: Arrhenius equivalence of
/// post-cures.
///
/// `t_eq = integral exp(-E/R (1/T - 1/T_ref)) dt` for one activation energy `E`. It holds for reaction, not past
/// vitrification: a hold below the glass transition does not replace a hot one, however long. For a plain hold of `t`
/// at `T` give two points at `T`.
///
/// # Errors
/// `OutOfRange`, `NotFinite` for the temperature, the activation energy or a schedule with one point only.
#[questions("cure.equivalent_time")]
pub fn equivalent_time(
    /// The schedule; a hold is two points.
    schedule: &Schedule,
    /// Temperature of the hold that replaces it.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    reference: ThermodynamicTemperature,
    /// Activation energy of the resin's cure.
    #[noun(within(
        "0 kJ/mol",
        "500 kJ/mol",
        "take it from the resin's gel-time table or kinetics"
    ))]
    activation_energy: MolarEnergy,
) -> Result<EquivalentTime> {
    let (e, t_ref) = (activation_energy.si(), reference.si());
    let points = schedule.points();
    if points.len() < 2 {
        return Err(Error::out_of_range(
            "schedule",
            "one point",
            "two points or more",
            "a hold is two points: its start at '0 s' and its end, both at the same temperature",
        ));
    }
    let factor = |t: f64| (-e / GAS_CONSTANT * (1.0 / t - 1.0 / t_ref)).exp();
    let mut total = 0.0;
    for pair in points.windows(2) {
        let (t0, t1) = (pair[0].time.si(), pair[1].time.si());
        let (a, b) = (pair[0].temperature.si(), pair[1].temperature.si());
        // 1000 pieces a segment: exact to 1e-10 for any oven ramp.
        total += quadrature::mean_by_simpson(1000, |s| factor(a + (b - a) * s)) * (t1 - t0);
    }
    let time = seconds(finite("schedule", total)?);
    Ok(EquivalentTime {
        time,
        why: Why::computed(
            format!("equivalent hold at {}", show(reference)),
            show(time),
            "t_eq = integral exp(-E/R (1/T - 1/T_ref)) dt",
            vec![
                Why::given("schedule", schedule.describe()),
                Why::given("activation energy", show(activation_energy)),
            ],
        )
        .with_note("one activation energy; holds for reaction, not past vitrification"),
    })
}

/// What a schedule leaves.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PostCure {
    /// Conversion at the end.
    pub conversion: DegreeOfCure,
    /// Glass transition temperature at the end.
    pub glass_transition: ThermodynamicTemperature,
    /// How sure both are, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// How far at most the part was above its own glass transition after gel (soft: it sags unless supported);
    /// zero where it stayed glassy.
    pub softest: TemperatureInterval,
    /// When that was.
    pub softest_at: Time,
    /// What to do where it goes soft.
    pub cautions: Vec<String>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How long to hold at the last temperature of a schedule.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PostCureHold {
    /// The hold after the last point of the schedule; zero where the goal is reached before.
    pub hold: Time,
    /// When the goal is reached, from mixing.
    pub reached: Time,
    /// Conversion then.
    pub conversion: DegreeOfCure,
    /// How sure that conversion is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// What takes the time of a post-cure.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum PostCureLimit {
    /// Nothing: the history alone reaches it.
    None,
    /// Reaction at the hold: the part could be warmed at once.
    Reaction,
    /// Waits on the way, for the glass transition to climb ahead: warmed sooner the part would soften.
    Softening,
}

/// The least post-cure that gives a wanted glass transition and never softens the part.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LeastPostCure {
    /// The hold that ends it: the least setting of the oven that gets there in the time allowed.
    pub hold: ThermodynamicTemperature,
    /// How long at that.
    pub hold_time: Time,
    /// All the time in the oven, rises and waits included.
    pub oven_time: Time,
    /// The whole history, oven included: ask [`Kinetics::post_cure`] of it.
    pub schedule: Schedule,
    /// Conversion at the end.
    pub conversion: DegreeOfCure,
    /// How sure that is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Glass transition at the end, with its ends.
    pub glass_transition: TemperatureBand,
    /// Least that the glass transition lay above the part in the oven.
    pub closest: TemperatureInterval,
    /// The same for the low end of the glass transition: below zero it may soften.
    pub closest_low: TemperatureInterval,
    /// What takes the time.
    pub limit: PostCureLimit,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions(OVEN)]
impl Kinetics {
    /// The least post-cure, in the steps of an oven, that gives a wanted glass transition and keeps the part below its own
    /// glass transition all the way.
    ///
    /// From the last temperature of the history one step of the oven after another: held until the glass transition lies
    /// `margin` above the next setting, then risen to it, so that `T <= Tg(a) - margin` throughout. The first setting at which
    /// the wanted glass transition is reached in the time allowed is the least. `cancel` is asked at every setting.
    ///
    /// # Errors
    /// `OutOfRange` for a glass transition outside that of the uncured and the cured resin; `Inconsistent` for a cap below the
    /// history's last temperature, or where no glass transition is known; `NoSolution` where the cap or the time does not
    /// allow it, or where the part, held, never climbs far enough above the next setting; `Cancelled`.
    #[question("cure.least_post_cure", long)]
    pub fn least_post_cure(
        &self,
        /// Wanted glass transition.
        wanted: ThermodynamicTemperature,
        /// The history from mixing to the oven; the oven starts at its last temperature.
        schedule: &Schedule,
        /// Glass transition against conversion; that at which the kinetics vitrify, if left out.
        glass_transition: Option<GlassTransition>,
        /// How far the part must stay below its glass transition.
        #[noun(default = "5 K", within("0 K", "50 K", "give for example '5 K'"))]
        margin: TemperatureInterval,
        /// From one setting of the oven to the next.
        #[noun(
            default = "5 K",
            within("0.5 K", "100 K", "give the step of the oven's settings")
        )]
        step: TemperatureInterval,
        /// How long the oven takes from one setting to the next.
        #[noun(default = "30 min", within("1 s", "1 d", "give for example '30 min'"))]
        rise: Time,
        /// Hottest that oven, mould and part allow.
        #[noun(default = "100 degC", within = crate::ranges::CURE_TEMPERATURE)]
        hottest: ThermodynamicTemperature,
        /// Longest in the oven.
        #[noun(default = "48 h", within("1 min", "60 d", "give how long the oven is free"))]
        longest: Time,
        cancel: Cancel<'_>,
    ) -> Result<LeastPostCure> {
        check(self)?;
        let follows = Follows::of(self.vitrification, glass_transition, None)?;
        let glass = follows.glass.ok_or_else(no_glass)?.glass_transition;
        let goal = finite("wanted", wanted.si())?;
        if !(goal > glass.uncured.si() && goal < glass.cured.si()) {
            return Err(beyond(&glass, wanted));
        }
        let kernel = self.kernel()?;
        let begins = schedule.end().si();
        let mut t = schedule.kelvin(f64::MAX).0;
        let cap = hottest.si();
        if cap < t {
            return Err(Error::inconsistent(
                "hottest",
                show(hottest),
                format!(
                    "the history's last temperature of {} or above",
                    show(ThermodynamicTemperature::from_si(t)?)
                ),
                "an oven warms: give its cap, for example '60 degC'",
            ));
        }
        let ends = begins + longest.si();
        // When the glass transition lies at a temperature, of a part that follows the points, then holds.
        let reaches =
            |points: &[SchedulePoint], kelvin: f64| -> Result<std::result::Result<Moment, Moment>> {
                cancel.check()?;
                let a = glass
                    .conversion_at(ThermodynamicTemperature::from_si(kelvin)?)?
                    .get();
                let schedule = Schedule::new(points.to_vec())?;
                Ok(first(&kernel, &schedule, ends, |y| y[0] >= a, |s| s.reaches(a)))
            };
        let mut points = schedule.points().to_vec();
        let mut at = begins;
        let mut limit = PostCureLimit::None;
        let done = loop {
            let last = match reaches(&points, goal)? {
                Ok((done, _)) => break done.max(at),
                Err(last) => last,
            };
            let close = |m: Moment| glass.kelvin(m.1[0]);
            let short = |wanted: String, way_out: &str| {
                Err(Error::no_solution(
                    "wanted",
                    wanted,
                    format!(
                        "{} after {} in the oven, at {}",
                        show(ThermodynamicTemperature::from_si(close(last))?),
                        show(longest),
                        show(ThermodynamicTemperature::from_si(t)?)
                    ),
                    way_out,
                ))
            };
            if t >= cap {
                return short(
                    format!(
                        "a glass transition of {} at {} or cooler",
                        show(wanted),
                        show(hottest)
                    ),
                    "allow a hotter oven or a longer time, or ask for less",
                );
            }
            let next = (t + step.si()).min(cap);
            let Ok((free, _)) = reaches(&points, next + margin.si())? else {
                return short(
                    format!(
                        "a glass transition {} above the next setting of the oven, {}",
                        show(margin),
                        show(ThermodynamicTemperature::from_si(next)?)
                    ),
                    "smaller steps, a smaller margin or a longer time; or support the part on its mould and let it soften",
                );
            };
            if limit != PostCureLimit::Softening {
                limit = if free > at + 60.0 {
                    PostCureLimit::Softening
                } else {
                    PostCureLimit::Reaction
                };
            }
            let free = free.max(at);
            if free > points[points.len() - 1].time.si() {
                points.push(point(free, ThermodynamicTemperature::from_si(t)?));
            }
            at = free + rise.si();
            t = next;
            points.push(point(at, ThermodynamicTemperature::from_si(t)?));
        };
        if limit == PostCureLimit::None && done > begins {
            limit = PostCureLimit::Reaction;
        }
        let hold = ThermodynamicTemperature::from_si(t)?;
        if done > points[points.len() - 1].time.si() {
            points.push(point(done, hold));
        }
        let whole = Schedule::new(points)?;
        let mut closest = (f64::INFINITY, f64::INFINITY);
        let mut last = kernel.start()[0];
        follow(&kernel, &whole, done, |s| {
            last = s.y1[0];
            if s.t1 > begins {
                let kelvin = whole.kelvin(s.t1).0;
                if let Some(glass) = follows.at(s.y1[0], kelvin).glass {
                    closest.0 = closest.0.min(glass[1] - kelvin);
                    closest.1 = closest.1.min(glass[0] - kelvin);
                }
            }
            ControlFlow::Continue(())
        });
        let state = follows.state(done, last, t)?;
        let glass_now = state.glass_transition.ok_or_else(no_glass)?;
        if closest.0.is_infinite() {
            closest = (glass_now.value.si() - t, glass_now.low.si() - t);
        }
        let mut why = self.why(
            "least post-cure",
            &whole,
            format!(
                "ends with {} at {}",
                show(seconds(done - at.min(done))),
                show(hold)
            ),
        );
        why.from
            .insert(0, Why::given("wanted glass transition", show(wanted)));
        why.from
            .insert(1, Why::given("below the glass transition by", show(margin)));
        Ok(LeastPostCure {
            hold,
            hold_time: seconds((done - at).max(0.0)),
            oven_time: seconds((done - begins).max(0.0)),
            conversion: state.conversion,
            vitrified: state.vitrified,
            glass_transition: glass_now,
            closest: TemperatureInterval::from_si(closest.0)?,
            closest_low: TemperatureInterval::from_si(closest.1)?,
            limit,
            extrapolated: self.extrapolated(&whole),
            schedule: whole,
            why,
        })
    }
}

/// No post-cure takes a resin to that glass transition.
pub(super) fn beyond(glass: &GlassTransition, wanted: ThermodynamicTemperature) -> Error {
    Error::out_of_range(
        "wanted",
        show(wanted),
        format!("above {}, below {}", show(glass.uncured), show(glass.cured)),
        "no post-cure takes this resin there: ask for a glass transition below that of full cure",
    )
}
