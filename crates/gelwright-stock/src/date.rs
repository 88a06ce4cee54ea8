//! A day of the calendar.

use std::fmt;

use gelwright_base::noun::{AsText, Grammar};
use gelwright_base::{Error, ErrorKind, Result, text_noun};
use jiff::civil;

/// A day of the calendar, as ISO 8601 writes it: `"2026-11-29"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(civil::Date);

impl Date {
    /// Reads `"2026-11-29"`.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`] for anything else: a day that does not exist, or one in another order, which could be two days.
    pub fn parse(field: &str, text: &str) -> Result<Date> {
        let text = text.trim();
        // The library reads times of day and short forms too; on a tin they would be misread as often as not.
        let plain = text.len() == 10 && text.bytes().filter(|b| *b == b'-').count() == 2;
        text.parse().ok().filter(|_| plain).map(Date).ok_or_else(|| {
            Error::new(ErrorKind::Unreadable, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out("write year, month and day, for example '2026-11-29'")
        })
    }
    /// So many days later, where the calendar goes so far.
    pub(crate) fn after_days(self, days: f64) -> Option<Date> {
        if !(0.0..=4e6).contains(&days) {
            return None;
        }
        let span = jiff::Span::new().try_days(days.floor() as i64).ok()?;
        self.0.checked_add(span).ok().map(Date)
    }
    /// Whole days from `earlier` to this.
    pub fn days_since(self, earlier: Date) -> i32 {
        (self.0 - earlier.0).get_days()
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl AsText for Date {
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Date",
        doc: "A day of the calendar.",
        examples: &["2026-11-29"],
    };
    fn from_text(text: &str) -> Result<Self> {
        Date::parse("", text)
    }
    fn to_text(&self) -> String {
        self.to_string()
    }
}
text_noun!(Date);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_iso_days_and_nothing_that_could_be_two() {
        let day = Date::parse("on", "2026-11-29").unwrap();
        assert_eq!(day.to_string(), "2026-11-29");
        assert_eq!(
            Date::parse("on", "2028-03-01")
                .unwrap()
                .days_since(Date::parse("on", "2028-02-28").unwrap()),
            2
        );
        for text in [
            "29.11.2026",
            "11/29/2026",
            "2026-02-29",
            "2026-13-01",
            "20261129",
            "2026-11-29T08:30",
            "",
        ] {
            let e = Date::parse("on", text).unwrap_err();
            assert!(e.to_string().contains("2026-11-29"), "{e}");
        }
    }
}
