//! Level, coordinated turns.
//!
//! All in SI with standard gravity. Handbooks print the same formulae with rounded constants for
//! knots and feet (11.26, 1091); those differ from these by 0.30 % and 0.11 %.

use crate::trig;
use crate::units::{Degrees, Metres, MetresPerSecond};

/// Standard gravity in metres a second squared, exactly (3rd CGPM, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Radius of a turn: v² / (g tan bank).
///
/// `None` unless the bank is above 0 and below 90 degrees.
#[must_use]
pub fn radius(speed: MetresPerSecond, bank: Degrees) -> Option<Metres> {
    let pull = centripetal(bank)?;
    Some(Metres::of(speed.get() * speed.get() / pull))
}

/// Rate of a turn in degrees a second: g tan bank / v.
///
/// `None` unless the bank is above 0 and below 90 degrees and the speed above nought.
#[must_use]
pub fn rate(speed: MetresPerSecond, bank: Degrees) -> Option<Degrees> {
    let pull = centripetal(bank)?;
    (speed.get() > 0.0).then(|| Degrees::of(pull / speed.get() / trig::RADIANS_PER_DEGREE))
}

/// The bank that holds a turn of a radius at a speed, 0 to 90 degrees: atan(v² / (g r)).
///
/// `None` for a radius that is not above nought.
#[must_use]
pub fn bank(speed: MetresPerSecond, radius: Metres) -> Option<Degrees> {
    (radius.get() > 0.0).then(|| {
        Degrees::of(trig::bearing(speed.get() * speed.get(), STANDARD_GRAVITY * radius.get()))
    })
}

fn centripetal(bank: Degrees) -> Option<f64> {
    let inside = bank.get() > 0.0 && bank.get() < 90.0;
    inside.then(|| STANDARD_GRAVITY * trig::tan(bank.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bank_and_radius_belong_together() {
        let speed = MetresPerSecond::from_knots(70.0);
        let there = radius(speed, Degrees::of(15.0)).and_then(|radius| bank(speed, radius));
        assert!(there.is_some_and(|bank| (bank.get() - 15.0).abs() < 1e-12));
    }

    #[test]
    fn no_bank_is_no_turn() {
        let speed = MetresPerSecond::from_knots(70.0);
        assert_eq!(radius(speed, Degrees::ZERO), None);
        assert_eq!(radius(speed, Degrees::of(90.0)), None);
        assert_eq!(radius(speed, Degrees::of(-5.0)), None);
        assert_eq!(rate(MetresPerSecond::ZERO, Degrees::of(15.0)), None);
        assert_eq!(bank(speed, Metres::ZERO), None);
    }
}
