//! Rate laws of cure as data, and the kernel that heat and cure integrate.
//!
//! [`Kinetics`] is what a file holds: a [`RateLaw`], the heat of reaction, the seed conversion, where cure
//! vitrifies, the fitted range and the source. [`Kinetics::kernel`] checks it and makes a [`Kernel`], plain `f64`
//! in SI, `Copy`, without allocation, for a stepping loop:
//!
//! ```text
//! let kernel = kinetics.kernel()?;
//! let [mut alpha, mut i] = kernel.start();           // seed conversion, initiator spent (0)
//! let r = kernel.rate(alpha, i, t_kelvin);           // Rate { dalpha, di, and six exact derivatives }
//! let watts_per_kg = kernel.heat_of_reaction * r.dalpha;   // per kg of resin mix, fillers apart
//! if !kernel.spends_initiator() { /* di and its derivatives are 0: leave the second state out */ }
//! ```
//!
//! Conversion `a` is the heat set free over the heat of reaction, `i` the spent fraction of the initiator, `u`
//! what is left to react, `u = 1 - a`. [`Vitrification`] multiplies `da/dt` by what diffusion leaves of it, or, as a dead
//! stop, makes `u = a_max(T) - a` (never below 0).
//!
//! | law | `da/dt` |
//! |---|---|
//! | [`NthOrder`] | `k u^n` |
//! | [`Autocatalytic`] | `k a^m u^n` |
//! | [`KamalSourour`] | `(k1 + k2 a^m) u^n` |
//! | [`Piecewise`] | `(k1 + k2 a)(b - a) u` up to the switch, `k3 u` above it |
//! | [`FreeRadical`] | `kp R(i) u`, with `di/dt = kd (1 - i)` |
//!
//! **Corners.** Powers are taken of `a` and `u` clamped to 0..=1. With an order below one `a^(m-1)` is infinite at
//! `a = 0`: the *derivative alone* takes the base as at least [`DERIVATIVE_FLOOR`]; the rate itself is not floored.
//! With an order below one in `u` cure would arrive at its end in finite time, where the rate is not Lipschitz; within
//! 1e-5 of the end `u^n` is taken as a straight line to zero. An
//! autocatalytic law without a first constant does not start from zero conversion: its seed must be given and is part
//! of the answer.

use crate::noun::{Noun, check};

use super::glass::{Vitrification, Vitrified};
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Frequency, MolarEnergy, Phr, Quantity, ThermodynamicTemperature, show,
};
use crate::source::Source;

/// Least base of a power below one in a derivative (not in the rate).
pub const DERIVATIVE_FLOOR: f64 = 1e-14;
/// Within this of the end an order below one is a straight line to zero.
pub(super) const NEAR_END: f64 = 1e-5;

/// A rate constant `k(T) = factor exp(-E/R (1/T - 1/T_at))`; without `at` the factor is the pre-exponential one.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct RateConstant {
    /// Pre-exponential factor, or the constant's value at the temperature `at`.
    pub factor: Frequency,
    /// Activation energy.
    #[noun(within(
        "0 kJ/mol",
        "500 kJ/mol",
        "reaction quickens with temperature: give for example '60 kJ/mol'"
    ))]
    pub activation_energy: MolarEnergy,
    /// Temperature at which the constant equals `factor`.
    #[noun(within("100 K", "1000 K", "check the unit of the temperature"))]
    pub at: Option<ThermodynamicTemperature>,
}

impl RateConstant {
    /// From the pre-exponential factor.
    pub fn new(factor: Frequency, activation_energy: MolarEnergy) -> Self {
        RateConstant {
            factor,
            activation_energy,
            at: None,
        }
    }

    /// From the value at a temperature.
    pub fn at(
        temperature: ThermodynamicTemperature,
        factor: Frequency,
        activation_energy: MolarEnergy,
    ) -> Self {
        RateConstant {
            factor,
            activation_energy,
            at: Some(temperature),
        }
    }

    /// In plain SI.
    fn arrhenius(&self, field: &str, may_be_negative: bool) -> Result<Arrhenius> {
        let a = self.factor.si();
        if a < 0.0 && !may_be_negative {
            return Err(Error::out_of_range(
                "factor",
                show(self.factor),
                "0 1/s or more",
                "a rate constant is not negative",
            )
            .within(field));
        }
        Ok(Arrhenius {
            a,
            b: self.activation_energy.si() / GAS_CONSTANT,
            inverse_at: self.at.map_or(0.0, |t| 1.0 / t.si()),
        })
    }
}

/// `da/dt = k u^n`.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct NthOrder {
    /// Rate constant.
    pub k: RateConstant,
    /// Order in what is left.
    #[noun(within = crate::ranges::RATE_ORDER)]
    pub n: f64,
}

/// `da/dt = k a^m u^n`. Needs a seed above zero.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Autocatalytic {
    /// Rate constant.
    pub k: RateConstant,
    /// Order in what has reacted.
    #[noun(within = crate::ranges::RATE_ORDER)]
    pub m: f64,
    /// Order in what is left.
    #[noun(within = crate::ranges::RATE_ORDER)]
    pub n: f64,
}

