//! From triangles to area, volume and rims.

use gelwright_base::Cancel;
use gelwright_base::error::{Error, Result};
use gelwright_base::measurement::of_limits;
use gelwright_base::quantity::{self, Area, Length, Quantity, Volume};
use gelwright_base::source::Why;

use super::crossing::{Crossings, crossings};
use super::nested::{self, Shell};
use super::rim::Rim;
use super::topology::Topology;
use super::{Faces, Mesh, MeshReading, MeshRim, MeshSize, cross, dot, minus, norm};
use crate::size::{Budget, Size, computed, given};
use crate::sources;
use crate::sum::Sum;

/// Two facets that meet at less than 30 degrees stand for a smooth face: the chord between their unit normals.
const SMOOTH: f64 = 0.517_638;
/// Rims that are listed.
const LISTED: usize = 100;
/// Rims that are capped.
const MOST_CAPS: usize = 1000;

/// Lengths of the mesh, in its own unit, about its middle.
struct Frame {
    middle: [f64; 3],
    extent: [f64; 3],
    /// Largest coordinate as it stands in the file.
    farthest: f64,
}

impl Frame {
    fn of(mesh: &Mesh) -> Frame {
        let used = || {
            mesh.triangles
                .iter()
                .flatten()
                .map(|v| mesh.vertices[*v as usize])
        };
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for p in used() {
            for i in 0..3 {
                low[i] = low[i].min(p[i]);
                high[i] = high[i].max(p[i]);
            }
        }
        Frame {
            middle: std::array::from_fn(|i| 0.5 * (low[i] + high[i])),
            extent: std::array::from_fn(|i| high[i] - low[i]),
            farthest: (0..3)
                .map(|i| low[i].abs().max(high[i].abs()))
                .fold(0.0, f64::max),
        }
    }
}

pub(crate) fn measure(mesh: &Mesh, reading: &MeshReading, cancel: Cancel<'_>) -> Result<MeshSize> {
    gelwright_base::noun::check(reading)?;
    let metres = reading.metres()?;
    let frame = Frame::of(mesh);
    as_long_as_told(reading, &frame, metres)?;
    let rounding = mesh.precision.half_step(frame.farthest);
    let weld = reading.weld.map_or(2.0 * rounding, |w| w.si() / metres);
    let across = frame.extent.iter().copied().fold(0.0, f64::max);
    if weld > 0.1 * across {
        return Err(Error::out_of_range(
            "weld",
            quantity::show(quantity::known::<Length>(weld * metres)),
            format!(
                "less than a tenth of the mesh, {}",
                quantity::show(quantity::known::<Length>(across * metres))
            ),
            "weld less, check the unit, or export the mesh near its origin",
        ));
    }
    cancel.check()?;
    let welded = super::weld::weld(&mesh.vertices, weld);
    let vertices: Vec<[f64; 3]> = welded.vertices.iter().map(|p| minus(*p, frame.middle)).collect();
    let all = mesh.triangles.iter().map(|t| t.map(|v| welded.which[v as usize]));
    let triangles: Vec<[u32; 3]> = all
        .filter(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0])
        .collect();
    let dropped = mesh.triangles.len() - triangles.len();
    let faces = Faces { vertices, triangles };
    cancel.check()?;
    let topology = Topology::of(&faces);
    sound(&topology, &faces, &frame)?;
    cancel.check()?;
    let surface = Surface::of(&faces, &topology);
    if surface.area.value() <= 0.0 {
        return Err(Error::out_of_range(
            "mesh",
            "faces without area",
            "a mesh with an area",
            "check the unit and the weld's tolerance",
        ));
    }
    if reading.crossings {
        uncrossed(
            crossings(&faces.vertices, &faces.triangles, cancel)?,
            &faces,
            &frame,
        )?;
    }
    let mut found = Found {
        rounding,
        welded: if welded.near > 0 { weld } else { 0.0 },
        metres,
        surface,
        faces,
        topology,
        notes: vec![],
        cap: reading.cap,
        crossings: reading.crossings,
    };
    found.remarks(mesh, reading, dropped, &frame);
    let mut rims: Vec<Rim> = found
        .topology
        .rims()
        .iter()
        .map(|r| Rim::of(r, &found.faces))
        .collect();
    rims.sort_by(|a, b| b.length.total_cmp(&a.length));
    let volume = found.volume(&rims, cancel)?;
    let length = |x: f64| Length::from_si(x * metres);
    let rim_length = length(rims.iter().map(|r| r.length).sum())?;
    if rims.len() > LISTED {
        found.notes.push(format!(
            "{} rims, of which the {LISTED} longest are listed",
            rims.len()
        ));
    }
    let capped = if reading.cap && !rims.is_empty() {
        Some(Area::from_si(caps(&rims) * metres * metres)?)
    } else {
        None
    };
    Ok(MeshSize {
        area: found.area()?,
        volume,
        closed: rims.is_empty(),
        rim_length,
        capped,
        rims: rims
            .iter()
            .take(LISTED)
            .map(|r| {
                Ok(MeshRim {
                    length: length(r.length)?,
                    cap: Area::from_si(r.area() * metres * metres)?,
                    off_plane: length(r.off_plane)?,
                })
            })
            .collect::<Result<_>>()?,
        extent: [
            length(frame.extent[0])?,
            length(frame.extent[1])?,
            length(frame.extent[2])?,
        ],
        shells: found.topology.shells as u64,
        triangles: found.faces.triangles.len() as u64,
        vertices: found.faces.vertices.len() as u64,
        dropped: dropped as u64,
        weld: length(weld)?,
        crossings_looked_for: reading.crossings,
        notes: found.notes,
    })
}

