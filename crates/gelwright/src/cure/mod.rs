//! Gel and cure: how long the mix stays workable, how far it has reacted, when it may be demoulded.
//!
//! Two models stand side by side. [`gel_table`] is for those who have only the gel-time table of a data sheet;
//! it answers the gel time and the dose for one.
pub mod gel_table;

pub use gel_table::{DoseForGelTime, GelRow, GelTable, GelTime};
