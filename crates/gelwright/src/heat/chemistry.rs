//! What the kernel needs from a cure model: rates and slopes of a run of cells, written so that they become vector
//! instructions.
//!
//! A model has the degree of cure `a` and, for free-radical systems, a second state `i` that does not depend
//! on `a`: `di/dt = g(i, T)`, `da/dt = f(a, i, T)`. Both states are local (they do not diffuse), so the kernel
//! eliminates them cell by cell.

use super::kernel::Tolerance;
use super::vector::{exp, fused, greatest, ln};
use crate::cure::{
    Kernel, Vitrification,
    kinetics::{Arrhenius, KernelLaw},
};
use crate::quantity::Quantity;

/// Where less than this is left the slope of a power law is taken *at* it. The rate itself is never floored.
pub(crate) const SLOPE_FLOOR: f64 = 1e-5;
/// Below this conversion the slope of a power law is taken *at* it. With an order below one the true slope is infinite at
/// zero conversion; a linearly implicit step that believes it stands still.
pub(crate) const START_FLOOR: f64 = 1e-14;
/// Below this conversion no tolerance sees how it grows: [`most_growth`] alone bounds the step.
const EARLY: f64 = 0.2;
/// A time that no answer of this module tells from zero, s.
const INSTANT: f64 = 1e-3;

/// Smallest number a logarithm is taken of.
pub(crate) const TINY: f64 = 1e-300;

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
    by_cure * (1.0 + (early - 1.0) * at_least(1.0 - cure * (1.0 / EARLY), 0.0))
}

/// The conversion to start from: where the rate grows out of next to nothing within an instant, that instant is skipped.
pub(crate) fn lifted(cure: f64, rate: f64, by_cure: f64) -> f64 {
    if cure < START_FLOOR && rate > 0.0 && by_cure * INSTANT > 0.5 {
        START_FLOOR
    } else {
        cure
    }
}

/// Rates and their derivatives in one cell.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Slopes {
    /// `da/dt`, 1/s.
    pub(crate) rate: f64,
    /// Derivative of the rate with respect to conversion, 1/s.
    pub(crate) by_cure: f64,
    /// Derivative with respect to the second state, 1/s.
    pub(crate) by_second: f64,
    /// Derivative with respect to temperature, 1/(s K).
    pub(crate) by_temperature: f64,
    /// `di/dt`, 1/s.
    pub(crate) second: f64,
    /// Derivative of `di/dt` with respect to `i`.
    pub(crate) second_by_second: f64,
    /// Derivative of `di/dt` with respect to temperature.
    pub(crate) second_by_temperature: f64,
}

/// `k(T) = exp(ln_k - e_over_r / T)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Constant {
    /// ln of the pre-exponential factor in 1/s.
    pub(crate) ln_k: f64,
    /// Activation energy over the gas constant, K.
    pub(crate) e_over_r: f64,
}

impl From<Arrhenius> for Constant {
    fn from(k: Arrhenius) -> Self {
        Constant {
            ln_k: k.a.max(TINY).ln() + k.b * k.inverse_at,
            e_over_r: k.b,
        }
    }
}

/// One term `k(T) a^m u^n`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Term {
    pub(crate) k: Constant,
    /// Order in what has reacted.
    pub(crate) m: f64,
    /// Order in what is left.
    pub(crate) n: f64,
}

impl Term {
    /// `k(T) a^m u^n` from `1/T` and the logarithms of `a` and `u`.
    #[inline(always)]
    pub(crate) fn value<const F: bool>(&self, per_t: f64, ln_a: f64, ln_u: f64) -> f64 {
        let x = fused::<F>(-self.k.e_over_r, per_t, self.k.ln_k);
        exp::<F>(fused::<F>(self.m, ln_a, fused::<F>(self.n, ln_u, x)))
    }

    /// A term that adds nothing.
    pub(crate) const NONE: Term = Term {
        k: Constant {
            ln_k: -700.0,
            e_over_r: 0.0,
        },
        m: 0.0,
        n: 0.0,
    };
}

