//! Conduction without cure against analytic solutions and a textbook's worked examples.
//!
//! Analytic: one-term solution of a plane wall, cylinder and sphere that cool by convection (exact eigenvalues solved
//! here; the second term is below 1e-5 at Fo = 1). The tabled zeta and C1 at Bi = 1 are those of F. P. Incropera, D. P.
//! DeWitt, Fundamentals of Heat and Mass Transfer, table 5.1 (from memory, checked by solving).
//! Tolerance: the peak error asked for, plus what linear interpolation adds.

use gelwright::Cancel;
use gelwright::heat::{Course, Face, Geometry, Layer, Thermal, Wall};
use gelwright::quantity::temperature::celsius;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse::<Q>("x", text).unwrap()
}

fn thermal() -> Thermal {
    Thermal::new(q("1000 kg/m^3"), q("2000 J/(kg*K)"), q("0.2 W/(m*K)"))
}

fn accurate(mut wall: Wall) -> Wall {
    wall.peak_within = q("0.02 K");
    wall.most_cells = 2000;
    wall
}

fn j0(x: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..30 {
        term *= -x * x / (4.0 * f64::from(k * k));
        sum += term;
    }
    sum
}

// 1.5708 is the table's figure, not ours for half of pi.
#[allow(clippy::approx_constant)]
#[test]
fn slab_cylinder_and_sphere_that_cool() {
    // Bi = h L / k = 10 * 0.02 / 0.2 = 1, Fo = 1. zeta and C1: table 5.1, four figures.
    let radius = 0.02;
    let seconds = radius * radius / (0.2 / (1000.0 * 2000.0));
    let shape: [(Geometry, f64, f64, fn(f64) -> f64); 3] = [
        (Geometry::Plane, 0.8603, 1.1191, f64::cos),
        (Geometry::Cylinder, 1.2558, 1.2071, j0),
        (Geometry::Sphere, 1.5708, 1.2732, |x| {
            if x == 0.0 { 1.0 } else { x.sin() / x }
        }),
    ];
    for (form, zeta, c1, profile) in shape {
        let layer = Layer::inert("body", q("20 mm"), thermal(), celsius(100.0));
        let air = Face::convection(q("10 W/(m^2*K)"), celsius(20.0));
        let mut wall = match form {
            Geometry::Plane => {
                Wall::plane(vec![layer], air, Face::Symmetric, Time::from_si(seconds).unwrap())
            }
            _ => Wall::inside(
                form,
                q("20 mm"),
                vec![layer],
                air,
                Face::Symmetric,
                Time::from_si(seconds).unwrap(),
            ),
        };
        wall.profiles = 2;
        let run = accurate(wall).run(Cancel::NEVER).unwrap();
        let p = run.profiles.unwrap();
        for (depth, t) in p.depth_m.iter().zip(&p.temperature_k[1]) {
            let r = (radius - depth) / radius;
            let expected = 293.15 + 80.0 * c1 * (-zeta * zeta).exp() * profile(zeta * r);
            assert!(
                (t.unwrap() - expected).abs() < 0.05,
                "{form:?} r {r}: {t:?} against {expected}"
            );
        }
        assert!(run.heat.residual.abs() < 1e-5, "{:?}", run.heat);
    }
}

#[test]
fn pipeline_insulated_outside_worked_example() {
    // Incropera, DeWitt, example 5.5 (from memory; the number varies by edition): printed 42.9 and 45.2 degC with
    // four-figure table values; unrounded one-term solution 43.02 and 45.36 degC. Tolerance 0.3 K covers both.
    let steel = Thermal::new(q("7832 kg/m^3"), q("434 J/(kg*K)"), q("63.9 W/(m*K)"));
    let layer = Layer::inert("pipe", q("40 mm"), steel, celsius(-20.0));
    let oil = Face::convection(q("500 W/(m^2*K)"), celsius(60.0));
    let mut wall = Wall::plane(vec![layer], oil, Face::Insulated, q("480 s"));
    wall.profiles = 2;
    let run = accurate(wall).run(Cancel::NEVER).unwrap();
    let p = run.profiles.unwrap();
    let row: Vec<f64> = p.temperature_k[1].iter().map(|t| t.unwrap() - 273.15).collect();
    assert!((row[row.len() - 1] - 42.9).abs() < 0.3, "{row:?}");
    assert!((row[0] - 45.2).abs() < 0.3, "{row:?}");
    assert!((row[row.len() - 1] - 43.02).abs() < 0.05, "{row:?}");
}

