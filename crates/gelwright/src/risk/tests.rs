//! The draws of the demo's castings, and of one so cold that it fails.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::*;
use crate::error::ErrorKind;
use crate::limit::Severity;
use crate::mix::Dose;
use crate::plan::Casting;
use crate::quantity::{Quantity, RelativeSpread, ThermodynamicTemperature};
use crate::{Cancel, document};

fn careful() -> Casting {
    Casting::from_toml(include_str!("../../demo/moth_lantern.toml")).unwrap()
}

/// Its seams, inserts and all but one zone left out: a draw of it costs a fifth.
fn one_wing() -> Casting {
    let mut casting = careful();
    casting.zones.retain(|z| z.name == "hind wings");
    (casting.inserts, casting.seams, casting.clamping) = (vec![], vec![], None);
    casting.cure.post_cure.clear();
    casting
}

fn cold(celsius: f64) -> Casting {
    let mut casting = one_wing();
    casting.shop.temperature = ThermodynamicTemperature::from_si(273.15 + celsius).unwrap();
    casting
}

fn risk_of(casting: &Casting, draws: u32, points: u32) -> Risk {
    casting
        .risk(&RiskSpreads::default(), draws, 0, points, Cancel::NEVER)
        .unwrap()
}

/// Analytic: the shop is too cold below 15 °C, whatever else; the thermometer shows 15.4 °C and has the standard uncertainty
/// `√(0.5²/12 + 1/3)` K. So that limit is broken with the probability `Φ(-0.4/u)` = 0.250, of 256 quasi-random draws within 0.02
/// (half of what independent ones may be off at two standard errors), and the thermometer makes the most difference.
#[test]
fn a_thermometer_near_a_limit() {
    let found = risk_of(&cold(15.4), 256, 96);
    let u = (0.25f64 / 12.0 + 1.0 / 3.0).sqrt();
    let expected = crate::numeric::normal::cumulative(-0.4 / u);
    let broken = found.limits.iter().find(|l| l.limit == "shop_cold").unwrap();
    assert_eq!(broken.severity, Severity::Warning);
    assert!(
        (broken.broken.share.get() - expected).abs() < 0.02,
        "{:?} {expected}",
        broken.broken
    );
    assert!((broken.broken.low.get()..=broken.broken.high.get()).contains(&expected));
    assert!(found.good.count <= 256 - broken.broken.count);
    assert_eq!(found.spoiled.count + found.comes_out.count, 256);
    assert!(found.good.count <= found.comes_out.count);
    let first = &found.drivers[0];
    assert_eq!(first.input, "thermometer");
    assert!(first.total > 0.5 && first.low < 1.0, "{first:?}");
}

/// The demo's careful casting comes out nearly always, and its draws spread about the plan; the one in a hurry never does.
#[test]
fn the_demo_s_castings() {
    let found = risk_of(&careful(), 24, 0);
    assert!(found.comes_out.share.get() > 0.8 && found.failed == 0);
    let gel = found
        .numbers
        .iter()
        .find(|n| n.name == "gel time of body_laminate")
        .unwrap();
    let si = |p: &Percentile| p.value.si("", crate::quantity::Time::MEASURE).unwrap();
    assert!(si(&gel.p05) < si(&gel.p50) && si(&gel.p50) < si(&gel.p95));
    assert!(
        gel.p95.high.is_none(),
        "24 draws tell no upper end of the 95th percentile"
    );
    let careless = Casting::from_toml(include_str!("../../demo/moth_lantern_careless.toml")).unwrap();
    let found = risk_of(&careless, 4, 0);
    assert_eq!(found.comes_out.count, 0);
    assert!(
        found
            .limits
            .iter()
            .any(|l| l.severity == Severity::Stop && l.broken.count == 4)
    );
    assert!(found.drivers.is_empty(), "all draws went alike");
}

/// Written down, read back and gone on with, on one thread or many: the same bits. Cancelled, what was drawn is kept.
#[test]
fn the_draws_go_on_where_they_stopped() {
    let casting = cold(13.4);
    let spreads = RiskSpreads::default();
    let mut whole = RiskDraws::begin(&casting, &spreads, 7);
    let looks = AtomicUsize::new(0);
    let count = || {
        looks.fetch_add(1, Ordering::Relaxed);
        false
    };
    // The looks of what is made ready before the first draw, then those of the draws too.
    whole.go_on(0, Cancel::when(&count)).unwrap();
    let before = looks.load(Ordering::Relaxed);
    whole.go_on(150, Cancel::when(&count)).unwrap();
    let of_draws = looks.load(Ordering::Relaxed) - 2 * before;
    let (half, asked) = (before + of_draws / 2, AtomicUsize::new(0));
    let stop = || asked.fetch_add(1, Ordering::Relaxed) >= half;
    let mut parts = RiskDraws::begin(&casting, &spreads, 7);
    let stopped = parts.go_on(150, Cancel::when(&stop));
    assert!(
        !parts.rows.is_empty() && parts.rows.len() < 150,
        "{}",
        parts.rows.len()
    );
    assert_eq!(stopped.unwrap_err().kind(), ErrorKind::Cancelled);
    let written = document::to_json(&parts).unwrap();
    let mut parts: RiskDraws = document::from_json(&written, Cancel::NEVER).unwrap();
    parts.go_on(100, Cancel::NEVER).unwrap();
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    one.install(|| parts.go_on(150, Cancel::NEVER)).unwrap();
    assert!(parts == whole);
    let (a, b) = (
        parts.read(0, Cancel::NEVER).unwrap(),
        casting.risk(&spreads, 150, 7, 0, Cancel::NEVER).unwrap(),
    );
    assert!(a == b);
    assert_eq!(
        RiskDraws::begin(&casting, &spreads, 0)
            .read(0, Cancel::NEVER)
            .unwrap_err()
            .kind(),
        ErrorKind::OutOfRange,
        "no draws"
    );
}

