//! Prints the C header of `crates/gelwright-capi` to standard output. `cargo xtask header` runs it.

use std::path::Path;
use std::process::ExitCode;

const PREFACE: &str = "\
// The C interface of gelwright. Written by `cargo xtask header` from crates/gelwright-capi: do not edit.
//
// Conventions
// * Prefix gw_. Text is UTF-8 and NUL-terminated. Numbers are in SI or in the unit their name ends with.
// * A function that can refuse returns a gw_status. Its results are written on success and left untouched
//   on failure, so they can be set beforehand to whatever suits the caller.
// * Its last parameter, gw_error **error, may be NULL. On failure *error receives an object that tells the
//   kind, the field, the value, what is allowed and the way out; free it with gw_error_free.
// * Whoever reads a char * through an out-parameter frees it with gw_string_free. A const char * that a
//   function returns belongs to the library or to the object asked, and is not freed.
// * NULL where a pointer is needed is refused (GW_ERROR_DOCUMENT, naming the parameter). Freeing NULL does nothing.
// * No panic crosses (GW_ERROR_PANIC says that one was caught). There is no global state: call from any thread.
//   An object may be used by one thread at a time.
";

fn main() -> ExitCode {
    let krate = Path::new(env!("CARGO_MANIFEST_DIR")).join("../gelwright-capi");
    let mut config = match cbindgen::Config::from_file(krate.join("cbindgen.toml")) {
        Ok(config) => config,
        Err(e) => return fail(&e),
    };
    config.header = Some(PREFACE.to_owned());
    let parts: Vec<&str> = env!("CARGO_PKG_VERSION").split('.').collect();
    config.after_includes = Some(format!(
        "\n#define GW_VERSION_MAJOR {}\n#define GW_VERSION_MINOR {}\n#define GW_VERSION_PATCH {}\n#define GW_VERSION \"{}\"",
        parts[0],
        parts[1],
        parts[2],
        env!("CARGO_PKG_VERSION")
    ));
    let header = cbindgen::Builder::new()
        .with_crate(&krate)
        .with_config(config)
        .generate();
    match header {
        Ok(bindings) => {
            bindings.write(std::io::stdout());
            ExitCode::SUCCESS
        }
        Err(e) => fail(&e),
    }
}

fn fail(e: &dyn std::fmt::Display) -> ExitCode {
    eprintln!("the header can not be generated: {e}");
    ExitCode::FAILURE
}