/// `da/dt = (k1 + k2 a^m) u^n`: M. R. Kamal, S. Sourour, *Kinetics and thermal characterization of thermoset
/// cure*, Polym. Eng. Sci. 13:59 (1973), with independent constants.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct KamalSourour {
    /// Constant of the uncatalysed path.
    pub k1: RateConstant,
    /// Constant of the path catalysed by what has reacted.
    pub k2: RateConstant,
    /// Order in what has reacted.
    #[noun(within = crate::ranges::RATE_ORDER)]
    pub m: f64,
    /// Order in what is left.
    #[noun(within = crate::ranges::RATE_ORDER)]
    pub n: f64,
}

/// `da/dt = (k1 + k2 a)(b - a) u` for `a <= switch`, `k3 u` above: the form of W. I. Lee, A. C. Loos,
/// G. S. Springer, *Heat of reaction, degree of cure, and viscosity of ... resin*, J. Compos. Mater. 16:510
/// (1982) `[from memory]`. `k2` may be negative; the rate jumps at the switch.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Piecewise {
    /// First constant below the switch.
    pub k1: RateConstant,
    /// Second constant below the switch; its factor may be negative.
    pub k2: RateConstant,
    /// Constant above the switch.
    pub k3: RateConstant,
    /// `b`, above the switch.
    #[noun(within(> 0, 2, "the published form has b = 0.47 and a switch at 30 %"))]
    pub b: f64,
    /// Conversion at which the law changes.
    pub switch: DegreeOfCure,
}

/// What becomes of a free radical.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Radicals {
    /// Trapped in the gel, none ends: their number is what was spent less what the inhibitor took.
    #[default]
    Trapped,
    /// Ending in pairs, in steady state with their making: cure stops dead when the initiator is spent.
    Steady,
}

/// How the decomposition constant hangs on the dose, `kd ~ (d/d0)^r`: a given amount of promoter that more peroxide shares
/// decomposes less of each part of it, `r < 0`. A published gel-time table of a laminating resin has an order of 0.75 in the
/// dose (the catalogue's `ortho_polyester`); the law without this comes below 0.7 only where next to no inhibitor is left.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DoseEffect {
    /// Dose at which the decomposition constant is the one given, `d0`.
    #[noun(within(> "0 phr", .., "give the dose at which the decomposition constant was found"))]
    pub reference_dose: Phr,
    /// Order of the decomposition constant in the dose, `r`.
    #[noun(within(-0.9, 2, "give r of kd ~ dose^r; 0 where each part of the peroxide decomposes alone"))]
    pub order: f64,
}

/// Room-temperature peroxide and promoter: initiator decomposition, inhibitor used up, propagation.
///
/// With `d` the dose, `z` the inhibitor *as the dose of this catalyst that it uses up* (both in phr) and `p` the
/// promoter:
///
/// ```text
/// di/dt = kd (1 - i),   kd = kd(T) (p/p0)^s (d/d0)^r + kt(T)
/// x = d i - z                                    catalyst spent beyond the inhibitor
/// trapped: da/dt = kp(T) R u,   R = max(0, x) with its corner rounded
/// steady:  da/dt = kp(T) (p/p0)^(s/2) sqrt(d (1 - i)) g u,   g = dR/dx
/// ```
///
/// Until `x` reaches zero nothing cures (induction). The corner of `max(0, x)` is rounded by a parabola over
/// `-e < x < e`, `e = 0.02 z`: `R = (x + e)^2/(4 e)` and `g = (x + e)/(2 e)` there, so that the derivatives exist;
/// outside, `R` is exactly 0 or `x`. A dose at or below `z (1 - 0.02)` never cures. In moles:
/// `d i` stands for `2 f I0 i` and `z` for `q Z0`, both over `2 f` times the moles of peroxide in 1 phr, so
/// neither the efficiency `f` nor the inhibitor's `q` need be known. `kp` is the rate constant at 1 phr.
///
/// Form after J. F. Stevenson, *Free radical polymerization models for simulating reactive processing*, Polym.
/// Eng. Sci. 26:746 (1986) `[from memory]`; the steady variant is the textbook rate of radical polymerization.
/// Isothermal, from the end of induction `t* = -ln(1 - z/d)/kd` and with `s = t - t*` (corner sharp):
/// trapped `ln(a_max/u) = kp (d - z)(s - (1 - e^(-kd s))/kd)`; steady
/// `ln(a_max/u) = 2 (kp/kd) sqrt(d - z)(1 - e^(-kd s/2))`, whose limit is the dead end.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FreeRadical {
    /// Decomposition of the initiator by the promoter, at the reference promoter dose.
    pub decomposition: RateConstant,
    /// Decomposition by heat alone, where it matters.
    pub thermal_decomposition: Option<RateConstant>,
    /// Propagation at 1 phr of catalyst spent.
    pub propagation: RateConstant,
    /// Catalyst in the mix, `d`.
    pub dose: Phr,
    /// Inhibitor, as the dose of this catalyst that it uses up, `z`.
    pub inhibitor: Phr,
    /// Promoter in the mix, `p`.
    pub promoter: Phr,
    /// Promoter at which `decomposition` holds, `p0`.
    #[noun(within(> "0 phr", .., "give the promoter at which the decomposition constant was found"))]
    pub reference_promoter: Phr,
    /// Order of the decomposition in the promoter, `s`.
    #[noun(within(0, 2, "give s of kd ~ promoter^s, about 0.5 to 1"))]
    pub promoter_order: f64,
    /// How the decomposition constant hangs on the dose itself; not at all where left out.
    pub dose_effect: Option<DoseEffect>,
    /// What becomes of the radicals.
    #[noun(default)]
    pub radicals: Radicals,
}

