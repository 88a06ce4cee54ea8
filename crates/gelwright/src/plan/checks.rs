//! What the plan measures, held against the limits; and the published rules that contradict each other.

use crate::noun::Noun;

use super::dew_point::dew_point;
use super::job::{Cup, Job};
use super::layout::{Act, Mix};
use super::mould_face;
use super::steps::{HeldWindow, Timetable};
use super::windows::WindowKind;
use super::working_time::FarOff;
use crate::cure::gel_table::GelTime;
use crate::error::Result;
use crate::limit::{Finding, Limit, LimitQuantity, Limits, Measured, QuantityText, Severity};
use crate::material::{Class, Window, that_count};
use crate::mix::{Batch, MeasuredBy, Role};
use crate::quantity::{
    Length, Mass, MassFraction, Phr, Quantity, RelativeAmount, TemperatureInterval, temperature,
};
use crate::source::{Property, Source, Standing};

/// Published rules that contradict each other.
#[derive(Clone, PartialEq, Noun)]
pub struct ConflictingRules {
    /// What they are about.
    pub about: String,
    /// The zone whose ply shows what follows from them, where something does.
    pub zone: Option<String>,
    /// All of them; the first is the one that the plan took.
    pub rules: Vec<Rule>,
}

/// One of the rules.
#[derive(Clone, PartialEq, Noun)]
pub struct Rule {
    /// What it is for ("by brush"), where it says so.
    pub about: Option<String>,
    /// Not below; of a rule that names one value, that value.
    pub low: Option<QuantityText>,
    /// Not above; of a rule that names one value, that value.
    pub high: Option<QuantityText>,
    /// As its source prints it, where that had to be converted.
    pub printed: Option<String>,
    /// The resin for one ply that follows from it.
    pub resin: Option<Mass>,
    /// On whose word: all that say the same.
    pub sources: Vec<Source>,
}

impl Rule {
    fn says_as(&self, other: &Rule) -> bool {
        let printed = |r: &Rule| r.printed.clone().filter(|_| r.about.is_none());
        self.about == other.about
            && self.low == other.low
            && self.high == other.high
            && self.resin == other.resin
            && printed(self) == printed(other)
    }
}

impl ConflictingRules {
    /// Rules that say the same are one rule on several words; rules that all say the same are no conflict.
    fn new(about: String, zone: Option<String>, rules: impl IntoIterator<Item = Rule>) -> Option<Self> {
        let mut distinct: Vec<Rule> = Vec::new();
        for rule in rules {
            match distinct.iter_mut().find(|r| r.says_as(&rule)) {
                Some(same) => same.sources.extend(rule.sources),
                None => distinct.push(rule),
            }
        }
        (distinct.len() > 1).then_some(ConflictingRules {
            about,
            zone,
            rules: distinct,
        })
    }
}

pub(super) struct Checked {
    pub(super) broken: Vec<Finding>,
    pub(super) kept: Vec<Finding>,
}

pub(super) fn check(
    job: &Job,
    limits: &Limits,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    measured: Vec<Measured>,
    findings: Vec<Finding>,
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
    measures.extend(mould_face::release_coats(job)?);
    measures.extend(of_the_layers(job)?);
    measures.extend(of_the_batches(job, cups, batches)?);
    measures.extend(measured);
    for w in &timed.windows {
        measures.push(Measured::new(
            quantity(w.kind),
            w.subject.clone(),
            &w.tags,
            w.waited,
        ));
    }
    let (mut broken, mut kept) = hold(&limits, &measures)?;
    for f in of_the_clock(timed).into_iter().chain(findings) {
        if f.broken { broken.push(f) } else { kept.push(f) }
    }
    broken.extend(without_measure(job, cups));
    broken.extend(mould_face::open_pores(job)?);
    broken.sort_by_key(|f| std::cmp::Reverse(f.severity));
    Ok(Checked { broken, kept })
}

/// What breaks a limit, and what keeps it or is set aside.
pub(super) fn hold(limits: &Limits, measures: &[Measured]) -> Result<(Vec<Finding>, Vec<Finding>)> {
    let (mut broken, mut kept) = (Vec::new(), Vec::new());
    for m in measures {
        for f in limits.check(m)? {
            if f.broken && !f.set_aside {
                broken.push(f)
            } else {
                kept.push(f)
            }
        }
    }
    soften_where_rules_conflict(&mut broken, &kept);
    Ok((broken, kept))
}

