//! Measuring what one has: areas, volumes, seam lengths and edge zones of a mould, each with its uncertainty.
//!
//! | from | noun |
//! |---|---|
//! | numbers, tape readings | [`TapedShape`] |
//! | a traced outline, an SVG path, an outline drawn over a photo with a scale mark | [`Outline`] |
//! | a paper or card template weighed against a square of the same sheet | [`WeighedTemplate`] |
//! | water poured in and weighed | [`WaterFill`] |
//! | a solid measured by tape, and the wall laid on it | [`Solid`] |
//! | a mesh in STL or OBJ | [`Mesh`] |
//!
//! Every answer is a [`Size`]: the value, its standard uncertainty, what makes most of it, and why. Use it through the
//! `gelwright` crate, as `gelwright::mould`.
#![forbid(unsafe_code)]

mod carlson;
mod crossing;
mod flat;
mod mesh;
mod offset;
mod outline;
mod path;
mod size;
mod solid;
mod sources;
mod sum;
mod tape;
mod template;
mod wall;
mod water;
mod zone;

pub use flat::FlatSize;
pub use mesh::{Mesh, MeshFormat, MeshReading, MeshRim, MeshSize, MeshText};
pub use outline::{Outline, OutlinePoint, ScaleMark};
pub use size::{Size, SizeInput};
pub use solid::{ProfilePoint, Solid, SolidForm, SolidSize};
pub use tape::{PlaneForm, Tape, TapedShape};
pub use template::WeighedTemplate;
pub use wall::{MeasuredFace, WallSize};
pub use water::{WaterFill, water_density};
pub use zone::{KnownSize, MeasuredSizes, SizeMeasurement};

#[cfg(feature = "door")]
use gelwright_base::question::Entry;

/// What can be asked in this room.
#[cfg(feature = "door")]
pub const QUESTIONS: &[&[Entry]] = &[
    TapedShape::QUESTIONS,
    Outline::QUESTIONS,
    WeighedTemplate::QUESTIONS,
    &[water::WATER_DENSITY],
    WaterFill::QUESTIONS,
    Solid::QUESTIONS,
    MeshText::QUESTIONS,
    SizeMeasurement::QUESTIONS,
];
