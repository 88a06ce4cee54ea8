//! The part as it will be: how stiff the shell, what the thin edges bear, what the eye sees, whether the seam
//! stays and how thin the clamps squeeze it. What the plan hands to laminate, flow and light.

use crate::noun::Noun;
use uom::si::angle::degree;
use uom::si::length::meter;

use super::casting::{GelCoat, Pour, Seam, Zone, ZoneLayer};
use super::job::Job;
use super::layout::{Act, Item, Mix};
use crate::error::{Error, Result};
use crate::flow::{self, ChopInBead, Joint, SqueezeOut, ViscosityHistory, YieldLaw};
use crate::laminate::{
    self, DesignAllowance, GelCoatLayer, LaminateWall, Orientation, Phase, ReinforcementForm, Section,
    ShortFibre, WallPly,
};
use crate::light::translucency::E_GLASS_INDEX;
use crate::light::{CoatInFront, CoatOnCard, CoatOptics, Filaments, HidingCard, Particles, TranslucentEdge};
use crate::limit::{LimitQuantity, Measured};
use crate::material::{self, Class, ParticleShape};
use crate::quantity::{
    Angle, Force, Index, Length, MassFraction, Phr, Pressure, Quantity, ReciprocalLength, RelativeAmount,
    Strain, Volume, VolumeFraction,
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

/// What a thin edge bears when it is pulled from the mould.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PulledEdge {
    /// Deflection of its tip under the pull.
    pub deflection: Length,
    /// Greatest strain under the pull.
    pub strain: Strain,
    /// The pull that breaks it.
    pub breaks_at: Force,
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
    /// What the clamps squeeze out.
    pub squeezed_out: Option<Volume>,
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
    pub(super) contrast_ratio: Option<RelativeAmount>,
    pub(super) light_through: Option<LightThrough>,
}

/// What of the part is known, and what of it is held against limits.
pub(super) struct PartAsMade {
    pub(super) zones: Vec<ZoneAsMade>,
    pub(super) seams: Vec<SeamSummary>,
    pub(super) measured: Vec<Measured>,
}

