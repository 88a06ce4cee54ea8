//! Two bodies that meet, and semi-infinite solids: temperatures at a depth and a time against closed forms.
//!
//! F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed. (2007), section 5.7 (from memory):
//! equation 5.57, a face that is suddenly held, `T = Ts + (Ti - Ts) erf(x / (2 sqrt(a t)))`; equation 5.60, one that is
//! suddenly in a flow; equation 5.63, two bodies in contact, `Ts = (e_A T_A + e_B T_B)/(e_A + e_B)`, `e = sqrt(k rho c)`.
//! The same forms: H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. (1959), sections 2.5, 2.7 and 2.15.
//! Bodies here are so thick that the far face does not feel it within the time (`erfc` of its depth below 1e-4).

use gelwright::Cancel;
use gelwright::heat::{Face, Layer, Thermal, Wall};
use gelwright::quantity::temperature::celsius;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse::<Q>("x", text).unwrap()
}

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

/// `2/sqrt(pi) sum (-1)^n x^(2n+1) / (n! (2n+1))`: exact to rounding up to 3, M. Abramowitz, I. A. Stegun, Handbook of
/// Mathematical Functions (1964), 7.1.5.
fn erf(x: f64) -> f64 {
    let (mut power, mut sum) = (x, x);
    for n in 1..60 {
        let n = f64::from(n);
        power *= -x * x / n;
        sum += power / (2.0 * n + 1.0);
    }
    2.0 / std::f64::consts::PI.sqrt() * sum
}

fn effusivity(t: &Thermal) -> f64 {
    (t.conductivity.si() * t.density.si() * t.specific_heat.si()).sqrt()
}

#[test]
fn a_hot_part_on_cold_plaster() {
    // 80 degC part of 6 mm on 20 degC plaster: the interface at 12 s, and what lies 1 mm and 2 mm on either side.
    let part = Thermal::new(q("1200 kg/m^3"), q("1500 J/(kg*K)"), q("0.2 W/(m*K)"));
    let plaster = Thermal::new(q("1200 kg/m^3"), q("1000 J/(kg*K)"), q("0.45 W/(m*K)"));
    let (ep, em) = (effusivity(&part), effusivity(&plaster));
    let contact = (ep * 80.0 + em * 20.0) / (ep + em);
    let wall = Wall::plane(
        vec![
            Layer::inert("plaster", q("30 mm"), plaster, celsius(20.0)),
            Layer::inert("part", q("6 mm"), part, celsius(80.0)),
        ],
        Face::Insulated,
        Face::Insulated,
        q("12 s"),
    );
    let times = [4.0, 8.0, 12.0];
    let depths = [0.028, 0.029, 0.03, 0.031, 0.032];
    let v = wall
        .values_at(&depths.map(si::<Length>), &times.map(si::<Time>), Cancel::NEVER)
        .unwrap();
    assert!(v.cells.converged, "{:?}", v.cells);
    for (i, t) in times.iter().enumerate() {
        for (j, d) in depths.iter().enumerate() {
            let (start, a) = if *d < 0.03 {
                (20.0, plaster.diffusivity())
            } else {
                (80.0, part.diffusivity())
            };
            let x = (d - 0.03).abs();
            let exact = contact + (start - contact) * erf(x / (2.0 * (a * t).sqrt()));
            let got = v.temperature_k[i][j].unwrap() - 273.15;
            // What was asked for: 0.5 K.
            assert!((got - exact).abs() < 0.5, "{t} s, {d} m: {got} against {exact}");
            assert_eq!(v.cure[i][j], None);
        }
    }
    // At the end and at its hottest the interface of the plain run is that warm too.
    let run = wall.run(Cancel::NEVER).unwrap();
    assert!(run.cells.converged && run.cells.faces_error.si() <= 0.5);
    let hottest = run.surfaces[1].temperature.si() - 273.15;
    assert!((hottest - contact).abs() < 0.5, "{hottest} against {contact}");
}

#[test]
fn a_face_suddenly_held() {
    let body = Thermal::new(q("1200 kg/m^3"), q("1500 J/(kg*K)"), q("0.2 W/(m*K)"));
    let wall = Wall::plane(
        vec![Layer::inert("body", q("50 mm"), body, celsius(20.0))],
        Face::held(celsius(60.0)),
        Face::Insulated,
        q("10 min"),
    );
    let (times, depths) = ([60.0, 300.0, 600.0], [0.0, 0.002, 0.005, 0.01]);
    let v = wall
        .values_at(&depths.map(si::<Length>), &times.map(si::<Time>), Cancel::NEVER)
        .unwrap();
    assert!(v.cells.converged);
    for (t, row) in times.iter().zip(&v.temperature_k) {
        for (x, got) in depths.iter().zip(row) {
            let exact = 60.0 - 40.0 * erf(x / (2.0 * (body.diffusivity() * t).sqrt()));
            let got = got.unwrap() - 273.15;
            assert!((got - exact).abs() < 0.5, "{t} s, {x} m: {got} against {exact}");
        }
    }
}

#[test]
fn a_face_suddenly_in_a_flow() {
    // `(T - Ti)/(Tair - Ti) = erfc(u) - exp(h x/k + h² a t/k²) erfc(u + h sqrt(a t)/k)`, `u = x/(2 sqrt(a t))`.
    let body = Thermal::new(q("1200 kg/m^3"), q("1500 J/(kg*K)"), q("0.2 W/(m*K)"));
    let (h, k, a) = (50.0, 0.2, body.diffusivity());
    let wall = Wall::plane(
        vec![Layer::inert("body", q("50 mm"), body, celsius(20.0))],
        Face::convection(q("50 W/(m^2*K)"), celsius(80.0)),
        Face::Insulated,
        q("5 min"),
    );
    let (times, depths) = ([30.0, 120.0, 300.0], [0.0, 0.001, 0.003, 0.008]);
    let v = wall
        .values_at(&depths.map(si::<Length>), &times.map(si::<Time>), Cancel::NEVER)
        .unwrap();
    for (t, row) in times.iter().zip(&v.temperature_k) {
        for (x, got) in depths.iter().zip(row) {
            let u = x / (2.0 * (a * t).sqrt());
            let tail = (h * x / k + h * h * a * t / (k * k)).exp() * (1.0 - erf(u + h * (a * t).sqrt() / k));
            let exact = 20.0 + 60.0 * (1.0 - erf(u) - tail);
            let got = got.unwrap() - 273.15;
            assert!((got - exact).abs() < 0.5, "{t} s, {x} m: {got} against {exact}");
        }
    }
}
