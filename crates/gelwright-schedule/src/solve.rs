//! The earliest finish, then the most slack before the tightest window.

use crate::network::{Holds, Network};
use crate::problem::{Fault, Problem};
use crate::resources::Resources;
use crate::search::{Found, search};

/// How long may be searched.
pub struct Budget<'a> {
    /// Decisions that may still be tried; one of a problem of more than 32 activities counts as more.
    pub nodes: u64,
    /// Asked now and then; the search ends once it answers true.
    pub stop: &'a dyn Fn() -> bool,
    spent: u64,
}

impl<'a> Budget<'a> {
    /// So many decisions.
    #[must_use]
    pub fn nodes(nodes: u64) -> Budget<'static> {
        Budget {
            nodes,
            stop: &|| false,
            spent: 0,
        }
    }
    /// So many decisions, or until `stop` answers true.
    #[must_use]
    pub fn until(nodes: u64, stop: &'a dyn Fn() -> bool) -> Budget<'a> {
        Budget {
            nodes,
            stop,
            spent: 0,
        }
    }
    /// What has been used of it.
    #[must_use]
    pub fn spent(&self) -> u64 {
        self.spent
    }
    pub(crate) fn spend(&mut self, activities: usize) -> bool {
        const ASK_EVERY: u64 = 64;
        let cost = ((activities as u64).pow(2) / 1024).max(1);
        if self.nodes < cost || (self.spent % ASK_EVERY < cost && (self.stop)()) {
            self.nodes = 0;
            return false;
        }
        self.nodes -= cost;
        self.spent += cost;
        true
    }
}

/// When each activity starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Schedule {
    /// By number.
    pub starts: Vec<i64>,
    /// When all is done.
    pub finish: i64,
    /// What is left of the tightest window; nothing, if there is none.
    pub slack: Option<i64>,
}

impl Schedule {
    pub(crate) fn of(problem: &Problem, starts: Vec<i64>) -> Self {
        Schedule {
            finish: problem.finish(&starts),
            slack: (0..problem.windows.len())
                .map(|w| problem.left_of(w, &starts))
                .min(),
            starts,
        }
    }
}

/// What has been shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// No schedule is done earlier, and none that is done as early leaves more before its tightest window (or more than
    /// was asked for).
    Best,
    /// No schedule keeps all windows.
    Impossible,
    /// The budget was used up first.
    NotProved(Unproved),
}

/// What could not be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unproved {
    /// Whether there is a schedule at all.
    Possible,
    /// That none is done earlier.
    Finish,
    /// That none that is done as early leaves more before its tightest window.
    Slack,
    /// That what is to start early does not start earlier in any of these.
    Early,
}

/// What [`Problem::solve`] answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The best that was found.
    pub schedule: Option<Schedule>,
    /// What has been shown of it.
    pub proof: Proof,
    /// No schedule is done before.
    pub bound: i64,
}

/// What is asked of a search beyond the problem.
#[derive(Clone, Copy)]
pub(crate) struct Asked<'a> {
    /// Done by then.
    pub(crate) finish: Option<i64>,
    /// Left of every window.
    pub(crate) slack: i64,
    /// The windows that hold.
    pub(crate) windows: &'a [usize],
    /// Starts that are past.
    pub(crate) past: &'a [(usize, i64)],
    /// An activity that does not start before.
    pub(crate) late: Option<(usize, i64)>,
    /// Activities that do not start after.
    pub(crate) by: &'a [(usize, i64)],
}

impl<'a> Asked<'a> {
    pub(crate) fn of(windows: &'a [usize]) -> Self {
        Asked {
            finish: None,
            slack: 0,
            windows,
            past: &[],
            late: None,
            by: &[],
        }
    }
}

