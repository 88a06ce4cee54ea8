//! Texts with units, of every quantity.
#![no_main]

#[path = "../checks/unit_text.rs"]
mod unit_text;

mod seeds;

use std::collections::BTreeSet;

use gelwright_base::quantity::unit;
use libfuzzer_sys::Corpus;

libfuzzer_sys::fuzz_target!(
    init: seeds::if_asked(start),
    |input: &[u8]| -> Corpus {
        seeds::text(input, unit_text::check)
    }
);

fn start() -> (BTreeSet<String>, BTreeSet<String>) {
    let names: Vec<&str> = unit::all_names().map(|(name, _)| name).collect();
    let mut texts: BTreeSet<String> = names.iter().map(|name| format!("1.5 {name}")).collect();
    let numbered = |text: &str| text.len() < 40 && text.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    for case in seeds::cases() {
        seeds::texts(&case["request"], &mut |text| {
            if numbered(text) {
                texts.insert(text.to_owned());
            }
        });
    }
    texts.extend(["12.50 EUR", "18.40 EUR/kg", "95 USD/gal", "2 EUR/piece"].map(str::to_owned));
    texts.extend(
        [
            "20 +/- 1 degC",
            "(20 ± 1) °C",
            "450 g/m^2 +/- 5 %",
            "19 to 23 min",
            "20 degC, u = 0.5 K",
            "20 degC (U = 1 K, k = 2)",
            "450 g/m^2, u = 5 %",
            "65 % +/- 5 % of value",
            "65 %, u = 2 percentage points",
        ]
        .map(str::to_owned),
    );
    let signs = [
        "+/-",
        "±",
        " to ",
        "u =",
        "U =",
        "k =",
        " of value",
        " percentage points",
        "/",
        "*",
        "**",
        "^2",
        "²",
        "³",
        "⁻¹",
        "·",
        "⋅",
        "(",
        ")",
        " per ",
        "1/",
        "e-3",
        "E308",
        "½",
        "1/2",
        " 3/8",
        ",",
        "'",
        "_",
        "-",
        "nan",
        "inf",
    ];
    let words = names.iter().chain(&signs).map(|w| (*w).to_owned()).collect();
    (texts, words)
}
