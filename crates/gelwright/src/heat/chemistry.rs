//! What the kernel needs from a cure model: rates and slopes of a run of cells. The laws are those of
//! [`crate::cure::law`]; the loops over them are written so that they become vector instructions.
//!
//! A model has the degree of cure `a` and, for free-radical systems, a second state `i` that does not depend
//! on `a`: `di/dt = g(i, T)`, `da/dt = f(a, i, T)`. Both states are local (they do not diffuse), so the kernel
//! eliminates them cell by cell.

use super::alike_law::{AlikeLaw, BODIES, Each};
use super::kernel::Tolerance;
use super::vector::{Lanes, greatest};
use crate::cure::law::{DERIVATIVE_FLOOR, InSeries, Power, Radical, TwoBranches, by_glass};
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

/// A law of one body, or of bodies that stand side by side in each cell.
pub(crate) trait Bodies<L> {
    /// Whether they stand side by side.
    const SIDE_BY_SIDE: bool;
    /// What is the same of all of them: which parts a law has.
    fn like(&self) -> &L;
    /// That of a body.
    fn body(&self, body: usize) -> L;
}

/// Of one body.
pub(super) struct One<'l, L>(&'l L);

impl<L: Copy> Bodies<L> for One<'_, L> {
    const SIDE_BY_SIDE: bool = false;
    #[inline(always)]
    fn like(&self) -> &L {
        self.0
    }
    #[inline(always)]
    fn body(&self, _: usize) -> L {
        *self.0
    }
}

/// A law whose parts are known, at a body's temperature and states. A type, not a closure, of which the compiler leaves many
/// outside of the loop that calls them, and so outside of its vector instructions.
trait At {
    const SIDE_BY_SIDE: bool;
    fn at(&self, body: usize, t: f64, a: f64, i: f64) -> Rate;
}

struct Still;

impl At for Still {
    const SIDE_BY_SIDE: bool = false;
    #[inline(always)]
    fn at(&self, _: usize, _: f64, _: f64, _: f64) -> Rate {
        Rate::default()
    }
}

struct PowerAt<
    'b,
    B,
    const F: bool,
    const TWO: bool,
    const AUTO: bool,
    const V: u8,
    const FLOORED: bool,
    const ROUNDED: bool,
>(&'b B);

impl<
    B: Bodies<Power>,
    const F: bool,
    const TWO: bool,
    const AUTO: bool,
    const V: u8,
    const FLOORED: bool,
    const ROUNDED: bool,
> At for PowerAt<'_, B, F, TWO, AUTO, V, FLOORED, ROUNDED>
{
    const SIDE_BY_SIDE: bool = B::SIDE_BY_SIDE;
    #[inline(always)]
    fn at(&self, body: usize, t: f64, a: f64, _: f64) -> Rate {
        let law = self.0.body(body);
        law.rate::<Lanes<F>, TWO, AUTO, V, FLOORED, ROUNDED>(t, a)
    }
}

struct TwoBranchesAt<'b, B, const F: bool, const V: u8>(&'b B);

impl<B: Bodies<TwoBranches>, const F: bool, const V: u8> At for TwoBranchesAt<'_, B, F, V> {
    const SIDE_BY_SIDE: bool = B::SIDE_BY_SIDE;
    #[inline(always)]
    fn at(&self, body: usize, t: f64, a: f64, _: f64) -> Rate {
        self.0.body(body).rate::<Lanes<F>, V>(t, a)
    }
}

struct RadicalAt<'b, B, const F: bool, const V: u8, const TRAPPED: bool>(&'b B);

impl<B: Bodies<Radical>, const F: bool, const V: u8, const TRAPPED: bool> At
    for RadicalAt<'_, B, F, V, TRAPPED>
{
    const SIDE_BY_SIDE: bool = B::SIDE_BY_SIDE;
    #[inline(always)]
    fn at(&self, body: usize, t: f64, a: f64, i: f64) -> Rate {
        self.0.body(body).rate::<Lanes<F>, V, TRAPPED>(t, a, i)
    }
}

struct InSeriesAt<'b, B, const F: bool>(&'b B);

