//! A traced outline.

use gelwright_base::error::{Error, ErrorKind, Result};
use gelwright_base::measurement::of_limits;
use gelwright_base::noun::{Noun, questions};
use gelwright_base::quantity::{self, Angle, Area, Length, Quantity};
use gelwright_base::source::Why;

use crate::flat::FlatSize;
use crate::path::{self, Curve};
use crate::size::{Budget, computed, given};
use crate::tape::{EDGE, LENGTH, OFF};
use crate::{crossing, offset, sources};

/// More points than a hand traces.
const MOST_POINTS: usize = 20_000;
/// Straight pieces that curves may be cut into.
const MOST_CORNERS: usize = 50_000;
/// How far the pieces that stand for a curve may lie off it, of the outline's size: for what is not known in closed form
/// (crossings, the edge zone, the centroid).
const FLAT: f64 = 1e-6;
/// How far from square on a photo may have been taken, where nothing is said: common practice, no source.
const TILT: f64 = 5.0;

/// A corner of an outline.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct OutlinePoint {
    /// Along.
    #[noun(within("-10 km", "10 km", "give the point's coordinate"))]
    pub x: Length,
    /// Across.
    #[noun(within("-10 km", "10 km", "give the point's coordinate"))]
    pub y: Length,
}

/// A mark of known length in a drawing or a photo: a rule laid beside the mould, in the plane of the outline.
#[derive(Clone, PartialEq, Noun)]
pub struct ScaleMark {
    /// Its one end, in units of the drawing (pixels of a photo).
    pub from: [f64; 2],
    /// Its other end.
    pub to: [f64; 2],
    /// How long it is.
    #[noun(within = LENGTH)]
    pub length: Length,
    /// How far each end may be off, in units of the drawing.
    #[noun(
        default = 1.0,
        within(0, 1e6, "give how far an end may be off, for example 1.5")
    )]
    pub ends: f64,
    /// How far its length may be off.
    #[noun(default = "0.5 mm", within = OFF)]
    pub error: Length,
}

/// The traced outline of a flat face: corner points, an SVG path, or an outline drawn over a photo with a scale mark.
///
/// Exactly one of `points`, `path`, `drawn`. A path and a drawn outline need a scale: exactly one of `scale`, `unit`.
#[derive(Clone, PartialEq, Noun)]
pub struct Outline {
    /// Corner points in order, either way round; the last is joined to the first.
    #[noun(default)]
    pub points: Vec<OutlinePoint>,
    /// Path data of SVG, one outline.
    pub path: Option<String>,
    /// Corner points in units of the drawing or photo (pixels), `[x, y]` each.
    #[noun(default)]
    pub drawn: Vec<[f64; 2]>,
    /// The mark that tells the scale of a path or a drawn outline.
    pub scale: Option<ScaleMark>,
    /// The length of one unit of the drawing, where it is drawn to scale.
    #[noun(within("1 nm", "1 km", "give the length of one unit, for example '1 mm'"))]
    pub unit: Option<Length>,
    /// How far the line may lie to one side all the way round (half a pen's width): common practice, no source.
    #[noun(default = "0.5 mm", within = OFF)]
    pub line: Length,
    /// How far each point may lie off by itself: common practice, no source. Of a path, each end of its pieces.
    #[noun(default = "0.5 mm", within = OFF)]
    pub point: Length,
    /// How far from square on the photo may have been taken; 5 deg for a `drawn` outline with a scale mark, none else.
    #[noun(within("0 deg", "45 deg", "take the photo from straight above, from afar"))]
    pub tilt: Option<Angle>,
    /// Width of the zone along its edge, where that is asked for.
    #[noun(within = EDGE)]
    pub edge: Option<Length>,
}

/// What was traced, in units of the drawing.
enum Traced {
    Corners(Vec<[f64; 2]>),
    Curve(Curve),
}

/// Metres to a unit of the drawing, with its relative standard uncertainty.
struct Scale {
    metres: f64,
    relative: f64,
    why: Option<Why>,
}

