//! When a sight comes abeam on the present track.

use earth::{DegreesTrue, Surface};

use crate::shape::MEAN_RADIUS;

/// Where a sight lies to the present track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Abeam {
    /// Seconds until the closest point is reached; negative when it is past.
    pub(crate) ahead: f64,
    /// Metres from that point to the sight.
    pub(crate) aside: f64,
}

/// Where a sight lies to the geodesic along a track flown at a speed.
///
/// # References
/// Napier's rules on the sphere that has the distance to the sight as the geodesic has it: along =
/// atan2(sin s cos δ, cos s), aside = asin(sin s sin |δ|). The sphere stands for the ellipsoid with
/// an error below a millionth of the distance at the ranges asked for.
pub(crate) fn abeam(from: &Surface, track: DegreesTrue, speed: f64, sight: &Surface) -> Abeam {
    let distance = from.distance(sight).get() / MEAN_RADIUS;
    let off = track.shortest_to(from.azimuth_to(sight)).get().to_radians();
    let (sin_off, cos_off) = libm::sincos(off);
    let (sin_far, cos_far) = libm::sincos(distance);
    let along = libm::atan2(sin_far * cos_off, cos_far) * MEAN_RADIUS;
    let aside = libm::asin((sin_far * sin_off.abs()).min(1.0)) * MEAN_RADIUS;
    Abeam { ahead: if speed > 0.0 { along / speed } else { f64::INFINITY }, aside }
}