/// No vitrification, for a `const VITRIFIES`.
const FREE: u8 = 0;
/// Reaction stops dead at `a_max(T)`.
const STOPS: u8 = 1;
/// Reaction is limited by diffusion.
const SLOWS: u8 = 2;

/// Where cure stops or slows, by DiBenedetto; see [`crate::cure::glass`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glass {
    /// Glass transition of the uncured mix less the climb above the cure temperature, K.
    base: f64,
    /// Glass transition of the cured less that of the uncured, K.
    range: f64,
    lambda: f64,
    /// Over the kelvin that slow the reaction by e; 0 where it stops dead.
    per_slowing: f64,
}

impl From<Vitrification> for Glass {
    fn from(v: Vitrification) -> Self {
        let g = v.glass_transition;
        Glass {
            base: g.uncured.si() - v.above.si(),
            range: g.cured.si() - g.uncured.si(),
            lambda: g.lambda,
            per_slowing: v.slows_over.map_or(0.0, |w| 1.0 / w.si()),
        }
    }
}

impl Glass {
    /// One that never counts.
    const NONE: Glass = Glass {
        base: -1e9,
        range: 1.0,
        lambda: 1.0,
        per_slowing: 0.0,
    };

    fn vitrifies(of: Option<&Glass>) -> u8 {
        match of {
            None => FREE,
            Some(g) if g.per_slowing > 0.0 => SLOWS,
            Some(_) => STOPS,
        }
    }

    /// What is left to react, `u = a_max - a` (not below 0), and `d a_max/dT`.
    #[inline(always)]
    fn left<const VITRIFIES: u8>(&self, t: f64, a: f64) -> (f64, f64) {
        if VITRIFIES != STOPS {
            return (1.0 - a, 0.0);
        }
        let y = within((t - self.base) / self.range);
        let below = 1.0 / (self.lambda + (1.0 - self.lambda) * y);
        let inside = if y > 0.0 && y < 1.0 { 1.0 } else { 0.0 };
        (
            at_least(y * below - a, 0.0),
            inside * self.lambda * below * below / self.range,
        )
    }

    /// What diffusion leaves of the rate, and `1/(1 - (1 - lambda) a)`.
    #[inline(always)]
    fn mobile<const F: bool>(&self, t: f64, a: f64) -> (f64, f64) {
        let below = 1.0 / (1.0 - (1.0 - self.lambda) * a);
        let x = (self.base - t + self.range * self.lambda * a * below) * self.per_slowing;
        let x = if x < HARDEST { x } else { HARDEST };
        (1.0 / (1.0 + exp::<F>(x)), below)
    }

    /// A rate as diffusion leaves it.
    #[inline(always)]
    fn slow<const F: bool, const VITRIFIES: u8>(&self, t: f64, a: f64, rate: f64) -> f64 {
        if VITRIFIES != SLOWS {
            return rate;
        }
        rate * self.mobile::<F>(t, within(a)).0
    }

    /// Rate and slopes as diffusion leaves them.
    #[inline(always)]
    fn slow_all<const F: bool, const VITRIFIES: u8>(&self, t: f64, a: f64, s: Slopes) -> Slopes {
        if VITRIFIES != SLOWS {
            return s;
        }
        let (left, below) = self.mobile::<F>(t, within(a));
        let by_t = left * (1.0 - left) * self.per_slowing;
        let by_a = -by_t * self.range * self.lambda * below * below;
        Slopes {
            rate: left * s.rate,
            by_cure: left * s.by_cure + by_a * s.rate,
            by_second: left * s.by_second,
            by_temperature: left * s.by_temperature + by_t * s.rate,
            ..s
        }
    }
}

/// Keeps the exponential of the factor finite.
const HARDEST: f64 = 600.0;

/// One or two power-law terms: n-th order, autocatalytic, both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PowerLaw {
    pub(crate) first: Term,
    pub(crate) second: Option<Term>,
    pub(crate) glass: Option<Glass>,
}

#[inline(always)]
pub(crate) fn within(a: f64) -> f64 {
    let a = if a > 0.0 { a } else { 0.0 };
    if a < 1.0 { a } else { 1.0 }
}

