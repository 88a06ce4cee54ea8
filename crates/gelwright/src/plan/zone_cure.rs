//! When a zone may leave the mould, what its post-cure does and what heat it bears: the plan's own cure, judged.

use super::clock::Clock;
use super::exotherm::{DEMOULD_CURE, History, ZoneExotherm};
use super::job::Job;
use super::steps::Timetable;
use crate::cancel::Cancel;
use crate::cure::{
    CureState, CureStop, CuringModulus, DemouldCriterion, Followed, HeatInUse, Schedule, SchedulePoint,
    Softest,
};
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{Finding, LimitQuantity, Limits, Measured, QuantityText, Severity};
use crate::noun::Noun;
use crate::quantity::{self, DegreeOfCure, Quantity, TemperatureInterval, ThermodynamicTemperature, Time};
use crate::source::Why;

/// The cure of a zone, of the layer that is least cured at demoulding: ready to leave the mould when, and what the oven does.
///
/// The part follows what the zone's heat showed in the mould, then the air, then the oven; the oven's air warms it evenly
/// over the hold's `rise`.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ZoneCure {
    /// Which layer.
    pub layer: String,
    /// When it is laid: from then on time runs in `schedule`.
    pub laid: Clock,
    /// What it goes through, mould, air and oven: ask [`Kinetics::readiness`](crate::cure::Kinetics::readiness) of the layer's
    /// kinetics with it.
    pub schedule: Schedule,
    /// How it stands at the planned demoulding.
    pub at_demould: CureState,
    /// When it meets what demoulding asks for; absent where it does not by itself.
    pub ready: Option<Clock>,
    /// Earliest, if all that is unsure falls out well.
    pub earliest: Option<Clock>,
    /// From when on it is sure; absent where it never is by itself.
    pub sure: Option<Clock>,
    /// Where it stops before, and what takes it further.
    pub stops_at: Option<CureStop>,
    /// How warm mould and air must be, from the laying of that layer on, for it to be ready by `cure.demould_by`; absent where
    /// none is asked for, or no temperature up to 40 °C does.
    pub needed: Option<ThermodynamicTemperature>,
    /// How it stands after each hold of the post-cure.
    #[noun(default)]
    pub after_holds: Vec<CureState>,
    /// The most that it is above its glass transition after demoulding, oven included; below zero it stays that far under it.
    pub softest: TemperatureInterval,
    /// When that is.
    pub softest_at: Clock,
    /// What the heat of use does to it after all of that, where the casting says how hot that is.
    pub in_use: Option<HeatInUse>,
    /// The chain behind it.
    pub why: Why,
}

/// The zones' cure, and what of it is held against limits.
#[derive(Default)]
pub(super) struct ZoneCures {
    pub(super) zones: Vec<Option<ZoneCure>>,
    pub(super) measured: Vec<Measured>,
    pub(super) findings: Vec<Finding>,
}

pub(super) fn cures(
    job: &Job,
    limits: &Limits,
    timed: &Timetable,
    zones: &[Option<ZoneExotherm>],
    histories: &[Option<Vec<History>>],
    cancel: Cancel<'_>,
) -> Result<ZoneCures> {
    let mut all = ZoneCures::default();
    oven(job, &mut all);
    for ((zone, exotherm), histories) in job.casting.zones.iter().zip(zones).zip(histories) {
        let (Some(_), Some(history)) = (exotherm, least_cured(histories.as_ref())) else {
            all.zones.push(None);
            continue;
        };
        let cure = zone_cure(job, limits, timed, &zone.name, history, &mut all, cancel)?;
        all.zones.push(Some(cure));
    }
    Ok(all)
}

/// How a zone's least cured layer stands at demoulding, its modulus too; nothing where its cure is not known.
pub(super) fn at_demould(
    job: &Job,
    timed: &Timetable,
    histories: Option<&Vec<History>>,
) -> Result<Option<CureState>> {
    let Some(history) = least_cured(histories) else {
        return Ok(None);
    };
    let way = way(job, timed, history)?;
    way.in_mould
        .state(way.demould, history.modulus.as_ref())
        .map(Some)
}

