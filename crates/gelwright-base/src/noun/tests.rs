//! A noun's table is read, written, checked and described alike.

use std::collections::BTreeMap;

use super::{Noun, Style, schema_of, to_json};
use crate::cancel::Cancel;
use crate::document::from_json;
use uom::si::{length::meter, mass::kilogram, volume::cubic_meter};

use crate::error::ErrorKind;
use crate::quantity::{Length, Mass, Quantity, Volume};

/// How much.
#[derive(Clone, Copy, PartialEq, Noun)]
enum Amount {
    /// By mass.
    Mass(Mass),
    /// By volume.
    Volume(Volume),
    /// All there is.
    All,
}

/// A word.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Noun)]
enum Colour {
    Red,
    DarkBlue,
}

/// A share that is left of something.
const SHARE: super::Range = super::range!(0, < 1, "write for example 0.5");

/// What a lid weighs, here and in the code that weighs it.
fn lid() -> Mass {
    crate::quantity::known(0.012)
}

/// A lid.
#[derive(Clone, PartialEq, Noun)]
struct Lid {
    /// Worn off.
    #[noun(within = SHARE)]
    worn: f64,
    /// Its mass.
    #[noun(default = lid())]
    mass: Mass,
}

#[test]
fn a_range_is_shared_and_a_default_is_the_code_s_own() {
    let made: Lid = from_json(r#"{"worn": 0.5}"#, Cancel::NEVER).unwrap();
    assert_eq!(made.mass, lid());
    let e = from_json::<Lid>(r#"{"worn": 1}"#, Cancel::NEVER).unwrap_err();
    assert_eq!(
        (e.kind(), e.way_out()),
        (ErrorKind::OutOfRange, Some("write for example 0.5"))
    );
    let schema = schema_of(Lid::shape());
    assert_eq!(schema["properties"]["mass"]["default"], "12 g");
    assert_eq!(schema["properties"]["worn"]["exclusiveMaximum"], 1.0);
}

/// A tin.
#[derive(Clone, PartialEq, Noun)]
struct Tin {
    /// How much is in it.
    amount: Amount,
    /// How tall.
    #[noun(default = "8 cm", within("1 cm", "1 m", "measure it again"))]
    height: Length,
    /// Share left.
    #[noun(default = 1.0, within(0, 1))]
    left: f64,
    /// By colour.
    #[noun(default)]
    lids: BTreeMap<Colour, u32>,
    /// A remark.
    note: Option<String>,
}

fn tin(text: &str) -> crate::Result<Tin> {
    from_json(text, Cancel::NEVER)
}

#[test]
fn a_number_with_its_unit_tells_which_amount_it_is() {
    for (text, wanted) in [
        (r#""60 g""#, Amount::Mass(Mass::new::<kilogram>(0.06))),
        (r#""2 L""#, Amount::Volume(Volume::new::<cubic_meter>(0.002))),
        (
            r#"{"volume": "2 L"}"#,
            Amount::Volume(Volume::new::<cubic_meter>(0.002)),
        ),
        (r#""all""#, Amount::All),
    ] {
        assert_eq!(
            from_json::<Amount>(text, Cancel::NEVER).unwrap(),
            wanted,
            "{text}"
        );
    }
    let e = from_json::<Amount>(r#""60 m""#, Cancel::NEVER).unwrap_err();
    assert_eq!(e.kind(), ErrorKind::WrongDimension, "{e}");
    assert!(e.to_string().contains("mass, volume"), "{e}");
    let e = from_json::<Amount>(r#""al""#, Cancel::NEVER).unwrap_err();
    assert!(e.to_string().contains("did you mean 'all'"), "{e}");
}

#[test]
fn defaults_are_filled_in_and_written_back() {
    let made = tin(r#"{"amount": "60 g"}"#).unwrap();
    assert_eq!((made.height.si(), made.left), (0.08, 1.0));
    let text = to_json(&made, Style::Compact).unwrap();
    assert_eq!(text, r#"{"amount":{"mass":"60 g"},"height":"80 mm","left":1.0}"#);
    assert_eq!(tin(&text).unwrap(), made);
}

#[test]
fn every_mistake_is_told_with_its_path() {
    let e = tin(r#"{"amount": "60 s", "height": "2 m", "left": -1, "lids": {"green": 1}, "nte": "x"}"#)
        .unwrap_err();
    let all: Vec<(&str, ErrorKind)> = e.all().map(|e| (e.field(), e.kind())).collect();
    assert_eq!(all.len(), 5, "{e}");
    for told in [
        ("amount", ErrorKind::WrongDimension),
        ("height", ErrorKind::OutOfRange),
        ("left", ErrorKind::OutOfRange),
        ("lids.green", ErrorKind::UnknownName),
        ("", ErrorKind::Document),
    ] {
        assert!(all.contains(&told), "{told:?} in {all:?}");
    }
    assert!(
        e.to_string().contains("measure it again") && e.to_string().contains("'note'"),
        "{e}"
    );
}

#[test]
fn what_is_made_in_rust_is_held_to_the_same_ranges() {
    let mut made = tin(r#"{"amount": "60 g"}"#).unwrap();
    super::check(&made).unwrap();
    made.height = Length::new::<meter>(2.0);
    assert_eq!(super::check(&made).unwrap_err().field(), "height");
    made.height = Length::new::<meter>(f64::NAN);
    assert_eq!(super::check(&made).unwrap_err().kind(), ErrorKind::NotFinite);
    assert_eq!(to_json(&made, Style::Compact).unwrap_err().field(), "height");
}

#[test]
fn the_schema_tells_default_range_and_unit() {
    let schema = schema_of(Tin::shape());
    let height = &schema["properties"]["height"];
    assert_eq!(height["default"], "8 cm");
    assert_eq!(height["quantity"], "length");
    assert!(
        height["allowed"]
            .as_str()
            .is_some_and(|s| s.contains("1 cm") && s.contains("1 m"))
    );
    assert_eq!(schema["properties"]["left"]["maximum"], 1.0);
    assert_eq!(schema["required"], serde_json::json!(["amount"]));
    assert_eq!(schema["additionalProperties"], false);
    assert_eq!(schema["$defs"]["Colour"]["oneOf"][1]["const"], "dark_blue");
}
