//! Many lumped cups at once, one a lane: each lane has its own time and step, only the arithmetic is shared.
//!
//! The same method as `kernel.rs` for a chain of one cell, for power laws and one constant film coefficient. A lane
//! never reads another, so a cup's answer does not depend on its neighbours.

use super::chemistry::{Law, early, lifted, most_growth, within};
use super::cubic::Cubic;
use super::kernel::Tolerance;
use super::tableau::RODAS4;

use super::vector::{Lanes, Wide, fused, greatest, widest};
use crate::cure::law::{Arrhenius, DERIVATIVE_FLOOR, FREE, Glass, Power, Term};
use crate::error::{Error, ErrorKind, Result};

/// A cup of one temperature in plain SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lumped {
    first: Term,
    second: Term,
    /// Adiabatic rise of a full cure, K.
    rise: f64,
    /// Loss over heat capacity, 1/s.
    loss: f64,
    around: f64,
    start: f64,
    seed: f64,
    gel: f64,
    duration: f64,
}

/// What became of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Followed {
    pub(crate) peak: f64,
    pub(crate) peak_time: f64,
    /// NaN where it did not gel.
    pub(crate) gel: f64,
    pub(crate) cure: f64,
}

impl Lumped {
    /// None for a law that is not made of power-law terms alone.
    #[allow(clippy::too_many_arguments)]
    pub(crate) fn new(
        law: &Law,
        rise: f64,
        loss: f64,
        around: f64,
        start: f64,
        seed: f64,
        gel: f64,
        duration: f64,
    ) -> Option<Self> {
        let Law::Power(p) = law else { return None };
        if p.glass.vitrifies() != FREE || p.rounded() {
            return None;
        }
        Some(Lumped {
            first: p.first,
            second: p.second.unwrap_or(Term::NONE),
            rise,
            loss,
            around,
            start,
            seed,
            gel,
            duration,
        })
    }
}

/// Cups that are followed side by side.
const SIDE_BY_SIDE: usize = 32;

/// A number of each of them.
type Many = [f64; SIDE_BY_SIDE];

/// Parameters of many cups.
#[derive(Debug, Clone, Copy)]
struct Parameters {
    ln_k: [Many; 2],
    e: [Many; 2],
    m: [Many; 2],
    n: [Many; 2],
    rise: Many,
    loss: Many,
    around: Many,
}

/// State of many cups with its derivatives.
#[derive(Debug, Clone, Copy)]
struct States {
    temperature: Many,
    cure: Many,
    /// `da/dt`.
    rate: Many,
    /// Derivative of the rate by conversion.
    by_cure: Many,
    /// Derivative of the rate by temperature.
    by_temperature: Many,
    /// `dT/dt`.
    heating: Many,
}

impl Parameters {
    fn set(&mut self, l: usize, c: &Lumped) {
        for (k, term) in [c.first, c.second].iter().enumerate() {
            self.ln_k[k][l] = term.k.ln_k;
            self.e[k][l] = term.k.e_over_r;
            self.m[k][l] = term.m;
            self.n[k][l] = term.n;
        }
        self.rise[l] = c.rise;
        self.loss[l] = c.loss;
        self.around[l] = c.around;
    }

    /// The law of a lane.
    #[inline(always)]
    fn law(&self, l: usize) -> Power {
        let term = |k: usize| Term {
            k: Arrhenius {
                ln_k: self.ln_k[k][l],
                e_over_r: self.e[k][l],
            },
            m: self.m[k][l],
            n: self.n[k][l],
        };
        Power {
            first: term(0),
            second: Some(term(1)),
            glass: Glass::NONE,
        }
    }

    #[inline(always)]
    fn heating(&self, l: usize, t: f64, rate: f64) -> f64 {
        self.rise[l] * rate - self.loss[l] * (t - self.around[l])
    }

