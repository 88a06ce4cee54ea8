//! Plies bonded into a laminate: stiffness, engineering constants, stresses, first ply failure, bow.
//!
//! Classical lamination theory (A. K. Kaw, *Mechanics of Composite Materials*, 2006, chapter 4): plane sections stay
//! plane, each ply under plane stress. `z` runs from the mould face (-h/2) to the laid-up face (+h/2); a positive
//! moment Mx stretches the laid-up face along x.

use std::collections::BTreeMap;

use crate::noun::{self, Noun, questions};

use super::lamina::{
    Criterion, PlyMaterial, ReserveFactors, factors, rotate, strain_from_ply, strain_to_ply, stress_to_ply,
};
use super::matrix::{self, M3, V3, ZERO, add, apply, combine};
use super::ply::no_plies;
use super::{ForcePerWidth, MomentPerWidth, join, sources};
use crate::check;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Angle, Index, Length, Pressure, Quantity, Strain, TemperatureInterval, show};
use crate::source::Why;

/// A ply in its place.
#[derive(Clone, PartialEq, Noun)]
pub struct Ply {
    /// What it is called in answers.
    pub name: String,
    /// What it is made of.
    pub material: PlyMaterial,
    /// Its thickness.
    #[noun(within = crate::ranges::PLY_THICKNESS)]
    pub thickness: Length,
    /// From laminate axis x to its own axis 1.
    #[noun(default = "0 deg", within = crate::ranges::PLY_ANGLE)]
    pub angle: Angle,
}

/// Three forces per width.
#[derive(Clone, Copy, PartialEq, Default, Noun)]
pub struct ForcesPerWidth {
    /// Along x.
    #[noun(default = "0 N/m", within = crate::ranges::FORCE_PER_WIDTH)]
    pub x: ForcePerWidth,
    /// Along y.
    #[noun(default = "0 N/m", within = crate::ranges::FORCE_PER_WIDTH)]
    pub y: ForcePerWidth,
    /// Shear.
    #[noun(default = "0 N/m", within = crate::ranges::FORCE_PER_WIDTH)]
    pub xy: ForcePerWidth,
}

/// Three moments per width ("2 N*m/m" or "2 N").
#[derive(Clone, Copy, PartialEq, Default, Noun)]
pub struct MomentsPerWidth {
    /// Bending along x, positive stretching the laid-up face.
    #[noun(default = "0 N", within = crate::ranges::MOMENT_PER_WIDTH)]
    pub x: MomentPerWidth,
    /// Bending along y.
    #[noun(default = "0 N", within = crate::ranges::MOMENT_PER_WIDTH)]
    pub y: MomentPerWidth,
    /// Twist.
    #[noun(default = "0 N", within = crate::ranges::MOMENT_PER_WIDTH)]
    pub xy: MomentPerWidth,
}

/// What a laminate is under.
#[derive(Clone, Copy, PartialEq, Default, Noun)]
pub struct Load {
    /// Force per width: Nx, Ny, Nxy.
    #[noun(default)]
    pub force: ForcesPerWidth,
    /// Moment per width: Mx, My, Mxy, positive stretching the laid-up face.
    #[noun(default)]
    pub moment: MomentsPerWidth,
    /// Transverse shear force per width along x, Vx = dMx/dx, for interlaminar shear.
    #[noun(default = "0 N/m", within("-1e12 N/m", "1e12 N/m", "for example '800 N/m'"))]
    pub shear: ForcePerWidth,
    /// Temperature minus the stress-free temperature (the peak of cure or post-cure): negative after cooling.
    #[noun(
        default = "0 K",
        within("-3000 K", "3000 K", "cooling by 60 K is '-60 delta_degC'")
    )]
    pub temperature_change: TemperatureInterval,
    /// Whether the cure shrinkage of the plies' materials acts.
    #[noun(default)]
    pub cured: bool,
}

/// Where in a ply.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum PlyPlace {
    /// At its face towards the mould.
    MouldSide,
    /// In its middle.
    Middle,
    /// At its face away from the mould.
    LaidSide,
}

