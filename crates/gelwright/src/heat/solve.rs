//! Inverse questions: the input that gives a wanted answer, between two bounds.

use crate::error::{Error, Result};
use crate::quantity::{Quantity, show};

/// Finds `x` in `low..=high` with `answer(x) = wanted`, to `accuracy` in `x`, by bisection helped by the secant
/// (regula falsi, Illinois variant): a root is found where the answers at the bounds lie on both
/// sides. Of the last bracket it gives the end whose answer is below `wanted`.
///
/// # Errors
/// `NoSolution` about `field`, with the nearest answer the bounds give and what to change; whatever `answer` refuses.
pub(crate) fn between<X: Quantity, Y: Quantity>(
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
