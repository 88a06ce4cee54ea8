//! What the plan measures, held against the limits; and the published rules that contradict each other.

use crate::noun::Noun;

use super::dew_point::dew_point;
use super::hang;
use super::hardener_heat;
use super::job::{Cup, Job, Wanted};
use super::layout::{Act, Item, Mix, Ply};
use super::mould_face;
use super::solid::chop_of;
use super::steps::{HeldWindow, Timetable};
use super::windows::WindowKind;
use super::working_time::FarOff;
use crate::cure::gel_table::GelTime;
use crate::error::Result;
use crate::limit::{
    Finding, GEL_TIME_UNKNOWN, Limit, LimitQuantity, Limits, Measured, NOTHING_CURES, Protects, QuantityText,
    Severity,
};
use crate::material::{Class, Family, Window, that_count};
use crate::mix::polyurethane::foaming;
use crate::mix::{Batch, Bench, CureDose, Dropper, MeasuredBy, Role};
use crate::quantity::{
    Length, Mass, MassFraction, Phr, Pressure, Quantity, RelativeAmount, RelativeHumidity, RelativeSpread,
    TemperatureInterval, ThermodynamicTemperature, VolumeFraction, temperature,
};
use crate::source::{Property, Source, Standing};

/// Published rules that contradict each other.
#[derive(Clone, PartialEq, Noun)]
pub struct ConflictingRules {
    /// What they are about.
    pub about: String,
    /// The zone whose ply shows what follows from them, where something does.
    pub zone: Option<String>,
    /// All of them; the first is the one that the plan took or judged.
    pub rules: Vec<Rule>,
}

/// One of the rules.
#[derive(Clone, PartialEq, Noun)]
pub struct Rule {
    /// What it is for ("by brush"), where it says so.
    pub about: Option<String>,
    /// What it bounds, of a rule that is a limit.
    pub quantity: Option<LimitQuantity>,
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
    /// Rules for one thing of which one was judged.
    pub(super) conflicts: Vec<ConflictingRules>,
    /// The casting's own limits that nothing in it measures.
    pub(super) unmeasured: Vec<String>,
}

pub(super) fn check(
    job: &Job,
    limits: &Limits,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    measured: Vec<Measured>,
    findings: Vec<Finding>,
    wanted: Wanted,
) -> Result<Checked> {
    let mut limits = limits.clone();
    for mix in job.mixes.values() {
        add_windows(&mut limits, mix)?;
    }
    for item in job.items.iter().filter(|i| i.act == Act::GelCoat) {
        add_elongation(&mut limits, &job.mixes[item.recipe.as_str()])?;
    }
    let mut measures = of_the_shop(job, timed)?;
    for mix in job.mixes.values() {
        let mut acts: Vec<Act> = job
            .items
            .iter()
            .filter(|i| i.recipe == mix.name)
            .map(|i| i.act)
            .collect();
        acts.sort();
        acts.dedup();
        let tags = job.tags_of_recipe(mix.name, &acts);
        measures.extend(of_the_mix(mix, &tags, job.gel_time(mix.name))?);
    }
    measures.extend(of_the_mould_time(job)?);
    measures.extend(hardener_heat::peaks(job)?);
    measures.extend(mould_face::release_coats(job)?);
    measures.extend(of_the_layers(job)?);
    measures.extend(of_the_batches(job, cups, batches)?);
    measures.extend(measured);
    measures.extend(timed.windows.iter().map(waited));
    let (mut broken, mut kept) = hold(&limits, &measures, wanted)?;
    let conflicts = contradictions(&limits, &measures);
    let own = job.casting.limit.iter().filter_map(|l| l.get("id")?.as_str());
    let unmeasured = own
        .filter(|id| !broken.iter().chain(&kept).any(|f| f.limit == *id))
        .map(str::to_owned)
        .collect();
    for f in timed.windows.iter().map(of_the_window).chain(findings) {
        if f.broken { broken.push(f) } else { kept.push(f) }
    }
    broken.extend(without_measure(job, cups));
    broken.extend(mould_face::open_pores(job)?);
    broken.extend(hang::by_bond_alone(job.casting));
    broken.sort_by_key(|f| std::cmp::Reverse(f.severity));
    Ok(Checked {
        broken,
        kept,
        conflicts,
        unmeasured,
    })
}

