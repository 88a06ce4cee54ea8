//! What the draws of a plan say.

use std::collections::BTreeMap;

use crate::cancel::Cancel;
use crate::cores::on_all_cores;
use crate::error::{Error, Result};
use crate::limit::{LimitQuantity, Severity};
use crate::noun::{Noun, questions};
use crate::plan::Casting;
use crate::quantity::{Measure, Probability, QuantityText};
use crate::source::{Source, Standing, Why};
use gelwright_base::reliability::{Proportion, ProportionInterval, order};
use gelwright_base::sensitivity::{Answers, FEWEST, bootstrapped};

use super::draws::{Ready, RiskDraws, Went, went};
use super::spreads::RiskSpreads;

/// How likely a casting comes out. All intervals hold with 95 %; those of shares are Wilson's.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Risk {
    /// How many draws.
    pub draws: usize,
    /// Where they come from: the same seed, the same answer.
    pub seed: u64,
    /// It comes out: no stop is broken, all of it gels. Warnings may be broken.
    pub comes_out: Proportion,
    /// It is spoiled: a stop is broken, a zone does not gel, or the draw can not be planned.
    pub spoiled: Proportion,
    /// No stop and no warning is broken.
    pub good: Proportion,
    /// Draws that could not be planned: counted as spoiled.
    pub failed: usize,
    /// Why the first of them could not.
    pub failed_first: Option<String>,
    /// Each limit that some draw breaks: stops first, the likeliest first. How well a dose is known is not among them: what it does
    /// is drawn.
    #[noun(default)]
    pub limits: Vec<LimitRisk>,
    /// Gel times, peaks, cures, hours.
    #[noun(default)]
    pub numbers: Vec<RiskNumber>,
    /// What makes the difference, the largest first; empty where nothing was asked of it, where all draws went alike, and where
    /// inputs go together.
    #[noun(default)]
    pub drivers: Vec<RiskDriver>,
    /// Between what the drivers make the difference.
    pub drivers_of: Option<String>,
    /// What is left open.
    pub inputs: Vec<RiskInput>,
    /// The chain behind it.
    pub why: Why,
}

/// How likely a limit is broken.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LimitRisk {
    /// Its name.
    pub limit: String,
    /// What is bounded.
    pub quantity: LimitQuantity,
    /// Of what.
    pub subject: String,
    /// How bad that is.
    pub severity: Severity,
    /// How likely.
    pub broken: Proportion,
    /// What goes wrong.
    pub message: String,
}

/// A number of the plan as it may turn out.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RiskNumber {
    /// Which.
    pub name: String,
    /// One draw in twenty is lower.
    pub p05: Percentile,
    /// Half are lower.
    pub p50: Percentile,
    /// One in twenty is higher.
    pub p95: Percentile,
    /// Draws that have no such number, where there are any: the percentiles are of the others.
    pub absent: Option<Probability>,
}

/// A percentile of the draws, with an interval that asks nothing of their distribution.
#[derive(Clone, PartialEq, Noun)]
pub struct Percentile {
    /// Of the draws.
    pub value: QuantityText,
    /// Lower end of its interval; none where so few draws can not tell.
    pub low: Option<QuantityText>,
    /// Upper end.
    pub high: Option<QuantityText>,
}

/// What makes the difference, as a total Sobol' index: the part of the variance of how it goes that would stay if all but this were
/// known; of two draws that differ in this alone, how often they go otherwise, over how often any two do.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RiskDriver {
    /// Which.
    pub input: String,
    /// Its total index.
    pub total: f64,
    /// Lower end of its interval (bootstrap).
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Its index of first order: the part that would go if it alone were known.
    pub alone: f64,
    /// What to measure, so that less of it is open.
    pub measure: Option<String>,
    /// What is to be said beside these.
    pub note: Option<String>,
}

/// What is left open.
#[derive(Clone, PartialEq, Noun)]
pub struct RiskInput {
    /// What: `spreads.correlations` names it like that.
    pub name: String,
    /// What it belongs to, as [`RiskDriver::input`] names it.
    pub group: String,
    /// One standard deviation; none where it is drawn along a band.
    pub spread: Option<String>,
    /// What to measure, so that less of it is open.
    pub measure: Option<String>,
}

/// Confidence of every interval here.
const CONFIDENCE: f64 = 0.95;

/// So many of them.
pub(super) fn share(count: usize, of: usize) -> Result<Proportion> {
    Proportion::new(count as u64, of as u64, CONFIDENCE, ProportionInterval::Wilson)
}

