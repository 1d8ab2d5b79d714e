//! What a receiver said at one moment.

use crate::angle::DegreesTrue;
use crate::position::Position;
use crate::time::Utc;
use crate::units::{Degrees, Metres, MetresPerSecond};

/// One fix as the receiver gave it, before anything is derived from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fix {
    /// When.
    pub time: Utc,
    /// Where.
    pub position: Position,
    /// Altitude above mean sea level, if the receiver gave one.
    pub altitude: Option<Metres>,
    /// Groundspeed, if the receiver gave one; never negative.
    pub groundspeed: Option<MetresPerSecond>,
    /// Track over the ground, if the receiver gave one.
    pub track: Option<DegreesTrue>,
    /// The newest word of a heading source that came with this fix or since the fix before.
    pub heading: Option<SourceHeading>,
}

impl Fix {
    /// A fix of time and position alone.
    #[must_use]
    pub const fn at(time: Utc, position: Position) -> Self {
        Self { time, position, altitude: None, groundspeed: None, track: None, heading: None }
    }
}

/// Where the nose points, as a heading source says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SourceHeading {
    /// When the source said so; not later than the fix it came with.
    pub time: Utc,
    /// What it said.
    pub reading: HeadingReading,
}

/// A heading as its source measures it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeadingReading {
    /// Degrees true (HDT, or a file's heading in degrees true).
    True(DegreesTrue),
    /// Degrees magnetic with the source's own variation, east positive, if it gave one (HDG); else
    /// the magnetic model's declination is taken.
    Magnetic {
        /// Degrees clockwise from magnetic north, deviation already applied.
        degrees: DegreesTrue,
        /// The source's own variation, east positive.
        variation: Option<Degrees>,
    },
}
