//! Stiffness of glass in resin from the properties of each.
//!
//! Every model states what it assumes; each is an estimate whose scatter in hand lay-up is 10 % to 30 % (from memory).

use crate::noun::Noun;

use super::lamina::Elastic;
use super::{check, sources};
use crate::error::{Error, Result, finite};
use crate::quantity::{
    Index, Length, MassDensity, Pressure, Quantity, TemperatureCoefficient, VolumeFraction, show,
};
use crate::source::Why;

/// An isotropic constituent: fibre, resin or filler.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct Phase {
    /// Young's modulus.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson: Index,
}

impl Phase {
    /// From Young's modulus and Poisson's ratio.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless E > 0 and -1 < ν < 0.5.
    pub fn new(modulus: Pressure, poisson: Index) -> Result<Self> {
        let p = Phase { modulus, poisson };
        p.check()?;
        Ok(p)
    }

    fn from_bulk_and_shear(k: f64, g: f64) -> Result<Self> {
        let e = 9.0 * k * g / (3.0 * k + g);
        Ok(Phase {
            modulus: Pressure::from_si(e)?,
            poisson: Index::new((3.0 * k - 2.0 * g) / (2.0 * (3.0 * k + g)))?,
        })
    }

    pub(super) fn check(&self) -> Result<(f64, f64)> {
        Ok((
            check::positive("modulus", self.modulus)?,
            check::isotropic_poisson("poisson", self.poisson)?,
        ))
    }

    /// Shear modulus `G = E/(2 (1 + ν))`, kept only for a phase that passes [`Self::new`].
    pub fn shear(&self) -> Pressure {
        self.modulus / (2.0 * (1.0 + self.poisson.get()))
    }

    /// Bulk modulus `K = E/(3 (1 - 2ν))`.
    pub fn bulk(&self) -> Pressure {
        self.modulus / (3.0 * (1.0 - 2.0 * self.poisson.get()))
    }
}

fn both(fibre: &Phase, matrix: &Phase) -> Result<[f64; 4]> {
    let (ef, nf) = fibre.check().map_err(|e| e.within("fibre"))?;
    let (em, nm) = matrix.check().map_err(|e| e.within("resin"))?;
    Ok([ef, nf, em, nm])
}

fn fraction(field: &str, v: VolumeFraction, limit: f64, what: &str) -> Result<f64> {
    let x = v.get();
    if x <= limit {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(v),
            format!("0 vol% to {:.1} vol%, {what}", 100.0 * limit),
            "use less, or give the fraction by volume, not by mass",
        ))
    }
}

pub(super) const HEXAGONAL: f64 = 0.906_899_682_117_108_9;

/// Moduli of a unidirectional ply by the rules of mixtures: `E1 = Ef Vf + Em Vm`, `1/E2 = Vf/Ef + Vm/Em`,
/// `ν12 = νf Vf + νm Vm`, `1/G12 = Vf/Gf + Vm/Gm`.
///
/// E1 and ν12 are good; E2 and G12 are lower bounds. A. K. Kaw, *Mechanics of Composite Materials* (2006),
/// chapter 3.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) as [`Phase::new`], and above hexagonal close packing.
pub fn rule_of_mixtures(fibre: &Phase, matrix: &Phase, fibre_volume: VolumeFraction) -> Result<Elastic> {
    let [ef, nf, em, nm] = both(fibre, matrix)?;
    let vf = fraction("fibre_volume", fibre_volume, HEXAGONAL, "hexagonal close packing")?;
    let vm = 1.0 - vf;
    let (gf, gm) = (fibre.shear().si(), matrix.shear().si());
    Elastic::new(
        Pressure::from_si(ef * vf + em * vm)?,
        Pressure::from_si(1.0 / (vf / ef + vm / em))?,
        Index::new(nf * vf + nm * vm)?,
        Pressure::from_si(1.0 / (vf / gf + vm / gm))?,
    )
}