/// Stress and strain at a place of a ply. Arrays hold x, y, xy or 1, 2, 12.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyState {
    /// The ply, counted from 0 at the mould face.
    pub ply: usize,
    /// Its name.
    pub name: String,
    /// Where in it.
    pub place: PlyPlace,
    /// Height over the middle of the stack, m.
    pub z_m: f64,
    /// Whole strain in laminate axes.
    pub strain: [f64; 3],
    /// Stress in laminate axes, Pa.
    #[noun(name = "stress_Pa")]
    pub stress_pa: [f64; 3],
    /// Stress in ply axes, Pa.
    #[noun(name = "ply_stress_Pa")]
    pub ply_stress_pa: [f64; 3],
    /// Strain that causes stress (whole less free strain), in ply axes.
    pub ply_strain: [f64; 3],
    /// By how much the loads can grow; `None` where the ply has no strengths.
    pub reserve: Option<ReserveFactors>,
}

/// The ply that fails first, by one criterion.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FirstPlyFailure {
    /// The criterion.
    pub criterion: Criterion,
    /// The ply, counted from 0 at the mould face.
    pub ply: usize,
    /// Its name.
    pub name: String,
    /// Where in it.
    pub place: PlyPlace,
    /// What the loads are to be multiplied by.
    pub factor: f64,
}

/// A layer with a strain to crack, against its strain.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CrackCheck {
    /// The ply, counted from 0 at the mould face.
    pub ply: usize,
    /// Its name.
    pub name: String,
    /// Largest principal strain that causes stress, at its worse face.
    pub strain: Strain,
    /// Strain at which it cracks.
    pub strain_to_crack: Strain,
    /// Whether it cracks.
    pub cracks: bool,
}

/// Interlaminar shear under a transverse force.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct InterlaminarShear {
    /// τxz at each face between plies, from the mould face to the laid-up face, Pa.
    #[noun(name = "at_faces_Pa")]
    pub at_faces_pa: Vec<f64>,
    /// Largest |τxz| anywhere, Pa.
    #[noun(name = "largest_Pa")]
    pub largest_pa: f64,
    /// The ply it is in, counted from 0 at the mould face.
    pub ply: usize,
    /// Least interlaminar strength over stress, by each ply's largest stress, where strengths are known.
    pub reserve: Option<f64>,
}

/// What a laminate does under a [`Load`].
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Response {
    /// Strain of the middle of the stack: x, y, xy.
    pub midplane_strain: [f64; 3],
    /// Curvature x, y, xy in 1/m; positive stretches the laid-up face.
    pub curvature_per_m: [f64; 3],
    /// Every ply at its two faces and its middle.
    pub plies: Vec<PlyState>,
    /// First ply failure by each criterion that some multiple of the loads reaches.
    pub first_ply_failure: Vec<FirstPlyFailure>,
    /// The layers with a strain to crack.
    pub cracks: Vec<CrackCheck>,
    /// Interlaminar shear, where a transverse force acts.
    pub interlaminar: Option<InterlaminarShear>,
}

impl Response {
    /// Sagitta of a wall of the given length bowed by this curvature along x: `w = κx L²/8`.
    ///
    /// Good to 1 % while w is below a tenth of the length.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a length not above zero.
    pub fn bow(&self, length: Length) -> Result<Length> {
        let l = check::positive("length", length)?;
        Length::from_si(self.curvature_per_m[0] * l * l / 8.0)
    }
}

/// The inverse of the stiffness: strain and curvature per force and moment.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct Compliance {
    /// Strain per force, m/N.
    #[noun(name = "a_m_per_N")]
    pub a_m_per_n: [[f64; 3]; 3],
    /// Strain per moment (row strain, column moment), 1/N.
    #[noun(name = "b_per_N")]
    pub b_per_n: [[f64; 3]; 3],
    /// Curvature per moment, 1/(N·m).
    #[noun(name = "d_per_N_m")]
    pub d_per_n_m: [[f64; 3]; 3],
}

