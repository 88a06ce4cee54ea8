//! One ply of glass in cured resin: contents, thickness, weight, resin demand, and how many are needed.

use std::fmt;

use gelwright_base::text_noun;

use crate::check;
use crate::noun::{self, AsText, Grammar, Noun, questions};

use super::mat::{GlassLayUp, Process};
use super::{ForcePerWidth, sources};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    ArealMassDensity, Energy, Index, Length, Mass, MassDensity, MassFraction, Pressure, Quantity, Volume,
    VolumeFraction, parse, show,
};
use crate::source::{Source, Why};

/// Square foot in m² (exact), the area of mat's ounce.
const SQUARE_FOOT: f64 = 0.092_903_04;
/// Square yard in m² (exact), the area of cloth's ounce.
const SQUARE_YARD: f64 = 0.836_127_36;
/// Avoirdupois ounce in kg (exact).
const OUNCE: f64 = 0.028_349_523_125;

/// The form reinforcement comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum ReinforcementForm {
    /// Chopped strand mat: strands about 50 mm long, random in the plane, held by a binder.
    Mat,
    /// Woven roving: a coarse plain weave.
    WovenRoving,
    /// Woven cloth of yarns.
    Cloth,
    /// Stitched (non-crimp) fabric.
    Stitched,
    /// Surfacing tissue.
    Veil,
    /// Aligned rovings or tape.
    Unidirectional,
    /// Loose chopped strands, as in a pour.
    Chop,
}

impl ReinforcementForm {
    /// All forms.
    pub const ALL: [ReinforcementForm; 7] = [
        ReinforcementForm::Mat,
        ReinforcementForm::WovenRoving,
        ReinforcementForm::Cloth,
        ReinforcementForm::Stitched,
        ReinforcementForm::Veil,
        ReinforcementForm::Unidirectional,
        ReinforcementForm::Chop,
    ];

    /// The trade's word for it.
    pub const fn word(self) -> &'static str {
        match self {
            ReinforcementForm::Mat => "chopped strand mat",
            ReinforcementForm::WovenRoving => "woven roving",
            ReinforcementForm::Cloth => "cloth",
            ReinforcementForm::Stitched => "stitched fabric",
            ReinforcementForm::Veil => "surfacing veil",
            ReinforcementForm::Unidirectional => "unidirectional",
            ReinforcementForm::Chop => "loose chopped strands",
        }
    }

    /// The largest fibre volume fraction the form can be packed to; see [`ReinforcementForm::packing_source`].
    ///
    /// Unidirectional: hexagonal close packing of equal rods, π/(2√3) = 0.9069 (analytic). The others are
    /// from memory: random in-plane strands 0.50, weaves 0.70, loose chop 0.35, veil 0.30.
    pub const fn packing_limit(self) -> f64 {
        match self {
            ReinforcementForm::Unidirectional => super::micro::HEXAGONAL,
            ReinforcementForm::Mat => 0.50,
            ReinforcementForm::WovenRoving | ReinforcementForm::Cloth | ReinforcementForm::Stitched => 0.70,
            ReinforcementForm::Veil => 0.30,
            ReinforcementForm::Chop => 0.35,
        }
    }

    /// On whose word the packing limit is.
    pub fn packing_source(self) -> Source {
        match self {
            ReinforcementForm::Unidirectional => {
                sources::derived_here("hexagonal close packing of equal rods, pi/(2 sqrt 3)")
            }
            other => sources::from_memory(&format!("packing of {other} under pressure")),
        }
    }

    /// The glass contents by mass found in hand lay-up; see [`ReinforcementForm::usual_source`].
    pub const fn usual_glass_content(self) -> (f64, f64) {
        match self {
            ReinforcementForm::Mat => (0.25, 0.40),
            ReinforcementForm::WovenRoving | ReinforcementForm::Stitched | ReinforcementForm::Cloth => {
                (0.40, 0.60)
            }
            ReinforcementForm::Veil => (0.05, 0.20),
            ReinforcementForm::Unidirectional => (0.45, 0.75),
            ReinforcementForm::Chop => (0.02, 0.30),
        }
    }

    /// On whose word the usual glass contents are.
    pub fn usual_source(self) -> Source {
        match self {
            ReinforcementForm::Mat => sources::common_practice("hand-laid mat, resin to glass 3:1 to 1.5:1"),
            ReinforcementForm::WovenRoving | ReinforcementForm::Stitched => {
                sources::common_practice("hand-laid woven roving, resin to glass about 1.25:1")
            }
            ReinforcementForm::Cloth => {
                sources::common_practice("hand-laid cloth, about as much resin as cloth")
            }
            other => sources::from_memory(&format!("glass content of {other}")),
        }
    }

    /// The area to which an ounce of this form refers in trade weights, with what to write; `None` where the
    /// trade has no such weight.
    const fn ounce_area(self) -> Option<f64> {
        match self {
            ReinforcementForm::Mat => Some(SQUARE_FOOT),
            ReinforcementForm::WovenRoving
            | ReinforcementForm::Cloth
            | ReinforcementForm::Stitched
            | ReinforcementForm::Unidirectional => Some(SQUARE_YARD),
            ReinforcementForm::Veil | ReinforcementForm::Chop => None,
        }
    }
}

