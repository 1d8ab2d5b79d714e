//! The state machine that flies a plan: fix in, changes out.
//!
//! No file, no clock, no randomness. Feeding fixes one by one gives what feeding them together
//! gives, and asking in between changes nothing.

mod abeam;
mod accept;
mod arrival;
mod backdrop;
mod camera;
mod crossing;
mod engine;
mod ground;
mod leg;
mod limits;
mod motion;
mod near;
mod outbox;
mod output;
mod record;
mod rules;
mod shape;
mod still;
mod voice;
mod why;
mod zones;

pub use camera::in_frame;
pub use engine::Engine;
pub use limits::Limits;
pub use output::*;
pub use rules::Verdict;
pub use why::{Above, Actual, Channel, Explanation, RuleStanding, Standing};
