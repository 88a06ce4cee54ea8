//! The part `kills` of `cargo xtask hard`: the C example that draws a plan's needs from a stock in SQLite is killed at
//! random moments, and its books balance afterwards.
//!
//! What is killed is the process, so that what the system has taken from it stays: a power cut is not tried.

use std::collections::BTreeMap;
use std::hash::{BuildHasher, Hasher, RandomState};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::native::{self, Build};
use crate::run::{find, say, write};

/// A panel of two plies, planned in no time, whose needs are three materials.
const PANEL: &str = r#"
version = 2
name = "panel to be killed"
[shop]
temperature = "18 degC"
humidity = "60 %"
start = "08:00"
bench = { scale = { readability = "0.1 g" } }
[mould]
wall = "grp_mould"
thickness = "6 mm"
[recipes.body]
resin = "ortho_polyester"
parts = [{ material = "mekp_9", dose = "1.5 phr" }]
[[zones]]
name = "panel"
area = "0.5 m^2"
layers = [{ laminate = { recipe = "body", plies = ["csm_450", "csm_450"], glass_content = "30 wt%" } }]
"#;
/// A lot is so much of what one plan needs: a plan is drawn from several.
const LOT: f64 = 0.3;
/// So many lots of each material make a full shelf.
const LOTS: usize = 40;
/// A list shows each lot to 0.1 g, and a plan touches this many lots of a material or fewer.
const GRAMS: f64 = 0.1 * 6.0;

/// Grams of each material.
type Grams = BTreeMap<String, f64>;

/// What the program lists.
struct Books {
    stock: Grams,
    drawn: Grams,
}

struct Stock {
    program: PathBuf,
    file: PathBuf,
    casting: PathBuf,
}

impl Stock {
    fn run(&self, words: &[&str]) -> Command {
        let mut command = match find(&["nice"]) {
            Some(nice) => {
                let mut command = Command::new(nice);
                command.args(["-n", "19"]).arg(&self.program);
                command
            }
            None => Command::new(&self.program),
        };
        command.arg(&self.file).args(words);
        command
    }

    /// What it prints, with the status it ends with.
    fn says(&self, words: &[&str]) -> Result<(Option<i32>, String), String> {
        self.ends(self.run(words))
    }

    fn ends(&self, mut command: Command) -> Result<(Option<i32>, String), String> {
        let done = command
            .output()
            .map_err(|e| format!("{}: {e}", self.program.display()))?;
        Ok((
            done.status.code(),
            String::from_utf8_lossy(&done.stdout).into_owned(),
        ))
    }

    fn draw(&self, key: &str) -> Command {
        self.run(&["draw", &self.casting.display().to_string(), key])
    }

    fn books(&self) -> Result<Books, String> {
        let (code, listed) = self.says(&[])?;
        if code != Some(0) {
            return Err(format!("the stock can not be listed any more: {code:?} {listed}"));
        }
        let mut books = Books {
            stock: Grams::new(),
            drawn: Grams::new(),
        };
        for line in listed.lines() {
            let (part, line) = match line.strip_prefix("drawn for '").and_then(|l| l.split_once("': ")) {
                Some((_, rest)) => (&mut books.drawn, rest),
                None => (&mut books.stock, line),
            };
            let words: Vec<&str> = line.split_whitespace().collect();
            let grams = words.iter().rev().nth(1).and_then(|w| w.parse::<f64>().ok());
            let (Some(material), Some(grams)) = (words.first(), grams) else {
                return Err(format!("a line of the list can not be read: {line}"));
            };
            *part.entry((*material).to_owned()).or_default() += grams;
        }
        Ok(books)
    }

    /// What a plan needs, as an empty shelf says.
    fn needs(&self) -> Result<Grams, String> {
        let (code, said) = self.ends(self.draw("empty shelf"))?;
        let needs: Grams = said
            .lines()
            .filter_map(|l| {
                let mut words = l.strip_prefix("short: ")?.split_whitespace();
                Some((words.next()?.to_owned(), words.next()?.parse().ok()?))
            })
            .collect();
        if code == Some(3) && needs.len() > 1 {
            Ok(needs)
        } else {
            Err(format!(
                "an empty shelf should be short of several materials: {code:?} {said}"
            ))
        }
    }

    fn journal(&self) -> PathBuf {
        let mut name = self.file.clone().into_os_string();
        name.push("-journal");
        name.into()
    }

    /// Fills a new shelf.
    fn fill(&self, needs: &Grams) -> Result<(), String> {
        let _ = std::fs::remove_file(&self.file);
        let _ = std::fs::remove_file(self.journal());
        for (material, grams) in needs {
            for lot in 0..LOTS {
                let words = [
                    "add",
                    material,
                    &format!("lot-{lot:03}"),
                    &(LOT * grams).to_string(),
                ];
                if self.says(&words)?.0 != Some(0) {
                    return Err(format!("{material} can not be put on the shelf"));
                }
            }
        }
        Ok(())
    }
}

/// Whether all of a plan's needs went from the stock to what is drawn (true) or none (false).
fn all_or_nothing(before: &Books, after: &Books, needs: &Grams) -> Result<bool, String> {
    let moved = |from: &Grams, to: &Grams, m: &str| {
        to.get(m).copied().unwrap_or_default() - from.get(m).copied().unwrap_or_default()
    };
    let mut drawn = None;
    for (material, need) in needs {
        let left = moved(&before.stock, &after.stock, material);
        let taken = moved(&before.drawn, &after.drawn, material);
        let all = (taken - need).abs() <= GRAMS;
        if (left + taken).abs() > GRAMS || !(all || taken.abs() <= GRAMS) || *drawn.get_or_insert(all) != all
        {
            return Err(format!(
                "the books do not balance: of {need} g {material}, {taken} g are drawn and {} g left the stock",
                -left
            ));
        }
    }
    Ok(drawn == Some(true))
}

