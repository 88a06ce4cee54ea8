//! Writing a noun as JSON.

use serde_json::Value;

use super::shape::{Content, Field, Shape};
use super::{Walk, Written};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::spread::Input;
use crate::quantity::{Measure, tagged_si};

/// How JSON is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// In one line, for programs.
    Compact,
    /// Indented, for people.
    Indented,
}

/// Writes JSON; refuses numbers that are not finite, with their path.
#[derive(Debug)]
pub struct Writer {
    out: String,
    style: Style,
    /// Whether something stands before, at each level that is open.
    open: Vec<bool>,
    path: Vec<At>,
    refused: Option<Error>,
    /// The next struct's braces are another's.
    flat: bool,
}

#[derive(Debug)]
enum At {
    Name(&'static str),
    Key(String),
    Item(usize),
}

/// A noun as JSON.
///
/// # Errors
/// [`ErrorKind::NotFinite`] with the path of a number that is not finite.
pub fn to_json(node: &dyn Written, style: Style) -> Result<String> {
    let mut w = Writer {
        out: String::new(),
        style,
        open: Vec::new(),
        path: Vec::new(),
        refused: None,
        flat: false,
    };
    node.walk(&mut w);
    match w.refused {
        Some(e) => Err(e),
        None => Ok(w.out),
    }
}

/// A noun as compact JSON, for a message or a default; `null` where it can not be written.
pub fn to_text(node: &dyn Written) -> String {
    to_json(node, Style::Compact).unwrap_or_else(|_| "null".to_owned())
}

/// A noun as a tree of values.
///
/// # Errors
/// As [`to_json`].
pub fn to_value(node: &dyn Written) -> Result<Value> {
    let text = to_json(node, Style::Compact)?;
    serde_json::from_str(&text).map_err(|e| Error::new(ErrorKind::Document, "").with_value(e))
}

impl Writer {
    fn start(&mut self, bracket: char) {
        self.out.push(bracket);
        self.open.push(false);
    }

    fn stop(&mut self, bracket: char) {
        if self.open.pop() == Some(true) {
            self.line();
        }
        self.out.push(bracket);
    }

    fn line(&mut self) {
        if self.style == Style::Indented {
            self.out.push('\n');
            for _ in 0..self.open.len() {
                self.out.push_str("  ");
            }
        }
    }

    /// Before a field, an item, a value.
    fn next(&mut self) {
        let again = self.open.last_mut().is_some_and(|o| std::mem::replace(o, true));
        if again {
            self.out.push(',');
        }
        self.line();
    }

    fn name(&mut self, name: &str) {
        self.next();
        self.escaped(name);
        self.out.push(':');
        if self.style == Style::Indented {
            self.out.push(' ');
        }
    }

    fn escaped(&mut self, text: &str) {
        self.out.push('"');
        let mut plain = 0;
        for (i, c) in text.char_indices() {
            let escape = match c {
                '"' => "\\\"",
                '\\' => "\\\\",
                '\n' => "\\n",
                '\r' => "\\r",
                '\t' => "\\t",
                c if (c as u32) < 0x20 => {
                    self.out.push_str(&text[plain..i]);
                    self.out.push_str(&format!("\\u{:04x}", c as u32));
                    plain = i + c.len_utf8();
                    continue;
                }
                _ => continue,
            };
            self.out.push_str(&text[plain..i]);
            self.out.push_str(escape);
            plain = i + c.len_utf8();
        }
        self.out.push_str(&text[plain..]);
        self.out.push('"');
    }

    fn finite(&mut self, x: f64) -> bool {
        if x.is_finite() {
            return true;
        }
        if self.refused.is_none() {
            let e = Error::new(ErrorKind::NotFinite, "")
                .with_value(x)
                .with_way_out("the inputs lead beyond what a number can hold: give usual ones");
            self.refused = Some(self.path.iter().rev().fold(e, |e, at| match at {
                At::Name(n) => e.within(n),
                At::Key(k) => e.within(k),
                At::Item(i) => e.within(format_args!("[{i}]")),
            }));
        }
        self.out.push_str("null");
        false
    }

    fn all(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        for (field, node) in fields.iter().zip(nodes) {
            if field.flat {
                self.flat = !node.is_none();
                if self.flat {
                    node.walk(self);
                }
                self.flat = false;
                continue;
            }
            if field.left_out(*node) {
                continue;
            }
            self.name(field.name);
            self.path.push(At::Name(field.name));
            node.walk(self);
            self.path.pop();
        }
    }
}

impl Walk for Writer {
    fn null(&mut self) {
        self.out.push_str("null");
    }
    fn truth(&mut self, b: bool) {
        self.out.push_str(if b { "true" } else { "false" });
    }
    fn whole(&mut self, n: i128) {
        self.out.push_str(&n.to_string());
    }
    fn number(&mut self, x: f64) {
        if self.finite(x)
            && let Some(n) = serde_json::Number::from_f64(x)
        {
            self.out.push_str(&n.to_string());
        }
    }
    fn text(&mut self, t: &str) {
        self.escaped(t);
    }
    fn quantity(&mut self, si: f64, of: &'static Measure) {
        if self.finite(si) {
            self.escaped(&tagged_si(si, of));
        }
    }
    fn spread(&mut self, input: &Input) {
        if self.finite(input.value) {
            self.escaped(&input.tagged());
        }
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        if std::mem::take(&mut self.flat) {
            self.all(of.table().fields, nodes);
            return;
        }
        self.start('{');
        self.all(of.table().fields, nodes);
        self.stop('}');
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        let of = of.variants();
        let variant = &of.variants[which];
        if let Some(tag) = of.tag {
            self.start('{');
            self.name(tag);
            self.escaped(variant.name);
            match (variant.content, nodes) {
                (Content::Fields(fields), _) => self.all(fields, nodes),
                (Content::One(_), [node]) => {
                    self.flat = true;
                    node.walk(self);
                    self.flat = false;
                }
                _ => {}
            }
            self.stop('}');
            return;
        }
        if let Content::Unit = variant.content {
            self.escaped(variant.name);
            return;
        }
        self.start('{');
        self.name(variant.name);
        self.path.push(At::Name(variant.name));
        match (variant.content, nodes) {
            (Content::Fields(fields), _) => {
                self.start('{');
                self.all(fields, nodes);
                self.stop('}');
            }
            (_, [node]) => node.walk(self),
            _ => self.null(),
        }
        self.path.pop();
        self.stop('}');
    }
    fn list(&mut self) {
        self.start('[');
        self.path.push(At::Item(usize::MAX));
    }
    fn map(&mut self) {
        self.start('{');
        self.path.push(At::Key(String::new()));
    }
    fn item(&mut self) {
        if let Some(At::Item(i)) = self.path.last_mut() {
            *i = i.wrapping_add(1);
        }
        self.next();
    }
    fn key(&mut self, key: &str) {
        if let Some(At::Key(k)) = self.path.last_mut() {
            key.clone_into(k);
        }
        self.name(key);
    }
    fn end(&mut self) {
        let bracket = match self.path.pop() {
            Some(At::Item(_)) => ']',
            _ => '}',
        };
        self.stop(bracket);
    }
    fn any(&mut self, value: &Value) {
        self.out.push_str(&value.to_string());
    }
}
