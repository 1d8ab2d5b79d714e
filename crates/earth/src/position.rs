//! Positions on the WGS 84 ellipsoid.

use serde::{Deserialize, Serialize};

/// A place on the WGS 84 ellipsoid: latitude −90 to 90, longitude −180 to 180 degrees, north and
/// east positive. Both 180 and −180 are the same meridian and both are kept as they came.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Wire", into = "Wire")]
pub struct Position {
    lat: f64,
    lon: f64,
}

/// Why two numbers are no position.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PositionError {
    /// The latitude is outside −90 to 90 or not a number.
    #[error("latitude {0} is outside -90..90 degrees")]
    Latitude(f64),
    /// The longitude is outside −180 to 180 or not a number.
    #[error("longitude {0} is outside -180..180 degrees")]
    Longitude(f64),
}

impl Position {
    /// A position from degrees of latitude and longitude.
    ///
    /// # Errors
    /// [`PositionError`] naming the number that is out of range.
    pub fn new(lat: f64, lon: f64) -> Result<Self, PositionError> {
        if !(-90.0..=90.0).contains(&lat) {
            Err(PositionError::Latitude(lat))
        } else if !(-180.0..=180.0).contains(&lon) {
            Err(PositionError::Longitude(lon))
        } else {
            Ok(Self { lat, lon })
        }
    }

    /// A computed position: latitude is held to ±90, longitude taken round into −180 to 180.
    #[must_use]
    pub fn of(lat: f64, lon: f64) -> Self {
        let lat = if lat.is_nan() { 0.0 } else { lat.clamp(-90.0, 90.0) };
        let mut lon = if lon.is_finite() { lon % 360.0 } else { 0.0 };
        if lon > 180.0 {
            lon -= 360.0;
        } else if lon < -180.0 {
            lon += 360.0;
        }
        Self { lat, lon }
    }

    /// The nearest position with eight decimals of a degree, about a millimetre away. For computed
    /// positions that are kept: what may differ from machine to machine is far smaller.
    #[must_use]
    pub fn rounded(self) -> Self {
        let round = |value: f64| libm::round(value * 1e8) / 1e8;
        Self::of(round(self.lat), round(self.lon))
    }

    /// Latitude in degrees, north positive.
    #[must_use]
    pub const fn lat(self) -> f64 {
        self.lat
    }

    /// Longitude in degrees, east positive.
    #[must_use]
    pub const fn lon(self) -> f64 {
        self.lon
    }
}

#[derive(Clone, Copy, Serialize, Deserialize)]
struct Wire(f64, f64);

impl TryFrom<Wire> for Position {
    type Error = PositionError;
    fn try_from(Wire(lat, lon): Wire) -> Result<Self, PositionError> {
        Self::new(lat, lon)
    }
}

impl From<Position> for Wire {
    fn from(at: Position) -> Self {
        Self(at.lat, at.lon)
    }
}
