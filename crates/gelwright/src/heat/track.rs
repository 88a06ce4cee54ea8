//! What is kept of a run while it steps: peaks between steps, crossings, heat through the faces.

use super::alike_glance::{Glance, View};
use super::boiling::{Boil, vapour_pressure};
use super::cubic::{Cubic, no_higher};
use super::edge::Flow;
use super::grid::{Grid, Sheet};
use super::kernel::{Chain, Step, Workspace};
use super::vector::{Wide, greatest, widest};

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
    /// What it is before the first step.
    fn starts(&mut self, t: f64, y: f64) {
        if y > self.top.value {
            self.top = Top {
                value: y,
                time: t,
                cell: 0,
            };
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
            let (top, value) = crest([t0, t1, t], [y0, y1, y]);
            if value > self.top.value && value < y1 + (y1 - y0).max(y1 - y) {
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

/// Where the parabola through three points is highest, and how high; the middle point where it has no crest between
/// the outer two.
fn crest(x: [f64; 3], y: [f64; 3]) -> (f64, f64) {
    let (a, b) = ((y[1] - y[0]) / (x[1] - x[0]), (y[2] - y[1]) / (x[2] - x[1]));
    let curvature = (b - a) / (x[2] - x[0]);
    let at = 0.5 * (x[0] + x[1]) - a / (2.0 * curvature);
    if curvature < 0.0 && at > x[0] && at < x[2] {
        (at, y[1] + (at - x[1]) * (a + curvature * (at - x[0])))
    } else {
        (x[1], y[1])
    }
}

/// Of one layer.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LayerTrack {
    /// Hottest cell.
    pub(crate) top: Top,
    /// Hottest point, between cells: depth below the first face and temperature.
    pub(crate) hottest: (f64, f64),
    pub(crate) gel_first: f64,
    pub(crate) gel_last: f64,
    /// How fast what gels last cures then, 1/s.
    pub(crate) gel_rate: f64,
    gelled: usize,
    pub(crate) demould: f64,
    demoulded: usize,
    pub(super) boil: Boil,
}

/// Faster than this (K/s) nothing cures: it explodes, and the run is stopped.
pub(crate) const EXPLODES: f64 = 1e7;

/// Of a run.
#[derive(Debug)]
pub(crate) struct Track {
    pub(crate) layers: Vec<LayerTrack>,
    /// Time above the limit of each cell, s.
    pub(crate) above: Vec<f64>,
    limit: f64,
    /// First face, interfaces between layers, last face.
    pub(crate) watches: Vec<Watch>,
    /// Heat that has come in through the first and the last face, J.
    pub(crate) heat_in: [f64; 2],
    /// Of that, what evaporation took, J.
    pub(crate) evaporated: f64,
    /// What was asked for by time, row after row.
    pub(crate) kept: Vec<Kept>,
    /// Steepest temperature gradient, K/m.
    pub(crate) gradient: Top,
    /// Fastest rise of any cell, K/s.
    pub(crate) rise: Top,
    /// Largest difference between the hottest and the coldest cell of the reacting layers, K.
    pub(crate) spread: Top,
    /// Largest difference within a layer of conversion past gel.
    pub(crate) uneven: f64,
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
    /// Conversions of all cells where it ends.
    pub(crate) fn last_cure(&self) -> Option<&[f64]> {
        let last = self.next.checked_sub(1)?;
        self.cure.get(last * self.cells..self.next * self.cells)
    }
    /// Times and temperatures of a cell since it is laid.
    pub(crate) fn of_cell(&self, i: usize) -> Vec<(f64, f64)> {
        let rows = self
            .times
            .iter()
            .zip(self.temperature.chunks(self.cells))
            .take(self.next);
        rows.map(|(t, row)| (*t, row[i]))
            .filter(|(_, kelvin)| !kelvin.is_nan())
            .collect()
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
            let at = self.next * self.cells;
            widest(Within {
                step: s,
                x: (self.times[self.next] - s.t0) / (s.t1 - s.t0),
                temperature: &mut self.temperature[at..at + s.n],
                cure: &mut self.cure[at..at + s.n],
            });
            self.next += 1;
        }
    }
}

/// What all cells are at a share of a step.
struct Within<'a> {
    step: &'a Step<'a>,
    x: f64,
    temperature: &'a mut [f64],
    cure: &'a mut [f64],
}

