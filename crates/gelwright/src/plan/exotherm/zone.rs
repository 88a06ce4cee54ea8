//! A zone in its mould: its layers laid on the clock, and the faces that they give heat to.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::super::casting::Zone;
use super::super::clock::Clock;
use super::super::job::{Cup, Job};
use super::super::layout::{Act, Item};
use super::super::steps::Timetable;
use super::super::zone_cure::Way;
use super::EMISSIVITY;
use super::laws::{Laws, cure_of, thermal};
use super::zone_band::ZoneBand;
use crate::calibrate::{Calibration, DrawnLaw};
use crate::cure::{CuringModulus, Kinetics, SchedulePoint, Vitrified};
use crate::error::{Error, ErrorKind, Result};
use crate::heat::{
    self, Boiling, Course, Evaporation, Face, Layer, OpenFace, Stance, Surroundings, Thermal, Wall,
};
use crate::mix::Batch;
use crate::noun::Noun;
use crate::quantity::{DegreeOfCure, Length, Quantity, TemperatureInterval, ThermodynamicTemperature, Time};
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
    /// Where its styrene passes its boiling point before it has reacted, if it does.
    pub boiling: Option<Boiling>,
    /// How sure peak, gelling and cure are.
    pub band: Option<ZoneBand>,
    /// What the laws of its layers' cure rest on, each once.
    pub basis: Vec<String>,
    /// What is outside the fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The wall as it was handed to `heat.wall`: ask it again with `profiles` for temperature over time and depth.
    pub wall: Wall,
    /// The chain behind it.
    pub why: Why,
}

/// How warm a layer was where it is least cured, until demoulding.
pub(crate) struct History {
    pub(crate) layer: String,
    pub(crate) kinetics: Kinetics,
    pub(crate) modulus: Option<CuringModulus>,
    /// When it was laid.
    pub(crate) laid: Clock,
    /// Its temperature from then on.
    pub(crate) points: Vec<SchedulePoint>,
    pub(crate) least_cure: f64,
    /// What limits may name.
    pub(crate) tags: Vec<String>,
    /// Where it goes from demoulding on, and how it cures there: followed once, for all that are the same.
    pub(crate) way: Arc<OnceLock<Way>>,
}

impl History {
    /// Whether another layer is the same and went through the same.
    pub(crate) fn same(&self, other: &History) -> bool {
        self.layer == other.layer
            && self.points == other.points
            && self.laid == other.laid
            && self.least_cure == other.least_cure
            && self.tags == other.tags
            && self.kinetics == other.kinetics
            && self.modulus == other.modulus
    }
}

/// What of a zone is off besides its laws.
pub(super) struct Off<'a> {
    /// Factors on the doses, by recipe.
    pub(super) doses: BTreeMap<&'a str, f64>,
    /// How much warmer it is than the thermometer shows, K.
    pub(super) kelvin: f64,
    /// Factor on the films of its faces.
    pub(super) film: f64,
}

impl Off<'_> {
    /// Nothing is off.
    pub(super) fn nothing() -> Self {
        Off {
            doses: BTreeMap::new(),
            kelvin: 0.0,
            film: 1.0,
        }
    }

    fn warmer(&self, t: ThermodynamicTemperature) -> Result<ThermodynamicTemperature> {
        ThermodynamicTemperature::from_si(t.si() + self.kelvin)
    }

    /// The mould's wall, as warm as it is.
    pub(super) fn mould(&self, wall: Layer) -> Result<Layer> {
        Ok(Layer {
            starts_at: self.warmer(wall.starts_at)?,
            ..wall
        })
    }
}

/// A recipe of a zone.
pub(super) struct Dosed<'a> {
    pub(super) recipe: &'a str,
    pub(super) resin: &'a str,
    /// Standard uncertainty of its dose, a part of it.
    pub(super) off: f64,
}

