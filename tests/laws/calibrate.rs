//! Laws of calibration.

use gelwright::calibrate::{Calibration, CupTest, DrawnLaw, Evidence, GelTest};
use gelwright::cure::{FreeRadical, GelCriterion, Kinetics, RateLaw, Schedule};
use gelwright::heat::{Course, Cup, Cure, Place, ProbeReading, Thermal};
use gelwright::material::Catalogue;
use gelwright::quantity::spread::{Distribution, Spread};
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};
use gelwright::{Cancel, ErrorKind, random};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

/// What is known up to a relative standard uncertainty.
fn about(seconds: f64, relative: f64) -> Spread<Time> {
    Spread::new(q(seconds), Distribution::Normal(relative * seconds)).unwrap()
}

fn row(c: f64, dose: f64, minutes: f64, relative: f64) -> GelTest {
    GelTest {
        temperature: celsius(c),
        dose: q(dose),
        time: about(60.0 * minutes, relative),
    }
}

fn cup_test(c: f64, dose: f64, gel: f64, to_peak: f64, peak: f64) -> CupTest {
    CupTest {
        gel_to_peak: Some(Spread::exact(q(60.0 * to_peak))),
        peak_temperature: Some(Spread::exact(celsius(peak))),
        ..CupTest::of(
            q(dose),
            q(0.1),
            celsius(c),
            Spread::exact(q(60.0 * gel)),
            Source::of(Standing::Invented, "made for this test"),
        )
    }
}

fn with(rows: Vec<GelTest>, cups: Vec<CupTest>) -> Evidence {
    Evidence {
        gel_table: Some(rows),
        cup_tests: cups,
        ..Evidence::of("ortho_polyester")
    }
}

fn found(e: &Evidence) -> Calibration {
    e.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap()
}

fn law(k: &Kinetics) -> FreeRadical {
    match k.law {
        RateLaw::FreeRadical(f) => f,
        _ => panic!("another law"),
    }
}

/// Gel time without self-heating, s, by the question of `cure`.
fn gels(k: &Kinetics, at: DegreeOfCure, c: f64, dose: f64) -> f64 {
    let schedule = Schedule::isothermal(celsius(c)).unwrap();
    k.with_dose(q(dose))
        .unwrap()
        .gel_time(&GelCriterion::Conversion { conversion: at }, &schedule)
        .unwrap()
        .time
        .si()
}

/// 100 g of the catalogue's orthophthalic polyester on a bench, as wide as deep.
fn bench_cup(k: &Kinetics, at: DegreeOfCure, c: f64, dose: f64) -> Cup {
    let thermal = Thermal::new(q(1100.0), q(1900.0), q(0.18));
    let d = (4.0f64 * 0.1 / 1100.0 / std::f64::consts::PI).cbrt();
    let place = Place::Bench {
        air: Course::Steady(celsius(c)),
        emissivity: 0.9,
    };
    let cure = Cure::new(k.with_dose(q(dose)).unwrap(), at);
    Cup::new(q(0.1), q(d), thermal, cure, celsius(c), place, q(86_400.0))
}

/// What that cup shows by a law, with its film and specific heat.
fn by_law(l: &DrawnLaw, c: f64, dose: f64, mass: f64) -> ProbeReading {
    let cup = Cup {
        mass: q(mass),
        diameter: q((4.0 * mass / 1100.0 / std::f64::consts::PI).cbrt()),
        film_factor: l.film_factor,
        thermal: Thermal::new(q(1100.0), l.specific_heat, q(0.18)),
        ..bench_cup(&l.kinetics, l.gel_conversion, c, dose)
    };
    cup.reading(Cancel::NEVER).unwrap()
}

/// Laws as resins have them: drawn from what a calibration on next to nothing leaves open.
fn resins() -> Calibration {
    found(&with(vec![row(20.0, 1.5, 25.0, 0.4)], vec![]))
}

fn draw(seed: u64, n: usize) -> Vec<f64> {
    (0..n).map(|k| random::normal(seed, 7, k as u64)).collect()
}

