//! Quantiles of a sample, with intervals that ask nothing of its distribution.
//!
//! Of `n` independent draws the `k`-th smallest lies above the quantile of `p` exactly where fewer than `k` draws lie below that:
//! a matter of the binomial distribution alone. Source: H. A. David, H. N. Nagaraja, Order Statistics, 3rd edition (2003),
//! section 7.1 `[from memory]`.

use super::confident;
use crate::error::{Error, Result};
use crate::numeric::beta;

/// A quantile of a sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantile {
    /// Of the sample.
    pub value: f64,
    /// Lower end of the interval: one of the draws; none where so few can not tell.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// The value with the part `p` of a sample in ascending order below it: each of `n` values stands in the middle of its own
/// `n`-th, with straight lines between; the first and the last value beyond the middles of theirs. For points of a net, and for
/// the middle of a band. Where the next value is infinite the one before it is not left before its own place: no line leads
/// there.
///
/// Source: R. J. Hyndman, Y. Fan, Sample Quantiles in Statistical Packages, The American Statistician 50 (1996) 361-365, doi
/// 10.1080/00031305.1996.10473566, definition 5.
///
/// # Panics
/// Of no values.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss
)]
pub fn at(ascending: &[f64], p: f64) -> f64 {
    let last = ascending.len() - 1;
    let place = (p * ascending.len() as f64 - 0.5).clamp(0.0, last as f64);
    let (below, above) = (
        ascending[place as usize],
        ascending[(place as usize + 1).min(last)],
    );
    if below == above || above.is_infinite() {
        return if place.fract() > 0.0 { above } else { below };
    }
    below + (above - below) * place.fract()
}

/// The quantile of `p` of draws in ascending order, with its interval of a `confidence` or more.
///
/// # Errors
/// `OutOfRange` of no draws, and for a `p` or a confidence that is not between 0 and 1.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss
)]
pub fn quantile(ascending: &[f64], p: f64, confidence: f64) -> Result<Quantile> {
    let outside = 0.5 * (1.0 - confident(confidence)?);
    between("p", p)?;
    let n = ascending.len() as u64;
    if n == 0 {
        return Err(Error::out_of_range("draws", "none", "one or more", "draw some"));
    }
    let below = |k: u64| beta::binomial(k, n, p);
    // The most that surely enough lies below, the least that surely enough lies above.
    let low = least(n, |k| below(k) > outside);
    let high = least(n, |k| below(k) >= 1.0 - outside) + 1;
    let at = |nth: u64| {
        nth.checked_sub(1)
            .and_then(|i| ascending.get(i as usize))
            .copied()
    };
    let nth = ((p * n as f64).ceil() as usize).clamp(1, ascending.len());
    Ok(Quantile {
        value: ascending[nth - 1],
        low: at(low),
        high: at(high),
    })
}

/// The least `k` up to `n` that `is`, which all after it are too; `n` where none is.
fn least(n: u64, is: impl Fn(u64) -> bool) -> u64 {
    let (mut from, mut to) = (0, n);
    while from < to {
        let middle = from + (to - from) / 2;
        if is(middle) {
            to = middle;
        } else {
            from = middle + 1;
        }
    }
    from
}

fn between(field: &str, p: f64) -> Result<()> {
    if p > 0.0 && p < 1.0 {
        return Ok(());
    }
    Err(Error::out_of_range(
        field,
        p,
        "above 0 and below 1",
        "0.05 leaves one in twenty below",
    ))
}

/// On which sides something is to be held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// Below the largest, or above the smallest, of the draws.
    One,
    /// Between the smallest and the largest.
    Two,
}

/// The fewest draws whose extremes hold a `share` of all that could be drawn, with a `confidence`.
///
/// One side: `1 - s^n ≥ c`. Both: `1 - s^n - n (1-s) s^(n-1) ≥ c`. Source: S. S. Wilks, Determination of Sample Sizes for Setting
/// Tolerance Limits, Ann. Math. Statist. 12 (1941) 91-96, doi 10.1214/aoms/1177731788.
///
/// # Errors
/// `OutOfRange` for a share or a confidence that is not between 0 and 1, and for a share so near 1 that no machine draws
/// that often.
#[allow(clippy::cast_precision_loss)]
pub fn fewest_draws(share: f64, confidence: f64, sides: Sides) -> Result<u64> {
    const MOST: u64 = 1 << 40;
    between("share", share)?;
    let confidence = confident(confidence)?;
    let enough = |n: u64| held(share, n, sides) >= confidence;
    if !enough(MOST) {
        return Err(Error::out_of_range(
            "share",
            share,
            "less near to 1",
            "importance sampling reaches what is so rare",
        ));
    }
    Ok(least(MOST, enough))
}

/// How sure it is that `n` draws hold a `share`.
#[allow(clippy::cast_precision_loss)]
pub fn held(share: f64, n: u64, sides: Sides) -> f64 {
    let n = n as f64;
    let all = (n * share.ln()).exp();
    match sides {
        Sides::One => 1.0 - all,
        Sides::Two => 1.0 - all - n * (1.0 - share) * ((n - 1.0) * share.ln()).exp(),
    }
}
