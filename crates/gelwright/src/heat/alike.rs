//! Bodies that are alike, followed in the same steps: chains of as many cells, each body with numbers of its own.
//!
//! What is moved a little to see what that changes makes many bodies of one shape. The method is that of `kernel.rs`; the
//! bodies of a cell stand side by side, so that what is computed of them fills whole vectors, which a layer of two cells does not.
//! They step to where the body that they are moved from has, and between as the most demanding of them asks. Not kept: the heat
//! through the faces. Not alike: bodies whose
//! conductivity or heat capacity varies with temperature.

use super::alike_film::{Films, Flows};
use super::alike_glance::{Extremes, Glance, Sides, picked};
use super::alike_law::{AlikeLaw, BODIES, Each};
use super::chemistry::{Derivatives, Rates, early, most_growth, within};
use super::edge::Edge;
use super::kernel::{
    AGREE, BACK, Chain, MOST_STEPS, Next, Pace, STAGES, State, Tolerance, add, combine, flows, heating, lift,
    plus, right_sides, second_first, second_weights, substitute, weighted, weights,
};
use super::tableau::Tableau;
use super::vector::{Wide, fused, widest};
use crate::cores::{finished, on_all_cores};
use crate::error::Result;

/// Chains that are alike; every list holds a cell's bodies side by side.
#[derive(Default)]
struct Chains {
    per_capacity: Vec<f64>,
    conductance: Vec<f64>,
    rise: Vec<f64>,
    /// Where each begins and ends, in numbers, and its law.
    segments: Vec<(std::ops::Range<usize>, AlikeLaw)>,
    first: Faces,
    last: Faces,
}

/// One face of every body.
#[derive(Default)]
struct Faces {
    edges: Vec<Edge>,
    /// Where all are in still air and stand alike.
    films: Option<Films>,
}

impl Faces {
    fn of(edges: Vec<Edge>) -> Self {
        Faces {
            films: Films::of(&edges),
            edges,
        }
    }

    /// Goes by the courses of its surroundings from `t` on.
    fn locate(&mut self, t: f64) {
        self.edges.iter_mut().for_each(|e| e.locate(t));
        if let Some(films) = &mut self.films {
            films.locate(&self.edges);
        }
    }

    #[inline(always)]
    fn flow<const F: bool>(&mut self, cells: &[f64], conductance: &[f64], t: f64, flows: &mut Flows) {
        if let Some(films) = &mut self.films
            && let (Some(cells), Some(conductance)) = (cells.first_chunk(), conductance.first_chunk())
        {
            *flows = films.flow::<F>(cells, conductance, t);
            return;
        }
        let bodies = self.edges.len();
        for (b, edge) in self.edges.iter_mut().enumerate() {
            flows.set(b, bodies, edge.flow(cells[b], conductance[b], 0.0, t));
        }
    }
}

/// One number of each body after the other, the last body standing for those that are missing.
fn side_by_side(chains: &[Chain], of: impl Fn(&Chain) -> &[f64]) -> Vec<f64> {
    let n = of(&chains[0]).len();
    let body = |b: usize| &chains[b.min(chains.len() - 1)];
    (0..n * BODIES)
        .map(|k| of(body(k % BODIES))[k / BODIES])
        .collect()
}

impl Chains {
    /// None where they are not alike.
    fn of(chains: &[Chain]) -> Option<Self> {
        let first = chains.first()?;
        let like = |c: &Chain| {
            c.varying.is_none()
                && c.capacity.len() == first.capacity.len()
                && c.segments.len() == first.segments.len()
                && (c.segments.iter().zip(&first.segments)).all(|(a, b)| a.start == b.start && a.end == b.end)
        };
        if chains.len() > BODIES || !chains.iter().all(like) {
            return None;
        }
        let body = |b: usize| &chains[b.min(chains.len() - 1)];
        let mut segments = Vec::with_capacity(first.segments.len());
        for (k, s) in first.segments.iter().enumerate() {
            let law = AlikeLaw::of(&std::array::from_fn(|b| body(b).segments[k].law))?;
            segments.push((s.start * BODIES..s.end * BODIES, law));
        }
        let capacity = side_by_side(chains, |c| &c.capacity);
        Some(Chains {
            per_capacity: capacity.iter().map(|c| 1.0 / c).collect(),
            conductance: side_by_side(chains, |c| &c.conductance),
            rise: side_by_side(chains, |c| &c.rise),
            segments,
            first: Faces::of(chains.iter().map(|c| c.first.clone()).collect()),
            last: Faces::of(chains.iter().map(|c| c.last.clone()).collect()),
        })
    }
}