/// Rows and cups of a planted law, told exactly, give its constants back.
#[test]
fn a_fit_returns_the_constants_of_its_own_forecast() {
    let resins = resins();
    for seed in 0..3 {
        let z: Vec<f64> = draw(seed, Calibration::DRAWN_BY)
            .iter()
            .map(|z| 0.5 * z)
            .collect();
        let made = resins.law_at(&z).unwrap();
        let (k, at) = (&made.kinetics, made.gel_conversion);
        let mut rows = vec![];
        for c in [10.0, 20.0, 30.0] {
            for dose in [0.9, 1.5, 2.5] {
                rows.push(row(c, dose, gels(k, at, c, dose) / 60.0, 5e-4));
            }
        }
        let mut cups = vec![];
        // A small cup loses more of its heat: against the large ones it tells the film.
        for (c, mass) in [(20.0, 0.1), (30.0, 0.1), (25.0, 0.01)] {
            let seen = by_law(&made, c, 1.5, mass);
            cups.push(CupTest {
                gel_time: Some(about(seen.gel_time.si(), 2e-3)),
                gel_to_peak: Some(about(seen.gel_to_peak.si(), 2e-3)),
                peak_temperature: Some(
                    Spread::new(seen.peak_temperature, Distribution::Normal(0.1)).unwrap(),
                ),
                mass: q(mass),
                ..cup_test(c, 1.5, 1.0, 1.0, 100.0)
            });
        }
        let back = found(&with(rows, cups));
        let (f, g) = (law(k), law(&back.kinetics));
        let near = |what: &str, got: f64, made: f64, within: f64| {
            println!("{seed} {what}: {got} of {made}");
            assert!(
                (got / made - 1.0).abs() < within,
                "{seed} {what}: {got} of {made}"
            );
        };
        // A cup is ruled by heat over specific heat and by film over specific heat, `dT/dt = (H/c) da/dt - (h A/(m c)) (T -
        // T_air)`: these it tells, and none of the three alone.
        let rise = |l: &DrawnLaw| l.kinetics.heat_of_reaction.si() / l.specific_heat.si();
        let loss = |l: &DrawnLaw| l.film_factor / l.specific_heat.si();
        let again = back.law_at(&[]).unwrap();
        near("heat over specific heat", rise(&again), rise(&made), 0.01);
        near("film over specific heat", loss(&again), loss(&made), 0.03);
        let inhibitor = (g.inhibitor.get(), f.inhibitor.get());
        near("inhibitor", inhibitor.0, inhibitor.1, 0.1);
        near("gel", back.gel_conversion.get(), at.get(), 0.1);
        let energy = |f: &FreeRadical| f.decomposition.activation_energy.si();
        near("energy of decomposition", energy(&g), energy(&f), 0.05);
        // What it forecasts between and beyond the rows.
        for (c, dose) in [(15.0, 1.2), (25.0, 2.0), (5.0, 1.0)] {
            let got = gels(&back.kinetics, back.gel_conversion, c, dose);
            near("gel time", got, gels(k, at, c, dose), 0.02);
        }
        assert!(back.disagreements.is_empty(), "{:?}", back.disagreements);
    }
}

/// Of resins drawn at random, timed with the scatter that the rows admit, nine in ten lie inside the nine-in-ten band.
#[test]
fn the_truth_lies_inside_the_band() {
    let resins = resins();
    let (mut inside, mut of) = (0, 0);
    for seed in 100..160 {
        let made = resins.law_at(&draw(seed, Calibration::DRAWN_BY)).unwrap();
        let (k, at) = (&made.kinetics, made.gel_conversion);
        let noise = draw(seed + 1000, 8);
        let mut rows = vec![];
        for (i, (c, dose)) in [(15.0, 1.2), (25.0, 1.2), (15.0, 2.2), (25.0, 2.2)]
            .into_iter()
            .enumerate()
        {
            let schedule = Schedule::isothermal(celsius(c)).unwrap();
            let criterion = GelCriterion::Conversion { conversion: at };
            if let Ok(t) = k.with_dose(q(dose)).unwrap().gel_time(&criterion, &schedule) {
                rows.push(row(c, dose, t.time.si() / 60.0 * (0.1 * noise[i]).exp(), 0.1));
            }
        }
        let schedule = Schedule::isothermal(celsius(18.0)).unwrap();
        let criterion = GelCriterion::Conversion { conversion: at };
        let true_time = k.with_dose(q(1.6)).unwrap().gel_time(&criterion, &schedule);
        let (Ok(truth), 4) = (true_time, rows.len()) else {
            continue;
        };
        // A table that the noise turned round is refused as such.
        let Ok(c) = with(rows, vec![]).calibrate(Catalogue::generic(), Cancel::NEVER) else {
            continue;
        };
        let f = c.forecast_gel(q(1.6), celsius(18.0)).unwrap();
        of += 1;
        inside += i32::from(f.low <= truth.time && f.high.is_none_or(|high| truth.time <= high));
    }
    println!("{inside} of {of}");
    assert!(of >= 40 && inside * 100 >= 78 * of, "{inside} of {of}");
}

