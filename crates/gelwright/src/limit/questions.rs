//! Questions about limits.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Limit, LimitQuantity, Limits};
use crate::door::{Entry, Question, entry};
use crate::error::Result;

/// The limits that come with the library.
#[derive(Debug, Clone, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListLimits {
    /// Only limits of this quantity.
    #[serde(default)]
    pub quantity: Option<LimitQuantity>,
    /// Only limits that apply to this material, resin family or act.
    #[serde(default)]
    pub applies_to: Option<String>,
}

/// Limits with their sources.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LimitList {
    /// The limits.
    pub limits: Vec<Limit>,
}

impl Question for ListLimits {
    const NAME: &'static str = "limit.list";
    const ABOUT: &'static str = "The limits that come with the library, each with its source and standing.";
    type Answer = LimitList;
    fn answer(&self) -> Result<LimitList> {
        let limits = Limits::generic()?
            .iter()
            .filter(|l| self.quantity.is_none_or(|q| q == l.quantity))
            .filter(|l| {
                self.applies_to
                    .as_ref()
                    .is_none_or(|a| l.applies_to.is_empty() || l.applies_to.contains(a))
            })
            .cloned()
            .collect();
        Ok(LimitList { limits })
    }
}

pub(crate) const QUESTIONS: &[Entry] = &[entry::<ListLimits>()];
