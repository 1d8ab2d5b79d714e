//! Directions in the horizontal plane.

use serde::{Deserialize, Serialize};

use crate::units::{Degrees, NotFinite};

/// A direction in degrees clockwise from true north, 0 ≤ value < 360.
///
/// Used for track, heading, azimuth, bearing and the direction a wind blows from. There is no type
/// for magnetic directions: they are made true at the door, where place and date are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct DegreesTrue(f64);

impl DegreesTrue {
    /// True north.
    pub const NORTH: Self = Self(0.0);

    /// A direction that comes from outside; any finite number, taken round into 0 ≤ value < 360.
    ///
    /// # Errors
    /// [`NotFinite`] for NaN and the infinities.
    pub fn new(value: f64) -> Result<Self, NotFinite> {
        if value.is_finite() { Ok(Self::of(value)) } else { Err(NotFinite) }
    }

    /// A direction that was computed from finite values; NaN becomes north.
    #[must_use]
    pub fn of(value: f64) -> Self {
        // Most values are within one turn; a remainder costs more than all else here.
        let mut turned = if value.abs() < 720.0 {
            value
        } else if value.is_finite() {
            value % 360.0
        } else {
            0.0
        };
        if turned >= 360.0 {
            turned -= 360.0;
        } else if turned < -360.0 {
            turned += 360.0;
        }
        if turned < 0.0 {
            turned += 360.0;
        }
        // A negative value too small to move 360 leaves 360 itself, which is north.
        if turned >= 360.0 {
            turned = 0.0;
        }
        Self(turned + 0.0)
    }

    /// The number of degrees, 0 ≤ value < 360.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The direction `turn` clockwise from this one (anticlockwise where it is negative).
    #[must_use]
    pub fn turned(self, turn: Degrees) -> Self {
        Self::of(self.0 + turn.get())
    }

    /// How far one turns clockwise from this direction to `other`, 0 ≤ result < 360.
    #[must_use]
    pub fn clockwise_to(self, other: Self) -> Degrees {
        Degrees::of(Self::of(other.0 - self.0).0)
    }

    /// The shortest turn to `other`: positive clockwise, −180 < result ≤ 180.
    #[must_use]
    pub fn shortest_to(self, other: Self) -> Degrees {
        let turn = self.clockwise_to(other).get();
        Degrees::of(if turn > 180.0 { turn - 360.0 } else { turn })
    }

    /// The opposite direction.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self::of(self.0 + 180.0)
    }
}

impl TryFrom<f64> for DegreesTrue {
    type Error = NotFinite;
    fn try_from(value: f64) -> Result<Self, NotFinite> {
        Self::new(value)
    }
}

impl From<DegreesTrue> for f64 {
    fn from(value: DegreesTrue) -> f64 {
        value.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_come_round() {
        assert_eq!(DegreesTrue::of(360.0).get(), 0.0);
        assert_eq!(DegreesTrue::of(-1e-18).get(), 0.0);
        assert_eq!(DegreesTrue::of(-40.0).get(), 320.0);
        assert_eq!(DegreesTrue::of(320.0).shortest_to(DegreesTrue::of(40.0)).get(), 80.0);
        assert_eq!(DegreesTrue::of(40.0).shortest_to(DegreesTrue::of(320.0)).get(), -80.0);
        assert_eq!(DegreesTrue::of(0.0).shortest_to(DegreesTrue::of(180.0)).get(), 180.0);
    }
}
