//! What has passed on which files.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

/// Folders that hold nothing a check depends on.
const IGNORED: &[&str] = &[
    "target",
    ".git",
    "__pycache__",
    ".pytest_cache",
    ".ruff_cache",
    ".hypothesis",
    ".ipynb_checkpoints",
];

/// A hash of every file of the checkout, of the compiler, and of this program.
pub(crate) fn tree(root: &Path) -> u64 {
    let mut hasher = DefaultHasher::new();
    let compiler = std::process::Command::new("rustc").arg("-V").output();
    compiler.map(|o| o.stdout).unwrap_or_default().hash(&mut hasher);
    add(root, root, &mut hasher);
    hasher.finish()
}

/// A hash of the given files and folders.
pub(crate) fn of(root: &Path, parts: &[&str]) -> u64 {
    let mut hasher = DefaultHasher::new();
    for part in parts {
        add(root, &root.join(part), &mut hasher);
    }
    hasher.finish()
}

fn add(root: &Path, path: &Path, hasher: &mut DefaultHasher) {
    if path.is_dir() {
        let mut inside: Vec<PathBuf> = fs::read_dir(path)
            .into_iter()
            .flatten()
            .flatten()
            .map(|e| e.path())
            .collect();
        inside.sort();
        for p in inside {
            let name = p.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if !IGNORED.contains(&name.as_str()) && !name.ends_with(".so") {
                add(root, &p, hasher);
            }
        }
    } else if let Ok(content) = fs::read(path) {
        path.strip_prefix(root).unwrap_or(path).hash(hasher);
        content.hash(hasher);
    }
}

/// A file in target/xtask that says on which files a step passed.
pub(crate) struct Stamp {
    file: PathBuf,
    content: String,
}

impl Stamp {
    pub(crate) fn new(root: &Path, name: &str, hash: u64) -> Self {
        let plain: String = name
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        Stamp {
            file: root.join("target/xtask").join(plain),
            content: format!("{hash:016x}"),
        }
    }

    pub(crate) fn holds(&self) -> bool {
        fs::read_to_string(&self.file).is_ok_and(|found| found == self.content)
    }

    pub(crate) fn set(&self) -> Result<(), String> {
        super::run::write(&self.file, &self.content)
    }
}
