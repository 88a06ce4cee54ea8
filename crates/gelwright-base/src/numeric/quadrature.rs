//! Integrals.

/// Nodes and weights of eight-point Gauss-Legendre quadrature on -1..1, positive half.
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table 25.4.)
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// The integral of `f` from `a` to `b` by eight-point Gauss-Legendre quadrature.
pub fn integral(a: f64, b: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
    half * GAUSS
        .iter()
        .map(|(x, w)| w * (f(mid - half * x) + f(mid + half * x)))
        .sum::<f64>()
}

/// The integral of `f` from `a` to `b`, cut into `n` equal pieces.
pub fn integral_in_pieces(a: f64, b: f64, n: u32, mut f: impl FnMut(f64) -> f64) -> f64 {
    let step = (b - a) / f64::from(n);
    (0..n)
        .map(|i| integral(a + step * f64::from(i), a + step * f64::from(i + 1), &mut f))
        .sum()
}

/// The mean of `f` on 0..1, by Simpson's rule on `n` equal pieces.
pub fn mean_by_simpson(n: u32, f: impl Fn(f64) -> f64) -> f64 {
    let mut sum = 0.0;
    for k in 0..n {
        let (a, b) = (f64::from(k) / f64::from(n), f64::from(k + 1) / f64::from(n));
        sum += (f(a) + 4.0 * f(0.5 * (a + b)) + f(b)) / 6.0;
    }
    sum / f64::from(n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn integrals_known_in_closed_form() {
        assert!((integral(0.0, 1.0, f64::exp) - (1f64.exp() - 1.0)).abs() < 1e-14);
        // Exact for a cubic.
        assert!((mean_by_simpson(1, |x| x.powi(3)) - 0.25).abs() < 1e-15);
        assert!((mean_by_simpson(100, f64::exp) - (1f64.exp() - 1.0)).abs() < 1e-10);
        assert!((integral_in_pieces(0.0, 20.0, 20, f64::sin) - (1.0 - 20f64.cos())).abs() < 1e-12);
    }
}
