//! The Python side: target/venv, the generated files, the package, its checks.

use std::path::{Path, PathBuf};

use crate::native::{self, Build};
use crate::run::{Run, files, find, read, say, write};
use crate::stamp::{self, Stamp};
use crate::{Outcome, Sheet};

/// What the installed package is made from.
pub(crate) const PACKAGE: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "crates/gelwright",
    "crates/gelwright-base",
    "crates/gelwright-derive",
    "crates/gelwright-mould",
    "crates/gelwright-schedule",
    "crates/gelwright-stock",
    "crates/gelwright-python",
    "python",
];

/// A Python that will do: `$PYTHON`, else the newest python3 on the PATH.
pub(crate) fn interpreter() -> Result<PathBuf, String> {
    const TEST: &str = "import sys; assert sys.version_info >= (3, 11); print(sys.executable)";
    let here = Path::new(".");
    let given = std::env::var("PYTHON").ok();
    let names = match &given {
        Some(name) => vec![name.as_str()],
        None => vec![
            "python3",
            "python3.14",
            "python3.13",
            "python3.12",
            "python3.11",
            "python",
        ],
    };
    names
        .iter()
        .filter_map(|name| find(&[name]))
        .find_map(|p| Run::new(p, here).args(["-c", TEST]).output().ok())
        .map(|path| PathBuf::from(path.trim()))
        .ok_or_else(|| match given {
            Some(name) => format!("PYTHON={name} is no Python 3.11 or newer"),
            None => "no Python 3.11 or newer found: install one (Debian and Ubuntu: python3 python3-venv), \
                     or set PYTHON to its path"
                .to_owned(),
        })
}

/// A program of a virtual environment.
pub(crate) fn bin_of(venv: &Path, program: &str) -> PathBuf {
    let folder = if cfg!(windows) { "Scripts" } else { "bin" };
    venv.join(folder).join(program)
}

/// A program of that of target/venv.
pub(crate) fn venv_bin(root: &Path, program: &str) -> PathBuf {
    bin_of(&root.join("target/venv"), program)
}

fn venv(root: &Path, program: &str) -> Run {
    Run::new(venv_bin(root, program), root)
        .env("VIRTUAL_ENV", root.join("target/venv"))
        .env("PIP_DISABLE_PIP_VERSION_CHECK", "1")
        .no_env("CONDA_PREFIX")
        .no_env("PYTHONPATH")
}

/// Makes target/venv and installs the locked packages, unless that is done.
pub(crate) fn environment(root: &Path) -> Outcome {
    let python = interpreter()?;
    let lock = "python/requirements.lock";
    let done = Stamp::new(
        root,
        "venv",
        stamp::of(root, &[lock]) ^ stamp::of(root, &[&python.display().to_string()]),
    );
    if done.holds() && venv_bin(root, "python").exists() {
        return Ok(());
    }
    say("making target/venv");
    Run::new(&python, root)
        .args(["-m", "venv", "--clear", "target/venv"])
        .hint("Python's venv module with pip is needed (Debian and Ubuntu: python3-venv)")
        .go()?;
    venv(root, "python")
        .args(["-m", "pip", "install", "--quiet", "--requirement", lock])
        .hint("the packages of python/requirements.lock come from the package index: is there a network?")
        .go()?;
    done.set()
}

/// Makes the Python modules from the tables of the C library, and writes the list of the public face (or compares it).
pub(crate) fn generate(root: &Path, check: bool) -> Outcome {
    native::build(root, Build::Checked)?;
    let run = venv(root, "python")
        .arg("python/tools/generate.py")
        .arg(native::shared_library(root, Build::Checked))
        .args(["--face", "python/face.txt"]);
    if check { run.arg("--check") } else { run }
        .hint("a change of the public face is written by `cargo xtask py`, and looked at in review")
        .go()
}

/// `pip install ./python` into target/venv, unless the installed one is made from these files.
fn install(root: &Path) -> Outcome {
    let done = Stamp::new(root, "package", stamp::of(root, PACKAGE));
    if done.holds() && venv_bin(root, "python").exists() {
        return Ok(());
    }
    venv(root, "python")
        .args(["-m", "pip", "install", "--quiet", "./python"])
        .env("PIP_CONSTRAINT", root.join("python/requirements.lock"))
        // As the tests are built; a plain `pip install ./python` builds for release.
        .env("MATURIN_PEP517_ARGS", "--profile dev")
        // `generate` has made the modules.
        .env("GELWRIGHT_MADE", "1")
        .go()?;
    done.set()
}

/// `cargo xtask py`.
pub(crate) fn set_up(root: &Path) -> Outcome {
    environment(root)?;
    generate(root, false)?;
    install(root)
}

/// The part `python` of the tests.
pub(crate) fn test(root: &Path, sheet: &mut Sheet) -> Outcome {
    interpreter()?;
    environment(root)?;
    sheet.step("python: modules, and the list of the public face", || {
        generate(root, true)
    })?;
    sheet.step("python: pip install ./python", || install(root))?;
    sheet.step("python: ruff", || {
        venv(root, "ruff").args(["check", "python"]).go()?;
        venv(root, "ruff").args(["format", "--check", "python"]).go()
    })?;
    sheet.step("python: types", || {
        venv(root, "pyright").args(["--project", "python"]).go()
    })?;
    sheet.step("python: tests", || {
        venv(root, "pytest").args(["-q", "python/tests"]).go()
    })?;
    let notebooks = files(&root.join("python/notebooks"), "ipynb");
    if notebooks.is_empty() {
        return Ok(());
    }
    sheet.step("python: notebooks", || {
        venv(root, "pytest").args(["-q", "--nbmake"]).args(notebooks).go()
    })
}

/// The benches against general-purpose peers, where there are any.
pub(crate) fn bench(root: &Path) -> Outcome {
    let benches = files(&root.join("benches"), "py");
    if benches.is_empty() {
        return Ok(());
    }
    set_up(root)?;
    venv(root, "python")
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--requirement",
            "benches/requirements.txt",
        ])
        .env("PIP_CONSTRAINT", root.join("python/requirements.lock"))
        .go()?;
    benches.iter().try_for_each(|b| venv(root, "python").arg(b).go())
}

/// `cargo xtask lock`: resolves the direct requirements anew.
pub(crate) fn lock(root: &Path) -> Outcome {
    let python = interpreter()?;
    let folder = root.join("target/lock");
    Run::new(&python, root)
        .args(["-m", "venv", "--clear"])
        .arg(&folder)
        .go()?;
    let inside = bin_of(&folder, "python");
    Run::new(&inside, root)
        .args(["-m", "pip", "install", "--quiet", "-r", "python/requirements.in"])
        .go()?;
    let frozen = Run::new(&inside, root)
        .args(["-m", "pip", "freeze", "--exclude", "pip"])
        .output()?;
    let direct = read(&root.join("python/requirements.in"))?;
    let head =
        "# Every package of target/venv, pinned. Written by `cargo xtask lock` from requirements.in.\n";
    say(&format!(
        "{} packages for {} direct ones",
        frozen.lines().count(),
        direct.lines().count()
    ));
    write(&root.join("python/requirements.lock"), format!("{head}{frozen}"))
}
