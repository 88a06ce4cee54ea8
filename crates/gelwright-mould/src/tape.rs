//! A tape or rule, and flat shapes measured with it.

use std::f64::consts::PI;

use gelwright_base::error::{Error, Result};
use gelwright_base::measurement::{of_limits, of_step};
use gelwright_base::noun::{Noun, Range, questions, range};
use gelwright_base::quantity::{self, Area, Length, Quantity};
use gelwright_base::source::Why;

use crate::carlson;
use crate::flat::FlatSize;
use crate::offset;
use crate::size::{Budget, Reading, computed, given, length_text};
use crate::sources;

/// A length that is measured on a mould.
pub(crate) const LENGTH: Range = range!(
    "1 um",
    "1 km",
    "give what the tape shows, with its unit, for example '240 mm'"
);
/// How far something may be off.
pub(crate) const OFF: Range = range!("0 mm", "1 m", "give the limits of error, for example '0.5 mm'");
/// Width of a zone along an edge.
pub(crate) const EDGE: Range = range!(
    "1 um",
    "10 m",
    "give the width of the edge zone, for example '15 mm'"
);

/// A tape, rule or calliper.
///
/// A reading has the standard uncertainty `u^2 = s^2/12 + h^2/3 + e^2/3`: step `s`, ends held off by at most `h`, error of
/// the tape at most `e`. The first two are each reading's own; the error is the tape's, and moves all its readings together.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Tape {
    /// Step of its marks.
    #[noun(
        default = "1 mm",
        within("0 mm", "100 mm", "give the step of the marks, for example '1 mm'")
    )]
    pub readability: Length,
    /// Largest error of the tape itself; that of a tape of class II, if not said.
    #[noun(within = OFF)]
    pub error: Option<Length>,
    /// How far both ends together may be held off the points meant (common practice, no source).
    #[noun(default = "1 mm", within = OFF)]
    pub holding: Length,
}

impl Default for Tape {
    fn default() -> Self {
        gelwright_base::noun::defaults()
    }
}

impl Tape {
    /// Without any error: for lengths that are given.
    pub fn exact() -> Self {
        Tape {
            readability: Length::default(),
            error: Some(Length::default()),
            holding: Length::default(),
        }
    }

    /// Largest error of the tape itself at a length: as said, or `0.3 mm + 0.2 mm` for each started metre.
    pub fn largest_error(&self, at: Length) -> Length {
        self.error
            .unwrap_or_else(|| quantity::known(0.3e-3 + 0.2e-3 * at.si().abs().ceil()))
    }

    /// Standard uncertainty of a reading.
    pub fn uncertainty(&self, at: Length) -> Length {
        let r = self.reading("", at);
        quantity::known(r.own.hypot(r.shared))
    }

    pub(crate) fn reading(&self, what: &str, at: Length) -> Reading {
        Reading {
            what: what.into(),
            value: at.si(),
            own: of_step(self.readability.si()).hypot(of_limits(self.holding.si())),
            shared: of_limits(self.largest_error(at).si()),
        }
    }

    pub(crate) fn why(&self, at: Length) -> Why {
        let why = given("largest error of the tape", self.largest_error(at));
        match self.error {
            Some(_) => why,
            None => why.with_source(&sources::tapes()),
        }
    }
}

/// What the shared part of a tape's readings is called.
pub(crate) const TAPE: &str = "the tape itself";

/// A flat shape by its lengths.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum PlaneForm {
    /// Four right angles.
    Rectangle {
        /// One side.
        #[noun(within = LENGTH)]
        length: Length,
        /// The other.
        #[noun(within = LENGTH)]
        width: Length,
    },
    /// Three sides, in any order.
    Triangle {
        /// One side.
        #[noun(within = LENGTH)]
        a: Length,
        /// Another.
        #[noun(within = LENGTH)]
        b: Length,
        /// The third.
        #[noun(within = LENGTH)]
        c: Length,
    },
    /// Two parallel sides at a distance, the legs equal.
    Trapezium {
        /// One of the parallel sides.
        #[noun(within = LENGTH)]
        base: Length,
        /// The other.
        #[noun(within = LENGTH)]
        top: Length,
        /// Their distance.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A circle.
    Circle {
        /// Across.
        #[noun(within = LENGTH)]
        diameter: Length,
    },
    /// An ellipse.
    Ellipse {
        /// Across, the long way.
        #[noun(within = LENGTH)]
        length: Length,
        /// Across, the short way.
        #[noun(within = LENGTH)]
        width: Length,
    },
}

