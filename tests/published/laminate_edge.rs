//! Thin edges, panels and shrinkage.

use approx::assert_relative_eq;
use gelwright::laminate::*;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn panel(shape: PanelShape, thickness: &str, modulus: &str, pressure: &str) -> PanelBending {
    Panel {
        shape,
        thickness: q(thickness),
        modulus: q(modulus),
        poisson: q("0.3"),
        pressure: q(pressure),
    }
    .bending()
    .unwrap()
}

/// Half of a bar on two supports is a cantilever: w = P L³/(48 E I), s = 3 P L/(2 b h²) (strength of materials;
/// ISO 178 evaluates flexure so). P 100 N, span 200 mm, b 20 mm, h 4 mm, E 8 GPa: 19.53 mm, 93.75 MPa (analytic).
/// It also moves further than a tenth of its length, and says so.
#[test]
fn half_a_three_point_bar() {
    let e = Edge::taper(
        q("100 mm"),
        q("4 mm"),
        q("4 mm"),
        q("20 mm"),
        q("8 GPa"),
        q("0.3"),
        q("150 MPa"),
    );
    let a = e.bending(q("50 N"), None).unwrap();
    assert!(!a.plate, "narrower than long: a beam");
    assert_relative_eq!(a.deflection.si() * 1e3, 19.53, max_relative = 1e-3);
    assert_relative_eq!(a.stress.si() / 1e6, 93.75, max_relative = 1e-9);
    assert_relative_eq!(a.pull_survived.si(), 80.0, max_relative = 1e-9);
    assert!(a.extrapolated.unwrap().contains("tenth"));
}

/// A taper from 3 mm to 0.8 mm over 40 mm, 20 mm wide, 4 GPa, 5 N at its tip. Independent computation: SciPy `quad` of
/// M (L - x)/(E I) to 1e-12, deflection 1.440422 mm; SciPy bounded minimisation of the stress, 8.522727 MPa at
/// 25.4545 mm (where it is twice as thick as its tip: analytic).
#[test]
fn tapered_edge() {
    let e = Edge::taper(
        q("40 mm"),
        q("3 mm"),
        q("0.8 mm"),
        q("20 mm"),
        q("4 GPa"),
        q("0.3"),
        q("60 MPa"),
    );
    let a = e.bending(q("5 N"), None).unwrap();
    assert_relative_eq!(a.deflection.si(), 0.001_440_422_018_452_73, max_relative = 1e-9);
    assert_relative_eq!(a.stress.si(), 8_522_727.272_727, max_relative = 1e-9);
    assert_relative_eq!(a.weakest_at.si() * 1e3, 25.4545, max_relative = 1e-5);
    assert_relative_eq!(a.reserve.unwrap(), 60.0 / 8.522_727, max_relative = 1e-6);
}

/// A wide edge can not curl across: E/(1 - nu²) (S. P. Timoshenko, S. Woinowsky-Krieger, *Theory of Plates and
/// Shells*, 1959, cylindrical bending). Analytic.
#[test]
fn wide_edge_is_a_plate() {
    let mut e = Edge::taper(
        q("40 mm"),
        q("2 mm"),
        q("2 mm"),
        q("39 mm"),
        q("4 GPa"),
        q("0.3"),
        q("60 MPa"),
    );
    let beam = e.bending(q("1 N"), None).unwrap();
    e.width = q("40 mm");
    let plate = e.bending(q("1 N"), None).unwrap();
    assert!(plate.plate && !beam.plate);
    assert_relative_eq!(
        plate.deflection.si() / beam.deflection.si(),
        39.0 / 40.0 * (1.0 - 0.09),
        max_relative = 1e-9
    );
}

