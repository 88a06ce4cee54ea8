//! What people write is read as stated, or refused with what to write; what is written reads back to the same bits.

use super::*;
use crate::document;
use crate::noun::{self, schema_of};
use crate::quantity::{
    ArealMassDensity, Index, MassFraction, Phr, RelativeHumidity, Strain, ThermodynamicTemperature, Time,
};
use crate::{Cancel, ErrorKind};

fn input<Q: Quantity>(text: &str) -> Input {
    parse::<Q>("x", text)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .input()
}

#[track_caller]
fn near(found: f64, expected: f64) {
    // rounding of a sum of two numbers of the size of a temperature in kelvin
    assert!(
        (found - expected).abs() <= 1e-13 * expected.abs().max(1.0),
        "{found} is not {expected}"
    );
}

/// Ends and standard uncertainty, in SI.
#[track_caller]
fn says<Q: Quantity>(text: &str, low: f64, high: f64, u: f64) {
    let found = input::<Q>(text);
    let (a, b) = found.ends();
    near(a, low);
    near(b, high);
    near(found.standard_uncertainty(), u);
}

#[track_caller]
fn refuses<Q: Quantity>(text: &str, kind: ErrorKind, part: &str) {
    match parse::<Q>("x", text) {
        Ok(s) => panic!("'{text}' is read as {s:?}"),
        Err(e) => {
            assert_eq!((e.kind(), e.field()), (kind, "x"), "{e}");
            assert!(e.to_string().contains(part), "'{e}' should say '{part}'");
        }
    }
}

const ROOT_3: f64 = 1.732_050_807_568_877_2;

/// JCGM 100:2008, 4.3.7: limits ±a have `u = a/√3`.
#[test]
fn limits_are_rectangular() {
    for text in [
        "20 +/- 1 degC",
        "20 ± 1 °C",
        "20 degC +/- 1 K",
        "20 degC ± 1 degC",
        "20 °C +/- 1 delta_degC",
        "(20 ± 1) °C",
        "( 20+/-1 )degC",
        "20±1 ℃",
        "68 degF +/- 1.8 degF",
        "19 to 21 degC",
        "292.15 K to 21 degC",
    ] {
        says::<ThermodynamicTemperature>(text, 292.15, 294.15, 1.0 / ROOT_3);
    }
    says::<Time>("19 to 23 min", 1140.0, 1380.0, 120.0 / ROOT_3);
    says::<Time>("1 h 30 min +/- 10 min", 4800.0, 6000.0, 600.0 / ROOT_3);
    says::<Time>("19 min to 1 h 2 min", 1140.0, 3720.0, 1290.0 / ROOT_3);
    says::<ArealMassDensity>("450 g/m^2 +/- 5 %", 0.4275, 0.4725, 0.0225 / ROOT_3);
    says::<ArealMassDensity>("450 g/m^2 +/- 5 g/m^2", 0.445, 0.455, 0.005 / ROOT_3);
    says::<ArealMassDensity>("450 +/- 5 gsm", 0.445, 0.455, 0.005 / ROOT_3);
    says::<Index>("1.55 +/- 0.01", 1.54, 1.56, 0.01 / ROOT_3);
    says::<Index>("-1 +/- 5 %", -1.05, -0.95, 0.05 / ROOT_3);
    says::<RelativeHumidity>("65 +/- 5 %", 0.6, 0.7, 0.05 / ROOT_3);
    says::<RelativeHumidity>("65 %RH +/- 5 %RH", 0.6, 0.7, 0.05 / ROOT_3);
    says::<RelativeHumidity>("50 % ± 10 % of value", 0.45, 0.55, 0.05 / ROOT_3);
    says::<MassFraction>("3 wt% +/- 1/2 wt%", 0.025, 0.035, 0.005 / ROOT_3);
    says::<MassFraction>("3 wt% +/- 3 wt%", 0.0, 0.06, 0.03 / ROOT_3);
    says::<ThermodynamicTemperature>("20 degC", 293.15, 293.15, 0.0);
    assert!(input::<Time>("20 min +/- 0 s").is_exact());
}

