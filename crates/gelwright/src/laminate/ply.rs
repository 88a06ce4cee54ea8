//! One ply of glass in cured resin: contents, thickness, weight, resin demand, and how many are needed.

use std::fmt;

use gelwright_base::text_noun;

use crate::noun::{AsText, Grammar, Noun};

use super::{check, sources};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{
    ArealMassDensity, Energy, Index, Length, Mass, MassDensity, MassFraction, Pressure, Quantity,
    SurfaceTension, VolumeFraction, parse, show,
};
use crate::source::{Source, Why};

/// Square foot in m² (exact), the area of mat's ounce.
const SQUARE_FOOT: f64 = 0.092_903_04;
/// Square yard in m² (exact), the area of cloth's ounce.
const SQUARE_YARD: f64 = 0.836_127_36;
/// Avoirdupois ounce in kg (exact).
const OUNCE: f64 = 0.028_349_523_125;

/// Density of E-glass that ISO 12215-5 computes thickness with.
pub const E_GLASS_DENSITY_KG_PER_M3: f64 = 2560.0;
/// Density of cured polyester that ISO 12215-5 computes thickness with.
pub const CURED_POLYESTER_DENSITY_KG_PER_M3: f64 = 1200.0;

/// The form reinforcement comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
#[non_exhaustive]
pub enum Form {
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

impl Form {
    /// All forms.
    pub const ALL: [Form; 7] = [
        Form::Mat,
        Form::WovenRoving,
        Form::Cloth,
        Form::Stitched,
        Form::Veil,
        Form::Unidirectional,
        Form::Chop,
    ];

    /// The trade's word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Form::Mat => "chopped strand mat",
            Form::WovenRoving => "woven roving",
            Form::Cloth => "cloth",
            Form::Stitched => "stitched fabric",
            Form::Veil => "surfacing veil",
            Form::Unidirectional => "unidirectional",
            Form::Chop => "loose chopped strands",
        }
    }

    /// The largest fibre volume fraction the form can be packed to; see [`Form::packing_source`].
    ///
    /// Unidirectional: hexagonal close packing of equal rods, π/(2√3) = 0.9069 (analytic). The others are
    /// from memory: random in-plane strands 0.50, weaves 0.70, loose chop 0.35, veil 0.30.
    pub const fn packing_limit(self) -> f64 {
        match self {
            Form::Unidirectional => super::micro::HEXAGONAL,
            Form::Mat => 0.50,
            Form::WovenRoving | Form::Cloth | Form::Stitched => 0.70,
            Form::Veil => 0.30,
            Form::Chop => 0.35,
        }
    }

    /// On whose word the packing limit is.
    pub fn packing_source(self) -> Source {
        match self {
            Form::Unidirectional => {
                sources::derived_here("hexagonal close packing of equal rods, pi/(2 sqrt 3)")
            }
            other => sources::from_memory(&format!("packing of {other} under pressure")),
        }
    }

    /// The glass contents by mass found in hand lay-up; see [`Form::usual_source`].
    pub const fn usual_glass_content(self) -> (f64, f64) {
        match self {
            Form::Mat => (0.25, 0.40),
            Form::WovenRoving | Form::Stitched | Form::Cloth => (0.40, 0.60),
            Form::Veil => (0.05, 0.20),
            Form::Unidirectional => (0.45, 0.75),
            Form::Chop => (0.02, 0.30),
        }
    }

    /// On whose word the usual glass contents are.
    pub fn usual_source(self) -> Source {
        match self {
            Form::Mat => sources::common_practice("hand-laid mat, resin to glass 3:1 to 1.5:1"),
            Form::WovenRoving | Form::Stitched => {
                sources::common_practice("hand-laid woven roving, resin to glass about 1.25:1")
            }
            Form::Cloth => sources::common_practice("hand-laid cloth, about as much resin as cloth"),
            other => sources::from_memory(&format!("glass content of {other}")),
        }
    }

    /// The area to which an ounce of this form refers in trade weights, with what to write; `None` where the
    /// trade has no such weight.
    const fn ounce_area(self) -> Option<f64> {
        match self {
            Form::Mat => Some(SQUARE_FOOT),
            Form::WovenRoving | Form::Cloth | Form::Stitched | Form::Unidirectional => Some(SQUARE_YARD),
            Form::Veil | Form::Chop => None,
        }
    }
}

