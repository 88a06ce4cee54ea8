//! What the plan measures, held against the limits; and the published rules that contradict each other.

use crate::noun::Noun;

use super::layout::{Act, Mix};
use super::steps::Timetable;
use super::{Caution, Cup, Job};
use crate::cure::gel_table::GelTime;
use crate::error::{Error, Result};
use crate::limit::{Finding, Limit, LimitQuantity, Limits, Measure, Severity};
use crate::material::{Class, Window, that_count};
use crate::mix::{Batch, MeasuredBy, Role};
use crate::quantity::{
    self, Length, Mass, MassFraction, Phr, Quantity, RelativeAmount, RelativeHumidity, TemperatureInterval,
    ThermodynamicTemperature, temperature,
};
use crate::source::{Source, Standing};

/// Published rules that contradict each other.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ConflictingRules {
    /// What they are about.
    pub about: String,
    /// All of them; the first is the one that the plan took.
    pub rules: Vec<Rule>,
}

/// One of the rules.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Rule {
    /// What it says.
    pub says: String,
    /// What follows from it for this plan.
    pub gives: Option<String>,
    /// On whose word: all that say the same.
    pub sources: Vec<Source>,
}

impl ConflictingRules {
    /// Rules that say the same are one rule on several words; rules that all say the same are no conflict.
    fn new(about: String, rules: impl IntoIterator<Item = Rule>) -> Option<Self> {
        let mut distinct: Vec<Rule> = Vec::new();
        for rule in rules {
            match distinct
                .iter_mut()
                .find(|r| r.says == rule.says && r.gives == rule.gives)
            {
                Some(same) => same.sources.extend(rule.sources),
                None => distinct.push(rule),
            }
        }
        (distinct.len() > 1).then_some(ConflictingRules {
            about,
            rules: distinct,
        })
    }
}

pub(super) struct Checked {
    pub(super) broken: Vec<Finding>,
    pub(super) kept: Vec<Finding>,
    pub(super) conflicts: Vec<ConflictingRules>,
    pub(super) cautions: Vec<Caution>,
}

pub(super) fn check(
    job: &Job,
    limits: &Limits,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    part: &super::part::PartAsMade,
) -> Result<Checked> {
    let mut limits = limits.clone();
    for mix in job.mixes.values() {
        add_windows(&mut limits, mix)?;
    }
    let mut measures = of_the_shop(job)?;
    for mix in job.mixes.values() {
        let mut acts: Vec<Act> = job
            .items
            .iter()
            .filter(|i| i.recipe == mix.name)
            .map(|i| i.act)
            .collect();
        acts.sort();
        acts.dedup();
        measures.extend(of_the_mix(mix, &acts, job.gel_time(mix.name))?);
    }
    measures.extend(of_the_layers(job)?);
    measures.extend(of_the_batches(job, cups, batches)?);
    measures.extend(part.measures.iter().cloned());
    for t in &timed.tack {
        measures.push(Measure::new(
            LimitQuantity::TackWindow,
            t.zone.clone(),
            &t.tags,
            t.waited,
        ));
    }
    let (mut broken, mut kept) = (Vec::new(), Vec::new());
    for m in &measures {
        for f in limits.check(m)? {
            if f.broken && !f.set_aside {
                broken.push(f)
            } else {
                kept.push(f)
            }
        }
    }
    soften_where_rules_conflict(&mut broken, &kept);
    for f in of_the_clock(job, timed) {
        if f.broken { broken.push(f) } else { kept.push(f) }
    }
    broken.extend(without_measure(job, cups));
    broken.sort_by_key(|f| std::cmp::Reverse(f.severity));
    Ok(Checked {
        broken,
        kept,
        conflicts: conflicts(job),
        cautions: super::cautions::cautions(job)?,
    })
}

/// A dose outside one published window and inside another of the same resin is worth knowing, no more.
pub(super) fn soften_where_rules_conflict(broken: &mut [Finding], kept: &[Finding]) {
    for f in broken.iter_mut().filter(|f| f.limit.contains(DOSE_WINDOW)) {
        let inside_another = kept
            .iter()
            .any(|k| !k.set_aside && k.subject == f.subject && k.limit.contains(DOSE_WINDOW));
        if inside_another {
            f.severity = Severity::Advice;
        }
    }
}

const DOSE_WINDOW: &str = ".dose_window[";

