//! What is to be scheduled.

use std::fmt;

use crate::hours::Hours;

/// Something that is done without a break.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Activity {
    /// How long it takes.
    pub duration: i64,
    /// How much of each resource it takes meanwhile.
    pub demand: Vec<u32>,
    /// It does not start before.
    pub not_before: i64,
    /// When it did start, where that is past: hours do not hold for it.
    pub started: Option<i64>,
    /// Whether it must be done within working hours.
    pub in_hours: bool,
}

impl Activity {
    /// One that takes so long and so much of each resource, at any time.
    pub fn new(duration: i64, demand: impl Into<Vec<u32>>) -> Self {
        Activity {
            duration,
            demand: demand.into(),
            not_before: 0,
            started: None,
            in_hours: false,
        }
    }

    /// Whether hours hold for it: not for what has started.
    pub(crate) fn keeps_hours(&self) -> bool {
        self.in_hours && self.started.is_none()
    }
}

/// `to` starts at least `least` after the start of `from`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lag {
    /// Which comes first, by number.
    pub from: usize,
    /// Which waits.
    pub to: usize,
    /// From start to start; a negative one says how much sooner it may start.
    pub least: i64,
}

/// `to` starts at most `most` after the start of `from`: a window that closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// What opens it; time zero, if nothing: a deadline.
    pub from: Option<usize>,
    /// What must start in it.
    pub to: usize,
    /// From start to start.
    pub most: i64,
}

/// Activities, waits, windows, resources and hours.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// How much there is of each resource.
    pub capacity: Vec<u32>,
    /// What is done.
    pub activities: Vec<Activity>,
    /// Waits, which always hold.
    pub lags: Vec<Lag>,
    /// Windows; which of them contradict each other is what [`Problem::conflict`] tells.
    pub windows: Vec<Window>,
    /// Working hours of the activities that need them; day and night, if not said.
    pub hours: Option<Hours>,
    /// Activities, by number, that start as early as can be, one after the other, once finish and slack are decided.
    pub early: Vec<usize>,
}

/// Why a problem is none.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fault {
    /// An activity, by number, takes less than no time.
    NegativeDuration(usize),
    /// An activity, by number, names another number of resources than there are.
    Demand(usize),
    /// A wait, by number, names an activity that is not there.
    Lag(usize),
    /// A window, by number, names an activity that is not there.
    Window(usize),
    /// What is to start early, by its place in that list, is not there.
    Early(usize),
    /// A day without working hours, or with more than it has.
    Hours,
    /// A time beyond what is counted with: 10¹² either way.
    TooLarge,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NegativeDuration(i) => write!(f, "activity {i} takes less than no time"),
            Fault::Demand(i) => write!(
                f,
                "activity {i} takes of another number of resources than there are"
            ),
            Fault::Lag(i) => write!(f, "wait {i} is for an activity that is not there"),
            Fault::Window(i) => write!(f, "window {i} is for an activity that is not there"),
            Fault::Early(i) => write!(f, "activity {i} of those that start early is not there"),
            Fault::Hours => write!(f, "working hours are part of a day"),
            Fault::TooLarge => write!(f, "times go up to 10^12"),
        }
    }
}

impl std::error::Error for Fault {}

/// Times beyond this are refused, so that sums of them stay whole numbers.
const MOST: i64 = 1_000_000_000_000;

impl Problem {
    /// `to` starts at least `least` after the end of `from`.
    #[must_use]
    pub fn after_end(&self, from: usize, to: usize, least: i64) -> Lag {
        Lag {
            from,
            to,
            least: self.activities[from].duration + least,
        }
    }

    /// `to` starts at most `most` after the end of `from`.
    #[must_use]
    pub fn within_end(&self, from: usize, to: usize, most: i64) -> Window {
        Window {
            from: Some(from),
            to,
            most: self.activities[from].duration + most,
        }
    }

