//! Lots on the shelf, and which goes first.

use std::collections::BTreeSet;

use gelwright_base::noun::{self, Noun, questions};
use gelwright_base::quantity::{Quantity, ThermodynamicTemperature, Time};
use gelwright_base::source::Why;
use gelwright_base::{Error, Result};

use crate::date::Date;
use crate::held::Held;

/// A lot: what came in one tin, sack or roll.
#[derive(Clone, PartialEq, Noun)]
pub struct Lot {
    /// What it is marked with.
    pub name: String,
    /// What it is, a material id.
    pub material: String,
    /// What is left of it.
    pub left: Held,
    /// Last day on which its label lets it be used.
    pub expires: Option<Date>,
    /// Day on which it was opened.
    pub opened: Option<Date>,
    /// How long it keeps once it is open; the label's last day alone counts, if not said.
    #[noun(within("1 d", "3650 d", "give how long it keeps once open"))]
    pub keeps_open: Option<Time>,
    /// Warmest that it is stored.
    pub stored_at: Option<ThermodynamicTemperature>,
    /// Warmest that its label lets it be stored.
    pub store_below: Option<ThermodynamicTemperature>,
}

impl Lot {
    /// The last day on which it may be used: of the label, or of how long it keeps once open, whichever is sooner.
    ///
    /// None where neither is known.
    pub fn last_day(&self) -> Option<Date> {
        let open = self
            .opened
            .zip(self.keeps_open)
            .and_then(|(day, keeps)| day.after_days(keeps.si() / 86_400.0));
        match (self.expires, open) {
            (Some(label), Some(open)) => Some(label.min(open)),
            (label, open) => label.or(open),
        }
    }
    /// Whether it may be drawn from on a day.
    pub fn may_be_drawn(&self, on: Date, take_expired: bool) -> bool {
        take_expired || !self.has_expired(on)
    }
    fn has_expired(&self, on: Date) -> bool {
        self.last_day().is_some_and(|last| last < on)
    }
    fn is_stored_too_warm(&self) -> bool {
        self.stored_at
            .zip(self.store_below)
            .is_some_and(|(is, most)| is > most)
    }
    /// First what expires first, then what is open already, then by name.
    fn turn(&self) -> (bool, Option<Date>, bool, &str) {
        let last = self.last_day();
        (last.is_none(), last, self.opened.is_none(), &self.name)
    }
}

/// A batch, and how much of a material it takes.
#[derive(Clone, PartialEq, Noun)]
pub struct WantedBatch {
    /// Which.
    pub batch: String,
    /// How much.
    pub amount: Held,
}

/// What is wanted of a material.
#[derive(Clone, PartialEq, Noun)]
pub struct Wanted {
    /// A material id.
    pub material: String,
    /// Batch by batch, in the order of mixing.
    pub batches: Vec<WantedBatch>,
    /// Whether a batch may not mix lots: two lots of a gel coat rarely have one colour.
    #[noun(default)]
    pub one_lot: bool,
}

/// The shelf on a day.
#[derive(Clone, PartialEq, Noun)]
pub struct Shelf {
    /// The day.
    pub on: Date,
    /// What stands on it.
    pub lots: Vec<Lot>,
    /// Whether what has expired is drawn too (first of all); it stays where it is, if not said. Every such lot is named.
    #[noun(default)]
    pub take_expired: bool,
}

/// What is taken from a lot for a batch.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Taken {
    /// For which batch.
    pub batch: String,
    /// Which material.
    pub material: String,
    /// From which lot.
    pub lot: String,
    /// How much.
    pub amount: Held,
}

/// What is missing for a batch.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Missing {
    /// For which batch.
    pub batch: String,
    /// Which material.
    pub material: String,
    /// How much.
    pub amount: Held,
}

/// Why a lot is worth a word.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Noun)]
#[non_exhaustive]
pub enum Word {
    /// It has expired, and is not drawn.
    Expired,
    /// It has expired, and is drawn all the same: make a test cup of it first.
    DrawnExpired,
    /// It is stored warmer than its label allows: make a test cup of it first.
    StoredTooWarm,
    /// A later lot is drawn before it: there is too little in it for a batch that may not mix lots.
    TooSmall,
    /// A later lot is drawn before it: it is kept for a batch that no other lot holds.
    KeptForALargerBatch,
}

/// A lot worth a word.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct LotWord {
    /// Which material.
    pub material: String,
    /// Which lot.
    pub lot: String,
    /// Why.
    pub word: Word,
    /// For which batch, where it is about one.
    pub batch: Option<String>,
}

