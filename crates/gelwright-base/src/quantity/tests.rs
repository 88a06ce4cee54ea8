//! What people type is read or refused with what to write; what is written is read back; nothing panics or takes long.

use std::time::{Duration, Instant};

use super::*;
use crate::ErrorKind;
use crate::random::uniform_pair;

/// Calls a function for each kind of quantity.
macro_rules! each {
    ($do:ident $args:tt) => {
        each!($do $args Length Area Volume Mass Time Velocity Acceleration Frequency VolumeRate MassDensity SpecificVolume
            ArealMassDensity ReciprocalLength LinearMassDensity Force Pressure SurfaceTension DynamicViscosity
            DiffusionCoefficient Energy Power AvailableEnergy SpecificHeatCapacity ThermalConductivity HeatTransfer
            HeatFluxDensity TemperatureCoefficient AmountOfSubstance MolarMass MolarEnergy ThermodynamicTemperature
            TemperatureInterval Angle MassFraction VolumeFraction Phr PartsByVolume DegreeOfCure Strain RelativeHumidity
            Probability RelativeAmount RelativeSpread HydroxylNumber Index)
    };
    ($do:ident $args:tt $($ty:ident)*) => {{ $($do::<$ty>$args;)* }};
}

/// The number that `quantity` has in the unit `to`.
fn convert(quantity: &str, to: &str) -> crate::Result<f64> {
    let unit = unit::read("to", to)?;
    let of = unit.dimension();
    let example = format!("1 {to}");
    parse_number_and_unit("x", quantity, of, &of.to_string(), &example).map(|si| unit.number_of(si))
}

#[track_caller]
fn reads(quantity: &str, expected: f64, to: &str) {
    match convert(quantity, to) {
        Ok(x) => assert!(
            (x - expected).abs() <= 1e-12 * expected.abs(),
            "{quantity} is {x} {to}, not {expected}"
        ),
        Err(e) => panic!("{quantity}: {e}"),
    }
}

#[track_caller]
fn refuses(quantity: &str, to: &str, kind: ErrorKind, says: &str) {
    match convert(quantity, to) {
        Ok(x) => panic!("'{quantity}' is read as {x} {to}"),
        Err(e) => {
            assert_eq!(e.kind(), kind, "{e}");
            assert!(e.to_string().contains(says), "'{e}' should say '{says}'");
        }
    }
}

fn example_and_unit<Q: Quantity>() {
    let m = Q::MEASURE;
    let read = parse::<Q>("x", m.example);
    assert!(read.is_ok_and(|q| q.si() != 0.0), "{m:?}: its example");
    assert!(
        unit::read("x", m.unit).is_ok_and(|u| u.fits(m.dimension)),
        "{m:?}: its unit"
    );
}

#[test]
fn every_quantity_reads_its_example_and_its_unit() {
    each!(example_and_unit());
}

fn reads_back<Q: Quantity>(si: f64) {
    let Ok(q) = Q::from_si(si) else { return };
    let text = tagged(q);
    match parse::<Q>("x", &text) {
        // Kelvin near zero are finer than degrees Celsius near -273.15: no text in degrees has their bits.
        Ok(back) if Q::DIMENSION.kind == Kind::Point => {
            assert!((back.si() - si).abs() <= 1e-15 * (si.abs() + 500.0), "{text}");
        }
        Ok(back) => assert_eq!(back.si(), q.si(), "{text}"),
        Err(e) => assert!(Q::DIMENSION.kind == Kind::Point && si < 0.0, "{text}: {e}"),
    }
}