impl fmt::Display for ReinforcementForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// The mass, where `text` is a number of ounces without an area.
fn bare_ounces(field: &str, text: &str) -> Result<Option<f64>> {
    let t = text.trim();
    if ["oz", "ounce", "ounces"].iter().any(|u| {
        t.strip_suffix(u)
            .is_some_and(|n| !n.trim_end().ends_with(|c: char| c.is_alphabetic() || c == '.'))
    }) {
        Ok(Some(parse::<Mass>(field, t)?.si()))
    } else {
        Ok(None)
    }
}

/// A dry areal mass within what anybody lays, in SI.
fn sane(field: &str, areal_mass: ArealMassDensity) -> Result<f64> {
    check::between(
        field,
        areal_mass,
        1e-6,
        1e4,
        "give an areal mass above zero, for example '450 g/m^2'",
    )
}

/// Reads an areal mass; an ounce without an area is what the form's trade means by it, else refused with what to write.
///
/// An ounce of mat is per square foot, an ounce of cloth per square yard, nine times less.
fn areal_mass(text: &str, form: Option<ReinforcementForm>) -> Result<ArealMassDensity> {
    const FIELD: &str = "areal_mass";
    let areal = match (
        bare_ounces(FIELD, text)?,
        form.and_then(ReinforcementForm::ounce_area),
    ) {
        (None, _) => parse(FIELD, text)?,
        (Some(kg), Some(area)) => ArealMassDensity::from_si(kg / area)?,
        (Some(_), None) => {
            return Err(Error::new(ErrorKind::WrongDimension, FIELD)
                .with_value(format_args!("'{}' (mass)", text.trim()))
                .with_allowed("an areal mass")
                .with_way_out(
                    "an ounce of mat is per square foot, of cloth per square yard: write '1.5 oz/ft^2' for mat, \
                     '10 oz/yd^2' for cloth, or '450 g/m^2'",
                ));
        }
    };
    sane(FIELD, areal)?;
    Ok(areal)
}

/// The weight of a reinforcement, in every unit the trade uses.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct TradeWeight {
    /// Mass per area.
    pub areal_mass: ArealMassDensity,
    /// In ounces per square foot, as mat is sold.
    pub mat_ounces: f64,
    /// In ounces per square yard, as cloth is sold.
    pub cloth_ounces: f64,
    /// In ounces as the form given is sold; absent without a form and for veil and loose chop.
    pub ounces: Option<f64>,
}

