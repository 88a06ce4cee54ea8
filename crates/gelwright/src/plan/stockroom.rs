//! The shelf of a casting: which lots its batches are drawn from, which packages are bought for what is missing, and what
//! a good part costs. What the plan hands to `stock`.

use std::collections::BTreeMap;

use uom::si::mass::kilogram;

use super::job::{Cup, Job};
use super::needs::{self, Need};
use super::steps::WorkStep;
use crate::error::{Error, Result};
use crate::material::{Class, Material};
use crate::mix::Batch;
use crate::noun::Noun;
use crate::quantity::{Area, Mass, Money, Quantity, RelativeAmount, Time};
use crate::stock::{
    CastingCosts, Cover, Date, Held, Lot, Package, PartCosts, Purchase, Shelf, Wanted, WantedBatch,
    Withdrawal,
};

/// What stands on the shelf by lots, and what can be bought.
#[derive(Clone, PartialEq, Noun)]
pub struct Stockroom {
    /// The day of the casting.
    pub on: Date,
    /// The lots.
    #[noun(default)]
    pub lots: Vec<Lot>,
    /// Whether lots that have expired are drawn too, each with a word.
    #[noun(default)]
    pub take_expired: bool,
    /// Materials of which a batch may not mix lots, by id: two lots of a gel coat rarely have one colour.
    #[noun(default)]
    pub one_lot: Vec<String>,
    /// The packages in which a material is sold, by its id.
    #[noun(default)]
    pub packages: BTreeMap<String, Vec<Package>>,
    /// For how many castings is bought, this one with them.
    #[noun(default = 1, within(1, 10_000, "count the castings"))]
    pub castings: u32,
}

/// What a part costs besides its materials.
#[derive(Clone, PartialEq, Noun)]
pub struct Costing {
    /// What an hour of work costs.
    pub hour: Money,
    /// Share of castings that are spoiled.
    #[noun(default = "0 %", within("0 %", < "100 %", "give the share that is spoiled"))]
    pub spoiled: RelativeAmount,
    /// What is paid once: mould, patterns, tools.
    pub once: Option<Money>,
    /// Good parts wanted.
    #[noun(default = 1, within(1, 100_000, "count the good parts"))]
    pub parts: u32,
}

/// Packages to buy of a material.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Order {
    /// A material id.
    pub material: String,
    /// What a person calls it.
    pub name: String,
    /// The packages.
    pub cover: Cover,
}

/// What comes from the shelf, and what is bought.
#[derive(Default)]
pub(super) struct FromStockroom {
    pub(super) drawn: Option<Withdrawal>,
    pub(super) orders: Vec<Order>,
}

pub(super) fn draw(job: &Job, cups: &[Cup], batches: &[Batch], needs: &[Need]) -> Result<FromStockroom> {
    let Some(room) = &job.casting.stockroom else {
        return Ok(FromStockroom::default());
    };
    let at = |e: Error| e.within("stockroom");
    room.check(job).map_err(at)?;
    let shelf = room.shelf(job).map_err(at)?;
    let wanted = needs
        .iter()
        .map(|n| room.wanted(n, cups, batches))
        .collect::<Result<Vec<_>>>()?;
    let drawn = shelf.draw(wanted.clone()).map_err(at)?;
    let mut orders = Vec::new();
    for (need, wanted) in needs.iter().zip(&wanted) {
        let Some(packages) = room.packages.get(&need.material) else {
            continue;
        };
        let material = job.catalogue.get(&need.material)?;
        let whole: f64 = wanted.batches.iter().map(|b| b.amount.si()).sum();
        let first_lacks: f64 = drawn
            .missing
            .iter()
            .filter(|m| m.material == need.material)
            .map(|m| m.amount.si())
            .sum();
        // Those that follow find on the shelf what this one leaves there.
        let left: f64 = drawn
            .left
            .iter()
            .filter(|l| l.material == need.material && l.may_be_drawn(room.on, room.take_expired))
            .map(|l| l.left.si())
            .sum();
        let later = whole * f64::from(room.castings - 1);
        let lacks = first_lacks + (later - left).max(0.0);
        if lacks <= 0.0 {
            continue;
        }
        let purchase = Purchase {
            missing: like(need, lacks)?,
            castings: 1,
            packages: packages
                .iter()
                .map(|p| {
                    Ok(Package {
                        size: in_kind(p.size, material)?,
                        ..p.clone()
                    })
                })
                .collect::<Result<_>>()
                .map_err(|e: Error| at(e.within(format!("packages.{}", need.material))))?,
        };
        let cover = purchase
            .cover()
            .map_err(|e| at(e.within(format!("packages.{}", need.material))))?;
        orders.push(Order {
            material: need.material.clone(),
            name: need.name.clone(),
            cover,
        });
    }
    Ok(FromStockroom {
        drawn: Some(drawn),
        orders,
    })
}

