//! Questions about plans: make one, show it, compare several.

use crate::noun::Noun;

use super::{Casting, Plan, page_of};
use crate::cancel::Cancel;
use crate::door::{LongQuestion, Question, entry, long_entry};
use crate::error::{Error, ErrorKind, Result};
use crate::limit::Severity;
use crate::quantity::{Mass, Money, Time};
use crate::question::Entry;

/// The casting, as a JSON object or as the text of a TOML document.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct MakePlan {
    /// The casting as an object.
    pub casting: Option<Casting>,
    /// The casting as the text of a TOML document.
    pub casting_toml: Option<String>,
}

fn plan_of(casting: Option<&Casting>, toml: Option<&str>, cancel: Cancel<'_>) -> Result<Plan> {
    match (casting, toml) {
        (Some(c), None) => Plan::new_with(c, cancel).map_err(|e| e.within("casting")),
        (None, Some(t)) => Plan::new_with(&Casting::from_toml(t)?, cancel),
        _ => Err(Error::new(ErrorKind::Document, "casting")
            .with_value("both or neither of 'casting' and 'casting_toml'")
            .with_way_out("give the casting once: as an object or as TOML text")),
    }
}

impl Question for MakePlan {
    const NAME: &'static str = "plan.make";
    const ABOUT: &'static str =
        "Plans a casting: batches, steps on the clock, shot list, findings, cost, cautions.";
    type Answer = Plan;
    fn answer(&self) -> Result<Plan> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for MakePlan {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<Plan> {
        plan_of(self.casting.as_ref(), self.casting_toml.as_deref(), cancel)
    }
}

fn check_plan(plan: &Plan) -> Result<()> {
    crate::document::check_version(plan.version, super::PLAN_VERSION)
}

/// A plan as text for the bench.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ShowPlan {
    /// The plan as `plan.make` answered it.
    pub plan: Plan,
}

/// The text.
#[derive(Debug, Clone, Noun)]
pub struct PlanSheet {
    /// Plain text, 100 columns.
    pub text: String,
}

impl Question for ShowPlan {
    const NAME: &'static str = "plan.sheet";
    const ABOUT: &'static str = "A plan as plain text for the bench.";
    type Answer = PlanSheet;
    fn answer(&self) -> Result<PlanSheet> {
        check_plan(&self.plan).map_err(|e| e.within("plan"))?;
        Ok(PlanSheet {
            text: self.plan.sheet(),
        })
    }
}

/// Plans as a page.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ShowPlanAsPage {
    /// Plans as `plan.make` answered them.
    pub plans: Vec<Plan>,
}

/// The page.
#[derive(Debug, Clone, Noun)]
pub struct PlanPage {
    /// A whole HTML page that needs no network and prints.
    pub html: String,
    /// Each plan as an HTML fragment, for a notebook.
    pub fragments: Vec<String>,
}

impl Question for ShowPlanAsPage {
    const NAME: &'static str = "plan.page";
    const ABOUT: &'static str = "Plans as a self-contained HTML page and as fragments for a notebook.";
    type Answer = PlanPage;
    fn answer(&self) -> Result<PlanPage> {
        for (i, p) in self.plans.iter().enumerate() {
            check_plan(p).map_err(|e| e.within(format!("plans[{i}]")))?;
        }
        Ok(PlanPage {
            html: page_of(&self.plans),
            fragments: self.plans.iter().map(Plan::table).collect(),
        })
    }
}

/// Castings to compare: one part by several recipes, in several shops.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct ComparePlans {
    /// The castings as objects.
    pub castings: Vec<Casting>,
}

/// The castings side by side.
#[derive(Debug, Clone, Noun)]
pub struct Comparison {
    /// One row a casting, in the order given.
    pub rows: Vec<ComparisonRow>,
}

/// One casting of a comparison.
#[derive(Debug, Clone, Noun)]
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

impl Question for ComparePlans {
    const NAME: &'static str = "plan.compare";
    const ABOUT: &'static str =
        "Plans several castings and gives their mass, cost, time and findings side by side.";
    type Answer = Comparison;
    fn answer(&self) -> Result<Comparison> {
        self.answer_with(Cancel::NEVER)
    }
}

impl LongQuestion for ComparePlans {
    fn answer_with(&self, cancel: Cancel<'_>) -> Result<Comparison> {
        if self.castings.is_empty() {
            return Err(Error::new(ErrorKind::Document, "castings")
                .with_value("an empty list")
                .with_way_out("give the castings to compare, two or more"));
        }
        let rows = self
            .castings
            .iter()
            .enumerate()
            .map(|(i, c)| {
                Plan::new_with(c, cancel)
                    .map(|p| row(&p))
                    .map_err(|e| e.within(format!("castings[{i}]")))
            })
            .collect::<Result<_>>()?;
        Ok(Comparison { rows })
    }
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

pub(crate) const QUESTIONS: &[Entry] = &[
    long_entry::<MakePlan>(),
    entry::<ShowPlan>(),
    entry::<ShowPlanAsPage>(),
    long_entry::<ComparePlans>(),
    entry::<super::OneCup>(),
];
