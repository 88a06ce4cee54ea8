//! Questions about the cured wall.

use std::collections::BTreeMap;

use crate::noun::Noun;

use super::edge::{self, Edge, EdgeAnswer, EdgeCost};
use super::lamina::{Elastic, PlyMaterial, ReserveFactors, Strengths, reserve_factors_with_residual};
use super::mat::{GlassLaminate, Process, RuleStrength, glass_laminate};
use super::micro::{self, Bounds, HollowSphere, Orientation, Phase, ShortFibre};
use super::panel::{Panel, PanelAnswer, panel};
use super::ply::{
    self, ChopFill, Cloth, CuredPly, Form, Mat, PlyCount, Reinforcement, RuleThickness, Target, cured_ply,
    plies_for,
};
use super::shrinkage::{self, CoreGripAnswer, PrintThrough};
use super::stack::{Compliance, Constants, Load, Ply, Response, Stack};
use super::wall::{WallSpec, WallSummary, wall_summary};
use super::{ForcePerWidth, MomentPerWidth, check, sources};
use crate::door::{Question, entry};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    Angle, ArealMassDensity, Energy, Force, Index, Length, Mass, MassDensity, MassFraction, Pressure,
    Quantity, Strain, TemperatureCoefficient, TemperatureInterval, VolumeFraction, show,
};
use crate::question::Entry;
use crate::source::Why;

/// The questions of this module.
pub(crate) const QUESTIONS: &[Entry] = &[
    entry::<ArealMass>(),
    entry::<PlyThickness>(),
    entry::<GlassContent>(),
    entry::<VoidContent>(),
    entry::<PliesFor>(),
    entry::<ChopResin>(),
    entry::<MatProperties>(),
    entry::<FromConstituents>(),
    entry::<ShortFibreModulus>(),
    entry::<FilledResin>(),
    entry::<HollowSphereModulus>(),
    entry::<PlyFailure>(),
    entry::<StackRequest>(),
    entry::<EdgeBending>(),
    entry::<PanelBending>(),
    entry::<Shrinkage>(),
    entry::<CoreGrip>(),
    entry::<WallSpec>(),
];

fn cured_polyester() -> Result<MassDensity> {
    MassDensity::from_si(ply::CURED_POLYESTER_DENSITY_KG_PER_M3)
}

/// The weight of a reinforcement, in every unit the trade uses.
#[derive(Debug, Clone, Noun)]
pub struct ArealMass {
    /// As written on the roll: "450 g/m^2", "1.5 oz/ft^2", "10 oz/yd^2"; "1.5 oz" only with a form.
    pub areal_mass: String,
    /// Mat or cloth, where ounces are written without an area.
    pub form: Option<Form>,
}

/// A weight of reinforcement.
#[derive(Debug, Clone, Noun)]
pub struct ArealMassAnswer {
    /// Mass per area.
    pub areal_mass: ArealMassDensity,
    /// In ounces per square foot, as mat is sold.
    pub mat_ounces: f64,
    /// In ounces per square yard, as cloth is sold.
    pub cloth_ounces: f64,
}

impl Question for ArealMass {
    const NAME: &'static str = "laminate.areal_mass";
    const ABOUT: &'static str = "Weight of mat (ounces per square foot) or cloth (ounces per square yard); ounces without either are refused.";
    type Answer = ArealMassAnswer;
    fn answer(&self) -> Result<ArealMassAnswer> {
        let areal = match self.form {
            Some(Form::Mat) => Mat::parse("areal_mass", &self.areal_mass)?.areal_mass(),
            Some(Form::WovenRoving | Form::Cloth | Form::Stitched | Form::Unidirectional) => {
                Cloth::parse("areal_mass", &self.areal_mass)?.areal_mass()
            }
            _ => ply::areal_mass("areal_mass", &self.areal_mass)?,
        };
        Ok(ArealMassAnswer {
            areal_mass: areal,
            mat_ounces: Mat::new(areal)?.ounces(),
            cloth_ounces: Cloth::new(areal)?.ounces(),
        })
    }
}

/// Thickness of a ply from its dry weight and glass content.
#[derive(Debug, Clone, Noun)]
pub struct PlyThickness {
    /// The dry reinforcement.
    pub reinforcement: Reinforcement,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Density of the cured resin; 1.20 g/mL (ISO 12215-5:2008, annex C) where not given.
    pub resin_density: Option<MassDensity>,
    /// Voids by volume; none where not given.
    pub voids: Option<VolumeFraction>,
}

