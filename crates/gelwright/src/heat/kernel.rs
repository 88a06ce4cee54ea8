//! The stepping kernel: a chain of cells that conduct to their neighbours, each with its own chemistry.
//!
//! `C_i dT_i/dt = flow_i - flow_(i+1) + C_i R_i f(a_i, j_i, T_i)`, `da_i/dt = f`, `dj_i/dt = g(j_i, T_i)`, with `R_i`
//! the adiabatic rise of a full cure (K). A cup is a chain of one or two cells, a wall one of many.
//!
//! Linearly implicit steps with the exact Jacobian: the local states are eliminated cell by cell, what is left is
//! one tridiagonal solve for the temperatures, done from both ends to the middle. Nothing is allocated here after
//! [`Workspace::fit`].

use super::chemistry::{Derivatives, Law, Rates, early, lifted, most_growth, within};
use super::cubic::Cubic;
use super::edge::{Edge, Flow};
use super::tableau::Tableau;
use super::vector::{LANES, Wide, fused, greatest, padded, widest};
use crate::error::{Error, ErrorKind, Result};

/// How far cure may go back in a step, of the tolerance of conversion.
pub(super) const BACK: f64 = 0.3;

/// [`Step::agree`], of the tolerance of temperature.
pub(super) const AGREE: f64 = 5.0;

/// Most stages of any tableau.
pub(super) const STAGES: usize = 8;

/// Most steps of one pass.
pub(crate) const MOST_STEPS: usize = 200_000;

/// A run of cells of one chemistry.
#[derive(Debug, Clone)]
pub(crate) struct Segment {
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) law: Law,
}

impl Segment {
    /// Its cells, rounded up to whole vectors: the next segment is computed after this one, and behind the last
    /// there is room.
    #[inline]
    fn cells(&self) -> std::ops::Range<usize> {
        if self.law.in_vectors() {
            self.start..self.start + padded(self.end - self.start)
        } else {
            self.start..self.end
        }
    }
}

/// How conductivity and heat capacity change with temperature: `value (1 + slope (T - reference))`.
#[derive(Debug, Clone)]
pub(crate) struct Varying {
    /// Resistance from the cell's centre to each of its faces at the reference temperature, K/W: towards the first face.
    pub(crate) near: Vec<f64>,
    /// Towards the last face.
    pub(crate) far: Vec<f64>,
    /// Contact resistance between `i - 1` and `i`, K/W.
    pub(crate) contact: Vec<f64>,
    pub(crate) conductivity_slope: Vec<f64>,
    pub(crate) capacity_slope: Vec<f64>,
    pub(crate) reference: Vec<f64>,
}

/// The discretised body.
#[derive(Clone)]
pub(crate) struct Chain {
    /// Heat capacity of each cell, J/K (at its reference temperature).
    pub(crate) capacity: Vec<f64>,
    /// Conductance between cell `j - 1` and `j`, W/K, for `j` in `1..n`; the first and last are from an end
    /// cell's centre to its surface.
    pub(crate) conductance: Vec<f64>,
    /// Adiabatic rise of a full cure of each cell, K (at its reference temperature).
    pub(crate) rise: Vec<f64>,
    pub(crate) segments: Vec<Segment>,
    pub(crate) first: Edge,
    pub(crate) last: Edge,
    pub(crate) varying: Option<Varying>,
}

/// State of every cell.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct State {
    /// K.
    pub(crate) temperature: Vec<f64>,
    /// Degree of cure, 0 to 1.
    pub(crate) cure: Vec<f64>,
    /// Second state, 0 to 1.
    pub(crate) second: Vec<f64>,
}

impl State {
    pub(crate) fn resize(&mut self, n: usize) {
        self.temperature.resize(n, 300.0);
        self.cure.resize(n, 0.0);
        self.second.resize(n, 0.0);
    }
}

/// Time derivatives of every cell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Slope {
    pub(crate) temperature: Vec<f64>,
    pub(crate) cure: Vec<f64>,
    pub(crate) second: Vec<f64>,
    /// Heat into the first and the last face, W, and their surface temperatures, K.
    pub(crate) edges: [Flow; 2],
}

impl Slope {
    fn zero(&mut self, n: usize) {
        for v in [&mut self.temperature, &mut self.cure, &mut self.second] {
            v.clear();
            v.resize(n, 0.0);
        }
    }
}

/// Counts of one run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) accepted: usize,
    pub(crate) rejected: usize,
}

/// Tolerances of the time integration.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tolerance {
    /// Local error of temperature, K.
    pub(crate) temperature: f64,
    /// Local error of conversion.
    pub(crate) cure: f64,
}

impl Tolerance {
    pub(super) fn times(self, loose: f64) -> Self {
        Tolerance {
            temperature: self.temperature * loose,
            cure: self.cure * loose,
        }
    }
}

/// One accepted step as an observer sees it.
pub(crate) struct Step<'a> {
    pub(crate) t0: f64,
    pub(crate) t1: f64,
    pub(crate) n: usize,
    pub(crate) before: &'a State,
    pub(crate) after: &'a State,
    /// Bend and twist of each cell's temperature within the step, by the method's stages.
    pub(crate) bend: &'a [f64],
    pub(crate) twist: &'a [f64],
    /// How near, in K, these and the slopes must be for the slopes to be believed.
    pub(crate) agree: f64,
    pub(crate) slope_before: &'a Slope,
    pub(crate) slope_after: &'a Slope,
    /// Heat that came in through the first and the last face, J, by the method's own quadrature: with it the
    /// energy balance holds to rounding, however stiff a face cell is.
    pub(crate) heat_in: [f64; 2],
}