/// A zone's layers, each laid when its cup is mixed.
#[derive(Clone)]
pub(super) struct Laid<'a> {
    pub(super) layers: Vec<Layer>,
    /// Their resins.
    resins: Vec<&'a str>,
    /// What each is laid from, by which law, and how far off its dose may be.
    from: Vec<(&'a Item, &'a Calibration, f64)>,
    first: Clock,
    /// From when to when a laminate with styrene in its resin is rolled.
    rolled: Vec<(Time, Time)>,
    /// How stiff each layer's resin is while it cures.
    moduli: Vec<Option<CuringModulus>>,
    /// What limits may name.
    pub(super) tags: Vec<String>,
    /// What the laws of their cure rest on.
    basis: Vec<String>,
}

/// A zone's layers; nothing if no law of a resin's cure or a thickness is not known.
pub(super) fn laid_on<'a>(
    job: &'a Job,
    zone: &str,
    (cups, batches): (&[Cup], &[Batch]),
    timed: &Timetable,
    laws: &'a Laws,
) -> Result<Option<Laid<'a>>> {
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
    let mut rolled = Vec::new();
    let mut from = Vec::new();
    let mut resins = Vec::new();
    for (n, (i, item)) in items.iter().enumerate() {
        let mix = &job.mixes[item.recipe.as_str()];
        let (Some(law), Some(thickness), Some(at)) =
            (laws.get(mix.resin().id.as_str()), item.thickness, laid(*i))
        else {
            return Ok(None);
        };
        let most_probable = law.most_probable();
        let (thermal, resin_content) = thermal(job, mix, Some(item), most_probable.specific_heat)?;
        let Some(cure) = cure_of(mix, &most_probable, resin_content, 1.0)? else {
            return Ok(None);
        };
        let measured = cups
            .iter()
            .zip(batches)
            .filter(|(c, _)| c.recipe == item.recipe)
            .filter_map(|(_, b)| Some(b.cure_dose.as_ref()?.uncertainty.get()))
            .fold(0.0, f64::max);
        resins.push(mix.resin().id.as_str());
        from.push((*item, law, measured.min(1.0)));
        if !basis.contains(&law.basis) {
            basis.push(law.basis.clone());
        }
        tags.extend(mix.tags_for(item.act));
        let start = at.since(first);
        if item.act == Act::Laminate && cure.monomer.is_some() {
            rolled.push((start, start + item.placing));
        }
        moduli.push(CuringModulus::of_resin(mix.resin().resin()?)?);
        layers.push(Layer {
            name: format!("{} {}", item.act.noun(), n + 1),
            thickness,
            thermal,
            cure: Some(cure),
            starts_at: job.casting.shop.resin(),
            laid_at: start,
            contact: None,
        });
    }
    Ok(Some(Laid {
        layers,
        resins,
        from,
        first,
        rolled,
        moduli,
        tags,
        basis,
    }))
}

impl<'a> Laid<'a> {
    /// The laws of its resins, each once.
    pub(super) fn laws(&self) -> Vec<(&'a str, &'a Calibration)> {
        let mut laws: Vec<(&str, &Calibration)> = Vec::new();
        for (resin, law) in self.resins.iter().zip(self.from.iter().map(|f| f.1)) {
            if !laws.iter().any(|l| l.0 == *resin) {
                laws.push((resin, law));
            }
        }
        laws
    }

