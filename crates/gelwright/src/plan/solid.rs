//! What a zone is made of, as one solid: the laminate behind its gel coat, or its pour with the strands in it.

use uom::si::length::meter;

use super::casting::{GelCoat, Pour, Zone, ZoneLayer};
use super::job::Job;
use super::layout::{Act, Item, Mix};
use super::part::Shell;
use crate::error::Result;
use crate::flow;
use crate::laminate::{self, Orientation, Phase, ShortFibre};
use crate::material::{Class, ParticleShape};
use crate::noun::Noun;
use crate::quantity::{Index, Length, Pressure, Quantity, VolumeFraction};
use crate::source::Why;

/// A pour full of chopped strands, cured: the strands in their bundles are its reinforcement.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FilledPour {
    /// Tensile modulus.
    pub modulus: Pressure,
    /// Tensile strength, where the resin's is known.
    pub strength: Option<Pressure>,
    /// Its low end: strands that do not bond.
    pub strength_low: Option<Pressure>,
    /// Its high end: the resin between them at its own strain at break.
    pub strength_high: Option<Pressure>,
    /// The chain behind it.
    pub why: Why,
}

/// A zone's solid on the day it leaves the mould.
pub(super) struct Solid {
    /// Modulus on that day: middle, low end, high end.
    pub(super) modulus: [Pressure; 3],
    /// Modulus fully cured.
    pub(super) cured: Pressure,
    pub(super) poisson: Index,
    /// Strength on that day: what breaks it first.
    pub(super) strength: Pressure,
    /// Modulus of its resin times the resin's share of it.
    pub(super) by_resin: f64,
}

/// What a zone is made of.
#[derive(Default)]
pub(super) struct Made {
    pub(super) solid: Option<Solid>,
    pub(super) poured: Option<FilledPour>,
}

/// Modulus of the resin at demoulding over its cured one: middle, low end, high end.
pub(super) type Share = [f64; 3];

pub(super) fn made(
    job: &Job,
    zone: &Zone,
    items: &[&Item],
    shell: Option<&Shell>,
    share: Share,
) -> Result<Made> {
    if let Some(s) = shell {
        let solid = laminated(job, items, s, share)?;
        return Ok(Made { solid, poured: None });
    }
    match pour_of(zone) {
        Some(pour) => poured(&job.mixes[pour.recipe.as_str()], share),
        None => Ok(Made::default()),
    }
}

/// The laminate: of its modulus the resin's part follows the cure, the glass's does not.
fn laminated(job: &Job, items: &[&Item], shell: &Shell, share: Share) -> Result<Option<Solid>> {
    let Some(item) = items.iter().find(|i| i.act == Act::Laminate) else {
        return Ok(None);
    };
    let mix = &job.mixes[item.recipe.as_str()];
    let Some(resin) = mix.resin().resin()?.modulus.as_ref().map(|m| m.value.si()) else {
        return Ok(None);
    };
    let glass: f64 = item.plies.iter().map(|p| p.glass() / p.fibre_density).sum();
    let by_resin = resin * (1.0 - glass / (glass + item.cured() / mix.unit.density.si()));
    let now =
        |share: f64| Pressure::from_si(shell.modulus.si() - (1.0 - share) * by_resin.min(shell.modulus.si()));
    let modulus = [now(share[0])?, now(share[1])?, now(share[2])?];
    Ok(Some(Solid {
        strength: shell.first_break * (modulus[0].si() / shell.modulus.si()),
        modulus,
        cured: shell.modulus,
        poisson: laminate::laminate_poisson(),
        by_resin,
    }))
}

/// Shear strength of the bond of a bundle to polyester, Pa (from memory, 10 to 30 MPa; a steel wire had 67 MPa, Applied
/// Mechanics and Materials 70 (2011) 446, abstract).
const BUNDLE_BOND: f64 = 20e6;
/// Tensile strength of E-glass in a bundle, Pa: half that of a virgin filament (from memory).
const BUNDLE_STRENGTH: f64 = 1.8e9;

