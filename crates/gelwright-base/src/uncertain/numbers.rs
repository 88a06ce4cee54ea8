//! The numbers of an answer, each with its path.

use std::collections::HashMap;

use serde_json::Value;

use crate::error::{Error, ErrorKind, Result, joined};
use crate::noun::{Content, Field, Shape, Walk, Written};
use crate::quantity::spread::Input;
use crate::quantity::{Measure, QuantityText};

/// What a number measures.
#[derive(Debug, Clone)]
pub(super) enum Unit {
    /// In SI.
    Of(&'static Measure),
    /// A plain number.
    Plain,
    /// In the unit that it is written in.
    Written(String),
}

impl Unit {
    /// As a document holds it.
    pub(super) fn text(&self, x: f64) -> QuantityText {
        match self {
            Unit::Of(m) => QuantityText::of_si(x, m),
            Unit::Plain => QuantityText::of_number(x, ""),
            Unit::Written(unit) => QuantityText::of_number(x, unit),
        }
    }

    /// A difference of two.
    pub(super) fn difference(&self, x: f64) -> QuantityText {
        match self {
            Unit::Of(m) => QuantityText::of_si(x, m.difference()),
            Unit::Written(unit) if unit == "degC" => QuantityText::of_number(x, "K"),
            other => other.text(x),
        }
    }
}

/// A number of an answer.
#[derive(Debug, Clone)]
pub(super) struct Number {
    pub(super) path: String,
    pub(super) of: Unit,
    pub(super) x: f64,
}

/// The numbers of the answer at the spreads' values: those of other runs are put beside them.
#[derive(Debug, Default)]
pub(crate) struct Middle {
    pub(super) numbers: Vec<Number>,
    /// Which one has the path of that hash.
    which: HashMap<u64, usize>,
}

/// The numbers of a run's answer: those that the answer at the spreads' values has, NaN where it lacks one, and others.
#[derive(Debug)]
pub(super) struct Told {
    pub(super) known: Vec<f64>,
    pub(super) others: Vec<Number>,
}

/// The numbers of the answer at the spreads' values.
///
/// # Errors
/// [`ErrorKind::NotFinite`].
pub(crate) fn middle(answer: &dyn Written) -> Result<Middle> {
    Middle::of(answer)
}

impl Middle {
    /// Those of an answer.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`].
    pub(super) fn of(answer: &dyn Written) -> Result<Self> {
        let none = Middle::default();
        let mut found = Finder::new(&none);
        answer.walk(&mut found);
        let (told, hashes) = found.told()?;
        Ok(Middle {
            which: hashes.into_iter().zip(0..).collect(),
            numbers: told.others,
        })
    }

