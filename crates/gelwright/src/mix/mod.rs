//! Recipe and batch: what is proportioned, how it is measured, and how sure that is.
//!
//! [`dose`] says how much of a small part goes to how much resin and always on which basis; [`bench`] holds what
//! it is measured with; [`measurement`] carries the bench's uncertainty to the answer.

pub mod batch;
pub mod bench;
pub mod dose;
pub mod measurement;
pub mod recipe;

pub use batch::{Amount, Batch, BatchPart, CureDose, MeasuredBy};
pub use bench::{Bench, Dropper, Scale, Syringe, Thermometer};
pub use dose::Dose;
pub use measurement::Estimate;
pub use recipe::{Part, Recipe, Role, role_of};
