//! JSON Schema (draft 2020-12) from a noun's table.

use serde_json::{Map, Value, json};

use super::shape::{Content, End, Field, Shape, Struct, Variants};
use crate::quantity::{LONGEST_TEXT, spread};

/// How a spread is written, in short.
const SPREADS: &str = "a quantity with its spread or without: '+/-' gives limits, 'to' two ends (rectangular), 'u =' a standard \
                       uncertainty (normal; in percent: relative, log-normal), 'U =' with 'k =' an expanded one";

/// The schema of a noun, with the nouns it uses under `$defs`.
///
/// The same for what is given and for what is answered: a field with a default may be left out of what is given, and is
/// there in what is answered.
pub fn schema_of(shape: &'static Shape) -> Value {
    schema(shape, false)
}

/// The same of what is given in a request: there a quantity may have a spread.
pub fn schema_of_request(shape: &'static Shape) -> Value {
    schema(shape, true)
}

fn schema(shape: &'static Shape, spreads: bool) -> Value {
    let mut defs = Map::new();
    let mut of = Schema {
        defs: &mut defs,
        spreads,
    };
    let mut root = match shape {
        Shape::Struct(s) => of.table(s),
        Shape::Variants(v) => of.variants(v),
        other => of.shape(other),
    };
    if let Value::Object(root) = &mut root {
        root.insert(
            "$schema".to_owned(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        if let Some(name) = shape.name() {
            root.insert("title".to_owned(), json!(name));
        }
        if spreads {
            root.insert(
                "$comment".to_owned(),
                json!(format!("Strings marked 'spread': {SPREADS}.")),
            );
        }
        if !defs.is_empty() {
            defs.sort_keys();
            root.insert("$defs".to_owned(), Value::Object(defs));
        }
    }
    root
}

struct Schema<'a> {
    defs: &'a mut Map<String, Value>,
    /// Whether a quantity may have a spread.
    spreads: bool,
}

impl Schema<'_> {
    fn shape(&mut self, shape: &'static Shape) -> Value {
        match shape {
            Shape::Quantity(m) if self.spreads => json!({
                "type": "string",
                "format": "quantity",
                "quantity": m.name,
                "unit": m.unit,
                "examples": [m.example, spread::example(m)],
                "spread": true,
                "maxLength": spread::LONGEST_SPREAD,
            }),
            Shape::Quantity(m) => json!({
                "type": "string",
                "format": "quantity",
                "quantity": m.name,
                "unit": m.unit,
                "examples": [m.example],
                "maxLength": LONGEST_TEXT,
            }),
            Shape::Spread(m) => json!({
                "type": "string",
                "format": "spread",
                "quantity": m.name,
                "unit": m.unit,
                "examples": [m.example, spread::example(m)],
                "spread": true,
                "$comment": SPREADS,
                "maxLength": spread::LONGEST_SPREAD,
            }),
            Shape::Text(g) => self.named(
                g.name,
                |_| json!({ "type": "string", "description": g.doc, "examples": g.examples }),
            ),
            Shape::String => json!({ "type": "string" }),
            Shape::Bool => json!({ "type": "boolean" }),
            Shape::Number => json!({ "type": "number" }),
            Shape::Whole(low, _) if *low >= 0 => json!({ "type": "integer", "minimum": 0 }),
            Shape::Whole(..) => json!({ "type": "integer" }),
            Shape::Any => json!({}),
            Shape::Option(inner) => nullable(self.shape(inner())),
            Shape::List(inner) => json!({ "type": "array", "items": self.shape(inner()) }),
            Shape::Array(n, inner) => {
                json!({ "type": "array", "items": self.shape(inner()), "minItems": n, "maxItems": n })
            }
            Shape::Map(key, inner) => {
                let mut made = json!({ "type": "object", "additionalProperties": self.shape(inner()) });
                if !matches!(key(), Shape::String) {
                    made["propertyNames"] = self.shape(key());
                }
                made
            }
            Shape::Struct(s) => self.named(&s.full_name(), |of| of.table(s)),
            Shape::Variants(v) => self.named(v.name, |of| of.variants(v)),
        }
    }

    fn named(&mut self, name: &str, make: impl FnOnce(&mut Self) -> Value) -> Value {
        if !self.defs.contains_key(name) {
            // Holds the place, so that a noun may hold its like.
            self.defs.insert(name.to_owned(), Value::Null);
            let made = make(self);
            self.defs.insert(name.to_owned(), made);
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }

    fn table(&mut self, s: &'static Struct) -> Value {
        let mut made = self.fields(s.fields, None);
        if !s.doc.is_empty() {
            made.insert("description".to_owned(), json!(s.doc));
        }
        made.insert("room".to_owned(), json!(room(s.path)));
        if !s.open {
            made.insert("additionalProperties".to_owned(), json!(false));
        }
        Value::Object(made)
    }

    fn fields(&mut self, fields: &'static [Field], tag: Option<(&str, &str)>) -> Map<String, Value> {
        let mut properties = Map::new();
        let mut required = Vec::new();
        if let Some((tag, name)) = tag {
            properties.insert(tag.to_owned(), json!({ "type": "string", "const": name }));
            required.push(tag.to_owned());
        }
        self.add(fields, &mut properties, &mut required);
        let mut made = Map::new();
        made.insert("type".to_owned(), json!("object"));
        made.insert("properties".to_owned(), Value::Object(properties));
        if !required.is_empty() {
            made.insert("required".to_owned(), json!(required));
        }
        made
    }

    fn add(
        &mut self,
        fields: &'static [Field],
        properties: &mut Map<String, Value>,
        required: &mut Vec<String>,
    ) {
        for f in fields {
            let shape = (f.shape)();
            if f.flat {
                self.add(shape.given().table().fields, properties, required);
                continue;
            }
            let mut made = self.shape(shape);
            if let Value::Object(made) = &mut made {
                if !f.doc.is_empty() {
                    made.insert("description".to_owned(), json!(f.doc));
                }
                if let Some(d) = &f.default {
                    made.insert("default".to_owned(), d.value());
                }
                if let Some(r) = &f.range {
                    made.insert("allowed".to_owned(), json!(r.words()));
                    range(r, made);
                }
            }
            properties.insert(f.name.to_owned(), made);
            if !f.optional() {
                required.push(f.name.to_owned());
            }
        }
    }

    fn variants(&mut self, v: &'static Variants) -> Value {
        let mut made = Map::new();
        if !v.doc.is_empty() {
            made.insert("description".to_owned(), json!(v.doc));
        }
        made.insert("room".to_owned(), json!(room(v.path)));
        let mut all = Vec::new();
        for variant in v.variants {
            let mut one = match (v.tag, variant.content) {
                (None, Content::Unit) => {
                    let mut word = Map::new();
                    word.insert("type".to_owned(), json!("string"));
                    word.insert("const".to_owned(), json!(variant.name));
                    word
                }
                (None, content) => {
                    let inner = match content {
                        Content::One(shape) => self.shape(shape()),
                        Content::Fields(fields) => {
                            let mut inner = self.fields(fields, None);
                            inner.insert("additionalProperties".to_owned(), json!(false));
                            Value::Object(inner)
                        }
                        Content::Unit => Value::Null,
                    };
                    let mut outer = Map::new();
                    outer.insert("type".to_owned(), json!("object"));
                    outer.insert("properties".to_owned(), json!({ variant.name: inner }));
                    outer.insert("required".to_owned(), json!([variant.name]));
                    outer.insert("additionalProperties".to_owned(), json!(false));
                    outer
                }
                (Some(tag), content) => {
                    let fields = match content {
                        Content::Unit => &[],
                        Content::Fields(fields) => fields,
                        Content::One(shape) => shape().given().table().fields,
                    };
                    let mut inner = self.fields(fields, Some((tag, variant.name)));
                    inner.insert("additionalProperties".to_owned(), json!(false));
                    inner
                }
            };
            if !variant.doc.is_empty() {
                one.insert("description".to_owned(), json!(variant.doc));
            }
            all.push(Value::Object(one));
        }
        let measured =
            |v: &super::Variant| matches!(v.content, Content::One(s) if matches!(s(), Shape::Quantity(_)));
        if v.tag.is_none() && v.variants.iter().any(measured) {
            // A number with its unit alone is the first alternative that it measures.
            all.push(json!({ "type": "string", "format": "quantity", "pattern": "^\\s*[-+.0-9½¼¾]" }));
        }
        made.insert("oneOf".to_owned(), Value::Array(all));
        Value::Object(made)
    }
}

/// The room a type stands in: the first module below the crate's root; a room that is a crate of its own is called like it.
fn room(path: &'static str) -> &'static str {
    let (top, below) = path.split_once("::").unwrap_or((path, ""));
    match top.strip_prefix("gelwright_") {
        Some(own) if own != "base" => own,
        _ => below.split("::").next().unwrap_or_default(),
    }
}

/// The ends of a range: of a plain number as JSON Schema has them, of a quantity as its proposals for formats did.
fn range(r: &super::Range, made: &mut Map<String, Value>) {
    let is = |kind: &str| match made.get("type") {
        Some(Value::Array(all)) => all.iter().any(|t| t == kind),
        one => one.is_some_and(|t| t == kind),
    };
    let (number, quantity) = (is("number") || is("integer"), made.contains_key("quantity"));
    for (end, open, [inclusive, exclusive, text_inclusive, text_exclusive]) in [
        (
            r.low,
            r.above,
            [
                "minimum",
                "exclusiveMinimum",
                "formatMinimum",
                "formatExclusiveMinimum",
            ],
        ),
        (
            r.high,
            r.below,
            [
                "maximum",
                "exclusiveMaximum",
                "formatMaximum",
                "formatExclusiveMaximum",
            ],
        ),
    ] {
        match end {
            Some(End::Number(x)) if number => {
                made.insert((if open { exclusive } else { inclusive }).to_owned(), json!(x));
            }
            Some(End::Text(t)) if quantity => {
                made.insert(
                    (if open { text_exclusive } else { text_inclusive }).to_owned(),
                    json!(t),
                );
            }
            _ => {}
        }
    }
}

fn nullable(inner: Value) -> Value {
    match inner {
        Value::Object(mut o) if o.get("type").is_some_and(Value::is_string) => {
            let plain = o.get("type").cloned().unwrap_or(Value::Null);
            o.insert("type".to_owned(), json!([plain, "null"]));
            Value::Object(o)
        }
        other => json!({ "anyOf": [other, { "type": "null" }] }),
    }
}
