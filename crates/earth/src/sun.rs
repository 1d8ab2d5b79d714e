//! Where the sun is, and when it rises and sets.
//!
//! # References
//! I. Reda and A. Andreas, Solar Position Algorithm for Solar Radiation Applications,
//! NREL/TP-560-34302 (2008), as the crate `solar-positioning` has it.

use serde::{Deserialize, Serialize};
use solar_positioning::time::JulianDate;
use solar_positioning::{
    Horizon, Location, RefractionCorrection, SolarEvents, SolarPositions, delta_t,
};

use crate::angle::DegreesTrue;
use crate::position::Position;
use crate::time::{Millis, Utc};
use crate::trig;
use crate::units::{Degrees, Metres};

/// Where the sun is, as seen from a place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sun {
    /// Its direction.
    pub azimuth: DegreesTrue,
    /// Of its middle above the level, as it appears through a standard atmosphere; negative below.
    pub elevation: Degrees,
}

/// Half the width of the sun's disc, in degrees.
const HALF_DISC: f64 = 0.2667;
/// The Julian date of the beginning of 1970, and the milliseconds of a day.
const EPOCH: f64 = 2_440_587.5;
const DAY: f64 = 86_400_000.0;
/// Terrestrial time less universal time in seconds where no estimate is to be had: that of 2020.
const DELTA_T: f64 = 69.4;

impl Sun {
    /// Where the sun is at a moment, as seen from a place at an altitude; none for a moment so far
    /// away that the algorithm does not reach it (before the year −2000, after 6000).
    #[must_use]
    pub fn at(time: Utc, from: Position, altitude: Option<Metres>) -> Option<Self> {
        let location = Location { latitude: from.lat(), longitude: from.lon() };
        let height = altitude.map_or(0.0, Metres::get);
        let moment = JulianDate::new(julian(time), difference(time)).ok()?;
        let seen = SolarPositions::new()
            .at_from_julian(moment, location, height, Some(RefractionCorrection::standard()))
            .ok()?;
        Some(Self {
            azimuth: DegreesTrue::of(seen.azimuth()),
            elevation: Degrees::of(seen.elevation_angle()),
        })
    }

    /// Whether any of its disc is above a level horizon.
    #[must_use]
    pub fn is_up(self) -> bool {
        self.elevation.get() > -HALF_DISC
    }

    /// The angle between the sun and another direction, each an azimuth and an elevation.
    #[must_use]
    pub fn apart(self, azimuth: DegreesTrue, elevation: Degrees) -> Degrees {
        let (sin_sun, cos_sun) = trig::sin_cos(self.elevation.get());
        let (sin_other, cos_other) = trig::sin_cos(elevation.get());
        let (_, cos) = trig::sin_cos(self.azimuth.shortest_to(azimuth).get());
        Degrees::of(trig::acos(sin_sun * sin_other + cos_sun * cos_other * cos))
    }
}

/// When the sun rises and sets in the 24 hours from a moment on, at sea level: its upper edge on a
/// level horizon, refraction of 34′ counted. Either is missing where it does not happen, as beyond the
/// polar circles.
#[must_use]
pub fn rise_and_set(from: Utc, at: Position) -> (Option<Utc>, Option<Utc>) {
    let location = Location { latitude: at.lat(), longitude: at.lon() };
    let (start, end) = (julian(from), julian(from + Millis::from_secs(86_400)));
    let difference = difference(from);
    let events = SolarEvents::new();
    let horizon = Horizon::SunriseSunset;
    let rise = events.next_rise_from_julian(start, end, location, difference, horizon);
    let set = events.next_set_from_julian(start, end, location, difference, horizon);
    (rise.ok().flatten().map(utc), set.ok().flatten().map(utc))
}

#[expect(
    clippy::cast_precision_loss,
    reason = "milliseconds of any date that is reckoned are exact"
)]
fn julian(time: Utc) -> f64 {
    EPOCH + time.0 as f64 / DAY
}

fn utc(julian: f64) -> Utc {
    Utc(0) + Millis::from_secs_f64((julian - EPOCH) * DAY / 1000.0)
}

