//! The part as it will be: how stiff the shell, what the thin edges bear, what the eye sees, whether the seam
//! stays and how thin the clamps squeeze it. What the plan hands to laminate, flow and light.

use crate::noun::Noun;
use uom::si::angle::degree;
use uom::si::length::meter;

use super::casting::{GelCoat, Pour, Seam, Zone, ZoneLayer};
use super::edge::{self, PulledEdge};
use super::exotherm::History;
use super::hang::{self, Hang, MountSummary};
use super::job::{Job, Wanted};
use super::layout::{Act, Item, Mix};
use super::solid::{self, FilledPour, Made, chop_of, gel_coat_of, poisson_of, pour_of};
use super::steps::Timetable;
use super::warp::{self, Warp};
use super::zone_cure;
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result};
use crate::flow::{self, ChopInBead, Joint, SqueezeOut, ViscosityHistory, YieldLaw};
use crate::laminate::{self, DesignAllowance, GelCoatLayer, LaminateWall, ReinforcementForm, WallPly};
use crate::light::translucency::E_GLASS_INDEX;
use crate::light::{CoatInFront, CoatOnCard, CoatOptics, Filaments, HidingCard, Particles, TranslucentEdge};
use crate::limit::{Finding, LimitQuantity, Limits, Measured};
use crate::material::{self, Class, ParticleShape};
use crate::quantity::{
    Angle, DynamicViscosity, Length, MassFraction, Phr, Pressure, Quantity, ReciprocalLength, RelativeAmount,
    ThermodynamicTemperature, Volume, VolumeFraction,
};
use crate::source::Why;

/// What a laminated zone comes to.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Shell {
    /// Tensile modulus of the laminate behind the gel coat.
    pub modulus: Pressure,
    /// Mean tensile stress of it at which its first ply breaks.
    pub first_break: Pressure,
    /// Tensile strength of it.
    pub strength: Pressure,
    /// The same of a poor lay-up, as low as a laboratory's came out.
    pub strength_low: Option<Pressure>,
    /// Cured thickness, gel coat included.
    pub thickness: Option<Length>,
    /// Bending stiffness of the whole wall per width.
    pub bending_stiffness_n_m: f64,
    /// Moment per width that breaks its first ply.
    pub moment_to_first_break_n: f64,
    /// Moment per width that breaks it.
    pub moment_to_break_n: f64,
    /// Moment per width at which its gel coat cracks, where the gel coat's elongation is known.
    pub moment_to_crack_n: Option<f64>,
    /// What a designer counts on instead.
    pub design: DesignAllowance,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// Light through a zone that is meant to glow, from face to face with its gel coat.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LightThrough {
    /// Part of the light that comes through in any direction.
    pub through: RelativeAmount,
    /// With many bubbles and a dark resin.
    pub low: RelativeAmount,
    /// With few bubbles and a clear resin.
    pub high: RelativeAmount,
    /// What was assumed of bubbles and resin colour; nothing where a test strip was measured.
    pub assumed: Option<String>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// A seam after the clamps.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct SeamSummary {
    /// Which.
    pub seam: String,
    /// Consistency of the paste, in the words of the trade.
    pub consistency: String,
    /// Yield stress of the paste over the stress of the bead's own weight on a vertical face.
    pub against_sag: RelativeAmount,
    /// Thickness when it has gelled under the clamps; absent without clamps.
    pub thickness: Option<Length>,
    /// Low end of it: the paste's viscosity and yield stress at the low ends of what they may be.
    pub thickness_low: Option<Length>,
    /// High end of it.
    pub thickness_high: Option<Length>,
    /// What the clamps squeeze out. It is counted as waste, not as part.
    pub squeezed_out: Option<Volume>,
    /// Height of a bead of the same width that still fills the flange with some to spare and leaves 0.3 mm, or as much as this one leaves
    /// if that is less, where the bead is higher.
    pub height_that_suffices: Option<Length>,
    /// Mean pressure on the seam.
    pub pressure: Option<Pressure>,
    /// What is outside which range, if anything is.
    pub extrapolated: Option<String>,
    /// The chain behind it.
    pub why: Why,
}

