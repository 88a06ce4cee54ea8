//! How sure a measured or computed value is. How the uncertainty of what was measured reaches what is computed:
//! [`propagate`](crate::propagate).

use crate::noun::Noun;

use crate::error::{Error, Result, finite};
use crate::numeric::student;
use crate::quantity::{self, Kind, Quantity};

/// Standard deviations of a normal distribution that hold 95 % of it.
pub const COVERAGE_FACTOR_95: f64 = 1.959_963_984_540_054;

/// Standard uncertainties that hold 95 %, where the uncertainty itself is known with some degrees of freedom only: Student's
/// quantile of 0.975 (JCGM 100:2008, G.3.2). Of infinitely many [`COVERAGE_FACTOR_95`].
pub fn coverage_factor_95(degrees_of_freedom: f64) -> f64 {
    student::quantile(0.975, degrees_of_freedom)
}

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
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a negative uncertainty, and for a temperature
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

/// Effective degrees of freedom of a combined uncertainty: `u_c^4/sum(u_i^4/nu_i)` (Welch-Satterthwaite).
///
/// Source: JCGM 100:2008, equation (G.2b).
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for degrees of freedom that are not above zero or no uncertainty at all.
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
