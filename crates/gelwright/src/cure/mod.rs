//! Gel and cure: how long the mix stays workable, how far it has reacted, when it may be demoulded.
//!
//! Two models stand side by side. [`gel_table`] is for those who have only the gel-time table of a data sheet;
//! it answers the gel time and the dose for one. [`kinetics`] holds rate laws of cure as data, with the kernel
//! that this module and `heat` integrate; [`glass`] the glass transition against conversion.
pub mod gel_table;
pub mod glass;
pub mod kinetics;

pub use gel_table::{ApparentActivationEnergy, DoseForGelTime, GelRow, GelTable, GelTime};
pub use glass::{GlassTransition, Vitrification};
pub use kinetics::{
    Autocatalytic, FittedRange, FreeRadical, KamalSourour, Kernel, Kinetics, NthOrder, Piecewise, Radicals,
    Rate, RateConstant, RateLaw,
};
