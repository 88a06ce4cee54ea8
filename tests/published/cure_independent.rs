//! Cure against an independent code: the rate laws written again in Python, integrated by SciPy (see
//! `cure_independent.py`; Radau, rtol 1e-11). Independent computation, not publications; the parameter sets are
//! chosen for the test unless a source stands beside them.
//!
//! Tolerances: 2e-6 in conversion is ten times the integrator's own tolerance accumulated over a run; a cup's peak
//! within 0.02 K and 0.5 s (its peak lies between steps).

use gelwright::Cancel;
use gelwright::cure::*;
use gelwright::heat::{Course, Cup, Cure, Place, Resolve, Thermal};
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

fn rate(factor: f64, energy: f64, at: Option<f64>) -> RateConstant {
    RateConstant {
        factor: q(factor),
        activation_energy: q(energy),
        at: at.map(celsius),
    }
}

fn kinetics(law: RateLaw, heat: f64, seed: f64) -> Kinetics {
    Kinetics {
        law,
        heat_of_reaction: q(heat),
        seed: q(seed),
        vitrification: None,
        fitted: None,
        source: Source::of(Standing::Invented, "chosen for this test"),
    }
}

fn schedule(points: &[(f64, f64)]) -> Schedule {
    Schedule::new(
        points
            .iter()
            .map(|(t, c)| SchedulePoint {
                time: q(*t),
                temperature: celsius(*c),
            })
            .collect(),
    )
    .unwrap()
}

fn conversions(k: &Kinetics, s: &Schedule, times: &[f64]) -> Vec<f64> {
    times
        .iter()
        .map(|t| *k.cure(s, q(*t), 2).unwrap().conversion.last().unwrap())
        .collect()
}

fn agree(got: &[f64], expected: &[f64], tolerance: f64, what: &str) {
    for (g, e) in got.iter().zip(expected) {
        assert!((g - e).abs() <= tolerance, "{what}: {got:?} against {expected:?}");
    }
}

/// 100 g in a cup as tall as wide, one temperature, 8 W/(m² K) over all its surface.
fn cup(k: &Kinetics, place: Place) -> Cup {
    let d = (4.0f64 * 0.1 / 1100.0 / std::f64::consts::PI).cbrt();
    let thermal = Thermal::new(q(1100.0), q(1900.0), q(0.2));
    let cure = Cure::new(k.clone(), q(0.05));
    let mut cup = Cup::new(q(0.1), q(d), thermal, cure, celsius(25.0), place, q(2e5));
    cup.resolve = Resolve::Lumped;
    cup
}

/// Peak in °C, and when.
fn peak(k: &Kinetics) -> (f64, f64) {
    let place = Place::Coefficient {
        coefficient: q(8.0),
        surroundings: Course::Steady(celsius(25.0)),
    };
    let r = cup(k, place).reading(Cancel::NEVER).unwrap();
    (
        to_celsius(r.peak_temperature),
        r.gel_time.si() + r.gel_to_peak.si(),
    )
}

/// An order below one makes the exact Jacobian infinite at zero conversion: prototypes answered a peak of 20 °C.
#[test]
fn autocatalytic_orders_below_and_above_one() {
    #[rustfmt::skip]
    let cases = [
        (0.3, 0.0001, [0.635818729, 0.916457384, 0.974712587, 0.993059973], 180.1446, 273.25),
        (0.5, 0.0001, [0.482905168, 0.892349963, 0.970624843, 0.992477789], 179.3404, 562.88),
        (0.7, 0.0001, [0.177234574, 0.822655945, 0.961128911, 0.991324307], 178.0021, 1335.40),
        (1.0, 0.01, [0.062367518, 0.613553361, 0.937660155, 0.98913332], 173.5389, 2198.41),
        (1.5, 0.01, [0.012184269, 0.019340821, 0.050382234, 0.815544731], 162.3291, 14246.23),
    ];
    for (m, seed, expected, peak_c, peak_s) in cases {
        let law = RateLaw::Autocatalytic(Autocatalytic {
            k: rate(1e-3, 60e3, Some(25.0)),
            m,
            n: 1.5,
        });
        let k = kinetics(law, 300e3, seed);
        let got = conversions(&k, &schedule(&[(0.0, 40.0)]), &[600.0, 1800.0, 3600.0, 7200.0]);
        agree(&got, &expected, 2e-6, &format!("m = {m}"));
        let (c, s) = peak(&k);
        assert!(
            (c - peak_c).abs() < 0.02 && (s - peak_s).abs() < 0.5,
            "m = {m}: {c} at {s}"
        );
    }
}