/// `follow` of each bundle of bodies that are moved, in the steps of the one that they are moved from; none where one of them is
/// none. In the same steps what these are off by falls out of the difference (internal numerical differentiation: H. G. Bock, in
/// K. H. Ebert, P. Deuflhard, W. Jaeger (eds.), "Modelling of Chemical Reaction Systems", 1981, pp. 102-125). On all cores.
pub(super) fn in_bundles<T: Sync, R: Send>(
    moved: &[T],
    follow: impl Fn(&[T]) -> Result<Option<Vec<R>>> + Sync + Send,
) -> Result<Option<Vec<R>>> {
    let bundles: Vec<&[T]> = moved.chunks(BODIES).collect();
    let each: Result<Vec<_>> = on_all_cores(bundles.len(), || (), |(), i| finished(follow(bundles[i])));
    let each: Option<Vec<Vec<R>>> = each?.into_iter().collect::<Result<_>>()?;
    Ok(each.map(|each| each.into_iter().flatten().collect()))
}

/// Time derivatives of all bodies.
#[derive(Default)]
pub(super) struct Slopes {
    pub(super) temperature: Vec<f64>,
    pub(super) cure: Vec<f64>,
    second: Vec<f64>,
    /// At the first and the last face of each body.
    pub(super) first: Flows,
    pub(super) last: Flows,
}

impl Slopes {
    fn resize(&mut self, n: usize) {
        for v in [&mut self.temperature, &mut self.cure, &mut self.second] {
            v.resize(n, 0.0);
        }
    }
}

/// Bodies on their way.
#[derive(Default)]
pub(super) struct Alike {
    chains: Chains,
    bodies: usize,
    /// Those that are still followed.
    going: [bool; BODIES],
    has_second: bool,
    now: State,
    new: State,
    slope: Slopes,
    new_slope: Slopes,
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
    weight: Vec<f64>,
    second_weight: Vec<f64>,
    by_temperature_all: Vec<f64>,
    heat_by_local: Vec<f64>,
    growth: f64,
    early: f64,
    // Stages.
    arg: State,
    stage: Slopes,
    flow: Vec<f64>,
    u_temperature: Vec<f64>,
    u_cure: Vec<f64>,
    u_second: Vec<f64>,
    bend: Vec<f64>,
    twist: Vec<f64>,
    pace: Pace,
    /// Layer by layer in the step that was made last.
    extremes: Vec<Extremes>,
}

impl Alike {
    /// None where they are not alike, or more than go side by side.
    pub(super) fn of(chains: &[Chain]) -> Option<Self> {
        let bodies = chains.len();
        let chains = Chains::of(chains)?;
        let mut alike = Alike {
            bodies,
            going: std::array::from_fn(|b| b < bodies),
            chains,
            ..Alike::default()
        };
        alike.fit();
        Some(alike)
    }

    /// Goes on with chains of more cells; none where these are not alike.
    pub(super) fn lay(mut self, chains: &[Chain]) -> Option<Self> {
        self.chains = Chains::of(chains)?;
        self.fit();
        Some(self)
    }

    /// Makes room for the chains.
    fn fit(&mut self) {
        let c = &self.chains;
        let n = c.rise.len();
        self.has_second = c.segments.iter().any(|s| s.1.spends_initiator());
        for v in [&mut self.now, &mut self.new, &mut self.arg] {
            v.resize(n);
        }
        for v in [&mut self.slope, &mut self.new_slope, &mut self.stage] {
            v.resize(n);
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
            &mut self.weight,
            &mut self.second_weight,
            &mut self.by_temperature_all,
            &mut self.heat_by_local,
            &mut self.bend,
            &mut self.twist,
        ] {
            v.resize(n, 0.0);
        }
        self.flow.resize(n + BODIES, 0.0);
        for v in [&mut self.u_temperature, &mut self.u_cure, &mut self.u_second] {
            v.resize(n * STAGES, 0.0);
        }
        for i in 0..n {
            let (per, g) = (c.per_capacity[i], &c.conductance);
            self.lower[i] = if i >= BODIES { per * g[i] } else { 0.0 };
            self.upper[i] = if i + BODIES < n { per * g[i + BODIES] } else { 0.0 };
            self.diagonal[i] = -self.lower[i] - self.upper[i];
        }
        self.pace.anew();
    }

    /// Sets a body's cell.
    pub(super) fn set(&mut self, body: usize, cell: usize, temperature: f64, cure: f64) {
        // Those that only fill the vector are what the last body is.
        let upto = if body + 1 == self.bodies { BODIES } else { body + 1 };
        for k in cell * BODIES + body..cell * BODIES + upto {
            (self.now.temperature[k], self.now.cure[k], self.now.second[k]) = (temperature, cure, 0.0);
        }
    }

