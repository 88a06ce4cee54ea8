//! How hot it gets: each zone in its mould with its layers laid on the clock, and each cup with what is left in it.
//! What the plan hands to cure and heat, for the resins whose test cup is known.

use std::collections::BTreeMap;

use crate::noun::Noun;
use uom::si::length::meter;

use super::casting::Zone;
use super::clock::Clock;
use super::job::{Cup, Job};
use super::layout::{Act, Item, Mix};
use super::steps::Timetable;
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::cure::{DataSheetKinetics, RateLaw, Vitrification, Vitrified};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{
    self, Boiling, Course, Evaporation, Face, Layer, Monomer, OpenFace, Stance, Surroundings, Thermal, Wall,
};
use crate::limit::{LimitQuantity, Measured};
use crate::material::Class;
use crate::mix::Batch;
use crate::quantity::{
    DegreeOfCure, Length, Mass, MassDensity, MassFraction, Phr, Quantity, TemperatureInterval,
    ThermodynamicTemperature, Time,
};
use crate::source::{Property, Why};

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
    /// Where its styrene passes its boiling point before it has reacted, if it does.
    pub boiling: Option<Boiling>,
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
    /// Where its styrene passes its boiling point before it has reacted, if it does.
    pub boiling: Option<Boiling>,
}

pub(super) struct Exotherms {
    pub(super) cups: Vec<Option<CupExotherm>>,
    pub(super) zones: Vec<Option<ZoneExotherm>>,
    pub(super) measured: Vec<Measured>,
}

/// The kinetics that each resin's cup test shows.
fn fitted<'c>(job: &'c Job, cancel: Cancel<'_>) -> Result<BTreeMap<&'c str, DataSheetKinetics>> {
    job.casting
        .cup_tests
        .iter()
        .map(|(resin, test)| {
            let mut lines = test.lines.clone();
            if lines.vitrification.is_none() {
                lines.vitrification = Vitrification::of_resin(job.catalogue.get(resin)?.resin()?)?;
            }
            lines
                .kinetics(&test.cup, cancel)
                .map(|k| (resin.as_str(), k))
                .map_err(|e| e.within(format!("cup_tests.{resin}")))
        })
        .collect()
}

/// Specific heat and conductivity where a material does not say: from memory.
const RESIN_HEAT: f64 = 1900.0;
const RESIN_CONDUCTIVITY: f64 = 0.18;
const GLASS_HEAT: f64 = 800.0;
const GLASS_CONDUCTIVITY: f64 = 1.0;
/// Degree of cure at which a part is demoulded: the limit `demould_cure` says on whose word.
const DEMOULD_CURE: f64 = 0.80;

fn or_usual<Q: Quantity>(known: Option<&Property<Q>>, usual: f64) -> Result<Q> {
    known.map_or_else(|| Q::from_si(usual), |p| Ok(p.value))
}

/// The layer of an item, and the share of it that reacts: the filled mix, and the reinforcement laid with it.
fn thermal(job: &Job, mix: &Mix, item: Option<&Item>) -> Result<(Thermal, MassFraction)> {
    let resin = mix.resin().resin()?;
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
    let reacting = Thermal::new(
        MassDensity::from_si(liquid.0 / liquid.1)?,
        or_usual(resin.specific_heat.as_ref(), RESIN_HEAT)?,
        or_usual(resin.conductivity.as_ref(), RESIN_CONDUCTIVITY)?,
    );
    let mut parts = vec![(Mass::from_si(liquid.0)?, reacting)];
    parts.extend(inert);
    let mass: f64 = parts.iter().map(|(m, _)| m.si()).sum();
    Ok((
        Thermal::of_mixture(&parts)?,
        MassFraction::new((liquid.0 / mass).clamp(0.0, 1.0))?,
    ))
}

/// How a mix cures at its own dose.
fn cure_of(mix: &Mix, fitted: &DataSheetKinetics, resin_content: MassFraction) -> Result<heat::Cure> {
    let mut kinetics = fitted.kinetics.clone();
    if let (RateLaw::FreeRadical(law), Some(dose)) = (&mut kinetics.law, &mix.unit.cure_dose) {
        law.dose = Phr::new(dose.by_mass.value.get())?;
    }
    Ok(heat::Cure {
        kinetics,
        resin_content,
        gel_at: fitted.gel_conversion,
        demould_at: Some(DegreeOfCure::new(DEMOULD_CURE)?),
        monomer: None,
    })
}

