//! How hot it gets: each zone in its mould with its layers laid on the clock, and each cup with what is left in it.
//! What the plan hands to calibrate and heat, for the resins whose gel times or test cups are known.

use std::collections::BTreeMap;

use crate::noun::Noun;
use uom::si::length::meter;

use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::{Act, Item, Mix};
use super::steps::Timetable;
use crate::calibrate::{BandDriver, Calibration, Evidence, or_usual, thermal_of};
use crate::cancel::Cancel;
use crate::cure::{CuringModulus, Kinetics, SchedulePoint, Vitrified};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{self, Course, Face, Layer, Profiles, Stance, Surroundings, Thermal, Wall};
use crate::limit::{LimitQuantity, Measured};
use crate::material::Class;
use crate::mix::Batch;
use crate::numeric::normal;
use crate::propagate::{Design, Propagated, Sampling};
use crate::quantity::spread::{Distribution, Input};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Index, Length, Mass, MassDensity, MassFraction, Phr, Quantity,
    TemperatureInterval, ThermodynamicTemperature, Time,
};
use crate::source::Why;

/// How hot a zone gets.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ZoneExotherm {
    /// Hottest anywhere in the zone.
    pub peak: ThermodynamicTemperature,
    /// When, counted from the laying of the zone's first layer.
    pub peak_at: Time,
    /// In which layer.
    pub peak_in: String,
    /// Estimated error of the peak from the size of the cells.
    pub peak_error: TemperatureInterval,
    /// Hottest of the mould's face.
    pub mould_face: ThermodynamicTemperature,
    /// When all of it has gelled, counted likewise; absent if not before demoulding.
    pub gelled: Option<Time>,
    /// Least degree of cure at demoulding.
    pub cure_at_demould: Option<DegreeOfCure>,
    /// How sure that is, where it has vitrified: only warmth takes it further then.
    pub vitrified: Option<Vitrified>,
    /// What the laws of its layers' cure rest on, each once.
    pub basis: Vec<String>,
    /// What is outside the fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The wall as it was handed to `heat.wall`: ask it again with `profiles` for temperature over time and depth.
    pub wall: Wall,
    /// The chain behind it.
    pub why: Why,
}

/// How hot a cup gets if all of it stays in it.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupExotherm {
    /// When it gels in the cup, counted from the catalyst being in.
    pub gel: Option<Time>,
    /// Hottest.
    pub peak: ThermodynamicTemperature,
    /// When.
    pub peak_at: Time,
    /// How sure all three are.
    pub band: CupBand,
    /// What the law of its cure rests on: a cup test, a gel-time table, the catalogue's band.
    pub basis: String,
    /// What decides whether it gels at all, where that is open.
    pub decides: Option<String>,
    /// What lies outside what was measured of the resin, if anything does.
    pub extrapolated: Option<String>,
}

/// How sure a cup left standing is, to first order: nine in ten lie between the ends. What counts: the law as far as the
/// evidence leaves it open, the dose as it is measured, the thermometer, the film in still air.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupBand {
    /// One cup in twenty gels sooner; absent where it does not gel.
    pub gel_low: Option<Time>,
    /// One in twenty gels later, or never: then it is absent.
    pub gel_high: Option<Time>,
    /// One in twenty stays cooler.
    pub peak_low: ThermodynamicTemperature,
    /// One in twenty gets hotter.
    pub peak_high: ThermodynamicTemperature,
    /// One in twenty peaks sooner.
    pub peak_at_low: Time,
    /// One in twenty peaks later.
    pub peak_at_high: Time,
    /// What makes the band of the peak, the largest first.
    pub peak_drivers: Vec<BandDriver>,
    /// What makes the band of the gel time, the largest first.
    pub gel_drivers: Vec<BandDriver>,
}

