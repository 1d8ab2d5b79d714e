//! The aircraft and its equipment.

use earth::Degrees;

use super::Table;
use crate::span::Spanned;

/// An aircraft file.
#[derive(Clone, Debug)]
pub struct Aircraft {
    /// `aircraft`: the model's name.
    pub model: Spanned<String>,
    /// `registration`.
    pub registration: Option<Spanned<String>>,
    /// `heading source`; none where it is not said.
    pub heading_source: HeadingSource,
    /// `cameras`, in the order of the default sequence; at least one.
    pub cameras: Table<Camera>,
    /// `recorder`.
    pub recorder: Option<Spanned<Recorder>>,
}

/// Whether the aircraft knows where its nose points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeadingSource {
    /// `none`: heading comes from the wind, or the track stands in.
    None,
    /// `compass`: it is read from the receiver's sentences.
    Compass,
}

/// `cameras`: one that is fixed to the aircraft.
#[derive(Clone, Debug)]
pub struct Camera {
    /// `input` of the switcher, from 1; no two cameras share one.
    pub input: Spanned<u32>,
    /// What it sees. A `cabin` camera may have none; every other has.
    pub view: Option<View>,
    /// `hidden`: what of the airframe hides.
    pub hidden: Vec<Spanned<Hidden>>,
    /// `cabin`: it looks at the passengers.
    pub cabin: bool,
}

/// `mount`, `field of view` and `lens`: where a camera looks and how much it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// `mount.bearing` of its axis: degrees clockwise from the nose, 0 ≤ value < 360.
    pub bearing: Degrees,
    /// `mount.depression` of its axis below the horizon; negative above it. −90 to 90.
    pub depression: Degrees,
    /// `field of view.width`: the whole angle from left to right edge.
    pub width: Degrees,
    /// `field of view.height`: the whole angle from top to bottom; none where it is not known.
    pub height: Option<Degrees>,
    /// `lens`; rectilinear where it is not said.
    pub lens: Lens,
}

/// How a lens maps angles to its picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lens {
    /// Straight lines stay straight.
    Rectilinear,
    /// Equal angles are equal lengths.
    Equidistant,
}

/// `hidden`: directions in which the airframe stands before the lens.
///
/// Clockwise from `from` to `to`, degrees from the nose; of these, what lies lower than `below`
/// (degrees below the horizon) or higher than `above` (degrees above it), at most one of which is
/// given; with neither, all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hidden {
    /// Where it begins: 0 ≤ degrees < 360.
    pub from: Degrees,
    /// Where it ends: 0 ≤ degrees < 360.
    pub to: Degrees,
    /// Only what lies lower than so many degrees below the horizon.
    pub below: Option<Degrees>,
    /// Only what lies higher than so many degrees above the horizon.
    pub above: Option<Degrees>,
}

/// `recorder`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Recorder {
    /// `streams` recorded at once.
    pub streams: u32,
    /// `bit rate` of each stream.
    pub bit_rate: BitsPerSecond,
    /// `card`: what it holds.
    pub card: Bytes,
}

/// A rate of data in bits a second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BitsPerSecond(pub u64);

/// An amount of data in bytes; `128 GB` is 128,000,000,000 of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bytes(pub u64);
