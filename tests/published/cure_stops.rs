//! Cure that stops: where published cures at one temperature end must lie inside the band that is told.

use gelwright::Cancel;
use gelwright::calibrate::{CupTest, Evidence};
use gelwright::cure::*;
use gelwright::heat::{Course, Cup, Cure, Face, Layer, Place, Thermal, Wall};
use gelwright::material::Catalogue;
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

const HOUR: f64 = 3600.0;

/// A resin of the catalogue, calibrated on a cup of the trade's usual lines (invented; where cure ends hardly hangs on them).
fn resin(id: &str) -> Kinetics {
    resin_with(of_resin(id))
}

fn resin_with(vitrification: Option<Vitrification>) -> Kinetics {
    let evidence = Evidence {
        gel_table: Some(vec![]),
        cup_tests: vec![CupTest {
            gel_to_peak: Some(spread::parse("x", "12 min").unwrap()),
            peak_temperature: Some(spread::parse("x", "155 degC").unwrap()),
            ..CupTest::of(
                q(1.5),
                q(0.1),
                celsius(25.0),
                spread::parse("x", "18 min").unwrap(),
                Source::of(Standing::Invented, "chosen for this test"),
            )
        }],
        ..Evidence::of("ortho_polyester")
    };
    let found = evidence.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap();
    Kinetics {
        vitrification,
        ..found.kinetics
    }
}

fn of_resin(id: &str) -> Option<Vitrification> {
    let resin = Catalogue::generic().get(id).unwrap().resin().unwrap();
    Vitrification::of_resin(resin).unwrap()
}

fn after(k: &Kinetics, points: &[(f64, f64)]) -> PostCure {
    let points = points
        .iter()
        .map(|(hours, c)| SchedulePoint {
            time: q(hours * HOUR),
            temperature: celsius(*c),
        })
        .collect();
    let glass = k.vitrification.unwrap().glass_transition;
    k.post_cure(&glass, &Schedule::new(points).unwrap(), q(0.0))
        .unwrap()
}

/// What every end of a cure must keep to: the value inside its band, at most 20 points wide, Tg `least` to 30 K above.
fn ended(p: &PostCure, c: f64, least: f64) -> Vitrified {
    let v = p.vitrified.unwrap();
    assert!(v.low <= p.conversion && p.conversion <= v.high);
    assert!(v.high.get() - v.low.get() <= 0.20, "{v:?}");
    let above = to_celsius(p.glass_transition) - c;
    assert!((least..=30.0).contains(&above), "{above} K above");
    v
}

/// J. Appl. Polym. Sci. 97:2221 (2005), abstract: commercial polyesters with cobalt, dimethylaniline and peroxide have
/// at least 80 % of their styrene converted after 24 h at room temperature, and about all after 2 h at 100 °C.
#[test]
fn a_polyester_after_a_day_and_after_an_oven() {
    for id in ["ortho_polyester", "iso_polyester", "casting_polyester"] {
        let k = resin(id);
        let room = after(&k, &[(0.0, 23.0), (24.0, 23.0)]);
        let v = ended(&room, 23.0, 10.0);
        println!(
            "{id}: {} {v:?} Tg {}",
            room.conversion.get(),
            to_celsius(room.glass_transition)
        );
        assert!(v.high.get() >= 0.80, "{id}: {v:?}");
        let oven = after(&k, &[(0.0, 23.0), (24.0, 23.0), (25.0, 100.0), (27.0, 100.0)]);
        println!("{id}: oven {} {:?}", oven.conversion.get(), oven.vitrified);
        // Above its own glass transition it has not vitrified, and needs no band.
        let high = oven.vitrified.map_or(oven.conversion, |v| v.high);
        assert!(oven.conversion.get() > 0.95 && high.get() > 0.99, "{id}");
        assert!(oven.glass_transition > room.glass_transition);
    }
}

/// The same paper: a vinyl ester of about 60 °C (dynamic mechanical) after room temperature, 107 °C post-cured. W. D.
/// Cook, G. P. Simon, P. J. Burchill, M. Lau, T. J. Fitch, *Curing kinetics and thermal properties of vinyl ester resins*,
/// J. Appl. Polym. Sci. 64:769 (1997), abstract: peroxide and cobalt, Tg (calorimetry) about 11 K above the
/// temperature of cure.
#[test]
fn a_vinyl_ester_ends_as_two_papers_say() {
    let k = resin("vinyl_ester");
    let room = after(&k, &[(0.0, 25.0), (24.0, 25.0)]);
    let v = ended(&room, 25.0, 10.0);
    println!(
        "{} {v:?} Tg {}",
        room.conversion.get(),
        to_celsius(room.glass_transition)
    );
    let (low, high) = (
        to_celsius(v.glass_transition_low),
        to_celsius(v.glass_transition_high),
    );
    assert!(low <= 25.0 + 11.0 && 60.0 <= high, "{low} to {high}");
    let oven = after(&k, &[(0.0, 25.0), (24.0, 25.0), (25.0, 100.0), (29.0, 100.0)]);
    let v = oven.vitrified.unwrap();
    println!(
        "oven {} {v:?} Tg {}",
        oven.conversion.get(),
        to_celsius(oven.glass_transition)
    );
    assert!(to_celsius(v.glass_transition_low) <= 107.0 && 107.0 <= to_celsius(v.glass_transition_high));
}

