//! Dry reinforcement: its forms, and its weight as the trade writes it.

use std::fmt;

use gelwright_base::text_noun;

use crate::check;
use crate::noun::{AsText, Grammar, Noun, questions};

use super::sources;
use super::usual::e_glass_density;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{ArealMassDensity, Mass, MassDensity, Quantity, parse};
use crate::source::Source;

/// Square foot in m² (exact), the area of mat's ounce.
const SQUARE_FOOT: f64 = 0.092_903_04;
/// Square yard in m² (exact), the area of cloth's ounce.
const SQUARE_YARD: f64 = 0.836_127_36;
/// Avoirdupois ounce in kg (exact).
const OUNCE: f64 = 0.028_349_523_125;

/// The form reinforcement comes in.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
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
#[derive(Clone, Copy, PartialEq, Noun)]
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
#[derive(Clone, Copy, PartialEq, Noun)]
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
            fibre_density: e_glass_density(),
        };
        made.check()?;
        Ok(made)
    }

    /// Refuses an areal mass that nobody lays.
    pub(super) fn check(&self) -> Result<()> {
        sane("areal_mass", self.areal_mass).map(|_| ())
    }
}

/// A reinforcement as a document writes it.
#[derive(Clone, Noun)]
#[noun(name = "Reinforcement")]
struct WrittenReinforcement {
    /// Its form.
    form: ReinforcementForm,
    /// Dry mass per area.
    areal_mass: ArealMassText,
    /// Density of the fibre; of E-glass (ISO 12215-5:2008, annex C) where not given.
    #[noun(
        default = e_glass_density(),
        within = crate::ranges::FIBRE_DENSITY
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
