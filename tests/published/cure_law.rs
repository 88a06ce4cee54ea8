//! Rate laws against published measurements: a law fitted on a part of a set must foretell the rest.

use gelwright::cure::*;
use gelwright::material::Family;
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

const MINUTE: f64 = 60.0;
const HOUR: f64 = 3600.0;
const DAY: f64 = 86_400.0;

fn still(c: f64) -> Schedule {
    Schedule::isothermal(celsius(c)).unwrap()
}

fn conversion(k: &Kinetics, c: f64, seconds: f64) -> f64 {
    let curve = k.cure(&still(c), q(seconds), 2).unwrap();
    *curve.conversion.last().unwrap()
}

fn kinetics(law: RateLaw, seed: f64, range: (f64, f64)) -> Kinetics {
    Kinetics {
        law,
        heat_of_reaction: q(460e3),
        seed: q(seed),
        vitrification: None,
        fitted: Some(FittedRange {
            coldest: celsius(range.0),
            hottest: celsius(range.1),
        }),
        source: Source::of(Standing::Published, "see the test"),
    }
}

/// Infusion epoxy for blades: constants of Table 5, eqs 5 to 7, Thermochim. Acta (2016), doi 10.1016/j.tca.2015.11.014, from
/// memory.
fn infusion_epoxy() -> Kinetics {
    let law = RateLaw::DiffusionInSeries(DiffusionInSeries {
        k1: RateConstant::new(q(35_982.0), q(54_960.0)),
        k2: RateConstant::new(q(3574.1), q(44_289.0)),
        m: 0.39845,
        n: 1.5361,
        diffusion: RateConstant::new(q(7e18), q(137_300.0)),
        overlap: 0.009,
        free_volume: 0.025,
        free_volume_expansion: q(0.00048),
        glass_transition: GlassTransition {
            uncured: celsius(-57.0),
            cured: celsius(91.0),
            lambda: 0.36903,
        },
    });
    kinetics(law, 0.01, (50.0, 80.0))
}

/// Its rates and conversions by SciPy from the same constants (independent computation, the figures' last digit).
#[test]
fn an_epoxy_with_a_diffusion_constant_of_its_own() {
    let k = infusion_epoxy();
    for (a, expected) in [(0.3, 3.9222e-4), (0.6, 2.0291e-4), (0.8, 7.6224e-5)] {
        let got = k.rate(q(a), None, celsius(75.0)).unwrap();
        assert!(
            (got.rate.si() / expected - 1.0).abs() < 2e-5,
            "{a}: {:?}",
            got.rate
        );
        assert!(got.extrapolated.is_none());
    }
    for (hours, expected) in [
        (0.5, 0.3256),
        (1.0, 0.5573),
        (2.0, 0.7804),
        (4.0, 0.9148),
        (8.0, 0.9713),
        (24.0, 0.9955),
    ] {
        let got = conversion(&k, 60.0, hours * HOUR);
        assert!(
            (got - expected).abs() < 1e-4,
            "{hours} h: {got} against {expected}"
        );
    }
}

/// The trap: at 25 °C the diffusion constant lies below that of the reaction in the liquid already (3.60e-6 against 2.72e-5 1/s
/// at 30 %, by SciPy), so that the law stands at 36 % after a day though the same reaction alone comes to 92 %. Each answer
/// there says so, and without a fitted range there is none.
#[test]
fn a_diffusion_constant_used_in_the_cold_says_so() {
    let k = infusion_epoxy();
    let rate = k.rate(q(0.3), None, celsius(25.0)).unwrap();
    assert!((rate.rate.si() / 3.60e-6 - 1.0).abs() < 2e-3, "{:?}", rate.rate);
    let curve = k.cure(&still(25.0), q(DAY), 2).unwrap();
    assert!(
        (curve.conversion[1] - 0.35779).abs() < 1e-4,
        "{:?}",
        curve.conversion
    );
    assert!((conversion(&k, 25.0, 7.0 * DAY) - 0.87243).abs() < 1e-4);
    let late = k.time_to(q(0.5), &still(25.0)).unwrap().extrapolated;
    for said in [rate.extrapolated, curve.extrapolated, late] {
        assert!(said.unwrap().contains("in truth goes on"));
    }
    // A warm ramp that begins in the cold says it too.
    let points = [(0.0, 25.0), (HOUR, 70.0)].map(|(t, c)| SchedulePoint {
        time: q(t),
        temperature: celsius(c),
    });
    let ramp = Schedule::new(points.to_vec()).unwrap();
    assert!(k.cure(&ramp, q(HOUR), 2).unwrap().extrapolated.is_some());
    let e = Kinetics { fitted: None, ..k }
        .cure(&ramp, q(HOUR), 2)
        .unwrap_err();
    assert!(e.to_string().contains("fitted"), "{e}");
}

