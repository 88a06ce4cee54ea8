//! A block that the part hangs by, against an independent plate and by hand.

use approx::assert_relative_eq;
use gelwright::ErrorKind;
use gelwright::laminate::*;
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn mount() -> Mount {
    Mount {
        hold: BlockHold::Behind,
        length: q("50 mm"),
        width: q("30 mm"),
        bond_area: None,
        bond_shear: q("6.9 MPa"),
        bond_evenness: q("25 %"),
        block_crush: q("3 MPa"),
        shell: q("1.5 mm"),
        shell_shear: q("50 MPa"),
        shell_moment: q("25 N"),
        poisson: q("0.3"),
        reach: q("84 mm"),
    }
}

/// Moment in the middle of a round plate, free to turn at its rim, under one newton over a patch of radius c. The plate's own
/// equation d/dr (1/r d/dr (r slope)) = -Q/D stepped outwards from the middle (20 000 steps, midpoint rule), two solutions,
/// the rim's moment made nothing by adding them. No closed form, no table.
fn moment_of_one_newton(a: f64, c: f64, nu: f64) -> f64 {
    let n = 20_000;
    let dr = a / f64::from(n);
    let q = |r: f64| {
        let inside = (r / c).min(1.0).powi(2);
        inside / (2.0 * std::f64::consts::PI * r)
    };
    // u = 1/r d(r s)/dr, s = slope; u' = -Q/D with D = 1.
    let run = |u0: f64, load: f64| {
        let (mut u, mut rs) = (u0, 0.0f64);
        for i in 0..n {
            let r = (f64::from(i) + 0.5) * dr;
            let middle = u - load * q(r) * dr / 2.0;
            rs += middle * r * dr;
            u -= load * q(r) * dr;
        }
        let s = rs / a;
        // Radial moment at the rim: s' + nu s/r with s' = u - s/r.
        u - s / a + nu * s / a
    };
    let u0 = -run(0.0, 1.0) / run(1.0, 0.0);
    // In the middle s' = s/r = u/2.
    (1.0 + nu) * u0 / 2.0
}

#[test]
fn bending_about_the_block_against_the_plate_stepped_outwards() {
    for (reach, nu) in [("84 mm", "0.3"), ("60 mm", "0.36"), ("200 mm", "0.25")] {
        let m = Mount {
            reach: q(reach),
            poisson: q(nu),
            ..mount()
        };
        let c = (50e-3 * 30e-3 / std::f64::consts::PI).sqrt();
        let one = moment_of_one_newton(m.reach.si(), c, m.poisson.get());
        let held = m.held(q("8 N")).unwrap();
        assert_relative_eq!(held.bending.si(), 25.0 / one, max_relative = 1e-4);
    }
}

/// By hand: 2 x 80 mm x 1.5 mm x 50 MPa = 12 kN to punch through; 1500 mm2 x 3 MPa = 4.5 kN to crush; the shell cracks first.
#[test]
fn the_weakest_part_is_named() {
    let held = mount().held(q("8 N")).unwrap();
    assert_relative_eq!(held.punching.si(), 12_000.0, max_relative = 1e-9);
    assert_relative_eq!(held.crushing.unwrap().si(), 4500.0, max_relative = 1e-9);
    assert_eq!((held.weakest, held.bond), (WeakestPart::Bending, None));
    assert_relative_eq!(held.factor, held.holds.si() / 8.0, max_relative = 1e-12);
    // 1 cm2 bonded at 6.9 MPa, a quarter of it even: 172.5 N; with a stiff shell the bond lets go first.
    let bonded = Mount {
        hold: BlockHold::Bond,
        bond_area: Some(q("1 cm^2")),
        shell_moment: q("2500 N"),
        ..mount()
    }
    .held(q("8 N"))
    .unwrap();
    assert_eq!((bonded.weakest, bonded.crushing), (WeakestPart::Bond, None));
    assert_relative_eq!(bonded.holds.si(), 172.5, max_relative = 1e-9);
    // A bond alone is no positive connection (DGUV Information 215-313, section 1.1), and the answer says so.
    assert!(bonded.cautions.iter().any(|c| c.contains("positive connection")));
    assert!(!held.cautions.iter().any(|c| c.contains("positive connection")));
}

/// DGUV Information 215-313, section 1.4 doubles the working coefficient over people; 7 of textile in Directive 2006/42/EC,
/// annex I, 4.1.2.5 (from memory): 14, and the limit in the data is the same fact.
#[test]
fn the_factor_over_people_is_the_limits() {
    let (factor, source) = mount::factor_over_people();
    assert_eq!(factor, 14.0);
    assert!(source.locator.contains("1.4"));
    let limits = gelwright::limit::Limits::generic().unwrap();
    let limit = limits.iter().find(|l| l.id == "mount_over_people").unwrap();
    assert_eq!(limit.bounds().unwrap(), (Some(factor), None));
    assert_eq!(limit.severity, gelwright::limit::Severity::Stop);
}

#[test]
fn what_holds_nothing_is_refused() {
    let kind = |m: Mount| {
        let e = m.held(q("8 N")).unwrap_err();
        (e.kind(), e.field().to_owned())
    };
    let no_bond = Mount {
        bond_area: Some(Area::default()),
        ..mount()
    };
    assert_eq!(kind(no_bond), (ErrorKind::OutOfRange, "bond_area".to_owned()));
    let too_large = Mount {
        bond_area: Some(q("20 cm^2")),
        ..mount()
    };
    assert_eq!(kind(too_large), (ErrorKind::Inconsistent, "bond_area".to_owned()));
    let no_shell = Mount {
        reach: q("20 mm"),
        ..mount()
    };
    assert_eq!(kind(no_shell), (ErrorKind::Inconsistent, "reach".to_owned()));
}
