//! The wall that lies on a solid's face.

use std::f64::consts::PI;

use gelwright_base::error::{Error, Result};
use gelwright_base::noun::Noun;
use gelwright_base::quantity::{Length, Quantity, Volume};

use crate::path::Curve;
use crate::size::{Budget, Size, computed, given, length_text};
use crate::solid::{Kind, Solid, frustum, ring, section, semi};
use crate::tape::TAPE;
use crate::{carlson, offset, sources};

/// Which face of a wall was measured.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum MeasuredFace {
    /// The wall's outer face: what is measured is the mould's cavity, and the wall lies within.
    Outer,
    /// The wall's inner face: what is measured is a plug or a core, and the wall lies around it.
    Inner,
}

/// The wall on a face.
#[derive(Clone, PartialEq, Noun)]
pub struct WallSize {
    /// Its volume.
    pub volume: Size<Volume>,
    /// What area times thickness would give.
    pub area_times_thickness: Volume,
    /// How far that is off: 0.06 for 6 % too much.
    pub deviation: f64,
}

pub(crate) fn on(solid: &Solid, thickness: Length, measured: MeasuredFace) -> Result<WallSize> {
    gelwright_base::noun::check(solid)?;
    let kind = solid.form.kind().map_err(|e| e.within("form.turned"))?;
    solid.sound(&kind)?;
    let t = match measured {
        MeasuredFace::Inner => thickness.si(),
        MeasuredFace::Outer => -thickness.si(),
    };
    let half = if solid.half { 0.5 } else { 1.0 };
    let readings = solid.readings();
    let at: Vec<f64> = readings.iter().map(|r| r.value).collect();
    let wall = |x: &[f64]| {
        let x = solid.form.lengths(x);
        let within = kind.unmoved(&x);
        Ok(half * (kind.moved(&x, t)? - within).abs())
    };
    let area = |x: &[f64]| Ok(half * kind.measures(&solid.form.lengths(x)).area);
    let (a, of_area) = Budget::carried(&readings, TAPE, area)?;
    let (volume, budget) = match kind {
        // A moved section is not cheap; to the first order the wall follows the face.
        Kind::Revolved | Kind::Turned(..) => (wall(&at)?, of_area.scaled(t.abs())),
        _ => Budget::carried(&readings, TAPE, wall)?,
    };
    let mut from = solid.given();
    from.push(given("thickness, t", thickness));
    let why = computed::<Volume>("wall", volume, "V = |V(face moved by t) - V|", from)?
        .with_source(&sources::parallel_body());
    let plain = a * t.abs();
    Ok(WallSize {
        volume: budget.size(volume, why)?,
        area_times_thickness: Volume::from_si(plain)?,
        deviation: plain / volume - 1.0,
    })
}

/// A drawn profile as straight pieces (radius, height).
fn drawn(curve: &Curve, unit: f64) -> Vec<[f64; 2]> {
    let flat = curve.flat(1e-6);
    flat.iter()
        .map(|[r, z]| [(r * unit).max(0.0), z * unit])
        .collect()
}

fn too_thick(t: f64, most: f64) -> Error {
    Error::out_of_range(
        "thickness",
        length_text(t.abs()),
        format!("at most {}", length_text(most)),
        "a thicker wall meets itself there: take the solid as filled, or lay a thinner wall",
    )
}

