//! The tour itself: status, defaults and the planned route.

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, Millis};

use super::Table;
use super::material::OnRadio;
use super::place::{Altitude, Spot};
use super::zone::Side;
use crate::span::{Name, Span, Spanned};

/// `status`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Status {
    /// Not approved.
    Draft,
    /// Approved.
    Approved {
        /// `by` whom.
        by: String,
        /// `on` which day, as `YYYY-MM-DD`; a day that exists.
        on: String,
        /// `plan`: the codes of the plans that it was given for, six hexadecimal digits each in
        /// lower case.
        plans: Vec<Spanned<String>>,
        /// The whole of it.
        span: Span,
    },
}

/// How a check is to be taken in one tour.
#[derive(Clone, Debug)]
pub struct CheckLevel {
    /// `level`.
    pub level: Spanned<Level>,
    /// `because`: why, for whoever reads the tour next.
    pub because: Spanned<String>,
}

/// The level of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Level {
    /// Not said.
    Off,
    /// Said as a note.
    Note,
    /// Said as a warning.
    Warning,
    /// The tour is refused.
    Error,
}

/// `map`: what is drawn beneath the flight, for whoever looks at it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Map {
    /// `shapes`: the paths of GeoJSON files.
    pub shapes: Vec<Spanned<String>>,
    /// `tiles`: the address of pictures of a map, with `{z}`, `{x}` and `{y}`.
    pub tiles: Option<Spanned<String>>,
    /// `attribution`: to whom the map is owed.
    pub attribution: Option<Spanned<String>>,
}

/// A wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wind {
    /// `from`: whence it blows.
    pub from: DegreesTrue,
    /// `speed`.
    pub speed: MetresPerSecond,
}

/// `defaults`: the settings of the rules of the plan.
///
/// [`Defaults::default`] is what holds where nothing is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Defaults {
    /// `minimum speed`: below it the track is noise. 10 kt.
    pub minimum_speed: MetresPerSecond,
    /// `greatest speed`: a fix that would need more is rejected. 250 kt.
    pub greatest_speed: MetresPerSecond,
    /// `lost after`: GPS is lost when no good fix came for longer. 5 s.
    pub lost_after: Millis,
    /// `bridge`: two fixes no further apart make a leg. 15 s; never less than `lost after`.
    pub bridge: Millis,
    /// `late allowance`: live, by how much a fix may be late. 0.3 s.
    pub late_allowance: Millis,
    /// `turnaround`: how long after a landing at home a new flight begins. 3 min.
    pub turnaround: Millis,
    /// `exit margin` of zones that have none of their own. 50 m.
    pub exit_margin: Metres,
    /// `shot`: how long each camera of the default sequence, or of a list without times, is live.
    /// 5 s.
    pub shot: Millis,
    /// `minimum shot`: how long a shot lasts at least. 3 s.
    pub minimum_shot: Millis,
    /// `shot hold`: how long the camera and title of a rule stay after GPS was lost. 10 s.
    pub shot_hold: Millis,
    /// `manual camera`: how long a camera picked by hand stays. 60 s.
    pub manual_camera: HandCamera,
    /// `breath`: silence after a narration. 1 s.
    pub breath: Millis,
    /// `abeam within`: how far away a sight may be passed. 2 NM.
    pub abeam_within: Metres,
    /// `direction slack`: a rule that is active is not ended by a track or heading this far out
    /// of its window. 10 degrees.
    pub direction_slack: Degrees,
    /// `altitude slack`: the same for an altitude. 25 m.
    pub altitude_slack: Metres,
    /// `groundspeed slack`: the same for a groundspeed. 3 kt.
    pub groundspeed_slack: MetresPerSecond,
    /// `on radio`: what a busy radio does to a narration that says nothing of its own. Ducked.
    pub on_radio: OnRadio,
    /// `longest pause` of a narration. 30 s.
    pub longest_pause: Millis,
    /// `words per minute` of a narration without a length. 130.
    pub words_per_minute: f64,
    /// `cross-track deviation`: how far from the line pilots are, one standard deviation. 150 m.
    pub cross_track_deviation: Metres,
    /// `longest silence` in the air that is not found fault with. 90 s.
    pub longest_silence: Millis,
    /// `least time in zone` that is not found fault with. 4 s.
    pub least_time_in_zone: Millis,
}

impl Default for Defaults {
    fn default() -> Self {
        Self {
            minimum_speed: MetresPerSecond::from_knots(10.0),
            greatest_speed: MetresPerSecond::from_knots(250.0),
            lost_after: Millis::from_secs(5),
            bridge: Millis::from_secs(15),
            late_allowance: Millis(300),
            turnaround: Millis::from_secs(180),
            exit_margin: Metres::of(50.0),
            shot: Millis::from_secs(5),
            minimum_shot: Millis::from_secs(3),
            shot_hold: Millis::from_secs(10),
            manual_camera: HandCamera::For(Millis::from_secs(60)),
            breath: Millis::from_secs(1),
            abeam_within: Metres::from_nautical_miles(2.0),
            direction_slack: Degrees::of(10.0),
            altitude_slack: Metres::of(25.0),
            groundspeed_slack: MetresPerSecond::from_knots(3.0),
            on_radio: OnRadio::Ducked,
            longest_pause: Millis::from_secs(30),
            words_per_minute: 130.0,
            cross_track_deviation: Metres::of(150.0),
            longest_silence: Millis::from_secs(90),
            least_time_in_zone: Millis::from_secs(4),
        }
    }
}

