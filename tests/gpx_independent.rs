//! An independent reader, the `gpx` crate, agrees on documents that it can read, and reads what
//! is written here. Its own example document has published values.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::fmt::Write as _;

use earth::{Fix, Metres, Position, Utc};
use proptest::prelude::*;
use track::{GpxReader, Options, write_gpx};

/// Time in milliseconds, latitude, longitude, altitude, as the independent reader has them.
type Row = (i64, f64, f64, Option<f64>);

fn independent(bytes: &[u8]) -> Vec<Row> {
    let document = gpx::read(bytes).unwrap();
    let points = document.tracks.iter().flat_map(|t| &t.segments).flat_map(|s| &s.points);
    points
        .map(|p| {
            let time = time::OffsetDateTime::from(p.time.unwrap());
            let millis = i64::try_from(time.unix_timestamp_nanos() / 1_000_000).unwrap();
            (millis, p.point().y(), p.point().x(), p.elevation)
        })
        .collect()
}

fn ours(bytes: &[u8]) -> Vec<Row> {
    let mut reader = GpxReader::new(bytes, "x", Options::default());
    let rows = reader
        .by_ref()
        .map(|f| (f.time.0, f.position.lat(), f.position.lon(), f.altitude.map(Metres::get)))
        .collect();
    assert!(reader.report().diagnostics.is_empty(), "{:?}", reader.report().diagnostics);
    rows
}

prop_compose! {
    fn any_row()(
        millis in 0..4_000_000_000_000_i64,
        lat in -90.0..=90.0_f64,
        lon in -180.0..180.0_f64,
        altitude in proptest::option::of(-900.0..30_000.0_f64),
    ) -> Row {
        (millis, lat, lon, altitude)
    }
}

/// A document of these points, written here and by hand, with white space and more between.
fn document(rows: &[Row], style: usize) -> String {
    let gap = ["", "\n", "\r\n\t", "  <!-- c -->\n"][style % 4];
    let mut text = format!(
        "<?xml version=\"1.0\"?>{gap}<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" \
         version=\"1.1\" creator=\"x\">{gap}<trk>{gap}<trkseg>"
    );
    for (millis, lat, lon, altitude) in rows {
        let time = jiff::Timestamp::from_millisecond(*millis).unwrap();
        write!(text, "{gap}<trkpt lon=\"{lon}\" lat='{lat}' >").unwrap();
        if let Some(altitude) = altitude {
            write!(text, "{gap}<ele>{altitude}</ele>").unwrap();
        }
        write!(text, "{gap}<time>{time}</time>{gap}<sat>7</sat></trkpt>").unwrap();
    }
    text + "</trkseg></trk></gpx>"
}

proptest! {
    #[test]
    fn both_read_the_same(rows in proptest::collection::vec(any_row(), 1..20), style in 0..4_usize) {
        let text = document(&rows, style);
        prop_assert_eq!(&ours(text.as_bytes()), &rows);
        prop_assert_eq!(&independent(text.as_bytes()), &rows);
    }

    #[test]
    fn what_is_written_is_read_by_the_other(rows in proptest::collection::vec(any_row(), 1..20)) {
        let fixes = rows.iter().map(|(millis, lat, lon, altitude)| Fix {
            altitude: altitude.map(Metres::of),
            ..Fix::at(Utc(*millis), Position::new(*lat, *lon).unwrap())
        });
        let mut bytes = Vec::new();
        write_gpx(&mut bytes, "flight", [fixes]).unwrap();
        prop_assert_eq!(&independent(&bytes), &rows);
        prop_assert_eq!(&ours(&bytes), &rows);
    }
}

/// Values published with the document `wikipedia_example.gpx` of the crate gpx 0.10.0, asserted by
/// its test `gpx_reader_read_test_wikipedia`; the document here is our own around them.
#[test]
fn a_published_document_has_its_published_values() {
    let text = r#"<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">
        <metadata><time>2009-10-17T22:58:43Z</time></metadata><trk><trkseg>
        <trkpt lat="47.644548" lon="-122.326897"><ele>4.46</ele><time>2009-10-17T18:37:26Z</time></trkpt>
        <trkpt lat="47.644548" lon="-122.326897"><ele>4.94</ele><time>2009-10-17T18:37:31Z</time></trkpt>
        <trkpt lat="47.644548" lon="-122.326897"><ele>6.87</ele><time>2009-10-17T18:37:34Z</time></trkpt>
        </trkseg></trk></gpx>"#;
    // 2009-10-17T18:37:00Z is 1,255,804,620 s after 1970 (GNU date).
    let rows = [(26, 4.46), (31, 4.94), (34, 6.87)].map(|(second, altitude)| {
        ((1_255_804_620 + second) * 1000, 47.644548, -122.326897, Some(altitude))
    });
    assert_eq!(ours(text.as_bytes()), rows);
    assert_eq!(independent(text.as_bytes()), rows);
}
