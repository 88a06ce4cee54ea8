//! Several castings from one mould, one after another.

use super::casting::Casting;
use super::clock::Clock;
use super::job::Job;
use super::schedule::Slips;
use super::steps::{self, Work, WorkStep};
use super::windows::OrderOfWork;
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::Quantity;

/// Several castings from one mould, put on the clock.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct SeriesOfWork {
    /// Each casting, in order.
    pub castings: Vec<CastingInSeries>,
    /// When the last of all steps is done.
    pub finish: Clock,
    /// How many have left the mould by the hour that the series gives; absent, where it gives none.
    pub out_in_time: Option<usize>,
    /// What is shown of the order of all their steps.
    pub order: OrderOfWork,
}

/// A casting of a series.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CastingInSeries {
    /// From 1.
    pub number: usize,
    /// When its first step starts; of a further casting that may be the cutting of its glass, before the mould is free.
    pub begins: Clock,
    /// When its mould is closed, if it is.
    pub closed: Option<Clock>,
    /// When it has left the mould, which is then free for the next.
    pub demoulded: Clock,
    /// When its last step is done, a post-cure and its cooling among them.
    pub done: Clock,
    /// Its steps, numbered through the series; its cups are those of the plan, mixed anew.
    pub steps: Vec<WorkStep>,
}

#[questions(SERIES)]
impl Casting {
    /// Lays out a series of castings from this mould, as [`Casting::day_of_work`] lays out one: when each leaves the mould, how
    /// many do in time, and the steps of all.
    ///
    /// The mould is free for the next casting when the last has left it; that begins with cleaning and with the coats of release
    /// agent that the series gives. Who has hands free works on what the last casting takes outside the mould meanwhile, or cuts
    /// the glass of the next. Up to 120 steps in all the order is proved, done as early as can be, then each casting closed and
    /// demoulded as early as can be; more are laid out by a list schedule. All days are as warm as the first: gel times, cups and
    /// waits are the plan's. Not modelled: a second mould, an oven that holds one part only.
    ///
    /// # Errors
    /// As [`Casting::day_of_work`]; [`ErrorKind::Document`](crate::ErrorKind::Document) for a casting without a `series`.
    #[question("plan.series", long)]
    pub fn series_of_work(&self, cancel: Cancel<'_>) -> Result<SeriesOfWork> {
        cancel.check()?;
        self.check()?;
        let catalogue = self.catalogue()?;
        let tested = self.as_tested()?.casting;
        let job = Job::new(&tested, &catalogue)?;
        of(&job, cancel)?.ok_or_else(|| {
            Error::new(crate::error::ErrorKind::Document, "series")
                .with_value("not given")
                .with_way_out("say how many castings the mould is to make: series = { castings = 3 }")
        })
    }
}

/// The series of a casting, where it asks for one.
pub(super) fn of(job: &Job, cancel: Cancel<'_>) -> Result<Option<SeriesOfWork>> {
    let Some(series) = &job.casting.series else {
        return Ok(None);
    };
    let mut again = job.casting.clone();
    if let Some(release) = &series.release {
        again.mould.release.clone_from(release);
    }
    let next = Job::new(&again, job.catalogue)?;
    let mut cups = job.cups()?;
    let batches = job.batches(&cups)?;
    // The cups are called what the plan calls them.
    steps::timetable(job, &mut cups, &batches, Slips::Left, cancel)?;
    let castings = usize::from(series.castings);
    let laid = steps::series(job, &next, castings, &cups, &batches, cancel).map_err(|e| {
        let of_series = e.field().strip_prefix("mould.").map(|f| format!("series.{f}"));
        match of_series {
            Some(field) => e.at(field),
            None => e,
        }
    })?;
    let later = |a: Clock, b: Clock| if b.since(a).si() > 0.0 { b } else { a };
    let start = job.casting.shop.start;
    let castings: Vec<CastingInSeries> = laid
        .castings
        .into_iter()
        .enumerate()
        .map(|(n, (steps, closed))| CastingInSeries {
            number: n + 1,
            begins: steps.first().map_or(start, |s| s.start),
            closed,
            demoulded: steps
                .iter()
                .find(|s| s.work == Work::Demould)
                .map_or(start, |s| s.end),
            done: steps.iter().map(|s| s.until.unwrap_or(s.end)).fold(start, later),
            steps,
        })
        .collect();
    let in_time = |until: Clock| {
        let out = castings.iter().filter(|c| until.since(c.demoulded).si() >= 0.0);
        out.count()
    };
    Ok(Some(SeriesOfWork {
        finish: castings.iter().map(|c| c.done).fold(start, later),
        out_in_time: series.until.map(in_time),
        castings,
        order: laid.order,
    }))
}