/// A rate law (see the [module](self) for the equations).
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(tag = "model")]
#[non_exhaustive]
pub enum RateLaw {
    /// `k u^n`.
    NthOrder(NthOrder),
    /// `k a^m u^n`.
    Autocatalytic(Autocatalytic),
    /// `(k1 + k2 a^m) u^n`.
    KamalSourour(KamalSourour),
    /// Two branches with a switch.
    Piecewise(Piecewise),
    /// Peroxide, promoter, inhibitor.
    FreeRadical(FreeRadical),
}

/// The temperatures a model was fitted over.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct FittedRange {
    /// Coldest.
    pub coldest: ThermodynamicTemperature,
    /// Hottest.
    pub hottest: ThermodynamicTemperature,
}

/// How a resin cures: rate law, heat, seed, vitrification, range and source.
#[derive(Clone, PartialEq, Noun)]
pub struct Kinetics {
    /// The rate law.
    pub law: RateLaw,
    /// Heat set free from conversion 0 to 1, per mass of resin mix without fillers.
    #[noun(within(
        "0 J/g",
        "2000 J/g",
        "give the heat per mass of resin mix, for example '350 J/g'"
    ))]
    pub heat_of_reaction: AvailableEnergy,
    /// Conversion at the start. It moves the peak of an autocatalytic law, so it is given, not hidden.
    #[noun(within("0 %", < "100 %", "give the conversion of the fresh mix, mostly '0 %'"))]
    pub seed: DegreeOfCure,
    /// Where cure stops for want of mobility; without it cure goes to 1.
    pub vitrification: Option<Vitrification>,
    /// Temperatures it was fitted over, where known.
    pub fitted: Option<FittedRange>,
    /// Where it comes from.
    pub source: Source,
}

impl Kinetics {
    /// Makes the kernel, from all that a rate can be computed from. That each parameter lies in its range is checked
    /// where it is read, and where a question is asked of it: a sweep makes a kernel a cup.
    ///
    /// # Errors
    /// `OutOfRange`, `NotFinite` or `Inconsistent`, naming the parameter: one that is not finite or has the wrong sign, an
    /// autocatalytic law without a seed, a glass transition that falls.
    pub fn kernel(&self) -> Result<Kernel> {
        let law = self.law.kernel().map_err(|e| e.within("law"))?;
        let seed = self.seed.get();
        let starts = match law {
            KernelLaw::Autocatalytic { .. } => false,
            KernelLaw::KamalSourour { k1, .. } => k1.a > 0.0,
            _ => true,
        };
        if seed <= 0.0 && !starts {
            return Err(Error::out_of_range(
                "seed",
                show(self.seed),
                "above 0 %, below 100 %",
                "this law does not start from zero conversion: give a seed, for example '0.01 %'; it moves the peak",
            ));
        }
        if let Some(v) = &self.vitrification {
            v.rises().map_err(|e| e.within("vitrification"))?;
        }
        if let Some(f) = self.fitted
            && f.coldest.si() > f.hottest.si()
        {
            return Err(Error::inconsistent(
                "fitted.hottest",
                show(f.hottest),
                format!("{} or above", show(f.coldest)),
                "give coldest <= hottest",
            ));
        }
        let kernel = Kernel {
            law,
            heat_of_reaction: self.heat_of_reaction.si(),
            seed,
            vitrification: self.vitrification,
        };
        if !kernel.sound() {
            check(self)?;
        }
        Ok(kernel)
    }

    /// How sure a conversion is at `t` kelvin, where it has vitrified.
    pub(crate) fn vitrified(&self, conversion: f64, t: f64) -> Result<Option<Vitrified>> {
        self.vitrification.map_or(Ok(None), |v| v.band(conversion, t))
    }

    /// Low and high end of conversions over time, at temperatures in K; none where cure does not vitrify.
    pub(crate) fn ends(&self, conversion: &[f64], kelvin: &[f64]) -> Result<Option<(Vec<f64>, Vec<f64>)>> {
        if self.vitrification.is_none() {
            return Ok(None);
        }
        let end = |(a, t): (&f64, &f64)| {
            let band = self.vitrified(*a, *t)?;
            Ok(band.map_or((*a, *a), |b| (b.low.get(), b.high.get())))
        };
        let ends: Result<Vec<_>> = conversion.iter().zip(kelvin).map(end).collect();
        Ok(Some(ends?.into_iter().unzip()))
    }

