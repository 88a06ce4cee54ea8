//! Propagation of uncertainty against the worked examples of the GUM, and what a bench can do.

use gelwright::mix::batch::MeasuredBy;
use gelwright::mix::bench::{DropperCalibration, Syringe, Thermometer};
use gelwright::mix::dosing::Dosing;
use gelwright::mix::measurement::{effective_degrees_of_freedom, of_limits, of_step};
use gelwright::mix::rescue::{CureBy, Left, MixedCup, Outcome, largest_batch};
use gelwright::mix::{Bench, Dropper};
use gelwright::propagate::{FirstOrder, Sampling, propagate};
use gelwright::quantity::spread::{Distribution, Input};
use gelwright::quantity::{self, *};
use gelwright::{Cancel, ErrorKind};

fn q<Q: Quantity>(text: &str) -> Q {
    quantity::parse("x", text).unwrap()
}

fn normal(value: f64, u: f64) -> Input {
    Input::new(value, Distribution::Normal(u), Index::MEASURE).unwrap()
}

fn first_order(inputs: &[Input], model: impl Fn(&[f64]) -> f64) -> (f64, FirstOrder) {
    let found = propagate(inputs, Sampling::none(), Cancel::NEVER, |x| Ok(model(x))).unwrap();
    (found.value, found.first_order)
}

const V: [f64; 5] = [5.007, 4.994, 5.005, 4.990, 4.999];
const I: [f64; 5] = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
const PHI: [f64; 5] = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];

fn mean(x: &[f64]) -> f64 {
    x.iter().sum::<f64>() / x.len() as f64
}

fn covariance_of_means(x: &[f64], y: &[f64]) -> f64 {
    let n = x.len() as f64;
    let (mx, my) = (mean(x), mean(y));
    x.iter().zip(y).map(|(a, b)| (a - mx) * (b - my)).sum::<f64>() / (n * (n - 1.0))
}

/// JCGM 100:2008, annex H.2: simultaneous resistance and reactance from five readings of voltage, current and phase, with
/// their correlations. Printed: R = 127.732 (u 0.071), X = 219.847 (u 0.295), Z = 254.260 (u 0.236) ohm. Tolerance: the last
/// printed figure (u(X) prints 0.295 for 0.2956).
#[test]
fn gum_h2_correlated_inputs() {
    let columns = [&V[..], &I[..], &PHI[..]];
    let r: Vec<Vec<f64>> = columns
        .iter()
        .map(|a| {
            columns
                .iter()
                .map(|b| {
                    covariance_of_means(a, b) / (covariance_of_means(a, a) * covariance_of_means(b, b)).sqrt()
                })
                .map(|x: f64| x.clamp(-1.0, 1.0))
                .collect()
        })
        .collect();
    // Table H.3 of the example: r(V,I) -0.36, r(V,phi) 0.86, r(I,phi) -0.65
    assert!(
        (r[0][1] + 0.36).abs() < 0.006 && (r[0][2] - 0.86).abs() < 0.006 && (r[1][2] + 0.65).abs() < 0.006
    );
    type Model = fn(&[f64]) -> f64;
    let models: [(Model, f64, f64); 3] = [
        (|x| x[0] / x[1] * x[2].cos(), 127.732, 0.071),
        (|x| x[0] / x[1] * x[2].sin(), 219.847, 0.295),
        (|x| x[0] / x[1], 254.260, 0.236),
    ];
    // Correlated inputs are sums of independent ones: the triangular root of the correlation matrix, row by row.
    let l10 = r[1][0];
    let l11 = (1.0 - l10 * l10).sqrt();
    let l20 = r[2][0];
    let l21 = (r[2][1] - l20 * l10) / l11;
    let l22 = (1.0 - l20 * l20 - l21 * l21).sqrt();
    let root = [[1.0, 0.0, 0.0], [l10, l11, 0.0], [l20, l21, l22]];
    let u_of = |i: usize| covariance_of_means(columns[i], columns[i]).sqrt();
    let independent = [normal(0.0, 1.0); 3];
    let at = |z: &[f64]| {
        [0, 1, 2].map(|i| mean(columns[i]) + u_of(i) * (0..3).map(|j| root[i][j] * z[j]).sum::<f64>())
    };
    for (model, value, u) in models {
        let (found, y) = first_order(&independent, |z| model(&at(z)));
        assert!((found - value).abs() < 5.1e-4, "{found} against {value}");
        assert!(
            (y.standard_uncertainty - u).abs() < 7e-4,
            "{} against {u}",
            y.standard_uncertainty
        );
    }
    // Leaving the correlation out is a real mistake: u(R) is then 2.7 times too large.
    let apart: Vec<Input> = (0..3).map(|i| normal(mean(columns[i]), u_of(i))).collect();
    let (_, without) = first_order(&apart, models[0].0);
    assert!((without.standard_uncertainty - 0.195).abs() < 2e-3);
}

