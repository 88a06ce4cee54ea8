//! Exact scheduling of a small workshop's day.
//!
//! The problem is what the literature calls project scheduling with limited resources and minimum and maximum time lags
//! (RCPSP/max; Neumann, Schwindt, Zimmermann, *Project Scheduling with Time Windows and Scarce Resources*, 2nd ed.,
//! Springer 2003, doi:10.1007/978-3-540-24800-2): activities that take so long and so many workers, waits between their
//! starts, windows that close, and hours in which hands work. Times are whole numbers of any one unit.
//!
//! What is answered is proved: the earliest finish ([`Problem::solve`]), or that there is none; which windows contradict
//! each other ([`Problem::conflict`]); how late an activity may start ([`Problem::latest_starts`]). Where a budget ends the
//! search, the answer says that it is not proved, with the bound that is.
//!
//! How: all waits are differences of starts, so the least starts that satisfy them are found without search
//! (`network`); resources push starts later and ends earlier (`resources`); where the least starts still use
//! more of a resource than there is, some two of the activities that meet there must follow one another, and the search
//! tries both that they do and that they do not (`search`). That no set of activities which meets and is too much may be
//! left without two that follow one another is the completeness argument of Laborie, *Complete MCS-based search*,
//! IJCAI 2005, pages 181-186. The search keeps no random numbers and no clock: the same problem and budget give the same answer.

mod conflict;
mod hours;
mod latest;
mod list;
mod network;
mod problem;
mod resources;
mod search;
mod solve;

pub use conflict::{Conflict, Relaxed};
pub use hours::Hours;
pub use latest::Latest;
pub use problem::{Activity, Fault, Lag, Problem, Window};
pub use solve::{Answer, Budget, Proof, Schedule, Unproved};
