//! How far a zone curls once it is free, and how deep its glass prints through: what shrinks and cools after it has set.
//!
//! Until a layer vitrifies it is rubber, some hundred times softer than the glass it becomes, and gives; what it shrinks from
//! then on (cure in the mould and in the oven) and as it cools to the shop's air stays in it. A gel coat that shrinks more
//! than the glass-filled layer behind it pulls the wall hollow on its own side. The mould holds the wall flat until it is
//! demoulded, so each layer counts from its own vitrification on.

use super::casting::Zone;
use super::edge::{self, Of};
use super::exotherm::History;
use super::job::Job;
use super::layout::{Act, Item, Mix};
use super::solid::{gel_coat_of, poisson_of};
use super::steps::Timetable;
use super::zone_cure;
use crate::error::Result;
use crate::laminate::stack::{Load, Ply, Stack};
use crate::laminate::{self, Elastic, FibreBundles, PartShrinkage, PlyMaterial};
use crate::limit::{LimitQuantity, Measured};
use crate::material::AreaReinforcementForm;
use crate::noun::Noun;
use crate::quantity::{Angle, Length, Quantity, RelativeAmount, Strain};
use crate::source::Why;

/// How a zone comes out of shape. A flat, free strip: a curved or framed one moves less, and of a zone without a thin edge
/// (`pulled_edge`) the bow is told and held against no limit.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Warp {
    /// Its length that bows: the pulled edge's, its size, or the side of a square of its area.
    pub length: Length,
    /// Bow over that length: hollow on the gel coat's side above zero, on the laid side below.
    pub bow: Length,
    /// Low end: what cooling alone does.
    pub bow_low: Length,
    /// High end: as if it had set when it gelled.
    pub bow_high: Length,
    /// Strain that its gel coat is held at; above zero it is stretched.
    pub gel_coat: Option<Strain>,
    /// Depth to which the bundles of the ply next to the gel coat print through.
    pub print_through: Option<Length>,
    /// Low end: what cooling alone does.
    pub print_low: Option<Length>,
    /// High end: as if it had set when it gelled.
    pub print_high: Option<Length>,
    /// The chain behind it.
    pub why: Why,
}

/// What a resin shrinks after it has set: middle, low end (cooling alone), high end (from its gel on).
#[derive(Clone, Copy)]
struct Shrinks {
    cure: [f64; 3],
    expansion: f64,
    kelvin: f64,
}

impl Shrinks {
    fn cooling(&self) -> f64 {
        self.expansion * self.kelvin
    }
    fn whole(&self, i: usize) -> f64 {
        self.cure[i] + self.cooling()
    }
}

/// A wall no thicker than its gel coat by this has nothing behind it that could pull.
const BACKED: f64 = 1.001;
/// A strain that no ply cracks at: only the bow is asked for, no crack.
const NEVER_CRACKS: f64 = 0.9;
/// Length that bows where neither size nor area of a zone is known, m: common practice, no source.
const UNKNOWN_LENGTH: f64 = 0.1;
/// Diameter of a filament of E-glass where its material does not say, m: the middle of the catalogue's 9 to 15 µm.
const FILAMENT: f64 = 12e-6;
/// Share of fibre in a yarn: from memory.
const PACKED: f64 = 0.5;

/// Thermal expansion of the glass behind a gel coat, 1/K: of its first ply; the catalogue's E-glass, where that does not say or
/// the glass is stirred in.
fn glass_expansion(job: &Job, items: &[&Item]) -> Result<f64> {
    let first = items.iter().flat_map(|i| &i.plies).next();
    let of = |m: &crate::material::Material| -> Result<Option<f64>> {
        Ok(m.reinforcement()?
            .thermal_expansion
            .as_ref()
            .map(|a| a.value.si()))
    };
    let own = first
        .map(|p| of(job.catalogue.get(&p.material)?))
        .transpose()?
        .flatten();
    match own {
        Some(a) => Ok(a),
        None => Ok(of(job.catalogue.get("csm_450")?)?.unwrap_or_default()),
    }
}

