//! Everything a plan is made from, looked up once, and the cups that it is mixed in.

use std::collections::BTreeMap;

use uom::si::mass::kilogram;
use uom::si::time::second;

use super::casting::{Application, Casting};
use super::clock::Clock;
use super::layout::{self, Act, Item, Mix};
use super::part;
use super::sized::ZoneSizes;
use super::vapour::{self, Vapour};
use super::working_time::{self, FarOff, WorkingTime};
use crate::cure::gel_table::GelTime;
use crate::error::{Error, Result};
use crate::material::{Catalogue, Family, Material};
use crate::mix::{Amount, Batch, Tool, WettedTools};
use crate::quantity::{self, DynamicViscosity, Length, Mass, Quantity, RelativeAmount, Time};

/// What of a mix goes where, before waste.
pub(super) struct ZoneAmounts {
    pub(super) zone: String,
    /// Of all its layers as they are laid; unknown if one is.
    pub(super) thickness: Option<Length>,
    /// Of all its layers when they have cured.
    pub(super) cured_thickness: Option<Length>,
    /// Of what is left when it has cured.
    pub(super) mass: Mass,
    /// What has left; unknown where a resin's monomer is.
    pub(super) vapour: Option<Vapour>,
    /// Of that mass: reinforcement.
    pub(super) reinforcement: Mass,
}

/// A batch before it is timed: which items, or which share of an item.
#[derive(Clone)]
pub(super) struct Cup {
    /// "cup 1", numbered anew by the clock once the day is laid out.
    pub(super) name: String,
    pub(super) act: Act,
    pub(super) recipe: String,
    /// Item number and share of it.
    pub(super) items: Vec<(usize, f64)>,
    pub(super) placing: Time,
    /// Its gel time, where the cup itself has told one; that of its recipe, if not.
    pub(super) gel: Option<GelTime>,
}

/// What is worked out of a casting.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// All that a plan tells.
    Told,
    /// What is held against limits alone: of a casting that is drawn, or of a change that is tried.
    Judged,
}

/// Everything a plan is made from, looked up once.
pub(super) struct Job<'c> {
    pub(super) casting: &'c Casting,
    pub(super) catalogue: &'c Catalogue,
    pub(super) mixes: BTreeMap<&'c str, Mix<'c>>,
    pub(super) items: Vec<Item>,
    /// What was measured of each zone: for the needs of a whole plan, empty elsewhere.
    pub(super) sizes: Vec<ZoneSizes>,
    gel_times: BTreeMap<&'c str, GelTime>,
    /// What lies how far off the gel-time table, where that is why a gel time is not known.
    pub(super) far_off: BTreeMap<&'c str, FarOff>,
}

impl<'c> Job<'c> {
    pub(super) fn new(casting: &'c Casting, catalogue: &'c Catalogue) -> Result<Self> {
        let mixes = layout::mixes(casting, catalogue)?;
        let items = layout::items(casting, catalogue, &mixes)?;
        let (mut gel_times, mut far_off) = (BTreeMap::new(), BTreeMap::new());
        for (name, mix) in &mixes {
            match working_time::of(mix, casting.shop.resin())? {
                WorkingTime::Known(gel) => {
                    gel_times.insert(*name, gel);
                }
                WorkingTime::Unknown => {}
                // A dose or a temperature far off its table is a finding of the plan, not the end of it.
                WorkingTime::FarOff(off) => {
                    far_off.insert(*name, off);
                }
            }
        }
        let mut job = Job {
            casting,
            catalogue,
            mixes,
            items,
            sizes: vec![],
            gel_times,
            far_off,
        };
        job.press_seams()?;
        Ok(job)
    }

