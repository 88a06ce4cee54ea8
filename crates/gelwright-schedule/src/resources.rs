//! What resources say of starts: who can not come before whom, what is always under way, how much work fits between.

use crate::hours::Hours;
use crate::network::{Contradiction, Holds, NONE, Network};
use crate::problem::Problem;

/// Rounds after which what follows is left to the next decision; all published instances are proved with it.
const ROUNDS: usize = 60;

/// What of a problem the search looks at again and again.
pub(crate) struct Resources<'p> {
    pub(crate) problem: &'p Problem,
    pub(crate) duration: Vec<i64>,
    /// Pairs that can not be under way together.
    pub(crate) apart: Vec<(usize, usize)>,
    /// For each resource: who takes of it.
    users: Vec<Vec<usize>>,
    /// Sets of which no two are ever under way together, with the hours that all of them keep.
    alone: Vec<(Vec<usize>, Option<Hours>)>,
}

impl<'p> Resources<'p> {
    pub(crate) fn new(problem: &'p Problem) -> Self {
        let all = &problem.activities;
        let duration: Vec<i64> = all.iter().map(|a| a.duration).collect();
        let users: Vec<Vec<usize>> = (0..problem.capacity.len())
            .map(|r| {
                (0..all.len())
                    .filter(|i| all[*i].demand[r] > 0 && duration[*i] > 0)
                    .collect()
            })
            .collect();
        let over = |i: usize, j: usize, r: usize| {
            u64::from(all[i].demand[r]) + u64::from(all[j].demand[r]) > u64::from(problem.capacity[r])
        };
        let mut apart = vec![];
        for i in 0..all.len() {
            for j in i + 1..all.len() {
                if duration[i] > 0 && duration[j] > 0 && (0..users.len()).any(|r| over(i, j, r)) {
                    apart.push((i, j));
                }
            }
        }
        let alone = users.iter().enumerate().filter_map(|(r, of)| {
            // Of those that take exactly half, one may stand beside the larger ones.
            let mut set: Vec<usize> = of.iter().copied().filter(|i| over(*i, *i, r)).collect();
            let more = of
                .iter()
                .copied()
                .find(|i| !set.contains(i) && set.iter().all(|j| over(*i, *j, r)));
            set.extend(more);
            (set.len() > 1).then(|| (set.clone(), hours_of(problem, &set)))
        });
        let alone = alone.collect();
        Resources {
            problem,
            duration,
            apart,
            users,
            alone,
        }
    }

    /// Who takes of a resource.
    pub(crate) fn users(&self, resource: usize) -> &[usize] {
        &self.users[resource]
    }

    fn of_hours(&self, i: usize) -> Option<Hours> {
        self.problem
            .hours
            .filter(|_| self.problem.activities[i].keeps_hours())
    }

    /// All that follows, until nothing more does, or for [`ROUNDS`]: two sets that push each other on second by second would
    /// take days of them, and a decision settles sooner what they find out. What has been found so far holds all the same, and
    /// the starts keep all differences and hours whenever it ends.
    pub(crate) fn settle(&self, network: &mut Network) -> Holds {
        let forwards = |i: usize, t: i64| self.of_hours(i).map_or(t, |h| h.from(t, self.duration[i]));
        let backwards = |i: usize, t: i64| self.of_hours(i).map_or(t, |h| h.until(t, self.duration[i]));
        for _ in 0..ROUNDS {
            network.settle(&forwards, &backwards)?;
            network.take_changed();
            self.pairs(network)?;
            if network.take_changed() {
                continue;
            }
            for (r, users) in self.users.iter().enumerate() {
                self.always_under_way(r, users, network)?;
            }
            if network.take_changed() {
                continue;
            }
            for (set, hours) in &self.alone {
                self.one_after_another(set, *hours, network)?;
            }
            for (r, users) in self.users.iter().enumerate() {
                self.work_between(r, users, network)?;
            }
            if !network.take_changed() {
                return Ok(());
            }
        }
        network.settle(&forwards, &backwards)
    }

    /// Whether `i` can be over before `j` starts.
    pub(crate) fn can_precede(&self, i: usize, j: usize, network: &Network) -> bool {
        let back = network.least(j, i);
        (back <= NONE || back <= -self.duration[i]) && network.first(i) + self.duration[i] <= network.last(j)
    }