/// What of the mix can boil: the styrene of its resin, where the material says how much. Of its liquid part.
fn monomer_of(mix: &Mix) -> Result<Option<Monomer>> {
    let Some(styrene) = &mix.resin().resin()?.styrene else {
        return Ok(None);
    };
    let liquid: f64 = mix
        .materials
        .iter()
        .zip(&mix.unit.parts)
        .filter(|((_, m), _)| !matches!(m.class, Class::Filler(_)))
        .map(|(_, part)| part.mass.si())
        .sum();
    let share = styrene.value.get() * mix.unit.parts[0].mass.si() / liquid;
    Ok(if share > 0.0 {
        Some(Monomer::styrene(MassFraction::new(share.min(1.0))?))
    } else {
        None
    })
}

/// Length of a face whose zone's area is not known, m: common practice, no source.
const FACE: f64 = 0.2;

/// How the zone's open face, or the mould's back behind it, stands in the shop's air.
fn standing(zone: &Zone, back: bool) -> Result<Surroundings> {
    let stance = match (zone.stance, back) {
        (Stance::LevelUp, true) => Stance::LevelDown,
        (Stance::LevelDown, true) => Stance::LevelUp,
        (stance, _) => stance,
    };
    let square = zone.area.map_or(FACE, |a| a.si().sqrt());
    // A square's area over its perimeter is a quarter of its side.
    let of_square = match stance {
        Stance::LevelUp | Stance::LevelDown => 0.25 * square,
        _ => square,
    };
    let size = match zone.size {
        Some(size) => size,
        None => Length::from_si(of_square.clamp(1e-3, 10.0))?,
    };
    Ok(Surroundings::new(stance, size, EMISSIVITY))
}

/// Of painted, resin and plaster faces: from memory.
const EMISSIVITY: f64 = 0.9;

/// The zone's inner face: open to the shop's air, and evaporating while it is rolled, until the mould is closed.
fn inner_face(job: &Job, zone: &Zone, laid: &Laid, timed: &Timetable, ends: Time) -> Result<Face> {
    let surroundings = standing(zone, false)?;
    let temperature = Course::Steady(job.casting.shop.temperature);
    let closes_at = timed.closed.map(|c| c.since(laid.first));
    let until = closes_at.filter(|c| *c < ends).unwrap_or(ends);
    let mut evaporation: Vec<Evaporation> = Vec::new();
    for &(from, to) in &laid.rolled {
        let free = evaporation.last().map_or(Time::default(), |e| e.until);
        let from = if from > free { from } else { free };
        let to = if to < until { to } else { until };
        if from < to {
            evaporation.push(Evaporation::rolled(from, to)?);
        }
    }
    Ok(match closes_at {
        Some(closes_at) if closes_at > Time::default() && closes_at < ends => Face::Cavity {
            // To the middle of the hollow about half of the face's own length: the air is a hundredth of the heat capacity.
            depth: surroundings.size * 0.5,
            closes_at,
            open: Some(OpenFace {
                surroundings,
                temperature,
                evaporation,
            }),
        },
        _ => Face::StillAir {
            surroundings,
            temperature,
            evaporation,
        },
    })
}

