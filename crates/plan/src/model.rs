//! The compiled plan: names resolved to indices, units to SI, nothing left to look up.

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, Utc};
use serde::{Deserialize, Serialize};

macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub u32);

        impl $name {
            /// The position in its list.
            #[must_use]
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

index! {
    /// A camera, by its place in [`Aircraft::cameras`].
    CameraId
}
index! {
    /// A sight or waypoint, by its place in [`Plan::places`].
    PlaceId
}
index! {
    /// A zone, by its place in [`Plan::zones`].
    ZoneId
}
index! {
    /// A rule, by its place in [`Plan::rules`], which is the order in which rules are written.
    RuleId
}
index! {
    /// A narration, by its place in [`Plan::narrations`].
    NarrationId
}
index! {
    /// A piece of music, by its place in [`Plan::music`].
    MusicId
}
index! {
    /// A title, by its place in [`Plan::titles`].
    TitleId
}

/// Everything the engine needs to fly one tour on one aircraft.
///
/// A plan that came through [`crate::read`] or [`Plan::check`] is sound: every index exists, zones
/// name only zones before them, `after` makes no circle, every bound of [`crate::bounds`] holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The tour's title.
    pub title: String,
    /// The author's revision, from 1.
    pub revision: u32,
    /// Whether somebody has approved it.
    pub approval: Approval,
    /// The language of its texts, as the author wrote it (a BCP 47 tag such as `en`).
    pub language: String,
    /// The authored files, in the order in which they were read; [`Source::file`] counts in it.
    pub sources: Vec<String>,
    /// The defaults of the rules.
    pub settings: Settings,
    /// The planned wind, unless the day says otherwise.
    pub wind: Option<Wind>,
    /// What flies and what it carries.
    pub aircraft: Aircraft,
    /// Sights and waypoints.
    pub places: Vec<Place>,
    /// Where a landing other than at home is foreseen.
    pub landing_sites: Vec<LandingSite>,
    /// The route as planned.
    pub route: PlannedRoute,
    /// Zones; a combined zone comes after all of its parts.
    pub zones: Vec<Zone>,
    /// Rules, in the order written.
    pub rules: Vec<Rule>,
    /// Narrations.
    pub narrations: Vec<Narration>,
    /// Pieces of music.
    pub music: Vec<Music>,
    /// Titles.
    pub titles: Vec<Title>,
}

/// Whether a plan may be flown with passengers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Approval {
    /// Nobody has approved it yet.
    Draft,
    /// Approved by somebody on a day.
    Approved {
        /// Who approved it, as written.
        by: String,
        /// The day, `YYYY-MM-DD`.
        on: String,
    },
}

/// A place in the authored text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Which file, counted in [`Plan::sources`].
    pub file: u32,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

/// The defaults of the rules; each can be set by the author.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Below this speed a receiver's course is noise and the last good track is held.
    pub minimum_speed: MetresPerSecond,
    /// The greatest plausible speed; a fix that needs more is rejected.
    pub greatest_speed: MetresPerSecond,
    /// How long after the last good fix GPS is lost.
    pub lost_after: Millis,
    /// The longest time between two good fixes over which the flight between them is reckoned.
    pub bridge: Millis,
    /// Live: how late a fix may come before the clock runs past it.
    pub late_allowance: Millis,
    /// How long after a landing at home the next flight begins.
    pub turnaround: Millis,
    /// How long each camera of the default sequence is shown.
    pub default_turn: Millis,
    /// The least length of a shot.
    pub minimum_shot: Millis,
    /// How long the camera and title that were on stay on after GPS is lost.
    pub shot_hold: Millis,
    /// How long a camera picked by hand stays.
    pub manual_camera: ManualCamera,
    /// The pause after a narration before the next.
    pub breath: Millis,
    /// How far outside its window a track or heading does not yet end an active rule.
    pub direction_slack: Degrees,
    /// How far outside its band an altitude does not yet end an active rule.
    pub altitude_slack: Metres,
    /// How far outside its band a groundspeed does not yet end an active rule.
    pub groundspeed_slack: MetresPerSecond,
    /// What busy radio does to the narration playing, unless the narration says otherwise.
    pub on_radio: OnRadio,
    /// How long a narration may be paused before it is cut off.
    pub longest_pause: Millis,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            minimum_speed: MetresPerSecond::from_knots(10.0),
            greatest_speed: MetresPerSecond::from_knots(250.0),
            lost_after: Millis::from_secs(5),
            bridge: Millis::from_secs(15),
            late_allowance: Millis(300),
            turnaround: Millis::from_secs(180),
            default_turn: Millis::from_secs(5),
            minimum_shot: Millis::from_secs(3),
            shot_hold: Millis::from_secs(10),
            manual_camera: ManualCamera::For(Millis::from_secs(60)),
            breath: Millis::from_secs(1),
            direction_slack: Degrees::of(10.0),
            altitude_slack: Metres::of(25.0),
            groundspeed_slack: MetresPerSecond::from_knots(3.0),
            on_radio: OnRadio::Ducked,
            longest_pause: Millis::from_secs(30),
        }
    }
}

