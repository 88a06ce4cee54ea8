//! The C side: header, libraries, the C and C++ programs of tests/abi.

use std::path::{Path, PathBuf};

use crate::run::{Run, files, find, read, say, write};
use crate::{Outcome, Sheet, kills};

const STRICT: [&str; 6] = ["-Wall", "-Wextra", "-Wpedantic", "-Werror", "-g", "-O1"];

/// What a program linked against the static library needs besides it (`rustc --print native-static-libs`).
const STATIC_NEEDS: &str = if cfg!(target_os = "macos") {
    "-liconv -lSystem -lc -lm"
} else {
    "-lgcc_s -lutil -lrt -lpthread -lm -ldl -lc"
};

/// Writes the header, or compares it.
pub(crate) fn header(root: &Path, check: bool) -> Outcome {
    let made = Run::cargo(root)
        .args(["run", "--quiet", "--package", "gelwright-header"])
        .output()?;
    let path = root.join("include/gelwright.h");
    if read(&path).is_ok_and(|old| old == made) {
        return Ok(());
    }
    if check {
        return Err(
            "include/gelwright.h is not what crates/gelwright-capi says: run `cargo xtask header`".into(),
        );
    }
    say("writing include/gelwright.h");
    write(&path, made)
}

/// The compiler of `kind`: the environment's choice, else the usual names.
fn compiler(kind: &str) -> Option<PathBuf> {
    let (variable, names): (&str, &[&str]) = match kind {
        "c" => ("CC", &["cc", "gcc", "clang"]),
        _ => ("CXX", &["c++", "g++", "clang++"]),
    };
    std::env::var(variable)
        .ok()
        .and_then(|name| find(&[&name]))
        .or_else(|| find(names))
}

fn c_compiler() -> Result<PathBuf, String> {
    compiler("c").ok_or_else(|| {
        "no C compiler found: install one (Debian and Ubuntu: gcc), or set CC to its path".to_owned()
    })
}

fn abi_version(root: &Path) -> Result<String, String> {
    read(&root.join("include/gelwright.h"))?
        .lines()
        .find_map(|l| l.strip_prefix("#define GW_ABI_VERSION "))
        .map(str::to_owned)
        .ok_or_else(|| "include/gelwright.h has no GW_ABI_VERSION".to_owned())
}

/// How the libraries are built.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Build {
    /// As the tests are, with debug assertions.
    Checked,
    /// As they are given away.
    Release,
}

impl Build {
    fn folder(self, root: &Path) -> PathBuf {
        root.join(if self == Build::Release {
            "target/release"
        } else {
            "target/debug"
        })
    }
}

/// Builds both libraries; gives the folder they are in.
pub(crate) fn build(root: &Path, how: Build) -> Result<PathBuf, String> {
    let mut run = Run::cargo(root).args(["build", "--package", "gelwright-capi"]);
    if how == Build::Release {
        run = run.arg("--release");
    }
    run.go()?;
    Ok(how.folder(root))
}

/// The shared library as built.
pub(crate) fn shared_library(root: &Path, how: Build) -> PathBuf {
    how.folder(root).join(format!(
        "{}gelwright{}",
        std::env::consts::DLL_PREFIX,
        std::env::consts::DLL_SUFFIX
    ))
}

/// Installs header, libraries and the pkg-config file under `prefix`.
pub(crate) fn install(root: &Path, prefix: &Path, how: Build) -> Outcome {
    let built = build(root, how)?;
    let prefix = std::path::absolute(prefix).map_err(|e| e.to_string())?;
    let (include, lib) = (prefix.join("include"), prefix.join("lib"));
    write(
        &include.join("gelwright.h"),
        read(&root.join("include/gelwright.h"))?,
    )?;
    let copy = |from: PathBuf, to: PathBuf| -> Outcome {
        let content = std::fs::read(&from).map_err(|e| format!("{}: {e}", from.display()))?;
        let _ = std::fs::remove_file(&to);
        write(&to, content)
    };
    copy(built.join("libgelwright.a"), lib.join("libgelwright.a"))?;
    let (version, abi) = (env!("CARGO_PKG_VERSION"), abi_version(root)?);
    let names = if cfg!(target_os = "macos") {
        [
            format!("libgelwright.{version}.dylib"),
            format!("libgelwright.{abi}.dylib"),
            "libgelwright.dylib".into(),
        ]
    } else {
        [
            format!("libgelwright.so.{version}"),
            format!("libgelwright.so.{abi}"),
            "libgelwright.so".into(),
        ]
    };
    copy(shared_library(root, how), lib.join(&names[0]))?;
    #[cfg(unix)]
    for (link, target) in [(&names[1], &names[0]), (&names[2], &names[1])] {
        let _ = std::fs::remove_file(lib.join(link));
        std::os::unix::fs::symlink(target, lib.join(link)).map_err(|e| format!("{link}: {e}"))?;
    }
    let pc = read(&root.join("include/gelwright.pc.in"))?
        .replace("@PREFIX@", &prefix.display().to_string())
        .replace("@VERSION@", version)
        .replace("@STATIC@", STATIC_NEEDS);
    write(&lib.join("pkgconfig/gelwright.pc"), pc)?;
    say(&format!("installed under {}", prefix.display()));
    Ok(())
}

