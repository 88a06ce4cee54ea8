//! Every rate law, spelled once: the rate of one cell and its exact derivatives.
//!
//! What steps in time computes a run of cells by vector instructions, and what integrates by quadrature one point to the last
//! bit. Both call the same functions, which take their exponentials and logarithms from a [`Maths`]; a `const` parameter is a
//! part that a law does not have, so that it costs nothing. Who wants the rate alone drops the derivatives, and the compiler
//! does not compute them.

use super::glass::{GlassTransition, Vitrification};
use super::kinetics::Rate;
use crate::quantity::Quantity;

/// Below this conversion the slope of an order in what has reacted is taken *at* it: with an order below one the true slope
/// is infinite at zero, and a linearly implicit step that believes it stands still. The rate itself is never floored.
pub const DERIVATIVE_FLOOR: f64 = 1e-14;
/// Within this of the end an order below one in what is left is a straight line to zero.
pub(crate) const NEAR_END: f64 = 1e-5;
/// Its logarithm.
const LN_NEAR_END: f64 = -11.512_925_464_970_229;
/// Within this of the end the root of what is left of the initiator is linear.
const SPENT: f64 = 1e-10;
/// Half-width of the rounded corner at the end of induction, over the inhibitor.
pub(super) const CORNER: f64 = 0.02;
/// Keeps the exponential of what diffusion takes finite.
const HARDEST: f64 = 600.0;

/// Where exponentials and logarithms come from.
pub(crate) trait Maths {
    /// `e^x`.
    fn exp(x: f64) -> f64;
    /// Natural logarithm; of zero, a number so low that `e` to it is nothing.
    fn ln(x: f64) -> f64;
    /// `a x + c`.
    fn fused(a: f64, x: f64, c: f64) -> f64;
}

/// Those of the standard library.
pub(crate) struct Exact;

impl Maths for Exact {
    #[inline(always)]
    fn exp(x: f64) -> f64 {
        x.exp()
    }

    #[inline(always)]
    fn ln(x: f64) -> f64 {
        if x > 0.0 { x.ln() } else { -1e6 }
    }

    #[inline(always)]
    fn fused(a: f64, x: f64, c: f64) -> f64 {
        a * x + c
    }
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

/// `k(T) = exp(ln_k - e_over_r / T)`, plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Arrhenius {
    /// ln of the pre-exponential factor in 1/s; -infinity for a constant of zero.
    pub(crate) ln_k: f64,
    /// Activation energy over the gas constant, K.
    pub(crate) e_over_r: f64,
}

impl Arrhenius {
    /// A constant of zero.
    pub(crate) const ZERO: Arrhenius = Arrhenius {
        ln_k: f64::NEG_INFINITY,
        e_over_r: 0.0,
    };

    /// One that does not depend on temperature.
    pub(super) fn constant(k: f64) -> Self {
        Arrhenius {
            ln_k: k.ln(),
            e_over_r: 0.0,
        }
    }

    pub(super) fn times(self, f: f64) -> Self {
        Arrhenius {
            ln_k: self.ln_k + f.ln(),
            ..self
        }
    }

    pub(super) fn is_zero(&self) -> bool {
        self.ln_k == f64::NEG_INFINITY
    }

    /// At a temperature, K.
    pub(super) fn at(&self, t: f64) -> f64 {
        self.value::<Exact>(1.0 / t)
    }

    #[inline(always)]
    fn value<M: Maths>(&self, per_t: f64) -> f64 {
        M::exp(M::fused(-self.e_over_r, per_t, self.ln_k))
    }

    fn sound(&self) -> bool {
        self.ln_k < f64::INFINITY && (0.0..f64::INFINITY).contains(&self.e_over_r)
    }
}

/// A law as the numbers it is made of: laws that are alike are put side by side, number by number.
pub(crate) trait Numbers<const N: usize>: Copy {
    /// All of them.
    fn numbers(&self) -> [f64; N];
    /// Put together again; what is no number is what a `const` parameter of the rate says.
    fn of_numbers(numbers: [f64; N]) -> Self;
}

