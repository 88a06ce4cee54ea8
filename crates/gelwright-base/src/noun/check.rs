//! Checking the ranges of a noun's fields: of one that was read, and of one that was made in Rust.

use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use serde_json::Value;

use super::shape::{Content, End, Field, Range, Shape};
use super::{Walk, Written};
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::spread::{DistributionKind, Input};
use crate::quantity::{Measure, parse_number_and_unit, show_si};

/// Checks the ranges of all fields of a noun that was made in Rust; a document's are checked as it is read.
///
/// # Errors
/// Every field outside its range, with its path; numbers that are not finite.
pub fn check(node: &dyn Written) -> Result<()> {
    let mut well = Well {
        so_far: true,
        range: None,
    };
    node.walk(&mut well);
    if well.so_far {
        return Ok(());
    }
    let mut all = All::default();
    node.walk(&mut all);
    match Error::several(all.errors) {
        Some(e) => Err(e),
        None => Ok(()),
    }
}

/// What of a field's value lies outside its range.
pub(crate) fn outside(range: &'static Range, node: &dyn Written) -> Vec<Error> {
    let mut one = One {
        range,
        errors: Vec::new(),
        index: Vec::new(),
    };
    node.walk(&mut one);
    one.errors
}

/// Checks one parameter of a question, as its request's field is checked.
///
/// # Errors
/// [`ErrorKind::OutOfRange`], [`ErrorKind::NotFinite`] at the parameter's name.
pub fn within(name: &str, node: &dyn Written, range: &'static Range) -> Result<()> {
    let mut all = All::default();
    node.walk(&mut all);
    all.errors.extend(outside(range, node));
    match Error::several(all.errors) {
        Some(e) => Err(e.within(name)),
        None => Ok(()),
    }
}

/// Looks at the numbers of one field: its own, or those of its list; not into further nouns. What is not finite is told
/// as such elsewhere: no document holds it.
struct One {
    range: &'static Range,
    errors: Vec<Error>,
    index: Vec<usize>,
}

impl Range {
    /// The range in words, with units.
    pub fn words(&self) -> String {
        let text = |e: &End| match e {
            End::Text(t) => (*t).to_owned(),
            End::Number(x) => x.to_string(),
        };
        match (&self.low, &self.high) {
            (Some(a), Some(b)) => {
                let from = if self.above { "more than " } else { "" };
                let to = if self.below { "less than " } else { "" };
                format!("{from}{} to {to}{}", text(a), text(b))
            }
            (Some(a), None) if self.above => format!("more than {}", text(a)),
            (Some(a), None) => format!("{} or more", text(a)),
            (None, Some(b)) if self.below => format!("less than {}", text(b)),
            (None, Some(b)) => format!("{} or less", text(b)),
            (None, None) => "any".to_owned(),
        }
    }

    /// Its ends as numbers; read once a thread, so that a sweep checks a thousand cups while it follows one.
    fn ends(&'static self, si: impl Fn(&End) -> f64) -> (f64, f64) {
        thread_local! {
            static READ: RefCell<HashMap<usize, (f64, f64), BuildHasherDefault<Address>>> = RefCell::default();
        }
        READ.with_borrow_mut(|read| {
            *read.entry(std::ptr::from_ref(self).addr()).or_insert_with(|| {
                let low = self.low.as_ref().map_or(f64::NEG_INFINITY, &si);
                (low, self.high.as_ref().map_or(f64::INFINITY, &si))
            })
        })
    }

    fn holds(&'static self, x: f64, si: impl Fn(&End) -> f64) -> bool {
        let (low, high) = self.ends(si);
        // What was written as the end itself is inside, whatever its unit's rounding did.
        let slack = 1e-12 * x.abs();
        let over = if self.above { x > low } else { x >= low - slack };
        let under = if self.below { x < high } else { x <= high + slack };
        over && under
    }

