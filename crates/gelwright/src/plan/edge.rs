//! What a thin edge bears as it leaves the mould: pulled with a known pull, or peeled off by as much as it sticks; and how
//! far that stretches the gel coat.

use super::casting::{GelCoat, PullOnEdge, Zone, ZoneLayer};
use super::job::Job;
use super::layout::{Act, Item};
use super::part::Shell;
use super::solid::{Share, Solid, gel_coat_of};
use super::warp::Warp;
use crate::cure::CureState;
use crate::error::Result;
use crate::laminate::{self, ForcePerWidth, PeeledSkin, Section};
use crate::limit::{Finding, LimitQuantity, Limits, Measured, Severity};
use crate::noun::Noun;
use crate::quantity::{Force, Index, Length, Pressure, Quantity, Strain, show};
use crate::source::Why;

/// What a thin edge bears when it leaves the mould, cured and warm as it is then.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PulledEdge {
    /// Deflection of its tip, under a pull that the casting gives.
    pub deflection: Option<Length>,
    /// Greatest strain: under that pull, or where it is peeled off.
    pub strain: Strain,
    /// Its low end: of the adhesion and of the cure.
    pub strain_low: Option<Strain>,
    /// Its high end.
    pub strain_high: Option<Strain>,
    /// The pull at its tip that breaks it, where the casting gives a pull.
    pub breaks_at: Option<Force>,
    /// How firmly it sticks, where it is peeled off.
    pub adhesion: Option<ForcePerWidth>,
    /// The pull at its tip that peels it off.
    pub peels_at: Option<Force>,
    /// How firmly it may stick before its face cracks.
    pub cracks_at: Option<ForcePerWidth>,
    /// Cured thickness where it is strained most.
    pub thickness: Option<Length>,
    /// Its modulus at demoulding.
    pub modulus: Option<Pressure>,
    /// What was assumed of the adhesion; nothing where a release test was made, or a pull is given.
    pub assumed: Option<String>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// What is laid on a zone, its shell, what it is made of, how thick it has cured.