    /// `da/dt` and `dT/dt`.
    #[inline(always)]
    fn rates<const F: bool>(&self, t: &Many, a: &Many, rate: &mut Many, heating: &mut Many) {
        for l in 0..SIDE_BY_SIDE {
            let r = self
                .law(l)
                .rate::<Lanes<F>, true, true, FREE, false, false>(t[l], a[l]);
            rate[l] = r.dalpha;
            heating[l] = self.heating(l, t[l], r.dalpha);
        }
    }

    /// Derivatives at `temperature` and `cure`.
    #[inline(always)]
    fn linearise<const F: bool>(&self, s: &mut States) {
        if greatest([&s.cure], |[a]| DERIVATIVE_FLOOR - a) > 0.0 {
            self.slopes::<F, true>(s);
        } else {
            self.slopes::<F, false>(s);
        }
    }

    #[inline(always)]
    fn slopes<const F: bool, const FLOORED: bool>(&self, s: &mut States) {
        for l in 0..SIDE_BY_SIDE {
            let t = s.temperature[l];
            let r = self
                .law(l)
                .rate::<Lanes<F>, true, true, FREE, FLOORED, false>(t, s.cure[l]);
            s.rate[l] = r.dalpha;
            s.by_cure[l] = r.dalpha_dalpha;
            s.by_temperature[l] = r.dalpha_dt;
            s.heating[l] = self.heating(l, t, r.dalpha);
        }
    }
}

/// Progress of one lane.
#[derive(Debug, Clone, Copy, Default)]
struct Lane {
    /// Index of its cup; none once the queue is empty.
    cup: Option<usize>,
    t: f64,
    h: f64,
    last_h: f64,
    last_error: f64,
    rejected: bool,
    steps: u32,
    peak: f64,
    peak_time: f64,
    gel: f64,
}

const SAFETY: f64 = 0.9;

