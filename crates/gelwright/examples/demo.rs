//! The main job on the demo's two castings: card and plan of the careful one, what to change in the careless one, and a
//! page of both. Run it with `cargo xtask demo`.

use std::path::PathBuf;
use std::process::ExitCode;

use gelwright::Cancel;
use gelwright::card::{Language, page_of};
use gelwright::plan::Casting;

const CAREFUL: &str = include_str!("../demo/moth_lantern.toml");
const CARELESS: &str = include_str!("../demo/moth_lantern_careless.toml");

fn run() -> gelwright::Result<()> {
    let careful = Casting::from_toml(CAREFUL)?.plan(Cancel::NEVER)?;
    let careless = Casting::from_toml(CARELESS)?.plan(Cancel::NEVER)?;
    println!("{}", careful.sheet(Language::English));
    println!("{}\n", "=".repeat(98));
    println!("{}", careless.sheet(Language::English));
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| PathBuf::from("target"), PathBuf::from);
    let path = target.join("demo").join("moth_lantern.html");
    let written = std::fs::create_dir_all(target.join("demo"))
        .and_then(|()| std::fs::write(&path, page_of(&[careful, careless], Language::English)));
    match written {
        Ok(()) => println!("Both plans as a page: {}", path.display()),
        Err(e) => println!("The page could not be written to {}: {e}", path.display()),
    }
    Ok(())
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}
