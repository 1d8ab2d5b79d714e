//! The bounds of everything in a plan that has a size: one table, which drives the checks, the
//! texts of their errors and the values that tests make up.
//!
//! The bounds are our own choice: wide enough for any sightseeing flight, narrow enough that no
//! sum in the engine can leave the range in which it is exact. They refuse the plan that was
//! damaged or made by mistake, not the unusual tour.

use std::fmt;

/// The least and greatest allowed value of one thing, both included.
#[derive(Debug, PartialEq)]
pub struct Bound {
    /// What it is, in words that stand in an error text.
    pub name: &'static str,
    /// The least allowed value, in `unit`.
    pub least: f64,
    /// The greatest allowed value, in `unit`.
    pub greatest: f64,
    /// The unit, as printed; empty for a count.
    pub unit: &'static str,
}

impl Bound {
    /// Whether a value, in the bound's unit, is allowed. NaN never is.
    #[must_use]
    pub fn allows(&self, value: f64) -> bool {
        (self.least..=self.greatest).contains(&value)
    }
}

impl fmt::Display for Bound {
    /// Such as `0.5 to 600 s`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", self.least, self.greatest)?;
        if self.unit.is_empty() { Ok(()) } else { write!(f, " {}", self.unit) }
    }
}

macro_rules! bounds {
    ($($(#[$doc:meta])* $id:ident: $name:literal, $least:literal, $greatest:literal, $unit:literal;)*) => {
        $(
            $(#[$doc])*
            #[doc = concat!("\n\n", stringify!($least), " to ", stringify!($greatest), " ", $unit, ".")]
            pub static $id: Bound =
                Bound { name: $name, least: $least, greatest: $greatest, unit: $unit };
        )*

        /// Every bound there is.
        pub static ALL: &[&Bound] = &[$(&$id),*];
    };
}

bounds! {
    /// The author's revision.
    REVISION: "revision", 1.0, 4294967295.0, "";
    /// How long a name is.
    NAME_LENGTH: "length of a name", 1.0, 200.0, "characters";
    /// How long a text is.
    TEXT_LENGTH: "length of a text", 0.0, 20000.0, "characters";
    /// Phrases that say in what a plan differs from the tour as written.
    DIFFERENCES: "number of differences", 0.0, 100.0, "";
    /// Authored files.
    SOURCES: "number of source files", 1.0, 10000.0, "";
    /// A line or column of an authored file.
    SOURCE_COUNT: "line or column of a source", 1.0, 4294967295.0, "";
    /// Cameras; none at all is a plan without pictures.
    CAMERAS: "number of cameras", 0.0, 64.0, "";
    /// Windows of the airframe in one camera's view.
    HIDDEN: "number of hidden windows of a camera", 0.0, 64.0, "";
    /// Sights and waypoints; home is one of them.
    PLACES: "number of places", 1.0, 50000.0, "";
    /// How high a sight stands above its ground.
    SIGHT_HEIGHT: "height of a sight", 0.0, 10000.0, "m";
    /// How long a sight is to be held in one shot.
    WANTED_TIME: "time for which a sight is wanted", 0.0, 3600.0, "s";
    /// How near a sight has to be to count as filmed.
    WANTED_DISTANCE: "distance within which a sight is wanted", 1.0, 100000.0, "m";
    /// How large a sight has to be to count as filmed, of the picture's height.
    WANTED_SIZE: "size at which a sight is wanted", 0.0, 1.0, "of the picture's height";
    /// Landing sites.
    LANDING_SITES: "number of landing sites", 0.0, 1000.0, "";
    /// How far from a landing site a landing counts.
    LANDING_SITE_RADIUS: "radius of a landing site", 1.0, 100000.0, "m";
    /// Legs of the planned route.
    LEGS: "number of legs", 0.0, 10000.0, "";
    /// Zones.
    ZONES: "number of zones", 0.0, 50000.0, "";
    /// Points of a ring.
    RING_POINTS: "number of points of a ring", 3.0, 100000.0, "";
    /// Points of a line.
    LINE_POINTS: "number of points of a line", 2.0, 100000.0, "";
    /// Holes in one polygon.
    HOLES: "number of holes", 0.0, 1000.0, "";
    /// Points of all zones together.
    POINTS: "number of points of all zones", 0.0, 1000000.0, "";
    /// Zones that one combined zone names.
    PARTS: "number of parts of a combined zone", 1.0, 1000.0, "";
    /// Rules.
    RULES: "number of rules", 0.0, 50000.0, "";
    /// Conditions of one rule.
    CONDITIONS: "number of conditions of a rule", 0.0, 100.0, "";
    /// Cameras in one sequence or to choose from.
    CAMERA_LIST: "number of cameras in a list", 1.0, 100.0, "";
    /// Stills of one rule.
    STILLS: "number of stills of a rule", 0.0, 100.0, "";
    /// Languages that are carried at once.
    LANGUAGES: "number of languages", 1.0, 16.0, "";
    /// Departures that are sold on a day.
    DEPARTURES: "number of departures", 0.0, 1440.0, "";
    /// How far local time is ahead of UTC.
    UTC_OFFSET: "offset of local time", -93600.0, 93600.0, "s";
    /// A local time of day, after midnight.
    TIME_OF_DAY: "time of day", 0.0, 86399.999, "s";
    /// How near the sun is to a camera's axis when it shines into the lens.
    INTO_LENS: "angle of the sun into the lens", 0.0, 180.0, "degrees";
    /// Narrations.
    NARRATIONS: "number of narrations", 0.0, 50000.0, "";
    /// Pieces of music.
    MUSIC: "number of pieces of music", 0.0, 50000.0, "";
    /// Titles.
    TITLES: "number of titles", 0.0, 50000.0, "";

    /// Below this speed a course is noise.
    MINIMUM_SPEED: "minimum speed", 0.0, 50.0, "m/s";
    /// The greatest plausible speed.
    GREATEST_SPEED: "greatest speed", 10.0, 1000.0, "m/s";
    /// How long after the last good fix GPS is lost.
    LOST_AFTER: "lost after", 0.1, 600.0, "s";
    /// The longest time bridged between two fixes; half an hour without a fix ends a run.
    BRIDGE: "bridge", 0.1, 1800.0, "s";
    /// How late a live fix may come.
    LATE_ALLOWANCE: "late allowance", 0.0, 60.0, "s";
    /// From a landing at home to the next flight.
    TURNAROUND: "turnaround", 0.0, 86400.0, "s";
    /// A camera's turn, in the default sequence or a rule's.
    CAMERA_TURN: "turn of a camera", 0.1, 3600.0, "s";
    /// The least length of a shot.
    MINIMUM_SHOT: "minimum shot", 0.0, 3600.0, "s";
    /// How long a shot is held after GPS is lost.
    SHOT_HOLD: "shot hold", 0.0, 3600.0, "s";
    /// How long a camera picked by hand stays.
    MANUAL_CAMERA: "manual camera", 0.1, 86400.0, "s";
    /// The pause after a narration.
    BREATH: "breath", 0.0, 3600.0, "s";
    /// The slack of track and heading windows.
    DIRECTION_SLACK: "direction slack", 0.0, 180.0, "degrees";
    /// The slack of altitude bands.
    ALTITUDE_SLACK: "altitude slack", 0.0, 10000.0, "m";
    /// The slack of groundspeed bands.
    GROUNDSPEED_SLACK: "groundspeed slack", 0.0, 500.0, "m/s";
    /// How long a narration may be paused.
    LONGEST_PAUSE: "longest pause", 0.0, 3600.0, "s";

    /// The speed of a wind.
    WIND_SPEED: "wind speed", 0.0, 150.0, "m/s";
    /// An angle at the nose or at a centre, clockwise.
    AROUND: "direction", 0.0, 360.0, "degrees";
    /// An angle up or down from the horizon.
    UP_OR_DOWN: "angle from the horizon", -90.0, 90.0, "degrees";
    /// The full width or height of a camera's frame.
    FIELD_OF_VIEW: "field of view", 1.0, 360.0, "degrees";
    /// The same of a lens that keeps straight lines straight, which cannot see half the world.
    RECTILINEAR_FIELD: "field of view of a rectilinear lens", 1.0, 179.0, "degrees";
    /// Streams of the recorder.
    STREAMS: "streams of the recorder", 1.0, 1000.0, "";
    /// Bit rate of one stream.
    BIT_RATE: "bit rate of a stream", 1.0, 1e12, "bit/s";
    /// The size of the card.
    CARD: "size of the card", 1.0, 1e15, "bytes";

    /// An altitude or elevation above mean sea level.
    ALTITUDE: "altitude", -1000.0, 30000.0, "m";
    /// A groundspeed that a rule asks for.
    GROUNDSPEED: "groundspeed", 0.0, 1000.0, "m/s";
    /// A planned airspeed.
    AIRSPEED: "airspeed", 1.0, 400.0, "m/s";
    /// A planned bank.
    BANK: "bank", 1.0, 75.0, "degrees";
    /// A planned rate of climb and descent.
    CLIMB: "rate of climb", 0.01, 100.0, "m/s";
    /// A planned hover or stay on the ground.
    STAY: "time of a hover or stay", 0.0, 86400.0, "s";
    /// The radius of a planned orbit.
    ORBIT_RADIUS: "radius of an orbit", 10.0, 100000.0, "m";
    /// How far round an orbit goes; a hundred times at most.
    ORBIT_SWEEP: "sweep of an orbit", 1.0, 36000.0, "degrees";
    /// The planned take-off: the years 1 to 9999.
    DEPARTURE: "departure", -62135596800000.0, 253402300799999.0, "ms since 1970";

    /// The radius of a circle or sector.
    RADIUS: "radius", 0.1, 500000.0, "m";
    /// The half-width of a corridor.
    HALF_WIDTH: "half width", 0.1, 100000.0, "m";
    /// How far a point of a zone lies from the zone's first point.
    EXTENT: "distance of a point from the zone's first point", 0.0, 1000000.0, "m";
    /// The exit margin of a zone.
    MARGIN: "margin", 0.0, 50000.0, "m";

    /// Before abeam: within what time.
    BEFORE_ABEAM_BY: "before abeam by", 0.001, 3600.0, "s";
    /// Before abeam: how far aside.
    BEFORE_ABEAM_WITHIN: "before abeam within", 0.1, 500000.0, "m";
    /// Which pass.
    PASS: "pass", 1.0, 1000000.0, "";
    /// Post-roll.
    POST_ROLL: "post-roll", 0.0, 86400.0, "s";
    /// How long a narration waits.
    WAITS: "waiting time of a narration", 0.0, 86400.0, "s";
    /// The length of a narration.
    NARRATION_LENGTH: "length of a narration", 0.001, 86400.0, "s";
    /// When a sync word is said.
    SYNC_WORD: "time of a sync word", 0.0, 86400.0, "s";
    /// How far is flown in the room for a narration.
    ROOM_WAY: "way of a narration's room", 0.0, 10000000.0, "m";
    /// How long the aircraft stands in the room for a narration.
    ROOM_STANDS: "standing time of a narration's room", 0.0, 86400.0, "s";
    /// The planned groundspeed in the room for a narration.
    ROOM_GROUNDSPEED: "groundspeed of a narration's room", 0.1, 1000.0, "m/s";
    /// A place in a piece of music.
    MUSIC_TIME: "time in a piece of music", 0.0, 360000.0, "s";
    /// How loud something is.
    LOUDNESS: "loudness", -70.0, 0.0, "LUFS";
    /// The highest true peak.
    PEAK: "true peak", -60.0, 0.0, "dBTP";
    /// By how much music is lower.
    DUCK: "ducking", 0.0, 96.0, "dB";
    /// How fast a level changes.
    FADE: "time of a fade", 0.0, 3600.0, "s";
    /// How often a still is taken.
    STILL_EVERY: "time between stills", 0.1, 86400.0, "s";
}
