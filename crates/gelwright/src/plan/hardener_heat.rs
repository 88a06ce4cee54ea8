//! How hot a layer of an epoxy or a polyurethane gets, estimated where no law of its cure is known.

use uom::si::available_energy::joule_per_kilogram;

use super::exotherm::GLASS_HEAT;
use super::job::Job;
use super::layout::{Act, Item};
use crate::error::Result;
use crate::limit::{LimitQuantity, Measured};
use crate::material::{Class, Family};
use crate::quantity::{AvailableEnergy, Quantity, ThermodynamicTemperature};

/// Heat that still air takes from each face, natural convection and radiation together, W/(m² K): from memory, 8 to 15.
const FILM: f64 = 10.0;

/// The peak of each pour and laminate that a hardener cures: `T0 + (w H/c) τ/(τ + t)`, with the share `w` of it that reacts, its
/// heat of reaction `H`, its specific heat `c`, its working time `t` in which all heat is taken to come, and the time
/// `τ = d ρ c/(2 h)` in which a layer of depth `d` loses it by both faces.
///
/// A balance of one lump: an estimate. Not modelled: that it speeds itself up as it warms (deep pours get hotter than this), the
/// heat that the mould takes (thin layers stay cooler).
pub(super) fn peaks(job: &Job) -> Result<Vec<Measured>> {
    let mut all = Vec::new();
    for item in job
        .items
        .iter()
        .filter(|i| matches!(i.act, Act::Pour | Act::Laminate))
    {
        if let Some(peak) = peak(job, item)? {
            let mut tags = job.mixes[item.recipe.as_str()].tags_for(item.act);
            tags.extend(item.method_tags());
            all.push(Measured::new(
                LimitQuantity::PeakTemperature,
                item.zone.clone(),
                &tags,
                peak,
            ));
        }
    }
    Ok(all)
}

fn peak(job: &Job, item: &Item) -> Result<Option<ThermodynamicTemperature>> {
    let mix = &job.mixes[item.recipe.as_str()];
    let resin = mix.resin().resin()?;
    if !matches!(resin.family, Family::Epoxy | Family::Polyol) || mix.cures_by().is_none() {
        return Ok(None);
    }
    let (Some(heat), Some(specific), Some(gel), Some(depth)) = (
        &resin.heat_of_reaction,
        &resin.specific_heat,
        job.gel_time(&item.recipe),
        item.thickness,
    ) else {
        return Ok(None);
    };
    let filler: f64 = mix
        .materials
        .iter()
        .zip(&mix.unit.parts)
        .filter(|((_, m), _)| matches!(m.class, Class::Filler(_)))
        .map(|(_, part)| part.mass.si() / mix.unit.mass.si())
        .sum();
    let glass: f64 = item.plies.iter().map(super::layout::Ply::glass).sum();
    let reacts = (1.0 - filler) * item.net.si() / (item.net.si() + glass).max(f64::MIN_POSITIVE);
    let heat: AvailableEnergy = heat.value;
    let c = reacts * specific.value.si() + (1.0 - reacts) * GLASS_HEAT;
    let adiabatic = reacts * heat.get::<joule_per_kilogram>() / c;
    let loses = depth.si() * mix.unit.density.si() * c / (2.0 * FILM);
    let kept = loses / (loses + gel.time.si());
    ThermodynamicTemperature::from_si(job.casting.shop.resin().si() + adiabatic * kept).map(Some)
}
