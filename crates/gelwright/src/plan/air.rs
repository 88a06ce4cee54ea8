//! The air of the day: what the acts of a plan set free over its clock, and what the room makes of it.

use uom::si::mass::kilogram;
use uom::si::time::second;

use super::clock::Clock;
use super::job::{Cup, Job, Wanted};
use super::layout::Act;
use super::steps::{Timetable, Work};
use crate::air::{AdditiveEffect, PeroxideStorage};
use crate::air::{
    Air, AirCurve, Emission, Exposure, IncompatiblePair, OpenCup, Room, StorageTemperatures, incompatible,
    ppm,
};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{self, Monomer};
use crate::limit::{Finding, LimitQuantity, Measured, QuantityText, Severity};
use crate::material::{Class, ExposureLimits, Hazard, Jurisdiction, LimitForm, Material};
use crate::noun::Noun;
use crate::quantity::{
    DiffusionCoefficient, Mass, MassDensity, MassFraction, Pressure, Quantity, Time, Velocity, VolumeFraction,
};
use crate::source::Source;

/// Solvent that tools are cleaned with: all of it evaporates.
#[derive(Clone, PartialEq, Noun)]
pub struct CleaningSolvent {
    /// The solvent, a material id.
    pub solvent: String,
    /// How much of it.
    #[noun(within("0 mL", "1000 L", "give how much the brushes take, for example '100 mL'"))]
    pub amount: crate::quantity::Volume,
}

/// The air of the day, where the casting tells its room.
///
/// Vapour of each film over the clock: while it is put on 69 mg/(s m²) of wet face, of which half is wet on average (59 to 79
/// while rolling, hand lay-up of 0.165 m²: A. Säämänen and others, Appl. Occup. Environ. Hyg. 6:790, 1991), what is left of its
/// loss evenly until it gels or the mould is closed over it; solvent for cleaning within half an hour of the last step at the
/// bench (common practice, no source). An open cup evaporates from the resin being in it until it is empty, by [`OpenCup`]: as
/// wide as the mix is deep, its styrene's pressure by Raoult's law by mass, in air of 0.1 m/s, for the high end 0.5 m/s; some
/// tens of milligrams a cup, which are told beside what the films lose and not taken off it. [`Room`] gives what the air makes
/// of it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct AirOfDay {
    /// The room.
    pub room: Room,
    /// Whose limits count.
    pub jurisdiction: Jurisdiction,
    /// When work starts: times of the exposures count from it.
    pub start: Clock,
    /// What sets vapour free, and when.
    pub sources: Vec<VapourSource>,
    /// What is breathed of each vapour.
    pub exposures: Vec<ExposureOfDay>,
    /// The sum of the parts that all vapours are of their limits over 8 h, where each has one; above 1 the mixture is too much.
    pub additive_8_h: Option<f64>,
    /// The same over 15 min.
    pub additive_15_min: Option<f64>,
    /// Vapours that no limit is known of here, and which are not followed.
    #[noun(default)]
    pub not_followed: Vec<String>,
    /// Dust that the casting makes, with its limits: no published emission of sanding or stirring by hand was found, so that no
    /// concentration of it is told, but how little of it fills the room to a limit.
    #[noun(default)]
    pub dust: Vec<DustOfDay>,
    /// Materials of this casting, and of the shelf that it tells, that may not meet.
    #[noun(default)]
    pub incompatible: Vec<IncompatiblePair>,
    /// How warm its peroxides may stand.
    #[noun(default)]
    pub storage: Vec<PeroxideOnShelf>,
    /// What all of it defers to.
    pub defers: String,
}

/// A dust that materials of the casting make.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DustOfDay {
    /// The agent's id.
    pub agent: String,
    /// What a person calls it.
    pub name: String,
    /// Its limits here; none where none is known.
    #[noun(default)]
    pub limits: Vec<DustLimit>,
}

