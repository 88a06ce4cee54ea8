//! How a noun of the trade (a recipe, a cup, a wall) is described: once.
//!
//! `#[derive(Noun)]` makes one table of a type's fields: name, meaning, shape, default, allowed range. Everything that
//! is said about the type comes from that table: the reader of documents with its refusals ([`read`]), the writer
//! ([`write`]), the check of a value made in Rust ([`check`]), the JSON schema ([`schema_of`]), the Python classes.
//!
//! ```
//! use gelwright_base::noun::{self, Noun};
//! use gelwright_base::quantity::{Length, Mass};
//! use gelwright_base::{Cancel, document};
//!
//! /// A tin on the shelf.
//! #[derive(Clone, PartialEq, Noun)]
//! struct Tin {
//!     /// What is in it.
//!     mass: Mass,
//!     /// Of the tin.
//!     #[noun(default = "8 cm", within("1 cm", "1 m"))]
//!     height: Length,
//! }
//! let tin: Tin = document::from_json(r#"{"mass": "1 kg"}"#, Cancel::NEVER).unwrap();
//! assert_eq!(noun::to_text(&tin.height), "\"80 mm\"");
//! let e = document::from_json::<Tin>(r#"{"mass": 1, "height": "2 m"}"#, Cancel::NEVER).unwrap_err();
//! assert_eq!(e.all().count(), 2, "all mistakes at once: {e}");
//! ```
//!
//! A field's attributes, all in one `#[noun(...)]`:
//!
//! | | |
//! |---|---|
//! | `default` | may be left out; then the type's own default |
//! | `default = "20 degC"`, `= 2.0`, `= true` | may be left out; then this, read as a document's |
//! | `default = usual_density()` | the same, from a value of the field's type that the code uses too |
//! | `within("1 mm", "10 m")`, `within(0, 1)` | allowed range; `within(.., "10 m")` is open below; a third text is the way out |
//! | `within = MODULUS` | the same, from a constant that several fields share ([`range!`]) |
//! | `name = "a_N_per_m"` | what a document calls it, where Rust's naming does not allow that |
//! | `flat` | its fields stand among this type's own |
//! | `skip` | not in documents; the type's own default on reading |
//!
//! A type's: `open` (unknown fields are passed over), `tag = "kind"` (which alternative it is stands in this field),
//! `via = "Other"` (read as that and converted by `TryFrom`, written as `Other::from`), `check` (its `check(&self)` is
//! asked after reading), `versions = "..."` (a [`Versions`](crate::document::Versions): a document of another is refused before
//! its fields are looked at), `name = "..."`, `written` (an answer that is never read).
//!
//! An `Option` may be left out, and is left out of what is written where it is `None`; so is an empty list, map or text
//! that has a default.

mod asked;
mod check;
mod debug;
mod held;
mod impls;
mod read;
mod schema;
mod shape;
#[cfg(test)]
mod tests;
mod text;
mod write;

pub use asked::{Asked, Drawn, mistakes};
pub use check::{check, within};
pub use debug::debug;
pub use gelwright_derive::{Noun, questions, range};
pub use held::{Held, Hold};
pub use read::{BAND, Held as HeldVariant, Reader, STAMP, defaults, read, read_at};
pub use schema::{schema_of, schema_of_request};
pub use shape::{Content, Default, End, Field, Grammar, Range, Shape, Struct, Variant, Variants};
pub use text::{AsText, read as read_text, walk as walk_text};
pub use write::{Style, Writer, to_json, to_text, to_value};

#[doc(no_inline)]
pub use serde_json::Value;

/// What can be written, and walked for its checks. Made by `#[derive(Noun)]`.
pub trait Written {
    /// Hands itself to the walker.
    fn walk(&self, w: &mut dyn Walk);
    /// Whether it is left out of a struct that is written.
    fn is_none(&self) -> bool {
        false
    }
    /// Whether it holds nothing: left out where the field has a default.
    fn is_empty(&self) -> bool {
        self.is_none()
    }
}

/// What a document can hold: described, read and written. Made by `#[derive(Noun)]`.
pub trait Noun: Written + Sized {
    /// Its description.
    fn shape() -> &'static Shape;
    /// Reads it; `None` where `r` was told why not.
    fn read(value: &Value, r: &mut Reader) -> Option<Self>;
    /// What it is where a document leaves it out; `None` where it must be given.
    fn absent() -> Option<Self> {
        None
    }
}

/// Who is walked through a value: the writer, the check of ranges.
pub trait Walk {
    /// Nothing.
    fn null(&mut self);
    /// A truth value.
    fn truth(&mut self, b: bool);
    /// A whole number.
    fn whole(&mut self, n: i128);
    /// A plain number.
    fn number(&mut self, x: f64);
    /// A text.
    fn text(&mut self, t: &str);
    /// A text that is a number with its unit: a quantity whose kind stands beside it, an amount of money.
    fn measured(&mut self, t: &str) {
        self.text(t);
    }
    /// A number with its unit, in SI.
    fn quantity(&mut self, si: f64, of: &'static crate::quantity::Measure);
    /// A number with its unit and its spread.
    fn spread(&mut self, input: &crate::quantity::spread::Input);
    /// A struct: its fields, in the order of its table.
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]);
    /// One of several shapes: which, and its fields or its one content.
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]);
    /// A list begins; its items follow, then [`end`](Walk::end).
    fn list(&mut self);
    /// A map begins; each [`key`](Walk::key) with its value follows, then [`end`](Walk::end).
    fn map(&mut self);
    /// Before each item of a list.
    fn item(&mut self);
    /// Before each value of a map.
    fn key(&mut self, key: &str);
    /// A list or a map ends.
    fn end(&mut self);
    /// A value of any shape.
    fn any(&mut self, value: &Value);
}