impl Kind {
    /// Content of the body whose face has moved outward by `t`.
    pub(crate) fn moved(&self, x: &[f64], t: f64) -> Result<f64> {
        let most = self.most(x, t);
        if t.abs() > most * (1.0 + 1e-12) {
            return Err(too_thick(t, most));
        }
        let ball = 4.0 / 3.0 * PI * t.powi(3);
        Ok(match self {
            Kind::Sphere => 4.0 / 3.0 * PI * (0.5 * x[0] + t).powi(3),
            Kind::Ellipsoid => {
                let [a, b, c] = semi(x);
                let m = self.measures(x);
                // The integral of the mean curvature is 2 pi times the mean width, the mean width twice a mean of R_G's kind.
                m.volume + m.area * t + 4.0 * PI * carlson::rg(a * a, b * b, c * c) * t * t + ball
            }
            Kind::Cuboid if t > 0.0 => {
                let m = self.measures(x);
                m.volume + m.area * t + PI * (x[0] + x[1] + x[2]) * t * t + ball
            }
            Kind::Cuboid => (x[0] + 2.0 * t) * (x[1] + 2.0 * t) * (x[2] + 2.0 * t),
            Kind::Frustum => cone(0.5 * x[0], 0.5 * x[1], x[2], t),
            Kind::Cap => {
                let (r, h) = (0.5 * x[0], x[1]);
                let sphere = (r * r + h * h) / (2.0 * h) + t;
                PI * (h + t).powi(2) * (3.0 * sphere - (h + t)) / 3.0
            }
            Kind::Capsule => {
                let d = x[0] + 2.0 * t;
                PI * d * d * (x[1] / 4.0 + d / 6.0)
            }
            Kind::Torus => {
                let (big, r) = ring(x);
                2.0 * PI * PI * big * (r + t).powi(2)
            }
            Kind::Revolved => {
                let p: Vec<[f64; 2]> = (0..x.len() / 2).map(|i| [0.5 * x[2 * i + 1], x[2 * i]]).collect();
                profile_moved(&p, t)
            }
            Kind::Turned(curve, unit) => profile_moved(&drawn(curve, *unit), t),
        })
    }

    /// Content of the body as [`moved`](Kind::moved) takes it: of a drawn profile that of its straight pieces, so that what
    /// they leave out stands on both sides.
    fn unmoved(&self, x: &[f64]) -> f64 {
        match self {
            Kind::Turned(curve, unit) => drawn(curve, *unit)
                .windows(2)
                .map(|p| frustum(p[0][0], p[1][0], p[1][1] - p[0][1]).1)
                .sum::<f64>()
                .abs(),
            _ => self.measures(x).volume,
        }
    }

    /// How far the face can be moved that way before it meets itself.
    fn most(&self, x: &[f64], t: f64) -> f64 {
        let free = f64::INFINITY;
        let inward = t < 0.0;
        match self {
            Kind::Torus => {
                let (big, r) = ring(x);
                if inward { r } else { big - r }
            }
            _ if !inward => free,
            Kind::Sphere | Kind::Capsule => 0.5 * x[0],
            Kind::Ellipsoid => {
                let mut s = semi(x);
                s.sort_by(f64::total_cmp);
                s[0] * s[0] / s[2]
            }
            Kind::Cuboid => 0.5 * x[0].min(x[1]).min(x[2]),
            Kind::Frustum => {
                let (p, q, h) = (0.5 * x[0], 0.5 * x[1], x[2]);
                p.max(q) * h / (p - q).hypot(h)
            }
            Kind::Cap => {
                let (r, h) = (0.5 * x[0], x[1]);
                h.min((r * r + h * h) / (2.0 * h))
            }
            Kind::Revolved | Kind::Turned(..) => free,
        }
    }
}

/// Content of a cone cut off whose lateral face has moved outward by `t`, within its end planes; about an apex it is round.
fn cone(p: f64, q: f64, h: f64, t: f64) -> f64 {
    let (p, q) = (p.max(q), p.min(q));
    let slant = (p - q).hypot(h);
    let step = t * slant / h;
    if q == 0.0 && t > 0.0 {
        let (sine, cosine) = (p / slant, h / slant);
        let whole = PI / 3.0 * (p + step).powi(2) * (h + t / sine);
        let tip = PI / 3.0 * t.powi(3) * cosine.powi(4) / sine;
        let round = PI / 3.0 * t.powi(3) * (1.0 - sine).powi(2) * (2.0 + sine);
        return whole - tip + round;
    }
    let (p2, q2) = ((p + step).max(0.0), q + step);
    if q2 >= 0.0 {
        return frustum(p2, q2, h).1;
    }
    frustum(p2, 0.0, p2 * h / (p - q)).1
}

