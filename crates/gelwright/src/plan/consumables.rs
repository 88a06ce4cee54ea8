//! Tools and consumables of the day: what is used up or must lie ready beside the materials. Counts are common practice,
//! no source; the shop's own are better.

use super::job::{Cup, Job};
use super::layout::Act;
use crate::noun::Noun;

/// A tool or a consumable.
#[derive(Clone, PartialEq, Noun)]
pub struct Consumable {
    /// What it is.
    pub name: String,
    /// How many; absent where it is one lot, such as tape.
    pub count: Option<u32>,
    /// What for.
    pub purpose: String,
}

pub(super) fn of(job: &Job, cups: &[Cup]) -> Vec<Consumable> {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let of_act = |act: Act| number(cups.iter().filter(|c| c.act == act).count());
    let mixed = number(cups.len());
    let paste = of_act(Act::Insert) + of_act(Act::Seam);
    let sprayed = cups.iter().any(|c| {
        c.items
            .iter()
            .any(|(i, _)| job.items[*i].applied == Some(super::Application::Spray))
    });
    let brushes = if sprayed { 0 } else { of_act(Act::GelCoat) } + of_act(Act::Laminate);
    let peroxide = job
        .mixes
        .values()
        .any(|m| m.cures_by().is_some_and(|m| m.initiator().is_ok()));
    let clamps = job.casting.clamping.as_ref().map_or(0, |c| c.clamps);
    let cuts_glass = job.items.iter().any(|i| !i.plies.is_empty());
    // What the casting says its tools are cleaned with; what its resin's sheet says, if it does not.
    let cleaner = job
        .casting
        .shop
        .cleaning
        .as_ref()
        .and_then(|c| job.catalogue.get(&c.solvent).ok())
        .map_or("cleaning solvent that the resin's data sheet names", |m| {
            m.name.as_str()
        });
    let cleaner = format!("{cleaner}, in a closed tin");
    #[rustfmt::skip]
    let all: [(u32, &str, Option<u32>, &str); 17] = [
        (mixed, "mixing cup", Some(mixed + 1), "one for each cup, and a spare"),
        (mixed, "stirring stick, flat", Some(mixed), "scrapes wall and bottom"),
        (mixed, "pair of nitrile gloves", Some(mixed + 2), "a fresh pair for each cup, for cleaning and for demoulding"),
        (mixed, "goggles", Some(1), "whenever catalyst is handled"),
        (u32::from(peroxide), "eye wash, in reach", Some(1), "for a splash of catalyst"),
        (brushes, "brush", Some(brushes), "one for each cup that is brushed"),
        (u32::from(sprayed), "spray gun, its cup and nozzle", Some(1), "for the gel coat"),
        (of_act(Act::Laminate), "laminating roller", Some(1), "rolls out the air"),
        (of_act(Act::GelCoat), "wet film comb", Some(1), "gauges the gel coat"),
        (paste, "filling bag or spatula", Some(paste), "for the paste"),
        (u32::from(cuts_glass), "scissors and knife", Some(1), "for the glass, and for the flange while it is green"),
        (number(job.casting.mould.release.len()), "lint-free cloth", Some(2 * number(job.casting.mould.release.len())), "on with one, off with another"),
        (clamps, "clamp", Some(clamps), "to close the mould"),
        (1, "wooden or plastic wedge", Some(4), "to demould"),
        (u32::from(cuts_glass), "abrasive paper, 180 and 320", None, "for trimming, wet where it can be"),
        (mixed, &cleaner, None, "for brushes only, away from the catalyst"),
        (mixed, "shallow metal tray", Some(1), "for leftovers, outdoors"),
    ];
    all.into_iter()
        .filter(|(needed, ..)| *needed > 0)
        .map(|(_, name, count, purpose)| Consumable {
            name: name.to_owned(),
            count,
            purpose: purpose.to_owned(),
        })
        .collect()
}