pub(super) fn exotherms(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    cancel: Cancel<'_>,
) -> Result<Exotherms> {
    let fitted = fitted(job, cancel)?;
    let mut measures = Vec::new();
    let mut bodies = Bodies::default();
    let mut of_cups = Vec::with_capacity(cups.len());
    for (cup, batch) in cups.iter().zip(batches) {
        let fitted = fitted.get(job.mixes[cup.recipe.as_str()].resin().id.as_str());
        of_cups.push(
            fitted
                .map(|k| cup_left_standing(job, cup, batch, k))
                .transpose()
                .map_err(|e| e.within(&cup.name))?
                .map(|c| bodies.add(Body::Cup(Box::new(c)))),
        );
    }
    let mut of_zones = Vec::with_capacity(job.casting.zones.len());
    for zone in &job.casting.zones {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let Some(laid) = laid_on(job, &zone.name, cups, timed, &fitted).map_err(at)? else {
            of_zones.push(None);
            continue;
        };
        let Some(mould) = mould_wall(job)? else {
            of_zones.push(None);
            continue;
        };
        let wall = zone_wall(job, zone, mould, &laid, timed).map_err(at)?;
        of_zones.push(Some((laid, bodies.add(Body::Wall(Box::new(wall))))));
    }
    let runs = bodies.run(cancel)?;
    let of_cups = cups
        .iter()
        .zip(of_cups)
        .map(|(cup, body)| {
            body.map(|b| runs.cup(b).map_err(|e| e.within(&cup.name)))
                .transpose()
        })
        .collect::<Result<_>>()?;
    let mut zones = Vec::with_capacity(of_zones.len());
    for (zone, laid) in job.casting.zones.iter().zip(of_zones) {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let Some((laid, body)) = laid else {
            zones.push(None);
            continue;
        };
        let e = runs.zone(body).map_err(at)?;
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
        if laid
            .layers
            .iter()
            .any(|l| l.cure.as_ref().is_some_and(|c| c.monomer.is_some()))
        {
            let most = e.boiling.as_ref().map_or(MassFraction::ZERO, |b| b.most_monomer);
            measures.push(Measured::new(
                LimitQuantity::BoilingMonomer,
                zone.name.clone(),
                &laid.tags,
                most,
            ));
        }
        if let Some(c) = e.cure_at_demould {
            let measured = Measured::new(LimitQuantity::DemouldCure, zone.name.clone(), &laid.tags, c);
            measures.push(match e.vitrified {
                Some(v) => measured.between(v.low, v.high),
                None => measured,
            });
        }
        zones.push(Some(e));
    }
    Ok(Exotherms {
        cups: of_cups,
        zones,
        measured: measures,
    })
}

/// What heat is followed in.
#[derive(PartialEq)]
enum Body {
    Cup(Box<heat::Cup>),
    Wall(Box<Wall>),
}

/// What became of it.
enum BodyRun {
    Cup(heat::CupRun),
    Wall(heat::WallRun),
}

/// All cups and walls of a plan, the same ones once.
#[derive(Default)]
struct Bodies(Vec<Body>);

impl Bodies {
    /// Its number.
    fn add(&mut self, body: Body) -> usize {
        self.0.iter().position(|b| *b == body).unwrap_or_else(|| {
            self.0.push(body);
            self.0.len() - 1
        })
    }

    /// Follows them all, on all cores.
    fn run(self, cancel: Cancel<'_>) -> Result<BodyRuns> {
        let runs: Result<Vec<_>> = on_all_cores(
            self.0.len(),
            || (),
            |(), i| {
                finished(match &self.0[i] {
                    Body::Cup(cup) => cup.run(cancel).map(BodyRun::Cup),
                    Body::Wall(wall) => wall.run(cancel).map(BodyRun::Wall),
                })
            },
        );
        Ok(BodyRuns {
            bodies: self.0,
            runs: runs?,
        })
    }
}

/// Bodies that have been followed.
struct BodyRuns {
    bodies: Vec<Body>,
    runs: Vec<Result<BodyRun>>,
}

impl BodyRuns {
    fn of(&self, body: usize) -> Result<&BodyRun> {
        self.runs[body].as_ref().map_err(Clone::clone)
    }

    fn cup(&self, body: usize) -> Result<CupExotherm> {
        let BodyRun::Cup(run) = self.of(body)? else {
            return Err(Error::new(ErrorKind::NotConverged, "cup"));
        };
        Ok(CupExotherm {
            gel: run.gel,
            peak: run.peak,
            peak_at: run.peak_time,
            boiling: run.boiling.clone(),
        })
    }

    fn zone(&self, body: usize) -> Result<ZoneExotherm> {
        let (BodyRun::Wall(run), Body::Wall(wall)) = (self.of(body)?, &self.bodies[body]) else {
            return Err(Error::new(ErrorKind::NotConverged, "wall"));
        };
        zone_exotherm(run, wall)
    }
}

