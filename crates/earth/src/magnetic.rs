//! Magnetic declination by the World Magnetic Model.

use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time::Date;
use world_magnetic_model::uom::si::angle::degree;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

use crate::position::Position;
use crate::time::Utc;
use crate::units::{Degrees, Metres};

/// The first day that the models at hand cover, counted from 1970-01-01: 2020-01-01.
const FIRST_DAY: i64 = 18_262;
/// The last day that the models at hand cover, counted from 1970-01-01: 2029-12-31.
const LAST_DAY: i64 = 21_914;
/// Julian day number of 1970-01-01.
const JULIAN_DAY_OF_1970: i64 = 2_440_588;
const MILLIS_PER_DAY: i64 = 86_400_000;

/// How far magnetic north lies from true north.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Declination {
    /// Degrees from true to magnetic north, east positive: true = magnetic + declination. Rounded
    /// to 1e-6 degree, so that the last bits of the mathematics do not show.
    pub degrees: Degrees,
    /// Whether the models at hand do not cover the date, so that their nearest day was taken.
    pub clamped: bool,
}

/// The declination at a place, altitude and day.
///
/// The altitude is above mean sea level; the model asks for the height above the ellipsoid, but
/// 100 m make less than 0.001 degree, so no geoid is asked for. Without an altitude sea level is
/// taken. Altitudes are held to the model's −1 to 850 km. The day is the UTC day.
///
/// At a geographic pole the declination depends on the meridian by which one comes; it is finite
/// all the same.
///
/// # References
/// WMM2020 and WMM2025, NOAA/NCEI and British Geological Survey; the model's own published error
/// is about half a degree.
#[must_use]
pub fn declination(at: Position, altitude: Option<Metres>, time: Utc) -> Declination {
    let asked = time.0.div_euclid(MILLIS_PER_DAY);
    let day = asked.clamp(FIRST_DAY, LAST_DAY);
    Declination { degrees: on_day(at, altitude.unwrap_or_default(), day), clamped: day != asked }
}

fn on_day(at: Position, altitude: Metres, day: i64) -> Degrees {
    let field = i32::try_from(JULIAN_DAY_OF_1970 + day)
        .ok()
        .and_then(|julian| Date::from_julian_day(julian).ok())
        .and_then(|date| {
            GeomagneticField::new(
                Length::new::<meter>(single(altitude.get().clamp(-999.0, 849_000.0))),
                Angle::new::<degree>(single(at.lat())),
                Angle::new::<degree>(single(at.lon())),
                date,
            )
            .ok()
        });
    let raw = field.map_or(0.0, |field| f64::from(field.declination().get::<degree>()));
    Degrees::of(libm::round(raw * 1e6) / 1e6)
}

#[expect(clippy::cast_possible_truncation, reason = "the model reckons in single precision")]
fn single(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(days: i64) -> Utc {
        Utc(days * MILLIS_PER_DAY)
    }

    #[test]
    fn a_date_outside_takes_the_nearest_day() {
        let at = Position::of(61.2, -6.7);
        let last = declination(at, None, day(LAST_DAY));
        assert!(!last.clamped);
        assert_eq!(
            declination(at, None, Utc(i64::MAX)),
            Declination { clamped: true, degrees: last.degrees }
        );
        let first = declination(at, None, day(FIRST_DAY));
        assert!(!first.clamped);
        assert_eq!(
            declination(at, None, Utc(i64::MIN)),
            Declination { clamped: true, degrees: first.degrees }
        );
        assert!(declination(at, None, day(LAST_DAY) + crate::Millis(MILLIS_PER_DAY)).clamped);
        assert!(!declination(at, None, Utc(day(LAST_DAY).0 + MILLIS_PER_DAY - 1)).clamped);
        assert!(declination(at, None, Utc(day(FIRST_DAY).0 - 1)).clamped);
    }

    #[test]
    fn both_names_of_the_180th_meridian_are_one_place() {
        let east = declination(Position::of(70.0, 180.0), None, day(20_000));
        let west = declination(Position::of(70.0, -180.0), None, day(20_000));
        assert!((east.degrees.get() - west.degrees.get()).abs() < 1e-3, "{east:?} {west:?}");
        assert!(east.degrees.get().abs() > 0.1, "not the fallback of nought");
    }

    #[test]
    fn poles_and_absurd_altitudes_give_a_finite_answer() {
        for lat in [-90.0, -89.999_999, 89.999_999, 90.0] {
            for lon in [-180.0, -90.0, 0.0, 77.7, 180.0] {
                for altitude in [f64::MIN, -1000.0, 0.0, 1e6, f64::MAX] {
                    let found = declination(
                        Position::of(lat, lon),
                        Some(Metres::of(altitude)),
                        day(20_000),
                    );
                    assert!(found.degrees.get().abs() <= 180.0);
                }
            }
        }
    }
}
