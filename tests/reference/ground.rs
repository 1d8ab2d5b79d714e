//! Geodesics as plainly as possible: every question is answered by the exact inverse and direct
//! problems, again and again until the answer stands still.

use std::sync::LazyLock;

use earth::Position;
use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};

static WGS84: LazyLock<Geodesic> = LazyLock::new(Geodesic::wgs84);

/// A mean radius, used only to guess where to look next; the guess is then improved.
const ABOUT_RADIUS: f64 = 6_371_000.0;

/// Metres from `a` to `b`, the azimuth at `a` and the azimuth at `b`, in degrees.
pub fn inverse(a: Position, b: Position) -> (f64, f64, f64) {
    let (distance, start, end, _) = InverseGeodesic::<(f64, f64, f64, f64)>::inverse(
        &*WGS84,
        a.lat(),
        a.lon(),
        b.lat(),
        b.lon(),
    );
    (distance, start, end)
}

/// Metres between two positions.
pub fn distance(a: Position, b: Position) -> f64 {
    InverseGeodesic::<f64>::inverse(&*WGS84, a.lat(), a.lon(), b.lat(), b.lon())
}

/// Where one arrives, and the azimuth there.
pub fn direct(from: Position, azimuth: f64, metres: f64) -> (Position, f64) {
    let (lat, lon, end) =
        DirectGeodesic::<(f64, f64, f64)>::direct(&*WGS84, from.lat(), from.lon(), azimuth, metres);
    (Position::of(lat, lon), end)
}

/// An angle taken round into −180 < value ≤ 180.
pub fn turn(degrees: f64) -> f64 {
    let round = degrees.rem_euclid(360.0);
    if round > 180.0 { round - 360.0 } else { round }
}

/// The point of the geodesic through `from` at `azimuth` that is closest to `to`: how far along it
/// lies (negative: behind) and how far from it `to` is.
pub fn closest_along(from: Position, azimuth: f64, to: Position) -> (f64, f64) {
    let mut along = 0.0;
    let mut off = 0.0;
    for _ in 0..20 {
        let (here, ahead) = direct(from, azimuth, along);
        let (distance, bearing, _) = inverse(here, to);
        off = distance;
        if distance < 1e-6 {
            break;
        }
        let relative = (bearing - ahead).to_radians();
        let angle = distance / ABOUT_RADIUS;
        let step = ABOUT_RADIUS * (angle.sin() * relative.cos()).atan2(angle.cos());
        along += step;
        if step.abs() < 1e-6 {
            break;
        }
    }
    (along, off)
}

/// A geodesic of a given length.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    pub start: Position,
    pub end: Position,
    pub azimuth: f64,
    pub length: f64,
}

impl Line {
    pub fn between(start: Position, end: Position) -> Self {
        let (length, azimuth, _) = inverse(start, end);
        Self { start, end, azimuth, length }
    }

    /// The point at a part of the way, 0 at the start and 1 at the end.
    pub fn at(&self, part: f64) -> Position {
        if part <= 0.0 || self.length == 0.0 {
            return self.start;
        }
        if part >= 1.0 {
            return self.end;
        }
        direct(self.start, self.azimuth, self.length * part).0
    }

    /// How far along the closest point lies, and how far away it is.
    pub fn closest(&self, to: Position) -> (f64, f64) {
        let from_start = distance(self.start, to);
        if self.length < 1e-9 {
            return (0.0, from_start);
        }
        let (along, off) = closest_along(self.start, self.azimuth, to);
        if along <= 0.0 {
            return (0.0, from_start);
        }
        if along >= self.length {
            return (self.length, distance(self.end, to));
        }
        (along, off)
    }

    /// Metres from the line, its ends included.
    pub fn distance(&self, to: Position) -> f64 {
        self.closest(to).1
    }

    /// Which side of the line's geodesic a point is on: positive right, negative left, in metres.
    pub fn side(&self, point: Position) -> f64 {
        let (distance, bearing, _) = inverse(self.start, point);
        let angle = distance / ABOUT_RADIUS;
        ABOUT_RADIUS * (angle.sin() * turn(bearing - self.azimuth).to_radians().sin()).asin()
    }
}

/// The lines that join points in order.
pub fn polyline(points: &[Position]) -> Vec<Line> {
    points.windows(2).map(|pair| Line::between(pair[0], pair[1])).collect()
}

/// The lines of a ring: the last point is joined to the first.
pub fn ring(points: &[Position]) -> Vec<Line> {
    let mut closed = points.to_vec();
    closed.extend(points.first());
    polyline(&closed)
}

/// Metres from the nearest of several lines.
pub fn distance_to(lines: &[Line], point: Position) -> f64 {
    lines.iter().map(|line| line.distance(point)).fold(f64::INFINITY, f64::min)
}

/// Whether a ring goes round a point: walking the ring, the bearing from the point turns right
/// round once.
pub fn goes_round(lines: &[Line], point: Position) -> bool {
    if lines.first().is_none_or(|line| distance(line.start, point) > 3_000_000.0) {
        return false;
    }
    let bearing = |to: Position| inverse(point, to).1;
    let turned: f64 = lines.iter().map(|line| turn(bearing(line.end) - bearing(line.start))).sum();
    turned.abs() > 180.0
}
