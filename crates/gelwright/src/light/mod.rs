//! What the eye sees: whether a gel coat hides what is under it, and whether a thin edge lets light through.
//!
//! * [`hiding`]: a pigmented coat as a scattering and absorbing layer (Kubelka and Munk); contrast ratio, thickness
//!   that hides, pigment that hides at a thickness, and what a lamp behind it still shows.
//! * [`translucency`]: a cast edge of resin and glass, with bubbles and pigment; how much light comes through, and how
//!   much of it straight.

pub mod hiding;
mod questions;
pub mod translucency;

pub use hiding::{CoatOptics, Hiding, Layer, Pigment, contrast_ratio, hiding_coat, pigment_to_hide};
pub(crate) use questions::QUESTIONS;
pub use questions::*;
pub use translucency::{Edge, Particles, Translucency};
