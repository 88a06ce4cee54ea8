use gelwright::plan::dew_point;
use gelwright::quantity::{RelativeHumidity, TemperatureInterval, parse};

fn main() {
    let warmer: TemperatureInterval = parse("warmer", "5 K").unwrap();
    let _ = dew_point(warmer, RelativeHumidity::new(0.5).unwrap());
}