/// JCGM 100:2008, 7.2.2 and 7.2.4; the 95 % interval of a normal distribution is `± 1.959964 u` (AS 241).
#[test]
fn what_a_certificate_says_is_normal() {
    let half = 1.959_963_984_540_054 * 0.5;
    for text in [
        "20 degC, u = 0.5 K",
        "20 degC u=0.5 K",
        "20 degC (u = 0.5 degC)",
        "20 degC; U = 1 K, k = 2",
        "20 degC (U = 1 K, k=2)",
        "20 degC, U = 1 K (k = 2)",
        "20 degC, U = 2 delta_degC, k = 4",
    ] {
        says::<ThermodynamicTemperature>(text, 293.15 - half, 293.15 + half, 0.5);
    }
    // as Python writes them (units.spread_text)
    says::<ThermodynamicTemperature>("20.0 degC, u = 0.5 delta_degC", 293.15 - half, 293.15 + half, 0.5);
    says::<ArealMassDensity>(
        "450.0 g*m^-2, u = 5.0 g*m^-2",
        0.45 - 0.01 * half,
        0.45 + 0.01 * half,
        0.005,
    );
    says::<RelativeHumidity>(
        "65.0 %, u = 2.0 percentage points",
        0.65 - 0.04 * half,
        0.65 + 0.04 * half,
        0.02,
    );
    assert!(matches!(input::<Phr>("2 phr, u = 5 %").distribution, Distribution::LogNormal(r) if r == 0.05));
    says::<RelativeHumidity>(
        "50 %, u = 1 percentage point",
        0.5 - 0.02 * half,
        0.5 + 0.02 * half,
        0.01,
    );
}

/// A bound cuts off: independent computation, SciPy 1.17.1, `truncnorm` (mean, std, ppf of 0.025 and 0.975); of the
/// log-normal, mpmath's quadrature at 30 digits.
#[test]
fn a_distribution_ends_at_the_bounds_of_its_type() {
    for (text, mean, deviation, low, high) in [
        (
            "95 %, u = 4 percentage points",
            TRUNCATED.0,
            TRUNCATED.1,
            TRUNCATED.2,
            TRUNCATED.3,
        ),
        ("50 %, u = 50 percentage points", WIDE.0, WIDE.1, WIDE.2, WIDE.3),
        (
            "60 %, u = 50 % of value",
            LOG_NORMAL.0,
            LOG_NORMAL.1,
            LOG_NORMAL.2,
            LOG_NORMAL.3,
        ),
    ] {
        let x = input::<RelativeHumidity>(text);
        let (a, b) = x.ends();
        let (m, s) = x.mean_and_deviation();
        for (found, expected) in [(m, mean), (s, deviation), (a, low), (b, high)] {
            assert!(
                (found - expected).abs() < 1e-12,
                "{text}: {found} is not {expected}"
            );
        }
    }
}
const TRUNCATED: (f64, f64, f64, f64) = (
    0.941830981644053,
    0.0335382799395384,
    0.869707918112849,
    0.995434218683835,
);
const WIDE: (f64, f64, f64, f64) = (0.5, 0.269780046877448, 0.0341049215074044, 0.965895078492596);
const LOG_NORMAL: (f64, f64, f64, f64) = (
    0.530359229765842,
    0.197984392814413,
    0.208462174048381,
    0.94275397429754,
);

