//! What is said of a run that is dangerous, or not to be relied on.

use crate::error::Result;
use crate::quantity::{Quantity, Time, show};

/// Hotter than this, in kelvin, a cured resin chars, and no kinetics was fitted.
pub(crate) const CHARS: f64 = 573.15;
/// Hotter than this, in kelvin, a run is stopped.
pub(crate) const ABSURD: f64 = 1500.0;
/// Heat that warms everything by a thousandth of a kelvin: less is not told from rounding.
pub(crate) const NEXT_TO_NOTHING: f64 = 1e-3;

/// Seconds as a time; not a number where it never was.
pub(crate) fn reached(t: f64) -> Result<Option<Time>> {
    if t.is_nan() {
        Ok(None)
    } else {
        Time::from_si(t).map(Some)
    }
}

/// What to say of a runaway.
pub(crate) fn ran_away(at: f64) -> Result<String> {
    Ok(format!(
        "runaway: beyond 300 degC, or self-heating without bound, from {} on; the mix can smoke, char and catch fire, \
         and no kinetics is fitted there.",
        show(Time::from_si(at)?)
    ))
}

/// What to say where heat gets lost or is made. An explosion is not followed to its end.
pub(crate) fn unbalanced(residual: f64, exploded: bool) -> Option<String> {
    (residual.abs() > 0.01 && !exploded).then(|| {
        format!(
            "the heat balance is off by {:.0} % of the heat turned over: do not rely on this run",
            100.0 * residual.abs()
        )
    })
}
