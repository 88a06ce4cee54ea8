//! What an answer of the heat module costs: time, error, memory. JSON lines for the scripts beside it (see `README.md`).
//!
//! `cargo bench -p gelwright --bench heat -- CASE [REPEAT]`, where CASE is `wall:NAME` or `wall:NAME:WITHIN_K` (NAME
//! `harsh`, `mild`, `radical`, `layered`, `vitrifying`, `harsh_vitrifying`), `sweep:COUNT`, `alone:NAME`, `cups`, `cup`, `fair cup`,
//! `plan`, `air`, `fit` (ten cups to one law),
//! `memory:COUNT`; without one, `wall:harsh`.
#![allow(clippy::unwrap_used)]

use std::hint::black_box;
use std::time::Instant;

use gelwright::air::{Emission, VapourInRoom};
use gelwright::calibrate::{CupTest, Evidence};
use gelwright::cure::{FreeRadical, KamalSourour, Kinetics, Radicals, RateConstant, RateLaw, Vitrification};
use gelwright::heat::{Course, Cup, Cure, Face, Layer, Place, Resolve, Thermal, Wall};
use gelwright::material::Catalogue;
use gelwright::plan::Casting;
use gelwright::quantity::spread::Spread;
use gelwright::quantity::temperature::{celsius, to_celsius};
use gelwright::quantity::*;
use gelwright::{Cancel, Source, Standing};

fn q<Q: Quantity>(text: &str) -> Q {
    parse::<Q>("x", text).unwrap()
}

fn si<Q: Quantity>(x: f64) -> Q {
    Q::from_si(x).unwrap()
}

fn at(t: f64, factor: f64, e: &str) -> RateConstant {
    RateConstant::at(celsius(t), si(factor), q(e))
}

fn kinetics(law: RateLaw, heat: f64) -> Kinetics {
    Kinetics {
        law,
        heat_of_reaction: si(heat),
        seed: si(0.0),
        vitrification: None,
        fitted: None,
        source: Source::of(Standing::Invented, "chosen for the benchmark"),
    }
}

fn kamal(k2: f64) -> RateLaw {
    RateLaw::KamalSourour(KamalSourour {
        k1: at(20.0, 4e-6, "70 kJ/mol"),
        k2: at(20.0, k2, "55 kJ/mol"),
        m: 0.85,
        n: 1.5,
    })
}

fn radical() -> RateLaw {
    RateLaw::FreeRadical(FreeRadical {
        decomposition: at(25.0, 2.5e-4, "60 kJ/mol"),
        thermal_decomposition: None,
        propagation: at(25.0, 6e-3, "30 kJ/mol"),
        dose: si(1.5),
        inhibitor: si(0.3),
        promoter: si(0.3),
        reference_promoter: si(0.3),
        promoter_order: 1.0,
        promoter_retards: 0.0,
        dose_effect: None,
        radicals: Radicals::Trapped,
    })
}

fn thermal(rho: f64, c: f64, k: f64) -> Thermal {
    Thermal::new(si(rho), si(c), si(k))
}

fn slab(k2: f64, heat: f64, t: Thermal) -> Wall {
    let cure = Cure::new(kinetics(kamal(k2), heat), si(0.05));
    let pour = Layer::curing("pour", q("25 mm"), t, cure, celsius(20.0));
    let air = || Face::convection(q("10 W/(m^2*K)"), celsius(20.0));
    Wall::plane(vec![pour], air(), air(), q("3 h"))
}

