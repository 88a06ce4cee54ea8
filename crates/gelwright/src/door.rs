//! One door for every language: a question by name with a JSON request, answered in JSON.
//!
//! A [`Question`] is a plain request struct with its answer; the science stays in the typed functions that it
//! calls. C and Python reach all of them through [`ask`], with their requests and answers described by JSON
//! schemas, so a computation is bound to every language by being listed here once. [`ask_cancellable`] is the same
//! for a caller who may want to stop it: C by a callback, Python by Ctrl-C.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::cancel::{Cancel, watched};
use crate::document;
use crate::error::{Error, ErrorKind, Result};

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

/// A question whose answer may take long (a run of the solver or many of them, a search, a sampling), so that its
/// caller may want to stop it. Any other is answered about as soon as its request is read.
pub trait LongQuestion: Question {
    /// Answers, asking `cancel` now and then: at least twice a second, and once before it answers.
    ///
    /// # Errors
    /// As [`Question::answer`]; [`ErrorKind::Cancelled`].
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<Self::Answer>;
}

/// A question as the door lists it.
#[derive(Clone, Copy)]
pub struct Entry {
    /// Its name, `module.noun`.
    pub name: &'static str,
    /// What it answers.
    pub about: &'static str,
    /// Whether the answer may take long: see [`LongQuestion`].
    pub long: bool,
    ask: fn(&str, Cancel<'_>) -> Result<String>,
    request: fn() -> schemars::Schema,
    answer: fn() -> schemars::Schema,
}

impl Entry {
    /// Answers a JSON request in JSON.
    ///
    /// # Errors
    /// As [`ask`].
    pub fn ask(&self, request: &str) -> Result<String> {
        self.ask_with(request, Cancel::NEVER)
    }
    /// The same, cancellable on the calling thread; only a [long](Self::long) question ever looks at `cancel`.
    ///
    /// # Errors
    /// As [`ask`]; [`ErrorKind::Cancelled`].
    pub fn ask_with(&self, request: &str, cancel: Cancel<'_>) -> Result<String> {
        (self.ask)(request, cancel)
    }
    /// The same for a caller who may want to stop it: `should_stop` is asked on the calling thread, once before the work and, while a
    /// [long](Self::long) question is worked on (by a thread of its own), about 20 times a second.
    ///
    /// Only a long question starts a thread: starting one costs some tens of microseconds, which is more than many
    /// a short answer.
    ///
    /// # Errors
    /// As [`ask`]; [`ErrorKind::Cancelled`] once `should_stop` has answered true.
    ///
    /// # Panics
    /// Where `should_stop` does; where the work does, with its payload.
    pub fn ask_cancellable(&self, request: &str, should_stop: &mut dyn FnMut() -> bool) -> Result<String> {
        let cancelled = || {
            Error::new(ErrorKind::Cancelled, "question")
                .with_value(self.name)
                .with_way_out("ask it again, or let it finish")
        };
        if should_stop() {
            return Err(cancelled());
        }
        if !self.long {
            return self.ask(request);
        }
        watched(|cancel| self.ask_with(request, cancel), should_stop).map_err(|e| match e.kind() {
            ErrorKind::Cancelled => cancelled(),
            _ => e,
        })
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
    listed::<Q>(false, |request, _| {
        let question: Q = document::from_json(request)?;
        written::<Q>(&question.answer()?)
    })
}

/// Lists a question that can be cancelled.
pub const fn long_entry<Q: LongQuestion>() -> Entry {
    listed::<Q>(true, |request, cancel| {
        let question: Q = document::from_json(request)?;
        written::<Q>(&question.answer_with(cancel)?)
    })
}

fn written<Q: Question>(answer: &Q::Answer) -> Result<String> {
    serde_json::to_string(answer).map_err(|e| Error::new(ErrorKind::NotFinite, Q::NAME).with_value(e))
}

const fn listed<Q: Question>(long: bool, ask: fn(&str, Cancel<'_>) -> Result<String>) -> Entry {
    Entry {
        name: Q::NAME,
        about: Q::ABOUT,
        long,
        ask,
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
    named(question)?.ask(request)
}

/// The same for a caller who may want to stop it: see [`Entry::ask_cancellable`].
///
/// # Errors
/// As [`ask`]; [`ErrorKind::Cancelled`] once `should_stop` has answered true.
///
/// # Panics
/// As [`Entry::ask_cancellable`].
pub fn ask_cancellable(
    question: &str,
    request: &str,
    should_stop: &mut dyn FnMut() -> bool,
) -> Result<String> {
    named(question)?.ask_cancellable(request, should_stop)
}

fn named(question: &str) -> Result<&'static Entry> {
    questions()
        .find(|e| e.name == question)
        .ok_or_else(|| Error::unknown_name("question", question, questions().map(|e| e.name)))
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
