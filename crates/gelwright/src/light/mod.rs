//! What the eye sees: whether a gel coat hides what is under it, and whether a thin edge lets light through.
//!
//! * [`hiding`]: a pigmented coat as a scattering and absorbing layer (Kubelka and Munk); contrast ratio, thickness
//!   that hides, pigment that hides at a thickness, and what a lamp behind it still shows.
//! * [`translucency`]: a cast edge of resin and glass, with bubbles and pigment; how much light comes through, and how
//!   much of it straight.
//! * [`body_and_wing`]: both of one part with a lamp inside.

pub mod body_and_wing;
pub mod hiding;
pub mod translucency;

#[cfg(feature = "door")]
use crate::question::Entry;

pub use body_and_wing::{BodyAndWing, LampInside};
pub use hiding::{
    CoatOnCard, CoatOptics, DrawDown, Hiding, HidingCard, HidingPigment, LeastPigment, OpaqueCoat,
    OpticalLayer, PigmentedCoat,
};
pub use translucency::{CoatInFront, Filaments, Particles, TestPiece, Translucency, TranslucentEdge};

#[cfg(feature = "door")]
/// The questions of this room.
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    CoatOnCard::QUESTIONS,
    OpaqueCoat::QUESTIONS,
    TranslucentEdge::QUESTIONS,
    TestPiece::QUESTIONS,
    BodyAndWing::QUESTIONS,
];
