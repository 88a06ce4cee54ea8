//! How hot it gets: each [zone] in its mould with its layers laid on the clock, and each [cup] with what is left in it.
//! What the plan hands to calibrate and heat, for the resins whose gel times or test cups are known.

mod band;
mod cup;
mod drawn;
mod fineness;
mod laws;
mod leftover;
mod zone;
mod zone_band;

use band::Drawn;
pub(super) use band::thermometer;
pub use cup::{CupBand, CupExotherm};
pub use laws::CureLaw;
pub use zone::ZoneExotherm;
pub use zone_band::ZoneBand;

pub(super) use drawn::{Films, Fineness, drawn};
pub(super) use laws::{DEMOULD_CURE, Laws, calibrated, dose_of, thermal};
pub(super) use leftover::{peak_in_a_cup, thickest_leftover};
pub(super) use zone::History;

use std::sync::Arc;

use super::job::{Cup, Job};
use super::steps::Timetable;
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{self, EMISSIVITY, Wall};
use crate::limit::{LimitQuantity, Measured};
use crate::mix::Batch;
use crate::quantity::MassFraction;
use cup::left_standing;
use zone::{Laid, Off, laid_on, mould_wall, zone_wall};

pub(super) struct Exotherms {
    pub(super) laws: Vec<CureLaw>,
    pub(super) cups: Vec<Option<CupExotherm>>,
    pub(super) zones: Vec<Option<ZoneExotherm>>,
    pub(super) measured: Vec<Measured>,
    /// How warm each curing layer of a zone was where it is least cured.
    pub(super) histories: Vec<Option<Vec<History>>>,
}

/// How much of the heat is followed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Extent<'z> {
    /// Cups left standing and zones, and how sure they are.
    Everything,
    /// What findings rest on: the zones, without their bands.
    Zones,
    /// Cups left standing alone, and how sure they are.
    Cups,
    /// Only these zones, without their bands.
    Only(&'z [String]),
    /// None of it.
    Nothing,
}

pub(super) fn exotherms(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    laws: &Laws,
    extent: Extent<'_>,
    cancel: Cancel<'_>,
) -> Result<Exotherms> {
    let drawn = Drawn::default();
    let mut measures = Vec::new();
    let mut bodies = Bodies::default();
    let mut of_cups = Vec::with_capacity(cups.len());
    for (cup, batch) in cups.iter().zip(batches) {
        let law = laws
            .get(job.mixes[cup.recipe.as_str()].resin().id.as_str())
            .filter(|_| matches!(extent, Extent::Everything | Extent::Cups));
        let standing = match law {
            Some(law) => left_standing(job, cup, batch, law).map_err(|e| e.within(&cup.name))?,
            None => None,
        };
        of_cups.push(
            law.zip(standing)
                .map(|(law, c)| (law, bodies.add(Body::Cup(Box::new(c))))),
        );
    }
    let mut of_zones = Vec::with_capacity(job.casting.zones.len());
    for zone in &job.casting.zones {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let followed = match extent {
            Extent::Nothing | Extent::Cups => None,
            Extent::Only(zones) if !zones.contains(&zone.name) => None,
            _ => laid_on(job, &zone.name, (cups, batches), timed, laws).map_err(at)?,
        };
        let Some(laid) = followed else {
            of_zones.push(None);
            continue;
        };
        let Some(mould) = mould_wall(job)? else {
            of_zones.push(None);
            continue;
        };
        let wall = zone_wall(job, zone, mould, &laid, timed, &Off::nothing()).map_err(at)?;
        of_zones.push(Some((laid, bodies.add(Body::Wall(Box::new(wall))))));
    }
    let runs = bodies.run(cancel)?;
    let of_cups = cups
        .iter()
        .zip(batches)
        .zip(of_cups)
        .map(|((cup, batch), of)| {
            of.map(|(law, body)| {
                let followed = runs.cup(body)?;
                CupExotherm::of(job, (cup, batch), (law, &drawn), followed, cancel)
            })
            .transpose()
            .map_err(|e| e.within(&cup.name))
        })
        .collect::<Result<_>>()?;
    let mut zones = Vec::with_capacity(of_zones.len());
    let mut histories: Vec<Option<Vec<History>>> = Vec::with_capacity(of_zones.len());
    let mut banded: Vec<(usize, ZoneBand)> = Vec::new();
    for (zone, laid) in job.casting.zones.iter().zip(of_zones) {
        let at = |e: Error| e.within(format!("zones['{}']", zone.name));
        let Some((laid, body)) = laid else {
            zones.push(None);
            histories.push(None);
            continue;
        };
        let (wall, traced) = runs.wall(body).map_err(at)?;
        let (mut e, mut history) = ZoneExotherm::of(&laid, wall, (&traced.run, &traced.ways)).map_err(at)?;
        // Zones that are walled alike are as sure as each other.
        e.band = match banded.iter().find(|(of, _)| *of == body) {
            Some((_, band)) => ZoneBand::clone(band).into(),
            None if extent != Extent::Everything => None,
            None => zone_band::band(job, zone, (&laid, timed), (&e, traced, &drawn), cancel).map_err(at)?,
        };
        banded.extend(e.band.clone().map(|b| (body, b)));
        for layer in &mut history {
            if let Some(known) = histories.iter().flatten().flatten().find(|h| h.same(layer)) {
                layer.way = Arc::clone(&known.way);
            }
        }
        histories.push(Some(history));
        measures.extend(measured(job, &zone.name, &laid, &e));
        zones.push(Some(e));
    }
    Ok(Exotherms {
        laws: laws.iter().map(|(resin, law)| CureLaw::of(resin, law)).collect(),
        cups: of_cups,
        zones,
        measured: measures,
        histories,
    })
}

