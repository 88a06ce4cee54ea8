//! The kept inputs of a fuzz target.

use std::path::Path;

/// Gives each kept input of `target` to `check`; the last one printed is the one that failed.
pub(crate) fn each(target: &str, check: impl Fn(&str)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/fuzz/corpus")
        .join(target);
    let listed = std::fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut files: Vec<_> = listed.map(|f| f.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "nothing is kept in {}", folder.display());
    for file in files {
        println!("{}", file.display());
        check(&std::fs::read_to_string(&file).unwrap());
    }
}
