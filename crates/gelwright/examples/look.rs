use gelwright::calibrate::*;
use gelwright::Cancel;
use gelwright::material::Catalogue;
use gelwright::quantity::spread::parse;
use gelwright::quantity::temperature::celsius;
use gelwright::quantity::{Phr, Quantity};
use gelwright::source::{Source, Standing};

fn cup(dose: f64, c: f64, gel: &str, to_peak: &str, peak: &str) -> CupTest {
    CupTest {
        dose: Phr::new(dose).unwrap(),
        mass: Quantity::from_si(0.1).unwrap(),
        surroundings: celsius(c),
        gel_time: parse("t", gel).unwrap(),
        gel_to_peak: (!to_peak.is_empty()).then(|| parse("t", to_peak).unwrap()),
        peak_temperature: (!peak.is_empty()).then(|| parse("t", peak).unwrap()),
        diameter: None,
        vessel: None,
        place: None,
        density: None,
        heat_capacity: None,
        source: Source::of(Standing::Invented, "made for this test"),
    }
}

fn tell(name: &str, e: &Evidence) {
    let t = std::time::Instant::now();
    let c = e.calibrate(&Catalogue::generic(), Cancel::NEVER);
    println!("=== {name} {:?}", t.elapsed());
    match c {
        Err(e) => println!("{e}"),
        Ok(c) => {
            for k in &c.constants {
                println!("{:45} {:.4e} ({:.3e} to {:.3e}) {} prior {:.3e} open {:.2}", k.constant, k.value, k.low, k.high, k.unit, k.prior, k.left_open);
            }
            for r in &c.residuals {
                println!("  {} {} {} {} {:.2}", r.row, r.quantity, r.measured, r.shown, r.deviations);
            }
            println!("{:#?} {}", c.disagreements, c.basis);
            for (d, t) in [(1.25, 25.0), (0.6, 18.0), (0.4, 18.0), (2.0, 17.0)] {
                match c.forecast_gel(Phr::new(d).unwrap(), celsius(t)) {
                    Ok(f) => println!("{d} {t}: {:?} {:?} {:?} never {:?} {:?} {:?}", f.time, f.low, f.high, f.never_gels, f.decides, f.drivers.iter().map(|d| (d.input.clone(), d.part)).collect::<Vec<_>>()),
                    Err(e) => println!("{e}"),
                }
            }
        }
    }
}


fn main() {
    let e = Evidence::of("ortho_polyester");
    tell("ortho table", &e);
    tell("gel coat table", &Evidence::of("white_gel_coat"));
    tell("ortho table and cup", &Evidence { cup_tests: vec![cup(1.5, 25.0, "20 min", "13 min", "148 degC")], ..e.clone() });
    let none = Evidence { gel_table: Some(vec![]), ..e.clone() };
    tell("nothing", &none);
    tell("cup alone", &Evidence { cup_tests: vec![cup(1.5, 25.0, "20 min", "13 min", "148 degC")], ..none.clone() });
    for (g, p, t, c) in [("13 min", "21 min", "162 degC", 25.0), ("60 min", "10 min", "126 degC", 25.0), ("4 to 7 min", "9 to 13 min", "110 to 125 degC", 30.0), ("15 to 25 min", "", "145 to 165 degC", 30.0)] {
        tell(t, &Evidence { cup_tests: vec![cup(1.5, c, g, p, t)], ..none.clone() });
    }
}
