//! GPX documents on both sides of the published schemas, and what the reader makes of each.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::collections::BTreeSet;
use std::path::Path;

use earth::{Degrees, DegreesTrue, HeadingReading, MetresPerSecond, Utc};
use track::{Class, GpxReader, Kind, MadeTimes, Options};

fn data() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/gpx")
}

fn case(id: &str) -> String {
    std::fs::read_to_string(data().join("conformance").join(format!("{id}.gpx"))).unwrap()
}

fn options(text: &str) -> Options {
    let made_times = (!text.contains("<time"))
        .then(|| MadeTimes::at(MetresPerSecond::from_knots(80.0)).unwrap());
    Options { made_times }
}

#[test]
fn every_document_is_taken_as_the_policy_says() {
    let mut rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(data().join("conformance.csv"))
        .unwrap();
    let mut seen = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let [id, _schema, fixes, rejected, said] = row.iter().collect::<Vec<_>>()[..] else {
            panic!("five columns: {row:?}");
        };
        let text = case(id);
        let mut reader = GpxReader::new(text.as_bytes(), id, options(&text));
        let handed_out = reader.by_ref().count();
        let report = reader.into_report();
        assert_eq!(handed_out.to_string(), fixes, "{id}: {:?}", report.diagnostics);
        assert_eq!(report.points, report.fixes + report.rejected(), "{id}");
        let why = Kind::ALL
            .iter()
            .find(|k| k.class() == Class::Rejected && report.count(**k) > 0)
            .map_or("", |k| k.name());
        assert_eq!(why, rejected, "{id}");
        let all: BTreeSet<&str> = report.diagnostics.iter().map(|d| d.name).collect();
        let expected: BTreeSet<&str> =
            said.split_whitespace().chain((!rejected.is_empty()).then_some(rejected)).collect();
        assert_eq!(all, expected, "{id}");
        seen += 1;
    }
    assert_eq!(seen, std::fs::read_dir(data().join("conformance")).unwrap().count());
}

#[test]
fn the_values_of_the_documents_are_read() {
    let only = |id: &str| {
        let text = case(id);
        GpxReader::new(text.as_bytes(), id, options(&text)).next().unwrap()
    };
    let six = Utc(1_772_388_000_000);
    let fix = only("v10_course_speed");
    assert_eq!(fix.time, six);
    assert_eq!((fix.position.lat(), fix.position.lon()), (36.0, -112.0));
    assert_eq!(fix.altitude.map(|a| a.get()), Some(1200.0));
    assert_eq!(fix.track.map(DegreesTrue::get), Some(157.19));
    assert_eq!(fix.groundspeed.map(MetresPerSecond::get), Some(0.5429));
    assert_eq!(only("v11_time_offset").time, six);
    assert_eq!(only("v11_time_nozone").time, six);
    assert_eq!(only("v11_time_frac").time, Utc(six.0 + 250));
    assert_eq!(only("v11_order").altitude.map(|a| a.get()), Some(1200.0));
    assert_eq!(only("v11_lat_exp").position.lat(), 36.0);
    assert_eq!(only("v11_lon_180").position.lon(), 180.0);
    assert_eq!(only("v11_speed").groundspeed.map(MetresPerSecond::get), Some(50.0));
    assert_eq!(only("v11_speed_ext").groundspeed.map(MetresPerSecond::get), Some(50.0));
    assert_eq!(only("v10_course_360").track, Some(DegreesTrue::NORTH));
    assert_eq!(only("v11_magvar_359").heading, None);
}

#[test]
fn a_variation_goes_with_a_magnetic_heading() {
    for (magvar, east) in [("359.9", -0.1), ("350", -10.0), ("12.5", 12.5), ("-3.1", -3.1)] {
        let text = case("v11_magvar_359").replace(
            "<magvar>359.9</magvar>",
            &format!(
                "<time>2026-03-01T18:00:00Z</time><magvar>{magvar}</magvar>\
                 <extensions><x:heading_magnetic xmlns:x='x'>90</x:heading_magnetic></extensions>"
            ),
        );
        let fix = GpxReader::new(text.as_bytes(), "x", Options::default()).next().unwrap();
        let HeadingReading::Magnetic { degrees, variation } = fix.heading.unwrap().reading else {
            panic!("magnetic: {fix:?}");
        };
        assert_eq!(degrees.get(), 90.0);
        assert!((variation.map_or(f64::NAN, Degrees::get) - east).abs() < 1e-9, "{magvar}");
    }
}