    fn refusal(&self, said: &dyn std::fmt::Display, example: Option<&str>) -> Error {
        let e = Error::new(ErrorKind::OutOfRange, "")
            .with_value(said)
            .with_allowed(self.words());
        match example {
            _ if !self.way_out.is_empty() => e.with_way_out(self.way_out),
            Some(example) => e.with_way_out(format!("write for example '{example}'")),
            None => e.with_way_out(format!("give {}", self.words())),
        }
    }
}

/// Whether all is well, without saying what is not: a sweep checks every cup, and all but a few are well.
struct Well {
    so_far: bool,
    /// That of the field whose numbers follow.
    range: Option<&'static Range>,
}

impl Well {
    fn see(&mut self, x: f64, si: impl Fn(&End) -> f64) {
        self.so_far &= x.is_finite() && self.range.is_none_or(|r| r.holds(x, si));
    }
    fn look(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        let outer = self.range.take();
        for (field, node) in fields.iter().zip(nodes) {
            self.range = field.range.as_ref();
            node.walk(self);
        }
        self.range = outer;
    }
}

impl Walk for Well {
    fn null(&mut self) {}
    fn truth(&mut self, _: bool) {}
    #[allow(clippy::cast_precision_loss)]
    fn whole(&mut self, n: i128) {
        self.see(n as f64, plain_end);
    }
    fn number(&mut self, x: f64) {
        self.see(x, plain_end);
    }
    fn text(&mut self, _: &str) {}
    fn spread(&mut self, input: &Input) {
        for x in limits(input) {
            self.quantity(x, input.of);
        }
    }
    fn quantity(&mut self, x: f64, of: &'static Measure) {
        self.see(x, |e| quantity_end(e, of));
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        self.look(of.table().fields, nodes);
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        match (of.variants().variants[which].content, nodes) {
            (Content::Fields(fields), _) => self.look(fields, nodes),
            (Content::One(_), [node]) => {
                let outer = self.range.take();
                node.walk(self);
                self.range = outer;
            }
            _ => {}
        }
    }
    fn list(&mut self) {}
    fn map(&mut self) {}
    fn item(&mut self) {}
    fn key(&mut self, _: &str) {}
    fn end(&mut self) {}
    fn any(&mut self, _: &Value) {}
}

/// What of a spread must be within a range: its value, and limits where it has some. The tails of a normal distribution
/// reach anywhere, and say nothing of what was meant.
fn limits(input: &Input) -> [f64; 3] {
    match input.kind() {
        DistributionKind::Rectangular => {
            let (low, high) = input.ends();
            [input.value, low, high]
        }
        _ => [input.value; 3],
    }
}

/// An end of the range of a plain number.
fn plain_end(e: &End) -> f64 {
    match e {
        End::Number(x) => *x,
        End::Text(t) => t.parse().unwrap_or(f64::NAN),
    }
}

/// An end of the range of a quantity, in SI.
fn quantity_end(e: &End, of: &'static Measure) -> f64 {
    match e {
        End::Number(x) => *x,
        End::Text(t) => parse_number_and_unit("", t, of.dimension, of.name, of.example).unwrap_or(f64::NAN),
    }
}

/// A place in memory as its own hash.
#[derive(Default)]
struct Address(u64);