/// The law of a resin's cure that the exotherms of a plan are computed with.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CureLaw {
    /// The resin.
    pub resin: String,
    /// What it rests on: "cup test and gel-time table", "gel-time table and the catalogue's band".
    pub basis: String,
    /// Heat of reaction that goes with it.
    pub heat_of_reaction: AvailableEnergy,
    /// What of the resin's evidence disagrees, or can not be believed.
    #[noun(default)]
    pub disagreements: Vec<String>,
    /// What nothing measured and was assumed.
    #[noun(default)]
    pub assumed: Vec<String>,
}

pub(super) struct Exotherms {
    pub(super) laws: Vec<CureLaw>,
    pub(super) cups: Vec<Option<CupExotherm>>,
    pub(super) zones: Vec<Option<ZoneExotherm>>,
    pub(super) measured: Vec<Measured>,
    /// How warm each curing layer of a zone was where it is least cured.
    pub(super) histories: Vec<Option<Vec<History>>>,
}

/// How warm a layer was where it is least cured, until demoulding.
pub(super) struct History {
    pub(super) layer: String,
    pub(super) kinetics: Kinetics,
    pub(super) modulus: Option<CuringModulus>,
    /// When it was laid.
    pub(super) laid: Clock,
    /// Its temperature from then on.
    pub(super) points: Vec<SchedulePoint>,
    pub(super) least_cure: f64,
    /// What limits may name.
    pub(super) tags: Vec<String>,
}

/// The law of each resin that a recipe takes with a catalyst, as far as its gel times or test cups are known.
fn calibrated<'c>(job: &'c Job, cancel: Cancel<'_>) -> Result<BTreeMap<&'c str, Calibration>> {
    for resin in job.casting.cup_tests.keys() {
        job.catalogue
            .get(resin)
            .map_err(|e| e.at(format!("cup_tests.{resin}")))?;
    }
    let mut laws = BTreeMap::new();
    for mix in job.mixes.values().filter(|m| m.unit.cure_dose.is_some()) {
        let material = mix.resin();
        let id = material.id.as_str();
        let tests = job.casting.cup_tests.get(id);
        let resin = material.resin()?;
        let timed = resin.family.cures_by_peroxide() && resin.gel_times.is_some();
        if laws.contains_key(id) || (tests.is_none_or(Vec::is_empty) && !timed) {
            continue;
        }
        let evidence = Evidence {
            cup_tests: tests.cloned().unwrap_or_default(),
            ..Evidence::of(id)
        };
        let law = evidence.calibrate(job.catalogue, cancel).map_err(|e| {
            let field = match e.field().strip_prefix("cup_tests") {
                Some(rest) => format!("cup_tests.{id}{rest}"),
                None if e.field() == "resin" => format!("cup_tests.{id}"),
                None => format!("material.{id}.{}", e.field()),
            };
            e.at(field)
        })?;
        laws.insert(id, law);
    }
    Ok(laws)
}

/// Specific heat and conductivity of glass where a material does not say: from memory.
const GLASS_HEAT: f64 = 800.0;
const GLASS_CONDUCTIVITY: f64 = 1.0;
/// Degree of cure at which a part is demoulded: the limit `demould_cure` says on whose word.
pub(super) const DEMOULD_CURE: f64 = 0.80;

