//! When a layer is ready: the tack window of a gel coat, and the time to demould.

use crate::noun::Noun;

use super::glass::GlassTransition;
use super::kinetics::Kinetics;
use super::run::CureTime;
use super::schedule::Schedule;
use crate::error::{Error, Result, finite};
use crate::quantity::{DegreeOfCure, Quantity, TemperatureInterval, Time, show};
use crate::source::{Source, Standing, Why};

/// When a gel coat takes the laminate: from firm enough to carry it until too far cured to bond to it.
#[derive(Debug, Clone, PartialEq, Noun)]
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
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct TackWindowRule {
    /// Conversion at which the film no longer wrinkles under the styrene of the laminate.
    pub opens_at: DegreeOfCure,
    /// Conversion at which too little is left to bond to.
    pub closes_at: DegreeOfCure,
    /// On whose word.
    pub source: Source,
}

/// The tack window for those who have a gel time only.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct TackRule {
    /// Opens at so many gel times.
    pub opens_after_gel_times: f64,
    /// Closes at so many gel times.
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

const BY_HAND: &str = "touch the gel coat at a corner of the mould: tacky, and nothing comes off on the glove; \
                       the product's data sheet goes before any computed window";

/// Tack window from a gel time (with its band) and a rule.
///
/// `opens = n1 t_gel` from the upper end of the band, `closes = n2 t_gel` from the lower, so that the window is the
/// one sure on both sides.
///
/// # Errors
/// `OutOfRange` for a time or a multiple not above zero; `NoSolution` where the band leaves no sure window.
pub fn tack_window_from_gel_time(
    low: Time,
    gel_time: Time,
    high: Time,
    rule: &TackRule,
) -> Result<TackWindow> {
    let (n1, n2) = (
        finite("opens_after_gel_times", rule.opens_after_gel_times)?,
        finite("closes_after_gel_times", rule.closes_after_gel_times)?,
    );
    if !(n1 >= 1.0 && n1 < n2) {
        return Err(Error::inconsistent(
            "rule",
            format_args!("{n1} to {n2} gel times"),
            "1 <= opens < closes",
            "a gel coat is not laminated before it has gelled",
        ));
    }
    for (field, t) in [("low", low), ("gel_time", gel_time), ("high", high)] {
        if finite(field, t.si())? <= 0.0 {
            return Err(Error::out_of_range(
                field,
                show(t),
                "above 0 s",
                "give the gel time with its band",
            ));
        }
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
    Ok(TackWindow {
        opens,
        closes,
        extrapolated: None,
        cautions: vec![BY_HAND.to_owned()],
        why: Why::computed(
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
        ),
    })
}

/// When a part may leave the mould. Every condition given must hold.
#[derive(Debug, Clone, PartialEq, Noun)]
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

impl Kinetics {
    /// Tack window along a schedule from the conversions of a rule.
    ///
    /// # Errors
    /// `Inconsistent` unless 0 < opens_at < closes_at; `NoSolution` where the film never gets firm. A window that
    /// never closes within 60 days is an error too: ask with a lower `closes_at`.
    pub fn tack_window(&self, rule: &TackWindowRule, schedule: &Schedule) -> Result<TackWindow> {
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

    /// The first time along a schedule at which every condition of a demoulding criterion holds.
    ///
    /// `a >= conversion` and `Tg(a) >= T + above_part`, DiBenedetto.
    ///
    /// # Errors
    /// `Inconsistent` for a criterion without any condition or with half of one; `NoSolution` where it never
    /// holds; else as [`Kinetics::time_to`].
    pub fn demould_time(&self, criterion: &DemouldCriterion, schedule: &Schedule) -> Result<CureTime> {
        let glass = match (criterion.glass_transition, criterion.above_part) {
            (Some(g), Some(above)) => {
                let g = g.checked().map_err(|e| e.within("criterion.glass_transition"))?;
                Some((g, finite("criterion.above_part", above.si())?))
            }
            (None, None) => None,
            _ => {
                return Err(Error::inconsistent(
                    "criterion",
                    "one of glass_transition and above_part",
                    "both or neither",
                    "give the glass transition and how far above the part it must lie",
                ));
            }
        };
        if glass.is_none() && criterion.conversion.is_none() {
            return Err(Error::inconsistent(
                "criterion",
                "no condition",
                "a conversion, a glass transition, or both",
                "give for example conversion = '80 %'",
            ));
        }
        let least = criterion.conversion.map_or(f64::NEG_INFINITY, DegreeOfCure::get);
        let mut goal = Vec::new();
        if let Some(c) = criterion.conversion {
            goal.push(format!("a conversion of {}", show(c)));
        }
        if let Some((_, above)) = glass {
            goal.push(format!("a glass transition {above:.0} K above the part"));
        }
        let mut t = self.first_time(
            schedule,
            |t, y| {
                let by_conversion = y[0] - least;
                match &glass {
                    None => by_conversion,
                    // In K; the two conditions need the same sign only.
                    Some((g, above)) => by_conversion.min(g.kelvin(y[0]) - schedule.kelvin(t).0 - above),
                }
            },
            "time to demould",
            &goal.join(" and "),
        )?;
        t.why.from.insert(
            1,
            Why::given("criterion", goal.join(" and ")).with_source(&criterion.source),
        );
        Ok(t)
    }
}