#[questions]
impl TradeWeight {
    /// Weight of mat (ounces per square foot) or cloth (ounces per square yard); ounces without either are refused.
    ///
    /// Source: A. Thompson, B. N. Taylor, NIST SP 811 (2008), appendix B.8.
    ///
    /// # Errors
    /// [`ErrorKind::WrongDimension`] for ounces without an area and without a form that has one; else as [`parse`].
    #[question("laminate.areal_mass")]
    pub fn of(
        /// As written on the roll: "450 g/m^2", "1.5 oz/ft^2", "10 oz/yd^2"; "1.5 oz" only with a form.
        areal_mass: &str,
        /// Mat or cloth, where ounces are written without an area.
        form: Option<ReinforcementForm>,
    ) -> Result<TradeWeight> {
        let areal = self::areal_mass(areal_mass, form)?;
        let ounces = |area: f64| areal.si() * area / OUNCE;
        Ok(TradeWeight {
            areal_mass: areal,
            mat_ounces: ounces(SQUARE_FOOT),
            cloth_ounces: ounces(SQUARE_YARD),
            ounces: form.and_then(ReinforcementForm::ounce_area).map(ounces),
        })
    }
}

/// A dry reinforcement: its form and its mass per area.
///
/// In a document the areal mass of mat may be written `"1.5 oz"` (per square foot) and of woven forms
/// `"10 oz"` (per square yard); for veil and loose chop bare ounces are refused.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[noun(via = "WrittenReinforcement")]
pub struct Reinforcement {
    /// Its form.
    pub form: ReinforcementForm,
    /// Dry mass per area.
    pub areal_mass: ArealMassDensity,
    /// Density of the fibre; of E-glass where a document gives none.
    pub fibre_density: MassDensity,
}

impl Reinforcement {
    /// E-glass of a form and an areal mass.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] unless the areal mass is above zero.
    pub fn e_glass(form: ReinforcementForm, areal_mass: ArealMassDensity) -> Result<Self> {
        let made = Reinforcement {
            form,
            areal_mass,
            fibre_density: MassDensity::from_si(2560.0)?,
        };
        made.check()?;
        Ok(made)
    }

    /// Refuses an areal mass that nobody lays.
    fn check(&self) -> Result<()> {
        sane("areal_mass", self.areal_mass).map(|_| ())
    }
}

/// A reinforcement as a document writes it.
#[derive(Debug, Clone, Noun)]
#[noun(name = "Reinforcement")]
struct WrittenReinforcement {
    /// Its form.
    form: ReinforcementForm,
    /// Dry mass per area.
    areal_mass: ArealMassText,
    /// Density of the fibre; of E-glass (ISO 12215-5:2008, annex C) where not given.
    #[noun(
        default = "2560 kg/m^3",
        within(
            "1 kg/m^3",
            "1e5 kg/m^3",
            "give a density above zero: E-glass has '2.56 g/mL'"
        )
    )]
    fibre_density: MassDensity,
}

impl TryFrom<WrittenReinforcement> for Reinforcement {
    type Error = Error;
    fn try_from(d: WrittenReinforcement) -> Result<Self> {
        Ok(Reinforcement {
            form: d.form,
            areal_mass: areal_mass(&d.areal_mass.0, Some(d.form))?,
            fibre_density: d.fibre_density,
        })
    }
}

impl From<Reinforcement> for WrittenReinforcement {
    fn from(r: Reinforcement) -> Self {
        WrittenReinforcement {
            form: r.form,
            areal_mass: ArealMassText(crate::quantity::tagged(r.areal_mass)),
            fibre_density: r.fibre_density,
        }
    }
}

/// Mass per area, where a bare ounce means what the form's trade means by it.
#[derive(Debug, Clone)]
struct ArealMassText(String);

impl AsText for ArealMassText {
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "ArealMassText",
        doc: "Mass per area; 'oz' alone is per square foot of mat, per square yard of cloth.",
        examples: &["450 g/m^2", "1.5 oz"],
    };
    fn from_text(text: &str) -> Result<Self> {
        Ok(ArealMassText(text.to_owned()))
    }
    fn to_text(&self) -> String {
        self.0.clone()
    }
}
text_noun!(ArealMassText);