/// JCGM 100:2008, annex H.1, end-gauge calibration: contributions in nm with their degrees of freedom; combined 32 nm,
/// effective degrees of freedom 16.7 (rounded contributions as printed give 16.8).
#[test]
fn gum_h1_combined_uncertainty_and_degrees_of_freedom() {
    let parts = [
        (25.0, 18.0),
        (5.8, 24.0),
        (3.9, 5.0),
        (6.7, 8.0),
        (2.9, 50.0),
        (16.6, 2.0),
    ];
    let inputs: Vec<Input> = parts.iter().map(|(u, _)| normal(0.0, *u)).collect();
    let (_, y) = first_order(&inputs, |x| x.iter().sum());
    assert_eq!(y.standard_uncertainty.round(), 32.0);
    let nu = effective_degrees_of_freedom(&parts).unwrap();
    assert!((nu - 16.7).abs() < 0.15, "{nu}");
}

/// JCGM 100:2008, 4.3.7 and F.2.2.1: a rectangular distribution of half-width a has u = a/sqrt(3); an indication rounded to
/// steps of dx has u = 0.29 dx.
#[test]
fn rectangular_distributions() {
    assert!((of_limits(1.0) - 0.577_350_269).abs() < 1e-9);
    assert!((of_step(1.0) - 0.29).abs() < 5e-3);
    let t = Thermometer {
        readability: q("1 K"),
        error: q("1 K"),
    };
    assert!((t.uncertainty().si() - (1.0_f64 / 12.0 + 1.0 / 3.0).sqrt()).abs() < 1e-12);
}

fn bench(readability: &str) -> Bench {
    Bench::with_scale(q(readability))
}

/// Where the two agree and where they do not: weighing is nearly straight, so sampling gives the first-order answer; an
/// uncalibrated dropper is not, and its sampled interval is lopsided.
#[test]
fn sampling_meets_first_order_where_the_model_is_straight() {
    let mut b = bench("0.1 g");
    b.dropper = Some(Dropper::uncalibrated());
    let dosing = Dosing {
        dose: q("2 phr"),
        dose_density: q("1.15 g/mL"),
        density_uncertainty: q("1 %"),
        bench: b,
    };
    let resin = q("500 g");
    let sampled = |by| {
        dosing
            .sampled(resin, by, Sampling::default(), Cancel::NEVER)
            .unwrap()
    };
    let first = dosing.dosed(resin, MeasuredBy::Scale).unwrap().dose;
    let s = sampled(MeasuredBy::Scale);
    let u = first.standard_uncertainty.get();
    assert!((s.mean.value - first.value.get()).abs() < 5.0 * s.mean.standard_error + 1e-3 * u);
    assert!((s.standard_uncertainty.value / u - 1.0).abs() < 0.01, "{s:?}");
    let first = dosing.dosed(resin, MeasuredBy::Dropper).unwrap().dose.value.get();
    let drops = sampled(MeasuredBy::Dropper);
    let (below, above) = (first - drops.low.value, drops.high.value - first);
    assert!(above > 1.5 * below, "lopsided: {drops:?}");
}

