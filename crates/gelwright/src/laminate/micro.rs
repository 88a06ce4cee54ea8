//! Stiffness of glass in resin from the properties of each.
//!
//! Every model states what it assumes; each is an estimate whose scatter in hand lay-up is 10 % to 30 % (from memory).

use crate::check;
use crate::noun::{self, Noun, questions};

use super::lamina::Elastic;
use super::sources;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    Index, Length, MassDensity, Pressure, Quantity, TemperatureCoefficient, VolumeFraction, show,
};
use crate::source::Why;

/// An isotropic constituent: fibre, resin or filler.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Phase {
    /// Young's modulus.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio.
    #[noun(within(> -1, < 0.5, "a Poisson's ratio lies above -1 and below 0.5: a cured resin has 0.33 to 0.40, glass 0.20 to 0.25"))]
    pub poisson: Index,
}

impl Phase {
    /// From Young's modulus and Poisson's ratio.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] unless E > 0 and -1 < ν < 0.5.
    pub fn new(modulus: Pressure, poisson: Index) -> Result<Self> {
        let p = Phase { modulus, poisson };
        noun::check(&p)?;
        Ok(p)
    }

    fn from_bulk_and_shear(k: f64, g: f64) -> Result<Self> {
        let e = 9.0 * k * g / (3.0 * k + g);
        Ok(Phase {
            modulus: Pressure::from_si(e)?,
            poisson: Index::new((3.0 * k - 2.0 * g) / (2.0 * (3.0 * k + g)))?,
        })
    }

    /// Young's modulus, Pa, and Poisson's ratio.
    fn si(&self) -> (f64, f64) {
        (self.modulus.si(), self.poisson.get())
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

/// Hexagonal close packing of equal rods, π/(2√3).
pub(super) const HEXAGONAL: f64 = 0.906_899_682_117_108_9;

/// Fibre and resin of a ply.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct Constituents {
    /// The fibre.
    pub fibre: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Fibre volume fraction.
    #[noun(within(
        "0 vol%",
        "90.68996 vol%",
        "hexagonal close packing: use less, or give the fraction by volume, not by mass"
    ))]
    pub fibre_volume: VolumeFraction,
    /// Thermal expansion of the fibre, for that of the ply.
    #[noun(within("-1 1/K", "1 1/K", "E-glass expands by some '5e-6 1/K'"))]
    pub fibre_expansion: Option<TemperatureCoefficient>,
    /// Thermal expansion of the resin.
    #[noun(within = crate::ranges::EXPANSION)]
    pub resin_expansion: Option<TemperatureCoefficient>,
}

/// Elastic constants of a ply by several models.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyEstimates {
    /// Unidirectional by the rules of mixtures; E2 and G12 are lower bounds.
    pub rule_of_mixtures: Elastic,
    /// Unidirectional with E2 and G12 by Halpin-Tsai.
    pub unidirectional: Elastic,
    /// Random in the plane by Tsai and Pagano's 3/8 and 5/8: an upper estimate of a mat.
    pub random_mat: Elastic,
    /// Random in the plane by the invariants of the ply, exactly.
    pub random_mat_by_invariants: Elastic,
    /// Thermal expansion along the fibre.
    pub expansion1: Option<TemperatureCoefficient>,
    /// Thermal expansion across the fibre.
    pub expansion2: Option<TemperatureCoefficient>,
    /// In-plane thermal expansion of the mat.
    pub mat_expansion: Option<TemperatureCoefficient>,
    /// How they were computed.
    pub why: Why,
}

#[questions]
impl Constituents {
    /// Of which no expansion is asked.
    pub const fn of(fibre: Phase, resin: Phase, fibre_volume: VolumeFraction) -> Self {
        Constituents {
            fibre,
            resin,
            fibre_volume,
            fibre_expansion: None,
            resin_expansion: None,
        }
    }

    /// Refuses one expansion alone.
    ///
    /// # Errors
    /// [`ErrorKind::Document`].
    pub fn check(&self) -> Result<()> {
        if self.fibre_expansion.is_some() == self.resin_expansion.is_some() {
            return Ok(());
        }
        Err(Error::new(ErrorKind::Document, "fibre_expansion")
            .with_value("only one expansion")
            .with_way_out("give both fibre_expansion and resin_expansion, or neither"))
    }