impl PlyThickness {
    fn ply(&self) -> Result<CuredPly> {
        cured_ply(
            &self.reinforcement,
            self.glass_content,
            self.resin_density.map_or_else(cured_polyester, Ok)?,
            self.voids.unwrap_or(VolumeFraction::ZERO),
        )
    }
}

/// A ply after cure, with how it was computed.
#[derive(Debug, Clone, Noun)]
pub struct PlyThicknessAnswer {
    /// The ply.
    #[noun(flat)]
    pub ply: CuredPly,
    /// The published thickness rules for E-glass and polyester, side by side.
    pub rules: Vec<RuleThickness>,
    /// How its thickness was computed.
    pub why: Why,
}

impl Question for PlyThickness {
    const NAME: &'static str = "laminate.ply_thickness";
    const ABOUT: &'static str = "Thickness, weight, resin demand and fibre volume of a ply from its dry areal mass and glass content.";
    type Answer = PlyThicknessAnswer;
    fn answer(&self) -> Result<PlyThicknessAnswer> {
        let ply = self.ply()?;
        Ok(PlyThicknessAnswer {
            rules: ply.rules(),
            why: ply.why(),
            ply,
        })
    }
}

/// Glass content of a laminate as made, from its measured thickness and the glass that went in.
#[derive(Debug, Clone, Noun)]
pub struct GlassContent {
    /// Measured thickness of the laminate without gel coat.
    pub thickness: Length,
    /// Dry areal mass of all plies together.
    pub areal_mass: ArealMassDensity,
    /// Density of the fibre; E-glass 2.56 g/mL where not given.
    pub fibre_density: Option<MassDensity>,
    /// Density of the cured resin; 1.20 g/mL where not given.
    pub resin_density: Option<MassDensity>,
    /// Voids by volume; none where not given.
    pub voids: Option<VolumeFraction>,
}

/// Glass content by mass and by volume.
#[derive(Debug, Clone, Noun)]
pub struct GlassContentAnswer {
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Resin over glass by mass.
    pub resin_to_glass: f64,
    /// How it was computed.
    pub why: Why,
}

impl Question for GlassContent {
    const NAME: &'static str = "laminate.glass_content";
    const ABOUT: &'static str =
        "Glass content of a laminate as made, from its thickness and the dry glass in it.";
    type Answer = GlassContentAnswer;
    fn answer(&self) -> Result<GlassContentAnswer> {
        let rf = self
            .fibre_density
            .map_or_else(|| MassDensity::from_si(ply::E_GLASS_DENSITY_KG_PER_M3), Ok)?;
        let rr = self.resin_density.map_or_else(cured_polyester, Ok)?;
        let voids = self.voids.unwrap_or(VolumeFraction::ZERO);
        let psi = ply::glass_content_from_thickness(self.thickness, self.areal_mass, rf, rr, voids)?;
        Ok(GlassContentAnswer {
            glass_content: psi,
            fibre_volume: ply::volume_fraction(psi, rf, rr, voids)?,
            resin_to_glass: 1.0 / psi.get() - 1.0,
            why: Why::computed(
                "glass content by mass",
                show(psi),
                "psi = w/(w + rho_r (t (1 - v) - w/rho_f))",
                vec![
                    Why::given("t, thickness", show(self.thickness)),
                    Why::given("w, dry areal mass", show(self.areal_mass)),
                    Why::given("rho_f, density of the fibre", show(rf)),
                    Why::given("rho_r, density of the cured resin", show(rr)),
                    Why::given("v, voids", show(voids)),
                ],
            )
            .with_source(&sources::derived_here("mass balance of glass, resin and voids")),
        })
    }
}

/// Void content of a sample from its density and glass content.
#[derive(Debug, Clone, Noun)]
pub struct VoidContent {
    /// Density of the sample.
    pub measured_density: MassDensity,
    /// Glass content by mass (burn-off).
    pub glass_content: MassFraction,
    /// Density of the fibre.
    pub fibre_density: MassDensity,
    /// Density of the cured resin.
    pub resin_density: MassDensity,
}

/// Voids of a sample.
#[derive(Debug, Clone, Noun)]
pub struct VoidContentAnswer {
    /// Voids by volume.
    pub voids: VolumeFraction,
    /// How it was computed.
    pub why: Why,
}

