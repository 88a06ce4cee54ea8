//! What can hurt somebody in this casting: by the hazards of its materials, and by what is done with them.

use super::job::Job;
use super::layout::Act;
use crate::error::Result;
use crate::material::{Caution, Hazard, Material};
use crate::noun::Noun;
use crate::source::Source;

/// Something that can hurt somebody, and the usual care.
#[derive(Clone, PartialEq, Noun)]
pub struct PlanCaution {
    /// Where it comes from: materials or acts.
    pub about: Vec<String>,
    /// What to do.
    pub text: String,
    /// On whose word.
    pub source: Option<Source>,
}

/// Each caution once, first those of the materials' hazards, then those of the acts; last, what they defer to.
pub(super) fn cautions(job: &Job) -> Result<Vec<PlanCaution>> {
    let materials = materials(job)?;
    let mut all: Vec<PlanCaution> = Vec::new();
    for hazard in Hazard::ALL {
        let about: Vec<String> = materials
            .iter()
            .filter(|m| m.hazards.contains(hazard))
            .map(|m| m.name.clone())
            .collect();
        if !about.is_empty() {
            let c = Caution::of(*hazard)?;
            all.push(PlanCaution {
                about,
                text: c.text.clone(),
                source: Some((*c.source).clone()),
            });
        }
    }
    let peroxide = materials.iter().any(|m| m.initiator().is_ok());
    let promoted = materials.iter().any(|m| m.promoter().is_ok());
    let laminated = job.items.iter().any(|i| i.act == Act::Laminate);
    let acts = [
        ("promoter_with_peroxide", peroxide && promoted),
        ("acetone_with_peroxide", peroxide),
        ("weighing_peroxide", peroxide),
        ("sanding", laminated),
        ("leftover_cup", true),
        ("post_cure", !job.casting.cure.post_cure.is_empty()),
    ];
    for (act, _) in acts.iter().filter(|(_, counts)| *counts) {
        let c = Caution::of_act(act)?;
        all.push(PlanCaution {
            about: vec![act.replace('_', " ")],
            text: c.text.clone(),
            source: Some((*c.source).clone()),
        });
    }
    all.push(PlanCaution {
        about: vec!["everything above".to_owned()],
        text: Caution::defers().to_owned(),
        source: None,
    });
    Ok(all)
}

/// Every material of the casting, each once.
fn materials<'c>(job: &'c Job) -> Result<Vec<&'c Material>> {
    let mut ids: Vec<&str> = job
        .mixes
        .values()
        .flat_map(|m| m.materials.iter().map(|(_, m)| m.id.as_str()))
        .collect();
    ids.extend(
        job.items
            .iter()
            .flat_map(|i| i.plies.iter().map(|p| p.material.as_str())),
    );
    ids.extend(job.casting.mould.release.iter().map(|r| r.material.as_str()));
    let mut seen = std::collections::BTreeSet::new();
    ids.retain(|id| seen.insert(*id));
    ids.into_iter().map(|id| job.catalogue.get(id)).collect()
}
