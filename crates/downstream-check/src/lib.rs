//! A workshop's own recipes, property-tested against the limits: how a program that uses Gelwright does it. All of it
//! is in `tests/recipes.rs`; the recipes are invented.
