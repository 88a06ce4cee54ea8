//! What is left in the cups at the end of the day: how hot it gets there, and how thin it is to be spread.

use super::casting::Casting;
use super::exotherm;
use super::job::Job;
use super::schedule::Slips;
use super::steps;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::material::Caution;
use crate::noun::{Noun, questions};
use crate::quantity::{Area, Length, Mass, ThermodynamicTemperature, Time};
use crate::source::Why;

/// What a cup leaves.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LeftoverOfCup {
    /// The cup.
    pub cup: String,
    /// Its recipe.
    pub recipe: String,
    /// What of it is mixed and not laid: what stays in it and its tools, and the stated waste.
    /// What a seam squeezes out counts too.
    pub left: Mass,
    /// The depth in a tray up to which it stays below the temperature asked for; nothing where even 0.5 mm does not.
    pub depth: Option<Length>,
    /// The tray that all that is left fills to that depth.
    pub tray: Option<Area>,
    /// The hottest of that depth, and when after the catalyst is in.
    pub peak: Option<ThermodynamicTemperature>,
    /// When that is.
    pub peak_at: Option<Time>,
    /// The hottest of what is left, if it stays in a cup as wide as that is deep.
    pub in_a_cup: Option<ThermodynamicTemperature>,
    /// The hottest of the whole cup, if it is left full.
    pub full_cup: Option<ThermodynamicTemperature>,
    /// The chain behind the depth.
    pub why: Option<Why>,
}

/// What the cups of a day leave, and how to let it cure.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Leftovers {
    /// The temperature that it is to stay below.
    pub below: ThermodynamicTemperature,
    /// Cup by cup.
    pub cups: Vec<LeftoverOfCup>,
    /// What it defers to.
    pub defers: String,
}

#[questions(CLEARING_AWAY)]
impl Casting {
    /// How thin the leftovers of each cup are to be spread, and how hot they get in the cup.
    ///
    /// By the exotherm of [`Wall::thickest_pour`](crate::heat::Wall::thickest_pour): a layer in a shallow metal tray whose bottom
    /// passes no heat (it stands on wood or soil; on stone or a bench it stays cooler), its face level up in still air as warm
    /// as the shop; the law that the resin's tests and gel times fit best. Depths from 0.5 to 50 mm are tried. What is left of a
    /// cup is what was mixed and is not laid. Default of
    /// the temperature: 51 °C, which burns no skin that touches it for a minute (ISO 13732-1:2006, table 1; from memory). Not
    /// modelled: sun, wind, what is poured into it later.
    ///
    /// # Errors
    /// As [`Casting::plan`].
    #[question("plan.leftovers", long)]
    pub fn leftovers(
        &self,
        /// The temperature that it is to stay below.
        #[noun(default = "51 degC", within = crate::ranges::HEAT_TEMPERATURE)]
        below: ThermodynamicTemperature,
        cancel: Cancel<'_>,
    ) -> Result<Leftovers> {
        cancel.check()?;
        self.check()?;
        let catalogue = self.catalogue()?;
        let tested = self.as_tested()?.casting;
        let job = Job::new(&tested, &catalogue)?;
        let laws = exotherm::calibrated(&job, cancel)?;
        let mut cups = job.cups()?;
        let batches = job.batches(&cups)?;
        // The clock numbers the cups.
        steps::timetable(&job, &mut cups, &batches, Slips::Left, cancel)?;
        let mut told = Vec::with_capacity(cups.len());
        for (cup, batch) in cups.iter().zip(&batches) {
            let left = job.left_of(cup)?;
            let mut of = LeftoverOfCup {
                cup: cup.name.clone(),
                recipe: cup.recipe.clone(),
                left,
                depth: None,
                tray: None,
                peak: None,
                peak_at: None,
                in_a_cup: None,
                full_cup: None,
                why: None,
            };
            let mix = &job.mixes[cup.recipe.as_str()];
            if let Some(law) = laws.get(mix.resin().id.as_str()) {
                of.full_cup = exotherm::peak_in_a_cup(&job, cup, batch.mass, law, cancel)?;
                of.in_a_cup = exotherm::peak_in_a_cup(&job, cup, left, law, cancel)?;
                if let Some(thickest) = exotherm::thickest_leftover(&job, cup, law, below, cancel)? {
                    of.tray = Some(left / mix.unit.density / thickest.thickness);
                    of.depth = Some(thickest.thickness);
                    of.peak = Some(thickest.peak);
                    of.peak_at = Some(thickest.peak_time);
                    of.why = Some(thickest.why);
                }
            }
            told.push(of);
        }
        Ok(Leftovers {
            below,
            cups: told,
            defers: Caution::defers().to_owned(),
        })
    }
}
