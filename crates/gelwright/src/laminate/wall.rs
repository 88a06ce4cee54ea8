//! A gel-coated wall in one look: thickness, weight, glass content, stiffness, strength. No iteration, and no text is
//! made unless something is out of range, so that a plan can ask it for every zone of every sample.

use crate::noun::Noun;

use super::mat::{GlassLaminate, Process, glass_laminate};
use super::micro::{Orientation, Phase};
use super::ply::{CuredPly, Form, Reinforcement, cured_ply, no_plies};
use super::{check, sources};
use crate::error::Result;
use crate::quantity::{
    ArealMassDensity, Index, Length, MassDensity, MassFraction, Pressure, Quantity, Strain, VolumeFraction,
    show,
};
use crate::source::Why;

/// Modulus of E-glass, Pa (from memory: 72 to 73 GPa).
const E_GLASS_MODULUS: f64 = 72.4e9;
/// Poisson's ratio of a glass-polyester laminate in its plane (from memory).
const LAMINATE_POISSON: f64 = 0.3;

/// The gel coat as cured.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct GelCoatLayer {
    /// Cured thickness.
    pub thickness: Length,
    /// Density as cured.
    pub density: MassDensity,
    /// Modulus as cured.
    pub modulus: Pressure,
    /// Poisson's ratio; 0.36 (from memory) where not given.
    pub poisson: Option<Index>,
    /// Tensile strain at which it cracks (elongation at break on its data sheet).
    pub strain_to_crack: Option<Strain>,
}

/// A ply of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct WallPly {
    /// The dry reinforcement.
    pub reinforcement: Reinforcement,
    /// Its glass content, where it differs from the wall's.
    pub glass_content: Option<MassFraction>,
}

/// A wall from the mould face inward.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct WallSpec {
    /// The gel coat, where there is one.
    pub gel_coat: Option<GelCoatLayer>,
    /// The plies behind it.
    pub plies: Vec<WallPly>,
    /// Glass content by mass of plies that state none.
    pub glass_content: MassFraction,
    /// Density of the laminating resin as cured.
    pub resin_density: MassDensity,
    /// Modulus of the laminating resin as cured.
    pub resin_modulus: Pressure,
    /// Voids by volume; none where not given.
    pub voids: Option<VolumeFraction>,
    /// Whether a panel of this lay-up was tested; published strengths and moduli take 0.8 where not.
    #[noun(default)]
    pub tested: bool,
}

/// A wall in one look.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct WallSummary {
    /// Whole thickness with gel coat.
    pub thickness: Length,
    /// Thickness of the laminate behind the gel coat.
    pub laminate_thickness: Length,
    /// Whole mass per area.
    pub areal_mass: ArealMassDensity,
    /// Glass per area.
    pub glass: ArealMassDensity,
    /// Laminating resin per area (without waste).
    pub resin: ArealMassDensity,
    /// Gel coat per area.
    pub gel_coat: ArealMassDensity,
    /// Glass content of the laminate by mass, without gel coat.
    pub glass_content: MassFraction,
    /// In-plane modulus of the laminate without gel coat.
    pub modulus: Pressure,
    /// The same from the moduli of glass and resin (random in-plane fibres, long), for comparison.
    pub modulus_from_constituents: Pressure,
    /// Tensile strength of the weakest ply.
    pub tension: Pressure,
    /// Stretching stiffness of the whole wall, N/m.
    #[noun(name = "stretching_stiffness_N_per_m")]
    pub stretching_stiffness_n_per_m: f64,
    /// Bending stiffness of the whole wall per width, N·m.
    #[noun(name = "bending_stiffness_N_m")]
    pub bending_stiffness_n_m: f64,
    /// Moment per width, stretching the gel coat, at which the gel coat cracks; `None` without a strain to crack.
    #[noun(name = "moment_to_crack_N")]
    pub moment_to_crack_n: Option<f64>,
    /// Moment per width, in the weaker sense, at which a ply reaches its tensile or compressive strength.
    #[noun(name = "moment_to_break_N")]
    pub moment_to_break_n: f64,
    /// Each ply.
    pub plies: Vec<CuredPly>,
    /// What lies outside fitted or usual ranges.
    pub extrapolated: Option<String>,
    #[noun(skip)]
    strengths: Vec<Option<GlassLaminate>>,
}

