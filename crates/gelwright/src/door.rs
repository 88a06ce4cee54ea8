//! One door for every language: a question by name with a JSON request, answered in JSON.
//!
//! The questions are methods of the nouns, each listed where it stands ([`question`](crate::question)). C and Python
//! reach all of them through [`ask`], with their requests and answers described by JSON schemas. [`ask_cancellable`] is
//! the same for a caller who may want to stop it: C by a callback, Python by Ctrl-C.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde_json::{Value, json};

use crate::cancel::Cancel;
use crate::document;
use crate::error::{Error, Result};
use crate::material::Catalogue;
use crate::noun::{self, BAND, Content, Field, Noun, STAMP, Shape, Style};
use crate::question::{Answer, Entry};
use crate::uncertain::Band;

/// The questions of each module, in the order of the data flow.
const MODULES: &[&[&[Entry]]] = &[
    &[
        crate::quantity::convert::QUESTIONS,
        crate::quantity::spread::QUESTIONS,
    ],
    crate::material::QUESTIONS,
    crate::mix::QUESTIONS,
    crate::cure::QUESTIONS,
    crate::flow::QUESTIONS,
    crate::laminate::QUESTIONS,
    crate::light::QUESTIONS,
    crate::heat::QUESTIONS,
    crate::calibrate::QUESTIONS,
    crate::stock::QUESTIONS,
    crate::limit::QUESTIONS,
    crate::air::QUESTIONS,
    crate::plan::QUESTIONS,
    crate::risk::QUESTIONS,
    crate::card::QUESTIONS,
];

/// Every question there is.
pub fn questions() -> impl Iterator<Item = &'static Entry> {
    MODULES.iter().flat_map(|m| m.iter()).flat_map(|of| of.iter())
}

/// Answers the question named `question` (see [`questions`]) with a JSON request, in JSON.
///
/// # Errors
/// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest question; else as the request's
/// reading ([`crate::document::from_json`]) and the question itself refuse.
pub fn ask(question: &str, request: &str) -> Result<String> {
    let of = named(question)?;
    stamped(of, &of.ask(request, Cancel::NEVER)?)
}

/// The same for a caller who may want to stop it: see [`Entry::ask_cancellable`].
///
/// # Errors
/// As [`ask`]; [`ErrorKind::Cancelled`](crate::ErrorKind::Cancelled) once `should_stop` has answered true.
///
/// # Panics
/// As [`Entry::ask_cancellable`].
pub fn ask_cancellable(
    question: &str,
    request: &str,
    should_stop: &mut dyn FnMut() -> bool,
) -> Result<String> {
    let of = named(question)?;
    stamped(of, &of.ask_cancellable(request, should_stop)?)
}

/// The mistakes of a noun that a caller puts together, before anything is asked of it.
///
/// # Errors
/// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) for a noun that no question takes or gives; else every
/// mistake, as the reading of a request tells them.
pub fn check(noun: &str, json: &str) -> Result<()> {
    static NOUNS: LazyLock<BTreeMap<String, &'static Shape>> = LazyLock::new(|| {
        let mut found = BTreeMap::new();
        questions().for_each(|q| {
            collect((q.request)(), &mut found);
            collect((q.answer)(), &mut found);
        });
        collect(Band::shape(), &mut found);
        found
    });
    let shape = NOUNS
        .get(noun)
        .ok_or_else(|| Error::unknown_name("noun", noun, NOUNS.keys().map(String::as_str)))?;
    noun::mistakes(shape, &document::json_value(json, Cancel::NEVER)?)
}

/// Every noun that a shape is or holds, by its name.
fn collect(shape: &'static Shape, found: &mut BTreeMap<String, &'static Shape>) {
    if let Some(name) = shape.name()
        && found.insert(name.into_owned(), shape).is_some()
    {
        return;
    }
    let mut fields = |of: &'static [Field]| of.iter().for_each(|f| collect((f.shape)(), found));
    match shape {
        Shape::Struct(s) => fields(s.fields),
        Shape::Variants(v) => v.variants.iter().for_each(|v| match v.content {
            Content::Fields(of) => of.iter().for_each(|f| collect((f.shape)(), found)),
            Content::One(one) => collect(one(), found),
            Content::Unit => {}
        }),
        Shape::Option(inner) | Shape::List(inner) | Shape::Array(_, inner) | Shape::Map(_, inner) => {
            collect(inner(), found);
        }
        _ => {}
    }
}

/// Every question as JSON, a list: name, meaning, whose method it is, the schemas of request and answer.
pub fn described() -> String {
    let list: Vec<Value> = questions()
        .map(|q| {
            let mut told = q.described();
            told["answer"] = stamped_schema(q);
            told
        })
        .collect();
    Value::from(list).to_string()
}

