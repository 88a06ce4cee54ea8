//! Reading a tree of values into a noun, all mistakes at once.

use serde_json::{Map, Value};

use super::shape::{Content, Field, Shape, Struct, Variants};
use super::{Hold, Noun};
use crate::error::{Error, ErrorKind, Result, nearest};
use crate::quantity::spread::{self, Input};
use crate::quantity::{Kind, Measure, parse_number_and_unit, tagged_si};

/// Most mistakes that are told of one document.
const MOST: usize = 50;

/// Reads one document, and keeps what is wrong with it.
#[derive(Debug, Default)]
pub struct Reader {
    errors: Vec<Error>,
    /// Fields of an outer struct that a flat inner one passes over.
    flat: bool,
    pub(super) spreads: Spreads,
}

/// What is done with a quantity that is given with its spread.
#[derive(Debug, Default)]
pub(super) enum Spreads {
    /// It is refused, as any text that is no number with its unit.
    #[default]
    Refused,
    /// Its value is taken, and it is noted with its path.
    Noted(Vec<(String, Input)>),
    /// The next of these is taken, in SI: the order is that in which they were noted.
    Given(std::vec::IntoIter<(&'static Measure, f64)>),
}

/// Reads a noun from a tree of values.
///
/// # Errors
/// Every mistake of the document, the first one first ([`Error::all`]).
pub fn read<T: Noun>(value: &Value) -> Result<T> {
    let mut r = Reader::default();
    let found = T::read(value, &mut r);
    r.finish(found)
}

/// What a door adds to an answer: what it was made with. Passed over where an answer is given back.
pub const STAMP: &str = "made_with";
/// What a door adds to an answer whose request holds spreads: how sure its numbers are. Passed over likewise.
pub const BAND: &str = "band";

/// Reads a noun that stands at `path` in its document.
///
/// # Errors
/// As [`read`], the paths beginning with `path`.
pub fn read_at<T: Noun>(path: &str, value: &Value) -> Result<T> {
    read(value).map_err(|e| e.within(path))
}

/// A noun of which all fields have defaults.
///
/// # Panics
/// Where one has none, or one that does not read: a mistake in the type's own description.
pub fn defaults<T: Noun>() -> T {
    match read(&Value::Object(Map::new())) {
        Ok(made) => made,
        Err(e) => unreachable!("a default does not read: {e}"),
    }
}

impl Reader {
    pub(super) fn finish<T>(self, found: Option<T>) -> Result<T> {
        match (Error::several(self.errors), found) {
            (Some(e), _) => Err(e),
            (None, Some(v)) => Ok(v),
            (None, None) => Err(Error::new(ErrorKind::Document, "").with_value("the document")),
        }
    }

    /// Tells a mistake.
    pub fn refuse<T>(&mut self, e: Error) -> Option<T> {
        if self.errors.len() < MOST {
            self.errors.push(e);
        }
        None
    }

    /// Tells a mistake, if it is one.
    pub fn ask<T>(&mut self, found: Result<T>) -> Option<T> {
        match found {
            Ok(v) => Some(v),
            Err(e) => self.refuse(e),
        }
    }

    /// Whether so much is wrong already that no more is looked for.
    fn full(&self) -> bool {
        self.errors.len() >= MOST
    }

    /// How many mistakes there are.
    pub fn mistakes(&self) -> usize {
        self.errors.len()
    }

    /// Reads what stands at `place`: its mistakes get that before their path.
    pub fn within<T>(&mut self, place: &dyn std::fmt::Display, read: impl FnOnce(&mut Self) -> T) -> T {
        let before = self.errors.len();
        let noted = self.noted();
        let flat = std::mem::take(&mut self.flat);
        let found = read(self);
        self.flat = flat;
        self.place(before, place);
        if let Spreads::Noted(all) = &mut self.spreads {
            for (path, _) in &mut all[noted..] {
                *path = crate::error::joined(&place.to_string(), path);
            }
        }
        found
    }

    /// How many spreads are noted.
    fn noted(&self) -> usize {
        match &self.spreads {
            Spreads::Noted(all) => all.len(),
            _ => 0,
        }
    }

    /// Whether a text is a quantity with its spread, and may be one here.
    pub(super) fn takes_spread(&self, text: &str) -> bool {
        !matches!(self.spreads, Spreads::Refused) && spread::is_marked(text)
    }

    /// The value of a quantity with its spread, and which of these it measures.
    pub(super) fn spread(
        &mut self,
        text: &str,
        any_of: &[&'static Measure],
    ) -> Option<(&'static Measure, f64)> {
        match &mut self.spreads {
            Spreads::Refused => None,
            Spreads::Given(values) => values.next(),
            Spreads::Noted(all) => {
                let mut refused = None;
                for of in any_of {
                    match spread::read("", text, of) {
                        Ok(input) => {
                            all.push((String::new(), input));
                            return Some((of, input.value));
                        }
                        Err(e) => refused = refused.or(Some(e)),
                    }
                }
                self.refuse(refused?.at(""))
            }
        }
    }

    /// A value of any shape: what in it is a quantity with its spread, and can be but one by its unit, becomes its value.
    pub fn any(&mut self, value: &Value) -> Value {
        match value {
            // Two ends alone, "10 to 20 min", are as likely a remark.
            Value::String(text) if self.takes_spread(text) && !text.contains(" to ") => {
                let reads = |m: &&'static Measure| {
                    m.dimension.kind != Kind::Number && spread::read("", text, m).is_ok()
                };
                let mut readers = Measure::all().filter(reads);
                match (readers.next(), readers.next()) {
                    (Some(of), None) => self
                        .spread(text, &[of])
                        .map_or_else(|| value.clone(), |(of, si)| Value::String(tagged_si(si, of))),
                    _ => value.clone(),
                }
            }
            Value::Array(items) => Value::Array(
                items
                    .iter()
                    .enumerate()
                    .map(|(i, v)| self.within(&format_args!("[{i}]"), |r| r.any(v)))
                    .collect(),
            ),
            Value::Object(fields) => Value::Object(
                fields
                    .iter()
                    .map(|(k, v)| (k.clone(), self.within(k, |r| r.any(v))))
                    .collect(),
            ),
            other => other.clone(),
        }
    }

    fn place(&mut self, before: usize, place: &dyn std::fmt::Display) {
        for e in self.errors.drain(before..).collect::<Vec<_>>() {
            self.errors.push(e.within(place));
        }
    }

    /// Refuses a value of the wrong shape.
    pub fn wrong<T>(&mut self, found: &Value, wanted: &str) -> Option<T> {
        self.refuse(
            Error::new(ErrorKind::Document, "")
                .with_value(said(found))
                .with_way_out(format!("write {wanted}")),
        )
    }

    /// A number with its unit, in SI.
    pub fn quantity(&mut self, value: &Value, of: &'static Measure) -> Option<f64> {
        let text = self.text_of(value, "a number with its unit, as text")?;
        if self.takes_spread(&text) {
            return self.spread(&text, &[of]).map(|(_, si)| si);
        }
        let read = parse_number_and_unit("", &text, of.dimension, of.name, of.example);
        self.ask(read)
    }

    /// A text, or a bare number as text, so that its grammar can say what is wrong with it.
    pub fn text_of(&mut self, value: &Value, wanted: &str) -> Option<String> {
        match value {
            Value::String(t) => Some(t.clone()),
            Value::Number(n) => Some(n.to_string()),
            other => self.wrong(other, wanted),
        }
    }

    /// The fields of a struct into their places.
    pub fn fields(&mut self, value: &Value, of: &'static Shape, places: &mut [&mut dyn Hold]) -> Option<()> {
        let table = of.table();
        let Value::Object(given) = value else {
            return self.wrong(value, &format!("a table of fields: {}", names(table.fields)));
        };
        let open = table.open || self.flat;
        self.named(given, table.fields, open, None, places)
    }

    fn named(
        &mut self,
        given: &Map<String, Value>,
        fields: &'static [Field],
        open: bool,
        tag: Option<&str>,
        places: &mut [&mut dyn Hold],
    ) -> Option<()> {
        let before = self.errors.len();
        let mut meant = Vec::new();
        if !open {
            for name in given
                .keys()
                .filter(|n| Some(n.as_str()) != tag && *n != STAMP && *n != BAND && !known(fields, n))
            {
                meant.extend(self.unknown(name, fields));
            }
        }
        for (field, place) in fields.iter().zip(places) {
            if self.full() {
                break;
            }
            if field.flat {
                let outer = std::mem::replace(&mut self.flat, true);
                place.read(&Value::Object(given.clone()), self);
                self.flat = outer;
                continue;
            }
            match given.get(field.name) {
                // Null is how some languages leave a field out.
                Some(Value::Null) | None if field.optional() => self.left_out(field, *place),
                Some(found) => self.within(&field.name, |r| r.field(found, field, *place)),
                // A misspelt one has been told already.
                None if meant.iter().any(|m| m == field.name) => {}
                None => self.missing(field),
            }
        }
        (self.errors.len() == before).then_some(())
    }

    fn field(&mut self, found: &Value, field: &'static Field, place: &mut dyn Hold) {
        place.read(found, self);
        if let (Some(range), Some(node)) = (&field.range, place.node()) {
            for e in super::check::outside(range, node) {
                self.refuse::<()>(e);
            }
        }
    }

    fn left_out(&mut self, field: &'static Field, place: &mut dyn Hold) {
        match &field.default {
            Some(super::Default::Own(_)) | None => {
                place.absent();
            }
            Some(default) => self.within(&field.name, |r| place.read(&default.value(), r)),
        }
    }

    fn missing(&mut self, field: &'static Field) {
        let way_out = match (field.shape)() {
            Shape::Quantity(m) | Shape::Spread(m) => format!(
                "'{}' is missing: add it, for example {} = \"{}\"",
                field.name, field.name, m.example
            ),
            Shape::Text(g) if !g.examples.is_empty() => format!(
                "'{}' is missing: add it, for example {} = \"{}\"",
                field.name, field.name, g.examples[0]
            ),
            _ => format!("'{}' is missing: add it", field.name),
        };
        self.refuse::<()>(
            Error::new(ErrorKind::Document, "")
                .with_value(format_args!("field '{}'", field.name))
                .with_way_out(way_out),
        );
    }

    /// Refuses an unknown field; gives the one that was probably meant.
    fn unknown(&mut self, name: &str, fields: &'static [Field]) -> Option<String> {
        let all = all_names(fields);
        let near = nearest(name, &all).into_iter().next();
        let e = Error::new(ErrorKind::Document, "").with_value(format_args!("field '{name}'"));
        let e = if all.is_empty() {
            e
        } else {
            e.with_allowed(all.join(", "))
        };
        self.refuse::<()>(e.with_way_out(match &near {
            Some(n) => format!("did you mean '{n}'?"),
            None => "remove it".to_owned(),
        }));
        near
    }

    /// Which alternative a value is, and what it holds.
    pub fn variant<'v>(&mut self, value: &'v Value, of: &'static Shape) -> Option<(usize, Held<'v>)> {
        let of = of.variants();
        match of.tag {
            Some(tag) => self.tagged(value, of, tag),
            None => self.by_name(value, of),
        }
    }

    fn tagged<'v>(
        &mut self,
        value: &'v Value,
        of: &'static Variants,
        tag: &'static str,
    ) -> Option<(usize, Held<'v>)> {
        let Value::Object(given) = value else {
            return self.wrong(value, &format!("a table with '{tag}' = one of: {}", words(of)));
        };
        let name = match given.get(tag) {
            Some(Value::String(name)) => name,
            Some(other) => {
                return self.within(&tag, |r| r.wrong(other, &format!("one of: {}", words(of))));
            }
            None => {
                return self.refuse(
                    Error::new(ErrorKind::Document, "")
                        .with_value(format_args!("field '{tag}'"))
                        .with_allowed(words(of))
                        .with_way_out(format!("'{tag}' is missing: add it")),
                );
            }
        };
        let which = self.within(&tag, |r| r.which(name, of))?;
        Some((which, Held::Tagged(given, tag)))
    }

