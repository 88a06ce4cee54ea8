//! Cure along a schedule by steps in time, for a part that is followed once and asked often.
//!
//! The pair of formulas of orders five and four of J. R. Dormand, P. J. Prince, *A family of embedded Runge-Kutta formulae*, J.
//! Comput. Appl. Math. 6:19 (1980), Table 2, `RK5(4)7M`, with the polynomial of order four within a step of E. Hairer, S. P. Nørsett,
//! G. Wanner, *Solving Ordinary Differential Equations I*, 2nd ed., Springer 1993, section II.6, in the form of their program DOPRI5.
//! A step is as long as its error allows and ends at each corner of the schedule. Some forty times as fast as [`along`](super::along) in
//! pieces ten times as coarse as its own, and less exact: conversions are within 1e-5 of it.

use std::ops::ControlFlow;

use super::along::{Step, Within};
use super::kinetics::Kernel;
use super::run::Moment;
use super::schedule::{Schedule, SchedulePoint};
use crate::quantity::Quantity;

/// Error of a conversion in each step, and of the spent part of the initiator. A law that conversion quickens goes on with a small
/// one: below [`SMALL`] it is that part of it.
const WITHIN: f64 = 2e-8;
const SMALL: f64 = 1e-2;
/// What a conversion that quickens its law counts as at least.
const LEAST: f64 = 1e-4;
/// Most steps, those that are taken back counted: a night, an oven and what cools from it take some hundred.
const MOST: u32 = 3000;
/// First step, s.
const FIRST: f64 = 10.0;
/// A step changes by no more than so many times.
const GROWS: f64 = 6.0;
const SHRINKS: f64 = 0.2;
const SAFETY: f64 = 0.9;
/// Over a step of a ramp, K: what is asked of a part's ends alone misses no more.
const RAMP: f64 = 2.0;
/// A step that would have to be shorter than this part of the time is not taken.
const SHORTEST: f64 = 1e-9;

/// Places within a step.
const PLACES: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
/// What each stage is made of; the last of the next step's start.
const STAGES: [[f64; 6]; 6] = [
    [0.2, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
        0.0,
        0.0,
    ],
    [
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
        0.0,
    ],
    [
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];
/// Fifth order less fourth.
const ERROR: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
/// Of the polynomial within a step.
const DENSE: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// Whether a part does not stand for long at a conversion from which it grows by powers of ten: [`along`](super::along) follows such
/// a one.
pub(super) fn starts_at_once(kernel: &Kernel, kelvin: f64) -> bool {
    let pace = |a: f64| kernel.rate(a, 0.0, kelvin).dalpha;
    let fastest = [0.1, 0.2, 0.3, 0.5, 0.7]
        .map(pace)
        .into_iter()
        .fold(0.0, f64::max);
    kernel.law.growth().is_none() || kernel.seed >= LEAST || pace(kernel.seed) >= LEAST * fastest
}

/// Follows a part from a time and state on until `until`, handing each step to `on_step` until that breaks. Where it takes more than
/// [`MOST`] steps, or too short ones, it gives up and answers from which moment on [`along`](super::along) is to go on: a rate
/// constant of a thousand a second lets no step of such a method be longer than a few of its own times.
pub(super) fn follow_stepped(
    kernel: &Kernel,
    schedule: &Schedule,
    (mut t, mut y): Moment,
    until: f64,
    mut on_step: impl FnMut(&Step) -> ControlFlow<()>,
) -> Option<Moment> {
    let rate = |y: [f64; 2], kelvin: f64| {
        let r = kernel.rate(y[0], y[1], kelvin);
        [r.dalpha, r.di]
    };
    let quickens = kernel.law.growth().is_some();
    let points = schedule.points();
    let mut corner = points.partition_point(|p| seconds_of(p) <= t);
    let mut h = FIRST;
    let mut tried = 0;
    let mut first = rate(y, schedule.kelvin(t).0);
    while t < until {
        let end = points.get(corner).map_or(until, seconds_of).min(until);
        let (kelvin, slope) = schedule.kelvin(t);
        let (begun, at) = (t, |x: f64| kelvin + slope * x);
        while t < end {
            tried += 1;
            if tried > MOST {
                return Some((t, y));
            }
            // What is left is never a crumb.
            let left = end - t;
            let most = h.min(RAMP / slope.abs());
            let step = if most >= left { left } else { most.min(0.5 * left) };
            let mut slopes = [first; 7];
            let mut next = y;
            for s in 0..6 {
                next = std::array::from_fn(|k| {
                    let sum: f64 = (0..=s).map(|j| STAGES[s][j] * slopes[j][k]).sum();
                    y[k] + step * sum
                });
                slopes[s + 1] = rate(next, at(t - begun + PLACES[s + 1] * step));
            }
            let of = |weights: &[f64; 7], k: usize| -> f64 {
                step * weights.iter().zip(&slopes).map(|(w, s)| w * s[k]).sum::<f64>()
            };
            let part = if quickens {
                (next[0] / SMALL).clamp(LEAST / SMALL, 1.0)
            } else {
                1.0
            };
            let error = (of(&ERROR, 0).abs() / part).max(of(&ERROR, 1).abs()) / WITHIN;
            let shortest = SHORTEST * t.max(1.0);
            if error.is_nan() || error > 1.0 {
                if step <= shortest {
                    return Some((t, y));
                }
                h = step * (SAFETY * error.powf(-0.2)).max(SHRINKS);
                continue;
            }
            let grown = step * (SAFETY * error.max(1e-10).powf(-0.2)).clamp(SHRINKS, GROWS);
            // A step that a corner cut short tells nothing against a longer one.
            h = if step < h {
                h.max(grown)
            } else {
                grown.max(shortest)
            };
            let t1 = if step >= left { end } else { t + step };
            let after = Step {
                t0: t,
                t1,
                y0: y,
                // Neither falls.
                y1: std::array::from_fn(|k| next[k].max(y[k])),
                within: Within::Polynomial(std::array::from_fn(|k| {
                    let whole = next[k] - y[k];
                    let bend = step * first[k] - whole;
                    [whole, bend, whole - step * slopes[6][k] - bend, of(&DENSE, k)]
                })),
            };
            (t, y, first) = (after.t1, after.y1, slopes[6]);
            if on_step(&after).is_break() {
                return None;
            }
        }
        corner += 1;
    }
    None
}

fn seconds_of(p: &SchedulePoint) -> f64 {
    p.time.si()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The conditions of order (Hairer, Nørsett, Wanner, section II.1): each stage stands at its place, and the step integrates
    /// the powers of time up to the fourth exactly; the two orders differ in the fifth alone; the polynomial ends on the step.
    #[test]
    fn the_coefficients_are_of_their_orders() {
        for (row, place) in STAGES.iter().zip(&PLACES[1..]) {
            assert!((row.iter().sum::<f64>() - place).abs() < 1e-14);
        }
        let sum = |weights: &[f64], power: i32| -> f64 {
            weights.iter().zip(PLACES).map(|(w, c)| w * c.powi(power)).sum()
        };
        for power in 0..5 {
            let whole = sum(&STAGES[5], power);
            assert!((whole - 1.0 / f64::from(power + 1)).abs() < 1e-14, "{power}");
            let error = sum(&ERROR, power).abs();
            assert_eq!(error < 1e-14, power < 4, "{power}: {error:e}");
        }
        // Of a slope that does not change nothing is bent.
        assert!(sum(&DENSE, 0).abs() < 1e-13);
    }
}
