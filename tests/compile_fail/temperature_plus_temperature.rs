use gelwright::quantity::{ThermodynamicTemperature, parse};

fn main() {
    let shop: ThermodynamicTemperature = parse("shop", "18 degC").unwrap();
    let mould: ThermodynamicTemperature = parse("mould", "16 degC").unwrap();
    let _ = shop + mould;
}