/// No vitrification, for a `const VITRIFIES`.
pub(crate) const FREE: u8 = 0;
/// Reaction stops dead at `a_max(T)`.
pub(crate) const STOPS: u8 = 1;
/// Reaction is limited by diffusion.
pub(crate) const SLOWS: u8 = 2;

/// Calls a rate with the `const VITRIFIES` of a glass.
macro_rules! by_glass {
    ($glass:expr, $v:ident => $call:expr) => {
        match $glass.vitrifies() {
            $crate::cure::law::FREE => {
                const $v: u8 = $crate::cure::law::FREE;
                $call
            }
            $crate::cure::law::STOPS => {
                const $v: u8 = $crate::cure::law::STOPS;
                $call
            }
            _ => {
                const $v: u8 = $crate::cure::law::SLOWS;
                $call
            }
        }
    };
}
pub(crate) use by_glass;

/// Where cure stops or slows, by DiBenedetto; see [`super::glass`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glass {
    /// Glass transition of the uncured mix less the climb above the cure temperature, K.
    base: f64,
    /// Glass transition of the cured less that of the uncured, K.
    range: f64,
    lambda: f64,
    /// Over the kelvin that slow the reaction by e; 0 where it stops dead, below 0 where it does not vitrify.
    per_slowing: f64,
}

impl From<Option<Vitrification>> for Glass {
    fn from(v: Option<Vitrification>) -> Self {
        let Some(v) = v else { return Glass::NONE };
        let g = Glass::of(&v.glass_transition);
        Glass {
            base: g.base - v.above.si(),
            per_slowing: v.slows_over.map_or(0.0, |w| 1.0 / w.si()),
            ..g
        }
    }
}

impl Glass {
    /// A glass transition that does not slow by itself.
    pub(super) fn of(g: &GlassTransition) -> Self {
        Glass {
            base: g.uncured.si(),
            range: g.cured.si() - g.uncured.si(),
            lambda: g.lambda,
            per_slowing: -1.0,
        }
    }

    #[inline(always)]
    fn of_numbers([base, range, lambda, per_slowing]: [f64; 4]) -> Self {
        Glass {
            base,
            range,
            lambda,
            per_slowing,
        }
    }

    fn numbers(&self) -> [f64; 4] {
        [self.base, self.range, self.lambda, self.per_slowing]
    }

    /// One that never counts.
    pub(crate) const NONE: Glass = Glass {
        base: -1e9,
        range: 1.0,
        lambda: 1.0,
        per_slowing: -1.0,
    };

    #[inline(always)]
    pub(crate) fn vitrifies(&self) -> u8 {
        if self.per_slowing > 0.0 {
            SLOWS
        } else if self.per_slowing < 0.0 {
            FREE
        } else {
            STOPS
        }
    }

    /// Glass transition at a conversion (less the climb above the cure temperature), K, and its slope.
    #[inline(always)]
    fn transition(&self, a: f64) -> (f64, f64) {
        let below = 1.0 / (1.0 - (1.0 - self.lambda) * a);
        (
            self.base + self.range * self.lambda * a * below,
            self.range * self.lambda * below * below,
        )
    }

    /// What is left to react, `u = a_max - a` (not below 0), and its derivatives on conversion and temperature.
    #[inline(always)]
    fn left<const VITRIFIES: u8>(&self, t: f64, a: f64) -> (f64, f64, f64) {
        if VITRIFIES != STOPS {
            return (1.0 - a, -1.0, 0.0);
        }
        let y = within((t - self.base) / self.range);
        let below = 1.0 / (self.lambda + (1.0 - self.lambda) * y);
        let u = at_least(y * below - a, 0.0);
        // Beyond the limit nothing reacts: value and derivatives are zero.
        let still = if u > 0.0 { 1.0 } else { 0.0 };
        let inside = if (y > 0.0) & (y < 1.0) { still } else { 0.0 };
        (u, -still, inside * self.lambda * below * below / self.range)
    }