impl Step<'_> {
    /// A cell's temperature within the step: by its slopes, which is nearer, where the stages bear it out within
    /// [`agree`](Self::agree); else by the stages.
    #[inline]
    pub(crate) fn temperature_of(&self, i: usize) -> Cubic {
        let y = [self.before.temperature[i], self.after.temperature[i]];
        let f = [self.slope_before.temperature[i], self.slope_after.temperature[i]];
        self.between(y, f, (self.bend[i], self.twist[i]))
    }

    /// Of a cell with these ends and slopes, with bend and twist by the stages.
    #[inline(always)]
    pub(super) fn between(&self, y: [f64; 2], f: [f64; 2], (bend, twist): (f64, f64)) -> Cubic {
        let stages = Cubic { y, bend, twist };
        let slopes = Cubic::hermite(self.t1 - self.t0, y, f);
        if slopes.farthest(&stages) <= self.agree {
            slopes
        } else {
            stages
        }
    }

    /// A cell's conversion within the step.
    #[inline]
    pub(crate) fn cure_of(&self, i: usize) -> Cubic {
        let a = [self.before.cure[i], self.after.cure[i]];
        let f = [self.slope_before.cure[i], self.slope_after.cure[i]];
        Cubic::hermite(self.t1 - self.t0, a, f)
    }
}

/// What an observer wants next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Next {
    Go,
    Stop,
}

/// How long the next step is: what the error of those before allows.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Pace {
    /// Step size carried from one call to the next.
    h: f64,
    last_h: f64,
    last_error: f64,
    /// Whether the step before this attempt was too long.
    pub(super) rejected: bool,
    pub(crate) counts: Counts,
}

impl Pace {
    /// Nothing of the steps before counts but their number.
    pub(super) fn anew(&mut self) {
        let counts = self.counts;
        *self = Pace {
            counts,
            ..Pace::default()
        };
    }

    /// A first step that a straight line crosses within the tolerance, at most half a minute; `fastest`: what changes
    /// fastest, in tolerances a second.
    pub(super) fn begin(&mut self, fastest: f64) {
        self.h = 1.5 / fastest.max(0.05);
        self.last_h = 0.0;
        self.last_error = 0.0;
    }

    /// Tries the whole of a step that is given, where that is not much longer than the one to come.
    pub(super) fn reaches(&mut self, whole: f64) {
        const SHARE: f64 = 0.6;
        if self.h >= SHARE * whole {
            self.h = self.h.max(whole);
        }
    }

    /// A step that starts smaller than that before a corner.
    pub(super) fn resume(&mut self, before: Pace) {
        self.h = self.h.max(0.2 * before.h);
    }

    /// The step to try at `t`, where `left` is left and conversion grows by [`most_growth`] a second.
    ///
    /// # Errors
    /// `NotConverged` when the step size collapses or the step cap is hit.
    pub(super) fn step(&self, t: f64, left: f64, growth: f64, max_steps: usize) -> Result<f64> {
        if self.counts.accepted + self.counts.rejected >= max_steps {
            return Err(Error::new(ErrorKind::NotConverged, "run")
                .with_value(format_args!("{max_steps} steps at {t:.3} s"))
                .with_way_out("shorten the run, loosen the tolerance, or look for an input that is off by powers of ten"));
        }
        let mut h = self.h.min(2.0 / growth.max(1e-300));
        if h > 0.999 * left {
            h = left;
        } else if h > 0.5 * left {
            h = 0.5 * left;
        }
        if h < 4e-15 * t.abs().max(1.0) && h < left {
            return Err(Error::new(ErrorKind::NotConverged, "run")
                .with_value(format_args!("step of {h:.2e} s at {t:.3} s"))
                .with_way_out(
                    "the step size collapsed: check rates and conductivities for values off by powers of ten",
                ));
        }
        Ok(h)
    }

    /// Whether a step is kept, by its scaled error; sets the next.
    pub(super) fn accepts(&mut self, h: f64, left: f64, error: f64, exponent: f64) -> bool {
        const SAFETY: f64 = 0.9;
        if !error.is_finite() {
            self.counts.rejected += 1;
            self.rejected = true;
            self.h = 0.2 * h;
            return false;
        }
        let error = error.max(1e-8);
        let mut shrink = (error.powf(exponent) / SAFETY).clamp(1.0 / 6.0, 5.0);
        if error > 1.0 {
            self.counts.rejected += 1;
            self.rejected = true;
            self.h = h / shrink;
            return false;
        }
        self.counts.accepted += 1;
        if self.last_h > 0.0 {
            // Predictive controller of K. Gustafsson (1994).
            let predicted = (self.last_h / h) * (error * error / self.last_error).powf(exponent) / SAFETY;
            shrink = shrink.max(predicted.clamp(1.0 / 6.0, 5.0));
        }
        self.last_h = h;
        self.last_error = error.max(1e-2);
        let mut next_h = h / shrink;
        if self.rejected {
            next_h = next_h.min(h);
        }
        self.rejected = false;
        self.h = if h == left && next_h < self.h {
            self.h.min(h * 6.0)
        } else {
            next_h
        };
        true
    }
}

/// All memory of a run; reused from run to run.
#[derive(Default)]
pub(crate) struct Workspace {
    n: usize,
    has_second: bool,
    pub(crate) now: State,
    new: State,
    pub(crate) slope: Slope,
    new_slope: Slope,
    // Jacobian pieces.
    by_cure: Vec<f64>,
    by_second: Vec<f64>,
    by_temperature: Vec<f64>,
    second_by_second: Vec<f64>,
    second_by_temperature: Vec<f64>,
    lower: Vec<f64>,
    upper: Vec<f64>,
    diagonal: Vec<f64>,
    // Factors.
    inverse: Vec<f64>,
    low: Vec<f64>,
    high: Vec<f64>,
    coupling: Vec<f64>,
    weight: Vec<f64>,
    second_weight: Vec<f64>,
    by_temperature_all: Vec<f64>,
    heat_by_cure: Vec<f64>,
    heat_by_local: Vec<f64>,
    /// [`most_growth`] of any cell, 1/s.
    growth: f64,
    early: f64,
    per_capacity: Vec<f64>,
    // Stages.
    arg: State,
    stage: Slope,
    flow: Vec<f64>,
    u_temperature: Vec<f64>,
    u_cure: Vec<f64>,
    u_second: Vec<f64>,
    // Bend and twist of the temperature within the step.
    bend: Vec<f64>,
    twist: Vec<f64>,
    // Scratch of temperature-dependent properties.
    conductance: Vec<f64>,
    /// Stages of the heat through the faces, and its sum over the step.
    u_heat: [[f64; STAGES]; 2],
    heat_in: [f64; 2],
    pub(crate) pace: Pace,
}

