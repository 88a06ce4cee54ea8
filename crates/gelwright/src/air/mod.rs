//! What is in the room: vapour in a person's breath over the day against the limits of a jurisdiction, fire, storage.
//!
//! [`Room`] is the air; [`VapourInRoom`] follows what gets into it, exactly between its changes; [`cup`] says how fast an open
//! cup evaporates, [`storage`] what may stand beside what and how warm. All of it stands alone: a plan fills it from its clock
//! ([`Plan::air`](crate::plan::Plan)). Nothing here is a measurement, and no number here says that air is safe: the
//! product's safety data sheet, local codes and licensed practice come first.

pub mod cup;
mod room;
pub mod storage;
mod trace;
mod vapour_in_room;

pub use cup::{EvaporationRate, OpenCup, StagnantCup};
pub use room::{Emission, Extraction, NearField, Room};
pub(crate) use storage::incompatible;
pub use storage::{
    IncompatiblePair, PeroxideStorage, SharedShelf, ShelfChecked, StorageTemperatures, StoredSubstance,
};
pub use vapour_in_room::{
    AdditiveEffect, AdditiveSum, AirCurve, Dilution, DilutionAir, Exposure, ExposureCompared, FreshAir,
    Respirator, RespiratorKind, VapourInRoom,
};
pub(crate) use vapour_in_room::{Air, ppm};

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    VapourInRoom::QUESTIONS,
    Dilution::QUESTIONS,
    AdditiveEffect::QUESTIONS,
    OpenCup::QUESTIONS,
    StagnantCup::QUESTIONS,
    PeroxideStorage::QUESTIONS,
    SharedShelf::QUESTIONS,
];