/// Roark's Formulas for Stress and Strain, table 11.4, case 1 (nu 0.3), uniform pressure, all edges supported, square:
/// largest stress beta q b²/t² with beta 0.2874, deflection alpha q b⁴/(E t³) with alpha 0.0444; a long rectangle
/// 0.7500 and 0.1421. Printed to four and three digits: 3e-3 (alpha 0.0444 is 0.04436 rounded).
#[test]
fn roark_rectangular_plate() {
    for (a, alpha, beta) in [("100 mm", 0.0444, 0.2874), ("2000 mm", 0.1421, 0.7500)] {
        let shape = PanelShape::RectangleSupported {
            a: q(a),
            b: q("100 mm"),
        };
        let p = panel(shape, "2 mm", "6 GPa", "1 kPa");
        let (b, t) = (0.1f64, 2e-3f64);
        assert_relative_eq!(p.stress.si(), beta * 1e3 * b * b / (t * t), max_relative = 3e-3);
        assert_relative_eq!(
            p.deflection.si(),
            alpha * 1e3 * b.powi(4) / (6e9 * t.powi(3)),
            max_relative = 3e-3
        );
    }
}

/// S. P. Timoshenko, S. Woinowsky-Krieger (1959), article 30, table 8: supported square, uniform pressure, nu 0.3:
/// w = 0.00406 q a⁴/D, M = 0.0479 q a² (from memory; the series gives 0.0040624 and 0.04789).
#[test]
fn navier_square() {
    let shape = PanelShape::RectangleSupported {
        a: q("1 m"),
        b: q("1 m"),
    };
    let p = panel(shape, "10 mm", "10 GPa", "100 Pa");
    let d = 10e9 * 1e-6 / 12.0 / 0.91;
    assert_relative_eq!(p.deflection.si(), 0.004_062_4 * 100.0 / d, max_relative = 1e-4);
    assert_relative_eq!(p.stress.si(), 6.0 * 0.047_89 * 100.0 / 1e-4, max_relative = 3e-4);
}

/// The same book, article 16: disc, uniform pressure; the supported one sinks (5 + nu)/(1 + nu) times the clamped.
#[test]
fn discs() {
    let at = |shape| panel(shape, "3 mm", "6 GPa", "1 kPa");
    let held = at(PanelShape::DiscClamped { radius: q("80 mm") });
    let rests = at(PanelShape::DiscSupported { radius: q("80 mm") });
    assert_relative_eq!(
        rests.deflection.si() / held.deflection.si(),
        5.3 / 1.3,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        held.stress.si(),
        0.75 * 1e3 * 0.08 * 0.08 / 9e-6,
        max_relative = 1e-12
    );
}

/// A public casting-resin guide gives 7 % by volume; free on all sides that is 2.39 % linear (analytic, 1 - 0.93^(1/3)).
#[test]
fn linear_shrinkage() {
    let part = PartShrinkage {
        pattern: Some(q("380 mm")),
        ..PartShrinkage::of_volumetric(q("7 vol%"))
    };
    let part = part.shrunk().unwrap();
    assert_relative_eq!(part.linear.get(), 1.0 - 0.93f64.cbrt(), max_relative = 1e-12);
    assert_relative_eq!(part.linear.get(), 0.0239, max_relative = 2e-3);
    assert_relative_eq!(part.finished.unwrap().si(), 0.3709, max_relative = 1e-4);
}

/// Print-through in its limits (analytic): nu = 0, the film shrinks by its free strain; nu -> 1/2, the whole
/// volume shrinkage, three times as much, goes through the thickness.
#[test]
fn print_through_limits() {
    let at = |nu: f64| {
        let part = PartShrinkage {
            bundles: Some(FibreBundles {
                height: q("0.5 mm"),
                after_set: None,
                poisson: Index::new(nu).unwrap(),
            }),
            ..PartShrinkage::of_linear(q("1 %"))
        };
        part.shrunk().unwrap().print_through.unwrap().depth.si()
    };
    assert_relative_eq!(at(0.0), 5e-6, max_relative = 1e-12);
    assert_relative_eq!(at(0.499_999_9), 15e-6, max_relative = 1e-6);
}