    /// A body's temperatures and conversions now.
    pub(super) fn state(&self, body: usize) -> (Vec<f64>, Vec<f64>) {
        (picked(&self.now.temperature, body), picked(&self.now.cure, body))
    }

    /// Whether any is still followed.
    pub(super) fn any_going(&self) -> bool {
        self.going.contains(&true)
    }

    /// Whether this one is.
    pub(super) fn goes(&self, body: usize) -> bool {
        self.going[body]
    }

    /// Steps accepted and rejected so far.
    pub(super) fn counts(&self) -> super::kernel::Counts {
        self.pace.counts
    }

    #[inline(always)]
    fn rates<const F: bool>(chains: &mut Chains, t: f64, y: &State, out: &mut Slopes, flow: &mut [f64]) {
        for (r, law) in &chains.segments {
            law.rates::<F>(&mut Rates {
                temperature: &y.temperature[r.clone()],
                cure: &y.cure[r.clone()],
                second: &y.second[r.clone()],
                rate: &mut out.cure[r.clone()],
                second_rate: &mut out.second[r.clone()],
            });
        }
        Self::conduct::<F>(chains, t, y, out, flow);
    }

    /// Heat flows and temperature slopes, the chemistry's rates being known.
    #[inline(always)]
    fn conduct<const F: bool>(chains: &mut Chains, t: f64, y: &State, out: &mut Slopes, flow: &mut [f64]) {
        let n = chains.rise.len();
        let g = &chains.conductance[..];
        let last = n - BODIES;
        let ends = [&y.temperature[..BODIES], &y.temperature[last..]];
        chains.first.flow::<F>(ends[0], &g[..BODIES], t, &mut out.first);
        chains.last.flow::<F>(ends[1], &g[n..], t, &mut out.last);
        for b in 0..BODIES {
            flow[b] = out.first.heat[b];
            flow[n + b] = -out.last.heat[b];
        }
        flows(
            &mut flow[BODIES..n],
            &g[BODIES..n],
            &y.temperature[..last],
            &y.temperature[BODIES..],
        );
        let (inward, onward) = (&flow[..n], &flow[BODIES..]);
        heating::<F>(
            &mut out.temperature,
            inward,
            onward,
            &chains.per_capacity,
            &chains.rise,
            &out.cure,
        );
    }

