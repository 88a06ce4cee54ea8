//! What can be asked of a noun, in every language: a method or a function listed by name.
//!
//! ```
//! use gelwright_base::noun::{Noun, questions};
//! use gelwright_base::quantity::{Mass, MassDensity, Volume};
//!
//! /// A tin on the shelf.
//! #[derive(Clone, Noun)]
//! struct Tin {
//!     /// What is in it.
//!     mass: Mass,
//! }
//!
//! #[questions]
//! impl Tin {
//!     /// The room that a tin's content takes.
//!     #[question("tin.volume")]
//!     fn volume(&self, #[doc = "Of the content."] density: MassDensity) -> Volume {
//!         self.mass / density
//!     }
//! }
//! let request = r#"{"tin": {"mass": "1.1 kg"}, "density": "1.1 g/mL"}"#;
//! let answer = Tin::QUESTIONS[0].ask(request, gelwright_base::Cancel::NEVER).unwrap();
//! assert_eq!(answer.text, "\"1000 mL\"");
//!
//! let request = r#"{"tin": {"mass": "1.1 kg +/- 5 g"}, "density": "1.1 g/mL"}"#;
//! let answer = Tin::QUESTIONS[0].ask(request, gelwright_base::Cancel::NEVER).unwrap();
//! assert_eq!(answer.text, "\"1000 mL\"");
//! assert_eq!(answer.band.unwrap().numbers[0].budget[0].input, "tin.mass");
//! ```
//!
//! The request holds the noun, under its own name in small letters, and the parameters; where there are none it *is* the
//! noun. A parameter is described as a field is ([`noun`]). `&str`, `&T`, `&[T]`, `Option<&T>` are held
//! as what they borrow. A [`Cancel`] is handed in and not in the request; a question that may take long is marked
//! `#[question("name", long)]` and takes one.
//!
//! Any quantity of a request may have a spread ([`uncertain`]): the answer is that at the spreads' values,
//! with its [`Band`]. How the spreads are carried through is said in the request's field [`SAMPLING`], as
//! [`Sampling`]; left out, and in what it leaves out, its defaults, and of a long question
//! [`POINTS_OF_LONG`] points and scramblings. A request without spreads is answered as if there were none anywhere, at the same cost.
//!
//! A second block of the same noun, in another file, gives its list another name: `#[questions(POURING)]`. A noun that a
//! request calls otherwise: `#[questions(table)]`.

use serde_json::Value;

use crate::cancel::{Cancel, watched};
use crate::document;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{self, Asked, Noun, Shape, Style, Written, schema_of, schema_of_request, to_json};
use crate::propagate::Sampling;
use crate::quantity::spread;
use crate::uncertain::{self, Band};

/// The field of every request that says how its spreads are carried through: a [`Sampling`].
pub const SAMPLING: &str = "spread_sampling";
/// Points of each scrambling where a long question's request does not say, and how many scramblings.
pub const POINTS_OF_LONG: (u32, u32) = (64, 4);

/// A question as a door lists it.
#[derive(Clone, Copy)]
pub struct Entry {
    /// Its name, `module.name`.
    pub name: &'static str,
    /// What it answers: the first paragraph says it, what follows gives equation, range, source.
    pub about: &'static str,
    /// Whether the answer may take long, so that its caller may want to stop it. Any other is answered about as soon as
    /// its request is read.
    pub long: bool,
    /// The noun whose method it is.
    pub noun: Option<fn() -> &'static Shape>,
    /// What the request calls the noun; empty where the request is the noun itself, `None` where it takes none.
    pub subject: Option<&'static str>,
    /// The method's name.
    pub method: &'static str,
    /// The shape of its request.
    pub request: fn() -> &'static Shape,
    /// The shape of its answer.
    pub answer: fn() -> &'static Shape,
    /// Answers; use [`Entry::ask`].
    #[doc(hidden)]
    pub ask: fn(&mut Asked<'_>, Cancel<'_>, &mut Tell<'_>) -> Result<()>,
}

/// Takes an answer.
#[doc(hidden)]
pub type Tell<'t> = dyn FnMut(&dyn Written) -> Result<()> + 't;

/// An answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// In JSON.
    pub text: String,
    /// How sure its numbers are, where the request holds spreads or says how they are to be carried through.
    pub band: Option<Band>,
}