    /// Of two that can not be under way together, one that can not come first comes second.
    fn pairs(&self, network: &mut Network) -> Holds {
        for &(i, j) in &self.apart {
            if network.least(i, j) >= self.duration[i] || network.least(j, i) >= self.duration[j] {
                continue;
            }
            match (self.can_precede(i, j, network), self.can_precede(j, i, network)) {
                (true, true) => {}
                (true, false) => network.lag(i, j, self.duration[i])?,
                (false, true) => network.lag(j, i, self.duration[j])?,
                (false, false) => return Err(Contradiction),
            }
        }
        Ok(())
    }

    /// What is under way whenever it starts leaves less for the others.
    fn always_under_way(&self, r: usize, users: &[usize], network: &mut Network) -> Holds {
        let all = &self.problem.activities;
        let capacity = u64::from(self.problem.capacity[r]);
        // From the last start to the first end, and how much of it.
        let mut parts: Vec<(i64, i64, usize, u64)> = Vec::with_capacity(users.len());
        for &i in users {
            let (from, to) = (network.last(i), network.first(i) + self.duration[i]);
            if from < to {
                parts.push((from, to, i, u64::from(all[i].demand[r])));
            }
        }
        if parts.is_empty() {
            return Ok(());
        }
        parts.sort_unstable();
        let there = |t: i64, but: usize| parts.iter().filter(move |p| p.2 != but && p.0 <= t && t < p.1);
        let begun = |from: i64, to: i64| parts.iter().map(|p| p.0).filter(move |t| from < *t && *t < to);
        for &(from, to, i, demand) in &parts {
            let room = |t: i64| there(t, i).map(|p| p.3).sum::<u64>() + demand <= capacity;
            if !(room(from) && begun(from, to).all(room)) {
                return Err(Contradiction);
            }
        }
        for &i in users {
            let (demand, duration) = (u64::from(all[i].demand[r]), self.duration[i]);
            let others = parts.iter().filter(|p| p.2 != i).map(|p| p.3);
            if demand + others.sum::<u64>() <= capacity {
                continue;
            }
            // The most that is taken at any moment of an interval: at its start, or where a part begins in it.
            let full = |t: &i64| there(*t, i).map(|p| p.3).sum::<u64>() + demand > capacity;
            let mut first = network.first(i);
            while let Some(t) = std::iter::once(first)
                .chain(begun(first, first + duration))
                .find(full)
            {
                // Not before the first of those that are under way at `t` is over.
                first = there(t, i).map(|p| p.1).min().unwrap_or(first + 1);
                if first > network.last(i) {
                    return Err(Contradiction);
                }
            }
            network.not_before(i, first)?;
            let mut last = network.last(i);
            while let Some(t) = begun(last, last + duration)
                .rev()
                .chain(std::iter::once(last))
                .find(full)
            {
                last = there(t, i).map(|p| p.0).max().unwrap_or(t) - duration;
                if last < network.first(i) {
                    return Err(Contradiction);
                }
            }
            network.not_after(i, last)?;
        }
        Ok(())
    }

    /// Who must come before or after a whole set of others, of those of whom no two are under way together
    /// (edge finding; the quadratic form of Baptiste, Le Pape, Nuijten, *Constraint-Based Scheduling*, Kluwer 2001,
    /// section 2.1.4), and what must be done before each. Where all keep working hours, it is counted in working time.
    fn one_after_another(&self, set: &[usize], hours: Option<Hours>, network: &mut Network) -> Holds {
        let worked = |t: i64| hours.map_or(t, |h| h.worked(t));
        let mut tasks: Vec<Task> = set
            .iter()
            .map(|&i| {
                let (first, end) = (network.first(i), network.last(i) + self.duration[i]);
                Task {
                    i,
                    first: worked(first),
                    end: worked(end),
                    work: self.work(i, hours, network),
                }
            })
            .collect();
        let pushed = not_before(&mut tasks)?;
        for (i, work) in pushed {
            network.not_before(i, hours.map_or(work, |h| h.when_worked(work)))?;
        }
        self.work_before(&tasks, hours, network)?;
        for t in &mut tasks {
            (t.first, t.end) = (-t.end, -t.first);
        }
        for (i, work) in not_before(&mut tasks)? {
            let end = hours.map_or(-work, |h| h.still_worked(-work));
            network.not_after(i, end - self.duration[i])?;
        }
        self.work_after(&tasks, hours, network)
    }

    /// How much working time an activity takes.
    fn work(&self, i: usize, hours: Option<Hours>, network: &Network) -> i64 {
        let Some(h) = hours else { return self.duration[i] };
        if self.duration[i] <= h.open {
            return self.duration[i];
        }
        let start = h.from(network.first(i), self.duration[i]);
        h.worked(start + self.duration[i]) - h.worked(start)
    }

