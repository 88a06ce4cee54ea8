//! Cure along a schedule: pieces of time over which the temperature hardly changes, each solved as
//! [`isothermal`](super::isothermal) with the means of the rate constants over it.
//!
//! A hold is one piece and exact. On a ramp a piece ends where a rate constant has changed by [`WARMER`], or its first
//! panel ends. Within it time runs as the rate does at the temperature of each moment, so that a law of one constant
//! is exact there too. The means are second order in the length of a piece (the midpoint rule for a linear system of
//! variable coefficients: W. Magnus, *On the exponential solution of differential equations for a linear operator*,
//! Comm. Pure Appl. Math. 7:649 (1954)).

use std::ops::ControlFlow;

use super::isothermal::Still;
use super::kinetics::Kernel;
use super::law::Law;
use super::run::Moment;
use super::schedule::Schedule;
use crate::numeric::roots;
use crate::quantity::Quantity;

/// Change of the steepest rate constant over a piece.
const WARMER: f64 = 0.005;
/// Change of the limit of cure over a piece, of what is left to it.
const FARTHER: f64 = 0.05;
/// Least that is left, for that.
const NEXT_TO_THE_LIMIT: f64 = 1e-5;

/// A part of a piece.
#[derive(Clone, Copy)]
pub(super) struct Step {
    pub(super) t0: f64,
    pub(super) t1: f64,
    /// Conversion and initiator spent at its start.
    pub(super) y0: [f64; 2],
    /// At its end.
    pub(super) y1: [f64; 2],
    pub(super) within: Within,
}

/// How it goes between its ends.
#[derive(Clone, Copy)]
pub(super) enum Within {
    /// As at one temperature, in a time of its own.
    Still(Still, Warp),
    /// As a polynomial of `x`, 0 to 1, with these `c`: `y0 + x (c0 + (1 - x)(c1 + x (c2 + (1 - x) c3)))`.
    Polynomial([[f64; 4]; 2]),
}

/// Time within a piece, as it would be at the mean rate: `s = x + c x (x - length)/2`, `x = t - start`.
#[derive(Clone, Copy)]
pub(super) struct Warp {
    start: f64,
    length: f64,
    c: f64,
}

impl Warp {
    fn mean_time(&self, t: f64) -> f64 {
        let x = t - self.start;
        x + 0.5 * self.c * x * (x - self.length)
    }

    fn time(&self, s: f64) -> f64 {
        let b = 1.0 - 0.5 * self.c * self.length;
        self.start + 2.0 * s / (b + (b * b + 2.0 * self.c * s).max(0.0).sqrt())
    }
}

impl Step {
    /// Conversion and initiator spent at a time inside the step.
    pub(super) fn at(&self, t: f64) -> [f64; 2] {
        if t <= self.t0 {
            return self.y0;
        }
        if t >= self.t1 {
            return self.y1;
        }
        let y = match &self.within {
            Within::Still(still, warp) => still.after(self.y0, warp.mean_time(t) - warp.mean_time(self.t0)),
            Within::Polynomial(c) => {
                let x = (t - self.t0) / (self.t1 - self.t0);
                let left = 1.0 - x;
                std::array::from_fn(|k| {
                    let [a, b, c, d] = c[k];
                    self.y0[k] + x * (a + left * (b + x * (c + left * d)))
                })
            }
        };
        std::array::from_fn(|k| y[k].max(self.y0[k]).min(self.y1[k]))
    }

    /// When a conversion is reached inside the step.
    pub(super) fn reaches(&self, goal: f64) -> Option<f64> {
        if self.y1[0] < goal {
            return None;
        }
        let t = match &self.within {
            Within::Still(still, warp) => {
                let s0 = warp.mean_time(self.t0);
                let longest = warp.mean_time(self.t1) - s0;
                warp.time(s0 + still.time_to(self.y0, goal, longest))
            }
            Within::Polynomial(_) => roots::halved(self.t0, self.t1, 60, |t| self.at(t)[0] < goal).1,
        };
        Some(t.max(self.t0).min(self.t1))
    }