/// The Halpin-Tsai equation: `P/Pm = (1 + ξ η Vf)/(1 - η Vf)`, `η = (Pf/Pm - 1)/(Pf/Pm + ξ)`.
///
/// P is a modulus; ξ measures how the reinforcement carries: 2 for E2 of round fibres, 1 for G12, 2 l/d for E1
/// of short fibres; ξ → 0 is the series rule, ξ → ∞ the parallel rule. J. C. Halpin, J. L. Kardos (1976).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for moduli not above zero, ξ below zero, or Vf above
/// hexagonal close packing.
pub fn halpin_tsai(
    fibre_modulus: Pressure,
    matrix_modulus: Pressure,
    fibre_volume: VolumeFraction,
    xi: f64,
) -> Result<Pressure> {
    let pf = check::positive("fibre_modulus", fibre_modulus)?;
    let pm = check::positive("resin_modulus", matrix_modulus)?;
    let vf = fraction("fibre_volume", fibre_volume, HEXAGONAL, "hexagonal close packing")?;
    if finite("xi", xi)? < 0.0 {
        return Err(Error::out_of_range(
            "xi",
            xi,
            "0 or more",
            "use 2 for E2, 1 for G12",
        ));
    }
    Pressure::from_si(halpin_tsai_si(pf, pm, vf, xi))
}

fn halpin_tsai_si(pf: f64, pm: f64, vf: f64, xi: f64) -> f64 {
    let ratio = pf / pm;
    let eta = (ratio - 1.0) / (ratio + xi);
    pm * (1.0 + xi * eta * vf) / (1.0 - eta * vf)
}

/// A unidirectional ply: E1 and ν12 by the rule of mixtures, E2 (ξ = 2) and G12 (ξ = 1) by Halpin-Tsai.
///
/// # Errors
/// As [`rule_of_mixtures`].
pub fn unidirectional(fibre: &Phase, matrix: &Phase, fibre_volume: VolumeFraction) -> Result<Elastic> {
    let series = rule_of_mixtures(fibre, matrix, fibre_volume)?;
    Elastic::new(
        series.e1,
        halpin_tsai(fibre.modulus, matrix.modulus, fibre_volume, 2.0)?,
        series.nu12,
        halpin_tsai(fibre.shear(), matrix.shear(), fibre_volume, 1.0)?,
    )
}

/// In-plane constants of a random mat from those of a unidirectional ply of the same fibre content:
/// `E = 3/8 E1 + 5/8 E2`, `G = 1/8 E1 + 1/4 E2`, `ν = E/(2G) - 1` (S. W. Tsai, N. J. Pagano, 1968).
///
/// The trade's approximation; at the fibre contents of hand lay-up it lies about a tenth above
/// [`random_mat_by_invariants`], which it approximates. With continuous fibres an upper estimate: a hand-laid mat is
/// 20 % to 30 % softer (compare [`glass_laminate`](super::mat::glass_laminate)).
///
/// # Errors
/// As [`Elastic::new`].
pub fn random_mat(unidirectional: &Elastic) -> Result<Elastic> {
    unidirectional.check()?;
    let (e1, e2) = (unidirectional.e1.si(), unidirectional.e2.si());
    mat_of(0.375 * e1 + 0.625 * e2, 0.125 * e1 + 0.25 * e2)
}

/// In-plane constants of plies in every direction, exactly: `U1 = (3 Q11 + 3 Q22 + 2 Q12 + 4 Q66)/8`,
/// `U4 = (Q11 + Q22 + 6 Q12 - 4 Q66)/8`, `E = (U1² - U4²)/U1`, `G = (U1 - U4)/2`
/// (S. W. Tsai, N. J. Pagano, 1968, invariants of the reduced stiffness).
///
/// # Errors
/// As [`Elastic::new`].
pub fn random_mat_by_invariants(unidirectional: &Elastic) -> Result<Elastic> {
    let q = unidirectional.reduced_stiffness()?;
    let (q11, q12, q22, q66) = (q[0][0], q[0][1], q[1][1], q[2][2]);
    let u1 = (3.0 * q11 + 3.0 * q22 + 2.0 * q12 + 4.0 * q66) / 8.0;
    let u4 = (q11 + q22 + 6.0 * q12 - 4.0 * q66) / 8.0;
    mat_of((u1 * u1 - u4 * u4) / u1, 0.5 * (u1 - u4))
}

