//! The places a struct's fields are read into.

use serde_json::Value;

use super::{Noun, Reader, Written};

/// A place that one field is read into.
pub trait Hold {
    /// Reads it.
    fn read(&mut self, value: &Value, r: &mut Reader);
    /// Fills it with what it is where it is left out; false where it must be given.
    fn absent(&mut self) -> bool;
    /// What was read.
    fn node(&self) -> Option<&dyn Written>;
}

/// A place for a `T`.
#[derive(Debug)]
pub struct Held<T> {
    value: Option<T>,
    absent: fn() -> Option<T>,
}

impl<T: Noun> Held<T> {
    /// An empty place.
    pub fn new() -> Self {
        Held {
            value: None,
            absent: T::absent,
        }
    }
    /// An empty place with its default.
    pub fn or(absent: fn() -> Option<T>) -> Self {
        Held { value: None, absent }
    }
    /// What was read.
    pub fn take(self) -> Option<T> {
        self.value
    }
}

impl<T: Noun> Default for Held<T> {
    fn default() -> Self {
        Held::new()
    }
}

impl<T: Noun> Hold for Held<T> {
    fn read(&mut self, value: &Value, r: &mut Reader) {
        self.value = T::read(value, r);
    }
    fn absent(&mut self) -> bool {
        self.value = (self.absent)();
        self.value.is_some()
    }
    fn node(&self) -> Option<&dyn Written> {
        self.value.as_ref().map(|v| v as &dyn Written)
    }
}