/// A limit of a dust, and what fills the room to it: evenly mixed, nothing settling.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct DustLimit {
    /// Who set it.
    pub body: String,
    /// From when.
    pub year: u16,
    /// Which fraction of the dust.
    pub fraction: Option<String>,
    /// The limit by mass.
    pub mass: Option<MassDensity>,
    /// The limit by fibres.
    pub fibres_per_cubic_centimetre: Option<f64>,
    /// Dust that brings the whole room to the limit at once: limit times volume.
    pub in_room: Option<Mass>,
    /// Dust set free in an hour that keeps it there: limit times the air that leaves, over the mixing factor.
    pub an_hour: Option<Mass>,
    /// On whose word.
    pub source: Source,
}

/// What sets vapour free.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct VapourSource {
    /// The vapour, an agent's id.
    pub agent: String,
    /// What it comes from.
    pub of: String,
    /// From when.
    pub from: Clock,
    /// Until when.
    pub until: Clock,
    /// How much.
    pub mass: Mass,
}

/// What is breathed of a vapour over the day.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ExposureOfDay {
    /// In numbers.
    pub exposure: Exposure,
    /// Highest mean over 15 min with the high end of the vapour's band.
    pub highest_15_min_high: VolumeFraction,
    /// When the air is worst.
    pub peak_at: Clock,
    /// When the worst 15 min begin.
    pub highest_15_min_from: Clock,
    /// When the first limit is broken, if one is.
    pub broken_at: Option<Clock>,
    /// From when on the air is below the lowest limit.
    pub clear_from: Option<Clock>,
    /// What would stand over time with the extraction off, where one runs.
    pub extraction_off: Option<AirCurve>,
}

/// How warm a peroxide may stand.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PeroxideOnShelf {
    /// The material.
    pub material: String,
    /// How warm.
    pub temperatures: StorageTemperatures,
}

/// Of a wet face while it is worked on, kg/(s m²): the middle of 59 to 79 mg/(s m²).
const WORKED: f64 = 69e-6;
/// Until a film of unknown gel time has gelled, s; and until cleaning solvent is gone: common practice, no source.
const UNKNOWN_GEL: f64 = 3600.0;
const CLEANED: f64 = 1800.0;
/// Air speed over a cup, m/s: a quiet room, and a draught; common practice, no source.
const OVER_CUP: [f64; 2] = [0.1, 0.5];
/// How fast styrene spreads in air at 25 °C, m²/s: from memory.
const STYRENE_IN_AIR: f64 = 7.5e-6;
const STYRENE: &str = "styrene";

/// One thing that sets one vapour free: middle and high mass, kg; seconds from the start of work.
struct Set {
    agent: String,
    of: String,
    from: f64,
    until: f64,
    mass: [f64; 2],
}

fn time(s: f64) -> Time {
    Time::new::<second>(s)
}

impl Job<'_> {
    fn since_start(&self, c: Clock) -> f64 {
        c.since(self.casting.shop.start).si()
    }
}

/// What a cup's films set free.
fn of_cup(job: &Job, cup: &Cup, start: Clock, closed: Option<Clock>, sets: &mut Vec<Set>) {
    let pace = &job.casting.pace;
    let begins = job.since_start(start);
    let laid_from = begins + pace.mixing.si();
    let laid_until = laid_from + cup.placing.si().max(1.0);
    let stirred = begins + pace.mixing.si() - job.stirring().si();
    let gels = stirred + job.gel_time(&cup.recipe).map_or(UNKNOWN_GEL, |g| g.time.si());
    let covered = closed.map_or(f64::INFINITY, |c| job.since_start(c));
    let open_until = gels.min(covered).max(laid_until + 60.0);
    let worked_on = matches!(cup.act, Act::GelCoat | Act::Laminate);
    for (i, share) in &cup.items {
        let item = &job.items[*i];
        let Some(loss) = &item.loss else { continue };
        let area = job
            .casting
            .zones
            .iter()
            .find(|z| z.name == item.zone)
            .and_then(|z| z.area);
        let area = share * area.map_or(0.0, Quantity::si);
        let time_on = (laid_until - laid_from) * item.placing.si() * share / cup.placing.si().max(1.0);
        let monomer = loss.monomer.times(*share);
        let while_laid = if worked_on {
            0.5 * WORKED * area * time_on
        } else {
            0.0
        };
        let of = format!("{} on {}", item.act.noun(), item.zone);
        let mut set = |agent: &str, from: f64, until: f64, mass: [f64; 2]| {
            if mass[0] > 0.0 {
                sets.push(Set {
                    agent: agent.to_owned(),
                    of: of.clone(),
                    from,
                    until,
                    mass,
                });
            }
        };
        let [_, middle, high] = monomer.0;
        let at_work = [middle, high].map(|m: f64| m.min(while_laid));
        set(STYRENE, laid_from, laid_until, at_work);
        set(
            STYRENE,
            laid_until,
            open_until,
            [middle - at_work[0], high - at_work[1]],
        );
        for (solvent, kg) in &loss.solvents {
            set(solvent, laid_from, open_until, [kg * share; 2]);
        }
    }
}