    /// Elastic constants and expansion of a unidirectional ply and of a random mat from fibre and resin.
    ///
    /// The models: [`Constituents::rule_of_mixtures`], [`Constituents::unidirectional`], [`random_mat`],
    /// [`random_mat_by_invariants`], [`Constituents::expansion`], [`random_mat_expansion`].
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Document`] for one expansion alone.
    #[question("laminate.from_constituents")]
    pub fn ply(&self) -> Result<PlyEstimates> {
        noun::check(self)?;
        self.check()?;
        let ud = self.unidirectional()?;
        let mat = random_mat(&ud)?;
        let expansion = self.expansion()?;
        Ok(PlyEstimates {
            why: self.why(&ud, &mat),
            mat_expansion: expansion.map(|a| random_mat_expansion(&ud, a)).transpose()?,
            expansion1: expansion.map(|a| a[0]),
            expansion2: expansion.map(|a| a[1]),
            rule_of_mixtures: self.rule_of_mixtures()?,
            unidirectional: ud,
            random_mat: mat,
            random_mat_by_invariants: random_mat_by_invariants(&ud)?,
        })
    }

    fn why(&self, ud: &Elastic, mat: &Elastic) -> Why {
        let given = || {
            vec![
                Why::given("E_f, modulus of the fibre", show(self.fibre.modulus)),
                Why::given("E_m, modulus of the resin", show(self.resin.modulus)),
                Why::given("V_f, fibre by volume", show(self.fibre_volume)),
            ]
        };
        let across = Why::computed(
            "E2 across the fibre",
            show(ud.e2),
            "E2/Em = (1 + 2 eta Vf)/(1 - eta Vf), eta = (Ef/Em - 1)/(Ef/Em + 2)",
            given(),
        )
        .with_source(&sources::halpin_tsai());
        let along = Why::computed("E1 along the fibre", show(ud.e1), "E1 = Ef Vf + Em Vm", given())
            .with_source(&sources::kaw("chapter 3"));
        Why::computed(
            "modulus of a random mat",
            show(mat.e1),
            "E = 3/8 E1 + 5/8 E2",
            vec![along, across],
        )
        .with_source(&sources::tsai_pagano())
        .with_note("an upper estimate: hand-laid mat is 20 % to 30 % softer")
    }

    /// Moduli of a unidirectional ply by the rules of mixtures: `E1 = Ef Vf + Em Vm`, `1/E2 = Vf/Ef + Vm/Em`,
    /// `ν12 = νf Vf + νm Vm`, `1/G12 = Vf/Gf + Vm/Gm`.
    ///
    /// E1 and ν12 are good; E2 and G12 are lower bounds. A. K. Kaw, *Mechanics of Composite Materials* (2006),
    /// chapter 3.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    pub fn rule_of_mixtures(&self) -> Result<Elastic> {
        noun::check(self)?;
        let ((ef, nf), (em, nm)) = (self.fibre.si(), self.resin.si());
        let vf = self.fibre_volume.get();
        let vm = 1.0 - vf;
        let (gf, gm) = (self.fibre.shear().si(), self.resin.shear().si());
        Elastic::new(
            Pressure::from_si(ef * vf + em * vm)?,
            Pressure::from_si(1.0 / (vf / ef + vm / em))?,
            Index::new(nf * vf + nm * vm)?,
            Pressure::from_si(1.0 / (vf / gf + vm / gm))?,
        )
    }

    /// A unidirectional ply: E1 and ν12 by the rule of mixtures, E2 (ξ = 2) and G12 (ξ = 1) by [`halpin_tsai`].
    ///
    /// # Errors
    /// As [`Constituents::rule_of_mixtures`].
    pub fn unidirectional(&self) -> Result<Elastic> {
        let series = self.rule_of_mixtures()?;
        let (fibre, resin, vf) = (&self.fibre, &self.resin, self.fibre_volume.get());
        let by =
            |f: Pressure, m: Pressure, xi: f64| Pressure::from_si(halpin_tsai_si(f.si(), m.si(), vf, xi));
        Elastic::new(
            series.e1,
            by(fibre.modulus, resin.modulus, 2.0)?,
            series.nu12,
            by(fibre.shear(), resin.shear(), 1.0)?,
        )
    }

    /// Thermal expansion of a unidirectional ply along and across its fibres, where those of fibre and resin are given:
    /// `α1 = (Ef αf Vf + Em αm Vm)/E1`, `α2 = (1 + νf) αf Vf + (1 + νm) αm Vm - α1 ν12` (R. A. Schapery, 1968).
    ///
    /// The same equations give the free cure shrinkage of a ply, with αf = 0 and αm the resin's linear shrinkage.
    ///
    /// # Errors
    /// As [`Constituents::rule_of_mixtures`].
    pub fn expansion(&self) -> Result<Option<[TemperatureCoefficient; 2]>> {
        let (Some(af), Some(am)) = (self.fibre_expansion, self.resin_expansion) else {
            return Ok(None);
        };
        let (af, am) = (af.si(), am.si());
        let ((ef, nf), (em, nm)) = (self.fibre.si(), self.resin.si());
        let ply = self.rule_of_mixtures()?;
        let v = self.fibre_volume.get();
        let m = 1.0 - v;
        let a1 = (ef * af * v + em * am * m) / ply.e1.si();
        let a2 = (1.0 + nf) * af * v + (1.0 + nm) * am * m - a1 * ply.nu12.get();
        Ok(Some([
            TemperatureCoefficient::from_si(a1)?,
            TemperatureCoefficient::from_si(a2)?,
        ]))
    }
}

/// The Halpin-Tsai equation: `P/Pm = (1 + ξ η Vf)/(1 - η Vf)`, `η = (Pf/Pm - 1)/(Pf/Pm + ξ)`.
///
/// P is a modulus; ξ measures how the reinforcement carries: 2 for E2 of round fibres, 1 for G12, 2 l/d for E1
/// of short fibres; ξ → 0 is the series rule, ξ → ∞ the parallel rule. J. C. Halpin, J. L. Kardos (1976).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a modulus outside what a [`Phase`] may have, ξ below zero, or Vf above hexagonal
/// close packing.
pub fn halpin_tsai(fibre: &Phase, resin: &Phase, fibre_volume: VolumeFraction, xi: f64) -> Result<Pressure> {
    noun::check(&Constituents::of(*fibre, *resin, fibre_volume))?;
    let xi = check::number("xi", xi, 0.0, 1e12, "use 2 for E2, 1 for G12")?;
    Pressure::from_si(halpin_tsai_si(
        fibre.modulus.si(),
        resin.modulus.si(),
        fibre_volume.get(),
        xi,
    ))
}

fn halpin_tsai_si(pf: f64, pm: f64, vf: f64, xi: f64) -> f64 {
    let ratio = pf / pm;
    let eta = (ratio - 1.0) / (ratio + xi);
    pm * (1.0 + xi * eta * vf) / (1.0 - eta * vf)
}

/// In-plane constants of a random mat from those of a unidirectional ply of the same fibre content:
/// `E = 3/8 E1 + 5/8 E2`, `G = 1/8 E1 + 1/4 E2`, `ν = E/(2G) - 1` (S. W. Tsai, N. J. Pagano, 1968).
///
/// The trade's approximation; at the fibre contents of hand lay-up it lies about a tenth above
/// [`random_mat_by_invariants`], which it approximates. With continuous fibres an upper estimate: a hand-laid mat is
/// 20 % to 30 % softer (compare [`GlassLayUp::properties`](super::mat::GlassLayUp::properties)).
///
/// # Errors
/// As [`Elastic::new`].
pub fn random_mat(unidirectional: &Elastic) -> Result<Elastic> {
    unidirectional.sound()?;
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
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
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
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct ShortFibre {
    /// The fibre.
    pub fibre: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Fibre volume fraction.
    #[noun(within(
        "0 vol%",
        "90 vol%",
        "close packing: use less, or give the fraction by volume, not by mass"
    ))]
    pub fibre_volume: VolumeFraction,
    /// Length of the strands.
    #[noun(within("1 nm", "1 km", "give a length above zero: '6 mm'"))]
    pub length: Length,
    /// Diameter of what carries as one: filament (10 to 20 µm) where the strands open, else strand (0.2 to 1 mm).
    #[noun(within("1 nm", "1 km", "give a diameter above zero: '13 um'"))]
    pub diameter: Length,
    /// How the strands lie.
    pub orientation: Orientation,
    /// Strength of the fibre, for the critical length.
    #[noun(within = crate::ranges::STRENGTH)]
    pub fibre_strength: Option<Pressure>,
    /// Shear strength of the bond, for the critical length.
    #[noun(within = crate::ranges::STRENGTH)]
    pub bond_shear_strength: Option<Pressure>,
    /// Tensile strength of the cured resin, for that of the whole; with the two above.
    #[noun(within = crate::ranges::STRENGTH)]
    pub resin_strength: Option<Pressure>,
}

/// What a resin with short strands bears in tension.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct ShortFibreStrength {
    /// Tensile strength.
    pub tension: Pressure,
    /// The same of strands that nothing bonds: as holes.
    pub unbonded: Pressure,
    /// Mean stress at which the resin between the strands reaches its own strain at break: its first crack.
    pub first_crack: Pressure,
}

/// Modulus of a resin with short strands, and how much of their strength is used.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ShortFibreStiffness {
    /// Young's modulus.
    pub modulus: Pressure,
    /// Cox's length efficiency, 0 to 1.
    pub length_efficiency: f64,
    /// Krenchel's orientation efficiency, 0 to 1.
    pub orientation_efficiency: f64,
    /// How it was computed.
    pub why: Why,
    /// Length at which a fibre can just be loaded to its strength.
    pub critical_length: Option<Length>,
    /// Share of the fibre's strength that is used, before orientation.
    pub strength_efficiency: Option<f64>,
    /// What it bears, where the strengths of fibre, bond and resin are given.
    pub strength: Option<ShortFibreStrength>,
}

#[questions]
impl ShortFibre {
    /// Of which no critical length is asked.
    pub const fn of(
        fibre: Phase,
        resin: Phase,
        fibre_volume: VolumeFraction,
        length: Length,
        diameter: Length,
        orientation: Orientation,
    ) -> Self {
        ShortFibre {
            fibre,
            resin,
            fibre_volume,
            length,
            diameter,
            orientation,
            fibre_strength: None,
            bond_shear_strength: None,
            resin_strength: None,
        }
    }

    /// Bundles of glass that stay together in a pour: the bundle, glass and the resin within it, is the fibre, of modulus
    /// `phi Ef + (1 - phi) Em` along it and volume `V/phi` of the whole.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a glass content that leaves no room between the bundles, or a bundle without glass.
    pub fn of_bundles(
        glass: Phase,
        resin: Phase,
        glass_volume: VolumeFraction,
        bundle: &crate::flow::Chop,
        orientation: Orientation,
    ) -> Result<Self> {
        noun::check(bundle)?;
        let within = bundle.glass_in_strand.get();
        let along = within * glass.modulus.si() + (1.0 - within) * resin.modulus.si();
        let volume = glass_volume.get() / within;
        if volume > 0.9 {
            return Err(Error::out_of_range(
                "glass_volume",
                show(glass_volume),
                format!("at most {:.1} vol%, where the bundles touch", 90.0 * within),
                "use less glass, or say that its filaments are apart",
            ));
        }
        Ok(ShortFibre::of(
            Phase::new(Pressure::from_si(along)?, glass.poisson)?,
            resin,
            VolumeFraction::new(volume)?,
            bundle.length,
            bundle.strand_diameter,
            orientation,
        ))
    }

    /// Refuses one strength alone.
    ///
    /// # Errors
    /// [`ErrorKind::Document`].
    pub fn check(&self) -> Result<()> {
        if self.resin_strength.is_some() && self.fibre_strength.is_none() {
            return Err(Error::new(ErrorKind::Document, "resin_strength")
                .with_value("the resin's strength alone")
                .with_way_out("give fibre_strength and bond_shear_strength beside it, or none of them"));
        }
        if self.fibre_strength.is_some() == self.bond_shear_strength.is_some() {
            return Ok(());
        }
        Err(Error::new(ErrorKind::Document, "fibre_strength")
            .with_value("only one strength")
            .with_way_out("give both fibre_strength and bond_shear_strength, or neither"))
    }

    /// Modulus of a pour full of short strands, with length and orientation efficiency.
    ///
    /// `E = ηo ηl Ef Vf + Em (1 - Vf)`, `ηl = 1 - tanh(βl/2)/(βl/2)`,
    /// `β = (2/d) √(4 Gm/(Ef ln(KR/Vf)))` with KR = π/(2√3) for fibres in hexagonal order, ηo by
    /// [`Orientation::efficiency`]. H. L. Cox (1952); H. Krenchel (1964). Assumes a perfect bond.
    ///
    /// `β² = 2 Gm/(Ef r² ln(R/r))`, of a fibre of radius r in a cylinder of resin that follows the whole at its radius R,
    /// half the distance to the next fibre: `R/r = √(KR/Vf)`.
    ///
    /// Critical length `lc = σf d/(2 τ)`; of the fibre's strength `1 - lc/(2l)` is used above it, `l/(2 lc)` below.
    /// A. Kelly, W. R. Tyson (1965). Strength of the whole `ηo Vf σf (share used) + σm (1 - Vf)`; of strands that nothing bonds
    /// `σm (1 - 1.21 Vf^(2/3))` (L. Nicolais, M. Narkis, Polym. Eng. Sci. 11:194, 1971, from memory), a lower end: strands whose
    /// ends concentrate stress come near it; first crack where the resin between them reaches its own strain, `E σm/Em`. In
    /// pours the two ends enclose what was measured better than either alone does.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Document`] for one strength alone.
    #[question("laminate.short_fibre")]
    pub fn stiffness(&self) -> Result<ShortFibreStiffness> {
        noun::check(self)?;
        self.check()?;
        let (ef, em, vf) = (
            self.fibre.modulus.si(),
            self.resin.modulus.si(),
            self.fibre_volume.get(),
        );
        let eta_l = self.length_efficiency();
        let eta_o = self.orientation.efficiency();
        let e = Pressure::from_si(eta_o * eta_l * ef * vf + em * (1.0 - vf))?;
        let critical_length = self.critical_length()?;
        let strength_efficiency = critical_length.map(|lc| {
            let (l, lc) = (self.length.si(), lc.si());
            if l >= lc {
                1.0 - lc / (2.0 * l)
            } else {
                l / (2.0 * lc)
            }
        });
        Ok(ShortFibreStiffness {
            modulus: e,
            length_efficiency: eta_l,
            orientation_efficiency: eta_o,
            strength_efficiency,
            why: self.why(e, eta_l, eta_o, critical_length),
            strength: self.strength(e, strength_efficiency)?,
            critical_length,
        })
    }

    fn strength(&self, modulus: Pressure, used: Option<f64>) -> Result<Option<ShortFibreStrength>> {
        let (Some(of_fibre), Some(of_resin), Some(used)) = (self.fibre_strength, self.resin_strength, used)
        else {
            return Ok(None);
        };
        let vf = self.fibre_volume.get();
        let by_fibre = self.orientation.efficiency() * vf * of_fibre.si() * used;
        Ok(Some(ShortFibreStrength {
            tension: Pressure::from_si(by_fibre + of_resin.si() * (1.0 - vf))?,
            unbonded: Pressure::from_si(of_resin.si() * (1.0 - 1.21 * vf.powf(2.0 / 3.0)).max(0.0))?,
            first_crack: Pressure::from_si(of_resin.si() * modulus.si() / self.resin.modulus.si())?,
        }))
    }

    fn length_efficiency(&self) -> f64 {
        let vf = self.fibre_volume.get();
        if vf <= 0.0 {
            return 1.0;
        }
        let (ef, gm) = (self.fibre.modulus.si(), self.resin.shear().si());
        let beta = 2.0 / self.diameter.si() * (4.0 * gm / (ef * (HEXAGONAL / vf).ln())).sqrt();
        let x = beta * self.length.si() / 2.0;
        // tanh(x)/x loses its digits near zero; there 1 - tanh(x)/x = x²/3.
        if x < 1e-3 { x * x / 3.0 } else { 1.0 - x.tanh() / x }
    }

    fn critical_length(&self) -> Result<Option<Length>> {
        let (Some(s), Some(t)) = (self.fibre_strength, self.bond_shear_strength) else {
            return Ok(None);
        };
        Length::from_si(s.si() * self.diameter.si() / (2.0 * t.si())).map(Some)
    }

    fn why(&self, e: Pressure, eta_l: f64, eta_o: f64, critical: Option<Length>) -> Why {
        let mut why = Why::computed(
            "modulus of resin with short strands",
            show(e),
            "E = eta_o eta_l E_f V_f + E_m (1 - V_f)",
            vec![
                Why::computed(
                    "eta_l, length efficiency",
                    format!("{eta_l:.4}"),
                    "1 - tanh(beta l/2)/(beta l/2), beta = (2/d) sqrt(4 G_m/(E_f ln(0.9069/V_f)))",
                    vec![
                        Why::given("l, length of the strands", show(self.length)),
                        Why::given("d, diameter of what carries as one", show(self.diameter)),
                    ],
                )
                .with_source(&sources::cox()),
                Why::given("eta_o, orientation efficiency", eta_o.to_string())
                    .with_source(&sources::krenchel()),
                Why::given("E_f, modulus of the fibre", show(self.fibre.modulus)),
                Why::given("E_m, modulus of the resin", show(self.resin.modulus)),
                Why::given("V_f, fibre by volume", show(self.fibre_volume)),
            ],
        );
        if let (Some(lc), Some(s), Some(t)) = (critical, self.fibre_strength, self.bond_shear_strength) {
            why.from.push(
                Why::computed(
                    "l_c, critical length",
                    show(lc),
                    "l_c = s_f d/(2 tau)",
                    vec![
                        Why::given("s_f, strength of the fibre", show(s)),
                        Why::given("tau, shear strength of the bond", show(t)),
                    ],
                )
                .with_source(&sources::kelly_tyson()),
            );
        }
        why
    }
}

