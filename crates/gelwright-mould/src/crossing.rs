//! Whether an outline crosses itself.

use robust::{Coord, orient2d};

fn orient(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    let at = |p: [f64; 2]| Coord { x: p[0], y: p[1] };
    orient2d(at(a), at(b), at(c))
}

struct Segment {
    at: usize,
    a: [f64; 2],
    b: [f64; 2],
    low: [f64; 2],
    high: [f64; 2],
}

/// Where a closed polygon crosses or touches itself, if it does: exact predicates on a sweep along x. Points that follow
/// each other differ.
pub(crate) fn of_polygon(points: &[[f64; 2]]) -> Option<[f64; 2]> {
    let n = points.len();
    let mut segments: Vec<Segment> = (0..n)
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % n]);
            Segment {
                at: i,
                a,
                b,
                low: [a[0].min(b[0]), a[1].min(b[1])],
                high: [a[0].max(b[0]), a[1].max(b[1])],
            }
        })
        .collect();
    segments.sort_by(|s, t| s.low[0].total_cmp(&t.low[0]).then(s.at.cmp(&t.at)));
    let mut open: Vec<usize> = vec![];
    for (k, s) in segments.iter().enumerate() {
        open.retain(|j| segments[*j].high[0] >= s.low[0]);
        for j in &open {
            let t = &segments[*j];
            if t.high[1] < s.low[1] || s.high[1] < t.low[1] {
                continue;
            }
            if let Some(p) = meet(s, t, n) {
                return Some(p);
            }
        }
        open.push(k);
    }
    None
}

fn meet(s: &Segment, t: &Segment, n: usize) -> Option<[f64; 2]> {
    if (s.at + 1) % n == t.at {
        return runs_back(s.a, s.b, t.b);
    }
    if (t.at + 1) % n == s.at {
        return runs_back(t.a, t.b, s.b);
    }
    let (c, d) = (orient(s.a, s.b, t.a), orient(s.a, s.b, t.b));
    let (a, b) = (orient(t.a, t.b, s.a), orient(t.a, t.b, s.b));
    let apart = |p: f64, q: f64| (p > 0.0 && q > 0.0) || (p < 0.0 && q < 0.0);
    if apart(a, b) || apart(c, d) {
        return None;
    }
    let share = if (a - b).abs() > 0.0 { a / (a - b) } else { 0.5 };
    Some([
        s.a[0] + share * (s.b[0] - s.a[0]),
        s.a[1] + share * (s.b[1] - s.a[1]),
    ])
}

/// Two pieces that follow each other, the second back along the first.
fn runs_back(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> Option<[f64; 2]> {
    let forward = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
    (orient(a, b, c) == 0.0 && forward < 0.0).then_some(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bow_tie_is_found_where_it_crosses() {
        let bow = [[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]];
        assert_eq!(of_polygon(&bow), Some([1.0, 1.0]));
        // A corner on another side, and a spike.
        let touch = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [2.0, 0.0], [0.0, 3.0]];
        assert_eq!(of_polygon(&touch), Some([2.0, 0.0]));
        let spike = [
            [0.0, 0.0],
            [4.0, 0.0],
            [4.0, 4.0],
            [6.0, 6.0],
            [3.0, 3.0],
            [0.0, 4.0],
        ];
        assert!(of_polygon(&spike).is_some());
    }

    #[test]
    fn a_star_with_deep_bays_is_simple() {
        let star: Vec<[f64; 2]> = (0..400)
            .map(|i| {
                let r = if i % 2 == 0 { 10.0 } else { 0.5 };
                let (s, c) = (std::f64::consts::TAU * f64::from(i) / 400.0).sin_cos();
                [r * c, r * s]
            })
            .collect();
        assert_eq!(of_polygon(&star), None);
        let mut crossed = star;
        crossed.swap(10, 200);
        assert!(of_polygon(&crossed).is_some());
    }
}