impl Wide for Within<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        let (s, n) = (self.step, self.temperature.len());
        let (before, after) = (&s.before.temperature[..n], &s.after.temperature[..n]);
        let (from, to) = (&s.slope_before.temperature[..n], &s.slope_after.temperature[..n]);
        let (bend, twist) = (&s.bend[..n], &s.twist[..n]);
        for (i, at) in self.temperature.iter_mut().enumerate() {
            let y = [before[i], after[i]];
            *at = s.between(y, [from[i], to[i]], (bend[i], twist[i])).at(self.x);
        }
        let (before, after) = (&s.before.cure[..n], &s.after.cure[..n]);
        let (from, to) = (&s.slope_before.cure[..n], &s.slope_after.cure[..n]);
        for (i, at) in self.cure.iter_mut().enumerate() {
            let a = [before[i], after[i]];
            let x = Cubic::hermite(s.t1 - s.t0, a, [from[i], to[i]]).at(self.x);
            let (low, high) = if a[0] < a[1] { (a[0], a[1]) } else { (a[1], a[0]) };
            let x = if x < low { low } else { x };
            *at = if x > high { high } else { x };
        }
    }
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
                    hottest: (0.0, f64::NEG_INFINITY),
                    gel_first: f64::NAN,
                    gel_last: f64::NAN,
                    gel_rate: f64::INFINITY,
                    gelled: 0,
                    demould: f64::NAN,
                    demoulded: 0,
                    boil: Boil::NONE,
                })
                .collect(),
            above: vec![0.0; n],
            limit,
            watches: vec![Watch::new(); sheets.len() + 1],
            heat_in: [0.0; 2],
            evaporated: 0.0,
            kept: vec![],
            gradient: Top::default(),
            rise: Top::default(),
            spread: Top::default(),
            uneven: 0.0,
            hottest_now: f64::NEG_INFINITY,
            rising_now: 0.0,
            runaway: None,
            ceiling,
            falling: false,
            record,
        }
    }

    /// Faces of layers just laid, but for one that is held, are as warm as these: the first step's half cell would hide it.
    pub(crate) fn faces_start(&mut self, sheets: &[Sheet], layers: usize, t: f64, held: [bool; 2]) {
        if t == 0.0 && !held[0] {
            self.watches[0].starts(t, sheets[0].start);
        }
        if sheets[layers - 1].laid == t && !held[1] {
            self.watches[layers].starts(t, sheets[layers - 1].start);
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
                    l.hottest = (grid.depth[i], temperature[i]);
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
        let (mut rising, mut fastest) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for k in 0..layers {
            let sheet = &sheets[k];
            let cells = grid.starts[k]..grid.starts[k + 1];
            let now = widest(Extremes {
                step: s,
                cells: cells.clone(),
            });
            hottest = hottest.max(now.hottest);
            fastest = fastest.max(now.rising);
            if sheet.reacts() {
                coldest = coldest.min(now.coldest);
                warmest = warmest.max(now.hottest);
                rising = rising.max(now.rising);
                if now.rising > self.rise.value {
                    for i in cells.clone() {
                        let value = s.temperature_of(i).end_slope() / h;
                        if value > self.rise.value {
                            self.rise = Top {
                                value,
                                time: s.t1,
                                cell: i,
                            };
                        }
                    }
                }
                // Where nothing has gelled this is 0; a layer without a gel criterion is not counted.
                let past_gel = (now.most_cured - sheet.gel).max(0.0) - (now.least_cured - sheet.gel).max(0.0);
                self.uneven = self.uneven.max(past_gel);
                self.layers[k].goals(s, sheet, cells.clone());
            }
            if now.hottest > sheet.boils {
                self.layers[k].boils(s, sheet, cells.clone());
            }
            if now.may_reach > self.layers[k].top.value {
                self.layers[k].tops(s, cells.clone(), grid);
            }
            if now.hottest.max(now.hottest_before) > self.limit {
                for i in cells {
                    let y = [s.before.temperature[i], s.after.temperature[i]];
                    if y[0].max(y[1]) > self.limit {
                        self.above[i] += if y[0] >= self.limit && y[1] >= self.limit {
                            h
                        } else {
                            let x = s.temperature_of(i).crossing(self.limit);
                            if y[1] >= self.limit { (1.0 - x) * h } else { x * h }
                        };
                    }
                }
            }
        }
        self.is_now(s.t1, hottest, (fastest, rising));
        if warmest - coldest > self.spread.value {
            self.spread = Top {
                value: warmest - coldest,
                time: s.t1,
                cell: 0,
            };
        }
        let t = &s.after.temperature;
        let steepest = widest(Steepest {
            temperature: &t[..s.n],
            per_distance: &chain.per_distance,
        });
        if steepest > self.gradient.value {
            let slope = |j: usize| (t[j] - t[j - 1]).abs() * chain.per_distance[j - 1];
            self.gradient = Top {
                value: steepest,
                time: s.t1,
                cell: (1..s.n).find(|&j| slope(j) == steepest).unwrap_or(1),
            };
        }
        self.watch(s.t1, &s.slope_after.edges, grid, layers, chain, |i| t[i]);
        self.heat_in[0] += s.heat_in[0];
        self.heat_in[1] += s.heat_in[1];
        if let Some(r) = &mut self.record {
            r.step(s);
        }
    }

    /// After a step of one of many bodies side by side, which end at `end`: what is read of those, without what a whole answer says
    /// beside it. A layer all of which still rises has its peak yet to come.
    pub(super) fn glance(
        &mut self,
        g: &Glance,
        view: &mut View,
        (sheets, grid): (&[Sheet], &Grid),
        layers: usize,
        chain: &ChainView,
        end: f64,
    ) {
        let last = g.sides.t1 >= end;
        let (mut hottest, mut rising, mut fastest) =
            (f64::NEG_INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (k, sheet) in sheets.iter().enumerate().take(layers) {
            let (now, cells) = (g.layer(k), grid.starts[k]..grid.starts[k + 1]);
            let layer = &mut self.layers[k];
            hottest = hottest.max(now.hottest);
            fastest = fastest.max(now.rising);
            let mut goals = false;
            if sheet.reacts() {
                rising = rising.max(now.rising);
                goals = (now.most_cured >= sheet.gel && !layer.all_gelled(cells.len()))
                    || (now.most_cured >= sheet.demould && !layer.all_demoulded(cells.len()));
            }
            let stops = last || now.hottest > self.ceiling || now.rising > EXPLODES;
            let turns = stops || now.least_rising <= 0.0;
            let tops = turns && now.may_reach > layer.top.value;
            if goals || tops {
                let s = g.step(view);
                if goals {
                    layer.goals(&s, sheet, cells.clone());
                }
                if tops {
                    layer.tops(&s, cells, grid);
                }
            }
        }
        let t1 = g.sides.t1;
        self.is_now(t1, hottest, (fastest, rising));
        self.watch(t1, &g.edges(), grid, layers, chain, |i| g.temperature(i));
    }

    /// At the end of a step, where what rises fastest is any cell, or one that reacts.
    fn is_now(&mut self, t1: f64, hottest: f64, (fastest, rising): (f64, f64)) {
        self.hottest_now = hottest;
        self.falling = fastest <= 1e-4;
        self.rising_now = rising;
        if (hottest > self.ceiling || rising > EXPLODES) && self.runaway.is_none() {
            self.runaway = Some(t1);
        }
    }

    /// Faces and interfaces.
    fn watch(
        &mut self,
        t1: f64,
        edges: &[Flow; 2],
        grid: &Grid,
        layers: usize,
        chain: &ChainView,
        t: impl Fn(usize) -> f64,
    ) {
        self.watches[0].see(t1, edges[0].surface);
        for k in 1..layers {
            let j = grid.starts[k];
            let share = chain.near_share[k];
            self.watches[k].see(t1, t(j - 1) + (t(j) - t(j - 1)) * share);
        }
        self.watches[layers].see(t1, edges[1].surface);
    }
}

/// Extremes of a run of cells in one step.
struct Extreme {
    hottest: f64,
    hottest_before: f64,
    coldest: f64,
    most_cured: f64,
    least_cured: f64,
    /// Fastest rise at the step's end, K/s.
    rising: f64,
    /// No cell's cubic goes higher than this.
    may_reach: f64,
}

struct Extremes<'a> {
    step: &'a Step<'a>,
    cells: std::ops::Range<usize>,
}

