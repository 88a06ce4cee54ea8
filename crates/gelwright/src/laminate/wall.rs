//! A gel-coated wall in one look: thickness, weight, glass content, stiffness, strength. No iteration.

use crate::noun::{self, Noun, questions};

use super::mat::{GlassLaminate, GlassLayUp, Process, random_tension};
use super::micro::{Orientation, Phase};
use super::ply::{CuredPly, LaidPly, no_plies};
use super::reinforcement::{Reinforcement, ReinforcementForm};
use super::usual::{laminate_poisson, resin_poisson};
use super::{join, sources};
use crate::error::{Error, ErrorKind, Result};
use crate::material::Catalogue;
use crate::quantity::{
    ArealMassDensity, Index, Length, MassDensity, MassFraction, Pressure, Quantity, Strain, VolumeFraction,
    show,
};
use crate::source::Why;

/// The gel coat as cured.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct GelCoatLayer {
    /// Cured thickness.
    #[noun(within("1 nm", "1 km", "give a thickness above zero: '0.5 mm'"))]
    pub thickness: Length,
    /// Density as cured.
    #[noun(within("1 kg/m^3", "1e5 kg/m^3", "give a density above zero: '1.2 g/mL'"))]
    pub density: MassDensity,
    /// Modulus as cured.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = resin_poisson(), within = crate::ranges::POISSON)]
    pub poisson: Index,
    /// Tensile strain at which it cracks (elongation at break on its data sheet).
    #[noun(within = crate::ranges::STRAIN_TO_CRACK)]
    pub strain_to_crack: Option<Strain>,
}

/// A ply of the wall.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct WallPly {
    /// The dry reinforcement.
    pub reinforcement: Reinforcement,
    /// Its glass content, where it differs from the wall's.
    #[noun(within = crate::ranges::GLASS_CONTENT)]
    pub glass_content: Option<MassFraction>,
}

/// A wall from the mould face inward.
#[derive(Clone, PartialEq, Noun)]
#[noun(check)]
pub struct LaminateWall {
    /// The gel coat, where there is one.
    pub gel_coat: Option<GelCoatLayer>,
    /// The plies behind it.
    pub plies: Vec<WallPly>,
    /// Glass content by mass of plies that state none.
    #[noun(within = crate::ranges::GLASS_CONTENT)]
    pub glass_content: Option<MassFraction>,
    /// Density of the laminating resin as cured.
    #[noun(within = crate::ranges::CURED_RESIN_DENSITY)]
    pub resin_density: MassDensity,
    /// Modulus of the laminating resin as cured.
    #[noun(within = crate::ranges::MODULUS)]
    pub resin_modulus: Pressure,
    /// Tensile strain at which the cured laminating resin breaks (elongation at break on its data sheet): that of a veil,
    /// which is nearly resin; the mat's at 25 wt% of glass where not given (common practice, no source).
    #[noun(within = crate::ranges::STRAIN_TO_CRACK)]
    pub resin_strain_to_break: Option<Strain>,
    /// Voids by volume.
    #[noun(default = "0 vol%", within = crate::ranges::VOIDS)]
    pub voids: VolumeFraction,
    /// Whether a panel of this lay-up was tested; the design allowance is 0.8 where not, and 1 where it was.
    #[noun(default)]
    pub tested: bool,
}

/// What a designer counts on: the properties times an allowance for a laminate that nobody has tested.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct DesignAllowance {
    /// The allowance: 0.8 for a laminate that is not tested (ISO 12215-5:2008, annex C), 1 for one that is.
    pub factor: f64,
    /// In-plane modulus of the laminate times the allowance.
    pub modulus: Pressure,
    /// First break of a ply times the allowance, as a mean stress of the laminate.
    pub first_break: Pressure,
    /// Tensile strength times the allowance.
    pub tension: Pressure,
    /// Moment per width to the first break of a ply times the allowance.
    #[noun(name = "moment_to_first_break_N")]
    pub moment_to_first_break_n: f64,
}