/// DGEBA and 1,3-diaminopropane by isothermal calorimetry: public repository tkmeldrum/epoxy_HPC,
/// combined_arrhenius_20260722.csv, medians of the law `(k1 + k2 a^m)(1 - a)^(n/2)(r - a)^(n/2)`, log10 of the constants in
/// 1/s. Here as the measured curve: that law by steps of a Runge-Kutta method, sigma at most 0.0042.
struct Run {
    c: f64,
    k1: f64,
    k2: f64,
    m: f64,
    n: f64,
    r: f64,
}

#[rustfmt::skip]
const RUNS: [Run; 4] = [
    Run { c: 25.0, k1: -4.554241, k2: -3.645983, m: 1.088770, n: 1.163231, r: 0.558231 },
    Run { c: 50.0, k1: -3.862850, k2: -3.008603, m: 0.851418, n: 1.532751, r: 0.751074 },
    Run { c: 60.0, k1: -3.553155, k2: -2.780758, m: 0.798514, n: 1.549172, r: 0.851079 },
    Run { c: 80.0, k1: -3.192429, k2: -2.362799, m: 0.535785, n: 1.631639, r: 0.793643 },
];

impl Run {
    /// Time and conversion, to where the run ended.
    fn curve(&self) -> Vec<(f64, f64)> {
        let (k1, k2) = (10f64.powf(self.k1), 10f64.powf(self.k2));
        let rate = |a: f64| {
            let a = a.clamp(0.0, self.r);
            (k1 + k2 * a.powf(self.m)) * ((1.0 - a) * (self.r - a)).powf(0.5 * self.n)
        };
        let h = 1e-3 / (k1 + k2);
        let (mut t, mut a) = (0.0, 0.0);
        let mut curve = vec![(t, a)];
        while a < self.r - 2e-3 {
            let s1 = rate(a);
            let s2 = rate(a + 0.5 * h * s1);
            let s3 = rate(a + 0.5 * h * s2);
            let s4 = rate(a + h * s3);
            a += h / 6.0 * (s1 + 2.0 * s2 + 2.0 * s3 + s4);
            t += h;
            curve.push((t, a));
        }
        curve
    }

    fn time_to(&self, a: f64) -> f64 {
        self.curve().iter().find(|(_, x)| *x >= a).unwrap().0
    }
}

