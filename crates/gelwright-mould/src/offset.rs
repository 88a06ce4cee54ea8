//! Outlines moved outward or inward.

use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};

/// The angle of the pieces that a rounded corner is made of: the least that the offset takes. They lie inside the round by at
/// most `w (1 - cos(a/2))`, which is 1.2e-4 of the width, and the area of a full round is short by 1.6e-4 of it.
const ROUND: f64 = 0.01 * std::f64::consts::PI;

/// Twice the signed area of a polygon.
pub(crate) fn twice_area(points: &[[f64; 2]]) -> f64 {
    let Some(&[x0, y0]) = points.first() else {
        return 0.0;
    };
    let mut sum = crate::sum::Sum::default();
    for pair in points.windows(2) {
        let [[ax, ay], [bx, by]] = [pair[0], pair[1]];
        sum.add((ax - x0) * (by - y0) - (bx - x0) * (ay - y0));
    }
    sum.value()
}

/// The polygons of a simple polygon moved by `by`, outward where positive, corners rounded; holes run the other way round.
/// Points are at least three, finite, and below 1e100.
pub(crate) fn moved(points: &[[f64; 2]], by: f64) -> Vec<Vec<[f64; 2]>> {
    let mut outline = points.to_vec();
    if twice_area(&outline) < 0.0 {
        outline.reverse();
    }
    if by < 0.0 {
        if -by >= half_width(&outline) {
            return vec![];
        }
        if is_convex(&outline) {
            return inward(&outline, -by).into_iter().collect();
        }
    }
    let style = OutlineStyle::new(by).line_join(LineJoin::Round(ROUND));
    let shapes = outline.outline_as::<i64>(&style);
    shapes.into_iter().flatten().collect()
}

/// Half of the smaller side of the box around it: no circle inside of it is larger.
fn half_width(points: &[[f64; 2]]) -> f64 {
    let side = |k: usize| {
        let ends = points
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
                (low.min(p[k]), high.max(p[k]))
            });
        ends.1 - ends.0
    };
    0.5 * side(0).min(side(1))
}