/// A wall in one look.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CuredWall {
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
    /// In-plane modulus of the laminate without gel coat: the property, without allowance.
    pub modulus: Pressure,
    /// The same from the moduli of glass and resin (random in-plane fibres, long), for comparison.
    pub modulus_from_constituents: Pressure,
    /// Mean tensile stress of the laminate at which its first ply breaks: all plies are stretched alike.
    pub first_break: Pressure,
    /// Tensile strength of the laminate: the most that the plies which have not broken carry.
    pub tension: Pressure,
    /// As low as a laboratory's hand lay-up came out: of the rule about half at 30 wt% of glass, less above. A test panel tells
    /// which it is; absent of a tested one. (El-Wazery, El-Elamy, Zoalfakar, Int. J. Appl. Sci. Eng. 14 (2017) 121, abstract:
    /// 28.25 MPa at 15 wt% and 78.83 MPa at 60 wt% of random glass in polyester; straight between.)
    pub tension_low: Option<Pressure>,
    /// Stretching stiffness of the whole wall, N/m.
    #[noun(name = "stretching_stiffness_N_per_m")]
    pub stretching_stiffness_n_per_m: f64,
    /// Bending stiffness of the whole wall per width, N·m.
    #[noun(name = "bending_stiffness_N_m")]
    pub bending_stiffness_n_m: f64,
    /// Moment per width, stretching the gel coat, at which the gel coat cracks; `None` without a strain to crack.
    #[noun(name = "moment_to_crack_N")]
    pub moment_to_crack_n: Option<f64>,
    /// Moment per width, in the weaker sense, at which the first ply reaches the strain that it breaks at.
    #[noun(name = "moment_to_first_break_N")]
    pub moment_to_first_break_n: f64,
    /// The largest moment per width, in the weaker sense, that the plies which have not broken carry.
    #[noun(name = "moment_to_break_N")]
    pub moment_to_break_n: f64,
    /// What a designer counts on.
    pub design: DesignAllowance,
    /// Each ply.
    pub plies: Vec<CuredPly>,
    /// What lies outside fitted or usual ranges.
    pub extrapolated: Option<String>,
    /// How thickness, weight and stiffness were computed.
    pub why: Why,
}

#[derive(Clone, Copy)]
struct Layer {
    t: f64,
    e: f64,
    nu: f64,
    /// Strains that it breaks at, stretched and pressed; none of the gel coat, whose crack is told by itself.
    breaks: Option<(f64, f64)>,
}

/// A ply of the wall as cured, with its stiffness in Pa and the strains that it breaks at.
struct StrongPly {
    ply: CuredPly,
    /// In-plane modulus.
    e: f64,
    /// The same from the moduli of glass and resin.
    e_rule: f64,
    /// Strain at break, stretched.
    stretched: f64,
    /// Strain at break, pressed.
    pressed: f64,
    /// What is published of it.
    published: Option<GlassLaminate>,
}

#[questions]
impl LaminateWall {
    /// Refuses a wall without plies, and a glass content that is missing or of no ply.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`], [`ErrorKind::Document`], [`ErrorKind::Inconsistent`].
    pub fn check(&self) -> Result<()> {
        if self.plies.is_empty() {
            return Err(no_plies());
        }
        let all_state = self.plies.iter().all(|p| p.glass_content.is_some());
        match self.glass_content {
            None if !all_state => Err(Error::new(ErrorKind::Document, "glass_content")
                .with_value("no glass content")
                .with_way_out("a ply states none: add the wall's, for example '30 wt%'")),
            Some(w) if all_state => Err(Error::inconsistent(
                "glass_content",
                show(w),
                "none, as each ply states its own",
                "leave it out, or leave it out of the plies that have the wall's",
            )),
            _ => Ok(()),
        }
    }