/// A wall shrunk on a core: thin ring p = E s t/r, hoop stress E s (analytic); thick ring, the hoop strain at the core
/// is the shrinkage: (hoop + nu p)/E = s.
#[test]
fn grip_on_a_core() {
    let g = CoreGrip {
        core_radius: q("20 mm"),
        wall: q("0.02 mm"),
        length: q("50 mm"),
        shrinkage: q("0.5 %"),
        modulus: q("3 GPa"),
        poisson: q("0.3"),
        friction: q("0.4"),
        draft: q("0 deg"),
    };
    let thin = g.pull().unwrap();
    assert_relative_eq!(thin.pressure.si(), 3e9 * 0.005 * 0.001, max_relative = 2e-3);
    assert_relative_eq!(thin.hoop_stress.si(), 3e9 * 0.005, max_relative = 2e-3);
    let thick = CoreGrip {
        wall: q("10 mm"),
        ..g
    }
    .pull()
    .unwrap();
    assert_relative_eq!(
        (thick.hoop_stress.si() + 0.3 * thick.pressure.si()) / 3e9,
        0.005,
        max_relative = 1e-12
    );
    let area = 2.0 * std::f64::consts::PI * 0.02 * 0.05;
    assert_relative_eq!(
        thick.pull.si(),
        0.4 * thick.pressure.si() * area,
        max_relative = 1e-12
    );
    // A draft beyond the angle of friction frees itself.
    let free = CoreGrip {
        draft: q("25 deg"),
        ..g
    }
    .pull()
    .unwrap();
    assert_eq!(free.pull.si(), 0.0);
}

/// A wedge under a strip, without the closed form: the strip as a chain of 4000 pieces clamped at the front, lifted by one
/// at its end (deflection by summing curvature twice), its energy half force times lift; the adhesion is what the energy
/// loses when the front moves on (central difference). J. W. Obreimoff, Proc. R. Soc. Lond. A 127 (1930) 290.
#[test]
fn a_wedge_against_the_energy_it_sets_free() {
    let (e, t, nu, h) = (3.5e9, 2e-3f64, 0.36, 1e-3);
    let d = e * t.powi(3) / 12.0 / (1.0 - nu * nu);
    let energy = |a: f64| {
        let n = 4000;
        let dx = a / f64::from(n);
        let (mut slope, mut lift) = (0.0, 0.0);
        for i in 0..n {
            // Under a force of one at the end: curvature (a - x)/D.
            let curvature = (a - (f64::from(i) + 0.5) * dx) / d;
            lift += slope * dx + 0.5 * curvature * dx * dx;
            slope += curvature * dx;
        }
        0.5 * h * h / lift
    };
    let (a, step) = (30e-3, 1e-5);
    let free = (energy(a - step) - energy(a + step)) / (2.0 * step);
    let made = WedgeTest {
        thickness: q("2 mm"),
        modulus: q("3.5 GPa"),
        poisson: q("0.36"),
        wedge: q("1 mm"),
        open_length: q("30 mm"),
        front_seen_to: q("1 mm"),
    }
    .adhesion()
    .unwrap();
    assert_relative_eq!(made.energy.si(), free, max_relative = 1e-5);
    assert!(made.low < made.energy && made.energy < made.high && made.extrapolated.is_none());
    // The same skin peeled off there: the front gives back what it costs, G = M kappa/2 with M = D kappa.
    let skin = PeeledSkin {
        thickness: q("2 mm"),
        modulus: q("3.5 GPa"),
        poisson: q("0.36"),
        strain_to_crack: Some(q("2 %")),
    };
    let peeled = skin.peel(made.energy, Some(q("50 mm"))).unwrap();
    let kappa = 1.0 / peeled.radius.si();
    assert_relative_eq!(0.5 * peeled.moment_n * kappa, free, max_relative = 1e-5);
    assert_relative_eq!(peeled.strain.get(), 0.5 * t * kappa, max_relative = 1e-12);
    assert_relative_eq!(
        peeled.pull.unwrap().si(),
        peeled.moment_n / 0.05,
        max_relative = 1e-12
    );
    // At the adhesion that cracks it, it is strained to its crack.
    let most = skin.peel(peeled.cracks_at.unwrap(), None).unwrap();
    assert_relative_eq!(most.reserve.unwrap(), 1.0, max_relative = 1e-12);
}

fn skin(thickness: &str, modulus: &str, poisson: &str) -> PeeledSkin {
    PeeledSkin {
        thickness: q(thickness),
        modulus: q(modulus),
        poisson: q(poisson),
        strain_to_crack: None,
    }
}