/// Terrestrial time less universal time, in seconds.
fn difference(time: Utc) -> f64 {
    let year = 2000.0 + (julian(time) - 2_451_545.0) / 365.25;
    delta_t::estimate(year).unwrap_or(DELTA_T)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    fn utc_of(text: &str) -> Utc {
        Utc(text.parse::<jiff::Timestamp>().unwrap().as_millisecond())
    }

    fn golden() -> Position {
        Position::of(39.742_476, -105.178_6)
    }

    /// NREL/TP-560-34302, revision of January 2008, appendix A.5: 17 October 2003, 12:30:30 at seven
    /// hours behind UTC, 1830.14 m, 820 hPa, 11 °C, 67 s: azimuth 194.34024, zenith angle 50.11162
    /// degrees. Our atmosphere is the standard one, whose refraction is larger by 0.004 degrees; the
    /// true elevation printed there, 39.872046, is without any.
    #[test]
    fn the_example_of_the_algorithms_report() {
        let sun =
            Sun::at(utc_of("2003-10-17T19:30:30Z"), golden(), Some(Metres::of(1830.14))).unwrap();
        assert!((sun.azimuth.get() - 194.340_24).abs() < 5e-4, "{sun:?}");
        assert!((90.0 - sun.elevation.get() - 50.111_62).abs() < 6e-3, "{sun:?}");
        assert!((sun.elevation.get() - 39.872_046 - 0.0201).abs() < 2e-3, "{sun:?}");
    }

    /// Rise and set: the output of the report's own example (06:12:43 and 17:20:19 on 17 October
    /// 2003, seven hours behind UTC), and the report's web calculator for 2 January 2015 (sunset
    /// 16:47:43) and 2 August 2015 (19:13:58) there, and for 35 S 0 E on 5 July 1996 (17:01:04) and
    /// 4 December 2004 (19:02:03); the latter as tabulated by the tests of pvlib.
    #[test]
    fn published_times_of_rise_and_set() {
        let cape = Position::of(-35.0, 0.0);
        let near = |got: Option<Utc>, wanted: &str| {
            let apart = (got.unwrap() - utc_of(wanted)).secs().abs();
            assert!(apart <= 2.0, "{wanted}: {apart} s");
        };
        // The report's algorithm takes the day of universal time: its sunset is that of the evening
        // before in local time.
        let (rise, set) = rise_and_set(utc_of("2003-10-17T00:00:00Z"), golden());
        near(rise, "2003-10-17T13:12:43Z");
        near(set, "2003-10-17T00:20:19Z");
        near(rise_and_set(utc_of("2015-01-02T07:00:00Z"), golden()).1, "2015-01-02T23:47:43Z");
        near(rise_and_set(utc_of("2015-08-02T00:00:00Z"), golden()).1, "2015-08-02T02:13:58Z");
        near(rise_and_set(utc_of("1996-07-05T00:00:00Z"), cape).1, "1996-07-05T17:01:04Z");
        near(rise_and_set(utc_of("2004-12-04T00:00:00Z"), cape).1, "2004-12-04T19:02:03Z");
    }

    /// The same place by the US Naval Observatory, to the minute, as tabulated by the tests of pvlib:
    /// sunset at 16:47, 16:48 and 16:49 on 1, 2 and 3 January 2015, at 19:13 on 2 August.
    #[test]
    fn sunsets_of_an_almanac() {
        let days = [
            ("2015-01-01T07:00:00Z", "2015-01-01T23:47:00Z"),
            ("2015-01-02T07:00:00Z", "2015-01-02T23:48:00Z"),
            ("2015-01-03T07:00:00Z", "2015-01-03T23:49:00Z"),
            ("2015-08-02T07:00:00Z", "2015-08-03T02:13:00Z"),
        ];
        for (from, wanted) in days {
            let set = rise_and_set(utc_of(from), golden()).1.unwrap();
            assert!((set - utc_of(wanted)).secs().abs() <= 32.0, "{wanted}: {set:?}");
        }
    }

    #[test]
    fn beyond_the_polar_circle_it_neither_rises_nor_sets() {
        let north = Position::of(80.0, 15.0);
        assert_eq!(rise_and_set(utc_of("2026-06-21T00:00:00Z"), north), (None, None));
        assert!(Sun::at(utc_of("2026-06-21T00:00:00Z"), north, None).unwrap().is_up());
        assert_eq!(rise_and_set(utc_of("2026-12-21T00:00:00Z"), north), (None, None));
        assert!(!Sun::at(utc_of("2026-12-21T12:00:00Z"), north, None).unwrap().is_up());
    }

    #[test]
    fn angles_between_directions() {
        let sun = Sun { azimuth: DegreesTrue::of(350.0), elevation: Degrees::of(0.0) };
        let apart =
            |azimuth, elevation| sun.apart(DegreesTrue::of(azimuth), Degrees::of(elevation)).get();
        assert!((apart(20.0, 0.0) - 30.0).abs() < 1e-9);
        assert!((apart(350.0, -25.0) - 25.0).abs() < 1e-9);
        assert!((apart(170.0, 0.0) - 180.0).abs() < 1e-6);
    }
}