    /// What of the temperatures `coldest` to `hottest` lies outside the fitted range, in words.
    pub fn outside_fitted(
        &self,
        coldest: ThermodynamicTemperature,
        hottest: ThermodynamicTemperature,
    ) -> Option<String> {
        let f = self.fitted?;
        let worst = if coldest.si() < f.coldest.si() - 1e-6 {
            coldest
        } else if hottest.si() > f.hottest.si() + 1e-6 {
            hottest
        } else {
            return None;
        };
        Some(format!(
            "temperature {} outside the fitted {} to {} of the kinetics",
            show(worst),
            show(f.coldest),
            show(f.hottest)
        ))
    }
}

impl RateLaw {
    /// What the law is called.
    pub fn name(&self) -> &'static str {
        match self {
            RateLaw::NthOrder(_) => "n-th order",
            RateLaw::Autocatalytic(_) => "autocatalytic",
            RateLaw::KamalSourour(_) => "Kamal-Sourour",
            RateLaw::Piecewise(_) => "piecewise in conversion",
            RateLaw::FreeRadical(_) => "free-radical with inhibitor",
        }
    }

    /// Its equation in symbols (see the [module](self)).
    pub fn equation(&self) -> &'static str {
        match self {
            RateLaw::NthOrder(_) => "da/dt = k u^n",
            RateLaw::Autocatalytic(_) => "da/dt = k a^m u^n",
            RateLaw::KamalSourour(_) => "da/dt = (k1 + k2 a^m) u^n",
            RateLaw::Piecewise(_) => "da/dt = (k1 + k2 a)(b - a) u up to the switch, k3 u above",
            RateLaw::FreeRadical(_) => "di/dt = kd (1 - i), da/dt = kp R(d i - z) u",
        }
    }

    fn kernel(&self) -> Result<KernelLaw> {
        Ok(match self {
            RateLaw::NthOrder(l) => KernelLaw::NthOrder {
                k: l.k.arrhenius("k", false)?,
                n: l.n,
            },
            RateLaw::Autocatalytic(l) => KernelLaw::Autocatalytic {
                k: l.k.arrhenius("k", false)?,
                m: l.m,
                n: l.n,
            },
            RateLaw::KamalSourour(l) => KernelLaw::KamalSourour {
                k1: l.k1.arrhenius("k1", false)?,
                k2: l.k2.arrhenius("k2", false)?,
                m: l.m,
                n: l.n,
            },
            RateLaw::Piecewise(l) => {
                if l.b <= l.switch.get() {
                    return Err(Error::out_of_range(
                        "b",
                        l.b,
                        format!("above the switch {}, at most 2", l.switch.get()),
                        "the published form has b = 0.47 and a switch at 30 %",
                    ));
                }
                KernelLaw::Piecewise {
                    k1: l.k1.arrhenius("k1", false)?,
                    k2: l.k2.arrhenius("k2", true)?,
                    k3: l.k3.arrhenius("k3", false)?,
                    b: l.b,
                    switch: l.switch.get(),
                }
            }
            RateLaw::FreeRadical(l) => {
                let ratio = l.promoter.get() / l.reference_promoter.get();
                let s = l.promoter_order;
                let shared = match l.dose_effect {
                    Some(e) if l.dose.get() > 0.0 => (l.dose.get() / e.reference_dose.get()).powf(e.order),
                    _ => 1.0,
                };
                KernelLaw::FreeRadical {
                    kd: l
                        .decomposition
                        .arrhenius("decomposition", false)?
                        .times(ratio.powf(s) * shared),
                    kt: match l.thermal_decomposition {
                        Some(k) => k.arrhenius("thermal_decomposition", false)?,
                        None => Arrhenius::ZERO,
                    },
                    kp: match l.radicals {
                        Radicals::Trapped => l.propagation.arrhenius("propagation", false)?,
                        Radicals::Steady => l
                            .propagation
                            .arrhenius("propagation", false)?
                            .times(ratio.powf(0.5 * s)),
                    },
                    dose: l.dose.get(),
                    inhibitor: l.inhibitor.get(),
                    corner: CORNER * l.inhibitor.get(),
                    trapped: l.radicals == Radicals::Trapped,
                }
            }
        })
    }
}

/// Within this of the end the root of what is left of the initiator is linear.
const SPENT: f64 = 1e-10;
/// Half-width of the rounded corner at the end of induction, over the inhibitor.
const CORNER: f64 = 0.02;

/// `k(T) = a exp(-b (1/T - inverse_at))`, plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrhenius {
    /// Value at `1/T = inverse_at`, 1/s.
    pub a: f64,
    /// E/R, K.
    pub b: f64,
    /// 1/K; 0 where `a` is the pre-exponential factor.
    pub inverse_at: f64,
}

impl Arrhenius {
    const ZERO: Arrhenius = Arrhenius {
        a: 0.0,
        b: 0.0,
        inverse_at: 0.0,
    };

    fn times(self, f: f64) -> Self {
        Arrhenius {
            a: self.a * f,
            ..self
        }
    }