/// Analytic: a scale of 0.1 g reads a net mass with u = 0.1 sqrt(2/12) = 0.0408 g, so 2 phr within 10 % at 95 % needs
/// 1.96 x 0.0408 sqrt(1/0.02^2 + 1)/0.10 = 40 g of resin; a 1 g scale ten times that.
#[test]
fn smallest_batch_of_a_scale() {
    for (step, grams) in [("0.1 g", 40.0), ("1 g", 400.0)] {
        let b = bench(step);
        let dosing = Dosing {
            dose: q("2 phr"),
            dose_density: q("1.15 g/mL"),
            density_uncertainty: q("1 %"),
            bench: b,
        };
        let ways = dosing.smallest_batch(q("10 %")).unwrap().ways;
        let m = ways[0].resin.unwrap().si() * 1e3;
        let exact =
            grams / 0.1 * 1.959_964 * (2.0_f64 / 12.0).sqrt() / 40.0 * (2500.0_f64 + 1.0).sqrt() * 0.1;
        assert!((m - exact).abs() < 1e-3 * exact, "{m} against {exact}");
        assert!((m / grams - 1.0).abs() < 0.01, "{m} against {grams}");
        // The answer is the edge: the dose there comes out within 10 %, and 2 % below it does not.
        let within = |f: f64| {
            dosing
                .dosed(Mass::from_si(f * m * 1e-3).unwrap(), MeasuredBy::Scale)
                .unwrap()
                .within
                .get()
        };
        assert!(within(1.0) <= 0.1 * (1.0 + 1e-4) && within(0.98) > 0.1);
    }
}

/// A 1 g scale can not weigh 1 % of a 50 g cup (0.5 g): the answer says what to use instead. With a calibrated dropper (100
/// drops weighed on a 0.1 g scale) a cup of 50 g is dosed within 20 %; with one that nobody calibrated no batch is.
#[test]
fn count_drops_use_a_syringe_or_weigh() {
    let mut b = bench("1 g");
    let dose = |b: &Bench| {
        let dosing = Dosing {
            dose: q("1 phr"),
            dose_density: q("1.15 g/mL"),
            density_uncertainty: q("1 %"),
            bench: b.clone(),
        };
        dosing
            .uncertainty(q("50 g"), None, Cancel::NEVER)
            .unwrap()
            .ways
            .iter()
            .map(|d| (d.by, d.within.get()))
            .collect::<Vec<_>>()
    };
    let weighed = dose(&b);
    assert!(weighed[0].1 > 1.0, "{weighed:?}");
    b.dropper = Some(Dropper::uncalibrated());
    let uncalibrated = dose(&b);
    assert_eq!(uncalibrated[0].0, MeasuredBy::Dropper);
    assert!(uncalibrated[0].1 > 0.5, "{uncalibrated:?}");
    let guess = Dosing {
        dose: q("1 phr"),
        dose_density: q("1.15 g/mL"),
        density_uncertainty: q("1 %"),
        bench: b.clone(),
    };
    assert!(
        guess
            .smallest_batch(q("20 %"))
            .unwrap()
            .ways
            .iter()
            .any(|w| w.by == MeasuredBy::Dropper && w.resin.is_none())
    );
    b.dropper = Some(
        DropperCalibration {
            drops: 100,
            mass: q("3.3 g"),
            density: q("1.15 g/mL"),
            readability: q("0.1 g"),
            drop_spread: q("10 %"),
        }
        .dropper()
        .unwrap()
        .dropper,
    );
    let calibrated = dose(&b);
    assert_eq!(calibrated[0].0, MeasuredBy::Dropper);
    assert!(calibrated[0].1 < 0.20, "{calibrated:?}");
    b.syringe = Some(Syringe {
        graduation: q("0.01 mL"),
        tolerance: None,
    });
    let drawn = dose(&b);
    assert_eq!(drawn[0].0, MeasuredBy::Syringe, "{drawn:?}");
}

/// A pharmacy school's solved problem: 35 drops fill 2 mL: 17.5 drops to a millilitre. (Water, 1 g/mL.)
#[test]
fn dropper_calibration() {
    let dropper = |drops: u32, mass: &str| {
        DropperCalibration {
            drops,
            mass: q(mass),
            density: q("1 g/mL"),
            readability: q("0.1 g"),
            drop_spread: q("10 %"),
        }
        .dropper()
        .map(|made| made.dropper)
    };
    let d = dropper(35, "2 g").unwrap();
    assert!((d.drops_for(q("1 mL")).unwrap() - 17.5).abs() < 1e-12);
    assert!(d.is_calibrated());
    let e = dropper(0, "2 g").unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "drops"), "{e}");
    assert!(dropper(35, "0 g").is_err());
    // one drop of 2 mL is no drop
    assert_eq!(dropper(1, "2 g").unwrap_err().field(), "drop_volume");
}

