//! The questions about light that every language can ask.

use crate::noun::Noun;

use super::hiding::{CoatOptics, Hiding, Layer, Pigment, hiding_coat, pigment_to_hide, thickness_for};
use super::translucency::{Edge, Translucency, scattering_of_test_piece};
use crate::check;
use crate::door::{Question, entry};
use crate::error::Result;
use crate::quantity::{Length, MassDensity, MassFraction, Quantity, show};
use crate::question::Entry;
use crate::source::Why;

/// Contrast ratio that counts as hiding.
const FULL_HIDING: f64 = 0.98;
/// Reflectance of the white part of a draw-down card.
const WHITE_CARD: f64 = 0.80;

/// Whether a coat hides.
#[derive(Debug, Clone, Noun)]
pub struct HidingQuestion {
    /// The coat.
    pub coat: CoatOptics,
    /// Its cured thickness.
    pub thickness: Length,
    /// Contrast ratio that counts as hiding; 0.98 unless given.
    #[noun(default = 0.98)]
    pub target: f64,
    /// Reflectance of the white card; 0.80 unless given.
    #[noun(default = 0.80)]
    pub white: f64,
}

impl Question for HidingQuestion {
    const NAME: &'static str = "light.hiding";
    const ABOUT: &'static str = "Contrast ratio of a pigmented coat, the thickness that hides, and the light it lets through (Kubelka-Munk).";
    type Answer = Hiding;
    fn answer(&self) -> Result<Hiding> {
        hiding_coat(&self.coat, self.thickness, self.target, self.white)
    }
}

/// The pigment that makes a coat hide.
#[derive(Debug, Clone, Noun)]
pub struct PigmentToHide {
    /// Cured thickness of the coat.
    pub thickness: Length,
    /// Density of the cured resin around the pigment.
    pub resin_density: MassDensity,
    /// Reflectance of a thick block; 0.95 (white) unless given.
    #[noun(default = 0.95)]
    pub reflectance: f64,
    /// The pigment; rutile unless given.
    pub pigment: Option<Pigment>,
    /// Contrast ratio that counts as hiding; 0.98 unless given.
    #[noun(default = 0.98)]
    pub target: f64,
    /// Reflectance of the white card; 0.80 unless given.
    #[noun(default = 0.80)]
    pub white: f64,
    /// Part of a lamp's light behind the coat that may show; not judged unless given.
    pub lamp: Option<f64>,
}

/// The pigment that makes a coat hide.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct PigmentToHideAnswer {
    /// Pigment as a mass fraction of the coat.
    pub pigment: MassFraction,
    /// The coat with it.
    pub coat: Hiding,
}

impl Question for PigmentToHide {
    const NAME: &'static str = "light.pigment_to_hide";
    const ABOUT: &'static str =
        "The least white pigment with which a coat of a thickness hides, or keeps a lamp in.";
    type Answer = PigmentToHideAnswer;
    fn answer(&self) -> Result<PigmentToHideAnswer> {
        let (pigment, coat) = pigment_to_hide(
            self.pigment.unwrap_or_else(Pigment::rutile),
            self.resin_density,
            self.reflectance,
            self.thickness,
            self.target,
            check::number("white", self.white, 0.1, 1.0, "about 0.8 for white card")?,
            self.lamp,
        )?;
        Ok(PigmentToHideAnswer { pigment, coat })
    }
}

impl Question for Edge {
    const NAME: &'static str = "light.translucency";
    const ABOUT: &'static str =
        "Light through a cast edge of resin and glass: all of it, and the part that goes straight.";
    type Answer = Translucency;
    fn answer(&self) -> Result<Translucency> {
        self.translucency()
    }
}

/// The coefficients of a test piece.
#[derive(Debug, Clone, Noun)]
pub struct TestPiece {
    /// Its thickness.
    pub thickness: Length,
    /// Part of the light it lets through in any direction, 0 to 1.
    pub transmittance: f64,
    /// Refractive index of the cured resin.
    pub resin_index: f64,
}

/// The coefficients of a test piece.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct TestPieceAnswer {
    /// To be given as an edge's `pigment` (`{"layer": ...}`) at other thicknesses.
    pub layer: Layer,
}