/// Moduli of the stack taken as one material.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct EngineeringConstants {
    /// Modulus along x.
    pub ex: Pressure,
    /// Modulus along y.
    pub ey: Pressure,
    /// Shear modulus.
    pub gxy: Pressure,
    /// Contraction along y under stress along x.
    pub nuxy: Index,
}

/// Plies bonded into a laminate, with its stiffness.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    plies: Vec<Ply>,
    /// Faces, from -h/2 to h/2.
    z: Vec<f64>,
    qbar: Vec<M3>,
    a: M3,
    b: M3,
    d: M3,
    compliance: Compliance,
}

impl Stack {
    /// A stack from the mould face inward.
    ///
    /// `A = Σ Q̄ (z₂ - z₁)`, `B = 1/2 Σ Q̄ (z₂² - z₁²)`, `D = 1/3 Σ Q̄ (z₂³ - z₁³)`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for no ply, a thickness not above zero, or constants or strengths that no material
    /// can have; the field names the ply (`plies[1].material.elastic.nu12`).
    pub fn new(plies: Vec<Ply>) -> Result<Self> {
        if plies.is_empty() {
            return Err(no_plies());
        }
        noun::check(&plies).map_err(|e| e.within("plies"))?;
        let mut h = 0.0;
        let mut qbar = Vec::with_capacity(plies.len());
        for (i, p) in plies.iter().enumerate() {
            let elastic = &p.material.elastic;
            elastic
                .check()
                .map_err(|e| e.within(format_args!("plies[{i}].material.elastic")))?;
            h += p.thickness.si();
            qbar.push(rotate(&elastic.stiffness(), p.angle.si()));
        }
        let mut z = vec![-h / 2.0];
        for p in &plies {
            z.push(z[z.len() - 1] + p.thickness.si());
        }
        let (mut a, mut b, mut d) = (ZERO, ZERO, ZERO);
        for (k, q) in qbar.iter().enumerate() {
            // From each ply's middle, so that thin plies far out lose no digits.
            let (t, m) = (z[k + 1] - z[k], 0.5 * (z[k + 1] + z[k]));
            a = combine(&a, t, q);
            b = combine(&b, t * m, q);
            d = combine(&d, t * m * m + t * t * t / 12.0, q);
        }
        let compliance = invert(&a, &b, &d)?;
        Ok(Stack {
            plies,
            z,
            qbar,
            a,
            b,
            d,
            compliance,
        })
    }

    /// The plies, from the mould face.
    pub fn plies(&self) -> &[Ply] {
        &self.plies
    }
    /// Whole thickness.
    pub fn thickness(&self) -> Length {
        self.plies
            .iter()
            .map(|p| p.thickness)
            .fold(Length::default(), |a, b| a + b)
    }
    /// Stretching stiffness A, N/m.
    pub const fn a_n_per_m(&self) -> &[[f64; 3]; 3] {
        &self.a
    }
    /// Coupling stiffness B, N.
    pub const fn b_n(&self) -> &[[f64; 3]; 3] {
        &self.b
    }
    /// Bending stiffness D, N·m.
    pub const fn d_n_m(&self) -> &[[f64; 3]; 3] {
        &self.d
    }
    /// The inverse.
    pub const fn compliance(&self) -> &Compliance {
        &self.compliance
    }
    /// Rotated stiffness Q̄ of each ply, Pa.
    pub fn rotated_stiffness_pa(&self) -> &[[[f64; 3]; 3]] {
        &self.qbar
    }

    /// Whether stretching bends it: the largest |B| over √(A11 D11), above rounding.
    pub fn is_coupled(&self) -> bool {
        let largest = self.b.iter().flatten().fold(0.0f64, |m, x| m.max(x.abs()));
        largest > 1e-9 * (self.a[0][0] * self.d[0][0]).sqrt()
    }