#[questions]
impl Outline {
    /// Area, edge, centroid and edge zone of a traced outline.
    ///
    /// `A = 1/2 |sum (x_i y_{i+1} - x_{i+1} y_i)|`, of curves by Green's theorem in closed form; the edge is the length of the
    /// line. The edge zone is what an outline moved inward by `edge` takes off, corners rounded as a point within that width
    /// of the edge sees them (its rounds are short by 2e-4 of themselves).
    ///
    /// Uncertainty: the line all to one side by `line` moves the area by its length; each point by itself by `point` moves it
    /// by half the distance of its neighbours; the scale `s` counts twice; a photo taken at an angle `t` from square on by
    /// `1 - cos t`. All are limits. An outline that crosses or touches itself is refused with where it does. Not modelled: a
    /// lens that bends straight lines, a mark above or below the outline's plane, a trembling line, which is longer than the
    /// edge.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] unless there is one outline with one scale; [`ErrorKind::Inconsistent`] for one that crosses
    /// itself; [`ErrorKind::OutOfRange`] for one that encloses nothing, and for a scale mark of no length;
    /// [`ErrorKind::Unreadable`] for a path that is none.
    #[question("mould.outline")]
    pub fn measure(&self) -> Result<FlatSize> {
        gelwright_base::noun::check(self)?;
        let (field, traced) = self.traced()?;
        let scale = self.scale()?;
        let corners = match &traced {
            Traced::Corners(p) => distinct(p.clone()),
            Traced::Curve(c) => distinct(c.flat(FLAT)),
        };
        if corners.len() > MOST_CORNERS {
            return Err(Error::out_of_range(
                field,
                format!("curves of {} pieces", corners.len()),
                format!("at most {MOST_CORNERS}"),
                "draw the outline with fewer curves",
            ));
        }
        simple(field, &corners, scale.metres)?;
        let (area, perimeter, joints) = match &traced {
            Traced::Corners(_) => {
                let area = 0.5 * offset::twice_area(&corners).abs();
                (area, around(&corners), corners.clone())
            }
            Traced::Curve(c) => {
                let joints = c
                    .segments()
                    .map(|s| kurbo::ParamCurve::start(&s))
                    .map(|p| [p.x, p.y]);
                (c.area().abs(), c.perimeter(), joints.collect())
            }
        };
        let s = scale.metres;
        let (area, perimeter) = (area * s * s, perimeter * s);
        let mut notes = vec![];
        if let Traced::Curve(c) = &traced
            && !c.closed
            && c.gap() > 1e-9 * c.across
        {
            let gap: Length = quantity::known(c.gap() * s);
            notes.push(format!(
                "the path is open: closed by a straight line of {}",
                quantity::show(gap)
            ));
        }
        let mut from = self.given(scale.why.clone(), joints.len());
        let u = Uncertain {
            line: of_limits(self.line.si()),
            point: of_limits(self.point.si()),
            scale: scale.relative,
            tilt: of_limits(1.0 - self.tilted().cos()),
        };
        let pulls = Pulls::of(&joints, s);
        let of_area = Budget::default()
            .with("the line as a whole, to one side", u.line * perimeter)
            .with("the points, each by itself", u.point * pulls.area)
            .with("the scale mark", 2.0 * u.scale * area)
            .with("the photo's angle", u.tilt * area);
        let of_perimeter = Budget::default()
            .with("the line as a whole, to one side", std::f64::consts::TAU * u.line)
            .with("the points, each by itself", u.point * pulls.perimeter)
            .with("the scale mark", u.scale * perimeter)
            .with("the photo's angle", u.tilt * perimeter);
        let edge_zone = match self.edge {
            None => None,
            Some(w) => {
                let polygon = 0.5 * offset::twice_area(&corners).abs();
                let zone = (polygon - offset::moved_area(&corners, -w.si() / s)).max(0.0) * s * s;
                if zone > 0.999_999 * polygon * s * s {
                    notes.push("the edge zone is the whole face: no point lies deeper".to_owned());
                }
                // To the first order the zone follows the edge's length; the scale moves the edge, and not the zone's width.
                let budget = of_perimeter.clone().scaled(w.si());
                let equation = "A less the area of the outline moved inward by the edge's width";
                Some(budget.size(zone, computed::<Area>("edge zone", zone, equation, from.clone())?)?)
            }
        };
        let [x, y] = centroid(&corners);
        let centroid = Some([Length::from_si(x * s)?, Length::from_si(y * s)?]);
        let why = computed::<Length>("edge", perimeter, "length of the closed line", from.clone())?;
        let perimeter = of_perimeter.size(perimeter, why)?;
        let green = given("perimeter", perimeter.value()).with_source(&sources::green());
        from.push(green);
        let equation = "A = 1/2 |sum (x_i y_(i+1) - x_(i+1) y_i)|";
        Ok(FlatSize {
            area: of_area.size(area, computed::<Area>("area", area, equation, from)?)?,
            perimeter,
            edge_zone,
            centroid,
            notes,
        })
    }
}