/// One law of Kamal and Sourour with vitrification, fitted by SciPy on the runs at 50 and 60 °C and on that at 80 °C up to 72 %
/// (its end, 79 %, lies below that at 60 °C and is good to 5 points only): the epoxy of `UsualKinetics`, with the glass it was
/// fitted with. It holds those runs within 0.038 (0.03 was hoped for: the 60 °C run is quicker than the others' straight line).
/// The run at 25 °C was held back: its time to 30 %, 176 min, is foretold within 12 %, and so is where it stops, within 0.03.
#[test]
fn an_epoxy_fitted_warm_foretells_the_cold() {
    let glass = Vitrification {
        glass_transition: GlassTransition {
            uncured: celsius(-22.0),
            cured: celsius(100.0),
            lambda: 0.6,
        },
        above: q(0.0),
        slows_over: Some(q(4.0)),
        spread: None,
    };
    let k = UsualKinetics::of_family(Family::Epoxy, None, None, Some(glass))
        .unwrap()
        .kinetics;
    for run in &RUNS[1..] {
        let mut worst = 0.0f64;
        let upto = if run.c > 70.0 { 0.72 } else { 1.0 };
        for (t, a) in run
            .curve()
            .iter()
            .step_by(200)
            .filter(|(t, a)| *t > 0.0 && *a <= upto)
        {
            worst = worst.max((conversion(&k, run.c, *t) - a).abs());
        }
        println!("{} °C: within {worst:.4}", run.c);
        assert!(worst < 0.039, "{} °C: {worst}", run.c);
    }
    let cold = &RUNS[0];
    let measured = cold.time_to(0.30);
    assert!((measured / MINUTE - 176.0).abs() < 1.0);
    let told = k.time_to(q(0.30), &still(cold.c)).unwrap().time.si();
    let end = conversion(&k, cold.c, 8.0 * HOUR);
    println!(
        "to 30 %: {} min measured, {} told; end {end}",
        measured / MINUTE,
        told / MINUTE
    );
    assert!((told / measured - 1.0).abs() < 0.12);
    assert!((end - cold.r).abs() < 0.03);
    // Between 25 and 50 °C, to 30 %: 60.2 kJ/mol of the runs.
    let energy = |a: f64, b: f64| 8.314_462_6 * (a / b).ln() / (1.0 / 298.15 - 1.0 / 323.15) / 1e3;
    let own = energy(told, k.time_to(q(0.30), &still(50.0)).unwrap().time.si());
    let runs = energy(measured, RUNS[1].time_to(0.30));
    println!("E {own} of the law, {runs} of the runs");
    assert!((own - runs).abs() < 4.0, "{own} against {runs}");
}

/// Ramps of a pultrusion epoxy by calorimetry: public raw data (2018; ramps of 1, 2 and 5 K/min, 7.20, 6.82 and 11.50 mg), integrated:
/// temperature at 10, 20, 50, 80, 90 % and of the peak. One law of Kamal and Sourour was fitted by SciPy on the ramps of 1 and 5
/// K/min; that of 2 K/min was held back and is foretold within 0.7 K. From our own runs along the ramps the energies by
/// Kissinger's method (Anal. Chem. 29:1702 (1957)) and at equal conversion come within 3 and 2 kJ/mol of those of the data.
#[test]
fn ramps_give_back_their_energies() {
    let shares = [0.1, 0.2, 0.5, 0.8, 0.9];
    let ramps = [
        (1.0, [101.2, 107.7, 118.9, 131.5, 139.6], 117.18),
        (2.0, [115.3, 122.3, 134.1, 147.2, 155.5], 132.60),
        (5.0, [134.3, 141.9, 155.3, 169.3, 177.5], 153.92),
    ];
    let at = |ln_k: f64, energy: f64| RateConstant {
        factor: q(f64::exp(ln_k)),
        activation_energy: q(energy),
        at: Some(q(400.0)),
    };
    let law = RateLaw::KamalSourour(KamalSourour {
        k1: at(-10.52667, 45.0e3),
        k2: at(-5.74181, 57.711e3),
        m: 0.7043,
        n: 1.52214,
    });
    let k = kinetics(law, 0.0, (95.0, 180.0));
    let mut own = vec![];
    for (per_minute, expected, _) in ramps {
        let end = 215.0 / per_minute * MINUTE;
        let points = [(0.0, 25.0), (end, 240.0)].map(|(t, c)| SchedulePoint {
            time: q(t),
            temperature: celsius(c),
        });
        let ramp = Schedule::new(points.to_vec()).unwrap();
        let reached = shares.map(|a| to_celsius(k.time_to(q(a), &ramp).unwrap().temperature));
        let off: Vec<_> = reached.iter().zip(expected).map(|(g, e)| g - e).collect();
        println!("{per_minute} K/min: {off:.2?} K");
        assert!(off.iter().all(|o| o.abs() < 0.7), "{per_minute}: {off:?}");
        let curve = k.cure(&ramp, q(end), 10_001).unwrap();
        let step = |i: &usize| curve.conversion[i + 1] - curve.conversion[*i];
        let i = (0..10_000).max_by(|a, b| step(a).total_cmp(&step(b))).unwrap();
        let peak = 0.5 * (curve.temperature_k[i] + curve.temperature_k[i + 1]) - 273.15;
        own.push((per_minute, reached, peak));
    }
    // Least squares of ln(rate/T²) in 1/T.
    let energy = |points: &[(f64, f64)]| {
        let xy = points.iter().map(|(per_minute, c)| {
            let t = c + 273.15;
            (1.0 / t, (per_minute / (t * t)).ln())
        });
        let xy: Vec<(f64, f64)> = xy.collect();
        #[allow(clippy::cast_precision_loss)]
        let count = xy.len() as f64;
        let mean = |f: &dyn Fn(&(f64, f64)) -> f64| xy.iter().map(f).sum::<f64>() / count;
        let (x, y) = (mean(&|p| p.0), mean(&|p| p.1));
        let slope = mean(&|p| (p.0 - x) * (p.1 - y)) / mean(&|p| (p.0 - x).powi(2));
        -8.314_462_6 * slope / 1e3
    };
    let kissinger = energy(&own.iter().map(|o| (o.0, o.2)).collect::<Vec<_>>());
    let published = energy(&ramps.map(|r| (r.0, r.2)));
    println!("Kissinger {kissinger:.1}, of the data {published:.1} kJ/mol");
    assert!((published - 54.0).abs() < 0.1 && (kissinger - published).abs() < 3.0);
    for (i, share) in shares.iter().enumerate() {
        let ours = energy(&own.iter().map(|o| (o.0, o.1[i])).collect::<Vec<_>>());
        let theirs = energy(&ramps.map(|r| (r.0, r.1[i])));
        println!("at {share}: {ours:.1}, of the data {theirs:.1} kJ/mol");
        assert!((ours - theirs).abs() < 2.0, "{share}: {ours} against {theirs}");
    }
}