impl Wide for Extremes<'_> {
    type Answer = Extreme;
    #[inline(always)]
    fn run<const F: bool>(self) -> Extreme {
        let (s, c) = (self.step, self.cells);
        let (before, after) = (&s.before.temperature[c.clone()], &s.after.temperature[c.clone()]);
        let cure = &s.after.cure[c.clone()];
        let (bend, twist) = (&s.bend[c.clone()], &s.twist[c.clone()]);
        let now = &s.slope_after.temperature[c];
        Extreme {
            hottest: greatest([after], |[y]| y),
            hottest_before: greatest([before], |[y]| y),
            coldest: -greatest([after], |[y]| -y),
            most_cured: greatest([cure], |[a]| a),
            least_cured: -greatest([cure], |[a]| -a),
            rising: greatest([now], |[f]| f),
            may_reach: s.agree
                + greatest([before, after, bend, twist], |[y0, y1, bend, twist]| {
                    no_higher(y0, y1, bend, twist)
                }),
        }
    }
}

/// Steepest gradient between neighbours, K/m.
struct Steepest<'a> {
    temperature: &'a [f64],
    /// One over the distance to the next cell, 1/m; 0 between layers.
    per_distance: &'a [f64],
}

impl Wide for Steepest<'_> {
    type Answer = f64;
    #[inline(always)]
    fn run<const F: bool>(self) -> f64 {
        let next = self.temperature.get(1..).unwrap_or(&[]);
        greatest([self.temperature, next, self.per_distance], |[a, b, per]| {
            (b - a).abs() * per
        })
    }
}

