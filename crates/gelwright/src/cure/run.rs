//! What kinetics tell of one point whose temperature is known: isothermal, or along a [`Schedule`].
//!
//! No heat balance: the part follows the schedule exactly. A cup or a thick pour warms itself and runs ahead of
//! this; that is `heat`'s question.

use std::ops::ControlFlow;

use super::along::{Step, follow, follow_from};
use super::gel::{DoseFromKinetics, GelCriterion, PotLifeEnd};
use super::gel_table::{seconds, window_of};
use super::glass::{DIBENEDETTO, GlassTransition, Vitrified};
use super::isothermal::Still;
use super::kinetics::{Kernel, Kinetics, RateLaw};
use super::law::Law;
use super::post_cure::{PostCure, PostCureHold, beyond};
use super::readiness::{BY_HAND, TackWindow, TackWindowRule};
use super::schedule::Schedule;
use crate::cancel::Cancel;
use crate::constants::ZERO_CELSIUS;
use crate::error::{Error, ErrorKind, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::numeric::roots;
use crate::quantity::{
    DegreeOfCure, Frequency, Phr, Quantity, Shown, TemperatureInterval, ThermodynamicTemperature, Time, show,
};
use crate::source::Why;

/// How quickly a resin cures at one moment.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureRate {
    /// Conversion a second.
    pub rate: Frequency,
    /// Initiator spent a second.
    pub initiator_rate: Frequency,
    /// Heat set free per kg of resin mix, W/kg.
    #[noun(name = "heat_rate_W_per_kg")]
    pub heat_rate: f64,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Conversion over time along a schedule.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureCurve {
    /// Times from mixing, s, evenly spaced.
    pub time_s: Vec<f64>,
    /// Temperature of the part, K.
    #[noun(name = "temperature_K")]
    pub temperature_k: Vec<f64>,
    /// Conversion, 0 to 1.
    pub conversion: Vec<f64>,
    /// Low end of the conversion, which has a width once it has vitrified; none where the kinetics do not vitrify.
    pub conversion_low: Option<Vec<f64>>,
    /// High end of the conversion.
    pub conversion_high: Option<Vec<f64>>,
    /// Spent fraction of the initiator, 0 to 1, where the law has one.
    pub initiator_spent: Option<Vec<f64>>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// When something is reached along a schedule.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureTime {
    /// Time from mixing.
    pub time: Time,
    /// Conversion then.
    pub conversion: DegreeOfCure,
    /// How sure that conversion is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Temperature of the part then.
    pub temperature: ThermodynamicTemperature,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Longest run of this module: ten years.
pub(super) const LONGEST: f64 = 10.0 * 365.25 * 86_400.0;
/// How long to look for an event after the last point of the schedule: 60 days.
pub(super) const LOOK: f64 = 60.0 * 86_400.0;

#[questions]
impl Kinetics {
    /// Rate of cure and of heat at a conversion and temperature.
    ///
    /// # Errors
    /// As [`Kinetics::kernel`]; `Inconsistent` for a spent initiator where the law has none; `OutOfRange`, `NotFinite`
    /// for the temperature.
    #[question("cure.rate")]
    pub fn rate(
        &self,
        /// Conversion.
        conversion: DegreeOfCure,
        /// Spent fraction of the initiator, none where left out; laws without an initiator take none.
        initiator_spent: Option<DegreeOfCure>,
        /// Temperature of the resin.
        #[noun(within = crate::ranges::CURE_TEMPERATURE)]
        temperature: ThermodynamicTemperature,
    ) -> Result<CureRate> {
        check(self)?;
        let kernel = self.kernel()?;
        let mut from = vec![
            Why::given("conversion a", show(conversion)),
            Why::given("temperature", show(temperature)),
            Why::given("rate law", self.law.name()).with_source(&self.source),
        ];
        let spent = initiator_spent.map_or(0.0, DegreeOfCure::get);
        if kernel.spends_initiator() {
            from.push(Why::given("initiator spent i", show(DegreeOfCure::new(spent)?)));
        } else if let Some(spent) = initiator_spent {
            return Err(Error::inconsistent(
                "initiator_spent",
                show(spent),
                "left out",
                format!("a law {} spends no initiator: leave it out", self.law.name()),
            ));
        }
        let r = kernel.rate(conversion.get(), spent, temperature.si());
        let rate = Frequency::from_si(finite("rate", r.dalpha)?)?;
        Ok(CureRate {
            rate,
            initiator_rate: Frequency::from_si(finite("initiator_rate", r.di)?)?,
            heat_rate: kernel.heat_of_reaction * r.dalpha,
            extrapolated: self.outside_fitted(temperature, temperature),
            why: Why::computed("rate of cure", show(rate), self.law.equation(), from),
        })
    }

    /// Conversion over time of a part at a constant temperature or along a schedule (no self-heating).
    ///
    /// `t = integral of da / rate(a)` by quadrature at a constant temperature; a ramp as short pieces of constant rate.
    ///
    /// # Errors
    /// As [`Kinetics::kernel`]; `OutOfRange`, `NotFinite` for the duration or the samples.
    #[question("cure.conversion")]
    pub fn cure(
        &self,
        /// Temperature of the part against time; one point is a constant temperature.
        schedule: &Schedule,
        /// How long.
        #[noun(within(> "0 s", "3652.5 d", "give a time above 0 s, for example '4 h'"))]
        duration: Time,
        /// How many evenly spaced times to answer.
        #[noun(default = 101, within(2, 10001, "give for example 101"))]
        samples: usize,
    ) -> Result<CureCurve> {
        check(self)?;
        let kernel = self.kernel()?;
        let end = duration.si();
        #[allow(clippy::cast_precision_loss)]
        let at = |k: usize| end * (k as f64) / ((samples - 1) as f64);
        let mut curve = CureCurve {
            time_s: Vec::with_capacity(samples),
            temperature_k: Vec::with_capacity(samples),
            conversion: Vec::with_capacity(samples),
            conversion_low: None,
            conversion_high: None,
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
        follow(&kernel, schedule, end, |s| {
            while next < samples && at(next) <= s.t1 {
                let [a, i] = s.at(at(next));
                push(at(next), a, i);
                next += 1;
            }
            ControlFlow::Continue(())
        });
        (curve.conversion_low, curve.conversion_high) =
            self.ends(&curve.conversion, &curve.temperature_k)?.unzip();
        let last = *curve.conversion.last().unwrap_or(&kernel.seed);
        curve.why.value = format!(
            "{} after {}",
            with_band(
                DegreeOfCure::new(last)?,
                self.vitrified(last, schedule.kelvin(end).0)?
            ),
            show(duration)
        )
        .into();
        Ok(curve)
    }

    /// Gel time along a schedule from kinetics, by conversion or by viscosity.
    ///
    /// # Errors
    /// `NoSolution` where it does not gel, saying why; as [`GelCriterion::gel_conversion`] and
    /// [`Kinetics::kernel`] otherwise.
    #[question("cure.gel_time_from_kinetics")]
    pub fn gel_time(
        &self,
        /// When it counts as gelled.
        criterion: &GelCriterion,
        /// Temperature of the part against time.
        schedule: &Schedule,
    ) -> Result<CureTime> {
        check(self)?;
        self.to_gel(criterion, schedule)
    }

    /// The catalyst dose inside a window that gives a wanted gel time along a schedule, from free-radical kinetics; or
    /// why none does.
    ///
    /// Bisection in ln(dose), along which the gel time never rises. The dose that the kinetics hold is set aside, and
    /// the answer says so. `cancel` is asked before every gel time.
    ///
    /// # Errors
    /// `NoSolution` where the window does not hold the time, naming the nearest; `Inconsistent` for an empty window
    /// or a law that does not know its dose; `Cancelled`; as [`gel_time`](Self::gel_time).
    #[question("cure.dose_from_kinetics", long)]
    pub fn dose_for(
        &self,
        /// Wanted gel time.
        #[noun(within = crate::ranges::WANTED_GEL_TIME)]
        time: Time,
        /// When it counts as gelled.
        criterion: &GelCriterion,
        /// Temperature of the part against time.
        schedule: &Schedule,
        /// Least dose allowed.
        least: Phr,
        /// Most dose allowed.
        most: Phr,
        cancel: Cancel<'_>,
    ) -> Result<DoseFromKinetics> {
        check(self)?;
        let (wanted, (low, high)) = (time.si(), window_of((least, most))?);
        // A dose that never gels gels infinitely late.
        let gel = |dose: f64| -> Result<f64> {
            cancel.check()?;
            match self.with_dose(Phr::new(dose)?)?.to_gel(criterion, schedule) {
                Ok(t) => Ok(t.time.si()),
                Err(e) if e.kind() == ErrorKind::NoSolution => Ok(f64::INFINITY),
                Err(e) => Err(e),
            }
        };
        let (slowest, quickest) = (gel(low)?, gel(high)?);
        if wanted < quickest * (1.0 - 1e-9) {
            return Err(no_dose(time, (most, quickest), "warm", "quicker"));
        }
        if wanted > slowest * (1.0 + 1e-9) {
            return Err(no_dose(time, (least, slowest), "cool", "slower"));
        }
        let (_, least_log) = roots::halve(low.ln(), high.ln(), 48, |x| {
            Ok::<_, Error>(gel(x.exp())? > wanted)
        })?;
        let dose = Phr::new(least_log.exp().clamp(low, high))?;
        let gel_time = self.with_dose(dose)?.to_gel(criterion, schedule)?;
        let mut from = vec![Why::given("wanted gel time", show(time))];
        if let RateLaw::FreeRadical(f) = &self.law {
            from.push(
                Why::given("dose that the kinetics hold", show(f.dose))
                    .with_note("set aside: the dose is what is looked for"),
            );
        }
        from.push(gel_time.why.clone());
        Ok(DoseFromKinetics {
            dose,
            why: Why::computed(
                "catalyst for the gel time",
                show(dose),
                "the dose at which the gel time is the wanted one",
                from,
            ),
            gel_time,
        })
    }

    /// Pot life of the mix, to a viscosity ratio (doubling) or to gel, whichever the data sheet means.
    ///
    /// # Errors
    /// As [`gel_time`](Self::gel_time).
    #[question("cure.pot_life")]
    pub fn pot_life(
        &self,
        /// What ends the pot life.
        end: &PotLifeEnd,
        /// Temperature of the mix against time.
        schedule: &Schedule,
    ) -> Result<CureTime> {
        check(self)?;
        check(end).map_err(|e| e.within("end"))?;
        let (conversion, note) = match end {
            PotLifeEnd::ViscosityRatio { ratio, rise } => (
                rise.conversion_at(*ratio).map_err(|e| e.within("end"))?,
                format!("pot life ends where the viscosity is {ratio} times the fresh one; gel comes later"),
            ),
            PotLifeEnd::Gel { criterion } => (
                criterion
                    .gel_conversion()
                    .map_err(|e| e.within("end.criterion"))?,
                "pot life taken to gel; handling ends earlier".to_owned(),
            ),
        };
        let mut t = self.reach("pot life", conversion, schedule)?;
        t.why = t.why.with_note(note);
        Ok(t)
    }

    /// Earliest and latest lamination of a gel coat, from its kinetics and the conversions of a rule.
    ///
    /// # Errors
    /// `Inconsistent` unless 0 < opens_at < closes_at; `NoSolution` where the film never gets firm. A window that
    /// never closes within 60 days is an error too: ask with a lower `closes_at`.
    #[question("cure.tack_window")]
    pub fn tack_window(
        &self,
        /// Between which conversions it takes the laminate.
        rule: &TackWindowRule,
        /// Temperature of the film against time.
        schedule: &Schedule,
    ) -> Result<TackWindow> {
        check(self)?;
        if !(rule.opens_at.get() > 0.0 && rule.opens_at < rule.closes_at) {
            return Err(Error::inconsistent(
                "rule.opens_at",
                show(rule.opens_at),
                format!("above 0 %, below closes_at = {}", show(rule.closes_at)),
                "give the conversions between which the gel coat takes the laminate",
            ));
        }
        let opens = self.reach("tack window opens", rule.opens_at, schedule)?;
        let closes = self.reach("tack window closes", rule.closes_at, schedule)?;
        let value = format!("{} to {}", show(opens.time), show(closes.time));
        Ok(TackWindow {
            opens: opens.time,
            closes: closes.time,
            extrapolated: opens.extrapolated,
            cautions: vec![BY_HAND.to_owned()],
            why: Why::computed(
                "tack window",
                value,
                "first times at the conversions of the rule",
                vec![
                    Why::given(
                        "rule",
                        format!("{} to {}", show(rule.opens_at), show(rule.closes_at)),
                    )
                    .with_source(&rule.source),
                    opens.why,
                    closes.why,
                ],
            ),
        })
    }

    /// Conversion and glass transition after an oven schedule that begins at mixing (room hold, ramp, oven hold), and
    /// how soft the part gets on the way.
    ///
    /// # Errors
    /// As [`cure`](Self::cure) and [`GlassTransition::at`]; `OutOfRange` for a schedule of one point or a demoulding
    /// outside it.
    #[question("cure.post_cure")]
    pub fn post_cure(
        &self,
        /// Glass transition against conversion.
        glass_transition: &GlassTransition,
        /// The whole history from mixing to the end of the oven hold.
        schedule: &Schedule,
        /// When the part left the mould: how soft it gets counts from there.
        demoulded: Time,
    ) -> Result<PostCure> {
        let glass = glass_transition;
        check(self)?;
        glass.checked()?;
        let kernel = self.kernel()?;
        if schedule.points().len() < 2 {
            return Err(Error::out_of_range(
                "schedule",
                "one point",
                "two points or more",
                "give the whole history from mixing, ending with the end of the oven hold",
            ));
        }
        let end = whole(schedule)?;
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
        follow(&kernel, schedule, end, |s| {
            last = s.y1[0];
            for part in 0..=8 {
                let t = s.t0 + (s.t1 - s.t0) * f64::from(part) / 8.0;
                if t >= from {
                    let soft = schedule.kelvin(t).0 - glass.kelvin(s.at(t)[0]);
                    if soft > worst.0 {
                        worst = (soft, t);
                    }
                }
            }
            ControlFlow::Continue(())
        });
        let conversion = DegreeOfCure::new(last.clamp(0.0, 1.0))?;
        let reached = glass.at(conversion)?;
        let mut cautions = Vec::new();
        if worst.0 > 0.0 {
            cautions.push(format!(
                "{:.0} K above its glass transition at {}: support the part on the mould or a jig, or heat more slowly",
                worst.0,
                show(seconds(worst.1))
            ));
        }
        cautions.push(
            "cure in a vented oven that is never used for food; the product's data sheet goes first"
                .to_owned(),
        );
        let vitrified = self.vitrified(conversion.get(), schedule.kelvin(end).0)?;
        let mut why = self.why(
            "after the schedule",
            schedule,
            format!(
                "{}, Tg {}",
                with_band(conversion, vitrified),
                show(reached.temperature)
            ),
        );
        why.from.push(reached.why);
        Ok(PostCure {
            conversion,
            glass_transition: reached.temperature,
            vitrified,
            softest: TemperatureInterval::from_si(worst.0)?,
            softest_at: seconds(worst.1),
            cautions,
            extrapolated: self.extrapolated(schedule),
            why,
        })
    }

    /// How long to hold in the oven, at the last temperature of a schedule, until the glass transition is a wanted one.
    ///
    /// The conversion for it by DiBenedetto, then the first time it is reached.
    ///
    /// # Errors
    /// `OutOfRange` for a glass transition outside that of the uncured and the cured resin; `NoSolution` where cure
    /// vitrifies before; else as [`time_to`](Self::time_to).
    #[question("cure.post_cure_hold")]
    pub fn post_cure_hold(
        &self,
        /// Glass transition against conversion.
        glass_transition: &GlassTransition,
        /// The history from mixing to the start of the hold; the hold is at its last temperature.
        schedule: &Schedule,
        /// Wanted glass transition.
        wanted: ThermodynamicTemperature,
    ) -> Result<PostCureHold> {
        let glass = glass_transition;
        check(self)?;
        glass.checked()?;
        let kelvin = finite("wanted", wanted.si())?;
        if !(kelvin > glass.uncured.si() && kelvin < glass.cured.si()) {
            return Err(beyond(glass, wanted));
        }
        let goal = glass.conversion_at(wanted)?;
        let t = self.reach("time to the glass transition", goal, schedule)?;
        let hold = seconds((t.time.si() - schedule.end().si()).max(0.0));
        let last = schedule.points()[schedule.points().len() - 1].temperature;
        Ok(PostCureHold {
            hold,
            reached: t.time,
            conversion: t.conversion,
            vitrified: t.vitrified,
            extrapolated: t.extrapolated,
            why: Why::computed(
                format!("hold at {}", show(last)),
                show(hold),
                "first time at which Tg(a) is the wanted one",
                vec![
                    Why::given("wanted glass transition", show(wanted)),
                    Why::computed("conversion for it", show(goal), DIBENEDETTO, vec![]),
                    t.why,
                ],
            ),
        })
    }

    /// When a conversion is reached along a schedule (looked for up to 60 days after its last point), or how far cure
    /// comes and why it stops.
    ///
    /// # Errors
    /// `NoSolution` where it is not reached, saying how far cure comes and why it stops; else as
    /// [`cure`](Self::cure).
    #[question("cure.time_to_conversion")]
    pub fn time_to(
        &self,
        /// Wanted conversion.
        conversion: DegreeOfCure,
        /// Temperature of the part against time.
        schedule: &Schedule,
    ) -> Result<CureTime> {
        check(self)?;
        self.reach("time to a conversion", conversion, schedule)
    }
}

/// No dose of a window gels so early, or so late: its edge and what that reaches.
fn no_dose(time: Time, (edge, reached): (Phr, f64), verb: &str, other: &str) -> Error {
    let reached = match Time::from_si(reached) {
        Ok(t) if reached.is_finite() => format!("gels in {}", show(t)),
        _ => "never gels".to_owned(),
    };
    Error::no_solution(
        "dose",
        format_args!("a gel time of {}", show(time)),
        format!("{} {reached}", show(edge)),
        format!("no dose in the window works: {verb} resin, mould and air, or take a {other} system"),
    )
}

impl Kinetics {
    /// The same kinetics with another dose of catalyst.
    ///
    /// # Errors
    /// `Inconsistent` for a law that does not know its dose.
    pub fn with_dose(&self, dose: Phr) -> Result<Kinetics> {
        let mut k = self.clone();
        match &mut k.law {
            RateLaw::FreeRadical(f) => {
                f.dose = dose;
                Ok(k)
            }
            other => Err(Error::inconsistent(
                "law",
                other.name(),
                "the free-radical law, which knows its dose",
                "this law was fitted at one dose: use a gel-time table for other doses, or fit the free-radical law",
            )),
        }
    }

    /// Gel time along a schedule, its ranges already checked.
    pub(super) fn to_gel(&self, criterion: &GelCriterion, schedule: &Schedule) -> Result<CureTime> {
        let gel = criterion.gel_conversion().map_err(|e| e.within("criterion"))?;
        let mut t = self.reach("gel time", gel, schedule)?;
        if let GelCriterion::Viscosity { ratio, .. } = criterion {
            t.why
                .from
                .push(Why::given("viscosity at gel over fresh", format!("{ratio}")));
        }
        Ok(t)
    }

    /// Seconds at a constant temperature in K to a conversion, by the quadrature that [`time_to`](Self::time_to) uses; none
    /// where it is not reached within 60 days.
    ///
    /// # Errors
    /// As [`Kinetics::kernel`].
    pub(crate) fn isothermal_time(&self, conversion: f64, kelvin: f64) -> Result<Option<f64>> {
        let kernel = self.kernel()?;
        Ok(Still::of(&kernel, [kelvin; 2]).whole_time(kernel.seed, conversion, LOOK))
    }

    fn reach(&self, what: &str, conversion: DegreeOfCure, schedule: &Schedule) -> Result<CureTime> {
        let goal = conversion.get();
        self.first_time(
            schedule,
            |start| start[0] >= goal,
            |step| step.reaches(goal),
            what,
            &format!("a conversion of {}", show(conversion)),
        )
    }

    /// The first time that `within` finds in a step; zero where it holds `at_once`, of conversion and initiator spent.
    fn first_time(
        &self,
        schedule: &Schedule,
        at_once: impl Fn(&[f64; 2]) -> bool,
        within: impl Fn(&Step) -> Option<f64>,
        what: &str,
        goal: &str,
    ) -> Result<CureTime> {
        let kernel = self.kernel()?;
        let horizon = schedule.end().si() + LOOK;
        let (t, y) = first(&kernel, schedule, horizon, at_once, within)
            .map_err(|last| self.never(&kernel, schedule, last, goal))?;
        let conversion = DegreeOfCure::new(y[0].clamp(0.0, 1.0))?;
        let temperature = ThermodynamicTemperature::from_si(schedule.kelvin(t).0)?;
        let time = seconds(t);
        Ok(CureTime {
            time,
            conversion,
            vitrified: self.vitrified(conversion.get(), temperature.si())?,
            temperature,
            extrapolated: self.extrapolated(schedule),
            why: {
                let mut why = self.why(what, schedule, show(time));
                why.from.insert(0, Why::given("reached", goal));
                why
            },
        })
    }

    pub(super) fn never(
        &self,
        kernel: &Kernel,
        schedule: &Schedule,
        last: (f64, [f64; 2]),
        goal: &str,
    ) -> Error {
        let reached = last.1[0].clamp(0.0, 1.0);
        let percent = |a: f64| {
            if a > 0.0 && a < 5e-4 {
                format!("{:.1e} %", 100.0 * a)
            } else {
                format!("{:.1} %", 100.0 * a)
            }
        };
        let end = schedule.kelvin(f64::MAX).0;
        let limit = kernel.limit(end).0;
        let starved = match kernel.law {
            Law::Radical(l) if l.dose <= l.inhibitor => Some(format!(
                "the inhibitor uses up {:.3} phr of catalyst and the mix has {:.3} phr: raise the dose, inside the data sheet's window",
                l.inhibitor, l.dose
            )),
            Law::Radical(l) if !l.trapped && last.1[1] > 0.999 && reached < limit - 1e-3 => {
                Some("the initiator is spent (dead end): raise the dose inside the data sheet's window, or warm later in the cure".to_owned())
            }
            _ => None,
        };
        let way_out = starved.unwrap_or_else(|| {
            if limit < 1.0 && reached > limit - 0.02 {
                format!(
                    "cure vitrifies near {} at {:.0} °C: warm the part (post-cure)",
                    percent(limit),
                    end - ZERO_CELSIUS
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

    pub(super) fn extrapolated(&self, schedule: &Schedule) -> Option<String> {
        let (coldest, hottest) = schedule.range();
        self.outside_fitted(coldest, hottest)
    }

    /// The link of a chain for an answer along a schedule.
    pub(super) fn why(&self, what: &str, schedule: &Schedule, value: impl Into<Shown>) -> Why {
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

/// A moment and its conversion and initiator spent.
pub(super) type Moment = (f64, [f64; 2]);

/// The first moment that `within` finds in a step before the horizon, at once where `at_once` holds of conversion and
/// initiator spent; else the last.
pub(super) fn first(
    kernel: &Kernel,
    schedule: &Schedule,
    horizon: f64,
    at_once: impl Fn(&[f64; 2]) -> bool,
    within: impl Fn(&Step) -> Option<f64>,
) -> std::result::Result<Moment, Moment> {
    let start = kernel.start();
    if at_once(&start) {
        return Ok((0.0, start));
    }
    let (mut found, mut last) = (None, (0.0, start));
    follow(kernel, schedule, horizon, |s| {
        last = (s.t1, s.y1);
        match within(s) {
            None => ControlFlow::Continue(()),
            Some(t) => {
                found = Some((t, s.at(t)));
                ControlFlow::Break(())
            }
        }
    });
    found.ok_or(last)
}

/// Conversion and initiator spent after a time.
pub(super) fn after(kernel: &Kernel, schedule: &Schedule, duration: f64) -> [f64; 2] {
    after_from(kernel, schedule, (0.0, kernel.start()), duration)
}

/// The same from a time and state on.
pub(super) fn after_from(kernel: &Kernel, schedule: &Schedule, from: Moment, duration: f64) -> [f64; 2] {
    let mut last = from.1;
    follow_from(kernel, schedule, from, duration, |s| {
        last = s.y1;
        ControlFlow::Continue(())
    });
    last
}

/// "84 % (76 % to 92 %)".
pub(super) fn with_band(conversion: DegreeOfCure, vitrified: Option<Vitrified>) -> String {
    match vitrified {
        None => show(conversion).to_string(),
        Some(v) => format!("{} ({} to {})", show(conversion), show(v.low), show(v.high)),
    }
}

/// How long a schedule lasts, s.
pub(super) fn whole(schedule: &Schedule) -> Result<f64> {
    let d = schedule.end().si();
    if d > 0.0 && d <= LONGEST {
        Ok(d)
    } else {
        Err(Error::out_of_range(
            "schedule",
            show(schedule.end()),
            "above 0 s, at most ten years",
            "give for example '4 h'",
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::gel_table::molar_energy;
    use crate::cure::{Autocatalytic, NthOrder, RateConstant};
    use crate::quantity::AvailableEnergy;
    use crate::quantity::temperature::celsius;
    use crate::source::{Source, Standing};

    fn first_order(energy: f64) -> Kinetics {
        let k = RateConstant::at(
            celsius(25.0),
            Frequency::from_si(1e-3).unwrap(),
            molar_energy(energy),
        );
        Kinetics {
            law: RateLaw::NthOrder(NthOrder { k, n: 1.0 }),
            heat_of_reaction: AvailableEnergy::from_si(190e3).unwrap(),
            seed: DegreeOfCure::new(0.0).unwrap(),
            vitrification: None,
            fitted: None,
            source: Source::of(Standing::Invented, "made for this test"),
        }
    }

    /// What was made in Rust never went through a reader: each question refuses it by itself.
    #[test]
    fn ranges_hold_for_what_was_made_in_rust() {
        let wild = first_order(600e3);
        let half = DegreeOfCure::new(0.5).unwrap();
        let s = Schedule::isothermal(celsius(25.0)).unwrap();
        let field = "law.k.activation_energy";
        assert_eq!(wild.rate(half, None, celsius(25.0)).unwrap_err().field(), field);
        assert_eq!(wild.cure(&s, seconds(60.0), 3).unwrap_err().field(), field);
        assert_eq!(wild.time_to(half, &s).unwrap_err().field(), field);
        let criterion = GelCriterion::Conversion { conversion: half };
        assert_eq!(wild.gel_time(&criterion, &s).unwrap_err().field(), field);
        let none = GelCriterion::Conversion {
            conversion: DegreeOfCure::new(0.0).unwrap(),
        };
        let e = first_order(60e3).gel_time(&none, &s).unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (ErrorKind::OutOfRange, "criterion.conversion")
        );
        let e = first_order(60e3).rate(half, None, celsius(900.0)).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "temperature"));
    }

    /// No kernel is made of what its rate would be no number of, or negative, with.
    #[test]
    fn a_kernel_is_sound() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(first_order(bad).kernel().is_err(), "{bad}");
            let mut k = first_order(60e3);
            k.law = RateLaw::Autocatalytic(Autocatalytic {
                k: RateConstant::at(
                    celsius(25.0),
                    Frequency::from_si(1e-3).unwrap(),
                    molar_energy(60e3),
                ),
                m: bad,
                n: 1.5,
            });
            k.seed = DegreeOfCure::new(0.01).unwrap();
            assert_eq!(k.kernel().unwrap_err().field(), "law.m", "{bad}");
        }
    }

    #[test]
    fn an_initiator_that_a_law_does_not_have_is_refused() {
        let half = DegreeOfCure::new(0.5).unwrap();
        let e = first_order(60e3)
            .rate(half, Some(half), celsius(25.0))
            .unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (ErrorKind::Inconsistent, "initiator_spent")
        );
    }
}
