//! Provenance: where a number comes from, how far it can be trusted, and the chain behind an answer.
//!
//! Every catalogue value and every limit carries a [`Source`]; every answer can be asked for its [`Why`].

use std::fmt;
use std::sync::Arc;

use crate::error::{Error, Result};
use crate::noun::Noun;
use crate::quantity::{self, Quantity, Shown};

/// How far a source can be trusted. Ordered from the weakest to the strongest claim on the answer:
/// the product's data sheet wins over a published rule, the shop's own measurement wins over both.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Standing {
    /// Made up for a demonstration.
    Invented,
    /// Recalled by the authors, not looked up.
    FromMemory,
    /// A rule of thumb of the trade without a source.
    CommonPractice,
    /// Computed here from published inputs.
    Derived,
    /// On a maker's sheet of one product of the kind (technical data sheet, safety data sheet). Its [`Source`] gives the
    /// publisher, the kind of sheet in the title, the year and the address where it stands.
    MakersSheet,
    /// Printed in a standard, handbook, paper or public guide.
    Published,
    /// On the data sheet of the product in hand.
    DataSheet,
    /// Measured in this shop.
    MeasuredHere,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Standing::Invented => "invented for the demo",
            Standing::FromMemory => "from memory",
            Standing::CommonPractice => "common practice, no source",
            Standing::Derived => "derived",
            Standing::MakersSheet => "a maker's sheet",
            Standing::Published => "published",
            Standing::DataSheet => "data sheet",
            Standing::MeasuredHere => "measured in this shop",
        })
    }
}

/// Where a value, a limit or a model comes from.
#[derive(Clone, PartialEq, Eq, Hash, Noun)]
pub struct Source {
    /// Author or issuing body.
    #[noun(default)]
    pub author: String,
    /// Title; for common practice, what the practice is.
    pub title: String,
    /// Year of publication or measurement.
    pub year: Option<u16>,
    /// Table, page, section, equation.
    #[noun(default)]
    pub locator: String,
    /// How far it can be trusted.
    pub standing: Standing,
}

impl Source {
    /// A published source: author, title, year, locator.
    pub fn published(author: &str, title: &str, year: u16, locator: &str) -> Self {
        Source {
            author: author.into(),
            title: title.into(),
            year: Some(year),
            locator: locator.into(),
            standing: Standing::Published,
        }
    }
    /// The same, where what is taken from it was recalled and not read there.
    #[must_use]
    pub fn from_memory(self) -> Self {
        Source {
            standing: Standing::FromMemory,
            ..self
        }
    }
    /// A source of another standing with a title only.
    pub fn of(standing: Standing, title: &str) -> Self {
        Source {
            author: String::new(),
            title: title.into(),
            year: None,
            locator: String::new(),
            standing,
        }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.author.is_empty() {
            write!(f, "{}, ", self.author)?;
        }
        f.write_str(&self.title)?;
        if let Some(y) = self.year {
            write!(f, " ({y})")?;
        }
        if !self.locator.is_empty() {
            write!(f, ", {}", self.locator)?;
        }
        write!(f, " [{}]", self.standing)
    }
}

/// A property of a material: its value, the range it is found in, and its source.
///
/// In a document: `{ value = "1.10 g/mL", low = "1.08 g/mL", high = "1.14 g/mL", source = "..." }`, where
/// `source` names an entry of the document's source list.
#[derive(Clone, PartialEq, Noun)]
#[noun(via = "PropertyDocument<Q>")]
pub struct Property<Q: Quantity> {
    /// The value to compute with.
    pub value: Q,
    /// The range the value is found in across products or lots, where known.
    pub range: Option<(Q, Q)>,
    /// Where it comes from.
    pub source: Arc<Source>,
}

impl<Q: Quantity> Property<Q> {
    /// A property without a range.
    pub fn new(value: Q, source: Source) -> Self {
        Property {
            value,
            range: None,
            source: Arc::new(source),
        }
    }

    /// With the range it is found in.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) unless `low <= value <= high`.
    pub fn with_range(mut self, low: Q, high: Q) -> Result<Self> {
        if low.si() <= self.value.si() && self.value.si() <= high.si() {
            self.range = Some((low, high));
            Ok(self)
        } else {
            Err(Error::out_of_range(
                "value",
                quantity::show(self.value),
                format!("{} to {}", quantity::show(low), quantity::show(high)),
                "give low <= value <= high",
            ))
        }
    }