/// More cobalt always shortens the gel time but slows the polymerization, except at very low doses: W. D. Cook, G. P. Simon, P.
/// J. Burchill, M. Lau, T. J. Fitch, J. Appl. Polym. Sci. 64:769 (1997), abstract. At a constant dose of peroxide.
#[test]
fn more_cobalt_gels_sooner_and_polymerizes_slower() {
    let with = |promoter: f64, retards: f64| {
        let at = |k: f64, energy: f64| RateConstant::at(celsius(25.0), q(k), q(energy));
        let law = RateLaw::FreeRadical(FreeRadical {
            decomposition: at(3e-4, 55e3),
            thermal_decomposition: None,
            propagation: at(3e-3, 30e3),
            dose: q(1.5),
            inhibitor: q(0.5),
            promoter: q(promoter),
            reference_promoter: q(0.3),
            promoter_order: 0.5,
            dose_effect: None,
            promoter_retards: retards,
            radicals: Radicals::Trapped,
        });
        let k = kinetics(law, 0.0, (15.0, 60.0));
        let to = |a: f64| k.time_to(q(a), &still(25.0)).unwrap().time.si();
        (to(0.05), to(0.6) - to(0.05))
    };
    let doses = [0.15, 0.3, 0.6, 1.2];
    for pair in doses.windows(2) {
        let (less, more) = (with(pair[0], 3.0), with(pair[1], 3.0));
        println!(
            "{pair:?} phr: gel {} to {} s, then {} to {} s",
            less.0, more.0, less.1, more.1
        );
        assert!(more.0 < less.0, "gel at {pair:?}: {less:?} {more:?}");
        assert!(more.1 > less.1, "after gel at {pair:?}: {less:?} {more:?}");
    }
    // At very low doses more cobalt quickens both.
    let (less, more) = (with(0.01, 3.0), with(0.02, 3.0));
    assert!(more.0 < less.0 && more.1 < less.1, "{less:?} {more:?}");
    // At the reference dose the retarding is part of the constant that was found there.
    assert!((with(0.3, 3.0).0 / with(0.3, 0.0).0 - 1.0).abs() < 1e-12);
    // Without it the sign after gel is wrong, as the documentation says.
    assert!(with(0.6, 0.0).1 < with(0.3, 0.0).1);
}

