//! Squeeze-out of clamped joints.
//!
//! Expected values marked "independent computation" are from tests/published/scripts/flow_light.py (SciPy): pressure by
//! a boundary-value problem (Stefan) or by quadrature of the wall stress that a numerically integrated velocity profile
//! needs (Bingham), and the gap by integrating its equation of motion.

use gelwright::ErrorKind;
use gelwright::flow::{
    ChopInBead, Clamps, FibreBed, Joint, SqueezeOut, StoppedBy, ViscosityHistory, closing_time,
};
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn close(got: f64, expected: f64, rel: f64, what: &str) {
    assert!(
        (got - expected).abs() <= rel * expected.abs(),
        "{what}: {got} against {expected}"
    );
}

fn constant(viscosity: &str, time: &str) -> ViscosityHistory {
    ViscosityHistory::Constant {
        viscosity: q(viscosity),
        time: q(time),
    }
}

fn pressed(joint: Joint, force: &str, height: &str, viscosity: ViscosityHistory) -> SqueezeOut {
    SqueezeOut {
        joint,
        force: Some(q(force)),
        pressure: None,
        bead_height: q(height),
        bead_volume: None,
        viscosity,
        yield_stress: q("0 Pa"),
        chop: None,
        faces_touch_at: q("0 mm"),
    }
}

fn disc(radius: &str) -> Joint {
    Joint::Disc { radius: q(radius) }
}

fn strip(width: &str, length: &str) -> Joint {
    Joint::Strip {
        width: q(width),
        length: q(length),
    }
}

#[test]
fn stefan_disc() {
    // Stefan (1874) in closed form: t = 3 pi eta R^4/(4F) (1/h^2 - 1/h0^2) = 0.5522 s; independent computation: 0.552233
    // s to 0.5 mm, 1.037476 mm after 0.1 s, 0.661225 mm after 0.3 s.
    let s = pressed(disc("50 mm"), "100 N", "2 mm", constant("1 Pa*s", "0.1 s"));
    close(
        closing_time(&s, q("0.5 mm")).unwrap().unwrap().si(),
        0.552_233,
        1e-6,
        "time",
    );
    close(
        s.squeezed().unwrap().thickness.si(),
        1.037_475_5e-3,
        1e-6,
        "0.1 s",
    );
    let later = SqueezeOut {
        viscosity: constant("1 Pa*s", "0.3 s"),
        ..s
    };
    let told = later.squeezed().unwrap();
    close(told.thickness.si(), 0.661_225_4e-3, 1e-6, "0.3 s");
    assert_eq!(told.stopped_by, StoppedBy::Gel);
    assert!(told.rest_thickness.si() == 0.0);
}

#[test]
fn stefan_strip() {
    // Independent computation: 20 x 100 mm, 5 Pa s, 200 N, from 3 mm: 12.90982 um after 60 s.
    let s = pressed(
        strip("20 mm", "100 mm"),
        "200 N",
        "3 mm",
        constant("5 Pa*s", "60 s"),
    );
    close(s.thickness().unwrap().si(), 12.909_825e-6, 1e-6, "60 s");
}

#[test]
fn where_a_paste_carries_the_clamp() {
    // Independent computation of the rest gap by quadrature: strip 25 x 100 mm, 100 Pa, 150 N: 20.8333 um; disc of 50
    // mm, 50 Pa, 100 N: 0.130900 mm (G. H. Covey, B. R. Stanmore, 1981, in closed form: 2 pi tau R^3/(3F)).
    let long = constant("1 mPa*s", "30 d");
    let mut s = pressed(strip("25 mm", "100 mm"), "150 N", "3 mm", long.clone());
    s.yield_stress = q("100 Pa");
    let told = s.squeezed().unwrap();
    close(told.rest_thickness.si(), 20.833_333e-6, 1e-7, "strip");
    close(
        told.thickness.si(),
        20.833_333e-6,
        1e-3,
        "strip after a long time",
    );
    assert_eq!(told.stopped_by, StoppedBy::YieldStress);
    let mut d = pressed(disc("50 mm"), "100 N", "3 mm", long);
    d.yield_stress = q("50 Pa");
    close(
        d.squeezed().unwrap().rest_thickness.si(),
        0.130_899_69e-3,
        1e-7,
        "disc",
    );
    // a clamp too weak to start
    d.force = Some(q("1 N"));
    let still = d.squeezed().unwrap();
    assert_eq!(still.stopped_by, StoppedBy::Bead);
    close(still.thickness.si(), 3e-3, 1e-12, "bead");
}

