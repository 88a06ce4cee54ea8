//! Laws of demoulding, of what an oven does, and of their inverses.

use gelwright::cure::*;
use gelwright::quantity::temperature::{celsius, to_celsius};
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

const HOUR: f64 = 3600.0;

/// A resin cured by peroxide that slows past its glass transition.
fn resin(kd: f64, kp: f64, cured: f64, lambda: f64, over: f64) -> Kinetics {
    let rate = |factor: f64, energy: f64| RateConstant::at(celsius(25.0), q(factor), q(energy));
    Kinetics {
        law: RateLaw::FreeRadical(FreeRadical {
            decomposition: rate(kd, 55e3),
            thermal_decomposition: None,
            propagation: rate(kp, 24e3),
            dose: q(1.5),
            inhibitor: q(0.5),
            promoter: q(1.0),
            reference_promoter: q(1.0),
            promoter_order: 0.5,
            promoter_retards: 0.0,
            dose_effect: None,
            radicals: Radicals::Trapped,
        }),
        heat_of_reaction: q(350e3),
        seed: q(0.0),
        vitrification: Some(Vitrification {
            glass_transition: GlassTransition {
                uncured: celsius(-50.0),
                cured: celsius(cured),
                lambda,
            },
            above: q(0.0),
            slows_over: Some(q(over)),
            spread: None,
        }),
        fitted: None,
        source: source(),
    }
}

fn modulus() -> CuringModulus {
    CuringModulus {
        glassy: q(3.2e9),
        rubbery: q(20e6),
        gel_conversion: q(0.05),
        step: q(8.0),
        source: source(),
    }
}

/// A conversion, a glass transition over the part, or a modulus.
fn criterion(kind: usize, share: f64) -> DemouldCriterion {
    DemouldCriterion {
        conversion: (kind == 0).then(|| q(0.5 + 0.35 * share)),
        glass_transition: None,
        above_part: (kind == 1).then(|| q(-5.0 + 20.0 * share)),
        modulus: (kind == 2).then(|| q(1e8 * 20f64.powf(share))),
        curing_modulus: (kind == 2).then(modulus),
        source: source(),
    }
}

fn at(hours: f64, c: f64) -> SchedulePoint {
    SchedulePoint {
        time: q(hours * HOUR),
        temperature: celsius(c),
    }
}

fn schedule(points: &[(f64, f64)]) -> Schedule {
    Schedule::new(points.iter().map(|(h, c)| at(*h, *c)).collect()).unwrap()
}

