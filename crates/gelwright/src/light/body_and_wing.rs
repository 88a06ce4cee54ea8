//! A body that must stay opaque and a wing that must glow, with a lamp inside.

use crate::noun::{self, Noun, questions};

use super::hiding::{CoatOnCard, CoatOptics, Hiding, HidingCard, thickness_for};
use super::translucency::{Translucency, TranslucentEdge};
use crate::error::Result;
use crate::quantity::{Length, Quantity, show};
use crate::source::Why;

/// A body that must stay opaque and a wing that must glow.
#[derive(Clone, PartialEq, Noun)]
pub struct BodyAndWing {
    /// Gel coat of the body.
    pub body: CoatOptics,
    /// Its thickness.
    #[noun(within = crate::ranges::COAT_THICKNESS)]
    pub body_thickness: Length,
    /// Part of the lamp's light that may show through the body.
    #[noun(default = 0.02, within(0.000001, 1, "such as 0.02"))]
    pub body_at_most: f64,
    /// The wing.
    pub wing: TranslucentEdge,
    /// Part of the light that must come through the wing.
    #[noun(default = 0.5, within(0.000001, 1, "such as 0.5"))]
    pub wing_at_least: f64,
}

/// What a lamp inside shows of a body and a wing.
#[derive(Clone, Noun)]
#[non_exhaustive]
pub struct LampInside {
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

#[questions]
impl BodyAndWing {
    /// Which coat keeps a body opaque and which edge keeps a wing lit, with a lamp inside.
    ///
    /// # Errors
    /// As [`CoatOnCard::hiding`] and [`TranslucentEdge::translucency`].
    #[question("light.body_and_wing")]
    pub fn with_lamp_inside(&self) -> Result<LampInside> {
        noun::check(self)?;
        let (most, least) = (self.body_at_most, self.wing_at_least);
        self.body.check().map_err(|e| e.within("body"))?;
        let body = CoatOnCard {
            coat: self.body,
            thickness: self.body_thickness,
            card: HidingCard::default(),
        }
        .hiding()?;
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
                body.why.clone(),
                wing.why.clone(),
                Why::given("body coat", show(self.body_thickness)),
                Why::given("wing", show(self.wing.thickness)),
            ],
        );
        Ok(LampInside {
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