/// Fibre volume fraction from glass content by mass: `Vf = (1 - v) (ψ/ρf) / (ψ/ρf + (1 - ψ)/ρr)`. Exact.
fn fibre_volume(psi: f64, rf: f64, rr: f64, v: f64) -> f64 {
    (1.0 - v) * (psi / rf) / (psi / rf + (1.0 - psi) / rr)
}

/// The inverse of [`fibre_volume`]: `ψ = ρf Vf / (ρf Vf + ρr (1 - Vf - v))`. Exact.
fn mass_content(vf: f64, rf: f64, rr: f64, v: f64) -> f64 {
    rf * vf / (rf * vf + rr * (1.0 - vf - v))
}

fn pct(x: f64) -> String {
    format!("{:.1} wt%", 100.0 * x)
}

/// A ply as it is laid: dry reinforcement, and how much resin it is to take.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct LaidPly {
    /// The dry reinforcement.
    pub reinforcement: Reinforcement,
    /// Glass content by mass.
    #[noun(within(
        "0.001 wt%",
        "99.999 wt%",
        "a laminate holds both glass and resin: hand-laid mat is written '30 wt%', woven roving '45 wt%'"
    ))]
    pub glass_content: MassFraction,
    /// Density of the cured resin; as ISO 12215-5:2008, annex C computes where not given.
    #[noun(
        default = "1200 kg/m^3",
        within(
            "1 kg/m^3",
            "1e5 kg/m^3",
            "give a density above zero: cured polyester has '1.2 g/mL'"
        )
    )]
    pub resin_density: MassDensity,
    /// Voids by volume.
    #[noun(default = "0 vol%", within("0 vol%", < "50 vol%", "hand lay-up holds a few percent of voids: write for example '3 vol%'"))]
    pub voids: VolumeFraction,
}

/// A thickness as one published rule gives it.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct RuleThickness {
    /// The rule.
    pub rule: String,
    /// The thickness it gives for this areal mass.
    pub thickness: Length,
    /// The glass content it is for.
    pub glass_content: MassFraction,
    /// Where it comes from.
    pub source: Source,
    /// Where it is used outside its glass content.
    pub extrapolated: Option<String>,
}

/// A ply after cure.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CuredPly {
    /// Its thickness.
    pub thickness: Length,
    /// Mass of glass and resin per area.
    pub areal_mass: ArealMassDensity,
    /// Mass of resin per area that stays in it (without what stays on tools, in cups, and on the mould).
    pub resin: ArealMassDensity,
    /// Resin over glass by mass, as the trade says "2.5 to 1".
    pub resin_to_glass: f64,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction.
    pub fibre_volume: VolumeFraction,
    /// Voids by volume.
    pub voids: VolumeFraction,
    /// Density of the cured ply.
    pub density: MassDensity,
    /// What lies outside the contents found in hand lay-up.
    pub extrapolated: Option<String>,
    /// The published thickness rules for E-glass and polyester, side by side: they differ, and both are kept.
    pub rules: Vec<RuleThickness>,
    /// How its thickness was computed.
    pub why: Why,
}

/// What a number of plies is wanted for.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub enum PlyTarget {
    /// At least this thickness of laminate.
    Thickness(Length),
    /// At least this mass of glass and resin per area.
    ArealMass(ArealMassDensity),
    /// At least this stretching stiffness E t, for example "12e6 N/m".
    StretchingStiffness(ForcePerWidth),
    /// At least this bending stiffness E t³/12/(1 - ν²) per width, for example "25 N*m".
    BendingStiffness(Energy),
}

/// In-plane stiffness of a laminate.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct LaminateStiffness {
    /// In-plane modulus.
    #[noun(within("1 Pa", "1e7 GPa", "give a modulus above zero, for example '6.4 GPa'"))]
    pub modulus: Pressure,
    /// Poisson's ratio; from memory where not given.
    #[noun(default = "0.3", within(> -1, < 0.5, "a laminate's Poisson's ratio in its plane is about 0.3"))]
    pub poisson: Index,
}

