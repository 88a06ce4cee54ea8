//! When a layer is ready: the tack window of a gel coat, and the time to demould.

use super::glass::GlassTransition;
use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check, questions};
use crate::quantity::{DegreeOfCure, Quantity, TemperatureInterval, Time, show};
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

/// When a part may leave the mould. Every condition given must hold.
#[derive(Clone, PartialEq, Noun)]
pub struct DemouldCriterion {
    /// Least conversion.
    pub conversion: Option<DegreeOfCure>,
    /// Glass transition against conversion, for the next condition.
    pub glass_transition: Option<GlassTransition>,
    /// How far the glass transition must lie above the part's own temperature; negative allows a part that is
    /// still rubbery and supported.
    pub above_part: Option<TemperatureInterval>,
    /// On whose word.
    pub source: Source,
}

impl DemouldCriterion {
    /// Its condition on the glass transition, with how far above the part in K.
    pub(super) fn by_glass(&self) -> Result<Option<(GlassTransition, f64)>> {
        let glass = match (self.glass_transition, self.above_part) {
            (Some(g), Some(above)) => {
                g.checked()?;
                Some((g, finite("above_part", above.si())?))
            }
            (None, None) => None,
            _ => {
                return Err(Error::inconsistent(
                    "",
                    "one of glass_transition and above_part",
                    "both or neither",
                    "give the glass transition and how far above the part it must lie",
                ));
            }
        };
        if glass.is_none() && self.conversion.is_none() {
            return Err(Error::inconsistent(
                "",
                "no condition",
                "a conversion, a glass transition, or both",
                "give for example conversion = '80 %'",
            ));
        }
        Ok(glass)
    }
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