    #[inline(always)]
    fn linearise_here<const F: bool>(&mut self, t: f64) {
        let n = self.chains.rise.len();
        for (r, law) in &self.chains.segments {
            law.slopes::<F>(
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
                    second_by_temperature: &mut self.second_by_temperature[r.clone()],
                },
            );
        }
        Self::conduct::<F>(
            &mut self.chains,
            t,
            &self.new,
            &mut self.new_slope,
            &mut self.flow,
        );
        let growths = growths(self.early, &self.by_cure, &self.new.cure);
        // What one does that is followed no more keeps none of the others back.
        self.growth = (growths.iter().zip(&self.going))
            .filter(|(_, going)| **going)
            .fold(0.0, |most, (growth, _)| growth.max(most));
        let last = n - BODIES;
        for k in (0..BODIES).chain(last..n) {
            self.diagonal[k] = -self.lower[k] - self.upper[k];
        }
        for b in 0..BODIES {
            let per = &self.chains.per_capacity;
            self.diagonal[b] += self.new_slope.first.by_temperature[b] * per[b];
            self.diagonal[last + b] += self.new_slope.last.by_temperature[b] * per[last + b];
        }
    }

    fn linearise(&mut self, t: f64) {
        widest(Linearise { work: self, t });
    }

    /// Starts at the state that is set, at time `t`.
    pub(super) fn begin(&mut self, t: f64, tolerance: Tolerance) {
        self.chains.first.locate(t);
        self.chains.last.locate(t);
        self.early = early(tolerance);
        std::mem::swap(&mut self.now, &mut self.new);
        self.linearise(t);
        if lift(&mut self.new.cure, &self.new_slope.cure, &self.by_cure) {
            self.linearise(t);
        }
        std::mem::swap(&mut self.now, &mut self.new);
        std::mem::swap(&mut self.slope, &mut self.new_slope);
        let mut fastest = 0.0_f64;
        for (k, (t, a)) in self.slope.temperature.iter().zip(&self.slope.cure).enumerate() {
            if self.going[k % BODIES] {
                fastest = fastest
                    .max(t.abs() / tolerance.temperature)
                    .max(a.abs() / tolerance.cure);
            }
        }
        self.pace.begin(fastest);
    }

    /// Goes on past a corner of a face's course.
    pub(super) fn resume(&mut self, t: f64, tolerance: Tolerance) {
        let before = self.pace;
        self.begin(t, tolerance);
        self.pace.resume(before);
    }

    #[inline(always)]
    fn attempt_here<const F: bool, const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        t: f64,
        h: f64,
        tol: Tolerance,
    ) -> f64 {
        let n = self.chains.rise.len();
        let last = n - BODIES;
        let s = 1.0 / (tab.gamma * h);
        if !self.factor::<F>(s) {
            return f64::INFINITY;
        }
        for st in 0..S {
            let a = &tab.a[st][..st];
            let mut c = [0.0; S];
            for (c, t) in c.iter_mut().zip(&tab.c[st][..st]) {
                *c = t / h;
            }
            let c = &c[..st];
            let at = st * n;
            let (before_t, now_t) = self.u_temperature.split_at_mut(at);
            let (before_a, now_a) = self.u_cure.split_at_mut(at);
            let (before_i, now_i) = self.u_second.split_at_mut(at);
            let (b, ba, bi) = (&mut now_t[..n], &mut now_a[..n], &mut now_i[..n]);
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
                let (chains, at) = (&mut self.chains, t + tab.at[st] * h);
                Self::rates::<F>(chains, at, &self.arg, &mut self.stage, &mut self.flow);
            }
            let f = if st == 0 { &self.slope } else { &self.stage };
            let per = &self.chains.per_capacity;
            for body in 0..BODIES {
                b[body] += tab.d[st] * h * self.slope.first.by_time[body] * per[body];
                b[last + body] += tab.d[st] * h * self.slope.last.by_time[body] * per[last + body];
            }
            if self.has_second {
                add(bi, &f.second);
                second_first::<F>(b, ba, bi, &self.by_second, &self.second_weight, &self.chains.rise);
            }
            right_sides::<F>(b, ba, &f.temperature, &f.cure, &self.heat_by_local);
            solve::<F>(b, &self.inverse, &self.low, &self.upper);
            substitute::<F>(ba, b, &self.by_temperature_all, &self.weight);
            if self.has_second {
                substitute::<F>(bi, b, &self.second_by_temperature, &self.second_weight);
            }
        }
        let at = (S - 1) * n;
        let (ut, ua) = (&self.u_temperature[at..at + n], &self.u_cure[at..at + n]);
        plus(&mut self.new.temperature, &self.arg.temperature, ut);
        plus(&mut self.new.cure, &self.arg.cure, ua);
        let mut errors = squares(ut, 1.0 / tol.temperature);
        let more = squares(ua, 1.0 / tol.cure);
        let back = backs(&self.now.cure, &self.new.cure);
        self.new.cure.iter_mut().for_each(|x| *x = within(*x));
        let mut third = [0.0; BODIES];
        if self.has_second {
            let ui = &self.u_second[at..at + n];
            plus(&mut self.new.second, &self.arg.second, ui);
            self.new.second.iter_mut().for_each(|x| *x = within(*x));
            third = squares(ui, 1.0 / tol.cure);
        }
        let mut worst = 0.0_f64;
        #[allow(clippy::cast_precision_loss)]
        let cells = (n / BODIES) as f64;
        for b in (0..BODIES).filter(|b| self.going[*b]) {
            errors[b] = ((errors[b] + more[b] + third[b]) / cells).sqrt();
            let back = back[b] / (BACK * tol.cure);
            let error = if back > errors[b] { back } else { errors[b] };
            if !error.is_finite() {
                return f64::INFINITY;
            }
            worst = error.max(worst);
        }
        worst
    }

    /// Factors `1/(h gamma) - J` with the local states eliminated; false where it is singular for one that is still followed.
    #[inline(always)]
    fn factor<const F: bool>(&mut self, s: f64) -> bool {
        let n = self.chains.rise.len();
        if self.has_second {
            second_weights(
                s,
                &self.second_by_second,
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
            &self.by_cure,
            &self.by_temperature_all,
            &self.chains.rise,
            &self.diagonal,
            &mut self.weight,
            &mut self.heat_by_local,
            &mut self.inverse,
        );
        let sound = eliminate::<F>(&mut self.inverse, &self.lower, &self.upper, &mut self.low);
        (0..BODIES).all(|b| sound[b] || !self.going[b])
    }

    /// Steps from `t0` to `end` exactly, by way of `through`, or until none is followed any more, calling `observe` after every step
    /// for each body that is; one that says `Stop` is followed no further.
    ///
    /// # Errors
    /// As [`Workspace::advance`](super::kernel::Workspace::advance).
    pub(super) fn advance<const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        (t0, end): (f64, f64),
        through: &[f64],
        tol: Tolerance,
        observe: &mut impl FnMut(&Glance) -> Result<Next>,
    ) -> Result<f64> {
        let mut t = t0;
        let through = &through[through.partition_point(|x| *x <= t0)..];
        let through = &through[..through.partition_point(|x| *x <= end)];
        for stop in through.iter().copied().chain(std::iter::once(end)) {
            self.pace.reaches(stop - t);
            t = self.steps(tab, (t, stop), tol, observe)?;
        }
        Ok(t)
    }

    /// Steps as long as the most demanding of them allows.
    fn steps<const S: usize>(
        &mut self,
        tab: &Tableau<S>,
        (t0, end): (f64, f64),
        tol: Tolerance,
        observe: &mut impl FnMut(&Glance) -> Result<Next>,
    ) -> Result<f64> {
        let mut t = t0;
        self.pace.rejected = false;
        while t < end && self.any_going() {
            let left = end - t;
            let h = self.pace.step(t, left, self.growth, MOST_STEPS)?;
            let error = widest(Attempt {
                work: self,
                tab,
                t,
                h,
                tol,
            });
            if !self.pace.accepts(h, left, error, tab.exponent) {
                continue;
            }
            let t1 = if h == left { end } else { t + h };
            self.linearise(t1);
            widest(Dense { work: self, tab });
            let sides = Sides {
                t0: t,
                t1,
                before: (&self.now, &self.slope),
                after: (&self.new, &self.new_slope),
                bend: &self.bend,
                twist: &self.twist,
                agree: AGREE * tol.temperature,
            };
            widest(Look {
                sides,
                segments: &self.chains.segments,
                extremes: &mut self.extremes,
            });
            for body in 0..self.bodies {
                if self.going[body] {
                    let extremes = &self.extremes;
                    let next = observe(&Glance {
                        sides,
                        body,
                        extremes,
                    })?;
                    self.going[body] = next == Next::Go;
                }
            }
            std::mem::swap(&mut self.now, &mut self.new);
            std::mem::swap(&mut self.slope, &mut self.new_slope);
            t = t1;
        }
        Ok(t)
    }
}