impl<B: Bodies<InSeries>, const F: bool> At for InSeriesAt<'_, B, F> {
    const SIDE_BY_SIDE: bool = B::SIDE_BY_SIDE;
    #[inline(always)]
    fn at(&self, body: usize, t: f64, a: f64, _: f64) -> Rate {
        self.0.body(body).rate::<Lanes<F>, true>(t, a)
    }
}

/// Where the rates of a run of cells go, with or without their derivatives.
trait Goes {
    const SLOPES: bool;
    /// Conversions at which they are asked.
    fn cure(&self) -> &[f64];
    fn each(&mut self, law: impl At);
}

impl Goes for Rates<'_> {
    const SLOPES: bool = false;
    #[inline(always)]
    fn cure(&self) -> &[f64] {
        self.cure
    }
    #[inline(always)]
    fn each(&mut self, law: impl At) {
        let second = &mut *self.second_rate;
        into(self.temperature, self.cure, self.second, self.rate, second, law);
    }
}

/// Rates and derivatives.
struct WithSlopes<'r, 'd, 'a, 'b>(&'r mut Rates<'a>, &'d mut Derivatives<'b>);

impl Goes for WithSlopes<'_, '_, '_, '_> {
    const SLOPES: bool = true;
    #[inline(always)]
    fn cure(&self) -> &[f64] {
        self.0.cure
    }
    #[inline(always)]
    fn each(&mut self, law: impl At) {
        let WithSlopes(r, d) = self;
        slopes_into(
            r.temperature,
            r.cure,
            r.second,
            r.rate,
            r.second_rate,
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
fn into<A: At>(t: &[f64], a: &[f64], i: &[f64], rate: &mut [f64], second: &mut [f64], law: A) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    if !A::SIDE_BY_SIDE {
        for c in 0..n {
            let r = law.at(0, t[c], a[c], i[c]);
            (rate[c], second[c]) = (r.dalpha, r.di);
        }
        return;
    }
    let (t, a, i) = (t.as_chunks().0, a.as_chunks().0, i.as_chunks().0);
    let (rate, second) = (rate.as_chunks_mut().0, second.as_chunks_mut().0);
    for c in 0..t.len() {
        // Of the bodies of a cell: numbers of their own, which nothing else can point to.
        let (t, a, i): (Each, Each, Each) = (t[c], a[c], i[c]);
        let (mut of_rate, mut of_second) = ([0.0; BODIES], [0.0; BODIES]);
        for b in 0..BODIES {
            let r = law.at(b, t[b], a[b], i[b]);
            (of_rate[b], of_second[b]) = (r.dalpha, r.di);
        }
        (rate[c], second[c]) = (of_rate, of_second);
    }
}

#[inline(always)]
fn slopes_into<A: At>(
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
    law: A,
) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    let (by_cure, by_second, by_t) = (&mut by_cure[..n], &mut by_second[..n], &mut by_t[..n]);
    let (second_by_second, second_by_t) = (&mut second_by_second[..n], &mut second_by_t[..n]);
    if !A::SIDE_BY_SIDE {
        for c in 0..n {
            let r = law.at(0, t[c], a[c], i[c]);
            rate[c] = r.dalpha;
            second[c] = r.di;
            by_cure[c] = r.dalpha_dalpha;
            by_second[c] = r.dalpha_di;
            by_t[c] = r.dalpha_dt;
            second_by_second[c] = r.di_di;
            second_by_t[c] = r.di_dt;
        }
        return;
    }
    let (t, a, i) = (t.as_chunks().0, a.as_chunks().0, i.as_chunks().0);
    for (c, ((t, a), i)) in t.iter().zip(a).zip(i).enumerate() {
        let (t, a, i): (Each, Each, Each) = (*t, *a, *i);
        let mut of: [Each; 7] = [[0.0; BODIES]; 7];
        for b in 0..BODIES {
            let r = law.at(b, t[b], a[b], i[b]);
            of[0][b] = r.dalpha;
            of[1][b] = r.di;
            of[2][b] = r.dalpha_dalpha;
            of[3][b] = r.dalpha_di;
            of[4][b] = r.dalpha_dt;
            of[5][b] = r.di_di;
            of[6][b] = r.di_dt;
        }
        let at = c * BODIES..(c + 1) * BODIES;
        rate[at.clone()].copy_from_slice(&of[0]);
        second[at.clone()].copy_from_slice(&of[1]);
        by_cure[at.clone()].copy_from_slice(&of[2]);
        by_second[at.clone()].copy_from_slice(&of[3]);
        by_t[at.clone()].copy_from_slice(&of[4]);
        second_by_second[at.clone()].copy_from_slice(&of[5]);
        second_by_t[at].copy_from_slice(&of[6]);
    }
}

#[inline(always)]
fn power<const F: bool, B: Bodies<Power>, G: Goes>(of: &B, to: &mut G) {
    let like = of.like();
    let (two, auto) = (like.second.is_some(), like.first.m != 0.0);
    if like.rounded() {
        if G::SLOPES {
            by_glass!(like.glass, V => to.each(PowerAt::<B, F, true, true, V, true, true>(of)));
        } else {
            by_glass!(like.glass, V => to.each(PowerAt::<B, F, true, true, V, false, true>(of)));
        }
        return;
    }
    // One cell near the start sends all of them the longer way: a branch in the loop would cost more.
    let floored = G::SLOPES && (two || auto) && least(to.cure()) < DERIVATIVE_FLOOR;
    match (two, auto, floored) {
        (false, false, _) => by_glass!(like.glass, V => {
            to.each(PowerAt::<B, F, false, false, V, false, false>(of));
        }),
        (_, _, true) => by_glass!(like.glass, V => {
            to.each(PowerAt::<B, F, true, true, V, true, false>(of));
        }),
        (false, true, _) => by_glass!(like.glass, V => {
            to.each(PowerAt::<B, F, false, true, V, false, false>(of));
        }),
        (true, ..) => by_glass!(like.glass, V => {
            to.each(PowerAt::<B, F, true, true, V, false, false>(of));
        }),
    }
}

#[inline(always)]
fn least(of: &[f64]) -> f64 {
    -greatest([of], |[a]| -a)
}

#[inline(always)]
fn two_branches<const F: bool, B: Bodies<TwoBranches>>(of: &B, to: &mut impl Goes) {
    by_glass!(of.like().glass, V => to.each(TwoBranchesAt::<B, F, V>(of)));
}

#[inline(always)]
fn radical<const F: bool, B: Bodies<Radical>>(of: &B, to: &mut impl Goes) {
    let like = of.like();
    if like.trapped {
        by_glass!(like.glass, V => to.each(RadicalAt::<B, F, V, true>(of)));
    } else {
        by_glass!(like.glass, V => to.each(RadicalAt::<B, F, V, false>(of)));
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
        self.into::<F>(r);
    }

    /// Rates and derivatives of a run of cells.
    #[inline(always)]
    pub(crate) fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        self.into::<F>(&mut WithSlopes(r, d));
    }

