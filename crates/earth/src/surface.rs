//! Points on the ellipsoid's surface as vectors, for distances and directions over short ranges.
//!
//! Latitude and longitude are turned into a point in space once; from then on distances, azimuths
//! and points in between cost a few multiplications and need no platform mathematics. The poles and
//! the 180° meridian are places like any other here.
//!
//! Up to [`NEAR`] the closed forms agree with the geodesic to well under a millimetre (the tests
//! compare them with the published algorithm); beyond it [`crate::geodesic`] answers.

use crate::angle::DegreesTrue;
use crate::geodesic;
use crate::position::Position;
use crate::units::Metres;

/// Semi-major axis of WGS 84 in metres (NIMA TR8350.2).
const A: f64 = 6_378_137.0;
/// Flattening of WGS 84 (NIMA TR8350.2).
const F: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared.
const E2: f64 = F * (2.0 - F);
/// Semi-minor axis squared over semi-major axis squared.
const B2_OVER_A2: f64 = 1.0 - E2;

/// The chord, in metres, up to which the closed forms of this module are used.
pub const NEAR: f64 = 20_000.0;

/// A vector in metres, or a direction, in the earth-centred frame: x to the equator at Greenwich,
/// y to the equator at 90° east, z to the north pole.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vector(pub [f64; 3]);

impl Vector {
    /// The scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.0[0] * other.0[0] + self.0[1] * other.0[1] + self.0[2] * other.0[2]
    }

    /// The vector product.
    #[must_use]
    pub fn cross(self, other: Self) -> Self {
        let ([a, b, c], [x, y, z]) = (self.0, other.0);
        Self([b * z - c * y, c * x - a * z, a * y - b * x])
    }

    /// The length.
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1; the nought vector stays itself.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 { self * (1.0 / length) } else { self }
    }
}

impl std::ops::Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self([self.0[0] + other.0[0], self.0[1] + other.0[1], self.0[2] + other.0[2]])
    }
}

impl std::ops::Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self([self.0[0] - other.0[0], self.0[1] - other.0[1], self.0[2] - other.0[2]])
    }
}

impl std::ops::Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self([self.0[0] * factor, self.0[1] * factor, self.0[2] * factor])
    }
}

/// A point on the ellipsoid with the direction that is up there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// The point.
    pub point: Vector,
    /// The outward normal, length 1.
    pub up: Vector,
}

impl From<Position> for Surface {
    fn from(at: Position) -> Self {
        let (sin_lat, cos_lat) = libm::sincos(at.lat().to_radians());
        let (sin_lon, cos_lon) = libm::sincos(at.lon().to_radians());
        // cos 90° is not nought in floating point; the pole is one point whatever its longitude.
        let cos_lat = if at.lat().abs() == 90.0 { 0.0 } else { cos_lat };
        let normal_radius = A / (1.0 - E2 * sin_lat * sin_lat).sqrt();
        Self {
            point: Vector([
                normal_radius * cos_lat * cos_lon,
                normal_radius * cos_lat * sin_lon,
                normal_radius * B2_OVER_A2 * sin_lat,
            ]),
            up: Vector([cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]),
        }
    }
}

impl Surface {
    /// The point of the surface reached from `point`, which lies near it, along `along`.
    #[must_use]
    fn dropped(point: Vector, along: Vector) -> Self {
        let mut at = point;
        // Newton on the ellipsoid's equation; from some metres away two steps reach rounding.
        for _ in 0..2 {
            let [x, y, z] = at.0;
            let outside = x * x + y * y + z * z / B2_OVER_A2 - A * A;
            let gradient = Vector([x, y, z / B2_OVER_A2]) * 2.0;
            let slope = gradient.dot(along);
            if slope == 0.0 {
                break;
            }
            at = at - along * (outside / slope);
        }
        let [x, y, z] = at.0;
        Self { point: at, up: Vector([x, y, z / B2_OVER_A2]).unit() }
    }

    /// Latitude and longitude of the point.
    #[must_use]
    pub fn position(&self) -> Position {
        let [x, y, z] = self.up.0;
        let level = (x * x + y * y).sqrt();
        let lon = if level == 0.0 { 0.0 } else { libm::atan2(y, x).to_degrees() };
        Position::of(libm::atan2(z, level).to_degrees(), lon)
    }

    /// The straight line through the earth to another point, in metres: never longer than the
    /// geodesic.
    #[must_use]
    pub fn chord(&self, other: &Self) -> f64 {
        (other.point - self.point).length()
    }

    /// The geodesic distance to another point.
    ///
    /// # References
    /// The chord is lengthened to the arc by the series of the circle whose curvature is the mean
    /// normal curvature of the surface along it: s = c (1 + κ²c²/24 + 3κ⁴c⁴/640).
    #[must_use]
    pub fn distance(&self, other: &Self) -> Metres {
        let across = other.point - self.point;
        let chord = across.length();
        if chord > NEAR {
            return geodesic::inverse(self.position(), other.position()).distance;
        }
        Metres::of(arc(chord, (other.up - self.up).dot(across)))
    }

    /// The azimuth at this point of the geodesic to another; north where both are one place.
    #[must_use]
    pub fn azimuth_to(&self, other: &Self) -> DegreesTrue {
        let across = other.point - self.point;
        if across.dot(across) > NEAR * NEAR {
            return geodesic::inverse(self.position(), other.position()).azimuth_start;
        }
        self.direction(across)
    }