/// The state at a time that was asked for.
#[derive(Debug)]
pub(crate) struct Kept {
    pub(crate) time: f64,
    pub(crate) layers: usize,
    pub(crate) temperature: Vec<f64>,
    pub(crate) cure: Vec<f64>,
    /// Of the first and the last face.
    pub(crate) ends: [f64; 2],
    /// Of each layer but the first: its first face and, before the contact, the last face of the one before.
    pub(crate) joints: Vec<[f64; 2]>,
}

impl Kept {
    pub(crate) fn new(time: f64, layers: usize, grid: &Grid, work: &Workspace, chain: &ChainView) -> Self {
        let (temperature, cure) = (&work.now.temperature, &work.now.cure);
        let ends = work.slope.edges.map(|e| e.surface);
        let n = grid.starts[layers];
        let joint = |k: usize| {
            let j = grid.starts[k];
            let (a, b) = (temperature[j - 1], temperature[j]);
            [
                a + (b - a) * chain.near_share[k],
                b - (b - a) * chain.far_share[k],
            ]
        };
        let ends = [
            if ends[0].is_finite() {
                ends[0]
            } else {
                temperature[0]
            },
            if ends[1].is_finite() {
                ends[1]
            } else {
                temperature[n - 1]
            },
        ];
        Kept {
            time,
            layers,
            temperature: temperature[..n].to_vec(),
            cure: cure[..n].to_vec(),
            ends,
            joints: (1..layers).map(joint).collect(),
        }
    }

