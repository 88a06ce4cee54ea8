//! What laying out a day costs: JSON lines (see `README.md`). `cargo bench -p gelwright-schedule --bench schedule`; with
//! `once` after `--`, one round.

#[path = "../crates/gelwright-schedule/tests/read/mod.rs"]
mod read;

use std::time::Instant;

use gelwright_schedule::{Budget, Problem, Proof};
use read::{checks, job_shop, rcpsp_max};

/// Milliseconds that this thread has spent on a core, where the system tells (Linux): what others do meanwhile is not
/// counted.
fn on_core(since: Instant) -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let spent = told.and_then(|t| t.split(' ').next()?.parse::<f64>().ok());
    spent.map_or(since.elapsed().as_secs_f64() * 1e3, |ns| ns * 1e-6)
}

/// The fastest of so many rounds in milliseconds on a core, decisions, and whether it is proved.
fn solved(problem: &Problem, rounds: usize) -> (f64, u64, bool) {
    let begun = Instant::now();
    let mut fastest = f64::INFINITY;
    let (mut decisions, mut proved) = (0, false);
    for _ in 0..rounds {
        // The clock is brought up to date when the thread yields.
        std::thread::yield_now();
        let mut budget = Budget::nodes(10_000_000);
        let before = on_core(begun);
        let answer = problem.solve(0, &mut budget);
        std::thread::yield_now();
        fastest = fastest.min(on_core(begun) - before);
        decisions = budget.spent();
        proved = answer.is_ok_and(|a| !matches!(a.proof, Proof::NotProved(_)));
    }
    (fastest, decisions, proved)
}

fn main() {
    let rounds = if std::env::args().any(|a| a == "once") {
        1
    } else {
        7
    };
    if let Some(folder) = checks("rcpsp-max-j10") {
        let mut files: Vec<_> = std::fs::read_dir(folder)
            .into_iter()
            .flatten()
            .flatten()
            .map(|e| e.path())
            .collect();
        files.retain(|p| p.extension().is_some_and(|e| e == "SCH"));
        files.sort();
        let mut all: Vec<(f64, u64, bool, String)> = vec![];
        for file in files {
            let problem = rcpsp_max(&std::fs::read_to_string(&file).unwrap_or_default());
            let (ms, decisions, proved) = solved(&problem, rounds);
            let name = file.file_stem().map(|s| s.to_string_lossy().into_owned());
            all.push((ms, decisions, proved, name.unwrap_or_default()));
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let (Some(middle), Some(worst)) = (all.get(all.len() / 2), all.last()) {
            println!(
                r#"{{"case": "rcpsp-max-j10", "instances": {}, "proved": {}, "median_ms": {:.4}, "worst_ms": {:.3}, "worst": "{}", "its_decisions": {}}}"#,
                all.len(),
                all.iter().filter(|a| a.2).count(),
                middle.0,
                worst.0,
                worst.3,
                worst.1
            );
        }
    }
    for name in ["ft06", "la01", "la05"] {
        let Some(folder) = checks("jobshop") else { continue };
        let problem = job_shop(&std::fs::read_to_string(folder.join(name)).unwrap_or_default());
        let (ms, decisions, proved) = solved(&problem, rounds);
        println!(r#"{{"case": "{name}", "proved": {proved}, "ms": {ms:.3}, "decisions": {decisions}}}"#);
    }
}