thread_local! {
    /// The workspace of the last run on this thread, for the next: asked alone, a run costs what it costs in a sweep.
    static LAST: std::cell::Cell<Option<Box<Workspace>>> = const { std::cell::Cell::new(None) };
}

/// Most cells whose workspace a thread keeps: some 3 MB.
const MOST_KEPT: usize = 8_000;

/// `work` with a workspace that the thread keeps from run to run.
pub(crate) fn with_workspace<R>(work: impl FnOnce(&mut Workspace) -> R) -> R {
    let mut own = LAST.take().unwrap_or_default();
    let answer = work(&mut own);
    if own.now.temperature.capacity() <= MOST_KEPT {
        LAST.set(Some(own));
    }
    answer
}

/// Of the stages so far: `arg = y + sum_j a_j U_j`, `rest = sum_j c_j U_j`.
#[inline(always)]
pub(super) fn combine<const F: bool>(
    arg: &mut [f64],
    rest: &mut [f64],
    y: &[f64],
    u: &[f64],
    a: &[f64],
    c: &[f64],
) {
    match (a, c) {
        (&[a0], &[c0]) => sums::<F, 1>(arg, rest, y, u, [a0], [c0]),
        (&[a0, a1], &[c0, c1]) => sums::<F, 2>(arg, rest, y, u, [a0, a1], [c0, c1]),
        (&[a0, a1, a2], &[c0, c1, c2]) => sums::<F, 3>(arg, rest, y, u, [a0, a1, a2], [c0, c1, c2]),
        (&[a0, a1, a2, a3], &[c0, c1, c2, c3]) => {
            sums::<F, 4>(arg, rest, y, u, [a0, a1, a2, a3], [c0, c1, c2, c3]);
        }
        (&[a0, a1, a2, a3, a4], &[c0, c1, c2, c3, c4]) => {
            sums::<F, 5>(arg, rest, y, u, [a0, a1, a2, a3, a4], [c0, c1, c2, c3, c4]);
        }
        _ => {
            let np = rest.len();
            arg[..np].copy_from_slice(&y[..np]);
            rest.fill(0.0);
            for ((u, a), c) in u.chunks_exact(np).zip(a).zip(c) {
                for k in 0..np {
                    arg[k] = fused::<F>(*a, u[k], arg[k]);
                    rest[k] = fused::<F>(*c, u[k], rest[k]);
                }
            }
        }
    }
}

#[inline(always)]
fn sums<const F: bool, const N: usize>(
    arg: &mut [f64],
    rest: &mut [f64],
    y: &[f64],
    u: &[f64],
    a: [f64; N],
    c: [f64; N],
) {
    let np = rest.len();
    let (arg, y) = (&mut arg[..np], &y[..np]);
    let u: [&[f64]; N] = std::array::from_fn(|j| &u[j * np..(j + 1) * np]);
    for k in 0..np {
        let (mut x, mut z) = (y[k], 0.0);
        for j in 0..N {
            x = fused::<F>(a[j], u[j][k], x);
            z = fused::<F>(c[j], u[j][k], z);
        }
        arg[k] = x;
        rest[k] = z;
    }
}

impl Workspace {
    pub(crate) fn new() -> Self {
        Workspace::default()
    }

    /// Makes room for the chain; the only place that allocates.
    pub(crate) fn fit(&mut self, chain: &Chain) {
        let n = chain.capacity.len();
        let np = padded(n);
        let room = np + LANES;
        self.n = n;
        self.has_second = chain.segments.iter().any(|s| s.law.spends_initiator());
        for v in [&mut self.now, &mut self.new, &mut self.arg] {
            v.resize(room);
        }
        for v in [&mut self.slope, &mut self.new_slope, &mut self.stage] {
            v.zero(room);
        }
        for v in [
            &mut self.by_cure,
            &mut self.by_second,
            &mut self.by_temperature,
            &mut self.second_by_second,
            &mut self.second_by_temperature,
            &mut self.lower,
            &mut self.upper,
            &mut self.diagonal,
            &mut self.inverse,
            &mut self.low,
            &mut self.high,
            &mut self.coupling,
            &mut self.weight,
            &mut self.second_weight,
            &mut self.by_temperature_all,
            &mut self.heat_by_cure,
            &mut self.heat_by_local,
            &mut self.per_capacity,
        ] {
            v.clear();
            v.resize(room, 0.0);
        }
        for v in [&mut self.bend, &mut self.twist] {
            v.clear();
            v.resize(np, 0.0);
        }
        for v in [&mut self.flow, &mut self.conductance] {
            v.clear();
            v.resize(room + 1, 0.0);
        }
        for v in [&mut self.u_temperature, &mut self.u_cure, &mut self.u_second] {
            v.clear();
            v.resize(np * STAGES, 0.0);
        }
        for (per, c) in self.per_capacity.iter_mut().zip(&chain.capacity) {
            *per = 1.0 / c;
        }
        for i in 0..n {
            let (per, g) = (self.per_capacity[i], &chain.conductance);
            self.lower[i] = if i > 0 { per * g[i] } else { 0.0 };
            self.upper[i] = if i + 1 < n { per * g[i + 1] } else { 0.0 };
            self.diagonal[i] = -self.lower[i] - self.upper[i];
            self.heat_by_cure[i] = chain.rise[i];
        }
        self.pace.anew();
    }

    /// Derivatives at `state`, into `slope`; no Jacobian.
    #[inline(always)]
    #[allow(clippy::too_many_arguments)]
    fn rates<const F: bool>(
        chain: &mut Chain,
        t: f64,
        y: &State,
        out: &mut Slope,
        flow: &mut [f64],
        g: &mut [f64],
        per: &[f64],
    ) {
        for s in &chain.segments {
            let r = s.cells();
            s.law.rates::<F>(&mut Rates {
                temperature: &y.temperature[r.clone()],
                cure: &y.cure[r.clone()],
                second: &y.second[r.clone()],
                rate: &mut out.cure[r.clone()],
                second_rate: &mut out.second[r],
            });
        }
        Self::conduct::<F>(chain, t, y, out, flow, g, per);
    }

