//! How far one sees over the sea.
//!
//! # References
//! Distance to the horizon 1.17 √h nautical miles with h in feet, dip 0.97 √h minutes of arc: both
//! with the refraction of a standard atmosphere, as Bowditch, The American Practical Navigator, and
//! E. Williams, Aviation Formulary V1.47, have them.

use crate::units::{Degrees, Metres};

/// Nautical miles to the horizon for the square root of a height in feet.
const MILES: f64 = 1.17;
/// Minutes of arc of dip for the square root of a height in feet.
const MINUTES: f64 = 0.97;

fn root_of_feet(height: Metres) -> f64 {
    libm::sqrt((height.get() / Metres::PER_FOOT).max(0.0))
}

/// The distance to the sea's horizon from a height above the sea; nought at or below it.
#[must_use]
pub fn distance(height: Metres) -> Metres {
    Metres::from_nautical_miles(MILES * root_of_feet(height))
}

/// The distance at which a thing of a height comes above the horizon for an eye at another.
#[must_use]
pub fn sees(eye: Metres, thing: Metres) -> Metres {
    Metres::of(distance(eye).get() + distance(thing).get())
}

/// By how much the sea's horizon lies below the level of the eye.
#[must_use]
pub fn dip(height: Metres) -> Degrees {
    Degrees::of(MINUTES * root_of_feet(height) / 60.0)
}

/// Lines of sight over the ground are straight on an earth of this radius: the bend of light in a
/// standard atmosphere makes the earth look larger than it is, by a mean radius of 6371 km over 0.8279,
/// as E. Williams, Aviation Formulary V1.47, has it. In metres.
pub const APPARENT_RADIUS: f64 = 6_371_008.8 / 0.8279;

#[cfg(test)]
mod tests {
    use super::*;

    fn feet(value: f64) -> Metres {
        Metres::from_feet(value)
    }

    /// Published rows: E. Williams, Aviation Formulary V1.47, "Distance to horizon" (10,000 ft); the
    /// horizon table of Seamanship Secrets, appendix I, by the formula of the US Bowditch (16 ft,
    /// 125 ft, and 17.8 NM for both together); dip by F. Reed, NavList, 16 August 2022 (100 ft,
    /// 16 ft).
    #[test]
    fn tables_of_horizon_and_dip() {
        for (height, miles, tolerance) in
            [(10_000.0, 117.0, 0.05), (16.0, 4.7, 0.05), (125.0, 13.1, 0.05)]
        {
            let got = distance(feet(height)).nautical_miles();
            assert!((got - miles).abs() <= tolerance, "{height} ft: {got}");
        }
        assert!((sees(feet(16.0), feet(125.0)).nautical_miles() - 17.8).abs() <= 0.05);
        for (height, minutes, tolerance) in [(100.0, 9.7, 0.05), (16.0, 4.0, 0.15)] {
            let got = dip(feet(height)).get() * 60.0;
            assert!((got - minutes).abs() <= tolerance, "{height} ft: {got}");
        }
        assert_eq!(distance(Metres::of(-10.0)), Metres::ZERO);
    }

    /// The distance to the horizon and the apparent radius are one thing: d = √(2 R h).
    #[test]
    fn the_apparent_radius_gives_the_same_horizon() {
        let height = 300.0;
        let by_radius = libm::sqrt(2.0 * APPARENT_RADIUS * height);
        let by_table = distance(Metres::of(height)).get();
        assert!((by_radius / by_table - 1.0).abs() < 0.002, "{by_radius} {by_table}");
    }
}
