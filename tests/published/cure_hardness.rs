//! A chart of gelling and of hardening in the cold: one law must give both columns.

use gelwright::cure::*;
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

const HOUR: f64 = 3600.0;

/// A two-part epoxy, thin on polyethylene sheet in an oven, read with a Shore durometer type D when back at 25 °C: °C, hours
/// to gel, to Shore D 65, to Shore D 75. A maker's cure chart, one page, read whole but its last line (scribd.com/document/
/// 708897795): 40, 60, 80 and 100 °F.
const CHART: [(f64, [f64; 3]); 4] = [
    (4.4, [3.0, 96.0, 120.0]),
    (15.6, [62.0 / 60.0, 20.0, 28.0]),
    (26.7, [0.5, 4.75, 5.5]),
    (37.8, [0.3, 2.0, 170.0 / 60.0]),
];

/// Glass transitions of mix and cured resin, and lambda: chosen within the catalogue's band of cold-curing epoxy, the fit
/// hangs little on them. Conversion at gel: an amine's, 50 to 60 % `[from memory]`.
const GLASS: (f64, f64, f64) = (-35.0, 60.0, 0.4);
const GELS_AT: f64 = 0.5;

/// What is fitted: ln of the two constants at 27 °C in 1/h, activation energy in kJ/mol, the glass transition at Shore D 65
/// and how much more at 75 in K, ln of how many kelvin slow it by e.
type Constants = [f64; 6];

fn law(x: &Constants) -> Kinetics {
    let k = |ln: f64| RateConstant::at(celsius(27.0), q(ln.exp() / HOUR), q(1e3 * x[2]));
    Kinetics {
        law: RateLaw::KamalSourour(KamalSourour {
            k1: k(x[0]),
            k2: k(x[1]),
            m: 1.0,
            n: 2.0,
        }),
        heat_of_reaction: q(400e3),
        seed: q(0.0),
        vitrification: Some(Vitrification {
            glass_transition: GlassTransition {
                uncured: celsius(GLASS.0),
                cured: celsius(GLASS.1),
                lambda: GLASS.2,
            },
            above: q(0.0),
            slows_over: Some(q(x[5].exp())),
            spread: None,
        }),
        fitted: None,
        source: Source::of(Standing::Published, "a maker's cure chart of a two-part epoxy"),
    }
}

/// Hours to gel, to Shore D 65 and 75.
fn forecast(x: &Constants, c: f64) -> Option<[f64; 3]> {
    let kinetics = law(x);
    let glass = kinetics.vitrification?.glass_transition;
    let room = Schedule::isothermal(celsius(c)).ok()?;
    let hours = |a: DegreeOfCure| Some(kinetics.time_to(a, &room).ok()?.time.si() / HOUR);
    let at = |tg: f64| hours(glass.conversion_at(celsius(tg)).ok()?);
    Some([hours(q(GELS_AT))?, at(x[3])?, at(x[3] + x[4])?])
}

/// Sum of the squared logarithms over some rows.
fn misfit(x: &Constants, rows: &[usize]) -> f64 {
    let inside = (30.0..80.0).contains(&x[2])
        && (10.0..55.0).contains(&x[3])
        && (0.1..5.0).contains(&x[4])
        && (0.4..2.7).contains(&x[5])
        && x[0].abs() < 7.0
        && x[1].abs() < 7.0;
    if !inside {
        return 1e6;
    }
    rows.iter()
        .map(|&i| {
            let (c, seen) = CHART[i];
            forecast(x, c).map_or(1e3, |f| {
                f.iter()
                    .zip(&seen)
                    .map(|(f, s)| (f / s).ln().powi(2))
                    .sum::<f64>()
            })
        })
        .sum()
}

/// The simplex of J. A. Nelder, R. Mead, Comput. J. 7:308 (1965), its plain form.
fn fitted(rows: &[usize]) -> Constants {
    let start: Constants = [0.4, -3.0, 47.0, 30.0, 2.0, 2.0];
    let steps = [0.4, 1.0, 5.0, 4.0, 0.7, 0.3];
    let mut simplex: Vec<(f64, Constants)> = (0..=6)
        .map(|i| {
            let mut x = start;
            if i > 0 {
                x[i - 1] += steps[i - 1];
            }
            (misfit(&x, rows), x)
        })
        .collect();
    for _ in 0..500 {
        simplex.sort_by(|a, b| a.0.total_cmp(&b.0));
        let worst = simplex[6];
        let middle: Constants =
            std::array::from_fn(|k| simplex[..6].iter().map(|p| p.1[k]).sum::<f64>() / 6.0);
        let along = |t: f64| {
            let x: Constants = std::array::from_fn(|k| middle[k] + t * (worst.1[k] - middle[k]));
            (misfit(&x, rows), x)
        };
        let reflected = along(-1.0);
        simplex[6] = if reflected.0 < simplex[0].0 {
            let farther = along(-2.0);
            if farther.0 < reflected.0 {
                farther
            } else {
                reflected
            }
        } else if reflected.0 < simplex[5].0 {
            reflected
        } else {
            let nearer = along(if reflected.0 < worst.0 { -0.5 } else { 0.5 });
            if nearer.0 < worst.0 {
                nearer
            } else {
                let best = simplex[0].1;
                for p in &mut simplex[1..] {
                    let x: Constants = std::array::from_fn(|k| 0.5 * (best[k] + p.1[k]));
                    *p = (misfit(&x, rows), x);
                }
                continue;
            }
        };
    }
    simplex.sort_by(|a, b| a.0.total_cmp(&b.0));
    simplex[0].1
}