prop_compose! {
    fn resins()(
        kd in 1e-4f64..1e-3, kp in 5e-4f64..1e-2, cured in 65.0f64..125.0, lambda in 0.3f64..0.7, over in 1.5f64..6.0,
    ) -> Kinetics {
        resin(kd, kp, cured, lambda, over)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Along a night that cools: every value between its ends, nothing that was cured comes undone, and the modulus is that of
    /// the glass below the glass transition and of the rubber above it.
    #[test]
    fn readiness_stands_between_its_ends(k in resins(), evening in 15.0f64..30.0, falls in 0.0f64..12.0) {
        let night = schedule(&[(0.0, evening), (4.0, evening), (10.0, evening - falls), (16.0, evening)]);
        let r = k.readiness(&night, q(18.0 * HOUR), 73, None, Some(&modulus()), None).unwrap();
        let (e, e_low, e_high) = (r.modulus_pa.unwrap(), r.modulus_low_pa.unwrap(), r.modulus_high_pa.unwrap());
        for i in 0..r.time_s.len() {
            prop_assert!(r.conversion_low[i] <= r.conversion[i] && r.conversion[i] <= r.conversion_high[i]);
            prop_assert!(r.glass_transition_low_k[i] <= r.glass_transition_k[i]);
            prop_assert!(r.glass_transition_k[i] <= r.glass_transition_high_k[i]);
            prop_assert!(e_low[i] <= e[i] && e[i] <= e_high[i]);
            prop_assert!((0.0..=3.2e9).contains(&e[i]));
            let over = r.temperature_k[i] - r.glass_transition_k[i];
            prop_assert!(over > -40.0 || e[i] > 0.98 * 3.2e9);
            prop_assert!(over < 30.0 || e[i] <= 20.1e6);
            if i > 0 {
                prop_assert!(r.conversion[i] >= r.conversion[i - 1] - 1e-12);
                prop_assert!(r.glass_transition_k[i] >= r.glass_transition_k[i - 1] - 1e-9);
            }
        }
        if let Some(t) = r.vitrifies {
            let then = k.readiness(&night, t, 2, None, None, None).unwrap();
            prop_assert!((then.glass_transition_k[1] - then.temperature_k[1]).abs() < 0.01);
        }
    }

    /// The criterion holds at the time answered and not before, earliest <= time <= sure, and a part that stops is taken there
    /// by the warmth that is named, by no less.
    #[test]
    fn demoulding_holds_when_it_says(k in resins(), kind in 0usize..3, share in 0.0f64..1.0, c in 8.0f64..30.0) {
        let criterion = criterion(kind, share);
        let room = Schedule::isothermal(celsius(c)).unwrap();
        let Ok(d) = k.demould_time(&criterion, &room) else { return Ok(()) };
        let met = |s: &Schedule, hours: f64, part: f64| {
            let r = k.readiness(s, q(hours * HOUR), 2, None, Some(&modulus()), None).unwrap();
            let tg = r.glass_transition_k[1] - 273.15;
            match kind {
                0 => r.conversion[1] - criterion.conversion.unwrap().get(),
                1 => (tg - part - criterion.above_part.unwrap().si()) / 100.0,
                // In the heat of an oven it is judged cold again.
                _ if (r.temperature_k[1] - 273.15 - part).abs() > 1e-6 => 0.0,
                _ => r.modulus_pa.unwrap()[1] / criterion.modulus.unwrap().si() - 1.0,
            }
        };
        prop_assert_eq!(d.time.is_some(), d.stops_at.is_none());
        if let Some(t) = d.time {
            let hours = t.si() / HOUR;
            prop_assert!(met(&room, hours * (1.0 + 1e-6), c) >= -1e-6);
            prop_assert!(hours < 1e-3 || met(&room, hours * (1.0 - 1e-4), c) < 1e-6);
            prop_assert!(d.earliest.unwrap() <= t);
            prop_assert!(d.sure.is_none_or(|s| s >= t));
            prop_assert!((d.state.time.si() - t.si()).abs() < 1e-6);
        }
        if let Some(s) = d.stops_at {
            prop_assert!(d.sure.is_none());
            let warmed = |x: f64| schedule(&[(0.0, c), (24.0, c), (24.0 + 1.0 / HOUR, x), (48.0 + 1.0 / HOUR, x)]);
            let x = to_celsius(s.warm_to);
            prop_assert!(x > c && met(&warmed(x), 48.0 + 1.0 / HOUR, c) >= -1e-4, "{} {}", x, met(&warmed(x), 48.0, c));
            prop_assert!(kind == 2 || met(&warmed(x - 0.1), 48.0, c) < 1e-6);
        }
    }

    /// A warmer room never delays a conversion; one that is asked for the deadline and put back gives the deadline.
    #[test]
    fn a_warmer_room_never_delays_and_the_needed_one_just_does(
        k in resins(), kind in 0usize..3, share in 0.0f64..1.0, hours in 4.0f64..40.0, c in 8.0f64..30.0, warmer in 0.5f64..15.0,
    ) {
        let criterion = criterion(kind, share);
        if kind == 0 {
            let time = |c: f64| k.demould_time(&criterion, &Schedule::isothermal(celsius(c)).unwrap());
            let (cold, warm) = (time(c), time(c + warmer));
            if let Some(cold) = cold.unwrap().time {
                prop_assert!(warm.unwrap().time.is_some_and(|w| w.si() <= cold.si() * (1.0 + 1e-9)));
            }
        }
        let nothing = Schedule::isothermal(celsius(20.0)).unwrap();
        let by: Time = q(hours * HOUR);
        let needed = k.temperature_for(&criterion, &nothing, by, celsius(0.0), celsius(45.0), Cancel::NEVER);
        let holds = |t: ThermodynamicTemperature| {
            let d = k.demould_time(&criterion, &Schedule::isothermal(t).unwrap()).unwrap();
            d.time.is_some_and(|x| x <= by * (1.0 + 1e-9))
        };
        match needed {
            Ok(n) => {
                prop_assert!(holds(n.temperature));
                prop_assert!(n.least <= n.temperature && n.sure.is_none_or(|s| s >= n.temperature));
                // A hundredth of a kelvin colder does not, unless it is the coldest asked about.
                let colder = celsius(to_celsius(n.temperature) - 0.02);
                prop_assert!(colder < celsius(0.0) || !holds(colder));
            }
            Err(e) => {
                prop_assert_eq!(e.kind(), ErrorKind::NoSolution);
                for t in 0..10 {
                    prop_assert!(!holds(celsius(5.0 * f64::from(t))), "{}", e);
                }
            }
        }
    }

    /// The least post-cure put back: it gives the wanted glass transition, the part never comes nearer than the margin to its
    /// own, and no oven lowers what was there.
    #[test]
    fn the_least_post_cure_gives_it_and_never_softens(
        k in resins(), c in 14.0f64..25.0, hours in 8.0f64..30.0, share in 0.05f64..0.95, margin in 0.0f64..10.0,
    ) {
        let night = schedule(&[(0.0, c), (hours, c)]);
        let glass = k.vitrification.unwrap().glass_transition;
        let before = k.post_cure(&glass, &night, q(0.0)).unwrap();
        let wanted = celsius(to_celsius(before.glass_transition) * (1.0 - share) + to_celsius(glass.cured) * share);
        let found = k.least_post_cure(
            wanted, &night, None, q(margin), q(5.0), q(1800.0), celsius(120.0), q(72.0 * HOUR), Cancel::NEVER,
        );
        let Ok(p) = found else {
            prop_assert_eq!(found.unwrap_err().kind(), ErrorKind::NoSolution);
            return Ok(());
        };
        prop_assert!(p.oven_time.si() <= 72.0 * HOUR * (1.0 + 1e-9));
        prop_assert!(p.closest.si() >= margin - 0.05, "{} {}", p.closest.si(), margin);
        if p.schedule.points().len() > 1 {
            let after = k.post_cure(&glass, &p.schedule, q(hours * HOUR)).unwrap();
            prop_assert!(after.glass_transition.si() >= wanted.si() - 0.02, "{:?} {:?}", after.glass_transition, wanted);
            prop_assert!(after.glass_transition.si() >= before.glass_transition.si() - 1e-3);
            prop_assert!(after.softest.si() <= 1e-6);
        }
        // Ask for more and it takes no less.
        let more = celsius(0.5 * (to_celsius(wanted) + to_celsius(glass.cured)));
        if let Ok(m) = k.least_post_cure(
            more, &night, None, q(margin), q(5.0), q(1800.0), celsius(120.0), q(72.0 * HOUR), Cancel::NEVER,
        ) {
            prop_assert!(m.hold >= p.hold);
        }
    }

    /// An oven that is warmer than the part's glass transition is told as softening, by as much as it is.
    #[test]
    fn a_jump_into_the_oven_softens_by_what_it_is_warmer(k in resins(), c in 14.0f64..22.0, oven in 60.0f64..110.0) {
        let glass = k.vitrification.unwrap().glass_transition;
        let night = schedule(&[(0.0, c), (16.0, c)]);
        let tg = to_celsius(k.post_cure(&glass, &night, q(0.0)).unwrap().glass_transition);
        let second = 1.0 / HOUR;
        let jump = schedule(&[(0.0, c), (16.0, c), (16.0 + second, oven), (20.0, oven)]);
        let soft = k.post_cure(&glass, &jump, q(16.0 * HOUR)).unwrap();
        // In the second of the jump little cures on.
        let over = (oven - tg).max(0.0);
        prop_assert!(soft.softest.si() <= over + 1e-6 && soft.softest.si() >= 0.9 * over - 0.5, "{} {}", soft.softest.si(), over);
    }
}

/// Mistakes are told with field and way out.
#[test]
fn bad_input_is_refused() {
    let k = resin(4e-4, 3e-3, 85.0, 0.4, 3.0);
    let room = Schedule::isothermal(celsius(17.0)).unwrap();
    let none = DemouldCriterion {
        conversion: None,
        ..criterion(0, 0.5)
    };
    let e = k.demould_time(&none, &room).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "criterion"));
    let half = DemouldCriterion {
        curing_modulus: None,
        ..criterion(2, 0.5)
    };
    let e = k.demould_time(&half, &room).unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::Inconsistent, "criterion.modulus")
    );
    let free = Kinetics {
        vitrification: None,
        ..k.clone()
    };
    let e = free.demould_time(&criterion(1, 0.5), &room).unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::Inconsistent, "criterion.glass_transition")
    );
    let night = schedule(&[(0.0, 17.0), (10.0, 17.0)]);
    let needed = |by: f64, cold: f64, warm: f64| {
        k.temperature_for(
            &criterion(0, 0.5),
            &night,
            q(by * HOUR),
            celsius(cold),
            celsius(warm),
            Cancel::NEVER,
        )
    };
    for by in [-1.0, 0.0, 9.0] {
        let e = needed(by, 0.0, 40.0).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "by"), "{by}");
    }
    let e = needed(20.0, 40.0, 10.0).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "warmest"));
    let oven = |wanted: f64, hottest: f64| {
        k.least_post_cure(
            celsius(wanted),
            &night,
            None,
            q(5.0),
            q(5.0),
            q(1800.0),
            celsius(hottest),
            q(48.0 * HOUR),
            Cancel::NEVER,
        )
    };
    let e = oven(90.0, 100.0).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "wanted"));
    let e = oven(70.0, 10.0).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Inconsistent, "hottest"));
    let e = oven(80.0, 45.0).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::NoSolution, "wanted"));
    let upside_down = GlassTransition {
        uncured: celsius(90.0),
        cured: celsius(-50.0),
        lambda: 0.4,
    };
    let e = k
        .readiness(&night, q(HOUR), 3, Some(upside_down), None, None)
        .unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::Inconsistent, "glass_transition.cured")
    );
    let soft_glass = CuringModulus {
        rubbery: q(5e9),
        ..modulus()
    };
    let e = k
        .readiness(&night, q(HOUR), 3, None, Some(&soft_glass), None)
        .unwrap_err();
    assert_eq!(
        (e.kind(), e.field()),
        (ErrorKind::Inconsistent, "modulus.rubbery")
    );
}