// Loops over cells and bodies, as functions so that their slices are known not to overlap.

/// Elimination from the first cell to the last: one over each pivot, into `inverse`, and the element before it times that of the cell
/// before. False for a body with a pivot that is not positive.
#[inline(always)]
fn eliminate<const F: bool>(
    inverse: &mut [f64],
    lower: &[f64],
    upper: &[f64],
    low: &mut [f64],
) -> [bool; BODIES] {
    let inverse = inverse.as_chunks_mut::<BODIES>().0;
    let [lower, upper] = [lower, upper].map(|s| s.as_chunks::<BODIES>().0);
    let low = low.as_chunks_mut::<BODIES>().0;
    let (mut sound, mut before): (Each, Each) = ([1.0; BODIES], [0.0; BODIES]);
    for c in 0..inverse.len() {
        let above: Each = if c > 0 { upper[c - 1] } else { [0.0; BODIES] };
        for b in 0..BODIES {
            let m = lower[c][b] * before[b];
            let d = fused::<F>(-m, above[b], inverse[c][b]);
            low[c][b] = m;
            sound[b] = if d > 0.0 { sound[b] } else { 0.0 };
            before[b] = 1.0 / d;
            inverse[c][b] = before[b];
        }
    }
    sound.map(|s| s > 0.0)
}

/// Solves in place, from the first cell to the last and back.
#[inline(always)]
fn solve<const F: bool>(x: &mut [f64], inverse: &[f64], low: &[f64], upper: &[f64]) {
    let x = x.as_chunks_mut::<BODIES>().0;
    let [inverse, low, upper] = [inverse, low, upper].map(|s| s.as_chunks::<BODIES>().0);
    let n = x.len();
    let mut before: Each = [0.0; BODIES];
    for c in 0..n {
        for b in 0..BODIES {
            before[b] = fused::<F>(low[c][b], before[b], x[c][b]);
            x[c][b] = before[b];
        }
    }
    let mut after: Each = [0.0; BODIES];
    for c in (0..n).rev() {
        for b in 0..BODIES {
            after[b] = fused::<F>(upper[c][b], after[b], x[c][b]) * inverse[c][b];
            x[c][b] = after[b];
        }
    }
}

/// Sum over the cells of each body of the squares of `u` over its tolerance.
#[inline(always)]
fn squares(u: &[f64], per: f64) -> Each {
    let mut sums = [0.0; BODIES];
    for cell in u.as_chunks::<BODIES>().0 {
        for b in 0..BODIES {
            sums[b] += (cell[b] * per) * (cell[b] * per);
        }
    }
    sums
}

/// [`most_growth`] of any cell of each body, 1/s.
#[inline(always)]
fn growths(early: f64, by_cure: &[f64], cure: &[f64]) -> Each {
    let mut most = [0.0; BODIES];
    let [by_cure, cure] = [by_cure, cure].map(|s| s.as_chunks::<BODIES>().0);
    for (by_cure, cure) in by_cure.iter().zip(cure) {
        for b in 0..BODIES {
            let growth = most_growth(early, by_cure[b], cure[b]);
            most[b] = if growth > most[b] { growth } else { most[b] };
        }
    }
    most
}