pub(super) fn part(job: &Job) -> Result<PartAsMade> {
    let mut measures = Vec::new();
    let mut zones = Vec::new();
    for (i, (zone, amounts)) in job.casting.zones.iter().zip(job.zones()?).enumerate() {
        let at = |e: Error| e.within(format!("zones[{i}]"));
        let items: Vec<&Item> = job.items_of(&zone.name).collect();
        let mut made = ZoneAsMade {
            shell: shell(job, zone, &items).map_err(at)?,
            ..ZoneAsMade::default()
        };
        let thickness = amounts.cured_thickness;
        let solid = solid(job, zone, &items, made.shell.as_ref()).map_err(at)?;
        if let (Some(pull), Some(solid), Some(t)) = (&zone.pulled_edge, solid, thickness) {
            let edge = laminate::Edge {
                sections: vec![
                    Section {
                        at: Length::default(),
                        thickness: t,
                    },
                    Section {
                        at: pull.length,
                        thickness: pull.tip_thickness.unwrap_or(t),
                    },
                ],
                width: pull.width,
                modulus: solid.modulus,
                poisson: Some(solid.poisson),
                strength: solid.strength,
                safety_factor: Index::ONE,
            };
            let answer = edge
                .bending(pull.pull, None)
                .map_err(|e| at(e.within("pulled_edge")))?;
            let strain = Strain::new(answer.stress.si() / solid.modulus.si())?;
            let tags = items
                .iter()
                .flat_map(|i| job.mixes[i.recipe.as_str()].tags_for(i.act))
                .collect::<Vec<_>>();
            measures.push(Measured::new(
                LimitQuantity::EdgeStrain,
                zone.name.clone(),
                &tags,
                strain,
            ));
            made.edge = Some(PulledEdge {
                deflection: answer.deflection,
                strain,
                breaks_at: answer.pull_survived,
                extrapolated: answer.extrapolated,
                why: answer.why,
            });
        }
        light_of(job, zone, &items, thickness, &mut made, &mut measures).map_err(at)?;
        zones.push(made);
    }
    let mut seams = Vec::new();
    for (i, seam) in job.casting.seams.iter().enumerate() {
        let made = seam_of(job, seam, &mut measures).map_err(|e| e.within(format!("seams[{i}]")))?;
        seams.extend(made);
    }
    Ok(PartAsMade {
        zones,
        seams,
        measured: measures,
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
    let gel_coat = zone.layers.iter().enumerate().find_map(|(j, l)| match l {
        ZoneLayer::GelCoat(g) => Some((g, cured_coat(job, zone, j, g))),
        _ => None,
    });
    let gel_coat = match gel_coat {
        Some((g, thickness)) => {
            let m = &job.mixes[g.recipe.as_str()];
            let r = m.resin().resin()?;
            let poisson = poisson_of(m)?;
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
        bending_stiffness_n_m: wall.bending_stiffness_n_m,
        moment_to_first_break_n: wall.moment_to_first_break_n,
        moment_to_break_n: wall.moment_to_break_n,
        moment_to_crack_n: wall.moment_to_crack_n,
        design: wall.design,
        extrapolated: wall.extrapolated,
    }))
}

/// Cured thickness of a gel coat, all its coats.
fn cured_coat(job: &Job, zone: &Zone, layer: usize, coat: &GelCoat) -> Length {
    let cured = job.cured_thickness(&zone.name, layer);
    cured.unwrap_or(coat.wet_thickness * f64::from(coat.coats))
}

/// What a zone is made of, as one solid.
struct Solid {
    modulus: Pressure,
    poisson: Index,
    strength: Pressure,
}

fn poisson_of(mix: &Mix) -> Result<Index> {
    match &mix.resin().resin()?.poisson_ratio {
        Some(p) => Ok(p.value),
        None => Ok(laminate::resin_poisson()),
    }
}

fn solid(job: &Job, zone: &Zone, items: &[&Item], shell: Option<&Shell>) -> Result<Option<Solid>> {
    if let Some(s) = shell {
        let item = items.iter().find(|i| i.act == Act::Laminate);
        let Some(item) = item else { return Ok(None) };
        let poisson = poisson_of(&job.mixes[item.recipe.as_str()])?;
        return Ok(Some(Solid {
            modulus: s.modulus,
            poisson,
            strength: s.first_break,
        }));
    }
    let Some(pour) = pour_of(zone) else {
        return Ok(None);
    };
    let mix = &job.mixes[pour.recipe.as_str()];
    let resin = mix.resin().resin()?;
    let (Some(e), Some(strength)) = (&resin.modulus, &resin.strength) else {
        return Ok(None);
    };
    let poisson = poisson_of(mix)?;
    let matrix = Phase::new(e.value, poisson)?;
    let chop = chop_of(mix)?;
    let modulus = match chop {
        Some(chop) => {
            ShortFibre::of(
                laminate::wall::e_glass()?,
                matrix,
                chop.volume,
                chop.length,
                chop.diameter,
                Orientation::RandomInPlane,
            )
            .stiffness()?
            .modulus
        }
        None => e.value,
    };
    // The strands' share of the strength is not counted: where none crosses, the neat resin breaks.
    Ok(Some(Solid {
        modulus,
        poisson,
        strength: strength.value,
    }))
}

fn pour_of(zone: &Zone) -> Option<&Pour> {
    zone.layers.iter().find_map(|l| match l {
        ZoneLayer::Pour(p) => Some(p),
        _ => None,
    })
}

/// Chopped strands in a mix.
struct ChopIn {
    volume: VolumeFraction,
    length: Length,
    /// Of the bundle that carries as one.
    diameter: Length,
    filament: Length,
    index: Option<f64>,
}

/// Filaments of a chopped strand that stay together as one bundle: from memory.
const FILAMENTS_IN_BUNDLE: u32 = 200;
/// Glass within such a bundle: from memory.
const GLASS_IN_BUNDLE: f64 = 0.60;
/// Length and filament diameter where the material does not say: from memory.
const CHOP_LENGTH: f64 = 6e-3;
const FILAMENT: f64 = 13e-6;

fn chop_of(mix: &Mix) -> Result<Option<ChopIn>> {
    for ((_, m), part) in mix.materials.iter().zip(&mix.unit.parts) {
        let Class::Filler(f) = &m.class else { continue };
        if f.shape != ParticleShape::Fibre || part.volume.si() <= 0.0 {
            continue;
        }
        let filament = f.fibre_diameter.as_ref().map_or(FILAMENT, |d| d.value.si());
        let length = f
            .fibre_length
            .as_ref()
            .map_or_else(|| Length::new::<meter>(CHOP_LENGTH), |l| l.value);
        return Ok(Some(ChopIn {
            volume: VolumeFraction::new(part.volume.si() / mix.unit.volume.si())?,
            length,
            diameter: flow::Strand {
                length,
                filament: Length::new::<meter>(filament),
                filaments: FILAMENTS_IN_BUNDLE,
                glass_in_strand: Some(VolumeFraction::new(GLASS_IN_BUNDLE)?),
            }
            .diameter()?,
            filament: Length::new::<meter>(filament),
            index: f.refractive_index.as_ref().map(|n| n.value.get()),
        }));
    }
    Ok(None)
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
            thickness: cured_coat(job, zone, j, g),
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
        let coat = cured_coat(job, zone, j, g);
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

/// A seam's paste, bead and clamps; nothing where the paste has no thickener.
fn seam_of(job: &Job, seam: &Seam, measures: &mut Vec<Measured>) -> Result<Option<SeamSummary>> {
    let mix = &job.mixes[seam.recipe.as_str()];
    let silica = mix.thickener();
    if silica <= 0.0 {
        return Ok(None);
    }
    let law = seam.yield_law.clone().unwrap_or_else(YieldLaw::common_practice);
    let content: MassFraction = flow::silica_fraction(Phr::new(silica)?);
    let paste = law.paste(content).map_err(|e| e.within("yield_law"))?;
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
    measures.push(Measured::new(
        LimitQuantity::SagMargin,
        seam.name.clone(),
        &tags,
        against_sag,
    ));
    let mut summary = SeamSummary {
        seam: seam.name.clone(),
        consistency: paste.consistency.to_string(),
        against_sag,
        thickness: None,
        squeezed_out: None,
        pressure: None,
        extrapolated: paste.extrapolated.clone(),
        why: sag.why,
    };
    let viscosity = mix.resin().resin()?.viscosity.as_ref().map(|v| v.value);
    if let (Some(c), Some(viscosity)) = (&job.casting.clamping, viscosity) {
        let total: f64 = job.casting.seams.iter().map(|s| s.length.si()).sum();
        let spacing = Length::new::<meter>(total / f64::from(c.clamps));
        let time = job
            .gel_time(&seam.recipe)
            .map_or(super::steps::minutes(60.0), |g| g.time);
        let squeeze = SqueezeOut {
            joint: Joint::Strip {
                width: seam.flange.unwrap_or(seam.width),
                length: spacing,
            },
            force: Some(c.force),
            pressure: None,
            bead_height: seam.height,
            bead_volume: Some(seam.width * seam.height * spacing),
            viscosity: ViscosityHistory::ToGel {
                viscosity,
                gel_time: time,
                exponent: 2.0,
            },
            yield_stress: paste.yield_stress,
            chop: chop_of(mix)?.map(|c| ChopInBead {
                glass: c.volume,
                length: c.length,
                bed: flow::FibreBed::default(),
            }),
            faces_touch_at: flow::touching(),
        };
        let squeezed = squeeze.squeezed().map_err(|e| e.within("clamping"))?;
        measures.push(Measured::new(
            LimitQuantity::SeamThickness,
            seam.name.clone(),
            &tags,
            squeezed.thickness,
        ));
        measures.push(Measured::new(
            LimitQuantity::ClampPressure,
            seam.name.clone(),
            &tags,
            squeezed.pressure,
        ));
        let flange = seam.flange.unwrap_or(seam.width);
        // The bead's section over the flange's width, at the thickness that the clamps bring it to.
        let filled = (seam.width * seam.height).si() / (flange * squeezed.thickness).si().max(1e-12);
        measures.push(Measured::new(
            LimitQuantity::SeamSpread,
            seam.name.clone(),
            &tags,
            RelativeAmount::new(filled)?,
        ));
        summary.thickness = Some(squeezed.thickness);
        summary.squeezed_out = Some(squeezed.squeezed_out * f64::from(c.clamps));
        summary.pressure = Some(squeezed.pressure);
        summary.why = squeezed.why;
        summary.extrapolated = match (summary.extrapolated, squeezed.extrapolated) {
            (Some(a), Some(b)) => Some(format!("{a}; {b}")),
            (a, b) => a.or(b),
        };
    }
    Ok(Some(summary))
}