#[test]
fn what_can_not_be_is_refused() {
    let casting = one_wing();
    let ask = |spreads: RiskSpreads, draws: u32| {
        casting
            .risk(&spreads, draws, 0, 0, Cancel::NEVER)
            .map(|r| r.draws)
    };
    let with = |one: &str, other: &str, correlation: f64| Correlated {
        one: one.into(),
        other: other.into(),
        correlation,
    };
    let correlated = |correlations: Vec<Correlated>| RiskSpreads {
        correlations,
        ..RiskSpreads::default()
    };
    let wide = RiskSpreads {
        pace: RelativeSpread::new(1.5).unwrap(),
        ..RiskSpreads::default()
    };
    let (t, p) = ("thermometer", "pace of the hands");
    let film = "films in still air";
    for (spreads, draws, kind, field) in [
        (RiskSpreads::default(), 0, ErrorKind::OutOfRange, "draws"),
        (wide, 5, ErrorKind::OutOfRange, "spreads.pace"),
        (
            correlated(vec![with(t, "the moon", 0.1)]),
            5,
            ErrorKind::UnknownName,
            "spreads.correlations[0].other",
        ),
        (
            correlated(vec![with(t, t, 0.1)]),
            5,
            ErrorKind::Inconsistent,
            "spreads.correlations[0]",
        ),
        (
            correlated(vec![with(t, p, 1.0)]),
            5,
            ErrorKind::Inconsistent,
            "spreads.correlations",
        ),
        (
            correlated(vec![with(t, p, 0.9), with(p, film, 0.9), with(t, film, -0.9)]),
            5,
            ErrorKind::Inconsistent,
            "spreads.correlations",
        ),
    ] {
        let e = ask(spreads, draws).unwrap_err();
        assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
    }
    assert_eq!(ask(correlated(vec![with(t, p, -0.5)]), 5).unwrap(), 5);
}

/// Of three doses, in a shop at 19 °C: what no published rule allows is spoiled in every draw, and what none can be planned
/// with says why; of what is inside the best is one that the draws do not tell from its neighbour.
#[test]
fn the_likeliest_dose() {
    let casting = cold(19.0);
    let dose = |phr: f64| Dose::phr(phr).unwrap();
    let what = WhatToTry::Dose {
        recipe: "wing_pour".into(),
        values: vec![dose(0.1), dose(1.3), dose(1.4), dose(9.0)],
    };
    let found = casting
        .likeliest(&what, &RiskSpreads::default(), 24, 0, Cancel::NEVER)
        .unwrap();
    assert!(
        ["1.3 wt% on resin", "1.4 wt% on resin"].contains(&found.best.as_str()),
        "{}",
        found.best
    );
    for (i, spoiled) in [(0, true), (1, false), (2, false), (3, true)] {
        let comes_out = found.tries[i].comes_out.map_or(0, |p| p.count);
        assert_eq!(comes_out == 0, spoiled, "{:?}", found.tries[i]);
    }
    assert_eq!(found.as_good.len(), 1, "{:?}", found.as_good);
    for (what, kind, field) in [
        (
            WhatToTry::Dose {
                recipe: "soup".into(),
                values: vec![],
            },
            ErrorKind::UnknownName,
            "what.recipe",
        ),
        (
            WhatToTry::Dose {
                recipe: "wing_pour".into(),
                values: vec![],
            },
            ErrorKind::OutOfRange,
            "what.values",
        ),
        (
            WhatToTry::Thickness {
                zone: "moon".into(),
                layer: 0,
                values: vec![],
            },
            ErrorKind::UnknownName,
            "what.zone",
        ),
        (
            WhatToTry::Thickness {
                zone: "hind wings".into(),
                layer: 9,
                values: vec![],
            },
            ErrorKind::OutOfRange,
            "what.layer",
        ),
    ] {
        let e = casting
            .likeliest(&what, &RiskSpreads::default(), 8, 0, Cancel::NEVER)
            .unwrap_err();
        assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
    }
}

/// A gel coat of 0.2 mm is nearly always thinner than what cures through, one of 0.4 mm hardly ever.
#[test]
fn the_likeliest_thickness() {
    let mm = |x: f64| crate::quantity::Length::from_si(1e-3 * x).unwrap();
    let what = WhatToTry::Thickness {
        zone: "hind wings".into(),
        layer: 0,
        values: vec![mm(0.2), mm(0.4), mm(0.9)],
    };
    let found = cold(19.0)
        .likeliest(&what, &RiskSpreads::default(), 24, 0, Cancel::NEVER)
        .unwrap();
    assert_eq!(found.best, "0.4 mm");
    assert!(found.as_good.is_empty());
    let good = |i: usize| found.tries[i].good.unwrap().count;
    assert!(good(1) > good(0) && good(1) > good(2));
}
