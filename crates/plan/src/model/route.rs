//! Places, and the route as planned.

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, Share, Utc};
use serde::{Deserialize, Serialize};

use super::{PlaceId, Source, Wind};

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlaceKind {
    /// Something to see.
    Sight,
    /// A point of the route.
    Waypoint,
}

/// A sight or waypoint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// The name rules use.
    pub name: String,
    /// The name people read; the same as `name` where the author gave none.
    pub title: String,
    /// What it is.
    pub kind: PlaceKind,
    /// Where.
    pub position: Position,
    /// Elevation of the ground there above mean sea level, if known.
    pub elevation: Option<Metres>,
    /// How high the thing itself stands above its ground, if known.
    pub height: Option<Metres>,
    /// How a sight is to be filmed; every sight has it, no waypoint.
    pub wanted: Option<Wanted>,
}

/// When a sight counts as filmed: once the live camera, while recording, has held it in one shot for
/// long enough, at the wanted size or larger, or nearer than the wanted distance. At least one of the
/// two is given.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// Whether passengers are promised it; else it is nice to have.
    pub must_have: bool,
    /// How long it is to be held in one shot.
    pub lasts: Millis,
    /// How near it has to be.
    pub within: Option<Metres>,
    /// How large it has to be: a share of the height of the picture.
    pub size: Option<Share>,
}

impl Default for Wanted {
    /// Nice to have, for 6 seconds, within 2 NM. The distance is common practice, no source.
    fn default() -> Self {
        Self {
            must_have: false,
            lasts: Millis::from_secs(6),
            within: Some(Metres::from_nautical_miles(2.0)),
            size: None,
        }
    }
}

/// A place other than home where a landing is foreseen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LandingSite {
    /// Where.
    pub place: PlaceId,
    /// How far from the place a landing still counts; 1 km unless the author says otherwise.
    pub radius: Metres,
}

/// The route as planned: from the ground at `home`, leg by leg.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlannedRoute {
    /// When take-off is planned.
    pub departure: Utc,
    /// How far local time is ahead of UTC.
    pub utc_offset: Millis,
    /// The local times of take-off that are sold, after midnight, in order; none where the author
    /// names none.
    pub departures: Vec<Millis>,
    /// Where it begins; home for a run that begins in the air.
    pub home: PlaceId,
    /// The legs, in order.
    pub legs: Vec<Leg>,
}

/// One part of the planned route.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leg {
    /// What is flown.
    pub flown: Flown,
    /// The place it is about, for people to read, such as `ARCH`.
    pub label: String,
    /// True airspeed; on a hover the groundspeed is nought all the same.
    pub airspeed: MetresPerSecond,
    /// The altitude to be at, above mean sea level.
    pub altitude: Metres,
    /// Bank in turns.
    pub bank: Degrees,
    /// Rate of climb and descent.
    pub climb: MetresPerSecond,
    /// The wind on this leg, if any is planned.
    pub wind: Option<Wind>,
    /// Where the author wrote it.
    pub source: Source,
}

/// What is flown on a leg.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Flown {
    /// To a position.
    To(Position),
    /// To a position, there on the ground for a time (nought at the end of the route).
    Land {
        /// Where.
        at: Position,
        /// Elevation of the ground there.
        elevation: Metres,
        /// How long the aircraft stays on the ground.
        stays: Millis,
    },
    /// Stand still over a position for a time.
    Hover {
        /// Where.
        at: Position,
        /// For how long.
        lasts: Millis,
        /// Where the nose points, if planned; else as it arrived.
        facing: Option<DegreesTrue>,
    },
    /// Circle round a position.
    Orbit {
        /// Round what.
        centre: Position,
        /// At what distance.
        radius: Metres,
        /// Which way round.
        turn: Turn,
        /// How far round, in degrees (360 is once).
        sweep: Degrees,
    },
}

/// A way to turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// Anticlockwise, seen from above.
    Left,
    /// Clockwise, seen from above.
    Right,
}
