//! What can be wrong with an input, or with an answer that could not be reached.
//!
//! One type for the whole crate, classed by *kind of mistake* ([`ErrorKind`]): a caller who wants to react
//! asks "was it a unit, a range, a name?" far more often than "which module said so". The C status codes and
//! the Python exception classes follow the kinds one to one.
//!
//! Every error names the field, the value with its unit as it was given, what is allowed, and the way out.

use std::fmt;

/// The result of anything in this crate that can refuse.
pub type Result<T> = std::result::Result<T, Error>;

/// The kind of mistake, or of failure, behind an [`Error`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ErrorKind {
    /// A bare number stands where a number with a unit is needed.
    BareNumber,
    /// A text is no number with a unit at all.
    Unreadable,
    /// The unit is not known.
    UnknownUnit,
    /// The unit is known but measures something else (a length where a mass is needed).
    WrongDimension,
    /// The value is not a number, or not finite.
    NotFinite,
    /// The value is outside what is physically or practically allowed.
    OutOfRange,
    /// A name (of a material, a recipe, a zone, a limit ...) is not known.
    UnknownName,
    /// Two inputs, each fine alone, contradict each other.
    Inconsistent,
    /// A document (TOML, JSON) is malformed, has an unknown field or lacks one.
    Document,
    /// A document's `version` is not one this library reads.
    Version,
    /// The question is well put and has no answer (no dose gives that gel time).
    NoSolution,
    /// A numerical method did not reach its tolerance.
    NotConverged,
    /// The caller cancelled the work.
    Cancelled,
}

impl ErrorKind {
    /// All kinds, in the order of their C status codes.
    pub const ALL: [ErrorKind; 13] = [
        ErrorKind::BareNumber,
        ErrorKind::Unreadable,
        ErrorKind::UnknownUnit,
        ErrorKind::WrongDimension,
        ErrorKind::NotFinite,
        ErrorKind::OutOfRange,
        ErrorKind::UnknownName,
        ErrorKind::Inconsistent,
        ErrorKind::Document,
        ErrorKind::Version,
        ErrorKind::NoSolution,
        ErrorKind::NotConverged,
        ErrorKind::Cancelled,
    ];