impl Question for VoidContent {
    const NAME: &'static str = "laminate.void_content";
    const ABOUT: &'static str =
        "Voids of a sample from its density, its glass content and the densities of its parts.";
    type Answer = VoidContentAnswer;
    fn answer(&self) -> Result<VoidContentAnswer> {
        let v = ply::void_content(
            self.measured_density,
            self.glass_content,
            self.fibre_density,
            self.resin_density,
        )?;
        Ok(VoidContentAnswer {
            voids: v,
            why: Why::computed(
                "voids by volume",
                show(v),
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

/// How many plies reach a thickness, a weight or a stiffness. Exactly one target is given.
#[derive(Debug, Clone, Noun)]
pub struct PliesFor {
    /// One ply.
    pub ply: PlyThickness,
    /// At least this thickness of laminate.
    pub thickness: Option<Length>,
    /// At least this mass of glass and resin per area.
    pub areal_mass: Option<ArealMassDensity>,
    /// At least this stretching stiffness E t, for example "12e6 N/m".
    pub stretching_stiffness: Option<ForcePerWidth>,
    /// At least this bending stiffness E t³/12/(1 - ν²) per width, for example "25 N*m".
    pub bending_stiffness: Option<Energy>,
    /// In-plane modulus of the laminate; from ISO 12215-5:2008 (untested) where not given.
    pub modulus: Option<Pressure>,
    /// Its Poisson's ratio; 0.3 (from memory) where not given.
    pub poisson: Option<Index>,
}

/// A number of plies, with how it was computed.
#[derive(Debug, Clone, Noun)]
pub struct PliesForAnswer {
    /// The number and what it reaches.
    #[noun(flat)]
    pub count: PlyCount,
    /// What lies outside usual ranges.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

impl Question for PliesFor {
    const NAME: &'static str = "laminate.plies_for";
    const ABOUT: &'static str = "How many plies reach a wanted thickness, weight or stiffness.";
    type Answer = PliesForAnswer;
    fn answer(&self) -> Result<PliesForAnswer> {
        let targets: Vec<Target> = [
            self.thickness.map(Target::Thickness),
            self.areal_mass.map(Target::ArealMass),
            self.stretching_stiffness.map(Target::Stretching),
            self.bending_stiffness.map(Target::Bending),
        ]
        .into_iter()
        .flatten()
        .collect();
        let [target] = targets.as_slice() else {
            return Err(Error::new(ErrorKind::Document, "")
                .with_value(format_args!("{} targets", targets.len()))
                .with_allowed("exactly one")
                .with_way_out("give one of thickness, areal_mass, stretching_stiffness, bending_stiffness"));
        };
        let ply = self.ply.ply().map_err(|e| e.within("ply"))?;
        let nu = self.poisson.map_or_else(|| Index::new(0.3), Ok)?;
        let stiff = matches!(target, Target::Stretching(_) | Target::Bending(_));
        let (modulus, modulus_why) = match self.modulus {
            Some(e) => (Some(e), Some(Why::given("E, modulus", show(e)))),
            None if stiff => {
                let g = glass_laminate(
                    self.ply.reinforcement.form,
                    self.ply.glass_content,
                    Process::HandLaid,
                    false,
                )
                .map_err(|e| e.within("ply"))?;
                (Some(g.modulus), Some(g.why()))
            }
            None => (None, None),
        };
        let count = plies_for(&ply, *target, modulus.map(|e| (e, nu)))?;
        let mut from = vec![ply.why()];
        from.extend(modulus_why);
        Ok(PliesForAnswer {
            why: Why::computed(
                "number of plies",
                count.plies.to_string(),
                "n = ceil(t/t1), ceil(m/m1), ceil(S/(E t1)) or ceil((12 D (1 - nu^2)/E)^(1/3)/t1)",
                from,
            )
            .with_source(&sources::plates()),
            count,
            extrapolated: ply.extrapolated,
        })
    }
}

/// Resin that dry chopped strands hold as they lie.
#[derive(Debug, Clone, Noun)]
pub struct ChopResin {
    /// Mass of chop.
    pub chop: Mass,
    /// Its bulk density as it lies: weigh a filled cup.
    pub bulk_density: MassDensity,
    /// Density of the fibre; E-glass 2.56 g/mL where not given.
    pub fibre_density: Option<MassDensity>,
    /// Density of the liquid resin.
    pub resin_density: MassDensity,
    /// Air that stays; none where not given.
    pub air: Option<VolumeFraction>,
}

impl Question for ChopResin {
    const NAME: &'static str = "laminate.chop_resin";
    const ABOUT: &'static str = "Resin that fills the gaps of loose dry chopped strands.";
    type Answer = ChopFill;
    fn answer(&self) -> Result<ChopFill> {
        ply::resin_held_by_chop(
            self.chop,
            self.bulk_density,
            self.fibre_density
                .map_or_else(|| MassDensity::from_si(ply::E_GLASS_DENSITY_KG_PER_M3), Ok)?,
            self.resin_density,
            self.air.unwrap_or(VolumeFraction::ZERO),
        )
    }
}

/// Published strength and stiffness of hand-laid glass by glass content.
#[derive(Debug, Clone, Noun)]
pub struct MatProperties {
    /// Form of the reinforcement.
    pub form: Form,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Hand-laid or sprayed; hand-laid where not given.
    #[noun(default)]
    pub process: Process,
    /// Whether the lay-up was tested; if not, 0.8 of each value.
    #[noun(default)]
    pub tested: bool,
}

/// Published strength and stiffness, with how they were computed.
#[derive(Debug, Clone, Noun)]
pub struct MatPropertiesAnswer {
    /// The properties.
    #[noun(flat)]
    pub laminate: GlassLaminate,
    /// Other published rules for comparison.
    pub rules: Vec<RuleStrength>,
    /// How they were computed.
    pub why: Why,
}

impl Question for MatProperties {
    const NAME: &'static str = "laminate.mat_properties";
    const ABOUT: &'static str = "Published strength and stiffness of E-glass in polyester by glass content; a tested panel wins over them.";
    type Answer = MatPropertiesAnswer;
    fn answer(&self) -> Result<MatPropertiesAnswer> {
        let laminate = glass_laminate(self.form, self.glass_content, self.process, self.tested)?;
        Ok(MatPropertiesAnswer {
            rules: laminate.rules(),
            why: laminate.why(),
            laminate,
        })
    }
}

/// Elastic constants of a ply from those of fibre and resin.
#[derive(Debug, Clone, Noun)]
pub struct FromConstituents {
    /// The fibre.
    pub fibre: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Thermal expansion of the fibre, for that of the ply.
    pub fibre_expansion: Option<TemperatureCoefficient>,
    /// Thermal expansion of the resin.
    pub resin_expansion: Option<TemperatureCoefficient>,
}

/// Elastic constants of a ply by several models.
#[derive(Debug, Clone, Noun)]
pub struct FromConstituentsAnswer {
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

impl Question for FromConstituents {
    const NAME: &'static str = "laminate.from_constituents";
    const ABOUT: &'static str =
        "Elastic constants and expansion of a unidirectional ply and of a random mat from fibre and resin.";
    type Answer = FromConstituentsAnswer;
    fn answer(&self) -> Result<FromConstituentsAnswer> {
        let mixtures = micro::rule_of_mixtures(&self.fibre, &self.resin, self.fibre_volume)?;
        let ud = micro::unidirectional(&self.fibre, &self.resin, self.fibre_volume)?;
        let mat = micro::random_mat(&ud)?;
        let expansion = match (self.fibre_expansion, self.resin_expansion) {
            (Some(f), Some(r)) => Some(micro::expansion(
                (&self.fibre, f),
                (&self.resin, r),
                self.fibre_volume,
            )?),
            (None, None) => None,
            _ => {
                return Err(Error::new(ErrorKind::Document, "fibre_expansion")
                    .with_value("only one expansion")
                    .with_way_out("give both fibre_expansion and resin_expansion, or neither"));
            }
        };
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
        Ok(FromConstituentsAnswer {
            why: Why::computed(
                "modulus of a random mat",
                show(mat.e1),
                "E = 3/8 E1 + 5/8 E2",
                vec![along, across],
            )
            .with_source(&sources::tsai_pagano())
            .with_note("an upper estimate: hand-laid mat is 20 % to 30 % softer"),
            mat_expansion: expansion
                .map(|a| micro::random_mat_expansion(&ud, a))
                .transpose()?,
            expansion1: expansion.map(|a| a[0]),
            expansion2: expansion.map(|a| a[1]),
            rule_of_mixtures: mixtures,
            unidirectional: ud,
            random_mat: mat,
            random_mat_by_invariants: micro::random_mat_by_invariants(&ud)?,
        })
    }
}

/// Modulus of a resin with short strands.
#[derive(Debug, Clone, Noun)]
pub struct ShortFibreModulus {
    /// The fibre.
    pub fibre: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Length of the strands.
    pub length: Length,
    /// Diameter of what carries as one: filament where the strands open, else strand.
    pub diameter: Length,
    /// How the strands lie.
    pub orientation: Orientation,
    /// Strength of the fibre, for the critical length.
    pub fibre_strength: Option<Pressure>,
    /// Shear strength of the bond, for the critical length.
    pub bond_shear_strength: Option<Pressure>,
}

/// Modulus of a resin with short strands, and how much of their strength is used.
#[derive(Debug, Clone, Noun)]
pub struct ShortFibreAnswer {
    /// Modulus and efficiencies.
    #[noun(flat)]
    pub resin: ShortFibre,
    /// Length at which a fibre can just be loaded to its strength (Kelly and Tyson).
    pub critical_length: Option<Length>,
    /// Share of the fibre's strength that is used, before orientation.
    pub strength_efficiency: Option<f64>,
}

impl Question for ShortFibreModulus {
    const NAME: &'static str = "laminate.short_fibre";
    const ABOUT: &'static str =
        "Modulus of a pour full of short strands, with length and orientation efficiency.";
    type Answer = ShortFibreAnswer;
    fn answer(&self) -> Result<ShortFibreAnswer> {
        let critical_length = match (self.fibre_strength, self.bond_shear_strength) {
            (Some(s), Some(t)) => Some(micro::critical_length(s, self.diameter, t)?),
            (None, None) => None,
            _ => {
                return Err(Error::new(ErrorKind::Document, "fibre_strength")
                    .with_value("only one strength")
                    .with_way_out("give both fibre_strength and bond_shear_strength, or neither"));
            }
        };
        let resin = micro::short_fibre(
            &self.fibre,
            &self.resin,
            self.fibre_volume,
            self.length,
            self.diameter,
            self.orientation,
        )?;
        Ok(ShortFibreAnswer {
            strength_efficiency: critical_length
                .map(|lc| micro::strength_efficiency(self.length, lc))
                .transpose()?,
            critical_length,
            resin,
        })
    }
}

/// Modulus of a resin with a particulate filler.
#[derive(Debug, Clone, Noun)]
pub struct FilledResin {
    /// The filler.
    pub filler: Phase,
    /// The cured resin.
    pub resin: Phase,
    /// Filler by volume.
    pub filler_volume: VolumeFraction,
    /// Densest packing of the filler; 62 vol% (equal round grains, from memory) where not given.
    pub packing: Option<VolumeFraction>,
}

/// Modulus of a filled resin and its bounds.
#[derive(Debug, Clone, Noun)]
pub struct FilledResinAnswer {
    /// Estimate by Lewis and Nielsen.
    pub modulus: Pressure,
    /// Bounds of Hashin and Shtrikman.
    pub bounds: Bounds,
    /// Where the estimate leaves the bounds.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

impl Question for FilledResin {
    const NAME: &'static str = "laminate.filled_resin";
    const ABOUT: &'static str = "Modulus of a resin with a particulate filler, between its bounds.";
    type Answer = FilledResinAnswer;
    fn answer(&self) -> Result<FilledResinAnswer> {
        let packing = self.packing.map_or_else(|| VolumeFraction::new(0.62), Ok)?;
        let modulus = micro::lewis_nielsen(&self.filler, &self.resin, self.filler_volume, packing)?;
        let bounds = micro::hashin_shtrikman(&self.filler, &self.resin, self.filler_volume)?;
        let slack = 1.0 + 1e-9;
        let extrapolated = (modulus.si() * slack < bounds.modulus_low.si()
            || modulus.si() > bounds.modulus_high.si() * slack)
            .then(|| {
                "the estimate leaves the bounds, which no mixture can: take the nearer bound".to_owned()
            });
        Ok(FilledResinAnswer {
            why: Why::computed(
                "modulus of the filled resin",
                show(modulus),
                "E/Em = (1 + A B phi)/(1 - B psi phi), psi = 1 + phi (1 - phi_m)/phi_m^2",
                vec![
                    Why::given("E_f, modulus of the filler", show(self.filler.modulus)),
                    Why::given("E_m, modulus of the resin", show(self.resin.modulus)),
                    Why::given("phi, filler by volume", show(self.filler_volume)),
                    Why::given("phi_m, densest packing", show(packing)),
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
}

/// A hollow sphere as the solid that deforms alike.
#[derive(Debug, Clone, Noun)]
pub struct HollowSphereModulus {
    /// Material of the wall.
    pub wall: Phase,
    /// Its density.
    pub wall_density: MassDensity,
    /// Wall thickness over outer radius.
    pub wall_over_radius: Index,
}

/// A hollow sphere, with how it was computed.
#[derive(Debug, Clone, Noun)]
pub struct HollowSphereAnswer {
    /// The sphere.
    #[noun(flat)]
    pub sphere: HollowSphere,
    /// How it was computed.
    pub why: Why,
}

impl Question for HollowSphereModulus {
    const NAME: &'static str = "laminate.hollow_sphere";
    const ABOUT: &'static str =
        "The solid filler that deforms like a hollow sphere, and the sphere's density.";
    type Answer = HollowSphereAnswer;
    fn answer(&self) -> Result<HollowSphereAnswer> {
        let sphere = micro::hollow_sphere(&self.wall, self.wall_density, self.wall_over_radius)?;
        Ok(HollowSphereAnswer {
            why: Why::computed(
                "modulus of the equivalent solid",
                show(sphere.equivalent.modulus),
                "K = 4 G Kw (1 - c)/(4 G + 3 c Kw), c = (1 - w)^3; G the upper bound of a porous wall",
                vec![
                    Why::given("modulus of the wall", show(self.wall.modulus)),
                    Why::given("w, wall over radius", show(self.wall_over_radius)),
                ],
            )
            .with_source(&sources::lee_westmann()),
            sphere,
        })
    }
}

/// Three stresses in ply axes.
#[derive(Debug, Clone, Copy, Noun)]
pub struct PlyStress {
    /// Along 1.
    pub s1: Pressure,
    /// Along 2.
    pub s2: Pressure,
    /// Shear.
    pub t12: Pressure,
}

/// When a ply fails under a stress in its own axes.
#[derive(Debug, Clone, Noun)]
pub struct PlyFailure {
    /// Its elastic constants.
    pub elastic: Elastic,
    /// Its strengths.
    pub strengths: Strengths,
    /// The stress that grows.
    pub stress: PlyStress,
    /// The stress that stays (of cure and cooling); none where not given.
    pub residual: Option<PlyStress>,
}

/// By how much a stress can grow until the ply fails.
#[derive(Debug, Clone, Noun)]
pub struct PlyFailureAnswer {
    /// By each criterion.
    #[noun(flat)]
    pub reserve: ReserveFactors,
    /// How it was computed.
    pub why: Why,
}

impl Question for PlyFailure {
    const NAME: &'static str = "laminate.ply_failure";
    const ABOUT: &'static str =
        "Reserve factors of a ply by maximum stress, maximum strain, Tsai-Hill and Tsai-Wu.";
    type Answer = PlyFailureAnswer;
    fn answer(&self) -> Result<PlyFailureAnswer> {
        let si = |s: &PlyStress| [s.s1, s.s2, s.t12];
        let reserve = reserve_factors_with_residual(
            &self.elastic,
            &self.strengths,
            si(&self.stress),
            self.residual.as_ref().map_or([Pressure::default(); 3], si),
        )?;
        let by = super::Criterion::ALL.map(|c| {
            Why::given(
                format!("{c:?}"),
                reserve
                    .by(c)
                    .map_or_else(|| "never".to_owned(), |f| format!("{f:.4}")),
            )
            .with_source(&c.source())
        });
        let least = super::Criterion::ALL
            .iter()
            .filter_map(|c| reserve.by(*c))
            .min_by(f64::total_cmp);
        Ok(PlyFailureAnswer {
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

/// Three forces per width; what is not given is zero.
#[derive(Debug, Clone, Copy, Default, Noun)]
pub struct ForcesPerWidth {
    /// Along x.
    pub x: Option<ForcePerWidth>,
    /// Along y.
    pub y: Option<ForcePerWidth>,
    /// Shear.
    pub xy: Option<ForcePerWidth>,
}

/// Three moments per width ("2 N*m/m" or "2 N"); what is not given is zero.
#[derive(Debug, Clone, Copy, Default, Noun)]
pub struct MomentsPerWidth {
    /// Bending along x, positive stretching the laid-up face.
    pub x: Option<MomentPerWidth>,
    /// Bending along y.
    pub y: Option<MomentPerWidth>,
    /// Twist.
    pub xy: Option<MomentPerWidth>,
}

/// A ply of a stack, by the name of its material.
#[derive(Debug, Clone, Noun)]
pub struct StackPly {
    /// Name of the material.
    pub material: String,
    /// Its thickness.
    pub thickness: Length,
    /// From x to its axis 1; 0 where not given.
    pub angle: Option<Angle>,
}

/// A laminate and what it is under. Plies are listed from the mould face.
#[derive(Debug, Clone, Noun)]
pub struct StackRequest {
    /// The materials by name.
    pub materials: BTreeMap<String, PlyMaterial>,
    /// The plies from the mould face.
    pub plies: Vec<StackPly>,
    /// Force per width.
    #[noun(default)]
    pub force: ForcesPerWidth,
    /// Moment per width.
    #[noun(default)]
    pub moment: MomentsPerWidth,
    /// Transverse shear force per width along x.
    pub shear: Option<ForcePerWidth>,
    /// Temperature minus the stress-free temperature; negative after cooling.
    pub temperature_change: Option<TemperatureInterval>,
    /// Whether the cure shrinkage of the materials acts.
    #[noun(default)]
    pub cured: bool,
    /// Length of the wall, for its bow.
    pub length: Option<Length>,
}

/// What a laminate is and does.
#[derive(Debug, Clone, Noun)]
pub struct StackAnswer {
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
    pub in_plane: Constants,
    /// Flexural moduli of the whole.
    pub flexural: Constants,
    /// Strain, stress, failure and cracking.
    pub response: Response,
    /// Bow along x over the length given.
    pub bow: Option<Length>,
    /// How the in-plane modulus was computed.
    pub why: Why,
}

impl Question for StackRequest {
    const NAME: &'static str = "laminate.stack";
    const ABOUT: &'static str = "Lamination theory: A, B, D and inverse, engineering constants, ply stresses under loads, \
                                 cooling and cure, first ply failure, cracking of the gel coat, interlaminar shear, bow.";
    type Answer = StackAnswer;
    fn answer(&self) -> Result<StackAnswer> {
        for (name, m) in &self.materials {
            m.check()
                .map_err(|e| e.within(format_args!("materials.{name}")))?;
        }
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
                angle: p.angle.unwrap_or_default(),
            });
        }
        let stack = Stack::new(plies)?;
        let load = Load {
            force: [self.force.x, self.force.y, self.force.xy].map(Option::unwrap_or_default),
            moment: [self.moment.x, self.moment.y, self.moment.xy].map(Option::unwrap_or_default),
            shear: self.shear.unwrap_or_default(),
            temperature_change: self.temperature_change.unwrap_or_default(),
            cured: self.cured,
        };
        let response = stack.respond(&load)?;
        Ok(StackAnswer {
            thickness: stack.thickness(),
            a_n_per_m: *stack.a_n_per_m(),
            b_n: *stack.b_n(),
            d_n_m: *stack.d_n_m(),
            compliance: *stack.compliance(),
            coupled: stack.is_coupled(),
            in_plane: stack.in_plane()?,
            flexural: stack.flexural()?,
            bow: self.length.map(|l| response.bow(l)).transpose()?,
            why: stack.why()?,
            response,
        })
    }
}

/// A thin edge with a load at its tip.
#[derive(Debug, Clone, Noun)]
pub struct EdgeBending {
    /// The edge.
    pub edge: Edge,
    /// Load at its tip: the pull at demoulding, a hand.
    pub load: Force,
    /// The same edge made thinner (over-clamped), for what that costs.
    pub thinner: Option<Edge>,
}

/// What the edge does, and what a thinner one costs.
#[derive(Debug, Clone, Noun)]
pub struct EdgeBendingAnswer {
    /// The edge.
    #[noun(flat)]
    pub edge: EdgeAnswer,
    /// What the thinner edge costs.
    pub thinner: Option<EdgeCost>,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl Question for EdgeBending {
    const NAME: &'static str = "laminate.edge_bending";
    const ABOUT: &'static str = "A thin edge of varying thickness: tip deflection, stress, the pull at demoulding it \
                                 survives, and what a thinner edge costs.";
    type Answer = EdgeBendingAnswer;
    fn answer(&self) -> Result<EdgeBendingAnswer> {
        let answer = edge::edge_bending(&self.edge, self.load)
            .map_err(|e| if e.field() == "load" { e } else { e.within("edge") })?;
        let thinner = match &self.thinner {
            None => None,
            Some(t) => Some(edge::edge_cost(&self.edge, t)?),
        };
        Ok(EdgeBendingAnswer {
            edge: answer,
            thinner,
            cautions: vec![
                "a broken edge is sharp and throws splinters: wear eye protection and gloves when demoulding"
                    .to_owned(),
            ],
        })
    }
}

/// A flat panel under pressure.
#[derive(Debug, Clone, Noun)]
pub struct PanelBending {
    /// Its outline and how it is held.
    pub shape: Panel,
    /// Its thickness.
    pub thickness: Length,
    /// Young's modulus.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson: Index,
    /// Uniform pressure.
    pub pressure: Pressure,
}

impl Question for PanelBending {
    const NAME: &'static str = "laminate.panel";
    const ABOUT: &'static str = "Deflection and stress of a flat panel of the wall under uniform pressure.";
    type Answer = PanelAnswer;
    fn answer(&self) -> Result<PanelAnswer> {
        panel(
            self.shape,
            self.thickness,
            self.modulus,
            self.poisson,
            self.pressure,
        )
    }
}

/// Shrinkage of a part: give the resin's shrinkage by volume or the part's linear shrinkage.
#[derive(Debug, Clone, Noun)]
pub struct Shrinkage {
    /// Shrinkage by volume of a casting free on all sides.
    pub volumetric: Option<VolumeFraction>,
    /// Linear shrinkage.
    pub linear: Option<Strain>,
    /// Size of the pattern, for that of the part.
    pub pattern: Option<Length>,
    /// Height of the fibre bundles behind the face, for the fibre pattern.
    pub bundle_height: Option<Length>,
    /// Linear shrinkage of the resin after the face has set, for the fibre pattern; all of it where not given.
    pub after_set: Option<Strain>,
    /// Poisson's ratio of the resin; 0.36 (from memory) where not given.
    pub poisson: Option<Index>,
}

/// Shrinkage of a part.
#[derive(Debug, Clone, Noun)]
pub struct ShrinkageAnswer {
    /// Linear shrinkage, positive for shrinking.
    pub linear: Strain,
    /// Shrinkage by volume.
    pub volumetric: VolumeFraction,
    /// Size of the part.
    pub finished: Option<Length>,
    /// The fibre pattern on the face.
    pub print_through: Option<PrintThrough>,
    /// How it was computed.
    pub why: Why,
}

impl Question for Shrinkage {
    const NAME: &'static str = "laminate.shrinkage";
    const ABOUT: &'static str = "Linear and volumetric shrinkage, finished size, fibre pattern on the face.";
    type Answer = ShrinkageAnswer;
    fn answer(&self) -> Result<ShrinkageAnswer> {
        let (linear, volumetric) = match (self.volumetric, self.linear) {
            (Some(v), None) => (
                shrinkage::linear_from_volumetric(v).map_err(|e| e.at("volumetric"))?,
                v,
            ),
            (None, Some(l)) => (
                l,
                shrinkage::volumetric_from_linear(l).map_err(|e| e.at("linear"))?,
            ),
            _ => {
                return Err(Error::new(ErrorKind::Document, "")
                    .with_value("both or neither shrinkage")
                    .with_allowed("exactly one")
                    .with_way_out("give volumetric ('7 vol%') or linear ('0.5 %')"));
            }
        };
        let nu = self.poisson.map_or_else(|| Index::new(0.36), Ok)?;
        Ok(ShrinkageAnswer {
            linear,
            volumetric,
            finished: self.pattern.map(|p| shrinkage::finished_size(p, linear)).transpose()?,
            print_through: self
                .bundle_height
                .map(|h| shrinkage::print_through(h, self.after_set.unwrap_or(linear), nu))
                .transpose()?,
            why: Why::computed(
                "linear shrinkage",
                show(linear),
                "1 - (1 - S)^(1/3), free on all sides",
                vec![Why::given("S, shrinkage by volume", show(volumetric))],
            )
            .with_source(&sources::derived_here("geometry of a body that shrinks alike in all directions"))
            .with_note("glass and mould hold a wall in its plane: it shrinks less there and more through its thickness"),
        })
    }
}

/// A wall that has shrunk on a core.
#[derive(Debug, Clone, Noun)]
pub struct CoreGrip {
    /// Radius of the core.
    pub core_radius: Length,
    /// Thickness of the wall around it.
    pub wall: Length,
    /// Length of the core in the part.
    pub length: Length,
    /// Linear shrinkage of the wall.
    pub shrinkage: Strain,
    /// Modulus of the wall at demoulding.
    pub modulus: Pressure,
    /// Poisson's ratio of the wall.
    pub poisson: Index,
    /// Friction between wall and core.
    pub friction: Index,
    /// Draft of the core; none where not given.
    pub draft: Option<Angle>,
}

impl Question for CoreGrip {
    const NAME: &'static str = "laminate.core_grip";
    const ABOUT: &'static str = "Pressure, hoop stress and pull of a wall that has shrunk on a core or rib.";
    type Answer = CoreGripAnswer;
    fn answer(&self) -> Result<CoreGripAnswer> {
        shrinkage::core_grip(&shrinkage::CoreGrip {
            core_radius: self.core_radius,
            wall: self.wall,
            length: self.length,
            shrinkage: self.shrinkage,
            modulus: self.modulus,
            poisson: self.poisson,
            friction: self.friction,
            draft: self.draft.unwrap_or_default(),
        })
    }
}

/// A wall in one look, with how it was computed.
#[derive(Debug, Clone, Noun)]
pub struct WallAnswer {
    /// The wall.
    #[noun(flat)]
    pub wall: WallSummary,
    /// How it was computed.
    pub why: Why,
}

impl Question for WallSpec {
    const NAME: &'static str = "laminate.wall";
    const ABOUT: &'static str = "A gel-coated wall in one look: thickness, weight, glass content, stiffness, strength, moment to crack.";
    type Answer = WallAnswer;
    fn answer(&self) -> Result<WallAnswer> {
        check::positive("resin_density", self.resin_density)?;
        let wall = wall_summary(self)?;
        let why = wall.why();
        Ok(WallAnswer { wall, why })
    }
}
