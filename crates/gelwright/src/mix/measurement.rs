//! How sure a measured or computed value is, and how the uncertainty of what was measured reaches what is computed.
//!
//! First order after JCGM 100:2008 (GUM), and by sampling after JCGM 101:2008; where the model is nearly straight over
//! the spread of its inputs the two agree.

use crate::noun::Noun;

use crate::cancel::Cancel;
use crate::cores::{on_all_cores, sort_on_all_cores};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::quantity::{self, Kind, Quantity};
use crate::random;

/// Standard deviations of a normal distribution that hold 95 % of it.
pub const COVERAGE_FACTOR_95: f64 = 1.959_963_984_540_054;

/// A value with its standard uncertainty and the interval that holds it with a probability of 95 %.
///
/// Terms as in JCGM 100:2008 (GUM): *standard uncertainty* is one standard deviation of what the value may
/// reasonably be; the interval is a coverage interval.
#[derive(Clone, Copy, PartialEq, Noun)]
#[non_exhaustive]
pub struct Estimate<Q: Quantity> {
    /// The value.
    pub value: Q,
    /// One standard deviation.
    pub standard_uncertainty: Q,
    /// Lower end of the 95 % interval.
    pub low: Q,
    /// Upper end of the 95 % interval.
    pub high: Q,
}

impl<Q: Quantity> Estimate<Q> {
    /// With a normal distribution: `value ± 1.96 u`. Where the type is bounded (no mass is negative in a cup,
    /// a fraction ends at 1) the interval ends at the bound.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`] for a negative uncertainty, and for a temperature
    /// point (its uncertainty is an interval).
    pub fn normal(value: Q, standard_uncertainty: f64) -> Result<Self> {
        let half = COVERAGE_FACTOR_95 * standard_uncertainty;
        Estimate::with_interval(value, standard_uncertainty, value.si() - half, value.si() + half)
    }

    /// With a log-normal distribution of the given relative standard uncertainty `u`, for a quantity that can not be
    /// negative and may be far off: from `value exp(-1.96 s)` to `value exp(1.96 s)` with `s^2 = ln(1 + u^2)`.
    ///
    /// # Errors
    /// As [`Estimate::normal`].
    pub fn log_normal(value: Q, relative: f64) -> Result<Self> {
        let s = (relative * relative).ln_1p().sqrt();
        let factor = (COVERAGE_FACTOR_95 * s).exp();
        Estimate::with_interval(
            value,
            relative * value.si().abs(),
            value.si() / factor,
            value.si() * factor,
        )
    }

    /// With a 95 % interval found otherwise (percentiles of a sample), all in SI units.
    ///
    /// # Errors
    /// As [`Estimate::normal`]; also unless `low <= high`.
    pub fn with_interval(value: Q, standard_uncertainty: f64, low: f64, high: f64) -> Result<Self> {
        let u = finite("standard_uncertainty", standard_uncertainty)?;
        if Q::DIMENSION.kind == Kind::Point || u < 0.0 || low.is_nan() || high.is_nan() || low > high {
            return Err(Error::out_of_range(
                "standard_uncertainty",
                u,
                "zero or more, of a quantity that is no temperature point, within an interval low to high",
                "give the standard deviation in the unit of the value",
            ));
        }
        let bounded = |x: f64| Q::from_si(x).or_else(|_| Q::from_si(x.clamp(0.0, 1.0)));
        Ok(Estimate {
            value,
            standard_uncertainty: bounded(u)?,
            low: bounded(low)?,
            high: bounded(high)?,
        })
    }

    /// A value without uncertainty.
    ///
    /// # Errors
    /// As [`Estimate::normal`].
    pub fn exact(value: Q) -> Result<Self> {
        Estimate::normal(value, 0.0)
    }

    /// Standard uncertainty over the value's size; infinite for an uncertain zero.
    pub fn relative(&self) -> f64 {
        let u = self.standard_uncertainty.si();
        if u == 0.0 { 0.0 } else { u / self.value.si().abs() }
    }
}

impl<Q: Quantity> std::fmt::Display for Estimate<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} ({} to {})",
            quantity::show(self.value),
            quantity::show(self.low),
            quantity::show(self.high)
        )
    }
}

/// Standard uncertainty of a reading rounded to steps of `step`: a rectangular distribution of half-width
/// `step/2`, `u = step/sqrt(12)` (JCGM 100:2008, 4.3.7 and F.2.2.1).
pub fn of_step(step: f64) -> f64 {
    step / 12f64.sqrt()
}

/// Standard uncertainty of a value known to lie within `±limit` with nothing more known: `u = limit/sqrt(3)`
/// (JCGM 100:2008, 4.3.7).
pub fn of_limits(limit: f64) -> f64 {
    limit / 3f64.sqrt()
}