/// What evaporates from a cup while it stands open: from the resin being in it until it is empty.
fn of_open_cup(job: &Job, cup: &Cup, start: Clock, sets: &mut Vec<Set>) -> Result<()> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let resin = mix.resin().resin()?;
    let content = resin.styrene.as_ref().map_or(MassFraction::ZERO, |s| s.value);
    if !resin.family.cures_by_peroxide() || content.get() <= 0.0 {
        return Ok(());
    }
    let Some(molar_mass) = ExposureLimits::generic().agent(STYRENE)?.molar_mass else {
        return Ok(());
    };
    let mixed = job.to_mix(cup)?;
    let diameter = heat::Cup::as_wide_as_deep((mixed / mix.unit.density).si())?;
    let temperature = job.casting.shop.resin();
    let from = job.since_start(start);
    let until = from + job.casting.pace.mixing.si() + cup.placing.si().max(1.0);
    let evaporated = |wind: f64| -> Result<f64> {
        let open = OpenCup {
            diameter,
            wind: Velocity::from_si(wind)?,
            vapour_pressure: Pressure::from_si(Monomer::styrene(content).pressure(temperature))?,
            molar_mass,
            diffusion: DiffusionCoefficient::from_si(STYRENE_IN_AIR)?,
            temperature,
        };
        let area = 0.25 * std::f64::consts::PI * diameter.si() * diameter.si();
        // Never more than the styrene there is.
        let there_is = content.get() * mixed.si() * mix.unit.parts[0].mass.si() / mix.unit.mass.si();
        Ok((open.evaporation()?.rate.si() * area * (until - from)).min(there_is))
    };
    if mixed.si() > 0.0 {
        sets.push(Set {
            agent: STYRENE.to_owned(),
            of: format!("{} standing open", cup.name),
            from,
            until,
            mass: [evaporated(OVER_CUP[0])?, evaporated(OVER_CUP[1])?],
        });
    }
    Ok(())
}

fn of_cleaning(job: &Job, timed: &Timetable, sets: &mut Vec<Set>) -> Result<()> {
    let Some(cleaning) = &job.casting.shop.cleaning else {
        return Ok(());
    };
    let at = |e: Error| e.at("shop.cleaning.solvent");
    let material = job.catalogue.get(&cleaning.solvent).map_err(at)?;
    material.solvent().map_err(at)?;
    let kg = cleaning.amount.si() * material.known_density().map_err(at)?.value.si();
    let step = timed.steps.iter().find(|s| s.work == Work::Leftover);
    let from = step.map_or(0.0, |s| job.since_start(s.start));
    if kg > 0.0 {
        sets.push(Set {
            agent: cleaning.solvent.clone(),
            of: "cleaning tools".to_owned(),
            from,
            until: from + CLEANED,
            mass: [kg; 2],
        });
    }
    Ok(())
}

