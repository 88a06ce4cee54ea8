//! Numerical methods that more than one room needs, on plain numbers.

pub mod beta;
pub mod design;
pub mod least_squares;
pub mod normal;
pub mod quadrature;
pub mod roots;
#[cfg(test)]
mod strd;
pub mod student;
