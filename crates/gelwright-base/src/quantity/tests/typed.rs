//! What people type: read, or refused with what to write.

use super::super::*;
use super::{reads, refuses};
use crate::ErrorKind;

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
    // The path is the document's, which has no field for the currency alone.
    let e = Price::parse("price", "1 kg/m").unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::Unreadable, "price"));
    assert!(e.to_string().contains("'EUR'"), "{e}");
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