    /// Layer, temperature and conversion at a depth, straight between centres and faces; none above what is laid.
    pub(crate) fn at(&self, grid: &Grid, depth: f64) -> Option<(usize, f64, f64)> {
        let edge = |k: usize| {
            let i = grid.starts[k];
            if i < grid.size.len() {
                grid.depth[i] - 0.5 * grid.size[i]
            } else {
                grid.depth[i - 1] + 0.5 * grid.size[i - 1]
            }
        };
        let bottom = edge(self.layers);
        if depth > bottom * (1.0 + 1e-9) {
            return None;
        }
        let k = (0..self.layers).rev().find(|&k| edge(k) <= depth).unwrap_or(0);
        let cells = grid.starts[k]..grid.starts[k + 1];
        let first = if k == 0 {
            self.ends[0]
        } else {
            self.joints[k - 1][1]
        };
        let last = if k + 1 == self.layers {
            self.ends[1]
        } else {
            self.joints[k][0]
        };
        let centre = |i: usize| (grid.depth[i], self.temperature[i]);
        let upper = cells.start + grid.depth[cells.clone()].partition_point(|&d| d <= depth);
        let a = if upper == cells.start {
            (edge(k), first)
        } else {
            centre(upper - 1)
        };
        let b = if upper == cells.end {
            (edge(k + 1), last)
        } else {
            centre(upper)
        };
        let straight = |a: (f64, f64), b: (f64, f64)| a.1 + (b.1 - a.1) * (depth - a.0) / (b.0 - a.0);
        // Conversion goes on straight from the last two centres to a face.
        let i = upper.clamp(cells.start + 1, cells.end - 1);
        let cure = straight(
            (grid.depth[i - 1], self.cure[i - 1]),
            (grid.depth[i], self.cure[i]),
        );
        Some((k, straight(a, b), cure.clamp(0.0, 1.0)))
    }
}

/// What the observer needs of the chain while the kernel holds it.
#[derive(Debug, Default)]
pub(crate) struct ChainView {
    /// One over the distance between each cell and the next, 1/m; 0 between layers.
    per_distance: Vec<f64>,
    /// Share of the resistance between the cells on both sides of an interface that lies before it.
    pub(crate) near_share: Vec<f64>,
    /// The same of what lies behind it; a contact lies between the two.
    pub(crate) far_share: Vec<f64>,
}

impl ChainView {
    pub(crate) fn new(grid: &Grid, sheets: &[Sheet], layers: usize, chain: &Chain) -> Self {
        let mut view = ChainView {
            per_distance: grid.size[..grid.starts[layers]]
                .windows(2)
                .map(|d| 1.0 / (0.5 * (d[0] + d[1])))
                .collect(),
            near_share: vec![0.0],
            far_share: vec![0.0],
        };
        for k in 1..layers {
            let j = grid.starts[k];
            view.per_distance[j - 1] = 0.0;
            let before = 0.5 * grid.size[j - 1] / sheets[k - 1].conductivity / grid.area[j];
            view.near_share.push(before * chain.conductance[j]);
            let behind = 0.5 * grid.size[j] / sheets[k].conductivity / grid.area[j];
            view.far_share.push(behind * chain.conductance[j]);
        }
        view
    }
}

