//! The defaults of the rules.

use earth::{Degrees, Metres, MetresPerSecond, Millis};
use serde::{Deserialize, Serialize};

/// How the light on the pictures is judged.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Light {
    /// A sun nearer than this to a camera's axis shines into its lens.
    pub into_lens: Degrees,
}

impl Default for Light {
    /// 30 degrees: common practice, no source.
    fn default() -> Self {
        Self { into_lens: Degrees::of(30.0) }
    }
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
