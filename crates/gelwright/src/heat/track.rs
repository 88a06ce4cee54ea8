//! What is kept of a run while it steps: peaks between steps, crossings, heat through the faces.

use super::grid::{Grid, Sheet};
use super::kernel::{Chain, Step};

/// A highest value with its time and cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Top {
    pub(crate) value: f64,
    pub(crate) time: f64,
    pub(crate) cell: usize,
}

impl Default for Top {
    fn default() -> Self {
        Top {
            value: f64::NEG_INFINITY,
            time: 0.0,
            cell: 0,
        }
    }
}

/// A watched temperature at a point between cells (a face, an interface): highest value by a parabola through
/// three steps.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Watch {
    pub(crate) top: Top,
    last: [(f64, f64); 2],
}

impl Watch {
    pub(crate) fn new() -> Self {
        Watch {
            top: Top::default(),
            last: [(f64::NEG_INFINITY, f64::NAN); 2],
        }
    }
    fn see(&mut self, t: f64, y: f64) {
        let [(t0, y0), (t1, y1)] = self.last;
        if y > self.top.value {
            self.top = Top {
                value: y,
                time: t,
                cell: 0,
            };
        }
        if t0.is_finite() && y1 > y0 && y1 > y && y1 >= self.top.value {
            let (a, b) = ((y1 - y0) / (t1 - t0), (y - y1) / (t - t1));
            let curvature = (b - a) / (t - t0);
            // Slope zero of the parabola through the three points.
            let top = 0.5 * (t0 + t1) - a / (2.0 * curvature);
            let value = y1 + (top - t1) * (a + curvature * (top - t0));
            if value.is_finite() && value > self.top.value && value < y1 + (y1 - y0).max(y1 - y) {
                self.top = Top {
                    value,
                    time: top,
                    cell: 0,
                };
            }
        }
        self.last = [(t1, y1), (t, y)];
    }
    pub(crate) fn now(&self) -> f64 {
        self.last[1].1
    }
}

/// Of one layer.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LayerTrack {
    pub(crate) top: Top,
    pub(crate) gel_first: f64,
    pub(crate) gel_last: f64,
    gelled: usize,
    pub(crate) demould: f64,
    demoulded: usize,
}

/// Faster than this (K/s) nothing cures: it explodes, and the run is stopped.
pub(crate) const EXPLODES: f64 = 1e7;

/// Of a run.
#[derive(Debug)]
pub(crate) struct Track {
    pub(crate) layers: Vec<LayerTrack>,
    /// Mean rise of each cell over the last step, K/s; NaN before its first.
    chord: Vec<f64>,
    /// Time above the limit of each cell, s.
    pub(crate) above: Vec<f64>,
    limit: f64,
    /// First face, interfaces between layers, last face.
    pub(crate) watches: Vec<Watch>,
    /// Heat that has come in through the first and the last face, J.
    pub(crate) heat_in: [f64; 2],
    /// Steepest temperature gradient, K/m.
    pub(crate) gradient: Top,
    /// Fastest rise of any cell, K/s.
    pub(crate) rise: Top,
    /// Largest difference between the hottest and the coldest cell of the reacting layers, K.
    pub(crate) spread: Top,
    pub(crate) hottest_now: f64,
    /// Fastest rise of any cell at the last step, K/s.
    pub(crate) rising_now: f64,
    /// When the hottest cell first passed the ceiling.
    pub(crate) runaway: Option<f64>,
    ceiling: f64,
    falling: bool,
    pub(crate) record: Option<Record>,
}

/// Temperatures and conversions at chosen times.
#[derive(Debug)]
pub(crate) struct Record {
    pub(crate) times: Vec<f64>,
    next: usize,
    pub(crate) cells: usize,
    /// Row after row; NaN where not yet laid.
    pub(crate) temperature: Vec<f64>,
    pub(crate) cure: Vec<f64>,
}

