//! The small stiff integrator of the cup of a data sheet.
//!
//! RODAS3 (A. Sandu and others, *Benchmarking stiff ODE solvers for atmospheric chemistry problems II: Rosenbrock
//! solvers*, Atmos. Environ. 31:3459 (1997)): four stages, order 3 with an embedded order 2, L-stable, exact
//! Jacobian. Coefficients `[from memory]`; the order is measured in the tests. All else steps in `heat`.

use std::ops::ControlFlow;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::roots;

/// A system of `N` states.
pub(crate) trait System<const N: usize> {
    /// `dy/dt` at time `t`.
    fn rate(&self, t: f64, y: &[f64; N]) -> [f64; N];
    /// Jacobian `d(dy/dt)/dy` and explicit time derivative `d(dy/dt)/dt`.
    fn jacobian(&self, t: f64, y: &[f64; N]) -> ([[f64; N]; N], [f64; N]);
    /// Absolute tolerance of each state.
    fn scale(&self) -> [f64; N];
    /// Largest change of each state in a step, so that the cubic between steps is as good as the steps: the method
    /// solves some laws exactly at any step (`u' = -k u^2`), and the error estimate then sees nothing.
    fn most(&self) -> [f64; N];
    /// How many of the first states never fall: the cubic between steps is kept from overshooting for them.
    fn rising(&self) -> usize {
        0
    }
}

/// An accepted step.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step<const N: usize> {
    pub(crate) t0: f64,
    pub(crate) t1: f64,
    pub(crate) y0: [f64; N],
    pub(crate) y1: [f64; N],
    f0: [f64; N],
    f1: [f64; N],
    rising: usize,
}

impl<const N: usize> Step<N> {
    /// State `k` inside the step: cubic Hermite.
    pub(crate) fn at(&self, k: usize, t: f64) -> f64 {
        let h = self.t1 - self.t0;
        if h <= 0.0 {
            return self.y1[k];
        }
        let s = ((t - self.t0) / h).clamp(0.0, 1.0);
        let (a, b) = (self.y0[k], self.y1[k]);
        let (mut p, mut q) = (h * self.f0[k], h * self.f1[k]);
        if k < self.rising {
            // A step that swallows a fast approach starts steeper than the cubic can carry (Fritsch and Carlson, SIAM
            // J. Numer. Anal. 17:238 (1980): slopes up to three times the chord keep it monotone).
            let most = 3.0 * (b - a).max(0.0);
            p = p.clamp(0.0, most);
            q = q.clamp(0.0, most);
        }
        let (s2, s3) = (s * s, s * s * s);
        a * (2.0 * s3 - 3.0 * s2 + 1.0) + p * (s3 - 2.0 * s2 + s) + b * (3.0 * s2 - 2.0 * s3) + q * (s3 - s2)
    }

    /// The time at which `g` (of the state) passes zero upwards inside the step, if it does.
    pub(crate) fn rises_through_zero(&self, g: impl Fn(f64, &[f64; N]) -> f64) -> Option<f64> {
        if g(self.t0, &self.y0) >= 0.0 || g(self.t1, &self.y1) < 0.0 {
            return None;
        }
        let at = |t: f64| {
            let mut y = self.y1;
            for (k, v) in y.iter_mut().enumerate() {
                *v = self.at(k, t);
            }
            g(t, &y)
        };
        let (_, after) = roots::halved(self.t0, self.t1, 60, |t| at(t) < 0.0);
        Some(after)
    }

    /// Where state `k` peaks inside the step (time, value), if its slope changes sign from up to down.
    pub(crate) fn peak(&self, k: usize) -> Option<(f64, f64)> {
        if self.f0[k] <= 0.0 || self.f1[k] > 0.0 {
            return None;
        }
        let h = (self.t1 - self.t0) * 1e-4;
        let (a, b) = roots::halved(self.t0, self.t1, 60, |t| self.at(k, t + h) > self.at(k, t - h));
        let t = 0.5 * (a + b);
        Some((t, self.at(k, t).max(self.y0[k]).max(self.y1[k])))
    }
}

/// Most powers of e that a rising state grows by in a step.
const GROWS: f64 = 0.2;
/// Relative tolerance of every state.
const RELATIVE: f64 = 1e-7;
/// A run that needs more is refused, never answered.
const MOST_STEPS: usize = 200_000;