/// Content of the body of a profile (radius, height) whose face has moved outward by `t`, within its open ends' planes.
fn profile_moved(profile: &[[f64; 2]], t: f64) -> f64 {
    let mut p = profile.to_vec();
    p.dedup();
    let ends = [p[0], p[p.len() - 1]];
    let far = 4.0 * t.abs();
    let beyond = |end: [f64; 2], next: [f64; 2]| {
        let (dr, dz) = (end[0] - next[0], end[1] - next[1]);
        let steep = if dz.abs() > 0.2 * dr.abs() {
            dr / dz.abs()
        } else {
            0.0
        };
        let up = if dz == 0.0 { 1.0 } else { dz.signum() };
        let long = if steep < 0.0 {
            far.min(-end[0] / steep)
        } else {
            far
        };
        [(end[0] + steep * long).max(0.0), end[1] + up * long]
    };
    let open = |end: [f64; 2]| end[0] > 0.0;
    let mut planes = vec![];
    if open(ends[1]) {
        let next = p[p.len() - 2];
        let on = beyond(ends[1], next);
        planes.push((ends[1][1], on[1] > ends[1][1]));
        p.push(on);
    }
    if open(ends[0]) {
        let on = beyond(ends[0], p[1]);
        planes.push((ends[0][1], on[1] > ends[0][1]));
        p.insert(0, on);
    }
    let mut all = section(&p);
    all.dedup();
    offset::moved(&all, t)
        .into_iter()
        .map(|polygon| {
            let mut polygon = clipped(polygon, |q| q[0]);
            for (z, above) in &planes {
                polygon = clipped(polygon, |q| if *above { z - q[1] } else { q[1] - z });
            }
            2.0 * PI * moment(&polygon)
        })
        .sum::<f64>()
        .abs()
}

/// The part of a polygon where `inside` is not negative.
fn clipped(polygon: Vec<[f64; 2]>, inside: impl Fn([f64; 2]) -> f64) -> Vec<[f64; 2]> {
    let mut kept = vec![];
    for (i, b) in polygon.iter().enumerate() {
        let a = polygon[(i + polygon.len() - 1) % polygon.len()];
        let (u, v) = (inside(a), inside(*b));
        if (u < 0.0) != (v < 0.0) {
            let s = u / (u - v);
            kept.push([a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])]);
        }
        if v >= 0.0 {
            kept.push(*b);
        }
    }
    kept
}

