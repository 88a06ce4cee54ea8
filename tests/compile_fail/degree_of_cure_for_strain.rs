use gelwright::quantity::{DegreeOfCure, Strain};

fn cracks(strain: Strain) -> bool {
    strain.get() > 0.02
}

fn main() {
    let cure = DegreeOfCure::new(0.95).unwrap();
    let _ = cracks(cure);
}
