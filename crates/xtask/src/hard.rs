//! `cargo xtask hard`: the long checks, apart from `test` and behind everything else that runs: guided fuzzing, kills
//! of a program that keeps books, wide draws of the property tests, coverage of a calibration's intervals.

use std::path::{Path, PathBuf};
use std::process::Child;
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::run::{Run, find, read, say, write};
use crate::{Outcome, kills, python};

/// The fuzz targets of tests/fuzz, with the longest input each is given.
const TARGETS: [(&str, usize); 3] = [("unit_text", 4096), ("door", 16_384), ("casting", 16_384)];
/// The one target that needs no more than the base crate.
const BASE_ALONE: &str = "unit_text";

/// The version of the tool that builds fuzz targets.
const CARGO_FUZZ: &str = "0.13.2";
/// An input that takes longer than this, in seconds, is a find.
const LONGEST: u32 = 30;

/// So many draws from the stock are killed.
const KILLS: u32 = 300;

const HELP: &str = "cargo xtask hard [fuzz | unit_text | door | casting | kills | draws | coverage | oracle ..] [--minutes N] [--keep]";

/// What is asked for.
struct Wanted<'a> {
    names: Vec<&'a str>,
    minutes: u64,
    keep: bool,
}

impl Wanted<'_> {
    fn read<'a>(words: &[&'a str]) -> Result<Wanted<'a>, String> {
        let mut wanted = Wanted {
            names: vec![],
            minutes: 60,
            keep: false,
        };
        let mut words = words.iter();
        while let Some(word) = words.next() {
            match *word {
                "--minutes" => {
                    let given = words.next().and_then(|n| n.parse().ok()).filter(|n| *n > 0);
                    wanted.minutes =
                        given.ok_or_else(|| format!("--minutes takes a whole number\n\n{HELP}"))?;
                }
                "--keep" => wanted.keep = true,
                name if ["fuzz", "kills", "draws", "coverage", "oracle"].contains(&name)
                    || TARGETS.iter().any(|t| t.0 == name) =>
                {
                    wanted.names.push(name);
                }
                other => return Err(format!("no such part of hard: {other}\n\n{HELP}")),
            }
        }
        Ok(wanted)
    }

    fn has(&self, name: &str) -> bool {
        self.names.is_empty() || self.names.contains(&name)
    }
}

/// Does what `words` ask for; a failure is told at the end, after the rest is done.
pub(crate) fn hard(root: &Path, words: &[&str]) -> Outcome {
    let wanted = Wanted::read(words)?;
    let targets: Vec<_> = TARGETS
        .iter()
        .filter(|t| wanted.has("fuzz") || wanted.has(t.0))
        .collect();
    let mut told = vec![];
    if !targets.is_empty() {
        match fuzz(root, &targets, &wanted) {
            Ok(all) => told.extend(all),
            Err(why) => told.push(Err(why)),
        }
    }
    if wanted.has("kills") {
        told.push(kills::kills(root, KILLS));
    }
    if wanted.has("draws") {
        told.push(draws(root, wanted.minutes));
    }
    if wanted.has("coverage") {
        told.push(coverage(root));
    }
    if wanted.has("oracle") {
        told.push(oracle(root));
    }
    println!();
    let mut failed = 0;
    for line in &told {
        match line {
            Ok(good) => println!("  ok      {good}"),
            Err(bad) => {
                failed += 1;
                println!("  FAILED  {bad}");
            }
        }
    }
    if failed == 0 {
        Ok(())
    } else {
        Err(format!("{failed} of {} failed", told.len()))
    }
}

type Told = Result<String, String>;

/// A program behind everything else that runs.
fn nice(root: &Path, program: impl AsRef<Path>) -> Run {
    let program = program.as_ref();
    match find(&["nice"]) {
        Some(nice) => Run::new(nice, root).args(["-n", "19"]).arg(program),
        None => Run::new(program, root),
    }
}

fn cargo() -> PathBuf {
    std::env::var_os("CARGO").map_or_else(|| "cargo".into(), PathBuf::from)
}

/// Builds the targets, fuzzes each for its time, and tells what came of it.
fn fuzz(root: &Path, targets: &[&(&str, usize)], wanted: &Wanted<'_>) -> Result<Vec<Told>, String> {
    let tool = cargo_fuzz(root)?;
    let mut build = nice(root, tool)
        .args(["build", "--sanitizer", "none", "--fuzz-dir", "tests/fuzz"])
        .args(["--target-dir", "target/fuzz"]);
    // Without a sanitizer: the compiler that the project has will do, and what is fuzzed has no unsafe code.
    build = match targets {
        [(name, _)] => build.arg(name),
        _ => build,
    };
    if targets.iter().any(|t| t.0 != BASE_ALONE) {
        build = build.args(["--features", "core"]);
    }
    build.env("CARGO_BUILD_JOBS", "1").go()?;
    Ok(targets
        .iter()
        .map(|(name, longest)| {
            let target = Target::new(root, name, *longest)?;
            target.seeds()?;
            let told = target.fuzz(wanted.minutes)?;
            if wanted.keep {
                target.keep()?;
            }
            Ok(told)
        })
        .collect())
}