impl PlaneForm {
    fn sizes(&self) -> Vec<(&'static str, Length)> {
        match *self {
            PlaneForm::Rectangle { length, width } | PlaneForm::Ellipse { length, width } => {
                vec![("length", length), ("width", width)]
            }
            PlaneForm::Triangle { a, b, c } => vec![("a", a), ("b", b), ("c", c)],
            PlaneForm::Trapezium { base, top, height } => {
                vec![("base", base), ("top", top), ("height", height)]
            }
            PlaneForm::Circle { diameter } => vec![("diameter", diameter)],
        }
    }

    const fn equation(&self) -> &'static str {
        match self {
            PlaneForm::Rectangle { .. } => "A = l w",
            PlaneForm::Triangle { .. } => "A = sqrt(s (s-a) (s-b) (s-c)), s = (a+b+c)/2",
            PlaneForm::Trapezium { .. } => "A = h (base + top)/2",
            PlaneForm::Circle { .. } => "A = pi d^2/4",
            PlaneForm::Ellipse { .. } => "A = pi l w/4",
        }
    }

    fn area(&self, x: &[f64]) -> Result<f64> {
        Ok(match self {
            PlaneForm::Rectangle { .. } => x[0] * x[1],
            PlaneForm::Triangle { .. } => triangle(x)?,
            PlaneForm::Trapezium { .. } => x[2] * 0.5 * (x[0] + x[1]),
            PlaneForm::Circle { .. } => PI * x[0] * x[0] / 4.0,
            PlaneForm::Ellipse { .. } => PI * x[0] * x[1] / 4.0,
        })
    }

    fn perimeter(&self, x: &[f64]) -> f64 {
        match self {
            PlaneForm::Rectangle { .. } => 2.0 * (x[0] + x[1]),
            PlaneForm::Triangle { .. } => x.iter().sum(),
            PlaneForm::Trapezium { .. } => x[0] + x[1] + 2.0 * x[2].hypot(0.5 * (x[0] - x[1])),
            PlaneForm::Circle { .. } => PI * x[0],
            PlaneForm::Ellipse { .. } => carlson::ellipse(0.5 * x[0], 0.5 * x[1]),
        }
    }

    /// Area of the zone of width `w` along the inside of the edge.
    fn edge_zone(&self, x: &[f64], w: f64) -> Result<f64> {
        let area = self.area(x)?;
        Ok(match self {
            PlaneForm::Rectangle { .. } => area - (x[0] - 2.0 * w).max(0.0) * (x[1] - 2.0 * w).max(0.0),
            PlaneForm::Triangle { .. } => {
                // What is left is similar to it, about the same incentre.
                let incircle = 2.0 * area / self.perimeter(x);
                area * (1.0 - (1.0 - w / incircle).max(0.0).powi(2))
            }
            PlaneForm::Circle { .. } => area - PI * (0.5 * x[0] - w).max(0.0).powi(2),
            PlaneForm::Trapezium { .. } => area - offset::moved_area(&self.polygon(x), -w),
            PlaneForm::Ellipse { .. } => {
                // The polygon's own shortfall in area cancels.
                let p = self.polygon(x);
                0.5 * offset::twice_area(&p).abs() - offset::moved_area(&p, -w)
            }
        })
    }

    fn polygon(&self, x: &[f64]) -> Vec<[f64; 2]> {
        match self {
            PlaneForm::Trapezium { .. } => {
                let (base, top, h) = (0.5 * x[0], 0.5 * x[1], x[2]);
                vec![[-base, 0.0], [base, 0.0], [top, h], [-top, h]]
            }
            _ => (0..2000)
                .map(|i| {
                    let (s, c) = (2.0 * PI * f64::from(i) / 2000.0).sin_cos();
                    [0.5 * x[0] * c, 0.5 * x[1] * s]
                })
                .collect(),
        }
    }
}