/// The layer of an item, and the share of it that reacts: the filled mix, and the reinforcement laid with it.
fn thermal(job: &Job, mix: &Mix, item: Option<&Item>) -> Result<(Thermal, MassFraction)> {
    let mut inert: Vec<(Mass, Thermal)> = Vec::new();
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        if let Class::Filler(f) = &m.class {
            let of = Thermal::new(
                m.known_density()?.value,
                or_usual(f.specific_heat.as_ref(), GLASS_HEAT)?,
                or_usual(f.conductivity.as_ref(), GLASS_CONDUCTIVITY)?,
            );
            inert.push((part.mass, of));
        }
    }
    // The unit batch is one kilogram of mix; what of it is no filler reacts.
    let filler = inert
        .iter()
        .map(|(m, of)| (m.si(), m.si() / of.density.si()))
        .fold((0.0, 0.0), |(m, v), (dm, dv)| (m + dm, v + dv));
    let liquid = (mix.unit.mass.si() - filler.0, mix.unit.volume.si() - filler.1);
    if let Some(item) = item.filter(|i| !i.plies.is_empty()) {
        let per_kilogram = 1.0 / item.net.si();
        for p in &item.plies {
            let r = job.catalogue.get(&p.material)?.reinforcement()?;
            let of = Thermal::new(
                MassDensity::from_si(p.fibre_density)?,
                or_usual(r.specific_heat.as_ref(), GLASS_HEAT)?,
                or_usual(r.conductivity.as_ref(), GLASS_CONDUCTIVITY)?,
            );
            inert.push((Mass::from_si(p.glass() * per_kilogram)?, of));
        }
    }
    let reacting = thermal_of(mix.resin(), MassDensity::from_si(liquid.0 / liquid.1)?)?;
    let mut parts = vec![(Mass::from_si(liquid.0)?, reacting)];
    parts.extend(inert);
    let mass: f64 = parts.iter().map(|(m, _)| m.si()).sum();
    Ok((
        Thermal::of_mixture(&parts)?,
        MassFraction::new((liquid.0 / mass).clamp(0.0, 1.0))?,
    ))
}

/// How a mix cures at its own dose; nothing without catalyst.
fn cure_of(mix: &Mix, law: &Calibration, resin_content: MassFraction) -> Result<Option<heat::Cure>> {
    let Some(dose) = dose_of(mix)? else {
        return Ok(None);
    };
    Ok(Some(heat::Cure {
        kinetics: law.kinetics.with_dose(dose)?,
        resin_content,
        gel_at: law.gel_conversion,
        demould_at: Some(DegreeOfCure::new(DEMOULD_CURE.max(law.gel_conversion.get()))?),
    }))
}

fn dose_of(mix: &Mix) -> Result<Option<Phr>> {
    let dose = mix.unit.cure_dose.as_ref();
    dose.map(|d| Phr::new(d.by_mass.value.get())).transpose()
}

fn still_air(job: &Job, size: f64, from: Clock, duration: Time) -> Face {
    let shop = &job.casting.shop;
    let temperature = if shop.day.is_empty() {
        Course::Steady(shop.temperature)
    } else {
        let air = shop.air_from(from);
        let inside = air
            .into_iter()
            .map(|(at, t)| (at.since(from), t))
            .filter(|(at, _)| *at < duration);
        let end = std::iter::once((duration, shop.air_at(from.after(duration))));
        Course::points(inside.chain(end))
    };
    Face::StillAir {
        surroundings: Surroundings {
            stance: Stance::Vertical,
            size: Length::new::<meter>(size),
            emissivity: 0.9,
        },
        temperature,
    }
}

pub(super) fn exotherms(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    cancel: Cancel<'_>,
) -> Result<Exotherms> {
    let laws = calibrated(job, cancel)?;
    let mut measures = Vec::new();
    let mut of_cups = Vec::with_capacity(cups.len());
    for (cup, batch) in cups.iter().zip(batches) {
        of_cups.push(
            match laws.get(job.mixes[cup.recipe.as_str()].resin().id.as_str()) {
                Some(law) => {
                    cup_left_standing(job, cup, batch, law, cancel).map_err(|e| e.within(&cup.name))?
                }
                None => None,
            },
        );
    }
    let mut zones = Vec::with_capacity(job.casting.zones.len());
    let mut histories = Vec::with_capacity(zones.capacity());
    for zone in &job.casting.zones {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let Some(laid) = laid_on(job, &zone.name, cups, timed, &laws).map_err(at)? else {
            zones.push(None);
            histories.push(None);
            continue;
        };
        let Some(mould) = mould_wall(job)? else {
            zones.push(None);
            histories.push(None);
            continue;
        };
        let (e, history) = zone_exotherm(job, mould, &laid, timed, cancel).map_err(at)?;
        histories.push(Some(history));
        let wall = [job.casting.mould.wall.clone()];
        measures.push(Measured::new(
            LimitQuantity::PeakTemperature,
            zone.name.clone(),
            &laid.tags,
            e.peak,
        ));
        measures.push(Measured::new(
            LimitQuantity::MouldFaceTemperature,
            zone.name.clone(),
            &wall,
            e.mould_face,
        ));
        if let Some(c) = e.cure_at_demould {
            let measured = Measured::new(LimitQuantity::DemouldCure, zone.name.clone(), &laid.tags, c);
            measures.push(match e.vitrified {
                Some(v) => measured.between(v.low, v.high),
                None => measured,
            });
        }
        zones.push(Some(e));
    }
    let laws = laws
        .iter()
        .map(|(resin, law)| CureLaw {
            resin: (*resin).to_owned(),
            basis: law.basis.clone(),
            heat_of_reaction: law.kinetics.heat_of_reaction,
            disagreements: law.disagreements.clone(),
            assumed: law.assumed.clone(),
        })
        .collect();
    Ok(Exotherms {
        laws,
        cups: of_cups,
        zones,
        measured: measures,
        histories,
    })
}

