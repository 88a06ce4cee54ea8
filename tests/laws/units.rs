//! Laws of reading and writing quantities.

use gelwright::ErrorKind;
use gelwright::quantity::*;
use proptest::prelude::*;

fn returns<Q: Quantity>(si: f64) -> Result<(), TestCaseError> {
    if let Ok(q) = Q::from_si(si) {
        let text = tagged(q);
        let back = parse::<Q>("x", &text).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
        prop_assert_eq!(back.si(), q.si(), "{}", text);
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_written_reads_back_to_the_same_bits(x in 1e-9f64..1e9) {
        returns::<Length>(x)?;
        returns::<Volume>(x)?;
        returns::<Mass>(x)?;
        returns::<Time>(x)?;
        returns::<MassDensity>(x)?;
        returns::<ArealMassDensity>(x)?;
        returns::<MolarEnergy>(x)?;
        returns::<Frequency>(x)?;
        returns::<TemperatureCoefficient>(x)?;
        returns::<Phr>(x)?;
        returns::<Index>(-x)?;
    }

    #[test]
    fn temperatures_and_fractions_read_back(t in 200.0f64..600.0, w in 0.0f64..=1.0) {
        returns::<ThermodynamicTemperature>(t)?;
        returns::<TemperatureInterval>(t)?;
        returns::<MassFraction>(w)?;
        returns::<RelativeHumidity>(w)?;
    }

    #[test]
    fn the_unit_changes_nothing(grams in 0.001f64..1e5) {
        let a: Mass = parse("m", &format!("{grams} g")).unwrap();
        let b: Mass = parse("m", &format!("{} oz", grams / 28.349_523_125)).unwrap();
        prop_assert!((a.si() - b.si()).abs() <= 1e-12 * a.si());
    }

    #[test]
    fn no_text_panics(text in ".{0,24}") {
        let _ = parse::<Mass>("m", &text);
        let _ = parse::<ThermodynamicTemperature>("t", &text);
        let _ = parse::<HeatTransfer>("h", &text);
        let _ = Price::parse("p", &text);
    }

    #[test]
    fn a_bare_number_is_refused_where_a_unit_is_needed(x in -1e6f64..1e6) {
        let e = parse::<Mass>("m", &x.to_string()).unwrap_err();
        prop_assert_eq!(e.kind(), ErrorKind::BareNumber);
    }
}

#[test]
fn mistakes_are_named() {
    #[rustfmt::skip]
    let cases = [
        (parse::<Volume>("v", "8 oz").unwrap_err(), ErrorKind::WrongDimension, "'fl oz' a volume"),
        (parse::<Mass>("m", "8 fl oz").unwrap_err(), ErrorKind::WrongDimension, "'oz' a mass"),
        (parse::<Mass>("m", "8 gramz").unwrap_err(), ErrorKind::UnknownUnit, "grams"),
        (parse::<Mass>("m", "nan g").unwrap_err(), ErrorKind::NotFinite, "finite"),
        (parse::<Mass>("m", "1e999 g").unwrap_err(), ErrorKind::NotFinite, "finite"),
        (parse::<Mass>("m", "1,5 g").unwrap_err(), ErrorKind::Unreadable, "point"),
        (parse::<Mass>("m", "3/2 oz").unwrap_err(), ErrorKind::Unreadable, "decimal"),
        (parse::<MassFraction>("w", "30 %").unwrap_err(), ErrorKind::WrongDimension, "wt%"),
        (parse::<MassFraction>("w", "30 phr").unwrap_err(), ErrorKind::WrongDimension, "convert"),
        (parse::<TemperatureInterval>("dt", "10 degC").unwrap_err(), ErrorKind::WrongDimension, "10 K"),
        (parse::<ThermodynamicTemperature>("t", "-300 degC").unwrap_err(), ErrorKind::OutOfRange, "-273.15"),
        (parse::<HeatTransfer>("h", "10 W/m^2 K").unwrap_err(), ErrorKind::Unreadable, "parentheses"),
    ];
    for (e, kind, says) in cases {
        assert_eq!(e.kind(), kind, "{e}");
        assert!(e.to_string().contains(says), "{e} should say {says}");
    }
}

#[test]
fn what_is_shown_to_people_can_be_read_back() {
    for text in [
        "18 degC",
        "506 cm^2",
        "450 mPa*s",
        "93.6 um",
        "2 phr",
        "30 wt%",
        "1.1 g/mL",
        "350 J/g",
    ] {
        let shown = match text {
            t if t.contains("degC") => show(parse::<ThermodynamicTemperature>("x", t).unwrap()),
            t if t.contains("cm^2") => show(parse::<Area>("x", t).unwrap()),
            t if t.contains("mPa") => show(parse::<DynamicViscosity>("x", t).unwrap()),
            t if t.contains("um") => show(parse::<Length>("x", t).unwrap()),
            t if t.contains("phr") => show(parse::<Phr>("x", t).unwrap()),
            t if t.contains("wt%") => show(parse::<MassFraction>("x", t).unwrap()),
            t if t.contains("g/mL") => show(parse::<MassDensity>("x", t).unwrap()),
            t => show(parse::<AvailableEnergy>("x", t).unwrap()),
        }
        .to_string();
        let read = match text {
            t if t.contains("degC") => parse::<ThermodynamicTemperature>("x", &shown).map(|_| ()),
            t if t.contains("cm^2") => parse::<Area>("x", &shown).map(|_| ()),
            t if t.contains("mPa") => parse::<DynamicViscosity>("x", &shown).map(|_| ()),
            t if t.contains("um") => parse::<Length>("x", &shown).map(|_| ()),
            t if t.contains("phr") => parse::<Phr>("x", &shown).map(|_| ()),
            t if t.contains("wt%") => parse::<MassFraction>("x", &shown).map(|_| ()),
            t if t.contains("g/mL") => parse::<MassDensity>("x", &shown).map(|_| ()),
            _ => parse::<AvailableEnergy>("x", &shown).map(|_| ()),
        };
        assert!(read.is_ok(), "{text} is shown as {shown}");
    }
}