    /// Heat flows and temperature slopes, the chemistry's rates being known.
    #[inline(always)]
    fn conduct<const F: bool>(
        chain: &mut Chain,
        t: f64,
        y: &State,
        out: &mut Slope,
        flow: &mut [f64],
        g: &mut [f64],
        per: &[f64],
    ) {
        let n = per.len();
        let temperature = &y.temperature[..n];
        let varying = chain.varying.is_some();
        if let Some(v) = &chain.varying {
            v.conductances(&chain.conductance, temperature, g);
        }
        let g: &[f64] = if varying { g } else { &chain.conductance };
        let (sf, sl) = match &chain.varying {
            Some(v) => v.edge_slopes(g, temperature),
            None => (0.0, 0.0),
        };
        out.edges = [
            chain.first.flow(temperature[0], g[0], sf, t),
            chain.last.flow(temperature[n - 1], g[n], sl, t),
        ];
        flow[0] = out.edges[0].heat;
        flow[n] = -out.edges[1].heat;
        flows(&mut flow[1..n], &g[1..n], temperature, &temperature[1..]);
        let dt = &mut out.temperature[..n];
        let (flow, rate, rise) = (&flow[..=n], &out.cure[..n], &chain.rise[..n]);
        if let Some(v) = &chain.varying {
            for i in 0..n {
                let c = 1.0 + v.capacity_slope[i] * (temperature[i] - v.reference[i]);
                dt[i] = ((flow[i] - flow[i + 1]) * per[i] + rise[i] * rate[i]) / c;
            }
        } else {
            heating::<F>(dt, &flow[..n], &flow[1..=n], per, rise, rate);
        }
    }

    /// Derivatives and Jacobian at `new`, into `new_slope`.
    fn linearise(&mut self, chain: &mut Chain, t: f64) {
        widest(Linearise { work: self, chain, t });
    }

    #[inline(always)]
    fn linearise_here<const F: bool>(&mut self, chain: &mut Chain, t: f64) {
        let n = self.n;
        for s in &chain.segments {
            let r = s.cells();
            s.law.slopes::<F>(
                &mut Rates {
                    temperature: &self.new.temperature[r.clone()],
                    cure: &self.new.cure[r.clone()],
                    second: &self.new.second[r.clone()],
                    rate: &mut self.new_slope.cure[r.clone()],
                    second_rate: &mut self.new_slope.second[r.clone()],
                },
                &mut Derivatives {
                    by_cure: &mut self.by_cure[r.clone()],
                    by_second: &mut self.by_second[r.clone()],
                    by_temperature: &mut self.by_temperature[r.clone()],
                    second_by_second: &mut self.second_by_second[r.clone()],
                    second_by_temperature: &mut self.second_by_temperature[r],
                },
            );
        }
        Self::conduct::<F>(
            chain,
            t,
            &self.new,
            &mut self.new_slope,
            &mut self.flow,
            &mut self.conductance,
            &self.per_capacity[..n],
        );
        let early = self.early;
        self.growth = greatest([&self.by_cure[..n], &self.new.cure[..n]], |[x, a]| {
            most_growth(early, x, a)
        })
        .max(0.0);
        let temperature = &self.new.temperature;
        match &chain.varying {
            None => {
                // Only what the faces add has changed since `fit`.
                self.diagonal[0] = -self.lower[0] - self.upper[0];
                self.diagonal[n - 1] = -self.lower[n - 1] - self.upper[n - 1];
            }
            Some(v) => {
                let g = &self.conductance;
                for i in 0..n {
                    let c = 1.0 + v.capacity_slope[i] * (temperature[i] - v.reference[i]);
                    let per = 1.0 / (chain.capacity[i] * c);
                    let (mut lower, mut upper, mut diagonal) = (0.0, 0.0, 0.0);
                    if i > 0 {
                        let d = temperature[i - 1] - temperature[i];
                        lower = g[i] + v.by_far(g[i], temperature, i - 1) * d;
                        diagonal += -g[i] + v.by_near(g[i], temperature, i) * d;
                    }
                    if i + 1 < n {
                        let d = temperature[i + 1] - temperature[i];
                        upper = g[i + 1] + v.by_near(g[i + 1], temperature, i + 1) * d;
                        diagonal += -g[i + 1] + v.by_far(g[i + 1], temperature, i) * d;
                    }
                    self.lower[i] = per * lower;
                    self.upper[i] = per * upper;
                    self.diagonal[i] =
                        per * diagonal - self.new_slope.temperature[i] * v.capacity_slope[i] / c;
                    self.heat_by_cure[i] = chain.rise[i] / c;
                }
            }
        }
        let capacity = |i: usize| match &chain.varying {
            Some(v) => chain.capacity[i] * (1.0 + v.capacity_slope[i] * (temperature[i] - v.reference[i])),
            None => chain.capacity[i],
        };
        self.diagonal[0] += self.new_slope.edges[0].by_temperature / capacity(0);
        self.diagonal[n - 1] += self.new_slope.edges[1].by_temperature / capacity(n - 1);
    }

    /// Starts at the state in `now`, at time `t`.
    pub(crate) fn begin(&mut self, chain: &mut Chain, t: f64, tolerance: Tolerance) {
        chain.first.locate(t);
        chain.last.locate(t);
        self.early = early(tolerance);
        std::mem::swap(&mut self.now, &mut self.new);
        self.linearise(chain, t);
        let n = self.n;
        if lift(&mut self.new.cure[..n], &self.new_slope.cure, &self.by_cure) {
            self.linearise(chain, t);
        }
        std::mem::swap(&mut self.now, &mut self.new);
        std::mem::swap(&mut self.slope, &mut self.new_slope);
        let mut fastest = 0.0_f64;
        for i in 0..self.n {
            fastest = fastest
                .max(self.slope.temperature[i].abs() / tolerance.temperature)
                .max(self.slope.cure[i].abs() / tolerance.cure);
        }
        self.pace.begin(fastest);
    }

