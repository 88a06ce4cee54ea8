use gelwright::quantity::{TemperatureInterval, ThermodynamicTemperature, parse};

fn shop_at(_: ThermodynamicTemperature) {}

fn main() {
    let warmer: TemperatureInterval = parse("warmer", "5 K").unwrap();
    shop_at(warmer);
}
