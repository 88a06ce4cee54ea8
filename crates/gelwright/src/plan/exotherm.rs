//! How hot it gets: each zone in its mould with its layers laid on the clock, and each cup with what is left in it.
//! What the plan hands to cure and heat, for the resins whose test cup is known.

use std::collections::BTreeMap;

use crate::noun::Noun;
use uom::si::length::meter;

use super::layout::{Act, Item, Mix};
use super::steps::Timetable;
use super::{Cup, Job, ZoneSummary};
use crate::cancel::Cancel;
use crate::cure::{DataSheetKinetics, DataSheetLines, Kinetics, RateLaw, TestCup, kinetics_from_data_sheet};
use crate::error::{Error, Result};
use crate::heat::{self, Course, Face, Layer, Stance, Surroundings, Thermal, Wall};
use crate::limit::{LimitQuantity, Measure};
use crate::material::Class;
use crate::mix::Batch;
use crate::quantity::{
    DegreeOfCure, Length, MassFraction, Phr, Quantity, SpecificHeatCapacity, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature, Time,
};
use crate::source::Why;

/// What a resin showed in a test cup: its data sheet's lines, or the shop's own.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct CupTest {
    /// Gel time, time from gel to peak, peak.
    pub lines: DataSheetLines,
    /// The cup it was tested in.
    pub cup: TestCup,
}

/// How hot a zone gets.
#[derive(Debug, Clone, PartialEq, Noun)]
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
    /// Least degree of cure at demoulding. A test cup does not tell where cure stops for want of mobility
    /// (vitrification), so this is an upper bound in a cool shop.
    pub cure_at_demould: Option<DegreeOfCure>,
    /// What is outside the fitted range, if anything is.
    pub extrapolated: Option<String>,
    /// The wall as it was handed to `heat.wall`: ask it again with `profiles` for temperature over time and depth.
    pub wall: Wall,
    /// The chain behind it.
    pub why: Why,
}

/// How hot a cup gets if all of it stays in it.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupExotherm {
    /// When it gels in the cup, counted from the catalyst being in.
    pub gel: Option<Time>,
    /// Hottest.
    pub peak: ThermodynamicTemperature,
    /// When.
    pub peak_at: Time,
}

pub(super) struct Exotherms {
    pub(super) cups: Vec<Option<CupExotherm>>,
    pub(super) measures: Vec<Measure>,
}