/// How far the conversion of any cell of each body goes back.
#[inline(always)]
fn backs(before: &[f64], after: &[f64]) -> Each {
    let mut most = [f64::NEG_INFINITY; BODIES];
    let [before, after] = [before, after].map(|s| s.as_chunks::<BODIES>().0);
    for (before, after) in before.iter().zip(after) {
        for b in 0..BODIES {
            let back = before[b] - after[b];
            most[b] = if back > most[b] { back } else { most[b] };
        }
    }
    most
}

/// [`Alike::attempt_here`] as a kernel.
struct Attempt<'a, const S: usize> {
    work: &'a mut Alike,
    tab: &'a Tableau<S>,
    t: f64,
    h: f64,
    tol: Tolerance,
}

impl<const S: usize> Wide for Attempt<'_, S> {
    type Answer = f64;
    #[inline(always)]
    fn run<const F: bool>(self) -> f64 {
        self.work.attempt_here::<F, S>(self.tab, self.t, self.h, self.tol)
    }
}

/// [`Alike::linearise_here`] as a kernel.
struct Linearise<'a> {
    work: &'a mut Alike,
    t: f64,
}

impl Wide for Linearise<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        self.work.linearise_here::<F>(self.t);
    }
}

/// What goes on within the step that was made last.
struct Dense<'a, const S: usize> {
    work: &'a mut Alike,
    tab: &'a Tableau<S>,
}

impl<const S: usize> Wide for Dense<'_, S> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        let w = self.work;
        let [bend, twist] = &self.tab.dense;
        weighted::<F, S>(&mut w.bend, &mut w.twist, &w.u_temperature, bend, twist);
    }
}

/// What is seen of the step that was made last.
struct Look<'a> {
    sides: Sides<'a>,
    segments: &'a [(std::ops::Range<usize>, AlikeLaw)],
    extremes: &'a mut Vec<Extremes>,
}