    /// Goes on past a corner of a face's course: the same state, new derivatives, a step that starts smaller.
    pub(crate) fn resume(&mut self, chain: &mut Chain, t: f64, tolerance: Tolerance) {
        let before = self.pace;
        self.begin(chain, t, tolerance);
        self.pace.resume(before);
    }

    /// Factors `1/(h gamma) - J` with the local states eliminated. False where it is singular.
    #[inline(always)]
    fn factor<const F: bool>(&mut self, s: f64) -> bool {
        let n = self.n;
        if self.has_second {
            second_weights(
                s,
                &self.second_by_second[..n],
                &self.by_temperature,
                &self.by_second,
                &self.second_by_temperature,
                &mut self.second_weight,
                &mut self.by_temperature_all,
            );
        } else {
            self.by_temperature_all[..n].copy_from_slice(&self.by_temperature[..n]);
        }
        weights(
            s,
            &self.by_cure[..n],
            &self.by_temperature_all,
            &self.heat_by_cure,
            &self.diagonal,
            &mut self.weight,
            &mut self.heat_by_local,
            &mut self.inverse,
        );
        pivots::<F>(
            &mut self.inverse[..n],
            &self.lower,
            &self.upper,
            &mut self.low,
            &mut self.high,
            &mut self.coupling,
        )
    }

    /// Solves in place, from both ends to the middle and back.
    #[inline(always)]
    fn solve<const F: bool>(x: &mut [f64], inverse: &[f64], low: &[f64], high: &[f64]) {
        let n = x.len();
        let (inverse, low, high) = (&inverse[..n], &low[..n], &high[..n]);
        for (x, inverse) in x.iter_mut().zip(inverse) {
            *x *= inverse;
        }
        let m = n / 2;
        let (front, rest) = x.split_at_mut(m);
        let Some((middle, back)) = rest.split_first_mut() else {
            return;
        };
        let (low_front, high_front) = (&low[..m], &high[..m]);
        let (low_back, high_back) = (&low[m + 1..], &high[m + 1..]);
        // An even number of cells has one more before the middle than behind it.
        let paired = back.len();
        let (mut up, mut down) = (0.0, 0.0);
        for ((x, low), (y, high)) in
            (front.iter_mut().zip(low_front)).zip((back.iter_mut().zip(high_back)).rev())
        {
            up = fused::<F>(*low, up, *x);
            *x = up;
            down = fused::<F>(*high, down, *y);
            *y = down;
        }
        if m > paired {
            up = fused::<F>(low_front[m - 1], up, front[m - 1]);
            front[m - 1] = up;
        }
        *middle = fused::<F>(low[m], up, fused::<F>(high[m], down, *middle));
        let (mut up, mut down) = (*middle, *middle);
        if m > paired {
            up = fused::<F>(high_front[m - 1], up, front[m - 1]);
            front[m - 1] = up;
        }
        for ((x, high), (y, low)) in (front[..paired].iter_mut().zip(&high_front[..paired]))
            .rev()
            .zip(back.iter_mut().zip(low_back))
        {
            up = fused::<F>(*high, up, *x);
            *x = up;
            down = fused::<F>(*low, down, *y);
            *y = down;
        }
    }