    /// In-plane constants of the stack free to bend: `Ex = 1/(h a11)`, `νxy = -a12/a11`, a the inverse's.
    ///
    /// # Errors
    /// None for a stack that was built; typed as [`Quantity::from_si`].
    pub fn in_plane(&self) -> Result<EngineeringConstants> {
        constants(&self.compliance.a_m_per_n, 1.0 / self.thickness().si())
    }

    /// Flexural constants: `Ex = 12/(h³ d11)`, `νxy = -d12/d11`, d the inverse's.
    ///
    /// # Errors
    /// As [`Stack::in_plane`].
    pub fn flexural(&self) -> Result<EngineeringConstants> {
        constants(&self.compliance.d_per_n_m, 12.0 / self.thickness().si().powi(3))
    }

    /// Strain, stress, failure and cracking under a load.
    ///
    /// The loads grow in the reserve factors; the stresses of cooling and cure stay as they are.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a load out of range.
    pub fn respond(&self, load: &Load) -> Result<Response> {
        noun::check(load)?;
        let (f, m) = (&load.force, &load.moment);
        let by_load = self.deform(
            [f.x, f.y, f.xy].map(Quantity::si),
            [m.x, m.y, m.xy].map(Quantity::si),
        );
        let free: Vec<V3> = self
            .plies
            .iter()
            .map(|p| {
                strain_from_ply(
                    p.material.free_strain(load.temperature_change.si(), load.cured),
                    p.angle.si(),
                )
            })
            .collect();
        let by_free = self.deform_by_free(&free);
        let mut states = Vec::with_capacity(3 * self.plies.len());
        let mut cracks: Vec<CrackCheck> = Vec::new();
        for (k, p) in self.plies.iter().enumerate() {
            let worst = self.states_of(k, by_load, by_free, free[k], &mut states);
            if let Some(limit) = p.material.strain_to_crack {
                cracks.push(CrackCheck {
                    ply: k,
                    name: p.name.clone(),
                    strain: Strain::new(worst.max(-1.0))?,
                    strain_to_crack: limit,
                    cracks: worst >= limit.get(),
                });
            }
        }
        let shear = load.shear.si();
        Ok(Response {
            midplane_strain: add(by_load.0, by_free.0),
            curvature_per_m: add(by_load.1, by_free.1),
            first_ply_failure: first_failures(&states),
            plies: states,
            cracks,
            interlaminar: (shear != 0.0).then(|| self.interlaminar(shear)),
        })
    }

    /// Middle strain and curvature by the plies' free strains, taken as forces that would hold the plies straight.
    fn deform_by_free(&self, free: &[V3]) -> (V3, V3) {
        let (mut nf, mut mf) = ([0.0; 3], [0.0; 3]);
        for (k, q) in self.qbar.iter().enumerate() {
            let s = apply(q, free[k]);
            let (t, mid) = (self.z[k + 1] - self.z[k], 0.5 * (self.z[k + 1] + self.z[k]));
            for i in 0..3 {
                nf[i] += s[i] * t;
                mf[i] += s[i] * t * mid;
            }
        }
        self.deform(nf, mf)
    }

    /// Adds a ply's states at its faces and middle; gives its largest principal strain that causes stress.
    fn states_of(
        &self,
        k: usize,
        (e_load, k_load): (V3, V3),
        (e_free, k_free): (V3, V3),
        free: V3,
        states: &mut Vec<PlyState>,
    ) -> f64 {
        let p = &self.plies[k];
        let angle = p.angle.si();
        let mut worst = f64::NEG_INFINITY;
        for place in [PlyPlace::MouldSide, PlyPlace::Middle, PlyPlace::LaidSide] {
            let z = match place {
                PlyPlace::MouldSide => self.z[k],
                PlyPlace::Middle => 0.5 * (self.z[k] + self.z[k + 1]),
                PlyPlace::LaidSide => self.z[k + 1],
            };
            let by_load = along(e_load, k_load, z);
            let by_free = along(e_free, k_free, z);
            let residual = [0, 1, 2].map(|i| by_free[i] - free[i]);
            let stressing = add(by_load, residual);
            let stress = apply(&self.qbar[k], stressing);
            let reserve = p.material.strengths.as_ref().map(|x| {
                factors(
                    &p.material.elastic,
                    &x.si(),
                    stress_to_ply(apply(&self.qbar[k], by_load), angle),
                    stress_to_ply(apply(&self.qbar[k], residual), angle),
                )
            });
            worst = worst.max(principal(stressing));
            states.push(PlyState {
                ply: k,
                name: p.name.clone(),
                place,
                z_m: z,
                strain: add(by_load, by_free),
                stress_pa: stress,
                ply_stress_pa: stress_to_ply(stress, angle),
                ply_strain: strain_to_ply(stressing, angle),
                reserve,
            });
        }
        worst
    }