fn is_shown_and_read<Q: Quantity>(si: f64) {
    let Ok(q) = Q::from_si(si) else { return };
    if Q::DIMENSION.kind == Kind::Point && si < 1.0 {
        return;
    }
    for units in [BenchUnits::Metric, BenchUnits::Us] {
        // Half of the last of four figures, and of three.
        for (text, figure) in [(show_in(q, units), 0.5e-3), (brief_in(q, units), 0.5e-2)] {
            let back = parse::<Q>("x", &text)
                .unwrap_or_else(|e| panic!("{text}: {e}"))
                .si();
            // A point's figures count from its scale's zero, some hundred kelvin away.
            let size = if Q::DIMENSION.kind == Kind::Point {
                si.abs() + 500.0
            } else {
                si.abs()
            };
            assert!(
                (back - si).abs() <= figure * size * 1.000_001,
                "{si} is shown as {text}"
            );
        }
    }
}

/// A size between 10^-`span` and 10^`span`, of either sign.
fn any_size(stream: u64, index: u64, span: f64) -> f64 {
    let [a, b] = uniform_pair(7, stream, index);
    let size = 10f64.powf(span * (2.0 * a - 1.0));
    if b < 0.25 { -size } else { size }
}

#[test]
fn what_is_written_reads_back_to_the_same_bits() {
    for i in 0..200 {
        let x = any_size(1, i, 12.0);
        each!(reads_back(x));
    }
    for i in 0..50 {
        let x = any_size(2, i, 300.0);
        each!(reads_back(x));
    }
    for x in [
        0.0,
        5e-324,
        1e-310,
        f64::MIN_POSITIVE,
        0.1 + 0.2,
        1e22,
        1e300,
        f64::MAX,
    ] {
        each!(reads_back(x));
    }
}

#[test]
fn what_is_shown_reads_back() {
    for i in 0..200 {
        let x = any_size(3, i, 12.0);
        each!(is_shown_and_read(x));
    }
    for i in 0..50 {
        let x = any_size(4, i, 290.0);
        each!(is_shown_and_read(x));
    }
}

#[test]
fn numbers_beyond_all_sizes_are_refused() {
    use ErrorKind::{NotFinite, OutOfRange};
    refuses("1e9223372036854775807 t", "kg", NotFinite, "finite mass");
    refuses("1e99999999999999999999999999 t", "kg", NotFinite, "finite mass");
    refuses("1e999 g", "g", NotFinite, "finite mass");
    refuses("1e308 GPa", "Pa", NotFinite, "finite pressure");
    refuses("1e-400 g", "g", OutOfRange, "write 0");
    refuses("1e-9223372036854775808 t", "kg", OutOfRange, "write 0");
    refuses("1e-300 um^4", "m^4", OutOfRange, "write 0");
    refuses("-1e-400 degC", "degC", OutOfRange, "write 0");
    reads("0e-400 g", 0.0, "g");
    reads("0.000e9223372036854775807 g", 0.0, "g");
    reads("1e-320 kg", 1e-320, "kg");
    refuses(
        "1 ((((((((mm/m)^4)^4)^4)^4)^4)^4)^4)",
        "1",
        ErrorKind::Unreadable,
        "powers are too large",
    );
}

#[test]
fn a_second_number_is_refused() {
    use ErrorKind::Unreadable;
    refuses(
        "1 L 1",
        "L",
        Unreadable,
        "give each number its unit, for example '1 gal 2 qt'",
    );
    refuses("1 Pa 1", "Pa", Unreadable, "no number stands in a unit");
    refuses("1 g*1", "g", Unreadable, "no number stands in a unit");
    refuses("5 12/s", "1/s", Unreadable, "one number and one unit");
    refuses(
        "2 g m2/m2",
        "g",
        Unreadable,
        "'m' stands above and below the line: leave it out",
    );
    refuses("2 g m2 m-2", "g", Unreadable, "");
    refuses("5-6 g", "g", Unreadable, "one number and one unit");
    refuses("1 000 g", "g", Unreadable, "'1000 g'");
    refuses("250 g of resin", "g", ErrorKind::UnknownUnit, "leave it out");
    // A moment per width is written so on purpose.
    reads("2 N*m/m", 2.0, "N");
    reads("2e-4 1/s", 2e-4, "1/s");
    reads("60 1/(m*min)", 1.0, "1/(m*s)");
}

