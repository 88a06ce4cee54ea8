//! A day without search.

use crate::problem::Problem;

impl Problem {
    /// A list schedule: whatever can start first does; of those, the one whose window closes first, then the first by number.
    /// It keeps waits, resources and hours, and no window but by luck: for a problem too large to search. None, where the
    /// waits go in a circle.
    #[must_use]
    pub fn list_schedule(&self) -> Option<Vec<i64>> {
        let n = self.activities.len();
        let mut starts: Vec<Option<i64>> = self.activities.iter().map(|a| a.started).collect();
        let mut waits: Vec<Vec<(usize, i64)>> = vec![vec![]; n];
        let mut closes: Vec<Vec<(Option<usize>, i64)>> = vec![vec![]; n];
        for l in &self.lags {
            waits[l.to].push((l.from, l.least));
        }
        for w in &self.windows {
            closes[w.to].push((w.from, w.most));
        }
        let mut now = 0;
        // What is not over yet.
        let mut under_way: Vec<usize> = (0..n).filter(|i| starts[*i].is_some()).collect();
        for _ in 0..starts.iter().filter(|s| s.is_none()).count() {
            let mut best: Option<(i64, i64, usize)> = None;
            for i in (0..n).filter(|i| starts[*i].is_none()) {
                let ready: Option<i64> = waits[i]
                    .iter()
                    .try_fold(now.max(self.activities[i].not_before), |t, (from, least)| {
                        Some(t.max(starts[*from]? + least))
                    });
                let Some(ready) = ready else { continue };
                let closes = closes[i]
                    .iter()
                    .filter_map(|(from, most)| Some(from.map_or(Some(0), |f| starts[f])? + most));
                let start = self.fits_from(ready, i, &starts, &under_way);
                let candidate = (start, closes.min().unwrap_or(i64::MAX), i);
                if best.is_none_or(|b| candidate < b) {
                    best = Some(candidate);
                }
            }
            let (start, _, i) = best?;
            starts[i] = Some(start);
            now = now.max(start);
            under_way.push(i);
            under_way.retain(|k| starts[*k].is_some_and(|s| s + self.activities[*k].duration > now));
        }
        starts.into_iter().collect()
    }

    /// A finish that no schedule beats, without search: by the waits alone, and by the work of each resource alone.
    #[must_use]
    pub fn bound(&self) -> i64 {
        let n = self.activities.len();
        let start = |i: usize, t: i64| {
            let a = &self.activities[i];
            let hours = self.hours.filter(|_| a.keeps_hours());
            hours.map_or(t, |h| h.from(t, a.duration))
        };
        let mut starts: Vec<i64> = self
            .activities
            .iter()
            .map(|a| a.started.unwrap_or(a.not_before))
            .collect();
        // As often as a wait can hang on another; a circle ends it there.
        for _ in 0..n {
            let mut changed = false;
            for l in &self.lags {
                let t = start(l.to, starts[l.from] + l.least);
                if self.activities[l.to].started.is_none() && t > starts[l.to] {
                    starts[l.to] = t;
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        let by_work = (0..self.capacity.len()).map(|r| {
            let users = || self.activities.iter().filter(move |a| a.demand[r] > 0);
            let capacity = i64::from(self.capacity[r]).max(1);
            let work: i64 = users().map(|a| a.duration * i64::from(a.demand[r])).sum();
            let from = users()
                .map(|a| a.started.unwrap_or(a.not_before))
                .min()
                .unwrap_or(0);
            let each = (work + capacity - 1) / capacity;
            match self
                .hours
                .filter(|h| users().all(|a| a.keeps_hours() && a.duration <= h.open))
            {
                Some(h) if each > 0 => h.when_worked(h.worked(from) + each),
                _ => from + each,
            }
        });
        by_work.max().unwrap_or(0).max(self.finish(&starts))
    }

    /// The first moment from `t` on at which there is enough of everything.
    fn fits_from(&self, mut t: i64, i: usize, starts: &[Option<i64>], under_way: &[usize]) -> i64 {
        let a = &self.activities[i];
        let end = |k: usize| starts[k].unwrap_or(0) + self.activities[k].duration;
        loop {
            if let Some(hours) = self.hours.filter(|_| a.in_hours) {
                t = hours.from(t, a.duration);
            }
            let lacks = (0..self.capacity.len()).any(|r| {
                let taken = under_way
                    .iter()
                    .filter(|k| end(**k) > t)
                    .map(|k| u64::from(self.activities[*k].demand[r]));
                a.duration > 0
                    && a.demand[r] > 0
                    && taken.sum::<u64>() + u64::from(a.demand[r]) > u64::from(self.capacity[r])
            });
            let over = under_way.iter().map(|k| end(*k)).filter(|e| *e > t).min();
            match over {
                Some(over) if lacks => t = over,
                _ => return t,
            }
        }
    }
}