impl Entry {
    /// Answers a JSON request in JSON, cancellable on the calling thread; a short question looks at `cancel` only while it
    /// reads.
    ///
    /// # Errors
    /// As the request's reading ([`document::from_json`]) and the question itself refuse;
    /// [`ErrorKind::NotFinite`] where the answer would hold a number that is not finite; [`ErrorKind::Cancelled`].
    pub fn ask(&self, request: &str, cancel: Cancel<'_>) -> Result<Answer> {
        let mut request = document::json_value(request, cancel)?;
        let sampling = self.sampling(&mut request)?;
        let mut asked = Asked::new(&request);
        let mut text = None;
        let spreads = sampling.is_some() || holds_spread(&request);
        let mut band = None;
        let mut middle = None;
        (self.ask)(&mut asked, cancel, &mut |answer| {
            text = Some(to_json(answer, Style::Compact)?);
            if spreads {
                middle = Some(uncertain::middle(answer)?);
            }
            Ok(())
        })?;
        if let Some(middle) = middle
            && (sampling.is_some() || !asked.noted.is_empty())
        {
            let sampling = sampling.unwrap_or(self.usual_sampling());
            let run = |at, tell: &mut Tell<'_>| (self.ask)(&mut Asked::given(&request, at), cancel, tell);
            let found = uncertain::band(&asked.noted, sampling, cancel, &middle, &run);
            band = Some(found.map_err(|e| e.within(SAMPLING))?);
        }
        // Every question tells its answer.
        Ok(Answer {
            text: text.unwrap_or_default(),
            band,
        })
    }

    fn usual_sampling(&self) -> Sampling {
        let mut usual = Sampling::default();
        if self.long {
            (usual.points, usual.scramblings) = POINTS_OF_LONG;
        }
        usual
    }

    /// What the request says of it, taken out of the request.
    fn sampling(&self, request: &mut Value) -> Result<Option<Sampling>> {
        let Some(mut given) = request.as_object_mut().and_then(|r| r.shift_remove(SAMPLING)) else {
            return Ok(None);
        };
        let usual = self.usual_sampling();
        for (name, usual) in [("points", usual.points), ("scramblings", usual.scramblings)] {
            if let Some(fields) = given.as_object_mut() {
                fields.entry(name).or_insert(usual.into());
            }
        }
        noun::read_at(SAMPLING, &given).map(Some)
    }

    /// The same for a caller who may want to stop it: `should_stop` is asked on the calling thread, once before the work
    /// and, while a [long](Self::long) question is worked on (by a thread of its own), about 20 times a second.
    ///
    /// Only a long question starts a thread: starting one costs some tens of microseconds, which is more than many a
    /// short answer.
    ///
    /// # Errors
    /// As [`Entry::ask`]; [`ErrorKind::Cancelled`] once `should_stop` has answered true.
    ///
    /// # Panics
    /// Where `should_stop` does; where the work does, with its payload.
    pub fn ask_cancellable(&self, request: &str, should_stop: &mut dyn FnMut() -> bool) -> Result<Answer> {
        let cancelled = || {
            Error::new(ErrorKind::Cancelled, "question")
                .with_value(self.name)
                .with_way_out("ask it again, or let it finish")
        };
        if should_stop() {
            return Err(cancelled());
        }
        // A short question with a huge request takes long to read, and one with spreads is asked a thousand times.
        if !self.long && request.len() < HUGE && !may_hold_spread(request) {
            return self.ask(request, Cancel::NEVER);
        }
        watched(|cancel| self.ask(request, cancel), should_stop).map_err(|e| match e.kind() {
            ErrorKind::Cancelled => cancelled(),
            _ => e,
        })
    }

