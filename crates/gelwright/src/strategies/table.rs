//! Strategies for any noun, from its table: what it may be, its ranges, its defaults.

use proptest::prelude::*;
use proptest::strategy::Union;
use serde_json::{Map, Value};

use crate::noun::{self, Content, Field, Noun, Range, Shape, Struct, Variant, Variants};
use crate::quantity::{Measure, parse_number_and_unit, tagged_si};

/// Nouns within one another, beyond which what may be left out is.
const DEEPEST: usize = 6;

/// Values of a noun: each field within its range, what has a default given now and then.
///
/// Only what the noun's own checks between its fields allow is kept; where that is little, proptest gives up.
pub fn noun<T: Noun + std::fmt::Debug>() -> impl Strategy<Value = T> {
    document(T::shape()).prop_filter_map("refused by its checks between fields", |v| noun::read(&v).ok())
}

/// Documents of a shape, as JSON: right in each field, not always in how the fields fit together.
pub fn document(shape: &'static Shape) -> BoxedStrategy<Value> {
    of(shape, None, 0)
}

fn of(shape: &'static Shape, range: Option<&'static Range>, deep: usize) -> BoxedStrategy<Value> {
    match shape {
        Shape::Quantity(m) | Shape::Spread(m) => quantity(m, range),
        Shape::Text(g) if !g.examples.is_empty() => {
            proptest::sample::select(g.examples).prop_map(Value::from).boxed()
        }
        Shape::Text(_) | Shape::String => "[a-z_]{1,8}".prop_map(Value::from).boxed(),
        Shape::Bool => any::<bool>().prop_map(Value::from).boxed(),
        Shape::Number => {
            let (low, high) = ends(range, |t| t.parse().ok());
            (low.unwrap_or(0.0)..=high.unwrap_or(10.0))
                .prop_map(Value::from)
                .boxed()
        }
        Shape::Whole(..) => {
            let (low, high) = ends(range, |t| t.parse().ok());
            #[allow(clippy::cast_possible_truncation)]
            let (low, high) = (low.unwrap_or(0.0) as i64, high.unwrap_or(5.0) as i64);
            (low..=high).prop_map(Value::from).boxed()
        }
        Shape::Any => Just(Value::Object(Map::new())).boxed(),
        Shape::Option(inner) if deep < DEEPEST => {
            prop_oneof![Just(Value::Null), of(inner(), range, deep + 1)].boxed()
        }
        Shape::Option(_) => Just(Value::Null).boxed(),
        Shape::List(_) if deep >= DEEPEST => Just(Value::Array(Vec::new())).boxed(),
        Shape::List(inner) => proptest::collection::vec(of(inner(), range, deep + 1), 0..=3)
            .prop_map(Value::from)
            .boxed(),
        Shape::Array(n, inner) => proptest::collection::vec(of(inner(), range, deep + 1), *n)
            .prop_map(Value::from)
            .boxed(),
        Shape::Map(..) if deep >= DEEPEST => Just(Value::Object(Map::new())).boxed(),
        Shape::Map(key, inner) => {
            let entry = (of(key(), None, deep + 1), of(inner(), range, deep + 1));
            proptest::collection::vec(entry, 0..=2).prop_map(by_name).boxed()
        }
        Shape::Struct(s) => table(s, deep).prop_map(Value::Object).boxed(),
        Shape::Variants(v) => Union::new(v.variants.iter().map(|one| variant(v, one, deep))).boxed(),
    }
}

fn by_name(entries: Vec<(Value, Value)>) -> Value {
    let named = |(k, v): (Value, Value)| k.as_str().map(|k| (k.to_owned(), v));
    Value::Object(entries.into_iter().filter_map(named).collect())
}