impl fmt::Display for Form {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

macro_rules! ounces {
    ($($(#[$doc:meta])* $ty:ident, $area:ident, $unit:literal, $word:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $ty(ArealMassDensity);

        impl $ty {
            /// From an areal mass in any unit.
            ///
            /// # Errors
            /// [`ErrorKind::OutOfRange`] unless above zero, [`ErrorKind::NotFinite`] for NaN and infinities.
            pub fn new(areal_mass: ArealMassDensity) -> Result<Self> {
                check::positive("areal_mass", areal_mass)?;
                Ok($ty(areal_mass))
            }
            #[doc = concat!("From trade ounces, which for ", $word, " are ", $unit, " (NIST SP 811, appendix B.8).")]
            ///
            /// # Errors
            /// As [`Self::new`].
            pub fn from_ounces(ounces: f64) -> Result<Self> {
                Self::new(ArealMassDensity::from_si(ounces * OUNCE / $area)?)
            }
            #[doc = concat!("Reads `450 g/m^2`, `1.5 oz/ft^2`, `10 oz/yd^2`, or trade ounces (`10 oz`), which for ",
                $word, " are ", $unit, ".")]
            ///
            /// # Errors
            /// As [`parse`].
            pub fn parse(field: &str, text: &str) -> Result<Self> {
                let areal = match bare_ounces(field, text)? {
                    Some(kg) => ArealMassDensity::from_si(kg / $area)?,
                    None => parse(field, text)?,
                };
                check::positive(field, areal)?;
                Ok($ty(areal))
            }
            /// The areal mass.
            pub fn areal_mass(self) -> ArealMassDensity {
                self.0
            }
            #[doc = concat!("Its trade weight, in ", $unit, ".")]
            pub fn ounces(self) -> f64 {
                self.0.si() * $area / OUNCE
            }
        }
    )*};
}