/// A number from 0 to 1, another one each time.
fn random() -> f64 {
    (RandomState::new().build_hasher().finish() >> 11) as f64 / (1u64 << 53) as f64
}

/// What came of the kills.
#[derive(Default)]
struct Tally {
    finished: u32,
    killed: u32,
    /// With a transaction begun and not ended: its journal lay beside the file.
    midway: u32,
    drawn: u32,
}

/// Kills so many draws.
pub(crate) fn kills(root: &Path, wanted: u32) -> Result<String, String> {
    native::install(root, &root.join("target/abi/install"), Build::Checked)?;
    killed(root, wanted)
}

/// The same with the library that is installed.
pub(crate) fn killed(root: &Path, wanted: u32) -> Result<String, String> {
    let stock = Stock {
        program: native::inventory_program(root)?,
        file: root.join("target/hard/stock.db"),
        casting: root.join("target/hard/panel.toml"),
    };
    write(&stock.casting, PANEL)?;
    let _ = std::fs::remove_file(&stock.file);
    let begun = Instant::now();
    let needs = stock.needs()?;
    let usual = begun.elapsed();
    say(&format!("killing {} {wanted} times", stock.program.display()));
    let mut tally = Tally::default();
    while tally.killed < wanted {
        stock.fill(&needs)?;
        while one(&stock, &needs, usual, &mut tally)? && tally.killed < wanted {}
    }
    let told = format!(
        "kills: {} draws, {} killed, {} of them within their transaction; {} were drawn wholly, the others not at all",
        tally.finished + tally.killed,
        tally.killed,
        tally.midway,
        tally.drawn
    );
    if tally.midway == 0 {
        return Err(format!("{told}: no kill hit a transaction, so nothing is shown"));
    }
    Ok(told)
}

/// Draws once and kills it somewhere, or too late; false once the shelf is short.
fn one(stock: &Stock, needs: &Grams, usual: Duration, tally: &mut Tally) -> Result<bool, String> {
    let before = stock.books()?;
    let key = format!("draw {}", tally.finished + tally.killed);
    let mut child = stock
        .draw(&key)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|e| format!("{}: {e}", stock.program.display()))?;
    let lost = |e| format!("a draw is lost: {e}");
    // Every other time anywhere in its run; else soon after its transaction begins, which is short.
    if random() < 0.5 {
        sleep(usual.mul_f64(1.2 * random()));
    } else {
        while child.try_wait().map_err(lost)?.is_none() && !stock.journal().exists() {
            sleep(Duration::from_micros(20));
        }
        sleep(Duration::from_micros((4000.0 * random() * random()) as u64));
    }
    let ended = child.try_wait().map_err(lost)?;
    if ended.is_none() {
        child.kill().map_err(lost)?;
    }
    let code = child.wait().map_err(lost)?.code();
    let midway = code.is_none() && std::fs::metadata(stock.journal()).is_ok_and(|m| m.len() > 0);
    let after = stock.books()?;
    let drawn = all_or_nothing(&before, &after, needs).map_err(|why| {
        format!(
            "{why}; killed {}, the file is {}",
            if midway { "midway" } else { "before or after" },
            stock.file.display()
        )
    })?;
    // The same key again draws what was not drawn, and nothing twice.
    let again = stock.ends(stock.draw(&key))?.0;
    let twice = all_or_nothing(&after, &stock.books()?, needs)?;
    if drawn && twice {
        return Err(format!("'{key}' was drawn twice"));
    }
    if !drawn && again == Some(0) && !twice {
        return Err(format!(
            "'{key}' was killed before anything was drawn, and is taken as drawn"
        ));
    }
    match code {
        Some(0) if !drawn => {
            return Err("a draw said that it was done, and its needs are still in the stock".into());
        }
        Some(3) => return Ok(false),
        Some(0) => tally.finished += 1,
        Some(other) => return Err(format!("a draw failed with status {other}")),
        None => tally.killed += 1,
    }
    tally.midway += u32::from(midway);
    tally.drawn += u32::from(drawn);
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn books(stock: [f64; 2], drawn: [f64; 2]) -> Books {
        let grams = |of: [f64; 2]| ["resin", "mat"].map(str::to_owned).into_iter().zip(of).collect();
        Books {
            stock: grams(stock),
            drawn: grams(drawn),
        }
    }

    #[test]
    fn half_a_draw_is_noticed() {
        let needs: Grams = [("resin".to_owned(), 100.0), ("mat".to_owned(), 50.0)].into();
        let before = books([1000.0, 500.0], [0.0, 0.0]);
        let after = |stock, drawn| all_or_nothing(&before, &books(stock, drawn), &needs);
        assert_eq!(after([1000.0, 500.0], [0.0, 0.0]), Ok(false));
        assert_eq!(after([900.0, 450.0], [100.0, 50.0]), Ok(true));
        // one material only; from the stock and not drawn; drawn and still there; half of each
        assert!(after([900.0, 500.0], [100.0, 0.0]).is_err());
        assert!(after([900.0, 450.0], [0.0, 0.0]).is_err());
        assert!(after([1000.0, 500.0], [100.0, 50.0]).is_err());
        assert!(after([950.0, 475.0], [50.0, 25.0]).is_err());
    }
}
