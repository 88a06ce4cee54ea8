//! The mixed stuff before gel: how thick it is, whether it stays, runs off, is squeezed out or settles.
//!
//! * [`viscosity`]: with temperature, with fillers and chop, on the way to gel; until when a batch wets out mat.
//! * [`paste`]: resin thickened with fumed silica; whether a bead of it sags; what a seam takes.
//! * [`drain`]: a coat running off a steep face; brush marks levelling.
//! * [`squeeze`]: clamped joints and edges; how hard one may clamp.
//! * [`settling`]: fillers sinking before gel.
//!
//! Every flow is slow (no inertia) and is computed in `Theta = int dt/eta` of a [`ViscosityHistory`], so a viscosity
//! rising to gel is no special case. Conversion comes from the caller; this module knows no cure kinetics.

pub(crate) mod check;
pub mod drain;
pub(crate) mod numeric;
pub mod paste;
mod questions;
pub mod settling;
pub mod squeeze;
pub mod viscosity;

pub use drain::{Drain, Drained, Levelled, levelling};
pub use paste::{
    BeadSection, Consistency, Paste, Sag, SeamPaste, SeamPasteBatch, SilicaForBead, YieldLaw, YieldTest, sag,
    silica_bulk_density, silica_density, silica_for_bead, silica_fraction, yield_to_hold,
};
pub(crate) use questions::QUESTIONS;
pub use questions::*;
pub use settling::{Settled, Settling, hindrance};
pub use squeeze::{
    ChopInBead, ChopLimit, ClampLimit, Clamps, FibreBed, Joint, SeamPressure, SqueezeOut, Squeezed,
    StoppedBy, closing_time,
};
pub use viscosity::{
    ChemoViscosity, Chop, SuspensionModel, Viscosity, ViscosityHistory, ViscosityTemperature, WetOut, filled,
    sphere_packing, wet_out, wet_out_limit,
};