/// Epoxy on methyl-terminated glass lets go at about 0.5 J/m2 (MRS Proceedings 710 (2001) DD10.6.1, abstract): a shell of
/// 2.35 mm, 3.1 to 4.0 GPa, nu 0.35 then frees itself at 0.033 to 0.037 % shrunk one way (G = E h e2/2), at 0.019 to 0.021 %
/// both ways (G = E h e2/(1 - nu)); independent arithmetic, printed to two digits. A resin shrinks twenty times that by cure
/// after it has set: on a flat it comes off by itself, what holds are edges and undercuts.
#[test]
fn a_shell_on_a_face_that_nothing_sticks_to_frees_itself() {
    let at = |modulus: &str| {
        skin("2.35 mm", modulus, "0.35")
            .self_release(q("0.5 J/m^2"))
            .unwrap()
    };
    for (modulus, one, both) in [("3.1 GPa", 0.037, 0.021), ("4.0 GPa", 0.033, 0.019)] {
        let freed = at(modulus);
        assert!(
            (100.0 * freed.one_way.get() - one).abs() < 5e-4,
            "{:?}",
            freed.one_way
        );
        assert!(
            (100.0 * freed.both_ways.get() - both).abs() < 5e-4,
            "{:?}",
            freed.both_ways
        );
    }
    // The energy that it holds then is the adhesion: force per width of the film held back, times its strain, halved.
    let freed = at("3.1 GPa");
    let stress = 3.1e9 / (1.0 - 0.35) * freed.both_ways.get();
    assert_relative_eq!(
        2.0 * 0.5 * stress * freed.both_ways.get() * 2.35e-3,
        0.5,
        max_relative = 1e-12
    );
}

/// Strains of a peeled shell of 2.35 mm, 3.69 GPa, nu 0.36 at 1, 10, 30, 100, 300 J/m2: 0.08, 0.25, 0.43, 0.78, 1.34 %
/// (independent arithmetic by another hand, printed to two digits).
#[test]
fn a_wing_peeled_at_five_adhesions() {
    for (adhesion, percent) in [
        ("1", 0.08),
        ("10", 0.25),
        ("30", 0.43),
        ("100", 0.78),
        ("300", 1.34),
    ] {
        let peeled = skin("2.35 mm", "3.69 GPa", "0.36")
            .peel(q(&format!("{adhesion} J/m^2")), None)
            .unwrap();
        assert!(
            (100.0 * peeled.strain.get() - percent).abs() < 0.006,
            "{adhesion}: {:?}",
            peeled.strain
        );
    }
}

/// A pull at a lever, without the closed form: the tip sinks by P a3/(3 D b); of what the hand does as the front moves on by a
/// little, half stays in the strip and half opens the front (central difference of the energy under a constant pull).
#[test]
fn a_lever_against_the_energy_it_sets_free() {
    let (e, t, nu, b, a, pull) = (3.5e9, 2e-3f64, 0.36, 30e-3, 50e-3, 4.0);
    let d = e * t.powi(3) / 12.0 / (1.0 - nu * nu);
    let sinks = |a: f64| {
        let n = 4000;
        let dx = a / f64::from(n);
        let (mut slope, mut lift) = (0.0, 0.0);
        for i in 0..n {
            let curvature = pull / b * (a - (f64::from(i) + 0.5) * dx) / d;
            lift += slope * dx + 0.5 * curvature * dx * dx;
            slope += curvature * dx;
        }
        lift
    };
    let step = 1e-5;
    let free = 0.5 * pull * (sinks(a + step) - sinks(a - step)) / (2.0 * step) / b;
    let test = LeverTest {
        thickness: q("2 mm"),
        modulus: q("3.5 GPa"),
        poisson: q("0.36"),
        width: q("30 mm"),
        lever: q("50 mm"),
        pull: q("4 N"),
        read_to: q("10 %"),
    };
    let made = test.adhesion().unwrap();
    assert_relative_eq!(made.energy.si(), free, max_relative = 1e-5);
    assert_relative_eq!(made.high.si(), 1.21 * made.energy.si(), max_relative = 1e-9);
    // What the skin says of that adhesion is the pull that was read.
    let peeled = skin("2 mm", "3.5 GPa", "0.36")
        .peel(made.energy, Some(q("50 mm")))
        .unwrap();
    assert_relative_eq!(peeled.pull.unwrap().si() * b, pull, max_relative = 1e-9);
}
