//! Which dose, thickness or hour of starting makes a good part likeliest: tried with the same draws.

use crate::cancel::Cancel;
use crate::error::{Error, ErrorKind, Result};
use crate::material::Catalogue;
use crate::mix::Dose;
use crate::noun::{Noun, questions};
use crate::plan::{Casting, Clock, ZoneLayer};
use crate::quantity::{Length, show};
use crate::source::Why;
use gelwright_base::numeric::beta;
use gelwright_base::reliability::Proportion;

use super::answer::share;
use super::draws::{Ready, Went, went};
use super::spreads::RiskSpreads;

/// What is tried, and the values of it.
#[derive(Clone, PartialEq, Noun)]
#[noun(tag = "what")]
#[non_exhaustive]
pub enum WhatToTry {
    /// The dose of a recipe's initiator or hardener.
    Dose {
        /// The recipe.
        recipe: String,
        /// The doses.
        values: Vec<Dose>,
    },
    /// The wet thickness of each coat of a zone's gel coat, or the depth of its pour.
    Thickness {
        /// The zone.
        zone: String,
        /// Which of its layers, counted from 0.
        layer: usize,
        /// The thicknesses.
        values: Vec<Length>,
    },
    /// The hour of starting; the end of the working day moves with it.
    Start {
        /// The hours.
        values: Vec<Clock>,
    },
}

/// Which value makes a good part likeliest.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Likeliest {
    /// That value.
    pub best: String,
    /// All that were tried, in their order.
    pub tries: Vec<LikeliestTry>,
    /// The values that the draws do not tell from the best.
    #[noun(default)]
    pub as_good: Vec<String>,
    /// How many draws each had: the same ones.
    pub draws: u32,
    /// The chain behind it.
    pub why: Why,
}

/// A value that was tried.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LikeliestTry {
    /// The value.
    pub value: String,
    /// How likely it comes out; none where no plan can be made with it.
    pub comes_out: Option<Proportion>,
    /// How likely without any warning.
    pub good: Option<Proportion>,
    /// Why no plan can be made with it.
    pub refused: Option<String>,
}

/// Most values of one search.
const MOST: usize = 100;
/// Two values that differ as seldom as this by chance are told apart.
const BY_CHANCE: f64 = 0.05;

impl WhatToTry {
    /// Each value with the casting that has it.
    fn castings(&self, casting: &Casting, catalogue: &Catalogue) -> Result<Vec<(String, Casting)>> {
        match self {
            WhatToTry::Dose { recipe, values } => {
                let known = casting.recipes.get(recipe).ok_or_else(|| {
                    Error::unknown_name("what.recipe", recipe, casting.recipes.keys().map(String::as_str))
                })?;
                let with = |dose: &Dose| {
                    let mut changed = casting.clone();
                    changed
                        .recipes
                        .insert(recipe.clone(), known.with_cure_dose(*dose, catalogue)?);
                    Ok((crate::noun::to_text(dose).trim_matches('"').to_owned(), changed))
                };
                values.iter().map(with).collect()
            }
            WhatToTry::Thickness { zone, layer, values } => {
                let names = || casting.zones.iter().map(|z| z.name.as_str());
                let z = casting
                    .zones
                    .iter()
                    .position(|z| z.name == *zone)
                    .ok_or_else(|| Error::unknown_name("what.zone", zone, names()))?;
                let layers = casting.zones[z].layers.len();
                if *layer >= layers {
                    return Err(Error::out_of_range(
                        "what.layer",
                        layer,
                        format!("0 to {}", layers.saturating_sub(1)),
                        "layers are counted from 0, the one against the mould",
                    ));
                }
                let with = |thickness: &Length| {
                    let mut changed = casting.clone();
                    match &mut changed.zones[z].layers[*layer] {
                        ZoneLayer::GelCoat(g) => g.wet_thickness = *thickness,
                        ZoneLayer::Pour(p) if p.volume.is_none() && p.measured.is_none() => {
                            p.thickness = Some(*thickness)
                        }
                        other => {
                            return Err(Error::inconsistent(
                                "what.layer",
                                other.kind(),
                                "a gel coat, or a pour that is given by its thickness",
                                "a laminate is as thick as its plies: try another lay-up",
                            ));
                        }
                    }
                    Ok((show(*thickness).to_string(), changed))
                };
                values.iter().map(with).collect()
            }
            WhatToTry::Start { values } => Ok(values
                .iter()
                .map(|start| {
                    let mut changed = casting.clone();
                    let later = start.since(casting.shop.start);
                    changed.shop.start = *start;
                    changed.shop.end = casting.shop.end.map(|end| end.after(later));
                    (start.to_string(), changed)
                })
                .collect()),
        }
    }
}