    /// The forward azimuth at this point of the geodesic that comes from another.
    #[must_use]
    pub fn azimuth_from(&self, other: &Self) -> DegreesTrue {
        let across = self.point - other.point;
        if across.dot(across) > NEAR * NEAR {
            return geodesic::inverse(other.position(), self.position()).azimuth_end;
        }
        self.direction(across)
    }

    /// The level directions east and north here, length 1. At a pole east is 90° east of Greenwich.
    #[must_use]
    pub fn east_and_north(&self) -> (Vector, Vector) {
        let [x, y, _] = self.up.0;
        let level = (x * x + y * y).sqrt();
        let east = if level > 0.0 {
            Vector([-y / level, x / level, 0.0])
        } else {
            Vector([0.0, 1.0, 0.0])
        };
        (east, self.up.cross(east))
    }

    /// The azimuth of a vector here.
    #[must_use]
    pub fn direction(&self, across: Vector) -> DegreesTrue {
        // East is (−y, x, 0) and north (−xz, −yz, x² + y²), both longer than 1 by the same factor.
        let [x, y, z] = self.up.0;
        let [dx, dy, dz] = across.0;
        let level = x * x + y * y;
        let (e, n) = if level > 0.0 {
            (x * dy - y * dx, level * dz - z * (x * dx + y * dy))
        } else {
            let (east, north) = self.east_and_north();
            (across.dot(east), across.dot(north))
        };
        if e == 0.0 && n == 0.0 {
            return DegreesTrue::NORTH;
        }
        DegreesTrue::of(libm::atan2(e, n).to_degrees())
    }

    /// The point on the short geodesic to `other` (at most [`NEAR`] away) at a fraction of its
    /// length.
    #[must_use]
    pub fn between(&self, other: &Self, fraction: f64) -> Self {
        if fraction <= 0.0 {
            return *self;
        }
        if fraction >= 1.0 {
            return *other;
        }
        let on_chord = self.point + (other.point - self.point) * fraction;
        Self::dropped(on_chord, self.up + other.up)
    }
}

/// The arc over a chord; `turn` is the change of the normal along it times the chord vector.
#[must_use]
pub(crate) fn arc(chord: f64, turn: f64) -> f64 {
    if chord == 0.0 {
        return 0.0;
    }
    // turn / chord² is the mean normal curvature, so (turn / chord)² is (curvature × chord)².
    let bent = (turn / chord) * (turn / chord);
    chord * (1.0 + bent / 24.0 + 3.0 * bent * bent / 640.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seeded(seed: &mut u64) -> f64 {
        *seed =
            seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 11) as f64 / (1_u64 << 53) as f64
    }

    #[test]
    fn short_distances_and_azimuths_agree_with_the_published_algorithm() {
        let mut seed = 7;
        for _ in 0..20_000 {
            let from =
                Position::of(seeded(&mut seed) * 180.0 - 90.0, seeded(&mut seed) * 360.0 - 180.0);
            let distance = libm::pow(10.0, seeded(&mut seed) * 4.299);
            let azimuth = DegreesTrue::of(seeded(&mut seed) * 360.0);
            let (to, end) = geodesic::direct(from, azimuth, Metres::of(distance));
            let (a, b) = (Surface::from(from), Surface::from(to));
            assert!(
                (a.distance(&b).get() - distance).abs() < 1e-5,
                "{from:?} {distance} {azimuth:?}"
            );
            let off = |x: DegreesTrue, y: DegreesTrue| {
                x.shortest_to(y).get().to_radians().abs() * distance
            };
            if from.lat().abs() < 89.5 {
                assert!(off(a.azimuth_to(&b), azimuth) < 1e-3, "{from:?} {distance} {azimuth:?}");
                assert!(off(b.azimuth_from(&a), end) < 1e-3, "{from:?} {distance} {azimuth:?}");
            }
        }
    }

    #[test]
    fn a_point_between_lies_on_the_geodesic_at_its_share_of_the_length() {
        let mut seed = 11;
        for _ in 0..20_000 {
            let from =
                Position::of(seeded(&mut seed) * 180.0 - 90.0, seeded(&mut seed) * 360.0 - 180.0);
            let distance = seeded(&mut seed) * 19_000.0;
            let azimuth = DegreesTrue::of(seeded(&mut seed) * 360.0);
            let (to, _) = geodesic::direct(from, azimuth, Metres::of(distance));
            let share = seeded(&mut seed);
            let (wanted, _) = geodesic::direct(from, azimuth, Metres::of(distance * share));
            let got = Surface::from(from).between(&Surface::from(to), share);
            assert!(
                got.chord(&Surface::from(wanted)) < 0.02,
                "{from:?} {distance} {azimuth:?} {share}"
            );
        }
    }

    #[test]
    fn a_position_survives_the_way_there_and_back() {
        for (lat, lon) in
            [(0.0, 180.0), (90.0, 0.0), (-89.999, -179.999), (45.0, 7.0), (1e-9, 1e-9)]
        {
            let at = Position::of(lat, lon);
            let back = Surface::from(at).position();
            assert!(
                (back.lat() - lat).abs() < 1e-12 && (back.lon() - lon).abs() < 1e-9,
                "{at:?} {back:?}"
            );
        }
    }
}