/// Area of all caps: those in one plane, one within another, take from each other.
fn caps(rims: &[Rim]) -> f64 {
    let mut left: Vec<&Rim> = rims.iter().collect();
    let mut sum = 0.0;
    while let Some(first) = left.first().copied() {
        let up = super::times(first.normal, 1.0 / first.area().max(f64::MIN_POSITIVE));
        let same = |r: &Rim| {
            let slack = first.off_plane + r.off_plane + 1e-9 * first.length;
            let level = dot(minus(r.centre, first.centre), up).abs() <= slack;
            level && norm(cross(r.normal, up)) <= 1e-3 * r.area()
        };
        let (here, rest): (Vec<&Rim>, Vec<&Rim>) = left.iter().copied().partition(|r| same(r));
        if here.is_empty() {
            // A rim without a normal: its cap has no area.
            left.remove(0);
            continue;
        }
        sum += norm(here.iter().map(|r| r.normal).fold([0.0; 3], super::plus));
        left = rest;
    }
    sum
}

/// Refuses a mesh whose longest side is not what the tape shows.
fn as_long_as_told(reading: &MeshReading, frame: &Frame, metres: f64) -> Result<()> {
    let Some(told) = reading.longest else {
        return Ok(());
    };
    let found = frame.extent.iter().copied().fold(0.0, f64::max) * metres;
    if (found / told.si() - 1.0).abs() <= 0.1 {
        return Ok(());
    }
    Err(Error::inconsistent(
        "longest",
        quantity::show(told),
        format!(
            "within 10 % of the mesh's {}",
            quantity::show(quantity::known::<Length>(found))
        ),
        "the mesh is in another unit (25.4 mm are an inch), or it is another mould",
    ))
}

fn place(v: Option<u32>, faces: &Faces, frame: &Frame) -> String {
    let Some(v) = v else { return String::new() };
    let [x, y, z] = super::plus(faces.vertices[v as usize], frame.middle);
    format!(
        "the first at ({}, {}, {})",
        quantity::figures(x),
        quantity::figures(y),
        quantity::figures(z)
    )
}

/// Refuses edges that no face of a mould has.
fn sound(t: &Topology, faces: &Faces, frame: &Frame) -> Result<()> {
    let faults = [
        (
            t.doubled,
            "faces that stand twice",
            "each face once",
            "remove the doubled faces in the drawing program: each would count twice",
        ),
        (
            t.crowded,
            "edges of three faces or more",
            "two faces at an edge",
            "two bodies share a face or an edge: join them in the drawing program, or measure them one by one",
        ),
        (
            t.flipped,
            "edges between faces that look opposite ways",
            "faces that all look outward",
            "make all faces look outward in the drawing program (unify the normals)",
        ),
    ];
    match faults.into_iter().find(|((n, _), ..)| *n > 0) {
        None => Ok(()),
        Some(((n, first), what, allowed, way_out)) => Err(Error::inconsistent(
            "mesh",
            format!("{n} {what}, {}", place(first, faces, frame)),
            allowed,
            way_out,
        )),
    }
}

fn uncrossed(found: Crossings, faces: &Faces, frame: &Frame) -> Result<()> {
    let Some((t, _)) = found.first else { return Ok(()) };
    Err(Error::inconsistent(
        "mesh",
        format!(
            "{} pairs of faces that cross or touch, {}",
            found.pairs,
            place(Some(faces.triangles[t as usize][0]), faces, frame)
        ),
        "faces that meet along their edges only",
        "join overlapping bodies into one in the drawing program, or measure them one by one",
    ))
}

/// Sums over the faces, in units of the mesh.
struct Surface {
    area: Sum,
    six_volumes: Sum,
    /// Root of the sum of squares of half the perimeters: how the area follows vertices that move by themselves.
    pull: f64,
    /// What vertices that lie off the face by one, at random, add to the area.
    roughness: f64,
    /// What flat facets leave out of a smooth face: area, volume.
    facets: [f64; 2],
}