fn mat_of(e: f64, g: f64) -> Result<Elastic> {
    Elastic::new(
        Pressure::from_si(e)?,
        Pressure::from_si(e)?,
        Index::new(e / (2.0 * g) - 1.0)?,
        Pressure::from_si(g)?,
    )
}

/// How short fibres lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum Orientation {
    /// All along the load.
    Aligned,
    /// Half along, half across.
    CrossPly,
    /// Random in the plane: a mat, a thin edge.
    RandomInPlane,
    /// Random in space: a thick pour.
    RandomInSpace,
}

impl Orientation {
    /// Krenchel's efficiency: 1, 1/2, 3/8, 1/5 (H. Krenchel, *Fibre Reinforcement*, 1964).
    pub const fn efficiency(self) -> f64 {
        match self {
            Orientation::Aligned => 1.0,
            Orientation::CrossPly => 0.5,
            Orientation::RandomInPlane => 0.375,
            Orientation::RandomInSpace => 0.2,
        }
    }
}

/// A resin filled with short strands.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ShortFibre {
    /// Young's modulus.
    pub modulus: Pressure,
    /// Cox's length efficiency, 0 to 1.
    pub length_efficiency: f64,
    /// Krenchel's orientation efficiency, 0 to 1.
    pub orientation_efficiency: f64,
    /// How it was computed.
    pub why: Why,
}

/// Modulus of a resin filled with short strands:
/// `E = ηo ηl Ef Vf + Em (1 - Vf)`, `ηl = 1 - tanh(βl/2)/(βl/2)`,
/// `β = (2/d) √(2 Gm/(Ef ln(KR/Vf)))` with KR = π/(2√3) for fibres in hexagonal order.
///
/// ηo by [`Orientation::efficiency`]. H. L. Cox (1952); H. Krenchel (1964). `diameter` is that of what carries the
/// load as one: the filament (10 to 20 µm) where the strands have opened, the strand itself (0.2 to 1 mm) where
/// they have not. Assumes a perfect bond.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for lengths and moduli not above zero, ν outside -1 to 0.5,
/// Vf at or above hexagonal close packing.
pub fn short_fibre(
    fibre: &Phase,
    matrix: &Phase,
    fibre_volume: VolumeFraction,
    length: Length,
    diameter: Length,
    orientation: Orientation,
) -> Result<ShortFibre> {
    let [ef, _, em, _] = both(fibre, matrix)?;
    let l = check::positive("length", length)?;
    let d = check::positive("diameter", diameter)?;
    let vf = fraction("fibre_volume", fibre_volume, 0.90, "close packing")?;
    let eta_l = if vf > 0.0 {
        let beta = 2.0 / d * (2.0 * matrix.shear().si() / (ef * (HEXAGONAL / vf).ln())).sqrt();
        let x = beta * l / 2.0;
        // tanh(x)/x loses its digits near zero; there 1 - tanh(x)/x = x²/3.
        if x < 1e-3 { x * x / 3.0 } else { 1.0 - x.tanh() / x }
    } else {
        1.0
    };
    let eta_o = orientation.efficiency();
    let e = Pressure::from_si(eta_o * eta_l * ef * vf + em * (1.0 - vf))?;
    Ok(ShortFibre {
        modulus: e,
        length_efficiency: eta_l,
        orientation_efficiency: eta_o,
        why: Why::computed(
            "modulus of resin with short strands",
            show(e),
            "E = eta_o eta_l E_f V_f + E_m (1 - V_f)",
            vec![
                Why::computed(
                    "eta_l, length efficiency",
                    format!("{eta_l:.4}"),
                    "1 - tanh(beta l/2)/(beta l/2), beta = (2/d) sqrt(2 G_m/(E_f ln(0.9069/V_f)))",
                    vec![
                        Why::given("l, length of the strands", show(length)),
                        Why::given("d, diameter of what carries as one", show(diameter)),
                    ],
                )
                .with_source(&sources::cox()),
                Why::given("eta_o, orientation efficiency", eta_o.to_string())
                    .with_source(&sources::krenchel()),
                Why::given("E_f, modulus of the fibre", show(fibre.modulus)),
                Why::given("E_m, modulus of the resin", show(matrix.modulus)),
                Why::given("V_f, fibre by volume", show(fibre_volume)),
            ],
        ),
    })
}

