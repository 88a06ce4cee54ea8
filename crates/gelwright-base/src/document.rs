//! Reading documents: TOML for people, JSON between programs.
//!
//! Both are read into one tree of values, and the tree into nouns by [`noun::read`], with all mistakes at once, each
//! with its path. A document's text, depth and size have limits ([`MOST_TEXT`], [`MOST_DEPTH`], [`MOST_VALUES`]): what is
//! beyond them is refused before any work.

use std::cell::Cell;
use std::fmt;

use serde::de::{self, DeserializeSeed, Visitor};
use serde_json::{Map, Value};

use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{self, Noun, Style};

/// Most bytes of a document.
pub const MOST_TEXT: usize = 256 << 20;
/// Most lists and tables within one another.
pub const MOST_DEPTH: usize = 100;
/// Most values (numbers, texts, lists, tables) of a document.
pub const MOST_VALUES: usize = 10_000_000;

/// Reads a JSON document. A huge one takes long: that can be stopped.
///
/// # Errors
/// Every mistake with its path; [`ErrorKind::Document`] for malformed JSON, unknown, missing or repeated fields, a
/// document beyond its limits; [`ErrorKind::Cancelled`].
pub fn from_json<T: Noun>(text: &str, cancel: Cancel<'_>) -> Result<T> {
    noun::read(&json_value(text, cancel)?)
}

/// Reads a TOML document.
///
/// # Errors
/// As [`from_json`].
pub fn from_toml<T: Noun>(text: &str) -> Result<T> {
    noun::read(&toml_value(text)?)
}

/// A JSON document as a tree of values; a field given twice is refused.
///
/// # Errors
/// [`ErrorKind::Document`]; [`ErrorKind::Cancelled`].
pub fn json_value(text: &str, cancel: Cancel<'_>) -> Result<Value> {
    fits(text)?;
    let tree = Tree {
        cancel,
        values: Cell::new(0),
        cancelled: Cell::new(false),
    };
    let mut from = serde_json::Deserializer::from_str(text);
    let read = Node {
        tree: &tree,
        depth: 0,
    }
    .deserialize(&mut from)
    .and_then(|v| from.end().map(|()| v));
    match read {
        Ok(v) => Ok(v),
        Err(_) if tree.cancelled.get() => Err(Error::new(ErrorKind::Cancelled, "document")),
        Err(e) => Err(malformed(&e)),
    }
}

fn fits(text: &str) -> Result<()> {
    if text.len() <= MOST_TEXT {
        return Ok(());
    }
    Err(Error::out_of_range(
        "",
        format_args!("a document of {} MB", text.len() >> 20),
        format!("{} MB or less", MOST_TEXT >> 20),
        "ask in several parts",
    ))
}

/// A TOML document as the same tree of values.
///
/// # Errors
/// [`ErrorKind::Document`]; [`ErrorKind::NotFinite`] for `nan` and `inf`, with their path.
pub fn toml_value(text: &str) -> Result<Value> {
    fits(text)?;
    let table: toml::Table = toml::from_str(text).map_err(|e| malformed(&e))?;
    from_toml_value(&toml::Value::Table(table))
}

/// A part of a TOML document as a tree of values.
///
/// # Errors
/// As [`toml_value`].
pub fn from_toml_value(value: &toml::Value) -> Result<Value> {
    tree(value, 0)
}

fn tree(value: &toml::Value, depth: usize) -> Result<Value> {
    if depth > MOST_DEPTH {
        return Err(too_deep());
    }
    Ok(match value {
        toml::Value::String(s) => Value::from(s.as_str()),
        toml::Value::Integer(i) => Value::from(*i),
        toml::Value::Float(x) if x.is_finite() => Value::from(*x),
        toml::Value::Float(x) => {
            return Err(Error::new(ErrorKind::NotFinite, "")
                .with_value(x)
                .with_way_out("give a finite number, or leave the field out"));
        }
        toml::Value::Boolean(b) => Value::from(*b),
        // A date or a time of day: the fields that take one read its text.
        toml::Value::Datetime(d) => Value::from(d.to_string()),
        toml::Value::Array(items) => Value::Array(
            items
                .iter()
                .enumerate()
                .map(|(i, v)| tree(v, depth + 1).map_err(|e| e.within(format_args!("[{i}]"))))
                .collect::<Result<_>>()?,
        ),
        toml::Value::Table(fields) => {
            let mut map = Map::new();
            for (name, v) in fields {
                map.insert(name.clone(), tree(v, depth + 1).map_err(|e| e.within(name))?);
            }
            Value::Object(map)
        }
    })
}

