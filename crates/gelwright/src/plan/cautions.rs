//! What can hurt somebody in this casting: by the hazards of its materials, and by what is done with them.

use super::job::Job;
use super::layout::Act;
use super::steps::{Timetable, Work, WorkStep};
use crate::error::Result;
use crate::material::{Caution, Hazard, Material};
use crate::noun::Noun;
use crate::source::Source;

/// Something that can hurt somebody, and the usual care.
#[derive(Clone, PartialEq, Noun)]
pub struct PlanCaution {
    /// The number of the step beside which it is said: the first that it is about. Absent for what goes with all of them.
    pub step: Option<usize>,
    /// Where it comes from: materials or acts.
    pub about: Vec<String>,
    /// What to do.
    pub text: String,
    /// On whose word.
    pub source: Option<Source>,
}

/// Each caution once, first those of the materials' hazards, then those of the acts; last, what they defer to.
pub(super) fn cautions(job: &Job, timed: &Timetable) -> Result<Vec<PlanCaution>> {
    let materials = job.materials()?;
    let first = |of: &dyn Fn(&WorkStep, &[String]) -> bool| {
        let mut steps = timed.steps.iter().zip(&timed.handled);
        steps.find(|(s, handled)| of(s, handled)).map(|(s, _)| s.number)
    };
    let work = |work: Work| first(&|s, _| s.work == work);
    let handling = |ids: &[&str]| first(&|_, handled| handled.iter().any(|h| ids.contains(&h.as_str())));
    let mut all: Vec<PlanCaution> = Vec::new();
    for hazard in Hazard::ALL {
        let of: Vec<&&Material> = materials.iter().filter(|m| m.hazards.contains(hazard)).collect();
        if !of.is_empty() {
            let c = Caution::of(*hazard)?;
            let ids: Vec<&str> = of.iter().map(|m| m.id.as_str()).collect();
            all.push(PlanCaution {
                step: match hazard {
                    // A mixed cup heats itself; its tin does not.
                    Hazard::Exotherm => first(&|s, _| s.batch.is_some()),
                    // What tools are cleaned with is handled when what is left is cleared away.
                    _ => handling(&ids).or_else(|| work(Work::Leftover)),
                },
                about: of.iter().map(|m| m.name.clone()).collect(),
                text: c.text.clone(),
                source: Some((*c.source).clone()),
            });
        }
    }
    let peroxide = materials.iter().any(|m| m.initiator().is_ok());
    let promoted = materials.iter().any(|m| m.promoter().is_ok());
    let laminated = job.items.iter().any(|i| i.act == Act::Laminate);
    let mixed = first(&|s, _| s.batch.is_some());
    let acts = [
        ("promoter_with_peroxide", peroxide && promoted, mixed),
        ("acetone_with_peroxide", peroxide, mixed),
        ("weighing_peroxide", peroxide, mixed),
        ("sanding", laminated, work(Work::Trim)),
        ("leftover_cup", true, work(Work::Leftover)),
        ("rags", true, work(Work::Leftover)),
        (
            "post_cure",
            !job.casting.cure.post_cure.is_empty(),
            work(Work::PostCure),
        ),
    ];
    for (act, _, step) in acts.iter().filter(|(_, counts, _)| *counts) {
        let c = Caution::of_act(act)?;
        all.push(PlanCaution {
            step: *step,
            about: vec![act.replace('_', " ")],
            text: c.text.clone(),
            source: Some((*c.source).clone()),
        });
    }
    all.push(PlanCaution {
        step: None,
        about: vec!["everything above".to_owned()],
        text: Caution::defers().to_owned(),
        source: None,
    });
    Ok(all)
}
