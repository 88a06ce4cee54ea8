//! A flat panel of the wall under pressure.

use crate::noun::{self, Noun, questions};

use super::sources;
use crate::error::Result;
use crate::quantity::{Index, Length, Pressure, Quantity, show};
use crate::source::Why;

/// The outline of a panel and how its edge is held.
#[derive(Clone, Copy, PartialEq, Noun)]
pub enum PanelShape {
    /// A rectangle whose edges rest and may turn.
    RectangleSupported {
        /// One side.
        #[noun(within = crate::ranges::PANEL_LENGTH)]
        a: Length,
        /// The other side.
        #[noun(within = crate::ranges::PANEL_LENGTH)]
        b: Length,
    },
    /// A disc whose edge rests and may turn.
    DiscSupported {
        /// Its radius.
        #[noun(within = crate::ranges::PANEL_LENGTH)]
        radius: Length,
    },
    /// A disc whose edge is held fast.
    DiscClamped {
        /// Its radius.
        #[noun(within = crate::ranges::PANEL_LENGTH)]
        radius: Length,
    },
}

/// A flat panel of the wall under uniform pressure.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Panel {
    /// Its outline and how it is held.
    pub shape: PanelShape,
    /// Its thickness.
    #[noun(within = crate::ranges::WALL_THICKNESS)]
    pub thickness: Length,
    /// Young's modulus.
    #[noun(within = crate::ranges::MODULUS)]
    pub modulus: Pressure,
    /// Poisson's ratio.
    #[noun(within(> -1, < 0.5, "a laminate has about 0.3"))]
    pub poisson: Index,
    /// Uniform pressure.
    #[noun(within("0 Pa", "1e7 GPa", "give a pressure of zero or more: '1 kPa'"))]
    pub pressure: Pressure,
}

/// Deflection and stress of a panel.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct PanelBending {
    /// Largest deflection.
    pub deflection: Length,
    /// Largest bending stress.
    pub stress: Pressure,
    /// Where small-deflection theory is left.
    pub extrapolated: Option<String>,
    /// How it was computed.
    pub why: Why,
}

#[questions]
impl Panel {
    /// Deflection and stress of a flat panel of the wall under uniform pressure.
    ///
    /// Isotropic, small deflections. `D = E t³/(12 (1 - ν²))`. Rectangle (Navier's series):
    /// `w = (16 q/(π⁶ D)) Σ sin sin/(m n (m²/a² + n²/b²)²)`, m and n odd. Disc clamped: `w = q r⁴/(64 D)`, edge moment
    /// `q r²/8`. Disc supported: `w = (5 + ν) q r⁴/(64 (1 + ν) D)`, moment `(3 + ν) q r²/16`. Stress `6 M/t²`.
    /// S. P. Timoshenko, S. Woinowsky-Krieger, *Theory of Plates and Shells* (1959). Above a deflection of half the
    /// thickness the panel is stiffer than this and the answer is marked.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for fields out of range.
    #[question("laminate.panel")]
    pub fn bending(&self) -> Result<PanelBending> {
        noun::check(self)?;
        let (t, nu) = (self.thickness.si(), self.poisson.get());
        let (w, m, equation) = self.deflection_and_moment();
        let deflection = Length::from_si(w)?;
        let stress = Pressure::from_si(6.0 * m / (t * t))?;
        let extrapolated = (w > 0.5 * t).then(|| {
            format!(
                "the deflection {} is more than half the thickness {}: the panel is stiffer than small-deflection theory says",
                show(deflection),
                show(self.thickness)
            )
        });
        let mut why = Why::computed(
            "largest bending stress of the panel",
            show(stress),
            format!("s = 6 M/t^2; {equation}; D = E t^3/(12 (1 - nu^2))"),
            vec![
                Why::given("q, pressure", show(self.pressure)),
                Why::given("t, thickness", show(self.thickness)),
                Why::given("E, modulus", show(self.modulus)),
                Why::given("nu", nu.to_string()),
            ],
        )
        .with_source(&sources::plates());
        if let Some(x) = &extrapolated {
            why = why.with_note(format!("extrapolated: {x}"));
        }
        Ok(PanelBending {
            deflection,
            stress,
            extrapolated,
            why,
        })
    }

    /// Deflection, m, moment per width, N, and their equations, of a panel that was checked.
    fn deflection_and_moment(&self) -> (f64, f64, &'static str) {
        let (t, e) = (self.thickness.si(), self.modulus.si());
        let (nu, q) = (self.poisson.get(), self.pressure.si());
        let d = e * t.powi(3) / (12.0 * (1.0 - nu * nu));
        match self.shape {
            PanelShape::RectangleSupported { a, b } => {
                let (w, m) = navier(a.si(), b.si(), nu);
                (q * w / d, q * m, "Navier's series for w and M at the middle")
            }
            PanelShape::DiscSupported { radius } => {
                let r = radius.si();
                (
                    (5.0 + nu) * q * r.powi(4) / (64.0 * (1.0 + nu) * d),
                    (3.0 + nu) * q * r * r / 16.0,
                    "w = (5 + nu) q r^4/(64 (1 + nu) D), M = (3 + nu) q r^2/16",
                )
            }
            PanelShape::DiscClamped { radius } => {
                let r = radius.si();
                (
                    q * r.powi(4) / (64.0 * d),
                    q * r * r / 8.0,
                    "w = q r^4/(64 D), M = q r^2/8 at the edge",
                )
            }
        }
    }
}

/// w D/q and the larger M/q at the middle of a supported rectangle.
fn navier(a: f64, b: f64, nu: f64) -> (f64, f64) {
    const TERMS: u32 = 100;
    let pi = std::f64::consts::PI;
    let (mut w, mut mx, mut my) = (0.0, 0.0, 0.0);
    for i in 0..TERMS {
        for j in 0..TERMS {
            let (m, n) = (f64::from(2 * i + 1), f64::from(2 * j + 1));
            let sign = if (i + j) % 2 == 0 { 1.0 } else { -1.0 };
            let (ka, kb) = (m * m / (a * a), n * n / (b * b));
            let term = sign / (m * n * (ka + kb).powi(2));
            w += term;
            mx += term * (ka + nu * kb);
            my += term * (nu * ka + kb);
        }
    }
    (16.0 / pi.powi(6) * w, 16.0 / pi.powi(4) * f64::max(mx, my))
}
