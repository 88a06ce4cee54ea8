//! Laws of gel and cure.

use gelwright::cure::*;
use gelwright::quantity::temperature::celsius;
use gelwright::quantity::*;
use gelwright::source::{Source, Standing};
use gelwright::{Cancel, ErrorKind};
use proptest::prelude::*;

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).unwrap()
}

fn source() -> Source {
    Source::of(Standing::Invented, "drawn by the test")
}

fn rate(factor: f64, energy: f64) -> RateConstant {
    RateConstant {
        factor: q(factor),
        activation_energy: q(energy),
        at: Some(celsius(25.0)),
    }
}

fn free(kd: f64, kp: f64, dose: f64, inhibitor: f64, promoter: f64, trapped: bool) -> Kinetics {
    Kinetics {
        law: RateLaw::FreeRadical(FreeRadical {
            decomposition: rate(kd, 55e3),
            thermal_decomposition: None,
            propagation: rate(kp, 24e3),
            dose: q(dose),
            inhibitor: q(inhibitor),
            promoter: q(promoter),
            reference_promoter: q(1.0),
            promoter_order: 0.7,
            radicals: if trapped {
                Radicals::Trapped
            } else {
                Radicals::Steady
            },
        }),
        heat_of_reaction: q(350e3),
        seed: q(0.0),
        vitrification: None,
        fitted: None,
        source: source(),
    }
}

prop_compose! {
    /// A table made from a law with scatter that keeps every row in order: hotter and more are sooner.
    fn tables()(
        energy in 30e3f64..180e3, order in 0.2f64..2.5, base in 5.0f64..120.0,
        temperatures in 1usize..4, doses in 1usize..4, wobble in prop::collection::vec(-0.03f64..0.03, 16),
    ) -> Option<GelTable> {
        let mut rows = Vec::new();
        for i in 0..temperatures {
            for j in 0..doses {
                let c = 15.0 + 6.0 * i as f64;
                let d = 1.0 + 0.6 * j as f64;
                let law = (energy / 8.314 * (1.0 / (c + 273.15) - 1.0 / 293.15)).exp() * d.powf(-order);
                rows.push(GelRow::new(celsius(c), q(d), q(60.0 * base * law * wobble[4 * i + j].exp())));
            }
        }
        GelTable::new(rows, source()).ok()
    }
}

fn gel(k: &Kinetics, c: f64) -> Option<f64> {
    let criterion = GelCriterion::Conversion { conversion: q(0.05) };
    match k.gel_time(&criterion, &Schedule::isothermal(celsius(c)).unwrap()) {
        Ok(t) => Some(t.time.si()),
        Err(e) => {
            assert_eq!(e.kind(), ErrorKind::NoSolution, "{e}");
            None
        }
    }
}

