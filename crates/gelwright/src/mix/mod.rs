//! Recipe and batch: what is proportioned, how it is measured, and how sure that is.
//!
//! [`dose`] says how much of a small part goes to how much resin and always on which basis; [`mod@bench`] holds what
//! it is measured with; [`measurement`] carries the bench's uncertainty to the answer, [`dosing`] says how to measure.
//! The chemistries: [`epoxy`] and [`polyurethane`] on [`stoichiometry`], [`peroxide`]; the heat they give off:
//! [`heat_of_reaction`]; what is stirred in: [`filler`],
//! [`pigment`]; how big a drop is: [`drops`]; a dose told on every basis: [`resin_dose`]; working back from what is left or went wrong: [`rescue`];
//! what leaves an open film as vapour: [`mod@vapour`].

pub mod batch;
pub mod bench;
pub mod dose;
pub mod dosing;
pub mod drops;
pub mod epoxy;
pub mod filler;
pub mod heat_of_reaction;
pub mod measurement;
pub mod peroxide;
pub mod pigment;
pub mod polyurethane;
pub mod recipe;
pub mod rescue;
pub mod resin_dose;
pub mod stoichiometry;
pub mod vapour;

pub use batch::{Amount, Batch, BatchPart, CureDose, MeasuredBy};
pub use bench::{Bench, Dropper, Scale, Syringe, Thermometer};
pub use dose::Dose;
pub use heat_of_reaction::{ChemicalHeat, CureReaction, HeatOfReaction, HeatPart};
pub use measurement::Estimate;
pub use recipe::{Part, Recipe, Role, role_of};
pub use resin_dose::ResinDose;
pub use vapour::{ApplicationMethod, AppliedFilm, FilmKind, VapourLoss, WeighedPanel};

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    ResinDose::QUESTIONS,
    epoxy::EpoxySystem::QUESTIONS,
    polyurethane::PolyurethaneSystem::QUESTIONS,
    heat_of_reaction::HeatOfReaction::QUESTIONS,
    peroxide::PeroxideCompound::QUESTIONS,
    peroxide::PeroxideProduct::QUESTIONS,
    peroxide::MixingOrder::QUESTIONS,
    filler::FilledMix::QUESTIONS,
    filler::FillerParticles::QUESTIONS,
    filler::DryReinforcement::QUESTIONS,
    filler::CatalystWithFiller::QUESTIONS,
    filler::AeratedMix::QUESTIONS,
    pigment::PigmentPaste::QUESTIONS,
    drops::DropperTip::QUESTIONS,
    bench::DropperCalibration::QUESTIONS,
    dosing::Dosing::QUESTIONS,
    &[rescue::LARGEST_BATCH],
    rescue::MixedCup::QUESTIONS,
    vapour::AppliedFilm::QUESTIONS,
];
