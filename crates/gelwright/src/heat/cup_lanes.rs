//! Many lumped cups at once, one a lane: each lane has its own time and step, only the arithmetic is shared.
//!
//! The same method as `kernel.rs` for a chain of one cell, for power laws and one constant film coefficient. A lane
//! never reads another, so a cup's answer does not depend on its neighbours.

use super::chemistry::{Law, SLOPE_FLOOR, TINY, Term, at_least, within};
use super::kernel::Tolerance;
use super::tableau::RODAS4;
use super::track::{crossing, summit};
use super::vector::{LANES, Lanes, exp, ln, map, zip};
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
        if p.ceiling.is_some() {
            return None;
        }
        // A term that is not there: exp(-700).
        let nothing = Term {
            k: super::chemistry::Constant {
                ln_k: -700.0,
                e_over_r: 0.0,
            },
            m: 0.0,
            n: 0.0,
        };
        Some(Lumped {
            first: p.first,
            second: p.second.unwrap_or(nothing),
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

/// Parameters of four cups.
#[derive(Debug, Clone, Copy, Default)]
struct Four {
    ln_k: [Lanes; 2],
    e: [Lanes; 2],
    m: [Lanes; 2],
    n: [Lanes; 2],
    rise: Lanes,
    loss: Lanes,
    around: Lanes,
}

impl Four {
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

    #[inline(always)]
    fn term(&self, k: usize, per_t: Lanes, ln_a: Lanes, ln_u: Lanes) -> Lanes {
        let mut x = [0.0; LANES];
        for l in 0..LANES {
            x[l] = (self.ln_k[k][l] - self.e[k][l] * per_t[l])
                + (self.n[k][l] * ln_u[l] + self.m[k][l] * ln_a[l]);
        }
        exp(x)
    }

    #[inline(always)]
    fn rate(&self, t: Lanes, a: Lanes) -> Lanes {
        let a = within(a);
        let per_t = map(t, |t| 1.0 / t);
        let ln_u = ln(at_least(map(a, |a| 1.0 - a), TINY));
        let ln_a = ln(at_least(a, TINY));
        zip(
            self.term(0, per_t, ln_a, ln_u),
            self.term(1, per_t, ln_a, ln_u),
            |r, s| r + s,
        )
    }

    /// Rate, its slope by conversion and by temperature.
    #[inline(always)]
    fn slopes(&self, t: Lanes, a: Lanes) -> [Lanes; 3] {
        let a = within(a);
        let u = map(a, |a| 1.0 - a);
        let per_t = map(t, |t| 1.0 / t);
        let (ln_a, ln_u) = (ln(at_least(a, TINY)), ln(at_least(u, TINY)));
        let (af, uf) = (at_least(a, SLOPE_FLOOR), at_least(u, SLOPE_FLOOR));
        let floored = af != a || uf != u;
        let (ln_af, ln_uf) = if floored { (ln(af), ln(uf)) } else { (ln_a, ln_u) };
        let mut out = [[0.0; LANES]; 3];
        for k in 0..2 {
            let value = self.term(k, per_t, ln_a, ln_u);
            let at = if floored {
                self.term(k, per_t, ln_af, ln_uf)
            } else {
                value
            };
            for l in 0..LANES {
                out[0][l] += value[l];
                out[1][l] += at[l] * (self.m[k][l] / af[l] - self.n[k][l] / uf[l]);
                out[2][l] += value[l] * self.e[k][l] * per_t[l] * per_t[l];
            }
        }
        out
    }

    #[inline(always)]
    fn heating(&self, t: Lanes, rate: Lanes) -> Lanes {
        let mut f = [0.0; LANES];
        for l in 0..LANES {
            f[l] = self.rise[l] * rate[l] - self.loss[l] * (t[l] - self.around[l]);
        }
        f
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

/// Follows all cups, four at a time; the answers in the order of the cups.
pub(crate) fn follow(cups: &[Lumped], tol: Tolerance) -> Vec<Result<Followed>> {
    let mut answers: Vec<Option<Result<Followed>>> = cups.iter().map(|_| None).collect();
    let mut queue = 0..cups.len();
    let mut four = Four {
        around: [300.0; LANES],
        ..Four::default()
    };
    let mut lanes = [Lane::default(); LANES];
    let (mut temperature, mut cure) = ([300.0; LANES], [0.5; LANES]);
    let mut slopes = [[0.0; LANES]; 3];
    let mut heating = [0.0; LANES];
    // Loads the next cup into a lane.
    let mut load = |l: usize, lane: &mut Lane, four: &mut Four, t: &mut Lanes, a: &mut Lanes| {
        *lane = Lane {
            h: 1.0,
            gel: f64::NAN,
            ..Lane::default()
        };
        lane.cup = queue.next();
        if let Some(c) = lane.cup.map(|i| &cups[i]) {
            four.set(l, c);
            (t[l], a[l]) = (c.start, c.seed);
            lane.peak = c.start;
            if c.seed >= c.gel {
                lane.gel = 0.0;
            }
        }
    };
    let mut fresh = [true; LANES];
    for l in 0..LANES {
        load(l, &mut lanes[l], &mut four, &mut temperature, &mut cure);
    }
    loop {
        if fresh.iter().any(|&f| f) {
            let s = four.slopes(temperature, cure);
            let f = four.heating(temperature, s[0]);
            for l in 0..LANES {
                if fresh[l] {
                    for k in 0..3 {
                        slopes[k][l] = s[k][l];
                    }
                    heating[l] = f[l];
                    let fastest = (f[l].abs() / tol.temperature).max(s[0][l] / tol.cure).max(1.0);
                    lanes[l].h = 1.5 / fastest;
                }
            }
            fresh = [false; LANES];
        }
        if lanes.iter().all(|l| l.cup.is_none()) {
            break;
        }
        // Step sizes: not past the end, and no sevenfold growth of the conversion.
        let mut h = [1.0; LANES];
        for l in 0..LANES {
            if let Some(c) = lanes[l].cup {
                let left = cups[c].duration - lanes[l].t;
                let wanted = lanes[l].h.min(2.0 / slopes[1][l].max(1e-300));
                h[l] = if wanted > 0.999 * left { left } else { wanted };
            }
        }
        let (new_t, new_a, error) = attempt(&four, temperature, cure, &slopes, heating, h, tol);
        let new_slopes = four.slopes(new_t, new_a);
        let new_heating = four.heating(new_t, new_slopes[0]);
        for l in 0..LANES {
            let lane = &mut lanes[l];
            let Some(index) = lane.cup else { continue };
            let cup = &cups[index];
            lane.steps += 1;
            let collapsed = h[l] < 4e-15 * lane.t.max(1.0);
            if lane.steps > 100_000 || collapsed {
                answers[index] = Some(Err(Error::new(ErrorKind::NotConverged, "run")
                    .with_value(format_args!("step of {:.2e} s at {:.3} s", h[l], lane.t))
                    .with_way_out("check rates and heat for values off by powers of ten")));
                load(l, lane, &mut four, &mut temperature, &mut cure);
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
            let y = [temperature[l], new_t[l]];
            let f = [heating[l], new_heating[l]];
            if y[1] > lane.peak {
                (lane.peak, lane.peak_time) = (y[1], lane.t + h[l]);
            }
            if f[0] > 0.0 && f[1] < 0.0 {
                let (value, x) = summit(h[l], y, f);
                if value > lane.peak {
                    (lane.peak, lane.peak_time) = (value, lane.t + x * h[l]);
                }
            }
            if lane.gel.is_nan() && new_a[l] >= cup.gel {
                let x = crossing(
                    cup.gel,
                    h[l],
                    [cure[l], new_a[l]],
                    [slopes[0][l], new_slopes[0][l]],
                );
                lane.gel = lane.t + x * h[l];
            }
            lane.t += h[l];
            (temperature[l], cure[l], heating[l]) = (new_t[l], new_a[l], new_heating[l]);
            for k in 0..3 {
                slopes[k][l] = new_slopes[k][l];
            }
            if lane.t >= cup.duration * (1.0 - 1e-12) {
                answers[index] = Some(Ok(Followed {
                    peak: lane.peak,
                    peak_time: lane.peak_time,
                    gel: lane.gel,
                    cure: cure[l],
                }));
                load(l, lane, &mut four, &mut temperature, &mut cure);
                fresh[l] = true;
            }
        }
    }
    let missing = || Err(Error::new(ErrorKind::NotConverged, "run"));
    answers.into_iter().map(|a| a.unwrap_or_else(missing)).collect()
}

/// One attempt in every lane: new temperature, new conversion, scaled error.
#[inline(always)]
fn attempt(
    four: &Four,
    temperature: Lanes,
    cure: Lanes,
    slopes: &[Lanes; 3],
    heating: Lanes,
    h: Lanes,
    tol: Tolerance,
) -> (Lanes, Lanes, Lanes) {
    const S: usize = 6;
    let [rate, by_a, by_t] = *slopes;
    let (mut w, mut inverse, mut heat) = ([0.0; LANES], [0.0; LANES], [0.0; LANES]);
    let per_h = map(h, |h| 1.0 / h);
    for l in 0..LANES {
        let s = per_h[l] / RODAS4.gamma;
        w[l] = 1.0 / (s - by_a[l]);
        inverse[l] = 1.0 / (s + four.loss[l] - four.rise[l] * s * w[l] * by_t[l]);
        heat[l] = four.rise[l] * by_a[l] * w[l];
    }
    let (mut ut, mut ua) = ([[0.0; LANES]; S], [[0.0; LANES]; S]);
    let (mut at, mut aa) = (temperature, cure);
    for st in 0..S {
        let (mut bt, mut ba) = (heating, rate);
        if st > 0 {
            (at, aa) = (temperature, cure);
            for j in 0..st {
                let a = RODAS4.a[st][j];
                for l in 0..LANES {
                    at[l] += a * ut[j][l];
                    aa[l] += a * ua[j][l];
                }
            }
            ba = four.rate(at, aa);
            bt = four.heating(at, ba);
        }
        for j in 0..st {
            let c = RODAS4.c[st][j];
            for l in 0..LANES {
                bt[l] += c * per_h[l] * ut[j][l];
                ba[l] += c * per_h[l] * ua[j][l];
            }
        }
        for l in 0..LANES {
            ut[st][l] = (bt[l] + heat[l] * ba[l]) * inverse[l];
            ua[st][l] = (ba[l] + by_t[l] * ut[st][l]) * w[l];
        }
    }
    let mut error = [0.0; LANES];
    for l in 0..LANES {
        let (et, ea) = (ut[S - 1][l] / tol.temperature, ua[S - 1][l] / tol.cure);
        error[l] = (et * et + ea * ea).sqrt();
        at[l] += ut[S - 1][l];
        aa[l] = (aa[l] + ua[S - 1][l]).clamp(0.0, 1.0);
        if !(w[l] > 0.0 && inverse[l] > 0.0) {
            error[l] = f64::INFINITY;
        }
    }
    (at, aa, error)
}