/// Reads a noun from a tree of values.
///
/// # Errors
/// As [`from_json`].
pub fn from_value<T: Noun>(value: &Value) -> Result<T> {
    noun::read(value)
}

/// Writes a noun as JSON, indented for people.
///
/// # Errors
/// [`ErrorKind::NotFinite`] with the path of a number that is not finite.
pub fn to_json<T: Noun>(value: &T) -> Result<String> {
    noun::to_json(value, Style::Indented)
}

/// The versions of a document: the one that is read, and how one of it is made of an earlier one.
#[derive(Debug)]
pub struct Versions {
    /// The one that is read.
    pub reads: u32,
    /// Earlier ones, each with what to do.
    pub earlier: &'static [(u32, &'static str)],
}

impl Versions {
    /// Refuses a tree of values of another version, before its fields are looked at: they may be that version's. One
    /// that does not say its version passes: its fields are refused as they are.
    ///
    /// # Errors
    /// [`ErrorKind::Version`].
    pub fn check(&self, document: &Value) -> Result<()> {
        match document.get("version").and_then(Value::as_u64) {
            Some(found) => self.check_number(found),
            None => Ok(()),
        }
    }

    /// The same of a version alone.
    ///
    /// # Errors
    /// [`ErrorKind::Version`].
    pub fn check_number(&self, found: u64) -> Result<()> {
        let reads = self.reads;
        if found == u64::from(reads) {
            return Ok(());
        }
        let by_hand = format!("write 'version = {reads}' and check the document against that version");
        let way_out = match self.earlier.iter().find(|(v, _)| u64::from(*v) == found) {
            Some((_, how)) => (*how).to_owned(),
            None if found > u64::from(reads) => format!("take the release that wrote it, or {by_hand}"),
            None => by_hand,
        };
        Err(Error::new(ErrorKind::Version, "version")
            .with_value(found)
            .with_allowed(reads.to_string())
            .with_way_out(way_out))
    }
}

fn malformed(e: &dyn fmt::Display) -> Error {
    let text = e.to_string();
    Error::new(ErrorKind::Document, "")
        .with_value(format_args!("the document ({})", text.trim()))
        .with_way_out("mend the syntax at the place named")
}

fn too_deep() -> Error {
    Error::new(ErrorKind::Document, "")
        .with_value(format_args!(
            "more than {MOST_DEPTH} lists and tables within one another"
        ))
        .with_way_out("nothing here is nested so deep: mend the brackets")
}

/// What is counted while a document is read.
struct Tree<'c> {
    cancel: Cancel<'c>,
    values: Cell<usize>,
    cancelled: Cell<bool>,
}

/// One value of a JSON document, whose objects name each field once.
#[derive(Clone, Copy)]
struct Node<'t> {
    tree: &'t Tree<'t>,
    depth: usize,
}

impl Node<'_> {
    fn count<E: de::Error>(self) -> std::result::Result<Self, E> {
        let n = self.tree.values.get() + 1;
        self.tree.values.set(n);
        if n > MOST_VALUES {
            return Err(E::custom(format_args!("more than {MOST_VALUES} values")));
        }
        if n.is_multiple_of(4096) && self.tree.cancel.check().is_err() {
            self.tree.cancelled.set(true);
            return Err(E::custom("cancelled"));
        }
        Ok(self)
    }

    fn deeper<E: de::Error>(self) -> std::result::Result<Self, E> {
        if self.depth >= MOST_DEPTH {
            return Err(E::custom(format_args!(
                "more than {MOST_DEPTH} lists and tables within one another"
            )));
        }
        Ok(Node {
            depth: self.depth + 1,
            ..self
        })
    }
}

