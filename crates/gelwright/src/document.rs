//! Reading documents (TOML for people, JSON between programs) without losing the kind of a refusal.
//!
//! Serde keeps only an error's text. A refusal raised while a field is read (an unknown unit inside a casting
//! file) is therefore remembered beside it, and given back typed, with the path of the field.

use std::cell::RefCell;
use std::fmt;

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::error::{Error, ErrorKind, Result, nearest};

thread_local! {
    static REFUSED: RefCell<Option<Error>> = const { RefCell::new(None) };
}

/// Passes a typed refusal through serde; [`from_json`] and [`from_toml`] give it back typed.
pub(crate) fn through_serde<E: serde::de::Error>(e: Error) -> E {
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
    let mut d = serde_json::Deserializer::from_str(text);
    let value = typed(|| serde_path_to_error::deserialize(&mut d))?;
    d.end().map_err(|e| malformed(&e))?;
    Ok(value)
}

/// Reads a TOML document.
///
/// # Errors
/// As [`from_json`].
pub fn from_toml<T: DeserializeOwned>(text: &str) -> Result<T> {
    let d = toml::Deserializer::parse(text).map_err(|e| malformed(&e))?;
    typed(|| serde_path_to_error::deserialize(d))
}

/// Reads a TOML value already parsed.
///
/// By way of a JSON value, whose errors name the field on the line that [`shape`] reads.
///
/// # Errors
/// As [`from_json`].
pub(crate) fn from_toml_value<T: DeserializeOwned>(value: &toml::Value) -> Result<T> {
    let value = serde_json::to_value(value).map_err(|e| malformed(&e))?;
    typed(|| serde_path_to_error::deserialize(value))
}

/// Writes a value as JSON, indented for people.
///
/// # Errors
/// [`ErrorKind::Document`] if the value can not be written (a map without text keys).
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

fn typed<T, E: fmt::Display>(
    read: impl FnOnce() -> std::result::Result<T, serde_path_to_error::Error<E>>,
) -> Result<T> {
    REFUSED.with(|slot| slot.borrow_mut().take());
    let failure = match read() {
        Ok(value) => return Ok(value),
        Err(e) => e,
    };
    let path = failure.path().to_string();
    let path = if path == "." || path == "?" {
        String::new()
    } else {
        path
    };
    let text = failure.inner().to_string();
    let remembered = REFUSED.with(|slot| slot.borrow_mut().take());
    Err(match remembered {
        Some(e) if text.contains(&e.to_string()) => {
            if path.is_empty() {
                e
            } else {
                e.within(path)
            }
        }
        _ => shape(&path, &text),
    })
}

/// A refusal of the document's shape, from serde's words.
fn shape(path: &str, text: &str) -> Error {
    let names: Vec<&str> = text
        .lines()
        .next_back()
        .unwrap_or(text)
        .split('`')
        .skip(1)
        .step_by(2)
        .collect();
    let parent = |name: &str| match path.strip_suffix(name).map(|p| p.trim_end_matches('.')) {
        Some(p) => p.to_owned(),
        None => path.to_owned(),
    };
    let line = text.lines().next_back().unwrap_or(text).trim();
    if let (true, Some((name, known))) = (line.contains("unknown field"), names.split_first()) {
        let near = nearest(name, known);
        let e = Error::new(ErrorKind::Document, parent(name)).with_value(format_args!("field '{name}'"));
        let e = if known.is_empty() {
            e
        } else {
            e.with_allowed(known.join(", "))
        };
        return e.with_way_out(match near.first() {
            Some(n) => format!("did you mean '{n}'?"),
            None => "remove it".to_owned(),
        });
    }
    if let (true, Some((name, known))) = (line.contains("unknown variant"), names.split_first()) {
        return Error::unknown_name(path, name, known.iter().copied()).with_allowed(known.join(", "));
    }
    if let (true, Some(name)) = (line.contains("missing field"), names.first()) {
        return Error::new(ErrorKind::Document, path)
            .with_value(format_args!("field '{name}'"))
            .with_way_out(format!("'{name}' is missing: add it"));
    }
    Error::new(ErrorKind::Document, path)
        .with_value(format_args!("({})", line))
        .with_way_out("write the field as the document's schema says")
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
            (r#"{"tins":"#, ErrorKind::Document, "tins"),
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
}