#[inline(always)]
pub(crate) fn at_least(x: f64, low: f64) -> f64 {
    if x > low { x } else { low }
}

/// A power law with its parts at hand. `TWO`: there is a second term; `AUTO`: a term needs `ln a`; `FLOORED`: a
/// conversion is so near to 0 or to the ceiling that slopes are taken at [`START_FLOOR`] or [`SLOPE_FLOOR`].
struct Power {
    first: Term,
    second: Term,
    glass: Glass,
}

impl Power {
    #[inline(always)]
    fn rate<const F: bool, const TWO: bool, const AUTO: bool, const VITRIFIES: u8>(
        &self,
        t: f64,
        a: f64,
    ) -> f64 {
        let a = within(a);
        let per_t = 1.0 / t;
        let ln_u = ln::<F>(at_least(self.glass.left::<VITRIFIES>(t, a).0, TINY));
        let ln_a = if AUTO { ln::<F>(at_least(a, TINY)) } else { 0.0 };
        let mut rate = self.first.value::<F>(per_t, ln_a, ln_u);
        if TWO {
            rate += self.second.value::<F>(per_t, ln_a, ln_u);
        }
        self.glass.slow::<F, VITRIFIES>(t, a, rate)
    }

    #[inline(always)]
    fn slopes<const F: bool, const TWO: bool, const AUTO: bool, const VITRIFIES: u8, const FLOORED: bool>(
        &self,
        t: f64,
        a: f64,
    ) -> Slopes {
        let a = within(a);
        let (u, limit_slope) = self.glass.left::<VITRIFIES>(t, a);
        let (af, uf) = (at_least(a, START_FLOOR), at_least(u, SLOPE_FLOOR));
        let (per_t, per_a) = (1.0 / t, 1.0 / af);
        let per_u = if u > 0.0 { 1.0 / uf } else { 0.0 };
        let ln_u = ln::<F>(at_least(u, TINY));
        let ln_a = if AUTO { ln::<F>(at_least(a, TINY)) } else { 0.0 };
        let (ln_uf, ln_af) = if FLOORED {
            (ln::<F>(uf), if AUTO { ln::<F>(af) } else { 0.0 })
        } else {
            (ln_u, ln_a)
        };
        let mut out = Slopes::default();
        let mut add = |term: &Term| {
            let value = term.value::<F>(per_t, ln_a, ln_u);
            let slope_at = if FLOORED {
                term.value::<F>(per_t, ln_af, ln_uf)
            } else {
                value
            };
            let by_left = slope_at * term.n * per_u;
            out.rate += value;
            out.by_temperature += value * term.k.e_over_r * per_t * per_t + by_left * limit_slope;
            out.by_cure += slope_at * term.m * per_a - by_left;
        };
        add(&self.first);
        if TWO {
            add(&self.second);
        }
        self.glass.slow_all::<F, VITRIFIES>(t, a, out)
    }
}

impl PowerLaw {
    fn parts(&self) -> Power {
        Power {
            first: self.first,
            second: self.second.unwrap_or(Term::NONE),
            glass: self.glass.unwrap_or(Glass::NONE),
        }
    }

    #[inline(always)]
    fn rates<const F: bool>(&self, r: &mut Rates) {
        let p = self.parts();
        let auto = self.first.m != 0.0;
        match (self.second.is_some(), auto, Glass::vitrifies(self.glass.as_ref())) {
            (false, false, FREE) => r.each(|t, a, _| (p.rate::<F, false, false, FREE>(t, a), 0.0)),
            (false, false, STOPS) => r.each(|t, a, _| (p.rate::<F, false, false, STOPS>(t, a), 0.0)),
            (false, false, _) => r.each(|t, a, _| (p.rate::<F, false, false, SLOWS>(t, a), 0.0)),
            (false, true, FREE) => r.each(|t, a, _| (p.rate::<F, false, true, FREE>(t, a), 0.0)),
            (false, true, STOPS) => r.each(|t, a, _| (p.rate::<F, false, true, STOPS>(t, a), 0.0)),
            (false, true, _) => r.each(|t, a, _| (p.rate::<F, false, true, SLOWS>(t, a), 0.0)),
            (true, _, FREE) => r.each(|t, a, _| (p.rate::<F, true, true, FREE>(t, a), 0.0)),
            (true, _, STOPS) => r.each(|t, a, _| (p.rate::<F, true, true, STOPS>(t, a), 0.0)),
            (true, _, _) => r.each(|t, a, _| (p.rate::<F, true, true, SLOWS>(t, a), 0.0)),
        }
    }