/// The air of the day and what breaks a limit in it; nothing where the casting tells no room.
pub(super) fn air(
    job: &Job,
    cups: &[Cup],
    timed: &Timetable,
    wanted: Wanted,
) -> Result<(Option<AirOfDay>, Vec<Finding>)> {
    let shop = &job.casting.shop;
    let Some(room) = &shop.room else {
        return Ok((None, vec![]));
    };
    let Some(jurisdiction) = shop.jurisdiction else {
        let known: Vec<&str> = Jurisdiction::ALL.iter().map(|j| j.name()).collect();
        return Err(Error::new(ErrorKind::Document, "shop.jurisdiction")
            .with_value("a room without a jurisdiction")
            .with_way_out(format!("say whose exposure limits count: {}", known.join(", "))));
    };
    let mut sets = Vec::new();
    for (cup, start) in cups.iter().zip(&timed.cups) {
        of_open_cup(job, cup, *start, &mut sets)?;
        of_cup(job, cup, *start, timed.closed, &mut sets);
    }
    of_cleaning(job, timed, &mut sets)?;
    let mut agents: Vec<&str> = sets.iter().map(|s| s.agent.as_str()).collect();
    agents.sort_unstable();
    agents.dedup();
    let known = |id: &&str| {
        ExposureLimits::generic()
            .agent(id)
            .is_ok_and(|a| a.molar_mass.is_some())
    };
    let (followed, not_followed): (Vec<&str>, Vec<&str>) = agents.iter().copied().partition(known);
    let mut exposures = Vec::new();
    for agent in followed {
        exposures.push(exposure(job, (room, jurisdiction), agent, &sets, wanted)?);
    }
    let clock = |s: f64| shop.start.after(time(s));
    let sources = sets.iter().map(|s| VapourSource {
        agent: s.agent.clone(),
        of: s.of.clone(),
        from: clock(s.from),
        until: clock(s.until),
        mass: Mass::new::<kilogram>(s.mass[0]),
    });
    let materials = job.materials()?;
    let air = AirOfDay {
        room: *room,
        jurisdiction,
        start: shop.start,
        sources: sources.collect(),
        additive_8_h: additive(&exposures, LimitForm::TimeWeightedAverage)?,
        additive_15_min: additive(&exposures, LimitForm::ShortTerm)?,
        exposures,
        not_followed: not_followed.into_iter().map(str::to_owned).collect(),
        dust: dust(&materials, room, jurisdiction)?,
        incompatible: incompatible(on_the_shelf(job, &materials)),
        storage: storage(&materials)?,
        defers: crate::material::Caution::defers().to_owned(),
    };
    let findings = findings(&air)?;
    Ok((Some(air), findings))
}

fn exposure(
    job: &Job,
    (room, jurisdiction): (&Room, Jurisdiction),
    agent: &str,
    sets: &[Set],
    wanted: Wanted,
) -> Result<ExposureOfDay> {
    let shop = &job.casting.shop;
    let emissions = |which: usize| -> Vec<Emission> {
        let of = sets.iter().filter(|s| s.agent == agent);
        of.map(|s| Emission {
            from: time(s.from),
            until: time(s.until),
            mass: Mass::new::<kilogram>(s.mass[which]),
        })
        .collect()
    };
    let at = |e: Error| {
        let field = e.field().to_owned();
        if field.starts_with("room") {
            e.within("shop")
        } else {
            e.within("shop.room")
        }
    };
    let middle = emissions(0);
    let air = Air {
        agent,
        room,
        temperature: shop.temperature,
        emissions: &middle,
        jurisdiction,
        followed: None,
    };
    let exposure = air.exposure().map_err(at)?;
    let high = emissions(1);
    let highest_15_min_high = Air {
        emissions: &high,
        ..air
    }
    .highest_15_min()?;
    let clock = |t: Time| shop.start.after(t);
    let broken = exposure
        .limits
        .iter()
        .filter_map(|l| l.broken_at)
        .map(Quantity::si);
    let first = broken.fold(f64::INFINITY, f64::min);
    Ok(ExposureOfDay {
        highest_15_min_high,
        peak_at: clock(exposure.peak_at),
        highest_15_min_from: clock(exposure.highest_15_min_from),
        broken_at: first.is_finite().then(|| clock(time(first))),
        clear_from: exposure.clear_from.map(clock),
        extraction_off: match wanted {
            Wanted::Told => air.without_extraction()?,
            Wanted::Judged => None,
        },
        exposure,
    })
}

