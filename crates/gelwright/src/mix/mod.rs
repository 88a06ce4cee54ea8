//! Recipe and batch: what is proportioned, how it is measured, and how sure that is.
//!
//! [`dose`] says how much of a small part goes to how much resin and always on which basis; [`mod@bench`] holds what
//! it is measured with; [`measurement`] carries the bench's uncertainty to the answer, [`dosing`] says how to measure.
//! The chemistries: [`epoxy`] and [`polyurethane`] on [`stoichiometry`], [`peroxide`]; the heat they give off:
//! [`heat_of_reaction`]; what is stirred in: [`filler`],
//! [`pigment`]; how big a drop is: [`drops`], of what mixture: [`liquid_mixture`]; a dose told on every basis: [`resin_dose`]; working
//! back from what is left or went wrong: [`rescue`]; what leaves an open film as vapour: [`mod@vapour`]. Tests of the shop:
//! [`film_gauge`], [`coated_panel`], [`weighed`]; what stays in cup and tools: [`residue`].

pub mod batch;
pub mod bench;
pub mod coated_panel;
pub mod dose;
pub mod dosing;
pub mod drops;
pub mod epoxy;
pub mod filler;
pub mod film_gauge;
pub mod heat_of_reaction;
pub mod liquid_mixture;
pub mod measurement;
pub mod peroxide;
pub mod pigment;
pub mod polyurethane;
pub mod recipe;
pub mod rescue;
pub mod residue;
pub mod resin_dose;
pub mod stoichiometry;
pub mod vapour;
pub mod weighed;

pub use batch::{Amount, Batch, BatchPart, CureDose, MeasuredBy};
pub use bench::{Bench, Dropper, Scale, Syringe, Thermometer};
pub use coated_panel::{CoatedPanel, PanelWeighing, VapourLost};
pub use dose::Dose;
pub use film_gauge::{FilmGauge, GaugedFilm};
pub use heat_of_reaction::{ChemicalHeat, CureReaction, HeatOfReaction, HeatPart};
pub use liquid_mixture::{LiquidMixture, LiquidPart, MixedLiquid};
pub use measurement::Estimate;
pub use recipe::{Part, Recipe, Role, role_of};
pub use residue::{Leftover, Residue, Tool, WettedTools};
pub use resin_dose::ResinDose;
pub use vapour::{ApplicationMethod, AppliedFilm, FilmKind, VapourLoss, WeighedPanel};
pub use weighed::{MeasuredDensity, WeighedArea, WeighedInWater, WeighedLaminate, WeighedTin, WeighedVolume};

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
    film_gauge::FilmGauge::QUESTIONS,
    coated_panel::CoatedPanel::QUESTIONS,
    weighed::WeighedVolume::QUESTIONS,
    weighed::WeighedInWater::QUESTIONS,
    residue::WettedTools::QUESTIONS,
    liquid_mixture::LiquidMixture::QUESTIONS,
    vapour::AppliedFilm::QUESTIONS,
];
