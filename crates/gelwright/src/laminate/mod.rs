//! The cured wall: how thick and heavy a ply becomes, how stiff and strong the stack is, what an edge bears when
//! it is pulled from the mould, and how far it shrinks and bows.
//!
//! * [`reinforcement`]: forms of glass, ounces of mat and of cloth; [`ply`]: thickness, resin demand, number of plies;
//!   [`contents`]: glass and voids of a laminate as made, dry chop.
//! * [`micro`]: the stiffness of glass in resin (unidirectional, random mat, short strands, fillers, spheres).
//! * [`mat`]: published strength and stiffness of hand-laid glass by glass content.
//! * [`lamina`]: one ply's constants, its rotation and its failure; [`stack`]: plies bonded into a laminate.
//! * [`edge`]: a thin edge as a cantilever; [`panel`]: a flat panel under pressure.
//! * [`shrinkage`]: linear shrinkage, print-through, grip on a core; the bow of a wall is in [`stack`].
//! * [`peel`]: an edge let go by its mould; [`mount`]: a block that the part hangs by.
//! * [`wall`]: a summary of a gel-coated wall, cheap enough to compute for every zone of a plan.
//!
//! A stack is listed from the mould face: the first ply (the gel coat) has the most negative `z`.
//! A force per width is a [`ForcePerWidth`] (N/m), a moment per width a [`MomentPerWidth`] (N·m/m = N).

pub mod bar;
pub mod contents;
pub mod edge;
pub mod lamina;
pub mod mat;
mod matrix;
pub mod micro;
pub mod mount;
pub mod panel;
pub mod peel;
pub mod ply;
pub mod reinforcement;
pub mod shrinkage;
pub mod sources;
pub mod stack;
mod usual;
pub mod wall;

use crate::quantity::{Force, SurfaceTension};
#[cfg(feature = "door")]
use crate::question::Entry;

pub use bar::{BentBar, TestedBar};
pub use contents::{BurnOffSample, ChopFill, GlassContent, LooseChop, MeasuredLaminate, VoidContent};
pub use edge::{Edge, EdgeBending, EdgeCost, Section};
pub use lamina::{
    Criterion, Elastic, PlyMaterial, PlyReserve, PlyStress, ReserveFactors, Strengths, StressedPly,
};
pub use mat::{GlassLaminate, GlassLayUp, Process, RuleStrength};
pub use micro::{
    Bounds, Constituents, EquivalentSolid, FilledResin, FilledResinStiffness, HollowSphere, Orientation,
    Phase, PlyEstimates, ShortFibre, ShortFibreStiffness, ShortFibreStrength,
};
pub use mount::{BlockHold, HeldMount, Mount, WeakestPart};
pub use panel::{Panel, PanelBending, PanelShape};
pub use peel::{
    Adhesion, LeverTest, Peel, PeeledSkin, ReleaseTest, SelfRelease, WedgeTest, untested_adhesion,
};
pub use ply::{CuredPly, LaidPly, LaminateStiffness, PlyCount, PlyTarget, RuleThickness};
pub use reinforcement::{Reinforcement, ReinforcementForm, TradeWeight};
pub use shrinkage::{CoreGrip, CorePull, FibreBundles, PartShrinkage, PrintThrough, ShrunkPart};
pub use stack::{
    ForcesPerWidth, Load, LoadedStack, MomentsPerWidth, Ply, Response, Stack, StackBehaviour, StackPly,
};
pub(crate) use usual::{laminate_poisson, resin_poisson};
pub use wall::{CuredWall, DesignAllowance, GelCoatLayer, LaminateWall, WallPly};

#[cfg(feature = "door")]
/// The questions of this room.
pub(crate) const QUESTIONS: &[&[Entry]] = &[
    TradeWeight::QUESTIONS,
    LaidPly::QUESTIONS,
    MeasuredLaminate::QUESTIONS,
    BurnOffSample::QUESTIONS,
    LooseChop::QUESTIONS,
    GlassLayUp::QUESTIONS,
    Constituents::QUESTIONS,
    ShortFibre::QUESTIONS,
    FilledResin::QUESTIONS,
    HollowSphere::QUESTIONS,
    StressedPly::QUESTIONS,
    LoadedStack::QUESTIONS,
    Edge::QUESTIONS,
    PeeledSkin::QUESTIONS,
    WedgeTest::QUESTIONS,
    LeverTest::QUESTIONS,
    Mount::QUESTIONS,
    Panel::QUESTIONS,
    PartShrinkage::QUESTIONS,
    CoreGrip::QUESTIONS,
    LaminateWall::QUESTIONS,
    bar::BentBar::QUESTIONS,
];

/// `Some(text)` joined from several remarks, `None` where there are none.
fn join(remarks: Vec<String>) -> Option<String> {
    (!remarks.is_empty()).then(|| remarks.join("; "))
}

/// Bending stiffness per width of a plate that can not curl across, `E t³/12/(1 - ν²)`, in SI.
fn plate_stiffness(modulus: f64, thickness: f64, poisson: f64) -> f64 {
    modulus * thickness.powi(3) / 12.0 / (1.0 - poisson * poisson)
}

/// A force per width of the laminate, N/m.
pub type ForcePerWidth = SurfaceTension;
/// A moment per width of the laminate, N·m/m = N.
pub type MomentPerWidth = Force;
