//! Exotherm: how hot a cup, a wall or a solid pour gets, when, where, and what that does.
mod cancel;
mod chemistry;
pub mod critical;
pub mod cup;
mod edge;
pub mod face;
mod grid;
mod kernel;
pub mod layer;
pub mod pour;
#[cfg(test)]
mod prototype;
mod questions;
mod solve;
mod tableau;
mod track;
mod vector;
pub mod wall;

pub use cancel::Cancel;
pub use critical::{CriticalSize, CriticalSizeAnswer, critical_delta};
pub use cup::{Cup, CupCurve, CupRun, Lumping, Place, Vessel, sweep_cups};
pub use face::{Course, CoursePoint, Face, Stance, Surroundings};
pub use layer::{Cure, Layer, Thermal};
pub use pour::{
    Casting, Cracking, Extent, HeatLimit, HollowOrSolid, HollowOrSolidAnswer, Pours, PoursAnswer,
    ThickestPour, ThickestPourAnswer,
};
pub(crate) use questions::QUESTIONS;
pub use questions::{
    DoseForGel, DoseForGelAnswer, PourTemperature, PourTemperatureAnswer, StillAir, StillAirAnswer,
    SweepCups, SweepCupsAnswer, SweepWalls, SweepWallsAnswer, ThicknessForPeak, ThicknessForPeakAnswer,
};
pub use wall::{
    Cells, Ended, Form, Grows, HeatBalance, LayerRun, Peak, Profiles, Wall, WallRun, WallSummary, sweep,
};