    /// A short stable name in `snake_case`, the same in every language.
    pub const fn name(self) -> &'static str {
        match self {
            ErrorKind::BareNumber => "bare_number",
            ErrorKind::Unreadable => "unreadable",
            ErrorKind::UnknownUnit => "unknown_unit",
            ErrorKind::WrongDimension => "wrong_dimension",
            ErrorKind::NotFinite => "not_finite",
            ErrorKind::OutOfRange => "out_of_range",
            ErrorKind::UnknownName => "unknown_name",
            ErrorKind::Inconsistent => "inconsistent",
            ErrorKind::Document => "document",
            ErrorKind::Version => "version",
            ErrorKind::NoSolution => "no_solution",
            ErrorKind::NotConverged => "not_converged",
            ErrorKind::Cancelled => "cancelled",
        }
    }

    const fn says(self) -> &'static str {
        match self {
            ErrorKind::BareNumber => "has no unit",
            ErrorKind::Unreadable => "can not be read",
            ErrorKind::UnknownUnit => "has an unknown unit",
            ErrorKind::WrongDimension => "measures the wrong thing",
            ErrorKind::NotFinite => "is not a finite number",
            ErrorKind::OutOfRange => "is out of range",
            ErrorKind::UnknownName => "is not known",
            ErrorKind::Inconsistent => "contradicts another input",
            ErrorKind::Document => "is not as the document needs it",
            ErrorKind::Version => "is a version this library does not read",
            ErrorKind::NoSolution => "has no solution",
            ErrorKind::NotConverged => "did not converge",
            ErrorKind::Cancelled => "was cancelled",
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
struct Inner {
    kind: ErrorKind,
    field: String,
    value: Option<String>,
    allowed: Option<String>,
    way_out: Option<String>,
    /// What else is wrong with the same document.
    also: Vec<Error>,
}

/// A refusal: what kind, which field, which value, what is allowed, and the way out.
#[derive(Debug, Clone, PartialEq)]
pub struct Error(Box<Inner>);

impl Error {
    /// An error of `kind` about `field`; the other parts are added with the `with_` methods.
    pub fn new(kind: ErrorKind, field: impl Into<String>) -> Self {
        Error(Box::new(Inner {
            kind,
            field: field.into(),
            value: None,
            allowed: None,
            way_out: None,
            also: Vec::new(),
        }))
    }

    /// A value outside its allowed range. `value` and `allowed` are given with their units.
    pub fn out_of_range(
        field: impl Into<String>,
        value: impl fmt::Display,
        allowed: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Self {
        Error::new(ErrorKind::OutOfRange, field)
            .with_value(value)
            .with_allowed(allowed)
            .with_way_out(way_out)
    }

    /// A name that is not known, with the nearest known ones by edit distance.
    pub fn unknown_name<'a>(
        field: impl Into<String>,
        name: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let known: Vec<&str> = known.into_iter().collect();
        let near = nearest(name, &known);
        let way_out = match near.as_slice() {
            [] if known.is_empty() => "none is defined: define it first".to_owned(),
            [] => format!("use one of: {}", known.join(", ")),
            [one] => format!("did you mean '{one}'?"),
            many => format!("did you mean one of '{}'?", many.join("', '")),
        };
        Error::new(ErrorKind::UnknownName, field)
            .with_value(format_args!("'{name}'"))
            .with_way_out(way_out)
    }

    /// Two inputs that contradict each other.
    pub fn inconsistent(
        field: impl Into<String>,
        value: impl fmt::Display,
        allowed: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Self {
        Error::new(ErrorKind::Inconsistent, field)
            .with_value(value)
            .with_allowed(allowed)
            .with_way_out(way_out)
    }

    /// A well-put question without an answer; `nearest` says what comes closest.
    pub fn no_solution(
        field: impl Into<String>,
        wanted: impl fmt::Display,
        nearest: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Self {
        Error::new(ErrorKind::NoSolution, field)
            .with_value(wanted)
            .with_allowed(nearest)
            .with_way_out(way_out)
    }

    /// The value as it was given, with its unit.
    #[must_use]
    pub fn with_value(mut self, value: impl fmt::Display) -> Self {
        self.0.value = Some(cut(&value.to_string()));
        self
    }

    /// The allowed range or set, with units (for [`ErrorKind::NoSolution`]: the nearest answer).
    #[must_use]
    pub fn with_allowed(mut self, allowed: impl Into<String>) -> Self {
        self.0.allowed = Some(allowed.into());
        self
    }

    /// What to do or write instead.
    #[must_use]
    pub fn with_way_out(mut self, way_out: impl Into<String>) -> Self {
        self.0.way_out = Some(way_out.into());
        self
    }

    /// The same, of a value elsewhere that led to it.
    #[must_use]
    pub(crate) fn with_value_of(mut self, path: &str, said: &str) -> Self {
        let own = self.0.value.take().map_or_else(String::new, |v| format!("{v}: "));
        self.0.value = Some(format!("{own}{path} at {said}"));
        self
    }

    /// The same error seen from one level up: `zone[2].` + `area`.
    #[must_use]
    pub fn within(mut self, outer: impl fmt::Display) -> Self {
        let outer = cut(&outer.to_string());
        self.0.field = joined(&outer, &self.0.field);
        self.0.also = self.0.also.into_iter().map(|e| e.within(&outer)).collect();
        self
    }

    /// The same for those of its mistakes whose path begins with one of the names that `has` knows.
    #[must_use]
    pub(crate) fn within_where(mut self, outer: &str, has: &dyn Fn(&str) -> bool) -> Self {
        let also = std::mem::take(&mut self.0.also);
        if has(self.0.field.split(['.', '[']).next().unwrap_or_default()) {
            self = self.within(outer);
        }
        self.0.also = also.into_iter().map(|e| e.within_where(outer, has)).collect();
        self
    }

    /// Several mistakes of one document as one refusal: the first, with the others behind it; `None` of none.
    pub fn several(all: Vec<Error>) -> Option<Error> {
        let mut all = all.into_iter();
        let mut first = all.next()?;
        for mut next in all {
            let behind = std::mem::take(&mut next.0.also);
            first.0.also.push(next);
            first.0.also.extend(behind);
        }
        Some(first)
    }

    /// Ok if none of several checks refused; else all that they refused, as one refusal.
    ///
    /// # Errors
    /// Every mistake that the checks found.
    pub fn none_of(checks: impl IntoIterator<Item = Result<()>>) -> Result<()> {
        let all = checks.into_iter().filter_map(Result::err).collect();
        Error::several(all).map_or(Ok(()), Err)
    }

    /// This mistake, and what else is wrong with the same document.
    pub fn all(&self) -> impl Iterator<Item = &Error> {
        std::iter::once(self).chain(&self.0.also)
    }

    /// The same error about another field: what a type's own constructor calls by the type's name, a document calls
    /// by the field's.
    #[must_use]
    pub fn at(mut self, field: impl fmt::Display) -> Self {
        self.0.field = field.to_string();
        self
    }

    /// The kind of mistake.
    pub fn kind(&self) -> ErrorKind {
        self.0.kind
    }
    /// The field the error is about, as a path (`zones[0].area`).
    pub fn field(&self) -> &str {
        &self.0.field
    }
    /// The offending value with its unit, where there is one.
    pub fn value(&self) -> Option<&str> {
        self.0.value.as_deref()
    }
    /// The allowed range, where there is one.
    pub fn allowed(&self) -> Option<&str> {
        self.0.allowed.as_deref()
    }
    /// The way out, where there is one.
    pub fn way_out(&self) -> Option<&str> {
        self.0.way_out.as_deref()
    }
}

impl Error {
    /// The sentence of this mistake alone, where there are several ([`Error::all`]).
    pub fn alone(&self) -> String {
        let mut said = String::new();
        // A string takes all that is written to it.
        let _ = self.write_alone(&mut said);
        said
    }

    fn write_alone(&self, f: &mut dyn fmt::Write) -> fmt::Result {
        let Inner {
            kind,
            field,
            value,
            allowed,
            way_out,
            also: _,
        } = &*self.0;
        if !field.is_empty() {
            write!(f, "{field}: ")?;
        }
        match value {
            Some(v) => write!(f, "{v} {}", kind.says())?,
            None => write!(f, "{}", kind.says())?,
        }
        if let Some(a) = allowed {
            let label = if *kind == ErrorKind::NoSolution {
                "nearest"
            } else {
                "allowed"
            };
            write!(f, "; {label}: {a}")?;
        }
        if let Some(w) = way_out {
            write!(f, "; {w}")?;
        }
        Ok(())
    }
}

/// Every mistake on a line of its own.
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.write_alone(f)?;
        self.0.also.iter().try_for_each(|other| write!(f, "\n{other}"))
    }
}

impl std::error::Error for Error {}

/// The path of what stands at `inner` in what stands at `outer`.
pub(crate) fn joined(outer: &str, inner: &str) -> String {
    if inner.is_empty() {
        outer.to_owned()
    } else if inner.starts_with('[') {
        format!("{outer}{inner}")
    } else {
        format!("{outer}.{inner}")
    }
}

/// A text of the caller's as a message holds it: about 200 characters at most.
pub fn cut(text: &str) -> String {
    cut_at(text, 200)
}

/// A text of the caller's within a message: about `most` characters at most.
pub fn cut_at(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((at, _)) => format!("{} ... ({} characters)", &text[..at], text.chars().count()),
        None => text.to_owned(),
    }
}

