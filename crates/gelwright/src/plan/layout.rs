//! From the zones of a casting to amounts of mix and reinforcement: what stays in the part, before waste.

use std::collections::BTreeMap;

use uom::si::mass::kilogram;
use uom::si::time::second;
use uom::si::volume::cubic_meter;

use super::casting::{Application, Casting, Zone, ZoneLayer};
use super::vapour::Loss;
use crate::error::{Error, Result};
use crate::limit::Method;
use crate::material::{Catalogue, Class, Material, Window, that_count};
use crate::mix::{Amount, Batch, Bench, Recipe, Role};
use crate::quantity::{
    Area, ArealMassDensity, Length, Mass, MassFraction, Phr, Quantity, RelativeAmount, Time, Volume,
};
use crate::source::Property;

/// What is done with a mix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Act {
    GelCoat,
    Laminate,
    Pour,
    Insert,
    Seam,
}

impl Act {
    /// The word that a limit's `applies_to` uses.
    pub(super) fn tag(self) -> &'static str {
        match self {
            Act::GelCoat => "gel_coat_layer",
            Act::Laminate => "laminate",
            Act::Pour => "pour",
            Act::Insert => "insert",
            Act::Seam => "seam",
        }
    }
    pub(super) fn noun(self) -> &'static str {
        match self {
            Act::GelCoat => "gel coat",
            Act::Laminate => "laminate",
            Act::Pour => "pour",
            Act::Insert => "insert",
            Act::Seam => "seam",
        }
    }
}

/// A recipe of the casting, looked at once.
pub(super) struct Mix<'c> {
    pub(super) name: &'c str,
    /// One kilogram of it.
    pub(super) unit: Batch,
    pub(super) materials: Vec<(Role, &'c Material)>,
    /// What limits may name: material ids, resin family.
    pub(super) tags: Vec<String>,
    /// Share of its monomer that a coated panel lost in this shop, where one was weighed.
    pub(super) panel: Option<f64>,
}

impl<'c> Mix<'c> {
    pub(super) fn resin(&self) -> &'c Material {
        self.materials[0].1
    }
    pub(super) fn cures_by(&self) -> Option<&'c Material> {
        self.materials.iter().find(|(r, _)| r.cures()).map(|(_, m)| *m)
    }
    /// Thickener on the resin, by mass.
    pub(super) fn thickener(&self) -> f64 {
        self.materials
            .iter()
            .zip(&self.unit.parts)
            .filter(|((_, m), _)| matches!(&m.class, Class::Filler(f) if f.thickener.unwrap_or(false)))
            .map(|(_, part)| part.on_resin.get())
            .sum()
    }
    /// Whose dose windows hold for what cures it, and these: a resin's for an initiator, a hardener's own.
    pub(super) fn dose_windows(&self) -> Result<(&'c str, &'c [Window<Phr>])> {
        let resin = self.resin();
        match self.cures_by() {
            Some(cures_by) => resin.dose_windows_with(cures_by),
            None => Ok((&resin.id, &[])),
        }
    }
    /// The window that a dose is judged by: of those that count, the first that holds it, one of what is permitted before one of
    /// what is best; the first, where none does.
    pub(super) fn dose_window(&self, dose: Phr) -> Result<Option<&'c Window<Phr>>> {
        let mut windows = that_count(self.dose_windows()?.1);
        windows.sort_by_key(|w| w.preferred);
        let holds = |w: &&&Window<Phr>| {
            w.low.is_none_or(|l| l.get() <= dose.get()) && w.high.is_none_or(|h| dose.get() <= h.get())
        };
        Ok(windows.iter().find(holds).or(windows.first()).copied())
    }
    pub(super) fn tags_for(&self, act: Act) -> Vec<String> {
        let mut tags = self.tags.clone();
        tags.push(act.tag().to_owned());
        tags
    }
    /// Mass of this mix in a volume, without entrained air.
    fn mass_of(&self, v: Volume) -> Mass {
        Mass::new::<kilogram>(v.si() * self.unit.density.si())
    }
}

