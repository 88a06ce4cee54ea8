//! Numbers spread evenly over the unit cube, addressed without state: [`sobol`] for what is summed or sorted, and
//! [`random`](crate::random) beside it for what needs plain random numbers.

mod directions;
pub mod sobol;