#[test]
fn colder_never_gels_sooner_and_more_catalyst_never_later() {
    let c = found(&Evidence::of("ortho_polyester"));
    let at = |t: f64, dose: f64| c.forecast_gel(q(dose), celsius(t)).unwrap();
    for dose in [0.7, 1.0, 2.0] {
        for t in [10.0, 15.0, 20.0, 25.0, 30.0] {
            let (here, colder, more) = (at(t, dose), at(t - 5.0, dose), at(t, 1.2 * dose));
            assert!(colder.time > here.time && colder.low > here.low);
            assert!(more.time < here.time);
            assert!(here.low <= here.time && here.high.is_none_or(|h| here.time <= h));
        }
    }
}

#[test]
fn the_band_widens_with_every_spread() {
    let wide = |relative: f64, kelvin: f64| {
        let rows = [
            (15.0, 1.0, 52.0),
            (20.0, 1.0, 36.0),
            (15.0, 2.0, 29.0),
            (20.0, 2.0, 20.0),
        ];
        let rows = rows.map(|(c, d, m)| row(c, d, m, relative)).to_vec();
        let cup = CupTest {
            peak_temperature: Some(Spread::new(celsius(148.0), Distribution::Normal(kelvin)).unwrap()),
            ..cup_test(25.0, 1.5, 20.0, 13.0, 148.0)
        };
        let c = found(&with(rows, vec![cup]));
        let f = c.forecast_gel(q(1.5), celsius(17.0)).unwrap();
        // The cup again, by laws of the band: heat, film and specific heat each keep what is known of them before; what a peak
        // tells is the peak.
        let n = 48;
        let peaks: Vec<f64> = (0..n)
            .map(|seed| {
                let l = c.law_at(&draw(seed, Calibration::DRAWN_BY)).unwrap();
                by_law(&l, 25.0, 1.5, 0.1).peak_temperature.si()
            })
            .collect();
        let mean = peaks.iter().sum::<f64>() / n as f64;
        let variance = peaks.iter().map(|p| (p - mean).powi(2)).sum::<f64>() / n as f64;
        ((f.high.unwrap().si() / f.low.si()).ln(), variance.sqrt())
    };
    let (narrow, loose, warm) = (wide(0.05, 5.0), wide(0.15, 5.0), wide(0.05, 10.0));
    println!("{narrow:?} {loose:?} {warm:?}");
    assert!(loose.0 > 1.3 * narrow.0);
    assert!(warm.1 > 1.3 * narrow.1);
}

/// The table wins for gel times, the cup for heat, and the answer says so.
#[test]
fn a_table_and_a_cup_that_contradict_each_other_are_named() {
    let rows = || {
        let rows = [
            (15.0, 1.0, 52.0),
            (20.0, 1.0, 36.0),
            (15.0, 2.0, 29.0),
            (20.0, 2.0, 20.0),
        ];
        rows.map(|(c, d, m)| row(c, d, m, 0.05)).to_vec()
    };
    let agree = found(&with(rows(), vec![cup_test(20.0, 1.0, 34.0, 18.0, 180.0)]));
    assert!(agree.disagreements.is_empty(), "{:?}", agree.disagreements);
    let apart = found(&with(rows(), vec![cup_test(20.0, 1.0, 24.0, 18.0, 180.0)]));
    let told = apart.disagreements.join("\n");
    assert!(
        told.contains("your gel-time table and your cup differ by"),
        "{told}"
    );
    assert!(
        told.contains("at 1 phr") && told.contains("follow the table"),
        "{told}"
    );
    let gel = |c: &Calibration| c.forecast_gel(q(1.0), celsius(20.0)).unwrap().time.si() / 60.0;
    assert!((gel(&apart) / 36.0 - 1.0).abs() < 0.08, "{}", gel(&apart));
    let heat = |c: &Calibration| c.kinetics.heat_of_reaction.si();
    assert!(
        (heat(&apart) / heat(&agree) - 1.0).abs() < 0.05,
        "{} {}",
        heat(&apart),
        heat(&agree)
    );
}