impl LaminateStiffness {
    /// Of a modulus, with the Poisson's ratio that is taken where a document gives none.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a modulus out of range.
    pub fn of(modulus: Pressure) -> Result<Self> {
        let made = LaminateStiffness {
            modulus,
            poisson: Index::new(super::wall::LAMINATE_POISSON)?,
        };
        noun::check(&made)?;
        Ok(made)
    }
}

/// A number of plies and what it reaches.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PlyCount {
    /// The least whole number of plies.
    pub plies: u32,
    /// The number before rounding up.
    pub exact: f64,
    /// Laminate thickness (without gel coat).
    pub thickness: Length,
    /// Mass of glass and resin per area.
    pub areal_mass: ArealMassDensity,
    /// Stretching stiffness E t in N/m, where a modulus is known.
    #[noun(name = "stretching_stiffness_N_per_m")]
    pub stretching_stiffness_n_per_m: Option<f64>,
    /// Bending stiffness E t³/12/(1 - ν²) in N·m, where a modulus is known.
    #[noun(name = "bending_stiffness_N_m")]
    pub bending_stiffness_n_m: Option<f64>,
    /// What lies outside usual ranges.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

#[questions(ply)]
impl LaidPly {
    /// A ply of a fibre volume fraction: its glass content is `ψ = ρf Vf / (ρf Vf + ρr (1 - Vf - v))`.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a fraction that leaves no room for resin; else as [`LaidPly::cured`].
    pub fn of_fibre_volume(
        reinforcement: Reinforcement,
        fibre_volume: VolumeFraction,
        resin_density: MassDensity,
        voids: VolumeFraction,
    ) -> Result<LaidPly> {
        let (vf, v) = (fibre_volume.get(), voids.get());
        if vf <= 0.0 || vf + v >= 1.0 {
            return Err(Error::out_of_range(
                "fibre_volume",
                show(fibre_volume),
                "more than 0 and less than what the voids leave",
                "a laminate holds both glass and resin: hand-laid mat is about '17 vol%'",
            ));
        }
        let (rf, rr) = (reinforcement.fibre_density.si(), resin_density.si());
        let ply = LaidPly {
            reinforcement,
            glass_content: MassFraction::new(mass_content(vf, rf, rr, v))?,
            resin_density,
            voids,
        };
        noun::check(&ply)?;
        ply.check()?;
        Ok(ply)
    }

