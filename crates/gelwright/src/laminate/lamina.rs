//! One ply under plane stress: its constants, its stiffness at an angle, and when it fails.

use crate::noun::{self, Noun, questions};

use super::matrix::{M3, V3, ZERO};
use super::micro::Phase;
use super::sources;
use crate::error::{Error, Result, finite};
use crate::quantity::{Angle, Index, Pressure, Quantity, Strain, TemperatureCoefficient, show};
use crate::source::{Source, Why};

/// Elastic constants of a ply in its own axes: 1 along the fibre (or the warp), 2 across, in the plane.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct Elastic {
    /// Young's modulus along 1.
    #[noun(within = crate::ranges::MODULUS)]
    pub e1: Pressure,
    /// Young's modulus along 2.
    #[noun(within = crate::ranges::MODULUS)]
    pub e2: Pressure,
    /// Poisson's ratio: contraction along 2 under stress along 1.
    pub nu12: Index,
    /// In-plane shear modulus.
    #[noun(within = crate::ranges::MODULUS)]
    pub g12: Pressure,
}

impl Elastic {
    /// From the four constants.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless the moduli are above zero and
    /// `|ν12| < √(E1/E2)`: otherwise the stiffness is not positive definite and the ply would yield energy.
    pub fn new(e1: Pressure, e2: Pressure, nu12: Index, g12: Pressure) -> Result<Self> {
        let e = Elastic { e1, e2, nu12, g12 };
        e.sound()?;
        Ok(e)
    }

    /// An isotropic material: G = E/(2 (1 + ν)).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless E > 0 and -1 < ν < 0.5.
    pub fn isotropic(modulus: Pressure, poisson: Index) -> Result<Self> {
        let phase = Phase::new(modulus, poisson)?;
        Ok(Elastic {
            e1: modulus,
            e2: modulus,
            nu12: poisson,
            g12: phase.shear(),
        })
    }

    /// Refuses a Poisson's ratio that no material with these moduli can have; see [`Elastic::new`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange), naming the limit.
    pub fn check(&self) -> Result<()> {
        let (e1, e2) = (self.e1.si(), self.e2.si());
        let nu = self.nu12.get();
        if 1.0 - nu * nu * e2 / e1 > 1e-12 {
            Ok(())
        } else {
            let limit = (e1 / e2).sqrt();
            Err(Error::out_of_range(
                "nu12",
                show(self.nu12),
                format!("within ±{limit:.4} (= sqrt(E1/E2)), so that the stiffness is positive definite"),
                "nu12 goes with stress along 1; if yours is nu21, write nu12 = nu21 E1/E2",
            ))
        }
    }

    /// Ranges and Poisson's ratio.
    pub(super) fn sound(&self) -> Result<()> {
        noun::check(self)?;
        self.check()
    }

    /// The other Poisson's ratio, `ν21 = ν12 E2/E1`.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`](crate::ErrorKind::NotFinite) for constants that fail [`Elastic::check`].
    pub fn nu21(&self) -> Result<Index> {
        Index::new(self.nu12.get() * self.e2.si() / self.e1.si())
    }

    /// The reduced stiffness Q in Pa: `Q11 = E1/(1 - ν12 ν21)`, `Q22 = E2/(1 - ν12 ν21)`,
    /// `Q12 = ν12 E2/(1 - ν12 ν21)`, `Q66 = G12`.
    ///
    /// # Errors
    /// As [`Elastic::new`].
    pub fn reduced_stiffness(&self) -> Result<[[f64; 3]; 3]> {
        self.sound()?;
        Ok(self.stiffness())
    }

    /// The same of constants that were checked.
    pub(super) fn stiffness(&self) -> M3 {
        let (e1, e2, nu12, g) = (self.e1.si(), self.e2.si(), self.nu12.get(), self.g12.si());
        let d = 1.0 - nu12 * nu12 * e2 / e1;
        [
            [e1 / d, nu12 * e2 / d, 0.0],
            [nu12 * e2 / d, e2 / d, 0.0],
            [0.0, 0.0, g],
        ]
    }