    fn by_name<'v>(&mut self, value: &'v Value, of: &'static Variants) -> Option<(usize, Held<'v>)> {
        let (name, content) = match value {
            Value::String(text) if of.variants.iter().all(|v| v.name != text) && self.measures(text, of) => {
                return self.measured(value, text, of);
            }
            Value::String(name) => (name, None),
            Value::Object(o) if o.len() == 1 => {
                let (name, content) = o.iter().next()?;
                (name, Some(content))
            }
            Value::Number(n) if of.variants.iter().any(|v| quantity_of(v).is_some()) => {
                let examples: Vec<String> = of
                    .variants
                    .iter()
                    .filter_map(quantity_of)
                    .map(|m| format!("'{}'", m.example))
                    .collect();
                return self.refuse(
                    Error::new(ErrorKind::BareNumber, "")
                        .with_value(n)
                        .with_allowed(words(of))
                        .with_way_out(format!(
                            "give it with its unit, for example {}",
                            unique(examples).join(" or ")
                        )),
                );
            }
            other => {
                let first = of.variants.first().map_or("", |v| v.name);
                return self.refuse(
                    Error::new(ErrorKind::Document, "")
                        .with_value(said(other))
                        .with_allowed(words(of))
                        .with_way_out(format!("name one of them, for example '{first}'")),
                );
            }
        };
        let which = self.which(name, of)?;
        let variant = &of.variants[which];
        match (content, variant.content) {
            (None | Some(Value::Null), Content::Unit) => Some((which, Held::Nothing)),
            (Some(other), Content::Unit) => self.within(&variant.name, |r| {
                r.refuse(
                    Error::new(ErrorKind::Document, "")
                        .with_value(said(other))
                        .with_way_out(format!("write '{}' alone", variant.name)),
                )
            }),
            (None, _) => self.refuse(
                Error::new(ErrorKind::Document, "")
                    .with_value(format_args!("'{}' alone", variant.name))
                    .with_way_out(format!("give its content: {{ {} = ... }}", variant.name)),
            ),
            (Some(content), _) => Some((which, Held::Under(variant.name, content))),
        }
    }

    /// A number with its unit is the first alternative that it measures: "60 g" an amount by mass.
    fn measured<'v>(
        &mut self,
        value: &'v Value,
        text: &str,
        of: &'static Variants,
    ) -> Option<(usize, Held<'v>)> {
        let mut first = None;
        let mut names = Vec::new();
        let with_spread = self.takes_spread(text);
        for (i, v) in of.variants.iter().enumerate() {
            let Some(m) = quantity_of(v) else { continue };
            let read = if with_spread {
                spread::read("", text, m)
                    .map(|input| input.value)
                    .map_err(|e| e.at(""))
            } else {
                parse_number_and_unit("", text, m.dimension, m.name, m.example)
            };
            match read {
                Ok(_) => return Some((i, Held::Bare(value))),
                Err(e) => {
                    if !names.contains(&m.name) {
                        names.push(m.name);
                    }
                    first = first.or(Some(e));
                }
            }
        }
        self.refuse(first?.with_allowed(format!("{}; or one of: {}", names.join(", "), words(of))))
    }

    /// Whether a text is meant as a quantity where one of several is wanted.
    fn measures(&self, text: &str, of: &'static Variants) -> bool {
        let Some(starts) = text.trim_start().chars().next() else {
            return false;
        };
        let number = starts.is_ascii_digit() || "+-.½¼¾".contains(starts);
        (number || (starts == '(' && self.takes_spread(text)))
            && of.variants.iter().any(|v| quantity_of(v).is_some())
    }

    fn which(&mut self, name: &str, of: &'static Variants) -> Option<usize> {
        match of.variants.iter().position(|v| v.name == name) {
            Some(i) => Some(i),
            None => self.refuse(
                Error::unknown_name("", name, of.variants.iter().map(|v| v.name)).with_allowed(words(of)),
            ),
        }
    }

    /// The fields of an alternative into their places.
    pub fn variant_fields(
        &mut self,
        held: &Held<'_>,
        of: &'static Shape,
        which: usize,
        places: &mut [&mut dyn Hold],
    ) -> Option<()> {
        let of = of.variants();
        let Content::Fields(fields) = of.variants[which].content else {
            return Some(());
        };
        match held {
            Held::Nothing | Held::Bare(_) => Some(()),
            Held::Tagged(given, tag) => self.named(given, fields, false, Some(tag), places),
            Held::Under(name, Value::Object(given)) => {
                self.within(name, |r| r.named(given, fields, false, None, places))
            }
            Held::Under(name, other) => self.within(name, |r| {
                r.wrong(other, &format!("a table of fields: {}", names(fields)))
            }),
        }
    }

    /// The one content of an alternative.
    pub fn variant_one<T: Noun>(&mut self, held: &Held<'_>) -> Option<T> {
        match held {
            Held::Nothing => None,
            Held::Bare(value) => T::read(value, self),
            Held::Under(name, content) => self.within(name, |r| T::read(content, r)),
            Held::Tagged(given, tag) => {
                let mut rest = (*given).clone();
                rest.shift_remove(*tag);
                T::read(&Value::Object(rest), self)
            }
        }
    }

    /// Refuses more fields than its tag beside an alternative that holds nothing.
    pub fn variant_unit(&mut self, held: &Held<'_>) -> Option<()> {
        match held {
            Held::Tagged(given, tag) => self.named(given, &[], false, Some(tag), &mut []),
            _ => Some(()),
        }
    }
}