impl<'de> DeserializeSeed<'de> for Node<'_> {
    type Value = Value;
    fn deserialize<D: de::Deserializer<'de>>(self, d: D) -> std::result::Result<Value, D::Error> {
        d.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Node<'_> {
    type Value = Value;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_bool<E: de::Error>(self, v: bool) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| v.into())
    }
    fn visit_i64<E: de::Error>(self, v: i64) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| v.into())
    }
    fn visit_u64<E: de::Error>(self, v: u64) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| v.into())
    }
    fn visit_f64<E: de::Error>(self, v: f64) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| v.into())
    }
    fn visit_str<E: de::Error>(self, v: &str) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| v.into())
    }
    fn visit_unit<E: de::Error>(self) -> std::result::Result<Value, E> {
        self.count::<E>().map(|_| Value::Null)
    }
    fn visit_seq<A: de::SeqAccess<'de>>(self, mut a: A) -> std::result::Result<Value, A::Error> {
        let inner = self.count::<A::Error>()?.deeper::<A::Error>()?;
        let mut all = Vec::new();
        while let Some(v) = a.next_element_seed(inner)? {
            all.push(v);
        }
        Ok(Value::Array(all))
    }
    fn visit_map<A: de::MapAccess<'de>>(self, mut a: A) -> std::result::Result<Value, A::Error> {
        let inner = self.count::<A::Error>()?.deeper::<A::Error>()?;
        let mut all = Map::new();
        while let Some(key) = a.next_key::<String>()? {
            let v = a.next_value_seed(inner)?;
            if all.contains_key(&key) {
                return Err(de::Error::custom(format_args!(
                    "field '{}' is given twice",
                    crate::error::cut(&key)
                )));
            }
            all.insert(key, v);
        }
        Ok(Value::Object(all))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;
    use crate::quantity::Mass;

    #[derive(Noun)]
    struct Tin {
        #[allow(dead_code)]
        mass: Mass,
    }
    #[derive(Noun)]
    struct Shelf {
        #[allow(dead_code)]
        tins: Vec<Tin>,
    }
    #[derive(PartialEq, Noun)]
    enum Act {
        Wait,
        Pour { depth: f64 },
        Note(String),
    }
    #[derive(PartialEq, Noun)]
    #[noun(tag = "kind")]
    enum Place {
        Bench,
        Bath { depth: f64 },
    }

    #[test]
    fn a_refusal_inside_a_document_keeps_its_kind_and_gets_its_path() {
        for (text, kind, field) in [
            (
                r#"{"tins":[{"mass":"1 kg"},{"mass":"1 gramm"}]}"#,
                ErrorKind::UnknownUnit,
                "tins[1].mass",
            ),
            (r#"{"tins":[{"mass":12}]}"#, ErrorKind::BareNumber, "tins[0].mass"),
            (
                r#"{"tins":[{"mass":"2 mm"}]}"#,
                ErrorKind::WrongDimension,
                "tins[0].mass",
            ),
            (r#"{"tins":[{"mas":"2 g"}]}"#, ErrorKind::Document, "tins[0]"),
            (r#"{"tins":[{}]}"#, ErrorKind::Document, "tins[0]"),
            (r#"{"tins":{}}"#, ErrorKind::Document, "tins"),
            (
                r#"{"tins":[{"mass":"1 kg","mass":"2 kg"}]}"#,
                ErrorKind::Document,
                "",
            ),
            (r#"{"tins":"#, ErrorKind::Document, ""),
            ("{", ErrorKind::Document, ""),
        ] {
            let e = from_json::<Shelf>(text, Cancel::NEVER).unwrap_err();
            assert_eq!((e.kind(), e.field()), (kind, field), "{text}: {e}");
        }
        let e = from_toml::<Shelf>("[[tins]]\nmas = \"1 kg\"").unwrap_err();
        assert!(e.to_string().contains("did you mean 'mass'?"), "{e}");
        let e = from_toml::<Shelf>("[[tins]]\nmass = 1.5").unwrap_err();
        assert_eq!(
            (e.kind(), e.field()),
            (ErrorKind::BareNumber, "tins[0].mass"),
            "{e}"
        );
    }

    #[test]
    fn reading_a_huge_document_stops_when_told() {
        let text = format!("[{}1]", "1,".repeat(200_000));
        let looks = AtomicUsize::new(0);
        let at_the_third = || looks.fetch_add(1, Ordering::Relaxed) == 2;
        let e = from_json::<Vec<f64>>(&text, Cancel::when(&at_the_third)).unwrap_err();
        assert_eq!((e.kind(), looks.into_inner()), (ErrorKind::Cancelled, 3));
    }

    #[test]
    fn all_mistakes_are_told_at_once() {
        let e = from_json::<Shelf>(
            r#"{"tins":[{"mass":1},{"mass":"2 mm"},{"mas":"1 g"}],"x":1}"#,
            Cancel::NEVER,
        )
        .unwrap_err();
        let found: Vec<_> = e.all().map(|e| (e.kind(), e.field().to_owned())).collect();
        assert_eq!(
            found,
            [
                (ErrorKind::Document, String::new()),
                (ErrorKind::BareNumber, "tins[0].mass".to_owned()),
                (ErrorKind::WrongDimension, "tins[1].mass".to_owned()),
                (ErrorKind::Document, "tins[2]".to_owned()),
            ]
        );
    }

    #[test]
    fn alternatives_are_read_and_refused_by_name() {
        assert_eq!(from_json::<Act>("\"wait\"", Cancel::NEVER).unwrap(), Act::Wait);
        assert_eq!(
            from_json::<Act>(r#"{"pour":{"depth":2}}"#, Cancel::NEVER).unwrap(),
            Act::Pour { depth: 2.0 }
        );
        assert_eq!(
            from_json::<Act>(r#"{"note":"x"}"#, Cancel::NEVER).unwrap(),
            Act::Note("x".into())
        );
        let e = from_json::<Act>(r#"{"por":{"depth":2}}"#, Cancel::NEVER).unwrap_err();
        assert!(
            e.kind() == ErrorKind::UnknownName && e.to_string().contains("'pour'"),
            "{e}"
        );
        for wrong in [r#"{"pour":{"deep":2}}"#, r#""pour""#, r#"{"wait":1}"#, "5", "{}"] {
            assert_eq!(
                from_json::<Act>(wrong, Cancel::NEVER).unwrap_err().kind(),
                ErrorKind::Document,
                "{wrong}"
            );
        }
        assert_eq!(
            from_json::<Place>(r#"{"kind":"bench"}"#, Cancel::NEVER).unwrap(),
            Place::Bench
        );
        assert_eq!(
            noun::to_text(&Place::Bath { depth: 0.5 }),
            r#"{"kind":"bath","depth":0.5}"#
        );
        for wrong in [
            r#"{"kind":"bench","depth":1}"#,
            r#"{"depth":1}"#,
            r#"{"kind":"bath"}"#,
        ] {
            assert_eq!(
                from_json::<Place>(wrong, Cancel::NEVER).unwrap_err().kind(),
                ErrorKind::Document,
                "{wrong}"
            );
        }
    }

    const VERSIONS: Versions = Versions {
        reads: 2,
        earlier: &[(1, "weigh it again")],
    };
    #[derive(Noun)]
    #[noun(versions = "VERSIONS")]
    struct Label {
        #[allow(dead_code)]
        version: u32,
        #[allow(dead_code)]
        mass: Mass,
    }

    #[test]
    fn a_document_of_another_version_is_refused_before_its_fields() {
        assert!(from_json::<Label>(r#"{"version": 2, "mass": "1 g"}"#, Cancel::NEVER).is_ok());
        for (text, says) in [
            (r#"{"version": 1, "weight": "1 g"}"#, "weigh it again"),
            (r#"{"version": 3, "mass": {}}"#, "take the release that wrote it"),
            (r#"{"version": 0}"#, "write 'version = 2'"),
        ] {
            let e = from_json::<Label>(text, Cancel::NEVER).unwrap_err();
            assert_eq!(
                (e.kind(), e.field(), e.all().count()),
                (ErrorKind::Version, "version", 1)
            );
            assert!(e.to_string().contains(says), "{e}");
        }
        let e = from_json::<Label>(r#"{"mass": "1 g"}"#, Cancel::NEVER).unwrap_err();
        assert_eq!(e.kind(), ErrorKind::Document, "{e}");
    }

    #[test]
    fn what_is_not_finite_or_beyond_the_limits_is_refused_with_its_path() {
        let e = from_toml::<Shelf>("[[tins]]\nmass = nan").unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::NotFinite, "tins[0].mass"));
        let deep = format!("{}{}", "[".repeat(20_000), "]".repeat(20_000));
        assert_eq!(
            json_value(&deep, Cancel::NEVER).unwrap_err().kind(),
            ErrorKind::Document
        );
        let deep = format!("x = {}{}", "[".repeat(20_000), "]".repeat(20_000));
        assert_eq!(toml_value(&deep).unwrap_err().kind(), ErrorKind::Document);
        let long = format!(r#"{{"tins":[{{"mass":"{}"}}]}}"#, "x".repeat(100_000));
        let e = from_json::<Shelf>(&long, Cancel::NEVER).unwrap_err();
        assert!(e.to_string().len() < 600, "{}", e.to_string().len());
    }
}