/// What is drawn from a shelf.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Withdrawal {
    /// What is taken, lot by lot.
    pub taken: Vec<Taken>,
    /// What is missing.
    pub missing: Vec<Missing>,
    /// Lots worth a word: expired, stored too warm, passed over.
    pub words: Vec<LotWord>,
    /// The shelf afterwards, the empty lots too.
    pub left: Vec<Lot>,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl Shelf {
    /// Draws what is wanted: first expired, first out.
    ///
    /// Of each material the lot whose last day comes first goes first (the label's last day, or the day it was opened and how
    /// long it keeps open, whichever is sooner), then what is open already, then by name. Where a batch may not mix lots, each
    /// batch comes whole from the first lot that holds it; and where that would leave a later batch without a lot that another
    /// choice has for it, the first choice that serves all batches is taken. Every lot that is passed over is named, and why.
    /// What is taken and what is missing add up to what was wanted. Ageing is not modelled here: what is old is to be tried in
    /// a test cup.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`](gelwright_base::ErrorKind::Inconsistent) for two lots of one material with one name, a lot
    /// opened after the day; [`ErrorKind::WrongDimension`](gelwright_base::ErrorKind::WrongDimension) where a lot and a batch
    /// are measured in different kinds of unit.
    #[question("stock.draw")]
    pub fn draw(
        &self,
        /// What is wanted, each material once.
        wanted: Vec<Wanted>,
    ) -> Result<Withdrawal> {
        noun::check(self)?;
        self.check(&wanted)?;
        let mut left = self.lots.clone();
        let mut drawn = Withdrawal {
            taken: Vec::new(),
            missing: Vec::new(),
            words: Vec::new(),
            left: Vec::new(),
            why: Why::given("wanted", format!("{} materials", wanted.len())),
        };
        let mut behind = Vec::new();
        for of in &wanted {
            let mut turn: Vec<usize> = (0..left.len())
                .filter(|i| left[*i].material == of.material)
                .collect();
            turn.sort_by(|a, b| left[*a].turn().cmp(&left[*b].turn()));
            turn.retain(|i| self.admit(&left[*i], &mut drawn));
            let served = if of.one_lot {
                whole(of, &turn, &left)
            } else {
                mixed(of, &turn, &left)
            };
            for (batch, lot, amount) in served.taken {
                let wanted = &of.batches[batch];
                left[lot].left = left[lot].left.with(left[lot].left.amount - amount);
                if left[lot].has_expired(self.on) {
                    drawn.say(&left[lot], Word::DrawnExpired, Some(&wanted.batch));
                }
                behind.push(Why::given(
                    format!("{} for {}", of.material, wanted.batch),
                    format!("{} from {}", wanted.amount.with(amount), left[lot].name),
                ));
                drawn.taken.push(Taken {
                    batch: wanted.batch.clone(),
                    material: of.material.clone(),
                    lot: left[lot].name.clone(),
                    amount: wanted.amount.with(amount),
                });
            }
            for (batch, lot, word) in served.passed_over {
                drawn.say(&left[lot], word, Some(&of.batches[batch].batch));
            }
            for (batch, amount) in served.missing {
                drawn.missing.push(Missing {
                    batch: of.batches[batch].batch.clone(),
                    material: of.material.clone(),
                    amount: of.batches[batch].amount.with(amount),
                });
            }
        }
        drawn.left = left;
        let touched: BTreeSet<(&str, &str)> = drawn
            .taken
            .iter()
            .map(|t| (t.material.as_str(), t.lot.as_str()))
            .collect();
        let touched = touched.len();
        drawn.why = Why::computed(
            "drawn from the shelf",
            format!("{touched} lots touched, {} batches short", drawn.missing.len()),
            "first expired, first out; whole batches where lots may not mix",
            behind,
        );
        Ok(drawn)
    }
}

impl Withdrawal {
    fn say(&mut self, lot: &Lot, word: Word, batch: Option<&str>) {
        let said = LotWord {
            material: lot.material.clone(),
            lot: lot.name.clone(),
            word,
            batch: batch.map(str::to_owned),
        };
        if !self.words.contains(&said) {
            self.words.push(said);
        }
    }
}

impl Shelf {
    fn check(&self, wanted: &[Wanted]) -> Result<()> {
        for (i, lot) in self.lots.iter().enumerate() {
            if self.lots[..i]
                .iter()
                .any(|l| (&l.material, &l.name) == (&lot.material, &lot.name))
            {
                return Err(Error::inconsistent(
                    format!("lots[{i}].name"),
                    &lot.name,
                    format!("one lot of {} with that name", lot.material),
                    "mark the lots apart",
                ));
            }
            if let Some(opened) = lot.opened.filter(|day| *day > self.on) {
                return Err(Error::inconsistent(
                    format!("lots[{i}].opened"),
                    opened,
                    format!("{} or before", self.on),
                    "give the day on which it was opened, or the day of the shelf",
                ));
            }
        }
        for (w, of) in wanted.iter().enumerate() {
            if wanted[..w].iter().any(|o| o.material == of.material) {
                return Err(Error::inconsistent(
                    format!("wanted[{w}].material"),
                    &of.material,
                    "each material once",
                    "put its batches into one list",
                ));
            }
            for (b, batch) in of.batches.iter().enumerate() {
                for lot in self.lots.iter().filter(|l| l.material == of.material) {
                    batch
                        .amount
                        .like(&format!("wanted[{w}].batches[{b}].amount"), lot.left)?;
                }
            }
        }
        Ok(())
    }

