//! Places, altitudes, and the windows and bands that conditions are made of.

use earth::{Degrees, Metres, MetresPerSecond, Millis, Position, Share};

use crate::span::{Name, Spanned};

/// A place on the ground: by the name of a waypoint or sight, or by its coordinates.
#[derive(Clone, Debug, PartialEq)]
pub enum Spot {
    /// A waypoint or a sight.
    Named(Name),
    /// Coordinates written on the spot.
    At(Position),
}

/// `waypoints`: a place that the route, a zone or an altitude refers to.
#[derive(Clone, Debug)]
pub struct Waypoint {
    /// `at`: where it is.
    pub at: Spanned<Position>,
    /// `elevation` of the ground above mean sea level, if known.
    pub elevation: Option<Spanned<Metres>>,
}

/// `sights`: a place that is filmed. It may be used wherever a waypoint may.
#[derive(Clone, Debug)]
pub struct Sight {
    /// `at`: where it is.
    pub at: Spanned<Position>,
    /// `elevation` of the ground it stands on, above mean sea level, if known.
    pub elevation: Option<Spanned<Metres>>,
    /// `height` of the thing itself above its ground.
    pub height: Option<Spanned<Metres>>,
    /// `name` as people say it, such as `The Sea Arch`.
    pub label: Option<Spanned<String>>,
    /// `film`: when it counts as filmed.
    pub film: Option<Spanned<Film>>,
}

/// `film` of a sight: when it counts as filmed. What is not written is left to the plan's defaults.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// `for` how long it is to be held in one shot.
    pub lasts: Option<Millis>,
    /// `within` what distance.
    pub within: Option<Metres>,
    /// At what `size`: a share of the picture's height.
    pub size: Option<Share>,
}

/// `landing sites`: a place besides home at which a landing counts as one.
#[derive(Clone, Debug)]
pub struct LandingSite {
    /// `at`: where it is.
    pub at: Spanned<Spot>,
    /// `elevation`; where it is not given, that of the place named by `at` stands in.
    pub elevation: Option<Spanned<Metres>>,
}

/// An altitude above mean sea level, or a height above a place of known elevation.
#[derive(Clone, Debug, PartialEq)]
pub struct Altitude {
    /// Above mean sea level, or above the ground at `above`.
    pub value: Metres,
    /// `500 ft above PAD`: the waypoint or sight.
    pub above: Option<Spanned<Name>>,
}

/// A band of altitude, both ends included; at least one end is given.
///
/// Where both ends count from the same level, `from` is below `to`; else that is known only when
/// the elevations are.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// The lower end: `above 300 ft`, or the first of `300 ft..1500 ft`.
    pub from: Option<Spanned<Altitude>>,
    /// The upper end: `below 1500 ft`, or the second of `300 ft..1500 ft`.
    pub to: Option<Spanned<Altitude>>,
}

/// A band of groundspeed, both ends included; at least one end is given, `from` below `to`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedBand {
    /// The slower end.
    pub from: Option<MetresPerSecond>,
    /// The faster end.
    pub to: Option<MetresPerSecond>,
}

/// From which north a direction is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum North {
    /// Geographic north; what is meant where nothing is said.
    True,
    /// Magnetic north at the place, altitude and date of the aircraft.
    Magnetic,
}

/// A window of directions, clockwise from one to the other, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Window {
    /// `000..360`.
    Every,
    /// Any other window.
    Between {
        /// Where it begins: 0 ≤ degrees < 360.
        from: Degrees,
        /// Where it ends, going clockwise: 0 ≤ degrees < 360, not equal to `from`.
        to: Degrees,
        /// What both are measured from.
        north: North,
    },
}