/// A cup that nobody empties, as wide as the mix is deep.
fn cup_left_standing(
    job: &Job,
    cup: &Cup,
    batch: &Batch,
    law: &Calibration,
    cancel: Cancel<'_>,
) -> Result<Option<CupExotherm>> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let (thermal, resin_content) = thermal(job, mix, None)?;
    let Some(cure) = cure_of(mix, law, resin_content)? else {
        return Ok(None);
    };
    let diameter = (4.0 * batch.volume.si() / std::f64::consts::PI).cbrt();
    let standing = heat::Cup {
        stop_when_cooling: true,
        ..heat::Cup::new(
            batch.mass,
            Length::new::<meter>(diameter),
            thermal,
            cure,
            job.casting.shop.resin(),
            heat::Place::Bench {
                air: Course::Steady(job.casting.shop.temperature),
                emissivity: 0.9,
            },
            super::steps::minutes(24.0 * 60.0),
        )
    };
    let run = standing.run(cancel)?;
    let dose = dose_of(mix)?.unwrap_or(law.least_dose);
    Ok(Some(CupExotherm {
        gel: run.gel,
        peak: run.peak,
        peak_at: run.peak_time,
        band: band(job, &standing, &run, (batch, dose), law, cancel)?,
        basis: law.basis.clone(),
        decides: decides(law, dose, run.gel, job.casting.shop.resin())?,
        extrapolated: law.outside(dose, job.casting.shop.resin()),
    }))
}

/// What decides whether a cup gels at all, where it does not or its dose is below all that were tested.
fn decides(
    law: &Calibration,
    dose: Phr,
    gel: Option<Time>,
    at: ThermodynamicTemperature,
) -> Result<Option<String>> {
    if gel.is_some() && dose >= law.least_dose {
        return Ok(None);
    }
    match law.forecast_gel(dose, at) {
        Ok(f) => Ok(f.decides),
        Err(e) if e.kind() == ErrorKind::NoSolution => Ok(e.way_out().map(str::to_owned)),
        Err(e) => Err(e),
    }
}

/// What of a cup may be off besides its law: the dose, the thermometer, the film.
const BESIDE: usize = 3;
/// Standard uncertainty of a film in still air, of its logarithm: anywhere within a quarter (common practice, no source).
const FILM: f64 = 0.25 / 1.732;
/// Standard uncertainty of the shop's temperature where no thermometer is told, K: anywhere within 1 K (common practice, no
/// source).
const THERMOMETER: f64 = 1.0 / 1.732;

