//! Working back: from what is left to the largest batch, and from a cup that got the wrong amount to what to add.

use crate::error::{Error, Result};
use crate::noun::{Noun, questions};
use crate::quantity::{self, Mass, Phr, Quantity, Time};
use crate::source::Why;

/// What is left of a part, and how much of it the mix takes.
#[derive(Clone, PartialEq, Noun)]
pub struct Left {
    /// What it is.
    pub name: String,
    /// What is left in its tin.
    #[noun(within("0 g", .., "write what is left, for example '800 g'"))]
    pub left: Mass,
    /// Parts of it on a hundred of resin; the resin itself has 100.
    pub on_resin: Phr,
}

/// The largest batch that what is left allows.
#[derive(Clone, PartialEq, Noun)]
pub struct LargestBatch {
    /// The part that runs out first.
    pub limited_by: String,
    /// Mass of the whole mix.
    pub mass: Mass,
    /// What it takes of each part and what stays, in the order given.
    pub parts: Vec<Drawn>,
    /// The chain behind it.
    pub why: Why,
}

/// What a batch takes of a part.
#[derive(Clone, PartialEq, Noun)]
pub struct Drawn {
    /// What it is.
    pub name: String,
    /// What the batch takes.
    pub takes: Mass,
    /// What stays in the tin.
    pub stays: Mass,
}

