//! What is curved, and which way it grows.

use crate::noun::Noun;

/// The geometry of a wall or a mass: in how many directions heat can leave it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Geometry {
    /// Flat; heats are per square metre.
    #[default]
    Plane,
    /// Around an axis; heats are per metre of length.
    Cylinder,
    /// Around a point; heats are of the whole ball.
    Sphere,
}

/// Which way layers are laid on a curved wall.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Grows {
    /// On a core, away from the axis.
    Outward,
    /// In a mould, towards the axis; a solid pour ends at the axis itself.
    #[default]
    Inward,
}