    /// Refuses more glass than its form can be packed to ([`ReinforcementForm::packing_limit`]).
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`], naming the most.
    pub fn check(&self) -> Result<()> {
        self.reinforcement
            .check()
            .map_err(|e| e.within("reinforcement"))?;
        let form = self.reinforcement.form;
        let (psi, rf, rr, v) = self.si();
        let vf = fibre_volume(psi, rf, rr, v);
        let limit = form.packing_limit();
        if vf <= limit {
            return Ok(());
        }
        let most = MassFraction::new(mass_content(limit.min(1.0 - v - 1e-9), rf, rr, v))?;
        let (low, high) = form.usual_glass_content();
        Err(Error::out_of_range(
            "glass_content",
            format!(
                "{} ({} of fibre)",
                show(self.glass_content),
                show(VolumeFraction::new(vf)?)
            ),
            format!(
                "at most {} for {form}, the packing limit of {limit} by volume [{}]",
                show(most),
                form.packing_source().standing
            ),
            format!("hand lay-up of {form} reaches {} to {}", pct(low), pct(high)),
        ))
    }

    fn si(&self) -> (f64, f64, f64, f64) {
        (
            self.glass_content.get(),
            self.reinforcement.fibre_density.si(),
            self.resin_density.si(),
            self.voids.get(),
        )
    }

    /// Thickness, weight, resin demand and fibre volume of a ply from its dry areal mass and glass content.
    ///
    /// `t = w (1/ρf + (1/ψ - 1)/ρr)/(1 - v)`, resin `w (1/ψ - 1)`; w dry areal mass, ψ glass content by mass,
    /// densities of fibre and *cured* resin, v voids. With 2.56 and 1.20 g/cm³ and no voids this is exactly the
    /// relation of ISO 12215-5:2008, annex C. Marks contents outside hand lay-up as extrapolated.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range, and more glass than the form can be packed to.
    #[question("laminate.ply_thickness")]
    pub fn cured(&self) -> Result<CuredPly> {
        noun::check(self)?;
        self.check()?;
        let w = self.reinforcement.areal_mass.si();
        let (psi, rf, rr, v) = self.si();
        let t = w * (1.0 / rf + (1.0 / psi - 1.0) / rr) / (1.0 - v);
        let thickness = Length::from_si(t)?;
        let extrapolated = self.outside_hand_lay_up();
        let rules = self.rules()?;
        Ok(CuredPly {
            thickness,
            areal_mass: ArealMassDensity::from_si(w / psi)?,
            resin: ArealMassDensity::from_si(w * (1.0 / psi - 1.0))?,
            resin_to_glass: 1.0 / psi - 1.0,
            glass_content: self.glass_content,
            fibre_volume: VolumeFraction::new(fibre_volume(psi, rf, rr, v))?,
            voids: self.voids,
            density: MassDensity::from_si(w / psi / t)?,
            why: self.why(thickness, &rules, extrapolated.as_deref()),
            extrapolated,
            rules,
        })
    }

    fn outside_hand_lay_up(&self) -> Option<String> {
        let (psi, form) = (self.glass_content.get(), self.reinforcement.form);
        let (low, high) = form.usual_glass_content();
        (psi < low || psi > high).then(|| {
            format!(
                "glass content {} is outside the {} to {} of {form} by hand [{}]",
                pct(psi),
                pct(low),
                pct(high),
                form.usual_source().standing
            )
        })
    }

    /// The published thickness rules.
    ///
    /// * ISO 12215-5:2008, annex C: `t/w = (2.56/ψ - 1.36)/3.072` mm per kg/m², which is [`LaidPly::cured`] with glass
    ///   2.56 and resin 1.20 g/cm³ and no voids.
    /// * BS 4994:1987: thickness constant 2.24 mm per kg/m² for mat at 33 wt% glass, 1.25 for woven roving at 45 wt%.
    ///
    /// At 33 wt% mat the second is 7.6 % above the first.
    fn rules(&self) -> Result<Vec<RuleThickness>> {
        let (w, psi) = (self.reinforcement.areal_mass.si(), self.glass_content.get());
        let mut rules = vec![RuleThickness {
            rule: "ISO 12215-5 annex C".to_owned(),
            thickness: Length::from_si(1e-3 * w * (2.56 / psi - 1.36) / 3.072)?,
            glass_content: self.glass_content,
            source: sources::iso_12215_5("annex C, t/w = (2.56/psi - 1.36)/3.072"),
            extrapolated: None,
        }];
        let constant = match self.reinforcement.form {
            ReinforcementForm::Mat => Some((2.24, 0.33)),
            ReinforcementForm::WovenRoving => Some((1.25, 0.45)),
            _ => None,
        };
        if let Some((mm_per_kg, at)) = constant {
            rules.push(RuleThickness {
                rule: "BS 4994 thickness constant".to_owned(),
                thickness: Length::from_si(1e-3 * w * mm_per_kg)?,
                glass_content: MassFraction::new(at)?,
                source: sources::bs_4994(),
                extrapolated: ((psi - at).abs() > 0.01)
                    .then(|| format!("the constant is for {} glass, here {}", pct(at), pct(psi))),
            });
        }
        Ok(rules)
    }

    fn why(&self, thickness: Length, rules: &[RuleThickness], note: Option<&str>) -> Why {
        let r = &self.reinforcement;
        let mut why = Why::computed(
            format!("thickness of one ply of {}", r.form),
            show(thickness),
            "t = w (1/rho_f + (1/psi - 1)/rho_r) / (1 - v)",
            vec![
                Why::given("w, dry areal mass", show(r.areal_mass)),
                Why::given("psi, glass content by mass", show(self.glass_content)),
                Why::given("rho_f, density of the fibre", show(r.fibre_density)),
                Why::given("rho_r, density of the cured resin", show(self.resin_density)),
                Why::given("v, voids", show(self.voids)),
            ],
        )
        .with_source(&sources::iso_12215_5(
            "annex C, with the densities and voids of this ply in place of 2.56, 1.20 and none",
        ));
        for rule in rules {
            why.from.push(
                Why::given(format!("for comparison, {}", rule.rule), show(rule.thickness))
                    .with_source(&rule.source),
            );
        }
        match note {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }

    /// How many plies reach a wanted thickness, weight or stiffness.
    ///
    /// `n = ⌈t/t₁⌉`, `⌈m/m₁⌉`, `⌈S/(E t₁)⌉` or `⌈(12 D (1 - ν²)/E)^(1/3)/t₁⌉`, t₁ and m₁ of one ply.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range and a target not above zero; [`ErrorKind::NoSolution`] above
    /// 1000 plies.
    #[question("laminate.plies_for")]
    pub fn plies_for(
        &self,
        /// What is to be reached.
        target: &PlyTarget,
        /// Stiffness of the laminate. Where a stiffness is wanted and none given, ISO 12215-5:2008 (untested).
        stiffness: Option<&LaminateStiffness>,
    ) -> Result<PlyCount> {
        const MOST: f64 = 1000.0;
        let ply = self.cured()?;
        let (t1, m1) = (ply.thickness.si(), ply.areal_mass.si());
        let (stiffness, stiffness_why) = self.stiffness_for(target, stiffness)?;
        let elastic = stiffness.map(|s| (s.modulus.si(), s.poisson.get()));
        let need = || {
            elastic.ok_or_else(|| {
                Error::new(ErrorKind::Document, "stiffness")
                    .with_value("no modulus")
                    .with_way_out("a stiffness needs the laminate's modulus: add it, for example '6.4 GPa'")
            })
        };
        let exact = match *target {
            PlyTarget::Thickness(t) => check::positive("target.thickness", t)? / t1,
            PlyTarget::ArealMass(m) => check::positive("target.areal_mass", m)? / m1,
            PlyTarget::StretchingStiffness(s) => {
                check::positive("target.stretching_stiffness", s)? / (need()?.0 * t1)
            }
            PlyTarget::BendingStiffness(d) => {
                let (d, (e, nu)) = (check::positive("target.bending_stiffness", d)?, need()?);
                (12.0 * d * (1.0 - nu * nu) / e).cbrt() / t1
            }
        };
        if exact > MOST {
            return Err(Error::no_solution(
                "plies",
                format!("{exact:.0} plies"),
                format!("{MOST:.0} plies"),
                "ask for less, or use a heavier reinforcement or a core",
            ));
        }
        // A target met to rounding needs no further ply.
        let n = (exact * (1.0 - 1e-12)).ceil().max(1.0);
        let t = n * t1;
        let mut from = vec![ply.why];
        from.extend(stiffness_why);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let plies = n as u32;
        Ok(PlyCount {
            plies,
            exact,
            thickness: Length::from_si(t)?,
            areal_mass: ArealMassDensity::from_si(n * m1)?,
            stretching_stiffness_n_per_m: elastic.map(|(e, _)| e * t),
            bending_stiffness_n_m: elastic.map(|(e, nu)| e * t.powi(3) / 12.0 / (1.0 - nu * nu)),
            extrapolated: ply.extrapolated,
            why: Why::computed(
                "number of plies",
                plies.to_string(),
                "n = ceil(t/t1), ceil(m/m1), ceil(S/(E t1)) or ceil((12 D (1 - nu^2)/E)^(1/3)/t1)",
                from,
            )
            .with_source(&sources::plates()),
        })
    }

    /// The stiffness given, or the published one where one is wanted; and its chain.
    fn stiffness_for(
        &self,
        target: &PlyTarget,
        given: Option<&LaminateStiffness>,
    ) -> Result<(Option<LaminateStiffness>, Option<Why>)> {
        if let Some(s) = given {
            noun::check(s).map_err(|e| e.within("stiffness"))?;
            return Ok((Some(*s), Some(Why::given("E, modulus", show(s.modulus)))));
        }
        if let PlyTarget::Thickness(_) | PlyTarget::ArealMass(_) = target {
            return Ok((None, None));
        }
        let published = GlassLayUp {
            form: self.reinforcement.form,
            glass_content: self.glass_content,
            process: Process::HandLaid,
            tested: false,
        }
        .properties()
        .map_err(|e| e.within("ply"))?;
        Ok((
            Some(LaminateStiffness::of(published.modulus)?),
            Some(published.why),
        ))
    }
}

pub(super) fn no_plies() -> Error {
    Error::out_of_range(
        "plies",
        "no ply",
        "one or more",
        "add the plies from the mould face inward",
    )
}

/// A laminate as made: its measured thickness, and the glass that went in.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct MeasuredLaminate {
    /// Measured thickness of the laminate without gel coat.
    #[noun(within("1 nm", "1 km", "give a thickness above zero: '3 mm'"))]
    pub thickness: Length,
    /// Dry areal mass of all plies together.
    #[noun(within("1e-6 kg/m^2", "1e4 kg/m^2", "give an areal mass above zero: '900 g/m^2'"))]
    pub areal_mass: ArealMassDensity,
    /// Density of the fibre; of E-glass (ISO 12215-5:2008, annex C) where not given.
    #[noun(
        default = "2560 kg/m^3",
        within(
            "1 kg/m^3",
            "1e5 kg/m^3",
            "give a density above zero: E-glass has '2.56 g/mL'"
        )
    )]
    pub fibre_density: MassDensity,
    /// Density of the cured resin; as ISO 12215-5:2008, annex C computes where not given.
    #[noun(
        default = "1200 kg/m^3",
        within(
            "1 kg/m^3",
            "1e5 kg/m^3",
            "give a density above zero: cured polyester has '1.2 g/mL'"
        )
    )]
    pub resin_density: MassDensity,
    /// Voids by volume.
    #[noun(default = "0 vol%", within("0 vol%", < "50 vol%", "hand lay-up holds a few percent of voids: write for example '3 vol%'"))]
    pub voids: VolumeFraction,
}

/// Glass content by mass and by volume.
#[derive(Debug, Clone, PartialEq, Noun)]
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
    /// `ψ = w/(w + ρr (t (1 - v) - w/ρf))`: [`LaidPly::cured`] solved for ψ.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Inconsistent`] where the glass alone would already
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
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
pub struct BurnOffSample {
    /// Density of the sample.
    #[noun(within("1 kg/m^3", "1e5 kg/m^3", "give a density above zero: '1.4 g/mL'"))]
    pub measured_density: MassDensity,
    /// Glass content by mass (burn-off).
    #[noun(within(
        "0.001 wt%",
        "99.999 wt%",
        "a laminate holds both glass and resin: hand-laid mat is written '30 wt%', woven roving '45 wt%'"
    ))]
    pub glass_content: MassFraction,
    /// Density of the fibre.
    #[noun(within(
        "1 kg/m^3",
        "1e5 kg/m^3",
        "give a density above zero: E-glass has '2.56 g/mL'"
    ))]
    pub fibre_density: MassDensity,
    /// Density of the cured resin.
    #[noun(within(
        "1 kg/m^3",
        "1e5 kg/m^3",
        "give a density above zero: cured polyester has '1.2 g/mL'"
    ))]
    pub resin_density: MassDensity,
}

/// Voids of a sample.
#[derive(Debug, Clone, PartialEq, Noun)]
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
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Inconsistent`] if the sample is denser than its
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
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
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
        default = "2560 kg/m^3",
        within(
            "1 kg/m^3",
            "1e5 kg/m^3",
            "give a density above zero: E-glass has '2.56 g/mL'"
        )
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
#[derive(Debug, Clone, PartialEq, Noun)]
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
    /// [`ErrorKind::OutOfRange`] for fields out of range; [`ErrorKind::Inconsistent`] where the bulk is denser than the
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
