//! A concentration over time as pieces of `a + m t + b1 exp(-l1 t) + b2 exp(-l2 t)`: exact values, means and highest windows.

use crate::numeric::roots;

/// From one change of an emission to the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub(super) from: f64,
    /// Infinite for the last.
    pub(super) until: f64,
    pub(super) steady: f64,
    pub(super) slope: f64,
    pub(super) parts: [f64; 2],
    pub(super) rates: [f64; 2],
}

impl Piece {
    pub(super) fn at(&self, t: f64) -> f64 {
        let s = t - self.from;
        let fading = (0..2).map(|i| self.parts[i] * (-self.rates[i] * s).exp());
        // What fades to nothing may round to just below it.
        (self.steady + self.slope * s + fading.sum::<f64>()).max(0.0)
    }

    fn integral(&self, a: f64, b: f64) -> f64 {
        let (a, b) = (a - self.from, b - self.from);
        let fading = (0..2).map(|i| {
            let (c, l) = (self.parts[i], self.rates[i]);
            if l > 0.0 {
                -c / l * (-l * a).exp() * (-l * (b - a)).exp_m1()
            } else {
                c * (b - a)
            }
        });
        self.steady * (b - a) + 0.5 * self.slope * (b * b - a * a) + fading.sum::<f64>()
    }
}

/// A concentration from the first emission on; nothing before it.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace(pub(super) Vec<Piece>);

/// The highest mean over a time, and when that time begins.
#[derive(Debug, Clone, Copy)]
pub(super) struct Highest {
    pub(super) mean: f64,
    pub(super) from: f64,
}

/// What a concentration has added up to, kept where its pieces begin: for many means of one trace.
pub(super) struct Sum<'t> {
    trace: &'t Trace,
    before: Vec<f64>,
}

impl<'t> Sum<'t> {
    pub(super) fn of(trace: &'t Trace) -> Self {
        let mut sum = 0.0;
        let before = trace.0.iter().map(|p| {
            let until_here = sum;
            if p.until.is_finite() {
                sum += p.integral(p.from, p.until);
            }
            until_here
        });
        let before = before.collect();
        Sum { trace, before }
    }

    fn until(&self, t: f64) -> f64 {
        let after = self.trace.0.partition_point(|p| p.from <= t);
        after.checked_sub(1).map_or(0.0, |i| {
            let p = &self.trace.0[i];
            self.before[i] + p.integral(p.from, t)
        })
    }

    /// The mean over the time that ends then; nothing was there before the first emission.
    pub(super) fn mean(&self, ends: f64, over: f64) -> f64 {
        ((self.until(ends) - self.until(ends - over)) / over).max(0.0)
    }
}

impl Trace {
    fn piece(&self, t: f64) -> Option<&Piece> {
        let after = self.0.partition_point(|p| p.from <= t);
        after.checked_sub(1).map(|i| &self.0[i])
    }

    pub(super) fn at(&self, t: f64) -> f64 {
        self.piece(t).map_or(0.0, |p| p.at(t))
    }

    pub(super) fn integral(&self, a: f64, b: f64) -> f64 {
        let within = self.0.iter().map(|p| (p, a.max(p.from), b.min(p.until)));
        within
            .filter(|(_, x, y)| y > x)
            .map(|(p, x, y)| p.integral(x, y))
            .sum()
    }

    /// Where a window of `width` may begin so that its ends lie each within one piece.
    fn begins(&self, width: f64) -> Vec<f64> {
        let mut all: Vec<f64> = self.0.iter().flat_map(|p| [p.from, p.from - width]).collect();
        all.sort_by(f64::total_cmp);
        all.dedup();
        // Beyond its last change a concentration only falls, or rises for ever where nothing carries it away.
        all.extend(all.last().map(|t| t + width));
        all
    }

    /// Zeros of `f(t + width) - f(t)` between two begins, of those that are wanted by what it is before and after: it is of the
    /// pieces' own form, turns at most once, and so has at most two.
    fn turns(&self, width: f64, (a, b): (f64, f64), wanted: impl Fn(f64, f64) -> bool) -> Vec<f64> {
        let change = |t: f64| self.at(t + width) - self.at(t);
        let inside = 1e-9 * (b - a);
        let (a, b) = (a + inside, b - inside);
        let middle = self.bend(width, a, b);
        let ends = [Some(a), middle, Some(b)];
        let ends: Vec<f64> = ends.into_iter().flatten().collect();
        ends.windows(2)
            .filter(|w| wanted(change(w[0]), change(w[1])))
            .map(|w| roots::bisect(w[0], w[1], change))
            .collect()
    }

