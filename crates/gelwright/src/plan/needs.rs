//! The materials: what the casting takes of each material, what is on the shelf, what is to be ordered.

use std::collections::BTreeMap;

use crate::noun::Noun;
use uom::si::area::square_meter;
use uom::si::mass::kilogram;
use uom::si::volume::cubic_meter;

use super::job::{Cup, Job};
use crate::error::{Error, ErrorKind, Result};
use crate::material::{Class, Material, MaterialKind, that_count};
use crate::mix::Batch;
use crate::quantity::{self, Area, Mass, Money, PriceBasis, Quantity, Volume};
use crate::source::Why;
use crate::stock::Held;

/// What the casting takes of a material.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Need {
    /// Material id.
    pub material: String,
    /// What a person calls it.
    pub name: String,
    /// What kind of material it is.
    pub class: MaterialKind,
    /// Mass, waste included.
    pub mass: Mass,
    /// Volume of that mass, of a liquid.
    pub volume: Option<Volume>,
    /// Area, of a reinforcement.
    pub area: Option<Area>,
    /// Of that mass: what is left in cup, brush and trim, or is a release agent.
    pub waste: Mass,
    /// Of that mass: what leaves as vapour from what is laid.
    #[noun(default)]
    pub vapour: Mass,
    /// What is on the shelf, where the casting says.
    pub in_stock: Option<Mass>,
    /// What is missing from the shelf; all of it, where the casting does not say what is there.
    pub to_order: Mass,
    /// What it costs, where the price is known.
    pub cost: Option<Money>,
    /// The chain behind the mass.
    pub why: Why,
}

#[derive(Default)]
struct Sum {
    mass: f64,
    net: f64,
    vapour: f64,
    area: f64,
    from: Vec<Why>,
}

pub(super) fn needs(job: &Job, cups: &[Cup], batches: &[Batch]) -> Result<Vec<Need>> {
    let mut order: Vec<String> = Vec::new();
    let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
    let mut add = |id: &str, mass: f64, net: f64, vapour: f64, area: f64, why: Why| {
        if !sums.contains_key(id) {
            order.push(id.to_owned());
        }
        let s = sums.entry(id.to_owned()).or_default();
        s.mass += mass;
        s.net += net;
        s.vapour += vapour;
        s.area += area;
        s.from.push(why);
    };
    for (cup, batch) in cups.iter().zip(batches) {
        let net: f64 = cup
            .items
            .iter()
            .map(|(i, share)| job.items[*i].net.si() * share)
            .sum();
        let kept = net / batch.mass.si();
        let mix = &job.mixes[cup.recipe.as_str()];
        let monomer: Vec<f64> = (0..batch.parts.len())
            .map(|i| mix.monomer_in(i).unwrap_or(0.0) * batch.parts[i].mass.si())
            .collect();
        let all: f64 = monomer.iter().sum();
        for (part, monomer) in batch.parts.iter().zip(monomer) {
            let m = part.mass.si();
            let share = if all > 0.0 { monomer / all } else { 0.0 };
            let lost = cup.items.iter().filter_map(|(i, of_item)| {
                let loss = job.items[*i].loss.as_ref()?;
                Some(loss.of_part(&part.material, share) * of_item)
            });
            add(
                &part.material,
                m,
                m * kept,
                lost.sum(),
                0.0,
                Why::given(format!("in {}", cup.name), quantity::show(part.mass)),
            );
        }
    }
    let waste = 1.0 + job.casting.waste.reinforcement.get();
    for item in &job.items {
        for ply in &item.plies {
            let (area, net) = (ply.area.si() * waste, ply.glass());
            add(
                &ply.material,
                net * waste,
                net,
                0.0,
                area,
                Why::computed(
                    format!("ply on {}", item.zone),
                    quantity::show(Mass::new::<kilogram>(net * waste)),
                    "area × areal mass × (1 + waste)",
                    vec![
                        Why::given("area", quantity::show(ply.area)),
                        Why::given("areal mass", quantity::show(ply.areal_mass)),
                        Why::given("waste", quantity::show(job.casting.waste.reinforcement)),
                    ],
                ),
            );
        }
    }
    for r in &job.casting.mould.release {
        let release = job.catalogue.get(&r.material)?.release()?;
        let per_coat = that_count(&release.coverage)
            .into_iter()
            .find_map(|w| w.high.or(w.low));
        if let Some(per_coat) = per_coat {
            let mass = per_coat.si() * job.mould_area() * f64::from(r.coats);
            let why = Why::computed(
                "on the mould",
                quantity::show(Mass::new::<kilogram>(mass)),
                "coats × coverage × area of mould and flanges",
                vec![
                    Why::given("coats", r.coats.to_string()),
                    Why::given("coverage", quantity::show(per_coat)),
                ],
            );
            add(&r.material, mass, 0.0, 0.0, 0.0, why);
        }
    }
    for (id, held) in &job.casting.stock {
        let at = |e: Error| e.at(format!("stock.{id}"));
        let material = job.catalogue.get(id).map_err(at)?;
        as_mass(*held, material).map_err(at)?;
    }
    order
        .into_iter()
        .map(|id| need(job, &id, sums.remove(&id).unwrap_or_default()))
        .collect()
}

