//! The lumped cup against two independent zero-dimensional codes.
//!
//! Independent computation: SciPy 1.17.1 (Radau, rtol 1e-11) and Cantera 3.2.0 (SUNDIALS' CVODES, rtol 1e-10), both by
//! `heat_cup.py` beside this file, which agree with each other in every digit printed here. The constants are chosen.

use gelwright::cure::{KamalSourour, Kinetics, NthOrder, RateConstant, RateLaw};
use gelwright::heat::{Course, Cup, Cure, Face, Layer, Place, Resolve, Thermal, Wall};
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::{Cancel, Source, Standing};

fn q<Q: Quantity>(text: &str) -> Q {
    parse::<Q>("x", text).unwrap()
}

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

fn at(t: f64, per_second: f64, e: &str) -> RateConstant {
    RateConstant::at(celsius(t), si(per_second), q(e))
}

fn kinetics(law: RateLaw, heat: &str) -> Kinetics {
    Kinetics {
        law,
        heat_of_reaction: q(heat),
        seed: si(0.0),
        vitrification: None,
        fitted: None,
        source: Source::of(Standing::Invented, "chosen for this test"),
    }
}

fn nth() -> Kinetics {
    let law = NthOrder {
        k: at(20.0, 1.5e-4, "60 kJ/mol"),
        n: 1.5,
    };
    kinetics(RateLaw::NthOrder(law), "300 kJ/kg")
}

fn kamal() -> Kinetics {
    let law = KamalSourour {
        k1: at(20.0, 4e-6, "70 kJ/mol"),
        k2: at(20.0, 1.22e-3, "55 kJ/mol"),
        m: 0.85,
        n: 1.5,
    };
    kinetics(RateLaw::KamalSourour(law), "350 kJ/kg")
}

const RHO: f64 = 1100.0;
const C: f64 = 1900.0;

/// 100 g in 60 mm (or as wide as deep where `None`), film of `h` to 20 degC.
fn cup(k: Kinetics, h: Option<f64>, diameter: f64, duration: f64) -> Cup {
    let mut cure = Cure::new(k, si(0.05));
    cure.demould_at = Some(si(0.5));
    let place = match h {
        None => Place::Insulated,
        Some(h) => Place::Coefficient {
            coefficient: si(h),
            surroundings: Course::Steady(celsius(20.0)),
        },
    };
    let thermal = Thermal::new(si(RHO), si(C), q("0.17 W/(m*K)"));
    let cup = Cup::new(
        q("100 g"),
        si(diameter),
        thermal,
        cure,
        celsius(20.0),
        place,
        si(duration),
    );
    Cup {
        resolve: Resolve::Lumped,
        ..cup
    }
}

/// What both codes say of one cup.
struct Expected {
    kinetics: Kinetics,
    film: Option<f64>,
    duration: f64,
    /// degC and s; of an insulated cup the end.
    peak: (f64, f64),
    /// Conversions of 5 % and 50 %, s.
    gel: f64,
    half: f64,
    /// degC and conversion at 1200 s and at the end.
    later: [(f64, f64); 2],
}

