use gelwright::quantity::{MassFraction, Phr};

fn filler_content(of_the_mix: MassFraction) -> f64 {
    of_the_mix.get()
}

fn main() {
    let silica = Phr::new(5.0).unwrap();
    let _ = filler_content(silica);
}
