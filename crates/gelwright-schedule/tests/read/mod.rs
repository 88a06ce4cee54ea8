//! Reading published instances.

use std::path::{Path, PathBuf};

use gelwright_schedule::{Activity, Lag, Problem, Window};

/// The folder of published instances, if it is there: below what `GELWRIGHT_CHECKS` names, or `shared/checks` beside the
/// checkout or above.
pub(crate) fn checks(folder: &str) -> Option<PathBuf> {
    let named = std::env::var_os("GELWRIGHT_CHECKS").map(PathBuf::from);
    let above = Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .map(|a| a.join("shared/checks"));
    let mut all = named
        .into_iter()
        .chain(above)
        .map(|root| root.join("data").join(folder));
    let found = all.find(|path| path.is_dir());
    if found.is_none() {
        eprintln!("NOT CHECKED: no folder of {folder}; GELWRIGHT_CHECKS names the folder above 'data'");
    }
    found
}

fn numbers(line: &str) -> Vec<i64> {
    line.split(|c: char| !c.is_ascii_digit() && c != '-')
        .filter_map(|w| w.parse().ok())
        .collect()
}

/// An instance as those of set j10 are published: successors with start-to-start lags, then durations and demands, then
/// capacities. A negative lag is a window.
pub(crate) fn rcpsp_max(text: &str) -> Problem {
    let lines: Vec<Vec<i64>> = text.lines().map(numbers).filter(|l| !l.is_empty()).collect();
    let n = lines[0][0] as usize + 2;
    let mut problem = Problem::default();
    for row in &lines[1..=n] {
        let (from, count) = (row[0] as usize, row[2] as usize);
        for k in 0..count {
            let (to, lag) = (row[3 + k] as usize, row[3 + count + k]);
            if lag < 0 {
                problem.windows.push(Window {
                    from: Some(to),
                    to: from,
                    most: -lag,
                });
            } else {
                problem.lags.push(Lag { from, to, least: lag });
            }
        }
    }
    for row in &lines[n + 1..=2 * n] {
        let demand: Vec<u32> = row[3..].iter().map(|d| *d as u32).collect();
        problem.activities.push(Activity::new(row[2], demand));
    }
    problem.capacity = lines[2 * n + 1].iter().map(|c| *c as u32).collect();
    problem
}

/// A job shop: a row a job, machine and duration by turns.
pub(crate) fn job_shop(text: &str) -> Problem {
    let mut lines = text.lines().filter(|l| !l.starts_with('#')).map(numbers);
    let machines = lines.next().expect("sizes")[1] as usize;
    let mut problem = Problem {
        capacity: vec![1; machines],
        ..Problem::default()
    };
    for row in lines {
        for (k, pair) in row.chunks(2).enumerate() {
            let mut demand = vec![0; machines];
            demand[pair[0] as usize] = 1;
            problem.activities.push(Activity::new(pair[1], demand));
            let this = problem.activities.len() - 1;
            if k > 0 {
                let lag = problem.after_end(this - 1, this, 0);
                problem.lags.push(lag);
            }
        }
    }
    problem
}
