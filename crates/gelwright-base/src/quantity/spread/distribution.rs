//! What a quantity may reasonably be: the distribution, its moments, its quantiles.

use crate::error::{Error, ErrorKind, Result, finite};
use crate::numeric::normal;
use crate::quantity::{Measure, figures, show_si};

/// What an input may reasonably be, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Distribution {
    /// Known exactly.
    Exact,
    /// Rectangular: anywhere within this of its value.
    Within(f64),
    /// Rectangular: anywhere between two ends, its value the middle.
    Between(f64, f64),
    /// Normal about its value, with this standard deviation.
    Normal(f64),
    /// Log-normal with its value as the mean, and this relative standard deviation.
    LogNormal(f64),
}

/// An input of a model: a value with what it may reasonably be, in SI.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Its value; see [`Spread::value`](super::Spread::value).
    pub value: f64,
    /// What it may reasonably be.
    pub distribution: Distribution,
    /// What it measures, and the bounds at which its distribution is cut off.
    pub of: &'static Measure,
}

/// Probability of what lies between the ends of a distribution that has none of its own.
pub(super) const COVERAGE: f64 = 0.95;

/// The largest relative standard uncertainty: ten times the value, beyond which nothing is known of it.
const LARGEST_RELATIVE: f64 = 10.0;

impl Input {
    /// A checked input.
    ///
    /// # Errors
    /// As [`Input::check`].
    pub fn new(value: f64, distribution: Distribution, of: &'static Measure) -> Result<Self> {
        let input = Input {
            value,
            distribution,
            of,
        };
        input.check()?;
        Ok(input)
    }

    /// What is known exactly.
    ///
    /// # Errors
    /// As [`Input::check`].
    pub fn exact(value: f64, of: &'static Measure) -> Result<Self> {
        Input::new(value, Distribution::Exact, of)
    }

    /// Whether such an input can be.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`]; [`ErrorKind::OutOfRange`] for a value or limits outside the bounds of what is measured, a
    /// negative spread, ends that are not in their order, a standard uncertainty larger than half the width between two
    /// bounds, a relative one above ten times the value or of a value that is not above zero.
    pub fn check(&self) -> Result<()> {
        let [least, most] = self.of.bounds;
        finite(self.of.name, self.value)?;
        if !(least..=most).contains(&self.value) {
            return Err(self.refusal(show_si(self.value, self.of), self.bounds_said()));
        }
        let said = |x: f64| show_si(x, self.of.difference());
        let size = match self.distribution {
            Distribution::Exact => return Ok(()),
            Distribution::Between(low, high) => {
                finite(self.of.name, low)?;
                finite(self.of.name, high)?;
                // The middle is between the ends whatever the rounding.
                if !(low < high && (low..=high).contains(&self.value)) {
                    return Err(Error::out_of_range(
                        self.of.name,
                        format_args!("{} to {}", show_si(low, self.of), show_si(high, self.of)),
                        "the smaller end first",
                        format!("write for example '{}'", super::example(self.of)),
                    ));
                }
                0.0
            }
            Distribution::Within(x) | Distribution::Normal(x) | Distribution::LogNormal(x) => x,
        };
        if finite(self.of.name, size)? < 0.0 {
            return Err(self.refusal(
                format_args!("a spread of {}", said(size)),
                "zero or more".to_owned(),
            ));
        }
        match self.distribution {
            Distribution::Normal(u) if u > 0.5 * (most - least) => Err(self.refusal(
                format_args!("a standard uncertainty of {}", said(u)),
                format!(
                    "{} or less: half the width between its bounds",
                    said(0.5 * (most - least))
                ),
            )),
            Distribution::LogNormal(relative) if relative > LARGEST_RELATIVE => Err(self.refusal(
                format_args!("a standard uncertainty of {} %", figures(100.0 * relative)),
                format!("{} % or less", figures(100.0 * LARGEST_RELATIVE)),
            )),
            Distribution::LogNormal(_) if self.value <= 0.0 => Err(Error::out_of_range(
                self.of.name,
                show_si(self.value, self.of),
                "more than zero where its standard uncertainty is relative",
                "write the standard uncertainty with the unit",
            )),
            Distribution::Within(_) | Distribution::Between(..) => self.check_limits(),
            _ => {
                let (low, high) = self.ends();
                finite(self.of.name, low)?;
                finite(self.of.name, high).map(|_| ())
            }
        }
    }

    fn check_limits(&self) -> Result<()> {
        let [least, most] = self.of.bounds;
        let (low, high) = self.ends();
        finite(self.of.name, low)?;
        finite(self.of.name, high)?;
        // What was written as the bound itself is inside, whatever the sum's rounding did.
        let slack = 4.0 * f64::EPSILON * self.value.abs().max(high - low);
        if low >= least - slack && high <= most + slack {
            return Ok(());
        }
        let said = |x: f64| show_si(x, self.of);
        Err(Error::out_of_range(
            self.of.name,
            format_args!("{} to {}", said(low), said(high)),
            self.bounds_said(),
            format!(
                "write the limits that can be: '{} to {}'",
                said(low.max(least)),
                said(high.min(most))
            ),
        ))
    }

