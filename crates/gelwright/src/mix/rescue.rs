//! Working back: from what is left to the largest batch, and from a cup that got the wrong amount to what to add.

use crate::noun::Noun;

use crate::check::{not_negative, positive};
use crate::error::{Error, Result};
use crate::quantity::{self, Mass, Phr, Quantity, Time};

/// What is left of a part, and how much of it the mix takes.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Left {
    /// What it is.
    pub name: String,
    /// What is left in its tin.
    pub left: Mass,
    /// Parts of it on a hundred of resin; the resin itself has 100.
    pub on_resin: Phr,
}

/// The largest batch that what is left allows.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct LargestBatch {
    /// The part that runs out first.
    pub limited_by: String,
    /// Mass of the whole mix.
    pub mass: Mass,
    /// What it takes of each part and what stays, in the order given.
    pub parts: Vec<Drawn>,
}

/// What a batch takes of a part.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Drawn {
    /// What it is.
    pub name: String,
    /// What the batch takes.
    pub takes: Mass,
    /// What stays in the tin.
    pub stays: Mass,
}

/// The largest batch: `m_resin = min(left_i/(p_i/100))` over the parts with `p_i > 0`, the whole `m_resin sum(p_i)/100`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a negative mass;
/// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a mix that takes nothing of anything.
pub fn largest_batch(parts: &[Left]) -> Result<LargestBatch> {
    let mut limiting: Option<(f64, &Left)> = None;
    let mut sum = 0.0;
    for (i, part) in parts.iter().enumerate() {
        let left = not_negative("left", part.left).map_err(|e| e.within(format!("parts[{i}]")))?;
        let p = part.on_resin.per_resin();
        sum += p;
        if p > 0.0 {
            let resin = left / p;
            if limiting.is_none_or(|(least, _)| resin < least) {
                limiting = Some((resin, part));
            }
        }
    }
    let Some((resin, by)) = limiting else {
        return Err(Error::inconsistent(
            "parts",
            "no part that the mix takes",
            "at least one part with 'on_resin' above zero",
            "give the resin with '100 phr' and every other part with its dose",
        ));
    };
    Ok(LargestBatch {
        limited_by: by.name.clone(),
        mass: Mass::from_si(resin * sum)?,
        parts: parts
            .iter()
            .map(|part| {
                let takes = resin * part.on_resin.per_resin();
                Ok(Drawn {
                    name: part.name.clone(),
                    takes: Mass::from_si(takes)?,
                    // the limiting part comes out a rounding away from zero
                    stays: Mass::from_si((part.left.si() - takes).max(0.0))?,
                })
            })
            .collect::<Result<_>>()?,
    })
}

/// How a system takes a wrong amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum CureBy {
    /// A peroxide starts it: less or more within its window changes the speed.
    Peroxide,
    /// Two parts react with each other: the ratio must be met.
    TwoPart,
}

/// A mixed cup that may have got the wrong amount.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Cup {
    /// How it cures.
    pub cures_by: CureBy,
    /// Resin in the cup.
    pub resin: Mass,
    /// Catalyst or hardener in the cup.
    pub added: Mass,
    /// The dose wanted.
    pub wanted: Phr,
    /// Least dose that is right.
    pub lowest: Phr,
    /// Most dose that is right.
    pub highest: Phr,
    /// Resin that can still be added: what is left, or what the cup holds.
    pub resin_to_spare: Option<Mass>,
    /// Catalyst or hardener that is left.
    pub hardener_to_spare: Option<Mass>,
    /// Time since it was mixed.
    pub since_mixing: Option<Time>,
    /// Working time of this cup *as it was mixed*.
    pub working_time: Option<Time>,
}

/// What to do with a cup.
#[derive(Debug, Clone, PartialEq, Noun)]
pub struct Rescue {
    /// What it comes to.
    pub outcome: Outcome,
    /// The dose that is in the cup.
    pub dose: Phr,
    /// Catalyst or hardener to add; zero if none.
    pub add_hardener: Mass,
    /// Resin to add; zero if none.
    pub add_resin: Mass,
    /// The dose after that.
    pub dose_after: Phr,
    /// In words, with why it cannot be saved where it cannot.
    pub says: String,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// What a rescue comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum Outcome {
    /// The dose is inside its window: use it.
    Fine,
    /// Add what the answer says, stir well.
    Add,
    /// It cannot be saved.
    Lost,
}

/// The share of its working time up to which a cup is still thin enough to take more and be stirred even: a choice,
/// without a source.
const STILL_LIQUID: f64 = 0.5;

