//! Starts and the differences between them, with a way back.

/// No difference is known; a quarter of the smallest, so that sums of it stay whole numbers.
pub(crate) const NONE: i64 = i64::MIN / 4;

/// A contradiction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Contradiction;

pub(crate) type Holds = Result<(), Contradiction>;

/// Starts between a first and a last moment, and the least differences between them, closed: what follows from two is in it.
#[derive(Debug)]
pub(crate) struct Network {
    pub(crate) n: usize,
    /// Differences row by row, then first starts, then last ones.
    values: Vec<i64>,
    /// What was overwritten.
    trail: Vec<(u32, i64)>,
    /// Whether anything has changed since it was asked.
    changed: bool,
    /// Of which activities a first or last start, or a difference to another, has changed since all was settled.
    moved: Vec<bool>,
}

impl Network {
    pub(crate) fn new(first: &[i64], last: i64) -> Self {
        let n = first.len();
        let mut values = vec![NONE; n * n + 2 * n];
        for i in 0..n {
            values[i * n + i] = 0;
            values[n * n + i] = first[i];
            values[n * n + n + i] = last;
        }
        Network {
            n,
            values,
            trail: vec![],
            changed: true,
            moved: vec![true; n],
        }
    }

    /// `j` starts at least so much after `i`.
    pub(crate) fn least(&self, i: usize, j: usize) -> i64 {
        self.values[i * self.n + j]
    }
    pub(crate) fn first(&self, i: usize) -> i64 {
        self.values[self.n * self.n + i]
    }
    pub(crate) fn last(&self, i: usize) -> i64 {
        self.values[self.n * self.n + self.n + i]
    }
    pub(crate) fn firsts(&self) -> &[i64] {
        let from = self.n * self.n;
        &self.values[from..from + self.n]
    }

    fn set(&mut self, at: usize, value: i64) {
        self.trail.push((at as u32, self.values[at]));
        self.values[at] = value;
        self.changed = true;
    }

    /// Whether anything has changed since this was asked last.
    pub(crate) fn take_changed(&mut self) -> bool {
        std::mem::take(&mut self.changed)
    }

    /// Where the trail stands, all being settled: [`Network::back`] goes there.
    pub(crate) fn mark(&self) -> usize {
        self.trail.len()
    }
    pub(crate) fn back(&mut self, mark: usize) {
        while self.trail.len() > mark {
            if let Some((at, value)) = self.trail.pop() {
                self.values[at as usize] = value;
            }
        }
        self.changed = true;
        self.moved.fill(false);
    }
    /// What has been said so far stays.
    pub(crate) fn forget(&mut self) {
        self.trail.clear();
    }

    /// The same, to go on from, with room for what is overwritten.
    pub(crate) fn fork(&self) -> Self {
        Network {
            n: self.n,
            values: self.values.clone(),
            trail: Vec::with_capacity(8 * self.n),
            changed: self.changed,
            moved: self.moved.clone(),
        }
    }

    /// Not before.
    pub(crate) fn not_before(&mut self, i: usize, t: i64) -> Holds {
        if t > self.first(i) {
            if t > self.last(i) {
                return Err(Contradiction);
            }
            self.set(self.n * self.n + i, t);
            self.moved[i] = true;
        }
        Ok(())
    }
    /// Not after.
    pub(crate) fn not_after(&mut self, i: usize, t: i64) -> Holds {
        if t < self.last(i) {
            if t < self.first(i) {
                return Err(Contradiction);
            }
            self.set(self.n * self.n + self.n + i, t);
            self.moved[i] = true;
        }
        Ok(())
    }

    /// `b` starts at least `least` after `a`, and what follows from that.
    pub(crate) fn lag(&mut self, a: usize, b: usize, least: i64) -> Holds {
        let n = self.n;
        if self.least(a, b) >= least {
            return Ok(());
        }
        if a == b {
            return if least > 0 { Err(Contradiction) } else { Ok(()) };
        }
        if self.least(b, a) > NONE && self.least(b, a) + least > 0 {
            return Err(Contradiction);
        }
        let after: Vec<(usize, i64)> = (0..n)
            .filter_map(|j| Some((j, self.least(b, j))).filter(|x| x.1 > NONE))
            .collect();
        for i in 0..n {
            let to = self.least(i, a);
            if to <= NONE || to + least <= self.least(i, b) {
                continue;
            }
            for &(j, further) in &after {
                let all = to + least + further;
                if all > self.least(i, j) {
                    self.set(i * n + j, all);
                    self.moved[i] = true;
                    self.moved[j] = true;
                }
            }
        }
        Ok(())
    }

    /// First and last starts by the differences; `forwards` and `backwards` move a start to where it may be.
    pub(crate) fn settle(
        &mut self,
        forwards: &dyn Fn(usize, i64) -> i64,
        backwards: &dyn Fn(usize, i64) -> i64,
    ) -> Holds {
        while self.moved.contains(&true) {
            for i in 0..self.n {
                // What it moves is looked at in its turn.
                if !std::mem::take(&mut self.moved[i]) {
                    continue;
                }
                self.not_before(i, forwards(i, self.first(i)))?;
                self.not_after(i, backwards(i, self.last(i)))?;
                self.moved[i] = false;
                let (first, last) = (self.first(i), self.last(i));
                for j in 0..self.n {
                    let ahead = self.least(i, j);
                    if ahead > NONE {
                        self.not_before(j, first + ahead)?;
                    }
                    let behind = self.least(j, i);
                    if behind > NONE {
                        self.not_after(j, last - behind)?;
                    }
                }
            }
        }
        Ok(())
    }
}
