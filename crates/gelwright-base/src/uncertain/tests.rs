//! Spreads in documents, and what they make of answers.

use std::collections::BTreeMap;

use super::*;
use crate::ErrorKind;
use crate::noun::{Noun, questions};
use crate::propagate::Straightness;
use crate::quantity::spread::{Distribution, parse};
use crate::quantity::{
    Index, Length, Mass, MassDensity, MassFraction, Quantity, QuantityText, ThermodynamicTemperature, Volume,
};

/// A weighing against reference weights (JCGM 101:2008, 9.3).
#[derive(Clone, Noun)]
struct Calibration {
    /// Conventional mass of the reference weight.
    #[noun(within(> "0 g", ..))]
    reference: Mass,
    /// The small weight that makes up the difference.
    added: Mass,
    /// Of the air.
    #[noun(within("0.9 kg/m^3", "1.5 kg/m^3"))]
    air: MassDensity,
    /// Of the weight that is calibrated.
    weight: MassDensity,
    /// Of the reference weight.
    reference_weight: MassDensity,
}

/// What a weighing says.
#[derive(Clone, Noun)]
struct Calibrated {
    /// How far the weight is off its nominal 100 g.
    deviation: Mass,
    /// How often it was asked for.
    asked: u32,
    /// What the air displaces, where it is worth telling.
    buoyancy: Option<Mass>,
}

#[questions]
impl Calibration {
    /// How far the weight is off.
    #[question("test.calibration")]
    fn deviation(&self) -> Result<Calibrated> {
        let (a, w, r) = (self.air.si(), self.weight.si(), self.reference_weight.si());
        let m = (self.reference.si() + self.added.si()) * (1.0 + (a - 1.2) * (1.0 / w - 1.0 / r));
        let buoyancy = Mass::from_si(0.1 * a / w)?;
        Ok(Calibrated {
            deviation: Mass::from_si(m - 0.1)?,
            asked: 1,
            buoyancy: (a > 1.15).then_some(buoyancy),
        })
    }
}

const WEIGHING: &str = r#"{"reference": "100 g, u = 0.050 mg", "added": "1.234 mg, u = 0.020 mg",
    "air": "1.2 +/- 0.1 kg/m^3", "weight": "7000 to 9000 kg/m^3", "reference_weight": "8000 +/- 50 kg/m^3""#;

fn si(text: &Option<QuantityText>) -> f64 {
    text.as_ref().unwrap().read::<Mass>("x").unwrap().si()
}

fn asked(request: &str) -> Result<(String, Band)> {
    let answer = Calibration::QUESTIONS[0].ask(request, Cancel::NEVER)?;
    Ok((answer.text, answer.band.unwrap()))
}