/// From each point to the next, those apart.
fn edges(points: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
    let next = points.iter().cycle().skip(1);
    let edge = |(a, b): (&[f64; 2], &[f64; 2])| (*a, [b[0] - a[0], b[1] - a[1]]);
    points.iter().zip(next).map(edge).filter(|(_, d)| *d != [0.0; 2])
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// Whether an anticlockwise polygon never turns to the right, and turns once.
fn is_convex(points: &[[f64; 2]]) -> bool {
    let ways: Vec<[f64; 2]> = edges(points).map(|(_, d)| d).collect();
    let Some(first) = ways.first() else { return false };
    let turns = |(a, b): (&[f64; 2], &[f64; 2])| {
        let (turn, on) = (cross(*a, *b), a[0] * b[0] + a[1] * b[1]);
        if turn > 0.0 || (turn == 0.0 && on > 0.0) {
            Some(turn.atan2(on))
        } else {
            None
        }
    };
    let pairs = ways.iter().zip(ways.iter().skip(1).chain([first]));
    let all: Option<f64> = pairs.map(turns).sum();
    all.is_some_and(|angle| (angle - 2.0 * std::f64::consts::PI).abs() < 1e-6)
}

/// A line with what lies left of it.
#[derive(Clone, Copy)]
struct Side {
    at: [f64; 2],
    way: [f64; 2],
}

impl Side {
    /// How far left of it a point lies, times its length.
    fn left(&self, p: [f64; 2]) -> f64 {
        cross(self.way, [p[0] - self.at[0], p[1] - self.at[1]])
    }

    fn meets(&self, other: &Side) -> [f64; 2] {
        let share = other.left(self.at) / -cross(other.way, self.way);
        [self.at[0] + share * self.way[0], self.at[1] + share * self.way[1]]
    }
}

/// A convex anticlockwise polygon moved inward by `w`: what lies left of all its edges, each moved. These come in the order of their
/// directions, so that each cuts off corners at the ends of what is left alone; the sweep of edges against each other, which the
/// general way does, takes minutes for a round of some thousand points that is moved past its middle.
fn inward(points: &[[f64; 2]], w: f64) -> Option<Vec<[f64; 2]>> {
    let mut kept: std::collections::VecDeque<Side> = std::collections::VecDeque::new();
    for (a, way) in edges(points) {
        let length = way[0].hypot(way[1]);
        let at = [a[0] - way[1] / length * w, a[1] + way[0] / length * w];
        let side = Side { at, way };
        while let [.., x, y] = *kept.make_contiguous()
            && side.left(x.meets(&y)) <= 0.0
        {
            kept.pop_back();
        }
        while let [x, y, ..] = *kept.make_contiguous()
            && side.left(x.meets(&y)) <= 0.0
        {
            kept.pop_front();
        }
        if let Some(last) = kept.back() {
            let turn = cross(last.way, way);
            // On the same line; or all between two that run against each other is cut off.
            if turn == 0.0 && last.way[0] * way[0] + last.way[1] * way[1] > 0.0 {
                continue;
            }
            if turn <= 0.0 {
                return None;
            }
        }
        kept.push_back(side);
    }
    while let [first, .., x, y] = *kept.make_contiguous()
        && first.left(x.meets(&y)) <= 0.0
    {
        kept.pop_back();
    }
    while let [x, y, .., last] = *kept.make_contiguous()
        && last.left(x.meets(&y)) <= 0.0
    {
        kept.pop_front();
    }
    let kept = kept.make_contiguous();
    if kept.len() < 3 {
        return None;
    }
    let next = kept.iter().cycle().skip(1);
    let left: Vec<[f64; 2]> = kept.iter().zip(next).map(|(a, b)| a.meets(b)).collect();
    (twice_area(&left) > 0.0).then_some(left)
}

/// The area of a simple polygon moved by `by`.
pub(crate) fn moved_area(points: &[[f64; 2]], by: f64) -> f64 {
    0.5 * moved(points, by).iter().map(|p| twice_area(p)).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];

    /// Closed forms: Steiner's formula outward, the smaller square inward.
    #[test]
    fn a_square_grows_with_round_corners_and_shrinks_with_sharp_ones() {
        // Round corners are inscribed: short by 1.6e-4 of pi.
        assert!((moved_area(&SQUARE, 1.0) - (140.0 + PI)).abs() < 6e-4);
        assert!((moved_area(&SQUARE, -1.0) - 64.0).abs() < 1e-9);
        assert!(moved_area(&SQUARE, -5.5).abs() < 1e-9);
        let mut other_way = SQUARE;
        other_way.reverse();
        assert!((moved_area(&other_way, -1.0) - 64.0).abs() < 1e-9);
    }

    fn ellipse(points: u32, a: f64, b: f64) -> Vec<[f64; 2]> {
        (0..points)
            .map(|i| {
                let (s, c) = (2.0 * PI * f64::from(i) / f64::from(points)).sin_cos();
                [a * c, b * s]
            })
            .collect()
    }

    /// Closed forms: the smaller circle; nothing past the middle. Both ways agree where the general one is not slow.
    #[test]
    fn a_round_of_many_points_is_moved_past_its_middle() {
        let circle = ellipse(2000, 1.0, 1.0);
        for w in [0.3, 0.7, 0.99] {
            // Inscribed: short by 1.6e-6 of the area.
            let exact = PI * (1.0f64 - w).powi(2);
            assert!((moved_area(&circle, -w) - exact).abs() < 1e-5, "{w}");
        }
        for (a, w) in [(1.0, 1.0001), (1.0, 40.0), (1.2, 1.01), (30.0, 1.5)] {
            assert_eq!(moved_area(&ellipse(2000, a, 1.0), -w), 0.0, "{a} {w}");
        }
        for (a, w) in [(1.2, 0.5), (1.2, 0.9), (3.0, 0.3), (3.0, 0.8)] {
            let few = ellipse(60, a, 1.0);
            let style = OutlineStyle::new(-w).line_join(LineJoin::Round(ROUND));
            let general: f64 = few
                .outline_as::<i64>(&style)
                .iter()
                .flatten()
                .map(|p| 0.5 * twice_area(p))
                .sum();
            assert!(
                (moved_area(&few, -w) - general).abs() < 1e-6,
                "{a} {w}: {general}"
            );
        }
        // With points on its edges and one twice.
        let square = [
            [0.0, 0.0],
            [5.0, 0.0],
            [10.0, 0.0],
            [10.0, 10.0],
            [10.0, 10.0],
            [0.0, 10.0],
        ];
        assert!((moved_area(&square, -1.0) - 64.0).abs() < 1e-9);
        // A rectangle whose sides pass each other.
        let bar = [[0.0, 0.0], [30.0, 0.0], [30.0, 2.0], [0.0, 2.0]];
        assert!((moved_area(&bar, -0.999) - 28.002 * 0.002).abs() < 1e-9);
        assert_eq!(moved_area(&bar, -1.0), 0.0);
        // A right triangle of 3, 4 and 5, whose incircle has a radius of one.
        let triangle = [[0.0, 0.0], [4.0, 0.0], [0.0, 3.0]];
        assert!((moved_area(&triangle, -0.5) - 1.5).abs() < 1e-9);
        assert_eq!(moved_area(&triangle, -1.2), 0.0);
    }

    /// Closed form: an L of three unit squares, moved in by 0.1: its reflex corner is rounded.
    #[test]
    fn a_reflex_corner_is_rounded_inward() {
        let l = [
            [0.0, 0.0],
            [2.0, 0.0],
            [2.0, 1.0],
            [1.0, 1.0],
            [1.0, 2.0],
            [0.0, 2.0],
        ];
        let w: f64 = 0.1;
        // Edge of 8, five corners that lose w^2 twice over, one that gains a quarter round.
        let exact = 3.0 - 8.0 * w + 5.0 * w * w - PI * w * w / 4.0;
        assert!(
            (moved_area(&l, -w) - exact).abs() < 2e-6,
            "{}",
            moved_area(&l, -w)
        );
    }
}