    /// What diffusion leaves of the rate, and its derivatives on conversion and temperature.
    #[inline(always)]
    pub(super) fn mobile<M: Maths>(&self, t: f64, a: f64) -> (f64, f64, f64) {
        let (tg, slope) = self.transition(a);
        let x = (tg - t) * self.per_slowing;
        let x = if x < HARDEST { x } else { HARDEST };
        let left = 1.0 / (1.0 + M::exp(x));
        let by_t = left * (1.0 - left) * self.per_slowing;
        (left, -by_t * slope, by_t)
    }

    /// Rate and derivatives as diffusion leaves them.
    #[inline(always)]
    fn slow<M: Maths, const VITRIFIES: u8>(&self, t: f64, a: f64, r: Rate) -> Rate {
        if VITRIFIES != SLOWS {
            return r;
        }
        let (left, by_a, by_t) = self.mobile::<M>(t, a);
        Rate {
            dalpha: left * r.dalpha,
            dalpha_dalpha: left * r.dalpha_dalpha + by_a * r.dalpha,
            dalpha_di: left * r.dalpha_di,
            dalpha_dt: left * r.dalpha_dt + by_t * r.dalpha,
            ..r
        }
    }
}

/// One term `k(T) a^m u^n`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Term {
    pub(crate) k: Arrhenius,
    /// Order in what has reacted.
    pub(crate) m: f64,
    /// Order in what is left.
    pub(crate) n: f64,
}

impl Term {
    /// A term that adds nothing.
    pub(crate) const NONE: Term = Term {
        k: Arrhenius {
            ln_k: -700.0,
            e_over_r: 0.0,
        },
        m: 0.0,
        n: 1.0,
    };

    #[inline(always)]
    fn of_numbers([ln_k, e_over_r, m, n]: [f64; 4]) -> Self {
        let k = Arrhenius { ln_k, e_over_r };
        Term { k, m, n }
    }

    fn numbers(&self) -> [f64; 4] {
        [self.k.ln_k, self.k.e_over_r, self.m, self.n]
    }

    /// Order in what is left and ln of the constant: an order below one is a straight line near the end.
    #[inline(always)]
    fn end<const ROUNDED: bool>(&self, u: f64) -> (f64, f64) {
        if ROUNDED && (self.n < 1.0) & (u < NEAR_END) {
            (1.0, self.k.ln_k + (self.n - 1.0) * LN_NEAR_END)
        } else {
            (self.n, self.k.ln_k)
        }
    }

    /// From that, `1/T` and the logarithms of `a` and `u`.
    #[inline(always)]
    fn value<M: Maths>(&self, (order, ln_k): (f64, f64), per_t: f64, ln_a: f64, ln_u: f64) -> f64 {
        let x = M::fused(-self.k.e_over_r, per_t, ln_k);
        M::exp(M::fused(self.m, ln_a, M::fused(order, ln_u, x)))
    }
}

impl Term {
    /// Its rate, and that times its order in `a`, its order in `u`, its E/R; from `1/T` and the logarithms of `a`, of `a` at least
    /// the floor of derivatives, of `u`. Not a closure of who asks: that, the compiler may leave outside of a loop of vectors.
    #[inline(always)]
    fn parts<M: Maths, const FLOORED: bool, const ROUNDED: bool>(
        &self,
        u: f64,
        [per_t, ln_a, ln_floor, ln_u]: [f64; 4],
    ) -> [f64; 4] {
        let end = self.end::<ROUNDED>(u);
        let value = self.value::<M>(end, per_t, ln_a, ln_u);
        let floored = if FLOORED {
            self.value::<M>(end, per_t, ln_floor, ln_u)
        } else {
            value
        };
        [value, floored * self.m, value * end.0, value * self.k.e_over_r]
    }
}

/// One or two power-law terms: n-th order, autocatalytic, both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Power {
    pub(crate) first: Term,
    pub(crate) second: Option<Term>,
    pub(crate) glass: Glass,
}

impl Numbers<12> for Power {
    fn numbers(&self) -> [f64; 12] {
        let [a, b, c, d] = self.first.numbers();
        let [e, f, g, h] = self.second.unwrap_or(Term::NONE).numbers();
        let [i, j, k, l] = self.glass.numbers();
        [a, b, c, d, e, f, g, h, i, j, k, l]
    }

