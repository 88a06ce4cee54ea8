//! Gel and cure: how long the mix stays workable, how far it has reacted, when it may be demoulded.
//!
//! Two models stand side by side. [`gel_table`] is for those who have only the gel-time table of a data sheet;
//! it answers the gel time and the dose for one. [`kinetics`] holds rate laws of cure as data, with the kernel
//! that this module and `heat` integrate; [`data_sheet`] makes one from the few lines of a data sheet.
//!
//! With kinetics, [`run`] gives conversion along a [`schedule`], [`gel`] gel time, pot life and the dose for a gel
//! time, [`readiness`] the tack window of a gel coat and the time to demould, [`post_cure`] what an oven does,
//! [`glass`] the glass transition and [`shrinkage`] the cure shrinkage against conversion.
pub mod data_sheet;
pub mod gel;
pub mod gel_table;
pub mod glass;
pub mod kinetics;
pub mod post_cure;
mod questions;
pub mod readiness;
pub mod run;
pub mod schedule;
mod sheet_time;
pub mod shrinkage;

mod integrate;

pub use data_sheet::{CupReading, DataSheetKinetics, DataSheetLines, TestCup, kinetics_from_data_sheet};
pub use gel::{DoseFromKinetics, GelCriterion, PotLifeEnd, ViscosityRise};
pub use gel_table::{ApparentActivationEnergy, DoseForGelTime, GelRow, GelTable, GelTime};
pub use glass::{GlassTransition, Vitrification};
pub use kinetics::{
    Autocatalytic, FittedRange, FreeRadical, KamalSourour, Kernel, Kinetics, NthOrder, Piecewise, Radicals,
    Rate, RateConstant, RateLaw,
};
pub use post_cure::{EquivalentTime, PostCure, PostCureHold, equivalent_time, post_cure, post_cure_hold};
pub(crate) use questions::QUESTIONS;
pub use readiness::{DemouldCriterion, TackRule, TackWindow, TackWindowRule, tack_window_from_gel_time};
pub use run::{CureCurve, CureTime};
pub use schedule::{Schedule, SchedulePoint};
pub use shrinkage::{CureShrinkage, Shrinkage};