/// How a layer stands at demoulding, and its conversion after the oven.
pub(super) fn conversions(job: &Job, timed: &Timetable, history: &History) -> Result<(CureState, f64)> {
    let way = way(job, timed, history)?;
    let at_demould = way.in_mould.state(way.demould, None)?;
    let last = match way.holds.last() {
        Some(end) => way.whole.conversion(*end),
        None => at_demould.conversion.get(),
    };
    Ok((at_demould, last))
}

/// The layer that is least cured, of those that vitrify.
fn least_cured(histories: Option<&Vec<History>>) -> Option<&History> {
    histories
        .into_iter()
        .flatten()
        .filter(|h| h.kinetics.vitrification.is_some())
        .min_by(|a, b| a.least_cure.total_cmp(&b.least_cure))
}

/// What of the cure after demoulding is held against limits, alone: how soft the oven and the heat of use make each zone.
pub(super) fn drawn(
    job: &Job,
    timed: &Timetable,
    histories: &[Option<Vec<History>>],
    cancel: Cancel<'_>,
) -> Result<Vec<Measured>> {
    let mut all = ZoneCures::default();
    oven(job, &mut all);
    let plan = &job.casting.cure;
    if plan.post_cure.is_empty() && plan.in_use.is_none() {
        return Ok(all.measured);
    }
    for (zone, histories) in job.casting.zones.iter().zip(histories) {
        cancel.check()?;
        let Some(history) = least_cured(histories.as_ref()) else {
            continue;
        };
        let way = way(job, timed, history)?;
        if !way.holds.is_empty() {
            all.measured
                .push(softness(&zone.name, history, &way.whole.softest(way.demould)?));
        }
        if let Some(t) = plan.in_use {
            let in_use = history
                .kinetics
                .in_use_of(&way.whole, t, None, history.modulus.as_ref())?;
            all.measured.push(stiffness(&zone.name, history, &in_use));
        }
    }
    Ok(all.measured)
}

fn softness(zone: &str, history: &History, softest: &Softest) -> Measured {
    let (low, high) = softest.ends;
    Measured::new(
        LimitQuantity::OvenOverGlass,
        zone,
        &history.tags,
        softest.above_glass,
    )
    .between(low, high)
}

fn stiffness(zone: &str, history: &History, in_use: &HeatInUse) -> Measured {
    Measured::new(
        LimitQuantity::GlassOverUse,
        zone,
        &history.tags,
        in_use.margin_low,
    )
}

/// Each hold's temperature, against what the materials bear.
fn oven(job: &Job, all: &mut ZoneCures) {
    let mut tags: Vec<String> = job.mixes.values().flat_map(|m| m.tags.iter().cloned()).collect();
    tags.sort();
    tags.dedup();
    for (i, hold) in job.casting.cure.post_cure.iter().enumerate() {
        let subject = format!("post-cure {}", i + 1);
        all.measured.push(Measured::new(
            LimitQuantity::OvenTemperature,
            subject,
            &tags,
            hold.temperature,
        ));
    }
}

/// Where a layer goes after demoulding, the air, each hold, the air again, and how it cures on it.
#[derive(Clone)]
pub(crate) struct Way {
    /// From the laying of the layer to demoulding.
    in_mould: Followed,
    /// And on in the same air.
    left_in_mould: Followed,
    /// And through the oven.
    whole: Followed,
    /// The end of each hold, from the laying of the layer.
    holds: Vec<f64>,
    demould: f64,
}

/// The way of a layer, followed once.
fn way<'h>(job: &Job, timed: &Timetable, history: &'h History) -> Result<&'h Way> {
    if let Some(known) = history.way.get() {
        return Ok(known);
    }
    let found = find_way(job, timed, history)?;
    Ok(history.way.get_or_init(|| found))
}