struct Uncertain {
    line: f64,
    point: f64,
    scale: f64,
    tilt: f64,
}

/// How much area and edge follow points that each move by a metre, at random: root of the sum of squares.
struct Pulls {
    area: f64,
    perimeter: f64,
}

impl Pulls {
    fn of(joints: &[[f64; 2]], metres: f64) -> Pulls {
        let n = joints.len();
        let (mut area, mut perimeter) = (0.0, 0.0);
        for i in 0..n {
            let (a, b, c) = (joints[(i + n - 1) % n], joints[i], joints[(i + 1) % n]);
            area += 0.25 * ((c[0] - a[0]).powi(2) + (c[1] - a[1]).powi(2));
            let (back, on) = (direction(a, b), direction(b, c));
            perimeter += (on[0] - back[0]).powi(2) + (on[1] - back[1]).powi(2);
        }
        Pulls {
            area: area.sqrt() * metres,
            perimeter: perimeter.sqrt(),
        }
    }
}

fn direction(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let l = (b[0] - a[0]).hypot(b[1] - a[1]);
    if l > 0.0 {
        [(b[0] - a[0]) / l, (b[1] - a[1]) / l]
    } else {
        [0.0, 0.0]
    }
}

fn around(p: &[[f64; 2]]) -> f64 {
    (0..p.len())
        .map(|i| {
            let (a, b) = (p[i], p[(i + 1) % p.len()]);
            (b[0] - a[0]).hypot(b[1] - a[1])
        })
        .sum()
}

/// Without points that stand twice in a row.
fn distinct(mut p: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    p.dedup();
    while p.len() > 1 && p.first() == p.last() {
        p.pop();
    }
    p
}

/// The centroid of a simple polygon.
pub(crate) fn centroid(p: &[[f64; 2]]) -> [f64; 2] {
    let [x0, y0] = p[0];
    let (mut sum, mut twice) = ([0.0; 2], 0.0);
    for pair in p.windows(2) {
        let (a, b) = (
            [pair[0][0] - x0, pair[0][1] - y0],
            [pair[1][0] - x0, pair[1][1] - y0],
        );
        let cross = a[0] * b[1] - b[0] * a[1];
        twice += cross;
        sum[0] += (a[0] + b[0]) * cross;
        sum[1] += (a[1] + b[1]) * cross;
    }
    [x0 + sum[0] / (3.0 * twice), y0 + sum[1] / (3.0 * twice)]
}

/// Refuses what encloses nothing or crosses itself.
fn simple(field: &str, corners: &[[f64; 2]], metres: f64) -> Result<()> {
    let across = corners.iter().flatten().fold(0.0_f64, |m, x| m.max(x.abs()));
    let nothing = corners.len() < 3
        || (offset::twice_area(corners).abs() <= 1e-12 * across * across && corners.len() == 3);
    if nothing {
        return Err(Error::out_of_range(
            field,
            format!("{} points that enclose nothing", corners.len()),
            "three points or more, not all in a line",
            "trace the outline all the way round",
        ));
    }
    let Some([x, y]) = crossing::of_polygon(corners) else {
        return Ok(());
    };
    let at = |v: f64| -> String {
        let length: String =
            Length::from_si(v * metres).map_or_else(|_| v.to_string(), |l| quantity::show(l).into());
        if metres == 1.0 {
            length
        } else {
            format!("{} (in the drawing {})", length, quantity::figures(v))
        }
    };
    Err(Error::inconsistent(
        field,
        format!(
            "an outline that crosses or touches itself at x = {}, y = {}",
            at(x),
            at(y)
        ),
        "a line that meets itself nowhere",
        "give its points in order round the edge; measure the loops of an eight one by one",
    ))
}

