//! Reading documents (TOML for people, JSON between programs) without losing the kind of a refusal.
//!
//! Both are read into one tree of values, and the tree into types by a reader of our own ([`from_value`]), whose
//! errors are this crate's: an unknown field knows its neighbours, and every error the path of its field. One
//! reader for both languages also halves what the compiler has to generate for each request.

use std::cell::RefCell;
use std::fmt;

use serde::de::{self, DeserializeOwned, DeserializeSeed, IntoDeserializer, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::{Map, Value};

use crate::error::{Error, ErrorKind, Result, nearest};

thread_local! {
    static REFUSED: RefCell<Option<Error>> = const { RefCell::new(None) };
}

/// Passes a typed refusal through serde, which keeps only texts; the reader gives it back typed.
pub(crate) fn through_serde<E: de::Error>(e: Error) -> E {
    let text = e.to_string();
    REFUSED.with(|slot| *slot.borrow_mut() = Some(e));
    E::custom(text)
}

/// Reads a JSON document.
///
/// # Errors
/// The typed refusal of a field with its path, or [`ErrorKind::Document`] for malformed JSON, unknown, missing
/// or repeated fields.
pub fn from_json<T: DeserializeOwned>(text: &str) -> Result<T> {
    from_value(&json_value(text)?)
}

/// Reads a TOML document.
///
/// # Errors
/// As [`from_json`].
pub fn from_toml<T: DeserializeOwned>(text: &str) -> Result<T> {
    from_value(&toml_value(text)?)
}

/// A JSON document as a tree of values; a field given twice is refused.
///
/// # Errors
/// [`ErrorKind::Document`].
pub fn json_value(text: &str) -> Result<Value> {
    serde_json::from_str::<Strict>(text)
        .map(|s| s.0)
        .map_err(|e| malformed(&e))
}

/// A TOML document as the same tree of values.
///
/// # Errors
/// [`ErrorKind::Document`].
pub fn toml_value(text: &str) -> Result<Value> {
    let table: toml::Table = toml::from_str(text).map_err(|e| malformed(&e))?;
    serde_json::to_value(table).map_err(|e| malformed(&e))
}

/// Reads a type from a part of a TOML document.
///
/// # Errors
/// As [`from_json`].
pub fn from_toml_value<T: DeserializeOwned>(value: &toml::Value) -> Result<T> {
    from_value(&serde_json::to_value(value).map_err(|e| malformed(&e))?)
}

/// Reads a type from a tree of values.
///
/// # Errors
/// As [`from_json`].
pub fn from_value<T: DeserializeOwned>(value: &Value) -> Result<T> {
    REFUSED.with(|slot| slot.borrow_mut().take());
    T::deserialize(Reader(value)).map_err(|e| e.0)
}

/// Writes a value as JSON, indented for people.
///
/// # Errors
/// [`ErrorKind::Document`] if the value can not be written (a number that is not finite).
pub fn to_json<T: Serialize>(value: &T) -> Result<String> {
    serde_json::to_string_pretty(value).map_err(|e| malformed(&e))
}

/// Refuses a document whose `version` is not `supported`.
///
/// # Errors
/// [`ErrorKind::Version`].
pub fn check_version(found: u32, supported: u32) -> Result<()> {
    if found == supported {
        Ok(())
    } else {
        Err(Error::new(ErrorKind::Version, "version")
            .with_value(found)
            .with_allowed(supported.to_string())
            .with_way_out(format!(
                "write 'version = {supported}' and check the document against that version"
            )))
    }
}

fn malformed(e: &dyn fmt::Display) -> Error {
    let text = e.to_string();
    Error::new(ErrorKind::Document, "")
        .with_value(format_args!("the document ({})", text.trim()))
        .with_way_out("mend the syntax at the place named")
}

/// A JSON value whose objects name each field once.
struct Strict(Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(d: D) -> std::result::Result<Self, D::Error> {
        struct Tree;
        impl<'de> Visitor<'de> for Tree {
            type Value = Value;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a JSON value")
            }
            fn visit_bool<E>(self, v: bool) -> std::result::Result<Value, E> {
                Ok(v.into())
            }
            fn visit_i64<E>(self, v: i64) -> std::result::Result<Value, E> {
                Ok(v.into())
            }
            fn visit_u64<E>(self, v: u64) -> std::result::Result<Value, E> {
                Ok(v.into())
            }
            fn visit_f64<E>(self, v: f64) -> std::result::Result<Value, E> {
                Ok(v.into())
            }
            fn visit_str<E>(self, v: &str) -> std::result::Result<Value, E> {
                Ok(v.into())
            }
            fn visit_unit<E>(self) -> std::result::Result<Value, E> {
                Ok(Value::Null)
            }
            fn visit_seq<A: de::SeqAccess<'de>>(self, mut a: A) -> std::result::Result<Value, A::Error> {
                let mut all = Vec::new();
                while let Some(Strict(v)) = a.next_element()? {
                    all.push(v);
                }
                Ok(Value::Array(all))
            }
            fn visit_map<A: de::MapAccess<'de>>(self, mut a: A) -> std::result::Result<Value, A::Error> {
                let mut all = Map::new();
                while let Some((key, Strict(v))) = a.next_entry::<String, Strict>()? {
                    if all.contains_key(&key) {
                        return Err(de::Error::custom(format_args!("field '{key}' is given twice")));
                    }
                    all.insert(key, v);
                }
                Ok(Value::Object(all))
            }
        }
        d.deserialize_any(Tree).map(Strict)
    }
}

