//! A plan as people read it: text for the bench, a page, the chain behind a number.

use super::bench_sheet;
use super::page;
use super::planned::Plan;
use crate::error::{Error, Result};
use crate::noun::questions;
use crate::source::Why;

#[questions]
impl Plan {
    /// Reads a plan from JSON.
    ///
    /// # Errors
    /// As [`document::from_json`](crate::document::from_json); [`ErrorKind::Version`](crate::ErrorKind::Version), which
    /// says how a plan of this version is made of an earlier one.
    pub fn from_json(text: &str) -> Result<Plan> {
        crate::document::from_json(text, crate::Cancel::NEVER)
    }

    /// The chain behind an answer: of a batch's catalyst by the batch's name, of a need by its material, of a
    /// gel time by `"gel time of NAME"`.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest name.
    pub fn why(&self, name: &str) -> Result<Why> {
        let mut known: Vec<(String, Why)> = Vec::new();
        for b in &self.batches {
            known.push((b.name.clone(), b.batch.why.clone()));
            known.extend(
                b.gel_time
                    .as_ref()
                    .map(|g| (format!("gel time of {}", b.name), g.why.clone())),
            );
        }
        known.extend(self.needs.iter().map(|n| (n.material.clone(), n.why.clone())));
        known
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, w)| w.clone())
            .ok_or_else(|| Error::unknown_name("why", name, known.iter().map(|(n, _)| n.as_str())))
    }

    /// A plan as plain text for the bench.
    #[question("plan.sheet")]
    pub fn sheet(&self) -> String {
        bench_sheet::sheet(self)
    }

    /// Its findings alone, as plain text.
    pub fn findings_sheet(&self) -> String {
        bench_sheet::findings_sheet(self)
    }

    /// A plan as an HTML fragment, for a notebook.
    #[question("plan.fragment")]
    pub fn fragment(&self) -> String {
        page::fragment(self)
    }
}

/// Plans as one HTML page that needs no network and prints.
#[questions("plan.page")]
pub fn page_of(
    /// The plans.
    plans: &[Plan],
) -> String {
    page::page(plans)
}