impl LayerTrack {
    /// Hotter cells than any before, at the step's end or within it.
    fn tops(&mut self, s: &Step, cells: std::ops::Range<usize>, grid: &Grid) {
        let h = s.t1 - s.t0;
        let before = self.top;
        for i in cells.clone() {
            let y = s.temperature_of(i);
            if y.y[0] > self.top.value {
                self.top = Top {
                    value: y.y[0],
                    time: s.t0,
                    cell: i,
                };
            }
            if y.y[1] > self.top.value {
                self.top = Top {
                    value: y.y[1],
                    time: s.t1,
                    cell: i,
                };
            }
            if let Some((value, x)) = y.summit()
                && value > self.top.value
            {
                self.top = Top {
                    value,
                    time: s.t0 + x * h,
                    cell: i,
                };
            }
        }
        if self.top == before {
            return;
        }
        // Between cells by a parabola; beside an outer face through the surface, or the mirrored cell where no heat passes.
        let i = self.top.cell;
        let x = (self.top.time - s.t0) / h;
        let y = |i: usize| s.temperature_of(i).at(x);
        let outside = |e: usize| {
            let [before, after] = [&s.slope_before.edges[e], &s.slope_after.edges[e]];
            if after.heat == 0.0 && after.by_temperature == 0.0 {
                (grid.size[i], self.top.value)
            } else {
                (0.5 * grid.size[i], (1.0 - x) * before.surface + x * after.surface)
            }
        };
        let here = (grid.depth[i], self.top.value);
        let before = if i > cells.start {
            Some((grid.depth[i - 1], y(i - 1)))
        } else if i == 0 {
            let (far, y) = outside(0);
            Some((here.0 - far, y))
        } else {
            None
        };
        let after = if i + 1 < cells.end {
            Some((grid.depth[i + 1], y(i + 1)))
        } else if i + 1 == s.n {
            let (far, y) = outside(1);
            Some((here.0 + far, y))
        } else {
            None
        };
        self.hottest = match (before, after) {
            (Some(b), Some(a)) => crest([b.0, here.0, a.0], [b.1, here.1, a.1]),
            _ => here,
        };
    }

    /// Cells that reach gel or fitness to demould in this step.
    fn goals(&mut self, s: &Step, sheet: &Sheet, cells: std::ops::Range<usize>) {
        let h = s.t1 - s.t0;
        let n = cells.len();
        for (goal, gel) in [(sheet.gel, true), (sheet.demould, false)] {
            let done = if gel { self.gelled } else { self.demoulded };
            if goal.is_nan() || done == n {
                continue;
            }
            for i in cells.clone() {
                let a = s.cure_of(i);
                if a.y[0] < goal && a.y[1] >= goal {
                    let x = a.crossing(goal);
                    let t = s.t0 + h * x;
                    if gel {
                        self.gelled += 1;
                        self.gel_first = self.gel_first.min(t);
                        if self.gel_last.is_nan() || t > self.gel_last {
                            (self.gel_last, self.gel_rate) = (t, a.slope_at(x) / h);
                        }
                    } else {
                        self.demoulded += 1;
                        self.demould = self.demould.max(t);
                    }
                }
            }
        }
    }

    /// Cells that pass the boiling point of their monomer in this step, and its pressure.
    fn boils(&mut self, s: &Step, sheet: &Sheet, cells: std::ops::Range<usize>) {
        for i in cells {
            let [before, after] = [s.before.temperature[i], s.after.temperature[i]];
            if after < sheet.boils {
                continue;
            }
            let left = sheet.monomer * (1.0 - s.after.cure[i]);
            self.boil.pressure = self.boil.pressure.max(left * vapour_pressure(after, sheet.boils));
            // A layer may be laid hotter than that.
            if before >= sheet.boils && s.t0 > sheet.laid {
                continue;
            }
            let x = if before >= sheet.boils {
                0.0
            } else {
                s.temperature_of(i).crossing(sheet.boils)
            };
            let time = s.t0 + x * (s.t1 - s.t0);
            // There the pressure of the monomer alone is one atmosphere.
            let left = sheet.monomer * (1.0 - s.cure_of(i).at(x).clamp(0.0, 1.0));
            self.boil.most = self.boil.most.max(left);
            self.boil.pressure = self.boil.pressure.max(left);
            if self.boil.first.is_none_or(|f| time < f.0) {
                self.boil.first = Some((time, i, left));
            }
        }
    }

    pub(crate) fn all_gelled(&self, cells: usize) -> bool {
        self.gelled == cells
    }
    pub(crate) fn all_demoulded(&self, cells: usize) -> bool {
        self.demoulded == cells
    }
}