/// Lower and upper bound of an isotropic two-phase material.
#[derive(Clone, Copy, PartialEq, Noun)]
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

/// A resin with a particulate filler.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FilledResin {
    /// The filler.
    pub filler: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Filler by volume.
    pub filler_volume: VolumeFraction,
    /// Densest packing of the filler; of equal round grains (0.60 to 0.64 as poured, from memory) where not given.
    #[noun(
        default = "62 vol%",
        within("0.001 vol%", "99.999 vol%", "equal round grains pack to about '62 vol%'")
    )]
    pub packing: VolumeFraction,
}

/// Modulus of a filled resin and its bounds.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct FilledResinStiffness {
    /// Estimate by Lewis and Nielsen.
    pub modulus: Pressure,
    /// Bounds of Hashin and Shtrikman.
    pub bounds: Bounds,
    /// Where the estimate leaves the bounds.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl FilledResin {
    /// Modulus of a resin with a particulate filler, between its bounds.
    ///
    /// Lewis and Nielsen: `E/Em = (1 + A B φ)/(1 - B ψ φ)`, `B = (Ef/Em - 1)/(Ef/Em + A)`, `A = (7 - 5ν)/(8 - 10ν)`,
    /// `ψ = 1 + φ (1 - φm)/φm²`; φ filler by volume, φm its densest packing, ν of the resin. For rigid spheres in a
    /// rubbery resin (ν = 0.5) it tends to Einstein's 1 + 2.5 φ. T. B. Lewis, L. E. Nielsen (1970).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range, or φ above φm.
    #[question("laminate.filled_resin")]
    pub fn stiffness(&self) -> Result<FilledResinStiffness> {
        let bounds = self.bounds()?;
        let ((ef, _), (em, nu)) = (self.filler.si(), self.resin.si());
        let (phi, packing) = (self.filler_volume.get(), self.packing.get());
        if phi > packing {
            return Err(Error::out_of_range(
                "filler_volume",
                show(self.filler_volume),
                format!(
                    "0 vol% to {:.1} vol%, the densest packing of the filler",
                    100.0 * packing
                ),
                "use less, or give the fraction by volume, not by mass",
            ));
        }
        let modulus = Pressure::from_si(em * lewis_nielsen_ratio(ef / em, nu, phi, packing))?;
        let slack = 1.0 + 1e-9;
        let extrapolated = (modulus.si() * slack < bounds.modulus_low.si()
            || modulus.si() > bounds.modulus_high.si() * slack)
            .then(|| {
                "the estimate leaves the bounds, which no mixture can: take the nearer bound".to_owned()
            });
        Ok(FilledResinStiffness {
            why: Why::computed(
                "modulus of the filled resin",
                show(modulus),
                "E/Em = (1 + A B phi)/(1 - B psi phi), psi = 1 + phi (1 - phi_m)/phi_m^2",
                vec![
                    Why::given("E_f, modulus of the filler", show(self.filler.modulus)),
                    Why::given("E_m, modulus of the resin", show(self.resin.modulus)),
                    Why::given("phi, filler by volume", show(self.filler_volume)),
                    Why::given("phi_m, densest packing", show(self.packing)),
                    Why::given(
                        "bounds of any isotropic mixture",
                        format!("{} to {}", show(bounds.modulus_low), show(bounds.modulus_high)),
                    )
                    .with_source(&sources::hashin_shtrikman()),
                ],
            )
            .with_source(&sources::lewis_nielsen()),
            modulus,
            bounds,
            extrapolated,
        })
    }

    /// Hashin-Shtrikman bounds of a filled resin, for fillers of any shape that lie at random.
    ///
    /// `K = [Σ φi/(Ki + 4/3 G0)]⁻¹ - 4/3 G0`, `G = [Σ φi/(Gi + ζ0)]⁻¹ - ζ0`,
    /// `ζ0 = G0 (9 K0 + 8 G0)/(6 (K0 + 2 G0))`; K0, G0 the smallest of the phases' moduli for the lower bound, the
    /// largest for the upper. E = 9KG/(3K + G). Z. Hashin, S. Shtrikman (1963).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    pub fn bounds(&self) -> Result<Bounds> {
        noun::check(self)?;
        let (filler, resin, phi) = (&self.filler, &self.resin, self.filler_volume.get());
        let k = [resin.bulk().si(), filler.bulk().si()];
        let g = [resin.shear().si(), filler.shear().si()];
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
}

