//! Reading a unit expression.

use super::super::misfit::few;
use super::super::typed::{self, DEEPEST_BRACKETS, LONGEST_UNIT};
use super::table::{Row, longest, lookup, names_for};
use super::{Dimension, Tag, Unit, hint};
use crate::error::{Error, ErrorKind, Result};

/// What a unit may measure (anything, where nothing is named), and an example of what to write.
#[derive(Debug, Clone, Copy)]
pub(in crate::quantity) struct Expected<'a> {
    pub(in crate::quantity) any_of: &'a [Dimension],
    pub(in crate::quantity) example: &'a str,
}

/// Reads a unit expression: names from the table, `*`, `·`, a space for a product, `/` or `per`, powers as
/// `^2`, `**2`, `²`, `m2`, and parentheses. At most [`LONGEST_UNIT`] characters are read, and brackets within
/// [`DEEPEST_BRACKETS`] others.
///
/// # Errors
/// [`ErrorKind::UnknownUnit`] with the nearest names; [`ErrorKind::Unreadable`] for broken syntax.
pub fn read(field: &str, text: &str) -> Result<Unit> {
    let anything = Expected {
        any_of: &[],
        example: "g/m^2",
    };
    read_as(field, text, anything)
}

/// As [`read`], with hints at what is expected.
///
/// # Errors
/// As [`read`].
pub(in crate::quantity) fn read_as(field: &str, text: &str, expected: Expected<'_>) -> Result<Unit> {
    typed::check_length(field, text, LONGEST_UNIT, expected.example)?;
    let text = typed::plain(text.trim());
    let text = &*text;
    if text.is_empty() {
        return Ok(Unit::ONE);
    }
    if let Some(u) = lookup(text) {
        return Ok(u);
    }
    let mut reader = Reader {
        field,
        all: text,
        rest: text,
        expected,
        depth: 0,
        sign: 1,
        read: Vec::new(),
        spaced: false,
    };
    let unit = reader.product()?;
    if !reader.rest.trim().is_empty() {
        return Err(reader.unreadable("an operator is missing"));
    }
    reader.check_sides()?;
    if unit.size().is_normal() {
        Ok(unit)
    } else {
        Err(reader.unreadable("the powers are too large"))
    }
}

struct Reader<'a> {
    field: &'a str,
    all: &'a str,
    rest: &'a str,
    expected: Expected<'a>,
    /// How many brackets are open.
    depth: usize,
    /// -1 below the line.
    sign: i8,
    /// The units read, and whether each stands above the line (1) or below it (-1).
    read: Vec<(&'static Row, &'static str, i8)>,
    /// Whether a space was read as a product.
    spaced: bool,
}