    /// The link of a [`Why`] chain for this property.
    pub fn why(&self, what: impl Into<String>) -> Why {
        Why::given(what, quantity::show(self.value)).with_source(&self.source)
    }
}

/// The chain behind an answer: what it is, how it was computed, from what, on whose word.
#[derive(Clone, PartialEq, Noun)]
pub struct Why {
    /// What the number is ("catalyst for the gel coat").
    pub what: String,
    /// The number with its unit, as shown.
    pub value: Shown,
    /// The equation, in symbols that the parts explain.
    pub equation: Option<String>,
    /// Where it comes from.
    pub source: Option<Source>,
    /// A remark (extrapolated, a default was taken, ...).
    pub note: Option<String>,
    /// What it was computed from.
    #[noun(default)]
    pub from: Vec<Why>,
}

impl Why {
    /// A value that was given, not computed.
    pub fn given(what: impl Into<String>, value: impl Into<Shown>) -> Self {
        Why {
            what: what.into(),
            value: value.into(),
            equation: None,
            source: None,
            note: None,
            from: vec![],
        }
    }
    /// A value computed by `equation` from `from`.
    pub fn computed(
        what: impl Into<String>,
        value: impl Into<Shown>,
        equation: impl Into<String>,
        from: Vec<Why>,
    ) -> Self {
        Why {
            what: what.into(),
            value: value.into(),
            equation: Some(equation.into()),
            source: None,
            note: None,
            from,
        }
    }
    /// With its source.
    #[must_use]
    pub fn with_source(mut self, source: &Source) -> Self {
        self.source = Some(source.clone());
        self
    }
    /// With a remark.
    #[must_use]
    pub fn with_note(mut self, note: impl Into<String>) -> Self {
        self.note = Some(note.into());
        self
    }
    /// All sources in the chain, each once, in order of appearance.
    pub fn sources(&self) -> Vec<&Source> {
        fn walk<'a>(w: &'a Why, out: &mut Vec<&'a Source>) {
            if let Some(s) = &w.source
                && !out.contains(&s)
            {
                out.push(s);
            }
            w.from.iter().for_each(|f| walk(f, out));
        }
        let mut out = Vec::new();
        walk(self, &mut out);
        out
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fn line(w: &Why, depth: usize, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "{:indent$}{} = {}", "", w.what, w.value, indent = 2 * depth)?;
            if let Some(e) = &w.equation {
                write!(f, "   [{e}]")?;
            }
            if let Some(s) = &w.source {
                write!(f, "   ({s})")?;
            }
            if let Some(n) = &w.note {
                write!(f, "   note: {n}")?;
            }
            for part in &w.from {
                writeln!(f)?;
                line(part, depth + 1, f)?;
            }
            Ok(())
        }
        line(self, 0, f)
    }
}

/// A property as a document holds it.
#[derive(Noun)]
#[noun(name = "Property")]
#[doc(hidden)]
pub struct PropertyDocument<Q: Quantity> {
    /// The value to compute with.
    value: Q,
    /// The low end of the range it is found in.
    low: Option<Q>,
    /// The high end of the range it is found in.
    high: Option<Q>,
    /// Where it comes from.
    source: Arc<Source>,
}

impl<Q: Quantity> From<Property<Q>> for PropertyDocument<Q> {
    fn from(p: Property<Q>) -> Self {
        PropertyDocument {
            value: p.value,
            low: p.range.map(|r| r.0),
            high: p.range.map(|r| r.1),
            source: p.source,
        }
    }
}

impl<Q: Quantity> TryFrom<PropertyDocument<Q>> for Property<Q> {
    type Error = Error;
    fn try_from(d: PropertyDocument<Q>) -> Result<Self> {
        let property = Property {
            value: d.value,
            range: None,
            source: d.source,
        };
        match (d.low, d.high) {
            (None, None) => Ok(property),
            (low, high) => property.with_range(low.unwrap_or(d.value), high.unwrap_or(d.value)),
        }
    }
}