/// This crate's error as serde wants one.
#[derive(Debug)]
struct Refusal(Error);

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for Refusal {}

impl de::Error for Refusal {
    fn custom<T: fmt::Display>(message: T) -> Self {
        let text = message.to_string();
        let remembered = REFUSED.with(|slot| slot.borrow_mut().take());
        Refusal(match remembered {
            Some(e) if e.to_string() == text => e,
            _ => Error::new(ErrorKind::Document, "")
                .with_value(format_args!("({text})"))
                .with_way_out("write the field as the document's schema says"),
        })
    }
    fn invalid_type(found: de::Unexpected<'_>, wanted: &dyn de::Expected) -> Self {
        Refusal(
            Error::new(ErrorKind::Document, "")
                .with_value(format_args!("{found}"))
                .with_way_out(match wanted.to_string().as_str() {
                    // What serde calls a count.
                    "u8" | "u16" | "u32" | "u64" | "usize" => {
                        "write a whole number, not negative and not huge".to_owned()
                    }
                    wanted => format!("write {wanted}"),
                }),
        )
    }
    fn invalid_value(found: de::Unexpected<'_>, wanted: &dyn de::Expected) -> Self {
        Self::invalid_type(found, wanted)
    }
    fn unknown_field(name: &str, known: &'static [&'static str]) -> Self {
        let e = Error::new(ErrorKind::Document, "").with_value(format_args!("field '{name}'"));
        let e = if known.is_empty() {
            e
        } else {
            e.with_allowed(known.join(", "))
        };
        Refusal(e.with_way_out(match nearest(name, known).first() {
            Some(n) => format!("did you mean '{n}'?"),
            None => "remove it".to_owned(),
        }))
    }
    fn unknown_variant(name: &str, known: &'static [&'static str]) -> Self {
        Refusal(Error::unknown_name("", name, known.iter().copied()).with_allowed(known.join(", ")))
    }
    fn missing_field(name: &'static str) -> Self {
        Refusal(
            Error::new(ErrorKind::Document, "")
                .with_value(format_args!("field '{name}'"))
                .with_way_out(format!("'{name}' is missing: add it")),
        )
    }
}

type Read<T> = std::result::Result<T, Refusal>;

fn within<T>(read: Read<T>, at: impl fmt::Display) -> Read<T> {
    read.map_err(|e| Refusal(e.0.within(at)))
}

/// Reads one value of the tree.
struct Reader<'de>(&'de Value);

impl<'de> IntoDeserializer<'de, Refusal> for Reader<'de> {
    type Deserializer = Self;
    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Reader<'de> {
    type Error = Refusal;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Read<V::Value> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(b) => visitor.visit_bool(*b),
            Value::Number(n) => match (n.as_u64(), n.as_i64(), n.as_f64()) {
                (Some(u), _, _) => visitor.visit_u64(u),
                (_, Some(i), _) => visitor.visit_i64(i),
                (_, _, Some(f)) => visitor.visit_f64(f),
                _ => Err(de::Error::custom(format_args!("the number {n} can not be held"))),
            },
            Value::String(s) => visitor.visit_borrowed_str(s),
            Value::Array(a) => visitor.visit_seq(Items {
                rest: a.iter().enumerate(),
            }),
            Value::Object(o) => visitor.visit_map(Fields {
                rest: o.iter(),
                current: None,
            }),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Read<V::Value> {
        if self.0.is_null() {
            visitor.visit_none()
        } else {
            visitor.visit_some(self)
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Read<V::Value> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Read<V::Value> {
        let wrong = |found: &dyn fmt::Display| {
            Refusal(
                Error::new(ErrorKind::Document, "")
                    .with_value(found)
                    .with_allowed(known.join(", "))
                    .with_way_out(format!(
                        "name one of them, for example '{}'",
                        known.first().unwrap_or(&"")
                    )),
            )
        };
        match self.0 {
            Value::String(name) => visitor.visit_enum(Variant { name, content: None }),
            Value::Object(o) if o.len() == 1 => {
                let (name, content) = o.iter().next().ok_or_else(|| wrong(&"{}"))?;
                visitor.visit_enum(Variant {
                    name,
                    content: Some(content),
                })
            }
            other => Err(wrong(other)),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct
        seq tuple tuple_struct map struct identifier ignored_any
    }
}

struct Items<'de> {
    rest: std::iter::Enumerate<std::slice::Iter<'de, Value>>,
}

impl<'de> de::SeqAccess<'de> for Items<'de> {
    type Error = Refusal;
    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<Option<T::Value>> {
        match self.rest.next() {
            Some((i, v)) => within(seed.deserialize(Reader(v)), format_args!("[{i}]")).map(Some),
            None => Ok(None),
        }
    }
    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

struct Fields<'de> {
    rest: serde_json::map::Iter<'de>,
    current: Option<(&'de str, &'de Value)>,
}

