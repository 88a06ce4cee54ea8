//! What people type is read or refused with what to write; what is written is read back; nothing panics or takes long.

mod limits;
mod properties;
mod typed;

use super::*;
use crate::ErrorKind;

/// The number that `quantity` has in the unit `to`.
fn convert(quantity: &str, to: &str) -> crate::Result<f64> {
    let unit = unit::read("to", to)?;
    let of = unit.dimension();
    let example = format!("1 {to}");
    parse_number_and_unit("x", quantity, of, &of.to_string(), &example).map(|si| unit.number_of(si))
}

#[track_caller]
fn reads(quantity: &str, expected: f64, to: &str) {
    match convert(quantity, to) {
        Ok(x) => assert!(
            (x - expected).abs() <= 1e-12 * expected.abs(),
            "{quantity} is {x} {to}, not {expected}"
        ),
        Err(e) => panic!("{quantity}: {e}"),
    }
}

#[track_caller]
fn refuses(quantity: &str, to: &str, kind: ErrorKind, says: &str) {
    match convert(quantity, to) {
        Ok(x) => panic!("'{quantity}' is read as {x} {to}"),
        Err(e) => {
            assert_eq!(e.kind(), kind, "{e}");
            assert!(e.to_string().contains(says), "'{e}' should say '{says}'");
        }
    }
}