impl Reader<'_> {
    fn unreadable(&self, why: &str) -> Error {
        Error::new(ErrorKind::Unreadable, self.field)
            .with_value(format_args!("unit '{}'", self.all))
            .with_way_out(format!("{why}; write units like 'g/m^2' or 'W/(m^2*K)'"))
    }

    /// A unit that stands above and below the line cancels: with a space for a product that is a slip.
    fn check_sides(&self) -> Result<()> {
        let twice = self.read.iter().find(|(row, _, sign)| {
            self.read
                .iter()
                .any(|(other, _, s)| std::ptr::eq(*row, *other) && *s == -sign)
        });
        match twice {
            Some((_, name, _)) if self.spaced => Err(self.unreadable(&format!(
                "'{name}' stands above and below the line: leave it out, or write the product with '*' if it is meant"
            ))),
            _ => Ok(()),
        }
    }

    fn take(&mut self, token: &str) -> bool {
        match self.rest.trim_start().strip_prefix(token) {
            Some(r) => {
                self.rest = r;
                true
            }
            None => false,
        }
    }

    fn product(&mut self) -> Result<Unit> {
        let mut acc = match self.one_over() {
            Some(one) => one,
            None => self.power()?,
        };
        let mut divided = false;
        loop {
            if self.rest.trim_start().is_empty() || self.rest.trim_start().starts_with(')') {
                return Ok(acc);
            }
            if self.take("per ") || self.take("/") {
                self.sign = -self.sign;
                let u = self.power()?;
                self.sign = -self.sign;
                acc = self.combine(acc, u, -1)?;
                divided = true;
            } else {
                let explicit = self.take("**") || self.take("*") || self.take("·") || self.take("⋅");
                if divided && !explicit {
                    return Err(self.unreadable("a product after '/' needs parentheses"));
                }
                self.spaced |= !explicit;
                let complete = !explicit && self.expected.any_of.iter().any(|d| acc.fits(*d));
                let u = self.power().map_err(|e| match e.kind() {
                    ErrorKind::UnknownUnit if complete => e.with_way_out(
                        "leave it out: one number and its unit are read, and nothing after them",
                    ),
                    _ => e,
                })?;
                acc = self.combine(acc, u, 1)?;
            }
        }
    }

    /// The one of `1/s`.
    fn one_over(&mut self) -> Option<Unit> {
        let rest = self.rest.trim_start().strip_prefix('1')?;
        let line = rest.trim_start();
        if line.starts_with('/') || line.starts_with("per ") {
            self.rest = rest;
            Some(Unit::ONE)
        } else {
            None
        }
    }

    fn power(&mut self) -> Result<Unit> {
        self.rest = self.rest.trim_start();
        if self.take("(") {
            let u = self.bracket()?;
            let n = self.exponent()?;
            return if n == 1 { Ok(u) } else { self.raise(u, n) };
        }
        let Some((name, row)) =
            longest(self.rest).filter(|_| !self.rest.starts_with(|c: char| c.is_ascii_digit()))
        else {
            return Err(self.no_unit());
        };
        self.rest = &self.rest[name.len()..];
        self.skip_point(name);
        let n = self.exponent()?;
        self.read.push((row, name, self.sign * n.signum()));
        let u = row.unit();
        if n == 1 { Ok(u) } else { self.raise(u, n) }
    }

    /// What stands within brackets, and the closing one.
    fn bracket(&mut self) -> Result<Unit> {
        if self.depth == DEEPEST_BRACKETS {
            return Err(self.unreadable(&format!(
                "brackets stand within {DEEPEST_BRACKETS} others at most"
            )));
        }
        self.depth += 1;
        let u = self.product()?;
        self.depth -= 1;
        if self.take(")") {
            Ok(u)
        } else {
            Err(self.unreadable("')' is missing"))
        }
    }

    /// The point after an abbreviation: `gal.`
    fn skip_point(&mut self, name: &str) {
        if name.ends_with(|c: char| c.is_alphabetic() || c == '%')
            && let Some(rest) = self.rest.strip_prefix('.')
            && !rest.starts_with(|c: char| c.is_alphanumeric() || c == '.')
        {
            self.rest = rest;
        }
    }

    /// Why no unit begins here.
    fn no_unit(&self) -> Error {
        match self.rest.chars().next() {
            None => return self.unreadable("a unit is missing after the operator"),
            Some(c) if c.is_ascii_digit() => {
                return self
                    .unreadable("one number is read, with its unit after it: no number stands in a unit");
            }
            Some(c) if !(c.is_alphabetic() || c == '%' || c == '°') => {
                return self.unreadable(&format!("'{c}' is no unit"));
            }
            Some(_) => {}
        }
        const OPERATORS: &str = "/*·⋅^()";
        let first = self.rest.len() == self.all.len();
        let alone = first
            && !self
                .all
                .contains(|c: char| OPERATORS.contains(c) || c.is_ascii_digit());
        let end = self
            .rest
            .find(|c: char| c.is_whitespace() || OPERATORS.contains(c))
            .unwrap_or(self.rest.len());
        let word = if alone { self.all } else { &self.rest[..end] };
        let way_out = hint::near(word, self.expected, alone)
            .or_else(|| hint::near(&self.rest[..end], self.expected, alone))
            .unwrap_or_else(|| match self.expected.any_of {
                [] => "write units like 'g', 'mL', 'fl oz', 'g/m^2', 'degC'".to_owned(),
                [one] => format!(
                    "write for example '{}'{}",
                    self.expected.example,
                    few(&names_for(*one))
                ),
                _ => format!("write for example '{}'", self.expected.example),
            });
        Error::new(ErrorKind::UnknownUnit, self.field)
            .with_value(format_args!("'{word}'"))
            .with_way_out(way_out)
    }

    fn exponent(&mut self) -> Result<i8> {
        for (sign, n) in [("²", 2), ("³", 3), ("⁻¹", -1), ("⁻²", -2), ("⁻³", -3)] {
            if let Some(r) = self.rest.strip_prefix(sign) {
                self.rest = r;
                return Ok(n);
            }
        }
        let marked = self
            .rest
            .strip_prefix("**")
            .or_else(|| self.rest.strip_prefix('^'));
        let digits = marked.unwrap_or(self.rest);
        let end = digits
            .char_indices()
            .find(|(i, c)| !(c.is_ascii_digit() || (*i == 0 && *c == '-' && marked.is_some())))
            .map_or(digits.len(), |(i, _)| i);
        match digits[..end].parse::<i8>() {
            Ok(n) if n != 0 && n.abs() <= 4 => {
                self.rest = &digits[end..];
                Ok(n)
            }
            _ if marked.is_some() || end > 0 => {
                Err(self.unreadable("a power must be a whole number, 1 to 4"))
            }
            _ => Ok(1),
        }
    }

    fn part_of_product(&self, u: Unit) -> Result<Unit> {
        match u.tag {
            Tag::Plain | Tag::One | Tag::Absolute | Tag::Delta => Ok(u),
            // inside a product a degree is an interval: BTU/(h*ft^2*degF)
            Tag::Scale => Ok(Unit { offset: 0.0, ..u }),
            _ => Err(self.unreadable("a ratio or an angle can not be part of a product of units")),
        }
    }

    fn combine(&self, a: Unit, b: Unit, sign: i8) -> Result<Unit> {
        let a = self.part_of_product(a)?;
        let b = self.part_of_product(b)?;
        let b = if sign == 1 { b } else { self.raise(b, sign)? };
        let mut exponents = [0i8; 5];
        for (e, (x, y)) in exponents.iter_mut().zip(a.exponents.iter().zip(b.exponents)) {
            *e = x
                .checked_add(y)
                .ok_or_else(|| self.unreadable("the powers are too large"))?;
        }
        let tag = if exponents == [0; 5] { Tag::One } else { Tag::Plain };
        Ok(Unit {
            exponents,
            factor: a.factor * b.factor,
            pow10: a.pow10 + b.pow10,
            offset: 0.0,
            tag,
        })
    }

    fn raise(&self, u: Unit, n: i8) -> Result<Unit> {
        let u = self.part_of_product(u)?;
        let mut exponents = u.exponents;
        for e in &mut exponents {
            *e = e
                .checked_mul(n)
                .ok_or_else(|| self.unreadable("the powers are too large"))?;
        }
        Ok(Unit {
            exponents,
            factor: u.factor.powi(n.into()),
            pow10: u.pow10 * i32::from(n),
            offset: 0.0,
            tag: Tag::Plain,
        })
    }
}