/// JCGM 101:2008, 9.3, tables 5 and 6 (from memory), through a question's request: in mg first order 1.2340, u 0.0539;
/// sampled 1.2341, u 0.0754, ends 1.0834 to 1.3825 (shortest). Tolerances as in `propagate/tests.rs`.
#[test]
fn the_mass_calibration_of_jcgm_101_as_a_question() {
    let request = format!(r#"{WEIGHING}, "spread_sampling": {{"points": 2048, "indices": true}}}}"#);
    let (text, band) = asked(&request).unwrap();
    let middle = WEIGHING
        .replace(", u = 0.050 mg", "")
        .replace(", u = 0.020 mg", "")
        .replace(" +/- 0.1", "")
        .replace("7000 to 9000", "8000")
        .replace(" +/- 50", "");
    let plain = Calibration::QUESTIONS[0]
        .ask(&format!("{middle}}}"), Cancel::NEVER)
        .unwrap();
    assert_eq!(
        (plain.text, plain.band),
        (text, None),
        "the answer is that at the values"
    );
    let n = band.of("deviation").unwrap();
    let near = |found: f64, mg: f64, within: f64| {
        assert!((found * 1e6 - mg).abs() <= within, "{found} is not {mg} mg")
    };
    near(si(&n.value), 1.234, 1e-4);
    near(si(&n.first_order), 0.0539, 1e-4);
    near(si(&n.mean), 1.2341, 2e-4);
    near(si(&n.standard_uncertainty), 0.0754, 1e-4);
    near(si(&n.low), 1.0834, 1.5e-3);
    near(si(&n.high), 1.3825, 1.5e-3);
    assert_eq!(n.straightness, Some(Straightness::Bent));
    // The densities of air and weight act only together, and make half of it.
    let mut makers: Vec<&str> = n.budget.iter().map(|b| b.input.as_str()).collect();
    makers.sort_unstable();
    assert_eq!(makers, ["added", "air", "reference", "weight"]);
    assert_eq!(band.inputs.len(), 5);
    assert!(band.of("asked").is_none(), "a count has no band");
    // Told only where the air is denser than 1.15: a quarter of the runs have none.
    let b = band.of("buoyancy").unwrap();
    let absent = b.absent.unwrap().get();
    assert!(
        (absent - 0.25).abs() < 1e-3 && b.straightness.is_none(),
        "{absent}"
    );
    assert!(si(&b.low) >= 0.1 * 1.15 / 9000.0);
}

/// Something that holds quantities in every way.
#[derive(Clone, Noun)]
struct Shelf {
    /// How warm it is.
    #[noun(within("-10 degC", "40 degC"))]
    temperature: ThermodynamicTemperature,
    /// One by one.
    boards: Vec<Board>,
    /// By name.
    #[noun(default)]
    tins: BTreeMap<String, Amount>,
    /// Somewhere.
    spare: Option<Length>,
    /// Text.
    name: String,
    /// A number.
    count: u32,
    /// Of any shape.
    #[noun(default)]
    other: BTreeMap<String, Value>,
}

/// A board.
#[derive(Clone, Noun)]
struct Board {
    /// Its sides.
    sides: Vec<Length>,
    /// Its water.
    water: Option<MassFraction>,
}

/// How much.
#[derive(Clone, Copy, Noun)]
enum Amount {
    /// By mass.
    Mass(Mass),
    /// By volume.
    Volume(Volume),
}

const SHELF: &str = r#"
temperature = "20 +/- 1 degC"
name = "a to b"
count = 3
spare = "1 m, u = 1 mm"
boards = [{ sides = ["1 m", "20 +/- 1 mm"] }, { sides = ["(2 ± 0.1) m"], water = "8 wt%, u = 1 wt%" }]
[tins]
"a.b" = "60 +/- 2 g"
c = { volume = "1 to 2 L" }
d = "3 g"
[other]
density = { value = "1.1 g/mL +/- 1 %", source = "19 to 23" }
"#;

#[test]
fn any_quantity_of_a_document_may_have_a_spread_and_it_returns() {
    let shelf = Uncertain::<Shelf>::from_toml(SHELF).unwrap();
    let paths: Vec<&str> = shelf.inputs().iter().map(|(p, _)| *p).collect();
    let expected = [
        "temperature",
        "boards[0].sides[1]",
        "boards[1].sides[0]",
        "boards[1].water",
        "tins.a.b",
        "tins.c.volume",
        "spare",
        "other.density.value",
    ];
    assert_eq!(paths, expected);
    assert_eq!(shelf.value().temperature.si(), 293.15);
    assert!(matches!(shelf.value().tins["a.b"], Amount::Mass(m) if m.si() == 0.06));
    assert_eq!(shelf.value().other["density"]["value"], "1100 kg/m^3");
    // Written and read back: the same document, to the bit, and written again the same text.
    let text = noun::to_text(&shelf);
    let again = Uncertain::<Shelf>::from_json(&text, Cancel::NEVER).unwrap();
    assert_eq!(noun::to_text(&again), text);
    for ((p, a), (q, b)) in shelf.inputs().into_iter().zip(again.inputs()) {
        assert_eq!((p, a.value.to_bits()), (q, b.value.to_bits()));
        assert_eq!(a.distribution, b.distribution, "{p}");
    }
    // Without spreads it is the noun's own writing.
    let plain = Uncertain::new(shelf.value(), std::iter::empty::<(&str, Input)>()).unwrap();
    assert_eq!(noun::to_text(&plain), noun::to_text(shelf.value()));
    // Made in Rust.
    let input = parse::<Length>("x", "1 m, u = 2 mm").unwrap().input();
    let made = Uncertain::new(shelf.value(), [("spare", input), ("boards[0].sides[0]", input)]).unwrap();
    assert_eq!(made.inputs().len(), 2);
    let more = made
        .with(
            "tins.a.b.mass",
            &parse::<Mass>("x", "60 +/- 1 g").unwrap().input(),
        )
        .unwrap();
    assert_eq!(more.inputs().len(), 3);
    for nowhere in ["name", "boards[7].sides[0]", "spare.more", "nothing.at.all"] {
        let e = made.with(nowhere, &input).unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::UnknownName, nowhere), "{e}");
    }
    assert!(made.with("count", &input).is_err() && made.with("temperature", &input).is_err());
}

