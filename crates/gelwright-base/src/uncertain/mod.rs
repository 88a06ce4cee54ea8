//! A noun of which some quantities are given with their spread, and what that makes of an answer.
//!
//! Any quantity of any noun may have a spread where it is read as [`Uncertain`]: `temperature = "20 +/- 1 degC"`
//! ([`quantity::spread`](crate::quantity::spread) has the forms). A question asked at the door takes one in any quantity of
//! its request ([`question`](crate::question)). Whole numbers, plain numbers and words take none.
//!
//! * The spreads are independent, and each stands once: one shop temperature moves every batch, one bottle's density every
//!   dose, because each is one field of the document. What two fields share has to be one field.
//! * The noun is what the document says at the spreads' values ([`Spread::value`](crate::quantity::spread::Spread::value)).
//!   Both ends of a spread (of a normal or log-normal one those that hold 95 %) must be values that the document may have
//!   there: each is read like any other document, with every check.
//! * The answer is that at the values, and its [`Band`] tells of each of its numbers that moves how sure it is.
//!
//! ```
//! use gelwright_base::noun::{Noun, questions};
//! use gelwright_base::propagate::Sampling;
//! use gelwright_base::quantity::{Mass, MassDensity, Volume};
//! use gelwright_base::{Cancel, Uncertain};
//!
//! /// A tin on the shelf.
//! #[derive(Clone, Noun)]
//! struct Tin {
//!     /// What is in it.
//!     mass: Mass,
//!     /// Of what is in it.
//!     density: MassDensity,
//! }
//! let tin = Uncertain::<Tin>::from_toml("mass = '1 kg'\ndensity = '1.1 g/mL, u = 1 %'").unwrap();
//! let room = tin.propagate(Sampling::default(), Cancel::NEVER, |tin| Ok(tin.mass / tin.density)).unwrap();
//! let band = room.band_of("").unwrap();
//! let u: Volume = band.standard_uncertainty.as_ref().unwrap().read("u").unwrap();
//! assert!((u / room.value).value - 0.01 < 1e-4);
//! assert_eq!(band.budget[0].input, "density");
//! ```

mod band;
mod numbers;
mod place;
mod runs;
#[cfg(test)]
mod tests;

pub use band::{Band, BudgetLine, InputSpread, NumberBand, RefusedRuns};
pub(crate) use numbers::middle;
pub(crate) use runs::band;

use serde_json::Value;

use crate::cancel::Cancel;
use crate::document;
use crate::error::{Error, ErrorKind, Result};
use crate::noun::{self, Asked, Noun, Reader, Shape, Walk, Written};
use crate::propagate::Sampling;
use crate::quantity::spread::Input;

/// A noun of which quantities may have a spread: see the [module](self).
///
/// It is a noun itself, written as the document it was read from: the noun with its spreads in their places.
#[derive(Clone)]
pub struct Uncertain<N> {
    document: Value,
    value: N,
    /// In the order they are met; one that is read twice stands twice.
    noted: Vec<(String, Input)>,
}

impl<N: Noun> Uncertain<N> {
    /// Reads a TOML document.
    ///
    /// # Errors
    /// As [`document::from_toml`]; every spread that can not be, or of which an end can not stand where it stands, with its
    /// path.
    pub fn from_toml(text: &str) -> Result<Self> {
        Uncertain::from_value(document::toml_value(text)?)
    }

    /// Reads a JSON document.
    ///
    /// # Errors
    /// As [`Uncertain::from_toml`]; [`ErrorKind::Cancelled`].
    pub fn from_json(text: &str, cancel: Cancel<'_>) -> Result<Self> {
        Uncertain::from_value(document::json_value(text, cancel)?)
    }

    /// Reads a tree of values.
    ///
    /// # Errors
    /// As [`Uncertain::from_toml`].
    pub fn from_value(document: Value) -> Result<Self> {
        let mut asked = Asked::new(&document);
        let value = asked.noun()?;
        let noted = asked.noted;
        Ok(Uncertain {
            document,
            value,
            noted,
        })
    }