/// Gel slows 6 times from 27 to 4 °C and Shore D 65 20 times; from 38 °C 10 and 48 times. The row at 60 °F, then that at 80 °F,
/// is left out of the fit and foretold. Tolerance: the chart's film is cured on a finger test every 2 min and its hours are
/// rounded; an independent fit (SciPy least squares, same law) foretells 1.16, 0.90, 0.83 and 1.15, 1.16, 1.26 times the
/// chart's times. 35 % is asked.
#[test]
fn one_law_gels_and_hardens_in_the_cold() {
    for (rows, held_back) in [([0, 2, 3], 1), ([0, 1, 3], 2)] {
        let x = fitted(&rows);
        let rms = (misfit(&x, &rows) / 9.0).sqrt();
        let (c, seen) = CHART[held_back];
        let told = forecast(&x, c).unwrap();
        println!("without {c} °C: {x:?}, rms {rms:.3}; foretold {told:.2?} h, chart {seen:.2?} h");
        assert!(rms < 0.15, "{rms}");
        for (t, s) in told.iter().zip(&seen) {
            assert!(
                (t / s).ln().abs() < 1.35f64.ln(),
                "{c} °C: {told:?} against {seen:?}"
            );
        }
        let [cold, mild] = [CHART[0].0, CHART[2].0].map(|c| forecast(&x, c).unwrap());
        let (gel, hard) = (cold[0] / mild[0], cold[1] / mild[1]);
        println!("27 to 4 °C: gel slows {gel:.1} times, Shore D 65 {hard:.1}");
        assert!(
            (3.5..7.5).contains(&gel) && (12.0..28.0).contains(&hard),
            "{gel} {hard}"
        );
        // One rate for both columns can not: without its glass transition the law slows both alike.
        let alike = law(&x);
        let free = Kinetics {
            vitrification: None,
            ..alike
        };
        let a65 = law(&x)
            .vitrification
            .unwrap()
            .glass_transition
            .conversion_at(celsius(x[3]))
            .unwrap();
        let slows = |a: DegreeOfCure| {
            let at = |c: f64| {
                free.time_to(a, &Schedule::isothermal(celsius(c)).unwrap())
                    .unwrap()
                    .time
                    .si()
            };
            at(CHART[0].0) / at(CHART[2].0)
        };
        assert!((slows(a65) / slows(q(GELS_AT)) - 1.0).abs() < 1e-6);
    }
}

/// Readings of the chart beside the glass transitions of the fit: straight between them, nothing outside, and no softer later.
#[test]
fn hardness_is_told_between_its_readings_alone() {
    let x: Constants = [1.79f64.ln(), -6.0, 46.4, 31.9, 2.0, 9.8f64.ln()];
    let k = law(&x);
    let reading = |tg: f64, reading: f64| HardnessReading {
        glass_transition: celsius(tg),
        reading,
    };
    let scale = HardnessScale {
        instrument: HardnessInstrument::ShoreD,
        readings: vec![reading(31.9, 65.0), reading(33.9, 75.0)],
        source: Source::of(Standing::Published, "a maker's cure chart of a two-part epoxy"),
    };
    let room = Schedule::isothermal(celsius(26.7)).unwrap();
    let r = k
        .readiness(&room, q(6.5 * HOUR), 131, None, None, Some(&scale))
        .unwrap();
    let shore = r.hardness.unwrap();
    let first = shore.iter().position(Option::is_some).unwrap();
    let hours = r.time_s[first] / HOUR;
    assert!((4.0..5.5).contains(&hours), "{hours}");
    assert!(shore[0].is_none() && shore[first].unwrap() >= 65.0);
    let told: Vec<f64> = shore.iter().flatten().copied().collect();
    assert!(told.windows(2).all(|p| p[1] >= p[0]) && told.iter().all(|s| (65.0..=75.0).contains(s)));
    // A reading is no surer than the glass transition beside it.
    assert!(r.hardness_low.unwrap()[first].is_none());
    assert!(r.vitrifies.is_some_and(|t| t.si() / HOUR < hours));
    assert!(to_celsius(q(r.glass_transition_k[first])) >= 31.9);
}