#[test]
fn a_spread_that_can_not_be_is_refused_with_its_path() {
    let told = |from: &str, to: &str| {
        let e = Uncertain::<Shelf>::from_toml(&SHELF.replace(from, to)).unwrap_err();
        (e.kind(), e.field().to_owned(), e.to_string())
    };
    let (kind, field, said) = told("20 +/- 1 degC", "20 +/- 25 degC");
    assert_eq!((kind, field.as_str()), (ErrorKind::OutOfRange, "temperature"));
    assert!(
        said.contains("an end of '20 +/- 25 degC'") && said.contains("40 degC"),
        "{said}"
    );
    let (kind, field, said) = told("20 +/- 1 degC", "20 degC +/- 5 %");
    assert_eq!(
        (kind, field.as_str()),
        (ErrorKind::WrongDimension, "temperature"),
        "{said}"
    );
    let (kind, field, _) = told("20 +/- 1 mm", "20 +/- 1 g");
    assert_eq!(
        (kind, field.as_str()),
        (ErrorKind::WrongDimension, "boards[0].sides[1]")
    );
    let (kind, field, _) = told("8 wt%, u = 1 wt%", "3 +/- 5 wt%");
    assert_eq!((kind, field.as_str()), (ErrorKind::OutOfRange, "boards[1].water"));
    let (_, field, _) = told("count = 3", "count = '3 +/- 1'");
    assert_eq!(field, "count");
    let (_, field, _) = told("60 +/- 2 g", "60 +/- 2 degC");
    assert_eq!(field, "tins.a.b");
    // All at once.
    let e = Uncertain::<Shelf>::from_toml(
        &SHELF
            .replace("20 +/- 1 degC", "20 +/- 25 degC")
            .replace("3 g", "3 J"),
    )
    .unwrap_err();
    assert_eq!(
        e.field(),
        "tins.d",
        "what does not read is told before the ends are tried: {e}"
    );
    // Where none is allowed it stays refused.
    assert!(document::from_toml::<Shelf>(SHELF).is_err());
}

/// Two tins filled from one bottle: what they hold moves together. Analytic: the relative uncertainty of a sum of two
/// masses of one density is that of the density, of two densities each with its own 1/√2 of it.
#[test]
fn what_is_one_field_moves_together() {
    #[derive(Clone, Noun)]
    /// Two.
    struct Two {
        /// One density for both.
        shared: MassDensity,
        /// Or each its own.
        own: Vec<MassDensity>,
    }
    let rho = "1.1 g/mL, u = 1 %";
    let two = Uncertain::<Two>::from_toml(&format!("shared = '{rho}'\nown = ['{rho}', '{rho}']")).unwrap();
    let volume = Volume::from_si(1e-3).unwrap();
    let sums = two
        .propagate(Sampling::default(), Cancel::NEVER, |two| {
            let own: Mass = two.own.iter().map(|d| *d * volume).sum();
            Ok(vec![two.shared * volume + two.shared * volume, own])
        })
        .unwrap();
    let u = |path: &str| si(&sums.band_of(path).unwrap().standard_uncertainty) / 2.2;
    assert!((u("[0]") - 0.01).abs() < 1e-4, "{}", u("[0]"));
    assert!((u("[1]") - 0.01 / 2f64.sqrt()).abs() < 1e-4, "{}", u("[1]"));
    assert_eq!(sums.band_of("[1]").unwrap().budget.len(), 2);
    assert_eq!(sums.band_of("[0]").unwrap().budget[0].input, "shared");
}

/// A run that is refused is told, with the first refusal: a third of "1 to 4", of which what is above 3 is refused.
#[test]
fn refused_runs_are_told() {
    #[derive(Clone, Noun)]
    /// One number.
    struct One {
        /// It.
        x: Index,
    }
    let one = Uncertain::<One>::from_toml("x = '1 to 4'").unwrap();
    let limited = |one: &One| {
        if one.x.get() > 3.0 {
            Err(Error::out_of_range("x", one.x.get(), "3 or less", "less"))
        } else {
            Ok(2.0 * one.x.get())
        }
    };
    for points in [1024, 0] {
        let sampling = Sampling {
            points,
            ..Sampling::default()
        };
        let found = one.propagate(sampling, Cancel::NEVER, limited).unwrap();
        let refused = found.band.refused.clone().unwrap();
        assert!(
            refused.first.contains("3 or less") && refused.kind == "out_of_range",
            "{refused:?}"
        );
        assert_eq!(refused.field, "x");
        let n = found.band_of("").unwrap();
        if points > 0 {
            assert!((refused.share.get() - 1.0 / 3.0).abs() < 1e-3, "{refused:?}");
            // Of the others: 2 to 6, evenly.
            let x = |t: &Option<QuantityText>| t.as_ref().unwrap().as_str().parse::<f64>().unwrap();
            assert!(
                (x(&n.mean) - 4.0).abs() < 0.01
                    && (x(&n.standard_uncertainty) - 4.0 / 12f64.sqrt()).abs() < 0.01
            );
            assert!(n.straightness.is_none() && n.absent.is_none() && n.settled.is_some());
        }
    }
    // At the middle there has to be an answer.
    let e = one.propagate(Sampling::default(), Cancel::NEVER, |_| {
        Err::<f64, _>(Error::unknown_name("x", "y", []))
    });
    assert_eq!(e.unwrap_err().kind(), ErrorKind::UnknownName);
    let stopped = one.propagate(Sampling::default(), Cancel::when(&|| true), limited);
    assert_eq!(stopped.unwrap_err().kind(), ErrorKind::Cancelled);
    // No spread: no run but the first, and no band.
    let exact = Uncertain::<One>::from_toml("x = '2'").unwrap();
    let found = exact.propagate(Sampling::none(), Cancel::NEVER, limited).unwrap();
    assert!(found.band.numbers.is_empty() && found.band.runs == 1 && found.band.refused.is_none());
}