    /// One attempt of size `h`; returns the scaled error.
    fn attempt<const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        chain: &mut Chain,
        t: f64,
        h: f64,
        tol: Tolerance,
    ) -> f64 {
        widest(Attempt {
            work: self,
            tab,
            chain,
            t,
            h,
            tol,
        })
    }

    #[inline(always)]
    fn attempt_here<const F: bool, const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        chain: &mut Chain,
        t: f64,
        h: f64,
        tol: Tolerance,
    ) -> f64 {
        let n = self.n;
        let np = padded(n);
        let s = 1.0 / (tab.gamma * h);
        if !self.factor::<F>(s) {
            return f64::INFINITY;
        }
        let capacity = |i: usize| chain_capacity(chain, &self.now, i);
        let by_time = [
            self.slope.edges[0].by_time / capacity(0),
            self.slope.edges[1].by_time / capacity(n - 1),
        ];
        for st in 0..S {
            let a = &tab.a[st][..st];
            let mut c = [0.0; S];
            for (c, t) in c.iter_mut().zip(&tab.c[st][..st]) {
                *c = t / h;
            }
            let c = &c[..st];
            let at = st * np;
            let (before_t, now_t) = self.u_temperature.split_at_mut(at);
            let (before_a, now_a) = self.u_cure.split_at_mut(at);
            let (before_i, now_i) = self.u_second.split_at_mut(at);
            let (b, ba, bi) = (&mut now_t[..np], &mut now_a[..np], &mut now_i[..np]);
            if st == 0 {
                b.fill(0.0);
                ba.fill(0.0);
                bi.fill(0.0);
            } else {
                let (y, arg) = (&self.now, &mut self.arg);
                combine::<F>(&mut arg.temperature, b, &y.temperature, before_t, a, c);
                combine::<F>(&mut arg.cure, ba, &y.cure, before_a, a, c);
                if self.has_second {
                    combine::<F>(&mut arg.second, bi, &y.second, before_i, a, c);
                }
                Self::rates::<F>(
                    chain,
                    t + tab.at[st] * h,
                    &self.arg,
                    &mut self.stage,
                    &mut self.flow,
                    &mut self.conductance,
                    &self.per_capacity[..n],
                );
            }
            let f = if st == 0 { &self.slope } else { &self.stage };
            let (b, ba, bi) = (&mut b[..n], &mut ba[..n], &mut bi[..n]);
            b[0] += tab.d[st] * h * by_time[0];
            b[n - 1] += tab.d[st] * h * by_time[1];
            if self.has_second {
                // What the second state adds, to the cure and by it to the heat.
                add(bi, &f.second);
                second_first::<F>(
                    b,
                    ba,
                    bi,
                    &self.by_second,
                    &self.second_weight,
                    &self.heat_by_cure,
                );
            }
            right_sides::<F>(b, ba, &f.temperature, &f.cure, &self.heat_by_local);
            Self::solve::<F>(b, &self.inverse, &self.low, &self.high);
            for (e, cell) in [(0, 0), (1, n - 1)] {
                let now = &self.slope.edges[e];
                let mut q = f.edges[e].heat + tab.d[st] * h * now.by_time + now.by_temperature * b[cell];
                for (c, u) in c.iter().zip(&self.u_heat[e]) {
                    q += c * u;
                }
                self.u_heat[e][st] = q / s;
            }
            substitute::<F>(ba, b, &self.by_temperature_all, &self.weight);
            if self.has_second {
                substitute::<F>(bi, b, &self.second_by_temperature, &self.second_weight);
            }
        }
        for e in 0..2 {
            self.heat_in[e] = self.u_heat[e][S - 1];
            for (a, u) in tab.a[S - 1].iter().zip(&self.u_heat[e]) {
                self.heat_in[e] += a * u;
            }
        }
        // The last argument plus the last stage.
        let at = (S - 1) * np;
        let (ut, ua) = (&self.u_temperature[at..at + np], &self.u_cure[at..at + np]);
        let (per_t, per_a) = (1.0 / tol.temperature, 1.0 / tol.cure);
        let (now, arg, new) = (&self.now, &self.arg, &mut self.new);
        plus(&mut new.temperature[..n], &arg.temperature, ut);
        plus(&mut new.cure[..n], &arg.cure, ua);
        // Cure does not go back; a step that crosses a ceiling which sinks would follow it down, and is made smaller.
        let back = greatest([&now.cure[..n], &new.cure[..n]], |[before, after]| before - after);
        new.cure[..n].iter_mut().for_each(|x| *x = within(*x));
        let mut sum = squares(&ut[..n], per_t) + squares(&ua[..n], per_a);
        if self.has_second {
            let ui = &self.u_second[at..at + np];
            plus(&mut new.second[..n], &arg.second, ui);
            new.second[..n].iter_mut().for_each(|x| *x = within(*x));
            sum += squares(&ui[..n], per_a);
        }
        #[allow(clippy::cast_precision_loss)]
        let error = (sum / n as f64).sqrt();
        let back = back / (BACK * tol.cure);
        // Not `max`, which would pass over an error that is not a number.
        if back > error { back } else { error }
    }

    /// Steps from `t` to `end` exactly, calling `observe` after every accepted step.
    ///
    /// # Errors
    /// `NotConverged` when the step size collapses or the step cap is hit; whatever `observe` returns.
    pub(crate) fn advance<const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        chain: &mut Chain,
        t0: f64,
        end: f64,
        tol: Tolerance,
        max_steps: usize,
        observe: &mut impl FnMut(&Step) -> Result<Next>,
    ) -> Result<(f64, Next)> {
        let mut t = t0;
        self.pace.rejected = false;
        while t < end {
            let left = end - t;
            let h = self.pace.step(t, left, self.growth, max_steps)?;
            let error = self.attempt(tab, chain, t, h, tol);
            if self.pace.accepts(h, left, error, tab.exponent) {
                let t1 = if h == left { end } else { t + h };
                self.linearise(chain, t1);
                widest(Dense { work: self, tab });
                let next = observe(&Step {
                    t0: t,
                    t1,
                    n: self.n,
                    before: &self.now,
                    after: &self.new,
                    bend: &self.bend,
                    twist: &self.twist,
                    agree: AGREE * tol.temperature,
                    slope_before: &self.slope,
                    slope_after: &self.new_slope,
                    heat_in: self.heat_in,
                })?;
                std::mem::swap(&mut self.now, &mut self.new);
                std::mem::swap(&mut self.slope, &mut self.new_slope);
                t = t1;
                if next == Next::Stop {
                    return Ok((t, Next::Stop));
                }
            }
        }
        Ok((t, Next::Go))
    }
}

// Loops over cells, as functions so that their slices are known not to overlap.

/// `out += a`.
#[inline(always)]
pub(super) fn add(out: &mut [f64], a: &[f64]) {
    for (o, a) in out.iter_mut().zip(a) {
        *o += a;
    }
}

/// Adds the slopes `f` to the right sides of temperature and cure; the eliminated cure warms.
#[inline(always)]
pub(super) fn right_sides<const F: bool>(b: &mut [f64], ba: &mut [f64], f: &[f64], fa: &[f64], heat: &[f64]) {
    let n = b.len();
    let (ba, f, fa, heat) = (&mut ba[..n], &f[..n], &fa[..n], &heat[..n]);
    for i in 0..n {
        ba[i] += fa[i];
        b[i] = fused::<F>(heat[i], ba[i], b[i] + f[i]);
    }
}

/// A local state from the temperature that is solved for: `x = (x + by b) weight`.
#[inline(always)]
pub(super) fn substitute<const F: bool>(x: &mut [f64], b: &[f64], by: &[f64], weight: &[f64]) {
    let n = x.len();
    let (b, by, weight) = (&b[..n], &by[..n], &weight[..n]);
    for i in 0..n {
        x[i] = fused::<F>(by[i], b[i], x[i]) * weight[i];
    }
}

/// `new = arg + u`.
#[inline(always)]
pub(super) fn plus(new: &mut [f64], arg: &[f64], u: &[f64]) {
    let n = new.len();
    let (arg, u) = (&arg[..n], &u[..n]);
    for i in 0..n {
        new[i] = arg[i] + u[i];
    }
}

/// Sum of the squares of `u` over its tolerance. As many partial sums as the widest vector has lanes, so that their
/// order does not depend on the machine.
#[inline(always)]
fn squares(u: &[f64], per: f64) -> f64 {
    let (whole, rest) = u.as_chunks::<LANES>();
    let mut sums = [0.0; LANES];
    for c in whole {
        for l in 0..LANES {
            sums[l] += (c[l] * per) * (c[l] * per);
        }
    }
    let rest: f64 = rest.iter().map(|u| (u * per) * (u * per)).sum();
    sums.iter().sum::<f64>() + rest
}

