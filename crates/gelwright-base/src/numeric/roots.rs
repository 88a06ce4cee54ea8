//! Roots within a bracket, and inverse questions.

use std::convert::Infallible;

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Quantity, show};

/// Halves `low..high` at most `most` times, or until no number lies between its ends, and gives the last two ends: `below`
/// says whether a number lies on `low`'s side of what is looked for.
///
/// # Errors
/// Whatever `below` refuses.
pub fn halve<E>(
    mut low: f64,
    mut high: f64,
    most: u32,
    mut below: impl FnMut(f64) -> std::result::Result<bool, E>,
) -> std::result::Result<(f64, f64), E> {
    for _ in 0..most {
        let mid = 0.5 * (low + high);
        if mid <= low || mid >= high {
            break;
        }
        if below(mid)? {
            low = mid;
        } else {
            high = mid;
        }
    }
    Ok((low, high))
}

/// [`halve`], of what never refuses.
pub fn halved(low: f64, high: f64, most: u32, mut below: impl FnMut(f64) -> bool) -> (f64, f64) {
    let Ok(ends) = halve(low, high, most, |x| Ok::<_, Infallible>(below(x)));
    ends
}

/// A root of `f` between `low` and `high`, where it changes sign, to the last bits, by halving alone: for an `f` that may
/// be infinite.
pub fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let rising = f(high) > f(low);
    let (low, high) = halved(low, high, 200, |x| (f(x) > 0.0) != rising);
    0.5 * (low + high)
}

/// Where a rising `f`, given with its slope, passes zero between `low` and `high`: Newton's steps from `start`, halving where one
/// leaves the bracket, until they stand still or `f` is within `accuracy` of zero.
pub fn newton(
    mut low: f64,
    mut high: f64,
    start: f64,
    accuracy: f64,
    mut f: impl FnMut(f64) -> (f64, f64),
) -> f64 {
    let mut x = start;
    for _ in 0..100 {
        let (miss, slope) = f(x);
        if miss.abs() <= accuracy {
            break;
        }
        if miss < 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = x - miss / slope;
        let next = if step > low && step < high {
            step
        } else {
            0.5 * (low + high)
        };
        if (next - x).abs() <= 4.0 * f64::EPSILON * x.abs() {
            return next;
        }
        x = next;
    }
    x
}

/// A root of `f` between `low` and `high`, where `f` changes sign, to the last bits: bisection with
/// false-position steps (the Illinois rule).
///
/// # Errors
/// [`ErrorKind::NotConverged`] about `what` where `f` has one sign at both ends, or is not finite.
pub fn root(what: &str, low: f64, high: f64, mut f: impl FnMut(f64) -> f64) -> Result<f64> {
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

/// The input that gives a wanted answer: `x` in `low..=high` with `answer(x) = wanted`, to `accuracy` in `x`, by bisection helped by the secant
/// (regula falsi, Illinois variant): a root is found where the answers at the bounds lie on both
/// sides. Of the last bracket it gives the end whose answer is below `wanted`.
///
/// # Errors
/// `NoSolution` about `field`, with the nearest answer the bounds give and what to change; whatever `answer` refuses.
pub fn inverse<X: Quantity, Y: Quantity>(
    field: &str,
    bounds: (X, X),
    wanted: Y,
    accuracy: f64,
    mut answer: impl FnMut(X) -> Result<Y>,
) -> Result<X> {
    let (mut a, mut b) = (bounds.0.si(), bounds.1.si());
    let (ya, yb) = (answer(bounds.0)?, answer(bounds.1)?);
    let (mut fa, mut fb) = (ya.si() - wanted.si(), yb.si() - wanted.si());
    if fa == 0.0 {
        return Ok(bounds.0);
    }
    if fb == 0.0 {
        return Ok(bounds.1);
    }
    if fa.signum() == fb.signum() {
        let (x, y) = if fa.abs() <= fb.abs() {
            (bounds.0, ya)
        } else {
            (bounds.1, yb)
        };
        return Err(Error::no_solution(
            field,
            format!("{} {}", Y::NAME, show(wanted)),
            format!("{} at {}", show(y), show(x)),
            format!(
                "between {} and {} the answer stays between {} and {}: widen the bounds or change what is wanted",
                show(bounds.0),
                show(bounds.1),
                show(ya),
                show(yb)
            ),
        ));
    }
    let mut kept = 0;
    for k in 0..200 {
        if (b - a).abs() <= accuracy {
            break;
        }
        let secant = (a * fb - b * fa) / (fb - fa);
        let x = if k % 3 == 2 || !secant.is_finite() {
            0.5 * (a + b)
        } else {
            secant
        };
        let f = answer(X::from_si(x)?)?.si() - wanted.si();
        if f == 0.0 {
            return X::from_si(x);
        }
        // An end that stays twice running counts half (Illinois), so that both ends close in.
        if f.signum() == fa.signum() {
            (a, fa) = (x, f);
            if kept == 1 {
                fb *= 0.5;
            }
            kept = 1;
        } else {
            (b, fb) = (x, f);
            if kept == -1 {
                fa *= 0.5;
            }
            kept = -1;
        }
    }
    X::from_si(if fa < 0.0 { a } else { b })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Length, Volume};

    #[test]
    fn roots_known_in_closed_form() {
        let r = root("x", 0.0, 2.0, |x| x * x * x - 2.0).unwrap();
        assert!((r - 2f64.cbrt()).abs() < 1e-14);
        assert!(root("x", 1.0, 2.0, |x| x).is_err());
        for f in [|x: f64| x * x - 2.0, |x: f64| 2.0 - x * x] {
            assert!((bisect(0.0, 2.0, f) - 2f64.sqrt()).abs() < 1e-15);
        }
        assert!((bisect(1e-9, 2.0, |x| (x / 2f64.sqrt()).ln() / (x - 1e-9)) - 2f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn halving_ends_at_the_last_bits_or_when_told() {
        assert_eq!(halved(0.0, 1.0, 2, |x| x < 0.3), (0.25, 0.5));
        let (low, high) = halved(1.0, 2.0, 200, |x| x < 4.0 / 3.0);
        assert_eq!(low.to_bits() + 1, high.to_bits());
        assert_eq!(
            halve(0.0, 1.0, 9, |x| if x == 0.5 { Ok(true) } else { Err(x) }),
            Err(0.75)
        );
    }

    /// The edge of a cube of eight litres.
    #[test]
    fn an_inverse_question() {
        let edge = |wanted: f64| {
            let of = |m: f64| Length::from_si(m).unwrap();
            inverse("edge", (of(0.1), of(1.0)), Volume::from_si(wanted)?, 1e-12, |x| {
                Volume::from_si(x.si().powi(3))
            })
        };
        assert!((edge(8e-3).unwrap().si() - 0.2).abs() < 1e-11);
        let e = edge(8.0).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::NoSolution, "edge"));
    }
}
