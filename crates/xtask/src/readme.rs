//! What the README shows is what happens.
//!
//! A block under `<!-- check: demo -->` is what `cargo xtask demo` prints (a line `...` stands for any lines).
//! A block under `<!-- check: python -->` or `<!-- check: c -->` is run; one under `<!-- prints -->` right
//! after it is what it prints. Rust blocks are doc tests of the core crate.

use std::path::Path;

use crate::native::{Link, compile};
use crate::run::{Run, read, write};
use crate::{Outcome, Sheet, demo_run, python};

/// A fenced block with the check that stands above it.
struct Block {
    check: String,
    text: String,
    line: usize,
}

fn blocks(markdown: &str) -> Vec<Block> {
    let mut found = vec![];
    let mut check: Option<String> = None;
    let mut open: Option<Block> = None;
    for (i, line) in markdown.lines().enumerate() {
        if let Some(block) = open.as_mut() {
            if line.trim_end() == "```" {
                found.extend(open.take());
            } else {
                block.text.push_str(line);
                block.text.push('\n');
            }
        } else if line.starts_with("```") {
            open = Some(Block {
                check: check.take().unwrap_or_default(),
                text: String::new(),
                line: i + 2,
            });
        } else if let Some(comment) = line
            .trim()
            .strip_prefix("<!--")
            .and_then(|l| l.strip_suffix("-->"))
        {
            let comment = comment.trim();
            if comment == "prints" || comment.starts_with("check:") {
                check = Some(comment.trim_start_matches("check:").trim().to_owned());
            }
        } else if !line.trim().is_empty() {
            check = None;
        }
    }
    found.retain(|b| !b.check.is_empty());
    found
}

/// Whether `shown` is `printed`, a line `...` in `shown` standing for any lines.
fn agrees(shown: &str, printed: &str) -> bool {
    fn lines(text: &str) -> Vec<&str> {
        text.trim_matches('\n').lines().map(str::trim_end).collect()
    }
    fn go(shown: &[&str], printed: &[&str]) -> bool {
        match (shown, printed) {
            ([], []) => true,
            (["...", rest @ ..], _) => (0..=printed.len()).any(|n| go(rest, &printed[n..])),
            ([a, s @ ..], [b, p @ ..]) => a == b && go(s, p),
            _ => false,
        }
    }
    go(&lines(shown), &lines(printed))
}

fn compare(block: &Block, printed: &str) -> Outcome {
    if agrees(&block.text, printed) {
        Ok(())
    } else {
        Err(format!(
            "README.md line {}: this is not what is printed, which is:\n{printed}",
            block.line
        ))
    }
}

/// Runs a block of Python as a file in `folder`; gives what it prints.
fn run_python(block: &Block, interpreter: &Path, folder: &Path) -> Result<String, String> {
    let file = folder.join("first_use.py");
    write(&file, &block.text)?;
    Run::new(interpreter, folder)
        .arg(&file)
        .no_env("PYTHONPATH")
        .output()
}

/// Runs the page's Python by another interpreter, in another folder: the first use of a package just installed.
pub(crate) fn first_use(root: &Path, interpreter: &Path, folder: &Path) -> Outcome {
    let found = blocks(&read(&root.join("README.md"))?);
    let mut python = pairs(&found).into_iter().filter(|(b, _)| b.check == "python");
    python.try_for_each(|(block, shown)| {
        let printed = run_python(block, interpreter, folder)?;
        shown.map_or(Ok(()), |shown| compare(shown, &printed))
    })
}

/// Runs a checked block; gives what it prints.
fn run(root: &Path, block: &Block) -> Result<String, String> {
    match block.check.as_str() {
        "demo" => demo_run(root).output(),
        "python" => run_python(
            block,
            &python::venv_bin(root, "python"),
            &root.join("target/readme"),
        ),
        "c" => {
            let file = root.join("target/readme/first_use.c");
            write(&file, &block.text)?;
            Run::new(compile(root, &file, Link::Shared, &[])?, root).output()
        }
        other => Err(format!("README.md line {}: no such check: {other}", block.line)),
    }
}

