//! The one place where temperature points are subtracted and averaged.
//!
//! `uom` keeps points and intervals apart and offers neither difference nor mean of points.

use super::{Quantity, TemperatureInterval, ThermodynamicTemperature};
use uom::si::{temperature_interval as interval, thermodynamic_temperature as point};

/// A temperature point from degrees Celsius.
///
/// Panics never; a NaN stays a NaN and is refused where it is used.
pub fn celsius(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<point::degree_celsius>(t)
}

/// Degrees Celsius of a temperature point.
pub fn to_celsius(t: ThermodynamicTemperature) -> f64 {
    t.get::<point::degree_celsius>()
}

/// The interval from `b` to `a`: `a - b`.
pub fn difference(a: ThermodynamicTemperature, b: ThermodynamicTemperature) -> TemperatureInterval {
    TemperatureInterval::new::<interval::kelvin>(a.si() - b.si())
}

/// The mean of two points.
pub fn mean(a: ThermodynamicTemperature, b: ThermodynamicTemperature) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<point::kelvin>(0.5 * (a.si() + b.si()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn difference_of_celsius_points_is_in_kelvin_without_offset() {
        assert!((difference(celsius(25.0), celsius(0.0)).get::<interval::kelvin>() - 25.0).abs() < 1e-12);
        assert!((to_celsius(mean(celsius(10.0), celsius(20.0))) - 15.0).abs() < 1e-12);
    }

    #[test]
    fn adding_an_interval_moves_a_point() {
        let t = celsius(20.0) + TemperatureInterval::new::<interval::degree_fahrenheit>(9.0);
        assert!((to_celsius(t) - 25.0).abs() < 1e-9);
    }
}
