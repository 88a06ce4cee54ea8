//! What of a casting is given and changes nothing in its plan: told, not passed over.

use super::casting::{Closing, Zone};
use super::exotherm::Exotherms;
use super::job::Job;
use super::mould_face;
use super::needs::Need;
use super::part::PartAsMade;
use super::solid::gel_coat_of;
use super::zone_cure::ZoneCures;
use crate::error::Result;
use crate::heat::Stance;
use crate::noun::Noun;

/// Something of the casting that is given and changes nothing.
#[derive(Clone, PartialEq, Noun)]
pub struct WithoutEffect {
    /// Its path in the casting.
    pub field: String,
    /// Why it changes nothing.
    pub reason: String,
}

const FOR_THE_CURE: &str = "it is for the cure of the zones, which is computed where the laws of their resins' cure and their \
                            glass transitions are known";

pub(super) fn of(
    job: &Job,
    needs: &[Need],
    part: &PartAsMade,
    heat: &Exotherms,
    cure: &ZoneCures,
    unmeasured: &[String],
) -> Result<Vec<WithoutEffect>> {
    let casting = job.casting;
    let mut all = Vec::new();
    let mut tell = |field: String, reason: &str| {
        all.push(WithoutEffect {
            field,
            reason: reason.to_owned(),
        });
    };
    if casting.mould.thickness.is_some() && heat.zones.iter().all(Option::is_none) {
        tell(
            "mould.thickness".to_owned(),
            "it is for the heat of the zones, and of none is all known that this takes: gel times or a test cup of each \
             resin, depths, the mould wall's density, heat capacity and conductivity",
        );
    }
    if cure.zones.iter().all(Option::is_none) {
        let given = [
            ("cure.demould", casting.cure.demould.is_some()),
            ("cure.demould_by", casting.cure.demould_by.is_some()),
            ("cure.in_use", casting.cure.in_use.is_some()),
            (
                "shop.day",
                !casting.shop.day.is_empty()
                    && casting.shop.day.iter().all(|a| a.humidity.is_none())
                    && heat.zones.iter().all(Option::is_none),
            ),
        ];
        for (field, _) in given.into_iter().filter(|g| g.1) {
            tell(field.to_owned(), FOR_THE_CURE);
        }
        for (i, _) in casting
            .cure
            .post_cure
            .iter()
            .enumerate()
            .filter(|h| h.1.rise.is_some())
        {
            tell(format!("cure.post_cure[{i}].rise"), FOR_THE_CURE);
        }
    }
    let cups = casting.cup_tests.keys().map(|resin| ("cup_tests", resin));
    let films = casting.film_tests.keys().map(|resin| ("film_tests", resin));
    for (tests, resin) in cups.chain(films) {
        if !job.mixes.values().any(|m| m.resin().id == *resin) {
            tell(format!("{tests}.{resin}"), "no recipe takes that resin");
        }
    }
    // What lets a zone go strains its gel coat too, where it has one.
    let peeled = |z: &Zone| match &z.pulled_edge {
        Some(edge) => edge.pull.is_none(),
        None => gel_coat_of(z).is_some(),
    };
    if casting.mould.release_test.is_some() && !casting.zones.iter().any(peeled) {
        tell(
            "mould.release_test".to_owned(),
            "it tells how firmly an edge sticks that is peeled off: no zone has such an edge, or a gel coat that is \
             peeled off with it",
        );
    }
    if part.hangs.is_none() {
        let zones = casting.zones.iter().map(|z| (z.at, &z.name)).enumerate();
        let inserts = casting.inserts.iter().map(|n| (n.at, &n.name)).enumerate();
        let seams = casting.seams.iter().map(|m| (m.at, &m.name)).enumerate();
        let all = zones
            .map(|z| ("zones", z))
            .chain(inserts.map(|n| ("inserts", n)))
            .chain(seams.map(|m| ("seams", m)));
        for (list, (i, (_, name))) in all.filter(|(_, (_, (at, _)))| at.is_some()) {
            tell(
                format!("{list}[{i}].at"),
                &format!(
                    "how the part hangs is told where every zone's position is given and that of the insert which carries it; \
                     '{name}' is not enough"
                ),
            );
        }
    }
    for (i, insert) in casting.inserts.iter().enumerate() {
        if insert.carries.is_some() && part.mounts.iter().all(|m| m.insert != insert.name) {
            tell(
                format!("inserts[{i}].carries"),
                "how strong the shell about it is is not known: the zone has no laminate of known stiffness, or no area",
            );
        }
    }
    if casting.closing == Closing::Wet && casting.seams.is_empty() && casting.clamping.is_none() {
        tell(
            "closing".to_owned(),
            "the mould has no seam and no clamps: it is not closed",
        );
    }
    if casting.mould.sealed && !mould_face::porous(job)? {
        tell("mould.sealed".to_owned(), "the mould's wall has no pores to seal");
    }
    for (i, (zone, made)) in casting.zones.iter().zip(&part.zones).enumerate() {
        if zone.pulled_edge.is_some() && made.edge.is_none() {
            tell(
                format!("zones[{i}].pulled_edge"),
                "how stiff and strong the zone's resin cures, or how thick it is, is not known",
            );
        }
        if zone.strip.is_some() && made.light_through.is_none() {
            tell(
                format!("zones[{i}].strip"),
                "it is for the light through a pour of clear resin and glass, and of a coat before it whose optics are known",
            );
        }
        if heat.zones[i].is_none() {
            let heat_only = "it is for the heat of the zone, which is not computed here";
            if zone.size.is_some() {
                tell(format!("zones[{i}].size"), heat_only);
            }
            if zone.stance != Stance::Vertical {
                tell(format!("zones[{i}].stance"), heat_only);
            }
        }
    }
    if casting.shop.room.is_none() {
        // What tools are cleaned with is told among the cautions and the consumables too.
        if casting.shop.jurisdiction.is_some() {
            tell(
                "shop.jurisdiction".to_owned(),
                "it is for the air of the room, which is told where 'shop.room' is given",
            );
        }
    }
    for (i, seam) in casting.seams.iter().enumerate() {
        let made = part.seams.iter().find(|s| s.seam == seam.name);
        if seam.yield_law.is_some() && made.is_none() {
            tell(format!("seams[{i}].yield_law"), "its paste holds no thickener");
        }
        if seam.flange.is_some() && made.is_none_or(|s| s.thickness.is_none()) {
            tell(
                format!("seams[{i}].flange"),
                "it is for squeezing out, which takes clamps, a thickener and the resin's viscosity",
            );
        }
    }
    for of in casting.shop_tests.keys() {
        let taken = casting.recipes.contains_key(of)
            || casting.mould.wall == *of
            || needs.iter().any(|n| n.material == *of);
        if !taken {
            tell(format!("shop_tests.{of}"), "the casting takes none of it");
        }
    }
    for limit in unmeasured {
        tell(
            format!("limit.{limit}"),
            "nothing in this casting is measured that it bounds, by its quantity, subject and method",
        );
    }
    for material in casting.stock.keys() {
        if !needs.iter().any(|n| n.material == *material) {
            tell(format!("stock.{material}"), "the casting takes none of it");
        }
    }
    if casting.costing.is_some() && needs.iter().all(|n| n.cost.is_none()) {
        tell("costing".to_owned(), "no material's price is entered");
    }
    if let Some(room) = &casting.stockroom {
        let lots = room
            .lots
            .iter()
            .enumerate()
            .map(|(i, l)| (format!("stockroom.lots[{i}]"), &l.material));
        let one_lot = room
            .one_lot
            .iter()
            .enumerate()
            .map(|(i, id)| (format!("stockroom.one_lot[{i}]"), id));
        let packages = room
            .packages
            .keys()
            .map(|id| (format!("stockroom.packages.{id}"), id));
        for (field, material) in lots.chain(one_lot).chain(packages) {
            if !needs.iter().any(|n| n.material == *material) {
                tell(field, "the casting takes none of it");
            }
        }
    }
    Ok(all)
}
