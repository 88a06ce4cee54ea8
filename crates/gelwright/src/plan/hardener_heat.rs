//! How hot a layer of an epoxy or a polyurethane gets, estimated where no law of its cure is known.

use uom::si::available_energy::joule_per_kilogram;

use super::exotherm;
use super::job::Job;
use super::layout::{Act, Item};
use crate::error::Result;
use crate::heat::Thermal;
use crate::limit::{LimitQuantity, Measured};
use crate::material::Family;
use crate::quantity::{AvailableEnergy, Length, MassFraction, Quantity, ThermodynamicTemperature, Time};

/// Heat that still air takes from each face, natural convection and radiation together, W/(m² K): from memory, 8 to 15.
const FILM: f64 = 10.0;

/// The peak of each pour and laminate that a hardener cures: `T0 + (w H/c) τ/(τ + t)`, with the share `w` of it that reacts, its
/// heat of reaction `H`, its specific heat `c`, its working time `t` in which all heat is taken to come, and the time
/// `τ = d ρ c/(2 h)` in which a layer of depth `d` loses it by both faces; `ρ` and `c` of the whole layer, fillers and glass
/// with it.
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
    let (layer, reacts) = exotherm::thermal(job, mix, Some(item), specific.value)?;
    let rise = kept(&layer, reacts, heat.value, gel.time, depth);
    ThermodynamicTemperature::from_si(job.casting.shop.resin().si() + rise).map(Some)
}

/// What a layer keeps of the rise that all its heat would make of it, K.
fn kept(layer: &Thermal, reacts: MassFraction, heat: AvailableEnergy, gel: Time, depth: Length) -> f64 {
    let c = layer.specific_heat.si();
    let adiabatic = reacts.get() * heat.get::<joule_per_kilogram>() / c;
    let loses = depth.si() * layer.density.si() * c / (2.0 * FILM);
    adiabatic * loses / (loses + gel.si())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Mass, MassDensity, SpecificHeatCapacity, ThermalConductivity};

    /// By hand: 0.6 kg of mix (1.1 kg/L, 1800 J/(kg K), 300 kJ/kg) and 0.4 kg of glass (2.56 kg/L, 800 J/(kg K)), 8 mm, 30 min,
    /// from 20 °C. Heat capacity 1080 + 320 = 1400 J/K; volume 0.54545 + 0.15625 = 0.70170 L; 1.9951 MJ/(m³ K), so
    /// tau = 8e-3 x 1.9951e6/20 = 798.06 s; of 180 kJ/1400 = 128.57 K it keeps 798.06/2598.06: 39.49 K.
    #[test]
    fn a_layer_with_glass_by_hand() {
        let of = |density: f64, specific_heat: f64| {
            Thermal::new(
                MassDensity::from_si(density).unwrap(),
                SpecificHeatCapacity::from_si(specific_heat).unwrap(),
                ThermalConductivity::from_si(0.2).unwrap(),
            )
        };
        let kilograms = |m: f64| Mass::from_si(m).unwrap();
        let parts = [
            (kilograms(0.6), of(1100.0, 1800.0)),
            (kilograms(0.4), of(2560.0, 800.0)),
        ];
        let rise = kept(
            &Thermal::of_mixture(&parts).unwrap(),
            MassFraction::new(0.6).unwrap(),
            AvailableEnergy::new::<joule_per_kilogram>(300e3),
            Time::from_si(1800.0).unwrap(),
            Length::from_si(8e-3).unwrap(),
        );
        let peak = 20.0 + rise;
        assert!((peak - 59.49).abs() < 0.01, "{peak:?}");
    }
}
