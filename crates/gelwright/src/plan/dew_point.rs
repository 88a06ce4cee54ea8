//! The dew point of the air in the shop.

use crate::error::{Error, Result};
use crate::quantity::{self, RelativeHumidity, ThermodynamicTemperature, temperature};

/// Dew point of air: `gamma = ln(RH) + a t/(b + t)`, `t_d = b gamma/(a - gamma)` with `a = 17.625`,
/// `b = 243.04 degC` (O. A. Alduchov, R. E. Eskridge, Improved Magnus Form Approximation of Saturation Vapor
/// Pressure, J. Appl. Meteorol. 35:601, 1996), fitted from -40 to 50 degC within 0.4 % of the vapour pressure over
/// water, which is some 0.03 K of dew point.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for dry air (below 0.1 %), which has no dew point, and
/// for air colder than -40 or hotter than 60 degC.
pub fn dew_point(t: ThermodynamicTemperature, rh: RelativeHumidity) -> Result<ThermodynamicTemperature> {
    const A: f64 = 17.625;
    const B: f64 = 243.04;
    let c = temperature::to_celsius(t);
    if !(-40.0..=60.0).contains(&c) {
        return Err(Error::out_of_range(
            "temperature",
            quantity::show(t),
            "-40 degC to 60 degC",
            "give the temperature of the air in the shop",
        ));
    }
    if rh.get() < 1e-3 {
        return Err(Error::out_of_range(
            "humidity",
            quantity::show(rh),
            "0.1 % to 100 %",
            "quite dry air has no dew point: give what the hygrometer shows",
        ));
    }
    let gamma = rh.get().ln() + A * c / (B + c);
    Ok(temperature::celsius(B * gamma / (A - gamma)))
}