/// Rules for one thing that differ, the judged one first. A resin's dose windows are told with its recipe.
fn contradictions(limits: &Limits, measures: &[Measured]) -> Vec<ConflictingRules> {
    let rule = |l: &Limit| Rule {
        about: Some(l.quantity.noun().to_owned()),
        quantity: Some(l.quantity),
        low: l.low.clone(),
        high: l.high.clone(),
        printed: None,
        resin: None,
        sources: vec![l.source.clone()],
    };
    limits
        .contradictions(measures)
        .into_iter()
        .filter(|(_, rules)| rules.iter().all(|l| !l.id.contains(DOSE_WINDOW)))
        .filter_map(|(about, rules)| {
            ConflictingRules::new(about.to_owned(), None, rules.into_iter().map(rule))
        })
        .collect()
}

/// What breaks a limit, and, where it is to be told, what keeps it or is set aside.
pub(super) fn hold(
    limits: &Limits,
    measures: &[Measured],
    wanted: Wanted,
) -> Result<(Vec<Finding>, Vec<Finding>)> {
    let (mut broken, mut kept) = (Vec::new(), Vec::new());
    let findings = match wanted {
        Wanted::Told => limits.check_all(measures)?,
        Wanted::Judged => limits.broken_of_all(measures)?,
    };
    for f in findings {
        if f.broken && !f.set_aside {
            broken.push(f)
        } else {
            kept.push(f)
        }
    }
    Ok((broken, kept))
}

/// In the name of a limit that is a resin's own dose window.
const DOSE_WINDOW: &str = ".dose_window[";

