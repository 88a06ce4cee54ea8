//! What the kernel needs from a cure model: rates and slopes of a run of cells. The laws are those of
//! [`crate::cure::law`]; the loops over them are written so that they become vector instructions.
//!
//! A model has the degree of cure `a` and, for free-radical systems, a second state `i` that does not depend
//! on `a`: `di/dt = g(i, T)`, `da/dt = f(a, i, T)`. Both states are local (they do not diffuse), so the kernel
//! eliminates them cell by cell.

use super::kernel::Tolerance;
use super::vector::{Lanes, greatest};
use crate::cure::law::{DERIVATIVE_FLOOR, Power, by_glass};
pub(crate) use crate::cure::law::{Law, within};
use crate::cure::{Kernel, Rate};

/// Below this conversion no tolerance sees how it grows: [`most_growth`] alone bounds the step.
const EARLY: f64 = 0.2;
/// A time that no answer of this module tells from zero, s.
const INSTANT: f64 = 1e-3;

/// How much shorter a step is while a conversion is early: it grows by 0.4 powers of e in a step, and by less as the
/// tolerance shrinks.
pub(crate) fn early(tolerance: Tolerance) -> f64 {
    5.0 * (1.3e-4 / tolerance.cure).max(1.0).sqrt().sqrt()
}

/// What a step must be short against, 1/s, at a growth of the rate with conversion `by_cure`: a step is at most two over
/// it. The number of early steps is the logarithm of how far the rate grows. By and by the tolerance takes over, and more
/// than sevenfold growth alone is barred; a step set free at once would leap.
#[inline(always)]
pub(crate) fn most_growth(early: f64, by_cure: f64, cure: f64) -> f64 {
    by_cure * (1.0 + (early - 1.0) * (1.0 - cure * (1.0 / EARLY)).max(0.0))
}

/// The conversion to start from: where the rate grows out of next to nothing within an instant, that instant is skipped.
pub(crate) fn lifted(cure: f64, rate: f64, by_cure: f64) -> f64 {
    if cure < DERIVATIVE_FLOOR && rate > 0.0 && by_cure * INSTANT > 0.5 {
        DERIVATIVE_FLOOR
    } else {
        cure
    }
}

/// The fields of the chain that a chemistry reads and writes, one slice a quantity, all of one length.
pub(crate) struct Rates<'a> {
    pub(crate) temperature: &'a [f64],
    pub(crate) cure: &'a [f64],
    pub(crate) second: &'a [f64],
    pub(crate) rate: &'a mut [f64],
    pub(crate) second_rate: &'a mut [f64],
}

/// Derivatives, one slice each.
pub(crate) struct Derivatives<'a> {
    pub(crate) by_cure: &'a mut [f64],
    pub(crate) by_second: &'a mut [f64],
    pub(crate) by_temperature: &'a mut [f64],
    pub(crate) second_by_second: &'a mut [f64],
    pub(crate) second_by_temperature: &'a mut [f64],
}

impl Rates<'_> {
    /// Sets rate and second rate of every cell.
    #[inline(always)]
    fn each(&mut self, law: impl Fn(f64, f64, f64) -> Rate) {
        let second = &mut *self.second_rate;
        each(self.temperature, self.cure, self.second, self.rate, second, law);
    }

    /// Sets rates and derivatives of every cell.
    #[inline(always)]
    fn each_slope(&mut self, d: &mut Derivatives, law: impl Fn(f64, f64, f64) -> Rate) {
        slopes_into(
            self.temperature,
            self.cure,
            self.second,
            self.rate,
            self.second_rate,
            d.by_cure,
            d.by_second,
            d.by_temperature,
            d.second_by_second,
            d.second_by_temperature,
            law,
        );
    }
}

// As parameters of a function the slices are known not to overlap: that lets the loops become vectors.
#[inline(always)]
fn each(
    t: &[f64],
    a: &[f64],
    i: &[f64],
    rate: &mut [f64],
    second: &mut [f64],
    law: impl Fn(f64, f64, f64) -> Rate,
) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    for c in 0..n {
        let r = law(t[c], a[c], i[c]);
        (rate[c], second[c]) = (r.dalpha, r.di);
    }
}