#[test]
fn fractions_are_read() {
    // Exact: 1 US gallon = 231 in^3, 8 pints, 16 cups; NIST SP 811 (2008), appendix B.
    let gallon = 231.0 * 2.54f64.powi(3);
    reads("½ cup", gallon / 32.0, "mL");
    reads("1½ cups", 1.5 * gallon / 16.0, "mL");
    reads("1 ½ cups", 1.5 * gallon / 16.0, "mL");
    reads("1/2 pint", gallon / 16.0, "mL");
    reads("1⁄2 pint", gallon / 16.0, "mL");
    reads("1 1/2 pint", 1.5 * gallon / 8.0, "mL");
    reads("-3/16 in", -4.7625, "mm");
    reads("⅔ h", 40.0, "min");
    reads("1/2", 0.5, "1");
    for wrong in [
        "3/2 pint",
        "1/0 pint",
        "100/2 pint",
        "1/100 pint",
        "1/2.5 pint",
        "99999999999 1/2 pint",
    ] {
        refuses(wrong, "mL", ErrorKind::Unreadable, "write a decimal number");
    }
    refuses(
        "1.5 1/2 pint",
        "mL",
        ErrorKind::Unreadable,
        "one number and one unit",
    );
    refuses("1-1/2 in", "mm", ErrorKind::Unreadable, "one number and one unit");
    refuses("½", "mL", ErrorKind::BareNumber, "needs a unit");
}

#[test]
fn sums_are_read() {
    let (pound, ounce) = (453.592_37, 453.592_37 / 16.0);
    reads("1 lb 3 oz", pound + 3.0 * ounce, "g");
    reads("1lb3oz", pound + 3.0 * ounce, "g");
    reads("1 lb., 3 1/2 oz.", pound + 3.5 * ounce, "g");
    reads("5 ft 3 in", 63.0 * 25.4, "mm");
    reads("1 gal 2 qt", 1.5 * 231.0 * 2.54f64.powi(3), "mL");
    reads("1h30", 90.0, "min");
    reads("1h05", 65.0, "min");
    reads("1 h 30 min", 90.0, "min");
    reads("1 d 2 h 3 min 4 s", 93_784.0, "s");
    for (wrong, says) in [
        ("1 lb 16 oz", "less than one"),
        ("3 oz 1 lb", "larger unit first"),
        ("1 lb 1 lb", "larger unit first"),
        ("1.5 lb 3 oz", "whole numbers"),
        ("1/2 lb 3 oz", "whole numbers"),
        ("-1 lb 3 oz", "negative"),
        ("1 lb 3", "give each number its unit"),
    ] {
        refuses(wrong, "g", ErrorKind::Unreadable, says);
        refuses(wrong, "g", ErrorKind::Unreadable, "'1 lb 3 oz'");
    }
    refuses("1 lb 3 s", "g", ErrorKind::WrongDimension, "'1 lb 3 oz'");
    for wrong in ["1 h 30", "1h5", "1h75", "1h300", "1 min 30", "1:30"] {
        refuses(wrong, "s", ErrorKind::Unreadable, "'1 h 30 min'");
    }
    refuses("1h30m", "s", ErrorKind::WrongDimension, "'min'");
    // A power is no sum.
    reads("2 m2", 2.0, "m^2");
    reads("2 in3", 2.0 * 2.54f64.powi(3), "mL");
    refuses("2 m2", "m", ErrorKind::WrongDimension, "a length is needed");
}