/// What of a zone is known.
#[derive(Default)]
pub(super) struct ZoneAsMade {
    pub(super) shell: Option<Shell>,
    pub(super) edge: Option<PulledEdge>,
    pub(super) poured: Option<FilledPour>,
    pub(super) warp: Option<Warp>,
    pub(super) contrast_ratio: Option<RelativeAmount>,
    pub(super) light_through: Option<LightThrough>,
}

/// What of the part is known, and what of it is held against limits.
pub(super) struct PartAsMade {
    pub(super) zones: Vec<ZoneAsMade>,
    pub(super) seams: Vec<SeamSummary>,
    pub(super) mounts: Vec<MountSummary>,
    pub(super) hangs: Option<Hang>,
    pub(super) measured: Vec<Measured>,
    pub(super) findings: Vec<Finding>,
}

pub(super) fn part(
    job: &Job,
    limits: &Limits,
    timed: &Timetable,
    histories: &[Option<Vec<History>>],
    wanted: Wanted,
) -> Result<PartAsMade> {
    let mut measures = Vec::new();
    let mut findings = Vec::new();
    let mut zones = Vec::new();
    for (i, (zone, amounts)) in job.casting.zones.iter().zip(job.zones()?).enumerate() {
        let at = |e: Error| e.within(format!("zones[{i}]"));
        let items: Vec<&Item> = job.items_of(&zone.name).collect();
        let mut made = ZoneAsMade {
            shell: shell(job, zone, &items).map_err(at)?,
            ..ZoneAsMade::default()
        };
        let thickness = amounts.cured_thickness;
        let histories = histories.get(i).and_then(Option::as_ref);
        let at_demould = zone_cure::at_demould(job, timed, histories).map_err(at)?;
        let Made { solid, poured } = solid::made(
            job,
            zone,
            &items,
            made.shell.as_ref(),
            edge::share(job, zone, at_demould.as_ref())?,
        )
        .map_err(at)?;
        made.poured = poured;
        if let (Some(solid), Some(thickness)) = (solid, thickness) {
            let of = (items.as_slice(), made.shell.as_ref(), &solid, thickness);
            let let_go = edge::let_go(job, zone, of, limits, (&mut measures, &mut findings)).map_err(at)?;
            let warp = warp::warp(job, zone, of, histories, timed, &mut measures).map_err(at)?;
            edge::gel_coat(job, zone, let_go.strain, warp.as_ref(), &mut measures).map_err(at)?;
            made.edge = let_go.edge;
            made.warp = warp;
        }
        light_of(job, zone, &items, thickness, &mut made, &mut measures).map_err(at)?;
        zones.push(made);
    }
    let mut seams = Vec::new();
    for (i, seam) in job.casting.seams.iter().enumerate() {
        let made = seam_of(job, seam, wanted, &mut measures).map_err(|e| e.within(format!("seams[{i}]")))?;
        seams.extend(made);
    }
    let mounts = hang::mounts(job, &zones, &mut measures)?;
    Ok(PartAsMade {
        zones,
        seams,
        hangs: hang::hangs(job)?,
        mounts,
        measured: measures,
        findings,
    })
}

fn form_of(form: &material::AreaReinforcementForm) -> ReinforcementForm {
    match form {
        material::AreaReinforcementForm::ChoppedStrandMat => ReinforcementForm::Mat,
        material::AreaReinforcementForm::WovenCloth => ReinforcementForm::Cloth,
        material::AreaReinforcementForm::WovenRoving => ReinforcementForm::WovenRoving,
        material::AreaReinforcementForm::Veil => ReinforcementForm::Veil,
    }
}

