//! One cup, today: the question asked most often. How much of what, how long it lasts, what is wrong with it.

use std::collections::BTreeMap;

use crate::noun::Noun;

use super::layout::Mix;
use super::{checks, working_time};
use crate::cure::gel_table::{DoseForGelTime, GelTime};
use crate::door::Question;
use crate::error::{Error, ErrorKind, Result};
use crate::limit::{Finding, LimitQuantity, Limits};
use crate::material::Catalogue;
use crate::mix::{Amount, Batch, Bench, Dose, Recipe};
use crate::quantity::{Phr, ThermodynamicTemperature, Time};

/// A cup to be mixed now.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct OneCup {
    /// What is mixed.
    pub recipe: Recipe,
    /// How much.
    pub amount: Amount,
    /// Temperature of resin and air.
    pub temperature: ThermodynamicTemperature,
    /// What it is measured with.
    pub bench: Bench,
    /// The gel time wanted: the initiator's dose is then worked out, and the recipe's own is not used.
    pub wanted_gel_time: Option<Time>,
    /// Sources that the materials name.
    #[noun(default)]
    pub source: BTreeMap<String, serde_json::Value>,
    /// Materials of this shop, added to the generic catalogue or built on one of its entries with `base`.
    #[noun(default)]
    pub material: BTreeMap<String, serde_json::Value>,
}

/// The cup as it is to be mixed.
#[derive(Debug, Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CupToday {
    /// What to weigh, count and pour.
    pub batch: Batch,
    /// How long until it gels, where the sheet tells.
    pub gel_time: Option<GelTime>,
    /// How the dose for the wanted gel time came about.
    pub dose: Option<DoseForGelTime>,
    /// Limits that are broken.
    pub findings: Vec<Finding>,
    /// Limits that are kept, with their margins.
    pub kept: Vec<Finding>,
}

impl Question for OneCup {
    const NAME: &'static str = "plan.cup";
    const ABOUT: &'static str = "One cup today: grams, millilitres and drops of each part, gel time, findings; \
                                 or the dose for a wanted gel time.";
    type Answer = CupToday;
    fn answer(&self) -> Result<CupToday> {
        let mut catalogue = Catalogue::generic().clone();
        if !self.material.is_empty() {
            catalogue.extend(super::casting::embedded(
                &self.source,
                "material",
                serde_json::json!(self.material),
            ))?;
        }
        self.mix_in(&catalogue)
    }
}

impl OneCup {
    /// Answers with the materials of `catalogue`.
    ///
    /// # Errors
    /// As [`Batch::new`]; [`ErrorKind::NoSolution`] if no dose inside the limits gives the wanted gel time.
    pub fn mix_in(&self, catalogue: &Catalogue) -> Result<CupToday> {
        self.bench.check().map_err(|e| e.within("bench"))?;
        super::casting::within(
            "temperature",
            self.temperature,
            "-20 degC",
            "60 degC",
            "give the temperature that the thermometer shows",
        )?;
        let mut limits = Limits::generic()?;
        let mut recipe = self.recipe.clone();
        let mut dose = None;
        if let Some(time) = self.wanted_gel_time {
            let mix = Mix::new("recipe", &recipe, catalogue, &self.bench).map_err(|e| e.within("recipe"))?;
            checks::add_windows(&mut limits, &mix)?;
            let found = self.dose_for(&mix, &limits, time)?;
            recipe = recipe.with_cure_dose(Dose::ByMass(found.dose), catalogue)?;
            dose = Some(found);
        }
        let mix = Mix::new("recipe", &recipe, catalogue, &self.bench).map_err(|e| e.within("recipe"))?;
        checks::add_windows(&mut limits, &mix)?;
        let batch = Batch::new(&recipe, self.amount, catalogue, &self.bench)?;
        // A dose or a temperature far off its table is a finding, not the end of the answer.
        let (gel_time, refused) = match working_time::gel_time(&mix, self.temperature) {
            Ok(gel) => (gel, None),
            Err(e) if e.kind() == ErrorKind::OutOfRange => (None, Some(e)),
            Err(e) => return Err(e),
        };
        let mut measures = checks::of_the_mix(&mix, &[], gel_time.as_ref())?;
        measures.push(crate::limit::Measure::new(
            LimitQuantity::ResinTemperature,
            "resin in the cup",
            &mix.tags,
            self.temperature,
        ));
        measures.extend(checks::of_the_dose("this cup", &mix.tags, &batch)?);
        let (mut findings, mut kept) = (Vec::new(), Vec::new());
        for m in &measures {
            for f in limits.check(m)? {
                if f.broken && !f.set_aside {
                    findings.push(f)
                } else {
                    kept.push(f)
                }
            }
        }
        checks::soften_where_rules_conflict(&mut findings, &kept);
        if gel_time.is_none() {
            findings.push(checks::no_gel_time("this cup", &mix, refused.as_ref()));
        }
        findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
        Ok(CupToday {
            batch,
            gel_time,
            dose,
            findings,
            kept,
        })
    }

    fn dose_for(&self, mix: &Mix, limits: &Limits, time: Time) -> Result<DoseForGelTime> {
        let resin = mix.resin();
        let Some(times) = &resin.resin()?.gel_times else {
            return Err(Error::new(ErrorKind::NoSolution, "wanted_gel_time")
                .with_value(format_args!("a dose for '{}'", resin.id))
                .with_way_out(
                    "enter its data sheet's gel times (two points or more), or those of two test cups",
                ));
        };
        let table = working_time::table_of(times)?;
        // Published windows may contradict each other so far that no dose keeps them all; then what all of them
        // call wrong bounds the search, and the findings say which of them the dose breaks.
        let (least, most) = match limits.window(LimitQuantity::CatalystDose, &mix.tags)? {
            (Some(l), Some(h)) if l >= h => limits.window_of_stops(LimitQuantity::CatalystDose, &mix.tags)?,
            window => window,
        };
        let doses = table.doses();
        let window = (
            least.map_or(Ok(doses.0), Phr::new)?,
            most.map_or(Ok(doses.1), Phr::new)?,
        );
        table
            .dose_for(time, self.temperature, window)
            .map_err(|e| e.at("wanted_gel_time"))
    }
}