/// A resin's own dose windows, and a hardener's permitted error of the mix ratio, as limits.
pub(super) fn add_windows(limits: &mut Limits, mix: &Mix) -> Result<()> {
    let resin = mix.resin();
    let Some(cures_by) = mix.cures_by() else {
        return Ok(());
    };
    let (id, windows): (&str, &[Window<Phr>]) = match &cures_by.class {
        Class::Initiator(_) => (&resin.id, &resin.resin()?.dose_window),
        Class::Hardener(h) => (&cures_by.id, &h.mix_window),
        _ => return Ok(()),
    };
    for (i, w) in windows.iter().enumerate() {
        limits.add(Limit {
            id: format!("{id}{DOSE_WINDOW}{i}]"),
            quantity: LimitQuantity::CatalystDose,
            applies_to: vec![id.to_owned()],
            low: w.low.map(quantity::tagged),
            high: w.high.map(quantity::tagged),
            severity: if w.preferred {
                Severity::Advice
            } else {
                Severity::Warning
            },
            message: match &cures_by.class {
                Class::Hardener(_) => "off the mix ratio the part stays soft or turns brittle".to_owned(),
                _ => "too little catalyst may never cure, too much gels early, runs hot and cures brittle"
                    .to_owned(),
            },
            way_out: match &w.printed {
                Some(p) => format!("keep to the rule as printed: {p}"),
                None => "dose inside the window".to_owned(),
            },
            source: (*w.source).clone(),
        })?;
    }
    Ok(())
}

fn all_tags(job: &Job) -> Vec<String> {
    let mut tags: Vec<String> = job.mixes.values().flat_map(|m| m.tags.iter().cloned()).collect();
    tags.push(job.casting.mould.wall.clone());
    tags.sort();
    tags.dedup();
    tags
}

fn of_the_shop(job: &Job) -> Result<Vec<Measure>> {
    let shop = &job.casting.shop;
    let tags = all_tags(job);
    let above = TemperatureInterval::from_si(
        temperature::difference(shop.mould(), dew_point(shop.temperature, shop.humidity)?).si(),
    )?;
    Ok(vec![
        Measure::new(
            LimitQuantity::ShopTemperature,
            "air in the shop",
            &tags,
            shop.temperature,
        ),
        Measure::new(LimitQuantity::MouldTemperature, "mould", &tags, shop.mould()),
        Measure::new(
            LimitQuantity::ResinTemperature,
            "resin in the tin",
            &tags,
            shop.resin(),
        ),
        Measure::new(
            LimitQuantity::RelativeHumidity,
            "air in the shop",
            &tags,
            shop.humidity,
        ),
        Measure::new(LimitQuantity::AboveDewPoint, "mould", &tags, above),
    ])
}

/// Dew point of air: `gamma = ln(RH) + a t/(b + t)`, `t_d = b gamma/(a - gamma)` with `a = 17.625`,
/// `b = 243.04 degC` (O. A. Alduchov, R. E. Eskridge, Improved Magnus Form Approximation of Saturation Vapor
/// Pressure, J. Appl. Meteorol. 35:601, 1996), fitted from -40 to 50 degC within 0.4 % of the vapour pressure over
/// water, which is some 0.03 K of dew point.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for dry air (below 0.1 %), which has no dew point, and
/// for air colder than -40 or hotter than 60 degC.
pub fn dew_point(t: ThermodynamicTemperature, rh: RelativeHumidity) -> Result<ThermodynamicTemperature> {
    const A: f64 = 17.625;
    const B: f64 = 243.04;
    let c = temperature::to_celsius(t);
    if !(-40.0..=60.0).contains(&c) {
        return Err(Error::out_of_range(
            "temperature",
            quantity::show(t),
            "-40 degC to 60 degC",
            "give the temperature of the air in the shop",
        ));
    }
    if rh.get() < 1e-3 {
        return Err(Error::out_of_range(
            "humidity",
            quantity::show(rh),
            "0.1 % to 100 %",
            "quite dry air has no dew point: give what the hygrometer shows",
        ));
    }
    let gamma = rh.get().ln() + A * c / (B + c);
    Ok(temperature::celsius(B * gamma / (A - gamma)))
}