/// How long a camera picked by hand stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandCamera {
    /// So long from the last pick.
    For(Millis),
    /// `until returned` to automatic.
    UntilReturned,
}

/// `route`: the planned flight.
#[derive(Clone, Debug)]
pub struct Route {
    /// What holds for every leg that says nothing of its own.
    pub settings: LegSettings,
    /// `legs`, in the order in which they are flown. The first is [`LegKind::From`], and no other.
    pub legs: Vec<Leg>,
    /// Above which no leg is flown; legs planned higher are flown there. Only a variant or the day
    /// says so.
    pub not_above: Option<Spanned<Altitude>>,
    /// The whole of it.
    pub span: Span,
}

/// An entry of `variants`: another way in which the planned route may be flown.
#[derive(Clone, Debug)]
pub struct Variant {
    /// `about`: what it is for.
    pub about: Option<Spanned<String>>,
    /// `reversed`: the other way round.
    pub reversed: bool,
    /// `departure`: other first legs, in the direction in which it is flown.
    pub departure: Option<Departure>,
    /// `arrival`: other last legs, in the direction in which it is flown.
    pub arrival: Option<Arrival>,
    /// `altitude` of every leg, instead of its own.
    pub altitude: Option<Spanned<Altitude>>,
    /// `not above`: legs planned higher are flown at this altitude.
    pub not_above: Option<Spanned<Altitude>>,
    /// `without`: zones, rules and sights that are not met on this variant, and are not meant to be.
    pub without: Vec<Spanned<Name>>,
    /// `checks`: levels on this variant, above those of the tour.
    pub checks: Table<CheckLevel>,
}

/// Legs that replace the first ones.
#[derive(Clone, Debug)]
pub struct Departure {
    /// `legs`, the first being [`LegKind::From`].
    pub legs: Vec<Leg>,
    /// `joins`: the leg to this place is the first of the route that is flown.
    pub joins: Spanned<Name>,
}

/// Legs that replace the last ones.
#[derive(Clone, Debug)]
pub struct Arrival {
    /// `leaves`: the leg to this place is the last of the route that is flown.
    pub leaves: Spanned<Name>,
    /// `legs`.
    pub legs: Vec<Leg>,
}

/// An entry of `other languages`: a language besides the tour's own in which it is told.
#[derive(Clone, Debug)]
pub struct OtherLanguage {
    /// `fallback`: the language in which a text is told that is missing in this one. None where
    /// nothing may be missing.
    pub fallback: Option<Spanned<Name>>,
    /// `words per minute` of narrations in this language; where none is written, that of the
    /// defaults.
    pub words_per_minute: Option<Spanned<f64>>,
    /// `characters per minute` instead, for a script that puts no blanks between words.
    pub characters_per_minute: Option<Spanned<f64>>,
}

/// How a leg is flown.
#[derive(Clone, Debug, Default)]
pub struct LegSettings {
    /// `airspeed` (true).
    pub airspeed: Option<Spanned<MetresPerSecond>>,
    /// `altitude` at the end of the leg, reached at the rate of `climb`.
    pub altitude: Option<Spanned<Altitude>>,
    /// `bank` in turns.
    pub bank: Option<Spanned<Degrees>>,
    /// `wind`; where neither leg nor route has one, the tour's.
    pub wind: Option<Spanned<Wind>>,
    /// `climb`: rate of climb and of descent.
    pub climb: Option<Spanned<MetresPerSecond>>,
}

/// A piece of the planned flight.
#[derive(Clone, Debug)]
pub struct Leg {
    /// What is flown.
    pub kind: Spanned<LegKind>,
    /// How, where it differs from the route's.
    pub settings: LegSettings,
    /// The whole of it.
    pub span: Span,
}

/// What is flown.
#[derive(Clone, Debug)]
pub enum LegKind {
    /// `from`: where the flight takes off, at the elevation of the place.
    From(Spot),
    /// `to`: straight on to a place.
    To(Spot),
    /// `hover`: standing over a place.
    Hover {
        /// `at`: flown to first, straight; none for where the leg before ended.
        at: Option<Spanned<Spot>>,
        /// `for` how long.
        time: Spanned<Millis>,
        /// `facing`: where the nose points; none for as it arrived.
        facing: Option<Spanned<DegreesTrue>>,
    },
    /// `orbit`: round a place at a distance.
    Orbit {
        /// `around`.
        around: Spanned<Spot>,
        /// `radius`.
        radius: Spanned<Metres>,
        /// `turn`: to the left is anticlockwise.
        turn: Side,
        /// `turns` or `for`.
        extent: OrbitExtent,
    },
    /// `land`: straight on to a place, and down.
    Land {
        /// Where.
        at: Spot,
        /// `stay` on the ground; none for 2 min, or for nothing more where the route ends.
        stay: Option<Spanned<Millis>>,
    },
}

/// How much of an orbit is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OrbitExtent {
    /// `turns`: so many full circles; a fraction is fine.
    Turns(f64),
    /// `for`: so long.
    For(Millis),
}
