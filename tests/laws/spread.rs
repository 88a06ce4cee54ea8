//! Laws of spreads: what goes in comes out, moves together where it is one field, and nothing moves without it.

use gelwright::mix::{Bench, Thermometer};
use gelwright::plan::Casting;
use gelwright::propagate::Sampling;
use gelwright::quantity::{self, *};
use gelwright::uncertain::{NumberBand, Uncertain};
use gelwright::{Cancel, ErrorKind, Result, door, noun};
use proptest::prelude::*;
use serde_json::{Value, json};

const DEMO: &str = include_str!("../../crates/gelwright/demo/moth_lantern.toml");

fn q<Q: Quantity>(text: &str) -> Q {
    quantity::parse("x", text).unwrap()
}

fn ask(question: &str, request: &Value) -> Result<Value> {
    door::ask(question, &request.to_string()).map(|answer| serde_json::from_str(&answer).unwrap())
}

fn band_at<'a>(answer: &'a Value, path: &str) -> &'a Value {
    let numbers = answer["band"]["numbers"].as_array().unwrap();
    numbers
        .iter()
        .find(|n| n["path"] == path)
        .unwrap_or_else(|| panic!("{path} does not move: {numbers:?}"))
}

fn si<Q: Quantity>(text: &Value) -> f64 {
    q::<Q>(text.as_str().unwrap()).si()
}

/// A dose of 2 phr to so much resin, by volume.
fn dose(resin: &str, density: &str, dose: &str) -> Value {
    json!({ "dose": dose, "resin_volume": resin, "resin_density": density, "dose_density": "1.15 g/mL",
        "spread_sampling": { "points": 256 } })
}

/// JCGM 100:2008, 5.1.6: of a product the squares of the relative standard uncertainties add. Mass of a dose by volume of resin:
/// `m = V rho p`; rectangular half-widths of 3 %, 1 % and 5 % make u = sqrt(9 + 1 + 25)/sqrt(3) = 3.416 %, of which 25/35 is
/// the dose's. Tolerance: the second order, 2e-4 of it, and the sampling's, 1e-3.
#[test]
fn relative_uncertainties_of_a_product_add() {
    let answer = ask(
        "mix.dose",
        &dose("1 L +/- 3 %", "1.1 g/mL +/- 1 %", "2 +/- 0.1 wt% on resin"),
    )
    .unwrap();
    let m = band_at(&answer, "mass.value");
    let u = si::<Mass>(&m["standard_uncertainty"]) / si::<Mass>(&m["value"]);
    let expected = (35f64 / 3.0).sqrt() / 100.0;
    assert!((u / expected - 1.0).abs() < 2e-3, "{u} against {expected}");
    let first = si::<Mass>(&m["first_order"]) / si::<Mass>(&m["value"]);
    assert!((first / expected - 1.0).abs() < 1e-9, "{first}");
    let budget = &m["budget"][0];
    assert_eq!(budget["input"], "dose");
    assert!(
        (budget["part"].as_f64().unwrap() - 25.0 / 35.0).abs() < 1e-9,
        "{budget}"
    );
    // What it is told at the values is what it is told without spreads.
    let mut plain = ask("mix.dose", &dose("1 L", "1.1 g/mL", "2 wt% on resin")).unwrap();
    assert_eq!(
        plain["band"]["numbers"],
        json!([]),
        "asked for, and nothing moves"
    );
    let mut spread = answer.clone();
    for a in [&mut plain, &mut spread] {
        a.as_object_mut().unwrap().remove("band");
    }
    assert_eq!(plain, spread);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A monotone model's band holds its value, and any wider spread makes it wider: by first order always, sampled but for the
    /// scatter of its ends.
    #[test]
    fn bands_hold_the_value_and_widen(litres in 0.1f64..10.0, a in 0.2f64..3.0, b in 0.2f64..3.0, c in 0.2f64..3.0) {
        let band = |a: f64, b: f64, c: f64| {
            let request = dose(&format!("{litres} L +/- {a} %"), &format!("1.1 g/mL +/- {b} %"), &format!("2 phr, u = {c} %"));
            let answer = ask("mix.dose", &request).unwrap();
            let m = band_at(&answer, "mass.value").clone();
            ["low", "value", "high", "first_order"].map(|name| si::<Mass>(&m[name]))
        };
        let [low, value, high, first] = band(a, b, c);
        prop_assert!(low < value && value < high);
        for (a, b, c) in [(1.5 * a, b, c), (a, 1.5 * b, c), (a, b, 1.5 * c)] {
            let [lower, same, higher, more] = band(a, b, c);
            prop_assert_eq!(same.to_bits(), value.to_bits());
            prop_assert!(more > first, "{} {} {}", a, b, c);
            prop_assert!(higher - lower > 0.98 * (high - low), "{} {} {}", a, b, c);
        }
    }
}

