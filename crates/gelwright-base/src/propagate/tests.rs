//! Against the worked examples of JCGM 101:2008, and Ishigami's function.

use super::*;
use crate::quantity::spread::Distribution::{self, Between, LogNormal, Normal, Within};
use crate::quantity::{Index, Mass, MassDensity, Quantity, RelativeHumidity};
use crate::{ErrorKind, Result};

fn input(value: f64, distribution: Distribution) -> Input {
    Input::new(value, distribution, Index::MEASURE).unwrap()
}

fn fine() -> Sampling {
    Sampling {
        scramblings: 16,
        points: 4096,
        digits: 2,
        ..Sampling::default()
    }
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} is not {expected} within {within}"
    );
}

fn sum(inputs: &[Input], sampling: Sampling) -> Propagated {
    propagate(inputs, sampling, Cancel::NEVER, |x| Ok(x.iter().sum())).unwrap()
}

/// JCGM 101:2008, 9.2.2 to 9.2.4 (from memory): four inputs of which each has u = 1, then one u = 10. Published: normal, u
/// 2.00, ±3.92; rectangular, u 2.00, ±3.88; one of ten times the width, u 10.1, ±17.0 where the first order says ±19.9.
/// Half a unit of the last digit printed, of the ends four of the answer's own standard errors more.
#[test]
fn the_additive_model_of_jcgm_101() {
    let root_3 = 3f64.sqrt();
    let one = input(0.0, Within(root_3));
    for (inputs, u, end, first) in [
        (vec![input(0.0, Normal(1.0)); 4], 2.0, 3.92, 3.92),
        (vec![one; 4], 2.0, 3.88, 3.92),
        (
            vec![one, one, one, input(0.0, Between(-10.0 * root_3, 10.0 * root_3))],
            10.1,
            17.0,
            19.9,
        ),
    ] {
        let found = sum(&inputs, fine());
        let sampled = found.sampled.unwrap();
        let digit = if u > 5.0 { 0.05 } else { 0.005 };
        assert_eq!(found.value, 0.0);
        near(sampled.mean.value, 0.0, digit);
        near(sampled.standard_uncertainty.value, u, digit);
        for (found, end) in [(sampled.low, -end), (sampled.high, end)] {
            near(found.value, end, digit + 4.0 * found.standard_error);
            assert!(found.standard_error < 0.02, "{found:?}");
        }
        near(found.first_order.standard_uncertainty, u, 2.0 * digit);
        near(found.first_order.high, first, digit);
        assert!(sampled.settled, "{sampled:?}");
        let straight = if u > 5.0 {
            Straightness::Bent
        } else {
            Straightness::Straight
        };
        assert_eq!(found.straightness, straight);
        assert!(sampled.shortest[1] - sampled.shortest[0] <= 2.0 * (end + digit));
    }
    let wide = sum(&[one, one, one, input(0.0, Within(10.0 * root_3))], fine());
    assert_eq!((wide.shares[0].input, wide.made_by(0.9)), (3, vec![3]));
}

