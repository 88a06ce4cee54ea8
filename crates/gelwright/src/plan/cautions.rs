//! What can hurt somebody in this casting: by the hazards of its materials, and by what is done with them.

use super::layout::Act;
use super::{Caution, Job};
use crate::error::Result;
use crate::material::{self, Hazard, Material};

/// Each caution once, first those of the materials' hazards, then those of the acts; last, what they defer to.
pub(super) fn cautions(job: &Job) -> Result<Vec<Caution>> {
    let materials = materials(job)?;
    let mut all: Vec<Caution> = Vec::new();
    for hazard in Hazard::ALL {
        let about: Vec<String> = materials
            .iter()
            .filter(|m| m.hazards.contains(hazard))
            .map(|m| m.name.clone())
            .collect();
        if !about.is_empty() {
            let c = material::Caution::of(*hazard)?;
            all.push(Caution {
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
        let c = material::Caution::of_act(act)?;
        all.push(Caution {
            about: vec![act.replace('_', " ")],
            text: c.text.clone(),
            source: Some((*c.source).clone()),
        });
    }
    all.push(Caution {
        about: vec!["everything above".to_owned()],
        text: material::Caution::defers().to_owned(),
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
