//! Geodesics on WGS 84, by the published algorithms of the `geographiclib-rs` crate.
//!
//! That crate calls the platform's mathematics, which may differ in the last bit from machine to
//! machine. Everything that leaves this module is therefore rounded to a grid far finer than any
//! use and far coarser than those differences: 0.1 µm, 1e-10 degree of azimuth, 1e-12 degree of
//! latitude and longitude.
//!
//! # References
//! C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43–55 (2013).

use geographiclib_rs::{Geodesic, GeodesicLine, InverseGeodesic, capability as caps};
use std::sync::LazyLock;

use crate::angle::DegreesTrue;
use crate::position::Position;
use crate::units::Metres;

static WGS84: LazyLock<Geodesic> = LazyLock::new(Geodesic::wgs84);

/// The geodesic between two positions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inverse {
    /// Its length.
    pub distance: Metres,
    /// Its azimuth at the first position; north where both are the same place.
    pub azimuth_start: DegreesTrue,
    /// Its forward azimuth at the second position.
    pub azimuth_end: DegreesTrue,
}

fn on_grid(value: f64, steps_per_unit: f64) -> f64 {
    libm::round(value * steps_per_unit) / steps_per_unit
}

/// The shortest geodesic from one position to another.
///
/// Where several are equally short (exact antipodes) the published algorithm's choice is returned.
#[must_use]
pub fn inverse(from: Position, to: Position) -> Inverse {
    let (distance, start, end, _) = InverseGeodesic::<(f64, f64, f64, f64)>::inverse(
        &*WGS84,
        from.lat(),
        from.lon(),
        to.lat(),
        to.lon(),
    );
    Inverse {
        distance: Metres::of(on_grid(distance, 1e7)),
        azimuth_start: DegreesTrue::of(on_grid(start, 1e10)),
        azimuth_end: DegreesTrue::of(on_grid(end, 1e10)),
    }
}

/// A geodesic from a position, to be asked for many points of it.
#[derive(Clone, Copy, Debug)]
pub struct Line(GeodesicLine);

impl Line {
    const WANTED: u64 = caps::LATITUDE | caps::LONGITUDE | caps::AZIMUTH | caps::DISTANCE_IN;

    /// The geodesic that leaves `from` at `azimuth`.
    #[must_use]
    pub fn new(from: Position, azimuth: DegreesTrue) -> Self {
        let wanted = Some(Self::WANTED);
        let (lat, lon) = (from.lat(), from.lon());
        Self(GeodesicLine::new(&WGS84, lat, lon, azimuth.get(), wanted, None, None))
    }

    /// Where one arrives after `distance`, and the forward azimuth there. A negative distance goes
    /// backwards.
    #[must_use]
    pub fn at(&self, distance: Metres) -> (Position, DegreesTrue) {
        let (_, lat, lon, end, ..) = self.0._gen_position(false, distance.get(), Self::WANTED);
        (Position::of(on_grid(lat, 1e12), on_grid(lon, 1e12)), DegreesTrue::of(on_grid(end, 1e10)))
    }

    /// The forward azimuth after `distance`, for whoever does not ask where that is.
    #[must_use]
    pub fn azimuth_at(&self, distance: Metres) -> DegreesTrue {
        let wanted = caps::AZIMUTH | caps::DISTANCE_IN;
        let (_, _, _, end, ..) = self.0._gen_position(false, distance.get(), wanted);
        DegreesTrue::of(on_grid(end, 1e10))
    }
}

/// Where one arrives after `distance` along the geodesic that leaves `from` at `azimuth`, and the
/// forward azimuth there. A negative distance goes backwards.
#[must_use]
pub fn direct(from: Position, azimuth: DegreesTrue, distance: Metres) -> (Position, DegreesTrue) {
    Line::new(from, azimuth).at(distance)
}
