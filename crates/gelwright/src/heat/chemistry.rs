//! What the kernel needs from a cure model, per lane: the rate and its slopes.
//!
//! A model has the degree of cure `a` and, for free-radical systems, a second state `i` that does not depend
//! on `a`: `di/dt = g(i, T)`, `da/dt = f(a, i, T)`. Both states are local (they do not diffuse), so the kernel
//! eliminates them cell by cell.

use super::vector::{LANES, Lanes, exp, ln, map, zip};
use crate::cure::{
    Kernel, Vitrification,
    kinetics::{Arrhenius, KernelLaw},
};
use crate::quantity::Quantity;

/// Below this conversion (and above one minus it) the slope of a power law is taken *at* it. With an order
/// below one the true slope is infinite at zero conversion; a linearly implicit step that believes it stands still.
/// The rate itself is never floored.
pub(crate) const SLOPE_FLOOR: f64 = 1e-5;
/// Smallest number a logarithm is taken of.
pub(crate) const TINY: f64 = 1e-300;

/// Rates and their derivatives in four cells.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Slopes {
    /// `da/dt`, 1/s.
    pub(crate) rate: Lanes,
    /// Derivative of the rate with respect to conversion, 1/s.
    pub(crate) by_cure: Lanes,
    /// Derivative with respect to the second state, 1/s.
    pub(crate) by_second: Lanes,
    /// Derivative with respect to temperature, 1/(s K).
    pub(crate) by_temperature: Lanes,
    /// `di/dt`, 1/s.
    pub(crate) second: Lanes,
    /// Derivative of `di/dt` with respect to `i`.
    pub(crate) second_by_second: Lanes,
    /// Derivative of `di/dt` with respect to temperature.
    pub(crate) second_by_temperature: Lanes,
}

/// A cure model as the kernel sees it.
pub(crate) trait Chemistry {
    /// `(da/dt, di/dt)`.
    fn rate(&self, temperature: Lanes, cure: Lanes, second: Lanes) -> (Lanes, Lanes);
    /// The same with derivatives.
    fn slopes(&self, temperature: Lanes, cure: Lanes, second: Lanes) -> Slopes;
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
    #[inline(always)]
    fn value(&self, per_t: Lanes, ln_a: Lanes, ln_u: Lanes) -> Lanes {
        let mut x = map(per_t, |p| self.k.ln_k - self.k.e_over_r * p);
        x = zip(x, ln_u, |x, u| x + self.n * u);
        if self.m != 0.0 {
            x = zip(x, ln_a, |x, a| x + self.m * a);
        }
        exp(x)
    }
}

/// Where cure stops: `a_max(T)` by DiBenedetto; see [`crate::cure::glass`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ceiling {
    /// Glass transition of the uncured mix less the climb above the cure temperature, K.
    base: f64,
    /// Glass transition of the cured less that of the uncured, K.
    range: f64,
    lambda: f64,
}

impl From<Vitrification> for Ceiling {
    fn from(v: Vitrification) -> Self {
        let g = v.glass_transition;
        Ceiling {
            base: g.uncured.si() - v.above.si(),
            range: g.cured.si() - g.uncured.si(),
            lambda: g.lambda,
        }
    }
}

/// What is left to react, `u = a_max - a` (not below 0), and `d a_max/dT`.
#[inline(always)]
fn left(ceiling: &Option<Ceiling>, t: Lanes, a: Lanes) -> (Lanes, Lanes) {
    let Some(c) = ceiling else {
        return (map(a, |a| 1.0 - a), [0.0; LANES]);
    };
    let y = within(map(t, |t| (t - c.base) / c.range));
    let below = map(y, |y| 1.0 / (c.lambda + (1.0 - c.lambda) * y));
    let u = zip(zip(y, below, |y, b| y * b), a, |m, a| m - a);
    let slope = zip(below, y, |b, y| {
        if y > 0.0 && y < 1.0 {
            c.lambda * b * b / c.range
        } else {
            0.0
        }
    });
    (at_least(u, 0.0), slope)
}

/// One or two power-law terms: n-th order, autocatalytic, both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PowerLaw {
    pub(crate) first: Term,
    pub(crate) second: Option<Term>,
    pub(crate) ceiling: Option<Ceiling>,
}