/// Follows all cups, many side by side; the answers in the order of the cups.
pub(crate) fn follow(cups: &[Lumped], tol: Tolerance) -> Vec<Result<Followed>> {
    let mut answers: Vec<Option<Result<Followed>>> = cups.iter().map(|_| None).collect();
    let mut queue = 0..cups.len();
    let zero = [0.0; SIDE_BY_SIDE];
    let early = early(tol);
    let mut parameters = Parameters {
        ln_k: [[-700.0; SIDE_BY_SIDE]; 2],
        e: [zero; 2],
        m: [zero; 2],
        n: [zero; 2],
        rise: zero,
        loss: zero,
        around: [300.0; SIDE_BY_SIDE],
    };
    let mut lanes = [Lane::default(); SIDE_BY_SIDE];
    let mut now = States {
        temperature: [300.0; SIDE_BY_SIDE],
        cure: [0.5; SIDE_BY_SIDE],
        rate: zero,
        by_cure: zero,
        by_temperature: zero,
        heating: zero,
    };
    // Loads the next cup into a lane.
    let mut load = |l: usize, lane: &mut Lane, parameters: &mut Parameters, now: &mut States| {
        *lane = Lane {
            h: 1.0,
            gel: f64::NAN,
            ..Lane::default()
        };
        lane.cup = queue.next();
        if let Some(c) = lane.cup.map(|i| &cups[i]) {
            parameters.set(l, c);
            (now.temperature[l], now.cure[l]) = (c.start, c.seed);
            lane.peak = c.start;
            if c.seed >= c.gel {
                lane.gel = 0.0;
            }
        }
    };
    let mut fresh = [true; SIDE_BY_SIDE];
    for l in 0..SIDE_BY_SIDE {
        load(l, &mut lanes[l], &mut parameters, &mut now);
    }
    loop {
        if fresh.iter().any(|&f| f) {
            let mut at = now;
            for _ in 0..2 {
                widest(Linearise {
                    parameters: &parameters,
                    states: &mut at,
                });
                for (l, cure) in at.cure.iter_mut().enumerate() {
                    *cure = lifted(*cure, at.rate[l], at.by_cure[l]);
                }
            }
            for l in 0..SIDE_BY_SIDE {
                if fresh[l] {
                    now.take(l, &at);
                    let fastest = (at.heating[l].abs() / tol.temperature)
                        .max(at.rate[l] / tol.cure)
                        .max(1.0);
                    lanes[l].h = 1.5 / fastest;
                }
            }
            fresh = [false; SIDE_BY_SIDE];
        }
        if lanes.iter().all(|l| l.cup.is_none()) {
            break;
        }
        // Step sizes: not past the end, and no sevenfold growth of the conversion.
        let mut h = [1.0; SIDE_BY_SIDE];
        for l in 0..SIDE_BY_SIDE {
            if let Some(c) = lanes[l].cup {
                let left = cups[c].duration - lanes[l].t;
                let wanted = lanes[l]
                    .h
                    .min(2.0 / most_growth(early, now.by_cure[l], now.cure[l]).max(1e-300));
                h[l] = if wanted > 0.999 * left { left } else { wanted };
            }
        }
        let mut new = now;
        let mut error = zero;
        widest(Attempt {
            parameters: &parameters,
            now: &now,
            h: &h,
            tol,
            new: &mut new,
            error: &mut error,
        });
        for l in 0..SIDE_BY_SIDE {
            let lane = &mut lanes[l];
            let Some(index) = lane.cup else { continue };
            let cup = &cups[index];
            lane.steps += 1;
            let collapsed = h[l] < 4e-15 * lane.t.max(1.0);
            if lane.steps > 100_000 || collapsed {
                answers[index] = Some(Err(Error::new(ErrorKind::NotConverged, "run")
                    .with_value(format_args!("step of {:.2e} s at {:.3} s", h[l], lane.t))
                    .with_way_out("check rates and heat for values off by powers of ten")));
                load(l, lane, &mut parameters, &mut now);
                fresh[l] = true;
                continue;
            }
            let e = if error[l].is_finite() {
                error[l].max(1e-8)
            } else {
                1e8
            };
            // The order of the estimate is four: the fourth root.
            let mut shrink = (e.sqrt().sqrt() / SAFETY).clamp(1.0 / 6.0, 5.0);
            if e > 1.0 {
                lane.rejected = true;
                lane.h = h[l] / shrink;
                continue;
            }
            if lane.last_h > 0.0 {
                let predicted = (lane.last_h / h[l]) * (e * e / lane.last_error).sqrt().sqrt() / SAFETY;
                shrink = shrink.max(predicted.clamp(1.0 / 6.0, 5.0));
            }
            lane.last_h = h[l];
            lane.last_error = e.max(1e-2);
            let next = h[l] / shrink;
            lane.h = if lane.rejected { next.min(h[l]) } else { next };
            lane.rejected = false;
            if new.temperature[l] > lane.peak {
                (lane.peak, lane.peak_time) = (new.temperature[l], lane.t + h[l]);
            }
            let y = [now.temperature[l], new.temperature[l]];
            if let Some((value, x)) = Cubic::hermite(h[l], y, [now.heating[l], new.heating[l]]).summit()
                && value > lane.peak
            {
                (lane.peak, lane.peak_time) = (value, lane.t + x * h[l]);
            }
            if lane.gel.is_nan() && new.cure[l] >= cup.gel {
                let a = [now.cure[l], new.cure[l]];
                let x = Cubic::hermite(h[l], a, [now.rate[l], new.rate[l]]).crossing(cup.gel);
                lane.gel = lane.t + x * h[l];
            }
            lane.t += h[l];
            now.take(l, &new);
            if lane.t >= cup.duration * (1.0 - 1e-12) {
                answers[index] = Some(Ok(Followed {
                    peak: lane.peak,
                    peak_time: lane.peak_time,
                    gel: lane.gel,
                    cure: now.cure[l],
                }));
                load(l, lane, &mut parameters, &mut now);
                fresh[l] = true;
            }
        }
    }
    let missing = || Err(Error::new(ErrorKind::NotConverged, "run"));
    answers.into_iter().map(|a| a.unwrap_or_else(missing)).collect()
}

