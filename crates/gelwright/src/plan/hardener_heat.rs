//! How hot a layer of an epoxy or a polyurethane gets, estimated where no law of its cure is known.

use uom::si::available_energy::joule_per_kilogram;

use super::exotherm::GLASS_HEAT;
use super::job::Job;
use super::layout::{Act, Item};
use crate::error::Result;
use crate::limit::{LimitQuantity, Measured};
use crate::material::{Class, Family};
use crate::quantity::{
    AvailableEnergy, Length, Quantity, SpecificHeatCapacity, ThermodynamicTemperature, Time,
};

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
    let start = job.casting.shop.resin();
    let layer = layer(job, item, specific.value)?;
    layer.peak(start, heat.value, gel.time, depth).map(Some)
}

/// What lies together in a layer, and what of it reacts.
#[derive(Default)]
struct Lump {
    /// kg.
    mass: f64,
    /// m³.
    volume: f64,
    /// J/K.
    heat_capacity: f64,
    /// kg.
    reacts: f64,
}

impl Lump {
    fn add(&mut self, mass: f64, volume: f64, specific_heat: f64) {
        self.mass += mass;
        self.volume += volume;
        self.heat_capacity += mass * specific_heat;
    }

    fn peak(
        &self,
        start: ThermodynamicTemperature,
        heat: AvailableEnergy,
        gel: Time,
        depth: Length,
    ) -> Result<ThermodynamicTemperature> {
        let adiabatic = self.reacts * heat.get::<joule_per_kilogram>() / self.heat_capacity;
        let loses = depth.si() * self.heat_capacity / self.volume / (2.0 * FILM);
        ThermodynamicTemperature::from_si(start.si() + adiabatic * loses / (loses + gel.si()))
    }
}

/// The filled mix of an item, and the reinforcement laid with it.
fn layer(job: &Job, item: &Item, specific: SpecificHeatCapacity) -> Result<Lump> {
    let mix = &job.mixes[item.recipe.as_str()];
    let scale = item.net.si() / mix.unit.mass.si();
    let mut lump = Lump::default();
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let (mass, volume) = (part.mass.si() * scale, part.volume.si() * scale);
        match &m.class {
            Class::Filler(f) => {
                let own = f.specific_heat.as_ref().map_or(GLASS_HEAT, |c| c.value.si());
                lump.add(mass, volume, own);
            }
            _ => {
                lump.add(mass, volume, specific.si());
                lump.reacts += mass;
            }
        }
    }
    for ply in &item.plies {
        let r = job.catalogue.get(&ply.material)?.reinforcement()?;
        let own = r.specific_heat.as_ref().map_or(GLASS_HEAT, |c| c.value.si());
        lump.add(ply.glass(), ply.glass() / ply.fibre_density, own);
    }
    Ok(lump)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::temperature;

    /// By hand: 0.6 kg of mix (1.1 kg/L, 1800 J/(kg K), 300 kJ/kg) and 0.4 kg of glass (2.56 kg/L, 800 J/(kg K)), 8 mm, 30 min,
    /// from 20 °C. Heat capacity 1080 + 320 = 1400 J/K; volume 0.54545 + 0.15625 = 0.70170 L; 1.9951 MJ/(m³ K), so
    /// tau = 8e-3 x 1.9951e6/20 = 798.06 s; of 180 kJ/1400 = 128.57 K it keeps 798.06/2598.06: 39.49 K.
    #[test]
    fn a_layer_with_glass_by_hand() {
        let mut lump = Lump {
            reacts: 0.6,
            ..Lump::default()
        };
        lump.add(0.6, 0.6 / 1100.0, 1800.0);
        lump.add(0.4, 0.4 / 2560.0, 800.0);
        let peak = lump
            .peak(
                temperature::celsius(20.0),
                AvailableEnergy::new::<joule_per_kilogram>(300e3),
                Time::from_si(1800.0).unwrap(),
                Length::from_si(8e-3).unwrap(),
            )
            .unwrap();
        assert!((temperature::to_celsius(peak) - 59.49).abs() < 0.01, "{peak:?}");
    }
}
