//! Student's distribution of `t`, what a mean of few readings is off over its standard deviation as those readings show it.
//!
//! Degrees of freedom need not be whole: the effective ones of several uncertainties are not
//! ([`effective_degrees_of_freedom`](crate::measurement::effective_degrees_of_freedom)). Infinitely many are the normal
//! distribution.

use super::{beta, normal};

/// From so many degrees of freedom on the first correction to the normal distribution leaves some 1e-12.
const MANY: f64 = 1e6;

/// Probability below `t` with some degrees of freedom above zero.
///
/// Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, NBS Applied Mathematics Series 55 (1964), 26.7.1 by
/// the incomplete beta function (26.5.27); of many degrees of freedom 26.7.5 turned round, to its first term.
pub fn cumulative(t: f64, freedom: f64) -> f64 {
    if freedom > MANY {
        return normal::cumulative(t - (t * t + 1.0) * t / (4.0 * freedom));
    }
    let square = t * t;
    if square < freedom {
        return 0.5 + 0.5f64.copysign(t) * beta::cumulative(0.5, 0.5 * freedom, square / (freedom + square));
    }
    let tail = 0.5 * beta::cumulative(0.5 * freedom, 0.5, freedom / (freedom + square));
    if t < 0.0 { tail } else { 1.0 - tail }
}

/// The point with the probability `p` below it; minus and plus infinity at 0 and 1, NaN outside.
pub fn quantile(p: f64, freedom: f64) -> f64 {
    if freedom > MANY || p <= 0.0 || p >= 1.0 {
        let z = normal::quantile(p);
        return if z.is_finite() {
            z + (z * z + 1.0) * z / (4.0 * freedom)
        } else {
            z
        };
    }
    let tail = p.min(1.0 - p);
    // Of the two forms of the same, the one whose argument is not near 1.
    let square = if tail > 0.25 {
        let x = beta::quantile(0.5, 0.5 * freedom, 1.0 - 2.0 * tail);
        freedom * x / (1.0 - x)
    } else {
        let x = beta::quantile(0.5 * freedom, 0.5, 2.0 * tail);
        freedom * (1.0 - x) / x
    };
    square.sqrt().copysign(p - 0.5)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2, upper critical values of Student's
    /// distribution. Tolerance: half a unit of the last printed digit; of the last column a whole one (12 degrees of freedom are
    /// printed as 3.929 for 3.92963), and in its first row 0.0045: 318.313 is printed where the closed form `tan(0.499 π)` gives
    /// 318.309.
    #[test]
    fn quantiles_are_the_published_ones() {
        let columns = [0.90, 0.95, 0.975, 0.99, 0.995, 0.999];
        let table = [
            (1.0, [3.078, 6.314, 12.706, 31.821, 63.657, 318.313]),
            (2.0, [1.886, 2.920, 4.303, 6.965, 9.925, 22.327]),
            (3.0, [1.638, 2.353, 3.182, 4.541, 5.841, 10.215]),
            (5.0, [1.476, 2.015, 2.571, 3.365, 4.032, 5.893]),
            (12.0, [1.356, 1.782, 2.179, 2.681, 3.055, 3.929]),
            (30.0, [1.310, 1.697, 2.042, 2.457, 2.750, 3.385]),
            (100.0, [1.290, 1.660, 1.984, 2.364, 2.626, 3.174]),
            (f64::INFINITY, [1.282, 1.645, 1.960, 2.326, 2.576, 3.090]),
        ];
        for (freedom, row) in table {
            for (p, t) in columns.into_iter().zip(row) {
                let found = quantile(p, freedom);
                let printed = match t {
                    _ if p < 0.999 => 0.000_501,
                    _ if t > 300.0 => 0.0045,
                    _ => 0.001,
                };
                assert!((found - t).abs() < printed, "{freedom} {p}: {found} is not {t}");
            }
        }
    }

    /// Analytic: with one degree of freedom `1/2 + atan(t)/π`, with two `1/2 + t/(2 √(2 + t²))`.
    #[test]
    fn closed_forms() {
        for t in [-300.0f64, -3.0, -1.0, -0.2, 1e-9, 0.7, 1.5, 40.0] {
            let one = 0.5 + t.atan() / std::f64::consts::PI;
            let two = 0.5 + 0.5 * t / (2.0 + t * t).sqrt();
            assert!((cumulative(t, 1.0) - one).abs() < 1e-14, "{t}");
            assert!((cumulative(t, 2.0) - two).abs() < 1e-14, "{t}");
        }
        for p in [1e-6f64, 0.01, 0.3, 0.4999, 0.6, 0.975, 0.999_99] {
            let one = (std::f64::consts::PI * (p - 0.5)).tan();
            assert!((quantile(p, 1.0) / one - 1.0).abs() < 1e-10, "{p}");
        }
    }

    /// Quantile and probability undo each other, on both sides of where many begin; what ends there does not jump.
    #[test]
    fn many_degrees_of_freedom_are_the_normal_distribution() {
        for freedom in [0.7, 3.3, 16.7, 900.0, 5e5, 2e6, f64::INFINITY] {
            for p in [1e-4, 0.025, 0.4, 0.5, 0.77, 0.975, 0.9999] {
                let back = cumulative(quantile(p, freedom), freedom);
                assert!((back / p - 1.0).abs() < 1e-8, "{freedom} {p}: {back}");
            }
        }
        assert!((quantile(0.975, 0.999 * MANY) - quantile(0.975, 1.001 * MANY)).abs() < 1e-8);
        assert_eq!(quantile(0.975, f64::INFINITY), normal::quantile(0.975));
        assert!(quantile(1.5, 3.0).is_nan() && quantile(0.0, 3.0) == f64::NEG_INFINITY);
    }
}