    /// `k` and `dk/dT`.
    #[inline]
    pub fn at(&self, t: f64) -> (f64, f64) {
        let inverse = 1.0 / t;
        let k = self.a * (-self.b * (inverse - self.inverse_at)).exp();
        (k, k * self.b * inverse * inverse)
    }
}

/// The rate law of a [`Kernel`], checked, plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)]
#[non_exhaustive]
pub enum KernelLaw {
    /// See [`NthOrder`].
    NthOrder { k: Arrhenius, n: f64 },
    /// See [`Autocatalytic`].
    Autocatalytic { k: Arrhenius, m: f64, n: f64 },
    /// See [`KamalSourour`].
    KamalSourour {
        k1: Arrhenius,
        k2: Arrhenius,
        m: f64,
        n: f64,
    },
    /// See [`Piecewise`].
    Piecewise {
        k1: Arrhenius,
        k2: Arrhenius,
        k3: Arrhenius,
        b: f64,
        switch: f64,
    },
    /// See [`FreeRadical`]; `kd` (and, for steady radicals, `kp`) carries the promoter.
    FreeRadical {
        kd: Arrhenius,
        kt: Arrhenius,
        kp: Arrhenius,
        dose: f64,
        inhibitor: f64,
        corner: f64,
        trapped: bool,
    },
}

impl KernelLaw {
    /// The same law with other rate constants.
    pub(super) fn with_constants(self, f: impl Fn(Arrhenius) -> Arrhenius) -> Self {
        match self {
            KernelLaw::NthOrder { k, n } => KernelLaw::NthOrder { k: f(k), n },
            KernelLaw::Autocatalytic { k, m, n } => KernelLaw::Autocatalytic { k: f(k), m, n },
            KernelLaw::KamalSourour { k1, k2, m, n } => KernelLaw::KamalSourour {
                k1: f(k1),
                k2: f(k2),
                m,
                n,
            },
            KernelLaw::Piecewise {
                k1,
                k2,
                k3,
                b,
                switch,
            } => KernelLaw::Piecewise {
                k1: f(k1),
                k2: f(k2),
                k3: f(k3),
                b,
                switch,
            },
            KernelLaw::FreeRadical {
                kd,
                kt,
                kp,
                dose,
                inhibitor,
                corner,
                trapped,
            } => KernelLaw::FreeRadical {
                kd: f(kd),
                kt: f(kt),
                kp: f(kp),
                dose,
                inhibitor,
                corner,
                trapped,
            },
        }
    }

    /// The largest `E/R` of its constants, K.
    pub(super) fn steepest(&self) -> f64 {
        match self {
            KernelLaw::NthOrder { k, .. } | KernelLaw::Autocatalytic { k, .. } => k.b,
            KernelLaw::KamalSourour { k1, k2, .. } => k1.b.max(k2.b),
            KernelLaw::Piecewise { k1, k2, k3, .. } => k1.b.max(k2.b).max(k3.b),
            KernelLaw::FreeRadical { kd, kt, kp, .. } => {
                kd.b.max(kp.b).max(if kt.a > 0.0 { kt.b } else { 0.0 })
            }
        }
    }
}

/// Kinetics ready for a stepping loop: plain SI `f64`, `Copy`.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Kernel {
    /// The rate law.
    pub law: KernelLaw,
    /// J per kg of resin mix from conversion 0 to 1.
    pub heat_of_reaction: f64,
    /// Conversion at the start.
    pub seed: f64,
    /// Where cure stops.
    pub vitrification: Option<Vitrification>,
}

/// Rates and their exact derivatives: on conversion (`_dalpha`), on initiator spent (`_di`), on temperature in
/// kelvin (`_dt`).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Rate {
    /// da/dt, 1/s.
    pub dalpha: f64,
    /// di/dt, 1/s.
    pub di: f64,
    pub dalpha_dalpha: f64,
    pub dalpha_di: f64,
    pub dalpha_dt: f64,
    pub di_di: f64,
    pub di_dt: f64,
}

/// `x^n` and its derivative, the derivative with the base at least [`DERIVATIVE_FLOOR`] where `n < 1`.
#[inline]
fn power(x: f64, n: f64) -> (f64, f64) {
    if n == 1.0 {
        return (x, 1.0);
    }
    if n == 2.0 {
        return (x * x, 2.0 * x);
    }
    let value = x.powf(n);
    let slope = if n < 1.0 && x < DERIVATIVE_FLOOR {
        n * DERIVATIVE_FLOOR.powf(n - 1.0)
    } else if x > 0.0 {
        n * value / x
    } else {
        0.0
    };
    (value, slope)
}

/// `u^n` and its derivative for what is left; a straight line within `end` of the end where `n < 1`.
#[inline]
fn power_left(u: f64, n: f64, end: f64) -> (f64, f64) {
    if n >= 1.0 {
        return power(u, n);
    }
    if u < end {
        let slope = end.powf(n - 1.0);
        return (u * slope, slope);
    }
    power(u, n)
}

