//! Text as people type it: how long it may be, and characters that stand for others.

use std::borrow::Cow;

use crate::error::{Error, ErrorKind, Result, cut_at};

/// The longest text that is read as a number with its unit, in characters. Every finite number fits in, even
/// without an exponent: the smallest is written with 326 characters.
pub const LONGEST_TEXT: usize = 400;
/// The longest text that is read as a unit, in characters.
pub const LONGEST_UNIT: usize = 100;
/// How deep brackets in a unit may be nested.
pub const DEEPEST_BRACKETS: usize = 8;

/// Refuses a text of more characters than are read, before anything is looked for in it.
pub(super) fn check_length(field: &str, text: &str, longest: usize, example: &str) -> Result<()> {
    match text.char_indices().nth(longest) {
        None => Ok(()),
        Some(_) => Err(Error::new(ErrorKind::Unreadable, field)
            .with_value(format_args!("'{}'", cut_at(text, 100)))
            .with_allowed(format!("{longest} characters at most"))
            .with_way_out(format!("write it short, for example '{example}'"))),
    }
}

/// The text with the characters that keyboards and word processors put in place of others.
pub(super) fn plain(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    let mut made = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2103}' => made.push_str("°C"),
            '\u{2109}' => made.push_str("°F"),
            '\u{212A}' => made.push('K'),
            '\u{2212}' => made.push('-'),
            '\u{2044}' | '\u{2215}' => made.push('/'),
            c if c.is_whitespace() => made.push(' '),
            c => made.push(c),
        }
    }
    Cow::Owned(made)
}