/// The tool, from the PATH or from target/tools, where it is put if it is nowhere.
fn cargo_fuzz(root: &Path) -> Result<PathBuf, String> {
    let own = root.join("target/tools/bin/cargo-fuzz");
    if own.is_file() {
        return Ok(own);
    }
    if let Some(found) = find(&["cargo-fuzz"]) {
        return Ok(found);
    }
    say("making target/tools");
    nice(root, cargo())
        .args(["install", "--quiet", "--locked", "--jobs", "1"])
        .args(["--version", CARGO_FUZZ, "--root", "target/tools", "cargo-fuzz"])
        .hint("cargo-fuzz comes from the crates' registry, and its fuzzer needs a C++ compiler (Debian and Ubuntu: g++)")
        .go()?;
    Ok(own)
}

/// A built fuzz target and its folders.
struct Target<'r> {
    root: &'r Path,
    name: &'r str,
    longest: usize,
    program: PathBuf,
    /// Inputs that later runs go on from.
    corpus: PathBuf,
    /// Inputs that failed.
    found: PathBuf,
    /// Seeds, made anew for each run; the dictionary lies beside them.
    seeds: PathBuf,
    /// Inputs that are part of the project.
    kept: PathBuf,
}

impl<'r> Target<'r> {
    fn new(root: &'r Path, name: &'r str, longest: usize) -> Result<Self, String> {
        let work = root.join("target/fuzz");
        let folder = |kind: &str| -> Result<PathBuf, String> {
            let path = work.join(kind).join(name);
            std::fs::create_dir_all(&path).map_err(|e| format!("{}: {e}", path.display()))?;
            Ok(path)
        };
        let built = std::fs::read_dir(&work).map_err(|e| format!("{}: {e}", work.display()))?;
        let program = built
            .flatten()
            .map(|e| e.path().join("release").join(name))
            .find(|p| p.is_file())
            .ok_or_else(|| format!("{name} was not built in {}", work.display()))?;
        Ok(Target {
            root,
            name,
            longest,
            program,
            corpus: folder("corpus")?,
            found: folder("found")?,
            seeds: folder("seeds")?,
            kept: root.join("tests/fuzz/corpus").join(name),
        })
    }

    fn seeds(&self) -> Outcome {
        let _ = std::fs::remove_dir_all(&self.seeds);
        Run::new(&self.program, self.root)
            .env("GELWRIGHT_FUZZ_SEEDS", &self.seeds)
            .output()
            .map(drop)
    }

    /// Fuzzes until so many minutes of processor time are used.
    fn fuzz(&self, minutes: u64) -> Told {
        say(&format!(
            "fuzzing {} for {minutes} min of processor time",
            self.name
        ));
        let before = count(&self.found);
        let log = self.found.with_extension("log");
        let stop = self.found.with_extension("stop");
        write(&stop, "")?;
        let option = |name: &str, value: &dyn std::fmt::Display| format!("-{name}={value}");
        let child = nice(self.root, &self.program)
            .args([&self.corpus, &self.kept, &self.seeds])
            .arg(option("dict", &self.seeds.with_extension("dict").display()))
            .arg(option(
                "artifact_prefix",
                &format_args!("{}/", self.found.display()),
            ))
            .arg(option("stop_file", &stop.display()))
            .arg(option("max_len", &self.longest))
            .arg(option("timeout", &LONGEST))
            .arg("-print_final_stats=1")
            .env("RUST_BACKTRACE", "0")
            .env("RAYON_NUM_THREADS", "1")
            .start(&log)?;
        let used = watch(child, minutes, &log, &stop)?;
        let said = std::fs::read(&log).map_err(|e| format!("{}: {e}", log.display()))?;
        let said = String::from_utf8_lossy(&said);
        let outcome = format!(
            "{}: {}, in {:.0} min of processor time",
            self.name,
            figures(&said),
            used.as_secs_f64() / 60.0
        );
        if count(&self.found) == before && said.contains("stat::number_of_executed_units") {
            return Ok(outcome);
        }
        let why = said.lines().skip_while(|l| !l.contains("panicked at")).take(3);
        let input = said.lines().find_map(|l| l.split_once("Test unit written to "));
        Err(format!(
            "{outcome}\n          input {}\n          {}",
            input.map_or("not written", |(_, path)| path),
            why.collect::<Vec<_>>().join("\n          "),
        ))
    }