    /// The reduced stiffness Q̄ in Pa in laminate axes, for a ply whose axis 1 lies at `angle` from x
    /// (A. K. Kaw, *Mechanics of Composite Materials*, 2006, section 2.5).
    ///
    /// # Errors
    /// As [`Elastic::new`].
    pub fn rotated_stiffness(&self, angle: Angle) -> Result<[[f64; 3]; 3]> {
        Ok(rotate(&self.reduced_stiffness()?, finite("angle", angle.si())?))
    }
}

/// Q̄ from Q at an angle in radians.
pub(super) fn rotate(q: &M3, angle: f64) -> M3 {
    let (s, c) = angle.sin_cos();
    let (c2, s2, cs) = (c * c, s * s, c * s);
    let (q11, q12, q22, q66) = (q[0][0], q[0][1], q[1][1], q[2][2]);
    let mut o = ZERO;
    o[0][0] = q11 * c2 * c2 + q22 * s2 * s2 + 2.0 * (q12 + 2.0 * q66) * c2 * s2;
    o[1][1] = q11 * s2 * s2 + q22 * c2 * c2 + 2.0 * (q12 + 2.0 * q66) * c2 * s2;
    o[0][1] = (q11 + q22 - 4.0 * q66) * c2 * s2 + q12 * (c2 * c2 + s2 * s2);
    o[2][2] = (q11 + q22 - 2.0 * q12 - 2.0 * q66) * c2 * s2 + q66 * (c2 * c2 + s2 * s2);
    o[0][2] = (q11 - q12 - 2.0 * q66) * cs * c2 - (q22 - q12 - 2.0 * q66) * cs * s2;
    o[1][2] = (q11 - q12 - 2.0 * q66) * cs * s2 - (q22 - q12 - 2.0 * q66) * cs * c2;
    o[1][0] = o[0][1];
    o[2][0] = o[0][2];
    o[2][1] = o[1][2];
    o
}

/// Stress from laminate axes to ply axes at an angle in radians.
pub(super) fn stress_to_ply(v: V3, angle: f64) -> V3 {
    let (s, c) = angle.sin_cos();
    [
        c * c * v[0] + s * s * v[1] + 2.0 * c * s * v[2],
        s * s * v[0] + c * c * v[1] - 2.0 * c * s * v[2],
        -c * s * v[0] + c * s * v[1] + (c * c - s * s) * v[2],
    ]
}

/// Engineering strain from laminate axes to ply axes at an angle in radians.
pub(super) fn strain_to_ply(v: V3, angle: f64) -> V3 {
    let t = stress_to_ply([v[0], v[1], v[2] / 2.0], angle);
    [t[0], t[1], 2.0 * t[2]]
}

/// Engineering strain from ply axes to laminate axes.
pub(super) fn strain_from_ply(v: V3, angle: f64) -> V3 {
    strain_to_ply(v, -angle)
}

/// Strengths of a ply in its own axes, all written as positive numbers.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Strengths {
    /// Tension along 1.
    #[noun(within = crate::ranges::STRENGTH)]
    pub tension1: Pressure,
    /// Compression along 1, positive.
    #[noun(within = crate::ranges::STRENGTH)]
    pub compression1: Pressure,
    /// Tension along 2.
    #[noun(within = crate::ranges::STRENGTH)]
    pub tension2: Pressure,
    /// Compression along 2, positive.
    #[noun(within = crate::ranges::STRENGTH)]
    pub compression2: Pressure,
    /// In-plane shear.
    #[noun(within = crate::ranges::STRENGTH)]
    pub shear12: Pressure,
}

impl Strengths {
    /// The same in every direction: a mat, a filled resin, a gel coat.
    pub const fn isotropic(tension: Pressure, compression: Pressure, shear: Pressure) -> Self {
        Strengths {
            tension1: tension,
            compression1: compression,
            tension2: tension,
            compression2: compression,
            shear12: shear,
        }
    }

    pub(super) fn si(&self) -> [f64; 5] {
        [
            self.tension1,
            self.compression1,
            self.tension2,
            self.compression2,
            self.shear12,
        ]
        .map(Quantity::si)
    }
}

