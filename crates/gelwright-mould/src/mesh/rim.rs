//! Rims and the flat caps that close them.

use super::{Faces, cross, dot, minus, norm, plus, times};

pub(crate) struct Rim {
    pub(crate) length: f64,
    /// The area vector of the run of the faces along it: that of its cap is the other way.
    pub(crate) normal: [f64; 3],
    pub(crate) centre: [f64; 3],
    /// Farthest point from the cap's plane.
    pub(crate) off_plane: f64,
    /// Whether the rim crosses itself seen along the cap's normal.
    pub(crate) crosses: bool,
    pub(crate) corners: usize,
}

impl Rim {
    pub(crate) fn of(run: &[u32], faces: &Faces) -> Rim {
        let p: Vec<[f64; 3]> = run.iter().map(|v| faces.vertices[*v as usize]).collect();
        let n = p.len();
        let next = |i: usize| p[(i + 1) % n];
        let length = (0..n).map(|i| norm(minus(next(i), p[i]))).sum::<f64>();
        let centre = times(p.iter().copied().fold([0.0; 3], plus), 1.0 / n as f64);
        let normal = (0..n)
            .map(|i| cross(minus(p[i], centre), minus(next(i), centre)))
            .fold([0.0; 3], plus);
        let normal = times(normal, 0.5);
        let area = norm(normal);
        let (off_plane, crosses) = if area > 0.0 {
            let up = times(normal, 1.0 / area);
            let off = p
                .iter()
                .map(|q| dot(minus(*q, centre), up).abs())
                .fold(0.0, f64::max);
            (off, seen_along(up, &p))
        } else {
            (0.0, false)
        };
        Rim {
            length,
            normal,
            centre,
            off_plane,
            crosses,
            corners: n,
        }
    }

    pub(crate) fn area(&self) -> f64 {
        norm(self.normal)
    }

    /// What the cap adds to six times the volume of the open mesh.
    pub(crate) fn six_volumes(&self) -> f64 {
        -2.0 * dot(self.centre, self.normal)
    }
}

/// Whether a run of points crosses itself seen along a direction.
fn seen_along(up: [f64; 3], p: &[[f64; 3]]) -> bool {
    let least = (0..3)
        .min_by(|i, j| up[*i].abs().total_cmp(&up[*j].abs()))
        .unwrap_or(0);
    let mut axis = [0.0; 3];
    axis[least] = 1.0;
    let u = cross(up, axis);
    let v = cross(up, u);
    let mut flat: Vec<[f64; 2]> = p.iter().map(|q| [dot(*q, u), dot(*q, v)]).collect();
    flat.dedup();
    crate::crossing::of_polygon(&flat).is_some()
}
