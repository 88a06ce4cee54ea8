//! When a layer is ready: the tack window of a gel coat; how cured, glassy, stiff and hard a part is over time.

use super::curing_modulus::CuringModulus;
use super::glass::{GlassTransition, Vitrification, Vitrified};
use super::hardness::HardnessScale;
use super::kinetics::Kinetics;
use super::run::first;
use super::schedule::Schedule;
use crate::error::{Error, Result};
use crate::noun::{Noun, check, questions};
use crate::quantity::{DegreeOfCure, Pressure, Quantity, ThermodynamicTemperature, Time, show};
use crate::source::{Source, Standing, Why};

/// When a gel coat takes the laminate: from firm enough to carry it until too far cured to bond to it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct TackWindow {
    /// Laminate not before.
    pub opens: Time,
    /// Laminate not after.
    pub closes: Time,
    /// What lies outside which range, where something does.
    pub extrapolated: Option<String>,
    /// What to check by hand.
    pub cautions: Vec<String>,
    /// The chain behind it.
    pub why: Why,
}

/// The tack window as conversions.
#[derive(Clone, PartialEq, Noun)]
pub struct TackWindowRule {
    /// Conversion at which the film no longer wrinkles under the styrene of the laminate.
    pub opens_at: DegreeOfCure,
    /// Conversion at which too little is left to bond to.
    pub closes_at: DegreeOfCure,
    /// On whose word.
    pub source: Source,
}

/// The tack window for those who have a gel time only.
#[derive(Clone, PartialEq, Noun)]
pub struct TackRule {
    /// Opens at so many gel times.
    #[noun(within = crate::ranges::AFTER_GEL_TIMES)]
    pub opens_after_gel_times: f64,
    /// Closes at so many gel times.
    #[noun(within = crate::ranges::AFTER_GEL_TIMES)]
    pub closes_after_gel_times: f64,
    /// On whose word.
    pub source: Source,
}

impl Default for TackRule {
    /// Opens at 3.5 gel times: a published gel coat guide has a gel time of 10 to 17 min and no transfer to the
    /// glove after 45 to 60 min at 25 °C, 2.6 to 6 gel times. Closes at 60 gel times (overnight at a gel time of
    /// 15 min): common practice, no source.
    fn default() -> Self {
        TackRule {
            opens_after_gel_times: 3.5,
            closes_after_gel_times: 60.0,
            source: Source::of(
                Standing::CommonPractice,
                "gel coat firm after some three to four gel times, laminated the same day or overnight",
            ),
        }
    }
}

pub(super) const BY_HAND: &str = "touch the gel coat at a corner of the mould: tacky, and nothing comes off on the glove; \
                                  the product's data sheet goes before any computed window";

/// What becomes of a gel time within its band.
const BETWEEN: &str = "sure at both ends of the gel time's band: it opens by the upper end and closes by the lower; \
                       the gel time itself only has to lie between them and moves neither";

#[questions]
impl TackWindow {
    /// Earliest and latest lamination of a gel coat, from its gel time and a rule.
    ///
    /// `opens = n1 t_gel` from the upper end of the gel time's band, `closes = n2 t_gel` from the lower, so that the
    /// window is the one sure on both sides. The gel time between them moves neither, and the answer says so.
    ///
    /// # Errors
    /// `OutOfRange` for a time not above zero or a multiple below 1; `Inconsistent` unless low <= gel time <= high and
    /// opens < closes; `NoSolution` where the band leaves no sure window.
    #[question("cure.tack_window_from_gel_time")]
    pub fn from_gel_time(
        /// Lower end of the gel time's band.
        #[noun(within = crate::ranges::GEL_TIME_IN_BAND)]
        low: Time,
        /// Gel time. Where the band has a width it only has to lie in it.
        #[noun(within = crate::ranges::GEL_TIME_IN_BAND)]
        gel_time: Time,
        /// Upper end of the gel time's band.
        #[noun(within = crate::ranges::GEL_TIME_IN_BAND)]
        high: Time,
        /// Rule in gel times; the common one where not given.
        #[noun(default)]
        rule: &TackRule,
    ) -> Result<TackWindow> {
        check(rule).map_err(|e| e.within("rule"))?;
        let (n1, n2) = (rule.opens_after_gel_times, rule.closes_after_gel_times);
        if n1 >= n2 {
            return Err(Error::inconsistent(
                "rule",
                format_args!("{n1} to {n2} gel times"),
                "opens < closes",
                "give the gel times between which the gel coat takes the laminate",
            ));
        }
        if !(low <= gel_time && gel_time <= high) {
            return Err(Error::inconsistent(
                "gel_time",
                show(gel_time),
                format!("{} to {}", show(low), show(high)),
                "give low <= gel time <= high",
            ));
        }
        let (opens, closes) = (high * n1, low * n2);
        if opens >= closes {
            return Err(Error::no_solution(
                "gel_time",
                "a tack window that is sure at both ends of the band",
                format!(
                    "opens {} at the latest, closes {} at the earliest",
                    show(opens),
                    show(closes)
                ),
                "narrow the band: time a cup of this gel coat today",
            ));
        }
        let why = Why::computed(
            "tack window",
            format!("{} to {}", show(opens), show(closes)),
            "opens = n1 t_gel(high), closes = n2 t_gel(low)",
            vec![
                Why::given(
                    "gel time",
                    format!("{} ({} to {})", show(gel_time), show(low), show(high)),
                ),
                Why::given("n1, n2", format!("{n1}, {n2}")).with_source(&rule.source),
            ],
        );
        Ok(TackWindow {
            opens,
            closes,
            extrapolated: None,
            cautions: vec![BY_HAND.to_owned()],
            why: if low < high { why.with_note(BETWEEN) } else { why },
        })
    }
}

