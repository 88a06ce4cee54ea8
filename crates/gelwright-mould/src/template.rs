//! A template weighed against a known square of the same sheet.

use gelwright_base::error::Result;
use gelwright_base::measurement::{of_limits, of_step};
use gelwright_base::noun::{Noun, questions};
use gelwright_base::quantity::{Area, Length, Mass, Quantity, RelativeSpread};
use gelwright_base::source::Why;

use crate::size::{Budget, Reading, Size, computed, given};
use crate::tape::{LENGTH, OFF};

/// A paper or card template of a face, weighed, and a square cut from the same sheet, weighed on the same scale.
#[derive(Clone, PartialEq, Noun)]
pub struct WeighedTemplate {
    /// What the template weighs.
    #[noun(within(> "0 g", "100 kg", "give what the scale shows, for example '11.6 g'"))]
    pub template: Mass,
    /// What the square weighs.
    #[noun(within(> "0 g", "100 kg", "give what the scale shows, for example '3.0 g'"))]
    pub square: Mass,
    /// The square's side.
    #[noun(default = "100 mm", within = LENGTH)]
    pub side: Length,
    /// Step of the scale's display.
    #[noun(within(> "0 g", "1 kg", "give the step of the display, for example '0.1 g'"))]
    pub readability: Mass,
    /// How far each side of the square may be cut off its length (common practice, no source).
    #[noun(default = "0.5 mm", within = OFF)]
    pub cut: Length,
    /// How far the sheet's mass per area may differ from place to place (common practice, no source).
    #[noun(default = "1 %", within("0 %", "50 %", "give the limits, for example '1 %'"))]
    pub sheet: RelativeSpread,
    /// How far the template's edge may lie off the mould's all along, times its length: the area that it may be off by.
    #[noun(within("0 m^2", "10 m^2", "for example '2 cm^2': 0.5 mm along an edge of 40 cm"))]
    pub fit: Option<Area>,
}

#[questions]
impl WeighedTemplate {
    /// The area of a face from the weight of its template.
    ///
    /// `A = s^2 m/m_s`; each mass is rounded to the display's step `d`, `u = d/sqrt(12)`. The square's two sides may each be
    /// off by `cut`, the sheet by `sheet`, both as limits. Air's buoyancy is the same for both and cancels. Not modelled: a
    /// face curved two ways, which no sheet follows; damp that changes between the two weighings.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](gelwright_base::ErrorKind::OutOfRange) for a mass, side or step that is not above zero.
    #[question("mould.weighed_template")]
    pub fn measure(&self) -> Result<Size<Area>> {
        gelwright_base::noun::check(self)?;
        let step = of_step(self.readability.si());
        let cut = of_limits(self.cut.si());
        let readings = [
            Reading::new("the template's reading", self.template.si(), step),
            Reading::new("the square's reading", self.square.si(), step),
            Reading::new("one side of the square", self.side.si(), cut),
            Reading::new("the other side of the square", self.side.si(), cut),
            Reading::new("the sheet", 1.0, of_limits(self.sheet.get())),
        ];
        let (area, budget) = Budget::carried(&readings, "", |x| Ok(x[2] * x[3] * x[0] / x[1] * x[4]))?;
        let budget = match self.fit {
            Some(fit) => budget.with("the template's edge on the mould", of_limits(fit.si())),
            None => budget,
        };
        let from: Vec<Why> = vec![
            given("template, m", self.template),
            given("square, m_s", self.square),
            given("side, s", self.side),
            given("step of the display", self.readability),
        ];
        budget.size(area, computed::<Area>("area", area, "A = s^2 m/m_s", from)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use gelwright_base::quantity;

    fn grams(template: f64, square: f64) -> WeighedTemplate {
        WeighedTemplate {
            template: quantity::known(template * 1e-3),
            square: quantity::known(square * 1e-3),
            side: quantity::known(0.1),
            readability: quantity::known(1e-4),
            cut: Length::default(),
            sheet: quantity::known(0.0),
            fit: None,
        }
    }

    fn weighed(template: f64, square: f64) -> Size<Area> {
        grams(template, square).measure().unwrap()
    }

    /// Analytic: `u(A)/A = hypot(u/m, u/m_s)`, `u = d/sqrt(12)`.
    #[test]
    fn heavy_card_is_surer_than_paper() {
        let paper = weighed(3.1, 0.8);
        assert!((paper.value().si() * 1e4 - 387.5).abs() < 1e-9);
        let u = |m: f64, s: f64| (0.1 / 12f64.sqrt()) * m.recip().hypot(s.recip());
        // To the second order in the reading of 0.8 g, which the difference over ± u keeps.
        assert!((paper.relative() / u(3.1, 0.8) - 1.0).abs() < 2e-3);
        assert!((paper.relative() - 0.037).abs() < 5e-4);
        assert_eq!(paper.dominant.as_deref(), Some("the square's reading"));
        let card = weighed(11.6, 3.0);
        assert!((card.value().si() * 1e4 - 386.666_666_7).abs() < 1e-6);
        assert!((card.relative() - 0.0099).abs() < 1e-4);
    }

    #[test]
    fn nothing_weighs_nothing() {
        let e = grams(3.0, 0.0).measure().unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (gelwright_base::ErrorKind::OutOfRange, "square")
        );
    }
}
