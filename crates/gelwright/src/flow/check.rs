//! The refusals that every part of the module shares.

use crate::error::Result;

pub(crate) use crate::check::{between, not_negative, number, positive};

/// The sine of a slope measured from the horizontal, 0 to 90 deg.
pub(crate) fn slope(field: &str, q: crate::quantity::Angle) -> Result<f64> {
    let x = between(
        field,
        q,
        0.0,
        std::f64::consts::FRAC_PI_2 + 1e-12,
        "give the slope from the horizontal: 0 deg is a floor, 90 deg a wall",
    )?;
    Ok(x.sin())
}