ounces! {
    /// The dry mass of chopped strand mat per area; its ounce is per square foot.
    Mat, SQUARE_FOOT, "oz/ft^2", "mat";
    /// The dry mass of woven cloth or roving per area; its ounce is per square yard.
    Cloth, SQUARE_YARD, "oz/yd^2", "cloth";
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

/// Reads an areal mass of unknown form; ounces without an area are refused with what to write.
///
/// An ounce of mat is per square foot, an ounce of cloth per square yard, nine times less.
///
/// # Errors
/// [`ErrorKind::WrongDimension`] for bare ounces; else as [`parse`].
pub fn areal_mass(field: &str, text: &str) -> Result<ArealMassDensity> {
    match bare_ounces(field, text)? {
        None => parse(field, text),
        Some(_) => Err(Error::new(ErrorKind::WrongDimension, field)
            .with_value(format_args!("'{}' (mass)", text.trim()))
            .with_allowed("an areal mass")
            .with_way_out(
                "an ounce of mat is per square foot, of cloth per square yard: write '1.5 oz/ft^2' for mat, \
                 '10 oz/yd^2' for cloth, or '450 g/m^2'",
            )),
    }
}

/// A dry reinforcement: its form and its mass per area.
///
/// In a document the areal mass of mat may be written `"1.5 oz"` (per square foot) and of woven forms
/// `"10 oz"` (per square yard); for veil and loose chop bare ounces are refused.
#[derive(Debug, Clone, Copy, PartialEq, Noun)]
#[noun(via = "ReinforcementDocument")]
pub struct Reinforcement {
    /// Its form.
    pub form: Form,
    /// Dry mass per area.
    pub areal_mass: ArealMassDensity,
    /// Density of the fibre; E-glass 2560 kg/m³ (ISO 12215-5:2008, annex C) where not given.
    pub fibre_density: MassDensity,
}

impl Reinforcement {
    /// E-glass of a form and an areal mass.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] unless the areal mass is above zero.
    pub fn e_glass(form: Form, areal_mass: ArealMassDensity) -> Result<Self> {
        check::positive("areal_mass", areal_mass)?;
        Ok(Reinforcement {
            form,
            areal_mass,
            fibre_density: MassDensity::from_si(E_GLASS_DENSITY_KG_PER_M3)?,
        })
    }

    fn read(form: Form, text: &str, density: Option<MassDensity>) -> Result<Self> {
        let areal = match (bare_ounces("areal_mass", text)?, form.ounce_area()) {
            (Some(kg), Some(area)) => ArealMassDensity::from_si(kg / area)?,
            _ => areal_mass("areal_mass", text)?,
        };
        let mut r = Reinforcement::e_glass(form, areal)?;
        if let Some(d) = density {
            check::positive("fibre_density", d)?;
            r.fibre_density = d;
        }
        Ok(r)
    }
}

#[derive(Debug, Clone, Noun)]
#[noun(name = "Reinforcement")]
#[doc(hidden)]
pub struct ReinforcementDocument {
    /// Its form.
    form: Form,
    /// Dry mass per area.
    areal_mass: ArealMassText,
    /// Density of the fibre; E-glass 2560 kg/m³ (ISO 12215-5:2008, annex C) where not given.
    fibre_density: Option<MassDensity>,
}

impl TryFrom<ReinforcementDocument> for Reinforcement {
    type Error = Error;
    fn try_from(d: ReinforcementDocument) -> Result<Self> {
        Reinforcement::read(d.form, &d.areal_mass.0, d.fibre_density)
    }
}

impl From<Reinforcement> for ReinforcementDocument {
    fn from(r: Reinforcement) -> Self {
        ReinforcementDocument {
            form: r.form,
            areal_mass: ArealMassText(crate::quantity::tagged(r.areal_mass)),
            fibre_density: Some(r.fibre_density),
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

/// Fibre volume fraction from glass content by mass.
///
/// `Vf = (1 - v) (ψ/ρf) / (ψ/ρf + (1 - ψ)/ρr)`; ψ glass content by mass, ρf and ρr densities of fibre and cured
/// resin, v void content by volume. Exact.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] unless 0 < ψ < 1, densities above zero and v below one half.
pub fn volume_fraction(
    glass_content: MassFraction,
    fibre_density: MassDensity,
    resin_density: MassDensity,
    voids: VolumeFraction,
) -> Result<VolumeFraction> {
    let psi = check::glass_content("glass_content", glass_content)?;
    let rf = check::positive("fibre_density", fibre_density)?;
    let rr = check::positive("resin_density", resin_density)?;
    let v = check::voids("voids", voids)?;
    VolumeFraction::new((1.0 - v) * (psi / rf) / (psi / rf + (1.0 - psi) / rr))
}

/// Glass content by mass from the fibre volume fraction; the inverse of [`volume_fraction`].
///
/// `ψ = ρf Vf / (ρf Vf + ρr (1 - Vf - v))`. Exact.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] unless 0 < Vf < 1 - v, densities above zero and v below one half.
pub fn mass_fraction(
    fibre_volume: VolumeFraction,
    fibre_density: MassDensity,
    resin_density: MassDensity,
    voids: VolumeFraction,
) -> Result<MassFraction> {
    let vf = fibre_volume.get();
    let rf = check::positive("fibre_density", fibre_density)?;
    let rr = check::positive("resin_density", resin_density)?;
    let v = check::voids("voids", voids)?;
    let vr = 1.0 - vf - v;
    if vf <= 0.0 || vr <= 0.0 {
        return Err(Error::out_of_range(
            "fibre_volume",
            show(fibre_volume),
            "more than 0 and less than what the voids leave",
            "a laminate holds both glass and resin: hand-laid mat is about '17 vol%'",
        ));
    }
    MassFraction::new(rf * vf / (rf * vf + rr * vr))
}

/// Void content from the measured density of a sample and its glass content.
///
/// `v = 1 - ρ (ψ/ρf + (1 - ψ)/ρr)` (ISO 7822:1990, by densities).
///
/// # Errors
/// [`ErrorKind::Inconsistent`] if the sample is denser than its glass and resin (v < 0): a wrong density or glass
/// content; else as [`volume_fraction`].
pub fn void_content(
    measured_density: MassDensity,
    glass_content: MassFraction,
    fibre_density: MassDensity,
    resin_density: MassDensity,
) -> Result<VolumeFraction> {
    let rho = check::positive("measured_density", measured_density)?;
    let psi = check::glass_content("glass_content", glass_content)?;
    let rf = check::positive("fibre_density", fibre_density)?;
    let rr = check::positive("resin_density", resin_density)?;
    let without = 1.0 / (psi / rf + (1.0 - psi) / rr);
    let v = 1.0 - rho / without;
    if v < 0.0 {
        return Err(Error::inconsistent(
            "measured_density",
            show(measured_density),
            format!("at most {} without voids", show(MassDensity::from_si(without)?)),
            "check the glass content (burn-off) and the cured densities",
        ));
    }
    VolumeFraction::new(v)
}

/// Glass content of plies laid on one another, `ψ = Σw / Σ(w/ψ)` (ISO 12215-5:2008, annex C, example C.3.2).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for no ply, an areal mass not above zero, or ψ outside 0 to 1.
pub fn overall_glass_content(plies: &[(ArealMassDensity, MassFraction)]) -> Result<MassFraction> {
    let (mut w, mut total) = (0.0, 0.0);
    for (i, (areal, psi)) in plies.iter().enumerate() {
        let a = check::positive("areal_mass", *areal).map_err(|e| e.within(format_args!("plies[{i}]")))?;
        let p =
            check::glass_content("glass_content", *psi).map_err(|e| e.within(format_args!("plies[{i}]")))?;
        w += a;
        total += a / p;
    }
    if plies.is_empty() {
        return Err(no_plies());
    }
    MassFraction::new(w / total)
}

pub(super) fn no_plies() -> Error {
    Error::out_of_range(
        "plies",
        "no ply",
        "one or more",
        "add the plies from the mould face inward",
    )
}

/// Glass content that gives a measured thickness: [`cured_ply`] solved for ψ.
///
/// # Errors
/// [`ErrorKind::Inconsistent`] where the glass alone would already be thicker; else as [`volume_fraction`].
pub fn glass_content_from_thickness(
    thickness: Length,
    areal_mass: ArealMassDensity,
    fibre_density: MassDensity,
    resin_density: MassDensity,
    voids: VolumeFraction,
) -> Result<MassFraction> {
    let t = check::positive("thickness", thickness)?;
    let w = check::positive("areal_mass", areal_mass)?;
    let rf = check::positive("fibre_density", fibre_density)?;
    let rr = check::positive("resin_density", resin_density)?;
    let v = check::voids("voids", voids)?;
    let resin = (t * (1.0 - v) - w / rf) * rr;
    if resin <= 0.0 {
        return Err(Error::inconsistent(
            "thickness",
            show(thickness),
            format!(
                "more than {}, the glass alone",
                show(Length::from_si(w / rf / (1.0 - v))?)
            ),
            "measure again, or check the areal mass of the plies",
        ));
    }
    MassFraction::new(w / (w + resin))
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

/// The published thickness rules for E-glass and polyester, side by side: they differ, and both are kept.
///
/// * ISO 12215-5:2008, annex C: `t/w = (2.56/ψ - 1.36)/3.072` mm per kg/m², which is [`cured_ply`] with glass
///   2.56 and resin 1.20 g/cm³ and no voids.
/// * BS 4994:1987: thickness constant 2.24 mm per kg/m² for mat at 33 wt% glass, 1.25 for woven roving at 45 wt%.
///
/// At 33 wt% mat the second is 7.6 % above the first.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for an areal mass not above zero or ψ outside 0 to 1.
pub fn thickness_rules(
    form: Form,
    areal_mass: ArealMassDensity,
    glass_content: MassFraction,
) -> Result<Vec<RuleThickness>> {
    let w = check::positive("areal_mass", areal_mass)?;
    let psi = check::glass_content("glass_content", glass_content)?;
    let mut rules = vec![RuleThickness {
        rule: "ISO 12215-5 annex C".to_owned(),
        thickness: Length::from_si(1e-3 * w * (2.56 / psi - 1.36) / 3.072)?,
        glass_content,
        source: sources::iso_12215_5("annex C, t/w = (2.56/psi - 1.36)/3.072"),
        extrapolated: None,
    }];
    let constant = match form {
        Form::Mat => Some((2.24, 0.33)),
        Form::WovenRoving => Some((1.25, 0.45)),
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

fn pct(x: f64) -> String {
    format!("{:.1} wt%", 100.0 * x)
}

/// A ply after cure.
#[derive(Debug, Clone, PartialEq, Noun)]
#[noun(written)]
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
    #[noun(skip)]
    given: (Reinforcement, MassDensity),
}

impl CuredPly {
    /// The published thickness rules for E-glass and polyester at this areal mass and glass content, for comparison.
    pub fn rules(&self) -> Vec<RuleThickness> {
        thickness_rules(self.given.0.form, self.given.0.areal_mass, self.glass_content).unwrap_or_default()
    }

    /// How the thickness was computed.
    pub fn why(&self) -> Why {
        let (r, rr) = &self.given;
        let mut why = Why::computed(
            format!("thickness of one ply of {}", r.form),
            show(self.thickness),
            "t = w (1/rho_f + (1/psi - 1)/rho_r) / (1 - v)",
            vec![
                Why::given("w, dry areal mass", show(r.areal_mass)),
                Why::given("psi, glass content by mass", show(self.glass_content)),
                Why::given("rho_f, density of the fibre", show(r.fibre_density)),
                Why::given("rho_r, density of the cured resin", show(*rr)),
                Why::given("v, voids", show(self.voids)),
            ],
        )
        .with_source(&sources::iso_12215_5(
            "annex C, with the densities and voids of this ply in place of 2.56, 1.20 and none",
        ));
        for rule in self.rules() {
            why.from.push(
                Why::given(format!("for comparison, {}", rule.rule), show(rule.thickness))
                    .with_source(&rule.source),
            );
        }
        match &self.extrapolated {
            Some(x) => why.with_note(format!("extrapolated: {x}")),
            None => why,
        }
    }
}

/// A ply after cure, from its dry reinforcement and its glass content.
///
/// `t = w (1/ρf + (1/ψ - 1)/ρr)/(1 - v)`, resin `w (1/ψ - 1)`; w dry areal mass, ψ glass content by mass,
/// densities of fibre and *cured* resin, v voids. With 2.56 and 1.20 g/cm³ and no voids this is exactly the
/// relation of ISO 12215-5:2008, annex C. Marks contents outside hand lay-up as extrapolated.
///
/// # Errors
/// [`ErrorKind::OutOfRange`]: ψ outside 0 to 1, more glass than the form can be packed to
/// ([`Form::packing_limit`]), densities or areal mass not above zero, voids of one half or more.
pub fn cured_ply(
    reinforcement: &Reinforcement,
    glass_content: MassFraction,
    resin_density: MassDensity,
    voids: VolumeFraction,
) -> Result<CuredPly> {
    let r = reinforcement;
    let w = check::positive("areal_mass", r.areal_mass)?;
    let vf = volume_fraction(glass_content, r.fibre_density, resin_density, voids)?;
    let psi = glass_content.get();
    let v = voids.get();
    let limit = r.form.packing_limit();
    if vf.get() > limit {
        let most = mass_fraction(
            VolumeFraction::new(limit.min(1.0 - v - 1e-9))?,
            r.fibre_density,
            resin_density,
            voids,
        )?;
        let (low, high) = r.form.usual_glass_content();
        return Err(Error::out_of_range(
            "glass_content",
            format!("{} ({} of fibre)", show(glass_content), show(vf)),
            format!(
                "at most {} for {}, the packing limit of {} by volume [{}]",
                show(most),
                r.form,
                limit,
                r.form.packing_source().standing
            ),
            format!("hand lay-up of {} reaches {} to {}", r.form, pct(low), pct(high)),
        ));
    }
    let rf = r.fibre_density.si();
    let rr = resin_density.si();
    let t = w * (1.0 / rf + (1.0 / psi - 1.0) / rr) / (1.0 - v);
    let (low, high) = r.form.usual_glass_content();
    let extrapolated = (psi < low || psi > high).then(|| {
        format!(
            "glass content {} is outside the {} to {} of {} by hand [{}]",
            pct(psi),
            pct(low),
            pct(high),
            r.form,
            r.form.usual_source().standing
        )
    });
    Ok(CuredPly {
        thickness: Length::from_si(t)?,
        areal_mass: ArealMassDensity::from_si(w / psi)?,
        resin: ArealMassDensity::from_si(w * (1.0 / psi - 1.0))?,
        resin_to_glass: 1.0 / psi - 1.0,
        glass_content,
        fibre_volume: vf,
        voids,
        density: MassDensity::from_si(w / psi / t)?,
        extrapolated,
        given: (*r, resin_density),
    })
}

/// What a number of plies is wanted for.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Target {
    /// At least this laminate thickness.
    Thickness(Length),
    /// At least this mass of glass and resin per area.
    ArealMass(ArealMassDensity),
    /// At least this stretching stiffness E t, force per width.
    Stretching(SurfaceTension),
    /// At least this bending stiffness D = E t³/12/(1 - ν²), moment per width per curvature (N·m; the type is
    /// that of N·m).
    Bending(Energy),
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
}

/// How many plies reach a thickness, a weight or a stiffness.
///
/// `n = ⌈t/t₁⌉`, `⌈m/m₁⌉`, `⌈S/(E t₁)⌉` or `⌈(12 D (1 - ν²)/E)^(1/3)/t₁⌉`, t₁ and m₁ of one ply.
/// `modulus` is the in-plane modulus of the laminate and its Poisson's ratio, needed for a stiffness.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a target or modulus not above zero or ν outside -1 to 0.5;
/// [`ErrorKind::Document`] where a stiffness is wanted without a modulus;
/// [`ErrorKind::NoSolution`] above 1000 plies.
pub fn plies_for(ply: &CuredPly, target: Target, modulus: Option<(Pressure, Index)>) -> Result<PlyCount> {
    const MOST: f64 = 1000.0;
    let t1 = ply.thickness.si();
    let m1 = ply.areal_mass.si();
    let elastic = match modulus {
        None => None,
        Some((e, nu)) => Some((
            check::positive("modulus", e)?,
            check::isotropic_poisson("poisson", nu)?,
        )),
    };
    let need = || {
        elastic.ok_or_else(|| {
            Error::new(ErrorKind::Document, "modulus")
                .with_value("no modulus")
                .with_way_out("a stiffness needs the laminate's modulus: add it, for example '6.4 GPa'")
        })
    };
    let exact = match target {
        Target::Thickness(t) => check::positive("thickness", t)? / t1,
        Target::ArealMass(m) => check::positive("areal_mass", m)? / m1,
        Target::Stretching(s) => check::positive("stretching_stiffness", s)? / (need()?.0 * t1),
        Target::Bending(d) => {
            let (e, nu) = need()?;
            (12.0 * check::positive("bending_stiffness", d)? * (1.0 - nu * nu) / e).cbrt() / t1
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
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(PlyCount {
        plies: n as u32,
        exact,
        thickness: Length::from_si(t)?,
        areal_mass: ArealMassDensity::from_si(n * m1)?,
        stretching_stiffness_n_per_m: elastic.map(|(e, _)| e * t),
        bending_stiffness_n_m: elastic.map(|(e, nu)| e * t.powi(3) / 12.0 / (1.0 - nu * nu)),
    })
}

/// Dry chopped strands and the resin that fills them.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct ChopFill {
    /// Resin that fills the gaps between the strands.
    pub resin: Mass,
    /// Volume of the wetted chop.
    pub volume: crate::quantity::Volume,
    /// Glass content by mass.
    pub glass_content: MassFraction,
    /// Fibre volume fraction of the loose chop.
    pub fibre_volume: VolumeFraction,
    /// How it was computed.
    pub why: Why,
}

/// Resin held by dry chop: what fills the gaps of loose strands as they lie.
///
/// `Vf = ρb/ρf`, volume `m/ρb`, resin `(1 - Vf - a) ρr m/ρb`; m mass of chop, ρb its bulk density as it lies
/// (weigh a filled cup), a the air that stays. A lower bound on the resin of a pour that still flows.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for masses or densities not above zero; [`ErrorKind::Inconsistent`] where the bulk is
/// denser than the packing limit of loose chop or leaves no room for resin.
pub fn resin_held_by_chop(
    chop: Mass,
    bulk_density: MassDensity,
    fibre_density: MassDensity,
    resin_density: MassDensity,
    air: VolumeFraction,
) -> Result<ChopFill> {
    let m = check::positive("chop", chop)?;
    let rb = check::positive("bulk_density", bulk_density)?;
    let rf = check::positive("fibre_density", fibre_density)?;
    let rr = check::positive("resin_density", resin_density)?;
    let a = check::voids("air", air)?;
    let vf = rb / rf;
    let limit = Form::Chop.packing_limit();
    if vf > limit || vf + a >= 1.0 {
        return Err(Error::inconsistent(
            "bulk_density",
            show(bulk_density),
            format!(
                "at most {} ({limit} of the fibre's density, from memory)",
                show(MassDensity::from_si(limit * rf)?)
            ),
            "weigh a filled cup of loose chop: it is far lighter than glass, for example '0.4 g/mL'",
        ));
    }
    let volume = m / rb;
    let resin = (1.0 - vf - a) * rr * volume;
    Ok(ChopFill {
        resin: Mass::from_si(resin)?,
        volume: crate::quantity::Volume::from_si(volume)?,
        glass_content: MassFraction::new(m / (m + resin))?,
        fibre_volume: VolumeFraction::new(vf)?,
        why: Why::computed(
            "resin held by dry chop",
            show(Mass::from_si(resin)?),
            "m_r = (1 - rho_b/rho_f - a) rho_r m/rho_b",
            vec![
                Why::given("m, chop", show(chop)),
                Why::given("rho_b, bulk density as it lies", show(bulk_density)),
                Why::given("rho_f, density of the fibre", show(fibre_density)),
                Why::given("rho_r, density of the resin", show(resin_density)),
                Why::given("a, air that stays", show(air)),
            ],
        )
        .with_source(&sources::derived_here("mass balance of strands, resin and air")),
    })
}