/// Parameters: A. C. Loos, G. S. Springer, *Curing of epoxy matrix composites*, J. Compos. Mater. 17:135 (1983), from
/// memory. The rate jumps at 30 %, where the reference stops exactly.
#[test]
fn piecewise_epoxy_at_400_kelvin() {
    let law = RateLaw::Piecewise(Piecewise {
        k1: rate(2.102e9 / 60.0, 80.7e3, None),
        k2: rate(-2.014e9 / 60.0, 77.8e3, None),
        k3: rate(1.960e5 / 60.0, 56.6e3, None),
        b: 0.47,
        switch: q(0.3),
    });
    let got = conversions(
        &kinetics(law, 474e3, 0.0),
        &schedule(&[(0.0, 126.85)]),
        &[600.0, 1800.0, 3600.0, 7200.0],
    );
    agree(
        &got,
        &[0.164476511, 0.274640126, 0.4057805, 0.631539164],
        5e-6,
        "piecewise",
    );
}

#[test]
fn kamal_sourour_along_a_ramp_with_and_without_vitrification() {
    let law = RateLaw::KamalSourour(KamalSourour {
        k1: rate(4e-6, 70e3, Some(20.0)),
        k2: rate(1.22e-3, 55e3, Some(20.0)),
        m: 0.85,
        n: 1.5,
    });
    let s = schedule(&[(0.0, 20.0), (3600.0, 20.0), (10800.0, 80.0), (14400.0, 80.0)]);
    let times = [3600.0, 7200.0, 10800.0, 14400.0];
    let mut k = kinetics(law, 300e3, 0.0);
    agree(
        &conversions(&k, &s, &times),
        &[0.504901779, 0.986289583, 0.999704459, 0.999961251],
        2e-6,
        "free",
    );
    k.vitrification = Some(Vitrification {
        glass_transition: GlassTransition {
            uncured: celsius(-40.0),
            cured: celsius(110.0),
            lambda: 0.4,
        },
        above: q(5.0),
        slows_over: None,
        spread: None,
    });
    agree(
        &conversions(&k, &s, &times),
        &[0.10049357, 0.766776105, 0.919074029, 0.925840304],
        5e-6,
        "glassy",
    );
    if let Some(v) = &mut k.vitrification {
        v.slows_over = Some(q(3.0));
    }
    agree(
        &conversions(&k, &s, &times),
        &[0.504883012, 0.84435369, 0.954849146, 0.972518477],
        5e-6,
        "slowed",
    );
}