fn cool() -> String {
    DEMO.replacen("temperature = \"17 degC\"", "temperature = \"17 +/- 1 degC\"", 1)
}

/// One shop temperature moves every batch; Rust and the door say the same; a warmer shop gels sooner.
#[test]
fn a_plan_with_a_shop_that_may_be_warmer() {
    let casting = Uncertain::<Casting>::from_toml(&cool()).unwrap();
    assert_eq!(casting.value(), &Casting::from_toml(DEMO).unwrap());
    // As the door does where a question is long.
    let sampling = Sampling {
        scramblings: 4,
        ..Sampling::none()
    };
    let planned = casting
        .propagate(sampling, Cancel::NEVER, |c| c.plan(Cancel::NEVER))
        .unwrap();
    let gel = |n: &NumberBand| n.first_order.as_ref().unwrap().read::<Time>("x").unwrap().si();
    for (i, batch) in planned.value.batches.iter().enumerate() {
        let Some(time) = &batch.gel_time else { continue };
        let n = planned.band_of(&format!("batches[{i}].gel_time.time")).unwrap();
        let relative = gel(n) / time.time.si();
        // From memory: a polyester's gel time halves over some 10 K, so u = 1 K/sqrt(3) moves it by 2 % to 8 %.
        assert!((0.02..0.08).contains(&relative), "{}: {relative}", batch.name);
        assert_eq!(n.budget.len(), 1);
        assert_eq!(n.budget[0].input, "shop.temperature");
    }
    let mut request = noun::to_value(&casting).unwrap();
    request["spread_sampling"] = json!({ "points": 0 });
    let answer = ask("plan.make", &request).unwrap();
    assert!(
        serde_json::from_str::<Value>(&noun::to_text(&planned.band)).unwrap() == answer["band"],
        "two bands"
    );
    let mut plain = ask("plan.make", &noun::to_value(casting.value()).unwrap()).unwrap();
    assert!(plain.get("band").is_none());
    plain["band"] = answer["band"].clone();
    assert!(plain == answer, "the answer at the values is another one");
}

/// Whoever reads a casting with spreads gets them back in their places.
#[test]
fn a_casting_is_read_with_its_spreads() {
    let read = ask("plan.read_casting", &json!({ "text": cool() })).unwrap();
    assert_eq!(read["shop"]["temperature"], "17 +/- 1 degC");
    let again: Uncertain<Casting> = noun::read(&read).unwrap();
    assert_eq!(again.inputs()[0].0, "shop.temperature");
    assert!(Casting::from_toml(&cool()).is_err(), "a plain casting has none");
}

/// JCGM 100:2008, 4.3.7 and F.2.2.1: a step of 1 K and an error of 1 K make u = sqrt(1/12 + 1/3) = 0.6455 K. A temperature that
/// the document gives its own spread keeps it; one that is not said moves with the air.
#[test]
fn a_bench_brings_its_thermometer() {
    let mut plain = Casting::from_toml(DEMO).unwrap();
    plain.shop.bench.thermometer = None;
    let without = Uncertain::new(&plain, std::iter::empty::<(&str, _)>()).unwrap();
    // What was measured of the mould brings its own spread; of the shop there is none without a thermometer.
    let of_the_shop = |c: &Uncertain<Casting>| {
        c.inputs()
            .iter()
            .filter(|(path, _)| path.starts_with("shop."))
            .count()
    };
    assert_eq!(of_the_shop(&Casting::as_measured(&without).unwrap()), 0);
    plain.shop.bench.thermometer = Some(Thermometer {
        readability: q("1 K"),
        error: q("1 K"),
    });
    plain.shop.mould_temperature = Some(q("16 degC"));
    let own = spread::parse::<ThermodynamicTemperature>("x", "16 +/- 2 degC")
        .unwrap()
        .input();
    let casting = Uncertain::new(&plain, [("shop.mould_temperature", own)]).unwrap();
    let measured = Casting::as_measured(&casting).unwrap();
    let inputs = measured.inputs();
    assert_eq!(of_the_shop(&measured), 2, "{inputs:?}");
    for (path, input) in inputs.into_iter().filter(|(path, _)| path.starts_with("shop.")) {
        let expected = match path {
            "shop.temperature" => (1f64 / 12.0 + 1.0 / 3.0).sqrt(),
            "shop.mould_temperature" => 2.0 / 3f64.sqrt(),
            other => panic!("{other}"),
        };
        assert!((input.standard_uncertainty() - expected).abs() < 1e-12, "{path}");
    }
    assert_eq!(measured.value().shop, plain.shop);
}