/// How a curing part stands at one moment.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureState {
    /// From mixing.
    pub time: Time,
    /// Temperature of the part.
    pub temperature: ThermodynamicTemperature,
    /// Conversion.
    pub conversion: DegreeOfCure,
    /// How sure that is, where it has vitrified.
    pub vitrified: Option<Vitrified>,
    /// Glass transition and its ends, where it is known against conversion.
    pub glass_transition: Option<TemperatureBand>,
    /// Modulus of the resin at the part's temperature, where it is known against cure.
    pub modulus: Option<PressureBand>,
}

/// A temperature with its low and high end.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct TemperatureBand {
    /// The middle.
    pub value: ThermodynamicTemperature,
    /// Low end.
    pub low: ThermodynamicTemperature,
    /// High end.
    pub high: ThermodynamicTemperature,
}

/// A modulus with its low and high end.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct PressureBand {
    /// The middle.
    pub value: Pressure,
    /// Low end.
    pub low: Pressure,
    /// High end.
    pub high: Pressure,
}

/// Conversion, glass transition, modulus and hardness over time, each with its low and high end.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Readiness {
    /// Times from mixing, s, evenly spaced.
    pub time_s: Vec<f64>,
    /// Temperature of the part, K.
    #[noun(name = "temperature_K")]
    pub temperature_k: Vec<f64>,
    /// Conversion, 0 to 1.
    pub conversion: Vec<f64>,
    /// Low end of the conversion, which has a width once it has vitrified.
    pub conversion_low: Vec<f64>,
    /// High end of the conversion.
    pub conversion_high: Vec<f64>,
    /// Glass transition, K.
    #[noun(name = "glass_transition_K")]
    pub glass_transition_k: Vec<f64>,
    /// Low end of the glass transition, K.
    #[noun(name = "glass_transition_low_K")]
    pub glass_transition_low_k: Vec<f64>,
    /// High end of the glass transition, K.
    #[noun(name = "glass_transition_high_K")]
    pub glass_transition_high_k: Vec<f64>,
    /// Modulus of the resin at the part's temperature, Pa, where it is given against cure.
    #[noun(name = "modulus_Pa")]
    pub modulus_pa: Option<Vec<f64>>,
    /// Low end of the modulus, Pa.
    #[noun(name = "modulus_low_Pa")]
    pub modulus_low_pa: Option<Vec<f64>>,
    /// High end of the modulus, Pa.
    #[noun(name = "modulus_high_Pa")]
    pub modulus_high_pa: Option<Vec<f64>>,
    /// Hardness, where readings are given; null outside them.
    pub hardness: Option<Vec<Option<f64>>>,
    /// Low end of the hardness.
    pub hardness_low: Option<Vec<Option<f64>>>,
    /// High end of the hardness.
    pub hardness_high: Option<Vec<Option<f64>>>,
    /// When its glass transition first reaches its temperature: from then on cure slows; absent where it does not.
    pub vitrifies: Option<Time>,
    /// What lies outside the fitted range, where something does.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// What follows from a conversion and a temperature; parameters already checked.
#[derive(Clone)]
pub(super) struct Follows {
    /// Where cure vitrifies: how sure a conversion is.
    pub(super) slows: Option<Vitrification>,
    /// Glass transition against conversion, and its spread.
    pub(super) glass: Option<Vitrification>,
    pub(super) modulus: Option<CuringModulus>,
}

/// Low end, middle, high end, plain SI.
#[derive(Clone, Copy)]
pub(super) struct Numbers {
    pub(super) conversion: [f64; 3],
    pub(super) glass: Option<[f64; 3]>,
    pub(super) modulus: Option<[f64; 3]>,
}

