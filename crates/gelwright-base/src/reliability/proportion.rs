//! So many of so many, and what that says of the probability behind it.

use super::confident;
use crate::error::{Error, Result};
use crate::noun::Noun;
use crate::numeric::{beta, normal};
use crate::quantity::Probability;

/// How the interval of a proportion is made. The one that is often taught, `p ± z √(p(1-p)/n)` (Wald's), is not among them:
/// of fifty at a probability of 2 % it holds in 64 % of the cases where 95 % is said.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum ProportionInterval {
    /// Holds with the stated confidence on average over the probabilities: the one to report. E. B. Wilson, Probable Inference,
    /// the Law of Succession, and Statistical Inference, J. Am. Stat. Assoc. 22 (1927) 209-212.
    #[default]
    Wilson,
    /// Holds with the stated confidence or more, whatever the probability: the one to guarantee with. C. J. Clopper, E. S.
    /// Pearson, The Use of Confidence or Fiducial Limits Illustrated in the Case of the Binomial, Biometrika 26 (1934) 404-413.
    ClopperPearson,
    /// Equal tails of what is believed after the count by who began with Jeffreys' prior; down to 0 where none was
    /// counted, up to 1 where all were. L. D. Brown, T. T. Cai, A. DasGupta, Interval Estimation for a Binomial
    /// Proportion, Statistical Science 16 (2001) 101-133, doi 10.1214/ss/1009213286.
    Jeffreys,
}

/// A share of independent draws, with the interval of the probability behind it.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Proportion {
    /// Counted.
    pub count: u64,
    /// Of so many.
    pub of: u64,
    /// The share.
    pub share: Probability,
    /// Lower end of the interval.
    pub low: Probability,
    /// Upper end of the interval.
    pub high: Probability,
    /// How the interval is made.
    pub interval: ProportionInterval,
}

impl Proportion {
    /// `count` of `of`, with the two-sided interval of a `confidence` (0.95).
    ///
    /// # Errors
    /// `OutOfRange` of none, and for a confidence that is not between 0 and 1; `Inconsistent` for more counted than there
    /// were.
    pub fn new(count: u64, of: u64, confidence: f64, interval: ProportionInterval) -> Result<Self> {
        let outside = 0.5 * (1.0 - confident(confidence)?);
        counted(count, of)?;
        let (low, high) = match interval {
            ProportionInterval::Wilson => wilson(count, of, normal::quantile(1.0 - outside)),
            ProportionInterval::ClopperPearson => (
                clopper_pearson_low(count, of, outside),
                1.0 - clopper_pearson_low(of - count, of, outside),
            ),
            ProportionInterval::Jeffreys => (
                jeffreys_low(count, of, outside),
                1.0 - jeffreys_low(of - count, of, outside),
            ),
        };
        #[allow(clippy::cast_precision_loss)]
        let share = count as f64 / of as f64;
        Ok(Proportion {
            count,
            of,
            share: Probability::new(share)?,
            low: Probability::new(low.clamp(0.0, share))?,
            high: Probability::new(high.clamp(share, 1.0))?,
            interval,
        })
    }

    /// The most that the probability is, with a `confidence` or more, after `count` of `of`: one-sided (Clopper and
    /// Pearson). After none of `n`, `1 - (1 - confidence)^(1/n)`: some `3/n` at 95 %.
    ///
    /// # Errors
    /// As [`Proportion::new`].
    pub fn at_most(count: u64, of: u64, confidence: f64) -> Result<Probability> {
        counted(count, of)?;
        let outside = 1.0 - confident(confidence)?;
        Probability::new(1.0 - clopper_pearson_low(of - count, of, outside))
    }
}

fn counted(count: u64, of: u64) -> Result<()> {
    if of == 0 {
        return Err(Error::out_of_range(
            "of",
            "none",
            "one or more",
            "a share of nothing says nothing: draw some",
        ));
    }
    if count > of {
        return Err(Error::inconsistent(
            "count",
            count,
            format!("at most {of}, of which it is a part"),
            "give the part first",
        ));
    }
    Ok(())
}

#[allow(clippy::cast_precision_loss)]
fn wilson(count: u64, of: u64, z: f64) -> (f64, f64) {
    let (k, n) = (count as f64, of as f64);
    let p = k / n;
    let z2 = z * z / n;
    let middle = (p + 0.5 * z2) / (1.0 + z2);
    let half = (z2 * (p * (1.0 - p) + 0.25 * z2)).sqrt() / (1.0 + z2);
    // Where none or all were counted the end is exact; rounding must not make it a little less.
    let low = if count == 0 { 0.0 } else { middle - half };
    let high = if count == of { 1.0 } else { middle + half };
    (low, high)
}

#[allow(clippy::cast_precision_loss)]
fn clopper_pearson_low(count: u64, of: u64, outside: f64) -> f64 {
    match count {
        0 => 0.0,
        k => beta::quantile(k as f64, (of - k) as f64 + 1.0, outside),
    }
}

#[allow(clippy::cast_precision_loss)]
fn jeffreys_low(count: u64, of: u64, outside: f64) -> f64 {
    match count {
        0 => 0.0,
        k => beta::quantile(k as f64 + 0.5, (of - k) as f64 + 0.5, outside),
    }
}
