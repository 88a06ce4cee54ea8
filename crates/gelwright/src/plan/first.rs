//! A casting to begin with.

use crate::noun::questions;

/// The text of a casting document to begin with: commented, and planned as it stands. Its figures are invented.
#[questions("plan.first_casting")]
pub fn first_casting() -> String {
    include_str!("../../data/first_casting.toml").to_owned()
}