#[test]
fn bad_evidence_is_refused_and_named() {
    let refused = |e: &Evidence, kind: ErrorKind, field: &str, says: &str| {
        let e = e.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap_err();
        assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
        assert!(e.to_string().contains(says), "{e}");
    };
    let cup = |peak: f64| with(vec![], vec![cup_test(25.0, 1.5, 20.0, 13.0, peak)]);
    let peak = "cup_tests[0].peak_temperature";
    refused(&cup(340.0), ErrorKind::Inconsistent, peak, "adiabatic");
    refused(&cup(20.0), ErrorKind::Inconsistent, peak, "a cure warms its cup");
    // 300 J/g, stated to 5 %, warm 1.9 J/(g K) by 158 K, three standard deviations by 183 K.
    let stated = Evidence {
        heat_of_reaction: Some(Spread::exact(q(300e3))),
        ..cup(215.0)
    };
    refused(&stated, ErrorKind::Inconsistent, peak, "adiabatic");
    refused(
        &with(vec![], vec![]),
        ErrorKind::NoSolution,
        "gel_table",
        "time one cup",
    );
    let epoxy = Evidence {
        resin: "laminating_epoxy".into(),
        ..cup(150.0)
    };
    refused(&epoxy, ErrorKind::Inconsistent, "resin", "epoxy");
    let hardener = Evidence::of("mekp_9");
    assert!(hardener.calibrate(Catalogue::generic(), Cancel::NEVER).is_err());
    let turned = with(vec![row(20.0, 1.0, 30.0, 0.1), row(25.0, 1.0, 40.0, 0.1)], vec![]);
    refused(&turned, ErrorKind::Inconsistent, "gel_table.rows", "hotter");
}

/// What the cup was said to weigh and hold is compared with the resin.
#[test]
fn a_cup_of_other_stuff_is_named() {
    let mut test = cup_test(25.0, 1.5, 20.0, 13.0, 148.0);
    test.density = Some(q(1100.0));
    test.heat_capacity = Some(q(1900.0));
    let same = found(&with(vec![], vec![test.clone()]));
    assert!(!same.disagreements.iter().any(|d| d.contains("off the resin's")));
    test.density = Some(q(1300.0));
    test.heat_capacity = Some(q(1600.0));
    let other = found(&with(vec![], vec![test]));
    let told = other.disagreements.join("\n");
    assert!(
        told.contains("density") && told.contains("heat capacity"),
        "{told}"
    );
}

/// No cliff: a cup at one dose does not tell the inhibitor, and a forecast at a third of it says what decides.
#[test]
fn where_the_inhibitor_decides_the_answer_says_so() {
    let c = found(&with(vec![], vec![cup_test(25.0, 1.8, 20.0, 13.0, 148.0)]));
    let f = c.forecast_gel(q(0.75), celsius(20.0)).unwrap();
    let says = f.decides.unwrap();
    assert!(
        says.contains("inhibitor") && says.contains("nothing here measured"),
        "{says}"
    );
    assert!(f.never_gels.get() > 0.01 && f.extrapolated.is_some());
    let near = c.forecast_gel(q(1.8), celsius(25.0)).unwrap();
    assert!(near.decides.is_none() && near.extrapolated.is_none(), "{near:?}");
    let e = c.forecast_gel(q(0.05), celsius(20.0)).unwrap_err();
    assert_eq!(e.kind(), ErrorKind::NoSolution, "{e}");
    assert!(e.to_string().contains("inhibitor"), "{e}");
}

/// A draw of nothing is the most probable law; the mean of many lies near it.
#[test]
fn laws_are_drawn_about_the_most_probable_one() {
    let c = found(&Evidence::of("ortho_polyester"));
    let middle = c.law_at(&[]).unwrap();
    assert!((middle.gel_conversion.get() / c.gel_conversion.get() - 1.0).abs() < 1e-9);
    let time = |k: &Kinetics, at| gels(k, at, 21.0, 0.87);
    let most_probable = time(&c.kinetics, c.gel_conversion);
    assert!((time(&middle.kinetics, middle.gel_conversion) / most_probable - 1.0).abs() < 1e-6);
    let mut sum = 0.0;
    for seed in 0..64 {
        let l = c.law_at(&draw(seed, Calibration::DRAWN_BY)).unwrap();
        sum += time(&l.kinetics, l.gel_conversion).ln() / 64.0;
    }
    assert!(
        (sum.exp() / most_probable - 1.0).abs() < 0.05,
        "{} {most_probable}",
        sum.exp()
    );
    let hot = to_celsius(c.kinetics.fitted.unwrap().hottest);
    assert!(hot > 25.0 && hot < 40.0, "{hot}");
}