impl WallSummary {
    /// How thickness, weight and stiffness were computed.
    pub fn why(&self) -> Why {
        let mut from: Vec<Why> = self.plies.iter().map(CuredPly::why).collect();
        from.extend(self.strengths.iter().flatten().map(GlassLaminate::why));
        let why = Why::computed(
            "thickness of the wall",
            show(self.thickness),
            "gel coat + sum of plies; bending stiffness: sum of E/(1 - nu^2) (t^3/12 + t z^2) about the neutral axis",
            from,
        )
        .with_source(&sources::plates());
        match &self.extrapolated {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }
}

struct Layer {
    t: f64,
    e: f64,
    nu: f64,
    /// Tension and compression.
    strength: Option<(f64, f64)>,
}

/// Thickness, weight, glass content, stiffness and strength of a gel-coated wall.
///
/// Plies by [`cured_ply`]; modulus and strengths of mat, woven and stitched glass by
/// [`glass_laminate`] (ISO 12215-5:2008, table C.4); veil and loose chop by Krenchel's rule from glass and resin,
/// with a strength from the table's lowest glass content taken down in proportion (common practice). Bending as a
/// plate of layers about their common neutral axis (cylindrical bending).
///
/// # Errors
/// As [`cured_ply`] and [`glass_laminate`], naming the ply; [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for
/// no ply, or a gel coat without thickness.
pub fn wall_summary(spec: &WallSpec) -> Result<WallSummary> {
    if spec.plies.is_empty() {
        return Err(no_plies());
    }
    let voids = spec.voids.unwrap_or(VolumeFraction::ZERO);
    let em = check::positive("resin_modulus", spec.resin_modulus)?;
    let mut layers = Vec::with_capacity(spec.plies.len() + 1);
    let mut remarks = Vec::new();
    let (mut gel_mass, mut gel_thickness) = (0.0, 0.0);
    if let Some(g) = &spec.gel_coat {
        let within = |e: crate::Error| e.within("gel_coat");
        let t = check::positive("thickness", g.thickness).map_err(within)?;
        let rho = check::positive("density", g.density).map_err(within)?;
        let e = check::positive("modulus", g.modulus).map_err(within)?;
        let nu = match g.poisson {
            Some(nu) => check::isotropic_poisson("poisson", nu).map_err(within)?,
            None => 0.36,
        };
        if let Some(s) = g.strain_to_crack {
            check::positive("strain_to_crack", s).map_err(within)?;
        }
        gel_mass = rho * t;
        gel_thickness = t;
        layers.push(Layer {
            t,
            e,
            nu,
            strength: None,
        });
    }
    let mut plies = Vec::with_capacity(spec.plies.len());
    let mut strengths = Vec::with_capacity(spec.plies.len());
    let (mut glass, mut resin, mut et, mut et_rule) = (0.0, 0.0, 0.0, 0.0);
    let mut tension = f64::INFINITY;
    for (i, p) in spec.plies.iter().enumerate() {
        let within = |e: crate::Error| e.within(format_args!("plies[{i}]"));
        let psi = p.glass_content.unwrap_or(spec.glass_content);
        let ply = cured_ply(&p.reinforcement, psi, spec.resin_density, voids).map_err(within)?;
        if let Some(x) = &ply.extrapolated {
            remarks.push(format!("plies[{i}]: {x}"));
        }
        let vf = ply.fibre_volume.get();
        let rule =
            Orientation::RandomInPlane.efficiency() * E_GLASS_MODULUS * vf + em * (1.0 - vf - voids.get());
        let (e, t_strength, c_strength, published) =
            if matches!(p.reinforcement.form, Form::Veil | Form::Chop) {
                let low = glass_laminate(
                    Form::Mat,
                    MassFraction::new(0.25)?,
                    Process::HandLaid,
                    spec.tested,
                )?;
                let share = (psi.get() / 0.25).min(1.0);
                let factor = if spec.tested { 1.0 } else { 0.8 };
                (
                    rule * factor,
                    low.tension.si() * share,
                    low.compression.si() * share,
                    None,
                )
            } else {
                let g = glass_laminate(p.reinforcement.form, psi, Process::HandLaid, spec.tested)
                    .map_err(within)?;
                if let Some(x) = &g.extrapolated {
                    remarks.push(format!("plies[{i}]: {x}"));
                }
                (g.modulus.si(), g.tension.si(), g.compression.si(), Some(g))
            };
        let t = ply.thickness.si();
        glass += p.reinforcement.areal_mass.si();
        resin += ply.resin.si();
        et += e * t;
        et_rule += rule * t;
        tension = tension.min(t_strength);
        layers.push(Layer {
            t,
            e,
            nu: LAMINATE_POISSON,
            strength: Some((t_strength, c_strength)),
        });
        strengths.push(published);
        plies.push(ply);
    }
    let laminate: f64 = plies.iter().map(|p| p.thickness.si()).sum();
    let section = bend(&layers);
    let crack = spec.gel_coat.and_then(|g| g.strain_to_crack).map(|s| {
        // The mould face is the most stretched when the wall bends away from it.
        s.get() / section.neutral * section.stiffness
    });
    Ok(WallSummary {
        thickness: Length::from_si(laminate + gel_thickness)?,
        laminate_thickness: Length::from_si(laminate)?,
        areal_mass: ArealMassDensity::from_si(glass + resin + gel_mass)?,
        glass: ArealMassDensity::from_si(glass)?,
        resin: ArealMassDensity::from_si(resin)?,
        gel_coat: ArealMassDensity::from_si(gel_mass)?,
        glass_content: MassFraction::new(glass / (glass + resin))?,
        modulus: Pressure::from_si(et / laminate)?,
        modulus_from_constituents: Pressure::from_si(et_rule / laminate)?,
        tension: Pressure::from_si(tension)?,
        stretching_stiffness_n_per_m: layers.iter().map(|l| l.e * l.t).sum(),
        bending_stiffness_n_m: section.stiffness,
        moment_to_crack_n: crack,
        moment_to_break_n: section.breaks,
        plies,
        extrapolated: check::join(remarks),
        strengths,
    })
}

struct Bend {
    /// Neutral axis from the mould face.
    neutral: f64,
    stiffness: f64,
    breaks: f64,
}

fn bend(layers: &[Layer]) -> Bend {
    let plate = |l: &Layer| l.e / (1.0 - l.nu * l.nu);
    let (mut s0, mut s1, mut x) = (0.0, 0.0, 0.0);
    for l in layers {
        let mid = x + l.t / 2.0;
        s0 += plate(l) * l.t;
        s1 += plate(l) * l.t * mid;
        x += l.t;
    }
    let neutral = s1 / s0;
    let (mut stiffness, mut x) = (0.0, 0.0);
    for l in layers {
        let mid = x + l.t / 2.0 - neutral;
        stiffness += plate(l) * (l.t.powi(3) / 12.0 + l.t * mid * mid);
        x += l.t;
    }
    let (mut breaks, mut x) = (f64::INFINITY, 0.0);
    for l in layers {
        if let Some((tension, compression)) = l.strength {
            for z in [x - neutral, x + l.t - neutral] {
                // Either sense of bending: each face is stretched in one and pressed in the other.
                let per_moment = plate(l) * z.abs() / stiffness;
                if per_moment > 0.0 {
                    breaks = breaks.min(tension.min(compression) / per_moment);
                }
            }
        }
        x += l.t;
    }
    Bend {
        neutral,
        stiffness,
        breaks,
    }
}

/// The elastic phase of E-glass, for estimates from constituents (72.4 GPa, 0.22, from memory).
///
/// # Errors
/// None in practice; typed as [`Phase::new`].
pub fn e_glass() -> Result<Phase> {
    Phase::new(Pressure::from_si(E_GLASS_MODULUS)?, Index::new(0.22)?)
}