#[test]
fn what_can_not_be_meant_is_refused() {
    use ErrorKind::{BareNumber, NotFinite, OutOfRange, Unreadable, WrongDimension};
    refuses::<MassFraction>("3 +/- 5 wt%", OutOfRange, "'0 wt% to 8 wt%'");
    refuses::<RelativeHumidity>("98 +/- 5 %", OutOfRange, "'93 % to 100 %'");
    refuses::<ThermodynamicTemperature>("-270 degC +/- 10 K", OutOfRange, "-273.1");
    refuses::<ThermodynamicTemperature>("20 degC +/- 5 %", WrongDimension, "a part of a temperature");
    refuses::<Time>("20 min +/- -1 min", OutOfRange, "zero or more");
    refuses::<Time>("20 min +/- inf min", NotFinite, "finite");
    refuses::<Time>("20 min, u = NaN min", NotFinite, "finite");
    refuses::<Time>("20 min +/- 1e400 min", NotFinite, "finite");
    refuses::<Time>("23 to 19 min", OutOfRange, "the smaller end first");
    refuses::<Time>("20 +/- 1", BareNumber, "needs a unit");
    refuses::<Time>("20 min +/- 1", BareNumber, "the spread needs a unit");
    refuses::<Time>("20 min +/- 1 g", WrongDimension, "time");
    refuses::<Time>("20 +/- 1 g", WrongDimension, "time");
    refuses::<Time>("20 +/- 1 min 30 s", Unreadable, "give each number its unit");
    refuses::<Time>("20 +/- 1 min +/- 2 s", Unreadable, "one spread");
    refuses::<Time>("20 min +/- 1 min, u = 2 s", Unreadable, "one spread");
    refuses::<Time>("20 min, U = 1 min", Unreadable, "k = 2");
    refuses::<Time>("20 min, U = 1 min, k = 0", Unreadable, "above zero");
    refuses::<Time>("20 min, u = 1 min, k = 2", Unreadable, "no coverage factor");
    refuses::<Time>("20 min (u = 1 min", Unreadable, "bracket");
    refuses::<Time>("20 min +/-", Unreadable, "number");
    refuses::<Time>("+/- 1 min", Unreadable, "number");
    refuses::<Time>(" to 1 min", Unreadable, "number");
    refuses::<RelativeHumidity>(
        "65 % +/- 5 %",
        WrongDimension,
        "'5 percentage points' or '5 % of value'",
    );
    refuses::<MassFraction>("30 wt% +/- 2 %", WrongDimension, "'2 wt%'");
    refuses::<RelativeHumidity>("50 %, u = 51 percentage points", OutOfRange, "half the width");
    refuses::<Strain>("-1 %, u = 5 % of value", OutOfRange, "more than zero");
    refuses::<Time>(&"9".repeat(LONGEST_SPREAD + 1), Unreadable, "at most");
}

#[test]
fn what_is_written_reads_back_to_the_same_bits() {
    fn again<Q: Quantity>(texts: &[&str]) {
        for text in texts {
            let (before, written) = (input::<Q>(text), input::<Q>(text).tagged());
            let after = input::<Q>(&written);
            assert_eq!(before.value.to_bits(), after.value.to_bits(), "{written}");
            assert_eq!(before.distribution, after.distribution, "{written}");
            assert_eq!(after.tagged(), written);
        }
    }
    again::<ThermodynamicTemperature>(&[
        "20.1 +/- 0.3 degC",
        "77 degF +/- 1 degF",
        "61 to 77 degF",
        "20 degC (U = 1 K, k = 3)",
    ]);
    again::<ArealMassDensity>(&[
        "450 g/m^2 +/- 7 %",
        "1.5 oz/ft^2, u = 3 %",
        "1 to 1.1 oz/yd^2",
        "3 gsm, u = 0.1 gsm",
    ]);
    again::<RelativeHumidity>(&[
        "65 +/- 3 %",
        "60 to 70 %",
        "65 %, u = 3 percentage points",
        "65 %, u = 3 % of value",
    ]);
    again::<MassFraction>(&["3 +/- 1.1 wt%", "3 wt%, u = 7 % of value", "3 wt%, u = 0.1 wt%"]);
    again::<Index>(&["1.55 +/- 0.01", "1.5 to 1.6", "1.55, u = 0.7 %", "-1.5, u = 0.1"]);
    assert_eq!(
        input::<ThermodynamicTemperature>("20 degC ± 1 K").tagged(),
        "20 +/- 1 degC"
    );
    assert_eq!(input::<Time>("19 to 23 min").tagged(), "1140 to 1380 s");
    assert_eq!(input::<Phr>("2 phr, u = 5 %").tagged(), "2 phr, u = 5 %");
    assert_eq!(input::<Time>("20 min").tagged(), "1200 s");
}

/// Of every quantity its example is read, and written so that it reads back.
#[test]
fn every_quantity_has_an_example_of_its_spread() {
    for of in Measure::all() {
        let found = read("", &example(of), of).unwrap_or_else(|e| panic!("{}: {e}", of.name));
        assert!(!found.is_exact(), "{}", example(of));
        let back = read("", &found.tagged(), of).unwrap();
        assert_eq!(
            (back.value, back.distribution),
            (found.value, found.distribution),
            "{}",
            found.tagged()
        );
    }
}