/// Twelve drawn laws, from tiny seeds and tiny first constants, alone and slowed by diffusion, by SciPy's adaptive quadrature in
/// `ln a` (relative 1e-11): within 1e-7.
#[test]
fn drawn_gel_times_of_an_independent_quadrature() {
    #[rustfmt::skip]
    let rows = [
        (0.000000e+00, 2.834960e-04, 0.993855, 0.681091, 1.731120e-09, [-27.847, 76.569, 0.288, 5.567], 0.038, 5.559925631e+04, 5.560350531e+04),
        (2.169990e-08, 1.871280e-04, 0.665553, 2.56713, 4.995220e-12, [-52.572, 62.324, 0.658, 9.529], 0.297, 1.331826921e+04, 1.333141132e+04),
        (9.264130e-09, 8.487220e-02, 0.117545, 2.64617, 0.000000e+00, [-42.623, 54.426, 0.327, 3.776], 0.4117, 1.207547964e+01, 1.207548544e+01),
        (0.000000e+00, 5.556490e-03, 0.976425, 1.43099, 6.415990e-11, [-27.135, 46.279, 0.289, 2.854], 0.3466, 3.165681367e+03, 3.165681432e+03),
        (1.887660e-08, 5.710650e-03, 0.707117, 1.24942, 1.385070e-09, [-12.337, 109.899, 0.409, 6.17], 0.2721, 4.422928595e+02, 4.450684624e+02),
        (5.641240e-04, 1.542890e-02, 0.46751, 2.95044, 0.000000e+00, [-52.916, 81.812, 0.742, 2.368], 0.2547, 6.892676089e+01, 6.892676089e+01),
        (0.000000e+00, 1.010760e-02, 1.15863, 1.93256, 2.466450e-12, [-7.471, 71.375, 0.702, 6.349], 0.2983, 4.263313851e+04, 4.289783016e+04),
        (3.647990e-08, 6.824070e-02, 0.737443, 2.16038, 2.510020e-04, [-56.36, 110.149, 0.671, 9.938], 0.4145, 5.126288221e+01, 5.162102002e+01),
        (7.013830e-10, 1.436730e-03, 1.01955, 0.556407, 0.000000e+00, [-32.298, 56.805, 0.326, 1.531], 0.3888, 1.099300887e+04, 1.099300887e+04),
        (0.000000e+00, 5.531520e-04, 0.616877, 2.67855, 1.965180e-11, [-55.165, 84.919, 0.607, 8.95], 0.4133, 5.225495473e+03, 5.237792148e+03),
        (4.363600e-04, 1.761530e-03, 0.570218, 2.71048, 6.084300e-10, [-2.536, 55.092, 0.365, 3.088], 0.132, 2.057346277e+02, 2.057799942e+02),
        (7.073390e-08, 5.852890e-03, 0.430983, 0.510234, 0.000000e+00, [-34.863, 76.925, 0.618, 9.578], 0.3514, 1.785893847e+02, 1.800890394e+02),
    ];
    for (k1, k2, m, n, seed, [uncured, cured, lambda, over], goal, free, slowed) in rows {
        let law = RateLaw::KamalSourour(KamalSourour {
            k1: rate(k1, 60e3, Some(25.0)),
            k2: rate(k2, 60e3, Some(25.0)),
            m,
            n,
        });
        let mut k = kinetics(law, 300e3, seed);
        let mut agrees = |vitrification, expected: f64| {
            k.vitrification = vitrification;
            let t = k.time_to(q(goal), &schedule(&[(0.0, 25.0)])).unwrap().time.si();
            assert!(
                (t / expected - 1.0).abs() < 1e-7,
                "{k1} {k2} {m} {n} {seed}: {t} {expected}"
            );
        };
        agrees(None, free);
        let glass_transition = GlassTransition {
            uncured: celsius(uncured),
            cured: celsius(cured),
            lambda,
        };
        agrees(
            Some(Vitrification {
                glass_transition,
                above: q(0.0),
                slows_over: Some(q(over)),
                spread: None,
            }),
            slowed,
        );
    }
}

/// The law in series with a diffusion constant of its own, along a ramp and held.
#[test]
fn in_series_with_diffusion_along_a_ramp() {
    let law = RateLaw::DiffusionInSeries(DiffusionInSeries {
        k1: rate(35_982.0, 54_960.0, None),
        k2: rate(3574.1, 44_289.0, None),
        m: 0.39845,
        n: 1.5361,
        diffusion: rate(7e18, 137_300.0, None),
        overlap: 0.009,
        free_volume: 0.025,
        free_volume_expansion: q(0.00048),
        glass_transition: GlassTransition {
            uncured: celsius(-57.0),
            cured: celsius(91.0),
            lambda: 0.36903,
        },
    });
    let mut k = kinetics(law, 460e3, 0.01);
    k.fitted = Some(FittedRange {
        coldest: celsius(50.0),
        hottest: celsius(80.0),
    });
    let s = schedule(&[(0.0, 50.0), (3600.0, 80.0)]);
    let got = conversions(&k, &s, &[1800.0, 3600.0, 5400.0, 7200.0]);
    agree(
        &got,
        &[0.287376363, 0.693538856, 0.871036273, 0.929747336],
        2e-6,
        "in series",
    );
}

