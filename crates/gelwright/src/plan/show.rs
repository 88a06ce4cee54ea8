//! A plan read back, and the chain behind a number.

use super::planned::Plan;
use crate::error::{Error, Result};
use crate::source::Why;

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
}
