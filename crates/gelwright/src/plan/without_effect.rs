//! What of a casting is given and changes nothing in its plan: told, not passed over.

use super::exotherm::Exotherms;
use super::job::Job;
use super::needs::Need;
use super::part::PartAsMade;
use super::zone_cure::ZoneCures;
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

pub(super) fn of(
    job: &Job,
    needs: &[Need],
    part: &PartAsMade,
    heat: &Exotherms,
    cure: &ZoneCures,
) -> Vec<WithoutEffect> {
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
                !casting.shop.day.is_empty() && heat.zones.iter().all(Option::is_none),
            ),
        ];
        for (field, _) in given.into_iter().filter(|g| g.1) {
            tell(
                field.to_owned(),
                "it is for the cure of the zones, which is computed where their resins' test cups and glass transitions are known",
            );
        }
    }
    for resin in casting.cup_tests.keys() {
        if !job.mixes.values().any(|m| m.resin().id == *resin) {
            tell(format!("cup_tests.{resin}"), "no recipe takes that resin");
        }
    }
    for resin in casting.film_tests.keys() {
        if !job.mixes.values().any(|m| m.resin().id == *resin) {
            tell(format!("film_tests.{resin}"), "no recipe takes that resin");
        }
    }
    for (i, (zone, made)) in casting.zones.iter().zip(&part.zones).enumerate() {
        if zone.pulled_edge.is_some() && made.edge.is_none() {
            tell(
                format!("zones[{i}].pulled_edge"),
                "how stiff and strong the zone's resin cures, or how thick it is, is not known",
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
    for material in casting.stock.keys() {
        if !needs.iter().any(|n| n.material == *material) {
            tell(format!("stock.{material}"), "the casting takes none of it");
        }
    }
    all
}