impl<'c> Mix<'c> {
    pub(super) fn new(
        name: &'c str,
        recipe: &Recipe,
        catalogue: &'c Catalogue,
        bench: &Bench,
    ) -> Result<Mix<'c>> {
        let materials = recipe.materials(catalogue)?;
        let one = Amount::Mass(Mass::new::<kilogram>(1.0));
        let unit = Batch::new(recipe, one, catalogue, bench)?;
        let mut tags: Vec<String> = materials.iter().map(|(_, m)| m.id.clone()).collect();
        tags.push(materials[0].1.resin()?.family.to_string());
        Ok(Mix {
            name,
            unit,
            materials,
            tags,
            panel: None,
        })
    }
}

/// Every recipe of the casting; all mistakes of all of them at once.
pub(super) fn mixes<'c>(
    casting: &'c Casting,
    catalogue: &'c Catalogue,
) -> Result<BTreeMap<&'c str, Mix<'c>>> {
    let mut mixes = BTreeMap::new();
    Error::none_of(casting.recipes.iter().map(|(name, recipe)| {
        let mut mix = Mix::new(name, recipe, catalogue, &casting.shop.bench)
            .map_err(|e| e.within(format!("recipes.{name}")))?;
        let lost = casting
            .vapour_lost(name)
            .map_err(|e| e.within(format!("shop_tests.{name}")))?;
        mix.panel = lost.map(|l| l.share_of_monomer.value.get());
        mixes.insert(name.as_str(), mix);
        Ok(())
    }))?;
    Ok(mixes)
}

/// The materials that the casting names beside its recipes: the mould's wall, release agents, plies. All mistakes at once.
pub(super) fn named(casting: &Casting, catalogue: &Catalogue) -> Result<()> {
    let wall = catalogue
        .get(&casting.mould.wall)
        .and_then(|m| m.mould_wall().map(|_| ()))
        .map_err(|e| e.at("mould.wall"));
    let release = casting.mould.release.iter().enumerate().map(|(i, r)| {
        catalogue
            .get(&r.material)
            .and_then(|m| m.release().map(|_| ()))
            .map_err(|e| e.at(format!("mould.release[{i}].material")))
    });
    let layers = casting
        .zones
        .iter()
        .enumerate()
        .flat_map(|(i, z)| z.layers.iter().enumerate().map(move |(j, l)| (i, j, l)));
    let plies = layers.flat_map(|(i, j, layer)| {
        let plies: &[String] = match layer {
            ZoneLayer::Laminate(l) => &l.plies,
            _ => &[],
        };
        plies.iter().enumerate().map(move |(k, id)| {
            catalogue
                .get(id)
                .and_then(|m| m.reinforcement().map(|_| ()))
                .map_err(|e| {
                    e.at("")
                        .within(format!("zones[{i}].layers[{j}].laminate.plies[{k}]"))
                })
        })
    });
    Error::none_of(std::iter::once(wall).chain(release).chain(plies))
}

/// One thing to do with a mix on one zone.
pub(super) struct Item {
    pub(super) act: Act,
    /// Where in the zone's order: layers, and coats of a layer, counted.
    pub(super) level: usize,
    /// Which coat of a layer, from 1.
    pub(super) coat: u8,
    /// How a gel coat is put on.
    pub(super) applied: Option<Application>,
    pub(super) zone: String,
    pub(super) recipe: String,
    /// Mix that stays in the part.
    pub(super) net: Mass,
    pub(super) waste: RelativeAmount,
    /// Time of the hands to place all of it.
    pub(super) placing: Time,
    /// Which of the zone's layers it is of, from 0.
    pub(super) layer: usize,
    /// Thickness that this item adds as it is laid, where it is known.
    pub(super) thickness: Option<Length>,
    /// What of it leaves as vapour; unknown where a resin's monomer is.
    pub(super) loss: Option<Loss>,
    /// Thickness that it adds when it has lost that and cured; the mould holds it in its plane, so that all shrinkage goes into it.
    pub(super) cured_thickness: Option<Length>,
    /// Reinforcement laid with it.
    pub(super) plies: Vec<Ply>,
}

impl Item {
    /// What a limit's `method` may name of it.
    pub(super) fn method_tags(&self) -> Option<String> {
        let method = match self.act {
            Act::GelCoat => self.applied?.tag(),
            Act::Laminate => Method::Roller.name(),
            Act::Pour => Method::Pour.name(),
            Act::Insert | Act::Seam => return None,
        };
        Some(method.to_owned())
    }
}

