//! What an answer of the heat module costs: time against error, and memory. JSON lines for `work_precision.py` and
//! `heat_memory.py` (see `README.md`).
//!
//! `cargo bench -p gelwright --bench heat_cost -- CASE [REPEAT]`, where CASE is `wall:NAME:WITHIN_K` (NAME `harsh` or
//! `mild`, as in `heat.rs`), `cup`, `memory:COUNT`; without one, `memory:10000`.
#![allow(clippy::unwrap_used)]

use std::hint::black_box;
use std::time::Instant;

use gelwright::cure::{KamalSourour, Kinetics, RateConstant, RateLaw};
use gelwright::heat::{Cancel, Course, Cup, Cure, Face, Layer, Place, Thermal, Wall, sweep, sweep_cups};
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::{Source, Standing};

fn q<Q: Quantity>(text: &str) -> Q {
    parse::<Q>("x", text).unwrap()
}

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

fn cure(k2: f64, heat: f64) -> Cure {
    let k = |factor: f64, e: &str| RateConstant::at(celsius(20.0), si(factor), q(e));
    let law = KamalSourour {
        k1: k(4e-6, "70 kJ/mol"),
        k2: k(k2, "55 kJ/mol"),
        m: 0.85,
        n: 1.5,
    };
    let kinetics = Kinetics {
        law: RateLaw::KamalSourour(law),
        heat_of_reaction: si(heat),
        seed: si(0.0),
        vitrification: None,
        fitted: None,
        source: Source::of(Standing::Invented, "chosen for the benchmark"),
    };
    Cure::new(kinetics, si(0.05))
}

fn harsh() -> Thermal {
    Thermal::new(si(1100.0), si(1900.0), si(0.17))
}

fn slab(k2: f64, heat: f64, thermal: Thermal) -> Wall {
    let pour = Layer::curing("pour", q("25 mm"), thermal, cure(k2, heat), celsius(20.0));
    let air = || Face::convection(q("10 W/(m^2*K)"), celsius(20.0));
    Wall::plane(vec![pour], air(), air(), q("3 h"))
}

/// Walls whose heat and rate vary by a fifth.
fn walls(count: usize) -> Vec<Wall> {
    #[allow(clippy::cast_precision_loss)]
    let share = |i: usize| i as f64 / count as f64;
    (0..count)
        .map(|i| {
            let (x, y) = (share(i), share(i * 7919 % count));
            slab(1.22e-3 * (0.9 + 0.2 * x), 350e3 * (0.8 + 0.2 * y), harsh())
        })
        .collect()
}

/// The cup of `tests/published/heat_cup.py`, "Kamal-Sourour, loss".
fn cup(k2: f64) -> Cup {
    let place = Place::Coefficient {
        coefficient: q("10 W/(m^2*K)"),
        surroundings: Course::Steady(celsius(20.0)),
    };
    let (mass, wide) = (q("100 g"), q("60 mm"));
    Cup::new(
        mass,
        wide,
        harsh(),
        cure(k2, 350e3),
        celsius(20.0),
        place,
        q("2 h"),
    )
}

/// Milliseconds of each of `repeat` calls, after one to warm up.
fn times<T>(repeat: usize, mut f: impl FnMut() -> T) -> Vec<f64> {
    black_box(f());
    let once = |_| {
        let t = Instant::now();
        black_box(f());
        t.elapsed().as_secs_f64() * 1e3
    };
    (0..repeat).map(once).collect()
}

/// A line of `/proc/self/status` in MiB; not a number where there is no such file.
fn memory(line: &str) -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kib = status.lines().find_map(|l| {
        let rest = l.strip_prefix(line)?.strip_prefix(':')?;
        rest.split_whitespace().next()?.parse::<f64>().ok()
    });
    kib.unwrap_or(f64::NAN) / 1024.0
}

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let case = args.first().map_or("memory:10000", String::as_str);
    let repeat: usize = args.get(1).map_or(15, |n| n.parse().unwrap());
    let parts: Vec<&str> = case.split(':').collect();
    match parts[..] {
        ["wall", name, within] => {
            let mut w = match name {
                "harsh" => slab(1.22e-3, 350e3, harsh()),
                "mild" => slab(1.22e-3, 120e3, Thermal::new(si(1700.0), si(1300.0), si(0.6))),
                other => panic!("no wall called {other}"),
            };
            w.peak_within = Some(si(within.parse().unwrap()));
            w.most_cells = Some(4000);
            let ms = times(repeat, || w.run().unwrap());
            let run = w.run().unwrap();
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "peak_c": {}, "time_s": {}, "cells": {}, "steps": {}, "peak_error_k": {}}}"#,
                to_celsius(run.peak.temperature),
                run.peak.time.si(),
                run.cells.count,
                run.steps,
                run.cells.peak_error.si(),
            );
        }
        ["cup"] => {
            // One by one, and in the lanes of a sweep on one thread (all the same cup but for a last digit).
            let one = cup(1.22e-3);
            let ms = times(repeat * 20, || one.run().unwrap());
            let run = one.run().unwrap();
            let many: Vec<Cup> = (0..1000)
                .map(|i| cup(1.22e-3 * (1.0 + 1e-12 * f64::from(i))))
                .collect();
            let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
            let lanes: Vec<f64> = times(repeat, || pool.install(|| sweep_cups(&many, Cancel::NEVER)))
                .into_iter()
                .map(|ms| ms / 1000.0)
                .collect();
            let first = *sweep_cups(&many[..1], Cancel::NEVER)[0].as_ref().unwrap();
            println!(
                r#"{{"case": "cup", "ms": {ms:?}, "peak_c": {}, "time_s": {}, "lane_ms": {lanes:?}, "lane_peak_c": {}, "lane_time_s": {}}}"#,
                to_celsius(run.peak),
                run.peak_time.si(),
                to_celsius(first.peak),
                first.peak_time.si(),
            );
        }
        ["memory", count] => {
            let count: usize = count.parse().unwrap();
            let start = memory("VmHWM");
            let walls = walls(count);
            let given = memory("VmHWM");
            let answers = sweep(&walls, Cancel::NEVER);
            assert!(answers.iter().all(|r| r.as_ref().is_ok_and(|s| s.converged)));
            println!(
                r#"{{"case": "{case}", "from": "Rust", "start_mib": {start:.1}, "given_mib": {given:.1}, "peak_mib": {:.1}}}"#,
                memory("VmHWM")
            );
        }
        _ => panic!("no case called {case}"),
    }
}
