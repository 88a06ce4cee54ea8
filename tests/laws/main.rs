//! Laws that hold for any input: mass balance, monotonicity, unit invariance, limits.
mod units;
