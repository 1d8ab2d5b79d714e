//! What the passengers will see: for every fix, camera and sight whether the sight is in the picture,
//! where, how large and what is in the way; and for every sight whether it is filmed, and if not, what
//! hindered it.
//!
//! In the picture is not filmed. A sight is filmed when the live camera, while recording, holds it in
//! one shot without a break for the wanted time, each moment large enough or near enough.
//!
//! Where the engine's own `look at` takes the aircraft as level and its frames as angles to either
//! side of the axis, here the aircraft banks in its turns (a model), and the lens puts what lies
//! before it on a flat picture. So the two may differ at the edge of a frame.

pub mod ground;
pub mod light;
mod look;
mod pose;
mod sight;
mod why;

pub use look::{Direction, Eyes, Look, Seen, Target, direction, look, through};
pub use pose::{Pose, Watch, bank};
pub use sight::{Best, Coverage, Filmed, SightSeen, Stretch, cover, cover_one};
pub use why::Hindrance;