/// What to add to a cup that got the wrong amount, or why it cannot be saved.
///
/// Too little: `m = m_r p/100 - m_added` of hardener. Too much: resin to `m_added/(p/100) - m_r`; where resin to spare
/// does not reach the wanted dose but reaches the window, as much as there is. A cup past half its working time is lost:
/// gel has begun unseen, and what is stirred in now stays unmixed.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for no resin, a negative mass or time, or a dose of zero;
/// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a window that does not hold the wanted dose.
pub fn rescue(cup: &Cup) -> Result<Rescue> {
    let resin = positive("resin", cup.resin)?;
    let added = not_negative("added", cup.added)?;
    let wanted = positive("wanted", cup.wanted)? / 100.0;
    let (low, high) = (cup.lowest.per_resin(), cup.highest.per_resin());
    if !(low <= wanted && wanted <= high) {
        return Err(Error::inconsistent(
            "wanted",
            quantity::show(cup.wanted),
            format!(
                "within the window of {} to {}",
                quantity::show(cup.lowest),
                quantity::show(cup.highest)
            ),
            "want a dose that the data sheet allows",
        ));
    }
    let spare = |field: &str, m: Option<Mass>| -> Result<f64> {
        m.map_or(Ok(f64::INFINITY), |m| not_negative(field, m))
    };
    let resin_spare = spare("resin_to_spare", cup.resin_to_spare)?;
    let hardener_spare = spare("hardener_to_spare", cup.hardener_to_spare)?;
    let late = match (cup.since_mixing, cup.working_time) {
        (Some(since), Some(working)) => {
            not_negative("since_mixing", since)? > STILL_LIQUID * positive("working_time", working)?
        }
        _ => false,
    };
    let dose = added / resin;
    let act = |outcome, hardener: f64, extra_resin: f64, says: String| -> Result<Rescue> {
        Ok(Rescue {
            outcome,
            dose: Phr::new(100.0 * dose)?,
            add_hardener: Mass::from_si(hardener)?,
            add_resin: Mass::from_si(extra_resin)?,
            dose_after: Phr::new(100.0 * (added + hardener) / (resin + extra_resin))?,
            says,
            cautions: match cup.cures_by {
                CureBy::Peroxide => super::peroxide::cautions(),
                CureBy::TwoPart => vec![
                    "a wrongly mixed cup can still heat: do not leave it standing deep, set it in the open on a \
                     surface that does not burn"
                        .into(),
                    "the product's data sheet, local codes and licensed practice come before this answer".into(),
                ],
            },
        })
    };
    let shown = quantity::show(Phr::new(100.0 * dose)?);
    // A dose read back from masses is inexact in its last figures.
    const ROUNDING: f64 = 1e-9;
    if dose >= low * (1.0 - ROUNDING) && dose <= high * (1.0 + ROUNDING) {
        return act(
            Outcome::Fine,
            0.0,
            0.0,
            format!("{shown} is inside the window: use it"),
        );
    }
    let lost = |why: String| {
        act(
            Outcome::Lost,
            0.0,
            0.0,
            format!("{shown} is outside the window and {why}"),
        )
    };
    if late {
        return lost(
            "more than half the working time is gone: what is stirred in now stays unmixed; let it harden spread thin \
             and mix anew"
                .into(),
        );
    }
    if dose < low {
        let need = resin * wanted - added;
        let least = resin * low - added;
        if hardener_spare >= need {
            return act(
                Outcome::Add,
                need,
                0.0,
                format!(
                    "add {} of {} and stir well, scraping sides and bottom",
                    quantity::show(Mass::from_si(need)?),
                    what(cup.cures_by)
                ),
            );
        }
        if hardener_spare >= least {
            return act(
                Outcome::Add,
                hardener_spare,
                0.0,
                format!(
                    "add all {} of {} that is left: the dose comes into the window",
                    quantity::show(Mass::from_si(hardener_spare)?),
                    what(cup.cures_by)
                ),
            );
        }
        return lost(format!(
            "{} of {} is needed, {} is left",
            quantity::show(Mass::from_si(least)?),
            what(cup.cures_by),
            quantity::show(Mass::from_si(hardener_spare)?)
        ));
    }
    let need = added / wanted - resin;
    let least = if high > 0.0 {
        added / high - resin
    } else {
        f64::INFINITY
    };
    if resin_spare >= need {
        return act(
            Outcome::Add,
            0.0,
            need,
            format!(
                "add {} of resin and stir well, scraping sides and bottom",
                quantity::show(Mass::from_si(need)?)
            ),
        );
    }
    if resin_spare >= least {
        return act(
            Outcome::Add,
            0.0,
            resin_spare,
            format!(
                "add all {} of resin that there is: the dose comes into the window",
                quantity::show(Mass::from_si(resin_spare)?)
            ),
        );
    }
    lost(format!(
        "{} of resin is needed to dilute it, {} is there",
        quantity::show(Mass::from_si(least)?),
        quantity::show(Mass::from_si(resin_spare)?)
    ))
}

fn what(by: CureBy) -> &'static str {
    match by {
        CureBy::Peroxide => "catalyst",
        CureBy::TwoPart => "hardener",
    }
}
