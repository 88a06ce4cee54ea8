//! What a flat shape measures.

use gelwright_base::noun::Noun;
use gelwright_base::quantity::{Area, Length};

use crate::size::Size;

/// A flat shape: area, length of its edge, the zone along its edge.
#[derive(Clone, PartialEq, Noun)]
pub struct FlatSize {
    /// Its area.
    pub area: Size<Area>,
    /// The length of its edge: of the seam, where it is one.
    pub perimeter: Size<Length>,
    /// The zone along the inside of its edge, of the width that was asked for.
    pub edge_zone: Option<Size<Area>>,
    /// Its centroid in the coordinates of the outline, x then y.
    pub centroid: Option<[Length; 2]>,
    /// What should be known of it.
    #[noun(default)]
    pub notes: Vec<String>,
}
