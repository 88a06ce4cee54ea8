//! Which doses cure a resin by every published rule.

use super::limits::Limits;
use super::quantity::LimitQuantity;
use crate::error::Result;
use crate::material::{Catalogue, Class, Family, Material};
use crate::noun::{Noun, questions};
use crate::quantity::Phr;

/// A resin of the catalogue with what cures it, and the doses that every published rule allows.
#[derive(Clone, PartialEq, Noun)]
pub struct AllowedDose {
    /// The resin, a material id.
    pub resin: String,
    /// Its initiator or hardener, a material id.
    pub cure: String,
    /// Least dose.
    pub least: Phr,
    /// Most dose.
    pub most: Phr,
}

/// The resins of a family in the catalogue, each with the common peroxide solution or the hardeners made for it, and the doses that
/// all published windows have in common; where they have nothing in common, what no limit of severity stop refuses. The ends
/// themselves are left out by a thousandth.
///
/// # Errors
/// As the catalogue's limits are read.
#[questions("limit.allowed_doses")]
pub fn allowed_doses(
    /// The family.
    family: Family,
) -> Result<Vec<AllowedDose>> {
    let catalogue = Catalogue::generic();
    let of_family = |m: &&Material| matches!(&m.class, Class::Resin(r) if r.family == family);
    let mut all = Vec::new();
    for resin in catalogue.iter().filter(of_family) {
        for cure in cures(catalogue, resin, family) {
            if let Some((least, most)) = common_window(resin, cure)? {
                all.push(AllowedDose {
                    resin: resin.id.clone(),
                    cure: cure.id.clone(),
                    least: Phr::new(least)?,
                    most: Phr::new(most)?,
                });
            }
        }
    }
    Ok(all)
}

/// What cures a resin: the common peroxide solution, or the hardeners made for it.
fn cures<'c>(catalogue: &'c Catalogue, resin: &Material, family: Family) -> Vec<&'c Material> {
    if family.cures_by_peroxide() {
        return catalogue.get("mekp_9").into_iter().collect();
    }
    catalogue
        .iter()
        .filter(|m| matches!(&m.class, Class::Hardener(h) if h.resin == resin.id))
        .collect()
}

/// What all published windows have in common, a little inside; else what no limit stops at.
fn common_window(resin: &Material, cure: &Material) -> Result<Option<(f64, f64)>> {
    let (_, windows) = resin.dose_windows_with(cure)?;
    let ends =
        |end: fn(&crate::material::Window<Phr>) -> Option<Phr>| windows.iter().filter_map(end).map(Phr::get);
    let (low, high) = (
        ends(|w| w.low).reduce(f64::max),
        ends(|w| w.high).reduce(f64::min),
    );
    let inside = |l: f64, h: f64| Some((l * 1.001, h * 0.999));
    if let (Some(l), Some(h)) = (low, high)
        && l * 1.01 < h
    {
        return Ok(inside(l, h));
    }
    let family = resin.resin()?.family.to_string();
    let stops = Limits::generic()?.window_of_stops(LimitQuantity::CatalystDose, &[family])?;
    Ok(match stops {
        (Some(l), Some(h)) => inside(l, h),
        _ => None,
    })
}
