//! Cautions: what to say where someone can be hurt, by hazard and by act.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use crate::noun::{self, Noun};

use super::Hazard;
use super::catalogue::document_with_sources;
use crate::error::{Error, Result};
use crate::source::Source;

/// A caution, as it is printed. It always defers to the product's safety data sheet, local codes and licensed
/// practice ([`Caution::defers`]).
#[derive(Clone, PartialEq, Noun)]
pub struct Caution {
    /// What to beware of and what to do.
    pub text: String,
    /// On whose word.
    pub source: Arc<Source>,
}

#[derive(Noun)]
struct CautionDocument {
    defers: String,
    hazard: BTreeMap<Hazard, Caution>,
    act: BTreeMap<String, Caution>,
}

// The cautions first: their root key `defers` must stand before any table.
const GENERIC: &str = concat!(
    "version = 1\n",
    include_str!("../../data/cautions.toml"),
    include_str!("../../data/source.toml"),
);

static READ: LazyLock<CautionDocument> = LazyLock::new(|| {
    read(GENERIC).unwrap_or_else(|e| {
        // Embedded at compile time and read by every test run: can not happen in a released build.
        unreachable!("embedded data: {e}")
    })
});

fn read(text: &str) -> Result<CautionDocument> {
    let (rest, _) = document_with_sources(text)?;
    noun::read(&rest.into())
}

impl Caution {
    /// The sentence that goes with every caution.
    pub fn defers() -> &'static str {
        &READ.defers
    }

    /// The caution that goes with a hazard.
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) if there is none; the tests see that there is
    /// one for each.
    pub fn of(hazard: Hazard) -> Result<&'static Caution> {
        READ.hazard
            .get(&hazard)
            .ok_or_else(|| Error::unknown_name("hazard", hazard.name(), READ.hazard.keys().map(|h| h.name())))
    }

    /// The caution that goes with an act (`promoter_with_peroxide`, `acetone_with_peroxide`,
    /// `weighing_peroxide`, `sanding`, `leftover_cup`, `rags`, `post_cure`).
    ///
    /// # Errors
    /// [`ErrorKind::UnknownName`](crate::ErrorKind::UnknownName) with the nearest known acts.
    pub fn of_act(act: &str) -> Result<&'static Caution> {
        READ.act
            .get(act)
            .ok_or_else(|| Error::unknown_name("act", act, READ.act.keys().map(String::as_str)))
    }

    /// The cautions that go with several hazards, each once, in the order of [`Hazard::ALL`].
    pub fn of_all<'h>(hazards: impl IntoIterator<Item = &'h Hazard>) -> Vec<&'static Caution> {
        let wanted: std::collections::BTreeSet<Hazard> = hazards.into_iter().copied().collect();
        wanted.into_iter().filter_map(|h| READ.hazard.get(&h)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hazard_has_its_caution() {
        for h in Hazard::ALL {
            assert!(!Caution::of(*h).unwrap().text.is_empty(), "{h}");
        }
        assert!(Caution::defers().contains("safety data sheet"));
    }
}