#[questions(RISK)]
impl Casting {
    /// How likely the casting comes out: its plan drawn as it may turn out, with thermometer, doses, resins, layers and hands
    /// a little off.
    ///
    /// Shares of all draws with Wilson's interval; percentiles with intervals from the order of the draws; total Sobol'
    /// indices, by Jansen, with bootstrap intervals.
    ///
    /// # Errors
    /// As [`Casting::plan`] for a casting that can not be planned as it stands; `OutOfRange` for no draws, and for a spread wider
    /// than its value; `Inconsistent` for correlations that are not positive definite; `Cancelled`.
    #[question("risk.plan", long)]
    pub fn risk(
        &self,
        /// How far off what the bench does not tell may be.
        #[noun(default)]
        spreads: &RiskSpreads,
        /// How many draws: the interval of a share narrows with the root of it.
        #[noun(default = 1000, within = crate::ranges::DRAWS)]
        draws: u32,
        /// Where they come from.
        #[noun(default = 0)]
        seed: u64,
        /// Points of the indices that tell what makes the difference, each drawn again once for each group of inputs; 0 for none.
        #[noun(default = 128, within = crate::ranges::INDEX_POINTS)]
        index_points: u32,
        cancel: Cancel<'_>,
    ) -> Result<Risk> {
        let ready = Ready::new(self, spreads, seed, cancel)?;
        let mut drawn = RiskDraws::begin(self, spreads, seed);
        drawn.go_on_from(&ready, draws, cancel)?;
        read(&drawn, &ready, index_points, cancel)
    }
}

#[questions(SAYING)]
impl RiskDraws {
    /// What the draws say, as `risk.plan` does.
    ///
    /// # Errors
    /// As [`Casting::risk`]; `OutOfRange` where none has been drawn.
    #[question("risk.read", long)]
    pub fn read(
        &self,
        /// Points of the indices that tell what makes the difference, each drawn again once for each group of inputs; 0 for none.
        #[noun(default = 128, within = crate::ranges::INDEX_POINTS)]
        index_points: u32,
        cancel: Cancel<'_>,
    ) -> Result<Risk> {
        let ready = Ready::new(&self.casting, &self.spreads, self.seed, cancel)?;
        read(self, &ready, index_points, cancel)
    }
}

fn read(drawn: &RiskDraws, ready: &Ready, index_points: u32, cancel: Cancel<'_>) -> Result<Risk> {
    if (1..FEWEST).contains(&(index_points as usize)) {
        return Err(Error::out_of_range(
            "index_points",
            index_points.to_string(),
            format!("0, or {FEWEST} and more"),
            "give some hundreds, or 0 for none: of fewer the interval of an index says nothing",
        ));
    }
    let n = drawn.rows.len();
    let all = drawn.went();
    let went = |is: &dyn Fn(Went) -> bool| share(all.iter().filter(|w| is(**w)).count(), n);
    let spoiled = went(&|w| w == Went::Spoiled)?;
    let good = went(&|w| w == Went::Well)?;
    let mut limits = drawn
        .limits
        .iter()
        .enumerate()
        .map(|(i, l)| {
            Ok(LimitRisk {
                limit: l.limit.clone(),
                quantity: l.quantity,
                subject: l.subject.clone(),
                severity: l.severity,
                broken: share(drawn.rows.iter().filter(|r| r.broken.contains(&i)).count(), n)?,
                message: l.message.clone(),
            })
        })
        .collect::<Result<Vec<_>>>()?;
    limits.sort_by_key(|l| std::cmp::Reverse((l.severity, l.broken.count)));
    // What tells most of what is to be told apart.
    let line = if spoiled.count > 0 && spoiled.count < n as u64 {
        Some((Went::Spoiled, "a part that comes out and one that is spoiled"))
    } else if good.count > 0 && good.count < n as u64 {
        Some((Went::Warned, "a part without any warning and one with"))
    } else {
        None
    };
    let drivers = match line {
        Some((worst, _)) if index_points > 0 && ready.correlation.is_none() => {
            drivers(ready, &all, worst, index_points, drawn.seed, cancel)?
        }
        _ => vec![],
    };
    let refused = || drawn.rows.iter().filter_map(|r| r.refused.as_ref());
    let numbers = numbers(drawn, ready, cancel)?;
    let comes_out = went(&|w| w != Went::Spoiled)?;
    Ok(Risk {
        draws: n,
        seed: drawn.seed,
        failed: refused().count(),
        failed_first: refused().next().cloned(),
        drivers_of: line
            .filter(|_| !drivers.is_empty())
            .map(|(_, text)| text.to_owned()),
        drivers,
        limits,
        numbers,
        inputs: ready
            .drawing
            .open
            .iter()
            .map(|o| RiskInput {
                name: o.name.clone(),
                group: o.group.clone(),
                spread: o.spread.clone(),
                measure: Some(o.measure()),
            })
            .collect(),
        why: why(&comes_out, ready),
        comes_out,
        spoiled,
        good,
    })
}

