//! Path data of SVG as curves.

use gelwright_base::error::{Error, ErrorKind, Result};
use kurbo::{Arc, BezPath, ParamCurveArclen, PathEl, PathSeg, Point, Shape, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

/// A path longer than this is no traced outline.
const MOST_PIECES: usize = 20_000;
/// Largest coordinate: beyond it a thousandth is below a double's last digits.
const FARTHEST: f64 = 1e9;
/// How far the cubics that stand for an arc may lie off it, of its radius.
const ARC: f64 = 1e-10;

/// One run of curves.
pub(crate) struct Curve {
    path: BezPath,
    pub(crate) closed: bool,
    /// Its size across.
    pub(crate) across: f64,
}

/// Reads path data as of SVG 1.1 (W3C Recommendation, 2nd edition, 2011, chapter 8.3): one run of curves.
pub(crate) fn read(field: &str, text: &str) -> Result<Curve> {
    let mut made = Made::default();
    for (i, segment) in PathParser::from(text).enumerate() {
        let segment = segment.map_err(|e| {
            Error::new(ErrorKind::Unreadable, field)
                .with_value(e)
                .with_allowed("path data of SVG: M, L, H, V, C, S, Q, T, A, Z with their numbers")
                .with_way_out("copy the 'd' of the path, for example 'M 0 0 L 40 0 L 40 30 Z'")
        })?;
        if i >= MOST_PIECES {
            return Err(Error::out_of_range(
                field,
                format!("more than {MOST_PIECES} pieces"),
                format!("1 to {MOST_PIECES} pieces"),
                "draw the outline with fewer points",
            ));
        }
        made.add(field, segment)?;
    }
    let bounds = made.path.bounding_box();
    let across = bounds.width().max(bounds.height());
    if made.path.segments().next().is_none() || !across.is_finite() || across <= 0.0 {
        return Err(Error::new(ErrorKind::Document, field)
            .with_value("a path of nothing")
            .with_way_out("copy the 'd' of the path, for example 'M 0 0 L 40 0 L 40 30 Z'"));
    }
    Ok(Curve {
        path: made.path,
        closed: made.closed,
        across,
    })
}

impl Curve {
    pub(crate) fn segments(&self) -> impl Iterator<Item = PathSeg> + '_ {
        self.path.segments()
    }

    /// From its end straight to its beginning.
    pub(crate) fn gap(&self) -> f64 {
        let mut pieces = self.segments();
        let Some(first) = pieces.next() else { return 0.0 };
        let last = pieces.last().unwrap_or(first);
        kurbo::ParamCurve::end(&last).distance(kurbo::ParamCurve::start(&first))
    }

    /// Area of the closed curve, of either sign.
    pub(crate) fn area(&self) -> f64 {
        let mut path = self.path.clone();
        path.close_path();
        path.area()
    }

    /// Length of the closed curve.
    pub(crate) fn perimeter(&self) -> f64 {
        self.length() + self.gap()
    }

    pub(crate) fn length(&self) -> f64 {
        self.segments().map(|s| s.arclen(1e-10 * self.across)).sum()
    }

    /// Its corners, where curves are cut into pieces that lie within `off` of its size across.
    pub(crate) fn flat(&self, off: f64) -> Vec<[f64; 2]> {
        let mut points = vec![];
        kurbo::flatten(&self.path, off * self.across, |el| match el {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => points.push([p.x, p.y]),
            _ => {}
        });
        points
    }
}

#[derive(Default)]
struct Made {
    path: BezPath,
    at: Point,
    start: Point,
    /// The last control point, that a smooth piece mirrors: of a cubic, of a quadratic.
    cubic: Option<Point>,
    quadratic: Option<Point>,
    closed: bool,
}

impl Made {
    fn add(&mut self, field: &str, segment: PathSegment) -> Result<()> {
        let from = self.at;
        let seen = |abs: bool, x: f64, y: f64| {
            if abs {
                Point::new(x, y)
            } else {
                from + Vec2::new(x, y)
            }
        };
        let mirrored = |c: Option<Point>| c.map_or(from, |c| from + (from - c));
        let (mut cubic, mut quadratic) = (None, None);
        if self.closed {
            return Err(several(field));
        }
        let to = match segment {
            PathSegment::MoveTo { abs, x, y } => {
                if !self.path.elements().is_empty() {
                    return Err(several(field));
                }
                let p = seen(abs, x, y);
                self.path.move_to(p);
                self.start = p;
                p
            }
            PathSegment::LineTo { abs, x, y } => self.line(seen(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line(Point::new(if abs { x } else { from.x + x }, from.y))
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line(Point::new(from.x, if abs { y } else { from.y + y }))
            }
            PathSegment::CurveTo {
                abs,
                x1,
                y1,
                x2,
                y2,
                x,
                y,
            } => {
                let (b, c, p) = (seen(abs, x1, y1), seen(abs, x2, y2), seen(abs, x, y));
                self.path.curve_to(b, c, p);
                cubic = Some(c);
                p
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let (c, p) = (seen(abs, x2, y2), seen(abs, x, y));
                self.path.curve_to(mirrored(self.cubic), c, p);
                cubic = Some(c);
                p
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let (b, p) = (seen(abs, x1, y1), seen(abs, x, y));
                self.path.quad_to(b, p);
                quadratic = Some(b);
                p
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let (b, p) = (mirrored(self.quadratic), seen(abs, x, y));
                self.path.quad_to(b, p);
                quadratic = Some(b);
                p
            }
            PathSegment::EllipticalArc {
                abs,
                rx,
                ry,
                x_axis_rotation,
                large_arc,
                sweep,
                x,
                y,
            } => {
                let to = seen(abs, x, y);
                let arc = SvgArc {
                    from,
                    to,
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                match Arc::from_svg_arc(&arc) {
                    Some(arc) => {
                        let path = &mut self.path;
                        arc.to_cubic_beziers(ARC * rx.abs().max(ry.abs()), |b, c, p| path.curve_to(b, c, p));
                        to
                    }
                    None => self.line(to),
                }
            }
            PathSegment::ClosePath { .. } => {
                self.path.close_path();
                self.closed = true;
                self.start
            }
        };
        if !(to.x.abs() < FARTHEST && to.y.abs() < FARTHEST) {
            return Err(Error::out_of_range(
                field,
                format!("a point at ({}, {})", to.x, to.y),
                format!("coordinates below {FARTHEST:e}"),
                "draw it nearer to the origin",
            ));
        }
        (self.at, self.cubic, self.quadratic) = (to, cubic, quadratic);
        Ok(())
    }

    fn line(&mut self, to: Point) -> Point {
        self.path.line_to(to);
        to
    }
}

fn several(field: &str) -> Error {
    Error::new(ErrorKind::Document, field)
        .with_value("a path of several outlines")
        .with_allowed("one outline")
        .with_way_out("measure each by itself, and take the holes off")
}
