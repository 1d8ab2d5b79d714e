//! The compiled plan: what the engine flies.

pub mod bounds;
mod check;
pub mod day;
pub mod error;
pub mod model;

pub use day::{Day, Hand};
pub use error::{Fault, PlanError};
pub use model::*;