/// The largest batch that what is left in the tins allows, and what limits it.
///
/// `m_resin = min(left_i/(p_i/100))` over the parts with `p_i > 0`, the whole `m_resin sum(p_i)/100`.
///
/// # Errors
/// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a negative mass;
/// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a mix that takes nothing of anything.
#[questions("mix.largest_batch")]
pub fn largest_batch(
    /// What is left of each part, and how much of it the mix takes; the resin with 100 phr.
    parts: &[Left],
) -> Result<LargestBatch> {
    let mut limiting: Option<(f64, &Left)> = None;
    let mut sum = 0.0;
    for (i, part) in parts.iter().enumerate() {
        crate::noun::check(part).map_err(|e| e.within(format!("parts[{i}]")))?;
        let p = part.on_resin.per_resin();
        sum += p;
        if p > 0.0 {
            let resin = part.left.si() / p;
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
    let mass = Mass::from_si(resin * sum)?;
    let left = |part: &Left| {
        let said = format!(
            "{} left, {} taken",
            quantity::show(part.left),
            quantity::show(part.on_resin)
        );
        Why::given(part.name.as_str(), said)
    };
    Ok(LargestBatch {
        limited_by: by.name.clone(),
        mass,
        why: Why::computed(
            "largest batch",
            quantity::show(mass),
            "m = sum(p_i)/100 min(left_i/(p_i/100)), over the parts with p_i > 0",
            parts.iter().map(left).collect(),
        ),
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
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum CureBy {
    /// A peroxide starts it: less or more within its window changes the speed.
    Peroxide,
    /// Two parts react with each other: the ratio must be met.
    TwoPart,
}

/// A mixed cup that may have got the wrong amount.
#[derive(Clone, PartialEq, Noun)]
pub struct MixedCup {
    /// How it cures.
    pub cures_by: CureBy,
    /// Resin in the cup.
    #[noun(within(> "0 g", .., "write the resin in the cup, for example '300 g'"))]
    pub resin: Mass,
    /// Catalyst or hardener in the cup.
    #[noun(within("0 g", .., "write what was added, for example '6 g'"))]
    pub added: Mass,
    /// The dose wanted.
    #[noun(within = crate::ranges::SHEET_DOSE)]
    pub wanted: Phr,
    /// Least dose that is right.
    pub lowest: Phr,
    /// Most dose that is right.
    pub highest: Phr,
    /// Resin that can still be added to a cup with too much catalyst: what is left, or what the cup holds.
    #[noun(within("0 g", .., "write what is left, for example '100 g'"))]
    pub resin_to_spare: Option<Mass>,
    /// Catalyst or hardener that is left, for a cup with too little.
    #[noun(within("0 g", .., "write what is left, for example '10 g'"))]
    pub hardener_to_spare: Option<Mass>,
    /// Time since it was mixed; with `working_time`.
    #[noun(within("0 min", .., "write the time since it was mixed, for example '5 min'"))]
    pub since_mixing: Option<Time>,
    /// Working time of this cup *as it was mixed*.
    #[noun(within(> "0 min", .., "write the working time of this cup, for example '20 min'"))]
    pub working_time: Option<Time>,
}

/// What to do with a cup.
#[derive(Clone, PartialEq, Noun)]
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
    /// The chain behind it.
    pub why: Why,
}

/// What a rescue comes to.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum Outcome {
    /// The dose is inside its window: use it.
    Fine,
    /// Add what the answer says, stir well.
    Add,
    /// It cannot be saved.
    Lost,
}

/// The share of its working time up to which a cup is still thin enough to take more and be stirred even: common
/// practice, no source.
const STILL_LIQUID: f64 = 0.5;

#[questions]
impl MixedCup {
    /// What to add to a cup that got the wrong amount, or why it cannot be saved.
    ///
    /// Too little: `m = m_r p/100 - m_added` of hardener. Too much: resin to `m_added/(p/100) - m_r`; where resin to spare
    /// does not reach the wanted dose but reaches the window, as much as there is. A cup past half its working time is
    /// lost: gel has begun unseen, and what is stirred in now stays unmixed.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for a field outside its range;
    /// [`ErrorKind::Inconsistent`](crate::ErrorKind::Inconsistent) for a window that does not hold the wanted dose, and for
    /// one of the two times without the other.
    #[question("mix.rescue")]
    pub fn rescue(&self) -> Result<Rescue> {
        crate::noun::check(self)?;
        let (low, wanted, high) = (
            self.lowest.per_resin(),
            self.wanted.per_resin(),
            self.highest.per_resin(),
        );
        if !(low <= wanted && wanted <= high) {
            return Err(Error::inconsistent(
                "wanted",
                quantity::show(self.wanted),
                format!(
                    "within the window of {} to {}",
                    quantity::show(self.lowest),
                    quantity::show(self.highest)
                ),
                "want a dose that the data sheet allows",
            ));
        }
        let late = self.is_late()?;
        let dose = self.added.si() / self.resin.si();
        // A dose read back from masses is inexact in its last figures.
        const ROUNDING: f64 = 1e-9;
        if dose >= low * (1.0 - ROUNDING) && dose <= high * (1.0 + ROUNDING) {
            let shown = quantity::show(Phr::new(100.0 * dose)?);
            return self.outcome(
                Outcome::Fine,
                0.0,
                0.0,
                format!("{shown} is inside the window: use it"),
            );
        }
        if late {
            return self.lost(
                "more than half the working time is gone: what is stirred in now stays unmixed; let it harden spread \
                 thin and mix anew",
            );
        }
        if dose < low {
            self.with_hardener(low, wanted)
        } else {
            self.with_resin(wanted, high)
        }
    }
}

impl MixedCup {
    /// Whether too much of its working time is gone.
    fn is_late(&self) -> Result<bool> {
        match (self.since_mixing, self.working_time) {
            (Some(since), Some(working)) => Ok(since.si() > STILL_LIQUID * working.si()),
            (None, None) => Ok(false),
            (since, working) => Err(Error::inconsistent(
                if since.is_some() {
                    "since_mixing"
                } else {
                    "working_time"
                },
                since
                    .or(working)
                    .map_or_else(String::new, |t| quantity::show(t).into()),
                "'since_mixing' and 'working_time' together, or neither",
                "whether a cup is still liquid follows from both: give both times",
            )),
        }
    }

    /// Too little: more hardener, as far as it reaches.
    fn with_hardener(&self, low: f64, wanted: f64) -> Result<Rescue> {
        let (resin, added) = (self.resin.si(), self.added.si());
        let spare = self.hardener_to_spare.map_or(f64::INFINITY, Quantity::si);
        let (need, least) = (resin * wanted - added, resin * low - added);
        let what = what(self.cures_by);
        if spare >= need {
            let says = format!(
                "add {} of {what} and stir well, scraping sides and bottom",
                quantity::show(Mass::from_si(need)?)
            );
            return self.outcome(Outcome::Add, need, 0.0, says);
        }
        if spare >= least {
            let says = format!(
                "add all {} of {what} that is left: the dose comes into the window",
                quantity::show(Mass::from_si(spare)?)
            );
            return self.outcome(Outcome::Add, spare, 0.0, says);
        }
        self.lost(&format!(
            "{} of {what} is needed, {} is left",
            quantity::show(Mass::from_si(least)?),
            quantity::show(Mass::from_si(spare)?)
        ))
    }

    /// Too much: more resin, as far as it reaches.
    fn with_resin(&self, wanted: f64, high: f64) -> Result<Rescue> {
        let (resin, added) = (self.resin.si(), self.added.si());
        let spare = self.resin_to_spare.map_or(f64::INFINITY, Quantity::si);
        let (need, least) = (added / wanted - resin, added / high - resin);
        if spare >= need {
            let says = format!(
                "add {} of resin and stir well, scraping sides and bottom",
                quantity::show(Mass::from_si(need)?)
            );
            return self.outcome(Outcome::Add, 0.0, need, says);
        }
        if spare >= least {
            let says = format!(
                "add all {} of resin that there is: the dose comes into the window",
                quantity::show(Mass::from_si(spare)?)
            );
            return self.outcome(Outcome::Add, 0.0, spare, says);
        }
        self.lost(&format!(
            "{} of resin is needed to dilute it, {} is there",
            quantity::show(Mass::from_si(least)?),
            quantity::show(Mass::from_si(spare)?)
        ))
    }

    fn lost(&self, why: &str) -> Result<Rescue> {
        let shown = quantity::show(Phr::new(100.0 * (self.added.si() / self.resin.si()))?);
        self.outcome(
            Outcome::Lost,
            0.0,
            0.0,
            format!("{shown} is outside the window and {why}"),
        )
    }

    fn outcome(&self, outcome: Outcome, hardener: f64, extra_resin: f64, says: String) -> Result<Rescue> {
        let (resin, added) = (self.resin.si(), self.added.si());
        let dose = Phr::new(100.0 * (added / resin))?;
        let (add_hardener, add_resin) = (Mass::from_si(hardener)?, Mass::from_si(extra_resin)?);
        Ok(Rescue {
            outcome,
            dose,
            add_hardener,
            add_resin,
            why: self.why(dose, add_hardener, add_resin),
            dose_after: Phr::new(100.0 * (added + hardener) / (resin + extra_resin))?,
            says,
            cautions: match self.cures_by {
                CureBy::Peroxide => super::peroxide::cautions(),
                CureBy::TwoPart => vec![
                    "a wrongly mixed cup can still heat: do not leave it standing deep, set it in the open on a \
                     surface that does not burn"
                        .into(),
                    "the product's data sheet, local codes and licensed practice come before this answer".into(),
                ],
            },
        })
    }
}

impl MixedCup {
    /// The chain behind a rescue: the dose that is in the cup, and what is added to mend it.
    fn why(&self, dose: Phr, hardener: Mass, resin: Mass) -> Why {
        let what = what(self.cures_by);
        let mut from = vec![
            Why::given("resin in the cup, m_r", quantity::show(self.resin)),
            Why::given(format!("{what} in the cup, m_added"), quantity::show(self.added)),
        ];
        if let (Some(since), Some(working)) = (self.since_mixing, self.working_time) {
            let said = format!("{} of {}", quantity::show(since), quantity::show(working));
            from.push(
                Why::given("working time that is gone", said)
                    .with_note("a cup past half its working time counts as lost: common practice, no source"),
            );
        }
        let found = Why::computed(
            "dose in the cup",
            quantity::show(dose),
            "p = 100 m_added/m_r",
            from,
        );
        let (added, equation, spare) = if hardener.si() > 0.0 {
            (hardener, "m = m_r p/100 - m_added", self.hardener_to_spare)
        } else if resin.si() > 0.0 {
            (resin, "m = m_added/(p/100) - m_r", self.resin_to_spare)
        } else {
            return found;
        };
        let window = format!(
            "{} within {} to {}",
            quantity::show(self.wanted),
            quantity::show(self.lowest),
            quantity::show(self.highest)
        );
        let added_is = if hardener.si() > 0.0 { what } else { "resin" };
        let mut from = vec![found, Why::given("dose wanted, p", window)];
        from.extend(spare.map(|m| {
            Why::given(
                format!("{added_is} to spare, the most that is added"),
                quantity::show(m),
            )
        }));
        Why::computed(
            format!("{added_is} to add"),
            quantity::show(added),
            equation,
            from,
        )
    }
}

fn what(by: CureBy) -> &'static str {
    match by {
        CureBy::Peroxide => "catalyst",
        CureBy::TwoPart => "hardener",
    }
}