proptest! {
    #[test]
    fn a_table_never_gels_later_hotter_or_with_more_catalyst(
        table in tables(), c in 5.0f64..40.0, d in 0.5f64..4.0, dc in 0.0f64..8.0, dd in 0.0f64..1.0,
    ) {
        let Some(table) = table else { return Ok(()) };
        let at = |c: f64, d: f64| table.gel_time(celsius(c), q(d)).unwrap().time.si();
        prop_assert!(at(c + dc, d) <= at(c, d) * (1.0 + 1e-12));
        prop_assert!(at(c, d + dd) <= at(c, d) * (1.0 + 1e-12));
        let g = table.gel_time(celsius(c), q(d)).unwrap();
        prop_assert!(g.low < g.time && g.time < g.high);
        let outside = c < table.temperatures().0.si() - 273.15 - 1e-3 || d > table.doses().1.get() + 1e-6;
        prop_assert!(!outside || g.extrapolated.is_some());
    }

    #[test]
    fn the_dose_for_a_gel_time_gives_it_back(table in tables(), c in 12.0f64..32.0, share in 0.01f64..0.99) {
        let Some(table) = table else { return Ok(()) };
        let window = (q::<Phr>(0.8), q::<Phr>(3.0));
        let at = |d: Phr| table.gel_time(celsius(c), d).unwrap().time.si();
        let (slow, quick) = (at(window.0), at(window.1));
        let wanted = slow.powf(share) * quick.powf(1.0 - share);
        let found = table.dose_for(q(wanted), celsius(c), window.0, window.1).unwrap();
        prop_assert!((found.gel_time.time.si() / wanted - 1.0).abs() < 1e-6);
        prop_assert!(window.0 <= found.dose && found.dose <= window.1);
        for beyond in [0.9 * quick, 1.1 * slow] {
            let e = table.dose_for(q(beyond), celsius(c), window.0, window.1).unwrap_err();
            prop_assert_eq!(e.kind(), ErrorKind::NoSolution);
            prop_assert!(e.way_out().is_some());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn kinetics_never_gel_later_hotter_or_with_more_catalyst_or_promoter(
        kd in 5e-5f64..2e-3, kp in 1e-4f64..5e-2, dose in 0.5f64..3.0, share in 0.0f64..0.9,
        c in 12.0f64..40.0, step in 0.1f64..10.0, more in 1.01f64..2.0, trapped: bool,
    ) {
        let z = share * dose;
        let Some(here) = gel(&free(kd, kp, dose, z, 1.0, trapped), c) else { return Ok(()) };
        let never_later = |k: &Kinetics, c: f64| gel(k, c).is_some_and(|t| t <= here * (1.0 + 1e-6));
        // Steady radicals: warmth, too, spends the initiator sooner than it speeds the growth (dead-end polymerisation,
        // Tobolsky 1958), so near the least dose that gels at all a warmer cup gels later or not at all.
        prop_assert!(never_later(&free(kd, kp, dose, z, 1.0, trapped), c + step) || !trapped);
        prop_assert!(never_later(&free(kd, kp, dose * more, z, 1.0, trapped), c));
        // Steady radicals: twice the promoter spends the initiator sooner, so only trapped ones are monotone to
        // any conversion; to gel both are.
        prop_assert!(never_later(&free(kd, kp, dose, z, more, trapped), c) || !trapped);
        // More inhibitor never gels sooner.
        let inhibited = gel(&free(kd, kp, dose, (z * more).max(0.01), 1.0, trapped), c);
        prop_assert!(inhibited.is_none_or(|t| t >= here * (1.0 - 1e-6)) || z < 0.01);
    }

    #[test]
    fn the_dose_from_kinetics_gives_the_gel_time_back(kd in 1e-4f64..1e-3, kp in 1e-3f64..2e-2, share in 0.05f64..0.95) {
        let k = free(kd, kp, 1.5, 0.5, 1.0, true);
        let s = Schedule::isothermal(celsius(22.0)).unwrap();
        let criterion = GelCriterion::Conversion { conversion: q(0.05) };
        let at = |d: f64| k.with_dose(q(d)).unwrap().gel_time(&criterion, &s).unwrap().time.si();
        let wanted = at(1.0).powf(share) * at(2.5).powf(1.0 - share);
        let found = k.dose_for(q(wanted), &criterion, &s, q(1.0), q(2.5), Cancel::NEVER).unwrap();
        prop_assert!((found.gel_time.time.si() / wanted - 1.0).abs() < 1e-5);
    }

    #[test]
    fn conversion_stays_between_seed_and_limit_and_never_falls(
        m in 0.2f64..2.0, n in 0.5f64..3.0, seed in 1e-5f64..0.05, k in 1e-5f64..1e-1, c in -5.0f64..90.0,
        lambda in 0.2f64..1.0, warm in 0.0f64..60.0,
    ) {
        let kinetics = Kinetics {
            law: RateLaw::KamalSourour(KamalSourour { k1: rate(0.01 * k, 70e3), k2: rate(k, 50e3), m, n }),
            heat_of_reaction: q(300e3),
            seed: q(seed),
            vitrification: Some(Vitrification {
                glass_transition: GlassTransition { uncured: celsius(-50.0), cured: celsius(110.0), lambda },
                above: q(8.0),
                slows_over: None,
                spread: None,
            }),
            fitted: None,
            source: source(),
        };
        let s = Schedule::new(vec![
            SchedulePoint { time: q(0.0), temperature: celsius(c) },
            SchedulePoint { time: q(3000.0), temperature: celsius(c + warm) },
            SchedulePoint { time: q(9000.0), temperature: celsius(c) },
        ]).unwrap();
        let curve = kinetics.cure(&s, q(20_000.0), 201).unwrap();
        prop_assert_eq!(curve.time_s.len(), 201);
        for pair in curve.conversion.windows(2) {
            prop_assert!(pair[1] >= pair[0] - 1e-12, "{:?}", pair);
        }
        let limit = kinetics.vitrification.unwrap().final_conversion(celsius(c + warm)).unwrap().conversion.get();
        let last = *curve.conversion.last().unwrap();
        prop_assert!(last <= limit.max(seed) + 1e-6 && curve.conversion[0] >= seed - 1e-12);
    }

    /// A resin that slows past its glass transition, held at one temperature: colder never cures further, longer never
    /// less, the band holds the conversion, and an oven afterwards lowers neither cure nor glass transition.
    #[test]
    fn held_colder_never_cures_further_and_longer_never_less(
        kd in 1e-4f64..1e-3, kp in 5e-4f64..1e-2, dose in 0.8f64..3.0, c in 5.0f64..60.0, colder in 1.0f64..20.0,
        cured in 60.0f64..130.0, lambda in 0.25f64..0.8, over in 1.0f64..8.0, hours in 2.0f64..48.0,
        oven in 0.0f64..60.0,
    ) {
        let glass = GlassTransition { uncured: celsius(-50.0), cured: celsius(cured), lambda };
        let mut k = free(kd, kp, dose, 0.5, 1.0, true);
        k.vitrification = Some(Vitrification {
            glass_transition: glass, above: q(0.0), slows_over: Some(q(over)), spread: None,
        });
        let end = |c: f64| {
            let held = Schedule::isothermal(celsius(c)).unwrap();
            k.cure(&held, q(hours * 3600.0), 101).unwrap()
        };
        let (warm, cold) = (end(c), end(c - colder));
        for (w, x) in warm.conversion.iter().zip(&cold.conversion) {
            prop_assert!(*x <= w + 2e-6, "{} colder, {} warmer", x, w);
        }
        for pair in warm.conversion.windows(2) {
            prop_assert!(pair[1] >= pair[0] - 1e-12, "{:?}", pair);
        }
        let (low, high) = (warm.conversion_low.unwrap(), warm.conversion_high.unwrap());
        for ((l, a), h) in low.iter().zip(&warm.conversion).zip(&high) {
            prop_assert!(l <= a && a <= h && *l >= 0.0 && *h <= 1.0);
        }
        let at = |hours: f64, c: f64| SchedulePoint { time: q(hours * 3600.0), temperature: celsius(c) };
        let room = Schedule::new(vec![at(0.0, c), at(hours, c)]).unwrap();
        let baked = Schedule::new(vec![at(0.0, c), at(hours, c), at(hours + 1.0, c + oven), at(hours + 4.0, c + oven)]).unwrap();
        let before = k.post_cure(&glass, &room, q(0.0)).unwrap();
        let after = k.post_cure(&glass, &baked, q(0.0)).unwrap();
        prop_assert!(after.conversion.get() >= before.conversion.get() - 2e-6);
        prop_assert!(after.glass_transition.si() >= before.glass_transition.si() - 1e-3);
    }

    /// What a fit is made of comes back from the cup that it forecasts, though that cup vitrifies in the end.
    #[test]
    fn a_fit_returns_the_constants_of_its_own_forecast(
        kd in 2e-4f64..8e-4, kp in 1e-3f64..8e-3, heat in 250e3f64..420e3, cured in 70.0f64..110.0,
    ) {
        let glass = GlassTransition { uncured: celsius(-50.0), cured: celsius(cured), lambda: 0.4 };
        let slowed = Vitrification {
            glass_transition: glass, above: q(0.0), slows_over: Some(q(3.0)), spread: None,
        };
        let mut k = free(kd, kp, 2.0, 0.6, 1.0, true);
        k.vitrification = Some(slowed);
        k.heat_of_reaction = q(heat);
        if let RateLaw::FreeRadical(f) = &mut k.law {
            f.propagation.activation_energy = q(23.59e3);
            f.promoter_order = 0.5;
        }
        let cup = TestCup {
            mass: q(0.1), density: q(1100.0), heat_capacity: q(1900.0), heat_transfer: q(8.0),
            surroundings: celsius(25.0),
        };
        let seen = cup.read(&k, q(0.05)).unwrap();
        // A cup that hardly warms tells no heat of reaction.
        prop_assume!(seen.peak_temperature.si() > celsius(60.0).si());
        let lines = DataSheetLines {
            dose: q(2.0), gel_time: seen.gel_time, gel_to_peak: seen.gel_to_peak,
            peak_temperature: seen.peak_temperature, gel_conversion: None, heat_of_reaction: None,
            gel_activation_energy: None, dose_order: None, vitrification: Some(slowed), source: source(),
        };
        let fit = lines.kinetics(&cup, Cancel::NEVER).unwrap().kinetics;
        prop_assert_eq!(fit.vitrification, Some(slowed));
        let RateLaw::FreeRadical(f) = fit.law else { panic!("another law") };
        let near = |got: f64, made: f64| (got / made - 1.0).abs() < 2e-3;
        prop_assert!(near(f.decomposition.factor.si(), kd), "kd {} of {}", f.decomposition.factor.si(), kd);
        prop_assert!(near(f.propagation.factor.si(), kp), "kp {} of {}", f.propagation.factor.si(), kp);
        prop_assert!(near(fit.heat_of_reaction.si(), heat), "H {} of {}", fit.heat_of_reaction.si(), heat);
    }

    #[test]
    fn glass_transition_rises_and_inverts(
        t0 in -80.0f64..0.0, rise in 20.0f64..200.0, lambda in 0.05f64..1.0, a in 0.0f64..1.0, b in 0.0f64..1.0,
    ) {
        let g = GlassTransition { uncured: celsius(t0), cured: celsius(t0 + rise), lambda };
        let (lo, hi) = if a < b { (a, b) } else { (b, a) };
        prop_assert!(g.at(q(lo)).unwrap().temperature <= g.at(q(hi)).unwrap().temperature);
        let back = g.conversion_at(g.at(q(a)).unwrap().temperature).unwrap().get();
        prop_assert!((back - a).abs() < 1e-9, "{} {}", back, a);
    }

    #[test]
    fn a_hotter_cup_peaks_hotter_and_a_larger_cup_too(
        kd in 2e-4f64..1e-3, kp in 1e-3f64..1e-2, c in 15.0f64..28.0, mass in 0.05f64..0.4,
    ) {
        let k = free(kd, kp, 2.0, 0.5, 1.0, true);
        let cup = |c: f64, m: f64| TestCup {
            mass: q(m), density: q(1100.0), heat_capacity: q(1900.0), heat_transfer: q(8.0), surroundings: celsius(c),
        };
        let peak = |c: f64, m: f64| cup(c, m).read(&k, q(0.05)).unwrap().peak_temperature.si();
        prop_assert!(peak(c + 4.0, mass) > peak(c, mass));
        prop_assert!(peak(c, 1.5 * mass) > peak(c, mass) - 1e-6);
        // Never above the adiabatic end.
        prop_assert!(peak(c, mass) <= c + 273.15 + 350e3 / 1900.0 + 1e-3);
    }

    #[test]
    fn shrinkage_grows_with_conversion_and_filler_stops_it(a in 0.1f64..1.0, phi in 0.0f64..0.7) {
        let s = |phi: f64| CureDensities { liquid_density: q(1120.0), cured_density: q(1210.0), filler_content: q(phi) };
        let at = |a: f64, phi: f64| s(phi).at(q(a), q(0.05)).unwrap();
        prop_assert!(at(a, phi).volume.si() < at(0.5 * a, phi).volume.si());
        prop_assert!(at(a, phi).volume.si() >= at(a, 0.0).volume.si());
        let x = at(a, phi);
        prop_assert!((((1.0 + x.linear.si()).powi(3) - 1.0) - x.volume.si()).abs() < 1e-12);
        prop_assert!(x.linear_after_gel.si() >= x.linear.si());
    }
}

#[test]
fn a_seed_moves_the_peak_and_a_zero_seed_is_refused() {
    let with = |seed: f64| Kinetics {
        law: RateLaw::Autocatalytic(Autocatalytic {
            k: rate(2e-3, 60e3),
            m: 0.8,
            n: 1.5,
        }),
        heat_of_reaction: q(300e3),
        seed: q(seed),
        vitrification: None,
        fitted: None,
        source: source(),
    };
    let cup = TestCup {
        mass: q(0.1),
        density: q(1100.0),
        heat_capacity: q(1900.0),
        heat_transfer: q(8.0),
        surroundings: celsius(25.0),
    };
    let time = |seed: f64| {
        let r = cup.read(&with(seed), q(0.05)).unwrap();
        r.gel_time.si() + r.gel_to_peak.si()
    };
    assert!(time(1e-6) > 1.2 * time(1e-2));
    let e = with(0.0).kernel().unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "seed"));
}

