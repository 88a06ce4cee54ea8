//! The mixed stuff before gel: how thick it is, whether it stays, runs off, is squeezed out or settles.
//!
//! * [`viscosity`]: with temperature, with fillers and chop, on the way to gel; until when a batch wets out mat.
//! * [`paste`]: resin thickened with fumed silica; whether a bead of it sags; what a seam takes.
//! * [`drain`]: a coat running off a steep face; brush marks levelling.
//! * [`squeeze`]: clamped joints and edges; how hard one may clamp.
//! * [`wet_edge`]: a flange of wet laminate that the mould is closed on;
//! * [`settling`]: fillers sinking before gel.
//!
//! Every flow is slow (no inertia) and is computed in `Theta = int dt/eta` of a [`ViscosityHistory`], so a viscosity
//! rising to gel is no special case. Conversion comes from the caller; this module knows no cure kinetics.

pub mod drain;
pub mod paste;
pub mod settling;
pub mod squeeze;
pub mod viscosity;
pub mod wet_edge;

#[cfg(feature = "door")]
use crate::question::Entry;

pub use drain::{Drain, Drained, Levelled, Levelling};
pub use paste::{
    Bead, BeadSection, Consistency, Paste, Sag, SeamPaste, SeamPasteBatch, SilicaForBead, TestedPaste,
    YieldLaw, YieldLawChoice, YieldReading, YieldTest, silica_density, silica_fraction,
};
pub use settling::{Settled, Settling, hindrance};
pub(crate) use squeeze::touching;
pub use squeeze::{
    ChopInBead, ChopLimit, ClampLimit, Clamps, FibreBed, Joint, SeamPressure, SqueezeOut, Squeezed,
    StoppedBy, closing_time,
};
pub use viscosity::{
    ChemoViscosity, Chop, ChopPacking, Strand, Suspension, SuspensionModel, SuspensionViscosity, Viscosity,
    ViscosityCourse, ViscosityHistory, ViscosityReading, ViscosityTemperature, WetOutTime, filled,
    sphere_packing,
};
pub use wet_edge::{PressedWet, WetEdge};
#[cfg(feature = "door")]
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    Suspension::QUESTIONS,
    Strand::QUESTIONS,
    ChemoViscosity::QUESTIONS,
    ViscosityHistory::QUESTIONS,
    Paste::QUESTIONS,
    YieldTest::QUESTIONS,
    Bead::QUESTIONS,
    SeamPaste::QUESTIONS,
    Drain::QUESTIONS,
    Levelling::QUESTIONS,
    SqueezeOut::QUESTIONS,
    Clamps::QUESTIONS,
    Settling::QUESTIONS,
    WetEdge::QUESTIONS,
];