/// What an input may reasonably be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Distribution {
    /// Known exactly.
    Exact,
    /// Normal, with its standard deviation.
    Normal(f64),
    /// Log-normal about its mean, with its relative standard deviation: never negative.
    LogNormal(f64),
    /// Anywhere within `±` this, nothing more known.
    Rectangular(f64),
}

/// An input of a model with its spread, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// Its value (its mean).
    pub value: f64,
    /// Its spread.
    pub spread: Distribution,
}

impl Uncertain {
    /// Known exactly.
    pub const fn exact(value: f64) -> Self {
        Uncertain {
            value,
            spread: Distribution::Exact,
        }
    }
    /// Normal about its value.
    pub const fn normal(value: f64, standard_deviation: f64) -> Self {
        Uncertain {
            value,
            spread: Distribution::Normal(standard_deviation),
        }
    }
    /// Log-normal about its value.
    pub const fn log_normal(value: f64, relative: f64) -> Self {
        Uncertain {
            value,
            spread: Distribution::LogNormal(relative),
        }
    }
    /// Within `±half_width` of its value.
    pub const fn rectangular(value: f64, half_width: f64) -> Self {
        Uncertain {
            value,
            spread: Distribution::Rectangular(half_width),
        }
    }

    /// One standard deviation.
    pub fn standard_uncertainty(&self) -> f64 {
        match self.spread {
            Distribution::Exact => 0.0,
            Distribution::Normal(s) => s,
            Distribution::LogNormal(r) => r * self.value.abs(),
            Distribution::Rectangular(a) => of_limits(a),
        }
    }

    fn check(&self, i: usize) -> Result<()> {
        let spread = match self.spread {
            Distribution::Exact => 0.0,
            Distribution::Normal(s) | Distribution::LogNormal(s) | Distribution::Rectangular(s) => s,
        };
        let at = |e: Error| e.within(format!("inputs[{i}]"));
        finite("value", self.value).map_err(at)?;
        if finite("spread", spread).map_err(at)? < 0.0 {
            return Err(Error::out_of_range(
                format!("inputs[{i}].spread"),
                spread,
                "zero or more",
                "give a standard deviation or a half-width",
            ));
        }
        Ok(())
    }

    fn draw(&self, seed: u64, stream: u64, index: u64) -> f64 {
        match self.spread {
            Distribution::Exact => self.value,
            Distribution::Normal(s) => self.value + s * random::normal(seed, stream, index),
            Distribution::LogNormal(r) => {
                // mean = value: exp(s z - s^2/2) has mean one
                let variance = (r * r).ln_1p();
                self.value * (variance.sqrt() * random::normal(seed, stream, index) - 0.5 * variance).exp()
            }
            Distribution::Rectangular(a) => {
                self.value + a * (2.0 * random::uniform(seed, stream, index) - 1.0)
            }
        }
    }
}

/// A result by first-order propagation.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// The model at the inputs' values.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Each input's own contribution `c_i u_i`, signed.
    pub contributions: Vec<f64>,
}

/// First-order propagation: `u^2 = sum_i sum_j c_i u_i c_j u_j r_ij`, with `c_i u_i` taken as half the change of the
/// model over `±u_i`.
///
/// `correlation` is the symmetric matrix `r_ij` with ones on its diagonal; none for independent inputs.
///
/// Source: JCGM 100:2008, equations (13) and (16), and 5.1.3 note 2 for the differences.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for a negative spread, a correlation outside -1 to 1 or a matrix of another size;
/// [`ErrorKind::NotFinite`] where the model is not finite.
pub fn first_order(
    inputs: &[Uncertain],
    correlation: Option<&[Vec<f64>]>,
    model: impl Fn(&[f64]) -> f64,
) -> Result<FirstOrder> {
    let mut x = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        input.check(i)?;
        x.push(input.value);
    }
    let value = finite("model", model(&x))?;
    let mut contributions = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        let u = input.standard_uncertainty();
        x[i] = input.value + u;
        let above = model(&x);
        x[i] = input.value - u;
        let below = model(&x);
        x[i] = input.value;
        contributions.push(finite("model", 0.5 * (above - below))?);
    }
    let variance = match correlation {
        None => contributions.iter().map(|c| c * c).sum::<f64>(),
        Some(r) => {
            let n = inputs.len();
            let fits = r.len() == n
                && r.iter()
                    .all(|row| row.len() == n && row.iter().all(|x| (-1.0..=1.0).contains(x)));
            if !fits {
                return Err(Error::out_of_range(
                    "correlation",
                    format!("{} rows", r.len()),
                    format!("{n} rows of {n} numbers from -1 to 1"),
                    "give the correlation of every input with every input",
                ));
            }
            let mut sum = 0.0;
            for (ci, row) in contributions.iter().zip(r) {
                for (cj, rij) in contributions.iter().zip(row) {
                    sum += ci * cj * rij;
                }
            }
            sum
        }
    };
    Ok(FirstOrder {
        value,
        // rounding can leave a fully correlated difference a hair below zero
        standard_uncertainty: variance.max(0.0).sqrt(),
        contributions,
    })
}