    /// Where that difference turns: where its own derivative, two exponentials or one and a slope, is zero.
    fn bend(&self, width: f64, a: f64, b: f64) -> Option<f64> {
        let (early, late) = (self.piece(a), self.piece(a + width)?);
        let rates = late.rates;
        let part = |i: usize| {
            let of = |p: &Piece, t: f64| p.parts[i] * (-rates[i] * (t - p.from)).exp();
            of(late, a + width) - early.map_or(0.0, |p| of(p, a))
        };
        let slope = late.slope - early.map_or(0.0, |p| p.slope);
        // d/ds: slope - l1 p1 exp(-l1 s) - l2 p2 exp(-l2 s), s from a.
        let (x, y) = (rates[0] * part(0), rates[1] * part(1));
        let s = if slope == 0.0 {
            (-x / y).ln() / (rates[0] - rates[1])
        } else {
            let (l, p) = if rates[1] > 0.0 {
                (rates[1], y)
            } else {
                (rates[0], x)
            };
            (p / slope).ln() / l
        };
        Some(a + s).filter(|t| t.is_finite() && *t > a && *t < b)
    }

    /// The highest mean over `width`: between the begins the mean is highest where its ends are level.
    pub(super) fn highest(&self, width: f64) -> Highest {
        let (begins, sum) = (self.begins(width), Sum::of(self));
        let crest = |before: f64, after: f64| before > 0.0 && after < 0.0;
        let turns = begins
            .windows(2)
            .flat_map(|w| self.turns(width, (w[0], w[1]), crest));
        let candidates = begins.iter().copied().chain(turns.collect::<Vec<_>>());
        let mean = |from: f64| Highest {
            mean: sum.mean(from + width, width),
            from,
        };
        let none = Highest { mean: 0.0, from: 0.0 };
        candidates
            .map(mean)
            .fold(none, |best, h| if h.mean > best.mean { h } else { best })
    }

    /// Where a piece turns, if it does within it.
    fn top(p: &Piece) -> Option<f64> {
        let (x, y) = (p.rates[0] * p.parts[0], p.rates[1] * p.parts[1]);
        let s = if p.slope == 0.0 {
            (-x / y).ln() / (p.rates[0] - p.rates[1])
        } else {
            (y / p.slope).ln() / p.rates[1]
        };
        Some(p.from + s).filter(|t| t.is_finite() && *t > p.from && *t < p.until)
    }

    /// The highest value up to `end`, and when.
    pub(super) fn peak(&self, end: f64) -> (f64, f64) {
        let at = self
            .0
            .iter()
            .flat_map(|p| [Some(p.from), Some(p.until), Self::top(p)]);
        let at = at.flatten().map(|t| t.min(end));
        at.map(|t| (self.at(t), t))
            .fold((0.0, 0.0), |best, x| if x.0 > best.0 { x } else { best })
    }

    /// From when on it stays at or below `level`, up to `end`; nothing where it does not.
    pub(super) fn below_from(&self, level: f64, end: f64) -> Option<f64> {
        if self.at(end) > level {
            return None;
        }
        let mut ends = vec![end];
        for p in self.0.iter().rev().filter(|p| p.from < end) {
            ends.extend(Self::top(p).filter(|t| *t < end));
            ends.push(p.from);
        }
        ends.sort_by(|a, b| b.total_cmp(a));
        let last = ends.windows(2).find(|w| self.at(w[1]) > level);
        Some(last.map_or(0.0, |w| roots::bisect(w[1], w[0], |t| self.at(t) - level)))
    }

    /// The first time that it is above `level`; nothing where it never is.
    pub(super) fn above_from(&self, level: f64, end: f64) -> Option<f64> {
        let mut ends: Vec<f64> = self.0.iter().filter(|p| p.from < end).map(|p| p.from).collect();
        ends.extend(self.0.iter().filter_map(Self::top).filter(|t| *t < end));
        ends.push(end);
        ends.sort_by(f64::total_cmp);
        let first = ends.windows(2).find(|w| self.at(w[1]) > level)?;
        Some(roots::bisect(first[0], first[1], |t| self.at(t) - level))
    }

    /// The first window of `width` whose mean passes `level`: its end, which is when the limit is broken.
    pub(super) fn breaks(&self, width: f64, level: f64) -> Option<f64> {
        let begins = self.begins(width);
        let mean = |from: f64| self.integral(from, from + width) / width - level;
        let mut ends: Vec<f64> = begins
            .windows(2)
            .flat_map(|w| self.turns(width, (w[0], w[1]), |before, after| before * after < 0.0))
            .collect();
        ends.extend(&begins);
        ends.sort_by(f64::total_cmp);
        let first = ends.windows(2).find(|w| mean(w[1]) > 0.0)?;
        let from = if mean(first[0]) > 0.0 {
            first[0]
        } else {
            roots::bisect(first[0], first[1], mean)
        };
        Some(from + width)
    }
}
