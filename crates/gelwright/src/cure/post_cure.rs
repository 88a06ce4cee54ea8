//! Post-cure: what an oven does, and one hold for another.

use std::ops::ControlFlow;

use crate::noun::Noun;

use super::gel_table::{GAS_CONSTANT, seconds};
use super::glass::GlassTransition;
use super::kinetics::Kinetics;
use super::run::{checked_duration, run};
use super::schedule::Schedule;
use crate::error::{Error, Result, finite};
use crate::quantity::{
    DegreeOfCure, MolarEnergy, Quantity, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// A schedule as a hold at one temperature.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EquivalentTime {
    /// The hold that does the same.
    pub time: Time,
    /// The chain behind it.
    pub why: Why,
}

/// The hold at `reference` that advances cure as much as a schedule does until its last point.
///
/// `t_eq = integral exp(-E/R (1/T - 1/T_ref)) dt`: Arrhenius equivalence for one activation energy `E`. It holds
/// for reaction, not past vitrification: a hold below the glass transition does not replace a hot one, however
/// long. For a plain hold of `t` at `T` give two points at `T`.
///
/// # Errors
/// `OutOfRange` for an activation energy outside 0 to 500 kJ/mol or a schedule with one point only.
pub fn equivalent_time(
    schedule: &Schedule,
    reference: ThermodynamicTemperature,
    activation_energy: MolarEnergy,
) -> Result<EquivalentTime> {
    let e = finite("activation_energy", activation_energy.si())?;
    if !(0.0..=500e3).contains(&e) {
        return Err(Error::out_of_range(
            "activation_energy",
            show(activation_energy),
            "0 kJ/mol to 500 kJ/mol",
            "take it from the resin's gel-time table or kinetics",
        ));
    }
    let t_ref = finite("reference", reference.si())?;
    if !(223.15..=673.15).contains(&t_ref) {
        return Err(Error::out_of_range(
            "reference",
            show(reference),
            "-50 degC to 400 degC",
            "check the unit of the temperature",
        ));
    }
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
        // Simpson on 1000 pieces a segment: exact to 1e-10 for any oven ramp.
        let n = 1000;
        let mut sum = 0.0;
        for k in 0..n {
            let at = |s: f64| factor(a + (b - a) * s);
            let (s0, s1) = (f64::from(k) / f64::from(n), f64::from(k + 1) / f64::from(n));
            sum += (at(s0) + 4.0 * at(0.5 * (s0 + s1)) + at(s1)) / 6.0;
        }
        total += sum / f64::from(n) * (t1 - t0);
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
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PostCure {
    /// Conversion at the end.
    pub conversion: DegreeOfCure,
    /// Glass transition temperature at the end.
    pub glass_transition: ThermodynamicTemperature,
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

/// Conversion and glass transition after a schedule that begins at mixing (room hold, ramp, oven hold), and how
/// soft the part gets on the way from `demoulded` on.
///
/// # Errors
/// As [`Kinetics::cure`] and [`GlassTransition::checked`]; `OutOfRange` for a schedule of one point.
pub fn post_cure(
    kinetics: &Kinetics,
    glass: &GlassTransition,
    schedule: &Schedule,
    demoulded: Time,
) -> Result<PostCure> {
    let glass = glass.checked().map_err(|e| e.within("glass_transition"))?;
    let kernel = kinetics.kernel().map_err(|e| e.within("kinetics"))?;
    if schedule.points().len() < 2 {
        return Err(Error::out_of_range(
            "schedule",
            "one point",
            "two points or more",
            "give the whole history from mixing, ending with the end of the oven hold",
        ));
    }
    let end = checked_duration("schedule", schedule.end())?;
    let from = finite("demoulded", demoulded.si())?;
    if !(0.0..=end).contains(&from) {
        return Err(Error::out_of_range(
            "demoulded",
            show(demoulded),
            format!("0 s to {}", show(schedule.end())),
            "give the time of demoulding inside the schedule",
        ));
    }
    let mut worst = (0.0f64, from);
    let mut last = kernel.start()[0];
    run(kernel, schedule, end, |s| {
        last = s.y1[0];
        for part in 0..=8 {
            let t = s.t0 + (s.t1 - s.t0) * f64::from(part) / 8.0;
            if t >= from {
                let soft = schedule.kelvin(t).0 - glass.kelvin(s.at(0, t));
                if soft > worst.0 {
                    worst = (soft, t);
                }
            }
        }
        ControlFlow::Continue(())
    })?;
    let conversion = DegreeOfCure::new(last.clamp(0.0, 1.0))?;
    let glass_transition = glass.at(conversion)?;
    let mut cautions = Vec::new();
    if worst.0 > 0.0 {
        cautions.push(format!(
            "{:.0} K above its glass transition at {}: support the part on the mould or a jig, or heat more slowly",
            worst.0,
            show(seconds(worst.1))
        ));
    }
    cautions.push(
        "cure in a vented oven that is never used for food; the product's data sheet goes first".to_owned(),
    );
    let mut why = kinetics.why(
        "after the schedule",
        schedule,
        format!("{}, Tg {}", show(conversion), show(glass_transition)),
    );
    why.from.push(Why::computed(
        "glass transition",
        show(glass_transition),
        "Tg = Tg0 + (Tg1 - Tg0) lambda a/(1 - (1 - lambda) a)",
        vec![Why::given(
            "Tg0, Tg1, lambda",
            format!("{}, {}, {}", show(glass.uncured), show(glass.cured), glass.lambda),
        )],
    ));
    Ok(PostCure {
        conversion,
        glass_transition,
        softest: TemperatureInterval::from_si(worst.0)?,
        softest_at: seconds(worst.1),
        cautions,
        extrapolated: kinetics.extrapolated(schedule),
        why,
    })
}

/// How long to hold at the last temperature of a schedule.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PostCureHold {
    /// The hold after the last point of the schedule; zero where the goal is reached before.
    pub hold: Time,
    /// When the goal is reached, from mixing.
    pub reached: Time,
    /// Conversion then.
    pub conversion: DegreeOfCure,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// How long to hold a part at the last temperature of a schedule until its glass transition is `wanted`.
///
/// The conversion for `wanted` by DiBenedetto, then the first time it is reached.
///
/// # Errors
/// `OutOfRange` for a glass transition outside that of the uncured and the cured resin; `NoSolution` where cure
/// vitrifies before; else as [`Kinetics::time_to`].
pub fn post_cure_hold(
    kinetics: &Kinetics,
    glass: &GlassTransition,
    schedule: &Schedule,
    wanted: ThermodynamicTemperature,
) -> Result<PostCureHold> {
    let glass = glass.checked().map_err(|e| e.within("glass_transition"))?;
    let kelvin = finite("wanted", wanted.si())?;
    if !(kelvin > glass.uncured.si() && kelvin < glass.cured.si()) {
        return Err(Error::out_of_range(
            "wanted",
            show(wanted),
            format!("above {}, below {}", show(glass.uncured), show(glass.cured)),
            "no post-cure takes this resin there: ask for a glass transition below that of full cure",
        ));
    }
    let goal = glass.conversion_at(wanted)?;
    let t = kinetics.reach("time to the glass transition", goal, schedule)?;
    let hold = seconds((t.time.si() - schedule.end().si()).max(0.0));
    let last = schedule.points()[schedule.points().len() - 1].temperature;
    Ok(PostCureHold {
        hold,
        reached: t.time,
        conversion: t.conversion,
        extrapolated: t.extrapolated,
        why: Why::computed(
            format!("hold at {}", show(last)),
            show(hold),
            "first time at which Tg(a) is the wanted one",
            vec![
                Why::given("wanted glass transition", show(wanted)),
                Why::computed(
                    "conversion for it",
                    show(goal),
                    "Tg = Tg0 + (Tg1 - Tg0) lambda a/(1 - (1 - lambda) a)",
                    vec![],
                ),
                t.why,
            ],
        ),
    })
}
