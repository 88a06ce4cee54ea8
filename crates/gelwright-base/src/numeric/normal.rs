//! The standard normal distribution: density, cumulative probability, quantile.

// The published coefficients are kept as printed, to more digits than an f64 holds.
#![allow(clippy::excessive_precision, clippy::unreadable_literal)]

/// Beyond this the continued fraction takes over from the series.
const SERIES_UP_TO: f64 = 2.0;
/// Levels of the continued fraction: at `SERIES_UP_TO`, where it converges slowest, the last bits no longer change.
const LEVELS: u32 = 200;

/// Density at `x`: `exp(-x²/2)/√(2π)`.
pub fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / std::f64::consts::TAU.sqrt()
}

/// Probability below `x`.
///
/// Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, NBS Applied Mathematics Series 55 (1964):
/// the series 26.2.11 near the middle, the continued fraction 26.2.14 in the tails, so that a small probability keeps its
/// relative accuracy.
pub fn cumulative(x: f64) -> f64 {
    if x.abs() < SERIES_UP_TO {
        let (mut term, mut sum, mut odd) = (x, x, 1.0);
        while term.abs() > 1e-18 * sum.abs() {
            odd += 2.0;
            term *= x * x / odd;
            sum += term;
        }
        return 0.5 + density(x) * sum;
    }
    if x.is_infinite() || x.is_nan() {
        return if x.is_nan() { x } else { f64::from(x > 0.0) };
    }
    let far = x.abs();
    let below = (1..=LEVELS).rev().fold(far, |f, n| far + f64::from(n) / f);
    let tail = density(x) / below;
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// The point with the probability `p` below it; minus and plus infinity at 0 and 1, NaN outside.
///
/// Source: M. J. Wichura, Algorithm AS 241: The Percentage Points of the Normal Distribution, Applied Statistics 37 (1988)
/// 477-484, doi 10.2307/2347330, routine PPND16 (relative accuracy about 1e-16).
pub fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return q * ratio(&MIDDLE, 0.180625 - q * q);
    }
    let r = if q < 0.0 { p } else { 1.0 - p };
    if r <= 0.0 || r.is_nan() {
        return if r == 0.0 {
            f64::INFINITY.copysign(q)
        } else {
            f64::NAN
        };
    }
    let r = (-r.ln()).sqrt();
    let z = if r <= 5.0 {
        ratio(&TAIL, r - 1.6)
    } else {
        ratio(&FAR_TAIL, r - 5.0)
    };
    z.copysign(q)
}

/// Upper over lower polynomial.
fn ratio([upper, lower]: &[[f64; 8]; 2], r: f64) -> f64 {
    let at = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    at(upper) / at(lower)
}

/// `|p - 1/2| <= 0.425`, of `0.180625 - (p - 1/2)²`.
#[rustfmt::skip]
const MIDDLE: [[f64; 8]; 2] = [
    [3.3871328727963666080, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125,
     45921.953931549871457, 67265.770927008700853, 33430.575583588128105, 2509.0809287301226727],
    [1.0, 42.313330701600911252, 687.18700749205790830, 5394.1960214247511077,
     21213.794301586595867, 39307.895800092710610, 28729.085735721942674, 5226.4952788528545610],
];
/// `r = √(-ln p) <= 5`, of `r - 1.6`.
#[rustfmt::skip]
const TAIL: [[f64; 8]; 2] = [
    [1.42343711074968357734, 4.63033784615654529590, 5.76949722146069140550, 3.64784832476320460504,
     1.27045825245236838258, 0.241780725177450611770, 0.0227238449892691845833, 7.74545014278341407640e-4],
    [1.0, 2.05319162663775882187, 1.67638483018380384940, 0.689767334985100004550,
     0.148103976427480074590, 0.0151986665636164571966, 5.47593808499534494600e-4, 1.05075007164441684324e-9],
];
/// `r > 5`, of `r - 5`.
#[rustfmt::skip]
const FAR_TAIL: [[f64; 8]; 2] = [
    [6.65790464350110377720, 5.46378491116411436990, 1.78482653991729133580, 0.296560571828504891230,
     0.0265321895265761230930, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7],
    [1.0, 0.599832206555887937690, 0.136929880922735805310, 0.0148753612908506148525,
     7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15],
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Published (from memory), Wichura (1988): the quantiles of 0.25, 0.001 and 1e-20. These and the others: independent
    /// computation, mpmath at 40 digits.
    #[test]
    fn quantiles_are_the_published_ones() {
        for (p, z) in [
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_814),
            (1e-20, -9.262_340_089_798_408),
            (0.025, -1.959_963_984_540_054_2),
            (0.1, -1.281_551_565_544_600_4),
            (0.4, -0.253_347_103_135_799_7),
            (1e-300, -37.047_096_299_361_2),
        ] {
            let found = quantile(p);
            assert!((found / z - 1.0).abs() < 1e-15, "{p}: {found} is not {z}");
        }
        assert_eq!(
            (quantile(0.0), quantile(1.0), quantile(0.5)),
            (f64::NEG_INFINITY, f64::INFINITY, 0.0)
        );
        assert!(quantile(1.5).is_nan() && quantile(-0.1).is_nan() && quantile(f64::NAN).is_nan());
    }

    /// Independent computation: mpmath at 40 digits. `exp(-x²/2)` alone loses `x²/2` units of rounding.
    #[test]
    fn probabilities_keep_their_relative_accuracy() {
        for (x, p) in [
            (-20.0, 2.753_624_118_606_233_7e-89),
            (-8.0, 6.220_960_574_271_784_1e-16),
            (-3.0, 0.001_349_898_031_630_094_5),
            (-2.0, 0.022_750_131_948_179_207),
            (-1.999, 0.022_804_176_932_658_883),
            (-1.0, 0.158_655_253_931_457_05),
            (-0.1, 0.460_172_162_722_971),
            (0.5, 0.691_462_461_274_013_1),
            (1.5, 0.933_192_798_731_141_9),
            (2.0, 0.977_249_868_051_820_8),
            (3.0, 0.998_650_101_968_369_9),
        ] {
            let found = cumulative(x);
            assert!((found / p - 1.0).abs() < 2e-14, "{x}: {found} is not {p}");
        }
        assert_eq!(
            (cumulative(f64::NEG_INFINITY), cumulative(f64::INFINITY)),
            (0.0, 1.0)
        );
    }

    #[test]
    fn quantile_and_probability_undo_each_other() {
        for i in 1..1000 {
            let p = f64::from(i) / 1000.0;
            assert!((cumulative(quantile(p)) / p - 1.0).abs() < 2e-14, "{p}");
        }
    }
}
