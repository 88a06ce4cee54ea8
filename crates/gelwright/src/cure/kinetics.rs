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
//! | [`DiffusionInSeries`] | `(k1' + k2' a^m) u^n`, `1/k' = 1/k + 1/kd(T, Tg(a))` |
//!
//! **Corners.** Powers are taken of `a` and `u` clamped to 0..=1. With an order below one `a^(m-1)` is infinite at
//! `a = 0`: the *derivative alone* takes the base as at least [`DERIVATIVE_FLOOR`]; the rate itself is not floored.
//! With an order below one in `u` cure would arrive at its end in finite time, where the rate is not Lipschitz; within
//! 1e-5 of the end `u^n` is taken as a straight line to zero. An
//! autocatalytic law without a first constant does not start from zero conversion: its seed must be given and is part
//! of the answer. What each law computes is spelled once, in `cure/law.rs`, for one point and for runs of cells.
//!
//! **Not modelled**: what is off its stoichiometry. Conversion is that of the mix that the constants were found with; an
//! epoxy or a polyurethane mixed off its ratio ends elsewhere.

use crate::noun::{Noun, check};

use super::glass::{GlassTransition, Vitrification, Vitrified};
use super::law::{Arrhenius, CORNER, Glass, InSeries, Law, Radical, Term, TwoBranches};
use crate::constants::GAS_CONSTANT;
use crate::error::{Error, Result};
use crate::quantity::{
    AvailableEnergy, DegreeOfCure, Frequency, MolarEnergy, Phr, Quantity, TemperatureCoefficient,
    ThermodynamicTemperature, show,
};
use crate::source::Source;