pub(super) type Of<'a> = (&'a [&'a Item], Option<&'a Shell>, &'a Solid, Length);

/// What leaving the mould does to a zone.
pub(super) struct LetGo {
    pub(super) edge: Option<PulledEdge>,
    /// Strain of the face that was on the mould: middle, low end, high end.
    pub(super) strain: [f64; 3],
}

/// Modulus of the zone's resin at demoulding over its cured one; one where its cure is not known.
pub(super) fn share(job: &Job, zone: &Zone, at_demould: Option<&CureState>) -> Result<Share> {
    let recipe = zone.layers.iter().rev().find_map(|l| match l {
        ZoneLayer::GelCoat(_) => None,
        other => Some(other.recipe()),
    });
    let (Some(recipe), Some(band)) = (recipe, at_demould.and_then(|s| s.modulus.as_ref())) else {
        return Ok([1.0; 3]);
    };
    let Some(cured) = &job.mixes[recipe].resin().resin()?.modulus else {
        return Ok([1.0; 3]);
    };
    // A resin that has not gelled has no modulus; a part of it can not leave the mould at all, which other limits say.
    let of = |now: Pressure| (now.si() / cured.value.si()).clamp(1e-3, 1.0);
    Ok([of(band.value), of(band.low), of(band.high)])
}

/// How firmly the part sticks to its mould, and what was assumed: middle, low end, high end.
fn adhesion(job: &Job) -> Result<([ForcePerWidth; 3], Option<String>)> {
    if let Some(test) = &job.casting.mould.release_test {
        let found = test.adhesion().map_err(|e| e.within("mould.release_test"))?;
        return Ok(([found.energy, found.low, found.high], None));
    }
    let [low, middle, high] = laminate::untested_adhesion();
    let assumed = format!(
        "{} ({} to {}, from memory: nothing is published of a released mould)",
        show(middle),
        show(low),
        show(high)
    );
    Ok(([middle, low, high], Some(assumed)))
}

/// Cured thickness of a zone's gel coats; none where it has none.
pub(super) fn gel_coat_thickness(job: &Job, zone: &Zone) -> Length {
    let coats = zone
        .layers
        .iter()
        .enumerate()
        .filter_map(|(j, layer)| match layer {
            ZoneLayer::GelCoat(g) => Some(cured_coat(job, zone, j, g)),
            _ => None,
        });
    coats.sum()
}

/// Cured thickness of one gel coat, all its coats.
pub(super) fn cured_coat(job: &Job, zone: &Zone, layer: usize, coat: &GelCoat) -> Length {
    let cured = job.cured_thickness(&zone.name, layer);
    cured.unwrap_or(coat.wet_thickness * f64::from(coat.coats))
}

/// What leaving the mould does to a zone of a cured thickness.
pub(super) fn let_go(
    job: &Job,
    zone: &Zone,
    (items, shell, solid, thickness): Of,
    limits: &Limits,
    (measures, findings): (&mut Vec<Measured>, &mut Vec<Finding>),
) -> Result<LetGo> {
    let let_go = match &zone.pulled_edge {
        Some(given @ PullOnEdge { pull: Some(pull), .. }) => pulled(given, *pull, thickness, solid)?,
        _ => peeled(job, zone, thickness, (shell, solid))?,
    };
    if let Some(edge) = &let_go.edge {
        let tags: Vec<String> = items
            .iter()
            .flat_map(|i| job.mixes[i.recipe.as_str()].tags_for(i.act))
            .collect();
        let measured = Measured::new(LimitQuantity::EdgeStrain, zone.name.clone(), &tags, edge.strain);
        let measured = match (edge.strain_low, edge.strain_high) {
            (Some(low), Some(high)) => measured.between(low, high),
            _ => measured,
        };
        findings.extend(untested(edge, &measured, limits)?);
        measures.push(measured);
    }
    Ok(let_go)
}

/// The name of the finding of an edge of which nobody has tested how firmly it sticks.
const UNTESTED: &str = "adhesion_untested";

/// That the band of an adhesion which nobody has tested reaches past a limit which its middle keeps.
fn untested(edge: &PulledEdge, measured: &Measured, limits: &Limits) -> Result<Option<Finding>> {
    let (Some(assumed), Some(high)) = (&edge.assumed, edge.strain_high) else {
        return Ok(None);
    };
    let mut at_worst = measured.clone();
    at_worst.si = high.get();
    let now = limits.check(measured)?;
    let kept = |id: &str| now.iter().any(|f| f.limit == id && !f.broken);
    for broken in limits.check(&at_worst)? {
        if !broken.broken || broken.set_aside || !kept(&broken.limit) {
            continue;
        }
        let held = measured.held_in(
            None,
            broken
                .high
                .as_ref()
                .map(|h| h.si("", measured.quantity.measure()))
                .transpose()?,
        );
        let (value_low, value_high) = held.ends.unzip();
        return Ok(Some(Finding {
            limit: UNTESTED.to_owned(),
            value: Some(held.value),
            value_low,
            value_high,
            margin: held.margin,
            severity: Severity::Advice,
            message: format!("how firmly it sticks nobody has tested, and the band reaches past what it bears: {assumed}"),
            way_out: "before casting, lay a strip on a patch of the mould, released as the mould is, put a wedge under it once \
                      cured, measure how far it opens, and give it as mould.release_test"
                .to_owned(),
            ..broken
        }));
    }
    Ok(None)
}

/// By a pull that the casting gives.
fn pulled(given: &PullOnEdge, pull: Force, thickness: Length, solid: &Solid) -> Result<LetGo> {
    let at = |at: Length, thickness: Length| Section { at, thickness };
    let edge = laminate::Edge {
        sections: vec![
            at(Length::default(), thickness),
            at(given.length, given.tip_thickness.unwrap_or(thickness)),
        ],
        width: given.width,
        modulus: solid.modulus[0],
        poisson: Some(solid.poisson),
        strength: solid.strength,
        safety_factor: Index::ONE,
    };
    let answer = edge.bending(pull, None).map_err(|e| e.within("pulled_edge"))?;
    // A plate that can not curl across is stressed by E/(1 - nu^2) times its strain.
    let nu = if answer.plate { solid.poisson.get() } else { 0.0 };
    let by = |modulus: Pressure| answer.stress.si() * (1.0 - nu * nu) / modulus.si();
    let strain = solid.modulus.map(by);
    Ok(LetGo {
        edge: Some(PulledEdge {
            deflection: Some(answer.deflection),
            strain: Strain::new(strain[0])?,
            strain_low: Some(Strain::new(strain[2])?),
            strain_high: Some(Strain::new(strain[1])?),
            breaks_at: Some(answer.pull_survived),
            adhesion: None,
            peels_at: None,
            cracks_at: None,
            thickness: Some(thickness),
            modulus: Some(solid.modulus[0]),
            assumed: None,
            extrapolated: answer.extrapolated,
            why: answer.why,
        }),
        strain: [strain[0], strain[2], strain[1]],
    })
}

/// By as much as it sticks.
fn peeled(
    job: &Job,
    zone: &Zone,
    thickness: Length,
    (shell, solid): (Option<&Shell>, &Solid),
) -> Result<LetGo> {
    let (adhesion, assumed) = adhesion(job)?;
    let edge = zone.pulled_edge.as_ref();
    // The thinner it is the more it is strained: its tip, where that is thinner.
    let tip = edge.and_then(|e| e.tip_thickness);
    let at = tip.filter(|t| *t < thickness).unwrap_or(thickness);
    let nu = solid.poisson.get();
    // Of a wall with its gel coat: as stiff in bending as the whole is.
    let whole = match shell {
        Some(s) => 12.0 * s.bending_stiffness_n_m * (1.0 - nu * nu) / thickness.si().powi(3),
        None => solid.cured.si(),
    };
    let skin = |modulus: Pressure| -> Result<PeeledSkin> {
        Ok(PeeledSkin {
            thickness: at,
            modulus: Pressure::from_si(whole * modulus.si() / solid.cured.si())?,
            poisson: solid.poisson,
            strain_to_crack: Some(Strain::new(solid.strength.si() / solid.modulus[0].si())?),
        })
    };
    let lever = edge.map(|e| e.length);
    let [middle, soft, stiff] = solid.modulus;
    let peel = skin(middle)?.peel(adhesion[0], lever)?;
    let low = skin(stiff)?.peel(adhesion[1], lever)?;
    let high = skin(soft)?.peel(adhesion[2], lever)?;
    let strain = [peel.strain, low.strain, high.strain].map(Strain::get);
    let edge = edge
        .map(|e| -> Result<_> {
            Ok(PulledEdge {
                deflection: None,
                strain: peel.strain,
                strain_low: Some(low.strain),
                strain_high: Some(high.strain),
                breaks_at: None,
                adhesion: Some(adhesion[0]),
                peels_at: peel
                    .pull
                    .map(|p| Force::from_si(p.si() * e.width.si()))
                    .transpose()?,
                cracks_at: peel.cracks_at,
                thickness: Some(at),
                modulus: Some(middle),
                assumed,
                extrapolated: None,
                why: peel.why,
            })
        })
        .transpose()?;
    Ok(LetGo { edge, strain })
}

/// How far the gel coat is stretched as the zone leaves the mould: by what lets it go, and by what it is held at already.
pub(super) fn gel_coat(
    job: &Job,
    zone: &Zone,
    let_go: [f64; 3],
    warp: Option<&Warp>,
    measures: &mut Vec<Measured>,
) -> Result<()> {
    let Some(coat) = gel_coat_of(zone) else {
        return Ok(());
    };
    let held = warp.and_then(|w| w.gel_coat).map_or(0.0, |s| s.get().max(0.0));
    let at = |strain: f64| Strain::new(strain + held);
    let tags = job.mixes[coat.recipe.as_str()].tags_for(Act::GelCoat);
    measures.push(
        Measured::new(
            LimitQuantity::GelCoatStrain,
            zone.name.clone(),
            &tags,
            at(let_go[0])?,
        )
        .between(at(let_go[1])?, at(let_go[2])?),
    );
    Ok(())
}