    /// Puts into tests/fuzz/corpus the fewest inputs that reach what the seeds do not, in place of those that were put
    /// there so; an input with a name of its own, a find, stays.
    fn keep(&self) -> Outcome {
        let chosen = self.seeds.with_extension("chosen");
        let _ = std::fs::remove_dir_all(&chosen);
        for file in listed(&self.seeds) {
            copy(&file, &chosen)?;
        }
        Run::new(&self.program, self.root)
            // By edges reached, not by how often: a few hundred inputs, not thousands.
            .args(["-set_cover_merge=1", "-use_counters=0"])
            .arg(format!("-timeout={LONGEST}"))
            .args([&chosen, &self.corpus, &self.kept])
            .env("RUST_BACKTRACE", "0")
            .env("RAYON_NUM_THREADS", "1")
            .output()?;
        let hashed = |p: &Path| {
            let name = p.file_name().unwrap_or_default().to_string_lossy();
            name.len() == 40 && name.bytes().all(|b| b.is_ascii_hexdigit())
        };
        for old in listed(&self.kept).iter().filter(|p| hashed(p)) {
            std::fs::remove_file(old).map_err(|e| format!("{}: {e}", old.display()))?;
        }
        for new in listed(&chosen).iter().filter(|p| hashed(p)) {
            copy(new, &self.kept)?;
        }
        say(&format!(
            "{} inputs are kept in {}",
            count(&self.kept),
            self.kept.display()
        ));
        Ok(())
    }
}

/// Watches a fuzzer until it has used its time, saying now and then how far it is; gives the time used.
fn watch(mut child: Child, minutes: u64, log: &Path, stop: &Path) -> Result<Duration, String> {
    let budget = Duration::from_secs(60 * minutes);
    let begun = Instant::now();
    let (mut used, mut said) = (Duration::ZERO, begun);
    loop {
        match child.try_wait() {
            Ok(None) => {}
            Ok(Some(_)) => return Ok(used),
            Err(e) => return Err(format!("the fuzzer is lost: {e}")),
        }
        used = processor_time(child.id()).unwrap_or_else(|| begun.elapsed());
        if used >= budget {
            write(stop, "enough")?;
        }
        if said.elapsed() > Duration::from_secs(300) {
            said = Instant::now();
            let text = std::fs::read(log).unwrap_or_default();
            say(&figures(&String::from_utf8_lossy(&text)));
        }
        sleep(Duration::from_millis(500));
    }
}

/// The processor time that a process has used, where the system tells (Linux: proc(5), in 1/100 s).
fn processor_time(id: u32) -> Option<Duration> {
    let stat = read(Path::new(&format!("/proc/{id}/stat"))).ok()?;
    let (_, fields) = stat.rsplit_once(')')?;
    let ticks: Vec<u64> = fields
        .split_whitespace()
        .skip(11)
        .take(2)
        .filter_map(|t| t.parse().ok())
        .collect();
    (ticks.len() == 2).then(|| Duration::from_millis(10 * ticks.iter().sum::<u64>()))
}

/// Executions and coverage, from the last line of a libFuzzer log that tells them.
fn figures(log: &str) -> String {
    let of = |line: &str, key: &str| {
        let mut words = line.split_whitespace();
        words
            .find(|w| *w == key)
            .and_then(|_| words.next())
            .map(str::to_owned)
    };
    let last = log
        .lines()
        .rev()
        .find(|l| l.starts_with('#') && l.contains(" cov: "));
    let Some(last) = last else {
        return "nothing was executed".to_owned();
    };
    let executed = log
        .lines()
        .find_map(|l| l.strip_prefix("stat::number_of_executed_units:"))
        .map(str::trim)
        .or_else(|| last.strip_prefix('#')?.split_whitespace().next())
        .unwrap_or("?");
    let of = |key| of(last, key).unwrap_or_else(|| "?".to_owned());
    format!(
        "{executed} executions, coverage {} edges, {} features, corpus {}",
        of("cov:"),
        of("ft:"),
        of("corp:")
    )
}

fn listed(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.is_file())
        .collect();
    files.sort();
    files
}

fn count(folder: &Path) -> usize {
    listed(folder).len()
}

