//! Exotherm: how hot a cup, a wall or a solid pour gets, when, where, and what that does.
mod cancel;
mod chemistry;
pub mod cup;
mod edge;
pub mod face;
mod grid;
mod kernel;
pub mod layer;
#[cfg(test)]
mod prototype;
mod tableau;
mod track;
mod vector;
pub mod wall;

pub use cancel::Cancel;
pub use cup::{Cup, CupCurve, CupRun, Lumping, Place, Vessel, sweep_cups};
pub use face::{Course, CoursePoint, Face, Stance, Surroundings};
pub use layer::{Cure, Layer, Thermal};
pub use wall::{
    Cells, Ended, Form, Grows, HeatBalance, LayerRun, Peak, Profiles, Wall, WallRun, sweep,
};