/// Each block that is run, with the block that shows what it prints.
fn pairs(found: &[Block]) -> Vec<(&Block, Option<&Block>)> {
    let mut all = vec![];
    let mut rest = found.iter().peekable();
    while let Some(block) = rest.next() {
        let shown = if block.check == "demo" {
            Some(block)
        } else {
            rest.next_if(|b| b.check == "prints")
        };
        all.push((block, shown));
    }
    all
}

/// The part `readme` of the tests.
pub(crate) fn test(root: &Path, sheet: &mut Sheet) -> Outcome {
    let found = blocks(&read(&root.join("README.md"))?);
    if found.is_empty() {
        return Err("README.md has no checked block".into());
    }
    pairs(&found).into_iter().try_for_each(|(block, shown)| {
        sheet.step(&format!("readme: {} at line {}", block.check, block.line), || {
            let printed = run(root, block)?;
            shown.map_or(Ok(()), |shown| compare(shown, &printed))
        })
    })
}

/// What is printed, with the gaps (`...`) of what was shown: each stretch between gaps is found again by its first
/// line, up to the first digit, and keeps its number of lines.
fn excerpt<'a>(shown: &str, printed: &'a str) -> Vec<&'a str> {
    let printed: Vec<&str> = printed.trim_matches('\n').lines().map(str::trim_end).collect();
    let shown: Vec<&str> = shown.trim_matches('\n').lines().collect();
    if !shown.contains(&"...") {
        return printed;
    }
    let mut at = 0;
    let mut kept = vec![];
    for stretch in shown.split(|l| *l == "...") {
        let Some(first) = stretch.first() else { continue };
        let mark = first.split(|c: char| c.is_ascii_digit()).next().unwrap_or(first);
        let Some(found) = printed[at..].iter().position(|l| l.starts_with(mark)) else {
            continue;
        };
        if found > 0 {
            kept.push("...");
        }
        let end = (at + found + stretch.len()).min(printed.len());
        kept.extend(&printed[at + found..end]);
        at = end;
    }
    if at < printed.len() {
        kept.push("...");
    }
    kept
}

/// `cargo xtask readme`: writes into the README what its blocks print; see [`excerpt`] for a block with gaps.
pub(crate) fn fill(root: &Path) -> Outcome {
    let path = root.join("README.md");
    let text = read(&path)?;
    let found = blocks(&text);
    let mut failed = vec![];
    for (block, shown) in pairs(&found) {
        let Some(shown) = shown else { continue };
        match run(root, block) {
            Err(why) => failed.push(why),
            Ok(printed) if agrees(&shown.text, &printed) => {}
            Ok(printed) => {
                let tidy = excerpt(&shown.text, &printed);
                let (old, new) = (
                    format!("\n{}```", shown.text),
                    format!("\n{}\n```", tidy.join("\n")),
                );
                write(&path, read(&path)?.replacen(&old, &new, 1))?;
            }
        }
    }
    if failed.is_empty() {
        Ok(())
    } else {
        Err(failed.join("\n"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_stands_for_any_lines() {
        assert!(agrees("a\n...\nd\n", "a\nb\nc\nd\n"));
        assert!(agrees("a\n...\n", "a\n"));
        assert!(!agrees("a\n...\nd\n", "a\nb\nc\n"));
        assert!(!agrees("a\n", "a\nb\n"));
    }

    #[test]
    fn an_excerpt_keeps_its_gaps() {
        let shown = "a 1\n...\nd 2\ne\n";
        assert_eq!(excerpt(shown, "a 7\nb\nc\nd 8\nf\n"), ["a 7", "...", "d 8", "f"]);
        assert_eq!(excerpt(shown, "a 7\nd 8\nf\ng\n"), ["a 7", "d 8", "f", "..."]);
        assert_eq!(excerpt("old\n", "new\nlines\n"), ["new", "lines"]);
    }

    #[test]
    fn blocks_carry_the_check_above_them() {
        let found = blocks(
            "<!-- check: c -->\n```c\nint x;\n```\n\n<!-- prints -->\n```text\n1\n```\n```text\nfree\n```\n",
        );
        let checks: Vec<_> = found
            .iter()
            .map(|b| (b.check.as_str(), b.text.as_str(), b.line))
            .collect();
        assert_eq!(checks, [("c", "int x;\n", 3), ("prints", "1\n", 8)]);
    }
}