/// Length at which a fibre can just be loaded to its strength through its bond: `lc = σf d/(2 τ)`.
///
/// A. Kelly, W. R. Tyson (1965).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for an input not above zero.
pub fn critical_length(
    fibre_strength: Pressure,
    diameter: Length,
    bond_shear_strength: Pressure,
) -> Result<Length> {
    let s = check::positive("fibre_strength", fibre_strength)?;
    let d = check::positive("diameter", diameter)?;
    let t = check::positive("bond_shear_strength", bond_shear_strength)?;
    Length::from_si(s * d / (2.0 * t))
}

/// Strength efficiency of fibres of length l: `1 - lc/(2l)` above the critical length, `l/(2 lc)` below.
///
/// A. Kelly, W. R. Tyson (1965).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a length not above zero.
pub fn strength_efficiency(length: Length, critical: Length) -> Result<f64> {
    let l = check::positive("length", length)?;
    let lc = check::positive("critical_length", critical)?;
    Ok(if l >= lc {
        1.0 - lc / (2.0 * l)
    } else {
        l / (2.0 * lc)
    })
}

/// Lower and upper bound of an isotropic two-phase material.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct Bounds {
    /// Young's modulus, lower bound.
    pub modulus_low: Pressure,
    /// Young's modulus, upper bound.
    pub modulus_high: Pressure,
    /// Bulk modulus, lower bound.
    pub bulk_low: Pressure,
    /// Bulk modulus, upper bound.
    pub bulk_high: Pressure,
    /// Shear modulus, lower bound.
    pub shear_low: Pressure,
    /// Shear modulus, upper bound.
    pub shear_high: Pressure,
}

/// The modulus that the whole would have if the reference phase (k0, g0) surrounded everything.
fn surrounded(k: [f64; 2], g: [f64; 2], phi: f64, k0: f64, g0: f64) -> (f64, f64) {
    let zeta = g0 * (9.0 * k0 + 8.0 * g0) / (6.0 * (k0 + 2.0 * g0));
    let mean = |m: [f64; 2], shift: f64| {
        if phi >= 1.0 {
            return m[1];
        }
        1.0 / ((1.0 - phi) / (m[0] + shift) + phi / (m[1] + shift)) - shift
    };
    (mean(k, 4.0 / 3.0 * g0), mean(g, zeta))
}

/// Hashin-Shtrikman bounds of a filled resin, for fillers of any shape that lie at random.
///
/// `K = [Σ φi/(Ki + 4/3 G0)]⁻¹ - 4/3 G0`, `G = [Σ φi/(Gi + ζ0)]⁻¹ - ζ0`,
/// `ζ0 = G0 (9 K0 + 8 G0)/(6 (K0 + 2 G0))`; K0, G0 the smallest of the phases' moduli for the lower bound, the
/// largest for the upper. E = 9KG/(3K + G). Z. Hashin, S. Shtrikman (1963).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) as [`Phase::new`].
pub fn hashin_shtrikman(filler: &Phase, matrix: &Phase, filler_volume: VolumeFraction) -> Result<Bounds> {
    filler.check().map_err(|e| e.within("filler"))?;
    matrix.check().map_err(|e| e.within("resin"))?;
    let phi = filler_volume.get();
    let k = [matrix.bulk().si(), filler.bulk().si()];
    let g = [matrix.shear().si(), filler.shear().si()];
    let (k_low, g_low) = surrounded(k, g, phi, k[0].min(k[1]), g[0].min(g[1]));
    let (k_high, g_high) = surrounded(k, g, phi, k[0].max(k[1]), g[0].max(g[1]));
    let e = |k: f64, g: f64| Pressure::from_si(9.0 * k * g / (3.0 * k + g));
    Ok(Bounds {
        modulus_low: e(k_low, g_low)?,
        modulus_high: e(k_high, g_high)?,
        bulk_low: Pressure::from_si(k_low)?,
        bulk_high: Pressure::from_si(k_high)?,
        shear_low: Pressure::from_si(g_low)?,
        shear_high: Pressure::from_si(g_high)?,
    })
}