    #[inline(always)]
    fn of_numbers([a, b, c, d, e, f, g, h, i, j, k, l]: [f64; 12]) -> Self {
        Power {
            first: Term::of_numbers([a, b, c, d]),
            second: Some(Term::of_numbers([e, f, g, h])),
            glass: Glass::of_numbers([i, j, k, l]),
        }
    }
}

impl Power {
    /// Whether an order below one rounds its end.
    #[inline(always)]
    pub(crate) fn rounded(&self) -> bool {
        self.first.n < 1.0
    }

    /// `TWO`: there is a second term; `AUTO`: a term needs `ln a`; `FLOORED`: a conversion may lie below
    /// [`DERIVATIVE_FLOOR`]; `ROUNDED`: an order in what is left may be below one.
    #[inline(always)]
    pub(crate) fn rate<
        M: Maths,
        const TWO: bool,
        const AUTO: bool,
        const VITRIFIES: u8,
        const FLOORED: bool,
        const ROUNDED: bool,
    >(
        &self,
        t: f64,
        a: f64,
    ) -> Rate {
        let a = within(a);
        let (u, u_da, u_dt) = self.glass.left::<VITRIFIES>(t, a);
        let floor = at_least(a, DERIVATIVE_FLOOR);
        let (per_t, per_a) = (1.0 / t, 1.0 / floor);
        let per_u = if u > 0.0 { 1.0 / u } else { 0.0 };
        let ln_u = M::ln(u);
        let ln_a = if AUTO { M::ln(a) } else { 0.0 };
        let ln_floor = if AUTO && FLOORED { M::ln(floor) } else { ln_a };
        let logs = [per_t, ln_a, ln_floor, ln_u];
        let mut sums = self.first.parts::<M, FLOORED, ROUNDED>(u, logs);
        if TWO && let Some(second) = &self.second {
            let more = second.parts::<M, FLOORED, ROUNDED>(u, logs);
            for k in 0..4 {
                sums[k] += more[k];
            }
        }
        let [rate, in_a, in_u, in_t] = sums;
        let by_left = in_u * per_u;
        let by_t = in_t * per_t * per_t;
        let out = Rate {
            dalpha: rate,
            dalpha_dalpha: in_a * per_a + by_left * u_da,
            dalpha_dt: if VITRIFIES == STOPS {
                by_t + by_left * u_dt
            } else {
                by_t
            },
            ..Rate::default()
        };
        self.glass.slow::<M, VITRIFIES>(t, a, out)
    }
}

/// Two branches with a switch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TwoBranches {
    pub(crate) k1: Arrhenius,
    pub(crate) k2: Arrhenius,
    /// Sign of `k2`.
    pub(crate) sign: f64,
    pub(crate) k3: Arrhenius,
    pub(crate) b: f64,
    pub(crate) switch: f64,
    pub(crate) glass: Glass,
}

impl Numbers<13> for TwoBranches {
    fn numbers(&self) -> [f64; 13] {
        let [a, b, c] = [self.k1, self.k2, self.k3].map(|k| [k.ln_k, k.e_over_r]);
        let [g, h, i, j] = self.glass.numbers();
        let [sign, most, switch] = [self.sign, self.b, self.switch];
        [a[0], a[1], b[0], b[1], c[0], c[1], sign, most, switch, g, h, i, j]
    }

    #[inline(always)]
    fn of_numbers([a, b, c, d, e, f, sign, most, switch, g, h, i, j]: [f64; 13]) -> Self {
        let constant = |ln_k, e_over_r| Arrhenius { ln_k, e_over_r };
        TwoBranches {
            k1: constant(a, b),
            k2: constant(c, d),
            sign,
            k3: constant(e, f),
            b: most,
            switch,
            glass: Glass::of_numbers([g, h, i, j]),
        }
    }
}