/// DGEBA and 1,3-diaminopropane by isothermal calorimetry, public data (repository tkmeldrum/epoxy_HPC, posterior
/// medians of 2026-07-22): `da/dt = (k1 + k2 a^m)(1 - a)^(n/2)(r - a)^(n/2)` ends at `r` = 55.8 % at 25 °C, 75.1 % at 50,
/// 85.1 % at 60. Here the same constants without `r` but in the rate at the start, and vitrification in its place: -22 °C
/// of uncured DGEBA is published (an abstract, seen); lambda 0.5 and 110 °C are the best of a coarse grid (0.3
/// to 0.5, 80 to 130 °C) on the rows at 50 and 60, so that the row at 25 is foretold. Their spread is chosen here, narrower
/// than the usual one, which would tell 27 points at 25 °C. Each must be within 5 points, and its end inside the band.
#[test]
fn an_epoxy_stops_where_calorimetry_saw_it_stop() {
    let rows = [
        (25.0, 8.0, -4.554241, -3.645983, 1.088770, 1.163231, 0.558231),
        (50.0, 4.0, -3.862850, -3.008603, 0.851418, 1.532751, 0.751074),
        (60.0, 2.0, -3.553155, -2.780758, 0.798514, 1.549172, 0.851079),
    ];
    let glass = |uncured: f64, cured: f64, lambda: f64| GlassTransition {
        uncured: celsius(uncured),
        cured: celsius(cured),
        lambda,
    };
    for (c, hours, k1, k2, m, n, r) in rows {
        let fold = f64::powf(r, 0.5 * n);
        let constant = |log10: f64| RateConstant::at(celsius(c), q(fold * 10f64.powf(log10)), q(50e3));
        let k = Kinetics {
            law: RateLaw::KamalSourour(KamalSourour {
                k1: constant(k1),
                k2: constant(k2),
                m,
                n,
            }),
            heat_of_reaction: q(400e3),
            seed: q(0.0),
            vitrification: Some(Vitrification {
                glass_transition: glass(-22.0, 110.0, 0.5),
                above: q(0.0),
                slows_over: Some(q(3.0)),
                spread: Some(GlassSpread {
                    low: glass(-25.0, 100.0, 0.45),
                    high: glass(-19.0, 120.0, 0.55),
                    climb: q(10.0),
                }),
            }),
            fitted: None,
            source: Source::of(Standing::Published, "tkmeldrum/epoxy_HPC"),
        };
        let end = after(&k, &[(0.0, c), (hours, c)]);
        // These runs last a few hours, not a night.
        let v = ended(&end, c, 5.0);
        println!("{c}: {} {v:?} measured {r}", end.conversion.get());
        assert!(
            (end.conversion.get() - r).abs() < 0.05,
            "{c}: {:?}",
            end.conversion
        );
        assert!(v.low.get() <= r && r <= v.high.get(), "{c}: {v:?}");
    }
}

/// Near the end of cure the law is the factor `1/(1 + exp(C (a - a_c)))` of C.-S. Chern, G. W. Poehlein, Polym. Eng. Sci.
/// 27:788 (1987): analytic, with `C = (dTg/da)/w` at `a_c`, `Tg(a_c) = T + above`.
#[test]
fn it_is_the_published_factor_beside_its_critical_conversion() {
    let v = Vitrification {
        glass_transition: GlassTransition {
            uncured: celsius(-50.0),
            cured: celsius(90.0),
            lambda: 0.4,
        },
        above: q(5.0),
        slows_over: Some(q(4.0)),
        spread: None,
    };
    let with = |vitrification| Kinetics {
        law: RateLaw::NthOrder(NthOrder {
            k: RateConstant::at(celsius(25.0), q(1e-3), q(50e3)),
            n: 1.0,
        }),
        heat_of_reaction: q(300e3),
        seed: q(0.0),
        vitrification,
        fitted: None,
        source: Source::of(Standing::Invented, "chosen for this test"),
    };
    let critical = v.glass_transition.conversion_at(celsius(30.0)).unwrap().get();
    let tg = |a: f64| v.glass_transition.at(q(a)).unwrap().temperature.si();
    let sharpness = (tg(critical + 1e-5) - tg(critical - 1e-5)) / 2e-5 / 4.0;
    for off in [-0.004, 0.0, 0.004] {
        let at = |k: &Kinetics| k.rate(q(critical + off), None, celsius(25.0)).unwrap().rate.si();
        let left = at(&with(Some(v))) / at(&with(None));
        let factor = 1.0 / (1.0 + (sharpness * off).exp());
        assert!((left - factor).abs() < 3e-3, "{off}: {left} against {factor}");
    }
}

