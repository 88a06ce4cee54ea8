//! What is in a laminate as made, and in loose chop: glass, resin, voids.

use crate::noun::{self, Noun, questions};

use super::ply::fibre_volume;
use super::reinforcement::ReinforcementForm;
use super::sources;
use super::usual::{cured_polyester_density, e_glass_density};
use crate::error::{Error, Result};
use crate::quantity::{
    ArealMassDensity, Length, Mass, MassDensity, MassFraction, Quantity, Volume, VolumeFraction, show,
};
use crate::source::Why;

/// A laminate as made: its measured thickness, and the glass that went in.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct MeasuredLaminate {
    /// Measured thickness of the laminate without gel coat.
    #[noun(within = crate::ranges::WALL_THICKNESS)]
    pub thickness: Length,
    /// Dry areal mass of all plies together.
    #[noun(within("1e-6 kg/m^2", "1e4 kg/m^2", "give an areal mass above zero: '900 g/m^2'"))]
    pub areal_mass: ArealMassDensity,
    /// Density of the fibre; of E-glass (ISO 12215-5:2008, annex C) where not given.
    #[noun(
        default = e_glass_density(),
        within = crate::ranges::FIBRE_DENSITY
    )]
    pub fibre_density: MassDensity,
    /// Density of the cured resin; as ISO 12215-5:2008, annex C computes where not given.
    #[noun(
        default = cured_polyester_density(),
        within = crate::ranges::CURED_RESIN_DENSITY
    )]
    pub resin_density: MassDensity,
    /// Voids by volume.
    #[noun(default = "0 vol%", within = crate::ranges::VOIDS)]
    pub voids: VolumeFraction,
}

/// Glass content by mass and by volume.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct GlassContent {
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Resin over glass by mass.
    pub resin_to_glass: f64,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl MeasuredLaminate {
    /// Glass content of a laminate as made, from its thickness and the dry glass in it.
    ///
    /// `ψ = w/(w + ρr (t (1 - v) - w/ρf))`: [`LaidPly::cured`](super::LaidPly::cured) solved for ψ.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) where the glass alone would already
    /// be thicker.
    #[question("laminate.glass_content")]
    pub fn glass_content(&self) -> Result<GlassContent> {
        noun::check(self)?;
        let (t, w, v) = (self.thickness.si(), self.areal_mass.si(), self.voids.get());
        let (rf, rr) = (self.fibre_density.si(), self.resin_density.si());
        let resin = (t * (1.0 - v) - w / rf) * rr;
        if resin <= 0.0 {
            return Err(Error::inconsistent(
                "thickness",
                show(self.thickness),
                format!(
                    "more than {}, the glass alone",
                    show(Length::from_si(w / rf / (1.0 - v))?)
                ),
                "measure again, or check the areal mass of the plies",
            ));
        }
        let psi = MassFraction::new(w / (w + resin))?;
        Ok(GlassContent {
            glass_content: psi,
            fibre_volume: VolumeFraction::new(fibre_volume(psi.get(), rf, rr, v))?,
            resin_to_glass: 1.0 / psi.get() - 1.0,
            why: Why::computed(
                "glass content by mass",
                show(psi),
                "psi = w/(w + rho_r (t (1 - v) - w/rho_f))",
                vec![
                    Why::given("t, thickness", show(self.thickness)),
                    Why::given("w, dry areal mass", show(self.areal_mass)),
                    Why::given("rho_f, density of the fibre", show(self.fibre_density)),
                    Why::given("rho_r, density of the cured resin", show(self.resin_density)),
                    Why::given("v, voids", show(self.voids)),
                ],
            )
            .with_source(&sources::derived_here("mass balance of glass, resin and voids")),
        })
    }
}

/// A sample of a laminate, weighed and burnt off.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct BurnOffSample {
    /// Density of the sample.
    #[noun(within("1 kg/m^3", "1e5 kg/m^3", "give a density above zero: '1.4 g/mL'"))]
    pub measured_density: MassDensity,
    /// Glass content by mass (burn-off).
    #[noun(within = crate::ranges::GLASS_CONTENT)]
    pub glass_content: MassFraction,
    /// Density of the fibre.
    #[noun(within = crate::ranges::FIBRE_DENSITY)]
    pub fibre_density: MassDensity,
    /// Density of the cured resin.
    #[noun(within = crate::ranges::CURED_RESIN_DENSITY)]
    pub resin_density: MassDensity,
}