/// A promoter that destroys radicals too: the propagation falls as `(1 + q)/(1 + q p/p0)`.
#[test]
fn a_promoter_that_retards() {
    let mut k = free_radical(true, 2.0, 0.6, 2.0);
    if let RateLaw::FreeRadical(f) = &mut k.law {
        f.promoter_retards = 3.0;
    }
    let got = conversions(&k, &schedule(&[(0.0, 25.0)]), &[1800.0, 3600.0, 7200.0]);
    agree(&got, &[0.07895854, 0.41967502, 0.86433747], 2e-6, "retarded");
}

fn free_radical(trapped: bool, dose: f64, inhibitor: f64, promoter: f64) -> Kinetics {
    let law = RateLaw::FreeRadical(FreeRadical {
        decomposition: rate(3e-4, 55e3, Some(25.0)),
        thermal_decomposition: Some(rate(1e-7, 110e3, Some(25.0))),
        propagation: rate(6e-4, 23.59e3, Some(25.0)),
        dose: q(dose),
        inhibitor: q(inhibitor),
        promoter: q(promoter),
        reference_promoter: q(1.0),
        promoter_order: 0.5,
        promoter_retards: 0.0,
        dose_effect: None,
        radicals: if trapped {
            Radicals::Trapped
        } else {
            Radicals::Steady
        },
    });
    kinetics(law, 350e3, 0.0)
}

#[test]
fn free_radical_isothermal_ramp_and_cup() {
    #[rustfmt::skip]
    let cases = [
        (true, 2.0, 0.6, 1.0, [0.0, 0.04343555, 0.44236516, 0.93355795, 0.99976401], [0.12462102, 0.88236115, 0.98695292], 185.0911, 2517.57),
        (true, 1.0, 0.6, 1.0, [0.0, 0.0, 0.01026552, 0.34688735, 0.85774739], [0.0, 0.25904142, 0.58861951], 142.2738, 6213.77),
        (true, 2.0, 0.6, 2.0, [0.00064989, 0.13405848, 0.61414448, 0.96967472, 0.99991866], [0.28026471, 0.94342598, 0.99447436], 186.1727, 2001.04),
        (true, 2.0, 0.3, 1.0, [0.01880645, 0.1931009, 0.65979281, 0.9787962, 0.99997939], [0.35590472, 0.95896051, 0.99726979], 188.4982, 1717.92),
        (true, 2.0, 0.0, 1.0, [0.12502385, 0.38806533, 0.81339731, 0.99391633, 0.99999838], [0.58978054, 0.98760732, 0.99950547], 190.9519, 1063.98),
        (false, 2.0, 0.6, 1.0, [0.0, 0.33950992, 0.76222773, 0.93988893, 0.98308546], [0.56388958, 0.9328065, 0.96120782], 103.6682, 1652.08),
        (false, 1.0, 0.6, 1.0, [0.0, 0.0, 0.18052174, 0.69008078, 0.87357037], [0.0, 0.58607259, 0.71931417], 84.2842, 3860.58),
        (false, 2.0, 0.6, 2.0, [0.04868604, 0.51949447, 0.82853421, 0.94749032, 0.97659699], [0.72074089, 0.95084367, 0.96568663], 100.7927, 1231.01),
        (false, 2.0, 0.3, 1.0, [0.23891258, 0.59225866, 0.85321568, 0.96289154, 0.98955812], [0.77328876, 0.96506958, 0.97983395], 106.6317, 966.53),
        (false, 2.0, 0.0, 1.0, [0.51049224, 0.73775345, 0.90559289, 0.97613299, 0.99328411], [0.87540489, 0.98080307, 0.98891722], 109.0981, 394.66),
    ];
    let still = schedule(&[(0.0, 25.0)]);
    let ramp = schedule(&[(0.0, 18.0), (3600.0, 18.0), (7200.0, 40.0)]);
    for (trapped, dose, inhibitor, promoter, isothermal, ramped, peak_c, peak_s) in cases {
        let k = free_radical(trapped, dose, inhibitor, promoter);
        let what = format!("trapped {trapped}, dose {dose}, inhibitor {inhibitor}, promoter {promoter}");
        agree(
            &conversions(&k, &still, &[900.0, 1800.0, 3600.0, 7200.0, 14400.0]),
            &isothermal,
            2e-6,
            &what,
        );
        agree(
            &conversions(&k, &ramp, &[3600.0, 7200.0, 9000.0]),
            &ramped,
            2e-6,
            &what,
        );
        let (c, s) = peak(&k);
        assert!(
            (c - peak_c).abs() < 0.02 && (s - peak_s).abs() < 0.5,
            "{what}: {c} at {s}"
        );
    }
}