/// Integrates from `t0` to `t1`, stopping exactly at each of `corners` (ascending), and hands each accepted step to
/// `on_step` until that breaks. Answers whether it broke.
///
/// # Errors
/// `NotConverged` at the step cap, for a step that collapses, or a state that is not finite.
pub(crate) fn integrate<const N: usize, S: System<N>>(
    system: &S,
    t0: f64,
    t1: f64,
    corners: &[f64],
    start: [f64; N],
    mut on_step: impl FnMut(&Step<N>) -> ControlFlow<()>,
) -> Result<bool> {
    let scale = system.scale();
    let mut t = t0;
    let mut y = start;
    let mut f = system.rate(t, &y);
    let mut h = first_step(&f, &y, &scale, t1 - t0);
    let mut corners = corners.iter().copied().filter(|c| *c < t1).peekable();
    for _ in 0..MOST_STEPS {
        if t >= t1 {
            return Ok(false);
        }
        while corners.next_if(|c| *c <= t + 1e-9 * t.abs().max(1.0)).is_some() {}
        let stop = corners.peek().copied().unwrap_or(t1);
        let left = stop - t;
        // A linearly implicit step longer than what grows in it would damp the growth, and the error estimate sees
        // nothing of a state below its tolerance.
        let linear = system.jacobian(t, &y);
        let growth = (0..system.rising()).fold(0.0f64, |g, i| g.max(linear.0[i][i]));
        h = h.min(GROWS / growth.max(1e-300));
        let hits = h >= 0.999 * left;
        let step = if hits { left } else { h.min(0.5 * left) };
        let Some((mut y1, error)) = stages(system, linear, t, &y, &f, step, &scale) else {
            h = 0.25 * step;
            if h < 1e-15 * t.max(1.0) {
                return Err(collapsed(t));
            }
            continue;
        };
        // The linearised step of a vitrified, cooling part would follow its sinking limit down.
        for k in 0..system.rising() {
            y1[k] = y1[k].max(y[k]);
        }
        let most = system.most();
        let change = (0..N).fold(0.0f64, |c, k| c.max((y1[k] - y[k]).abs() / most[k]));
        let grow = (0.9 * error.max(1e-10).powf(-1.0 / 3.0))
            .min(0.9 / change.max(1e-10))
            .clamp(0.2, 5.0);
        if error > 1.0 || change > 1.5 {
            h = step * grow.min(0.9);
            if h < 1e-15 * t.max(1.0) {
                return Err(collapsed(t));
            }
            continue;
        }
        let t_new = if hits { stop } else { t + step };
        // Just before a corner the slope is the old one, just after it the new one.
        let f_end = system.rate(if hits { before(stop) } else { t_new }, &y1);
        let accepted = Step {
            t0: t,
            t1: t_new,
            y0: y,
            y1,
            f0: f,
            f1: f_end,
            rising: system.rising(),
        };
        t = t_new;
        y = y1;
        f = if hits { system.rate(t, &y) } else { f_end };
        h = if hits { h.max(step * grow) } else { step * grow };
        if on_step(&accepted).is_break() {
            return Ok(true);
        }
    }
    Err(Error::new(ErrorKind::NotConverged, "cure")
        .with_value(format_args!("the run at {t:.0} s"))
        .with_allowed(format!("{MOST_STEPS} steps"))
        .with_way_out("shorten the run, or check the rate constants for an absurd value"))
}

fn before(t: f64) -> f64 {
    t - 1e-9 * t.abs().max(1.0)
}

fn collapsed(t: f64) -> Error {
    Error::new(ErrorKind::NotConverged, "cure")
        .with_value(format_args!("the step at {t:.3} s"))
        .with_allowed("a step above the last bits of the time")
        .with_way_out("check the rate constants for an absurd value")
}

fn first_step<const N: usize>(f: &[f64; N], y: &[f64; N], scale: &[f64; N], span: f64) -> f64 {
    let mut fastest: f64 = 0.0;
    for k in 0..N {
        fastest = fastest.max(f[k].abs() / (scale[k] + RELATIVE.sqrt() * y[k].abs() + 1e-4));
    }
    if fastest > 0.0 {
        (0.01 / fastest).min(1e-3 * span)
    } else {
        1e-3 * span
    }
}

/// One step; `None` where it leaves the finite numbers.
fn stages<const N: usize, S: System<N>>(
    system: &S,
    (jacobian, time_slope): ([[f64; N]; N], [f64; N]),
    t: f64,
    y: &[f64; N],
    f: &[f64; N],
    h: f64,
    scale: &[f64; N],
) -> Option<([f64; N], f64)> {
    let mut matrix = jacobian;
    for (i, row) in matrix.iter_mut().enumerate() {
        for v in row.iter_mut() {
            *v = -*v;
        }
        row[i] += 2.0 / h;
    }
    let lu = Lu::of(matrix)?;
    let combine = |terms: &[(f64, &[f64; N])]| {
        let mut r = [0.0; N];
        for (c, k) in terms {
            for i in 0..N {
                r[i] += c * k[i];
            }
        }
        r
    };
    let th = before(t + h);
    let k1 = lu.solve(combine(&[(1.0, f), (0.5 * h, &time_slope)]));
    let k2 = lu.solve(combine(&[(1.0, f), (4.0 / h, &k1), (1.5 * h, &time_slope)]));
    let y3 = combine(&[(1.0, y), (2.0, &k1)]);
    let f3 = system.rate(th, &y3);
    let k3 = lu.solve(combine(&[(1.0, &f3), (1.0 / h, &k1), (-1.0 / h, &k2)]));
    let y4 = combine(&[(1.0, y), (2.0, &k1), (1.0, &k3)]);
    let f4 = system.rate(th, &y4);
    let k4 = lu.solve(combine(&[
        (1.0, &f4),
        (1.0 / h, &k1),
        (-1.0 / h, &k2),
        (-8.0 / (3.0 * h), &k3),
    ]));
    let y1 = combine(&[(1.0, &y4), (1.0, &k4)]);
    let mut error: f64 = 0.0;
    for i in 0..N {
        if !y1[i].is_finite() {
            return None;
        }
        error = error.max(k4[i].abs() / (scale[i] + RELATIVE * y[i].abs().max(y1[i].abs())));
    }
    Some((y1, error))
}