    /// Middle strain and curvature under forces and moments per width.
    fn deform(&self, n: V3, m: V3) -> (V3, V3) {
        let c = &self.compliance;
        (
            add(apply(&c.a_m_per_n, n), apply(&c.b_per_n, m)),
            add(apply(&matrix::transpose(&c.b_per_n), n), apply(&c.d_per_n_m, m)),
        )
    }

    /// τxz(z) = -∫ ∂σx/∂x dz from the mould face, with ∂Mx/∂x = V and no other load varying along x.
    fn interlaminar(&self, v: f64) -> InterlaminarShear {
        let (e, k) = self.deform([0.0; 3], [v, 0.0, 0.0]);
        let mut tau = 0.0;
        let mut at_faces = vec![0.0];
        let (mut largest, mut in_ply) = (0.0f64, 0);
        let mut reserve: Option<f64> = None;
        for (i, q) in self.qbar.iter().enumerate() {
            let slope = |z: f64| -> f64 { apply(q, along(e, k, z))[0] };
            let (z1, z2) = (self.z[i], self.z[i + 1]);
            let (s1, s2) = (slope(z1), slope(z2));
            let mut here = tau;
            let end = tau - 0.5 * (s1 + s2) * (z2 - z1);
            let mut most = f64::max(tau.abs(), end.abs());
            // The stress slope is linear in a ply: shear has its extremum where the slope is zero.
            if s1 * s2 < 0.0 {
                let f = s1 / (s1 - s2);
                here -= 0.5 * s1 * f * (z2 - z1);
                most = most.max(here.abs());
            }
            tau = end;
            at_faces.push(tau);
            if most > largest {
                (largest, in_ply) = (most, i);
            }
            if let Some(s) = self.plies[i].material.interlaminar
                && most > 0.0
            {
                let r = s.si() / most;
                reserve = Some(reserve.map_or(r, |x: f64| x.min(r)));
            }
        }
        InterlaminarShear {
            at_faces_pa: at_faces,
            largest_pa: largest,
            ply: in_ply,
            reserve,
        }
    }

    /// How the stack's in-plane modulus along x was computed.
    ///
    /// # Errors
    /// As [`Stack::in_plane`].
    pub fn why(&self) -> Result<Why> {
        let c = self.in_plane()?;
        Ok(Why::computed(
            "in-plane modulus of the stack along x",
            show(c.ex),
            "Ex = 1/(h a11), a from the inverse of [A B; B D]",
            self.plies
                .iter()
                .map(|p| {
                    Why::given(
                        format!("{}, {} at {}", p.name, show(p.thickness), show(p.angle)),
                        format!(
                            "E1 {}, E2 {}",
                            show(p.material.elastic.e1),
                            show(p.material.elastic.e2)
                        ),
                    )
                })
                .collect(),
        )
        .with_source(&sources::kaw("chapter 4, equations 4.28 to 4.31")))
    }
}

/// By each criterion the ply that fails first.
fn first_failures(states: &[PlyState]) -> Vec<FirstPlyFailure> {
    Criterion::ALL
        .into_iter()
        .filter_map(|c| {
            states
                .iter()
                .filter_map(|s| s.reserve.and_then(|r| r.by(c)).map(|f| (f, s)))
                .min_by(|x, y| x.0.total_cmp(&y.0))
                .map(|(factor, s)| FirstPlyFailure {
                    criterion: c,
                    ply: s.ply,
                    name: s.name.clone(),
                    place: s.place,
                    factor,
                })
        })
        .collect()
}

