//! A mesh of triangles, measured.
//!
//! What makes a volume wrong is refused or told: faces turned the other way, doubled or missing faces, faces that cross,
//! shells that overlap or lie within one another the wrong way round. A unit is never guessed.

mod crossing;
mod measure;
mod nested;
mod read;
mod rim;
mod topology;
mod weld;

use gelwright_base::Cancel;
use gelwright_base::error::{Error, ErrorKind, Result};
use gelwright_base::noun::{Noun, questions};
use gelwright_base::quantity::{self, Area, Length, Quantity, Volume};

use crate::size::Size;
use crate::tape::LENGTH;

/// What kind of file a mesh is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Noun)]
pub enum MeshFormat {
    /// STL, binary or in text: corners of triangles in single precision.
    Stl,
    /// OBJ: vertices and faces, in text.
    Obj,
}

/// How a mesh is to be read and measured.
#[derive(Clone, PartialEq, Noun)]
pub struct MeshReading {
    /// The unit of its coordinates, as "mm" or "inch": no file says it, and it is never guessed.
    pub unit: Option<String>,
    /// Vertices this close are one; if not said, twice the last digit of the file's numbers at their largest.
    #[noun(within("0 mm", "100 mm", "give for example '0.001 mm'"))]
    pub weld: Option<Length>,
    /// Whether open rims are closed by flat caps, so that a half mould has a volume.
    #[noun(default)]
    pub cap: bool,
    /// Whether faces that cross are looked for: most of the work, and without it a volume may be wrong.
    #[noun(default = true)]
    pub crossings: bool,
    /// What a tape shows along its longest side, where it was measured: a mesh that differs by more than 10 % is refused.
    #[noun(within = LENGTH)]
    pub longest: Option<Length>,
}

impl MeshReading {
    /// In that unit, all else as it is where nothing is said.
    pub fn in_unit(unit: &str) -> Self {
        MeshReading {
            unit: Some(unit.to_owned()),
            weld: None,
            cap: false,
            crossings: true,
            longest: None,
        }
    }

    /// Metres to a unit of the file.
    fn metres(&self) -> Result<f64> {
        let way_out = "say the unit that the mesh was exported in, for example unit = \"mm\" or \"inch\"";
        let Some(unit) = &self.unit else {
            return Err(Error::new(ErrorKind::Document, "unit")
                .with_value("a mesh without its unit")
                .with_allowed("a unit of length")
                .with_way_out(way_out));
        };
        let one: Length = quantity::parse("unit", &format!("1 {}", unit.trim()))?;
        Ok(one.si())
    }
}

/// The rim of an open mesh: where half a mould ends, or where faces are missing.
#[derive(Clone, PartialEq, Noun)]
pub struct MeshRim {
    /// Its length.
    pub length: Length,
    /// The area of the flat cap that would close it.
    pub cap: Area,
    /// How far its farthest point lies off that cap's plane.
    pub off_plane: Length,
}

/// What a mesh measures.
#[derive(Clone, PartialEq, Noun)]
pub struct MeshSize {
    /// Its face.
    pub area: Size<Area>,
    /// What it holds; none for an open mesh that was not capped.
    pub volume: Option<Size<Volume>>,
    /// Whether it is closed.
    pub closed: bool,
    /// Its rims, the longest first; at most a hundred are listed.
    #[noun(default)]
    pub rims: Vec<MeshRim>,
    /// The length of all rims.
    pub rim_length: Length,
    /// The area of the caps that were put on.
    pub capped: Option<Area>,
    /// Its size along x, y, z.
    pub extent: [Length; 3],
    /// Parts that do not hang together.
    pub shells: u64,
    /// Triangles that were measured.
    pub triangles: u64,
    /// Vertices after welding.
    pub vertices: u64,
    /// Triangles that welding left without area.
    pub dropped: u64,
    /// How close vertices had to be to be one.
    pub weld: Length,
    /// Whether faces that cross were looked for.
    pub crossings_looked_for: bool,
    /// What should be known of it.
    #[noun(default)]
    pub notes: Vec<String>,
}

/// How the numbers of a mesh were rounded.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Precision {
    /// To 24 binary digits.
    Single,
    /// To some six figures, as files in text are usually written (from memory).
    SixFigures,
    /// Not at all that is known.
    Double,
}

impl Precision {
    /// The largest rounding of a coordinate of that size.
    fn half_step(self, x: f64) -> f64 {
        match self {
            Precision::Single => x * f64::from(f32::EPSILON) / 2.0,
            Precision::SixFigures => x * 5e-7,
            Precision::Double => x * f64::EPSILON / 2.0,
        }
    }
}

/// A mesh of triangles, in the unit of its file.
#[derive(Clone)]
pub struct Mesh {
    vertices: Vec<[f64; 3]>,
    triangles: Vec<[u32; 3]>,
    precision: Precision,
    /// Faces of more than three corners that were cut into triangles.
    polygons: usize,
}

/// Welded vertices about the mesh's middle, and triangles with three different corners.
pub(crate) struct Faces {
    pub(crate) vertices: Vec<[f64; 3]>,
    pub(crate) triangles: Vec<[u32; 3]>,
}

impl std::fmt::Debug for Mesh {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Mesh of {} triangles", self.triangles.len())
    }
}

