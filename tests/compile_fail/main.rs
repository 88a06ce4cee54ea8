//! Mistakes of dimension must not compile, and for the right reason: the compiler's message is checked too.

#[test]
fn mistakes_of_dimension_do_not_compile() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/compile_fail/*.rs");
    // main.rs is this file.
    let t = trybuild::TestCases::new();
    for name in [
        "mass_plus_length",
        "mass_fraction_for_volume_fraction",
        "phr_for_mass_fraction",
        "temperature_plus_temperature",
        "interval_for_temperature",
        "degree_of_cure_for_strain",
    ] {
        t.compile_fail(folder.replace('*', name));
    }
}