/// The band of a cup: its law and what else may be off, each moved by one standard deviation to both sides. The cup that is moved
/// has one temperature, whether or not the cup itself is followed in depth: what each moves is nearly the same, for a tenth
/// of the work.
fn band(
    job: &Job,
    cup: &heat::Cup,
    run: &heat::CupRun,
    (batch, dose): (&Batch, Phr),
    law: &Calibration,
    cancel: Cancel<'_>,
) -> Result<CupBand> {
    let measured = batch.cure_dose.as_ref().map_or(0.0, |d| d.uncertainty.get());
    let thermometer = job
        .casting
        .shop
        .bench
        .thermometer
        .map_or(THERMOMETER, |t| t.uncertainty().si());
    let beside = [measured.min(1.0), thermometer, FILM];
    let air = job.casting.shop.temperature.si();
    let start = job.casting.shop.resin().si();
    let one = Input::new(0.0, Distribution::Normal(1.0), Index::MEASURE)?;
    let inputs = vec![one; Calibration::DRAWN_BY + BESIDE];
    let design = Design::new(&inputs, Sampling::none())?;
    let mut x = vec![0.0; inputs.len()];
    // Rates of gelling, since a cup may never gel; rises; logarithms of times to the peak.
    let (mut gels, mut rises, mut peaks) = (vec![], vec![], vec![]);
    for i in 0..design.runs() {
        design.run(i, &mut x);
        let (z, off) = x.split_at(Calibration::DRAWN_BY);
        let drawn = law.law_at(z)?;
        let mut moved = cup.clone();
        moved.cure.kinetics = drawn
            .kinetics
            .with_dose(Phr::new(dose.get() * (off[0] * beside[0]).exp())?)?;
        moved.cure.gel_at = drawn.gel_conversion;
        moved.cure.demould_at = None;
        moved.resolve = heat::Resolve::Lumped;
        moved.starts_at = ThermodynamicTemperature::from_si(start + off[1] * beside[1])?;
        moved.place = heat::Place::Bench {
            air: Course::Steady(ThermodynamicTemperature::from_si(air + off[1] * beside[1])?),
            emissivity: 0.9,
        };
        moved.film_factor = (off[2] * beside[2]).exp();
        let r = moved.run(cancel)?;
        gels.push(r.gel.map_or(0.0, |t| 1.0 / t.si()));
        rises.push(r.peak.si());
        peaks.push(r.peak_time.si().max(1.0).ln());
    }
    let (gel, peak, at) = (design.read(&gels)?, design.read(&rises)?, design.read(&peaks)?);
    let half = |p: &Propagated| normal::quantile(0.95) * p.first_order.standard_uncertainty;
    let off = if gel.value > 0.0 {
        half(&gel) / gel.value
    } else {
        0.0
    };
    let factor = half(&at).min(5.0).exp();
    Ok(CupBand {
        gel_low: run.gel.map(|t| t / (1.0 + off)),
        gel_high: run.gel.filter(|_| off < 0.99).map(|t| t / (1.0 - off)),
        peak_low: ThermodynamicTemperature::from_si((run.peak.si() - half(&peak)).max(start.min(air)))?,
        peak_high: ThermodynamicTemperature::from_si(run.peak.si() + half(&peak))?,
        peak_at_low: run.peak_time / factor,
        peak_at_high: run.peak_time * factor,
        peak_drivers: drivers(&peak),
        gel_drivers: drivers(&gel),
    })
}

/// What makes a band: the law as one, then what stands beside it.
fn drivers(p: &Propagated) -> Vec<BandDriver> {
    let mut parts = [0.0; 1 + BESIDE];
    for s in &p.shares {
        parts[(s.input + 1).saturating_sub(Calibration::DRAWN_BY)] += s.first_order;
    }
    let names = [
        "law of cure, as far as the evidence leaves it open",
        "dose as it is measured",
        "thermometer",
        "film in still air",
    ];
    let mut all: Vec<BandDriver> = names
        .into_iter()
        .zip(parts)
        .filter(|(_, part)| *part > 0.005)
        .map(|(name, part)| BandDriver::new(name, part))
        .collect();
    all.sort_by(|a, b| b.part.total_cmp(&a.part));
    all
}

/// A zone's layers, each laid when its cup is mixed.
struct Laid {
    layers: Vec<Layer>,
    first: Clock,
    /// How stiff each layer's resin is while it cures.
    moduli: Vec<Option<CuringModulus>>,
    /// What limits may name.
    tags: Vec<String>,
    /// What the laws of their cure rest on.
    basis: Vec<String>,
}