/// A dose outside one published window and inside another of the same resin is worth knowing, no more.
fn soften_where_rules_conflict(broken: &mut [Finding], kept: &[Finding]) {
    for f in broken.iter_mut().filter(|f| f.limit.contains(DOSE_WINDOW)) {
        let inside_another = kept
            .iter()
            .any(|k| !k.set_aside && k.subject == f.subject && k.limit.contains(DOSE_WINDOW));
        if inside_another {
            f.severity = Severity::Advice;
        }
    }
}

/// In the name of a limit that is a resin's own dose window.
pub(crate) const DOSE_WINDOW: &str = ".dose_window[";

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
            method: None,
            low: w.low.map(QuantityText::of),
            high: w.high.map(QuantityText::of),
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
    tags.extend(job.items.iter().filter_map(|i| Some(i.applied?.tag().to_owned())));
    tags.sort();
    tags.dedup();
    tags
}

fn of_the_shop(job: &Job) -> Result<Vec<Measured>> {
    let shop = &job.casting.shop;
    let tags = all_tags(job);
    let above = TemperatureInterval::from_si(
        temperature::difference(shop.mould(), dew_point(shop.temperature, shop.humidity)?).si(),
    )?;
    Ok(vec![
        Measured::new(
            LimitQuantity::ShopTemperature,
            "air in the shop",
            &tags,
            shop.temperature,
        ),
        Measured::new(LimitQuantity::MouldTemperature, "mould", &tags, shop.mould()),
        Measured::new(
            LimitQuantity::ResinTemperature,
            "resin in the tin",
            &tags,
            shop.resin(),
        ),
        Measured::new(
            LimitQuantity::RelativeHumidity,
            "air in the shop",
            &tags,
            shop.humidity,
        ),
        Measured::new(LimitQuantity::AboveDewPoint, "mould", &tags, above),
    ])
}