fn find_way(job: &Job, timed: &Timetable, history: &History) -> Result<Way> {
    let from = history.laid;
    let demould = timed.demould.since(from).si();
    let point = |t: f64, temperature: ThermodynamicTemperature| -> Result<SchedulePoint> {
        Ok(SchedulePoint {
            time: Time::from_si(t)?,
            temperature,
        })
    };
    let mut points = history.points.clone();
    let in_mould = history.kinetics.followed(Schedule::new(points.clone())?)?;
    let air = job.casting.shop.air_from(timed.demould);
    let mut left = points.clone();
    let end = |points: &[SchedulePoint]| points.last().map_or(0.0, |p| p.time.si());
    for (at, t) in &air {
        let at = at.since(from).si();
        if at > end(&left) + 60.0 {
            left.push(point(at, *t)?);
        }
    }
    let mut holds = Vec::new();
    for (hold, start) in job.casting.cure.post_cure.iter().zip(&timed.holds) {
        let start = start.since(from).si().max(end(&points) + 1.0);
        let air = job.casting.shop.air_at(from.after(Time::from_si(start)?));
        points.push(point(start, air)?);
        let (rise, time) = (hold.rise().si(), hold.time.si());
        points.push(point(start + rise, hold.temperature)?);
        points.push(point(start + time, hold.temperature)?);
        holds.push(start + time);
    }
    if let Some(done) = holds.last() {
        // Half an hour to cool; the part is judged cold.
        let at = done + 1800.0;
        points.push(point(
            at,
            job.casting.shop.air_at(from.after(Time::from_si(at)?)),
        )?);
    }
    Ok(Way {
        left_in_mould: in_mould.along(Schedule::new(left)?),
        whole: in_mould.onward(Schedule::new(points)?),
        in_mould,
        holds,
        demould,
    })
}

fn zone_cure(
    job: &Job,
    limits: &Limits,
    timed: &Timetable,
    zone: &str,
    history: &History,
    all: &mut ZoneCures,
    cancel: Cancel<'_>,
) -> Result<ZoneCure> {
    cancel.check()?;
    let plan = &job.casting.cure;
    let kinetics = &history.kinetics;
    let way = way(job, timed, history)?;
    let modulus: Option<CuringModulus> = history.modulus.clone();
    let asked = match &plan.demould {
        Some(c) => c.clone(),
        None => {
            let least = limits.least(LimitQuantity::DemouldCure, &history.tags)?;
            DemouldCriterion {
                conversion: Some(DegreeOfCure::new(least.map_or(DEMOULD_CURE, |l| l.0))?),
                glass_transition: None,
                above_part: None,
                modulus: None,
                curing_modulus: None,
                source: least.map_or_else(|| history.kinetics.source.clone(), |l| l.1.source.clone()),
            }
        }
    };
    let demould = kinetics.demould_time_of(&asked, &way.left_in_mould);
    let clock = |t: Time| history.laid.after(t);
    let state = |at: f64| way.whole.state(at, modulus.as_ref());
    let at_demould = way.in_mould.state(way.demould, modulus.as_ref())?;
    let softest = way.whole.softest(way.demould)?;
    let in_use = plan
        .in_use
        .map(|t| kinetics.in_use_of(&way.whole, t, None, modulus.as_ref()))
        .transpose()?;
    let (time, why) = match demould {
        Ok(d) => (Some((d.time, d.earliest, d.sure, d.stops_at)), d.why),
        // It never comes to it, whatever is done: the finding says so.
        Err(e) if e.kind() == ErrorKind::NoSolution => (None, Why::given("time to demould", e.to_string())),
        Err(e) => return Err(e.at("cure.demould")),
    };
    let (ready, earliest, sure, stops_at) = time.unwrap_or_default();
    let needed = match plan.demould_by {
        None => None,
        Some(by) => {
            let by = by.since(history.laid);
            let air = job.casting.shop.air_at(history.laid);
            let found = kinetics.temperature_for(
                &asked,
                &Schedule::isothermal(air)?,
                by,
                quantity::temperature::celsius(0.0),
                quantity::temperature::celsius(40.0),
                cancel,
            );
            match found {
                Ok(n) => Some(n.temperature),
                Err(e) if e.kind() == ErrorKind::NoSolution => None,
                Err(e) => return Err(e.at("cure.demould_by")),
            }
        }
    };
    let cure = ZoneCure {
        layer: history.layer.clone(),
        laid: history.laid,
        schedule: way.whole.schedule().clone(),
        at_demould,
        ready: ready.map(clock),
        earliest: earliest.map(clock),
        sure: sure.map(clock),
        stops_at,
        needed,
        after_holds: way.holds.iter().map(|t| state(*t)).collect::<Result<_>>()?,
        softest: softest.above_glass,
        softest_at: clock(softest.at),
        in_use,
        why,
    };
    if !way.holds.is_empty() {
        all.measured.push(softness(zone, history, &softest));
    }
    if let Some(u) = &cure.in_use {
        all.measured.push(stiffness(zone, history, u));
    }
    if plan.demould.is_some() {
        all.findings.push(held_by(
            zone,
            &history.tags,
            &cure,
            timed.demould,
            &asked,
            "demould_criterion",
        ));
    }
    if let Some(by) = plan.demould_by {
        all.findings
            .push(held_by(zone, &history.tags, &cure, by, &asked, "demould_by"));
    }
    Ok(cure)
}