    fn bounds_said(&self) -> String {
        let said = |x: f64| show_si(x, self.of);
        match self.of.bounds {
            [least, most] if most.is_finite() => format!("{} to {}", said(least), said(most)),
            [least, _] => format!("{} or more", said(least)),
        }
    }

    fn refusal(&self, value: impl std::fmt::Display, allowed: String) -> Error {
        Error::new(ErrorKind::OutOfRange, self.of.name)
            .with_value(value)
            .with_allowed(allowed)
            .with_way_out(format!("write for example '{}'", super::example(self.of)))
    }

    /// Whether it has a spread at all.
    pub fn is_exact(&self) -> bool {
        matches!(
            self.distribution,
            Distribution::Exact
                | Distribution::Within(0.0)
                | Distribution::Normal(0.0)
                | Distribution::LogNormal(0.0)
        )
    }

    /// The ends of a rectangular distribution; of another those of the interval that holds it with a probability of 95 %, as
    /// much outside below as above.
    pub fn ends(&self) -> (f64, f64) {
        match self.distribution {
            Distribution::Exact => (self.value, self.value),
            Distribution::Within(half) => (self.value - half, self.value + half),
            Distribution::Between(low, high) => (low, high),
            Distribution::Normal(_) | Distribution::LogNormal(_) => {
                let outside = 0.5 * (1.0 - COVERAGE);
                (self.quantile(outside), self.quantile(1.0 - outside))
            }
        }
    }

    /// Mean and standard deviation; of a normal or log-normal distribution of what is left within the bounds.
    ///
    /// Sources: rectangular, JCGM 100:2008, 4.3.7; normal between two points: N. L. Johnson, S. Kotz, N. Balakrishnan,
    /// Continuous Univariate Distributions, volume 1, 2nd edition (1994), section 13.10.1; log-normal: the same, section 14.
    pub fn mean_and_deviation(&self) -> (f64, f64) {
        let rectangular = |low: f64, high: f64| (0.5 * (high - low) / 3f64.sqrt()).abs();
        match self.distribution {
            Distribution::Exact => (self.value, 0.0),
            Distribution::Within(half) => (self.value, rectangular(-half, half)),
            Distribution::Between(low, high) => (self.value, rectangular(low, high)),
            Distribution::Normal(u) => match self.cut(|x| (x - self.value) / u) {
                Some(([a, b], [below, above])) => {
                    let held = above - below;
                    let at = |x: f64| {
                        if x.is_finite() {
                            x * normal::density(x)
                        } else {
                            0.0
                        }
                    };
                    let shift = (normal::density(a) - normal::density(b)) / held;
                    let variance = 1.0 + (at(a) - at(b)) / held - shift * shift;
                    (self.value + u * shift, u * variance.max(0.0).sqrt())
                }
                None => (self.value, u),
            },
            Distribution::LogNormal(relative) => {
                let (middle, s) = self.logarithm(relative);
                match self.cut(|x| (x.max(0.0).ln() - middle) / s) {
                    Some(([a, b], [below, above])) => {
                        let moment = |k: f64| {
                            let part = normal::cumulative(b - k * s) - normal::cumulative(a - k * s);
                            (k * middle + 0.5 * k * k * s * s).exp() * part / (above - below)
                        };
                        let mean = moment(1.0);
                        (mean, (moment(2.0) - mean * mean).max(0.0).sqrt())
                    }
                    None => (self.value, relative * self.value),
                }
            }
        }
    }

    /// Its standard uncertainty: the standard deviation of its distribution.
    pub fn standard_uncertainty(&self) -> f64 {
        self.mean_and_deviation().1
    }

    /// The value with the probability `p` below it, for `p` between 0 and 1.
    pub fn quantile(&self, p: f64) -> f64 {
        match self.distribution {
            Distribution::Exact => self.value,
            Distribution::Within(half) => self.value + half * (2.0 * p - 1.0),
            Distribution::Between(low, high) => low + (high - low) * p,
            Distribution::Normal(0.0) | Distribution::LogNormal(0.0) => self.value,
            Distribution::Normal(u) => self.value + u * self.left(p, |x| (x - self.value) / u),
            Distribution::LogNormal(relative) => {
                let (middle, s) = self.logarithm(relative);
                (middle + s * self.left(p, |x| (x.max(0.0).ln() - middle) / s)).exp()
            }
        }
        .clamp(self.of.bounds[0], self.of.bounds[1])
    }

    /// Mean and standard deviation of the logarithm: `s² = ln(1 + r²)`, the mean `ln x - s²/2`.
    fn logarithm(&self, relative: f64) -> (f64, f64) {
        let variance = (relative * relative).ln_1p();
        (self.value.ln() - 0.5 * variance, variance.sqrt())
    }

    /// The standard normal quantile of `p` within the bounds.
    fn left(&self, p: f64, standard: impl Fn(f64) -> f64) -> f64 {
        match self.cut(standard) {
            Some((_, [below, above])) => normal::quantile(below + p * (above - below)),
            None => normal::quantile(p),
        }
    }

    /// The bounds in standard deviations from the middle and the probabilities below them, where they cut anything off.
    fn cut(&self, standard: impl Fn(f64) -> f64) -> Option<([f64; 2], [f64; 2])> {
        let ends = self.of.bounds.map(standard);
        let below = ends.map(normal::cumulative);
        (below != [0.0, 1.0]).then_some((ends, below))
    }
}
