//! What heat a part bears in use: a lamp's, the sun's.

use super::curing_modulus::CuringModulus;
use super::followed::Followed;
use super::glass::GlassTransition;
use super::kinetics::Kinetics;
use super::readiness::{CureState, Follows, no_glass};
use super::run::whole;
use super::schedule::Schedule;
use crate::error::Result;
use crate::noun::{Noun, check, questions};
use crate::quantity::{Quantity, TemperatureInterval, ThermodynamicTemperature, show};
use crate::source::Why;

/// Whether a part keeps its shape in the heat.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum StaysStiff {
    /// The low end of its glass transition lies above.
    Stiff,
    /// The heat lies between the ends of its glass transition.
    Unsure,
    /// Even the high end lies below.
    Softens,
}

/// What a part is in the heat of use.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct HeatInUse {
    /// Whether it stays stiff.
    pub stays: StaysStiff,
    /// Glass transition over the temperature of use.
    pub margin: TemperatureInterval,
    /// Low end of that.
    pub margin_low: TemperatureInterval,
    /// High end of that.
    pub margin_high: TemperatureInterval,
    /// How it stands after its cure, its modulus that at the temperature of use.
    pub state: CureState,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

#[questions(IN_USE)]
impl Kinetics {
    /// Whether a part stays stiff in the heat of its use, after all the cure that it gets.
    ///
    /// `margin = Tg(a) - T`, held against the ends of the glass transition. A deflection temperature is not computed: it
    /// hangs on load and glass, and is published or measured. Heat just above the glass transition cures a part on, but
    /// it sags before. Not modelled: water, which lowers the glass transition, load, creep.
    ///
    /// # Errors
    /// `OutOfRange` for a cure of one point; `Inconsistent` where no glass transition is known; as [`cure`](Self::cure).
    #[question("cure.in_use")]
    pub fn in_use(
        &self,
        /// All the cure it gets, from mixing to its last point.
        schedule: &Schedule,
        /// Hottest that the part gets in use.
        #[noun(within(
            "-50 degC",
            "400 degC",
            "give what a thermometer on the part shows under its lamp, or in the sun"
        ))]
        temperature: ThermodynamicTemperature,
        /// Glass transition against conversion; that at which the kinetics vitrify, if left out.
        glass_transition: Option<GlassTransition>,
        /// How stiff the resin is while it cures.
        modulus: Option<&CuringModulus>,
    ) -> Result<HeatInUse> {
        check(self)?;
        let followed = Followed::begun(self.kernel()?, schedule.clone());
        self.in_use_of(&followed, temperature, glass_transition, modulus)
    }
}

impl Kinetics {
    /// As [`in_use`](Self::in_use), of a part that was followed.
    pub(crate) fn in_use_of(
        &self,
        followed: &Followed,
        temperature: ThermodynamicTemperature,
        glass_transition: Option<GlassTransition>,
        modulus: Option<&CuringModulus>,
    ) -> Result<HeatInUse> {
        let schedule = followed.schedule();
        let end = whole(schedule)?;
        let follows = Follows::of(self.vitrification, glass_transition, modulus)?;
        if follows.glass.is_none() {
            return Err(no_glass());
        }
        let a = followed.at(end)[0];
        // Its ends are those that it has when it has cooled; its stiffness that in the heat.
        let cooled = follows.state(end, a, schedule.kelvin(end).0)?;
        let hot = follows.state(end, a, temperature.si())?;
        let glass = cooled.glass_transition.ok_or_else(no_glass)?;
        let over = |t: ThermodynamicTemperature| TemperatureInterval::from_si(t.si() - temperature.si());
        let stays = if glass.low >= temperature {
            StaysStiff::Stiff
        } else if glass.high < temperature {
            StaysStiff::Softens
        } else {
            StaysStiff::Unsure
        };
        let mut why = self.why(
            "glass transition over the heat of use",
            schedule,
            show(over(glass.value)?),
        );
        why.from.push(Why::given("temperature in use", show(temperature)));
        why.from.push(Why::computed(
            "glass transition after the cure",
            format!(
                "{} ({} to {})",
                show(glass.value),
                show(glass.low),
                show(glass.high)
            ),
            super::glass::DIBENEDETTO,
            vec![],
        ));
        Ok(HeatInUse {
            stays,
            margin: over(glass.value)?,
            margin_low: over(glass.low)?,
            margin_high: over(glass.high)?,
            state: CureState {
                temperature,
                modulus: hot.modulus,
                ..cooled
            },
            extrapolated: self.extrapolated(schedule),
            why,
        })
    }
}