impl Wide for Look<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        self.extremes.resize(self.segments.len(), Extremes::default());
        for (extremes, (cells, _)) in self.extremes.iter_mut().zip(self.segments) {
            *extremes = self.sides.extremes(cells);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::cup::{Place, Resolve};
    use super::super::face::{Evaporation, Stance};
    use super::super::wall::LayerBrief;
    use super::super::{Course, Cup, Cure, Face, Layer, Surroundings, Thermal, Wall, WallBrief};
    use crate::cancel::Cancel;
    use crate::cure::kinetics::samples;
    use crate::quantity::{Length, Quantity, Time, temperature::celsius};

    fn si<Q: Quantity>(x: f64) -> Q {
        Q::from_si(x).unwrap()
    }

    fn cure(kinetics: &crate::cure::Kinetics) -> Cure {
        Cure::new(kinetics.clone(), si(0.3))
    }

    /// A mould, a coat, a laminate laid half an hour later on a face that loses vapour: every law, each wall a little warmer
    /// and in a stronger film than the one before, by so many kelvin and such a part.
    fn walls(kinetics: &crate::cure::Kinetics, kelvin: f64, film_stronger: f64) -> Vec<Wall> {
        (0..11u32)
            .map(|i| {
                let warm = celsius(20.0 + kelvin * f64::from(i));
                let film = |stance| Surroundings {
                    film_factor: 1.0 + film_stronger * f64::from(i),
                    ..Surroundings::new(stance, si(0.2), 0.9)
                };
                let still = |stance, evaporation| Face::StillAir {
                    surroundings: film(stance),
                    temperature: Course::Steady(warm),
                    evaporation,
                };
                let resin = || Thermal::new(si(1150.0), si(1800.0), si(0.2));
                let of =
                    |name: &str, thick: Length| Layer::curing(name, thick, resin(), cure(kinetics), warm);
                let layers = vec![
                    Layer::inert(
                        "mould",
                        si(0.006),
                        Thermal::new(si(1800.0), si(1000.0), si(0.4)),
                        warm,
                    ),
                    of("coat", si(0.0006)),
                    Layer {
                        laid_at: si(1800.0),
                        ..of("laminate", si(0.003))
                    },
                ];
                let wet = Evaporation::rolled(si::<Time>(1800.0), si(3600.0)).unwrap();
                Wall::plane(
                    layers,
                    still(Stance::LevelDown, vec![]),
                    still(Stance::LevelUp, vec![wet]),
                    si(40_000.0),
                )
            })
            .collect()
    }

    /// So little apart that alone their cells are the same; so are the steps, which are tight.
    fn near_walls(kinetics: &crate::cure::Kinetics) -> Vec<Wall> {
        let tight = |wall| Wall {
            peak_within: si(0.05),
            ..wall
        };
        walls(kinetics, 0.02, 0.002).into_iter().map(tight).collect()
    }

    /// The first, and what the others are beside it.
    fn beside(walls: &[Wall]) -> (WallBrief, Vec<WallBrief>) {
        let paced = walls[0].paced(0.5, Cancel::NEVER).unwrap();
        paced.beside(&walls[1..], Cancel::NEVER).unwrap()
    }

    /// A wall that is followed beside others is what it is alone, within what steps may be off.
    #[test]
    fn walls_side_by_side_are_what_they_are_alone() {
        for kinetics in samples::kinetics() {
            let walls = near_walls(&kinetics);
            let (unmoved, moved) = beside(&walls);
            assert_eq!(moved.len() + 1, walls.len());
            let together = std::iter::once(&unmoved).chain(&moved);
            for (wall, beside) in walls.iter().zip(together) {
                let alone = wall.followed_once(0.5, Cancel::NEVER).unwrap().0;
                let near = |a: f64, b: f64, within: f64, what: &str| {
                    assert!(
                        (a - b).abs() <= within,
                        "{:?} {:?}: {what} {a} beside, {b} alone",
                        kinetics.law,
                        kinetics.vitrification
                    );
                };
                near(beside.peak.si(), alone.peak.temperature.si(), 0.2, "peak");
                for (a, b) in beside.surfaces.iter().zip(&alone.surfaces) {
                    // Read at the ends of steps, of which these are others.
                    near(a.si(), b.temperature.si(), 0.3, "face");
                }
                for (a, b) in beside.layers.iter().zip(&alone.layers) {
                    if let (Some(a), Some(b)) = (a.least_cure, b.least_cure) {
                        near(a.get(), b.get(), 2e-3, "cure");
                    }
                    match (a.gel_ends, b.gel_ends) {
                        (Some(a), Some(b)) => near(a.si(), b.si(), 3e-3 * b.si(), "gel"),
                        (a, b) => assert_eq!(a.is_some(), b.is_some(), "{:?}", kinetics.law),
                    }
                }
            }
        }
    }

    /// By how much a wall or a cup is moved is the same in loose steps beside the unmoved one and in tight steps of each alone. (A
    /// law of an order below one ends its reaction at once: its peak is read the least well between steps.)
    fn moved_alike(what: &str, (moved, unmoved): (f64, f64), alone: (f64, f64), near: f64) {
        let (beside, alone) = (moved - unmoved, alone.0 - alone.1);
        assert!(
            (beside - alone).abs() <= 0.15 * alone.abs() + near,
            "{what}: moved by {beside} beside, by {alone} alone"
        );
    }

    #[test]
    fn walls_side_by_side_are_moved_as_they_are_alone() {
        for kinetics in samples::kinetics() {
            let walls = walls(&kinetics, 0.2, 0.01);
            let (unmoved, moved) = beside(&walls);
            let alone: Vec<_> = walls
                .iter()
                .map(|wall| {
                    // On the same cells in tight steps.
                    let tight = Wall {
                        peak_within: si(0.01),
                        ..wall.clone()
                    };
                    tight.paced(0.5, Cancel::NEVER).unwrap().brief().unwrap()
                })
                .collect();
            for (moved, alone_moved) in moved.iter().zip(&alone[1..]) {
                let what = |of: &str| format!("{:?} {:?} {of}", kinetics.law, kinetics.vitrification);
                moved_alike(
                    &what("peak"),
                    (moved.peak.si(), unmoved.peak.si()),
                    (alone_moved.peak.si(), alone[0].peak.si()),
                    0.2,
                );
                for (k, layer) in moved.layers.iter().enumerate() {
                    let alone = (&alone_moved.layers[k], &alone[0].layers[k]);
                    let cure = |l: &LayerBrief| l.least_cure.map_or(0.0, |c| c.get());
                    moved_alike(
                        &what("cure"),
                        (cure(layer), cure(&unmoved.layers[k])),
                        (cure(alone.0), cure(alone.1)),
                        1e-3,
                    );
                    let gel = |l: &LayerBrief| l.gel_ends.map_or(0.0, |t| t.si());
                    moved_alike(
                        &what("gel"),
                        (gel(layer), gel(&unmoved.layers[k])),
                        (gel(alone.0), gel(alone.1)),
                        2e-3 * gel(alone.1),
                    );
                }
            }
        }
    }

    /// A cup of so many kilograms on a bench, all of it as warm.
    fn standing(kinetics: &crate::cure::Kinetics, warm: f64, mass: f64) -> Cup {
        let warm = celsius(warm);
        Cup {
            resolve: Resolve::Lumped,
            stop_when_cooling: true,
            ..Cup::new(
                si(mass),
                si(0.05),
                Thermal::new(si(1150.0), si(1800.0), si(0.2)),
                cure(kinetics),
                warm,
                Place::Bench {
                    air: Course::Steady(warm),
                    emissivity: 0.9,
                },
                si(86_400.0),
            )
        }
    }

    #[test]
    fn cups_side_by_side_are_what_they_are_alone() {
        for kinetics in samples::kinetics() {
            let cups: Vec<Cup> = (0..10u32)
                .map(|i| standing(&kinetics, 18.0 + f64::from(i), 0.1 + 0.02 * f64::from(i)))
                .collect();
            let (unmoved, moved) = cups[0].followed_beside(&cups[1..], Cancel::NEVER).unwrap();
            let together = std::iter::once(&unmoved).chain(&moved);
            for (cup, beside) in cups.iter().zip(together) {
                let alone = cup.run(Cancel::NEVER).unwrap();
                let off = beside.peak.si() - alone.peak.si();
                assert!(off.abs() < 0.1, "{:?}: peak off by {off} K", kinetics.law);
                let off = beside.peak_time.si() / alone.peak_time.si() - 1.0;
                assert!(
                    off.abs() < 0.03 || alone.peak.si() - cup.starts_at.si() < 0.5,
                    "{:?}: {off}",
                    kinetics.law
                );
                match (beside.gel, alone.gel) {
                    (Some(a), Some(b)) => {
                        let off = a.si() / b.si() - 1.0;
                        assert!(off.abs() < 5e-3, "{:?}: gel off by {off}", kinetics.law);
                    }
                    (a, b) => assert_eq!(a.is_some(), b.is_some(), "{:?}", kinetics.law),
                }
            }
        }
    }

    #[test]
    fn cups_side_by_side_are_moved_as_they_are_alone() {
        for kinetics in samples::kinetics() {
            let cups: Vec<Cup> = (0..10u32)
                .map(|i| standing(&kinetics, 20.0 + 0.3 * f64::from(i), 0.2 + 0.002 * f64::from(i)))
                .collect();
            let (unmoved, moved) = cups[0].followed_beside(&cups[1..], Cancel::NEVER).unwrap();
            let unmoved_alone = cups[0].brief(Cancel::NEVER).unwrap();
            for (cup, moved) in cups[1..].iter().zip(&moved) {
                let alone = cup.brief(Cancel::NEVER).unwrap();
                let what = |of: &str| format!("{:?} {of}", kinetics.law);
                moved_alike(
                    &what("peak"),
                    (moved.peak.si(), unmoved.peak.si()),
                    (alone.peak.si(), unmoved_alone.peak.si()),
                    0.05,
                );
                let gel = |b: &super::super::CupBrief| b.gel.map_or(0.0, |t| t.si());
                moved_alike(
                    &what("gel"),
                    (gel(moved), gel(&unmoved)),
                    (gel(&alone), gel(&unmoved_alone)),
                    2e-3 * gel(&unmoved_alone),
                );
            }
        }
    }

    /// One that runs away ends where it does alone, and keeps none of the others back.
    #[test]
    fn a_runaway_beside_others_leaves_them_as_they_are() {
        let kinetics = &samples::kinetics()[0];
        let few = near_walls(kinetics)[..5].to_vec();
        let (_, quiet) = beside(&few);
        let mut hot = samples::kinetics()[0].clone();
        hot.heat_of_reaction = si(1990e3);
        let mut wild = few[1].clone();
        let laminate = &mut wild.layers[2];
        laminate.cure = Some(cure(&hot));
        laminate.thermal.specific_heat = si(900.0);
        let alone = wild.followed_once(0.5, Cancel::NEVER).unwrap().0;
        assert!(alone.runaway.is_some() && alone.ended == super::super::Ended::Runaway);
        let mut many = few.clone();
        many.push(wild);
        let (_, loud) = beside(&many);
        for (a, b) in loud.iter().zip(&quiet) {
            let off = a.peak.si() - b.peak.si();
            assert!(off.abs() < 0.2, "{off}");
        }
    }

    /// What stands for a missing body is that beside it, and shows nowhere: three walls are what they are among eight.
    #[test]
    fn a_few_are_what_they_are_among_many_like_the_last() {
        let kinetics = &samples::kinetics()[0];
        let few = &near_walls(kinetics)[..3];
        let many: Vec<Wall> = (0..8).map(|i| few[i.min(2)].clone()).collect();
        for (a, b) in beside(few).1.iter().zip(&beside(&many).1) {
            assert_eq!(a.peak.si().to_bits(), b.peak.si().to_bits());
        }
    }
}
