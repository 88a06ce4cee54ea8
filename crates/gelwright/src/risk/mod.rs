//! How likely a casting comes out: its plan, drawn as it may turn out.
//!
//! A plan is made at the values that were given. What comes true is a little off: the thermometer, each dose as it is dropped or
//! weighed, the resin's own law as far as the evidence leaves it open, how thick a hand lays a layer, how fast it works. A draw
//! takes one number for each of these (quasi-random, each a pure function of seed and draw), keeps cups and order of work
//! as planned, and goes through the plan again: gel times, timetable, walls, limits.
//!
//! * A part is **spoiled** where a limit of severity stop is broken, where a zone has not gelled when it is demoulded, and where the
//!   draw can not be planned at all: a run that fails counts as failed.
//! * [`Risk`] tells the shares with their intervals, each limit's, percentiles of gel times, peaks, cures and hours, and by
//!   total Sobol' indices what ruins it.
//! * [`Casting::likeliest`](crate::plan::Casting::likeliest) tries doses, thicknesses or hours of starting with the same draws.
//!
//! | left open | one standard deviation | source |
//! |---|---|---|
//! | temperature of air, resin and mould, alike | the thermometer's; within 1 K where none is told | the bench; common practice, no source |
//! | each dose | as the bench measures it; what is dropped shares the mean drop | `mix::Bench` |
//! | each resin's law, with heat and film of a cup | as its evidence leaves it open | `calibrate` |
//! | gel time without a law | the table's band as 95 % | `cure::gel_table` |
//! | glass transition of what cures | its catalogue range as two | `cure` |
//! | thickness of each layer, by hand | 15 % | common practice, no source |
//! | pace of the hands | 20 % | common practice, no source |
//! | films in still air | as cups' | `calibrate` |
//!
//! Not modelled: humidity and prices; a mistake (a forgotten catalyst, a slip of ten); cups of one recipe that are off each by
//! itself, since they are off alike here; a hand that sees a cup stiffen and stops; the casting's own `cure.demould` and
//! `cure.demould_by`, in whose stead the limit on the degree of cure is held; hiding and strength at another thickness of the
//! gel coat. Where the order of work leaves a choice it is chosen anew in each draw.
//!
//! The intervals are those of independent draws. Quasi-random ones scatter less: the intervals are a little too wide.

mod answer;
mod draws;
mod likeliest;
mod spreads;
#[cfg(test)]
mod tests;

pub use answer::{LimitRisk, Percentile, Risk, RiskDriver, RiskInput, RiskNumber};
pub use draws::{DrawRow, DrawnLimit, RiskDraws};
pub use likeliest::{Likeliest, LikeliestTry, WhatToTry};
pub use spreads::{Correlated, RiskSpreads};

#[cfg(feature = "door")]
use crate::plan::Casting;
#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Casting::RISK,
    Casting::TRYING,
    RiskDraws::GOING_ON,
    RiskDraws::SAYING,
];
