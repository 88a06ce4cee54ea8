//! The draws of a plan, which can be written down at any time and gone on with.

use crate::cancel::Cancel;
use crate::cores::{finished, on_all_cores};
use crate::error::Result;
use crate::limit::{LimitQuantity, Severity};
use crate::noun::{Noun, questions};
use crate::numeric::normal;
use crate::plan::{Casting, Drawing, DrawnPlan};
use crate::sample::sobol::Sobol;
use gelwright_base::reliability::Correlation;

use super::spreads::RiskSpreads;

/// Draws of a plan: written as a document and read back they are gone on with to the same bits, on any number of threads.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct RiskDraws {
    /// What is cast.
    pub casting: Casting,
    /// What is left open, and how far.
    pub spreads: RiskSpreads,
    /// Where the draws come from.
    pub seed: u64,
    /// Limits that some draw broke.
    #[noun(default)]
    pub limits: Vec<DrawnLimit>,
    /// What each draw came to, in order.
    #[noun(default)]
    pub rows: Vec<DrawRow>,
}

/// A limit that some draw broke.
#[derive(Clone, PartialEq, Noun)]
pub struct DrawnLimit {
    /// Its name.
    pub limit: String,
    /// What is bounded.
    pub quantity: LimitQuantity,
    /// Of what.
    pub subject: String,
    /// How bad that is.
    pub severity: Severity,
    /// What goes wrong.
    pub message: String,
}

/// What a draw came to.
#[derive(Clone, PartialEq, Noun)]
pub struct DrawRow {
    /// The limits that it broke, by their places in [`RiskDraws::limits`].
    #[noun(default)]
    pub broken: Vec<usize>,
    /// The numbers that it shows, in SI, in the order of [`Risk::numbers`](super::Risk::numbers).
    #[noun(default)]
    pub shown: Vec<Option<f64>>,
    /// Why it could not be planned, where it could not: it counts as spoiled.
    pub refused: Option<String>,
}

/// How a draw went, the better the greater.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Went {
    Spoiled,
    /// No stop was broken, a warning was.
    Warned,
    Well,
}

/// What a plan is drawn from, made ready.
pub(super) struct Ready {
    pub(super) drawing: Drawing,
    sobol: Sobol,
    pub(super) correlation: Option<Correlation>,
}

impl Ready {
    pub(super) fn new(
        casting: &Casting,
        spreads: &RiskSpreads,
        seed: u64,
        cancel: Cancel<'_>,
    ) -> Result<Self> {
        crate::noun::check(spreads).map_err(|e| e.within("spreads"))?;
        let drawing = Drawing::new(casting, spreads.openness(), cancel)?;
        let correlation = spreads.correlation(&drawing.open)?;
        Ok(Ready {
            drawing,
            sobol: Sobol::new(seed),
            correlation,
        })
    }

    /// Independent standard normal numbers of a draw: of its point, or of the one beside it.
    pub(super) fn independent(&self, draw: u32, beside: bool) -> Vec<f64> {
        let inputs = self.drawing.open.len();
        let first = if beside { inputs } else { 0 };
        (0..inputs)
            .map(|j| normal::quantile(self.sobol.at(first + j, draw)))
            .collect()
    }

    /// The plan at independent standard normal numbers; a refusal is an answer.
    pub(super) fn ask(&self, independent: &[f64], cancel: Cancel<'_>) -> Result<Result<DrawnPlan>> {
        finished(match &self.correlation {
            Some(correlation) => self.drawing.draw(&correlation.together(independent), cancel),
            None => self.drawing.draw(independent, cancel),
        })
    }

    /// So many draws from one on.
    pub(super) fn draws(&self, first: u32, count: u32, cancel: Cancel<'_>) -> Result<Vec<Result<DrawnPlan>>> {
        on_all_cores(
            count as usize,
            || (),
            |(), i| {
                #[allow(clippy::cast_possible_truncation)]
                let draw = first + i as u32;
                self.ask(&self.independent(draw, false), cancel)
            },
        )
    }
}