/// What an alternative holds.
#[derive(Debug)]
pub enum Held<'v> {
    /// A word alone.
    Nothing,
    /// Fields beside the tag.
    Tagged(&'v Map<String, Value>, &'static str),
    /// What stands under its name.
    Under(&'static str, &'v Value),
    /// A quantity that tells by its unit which it is.
    Bare(&'v Value),
}

fn known(fields: &'static [Field], name: &str) -> bool {
    fields.iter().any(|f| {
        if f.flat {
            known(flat(f).fields, name)
        } else {
            f.name == name
        }
    })
}

fn unique(texts: Vec<String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for t in texts {
        if !kept.contains(&t) {
            kept.push(t);
        }
    }
    kept
}

/// What an alternative measures, where it is a quantity.
fn quantity_of(v: &super::Variant) -> Option<&'static Measure> {
    match v.content {
        Content::One(shape) => match shape() {
            Shape::Quantity(m) => Some(m),
            _ => None,
        },
        _ => None,
    }
}

fn flat(f: &'static Field) -> &'static Struct {
    (f.shape)().given().table()
}

fn all_names(fields: &'static [Field]) -> Vec<&'static str> {
    fields
        .iter()
        .flat_map(|f| {
            if f.flat {
                all_names(flat(f).fields)
            } else {
                vec![f.name]
            }
        })
        .collect()
}

fn names(fields: &'static [Field]) -> String {
    all_names(fields).join(", ")
}

fn words(of: &'static Variants) -> String {
    of.variants.iter().map(|v| v.name).collect::<Vec<_>>().join(", ")
}

/// A value as a message names it.
fn said(value: &Value) -> String {
    match value {
        Value::String(t) => format!("'{t}'"),
        Value::Array(a) => format!("a list of {}", a.len()),
        Value::Object(o) if o.is_empty() => "{}".to_owned(),
        Value::Object(_) => "a table".to_owned(),
        Value::Null => "nothing".to_owned(),
        other => other.to_string(),
    }
}