/// Elimination from both ends to the middle: of each row one over its pivot (into `diagonal`), and its neighbours'
/// elements times that. False where a pivot is not positive.
///
/// A pivot over its diagonal is the ratio of two leading minors of the matrix with a diagonal of ones, and these follow
/// from one another by a product and a sum, `t_i = t_(i-1) - c_i t_(i-2)`: the divisions, which would wait for each other in
/// the usual elimination, are then done side by side.
#[inline(always)]
fn pivots<const F: bool>(
    diagonal: &mut [f64],
    lower: &[f64],
    upper: &[f64],
    low: &mut [f64],
    high: &mut [f64],
    coupling: &mut [f64],
) -> bool {
    let n = diagonal.len();
    let (lower, upper) = (&lower[..n], &upper[..n]);
    let (low, high, coupling) = (&mut low[..n], &mut high[..n], &mut coupling[..n]);
    let m = n / 2;
    let middle = diagonal[m];
    for d in diagonal.iter_mut() {
        *d = 1.0 / *d;
    }
    products(&mut coupling[1..], &lower[1..], upper, &diagonal[1..], diagonal);
    coupling[0] = 0.0;
    // Minors, `low`, and those before them, `high`, from the first row and from the last.
    let (mut first, mut last) = ([1.0, 0.0], [1.0, 0.0]);
    for j in 0..m {
        let t = fused::<F>(-coupling[j], first[1], first[0]);
        (low[j], high[j]) = (t, first[0]);
        first = [t, first[0]];
        let k = n - 1 - j;
        if k > m {
            let c = if j > 0 { coupling[k + 1] } else { 0.0 };
            let t = fused::<F>(-c, last[1], last[0]);
            (low[k], high[k]) = (t, last[0]);
            last = [t, last[0]];
        }
        // They may halve from row to row.
        if j % 64 == 63 {
            first = [1.0, first[1] / first[0]];
            last = [1.0, last[1] / last[0]];
        }
    }
    (low[m], high[m]) = (1.0, 1.0);
    ratios(diagonal, low, high, lower, upper);
    let mut d = middle;
    if m > 0 {
        d = fused::<F>(-lower[m], high[m - 1], d);
    }
    if m + 1 < n {
        d = fused::<F>(-upper[m], low[m + 1], d);
    }
    let p = 1.0 / d;
    (diagonal[m], low[m], high[m]) = (p, lower[m] * p, upper[m] * p);
    greatest([diagonal], |[p]| if p > 0.0 { -p } else { 1.0 }) < 0.0
}

/// `out = a b c d`.
#[inline(always)]
fn products(out: &mut [f64], a: &[f64], b: &[f64], c: &[f64], d: &[f64]) {
    let n = out.len();
    let (a, b, c, d) = (&a[..n], &b[..n], &c[..n], &d[..n]);
    for i in 0..n {
        out[i] = (a[i] * b[i]) * (c[i] * d[i]);
    }
}

/// One over each pivot from the diagonal and the minors, and the neighbours' elements times that.
#[inline(always)]
fn ratios(inverse: &mut [f64], low: &mut [f64], high: &mut [f64], lower: &[f64], upper: &[f64]) {
    let n = inverse.len();
    let (low, high, lower, upper) = (&mut low[..n], &mut high[..n], &lower[..n], &upper[..n]);
    for i in 0..n {
        let p = inverse[i] * (high[i] / low[i]);
        inverse[i] = p;
        low[i] = lower[i] * p;
        high[i] = upper[i] * p;
    }
}

/// Heat that flows between neighbours, W: from each cell `before` to that `after` it.
#[inline(always)]
pub(super) fn flows(flow: &mut [f64], g: &[f64], before: &[f64], after: &[f64]) {
    let n = flow.len();
    let (g, before, after) = (&g[..n], &before[..n], &after[..n]);
    for i in 0..n {
        flow[i] = g[i] * (before[i] - after[i]);
    }
}

/// What the second state adds to the cure, and by it to the heat.
#[inline(always)]
pub(super) fn second_first<const F: bool>(
    b: &mut [f64],
    ba: &mut [f64],
    bi: &[f64],
    by: &[f64],
    weight: &[f64],
    heat: &[f64],
) {
    let n = b.len();
    let (ba, bi, by) = (&mut ba[..n], &bi[..n], &by[..n]);
    let (weight, heat) = (&weight[..n], &heat[..n]);
    for i in 0..n {
        let more = by[i] * weight[i] * bi[i];
        ba[i] += more;
        b[i] = fused::<F>(heat[i], more, b[i]);
    }
}

/// The second state eliminated: its weight, and what its own slope by temperature adds.
#[inline(always)]
pub(super) fn second_weights(
    s: f64,
    second_by_second: &[f64],
    by_temperature: &[f64],
    by_second: &[f64],
    second_by_temperature: &[f64],
    weight: &mut [f64],
    all: &mut [f64],
) {
    let n = second_by_second.len();
    let (by_temperature, by_second) = (&by_temperature[..n], &by_second[..n]);
    let (second_by_temperature, weight, all) = (&second_by_temperature[..n], &mut weight[..n], &mut all[..n]);
    for i in 0..n {
        let w = 1.0 / (s - second_by_second[i]);
        weight[i] = w;
        all[i] = by_temperature[i] + by_second[i] * w * second_by_temperature[i];
    }
}

/// Cells whose cure grows out of next to nothing within an instant start where that is past; whether any does.
pub(super) fn lift(cure: &mut [f64], rate: &[f64], by_cure: &[f64]) -> bool {
    let mut lifts = false;
    for ((cure, rate), by_cure) in cure.iter_mut().zip(rate).zip(by_cure) {
        let from = lifted(*cure, *rate, *by_cure);
        lifts |= from > *cure;
        *cure = from;
    }
    lifts
}