/// The known names closest to `name` (Damerau-Levenshtein, at most a third of its length away, or two, but with something
/// in common), best first.
pub fn nearest(name: &str, known: &[&str]) -> Vec<String> {
    // Nothing, or longer than any name there is: nothing is near, and the distance would take long.
    if name.is_empty() || name.len() > 200 {
        return Vec::new();
    }
    let wanted = name.to_lowercase();
    let length = wanted.chars().count();
    let budget = (length / 3).max(2).min(length.saturating_sub(1));
    let mut near: Vec<(usize, usize, &str)> = known
        .iter()
        .map(|k| {
            let lower = k.to_lowercase();
            let distance = strsim::damerau_levenshtein(&wanted, &lower);
            (distance, lower.chars().count().abs_diff(length), *k)
        })
        .filter(|(d, _, k)| *d <= budget || k.to_lowercase().contains(&wanted))
        .collect();
    near.sort_unstable();
    near.into_iter().take(3).map(|(_, _, k)| k.to_owned()).collect()
}

/// Refuses NaN and infinities, naming the field.
pub fn finite(field: &str, x: f64) -> Result<f64> {
    if x.is_finite() {
        Ok(x)
    } else {
        Err(Error::new(ErrorKind::NotFinite, field)
            .with_value(x)
            .with_way_out("give a finite number"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn message_names_field_value_range_and_way_out() {
        let e =
            Error::out_of_range("catalyst", "200 wt%", "0 wt% to 20 wt%", "write '2 wt%'").within("batch");
        assert_eq!(
            e.to_string(),
            "batch.catalyst: 200 wt% is out of range; allowed: 0 wt% to 20 wt%; write '2 wt%'"
        );
    }

    #[test]
    fn unknown_name_suggests_the_nearest() {
        let e = Error::unknown_name("resin", "orto polyester", ["ortho polyester", "vinyl ester"]);
        assert!(e.to_string().contains("did you mean 'ortho polyester'?"), "{e}");
    }

    #[test]
    fn kinds_have_distinct_names() {
        let names: std::collections::HashSet<_> = ErrorKind::ALL.iter().map(|k| k.name()).collect();
        assert_eq!(names.len(), ErrorKind::ALL.len());
    }
}