#[test]
fn closing_speed_of_a_paste() {
    // Independent computation of the speed at a gap of 1 mm (um/s). The time for the first 1e-4 of the gap differs from
    // that speed's by about 2e-4.
    for (joint, force, eta, tau, speed) in [
        (strip("25 mm", "100 mm"), "150 N", "5 Pa*s", "100 Pa", 18_600.239),
        (strip("25 mm", "100 mm"), "40 N", "5 Pa*s", "100 Pa", 4_522.255_6),
        (disc("30 mm"), "50 N", "5 Pa*s", "200 Pa", 1_748.274_2),
        (disc("30 mm"), "400 N", "2 Pa*s", "50 Pa", 51_841.148),
    ] {
        let mut s = pressed(joint, force, "1 mm", constant(eta, "60 s"));
        s.yield_stress = q(tau);
        let t = closing_time(&s, q("0.9999 mm")).unwrap().unwrap().si();
        close(1e-7 / t, speed * 1e-6, 4e-4, force);
    }
}

#[test]
fn closing_of_a_paste_over_time() {
    // Independent computation: strip 25 x 100 mm, 100 Pa, 5 Pa s, 150 N, from 3 mm (its spline of speeds over 140 gaps is
    // good to about 1e-4); the last one with a viscosity (1 - t/20 min)^-2 at gel.
    let at = |viscosity: ViscosityHistory| {
        let mut s = pressed(strip("25 mm", "100 mm"), "150 N", "3 mm", viscosity);
        s.yield_stress = q("100 Pa");
        s.thickness().unwrap().si() * 1e3
    };
    for (time, mm) in [
        ("1 s", 0.172_020),
        ("5 s", 0.083_549),
        ("30 s", 0.042_065),
        ("120 s", 0.028_903),
        ("600 s", 0.023_017),
    ] {
        close(at(constant("5 Pa*s", time)), mm, 1e-3, time);
    }
    let gelling = ViscosityHistory::ToGel {
        viscosity: q("5 Pa*s"),
        gel_time: q("20 min"),
        exponent: 2.0,
    };
    close(at(gelling), 0.023_925, 1e-3, "at gel");
}

#[test]
fn a_bead_that_spreads_to_fill_the_flange() {
    // Independent computation: 8 Pa s, a bead 10 mm wide and 4 mm high on a flange of 30 x 200 mm, 120 N: 0.295533 mm
    // after 2 s, 24.49241 um after 300 s.
    let mut s = pressed(
        strip("30 mm", "200 mm"),
        "120 N",
        "4 mm",
        constant("8 Pa*s", "2 s"),
    );
    s.bead_volume = Some(q("8 mL"));
    let told = s.squeezed().unwrap();
    close(told.thickness.si(), 0.295_533e-3, 1e-5, "2 s");
    close(told.wetted, 1.0, 1e-12, "filled");
    close(
        told.squeezed_out.si(),
        8e-6 - 0.295_533e-3 * 0.006,
        1e-5,
        "squeezed out",
    );
    s.viscosity = constant("8 Pa*s", "300 s");
    close(s.thickness().unwrap().si(), 24.492_41e-6, 1e-5, "300 s");
    // weakly clamped and soon gelled it never fills the flange
    s.viscosity = constant("8 Pa*s", "1 ms");
    let starved = s.squeezed().unwrap();
    assert!(starved.wetted < 0.6 && starved.squeezed_out.si() < 1e-18);
}

#[test]
fn chop_carries_the_clamp() {
    // Independent computation: strip 20 x 100 mm, 500 Pa s, 200 N, 3 mm, 5 vol% of chop that stays, p = 10 kPa
    // (phi/0.17)^10: rest 0.7008779 mm, 0.7009054 mm after 5 s.
    let mut s = pressed(
        strip("20 mm", "100 mm"),
        "200 N",
        "3 mm",
        constant("500 Pa*s", "5 s"),
    );
    s.chop = Some(ChopInBead {
        glass: q("5 vol%"),
        length: q("12 mm"),
        bed: FibreBed::default(),
    });
    let told = s.squeezed().unwrap();
    close(told.rest_thickness.si(), 0.700_877_85e-3, 1e-7, "rest");
    close(told.thickness.si(), 0.700_905_4e-3, 1e-5, "5 s");
    s.viscosity = constant("500 Pa*s", "1 h");
    let set = s.squeezed().unwrap();
    close(set.thickness.si(), 0.700_877_85e-3, 1e-6, "1 h");
    assert_eq!(set.stopped_by, StoppedBy::Fibres);
    close(set.glass.get(), 0.05 * 3.0 / 0.700_877_85, 1e-6, "packed");
    assert!(set.thickness_if_chop_leaves.si() < 0.2 * set.thickness.si());
    assert!(set.extrapolated.is_none());
    s.force = Some(q("20 kN"));
    assert!(
        s.squeezed().unwrap().extrapolated.unwrap().contains("1 MPa"),
        "10 MPa on the fibres is marked"
    );
    s.force = Some(q("200 N"));
    // chop shorter than the bead is high leaves with the resin
    s.chop = Some(ChopInBead {
        glass: q("5 vol%"),
        length: q("2 mm"),
        bed: FibreBed::default(),
    });
    close(
        s.thickness().unwrap().si(),
        set.thickness_if_chop_leaves.si(),
        1e-12,
        "short chop",
    );
}

