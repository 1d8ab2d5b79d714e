//! The compiled plan: what the engine flies.

pub mod day;
pub mod model;

pub use day::{Day, Hand};
pub use model::*;