    /// All that must be done before an activity takes its time; the tasks by their first starts.
    fn work_before(&self, tasks: &[Task], hours: Option<Hours>, network: &mut Network) -> Holds {
        for j in tasks.iter().map(|t| t.i) {
            let before = |i: usize| network.least(i, j) >= self.duration[i];
            if let Some(done) = all_done(tasks, |i| i != j && before(i)) {
                network.not_before(j, hours.map_or(done, |h| h.when_worked(done)))?;
            }
        }
        Ok(())
    }

    /// And so does all that must be done after; the tasks, their times turned round, by their ends.
    fn work_after(&self, tasks: &[Task], hours: Option<Hours>, network: &mut Network) -> Holds {
        for j in tasks.iter().map(|t| t.i) {
            let after = |i: usize| network.least(j, i) >= self.duration[j];
            if let Some(done) = all_done(tasks, |i| i != j && after(i)) {
                let end = hours.map_or(-done, |h| h.still_worked(-done));
                network.not_after(j, end - self.duration[j])?;
            }
        }
        Ok(())
    }

    /// No more work between two moments than the resource does.
    fn work_between(&self, r: usize, users: &[usize], network: &Network) -> Holds {
        let capacity = i64::from(self.problem.capacity[r]);
        let hours = hours_of(self.problem, users);
        let worked = |t: i64| hours.map_or(t, |h| h.worked(t));
        let mut tasks: Vec<Task> = users
            .iter()
            .map(|&i| Task {
                i,
                first: worked(network.first(i)),
                end: worked(network.last(i) + self.duration[i]),
                work: self.work(i, hours, network) * i64::from(self.problem.activities[i].demand[r]),
            })
            .collect();
        tasks.sort_unstable_by_key(|t| (-t.first, t.i));
        for latest in tasks.iter().map(|t| t.end) {
            let mut sum = 0;
            for t in tasks.iter().filter(|t| t.end <= latest) {
                sum += t.work;
                if sum > capacity * (latest - t.first) {
                    return Err(Contradiction);
                }
            }
        }
        Ok(())
    }
}

/// The hours that all of a set keep.
fn hours_of(problem: &Problem, set: &[usize]) -> Option<Hours> {
    problem
        .hours
        .filter(|_| set.iter().all(|i| problem.activities[*i].keeps_hours()))
}

struct Task {
    i: usize,
    first: i64,
    end: i64,
    work: i64,
}

/// When one after the other of some tasks is done at the earliest, if there are any; all by their first starts.
fn all_done(tasks: &[Task], of: impl Fn(usize) -> bool) -> Option<i64> {
    let (mut work, mut done) = (0, None);
    for t in tasks.iter().rev().filter(|t| of(t.i)) {
        work += t.work;
        done = done.max(Some(t.first + work));
    }
    done
}

/// Who is pushed to when.
fn not_before(tasks: &mut [Task]) -> Result<Vec<(usize, i64)>, Contradiction> {
    tasks.sort_unstable_by_key(|t| (t.first, t.i));
    let n = tasks.len();
    let mut pushed: Vec<i64> = tasks.iter().map(|t| t.first).collect();
    let mut after = vec![0; n];
    let mut ends: Vec<i64> = tasks.iter().map(|t| t.end).collect();
    ends.sort_unstable();
    ends.dedup();
    for latest in ends {
        let (mut work, mut done) = (0, i64::MIN);
        for k in (0..n).rev() {
            if tasks[k].end <= latest {
                work += tasks[k].work;
                done = done.max(tasks[k].first + work);
                if done > latest {
                    return Err(Contradiction);
                }
            }
            after[k] = done;
        }
        let mut full = i64::MIN / 2;
        for k in 0..n {
            let t = &tasks[k];
            if t.end <= latest {
                full = full.max(t.first + work);
                work -= t.work;
            } else {
                if t.first + work + t.work > latest && after[k] > i64::MIN {
                    pushed[k] = pushed[k].max(after[k]);
                }
                if full + t.work > latest && done > i64::MIN {
                    pushed[k] = pushed[k].max(done);
                }
            }
        }
    }
    Ok(tasks
        .iter()
        .zip(pushed)
        .filter(|(t, p)| *p > t.first)
        .map(|(t, p)| (t.i, p))
        .collect())
}