#[test]
fn frost_depth_worked_example() {
    // Incropera, DeWitt, example 5.6 (from memory): soil at 20 degC, surface at -15 degC for 60 days, frost at 0.68 m;
    // exact: erf(eta) = 15/35, eta = 0.4002, x = 2 eta sqrt(a t) = 0.677 m. Tolerance: half of the last printed figure.
    let soil = Thermal::new(q("2050 kg/m^3"), q("1840 J/(kg*K)"), q("0.52 W/(m*K)"));
    let layer = Layer::inert("soil", q("5 m"), soil, celsius(20.0));
    let mut wall = Wall::plane(
        vec![layer],
        Face::held(celsius(-15.0)),
        Face::Insulated,
        q("60 d"),
    );
    wall.profiles = 2;
    wall.peak_within = q("0.002 K");
    let p = accurate(wall).run(Cancel::NEVER).unwrap().profiles.unwrap();
    let row = &p.temperature_k[1];
    let j = row.iter().position(|t| t.unwrap() > 273.15).unwrap();
    let (a, b) = (row[j - 1].unwrap(), row[j].unwrap());
    let depth = p.depth_m[j - 1] + (273.15 - a) / (b - a) * (p.depth_m[j] - p.depth_m[j - 1]);
    assert!((depth - 0.677).abs() < 0.005, "{depth}");
}

#[test]
fn steady_flux_through_layers_and_a_contact() {
    // Analytic: flux = (80 - 20) / (0.01/0.2 + 1/50 + 0.02/1.0) = 666.67 W/m² per area; the face of the second layer at
    // the contact is 20 + q 0.02/1.0 = 33.33 degC.
    let second = Thermal::new(q("1500 kg/m^3"), q("1000 J/(kg*K)"), q("1 W/(m*K)"));
    let layers = vec![
        Layer::inert("first", q("10 mm"), thermal(), celsius(20.0)),
        Layer::inert("second", q("20 mm"), second, celsius(20.0)).in_contact(q("50 W/(m^2*K)")),
    ];
    let mut wall = Wall::plane(
        layers,
        Face::held(celsius(80.0)),
        Face::held(celsius(20.0)),
        q("10 h"),
    );
    wall.profiles = 2;
    let p = accurate(wall).run(Cancel::NEVER).unwrap().profiles.unwrap();
    let flux = 60.0 / (0.05 + 0.02 + 0.02);
    for ((d, k), t) in p.depth_m.iter().zip(&p.layer).zip(&p.temperature_k[1]) {
        let expected = if *k == 0 {
            80.0 - flux * d / 0.2
        } else {
            20.0 + flux * (0.03 - d) / 1.0
        };
        assert!(
            (t.unwrap() - 273.15 - expected).abs() < 1e-3,
            "{d}: {t:?} against {expected}"
        );
    }
}

#[test]
fn conductivity_that_rises_with_temperature() {
    // Analytic (Kirchhoff): with k = k0 (1 + b (T - T0)) between faces at T0 and T1, T0 + (sqrt(1 + 2 b F) - 1)/b with
    // F = x/L (dT + b dT²/2).
    let mut t = thermal();
    t.conductivity_slope = q("0.005 1/K");
    t.specific_heat_slope = q("0.002 1/K");
    t.reference = celsius(20.0);
    let layer = Layer::inert("body", q("10 mm"), t, celsius(20.0));
    let mut wall = Wall::plane(
        vec![layer],
        Face::held(celsius(20.0)),
        Face::held(celsius(120.0)),
        q("5 h"),
    );
    wall.profiles = 2;
    let run = accurate(wall).run(Cancel::NEVER).unwrap();
    let p = run.profiles.unwrap();
    let (b, dt) = (0.005, 100.0);
    for (d, t) in p.depth_m.iter().zip(&p.temperature_k[1]) {
        let f = d / 0.01 * (dt + b * dt * dt / 2.0);
        let expected = 20.0 + ((1.0 + 2.0 * b * f).sqrt() - 1.0) / b;
        assert!(
            (t.unwrap() - 273.15 - expected).abs() < 0.05,
            "{d}: {t:?} against {expected}"
        );
    }
    assert!(run.heat.residual.abs() < 1e-4, "{:?}", run.heat);
}

#[test]
fn face_that_follows_a_ramp() {
    // Analytic: with the face ramped at b K/s for long, the plane lags the face by b (L² - x²)/(2 a) where x is measured
    // from the insulated side; L² / a = 1000 s here, the transient dies as exp(-2.47 t / 1000 s).
    let layer = Layer::inert("body", q("10 mm"), thermal(), celsius(20.0));
    let ramp = Face::Held {
        temperature: Course::points([
            (q("0 s"), celsius(20.0)),
            (q("2 h"), celsius(92.0)),
            (q("3 h"), celsius(92.0)),
        ]),
    };
    let mut wall = Wall::plane(vec![layer], ramp, Face::Insulated, q("2 h"));
    wall.profiles = 2;
    let p = accurate(wall).run(Cancel::NEVER).unwrap().profiles.unwrap();
    let rate = 72.0 / 7200.0;
    for (d, t) in p.depth_m.iter().zip(&p.temperature_k[1]) {
        let x = 0.01 - d;
        let expected = 92.0 - rate * (0.01 * 0.01 - x * x) / (2.0 * 1e-7);
        assert!(
            (t.unwrap() - 273.15 - expected).abs() < 0.02,
            "{d}: {t:?} against {expected}"
        );
    }
}