struct Lu<const N: usize> {
    a: [[f64; N]; N],
    pivot: [usize; N],
}

impl<const N: usize> Lu<N> {
    fn of(mut a: [[f64; N]; N]) -> Option<Self> {
        let mut pivot = [0; N];
        for k in 0..N {
            let mut p = k;
            for i in k + 1..N {
                if a[i][k].abs() > a[p][k].abs() {
                    p = i;
                }
            }
            if !a[p][k].is_finite() || a[p][k] == 0.0 {
                return None;
            }
            a.swap(k, p);
            pivot[k] = p;
            for i in k + 1..N {
                let factor = a[i][k] / a[k][k];
                a[i][k] = factor;
                for j in k + 1..N {
                    a[i][j] -= factor * a[k][j];
                }
            }
        }
        Some(Lu { a, pivot })
    }

    fn solve(&self, mut b: [f64; N]) -> [f64; N] {
        for k in 0..N {
            b.swap(k, self.pivot[k]);
        }
        for i in 0..N {
            for j in 0..i {
                b[i] -= self.a[i][j] * b[j];
            }
        }
        for i in (0..N).rev() {
            for j in i + 1..N {
                b[i] -= self.a[i][j] * b[j];
            }
            b[i] /= self.a[i][i];
        }
        b
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A stiff linear pair driven by time: y0' = -1000 (y0 - cos t), y1' = y0 y1 (not linear).
    struct Stiff;
    impl System<2> for Stiff {
        fn rate(&self, t: f64, y: &[f64; 2]) -> [f64; 2] {
            [-1000.0 * (y[0] - t.cos()), -0.3 * y[0] * y[1] * y[1]]
        }
        fn jacobian(&self, t: f64, y: &[f64; 2]) -> ([[f64; 2]; 2], [f64; 2]) {
            (
                [[-1000.0, 0.0], [-0.3 * y[1] * y[1], -0.6 * y[0] * y[1]]],
                [-1000.0 * t.sin(), 0.0],
            )
        }
        fn scale(&self) -> [f64; 2] {
            [1e-7, 1e-7]
        }
        fn most(&self) -> [f64; 2] {
            [0.1, 0.1]
        }
    }

    #[test]
    fn stiff_pair_follows_its_solution() {
        let mut last = [0.0; 2];
        let mut steps = 0;
        integrate(&Stiff, 0.0, 5.0, &[1.0, 2.5], [1.0, 1.0], |s| {
            last = s.y1;
            steps += 1;
            ControlFlow::Continue(())
        })
        .unwrap();
        // y0 = (1e6 cos t + 1e3 sin t)/(1e6 + 1) after its layer; 1/y1 = 1 + 0.3 * integral of y0.
        let y0 = (1e6 * 5f64.cos() + 1e3 * 5f64.sin()) / (1e6 + 1.0);
        let integral =
            (1e6 * 5f64.sin() - 1e3 * (5f64.cos() - 1.0)) / (1e6 + 1.0) + 1e-3 * (1.0 - 1e6 / (1e6 + 1.0));
        let y1 = 1.0 / (1.0 + 0.3 * integral);
        assert!((last[0] - y0).abs() < 1e-6, "{} {y0}", last[0]);
        assert!((last[1] - y1).abs() < 1e-6, "{} {y1}", last[1]);
        assert!(steps < 3000, "{steps}");
    }

    #[test]
    fn third_order() {
        struct Decay;
        impl System<1> for Decay {
            fn rate(&self, t: f64, y: &[f64; 1]) -> [f64; 1] {
                [-y[0] * y[0] * (1.0 + t)]
            }
            fn jacobian(&self, t: f64, y: &[f64; 1]) -> ([[f64; 1]; 1], [f64; 1]) {
                ([[-2.0 * y[0] * (1.0 + t)]], [-y[0] * y[0]])
            }
            fn scale(&self) -> [f64; 1] {
                [1.0]
            }
            fn most(&self) -> [f64; 1] {
                [1.0]
            }
        }
        let error = |n: u32| {
            let h = 1.0 / f64::from(n);
            let mut y = [1.0];
            for i in 0..n {
                let t = f64::from(i) * h;
                let f = Decay.rate(t, &y);
                y = stages(&Decay, Decay.jacobian(t, &y), t, &y, &f, h, &[1.0])
                    .unwrap()
                    .0;
            }
            (y[0] - 1.0 / 2.5).abs()
        };
        let order = (error(20) / error(40)).log2();
        assert!((2.7..3.6).contains(&order), "{order}");
    }
}
