//! The shapes of plain types, and of what holds others.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::Value;

use super::shape::Shape;
use super::{Noun, Reader, Walk, Written};

impl Written for bool {
    fn walk(&self, w: &mut dyn Walk) {
        w.truth(*self);
    }
}

impl Noun for bool {
    fn shape() -> &'static Shape {
        &Shape::Bool
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        match value {
            Value::Bool(b) => Some(*b),
            other => r.wrong(other, "true or false"),
        }
    }
}

impl Written for f64 {
    fn walk(&self, w: &mut dyn Walk) {
        w.number(*self);
    }
}

impl Noun for f64 {
    fn shape() -> &'static Shape {
        &Shape::Number
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        match value.as_f64() {
            Some(x) if x.is_finite() => Some(x),
            _ => r.wrong(value, "a plain number"),
        }
    }
}

macro_rules! whole {
    ($($ty:ident)*) => {$(
        impl Written for $ty {
            #[allow(clippy::cast_lossless)]
            fn walk(&self, w: &mut dyn Walk) {
                w.whole(*self as i128);
            }
        }
        impl Noun for $ty {
            #[allow(clippy::cast_lossless)]
            fn shape() -> &'static Shape {
                &Shape::Whole($ty::MIN as i128, $ty::MAX as i128)
            }
            fn read(value: &Value, r: &mut Reader) -> Option<Self> {
                let n = value.as_u64().and_then(|n| $ty::try_from(n).ok());
                match n.or_else(|| value.as_i64().and_then(|n| $ty::try_from(n).ok())) {
                    Some(n) => Some(n),
                    None => r.wrong(value, "a whole number, not negative and not huge"),
                }
            }
        }
    )*};
}
whole!(u8 u16 u32 u64 usize i32 i64);

impl Written for String {
    fn walk(&self, w: &mut dyn Walk) {
        w.text(self);
    }
    fn is_empty(&self) -> bool {
        String::is_empty(self)
    }
}

impl Noun for String {
    fn shape() -> &'static Shape {
        &Shape::String
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        match value {
            Value::String(t) => Some(t.clone()),
            other => r.wrong(other, "a text"),
        }
    }
}

impl Written for Value {
    fn walk(&self, w: &mut dyn Walk) {
        w.any(self);
    }
}

impl Noun for Value {
    fn shape() -> &'static Shape {
        &Shape::Any
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        Some(r.any(value))
    }
}

impl<T: Written> Written for Option<T> {
    fn walk(&self, w: &mut dyn Walk) {
        match self {
            Some(v) => v.walk(w),
            None => w.null(),
        }
    }
    fn is_none(&self) -> bool {
        self.is_none()
    }
    fn is_empty(&self) -> bool {
        self.is_none()
    }
}

impl<T: Noun> Noun for Option<T> {
    fn shape() -> &'static Shape {
        const { &Shape::Option(T::shape) }
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        match value {
            Value::Null => Some(None),
            given => T::read(given, r).map(Some),
        }
    }
    fn absent() -> Option<Self> {
        Some(None)
    }
}

fn walk_list<'a, T: Written + 'a>(items: impl Iterator<Item = &'a T>, w: &mut dyn Walk) {
    w.list();
    for item in items {
        w.item();
        item.walk(w);
    }
    w.end();
}

fn read_list<T: Noun>(value: &Value, r: &mut Reader) -> Option<Vec<T>> {
    let Value::Array(items) = value else {
        return r.wrong(value, "a list");
    };
    let mut found = Vec::with_capacity(items.len());
    for (i, item) in items.iter().enumerate() {
        match r.within(&format_args!("[{i}]"), |r| T::read(item, r)) {
            Some(v) => found.push(v),
            None if r.mistakes() >= 50 => return None,
            None => {}
        }
    }
    (found.len() == items.len()).then_some(found)
}

impl<T: Written> Written for Vec<T> {
    fn walk(&self, w: &mut dyn Walk) {
        walk_list(self.iter(), w);
    }
    fn is_empty(&self) -> bool {
        Vec::is_empty(self)
    }
}

impl<T: Noun> Noun for Vec<T> {
    fn shape() -> &'static Shape {
        const { &Shape::List(T::shape) }
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        read_list(value, r)
    }
}

impl<T: Written, const N: usize> Written for [T; N] {
    fn walk(&self, w: &mut dyn Walk) {
        walk_list(self.iter(), w);
    }
}

impl<T: Noun, const N: usize> Noun for [T; N] {
    fn shape() -> &'static Shape {
        const { &Shape::Array(N, T::shape) }
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        match read_list(value, r)?.try_into() {
            Ok(all) => Some(all),
            Err(_) => r.wrong(value, &format!("a list of {N}")),
        }
    }
}

/// The text a word or a name is written as.
fn word(key: &dyn Written) -> String {
    match super::to_value(key) {
        Ok(Value::String(text)) => text,
        other => unreachable!("a map's key is a text, not {other:?}"),
    }
}

impl<K: Written, T: Written> Written for BTreeMap<K, T> {
    fn walk(&self, w: &mut dyn Walk) {
        w.map();
        for (key, value) in self {
            w.key(&word(key));
            value.walk(w);
        }
        w.end();
    }
    fn is_empty(&self) -> bool {
        BTreeMap::is_empty(self)
    }
}

impl<K: Noun + Ord, T: Noun> Noun for BTreeMap<K, T> {
    fn shape() -> &'static Shape {
        const { &Shape::Map(K::shape, T::shape) }
    }
    fn read(value: &Value, r: &mut Reader) -> Option<Self> {
        let Value::Object(given) = value else {
            return r.wrong(value, "a table of values by name");
        };
        let mut found = BTreeMap::new();
        for (key, item) in given {
            let named = r.within(key, |r| K::read(&Value::String(key.clone()), r));
            if let Some((k, v)) = named.zip(r.within(key, |r| T::read(item, r))) {
                found.insert(k, v);
            }
        }
        (found.len() == given.len()).then_some(found)
    }
}

macro_rules! held {
    ($($ty:ident)*) => {$(
        impl<T: Written + ?Sized> Written for $ty<T> {
            fn walk(&self, w: &mut dyn Walk) {
                (**self).walk(w);
            }
            fn is_none(&self) -> bool {
                (**self).is_none()
            }
            fn is_empty(&self) -> bool {
                (**self).is_empty()
            }
        }
        impl<T: Noun> Noun for $ty<T> {
            fn shape() -> &'static Shape {
                T::shape()
            }
            fn read(value: &Value, r: &mut Reader) -> Option<Self> {
                T::read(value, r).map($ty::new)
            }
            fn absent() -> Option<Self> {
                T::absent().map($ty::new)
            }
        }
    )*};
}
held!(Arc Box);

impl<T: Written + ?Sized> Written for &T {
    fn walk(&self, w: &mut dyn Walk) {
        (**self).walk(w);
    }
}
