//! Zones, and the bands and windows that conditions share with them.

use earth::{Degrees, Metres, MetresPerSecond, Position};
use serde::{Deserialize, Serialize};

use super::{Source, ZoneId};

/// A zone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Its name.
    pub name: String,
    /// Its extent on the ground.
    pub shape: Shape,
    /// Its altitude band; none for a combined zone.
    pub band: Option<AltitudeBand>,
    /// How far outside its edge, or above or below its band, it is left. Nought and without effect
    /// for a combined zone.
    pub margin: Metres,
    /// Whether nothing may play inside.
    pub quiet: bool,
    /// Whether nothing may be filmed inside.
    pub no_filming: Option<HandFilming>,
    /// Where the author wrote it.
    pub source: Source,
}

/// What a press of record inside a no-filming zone does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HandFilming {
    /// It is refused.
    Refused,
    /// It records until off or the exit, and that is reported.
    Allowed,
}

/// The extent of a zone. All lines are geodesics on WGS 84.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Shape {
    /// All points within a distance of a centre.
    Circle {
        /// The centre.
        centre: Position,
        /// The distance.
        radius: Metres,
    },
    /// The smaller side of a ring, without its holes. Rings are open: the last point is joined to
    /// the first and does not repeat it.
    Polygon {
        /// The outer ring, three points or more.
        outer: Vec<Position>,
        /// Rings left out; their edges belong to the zone.
        holes: Vec<Vec<Position>>,
    },
    /// All points within a half-width of a line.
    Corridor {
        /// The line, two points or more.
        line: Vec<Position>,
        /// The half-width.
        half_width: Metres,
    },
    /// A circle's slice, clockwise from one bearing at its centre to another. Bearings 0 and 360
    /// make the whole circle.
    Sector {
        /// The centre.
        centre: Position,
        /// The radius.
        radius: Metres,
        /// Where the slice begins, degrees true at the centre, 0 to 360.
        from: Degrees,
        /// Where it ends, degrees true at the centre, 0 to 360.
        to: Degrees,
    },
    /// A line to be crossed. The aircraft is never in it.
    Gate {
        /// The line, two points or more, its ends included.
        line: Vec<Position>,
        /// From which side it is crossed, seen from the first end to the last.
        crossed_from: Side,
    },
    /// A combination of zones before this one, none of them a gate: in any of `any_of` (if there
    /// are any), in all of `all_of` and in none of `except`.
    Combined {
        /// At least one of these, unless the list is empty.
        any_of: Vec<ZoneId>,
        /// Each of these.
        all_of: Vec<ZoneId>,
        /// None of these.
        except: Vec<ZoneId>,
    },
}

/// From which side a gate counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Crossed from its left to its right.
    Left,
    /// Crossed from its right to its left.
    Right,
    /// Crossed either way.
    Either,
}

/// A band of altitudes above mean sea level, both ends included. One end may be open.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AltitudeBand {
    /// The lowest altitude, if there is one.
    pub from: Option<Metres>,
    /// The highest altitude, if there is one.
    pub to: Option<Metres>,
}

/// A band of groundspeeds, both ends included. One end may be open.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpeedBand {
    /// The least speed, if there is one.
    pub from: Option<MetresPerSecond>,
    /// The greatest speed, if there is one.
    pub to: Option<MetresPerSecond>,
}

/// A window of directions, clockwise from `from` to `to`, both included. 0 and 360 make every
/// direction.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Window {
    /// Where it begins, 0 to 360.
    pub from: Degrees,
    /// Where it ends, 0 to 360.
    pub to: Degrees,
    /// What north its ends are measured from.
    pub north: North,
}

/// What north a direction is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum North {
    /// The geographic pole.
    True,
    /// Where a compass points, by the World Magnetic Model at that place, altitude and date.
    Magnetic,
}