#[test]
fn how_hard_may_i_clamp() {
    // Analytic: Newtonian strip, F = eta L W^3/2 (1/h^2 - 1/h0^2)/t; 20 Pa s, 20 x 100 mm, 3 mm to 1 mm in 600 s:
    // F = 20 0.1 8e-6/2 (1e6 - 1.1111e5)/600 = 0.011852 N.
    let mut s = pressed(
        strip("20 mm", "100 mm"),
        "1 N",
        "3 mm",
        constant("20 Pa*s", "600 s"),
    );
    let e = s.hardest_clamp(q("1 mm")).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "force"), "{e}");
    s.force = None;
    let limit = s.hardest_clamp(q("1 mm")).unwrap();
    close(limit.force.si(), 0.011_851_85, 1e-6, "force");
    close(limit.pressure.si(), 0.011_851_85 / 0.002, 1e-6, "pressure");
    // with chop the fibres carry: phi = 0.1 x 3/1 = 0.3 at 1 mm, 10 kPa (0.3/0.17)^10 x 0.002 m2 = 5850 N
    let mut c = s.clone();
    c.chop = Some(ChopInBead {
        glass: q("10 vol%"),
        length: q("12 mm"),
        bed: FibreBed::default(),
    });
    let fibres = c.hardest_clamp(q("1.2 mm")).unwrap();
    close(
        fibres.force.si(),
        1e4 * (0.25_f64 / 0.17).powi(10) * 0.002,
        1e-3,
        "fibres",
    );
    let e = s.hardest_clamp(q("4 mm")).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::NoSolution, "at_least"), "{e}");
    // the least chop: the same turned round
    let harder = pressed(
        strip("20 mm", "100 mm"),
        "937 N",
        "3 mm",
        constant("20 Pa*s", "2 d"),
    );
    let least = harder
        .least_chop(q("12 mm"), FibreBed::default(), q("1.2 mm"))
        .unwrap();
    close(
        least.glass.get(),
        0.4 * 0.17 * (937.0_f64 / 20.0).powf(0.1),
        1e-3,
        "least chop",
    );
    let short = harder
        .least_chop(q("2 mm"), FibreBed::default(), q("1.2 mm"))
        .unwrap_err();
    assert_eq!(short.field(), "chop_length", "{short}");
    c.force = Some(q("937 N"));
    let e = c
        .least_chop(q("12 mm"), FibreBed::default(), q("1.2 mm"))
        .unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "chop"), "{e}");
}

#[test]
fn clamps_along_a_seam() {
    // Analytic, with the trade's 45 degrees: 150 N every 100 mm on 25 mm: 60 kPa; pad 20 mm, flange 15 mm: 50 mm pressed.
    let c = Clamps {
        force: q("150 N"),
        spacing: q("100 mm"),
        flange_width: q("25 mm"),
        flange_thickness: q("15 mm"),
        pad: q("20 mm"),
    };
    let p = c.pressure().unwrap();
    close(p.mean.si(), 60e3, 1e-12, "mean");
    close(p.under_clamp.si(), 120e3, 1e-12, "under a clamp");
    assert!(!p.even);
    close(p.widest_even_spacing.si(), 0.05, 1e-12, "spacing");
}

#[test]
fn a_force_needs_faces() {
    let s = pressed(
        strip("0 mm", "100 mm"),
        "150 N",
        "3 mm",
        constant("5 Pa*s", "60 s"),
    );
    let e = s.squeezed().unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::OutOfRange, "joint.width"),
        "{e}"
    );
    let mut both = pressed(
        strip("20 mm", "100 mm"),
        "150 N",
        "3 mm",
        constant("5 Pa*s", "60 s"),
    );
    both.pressure = Some(q("10 kPa"));
    assert_eq!(both.squeezed().unwrap_err().kind(), ErrorKind::Inconsistent);
    both.force = None;
    both.pressure = None;
    let e = both.squeezed().unwrap_err();
    assert!(e.to_string().contains("150 N"), "{e}");
}
