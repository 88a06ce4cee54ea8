//! What goes out: the crates that may be published, and the Python package's source distribution.

use std::path::{Path, PathBuf};

use crate::run::{Run, read, say};
use crate::stamp::{self, Stamp};
use crate::{Outcome, Sheet, python, readme};

/// What each package carries, a link to the one copy at the top.
const CARRIED: [&str; 3] = ["LICENSE-APACHE", "LICENSE-MIT", "README.md"];

/// A crate that may be published.
struct Published {
    name: String,
    folder: PathBuf,
}

/// The crates whose manifest does not say `publish = false`.
fn published(root: &Path) -> Result<Vec<Published>, String> {
    let crates = root.join("crates");
    let mut folders: Vec<PathBuf> = std::fs::read_dir(&crates)
        .map_err(|e| format!("{}: {e}", crates.display()))?
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.join("Cargo.toml").is_file())
        .collect();
    folders.sort();
    let mut found = vec![];
    for folder in folders {
        let manifest = read(&folder.join("Cargo.toml"))?;
        if manifest.lines().any(|l| l == "publish = false") {
            continue;
        }
        let name = manifest
            .lines()
            .find_map(|l| l.strip_prefix("name = \"")?.strip_suffix('"'));
        let name = name.ok_or_else(|| format!("{}: its manifest has no name", folder.display()))?;
        found.push(Published {
            name: name.to_owned(),
            folder,
        });
    }
    Ok(found)
}

/// The files that a source file wants compiled in, as it writes them.
fn embedded(source: &str) -> Vec<&str> {
    ["include_str!(", "include_bytes!(", "include!("]
        .iter()
        .flat_map(|mark| source.split(mark).skip(1))
        .filter_map(|rest| rest.trim_start().strip_prefix('"')?.split('"').next())
        .collect()
}

/// `path`, written in `file`, seen from the package's top.
fn seen_from_top(file: &str, path: &str) -> String {
    let mut parts: Vec<&str> = file.split('/').collect();
    parts.pop();
    for part in path.split('/') {
        match part {
            "." => {}
            ".." if parts.last().is_some_and(|p| *p != "..") => {
                parts.pop();
            }
            _ => parts.push(part),
        }
    }
    parts.join("/")
}

/// Whether a crate's package holds all that its sources compile in, the licences and the page.
fn holds_all(root: &Path, one: &Published) -> Outcome {
    let listed = Run::cargo(root)
        .args(["package", "--list", "--quiet", "--allow-dirty", "--package"])
        .arg(&one.name)
        .output()?
        // Cargo writes the paths as the system does.
        .replace('\\', "/");
    let listed: Vec<&str> = listed.lines().collect();
    for file in CARRIED {
        let copy = read(&one.folder.join(file));
        if !listed.contains(&file) || copy != read(&root.join(file)) {
            return Err(format!(
                "{}: its package lacks {file}; make it a link to the one at the top",
                one.name
            ));
        }
    }
    for file in listed.iter().filter(|f| f.ends_with(".rs")) {
        let source = read(&one.folder.join(file))?;
        for path in embedded(&source) {
            if !listed.contains(&seen_from_top(file, path).as_str()) {
                return Err(format!(
                    "{}: {file} compiles in {path}, which its package does not hold",
                    one.name
                ));
            }
        }
    }
    Ok(())
}

/// `cargo package` of all that may be published.
fn cargo_package(root: &Path, crates: &[Published]) -> Run {
    crates.iter().fold(Run::cargo(root).arg("package"), |run, one| {
        run.args(["--package", &one.name])
    })
}

/// Makes the source distribution of the Python package in target/package/python; gives the file.
fn source_distribution(root: &Path) -> Result<PathBuf, String> {
    let folder = root.join("target/package/python");
    let _ = std::fs::remove_dir_all(&folder);
    python::generate(root, true)?;
    Run::new(python::venv_bin(root, "maturin"), &root.join("python"))
        .args(["sdist", "--out"])
        .arg(&folder)
        .output()?;
    let name = format!("gelwright-{}.tar.gz", env!("CARGO_PKG_VERSION"));
    let file = folder.join(&name);
    if !file.is_file() {
        return Err(format!("maturin did not write {name}"));
    }
    say(&format!("made target/package/python/{name}"));
    Ok(file)
}