    /// What a binding needs to know of it: name, meaning, whose method it is, the schemas of request and answer.
    pub fn described(&self) -> Value {
        serde_json::json!({
            "name": self.name,
            "about": self.about,
            "long": self.long,
            "noun": self.noun.and_then(|shape| shape().name()),
            "subject": self.subject,
            "method": self.method,
            "request": self.request_schema(),
            "answer": self.answer_schema(),
        })
    }

    /// The JSON schema of the request. A quantity is a string of format `quantity`, with a spread or without; how spreads are
    /// carried through stands in the field [`SAMPLING`], which every request may have.
    pub fn request_schema(&self) -> Value {
        let mut schema = schema_of_request((self.request)());
        let shape = (self.request)();
        if matches!(shape, Shape::Struct(_)) {
            let mut of = schema_of(Sampling::shape());
            if let Some(of) = of.as_object_mut() {
                for key in ["$schema", "title", "room"] {
                    of.remove(key);
                }
                let said = "How the spreads of this request are carried through to the answer's 'band'.";
                of.insert("description".to_owned(), said.into());
                let usual = self.usual_sampling();
                of["properties"]["points"]["default"] = usual.points.into();
                of["properties"]["scramblings"]["default"] = usual.scramblings.into();
            }
            schema["properties"][SAMPLING] = of;
        }
        schema
    }

    /// The JSON schema of the answer.
    pub fn answer_schema(&self) -> Value {
        schema_of((self.answer)())
    }
}

/// Whether a text in the tree is marked as a spread.
fn holds_spread(tree: &Value) -> bool {
    match tree {
        Value::String(text) => spread::is_marked(text),
        Value::Array(items) => items.iter().any(holds_spread),
        Value::Object(fields) => fields.values().any(holds_spread),
        _ => false,
    }
}

/// Whether a document's text may hold a spread, its marks escaped or not, or say how they are carried through.
fn may_hold_spread(document: &str) -> bool {
    document.contains(SAMPLING) || document.contains("\\u") || spread::is_marked(document)
}

/// A request of that many bytes takes a tenth of a second to read, more or less.
const HUGE: usize = 1 << 20;

impl std::fmt::Debug for Entry {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Entry")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// A method's refusal as its request sees it: what the method calls by the noun's field stands under the noun there.
#[doc(hidden)]
pub fn of_subject(e: Error, subject: &str, noun: &'static Shape, parameters: &[&str]) -> Error {
    e.within_where(subject, &|name| !parameters.contains(&name) && noun.has(name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::noun::{Noun, questions};
    use crate::quantity::{Mass, Quantity};

    /// A tin on the shelf.
    #[derive(Clone, Noun)]
    struct Tin {
        /// What is in it.
        mass: Mass,
    }

    #[questions]
    impl Tin {
        /// How many cups it fills.
        #[question("tin.cups")]
        fn cups(
            &self,
            /// What a cup takes.
            #[noun(within(> "0 g", ..))]
            cup: Mass,
        ) -> Result<f64> {
            self.shared(self.mass.si() / cup.si())
        }

        /// No question, and its parameter has a range all the same.
        fn shared(&self, #[noun(within(1, 100))] among: f64) -> Result<f64> {
            Ok(among)
        }
    }

    #[test]
    fn a_parameter_is_held_to_its_range_in_rust_too() {
        let mass = |kg: f64| Mass::from_si(kg).unwrap();
        let tin = Tin { mass: mass(1.0) };
        assert_eq!(tin.cups(mass(0.5)).unwrap(), 2.0);
        for (cup, field) in [(0.0, "cup"), (2.0, "among"), (1e-3, "among")] {
            let e = tin.cups(mass(cup)).unwrap_err();
            assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, field), "{cup}");
        }
        let e = Tin::QUESTIONS[0]
            .ask(r#"{"tin": {"mass": "1 kg"}, "cup": "0 g"}"#, Cancel::NEVER)
            .unwrap_err();
        assert_eq!((e.kind(), e.field()), (ErrorKind::OutOfRange, "cup"));
    }
}