/// How a draw went.
pub(super) fn went(plan: &Result<DrawnPlan>) -> Went {
    match plan {
        Err(_) => Went::Spoiled,
        Ok(plan) => of_worst(plan.broken.iter().map(|f| f.severity).max()),
    }
}

fn of_worst(worst: Option<Severity>) -> Went {
    match worst {
        Some(Severity::Stop) => Went::Spoiled,
        Some(Severity::Warning) => Went::Warned,
        Some(Severity::Advice) | None => Went::Well,
    }
}

/// How many draws are made between two looks at what is kept.
const BLOCK: u32 = 64;

#[questions(GOING_ON)]
impl RiskDraws {
    /// Draws of a casting's plan, none drawn yet.
    #[question("risk.begin")]
    pub fn begin(
        /// What is cast.
        casting: &Casting,
        /// How far off what the bench does not tell may be.
        #[noun(default)]
        spreads: &RiskSpreads,
        /// Where the draws come from.
        #[noun(default = 0)]
        seed: u64,
    ) -> Self {
        RiskDraws {
            casting: casting.clone(),
            spreads: spreads.clone(),
            seed,
            limits: vec![],
            rows: vec![],
        }
    }

    /// The same gone on with until there are so many; as they are where there are already.
    ///
    /// However often it is stopped between, the draws are the same to the last bit.
    ///
    /// # Errors
    /// As [`RiskDraws::go_on`].
    #[question("risk.go_on", long)]
    pub fn with_draws(
        &self,
        /// How many draws there are then.
        #[noun(within = crate::ranges::DRAWS)]
        draws: u32,
        cancel: Cancel<'_>,
    ) -> Result<RiskDraws> {
        let mut more = self.clone();
        more.go_on(draws, cancel)?;
        Ok(more)
    }

    /// Goes on until there are so many.
    ///
    /// # Errors
    /// As [`Casting::plan`] for what can not be planned as it stands; `Inconsistent` for correlations that are not positive definite;
    /// `Cancelled`, after which what was drawn is kept.
    pub fn go_on(&mut self, draws: u32, cancel: Cancel<'_>) -> Result<()> {
        let ready = Ready::new(&self.casting, &self.spreads, self.seed, cancel)?;
        self.go_on_from(&ready, draws, cancel)
    }

    #[allow(clippy::cast_possible_truncation)]
    pub(super) fn go_on_from(&mut self, ready: &Ready, draws: u32, cancel: Cancel<'_>) -> Result<()> {
        while self.rows.len() < draws as usize {
            let first = self.rows.len() as u32;
            for drawn in ready.draws(first, BLOCK.min(draws - first), cancel)? {
                self.keep(drawn);
            }
        }
        Ok(())
    }

    fn keep(&mut self, drawn: Result<DrawnPlan>) {
        let row = match drawn {
            Err(e) => DrawRow {
                broken: vec![],
                shown: vec![],
                refused: Some(e.alone()),
            },
            Ok(plan) => {
                let mut broken: Vec<usize> = Vec::new();
                for f in plan.broken {
                    let same = |l: &DrawnLimit| {
                        l.limit == f.limit && l.subject == f.subject && l.severity == f.severity
                    };
                    let at = self.limits.iter().position(same).unwrap_or_else(|| {
                        self.limits.push(DrawnLimit {
                            limit: f.limit,
                            quantity: f.quantity,
                            subject: f.subject,
                            severity: f.severity,
                            message: f.message,
                        });
                        self.limits.len() - 1
                    });
                    if !broken.contains(&at) {
                        broken.push(at);
                    }
                }
                DrawRow {
                    broken,
                    shown: plan.shown.into_iter().map(|s| s.value).collect(),
                    refused: None,
                }
            }
        };
        self.rows.push(row);
    }

    /// How each draw went.
    pub(super) fn went(&self) -> Vec<Went> {
        let of = |row: &DrawRow| match row.refused {
            Some(_) => Went::Spoiled,
            None => of_worst(
                row.broken
                    .iter()
                    .filter_map(|i| Some(self.limits.get(*i)?.severity))
                    .max(),
            ),
        };
        self.rows.iter().map(of).collect()
    }
}