/// `R` of [`FreeRadical`] (trapped), or `sqrt(d (1 - i)) g` (steady), and its derivative on the spent initiator.
#[inline]
pub(super) fn radicals(spent: f64, dose: f64, inhibitor: f64, corner: f64, trapped: bool) -> (f64, f64) {
    let x = dose * spent - inhibitor;
    // 0 below the corner, 1 above it, straight across it.
    let gate = if x >= corner {
        1.0
    } else if x > -corner {
        0.5 * (x + corner) / corner
    } else {
        0.0
    };
    if trapped {
        let r = if gate < 1.0 { corner * gate * gate } else { x };
        return (r, dose * gate);
    }
    let (s, s_du) = power_left(1.0 - spent, 0.5, SPENT);
    let root = dose.sqrt();
    let gate_di = if gate > 0.0 && gate < 1.0 {
        0.5 * dose / corner
    } else {
        0.0
    };
    (root * s * gate, root * (gate_di * s - gate * s_du))
}

impl Kernel {
    /// Whether its rates are numbers, and none negative that must not be. What is not sound is out of range as well.
    fn sound(&self) -> bool {
        let none_negative = |xs: &[f64]| xs.iter().all(|x| x.is_finite() && *x >= 0.0);
        let k = |k: &Arrhenius| k.a.is_finite() && none_negative(&[k.b, k.inverse_at]);
        let order = |n: f64| n.is_finite() && n > 0.0;
        let law = match &self.law {
            KernelLaw::NthOrder { k: k1, n } => k(k1) && order(*n),
            KernelLaw::Autocatalytic { k: k1, m, n } => k(k1) && order(*m) && order(*n),
            KernelLaw::KamalSourour { k1, k2, m, n } => k(k1) && k(k2) && order(*m) && order(*n),
            KernelLaw::Piecewise { k1, k2, k3, b, .. } => k(k1) && k(k2) && k(k3) && order(*b),
            KernelLaw::FreeRadical { kd, kt, kp, .. } => k(kd) && k(kt) && k(kp),
        };
        let glass = self.vitrification.is_none_or(|v| {
            let g = v.glass_transition;
            let slows = v.slows_over.is_none_or(|w| w.si().is_finite() && w.si() > 0.0);
            none_negative(&[g.uncured.si(), g.cured.si(), v.above.si()])
                && g.lambda > 0.0
                && g.lambda <= 1.0
                && slows
        });
        law && glass && none_negative(&[self.heat_of_reaction, self.seed]) && self.seed < 1.0
    }

    /// Seed conversion and initiator spent at the start.
    pub fn start(&self) -> [f64; 2] {
        [self.seed, 0.0]
    }

    /// Whether the second state (initiator spent) moves at all.
    pub fn spends_initiator(&self) -> bool {
        matches!(self.law, KernelLaw::FreeRadical { .. })
    }

    /// Conversion at which cure stops at `t` kelvin, and its derivative on temperature.
    #[inline]
    pub fn limit(&self, t: f64) -> (f64, f64) {
        match &self.vitrification {
            None => (1.0, 0.0),
            Some(v) => v.limit(t),
        }
    }

    /// Rates at conversion `alpha`, initiator spent `i` and `t` kelvin, with exact derivatives.
    ///
    /// `alpha` and `i` are clamped to 0..=1 first. Never NaN for finite input and `t > 0`.
    #[inline]
    pub fn rate(&self, alpha: f64, i: f64, t: f64) -> Rate {
        match &self.vitrification {
            Some(v) if v.slows_over.is_some() => {
                let r = self.rate_below((1.0, 0.0), alpha, i, t);
                let (left, by_alpha, by_t) = v.left(alpha.clamp(0.0, 1.0), t);
                Rate {
                    dalpha: left * r.dalpha,
                    dalpha_dalpha: left * r.dalpha_dalpha + by_alpha * r.dalpha,
                    dalpha_di: left * r.dalpha_di,
                    dalpha_dt: left * r.dalpha_dt + by_t * r.dalpha,
                    ..r
                }
            }
            _ => self.rate_below(self.limit(t), alpha, i, t),
        }
    }

