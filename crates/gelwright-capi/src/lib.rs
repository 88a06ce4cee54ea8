//! The C ABI of gelwright: no science, only the crossing.
//!
//! Conventions, kept by every function here (the header repeats them for C):
//! * A function that can refuse returns a [`gw_status`]; its results go through pointers that are written on
//!   success and left untouched on failure.
//! * The last parameter of such a function is `gw_error **error`. It may be NULL. On failure it receives an
//!   object that the caller frees with [`gw_error_free`].
//! * A NULL where a pointer is needed is refused by name, never dereferenced. Freeing NULL does nothing.
//! * No panic crosses: it becomes [`gw_status::GW_ERROR_PANIC`].
//! * No global state: every function may be called from any thread.

#![allow(non_snake_case)] // temperature_K: the unit stands in the name as it is written

mod dose;
mod error;
mod gel;
mod guard;
mod mesh;

pub use dose::*;
pub use error::*;
pub use gel::*;
pub use mesh::*;

use std::ffi::{CString, c_char, c_int, c_void};

use guard::{guarded, out, text};

/// Version of the binary interface. It rises with every change that breaks a compiled program.
pub const GW_ABI_VERSION: u32 = 0;

/// The version of the binary interface of the library that is loaded: compare it with GW_ABI_VERSION of the
/// header that the program was compiled with.
#[unsafe(no_mangle)]
pub extern "C" fn gw_abi_version() -> u32 {
    GW_ABI_VERSION
}

/// The version of the library, as text that lives as long as the program. Do not free it.
#[unsafe(no_mangle)]
pub extern "C" fn gw_version() -> *const c_char {
    const VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), "\0");
    VERSION.as_ptr().cast()
}

/// Asks a question: the door to every computation of the library.
///
/// `question` is its name ("mix.dose"), `request_json` its request as a JSON object with quantities as text
/// with their units ("450 g/m^2"). On success `*answer_json` receives the answer as JSON, to be freed with
/// gw_string_free. gw_questions lists the questions with the schemas of request and answer; gw_ask_cancellable asks
/// one that can be stopped while it is worked on.
///
/// # Safety
/// `question` and `request_json` point to NUL-terminated text, `answer_json` to a writable pointer; `error` is
/// NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_ask(
    question: *const c_char,
    request_json: *const c_char,
    answer_json: *mut *mut c_char,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let question = text("question", question)?;
            let request = text("request_json", request_json)?;
            let answer_json = out("answer_json", answer_json)?;
            let answer = gelwright_core::door::ask(question, request)?;
            *answer_json = c_string(&answer).into_raw();
            Ok(())
        })
    }
}

/// As gw_ask, for a caller who may want to stop it.
///
/// `should_stop` is called on the calling thread with `user_data`: once before the work, and about 20 times a second
/// while the library works (on threads of its own). Once it returns other than 0, the work is given up and the
/// result is GW_ERROR_CANCELLED; `*answer_json` is left untouched. It must return normally: no exception, no longjmp.
/// It may call the library. NULL never stops, and is then the same as gw_ask. `user_data` is handed on and otherwise
/// not looked at; it may be NULL.
///
/// # Safety
/// As gw_ask; `should_stop` is NULL or a function that may be called with `user_data` during this call, and returns.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_ask_cancellable(
    question: *const c_char,
    request_json: *const c_char,
    should_stop: Option<unsafe extern "C" fn(user_data: *mut c_void) -> c_int>,
    user_data: *mut c_void,
    answer_json: *mut *mut c_char,
    error: *mut *mut gw_error,
) -> gw_status {
    let Some(should_stop) = should_stop else {
        // SAFETY: the caller's promises, passed on.
        return unsafe { gw_ask(question, request_json, answer_json, error) };
    };
    // SAFETY: the caller's promises, passed on; `should_stop` is only called in here, on this thread.
    unsafe {
        guarded(error, || {
            let question = text("question", question)?;
            let request = text("request_json", request_json)?;
            let answer_json = out("answer_json", answer_json)?;
            let mut should_stop = || should_stop(user_data) != 0;
            let answer = gelwright_core::door::ask_cancellable(question, request, &mut should_stop)?;
            *answer_json = c_string(&answer).into_raw();
            Ok(())
        })
    }
}

/// Lists every question: `*questions_json` receives a JSON array of objects with `name`, `about`, `long` (whether it
/// may take long: ask it with gw_ask_cancellable), `noun` and `method` (whose method it is in other languages),
/// `subject` (what the request calls that noun), and the JSON schemas `request` and `answer`, to be freed with
/// gw_string_free.
///
/// # Safety
/// `questions_json` points to a writable pointer; `error` is NULL or points to a writable pointer.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_questions(
    questions_json: *mut *mut c_char,
    error: *mut *mut gw_error,
) -> gw_status {
    // SAFETY: the caller's promises, passed on.
    unsafe {
        guarded(error, || {
            let questions_json = out("questions_json", questions_json)?;
            *questions_json = c_string(&gelwright_core::door::described()).into_raw();
            Ok(())
        })
    }
}

/// Frees text that the library returned through a `char **`. NULL is allowed.
///
/// # Safety
/// `text` is NULL or came from this library and has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn gw_string_free(text: *mut c_char) {
    if !text.is_null() {
        // SAFETY: by the caller's promise it came from `CString::into_raw` here, and comes back once.
        drop(unsafe { CString::from_raw(text) });
    }
}

/// A quantity from its number in the coherent SI unit; a refusal names the parameter.
fn si<Q: gelwright_core::quantity::Quantity>(parameter: &str, value: f64) -> gelwright_core::Result<Q> {
    Q::from_si(value).map_err(|e| {
        let renamed = gelwright_core::Error::new(e.kind(), parameter).with_value(value);
        let renamed = match e.allowed() {
            Some(allowed) => renamed.with_allowed(allowed),
            None => renamed,
        };
        renamed.with_way_out(match e.way_out() {
            Some(way_out) if e.kind() == gelwright_core::ErrorKind::NotFinite => way_out.to_owned(),
            _ => format!("give '{parameter}' in the unit of its name"),
        })
    })
}

/// C text from Rust text; a NUL inside becomes U+FFFD, so that nothing is cut off.
fn c_string(text: &str) -> CString {
    CString::new(text).unwrap_or_else(|_| CString::new(text.replace('\0', "\u{fffd}")).unwrap_or_default())
}