/// How a value went in each draw, or why no plan can be made with it.
type Tried = (String, Result<Vec<Went>>);

#[questions(TRYING)]
impl Casting {
    /// Which dose, thickness or hour of starting makes a good part likeliest.
    ///
    /// Every value is tried with the same draws (common random numbers), so that what differs is the value. The best has most draws that
    /// come out, and of these most without warning. Another is as good where the draws in which the two went otherwise
    /// favour either side as a coin would (sign test, 5 %).
    ///
    /// # Errors
    /// `OutOfRange` for no value, more than a hundred, no draws; `UnknownName` for a recipe or zone; `Inconsistent` for a layer
    /// without a thickness of its own; `NoSolution` where no plan can be made with any of the values; as [`Casting::risk`].
    #[question("risk.likeliest", long)]
    pub fn likeliest(
        &self,
        /// What is tried.
        what: &WhatToTry,
        /// How far off what the bench does not tell may be.
        #[noun(default)]
        spreads: &RiskSpreads,
        /// How many draws of each value.
        #[noun(default = 256, within(1, 100000, "some hundreds"))]
        draws: u32,
        /// Where they come from.
        #[noun(default = 0)]
        seed: u64,
        cancel: Cancel<'_>,
    ) -> Result<Likeliest> {
        self.check()?;
        let catalogue = self.catalogue()?;
        let castings = what.castings(self, &catalogue)?;
        if castings.is_empty() || castings.len() > MOST {
            return Err(Error::out_of_range(
                "what.values",
                format_args!("{} values", castings.len()),
                format!("1 to {MOST}"),
                "give the values between which you choose",
            ));
        }
        let mut tried: Vec<Tried> = Vec::new();
        for (value, casting) in castings {
            let went = Ready::new(&casting, spreads, seed, cancel)
                .and_then(|ready| Ok(ready.draws(0, draws, cancel)?.iter().map(went).collect()));
            match went {
                Err(e) if e.kind() == ErrorKind::Cancelled => return Err(e),
                went => tried.push((value, went)),
            }
        }
        answer(&tried, draws)
    }
}

fn count(went: &[Went], least: Went) -> usize {
    went.iter().filter(|w| **w >= least).count()
}

fn answer(tried: &[Tried], draws: u32) -> Result<Likeliest> {
    let planned = || {
        tried
            .iter()
            .filter_map(|(value, went)| Some((value, went.as_ref().ok()?)))
    };
    let score = |went: &Vec<Went>| (count(went, Went::Warned), count(went, Went::Well));
    // Of equals the first.
    let best = planned().reduce(|a, b| if score(b.1) > score(a.1) { b } else { a });
    let Some((best, went)) = best else {
        let why = tried.iter().find_map(|(_, w)| w.as_ref().err()).map(Error::alone);
        return Err(Error::no_solution(
            "what.values",
            "a value with which a plan can be made",
            why.unwrap_or_default(),
            "plan the casting first, then try values near those that can be planned",
        ));
    };
    let tries = tried
        .iter()
        .map(|(value, went)| {
            let told = |least: Went| {
                let went = went.as_ref().ok();
                went.map(|w| share(count(w, least), w.len())).transpose()
            };
            Ok(LikeliestTry {
                value: value.clone(),
                comes_out: told(Went::Warned)?,
                good: told(Went::Well)?,
                refused: went.as_ref().err().map(Error::alone),
            })
        })
        .collect::<Result<_>>()?;
    let as_good = planned()
        .filter(|(value, other)| *value != best && by_chance(went, other) > BY_CHANCE)
        .map(|(value, _)| value.clone())
        .collect();
    Ok(Likeliest {
        best: best.clone(),
        tries,
        as_good,
        draws,
        why: Why::computed(
            "likeliest to come out",
            best.clone(),
            "most draws without a broken stop, then most without a broken warning; the same draws for every value; sign test",
            vec![],
        ),
    })
}

/// How likely two equally good values differ by chance as these do: a sign test on the draws that went otherwise.
fn by_chance(a: &[Went], b: &[Went]) -> f64 {
    let pairs = || a.iter().zip(b);
    let better = pairs().filter(|(a, b)| a > b).count() as u64;
    let worse = pairs().filter(|(a, b)| a < b).count() as u64;
    (2.0 * beta::binomial(better.min(worse), better + worse, 0.5)).min(1.0)
}