impl Record {
    pub(crate) fn new(times: Vec<f64>, cells: usize) -> Self {
        let room = times.len() * cells;
        Record {
            times,
            next: 0,
            cells,
            temperature: vec![f64::NAN; room],
            cure: vec![f64::NAN; room],
        }
    }
    pub(crate) fn rows(&self) -> usize {
        self.next
    }
    /// State at the very start of a stage.
    pub(crate) fn start(&mut self, t: f64, temperature: &[f64], cure: &[f64]) {
        while self.next < self.times.len() && self.times[self.next] <= t {
            let at = self.next * self.cells;
            self.temperature[at..at + temperature.len()].copy_from_slice(temperature);
            self.cure[at..at + cure.len()].copy_from_slice(cure);
            self.next += 1;
        }
    }
    fn step(&mut self, s: &Step) {
        while self.next < self.times.len() && self.times[self.next] <= s.t1 {
            let x = (self.times[self.next] - s.t0) / (s.t1 - s.t0);
            let h = s.t1 - s.t0;
            let at = self.next * self.cells;
            for i in 0..s.n {
                let b = [s.before.temperature[i], s.after.temperature[i]];
                let f = [s.slope_before.temperature[i], s.slope_after.temperature[i]];
                // Slopes that are far from the chord are those of `believable`'s cells: a straight line is better.
                let rise = b[1] - b[0];
                let bent = f.iter().any(|f| (f * h - rise).abs() > 3.0 * rise.abs() + BENT);
                self.temperature[at + i] = if bent {
                    b[0] + x * rise
                } else {
                    hermite(x, h, b, f)
                };
                let a = [s.before.cure[i], s.after.cure[i]];
                self.cure[at + i] = hermite(x, h, a, [s.slope_before.cure[i], s.slope_after.cure[i]])
                    .clamp(a[0].min(a[1]), a[1].max(a[0]));
            }
            self.next += 1;
        }
    }
}

/// A cubic whose slopes would carry it this much further over the step than it goes (K) bulges by a seventh of it.
const BENT: f64 = 10.0;

/// Cubic through both ends of a step with their slopes, at the share `x` of it.
fn hermite(x: f64, h: f64, y: [f64; 2], f: [f64; 2]) -> f64 {
    let z = 1.0 - x;
    z * z * ((1.0 + 2.0 * x) * y[0] + x * h * f[0]) + x * x * ((1.0 + 2.0 * z) * y[1] - z * h * f[1])
}

/// Share of the step at which the cubic crosses `target`; the ends lie on both sides of it.
pub(crate) fn crossing(target: f64, h: f64, y: [f64; 2], f: [f64; 2]) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    let up = y[1] > y[0];
    for _ in 0..40 {
        let mid = 0.5 * (low + high);
        if (hermite(mid, h, y, f) >= target) == up {
            high = mid;
        } else {
            low = mid;
        }
    }
    0.5 * (low + high)
}

/// Whether the slopes at both ends of a step, up and down, are borne out by the steps' chords. Of a cell that follows
/// its surroundings far faster than the steps go, a slope is an error of the temperature over its time constant: a
/// hundredth of a kelvin becomes any number of kelvin per second, and the cubic through it a peak of any height. Such a
/// cell is hottest where its surroundings are: at a corner of their course, where a step ends.
fn believable(f: [f64; 2], before: f64, chord: f64) -> bool {
    // Even a reaction that grows tenfold within a step ends it at less than three times its chord; and a cubic that
    // is near a parabola has the mean of its slopes for its chord.
    (before.is_nan() || f[0] <= 3.0 * before) && (chord - 0.5 * (f[0] + f[1])).abs() <= 0.25 * (f[0] - f[1])
}

/// Largest value of the cubic within the step and its share; the slopes change sign from + to -.
pub(crate) fn summit(h: f64, y: [f64; 2], f: [f64; 2]) -> (f64, f64) {
    // Derivative: a x² + b x + c with c = h f0 > 0 and value h f1 < 0 at 1.
    let d = y[1] - y[0];
    let (c, e) = (h * f[0], h * f[1]);
    let a = 3.0 * (c + e) - 6.0 * d;
    let b = 6.0 * d - 4.0 * c - 2.0 * e;
    let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
    // The root in 0..1 without cancellation (c > 0, value at 1 < 0: exactly one sign change).
    let x = if b < 0.0 {
        2.0 * c / (-b + root)
    } else {
        (-b - root) / (2.0 * a)
    };
    let x = if x.is_finite() { x.clamp(0.0, 1.0) } else { 1.0 };
    (hermite(x, h, y, f), x)
}

