//! From layers to a chain of cells: sizes that are small where a reaction front may be thin.

use super::chemistry::Law;
use super::edge::{Edge, EdgeLaw};
use super::geometry::{Geometry, Grows};
use super::kernel::{Chain, Segment, Varying};

/// A layer in plain SI, checked.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    pub(crate) thickness: f64,
    /// J/(m³ K) at the reference temperature.
    pub(crate) capacity: f64,
    pub(crate) conductivity: f64,
    pub(crate) capacity_slope: f64,
    pub(crate) conductivity_slope: f64,
    pub(crate) reference: f64,
    pub(crate) start: f64,
    pub(crate) laid: f64,
    /// m² K/W to the layer before.
    pub(crate) contact: f64,
    /// Adiabatic rise of a full cure, K.
    pub(crate) rise: f64,
    pub(crate) law: Law,
    pub(crate) seed: f64,
    pub(crate) gel: f64,
    pub(crate) demould: f64,
    /// Thickness of a reaction front at its hottest, m.
    pub(crate) front: f64,
}

impl Sheet {
    pub(crate) fn reacts(&self) -> bool {
        self.law != Law::Inert
    }
}

/// Cells of one layer: sizes from its first to its last face.
fn sizes(sheet: &Sheet, graded_first: bool, graded_last: bool, refine: f64) -> Vec<f64> {
    let length = sheet.thickness;
    let halves = if graded_first && graded_last { 2.0 } else { 1.0 };
    let half = length / halves;
    // Cell size at the graded end and at the far end, linear between.
    let (fine, coarse) = if sheet.reacts() {
        let coarse = half / 8.0;
        let fine = (0.27 * sheet.front).max(half / 400.0).min(coarse);
        (fine, coarse.min(12.0 * fine).max(half / 40.0))
    } else {
        // What a quick peak sends into a mould stays near the face.
        (half / 12.0, half / 6.0)
    };
    if !(graded_first || graded_last) {
        let n = cells(refine * length / coarse);
        #[allow(clippy::cast_precision_loss)]
        return vec![length / n as f64; n];
    }
    let growth = (coarse - fine) / half;
    let per_half = if growth > 1e-9 {
        (coarse / fine).ln() / growth
    } else {
        half / fine
    };
    let n = cells(refine * per_half);
    // Boundaries at equal steps of the integral of 1/size, measured from the fine end.
    #[allow(clippy::cast_precision_loss)]
    let at = |i: usize| {
        let share = i as f64 / n as f64;
        if growth > 1e-9 {
            fine / growth * ((share * (coarse / fine).ln()).exp() - 1.0)
        } else {
            half * share
        }
    };
    let mut from_fine: Vec<f64> = (0..n).map(|i| at(i + 1) - at(i)).collect();
    let sum: f64 = from_fine.iter().sum();
    from_fine.iter_mut().for_each(|d| *d *= half / sum);
    match (graded_first, graded_last) {
        (true, true) => {
            let mut all = from_fine.clone();
            all.extend(from_fine.iter().rev());
            all
        }
        (true, false) => from_fine,
        _ => {
            from_fine.reverse();
            from_fine
        }
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn cells(n: f64) -> usize {
    (n.round() as usize).max(2)
}

/// Where the cells lie.
#[derive(Debug, Clone, Default)]
pub(crate) struct Grid {
    /// Size of each cell, m.
    pub(crate) size: Vec<f64>,
    /// Depth of each centre below the first face, m.
    pub(crate) depth: Vec<f64>,
    /// Volume of each cell per reference (m² of a plane, m of a cylinder, the whole of a sphere).
    pub(crate) volume: Vec<f64>,
    /// Area of each cell's first face; one more than cells.
    pub(crate) area: Vec<f64>,
    /// First cell of each layer, and the end.
    pub(crate) starts: Vec<usize>,
}

impl Grid {
    /// Cells of all layers. `closed`: no heat passes the first, the last face.
    pub(crate) fn new(
        sheets: &[Sheet],
        form: Geometry,
        radius: f64,
        grows: Grows,
        closed: [bool; 2],
        refine: f64,
    ) -> Self {
        let mut g = Grid::default();
        let count = sheets.len();
        for (i, s) in sheets.iter().enumerate() {
            g.starts.push(g.size.len());
            let joined = |j: usize| sheets[j].reacts() && sheets[j].laid == s.laid;
            let first = if i == 0 {
                !closed[0]
            } else {
                !(s.reacts() && joined(i - 1))
            };
            let last = if i + 1 == count {
                !closed[1]
            } else {
                !(s.reacts() && joined(i + 1))
            };
            g.size.extend(sizes(s, first, last, refine));
        }
        g.starts.push(g.size.len());
        let place = |depth: f64| match grows {
            Grows::Outward => radius + depth,
            Grows::Inward => (radius - depth).max(0.0),
        };
        let area = |depth: f64| match form {
            Geometry::Plane => 1.0,
            Geometry::Cylinder => 2.0 * std::f64::consts::PI * place(depth),
            Geometry::Sphere => 4.0 * std::f64::consts::PI * place(depth).powi(2),
        };
        let volume = |a: f64, b: f64| match form {
            Geometry::Plane => b - a,
            Geometry::Cylinder => std::f64::consts::PI * (place(b).powi(2) - place(a).powi(2)).abs(),
            Geometry::Sphere => {
                4.0 / 3.0 * std::f64::consts::PI * (place(b).powi(3) - place(a).powi(3)).abs()
            }
        };
        let mut x = 0.0;
        g.area.push(area(0.0));
        for d in &g.size {
            g.depth.push(x + 0.5 * d);
            g.volume.push(volume(x, x + d));
            x += d;
            g.area.push(area(x));
        }
        g
    }

    /// The chain of the first `layers` layers.
    pub(crate) fn chain(&self, sheets: &[Sheet], layers: usize, first: EdgeLaw, last: EdgeLaw) -> Chain {
        let n = self.starts[layers];
        let sheet_of = |i: usize| &sheets[self.starts.partition_point(|&s| s <= i) - 1];
        let half = |i: usize| 0.5 * self.size[i] / sheet_of(i).conductivity;
        let mut conductance = vec![0.0; n + 1];
        let mut near = vec![0.0; n];
        let mut far = vec![0.0; n];
        let mut contact = vec![0.0; n + 1];
        for i in 0..n {
            near[i] = if self.area[i] > 0.0 {
                half(i) / self.area[i]
            } else {
                0.0
            };
            far[i] = if self.area[i + 1] > 0.0 {
                half(i) / self.area[i + 1]
            } else {
                0.0
            };
        }
        for k in 1..layers {
            let j = self.starts[k];
            contact[j] = sheets[k].contact / self.area[j];
        }
        // At a centre (no area) the conductance to the face only has to be finite: no heat passes.
        conductance[0] = if near[0] > 0.0 { 1.0 / near[0] } else { 1.0 };
        conductance[n] = if far[n - 1] > 0.0 { 1.0 / far[n - 1] } else { 1.0 };
        for j in 1..n {
            conductance[j] = 1.0 / (far[j - 1] + contact[j] + near[j]);
        }
        let varies = sheets[..layers]
            .iter()
            .any(|s| s.capacity_slope != 0.0 || s.conductivity_slope != 0.0);
        let of = |f: fn(&Sheet) -> f64| (0..n).map(|i| f(sheet_of(i))).collect::<Vec<f64>>();
        let varying = varies.then(|| Varying {
            near,
            far,
            contact,
            conductivity_slope: of(|s| s.conductivity_slope),
            capacity_slope: of(|s| s.capacity_slope),
            reference: of(|s| s.reference),
        });
        Chain {
            capacity: (0..n).map(|i| sheet_of(i).capacity * self.volume[i]).collect(),
            conductance,
            rise: of(|s| s.rise),
            segments: (0..layers)
                .map(|k| Segment {
                    start: self.starts[k],
                    end: self.starts[k + 1],
                    law: sheets[k].law,
                })
                .collect(),
            first: Edge::new(first, self.area[0]),
            last: Edge::new(last, self.area[n]),
            varying,
        }
    }
}