/// The ends of a range as numbers.
fn ends(range: Option<&'static Range>, read: impl Fn(&str) -> Option<f64>) -> (Option<f64>, Option<f64>) {
    let end = |e: &noun::End| match e {
        noun::End::Number(x) => Some(*x),
        noun::End::Text(t) => read(t),
    };
    match range {
        Some(r) => (r.low.as_ref().and_then(end), r.high.as_ref().and_then(end)),
        None => (None, None),
    }
}

/// Evenly over a range of less than a hundred to one, else evenly over its powers of ten; about the unit's own example
/// where an end is open.
fn quantity(m: &'static Measure, range: Option<&'static Range>) -> BoxedStrategy<Value> {
    let read = |t: &str| parse_number_and_unit("", t, m.dimension, m.name, m.example).ok();
    let example = read(m.example).unwrap_or(1.0);
    let (low, high) = ends(range, read);
    let (above, below) = range.map_or((false, false), |r| (r.above, r.below));
    let high = high.unwrap_or_else(|| low.unwrap_or(0.0).max(example.abs()) * 10.0);
    let low = low.unwrap_or(high.min(example.abs()) / 100.0).min(high);
    let text = move |x: f64| Value::from(tagged_si(x, m));
    // An end that is not allowed itself is kept away from.
    let share = (if above { 1e-3_f64 } else { 0.0 })..=(if below { 0.999 } else { 1.0 });
    if low > 0.0 && high / low > 100.0 {
        let (a, b) = (low.ln(), high.ln());
        share
            .prop_map(move |u| text((a + u * (b - a)).exp().clamp(low, high)))
            .boxed()
    } else {
        share.prop_map(move |u| text(low + u * (high - low))).boxed()
    }
}

fn table(s: &'static Struct, deep: usize) -> BoxedStrategy<Map<String, Value>> {
    fields(s.fields, deep)
}

fn fields(of_them: &'static [Field], deep: usize) -> BoxedStrategy<Map<String, Value>> {
    let each: Vec<BoxedStrategy<Map<String, Value>>> = of_them.iter().map(|f| field(f, deep)).collect();
    each.prop_map(|all| all.into_iter().flatten().collect()).boxed()
}

fn field(f: &'static Field, deep: usize) -> BoxedStrategy<Map<String, Value>> {
    let shape = (f.shape)();
    if f.flat {
        return match shape {
            Shape::Struct(s) => table(s, deep),
            Shape::Option(inner) => match inner() {
                Shape::Struct(s) => table(s, deep),
                _ => Just(Map::new()).boxed(),
            },
            _ => Just(Map::new()).boxed(),
        };
    }
    let given = of(shape, f.range.as_ref(), deep + 1)
        .prop_map(|v| Map::from_iter([(f.name.to_owned(), v)]))
        .boxed();
    if f.optional() {
        prop_oneof![Just(Map::new()), given].boxed()
    } else {
        given
    }
}

fn variant(of_them: &'static Variants, one: &'static Variant, deep: usize) -> BoxedStrategy<Value> {
    let name = one.name;
    match (of_them.tag, one.content) {
        (None, Content::Unit) => Just(Value::from(name)).boxed(),
        (Some(tag), content) => {
            let inner = match content {
                Content::Unit => Just(Map::new()).boxed(),
                Content::Fields(inner) => fields(inner, deep + 1),
                Content::One(shape) => match shape() {
                    Shape::Struct(s) => table(s, deep + 1),
                    _ => Just(Map::new()).boxed(),
                },
            };
            inner
                .prop_map(move |mut m| {
                    m.insert(tag.to_owned(), Value::from(name));
                    Value::Object(m)
                })
                .boxed()
        }
        (None, content) => {
            let inner = match content {
                Content::Fields(inner) => fields(inner, deep + 1).prop_map(Value::Object).boxed(),
                Content::One(shape) => of(shape(), None, deep + 1),
                Content::Unit => Just(Value::Null).boxed(),
            };
            inner
                .prop_map(move |v| Value::Object(Map::from_iter([(name.to_owned(), v)])))
                .boxed()
        }
    }
}
