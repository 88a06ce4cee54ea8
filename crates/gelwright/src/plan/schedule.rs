//! One pair of hands, many waits: in which order and when everything is done.

use uom::si::time::second;

use crate::quantity::{Quantity, Time};

/// Something the hands do.
#[derive(Debug, Clone)]
pub(super) struct Task {
    /// Time of the hands.
    pub(super) hands: Time,
    /// What must be done before, and how long after that.
    pub(super) after: Vec<After>,
}

/// A task waits for another.
#[derive(Debug, Clone)]
pub(super) struct After {
    pub(super) task: usize,
    /// Not sooner than this after its end.
    pub(super) least: Time,
    /// Not later than this after its end.
    pub(super) most: Option<Time>,
}

/// When a task starts and ends, counted from the start of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slot {
    pub(super) start: Time,
    pub(super) end: Time,
}

/// The hours of work: from the start of the first day, so long each day.
#[derive(Debug, Clone, Copy)]
pub(super) struct Workday {
    /// Seconds of work a day; a day and a night if it is 86 400.
    pub(super) length: f64,
}

impl Workday {
    const DAY: f64 = 86_400.0;

    /// The first moment from `t` on at which a task of so many seconds can start and be done before evening; one
    /// that is longer than the day starts in the morning.
    fn admit(self, t: f64, hands: f64) -> f64 {
        let morning = (t / Self::DAY).floor() * Self::DAY;
        if t + hands <= morning + self.length || (t == morning && hands > self.length) {
            t
        } else {
            morning + Self::DAY
        }
    }
}

/// Schedules the tasks for one pair of hands: whatever can start first does; of those that can start at once,
/// the one whose latest start comes first, then the first in the list.
///
/// A list schedule: no promise of the shortest day, but no idle wait while something can be done. A task must
/// only wait for earlier ones of the list.
pub(super) fn schedule(tasks: &[Task], day: Workday) -> Vec<Slot> {
    let mut slots: Vec<Option<(f64, f64)>> = vec![None; tasks.len()];
    let mut now = 0.0f64;
    for _ in 0..tasks.len() {
        let mut best: Option<(f64, f64, usize)> = None;
        for (i, task) in tasks.iter().enumerate() {
            if slots[i].is_some() {
                continue;
            }
            let ends: Option<Vec<f64>> = task.after.iter().map(|a| slots[a.task].map(|s| s.1)).collect();
            let Some(ends) = ends else { continue };
            let ready = ends
                .iter()
                .zip(&task.after)
                .map(|(e, a)| e + a.least.si())
                .fold(0.0, f64::max);
            let latest = ends
                .iter()
                .zip(&task.after)
                .filter_map(|(e, a)| a.most.map(|m| e + m.si()))
                .fold(f64::INFINITY, f64::min);
            let candidate = (day.admit(ready.max(now), task.hands.si()), latest, i);
            if best.is_none_or(|b| (candidate.0, candidate.1) < (b.0, b.1)) {
                best = Some(candidate);
            }
        }
        let Some((start, _, i)) = best else { break };
        let end = start + tasks[i].hands.si();
        slots[i] = Some((start, end));
        now = end;
    }
    let time = |s: f64| Time::new::<second>(s);
    // Every task waits for earlier ones only, so each has its slot.
    slots
        .into_iter()
        .map(|s| {
            s.map_or(
                Slot {
                    start: time(0.0),
                    end: time(0.0),
                },
                |(a, b)| Slot {
                    start: time(a),
                    end: time(b),
                },
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn task(minutes: f64, after: &[(usize, f64)]) -> Task {
        let t = |m: f64| Time::new::<second>(60.0 * m);
        Task {
            hands: t(minutes),
            after: after
                .iter()
                .map(|&(task, m)| After {
                    task,
                    least: t(m),
                    most: None,
                })
                .collect(),
        }
    }

    #[test]
    fn waits_are_filled_with_other_work_and_hands_do_one_thing_at_a_time() {
        // Coat A, its laminate an hour later, coat B: B is brushed while A tacks.
        let slots = schedule(
            &[task(10.0, &[]), task(20.0, &[(0, 60.0)]), task(10.0, &[])],
            Workday { length: 86_400.0 },
        );
        let m = |t: Time| t.si() / 60.0;
        assert_eq!(
            (m(slots[0].start), m(slots[2].start), m(slots[1].start)),
            (0.0, 10.0, 70.0)
        );
    }
}