/// Effective degrees of freedom of a combined uncertainty: `u_c^4/sum(u_i^4/nu_i)` (Welch-Satterthwaite).
///
/// Source: JCGM 100:2008, equation (G.2b).
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for degrees of freedom that are not above zero or no uncertainty at all.
pub fn effective_degrees_of_freedom(contributions: &[(f64, f64)]) -> Result<f64> {
    let (mut variance, mut sum) = (0.0, 0.0);
    for (i, (u, nu)) in contributions.iter().enumerate() {
        if nu.is_nan() || *nu <= 0.0 {
            return Err(Error::out_of_range(
                format!("contributions[{i}]"),
                nu,
                "degrees of freedom above zero",
                "n readings have n - 1; infinite for an uncertainty that is itself certain",
            ));
        }
        let u2 = finite("contributions", u * u)?;
        variance += u2;
        sum += u2 * u2 / nu;
    }
    if variance <= 0.0 {
        return Err(Error::out_of_range(
            "contributions",
            0,
            "at least one above zero",
            "give the contributions",
        ));
    }
    Ok(if sum == 0.0 {
        f64::INFINITY
    } else {
        variance * variance / sum
    })
}

/// A result by sampling.
#[derive(Debug, Clone, PartialEq)]
pub struct Sampled {
    /// Mean of the model over its inputs.
    pub mean: f64,
    /// Its standard deviation: the standard uncertainty.
    pub standard_deviation: f64,
    /// Standard error of the mean: how far off it may be for the number of samples.
    pub standard_error: f64,
    /// 2.5th, 50th and 97.5th percentile.
    pub percentiles: [f64; 3],
    /// How many samples.
    pub samples: u32,
}

/// Samples between two looks at [`Cancel`].
const ASK_EVERY: u64 = 1024;
/// Most samples of one run.
pub const MOST_SAMPLES: u32 = 10_000_000;

/// Propagation by sampling: every input is drawn `samples` times independently and the model is worked out for each.
/// Sample `i` of input `j` is a pure function of (seed, j, i): the same answer on any number of threads.
///
/// Source: JCGM 101:2008, clause 7.
///
/// # Errors
/// [`ErrorKind::OutOfRange`] for fewer than 100 samples or more than [`MOST_SAMPLES`], or a negative spread;
/// [`ErrorKind::NotFinite`] where the model is not finite; [`ErrorKind::Cancelled`].
pub fn monte_carlo(
    inputs: &[Uncertain],
    samples: u32,
    seed: u64,
    model: impl Fn(&[f64]) -> f64 + Sync,
    cancel: Cancel<'_>,
) -> Result<Sampled> {
    cancel.check()?;
    if !(100..=MOST_SAMPLES).contains(&samples) {
        return Err(Error::out_of_range(
            "samples",
            samples,
            format!("100 to {MOST_SAMPLES}"),
            "100000 samples give the standard uncertainty to 0.2 %",
        ));
    }
    for (i, input) in inputs.iter().enumerate() {
        input.check(i)?;
    }
    let results: Result<Vec<f64>> = on_all_cores(
        samples as usize,
        || vec![0.0; inputs.len()],
        |x, i| {
            let i = i as u64;
            if i.is_multiple_of(ASK_EVERY) {
                cancel.check()?;
            }
            for ((value, input), stream) in x.iter_mut().zip(inputs).zip(0u64..) {
                *value = input.draw(seed, stream, i);
            }
            Ok(model(x))
        },
    );
    let mut results = results?;
    if let Some(bad) = results.iter().find(|r| !r.is_finite()) {
        return Err(Error::new(ErrorKind::NotFinite, "model")
            .with_value(bad)
            .with_way_out("an input's spread reaches values that the model can not take: give a narrower or a log-normal one"));
    }
    let n = f64::from(samples);
    // summed in the order of the samples, so that the last bits do not depend on the threads
    let mean = results.iter().sum::<f64>() / n;
    let variance = results.iter().map(|r| (r - mean).powi(2)).sum::<f64>() / (n - 1.0);
    cancel.check()?;
    sort_on_all_cores(&mut results);
    let at = |p: f64| {
        let position = p * (n - 1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let low = position.floor() as usize;
        let high = (low + 1).min(results.len() - 1);
        results[low] + (results[high] - results[low]) * (position - position.floor())
    };
    Ok(Sampled {
        mean,
        standard_deviation: variance.sqrt(),
        standard_error: (variance / n).sqrt(),
        percentiles: [at(0.025), at(0.5), at(0.975)],
        samples,
    })
}