#[test]
fn what_people_type_is_read() {
    reads("20 mins", 1200.0, "s");
    reads("2 hrs", 7200.0, "s");
    reads("3 Tbsp", 1.5 * 231.0 * 2.54f64.powi(3) / 128.0, "mL");
    for text in ["68 F", "68 ℉", "68 °F", "20 ℃", "20 C", "20\u{a0}°C", "20 °C."] {
        reads(text, 20.0, "degC");
    }
    reads("−5 ℃", 268.15, "K");
    for text in ["450 mPas", "450 mPa.s", "450 mPa s", "450 cP", "0.45 Pas"] {
        reads(text, 0.45, "Pa*s");
    }
    reads("1 gal.", 3.785_411_784, "L");
    reads("1 gal./min.", 3.785_411_784, "L/min");
    reads("2 lbs.", 2.0 * 453.592_37, "g");
    reads("2 wt%.", 2.0, "wt%");
    reads("5 m⁻²", 5.0, "1/m^2");
    refuses("5 g..", "g", ErrorKind::Unreadable, "'.' is no unit");
    refuses("5 /min", "1/s", ErrorKind::Unreadable, "'5 1/min'");
    refuses("2 x 10^3 g", "g", ErrorKind::Unreadable, "'1e-3'");
}

#[test]
fn commas_are_refused_with_what_is_meant() {
    for (text, says) in [
        ("1,5 g", "a comma is not read: a number has a decimal point"),
        ("1,5 g", "write '1.5 g'"),
        ("-0,500 g", "write '-0.500 g'"),
        ("1,000 g", "write '1000 g' or '1.000 g', whichever is meant"),
        ("1,234.5 g", "write '1234.5 g'"),
        ("1.234,5 g", "write '1234.5 g'"),
        ("1,234,567 g", "write '1234567 g'"),
        ("1.234.567 g", "write '1234567 g'"),
        ("1'000 g", "write '1000 g'"),
        ("1,2,3 g", "write for example '1 g'"),
        ("1..5 g", "write for example '1 g'"),
        (",5 g", "a comma is not read"),
    ] {
        refuses(text, "g", ErrorKind::Unreadable, says);
    }
    let e = Price::parse("price", "18,40 EUR/kg").unwrap_err();
    assert!(e.to_string().contains("'18.40 EUR'"), "{e}");
}

#[test]
fn a_hint_names_what_is_meant() {
    use ErrorKind::UnknownUnit;
    refuses("1 Kg", "g", UnknownUnit, "did you mean 'kg'?");
    refuses("20 Min", "s", UnknownUnit, "did you mean 'min'?");
    refuses("1 Mpa", "Pa", UnknownUnit, "did you mean one of 'mPa', 'MPa'?");
    refuses("68 f", "degC", UnknownUnit, "did you mean 'F'?");
    refuses("1 Pint", "mL", UnknownUnit, "did you mean 'pint' (US)?");
    refuses("1 imp pont", "mL", UnknownUnit, "did you mean 'imp pint'?");
    refuses("450 gr/m2", "g/m^2", UnknownUnit, "did you mean 'g'?");
    refuses("8 flagons", "mL", UnknownUnit, "fl oz (US)");
    refuses("20 kgs", "s", UnknownUnit, "write for example '1 s' (s, ms, min");
    let e = Price::parse("price", "18.4 EUR/Kg").unwrap_err();
    assert!(e.to_string().contains("did you mean 'kg'?"), "{e}");
}

fn hints_stay_within<Q: Quantity>(word: &str) {
    let Err(e) = parse::<Q>("x", &format!("1 {word}")) else {
        return;
    };
    let way_out = e.way_out().unwrap_or_default();
    let Some(names) = way_out.strip_prefix("did you mean ") else {
        return;
    };
    let names: Vec<&str> = names.split('\'').skip(1).step_by(2).collect();
    assert!(!names.is_empty(), "{e}");
    for name in names {
        assert!(
            unit::lookup(name).is_some_and(|u| u.fits(Q::DIMENSION)),
            "{} in {word}: {e}",
            Q::NAME
        );
    }
}