impl Follows {
    /// With a glass transition of its own, or that at which the kinetics vitrify.
    pub(super) fn of(
        slows: Option<Vitrification>,
        glass: Option<GlassTransition>,
        modulus: Option<&CuringModulus>,
    ) -> Result<Follows> {
        if let Some(g) = &glass {
            g.checked()?;
        }
        if let Some(m) = modulus {
            m.agrees().map_err(|e| e.within("modulus"))?;
        }
        let glass = match (glass, slows) {
            (None, slows) => slows,
            (Some(g), Some(v)) if v.glass_transition == g => Some(v),
            (Some(g), _) => Some(Vitrification::unsure(g)),
        };
        Ok(Follows {
            slows,
            glass,
            modulus: modulus.cloned(),
        })
    }

    pub(super) fn at(&self, a: f64, t: f64) -> Numbers {
        let a = a.clamp(0.0, 1.0);
        let slows = self.slows.map(|v| v.ends(a, t));
        let glass = if self.glass == self.slows {
            slows.as_ref().map(|ends| ends.glass)
        } else {
            self.glass.map(|v| v.ends(a, t).glass)
        };
        let conversion = slows.map_or([a; 3], |ends| ends.conversion);
        let modulus = self
            .modulus
            .as_ref()
            .zip(glass)
            .map(|(m, glass)| std::array::from_fn(|i| m.pascal(conversion[i], glass[i], t)));
        Numbers {
            conversion,
            glass,
            modulus,
        }
    }

    /// An end of the conversion alone, by its place in [`Numbers`].
    pub(super) fn conversion(&self, a: f64, t: f64, end: usize) -> f64 {
        let a = a.clamp(0.0, 1.0);
        match self.slows {
            Some(v) if end != 1 => v.ends(a, t).conversion[end],
            _ => a,
        }
    }

    /// How a part stands, of its conversion and temperature, plain SI.
    pub(super) fn state(&self, time: f64, a: f64, t: f64) -> Result<CureState> {
        let n = self.at(a, t);
        let kelvin = ThermodynamicTemperature::from_si;
        Ok(CureState {
            time: Time::from_si(time)?,
            temperature: kelvin(t)?,
            conversion: DegreeOfCure::new(a.clamp(0.0, 1.0))?,
            vitrified: self.slows.map_or(Ok(None), |v| v.band(a, t))?,
            glass_transition: n
                .glass
                .map(|[low, value, high]| -> Result<_> {
                    Ok(TemperatureBand {
                        value: kelvin(value)?,
                        low: kelvin(low)?,
                        high: kelvin(high)?,
                    })
                })
                .transpose()?,
            modulus: n
                .modulus
                .map(|[low, value, high]| -> Result<_> {
                    Ok(PressureBand {
                        value: Pressure::from_si(value)?,
                        low: Pressure::from_si(low)?,
                        high: Pressure::from_si(high)?,
                    })
                })
                .transpose()?,
        })
    }
}

