//! How sure a measured or computed value is.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::error::{Error, Result, finite};
use crate::quantity::{self, Kind, Quantity, parse, tagged};

/// Standard deviations of a normal distribution that hold 95 % of it.
pub const COVERAGE_FACTOR_95: f64 = 1.959_963_984_540_054;

/// A value with its standard uncertainty and the interval that holds it with a probability of 95 %.
///
/// Terms as in JCGM 100:2008 (GUM): *standard uncertainty* is one standard deviation of what the value may
/// reasonably be; the interval is a coverage interval.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Estimate<Q> {
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

#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EstimateDocument {
    /// The value, with its unit.
    value: String,
    /// One standard deviation, with its unit.
    standard_uncertainty: String,
    /// Lower end of the 95 % interval, with its unit.
    low: String,
    /// Upper end of the 95 % interval, with its unit.
    high: String,
}

impl<Q: Quantity> Serialize for Estimate<Q> {
    fn serialize<S: Serializer>(&self, s: S) -> std::result::Result<S::Ok, S::Error> {
        EstimateDocument {
            value: tagged(self.value),
            standard_uncertainty: tagged(self.standard_uncertainty),
            low: tagged(self.low),
            high: tagged(self.high),
        }
        .serialize(s)
    }
}

impl<'de, Q: Quantity> Deserialize<'de> for Estimate<Q> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> std::result::Result<Self, D::Error> {
        let doc = EstimateDocument::deserialize(d)?;
        let read = |field, text: &str| parse::<Q>(field, text).map_err(serde::de::Error::custom);
        Ok(Estimate {
            value: read("value", &doc.value)?,
            standard_uncertainty: read("standard_uncertainty", &doc.standard_uncertainty)?,
            low: read("low", &doc.low)?,
            high: read("high", &doc.high)?,
        })
    }
}

impl<Q> JsonSchema for Estimate<Q> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Estimate".into()
    }
    fn json_schema(g: &mut schemars::SchemaGenerator) -> schemars::Schema {
        EstimateDocument::json_schema(g)
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
