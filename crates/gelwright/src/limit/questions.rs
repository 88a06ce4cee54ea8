//! Questions about limits.

use crate::noun::Noun;

use super::{Limit, LimitQuantity, Limits};
use crate::door::{Question, entry};
use crate::error::{Error, Result};
use crate::material::{Catalogue, Class};
use crate::question::Entry;

/// The limits that come with the library.
#[derive(Debug, Clone, Default, Noun)]
pub struct ListLimits {
    /// Only limits of this quantity.
    pub quantity: Option<LimitQuantity>,
    /// Only limits that apply to this material, resin family or act.
    pub applies_to: Option<String>,
}

/// Limits with their sources.
#[derive(Debug, Clone, Noun)]
pub struct LimitList {
    /// The limits.
    pub limits: Vec<Limit>,
}

impl Question for ListLimits {
    const NAME: &'static str = "limit.list";
    const ABOUT: &'static str = "The limits that come with the library, each with its source and standing.";
    type Answer = LimitList;
    fn answer(&self) -> Result<LimitList> {
        let all = Limits::generic()?;
        let subjects = self
            .applies_to
            .as_deref()
            .map(|a| subjects(&all, a))
            .transpose()?;
        let limits = all
            .iter()
            .filter(|l| self.quantity.is_none_or(|q| q == l.quantity))
            .filter(|l| {
                subjects.as_ref().is_none_or(|s| {
                    l.applies_to.is_empty() || l.applies_to.iter().any(|a| s.contains(&a.as_str()))
                })
            })
            .cloned()
            .collect();
        Ok(LimitList { limits })
    }
}

/// What a limit may name when it means `name`: of a material also its family or form.
fn subjects<'n>(all: &Limits, name: &'n str) -> Result<Vec<&'n str>> {
    let catalogue = Catalogue::generic();
    match catalogue.get(name).map(|m| &m.class) {
        Ok(Class::Resin(r)) => Ok(vec![name, r.family.name()]),
        Ok(Class::Reinforcement(r)) => Ok(vec![name, r.form.name()]),
        Ok(_) => Ok(vec![name]),
        Err(_) => {
            let mut known: Vec<&str> = all
                .iter()
                .flat_map(|l| &l.applies_to)
                .map(String::as_str)
                .chain(catalogue.ids())
                .collect();
            known.sort_unstable();
            known.dedup();
            if known.contains(&name) {
                Ok(vec![name])
            } else {
                Err(Error::unknown_name("applies_to", name, known))
            }
        }
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[entry::<ListLimits>()];