/// JCGM 100:2008, F.2.2.1: a net mass on a scale of 0.1 g has u = 0.1 sqrt(2/12) g; other instruments as their own equations.
#[test]
fn instruments_bring_their_spread() {
    let u = |x: quantity::spread::Input| x.standard_uncertainty();
    let bench = Bench::with_scale(q("0.1 g"));
    let weighed = bench.scale.weigh(q("60 g")).unwrap();
    assert!((u(weighed.input()) - 1e-4 * (2f64 / 12.0).sqrt()).abs() < 1e-18);
    let dropper = gelwright::mix::Dropper::uncalibrated();
    let counted = dropper.count(20.0).unwrap();
    assert!(
        (u(counted.input()) / (20.0 * dropper.drop_volume.si()) - dropper.relative_uncertainty(20.0)).abs()
            < 1e-12
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(dropper.count(bad).is_err(), "{bad}");
    }
}

/// Each with kind and field.
#[test]
fn what_a_spread_can_not_be() {
    for (resin, density, of, kind, field) in [
        (
            "1 L +/- 120 %",
            "1.1 g/mL",
            "2 phr",
            ErrorKind::OutOfRange,
            "resin_volume",
        ),
        (
            "1 L",
            "1.1 +/- 1.2 g/mL",
            "2 phr",
            ErrorKind::OutOfRange,
            "resin_density",
        ),
        (
            "1 L",
            "1.1 g/mL +/- 1 K",
            "2 phr",
            ErrorKind::WrongDimension,
            "resin_density",
        ),
        ("1 L", "1.1 g/mL", "2 +/- 3 phr", ErrorKind::OutOfRange, "dose"),
        (
            "1 L",
            "1.1 g/mL",
            "2 +/- 0.1 %",
            ErrorKind::WrongDimension,
            "dose",
        ),
        (
            "1 L",
            "1.1 g/mL",
            "10 +/- 1 drops/fl oz",
            ErrorKind::UnknownUnit,
            "dose",
        ),
        (
            "1 L, U = 3 mL",
            "1.1 g/mL",
            "2 phr",
            ErrorKind::Unreadable,
            "resin_volume",
        ),
        (
            "1 +/- 1 +/- 1 L",
            "1.1 g/mL",
            "2 phr",
            ErrorKind::Unreadable,
            "resin_volume",
        ),
    ] {
        let e = ask("mix.dose", &dose(resin, density, of)).unwrap_err();
        assert_eq!((e.kind(), e.field()), (kind, field), "{e}");
    }
    let air = json!({ "shop": { "temperature": "20 degC +/- 5 %" } });
    let e = ask("plan.make", &air).unwrap_err();
    let temperature = e.all().find(|e| e.field() == "shop.temperature").unwrap();
    assert_eq!(temperature.kind(), ErrorKind::WrongDimension);
}

/// Fifty spreads in one request are fifty inputs.
#[test]
fn fifty_spreads() {
    let parts: Vec<Value> = (0..50)
        .map(|i| json!({ "name": format!("part {i}"), "left": "800 g, u = 1 g", "on_resin": format!("{} phr", 100 + i) }))
        .collect();
    let answer = ask(
        "mix.largest_batch",
        &json!({ "parts": parts, "spread_sampling": { "points": 64 } }),
    )
    .unwrap();
    assert_eq!(answer["band"]["inputs"].as_array().unwrap().len(), 50);
    let mass = band_at(&answer, "mass");
    assert_eq!(
        mass["budget"].as_array().unwrap().len(),
        1,
        "only what is scarcest limits: {mass}"
    );
}

/// No request and no answer has fields of its own where the door puts these.
#[test]
fn the_door_s_own_fields_are_nobody_else_s() {
    for q in door::questions() {
        for (shape, name) in [((q.request)(), "spread_sampling"), ((q.answer)(), "band")] {
            if let noun::Shape::Struct(s) = shape {
                assert!(s.fields.iter().all(|f| f.name != name), "{}: {name}", q.name);
            }
        }
        let schema = q.request_schema();
        if schema["properties"].is_object() {
            assert_eq!(
                schema["properties"]["spread_sampling"]["type"], "object",
                "{}",
                q.name
            );
        }
        assert!(door::stamped_schema(q)["properties"]["band"]["$ref"].is_string());
    }
}