impl PowerLaw {
    /// Only a law with an autocatalytic term needs ln(a).
    #[inline(always)]
    fn autocatalytic(&self) -> bool {
        self.first.m != 0.0 || self.second.is_some_and(|t| t.m != 0.0)
    }
}

#[inline(always)]
pub(crate) fn within(a: Lanes) -> Lanes {
    let a = map(a, |a| if a > 0.0 { a } else { 0.0 });
    map(a, |a| if a < 1.0 { a } else { 1.0 })
}

#[inline(always)]
pub(crate) fn at_least(x: Lanes, low: f64) -> Lanes {
    map(x, |x| if x > low { x } else { low })
}

impl Chemistry for PowerLaw {
    #[inline(always)]
    fn rate(&self, t: Lanes, a: Lanes, _: Lanes) -> (Lanes, Lanes) {
        let a = within(a);
        let per_t = map(t, |t| 1.0 / t);
        let ln_u = ln(at_least(left(&self.ceiling, t, a).0, TINY));
        let ln_a = if self.autocatalytic() {
            ln(at_least(a, TINY))
        } else {
            [0.0; LANES]
        };
        let mut r = self.first.value(per_t, ln_a, ln_u);
        if let Some(term) = &self.second {
            r = zip(r, term.value(per_t, ln_a, ln_u), |r, s| r + s);
        }
        (r, [0.0; LANES])
    }

    #[inline(always)]
    fn slopes(&self, t: Lanes, a: Lanes, _: Lanes) -> Slopes {
        let a = within(a);
        let (u, ceiling_slope) = left(&self.ceiling, t, a);
        let per_t = map(t, |t| 1.0 / t);
        let ln_u = ln(at_least(u, TINY));
        let ln_a = if self.autocatalytic() {
            ln(at_least(a, TINY))
        } else {
            [0.0; LANES]
        };
        let (af, uf) = (at_least(a, SLOPE_FLOOR), at_least(u, SLOPE_FLOOR));
        let floored = af != a || uf != u;
        let (ln_af, ln_uf) = if floored { (ln(af), ln(uf)) } else { (ln_a, ln_u) };
        let mut out = Slopes::default();
        let mut add = |term: &Term| {
            let value = term.value(per_t, ln_a, ln_u);
            let slope_at = if floored {
                term.value(per_t, ln_af, ln_uf)
            } else {
                value
            };
            for l in 0..LANES {
                let by_left = if u[l] > 0.0 {
                    slope_at[l] * term.n / uf[l]
                } else {
                    0.0
                };
                out.rate[l] += value[l];
                out.by_temperature[l] +=
                    value[l] * term.k.e_over_r * per_t[l] * per_t[l] + by_left * ceiling_slope[l];
                out.by_cure[l] += slope_at[l] * term.m / af[l] - by_left;
            }
        };
        add(&self.first);
        if let Some(term) = &self.second {
            add(term);
        }
        out
    }
}

/// Peroxide, promoter, inhibitor: the free-radical law of [`crate::cure::kinetics`], in lanes. The second state is the
/// spent fraction of the initiator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Radical {
    decomposition: Constant,
    thermal: Option<Constant>,
    propagation: Constant,
    dose: f64,
    inhibitor: f64,
    corner: f64,
    ceiling: Option<Ceiling>,
}

impl Constant {
    #[inline(always)]
    fn value(&self, per_t: Lanes) -> Lanes {
        exp(map(per_t, |p| self.ln_k - self.e_over_r * p))
    }
}

impl Radical {
    /// Radicals per dose, and how open the gate is that the inhibitor holds (their slope on what is spent).
    #[inline(always)]
    fn radicals(&self, i: Lanes) -> (Lanes, Lanes) {
        let e = self.corner;
        let x = map(i, |i| self.dose * i - self.inhibitor);
        let gate = map(x, |x| {
            if x >= e {
                1.0
            } else if x > -e {
                0.5 * (x + e) / e
            } else {
                0.0
            }
        });
        (zip(x, gate, |x, g| if g < 1.0 { e * g * g } else { x }), gate)
    }
}