/// What a mix measures, for the acts that it is used in.
pub(super) fn of_the_mix(mix: &Mix, acts: &[Act], gel_time: Option<&GelTime>) -> Result<Vec<Measure>> {
    let mut tags = mix.tags.clone();
    tags.extend(acts.iter().map(|a| a.tag().to_owned()));
    let mut all = Vec::new();
    if let Some(dose) = &mix.unit.cure_dose {
        all.push(Measure::new(
            LimitQuantity::CatalystDose,
            mix.name,
            &tags,
            dose.by_mass.value,
        ));
    }
    let (mut fillers, mut pigment, mut chop) = (0.0, 0.0, 0.0);
    for ((role, material), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let phr = part.on_resin.get();
        match (&material.class, role) {
            (Class::Filler(f), _) => {
                fillers += phr;
                if f.shape == crate::material::Shape::Fibre {
                    chop += part.mass.si() / mix.unit.mass.si();
                }
            }
            (_, Role::Pigment) => pigment += phr,
            _ => {}
        }
    }
    for (quantity, phr) in [
        (LimitQuantity::SilicaLoading, mix.thickener()),
        (LimitQuantity::FillerLoading, fillers),
        (LimitQuantity::PigmentLoading, pigment),
    ] {
        if phr > 0.0 {
            all.push(Measure::new(quantity, mix.name, &tags, Phr::new(phr)?));
        }
    }
    if chop > 0.0 {
        all.push(Measure::new(
            LimitQuantity::ChopLoading,
            mix.name,
            &tags,
            MassFraction::new(chop)?,
        ));
    }
    if let Some(gel) = gel_time {
        all.push(Measure::new(LimitQuantity::GelTime, mix.name, &tags, gel.time));
    }
    Ok(all)
}

fn of_the_layers(job: &Job) -> Result<Vec<Measure>> {
    let mut all = Vec::new();
    for item in &job.items {
        let tags = job.mixes[item.recipe.as_str()].tags_for(item.act);
        let subject = format!("{} on {}", item.act.noun(), item.zone);
        if let Some(t) = item.thickness {
            let quantity = match item.act {
                Act::GelCoat => LimitQuantity::GelCoatWetThickness,
                Act::Laminate => LimitQuantity::SessionThickness,
                Act::Pour => LimitQuantity::PourThickness,
                Act::Insert | Act::Seam => continue,
            };
            all.push(Measure::new(quantity, subject.clone(), &tags, t));
        }
        if item.act == Act::Laminate {
            let glass: f64 = item.plies.iter().map(super::layout::Ply::glass).sum();
            let content = MassFraction::new(glass / (glass + item.net.si()))?;
            let mut tags = tags.clone();
            tags.extend(item.plies.iter().map(|p| p.material.clone()));
            for p in &item.plies {
                tags.push(job.catalogue.get(&p.material)?.reinforcement()?.form.to_string());
            }
            all.push(Measure::new(LimitQuantity::GlassContent, subject, &tags, content));
        }
    }
    for z in job.zone_summaries()? {
        if let Some(t) = z.thickness {
            all.push(Measure::new(
                LimitQuantity::WallThickness,
                z.zone,
                &all_tags(job),
                Length::from_si(t.si())?,
            ));
        }
    }
    Ok(all)
}

fn of_the_batches(job: &Job, cups: &[Cup], batches: &[Batch]) -> Result<Vec<Measure>> {
    let mut all = Vec::new();
    for (cup, batch) in cups.iter().zip(batches) {
        let tags = job.mixes[cup.recipe.as_str()].tags_for(cup.act);
        if let Some(gel) = job.gel_time(&cup.recipe) {
            let ratio = (cup.placing.si() + job.stirring().si()) / gel.time.si();
            all.push(Measure::new(
                LimitQuantity::BatchOverWorkingTime,
                cup.name.clone(),
                &tags,
                RelativeAmount::new(ratio)?,
            ));
        }
        all.extend(of_the_dose(&cup.name, &tags, batch)?);
    }
    Ok(all)
}

/// How well a batch's dose can be measured, and its size.
pub(super) fn of_the_dose(subject: &str, tags: &[String], batch: &Batch) -> Result<Vec<Measure>> {
    let mut all = vec![Measure::new(LimitQuantity::BatchMass, subject, tags, batch.mass)];
    if let Some(dose) = &batch.cure_dose {
        let mut tags = tags.to_vec();
        let by = batch.cure_part().map_or(MeasuredBy::Scale, |p| p.measured_by);
        tags.push(by.to_string());
        all.push(Measure::new(
            LimitQuantity::DoseUncertainty,
            subject,
            &tags,
            dose.uncertainty,
        ));
    }
    Ok(all)
}

/// The tack window, which the schedule knows and no data file can.
fn of_the_clock(job: &Job, timed: &Timetable) -> Vec<Finding> {
    let q = LimitQuantity::TackWindow;
    timed
        .tack
        .iter()
        .map(|t| {
            let margin = t.closes.si() - t.waited.si();
            Finding {
                limit: "tack_window".to_owned(),
                quantity: q,
                subject: t.zone.clone(),
                value: quantity::show(t.waited),
                bound: format!("at most {}", quantity::show(t.closes)),
                margin: q.show_difference(margin),
                broken: margin < 0.0,
                severity: Severity::Warning,
                message: "a gel coat left too long no longer bonds, and may lift before it is backed up"
                    .to_owned(),
                way_out: format!(
                    "abrade and wipe it before backing up, or start at another hour than {}",
                    job.casting.shop.start
                ),
                slip: None,
                set_aside: false,
                source: Source::of(
                    Standing::CommonPractice,
                    "backing up next morning is common; after a day the gel coat is abraded first",
                ),
            }
        })
        .collect()
}