/// A cup that nobody empties, as wide as the mix is deep.
fn cup_left_standing(job: &Job, cup: &Cup, batch: &Batch, fitted: &DataSheetKinetics) -> Result<heat::Cup> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let (thermal, resin_content) = thermal(job, mix, None)?;
    let diameter = (4.0 * batch.volume.si() / std::f64::consts::PI).cbrt();
    Ok(heat::Cup {
        stop_when_cooling: true,
        ..heat::Cup::new(
            batch.mass,
            Length::new::<meter>(diameter),
            thermal,
            heat::Cure {
                monomer: monomer_of(mix)?,
                ..cure_of(mix, fitted, resin_content)?
            },
            job.casting.shop.resin(),
            heat::Place::Bench {
                air: Course::Steady(job.casting.shop.temperature),
                emissivity: EMISSIVITY,
            },
            super::steps::minutes(24.0 * 60.0),
        )
    })
}

/// A zone's layers, each laid when its cup is mixed.
struct Laid {
    layers: Vec<Layer>,
    first: Clock,
    /// From when to when a laminate with styrene in its resin is rolled.
    rolled: Vec<(Time, Time)>,
    /// What limits may name.
    tags: Vec<String>,
}

/// A zone's layers; nothing if a resin has no cup test or a thickness is not known.
fn laid_on(
    job: &Job,
    zone: &str,
    cups: &[Cup],
    timed: &Timetable,
    fitted: &BTreeMap<&str, DataSheetKinetics>,
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
    let mut rolled = Vec::new();
    for (n, (i, item)) in items.iter().enumerate() {
        let mix = &job.mixes[item.recipe.as_str()];
        let (Some(f), Some(thickness), Some(at)) =
            (fitted.get(mix.resin().id.as_str()), item.thickness, laid(*i))
        else {
            return Ok(None);
        };
        let (thermal, resin_content) = thermal(job, mix, Some(item))?;
        tags.extend(mix.tags_for(item.act));
        let monomer = monomer_of(mix)?;
        let start = at.since(first);
        if item.act == Act::Laminate && monomer.is_some() {
            rolled.push((start, start + item.placing));
        }
        let cure = cure_of(mix, f, resin_content)?;
        layers.push(Layer {
            name: format!("{} {}", item.act.noun(), n + 1),
            thickness,
            thermal,
            cure: Some(heat::Cure { monomer, ..cure }),
            starts_at: job.casting.shop.resin(),
            laid_at: start,
            contact: None,
        });
    }
    Ok(Some(Laid {
        layers,
        first,
        rolled,
        tags,
    }))
}

/// The mould's wall; nothing if its material does not say how it holds and conducts heat.
fn mould_wall(job: &Job) -> Result<Option<Layer>> {
    let wall = job.catalogue.get(&job.casting.mould.wall)?;
    let w = wall.mould_wall()?;
    let (Some(k), Some(c), Some(d)) = (&w.conductivity, &w.specific_heat, &wall.density) else {
        return Ok(None);
    };
    let thickness = job.casting.mould.thickness.ok_or_else(|| {
        Error::new(ErrorKind::Document, "mould.thickness")
            .with_value("no thickness of the mould wall")
            .with_way_out(
                "the heat of a zone runs into the mould: give its wall's thickness, for example '6 mm', or leave \
                 'cup_tests' out",
            )
    })?;
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

/// The zone's layers on the mould's wall until it is demoulded.
fn zone_wall(job: &Job, zone: &Zone, mould: Layer, laid: &Laid, timed: &Timetable) -> Result<Wall> {
    let layers = std::iter::once(mould)
        .chain(laid.layers.iter().cloned())
        .collect();
    let demould = timed.demould.since(laid.first);
    let back = Face::still_air(standing(zone, true)?, job.casting.shop.temperature);
    let inner = inner_face(job, zone, laid, timed, demould)?;
    Ok(Wall::plane(layers, back, inner, demould))
}

fn zone_exotherm(run: &heat::WallRun, wall: &Wall) -> Result<ZoneExotherm> {
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
    Ok(ZoneExotherm {
        peak: run.peak.temperature,
        peak_at: run.peak.time,
        peak_in: run.peak.place.clone(),
        peak_error: run.cells.peak_error,
        mould_face: face,
        gelled,
        cure_at_demould: least.map(|l| l.0),
        vitrified: least.and_then(|l| l.1),
        boiling: run.boiling.clone(),
        extrapolated: run.extrapolated.clone(),
        why: run.why.clone(),
        wall: wall.clone(),
    })
}