/// One ply of a laminate.
#[derive(Clone)]
pub(super) struct Ply {
    pub(super) material: String,
    pub(super) name: String,
    pub(super) area: Area,
    pub(super) areal_mass: ArealMassDensity,
    pub(super) glass_content: MassFraction,
    /// The rule for the glass content that was used, and those it was preferred to; none if the casting says it.
    pub(super) rules: Vec<Property<MassFraction>>,
    pub(super) fibre_density: f64,
}

impl Item {
    /// Mix that is left of it when it has cured, kg.
    pub(super) fn cured(&self) -> f64 {
        self.net.si() - self.lost()
    }
    /// What of it leaves as vapour, kg; nothing where that is not known.
    pub(super) fn lost(&self) -> f64 {
        self.loss.as_ref().map_or(0.0, |l| l.total().middle())
    }
    /// Glass content of a ply of it when it has cured: what leaves is resin.
    pub(super) fn cured_glass_content(&self, ply: &Ply) -> Result<MassFraction> {
        let left = if self.net.si() > 0.0 {
            self.cured() / self.net.si()
        } else {
            1.0
        };
        MassFraction::new(ply.glass() / (ply.glass() + ply.resin() * left))
    }

    fn with_loss(mut self, mix: &Mix, closed: bool) -> Result<Item> {
        self.loss = mix.loss(self.net, self.act, self.applied, closed)?;
        let glass: f64 = self.plies.iter().map(|p| p.glass() / p.fibre_density).sum();
        let wet = self.net.si() / mix.unit.density.si() + glass;
        self.cured_thickness = match (&self.loss, self.thickness) {
            (Some(loss), Some(t)) if wet > 0.0 => {
                let cured = mix.cured_volume(self.net, loss)? + glass;
                Some(Length::from_si(t.si() * cured / wet)?)
            }
            _ => self.thickness,
        };
        Ok(self)
    }
}

impl Ply {
    pub(super) fn glass(&self) -> f64 {
        self.areal_mass.si() * self.area.si()
    }
    pub(super) fn resin(&self) -> f64 {
        let w = self.glass_content.get();
        self.glass() * (1.0 - w) / w
    }
}

fn per<Q: Quantity>(rate: Time, amount: Q) -> Time {
    Time::new::<second>(rate.si() * amount.si())
}

pub(super) fn items(
    casting: &Casting,
    catalogue: &Catalogue,
    mixes: &BTreeMap<&str, Mix>,
) -> Result<Vec<Item>> {
    let mut all = Vec::new();
    for (i, zone) in casting.zones.iter().enumerate() {
        let mut level = 0;
        for (j, layer) in zone.layers.iter().enumerate() {
            let made = layer_items(casting, catalogue, mixes, zone, j, &mut level)
                .map_err(|e| e.within(format!("zones[{i}].layers[{j}].{}", layer.kind())))?;
            all.extend(made);
        }
    }
    for insert in &casting.inserts {
        let mix = &mixes[insert.recipe.as_str()];
        all.push(
            Item {
                act: Act::Insert,
                level: 0,
                coat: 1,
                applied: None,
                zone: insert.name.clone(),
                recipe: insert.recipe.clone(),
                net: mix.mass_of(insert.volume),
                waste: casting.waste.paste,
                placing: casting.pace.insert,
                layer: 0,
                thickness: None,
                loss: None,
                cured_thickness: None,
                plies: vec![],
            }
            .with_loss(mix, true)?,
        );
    }
    for seam in &casting.seams {
        let mix = &mixes[seam.recipe.as_str()];
        all.push(
            Item {
                act: Act::Seam,
                level: 0,
                coat: 1,
                applied: None,
                zone: seam.name.clone(),
                recipe: seam.recipe.clone(),
                net: mix.mass_of(seam.length * seam.width * seam.height),
                waste: casting.waste.paste,
                placing: per(casting.pace.seam_per_length, seam.length),
                layer: 0,
                thickness: Some(seam.height),
                loss: None,
                cured_thickness: None,
                plies: vec![],
            }
            .with_loss(mix, true)?,
        );
    }
    Ok(all)
}

