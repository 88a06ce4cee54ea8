use gelwright::quantity::{MassFraction, VolumeFraction};

fn fibre_fraction(of_volume: VolumeFraction) -> f64 {
    of_volume.get()
}

fn main() {
    let glass = MassFraction::new(0.30).unwrap();
    let _ = fibre_fraction(glass);
}
