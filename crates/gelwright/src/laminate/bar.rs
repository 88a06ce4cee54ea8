//! A cast bar bent on two supports by a weight: the modulus of a resin or a laminate as this shop makes it.

use crate::constants::GRAVITY;
use crate::error::{Error, Result};
use crate::mix::Estimate;
use crate::mix::measurement;
use crate::noun::{Noun, questions};
use crate::quantity::{self, Length, Mass, Pressure, Quantity, Strain};
use crate::source::{Source, Standing, Why};

/// A bar on two supports with a weight hung from its middle.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct BentBar {
    /// Between the supports.
    #[noun(within(> "0 mm", "2 m", "give the span, for example '100 mm'"))]
    pub span: Length,
    /// Width of the bar.
    #[noun(within(> "0 mm", "500 mm", "give the bar's width, for example '15 mm'"))]
    pub width: Length,
    /// Thickness of the bar, the way it bends.
    #[noun(within(> "0 mm", "100 mm", "give the bar's thickness, for example '4 mm'"))]
    pub thickness: Length,
    /// The weight hung from its middle.
    #[noun(within(> "0 g", "1000 kg", "give the weight, for example '1 kg'"))]
    pub load: Mass,
    /// How far the middle goes down under it.
    #[noun(within(> "0 mm", "500 mm", "give the deflection, for example '2.5 mm'"))]
    pub deflection: Length,
    /// The weight that breaks it, where it was taken that far.
    #[noun(within(> "0 g", "1000 kg", "give the weight that broke it"))]
    pub breaks_at: Option<Mass>,
    /// Step of the caliper that width and thickness were taken with.
    #[noun(default = "0.1 mm", within(> "0 mm", .., "give the caliper's step, for example '0.1 mm'"))]
    pub caliper: Length,
    /// Step of the rule that span and deflection were read from.
    #[noun(default = "0.5 mm", within(> "0 mm", .., "give the rule's step, for example '0.5 mm'"))]
    pub rule: Length,
}

