//! The job: from a [`Casting`] to a plan.

pub mod casting;
pub mod clock;

pub use casting::Casting;
pub use clock::Clock;