    /// The rate law itself, not slowed by diffusion, where cure stops at `limit` (with its derivative on temperature).
    #[inline]
    pub(super) fn rate_below(&self, (limit, limit_dt): (f64, f64), alpha: f64, i: f64, t: f64) -> Rate {
        let a = alpha.clamp(0.0, 1.0);
        let left = limit - a;
        // Beyond the limit nothing reacts: value and derivatives are zero.
        let (u, u_da, u_dt) = if left > 0.0 {
            (left, -1.0, limit_dt)
        } else {
            (0.0, 0.0, 0.0)
        };
        match self.law {
            KernelLaw::NthOrder { k, n } => {
                let (k, k_dt) = k.at(t);
                let (un, un_du) = power_left(u, n, NEAR_END);
                Rate {
                    dalpha: k * un,
                    dalpha_dalpha: k * un_du * u_da,
                    dalpha_dt: k_dt * un + k * un_du * u_dt,
                    ..Rate::default()
                }
            }
            KernelLaw::Autocatalytic { k, m, n } => {
                let (k, k_dt) = k.at(t);
                let (am, am_da) = power(a, m);
                let (un, un_du) = power_left(u, n, NEAR_END);
                Rate {
                    dalpha: k * am * un,
                    dalpha_dalpha: k * (am_da * un + am * un_du * u_da),
                    dalpha_dt: am * (k_dt * un + k * un_du * u_dt),
                    ..Rate::default()
                }
            }
            KernelLaw::KamalSourour { k1, k2, m, n } => {
                let (k1, k1_dt) = k1.at(t);
                let (k2, k2_dt) = k2.at(t);
                let (am, am_da) = power(a, m);
                let (un, un_du) = power_left(u, n, NEAR_END);
                let f = k1 + k2 * am;
                Rate {
                    dalpha: f * un,
                    dalpha_dalpha: k2 * am_da * un + f * un_du * u_da,
                    dalpha_dt: (k1_dt + k2_dt * am) * un + f * un_du * u_dt,
                    ..Rate::default()
                }
            }
            KernelLaw::Piecewise {
                k1,
                k2,
                k3,
                b,
                switch,
            } => {
                if a <= switch {
                    let (k1, k1_dt) = k1.at(t);
                    let (k2, k2_dt) = k2.at(t);
                    let f = k1 + k2 * a;
                    if f <= 0.0 {
                        return Rate::default();
                    }
                    let g = b - a;
                    Rate {
                        dalpha: f * g * u,
                        dalpha_dalpha: (k2 * g - f) * u + f * g * u_da,
                        dalpha_dt: (k1_dt + k2_dt * a) * g * u + f * g * u_dt,
                        ..Rate::default()
                    }
                } else {
                    let (k3, k3_dt) = k3.at(t);
                    Rate {
                        dalpha: k3 * u,
                        dalpha_dalpha: k3 * u_da,
                        dalpha_dt: k3_dt * u + k3 * u_dt,
                        ..Rate::default()
                    }
                }
            }
            KernelLaw::FreeRadical {
                kd,
                kt,
                kp,
                dose,
                inhibitor,
                corner,
                trapped,
            } => {
                let spent = i.clamp(0.0, 1.0);
                let (kd, kd_dt) = kd.at(t);
                let (kt, kt_dt) = if kt.a > 0.0 { kt.at(t) } else { (0.0, 0.0) };
                let (kp, kp_dt) = kp.at(t);
                let (k, k_dt) = (kd + kt, kd_dt + kt_dt);
                let (r, r_di) = radicals(spent, dose, inhibitor, corner, trapped);
                Rate {
                    dalpha: kp * r * u,
                    di: k * (1.0 - spent),
                    dalpha_dalpha: kp * r * u_da,
                    dalpha_di: kp * r_di * u,
                    dalpha_dt: r * (kp_dt * u + kp * u_dt),
                    di_di: -k,
                    di_dt: k_dt * (1.0 - spent),
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::gel_table::molar_energy;
    use crate::cure::glass::GlassTransition;
    use crate::document;
    use crate::quantity::{TemperatureInterval, temperature::celsius};
    use crate::source::Standing;

    fn rate(factor: f64, e: f64) -> RateConstant {
        RateConstant::at(
            celsius(25.0),
            Frequency::from_si(factor).unwrap(),
            molar_energy(e),
        )
    }

    fn laws() -> Vec<RateLaw> {
        let free = |radicals| {
            RateLaw::FreeRadical(FreeRadical {
                decomposition: rate(2e-4, 55e3),
                thermal_decomposition: Some(rate(1e-6, 110e3)),
                propagation: rate(3e-3, 24e3),
                dose: Phr::new(1.5).unwrap(),
                inhibitor: Phr::new(0.4).unwrap(),
                promoter: Phr::new(0.5).unwrap(),
                reference_promoter: Phr::new(0.3).unwrap(),
                promoter_order: 0.7,
                dose_effect: None,
                radicals,
            })
        };
        vec![
            RateLaw::NthOrder(NthOrder {
                k: rate(1e-3, 60e3),
                n: 1.5,
            }),
            RateLaw::Autocatalytic(Autocatalytic {
                k: rate(1e-3, 60e3),
                m: 0.5,
                n: 1.5,
            }),
            RateLaw::KamalSourour(KamalSourour {
                k1: rate(4e-6, 70e3),
                k2: rate(1.2e-3, 55e3),
                m: 0.85,
                n: 1.5,
            }),
            RateLaw::Piecewise(Piecewise {
                k1: rate(2e-3, 80e3),
                k2: rate(-2e-3, 78e3),
                k3: rate(1e-3, 57e3),
                b: 0.47,
                switch: DegreeOfCure::new(0.3).unwrap(),
            }),
            free(Radicals::Trapped),
            free(Radicals::Steady),
        ]
    }

    fn slowed(law: RateLaw) -> Kinetics {
        let mut k = kinetics(law, true);
        if let Some(v) = &mut k.vitrification {
            v.slows_over = Some(TemperatureInterval::from_si(4.0).unwrap());
        }
        k
    }

    fn kinetics(law: RateLaw, vitrifies: bool) -> Kinetics {
        Kinetics {
            law,
            heat_of_reaction: AvailableEnergy::from_si(350e3).unwrap(),
            seed: DegreeOfCure::new(1e-4).unwrap(),
            vitrification: vitrifies.then(|| Vitrification {
                glass_transition: GlassTransition {
                    uncured: celsius(-40.0),
                    cured: celsius(110.0),
                    lambda: 0.4,
                },
                above: TemperatureInterval::from_si(10.0).unwrap(),
                slows_over: None,
                spread: None,
            }),
            fitted: None,
            source: Source::of(Standing::Invented, "made for this test"),
        }
    }

    #[test]
    fn derivatives_agree_with_central_differences() {
        for law in laws() {
            for k in [kinetics(law, false), kinetics(law, true), slowed(law)] {
                let k = k.kernel().unwrap();
                for (a, i, t) in [
                    (0.75, 0.5, 320.0),
                    (0.05, 0.1, 290.0),
                    (0.2, 0.27, 310.0),
                    (0.6, 0.5, 340.0),
                    (0.4, 0.9, 360.0),
                ] {
                    let r = k.rate(a, i, t);
                    let (ha, hi, ht) = (1e-6, 1e-7, 1e-3);
                    let da = (k.rate(a + ha, i, t).dalpha - k.rate(a - ha, i, t).dalpha) / (2.0 * ha);
                    let di = (k.rate(a, i + hi, t).dalpha - k.rate(a, i - hi, t).dalpha) / (2.0 * hi);
                    let dt = (k.rate(a, i, t + ht).dalpha - k.rate(a, i, t - ht).dalpha) / (2.0 * ht);
                    let di_di = (k.rate(a, i + hi, t).di - k.rate(a, i - hi, t).di) / (2.0 * hi);
                    let di_dt = (k.rate(a, i, t + ht).di - k.rate(a, i, t - ht).di) / (2.0 * ht);
                    for (exact, numeric) in [
                        (r.dalpha_dalpha, da),
                        (r.dalpha_di, di),
                        (r.dalpha_dt, dt),
                        (r.di_di, di_di),
                        (r.di_dt, di_dt),
                    ] {
                        assert!(
                            (exact - numeric).abs() <= 1e-5 * exact.abs() + 1e-12,
                            "{law:?} at {a} {i} {t}: {exact} against {numeric}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn nothing_is_infinite_at_the_corners() {
        for law in laws() {
            let ways = [kinetics(law, true), slowed(law)].map(|k| k.kernel().unwrap());
            for (k, a) in ways
                .iter()
                .flat_map(|k| [-0.1, 0.0, 1e-12, 0.3, 1.0, 1.1].map(|a| (k, a)))
            {
                for i in [-0.1, 0.0, 0.266_666_666, 1.0, 1.1] {
                    let r = k.rate(a, i, 300.0);
                    for x in [
                        r.dalpha,
                        r.di,
                        r.dalpha_dalpha,
                        r.dalpha_di,
                        r.dalpha_dt,
                        r.di_di,
                        r.di_dt,
                    ] {
                        assert!(x.is_finite(), "{law:?} {a} {i}: {r:?}");
                    }
                    assert!(r.dalpha >= 0.0 && r.di >= 0.0);
                }
            }
        }
    }

    #[test]
    fn bad_parameters_are_named() {
        let good = kinetics(laws()[2], false);
        let RateLaw::KamalSourour(ks) = good.law else {
            unreachable!()
        };
        let with = |law: KamalSourour| Kinetics {
            law: RateLaw::KamalSourour(law),
            ..good.clone()
        };
        for (bad, says) in [
            (
                with(KamalSourour {
                    k1: rate(4e-6, -70e3),
                    ..ks
                }),
                "law.k1.activation_energy: -70 kJ/mol",
            ),
            (
                with(KamalSourour {
                    k2: rate(-1.0, 70e3),
                    ..ks
                }),
                "law.k2.factor",
            ),
            (with(KamalSourour { m: -0.5, ..ks }), "law.m"),
            (with(KamalSourour { n: f64::NAN, ..ks }), "law.n"),
            (
                Kinetics {
                    seed: DegreeOfCure::new(0.0).unwrap(),
                    ..kinetics(laws()[1], false)
                },
                "seed: 0 % is out of range; allowed: above 0 %",
            ),
            (
                Kinetics {
                    heat_of_reaction: AvailableEnergy::from_si(-1.0).unwrap(),
                    ..good.clone()
                },
                "heat_of_reaction",
            ),
        ] {
            let e = bad.kernel().unwrap_err();
            assert!(e.to_string().contains(says), "{e} should say {says}");
        }
    }

    #[test]
    fn a_document_reads_and_writes() {
        for law in laws() {
            for k in [kinetics(law, false), kinetics(law, true), slowed(law)] {
                let json = document::to_json(&k).unwrap();
                assert_eq!(
                    k,
                    document::from_json::<Kinetics>(&json, crate::Cancel::NEVER).unwrap(),
                    "{json}"
                );
            }
        }
        let json = document::to_json(&kinetics(laws()[0], false)).unwrap();
        let e = document::from_json::<Kinetics>(&json.replace("\"n\":", "\"order\":"), crate::Cancel::NEVER)
            .unwrap_err();
        assert!(e.to_string().contains("order"), "{e}");
    }
}