/// What a ply is made of.
#[derive(Clone, PartialEq, Noun)]
pub struct PlyMaterial {
    /// Elastic constants.
    pub elastic: Elastic,
    /// Strengths, where failure is asked for.
    pub strengths: Option<Strengths>,
    /// Thermal expansion along 1.
    #[noun(within = crate::ranges::EXPANSION)]
    pub expansion1: Option<TemperatureCoefficient>,
    /// Thermal expansion along 2; as along 1 where not given.
    #[noun(within = crate::ranges::EXPANSION)]
    pub expansion2: Option<TemperatureCoefficient>,
    /// Free shrinkage on cure along 1, positive for shrinking.
    #[noun(within = crate::ranges::FREE_SHRINKAGE)]
    pub shrinkage1: Option<Strain>,
    /// Free shrinkage on cure along 2; as along 1 where not given.
    #[noun(within = crate::ranges::FREE_SHRINKAGE)]
    pub shrinkage2: Option<Strain>,
    /// Tensile strain at which it cracks (gel coat: its elongation at break).
    #[noun(within = crate::ranges::STRAIN_TO_CRACK)]
    pub strain_to_crack: Option<Strain>,
    /// Interlaminar shear strength.
    #[noun(within = crate::ranges::STRENGTH)]
    pub interlaminar: Option<Pressure>,
}

impl PlyMaterial {
    /// A material of which only the elastic constants are known.
    pub const fn of(elastic: Elastic) -> Self {
        PlyMaterial {
            elastic,
            strengths: None,
            expansion1: None,
            expansion2: None,
            shrinkage1: None,
            shrinkage2: None,
            strain_to_crack: None,
            interlaminar: None,
        }
    }

    /// Whether an expansion is known.
    pub(super) fn expands(&self) -> bool {
        self.expansion1.is_some() || self.expansion2.is_some()
    }

    /// Whether a cure shrinkage is known.
    pub(super) fn shrinks(&self) -> bool {
        self.shrinkage1.is_some() || self.shrinkage2.is_some()
    }

    /// Free strain in ply axes for a temperature change in K, with or without the cure shrinkage.
    pub(super) fn free_strain(&self, kelvin: f64, cured: bool) -> V3 {
        let a1 = self.expansion1.map_or(0.0, Quantity::si);
        let a2 = self.expansion2.map_or(a1, Quantity::si);
        let (s1, s2) = if cured {
            let s1 = self.shrinkage1.map_or(0.0, Strain::get);
            (s1, self.shrinkage2.map_or(s1, Strain::get))
        } else {
            (0.0, 0.0)
        };
        [a1 * kelvin - s1, a2 * kelvin - s2, 0.0]
    }
}

/// A failure criterion of a ply.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Noun)]
#[non_exhaustive]
pub enum Criterion {
    /// Each stress against its strength.
    MaximumStress,
    /// Each strain against strength over modulus.
    MaximumStrain,
    /// Azzi and Tsai's quadratic with the strength of the stress's own sign.
    TsaiHill,
    /// Tsai and Wu's quadratic, interaction F12* = -1/2.
    TsaiWu,
}

impl Criterion {
    /// All criteria.
    pub const ALL: [Criterion; 4] = [
        Criterion::MaximumStress,
        Criterion::MaximumStrain,
        Criterion::TsaiHill,
        Criterion::TsaiWu,
    ];

    /// Where it comes from.
    pub fn source(self) -> Source {
        match self {
            Criterion::MaximumStress => sources::kaw("section 2.8.1"),
            Criterion::MaximumStrain => sources::kaw("section 2.8.4"),
            Criterion::TsaiHill => sources::tsai_hill(),
            Criterion::TsaiWu => sources::tsai_wu(),
        }
    }
}

/// By how much the loads can grow until a ply fails, by each criterion.
///
/// 1 is failure, 2 is half way; `None` where no multiple of the loads fails it; 0 where the residual stresses alone
/// fail it.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct ReserveFactors {
    /// By maximum stress.
    pub maximum_stress: Option<f64>,
    /// By maximum strain.
    pub maximum_strain: Option<f64>,
    /// By Tsai-Hill.
    pub tsai_hill: Option<f64>,
    /// By Tsai-Wu.
    pub tsai_wu: Option<f64>,
}

impl ReserveFactors {
    /// By one criterion.
    pub const fn by(&self, criterion: Criterion) -> Option<f64> {
        match criterion {
            Criterion::MaximumStress => self.maximum_stress,
            Criterion::MaximumStrain => self.maximum_strain,
            Criterion::TsaiHill => self.tsai_hill,
            Criterion::TsaiWu => self.tsai_wu,
        }
    }
}