/// What a mix measures, for the acts that it is used in.
pub(super) fn of_the_mix(mix: &Mix, acts: &[Act], gel_time: Option<&GelTime>) -> Result<Vec<Measured>> {
    let mut tags = mix.tags.clone();
    tags.extend(acts.iter().map(|a| a.tag().to_owned()));
    let mut all = Vec::new();
    if let Some(dose) = &mix.unit.cure_dose {
        all.push(Measured::new(
            LimitQuantity::CatalystDose,
            mix.name,
            &tags,
            dose.by_mass.value,
        ));
    }
    let (mut fillers, mut pigment, mut chop) = (0.0, 0.0, 0.0);
    for ((role, material), part) in mix.materials.iter().zip(&mix.unit.parts) {
        if *role == Role::Solvent {
            let subject = format!("{} in {}", material.name, mix.name);
            let of = std::slice::from_ref(&material.id);
            all.push(Measured::new(
                LimitQuantity::ThinnerLoading,
                subject,
                of,
                part.on_resin,
            ));
        }
    }
    for ((role, material), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let phr = part.on_resin.get();
        match (&material.class, role) {
            (Class::Filler(f), _) => {
                fillers += phr;
                if f.shape == crate::material::ParticleShape::Fibre {
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
            all.push(Measured::new(quantity, mix.name, &tags, Phr::new(phr)?));
        }
    }
    if chop > 0.0 {
        all.push(Measured::new(
            LimitQuantity::ChopLoading,
            mix.name,
            &tags,
            MassFraction::new(chop)?,
        ));
    }
    if let Some(gel) = gel_time {
        all.push(Measured::new(LimitQuantity::GelTime, mix.name, &tags, gel.time));
    }
    Ok(all)
}

fn of_the_layers(job: &Job) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for item in &job.items {
        let mut tags = job.mixes[item.recipe.as_str()].tags_for(item.act);
        tags.extend(item.applied.map(|a| a.tag().to_owned()));
        let subject = format!("{} on {}", item.act.noun(), item.zone);
        if let Some(t) = item.thickness {
            let quantity = match item.act {
                Act::GelCoat => LimitQuantity::GelCoatWetThickness,
                Act::Laminate => LimitQuantity::SessionThickness,
                Act::Pour => LimitQuantity::PourThickness,
                Act::Insert | Act::Seam => continue,
            };
            all.push(Measured::new(quantity, subject.clone(), &tags, t));
        }
        if item.act == Act::Laminate {
            let glass: f64 = item.plies.iter().map(super::layout::Ply::glass).sum();
            let content = MassFraction::new(glass / (glass + item.net.si()))?;
            let mut tags = tags.clone();
            tags.extend(item.plies.iter().map(|p| p.material.clone()));
            for p in &item.plies {
                tags.push(job.catalogue.get(&p.material)?.reinforcement()?.form.to_string());
            }
            all.push(Measured::new(
                LimitQuantity::GlassContent,
                subject,
                &tags,
                content,
            ));
        }
    }
    for z in job.zones()? {
        if let Some(t) = z.cured_thickness {
            all.push(Measured::new(
                LimitQuantity::WallThickness,
                z.zone,
                &all_tags(job),
                Length::from_si(t.si())?,
            ));
        }
    }
    Ok(all)
}

fn of_the_batches(job: &Job, cups: &[Cup], batches: &[Batch]) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for (cup, batch) in cups.iter().zip(batches) {
        let tags = job.mixes[cup.recipe.as_str()].tags_for(cup.act);
        if let Some(gel) = job.gel_time(&cup.recipe) {
            let ratio = (cup.placing.si() + job.stirring().si()) / gel.time.si();
            all.push(Measured::new(
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
pub(super) fn of_the_dose(subject: &str, tags: &[String], batch: &Batch) -> Result<Vec<Measured>> {
    let mut all = vec![Measured::new(LimitQuantity::BatchMass, subject, tags, batch.mass)];
    if let Some(dose) = &batch.cure_dose {
        let mut tags = tags.to_vec();
        let by = batch.cure_part().map_or(MeasuredBy::Scale, |p| p.measured_by);
        tags.push(by.to_string());
        all.push(Measured::new(
            LimitQuantity::DoseUncertainty,
            subject,
            &tags,
            dose.uncertainty,
        ));
    }
    Ok(all)
}

/// The windows of the day, which the schedule knows and no data file can.
fn of_the_clock(timed: &Timetable) -> Vec<Finding> {
    timed.windows.iter().map(of_the_window).collect()
}

fn quantity(kind: WindowKind) -> LimitQuantity {
    match kind {
        WindowKind::BackUp => LimitQuantity::TackWindow,
        WindowKind::GreenTrim => LimitQuantity::GreenTrim,
        WindowKind::OpenTime => LimitQuantity::OpenTime,
    }
}

fn of_the_window(w: &HeldWindow) -> Finding {
    let (limit, severity, message, way_out) = match w.kind {
        WindowKind::BackUp => (
            "tack_window",
            Severity::Warning,
            "a gel coat left too long no longer bonds, and may lift before it is backed up",
            "abrade and wipe it before backing up, or start at another hour",
        ),
        WindowKind::GreenTrim => (
            "green_trim",
            Severity::Advice,
            "a laminate that has gone hard no longer cuts with a knife",
            "saw and sand its edge, with the dust taken off where it is made",
        ),
        WindowKind::OpenTime => (
            "open_time",
            Severity::Warning,
            "paste that drags or has gelled is not squeezed out: the joint stays thick and does not bond",
            "mix the paste last with everything lying ready, or a slower mix of it",
        ),
    };
    let measured = Measured::new(quantity(w.kind), w.subject.clone(), &w.tags, w.waited);
    let held = measured.held_in(None, Some(w.closes.si()));
    Finding {
        limit: limit.to_owned(),
        quantity: measured.quantity,
        subject: measured.subject,
        value: Some(held.value),
        value_low: None,
        value_high: None,
        low: held.low,
        high: held.high,
        margin: held.margin,
        broken: held.broken,
        severity,
        message: message.to_owned(),
        way_out: way_out.to_owned(),
        slip: None,
        set_aside: false,
        source: Source::of(
            Standing::CommonPractice,
            "backing up next morning is common, after a day the gel coat is abraded first; a laminate is trimmed while it is \
             green; a joint is closed while its paste is liquid",
        ),
    }
}

/// Mixes of which nobody can say how long they stay workable.
fn without_measure(job: &Job, cups: &[Cup]) -> Vec<Finding> {
    let mut names: Vec<&str> = cups.iter().map(|c| c.recipe.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names
        .into_iter()
        .filter(|n| job.gel_time(n).is_none())
        .map(|n| no_gel_time(n, &job.mixes[n], job.far_off.get(n)))
        .collect()
}

/// The limit's name of such a finding. Its value may be a dose or a temperature, of which other limits speak, too.
pub(crate) const GEL_TIME_UNKNOWN: &str = "gel_time_unknown";
/// The limit's name where a recipe has nothing that cures it.
pub(crate) const NOTHING_CURES: &str = "nothing_cures_it";

/// A mix of which nobody can say how long it stays workable, and why.
pub(super) fn no_gel_time(subject: &str, mix: &Mix, far_off: Option<&FarOff>) -> Finding {
    let held = far_off.map(|off| {
        (
            off.measured.quantity,
            off.measured.held_in(Some(off.low), Some(off.high)),
        )
    });
    let (limit, severity, message, way_out) = match (mix.cures_by(), &held) {
        (None, _) => (
            NOTHING_CURES,
            Severity::Stop,
            "the recipe has neither initiator nor hardener: it will stay wet",
            "add the part that cures it",
        ),
        (Some(_), Some(_)) => (
            GEL_TIME_UNKNOWN,
            Severity::Warning,
            "so far off the gel-time table that it does not tell how long the mix stays workable",
            "bring dose and temperature near the table, or time a test cup",
        ),
        (Some(_), None) => (
            GEL_TIME_UNKNOWN,
            Severity::Warning,
            "the resin has no gel-time table: its cups can not be sized to the time they stay workable",
            "enter the data sheet's gel times (two points or more), or those of two test cups",
        ),
    };
    let (quantity, held) = match held {
        Some((quantity, held)) => (quantity, Some(held)),
        None => (LimitQuantity::GelTime, None),
    };
    let (value, low, high, margin) = held.map_or((None, None, None, None), |h| {
        (Some(h.value), h.low, h.high, h.margin)
    });
    Finding {
        limit: limit.to_owned(),
        quantity,
        subject: subject.to_owned(),
        value,
        value_low: None,
        value_high: None,
        low,
        high,
        margin,
        broken: true,
        severity,
        message: message.to_owned(),
        way_out: way_out.to_owned(),
        slip: None,
        set_aside: false,
        source: Source::of(Standing::CommonPractice, "a cup is used up well before it gels"),
    }
}

/// Published rules that contradict each other where this plan had to take one.
pub(super) fn conflicts(job: &Job) -> Vec<ConflictingRules> {
    let mut all: Vec<ConflictingRules> = Vec::new();
    let mut add = |about: String, zone: Option<String>, rules: Vec<Rule>| {
        if !all.iter().any(|c| c.about == about) {
            all.extend(ConflictingRules::new(about, zone, rules));
        }
    };
    for item in &job.items {
        for ply in &item.plies {
            let about = format!("glass content of hand-laid {}", ply.name);
            let rules = ply.rules.iter().map(|r| glass_rule(r, ply.glass()));
            add(about, Some(item.zone.clone()), rules.collect());
        }
    }
    for mix in job.mixes.values() {
        let Ok(resin) = mix.resin().resin() else { continue };
        if mix.cures_by().is_some_and(|m| m.initiator().is_ok()) {
            let windows = that_count(&resin.dose_window)
                .into_iter()
                .map(window_rule)
                .collect();
            add(format!("catalyst on {}", mix.resin().name), None, windows);
        }
        for (_, material) in &mix.materials {
            if let Class::Filler(f) = &material.class {
                let windows = that_count(&f.loading).into_iter().map(window_rule).collect();
                add(format!("loading of {}", material.name), None, windows);
            }
        }
    }
    all
}

/// A glass content, and the resin that follows from it for a ply of so many kilograms of glass.
fn glass_rule(r: &Property<MassFraction>, glass: f64) -> Rule {
    let ratio = (1.0 - r.value.get()) / r.value.get();
    Rule {
        about: None,
        low: Some(QuantityText::of(r.value)),
        high: Some(QuantityText::of(r.value)),
        printed: None,
        resin: Some(Mass::new::<uom::si::mass::kilogram>(glass * ratio)),
        sources: vec![(*r.source).clone()],
    }
}

fn window_rule(w: &Window<Phr>) -> Rule {
    Rule {
        about: w.about.clone(),
        low: w.low.map(QuantityText::of),
        high: w.high.map(QuantityText::of),
        printed: w.printed.clone(),
        resin: None,
        sources: vec![(*w.source).clone()],
    }
}