/// A laminated zone, where its resin's modulus is known.
fn shell(job: &Job, zone: &Zone, items: &[&Item]) -> Result<Option<Shell>> {
    let Some(item) = items.iter().find(|i| i.act == Act::Laminate) else {
        return Ok(None);
    };
    let mix = &job.mixes[item.recipe.as_str()];
    let resin = mix.resin().resin()?;
    let Some(modulus) = resin.modulus.as_ref().map(|m| m.value) else {
        return Ok(None);
    };
    let density = match &resin.cured_density {
        Some(d) => d.value,
        None => mix.resin().known_density()?.value,
    };
    let mut plies = Vec::new();
    for p in &item.plies {
        let r = job.catalogue.get(&p.material)?;
        plies.push(WallPly {
            reinforcement: laminate::Reinforcement {
                form: form_of(&r.reinforcement()?.form),
                areal_mass: p.areal_mass,
                fibre_density: r.known_density()?.value,
            },
            glass_content: Some(item.cured_glass_content(p)?),
        });
    }
    if plies.is_empty() {
        return Ok(None);
    }
    let gel_coat = match gel_coat_of(zone) {
        Some(g) => {
            let m = &job.mixes[g.recipe.as_str()];
            let r = m.resin().resin()?;
            let poisson = poisson_of(m)?;
            let thickness = edge::gel_coat_thickness(job, zone);
            r.modulus.as_ref().map(|e| GelCoatLayer {
                thickness,
                density: r.cured_density.as_ref().map_or(m.unit.density, |d| d.value),
                modulus: e.value,
                poisson,
                strain_to_crack: r.elongation.as_ref().map(|e| e.value),
            })
        }
        None => None,
    };
    let wall = LaminateWall {
        gel_coat,
        plies,
        glass_content: None,
        resin_density: density,
        resin_modulus: modulus,
        resin_strain_to_break: resin.elongation.as_ref().map(|e| e.value),
        voids: VolumeFraction::ZERO,
        tested: false,
    }
    .cured()?;
    Ok(Some(Shell {
        why: wall.why,
        modulus: wall.modulus,
        first_break: wall.first_break,
        strength: wall.tension,
        strength_low: wall.tension_low,
        thickness: Some(wall.thickness),
        bending_stiffness_n_m: wall.bending_stiffness_n_m,
        moment_to_first_break_n: wall.moment_to_first_break_n,
        moment_to_break_n: wall.moment_to_break_n,
        moment_to_crack_n: wall.moment_to_crack_n,
        design: wall.design,
        extrapolated: wall.extrapolated,
    }))
}

/// Contrast of a gel coat whose optics are given; light through a pour that has no opaque filler.
fn light_of(
    job: &Job,
    zone: &Zone,
    items: &[&Item],
    thickness: Option<Length>,
    made: &mut ZoneAsMade,
    measures: &mut Vec<Measured>,
) -> Result<()> {
    for (j, layer) in zone.layers.iter().enumerate() {
        let ZoneLayer::GelCoat(g) = layer else { continue };
        let Some(optics) = cured_optics(job, zone, j, g)? else {
            continue;
        };
        let coat = CoatOnCard {
            coat: optics,
            thickness: edge::cured_coat(job, zone, j, g),
            card: HidingCard::default(),
        };
        let hiding = coat.hiding().map_err(|e| e.within("optics"))?;
        let ratio = RelativeAmount::new(hiding.contrast_ratio)?;
        let tags = job.mixes[g.recipe.as_str()].tags_for(Act::GelCoat);
        measures.push(Measured::new(
            LimitQuantity::ContrastRatio,
            zone.name.clone(),
            &tags,
            ratio,
        ));
        made.contrast_ratio = Some(ratio);
    }
    let (Some(pour), Some(thickness)) = (pour_of(zone), thickness) else {
        return Ok(());
    };
    let Some(light) = light_through(job, zone, pour, items, thickness)? else {
        return Ok(());
    };
    let mix = &job.mixes[pour.recipe.as_str()];
    measures.push(
        Measured::new(
            LimitQuantity::LightTransmission,
            zone.name.clone(),
            &mix.tags_for(Act::Pour),
            light.through,
        )
        .between(light.low, light.high),
    );
    made.light_through = Some(light);
    Ok(())
}

/// Optics of a gel coat when it has cured: its pigment stays, so that there is more of it in what is left.
fn cured_optics(job: &Job, zone: &Zone, layer: usize, coat: &GelCoat) -> Result<Option<CoatOptics>> {
    let item = job.items_of(&zone.name).find(|i| i.layer == layer);
    Ok(match (coat.optics, item) {
        (Some(CoatOptics::Pigment(mut of)), Some(item)) if item.net.si() > 0.0 => {
            let content = of.content.get() * item.net.si() / item.cured();
            of.content = MassFraction::new(content).map_err(|e| e.within("optics.pigment.content"))?;
            Some(CoatOptics::Pigment(of))
        }
        (optics, _) => optics,
    })
}