    /// The time at which `g` (of time and state) passes zero upwards inside the step, if it does.
    pub(super) fn rises_through_zero(&self, g: impl Fn(f64, &[f64; 2]) -> f64) -> Option<f64> {
        if g(self.t0, &self.y0) >= 0.0 || g(self.t1, &self.y1) < 0.0 {
            return None;
        }
        let (_, after) = roots::halved(self.t0, self.t1, 60, |t| g(t, &self.at(t)) < 0.0);
        Some(after)
    }
}

/// Follows a part for `duration` s, handing each step to `on_step` until that breaks.
pub(super) fn follow(
    kernel: &Kernel,
    schedule: &Schedule,
    duration: f64,
    on_step: impl FnMut(&Step) -> ControlFlow<()>,
) {
    follow_from(kernel, schedule, (0.0, kernel.start()), duration, on_step);
}

/// The same from a time and state on.
pub(super) fn follow_from(
    kernel: &Kernel,
    schedule: &Schedule,
    (mut t, mut y): Moment,
    duration: f64,
    mut on_step: impl FnMut(&Step) -> ControlFlow<()>,
) {
    let corners = schedule.corners();
    while t < duration {
        let corner = corners.iter().copied().find(|c| *c > t).unwrap_or(duration);
        let stop = corner.min(duration);
        let (kelvin, slope) = schedule.kelvin(t);
        let mut length = (stop - t).min(calm(kernel, kelvin, slope, y[0]).max(1e-9 * t.max(1e-3)));
        let still_over = |length: f64| {
            Still::of(
                kernel,
                [-0.5, 0.5].map(|side| kelvin + slope * length * (0.5 + side / 3f64.sqrt())),
            )
        };
        let mut still = still_over(length);
        if slope != 0.0 {
            let (panel, _) = still.next(y, length);
            if panel < length {
                length = panel.max(1e-9 * t.max(1e-3)).min(length);
                still = still_over(length);
            }
        }
        let warp = Warp {
            start: t,
            length,
            c: slope * steepness(kernel, y, kelvin + 0.5 * slope * length),
        };
        let end = if length >= stop - t { stop } else { t + length };
        let mut s = 0.0;
        while s < length {
            let (time, next) = still.next(y, length - s);
            s += time;
            let t1 = if s < length { warp.time(s).min(end) } else { end };
            let step = Step {
                t0: t,
                t1,
                y0: y,
                y1: std::array::from_fn(|k| next[k].max(y[k])),
                within: Within::Still(still, warp),
            };
            (t, y) = (step.t1, step.y1);
            if on_step(&step).is_break() {
                return;
            }
        }
        t = end;
    }
}

/// How long a ramp may be taken for one temperature.
fn calm(kernel: &Kernel, kelvin: f64, slope: f64, conversion: f64) -> f64 {
    let slowed = kernel.vitrification.and_then(|v| v.slows_over);
    // What diffusion leaves of the rate moves by a power of e in w kelvin at most.
    let frees = slowed.map_or(0.0, |w| 1.0 / w.si());
    let opens = match &kernel.law {
        Law::InSeries(l) => l.opens(kelvin, conversion),
        _ => 0.0,
    };
    let quickens = (kernel.law.steepest() / (kelvin * kelvin)).max(opens) + frees;
    let quickens = quickens * slope.abs();
    let (limit, by_temperature) = kernel.dead_stop(kelvin).unwrap_or((1.0, 0.0));
    let moves = by_temperature * slope;
    let left = limit - conversion;
    let mut calm = WARMER / quickens;
    if moves > 0.0 || (moves < 0.0 && left > 0.0) {
        calm = calm.min(FARTHER * left.abs().max(NEXT_TO_THE_LIMIT) / moves.abs());
    }
    calm
}

/// How steeply the rate grows with temperature, of itself, 1/K. A dead stop that moves is not counted: what is left to
/// react stands still over a piece.
fn steepness(kernel: &Kernel, y: [f64; 2], kelvin: f64) -> f64 {
    let still = kernel.dead_stop(kelvin).is_some();
    let law = if still { kernel.law.unlimited() } else { kernel.law };
    let r = law.rate(y[0], y[1], kelvin);
    if r.dalpha > 0.0 {
        r.dalpha_dt / r.dalpha
    } else if r.di > 0.0 {
        r.di_dt / r.di
    } else {
        0.0
    }
}