impl Track {
    pub(crate) fn new(
        sheets: &[Sheet],
        grid: &Grid,
        limit: f64,
        ceiling: f64,
        record: Option<Record>,
    ) -> Self {
        let n = grid.size.len();
        Track {
            layers: sheets
                .iter()
                .map(|_| LayerTrack {
                    top: Top::default(),
                    gel_first: f64::NAN,
                    gel_last: f64::NAN,
                    gelled: 0,
                    demould: f64::NAN,
                    demoulded: 0,
                })
                .collect(),
            chord: vec![f64::NAN; n],
            above: vec![0.0; n],
            limit,
            watches: vec![Watch::new(); sheets.len() + 1],
            heat_in: [0.0; 2],
            gradient: Top::default(),
            rise: Top::default(),
            spread: Top::default(),
            hottest_now: f64::NEG_INFINITY,
            rising_now: 0.0,
            runaway: None,
            ceiling,
            falling: false,
            record,
        }
    }

    /// A stage begins with `layers` layers in the given state.
    pub(crate) fn start(
        &mut self,
        sheets: &[Sheet],
        grid: &Grid,
        layers: usize,
        t: f64,
        temperature: &[f64],
        cure: &[f64],
    ) {
        for (k, (l, s)) in self.layers.iter_mut().zip(sheets).enumerate().take(layers) {
            for i in grid.starts[k]..grid.starts[k + 1] {
                if temperature[i] > l.top.value {
                    l.top = Top {
                        value: temperature[i],
                        time: t,
                        cell: i,
                    };
                }
            }
            if s.reacts() && s.laid == t && s.seed >= s.gel && l.gelled == 0 {
                (l.gel_first, l.gel_last, l.gelled) = (t, t, grid.starts[k + 1] - grid.starts[k]);
            }
        }
        if let Some(r) = &mut self.record {
            r.start(
                t,
                &temperature[..grid.starts[layers]],
                &cure[..grid.starts[layers]],
            );
        }
    }

    /// Whether all is past its peak, gelled (and fit to demould where a criterion is given), and falling.
    pub(crate) fn settled(&self, sheets: &[Sheet], grid: &Grid) -> bool {
        self.falling
            && self.layers.iter().zip(sheets).enumerate().all(|(k, (l, s))| {
                let n = grid.starts[k + 1] - grid.starts[k];
                !s.reacts() || (l.gelled == n && (s.demould.is_nan() || l.demoulded == n))
            })
            && {
                let top = self
                    .layers
                    .iter()
                    .fold(f64::NEG_INFINITY, |m, l| m.max(l.top.value));
                self.hottest_now < top - 2.0
            }
    }