/// Three stresses in ply axes.
#[derive(Clone, Copy, PartialEq, Default, Noun)]
pub struct PlyStress {
    /// Along 1.
    #[noun(within = crate::ranges::STRESS)]
    pub s1: Pressure,
    /// Along 2.
    #[noun(within = crate::ranges::STRESS)]
    pub s2: Pressure,
    /// Shear.
    #[noun(within = crate::ranges::STRESS)]
    pub t12: Pressure,
}

impl PlyStress {
    fn si(&self) -> V3 {
        [self.s1, self.s2, self.t12].map(Quantity::si)
    }
}

/// A ply under a stress in its own axes.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct StressedPly {
    /// Its elastic constants.
    pub elastic: Elastic,
    /// Its strengths.
    pub strengths: Strengths,
    /// The stress that grows.
    pub stress: PlyStress,
    /// The stress that stays (of cure and cooling); none where not given.
    #[noun(default)]
    pub residual: PlyStress,
}

/// By how much a stress can grow until the ply fails.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyReserve {
    /// By each criterion.
    #[noun(flat)]
    pub reserve: ReserveFactors,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl StressedPly {
    /// Reserve factors of a ply by maximum stress, maximum strain, Tsai-Hill and Tsai-Wu.
    ///
    /// * Maximum stress: `-Xc < σ1 < Xt`, `-Yc < σ2 < Yt`, `|τ12| < S`.
    /// * Maximum strain: `-Xc/E1 < ε1 < Xt/E1` and so on, strengths over moduli.
    /// * Tsai-Hill: `(σ1/X)² - σ1 σ2/X² + (σ2/Y)² + (τ/S)² = 1`, X and Y of the sign of σ1 and σ2
    ///   (for equal strengths in tension and compression Azzi and Tsai's original).
    /// * Tsai-Wu: `F1 σ1 + F2 σ2 + F11 σ1² + F22 σ2² + F66 τ² + 2 F12 σ1 σ2 = 1`, `F1 = 1/Xt - 1/Xc`,
    ///   `F11 = 1/(Xt Xc)`, ..., `F66 = 1/S²`, `F12 = -1/2 √(F11 F22)`.
    ///
    /// The factor multiplies the stress; the residual stress stays as it is. Sources: [`Criterion::source`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for constants or strengths a material can not have.
    #[question("laminate.ply_failure")]
    pub fn reserve(&self) -> Result<PlyReserve> {
        noun::check(self)?;
        self.elastic.check().map_err(|e| e.within("elastic"))?;
        let reserve = factors(
            &self.elastic,
            &self.strengths.si(),
            self.stress.si(),
            self.residual.si(),
        );
        let by = Criterion::ALL.map(|c| {
            Why::given(
                format!("{c:?}"),
                reserve
                    .by(c)
                    .map_or_else(|| "never".to_owned(), |f| format!("{f:.4}")),
            )
            .with_source(&c.source())
        });
        let least = Criterion::ALL
            .iter()
            .filter_map(|c| reserve.by(*c))
            .min_by(f64::total_cmp);
        Ok(PlyReserve {
            reserve,
            why: Why::computed(
                "least reserve factor",
                least.map_or_else(|| "none".to_owned(), |f| format!("{f:.4}")),
                "the factor on the stress at which the criterion reaches 1",
                by.to_vec(),
            ),
        })
    }
}

/// Reserve factors for a stress `m` that grows and a stress `r` that stays, in Pa.
pub(super) fn factors(elastic: &Elastic, x: &[f64; 5], m: V3, r: V3) -> ReserveFactors {
    let strain = |s: V3| -> V3 {
        let (e1, e2, nu, g) = (
            elastic.e1.si(),
            elastic.e2.si(),
            elastic.nu12.get(),
            elastic.g12.si(),
        );
        [s[0] / e1 - nu / e1 * s[1], s[1] / e2 - nu / e1 * s[0], s[2] / g]
    };
    let moduli = [
        elastic.e1.si(),
        elastic.e1.si(),
        elastic.e2.si(),
        elastic.e2.si(),
        elastic.g12.si(),
    ];
    let mut strains = *x;
    for (s, e) in strains.iter_mut().zip(moduli) {
        *s /= e;
    }
    ReserveFactors {
        maximum_stress: within_box(x, m, r),
        maximum_strain: within_box(&strains, strain(m), strain(r)),
        tsai_hill: tsai_hill(x, m, r),
        tsai_wu: tsai_wu(x, m, r),
    }
}