/// Bubbles that stirring leaves in a pour by hand, vol% and diameter, and the absorption of a cured resin with its
/// promoter, 1/m: usual, least and most. Common practice, no source: a strip in front of a lamp replaces them.
const BUBBLES: [f64; 3] = [0.005, 0.001, 0.02];
const BUBBLE: f64 = 0.2e-3;
const RESIN_COLOUR: [f64; 3] = [5.0, 1.0, 15.0];

/// Light through a pour with what lies in front of it; nothing where the optics of a part of it are not known.
fn light_through(
    job: &Job,
    zone: &Zone,
    pour: &Pour,
    items: &[&Item],
    thickness: Length,
) -> Result<Option<LightThrough>> {
    let mix = &job.mixes[pour.recipe.as_str()];
    let Some(index) = &mix.resin().resin()?.refractive_index else {
        return Ok(None);
    };
    // A powder or a pigment makes a pour opaque in ways that its volume alone does not tell.
    let only_chop = mix.materials.iter().all(|(_, m)| match &m.class {
        Class::Filler(f) => f.shape == ParticleShape::Fibre,
        Class::Pigment(_) => false,
        _ => true,
    });
    let covered = items.iter().any(|i| i.act == Act::Laminate);
    if !only_chop || covered {
        return Ok(None);
    }
    let mut edge = TranslucentEdge::clear(thickness, index.value.get())?;
    let mut poured = thickness.si();
    for (j, layer) in zone.layers.iter().enumerate() {
        let ZoneLayer::GelCoat(g) = layer else { continue };
        let coat = edge::cured_coat(job, zone, j, g);
        poured -= coat.si();
        let clear = job.mixes[g.recipe.as_str()]
            .resin()
            .resin()?
            .refractive_index
            .is_some();
        match cured_optics(job, zone, j, g)? {
            Some(optics) => edge.coats.push(CoatInFront {
                thickness: coat,
                optics,
            }),
            // Clear resin is part of the edge; of any other coat nobody knows what it hides.
            None if clear => poured += coat.si(),
            None => return Ok(None),
        }
    }
    if poured <= 0.0 {
        return Ok(None);
    }
    edge.thickness = Length::from_si(poured)?;
    let of = |edge: &TranslucentEdge| -> Result<(RelativeAmount, crate::light::Translucency)> {
        let t = edge.translucency()?;
        Ok((RelativeAmount::new(t.transmittance)?, t))
    };
    if let Some(strip) = &zone.strip {
        let layer = strip.layer().map_err(|e| e.within("strip"))?;
        edge.resin_index = strip.resin_index;
        edge.pigment = Some(CoatOptics::Layer(layer));
        let (through, told) = of(&edge)?;
        return Ok(Some(LightThrough {
            through,
            low: through,
            high: through,
            assumed: None,
            extrapolated: told.extrapolated,
            why: told.why,
        }));
    }
    edge.glass = chop_of(mix)?.map(|c| Filaments {
        content: c.volume,
        diameter: c.filament,
        index: c.index.unwrap_or(E_GLASS_INDEX),
    });
    let mut found = Vec::with_capacity(3);
    for (bubbles, colour) in BUBBLES.into_iter().zip(RESIN_COLOUR) {
        edge.particles = vec![Particles {
            content: VolumeFraction::new(bubbles)?,
            diameter: Length::from_si(BUBBLE)?,
            index: 1.0,
        }];
        edge.resin_absorption = ReciprocalLength::from_si(colour)?;
        found.push(of(&edge)?);
    }
    let (high, low) = (found[1].0, found[2].0);
    let (through, told) = found.swap_remove(0);
    Ok(Some(LightThrough {
        through,
        low,
        high,
        assumed: Some(format!(
            "bubbles of {} mm, {} vol% ({} to {}), and a resin that absorbs {} 1/m ({} to {}): common practice, no source; \
             hold a strip of it in front of a lamp and give what comes through as the zone's 'strip'",
            1e3 * BUBBLE,
            100.0 * BUBBLES[0],
            100.0 * BUBBLES[1],
            100.0 * BUBBLES[2],
            RESIN_COLOUR[0],
            RESIN_COLOUR[1],
            RESIN_COLOUR[2]
        )),
        extrapolated: told.extrapolated,
        why: told.why,
    }))
}