    /// What the clamps squeeze out of a seam is mixed and laid, but does not stay in the part: it is waste.
    fn press_seams(&mut self) -> Result<()> {
        let shares: Vec<f64> = self
            .casting
            .seams
            .iter()
            .map(|s| part::squeezed_share(self, s))
            .collect();
        let seams = self.items.iter_mut().filter(|i| i.act == Act::Seam);
        for (item, share) in seams.zip(shares) {
            let laid = item.net.si() * (1.0 + item.waste.get());
            item.net *= 1.0 - share.min(0.999);
            item.waste = RelativeAmount::new(laid / item.net.si() - 1.0)?;
            item.loss = self.mixes[item.recipe.as_str()].loss(item.net, Act::Seam, None, true)?;
        }
        Ok(())
    }
    /// What limits may name of a recipe as it is used by these acts: its materials and family, the acts, their methods.
    pub(super) fn tags_of_recipe(&self, recipe: &str, acts: &[Act]) -> Vec<String> {
        let mut tags = self.mixes[recipe].tags.clone();
        tags.extend(acts.iter().map(|a| a.tag().to_owned()));
        let used = |i: &&Item| i.recipe == recipe && acts.contains(&i.act);
        tags.extend(self.items.iter().filter(used).flat_map(Item::method_tags));
        tags.dedup();
        tags
    }
    pub(super) fn gel_time(&self, recipe: &str) -> Option<&GelTime> {
        self.gel_times.get(recipe)
    }
    /// The same with each mix's gel time that many times as long.
    pub(super) fn retimed(mut self, times: impl Fn(&Mix, &GelTime) -> Result<f64>) -> Result<Self> {
        for (recipe, gel) in &mut self.gel_times {
            let times = times(&self.mixes[recipe], gel)?;
            (gel.time, gel.low, gel.high) = (gel.time * times, gel.low * times, gel.high * times);
        }
        Ok(self)
    }
    /// What goes into the part and its mould, each material once: of its recipes, its plies, its release agents.
    pub(super) fn laid(&self) -> Vec<&str> {
        let of_mixes = self.mixes.values().flat_map(|m| &m.materials);
        let plies = self.items.iter().flat_map(|i| &i.plies);
        let mut seen = std::collections::BTreeSet::new();
        of_mixes
            .map(|(_, m)| m.id.as_str())
            .chain(plies.map(|p| p.material.as_str()))
            .chain(self.casting.mould.release.iter().map(|r| r.material.as_str()))
            .filter(|id| seen.insert(*id))
            .collect()
    }
    /// Every material of the casting, each once: what is laid, and what tools are cleaned with.
    pub(super) fn materials(&self) -> Result<Vec<&'c Material>> {
        let mut ids = self.laid();
        if let Some(cleaning) = &self.casting.shop.cleaning
            && !ids.contains(&cleaning.solvent.as_str())
        {
            ids.push(&cleaning.solvent);
        }
        ids.into_iter().map(|id| self.catalogue.get(id)).collect()
    }
    /// Time of the hands to place a cup.
    pub(super) fn placing(&self, items: &[(usize, f64)]) -> Time {
        let each = items.iter().map(|(i, share)| self.items[*i].placing.si() * share);
        Time::new::<second>(each.sum())
    }
    /// From the catalyst being in to the cup being empty at the latest.
    pub(super) fn usable(&self, recipe: &str) -> Option<Time> {
        self.gel_time(recipe).map(|g| self.used_within(g))
    }
    /// The gel time of a cup.
    pub(super) fn gel_time_of<'g>(&'g self, cup: &'g Cup) -> Option<&'g GelTime> {
        cup.gel.as_ref().or_else(|| self.gel_time(&cup.recipe))
    }
    /// The same of a cup as [`Job::usable`] of a recipe.
    pub(super) fn usable_of(&self, cup: &Cup) -> Option<Time> {
        self.gel_time_of(cup).map(|g| self.used_within(g))
    }
    fn used_within(&self, gel: &GelTime) -> Time {
        gel.time * self.casting.pace.usable.get()
    }
    /// Half of the mixing time falls after the catalyst is in.
    pub(super) fn stirring(&self) -> Time {
        self.casting.pace.mixing * 0.5
    }
    /// When a cup whose mixing starts at `start` must be empty, where its gel time is known: after the usable share of it, and not
    /// later than the low end of the band of its gel in the cup, counted from the catalyst.
    pub(super) fn use_by(&self, cup: &Cup, start: Clock, gel_low: Option<Time>) -> Option<Clock> {
        let usable = self.usable_of(cup)?;
        let by = gel_low.map_or(usable, |g| if g < usable { g } else { usable });
        Some(start.after(self.before_catalyst()).after(by))
    }
    /// From the start of mixing to the catalyst being in.
    pub(super) fn before_catalyst(&self) -> Time {
        self.casting.pace.mixing - self.stirring()
    }
}

/// One pair of hands mixes no more; a timetable of more would take minutes to work out.
const MOST_CUPS_IN_ALL: usize = 1000;

