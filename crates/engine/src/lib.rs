//! The state machine that flies a plan: fix in, changes out.
//!
//! No file, no clock, no randomness. Feeding fixes one by one gives what feeding them together
//! gives, and asking in between changes nothing.

mod output;

pub use output::*;