/// How a program is linked.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Link {
    Static,
    Shared,
}

/// Compiles `source` against the installed tree; gives the program.
pub(crate) fn compile(root: &Path, source: &Path, link: Link, more: &[String]) -> Result<PathBuf, String> {
    let stem = source
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let is_c = source.extension().is_some_and(|e| e == "c");
    let compiler = if is_c {
        c_compiler()?
    } else {
        compiler("c++").ok_or("no C++ compiler")?
    };
    let tree = root.join("target/abi/install");
    let lib = tree.join("lib");
    let how = if link == Link::Static { "static" } else { "shared" };
    let program = root
        .join("target/abi")
        .join(format!("{stem}-{}-{how}", if is_c { "c" } else { "cpp" }));
    let mut run = Run::new(compiler, root)
        .arg(if is_c { "-std=c11" } else { "-std=c++17" })
        .args(STRICT)
        .arg(format!("-I{}", tree.join("include").display()))
        .arg(source)
        .arg("-o")
        .arg(&program);
    run = match link {
        Link::Static => run
            .arg(lib.join("libgelwright.a"))
            .args(more)
            .args(STATIC_NEEDS.split(' ')),
        Link::Shared => run
            .arg(format!("-L{}", lib.display()))
            .arg("-lgelwright")
            .arg(format!("-Wl,-rpath,{}", lib.display()))
            .args(more)
            .arg("-lm"),
    };
    run.go()?;
    Ok(program)
}

/// The part `c` of the tests.
pub(crate) fn test(root: &Path, sheet: &mut Sheet) -> Outcome {
    c_compiler()?;
    let abi = root.join("tests/abi");
    sheet.step("c: libraries and installed tree", || {
        install(root, &root.join("target/abi/install"), Build::Checked)
    })?;
    sheet.step("c: exported symbols are those of the header", || exports(root))?;
    for (source, link) in [
        ("conventions.c", Link::Static),
        ("conventions.c", Link::Shared),
        ("conventions.cpp", Link::Static),
        ("conventions.cpp", Link::Shared),
        ("fork.c", Link::Shared),
    ] {
        let how = if link == Link::Static { "static" } else { "shared" };
        let name = format!("c: {source}, {how}");
        if source == "fork.c" && cfg!(not(unix)) {
            continue;
        }
        if source.ends_with("cpp") && compiler("c++").is_none() {
            sheet.skip(&name, "a C++ compiler (Debian and Ubuntu: g++)");
            continue;
        }
        sheet.step(&name, || {
            let program = compile(root, &abi.join(source), link, &[])?;
            Run::new(program, root).go()
        })?;
    }
    sheet.step("c: vectors", || {
        let program = compile(root, &abi.join("vectors.c"), Link::Shared, &[])?;
        Run::new(program, root)
            .args(files(&root.join("tests/vectors"), "json"))
            .go()
    })?;
    if let Some(pkg_config) = find(&["pkg-config"]) {
        sheet.step("c: pkg-config knows it", || {
            let ask = |what: &str| {
                Run::new(&pkg_config, root)
                    .args([what, "gelwright"])
                    .env("PKG_CONFIG_PATH", root.join("target/abi/install/lib/pkgconfig"))
                    .output()
            };
            let (version, flags) = (ask("--modversion")?, ask("--libs")?);
            if version.trim() == env!("CARGO_PKG_VERSION") && flags.contains("-lgelwright") {
                Ok(())
            } else {
                Err(format!("pkg-config says {version} {flags}"))
            }
        })?;
    }
    sheet.step("c: a plan drawn from a stock in SQLite", || inventory(root))?;
    match find(&["valgrind"]) {
        None => say("valgrind is not here: memory is not checked (optional; Debian and Ubuntu: valgrind)"),
        Some(valgrind) => sheet.step("c: memory (valgrind)", || {
            for program in ["conventions-c-shared", "conventions-c-static"] {
                Run::new(&valgrind, root)
                    .args([
                        "-q",
                        "--leak-check=full",
                        "--errors-for-leak-kinds=definite,indirect,possible",
                    ])
                    .args([
                        "--error-exitcode=9",
                        "--fair-sched=yes",
                        "--suppressions=tests/abi/valgrind.supp",
                    ])
                    .arg(root.join("target/abi").join(program))
                    .env("RUST_BACKTRACE", "0")
                    .go()?;
            }
            Ok(())
        })?,
    }
    Ok(())
}

