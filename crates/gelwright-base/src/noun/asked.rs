//! Reading a document in which a quantity may have a spread: at the values of the spreads, and again at those of a run.

use serde_json::Value;

use super::read::Spreads;
use super::{Noun, Reader, Shape};
use crate::error::{Error, Result};
use crate::quantity::spread::{DistributionKind, Input};
use crate::quantity::{Measure, show_si};

/// The value of a spread in a run, in SI, and what it measures.
pub type Drawn = (&'static Measure, f64);

/// A document in which a quantity may have a spread.
#[derive(Debug)]
pub struct Asked<'a> {
    document: &'a Value,
    at: Option<Vec<Drawn>>,
    /// The spreads in the order they are met, each with its path.
    pub(crate) noted: Vec<(String, Input)>,
}

impl<'a> Asked<'a> {
    /// To be read at the spreads' own values; they are noted.
    pub(crate) fn new(document: &'a Value) -> Self {
        Asked {
            document,
            at: None,
            noted: Vec::new(),
        }
    }

    /// To be read at these values of what was noted, in its order.
    pub(crate) fn given(document: &'a Value, at: Vec<Drawn>) -> Self {
        Asked {
            document,
            at: Some(at),
            noted: Vec::new(),
        }
    }

    /// Reads the noun.
    ///
    /// # Errors
    /// As [`noun::read`](super::read()); a spread of which an end can not stand where it stands, with its path.
    pub fn noun<T: Noun>(&mut self) -> Result<T> {
        self.read(&mut |value, r| T::read(value, r))
    }

    fn read<T>(&mut self, read: &mut dyn FnMut(&Value, &mut Reader) -> Option<T>) -> Result<T> {
        let document = self.document;
        if let Some(at) = self.at.take() {
            return reader(Spreads::Given(at.into_iter()), |r| read(document, r)).0;
        }
        let (found, left) = reader(Spreads::Noted(Vec::new()), |r| read(document, r));
        let found = found?;
        if let Spreads::Noted(noted) = left
            && !noted.is_empty()
        {
            check_ends(&noted, &mut |at| {
                reader(Spreads::Given(at.into_iter()), |r| read(document, r))
                    .0
                    .map(|_| ())
            })?;
            self.noted = noted;
        }
        Ok(found)
    }
}

fn reader<T>(spreads: Spreads, read: impl FnOnce(&mut Reader) -> Option<T>) -> (Result<T>, Spreads) {
    let mut r = Reader::default();
    r.spreads = spreads;
    let found = read(&mut r);
    let left = std::mem::take(&mut r.spreads);
    (r.finish(found), left)
}

/// Reads the document with each spread at either end, the others at their values: what the document allows of a value it
/// must allow of both.
fn check_ends(noted: &[(String, Input)], read: &mut dyn FnMut(Vec<Drawn>) -> Result<()>) -> Result<()> {
    let mut wrong = Vec::new();
    for (i, (path, input)) in noted.iter().enumerate() {
        for end in ends(input) {
            let at = noted
                .iter()
                .enumerate()
                .map(|(j, (p, x))| (x.of, if j == i || p == path { end } else { x.value }))
                .collect();
            let Err(e) = read(at) else { continue };
            let said = format!("{}, an end of '{}'", show_si(end, input.of), input.tagged());
            let e = if e.field() == path {
                e.with_value(said)
            } else {
                e.with_value_of(path, &said)
            };
            wrong.push(e);
            break;
        }
    }
    match Error::several(wrong) {
        Some(e) => Err(e),
        None => Ok(()),
    }
}

/// The ends of what an input may be; of a normal or log-normal one those of the interval that holds 95 %.
fn ends(input: &Input) -> [f64; 2] {
    let (low, high) = match input.kind() {
        DistributionKind::Rectangular => (input.quantile(0.0), input.quantile(1.0)),
        _ => input.ends(),
    };
    [low, high]
}

/// The mistakes of a value as a noun of that shape, as [`noun::read`](super::read()) tells them; a quantity in it may have
/// a spread.
///
/// # Errors
/// As [`noun::read`](super::read()).
pub fn mistakes(shape: &'static Shape, value: &Value) -> Result<()> {
    let reads = match shape {
        Shape::Struct(s) => s.read,
        Shape::Variants(v) => v.read,
        _ => return Ok(()),
    };
    Asked::new(value).read(&mut |value, r| reads(value, r).then_some(()))
}