/// Whether a zone is ready to leave the mould by a time of the clock.
fn held_by(
    zone: &str,
    tags: &[String],
    cure: &ZoneCure,
    by: Clock,
    asked: &DemouldCriterion,
    limit: &str,
) -> Finding {
    let wait = cure.ready.map(|t| t.since(by));
    let measured = wait.map(|w| Measured::new(LimitQuantity::DemouldWait, zone, tags, w));
    let held = measured.as_ref().map(|m| m.held_in(None, Some(0.0)));
    let broken = held.as_ref().is_none_or(|h| h.broken);
    let way_out = match (&cure.ready, &cure.stops_at, cure.needed) {
        (_, _, Some(t)) if limit == "demould_by" => format!(
            "keep mould and air at {} from laying on{}",
            quantity::brief(t),
            cure.ready
                .map_or_else(String::new, |c| format!(", or wait until {}", c.foreseen()))
        ),
        (Some(c), _, _) => format!("wait until {}, or warm the mould", c.foreseen()),
        (None, Some(s), _) => format!(
            "waiting does not help, it vitrifies before: warm it to {} for {} and let it cool",
            quantity::brief(s.warm_to),
            quantity::brief(s.warm_for)
        ),
        _ => "neither waiting nor warmth helps: look at the dose".to_owned(),
    };
    Finding {
        limit: limit.to_owned(),
        quantity: LimitQuantity::DemouldWait,
        subject: zone.to_owned(),
        value: held.as_ref().map(|h| h.value.clone()),
        value_low: None,
        value_high: None,
        low: None,
        high: Some(QuantityText::of(Time::default())),
        margin: held.and_then(|h| h.margin),
        broken,
        severity: Severity::Warning,
        message: format!("by {by} it does not have what demoulding asks for: it bends, sticks or prints"),
        way_out,
        slip: None,
        set_aside: false,
        smallest_cure: None,
        no_cure: false,
        source: asked.source.clone(),
    }
}

/// Refuses a post-cure, a deadline or an air that can not be.
pub(super) fn agrees(job: &Job, timed: &Timetable) -> Result<()> {
    let casting = job.casting;
    if let Some(by) = casting.cure.demould_by {
        let last = timed
            .cups
            .iter()
            .copied()
            .reduce(|a, b| if b.since(a).si() > 0.0 { b } else { a });
        if let Some(last) = last.filter(|l| by.since(*l).si() <= 0.0) {
            return Err(Error::inconsistent(
                "cure.demould_by",
                by.to_string(),
                format!("after the last cup is mixed, at {last}"),
                "a part leaves the mould after it is made: the next morning is written like '09:30 +1 d'",
            ));
        }
    }
    if let Some(end) = casting.shop.day.last() {
        let needed = timed.demould;
        if end.at.since(needed).si() < 0.0 {
            return Err(Error::inconsistent(
                "shop.day",
                format!("ends at {}", end.at),
                format!("until the part is demoulded, at {needed}"),
                "give the air's temperature for the whole time in the mould: it is not extrapolated; the next morning is \
                 written like '08:30 +1 d'",
            ));
        }
    }
    Ok(())
}
