//! The hours in which hands work.

/// Working hours: from time zero on, `open` of every `day`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hours {
    /// From one morning to the next.
    pub day: i64,
    /// From the morning until work ends; at most `day`.
    pub open: i64,
}

impl Hours {
    /// The first moment from `t` on at which work of `duration` may start so that it is done by evening; what takes longer
    /// than a day's work starts in the morning.
    pub fn from(self, t: i64, duration: i64) -> i64 {
        let morning = t.div_euclid(self.day) * self.day;
        let last = if duration > self.open {
            morning
        } else {
            morning + self.open - duration
        };
        if t <= last { t } else { morning + self.day }
    }

    /// The last moment up to `t` at which it may.
    pub fn until(self, t: i64, duration: i64) -> i64 {
        let morning = t.div_euclid(self.day) * self.day;
        if duration > self.open {
            morning
        } else {
            t.min(morning + self.open - duration)
        }
    }

    /// Working time from zero to `t`.
    pub(crate) fn worked(self, t: i64) -> i64 {
        t.div_euclid(self.day) * self.open + t.rem_euclid(self.day).min(self.open)
    }

    /// The first moment by which so much has been worked.
    pub(crate) fn when_worked(self, work: i64) -> i64 {
        let days = (work - 1).div_euclid(self.open);
        days * self.day + (work - days * self.open)
    }

    /// The last moment at which no more has been worked.
    pub(crate) fn still_worked(self, work: i64) -> i64 {
        work.div_euclid(self.open) * self.day + work.rem_euclid(self.open)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_and_the_last_start_are_what_a_count_of_all_moments_finds() {
        let hours = Hours { day: 10, open: 4 };
        let fits = |t: i64, d: i64| {
            let of_day = t.rem_euclid(10);
            if d > 4 { of_day == 0 } else { of_day + d <= 4 }
        };
        for d in 0..7 {
            for t in -15..40 {
                assert_eq!(hours.from(t, d), (t..).find(|s| fits(*s, d)).unwrap(), "{t} {d}");
                let last = (t - 20..=t).rev().find(|s| fits(*s, d)).unwrap();
                assert_eq!(hours.until(t, d), last, "{t} {d}");
            }
        }
    }

    #[test]
    fn working_time_and_clock_are_turned_into_each_other() {
        let hours = Hours { day: 10, open: 4 };
        for work in -9..30 {
            let first = (-60..100).find(|t| hours.worked(*t) >= work).unwrap();
            let last = (-60..100).rev().find(|t| hours.worked(*t) <= work).unwrap();
            assert_eq!(
                (hours.when_worked(work), hours.still_worked(work)),
                (first, last),
                "{work}"
            );
        }
    }
}