impl Outline {
    fn traced(&self) -> Result<(&'static str, Traced)> {
        let count = usize::from(!self.points.is_empty())
            + usize::from(self.path.is_some())
            + usize::from(!self.drawn.is_empty());
        if count != 1 {
            return Err(Error::new(ErrorKind::Document, "points")
                .with_value(if count == 0 {
                    "no outline"
                } else {
                    "more than one outline"
                })
                .with_allowed("exactly one of points, path, drawn")
                .with_way_out("give the outline once"));
        }
        let few = |field: &str, n: usize| {
            if n <= MOST_POINTS {
                return Ok(());
            }
            Err(Error::out_of_range(
                field,
                format!("{n} points"),
                format!("3 to {MOST_POINTS} points"),
                "leave points out: one each millimetre is plenty",
            ))
        };
        if let Some(text) = &self.path {
            return Ok(("path", Traced::Curve(path::read("path", text)?)));
        }
        if !self.points.is_empty() {
            few("points", self.points.len())?;
            let p = self.points.iter().map(|p| [p.x.si(), p.y.si()]).collect();
            return Ok(("points", Traced::Corners(p)));
        }
        few("drawn", self.drawn.len())?;
        if let Some(i) = self.drawn.iter().position(|p| p.iter().any(|x| x.abs() > 1e9)) {
            return Err(Error::out_of_range(
                format!("drawn[{i}]"),
                format!("{:?}", self.drawn[i]),
                "coordinates up to 1e9",
                "give the points in pixels",
            ));
        }
        Ok(("drawn", Traced::Corners(self.drawn.clone())))
    }

    fn scale(&self) -> Result<Scale> {
        let to_scale = |metres: f64, why: Option<Why>| Scale {
            metres,
            relative: 0.0,
            why,
        };
        if !self.points.is_empty() {
            return match (&self.scale, self.unit) {
                (None, None) => Ok(to_scale(1.0, None)),
                _ => Err(Error::inconsistent(
                    "scale",
                    "a scale beside points that have units",
                    "points with units, or a drawing with a scale",
                    "leave the scale out, or give the points as 'drawn'",
                )),
            };
        }
        match (&self.scale, self.unit) {
            (None, Some(unit)) => Ok(to_scale(unit.si(), Some(given("one unit of the drawing", unit)))),
            (Some(mark), None) => mark.scale().map_err(|e| e.within("scale")),
            (None, None) => Err(Error::new(ErrorKind::Document, "scale")
                .with_value("an outline without a scale")
                .with_allowed("exactly one of scale, unit")
                .with_way_out(
                    "give a mark of known length in it ('from', 'to', 'length'), or the length of one 'unit' where it is \
                     drawn to scale",
                )),
            (Some(_), Some(_)) => Err(Error::inconsistent(
                "unit",
                "a unit beside a scale mark",
                "exactly one of scale, unit",
                "leave one of them out",
            )),
        }
    }

    /// How far from square on, in radians.
    fn tilted(&self) -> f64 {
        match self.tilt {
            Some(t) => t.si(),
            None if !self.drawn.is_empty() && self.scale.is_some() => TILT.to_radians(),
            None => 0.0,
        }
    }

    fn given(&self, scale: Option<Why>, pieces: usize) -> Vec<Why> {
        let mut from = vec![
            Why::given("points or pieces of the line", pieces.to_string()),
            given("line, to one side at most", self.line),
            given("each point, at most", self.point),
        ];
        from.extend(scale);
        from
    }
}

