//! Post-cure: what an oven does, and one hold for another.

use super::gel_table::seconds;
use super::glass::Vitrified;
use super::schedule::Schedule;
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, questions};
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