#[test]
fn a_hint_stays_within_what_is_wanted() {
    for (name, _) in unit::all_names().filter(|(n, _)| n.chars().all(char::is_alphabetic)) {
        let mut less = name.to_owned();
        less.pop();
        for word in [
            less,
            name.to_uppercase(),
            name.to_lowercase(),
            format!("{name}s"),
            format!("{name}x"),
        ] {
            hints_stay_within::<Time>(&word);
            hints_stay_within::<Mass>(&word);
            hints_stay_within::<Volume>(&word);
            hints_stay_within::<Length>(&word);
            hints_stay_within::<Pressure>(&word);
            hints_stay_within::<ThermodynamicTemperature>(&word);
            hints_stay_within::<MassFraction>(&word);
        }
    }
}

#[test]
fn measures_of_two_countries_say_whose_they_are() {
    // Weights and Measures Act 1985 (c. 72), schedule 1: gallon = 4.54609 dm^3, quart = 1/4, pint = 1/2 quart,
    // fluid ounce = 1/20 pint. NIST Handbook 44, appendix C: US gallon = 231 in^3 = 4 qt = 8 pt = 128 fl oz, cup = 8 fl oz,
    // tablespoon = 1/2 fl oz, teaspoon = 1/3 tablespoon.
    let us = 231.0 * 0.254f64.powi(3);
    for (name, litres, whose) in [
        ("imp gal", 4.54609, "imperial"),
        ("imp qt", 4.54609 / 4.0, "imperial"),
        ("imp pint", 4.54609 / 8.0, "imperial"),
        ("imp fl oz", 4.54609 / 160.0, "imperial"),
        ("gal", us, "US"),
        ("qt", us / 4.0, "US"),
        ("pint", us / 8.0, "US"),
        ("fl oz", us / 128.0, "US"),
        ("cup", us / 16.0, "US"),
        ("tbsp", us / 256.0, "US"),
        ("tsp", us / 768.0, "US"),
    ] {
        reads(&format!("1 {name}"), litres, "L");
        let note = unit::notes().find(|(n, _)| *n == name).map(|(_, note)| note);
        assert!(note.is_some_and(|n| n.starts_with(whose)), "{name}: {note:?}");
    }
    assert!(unit::notes().all(|(n, _)| unit::lookup(n).is_some_and(|u| u.fits(Volume::DIMENSION))));
    refuses("5", "mL", ErrorKind::BareNumber, "fl oz (US)");
}

/// Texts that are long or deep, and what they are to measure.
fn heavy() -> Vec<String> {
    let deep = |n: usize| format!("1 {}g{}", "(".repeat(n), ")".repeat(n));
    vec![
        deep(19_000),
        deep(45),
        format!("1 {}g", "(".repeat(98)),
        format!("1 {}", ")".repeat(98)),
        format!("1{} g", "0".repeat(390)),
        format!("1{} g", "0".repeat(1_000_000)),
        format!("0.{}1 g", "0".repeat(380)),
        format!("1 {}", "g ".repeat(50)),
        format!("1 {}", "g/".repeat(50)),
        format!("1 {}", "x".repeat(100)),
        format!("1 {}", "abcdefghij".repeat(10)),
        format!("1 {}", "abcdefghijklmnopqrstuvwxyz".repeat(40_000)),
        format!("1 {}", "kilogramme".repeat(4)),
        "1 lb ".repeat(80),
        "1,".repeat(200),
        "½".repeat(400),
        "1 ".repeat(200),
        " ".repeat(1_000_000),
    ]
}

#[test]
fn long_and_deep_texts_are_answered_at_once() {
    for text in heavy() {
        let mut best = Duration::MAX;
        for _ in 0..5 {
            let start = Instant::now();
            for of in [Mass::MEASURE, Time::MEASURE, HeatTransfer::MEASURE, Phr::MEASURE] {
                let read = parse_number_and_unit("x", &text, of.dimension, of.name, of.example);
                if let Err(e) = read {
                    assert!(e.to_string().chars().count() < 600, "{e}");
                }
            }
            best = best.min(start.elapsed());
        }
        // Some ten microseconds each, a million spaces or letters aside; never slower than a millisecond or so.
        assert!(
            best < Duration::from_millis(8),
            "{best:?}: {}",
            crate::error::cut(&text)
        );
    }
}

