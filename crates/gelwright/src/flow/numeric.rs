//! Root finding and quadrature, shared by `flow` and `light`.

use crate::error::{Error, ErrorKind, Result};

/// A root of `f` between `low` and `high`, where `f` changes sign, to the last bits: bisection with
/// false-position steps (the Illinois rule).
pub(crate) fn root(what: &str, low: f64, high: f64, mut f: impl FnMut(f64) -> f64) -> Result<f64> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if !(fa.is_finite() && fb.is_finite()) || fa.signum() == fb.signum() {
        return Err(Error::new(ErrorKind::NotConverged, what)
            .with_value(format_args!("no sign change between {a:e} and {b:e}")));
    }
    for step in 0..300 {
        let width = (b - a).abs();
        if width <= 4.0 * f64::EPSILON * a.abs().max(b.abs()) {
            break;
        }
        let secant = b - fb * (b - a) / (fb - fa);
        let inside = secant > a.min(b) && secant < a.max(b);
        let c = if step % 3 == 2 || !inside {
            0.5 * (a + b)
        } else {
            secant
        };
        let fc = f(c);
        if fc == 0.0 {
            return Ok(c);
        }
        if !fc.is_finite() {
            return Err(
                Error::new(ErrorKind::NotConverged, what).with_value(format_args!("not finite at {c:e}"))
            );
        }
        if fc.signum() == fb.signum() {
            fa *= 0.5;
        } else {
            a = b;
            fa = fb;
        }
        b = c;
        fb = fc;
    }
    Ok(0.5 * (a + b))
}

/// Nodes and weights of eight-point Gauss-Legendre quadrature on -1..1, positive half.
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table 25.4.)
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// The integral of `f` from `a` to `b` by eight-point Gauss-Legendre quadrature.
pub(crate) fn integral(a: f64, b: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
    half * GAUSS
        .iter()
        .map(|(x, w)| w * (f(mid - half * x) + f(mid + half * x)))
        .sum::<f64>()
}

/// The integral of `f` from `a` to `b`, cut into `n` equal pieces.
pub(crate) fn integral_in_pieces(a: f64, b: f64, n: u32, mut f: impl FnMut(f64) -> f64) -> f64 {
    let step = (b - a) / f64::from(n);
    (0..n)
        .map(|i| integral(a + step * f64::from(i), a + step * f64::from(i + 1), &mut f))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_and_integrals_known_in_closed_form() {
        let r = root("x", 0.0, 2.0, |x| x * x * x - 2.0).unwrap();
        assert!((r - 2f64.cbrt()).abs() < 1e-14);
        assert!(root("x", 1.0, 2.0, |x| x).is_err());
        assert!((integral(0.0, 1.0, f64::exp) - (1f64.exp() - 1.0)).abs() < 1e-14);
        assert!((integral_in_pieces(0.0, 20.0, 20, f64::sin) - (1.0 - 20f64.cos())).abs() < 1e-12);
    }
}