/// How a gel-coated zone comes out of shape; nothing where its cure, or the shrinkage of its resins, is not known.
pub(super) fn warp(
    job: &Job,
    zone: &Zone,
    (items, _, solid, whole): Of,
    histories: Option<&Vec<History>>,
    timed: &Timetable,
    measures: &mut Vec<Measured>,
) -> Result<Option<Warp>> {
    let Some(histories) = histories else {
        return Ok(None);
    };
    let backing = items.iter().find(|i| matches!(i.act, Act::Laminate | Act::Pour));
    let (Some(coat), Some(backing)) = (gel_coat_of(zone), backing) else {
        return Ok(None);
    };
    let (Some(first), Some(last)) = (histories.first(), histories.last()) else {
        return Ok(None);
    };
    let (gel, resin) = (
        &job.mixes[coat.recipe.as_str()],
        &job.mixes[backing.recipe.as_str()],
    );
    let (Some(of_gel), Some(of_resin)) = (
        shrinks(job, timed, gel, first)?,
        shrinks(job, timed, resin, last)?,
    ) else {
        return Ok(None);
    };
    let Some(modulus) = &gel.resin().resin()?.modulus else {
        return Ok(None);
    };
    let thickness = edge::gel_coat_thickness(job, zone);
    if whole.si() <= BACKED * thickness.si() {
        return Ok(None);
    }
    // Of the backing the resin shrinks, the glass holds: each strained alike.
    let by_resin = (solid.by_resin / solid.cured.si()).min(1.0);
    let behind = Shrinks {
        cure: of_resin.cure.map(|s| s * by_resin),
        expansion: by_resin * of_resin.expansion + (1.0 - by_resin) * glass_expansion(job, items)?,
        kelvin: of_resin.kelvin,
    };
    let length = bows_over(zone)?;
    let bent = |i: usize| -> Result<(Length, Option<Strain>, Why)> {
        let layer = |name: &str, elastic: Elastic, thickness: Length, shrinks: f64| -> Result<Ply> {
            Ok(Ply {
                name: name.to_owned(),
                material: PlyMaterial {
                    shrinkage1: Some(Strain::new(shrinks)?),
                    strain_to_crack: Some(Strain::new(NEVER_CRACKS)?),
                    ..PlyMaterial::of(elastic)
                },
                thickness,
                angle: Angle::default(),
            })
        };
        let stack = Stack::new(vec![
            layer(
                "gel coat",
                Elastic::isotropic(modulus.value, poisson_of(gel)?)?,
                thickness,
                of_gel.whole(i),
            )?,
            layer(
                "behind it",
                Elastic::isotropic(solid.cured, solid.poisson)?,
                whole - thickness,
                behind.whole(i),
            )?,
        ])?;
        let response = stack.respond(&Load {
            cured: true,
            ..Load::default()
        })?;
        // Curvature is positive where the laid face is stretched: then the gel coat's side is hollow.
        let held = response.cracks.first().map(|c| c.strain);
        Ok((response.bow(length)?, held, stack.why()?))
    };
    let (bow, gel_coat, stiff) = bent(0)?;
    let (cold, _, _) = bent(1)?;
    let (gelled, _, _) = bent(2)?;
    let ends = |a: Length, b: Length| {
        if a.si().abs() < b.si().abs() {
            (a, b)
        } else {
            (b, a)
        }
    };
    let (bow_low, bow_high) = ends(cold, gelled);
    let print = prints(job, items, &of_resin)?;
    let mut warp = Warp {
        length,
        bow,
        bow_low,
        bow_high,
        gel_coat,
        print_through: print.map(|p| p[0]),
        print_low: print.map(|p| p[1]),
        print_high: print.map(|p| p[2]),
        why: why(bow, [&of_gel, &behind], stiff),
    };
    // The middle lies between the ends, whichever way it bows.
    if warp.bow.si().abs() > warp.bow_high.si().abs() {
        warp.bow_high = warp.bow;
    }
    measure(zone, &resin.tags_for(backing.act), &warp, measures)?;
    Ok(Some(warp))
}

fn measure(zone: &Zone, tags: &[String], warp: &Warp, measures: &mut Vec<Measured>) -> Result<()> {
    let of = |bow: Length| bow.si().abs() / warp.length.si();
    let (low, bow, high) = (of(warp.bow_low), of(warp.bow), of(warp.bow_high));
    let ratio = RelativeAmount::new;
    // A shell that is curved or closed holds its shape: the bow counts where a thin edge stands free.
    if zone.pulled_edge.is_some() {
        measures.push(
            Measured::new(LimitQuantity::Bow, zone.name.clone(), tags, ratio(bow)?)
                .between(ratio(low.min(bow))?, ratio(high.max(bow))?),
        );
    }
    if let (Some(depth), Some(low), Some(high)) = (warp.print_through, warp.print_low, warp.print_high) {
        measures.push(
            Measured::new(LimitQuantity::PrintThrough, zone.name.clone(), tags, depth).between(low, high),
        );
    }
    Ok(())
}