impl Hasher for Address {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        for b in bytes {
            self.0 = (self.0 << 8) | u64::from(*b);
        }
    }
    fn write_usize(&mut self, n: usize) {
        // Spread over the high bits too, which a table looks at first.
        self.0 = (n as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
}

impl One {
    fn tell(&mut self, e: Error) {
        let e = self
            .index
            .iter()
            .rev()
            .fold(e, |e, i| e.within(format_args!("[{}]", i - 1)));
        self.errors.push(e);
    }
    fn plain(&mut self, x: f64, said: &dyn std::fmt::Display) {
        if x.is_finite() && !self.range.holds(x, plain_end) {
            self.tell(self.range.refusal(said, None));
        }
    }
}

impl Walk for One {
    fn null(&mut self) {}
    fn truth(&mut self, _: bool) {}
    #[allow(clippy::cast_precision_loss)]
    fn whole(&mut self, n: i128) {
        self.plain(n as f64, &n);
    }
    fn number(&mut self, x: f64) {
        self.plain(x, &x);
    }
    fn text(&mut self, _: &str) {}
    fn spread(&mut self, input: &Input) {
        // The first that lies outside says it.
        let before = self.errors.len();
        for x in limits(input) {
            if self.errors.len() == before {
                self.quantity(x, input.of);
            }
        }
    }
    fn quantity(&mut self, x: f64, of: &'static Measure) {
        if x.is_finite() && !self.range.holds(x, |e| quantity_end(e, of)) {
            let ends = |e: &End| quantity_end(e, of);
            // An example outside the range would be no help; an end of the range is.
            let example = parse_number_and_unit("", of.example, of.dimension, of.name, of.example)
                .is_ok_and(|e| self.range.holds(e, ends))
                .then_some(of.example)
                .or_else(|| {
                    [&self.range.high, &self.range.low]
                        .into_iter()
                        .flatten()
                        .find_map(End::text)
                });
            self.tell(self.range.refusal(&show_si(x, of), example));
        }
    }
    fn fields(&mut self, _: &'static Shape, _: &[&dyn Written]) {}
    fn variant(&mut self, _: &'static Shape, _: usize, _: &[&dyn Written]) {}
    fn list(&mut self) {
        self.index.push(0);
    }
    fn map(&mut self) {
        self.index.push(0);
    }
    fn item(&mut self) {
        if let Some(i) = self.index.last_mut() {
            *i += 1;
        }
    }
    fn key(&mut self, _: &str) {
        self.item();
    }
    fn end(&mut self) {
        self.index.pop();
    }
    fn any(&mut self, _: &Value) {}
}

/// Looks at all fields of a noun and of those within it.
#[derive(Default)]
struct All {
    errors: Vec<Error>,
    index: Vec<Place>,
}

enum Place {
    Item(usize),
    Key(String),
}

impl All {
    fn look(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        let index = std::mem::take(&mut self.index);
        for (field, node) in fields.iter().zip(nodes) {
            let before = self.errors.len();
            if let Some(range) = &field.range {
                self.errors.extend(outside(range, *node));
            }
            node.walk(self);
            if !field.flat {
                self.place(before, &field.name);
            }
        }
        self.index = index;
    }
    fn place(&mut self, before: usize, at: &dyn std::fmt::Display) {
        if self.errors.len() == before {
            return;
        }
        for e in self.errors.drain(before..).collect::<Vec<_>>() {
            self.errors.push(e.within(at));
        }
    }
    fn not_finite(&mut self, x: f64) {
        if !x.is_finite() {
            let e = Error::new(ErrorKind::NotFinite, "")
                .with_value(x)
                .with_way_out("give a finite number");
            let before = self.errors.len();
            self.errors.push(e);
            self.inside(before);
        }
    }
    /// Puts the places within lists and maps before the paths of the last errors.
    fn inside(&mut self, before: usize) {
        if self.errors.len() == before {
            return;
        }
        let index = std::mem::take(&mut self.index);
        for p in index.iter().rev() {
            match p {
                Place::Item(i) => self.place(before, &format_args!("[{}]", i.saturating_sub(1))),
                Place::Key(k) => self.place(before, k),
            }
        }
        self.index = index;
    }
}

impl Walk for All {
    fn null(&mut self) {}
    fn truth(&mut self, _: bool) {}
    fn whole(&mut self, _: i128) {}
    fn number(&mut self, x: f64) {
        self.not_finite(x);
    }
    fn text(&mut self, _: &str) {}
    fn quantity(&mut self, si: f64, _: &'static Measure) {
        self.not_finite(si);
    }
    fn spread(&mut self, input: &Input) {
        self.not_finite(input.value);
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        let before = self.errors.len();
        self.look(of.table().fields, nodes);
        self.inside(before);
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        let of = of.variants();
        let variant = &of.variants[which];
        let before = self.errors.len();
        let index = std::mem::take(&mut self.index);
        match (variant.content, nodes) {
            (Content::Fields(fields), _) => self.look(fields, nodes),
            (Content::One(_), [node]) => node.walk(self),
            _ => {}
        }
        if of.tag.is_none() {
            self.place(before, &variant.name);
        }
        self.index = index;
        self.inside(before);
    }
    fn list(&mut self) {
        self.index.push(Place::Item(0));
    }
    fn map(&mut self) {
        self.index.push(Place::Key(String::new()));
    }
    fn item(&mut self) {
        if let Some(Place::Item(i)) = self.index.last_mut() {
            *i += 1;
        }
    }
    fn key(&mut self, key: &str) {
        if let Some(Place::Key(k)) = self.index.last_mut() {
            key.clone_into(k);
        }
    }
    fn end(&mut self) {
        self.index.pop();
    }
    fn any(&mut self, _: &Value) {}
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::noun::Noun;
    use crate::quantity::Length;

    /// A shelf.
    #[derive(Clone, Noun)]
    struct Shelf {
        /// How wide.
        #[noun(within("10 cm", "3 m", "measure it"))]
        width: Length,
        /// Its boxes.
        boxes: Vec<Crate>,
    }

    /// A box.
    #[derive(Clone, Noun)]
    struct Crate {
        /// How full.
        #[noun(within(0, < 1))]
        full: f64,
        /// Heights.
        #[noun(within(> "0 mm", ..))]
        heights: Vec<Length>,
    }

    fn mm(x: f64) -> Length {
        use uom::si::length::millimeter;
        Length::new::<millimeter>(x)
    }

    fn shelf(width: f64, full: f64, heights: &[f64]) -> Shelf {
        let heights = heights.iter().copied().map(mm).collect();
        Shelf {
            width: mm(width),
            boxes: vec![Crate { full, heights }],
        }
    }

    fn told(node: &Shelf) -> Vec<(ErrorKind, String)> {
        check(node).map_or_else(
            |e| e.all().map(|e| (e.kind(), e.field().to_owned())).collect(),
            |()| vec![],
        )
    }

    #[test]
    fn every_field_outside_its_range_is_told_with_its_path() {
        let range = |field: &str| (ErrorKind::OutOfRange, field.to_owned());
        assert_eq!(told(&shelf(100.0, 0.0, &[1.0])), []);
        assert_eq!(told(&shelf(3000.0, 0.5, &[])), []);
        assert_eq!(told(&shelf(99.0, 0.5, &[1.0])), [range("width")]);
        assert_eq!(told(&shelf(500.0, 1.0, &[1.0])), [range("boxes[0].full")]);
        assert_eq!(
            told(&shelf(3001.0, -0.1, &[1.0, 0.0])),
            [
                range("width"),
                range("boxes[0].full"),
                range("boxes[0].heights[1]")
            ]
        );
        // Asked again, with the ranges read by then.
        assert_eq!(told(&shelf(99.0, 0.5, &[1.0])), [range("width")]);
    }

    #[test]
    fn what_is_not_finite_is_told_as_such_and_once() {
        for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let not = |field: &str| (ErrorKind::NotFinite, field.to_owned());
            assert_eq!(told(&shelf(x, 0.5, &[1.0])), [not("width")]);
            assert_eq!(told(&shelf(500.0, x, &[1.0])), [not("boxes[0].full")]);
            assert_eq!(told(&shelf(500.0, 0.5, &[1.0, x])), [not("boxes[0].heights[1]")]);
        }
    }
}