impl Job<'_> {
    /// Mixes of one act, level and recipe go together, split so that each cup is placed in its usable time.
    pub(super) fn cups(&self) -> Result<Vec<Cup>> {
        let mut groups: Vec<((Act, usize, &str), Vec<usize>)> = Vec::new();
        for (i, item) in self.items.iter().enumerate() {
            let key = (item.act, item.level, item.recipe.as_str());
            match groups.iter_mut().find(|(k, _)| *k == key) {
                Some((_, g)) => g.push(i),
                None => groups.push((key, vec![i])),
            }
        }
        groups.sort_by_key(|((act, level, _), _)| (*act >= Act::Insert, *act == Act::Seam, *level, *act));
        let mut cups: Vec<Cup> = Vec::new();
        for ((act, _, recipe), members) in groups {
            for items in self.split(recipe, &members)? {
                let placing = self.placing(&items);
                if cups.len() >= MOST_CUPS_IN_ALL {
                    return Err(Error::no_solution(
                        "zones",
                        "placing every cup in its working time",
                        format!("it would take more than {MOST_CUPS_IN_ALL} cups"),
                        "plan the casting in parts, or take a slower mix",
                    ));
                }
                cups.push(Cup {
                    name: format!("cup {}", cups.len() + 1),
                    act,
                    recipe: recipe.to_owned(),
                    items,
                    placing,
                    gel: None,
                });
            }
        }
        Ok(cups)
    }

    fn split(&self, recipe: &str, members: &[usize]) -> Result<Vec<Vec<(usize, f64)>>> {
        const MOST_CUPS: f64 = 200.0;
        let stirring = self.stirring();
        let asked = self
            .casting
            .pace
            .longest_placing
            .map_or(f64::INFINITY, Quantity::si);
        let usable = self.usable(recipe);
        let room = usable
            .map_or(f64::INFINITY, |t| t.si() - stirring.si())
            .min(asked);
        if room.is_infinite() {
            return Ok(vec![members.iter().map(|i| (*i, 1.0)).collect()]);
        }
        let longest = members
            .iter()
            .map(|i| self.items[*i].placing.si())
            .fold(0.0, f64::max);
        if room <= 0.0 || longest / room > MOST_CUPS {
            return Err(Error::no_solution(
                format!("recipes.{recipe}"),
                format!(
                    "placing '{recipe}' within {} of a gel time of {}",
                    usable.map_or_else(String::new, |t| quantity::show(t).into()),
                    self.gel_time(recipe)
                        .map_or_else(String::new, |g| quantity::show(g.time).to_string()),
                ),
                format!("stirring alone takes {}", quantity::show(stirring)),
                "less catalyst inside its window, a slower hardener, or a cooler shop",
            ));
        }
        let mut cups: Vec<Vec<(usize, f64)>> = Vec::new();
        let mut left = 0.0;
        for &i in members {
            let placing = self.items[i].placing.si();
            if placing <= left
                && let Some(cup) = cups.last_mut()
            {
                cup.push((i, 1.0));
                left -= placing;
                continue;
            }
            let n = (placing / room).ceil().max(1.0);
            for _ in 0..n as usize {
                cups.push(vec![(i, 1.0 / n)]);
            }
            left = room - placing / n;
        }
        Ok(cups)
    }

    /// Mass of mix to make for a cup: with its share of waste, and at least with what stays in cup and tools.
    pub(super) fn to_mix(&self, cup: &Cup) -> Result<Mass> {
        let (mut placed, mut with_waste) = (Mass::default(), Mass::default());
        for (i, share) in &cup.items {
            let item = &self.items[*i];
            let mixed = item.net * (*share * (1.0 + item.waste.get()));
            // What the clamps squeeze out of a seam is laid, too: only what stays in the cup is not.
            placed += match item.act {
                Act::Seam => mixed / (1.0 + self.casting.waste.paste.get()),
                _ => item.net * *share,
            };
            with_waste += mixed;
        }
        let needed = placed + self.left_in_cup(cup, placed)?;
        Ok(if needed > with_waste { needed } else { with_waste })
    }

    /// What of a cup is mixed and not laid.
    pub(super) fn left_of(&self, cup: &Cup) -> Result<Mass> {
        let laid: Mass = cup
            .items
            .iter()
            .map(|(i, share)| self.items[*i].net * *share)
            .sum();
        let left = self.to_mix(cup)? - laid;
        Ok(if left.si() > 0.0 { left } else { Mass::default() })
    }

    /// What stays in a cup and its tools: as weighed in this shop, else a film on what the mix wets.
    fn left_in_cup(&self, cup: &Cup, placed: Mass) -> Result<Mass> {
        if let Some(leftover) = self.casting.leftover_of(&cup.recipe) {
            return Ok(leftover.left);
        }
        let mix = &self.mixes[cup.recipe.as_str()];
        let Some([viscosity, ..]) = part::viscosity_today(mix, self.casting.shop.resin())? else {
            return Ok(Mass::default());
        };
        // A gel coat's sheet tells its viscosity at rest: worked it is thinner by its thixotropic index.
        let resin = mix.resin().resin()?;
        let worked = match (&resin.thixotropic_index, resin.family) {
            (Some(index), Family::GelCoat) => viscosity / index.value.get(),
            _ => viscosity,
        };
        let sprayed = cup
            .items
            .iter()
            .any(|(i, _)| self.items[*i].applied == Some(Application::Spray));
        let tools = match cup.act {
            Act::GelCoat if sprayed => vec![Tool::Stick],
            Act::GelCoat => vec![Tool::Stick, Tool::Brush],
            Act::Laminate => vec![Tool::Stick, Tool::Brush, Tool::Roller],
            Act::Pour => vec![Tool::Stick],
            Act::Insert | Act::Seam => vec![Tool::Spatula],
        };
        let wetted = WettedTools {
            mixed: placed / mix.unit.density,
            tools,
            viscosity: DynamicViscosity::from_si(worked)?,
        };
        Ok(wetted.residue()?.volume * mix.unit.density)
    }

    fn batch(&self, cup: &Cup) -> Result<Batch> {
        let recipe = self.casting.recipes.get(&cup.recipe).ok_or_else(|| {
            Error::unknown_name(
                "recipe",
                &cup.recipe,
                self.casting.recipes.keys().map(String::as_str),
            )
        })?;
        Batch::new(
            recipe,
            Amount::Mass(self.to_mix(cup)?),
            self.catalogue,
            &self.casting.shop.bench,
        )
    }

    pub(super) fn zones_of(&self, cup: &Cup) -> Vec<String> {
        cup.items
            .iter()
            .map(|(i, share)| {
                let zone = &self.items[*i].zone;
                if *share < 1.0 {
                    format!("{zone} (1/{:.0})", 1.0 / share)
                } else {
                    zone.clone()
                }
            })
            .collect()
    }

    pub(super) fn zones(&self) -> Result<Vec<ZoneAmounts>> {
        self.casting
            .zones
            .iter()
            .map(|z| {
                let of_zone: Vec<&Item> = self.items_of(&z.name).collect();
                let thickness: Option<f64> = of_zone.iter().map(|i| i.thickness.map(Quantity::si)).sum();
                let cured: Option<f64> = of_zone.iter().map(|i| i.cured_thickness.map(Quantity::si)).sum();
                let glass: f64 = of_zone
                    .iter()
                    .flat_map(|i| &i.plies)
                    .map(layout::Ply::glass)
                    .sum();
                let mix: f64 = of_zone.iter().map(|i| i.cured()).sum();
                Ok(ZoneAmounts {
                    zone: z.name.clone(),
                    thickness: thickness.map(Length::from_si).transpose()?,
                    cured_thickness: cured.map(Length::from_si).transpose()?,
                    vapour: vapour::sum(&z.name, of_zone.iter().map(|i| (i.loss.as_ref(), 1.0))),
                    mass: Mass::new::<kilogram>(mix + glass),
                    reinforcement: Mass::new::<kilogram>(glass),
                })
            })
            .collect()
    }

    /// What is laid on a zone.
    pub(super) fn items_of<'j>(&'j self, zone: &'j str) -> impl Iterator<Item = &'j Item> {
        self.items
            .iter()
            .filter(move |i| i.zone == zone && i.act < Act::Insert)
    }

    /// Cured thickness of a layer of a zone, all its coats, where it is known.
    pub(super) fn cured_thickness(&self, zone: &str, layer: usize) -> Option<Length> {
        let of_layer = self.items_of(zone).filter(|i| i.layer == layer);
        let si: Option<f64> = of_layer.map(|i| i.cured_thickness.map(Quantity::si)).sum();
        Some(Length::new::<uom::si::length::meter>(si?))
    }

    /// What leaves the films of a cup.
    pub(super) fn vapour_of(&self, cup: &Cup) -> Option<Vapour> {
        vapour::sum(
            &cup.name,
            cup.items
                .iter()
                .map(|(i, share)| (self.items[*i].loss.as_ref(), *share)),
        )
    }

    /// What leaves all films.
    pub(super) fn vapour(&self) -> Option<Vapour> {
        vapour::sum("all films", self.items.iter().map(|i| (i.loss.as_ref(), 1.0)))
    }

    /// The cups' batches.
    pub(super) fn batches(&self, cups: &[Cup]) -> Result<Vec<Batch>> {
        cups.iter()
            .map(|c| {
                self.batch(c)
                    .map_err(|e| e.within(format!("recipes.{}", c.recipe)))
            })
            .collect()
    }

    pub(super) fn part_mass(&self) -> Mass {
        Mass::new::<kilogram>(
            self.items
                .iter()
                .map(|i| i.cured() + i.plies.iter().map(layout::Ply::glass).sum::<f64>())
                .sum(),
        )
    }
}