impl Chemistry for Radical {
    #[inline(always)]
    fn rate(&self, t: Lanes, a: Lanes, i: Lanes) -> (Lanes, Lanes) {
        let (a, i) = (within(a), within(i));
        let per_t = map(t, |t| 1.0 / t);
        let (u, _) = left(&self.ceiling, t, a);
        let mut kd = self.decomposition.value(per_t);
        if let Some(k) = &self.thermal {
            kd = zip(kd, k.value(per_t), |a, b| a + b);
        }
        let kp = self.propagation.value(per_t);
        let (r, _) = self.radicals(i);
        (
            zip(zip(kp, r, |k, r| k * r), u, |kr, u| kr * u),
            zip(kd, i, |k, i| k * (1.0 - i)),
        )
    }

    #[inline(always)]
    fn slopes(&self, t: Lanes, a: Lanes, i: Lanes) -> Slopes {
        let (a, i) = (within(a), within(i));
        let per_t = map(t, |t| 1.0 / t);
        let (u, u_slope) = left(&self.ceiling, t, a);
        let kd = self.decomposition.value(per_t);
        let kt = self.thermal.map_or([0.0; LANES], |k| k.value(per_t));
        let kt_e = self.thermal.map_or(0.0, |k| k.e_over_r);
        let kp = self.propagation.value(per_t);
        let (r, gate) = self.radicals(i);
        let mut out = Slopes::default();
        for l in 0..LANES {
            let per_t2 = per_t[l] * per_t[l];
            let still = if u[l] > 0.0 { 1.0 } else { 0.0 };
            out.rate[l] = kp[l] * r[l] * u[l];
            out.by_cure[l] = -kp[l] * r[l] * still;
            out.by_second[l] = kp[l] * self.dose * gate[l] * u[l];
            out.by_temperature[l] =
                r[l] * kp[l] * (self.propagation.e_over_r * per_t2 * u[l] + u_slope[l] * still);
            let k = kd[l] + kt[l];
            out.second[l] = k * (1.0 - i[l]);
            out.second_by_second[l] = -k;
            out.second_by_temperature[l] =
                (kd[l] * self.decomposition.e_over_r + kt[l] * kt_e) * per_t2 * (1.0 - i[l]);
        }
        out
    }
}

/// Any law, lane by lane, through the cure module's own kernel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ByLane(Kernel);

impl Chemistry for ByLane {
    fn rate(&self, t: Lanes, a: Lanes, i: Lanes) -> (Lanes, Lanes) {
        let s = self.slopes(t, a, i);
        (s.rate, s.second)
    }

    fn slopes(&self, t: Lanes, a: Lanes, i: Lanes) -> Slopes {
        let mut out = Slopes::default();
        for l in 0..LANES {
            let r = self.0.rate(a[l], i[l], t[l]);
            out.rate[l] = r.dalpha;
            out.by_cure[l] = r.dalpha_dalpha;
            out.by_second[l] = r.dalpha_di;
            out.by_temperature[l] = r.dalpha_dt;
            out.second[l] = r.di;
            out.second_by_second[l] = r.di_di;
            out.second_by_temperature[l] = r.di_dt;
        }
        out
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
    ByLane(ByLane),
}

impl From<&Kernel> for Law {
    fn from(kernel: &Kernel) -> Self {
        let ceiling = kernel.vitrification.map(Ceiling::from);
        let term = |k: Arrhenius, m: f64, n: f64| Term { k: k.into(), m, n };
        let power = |first, second| {
            Law::Power(PowerLaw {
                first,
                second,
                ceiling,
            })
        };
        match kernel.law {
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
                ceiling,
            }),
            _ => Law::ByLane(ByLane(*kernel)),
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

#[inline(always)]
fn take(from: &[f64], at: usize, pad: f64) -> Lanes {
    match from[at..].first_chunk::<LANES>() {
        Some(chunk) => *chunk,
        None => {
            let mut lanes = [pad; LANES];
            lanes[..from.len() - at].copy_from_slice(&from[at..]);
            lanes
        }
    }
}

#[inline(always)]
fn put(into: &mut [f64], at: usize, lanes: Lanes) {
    match into[at..].first_chunk_mut::<LANES>() {
        Some(chunk) => *chunk = lanes,
        None => {
            let left = into.len() - at;
            into[at..].copy_from_slice(&lanes[..left]);
        }
    }
}

impl Law {
    /// Whether there is a second state.
    pub(crate) fn has_second(&self) -> bool {
        match self {
            Law::Inert | Law::Power(_) => false,
            Law::Radical(_) => true,
            Law::ByLane(l) => l.0.spends_initiator(),
        }
    }