/// Paste that a bead holds over what the clamped seam takes, so that some shows along both edges: common practice, no source.
const BEAD_OVER_SEAM: f64 = 1.3;
/// Seam that is not starved, m: as the limit `seam_starved` has it.
const LEAST_SEAM: f64 = 0.3e-3;
/// Lowest bead that a hand lays, m.
const LOWEST_BEAD: f64 = 0.1e-3;
/// Temperature that a viscosity of the catalogue is of.
const SHEET_TEMPERATURE: f64 = 298.15;
/// Apparent activation energy of flow, J/mol: usual, least, most. Of a general-purpose polyester its two readings on one sheet give 27
/// kJ/mol, inside their spread (Ford cup at 30 °C, 25 °C; manjeetenterprises-mgr.com/product/general-purpose-resin); two thin liquids
/// have 21 and 25 kJ/mol measured (public data repository three_component_model, table solvent_infos, 2022), a laminating epoxy about
/// 100 (kit builder's manual, manualshive.com/ru/manual/silence-aircraft/twister-kit/1270960?page=22). Usual ones from memory.
const FLOW_ENERGY: [f64; 3] = [45e3, 25e3, 60e3];
const FLOW_ENERGY_EPOXY: [f64; 3] = [80e3, 60e3, 105e3];
/// A paste's yield stress hardly follows the temperature: that of a measured gel falls by 23 % from 10 °C to 50 °C, while its liquid
/// thins by 8 (public data repository three_component_model, 2022). This much is allowed for either way, beside its law's own factor.
const YIELD_BY_TEMPERATURE: f64 = 1.25;

/// The resin's viscosity at a temperature, from the one its sheet tells at 25 °C: usual, least, most.
pub(super) fn viscosity_today(mix: &Mix, at: ThermodynamicTemperature) -> Result<Option<[f64; 3]>> {
    let resin = mix.resin().resin()?;
    let Some(told) = &resin.viscosity else {
        return Ok(None);
    };
    let energy = match resin.family {
        material::Family::Epoxy => FLOW_ENERGY_EPOXY,
        _ => FLOW_ENERGY,
    };
    let colder = 1.0 / at.si() - 1.0 / SHEET_TEMPERATURE;
    let factor = energy.map(|e| (e / GAS_CONSTANT * colder).exp());
    let (least, most) = (factor[1].min(factor[2]), factor[1].max(factor[2]));
    let told = told.value.si();
    Ok(Some([told * factor[0], told * least, told * most]))
}

/// How much thicker the solids make a paste: chop as strands, all else as spheres.
fn thicker(mix: &Mix) -> Result<f64> {
    let (mut grains, mut strands, mut packing) = (0.0, 0.0, VolumeFraction::ZERO);
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let Class::Filler(f) = &m.class else { continue };
        let share = part.volume.si() / mix.unit.volume.si();
        if f.shape == ParticleShape::Fibre {
            strands += share;
            if let Some(c) = chop_of(mix)? {
                packing = c.bundle.packing()?.packing;
            }
        } else {
            grains += share;
        }
    }
    // A paste packed to its limit no longer flows at all: the law ends a little below.
    let most = |phi: f64, packing: VolumeFraction| VolumeFraction::new(phi.min(0.95 * packing.get()));
    let spheres = flow::sphere_packing();
    let by_grains = flow::SuspensionModel::SPHERES
        .relative(most(grains, spheres)?, spheres)?
        .0;
    let by_strands = match strands > 0.0 && packing.get() > 0.0 {
        true => {
            flow::SuspensionModel::MaronPierce
                .relative(most(strands, packing)?, packing)?
                .0
        }
        false => 1.0,
    };
    Ok(by_grains * by_strands)
}