    /// Refuses what is no problem. A window that closes before it opens is one, and so is an activity that takes more than
    /// there is: they have no schedule.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn check(&self) -> Result<(), Fault> {
        let n = self.activities.len();
        let fits = |t: i64| t.abs() <= MOST;
        for (i, a) in self.activities.iter().enumerate() {
            if a.duration < 0 {
                return Err(Fault::NegativeDuration(i));
            }
            if a.demand.len() != self.capacity.len() {
                return Err(Fault::Demand(i));
            }
            if !fits(a.duration) || !fits(a.not_before) || !a.started.is_none_or(fits) {
                return Err(Fault::TooLarge);
            }
        }
        if let Some(i) = self.lags.iter().position(|l| l.from >= n || l.to >= n) {
            return Err(Fault::Lag(i));
        }
        if let Some(i) = self
            .windows
            .iter()
            .position(|w| w.from.is_some_and(|f| f >= n) || w.to >= n)
        {
            return Err(Fault::Window(i));
        }
        if let Some(i) = self.early.iter().position(|i| *i >= n) {
            return Err(Fault::Early(i));
        }
        let mut times = self
            .lags
            .iter()
            .map(|l| l.least)
            .chain(self.windows.iter().map(|w| w.most));
        if !times.all(fits) {
            return Err(Fault::TooLarge);
        }
        match self.hours {
            Some(h) if h.open < 1 || h.day < h.open || !fits(h.day) => Err(Fault::Hours),
            _ => Ok(()),
        }
    }

    /// Whether these starts keep everything but the windows; and which windows they break.
    #[must_use]
    pub fn broken_by(&self, starts: &[i64]) -> (bool, Vec<usize>) {
        let end = |i: usize| starts[i] + self.activities[i].duration;
        let waits = self.lags.iter().all(|l| starts[l.to] >= starts[l.from] + l.least);
        let own = self.activities.iter().zip(starts).all(|(a, s)| match a.started {
            Some(t) => *s == t,
            None => {
                *s >= a.not_before && (!a.in_hours || self.hours.is_none_or(|h| h.from(*s, a.duration) == *s))
            }
        });
        let fits = (0..starts.len()).all(|k| {
            (0..self.capacity.len()).all(|r| {
                let at = starts[k];
                let running = (0..starts.len()).filter(|i| starts[*i] <= at && at < end(*i));
                let taken: u64 = running.map(|i| u64::from(self.activities[i].demand[r])).sum();
                taken <= u64::from(self.capacity[r])
            })
        });
        let broken = (0..self.windows.len()).filter(|w| self.left_of(*w, starts) < 0);
        (waits && own && fits, broken.collect())
    }

    /// What is left of a window when what must start in it does.
    #[must_use]
    pub fn left_of(&self, window: usize, starts: &[i64]) -> i64 {
        let w = &self.windows[window];
        w.from.map_or(0, |f| starts[f]) + w.most - starts[w.to]
    }

    /// When everything is done.
    #[must_use]
    pub fn finish(&self, starts: &[i64]) -> i64 {
        let ends = self.activities.iter().zip(starts).map(|(a, s)| s + a.duration);
        ends.max().unwrap_or(0)
    }

    /// By when a schedule without idle stretches is done, if there is a schedule at all: were nothing under way and nothing
    /// waited for over a whole day, all that is later could come a day earlier. (Without hours, any such moment.)
    pub(crate) fn horizon(&self) -> i64 {
        let mut longest: Vec<i64> = self.activities.iter().map(|a| a.duration).collect();
        for l in &self.lags {
            longest[l.from] = longest[l.from].max(l.least);
        }
        // A window that closes before what opens it is a wait the other way round.
        for w in self.windows.iter() {
            longest[w.to] = longest[w.to].max(-w.most);
        }
        let day = self.hours.map_or(0, |h| h.day);
        let latest = self
            .activities
            .iter()
            .map(|a| a.started.unwrap_or(0).max(a.not_before));
        latest.max().unwrap_or(0).max(0) + longest.iter().map(|t| t + day).sum::<i64>() + day
    }
}