fn layer_items(
    casting: &Casting,
    catalogue: &Catalogue,
    mixes: &BTreeMap<&str, Mix>,
    zone: &Zone,
    j: usize,
    level: &mut usize,
) -> Result<Vec<Item>> {
    let layer = &zone.layers[j];
    // `Casting::check` has made sure that the area is there where it is needed.
    let area = zone.area.unwrap_or_default();
    let mix = &mixes[layer.recipe()];
    let mut next = || {
        *level += 1;
        *level - 1
    };
    let pace = &casting.pace;
    let closed = matches!(layer, ZoneLayer::Pour(p) if p.closed);
    let items: Vec<Item> = match layer {
        ZoneLayer::GelCoat(g) => (1..=g.coats)
            .map(|coat| Item {
                act: Act::GelCoat,
                level: next(),
                coat,
                applied: Some(g.applied),
                zone: zone.name.clone(),
                recipe: g.recipe.clone(),
                net: mix.mass_of(area * g.wet_thickness),
                waste: casting.waste.gel_coat,
                placing: per(pace.gel_coat_per_area, area),
                layer: j,
                thickness: Some(g.wet_thickness),
                loss: None,
                cured_thickness: None,
                plies: vec![],
            })
            .collect(),
        ZoneLayer::Laminate(l) => {
            let plies = l
                .plies
                .iter()
                .enumerate()
                .map(|(k, id)| {
                    ply(catalogue, id, area, l.glass_content).map_err(|e| e.within(format!("plies[{k}]")))
                })
                .collect::<Result<Vec<_>>>()?;
            let resin: f64 = plies.iter().map(Ply::resin).sum();
            let volume = resin / mix.unit.density.si()
                + plies.iter().map(|p| p.glass() / p.fibre_density).sum::<f64>();
            vec![Item {
                act: Act::Laminate,
                level: next(),
                coat: 1,
                applied: None,
                zone: zone.name.clone(),
                recipe: l.recipe.clone(),
                net: Mass::new::<kilogram>(resin),
                waste: casting.waste.laminate,
                placing: per(pace.ply_per_area, area) * plies.len() as f64,
                layer: j,
                thickness: Some(Length::from_si(volume / area.si())?),
                loss: None,
                cured_thickness: None,
                plies,
            }]
        }
        ZoneLayer::Pour(p) => {
            let thickness = p.thickness.unwrap_or_default();
            let volume = p.volume.unwrap_or(area * thickness);
            vec![Item {
                act: Act::Pour,
                level: next(),
                coat: 1,
                applied: None,
                zone: zone.name.clone(),
                recipe: p.recipe.clone(),
                net: mix.mass_of(volume),
                waste: casting.waste.pour,
                placing: per(
                    pace.pour_per_litre,
                    Volume::new::<cubic_meter>(volume.si() * 1000.0),
                ),
                layer: j,
                thickness: p.thickness.or_else(|| zone.area.map(|a| volume / a)),
                loss: None,
                cured_thickness: None,
                plies: vec![],
            }]
        }
    };
    items
        .into_iter()
        .map(|item| item.with_loss(mix, closed))
        .collect()
}

fn ply(catalogue: &Catalogue, id: &str, area: Area, glass_content: Option<MassFraction>) -> Result<Ply> {
    let material = catalogue.get(id).map_err(|e| e.at(""))?;
    let r = material.reinforcement().map_err(|e| e.at(""))?;
    let rules: Vec<Property<MassFraction>> = that_count(&r.glass_content).into_iter().cloned().collect();
    let content = match (glass_content, rules.first()) {
        (Some(w), _) => w,
        (None, Some(rule)) => rule.value,
        (None, None) => {
            return Err(Error::new(crate::ErrorKind::Document, "glass_content")
                .with_value(format_args!("'{id}' without a usual glass content"))
                .with_way_out("give the laminate's 'glass_content', for example '30 wt%'"));
        }
    };
    Ok(Ply {
        material: material.id.clone(),
        name: material.name.clone(),
        area,
        areal_mass: r.areal_mass.value,
        glass_content: content,
        rules: if glass_content.is_some() { vec![] } else { rules },
        fibre_density: material.known_density()?.value.si(),
    })
}