/// A resin's own dose windows, and a hardener's permitted error of the mix ratio, as limits.
pub(super) fn add_windows(limits: &mut Limits, mix: &Mix) -> Result<()> {
    let Some(cures_by) = mix.cures_by() else {
        return Ok(());
    };
    let (id, windows) = mix.dose_windows()?;
    for (i, w) in windows.iter().enumerate() {
        limits.add(Limit {
            id: format!("{id}{DOSE_WINDOW}{i}]"),
            quantity: LimitQuantity::CatalystDose,
            applies_to: vec![id.to_owned()],
            method: None,
            about: Some(format!(
                "{} dose of {id}",
                if w.preferred { "best" } else { "permitted" }
            )),
            rank: None,
            protects: Protects::Part,
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

/// A gel coat's own elongation at break as the limit of its strain; the low end of it.
fn add_elongation(limits: &mut Limits, mix: &Mix) -> Result<()> {
    let coat = mix.resin();
    let Some(elongation) = &coat.resin()?.elongation else {
        return Ok(());
    };
    limits.add(Limit {
        id: format!("{}.elongation", coat.id),
        quantity: LimitQuantity::GelCoatStrain,
        applies_to: vec![coat.id.clone()],
        method: None,
        about: Some(format!("strain of {}", coat.name)),
        rank: None,
        protects: Protects::Part,
        low: None,
        high: Some(QuantityText::of(elongation.range.map_or(elongation.value, |r| r.0))),
        severity: Severity::Warning,
        message: "stretched to its elongation at break the gel coat crazes".to_owned(),
        way_out: "wedge it off evenly, wait longer, or release the mould better; a wedge test on a released patch tells how \
                  firmly it sticks"
            .to_owned(),
        source: (*elongation.source).clone(),
    })
}

fn all_tags(job: &Job) -> Vec<String> {
    let mut tags: Vec<String> = job.mixes.values().flat_map(|m| m.tags.iter().cloned()).collect();
    tags.push(job.casting.mould.wall.clone());
    tags.extend(job.items.iter().flat_map(Item::method_tags));
    tags.sort();
    tags.dedup();
    tags
}

/// The air while the mould's face is open: its humidity and its dew point, each at the hour at which it is worst, that hour in words.
/// That of the day's work, where the shop gives no humidity over the hours.
struct OpenAir {
    humidity: (RelativeHumidity, String),
    dew_point: (ThermodynamicTemperature, String),
}

fn open_air(job: &Job, timed: &Timetable) -> Result<OpenAir> {
    let shop = &job.casting.shop;
    let mut worst = OpenAir {
        humidity: (shop.humidity, String::new()),
        dew_point: (dew_point(shop.temperature, shop.humidity)?, String::new()),
    };
    let open: Vec<_> = timed.steps.iter().filter(|s| s.work.opens_the_face()).collect();
    let (Some(first), Some(last)) = (open.first(), open.last()) else {
        return Ok(worst);
    };
    if shop.day.iter().all(|a| a.humidity.is_none()) {
        return Ok(worst);
    }
    let (from, to) = (first.start, timed.closed.unwrap_or(last.end));
    let between = shop.day.iter().map(|a| a.at);
    let between = between.filter(|t| t.since(from).si() > 0.0 && to.since(*t).si() > 0.0);
    let mut told = false;
    let mut hours: Vec<_> = std::iter::once(from).chain(between).chain([to]).collect();
    hours.dedup_by(|a, b| a.since(*b).si() == 0.0);
    // Within a step the air is moistest at one of its ends.
    for (i, at) in hours.iter().enumerate() {
        let before = i.checked_sub(1).map(|i| shop.humidity_at(hours[i]));
        for rh in before.into_iter().chain([shop.humidity_at(*at)]) {
            let dew = dew_point(shop.air_at(*at), rh)?;
            if !told || rh.get() > worst.humidity.0.get() {
                worst.humidity = (rh, format!(" at {at}"));
            }
            if !told || temperature::difference(dew, worst.dew_point.0).si() > 0.0 {
                worst.dew_point = (dew, format!(" at {at}"));
            }
            told = true;
        }
    }
    Ok(worst)
}

fn of_the_shop(job: &Job, timed: &Timetable) -> Result<Vec<Measured>> {
    let shop = &job.casting.shop;
    let tags = all_tags(job);
    let air = open_air(job, timed)?;
    let above = TemperatureInterval::from_si(temperature::difference(shop.mould(), air.dew_point.0).si())?;
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
            format!("air in the shop{}", air.humidity.1),
            &tags,
            air.humidity.0,
        ),
        Measured::new(
            LimitQuantity::AboveDewPoint,
            format!("mould{}", air.dew_point.1),
            &tags,
            above,
        ),
    ])
}

/// What a mix measures; `tags` name the acts and methods that it is used by, too.
pub(super) fn of_the_mix(mix: &Mix, tags: &[String], gel_time: Option<&GelTime>) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    if let Some(dose) = &mix.unit.cure_dose {
        all.push(Measured::new(
            LimitQuantity::CatalystDose,
            mix.name,
            tags,
            dose.by_mass.value,
        ));
    }
    let (mut fillers, mut pigment, mut chop, mut solids) = (0.0, 0.0, 0.0, 0.0);
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
        let phr = part.on_resin.get();
        match (&material.class, role) {
            (Class::Filler(f), _) => {
                fillers += phr;
                solids += part.volume.si() / mix.unit.volume.si();
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
            all.push(Measured::new(quantity, mix.name, tags, Phr::new(phr)?));
        }
    }
    if chop > 0.0 {
        all.push(Measured::new(
            LimitQuantity::ChopLoading,
            mix.name,
            tags,
            MassFraction::new(chop)?,
        ));
    }
    if let Some(chop) = chop_of(mix)? {
        let jams_at = chop.bundle.packing()?.packing;
        all.push(Measured::new(
            LimitQuantity::ChopOverPacking,
            mix.name,
            tags,
            RelativeAmount::new(chop.volume.get() / jams_at.get())?,
        ));
    }
    if solids > 0.0 {
        let by_volume = VolumeFraction::new(solids)?;
        all.push(Measured::new(
            LimitQuantity::FillerVolume,
            mix.name,
            tags,
            by_volume,
        ));
    }
    if let Some(growth) = foam(mix)? {
        all.push(Measured::new(LimitQuantity::FoamGrowth, mix.name, tags, growth));
    }
    if let Some(gel) = gel_time {
        all.push(Measured::new(LimitQuantity::GelTime, mix.name, tags, gel.time));
    }
    Ok(all)
}

