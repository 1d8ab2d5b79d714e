//! Published figures about the earth: geodesics, magnetic declination, units. The source stands
//! beside each figure, here or in the table that is read.

#![allow(clippy::disallowed_methods, reason = "a cosine here only sets how near is near enough")]
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, Position, Utc, geodesic, magnetic};

fn table(name: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/tests/published/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.records().map(Result::unwrap).collect()
}

fn number(row: &csv::StringRecord, column: usize) -> Option<f64> {
    let text = row.get(column).unwrap();
    (!text.is_empty()).then(|| text.parse().unwrap())
}

/// Results are rounded to 1e-7 m and 1e-10 degree, so no check can be closer than that.
const METRES: f64 = 1e-7;
const DEGREES: f64 = 1e-10;

fn same_direction(found: DegreesTrue, expected: Option<f64>, tolerance: f64, what: &str) {
    let Some(expected) = expected else { return };
    let off = found.shortest_to(DegreesTrue::of(expected)).get().abs();
    assert!(off <= tolerance, "{what}: {found:?}, published {expected}, off by {off}");
}

#[test]
fn geodesics_from_one_place_to_another() {
    let mut checked = 0;
    for row in table("geodesic.csv") {
        let name = &row[0];
        if !row[1].contains("inverse") {
            continue;
        }
        let at = |lat: usize, lon: usize| {
            Position::of(number(&row, lat).unwrap(), number(&row, lon).unwrap())
        };
        let found = geodesic::inverse(at(2, 3), at(5, 6));
        let metres = number(&row, 8).unwrap();
        let tolerance = number(&row, 10).unwrap().max(METRES);
        assert!((found.distance.get() - metres).abs() <= tolerance, "{name}: {found:?}, {metres}");
        let tolerance = number(&row, 9).unwrap_or_default().max(DEGREES);
        same_direction(found.azimuth_start, number(&row, 4), tolerance, name);
        same_direction(found.azimuth_end, number(&row, 7), tolerance, name);
        checked += 1;
    }
    assert_eq!(checked, 24, "rows that were read");
}

#[test]
fn geodesics_from_a_place_over_a_distance() {
    let mut checked = 0;
    for row in table("geodesic.csv") {
        let name = &row[0];
        if !row[1].contains("direct") {
            continue;
        }
        let from = Position::of(number(&row, 2).unwrap(), number(&row, 3).unwrap());
        let (to, azimuth) = geodesic::direct(
            from,
            DegreesTrue::of(number(&row, 4).unwrap()),
            Metres::of(number(&row, 8).unwrap()),
        );
        let tolerance = number(&row, 9).unwrap().max(DEGREES);
        let lat = number(&row, 5).unwrap();
        assert!((to.lat() - lat).abs() <= tolerance, "{name}: {to:?}");
        if let Some(lon) = number(&row, 6) {
            let off =
                Degrees::of(DegreesTrue::of(to.lon()).shortest_to(DegreesTrue::of(lon)).get());
            let east = off.get().abs() * lat.to_radians().cos();
            assert!(east <= tolerance, "{name}: {to:?}");
        }
        same_direction(azimuth, number(&row, 7), tolerance, name);
        checked += 1;
    }
    assert_eq!(checked, 20, "rows that were read");
}

#[test]
fn declination_of_the_world_magnetic_model_2025() {
    for row in table("wmm2025.csv") {
        let value = |column| number(&row, column).unwrap();
        let at = Position::of(value(2), value(3));
        let found =
            magnetic::declination(at, Some(Metres::of(value(1) * 1000.0)), decimal_year(value(0)));
        assert!(!found.clamped);
        let off = DegreesTrue::of(found.degrees.get()).shortest_to(DegreesTrue::of(value(4)));
        // Printed to 0.01 degree: half of that is the source's rounding, the other half is ours.
        assert!(off.get().abs() <= 0.01, "{row:?}: {found:?}");
    }
}

/// Midnight of the day nearest to a decimal year of 2025 to 2029, where .0 is 1 January.
fn decimal_year(year: f64) -> Utc {
    let days_to_2025 = 20_089.0;
    let (whole, part) = (year.floor(), year.fract());
    let leap_days = if whole > 2028.0 { 1.0 } else { 0.0 };
    let length = if whole == 2028.0 { 366.0 } else { 365.0 };
    let days = days_to_2025 + (whole - 2025.0) * 365.0 + leap_days + (part * length).round();
    #[expect(clippy::cast_possible_truncation, reason = "whole and small")]
    Utc(days as i64 * 86_400_000)
}

#[test]
fn units() {
    // BIPM SI Brochure 8th ed. (2006) p. 127: 1 NM = 1852 m.
    assert_eq!(Metres::from_nautical_miles(1.0).get(), 1852.0);
    // International yard and pound agreement (1959): 1 ft = 0.3048 m.
    assert_eq!(Metres::from_feet(1.0).get(), 0.3048);
    // Ed Williams, Aviation Formulary V1.47, unit conversions: 1 kt = 1.852 km/h = 1.687810 ft/s.
    assert!((MetresPerSecond::from_knots(1.0).get() * 3.6 - 1.852).abs() < 1e-15);
    let feet_a_second = Metres::of(MetresPerSecond::from_knots(1.0).get()).feet();
    assert!((feet_a_second - 1.687_809_857_101_2).abs() < 1e-12);
    // FAA-H-8083-25 prints 1 NM = 6,076.1 ft.
    assert!((Metres::from_nautical_miles(1.0).feet() - 6076.1).abs() < 0.05);
    assert_eq!(Metres::of(926.0).nautical_miles(), 0.5);
    assert!((MetresPerSecond::from_knots(95.0).knots() - 95.0).abs() < 1e-13);
}