/// What of a zone's heat is held against limits.
fn measured(job: &Job, zone: &str, laid: &Laid, e: &ZoneExotherm) -> Vec<Measured> {
    let wall = [job.casting.mould.wall.clone()];
    let mut measures = vec![
        Measured::new(LimitQuantity::PeakTemperature, zone, &laid.tags, e.peak),
        Measured::new(LimitQuantity::MouldFaceTemperature, zone, &wall, e.mould_face),
    ];
    if laid
        .layers
        .iter()
        .any(|l| l.cure.as_ref().is_some_and(|c| c.monomer.is_some()))
    {
        let most = e.boiling.as_ref().map_or(MassFraction::ZERO, |b| b.most_monomer);
        measures.push(Measured::new(
            LimitQuantity::BoilingMonomer,
            zone,
            &laid.tags,
            most,
        ));
    }
    if let Some(c) = e.cure_at_demould {
        let measured = Measured::new(LimitQuantity::DemouldCure, zone, &laid.tags, c);
        measures.push(match e.vitrified {
            Some(v) => measured.between(v.low, v.high),
            None => measured,
        });
    }
    measures
}

/// What heat is followed in.
#[derive(PartialEq)]
enum Body {
    Cup(Box<heat::Cup>),
    Wall(Box<Wall>),
}

/// What became of it.
enum BodyRun {
    Cup(Box<heat::CupRun>),
    Wall(Box<heat::TracedWall>),
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
                    Body::Cup(cup) => cup.run(cancel).map(|c| BodyRun::Cup(Box::new(c))),
                    Body::Wall(wall) => wall.followed(cancel).map(|w| BodyRun::Wall(Box::new(w))),
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

    fn cup(&self, body: usize) -> Result<(&heat::Cup, &heat::CupRun)> {
        match (&self.bodies[body], self.of(body)?) {
            (Body::Cup(cup), BodyRun::Cup(run)) => Ok((cup, run)),
            _ => Err(Error::new(ErrorKind::NotConverged, "cup")),
        }
    }

    fn wall(&self, body: usize) -> Result<(&Wall, &heat::TracedWall)> {
        match (&self.bodies[body], self.of(body)?) {
            (Body::Wall(wall), BodyRun::Wall(traced)) => Ok((wall, traced)),
            _ => Err(Error::new(ErrorKind::NotConverged, "wall")),
        }
    }
}