impl TwoBranches {
    #[inline(always)]
    pub(crate) fn rate<M: Maths, const VITRIFIES: u8>(&self, t: f64, a: f64) -> Rate {
        let a = within(a);
        let (u, u_da, u_dt) = self.glass.left::<VITRIFIES>(t, a);
        let per_t = 1.0 / t;
        let per_t2 = per_t * per_t;
        let (k1, k3) = (self.k1.value::<M>(per_t), self.k3.value::<M>(per_t));
        let k2 = self.sign * self.k2.value::<M>(per_t);
        let (f, g) = (k1 + k2 * a, self.b - a);
        // A falling first branch ends at zero.
        let goes = if f > 0.0 { 1.0 } else { 0.0 };
        let f_dt = (k1 * self.k1.e_over_r + k2 * self.k2.e_over_r * a) * per_t2;
        let low = [
            goes * f * g * u,
            goes * ((k2 * g - f) * u + f * g * u_da),
            goes * g * (f_dt * u + f * u_dt),
        ];
        let high = [k3 * u, k3 * u_da, k3 * (self.k3.e_over_r * per_t2 * u + u_dt)];
        let below = a <= self.switch;
        let r = Rate {
            dalpha: if below { low[0] } else { high[0] },
            dalpha_dalpha: if below { low[1] } else { high[1] },
            dalpha_dt: if below { low[2] } else { high[2] },
            ..Rate::default()
        };
        self.glass.slow::<M, VITRIFIES>(t, a, r)
    }
}

/// Peroxide, promoter, inhibitor. The second state is the spent fraction of the initiator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Radical {
    /// Decomposition by the promoter.
    pub(crate) kd: Arrhenius,
    /// By heat alone.
    pub(crate) kt: Arrhenius,
    /// Propagation.
    pub(crate) kp: Arrhenius,
    pub(crate) dose: f64,
    pub(crate) inhibitor: f64,
    pub(crate) corner: f64,
    /// Half of one over that; 0 without an inhibitor.
    pub(crate) across: f64,
    pub(crate) trapped: bool,
    pub(crate) glass: Glass,
}

impl Numbers<14> for Radical {
    fn numbers(&self) -> [f64; 14] {
        let [a, b, c] = [self.kd, self.kt, self.kp].map(|k| [k.ln_k, k.e_over_r]);
        let [g, h, i, j] = self.glass.numbers();
        let [dose, inhibitor] = [self.dose, self.inhibitor];
        let [corner, across] = [self.corner, self.across];
        [
            a[0], a[1], b[0], b[1], c[0], c[1], dose, inhibitor, corner, across, g, h, i, j,
        ]
    }

    #[inline(always)]
    fn of_numbers([a, b, c, d, e, f, dose, inhibitor, corner, across, g, h, i, j]: [f64; 14]) -> Self {
        let constant = |ln_k, e_over_r| Arrhenius { ln_k, e_over_r };
        Radical {
            kd: constant(a, b),
            kt: constant(c, d),
            kp: constant(e, f),
            dose,
            inhibitor,
            corner,
            across,
            trapped: false,
            glass: Glass::of_numbers([g, h, i, j]),
        }
    }
}

impl Radical {
    /// `R`, or `sqrt(d (1 - i)) g` for steady radicals, and its derivative on the spent initiator.
    #[inline(always)]
    pub(crate) fn radicals<const TRAPPED: bool>(&self, i: f64) -> (f64, f64) {
        let c = self.corner;
        let x = self.dose * i - self.inhibitor;
        // 0 below the corner, 1 above it, straight across it.
        let gate = at_least((x + c) * self.across, 0.0);
        let gate = if x >= c { 1.0 } else { gate };
        if TRAPPED {
            let r = if gate < 1.0 { c * gate * gate } else { x };
            return (r, self.dose * gate);
        }
        let left = 1.0 - i;
        let whole = at_least(left, SPENT).sqrt();
        let per = 1.0 / whole;
        // Straight below.
        let (s, s_dleft) = if left < SPENT {
            (left * per, per)
        } else {
            (whole, 0.5 * per)
        };
        let root = self.dose.sqrt();
        let gate_di = if (gate > 0.0) & (gate < 1.0) {
            self.dose * self.across
        } else {
            0.0
        };
        (root * s * gate, root * (gate_di * s - gate * s_dleft))
    }

