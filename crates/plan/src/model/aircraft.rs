//! What flies, and what it carries.

use earth::Degrees;
use serde::{Deserialize, Serialize};

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