    /// Its recipes, each once, the resin of each, and how far off its dose may be.
    pub(super) fn doses(&self) -> Vec<Dosed<'a>> {
        let mut doses: Vec<Dosed> = Vec::new();
        for ((item, _, off), resin) in self.from.iter().zip(&self.resins) {
            if !doses.iter().any(|d| d.recipe == item.recipe) {
                doses.push(Dosed {
                    recipe: &item.recipe,
                    resin,
                    off: *off,
                });
            }
        }
        doses
    }

    /// The resin of a layer, and what it cures to at gel.
    pub(super) fn gels(&self, layer: usize) -> Option<(&'a str, f64)> {
        let gel = self.layers[layer].cure.as_ref()?.gel_at.get();
        Some((self.resins[layer], gel))
    }

    /// The coldest that it is laid, K.
    pub(super) fn coldest(&self) -> f64 {
        let starts = self.layers.iter().map(|l| l.starts_at.si());
        starts.fold(f64::INFINITY, f64::min)
    }

    /// The same by other laws, and with what is off.
    pub(super) fn moved(&self, job: &Job, laws: &BTreeMap<&str, DrawnLaw>, off: &Off) -> Result<Self> {
        let mut again = self.clone();
        for (layer, ((item, _, _), resin)) in again.layers.iter_mut().zip(self.from.iter().zip(&self.resins))
        {
            let (mix, law) = (&job.mixes[item.recipe.as_str()], &laws[resin]);
            let (thermal, resin_content) = thermal(job, mix, Some(item), law.specific_heat)?;
            let times = off.doses.get(item.recipe.as_str()).copied().unwrap_or(1.0);
            layer.thermal = thermal;
            layer.cure = cure_of(mix, law, resin_content, times)?;
            layer.starts_at = off.warmer(layer.starts_at)?;
        }
        Ok(again)
    }
}

/// Length of a face whose zone's area is not known, m: common practice, no source.
const FACE: f64 = 0.2;

/// How the zone's open face, or the mould's back behind it, stands in the shop's air.
fn standing(zone: &Zone, back: bool, off: &Off) -> Result<Surroundings> {
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
    Ok(Surroundings {
        film_factor: off.film,
        ..Surroundings::new(stance, size, EMISSIVITY)
    })
}

/// The shop's air over the hours of a zone.
fn air(job: &Job, from: Clock, duration: Time, off: &Off) -> Result<Course> {
    let shop = &job.casting.shop;
    if shop.day.is_empty() {
        return Ok(Course::Steady(off.warmer(shop.temperature)?));
    }
    let air = shop.air_from(from);
    let inside = air
        .into_iter()
        .map(|(at, t)| (at.since(from), t))
        .filter(|(at, _)| *at < duration);
    let end = std::iter::once((duration, shop.air_at(from.after(duration))));
    let all = inside.chain(end).map(|(at, t)| Ok((at, off.warmer(t)?)));
    Ok(Course::points(all.collect::<Result<Vec<_>>>()?))
}