    /// The rate of one radical, `kp u` as diffusion leaves it.
    #[inline(always)]
    fn of_one<M: Maths, const VITRIFIES: u8>(&self, t: f64, a: f64) -> Rate {
        let (u, u_da, u_dt) = self.glass.left::<VITRIFIES>(t, a);
        let per_t = 1.0 / t;
        let kp = self.kp.value::<M>(per_t);
        let r = Rate {
            dalpha: kp * u,
            dalpha_dalpha: kp * u_da,
            dalpha_dt: kp * (self.kp.e_over_r * per_t * per_t * u + u_dt),
            ..Rate::default()
        };
        self.glass.slow::<M, VITRIFIES>(t, a, r)
    }

    #[inline(always)]
    pub(crate) fn rate<M: Maths, const VITRIFIES: u8, const TRAPPED: bool>(
        &self,
        t: f64,
        a: f64,
        i: f64,
    ) -> Rate {
        let (a, i) = (within(a), within(i));
        let per_t = 1.0 / t;
        let kd = self.kd.value::<M>(per_t);
        let kt = self.kt.value::<M>(per_t);
        let (r, r_di) = self.radicals::<TRAPPED>(i);
        let one = self.of_one::<M, VITRIFIES>(t, a);
        let k = kd + kt;
        Rate {
            dalpha: r * one.dalpha,
            di: k * (1.0 - i),
            dalpha_dalpha: r * one.dalpha_dalpha,
            dalpha_di: r_di * one.dalpha,
            dalpha_dt: r * one.dalpha_dt,
            di_di: -k,
            di_dt: (kd * self.kd.e_over_r + kt * self.kt.e_over_r) * per_t * per_t * (1.0 - i),
        }
    }
}

/// Two power-law terms in series with a diffusion constant of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct InSeries {
    pub(crate) first: Term,
    pub(crate) second: Term,
    /// Diffusion constant before the free volume.
    pub(crate) kd: Arrhenius,
    /// `b` over the free volume in its exponent.
    pub(crate) overlap: f64,
    /// Free volume at the glass transition.
    pub(crate) at_glass: f64,
    /// Expansion of the free volume, 1/K.
    pub(crate) expansion: f64,
    /// Glass transition of the mix against conversion.
    pub(crate) glass: Glass,
}

impl Numbers<17> for InSeries {
    fn numbers(&self) -> [f64; 17] {
        let [a, b, c, d] = self.first.numbers();
        let [e, f, g, h] = self.second.numbers();
        let [i, j, k] = [self.overlap, self.at_glass, self.expansion];
        let [l, m, n, o] = self.glass.numbers();
        let kd = self.kd;
        [a, b, c, d, e, f, g, h, kd.ln_k, kd.e_over_r, i, j, k, l, m, n, o]
    }

    #[inline(always)]
    fn of_numbers([a, b, c, d, e, f, g, h, ln_k, e_over_r, i, j, k, l, m, n, o]: [f64; 17]) -> Self {
        InSeries {
            first: Term::of_numbers([a, b, c, d]),
            second: Term::of_numbers([e, f, g, h]),
            kd: Arrhenius { ln_k, e_over_r },
            overlap: i,
            at_glass: j,
            expansion: k,
            glass: Glass::of_numbers([l, m, n, o]),
        }
    }
}

impl InSeries {
    /// ln of the diffusion constant, its derivatives on conversion and temperature.
    #[inline(always)]
    fn diffusion(&self, t: f64, a: f64) -> (f64, f64, f64) {
        let (tg, slope) = self.glass.transition(a);
        let least = self.overlap * (1.0 / HARDEST);
        let volume = self.at_glass + self.expansion * (t - tg);
        let opens = if volume > least { self.expansion } else { 0.0 };
        let per = 1.0 / at_least(volume, least);
        let by_t = self.overlap * per * per * opens;
        let per_t = 1.0 / t;
        (
            self.kd.ln_k - self.kd.e_over_r * per_t - self.overlap * per,
            -by_t * slope,
            by_t + self.kd.e_over_r * per_t * per_t,
        )
    }

