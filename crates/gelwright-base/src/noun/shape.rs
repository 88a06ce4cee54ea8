//! The tables that describe a noun.

use std::borrow::Cow;

use serde_json::Value;

use super::read::Reader;
use crate::quantity::Measure;

/// What a value looks like. Inner shapes are given by functions, so that a noun may hold its like.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A number with its unit, as text.
    Quantity(&'static Measure),
    /// A number with its unit, with or without its spread, as text.
    Spread(&'static Measure),
    /// A text with rules of its own (a dose, a time of day).
    Text(&'static Grammar),
    /// Any text.
    String,
    /// True or false.
    Bool,
    /// A plain number.
    Number,
    /// A whole number between two others.
    Whole(i128, i128),
    /// A value of any shape.
    Any,
    /// May be left out.
    Option(fn() -> &'static Shape),
    /// A list.
    List(fn() -> &'static Shape),
    /// A list of that many.
    Array(usize, fn() -> &'static Shape),
    /// Values by name: what a name may be, what a value is.
    Map(fn() -> &'static Shape, fn() -> &'static Shape),
    /// Named fields.
    Struct(&'static Struct),
    /// One of several.
    Variants(&'static Variants),
}

/// A text with rules of its own.
#[derive(Debug)]
pub struct Grammar {
    /// The type's name.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// What to write, for example.
    pub examples: &'static [&'static str],
}

/// A type with named fields.
#[derive(Debug)]
pub struct Struct {
    /// Its name.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// Its fields, in the order they are written.
    pub fields: &'static [Field],
    /// Unknown fields are passed over.
    pub open: bool,
    /// Where its type stands (`module_path!()`).
    pub path: &'static str,
    /// Reads one, for its mistakes alone.
    pub read: fn(&Value, &mut Reader) -> bool,
    /// What it is of, where its type has a parameter (an estimate *of a mass*).
    pub of: Option<fn() -> &'static Shape>,
}

impl Struct {
    /// Its name, with what it is of: `EstimateOfMass`.
    pub fn full_name(&self) -> Cow<'static, str> {
        let Some(of) = self.of else {
            return Cow::Borrowed(self.name);
        };
        let inner = match of() {
            Shape::Quantity(m) | Shape::Spread(m) => m.name.split([' ', '-']).map(capital).collect(),
            other => other.name().unwrap_or_default().into_owned(),
        };
        Cow::Owned(format!("{}Of{inner}", self.name))
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters
        .next()
        .map(|c| c.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// One field.
#[derive(Debug)]
pub struct Field {
    /// What a document calls it.
    pub name: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// What it looks like.
    pub shape: fn() -> &'static Shape,
    /// What it is where it is left out.
    pub default: Option<Default>,
    /// What is allowed.
    pub range: Option<Range>,
    /// Its own fields stand among the outer ones.
    pub flat: bool,
}

/// A field's default.
#[derive(Debug, Clone, Copy)]
pub enum Default {
    /// As a document writes it.
    Text(&'static str),
    /// A number.
    Number(f64),
    /// A whole number.
    Whole(i128),
    /// True or false.
    Bool(bool),
    /// The type's own.
    Own(fn() -> Value),
}

impl Default {
    /// As a document writes it.
    pub fn value(&self) -> Value {
        match self {
            Default::Text(t) => Value::from(*t),
            Default::Number(x) => Value::from(*x),
            Default::Whole(n) => i64::try_from(*n).map_or(Value::Null, Value::from),
            Default::Bool(b) => Value::from(*b),
            Default::Own(f) => f(),
        }
    }
}

/// One end of a range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// A number with its unit.
    Text(&'static str),
    /// A plain number.
    Number(f64),
}

impl End {
    /// The text of a number with its unit.
    pub(crate) fn text(&self) -> Option<&'static str> {
        match self {
            End::Text(t) => Some(t),
            End::Number(_) => None,
        }
    }
}

/// What a field may be.
#[derive(Debug, Clone, Copy)]
pub struct Range {
    /// Least.
    pub low: Option<End>,
    /// The least itself is not allowed.
    pub above: bool,
    /// Most.
    pub high: Option<End>,
    /// The most itself is not allowed.
    pub below: bool,
    /// What to do or write instead.
    pub way_out: &'static str,
}

/// A type that is one of several.
#[derive(Debug)]
pub struct Variants {
    /// Its name.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// Where its type stands (`module_path!()`).
    pub path: &'static str,
    /// Reads one, for its mistakes alone.
    pub read: fn(&Value, &mut Reader) -> bool,
    /// The field that says which, where it is not the only key or a word alone.
    pub tag: Option<&'static str>,
    /// The alternatives.
    pub variants: &'static [Variant],
}

/// One alternative.
#[derive(Debug)]
pub struct Variant {
    /// What a document calls it.
    pub name: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// What it holds.
    pub content: Content,
}

/// What an alternative holds.
#[derive(Debug, Clone, Copy)]
pub enum Content {
    /// Nothing: a word.
    Unit,
    /// One value.
    One(fn() -> &'static Shape),
    /// Named fields.
    Fields(&'static [Field]),
}

impl Shape {
    /// The name of the type, where it has one of its own.
    pub fn name(&self) -> Option<Cow<'static, str>> {
        match self {
            Shape::Struct(s) => Some(s.full_name()),
            Shape::Variants(v) => Some(v.name.into()),
            Shape::Text(g) => Some(g.name.into()),
            _ => None,
        }
    }

    /// Whether it has a field of that name, in one of its alternatives where it has several.
    pub(crate) fn has(&self, name: &str) -> bool {
        let any = |fields: &[Field]| {
            fields
                .iter()
                .any(|f| f.name == name || (f.flat && (f.shape)().given().has(name)))
        };
        match self {
            Shape::Struct(s) => any(s.fields),
            Shape::Variants(v) => v.variants.iter().any(|v| match v.content {
                Content::Fields(fields) => any(fields),
                _ => false,
            }),
            _ => false,
        }
    }

    /// The struct's table.
    pub(crate) fn table(&self) -> &'static Struct {
        match self {
            Shape::Struct(s) => s,
            _ => &NOTHING,
        }
    }

    /// The alternatives.
    pub(crate) fn variants(&self) -> &'static Variants {
        match self {
            Shape::Variants(v) => v,
            _ => &NONE,
        }
    }

    /// The shape within an option.
    pub fn given(&'static self) -> &'static Shape {
        match self {
            Shape::Option(inner) => inner().given(),
            other => other,
        }
    }
}

static NOTHING: Struct = Struct {
    name: "",
    doc: "",
    fields: &[],
    open: true,
    path: "",
    read: |_, _| false,
    of: None,
};
static NONE: Variants = Variants {
    name: "",
    doc: "",
    path: "",
    read: |_, _| false,
    tag: None,
    variants: &[],
};

impl Field {
    /// Whether a document may leave it out.
    pub fn optional(&self) -> bool {
        self.default.is_some() || matches!((self.shape)(), Shape::Option(_))
    }

    /// Whether it is left out of what is written.
    pub(crate) fn left_out(&self, node: &dyn super::Written) -> bool {
        node.is_none() || (self.default.is_some() && node.is_empty())
    }
}
