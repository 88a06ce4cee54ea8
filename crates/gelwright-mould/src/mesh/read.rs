//! Mesh files as triangles.

use std::io::Cursor;

use gelwright_base::Cancel;
use gelwright_base::error::{Error, ErrorKind, Result};

use super::{Mesh, MeshFormat, Precision};

/// A mesh of more triangles is refused: it would fill the memory of a small machine.
pub(crate) const MOST_TRIANGLES: usize = 50_000_000;

/// Header and count of a binary STL; bytes of a triangle.
const STL_HEAD: usize = 84;
const STL_FACE: usize = 50;

pub(crate) fn unreadable(why: impl std::fmt::Display, way_out: &str) -> Error {
    Error::new(ErrorKind::Unreadable, "mesh")
        .with_value(why)
        .with_way_out(way_out)
}

pub(crate) fn nothing() -> Error {
    Error::new(ErrorKind::OutOfRange, "mesh")
        .with_value("0 triangles")
        .with_allowed("1 triangle or more")
        .with_way_out("export the faces of the mould as triangles")
}

pub(crate) fn too_many(n: usize) -> Error {
    Error::out_of_range(
        "mesh",
        format!("{n} triangles"),
        format!("1 to {MOST_TRIANGLES} triangles"),
        "export it coarser, or measure it in parts",
    )
}

pub(crate) fn read(bytes: &[u8], format: MeshFormat, cancel: Cancel<'_>) -> Result<Mesh> {
    match format {
        MeshFormat::Stl => stl(bytes, cancel),
        MeshFormat::Obj => obj(bytes),
    }
}

/// Whether bytes are a binary STL, by their length; a file that is neither is told by what its count says.
fn binary(bytes: &[u8]) -> Result<bool> {
    let text = bytes.trim_ascii_start().starts_with(b"solid");
    let Some(count) = bytes.get(80..STL_HEAD) else {
        return if text {
            Ok(false)
        } else {
            Err(unreadable(
                format_args!("{} bytes", bytes.len()),
                "give the whole STL file: a binary one has 84 bytes and 50 for each triangle, one in text begins with 'solid'",
            ))
        };
    };
    let count = u32::from_le_bytes([count[0], count[1], count[2], count[3]]) as u64;
    // 64 bits wide on every machine: a count out of a damaged file times 50 does not fit into 32.
    let wanted = STL_HEAD as u64 + STL_FACE as u64 * count;
    if bytes.len() as u64 == wanted {
        return Ok(true);
    }
    if text {
        return Ok(false);
    }
    Err(unreadable(
        format_args!(
            "an STL of {count} triangles in {} bytes where they take {wanted}",
            bytes.len()
        ),
        "the file is cut short or goes on after its end: export it again",
    ))
}

fn stl(bytes: &[u8], cancel: Cancel<'_>) -> Result<Mesh> {
    let bad = |e: std::io::Error| unreadable(e, "export the mould again as STL");
    let mut owned;
    let bytes = if binary(bytes)? {
        // The reader takes a header that begins with 'solid' for a file in text.
        owned = bytes.to_vec();
        owned[..80].fill(0);
        &owned[..]
    } else {
        bytes
    };
    let mut cursor = Cursor::new(bytes);
    let mut reader = stl_io::create_stl_reader(&mut cursor).map_err(bad)?;
    let mut corners: Vec<[f64; 3]> = Vec::with_capacity(3 * (bytes.len() / STL_FACE).min(MOST_TRIANGLES));
    for (i, triangle) in reader.by_ref().enumerate() {
        if i.is_multiple_of(65_536) {
            cancel.check()?;
        }
        if i >= MOST_TRIANGLES {
            return Err(too_many(i + 1));
        }
        corners.extend(triangle.map_err(bad)?.vertices.iter().map(|v| v.0.map(f64::from)));
    }
    let triangles = (0..corners.len() as u32 / 3)
        .map(|t| [3 * t, 3 * t + 1, 3 * t + 2])
        .collect();
    Mesh::of(corners, triangles, Precision::Single, 0)
}

fn obj(bytes: &[u8]) -> Result<Mesh> {
    let way_out = "export the mould again as OBJ: lines 'v x y z' and 'f i j k'";
    let options = tobj::LoadOptions {
        ignore_points: true,
        ignore_lines: true,
        ..Default::default()
    };
    let no_materials = |_: &std::path::Path| Err(tobj::LoadError::OpenFileFailed);
    let (models, _) = tobj::load_obj_buf(&mut Cursor::new(bytes), &options, no_materials)
        .map_err(|e| unreadable(e, way_out))?;
    let (mut vertices, mut triangles): (Vec<[f64; 3]>, Vec<[u32; 3]>) = (vec![], vec![]);
    let mut polygons = 0;
    for model in models {
        let base = vertices.len() as u32;
        let mesh = model.mesh;
        if !mesh.positions.len().is_multiple_of(3) {
            return Err(unreadable("a vertex without three coordinates", way_out));
        }
        let here = mesh.positions.len() as u32 / 3;
        vertices.extend(mesh.positions.chunks_exact(3).map(|p| [p[0], p[1], p[2]]));
        if mesh.indices.iter().any(|i| *i >= here) {
            return Err(unreadable("a face with a vertex that is not there", way_out));
        }
        let mut indices = &mesh.indices[..];
        // Without arities all faces are triangles.
        let all = vec![
            3u32;
            if mesh.face_arities.is_empty() {
                indices.len() / 3
            } else {
                0
            }
        ];
        for arity in mesh.face_arities.iter().chain(&all) {
            let n = *arity as usize;
            if n < 3 || n > indices.len() {
                return Err(unreadable(format_args!("a face of {n} corners"), way_out));
            }
            let (face, rest) = indices.split_at(n);
            indices = rest;
            if n > 3 {
                polygons += 1;
                convex(&vertices[base as usize..], face)?;
            }
            for k in 1..n - 1 {
                triangles.push([base + face[0], base + face[k], base + face[k + 1]]);
            }
            if triangles.len() > MOST_TRIANGLES {
                return Err(too_many(triangles.len()));
            }
        }
    }
    Mesh::of(vertices, triangles, Precision::SixFigures, polygons)
}

/// Refuses a face that a fan of triangles does not fill.
fn convex(vertices: &[[f64; 3]], face: &[u32]) -> Result<()> {
    let at = |k: usize| vertices[face[k % face.len()] as usize];
    let cross = |k: usize| {
        let (o, a, b) = (at(0), at(k), at(k + 1));
        super::cross(super::minus(a, o), super::minus(b, o))
    };
    let whole = (1..face.len() - 1).map(cross).fold([0.0; 3], super::plus);
    let long = super::dot(whole, whole);
    for k in 1..face.len() - 1 {
        if super::dot(cross(k), whole) < -1e-9 * long {
            let [x, y, z] = at(0);
            return Err(unreadable(
                format_args!("a face of {} corners with a bay, at ({x}, {y}, {z})", face.len()),
                "let the export make triangles of all faces",
            ));
        }
    }
    Ok(())
}