impl States {
    /// Takes one cup's numbers over.
    fn take(&mut self, l: usize, from: &States) {
        self.temperature[l] = from.temperature[l];
        self.cure[l] = from.cure[l];
        self.rate[l] = from.rate[l];
        self.by_cure[l] = from.by_cure[l];
        self.by_temperature[l] = from.by_temperature[l];
        self.heating[l] = from.heating[l];
    }
}

/// Derivatives of all cups.
struct Linearise<'a> {
    parameters: &'a Parameters,
    states: &'a mut States,
}

impl Wide for Linearise<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        self.parameters.linearise::<F>(self.states);
    }
}

/// One attempt of every cup: the new state with its derivatives, and the scaled error.
struct Attempt<'a> {
    parameters: &'a Parameters,
    now: &'a States,
    h: &'a Many,
    tol: Tolerance,
    new: &'a mut States,
    error: &'a mut Many,
}

impl Wide for Attempt<'_> {
    type Answer = ();
    #[inline(always)]
    fn run<const F: bool>(self) {
        attempt::<F>(self.parameters, self.now, self.h, self.tol, self.new, self.error);
        self.parameters.linearise::<F>(self.new);
    }
}

const S: usize = 6;

#[inline(always)]
fn attempt<const F: bool>(
    p: &Parameters,
    now: &States,
    h: &Many,
    tol: Tolerance,
    new: &mut States,
    error: &mut Many,
) {
    let zero = [0.0; SIDE_BY_SIDE];
    let (mut w, mut inverse, mut heat, mut per_h) = (zero, zero, zero, zero);
    for l in 0..SIDE_BY_SIDE {
        per_h[l] = 1.0 / h[l];
        let s = per_h[l] * (1.0 / RODAS4.gamma);
        w[l] = 1.0 / (s - now.by_cure[l]);
        inverse[l] = 1.0 / (s + p.loss[l] - p.rise[l] * s * w[l] * now.by_temperature[l]);
        heat[l] = p.rise[l] * now.by_cure[l] * w[l];
    }
    let (mut ut, mut ua) = ([zero; S], [zero; S]);
    let (mut at, mut aa) = (now.temperature, now.cure);
    let (mut rate, mut heating) = (now.rate, now.heating);
    for st in 0..S {
        let (mut bt, mut ba) = (zero, zero);
        if st > 0 {
            let a = &RODAS4.a[st][..st];
            (at, aa) = (now.temperature, now.cure);
            sum::<F>(&mut at, &ut, a);
            sum::<F>(&mut aa, &ua, a);
            p.rates::<F>(&at, &aa, &mut rate, &mut heating);
            let c = &RODAS4.c[st][..st];
            sum::<F>(&mut bt, &ut, c);
            sum::<F>(&mut ba, &ua, c);
        }
        for l in 0..SIDE_BY_SIDE {
            let b = fused::<F>(bt[l], per_h[l], heating[l]);
            let a = fused::<F>(ba[l], per_h[l], rate[l]);
            ut[st][l] = fused::<F>(heat[l], a, b) * inverse[l];
            ua[st][l] = fused::<F>(now.by_temperature[l], ut[st][l], a) * w[l];
        }
    }
    let (per_t, per_a) = (1.0 / tol.temperature, 1.0 / tol.cure);
    for l in 0..SIDE_BY_SIDE {
        let (et, ea) = (ut[S - 1][l] * per_t, ua[S - 1][l] * per_a);
        let e = (et * et + ea * ea).sqrt();
        error[l] = if w[l] > 0.0 && inverse[l] > 0.0 {
            e
        } else {
            f64::INFINITY
        };
        new.temperature[l] = at[l] + ut[S - 1][l];
        new.cure[l] = within(aa[l] + ua[S - 1][l]);
    }
}

/// `y + sum_j a_j u_j`.
#[inline(always)]
fn sum<const F: bool>(y: &mut Many, u: &[Many; S], a: &[f64]) {
    for (u, &a) in u.iter().zip(a) {
        for l in 0..SIDE_BY_SIDE {
            y[l] = fused::<F>(a, u[l], y[l]);
        }
    }
}