impl Surface {
    fn of(faces: &Faces, topology: &Topology) -> Surface {
        let at = |v: u32| faces.vertices[v as usize];
        let mut made = Surface {
            area: Sum::default(),
            six_volumes: Sum::default(),
            pull: 0.0,
            roughness: 0.0,
            facets: [0.0; 2],
        };
        let mut normals = Vec::with_capacity(faces.triangles.len());
        for t in &faces.triangles {
            let [a, b, c] = t.map(at);
            let (e, f) = (minus(b, a), minus(c, a));
            let normal = cross(e, f);
            let twice = norm(normal);
            made.area.add(0.5 * twice);
            made.six_volumes.add(dot(a, cross(b, c)));
            let g = minus(c, b);
            let round = norm(e) + norm(f) + norm(g);
            made.pull += 0.25 * round * round;
            if twice > 0.0 {
                made.roughness += (dot(e, e) + dot(f, f) + dot(g, g)) / (4.0 * twice);
            }
            normals.push(normal);
        }
        made.pull = made.pull.sqrt();
        for (s, t, from, to) in &topology.links {
            made.link(faces, &normals, *s, *t, (at(*from), at(*to)));
        }
        made
    }

    /// What the two facets at an edge leave out of the smooth face that they stand for.
    ///
    /// With the angle between them and the distance `d` of their centroids across the edge, a face of radius `d/angle`: the
    /// gap is `0.375 d angle` on a third of each, the area `0.625 angle^2` of it (exact for a fine mesh of a ball; the gap for
    /// one of a tube too).
    fn link(&mut self, faces: &Faces, normals: &[[f64; 3]], s: u32, t: u32, (a, b): ([f64; 3], [f64; 3])) {
        let (m, n) = (normals[s as usize], normals[t as usize]);
        let (p, q) = (norm(m), norm(n));
        let edge = norm(minus(b, a));
        if p == 0.0 || q == 0.0 || edge == 0.0 {
            return;
        }
        let chord = norm(minus(super::times(m, 1.0 / p), super::times(n, 1.0 / q)));
        if chord >= SMOOTH || chord == 0.0 {
            return;
        }
        let far = faces.triangles[t as usize]
            .into_iter()
            .map(|v| dot(minus(faces.vertices[v as usize], a), m))
            .fold(0.0, |most: f64, x| if x.abs() > most.abs() { x } else { most });
        let bulge = if far < 0.0 { 1.0 } else { -1.0 };
        let third = (p + q) / 6.0;
        let across = (p + q) / (3.0 * edge);
        self.facets[0] += 0.625 * chord * chord * third;
        self.facets[1] += bulge * 0.375 * across * chord * third;
    }
}

struct Found {
    rounding: f64,
    welded: f64,
    metres: f64,
    surface: Surface,
    faces: Faces,
    topology: Topology,
    notes: Vec<String>,
    cap: bool,
    crossings: bool,
}

const ROUNDING: &str = "the rounding of the file's numbers";
const FACETS: &str = "flat facets in place of a smooth face";
const WELD: &str = "welded vertices";

impl Found {
    fn why(&self) -> Vec<Why> {
        let unit: Length = quantity::known(self.metres);
        vec![
            given("one unit of the file", unit),
            Why::given("triangles", self.faces.triangles.len().to_string())
                .with_source(&sources::divergence()),
        ]
    }

    fn remarks(&mut self, mesh: &Mesh, reading: &MeshReading, dropped: usize, frame: &Frame) {
        if reading.longest.is_none() {
            let sides: Vec<String> = frame
                .extent
                .iter()
                .map(|x| quantity::show(quantity::known::<Length>(x * self.metres)).to_string())
                .collect();
            self.notes.push(format!(
                "its box is {}: no tape has checked the unit ('longest' does)",
                sides.join(" by ")
            ));
        }
        if dropped > 0 {
            self.notes.push(format!(
                "{dropped} triangles had no area after welding and were left out"
            ));
        }
        if mesh.polygons > 0 {
            self.notes.push(format!(
                "{} faces of more than three corners were cut into triangles from their first corner",
                mesh.polygons
            ));
        }
        if !reading.crossings {
            self.notes.push(
                "faces that cross were not looked for: where parts overlap the volume counts them twice"
                    .to_owned(),
            );
        }
    }