/// The paste of a seam: its yield stress with its band, and its law.
fn paste_of(job: &Job, seam: &Seam) -> Result<Option<(flow::Paste, MassFraction, YieldLaw)>> {
    let silica = job.mixes[seam.recipe.as_str()].thickener();
    if silica <= 0.0 {
        return Ok(None);
    }
    let law = seam.yield_law.clone().unwrap_or_else(YieldLaw::common_practice);
    let content: MassFraction = flow::silica_fraction(Phr::new(silica)?);
    let paste = law.paste(content).map_err(|e| e.within("yield_law"))?;
    Ok(Some((paste, content, law)))
}

/// A clamped seam: usual, with the thin ends of its paste, with the thick ones.
fn clamped(job: &Job, seam: &Seam, paste: &flow::Paste) -> Result<Option<[SqueezeOut; 3]>> {
    let mix = &job.mixes[seam.recipe.as_str()];
    let Some(c) = &job.casting.clamping else {
        return Ok(None);
    };
    let Some(eta) = viscosity_today(mix, job.casting.shop.resin())? else {
        return Ok(None);
    };
    let thicker = thicker(mix)?;
    let total: f64 = job.casting.seams.iter().map(|s| s.length.si()).sum();
    let spacing = Length::new::<meter>(total / f64::from(c.clamps));
    let time = job
        .gel_time(&seam.recipe)
        .map_or(super::steps::minutes(60.0), |g| g.time);
    let chop = chop_of(mix)?;
    let of = |viscosity: f64, yield_stress: Pressure| -> Result<SqueezeOut> {
        Ok(SqueezeOut {
            joint: Joint::Strip {
                width: seam.flange.unwrap_or(seam.width),
                length: spacing,
            },
            force: Some(c.force),
            pressure: None,
            bead_height: seam.height,
            bead_volume: Some(seam.width * seam.height * spacing),
            viscosity: ViscosityHistory::ToGel {
                viscosity: DynamicViscosity::from_si(viscosity * thicker)?,
                gel_time: time,
                exponent: 2.0,
            },
            yield_stress,
            chop: chop.as_ref().map(|c| ChopInBead {
                glass: c.volume,
                length: c.bundle.length,
                bed: flow::FibreBed::default(),
            }),
            faces_touch_at: flow::touching(),
        })
    };
    Ok(Some([
        of(eta[0], paste.yield_stress)?,
        of(eta[1], paste.low / YIELD_BY_TEMPERATURE)?,
        of(eta[2], paste.high * YIELD_BY_TEMPERATURE)?,
    ]))
}

/// Part of a seam's bead that the clamps squeeze out; none without clamps or thickener. What is wrong with the seam is told by
/// [`seam_of`].
pub(super) fn squeezed_share(job: &Job, seam: &Seam) -> f64 {
    let share = || -> Result<f64> {
        let Some((paste, ..)) = paste_of(job, seam)? else {
            return Ok(0.0);
        };
        let Some([usual, ..]) = clamped(job, seam, &paste)? else {
            return Ok(0.0);
        };
        usual.share_squeezed_out()
    };
    share().unwrap_or(0.0)
}

/// The least height of a bead of this width that fills the flange with some to spare and leaves the seam as thick as it must be, or
/// as this one leaves it, if that is less; nothing where this one is no higher. (Chop that stays packs to the same content from any
/// bead: a lower one leaves a thinner seam.)
fn height_that_suffices(seam: &Seam, usual: &SqueezeOut, left: Length) -> Result<Option<Length>> {
    let Joint::Strip { length: spacing, .. } = usual.joint else {
        return Ok(None);
    };
    let thick = left.si().min(LEAST_SEAM);
    let flange = seam.flange.unwrap_or(seam.width);
    let enough = |height: f64| -> Result<bool> {
        let bead_height = Length::from_si(height)?;
        let of_bead = SqueezeOut {
            bead_height,
            bead_volume: Some(seam.width * bead_height * spacing),
            ..usual.clone()
        };
        let gels = of_bead.thickness()?.si();
        let fills = seam.width.si() * height >= BEAD_OVER_SEAM * flange.si() * gels;
        Ok(fills && gels >= thick * (1.0 - 1e-6))
    };
    let full = seam.height.si();
    if !enough(full)? {
        return Ok(None);
    }
    let (mut low, mut high) = (LOWEST_BEAD.min(0.5 * full), full);
    // 8 halvings end within half a hundredth of the bead.
    for _ in 0..8 {
        let middle = 0.5 * (low + high);
        match enough(middle)? {
            true => high = middle,
            false => low = middle,
        }
    }
    (high < 0.95 * full).then(|| Length::from_si(high)).transpose()
}