impl ScaleMark {
    fn scale(&self) -> Result<Scale> {
        let drawn = (self.to[0] - self.from[0]).hypot(self.to[1] - self.from[1]);
        if !(drawn > 0.0 && drawn < 1e9) {
            return Err(Error::out_of_range(
                "to",
                format!("a mark {} units long in the drawing", quantity::figures(drawn)),
                "above 0 and below 1e9",
                "give the two ends of the mark as it lies in the drawing",
            ));
        }
        let ends = 2f64.sqrt() * of_limits(self.ends) / drawn;
        let length = of_limits(self.error.si()) / self.length.si();
        let metres = self.length.si() / drawn;
        let unit: Length = Length::from_si(metres)?;
        Ok(Scale {
            metres,
            relative: ends.hypot(length),
            why: Some(Why::computed(
                "one unit of the drawing",
                quantity::show(unit),
                "length of the mark over its length in the drawing",
                vec![given("mark", self.length)],
            )),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known<Q: Quantity>(si: f64) -> Q {
        quantity::known(si)
    }

    /// An outline to scale without any error.
    fn exact() -> Outline {
        Outline {
            points: vec![],
            path: None,
            drawn: vec![],
            scale: None,
            unit: None,
            line: known(0.0),
            point: known(0.0),
            tilt: None,
            edge: None,
        }
    }

    fn points(p: &[[f64; 2]]) -> Outline {
        Outline {
            points: p
                .iter()
                .map(|[x, y]| OutlinePoint {
                    x: known(*x),
                    y: known(*y),
                })
                .collect(),
            ..exact()
        }
    }

    fn path(d: &str) -> Outline {
        Outline {
            path: Some(d.to_owned()),
            unit: Some(known(1.0)),
            ..exact()
        }
    }

    fn near(a: f64, b: f64, relative: f64) {
        assert!((a / b - 1.0).abs() < relative, "{a} for {b}");
    }

    /// Analytic; an independent polygon library (shapely 2.2.0) gives the same.
    #[test]
    fn polygons() {
        let pentagon = [[3.0, 4.0], [5.0, 11.0], [12.0, 8.0], [9.0, 5.0], [5.0, 6.0]];
        let m = points(&pentagon).measure().unwrap();
        near(m.area.value().si(), 30.0, 1e-14);
        near(m.perimeter.value().si(), 26.090_056_432_6, 1e-11);
        let [x, y] = m.centroid.unwrap();
        near(x.si(), 7.166_666_7, 1e-8);
        near(y.si(), 7.611_111_1, 1e-8);
        let twelve: Vec<[f64; 2]> = (0..12)
            .map(|i| {
                let (s, c) = (std::f64::consts::TAU * f64::from(i) / 12.0).sin_cos();
                [c, s]
            })
            .collect();
        near(points(&twelve).measure().unwrap().area.value().si(), 3.0, 1e-14);
    }

    /// Analytic.
    #[test]
    fn curves() {
        let of = |d: &str| {
            let m = path(d).measure().unwrap();
            (m.area.value().si(), m.perimeter.value().si())
        };
        let (a, p) = of("M 0 0 Q 1 2 2 0 Z");
        near(a, 4.0 / 3.0, 1e-14);
        near(p, 2.0 + 2.957_885_715, 1e-9);
        let (a, p) = of("M 0 0 C 0 1 1 1 1 0 Z");
        near(a, 0.6, 1e-14);
        near(p, 3.0, 1e-9);
        // Two unit circles at a distance of 1: what they share.
        let h = 0.75f64.sqrt();
        let (a, p) = of(&format!(
            "M 0.5 {} A 1 1 0 0 1 0.5 {h} A 1 1 0 0 1 0.5 {} Z",
            -h, -h
        ));
        near(a, 1.228_369_698_61, 1e-9);
        near(p, 4.0 * std::f64::consts::PI / 3.0, 1e-9);
        // The same square by every letter for straight lines, absolute and relative.
        near(of("m 1 1 h 2 v 2 H 1 Z").0, 4.0, 1e-14);
        // Smooth pieces mirror the last control point.
        near(of("M 0 0 Q 1 1 2 0 T 4 0 L 4 -4 L 0 -4 Z").0, 16.0, 1e-12);
        // An open path is closed, and says so.
        let m = path("M 0 0 L 3 0 L 3 4").measure().unwrap();
        near(m.area.value().si(), 6.0, 1e-14);
        assert!(m.notes[0].contains("5000 mm"), "{:?}", m.notes);
    }

    #[test]
    fn an_edge_zone_is_what_the_moved_outline_leaves() {
        let square = Outline {
            edge: Some(known(1.0)),
            ..points(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
        };
        near(
            square.measure().unwrap().edge_zone.unwrap().value().si(),
            36.0,
            1e-9,
        );
        let all = Outline {
            edge: Some(known(6.0)),
            ..square
        };
        let m = all.measure().unwrap();
        near(m.edge_zone.unwrap().value().si(), 100.0, 1e-12);
        assert!(m.notes[0].contains("whole face"));
    }

    #[test]
    fn a_scale_mark_counts_twice_in_an_area() {
        let photo = Outline {
            drawn: vec![[0.0, 0.0], [400.0, 0.0], [400.0, 300.0], [0.0, 300.0]],
            scale: Some(ScaleMark {
                from: [10.0, 10.0],
                to: [210.0, 10.0],
                length: known(0.1),
                ends: 1.0,
                error: known(0.0),
            }),
            tilt: Some(known(0.0)),
            ..exact()
        };
        let m = photo.measure().unwrap();
        near(m.area.value().si(), 0.2 * 0.15, 1e-14);
        // Two ends of 1/sqrt(3) pixel each on 200 pixels.
        near(m.area.relative(), 2.0 * (2.0f64 / 3.0).sqrt() / 200.0, 1e-12);
        near(m.perimeter.relative(), (2.0f64 / 3.0).sqrt() / 200.0, 1e-12);
        let tilted = Outline {
            tilt: None,
            ..photo.clone()
        };
        assert!(tilted.measure().unwrap().area.relative() > m.area.relative());
        // Moved, turned and mirrored it is as large.
        let moved = Outline {
            drawn: photo
                .drawn
                .iter()
                .rev()
                .map(|[x, y]| [1e4 - y, x - 3e3])
                .collect(),
            ..photo
        };
        near(
            moved.measure().unwrap().area.value().si(),
            m.area.value().si(),
            1e-12,
        );
    }

    /// A pen's half width along 26 m of edge; points by themselves: analytic by the gradient of the shoelace formula.
    #[test]
    fn a_line_to_one_side_is_worse_than_points_here_and_there() {
        let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let pen = Outline {
            line: known(0.01 * 3f64.sqrt()),
            ..points(&square)
        };
        near(
            pen.measure().unwrap().area.estimate.standard_uncertainty.si(),
            0.4,
            1e-12,
        );
        let hand = Outline {
            point: known(0.01 * 3f64.sqrt()),
            ..points(&square)
        };
        // Four points, each half a diagonal.
        let expected = 0.01 * (4.0 * 50.0f64).sqrt();
        near(
            hand.measure().unwrap().area.estimate.standard_uncertainty.si(),
            expected,
            1e-12,
        );
    }

    #[test]
    fn what_is_no_outline_is_refused() {
        let refused = |o: &Outline, kind, field: &str, says: &str| {
            let e = o.measure().unwrap_err();
            assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
            assert!(e.to_string().contains(says), "{e}");
        };
        let bow = [[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]];
        refused(
            &points(&bow),
            ErrorKind::Inconsistent,
            "points",
            "x = 1000 mm, y = 1000 mm",
        );
        let open_bow = [[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 2.0]];
        refused(&points(&open_bow), ErrorKind::Inconsistent, "points", "1333");
        refused(
            &path("M 0 0 C 4 4 -3 4 1 0 Z"),
            ErrorKind::Inconsistent,
            "path",
            "crosses",
        );
        let unscaled = Outline {
            unit: None,
            ..path("M 0 0 L 1 0 L 1 1 Z")
        };
        refused(&unscaled, ErrorKind::Document, "scale", "without a scale");
        refused(&exact(), ErrorKind::Document, "points", "no outline");
        refused(
            &points(&[[0.0, 0.0], [1.0, 0.0]]),
            ErrorKind::OutOfRange,
            "points",
            "enclose",
        );
        refused(
            &points(&[[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]),
            ErrorKind::OutOfRange,
            "points",
            "enclose",
        );
        refused(&path("M 0 0 L 1"), ErrorKind::Unreadable, "path", "SVG");
        refused(&path(""), ErrorKind::Document, "path", "nothing");
        refused(
            &path("M 0 0 L 1 0 L 1 1 Z M 5 5 L 6 5 L 6 6 Z"),
            ErrorKind::Document,
            "path",
            "several",
        );
        refused(
            &path("M 0 0 L 1e300 0 L 1 1 Z"),
            ErrorKind::OutOfRange,
            "path",
            "nearer",
        );
        let no_mark = Outline {
            unit: None,
            scale: Some(ScaleMark {
                from: [1.0, 1.0],
                to: [1.0, 1.0],
                length: known(0.1),
                ends: 1.0,
                error: known(0.0),
            }),
            ..path("M 0 0 L 1 0 L 1 1 Z")
        };
        refused(&no_mark, ErrorKind::OutOfRange, "scale.to", "two ends");
    }
}