/// The shared library exports what the header declares, no more and no less.
fn exports(root: &Path) -> Outcome {
    let header = read(&root.join("include/gelwright.h"))?;
    let mut declared: Vec<String> = header
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .filter_map(|l| {
            let (before, _) = l.split_once('(')?;
            let name = before.rsplit([' ', '*']).next()?;
            name.starts_with("gw_").then(|| name.to_owned())
        })
        .collect();
    declared.sort();
    let Some(nm) = find(&["nm", "llvm-nm"]) else {
        say("nm is not here: the exported symbols are not compared");
        return Ok(());
    };
    let flag = if cfg!(target_os = "macos") { "-gU" } else { "-D" };
    let listed = Run::new(nm, root)
        .args([flag, "--defined-only"])
        .arg(shared_library(root, Build::Checked))
        .output()?;
    let mut exported: Vec<String> = listed
        .lines()
        .filter_map(|l| l.split_whitespace().last())
        .map(|s| s.trim_start_matches('_').to_owned())
        .collect();
    exported.sort();
    if declared == exported {
        say(&format!("{} functions", declared.len()));
        Ok(())
    } else {
        Err(format!(
            "the header declares {declared:?}, the library exports {exported:?}"
        ))
    }
}

/// Compiles the example that draws a plan from a stock in SQLite; gives the program.
pub(crate) fn inventory_program(root: &Path) -> Result<PathBuf, String> {
    let places = Run::cargo(root)
        .args(["run", "--quiet", "--package", "gelwright-test-sqlite"])
        .output()?;
    let (include, lib) = places
        .trim()
        .split_once('\n')
        .ok_or("gelwright-test-sqlite names no folders")?;
    let more = [
        format!("-I{include}"),
        Path::new(lib).join("libsqlite3.a").display().to_string(),
        "-lpthread".to_owned(),
        "-ldl".to_owned(),
    ];
    compile(root, &root.join("tests/abi/inventory.c"), Link::Shared, &more)
}

/// Plans the demo twice against one shelf that holds it once: the first draws all, the second nothing.
fn inventory(root: &Path) -> Outcome {
    let program = inventory_program(root)?;
    let db = root.join("target/abi/stock.db");
    let _ = std::fs::remove_file(&db);
    let casting = root.join("crates/gelwright/demo/moth_lantern.toml");
    let run = |words: &[&str]| {
        let printed = std::process::Command::new(&program)
            .arg(&db)
            .args(words)
            .output()
            .map_err(|e| format!("{}: {e}", program.display()))?;
        let text = String::from_utf8_lossy(&printed.stdout).into_owned();
        eprint!("{}", String::from_utf8_lossy(&printed.stderr));
        print!("{text}");
        Ok::<_, String>((printed.status.code(), text))
    };
    let casting = casting.display().to_string();
    let draw = |key: &str| run(&["draw", &casting, key, "2026-11-28"]);
    // An empty shelf: everything is short, and what is short says how much is needed.
    let (code, wanted) = draw("first")?;
    if code != Some(3) {
        return Err("an empty shelf should be short".into());
    }
    for line in wanted.lines().filter_map(|l| l.strip_prefix("short: ")) {
        let words: Vec<&str> = line.split_whitespace().collect();
        let (material, grams) = (
            words[0],
            words[1].parse::<f64>().map_err(|e| format!("{line}: {e}"))?,
        );
        // Two lots that together hold the need once and a half.
        for (lot, part, expires) in [("lot 1", 0.9, "2027-06-30"), ("lot 2", 0.6, "2027-01-31")] {
            let grams = (part * grams + 0.1).to_string();
            if run(&["add", material, lot, &grams, expires])?.0 != Some(0) {
                return Err(format!("{material} can not be put on the shelf"));
            }
        }
    }
    let (code, drawn) = draw("first")?;
    if code != Some(0) || !drawn.contains("drawn under") {
        return Err("a full shelf should give the plan what it needs".into());
    }
    let before = run(&[])?.1;
    // The lot that expires first goes first: it is empty, and the other is not.
    let left = |lot: &str| {
        let of_lot = before.lines().filter(|l| l.contains(lot));
        of_lot.map(|l| l.contains("  0.0 g")).collect::<Vec<_>>()
    };
    if !left("lot 2").iter().all(|empty| *empty) || left("lot 1").iter().any(|empty| *empty) {
        return Err("the lot that expires first should go first".into());
    }
    let (code, again) = draw("first")?;
    if code != Some(0) || !again.contains("already drawn") || run(&[])?.1 != before {
        return Err("what was drawn under a key should not be drawn again".into());
    }
    let (code, second) = draw("second")?;
    if code != Some(3) || !second.contains("are missing") || run(&[])?.1 != before {
        return Err("a shelf that is short should stay as it was".into());
    }
    let (code, _) = run(&["draw", "no such file", "third"])?;
    if code != Some(1) {
        return Err("a casting that is not there should fail".into());
    }
    println!("{}", kills::killed(root, 20)?);
    Ok(())
}
