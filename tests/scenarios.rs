//! Small flights, one for each sentence of the rules of the plan, each worked out by hand and flown
//! by the real engine and by the reference. All places are invented.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]
#![allow(dead_code, reason = "other tests use other parts of the reference")]
#![allow(unreachable_pub, reason = "the reference is shared by several tests")]
#![allow(clippy::disallowed_methods, reason = "made-up flights may use the platform's mathematics")]

mod reference;

#[path = "scenarios/camera.rs"]
mod camera;
#[path = "scenarios/fixes.rs"]
mod fixes;
#[path = "scenarios/flights.rs"]
mod flights;
#[path = "scenarios/instants.rs"]
mod instants;
#[path = "scenarios/loss.rs"]
mod loss;
#[path = "scenarios/motion.rs"]
mod motion;
#[path = "scenarios/narration.rs"]
mod narration;
#[path = "scenarios/record.rs"]
mod record;
#[path = "scenarios/rules.rs"]
mod rules;
#[path = "scenarios/stills.rs"]
mod stills;
#[path = "scenarios/zones.rs"]
mod zones;
