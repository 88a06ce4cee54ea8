//! Time of day on the workshop's clock.

use std::fmt;

use crate::noun::{AsText, Grammar};
use gelwright_base::text_noun;

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Quantity, Time};

/// A time of day, counted on past midnight: `"08:30"`, `"09:10 +1 d"`. People are shown whole minutes; a document
/// holds the second too, where there is one (`"09:10:25 +1 d"`), and reads back to the same time.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Clock {
    /// Seconds since the midnight before the first step.
    seconds: f64,
}

impl Clock {
    /// Reads `"8:30"`, `"08:30"` or, to the second, `"08:30:15"`.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`] for anything else, [`ErrorKind::OutOfRange`] for 25:00.
    pub fn parse(field: &str, text: &str) -> Result<Clock> {
        let bad = || {
            Error::new(ErrorKind::Unreadable, field)
                .with_value(format_args!("'{text}'"))
                .with_way_out("write the time of day as hours and minutes, for example '08:30'")
        };
        let numbers = text
            .trim()
            .split(':')
            .map(|n| match n.parse::<u32>() {
                Ok(n) if n < 100 => Ok(n),
                _ => Err(bad()),
            })
            .collect::<Result<Vec<_>>>()?;
        let (h, m, s) = match numbers[..] {
            [h, m] => (h, m, 0),
            [h, m, s] => (h, m, s),
            _ => return Err(bad()),
        };
        if h > 23 || m > 59 || s > 59 {
            return Err(Error::out_of_range(
                field,
                text,
                "00:00 to 23:59",
                "write for example '08:30'",
            ));
        }
        Ok(Clock {
            seconds: f64::from((h * 60 + m) * 60 + s),
        })
    }

    /// So much later, to the whole second: nobody works finer, and a document then holds it exactly.
    #[must_use]
    pub fn after(self, time: Time) -> Clock {
        Clock {
            seconds: (self.seconds + time.si()).round(),
        }
    }

    /// How many midnights before it, from the first day on.
    pub fn day(self) -> u64 {
        (self.seconds / 86_400.0).max(0.0) as u64
    }

    /// As an hour is told from which a cure will do, which no law knows to the minute: up to the next ten minutes, of a later day
    /// to the next half hour.
    #[must_use]
    pub fn foreseen(self) -> Clock {
        let step = if self.day() > 0 { 1800.0 } else { 600.0 };
        Clock {
            seconds: (self.seconds / step).ceil() * step,
        }
    }

    /// From `earlier` to this.
    pub fn since(self, earlier: Clock) -> Time {
        Time::new::<uom::si::time::second>(self.seconds - earlier.seconds)
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = (self.seconds / 60.0).round();
        let day = (minutes / 1440.0).floor();
        let of_day = minutes - day * 1440.0;
        let text = format!("{:02.0}:{:02.0}", (of_day / 60.0).floor(), of_day % 60.0);
        if day > 0.0 {
            f.pad(&format!("{text} +{day:.0} d"))
        } else {
            f.pad(&text)
        }
    }
}

impl AsText for Clock {
    const GRAMMAR: &'static Grammar = &Grammar {
        name: "Clock",
        doc: "A time of day.",
        examples: &["08:30", "02:00 +1 d"],
    };
    fn from_text(text: &str) -> Result<Self> {
        let (of_day, days) = match text.split_once('+') {
            Some((t, d)) => (
                t,
                d.trim().trim_end_matches(" d").parse::<f64>().unwrap_or(f64::NAN),
            ),
            None => (text, 0.0),
        };
        let clock = Clock::parse("", of_day)?;
        // A plan of resins that hardly cure runs for years, and reads back.
        if !(0.0..=1e7).contains(&days) || days.fract() != 0.0 {
            return Err(Error::new(ErrorKind::Unreadable, "")
                .with_value(format_args!("'{text}'"))
                .with_way_out("write for example '08:30' or '08:30 +1 d'"));
        }
        Ok(Clock {
            seconds: clock.seconds + days * 86_400.0,
        })
    }
    fn to_text(&self) -> String {
        let day = (self.seconds / 86_400.0).floor();
        let of_day = self.seconds - day * 86_400.0;
        let (h, m, sec) = (
            (of_day / 3600.0).floor(),
            (of_day % 3600.0 / 60.0).floor(),
            of_day % 60.0,
        );
        let mut text = format!("{h:02.0}:{m:02.0}");
        if sec > 0.0 {
            text.push_str(&format!(":{sec:02.0}"));
        }
        if day > 0.0 {
            text.push_str(&format!(" +{day:.0} d"));
        }
        text
    }
}
text_noun!(Clock);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_foreseen_is_never_told_too_early() {
        for (from, to) in [
            ("16:01", "16:10"),
            ("16:10", "16:10"),
            ("22:53:10 +1 d", "23:00 +1 d"),
            ("23:40 +1 d", "00:00 +2 d"),
        ] {
            let told = Clock::from_text(from).unwrap().foreseen();
            assert_eq!(told.to_string(), to);
        }
    }

    #[test]
    fn counts_past_midnight() {
        let c = Clock::parse("start", "23:30")
            .unwrap()
            .after(Time::new::<uom::si::time::minute>(45.0));
        assert_eq!(c.to_string(), "00:15 +1 d");
        let back: Clock = crate::document::from_json("\"00:15 +1 d\"", crate::Cancel::NEVER).unwrap();
        assert_eq!(back, c);
        let to_the_second = c.after(Time::new::<uom::si::time::second>(20.4));
        let text = crate::noun::to_text(&to_the_second);
        assert_eq!(
            (text.as_str(), to_the_second.to_string().as_str()),
            ("\"00:15:20 +1 d\"", "00:15 +1 d")
        );
        assert_eq!(
            crate::document::from_json::<Clock>(&text, crate::Cancel::NEVER).unwrap(),
            to_the_second
        );
        assert!(Clock::parse("start", "25:00").is_err());
        assert!(Clock::parse("start", "08:30:61").is_err());
        assert!(Clock::parse("start", "4294967295:30").is_err());
        assert!(Clock::parse("start", "8").is_err());
    }
}