impl Mesh {
    /// From a file's bytes.
    ///
    /// # Errors
    /// [`ErrorKind::Unreadable`] for bytes that are no such file, that are cut short or go on after its end, and for a face
    /// with a bay; [`ErrorKind::OutOfRange`] for a mesh of nothing and one of more than 50 million triangles;
    /// [`ErrorKind::NotFinite`] for a coordinate that is no number; [`ErrorKind::Cancelled`].
    pub fn from_bytes(bytes: &[u8], format: MeshFormat, cancel: Cancel<'_>) -> Result<Mesh> {
        read::read(bytes, format, cancel)
    }

    /// From vertices and the three corners of each triangle, counted from 0, counter-clockwise seen from outside.
    ///
    /// # Errors
    /// As [`Mesh::from_bytes`]; [`ErrorKind::OutOfRange`] for a corner that is not there.
    pub fn new(vertices: Vec<[f64; 3]>, triangles: Vec<[u32; 3]>) -> Result<Mesh> {
        Mesh::of(vertices, triangles, Precision::Double, 0)
    }

    fn of(
        vertices: Vec<[f64; 3]>,
        triangles: Vec<[u32; 3]>,
        precision: Precision,
        polygons: usize,
    ) -> Result<Mesh> {
        if triangles.is_empty() {
            return Err(read::nothing());
        }
        if triangles.len() > read::MOST_TRIANGLES || vertices.len() > 3 * read::MOST_TRIANGLES {
            return Err(read::too_many(triangles.len()));
        }
        if let Some(i) = vertices.iter().position(|p| p.iter().any(|x| !x.is_finite())) {
            return Err(Error::new(ErrorKind::NotFinite, format!("vertices[{i}]"))
                .with_value(format_args!("{:?}", vertices[i]))
                .with_way_out("export the mesh again: a coordinate is no number"));
        }
        if let Some(i) = vertices.iter().position(|p| p.iter().any(|x| x.abs() > FARTHEST)) {
            return Err(Error::out_of_range(
                format!("vertices[{i}]"),
                format!("{:?}", vertices[i]),
                format!("coordinates up to {FARTHEST:e}"),
                "check the unit, and export the mesh near its origin",
            ));
        }
        let there = vertices.len() as u32;
        if let Some(i) = triangles.iter().position(|t| t.iter().any(|v| *v >= there)) {
            return Err(Error::out_of_range(
                format!("triangles[{i}]"),
                format!("{:?}", triangles[i]),
                format!("corners below {there}"),
                "corners are counted from 0",
            ));
        }
        Ok(Mesh {
            vertices,
            triangles,
            precision,
            polygons,
        })
    }

    /// How many triangles it has, as they were given.
    pub fn triangles(&self) -> usize {
        self.triangles.len()
    }

    /// Area, volume and rims.
    ///
    /// Divergence theorem about the mesh's own middle, `V = 1/6 sum a·(b x c)`, `A = 1/2 sum |(b-a) x (c-a)|`, sums
    /// compensated. An open mesh has an area and rims, and a volume only where `cap` asks for flat caps; how far a rim lies off
    /// its cap's plane is told, and is part of the volume's uncertainty with the cap's area. Uncertainty: the rounding of the
    /// file's numbers, taken as limits all to one side for the volume; what flat facets leave out of a smooth face, told by
    /// the angles between them where they are below 30 degrees (of a ball and a tube it is what they leave out). Not
    /// modelled: how well the mesh follows the mould.
    ///
    /// # Errors
    /// [`ErrorKind::Document`] without a unit; [`ErrorKind::UnknownUnit`], [`ErrorKind::WrongDimension`] for a unit that is no
    /// length; [`ErrorKind::Inconsistent`] for faces turned the other way, doubled, or crossing, for edges of more than two
    /// faces, for shells within one another that face the same way, and for a mesh that a tape contradicts;
    /// [`ErrorKind::OutOfRange`] for a mesh without area, and for one whose volume is beyond the digits of its file;
    /// [`ErrorKind::Cancelled`].
    pub fn measure(&self, reading: &MeshReading, cancel: Cancel<'_>) -> Result<MeshSize> {
        measure::measure(self, reading, cancel)
    }
}

/// Largest coordinate of a mesh, in its own unit.
const FARTHEST: f64 = 1e9;

/// A small mesh as text: a file of some thousand triangles within a request. Larger ones go in as bytes or arrays.
#[derive(Clone, PartialEq, Noun)]
pub struct MeshText {
    /// The file's text.
    pub text: String,
    /// What kind of file it is.
    pub format: MeshFormat,
    /// How it is to be read.
    pub reading: MeshReading,
}

#[questions]
impl MeshText {
    /// Area, volume and rims of a small mesh whose file is handed in as text, STL or OBJ.
    ///
    /// As a mesh of bytes: divergence theorem, `V = 1/6 sum a·(b x c)`; what would make the volume wrong is refused.
    ///
    /// # Errors
    /// As [`Mesh::from_bytes`] and [`Mesh::measure`].
    #[question("mould.mesh_text", long)]
    pub fn measure(&self, cancel: Cancel<'_>) -> Result<MeshSize> {
        gelwright_base::noun::check(self)?;
        Mesh::from_bytes(self.text.as_bytes(), self.format, cancel)?
            .measure(&self.reading, cancel)
            .map_err(|e| {
                if e.field() == "mesh" {
                    e
                } else {
                    e.within("reading")
                }
            })
    }
}

pub(crate) fn plus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}
pub(crate) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}
pub(crate) fn times(a: [f64; 3], s: f64) -> [f64; 3] {
    [a[0] * s, a[1] * s, a[2] * s]
}
pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}
pub(crate) fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

#[cfg(test)]
mod tests;