/// The limits of a strengths array met first by r + λ m.
fn within_box(x: &[f64; 5], m: V3, r: V3) -> Option<f64> {
    let limits = [(x[0], x[1]), (x[2], x[3]), (x[4], x[4])];
    let mut best: Option<f64> = None;
    for i in 0..3 {
        let (up, down) = limits[i];
        if r[i] >= up || r[i] <= -down {
            return Some(0.0);
        }
        let here = if m[i] > 0.0 {
            (up - r[i]) / m[i]
        } else if m[i] < 0.0 {
            (-down - r[i]) / m[i]
        } else {
            continue;
        };
        best = Some(best.map_or(here, |b: f64| b.min(here)));
    }
    best.filter(|b| b.is_finite())
}

/// The smallest root of a λ² + b λ + c = 0 above `from`, for c < 0 at λ = 0.
fn root_above(a: f64, b: f64, c: f64, from: f64) -> Option<f64> {
    if a == 0.0 {
        let x = -c / b;
        return (x.is_finite() && x > from).then_some(x);
    }
    let disc = b * b - 4.0 * a * c;
    if disc < 0.0 {
        return None;
    }
    // The stable pair of roots.
    let q = -0.5 * (b + disc.sqrt().copysign(b));
    let mut roots = [q / a, if q == 0.0 { 0.0 } else { c / q }];
    roots.sort_by(f64::total_cmp);
    roots.into_iter().find(|x| x.is_finite() && *x > from)
}

fn tsai_wu(x: &[f64; 5], m: V3, r: V3) -> Option<f64> {
    let [xt, xc, yt, yc, s] = *x;
    let f1 = 1.0 / xt - 1.0 / xc;
    let f2 = 1.0 / yt - 1.0 / yc;
    let (f11, f22, f66) = (1.0 / (xt * xc), 1.0 / (yt * yc), 1.0 / (s * s));
    let f12 = -0.5 * (f11 * f22).sqrt();
    let quadratic = |p: V3, q: V3| {
        f11 * p[0] * q[0] + f22 * p[1] * q[1] + f66 * p[2] * q[2] + f12 * (p[0] * q[1] + p[1] * q[0])
    };
    let linear = |p: V3| f1 * p[0] + f2 * p[1];
    let c = quadratic(r, r) + linear(r) - 1.0;
    if c >= 0.0 {
        return Some(0.0);
    }
    root_above(quadratic(m, m), 2.0 * quadratic(m, r) + linear(m), c, 0.0)
}

fn tsai_hill(x: &[f64; 5], m: V3, r: V3) -> Option<f64> {
    let [xt, xc, yt, yc, s] = *x;
    // The strengths change where σ1 or σ2 changes its sign: one quadratic between each two such points.
    let mut turns: Vec<f64> = (0..2)
        .filter(|i| m[*i] != 0.0)
        .map(|i| -r[i] / m[i])
        .filter(|t| *t > 0.0 && t.is_finite())
        .collect();
    turns.sort_by(f64::total_cmp);
    let mut from = 0.0;
    for to in turns.into_iter().chain([f64::INFINITY]) {
        let mid = if to.is_finite() {
            0.5 * (from + to)
        } else {
            2.0 * from + 1.0
        };
        let big_x = if r[0] + mid * m[0] >= 0.0 { xt } else { xc };
        let big_y = if r[1] + mid * m[1] >= 0.0 { yt } else { yc };
        let form = |p: V3, q: V3| {
            (p[0] * q[0] - 0.5 * (p[0] * q[1] + p[1] * q[0])) / (big_x * big_x)
                + p[1] * q[1] / (big_y * big_y)
                + p[2] * q[2] / (s * s)
        };
        let c = form(r, r) - 1.0;
        let (a, b) = (form(m, m), 2.0 * form(m, r));
        if a * from * from + b * from + c >= 0.0 {
            return Some(from);
        }
        if let Some(root) = root_above(a, b, c, from)
            && root <= to
        {
            return Some(root);
        }
        from = to;
    }
    None
}