    /// A gel-coated wall in one look: thickness, weight, glass content, stiffness, strength, moment to crack.
    ///
    /// Plies by [`LaidPly::cured`]; modulus and strengths of mat, woven and stitched glass by
    /// [`GlassLayUp::properties`] (ISO 12215-5:2008, table C.4), whose quotient is the strain that the ply breaks at; veil and
    /// loose chop by Krenchel's rule from glass and resin, breaking at the resin's strain. All plies are stretched alike
    /// (J. Reinf. Plast. Compos. 2 (1983), doi 10.1177/073168448300200205, abstract, for veil, mat and roving: modulus by the
    /// rule of mixtures, strength by the stress at the brittlest layer's strain at break), so
    ///
    /// ```text
    /// first break  N1 = e_min sum(E t)                           e_min the smallest strain at break
    /// ultimate     N  = max over j of e_j sum over (e_k >= e_j) of E_k t_k   a broken ply carries nothing
    /// ```
    ///
    /// and of the moment the most that is carried as one ply after the other breaks, each time of the section that is left, as
    /// a plate of layers about their common neutral axis (cylindrical bending); a ply is taken at the smaller of its strains
    /// stretched and pressed. The properties are
    /// those of a tested laminate, and `design` beside them what a designer counts on.
    ///
    /// The paper found the laminate to break at a strain somewhat below that of its brittler layer: the first break is the high
    /// end. Not modelled: shear between plies, how a crack of one ply loads its neighbours, fatigue, creep.
    ///
    /// # Errors
    /// As [`LaminateWall::check`]; as [`LaidPly::cured`] and [`GlassLayUp::properties`], naming the ply;
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    #[question("laminate.wall")]
    pub fn cured(&self) -> Result<CuredWall> {
        noun::check(self)?;
        self.check()?;
        let mut strong = Vec::with_capacity(self.plies.len());
        for (i, p) in self.plies.iter().enumerate() {
            strong.push(
                self.strong_ply(p)
                    .map_err(|e| e.within(format_args!("plies[{i}]")))?,
            );
        }
        let layers = self.layers(&strong);
        let section = bend(&layers);
        let (mut glass, mut resin, mut et, mut et_rule) = (0.0, 0.0, 0.0, 0.0);
        for (p, s) in self.plies.iter().zip(&strong) {
            let t = s.ply.thickness.si();
            glass += p.reinforcement.areal_mass.si();
            resin += s.ply.resin.si();
            et += s.e * t;
            et_rule += s.e_rule * t;
        }
        let stretched = stretch(&strong);
        let laminate: f64 = strong.iter().map(|s| s.ply.thickness.si()).sum();
        let (gel_thickness, gel_mass) = self.gel_coat.map_or((0.0, 0.0), |g| {
            (g.thickness.si(), g.density.si() * g.thickness.si())
        });
        let thickness = Length::from_si(laminate + gel_thickness)?;
        let extrapolated = join(remarks(&strong));
        let modulus = Pressure::from_si(et / laminate)?;
        let first_break = Pressure::from_si(stretched.0 / laminate)?;
        let tension = Pressure::from_si(stretched.1 / laminate)?;
        let (first_moment, last_moment) = breaking_moments(&layers);
        let factor = if self.tested { 1.0 } else { UNTESTED };
        Ok(CuredWall {
            thickness,
            laminate_thickness: Length::from_si(laminate)?,
            areal_mass: ArealMassDensity::from_si(glass + resin + gel_mass)?,
            glass: ArealMassDensity::from_si(glass)?,
            resin: ArealMassDensity::from_si(resin)?,
            gel_coat: ArealMassDensity::from_si(gel_mass)?,
            glass_content: MassFraction::new(glass / (glass + resin))?,
            modulus,
            modulus_from_constituents: Pressure::from_si(et_rule / laminate)?,
            first_break,
            tension,
            tension_low: (!self.tested).then_some(tension * poor(glass / (glass + resin))),
            stretching_stiffness_n_per_m: layers.iter().map(|l| l.e * l.t).sum(),
            bending_stiffness_n_m: section.stiffness,
            // The mould face is the most stretched when the wall bends away from it.
            moment_to_crack_n: self
                .gel_coat
                .and_then(|g| g.strain_to_crack)
                .map(|s| s.get() / section.neutral * section.stiffness),
            moment_to_first_break_n: first_moment,
            moment_to_break_n: last_moment,
            design: DesignAllowance {
                factor,
                modulus: modulus * factor,
                first_break: first_break * factor,
                tension: tension * factor,
                moment_to_first_break_n: first_moment * factor,
            },
            why: why(thickness, &strong, extrapolated.as_deref()),
            plies: strong.into_iter().map(|s| s.ply).collect(),
            extrapolated,
        })
    }

    fn strong_ply(&self, p: &WallPly) -> Result<StrongPly> {
        // Checked: where a ply states none, the wall does.
        let glass_content = p
            .glass_content
            .or(self.glass_content)
            .unwrap_or(MassFraction::ZERO);
        let ply = LaidPly {
            reinforcement: p.reinforcement,
            glass_content,
            resin_density: self.resin_density,
            voids: self.voids,
        }
        .cured()?;
        let (em, vf) = (self.resin_modulus.si(), ply.fibre_volume.get());
        let e_rule = Orientation::RandomInPlane.efficiency() * e_glass()?.modulus.si() * vf
            + em * (1.0 - vf - self.voids.get());
        let lay_up = GlassLayUp {
            form: p.reinforcement.form,
            glass_content,
            process: Process::HandLaid,
            tested: true,
        };
        if let ReinforcementForm::Veil | ReinforcementForm::Chop = p.reinforcement.form {
            let low = GlassLayUp {
                form: ReinforcementForm::Mat,
                glass_content: MassFraction::new(0.25)?,
                ..lay_up
            }
            .properties()?;
            return Ok(StrongPly {
                ply,
                e: e_rule,
                e_rule,
                stretched: self
                    .resin_strain_to_break
                    .map_or(low.tension.si() / low.modulus.si(), |e| e.get()),
                pressed: low.compression.si() / low.modulus.si(),
                published: None,
            });
        }
        let g = lay_up.properties()?;
        Ok(StrongPly {
            ply,
            e: g.modulus.si(),
            e_rule,
            stretched: g.tension.si() / g.modulus.si(),
            pressed: g.compression.si() / g.modulus.si(),
            published: Some(g),
        })
    }

