//! The beta distribution: cumulative probability, quantile; and with it the binomial one.

use super::roots;

/// From here on Stirling's series holds `ln Γ` to the last bits.
const STIRLING: f64 = 15.0;
/// `B_2k / (2k (2k - 1))` of its terms: NIST Digital Library of Mathematical Functions, 5.11.1.
const TERMS: [f64; 8] = [
    1.0 / 12.0,
    -1.0 / 360.0,
    1.0 / 1260.0,
    -1.0 / 1680.0,
    1.0 / 1188.0,
    -691.0 / 360_360.0,
    1.0 / 156.0,
    -3617.0 / 122_400.0,
];
/// Levels of the continued fraction before it is given up: it takes some √max(a, b).
const LEVELS: u32 = 100_000;

/// `ln Γ(x)` of an `x` above zero.
pub fn ln_gamma(x: f64) -> f64 {
    let (mut x, mut product) = (x, 1.0);
    while x < STIRLING {
        product *= x;
        x += 1.0;
    }
    let (inverse, square) = (1.0 / x, 1.0 / (x * x));
    let series = TERMS.iter().rev().fold(0.0, |sum, t| t + square * sum) * inverse;
    (x - 0.5) * x.ln() - x + 0.5 * std::f64::consts::TAU.ln() + series - f64::ln(product)
}

/// Probability below `x` of a beta distribution with shapes `a` and `b` above zero.
///
/// Source: NIST Digital Library of Mathematical Functions, 8.17.22 (continued fraction) and 8.17.4 (reflection).
pub fn cumulative(a: f64, b: f64, x: f64) -> f64 {
    if x.is_nan() {
        return x;
    }
    if x <= 0.0 || x >= 1.0 {
        return f64::from(x >= 1.0);
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - cumulative(b, a, 1.0 - x);
    }
    let ln_front = ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * (-x).ln_1p();
    ln_front.exp() / a * fraction(a, b, x)
}

/// By the method of Lentz.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let kept = |y: f64| if y.abs() < TINY { TINY } else { y };
    let mut d = 1.0 / kept(1.0 - (a + b) * x / (a + 1.0));
    let (mut c, mut f) = (1.0, d);
    for m in 1..LEVELS {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut change = 1.0;
        for term in [even, odd] {
            d = 1.0 / kept(1.0 + term * d);
            c = kept(1.0 + term / c);
            change = c * d;
            f *= change;
        }
        if (change - 1.0).abs() < 4.0 * f64::EPSILON {
            break;
        }
    }
    f
}

/// The point with the probability `p` below it.
pub fn quantile(a: f64, b: f64, p: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return f64::from(p >= 1.0);
    }
    let (low, high) = roots::halved(0.0, 1.0, 200, |x| cumulative(a, b, x) < p);
    0.5 * (low + high)
}

/// Probability of at most `k` of `n` where each has the probability `p`.
#[allow(clippy::cast_precision_loss)]
pub fn binomial(k: u64, n: u64, p: f64) -> f64 {
    if k >= n {
        return 1.0;
    }
    cumulative((n - k) as f64, k as f64 + 1.0, 1.0 - p)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Analytic: Γ(n) = (n - 1)!, Γ(1/2) = √π.
    #[test]
    fn gammas_of_whole_and_half_numbers() {
        let mut factorial = 1.0;
        for n in 1..30 {
            let n = f64::from(n);
            assert!(
                (ln_gamma(n) - f64::ln(factorial)).abs() < 4e-15 * (1.0 + f64::ln(factorial)),
                "{n}"
            );
            factorial *= n;
        }
        assert!((ln_gamma(0.5) - 0.5 * std::f64::consts::PI.ln()).abs() < 4e-15);
    }

    /// Analytic: `I_x(a, 1) = x^a`, `I_x(1, b) = 1 - (1-x)^b`, `I_x(1/2, 1/2) = (2/π) asin √x`, and back.
    #[test]
    fn closed_forms() {
        for x in [1e-12, 0.003, 0.2, 0.5, 0.77, 0.999] {
            for a in [0.5, 1.0, 3.0, 41.0, 5000.0] {
                let near = |found: f64, expected: f64| {
                    assert!(
                        (found - expected).abs() <= 4e-12 * expected.max(1e-3),
                        "{found} {expected} {a} {x}"
                    );
                };
                near(cumulative(a, 1.0, x), x.powf(a));
                near(cumulative(1.0, a, x), -(a * (-x).ln_1p()).exp_m1());
                near(quantile(a, 1.0, x), x.powf(1.0 / a));
            }
            let arc = std::f64::consts::FRAC_2_PI * x.sqrt().asin();
            assert!((cumulative(0.5, 0.5, x) - arc).abs() < 1e-13);
        }
    }

    /// Analytic: sums of binomial terms.
    #[test]
    fn binomial_sums() {
        let (n, p) = (20u64, 0.3f64);
        let (mut term, mut sum) = ((1.0 - p).powi(20), 0.0);
        for k in 0..=n {
            sum += term;
            assert!((binomial(k, n, p) - sum).abs() < 1e-13, "{k}");
            term *= (n - k) as f64 / (k + 1) as f64 * p / (1.0 - p);
        }
    }
}
