//! One door for every language: a question by name with a JSON request, answered in JSON.
//!
//! A [`Question`] is a plain request struct with its answer; the science stays in the typed functions that it
//! calls. C and Python reach all of them through [`ask`], with their requests and answers described by JSON
//! schemas, so a computation is bound to every language by being listed here once.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::document;
use crate::error::{Error, Result};

/// A request that has an answer.
pub trait Question: DeserializeOwned + JsonSchema {
    /// Its name, `module.noun`.
    const NAME: &'static str;
    /// What it answers, in one or two sentences.
    const ABOUT: &'static str;
    /// The answer.
    type Answer: Serialize + JsonSchema;
    /// Answers.
    ///
    /// # Errors
    /// Typed, naming the request's field.
    fn answer(&self) -> Result<Self::Answer>;
}

/// A question as the door lists it.
#[derive(Clone, Copy)]
pub struct Entry {
    /// Its name, `module.noun`.
    pub name: &'static str,
    /// What it answers.
    pub about: &'static str,
    ask: fn(&str) -> Result<String>,
    request: fn() -> schemars::Schema,
    answer: fn() -> schemars::Schema,
}

impl Entry {
    /// Answers a JSON request in JSON.
    ///
    /// # Errors
    /// As [`ask`].
    pub fn ask(&self, request: &str) -> Result<String> {
        (self.ask)(request)
    }
    /// The JSON schema of the request. A quantity is a string of format `quantity`.
    pub fn request_schema(&self) -> schemars::Schema {
        (self.request)()
    }
    /// The JSON schema of the answer.
    pub fn answer_schema(&self) -> schemars::Schema {
        (self.answer)()
    }
}

impl std::fmt::Debug for Entry {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Entry")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// Lists a question.
pub const fn entry<Q: Question>() -> Entry {
    Entry {
        name: Q::NAME,
        about: Q::ABOUT,
        ask: |request| {
            let question: Q = document::from_json(request)?;
            let answer = question.answer()?;
            serde_json::to_string(&answer)
                .map_err(|e| Error::new(crate::ErrorKind::NotFinite, Q::NAME).with_value(e))
        },
        request: || {
            SchemaSettings::draft2020_12()
                .into_generator()
                .into_root_schema_for::<Q>()
        },
        answer: || {
            SchemaSettings::draft2020_12()
                .for_serialize()
                .into_generator()
                .into_root_schema_for::<Q::Answer>()
        },
    }
}

/// The questions of each module, in the order of the data flow.
const MODULES: &[&[Entry]] = &[
    crate::quantity::QUESTIONS,
    crate::material::QUESTIONS,
    crate::mix::QUESTIONS,
    crate::cure::QUESTIONS,
    crate::flow::QUESTIONS,
    crate::laminate::QUESTIONS,
    crate::light::QUESTIONS,
    crate::heat::QUESTIONS,
    crate::limit::QUESTIONS,
    crate::plan::QUESTIONS,
];

/// Every question there is.
pub fn questions() -> impl Iterator<Item = &'static Entry> {
    MODULES.iter().flat_map(|m| m.iter())
}

/// Answers the question named `question` (see [`questions`]) with a JSON request, in JSON.
///
/// # Errors
/// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest question; else as the request's
/// reading ([`document::from_json`]) and the question itself refuse.
pub fn ask(question: &str, request: &str) -> Result<String> {
    match questions().find(|e| e.name == question) {
        Some(entry) => entry.ask(request),
        None => Err(Error::unknown_name(
            "question",
            question,
            questions().map(|e| e.name),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
