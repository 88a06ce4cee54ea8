//! Gel and cure: how long the mix stays workable, how far it has reacted, when it may be demoulded.
//!
//! Two models stand side by side. [`gel_table`] is for those who have only the gel-time table of a data sheet;
//! it answers the gel time and the dose for one. [`kinetics`] holds rate laws of cure as data, with the kernel
//! that this module and `heat` integrate; `calibrate` makes one from the lines of a data sheet.
//!
//! What kinetics tell along a [`schedule`] are methods of [`Kinetics`], all in [`run`]: conversion, gel time, pot life,
//! the dose for a gel time, the tack window of a gel coat, the time to demould, what an oven does. [`gel`] says when a
//! mix counts as gelled, [`readiness`] when a layer is ready, [`demoulding`] when a part may leave the mould, [`post_cure`]
//! what an oven does, [`in_use`] what heat the part bears; [`glass`] the glass transition, [`curing_modulus`] the stiffness,
//! [`hardness`] the hardness and [`shrinkage`] the cure shrinkage against conversion.
pub mod curing_modulus;
pub mod demoulding;
pub mod gel;
pub mod gel_table;
pub mod glass;
pub mod hardness;
pub mod in_use;
pub mod kinetics;
pub mod post_cure;
pub mod readiness;
pub mod run;
pub mod schedule;
mod sheet_time;
pub mod shrinkage;
pub mod usual;

mod along;
mod followed;
mod isothermal;
pub(crate) mod law;
mod stepped;

pub use curing_modulus::CuringModulus;
pub use demoulding::{CureStop, DemouldCriterion, DemouldTime, NeededTemperature};
pub(crate) use followed::{Followed, Softest};
pub use gel::{DoseFromKinetics, GelCriterion, PotLifeEnd, ViscosityRise};
pub use gel_table::{ApparentActivationEnergy, DoseForGelTime, GelRow, GelTable, GelTime};
pub use glass::{
    FinalConversion, GlassSpread, GlassTransition, GlassTransitionTemperature, Vitrification, Vitrified,
};
pub use hardness::{HardnessInstrument, HardnessReading, HardnessScale};
pub use in_use::{HeatInUse, StaysStiff};
pub use kinetics::{
    Autocatalytic, DiffusionInSeries, DoseEffect, FittedRange, FreeRadical, KamalSourour, Kernel, Kinetics,
    NthOrder, Piecewise, Radicals, Rate, RateConstant, RateLaw,
};
pub use post_cure::{EquivalentTime, LeastPostCure, PostCure, PostCureHold, PostCureLimit, equivalent_time};
pub use readiness::{
    CureState, PressureBand, Readiness, TackRule, TackWindow, TackWindowRule, TemperatureBand,
};
pub use run::{CureCurve, CureRate, CureTime};
pub use schedule::{Schedule, SchedulePoint};
pub use shrinkage::{CureDensities, CureShrinkage};
pub use usual::UsualKinetics;

#[cfg(feature = "door")]
use crate::question::Entry;
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    GelTable::QUESTIONS,
    Kinetics::QUESTIONS,
    Kinetics::READINESS,
    Kinetics::DEMOULDING,
    Kinetics::OVEN,
    Kinetics::IN_USE,
    CuringModulus::QUESTIONS,
    TackWindow::QUESTIONS,
    &[post_cure::EQUIVALENT_TIME],
    GlassTransition::QUESTIONS,
    Vitrification::QUESTIONS,
    CureDensities::QUESTIONS,
    UsualKinetics::QUESTIONS,
];