impl Stockroom {
    fn check(&self, job: &Job) -> Result<()> {
        let named = self
            .packages
            .keys()
            .map(|id| (format!("packages.{id}"), id))
            .chain(
                self.one_lot
                    .iter()
                    .enumerate()
                    .map(|(i, id)| (format!("one_lot[{i}]"), id)),
            )
            .chain(
                self.lots
                    .iter()
                    .enumerate()
                    .map(|(i, l)| (format!("lots[{i}].material"), &l.material)),
            );
        for (field, id) in named {
            job.catalogue.get(id).map_err(|e| e.at(&field))?;
            if job.casting.stock.contains_key(id) && field.starts_with("lots") {
                return Err(Error::inconsistent(
                    field,
                    id,
                    "in the lots or under 'stock'",
                    format!("take '{id}' out of 'stock': its lots say what is there"),
                ));
            }
        }
        Ok(())
    }

    /// The shelf, reinforcements by their area and all else by mass, as the needs are.
    fn shelf(&self, job: &Job) -> Result<Shelf> {
        let lots = self.lots.iter().enumerate().map(|(i, lot)| {
            let material = job.catalogue.get(&lot.material)?;
            let left = in_kind(lot.left, material).map_err(|e| e.within(format!("lots[{i}].left")))?;
            Ok(Lot { left, ..lot.clone() })
        });
        Ok(Shelf {
            on: self.on,
            lots: lots.collect::<Result<_>>()?,
            take_expired: self.take_expired,
        })
    }

    /// What is wanted of a material: cup by cup in the order of mixing, or at once what is cut or spread.
    fn wanted(&self, need: &Need, cups: &[Cup], batches: &[Batch]) -> Result<Wanted> {
        let mut of_cups = Vec::new();
        for (cup, batch) in cups.iter().zip(batches) {
            let mass: f64 = batch
                .parts
                .iter()
                .filter(|p| p.material == need.material)
                .map(|p| p.mass.si())
                .sum();
            if mass > 0.0 {
                of_cups.push(WantedBatch {
                    batch: cup.name.clone(),
                    amount: Held::mass(Mass::new::<kilogram>(mass))?,
                });
            }
        }
        let mixed: f64 = of_cups.iter().map(|b| b.amount.si()).sum();
        let beside = match need.area {
            Some(area) => Some(Held::area(area)?),
            None => {
                let rest = need.mass.si() - mixed;
                let some = rest > 1e-9 * need.mass.si();
                some.then(|| Held::mass(Mass::new::<kilogram>(rest)))
                    .transpose()?
            }
        };
        // In the order of mixing: the cups are numbered by the clock.
        of_cups.sort_by_key(|b| cup_number(&b.batch));
        of_cups.extend(beside.map(|amount| WantedBatch {
            batch: "mould and plies".into(),
            amount,
        }));
        Ok(Wanted {
            material: need.material.clone(),
            batches: of_cups,
            one_lot: self.one_lot.contains(&need.material),
        })
    }
}

fn cup_number(name: &str) -> u32 {
    name.rsplit(' ')
        .next()
        .and_then(|n| n.parse().ok())
        .unwrap_or(u32::MAX)
}

impl Job<'_> {
    /// What may be drawn of a material from its lots, where the casting names any.
    pub(super) fn on_the_shelf(&self, id: &str, material: &Material) -> Option<Result<Mass>> {
        let room = self.casting.stockroom.as_ref()?;
        let mut lots = room.lots.iter().filter(|l| l.material == id).peekable();
        lots.peek()?;
        let sum = lots
            .filter(|l| l.may_be_drawn(room.on, room.take_expired))
            .try_fold(Mass::default(), |sum, l| {
                Ok(sum + needs::as_mass(l.left, material)?)
            });
        Some(sum.map_err(|e: Error| e.within("stockroom.lots")))
    }
}

/// As the need is told: an area of a reinforcement, else a mass.
fn like(need: &Need, si: f64) -> Result<Held> {
    match need.area {
        Some(_) => Held::area(Area::from_si(si)?),
        None => Held::mass(Mass::from_si(si)?),
    }
}

/// An amount of a reinforcement as an area, of anything else as a mass.
fn in_kind(held: Held, material: &Material) -> Result<Held> {
    if let Class::Reinforcement(r) = &material.class {
        if held.as_area().is_some() {
            return Ok(held);
        }
        let mass = needs::as_mass(held, material)?;
        return Held::area(Area::from_si(mass.si() / r.areal_mass.value.si())?);
    }
    Held::mass(needs::as_mass(held, material)?)
}

/// What good parts cost, with the hands-on time of the plan's steps.
pub(super) fn costs(job: &Job, steps: &[WorkStep], materials: Option<Money>) -> Result<Option<CastingCosts>> {
    let (Some(costing), Some(materials)) = (&job.casting.costing, materials) else {
        return Ok(None);
    };
    let hands: f64 = steps.iter().map(|s| s.end.since(s.start).si()).sum();
    PartCosts {
        materials,
        hands: Time::from_si(hands)?,
        hour: Some(costing.hour),
        spoiled: costing.spoiled,
        once: costing.once,
        parts: costing.parts,
    }
    .costs()
    .map(Some)
    .map_err(|e| e.within("costing"))
}
