//! Running other programs, saying so first.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// Prints one line of what xtask does.
pub(crate) fn say(text: &str) {
    println!("xtask: {text}");
}

/// The first of `names` that is on the PATH.
pub(crate) fn find(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    names.iter().find_map(|name| {
        if name.contains('/') && Path::new(name).is_file() {
            return Some(PathBuf::from(name));
        }
        std::env::split_paths(&path)
            .map(|d| d.join(name))
            .find(|p| p.is_file())
    })
}

/// A program to run.
pub(crate) struct Run {
    command: Command,
    hint: Option<String>,
}

impl Run {
    pub(crate) fn new(program: impl AsRef<OsStr>, at: &Path) -> Self {
        let mut command = Command::new(program);
        command.current_dir(at);
        Run { command, hint: None }
    }

    pub(crate) fn cargo(root: &Path) -> Self {
        Run::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()), root)
    }

    pub(crate) fn arg(mut self, arg: impl AsRef<OsStr>) -> Self {
        self.command.arg(arg);
        self
    }

    pub(crate) fn args<S: AsRef<OsStr>>(mut self, args: impl IntoIterator<Item = S>) -> Self {
        self.command.args(args);
        self
    }

    pub(crate) fn env(mut self, key: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(key, value);
        self
    }

    pub(crate) fn no_env(mut self, key: &str) -> Self {
        self.command.env_remove(key);
        self
    }

    /// What to say if it fails.
    pub(crate) fn hint(mut self, text: &str) -> Self {
        self.hint = Some(text.to_owned());
        self
    }

    fn shown(&self) -> String {
        let plain = |s: &OsStr| s.to_string_lossy().into_owned();
        let mut words = vec![plain(self.command.get_program())];
        words.extend(self.command.get_args().map(plain));
        let root = super::root().display().to_string() + "/";
        words.join(" ").replace(&root, "")
    }

    fn failure(&self, what: &str) -> String {
        let hint = self.hint.as_ref().map(|h| format!("\n  {h}")).unwrap_or_default();
        format!("`{}` {what}{hint}", self.shown())
    }

    /// Runs it, with its output shown.
    pub(crate) fn go(mut self) -> Result<(), String> {
        if !self.command.get_args().any(|a| a == "--quiet") {
            say(&self.shown());
        }
        match self.command.status() {
            Ok(status) if status.success() => Ok(()),
            Ok(status) => Err(self.failure(&format!("stopped with {status}"))),
            Err(e) => Err(self.failure(&format!("can not be run: {e}"))),
        }
    }

    /// Starts it, its output going to `log`.
    pub(crate) fn start(mut self, log: &Path) -> Result<Child, String> {
        say(&self.shown());
        let fail = |e| format!("{} can not be written: {e}", log.display());
        let out = std::fs::File::create(log).map_err(fail)?;
        let err = out.try_clone().map_err(fail)?;
        self.command.stdin(Stdio::null()).stdout(out).stderr(err);
        self.command
            .spawn()
            .map_err(|e| self.failure(&format!("can not be run: {e}")))
    }

    /// Runs it silently and gives its standard output.
    pub(crate) fn output(mut self) -> Result<String, String> {
        let done = self
            .command
            .output()
            .map_err(|e| self.failure(&format!("can not be run: {e}")))?;
        if done.status.success() {
            String::from_utf8(done.stdout).map_err(|e| self.failure(&format!("printed no UTF-8: {e}")))
        } else {
            let said =
                String::from_utf8_lossy(&done.stderr).into_owned() + &String::from_utf8_lossy(&done.stdout);
            Err(self.failure(&format!("stopped with {}:\n{said}", done.status)))
        }
    }
}

/// Reads a file, naming it if that fails.
pub(crate) fn read(path: &Path) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|e| format!("{} can not be read: {e}", path.display()))
}

/// Writes a file and its folder, naming it if that fails.
pub(crate) fn write(path: &Path, content: impl AsRef<[u8]>) -> Result<(), String> {
    let fail = |e| format!("{} can not be written: {e}", path.display());
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(fail)?;
    }
    std::fs::write(path, content).map_err(fail)
}

/// The files of a folder with the given extension, in order of name.
pub(crate) fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension() == Some(&OsString::from(extension)))
        .collect();
    found.sort();
    found
}