/// What a cup shows, gel and peak, is past before its resin vitrifies: the constants found from it must not depend on where
/// that is. Against a glass that is never reached (analytic: the factor is one), within a part in a thousand.
#[test]
fn a_fit_hardly_knows_where_its_cure_stops() {
    let never = Vitrification {
        glass_transition: GlassTransition {
            uncured: celsius(-200.0),
            cured: celsius(-150.0),
            lambda: 0.5,
        },
        above: q(0.0),
        slows_over: Some(q(3.0)),
        spread: None,
    };
    let constants = |v: Option<Vitrification>| {
        let k = resin_with(v);
        let RateLaw::FreeRadical(f) = k.law else {
            panic!("another law")
        };
        [
            f.decomposition.factor.si(),
            f.propagation.factor.si(),
            k.heat_of_reaction.si(),
        ]
    };
    let (stops, free) = (constants(of_resin("ortho_polyester")), constants(Some(never)));
    for (s, f) in stops.iter().zip(&free) {
        assert!((s / f - 1.0).abs() < 1e-3, "{stops:?} against {free:?}");
    }
}

/// A number may not be less sure than 20 points, in any shop that is warm enough to cast in.
#[test]
fn no_resin_of_the_catalogue_is_less_sure_than_twenty_points() {
    let mut told = 0;
    for material in Catalogue::generic().iter() {
        let Ok(resin) = material.resin() else { continue };
        let Some(v) = Vitrification::of_resin(resin).unwrap() else {
            assert!(!resin.family.cures_by_peroxide(), "{}", material.id);
            continue;
        };
        for c in [15.0, 20.0, 25.0, 30.0] {
            let end = v.final_conversion(celsius(c)).unwrap();
            let band = end.vitrified.unwrap();
            let width = band.high.get() - band.low.get();
            assert!(width > 0.05 && width <= 0.20, "{} at {c}: {width}", material.id);
        }
        told += 1;
    }
    assert!(told >= 6, "{told}");
}

/// A wall of 2 mm and a cup of 20 g in a water bath at 17 °C, overnight, neither of which warms itself enough to matter:
/// they end where the isothermal cure ends (the same question asked of two solvers), and tell the band.
#[test]
fn a_thin_wall_and_a_cooled_cup_stop_with_the_isothermal_cure() {
    let k = resin("ortho_polyester");
    let thermal = Thermal::new(q(1100.0), q(1900.0), q(0.18));
    let cure = Cure::new(k.clone(), q(0.05));
    let bath = || Face::convection(q(1000.0), celsius(17.0));
    let layer = Layer::curing("wall", q(0.002), thermal, cure.clone(), celsius(17.0));
    let wall = Wall::plane(vec![layer], bath(), bath(), q(18.0 * HOUR))
        .run(Cancel::NEVER)
        .unwrap();
    let place = Place::Coefficient {
        coefficient: q(1000.0),
        surroundings: Course::Steady(celsius(17.0)),
    };
    let mut cup = Cup::new(
        q(0.02),
        q(0.06),
        thermal,
        cure,
        celsius(17.0),
        place,
        q(18.0 * HOUR),
    );
    cup.points = 100;
    let cup = cup.run(Cancel::NEVER).unwrap();
    let still = after(&k, &[(0.0, 17.0), (18.0, 17.0)]);
    let band = ended(&still, 17.0, 10.0);
    println!(
        "{} {} {} {band:?}",
        still.conversion.get(),
        wall.layers[0].least_cure.unwrap().get(),
        cup.cure.get()
    );
    let curve = cup.curve.unwrap();
    assert!((*curve.cure_low.unwrap().last().unwrap() - cup.vitrified.unwrap().low.get()).abs() < 1e-3);
    for (a, v) in [
        (
            wall.layers[0].least_cure.unwrap(),
            wall.layers[0].vitrified.unwrap(),
        ),
        (cup.cure, cup.vitrified.unwrap()),
    ] {
        assert!(
            (a.get() - still.conversion.get()).abs() < 0.01,
            "{a:?} against {still:?}"
        );
        assert!(
            (v.low.get() - band.low.get()).abs() < 0.015 && (v.high.get() - band.high.get()).abs() < 0.015
        );
    }
}