/// An answer with the versions of library and catalogue, and its band where it has one: a field more each; what is not a
/// table of fields stands in `value`.
fn stamped(of: &Entry, answer: &Answer) -> Result<String> {
    let mut stamp = match &answer.band {
        Some(band) => format!(r#""{BAND}":{},"#, noun::to_json(band, Style::Compact)?),
        None => String::new(),
    };
    stamp += &format!(
        r#""{STAMP}":{{"library":"{}","catalogue":"{}"}}"#,
        env!("CARGO_PKG_VERSION"),
        Catalogue::edition()
    );
    let answer = &answer.text;
    Ok(match answer.strip_suffix('}') {
        Some("{") if is_table(of) => format!("{{{stamp}}}"),
        Some(fields) if is_table(of) => format!("{fields},{stamp}}}"),
        _ => format!(r#"{{"value":{answer},{stamp}}}"#),
    })
}

fn is_table(of: &Entry) -> bool {
    matches!((of.answer)(), Shape::Struct(_))
}

/// The schema of a question's answer as the door gives it.
pub fn stamped_schema(of: &Entry) -> Value {
    let mut schema = of.answer_schema();
    if !is_table(of) {
        let defs = schema.as_object_mut().and_then(|s| s.remove("$defs"));
        schema = json!({ "type": "object", "properties": { "value": schema }, "required": ["value"] });
        if let Some(defs) = defs {
            schema["$defs"] = defs;
        }
    }
    let mut band = noun::schema_of(Band::shape());
    if let Some(of_band) = band.as_object_mut() {
        of_band.remove("$schema");
        of_band.remove("title");
        if let Some(Value::Object(inner)) = of_band.remove("$defs") {
            for (name, def) in inner {
                schema["$defs"][name] = def;
            }
        }
    }
    schema["$defs"]["Band"] = band;
    schema["properties"][BAND] = json!({
        "$ref": "#/$defs/Band",
        "description": "How sure the numbers are; there where the request holds spreads.",
    });
    schema["properties"][STAMP] = json!({
        "type": "object",
        "description": "The versions of what made this answer.",
        "properties": {
            "library": { "type": "string", "description": "Of the library." },
            "catalogue": { "type": "string", "description": "Of the embedded catalogue and limits: changes with any value in them." },
        },
        "required": ["library", "catalogue"],
    });
    schema
}

fn named(question: &str) -> Result<&'static Entry> {
    questions()
        .find(|e| e.name == question)
        .ok_or_else(|| Error::unknown_name("question", question, questions().map(|e| e.name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A name that stands for two things makes bindings wrong: the layer of a wall is not that of a coat.
    #[test]
    fn no_noun_has_the_name_of_another() {
        let mut seen = std::collections::BTreeMap::<String, (Value, &str)>::new();
        let mut twice = Vec::new();
        for q in questions() {
            for mut schema in [noun::schema_of((q.request)()), noun::schema_of((q.answer)())] {
                let defs = schema.as_object_mut().and_then(|s| s.remove("$defs"));
                let root = schema["title"]
                    .as_str()
                    .filter(|t| !t.contains('.'))
                    .map(str::to_owned);
                let plain = |mut s: Value| {
                    s.as_object_mut()
                        .map(|s| (s.remove("$schema"), s.remove("title")));
                    s
                };
                let root = root.map(|name| (name, plain(schema)));
                let defs = defs
                    .as_ref()
                    .and_then(Value::as_object)
                    .cloned()
                    .unwrap_or_default();
                for (name, schema) in defs.into_iter().chain(root) {
                    match seen.get(&name) {
                        Some((known, _)) if *known == schema => {}
                        Some((_, first)) => twice.push(format!("{name} of {first} and of {}", q.name)),
                        None => {
                            seen.insert(name, (schema, q.name));
                        }
                    }
                }
            }
        }
        twice.sort();
        twice.dedup();
        assert!(twice.is_empty(), "{}", twice.join("\n"));
        assert!(seen.len() > 100);
    }

    #[test]
    fn names_are_unique_and_schemas_say_what_is_what() {
        let mut seen = std::collections::BTreeSet::new();
        for q in questions() {
            assert!(seen.insert(q.name), "{} twice", q.name);
            assert!(
                q.name.split('.').count() == 2 && !q.about.is_empty(),
                "{}",
                q.name
            );
            assert!(q.request_schema().as_object().is_some());
            assert!(q.answer_schema().as_object().is_some());
        }
    }

    #[test]
    fn a_typo_in_the_question_suggests_the_right_one() {
        let e = ask("quantity.convrt", "{}").unwrap_err();
        assert!(e.to_string().contains("quantity.convert"), "{e}");
    }
}