/// Analytic: the closed forms of the isothermal free-radical law with a sharp corner (see `FreeRadical`). The
/// rounded corner costs less than 0.2 % of conversion here; without inhibitor the law is the closed form.
#[test]
fn free_radical_against_its_closed_forms() {
    let (kd, kp, d) = (3e-4f64 + 1e-7, 6e-4f64, 2.0f64);
    for (z, tolerance) in [(0.0, 1e-6), (0.6, 2e-3)] {
        let induction = -(1.0 - z / d).ln() / kd;
        for t in [2000.0, 4000.0, 9000.0] {
            let s = t - induction;
            let trapped = 1.0 - (-kp * (d - z) * (s - (1.0 - (-kd * s).exp()) / kd)).exp();
            let steady = 1.0 - (-2.0 * kp / kd * (d - z).sqrt() * (1.0 - (-0.5 * kd * s).exp())).exp();
            let got = conversions(&free_radical(true, d, z, 1.0), &schedule(&[(0.0, 25.0)]), &[t])[0];
            assert!(
                (got - trapped).abs() < tolerance,
                "trapped z {z} t {t}: {got} {trapped}"
            );
            let got = conversions(&free_radical(false, d, z, 1.0), &schedule(&[(0.0, 25.0)]), &[t])[0];
            // The gate opens gradually, so its corner costs more.
            assert!(
                (got - steady).abs() < tolerance.max(z * 0.01),
                "steady z {z} t {t}: {got} {steady}"
            );
        }
    }
}

/// Analytic: the dead end of the steady law.
#[test]
fn steady_radicals_end_dead() {
    let (kd, kp, d) = (3e-4f64 + 1e-7, 6e-5f64, 1.0f64);
    let mut k = free_radical(false, d, 0.0, 1.0);
    if let RateLaw::FreeRadical(f) = &mut k.law {
        f.propagation = rate(kp, 23.59e3, Some(25.0));
    }
    let end = 1.0 - (-2.0 * kp / kd).exp();
    let got = conversions(&k, &schedule(&[(0.0, 25.0)]), &[1e6])[0];
    assert!((got - end).abs() < 2e-6, "{got} {end}");
    let e = k.time_to(q(0.5), &schedule(&[(0.0, 25.0)])).unwrap_err();
    assert!(e.to_string().contains("dead end"), "{e}");
}

/// Analytic: n-th order isothermal, `u = exp(-kt)` and `u = 1/(1 + kt)`; the adiabatic cup ends `H/c` hotter.
#[test]
fn nth_order_and_the_adiabatic_rise() {
    let s = schedule(&[(0.0, 25.0)]);
    for (n, expected) in [(1.0, 1.0 - (-2.0f64).exp()), (2.0, 2.0 / 3.0)] {
        let k = kinetics(
            RateLaw::NthOrder(NthOrder {
                k: rate(1e-3, 60e3, Some(25.0)),
                n,
            }),
            190e3,
            0.0,
        );
        agree(&conversions(&k, &s, &[2000.0]), &[expected], 1e-6, "n-th order");
        let t = k.time_to(q(expected), &s).unwrap();
        assert!((t.time.si() - 2000.0).abs() < 0.01, "{}", t.time.si());
    }
    let k = kinetics(
        RateLaw::NthOrder(NthOrder {
            k: rate(1e-3, 60e3, Some(25.0)),
            n: 1.0,
        }),
        190e3,
        0.0,
    );
    let peak = to_celsius(cup(&k, Place::Insulated).run(Cancel::NEVER).unwrap().peak);
    assert!((peak - 125.0).abs() < 0.05, "{peak}");
}