/// The zone's inner face: open to the shop's air, and evaporating while it is rolled, until the mould is closed.
fn inner_face(job: &Job, zone: &Zone, laid: &Laid, timed: &Timetable, ends: Time, off: &Off) -> Result<Face> {
    let surroundings = standing(zone, false, off)?;
    let temperature = air(job, laid.first, ends, off)?;
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

/// The mould's wall; nothing if its material does not say how it holds and conducts heat.
pub(super) fn mould_wall(job: &Job) -> Result<Option<Layer>> {
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
pub(super) fn zone_wall(
    job: &Job,
    zone: &Zone,
    mould: Layer,
    laid: &Laid,
    timed: &Timetable,
    off: &Off,
) -> Result<Wall> {
    let layers = std::iter::once(mould)
        .chain(laid.layers.iter().cloned())
        .collect();
    let demould = timed.demould.since(laid.first);
    let back = Face::StillAir {
        surroundings: standing(zone, true, off)?,
        temperature: air(job, laid.first, demould, off)?,
        evaporation: vec![],
    };
    let inner = inner_face(job, zone, laid, timed, demould, off)?;
    Ok(Wall {
        profiles: KEPT,
        ..Wall::plane(layers, back, inner, demould)
    })
}

/// What a zone's wall that was followed shows of it.
pub(super) struct Seen {
    pub(super) peak: ThermodynamicTemperature,
    pub(super) peak_at: Time,
    pub(super) mould_face: ThermodynamicTemperature,
    /// When all of it has gelled.
    pub(super) gelled: Option<Time>,
    /// Which of its layers gels last.
    pub(super) gels_last: usize,
    /// Which of its layers is cured least at the end, and how far.
    pub(super) least: Option<(usize, DegreeOfCure)>,
}

impl Seen {
    pub(super) fn of(run: &heat::WallRun) -> Result<Self> {
        let layers = run.layers.iter().map(|l| (l.gel_ends, l.least_cure));
        let face = run.surfaces.get(1).map(|p| p.temperature);
        Seen::shown((run.peak.temperature, run.peak.time), face, layers)
    }

    /// Of a wall that was followed with many like it.
    pub(super) fn brief(run: &heat::WallBrief) -> Result<Self> {
        let layers = run.layers.iter().map(|l| (l.gel_ends, l.least_cure));
        Seen::shown((run.peak, run.peak_at), run.surfaces.get(1).copied(), layers)
    }

    /// Of each layer: when all of it has gelled, and where it ends least cured.
    fn shown(
        (peak, peak_at): (ThermodynamicTemperature, Time),
        mould_face: Option<ThermodynamicTemperature>,
        layers: impl Iterator<Item = (Option<Time>, Option<DegreeOfCure>)>,
    ) -> Result<Self> {
        let mut seen = Seen {
            peak,
            peak_at,
            mould_face: mould_face.ok_or_else(|| Error::new(ErrorKind::NotConverged, "mould face"))?,
            gelled: Some(Time::default()),
            gels_last: 0,
            least: None,
        };
        // The mould's wall is the first of the wall's layers.
        for (k, (gels, cure)) in layers.skip(1).enumerate() {
            if let (Some(before), Some(this)) = (seen.gelled, gels)
                && this > before
            {
                seen.gels_last = k;
            }
            seen.gelled = seen.gelled.zip(gels).map(|(a, b)| if b > a { b } else { a });
            seen.least = match (seen.least, cure) {
                (Some((_, least)), Some(this)) if this.get() >= least.get() => seen.least,
                (least, this) => this.map(|a| (k, a)).or(least),
            };
        }
        Ok(seen)
    }

    /// Least degree of cure at the end; one, where nothing cures.
    pub(super) fn cure(&self) -> f64 {
        self.least.map_or(1.0, |l| l.1.get())
    }
}

impl ZoneExotherm {
    /// Of a zone's wall that was followed, with what each of its layers went through.
    pub(super) fn of(
        laid: &Laid,
        wall: &Wall,
        (run, ways): (&heat::WallRun, &[heat::LayerWay]),
    ) -> Result<(Self, Vec<History>)> {
        let histories = histories(laid, ways, wall.duration)?;
        let seen = Seen::of(run)?;
        let exotherm = ZoneExotherm {
            peak: seen.peak,
            peak_at: seen.peak_at,
            peak_in: run.peak.place.clone(),
            peak_error: run.cells.peak_error,
            mould_face: seen.mould_face,
            gelled: seen.gelled,
            cure_at_demould: seen.least.map(|l| l.1),
            vitrified: seen.least.and_then(|(k, _)| run.layers[k + 1].vitrified),
            boiling: run.boiling.clone(),
            band: None,
            basis: laid.basis.clone(),
            extrapolated: run.extrapolated.clone(),
            why: run.why.clone(),
            wall: Wall {
                profiles: 0,
                ..wall.clone()
            },
        };
        Ok((exotherm, histories))
    }
}

/// What each curing layer went through in the cell that ends least cured.
fn histories(laid: &Laid, ways: &[heat::LayerWay], demould: Time) -> Result<Vec<History>> {
    let mut all = Vec::with_capacity(laid.layers.len());
    // The mould's wall is the first of the wall's layers.
    for ((n, layer), way) in laid.layers.iter().enumerate().zip(ways.iter().skip(1)) {
        let (Some(least_cure), Some(cure)) = (way.least_cure, &layer.cure) else {
            continue;
        };
        let from = layer.laid_at.si();
        let mut seen = vec![(0.0, layer.starts_at.si())];
        let kept = way
            .kelvin
            .iter()
            .filter(|(t, _)| *t > from + 1.0 && *t <= demould.si());
        seen.extend(kept.map(|(t, kelvin)| (t - from, *kelvin)));
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
            way: Arc::default(),
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
