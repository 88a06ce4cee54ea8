//! The one wall between Rust and C: panics, NULLs, text that is not UTF-8.

use std::any::Any;
use std::ffi::{CStr, c_char};
use std::panic::{AssertUnwindSafe, catch_unwind};

use gelwright_core::{Error, ErrorKind, Result};

use crate::{gw_error, gw_status};

/// Runs the body of an exported function. Refusals and panics become a status and, where `error` is not NULL,
/// an error object.
///
/// # Safety
/// `error` is NULL or points to a writable pointer.
pub(crate) unsafe fn guarded(error: *mut *mut gw_error, body: impl FnOnce() -> Result<()>) -> gw_status {
    // Making the error object is inside the guard too: nothing that allocates stands outside it.
    let outcome = catch_unwind(AssertUnwindSafe(|| match body() {
        Ok(()) => (gw_status::GW_OK, None),
        Err(e) => {
            let made = gw_error::of(&e);
            (made.status, Some(Box::new(made)))
        }
    }));
    let (status, made) = match outcome {
        Ok(done) => done,
        Err(payload) => {
            let made = catch_unwind(AssertUnwindSafe(|| Box::new(gw_error::of_panic(said(&*payload)))));
            // The payload's own destructor may panic; that must not cross either.
            let _ = catch_unwind(AssertUnwindSafe(move || drop(payload)));
            (gw_status::GW_ERROR_PANIC, made.ok())
        }
    };
    if let Some(made) = made
        && !error.is_null()
    {
        // SAFETY: not NULL, and writable by the caller's promise.
        unsafe { *error = Box::into_raw(made) };
    }
    status
}

fn said(payload: &(dyn Any + Send)) -> &str {
    match payload.downcast_ref::<&str>() {
        Some(text) => text,
        None => payload
            .downcast_ref::<String>()
            .map_or("no message", String::as_str),
    }
}

/// Text that the caller gave.
///
/// # Safety
/// `pointer` is NULL or points to NUL-terminated text that outlives `'a`.
pub(crate) unsafe fn text<'a>(name: &str, pointer: *const c_char) -> Result<&'a str> {
    if pointer.is_null() {
        return Err(null(name));
    }
    // SAFETY: not NULL, and NUL-terminated by the caller's promise.
    let bytes = unsafe { CStr::from_ptr(pointer) };
    bytes.to_str().map_err(|e| {
        Error::new(ErrorKind::Unreadable, name)
            .with_value(format_args!(
                "text with the byte 0x{:02x} at {}",
                bytes.to_bytes()[e.valid_up_to()],
                e.valid_up_to()
            ))
            .with_allowed("UTF-8")
            .with_way_out("encode the text as UTF-8")
    })
}

/// A place for a result.
///
/// # Safety
/// `pointer` is NULL or points to memory that is writable and initialised (or needs no drop) for `'a`.
pub(crate) unsafe fn out<'a, T: Copy>(name: &str, pointer: *mut T) -> Result<&'a mut T> {
    // SAFETY: `as_mut` checks NULL; the rest is the caller's promise.
    unsafe { pointer.as_mut() }.ok_or_else(|| null(name))
}

/// A struct that the caller gave.
///
/// # Safety
/// `pointer` is NULL or points to an initialised `T` that outlives `'a`.
pub(crate) unsafe fn given<'a, T>(name: &str, pointer: *const T) -> Result<&'a T> {
    // SAFETY: `as_ref` checks NULL; the rest is the caller's promise.
    unsafe { pointer.as_ref() }.ok_or_else(|| null(name))
}

/// A run of values that the caller gave; NULL is allowed where there are none.
///
/// # Safety
/// `pointer` is NULL or points to `count` initialised values that outlive `'a`.
pub(crate) unsafe fn run<'a, T>(name: &str, pointer: *const T, count: usize) -> Result<&'a [T]> {
    match (pointer.is_null(), count) {
        (_, 0) => Ok(&[]),
        (true, _) => Err(null(name)),
        // What does not fit into the address space can not have been given.
        (false, n) if n > isize::MAX as usize / size_of::<T>() => Err(Error::out_of_range(
            "count",
            n,
            format!("the number of {name}"),
            format!("give the number of {name}"),
        )),
        // SAFETY: not NULL, and so many by the caller's promise, whose bytes fit.
        (false, n) => Ok(unsafe { std::slice::from_raw_parts(pointer, n) }),
    }
}

pub(crate) fn null(name: &str) -> Error {
    Error::new(ErrorKind::Document, name)
        .with_value("NULL")
        .with_allowed("a valid pointer")
        .with_way_out(format!("pass a pointer for '{name}'"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{gw_error_free, gw_error_message, gw_error_status};

    /// A payload whose destructor panics as well: the worst that can come up to the wall.
    struct Spiteful;
    impl Drop for Spiteful {
        fn drop(&mut self) {
            if !std::thread::panicking() {
                panic!("from the destructor");
            }
        }
    }

    #[test]
    fn a_panic_becomes_a_status_and_an_error() {
        let mut error = std::ptr::null_mut();
        // SAFETY: `error` is a local pointer; the object is read, then freed once.
        unsafe {
            let status = guarded(&raw mut error, || panic!("boom {}", 7));
            assert_eq!(status, gw_status::GW_ERROR_PANIC);
            assert_eq!(gw_error_status(error), gw_status::GW_ERROR_PANIC);
            let message = CStr::from_ptr(gw_error_message(error)).to_str().unwrap();
            assert!(message.contains("boom 7"), "{message}");
            gw_error_free(error);
            assert_eq!(
                guarded(std::ptr::null_mut(), || panic!("unheard")),
                gw_status::GW_ERROR_PANIC
            );
            let status = guarded(std::ptr::null_mut(), || std::panic::panic_any(Spiteful));
            assert_eq!(status, gw_status::GW_ERROR_PANIC);
        }
    }

    #[test]
    fn a_nul_inside_a_message_does_not_cut_it() {
        let e = Error::new(ErrorKind::UnknownName, "a\0b").with_value("c\0d");
        let made = gw_error::of(&e);
        let mut error = Box::into_raw(Box::new(made));
        // SAFETY: `error` was just made and is freed once.
        unsafe {
            let message = CStr::from_ptr(gw_error_message(error))
                .to_str()
                .unwrap()
                .to_owned();
            gw_error_free(error);
            error = std::ptr::null_mut();
            gw_error_free(error);
            assert!(
                message.contains("a\u{fffd}b") && message.contains("c\u{fffd}d"),
                "{message}"
            );
        }
    }
}
