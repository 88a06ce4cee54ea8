//! Passes on where libsqlite3-sys built SQLite.

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    for key in ["INCLUDE", "LIB_DIR"] {
        let from = std::env::var(format!("DEP_SQLITE3_{key}")).unwrap_or_default();
        println!("cargo:rustc-env=SQLITE_{key}={from}");
    }
}
