//! Hiding power by Kubelka and Munk.

use gelwright::ErrorKind;
use gelwright::light::{
    CoatOnCard, CoatOptics, DrawDown, Hiding, HidingCard, HidingPigment, OpaqueCoat, OpticalLayer,
    PigmentedCoat,
};
use gelwright::quantity::*;

fn q<Q: Quantity>(text: &str) -> Q {
    parse("x", text).unwrap()
}

fn close(got: f64, expected: f64, abs: f64, what: &str) {
    assert!((got - expected).abs() <= abs, "{what}: {got} against {expected}");
}

fn layer(s: f64, k: f64) -> OpticalLayer {
    OpticalLayer {
        scattering: ReciprocalLength::from_si(s).unwrap(),
        absorption: ReciprocalLength::from_si(k).unwrap(),
    }
}

fn on_card(coat: CoatOptics, thickness: Length) -> Hiding {
    CoatOnCard {
        coat,
        thickness,
        card: HidingCard::default(),
    }
    .hiding()
    .unwrap()
}

fn metres(x: f64) -> Length {
    Length::from_si(x).unwrap()
}

#[test]
fn reflectances_of_a_public_paint_mixing_library() {
    // Published in the unit test of an open-source painterly-rendering library (kubelka_munk_test.cpp, 2020), printed
    // to six figures (tolerance there 1e-5): thickness 0.5, K, S, backing -> reflectance.
    for (k, s, backing, r) in [
        (0.2, 0.124, 0.65, 0.541_596),
        (0.1, 0.658, 0.2, 0.343_822),
        (0.22, 0.123, 0.2146, 0.206_651),
    ] {
        close(
            layer(s, k).over(backing, metres(0.5)).unwrap(),
            r,
            1e-5,
            "reflectance",
        );
    }
}

#[test]
fn two_flux_equations_solved_numerically() {
    // Independent computation (SciPy solve_bvp, tests/published/scripts/flow_light.py), relative tolerance 1e-9 there.
    for (s, k, x, rg, r) in [
        (25e3, 0.1e3, 0.2e-3, 0.8, 0.880_539_837),
        (25e3, 0.1e3, 0.2e-3, 0.0, 0.821_567_899),
        (3e3, 2e3, 1e-3, 0.5, 0.333_392_970),
        (50e3, 50e3 * 0.05 * 0.05 / 1.9, 0.3e-3, 0.8, 0.935_021_701),
    ] {
        close(layer(s, k).over(rg, metres(x)).unwrap(), r, 1e-7, "reflectance");
    }
    close(
        layer(25e3, 0.1e3).over_black(metres(0.2e-3)).unwrap().1,
        0.158_951_161,
        1e-7,
        "transmittance",
    );
}

#[test]
fn a_white_that_reflects_nine_tenths() {
    // Independent computation (Python, coth form of Kubelka 1948): R_inf = 0.9, white 0.8; SX = 1 and 3; contrast ratio
    // 0.98 at SX = 9.1427.
    let white = OpticalLayer::from_infinite(ReciprocalLength::from_si(1e4).unwrap(), 0.9).unwrap();
    close(white.infinite().unwrap(), 0.9, 1e-12, "thick block");
    for (sx, r0, r, cr) in [
        (1.0, 0.497_694, 0.825_727, 0.602_734),
        (3.0, 0.740_764, 0.856_570, 0.864_803),
    ] {
        let x = metres(sx / 1e4);
        close(white.over(0.0, x).unwrap(), r0, 1e-6, "over black");
        close(white.over(0.8, x).unwrap(), r, 1e-6, "over white");
        close(
            on_card(CoatOptics::Layer(white), x).contrast_ratio,
            cr,
            1e-6,
            "contrast ratio",
        );
    }
    let told = on_card(CoatOptics::Layer(white), q("0.5 mm"));
    close(
        told.hiding_thickness.unwrap().si() * 1e4,
        9.1427,
        1e-4,
        "hiding thickness",
    );
}

#[test]
fn without_absorption() {
    // Analytic: K = 0 gives R0 = SX/(1 + SX), 0.8 at SX = 4, and 8/9 over a white of 0.8.
    let l = layer(1e4, 0.0);
    close(l.over(0.0, metres(4e-4)).unwrap(), 0.8, 1e-12, "over black");
    close(l.over(0.8, metres(4e-4)).unwrap(), 8.0 / 9.0, 1e-12, "over white");
    // S = 0: Beer's law, through the layer twice
    close(
        layer(0.0, 1e3).over(0.8, metres(1e-3)).unwrap(),
        0.8 * (-2.0_f64).exp(),
        1e-12,
        "dye",
    );
}

#[test]
fn a_draw_down_returns_its_coefficients() {
    // Analytic: the inverse of P. Kubelka (1948).
    for (s, k) in [(25e3, 100.0), (8e3, 900.0), (40e3, 0.0)] {
        let l = layer(s, k);
        let x = q("50 um");
        let card = DrawDown {
            thickness: x,
            over_black: l.over(0.0, x).unwrap(),
            over_white: l.over(0.8, x).unwrap(),
            white: 0.8,
        };
        let back = card.layer().unwrap();
        close(back.scattering.si() / s, 1.0, 1e-6, "S");
        close(back.absorption.si(), k, 1e-6 * s, "K");
    }
    let swapped = DrawDown {
        thickness: q("50 um"),
        over_black: 0.9,
        over_white: 0.7,
        white: 0.8,
    };
    let e = swapped.layer().unwrap_err();
    assert_eq!(e.kind(), ErrorKind::Inconsistent, "{e}");
}

#[test]
fn a_white_gel_coat_hides_but_a_lamp_still_shows() {
    // Common practice: a white gel coat of about 10 wt% pigment hides at the usual 0.4 to 0.5 mm.
    let coat = CoatOptics::Pigment(PigmentedCoat {
        content: q("10 wt%"),
        resin_density: q("1.2 g/mL"),
        reflectance: 0.95,
        pigment: HidingPigment::rutile(),
    });
    let told = on_card(coat, q("0.5 mm"));
    assert!(told.hides, "{}", told.contrast_ratio);
    assert!(told.hiding_thickness.unwrap().si() < 0.45e-3);
    assert!(told.why.to_string().contains("common practice, no source"));
    // At contrast ratio 0.98 a white still passes T = sqrt((R - R0)(1 - R0 Rg)/Rg): analytic, 7 to 9 %.
    let x = told.hiding_thickness.unwrap();
    let t = told.layer.over_black(x).unwrap().1;
    assert!(t > 0.05 && t < 0.10, "lamp light through a coat that hides: {t}");
    let mut wanted = OpaqueCoat {
        thickness: x,
        resin_density: q("1.2 g/mL"),
        reflectance: 0.95,
        pigment: HidingPigment::rutile(),
        card: HidingCard::default(),
        lamp: None,
    };
    close(
        wanted.least_pigment().unwrap().pigment.get(),
        0.10,
        1e-6,
        "pigment and thickness are inverse to each other",
    );
    wanted.thickness = q("5 um");
    let e = wanted.least_pigment().unwrap_err();
    assert_eq!(e.kind(), ErrorKind::NoSolution, "{e}");
}
