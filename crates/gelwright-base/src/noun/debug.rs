//! A noun in a message of the compiler's kind (`{:?}`): its fields as the bench says them, "20 g", "16 °C".

use std::fmt;

use serde_json::Value;

use super::shape::{Content, Field, Shape};
use super::{Walk, Written};
use crate::quantity::spread::Input;
use crate::quantity::{Measure, show_si};

/// Writes a noun as `Debug` does, with its quantities in words. `#[derive(Noun)]` makes a type's `Debug` of it.
///
/// # Errors
/// As the formatter's.
pub fn debug(node: &dyn Written, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let mut told = Told {
        out: f,
        outcome: Ok(()),
        first: Vec::new(),
    };
    node.walk(&mut told);
    told.outcome
}

struct Told<'a, 'f> {
    out: &'a mut fmt::Formatter<'f>,
    outcome: fmt::Result,
    /// At each list or map that is open: whether nothing stands before, and what closes it.
    first: Vec<(bool, char)>,
}

impl Told<'_, '_> {
    fn say(&mut self, what: impl fmt::Display) {
        if self.outcome.is_ok() {
            self.outcome = write!(self.out, "{what}");
        }
    }
    fn each(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        self.say(" {");
        let mut before = false;
        for (field, node) in fields.iter().zip(nodes) {
            if node.is_none() {
                continue;
            }
            self.say(if before { ", " } else { " " });
            before = true;
            self.say(format_args!("{}: ", field.name));
            node.walk(self);
        }
        self.say(" }");
    }
}

impl Walk for Told<'_, '_> {
    fn null(&mut self) {
        self.say("none");
    }
    fn truth(&mut self, b: bool) {
        self.say(b);
    }
    fn whole(&mut self, n: i128) {
        self.say(n);
    }
    fn number(&mut self, x: f64) {
        self.say(x);
    }
    fn text(&mut self, t: &str) {
        self.say(format_args!("{t:?}"));
    }
    fn quantity(&mut self, si: f64, of: &'static Measure) {
        self.say(show_si(si, of));
    }
    fn spread(&mut self, input: &Input) {
        self.say(input.shown());
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        let table = of.table();
        self.say(table.name);
        self.each(table.fields, nodes);
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        let v = &of.variants().variants[which];
        self.say(v.name);
        match v.content {
            Content::Unit => {}
            Content::Fields(fields) => self.each(fields, nodes),
            Content::One(_) => {
                self.say("(");
                nodes.iter().for_each(|n| n.walk(self));
                self.say(")");
            }
        }
    }
    fn list(&mut self) {
        self.say("[");
        self.first.push((true, ']'));
    }
    fn map(&mut self) {
        self.say("{");
        self.first.push((true, '}'));
    }
    fn item(&mut self) {
        if !self
            .first
            .last_mut()
            .is_none_or(|f| std::mem::replace(&mut f.0, false))
        {
            self.say(", ");
        }
    }
    fn key(&mut self, key: &str) {
        self.item();
        self.say(format_args!("{key}: "));
    }
    fn end(&mut self) {
        if let Some((_, bracket)) = self.first.pop() {
            self.say(bracket);
        }
    }
    fn any(&mut self, value: &Value) {
        self.say(value);
    }
}