    /// Rates of a run of cells.
    pub(crate) fn rates(&self, r: &mut Rates) {
        match self {
            Law::Inert => {
                r.rate.fill(0.0);
                r.second_rate.fill(0.0);
            }
            Law::Power(law) => rates_of(law, r, false),
            Law::Radical(law) => rates_of(law, r, true),
            Law::ByLane(law) => rates_of(law, r, law.0.spends_initiator()),
        }
    }

    /// Rates and derivatives of a run of cells.
    pub(crate) fn slopes(&self, r: &mut Rates, d: &mut Derivatives) {
        match self {
            Law::Inert => {
                r.rate.fill(0.0);
                r.second_rate.fill(0.0);
                d.by_cure.fill(0.0);
                d.by_second.fill(0.0);
                d.by_temperature.fill(0.0);
                d.second_by_second.fill(0.0);
                d.second_by_temperature.fill(0.0);
            }
            Law::Power(law) => slopes_of(law, r, d, false),
            Law::Radical(law) => slopes_of(law, r, d, true),
            Law::ByLane(law) => slopes_of(law, r, d, law.0.spends_initiator()),
        }
    }
}

#[inline(always)]
fn rates_of(law: &impl Chemistry, r: &mut Rates, second: bool) {
    for at in (0..r.rate.len()).step_by(LANES) {
        let i = if second {
            take(r.second, at, 0.0)
        } else {
            [0.0; LANES]
        };
        let (rate, second_rate) = law.rate(take(r.temperature, at, 300.0), take(r.cure, at, 0.5), i);
        put(r.rate, at, rate);
        if second {
            put(r.second_rate, at, second_rate);
        }
    }
}

#[inline(always)]
fn slopes_of(law: &impl Chemistry, r: &mut Rates, d: &mut Derivatives, second: bool) {
    for at in (0..r.rate.len()).step_by(LANES) {
        let i = if second {
            take(r.second, at, 0.0)
        } else {
            [0.0; LANES]
        };
        let s = law.slopes(take(r.temperature, at, 300.0), take(r.cure, at, 0.5), i);
        put(r.rate, at, s.rate);
        put(d.by_cure, at, s.by_cure);
        put(d.by_temperature, at, s.by_temperature);
        if second {
            put(r.second_rate, at, s.second);
            put(d.by_second, at, s.by_second);
            put(d.second_by_second, at, s.second_by_second);
            put(d.second_by_temperature, at, s.second_by_temperature);
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

    /// Every law in lanes must be the cure module's own kernel, rates and derivatives, whatever the corner.
    #[test]
    fn lanes_agree_with_the_cure_kernel() {
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
                n: 0.9,
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
                radicals: Radicals::Trapped,
            }),
        ];
        for law in laws {
            for vitrifies in [false, true] {
                let kinetics = Kinetics {
                    law,
                    heat_of_reaction: Quantity::from_si(350e3).unwrap(),
                    seed: DegreeOfCure::new(1e-4).unwrap(),
                    vitrification: vitrifies.then(|| Vitrification {
                        glass_transition: GlassTransition {
                            uncured: celsius(-40.0),
                            cured: celsius(110.0),
                            lambda: 0.4,
                        },
                        above: Quantity::from_si(10.0).unwrap(),
                    }),
                    fitted: None,
                    source: Source::of(Standing::Invented, "made for this test"),
                };
                let kernel = kinetics.kernel().unwrap();
                let compiled = Law::from(&kernel);
                assert!(!matches!(compiled, Law::ByLane(_)), "{law:?}");
                for (a, i, t) in [
                    (0.0, 0.0, 295.0),
                    (1e-7, 0.1, 300.0),
                    (0.05, 0.25, 290.0),
                    (0.2, 0.267, 310.0),
                    (0.6, 0.5, 350.0),
                    (0.97, 0.9, 420.0),
                    (1.0, 1.0, 450.0),
                ] {
                    let r = kernel.rate(a, i, t);
                    let mut got = [[0.0; 1]; 7];
                    let [rate, by_a, by_i, by_t, second, ss, st] = &mut got;
                    compiled.slopes(
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
                    compiled.rates(&mut Rates {
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
