//! Several castings side by side.

use super::casting::Casting;
use super::planned::Plan;
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::limit::Severity;
use crate::noun::{Noun, questions};
use crate::quantity::{Mass, Money, Time};

/// The castings side by side.
#[derive(Clone, Noun)]
pub struct Comparison {
    /// One row a casting, in the order given.
    pub rows: Vec<ComparisonRow>,
}

/// One casting of a comparison.
#[derive(Clone, Noun)]
pub struct ComparisonRow {
    /// Which.
    pub casting: String,
    /// Mass of what stays in the part.
    pub part_mass: Mass,
    /// What it costs, where prices are known.
    pub cost: Option<Money>,
    /// How many cups are mixed.
    pub batches: usize,
    /// From the first step to the end of the last.
    pub duration: Time,
    /// Time of the hands.
    pub hands: Time,
    /// Findings that say not to start.
    pub stops: usize,
    /// Findings that say the part may fail.
    pub warnings: usize,
}

/// Plans several castings (one part by several recipes, in several shops) and gives their mass, cost, time and findings
/// side by side.
///
/// # Errors
/// As [`Casting::plan`]; [`ErrorKind::Document`] for no castings.
#[questions("plan.compare", long)]
pub fn compare(
    /// The castings.
    castings: &[Casting],
    cancel: Cancel<'_>,
) -> Result<Comparison> {
    if castings.is_empty() {
        return Err(Error::new(ErrorKind::Document, "castings")
            .with_value("an empty list")
            .with_way_out("give the castings to compare, two or more"));
    }
    let rows = castings
        .iter()
        .enumerate()
        .map(|(i, c)| {
            c.plan(cancel)
                .map(|p| row(&p))
                .map_err(|e| e.within(format!("castings[{i}]")))
        })
        .collect::<Result<_>>()?;
    Ok(Comparison { rows })
}

fn row(p: &Plan) -> ComparisonRow {
    let count = |s: Severity| p.findings.iter().filter(|f| f.severity == s).count();
    let duration = match (p.steps.first(), p.steps.last()) {
        (Some(a), Some(b)) => b.end.since(a.start),
        _ => Time::default(),
    };
    ComparisonRow {
        casting: p.casting.clone(),
        part_mass: p.part_mass,
        cost: p.cost,
        batches: p.batches.len(),
        duration,
        hands: p
            .steps
            .iter()
            .fold(Time::default(), |sum, s| sum + s.end.since(s.start)),
        stops: count(Severity::Stop),
        warnings: count(Severity::Warning),
    }
}