/// The parts that all vapours are of their lowest limit of a form; nothing where one has none.
fn additive(all: &[ExposureOfDay], form: LimitForm) -> Result<Option<f64>> {
    let (mut found, mut limits) = (Vec::new(), Vec::new());
    for e in all {
        let of_form = e.exposure.limits.iter().filter(|l| l.form == form);
        let worst = of_form.max_by(|a, b| a.times.get().total_cmp(&b.times.get()));
        let Some(worst) = worst else { return Ok(None) };
        found.push(worst.found);
        limits.push(worst.most);
    }
    if found.is_empty() {
        return Ok(None);
    }
    AdditiveEffect { found, limits }.sum().map(|s| Some(s.sum))
}

/// The casting's materials and what else it says that it has, each once.
fn on_the_shelf<'j>(job: &'j Job, materials: &[&'j Material]) -> Vec<&'j Material> {
    let mut all = materials.to_vec();
    let room = job.casting.stockroom.iter().flat_map(|s| &s.lots);
    let ids = job.casting.stock.keys().chain(room.map(|l| &l.material));
    for m in ids.filter_map(|id| job.catalogue.get(id).ok()) {
        if !all.iter().any(|known| known.id == m.id) {
            all.push(m);
        }
    }
    all
}

fn storage(materials: &[&Material]) -> Result<Vec<PeroxideOnShelf>> {
    let mut all = Vec::new();
    for m in materials {
        let Class::Initiator(i) = &m.class else { continue };
        let Some(sadt) = &i.self_accelerating_decomposition else {
            continue;
        };
        // The low end of what is known of the product: its sheet comes first.
        let sadt = sadt.range.map_or(sadt.value, |r| r.0);
        all.push(PeroxideOnShelf {
            material: m.id.clone(),
            temperatures: PeroxideStorage {
                self_accelerating_decomposition: sadt,
                label: m.storage.as_ref().map(|s| s.value),
            }
            .temperatures()?,
        });
    }
    Ok(all)
}

fn dust(materials: &[&Material], room: &Room, jurisdiction: Jurisdiction) -> Result<Vec<DustOfDay>> {
    let dusts = [
        Hazard::NuisanceDust,
        Hazard::FibreDust,
        Hazard::SilicaDust,
        Hazard::CrystallineSilicaDust,
    ];
    let data = ExposureLimits::generic();
    let fills = |limit: Option<MassDensity>, by: f64| limit.map(|l| Mass::from_si(l.si() * by)).transpose();
    let mut all = Vec::new();
    for hazard in dusts {
        if !materials.iter().any(|m| m.hazards.contains(&hazard)) {
            continue;
        }
        for agent in data.agents().iter().filter(|a| a.hazard == hazard) {
            let here = data.of(&agent.id)?.into_iter();
            let limits = here
                .filter(|l| l.jurisdiction == jurisdiction && !l.superseded)
                .map(|l| {
                    Ok(DustLimit {
                        body: l.body.clone(),
                        year: l.year,
                        fraction: l.fraction.clone(),
                        mass: l.mass,
                        fibres_per_cubic_centimetre: l.fibres_per_cubic_centimetre,
                        in_room: fills(l.mass, room.volume.si())?,
                        an_hour: fills(l.mass, 3600.0 * room.flow())?,
                        source: (*l.source).clone(),
                    })
                })
                .collect::<Result<_>>()?;
            all.push(DustOfDay {
                agent: agent.id.clone(),
                name: agent.name.clone(),
                limits,
            });
        }
    }
    Ok(all)
}

/// A tenth of the lower flammable limit is a hazardous atmosphere.
const FLAMMABLE: f64 = 0.1;

fn findings(air: &AirOfDay) -> Result<Vec<Finding>> {
    let mut all = Vec::new();
    for e in &air.exposures {
        let x = &e.exposure;
        for l in &x.limits {
            let over = l.over.map_or_else(
                || "highest value".to_owned(),
                |t| format!("mean over {}", crate::quantity::brief(t)),
            );
            // With the high end of the vapour's band the same limit may be broken that its middle keeps.
            let at_high =
                l.found.get() * e.highest_15_min_high.get() / x.highest_15_min.get().max(f64::MIN_POSITIVE);
            let may = !l.broken && at_high > l.most.get();
            let clock = |t: Time| format!("broken at {}: ", air.start.after(t));
            let when = l.broken_at.map_or_else(String::new, clock);
            let most = if l.form == LimitForm::ImmediatelyDangerous {
                "immediately dangerous"
            } else {
                "exposure limit"
            };
            all.push(Finding {
                message: format!(
                    "{when}the {most} of {}, {} ({}) is {}: what is computed is no measurement, and the product's safety data sheet, local codes and licensed practice come first",
                    l.body, l.year, l.jurisdiction.name().replace('_', " "), ppm(l.most)
                ),
                ..held(
                    format!("exposure.{}.{}.{}", x.agent, key(&l.body), l.form.name()),
                    format!("{}, {over}", x.name),
                    l.found,
                    Some((l.found, VolumeFraction::new(at_high.min(1.0))?)),
                    l.most,
                    l.broken || may,
                    if l.broken { Severity::Stop } else { Severity::Warning },
                    way_out(x),
                    l.source.clone(),
                )
            });
        }
        if let Some(part) = x.of_flammable_limit {
            let limit = VolumeFraction::new(FLAMMABLE * x.peak.get() / part.get().max(f64::MIN_POSITIVE))?;
            if part.get() > FLAMMABLE {
                all.push(Finding {
                    message: "above a tenth of the lower flammable limit the air is a hazardous atmosphere: no flame, no spark, out of the room".to_owned(),
                    ..held(
                        format!("flammable.{}", x.agent),
                        format!("{}, highest value", x.name),
                        x.peak,
                        None,
                        limit,
                        true,
                        Severity::Stop,
                        way_out(x),
                        Source::published("US Occupational Safety and Health Administration", "29 CFR 1910.146(b), hazardous atmosphere", 1998, "10 % of the lower flammable limit").from_memory(),
                    )
                });
            }
        }
    }
    Ok(all)
}

/// A body's name as a part of a limit's.
fn key(body: &str) -> String {
    let words = body
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("_")
}

fn way_out(x: &Exposure) -> String {
    let air = x.needed.map_or_else(
        || {
            "no fresh air up to 1000 changes an hour suffices: extract at the work, lay less at a time"
                .to_owned()
        },
        |n| {
            format!(
                "fresh air of {} changes an hour, or extraction at the work that catches the vapour",
                crate::quantity::figures((36_000.0 * n.air_changes.si()).ceil() / 10.0)
            )
        },
    );
    let mask = x.respirator.as_ref().map_or_else(String::new, |r| {
        let kind = match r.kind {
            crate::air::RespiratorKind::FullFacepiece => "a full facepiece",
            _ => "a half mask",
        };
        format!(
            "; until then {kind} for organic vapour (assigned protection factor {}, for at most {}), fitted and tested",
            r.assigned_protection_factor, ppm(r.most)
        )
    });
    format!("{air}{mask}")
}

#[allow(clippy::too_many_arguments)]
fn held(
    limit: String,
    subject: String,
    found: VolumeFraction,
    band: Option<(VolumeFraction, VolumeFraction)>,
    most: VolumeFraction,
    broken: bool,
    severity: Severity,
    way_out: String,
    source: Source,
) -> Finding {
    let quantity = LimitQuantity::VapourInAir;
    let measured = Measured::new(quantity, subject, &[], found);
    let held = measured.held_in(None, Some(most.si()));
    Finding {
        limit,
        quantity,
        subject: measured.subject,
        value: Some(held.value),
        value_low: band.map(|b| QuantityText::of(b.0)),
        value_high: band.map(|b| QuantityText::of(b.1)),
        low: None,
        high: held.high,
        margin: held.margin,
        broken,
        severity,
        message: String::new(),
        way_out,
        slip: None,
        set_aside: false,
        smallest_cure: None,
        no_cure: false,
        source,
    }
}