/// How far the carbon dioxide from the water of polyol and fillers would blow a polyurethane up; nothing of another resin.
fn foam(mix: &Mix) -> Result<Option<RelativeAmount>> {
    if mix.resin().resin()?.family != Family::Polyol {
        return Ok(None);
    }
    let water: f64 = mix
        .materials
        .iter()
        .zip(&mix.unit.parts)
        .filter_map(|((_, m), part)| {
            let share = match &m.class {
                Class::Resin(r) => r.water.as_ref(),
                Class::Filler(f) => f.moisture.as_ref(),
                _ => None,
            };
            share.map(|w| w.value.get() * part.mass.si())
        })
        .sum();
    let (at, air) = (
        temperature::celsius(23.0),
        Pressure::new::<uom::si::pressure::pascal>(crate::constants::ATMOSPHERE),
    );
    Ok(Some(
        foaming(Mass::from_si(water)?, mix.unit.volume, at, air)?.growth,
    ))
}

/// How long a part stays in the mould, over what its hardener's sheet says it takes to be pulled.
fn of_the_mould_time(job: &Job) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for mix in job
        .mixes
        .values()
        .filter(|m| job.items.iter().any(|i| i.recipe == m.name))
    {
        let sheet = mix
            .cures_by()
            .and_then(|m| m.hardener().ok())
            .and_then(|h| h.demould.as_ref());
        let Some(sheet) = sheet else { continue };
        let over = RelativeAmount::new(job.casting.cure.in_mould.si() / sheet.value.si())?;
        all.push(Measured::new(
            LimitQuantity::DemouldSheet,
            mix.name,
            &mix.tags,
            over,
        ));
    }
    Ok(all)
}

fn of_the_layers(job: &Job) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for item in &job.items {
        let mut tags = job.mixes[item.recipe.as_str()].tags_for(item.act);
        tags.extend(item.method_tags());
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
            all.extend(of_the_plies(job, item, &tags, &subject)?);
        }
    }
    for zone in &job.casting.zones {
        let coats: Vec<&Item> = job
            .items_of(&zone.name)
            .filter(|i| i.act == Act::GelCoat)
            .collect();
        let Some(first) = coats.first() else { continue };
        let mut tags = job.mixes[first.recipe.as_str()].tags_for(Act::GelCoat);
        tags.extend(coats.iter().flat_map(|i| i.method_tags()));
        let film: f64 = coats.iter().filter_map(|i| i.thickness).map(Quantity::si).sum();
        all.push(Measured::new(
            LimitQuantity::GelCoatFilm,
            format!("gel coat on {}", zone.name),
            &tags,
            Length::from_si(film)?,
        ));
    }
    let tags = all_tags(job);
    for z in job.zones()? {
        if let Some(t) = z.cured_thickness {
            all.push(Measured::new(LimitQuantity::WallThickness, z.zone, &tags, t));
        }
    }
    Ok(all)
}

/// The glass content of the plies of each form.
fn of_the_plies(job: &Job, item: &Item, tags: &[String], subject: &str) -> Result<Vec<Measured>> {
    let mut forms: Vec<(String, Vec<&Ply>)> = Vec::new();
    for ply in &item.plies {
        let form = job
            .catalogue
            .get(&ply.material)?
            .reinforcement()?
            .form
            .to_string();
        match forms.iter_mut().find(|f| f.0 == form) {
            Some((_, plies)) => plies.push(ply),
            None => forms.push((form, vec![ply])),
        }
    }
    forms
        .into_iter()
        .map(|(form, plies)| {
            let glass: f64 = plies.iter().map(|p| p.glass()).sum();
            let resin: f64 = plies.iter().map(|p| p.resin()).sum();
            let mut tags = tags.to_vec();
            tags.extend(plies.iter().map(|p| p.material.clone()));
            tags.push(form);
            let content = MassFraction::new(glass / (glass + resin))?;
            Ok(Measured::new(
                LimitQuantity::GlassContent,
                subject,
                &tags,
                content,
            ))
        })
        .collect()
}