/// `dT/dt` of every cell, K/s.
#[inline(always)]
pub(super) fn heating<const F: bool>(
    dt: &mut [f64],
    inward: &[f64],
    onward: &[f64],
    per: &[f64],
    rise: &[f64],
    rate: &[f64],
) {
    let n = dt.len();
    let (inward, onward, per) = (&inward[..n], &onward[..n], &per[..n]);
    let (rise, rate) = (&rise[..n], &rate[..n]);
    for i in 0..n {
        dt[i] = fused::<F>(inward[i] - onward[i], per[i], rise[i] * rate[i]);
    }
}

/// The local states eliminated: their weights, what they add to the heat balance, and the diagonal that is left.
#[inline(always)]
pub(super) fn weights(
    s: f64,
    by_cure: &[f64],
    by_temperature: &[f64],
    heat_by_cure: &[f64],
    diagonal: &[f64],
    weight: &mut [f64],
    heat_by_local: &mut [f64],
    inverse: &mut [f64],
) {
    let n = by_cure.len();
    let (by_temperature, heat_by_cure, diagonal) = (&by_temperature[..n], &heat_by_cure[..n], &diagonal[..n]);
    let (weight, heat_by_local, inverse) = (&mut weight[..n], &mut heat_by_local[..n], &mut inverse[..n]);
    for i in 0..n {
        let w = 1.0 / (s - by_cure[i]);
        weight[i] = w;
        heat_by_local[i] = heat_by_cure[i] * by_cure[i] * w;
        inverse[i] = s - diagonal[i] - heat_by_cure[i] * s * w * by_temperature[i];
    }
}

/// [`Workspace::attempt`] as a kernel.
struct Attempt<'a, const S: usize> {
    work: &'a mut Workspace,
    tab: &'a Tableau<S>,
    chain: &'a mut Chain,
    t: f64,
    h: f64,
    tol: Tolerance,
}

impl<const S: usize> Wide for Attempt<'_, S> {
    type Answer = f64;
    #[inline(always)]
    fn run<const F: bool>(self) -> f64 {
        self.work
            .attempt_here::<F, S>(self.tab, self.chain, self.t, self.h, self.tol)
    }
}

/// What goes on within the step that was made last.
struct Dense<'a, const S: usize> {
    work: &'a mut Workspace,
    tab: &'a Tableau<S>,
}

impl<const S: usize> Wide for Dense<'_, S> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        let w = self.work;
        let np = padded(w.n);
        let [bend, twist] = &self.tab.dense;
        weighted::<F, S>(
            &mut w.bend[..np],
            &mut w.twist[..np],
            &w.u_temperature,
            bend,
            twist,
        );
    }
}

/// Two weighted sums of the stages.
#[inline(always)]
pub(super) fn weighted<const F: bool, const S: usize>(
    x: &mut [f64],
    z: &mut [f64],
    u: &[f64],
    a: &[f64; S],
    c: &[f64; S],
) {
    let np = x.len();
    let z = &mut z[..np];
    let u: [&[f64]; S] = std::array::from_fn(|j| &u[j * np..(j + 1) * np]);
    for k in 0..np {
        let (mut p, mut q) = (0.0, 0.0);
        for j in 0..S {
            p = fused::<F>(a[j], u[j][k], p);
            q = fused::<F>(c[j], u[j][k], q);
        }
        (x[k], z[k]) = (p, q);
    }
}

/// [`Workspace::linearise`] as a kernel.
struct Linearise<'a> {
    work: &'a mut Workspace,
    chain: &'a mut Chain,
    t: f64,
}

impl Wide for Linearise<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        self.work.linearise_here::<F>(self.chain, self.t);
    }
}

#[inline]
fn chain_capacity(chain: &Chain, y: &State, i: usize) -> f64 {
    match &chain.varying {
        Some(v) => chain.capacity[i] * (1.0 + v.capacity_slope[i] * (y.temperature[i] - v.reference[i])),
        None => chain.capacity[i],
    }
}

impl Varying {
    /// `k/k_reference` of a cell, held above a tenth.
    #[inline]
    fn factor(&self, temperature: &[f64], i: usize) -> f64 {
        (1.0 + self.conductivity_slope[i] * (temperature[i] - self.reference[i])).max(0.1)
    }
    fn factor_slope(&self, temperature: &[f64], i: usize) -> f64 {
        if 1.0 + self.conductivity_slope[i] * (temperature[i] - self.reference[i]) > 0.1 {
            self.conductivity_slope[i]
        } else {
            0.0
        }
    }
    fn conductances(&self, at_reference: &[f64], temperature: &[f64], g: &mut [f64]) {
        let n = temperature.len();
        let zero = |r: f64| if r > 0.0 { 1.0 / r } else { 0.0 };
        g[0] = at_reference[0] * self.factor(temperature, 0);
        g[n] = at_reference[n] * self.factor(temperature, n - 1);
        for j in 1..n {
            g[j] = zero(
                self.far[j - 1] / self.factor(temperature, j - 1)
                    + self.contact[j]
                    + self.near[j] / self.factor(temperature, j),
            );
        }
    }
    /// Derivative of the conductance between `i` and `i + 1` by the temperature of `i`.
    fn by_far(&self, g: f64, temperature: &[f64], i: usize) -> f64 {
        let f = self.factor(temperature, i);
        g * g * self.far[i] / (f * f) * self.factor_slope(temperature, i)
    }
    /// Derivative of the conductance between `i - 1` and `i` by the temperature of `i`.
    fn by_near(&self, g: f64, temperature: &[f64], i: usize) -> f64 {
        let f = self.factor(temperature, i);
        g * g * self.near[i] / (f * f) * self.factor_slope(temperature, i)
    }
    fn edge_slopes(&self, g: &[f64], temperature: &[f64]) -> (f64, f64) {
        let n = temperature.len();
        (
            g[0] / self.factor(temperature, 0) * self.factor_slope(temperature, 0),
            g[n] / self.factor(temperature, n - 1) * self.factor_slope(temperature, n - 1),
        )
    }
}