#[test]
fn limits_are_kept_to_the_character() {
    let deep = |n: usize| format!("1 {}g{}", "(".repeat(n), ")".repeat(n));
    reads(&deep(DEEPEST_BRACKETS), 1.0, "g");
    refuses(
        &deep(DEEPEST_BRACKETS + 1),
        "g",
        ErrorKind::Unreadable,
        "brackets stand within 8 others at most",
    );
    refuses(
        &deep(19_000),
        "g",
        ErrorKind::Unreadable,
        "400 characters at most",
    );
    refuses(&deep(19_000), "g", ErrorKind::Unreadable, "(38003 characters)");
    let long = |n: usize| format!("{} g", "0".repeat(n));
    reads(&long(LONGEST_TEXT - 2), 0.0, "g");
    refuses(
        &long(LONGEST_TEXT - 1),
        "g",
        ErrorKind::Unreadable,
        "400 characters at most",
    );
    let wide = |n: usize| format!("g{}", " ".repeat(n - 1));
    assert!(unit::read("to", &wide(LONGEST_UNIT)).is_ok());
    assert!(unit::read("to", &wide(LONGEST_UNIT + 1)).is_err());
    assert!(Price::parse("p", &format!("1 EUR/{}", deep(19_000))).is_err());
    assert!(Money::parse("p", &"1".repeat(401)).is_err());
}

#[test]
fn no_text_panics() {
    const PIECES: &[&str] = &[
        "1",
        "0",
        "25",
        ".",
        ",",
        "'",
        "-",
        "−",
        "+",
        "e",
        "E",
        "e9",
        "1e-400",
        "½",
        "⅞",
        "/",
        "1/2",
        "1/",
        "⁄",
        " ",
        "  ",
        "\u{a0}",
        "g",
        "kg",
        "Kg",
        "lb",
        "oz",
        "h",
        "30",
        "min",
        "m",
        "m2",
        "mm",
        "fl oz",
        "imp pint",
        "gal.",
        "°",
        "℃",
        "degC",
        "F",
        "%",
        "wt%",
        "phr",
        "(",
        ")",
        "*",
        "**",
        "^",
        "^2",
        "^-",
        "²",
        "⁻¹",
        "·",
        "per ",
        "µ",
        "Δ",
        "ß",
        "日",
        "\u{301}",
        "\0",
        "\n",
        "EUR",
        "x",
        "×10",
        "NaN",
        "inf",
        ":",
        "#",
        "\"",
        "~",
        "1e9223372036854775807",
        "99999999999999999999",
    ];
    for i in 0..20_000u64 {
        let mut text = String::new();
        let [length, _] = uniform_pair(11, 0, i);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss
        )]
        for j in 0..(1.0 + 9.0 * length) as u64 {
            let [a, b] = uniform_pair(11, 1 + j, i);
            if b < 0.05 {
                text.extend(char::from_u32((a * f64::from(0x0011_0000)) as u32));
            } else {
                text.push_str(PIECES[(a * PIECES.len() as f64) as usize]);
            }
        }
        for of in [
            Mass::MEASURE,
            Time::MEASURE,
            ThermodynamicTemperature::MEASURE,
            HeatTransfer::MEASURE,
            Index::MEASURE,
        ] {
            if let Ok(si) = parse_number_and_unit("x", &text, of.dimension, of.name, of.example) {
                assert!(si.is_finite(), "{text}");
            }
        }
        let _ = unit::read("to", &text);
        let _ = Money::parse("p", &text);
        if let Ok(p) = Price::parse("p", &text) {
            assert!(Price::parse("p", &p.to_string()).is_ok(), "{text} -> {p}");
        }
    }
}
