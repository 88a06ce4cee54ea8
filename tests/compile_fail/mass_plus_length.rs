use gelwright::quantity::{Length, Mass, parse};

fn main() {
    let resin: Mass = parse("resin", "250 g").unwrap();
    let depth: Length = parse("depth", "20 mm").unwrap();
    let _ = resin + depth;
}