    #[inline(always)]
    fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        let p = self.parts();
        let auto = self.second.is_some() || self.first.m != 0.0;
        // One cell near an end sends all of them the longer way: a branch in the loop would cost more.
        let vitrifies = Glass::vitrifies(self.glass.as_ref());
        let floored = vitrifies != STOPS
            && greatest([r.cure], |[a]| {
                if auto && a < START_FLOOR {
                    1.0
                } else {
                    a - 1.0 + SLOPE_FLOOR
                }
            }) > 0.0;
        match (auto, vitrifies, floored) {
            (false, FREE, false) => r.each_slope(d, |t, a, _| p.slopes::<F, true, false, FREE, false>(t, a)),
            (false, FREE, true) => r.each_slope(d, |t, a, _| p.slopes::<F, true, false, FREE, true>(t, a)),
            (true, FREE, false) => r.each_slope(d, |t, a, _| p.slopes::<F, true, true, FREE, false>(t, a)),
            (true, FREE, true) => r.each_slope(d, |t, a, _| p.slopes::<F, true, true, FREE, true>(t, a)),
            (_, STOPS, _) => r.each_slope(d, |t, a, _| p.slopes::<F, true, true, STOPS, true>(t, a)),
            (_, _, false) => r.each_slope(d, |t, a, _| p.slopes::<F, true, true, SLOWS, false>(t, a)),
            (_, _, true) => r.each_slope(d, |t, a, _| p.slopes::<F, true, true, SLOWS, true>(t, a)),
        }
    }
}

/// Peroxide, promoter, inhibitor: the free-radical law of [`crate::cure::kinetics`], in vectors. The second state is the
/// spent fraction of the initiator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Radical {
    decomposition: Constant,
    thermal: Option<Constant>,
    propagation: Constant,
    dose: f64,
    inhibitor: f64,
    corner: f64,
    glass: Option<Glass>,
}

impl Constant {
    #[inline(always)]
    fn value<const F: bool>(&self, per_t: f64) -> f64 {
        exp::<F>(fused::<F>(-self.e_over_r, per_t, self.ln_k))
    }
}

impl Radical {
    /// Radicals, `max(0, d i - z)` with its corner rounded, and how far past the corner (0 to 1).
    #[inline(always)]
    fn radicals(&self, i: f64) -> (f64, f64) {
        let c = self.corner;
        let across = if c > 0.0 { 0.5 / c } else { 0.0 };
        let x = self.dose * i - self.inhibitor;
        let gate = at_least((x + c) * across, 0.0);
        let gate = if x >= c { 1.0 } else { gate };
        (if gate < 1.0 { c * gate * gate } else { x }, gate)
    }

    #[inline(always)]
    fn rate<const F: bool, const VITRIFIES: u8>(&self, g: &Glass, t: f64, a: f64, i: f64) -> (f64, f64) {
        let (a, i) = (within(a), within(i));
        let per_t = 1.0 / t;
        let (u, _) = g.left::<VITRIFIES>(t, a);
        let kd = self.decomposition.value::<F>(per_t) + self.thermally().value::<F>(per_t);
        let kp = self.propagation.value::<F>(per_t);
        let (r, _) = self.radicals(i);
        (g.slow::<F, VITRIFIES>(t, a, kp * r * u), kd * (1.0 - i))
    }

