//! What a fuzzer starts from, taken from what the project says elsewhere: texts of the test vectors as seeds, names as
//! a dictionary. Written, instead of fuzzing, where the environment names a folder for it.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use libfuzzer_sys::Corpus;
use serde_json::Value;

/// The variable that names the folder: seeds go into it, the dictionary beside it (`NAME.dict`).
const FOLDER: &str = "GELWRIGHT_FUZZ_SEEDS";

/// Writes seeds and dictionary and ends the program, if that is asked for.
pub(crate) fn if_asked(make: impl FnOnce() -> (BTreeSet<String>, BTreeSet<String>)) {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let (seeds, words) = make();
    let written = write(Path::new(&folder), &seeds, &words);
    written.unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    std::process::exit(0);
}

fn write(folder: &Path, seeds: &BTreeSet<String>, words: &BTreeSet<String>) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    for (i, seed) in seeds.iter().enumerate() {
        fs::write(folder.join(format!("seed-{i:04}")), seed)?;
    }
    // A libFuzzer dictionary: one quoted text a line, bytes that are not plain ASCII in hexadecimal.
    let line = |word: &String| {
        let plain = word.bytes().map(|b| match b {
            b'"' | b'\\' => format!("\\{}", char::from(b)),
            0x20..0x7f => char::from(b).to_string(),
            _ => format!("\\x{b:02X}"),
        });
        format!("\"{}\"\n", plain.collect::<String>())
    };
    fs::write(
        folder.with_extension("dict"),
        words.iter().map(line).collect::<String>(),
    )
}

/// Checks a text; bytes that are none are not kept.
pub(crate) fn text(input: &[u8], check: impl FnOnce(&str)) -> Corpus {
    match std::str::from_utf8(input) {
        Ok(text) => {
            check(text);
            Corpus::Keep
        }
        Err(_) => Corpus::Reject,
    }
}

/// The cases of `tests/vectors`.
pub(crate) fn cases() -> Vec<Value> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../vectors");
    let mut all = vec![];
    for file in fs::read_dir(&folder).into_iter().flatten().flatten() {
        let text = fs::read_to_string(file.path()).unwrap_or_default();
        if let Ok(Value::Array(cases)) = serde_json::from_str(&text) {
            all.extend(cases);
        }
    }
    assert!(!all.is_empty(), "no case in {}", folder.display());
    all
}

/// Every text within a value.
pub(crate) fn texts(value: &Value, each: &mut dyn FnMut(&str)) {
    match value {
        Value::String(text) => each(text),
        Value::Array(items) => items.iter().for_each(|v| texts(v, each)),
        Value::Object(fields) => fields.values().for_each(|v| texts(v, each)),
        _ => {}
    }
}