    fn area(&self) -> Result<Size<Area>> {
        let square = self.metres * self.metres;
        let area = self.surface.area.value();
        let u = of_limits(self.rounding);
        let rough = (u * u * self.surface.roughness).min(2.0 * self.surface.pull * self.rounding);
        let budget = Budget::default()
            .with(ROUNDING, (u * self.surface.pull).hypot(rough))
            .with(WELD, of_limits(self.welded) * self.surface.pull)
            .with(FACETS, of_limits(self.surface.facets[0]))
            .scaled(square);
        let why = computed::<Area>("area", area * square, "A = 1/2 sum |(b-a) x (c-a)|", self.why())?;
        budget.size(area * square, why)
    }

    fn volume(&mut self, rims: &[Rim], cancel: Cancel<'_>) -> Result<Option<Size<Volume>>> {
        if !rims.is_empty() && !self.cap {
            self.notes.push(format!(
                "it is open at {} {}: no volume without a cap ('cap')",
                rims.len(),
                if rims.len() == 1 { "rim" } else { "rims" }
            ));
            return Ok(None);
        }
        if rims.len() > MOST_CAPS {
            return Err(Error::out_of_range(
                "mesh",
                format!("{} rims to cap", rims.len()),
                format!("at most {MOST_CAPS}"),
                "weld more, or close the mesh in the drawing program",
            ));
        }
        if let Some(rim) = rims.iter().find(|r| r.crosses) {
            return Err(Error::inconsistent(
                "mesh",
                format!(
                    "a rim of {} corners that crosses itself seen along its cap",
                    rim.corners
                ),
                "rims that a flat cap closes",
                "close the mesh in the drawing program",
            ));
        }
        let six = rims.iter().fold(self.surface.six_volumes, |mut sum, r| {
            sum.add(r.six_volumes());
            sum
        });
        let volume = six.value() / 6.0;
        if rims.is_empty() {
            self.closed_shells(volume, cancel)?;
        } else {
            self.capped(rims)?;
        }
        let area = self.surface.area.value();
        let caps = rims
            .iter()
            .map(|r| of_limits(r.off_plane) * r.area())
            .sum::<f64>();
        let budget = Budget::default()
            .with(ROUNDING, of_limits(area * self.rounding))
            .with(WELD, of_limits(area * self.welded))
            .with(FACETS, of_limits(self.surface.facets[1]))
            .with("rims that are not flat", caps);
        if volume.abs() <= 3.0 * of_limits(area * self.rounding) {
            return Err(Error::out_of_range(
                "mesh",
                "a volume that is lost in the rounding of the file's numbers",
                "a mesh that holds more than its faces' rounding",
                "a flat sheet holds nothing; export a mesh near its origin",
            ));
        }
        let cube = self.metres.powi(3);
        let si = volume.abs() * cube;
        let why = computed::<Volume>("volume", si, "V = 1/6 sum a·(b x c)", self.why())?;
        budget.scaled(cube).size(si, why).map(Some)
    }

    fn closed_shells(&mut self, volume: f64, cancel: Cancel<'_>) -> Result<()> {
        if self.topology.shells > 1 {
            let shells = Shell::all(&self.faces, &self.topology.shell, self.topology.shells);
            nested::sound(&self.faces, &shells, cancel)?;
            let without = if self.crossings {
                ""
            } else {
                ", if they do not overlap"
            };
            self.notes
                .push(format!("{} shells, all counted{without}", shells.len()));
        }
        if volume < 0.0 {
            self.notes.push(
                "its faces look inward (a cavity, or turned inside out): the volume is that within them"
                    .to_owned(),
            );
        }
        Ok(())
    }

    fn capped(&mut self, rims: &[Rim]) -> Result<()> {
        let show = |x: f64| quantity::show(quantity::known::<Length>(x * self.metres));
        let farthest = rims.iter().map(|r| r.off_plane).fold(0.0, f64::max);
        let mut notes = vec![format!(
            "{} {} closed by flat caps; the farthest point of a rim lies {} off its cap",
            rims.len(),
            if rims.len() == 1 { "rim was" } else { "rims were" },
            show(farthest)
        )];
        if self.topology.shells > 1 {
            notes.push(format!(
                "{} parts that do not hang together: their volumes are added as their faces look",
                self.topology.shells
            ));
        }
        // A cap whose plane has faces on both sides may cut through the mould.
        for rim in rims.iter().take(LISTED) {
            let up = super::times(rim.normal, 1.0 / rim.area().max(f64::MIN_POSITIVE));
            let (mut below, mut above) = (0.0_f64, 0.0_f64);
            for p in &self.faces.vertices {
                let d = dot(minus(*p, rim.centre), up);
                below = below.min(d);
                above = above.max(d);
            }
            let over = above.min(-below);
            if over > rim.off_plane + 1e-9 * rim.length {
                notes.push(format!(
                    "faces stand {} beyond the plane of a cap: it may cut through the mould",
                    show(over)
                ));
                break;
            }
        }
        self.notes.extend(notes);
        Ok(())
    }
}