fn need(job: &Job, id: &str, sum: Sum) -> Result<Need> {
    let material = job.catalogue.get(id)?;
    let density = material.density.as_ref().map(|d| d.value);
    let liquid = !matches!(material.class, Class::Reinforcement(_) | Class::Filler(_));
    let volume = density
        .filter(|_| liquid)
        .map(|d| Volume::new::<cubic_meter>(sum.mass / d.si()));
    let area = (sum.area > 0.0).then(|| Area::new::<square_meter>(sum.area));
    let in_stock = job
        .casting
        .stock
        .get(id)
        .map(|held| as_mass(*held, material).map_err(|e| e.within(format!("stock.{id}"))))
        .or_else(|| job.on_the_shelf(id, material))
        .transpose()?;
    let cost = match &material.price {
        None => None,
        Some(price) => {
            let amount = match price.value.basis {
                PriceBasis::Mass => Some(sum.mass),
                PriceBasis::Volume => density.map(|d| sum.mass / d.si()),
                PriceBasis::Area => Some(sum.area),
                _ => None,
            };
            Some(price.value.of(amount.ok_or_else(|| {
                Error::inconsistent(
                    format!("{id}.price"),
                    price.value,
                    "a price per mass, volume or area",
                    "price it like '18.40 EUR/kg' or '3.20 EUR/m^2'",
                )
            })?))
        }
    };
    let mass = Mass::new::<kilogram>(sum.mass);
    Ok(Need {
        material: id.to_owned(),
        name: material.name.clone(),
        class: material.class.kind(),
        mass,
        volume,
        area,
        waste: Mass::new::<kilogram>((sum.mass - sum.net).max(0.0)),
        vapour: Mass::new::<kilogram>(sum.vapour),
        in_stock,
        to_order: Mass::new::<kilogram>((sum.mass - in_stock.map_or(0.0, Quantity::si)).max(0.0)),
        cost,
        why: Why::computed(
            format!("need of {}", material.name),
            quantity::show(mass),
            "sum over the batches and plies",
            sum.from,
        ),
    })
}

/// What is on the shelf, as a mass.
pub(super) fn as_mass(held: Held, material: &Material) -> Result<Mass> {
    if let Some(mass) = held.as_mass() {
        return Ok(mass);
    }
    let kg = match (held.as_volume(), held.as_area(), &material.class) {
        (Some(v), _, _) => v.si() * material.known_density()?.value.si(),
        (_, Some(a), Class::Reinforcement(r)) => a.si() * r.areal_mass.value.si(),
        _ => {
            return Err(Error::new(ErrorKind::WrongDimension, "")
                .with_value(format_args!("'{held}'"))
                .with_allowed(match material.class {
                    Class::Reinforcement(_) => "a mass or an area",
                    _ => "a mass or a volume",
                })
                .with_way_out("write for example '2.5 kg'"));
        }
    };
    Ok(Mass::new::<kilogram>(kg))
}

/// The sum of the known costs, and the materials without one.
pub(super) fn cost(needs: &[Need]) -> Result<(Option<Money>, Vec<String>)> {
    let mut sum = None::<Money>;
    let mut without = Vec::new();
    for n in needs {
        match n.cost {
            Some(c) => {
                sum = Some(
                    sum.map_or(Ok(c), |s| s.plus(c))
                        .map_err(|e| e.within(format!("material.{}", n.material)))?,
                );
            }
            None => without.push(n.material.clone()),
        }
    }
    Ok((sum, without))
}
