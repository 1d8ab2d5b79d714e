//! The wind triangle: velocity over the ground = velocity through the air + the wind's.

use serde::{Deserialize, Serialize};

use crate::angle::DegreesTrue;
use crate::trig;
use crate::units::MetresPerSecond;

/// A wind over the ground.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wind {
    /// Whence it blows.
    pub from: DegreesTrue,
    /// How fast.
    pub speed: MetresPerSecond,
}

/// A velocity in the horizontal plane: over the ground (track and groundspeed) or through the air
/// (heading and true airspeed).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Velocity {
    /// Whither; north where the speed is nought.
    pub direction: DegreesTrue,
    /// How fast; never negative.
    pub speed: MetresPerSecond,
}

/// How a course is made good in a wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MadeGood {
    /// Where the nose has to point.
    pub heading: DegreesTrue,
    /// The speed along the course; above nought.
    pub groundspeed: MetresPerSecond,
}

/// The wind is too strong for the airspeed: the course cannot be made good.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("the wind is too strong to make good the course")]
pub struct CannotMakeGood;

impl Wind {
    /// No wind.
    pub const CALM: Self = Self { from: DegreesTrue::NORTH, speed: MetresPerSecond::ZERO };

    /// Its velocity, east and north, in metres a second.
    fn east_north(self) -> (f64, f64) {
        let (sin, cos) = trig::sin_cos(self.from.get());
        (-self.speed.get() * sin, -self.speed.get() * cos)
    }
}

impl Velocity {
    fn east_north(self) -> (f64, f64) {
        let (sin, cos) = trig::sin_cos(self.direction.get());
        (self.speed.get() * sin, self.speed.get() * cos)
    }

    fn of(east: f64, north: f64) -> Self {
        Self {
            direction: DegreesTrue::of(trig::bearing(east, north)),
            speed: MetresPerSecond::of(libm::hypot(east, north)),
        }
    }
}

/// The heading that makes good `course` at a true airspeed, and the groundspeed along it.
///
/// # Errors
/// [`CannotMakeGood`] where the wind across the course is as fast as the aircraft, or the wind
/// against it leaves no speed over the ground.
pub fn make_good(
    course: DegreesTrue,
    airspeed: MetresPerSecond,
    wind: Wind,
) -> Result<MadeGood, CannotMakeGood> {
    let airspeed = airspeed.get();
    let (sin, cos) = trig::sin_cos(wind.from.get() - course.get());
    // The wind's own speed seen along the course: from the right, and against.
    let (from_right, against) = (wind.speed.get() * sin, wind.speed.get() * cos);
    if airspeed <= 0.0 || from_right.abs() >= airspeed {
        return Err(CannotMakeGood);
    }
    let ahead = libm::sqrt(airspeed * airspeed - from_right * from_right);
    let groundspeed = ahead - against;
    if groundspeed <= 0.0 {
        return Err(CannotMakeGood);
    }
    Ok(MadeGood {
        heading: DegreesTrue::of(course.get() + trig::bearing(from_right, ahead)),
        groundspeed: MetresPerSecond::of(groundspeed),
    })
}

/// Track and groundspeed of an aircraft that flies a heading at a true airspeed.
#[must_use]
pub fn over_the_ground(air: Velocity, wind: Wind) -> Velocity {
    let ((east, north), (wind_east, wind_north)) = (air.east_north(), wind.east_north());
    Velocity::of(east + wind_east, north + wind_north)
}

/// Heading and true airspeed of an aircraft whose track and groundspeed are known: the velocity
/// over the ground less the wind's. No airspeed is asked for.
#[must_use]
pub fn through_the_air(ground: Velocity, wind: Wind) -> Velocity {
    let ((east, north), (wind_east, wind_north)) = (ground.east_north(), wind.east_north());
    Velocity::of(east - wind_east, north - wind_north)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn knots(value: f64) -> MetresPerSecond {
        MetresPerSecond::from_knots(value)
    }

    fn wind(from: f64, speed: f64) -> Wind {
        Wind { from: DegreesTrue::of(from), speed: knots(speed) }
    }

    #[test]
    fn a_headwind_is_subtracted_and_a_tailwind_added() {
        let north = DegreesTrue::NORTH;
        let against = make_good(north, knots(90.0), wind(0.0, 20.0));
        let with = make_good(north, knots(90.0), wind(180.0, 20.0));
        assert!(
            against
                .is_ok_and(|m| m.heading == north && (m.groundspeed.knots() - 70.0).abs() < 1e-9)
        );
        assert!(
            with.is_ok_and(|m| m.heading == north && (m.groundspeed.knots() - 110.0).abs() < 1e-9)
        );
    }

    #[test]
    fn too_strong_a_wind_is_said() {
        let east = DegreesTrue::of(90.0);
        assert!(make_good(east, knots(30.0), wind(0.0, 30.0)).is_err());
        assert!(make_good(east, knots(30.0), wind(90.0, 30.0)).is_err());
        assert!(make_good(east, knots(0.0), Wind::CALM).is_err());
        assert!(make_good(east, knots(30.0), wind(90.0, 29.0)).is_ok());
    }

    #[test]
    fn the_triangle_closes() {
        for step in 0..360 {
            let course = DegreesTrue::of(f64::from(step));
            let wind = wind(f64::from(step * 7 % 360), 25.0);
            let Ok(made) = make_good(course, knots(80.0), wind) else {
                unreachable!("25 kt against 80 kt")
            };
            let air =
                through_the_air(Velocity { direction: course, speed: made.groundspeed }, wind);
            assert!((air.speed.knots() - 80.0).abs() < 1e-9);
            assert!(air.direction.shortest_to(made.heading).get().abs() < 1e-9);
            let ground = over_the_ground(air, wind);
            assert!(ground.direction.shortest_to(course).get().abs() < 1e-9);
            assert!((ground.speed.get() - made.groundspeed.get()).abs() < 1e-9);
        }
    }
}