pub use super::law::DERIVATIVE_FLOOR;

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
    pub(super) fn arrhenius(&self, field: &str, may_be_negative: bool) -> Result<Arrhenius> {
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
        let e_over_r = self.activation_energy.si() / GAS_CONSTANT;
        let there = self.at.map_or(0.0, |t| 1.0 / t.si());
        Ok(Arrhenius {
            ln_k: a.abs().ln() + e_over_r * there,
            e_over_r,
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

/// `da/dt = (k1' + k2' a^m) u^n` with `1/k' = 1/k + 1/kd` for both constants, and
/// `kd = kd(T) exp(-b/(af (T - Tg(a)) + fg))`: Kamal and Sourour's law whose constants stand in series with one of diffusion
/// (E. Rabinowitch, Trans. Faraday Soc. 33:1225 (1937) `[from memory]`) that falls with the free volume, `Tg(a)` by
/// DiBenedetto. Form and an example of its constants: Thermochim. Acta (2016), doi 10.1016/j.tca.2015.11.014, eqs 5 to 7
/// and Table 5 `[from memory]`.
///
/// Its diffusion constant has an activation energy of its own, mostly far above those of the reaction: below the
/// temperatures it was fitted at it passes below them in the liquid, and stops a cure that in truth goes on. So
/// [`Kinetics::fitted`] must be given, and every answer outside says so. The free volume is not let below `b/600`.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct DiffusionInSeries {
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
    /// Diffusion constant `kd(T)` before the free volume.
    pub diffusion: RateConstant,
    /// `b`, the free volume that a segment needs.
    #[noun(within(> 0, 10, "give b of exp(-b/f), for example 0.009"))]
    pub overlap: f64,
    /// Free volume fraction at the glass transition, `fg`.
    #[noun(within(> 0, 0.2, "0.025 is usual"))]
    pub free_volume: f64,
    /// How much the free volume fraction grows a kelvin above the glass transition, `af`.
    #[noun(within(> "0 1/K", "0.01 1/K", "0.00048 1/K is usual"))]
    pub free_volume_expansion: TemperatureCoefficient,
    /// Glass transition against conversion.
    pub glass_transition: GlassTransition,
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
/// h = (1 + q)/(1 + q p/p0)                       what the promoter leaves of the radicals, over that at p0
/// trapped: da/dt = h kp(T) R u,   R = max(0, x) with its corner rounded
/// steady:  da/dt = h kp(T) (p/p0)^(s/2) sqrt(d (1 - i)) g u,   g = dR/dx
/// ```
///
/// The promoter has two parts: it makes radicals from peroxide and it destroys radicals, so that more of it always shortens the
/// gel time but slows the polymerization, except at very low doses (W. D. Cook, G. P. Simon, P. J. Burchill, M. Lau, T. J.
/// Fitch, *Curing kinetics and thermal properties of vinyl ester resins*, J. Appl. Polym. Sci. 64:769 (1997), abstract:
/// peroxide and cobalt octoate). Here that is `h`, first order in the promoter against all else that ends a radical. Once
/// the initiator is spent it alone counts, and there the sign is right for any `q` above 0; at a given early conversion the
/// rate goes as `(p^s h)^(1/2)`, so it falls from `p/p0 = s/(q (1 - s))` on. The gel time falls as long as induction is a
/// fair part of it (some third). Not modelled: primary radicals destroyed before they meet the inhibitor, promoter that
/// changes between its two states, `q` that changes with temperature. `q` is 0 unless given, and the promoter then
/// quickens all: no published figure was found, only the sign.
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
    /// What the promoter destroys of the radicals at its reference dose, over all else that ends them, `q`: the rate goes as
    /// `1/(1 + q p/p0)`.
    #[noun(
        default = 0.0,
        within(0, 100, "0 leaves it out; some 2 turns the sign of more promoter after gel")
    )]
    pub promoter_retards: f64,
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
    /// `(k1' + k2' a^m) u^n`, each constant in series with one of diffusion.
    DiffusionInSeries(DiffusionInSeries),
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
        let law = self
            .law
            .kernel(self.vitrification.into())
            .map_err(|e| e.within("law"))?;
        let seed = self.seed.get();
        if let RateLaw::DiffusionInSeries(l) = &self.law {
            self.bounded(l)?;
        }
        if seed <= 0.0 && !law.starts() {
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

    /// Refuses a diffusion constant of its own without its fitted range, and a second thing that slows the law.
    fn bounded(&self, l: &DiffusionInSeries) -> Result<()> {
        if self.fitted.is_none() {
            return Err(Error::inconsistent(
                "fitted",
                "left out",
                "the temperatures that the diffusion constant was fitted over",
                format!(
                    "a diffusion constant of {} stops a colder cure that in truth goes on: give fitted, so that an answer \
                     outside can say so, or use kamal_sourour with vitrification",
                    show(l.diffusion.activation_energy)
                ),
            ));
        }
        if self.vitrification.is_some() {
            return Err(Error::inconsistent(
                "vitrification",
                "given",
                "left out",
                "this law has its own diffusion constant and glass transition: leave vitrification out",
            ));
        }
        Ok(())
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
        let mut text = format!(
            "temperature {} outside the fitted {} to {} of the kinetics",
            show(worst),
            show(f.coldest),
            show(f.hottest)
        );
        if matches!(self.law, RateLaw::DiffusionInSeries(_)) && worst.si() < f.coldest.si() {
            text += ": its diffusion constant stops a colder cure that in truth goes on, so the conversion is not to be trusted";
        }
        Some(text)
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
            RateLaw::DiffusionInSeries(_) => "Kamal-Sourour in series with diffusion",
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
            RateLaw::DiffusionInSeries(_) => {
                "da/dt = (k1' + k2' a^m) u^n, 1/k' = 1/k + 1/kd, kd = kd(T) exp(-b/(af (T - Tg) + fg))"
            }
        }
    }

    fn kernel(&self, glass: Glass) -> Result<Law> {
        Ok(match self {
            RateLaw::NthOrder(l) => Law::one(l.k.arrhenius("k", false)?, 0.0, l.n, glass),
            RateLaw::Autocatalytic(l) => Law::one(l.k.arrhenius("k", false)?, l.m, l.n, glass),
            RateLaw::KamalSourour(l) => Law::both(
                l.k1.arrhenius("k1", false)?,
                l.k2.arrhenius("k2", false)?,
                l.m,
                l.n,
                glass,
            ),
            RateLaw::Piecewise(l) => {
                if l.b <= l.switch.get() {
                    return Err(Error::out_of_range(
                        "b",
                        l.b,
                        format!("above the switch {}, at most 2", l.switch.get()),
                        "the published form has b = 0.47 and a switch at 30 %",
                    ));
                }
                Law::TwoBranches(TwoBranches {
                    k1: l.k1.arrhenius("k1", false)?,
                    k2: l.k2.arrhenius("k2", true)?,
                    sign: l.k2.factor.si().signum(),
                    k3: l.k3.arrhenius("k3", false)?,
                    b: l.b,
                    switch: l.switch.get(),
                    glass,
                })
            }
            RateLaw::FreeRadical(l) => {
                let ratio = l.promoter.get() / l.reference_promoter.get();
                let s = l.promoter_order;
                let shared = match l.dose_effect {
                    Some(e) if l.dose.get() > 0.0 => (l.dose.get() / e.reference_dose.get()).powf(e.order),
                    _ => 1.0,
                };
                let q = l.promoter_retards;
                let kp = l.propagation.arrhenius("propagation", false)?;
                let kp = kp.times((1.0 + q) / (1.0 + q * ratio));
                Law::Radical(Radical {
                    kd: l
                        .decomposition
                        .arrhenius("decomposition", false)?
                        .times(ratio.powf(s) * shared),
                    kt: match l.thermal_decomposition {
                        Some(k) => k.arrhenius("thermal_decomposition", false)?,
                        None => Arrhenius::ZERO,
                    },
                    kp: match l.radicals {
                        Radicals::Trapped => kp,
                        Radicals::Steady => kp.times(ratio.powf(0.5 * s)),
                    },
                    dose: l.dose.get(),
                    inhibitor: l.inhibitor.get(),
                    corner: CORNER * l.inhibitor.get(),
                    across: if l.inhibitor.get() > 0.0 {
                        0.5 / (CORNER * l.inhibitor.get())
                    } else {
                        0.0
                    },
                    trapped: l.radicals == Radicals::Trapped,
                    glass,
                })
            }
            RateLaw::DiffusionInSeries(l) => {
                l.glass_transition
                    .rises()
                    .map_err(|e| e.within("glass_transition"))?;
                let term = |k: &RateConstant, field: &str, m: f64| -> Result<Term> {
                    Ok(Term {
                        k: k.arrhenius(field, false)?,
                        m,
                        n: l.n,
                    })
                };
                Law::InSeries(InSeries {
                    first: term(&l.k1, "k1", 0.0)?,
                    second: term(&l.k2, "k2", l.m)?,
                    kd: l.diffusion.arrhenius("diffusion", false)?,
                    overlap: l.overlap,
                    at_glass: l.free_volume,
                    expansion: l.free_volume_expansion.si(),
                    glass: Glass::of(&l.glass_transition),
                })
            }
        })
    }
}

