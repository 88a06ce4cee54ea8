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
    let style = OutlineStyle::new(by).line_join(LineJoin::Round(ROUND));
    let shapes = outline.outline_as::<i64>(&style);
    shapes.into_iter().flatten().collect()
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