    /// How steeply the diffusion constant grows with temperature, 1/K.
    pub(super) fn opens(&self, t: f64, a: f64) -> f64 {
        self.diffusion(t, within(a)).2
    }

    #[inline(always)]
    pub(crate) fn rate<M: Maths, const ROUNDED: bool>(&self, t: f64, a: f64) -> Rate {
        let a = within(a);
        let u = 1.0 - a;
        let floor = at_least(a, DERIVATIVE_FLOOR);
        let (per_t, per_a) = (1.0 / t, 1.0 / floor);
        let per_u = if u > 0.0 { 1.0 / u } else { 0.0 };
        let (ln_a, ln_floor, ln_u) = (M::ln(a), M::ln(floor), M::ln(u));
        let (ln_kd, kd_da, kd_dt) = self.diffusion(t, a);
        let mut out = Rate::default();
        for term in [&self.first, &self.second] {
            // The share of the resistance that is chemical: k = k1 kd/(k1 + kd) = chemical k1.
            let over = M::fused(-term.k.e_over_r, per_t, term.k.ln_k) - ln_kd;
            let chemical = 1.0 / (1.0 + M::exp(if over < HARDEST { over } else { HARDEST }));
            let end = term.end::<ROUNDED>(u);
            let value = chemical * term.value::<M>(end, per_t, ln_a, ln_u);
            let floored = chemical * term.value::<M>(end, per_t, ln_floor, ln_u);
            out.dalpha += value;
            out.dalpha_dalpha +=
                floored * term.m * per_a + value * ((1.0 - chemical) * kd_da - end.0 * per_u);
            out.dalpha_dt += value * (chemical * term.k.e_over_r * per_t * per_t + (1.0 - chemical) * kd_dt);
        }
        out
    }
}

/// A rate law, checked, plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// Nothing reacts.
    Inert,
    /// n-th order, autocatalytic, or both.
    Power(Power),
    /// Two branches with a switch.
    TwoBranches(TwoBranches),
    /// Peroxide, promoter, inhibitor.
    Radical(Radical),
    /// Slowed by a diffusion constant of its own.
    InSeries(InSeries),
}

impl Law {
    /// `k a^m u^n`.
    pub(super) fn one(k: Arrhenius, m: f64, n: f64, glass: Glass) -> Law {
        let first = Term { k, m, n };
        let second = None;
        Law::Power(Power { first, second, glass })
    }

    /// `(k1 + k2 a^m) u^n`.
    pub(super) fn both(k1: Arrhenius, k2: Arrhenius, m: f64, n: f64, glass: Glass) -> Law {
        if k1.is_zero() {
            return Law::one(k2, m, n, glass);
        }
        if k2.is_zero() {
            return Law::one(k1, 0.0, n, glass);
        }
        Law::Power(Power {
            first: Term { k: k1, m: 0.0, n },
            second: Some(Term { k: k2, m, n }),
            glass,
        })
    }

    /// Whether the second state (initiator spent) moves at all.
    pub(crate) fn spends_initiator(&self) -> bool {
        matches!(self, Law::Radical(_))
    }

    /// Whether it starts from zero conversion.
    pub(super) fn starts(&self) -> bool {
        match self {
            Law::Power(p) => p.second.is_some() || p.first.m == 0.0,
            Law::InSeries(l) => !l.first.k.is_zero(),
            _ => true,
        }
    }

    /// Order in what has reacted; nothing for a law that conversion does not quicken.
    pub(super) fn growth(&self) -> Option<f64> {
        match self {
            Law::Power(p) => Some(p.second.map_or(p.first.m, |s| s.m)).filter(|m| *m > 0.0),
            Law::InSeries(l) => Some(l.second.m),
            Law::TwoBranches(_) => Some(1.0),
            Law::Inert | Law::Radical(_) => None,
        }
    }

