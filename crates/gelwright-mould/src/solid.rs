//! Solids measured by tape or calliper.

use std::f64::consts::PI;

use gelwright_base::error::{Error, ErrorKind, Result};
use gelwright_base::measurement::of_limits;
use gelwright_base::noun::{Noun, questions};
use gelwright_base::numeric::quadrature;
use gelwright_base::quantity::{self, Area, Length, Quantity, Volume};
use gelwright_base::source::Why;
use kurbo::{ParamCurve, ParamCurveDeriv, PathSeg};

use crate::path::{self, Curve};
use crate::size::{Budget, Reading, Size, computed, given};
use crate::tape::{LENGTH, OFF, TAPE, Tape};
use crate::{carlson, crossing, sources};

/// More stations than a hand measures.
const MOST_STATIONS: usize = 1000;

/// A station of a profile that is turned about its axis.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct ProfilePoint {
    /// Along the axis.
    #[noun(within("-1 km", "1 km", "give the height of the station"))]
    pub height: Length,
    /// Across, through the axis; zero on it.
    #[noun(within("0 mm", "1 km", "give what the calliper shows across the axis"))]
    pub diameter: Length,
}

/// A solid by its lengths; all are across, as tape and calliper show them.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub enum SolidForm {
    /// A ball.
    Sphere {
        /// Across.
        #[noun(within = LENGTH)]
        diameter: Length,
    },
    /// A body with three axes of any lengths; halves meet in the plane of length and width.
    Ellipsoid {
        /// Across.
        #[noun(within = LENGTH)]
        length: Length,
        /// Across.
        #[noun(within = LENGTH)]
        width: Length,
        /// Across.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A box; halves meet halfway up.
    Cuboid {
        /// Across.
        #[noun(within = LENGTH)]
        length: Length,
        /// Across.
        #[noun(within = LENGTH)]
        width: Length,
        /// Across.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A tube's round face; halves meet in a plane through the axis.
    Cylinder {
        /// Across.
        #[noun(within = LENGTH)]
        diameter: Length,
        /// Along the axis.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A cone; halves meet in a plane through the axis.
    Cone {
        /// Across its base.
        #[noun(within = LENGTH)]
        diameter: Length,
        /// From base to apex, along the axis.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A cone cut off; halves meet in a plane through the axis.
    Frustum {
        /// Across its one end.
        #[noun(within = LENGTH)]
        base: Length,
        /// Across its other end.
        #[noun(within = LENGTH)]
        top: Length,
        /// Between the ends, along the axis.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A part of a ball cut off by a plane; halves meet in a plane through the axis.
    Cap {
        /// Across its flat face.
        #[noun(within = LENGTH)]
        diameter: Length,
        /// From the flat face to the top.
        #[noun(within = LENGTH)]
        height: Length,
    },
    /// A cylinder that ends in two half balls; halves meet in a plane through the axis.
    Capsule {
        /// Across.
        #[noun(within = LENGTH)]
        diameter: Length,
        /// Of its straight part.
        #[noun(within = LENGTH)]
        straight: Length,
    },
    /// A ring; halves meet in its middle plane.
    Torus {
        /// Across the whole ring.
        #[noun(within = LENGTH)]
        outside: Length,
        /// Across the tube.
        #[noun(within = LENGTH)]
        tube: Length,
    },
    /// A profile measured at stations, from one end to the other, turned about its axis; halves meet in a plane through it.
    Revolved {
        /// The stations in order.
        profile: Vec<ProfilePoint>,
        /// Whether the face between the stations is curved: then what straight lines leave out is part of the uncertainty.
        #[noun(default = true)]
        curved: bool,
    },
    /// A drawn profile turned about the drawing's y axis; halves meet in a plane through it.
    Turned {
        /// Path data of SVG: x from the axis, y along it.
        path: String,
        /// The length of one unit of the drawing.
        #[noun(within("1 nm", "1 km", "give the length of one unit, for example '1 mm'"))]
        unit: Length,
        /// How far the line may lie to one side: common practice, no source.
        #[noun(default = "0.5 mm", within = OFF)]
        line: Length,
    },
}

/// A solid, or half of one, measured by tape.
#[derive(Clone, PartialEq, Noun)]
pub struct Solid {
    /// Its form with its lengths.
    pub form: SolidForm,
    /// Whether only half of it is meant, as one half of a mould: its area and volume are halves then.
    #[noun(default)]
    pub half: bool,
    /// What it was measured with.
    #[noun(default)]
    pub tape: Tape,
}

/// What a solid measures.
#[derive(Clone, PartialEq, Noun)]
pub struct SolidSize {
    /// Its face: the round one, without flat ends; of a box all six.
    pub area: Size<Area>,
    /// Its flat ends, where it has any.
    pub ends: Option<Size<Area>>,
    /// What it holds.
    pub volume: Size<Volume>,
    /// The length of the seam in which two halves of its face meet.
    pub seam: Size<Length>,
    /// What should be known of it.
    #[noun(default)]
    pub notes: Vec<String>,
}

/// A form with what it needs beside its readings.
pub(crate) enum Kind {
    Sphere,
    Ellipsoid,
    Cuboid,
    Frustum,
    Cap,
    Capsule,
    Torus,
    Revolved,
    Turned(Curve, f64),
}

impl SolidForm {
    /// What was read of it, each with the name of its field.
    fn readings(&self, tape: &Tape) -> Vec<Reading> {
        let of = |sizes: &[(&str, Length)]| sizes.iter().map(|(what, l)| tape.reading(what, *l)).collect();
        match self {
            SolidForm::Sphere { diameter } => of(&[("diameter", *diameter)]),
            SolidForm::Ellipsoid {
                length,
                width,
                height,
            }
            | SolidForm::Cuboid {
                length,
                width,
                height,
            } => of(&[("length", *length), ("width", *width), ("height", *height)]),
            SolidForm::Cylinder { diameter, height }
            | SolidForm::Cone { diameter, height }
            | SolidForm::Cap { diameter, height } => of(&[("diameter", *diameter), ("height", *height)]),
            SolidForm::Frustum { base, top, height } => {
                of(&[("base", *base), ("top", *top), ("height", *height)])
            }
            SolidForm::Capsule { diameter, straight } => {
                of(&[("diameter", *diameter), ("straight", *straight)])
            }
            SolidForm::Torus { outside, tube } => of(&[("outside", *outside), ("tube", *tube)]),
            SolidForm::Revolved { profile, .. } => profile
                .iter()
                .enumerate()
                .flat_map(|(i, p)| {
                    let name = |what: &str| format!("{what} of station {i}");
                    let mut across = tape.reading(&name("diameter"), p.diameter);
                    if across.value == 0.0 {
                        // On the axis: a point, not a reading.
                        (across.own, across.shared) = (0.0, 0.0);
                    }
                    [tape.reading(&name("height"), p.height), across]
                })
                .collect(),
            SolidForm::Turned { line, .. } => {
                vec![Reading::new("the line, to one side", 0.0, of_limits(line.si()))]
            }
        }
    }

    pub(crate) fn kind(&self) -> Result<Kind> {
        Ok(match self {
            SolidForm::Sphere { .. } => Kind::Sphere,
            SolidForm::Ellipsoid { .. } => Kind::Ellipsoid,
            SolidForm::Cuboid { .. } => Kind::Cuboid,
            SolidForm::Cylinder { .. } | SolidForm::Cone { .. } | SolidForm::Frustum { .. } => Kind::Frustum,
            SolidForm::Cap { .. } => Kind::Cap,
            SolidForm::Capsule { .. } => Kind::Capsule,
            SolidForm::Torus { .. } => Kind::Torus,
            SolidForm::Revolved { .. } => Kind::Revolved,
            SolidForm::Turned { path, unit, .. } => Kind::Turned(path::read("path", path)?, unit.si()),
        })
    }

    /// The readings as the equations take them: a cylinder and a cone are cones cut off.
    pub(crate) fn lengths(&self, x: &[f64]) -> Vec<f64> {
        match self {
            SolidForm::Cylinder { .. } => vec![x[0], x[0], x[1]],
            SolidForm::Cone { .. } => vec![x[0], 0.0, x[1]],
            _ => x.to_vec(),
        }
    }

    const fn equations(&self) -> [&'static str; 2] {
        match self {
            SolidForm::Sphere { .. } => ["A = pi d^2", "V = pi d^3/6"],
            SolidForm::Ellipsoid { .. } => ["A = 4 pi R_G(a^2 b^2, a^2 c^2, b^2 c^2)", "V = 4/3 pi a b c"],
            SolidForm::Cuboid { .. } => ["A = 2 (l w + l h + w h)", "V = l w h"],
            SolidForm::Cylinder { .. } => ["A = pi d h", "V = pi d^2 h/4"],
            SolidForm::Cone { .. } => ["A = pi r sqrt(r^2 + h^2)", "V = pi r^2 h/3"],
            SolidForm::Frustum { .. } => [
                "A = pi (r + q) sqrt((r - q)^2 + h^2)",
                "V = pi h (r^2 + r q + q^2)/3",
            ],
            SolidForm::Cap { .. } => ["A = pi (r^2 + h^2)", "V = pi h (3 r^2 + h^2)/6"],
            SolidForm::Capsule { .. } => ["A = pi d (d + l)", "V = pi d^2 (l/4 + d/6)"],
            SolidForm::Torus { .. } => ["A = 4 pi^2 R r", "V = 2 pi^2 R r^2"],
            SolidForm::Revolved { .. } => [
                "A = sum pi (r + q) sqrt((r - q)^2 + h^2) between stations",
                "V = sum pi h (r^2 + r q + q^2)/3 between stations",
            ],
            SolidForm::Turned { .. } => ["A = 2 pi integral r ds", "V = pi integral r^2 dy"],
        }
    }
}

/// Semi-axes of three lengths across.
pub(crate) fn semi(x: &[f64]) -> [f64; 3] {
    [0.5 * x[0], 0.5 * x[1], 0.5 * x[2]]
}

/// Lateral face and content of a cone cut off, of radii `p`, `q` and height `h`.
pub(crate) fn frustum(p: f64, q: f64, h: f64) -> (f64, f64) {
    (
        PI * (p + q) * (p - q).hypot(h),
        PI * h * (p * p + p * q + q * q) / 3.0,
    )
}

/// Ring of centre line radius and tube radius from what is measured.
pub(crate) fn ring(x: &[f64]) -> (f64, f64) {
    (0.5 * (x[0] - x[1]), 0.5 * x[1])
}

/// What a form measures, in SI.
pub(crate) struct Measures {
    pub(crate) area: f64,
    pub(crate) ends: f64,
    pub(crate) volume: f64,
    pub(crate) seam: f64,
}

impl Kind {
    pub(crate) fn measures(&self, x: &[f64]) -> Measures {
        let of = |area, ends, volume, seam| Measures {
            area,
            ends,
            volume,
            seam,
        };
        match self {
            Kind::Sphere => {
                let d = x[0];
                of(PI * d * d, 0.0, PI * d.powi(3) / 6.0, PI * d)
            }
            Kind::Ellipsoid => {
                let [a, b, c] = semi(x);
                let area = 4.0 * PI * carlson::rg((a * b).powi(2), (a * c).powi(2), (b * c).powi(2));
                of(area, 0.0, 4.0 / 3.0 * PI * a * b * c, carlson::ellipse(a, b))
            }
            Kind::Cuboid => {
                let (l, w, h) = (x[0], x[1], x[2]);
                of(2.0 * (l * w + l * h + w * h), 0.0, l * w * h, 2.0 * (l + w))
            }
            Kind::Frustum => {
                let (p, q, h) = (0.5 * x[0], 0.5 * x[1], x[2]);
                let (area, volume) = frustum(p, q, h);
                of(area, PI * (p * p + q * q), volume, 2.0 * (p - q).hypot(h))
            }
            Kind::Cap => {
                let (r, h) = (0.5 * x[0], x[1]);
                let (r2, h2) = (r * r, h * h);
                let arc = (r2 + h2) / h * 2.0 * (h / r).atan();
                of(PI * (r2 + h2), PI * r2, PI * h * (3.0 * r2 + h2) / 6.0, arc)
            }
            Kind::Capsule => {
                let (d, l) = (x[0], x[1]);
                of(
                    PI * d * (d + l),
                    0.0,
                    PI * d * d * (l / 4.0 + d / 6.0),
                    PI * d + 2.0 * l,
                )
            }
            Kind::Torus => {
                let (big, r) = ring(x);
                of(
                    4.0 * PI * PI * big * r,
                    0.0,
                    2.0 * PI * PI * big * r * r,
                    4.0 * PI * big,
                )
            }
            Kind::Revolved => stations(x, 1),
            Kind::Turned(curve, unit) => turned(curve, *unit, x[0]),
        }
    }
}

/// A profile of straight pieces between every `step`th station and the last.
fn stations(x: &[f64], step: usize) -> Measures {
    let n = x.len() / 2;
    let at = |i: usize| (x[2 * i], 0.5 * x[2 * i + 1]);
    let mut kept: Vec<(f64, f64)> = (0..n).step_by(step).map(at).collect();
    if !(n - 1).is_multiple_of(step) {
        kept.push(at(n - 1));
    }
    let mut made = Measures {
        area: 0.0,
        ends: 0.0,
        volume: 0.0,
        seam: 0.0,
    };
    for pair in kept.windows(2) {
        let ((z, p), (y, q)) = (pair[0], pair[1]);
        let (area, volume) = frustum(p, q, y - z);
        made.area += area;
        made.volume += volume;
        made.seam += 2.0 * (p - q).hypot(y - z);
    }
    made.volume = made.volume.abs();
    made.ends = PI * (kept[0].1.powi(2) + kept[kept.len() - 1].1.powi(2));
    made
}

/// Pieces that each curve is cut into for its integrals, of eight nodes each.
const PIECES: u32 = 16;

/// A drawn profile, its line moved away from the axis by `off`.
fn turned(curve: &Curve, unit: f64, off: f64) -> Measures {
    let (mut area, mut volume, mut seam) = (0.0, 0.0, 0.0);
    let mut radii = vec![];
    for piece in curve.segments() {
        let at = |t: f64| {
            let p = piece.eval(t);
            let d = slope(&piece, t);
            (p.x * unit + off, d.0 * unit, d.1 * unit)
        };
        let integral = |f: &dyn Fn(f64) -> f64| quadrature::integral_in_pieces(0.0, 1.0, PIECES, f);
        area += integral(&|t| {
            let (r, dx, dy) = at(t);
            2.0 * PI * r * dx.hypot(dy)
        });
        volume += integral(&|t| {
            let (r, _, dy) = at(t);
            PI * r * r * dy
        });
        seam += 2.0
            * integral(&|t| {
                let (_, dx, dy) = at(t);
                dx.hypot(dy)
            });
        radii.push((at(0.0).0, at(1.0).0));
    }
    let first = radii.first().map_or(0.0, |r| r.0);
    let last = radii.last().map_or(0.0, |r| r.1);
    let on_axis = |r: f64| {
        if (r - off).abs() <= 1e-9 * unit * curve.across {
            0.0
        } else {
            r
        }
    };
    Measures {
        area,
        ends: PI * (on_axis(first).powi(2) + on_axis(last).powi(2)),
        volume: volume.abs(),
        seam,
    }
}

fn slope(piece: &PathSeg, t: f64) -> (f64, f64) {
    let d = match piece {
        PathSeg::Line(l) => l.deriv().eval(t),
        PathSeg::Quad(q) => q.deriv().eval(t),
        PathSeg::Cubic(c) => c.deriv().eval(t),
    };
    (d.x, d.y)
}

/// The whole section of a profile, both sides of the axis.
pub(crate) fn section(profile: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut all = profile.to_vec();
    all.extend(profile.iter().rev().map(|[r, z]| [-r, *z]));
    all.dedup_by(|a, b| a[0].abs() == 0.0 && b[0].abs() == 0.0 && a[1] == b[1]);
    if all.len() > 1 && all[0][0] == 0.0 && all[all.len() - 1] == [-0.0, all[0][1]] {
        all.pop();
    }
    all
}

impl Solid {
    /// Refuses what is no such solid.
    pub(crate) fn sound(&self, kind: &Kind) -> Result<()> {
        match (&self.form, kind) {
            (SolidForm::Torus { outside, tube }, _) if outside.si() <= 2.0 * tube.si() => {
                Err(Error::inconsistent(
                    "form.torus.tube",
                    quantity::show(*tube),
                    format!("less than half of {}", quantity::show(*outside)),
                    "a ring has a hole: measure across the whole ring and across its tube",
                ))
            }
            (SolidForm::Revolved { profile, .. }, _) => {
                if !(2..=MOST_STATIONS).contains(&profile.len()) {
                    return Err(Error::out_of_range(
                        "form.revolved.profile",
                        format!("{} stations", profile.len()),
                        format!("2 to {MOST_STATIONS}"),
                        "measure the diameter at several heights",
                    ));
                }
                let p: Vec<[f64; 2]> = profile
                    .iter()
                    .map(|p| [0.5 * p.diameter.si(), p.height.si()])
                    .collect();
                let zero = profile[1..profile.len() - 1]
                    .iter()
                    .position(|p| p.diameter.si() == 0.0);
                if let Some(i) = zero {
                    return Err(Error::out_of_range(
                        format!("form.revolved.profile[{}].diameter", i + 1),
                        "0 mm",
                        "above 0 mm between the ends",
                        "only the ends may lie on the axis: measure the two bodies one by one",
                    ));
                }
                one_way("form.revolved.profile", &p)
            }
            (SolidForm::Turned { .. }, Kind::Turned(curve, _)) => {
                let p = curve.flat(1e-5);
                if let Some([x, y]) = p.iter().find(|p| p[0] < -1e-9 * curve.across) {
                    return Err(Error::out_of_range(
                        "form.turned.path",
                        format!("a point at ({x}, {y})"),
                        "x of 0 or more",
                        "x is the distance from the axis: draw one side of the profile",
                    ));
                }
                let p: Vec<[f64; 2]> = p.iter().map(|[x, y]| [x.max(0.0), *y]).collect();
                one_way("form.turned.path", &p)
            }
            _ => Ok(()),
        }
    }
}

/// Refuses a profile whose section crosses or touches itself, or holds nothing.
fn one_way(field: &str, profile: &[[f64; 2]]) -> Result<()> {
    let mut section = section(profile);
    section.dedup();
    if section.len() < 3 || crate::offset::twice_area(&section).abs() == 0.0 {
        return Err(Error::new(ErrorKind::OutOfRange, field)
            .with_value("a profile that holds nothing")
            .with_allowed("a profile with a height and a diameter")
            .with_way_out("measure the diameter at several heights"));
    }
    match crossing::of_polygon(&section) {
        None => Ok(()),
        Some([r, z]) => {
            let text = |x: f64| quantity::figures(x);
            Err(Error::inconsistent(
                field,
                format!(
                    "a profile that meets itself or the axis at {} from the axis, height {} (SI)",
                    text(r.abs()),
                    text(z)
                ),
                "a line that meets itself nowhere and the axis at its ends only",
                "give the stations in order from one end to the other",
            ))
        }
    }
}

#[questions]
impl Solid {
    /// Face, content and seam of a solid from tape readings.
    ///
    /// Closed forms; the ellipsoid's face by Carlson's symmetric integral, exact for flat and for long ones (the usual
    /// short formula with the power 1.6075 is 0.4 % off for a fin and 1 % for a leaf). Of a profile at stations the face is
    /// that of cones between them; where it is curved, a third of what leaving out every second station changes is taken as
    /// the limits of what straight lines leave out. A drawn profile is integrated along its curves, so that a top that meets
    /// the axis at a right angle is no trouble. Half of a solid has half its face and content. Not modelled: what is out of
    /// round.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a length that is not above zero and a profile of fewer than two stations;
    /// [`ErrorKind::Inconsistent`] for a ring without a hole and a profile that meets itself.
    #[question("mould.solid")]
    pub fn measure(&self) -> Result<SolidSize> {
        gelwright_base::noun::check(self)?;
        let kind = self.form.kind().map_err(|e| e.within("form.turned"))?;
        self.sound(&kind)?;
        let readings = self.form.readings(&self.tape);
        let from = self.given();
        let half = if self.half { 0.5 } else { 1.0 };
        let measures = |x: &[f64]| kind.measures(&self.form.lengths(x));
        let carried = |f: &dyn Fn(Measures) -> f64| Budget::carried(&readings, TAPE, |x| Ok(f(measures(x))));
        let (area, of_area) = carried(&|m| half * m.area)?;
        let (volume, of_volume) = carried(&|m| half * m.volume)?;
        let (seam, of_seam) = carried(&|m| m.seam)?;
        let (ends, of_ends) = carried(&|m| half * m.ends)?;
        let [left_out_area, left_out_volume] = self.left_out(&measures)?;
        let between = "straight lines between the stations";
        let of_area = of_area.with(between, of_limits(half * left_out_area));
        let of_volume = of_volume.with(between, of_limits(half * left_out_volume));
        let [a, v] = self.form.equations();
        let mut why = computed::<Area>("face", area, a, from.clone())?;
        if matches!(self.form, SolidForm::Ellipsoid { .. }) {
            why = why.with_source(&sources::elliptic_integrals());
        }
        Ok(SolidSize {
            area: of_area.size(area, why)?,
            ends: if ends > 0.0 {
                Some(of_ends.size(
                    ends,
                    computed::<Area>("flat ends", ends, "A = pi r^2 each", from.clone())?,
                )?)
            } else {
                None
            },
            volume: of_volume.size(volume, computed::<Volume>("content", volume, v, from.clone())?)?,
            seam: of_seam.size(
                seam,
                computed::<Length>("seam", seam, "length of the edge of one half's face", from)?,
            )?,
            notes: if self.half {
                vec!["area, ends and volume are those of one half".to_owned()]
            } else {
                vec![]
            },
        })
    }

    /// The volume of a wall on a solid's face, by which side of the wall the face is.
    ///
    /// A wall of thickness `t` lies outside the measured face where that is its inner face (a casting over a plug), inside
    /// where it is its outer face (a casting in a mould). `V = |V(face moved by t) - V|`: parallel bodies in closed form
    /// (Steiner's formula for box and ellipsoid, with round corners outward; the smaller box inward), cut at the plane of a
    /// flat end or of the half. A profile's parallel body is that of its moved section (its rounds short by 2e-4). Area times
    /// thickness alone may be 5 % off for a 3 mm wall on a small box. Range inward: up to where the face meets itself.
    ///
    /// # Errors
    /// As [`Solid::measure`]; [`ErrorKind::OutOfRange`] for a wall so thick that it meets itself.
    #[question("mould.wall")]
    pub fn wall(
        &self,
        /// Thickness of the wall.
        #[noun(within("1 um", "1 m", "give the wall's thickness, for example '3 mm'"))]
        thickness: Length,
        /// Which of the wall's faces was measured.
        measured: crate::wall::MeasuredFace,
    ) -> Result<crate::wall::WallSize> {
        crate::wall::on(self, thickness, measured)
    }
}

impl Solid {
    pub(crate) fn readings(&self) -> Vec<Reading> {
        self.form.readings(&self.tape)
    }

    pub(crate) fn given(&self) -> Vec<Why> {
        let readings = self.readings();
        let shown = readings.iter().take(8).filter(|r| r.value != 0.0);
        let mut from: Vec<Why> = shown
            .map(|r| {
                let length: Length = quantity::known(r.value);
                given(&r.what, length)
            })
            .collect();
        if let Some(r) = readings.first().filter(|r| r.shared > 0.0) {
            from.push(self.tape.why(quantity::known(r.value)));
        }
        from
    }

    /// What straight lines between stations may leave out of face and content.
    fn left_out(&self, measures: &dyn Fn(&[f64]) -> Measures) -> Result<[f64; 2]> {
        let SolidForm::Revolved {
            profile,
            curved: true,
        } = &self.form
        else {
            return Ok([0.0; 2]);
        };
        let x: Vec<f64> = self.readings().iter().map(|r| r.value).collect();
        let all = measures(&x);
        if profile.len() < 3 {
            return Ok([0.0; 2]);
        }
        let few = stations(&x, 2);
        Ok([
            (all.area - few.area).abs() / 3.0,
            (all.volume - few.volume).abs() / 3.0,
        ])
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::wall::MeasuredFace;

    pub(crate) fn m(x: f64) -> Length {
        quantity::known(x)
    }

    pub(crate) fn exact(form: SolidForm) -> Solid {
        Solid {
            form,
            half: false,
            tape: Tape::exact(),
        }
    }

    pub(crate) fn ellipsoid(a: f64, b: f64, c: f64) -> SolidForm {
        SolidForm::Ellipsoid {
            length: m(2.0 * a),
            width: m(2.0 * b),
            height: m(2.0 * c),
        }
    }

    fn near(a: f64, b: f64, relative: f64) {
        assert!((a / b - 1.0).abs() < relative, "{a} for {b}");
    }

    /// Analytic by 4 pi R_G; an independent two-dimensional quadrature (SciPy) agrees to 12 digits.
    #[test]
    fn ellipsoids_round_long_and_flat() {
        let of = |a, b, c| exact(ellipsoid(a, b, c)).measure().unwrap();
        near(of(4.0, 3.0, 2.0).area.value().si(), 111.545_769_894, 1e-11);
        let body = of(0.095, 0.055, 0.020);
        near(body.area.value().si() * 1e6, 38_468.758_564_8, 1e-11);
        near(body.volume.value().si() * 1e9, 437_728.576_4, 1e-9);
        near(body.seam.value().si() * 1e3, 479.654_393_1, 1e-9);
        near(of(1.0, 1.0, 1e-6).area.value().si(), 6.283_185_307_27, 1e-11);
        near(of(1e-6, 1.0, 1.0).area.value().si(), 6.283_185_307_27, 1e-11);
        // A value computed elsewhere by Legendre's integrals, printed to twelve digits.
        near(of(1.1, 1.2, 4.7).area.value().si(), 54.690_124_099_8, 1e-11);
        let half = Solid {
            half: true,
            ..exact(ellipsoid(0.095, 0.055, 0.020))
        };
        let half = half.measure().unwrap();
        near(half.area.value().si() * 1e6, 19_234.379_28, 1e-9);
        near(half.seam.value().si() * 1e3, 479.654_393_1, 1e-9);
    }

    /// Analytic.
    #[test]
    fn round_bodies() {
        let of = |form| exact(form).measure().unwrap();
        let f = of(SolidForm::Frustum {
            base: m(6.0),
            top: m(4.0),
            height: m(4.0),
        });
        near(f.area.value().si(), 64.765_591_717_1, 1e-11);
        near(f.volume.value().si(), 79.587_013_890_9, 1e-11);
        let c = of(SolidForm::Capsule {
            diameter: m(2.0),
            straight: m(2.0),
        });
        near(c.area.value().si(), 8.0 * PI, 1e-14);
        near(c.volume.value().si(), 10.471_975_512, 1e-10);
        // Radius 1, height 0.4: across its flat face 1.6.
        let c = of(SolidForm::Cap {
            diameter: m(1.6),
            height: m(0.4),
        });
        near(c.area.value().si(), 2.513_274_122_87, 1e-11);
        near(c.volume.value().si(), 0.435_634_181_298, 1e-11);
        near(c.seam.value().si(), 2.0 * 0.6f64.acos(), 1e-12);
        let t = of(SolidForm::Torus {
            outside: m(8.0),
            tube: m(2.0),
        });
        near(t.area.value().si(), 12.0 * PI * PI, 1e-14);
        near(t.volume.value().si(), 6.0 * PI * PI, 1e-14);
        let c = of(SolidForm::Cone {
            diameter: m(6.0),
            height: m(4.0),
        });
        near(c.area.value().si(), 15.0 * PI, 1e-14);
        near(c.volume.value().si(), 12.0 * PI, 1e-14);
        near(c.ends.unwrap().value().si(), 9.0 * PI, 1e-14);
    }

    /// Analytic: r = sqrt(z), whose slope is infinite on the axis (a parabola is a quadratic curve); r = 2 + sin z at
    /// stations.
    #[test]
    fn turned_profiles() {
        let bowl = exact(SolidForm::Turned {
            path: "M 0 0 Q 0.5 0 1 1".to_owned(),
            unit: m(1.0),
            line: m(0.0),
        });
        let s = bowl.measure().unwrap();
        near(s.area.value().si(), 5.330_413_500_27, 1e-11);
        near(s.volume.value().si(), std::f64::consts::FRAC_PI_2, 1e-11);
        let station = |z: f64| ProfilePoint {
            height: m(z),
            diameter: m(2.0 * (2.0 + z.sin())),
        };
        let vase = |n: usize, curved| {
            let step = std::f64::consts::TAU / (n - 1) as f64;
            exact(SolidForm::Revolved {
                profile: (0..n).map(|i| station(i as f64 * step)).collect(),
                curved,
            })
            .measure()
            .unwrap()
        };
        let fine = vase(1000, false);
        near(fine.area.value().si(), 96.012_042_474_2, 1e-5);
        near(fine.volume.value().si(), 88.826_439_609_8, 1e-5);
        // What straight lines leave out of a curved face is told, and holds the truth.
        let coarse = vase(17, true);
        let off = (coarse.area.value().si() - 96.012_042_474_2).abs();
        assert!(off > 0.1 && off < 2.0 * coarse.area.estimate.standard_uncertainty.si());
        assert_eq!(
            coarse.area.dominant.as_deref(),
            Some("straight lines between the stations")
        );
    }

    /// Analytic: Steiner's formula outward, the smaller box inward.
    #[test]
    fn which_face_was_measured_matters() {
        let tray = exact(SolidForm::Cuboid {
            length: m(0.2),
            width: m(0.1),
            height: m(0.05),
        });
        let outward = tray.wall(m(0.003), MeasuredFace::Inner).unwrap();
        near(outward.volume.value().si() * 1e6, 220.009, 3e-6);
        near(outward.area_times_thickness.si() * 1e6, 210.0, 1e-12);
        near(outward.deviation, 210.0 / 220.009 - 1.0, 1e-4);
        let inward = tray.wall(m(0.003), MeasuredFace::Outer).unwrap();
        near(inward.volume.value().si() * 1e6, 197.616, 1e-9);
        near(inward.deviation, 0.0627, 2e-3);
    }

    #[test]
    fn what_is_no_solid_is_refused() {
        let refused = |form, says: &str| {
            let e = exact(form).measure().unwrap_err();
            assert!(e.to_string().contains(says), "{e}");
        };
        refused(
            SolidForm::Torus {
                outside: m(2.0),
                tube: m(1.0),
            },
            "a ring has a hole",
        );
        refused(SolidForm::Sphere { diameter: m(-1.0) }, "out of range");
        let at = |z: f64, d: f64| ProfilePoint {
            height: m(z),
            diameter: m(d),
        };
        let profile = |profile| SolidForm::Revolved {
            profile,
            curved: false,
        };
        refused(profile(vec![at(0.0, 1.0)]), "1 stations");
        refused(profile(vec![at(0.0, 1.0), at(0.0, 1.0)]), "holds nothing");
        refused(
            profile(vec![at(0.0, 1.0), at(2.0, 1.0), at(1.0, 0.0), at(1.0, 2.0)]),
            "only the ends",
        );
        refused(
            profile(vec![at(0.0, 1.0), at(2.0, 1.0), at(1.0, 2.0), at(1.0, 0.4)]),
            "meets itself",
        );
        refused(
            SolidForm::Turned {
                path: "M -1 0 L 1 2".to_owned(),
                unit: m(1.0),
                line: m(0.0),
            },
            "one side",
        );
    }
}