#[test]
fn the_same_bits_on_any_number_of_threads() {
    let shelf = Uncertain::<Shelf>::from_toml(SHELF).unwrap();
    let run = |threads| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let model = |s: &Shelf| Ok(s.temperature.si() * s.boards[1].sides[0].si());
            noun::to_text(
                &shelf
                    .propagate(Sampling::default(), Cancel::NEVER, model)
                    .unwrap()
                    .band,
            )
        })
    };
    assert_eq!(run(1), run(3));
}

#[test]
fn what_says_how_to_sample_is_checked() {
    let of = |sampling: &str| asked(&format!("{WEIGHING}, \"spread_sampling\": {sampling}}}"));
    for (bad, field) in [
        (r#"{"points": 100}"#, "spread_sampling.points"),
        (r#"{"points": 32}"#, "spread_sampling.points"),
        (r#"{"scramblings": 1}"#, "spread_sampling.scramblings"),
        (
            r#"{"points": 1048576, "scramblings": 100}"#,
            "spread_sampling.points",
        ),
        (r#"{"sead": 1}"#, "spread_sampling"),
        ("7", "spread_sampling"),
    ] {
        let e = of(bad).unwrap_err();
        assert!(e.field() == field, "{bad}: {e}");
    }
    // No points: first order alone.
    let (_, band) = of(r#"{"points": 0}"#).unwrap();
    let n = band.of("deviation").unwrap();
    assert_eq!((band.runs, band.settled, n.settled), (11, None, None));
    assert_eq!(si(&n.standard_uncertainty), si(&n.first_order));
    let seed = |s: u64| noun::to_text(&of(&format!("{{\"seed\": {s}}}")).unwrap().1);
    assert_eq!(seed(3), seed(3));
    assert_ne!(seed(3), seed(4));
}

/// A row is the same by what stands in it, not by its place.
#[test]
fn rows_that_come_and_go_do_not_mix() {
    #[derive(Clone, Noun)]
    /// A row.
    struct Row {
        /// About what.
        about: String,
        /// How much.
        value: QuantityText,
    }
    #[derive(Clone, Noun)]
    /// One number.
    struct One {
        /// It.
        x: Index,
    }
    let one = Uncertain::<One>::from_toml("x = '0 +/- 1'").unwrap();
    let found = one
        .propagate(Sampling::default(), Cancel::NEVER, |one| {
            let x = one.x.get();
            let row = |about: &str, value| Row {
                about: about.to_owned(),
                value,
            };
            let mut rows = vec![row("length", QuantityText::of(Length::from_si(10.0 + x)?))];
            if x > 0.5 {
                rows.insert(0, row("mass", QuantityText::of(Mass::from_si(1.0 + x)?)));
            }
            Ok(rows)
        })
        .unwrap();
    let length = found.band_of("[0].value").unwrap();
    assert!(length.absent.is_none() && length.low.as_ref().unwrap().read::<Length>("x").unwrap().si() > 9.0);
    let mass = found.band_of("['mass'].value").unwrap();
    assert!(mass.value.is_none() && (mass.absent.unwrap().get() - 0.75).abs() < 1e-3);
    assert!((1.5..=2.0).contains(&si(&mass.low)), "{:?}", mass.low);
    assert_eq!(found.band.numbers.len(), 2);
}

#[test]
fn a_zero_spread_is_none() {
    let shelf = Uncertain::<Shelf>::from_toml(&SHELF.replace("20 +/- 1 degC", "20 +/- 0 degC")).unwrap();
    assert_eq!(shelf.inputs()[0].1.distribution, Distribution::Exact);
}
