//! Exotherm.
mod chemistry;
mod edge;
mod kernel;
mod tableau;
mod vector;
#[cfg(test)]
mod prototype;
