//! From layers to a chain of cells: sizes that are small where a reaction front may be thin.

use super::chemistry::Law;
use super::edge::FaceLaw;
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
    /// Monomer in the resin mix, and where it boils (K); nothing boils at infinity.
    pub(crate) monomer: f64,
    pub(crate) boils: f64,
    /// Thickness of a reaction front at its hottest, m.
    pub(crate) front: f64,
}

impl Sheet {
    pub(crate) fn reacts(&self) -> bool {
        self.law != Law::Inert
    }

    /// Heat over that at the reference temperature, per heat capacity at it: K.
    pub(crate) fn enthalpy(&self, t: f64) -> f64 {
        (t - self.reference) + 0.5 * self.capacity_slope * (t - self.reference).powi(2)
    }
}

/// Two layers meet with a jump where their starts differ by more than this, K.
pub(super) const JUMP: f64 = 0.5;

/// How a layer is cut: from fine cells at a graded end to coarse ones, linear between.
struct Cut {
    /// Thickness over which it coarsens.
    half: f64,
    /// Size at its first and its last end, where graded.
    ends: [Option<f64>; 2],
    coarse: f64,
}

impl Cut {
    fn new(sheet: &Sheet, graded: [bool; 2]) -> Self {
        let halves = if graded == [true, true] { 2.0 } else { 1.0 };
        let half = sheet.thickness / halves;
        let (fine, coarse) = if sheet.reacts() {
            let coarse = half / 8.0;
            let fine = (0.27 * sheet.front).max(half / 400.0).min(coarse);
            (fine, coarse.min(12.0 * fine).max(half / 40.0))
        } else {
            // What a quick peak sends into a mould stays near the face.
            (half / 12.0, half / 6.0)
        };
        Cut {
            half,
            ends: graded.map(|g| g.then_some(fine)),
            coarse,
        }
    }

    /// Cells from a fine end on.
    fn coarsening(&self, fine: f64, refine: f64) -> Vec<f64> {
        let (half, coarse) = (self.half, self.coarse);
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
        let mut sizes: Vec<f64> = (0..n).map(|i| at(i + 1) - at(i)).collect();
        let sum: f64 = sizes.iter().sum();
        sizes.iter_mut().for_each(|d| *d *= half / sum);
        sizes
    }

    /// Sizes from the first to the last face.
    fn sizes(&self, refine: f64) -> Vec<f64> {
        let [first, last] = self.ends;
        if first.is_none() && last.is_none() {
            let n = cells(refine * self.half / self.coarse);
            #[allow(clippy::cast_precision_loss)]
            return vec![self.half / n as f64; n];
        }
        let mut all = first.map_or(vec![], |f| self.coarsening(f, refine));
        if let Some(f) = last {
            all.extend(self.coarsening(f, refine).iter().rev());
        }
        all
    }
}

/// Where two layers meet with a jump of temperature, heat must take equally long through the cells on both sides: then
/// the face between them is as warm as two half-spaces in contact from the first step on, `(e1 T1 + e2 T2)/(e1 + e2)`
/// with the effusivities `e`, however coarse the cells are.
fn match_jumps(sheets: &[Sheet], cuts: &mut [Cut]) {
    for k in 1..sheets.len() {
        let (before, after) = (&sheets[k - 1], &sheets[k]);
        let (Some(f), Some(g)) = (cuts[k - 1].ends[1], cuts[k].ends[0]) else {
            continue;
        };
        if (before.start - after.start).abs() < JUMP {
            continue;
        }
        let diffusivity = |s: &Sheet| s.conductivity / s.capacity;
        let time = (f * f / diffusivity(before)).min(g * g / diffusivity(after));
        let fine = |s: &Sheet, cut: &Cut| (time * diffusivity(s)).sqrt().max(cut.half / 1000.0);
        cuts[k - 1].ends[1] = Some(fine(before, &cuts[k - 1]));
        cuts[k].ends[0] = Some(fine(after, &cuts[k]));
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
        let mut cuts = Vec::with_capacity(count);
        for (i, s) in sheets.iter().enumerate() {
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
            cuts.push(Cut::new(s, [first, last]));
        }
        match_jumps(sheets, &mut cuts);
        for cut in &cuts {
            g.starts.push(g.size.len());
            g.size.extend(cut.sizes(refine));
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

    /// One sheet closed at its first face, whose area grows as a power of the depth to `area` at its last.
    pub(crate) fn growing(sheet: &Sheet, area: f64, exponent: f64, refine: f64) -> Self {
        let size = Cut::new(sheet, [false, true]).sizes(refine);
        let n = size.len();
        let length = sheet.thickness;
        let whole = area * length / (exponent + 1.0);
        let mut g = Grid {
            starts: vec![0, n],
            area: vec![if exponent > 0.0 { 0.0 } else { area }],
            ..Grid::default()
        };
        let mut x = 0.0;
        for d in &size {
            let (a, b) = (x / length, (x + d) / length);
            g.depth.push(x + 0.5 * d);
            g.volume
                .push(whole * (b.powf(exponent + 1.0) - a.powf(exponent + 1.0)));
            g.area.push(area * b.powf(exponent));
            x += d;
        }
        g.size = size;
        g
    }

    /// The chain of the first `layers` layers at `t`; the end cell at a closed cavity warms the air too.
    pub(crate) fn chain(&self, sheets: &[Sheet], layers: usize, faces: &[FaceLaw; 2], t: f64) -> Chain {
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
        let mut chain = Chain {
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
            first: faces[0].edge(t, self.area[0]),
            last: faces[1].edge(t, self.area[n]),
            varying,
        };
        for (i, area, face) in [(0, self.area[0], &faces[0]), (n - 1, self.area[n], &faces[1])] {
            if let Some(c) = face.closed(t) {
                let body = chain.capacity[i];
                chain.capacity[i] += c.capacity * area;
                chain.rise[i] *= body / chain.capacity[i];
            }
        }
        chain
    }
}