fn along(e: V3, k: V3, z: f64) -> V3 {
    [e[0] + z * k[0], e[1] + z * k[1], e[2] + z * k[2]]
}

/// Largest principal strain in the plane.
fn principal(s: V3) -> f64 {
    0.5 * (s[0] + s[1]) + (0.25 * (s[0] - s[1]).powi(2) + 0.25 * s[2] * s[2]).sqrt()
}

fn constants(c: &M3, per: f64) -> Result<EngineeringConstants> {
    Ok(EngineeringConstants {
        ex: Pressure::from_si(per / c[0][0])?,
        ey: Pressure::from_si(per / c[1][1])?,
        gxy: Pressure::from_si(per / c[2][2])?,
        nuxy: Index::new(-c[0][1] / c[0][0])?,
    })
}

/// The inverse of [A B; B D] by blocks: `d = (D - B A⁻¹ B)⁻¹`, `b = -A⁻¹ B d`, `a = A⁻¹ - b B A⁻¹`.
fn invert(a: &M3, b: &M3, d: &M3) -> Result<Compliance> {
    let singular = || {
        Error::new(ErrorKind::NotFinite, "plies")
            .with_value("the inverse of the stiffness")
            .with_way_out("check thicknesses and moduli for a value of the wrong magnitude")
    };
    let ai = matrix::inverse(a).ok_or_else(singular)?;
    let aib = matrix::times(&ai, b);
    let dd = matrix::inverse(&combine(d, -1.0, &matrix::times(b, &aib))).ok_or_else(singular)?;
    let bb = matrix::scale(&matrix::times(&aib, &dd), -1.0);
    let aa = combine(&ai, -1.0, &matrix::times(&bb, &matrix::transpose(&aib)));
    if [aa, bb, dd].iter().flatten().flatten().all(|x| x.is_finite()) {
        Ok(Compliance {
            a_m_per_n: aa,
            b_per_n: bb,
            d_per_n_m: dd,
        })
    } else {
        Err(singular())
    }
}

/// A ply of a stack, by the name of its material.
#[derive(Clone, PartialEq, Noun)]
pub struct StackPly {
    /// Name of the material.
    pub material: String,
    /// Its thickness.
    #[noun(within = crate::ranges::PLY_THICKNESS)]
    pub thickness: Length,
    /// From x to its axis 1.
    #[noun(default = "0 deg", within = crate::ranges::PLY_ANGLE)]
    pub angle: Angle,
}

/// A laminate and what it is under. Plies are listed from the mould face.
#[derive(Clone, PartialEq, Noun)]
pub struct LoadedStack {
    /// The materials by name.
    pub materials: BTreeMap<String, PlyMaterial>,
    /// The plies from the mould face.
    pub plies: Vec<StackPly>,
    /// What it is under.
    #[noun(flat)]
    pub load: Load,
    /// Length of the wall, for its bow.
    #[noun(within("1 nm", "1 km", "give a length above zero: '300 mm'"))]
    pub length: Option<Length>,
}

/// What a laminate is and does.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct StackBehaviour {
    /// Whole thickness.
    pub thickness: Length,
    /// Stretching stiffness A.
    #[noun(name = "a_N_per_m")]
    pub a_n_per_m: [[f64; 3]; 3],
    /// Coupling stiffness B.
    #[noun(name = "b_N")]
    pub b_n: [[f64; 3]; 3],
    /// Bending stiffness D.
    #[noun(name = "d_N_m")]
    pub d_n_m: [[f64; 3]; 3],
    /// The inverse.
    pub compliance: Compliance,
    /// Whether stretching bends it.
    pub coupled: bool,
    /// In-plane moduli of the whole.
    pub in_plane: EngineeringConstants,
    /// Flexural moduli of the whole.
    pub flexural: EngineeringConstants,
    /// Strain, stress, failure and cracking.
    pub response: Response,
    /// Bow along x over the length given.
    pub bow: Option<Length>,
    /// What was given and has no effect here, if anything has none.
    pub without_effect: Option<String>,
    /// How the in-plane modulus was computed.
    pub why: Why,
}