/// Voids of a sample.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct VoidContent {
    /// Voids by volume.
    pub voids: VolumeFraction,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl BurnOffSample {
    /// Voids of a sample from its density, its glass content and the densities of its parts.
    ///
    /// `v = 1 - ρ (ψ/ρf + (1 - ψ)/ρr)` (ISO 7822:1990, by densities).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) if the sample is denser than its
    /// glass and resin (v < 0): a wrong density or glass content.
    #[question("laminate.void_content")]
    pub fn voids(&self) -> Result<VoidContent> {
        noun::check(self)?;
        let psi = self.glass_content.get();
        let without = 1.0 / (psi / self.fibre_density.si() + (1.0 - psi) / self.resin_density.si());
        let v = 1.0 - self.measured_density.si() / without;
        if v < 0.0 {
            return Err(Error::inconsistent(
                "measured_density",
                show(self.measured_density),
                format!("at most {} without voids", show(MassDensity::from_si(without)?)),
                "check the glass content (burn-off) and the cured densities",
            ));
        }
        let voids = VolumeFraction::new(v)?;
        Ok(VoidContent {
            voids,
            why: Why::computed(
                "voids by volume",
                show(voids),
                "v = 1 - rho (psi/rho_f + (1 - psi)/rho_r)",
                vec![
                    Why::given("rho, density of the sample", show(self.measured_density)),
                    Why::given("psi, glass content", show(self.glass_content)),
                    Why::given("rho_f, density of the fibre", show(self.fibre_density)),
                    Why::given("rho_r, density of the cured resin", show(self.resin_density)),
                ],
            )
            .with_source(&sources::void_content()),
        })
    }
}

/// Loose dry chopped strands as they lie, before resin fills them.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct LooseChop {
    /// Mass of chop.
    #[noun(within("1e-9 kg", "1e6 kg", "give a mass above zero: '100 g'"))]
    pub chop: Mass,
    /// Its bulk density as it lies: weigh a filled cup.
    #[noun(within(
        "1e-3 kg/m^3",
        "1e5 kg/m^3",
        "give a density above zero: loose chop has about '0.4 g/mL'"
    ))]
    pub bulk_density: MassDensity,
    /// Density of the fibre; of E-glass (ISO 12215-5:2008, annex C) where not given.
    #[noun(
        default = e_glass_density(),
        within = crate::ranges::FIBRE_DENSITY
    )]
    pub fibre_density: MassDensity,
    /// Density of the liquid resin.
    #[noun(within(
        "1 kg/m^3",
        "1e5 kg/m^3",
        "give a density above zero: liquid polyester has '1.1 g/mL'"
    ))]
    pub resin_density: MassDensity,
    /// Air that stays.
    #[noun(default = "0 vol%", within("0 vol%", < "50 vol%", "a few percent of air stay: write for example '3 vol%'"))]
    pub air: VolumeFraction,
}

/// Dry chopped strands and the resin that fills them.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ChopFill {
    /// Resin that fills the gaps between the strands.
    pub resin: Mass,
    /// Volume of the wetted chop.
    pub volume: Volume,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction of the loose chop.
    pub fibre_volume: VolumeFraction,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl LooseChop {
    /// Resin that fills the gaps of loose dry chopped strands.
    ///
    /// `Vf = ρb/ρf`, volume `m/ρb`, resin `(1 - Vf - a) ρr m/ρb`; m mass of chop, ρb its bulk density as it lies
    /// (weigh a filled cup), a the air that stays. A lower bound on the resin of a pour that still flows.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range; [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) where the bulk is denser than the
    /// packing limit of loose chop or leaves no room for resin.
    #[question("laminate.chop_resin")]
    pub fn fill(&self) -> Result<ChopFill> {
        noun::check(self)?;
        let (m, rb, a) = (self.chop.si(), self.bulk_density.si(), self.air.get());
        let (rf, rr) = (self.fibre_density.si(), self.resin_density.si());
        let vf = rb / rf;
        let limit = ReinforcementForm::Chop.packing_limit();
        if vf > limit || vf + a >= 1.0 {
            return Err(Error::inconsistent(
                "bulk_density",
                show(self.bulk_density),
                format!(
                    "at most {} ({limit} of the fibre's density, from memory)",
                    show(MassDensity::from_si(limit * rf)?)
                ),
                "weigh a filled cup of loose chop: it is far lighter than glass, for example '0.4 g/mL'",
            ));
        }
        let volume = m / rb;
        let resin = Mass::from_si((1.0 - vf - a) * rr * volume)?;
        Ok(ChopFill {
            resin,
            volume: Volume::from_si(volume)?,
            glass_content: MassFraction::new(m / (m + resin.si()))?,
            fibre_volume: VolumeFraction::new(vf)?,
            why: Why::computed(
                "resin held by dry chop",
                show(resin),
                "m_r = (1 - rho_b/rho_f - a) rho_r m/rho_b",
                vec![
                    Why::given("m, chop", show(self.chop)),
                    Why::given("rho_b, bulk density as it lies", show(self.bulk_density)),
                    Why::given("rho_f, density of the fibre", show(self.fibre_density)),
                    Why::given("rho_r, density of the resin", show(self.resin_density)),
                    Why::given("a, air that stays", show(self.air)),
                ],
            )
            .with_source(&sources::derived_here("mass balance of strands, resin and air")),
        })
    }
}
