//! Thickened paste: yield tests, silica, beads.

use gelwright::ErrorKind;
use gelwright::flow::{
    Bead, BeadSection, Consistency, Paste, SeamPaste, YieldLaw, YieldLawChoice, YieldReading, YieldTest,
    silica_fraction,
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

fn bead(height: &str, slope: &str, density: &str) -> Bead {
    Bead {
        height: q(height),
        slope: q(slope),
        density: q(density),
        margin: 1.0,
        law: YieldLawChoice::CommonPractice,
    }
}

fn practice(silica: &str) -> Paste {
    Paste::of(q(silica), &YieldLawChoice::CommonPractice).unwrap()
}

#[test]
fn a_millimetre_on_a_wall() {
    // Analytic: 1100 kg/m3 x 9.80665 m/s2 x 1 mm = 10.787 Pa; at 30 deg half of it.
    close(
        bead("1 mm", "90 deg", "1.1 g/mL").stress().unwrap().si(),
        10.787,
        1e-4,
        "wall",
    );
    close(
        bead("1 mm", "30 deg", "1.1 g/mL").stress().unwrap().si(),
        5.3937,
        1e-4,
        "slope",
    );
}

#[test]
fn published_exponent_of_a_silica_gel() {
    // Y. Wang et al., Nanoscale Res. Lett. 6, 114 (2011), abstract: yield stress goes with silica to the power 4.02;
    // twice the silica is then 2^4.02 = 16.22 times the yield stress.
    let law = YieldLawChoice::Through(YieldReading {
        silica: q("3 wt%"),
        yield_stress: q("20 Pa"),
    });
    let twice = Paste::of(q("6 wt%"), &law).unwrap();
    close(twice.yield_stress.si() / 20.0, 16.22, 1e-3, "doubling");
    assert!(twice.extrapolated.is_none());
    assert!(
        Paste::of(q("7 wt%"), &law)
            .unwrap()
            .extrapolated
            .unwrap()
            .contains("7 wt%")
    );
}

#[test]
fn the_trade_s_words_for_a_loading() {
    // Common practice, no source: ketchup at 2 to 3 wt%, mayonnaise at 4 to 6 wt%, peanut butter at 7 to 10 wt%.
    for (w, word) in [
        ("2 wt%", Consistency::Ketchup),
        ("3 wt%", Consistency::Ketchup),
        ("4 wt%", Consistency::Mayonnaise),
        ("6 wt%", Consistency::Mayonnaise),
        ("7 wt%", Consistency::PeanutButter),
        ("10 wt%", Consistency::PeanutButter),
        ("1 wt%", Consistency::Syrup),
    ] {
        assert_eq!(practice(w).consistency, word, "{w}");
    }
    let e = Paste::of(q("40 wt%"), &YieldLawChoice::CommonPractice).unwrap_err();
    assert_eq!(e.kind(), ErrorKind::OutOfRange, "{e}");
    let far = practice("15 wt%");
    assert!(
        far.extrapolated.unwrap().contains("outside"),
        "beyond range it says so"
    );
    assert!(far.why.to_string().contains("common practice, no source"));
}

#[test]
fn slump_of_a_tube() {
    // Independent computation (SciPy, tests/published/scripts/flow_light.py): the column's final height by quadrature of
    // the yielded elements, for the model of N. Pashias et al., J. Rheol. 40, 1179 (1996). tau_y/(rho g H) at s/H.
    for (s, t) in [(0.2, 0.219_251_57), (0.5, 0.093_341_15), (0.8, 0.025_035_62)] {
        let test = YieldTest::Slump {
            height: q("50 mm"),
            slump: Length::from_si(0.05 * s).unwrap(),
        };
        let paste = test.yield_stress(q("1.1 g/mL")).unwrap();
        close(
            paste.yield_stress.si(),
            t * 1100.0 * 9.806_65 * 0.05,
            1e-6,
            "slump",
        );
    }
}

#[test]
fn spread_of_a_known_volume() {
    // Independent computation (SciPy): a cake of h = sqrt(2 tau (R - r)/(rho g)), 60 Pa, 1100 kg/m3, R = 80 mm, holds
    // 319.895 mL. The model is that of N. Roussel, P. Coussot, J. Rheol. 49, 705 (2005).
    let test = YieldTest::Spread {
        volume: q("319.89504 mL"),
        diameter: q("160 mm"),
    };
    close(
        test.yield_stress(q("1.1 g/mL")).unwrap().yield_stress.si(),
        60.0,
        1e-6,
        "spread",
    );
    let heap = YieldTest::Spread {
        volume: q("300 mL"),
        diameter: q("80 mm"),
    };
    assert_eq!(
        heap.yield_stress(q("1.1 g/mL")).unwrap_err().kind(),
        ErrorKind::OutOfRange
    );
}

#[test]
fn a_fit_returns_the_law_it_was_made_from() {
    // Analytic: readings on a power law give that power law.
    let readings: Vec<_> = [0.02, 0.03, 0.05]
        .iter()
        .map(|w: &f64| YieldReading {
            silica: MassFraction::new(*w).unwrap(),
            yield_stress: Pressure::from_si(30.0 * (w / 0.03).powf(3.1)).unwrap(),
        })
        .collect();
    let law = YieldLaw::fit(&readings).unwrap();
    close(law.exponent, 3.1, 1e-9, "exponent");
    close(
        Paste::of(q("4 wt%"), &law.clone().into())
            .unwrap()
            .yield_stress
            .si(),
        30.0 * (4f64 / 3.0).powf(3.1),
        1e-9,
        "between",
    );
    assert!(law.why_says_measured());
    assert_eq!(
        YieldLaw::fit(&readings[..1]).unwrap_err().kind(),
        ErrorKind::Inconsistent
    );
}

trait Says {
    fn why_says_measured(&self) -> bool;
}
impl Says for YieldLaw {
    fn why_says_measured(&self) -> bool {
        self.source.to_string().contains("measured in this shop")
    }
}

#[test]
fn the_bead_that_just_stays() {
    // Analytic: a 6 mm bead of 1.15 g/mL on a wall needs 67.67 Pa; with the law 100 Pa at 5 wt%, n = ln 5/ln 2, that is
    // 5 wt% x 0.6767^(1/2.3219) = 4.226 wt%.
    let s = bead("6 mm", "90 deg", "1.15 g/mL").silica().unwrap();
    close(s.yield_stress.si(), 67.67, 1e-3, "yield stress");
    close(s.silica.get(), 0.04226, 1e-3, "silica");
    close(s.silica_on_resin.get(), 4.4125, 1e-3, "phr");
    close(
        silica_fraction(s.silica_on_resin).get(),
        s.silica.get(),
        1e-12,
        "phr and back",
    );
    assert!(s.silica_at_worst.unwrap().get() > s.silica.get());
    assert!(s.cautions[0].contains("dust"));
    // the careless bead: 2 wt% and 10 mm high
    let told = bead("10 mm", "90 deg", "1.12 g/mL").sag(q("2 wt%")).unwrap();
    assert!(!told.stays && told.margin.unwrap() < 1.0);
    close(
        told.highest.unwrap().si(),
        0.01 * told.margin.unwrap(),
        1e-12,
        "highest bead",
    );
    let e = bead("2 m", "90 deg", "1.15 g/mL").silica().unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::NoSolution, "height"), "{e}");
}