/// Tolerances: the steps of a cup keep to 1.3e-4 in conversion, that is 0.03 K of a rise of 180 K, each; twice that
/// is allowed at the peak, and 0.1 % in time, the accuracy to which a slow start carries the same error.
#[test]
fn n_th_order_and_kamal_sourour_cups_in_two_other_codes() {
    let cases = [
        Expected {
            kinetics: nth(),
            film: None,
            duration: 7200.0,
            peak: (177.89472, 7200.0),
            gel: 253.43288,
            half: 637.73329,
            later: [(177.89161, 0.99998), (177.89472, 1.0)],
        },
        Expected {
            kinetics: nth(),
            film: Some(10.0),
            duration: 7200.0,
            peak: (164.50103, 779.83738),
            gel: 257.0312,
            half: 717.86067,
            later: [(132.83043, 0.9998), (22.79114, 0.99989)],
        },
        Expected {
            kinetics: kamal(),
            film: None,
            duration: 3600.0,
            peak: (204.21052, 3600.0),
            gel: 1198.10282,
            half: 1466.35106,
            later: [(29.27547, 0.05035), (204.21052, 1.0)],
        },
        Expected {
            kinetics: kamal(),
            film: Some(10.0),
            duration: 7200.0,
            peak: (197.58852, 1562.26107),
            gel: 1229.71337,
            half: 1551.57544,
            later: [(26.99737, 0.04538), (25.50349, 1.0)],
        },
    ];
    for e in cases {
        let mut c = cup(e.kinetics, e.film, 0.06, e.duration);
        // A point every 1200 s.
        c.points = if e.duration > 4000.0 { 7 } else { 4 };
        let run = c.run(Cancel::NEVER).unwrap();
        let curve = run.curve.unwrap();
        let name = format!("{} {:?}", c.cure.kinetics.law.name(), e.film);
        let (gel, half) = (run.gel.unwrap().si(), run.demould.unwrap().si());
        println!(
            "{name}: peak {} at {}, gel {gel}, half {half}, {:?} {:?}",
            to_celsius(run.peak),
            run.peak_time.si(),
            curve.temperature_k,
            curve.cure
        );
        assert!(
            (to_celsius(run.peak) - e.peak.0).abs() < 0.06,
            "{name}: {:?}",
            run.peak
        );
        if e.film.is_some() {
            assert!(
                (run.peak_time.si() / e.peak.1 - 1.0).abs() < 1e-3,
                "{name}: {:?}",
                run.peak_time
            );
        }
        for (got, expected) in [(gel, e.gel), (half, e.half)] {
            assert!(
                (got / expected - 1.0).abs() < 1e-3,
                "{name}: {got} against {expected} s"
            );
        }
        let last = curve.time_s.len() - 1;
        for (i, (t, a)) in [1, last].into_iter().zip(e.later) {
            let (got_t, got_a) = (curve.temperature_k[i] - 273.15, curve.cure[i]);
            assert!((got_t - t).abs() < 0.06, "{name}: {got_t} against {t} degC");
            assert!((got_a - a).abs() < 3e-4, "{name}: {got_a} against {a}");
        }
    }
}

/// Steps of fourth order: a wall that passes no heat is a cup without loss, so its cells do not matter, and the time of
/// 50 % is compared with the two codes' as the tolerance shrinks. An order below one in what has reacted has a corner
/// at zero conversion and costs an order there.
#[test]
fn steps_converge_at_fourth_order() {
    for (k, half, order) in [(nth(), 637.733_29, 4.0), (kamal(), 1_466.351_06, 3.0)] {
        let (mut steps, mut error) = (vec![], vec![]);
        for within in [0.1, 0.05, 0.02, 0.01, 0.005, 0.002] {
            let mut cure = Cure::new(k.clone(), si(0.05));
            cure.demould_at = Some(si(0.5));
            let thermal = Thermal::new(si(RHO), si(C), q("0.17 W/(m*K)"));
            let layer = Layer::curing("pour", q("10 mm"), thermal, cure, celsius(20.0));
            let mut w = Wall::plane(vec![layer], Face::Insulated, Face::Insulated, q("30 min"));
            w.peak_within = si(within);
            let run = w.run(Cancel::NEVER).unwrap();
            steps.push(f64::from(u32::try_from(run.steps).unwrap()).ln());
            error.push((run.layers[0].demould.unwrap().si() - half).abs().ln());
        }
        // Slope by least squares over a factor of two in steps.
        let mean = |v: &[f64]| v.iter().sum::<f64>() / 6.0;
        let (mx, my) = (mean(&steps), mean(&error));
        let by: f64 = steps.iter().zip(&error).map(|(x, y)| (x - mx) * (y - my)).sum();
        let slope = -by / steps.iter().map(|x| (x - mx).powi(2)).sum::<f64>();
        println!("{}: order {slope}", k.law.name());
        assert!(slope > order, "{}: {slope}, {steps:?}, {error:?}", k.law.name());
    }
}