/// What a resin shrinks after it has set, linear; nothing where its shrinkage or its glass transition is not known.
fn shrinks(job: &Job, timed: &Timetable, mix: &Mix, history: &History) -> Result<Option<Shrinks>> {
    let resin = mix.resin().resin()?;
    let (Some(volume), Some(glass)) = (&resin.shrinkage, history.kinetics.vitrification) else {
        return Ok(None);
    };
    let linear = PartShrinkage::of_volumetric(volume.value).shrunk()?.linear.get();
    let (at_demould, after) = zone_cure::conversions(job, timed, history)?;
    let set_at = glass
        .glass_transition
        .conversion_at(at_demould.temperature)?
        .get();
    let gelled = history.modulus.as_ref().map_or(0.0, |m| m.gel_conversion.get());
    let after = after.max(at_demould.conversion.get());
    Ok(Some(Shrinks {
        cure: [
            linear * (after - set_at).max(0.0),
            0.0,
            linear * (after - gelled).max(0.0),
        ],
        expansion: resin.thermal_expansion.as_ref().map_or(0.0, |a| a.value.si()),
        kelvin: cooled_by(job, history),
    }))
}

/// Kelvin from the warmest that it was set at to the shop's air.
fn cooled_by(job: &Job, history: &History) -> f64 {
    let air = job.casting.shop.temperature.si();
    let holds = job.casting.cure.post_cure.iter().map(|h| h.temperature.si());
    let end = history.points.last().map_or(air, |p| p.temperature.si());
    (holds.fold(end, f64::max) - air).max(0.0)
}

fn bows_over(zone: &Zone) -> Result<Length> {
    let edge = zone.pulled_edge.as_ref().map(|e| e.length);
    match edge.or(zone.size) {
        Some(known) => Ok(known),
        None => Length::from_si(zone.area.map_or(UNKNOWN_LENGTH, |a| a.si().sqrt())),
    }
}

/// How deep the bundles of the first ply print through.
fn prints(job: &Job, items: &[&Item], resin: &Shrinks) -> Result<Option<[Length; 3]>> {
    let Some(ply) = items
        .iter()
        .find(|i| i.act == Act::Laminate)
        .and_then(|i| i.plies.first())
    else {
        return Ok(None);
    };
    let reinforcement = job.catalogue.get(&ply.material)?.reinforcement()?;
    let filament = match &reinforcement.fibre_diameter {
        Some(d) => d.value,
        None => Length::from_si(FILAMENT)?,
    };
    let height = match reinforcement.form {
        // A veil's filaments lie apart.
        AreaReinforcementForm::Veil => filament,
        AreaReinforcementForm::ChoppedStrandMat => crate::flow::Strand::of_mat_of(filament).diameter()?,
        // Half of the ply, its yarns packed so, between the crests of its yarns.
        _ => Length::from_si(0.5 * ply.areal_mass.si() / ply.fibre_density / PACKED)?,
    };
    let depth = |i: usize| -> Result<Length> {
        let shrinks = Strain::new(resin.whole(i))?;
        let shrunk = PartShrinkage {
            bundles: Some(FibreBundles {
                height,
                after_set: Some(shrinks),
                poisson: laminate::resin_poisson(),
            }),
            ..PartShrinkage::of_linear(shrinks)
        }
        .shrunk()?;
        Ok(shrunk.print_through.map_or(Length::default(), |p| p.depth))
    };
    Ok(Some([depth(0)?, depth(1)?, depth(2)?]))
}

fn why(bow: Length, [gel, behind]: [&Shrinks; 2], stiff: Why) -> Why {
    let told = |what: &str, s: &Shrinks| {
        Why::given(
            what.to_owned(),
            format!(
                "{:.3} % by cure since it set, {:.3} % by cooling",
                100.0 * s.cure[0],
                100.0 * s.cooling()
            ),
        )
    };
    Why::computed(
        "bow of the zone once it is free",
        crate::quantity::show(bow),
        "curvature length^2/8, of two bonded layers that shrink differently",
        vec![told("gel coat", gel), told("behind it", behind), stiff],
    )
    .with_source(&laminate::sources::timoshenko_strip())
    .with_note(
        "what shrinks before a layer vitrifies is taken as given way (rubber); no measured bow of a gel-coated wall was found",
    )
}