fn of_the_batches(job: &Job, cups: &[Cup], batches: &[Batch]) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for (cup, batch) in cups.iter().zip(batches) {
        let tags = job.tags_of_recipe(&cup.recipe, &[cup.act]);
        if let Some(gel) = job.gel_time(&cup.recipe) {
            let ratio = (cup.placing.si() + job.stirring().si()) / gel.time.si();
            all.push(Measured::new(
                LimitQuantity::BatchOverWorkingTime,
                cup.name.clone(),
                &tags,
                RelativeAmount::new(ratio)?,
            ));
        }
        all.extend(of_the_dose(&cup.name, &tags, batch, &job.casting.shop.bench)?);
    }
    Ok(all)
}

/// How well a batch's dose can be measured, and its size.
pub(super) fn of_the_dose(
    subject: &str,
    tags: &[String],
    batch: &Batch,
    bench: &Bench,
) -> Result<Vec<Measured>> {
    let mut all = vec![Measured::new(LimitQuantity::BatchMass, subject, tags, batch.mass)];
    if let Some(dose) = &batch.cure_dose {
        let mut tags = tags.to_vec();
        let by = batch.cure_part().map_or(MeasuredBy::Scale, |p| p.measured_by);
        tags.push(by.to_string());
        all.push(Measured::new(
            LimitQuantity::DoseUncertainty,
            subject,
            &tags,
            printed_range(dose)?,
        ));
        if let Some(drop) = drop_over_step(batch, bench)? {
            all.push(Measured::new(
                LimitQuantity::DropOverScaleStep,
                subject,
                &tags,
                drop,
            ));
        }
    }
    Ok(all)
}

/// How far a dose may be off: the farther end of its 95 % range, as the card prints it, over the dose.
fn printed_range(dose: &CureDose) -> Result<RelativeSpread> {
    let Some(value) = Some(dose.by_mass.value.get()).filter(|v| *v > 0.0) else {
        return Ok(RelativeSpread::ZERO);
    };
    let (low, high) = (dose.by_mass.low.get(), dose.by_mass.high.get());
    RelativeSpread::new((value - low).max(high - value) / value)
}

/// A drop of an initiator that is weighed, over the step of the scale; nothing where its auto-zero is off.
fn drop_over_step(batch: &Batch, bench: &Bench) -> Result<Option<RelativeAmount>> {
    let weighed = batch
        .cure_part()
        .filter(|p| p.role == Role::Initiator && p.measured_by == MeasuredBy::Scale);
    let Some(part) = weighed.filter(|p| bench.scale.auto_zero && p.volume.si() > 0.0) else {
        return Ok(None);
    };
    let drop = match &bench.dropper {
        Some(d) => d.drop_volume,
        None => Dropper::uncalibrated().drop_volume,
    };
    let mass = drop.si() * part.mass.si() / part.volume.si();
    RelativeAmount::new(mass / bench.scale.readability.si()).map(Some)
}

/// How long was waited in a window.
fn waited(w: &HeldWindow) -> Measured {
    let quantity = match w.kind {
        WindowKind::BackUp => LimitQuantity::TackWindow,
        WindowKind::GreenTrim => LimitQuantity::GreenTrim,
        WindowKind::OpenTime => LimitQuantity::OpenTime,
    };
    Measured::new(quantity, w.subject.clone(), &w.tags, w.waited)
}

/// A window of the day, which the schedule knows and no data file can.
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
    let measured = waited(w);
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
        smallest_cure: None,
        no_cure: false,
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
        smallest_cure: None,
        no_cure: false,
        source: if limit == NOTHING_CURES {
            Source::of(
                Standing::Derived,
                "the recipe itself: without initiator or hardener a resin does not react",
            )
        } else {
            Source::of(Standing::CommonPractice, "a cup is used up well before it gels")
        },
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
        quantity: None,
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
        quantity: None,
        low: w.low.map(QuantityText::of),
        high: w.high.map(QuantityText::of),
        printed: w.printed.clone(),
        resin: None,
        sources: vec![(*w.source).clone()],
    }
}
