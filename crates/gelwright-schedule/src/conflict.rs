//! Windows that contradict each other.

use crate::problem::{Fault, Problem};
use crate::search::Found;
use crate::solve::{Answer, Asked, Budget, Searcher};

/// Whether windows leave a schedule; nothing, where the budget ended first.
pub(crate) fn possible(searcher: &Searcher, asked: &Asked, budget: &mut Budget) -> Option<bool> {
    match searcher.find(asked, budget) {
        Found::Starts(_) => Some(true),
        Found::Nothing => Some(false),
        Found::GaveUp => None,
    }
}

/// Whether all windows can be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Conflict {
    /// They can.
    None,
    /// These contradict each other: alone impossible, and possible without any one of them. Empty, where there is no schedule
    /// without any window either.
    Between(Vec<usize>),
    /// The budget was used up first.
    NotProved,
}

/// What contradicts each other, and a day all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Relaxed {
    /// Sets of windows that contradict each other: alone impossible, and possible without any one of them. Each is found
    /// with all windows of the ones before left out; the last leaves none.
    pub conflicts: Vec<Vec<usize>>,
    /// The windows that were widened, and by how much: as few as have to be in the order of their numbers (a later one
    /// rather than an earlier), each by the least that makes a day with those before.
    pub widened: Vec<(usize, i64)>,
    /// The day with these windows widened.
    pub answer: Answer,
    /// The problem that it is the answer to.
    pub problem: Problem,
}

/// A smallest set of windows that contradict each other, if `asked` has one (Junker, QuickXplain, AAAI 2004, pages
/// 167-172): the empty set, if all else is a contradiction already. Nothing, where the budget ended first.
pub(crate) fn smallest(searcher: &Searcher, asked: &Asked, budget: &mut Budget) -> Option<Vec<usize>> {
    if !possible(
        searcher,
        &Asked {
            windows: &[],
            ..*asked
        },
        budget,
    )? {
        return Some(vec![]);
    }
    smallest_of(searcher, asked, budget)
}

/// The same, where it is known that all else is no contradiction.
pub(crate) fn smallest_of(searcher: &Searcher, asked: &Asked, budget: &mut Budget) -> Option<Vec<usize>> {
    explain(searcher, asked, &mut vec![], false, asked.windows, budget)
}

fn explain(
    searcher: &Searcher,
    asked: &Asked,
    held: &mut Vec<usize>,
    added: bool,
    of: &[usize],
    budget: &mut Budget,
) -> Option<Vec<usize>> {
    if added
        && !possible(
            searcher,
            &Asked {
                windows: held,
                ..*asked
            },
            budget,
        )?
    {
        return Some(vec![]);
    }
    if of.len() <= 1 {
        return Some(of.to_vec());
    }
    let (left, right) = of.split_at(of.len() / 2);
    let before = held.len();
    held.extend(left);
    let mut named = explain(searcher, asked, held, true, right, budget)?;
    held.truncate(before);
    held.extend(&named);
    named.extend(explain(searcher, asked, held, !named.is_empty(), left, budget)?);
    held.truncate(before);
    named.sort_unstable();
    Some(named)
}

impl Problem {
    /// Windows that contradict each other, a smallest set of them.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn conflict(&self, budget: &mut Budget) -> Result<Conflict, Fault> {
        self.check()?;
        let all: Vec<usize> = (0..self.windows.len()).collect();
        Ok(conflict(&Searcher::new(self), &all, budget).unwrap_or(Conflict::NotProved))
    }

    /// The windows that contradict each other, one set after the other until none is left, and the day with the least of
    /// them widened. None, where there is no schedule without any window either, or the budget ended first.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn relax(&self, enough: i64, budget: &mut Budget) -> Result<Option<Relaxed>, Fault> {
        self.check()?;
        let searcher = Searcher::new(self);
        let Some((conflicts, kept)) = conflicts(&searcher, budget) else {
            return Ok(None);
        };
        let Some((problem, widened)) = widen(&searcher, &conflicts, kept, budget) else {
            return Ok(None);
        };
        let answer = problem.solve(enough, budget)?;
        Ok(Some(Relaxed {
            conflicts,
            widened,
            answer,
            problem,
        }))
    }
}

fn conflict(searcher: &Searcher, windows: &[usize], budget: &mut Budget) -> Option<Conflict> {
    let asked = Asked::of(windows);
    if possible(searcher, &asked, budget)? {
        return Some(Conflict::None);
    }
    smallest(searcher, &asked, budget).map(Conflict::Between)
}

/// All conflicts one after the other, and the windows that are in none.
fn conflicts(searcher: &Searcher, budget: &mut Budget) -> Option<(Vec<Vec<usize>>, Vec<usize>)> {
    let mut kept: Vec<usize> = (0..searcher.problem.windows.len()).collect();
    let mut all = vec![];
    while let Conflict::Between(named) = conflict(searcher, &kept, budget)? {
        if named.is_empty() {
            return None;
        }
        kept.retain(|w| !named.contains(w));
        all.push(named);
    }
    Some((all, kept))
}

fn widen(
    searcher: &Searcher,
    conflicts: &[Vec<usize>],
    mut kept: Vec<usize>,
    budget: &mut Budget,
) -> Option<(Problem, Vec<(usize, i64)>)> {
    let mut named: Vec<usize> = conflicts.concat();
    named.sort_unstable();
    let mut given_up = vec![];
    for w in named {
        kept.push(w);
        if !possible(searcher, &Asked::of(&kept), budget)? {
            kept.pop();
            given_up.push(w);
        }
    }
    let mut problem = searcher.problem.clone();
    let mut widened = vec![];
    for w in given_up {
        let Found::Starts(starts) = Searcher::new(&problem).find(&Asked::of(&kept), budget) else {
            return None;
        };
        let (mut too_little, mut enough) = (0, -problem.left_of(w, &starts));
        let given = problem.windows[w].most;
        kept.push(w);
        while too_little + 1 < enough {
            let by = too_little + (enough - too_little) / 2;
            problem.windows[w].most = given + by;
            if possible(&Searcher::new(&problem), &Asked::of(&kept), budget)? {
                enough = by;
            } else {
                too_little = by;
            }
        }
        problem.windows[w].most = given + enough;
        widened.push((w, enough));
    }
    Some((problem, widened))
}
