//! Times of the heat module, as JSON lines for `heat_peer.py` (see `README.md`).
//!
//! `cargo bench -p gelwright --bench heat -- CASE [REPEAT]`, where CASE is `wall:harsh`, `wall:mild`, `wall:radical`,
//! `wall:layered`, `cups`, `sweep:COUNT`.
#![allow(clippy::unwrap_used)]

use std::time::Instant;

use gelwright::cure::{FreeRadical, KamalSourour, Kinetics, Radicals, RateConstant, RateLaw};
use gelwright::heat::{Course, Cup, Cure, Face, Layer, Place, Thermal, Wall, sweep, sweep_cups};
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

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let case = args.first().map_or("wall:harsh", String::as_str).to_owned();
    let repeat: usize = args.get(1).map_or(15, |n| n.parse().unwrap());
    let (kind, name) = case.split_once(':').unwrap_or((&case, ""));
    match kind {
        "wall" => {
            let w = wall(name);
            let mut ms = vec![];
            let mut run = w.run().unwrap();
            for _ in 0..repeat {
                let t = Instant::now();
                run = w.run().unwrap();
                ms.push(t.elapsed().as_secs_f64() * 1e3);
            }
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "peak_c": {}, "time_s": {}, "cells": {}, "steps": {}, "peak_error_k": {}}}"#,
                to_celsius(run.peak.temperature),
                run.peak.time.si(),
                run.cells.count,
                run.steps,
                run.cells.peak_error.si(),
            );
        }
        "sweep" => {
            // Heat and rate vary by a fifth; every wall gets its own error control.
            let count: usize = name.parse().unwrap();
            #[allow(clippy::cast_precision_loss)]
            let walls: Vec<Wall> = (0..count)
                .map(|i| {
                    let x = i as f64 / count as f64;
                    let y = (i * 7919 % count) as f64 / count as f64;
                    slab(
                        1.22e-3 * (0.9 + 0.2 * x),
                        350e3 * (0.8 + 0.2 * y),
                        thermal(1100.0, 1900.0, 0.17),
                    )
                })
                .collect();
            let mut ms = vec![];
            for _ in 0..repeat {
                let t = Instant::now();
                let done = sweep(&walls, Cancel::NEVER);
                ms.push(t.elapsed().as_secs_f64() * 1e3 / count as f64);
                assert!(done.iter().all(|r| r.as_ref().is_ok_and(|s| s.converged)));
            }
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "threads": {}}}"#,
                rayon_threads()
            );
        }
        "cups" => {
            let cups: Vec<Cup> = (0..2000)
                .map(|i| {
                    let x = f64::from(i) / 2000.0;
                    let cure = Cure::new(kinetics(kamal(1.22e-3 * (0.9 + 0.2 * x)), 350e3), si(0.05));
                    let place = Place::Coefficient {
                        coefficient: q("10 W/(m^2*K)"),
                        surroundings: Course::Steady(celsius(20.0)),
                    };
                    Cup::new(
                        q("100 g"),
                        q("60 mm"),
                        thermal(1100.0, 1900.0, 0.17),
                        cure,
                        celsius(20.0),
                        place,
                        q("3 h"),
                    )
                })
                .collect();
            let mut ms = vec![];
            let mut first = None;
            for _ in 0..repeat {
                let t = Instant::now();
                let done = sweep_cups(&cups, Cancel::NEVER);
                ms.push(t.elapsed().as_secs_f64() * 1e3 / 2000.0);
                first = done
                    .into_iter()
                    .next()
                    .map(|r| r.map(|r| (to_celsius(r.peak), r.peak_time.si(), r.gel.map(Quantity::si))));
            }
            println!(
                r#"{{"case": "{case}", "ms": {ms:?}, "threads": {}, "first": "{first:?}"}}"#,
                rayon_threads()
            );
        }
        other => panic!("no case called {other}"),
    }
}

/// Threads of the pool, as `RAYON_NUM_THREADS` or the machine sets them.
fn rayon_threads() -> usize {
    std::env::var("RAYON_NUM_THREADS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or_else(|| std::thread::available_parallelism().map_or(1, usize::from))
}