/// How long a camera picked by hand stays live.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ManualCamera {
    /// For a time from the last pick.
    For(Millis),
    /// Until the pilot returns to automatic (or lands).
    UntilReturned,
}

/// What busy radio or intercom does to the narration playing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OnRadio {
    /// It plays on, quieter.
    Ducked,
    /// It stops and goes on from there when the line is clear.
    Paused,
    /// It is cut off.
    Dropped,
}

/// A wind over the ground.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wind {
    /// Whence it blows, true.
    pub from: DegreesTrue,
    /// How fast.
    pub speed: MetresPerSecond,
}

/// What flies, and what it carries.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Aircraft {
    /// Its name.
    pub name: String,
    /// Its registration, if it has one.
    pub registration: Option<String>,
    /// Whether it has a source of heading (a compass that is read).
    pub heading_source: bool,
    /// Its cameras, in the order of the default sequence.
    pub cameras: Vec<Camera>,
    /// Its recorder.
    pub recorder: Recorder,
}

/// A fixed camera.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Camera {
    /// Its name.
    pub name: String,
    /// The input of the switcher or recorder it is wired to.
    pub input: u32,
    /// The direction of its axis, clockwise from the nose, 0 ≤ value < 360.
    pub bearing: Degrees,
    /// How far its axis points below the horizon; negative above.
    pub depression: Degrees,
    /// The full width of its frame.
    pub width: Degrees,
    /// The full height of its frame, if known.
    pub height: Option<Degrees>,
    /// How its lens maps angles to the picture.
    pub lens: Lens,
    /// Whether it films the cabin and never a sight.
    pub cabin: bool,
    /// What of the airframe stands in its view.
    pub hidden: Vec<Hidden>,
}

/// How a lens maps angles to the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Lens {
    /// Straight lines stay straight.
    Rectilinear,
    /// Distance from the middle grows evenly with the angle (fisheye).
    Equidistant,
}

/// Directions in the aircraft's frame that the airframe hides from a camera.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hidden {
    /// Start of the hidden window, clockwise from the nose.
    pub from: Degrees,
    /// End of the hidden window, clockwise from the nose.
    pub to: Degrees,
    /// Only what lies more than this below the horizon is hidden; `None`: nothing is spared.
    pub below: Option<Degrees>,
    /// Only what lies more than this above the horizon is hidden; `None`: nothing is spared.
    pub above: Option<Degrees>,
}

/// The recorder.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recorder {
    /// How many streams it writes at once.
    pub streams: u32,
    /// Bits a second of each stream.
    pub bits_per_second: u64,
    /// Bytes on the card, if the author says.
    pub card_bytes: Option<u64>,
}

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
    /// Its elevation above mean sea level, if known.
    pub elevation: Option<Metres>,
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NarrationEffect {
    /// Which narration.
    pub narration: NarrationId,
    /// What happens when something stands in its way.
    pub otherwise: Otherwise,
    /// How long it waits, counted from the asking; `None`: as long as the rule stays active.
    pub waits: Option<Millis>,
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

/// A narration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Narration {
    /// Its name.
    pub name: String,
    /// What is said.
    pub text: String,
    /// How long it lasts.
    pub length: Millis,
    /// Whether the length is an estimate from the text.
    pub estimated: bool,
    /// Whether it may be played more than once a flight.
    pub again: bool,
    /// Whether it is for the ground: played only there, there also in quiet zones.
    pub on_ground: bool,
    /// What busy radio does to it, if it says.
    pub on_radio: Option<OnRadio>,
    /// How long it may be paused, if it says.
    pub longest_pause: Option<Millis>,
    /// Where the author wrote it.
    pub source: Source,
}

/// A piece of music.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Music {
    /// Its name.
    pub name: String,
    /// Its title for people; the same as `name` where the author gave none.
    pub title: String,
}

/// A title: text on the picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Title {
    /// Its name.
    pub name: String,
    /// What it shows.
    pub text: String,
}