/// Modulus of a resin filled with round particles, by Lewis and Nielsen:
/// `E/Em = (1 + A B φ)/(1 - B ψ φ)`, `B = (Ef/Em - 1)/(Ef/Em + A)`, `A = (7 - 5ν)/(8 - 10ν)`,
/// `ψ = 1 + φ (1 - φm)/φm²`; φ filler by volume, φm its densest packing, ν of the resin.
///
/// For rigid spheres in a rubbery resin (ν = 0.5) it tends to Einstein's 1 + 2.5 φ. T. B. Lewis, L. E. Nielsen
/// (1970); φm is 0.60 to 0.64 for equal round grains as poured (from memory).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) as [`Phase::new`], φm outside 0 to 1, or φ above φm.
pub fn lewis_nielsen(
    filler: &Phase,
    matrix: &Phase,
    filler_volume: VolumeFraction,
    packing: VolumeFraction,
) -> Result<Pressure> {
    let (ef, _) = filler.check().map_err(|e| e.within("filler"))?;
    let (em, nu) = matrix.check().map_err(|e| e.within("resin"))?;
    let pm = packing.get();
    if !(pm > 0.0 && pm < 1.0) {
        return Err(Error::out_of_range(
            "packing",
            show(packing),
            "more than 0 vol% and less than 100 vol%",
            "equal round grains pack to about '62 vol%'",
        ));
    }
    let phi = fraction(
        "filler_volume",
        filler_volume,
        pm,
        "the densest packing of the filler",
    )?;
    Pressure::from_si(em * lewis_nielsen_ratio(ef / em, nu, phi, pm))
}

fn lewis_nielsen_ratio(ratio: f64, nu: f64, phi: f64, pm: f64) -> f64 {
    let a = (7.0 - 5.0 * nu) / (8.0 - 10.0 * nu);
    let b = (ratio - 1.0) / (ratio + a);
    let psi = 1.0 + phi * (1.0 - pm) / (pm * pm);
    (1.0 + a * b * phi) / (1.0 - b * psi * phi)
}

/// A hollow sphere as the solid sphere that would deform alike, and its density.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct HollowSphere {
    /// The equivalent solid.
    pub equivalent: Phase,
    /// Density of the sphere with its hollow.
    pub density: MassDensity,
    /// Hollow over whole volume.
    pub hollow: f64,
}

/// A hollow sphere from its wall material and wall thickness over radius.
///
/// `c = (1 - w)³` hollow by volume (w wall over outer radius), density `(1 - c) ρ`, bulk modulus exactly
/// `K = 4 G Kw (1 - c)/(4 G + 3 c Kw)`, shear modulus the Hashin-Shtrikman upper bound of a wall material with
/// that hollow. K. J. Lee, R. A. Westmann (1970). Its walls are taken not to buckle or break.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) as [`Phase::new`], and unless 0 < w ≤ 1.
pub fn hollow_sphere(
    wall: &Phase,
    wall_density: MassDensity,
    wall_over_radius: Index,
) -> Result<HollowSphere> {
    wall.check().map_err(|e| e.within("wall"))?;
    let rho = check::positive("wall_density", wall_density)?;
    let w = finite("wall_over_radius", wall_over_radius.get())?;
    if !(w > 0.0 && w <= 1.0) {
        return Err(Error::out_of_range(
            "wall_over_radius",
            show(wall_over_radius),
            "more than 0 to 1 (solid)",
            "glass bubbles have 0.02 to 0.1: from their density, 1 - (1 - density/glass)^(1/3)",
        ));
    }
    let c = (1.0 - w).powi(3);
    let (k, g) = (wall.bulk().si(), wall.shear().si());
    let bulk = 4.0 * g * k * (1.0 - c) / (4.0 * g + 3.0 * c * k);
    let (_, shear) = surrounded([k, 0.0], [g, 0.0], c, k, g);
    Ok(HollowSphere {
        equivalent: Phase::from_bulk_and_shear(bulk, shear)?,
        density: MassDensity::from_si((1.0 - c) * rho)?,
        hollow: c,
    })
}