fn poured(mix: &Mix, share: Share) -> Result<Made> {
    let resin = mix.resin().resin()?;
    let Some(cured) = resin.modulus.as_ref().map(|m| m.value) else {
        return Ok(Made::default());
    };
    let poisson = poisson_of(mix)?;
    let strength = resin.strength.as_ref().map(|s| s.value);
    let Some(chop) = chop_of(mix)? else {
        let modulus = [cured * share[0], cured * share[1], cured * share[2]];
        let solid = strength.map(|s| Solid {
            modulus,
            cured,
            poisson,
            strength: s * share[0],
            by_resin: cured.si(),
        });
        return Ok(Made { solid, poured: None });
    };
    let with = |share: f64| -> Result<_> {
        let matrix = Phase::new(cured * share, poisson)?;
        let fibre = ShortFibre::of_bundles(
            laminate::wall::e_glass()?,
            matrix,
            chop.volume,
            &chop.bundle,
            Orientation::RandomInPlane,
        )?;
        ShortFibre {
            fibre_strength: strength.and(Some(Pressure::from_si(
                BUNDLE_STRENGTH * chop.bundle.glass_in_strand.get(),
            )?)),
            bond_shear_strength: strength.and(Some(Pressure::from_si(BUNDLE_BOND)?)),
            resin_strength: strength,
            ..fibre
        }
        .stiffness()
    };
    let whole = with(1.0)?;
    let modulus = [
        with(share[0])?.modulus,
        with(share[1])?.modulus,
        with(share[2])?.modulus,
    ];
    let bears = whole.strength;
    Ok(Made {
        solid: bears.map(|b| Solid {
            modulus,
            cured: whole.modulus,
            poisson,
            strength: b.tension.min(b.first_crack) * share[0],
            by_resin: cured.si() * (1.0 - chop.volume.get()),
        }),
        poured: Some(FilledPour {
            modulus: whole.modulus,
            strength: bears.map(|b| b.tension.min(b.first_crack)),
            strength_low: bears.map(|b| b.unbonded),
            strength_high: bears.map(|b| b.tension.max(b.first_crack)),
            why: whole.why,
        }),
    })
}

pub(super) fn poisson_of(mix: &Mix) -> Result<Index> {
    match &mix.resin().resin()?.poisson_ratio {
        Some(p) => Ok(p.value),
        None => Ok(laminate::resin_poisson()),
    }
}

/// The first gel coat of a zone.
pub(super) fn gel_coat_of(zone: &Zone) -> Option<&GelCoat> {
    zone.layers.iter().find_map(|l| match l {
        ZoneLayer::GelCoat(g) => Some(g),
        _ => None,
    })
}

pub(super) fn pour_of(zone: &Zone) -> Option<&Pour> {
    zone.layers.iter().find_map(|l| match l {
        ZoneLayer::Pour(p) => Some(p),
        _ => None,
    })
}

/// Chopped strands in a mix.
pub(super) struct ChopIn {
    /// Glass.
    pub(super) volume: VolumeFraction,
    /// The bundle that carries, and jams, as one.
    pub(super) bundle: flow::Chop,
    pub(super) filament: Length,
    pub(super) index: Option<f64>,
}

/// Length and filament diameter where the material does not say, m: from memory.
const CHOP_LENGTH: f64 = 6e-3;
const FILAMENT: f64 = 13e-6;

pub(super) fn chop_of(mix: &Mix) -> Result<Option<ChopIn>> {
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let Class::Filler(f) = &m.class else { continue };
        if f.shape != ParticleShape::Fibre || part.volume.si() <= 0.0 {
            continue;
        }
        let or = |known: Option<Length>, usual| known.unwrap_or_else(|| Length::new::<meter>(usual));
        let filament = or(f.fibre_diameter.as_ref().map(|d| d.value), FILAMENT);
        let length = or(f.fibre_length.as_ref().map(|l| l.value), CHOP_LENGTH);
        return Ok(Some(ChopIn {
            volume: VolumeFraction::new(part.volume.si() / mix.unit.volume.si())?,
            bundle: flow::Strand::as_sold(length, filament).chop()?,
            filament,
            index: f.refractive_index.as_ref().map(|n| n.value.get()),
        }));
    }
    Ok(None)
}
