//! The compiled plan: what the engine flies, and the file it is carried in.
//!
//! A plan is made by the compiler, or read by [`read`] from what [`write()`] wrote. Either way it is
//! sound by [`Plan::check`], so the engine looks nothing up and asks nothing twice.

pub mod bounds;
mod check;
pub mod day;
pub mod digest;
pub mod error;
pub mod file;
pub mod model;
pub mod pages;

pub use day::{Day, Hand};
pub use digest::{Digest, digest};
pub use error::{Fault, PlanError};
pub use file::{read, write};
pub use model::*;
pub use pages::pages;