/// Heron's formula in Kahan's order, which keeps its digits for needles.
fn triangle(x: &[f64]) -> Result<f64> {
    let mut s = [x[0], x[1], x[2]];
    s.sort_by(|p, q| q.total_cmp(p));
    let [a, b, c] = s;
    let short = c - (a - b);
    if short <= 0.0 {
        return Err(Error::inconsistent(
            "triangle",
            format!(
                "sides of {}, {} and {}",
                length_text(a),
                length_text(b),
                length_text(c)
            ),
            "each side shorter than the two others together",
            "measure the three sides again",
        ));
    }
    Ok(0.25 * ((a + (b + c)) * short * (c + (a - b)) * (a + (b - c))).sqrt())
}

/// A flat shape measured by tape.
#[derive(Clone, PartialEq, Noun)]
pub struct TapedShape {
    /// Its form with its lengths.
    pub form: PlaneForm,
    /// What it was measured with.
    #[noun(default)]
    pub tape: Tape,
    /// Width of the zone along its edge, where that is asked for.
    #[noun(within = EDGE)]
    pub edge: Option<Length>,
}

#[questions]
impl TapedShape {
    /// Area, edge and edge zone of a flat shape from tape readings.
    ///
    /// Closed forms; the edge zone is the area within `edge` of the edge, inside: what is left of a rectangle, triangle or
    /// circle is known in closed form, that of a trapezium or an ellipse by the offset outline (within 2e-4 of the edge
    /// zone's own rounds). Not modelled: angles that are not right, a shape that is not flat.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](gelwright_base::ErrorKind::OutOfRange) for a length that is not above zero;
    /// [`ErrorKind::Inconsistent`](gelwright_base::ErrorKind::Inconsistent) for sides that make no triangle.
    #[question("mould.taped_shape")]
    pub fn measure(&self) -> Result<FlatSize> {
        gelwright_base::noun::check(self)?;
        let sizes = self.form.sizes();
        let readings: Vec<Reading> = sizes
            .iter()
            .map(|(what, l)| self.tape.reading(what, *l))
            .collect();
        let from: Vec<Why> = sizes
            .iter()
            .map(|(what, l)| given(what, *l))
            .chain(sizes.first().map(|(_, l)| self.tape.why(*l)))
            .collect();
        let within = |e: Error| e.within("form");
        let (a, of_area) = Budget::carried(&readings, TAPE, |x| self.form.area(x)).map_err(within)?;
        let (p, of_perimeter) = Budget::carried(&readings, TAPE, |x| Ok(self.form.perimeter(x)))?;
        let edge_zone = match self.edge {
            None => None,
            Some(w) => {
                let (e, budget) =
                    Budget::carried(&readings, TAPE, |x| self.form.edge_zone(x, w.si())).map_err(within)?;
                let equation = "area of the points within the edge's width of the edge";
                Some(budget.size(e, computed::<Area>("edge zone", e, equation, from.clone())?)?)
            }
        };
        let equation = self.form.equation();
        Ok(FlatSize {
            area: of_area.size(a, computed::<Area>("area", a, equation, from.clone())?)?,
            perimeter: of_perimeter.size(p, computed::<Length>("edge", p, "sum of its sides", from)?)?,
            edge_zone,
            centroid: None,
            notes: vec![],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(x: f64) -> Length {
        known(x * 1e-3)
    }
    fn known<Q: Quantity>(si: f64) -> Q {
        quantity::known(si)
    }

    #[test]
    fn closed_forms() {
        let shape = |form| TapedShape {
            form,
            tape: Tape::exact(),
            edge: Some(mm(1.0)),
        };
        let measured = |form| {
            let m = shape(form).measure().unwrap();
            let zone = m.edge_zone.unwrap().value().si();
            (
                m.area.value().si() * 1e6,
                m.perimeter.value().si() * 1e3,
                zone * 1e6,
            )
        };
        let near = |a: f64, b: f64, relative: f64| assert!((a / b - 1.0).abs() < relative, "{a} for {b}");
        // Analytic.
        let (a, p, z) = measured(PlaneForm::Triangle {
            a: mm(3.0),
            b: mm(4.0),
            c: mm(5.0),
        });
        near(a, 6.0, 1e-14);
        near(p, 12.0, 1e-14);
        near(z, 6.0, 1e-14);
        let (a, _, z) = measured(PlaneForm::Circle { diameter: mm(10.0) });
        near(a, 25.0 * PI, 1e-14);
        near(z, 9.0 * PI, 1e-14);
        let (a, p, z) = measured(PlaneForm::Ellipse {
            length: mm(40.0),
            width: mm(20.0),
        });
        near(a, 200.0 * PI, 1e-14);
        // Independent quadrature (SciPy), ten times the ellipse 2, 1.
        near(p, 96.884_482_205_5, 1e-11);
        // Steiner inward, below the least radius of curvature (5 mm): A = P w - pi w^2.
        near(z, 96.884_482_205_5 - PI, 1e-5);
        let (a, p, z) = measured(PlaneForm::Trapezium {
            base: mm(16.0),
            top: mm(10.0),
            height: mm(4.0),
        });
        near(a, 52.0, 1e-14);
        near(p, 36.0, 1e-14);
        // Legs of 5 at (3, 4): half angles with tangents 1/2 at the base and 2 at the top, each corner w^2/tan(half).
        near(z, 36.0 - 2.0 * 2.0 - 2.0 * 0.5, 1e-9);
    }

    /// JCGM 100:2008: limits and steps are rectangular; a tape's own error moves both sides together.
    #[test]
    fn a_rectangle_is_as_sure_as_its_tape() {
        let tape = Tape {
            readability: mm(1.0),
            error: Some(mm(0.5)),
            holding: mm(1.0),
        };
        let m = TapedShape {
            form: PlaneForm::Rectangle {
                length: mm(300.0),
                width: mm(100.0),
            },
            tape,
            edge: None,
        }
        .measure()
        .unwrap();
        let own = (1.0 / 12.0 + 1.0 / 3.0f64).sqrt() * 300f64.hypot(100.0);
        let shared = 0.5 / 3f64.sqrt() * 400.0;
        let u = m.area.estimate.standard_uncertainty.si() * 1e6;
        assert!((u / own.hypot(shared) - 1.0).abs() < 1e-9, "{u}");
        assert_eq!(m.area.dominant.as_deref(), Some("width"));
        // Directive 2014/32/EU, Annex X: a tape of class II, up to one metre and up to two.
        let usual = Tape::default();
        assert!((usual.largest_error(mm(240.0)).si() - 0.5e-3).abs() < 1e-12);
        assert!((usual.largest_error(mm(1240.0)).si() - 0.7e-3).abs() < 1e-12);
    }

    #[test]
    fn what_makes_no_shape_is_refused() {
        let form = PlaneForm::Triangle {
            a: mm(100.0),
            b: mm(40.0),
            c: mm(60.0),
        };
        let shape = |form| TapedShape {
            form,
            tape: Tape::default(),
            edge: None,
        };
        let e = shape(form).measure().unwrap_err();
        assert_eq!(e.kind(), gelwright_base::ErrorKind::Inconsistent);
        assert!(e.to_string().contains("100 mm"), "{e}");
        for bad in [0.0, -3.0, f64::NAN] {
            let diameter = Length::new::<uom_mm>(bad);
            assert!(shape(PlaneForm::Circle { diameter }).measure().is_err(), "{bad}");
        }
    }

    use uom::si::length::millimeter as uom_mm;
}