    #[inline(always)]
    fn slopes_at<const F: bool, const VITRIFIES: u8>(&self, g: &Glass, t: f64, a: f64, i: f64) -> Slopes {
        let (a, i) = (within(a), within(i));
        let per_t = 1.0 / t;
        let per_t2 = per_t * per_t;
        let (u, u_slope) = g.left::<VITRIFIES>(t, a);
        let thermally = self.thermally();
        let kd = self.decomposition.value::<F>(per_t);
        let kt = thermally.value::<F>(per_t);
        let kp = self.propagation.value::<F>(per_t);
        let (r, gate) = self.radicals(i);
        let still = if u > 0.0 { 1.0 } else { 0.0 };
        let k = kd + kt;
        let all = Slopes {
            rate: kp * r * u,
            by_cure: -kp * r * still,
            by_second: kp * self.dose * gate * u,
            by_temperature: r * kp * (self.propagation.e_over_r * per_t2 * u + u_slope * still),
            second: k * (1.0 - i),
            second_by_second: -k,
            second_by_temperature: (kd * self.decomposition.e_over_r + kt * thermally.e_over_r)
                * per_t2
                * (1.0 - i),
        };
        g.slow_all::<F, VITRIFIES>(t, a, all)
    }

    fn thermally(&self) -> Constant {
        self.thermal.unwrap_or(Term::NONE.k)
    }

    #[inline(always)]
    fn rates<const F: bool>(&self, r: &mut Rates) {
        let law = *self;
        let g = self.glass.unwrap_or(Glass::NONE);
        match Glass::vitrifies(self.glass.as_ref()) {
            FREE => r.each(|t, a, i| law.rate::<F, FREE>(&g, t, a, i)),
            STOPS => r.each(|t, a, i| law.rate::<F, STOPS>(&g, t, a, i)),
            _ => r.each(|t, a, i| law.rate::<F, SLOWS>(&g, t, a, i)),
        }
    }

    #[inline(always)]
    fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        let law = *self;
        let g = self.glass.unwrap_or(Glass::NONE);
        match Glass::vitrifies(self.glass.as_ref()) {
            FREE => r.each_slope(d, |t, a, i| law.slopes_at::<F, FREE>(&g, t, a, i)),
            STOPS => r.each_slope(d, |t, a, i| law.slopes_at::<F, STOPS>(&g, t, a, i)),
            _ => r.each_slope(d, |t, a, i| law.slopes_at::<F, SLOWS>(&g, t, a, i)),
        }
    }
}

/// Any law, cell by cell, through the cure module's own kernel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ByCell(Kernel);

impl ByCell {
    fn slopes_at(&self, t: f64, a: f64, i: f64) -> Slopes {
        let r = self.0.rate(a, i, t);
        Slopes {
            rate: r.dalpha,
            by_cure: r.dalpha_dalpha,
            by_second: r.dalpha_di,
            by_temperature: r.dalpha_dt,
            second: r.di,
            second_by_second: r.di_di,
            second_by_temperature: r.di_dt,
        }
    }
}

/// The chemistry of one layer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Law {
    /// Nothing reacts.
    Inert,
    /// One or two power-law terms.
    Power(PowerLaw),
    /// Peroxide and promoter, radicals trapped.
    Radical(Radical),
    /// Any other.
    ByCell(ByCell),
}