fn wall(name: &str) -> Wall {
    let air = || Face::convection(q("10 W/(m^2*K)"), celsius(20.0));
    match name {
        "harsh" => slab(1.22e-3, 350e3, thermal(1100.0, 1900.0, 0.17)),
        "mild" => slab(1.22e-3, 120e3, thermal(1700.0, 1300.0, 0.6)),
        "radical" => {
            let cure = Cure::new(kinetics(radical(), 330e3), si(0.05));
            let pour = Layer::curing(
                "pour",
                q("20 mm"),
                thermal(1100.0, 1900.0, 0.18),
                cure,
                celsius(20.0),
            );
            Wall::plane(vec![pour], air(), air(), q("3 h"))
        }
        "vitrifying" => vitrifying(wall("radical")),
        "harsh_vitrifying" => vitrifying(wall("harsh")),
        "layered" => {
            // Plaster mould, gel coat, laminate: nothing symmetric.
            let cure = |heat| Cure::new(kinetics(kamal(1.22e-3), heat), si(0.05));
            let layers = vec![
                Layer::inert("plaster", q("20 mm"), thermal(1200.0, 1000.0, 0.4), celsius(20.0)),
                Layer::curing(
                    "gel coat",
                    q("1 mm"),
                    thermal(1250.0, 1700.0, 0.2),
                    cure(300e3),
                    celsius(20.0),
                ),
                Layer::curing(
                    "laminate",
                    q("9 mm"),
                    thermal(1450.0, 1500.0, 0.25),
                    cure(230e3),
                    celsius(20.0),
                ),
            ];
            Wall::plane(layers, air(), air(), q("3 h"))
        }
        other => panic!("no wall called {other}"),
    }
}

fn vitrifying(mut wall: Wall) -> Wall {
    let glass = Vitrification::of_material("ortho_polyester", Catalogue::generic()).unwrap();
    for cure in wall.layers.iter_mut().filter_map(|l| l.cure.as_mut()) {
        cure.kinetics.vitrification = Some(glass);
    }
    wall
}

/// Harsh walls whose heat and rate vary by a fifth.
fn varied(count: usize) -> Vec<Wall> {
    #[allow(clippy::cast_precision_loss)]
    let share = |i: usize| i as f64 / count as f64;
    (0..count)
        .map(|i| {
            let (x, y) = (share(i), share(i * 7919 % count));
            slab(
                1.22e-3 * (0.9 + 0.2 * x),
                350e3 * (0.8 + 0.2 * y),
                thermal(1100.0, 1900.0, 0.17),
            )
        })
        .collect()
}

