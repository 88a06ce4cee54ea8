//! How each mix cures, holds and conducts heat: the law of its resin, at its own dose, with its fillers and glass.

use std::collections::BTreeMap;

use super::super::job::Job;
use super::super::layout::{Item, Mix};
use crate::calibrate::{Calibration, DrawnLaw, Evidence, or_usual, thermal_of};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::heat::{self, Monomer, Thermal};
use crate::material::Class;
use crate::noun::Noun;
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Mass, MassDensity, MassFraction, Phr, Quantity, SpecificHeatCapacity,
};

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

impl CureLaw {
    pub(super) fn of(resin: &str, law: &Calibration) -> Self {
        CureLaw {
            resin: resin.to_owned(),
            basis: law.basis.clone(),
            heat_of_reaction: law.kinetics.heat_of_reaction,
            disagreements: law.disagreements.clone(),
            assumed: law.assumed.clone(),
        }
    }
}

/// By material id.
pub(in crate::plan) type Laws = BTreeMap<String, Calibration>;

/// The law of each resin that a recipe takes with a catalyst, as far as its gel times or test cups are known.
pub(in crate::plan) fn calibrated(job: &Job, cancel: Cancel<'_>) -> Result<Laws> {
    let cups = job.casting.cup_tests.keys().map(|r| ("cup_tests", r));
    let films = job.casting.film_tests.keys().map(|r| ("film_tests", r));
    for (list, resin) in cups.chain(films) {
        job.catalogue
            .get(resin)
            .map_err(|e| e.at(format!("{list}.{resin}")))?;
    }
    let mut laws = BTreeMap::new();
    for mix in job.mixes.values().filter(|m| m.unit.cure_dose.is_some()) {
        let material = mix.resin();
        let id = material.id.as_str();
        let tests = job.casting.cup_tests.get(id);
        let resin = material.resin()?;
        let timed = resin.family.cures_by_peroxide() && resin.gel_times.is_some();
        let films = job.casting.film_tests.get(id);
        if laws.contains_key(id)
            || (tests.is_none_or(Vec::is_empty) && films.is_none_or(Vec::is_empty) && !timed)
        {
            continue;
        }
        let evidence = Evidence {
            cup_tests: tests.cloned().unwrap_or_default(),
            film_tests: films.cloned().unwrap_or_default(),
            ..Evidence::of(id)
        };
        let law = evidence.calibrate_or_kept(job.catalogue, cancel).map_err(|e| {
            let tests = if tests.is_some() {
                "cup_tests"
            } else {
                "film_tests"
            };
            let of = |list: &str| Some(format!("{list}.{id}{}", e.field().strip_prefix(list)?));
            let field = of("cup_tests").or_else(|| of("film_tests"));
            let field = field.unwrap_or_else(|| match e.field() {
                "resin" => format!("{tests}.{id}"),
                other => format!("material.{id}.{other}"),
            });
            e.at(field)
        })?;
        laws.insert(id.to_owned(), law);
    }
    Ok(laws)
}

/// Specific heat and conductivity of fillers and glass where a material does not say: from memory.
const GLASS_HEAT: f64 = 800.0;
const GLASS_CONDUCTIVITY: f64 = 1.0;
/// Degree of cure at which a part is demoulded: the limit `demould_cure` says on whose word.
pub(crate) const DEMOULD_CURE: f64 = 0.80;

/// The layer of an item, and the share of it that reacts: the filled mix, whose liquid has that specific heat, and the
/// reinforcement laid with it.
pub(in crate::plan) fn thermal(
    job: &Job,
    mix: &Mix,
    item: Option<&Item>,
    specific_heat: SpecificHeatCapacity,
) -> Result<(Thermal, MassFraction)> {
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
    let reacting = Thermal {
        specific_heat,
        ..thermal_of(mix.resin(), MassDensity::from_si(liquid.0 / liquid.1)?)?
    };
    let mut parts = vec![(Mass::from_si(liquid.0)?, reacting)];
    parts.extend(inert);
    let mass: f64 = parts.iter().map(|(m, _)| m.si()).sum();
    Ok((
        Thermal::of_mixture(&parts)?,
        MassFraction::new((liquid.0 / mass).clamp(0.0, 1.0))?,
    ))
}

/// How a mix cures at so many times its own dose; nothing without catalyst.
pub(super) fn cure_of(
    mix: &Mix,
    law: &DrawnLaw,
    resin_content: MassFraction,
    times: f64,
) -> Result<Option<heat::Cure>> {
    let Some(dose) = dose_of(mix)? else {
        return Ok(None);
    };
    Ok(Some(heat::Cure {
        kinetics: law.kinetics.with_dose(Phr::new(dose.get() * times)?)?,
        resin_content,
        gel_at: law.gel_conversion,
        demould_at: Some(DegreeOfCure::new(DEMOULD_CURE.max(law.gel_conversion.get()))?),
        monomer: monomer_of(mix)?,
    }))
}

pub(in super::super) fn dose_of(mix: &Mix) -> Result<Option<Phr>> {
    let dose = mix.unit.cure_dose.as_ref();
    dose.map(|d| Phr::new(d.by_mass.value.get())).transpose()
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
