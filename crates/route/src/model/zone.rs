//! Zones.

use earth::{DegreesTrue, Metres};

use super::place::{Band, Spot};
use crate::span::{Name, Spanned};

/// `zones`: a part of the air that something hangs on.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Its shape: exactly one of the keys `circle`, `polygon`, `corridor`, `sector`, `gate`,
    /// `any of` and `all of`, the last two with an optional `except`.
    pub kind: Spanned<ZoneKind>,
    /// `band` of altitude; none for every altitude. A combined zone has none of its own.
    pub band: Option<Spanned<Band>>,
    /// `margin`: how far outside is out, once inside; none for the tour's `exit margin`. A
    /// combined zone has none of its own.
    pub margin: Option<Spanned<Metres>>,
    /// `quiet`: nothing plays inside. Never set on a gate.
    pub quiet: bool,
    /// `no filming`: nothing is recorded and no still is taken inside. Never set on a gate.
    pub no_filming: bool,
    /// `hand filming: allowed`: recording switched on by hand inside is obeyed. Only with
    /// `no filming`.
    pub hand_filming: bool,
}

/// The shape of a zone.
#[derive(Clone, Debug)]
pub enum ZoneKind {
    /// All within a radius of a place.
    Circle {
        /// `centre`.
        centre: Spanned<Spot>,
        /// `radius`, above nought.
        radius: Spanned<Metres>,
    },
    /// The smaller side of a closed line, less its holes.
    Polygon {
        /// `points`, at least three; the last is joined to the first.
        points: Vec<Spanned<Spot>>,
        /// `holes`, each of at least three points.
        holes: Vec<Vec<Spanned<Spot>>>,
    },
    /// All within a half-width of a line; its ends are round.
    Corridor {
        /// `line`.
        line: Spanned<Line>,
        /// `half width`, above nought.
        half_width: Spanned<Metres>,
    },
    /// A slice of a circle, clockwise from one bearing to the other.
    Sector {
        /// `centre`.
        centre: Spanned<Spot>,
        /// `radius`, above nought.
        radius: Spanned<Metres>,
        /// `from`: the first bearing, seen from the centre.
        from: Spanned<DegreesTrue>,
        /// `to`: the second bearing; never equal to the first.
        to: Spanned<DegreesTrue>,
    },
    /// A line that is crossed.
    Gate {
        /// `line` of at least two places.
        line: Vec<Spanned<Spot>>,
        /// `crossed from`; either side where it is not said.
        crossed_from: CrossedFrom,
    },
    /// `any of`: inside where inside at least one of these, and none of `except`.
    AnyOf {
        /// Names of zones, at least one.
        zones: Vec<Spanned<Name>>,
        /// Names of zones.
        except: Vec<Spanned<Name>>,
    },
    /// `all of`: inside where inside every one of these, and none of `except`.
    AllOf {
        /// Names of zones, at least one.
        zones: Vec<Spanned<Name>>,
        /// Names of zones.
        except: Vec<Spanned<Name>>,
    },
}

/// The line of a corridor.
#[derive(Clone, Debug)]
pub enum Line {
    /// `line: route`: the planned route.
    Route,
    /// A list of at least two places.
    Through(Vec<Spanned<Spot>>),
}

/// The side from which a gate's line is crossed, seen from its first end to its last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CrossedFrom {
    /// From its left to its right.
    Left,
    /// From its right to its left.
    Right,
    /// Both count.
    Either,
}

/// Left or right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Anticlockwise, seen from above.
    Left,
    /// Clockwise, seen from above.
    Right,
}
