//! `gelwright._core`: the door, for the pure-Python face in python/gelwright. No science here.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};

use gelwright::cancel::watched;
use gelwright::mould::{Mesh, MeshReading};
use gelwright::{Cancel, Error, ErrorKind, document};
use pyo3::prelude::*;

/// The Python exception of a refusal, made by the pure-Python face (`gelwright.errors.refusal`).
fn exception(py: Python<'_>, e: &Error) -> PyErr {
    // One row a mistake: kind, message, field, value, allowed, way out.
    let rows: Vec<_> = e
        .all()
        .map(|e| {
            (
                e.kind().name(),
                e.alone(),
                e.field(),
                e.value(),
                e.allowed(),
                e.way_out(),
            )
        })
        .collect();
    raised(py, rows)
}

fn raised<'py>(py: Python<'py>, rows: impl IntoPyObject<'py>) -> PyErr {
    let made = py
        .import("gelwright.errors")
        .and_then(|m| m.getattr("refusal"))
        .and_then(|f| f.call1((rows,)));
    match made {
        Ok(instance) => PyErr::from_value(instance),
        Err(e) => e,
    }
}

/// Asks a question with a JSON request; answers in JSON. Releases the interpreter lock while it works. Ctrl-C stops it,
/// as does any other signal whose Python handler raises.
#[pyfunction]
fn ask(py: Python<'_>, question: &str, request: &str) -> PyResult<String> {
    interruptible(py, question, |should_stop| {
        gelwright::door::ask_cancellable(question, request, should_stop)
    })
}

/// What is worked on without the interpreter lock, and asks now and then whether to stop; a panic becomes an exception.
fn interruptible(
    py: Python<'_>,
    field: &str,
    work: impl FnOnce(&mut dyn FnMut() -> bool) -> gelwright::Result<String> + Send,
) -> PyResult<String> {
    // What a signal's handler raised: it, and not the refusal that follows from it, is what the caller gets.
    let mut raised_by_signal = None;
    let outcome = py.detach(|| {
        // Asked on this thread. Only Python's main thread handles signals; on another this finds none. Without an
        // interpreter (it is shutting down) nobody waits for the answer.
        let mut should_stop = || match Python::try_attach(|py| py.check_signals()) {
            Some(Ok(())) => false,
            Some(Err(e)) => {
                raised_by_signal = Some(e);
                true
            }
            None => true,
        };
        catch_unwind(AssertUnwindSafe(|| work(&mut should_stop)))
    });
    if let Some(e) = raised_by_signal {
        return Err(e);
    }
    match outcome {
        Ok(Ok(answer)) => Ok(answer),
        Ok(Err(e)) => Err(exception(py, &e)),
        Err(payload) => Err(panicked(py, &*payload, field)),
    }
}

fn panicked(py: Python<'_>, payload: &(dyn Any + Send), field: &str) -> PyErr {
    let said = payload
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| payload.downcast_ref::<&str>().copied())
        .unwrap_or("no message");
    let message = format!("a mistake in the library, please report it: {said}");
    let none: Option<&str> = None;
    raised(py, vec![("panic", message, field, none, none, none)])
}

/// Refuses what a noun can not be made of, with all its mistakes.
#[pyfunction]
fn check(py: Python<'_>, noun: &str, json: &str) -> PyResult<()> {
    gelwright::door::check(noun, json).map_err(|e| exception(py, &e))
}

/// Measures a mesh from the bytes of its file ("stl" or "obj"); `reading` and the answer are JSON, as of "mould.mesh_text".
/// Releases the interpreter lock; Ctrl-C stops it.
#[pyfunction]
fn mesh(py: Python<'_>, bytes: &[u8], format: &str, reading: &str) -> PyResult<String> {
    let read = |cancel: Cancel<'_>| {
        let format = gelwright::noun::read_at("format", &serde_json::Value::from(format))?;
        Mesh::from_bytes(bytes, format, cancel)
    };
    interruptible(py, "mesh", |should_stop| sized(read, reading, should_stop))
}

/// The same of arrays: coordinates as little-endian 64-bit floats, corners as little-endian 32-bit whole numbers.
#[pyfunction]
fn mesh_arrays(py: Python<'_>, vertices: &[u8], triangles: &[u8], reading: &str) -> PyResult<String> {
    let read = |_: Cancel<'_>| {
        let vertices = threes(vertices, "vertices", f64::from_le_bytes)?;
        let triangles = threes(triangles, "triangles", u32::from_le_bytes)?;
        Mesh::new(vertices, triangles)
    };
    interruptible(py, "mesh", |should_stop| sized(read, reading, should_stop))
}

/// Runs of three numbers of `N` bytes.
fn threes<T: Copy, const N: usize>(
    bytes: &[u8],
    name: &str,
    number: impl Fn([u8; N]) -> T,
) -> gelwright::Result<Vec<[T; 3]>> {
    let (runs, rest) = bytes.as_chunks::<N>();
    let (threes, left) = runs.as_chunks::<3>();
    if !rest.is_empty() || !left.is_empty() {
        return Err(Error::new(ErrorKind::Document, name)
            .with_value(format_args!("{} bytes", bytes.len()))
            .with_allowed(format!("a multiple of {}", 3 * N))
            .with_way_out("give an array of three numbers a row"));
    }
    Ok(threes.iter().map(|three| three.map(&number)).collect())
}

fn sized(
    read: impl Fn(Cancel<'_>) -> gelwright::Result<Mesh> + Sync,
    reading: &str,
    should_stop: &mut dyn FnMut() -> bool,
) -> gelwright::Result<String> {
    let reading: MeshReading =
        document::from_json(reading, Cancel::NEVER).map_err(|e| e.within("reading"))?;
    let size = watched(|cancel| read(cancel)?.measure(&reading, cancel), should_stop)?;
    document::to_json(&size)
}

/// Every question as JSON ([`gelwright::door::described`]).
#[pyfunction]
fn questions() -> String {
    gelwright::door::described()
}

/// The names of the kinds of refusal, in the order of their C status codes.
#[pyfunction]
fn error_kinds() -> Vec<&'static str> {
    ErrorKind::ALL.iter().map(|k| k.name()).collect()
}

/// The extension module of the gelwright package; use the package.
#[pymodule]
fn _core(m: &Bound<'_, PyModule>) -> PyResult<()> {
    m.add("__version__", env!("CARGO_PKG_VERSION"))?;
    m.add_function(wrap_pyfunction!(ask, m)?)?;
    m.add_function(wrap_pyfunction!(check, m)?)?;
    m.add_function(wrap_pyfunction!(questions, m)?)?;
    m.add_function(wrap_pyfunction!(error_kinds, m)?)?;
    m.add_function(wrap_pyfunction!(mesh, m)?)?;
    m.add_function(wrap_pyfunction!(mesh_arrays, m)?)?;
    Ok(())
}
