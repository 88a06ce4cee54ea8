//! Meshes of a mould, handed in as bytes or arrays.

use std::ffi::c_char;

use gelwright_core::mould::{Mesh, MeshFormat, MeshReading, MeshSize};
use gelwright_core::{Cancel, Error, ErrorKind, Result, document};

use crate::guard::{guarded, out, run, text};
use crate::{c_string, gw_error, gw_status};

/// A mesh file's format: STL, binary or in text.
pub const GW_MESH_STL: i32 = 0;

/// A mesh file's format: OBJ.
pub const GW_MESH_OBJ: i32 = 1;

/// Measures a mesh from the bytes of its file: area, volume, rims, each with its uncertainty.
///
/// `format` is GW_MESH_STL or GW_MESH_OBJ; any other number is refused. `reading_json` says how it is to be read, as the
/// `reading` of the question "mould.mesh_text" whose answer `*size_json` receives (to be freed with gw_string_free); at least
/// the unit of the file, as {"unit": "mm"}. It may take seconds for a million triangles.
///
/// # Safety
/// `bytes` points to `count` bytes (or is NULL with `count` 0), `reading_json` to NUL-terminated text, `size_json` to a
/// writable pointer; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_mesh_measure(
    bytes: *const u8,
    count: usize,
    format: i32,
    reading_json: *const c_char,
    size_json: *mut *mut c_char,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let bytes = run("bytes", bytes, count)?;
            let reading = text("reading_json", reading_json)?;
            let size_json = out("size_json", size_json)?;
            let mesh = Mesh::from_bytes(bytes, format_of(format)?, Cancel::NEVER)?;
            *size_json = c_string(&measured(&mesh, reading)?).into_raw();
            Ok(())
        })
    }
}

/// Measures a mesh from arrays: `vertices` holds three coordinates for each of `vertex_count` vertices, `triangles` the three
/// corners of each of `triangle_count` triangles, counted from 0, counter-clockwise seen from outside. Else as
/// gw_mesh_measure.
///
/// # Safety
/// `vertices` points to `3 * vertex_count` numbers, `triangles` to `3 * triangle_count` (each NULL where its count is 0),
/// `reading_json` to NUL-terminated text, `size_json` to a writable pointer; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_mesh_measure_arrays(
    vertices: *const f64,
    vertex_count: usize,
    triangles: *const u32,
    triangle_count: usize,
    reading_json: *const c_char,
    size_json: *mut *mut c_char,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on; an array of three f64 or u32 has their layout and alignment.
    unsafe {
        guarded(error, || {
            let vertices = run("vertices", vertices.cast::<[f64; 3]>(), vertex_count)?;
            let triangles = run("triangles", triangles.cast::<[u32; 3]>(), triangle_count)?;
            let reading = text("reading_json", reading_json)?;
            let size_json = out("size_json", size_json)?;
            let mesh = Mesh::new(vertices.to_vec(), triangles.to_vec())?;
            *size_json = c_string(&measured(&mesh, reading)?).into_raw();
            Ok(())
        })
    }
}

fn format_of(format: i32) -> Result<MeshFormat> {
    match format {
        GW_MESH_STL => Ok(MeshFormat::Stl),
        GW_MESH_OBJ => Ok(MeshFormat::Obj),
        other => Err(Error::new(ErrorKind::UnknownName, "format")
            .with_value(other)
            .with_allowed("GW_MESH_STL, GW_MESH_OBJ")
            .with_way_out("say which kind of file it is")),
    }
}

fn measured(mesh: &Mesh, reading: &str) -> Result<String> {
    let reading: MeshReading =
        document::from_json(reading, Cancel::NEVER).map_err(|e| e.within("reading_json"))?;
    let size: MeshSize = mesh.measure(&reading, Cancel::NEVER)?;
    document::to_json(&size)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{gw_error_free, gw_error_status, gw_string_free};
    use std::ffi::CStr;
    use std::ptr::{null, null_mut};

    const CORNERS: [f64; 12] = [0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0];
    const FACES: [u32; 12] = [0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3];

    #[test]
    fn a_mesh_of_arrays_is_measured_and_a_bad_one_refused() {
        let mut json = null_mut();
        let mut error = null_mut();
        // SAFETY: the arrays hold what their counts say; text and error are freed once.
        unsafe {
            let of = |n, unit: &CStr, json: &mut _, error: &mut _| {
                gw_mesh_measure_arrays(CORNERS.as_ptr(), 4, FACES.as_ptr(), n, unit.as_ptr(), json, error)
            };
            assert_eq!(
                of(4, c"{\"unit\": \"m\"}", &mut json, &mut error),
                gw_status::GW_OK
            );
            assert!(
                CStr::from_ptr(json)
                    .to_str()
                    .unwrap()
                    .contains("\"closed\": true")
            );
            gw_string_free(json);
            json = null_mut();
            assert_eq!(of(4, c"{}", &mut json, &mut error), gw_status::GW_ERROR_DOCUMENT);
            assert_eq!(gw_error_status(error), gw_status::GW_ERROR_DOCUMENT);
            gw_error_free(error);
            let mut other = null_mut();
            assert_eq!(
                of(0, c"{}", &mut json, &mut other),
                gw_status::GW_ERROR_OUT_OF_RANGE
            );
            gw_error_free(other);
            let reading = c"{\"unit\": \"m\"}".as_ptr();
            let bytes = |p, n, format, json| gw_mesh_measure(p, n, format, reading, json, null_mut());
            assert_eq!(bytes(null(), 0, 0, &raw mut json), gw_status::GW_ERROR_UNREADABLE);
            assert_eq!(bytes(null(), 5, 0, &raw mut json), gw_status::GW_ERROR_DOCUMENT);
            assert_eq!(
                bytes(b"v 0".as_ptr(), 3, 7, &raw mut json),
                gw_status::GW_ERROR_UNKNOWN_NAME
            );
            assert_eq!(
                bytes(b"v 0".as_ptr(), 3, 1, null_mut()),
                gw_status::GW_ERROR_DOCUMENT
            );
            assert!(json.is_null());
        }
    }
}