fn lewis_nielsen_ratio(ratio: f64, nu: f64, phi: f64, pm: f64) -> f64 {
    let a = (7.0 - 5.0 * nu) / (8.0 - 10.0 * nu);
    let b = (ratio - 1.0) / (ratio + a);
    let psi = 1.0 + phi * (1.0 - pm) / (pm * pm);
    (1.0 + a * b * phi) / (1.0 - b * psi * phi)
}

/// A hollow sphere.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct HollowSphere {
    /// Material of the wall.
    pub wall: Phase,
    /// Its density.
    #[noun(within("1 kg/m^3", "1e5 kg/m^3", "give a density above zero: glass has '2.5 g/mL'"))]
    pub wall_density: MassDensity,
    /// Wall thickness over outer radius; 1 is solid.
    #[noun(within(
        0.000001,
        1,
        "glass bubbles have 0.02 to 0.1: from their density, 1 - (1 - density/glass)^(1/3)"
    ))]
    pub wall_over_radius: Index,
}

/// A hollow sphere as the solid sphere that would deform alike, and its density.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct EquivalentSolid {
    /// The equivalent solid.
    pub equivalent: Phase,
    /// Density of the sphere with its hollow.
    pub density: MassDensity,
    /// Hollow over whole volume.
    pub hollow: f64,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl HollowSphere {
    /// The solid filler that deforms like a hollow sphere, and the sphere's density.
    ///
    /// `c = (1 - w)³` hollow by volume (w wall over outer radius), density `(1 - c) ρ`, bulk modulus exactly
    /// `K = 4 G Kw (1 - c)/(4 G + 3 c Kw)`, shear modulus the Hashin-Shtrikman upper bound of a wall material with
    /// that hollow. K. J. Lee, R. A. Westmann (1970). Its walls are taken not to buckle or break.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range.
    #[question("laminate.hollow_sphere")]
    pub fn equivalent(&self) -> Result<EquivalentSolid> {
        noun::check(self)?;
        let c = (1.0 - self.wall_over_radius.get()).powi(3);
        let (k, g) = (self.wall.bulk().si(), self.wall.shear().si());
        let bulk = 4.0 * g * k * (1.0 - c) / (4.0 * g + 3.0 * c * k);
        let (_, shear) = surrounded([k, 0.0], [g, 0.0], c, k, g);
        let equivalent = Phase::from_bulk_and_shear(bulk, shear)?;
        Ok(EquivalentSolid {
            equivalent,
            density: MassDensity::from_si((1.0 - c) * self.wall_density.si())?,
            hollow: c,
            why: Why::computed(
                "modulus of the equivalent solid",
                show(equivalent.modulus),
                "K = 4 G Kw (1 - c)/(4 G + 3 c Kw), c = (1 - w)^3; G the upper bound of a porous wall",
                vec![
                    Why::given("modulus of the wall", show(self.wall.modulus)),
                    Why::given("w, wall over radius", show(self.wall_over_radius)),
                ],
            )
            .with_source(&sources::lee_westmann()),
        })
    }
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