/// Analytic: 800 g of resin, 12 g of peroxide at 2 phr and 30 g of paste at 5 phr: peroxide and paste both reach for 600 g of
/// resin; the mix is 600 x 1.07 = 642 g.
#[test]
fn the_limiting_part_sets_the_batch() {
    let left = |name: &str, m: &str, p: &str| Left {
        name: name.into(),
        left: q(m),
        on_resin: q(p),
    };
    let b = largest_batch(&[
        left("resin", "800 g", "100 phr"),
        left("peroxide", "12 g", "2 phr"),
        left("paste", "40 g", "5 phr"),
    ])
    .unwrap();
    assert_eq!(b.limited_by, "peroxide");
    assert!((b.mass.si() - 0.642).abs() < 1e-12);
    assert!((b.parts[0].stays.si() - 0.2).abs() < 1e-12 && b.parts[1].stays.si() < 1e-12);
    assert!(largest_batch(&[left("resin", "800 g", "0 phr")]).is_err());
    assert_eq!(
        largest_batch(&[Left {
            name: "resin".into(),
            left: Mass::from_si(-1.0).unwrap(),
            on_resin: q("100 phr"),
        }])
        .unwrap_err()
        .field(),
        "parts[0].left"
    );
}

fn cup(added: &str) -> MixedCup {
    MixedCup {
        cures_by: CureBy::Peroxide,
        resin: q("300 g"),
        added: q(added),
        wanted: q("2 phr"),
        lowest: q("1 phr"),
        highest: q("2.5 phr"),
        resin_to_spare: None,
        hardener_to_spare: None,
        since_mixing: None,
        working_time: None,
    }
}

/// Analytic, from the mass balance. Window: a trade magazine's advice (2017), 1.0 to 2.5 % of peroxide.
#[test]
fn a_cup_that_got_the_wrong_amount() {
    let fine = cup("6 g").rescue().unwrap();
    assert_eq!(fine.outcome, Outcome::Fine);
    // 1.5 g on 300 g: 0.5 phr; 6 - 1.5 = 4.5 g more
    let little = cup("1.5 g").rescue().unwrap();
    assert_eq!(little.outcome, Outcome::Add);
    assert!(
        (little.add_hardener.si() - 4.5e-3).abs() < 1e-12 && (little.dose_after.get() - 2.0).abs() < 1e-9
    );
    // 15 g on 300 g: 5 phr; 15/0.02 - 300 = 450 g of resin
    let much = cup("15 g").rescue().unwrap();
    assert_eq!(much.outcome, Outcome::Add);
    assert!((much.add_resin.si() - 0.45).abs() < 1e-12 && (much.dose_after.get() - 2.0).abs() < 1e-9);
    // 320 g to spare: 15/620 = 2.42 phr, inside the window though not the wanted dose
    let scarce = MixedCup {
        resin_to_spare: Some(q("320 g")),
        ..cup("15 g")
    }
    .rescue()
    .unwrap();
    assert_eq!(scarce.outcome, Outcome::Add);
    assert!((scarce.dose_after.get() - 100.0 * 15.0 / 620.0).abs() < 1e-9);
    // 100 g to spare leaves 3.75 phr
    let lost = MixedCup {
        resin_to_spare: Some(q("100 g")),
        ..cup("15 g")
    }
    .rescue()
    .unwrap();
    assert_eq!(lost.outcome, Outcome::Lost);
    assert!(lost.says.contains("300 g of resin is needed"), "{}", lost.says);
    let late = MixedCup {
        since_mixing: Some(q("15 min")),
        working_time: Some(q("20 min")),
        ..cup("1.5 g")
    }
    .rescue()
    .unwrap();
    assert_eq!(late.outcome, Outcome::Lost);
    assert!(!late.cautions.is_empty());
    let bad = MixedCup {
        wanted: q("4 phr"),
        ..cup("6 g")
    };
    assert_eq!(bad.rescue().unwrap_err().field(), "wanted");
    // Half of what tells a late cup tells nothing.
    let alone = MixedCup {
        since_mixing: Some(q("15 min")),
        ..cup("1.5 g")
    };
    let e = alone.rescue().unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::Inconsistent, "since_mixing"),
        "{e}"
    );
}