/// Kinetics ready for a stepping loop: plain SI `f64`, `Copy`.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Kernel {
    /// The rate law, with what slows it.
    pub(crate) law: Law,
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

impl Kernel {
    /// Whether its rates are numbers, and none negative that must not be. What is not sound is out of range as well.
    fn sound(&self) -> bool {
        let none_negative = |xs: &[f64]| xs.iter().all(|x| x.is_finite() && *x >= 0.0);
        let glass = self.vitrification.is_none_or(|v| {
            let g = v.glass_transition;
            let slows = v.slows_over.is_none_or(|w| w.si().is_finite() && w.si() > 0.0);
            none_negative(&[g.uncured.si(), g.cured.si(), v.above.si()])
                && g.lambda > 0.0
                && g.lambda <= 1.0
                && slows
        });
        self.law.sound() && glass && none_negative(&[self.heat_of_reaction, self.seed]) && self.seed < 1.0
    }

    /// Seed conversion and initiator spent at the start.
    pub fn start(&self) -> [f64; 2] {
        [self.seed, 0.0]
    }

    /// Whether the second state (initiator spent) moves at all.
    pub fn spends_initiator(&self) -> bool {
        self.law.spends_initiator()
    }

    /// Conversion at which cure stops at `t` kelvin, and its derivative on temperature.
    #[inline]
    pub fn limit(&self, t: f64) -> (f64, f64) {
        match &self.vitrification {
            None => (1.0, 0.0),
            Some(v) => v.limit(t),
        }
    }

    /// Where reaction stops dead at `t` kelvin, and its derivative on temperature; nothing where it does not.
    pub(super) fn dead_stop(&self, t: f64) -> Option<(f64, f64)> {
        let v = self.vitrification.filter(|v| v.slows_over.is_none())?;
        Some(v.limit(t))
    }

    /// Rates at conversion `alpha`, initiator spent `i` and `t` kelvin, with exact derivatives.
    ///
    /// `alpha` and `i` are clamped to 0..=1 first. Never NaN for finite input and `t > 0`.
    #[inline]
    pub fn rate(&self, alpha: f64, i: f64, t: f64) -> Rate {
        self.law.rate(alpha, i, t)
    }
}