/// JCGM 101:2008, 9.3, tables 5 and 6 (from memory): δm = (m_Rc + δm_Rc)(1 + (ρ_a - ρ_a0)(1/ρ_W - 1/ρ_R)) - m_nom. Published
/// in mg: first order 1.2340, u 0.0539, 1.1285 to 1.3395; sampled 1.2341, u 0.0754, 1.0834 to 1.3825 (shortest interval).
/// Tolerance: one unit of the last digit printed, four for the ends, which the document has from 10^6 random samples.
#[test]
fn the_mass_calibration_of_jcgm_101() {
    let mass = |mg: f64, u: f64| Input::new(mg * 1e-6, Normal(u * 1e-6), Mass::MEASURE).unwrap();
    let density = |low: f64, high: f64| {
        Input::new(0.5 * (low + high), Between(low, high), MassDensity::MEASURE).unwrap()
    };
    let inputs = [
        mass(100_000.0, 0.050),
        mass(1.234, 0.020),
        density(1.1, 1.3),
        density(7000.0, 9000.0),
        density(7950.0, 8050.0),
    ];
    let sampling = Sampling {
        indices: true,
        ..fine()
    };
    let found = propagate(&inputs, sampling, Cancel::NEVER, |x| {
        Ok((x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 0.1)
    })
    .unwrap();
    let mg = |kg: f64| kg * 1e6;
    near(mg(found.value), 1.234, 1e-4);
    near(mg(found.first_order.standard_uncertainty), 0.0539, 1e-4);
    near(mg(found.first_order.low), 1.1285, 1.5e-4);
    near(mg(found.first_order.high), 1.3395, 1.5e-4);
    let sampled = found.sampled.unwrap();
    near(mg(sampled.mean.value), 1.2341, 2e-4);
    near(mg(sampled.standard_uncertainty.value), 0.0754, 1e-4);
    near(
        mg(sampled.shortest[1] - sampled.shortest[0]),
        1.3825 - 1.0834,
        8e-4,
    );
    near(mg(sampled.low.value), 1.0834, 1.5e-3);
    near(mg(sampled.high.value), 1.3825, 1.5e-3);
    assert_eq!(found.straightness, Straightness::Bent);
    // the densities of air and weight act only together: no slope in either, and half of the variance
    let share = |i: usize| found.shares.iter().find(|s| s.input == i).unwrap();
    assert!(share(2).flat && share(3).flat && !share(0).flat);
    assert!(share(2).total.unwrap().value > 0.4 && share(2).first_order < 1e-9);
    let mut makers = found.made_by(0.9);
    makers.sort_unstable();
    assert_eq!(makers, [0, 2, 3]);
}

/// JCGM 101:2008, 9.4.2, table 8 (from memory): δY = x1² + x2², each with u = 0.005, x2 = 0. Published, in 10^-6: x1 = 0,
/// first order 0, u 0; sampled 50, u 50, 0 to 150. x1 = 0.010: 150, u 112, 0 to 367. x1 = 0.050: 2551, u 502. Analytic, to
/// which the tolerance holds: mean x1² + 2u², variance 4u⁴ + 4u²x1²; the shortest interval at x1 = 0 ends at
/// -2u² ln 0.05.
#[test]
fn the_comparison_loss_of_jcgm_101() {
    const U: f64 = 0.005;
    for (x1, end) in [(0.0, Some(149.8e-6)), (0.010, Some(367e-6)), (0.050, None)] {
        let inputs = [input(x1, Normal(U)), input(0.0, Normal(U))];
        let found = propagate(&inputs, fine(), Cancel::NEVER, |x| Ok(x[0] * x[0] + x[1] * x[1])).unwrap();
        let sampled = found.sampled.unwrap();
        let (mean, u) = (
            x1 * x1 + 2.0 * U * U,
            (4.0 * U.powi(4) + 4.0 * U * U * x1 * x1).sqrt(),
        );
        near(sampled.mean.value, mean, 0.002 * u);
        near(sampled.standard_uncertainty.value, u, 0.005 * u);
        near(found.first_order.standard_uncertainty, 2.0 * x1 * U, 1e-12);
        if let Some(end) = end {
            near(sampled.shortest[0], 0.0, 0.01 * u);
            near(sampled.shortest[1], end, 0.02 * u);
            assert_ne!(found.straightness, Straightness::Straight);
        }
        assert_eq!(found.straightness == Straightness::Flat, x1 == 0.0);
        assert!(found.shares.iter().any(|s| s.input == 1 && s.flat));
    }
}

/// The first order says zero at an extremum, and where two inputs only act together: both are told.
#[test]
fn a_first_order_zero_is_told() {
    let at_zero = input(0.0, Normal(1.0));
    let squared = |s| propagate(&[at_zero], s, Cancel::NEVER, |x| Ok(x[0] * x[0])).unwrap();
    // without samples, too
    for sampling in [Sampling::none(), Sampling::default()] {
        let found = squared(sampling);
        assert_eq!(
            (found.straightness, found.shares[0].flat),
            (Straightness::Flat, true)
        );
        assert!(!found.straightness.first_order_is_enough());
    }
    let product = propagate(&[at_zero, at_zero], Sampling::default(), Cancel::NEVER, |x| {
        Ok(x[0] * x[1])
    })
    .unwrap();
    assert_eq!(product.straightness, Straightness::Flat);
    let line = propagate(&[at_zero], Sampling::none(), Cancel::NEVER, |x| Ok(3.0 * x[0])).unwrap();
    assert_eq!(line.straightness, Straightness::SeemsStraight);
    near(line.first_order.standard_uncertainty, 3.0, 1e-12);
    let bent = propagate(&[at_zero], Sampling::none(), Cancel::NEVER, |x| Ok(x[0].exp())).unwrap();
    assert_eq!(bent.straightness, Straightness::Bent);
}

/// Analytic: sin x1 + a sin² x2 + b x3⁴ sin x1 with a = 7, b = 0.1, each of -π to π: T. Ishigami, T. Homma, An importance
/// quantification technique in uncertainty analysis for computer models, ISUMA '90 (1990) 398-403. Mean a/2 = 3.5, variance
/// 13.8446, indices of first order 0.31391, 0.44241, 0, total 0.55759, 0.44241, 0.24368.
#[test]
fn the_indices_of_ishigami() {
    let all = [input(0.0, Within(std::f64::consts::PI)); 3];
    let sampling = Sampling {
        indices: true,
        points: 2048,
        ..Sampling::default()
    };
    let found = propagate(&all, sampling, Cancel::NEVER, |x| {
        Ok(x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin())
    })
    .unwrap();
    let sampled = found.sampled.unwrap();
    near(sampled.mean.value, 3.5, 0.005);
    let u = sampled.standard_uncertainty;
    near(u.value, 13.844_588f64.sqrt(), 4.0 * u.standard_error);
    assert!(u.standard_error < 0.01, "{u:?}");
    for share in &found.shares {
        let (alone, total) = [(0.313_905, 0.557_589), (0.442_411, 0.442_411), (0.0, 0.243_684)][share.input];
        for (found, expected) in [(share.alone.unwrap(), alone), (share.total.unwrap(), total)] {
            near(found.value, expected, 0.005);
            // the answer's own estimate of its error: five of them
            near(found.value, expected, 5.0 * found.standard_error);
        }
    }
    assert_eq!(
        found.shares.iter().map(|s| s.input).collect::<Vec<_>>(),
        [0, 1, 2]
    );
    // the third has no slope and no share alone
    assert!(found.shares[2].flat && found.shares[2].first_order < 1e-12);
}

/// The stated standard error is one: over 40 seeds about a twentieth of the means lie beyond two of them (of 7 degrees of
/// freedom: 8.6 %), and none beyond eight.
#[test]
fn the_stated_error_is_honest() {
    let inputs = [
        input(2.0, LogNormal(0.3)),
        input(1.0, Within(0.5)),
        input(0.0, Normal(0.2)),
    ];
    // E = E[x] E[1/(1 + y²)] + 0, with E[1/(1 + y²)] = atan(1.5) - atan(0.5)
    let exact = 2.0 * (1.5f64.atan() - 0.5f64.atan());
    let off: Vec<f64> = (0..40)
        .map(|seed| {
            let sampling = Sampling {
                seed,
                points: 256,
                ..Sampling::default()
            };
            let found = propagate(&inputs, sampling, Cancel::NEVER, |x| {
                Ok(x[0] / (1.0 + x[1] * x[1]) + x[2])
            })
            .unwrap();
            let mean = found.sampled.unwrap().mean;
            (mean.value - exact).abs() / mean.standard_error
        })
        .collect();
    assert!(off.iter().all(|x| *x < 8.0), "{off:?}");
    assert!(off.iter().filter(|x| **x > 2.0).count() <= 10, "{off:?}");
}

#[test]
fn the_same_bits_in_any_order_and_on_any_number_of_threads() {
    let inputs = [
        input(1.0, Within(0.5)),
        input(3.0, Distribution::Exact),
        input(2.0, LogNormal(0.1)),
    ];
    let sampling = Sampling {
        indices: true,
        points: 128,
        ..Sampling::default()
    };
    let model = |x: &[f64]| x[0] * x[1] / x[2];
    let alone = propagate(&inputs, sampling, Cancel::NEVER, |x| Ok(model(x))).unwrap();
    let design = Design::new(&inputs, sampling).unwrap();
    let mut results = vec![0.0; design.runs()];
    for threads in [2, 3, 7] {
        let each = results.len().div_ceil(threads);
        std::thread::scope(|scope| {
            for (part, results) in results.chunks_mut(each).enumerate() {
                let design = &design;
                scope.spawn(move || {
                    let mut x = [0.0; 3];
                    for (i, y) in results.iter_mut().enumerate().rev() {
                        design.run(part * each + i, &mut x);
                        *y = model(&x);
                    }
                });
            }
        });
        assert_eq!(design.read(&results).unwrap(), alone);
    }
    assert_eq!(alone.shares.len(), 2, "what is exact has no share");
}

#[test]
fn an_input_stays_within_its_bounds() {
    let humid = Input::new(0.99, Normal(0.05), RelativeHumidity::MEASURE).unwrap();
    let found = propagate(&[humid], Sampling::default(), Cancel::NEVER, |x| {
        assert!((0.0..=1.0).contains(&x[0]));
        Ok(x[0])
    })
    .unwrap();
    let (mean, u) = humid.mean_and_deviation();
    let sampled = found.sampled.unwrap();
    near(sampled.mean.value, mean, 1e-5);
    near(sampled.standard_uncertainty.value, u, 1e-4);
    near(found.first_order.standard_uncertainty, u, 1e-12);
}

#[test]
fn what_can_not_be_is_refused() {
    let x = [input(0.0, Normal(1.0))];
    let run = |s: Sampling, f: fn(f64) -> Result<f64>| propagate(&x, s, Cancel::NEVER, |x| f(x[0]));
    let default = Sampling::default();
    for (sampling, field) in [
        (
            Sampling {
                points: 100,
                ..default
            },
            "points",
        ),
        (
            Sampling {
                points: 32,
                ..default
            },
            "points",
        ),
        (
            Sampling {
                points: 1 << 31,
                ..default
            },
            "points",
        ),
        (
            Sampling {
                scramblings: 1,
                ..default
            },
            "scramblings",
        ),
        (Sampling { digits: 3, ..default }, "digits"),
    ] {
        let e = run(sampling, Ok).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, field));
    }
    let e = run(default, |x| Ok(x.ln())).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::NotFinite, "model"));
    let wrong = Input {
        value: 2.0,
        distribution: Within(1.0),
        of: RelativeHumidity::MEASURE,
    };
    let e = propagate(&[x[0], wrong], default, Cancel::NEVER, |_| Ok(0.0)).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "inputs[1]"));
    let e = propagate(&x, default, Cancel::when(&|| true), |_| Ok(0.0)).unwrap_err();
    assert_eq!(e.kind(), ErrorKind::Cancelled);
    // a spread that is lost in the rounding of its value
    let lost = propagate(&[input(1e20, Normal(1.0))], default, Cancel::NEVER, |x| Ok(x[0])).unwrap();
    assert_eq!(
        (lost.first_order.standard_uncertainty, lost.straightness),
        (0.0, Straightness::Straight)
    );
    // nothing uncertain: all is known
    let known = propagate(&[], default, Cancel::NEVER, |_| Ok(7.0)).unwrap();
    assert_eq!((known.value, known.straightness), (7.0, Straightness::Straight));
    assert!(known.shares.is_empty() && known.sampled.unwrap().settled);
}
