//! Gives the shared library its SONAME: programs record the ABI's number, not a path.

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=src/lib.rs");
    let source = std::fs::read_to_string("src/lib.rs").expect("src/lib.rs is readable");
    let abi = source
        .lines()
        .find_map(|l| {
            l.trim()
                .strip_prefix("pub const GW_ABI_VERSION: u32 = ")?
                .strip_suffix(';')
        })
        .expect("src/lib.rs defines GW_ABI_VERSION");
    match std::env::var("CARGO_CFG_TARGET_OS").as_deref() {
        Ok("linux" | "freebsd" | "netbsd" | "openbsd") => {
            println!("cargo:rustc-cdylib-link-arg=-Wl,-soname,libgelwright.so.{abi}");
        }
        Ok("macos") => {
            println!("cargo:rustc-cdylib-link-arg=-Wl,-install_name,@rpath/libgelwright.{abi}.dylib");
        }
        _ => {}
    }
}