impl Question for TestPiece {
    const NAME: &'static str = "light.test_piece";
    const ABOUT: &'static str = "Scattering of a measured test piece, to carry over to other thicknesses.";
    type Answer = TestPieceAnswer;
    fn answer(&self) -> Result<TestPieceAnswer> {
        Ok(TestPieceAnswer {
            layer: scattering_of_test_piece(self.thickness, self.transmittance, self.resin_index)?,
        })
    }
}

/// A body that must stay opaque and a wing that must glow.
#[derive(Debug, Clone, Noun)]
pub struct BodyAndWing {
    /// Gel coat of the body.
    pub body: CoatOptics,
    /// Its thickness.
    pub body_thickness: Length,
    /// Part of the lamp's light that may show through the body; 0.02 unless given.
    #[noun(default = 0.02)]
    pub body_at_most: f64,
    /// The wing.
    pub wing: Edge,
    /// Part of the light that must come through the wing; 0.5 unless given.
    #[noun(default = 0.5)]
    pub wing_at_least: f64,
}

/// Whether the body stays opaque and the wing glows.
#[derive(Debug, Clone, Noun)]
#[non_exhaustive]
pub struct BodyAndWingAnswer {
    /// The body hides (contrast ratio 0.98 over 0.80) and shows no more of the lamp than allowed.
    pub body_opaque: bool,
    /// The wing lets through what is wanted.
    pub wing_lit: bool,
    /// Body coat that does both; none if no thickness does.
    pub body_thickness_needed: Option<Length>,
    /// Thickest wing of this make that is lit; none if none is.
    pub thickest_wing: Option<Length>,
    /// The body's coat.
    pub body: Hiding,
    /// The wing.
    pub wing: Translucency,
    /// The chain behind it.
    pub why: Why,
}

impl Question for BodyAndWing {
    const NAME: &'static str = "light.body_and_wing";
    const ABOUT: &'static str =
        "Which coat keeps a body opaque and which edge keeps a wing lit, with a lamp inside.";
    type Answer = BodyAndWingAnswer;
    fn answer(&self) -> Result<BodyAndWingAnswer> {
        let most = check::number("body_at_most", self.body_at_most, 1e-6, 1.0, "such as 0.02")?;
        let least = check::number("wing_at_least", self.wing_at_least, 1e-6, 1.0, "such as 0.5")?;
        check::positive("body_thickness", self.body_thickness)?;
        let body = hiding_coat(&self.body, self.body_thickness, FULL_HIDING, WHITE_CARD).map_err(|e| {
            if e.field().starts_with("coat") {
                rename(e, &self.body)
            } else {
                e
            }
        })?;
        let dark = thickness_for(&body.layer, |_, t| most - t)?;
        let body_thickness_needed = match (body.hiding_thickness, dark) {
            (Some(a), Some(b)) => Some(if a.si() > b.si() { a } else { b }),
            _ => None,
        };
        let wing = self.wing.translucency().map_err(|e| e.within("wing"))?;
        let thickest_wing = self.wing.thickest_lit(least).map_err(|e| e.within("wing"))?;
        let why = Why::computed(
            "body opaque and wing lit",
            format!(
                "body shows {:.2} % of the lamp, wing {:.0} %",
                100.0 * body.transmittance,
                100.0 * wing.transmittance
            ),
            "contrast ratio >= 0.98 and T(body) <= most; T(wing) >= least",
            vec![
                body.why(),
                wing.why(),
                Why::given("body coat", show(self.body_thickness)),
                Why::given("wing", show(self.wing.thickness)),
            ],
        );
        Ok(BodyAndWingAnswer {
            body_opaque: body.hides && body.transmittance <= most,
            wing_lit: wing.transmittance >= least,
            body_thickness_needed,
            thickest_wing,
            body,
            wing,
            why,
        })
    }
}

/// A refusal of the coat, seen as one of the body.
fn rename(e: crate::Error, body: &CoatOptics) -> crate::Error {
    match body.layer() {
        Err(own) => own.within("body"),
        Ok(_) => e,
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[
    entry::<HidingQuestion>(),
    entry::<PigmentToHide>(),
    entry::<Edge>(),
    entry::<TestPiece>(),
    entry::<BodyAndWing>(),
];