/// A ketone peroxide without promoter keeps for a year at room temperature and goes in minutes at 140 °C. 80 to 90 kJ/mol: J.
/// Appl. Polym. Sci. 102:1870 (2006), abstract. Half-lives `from memory`: 10 h at 90 to 110 °C, 1 h at 120 to 145 °C; shelf
/// life a year at 20 °C of the trade's sheets (common practice, no source).
#[test]
fn a_ketone_peroxide_goes_by_heat() {
    let k = RateConstant::of_ketone_peroxide_by_heat().unwrap();
    let half = |c: f64| k.half_life(celsius(c)).unwrap().si();
    assert!((80e3..=90e3).contains(&k.activation_energy.si()));
    assert!((half(105.0) / (10.0 * HOUR) - 1.0).abs() < 1e-12);
    assert!(half(90.0) > 10.0 * HOUR && half(110.0) < 10.0 * HOUR);
    assert!(half(120.0) > HOUR && half(145.0) < HOUR);
    assert!(half(20.0) > 365.0 * DAY, "{} d", half(20.0) / DAY);
    // Analytic: ln 2/k, Arrhenius between two temperatures.
    let ratio = f64::exp(85e3 / 8.314_462_618 * (1.0 / 353.15 - 1.0 / 378.15));
    assert!((half(80.0) / half(105.0) / ratio - 1.0).abs() < 1e-9);
    // In the law: without promoter nothing gels in the workshop, in an oven it does, and a promoted cure at room
    // temperature does not notice it.
    let law = |promoter: f64, heat: bool| {
        RateLaw::FreeRadical(FreeRadical {
            decomposition: RateConstant::at(celsius(25.0), q(3e-4), q(55e3)),
            thermal_decomposition: heat.then_some(k),
            propagation: RateConstant::at(celsius(25.0), q(3e-3), q(30e3)),
            dose: q(1.5),
            inhibitor: q(0.1),
            promoter: q(promoter),
            reference_promoter: q(0.3),
            promoter_order: 0.5,
            dose_effect: None,
            promoter_retards: 0.0,
            radicals: Radicals::Trapped,
        })
    };
    let of = |promoter: f64, heat: bool| kinetics(law(promoter, heat), 0.0, (15.0, 160.0));
    let gel = |promoter: f64, heat: bool, c: f64| {
        of(promoter, heat)
            .time_to(q(0.05), &still(c))
            .map(|t| t.time.si())
    };
    assert!(
        gel(0.0, true, 20.0).is_err_and(|e| e.to_string().contains("60 d"))
            || gel(0.0, true, 20.0).unwrap() > 20.0 * DAY
    );
    assert!(gel(0.0, true, 100.0).unwrap() < 3.0 * HOUR);
    assert!(gel(0.0, false, 100.0).is_err());
    assert!((gel(0.3, true, 20.0).unwrap() / gel(0.3, false, 20.0).unwrap() - 1.0).abs() < 1e-3);
    // Hot, it speeds the end: half the peroxide of a promoted resin at 140 °C.
    assert!(gel(0.03, true, 140.0).unwrap() < gel(0.03, false, 140.0).unwrap());
}

