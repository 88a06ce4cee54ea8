//! Few pairs of hands, many waits: in which order, when everything is done, and how late each thing may start.

use gelwright_schedule::{Activity, Answer, Budget, Hours, Latest, Problem, Proof, Unproved};
use uom::si::time::second;

use super::windows::{OrderProof, WindowKind};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::quantity::{Quantity, Time};

/// Something the hands do.
#[derive(Debug, Clone)]
pub(super) struct Task {
    /// Time of the hands.
    pub(super) hands: Time,
    /// What must be done before, and how long after that.
    pub(super) after: Vec<After>,
    /// When it was done, where it is.
    pub(super) done: Option<Slot>,
}

/// A task waits for another.
#[derive(Debug, Clone)]
pub(super) struct After {
    pub(super) task: usize,
    /// Not sooner than this after its end.
    pub(super) least: Time,
    /// The window that it opens.
    pub(super) closes: Option<Closes>,
}

/// A window that closes: the task starts not later than so long after the end of the one that it waits for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Closes {
    pub(super) most: Time,
    pub(super) kind: WindowKind,
}

/// When a task starts and ends, counted from the start of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slot {
    pub(super) start: Time,
    pub(super) end: Time,
}

/// Who works, and when: from the start of the first day, so long each day.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crew {
    pub(super) workers: u32,
    /// Of work a day; a day and a night if it is 24 hours.
    pub(super) day: Time,
    /// Nothing that is not done starts before.
    pub(super) from: Time,
}

/// Whether it is told how late each task may start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slips {
    Told,
    Left,
}

/// The order of work.
pub(super) struct Day {
    pub(super) slots: Vec<Slot>,
    pub(super) proof: OrderProof,
    /// No order that keeps every window, or breaks no more than this one, is done before.
    pub(super) bound: Time,
    /// All windows: the task that waits, and which of its waits it is.
    pub(super) windows: Vec<(usize, usize)>,
    /// What is left of each.
    pub(super) left: Vec<Time>,
    /// Windows that can not all be kept, one set after the other.
    pub(super) conflicts: Vec<Vec<usize>>,
    /// For each task: the last start that keeps every window, and the windows that break if it is later.
    pub(super) latest: Vec<(Option<Time>, Vec<usize>)>,
}

/// A day of more tasks than this is laid out by a list schedule: to prove it would take seconds.
const MOST_PROVED: usize = 120;
/// Decisions tried before an order is given as not proved; the demo takes some tens.
const NODES: u64 = 4000;
/// Decisions tried for each change of a day that breaks a window.
const NODES_OF_A_CHANGE: u64 = 500;
/// More slack than this before the tightest window is not sought, s: common practice, no source.
const ENOUGH: i64 = 3600;
const DAY: i64 = 86_400;

/// Lays out the tasks: done as early as can be, then with the most left before the tightest window, then with those that
/// are named `early` as early as can be. Where no order keeps every window, the fewest are widened, each by the least.
pub(super) fn schedule(
    tasks: &[Task],
    early: &[usize],
    crew: Crew,
    slips: Slips,
    cancel: Cancel<'_>,
) -> Result<Day> {
    let (mut problem, windows) = problem(tasks, crew);
    problem.early = early.to_vec();
    let stop = || cancel.check().is_err();
    let found = search(&problem, &stop);
    cancel.check()?;
    let listed = || problem.list_schedule().unwrap_or_else(|| vec![0; tasks.len()]);
    let starts = found.starts.unwrap_or_else(listed);
    let latest = if slips == Slips::Left || tasks.len() > MOST_PROVED {
        vec![]
    } else {
        let kept = found.widened.as_ref().unwrap_or(&problem);
        kept.latest_starts(&starts, &mut Budget::until(NODES, &stop))
    };
    cancel.check()?;
    let left = (0..windows.len())
        .map(|w| seconds(problem.left_of(w, &starts)))
        .collect();
    let latest_of = |l: Latest| (l.start.map(seconds), l.breaks);
    let mut latest: Vec<_> = latest.into_iter().map(latest_of).collect();
    latest.resize(tasks.len(), (None, vec![]));
    Ok(Day {
        slots: (0..tasks.len())
            .map(|i| Slot {
                start: seconds(starts[i]),
                end: seconds(starts[i] + problem.activities[i].duration),
            })
            .collect(),
        proof: found.proof,
        bound: seconds(found.bound),
        windows,
        left,
        conflicts: found.conflicts,
        latest,
    })
}

fn seconds(t: i64) -> Time {
    Time::new::<second>(t as f64)
}

struct Search {
    starts: Option<Vec<i64>>,
    proof: OrderProof,
    bound: i64,
    conflicts: Vec<Vec<usize>>,
    /// The problem with its windows widened, where they had to be.
    widened: Option<Problem>,
}

fn search(problem: &Problem, stop: &dyn Fn() -> bool) -> Search {
    let not_proved = |bound| Search {
        starts: None,
        proof: OrderProof::NotProved,
        bound,
        conflicts: vec![],
        widened: None,
    };
    if problem.activities.len() > MOST_PROVED {
        return not_proved(problem.bound());
    }
    // What the tasks of a casting make is a problem.
    let Ok(answer) = problem.solve(ENOUGH, &mut Budget::until(NODES, stop)) else {
        return not_proved(0);
    };
    let starts = |a: Answer| a.schedule.map(|s| s.starts);
    let bound = answer.bound;
    match answer.proof {
        Proof::Best => Search {
            starts: starts(answer),
            proof: OrderProof::Best,
            ..not_proved(bound)
        },
        Proof::NotProved(what) => Search {
            starts: starts(answer),
            proof: match what {
                Unproved::Slack | Unproved::Early => OrderProof::Earliest,
                _ => OrderProof::NotProved,
            },
            ..not_proved(bound)
        },
        Proof::Impossible => match problem.relax(ENOUGH, &mut Budget::until(NODES, stop)) {
            Ok(Some(relaxed)) => Search {
                bound: relaxed.answer.bound,
                starts: starts(relaxed.answer),
                proof: OrderProof::WindowsBroken,
                conflicts: relaxed.conflicts,
                widened: Some(relaxed.problem),
            },
            _ => Search {
                proof: OrderProof::WindowsBroken,
                ..not_proved(bound)
            },
        },
    }
}