/// Mixes of which nobody can say how long they stay workable.
fn without_measure(job: &Job, cups: &[Cup]) -> Vec<Finding> {
    let mut names: Vec<&str> = cups.iter().map(|c| c.recipe.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names
        .into_iter()
        .filter(|n| job.gel_time(n).is_none())
        .map(|n| no_gel_time(n, &job.mixes[n], job.no_gel_time.get(n)))
        .collect()
}

/// A mix of which nobody can say how long it stays workable, and why.
pub(super) fn no_gel_time(subject: &str, mix: &Mix, refused: Option<&Error>) -> Finding {
    let no_cure = mix.cures_by().is_none();
    Finding {
        limit: if no_cure {
            "nothing_cures_it"
        } else {
            "gel_time_unknown"
        }
        .to_owned(),
        quantity: LimitQuantity::GelTime,
        subject: subject.to_owned(),
        value: "unknown".to_owned(),
        bound: "known".to_owned(),
        margin: "none".to_owned(),
        broken: true,
        severity: if no_cure {
            Severity::Stop
        } else {
            Severity::Warning
        },
        message: match (no_cure, refused) {
            (true, _) => "the recipe has neither initiator nor hardener: it will stay wet".to_owned(),
            (false, Some(e)) => format!("far off the gel-time table: {e}"),
            (false, None) => format!(
                "'{}' has no gel-time table: its cups can not be sized to the time they stay workable",
                mix.resin().id
            ),
        },
        way_out: match (no_cure, refused) {
            (true, _) => "add the part that cures it",
            (false, Some(_)) => "bring dose and temperature near the table, or time a test cup",
            (false, None) => {
                "enter the data sheet's gel times (two points or more), or those of two test cups"
            }
        }
        .to_owned(),
        slip: None,
        set_aside: false,
        source: Source::of(Standing::CommonPractice, "a cup is used up well before it gels"),
    }
}

fn conflicts(job: &Job) -> Vec<ConflictingRules> {
    let mut all: Vec<ConflictingRules> = Vec::new();
    let mut add = |about: String, rules: Vec<Rule>| {
        if !all.iter().any(|c| c.about == about) {
            all.extend(ConflictingRules::new(about, rules));
        }
    };
    for item in &job.items {
        for ply in &item.plies {
            let glass = ply.areal_mass.si() * ply.area.si();
            let rules = ply.rules.iter().map(|r| {
                let ratio = (1.0 - r.value.get()) / r.value.get();
                let resin = Mass::new::<uom::si::mass::kilogram>(glass * ratio);
                Rule {
                    says: format!(
                        "{} of glass, resin to mat {ratio:.2} : 1 by mass",
                        quantity::show(r.value)
                    ),
                    gives: Some(format!(
                        "{} of resin for this ply on {}",
                        quantity::brief(resin),
                        item.zone
                    )),
                    sources: vec![(*r.source).clone()],
                }
            });
            add(
                format!("glass content of hand-laid {}", ply.name),
                rules.collect(),
            );
        }
    }
    for mix in job.mixes.values() {
        let Ok(resin) = mix.resin().resin() else { continue };
        if mix.cures_by().is_some_and(|m| m.initiator().is_ok()) {
            let windows = that_count(&resin.dose_window)
                .into_iter()
                .map(window_rule)
                .collect();
            add(format!("catalyst on {}", mix.resin().name), windows);
        }
        for (_, material) in &mix.materials {
            if let Class::Filler(f) = &material.class {
                let windows = that_count(&f.loading).into_iter().map(window_rule).collect();
                add(format!("loading of {}", material.name), windows);
            }
        }
    }
    all
}

fn window_rule(w: &Window<Phr>) -> Rule {
    let range = match (w.low, w.high) {
        (Some(l), Some(h)) => format!("{} to {}", quantity::show(l), quantity::show(h)),
        (Some(l), None) => format!("at least {}", quantity::show(l)),
        (None, Some(h)) => format!("at most {}", quantity::show(h)),
        (None, None) => "no bound".to_owned(),
    };
    Rule {
        says: match (&w.about, &w.printed) {
            (Some(a), _) => format!("{a}: {range}"),
            (None, Some(p)) => format!("{range} (printed: {p})"),
            (None, None) => range,
        },
        gives: None,
        sources: vec![(*w.source).clone()],
    }
}
