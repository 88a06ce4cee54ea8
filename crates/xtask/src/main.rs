//! `cargo xtask`: the two commands that do everything (`demo`, `test`), and the parts they are made of.
//!
//! Everything is made inside the checkout (`target/`), nothing is installed on the machine. What is done is
//! printed; what is missing is named; what has not changed since it passed is not done again.

mod hard;
mod kills;
mod native;
mod package;
mod python;
mod readme;
mod run;
mod stamp;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

use native::Build;
use run::{Run, say};

/// Why a step stopped.
type Outcome = Result<(), String>;

const HELP: &str = "\
cargo xtask <command>

  demo            plan the demo casting, print it, write target/demo/*.html
  test [PART..]   every check; with names, only those parts (see below). --fresh repeats what is unchanged
  bench           the benches (Rust), and those against general-purpose peers (Python)
  hard [PART..]   the long checks, niced: fuzz (targets unit_text, door, casting), kills, draws, coverage, oracle. --minutes N of each
                  (60), --keep puts what the fuzzer found worth keeping into tests/fuzz/corpus
  header          write include/gelwright.h from crates/gelwright-capi; --check only compares
  py              set up target/venv, write the generated Python files, install the package into it
  install PREFIX  build the C libraries and install header, libraries and gelwright.pc under PREFIX
  readme          write into README.md what its blocks print (after py and test c)
  package         make what goes out in target/package: the crates, each built from its package, and the Python package
  lock            resolve python/requirements.in anew into python/requirements.lock

parts of test: format, lint, docs, rust, header, c, python, readme, package
";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let root = root();
    let outcome = match words.as_slice() {
        ["demo", rest @ ..] => demo(&root, rest),
        ["test", parts @ ..] => test(&root, parts),
        ["bench", rest @ ..] => bench(&root, rest),
        ["hard", rest @ ..] => hard::hard(&root, rest),
        ["header"] => native::header(&root, false),
        ["header", "--check"] => native::header(&root, true),
        ["py"] => python::set_up(&root),
        ["install", prefix] => native::install(&root, Path::new(prefix), Build::Release),
        ["package"] => package::make(&root),
        ["lock"] => python::lock(&root),
        ["readme"] => readme::fill(&root),
        [] | ["help" | "--help" | "-h"] => {
            print!("{HELP}");
            return ExitCode::SUCCESS;
        }
        other => Err(format!("no such command: {}\n\n{HELP}", other.join(" "))),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("\nxtask: {why}");
            ExitCode::FAILURE
        }
    }
}

/// The checkout.
fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

fn demo(root: &Path, rest: &[&str]) -> Outcome {
    demo_run(root).args(rest).go()
}

/// The main job's run; its output is the answer that the README shows. Built as the tests are.
fn demo_run(root: &Path) -> Run {
    Run::cargo(root)
        .args([
            "run",
            "--quiet",
            "--package",
            "gelwright",
            "--features",
            "proptest",
        ])
        .args(["--example", "demo", "--"])
}

fn bench(root: &Path, rest: &[&str]) -> Outcome {
    Run::cargo(root).args(["bench", "--workspace"]).args(rest).go()?;
    python::bench(root)
}

type Part = (&'static str, fn(&Path, &mut Sheet) -> Outcome);

const PARTS: &[Part] = &[
    ("format", |root, sheet| {
        sheet.step("format: rustfmt", || {
            Run::cargo(root).args(["fmt", "--all", "--check"]).go()?;
            // Of another workspace.
            Run::new("rustfmt", root)
                .args(["--check", "--edition", "2024"])
                .args(run::files(&root.join("tests/fuzz/targets"), "rs"))
                .go()
        })
    }),
    ("lint", |root, sheet| {
        let python = python::interpreter()?;
        sheet.step("lint: clippy", || {
            Run::cargo(root)
                .args([
                    "clippy",
                    "--workspace",
                    "--all-targets",
                    "--features",
                    "gelwright/proptest",
                ])
                .args(["--", "-D", "warnings"])
                .env("PYO3_PYTHON", &python)
                .go()
        })
    }),
    ("docs", |root, sheet| {
        sheet.step("docs: rustdoc", || {
            Run::cargo(root)
                .args([
                    "doc",
                    "--quiet",
                    "--workspace",
                    "--no-deps",
                    "--features",
                    "gelwright/proptest",
                ])
                .env("RUSTDOCFLAGS", "-D warnings")
                .go()
        })
    }),
    ("rust", |root, sheet| {
        sheet.step("rust: tests", || {
            Run::cargo(root)
                .args(["test", "--workspace", "--features", "gelwright/proptest"])
                .env("RUST_BACKTRACE", "0")
                .go()
        })
    }),
    ("header", |root, sheet| {
        sheet.step("header: drift", || native::header(root, true))
    }),
    ("c", native::test),
    ("python", python::test),
    ("readme", readme::test),
    ("package", package::test),
];

fn test(root: &Path, args: &[&str]) -> Outcome {
    let fresh = args.contains(&"--fresh") || std::env::var_os("CI").is_some();
    let wanted: Vec<&str> = args.iter().copied().filter(|a| *a != "--fresh").collect();
    if let Some(unknown) = wanted.iter().find(|w| !PARTS.iter().any(|(name, _)| name == *w)) {
        return Err(format!("no such part of test: {unknown}\n\n{HELP}"));
    }
    let started = Instant::now();
    let mut sheet = Sheet {
        root: root.to_path_buf(),
        fresh,
        lines: vec![],
        failed: vec![],
        tree: stamp::tree(root),
    };
    for (name, part) in PARTS {
        if (wanted.is_empty() || wanted.contains(name))
            && let Err(why) = part(root, &mut sheet)
        {
            sheet.fail(name, &why);
        }
    }
    println!("\n{}", sheet.lines.join("\n"));
    println!("all together {:.0} s", started.elapsed().as_secs_f64());
    match sheet.failed.as_slice() {
        [] => Ok(()),
        failed => Err(format!("{} failed: {}", failed.len(), failed.join(", "))),
    }
}

/// What was done, with its times; and what need not be done again.
struct Sheet {
    root: PathBuf,
    fresh: bool,
    lines: Vec<String>,
    failed: Vec<String>,
    /// Hash of every file of the checkout: a step that passed on this tree is not repeated.
    tree: u64,
}

impl Sheet {
    /// Runs a step, unless it passed before on the very same files. A failure is noted and the rest goes on.
    fn step(&mut self, name: &str, work: impl FnOnce() -> Outcome) -> Outcome {
        let stamp = stamp::Stamp::new(&self.root, name, self.tree);
        if !self.fresh && stamp.holds() {
            self.lines
                .push(format!("  unchanged  {name} (--fresh repeats it)"));
            return Ok(());
        }
        println!("\n== {name}");
        let started = Instant::now();
        match work() {
            Ok(()) => {
                self.lines
                    .push(format!("  ok {:5.0} s  {name}", started.elapsed().as_secs_f64()));
                stamp.set()
            }
            Err(why) => {
                self.fail(name, &why);
                Ok(())
            }
        }
    }

    fn fail(&mut self, name: &str, why: &str) {
        say(&format!("FAILED {name}: {why}"));
        self.lines.push(format!(
            "  FAILED     {name}: {}",
            why.lines()
                .next()
                .unwrap_or(why)
                .chars()
                .take(120)
                .collect::<String>()
        ));
        self.failed.push(name.to_owned());
    }

    /// Notes a check that this machine can not do. On the project's own checks (CI) that is a failure.
    fn skip(&mut self, name: &str, missing: &str) {
        if std::env::var_os("CI").is_some() {
            self.fail(name, &format!("{missing} is missing"));
        } else {
            say(&format!("{name}: not done, {missing} is missing"));
            self.lines
                .push(format!("  not done   {name}: {missing} is missing"));
        }
    }
}