/// A zone's layers; nothing if no law of a resin's cure or a thickness is not known.
fn laid_on(
    job: &Job,
    zone: &str,
    cups: &[Cup],
    timed: &Timetable,
    laws: &BTreeMap<&str, Calibration>,
) -> Result<Option<Laid>> {
    let items: Vec<(usize, &Item)> = job
        .items
        .iter()
        .enumerate()
        .filter(|(_, i)| i.zone == zone && i.act < Act::Insert)
        .collect();
    let laid = |item: usize| {
        cups.iter()
            .zip(&timed.cups)
            .filter(|(c, _)| c.items.iter().any(|(i, _)| *i == item))
            .map(|(_, t)| *t)
            .reduce(|a, b| if b.since(a).si() > 0.0 { b } else { a })
    };
    let Some(first) = items.first().and_then(|(i, _)| laid(*i)) else {
        return Ok(None);
    };
    let mut layers = Vec::with_capacity(items.len());
    let mut tags = Vec::new();
    let mut basis = Vec::new();
    let mut moduli = Vec::new();
    for (n, (i, item)) in items.iter().enumerate() {
        let mix = &job.mixes[item.recipe.as_str()];
        let (Some(law), Some(thickness), Some(at)) =
            (laws.get(mix.resin().id.as_str()), item.thickness, laid(*i))
        else {
            return Ok(None);
        };
        let (thermal, resin_content) = thermal(job, mix, Some(item))?;
        let Some(cure) = cure_of(mix, law, resin_content)? else {
            return Ok(None);
        };
        if !basis.contains(&law.basis) {
            basis.push(law.basis.clone());
        }
        tags.extend(mix.tags_for(item.act));
        moduli.push(CuringModulus::of_resin(mix.resin().resin()?)?);
        layers.push(Layer {
            name: format!("{} {}", item.act.noun(), n + 1),
            thickness,
            thermal,
            cure: Some(cure),
            starts_at: job.casting.shop.resin(),
            laid_at: at.since(first),
            contact: None,
        });
    }
    Ok(Some(Laid {
        layers,
        first,
        moduli,
        tags,
        basis,
    }))
}

/// The mould's wall; nothing if its material does not say how it holds and conducts heat.
fn mould_wall(job: &Job) -> Result<Option<Layer>> {
    let wall = job.catalogue.get(&job.casting.mould.wall)?;
    let w = wall.mould_wall()?;
    let (Some(k), Some(c), Some(d)) = (&w.conductivity, &w.specific_heat, &wall.density) else {
        return Ok(None);
    };
    let Some(thickness) = job.casting.mould.thickness else {
        // Who gives test cups wants the heat of the zones; from the catalogue alone it is told where it can be.
        if job.casting.cup_tests.is_empty() {
            return Ok(None);
        }
        return Err(Error::new(ErrorKind::Document, "mould.thickness")
            .with_value("no thickness of the mould wall")
            .with_way_out(
                "the heat of a zone runs into the mould: give its wall's thickness, for example '6 mm', or leave \
                 'cup_tests' out",
            ));
    };
    Ok(Some(Layer {
        name: wall.name.clone(),
        thickness,
        thermal: Thermal::new(d.value, c.value, k.value),
        cure: None,
        starts_at: job.casting.shop.mould(),
        laid_at: Time::default(),
        contact: None,
    }))
}

/// Evenly spaced times at which the temperatures of a zone are kept, some six minutes of a night.
const KEPT: u32 = 181;
/// Straight lines between what is kept may be so far off, K.
const STRAIGHT: f64 = 0.05;

