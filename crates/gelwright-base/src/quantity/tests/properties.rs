//! What is written or shown is read back, whatever it is; no text panics.

use super::super::*;
use crate::random::uniform_pair;

/// Calls a function for each kind of quantity.
macro_rules! each {
    ($do:ident $args:tt) => {
        each!($do $args Length Area Volume Mass Time Velocity Acceleration Frequency VolumeRate MassDensity SpecificVolume
            ArealMassDensity ReciprocalLength LinearMassDensity Force Pressure SurfaceTension DynamicViscosity
            DiffusionCoefficient Energy Power AvailableEnergy SpecificHeatCapacity ThermalConductivity HeatTransfer MassFlux
            HeatFluxDensity TemperatureCoefficient AmountOfSubstance MolarMass MolarEnergy ThermodynamicTemperature
            TemperatureInterval Angle MassFraction VolumeFraction Phr PartsByVolume DegreeOfCure Strain RelativeHumidity
            Probability RelativeAmount RelativeSpread HydroxylNumber Index)
    };
    ($do:ident $args:tt $($ty:ident)*) => {{ $($do::<$ty>$args;)* }};
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
