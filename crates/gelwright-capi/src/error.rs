//! Status codes and the error object.

use std::ffi::{CString, c_char};

use gelwright_core::{Error, ErrorKind};

use crate::c_string;
use crate::guard::given;

/// What became of a call. The numbers are fixed: none is ever reused.
#[repr(i32)]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(non_camel_case_types)]
pub enum gw_status {
    /// Done; the results are written.
    GW_OK = 0,
    /// A bare number stands where a number with a unit is needed.
    GW_ERROR_BARE_NUMBER = 1,
    /// A text is no number with a unit, or not UTF-8.
    GW_ERROR_UNREADABLE = 2,
    /// The unit is not known.
    GW_ERROR_UNKNOWN_UNIT = 3,
    /// The unit is known but measures something else.
    GW_ERROR_WRONG_DIMENSION = 4,
    /// The value is not a number, or not finite.
    GW_ERROR_NOT_FINITE = 5,
    /// The value is outside what is physically or practically allowed.
    GW_ERROR_OUT_OF_RANGE = 6,
    /// A name is not known.
    GW_ERROR_UNKNOWN_NAME = 7,
    /// Two inputs, each fine alone, contradict each other.
    GW_ERROR_INCONSISTENT = 8,
    /// A document is malformed, has an unknown field or lacks one; or a pointer is NULL.
    GW_ERROR_DOCUMENT = 9,
    /// A document's version is not one that this library reads.
    GW_ERROR_VERSION = 10,
    /// The question is well put and has no answer.
    GW_ERROR_NO_SOLUTION = 11,
    /// A numerical method did not reach its tolerance.
    GW_ERROR_NOT_CONVERGED = 12,
    /// The caller cancelled the work.
    GW_ERROR_CANCELLED = 13,
    /// A kind of refusal that this version of the header has no number for.
    GW_ERROR_OTHER = 253,
    /// A mistake in the library itself (a panic was caught). Please report it.
    GW_ERROR_PANIC = 255,
}

impl gw_status {
    const KINDS: [(gw_status, ErrorKind); 13] = [
        (gw_status::GW_ERROR_BARE_NUMBER, ErrorKind::BareNumber),
        (gw_status::GW_ERROR_UNREADABLE, ErrorKind::Unreadable),
        (gw_status::GW_ERROR_UNKNOWN_UNIT, ErrorKind::UnknownUnit),
        (gw_status::GW_ERROR_WRONG_DIMENSION, ErrorKind::WrongDimension),
        (gw_status::GW_ERROR_NOT_FINITE, ErrorKind::NotFinite),
        (gw_status::GW_ERROR_OUT_OF_RANGE, ErrorKind::OutOfRange),
        (gw_status::GW_ERROR_UNKNOWN_NAME, ErrorKind::UnknownName),
        (gw_status::GW_ERROR_INCONSISTENT, ErrorKind::Inconsistent),
        (gw_status::GW_ERROR_DOCUMENT, ErrorKind::Document),
        (gw_status::GW_ERROR_VERSION, ErrorKind::Version),
        (gw_status::GW_ERROR_NO_SOLUTION, ErrorKind::NoSolution),
        (gw_status::GW_ERROR_NOT_CONVERGED, ErrorKind::NotConverged),
        (gw_status::GW_ERROR_CANCELLED, ErrorKind::Cancelled),
    ];

    fn of(kind: ErrorKind) -> Self {
        Self::KINDS
            .iter()
            .find(|(_, k)| *k == kind)
            .map_or(gw_status::GW_ERROR_OTHER, |(s, _)| *s)
    }
}

/// A refusal: its message and its parts. Freed with gw_error_free.
#[allow(non_camel_case_types)]
#[derive(Debug)]
pub struct gw_error {
    pub(crate) status: gw_status,
    message: CString,
    kind: CString,
    field: CString,
    value: Option<CString>,
    allowed: Option<CString>,
    way_out: Option<CString>,
}

impl gw_error {
    pub(crate) fn of(e: &Error) -> Self {
        gw_error {
            status: gw_status::of(e.kind()),
            message: c_string(&e.to_string()),
            kind: c_string(e.kind().name()),
            field: c_string(e.field()),
            value: e.value().map(c_string),
            allowed: e.allowed().map(c_string),
            way_out: e.way_out().map(c_string),
        }
    }

    pub(crate) fn of_panic(said: &str) -> Self {
        gw_error {
            status: gw_status::GW_ERROR_PANIC,
            message: c_string(&format!("a mistake in the library, please report it: {said}")),
            kind: c_string("panic"),
            field: CString::default(),
            value: None,
            allowed: None,
            way_out: None,
        }
    }
}

/// The status that came with the error; GW_OK for NULL.
///
/// # Safety
/// `error` is NULL or came from this library and has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_status(error: *const gw_error) -> gw_status {
    // SAFETY: the caller's promise; NULL is checked inside.
    unsafe { given("error", error) }.map_or(gw_status::GW_OK, |e| e.status)
}

/// The whole message, for a person: field, value, allowed range, way out. NULL for NULL. The text belongs to
/// the error and dies with it.
///
/// # Safety
/// `error` is NULL or came from this library and has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_message(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| Some(&e.message)) }
}

/// The kind of mistake as a stable name in snake_case ("out_of_range"), the same in every language.
///
/// # Safety
/// As gw_error_message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_kind(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| Some(&e.kind)) }
}

/// The field that the error is about, as a path ("zones[0].area"); may be empty.
///
/// # Safety
/// As gw_error_message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_field(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| Some(&e.field)) }
}

/// The offending value with its unit as it was given; NULL where there is none.
///
/// # Safety
/// As gw_error_message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_value(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| e.value.as_ref()) }
}

/// What is allowed, with units (for GW_ERROR_NO_SOLUTION the nearest answer); NULL where there is none.
///
/// # Safety
/// As gw_error_message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_allowed(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| e.allowed.as_ref()) }
}

/// The way out: what to do or write instead; NULL where there is none.
///
/// # Safety
/// As gw_error_message.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_way_out(error: *const gw_error) -> *const c_char {
    // SAFETY: the caller's promise, passed on.
    unsafe { part(error, |e| e.way_out.as_ref()) }
}

/// Frees an error. NULL is allowed.
///
/// # Safety
/// `error` is NULL or came from this library and has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_error_free(error: *mut gw_error) {
    if !error.is_null() {
        // SAFETY: by the caller's promise it came from `Box::into_raw` here, and comes back once.
        drop(unsafe { Box::from_raw(error) });
    }
}

/// # Safety
/// As the exported getters.
unsafe fn part(error: *const gw_error, get: impl Fn(&gw_error) -> Option<&CString>) -> *const c_char {
    // SAFETY: the caller's promise; NULL is checked inside.
    unsafe { given("error", error) }
        .ok()
        .and_then(get)
        .map_or(std::ptr::null(), |text| text.as_ptr())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_number_in_order() {
        for (i, kind) in ErrorKind::ALL.iter().enumerate() {
            assert_eq!(gw_status::of(*kind) as usize, i + 1, "{}", kind.name());
        }
    }
}