    /// After every accepted step.
    pub(crate) fn step(&mut self, s: &Step, sheets: &[Sheet], grid: &Grid, layers: usize, chain: &ChainView) {
        let h = s.t1 - s.t0;
        let (mut hottest, mut coldest, mut warmest) = (f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY);
        let (mut falling, mut rising) = (true, f64::NEG_INFINITY);
        for k in 0..layers {
            let sheet = &sheets[k];
            let track = &mut self.layers[k];
            let cells = grid.starts[k]..grid.starts[k + 1];
            for i in cells.clone() {
                let y = [s.before.temperature[i], s.after.temperature[i]];
                let f = [s.slope_before.temperature[i], s.slope_after.temperature[i]];
                if y[1] > track.top.value {
                    track.top = Top {
                        value: y[1],
                        time: s.t1,
                        cell: i,
                    };
                }
                let chord = (y[1] - y[0]) / h;
                let before = std::mem::replace(&mut self.chord[i], chord);
                if f[0] > 0.0
                    && f[1] < 0.0
                    && y[0].max(y[1]) + 0.15 * h * (f[0] - f[1]) > track.top.value
                    && believable(f, before, chord)
                {
                    let (value, x) = summit(h, y, f);
                    if value > track.top.value {
                        track.top = Top {
                            value,
                            time: s.t0 + x * h,
                            cell: i,
                        };
                    }
                }
                if f[1] > rising && sheet.reacts() {
                    rising = f[1];
                    if rising > self.rise.value {
                        self.rise = Top {
                            value: rising,
                            time: s.t1,
                            cell: i,
                        };
                    }
                }
                falling &= f[1] <= 1e-4;
                hottest = hottest.max(y[1]);
                if sheet.reacts() {
                    coldest = coldest.min(y[1]);
                    warmest = warmest.max(y[1]);
                }
                if y[0].max(y[1]) > self.limit {
                    self.above[i] += if y[0] >= self.limit && y[1] >= self.limit {
                        h
                    } else {
                        let x = crossing(self.limit, h, y, f);
                        if y[1] >= self.limit { (1.0 - x) * h } else { x * h }
                    };
                }
            }
            if sheet.reacts() {
                let n = cells.len();
                let goals = [(sheet.gel, true), (sheet.demould, false)];
                for (goal, gel) in goals {
                    let done = if gel { track.gelled } else { track.demoulded };
                    if goal.is_nan() || done == n {
                        continue;
                    }
                    for i in cells.clone() {
                        let y = [s.before.cure[i], s.after.cure[i]];
                        if y[0] < goal && y[1] >= goal {
                            let f = [s.slope_before.cure[i], s.slope_after.cure[i]];
                            let t = s.t0 + h * crossing(goal, h, y, f);
                            if gel {
                                track.gelled += 1;
                                track.gel_first = track.gel_first.min(t);
                                track.gel_last = track.gel_last.max(t);
                            } else {
                                track.demoulded += 1;
                                track.demould = track.demould.max(t);
                            }
                        }
                    }
                }
            }
        }
        self.hottest_now = hottest;
        self.falling = falling;
        self.rising_now = rising;
        if (hottest > self.ceiling || rising > EXPLODES) && self.runaway.is_none() {
            self.runaway = Some(s.t1);
        }
        if warmest - coldest > self.spread.value {
            self.spread = Top {
                value: warmest - coldest,
                time: s.t1,
                cell: 0,
            };
        }
        let t = &s.after.temperature;
        for j in 1..s.n {
            let slope = (t[j] - t[j - 1]).abs() / (0.5 * (grid.size[j] + grid.size[j - 1]));
            if slope > self.gradient.value && !chain.bounds.contains(&j) {
                self.gradient = Top {
                    value: slope,
                    time: s.t1,
                    cell: j,
                };
            }
        }
        // Faces and interfaces.
        let edges = &s.slope_after.edges;
        self.watches[0].see(s.t1, edges[0].surface);
        for k in 1..layers {
            let j = grid.starts[k];
            let share = chain.near_share[k];
            self.watches[k].see(s.t1, t[j - 1] + (t[j] - t[j - 1]) * share);
        }
        self.watches[layers].see(s.t1, edges[1].surface);
        self.heat_in[0] += s.heat_in[0];
        self.heat_in[1] += s.heat_in[1];
        if let Some(r) = &mut self.record {
            r.step(s);
        }
    }
}

/// What the observer needs of the chain while the kernel holds it.
#[derive(Debug, Default)]
pub(crate) struct ChainView {
    /// Cells that begin a layer.
    pub(crate) bounds: Vec<usize>,
    /// Share of the resistance between the cells on both sides of an interface that lies before it.
    pub(crate) near_share: Vec<f64>,
}

impl ChainView {
    pub(crate) fn new(grid: &Grid, sheets: &[Sheet], layers: usize, chain: &Chain) -> Self {
        let mut view = ChainView {
            bounds: vec![],
            near_share: vec![0.0],
        };
        for k in 1..layers {
            let j = grid.starts[k];
            view.bounds.push(j);
            let before = 0.5 * grid.size[j - 1] / sheets[k - 1].conductivity / grid.area[j];
            view.near_share.push(before * chain.conductance[j]);
        }
        view
    }
}

impl LayerTrack {
    pub(crate) fn all_gelled(&self, cells: usize) -> bool {
        self.gelled == cells
    }
    pub(crate) fn all_demoulded(&self, cells: usize) -> bool {
        self.demoulded == cells
    }
}