    /// A noun made in Rust, with spreads (each with its value) at these paths, as `shop.temperature` or `zones[0].area`.
    ///
    /// # Errors
    /// As [`Uncertain::from_toml`]; [`ErrorKind::UnknownName`] for a path at which nothing stands that can have a spread.
    pub fn new<P: AsRef<str>>(noun: &N, spreads: impl IntoIterator<Item = (P, Input)>) -> Result<Self> {
        let mut document = noun::to_value(noun)?;
        let mut wanted = Vec::new();
        for (path, input) in spreads {
            let path = path.as_ref().to_owned();
            place::put(&mut document, &path, input.tagged().into()).ok_or_else(|| nothing_at(&path))?;
            wanted.push(path);
        }
        let made = Uncertain::from_value(document)?;
        match wanted
            .iter()
            .find(|w| made.noted.iter().all(|(path, _)| path != *w))
        {
            Some(path) => Err(nothing_at(path)),
            None => Ok(made),
        }
    }

    /// The same with one more spread, or another one at that path.
    ///
    /// # Errors
    /// As [`Uncertain::new`].
    pub fn with(&self, path: &str, input: &Input) -> Result<Self> {
        let mut document = self.document.clone();
        place::put(&mut document, path, input.tagged().into()).ok_or_else(|| nothing_at(path))?;
        let made = Uncertain::from_value(document)?;
        if made.noted.iter().any(|(p, _)| p == path) {
            Ok(made)
        } else {
            Err(nothing_at(path))
        }
    }

    /// The noun at the spreads' values.
    pub const fn value(&self) -> &N {
        &self.value
    }

    /// The spreads, each with its path.
    pub fn inputs(&self) -> Vec<(&str, Input)> {
        runs::once(&self.noted)
            .0
            .into_iter()
            .map(|i| (self.noted[i].0.as_str(), self.noted[i].1))
            .collect()
    }

    /// Answers at the spreads' values, and carries the spreads through: see [`Band`]. The runs go to all cores; the same
    /// bits on any number of them.
    ///
    /// # Errors
    /// As the model refuses at the spreads' values (a refusal elsewhere is told in the band);
    /// [`ErrorKind::OutOfRange`] for a sampling that can not be, and for one whose answers would fill the memory;
    /// [`ErrorKind::Cancelled`].
    pub fn propagate<A: Written>(
        &self,
        sampling: Sampling,
        cancel: Cancel<'_>,
        model: impl Fn(&N) -> Result<A> + Sync,
    ) -> Result<Banded<A>> {
        let document = &self.document;
        let value = model(&self.value)?;
        let band = runs::band(&self.noted, sampling, cancel, &middle(&value)?, &|at, tell| {
            let noun: N = Asked::given(document, at).noun()?;
            tell(&model(&noun)?)
        })?;
        Ok(Banded { value, band })
    }
}

fn nothing_at(path: &str) -> Error {
    Error::new(ErrorKind::UnknownName, path)
        .with_value(format_args!("'{path}'"))
        .with_way_out(
            "nothing stands there that can have a spread: write the path of a quantity, such as 'shop.temperature' or \
             'zones[0].area'",
        )
}

impl<N: Noun> Written for Uncertain<N> {
    fn walk(&self, w: &mut dyn Walk) {
        if self.noted.is_empty() {
            return self.value.walk(w);
        }
        match place::written(&self.value, &self.document, &self.noted) {
            Ok(tree) => w.any(&tree),
            // A number that is not finite: the writer of the noun says which.
            Err(_) => self.value.walk(w),
        }
    }
}

impl<N: Noun> Noun for Uncertain<N> {
    fn shape() -> &'static Shape {
        N::shape()
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        r.ask(Uncertain::from_value(value.clone()))
    }
}

impl<N: Noun> std::fmt::Debug for Uncertain<N> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&noun::to_text(self))
    }
}

/// An answer with its band.
#[derive(Debug, Clone, PartialEq)]
pub struct Banded<A> {
    /// The answer at the spreads' values.
    pub value: A,
    /// How sure its numbers are.
    pub band: Band,
}

impl<A> Banded<A> {
    /// How sure the number at that path of the answer is, as `batches[0].batch.mass`; none where it does not move.
    pub fn band_of(&self, path: &str) -> Option<&NumberBand> {
        self.band.of(path)
    }
}
