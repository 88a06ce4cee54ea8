//! A counter-example that a person reads: the smallest cup of a recipe that breaks a limit, in workshop units.

use std::fmt;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseError, TestError, TestRunner};

use crate::limit::{Bound, Finding};
use crate::material::Catalogue;
use crate::mix::{Amount, Recipe};
use crate::plan::Shop;
use crate::quantity::brief_in;

/// A cup that breaks a limit: recipe, amount and shop, shrunk to the smallest, with the limits it breaks.
#[derive(Clone)]
#[non_exhaustive]
pub struct CounterExample {
    /// The recipe.
    pub recipe: Recipe,
    /// How much of it.
    pub amount: Amount,
    /// In which shop, on which bench.
    pub shop: Shop,
    /// What it breaks, of what was asked about; none where it can not be mixed at all.
    pub broken: Vec<Finding>,
    /// Why it can not be mixed, where it can not.
    pub refused: Option<crate::Error>,
}

/// Looks for a cup that breaks a limit which `counts`, over recipes, amounts and shops, and shrinks it: to the smallest amount, the
/// fewest parts, the least dose and the coldest shop that the strategies make and that still break it. None where `cases` cups
/// keep them all.
///
/// ```
/// use gelwright::limit::LimitQuantity;
/// use gelwright::mix::{Dose, Recipe};
/// use gelwright::strategies::{amounts, cold_shops, counter_example};
/// use proptest::prelude::*;
///
/// // A slip of ten, planted: 0.15 for 1.5.
/// let slip = Recipe::new("ortho_polyester").with("mekp_9", Dose::phr(0.15).unwrap());
/// let found = counter_example(&(Just(slip), amounts(), cold_shops()), 64, |f| {
///     f.quantity == LimitQuantity::CatalystDose
/// })
/// .expect("the slip is found");
/// let told = found.to_string();
/// assert!(told.contains("0.15") && told.contains("20 g"), "{told}");
/// ```
pub fn counter_example(
    cups: &impl Strategy<Value = (Recipe, Amount, Shop)>,
    cases: u32,
    counts: impl Fn(&Finding) -> bool,
) -> Option<CounterExample> {
    let mut runner = TestRunner::new(Config {
        failure_persistence: None,
        ..Config::with_cases(cases)
    });
    let found = runner.run(cups, |(recipe, amount, shop)| {
        let cup = CounterExample::of(recipe, amount, shop, &counts);
        if cup.broken.is_empty() && cup.refused.is_none() {
            Ok(())
        } else {
            Err(TestCaseError::fail("a limit is broken"))
        }
    });
    match found {
        Err(TestError::Fail(_, (recipe, amount, shop))) => {
            Some(CounterExample::of(recipe, amount, shop, &counts))
        }
        _ => None,
    }
}

impl CounterExample {
    /// Of each quantity of each subject the worst that it breaks: several rules often say the same.
    pub fn worst(&self) -> Vec<&Finding> {
        worst(&self.broken)
    }

    fn of(recipe: Recipe, amount: Amount, shop: Shop, counts: &impl Fn(&Finding) -> bool) -> Self {
        let mixed = recipe.mix(amount, &shop.bench, shop.resin(), None, Catalogue::generic());
        let (broken, refused) = match mixed {
            Ok(cup) => (cup.findings.into_iter().filter(|f| counts(f)).collect(), None),
            Err(e) => (vec![], Some(e)),
        };
        CounterExample {
            recipe,
            amount,
            shop,
            broken,
            refused,
        }
    }
}

/// Of each quantity of each subject the worst.
pub(super) fn worst(broken: &[Finding]) -> Vec<&Finding> {
    let mut worst: Vec<&Finding> = Vec::new();
    for f in broken {
        let same = |w: &&mut &Finding| w.quantity == f.quantity && w.subject == f.subject;
        match worst.iter_mut().find(same) {
            Some(w) if f.severity > w.severity => *w = f,
            Some(_) => {}
            None => worst.push(f),
        }
    }
    worst
}

/// "catalyst dose 0.15 phr, at least 0.5 phr (may never cure)".
pub(super) fn in_words(finding: &Finding) -> String {
    let text = |t: &crate::quantity::QuantityText| crate::noun::to_text(t).trim_matches('"').to_owned();
    let value = finding.value.as_ref().map_or_else(|| "unknown".to_owned(), text);
    let bound = match finding.bound() {
        Some(Bound::AtLeast(low)) => format!(", at least {}", text(low)),
        Some(Bound::AtMost(high)) => format!(", at most {}", text(high)),
        None => String::new(),
    };
    let slip = finding.slip.as_ref().map_or_else(String::new, |s| {
        format!("; a slip of ten? {} would be inside", text(&s.meant))
    });
    format!(
        "{} {value}{bound} ({}{slip})",
        crate::plan::words(&crate::noun::to_text(&finding.quantity).replace('"', "")),
        finding.message
    )
}

/// "ortho_polyester with mekp_9 0.15 wt% on resin".
pub(super) fn recipe_in_words(recipe: &Recipe) -> String {
    let mut said = recipe.resin.clone();
    for (i, part) in recipe.parts.iter().enumerate() {
        let joined = if i == 0 { " with" } else { " and" };
        let dose = crate::noun::to_text(&part.dose);
        said += &format!("{joined} {} {}", part.material, dose.trim_matches('"'));
    }
    said
}

impl fmt::Display for CounterExample {
    /// "20 g of ortho_polyester with mekp_9 0.15 wt% on resin, at 8 °C: catalyst dose 0.15 phr, at least 0.5 phr (may never
    /// cure)".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = self.shop.units;
        let amount = match self.amount {
            Amount::Mass(m) => brief_in(m, units),
            Amount::Volume(v) => brief_in(v, units),
            Amount::ResinMass(m) => format!("a cup with {} of resin", brief_in(m, units)),
            Amount::ResinVolume(v) => format!("a cup with {} of resin", brief_in(v, units)),
        };
        write!(f, "{amount} of {}", recipe_in_words(&self.recipe))?;
        write!(f, ", at {}", brief_in(self.shop.resin(), units))?;
        for (i, finding) in self.worst().into_iter().enumerate() {
            let joined = if i == 0 { ": " } else { "; " };
            write!(f, "{joined}{}", in_words(finding))?;
        }
        match &self.refused {
            Some(e) => write!(f, ": {e}"),
            None => Ok(()),
        }
    }
}