/// Every rate law, for tests here and in `heat`.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::cure::gel_table::molar_energy;
    use crate::quantity::{TemperatureInterval, temperature::celsius};
    use crate::source::Standing;

    pub(crate) fn rate(factor: f64, e: f64) -> RateConstant {
        RateConstant::at(
            celsius(25.0),
            Frequency::from_si(factor).unwrap(),
            molar_energy(e),
        )
    }

    pub(crate) fn laws() -> Vec<RateLaw> {
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
                promoter_retards: 0.0,
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
            RateLaw::KamalSourour(KamalSourour {
                k1: rate(4e-6, 70e3),
                k2: rate(1.2e-3, 55e3),
                m: 0.85,
                n: 0.7,
            }),
            RateLaw::NthOrder(NthOrder {
                k: rate(1e-3, 60e3),
                n: 0.6,
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

    pub(crate) fn slowed(law: RateLaw) -> Kinetics {
        let mut k = with(law, true);
        if let Some(v) = &mut k.vitrification {
            v.slows_over = Some(TemperatureInterval::from_si(4.0).unwrap());
        }
        k
    }

    pub(crate) fn with(law: RateLaw, vitrifies: bool) -> Kinetics {
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

    /// The law with a diffusion constant of its own, of the doc comment's source.
    pub(crate) fn in_series() -> Kinetics {
        let law = DiffusionInSeries {
            k1: RateConstant::new(Frequency::from_si(35_982.0).unwrap(), molar_energy(54_960.0)),
            k2: RateConstant::new(Frequency::from_si(3574.1).unwrap(), molar_energy(44_289.0)),
            m: 0.39845,
            n: 1.5361,
            diffusion: RateConstant::new(Frequency::from_si(7e18).unwrap(), molar_energy(137_300.0)),
            overlap: 0.009,
            free_volume: 0.025,
            free_volume_expansion: TemperatureCoefficient::from_si(0.00048).unwrap(),
            glass_transition: GlassTransition {
                uncured: celsius(-57.0),
                cured: celsius(91.0),
                lambda: 0.36903,
            },
        };
        Kinetics {
            fitted: Some(FittedRange {
                coldest: celsius(50.0),
                hottest: celsius(80.0),
            }),
            ..with(RateLaw::DiffusionInSeries(law), false)
        }
    }

    /// Every law in every way that it may slow.
    pub(crate) fn kinetics() -> Vec<Kinetics> {
        let ways = |law| [with(law, false), with(law, true), slowed(law)];
        let mut all: Vec<_> = laws().into_iter().flat_map(ways).collect();
        all.push(in_series());
        all
    }
}

#[cfg(test)]
mod tests {
    use super::samples::{laws, rate, with as kinetics};
    use super::*;
    use crate::document;
    use crate::quantity::temperature::celsius;

    #[test]
    fn derivatives_agree_with_central_differences() {
        for k in samples::kinetics() {
            let law = k.law;
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

    #[test]
    fn nothing_is_infinite_at_the_corners() {
        for k in samples::kinetics() {
            let law = k.law;
            let k = k.kernel().unwrap();
            for a in [-0.1, 0.0, 1e-12, 0.3, 1.0, 1.1] {
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

    /// A diffusion constant of its own must say where it was fitted, and answers colder than that say so.
    #[test]
    fn a_diffusion_constant_of_its_own_keeps_to_where_it_was_fitted() {
        let k = samples::in_series();
        assert!(k.outside_fitted(celsius(60.0), celsius(70.0)).is_none());
        let said = k.outside_fitted(celsius(25.0), celsius(60.0)).unwrap();
        assert!(said.contains("in truth goes on"), "{said}");
        let e = Kinetics {
            fitted: None,
            ..k.clone()
        }
        .kernel()
        .unwrap_err();
        assert_eq!(e.field(), "fitted");
        let v = samples::slowed(laws()[0]).vitrification;
        let e = Kinetics {
            vitrification: v,
            ..k
        }
        .kernel()
        .unwrap_err();
        assert_eq!(e.field(), "vitrification");
    }

    #[test]
    fn a_document_reads_and_writes() {
        for k in samples::kinetics() {
            let json = document::to_json(&k).unwrap();
            assert_eq!(
                k,
                document::from_json::<Kinetics>(&json, crate::Cancel::NEVER).unwrap(),
                "{json}"
            );
        }
        let json = document::to_json(&kinetics(laws()[0], false)).unwrap();
        let e = document::from_json::<Kinetics>(&json.replace("\"n\":", "\"order\":"), crate::Cancel::NEVER)
            .unwrap_err();
        assert!(e.to_string().contains("order"), "{e}");
    }
}