/// The hardness chart of a two-part epoxy coating (one page of a maker's sheet, "cure chart", scribd 708897795), thin on
/// polyethylene, both parts at 25 °C: gel 180, 62, 30, 18 min and Shore D 65 after 96, 20, 4.75, 2 h at 4.4, 15.6, 26.7, 37.8
/// °C. From 27 to 4 °C gel slows 6 times and hardening 20 times, and one law must give both. The usual epoxy law takes the gel
/// time at 26.7 °C and foretells the others within a factor of 1.35. Hard is a glass transition of 15 °C here, chosen (the
/// chart was read warm again, at 25 °C); its slowing hangs on that: 6 times at 6 °C, 70 times at 21 °C. Named, not met: in hours
/// the law hardens four to six times too early at 27 and 38 °C, the end of this coating's cure being slower than its model's.
#[test]
fn an_epoxy_gels_a_little_and_hardens_much_later_in_the_cold() {
    let gel_time = Some(q(30.0 * MINUTE));
    let u = UsualKinetics::of_family(Family::Epoxy, gel_time, Some(celsius(26.7)), None).unwrap();
    let (k, gel) = (u.kinetics, u.gel_conversion);
    assert!(u.within_factor.is_none());
    let rows = [
        (4.4, 180.0, 96.0),
        (15.6, 62.0, 20.0),
        (26.7, 30.0, 4.75),
        (37.8, 18.0, 2.0),
    ];
    let glass = k.vitrification.unwrap().glass_transition;
    let hard = glass.conversion_at(celsius(15.0)).unwrap();
    let to = |a: DegreeOfCure, c: f64| k.time_to(a, &still(c)).unwrap().time.si();
    let mut told = vec![];
    for (c, minutes, hours) in rows {
        let (g, h) = (to(gel, c) / MINUTE, to(hard, c) / HOUR);
        println!("{c} °C: gel {g:.0} min of {minutes}, hard {h:.1} h of {hours}");
        told.push((g, h));
        assert!((g / minutes).ln().abs() < f64::ln(1.35), "{c}: {g} of {minutes}");
    }
    let slows = (told[0].0 / told[2].0, told[0].1 / told[2].1);
    println!(
        "from 27 to 4 °C gel slows {:.1} times, hardening {:.1}",
        slows.0, slows.1
    );
    assert!((5.0..=7.0).contains(&slows.0) && (12.0..=25.0).contains(&slows.1));
}

/// Gel of an epoxy: 51 kJ/mol of three makers' "halves every 18 °F" (10 K), 49.5 of the chart above, 60 of the runs above to 30
/// %. A polyurethane: the abstract's 56 kJ/mol, and its second-order law against the closed form.
#[test]
fn usual_laws_keep_to_their_sources() {
    let energy =
        |cold: f64, warm: f64| 8.314_462_6 * (cold / warm).ln() / (1.0 / 288.15 - 1.0 / 308.15) / 1e3;
    let gel_energy = |u: &UsualKinetics| {
        let gel = |c: f64| u.kinetics.time_to(u.gel_conversion, &still(c)).unwrap().time.si();
        energy(gel(15.0), gel(35.0))
    };
    let epoxy = UsualKinetics::of_family(Family::Epoxy, None, None, None).unwrap();
    assert!(
        (45.0..=62.0).contains(&gel_energy(&epoxy)),
        "{}",
        gel_energy(&epoxy)
    );
    assert!(epoxy.within_factor.unwrap() >= 3.0 && epoxy.kinetics.vitrification.is_some());
    let urethane = UsualKinetics::of_family(Family::Polyol, None, None, None).unwrap();
    assert!((gel_energy(&urethane) - 56.0).abs() < 0.1);
    // k c0 t = 1/u - 1 with k 3.4e-4 L/(eq s) and c0 3.8 eq/L at 25 °C.
    let u = 1.0 / (1.0 + 3.4e-4 * 3.8 * 1000.0);
    assert!((conversion(&urethane.kinetics, 25.0, 1000.0) - (1.0 - u)).abs() < 1e-9);
    // A sheet's gel time is met.
    for family in [Family::Epoxy, Family::Polyol] {
        let u = UsualKinetics::of_family(family, Some(q(8.0 * MINUTE)), Some(celsius(22.0)), None).unwrap();
        let gel = u
            .kinetics
            .time_to(u.gel_conversion, &still(22.0))
            .unwrap()
            .time
            .si();
        assert!((gel / (8.0 * MINUTE) - 1.0).abs() < 2e-2, "{family:?}: {gel}");
    }
    let e = UsualKinetics::of_family(Family::VinylEster, None, None, None).unwrap_err();
    assert!(e.to_string().contains("peroxide"), "{e}");
}
