//! The range of every authored number, in one table.
//!
//! The ends are written as an author would write them and read by the same code, so that what is
//! checked and what is said cannot differ. Both ends are allowed values. The ranges are common
//! practice, no source: wide enough for any sightseeing flight, narrow enough to catch a slip of a
//! digit or a unit.

use crate::units::{self, Quantity};

/// A range of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Range {
    /// What is bounded, in words with the article.
    pub what: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// The least value, as written.
    pub least: &'static str,
    /// The greatest value, as written.
    pub most: &'static str,
}

/// A range of a plain number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NumberRange {
    /// What is bounded, in words with the article.
    pub what: &'static str,
    /// The least value.
    pub least: f64,
    /// The greatest value.
    pub most: f64,
}

impl Range {
    /// The ends in SI units.
    #[must_use]
    pub fn ends(&self) -> (f64, f64) {
        let read = |text, instead| units::quantity(text, self.quantity).unwrap_or(instead);
        (read(self.least, f64::MIN), read(self.most, f64::MAX))
    }

    /// Whether a value in SI units lies in the range.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        let (least, most) = self.ends();
        (least..=most).contains(&value)
    }
}

macro_rules! ranges {
    ($($(#[$doc:meta])* $name:ident: $quantity:ident, $what:literal, $least:literal, $most:literal;)*) => {
        $($(#[$doc])*
        pub const $name: Range = Range {
            what: $what,
            quantity: Quantity::$quantity,
            least: $least,
            most: $most,
        };)*

        /// All ranges of quantities.
        pub const RANGES: &[Range] = &[$($name),*];
    };
}

ranges! {
    /// Elevation of ground: the Dead Sea's shore to the highest mountain.
    ELEVATION: Length, "an elevation", "-500 m", "9000 m";
    /// Height of a sight above its ground.
    HEIGHT: Length, "a height", "0 m", "1000 m";
    /// How long a sight is to be held in one shot.
    WANTED_TIME: Time, "a time", "0 s", "10 min";
    /// How near a sight has to be to count as filmed.
    WANTED_DISTANCE: Length, "a distance", "1 m", "50 km";
    /// How large a sight has to be to count as filmed, of the picture's height.
    WANTED_SIZE: Share, "a size", "0.1 %", "100 %";
    /// How near the sun is to a camera's axis when it shines into the lens.
    INTO_LENS: Angle, "an angle", "0 deg", "180 deg";
    /// Altitude, or height above a place.
    ALTITUDE: Length, "an altitude", "-500 m", "12000 m";
    /// Radius of a circle or sector.
    RADIUS: Length, "a radius", "1 m", "200 km";
    /// Radius of an orbit that is flown.
    ORBIT_RADIUS: Length, "the radius of an orbit", "20 m", "20 km";
    /// Half the width of a corridor.
    HALF_WIDTH: Length, "a half width", "1 m", "100 km";
    /// Exit margin of a zone.
    MARGIN: Length, "a margin", "0 m", "5 km";
    /// How far away a sight may be passed.
    ABEAM_WITHIN: Length, "a distance to pass a sight at", "1 m", "100 km";
    /// Altitude slack.
    ALTITUDE_SLACK: Length, "the altitude slack", "0 m", "500 m";
    /// True airspeed of a leg.
    AIRSPEED: Speed, "an airspeed", "5 kt", "300 kt";
    /// Groundspeed of a condition.
    GROUNDSPEED: Speed, "a groundspeed", "0 kt", "500 kt";
    /// Minimum speed.
    MINIMUM_SPEED: Speed, "the minimum speed", "1 kt", "60 kt";
    /// Greatest plausible speed.
    GREATEST_SPEED: Speed, "the greatest speed", "60 kt", "2000 kt";
    /// Groundspeed slack.
    GROUNDSPEED_SLACK: Speed, "the groundspeed slack", "0 kt", "50 kt";
    /// Speed of a wind.
    WIND_SPEED: Speed, "the speed of a wind", "0 kt", "150 kt";
    /// Rate of climb and descent.
    CLIMB: ClimbRate, "a rate of climb", "50 ft/min", "6000 ft/min";
    /// Bank in a turn.
    BANK: Angle, "a bank", "1 deg", "60 deg";
    /// Direction slack.
    DIRECTION_SLACK: Angle, "the direction slack", "0 deg", "90 deg";
    /// Depression of a camera's axis.
    DEPRESSION: Angle, "a depression", "-90 deg", "90 deg";
    /// Where the hidden part of a view begins, below or above the horizon.
    HIDDEN_EDGE: Angle, "an angle from the horizon", "-90 deg", "90 deg";
    /// Width of a field of view.
    VIEW_WIDTH: Angle, "the width of a field of view", "1 deg", "360 deg";
    /// Height of a field of view.
    VIEW_HEIGHT: Angle, "the height of a field of view", "1 deg", "180 deg";
    /// When GPS is lost.
    LOST_AFTER: Time, "`lost after`", "1 s", "10 min";
    /// How far apart two fixes may be to make a leg. A fix more than half an hour late is refused.
    BRIDGE: Time, "`bridge`", "1 s", "30 min";
    /// How late a live fix may be.
    LATE_ALLOWANCE: Time, "`late allowance`", "0 s", "5 s";
    /// After how long on the ground a new flight begins.
    TURNAROUND: Time, "`turnaround`", "10 s", "24 h";
    /// How long a camera of a sequence is live.
    SHOT: Time, "the time of a shot", "1 s", "1 h";
    /// How long a shot lasts at least.
    MINIMUM_SHOT: Time, "`minimum shot`", "0 s", "1 min";
    /// How long a shot is held after GPS was lost.
    SHOT_HOLD: Time, "`shot hold`", "0 s", "1 h";
    /// How long a camera picked by hand stays.
    MANUAL_CAMERA: Time, "`manual camera`", "1 s", "24 h";
    /// Silence after a narration.
    BREATH: Time, "`breath`", "0 s", "1 min";
    /// How far from the line pilots are.
    CROSS_TRACK_DEVIATION: Length, "the cross-track deviation", "1 m", "5 km";
    /// Longest silence that the checks allow.
    LONGEST_SILENCE: Time, "`longest silence`", "1 s", "24 h";
    /// Least time in a zone that the checks ask for.
    LEAST_TIME_IN_ZONE: Time, "`least time in zone`", "0 s", "10 min";
    /// How long before abeam.
    BEFORE_ABEAM: Time, "the time before abeam", "1 s", "30 min";
    /// How long a narration may be paused.
    LONGEST_PAUSE: Time, "`longest pause`", "0 s", "10 min";
    /// Length of a narration.
    NARRATION_LENGTH: Time, "the length of a narration", "0.1 s", "1 h";
    /// How long a narration may wait.
    WAIT: Time, "`wait`", "0 s", "1 h";
    /// How long recording goes on.
    POST_ROLL: Time, "`post-roll`", "0 s", "10 min";
    /// Time between stills.
    STILL_EVERY: Time, "the time between stills", "0.5 s", "1 h";
    /// How long a hover or an orbit lasts.
    MANOEUVRE: Time, "the time of a hover or an orbit", "1 s", "2 h";
    /// How long one stays on the ground on the way.
    STAY: Time, "the stay after a landing", "0 s", "24 h";
    /// Where a word falls in a recording.
    SYNC_WORD: Time, "the time of a sync word", "0 s", "1 h";
    /// A place in a piece of music.
    LOOP: Time, "a place in a piece of music", "0 s", "10 h";
    /// How fast a level changes, or how long one sound gives way to another.
    FADE: Time, "the time of a fade", "0 s", "30 s";
    /// How much slower or faster than planned a leg is flown.
    AIRSPEED_TOLERANCE: Speed, "the airspeed tolerance", "0 kt", "60 kt";
    /// Loudness of a voice or of music.
    LOUDNESS: Loudness, "a loudness", "-60 LUFS", "-5 LUFS";
    /// The highest true peak.
    PEAK: Peak, "a true peak", "-20 dBTP", "0 dBTP";
    /// By how much music is lower under a narration.
    DUCK: Level, "the ducking", "0 dB", "60 dB";
    /// Bit rate of a stream.
    BIT_RATE: DataRate, "a bit rate", "0.1 Mbit/s", "10000 Mbit/s";
    /// Size of a card.
    CARD: DataSize, "the size of a card", "0.1 GB", "100000 GB";
}

macro_rules! number_ranges {
    ($($(#[$doc:meta])* $name:ident: $what:literal, $least:literal, $most:literal;)*) => {
        $($(#[$doc])*
        pub const $name: NumberRange = NumberRange { what: $what, least: $least, most: $most };)*

        /// All ranges of plain numbers.
        pub const NUMBER_RANGES: &[NumberRange] = &[$($name),*];
    };
}

number_ranges! {
    /// Latitude in degrees, north positive.
    LATITUDE: "a latitude", -90.0, 90.0;
    /// Longitude in degrees, east positive.
    LONGITUDE: "a longitude", -180.0, 180.0;
    /// A direction in degrees.
    DIRECTION: "a direction", 0.0, 360.0;
    /// Pace of a voice.
    WORDS_PER_MINUTE: "words per minute", 40.0, 400.0;
    /// Pace of a voice in a script without blanks between words.
    CHARACTERS_PER_MINUTE: "characters per minute", 60.0, 2000.0;
    /// Turns of an orbit.
    TURNS: "turns of an orbit", 0.1, 50.0;
    /// Priority of a rule.
    PRIORITY: "a priority", -1_000_000.0, 1_000_000.0;
    /// Revision of a tour.
    REVISION: "a revision", 1.0, 999_999.0;
    /// Number of a pass.
    PASS: "the number of a pass", 1.0, 10_000.0;
    /// Input of the switcher.
    INPUT: "an input", 1.0, 64.0;
    /// Streams of a recorder.
    STREAMS: "a number of streams", 1.0, 64.0;
}

/// The most bytes a file may have; a tour with ten thousand zones has about two million.
pub const FILE_BYTES: usize = 16 << 20;
/// How deep values may be nested; the language needs eight.
pub const NESTING: usize = 32;
/// How many files one project may have.
pub const FILES: usize = 1000;
/// How many findings of one file are shown.
pub const FINDINGS: usize = 500;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_readable_and_in_order() {
        for range in RANGES {
            for end in [range.least, range.most] {
                assert!(units::quantity(end, range.quantity).is_ok(), "{}: {end}", range.what);
            }
            let (least, most) = range.ends();
            assert!(least < most, "{}", range.what);
        }
        for range in NUMBER_RANGES {
            assert!(range.least < range.most, "{}", range.what);
        }
    }
}