#[test]
fn what_never_cures_says_why() {
    let s = Schedule::isothermal(celsius(20.0)).unwrap();
    let starved = free(3e-4, 3e-3, 0.4, 0.5, 1.0, true);
    let e = starved.time_to(q(0.05), &s).unwrap_err();
    assert!(e.to_string().contains("the inhibitor uses up 0.500 phr"), "{e}");
    let mut glassy = free(3e-4, 3e-3, 2.0, 0.5, 1.0, true);
    glassy.vitrification = Some(Vitrification {
        glass_transition: GlassTransition {
            uncured: celsius(-40.0),
            cured: celsius(110.0),
            lambda: 0.5,
        },
        above: q(10.0),
        slows_over: None,
        spread: None,
    });
    let e = glassy.time_to(q(0.95), &s).unwrap_err();
    assert!(e.to_string().contains("vitrifies"), "{e}");
    let mut slowed = glassy.clone();
    slowed.vitrification = slowed.vitrification.map(|v| Vitrification {
        slows_over: Some(q(3.0)),
        ..v
    });
    let e = slowed.time_to(q(0.95), &s).unwrap_err();
    assert!(e.to_string().contains("vitrifies"), "{e}");
    // Warmed, it cures on.
    let oven = Schedule::new(vec![
        SchedulePoint {
            time: q(0.0),
            temperature: celsius(20.0),
        },
        SchedulePoint {
            time: q(86_400.0),
            temperature: celsius(20.0),
        },
        SchedulePoint {
            time: q(90_000.0),
            temperature: celsius(100.0),
        },
    ])
    .unwrap();
    assert!(glassy.time_to(q(0.95), &oven).unwrap().time.si() > 86_400.0);
}

#[test]
fn demoulding_waits_for_every_condition() {
    let k = free(3e-4, 3e-3, 2.0, 0.5, 1.0, true);
    let s = Schedule::isothermal(celsius(22.0)).unwrap();
    let glass = GlassTransition {
        uncured: celsius(-40.0),
        cured: celsius(90.0),
        lambda: 0.5,
    };
    let by = |conversion: Option<f64>, above: Option<f64>| {
        k.demould_time(
            &DemouldCriterion {
                conversion: conversion.map(q),
                glass_transition: above.map(|_| glass),
                above_part: above.map(q),
                source: source(),
            },
            &s,
        )
    };
    let (a, b) = (
        by(Some(0.8), None).unwrap().time,
        by(None, Some(20.0)).unwrap().time,
    );
    let both = by(Some(0.8), Some(20.0)).unwrap().time;
    let later = if a > b { a } else { b };
    assert!(
        (both.si() - later.si()).abs() < 0.5,
        "{} {} {}",
        a.si(),
        b.si(),
        both.si()
    );
    assert_eq!(by(None, None).unwrap_err().kind(), ErrorKind::Inconsistent);
}