fn why(comes_out: &Proportion, ready: &Ready) -> Why {
    let text = format!("{} of {}", comes_out.count, comes_out.of);
    let inputs = ready.drawing.open.iter().filter_map(|o| {
        let spread = o.spread.as_ref()?;
        Some(Why::given(
            o.name.clone(),
            format!("one standard deviation {spread}"),
        ))
    });
    Why::computed(
        "chance that it comes out",
        text,
        "share of the draws in which no stop is broken and all of it gels; scrambled Sobol' points",
        inputs.collect(),
    )
    .with_source(&Source {
        author: "E. B. Wilson".into(),
        title: "Probable Inference, the Law of Succession, and Statistical Inference, J. Am. Stat. Assoc. 22"
            .into(),
        year: Some(1927),
        locator: "209-212 (the interval)".into(),
        standing: Standing::Published,
    })
    .with_note("what the bench can not hold is drawn; a mistake is not")
}

/// Percentiles of the numbers that the draws show.
fn numbers(drawn: &RiskDraws, ready: &Ready, cancel: Cancel<'_>) -> Result<Vec<RiskNumber>> {
    let middle = ready.drawing.draw(&vec![0.0; ready.drawing.open.len()], cancel)?;
    let mut all = Vec::new();
    for (i, shown) in middle.shown.iter().enumerate() {
        let there = drawn.rows.iter().filter(|r| r.refused.is_none());
        let mut values: Vec<f64> = there
            .clone()
            .filter_map(|r| r.shown.get(i).copied().flatten())
            .collect();
        if values.is_empty() {
            continue;
        }
        values.sort_unstable_by(f64::total_cmp);
        let at = |p: f64| percentile(&values, p, shown.of);
        let absent = there.count() - values.len();
        all.push(RiskNumber {
            name: shown.name.clone(),
            p05: at(0.05)?,
            p50: at(0.5)?,
            p95: at(0.95)?,
            #[allow(clippy::cast_precision_loss)]
            absent: (absent > 0)
                .then(|| Probability::new(absent as f64 / (absent + values.len()) as f64))
                .transpose()?,
        });
    }
    Ok(all)
}

fn percentile(ascending: &[f64], p: f64, of: &'static Measure) -> Result<Percentile> {
    let found = order::quantile(ascending, p, CONFIDENCE)?;
    let text = |x: f64| QuantityText::of_si(x, of);
    Ok(Percentile {
        value: text(found.value),
        low: found.low.map(text),
        high: found.high.map(text),
    })
}

/// Resamples of the bootstrap.
const RESAMPLES: u32 = 500;
/// Least total index that is told.
const TOLD: f64 = 0.02;

/// What decides whether a draw goes no better than `worst`.
fn drivers(
    ready: &Ready,
    all: &[Went],
    worst: Went,
    points: u32,
    seed: u64,
    cancel: Cancel<'_>,
) -> Result<Vec<RiskDriver>> {
    let open = &ready.drawing.open;
    let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (i, o) in open.iter().enumerate() {
        groups.entry(&o.group).or_default().push(i);
    }
    let groups: Vec<(&str, Vec<usize>)> = groups.into_iter().collect();
    #[allow(clippy::cast_possible_truncation)]
    let points = points.min(all.len() as u32);
    if (points as usize) < FEWEST {
        return Ok(vec![]);
    }
    let each = groups.len() + 1;
    // Of each point the one beside it, and the point with one group of that.
    let bad: Result<Vec<f64>> = on_all_cores(
        points as usize * each,
        || (),
        |(), run| {
            #[allow(clippy::cast_possible_truncation)]
            let point = (run / each) as u32;
            let mut z = ready.independent(point, true);
            if let Some((_, inputs)) = groups.get(run % each) {
                let beside = z;
                z = ready.independent(point, false);
                for i in inputs {
                    z[*i] = beside[*i];
                }
            }
            Ok(f64::from(went(&ready.ask(&z, cancel)?) <= worst))
        },
    );
    let bad = bad?;
    let mut told = Vec::new();
    for (g, (name, inputs)) in groups.iter().enumerate() {
        let answers: Vec<Answers> = bad
            .chunks_exact(each)
            .zip(all)
            .map(|(runs, own)| [f64::from(*own <= worst), runs[each - 1], runs[g]])
            .collect();
        let found = bootstrapped(&answers, RESAMPLES, seed)?;
        if found.total.value < TOLD {
            continue;
        }
        let said = |of: &str, note: Option<&str>| note.map(|n| format!("{of}: {n}"));
        let notes = [
            said("total", found.total.said()),
            said("alone", found.first.said().filter(|_| found.first.value < 0.0)),
        ];
        let notes: Vec<String> = notes.into_iter().flatten().collect();
        told.push(RiskDriver {
            input: (*name).to_owned(),
            total: found.total.value,
            low: found.total.low,
            high: found.total.high,
            alone: found.first.value,
            measure: inputs.first().map(|i| open[*i].measure()),
            note: (!notes.is_empty()).then(|| notes.join("; ")),
        });
    }
    told.sort_by(|a, b| b.total.total_cmp(&a.total));
    Ok(told)
}