/// A folder outside the checkout, removed at the end.
struct CleanPlace(PathBuf);

impl CleanPlace {
    fn new() -> Result<Self, String> {
        let folder = std::env::temp_dir().join(format!("gelwright-clean-{}", std::process::id()));
        std::fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
        Ok(CleanPlace(folder))
    }
}

impl Drop for CleanPlace {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Installs the source distribution where nothing of the checkout is in reach, and runs the README's Python there.
fn installs(root: &Path, sdist: &Path) -> Outcome {
    let place = CleanPlace::new()?;
    Run::new(python::interpreter()?, &place.0)
        .args(["-m", "venv", "venv"])
        .go()?;
    let inside = python::bin_of(&place.0.join("venv"), "python");
    Run::new(&inside, &place.0)
        // No cache: pip keeps a wheel under the name of the file that it was built from, whatever is in it.
        .args(["-m", "pip", "install", "--quiet", "--no-cache-dir"])
        .arg(sdist)
        .env("PIP_CONSTRAINT", root.join("python/requirements.lock"))
        .env("PIP_DISABLE_PIP_VERSION_CHECK", "1")
        // As quickly as it builds: this asks whether everything is there.
        .env("MATURIN_PEP517_ARGS", "--profile dev")
        .env("CARGO_PROFILE_DEV_OPT_LEVEL", "0")
        .no_env("CARGO_TARGET_DIR")
        .no_env("PYTHONPATH")
        .hint("maturin, numpy and pint come from the package index: is there a network?")
        .go()?;
    let version = Run::new(&inside, &place.0)
        .args(["-I", "-c", "import gelwright; print(gelwright.__version__)"])
        .output()?;
    if version.trim() != env!("CARGO_PKG_VERSION") {
        return Err(format!(
            "the installed package says it is version {}",
            version.trim()
        ));
    }
    readme::first_use(root, &inside, &place.0)
}

/// The part `package` of the tests.
pub(crate) fn test(root: &Path, sheet: &mut Sheet) -> Outcome {
    sheet.step("package: crates", || {
        let crates = published(root)?;
        crates.iter().try_for_each(|one| holds_all(root, one))?;
        cargo_package(root, &crates)
            .args(["--no-verify", "--allow-dirty", "--quiet"])
            .output()
            .map(|_| ())
    })?;
    python::environment(root)?;
    let fresh = sheet.fresh;
    sheet.step("package: source distribution, in a clean place", || {
        let done = Stamp::new(root, "sdist", stamp::of(root, python::PACKAGE));
        if done.holds() && !fresh {
            return Ok(());
        }
        installs(root, &source_distribution(root)?)?;
        done.set()
    })
}

/// `cargo xtask package`: what can be handed out, in target/package. Each crate is built from its package alone.
pub(crate) fn make(root: &Path) -> Outcome {
    let crates = published(root)?;
    crates.iter().try_for_each(|one| holds_all(root, one))?;
    cargo_package(root, &crates).go()?;
    python::environment(root)?;
    installs(root, &source_distribution(root)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_compiled_in_is_found() {
        let source = "const A: &str = include_str!(\"../data/a.toml\");\nlet b = include_bytes!(\n    \"b.bin\"\n);\n\
                      // include_str!(name) has no text of its own\n";
        assert_eq!(embedded(source), ["../data/a.toml", "b.bin"]);
    }

    #[test]
    fn a_path_is_seen_from_the_top_of_its_package() {
        assert_eq!(
            seen_from_top("src/limit/mod.rs", "../../data/limits.toml"),
            "data/limits.toml"
        );
        assert_eq!(seen_from_top("examples/demo.rs", "./a.toml"), "examples/a.toml");
        // One that leaves the package stays outside.
        assert_eq!(
            seen_from_top("src/lib.rs", "../../../README.md"),
            "../../README.md"
        );
    }

    #[test]
    fn the_core_goes_out_and_this_does_not() {
        let found = published(&crate::root()).unwrap();
        let named = |name: &str| found.iter().any(|p| p.name == name);
        assert!(named("gelwright") && named("gelwright-capi"));
        assert!(!named("xtask") && !named("gelwright-python"));
    }
}