/// The kinetics that each resin's cup test shows.
fn fitted<'c>(job: &'c Job, cancel: Cancel<'_>) -> Result<BTreeMap<&'c str, DataSheetKinetics>> {
    job.casting
        .cup_tests
        .iter()
        .map(|(resin, test)| {
            let read = |k: &Kinetics, gel: DegreeOfCure| test.cup.read(k, gel);
            kinetics_from_data_sheet(&test.lines, test.cup.surroundings, &read, cancel)
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

/// Shares by mass and volume of what does not react, and its heat capacity and conductivity.
#[derive(Default)]
struct Inert {
    mass: f64,
    volume: f64,
    heat: f64,
    ln_conductivity: f64,
}

impl Inert {
    fn add(&mut self, mass: f64, density: f64, heat: f64, conductivity: f64) {
        self.mass += mass;
        self.volume += mass / density;
        self.heat += mass * heat;
        self.ln_conductivity += mass / density * conductivity.ln();
    }
}

/// The layer of an item: heat capacities add by mass, conductivities as a geometric mean by volume (Lichtenecker's
/// rule; no more is known of a hand lay-up).
fn thermal(job: &Job, mix: &Mix, item: Option<&Item>) -> Result<(Thermal, MassFraction)> {
    let resin = mix.resin().resin()?;
    let mut inert = Inert::default();
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        if let Class::Filler(f) = &m.class {
            inert.add(
                part.mass.si(),
                m.known_density()?.value.si(),
                f.specific_heat.as_ref().map_or(GLASS_HEAT, |c| c.value.si()),
                f.conductivity
                    .as_ref()
                    .map_or(GLASS_CONDUCTIVITY, |k| k.value.si()),
            );
        }
    }
    // The unit batch is one kilogram of mix.
    let (mut mass, mut volume) = (mix.unit.mass.si(), mix.unit.volume.si());
    let liquid = (mass - inert.mass, volume - inert.volume);
    if let Some(item) = item.filter(|i| !i.plies.is_empty()) {
        let per_kilogram = 1.0 / item.net.si();
        for p in &item.plies {
            let r = job.catalogue.get(&p.material)?.reinforcement()?;
            let m = p.glass() * per_kilogram;
            inert.add(
                m,
                p.fibre_density,
                r.specific_heat.as_ref().map_or(GLASS_HEAT, |c| c.value.si()),
                r.conductivity
                    .as_ref()
                    .map_or(GLASS_CONDUCTIVITY, |k| k.value.si()),
            );
            mass += m;
            volume += m / p.fibre_density;
        }
    }
    let resin_heat = resin.specific_heat.as_ref().map_or(RESIN_HEAT, |c| c.value.si());
    let resin_conductivity = resin
        .conductivity
        .as_ref()
        .map_or(RESIN_CONDUCTIVITY, |k| k.value.si());
    let ln_k = (liquid.1 * resin_conductivity.ln() + inert.ln_conductivity) / volume;
    Ok((
        Thermal::new(
            crate::quantity::MassDensity::from_si(mass / volume)?,
            SpecificHeatCapacity::from_si((liquid.0 * resin_heat + inert.heat) / mass)?,
            ThermalConductivity::from_si(ln_k.exp())?,
        ),
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
    })
}

fn still_air(job: &Job, size: f64) -> Face {
    Face::StillAir {
        surroundings: Surroundings {
            stance: Stance::Vertical,
            size: Length::new::<meter>(size),
            emissivity: 0.9,
        },
        temperature: Course::Steady(job.casting.shop.temperature),
    }
}

pub(super) fn exotherms(
    job: &Job,
    cups: &[Cup],
    batches: &[Batch],
    timed: &Timetable,
    zones: &mut [ZoneSummary],
    cancel: Cancel<'_>,
) -> Result<Exotherms> {
    let fitted = fitted(job, cancel)?;
    let mut measures = Vec::new();
    let mut of_cups = Vec::with_capacity(cups.len());
    for (cup, batch) in cups.iter().zip(batches) {
        of_cups.push(
            match fitted.get(job.mixes[cup.recipe.as_str()].resin().id.as_str()) {
                Some(k) => {
                    Some(cup_left_standing(job, cup, batch, k, cancel).map_err(|e| e.within(&cup.name))?)
                }
                None => None,
            },
        );
    }
    for (zone, summary) in job.casting.zones.iter().zip(zones) {
        let made = zone_exotherm(job, &zone.name, cups, timed, &fitted, cancel)
            .map_err(|e| e.within(format!("zones['{}']", zone.name)))?;
        if let Some((e, tags)) = made {
            measures.push(Measure::new(
                LimitQuantity::PeakTemperature,
                zone.name.clone(),
                &tags,
                e.peak,
            ));
            let wall = [job.casting.mould.wall.clone()];
            measures.push(Measure::new(
                LimitQuantity::MouldFaceTemperature,
                zone.name.clone(),
                &wall,
                e.mould_face,
            ));
            if let Some(c) = e.cure_at_demould {
                measures.push(Measure::new(
                    LimitQuantity::DemouldCure,
                    zone.name.clone(),
                    &tags,
                    c,
                ));
            }
            summary.exotherm = Some(e);
        }
    }
    Ok(Exotherms {
        cups: of_cups,
        measures,
    })
}

/// A cup that nobody empties, as wide as the mix is deep.
fn cup_left_standing(
    job: &Job,
    cup: &Cup,
    batch: &Batch,
    fitted: &DataSheetKinetics,
    cancel: Cancel<'_>,
) -> Result<CupExotherm> {
    let mix = &job.mixes[cup.recipe.as_str()];
    let (thermal, resin_content) = thermal(job, mix, None)?;
    let diameter = (4.0 * batch.volume.si() / std::f64::consts::PI).cbrt();
    let run = heat::Cup {
        stop_when_cooling: true,
        ..heat::Cup::new(
            batch.mass,
            Length::new::<meter>(diameter),
            thermal,
            cure_of(mix, fitted, resin_content)?,
            job.casting.shop.resin(),
            heat::Place::Bench {
                air: Course::Steady(job.casting.shop.temperature),
                emissivity: 0.9,
            },
            super::steps::minutes(24.0 * 60.0),
        )
    }
    .run(cancel)?;
    Ok(CupExotherm {
        gel: run.gel,
        peak: run.peak,
        peak_at: run.peak_time,
    })
}

/// The zone's layers on the mould's wall, each laid when its cup is mixed; nothing if a resin has no cup test.
fn zone_exotherm(
    job: &Job,
    zone: &str,
    cups: &[Cup],
    timed: &Timetable,
    fitted: &BTreeMap<&str, DataSheetKinetics>,
    cancel: Cancel<'_>,
) -> Result<Option<(ZoneExotherm, Vec<String>)>> {
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
    let wall = job.catalogue.get(&job.casting.mould.wall)?;
    let w = wall.mould_wall()?;
    let (Some(k), Some(c), Some(d)) = (&w.conductivity, &w.specific_heat, &wall.density) else {
        return Ok(None);
    };
    let mut layers = vec![Layer {
        name: wall.name.clone(),
        thickness: job.casting.mould.thickness,
        thermal: Thermal::new(d.value, c.value, k.value),
        cure: None,
        starts_at: job.casting.shop.mould(),
        laid_at: Time::default(),
        contact: None,
    }];
    let mut tags = Vec::new();
    for (i, item) in &items {
        let mix = &job.mixes[item.recipe.as_str()];
        let (Some(f), Some(thickness), Some(at)) =
            (fitted.get(mix.resin().id.as_str()), item.thickness, laid(*i))
        else {
            return Ok(None);
        };
        let (thermal, resin_content) = thermal(job, mix, Some(item))?;
        tags.extend(mix.tags_for(item.act));
        layers.push(Layer {
            name: format!("{} {}", item.act.noun(), layers.len()),
            thickness,
            thermal,
            cure: Some(cure_of(mix, f, resin_content)?),
            starts_at: job.casting.shop.resin(),
            laid_at: at.since(first),
            contact: None,
        });
    }
    let demould = timed.demould.since(first);
    let wall = Wall {
        stop_when_cooling: false,
        ..Wall::plane(layers, still_air(job, 0.2), still_air(job, 0.2), demould)
    };
    let run = wall.run(cancel)?;
    let gelled = run.layers[1..]
        .iter()
        .map(|l| l.gel_ends)
        .try_fold(Time::default(), |latest, t| {
            t.map(|t| if t > latest { t } else { latest })
        });
    let least = run.layers[1..]
        .iter()
        .filter_map(|l| l.least_cure)
        .reduce(|a, b| if b.get() < a.get() { b } else { a });
    let face = run
        .surfaces
        .get(1)
        .map(|p| p.temperature)
        .ok_or_else(|| Error::new(crate::ErrorKind::NotConverged, "mould face"))?;
    let exotherm = ZoneExotherm {
        peak: run.peak.temperature,
        peak_at: run.peak.time,
        peak_in: run.peak.place.clone(),
        peak_error: run.cells.peak_error,
        mould_face: face,
        gelled,
        cure_at_demould: least,
        extrapolated: run.extrapolated.clone(),
        why: run.why.clone(),
        wall,
    };
    Ok(Some((exotherm, tags)))
}