/// What is read at all is read within its bounds and written so that it reads back; nothing panics.
#[test]
fn anything_is_read_or_refused() {
    const NUMBERS: &[&str] = &["20", "1", "-3", "1e308", "1/2", "½", "0"];
    const UNITS: &[&str] = &[
        "",
        " degC",
        " min",
        " %",
        " wt%",
        " K",
        " percentage points",
        " % of value",
    ];
    const MARKS: &[&str] = &[" +/- ", "±", " to ", ", u = ", " (U = ", ", u=-"];
    const ENDS: &[&str] = &["", "", ", k = 2", " k=2)", ")", " to 3", "=", "k"];
    let mut read_some = 0;
    for i in 0..40_000 {
        let word = |j: u64, of: &[&'static str]| {
            let [n, other] = crate::random::uniform_pair(5, j, i);
            let of = if other < 0.05 { ENDS } else { of };
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                clippy::cast_precision_loss
            )]
            of[(n * of.len() as f64) as usize]
        };
        let text: String = [NUMBERS, UNITS, MARKS, NUMBERS, UNITS, ENDS]
            .iter()
            .zip(0..)
            .map(|(of, j)| word(j, of))
            .collect();
        for of in [
            ThermodynamicTemperature::MEASURE,
            Time::MEASURE,
            MassFraction::MEASURE,
            RelativeHumidity::MEASURE,
        ] {
            let Ok(found) = read("", &text, of) else { continue };
            read_some += usize::from(!found.is_exact());
            let (low, high) = found.ends();
            let [least, most] = of.bounds;
            let slack = 1e-9 * found.value.abs().max(high - low);
            let inside = least - slack <= low && low <= high && high <= most + slack;
            assert!(inside && found.standard_uncertainty() >= 0.0, "{text}: {found:?}");
            let back = read("", &found.tagged(), of).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!(
                (back.value, back.distribution),
                (found.value, found.distribution),
                "{text}"
            );
        }
    }
    assert!(read_some > 400, "{read_some}");
}

/// A bath that is kept warm.
#[derive(Clone, PartialEq, Noun)]
struct Bath {
    /// Of the water.
    #[noun(within("10 degC", "60 degC"))]
    at: Spread<ThermodynamicTemperature>,
    /// How long.
    #[noun(default = "30 min")]
    during: Spread<Time>,
}

#[test]
fn it_is_a_noun() {
    let bath = |at: &str| document::from_json::<Bath>(&format!(r#"{{"at": "{at}"}}"#), Cancel::NEVER);
    let read = bath("20 degC +/- 1 K").unwrap();
    assert_eq!(
        noun::to_text(&read),
        r#"{"at":"20 +/- 1 degC","during":"1800 s"}"#
    );
    assert!(
        format!("{read:?}").contains("20 °C ± 1 Δ°C") || format!("{read:?}").contains("20 °C ± 1 K"),
        "{read:?}"
    );
    // limits are held to the field's range; a normal distribution's tails are not
    assert!(bath("58 degC, u = 2 K").is_ok());
    for text in ["59 degC +/- 2 K", "9 to 20 degC", "5 degC, u = 1 K"] {
        let e = bath(text).unwrap_err();
        assert_eq!(
            (e.kind(), e.field(), e.all().count()),
            (ErrorKind::OutOfRange, "at", 1),
            "{text}: {e}"
        );
        let made = Bath {
            at: parse("", text).unwrap(),
            ..read.clone()
        };
        assert_eq!(noun::check(&made).unwrap_err().field(), "at");
    }
    let e = document::from_json::<Bath>(r#"{"at": 20}"#, Cancel::NEVER).unwrap_err();
    assert_eq!((e.kind(), e.field()), (ErrorKind::BareNumber, "at"));
    let schema = schema_of(Bath::shape());
    let at = &schema["properties"]["at"];
    assert_eq!(at["quantity"], "temperature");
    assert_eq!(at["examples"][1], "18 +/- 0.9 degC");
    assert!(at["$comment"].as_str().unwrap().contains("limits"));
}