    #[inline(always)]
    fn into<const F: bool>(&self, to: &mut impl Goes) {
        match self {
            Law::Inert => to.each(Still),
            Law::Power(l) => power::<F, _, _>(&One(l), to),
            Law::TwoBranches(l) => two_branches::<F, _>(&One(l), to),
            Law::Radical(l) => radical::<F, _>(&One(l), to),
            Law::InSeries(l) => to.each(InSeriesAt::<_, F>(&One(l))),
        }
    }
}

impl AlikeLaw {
    /// Rates of a run of cells, the bodies of a cell side by side.
    #[inline(always)]
    pub(crate) fn rates<const F: bool>(&self, r: &mut Rates) {
        self.into::<F>(r);
    }

    /// Rates and derivatives of a run of cells.
    #[inline(always)]
    pub(crate) fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        self.into::<F>(&mut WithSlopes(r, d));
    }

    #[inline(always)]
    fn into<const F: bool>(&self, to: &mut impl Goes) {
        match self {
            AlikeLaw::Inert => to.each(Still),
            AlikeLaw::Power(l) => power::<F, _, _>(l, to),
            AlikeLaw::TwoBranches(l) => two_branches::<F, _>(l, to),
            AlikeLaw::Radical(l) => radical::<F, _>(l, to),
            AlikeLaw::InSeries(l) => to.each(InSeriesAt::<_, F>(l)),
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