/// A seam's paste, bead and clamps; nothing where the paste has no thickener.
fn seam_of(
    job: &Job,
    seam: &Seam,
    wanted: Wanted,
    measures: &mut Vec<Measured>,
) -> Result<Option<SeamSummary>> {
    let mix = &job.mixes[seam.recipe.as_str()];
    let Some((paste, content, law)) = paste_of(job, seam)? else {
        return Ok(None);
    };
    let bead = flow::Bead {
        height: seam.height,
        slope: Angle::new::<degree>(90.0),
        density: mix.unit.density,
        margin: 1.0,
        law: law.into(),
    };
    let sag = bead.sag(content)?;
    let against_sag = RelativeAmount::new(sag.margin.unwrap_or(f64::MAX.sqrt()))?;
    let tags = mix.tags_for(Act::Seam);
    let of = |quantity, value| Measured::new(quantity, seam.name.clone(), &tags, value);
    measures.push(of(LimitQuantity::SagMargin, against_sag));
    let mut summary = SeamSummary {
        seam: seam.name.clone(),
        consistency: paste.consistency.to_string(),
        against_sag,
        thickness: None,
        thickness_low: None,
        thickness_high: None,
        squeezed_out: None,
        height_that_suffices: None,
        pressure: None,
        extrapolated: paste.extrapolated.clone(),
        why: sag.why,
    };
    let at = |e: Error| e.within("clamping");
    let (Some(c), Some([usual, thin, thick])) =
        (&job.casting.clamping, clamped(job, seam, &paste).map_err(at)?)
    else {
        return Ok(Some(summary));
    };
    let squeezed = usual.squeezed().map_err(at)?;
    let (low, high) = (thin.thickness().map_err(at)?, thick.thickness().map_err(at)?);
    measures.push(
        Measured::new(
            LimitQuantity::SeamThickness,
            seam.name.clone(),
            &tags,
            squeezed.thickness,
        )
        .between(low, high),
    );
    measures.push(Measured::new(
        LimitQuantity::ClampPressure,
        seam.name.clone(),
        &tags,
        squeezed.pressure,
    ));
    let flange = seam.flange.unwrap_or(seam.width);
    // The bead's section over the flange's width, at the thickness that the clamps bring it to.
    let filled = (seam.width * seam.height).si() / (flange * squeezed.thickness).si().max(1e-12);
    measures.push(of(LimitQuantity::SeamSpread, RelativeAmount::new(filled)?));
    let out = RelativeAmount::new(squeezed.squeezed_out.si() / squeezed.bead.si())?;
    measures.push(of(LimitQuantity::SeamSqueezedOut, out));
    summary.thickness = Some(squeezed.thickness);
    summary.thickness_low = Some(low);
    summary.thickness_high = Some(high);
    if wanted == Wanted::Told {
        summary.height_that_suffices = height_that_suffices(seam, &usual, squeezed.thickness).map_err(at)?;
    }
    // The clamps stand along all seams; this one has its share of them.
    let of_all = seam.length.si() / job.casting.seams.iter().map(|s| s.length.si()).sum::<f64>();
    summary.squeezed_out = Some(squeezed.squeezed_out * (f64::from(c.clamps) * of_all));
    summary.pressure = Some(squeezed.pressure);
    summary.why = squeezed.why;
    summary.extrapolated = match (summary.extrapolated, squeezed.extrapolated) {
        (Some(a), Some(b)) => Some(format!("{a}; {b}")),
        (a, b) => a.or(b),
    };
    Ok(Some(summary))
}