#[inline(always)]
fn slopes_into(
    t: &[f64],
    a: &[f64],
    i: &[f64],
    rate: &mut [f64],
    second: &mut [f64],
    by_cure: &mut [f64],
    by_second: &mut [f64],
    by_t: &mut [f64],
    second_by_second: &mut [f64],
    second_by_t: &mut [f64],
    law: impl Fn(f64, f64, f64) -> Rate,
) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    let (by_cure, by_second, by_t) = (&mut by_cure[..n], &mut by_second[..n], &mut by_t[..n]);
    let (second_by_second, second_by_t) = (&mut second_by_second[..n], &mut second_by_t[..n]);
    for c in 0..n {
        let r = law(t[c], a[c], i[c]);
        rate[c] = r.dalpha;
        second[c] = r.di;
        by_cure[c] = r.dalpha_dalpha;
        by_second[c] = r.dalpha_di;
        by_t[c] = r.dalpha_dt;
        second_by_second[c] = r.di_di;
        second_by_t[c] = r.di_dt;
    }
}

impl Power {
    #[inline(always)]
    fn rates<const F: bool>(&self, r: &mut Rates) {
        let auto = self.first.m != 0.0;
        if self.rounded() {
            by_glass!(self.glass, V => {
                r.each(|t, a, _| self.rate::<Lanes<F>, true, true, V, false, true>(t, a));
            });
            return;
        }
        match (self.second.is_some(), auto) {
            (false, false) => by_glass!(self.glass, V => {
                r.each(|t, a, _| self.rate::<Lanes<F>, false, false, V, false, false>(t, a));
            }),
            (false, true) => by_glass!(self.glass, V => {
                r.each(|t, a, _| self.rate::<Lanes<F>, false, true, V, false, false>(t, a));
            }),
            (true, _) => by_glass!(self.glass, V => {
                r.each(|t, a, _| self.rate::<Lanes<F>, true, true, V, false, false>(t, a));
            }),
        }
    }

    #[inline(always)]
    fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        let auto = self.second.is_some() || self.first.m != 0.0;
        if self.rounded() {
            by_glass!(self.glass, V => {
                r.each_slope(d, |t, a, _| self.rate::<Lanes<F>, true, true, V, true, true>(t, a));
            });
            return;
        }
        if !auto {
            by_glass!(self.glass, V => {
                r.each_slope(d, |t, a, _| self.rate::<Lanes<F>, false, false, V, false, false>(t, a));
            });
            return;
        }
        // One cell near the start sends all of them the longer way: a branch in the loop would cost more.
        let floored = greatest([r.cure], |[a]| DERIVATIVE_FLOOR - a) > 0.0;
        if floored {
            by_glass!(self.glass, V => {
                r.each_slope(d, |t, a, _| self.rate::<Lanes<F>, true, true, V, true, false>(t, a));
            });
        } else {
            by_glass!(self.glass, V => {
                r.each_slope(d, |t, a, _| self.rate::<Lanes<F>, true, true, V, false, false>(t, a));
            });
        }
    }
}

impl From<&Kernel> for Law {
    fn from(kernel: &Kernel) -> Self {
        kernel.law
    }
}

impl Law {
    /// Whether a cell costs so little that a run of cells is rounded up to whole vectors.
    pub(crate) fn in_vectors(&self) -> bool {
        !matches!(self, Law::Inert)
    }