impl<'de> de::MapAccess<'de> for Fields<'de> {
    type Error = Refusal;
    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Read<Option<K::Value>> {
        match self.rest.next() {
            Some((name, value)) => {
                self.current = Some((name, value));
                seed.deserialize(de::value::BorrowedStrDeserializer::new(name))
                    .map(Some)
            }
            None => Ok(None),
        }
    }
    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<T::Value> {
        let (name, value) = self
            .current
            .take()
            .ok_or_else(|| <Refusal as de::Error>::custom("a value before its name"))?;
        within(seed.deserialize(Reader(value)), name)
    }
}

struct Variant<'de> {
    name: &'de str,
    content: Option<&'de Value>,
}

impl<'de> de::EnumAccess<'de> for Variant<'de> {
    type Error = Refusal;
    type Variant = Self;
    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Read<(T::Value, Self)> {
        let name = seed.deserialize(de::value::BorrowedStrDeserializer::new(self.name))?;
        Ok((name, self))
    }
}

impl<'de> Variant<'de> {
    fn content(&self) -> Read<&'de Value> {
        self.content.ok_or_else(|| {
            Refusal(
                Error::new(ErrorKind::Document, "")
                    .with_value(format_args!("'{}' alone", self.name))
                    .with_way_out(format!("give its content: {{ {} = ... }}", self.name)),
            )
        })
    }
}

impl<'de> de::VariantAccess<'de> for Variant<'de> {
    type Error = Refusal;
    fn unit_variant(self) -> Read<()> {
        match self.content {
            None | Some(Value::Null) => Ok(()),
            Some(other) => within(
                Err(Refusal(
                    Error::new(ErrorKind::Document, "")
                        .with_value(other)
                        .with_way_out(format!("write '{}' alone", self.name)),
                )),
                self.name,
            ),
        }
    }
    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Read<T::Value> {
        within(seed.deserialize(Reader(self.content()?)), self.name)
    }
    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Read<V::Value> {
        within(Reader(self.content()?).deserialize_any(visitor), self.name)
    }
    fn struct_variant<V: Visitor<'de>>(self, _: &'static [&'static str], visitor: V) -> Read<V::Value> {
        within(Reader(self.content()?).deserialize_any(visitor), self.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Mass;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Tin {
        #[serde(with = "crate::quantity::serde_tagged")]
        #[allow(dead_code)]
        mass: Mass,
    }
    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Shelf {
        #[allow(dead_code)]
        tins: Vec<Tin>,
    }
    #[derive(Debug, PartialEq, serde::Deserialize)]
    #[serde(rename_all = "snake_case", deny_unknown_fields)]
    enum Act {
        Wait,
        Pour { depth: f64 },
        Note(String),
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
            let e = from_json::<Shelf>(text).unwrap_err();
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
    fn alternatives_are_read_and_refused_by_name() {
        assert_eq!(from_json::<Act>("\"wait\"").unwrap(), Act::Wait);
        assert_eq!(
            from_json::<Act>(r#"{"pour":{"depth":2}}"#).unwrap(),
            Act::Pour { depth: 2.0 }
        );
        assert_eq!(
            from_json::<Act>(r#"{"note":"x"}"#).unwrap(),
            Act::Note("x".into())
        );
        let e = from_json::<Act>(r#"{"por":{"depth":2}}"#).unwrap_err();
        assert!(
            e.kind() == ErrorKind::UnknownName && e.to_string().contains("'pour'"),
            "{e}"
        );
        for wrong in [r#"{"pour":{"deep":2}}"#, r#""pour""#, r#"{"wait":1}"#, "5", "{}"] {
            assert_eq!(
                from_json::<Act>(wrong).unwrap_err().kind(),
                ErrorKind::Document,
                "{wrong}"
            );
        }
    }
}
