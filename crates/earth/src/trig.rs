//! Trigonometry in degrees that gives the same bits on every machine.
//!
//! The angle is brought into one eighth of a circle before it becomes radians, so the cardinal
//! directions are exact: the sine of 180 degrees is nought.

use libm::{fabs, rint};

/// Radians in one degree.
pub const RADIANS_PER_DEGREE: f64 = std::f64::consts::PI / 180.0;

/// Sine and cosine of an angle in degrees; both nought if it is not finite.
#[must_use]
pub fn sin_cos(degrees: f64) -> (f64, f64) {
    if !degrees.is_finite() {
        return (0.0, 0.0);
    }
    let within = degrees % 360.0;
    let quarters = rint(within / 90.0);
    let rest = (within - quarters * 90.0) * RADIANS_PER_DEGREE;
    let (sin, cos) = (libm::sin(rest), libm::cos(rest));
    // `within` lies in -360..360, so there are -4 to 4 quarters.
    #[expect(clippy::cast_possible_truncation, reason = "a whole number from -4 to 4")]
    match (quarters as i32).rem_euclid(4) {
        0 => (sin, cos),
        1 => (cos, -sin),
        2 => (-sin, -cos),
        _ => (-cos, sin),
    }
}

/// Tangent of an angle in degrees, for angles well inside −90 to 90.
#[must_use]
pub fn tan(degrees: f64) -> f64 {
    let (sin, cos) = sin_cos(degrees);
    if cos == 0.0 { f64::MAX } else { sin / cos }
}

/// The angle in degrees, −180 to 180, of a point `across` to the right and `ahead` (as a bearing
/// is measured: nought ahead, 90 to the right).
#[must_use]
pub fn bearing(across: f64, ahead: f64) -> f64 {
    // Measured from the nearer axis, so that cardinal directions and their neighbours are exact.
    let (a, b) = (fabs(across), fabs(ahead));
    let acute = if a <= b {
        libm::atan2(a, b) / RADIANS_PER_DEGREE
    } else {
        90.0 - libm::atan2(b, a) / RADIANS_PER_DEGREE
    };
    let angle = if ahead < 0.0 { 180.0 - acute } else { acute };
    if across < 0.0 { -angle } else { angle }
}

/// Arc sine in degrees; the value is held to −1 to 1.
#[must_use]
pub fn asin(value: f64) -> f64 {
    libm::asin(value.clamp(-1.0, 1.0)) / RADIANS_PER_DEGREE
}

/// Arc cosine in degrees; the value is held to −1 to 1.
#[must_use]
pub fn acos(value: f64) -> f64 {
    libm::acos(value.clamp(-1.0, 1.0)) / RADIANS_PER_DEGREE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cardinal_directions_are_exact() {
        assert_eq!(sin_cos(0.0), (0.0, 1.0));
        assert_eq!(sin_cos(90.0), (1.0, 0.0));
        assert_eq!(sin_cos(180.0), (0.0, -1.0));
        assert_eq!(sin_cos(-90.0), (-1.0, 0.0));
        assert_eq!(sin_cos(630.0), (-1.0, 0.0));
        assert_eq!(bearing(1.0, 0.0), 90.0);
        assert_eq!(bearing(0.0, -1.0), 180.0);
        assert_eq!(bearing(-2.0, 2.0), -45.0);
        assert_eq!(sin_cos(f64::NAN), (0.0, 0.0));
    }

    #[test]
    fn a_bearing_comes_back_from_its_sine_and_cosine() {
        for tenth in -1799..1800 {
            let angle = f64::from(tenth) / 10.0;
            let (sin, cos) = sin_cos(angle);
            assert!((bearing(sin, cos) - angle).abs() < 1e-12, "{angle}");
        }
    }
}