/// First moment of a polygon's area about the axis.
fn moment(p: &[[f64; 2]]) -> f64 {
    (0..p.len())
        .map(|i| {
            let (a, b) = (p[i], p[(i + 1) % p.len()]);
            (a[0] + b[0]) * (a[0] * b[1] - b[0] * a[1]) / 6.0
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::tests::{ellipsoid, exact, m};
    use crate::solid::{ProfilePoint, SolidForm};
    use crate::wall::MeasuredFace::{Inner, Outer};

    fn of(form: SolidForm, t: f64, face: MeasuredFace) -> f64 {
        exact(form).wall(m(t), face).unwrap().volume.value().si()
    }

    fn near(a: f64, b: f64, relative: f64) {
        assert!((a / b - 1.0).abs() < relative, "{a} for {b}");
    }

    fn ball(r: f64) -> f64 {
        4.0 / 3.0 * PI * r.powi(3)
    }

    /// Analytic: a sphere three ways.
    #[test]
    fn a_ball_is_a_ball_however_it_is_told() {
        let sphere = || SolidForm::Sphere { diameter: m(2.0) };
        for (t, face, shell) in [
            (0.1, Inner, ball(1.1) - ball(1.0)),
            (0.1, Outer, ball(1.0) - ball(0.9)),
        ] {
            near(of(sphere(), t, face), shell, 1e-13);
            near(of(ellipsoid(1.0, 1.0, 1.0), t, face), shell, 1e-12);
            let turned = SolidForm::Turned {
                path: "M 0 -1 A 1 1 0 0 1 0 1".to_owned(),
                unit: m(1.0),
                line: m(0.0),
            };
            near(of(turned, t, face), shell, 1e-4);
            let capped = SolidForm::Cap {
                diameter: m(2.0),
                height: m(1.0),
            };
            let half = of(capped, t, face);
            // Half a ball, its wall cut at the rim's plane.
            near(half, 0.5 * shell, 1e-12);
        }
    }

    /// Independent: a wall on an ellipsoid by quadrature of the distance (here: the ellipsoids of a spheroid's revolution).
    #[test]
    fn an_ellipsoids_wall_is_that_of_its_turned_profile() {
        // Semi-axes 0.05 across, 0.08 along: half an ellipse of an arc of SVG.
        let turned = || SolidForm::Turned {
            path: "M 0 -80 A 50 80 0 0 1 0 80".to_owned(),
            unit: m(0.001),
            line: m(0.0),
        };
        for face in [Inner, Outer] {
            near(
                of(ellipsoid(0.05, 0.05, 0.08), 0.003, face),
                of(turned(), 0.003, face),
                2e-5,
            );
        }
    }

    /// Analytic: frusta by their own smaller and larger frusta; the section of a profile says the same.
    #[test]
    fn cones_and_profiles_agree() {
        let cone = || SolidForm::Cone {
            diameter: m(0.06),
            height: m(0.04),
        };
        let frustum_form = || SolidForm::Frustum {
            base: m(0.06),
            top: m(0.04),
            height: m(0.04),
        };
        let stations = |s: &[(f64, f64)]| SolidForm::Revolved {
            profile: s
                .iter()
                .map(|(z, d)| ProfilePoint {
                    height: m(*z),
                    diameter: m(*d),
                })
                .collect(),
            curved: false,
        };
        for face in [Inner, Outer] {
            let told = of(frustum_form(), 0.002, face);
            near(
                of(stations(&[(0.0, 0.06), (0.04, 0.04)]), 0.002, face),
                told,
                1e-6,
            );
            let told = of(cone(), 0.002, face);
            near(of(stations(&[(0.0, 0.06), (0.04, 0.0)]), 0.002, face), told, 2e-5);
            // Upside down.
            near(of(stations(&[(0.0, 0.0), (0.04, 0.06)]), 0.002, face), told, 2e-5);
        }
        let tube = of(
            SolidForm::Cylinder {
                diameter: m(0.1),
                height: m(0.2),
            },
            0.005,
            Outer,
        );
        near(tube, PI * (0.05f64.powi(2) - 0.045f64.powi(2)) * 0.2, 1e-12);
        let ring = || SolidForm::Torus {
            outside: m(0.08),
            tube: m(0.02),
        };
        near(
            of(ring(), 0.002, Inner),
            2.0 * PI * PI * 0.03 * (0.012f64.powi(2) - 0.01f64.powi(2)),
            1e-12,
        );
    }

    #[test]
    fn a_wall_that_meets_itself_is_refused() {
        let leaf = exact(ellipsoid(0.095, 0.055, 0.020));
        // The sharpest bend has 20^2/95 = 4.2 mm.
        assert!(leaf.wall(m(0.004), Outer).is_ok());
        let e = leaf.wall(m(0.005), Outer).unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (gelwright_base::ErrorKind::OutOfRange, "thickness")
        );
        assert!(leaf.wall(m(0.005), Inner).is_ok());
        assert!(
            exact(SolidForm::Sphere { diameter: m(0.02) })
                .wall(m(0.011), Outer)
                .is_err()
        );
    }
}