impl From<&Kernel> for Law {
    fn from(kernel: &Kernel) -> Self {
        let glass = kernel.vitrification.map(Glass::from);
        let term = |k: Arrhenius, m: f64, n: f64| Term { k: k.into(), m, n };
        let power = |first, second| Law::Power(PowerLaw { first, second, glass });
        // The cure module rounds the end of an order below one in what is left; that is computed there.
        match kernel.law {
            KernelLaw::NthOrder { n, .. }
            | KernelLaw::Autocatalytic { n, .. }
            | KernelLaw::KamalSourour { n, .. }
                if n < 1.0 =>
            {
                Law::ByCell(ByCell(*kernel))
            }
            KernelLaw::NthOrder { k, n } => power(term(k, 0.0, n), None),
            KernelLaw::Autocatalytic { k, m, n } => power(term(k, m, n), None),
            KernelLaw::KamalSourour { k1, k2, m, n } if k1.a <= 0.0 => power(term(k2, m, n), None),
            KernelLaw::KamalSourour { k1, k2, n, .. } if k2.a <= 0.0 => power(term(k1, 0.0, n), None),
            KernelLaw::KamalSourour { k1, k2, m, n } => power(term(k1, 0.0, n), Some(term(k2, m, n))),
            KernelLaw::FreeRadical {
                kd,
                kt,
                kp,
                dose,
                inhibitor,
                corner,
                trapped: true,
            } => Law::Radical(Radical {
                decomposition: kd.into(),
                thermal: (kt.a > 0.0).then(|| kt.into()),
                propagation: kp.into(),
                dose,
                inhibitor,
                corner,
                glass,
            }),
            _ => Law::ByCell(ByCell(*kernel)),
        }
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
    fn each(&mut self, law: impl Fn(f64, f64, f64) -> (f64, f64)) {
        let second = &mut *self.second_rate;
        each(self.temperature, self.cure, self.second, self.rate, second, law);
    }

    /// Sets rates and derivatives of every cell.
    #[inline(always)]
    fn each_slope(&mut self, d: &mut Derivatives, law: impl Fn(f64, f64, f64) -> Slopes) {
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
    law: impl Fn(f64, f64, f64) -> (f64, f64),
) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    for c in 0..n {
        (rate[c], second[c]) = law(t[c], a[c], i[c]);
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
    law: impl Fn(f64, f64, f64) -> Slopes,
) {
    let n = rate.len();
    let (t, a, i, second) = (&t[..n], &a[..n], &i[..n], &mut second[..n]);
    let (by_cure, by_second, by_t) = (&mut by_cure[..n], &mut by_second[..n], &mut by_t[..n]);
    let (second_by_second, second_by_t) = (&mut second_by_second[..n], &mut second_by_t[..n]);
    for c in 0..n {
        let s = law(t[c], a[c], i[c]);
        rate[c] = s.rate;
        second[c] = s.second;
        by_cure[c] = s.by_cure;
        by_second[c] = s.by_second;
        by_t[c] = s.by_temperature;
        second_by_second[c] = s.second_by_second;
        second_by_t[c] = s.second_by_temperature;
    }
}

impl Law {
    /// Whether there is a second state.
    pub(crate) fn has_second(&self) -> bool {
        match self {
            Law::Inert | Law::Power(_) => false,
            Law::Radical(_) => true,
            Law::ByCell(l) => l.0.spends_initiator(),
        }
    }

    /// Whether a cell costs so little that a run of cells is rounded up to whole vectors.
    pub(crate) fn in_vectors(&self) -> bool {
        matches!(self, Law::Power(_) | Law::Radical(_))
    }

    /// Rates of a run of cells.
    #[inline(always)]
    pub(crate) fn rates<const F: bool>(&self, r: &mut Rates) {
        match self {
            Law::Inert => {
                r.rate.fill(0.0);
                r.second_rate.fill(0.0);
            }
            Law::Power(law) => law.rates::<F>(r),
            Law::Radical(law) => law.rates::<F>(r),
            Law::ByCell(law) => r.each(|t, a, i| {
                let s = law.slopes_at(t, a, i);
                (s.rate, s.second)
            }),
        }
    }

    /// Rates and derivatives of a run of cells.
    #[inline(always)]
    pub(crate) fn slopes<const F: bool>(&self, r: &mut Rates, d: &mut Derivatives) {
        match self {
            Law::Inert => r.each_slope(d, |_, _, _| Slopes::default()),
            Law::Power(law) => law.slopes::<F>(r, d),
            Law::Radical(law) => law.slopes::<F>(r, d),
            Law::ByCell(law) => r.each_slope(d, |t, a, i| law.slopes_at(t, a, i)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{
        Autocatalytic, FreeRadical, GlassTransition, KamalSourour, Kinetics, NthOrder, Radicals,
        RateConstant, RateLaw,
    };
    use crate::quantity::{DegreeOfCure, Frequency, MolarEnergy, Phr, temperature::celsius};
    use crate::source::{Source, Standing};

    /// Every law in vectors must be the cure module's own kernel, rates and derivatives, whatever the corner.
    #[test]
    fn vectors_agree_with_the_cure_kernel() {
        let k = |f: f64, e: f64| {
            RateConstant::at(
                celsius(25.0),
                Frequency::from_si(f).unwrap(),
                MolarEnergy::from_si(e).unwrap(),
            )
        };
        let laws = [
            RateLaw::NthOrder(NthOrder {
                k: k(1e-3, 60e3),
                n: 1.3,
            }),
            RateLaw::Autocatalytic(Autocatalytic {
                k: k(1e-3, 60e3),
                m: 0.5,
                n: 1.5,
            }),
            RateLaw::KamalSourour(KamalSourour {
                k1: k(4e-6, 70e3),
                k2: k(1.2e-3, 55e3),
                m: 0.85,
                n: 1.2,
            }),
            RateLaw::FreeRadical(FreeRadical {
                decomposition: k(2e-4, 55e3),
                thermal_decomposition: Some(k(1e-6, 110e3)),
                propagation: k(3e-3, 24e3),
                dose: Phr::new(1.5).unwrap(),
                inhibitor: Phr::new(0.4).unwrap(),
                promoter: Phr::new(0.5).unwrap(),
                reference_promoter: Phr::new(0.3).unwrap(),
                promoter_order: 0.7,
                dose_effect: None,
                radicals: Radicals::Trapped,
            }),
        ];
        for law in laws {
            for vitrifies in [FREE, STOPS, SLOWS] {
                let kinetics = Kinetics {
                    law,
                    heat_of_reaction: Quantity::from_si(350e3).unwrap(),
                    seed: DegreeOfCure::new(1e-4).unwrap(),
                    vitrification: (vitrifies != FREE).then(|| Vitrification {
                        glass_transition: GlassTransition {
                            uncured: celsius(-40.0),
                            cured: celsius(110.0),
                            lambda: 0.4,
                        },
                        above: Quantity::from_si(10.0).unwrap(),
                        slows_over: (vitrifies == SLOWS).then(|| Quantity::from_si(4.0).unwrap()),
                        spread: None,
                    }),
                    fitted: None,
                    source: Source::of(Standing::Invented, "made for this test"),
                };
                let kernel = kinetics.kernel().unwrap();
                let compiled = Law::from(&kernel);
                assert!(!matches!(compiled, Law::ByCell(_)), "{law:?}");
                for (a, i, t) in [
                    (0.0, 0.0, 295.0),
                    (1e-7, 0.1, 300.0),
                    (0.05, 0.25, 290.0),
                    (0.2, 0.267, 310.0),
                    (0.6, 0.5, 350.0),
                    (0.8, 0.5, 330.0),
                    (0.97, 0.9, 420.0),
                    (1.0, 1.0, 450.0),
                ] {
                    let r = kernel.rate(a, i, t);
                    let mut got = [[0.0; 1]; 7];
                    let [rate, by_a, by_i, by_t, second, ss, st] = &mut got;
                    compiled.slopes::<true>(
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
                    compiled.rates::<true>(&mut Rates {
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
                        ("by_second", got[2][0], r.dalpha_di),
                        ("second_by_second", got[5][0], r.di_di),
                        ("second_by_temperature", got[6][0], r.di_dt),
                    ] {
                        assert!(
                            (got - expected).abs() <= 1e-9 * expected.abs() + 1e-14,
                            "{law:?} {vitrifies} at {a} {i} {t}: {name} {got} against {expected}"
                        );
                    }
                    // At the corners slopes are floored, each module in its own way.
                    if a > 1e-4 && a < 1.0 {
                        for (got, expected) in [(got[1][0], r.dalpha_dalpha), (got[3][0], r.dalpha_dt)] {
                            assert!(
                                (got - expected).abs() <= 1e-9 * expected.abs() + 1e-14,
                                "{law:?} at {a} {i} {t}: {got} against {expected}"
                            );
                        }
                    }
                }
            }
        }
    }
}