/// The cup of `tests/published/heat_cup.py`, "Kamal-Sourour, loss".
fn cup(k2: f64) -> Cup {
    let place = Place::Coefficient {
        coefficient: q("10 W/(m^2*K)"),
        surroundings: Course::Steady(celsius(20.0)),
    };
    let cure = Cure::new(kinetics(kamal(k2), 350e3), si(0.05));
    let cup = Cup::new(
        q("100 g"),
        q("60 mm"),
        thermal(1100.0, 1900.0, 0.17),
        cure,
        celsius(20.0),
        place,
        q("2 h"),
    );
    Cup {
        resolve: Resolve::Lumped,
        ..cup
    }
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

/// Milliseconds that this process has spent on a core: what others do meanwhile is not counted.
fn on_core() -> f64 {
    let tasks = std::fs::read_dir("/proc/self/task").unwrap();
    let spent = |t: std::io::Result<std::fs::DirEntry>| {
        let text = std::fs::read_to_string(t.ok()?.path().join("schedstat")).ok()?;
        text.split(' ').next()?.parse::<f64>().ok()
    };
    tasks.filter_map(spent).sum::<f64>() * 1e-6
}

/// Milliseconds on a core of each of `repeat` calls, so many rounds that the clock's grain of some milliseconds is small.
fn cost<T>(repeat: usize, mut f: impl FnMut() -> T) -> f64 {
    black_box(f());
    let round = || {
        let t = on_core();
        for _ in 0..repeat {
            black_box(f());
        }
        (on_core() - t) / repeat as f64
    };
    fastest(std::iter::repeat_with(round).take(5).collect())
}

/// The shortest: what it costs where nothing else runs.
fn fastest(ms: Vec<f64>) -> f64 {
    ms.into_iter().fold(f64::INFINITY, f64::min)
}

/// Each time divided among `count`.
#[allow(clippy::cast_precision_loss)]
fn per(count: usize, ms: Vec<f64>) -> Vec<f64> {
    ms.into_iter().map(|t| t / count as f64).collect()
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

/// Ten cups of one resin as its catalogue's law shows them.
fn ten_cups() -> Evidence {
    let resin = Evidence::of("ortho_polyester");
    let found = resin.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap();
    let law = found.law_at(&[]).unwrap();
    let cup_tests = (0..10u32)
        .map(|i| {
            let (t, dose) = (
                celsius(16.0 + f64::from(i % 5) * 3.0),
                si(1.0 + 0.2 * f64::from(i % 4)),
            );
            let mass = if i < 5 { 0.1 } else { 0.05 };
            let diameter = (4.0f64 * mass / 1100.0 / std::f64::consts::PI).cbrt();
            let cup = Cup {
                film_factor: law.film_factor,
                ..Cup::new(
                    si(mass),
                    si(diameter),
                    Thermal::new(si(1100.0), law.specific_heat, si(0.18)),
                    Cure::new(law.kinetics.with_dose(dose).unwrap(), law.gel_conversion),
                    t,
                    Place::Bench {
                        air: Course::Steady(t),
                        emissivity: 0.9,
                    },
                    si(604_800.0),
                )
            };
            let r = cup.reading(Cancel::NEVER).unwrap();
            CupTest {
                gel_to_peak: Some(Spread::exact(r.gel_to_peak)),
                peak_temperature: Some(Spread::exact(r.peak_temperature)),
                ..CupTest::of(
                    dose,
                    si(mass),
                    t,
                    Spread::exact(r.gel_time),
                    Source::of(Standing::Invented, "chosen for the benchmark"),
                )
            }
        })
        .collect();
    Evidence {
        gel_table: Some(vec![]),
        cup_tests,
        ..resin
    }
}

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let case = args.first().map_or("wall:harsh", String::as_str);
    let repeat: usize = args.get(1).map_or(15, |n| n.parse().unwrap());
    let parts: Vec<&str> = case.split(':').collect();
    match parts[..] {
        ["wall", name, ref within @ ..] => {
            let mut w = wall(name);
            if let [within] = within {
                w.peak_within = si(within.parse().unwrap());
                w.most_cells = 4000;
            }
            let ms = times(repeat, || w.run(Cancel::NEVER).unwrap());
            let run = w.run(Cancel::NEVER).unwrap();
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "peak_c": {}, "time_s": {}, "cells": {}, "steps": {}, "peak_error_k": {}}}"#,
                to_celsius(run.peak.temperature),
                run.peak.time.si(),
                run.cells.count,
                run.steps,
                run.cells.peak_error.si(),
            );
        }
        ["sweep", count] => {
            let walls = varied(count.parse().unwrap());
            let ms = per(
                walls.len(),
                times(repeat, || Wall::sweep(&walls, Cancel::NEVER).unwrap()),
            );
            let done = Wall::sweep(&walls, Cancel::NEVER).unwrap().rows;
            assert!(done.iter().all(|r| r.as_ref().is_ok_and(|s| s.converged)));
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "threads": {}}}"#,
                rayon::current_num_threads()
            );
        }
        ["fit"] => {
            let evidence = ten_cups();
            let fit = || evidence.calibrate(Catalogue::generic(), Cancel::NEVER).unwrap();
            let ms = times(repeat, fit);
            let found = fit();
            let off = found
                .residuals
                .iter()
                .map(|r| r.deviations.abs())
                .fold(0.0, f64::max);
            println!(
                r#"{{"case": "fit", "ms": {ms:?}, "cups": 10, "rows": {}, "told_by_rows": {:.2}, "widest_residual": {off:.3}}}"#,
                found.residuals.len(),
                found.told_by_rows,
            );
        }
        ["alone", name] => {
            // The same wall asked alone and as each row of a sweep on one thread, by turns.
            let one = wall(name);
            let many = vec![one.clone(); 64];
            let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
            let (mut alone, mut swept) = (vec![], vec![]);
            for _ in 0..3 {
                alone.push(cost(repeat * 64, || one.run(Cancel::NEVER).unwrap()));
                swept.push(
                    cost(repeat, || {
                        pool.install(|| Wall::sweep(&many, Cancel::NEVER).unwrap())
                    }) / 64.0,
                );
            }
            let run = one.run(Cancel::NEVER).unwrap();
            println!(
                r#"{{"case": "{case}", "alone_ms": {:.4}, "swept_ms": {:.4}, "peak_c": {:.4}, "cells": {}}}"#,
                fastest(alone),
                fastest(swept),
                to_celsius(run.peak.temperature),
                run.cells.count,
            );
        }
        ["plan"] => {
            // The demo's plan with and without what needs its exotherms, and its zones' walls one by one.
            let casting =
                Casting::from_toml(include_str!("../crates/gelwright/demo/moth_lantern.toml")).unwrap();
            let plan = casting.plan(Cancel::NEVER).unwrap();
            let walls: Vec<&Wall> = plan
                .zones
                .iter()
                .filter_map(|z| z.exotherm.as_ref().map(|e| &e.wall))
                .collect();
            let exact: Vec<f64> = walls
                .iter()
                .map(|w| {
                    let mut fine = (*w).clone();
                    fine.peak_within = si(0.01);
                    fine.most_cells = 8000;
                    fine.run(Cancel::NEVER).unwrap().peak.temperature.si()
                })
                .collect();
            let mut each = vec![];
            for (w, exact) in walls.iter().zip(&exact) {
                let ms = cost(repeat * 4, || w.run(Cancel::NEVER).unwrap());
                let run = w.run(Cancel::NEVER).unwrap();
                each.push(format!(
                    r#"{{"ms": {ms:.3}, "peak_c": {:.2}, "off_k": {:.3}, "cells": {}, "steps": {}}}"#,
                    to_celsius(run.peak.temperature),
                    run.peak.temperature.si() - exact,
                    run.cells.count,
                    run.steps
                ));
            }
            let catalogue = casting.catalogue().unwrap();
            let fit = cost(repeat, || {
                for (resin, tests) in &casting.cup_tests {
                    let evidence = Evidence {
                        cup_tests: tests.clone(),
                        ..Evidence::of(resin.as_str())
                    };
                    black_box(evidence.calibrate(&catalogue, Cancel::NEVER).unwrap());
                }
            });
            let all = cost(repeat, || {
                for w in &walls {
                    black_box(w.run(Cancel::NEVER).unwrap());
                }
            });
            let few = repeat.div_ceil(5);
            let with_cures = cost(few, || casting.plan(Cancel::NEVER).unwrap());
            let whole = cost(few, || casting.plan_without_cures(Cancel::NEVER).unwrap());
            println!(
                r#"{{"case": "plan", "with_cures_ms": {with_cures:.1}, "whole_ms": {whole:.1}, "fit_ms": {fit:.2}, "all_walls_ms": {all:.2}, "cups": {}, "walls": [{}]}}"#,
                plan.batches.len(),
                each.join(", ")
            );
        }
        ["plan", "alone"] => {
            // The demo's plan without smallest cures and nothing else, for a profiler.
            let casting =
                Casting::from_toml(include_str!("../crates/gelwright/demo/moth_lantern.toml")).unwrap();
            let ms = cost(repeat, || casting.plan_without_cures(Cancel::NEVER).unwrap());
            println!(r#"{{"case": "{case}", "ms": {ms:.2}}}"#);
        }
        ["air"] => {
            // The air of the demo's day: every film and the cleaning, near field, limits, fresh air needed; and what is lost of
            // the mass in it.
            let casting =
                Casting::from_toml(include_str!("../crates/gelwright/demo/moth_lantern.toml")).unwrap();
            let day = casting.plan(Cancel::NEVER).unwrap().air.unwrap();
            let of = |agent: &str| VapourInRoom {
                agent: agent.to_owned(),
                room: day.room,
                temperature: casting.shop.temperature,
                emissions: day
                    .sources
                    .iter()
                    .filter(|s| s.agent == agent)
                    .map(|s| Emission {
                        from: s.from.since(day.start),
                        until: s.until.since(day.start),
                        mass: s.mass,
                    })
                    .collect(),
                jurisdiction: day.jurisdiction,
                followed: None,
            };
            let vapours = [of("styrene"), of("acetone")];
            let ms = cost(repeat * 100, || {
                vapours
                    .iter()
                    .map(|v| v.exposure().unwrap().peak.get())
                    .sum::<f64>()
            });
            let lost = vapours.iter().map(|v| {
                let x = v.exposure().unwrap();
                (x.removed.si() + x.left.si()) / x.emitted.si() - 1.0
            });
            println!(
                r#"{{"case": "air", "ms": {ms:.4}, "sources": {}, "mass_off": {:.1e}}}"#,
                day.sources.len(),
                lost.map(f64::abs).fold(0.0, f64::max)
            );
        }
        ["cups"] => {
            let cups: Vec<Cup> = (0..2000)
                .map(|i| {
                    let mut c = cup(1.22e-3 * (0.9 + 0.0001 * f64::from(i)));
                    c.duration = q("3 h");
                    c
                })
                .collect();
            let ms = per(
                cups.len(),
                times(repeat, || Cup::sweep(&cups, Cancel::NEVER).unwrap()),
            );
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "threads": {}}}"#,
                rayon::current_num_threads()
            );
        }
        ["cup"] => {
            // One by one, and side by side in a sweep on one thread (all the same cup but for a last digit).
            let one = cup(1.22e-3);
            let ms = times(repeat * 20, || one.run(Cancel::NEVER).unwrap());
            let run = one.run(Cancel::NEVER).unwrap();
            let many: Vec<Cup> = (0..1000)
                .map(|i| cup(1.22e-3 * (1.0 + 1e-12 * f64::from(i))))
                .collect();
            let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
            let lanes = per(
                many.len(),
                times(repeat, || {
                    pool.install(|| Cup::sweep(&many, Cancel::NEVER).unwrap())
                }),
            );
            let first = *Cup::sweep(&many[..1], Cancel::NEVER).unwrap().rows[0]
                .as_ref()
                .unwrap();
            println!(
                r#"{{"case": "cup", "ms": {ms:?}, "peak_c": {}, "time_s": {}, "lane_ms": {lanes:?}, "lane_peak_c": {}, "lane_time_s": {}}}"#,
                to_celsius(run.peak),
                run.peak_time.si(),
                to_celsius(first.peak),
                first.peak_time.si(),
            );
        }
        ["fair cup"] => {
            // In depth: as deep as wide on a bench, as a data sheet's lines are fitted with it.
            let fair: Vec<Cup> = (0..200)
                .map(|i| {
                    let mut c = cup(1.22e-3);
                    c.cure.kinetics = kinetics(radical(), 280e3 * (1.0 + 1e-4 * f64::from(i)));
                    c.diameter = q("48.7 mm");
                    c.place = Place::Bench {
                        air: Course::Steady(celsius(20.0)),
                        emissivity: 0.9,
                    };
                    c.resolve = Resolve::Automatic;
                    c.duration = q("6 h");
                    c
                })
                .collect();
            let ms = per(
                fair.len(),
                times(repeat, || Cup::sweep(&fair, Cancel::NEVER).unwrap()),
            );
            let reading = times(repeat, || fair[0].reading(Cancel::NEVER).unwrap());
            let mut lumped = fair[0].clone();
            lumped.resolve = Resolve::Lumped;
            let lumped_reading = times(repeat, || lumped.reading(Cancel::NEVER).unwrap());
            let run = fair[0].run(Cancel::NEVER).unwrap();
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "reading_ms": {reading:?}, "lumped_reading_ms": {lumped_reading:?}, "peak_c": {}, "cells": {}, "threads": {}}}"#,
                to_celsius(run.probe_peak),
                run.in_depth.unwrap().cells,
                rayon::current_num_threads()
            );
        }
        ["memory", count] => {
            let start = memory("VmHWM");
            let walls = varied(count.parse().unwrap());
            let given = memory("VmHWM");
            let answers = Wall::sweep(&walls, Cancel::NEVER).unwrap().rows;
            assert!(answers.iter().all(|r| r.as_ref().is_ok_and(|s| s.converged)));
            println!(
                r#"{{"case": "{case}", "from": "Rust", "start_mib": {start:.1}, "given_mib": {given:.1}, "peak_mib": {:.1}}}"#,
                memory("VmHWM")
            );
        }
        _ => panic!("no case called {case}"),
    }
}