/// A problem looked at once for many searches.
pub(crate) struct Searcher<'p> {
    pub(crate) problem: &'p Problem,
    pub(crate) resources: Resources<'p>,
    /// All but the windows; nothing, where the waits alone contradict each other.
    base: Option<Network>,
    pub(crate) horizon: i64,
    /// What can start as late as this can start at any later time: all else is done, and no window is open any more.
    pub(crate) far: i64,
}

impl<'p> Searcher<'p> {
    pub(crate) fn new(problem: &'p Problem) -> Self {
        let resources = Resources::new(problem);
        let horizon = problem.horizon();
        let windows = problem.windows.iter().map(|w| w.most.max(0));
        let backwards = problem.lags.iter().map(|l| (-l.least).max(0));
        let far = horizon + windows.chain(backwards).sum::<i64>() + 1;
        let mut searcher = Searcher {
            problem,
            resources,
            base: None,
            horizon,
            far,
        };
        searcher.base = searcher.all_but_windows().ok();
        searcher
    }

    fn all_but_windows(&self) -> Result<Network, crate::network::Contradiction> {
        let all = &self.problem.activities;
        let firsts: Vec<i64> = all.iter().map(|a| a.started.unwrap_or(a.not_before)).collect();
        // What is asked to be late may push the rest beyond the horizon, once.
        let mut network = Network::new(&firsts, self.horizon + self.far);
        for (i, a) in all.iter().enumerate() {
            if let Some(t) = a.started {
                network.not_after(i, t)?;
            }
        }
        for l in &self.problem.lags {
            network.lag(l.from, l.to, l.least)?;
        }
        network.forget();
        Ok(network)
    }

    /// The network of what is asked.
    pub(crate) fn network(&self, asked: &Asked) -> Option<Network> {
        let mut network = self.base.as_ref()?.fork();
        self.add(asked, &mut network).ok()?;
        network.forget();
        Some(network)
    }

    fn add(&self, asked: &Asked, network: &mut Network) -> Holds {
        let late = asked.late.map_or(0, |l| l.1.max(0));
        let finish = asked.finish.unwrap_or(self.horizon + late);
        for i in 0..network.n {
            network.not_after(i, finish - self.resources.duration[i])?;
        }
        for &(i, t) in asked.past {
            network.not_before(i, t)?;
            network.not_after(i, t)?;
        }
        if let Some((i, t)) = asked.late {
            network.not_before(i, t)?;
        }
        for &(i, t) in asked.by {
            network.not_after(i, t)?;
        }
        for &w in asked.windows {
            let w = &self.problem.windows[w];
            match w.from {
                None => network.not_after(w.to, w.most - asked.slack)?,
                Some(from) => network.lag(w.to, from, asked.slack - w.most)?,
            }
        }
        Ok(())
    }

    pub(crate) fn find(&self, asked: &Asked, budget: &mut Budget) -> Found {
        match self.network(asked) {
            Some(mut network) => search(&self.resources, &mut network, budget),
            None => Found::Nothing,
        }
    }

    /// What follows from what is asked without any decision.
    pub(crate) fn follows(&self, asked: &Asked) -> Option<Network> {
        self.settled(self.network(asked)?)
    }
    pub(crate) fn settled(&self, mut network: Network) -> Option<Network> {
        self.resources.settle(&mut network).ok()?;
        Some(network)
    }
}

impl Problem {
    /// The schedule that is done earliest, and of those the one that leaves most before its tightest window, more than
    /// `enough` of that not looked for; and of those the one in which what is to start early does.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn solve(&self, enough: i64, budget: &mut Budget) -> Result<Answer, Fault> {
        self.check()?;
        let windows: Vec<usize> = (0..self.windows.len()).collect();
        Ok(solve(&Searcher::new(self), &windows, enough, budget))
    }
}