#[test]
fn equal_volumes_of_silica_and_resin() {
    // The common rule that about equal volumes of silica and resin stop flowing, with a bulk density of 37 to 48 g/L,
    // is 3.3 to 4.4 phr at 1.1 g/mL (worked out in the trade notes; common practice). Scooped volume of 4 phr at 44 g/L:
    // 100 g of resin are 90.9 mL, 4 g of silica 90.9 mL. Analytic.
    let w = silica_fraction(q("4 phr"));
    let seam = SeamPaste {
        seam: q("1.2 m"),
        bead: BeadSection::HalfRound { width: q("10 mm") },
        silica: w,
        resin_density: q("1.1 g/mL"),
        silica_bulk_density: q("44 kg/m^3"),
        spare: 0.0,
    };
    let b = seam.batch().unwrap();
    close(
        b.volume.si(),
        1.2 * std::f64::consts::PI / 8.0 * 1e-4,
        1e-12,
        "volume",
    );
    close(
        b.silica_scooped.si() / (b.resin.si() / 1100.0),
        1.0,
        1e-12,
        "equal volumes",
    );
    // volumes add: resin and true silica fill the bead
    close(
        b.resin.si() / 1100.0 + b.silica.si() / 2200.0,
        b.volume.si(),
        1e-12,
        "volumes add",
    );
    close(b.volume_gained.si(), b.silica.si() / 2200.0, 1e-12, "gained");
    close(
        b.resin_saved.si(),
        1100.0 * b.volume_gained.si(),
        1e-9,
        "resin saved",
    );
}
