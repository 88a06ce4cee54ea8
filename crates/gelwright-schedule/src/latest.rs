//! How late an activity may start.

use crate::conflict::{possible, smallest, smallest_of};
use crate::network::Network;
use crate::problem::{Lag, Problem, Window};
use crate::solve::{Asked, Budget, Searcher};

/// How late an activity may start, all that starts before it done as scheduled, all else scheduled anew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Latest {
    /// The last start with which every window can still be kept; nothing, if that is however late.
    pub start: Option<i64>,
    /// The windows that contradict each other if it starts any later; none, where a wait that runs backwards holds it.
    pub breaks: Vec<usize>,
    /// Whether it is shown that no later start will do.
    pub proved: bool,
}

impl Problem {
    /// How late activities may start, given a schedule that keeps all windows, each by itself: what starts before it is done
    /// as scheduled, and what does not is scheduled anew, in any order, with every window kept; the finish may come later.
    ///
    /// The schedule must be one of this problem, or the answer is without meaning.
    #[must_use]
    pub fn latest_starts(&self, starts: &[i64], budget: &mut Budget) -> Vec<Latest> {
        let searcher = Searcher::new(self);
        let windows: Vec<usize> = (0..self.windows.len()).collect();
        (0..starts.len())
            .map(|i| latest(&searcher, &windows, starts, i, budget))
            .collect()
    }
}

fn latest(searcher: &Searcher, windows: &[usize], starts: &[i64], i: usize, budget: &mut Budget) -> Latest {
    let past: Vec<(usize, i64)> = (0..starts.len())
        .filter(|k| (starts[*k], *k) < (starts[i], i))
        .map(|k| (k, starts[k]))
        .collect();
    let never = Latest {
        start: None,
        breaks: vec![],
        proved: true,
    };
    // What is past bounds what is to come by a window, or by a wait that runs backwards.
    let is_past = |k: usize| past.iter().any(|p| p.0 == k);
    let opened = |w: &Window| w.from.is_none_or(is_past) && !is_past(w.to);
    let backwards = |l: &Lag| is_past(l.to) && !is_past(l.from);
    let problem = searcher.problem;
    if !problem.windows.iter().any(opened) && !problem.lags.iter().any(backwards) {
        return never;
    }
    // Whoever can start after all the rest is done, can at any later time.
    let far = searcher.far;
    let asked = Asked {
        past: &past,
        ..Asked::of(windows)
    };
    let some_time = Asked {
        finish: Some(searcher.horizon + far),
        ..asked
    };
    let follows = searcher.follows(&some_time);
    let in_order = follows.as_ref().and_then(|n| in_order(searcher, n, starts));
    let (Some(follows), Some(in_order)) = (follows, in_order) else {
        return Latest {
            start: Some(starts[i]),
            breaks: vec![],
            proved: false,
        };
    };
    let mut least = in_order.last(i);
    if least >= far {
        return never;
    }
    least = least.max(starts[i]);
    let mut most = follows.last(i).min(far);
    let mut proved = true;
    let mut next = most;
    while least < most {
        match possible(
            searcher,
            &Asked {
                late: Some((i, next)),
                ..asked
            },
            budget,
        ) {
            Some(true) => least = next,
            Some(false) => most = next - 1,
            None => {
                proved = false;
                break;
            }
        }
        next = least + (most - least + 1) / 2;
    }
    if least >= far {
        return never;
    }
    let later = Asked {
        late: Some((i, least + 1)),
        ..asked
    };
    let breaks = if !proved {
        None
    } else if problem.lags.iter().any(|l| l.least < 0) {
        smallest(searcher, &later, budget)
    } else {
        // Without windows one can be done after the other.
        smallest_of(searcher, &later, budget)
    };
    Latest {
        start: Some(least),
        proved: breaks.is_some(),
        breaks: breaks.unwrap_or_default(),
    }
}

/// What follows if besides the order of all that takes of one resource stays as scheduled.
fn in_order(searcher: &Searcher, follows: &Network, starts: &[i64]) -> Option<Network> {
    let mut network = follows.fork();
    keep_order(searcher, &mut network, starts)?;
    searcher.settled(network)
}

fn keep_order(searcher: &Searcher, network: &mut Network, starts: &[i64]) -> Option<()> {
    let resources = &searcher.resources;
    for r in 0..searcher.problem.capacity.len() {
        for &a in resources.users(r) {
            for &b in resources.users(r) {
                if a != b && starts[a] + resources.duration[a] <= starts[b] {
                    network.lag(a, b, resources.duration[a]).ok()?;
                }
            }
        }
    }
    Some(())
}
