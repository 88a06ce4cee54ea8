//! What draws of the demo's plan cost: a JSON line (see `README.md`). `cargo bench -p gelwright --bench risk -- 5000` makes so
//! many; 500, if not said.

use std::time::Instant;

use gelwright::plan::Casting;
use gelwright::risk::{RiskDraws, RiskSpreads};
use gelwright::{Cancel, Result};

/// Seconds that all threads of this process have spent on a core, where the system tells (Linux: proc(5), in 1/100 s).
fn on_cores() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let (_, fields) = stat.rsplit_once(')')?;
    let ticks: f64 = fields
        .split_whitespace()
        .skip(11)
        .take(2)
        .filter_map(|t| t.parse::<f64>().ok())
        .sum();
    Some(ticks / 100.0)
}

fn main() -> Result<()> {
    let count = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(500);
    let casting = Casting::from_toml(include_str!("../crates/gelwright/demo/moth_lantern.toml"))?;
    let mut draws = RiskDraws::begin(&casting, &RiskSpreads::default(), 0);
    let (begun, before) = (Instant::now(), on_cores());
    draws.go_on(count, Cancel::NEVER)?;
    let wall = begun.elapsed().as_secs_f64();
    let spent = on_cores().zip(before).map_or(f64::NAN, |(a, b)| a - b);
    let risk = draws.read(0, Cancel::NEVER)?;
    println!(
        r#"{{"case": "draws of the demo", "draws": {count}, "wall_s": {wall:.1}, "core_s": {spent:.1}, "comes_out": {}}}"#,
        risk.comes_out.share.get()
    );
    Ok(())
}