/// The zone's layers on the mould's wall until it is demoulded.
fn zone_exotherm(
    job: &Job,
    mould: Layer,
    laid: &Laid,
    timed: &Timetable,
    cancel: Cancel<'_>,
) -> Result<(ZoneExotherm, Vec<History>)> {
    let layers = std::iter::once(mould)
        .chain(laid.layers.iter().cloned())
        .collect();
    let demould = timed.demould.since(laid.first);
    let wall = Wall {
        stop_when_cooling: false,
        ..Wall::plane(
            layers,
            still_air(job, 0.2, laid.first, demould),
            still_air(job, 0.2, laid.first, demould),
            demould,
        )
    };
    let run = Wall {
        profiles: KEPT,
        ..wall.clone()
    }
    .run(cancel)?;
    let histories = match &run.profiles {
        Some(p) => histories(laid, p, demould)?,
        None => vec![],
    };
    let gelled = run.layers[1..]
        .iter()
        .map(|l| l.gel_ends)
        .try_fold(Time::default(), |latest, t| {
            t.map(|t| if t > latest { t } else { latest })
        });
    let least = run.layers[1..]
        .iter()
        .filter_map(|l| Some((l.least_cure?, l.vitrified)))
        .reduce(|a, b| if b.0.get() < a.0.get() { b } else { a });
    let face = run
        .surfaces
        .get(1)
        .map(|p| p.temperature)
        .ok_or_else(|| Error::new(ErrorKind::NotConverged, "mould face"))?;
    let exotherm = ZoneExotherm {
        peak: run.peak.temperature,
        peak_at: run.peak.time,
        peak_in: run.peak.place.clone(),
        peak_error: run.cells.peak_error,
        mould_face: face,
        gelled,
        cure_at_demould: least.map(|l| l.0),
        vitrified: least.and_then(|l| l.1),
        basis: laid.basis.clone(),
        extrapolated: run.extrapolated.clone(),
        why: run.why.clone(),
        wall,
    };
    Ok((exotherm, histories))
}

/// What each curing layer went through in the cell that ends least cured.
fn histories(laid: &Laid, profiles: &Profiles, demould: Time) -> Result<Vec<History>> {
    let mut all = Vec::with_capacity(laid.layers.len());
    let Some(last) = profiles.cure.last() else {
        return Ok(all);
    };
    for (n, layer) in laid.layers.iter().enumerate() {
        // The mould's wall is the first of the wall's layers.
        let cells = profiles
            .layer
            .iter()
            .enumerate()
            .filter(|(_, l)| **l == n + 1)
            .map(|(i, _)| i);
        let least = cells
            .filter_map(|i| Some((i, last.get(i).copied().flatten()?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let (Some((cell, least_cure)), Some(cure)) = (least, &layer.cure) else {
            continue;
        };
        let from = layer.laid_at.si();
        let mut seen = vec![(0.0, layer.starts_at.si())];
        for (t, row) in profiles.time_s.iter().zip(&profiles.temperature_k) {
            if let Some(Some(kelvin)) = row.get(cell).filter(|_| *t > from + 1.0 && *t <= demould.si()) {
                seen.push((t - from, *kelvin));
            }
        }
        all.push(History {
            layer: layer.name.clone(),
            kinetics: cure.kinetics.clone(),
            modulus: laid.moduli[n].clone(),
            laid: laid.first.after(layer.laid_at),
            points: straight(&seen)
                .into_iter()
                .map(|(t, kelvin)| {
                    Ok(SchedulePoint {
                        time: Time::from_si(t)?,
                        temperature: ThermodynamicTemperature::from_si(kelvin)?,
                    })
                })
                .collect::<Result<_>>()?,
            least_cure,
            tags: laid.tags.clone(),
        });
    }
    Ok(all)
}

/// The points without those that lie on a straight line between the others.
fn straight(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let mut from = 0;
    while let Some(&start) = points.get(from) {
        kept.push(start);
        let mut to = from + 1;
        while to + 1 < points.len() {
            let (end, next) = (points[to + 1], to + 1);
            let slope = (end.1 - start.1) / (end.0 - start.0);
            let on = |p: &(f64, f64)| (start.1 + slope * (p.0 - start.0) - p.1).abs() <= STRAIGHT;
            if !points[from + 1..next].iter().all(on) {
                break;
            }
            to = next;
        }
        if to >= points.len() {
            break;
        }
        from = to;
    }
    kept
}
