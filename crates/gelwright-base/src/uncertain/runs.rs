//! The runs of an answer over the spreads of what is asked, and what they say of its numbers.

use std::collections::BTreeMap;

use super::band::{Band, BudgetLine, InputSpread, NumberBand, RefusedRuns};
use super::numbers::{Middle, Told, Unit};
use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::error::{Error, Result};
use crate::noun::{Drawn, Written};
use crate::propagate::{Design, Propagated, Sampling, Share};
use crate::quantity::spread::Input;
use crate::quantity::{Probability, QuantityText};

/// Most numbers of all runs' answers together, a gigabyte of them.
const MOST_NUMBERS: usize = 1 << 27;
/// A number that changes by no more than this part of it has only been rounded otherwise.
const ROUNDING: f64 = 1e-12;
/// The least part of the variance that is told.
const LEAST_PART: f64 = 0.01;

/// Tells an answer.
pub(crate) type Tell<'t> = dyn FnMut(&dyn Written) -> Result<()> + 't;
/// Answers a run.
pub(crate) type Run<'r> = dyn Fn(Vec<Drawn>, &mut Tell<'_>) -> Result<()> + Sync + 'r;

/// Each spread once: where it was first met, and of each that was met, which it is.
pub(super) fn once(noted: &[(String, Input)]) -> (Vec<usize>, Vec<usize>) {
    let mut first: Vec<usize> = Vec::new();
    let slots = (0..noted.len())
        .map(|i| {
            let known = first.iter().position(|f| noted[*f].0 == noted[i].0);
            known.unwrap_or_else(|| {
                first.push(i);
                first.len() - 1
            })
        })
        .collect();
    (first, slots)
}

/// Carries spreads through to the numbers of an answer; `middle` is that at their values.
///
/// # Errors
/// As [`Uncertain::propagate`](super::Uncertain::propagate).
pub(crate) fn band(
    noted: &[(String, Input)],
    sampling: Sampling,
    cancel: Cancel<'_>,
    middle: &Middle,
    run: &Run<'_>,
) -> Result<Band> {
    let (first, slots) = once(noted);
    let inputs: Vec<Input> = first.iter().map(|i| noted[*i].1).collect();
    let design = Design::new(&inputs, sampling)?;
    let runs = design.runs();
    if runs.saturating_mul(middle.numbers.len()) > MOST_NUMBERS {
        return Err(Error::out_of_range(
            "points",
            format_args!("{runs} runs of an answer of {} numbers", middle.numbers.len()),
            format!("{MOST_NUMBERS} numbers in all"),
            "take fewer points or scramblings, or ask for an answer without series",
        ));
    }
    // The first is the answer at the spreads' values.
    let told: Result<Vec<Result<Told>>> = on_all_cores(
        runs - 1,
        || vec![0.0; inputs.len()],
        |x, i| {
            cancel.check()?;
            design.run(i + 1, x);
            let at = slots.iter().map(|s| (inputs[*s].of, x[*s])).collect();
            let mut told = None;
            let answered = run(at, &mut |answer| {
                told = Some(middle.told(answer)?);
                Ok(())
            });
            finished(answered.map(|()| {
                told.unwrap_or_else(|| Told {
                    known: vec![f64::NAN; middle.numbers.len()],
                    others: Vec::new(),
                })
            }))
        },
    );
    let told = told?;
    let names: Vec<&str> = first.iter().map(|i| noted[*i].0.as_str()).collect();
    let of = Runs {
        design: &design,
        names: &names,
        told: &told,
        sampled: sampling.points > 0,
    };
    // Numbers that only some runs have, in the order in which they come.
    let mut which: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut others: Vec<(&str, &Unit, Vec<f64>)> = Vec::new();
    for (i, told) in told.iter().enumerate() {
        for n in told.iter().flat_map(|t| &t.others) {
            let at = *which.entry((&n.path, n.of.name())).or_insert_with(|| {
                others.push((&n.path, &n.of, vec![f64::NAN; runs]));
                others.len() - 1
            });
            others[at].2[i + 1] = n.x;
        }
    }
    let known = middle.numbers.len();
    let numbers: Vec<Option<NumberBand>> = on_all_cores(
        known + others.len(),
        || (),
        |(), i| match middle.numbers.get(i) {
            Some(n) => {
                let rest = told.iter().map(|t| t.as_ref().map_or(f64::NAN, |t| t.known[i]));
                let results: Vec<f64> = std::iter::once(n.x).chain(rest).collect();
                of.number(&n.path, &n.of, &results)
            }
            None => {
                let (path, unit, results) = &others[i - known];
                of.number(path, unit, results)
            }
        },
    );
    cancel.check()?;
    let numbers: Vec<NumberBand> = numbers.into_iter().flatten().collect();
    Ok(Band {
        inputs: names
            .iter()
            .zip(&inputs)
            .map(|(path, i)| told_input(path, i))
            .collect(),
        refused: of.refused(&inputs)?,
        settled: of
            .sampled
            .then(|| numbers.iter().all(|n| n.settled == Some(true))),
        numbers,
        seed: sampling.seed,
        scramblings: sampling.scramblings,
        points: sampling.points,
        runs,
    })
}

