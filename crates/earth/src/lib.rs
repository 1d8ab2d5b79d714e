//! The earth as fulmar needs it: WGS 84 geodesics, directions and quantities with their units as
//! types (levels of sound among them), magnetic declination, and what a receiver says of one moment.
//!
//! No input or output, no clock, no randomness, no panic on any input.

pub mod angle;
pub mod fix;
pub mod flight;
pub mod geodesic;
pub mod horizon;
pub mod level;
pub mod magnetic;
pub mod position;
pub mod sun;
pub mod surface;
pub mod time;
pub mod trig;
pub mod turn;
pub mod units;
pub mod wind;

pub use angle::DegreesTrue;
pub use fix::{Fix, HeadingReading, SourceHeading};
pub use level::{Dbtp, Decibels, Lufs};
pub use position::{Position, PositionError};
pub use surface::{Surface, Vector};
pub use time::{Millis, Utc};
pub use units::{Degrees, Metres, MetresPerSecond, NotFinite, Share, SquareMetres};
