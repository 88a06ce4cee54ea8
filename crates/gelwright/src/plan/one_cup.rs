//! One cup, today: the question asked most often. How much of what, how long it lasts, what is wrong with it.

use super::checks;
use super::job::Wanted;
use super::layout::Mix;
use super::working_time::{self, WorkingTime};
use crate::cure::gel_table::{DoseForGelTime, GelTable, GelTime};
use crate::error::{Error, ErrorKind, Result, finite};
use crate::limit::{Finding, LimitQuantity, Limits, Measured};
use crate::material::Catalogue;
use crate::mix::{Amount, Batch, Bench, Dose, Recipe};
use crate::noun::{Noun, questions};
use crate::quantity::{Phr, Quantity, ThermodynamicTemperature, Time};

/// The cup as it is to be mixed.
#[derive(Clone, PartialEq, Noun)]
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

#[questions(MIXING)]
impl Recipe {
    /// One cup today: grams, millilitres and drops of each part, gel time, findings; or the dose for a wanted gel time.
    ///
    /// # Errors
    /// As [`Batch::new`]; [`ErrorKind::NoSolution`] if no dose inside the limits gives the wanted gel time.
    #[question("plan.cup")]
    pub fn mix(
        &self,
        /// How much.
        amount: Amount,
        /// What it is measured with.
        bench: &Bench,
        /// Temperature of resin and air.
        #[noun(within = crate::ranges::BENCH_TEMPERATURE)]
        at: ThermodynamicTemperature,
        /// The gel time wanted: the initiator's dose is then worked out, and the recipe's own is not used.
        wanted_gel_time: Option<Time>,
        /// A catalogue document of your own materials, added to the generic ones: its TOML text, or the same as tables.
        #[noun(default)]
        catalogue: &Catalogue,
    ) -> Result<CupToday> {
        bench.check().map_err(|e| e.within("bench"))?;
        finite("at", at.si())?;
        let mut limits = Limits::generic()?;
        let mut recipe = self.clone();
        let mut dose = None;
        let looked_at =
            |recipe: &Recipe| Mix::new("recipe", recipe, catalogue, bench).map_err(|e| e.within("recipe"));
        if let Some(time) = wanted_gel_time {
            let mix = looked_at(&recipe)?;
            checks::add_windows(&mut limits, &mix)?;
            let found = dose_for(&mix, &limits, at, time)?;
            recipe = recipe.with_cure_dose(Dose::ByMass(found.dose), catalogue)?;
            dose = Some(found);
        }
        let mix = looked_at(&recipe)?;
        checks::add_windows(&mut limits, &mix)?;
        let batch = Batch::new(&recipe, amount, catalogue, bench)?;
        // A dose or a temperature far off its table is a finding, not the end of the answer.
        let (gel_time, far_off) = match working_time::of(&mix, at)? {
            WorkingTime::Known(gel) => (Some(gel), None),
            WorkingTime::Unknown => (None, None),
            WorkingTime::FarOff(off) => (None, Some(off)),
        };
        let mut measures = checks::of_the_mix(&mix, &mix.tags, gel_time.as_ref())?;
        measures.push(Measured::new(
            LimitQuantity::ResinTemperature,
            "resin in the cup",
            &mix.tags,
            at,
        ));
        measures.push(Measured::new(
            LimitQuantity::ShopTemperature,
            "air in the shop",
            &mix.tags,
            at,
        ));
        measures.extend(checks::of_the_dose("this cup", &mix.tags, &batch, bench)?);
        let (mut findings, kept) = checks::hold(&limits, &measures, Wanted::Told)?;
        if gel_time.is_none() {
            findings.push(checks::no_gel_time("this cup", &mix, far_off.as_ref()));
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
}

/// The dose for a gel time, inside the limits.
fn dose_for(mix: &Mix, limits: &Limits, at: ThermodynamicTemperature, time: Time) -> Result<DoseForGelTime> {
    let resin = mix.resin();
    let Some(times) = &resin.resin()?.gel_times else {
        return Err(Error::new(ErrorKind::NoSolution, "wanted_gel_time")
            .with_value(format_args!("a dose for '{}'", resin.id))
            .with_way_out(
                "enter its data sheet's gel times (two points or more), or those of two test cups",
            ));
    };
    let table = GelTable::of_sheet(times)?;
    // Published windows may contradict each other so far that no dose keeps them all; then what all of them
    // call wrong bounds the search, and the findings say which of them the dose breaks.
    let (least, most) = match limits.window(LimitQuantity::CatalystDose, &mix.tags)? {
        (Some(l), Some(h)) if l >= h => limits.window_of_stops(LimitQuantity::CatalystDose, &mix.tags)?,
        window => window,
    };
    let doses = table.doses();
    let least = least.map_or(Ok(doses.0), Phr::new)?;
    let most = most.map_or(Ok(doses.1), Phr::new)?;
    table
        .dose_for(time, at, least, most)
        .map_err(|e| e.at("wanted_gel_time"))
}