    /// Rates of a run of cells.
    #[inline(always)]
    pub(crate) fn rates<const F: bool>(&self, r: &mut Rates) {
        match self {
            Law::Inert => r.each(|_, _, _| Rate::default()),
            Law::Power(l) => l.rates::<F>(r),
            Law::TwoBranches(l) => by_glass!(l.glass, V => {
                r.each(|t, a, _| l.rate::<Lanes<F>, V>(t, a));
            }),
            Law::Radical(l) => by_glass!(l.glass, V => if l.trapped {
                r.each(|t, a, i| l.rate::<Lanes<F>, V, true>(t, a, i));
            } else {
                r.each(|t, a, i| l.rate::<Lanes<F>, V, false>(t, a, i));
            }),
            Law::InSeries(l) => r.each(|t, a, _| l.rate::<Lanes<F>, true>(t, a)),
        }
    }

    /// Rates and derivatives of a run of cells.
    #[inline(always)]
    pub(crate) fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        match self {
            Law::Inert => r.each_slope(d, |_, _, _| Rate::default()),
            Law::Power(l) => l.slopes::<F>(r, d),
            Law::TwoBranches(l) => by_glass!(l.glass, V => {
                r.each_slope(d, |t, a, _| l.rate::<Lanes<F>, V>(t, a));
            }),
            Law::Radical(l) => by_glass!(l.glass, V => if l.trapped {
                r.each_slope(d, |t, a, i| l.rate::<Lanes<F>, V, true>(t, a, i));
            } else {
                r.each_slope(d, |t, a, i| l.rate::<Lanes<F>, V, false>(t, a, i));
            }),
            Law::InSeries(l) => r.each_slope(d, |t, a, _| l.rate::<Lanes<F>, true>(t, a)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::kinetics::samples;

    /// The vectors' own exponential and logarithm are the only difference to the kernel of one point: they are held here, for
    /// every law and at the corners.
    #[test]
    fn vectors_agree_with_the_cure_kernel() {
        for kinetics in samples::kinetics() {
            let kernel = kinetics.kernel().unwrap();
            let law = Law::from(&kernel);
            for (a, i, t) in [
                (0.0, 0.0, 295.0),
                (1e-16, 0.0, 295.0),
                (1e-7, 0.1, 300.0),
                (0.05, 0.25, 290.0),
                (0.2, 0.267, 310.0),
                (0.6, 0.5, 350.0),
                (0.8, 0.5, 330.0),
                (0.97, 0.9, 420.0),
                (1.0 - 1e-6, 0.9, 420.0),
                (1.0, 1.0, 450.0),
            ] {
                let r = kernel.rate(a, i, t);
                let mut got = [[0.0; 1]; 7];
                let [rate, by_a, by_i, by_t, second, ss, st] = &mut got;
                law.slopes::<true>(
                    &mut Rates {
                        temperature: &[t],
                        cure: &[a],
                        second: &[i],
                        rate,
                        second_rate: second,
                    },
                    &mut Derivatives {
                        by_cure: by_a,
                        by_second: by_i,
                        by_temperature: by_t,
                        second_by_second: ss,
                        second_by_temperature: st,
                    },
                );
                let mut plain = [[0.0; 1]; 2];
                let [plain_rate, plain_second] = &mut plain;
                law.rates::<true>(&mut Rates {
                    temperature: &[t],
                    cure: &[a],
                    second: &[i],
                    rate: plain_rate,
                    second_rate: plain_second,
                });
                for (name, got, expected) in [
                    ("rate", got[0][0], r.dalpha),
                    ("rate alone", plain[0][0], r.dalpha),
                    ("second", got[4][0], r.di),
                    ("second alone", plain[1][0], r.di),
                    ("by_cure", got[1][0], r.dalpha_dalpha),
                    ("by_second", got[2][0], r.dalpha_di),
                    ("by_temperature", got[3][0], r.dalpha_dt),
                    ("second_by_second", got[5][0], r.di_di),
                    ("second_by_temperature", got[6][0], r.di_dt),
                ] {
                    assert!(
                        (got - expected).abs() <= 1e-9 * expected.abs() + 1e-14,
                        "{:?} {:?} at {a} {i} {t}: {name} {got} against {expected}",
                        kinetics.law,
                        kinetics.vitrification
                    );
                }
            }
        }
    }
}