fn solve(searcher: &Searcher, windows: &[usize], enough: i64, budget: &mut Budget) -> Answer {
    let ends = |n: &Network| {
        (0..n.n)
            .map(|i| n.first(i) + searcher.resources.duration[i])
            .max()
            .unwrap_or(0)
    };
    let asked = Asked::of(windows);
    let impossible = |bound| Answer {
        schedule: None,
        proof: Proof::Impossible,
        bound,
    };
    let Some(root) = searcher.follows(&asked) else {
        return impossible(0);
    };
    let mut bound = ends(&root);
    let mut best = match searcher.find(&asked, budget) {
        Found::Nothing => return impossible(bound),
        Found::GaveUp => {
            return Answer {
                schedule: None,
                proof: Proof::NotProved(Unproved::Possible),
                bound,
            };
        }
        Found::Starts(starts) => Schedule::of(searcher.problem, starts),
    };
    let mut step = 0;
    while bound < best.finish {
        // From below at first, in growing steps: most days are done when the least that follows says.
        let by = (bound + step).min(bound + (best.finish - 1 - bound) / 2);
        match searcher.find(
            &Asked {
                finish: Some(by),
                ..asked
            },
            budget,
        ) {
            Found::Starts(starts) => best = Schedule::of(searcher.problem, starts),
            Found::Nothing => {
                bound = by + 1;
                step = 2 * step + 1;
            }
            Found::GaveUp => {
                return Answer {
                    schedule: Some(best),
                    proof: Proof::NotProved(Unproved::Finish),
                    bound,
                };
            }
        }
    }
    let mut proof = most_slack(searcher, windows, enough, &mut best, budget);
    if proof == Proof::Best {
        proof = earliest(searcher, windows, enough, &mut best, budget);
    }
    Answer {
        schedule: Some(best),
        proof,
        bound,
    }
}

/// Puts a schedule with more left before its tightest window in place of `best`, done as early.
fn most_slack(
    searcher: &Searcher,
    windows: &[usize],
    enough: i64,
    best: &mut Schedule,
    budget: &mut Budget,
) -> Proof {
    let asked = Asked {
        finish: Some(best.finish),
        ..Asked::of(windows)
    };
    let Some(mut least) = best.slack else {
        return Proof::Best;
    };
    let mut most = enough;
    let mut slack = enough;
    while least < most {
        match searcher.find(&Asked { slack, ..asked }, budget) {
            Found::Starts(starts) => {
                *best = Schedule::of(searcher.problem, starts);
                least = best.slack.unwrap_or(slack).max(slack);
            }
            Found::Nothing => most = slack - 1,
            Found::GaveUp => return Proof::NotProved(Unproved::Slack),
        }
        slack = least + (most - least + 1) / 2;
    }
    Proof::Best
}

/// Puts a schedule in place of `best` in which what is to start early does, done as early and with as much slack.
fn earliest(
    searcher: &Searcher,
    windows: &[usize],
    enough: i64,
    best: &mut Schedule,
    budget: &mut Budget,
) -> Proof {
    let asked = Asked {
        finish: Some(best.finish),
        slack: best.slack.map_or(0, |s| s.min(enough)),
        ..Asked::of(windows)
    };
    let mut by: Vec<(usize, i64)> = vec![];
    for &i in &searcher.problem.early {
        let first = searcher.follows(&Asked { by: &by, ..asked }).map(|n| n.first(i));
        let mut bound = first.unwrap_or(best.starts[i]);
        let mut start = bound;
        by.push((i, best.starts[i]));
        while bound < best.starts[i] {
            if let Some(last) = by.last_mut() {
                last.1 = start;
            }
            match searcher.find(&Asked { by: &by, ..asked }, budget) {
                Found::Starts(starts) => *best = Schedule::of(searcher.problem, starts),
                Found::Nothing => bound = start + 1,
                Found::GaveUp => return Proof::NotProved(Unproved::Early),
            }
            start = bound + (best.starts[i] - bound) / 2;
        }
        if let Some(last) = by.last_mut() {
            last.1 = best.starts[i];
        }
    }
    Proof::Best
}
