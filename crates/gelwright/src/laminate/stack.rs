//! Plies bonded into a laminate: stiffness, engineering constants, stresses, first ply failure, bow.
//!
//! Classical lamination theory (A. K. Kaw, *Mechanics of Composite Materials*, 2006, chapter 4): plane sections stay
//! plane, each ply under plane stress. `z` runs from the mould face (-h/2) to the laid-up face (+h/2); a positive
//! moment Mx stretches the laid-up face along x.

use crate::noun::Noun;

use super::lamina::{
    Criterion, PlyMaterial, ReserveFactors, factors, rotate, strain_from_ply, strain_to_ply, stress_to_ply,
};
use super::matrix::{self, M3, V3, ZERO, add, apply, combine};
use super::ply::no_plies;
use super::{ForcePerWidth, MomentPerWidth, check, sources};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{Angle, Index, Length, Pressure, Quantity, Strain, TemperatureInterval, show};
use crate::source::Why;

/// A ply in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Ply {
    /// What it is called in answers.
    pub name: String,
    /// What it is made of.
    pub material: PlyMaterial,
    /// Its thickness.
    pub thickness: Length,
    /// From laminate axis x to its own axis 1.
    pub angle: Angle,
}

/// What a laminate is under.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// Nx, Ny, Nxy: force per width.
    pub force: [ForcePerWidth; 3],
    /// Mx, My, Mxy: moment per width, positive stretching the laid-up face.
    pub moment: [MomentPerWidth; 3],
    /// Transverse shear force per width Vx = dMx/dx, for interlaminar shear.
    pub shear: ForcePerWidth,
    /// Temperature minus the stress-free temperature (the peak of cure or post-cure): negative after cooling.
    pub temperature_change: TemperatureInterval,
    /// Whether the plies' cure shrinkage acts.
    pub cured: bool,
}

/// Where in a ply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum Place {
    /// At its face towards the mould.
    MouldSide,
    /// In its middle.
    Middle,
    /// At its face away from the mould.
    LaidSide,
}

/// Stress and strain at a place of a ply. Arrays hold x, y, xy or 1, 2, 12.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyState {
    /// The ply, counted from 0 at the mould face.
    pub ply: usize,
    /// Its name.
    pub name: String,
    /// Where in it.
    pub place: Place,
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
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FirstPlyFailure {
    /// The criterion.
    pub criterion: Criterion,
    /// The ply, counted from 0 at the mould face.
    pub ply: usize,
    /// Its name.
    pub name: String,
    /// Where in it.
    pub place: Place,
    /// What the loads are to be multiplied by.
    pub factor: f64,
}

/// A layer with a strain to crack, against its strain.
#[derive(Debug, Clone, PartialEq, Noun)]
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
#[derive(Debug, Clone, PartialEq, Noun)]
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
#[derive(Debug, Clone, PartialEq, Noun)]
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
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
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
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct Constants {
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
    /// can have; the field names the ply (`plies[1].elastic.nu12`).
    pub fn new(plies: Vec<Ply>) -> Result<Self> {
        if plies.is_empty() {
            return Err(no_plies());
        }
        let mut h = 0.0;
        let mut qbar = Vec::with_capacity(plies.len());
        for (i, p) in plies.iter().enumerate() {
            let within = |e: Error| e.within(format_args!("plies[{i}]"));
            p.material.check().map_err(within)?;
            h += check::positive("thickness", p.thickness).map_err(within)?;
            let angle = finite("angle", p.angle.si()).map_err(within)?;
            let q = p.material.elastic.reduced_stiffness().map_err(within)?;
            qbar.push(rotate(&q, angle));
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
    pub fn in_plane(&self) -> Result<Constants> {
        constants(&self.compliance.a_m_per_n, 1.0 / self.thickness().si())
    }

    /// Flexural constants: `Ex = 12/(h³ d11)`, `νxy = -d12/d11`, d the inverse's.
    ///
    /// # Errors
    /// As [`Stack::in_plane`].
    pub fn flexural(&self) -> Result<Constants> {
        constants(&self.compliance.d_per_n_m, 12.0 / self.thickness().si().powi(3))
    }

    /// Strain, stress, failure and cracking under a load.
    ///
    /// The loads grow in the reserve factors; the stresses of cooling and cure stay as they are.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`] for a load that is not finite.
    pub fn respond(&self, load: &Load) -> Result<Response> {
        let mut n = [0.0; 3];
        let mut m = [0.0; 3];
        for i in 0..3 {
            n[i] = finite("force", load.force[i].si())?;
            m[i] = finite("moment", load.moment[i].si())?;
        }
        let kelvin = finite("temperature_change", load.temperature_change.si())?;
        let shear = finite("shear", load.shear.si())?;
        let (e_load, k_load) = self.deform(n, m);

        // Free strains as forces that would hold the plies straight.
        let free: Vec<V3> = self
            .plies
            .iter()
            .map(|p| strain_from_ply(p.material.free_strain(kelvin, load.cured), p.angle.si()))
            .collect();
        let (mut nf, mut mf) = ([0.0; 3], [0.0; 3]);
        for (k, q) in self.qbar.iter().enumerate() {
            let s = apply(q, free[k]);
            let (t, mid) = (self.z[k + 1] - self.z[k], 0.5 * (self.z[k + 1] + self.z[k]));
            for i in 0..3 {
                nf[i] += s[i] * t;
                mf[i] += s[i] * t * mid;
            }
        }
        let (e_free, k_free) = self.deform(nf, mf);

        let mut states = Vec::with_capacity(3 * self.plies.len());
        let mut cracks: Vec<CrackCheck> = Vec::new();
        for (k, p) in self.plies.iter().enumerate() {
            let angle = p.angle.si();
            let strengths = p.material.strengths.as_ref().map(|s| {
                [s.tension1, s.compression1, s.tension2, s.compression2, s.shear12].map(Quantity::si)
            });
            let mut worst = f64::NEG_INFINITY;
            for place in [Place::MouldSide, Place::Middle, Place::LaidSide] {
                let z = match place {
                    Place::MouldSide => self.z[k],
                    Place::Middle => 0.5 * (self.z[k] + self.z[k + 1]),
                    Place::LaidSide => self.z[k + 1],
                };
                let by_load = along(e_load, k_load, z);
                let by_free = along(e_free, k_free, z);
                let residual = [0, 1, 2].map(|i| by_free[i] - free[k][i]);
                let stressing = add(by_load, residual);
                let stress = apply(&self.qbar[k], stressing);
                let reserve = match &strengths {
                    None => None,
                    Some(x) => Some(factors(
                        &p.material.elastic,
                        x,
                        stress_to_ply(apply(&self.qbar[k], by_load), angle),
                        stress_to_ply(apply(&self.qbar[k], residual), angle),
                    )?),
                };
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
        let first_ply_failure = Criterion::ALL
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
            .collect();
        Ok(Response {
            midplane_strain: add(e_load, e_free),
            curvature_per_m: add(k_load, k_free),
            plies: states,
            first_ply_failure,
            cracks,
            interlaminar: (shear != 0.0).then(|| self.interlaminar(shear)),
        })
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

fn along(e: V3, k: V3, z: f64) -> V3 {
    [e[0] + z * k[0], e[1] + z * k[1], e[2] + z * k[2]]
}

/// Largest principal strain in the plane.
fn principal(s: V3) -> f64 {
    0.5 * (s[0] + s[1]) + (0.25 * (s[0] - s[1]).powi(2) + 0.25 * s[2] * s[2]).sqrt()
}

fn constants(c: &M3, per: f64) -> Result<Constants> {
    Ok(Constants {
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