/// What a bent bar tells.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct TestedBar {
    /// Modulus in bending.
    pub modulus: Estimate<Pressure>,
    /// Stress in bending at which it broke, where it did. A bar bears more bent than pulled: it is not the tensile strength.
    pub bending_strength: Option<Estimate<Pressure>>,
    /// Greatest strain under the weight.
    pub strain: Strain,
    /// Greatest strain at which it broke, where it did: in proportion to the weight.
    pub strain_at_break: Option<Estimate<Strain>>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl BentBar {
    /// A slender bar that bends little.
    fn check(&self) -> Result<()> {
        if self.span.si() < 12.0 * self.thickness.si() {
            return Err(Error::out_of_range(
                "span",
                quantity::show(self.span),
                format!("{} or more", quantity::show(self.thickness * 12.0)),
                "a stout bar shears as well as bends: set the supports further apart (ISO 178: 16 times the thickness)",
            ));
        }
        if self.deflection.si() > 0.1 * self.span.si() {
            return Err(Error::out_of_range(
                "deflection",
                quantity::show(self.deflection),
                format!("{} or less", quantity::show(self.span * 0.1)),
                "bent this far the bar slides on its supports: hang a smaller weight",
            ));
        }
        Ok(())
    }

    /// Modulus of a bar on two supports with a weight at its middle: `E = m g L^3/(4 b h^3 d)`.
    ///
    /// Strain `6 h d/L^2`; stress at break `3 m g L/(2 b h^2)`. `u^2 = (3 u_L/L)^2 + (u_b/b)^2 + (3 u_h/h)^2 + (u_d/d)^2`, each reading
    /// within half a step, the deflection a difference of two. Shear is left out.
    ///
    /// Source: three-point bending of ISO 178, Plastics, Determination of flexural properties (2019), from memory; elementary beam.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a span below 12 thicknesses or a deflection above a tenth of the
    /// span.
    #[question("laminate.bent_bar")]
    pub fn tested(&self) -> Result<TestedBar> {
        crate::noun::check(self)?;
        self.check()?;
        let (l, b, h, d) = (
            self.span.si(),
            self.width.si(),
            self.thickness.si(),
            self.deflection.si(),
        );
        let (rule, caliper) = (
            measurement::of_step(self.rule.si()),
            measurement::of_step(self.caliper.si()),
        );
        let modulus = self.load.si() * GRAVITY * l.powi(3) / (4.0 * b * h.powi(3) * d);
        let of_size = (caliper / b).hypot(3.0 * caliper / h);
        let relative = of_size.hypot(3.0 * rule / l).hypot(2f64.sqrt() * rule / d);
        let modulus = Estimate::normal(Pressure::from_si(modulus)?, relative * modulus)?;
        let bending_strength = match self.breaks_at {
            Some(m) => {
                let stress = 1.5 * m.si() * GRAVITY * l / (b * h * h);
                let relative = (caliper / b).hypot(2.0 * caliper / h).hypot(rule / l);
                Some(Estimate::normal(Pressure::from_si(stress)?, relative * stress)?)
            }
            None => None,
        };
        let strain = 6.0 * h * d / (l * l);
        let strain_at_break = match self.breaks_at {
            Some(m) => {
                let at = strain * m.si() / self.load.si();
                let relative = (caliper / h).hypot(2.0 * rule / l).hypot(2f64.sqrt() * rule / d);
                Some(Estimate::normal(Strain::new(at)?, relative * at)?)
            }
            None => None,
        };
        Ok(TestedBar {
            bending_strength,
            strain: Strain::new(strain)?,
            strain_at_break,
            why: Why::computed(
                "modulus in bending",
                modulus.to_string(),
                "E = m g L^3/(4 b h^3 d)",
                vec![
                    Why::given("span, L", quantity::show(self.span)),
                    Why::given("width, b", quantity::show(self.width)),
                    Why::given("thickness, h", quantity::show(self.thickness)),
                    Why::given("weight, m", quantity::show(self.load)),
                    Why::given("deflection, d", quantity::show(self.deflection)),
                ],
            )
            .with_source(&Source::of(Standing::MeasuredHere, "a bar bent by a weight")),
            modulus,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar() -> BentBar {
        let mm = |x: f64| Length::from_si(1e-3 * x).unwrap();
        BentBar {
            span: mm(200.0),
            width: mm(20.0),
            thickness: mm(4.0),
            load: Mass::from_si(1.0).unwrap(),
            deflection: mm(4.0),
            breaks_at: Some(Mass::from_si(8.0).unwrap()),
            caliper: mm(0.1),
            rule: mm(0.5),
        }
    }

    #[test]
    fn a_bar_gives_back_the_modulus_of_the_elementary_beam() {
        // analytic, w = P L^3/(48 E I), I = b h^3/12: 1 kg on 200 mm, 20 x 4 mm, 4 mm down
        let i = 0.02 * 0.004_f64.powi(3) / 12.0;
        let e = GRAVITY * 0.2_f64.powi(3) / (48.0 * i * 0.004);
        let told = bar().tested().unwrap();
        assert!((told.modulus.value.si() / e - 1.0).abs() < 1e-12);
        // s = M h/(2 I), M = P L/4
        let stress = 8.0 * GRAVITY * 0.2 / 4.0 * 0.002 / i;
        assert!((told.bending_strength.unwrap().value.si() / stress - 1.0).abs() < 1e-12);
        assert!((told.strain.get() - stress / 8.0 / e).abs() < 1e-9);
    }

    #[test]
    fn a_stout_or_much_bent_bar_is_refused() {
        let short = BentBar {
            span: Length::from_si(0.04).unwrap(),
            ..bar()
        };
        assert_eq!(short.tested().unwrap_err().field(), "span");
        let far = BentBar {
            deflection: Length::from_si(0.03).unwrap(),
            ..bar()
        };
        assert_eq!(far.tested().unwrap_err().field(), "deflection");
    }
}
