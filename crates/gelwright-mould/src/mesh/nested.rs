//! Shells that lie within one another.

use std::f64::consts::PI;

use gelwright_base::Cancel;
use gelwright_base::error::{Error, Result};

use super::{Faces, cross, dot, minus, norm};

/// Work beyond which shells are not looked at each within each.
const MOST_WORK: usize = 100_000_000;

pub(crate) struct Shell {
    volume: f64,
    triangles: Vec<u32>,
    low: [f64; 3],
    high: [f64; 3],
}

impl Shell {
    pub(crate) fn all(faces: &Faces, shell: &[u32], shells: usize) -> Vec<Shell> {
        let mut all: Vec<Shell> = (0..shells)
            .map(|_| Shell {
                volume: 0.0,
                triangles: vec![],
                low: [f64::INFINITY; 3],
                high: [f64::NEG_INFINITY; 3],
            })
            .collect();
        for (t, s) in shell.iter().enumerate() {
            let of = &mut all[*s as usize];
            of.triangles.push(t as u32);
            let p = faces.triangles[t].map(|v| faces.vertices[v as usize]);
            for q in p {
                for i in 0..3 {
                    of.low[i] = of.low[i].min(q[i]);
                    of.high[i] = of.high[i].max(q[i]);
                }
            }
        }
        all.iter_mut().for_each(|s| s.settle(faces));
        all
    }

    /// Volume about a point of its own, which keeps its digits.
    fn settle(&mut self, faces: &Faces) {
        let at = |v: u32| faces.vertices[v as usize];
        let o = at(faces.triangles[self.triangles[0] as usize][0]);
        let mut sum = crate::sum::Sum::default();
        for t in &self.triangles {
            let [a, b, c] = faces.triangles[*t as usize].map(|v| minus(at(v), o));
            sum.add(dot(a, cross(b, c)));
        }
        self.volume = sum.value() / 6.0;
    }

    fn may_hold(&self, other: &Shell) -> bool {
        (0..3).all(|i| self.low[i] <= other.low[i] && self.high[i] >= other.high[i])
    }

    /// How often it winds around a point: 1 or -1 inside a closed one, 0 outside.
    fn winds(&self, faces: &Faces, p: [f64; 3]) -> f64 {
        let mut angle = 0.0;
        for t in &self.triangles {
            let [a, b, c] = faces.triangles[*t as usize].map(|v| minus(faces.vertices[v as usize], p));
            let (la, lb, lc) = (norm(a), norm(b), norm(c));
            let side = dot(a, cross(b, c));
            let across = la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb;
            angle += 2.0 * side.atan2(across);
        }
        angle / (4.0 * PI)
    }
}

/// Refuses closed shells whose volumes would be counted wrongly: within one another and facing the same way, or side by side
/// and facing opposite ways. Faces do not cross.
pub(crate) fn sound(faces: &Faces, shells: &[Shell], cancel: Cancel<'_>) -> Result<()> {
    let mut work = 0;
    let mut outer_sign: Option<(f64, usize)> = None;
    for (i, inner) in shells.iter().enumerate() {
        cancel.check()?;
        let [a, b, c] = faces.triangles[inner.triangles[0] as usize].map(|v| faces.vertices[v as usize]);
        let p = super::times(super::plus(a, super::plus(b, c)), 1.0 / 3.0);
        let mut depth = 0i64;
        for (j, outer) in shells.iter().enumerate() {
            let may = i != j && outer.may_hold(inner);
            work += if may { outer.triangles.len() } else { 1 };
            if work > MOST_WORK {
                return Err(Error::out_of_range(
                    "mesh",
                    format!("{} shells", shells.len()),
                    "fewer",
                    "measure the parts one by one",
                ));
            }
            if !may {
                continue;
            }
            depth += outer.winds(faces, p).abs().round() as i64;
        }
        let sign = inner.volume.signum() * if depth % 2 == 0 { 1.0 } else { -1.0 };
        match outer_sign {
            None => outer_sign = Some((sign, i)),
            Some((first, _)) if first == sign => {}
            Some((_, other)) => {
                let [x, y, z] = p;
                return Err(Error::inconsistent(
                    "mesh",
                    format!(
                        "shell {} and shell {} face opposite ways (the latter near ({x:.6}, {y:.6}, {z:.6}) from the middle)",
                        other + 1,
                        i + 1
                    ),
                    "shells side by side facing the same way, a hollow facing the other way",
                    "turn one of them in the drawing program, or measure them one by one",
                ));
            }
        }
    }
    Ok(())
}