fn told_input(path: &str, input: &Input) -> InputSpread {
    InputSpread {
        path: path.to_owned(),
        written: input.tagged(),
        distribution: input.kind(),
        value: QuantityText::of_si(input.value, input.of),
        standard_uncertainty: QuantityText::of_si(input.standard_uncertainty(), input.of.difference()),
    }
}

/// All runs but the first, which is not refused.
struct Runs<'a> {
    design: &'a Design<'a>,
    names: &'a [&'a str],
    told: &'a [Result<Told>],
    sampled: bool,
}

impl Runs<'_> {
    /// Whether a run counts where shares of runs are told: a sample, where there are any.
    fn counts(&self, run: usize) -> bool {
        !self.sampled || self.design.is_sample(run)
    }

    fn answered(&self, run: usize) -> bool {
        run.checked_sub(1).is_none_or(|i| self.told[i].is_ok())
    }

    /// Part of the runs that count and are `among` of which `is`.
    #[allow(clippy::cast_precision_loss)]
    fn share(&self, among: impl Fn(usize) -> bool, is: impl Fn(usize) -> bool) -> Result<Probability> {
        let all = (0..=self.told.len()).filter(|r| self.counts(*r) && among(*r));
        let (mut of, mut are) = (0usize, 0usize);
        for run in all {
            of += 1;
            are += usize::from(is(run));
        }
        Probability::new(are as f64 / of.max(1) as f64)
    }

    fn refused(&self, inputs: &[Input]) -> Result<Option<RefusedRuns>> {
        let mut refusals = self
            .told
            .iter()
            .enumerate()
            .filter_map(|(i, t)| Some((i + 1, t.as_ref().err()?)));
        let Some((run, e)) = refusals.next() else {
            return Ok(None);
        };
        let mut x = vec![0.0; inputs.len()];
        self.design.run(run, &mut x);
        Ok(Some(RefusedRuns {
            runs: 1 + refusals.count(),
            share: self.share(|_| true, |run| !self.answered(run))?,
            first: e.alone(),
            kind: e.kind().name().to_owned(),
            field: e.field().to_owned(),
            at: x
                .iter()
                .zip(inputs)
                .map(|(x, i)| QuantityText::of_si(*x, i.of))
                .collect(),
        }))
    }

    /// The band of a number; none where it does not move.
    fn number(&self, path: &str, unit: &Unit, results: &[f64]) -> Option<NumberBand> {
        let there = || results.iter().copied().filter(|y| !y.is_nan());
        let (least, most) = (
            there().fold(f64::INFINITY, f64::min),
            there().fold(f64::NEG_INFINITY, f64::max),
        );
        let lacks = |run: usize| results[run].is_nan();
        let absent = (0..results.len()).any(|run| self.answered(run) && lacks(run));
        if !absent && most - least <= ROUNDING * most.abs().max(least.abs()) {
            return None;
        }
        let found = self.design.read_known(results);
        let complete = there().count() == results.len();
        let in_middle = !found.value.is_nan();
        let (mean, u, low, high) = match &found.sampled {
            Some(s) => (
                Some(s.mean.value),
                Some(s.standard_uncertainty.value),
                Some(s.low.value),
                Some(s.high.value),
            ),
            None if in_middle && !self.sampled => {
                let f = &found.first_order;
                (None, Some(f.standard_uncertainty), Some(f.low), Some(f.high))
            }
            None => (None, None, None, None),
        };
        Some(NumberBand {
            path: path.to_owned(),
            value: in_middle.then(|| unit.text(found.value)),
            mean: mean.map(|x| unit.text(x)),
            standard_uncertainty: u.map(|x| unit.difference(x)),
            low: low.map(|x| unit.text(x)),
            high: high.map(|x| unit.text(x)),
            first_order: in_middle.then(|| unit.difference(found.first_order.standard_uncertainty)),
            straightness: complete.then_some(found.straightness),
            settled: self.sampled.then(|| found.sampled.is_some_and(|s| s.settled)),
            absent: absent
                .then(|| self.share(|run| self.answered(run), lacks))
                .and_then(Result::ok),
            budget: self.budget(&found),
        })
    }

    fn budget(&self, found: &Propagated) -> Vec<BudgetLine> {
        let told = |s: &&Share| s.part() >= LEAST_PART;
        let line = |s: &Share| BudgetLine {
            input: self.names[s.input].to_owned(),
            part: s.part(),
        };
        found.shares.iter().filter(told).map(line).collect()
    }
}
