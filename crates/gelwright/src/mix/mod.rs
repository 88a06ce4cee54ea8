//! Recipe and batch: what is proportioned, how it is measured, and how sure that is.
//!
//! [`dose`] says how much of a small part goes to how much resin and always on which basis; [`bench`] holds what
//! it is measured with; [`measurement`] carries the bench's uncertainty to the answer, [`dosing`] says how to measure.
//! The chemistries: [`epoxy`] and [`polyurethane`] on [`stoichiometry`], [`peroxide`]; what is stirred in: [`filler`],
//! [`pigment`]; how big a drop is: [`drops`]; working back from what is left or went wrong: [`rescue`].

pub mod batch;
pub mod bench;
pub mod dose;
pub mod dosing;
pub mod drops;
pub mod epoxy;
pub mod filler;
pub mod measurement;
pub mod peroxide;
pub mod pigment;
pub mod polyurethane;
pub mod questions;
pub mod recipe;
pub mod rescue;
pub mod stoichiometry;

pub use batch::{Amount, Batch, BatchPart, CureDose, MeasuredBy};
pub use bench::{Bench, Dropper, Scale, Syringe, Thermometer};
pub use dose::Dose;
pub use measurement::Estimate;
pub(crate) use questions::QUESTIONS;
pub use recipe::{Part, Recipe, Role, role_of};
