//! The temperature a part goes through: straight lines between points in time, then held.

use crate::error::{Error, Result, finite};
use crate::noun::{Noun, check};
use crate::quantity::{Quantity, ThermodynamicTemperature, Time, show};

/// Most points of a schedule that its words tell one by one.
const MOST_TOLD: usize = 8;

/// A point of a [`Schedule`].
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct SchedulePoint {
    /// Time from mixing.
    pub time: Time,
    /// Temperature of the part at that time.
    #[noun(within = crate::ranges::CURE_TEMPERATURE)]
    pub temperature: ThermodynamicTemperature,
}

/// Temperature against time: straight between the points, held before the first and after the last.
///
/// In a document a list of points, the first at time zero; one point is a constant temperature.
#[derive(Clone, PartialEq, Noun)]
#[noun(via = "Vec<SchedulePoint>")]
pub struct Schedule {
    points: Vec<SchedulePoint>,
}

impl TryFrom<Vec<SchedulePoint>> for Schedule {
    type Error = Error;
    fn try_from(points: Vec<SchedulePoint>) -> Result<Self> {
        Schedule::build(points)
    }
}

impl From<Schedule> for Vec<SchedulePoint> {
    fn from(s: Schedule) -> Self {
        s.points
    }
}

impl Schedule {
    /// From its points.
    ///
    /// # Errors
    /// `OutOfRange` for no point or a temperature outside -50 °C to 400 °C; `Inconsistent` where the first time is
    /// not zero or a time does not follow the one before.
    pub fn new(points: Vec<SchedulePoint>) -> Result<Self> {
        Schedule::build(points).map_err(|e| e.within("schedule"))
    }

    fn build(points: Vec<SchedulePoint>) -> Result<Self> {
        if points.is_empty() {
            return Err(Error::out_of_range(
                "",
                "no point",
                "one point or more",
                "give the temperature at time '0 s'",
            ));
        }
        check(&points)?;
        for (i, p) in points.iter().enumerate() {
            let follows = if i == 0 {
                p.time.si() == 0.0
            } else {
                p.time.si() > points[i - 1].time.si()
            };
            if !follows {
                return Err(Error::inconsistent(
                    "time",
                    show(p.time),
                    if i == 0 {
                        "0 s for the first point".to_owned()
                    } else {
                        format!("after {}", show(points[i - 1].time))
                    },
                    "give the points in the order of time, the first at '0 s'; a jump is two points a second apart",
                )
                .within(format_args!("[{i}]")));
            }
        }
        Ok(Schedule { points })
    }

    /// One temperature throughout.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn isothermal(temperature: ThermodynamicTemperature) -> Result<Self> {
        Schedule::new(vec![SchedulePoint {
            time: Time::from_si(0.0)?,
            temperature,
        }])
    }

    /// The points.
    pub fn points(&self) -> &[SchedulePoint] {
        &self.points
    }

    /// Temperature at a time.
    ///
    /// # Errors
    /// `NotFinite` for a time that is not finite.
    pub fn at(&self, time: Time) -> Result<ThermodynamicTemperature> {
        ThermodynamicTemperature::from_si(self.kelvin(finite("time", time.si())?).0)
    }

    /// Time of the last point.
    pub fn end(&self) -> Time {
        self.points[self.points.len() - 1].time
    }

    /// Coldest and hottest over the points.
    pub fn range(&self) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
        let first = self.points[0].temperature;
        self.points.iter().fold((first, first), |(a, b), p| {
            (
                if p.temperature < a { p.temperature } else { a },
                if p.temperature > b { p.temperature } else { b },
            )
        })
    }

    /// Temperature in K and its slope in K/s, from the right of a corner.
    pub(crate) fn kelvin(&self, t: f64) -> (f64, f64) {
        let p = &self.points;
        let i = p.partition_point(|q| q.time.si() <= t);
        if i == 0 {
            (p[0].temperature.si(), 0.0)
        } else if i == p.len() {
            (p[i - 1].temperature.si(), 0.0)
        } else {
            let (a, b) = (&p[i - 1], &p[i]);
            let slope = (b.temperature.si() - a.temperature.si()) / (b.time.si() - a.time.si());
            (a.temperature.si() + slope * (t - a.time.si()), slope)
        }
    }

    pub(crate) fn corners(&self) -> Vec<f64> {
        self.points.iter().map(|p| p.time.si()).collect()
    }

    pub(crate) fn describe(&self) -> String {
        if let [p] = self.points.as_slice() {
            return format!("{} throughout", show(p.temperature));
        }
        let told = |p: &SchedulePoint| format!("{} at {}", show(p.temperature), show(p.time));
        if self.points.len() <= MOST_TOLD {
            return self.points.iter().map(told).collect::<Vec<_>>().join(", ");
        }
        // What a wall went through has hundreds: where it begins and ends, and how hot and how cold it gets between.
        let by = |a: &&SchedulePoint, b: &&SchedulePoint| a.temperature.si().total_cmp(&b.temperature.si());
        let mut picked: Vec<&SchedulePoint> = [self.points.first(), self.points.last()]
            .into_iter()
            .chain([self.points.iter().max_by(by), self.points.iter().min_by(by)])
            .flatten()
            .collect();
        picked.sort_by(|a, b| a.time.si().total_cmp(&b.time.si()));
        picked.dedup_by_key(|p| p.time.si());
        let told: Vec<String> = picked.into_iter().map(told).collect();
        format!("{} (of {} points)", told.join(", "), self.points.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Analytic: from 20 °C up to 60 °C in ten minutes, and down to 25 °C in twenty more.
    #[test]
    fn of_many_points_the_ends_and_the_extremes_are_told() {
        let warm = |i: i32| f64::from((20 * 4 + 16 * i).min(60 * 4 - 7 * (i - 10))) / 4.0;
        let kelvin = |i: i32| 273.15 + warm(i);
        let points = (0..=30).map(|i| SchedulePoint {
            time: Time::from_si(60.0 * f64::from(i)).unwrap(),
            temperature: ThermodynamicTemperature::from_si(kelvin(i)).unwrap(),
        });
        let told = Schedule::new(points.collect()).unwrap().describe();
        assert_eq!(
            told,
            "20 °C at 0 s, 60 °C at 10 min, 25 °C at 30 min (of 31 points)"
        );
    }
}