    /// Whether a lot may be drawn from today; a word, where that is not plain.
    fn admit(&self, lot: &Lot, drawn: &mut Withdrawal) -> bool {
        if lot.is_stored_too_warm() {
            drawn.say(lot, Word::StoredTooWarm, None);
        }
        let may = lot.may_be_drawn(self.on, self.take_expired);
        if !may {
            drawn.say(lot, Word::Expired, None);
        }
        may
    }
}

/// How the batches of a material are served: by number of batch and lot, in SI.
#[derive(Default)]
struct Served {
    taken: Vec<(usize, usize, f64)>,
    passed_over: Vec<(usize, usize, Word)>,
    missing: Vec<(usize, f64)>,
}

/// What a scale cannot tell from nothing, of an amount.
const NOTHING: f64 = 1e-12;

/// Batches that may mix lots: each lot to its end.
fn mixed(of: &Wanted, turn: &[usize], lots: &[Lot]) -> Served {
    let mut served = Served::default();
    let mut left: Vec<f64> = turn.iter().map(|l| lots[*l].left.amount).collect();
    for (b, batch) in of.batches.iter().enumerate() {
        let mut wanted = batch.amount.amount;
        for (l, there) in turn.iter().zip(&mut left) {
            let taken = wanted.min(*there);
            if taken > 0.0 {
                served.taken.push((b, *l, taken));
                *there -= taken;
                wanted -= taken;
            }
        }
        if wanted > NOTHING * batch.amount.amount {
            served.missing.push((b, wanted));
        }
    }
    served
}

/// Steps that the search for a choice that serves every batch may take; beyond it the first choice stands.
const MOST_STEPS: usize = 200_000;

/// Batches that each come from one lot.
fn whole(of: &Wanted, turn: &[usize], lots: &[Lot]) -> Served {
    let wanted: Vec<f64> = of.batches.iter().map(|b| b.amount.amount).collect();
    let there: Vec<f64> = turn.iter().map(|l| lots[*l].left.amount).collect();
    let mut choice = vec![None; wanted.len()];
    let mut steps = 0;
    if !serve(&wanted, &mut there.clone(), 0, &mut choice, &mut steps) {
        choice = first_that_holds(&wanted, &mut there.clone());
    }
    let mut served = Served::default();
    let mut left = there;
    for (b, chosen) in choice.iter().enumerate() {
        let Some(chosen) = *chosen else {
            served.missing.push((b, wanted[b]));
            continue;
        };
        for (passed, amount) in left.iter().enumerate().take(chosen).filter(|(_, a)| **a > 0.0) {
            let word = if holds(*amount, wanted[b]) {
                Word::KeptForALargerBatch
            } else {
                Word::TooSmall
            };
            served.passed_over.push((b, turn[passed], word));
        }
        let taken = wanted[b].min(left[chosen]);
        left[chosen] -= taken;
        served.taken.push((b, turn[chosen], taken));
    }
    served
}

fn holds(there: f64, wanted: f64) -> bool {
    there >= wanted * (1.0 - NOTHING)
}

/// The first choice, in the lots' turn, that serves every batch from `b` on.
fn serve(
    wanted: &[f64],
    left: &mut [f64],
    b: usize,
    choice: &mut [Option<usize>],
    steps: &mut usize,
) -> bool {
    if b == wanted.len() {
        return true;
    }
    for lot in 0..left.len() {
        *steps += 1;
        if *steps > MOST_STEPS {
            return false;
        }
        if !holds(left[lot], wanted[b]) {
            continue;
        }
        let before = left[lot];
        left[lot] = (before - wanted[b]).max(0.0);
        choice[b] = Some(lot);
        if serve(wanted, left, b + 1, choice, steps) {
            return true;
        }
        left[lot] = before;
        choice[b] = None;
    }
    false
}

/// Where not every batch can be served: each from the first lot that holds it, in the order of mixing.
fn first_that_holds(wanted: &[f64], left: &mut [f64]) -> Vec<Option<usize>> {
    wanted
        .iter()
        .map(|w| {
            let lot = left.iter().position(|l| holds(*l, *w))?;
            left[lot] = (left[lot] - w).max(0.0);
            Some(lot)
        })
        .collect()
}