#[questions(READINESS)]
impl Kinetics {
    /// Conversion, glass transition, modulus and hardness over time of a part that follows a schedule, a night that cools
    /// for example, each with its low and high end (no self-heating).
    ///
    /// Conversion as [`cure`](Self::cure); `Tg(a)` by DiBenedetto; the modulus as [`CuringModulus`]; the hardness by readings
    /// beside glass transitions. Their ends are those of [`Vitrified`]; before it vitrifies the conversion is as sure as the
    /// kinetics, and the glass transition as its constants.
    ///
    /// # Errors
    /// As [`cure`](Self::cure); `Inconsistent` where no glass transition is known.
    #[question("cure.readiness")]
    pub fn readiness(
        &self,
        /// Temperature of the part against time.
        schedule: &Schedule,
        /// How long.
        #[noun(within(> "0 s", "3652.5 d", "give a time above 0 s, for example '18 h'"))]
        duration: Time,
        /// How many evenly spaced times to answer.
        #[noun(default = 101, within(2, 10001, "give for example 101"))]
        samples: usize,
        /// Glass transition against conversion; that at which the kinetics vitrify, if left out.
        glass_transition: Option<GlassTransition>,
        /// How stiff the resin is while it cures.
        modulus: Option<&CuringModulus>,
        /// Published readings of its hardness.
        hardness: Option<&HardnessScale>,
    ) -> Result<Readiness> {
        let curve = self.cure(schedule, duration, samples)?;
        if let Some(h) = hardness {
            h.agrees().map_err(|e| e.within("hardness"))?;
        }
        let follows = Follows::of(self.vitrification, glass_transition, modulus)?;
        if follows.glass.is_none() {
            return Err(no_glass());
        }
        let numbers: Vec<Numbers> = curve
            .conversion
            .iter()
            .zip(&curve.temperature_k)
            .map(|(a, t)| follows.at(*a, *t))
            .collect();
        let column = |of: &dyn Fn(&Numbers) -> f64| numbers.iter().map(of).collect::<Vec<f64>>();
        let glass = |end: usize| column(&|n| n.glass.map_or(f64::NAN, |g| g[end]));
        let stiff = |end: usize| modulus.map(|_| column(&|n| n.modulus.map_or(f64::NAN, |m| m[end])));
        let hard = |end: usize| hardness.map(|h| numbers.iter().map(|n| h.reading(n.glass?[end])).collect());
        let vitrifies = self.vitrifies(schedule, duration.si(), &follows)?;
        let mut why = curve.why;
        why.what = "readiness".to_owned();
        if let Some(v) = &follows.glass {
            why.from.push(Why::given(
                "glass transition",
                format!(
                    "{} uncured, {} cured, lambda {}",
                    show(v.glass_transition.uncured),
                    show(v.glass_transition.cured),
                    v.glass_transition.lambda
                ),
            ));
        }
        if let Some(m) = modulus {
            why.from.push(
                Why::given("modulus of the glass", show(m.glassy))
                    .with_source(&m.source)
                    .with_note("E = Er + (Eg - Er) exp(-exp((T - Tg)/w))"),
            );
        }
        if let Some(h) = hardness {
            why.from.push(
                Why::given("hardness", format!("{} readings", h.readings.len())).with_source(&h.source),
            );
        }
        Ok(Readiness {
            conversion_low: column(&|n| n.conversion[0]),
            conversion_high: column(&|n| n.conversion[2]),
            glass_transition_k: glass(1),
            glass_transition_low_k: glass(0),
            glass_transition_high_k: glass(2),
            modulus_pa: stiff(1),
            modulus_low_pa: stiff(0),
            modulus_high_pa: stiff(2),
            hardness: hard(1),
            hardness_low: hard(0),
            hardness_high: hard(2),
            vitrifies,
            time_s: curve.time_s,
            temperature_k: curve.temperature_k,
            conversion: curve.conversion,
            extrapolated: curve.extrapolated,
            why,
        })
    }
}

impl Kinetics {
    /// When the glass transition first reaches the part's temperature.
    fn vitrifies(&self, schedule: &Schedule, duration: f64, follows: &Follows) -> Result<Option<Time>> {
        let Some(glass) = follows.glass.map(|v| v.glass_transition) else {
            return Ok(None);
        };
        let above = |t: f64, y: &[f64; 2]| glass.kelvin(y[0]) - schedule.kelvin(t).0;
        let kernel = self.kernel()?;
        let found = first(
            &kernel,
            schedule,
            duration,
            |start| above(0.0, start) >= 0.0,
            |step| step.rises_through_zero(above),
        );
        found.ok().map(|(t, _)| Time::from_si(t)).transpose()
    }
}

/// Nothing says how the glass transition climbs with cure.
pub(super) fn no_glass() -> Error {
    Error::inconsistent(
        "glass_transition",
        "none, and kinetics that do not vitrify",
        "a glass transition against conversion",
        "give the glass transition, or kinetics with a vitrification",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::ErrorKind;

    fn window(low: f64, gel_time: f64, high: f64) -> Result<TackWindow> {
        let minutes = |m: f64| Time::from_si(60.0 * m);
        TackWindow::from_gel_time(
            minutes(low)?,
            minutes(gel_time)?,
            minutes(high)?,
            &TackRule::default(),
        )
    }

    #[test]
    fn a_gel_time_that_moves_nothing_is_told() {
        let (early, late) = (
            window(10.0, 11.0, 17.0).unwrap(),
            window(10.0, 16.0, 17.0).unwrap(),
        );
        assert_eq!((early.opens, early.closes), (late.opens, late.closes));
        for w in [early, late] {
            assert!(w.why.note.unwrap().contains("moves neither"));
        }
        // Without a width the gel time is both ends, and counts.
        let (a, b) = (
            window(11.0, 11.0, 11.0).unwrap(),
            window(16.0, 16.0, 16.0).unwrap(),
        );
        assert!(a.opens < b.opens && a.closes < b.closes && a.why.note.is_none());
    }

    #[test]
    fn times_that_are_none_are_refused() {
        for bad in [0.0, -1.0] {
            let e = window(bad, 11.0, 17.0).unwrap_err();
            assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "low"));
        }
        let rule = TackRule {
            opens_after_gel_times: 0.5,
            ..TackRule::default()
        };
        let t = Time::from_si(600.0).unwrap();
        let e = TackWindow::from_gel_time(t, t, t, &rule).unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (ErrorKind::OutOfRange, "rule.opens_after_gel_times")
        );
    }
}