/// When the tasks are done, in an order that keeps every window; nothing, where none is found.
pub(super) fn keeping_windows(tasks: &[Task], crew: Crew, cancel: Cancel<'_>) -> Result<Option<Time>> {
    let (problem, _) = problem(tasks, crew);
    if tasks.len() > MOST_PROVED {
        return Ok(None);
    }
    let stop = || cancel.check().is_err();
    let found = problem.solve(0, &mut Budget::until(NODES_OF_A_CHANGE, &stop));
    cancel.check()?;
    Ok(found.ok().and_then(|a| a.schedule).map(|s| seconds(s.finish)))
}

/// The tasks as another solver gets them.
#[cfg(all(test, feature = "proptest"))]
pub(super) fn as_problem(tasks: &[Task], crew: Crew) -> Problem {
    problem(tasks, crew).0
}

/// In whole seconds: work and waits rounded up, windows down.
fn problem(tasks: &[Task], crew: Crew) -> (Problem, Vec<(usize, usize)>) {
    let day = (crew.day.si() as i64).clamp(1, DAY);
    let mut problem = Problem {
        capacity: vec![crew.workers],
        hours: (day < DAY).then_some(Hours { day: DAY, open: day }),
        ..Problem::default()
    };
    let up = |t: Time| t.si().ceil() as i64;
    let whole = |t: Time| t.si().round() as i64;
    problem.activities = tasks
        .iter()
        .map(|t| match t.done {
            // Whose hands it took, and at which hour, is past.
            Some(slot) => Activity {
                started: Some(whole(slot.start)),
                ..Activity::new(whole(slot.end) - whole(slot.start), [0])
            },
            None => Activity {
                in_hours: true,
                not_before: up(crew.from),
                ..Activity::new(up(t.hands), [1])
            },
        })
        .collect();
    let mut windows = vec![];
    for (i, task) in tasks.iter().enumerate().filter(|(_, t)| t.done.is_none()) {
        for (k, a) in task.after.iter().enumerate() {
            problem.lags.push(problem.after_end(a.task, i, up(a.least)));
            if let Some(closes) = a.closes {
                problem
                    .windows
                    .push(problem.within_end(a.task, i, closes.most.si().floor() as i64));
                windows.push((i, k));
            }
        }
    }
    (problem, windows)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn task(minutes: f64, after: &[(usize, f64, Option<f64>)]) -> Task {
        let t = |m: f64| Time::new::<second>(60.0 * m);
        Task {
            hands: t(minutes),
            after: after
                .iter()
                .map(|&(task, m, most)| After {
                    task,
                    least: t(m),
                    closes: most.map(|m| Closes {
                        most: t(m),
                        kind: WindowKind::BackUp,
                    }),
                })
                .collect(),
            done: None,
        }
    }
    fn day(tasks: &[Task], workers: u32) -> Day {
        let crew = Crew {
            workers,
            day: seconds(DAY),
            from: Time::default(),
        };
        schedule(tasks, &[], crew, Slips::Told, Cancel::NEVER).unwrap()
    }
    fn starts(day: &Day) -> Vec<f64> {
        day.slots.iter().map(|s| s.start.si() / 60.0).collect()
    }

    #[test]
    fn waits_are_filled_with_other_work_and_hands_do_one_thing_at_a_time() {
        // Coat A, its laminate an hour later, coat B: B is brushed while A tacks.
        let tasks = [task(10.0, &[]), task(20.0, &[(0, 60.0, None)]), task(10.0, &[])];
        assert_eq!(starts(&day(&tasks, 1)), [0.0, 70.0, 10.0]);
    }

    /// Two gel coats and one person, as in gelwright-schedule's published tests: with the window of the second laminate a
    /// minute too short no order will do, and a second person mends it.
    #[test]
    fn windows_that_contradict_each_other_are_named_and_the_day_is_given_all_the_same() {
        let within = |b: f64| {
            let to_close = |end: f64| Some(end - 25.0 - 6.0);
            [
                task(10.0, &[]),
                task(10.0, &[]),
                task(25.0, &[(0, 60.0, Some(180.0))]),
                task(25.0, &[(1, 60.0, Some(180.0))]),
                task(8.0, &[(2, 0.0, None), (3, 0.0, None)]),
                task(
                    6.0,
                    &[
                        (4, 0.0, Some(6.0)),
                        (2, 0.0, to_close(45.0)),
                        (3, 0.0, to_close(b)),
                    ],
                ),
            ]
        };
        let kept = day(&within(64.0), 1);
        assert_eq!(
            (kept.proof, kept.slots[5].end.si()),
            (OrderProof::Best, 134.0 * 60.0)
        );
        let broken = day(&within(63.0), 1);
        assert_eq!(
            (broken.proof, &broken.conflicts),
            (OrderProof::WindowsBroken, &vec![vec![3, 4]])
        );
        assert_eq!(broken.left[4].si(), -60.0);
        assert_eq!(day(&within(63.0), 2).proof, OrderProof::Best);
        // The laminate on A must follow at once, or it is too early for closing: nothing may slip.
        assert_eq!(kept.latest[5].0, Some(kept.slots[5].start));
        assert!(!kept.latest[5].1.is_empty());
    }
}
