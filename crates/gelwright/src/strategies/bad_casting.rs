//! A whole casting as a counter-example: the smallest one that breaks a limit, in workshop units.

use std::fmt;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestCaseError, TestError, TestRunner};

use super::counter_example::{in_words, recipe_in_words, worst};
use crate::Cancel;
use crate::limit::Finding;
use crate::plan::{Casting, ZoneLayer};
use crate::quantity::{brief, brief_in};

/// A casting that breaks a limit, shrunk to the smallest, with the limits it breaks.
#[derive(Clone)]
#[non_exhaustive]
pub struct BadCasting {
    /// The casting.
    pub casting: Casting,
    /// What it breaks, of what was asked about; none where it can not be planned at all.
    pub broken: Vec<Finding>,
    /// Why it can not be planned, where it can not.
    pub refused: Option<crate::Error>,
}

/// Numbers from one to another in steps, as a workshop writes them; they shrink towards the first.
///
/// # Panics
/// For a step that is not above zero.
pub fn in_steps(from: f64, to: f64, step: f64) -> impl Strategy<Value = f64> + Clone {
    assert!(step > 0.0 && from.is_finite() && to.is_finite());
    // By a whole number of parts, so that a tenth is written as one.
    let parts = if step < 1.0 { (1.0 / step).round() } else { 1.0 };
    let size = (step * parts).round();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = ((to - from).abs() / step).round() as u32;
    (0..=steps)
        .prop_map(move |k| ((from * parts).round() + (to - from).signum() * size * f64::from(k)) / parts)
}

/// Looks for a casting that breaks a limit which `counts`, and shrinks it to the smallest that the strategy makes and that still
/// breaks it. None where `cases` castings keep them all. The same `seed`, the same castings.
pub fn bad_casting(
    castings: &impl Strategy<Value = Casting>,
    (cases, seed): (u32, u64),
    counts: impl Fn(&Finding) -> bool,
) -> Option<BadCasting> {
    let mut runner = TestRunner::new(Config {
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(seed),
        ..Config::with_cases(cases)
    });
    let found = runner.run(castings, |casting| {
        let planned = BadCasting::of(casting, &counts);
        if planned.broken.is_empty() && planned.refused.is_none() {
            Ok(())
        } else {
            Err(TestCaseError::fail("a limit is broken"))
        }
    });
    match found {
        Err(TestError::Fail(_, casting)) => Some(BadCasting::of(casting, &counts)),
        _ => None,
    }
}

impl BadCasting {
    fn of(casting: Casting, counts: &impl Fn(&Finding) -> bool) -> Self {
        let (broken, refused) = match casting.plan_without_cures(Cancel::NEVER) {
            Ok(plan) => (plan.findings.into_iter().filter(|f| counts(f)).collect(), None),
            Err(e) => (vec![], Some(e)),
        };
        BadCasting {
            casting,
            broken,
            refused,
        }
    }
}

impl fmt::Display for BadCasting {
    /// "tray at 12 °C, 12 h in the mould: floor of 0.01 m² with 2 mm of pour; pour is ortho_polyester with mekp_9 0.7 wt% on resin:
    /// demould cure 62 %, at least 80 % (pulled too green it warps, sticks or prints)".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let casting = &self.casting;
        let units = casting.shop.units;
        write!(
            f,
            "{} at {}",
            casting.name,
            brief_in(casting.shop.temperature, units)
        )?;
        write!(f, ", {} in the mould", brief(casting.cure.in_mould))?;
        for (i, zone) in casting.zones.iter().enumerate() {
            let area = zone
                .area
                .map_or_else(String::new, |a| format!(" of {}", brief_in(a, units)));
            let joined = if i == 0 { ": " } else { ", " };
            write!(f, "{joined}{}{area}", zone.name)?;
            for (j, layer) in zone.layers.iter().enumerate() {
                let joined = if j == 0 { " with" } else { " and" };
                match layer {
                    ZoneLayer::GelCoat(g) => {
                        write!(f, "{joined} {} of {}", brief_in(g.wet_thickness, units), g.recipe)?;
                    }
                    ZoneLayer::Laminate(l) => write!(f, "{joined} {} of {}", l.plies.join(", "), l.recipe)?,
                    ZoneLayer::Pour(p) => {
                        let depth = p
                            .thickness
                            .map_or_else(String::new, |t| format!(" {} of", brief_in(t, units)));
                        write!(f, "{joined}{depth} {}", p.recipe)?;
                    }
                }
            }
        }
        for (name, recipe) in &casting.recipes {
            write!(f, "; {name} is {}", recipe_in_words(recipe))?;
        }
        for (i, finding) in worst(&self.broken).into_iter().enumerate() {
            let joined = if i == 0 { ": " } else { "; " };
            write!(f, "{joined}{}", in_words(finding))?;
        }
        match &self.refused {
            Some(e) => write!(f, ": {e}"),
            None => Ok(()),
        }
    }
}
