//! Several castings side by side.

use super::casting::Casting;
use super::planned::{Plan, Verdict};
use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{Finding, Severity};
use crate::noun::{Noun, questions};
use crate::quantity::{
    Length, Mass, Money, Pressure, Quantity, RelativeAmount, ThermodynamicTemperature, Time,
};

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
    /// The gel time of the cup that gels first, where it is known.
    pub shortest_gel_time: Option<Time>,
    /// Hottest of all zones, where it is known.
    pub peak: Option<ThermodynamicTemperature>,
    /// Thickness of the thinnest zone as laid, where it is known.
    pub thinnest: Option<Length>,
    /// Thickness of the thickest zone as laid, where it is known.
    pub thickest: Option<Length>,
    /// Part of the light that comes through the zone that lets most through, where it is known.
    pub light_through: Option<RelativeAmount>,
    /// Tensile strength of the weakest laminate, where it is known.
    pub strength: Option<Pressure>,
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
    /// Whether to cast as planned.
    pub verdict: Verdict,
    /// Findings that say not to start.
    pub stops: usize,
    /// Findings that say the part may fail.
    pub warnings: usize,
    /// The finding that weighs most, where there is one.
    pub worst: Option<Finding>,
}

/// Plans several castings (one part by several recipes, in several shops) and gives what they come to side by side:
/// gel time, peak, thickness, mass, cost, light, strength, hours, findings.
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
            c.plan_without_cures(cancel)
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
        shortest_gel_time: least(p.batches.iter().filter_map(|b| Some(b.gel_time.as_ref()?.time))),
        peak: most(p.zones.iter().filter_map(|z| Some(z.exotherm.as_ref()?.peak))),
        thinnest: least(p.zones.iter().filter_map(|z| z.cured_thickness)),
        thickest: most(p.zones.iter().filter_map(|z| z.cured_thickness)),
        light_through: most(
            p.zones
                .iter()
                .filter_map(|z| Some(z.light_through.as_ref()?.through)),
        ),
        strength: least(p.zones.iter().filter_map(|z| Some(z.shell.as_ref()?.strength))),
        part_mass: p.part_mass,
        cost: p.cost,
        batches: p.batches.len(),
        duration,
        hands: p
            .steps
            .iter()
            .fold(Time::default(), |sum, s| sum + s.end.since(s.start)),
        verdict: p.verdict(),
        stops: count(Severity::Stop),
        warnings: count(Severity::Warning),
        worst: p.findings.first().cloned(),
    }
}

fn least<Q: Quantity>(all: impl Iterator<Item = Q>) -> Option<Q> {
    all.min_by(|a, b| a.si().total_cmp(&b.si()))
}

fn most<Q: Quantity>(all: impl Iterator<Item = Q>) -> Option<Q> {
    all.max_by(|a, b| a.si().total_cmp(&b.si()))
}
