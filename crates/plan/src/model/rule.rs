//! Rules: conditions and effects.

use earth::{Metres, MetresPerSecond, Millis};
use serde::{Deserialize, Serialize};

use super::{
    AltitudeBand, CameraId, MusicId, NarrationId, PlaceId, RuleId, Source, SpeedBand, TitleId,
    Window, ZoneId,
};

/// A rule: when all its conditions hold, its effects take part in their channels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// Where the author wrote it.
    pub source: Source,
    /// The higher wins; between equals the one written first.
    pub priority: i32,
    /// All must hold; none at all: it is always active.
    pub conditions: Vec<Condition>,
    /// What it says about the camera.
    pub camera: Option<CameraEffect>,
    /// What it says about recording.
    pub record: Option<RecordEffect>,
    /// The narration it asks for.
    pub narration: Option<NarrationEffect>,
    /// The music it wants.
    pub music: Option<MusicId>,
    /// The title it wants.
    pub title: Option<TitleId>,
    /// The stills it takes.
    pub stills: Vec<StillEffect>,
}

/// One condition of a rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Condition {
    /// What must hold.
    pub test: Test,
    /// The condition as the author wrote it, such as `track: 320..040`.
    pub written: String,
    /// Where the author wrote it.
    pub source: Source,
}

/// What a condition asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Test {
    /// In a zone; of a gate: at the instant of a crossing that counts.
    In(ZoneId),
    /// Not in a zone; never a gate.
    NotIn(ZoneId),
    /// Track over the ground in a window.
    Track(Window),
    /// Heading in a window.
    Heading(Window),
    /// Altitude in a band.
    Altitude(AltitudeBand),
    /// Groundspeed in a band.
    Groundspeed(SpeedBand),
    /// A sight comes abeam within a time.
    BeforeAbeam {
        /// Which sight.
        sight: PlaceId,
        /// Within what time.
        by: Millis,
        /// How far from the track's closest point the sight may lie.
        within: Metres,
    },
    /// Another rule has fired in this flight.
    After(RuleId),
    /// The nth entry or crossing of a zone in this flight, until the next.
    Pass {
        /// Which zone.
        zone: ZoneId,
        /// Which pass, from 1.
        nth: u32,
    },
    /// The aircraft is on the ground.
    OnGround,
    /// The aircraft is airborne.
    Airborne,
}

/// What a rule says about the camera.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CameraEffect {
    /// One camera, or several in turn over and over. With several each has a time.
    Sequence(Vec<CameraTurn>),
    /// Whichever of these cameras has a sight in its frame, nearest its axis.
    LookAt {
        /// Which sight.
        sight: PlaceId,
        /// The cameras to choose from, in the order named.
        from: Vec<CameraId>,
    },
}

/// A camera's turn in a sequence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CameraTurn {
    /// Which camera.
    pub camera: CameraId,
    /// For how long; `None` only where it is the only one.
    pub lasts: Option<Millis>,
}

/// What a rule says about recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordEffect {
    /// On or off.
    pub on: bool,
    /// How long recording runs on after the rule has ended; nought for `off`.
    pub post_roll: Millis,
    /// Whether the rule names the ground: it records there too.
    pub on_ground: bool,
}

/// The narration a rule asks for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NarrationEffect {
    /// Which narration.
    pub narration: NarrationId,
    /// What happens when something stands in its way.
    pub otherwise: Otherwise,
    /// How long it waits, counted from the asking; `None`: as long as the rule stays active.
    pub waits: Option<Millis>,
    /// The room there is for it from the asking on, as planned; `None` where it has no short
    /// version, or where nothing would spoil it.
    pub room: Option<Room>,
}

/// The room for a narration on the planned route: from where it is asked for to what would spoil it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// How far is flown in it over the ground.
    pub way: Metres,
    /// How long the aircraft stands in it besides.
    pub stands: Millis,
    /// The mean groundspeed of the flown part as planned, for when the present one is not known or
    /// below the minimum speed.
    pub groundspeed: MetresPerSecond,
}

/// What a narration does when something stands in its way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Otherwise {
    /// It waits.
    Wait,
    /// It is skipped.
    Skip,
    /// It cuts off one of no higher priority; where that is not possible it waits.
    Interrupt,
}

/// A still a rule takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StillEffect {
    /// By which camera; `None`: the one live once the instant is settled.
    pub camera: Option<CameraId>,
    /// When.
    pub moment: StillMoment,
}

/// When a still is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum StillMoment {
    /// When the rule becomes active.
    Start,
    /// When the rule becomes active and every so often from then on.
    Every(Millis),
    /// At the closest point to a place.
    Closest(PlaceId),
}