    /// Gel coat and plies, from the mould face.
    fn layers(&self, strong: &[StrongPly]) -> Vec<Layer> {
        let gel = self.gel_coat.map(|g| Layer {
            t: g.thickness.si(),
            e: g.modulus.si(),
            nu: g.poisson.get(),
            breaks: None,
        });
        gel.into_iter()
            .chain(strong.iter().map(|s| Layer {
                t: s.ply.thickness.si(),
                e: s.e,
                nu: laminate_poisson().get(),
                breaks: Some((s.stretched, s.pressed)),
            }))
            .collect()
    }
}

/// What lies outside fitted or usual ranges, ply by ply.
fn remarks(strong: &[StrongPly]) -> Vec<String> {
    strong
        .iter()
        .enumerate()
        .flat_map(|(i, s)| {
            let published = s.published.as_ref().and_then(|g| g.extrapolated.as_ref());
            [s.ply.extrapolated.as_ref(), published]
                .into_iter()
                .flatten()
                .map(move |x| format!("plies[{i}]: {x}"))
        })
        .collect()
}

fn why(thickness: Length, strong: &[StrongPly], note: Option<&str>) -> Why {
    let mut from: Vec<Why> = strong.iter().map(|s| s.ply.why.clone()).collect();
    from.extend(
        strong
            .iter()
            .filter_map(|s| s.published.as_ref())
            .map(|g| g.why.clone()),
    );
    let why = Why::computed(
        "thickness of the wall",
        show(thickness),
        "gel coat + sum of plies; bending stiffness: sum of E/(1 - nu^2) (t^3/12 + t z^2) about the neutral axis",
        from,
    )
    .with_source(&sources::plates());
    match note {
        Some(x) => why.with_note(format!("extrapolated: {x}")),
        None => why,
    }
}

/// Allowance of a laminate that nobody has tested: ISO 12215-5:2008, annex C.
const UNTESTED: f64 = 0.8;

/// Strength of a poor hand lay-up of random glass over that of the rule, by glass content: [`CuredWall::tension_low`].
fn poor(glass_content: f64) -> f64 {
    let psi = glass_content.clamp(0.15, 0.60);
    let measured = 28.25 + (78.83 - 28.25) * (psi - 0.15) / 0.45;
    (measured / random_tension(psi)).min(1.0)
}

/// Forces per width at the first break of a ply and at the most that is carried, N/m.
fn stretch(plies: &[StrongPly]) -> (f64, f64) {
    let carried = |strain: f64| {
        let whole = plies.iter().filter(|p| p.stretched >= strain);
        strain * whole.map(|p| p.e * p.ply.thickness.si()).sum::<f64>()
    };
    let first = plies.iter().map(|p| p.stretched).fold(f64::INFINITY, f64::min);
    let most = plies.iter().map(|p| carried(p.stretched)).fold(0.0, f64::max);
    (carried(first), most)
}

/// Moments per width at the first break of a ply, and the most that is carried as one ply after the other breaks.
fn breaking_moments(layers: &[Layer]) -> (f64, f64) {
    let mut left = layers.to_vec();
    let mut moments = Vec::new();
    while let Some((moment, broken)) = bend(&left).breaks {
        moments.push(moment);
        left[broken].e = 0.0;
    }
    let most = moments.iter().copied().fold(0.0, f64::max);
    (moments.first().copied().unwrap_or(0.0), most)
}

struct Bend {
    /// Neutral axis from the mould face.
    neutral: f64,
    stiffness: f64,
    /// Moment at which the first layer breaks, and which.
    breaks: Option<(f64, usize)>,
}

/// Layers bent about their common neutral axis; one without modulus fills its place and carries nothing.
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
    let (mut breaks, mut x) = (None, 0.0);
    for (i, l) in layers.iter().enumerate() {
        if let Some((stretched, pressed)) = l.breaks.filter(|_| l.e > 0.0) {
            for z in [x - neutral, x + l.t - neutral] {
                // Either sense of bending: each face is stretched in one and pressed in the other. A plate that can not
                // curl across is stressed by E/(1 - nu^2) times its strain, a test bar by E times it.
                let strain = stretched.min(pressed) * (1.0 - l.nu * l.nu);
                let moment = strain / z.abs() * stiffness;
                if z.abs() > 0.0 && breaks.is_none_or(|(least, _)| moment < least) {
                    breaks = Some((moment, i));
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

/// The elastic phase of E-glass, as the catalogue has it of chopped strand mat.
///
/// # Errors
/// None in practice; typed as [`Catalogue::get`].
pub fn e_glass() -> Result<Phase> {
    static READ: std::sync::OnceLock<Result<Phase>> = std::sync::OnceLock::new();
    READ.get_or_init(|| {
        let mat = Catalogue::generic().get("csm_450")?.reinforcement()?;
        let (Some(modulus), Some(poisson)) = (&mat.fibre_modulus, &mat.poisson_ratio) else {
            return Err(Error::new(ErrorKind::Document, "material.csm_450.reinforcement"));
        };
        Phase::new(modulus.value, poisson.value)
    })
    .clone()
}