    /// Those of another run's answer.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`].
    pub(super) fn told(&self, answer: &dyn Written) -> Result<Told> {
        let mut found = Finder::new(self);
        answer.walk(&mut found);
        found.told().map(|(told, _)| told)
    }
}

enum Step {
    Field(&'static str),
    Key(String),
    Item(usize),
}

struct Finder<'m> {
    middle: &'m Middle,
    told: Told,
    /// Those of the others' paths.
    hashes: Vec<u64>,
    path: Vec<Step>,
    /// Of each step's path.
    hashed: Vec<u64>,
    refused: Option<Error>,
}

/// FNV-1a, 64 bit (Fowler, Noll, Vo).
const SEED: u64 = 0xcbf2_9ce4_8422_2325;
fn folded(hash: u64, byte: u8) -> u64 {
    (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
}

impl<'m> Finder<'m> {
    fn new(middle: &'m Middle) -> Self {
        Finder {
            middle,
            told: Told {
                known: vec![f64::NAN; middle.numbers.len()],
                others: Vec::new(),
            },
            hashes: Vec::new(),
            path: Vec::new(),
            hashed: vec![SEED],
            refused: None,
        }
    }

    fn told(self) -> Result<(Told, Vec<u64>)> {
        match self.refused {
            Some(e) => Err(e),
            None => Ok((self.told, self.hashes)),
        }
    }

    fn outer(&self) -> u64 {
        self.hashed.last().copied().unwrap_or(SEED)
    }

    fn enter(&mut self, step: Step) {
        let outer = self.outer();
        let inner = match &step {
            Step::Field(name) => name.bytes().fold(folded(outer, b'.'), folded),
            Step::Key(key) => key.bytes().fold(folded(outer, b'.'), folded),
            Step::Item(i) => i.to_le_bytes().into_iter().fold(folded(outer, b'['), folded),
        };
        self.path.push(step);
        self.hashed.push(inner);
    }

    fn leave(&mut self) {
        self.path.pop();
        self.hashed.pop();
    }

    fn said(&self) -> String {
        self.path.iter().rev().fold(String::new(), |inner, step| match step {
            Step::Field(name) => joined(name, &inner),
            Step::Key(key) => joined(key, &inner),
            Step::Item(i) => joined(&format!("[{i}]"), &inner),
        })
    }

    fn found(&mut self, x: f64, of: &dyn Fn() -> Unit) {
        if !x.is_finite() {
            if self.refused.is_none() {
                self.refused = Some(
                    Error::new(ErrorKind::NotFinite, self.said())
                        .with_value(x)
                        .with_way_out("a spread leads beyond what a number can hold: give a narrower one"),
                );
            }
            return;
        }
        let hash = self.outer();
        if let Some(i) = self.middle.which.get(&hash) {
            self.told.known[*i] = x;
        } else {
            self.hashes.push(hash);
            self.told.others.push(Number {
                path: self.said(),
                of: of(),
                x,
            });
        }
    }

    fn all(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        for (field, node) in fields.iter().zip(nodes) {
            if field.flat {
                node.walk(self);
            } else if !field.left_out(*node) {
                self.enter(Step::Field(field.name));
                node.walk(self);
                self.leave();
            }
        }
    }
}

impl Walk for Finder<'_> {
    fn null(&mut self) {}
    fn truth(&mut self, _: bool) {}
    fn whole(&mut self, _: i128) {}
    fn number(&mut self, x: f64) {
        self.found(x, &|| Unit::Plain);
    }
    fn text(&mut self, _: &str) {}
    fn measured(&mut self, text: &str) {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        if let Ok(x) = number.parse::<f64>() {
            self.found(x, &|| match unit {
                "" => Unit::Plain,
                unit => Unit::Written(unit.to_owned()),
            });
        }
    }
    fn quantity(&mut self, si: f64, of: &'static Measure) {
        self.found(si, &|| Unit::Of(of));
    }
    fn spread(&mut self, input: &Input) {
        self.quantity(input.value, input.of);
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        self.all(of.table().fields, nodes);
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        let of = of.variants();
        let variant = &of.variants[which];
        if of.tag.is_none() {
            self.enter(Step::Field(variant.name));
        }
        match (variant.content, nodes) {
            (Content::Fields(fields), _) => self.all(fields, nodes),
            (Content::One(_), [node]) => node.walk(self),
            _ => {}
        }
        if of.tag.is_none() {
            self.leave();
        }
    }
    fn list(&mut self) {
        // Before the first item.
        self.enter(Step::Item(usize::MAX));
    }
    fn map(&mut self) {
        self.enter(Step::Key(String::new()));
    }
    fn item(&mut self) {
        let i = match self.path.last() {
            Some(Step::Item(i)) => i.wrapping_add(1),
            _ => 0,
        };
        self.leave();
        self.enter(Step::Item(i));
    }
    fn key(&mut self, key: &str) {
        self.leave();
        self.enter(Step::Key(key.to_owned()));
    }
    fn end(&mut self) {
        self.leave();
    }
    fn any(&mut self, value: &Value) {
        match value {
            Value::Number(n) if n.is_f64() => {
                if let Some(x) = n.as_f64() {
                    self.number(x);
                }
            }
            Value::Array(items) => {
                for (i, item) in items.iter().enumerate() {
                    self.enter(Step::Item(i));
                    self.any(item);
                    self.leave();
                }
            }
            Value::Object(fields) => {
                for (key, item) in fields {
                    self.enter(Step::Key(key.clone()));
                    self.any(item);
                    self.leave();
                }
            }
            _ => {}
        }
    }
}
