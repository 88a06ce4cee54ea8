//! Checks of inputs: each names the field, the value, what is allowed and the way out.

use crate::error::{Error, Result, finite};
use crate::quantity::{Quantity, show};

/// The SI value of a quantity that must be above zero.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; so of all functions here.
pub fn positive<Q: Quantity>(field: &str, q: Q) -> Result<f64> {
    let x = finite(field, q.si())?;
    if x > 0.0 {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(q),
            "above 0",
            format!("give a {} above zero, for example '{}'", Q::NAME, Q::EXAMPLE),
        ))
    }
}

/// The SI value of a quantity that must not be negative.
pub fn not_negative<Q: Quantity>(field: &str, q: Q) -> Result<f64> {
    let x = finite(field, q.si())?;
    if x >= 0.0 {
        Ok(x)
    } else {
        Err(Error::out_of_range(
            field,
            show(q),
            "0 or more",
            format!("give a {} of zero or more, for example '{}'", Q::NAME, Q::EXAMPLE),
        ))
    }
}

/// The SI value of a quantity that must lie between two others.
pub fn between<Q: Quantity>(field: &str, q: Q, low: f64, high: f64, way_out: &str) -> Result<f64> {
    let x = finite(field, q.si())?;
    if (low..=high).contains(&x) {
        Ok(x)
    } else {
        let end = |v: f64| Q::from_si(v).map_or_else(|_| v.to_string(), |q| show(q).into());
        Err(Error::out_of_range(
            field,
            show(q),
            format!("{} to {}", end(low), end(high)),
            way_out,
        ))
    }
}

/// A plain number that must lie between two others.
pub fn number(field: &str, x: f64, low: f64, high: f64, way_out: &str) -> Result<f64> {
    let x = finite(field, x)?;
    if (low..=high).contains(&x) {
        Ok(x)
    } else {
        Err(Error::out_of_range(field, x, format!("{low} to {high}"), way_out))
    }
}
