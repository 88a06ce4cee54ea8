//! The cured wall: how thick and heavy a ply becomes, how stiff and strong the stack is, what an edge bears when
//! it is pulled from the mould, and how far it shrinks and bows.
//!
//! * [`ply`]: glass content, thickness, resin demand, ounces of mat and of cloth, number of plies, dry chop.
//! * [`micro`]: the stiffness of glass in resin (unidirectional, random mat, short strands, fillers, spheres).
//! * [`mat`]: published strength and stiffness of hand-laid glass by glass content.
//! * [`lamina`]: one ply's constants, its rotation and its failure; [`stack`]: plies bonded into a laminate.
//! * [`edge`]: a thin edge as a cantilever; [`panel`]: a flat panel under pressure.
//! * [`shrinkage`]: linear shrinkage, print-through, grip on a core; the bow of a wall is in [`stack`].
//! * [`wall`]: a summary of a gel-coated wall, cheap enough to compute for every zone of a plan.
//!
//! A stack is listed from the mould face: the first ply (the gel coat) has the most negative `z`.
//! A force per width is a [`ForcePerWidth`] (N/m), a moment per width a [`MomentPerWidth`] (N·m/m = N).

mod check;
pub mod edge;
pub mod lamina;
pub mod mat;
mod matrix;
pub mod micro;
pub mod panel;
pub mod ply;
mod questions;
pub mod shrinkage;
pub mod sources;
pub mod stack;
pub mod wall;

pub use edge::{Edge, EdgeAnswer, Section, edge_bending};
pub use lamina::{Criterion, Elastic, PlyMaterial, ReserveFactors, Strengths};
pub use ply::{Cloth, CuredPly, Form, Mat, Reinforcement, Target, cured_ply, plies_for};
pub(crate) use questions::QUESTIONS;
pub use questions::*;
pub use stack::{Load, Ply, Response, Stack};
pub use wall::{GelCoatLayer, WallPly, WallSpec, WallSummary, wall_summary};

use crate::quantity::{Force, SurfaceTension};

/// A force per width of the laminate, N/m.
pub type ForcePerWidth = SurfaceTension;
/// A moment per width of the laminate, N·m/m = N.
pub type MomentPerWidth = Force;