fn copy(file: &Path, folder: &Path) -> Outcome {
    let content = std::fs::read(file).map_err(|e| format!("{}: {e}", file.display()))?;
    write(&folder.join(file.file_name().unwrap_or_default()), content)
}

/// Property tests, drawn anew with other seeds until the time is used. A draw that fails is written to
/// tests/proptest-regressions, and so drawn again by `test`.
fn draws(root: &Path, minutes: u64) -> Told {
    const CASES: &str = "2048";
    let begun = Instant::now();
    let mut rounds = 0;
    for (package, tests, how_many) in [
        ("gelwright-base", "reliability", "RELIABILITY_SEEDS"),
        ("gelwright", "plan::draw", "RISK_PLANS"),
    ] {
        nice(root, cargo())
            .args(["test", "--quiet", "--jobs", "1"])
            .args(["--package", package, "--lib", "--", tests])
            .env(how_many, "200")
            .go()?;
    }
    while rounds == 0 || begun.elapsed() < Duration::from_secs(60 * minutes) {
        nice(root, cargo())
            .args([
                "test",
                "--quiet",
                "--features",
                "gelwright/proptest",
                "--jobs",
                "1",
            ])
            .args(["--package", "gelwright", "--test", "laws"])
            .args(["--package", "downstream-check", "--test", "recipes"])
            .env("PROPTEST_CASES", CASES)
            .env("RUST_BACKTRACE", "0")
            .go()?;
        rounds += 1;
        say(&format!(
            "draws: round {rounds}, {:.0} min",
            begun.elapsed().as_secs_f64() / 60.0
        ));
    }
    Ok(format!(
        "draws: {rounds} rounds, {CASES} cases a law in each where the law has no number of its own, in {:.0} min",
        begun.elapsed().as_secs_f64() / 60.0
    ))
}

/// How many of the intervals of a calibration hold the truth, over more than a thousand seeds, however long that takes.
fn coverage(root: &Path) -> Told {
    nice(root, cargo())
        .args([
            "test",
            "--release",
            "--package",
            "gelwright",
            "--test",
            "laws",
            "--",
        ])
        .args(["--ignored", "--nocapture", "over_a_thousand_seeds"])
        .go()?;
    Ok("coverage: 95 % intervals of gel time, peak and dose within 93 to 97 %".to_owned())
}

/// Casting days drawn here are solved by CP-SAT too, a general solver in an environment of its own.
fn oracle(root: &Path) -> Told {
    const DAYS: &str = "300";
    let place = root.join("target/hard/oracle");
    std::fs::create_dir_all(&place).map_err(|e| format!("oracle: {e}"))?;
    let (days, venv) = (place.join("days.jsonl"), place.join("venv"));
    nice(root, cargo())
        .args([
            "test",
            "--quiet",
            "--jobs",
            "1",
            "--package",
            "gelwright",
            "--lib",
        ])
        .args([
            "--features",
            "gelwright/proptest",
            "--",
            "--ignored",
            "days_are_written",
        ])
        .env("ORACLE_DAYS", DAYS)
        .env("ORACLE_FILE", &days)
        .go()?;
    Run::new(python::interpreter()?, root)
        .args(["-m", "venv"])
        .arg(&venv)
        .go()?;
    let python = python::bin_of(&venv, "python");
    Run::new(&python, root)
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "-r",
            "tests/oracle/requirements.txt",
        ])
        .go()?;
    nice(root, &python).arg("tests/oracle/days.py").arg(&days).go()?;
    Ok(format!(
        "oracle: {DAYS} drawn days as CP-SAT has them, as far as both decide"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_those_of_the_last_line_that_tells_them() {
        let log = "INFO: seed corpus\n#2\tINITED cov: 7 ft: 8 corp: 1/1b exec/s: 0 rss: 1Mb\n\
                   #90\tNEW    cov: 70 ft: 81 corp: 3/9b lim: 4\nstat::number_of_executed_units: 1234\n";
        assert_eq!(
            figures(log),
            "1234 executions, coverage 70 edges, 81 features, corpus 3/9b"
        );
        assert_eq!(figures("nothing"), "nothing was executed");
    }

    #[test]
    fn words_are_read_or_refused() {
        let wanted = Wanted::read(&["door", "--minutes", "3"]).unwrap();
        assert!(wanted.has("door") && !wanted.has("draws") && wanted.minutes == 3 && !wanted.keep);
        assert!(Wanted::read(&[]).unwrap().has("draws"));
        for wrong in [
            &["dor"][..],
            &["--minutes"],
            &["--minutes", "0"],
            &["--minutes", "x"],
        ] {
            assert!(Wanted::read(wrong).is_err(), "{wrong:?}");
        }
    }
}