    /// At one point, as exactly as numbers are.
    #[inline]
    pub(super) fn rate(&self, a: f64, i: f64, t: f64) -> Rate {
        match self {
            Law::Inert => Rate::default(),
            Law::Power(l) => by_glass!(l.glass, V => if a < DERIVATIVE_FLOOR {
                l.rate::<Exact, true, true, V, true, true>(t, a)
            } else {
                l.rate::<Exact, true, true, V, false, true>(t, a)
            }),
            Law::TwoBranches(l) => by_glass!(l.glass, V => l.rate::<Exact, V>(t, a)),
            Law::Radical(l) => by_glass!(l.glass, V => if l.trapped {
                l.rate::<Exact, V, true>(t, a, i)
            } else {
                l.rate::<Exact, V, false>(t, a, i)
            }),
            Law::InSeries(l) => l.rate::<Exact, true>(t, a),
        }
    }

    /// `da/dt`; for a law with an initiator that of one radical.
    pub(super) fn pace(&self, a: f64, t: f64) -> f64 {
        match self {
            Law::Radical(l) => by_glass!(l.glass, V => l.of_one::<Exact, V>(t, within(a)).dalpha),
            _ => self.rate(a, 0.0, t).dalpha,
        }
    }

    /// The same law with other rate constants.
    pub(super) fn with_constants(self, f: impl Fn(Arrhenius) -> Arrhenius) -> Self {
        let term = |t: Term| Term { k: f(t.k), ..t };
        match self {
            Law::Inert => Law::Inert,
            Law::Power(p) => Law::Power(Power {
                first: term(p.first),
                second: p.second.map(term),
                ..p
            }),
            Law::TwoBranches(l) => Law::TwoBranches(TwoBranches {
                k1: f(l.k1),
                k2: f(l.k2),
                k3: f(l.k3),
                ..l
            }),
            Law::Radical(l) => Law::Radical(Radical {
                kd: f(l.kd),
                kt: f(l.kt),
                kp: f(l.kp),
                ..l
            }),
            Law::InSeries(l) => Law::InSeries(InSeries {
                first: term(l.first),
                second: term(l.second),
                kd: f(l.kd),
                ..l
            }),
        }
    }

    /// The same law without a dead stop or a slowing factor; a diffusion constant of its own stays.
    pub(super) fn unlimited(self) -> Self {
        let glass = Glass::NONE;
        match self {
            Law::Power(l) => Law::Power(Power { glass, ..l }),
            Law::TwoBranches(l) => Law::TwoBranches(TwoBranches { glass, ..l }),
            Law::Radical(l) => Law::Radical(Radical { glass, ..l }),
            Law::Inert | Law::InSeries(_) => self,
        }
    }

    /// Its rate constants.
    fn constants(&self) -> [Arrhenius; 3] {
        match self {
            Law::Inert => [Arrhenius::ZERO; 3],
            Law::Power(p) => [
                p.first.k,
                p.second.map_or(Arrhenius::ZERO, |s| s.k),
                Arrhenius::ZERO,
            ],
            Law::TwoBranches(l) => [l.k1, l.k2, l.k3],
            Law::Radical(l) => [l.kd, l.kt, l.kp],
            Law::InSeries(l) => [l.first.k, l.second.k, l.kd],
        }
    }

    /// The largest `E/R` of its constants, K.
    pub(super) fn steepest(&self) -> f64 {
        let felt = self.constants().into_iter().filter(|k| !k.is_zero());
        felt.fold(0.0, |most, k| k.e_over_r.max(most))
    }

    /// Whether its constants are numbers, its orders above zero.
    pub(super) fn sound(&self) -> bool {
        let order = |n: f64| n.is_finite() && n > 0.0;
        let term = |t: &Term| order(t.n) && (t.m == 0.0 || order(t.m));
        let orders = match self {
            Law::Power(p) => term(&p.first) && p.second.is_none_or(|s| term(&s)),
            Law::TwoBranches(l) => order(l.b),
            Law::InSeries(l) => {
                let volume = [l.overlap, l.at_glass, l.expansion];
                term(&l.first) && term(&l.second) && volume.iter().all(|x| order(*x))
            }
            Law::Inert | Law::Radical(_) => true,
        };
        orders && self.constants().iter().all(Arrhenius::sound)
    }
}