/// Thermal expansion of a unidirectional ply along and across its fibres:
/// `α1 = (Ef αf Vf + Em αm Vm)/E1`, `α2 = (1 + νf) αf Vf + (1 + νm) αm Vm - α1 ν12` (R. A. Schapery, 1968).
///
/// The same equations give the free cure shrinkage of a ply, with αf = 0 and αm the resin's linear shrinkage.
///
/// # Errors
/// As [`rule_of_mixtures`]; [`ErrorKind::NotFinite`](crate::ErrorKind::NotFinite) for expansions that are not finite.
pub fn expansion(
    fibre: (&Phase, TemperatureCoefficient),
    matrix: (&Phase, TemperatureCoefficient),
    fibre_volume: VolumeFraction,
) -> Result<[TemperatureCoefficient; 2]> {
    let af = finite("fibre_expansion", fibre.1.si())?;
    let am = finite("resin_expansion", matrix.1.si())?;
    let [a1, a2] = schapery(fibre.0, af, matrix.0, am, fibre_volume)?;
    Ok([
        TemperatureCoefficient::from_si(a1)?,
        TemperatureCoefficient::from_si(a2)?,
    ])
}

pub(super) fn schapery(
    fibre: &Phase,
    af: f64,
    matrix: &Phase,
    am: f64,
    vf: VolumeFraction,
) -> Result<[f64; 2]> {
    let [ef, nf, em, nm] = both(fibre, matrix)?;
    let ply = rule_of_mixtures(fibre, matrix, vf)?;
    let (v, m) = (vf.get(), 1.0 - vf.get());
    let a1 = (ef * af * v + em * am * m) / ply.e1.si();
    let a2 = (1.0 + nf) * af * v + (1.0 + nm) * am * m - a1 * ply.nu12.get();
    Ok([a1, a2])
}

/// In-plane expansion of a random mat from that of a unidirectional ply:
/// `α = (α1 (Q11 + Q12) + α2 (Q12 + Q22))/(Q11 + 2 Q12 + Q22)`, exact for a ply in every direction (derived from
/// lamination theory).
///
/// # Errors
/// As [`Elastic::new`].
pub fn random_mat_expansion(
    ply: &Elastic,
    expansion: [TemperatureCoefficient; 2],
) -> Result<TemperatureCoefficient> {
    let q = ply.reduced_stiffness()?;
    let [a1, a2] = expansion.map(Quantity::si);
    TemperatureCoefficient::from_si(
        (a1 * (q[0][0] + q[0][1]) + a2 * (q[0][1] + q[1][1])) / (q[0][0] + 2.0 * q[0][1] + q[1][1]),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lewis_nielsen_tends_to_einstein() {
        // analytic: rigid spheres, incompressible matrix, dilute
        let r = lewis_nielsen_ratio(1e12, 0.5, 1e-5, 0.62);
        assert!(((r - 1.0) / 1e-5 - 2.5).abs() < 1e-3, "{r}");
    }

    #[test]
    fn halpin_tsai_limits_are_series_and_parallel() {
        let (pf, pm, v) = (72.0, 3.0, 0.4);
        assert!((halpin_tsai_si(pf, pm, v, 0.0) - 1.0 / (v / pf + (1.0 - v) / pm)).abs() < 1e-12);
        assert!((halpin_tsai_si(pf, pm, v, 1e12) - (v * pf + (1.0 - v) * pm)).abs() < 1e-6);
    }
}