#[questions]
impl LoadedStack {
    /// Lamination theory: A, B, D and inverse, engineering constants, ply stresses under loads, cooling and cure, first
    /// ply failure, cracking of the gel coat, interlaminar shear, bow.
    ///
    /// Source: A. K. Kaw, *Mechanics of Composite Materials* (2006), chapter 4.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range and no ply; [`ErrorKind::UnknownName`] for a ply of a material
    /// that is not there; [`ErrorKind::Inconsistent`] for cooling or cure where no material expands or shrinks.
    #[question("laminate.stack")]
    pub fn behaviour(&self) -> Result<StackBehaviour> {
        noun::check(self)?;
        let stack = Stack::new(self.named_plies()?)?;
        self.acts(&stack)?;
        let response = stack.respond(&self.load)?;
        Ok(StackBehaviour {
            thickness: stack.thickness(),
            a_n_per_m: *stack.a_n_per_m(),
            b_n: *stack.b_n(),
            d_n_m: *stack.d_n_m(),
            compliance: *stack.compliance(),
            coupled: stack.is_coupled(),
            in_plane: stack.in_plane()?,
            flexural: stack.flexural()?,
            bow: self.length.map(|l| response.bow(l)).transpose()?,
            without_effect: self.without_effect(&stack),
            why: stack.why()?,
            response,
        })
    }

    /// The plies with their materials.
    fn named_plies(&self) -> Result<Vec<Ply>> {
        let mut plies = Vec::with_capacity(self.plies.len());
        for (i, p) in self.plies.iter().enumerate() {
            let Some(material) = self.materials.get(&p.material) else {
                return Err(Error::unknown_name(
                    format!("plies[{i}].material"),
                    &p.material,
                    self.materials.keys().map(String::as_str),
                ));
            };
            plies.push(Ply {
                name: p.material.clone(),
                material: material.clone(),
                thickness: p.thickness,
                angle: p.angle,
            });
        }
        Ok(plies)
    }

    /// Refuses cooling and cure that do nothing.
    fn acts(&self, stack: &Stack) -> Result<()> {
        if self.load.temperature_change.si() != 0.0 && !stack.plies.iter().any(|p| p.material.expands()) {
            return Err(Error::inconsistent(
                "temperature_change",
                show(self.load.temperature_change),
                "with a material that expands",
                "give a ply's material its expansion1, for example '70e-6 1/K', or leave the change out",
            ));
        }
        if self.load.cured && !stack.plies.iter().any(|p| p.material.shrinks()) {
            return Err(Error::inconsistent(
                "cured",
                true,
                "with a material that shrinks",
                "give a ply's material its shrinkage1, for example '0.5 %', or leave 'cured' out",
            ));
        }
        Ok(())
    }

    fn without_effect(&self, stack: &Stack) -> Option<String> {
        let mut remarks: Vec<String> = self
            .materials
            .keys()
            .filter(|name| !self.plies.iter().any(|p| p.material == **name))
            .map(|name| format!("materials.{name}: no ply is made of it"))
            .collect();
        let any = |of: fn(&PlyMaterial) -> bool| stack.plies.iter().any(|p| of(&p.material));
        let load = &self.load;
        if load.temperature_change.si() == 0.0 && any(PlyMaterial::expands) {
            remarks.push("expansion: no temperature_change is given".to_owned());
        }
        if !load.cured && any(PlyMaterial::shrinks) {
            remarks.push("shrinkage: 'cured' is not set".to_owned());
        }
        if load.shear.si() == 0.0 && any(|m| m.interlaminar.is_some()) {
            remarks.push("interlaminar: no transverse shear is given".to_owned());
        }
        join(remarks)
    }
}
