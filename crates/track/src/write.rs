//! Writing fixes as GPX.

use std::io::Write;

use earth::{Fix, Utc};
use gpx::{Gpx, GpxVersion, Track, TrackSegment, Waypoint};

/// Why fixes could not be written as GPX.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// A time is outside the years 0001 to 9999, for which GPX has no form.
    #[error("the time of fix {number} is outside the years 0001 to 9999")]
    Time {
        /// Which fix, from 1 through all segments.
        number: usize,
    },
    /// The writing itself failed.
    #[error("writing GPX failed: {0}")]
    Failed(#[from] gpx::errors::GpxError),
}

/// The first millisecond of the year 1 and the last of 9999.
const TIMES: std::ops::RangeInclusive<Utc> = Utc(-62_135_596_800_000)..=Utc(253_402_300_799_999);

/// Writes fixes as a GPX 1.1 document of one track, a `trkseg` for each segment. All of it is
/// built in memory first, so this is for flights, not for archives.
///
/// Time to the millisecond, position and altitude are written so that
/// [`GpxReader`](crate::GpxReader) gives back the same to the last bit. Groundspeed, track and
/// heading are lost: GPX 1.1 has no element for them. A longitude of 180 is written as −180, the
/// same meridian, because GPX 1.1 asks for it. Control characters in the name are left out, as XML
/// cannot hold them.
///
/// # Errors
/// [`WriteError`] if a time has no form in GPX or the writing fails.
pub fn write_gpx<Segments>(
    out: impl Write,
    name: &str,
    segments: Segments,
) -> Result<(), WriteError>
where
    Segments: IntoIterator,
    Segments::Item: IntoIterator<Item = Fix>,
{
    let mut track = Track::new();
    let name: String = name.chars().filter(|c| !c.is_control()).collect();
    track.name = (!name.is_empty()).then_some(name);
    let mut number = 0;
    for fixes in segments {
        let mut segment = TrackSegment::new();
        for fix in fixes {
            number += 1;
            segment.points.push(point(&fix).ok_or(WriteError::Time { number })?);
        }
        track.segments.push(segment);
    }
    let document = Gpx {
        version: GpxVersion::Gpx11,
        creator: Some("fulmar".to_owned()),
        tracks: vec![track],
        ..Gpx::default()
    };
    gpx::write(&document, out)?;
    Ok(())
}

fn point(fix: &Fix) -> Option<Waypoint> {
    if !TIMES.contains(&fix.time) {
        return None;
    }
    let nanoseconds = i128::from(fix.time.0) * 1_000_000;
    let time = time::OffsetDateTime::from_unix_timestamp_nanos(nanoseconds).ok()?;
    let lon = if fix.position.lon() == 180.0 { -180.0 } else { fix.position.lon() };
    let mut point = Waypoint::new((lon, fix.position.lat()).into());
    point.time = Some(time.into());
    point.elevation = fix.altitude.map(earth::Metres::get);
    Some(point)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;
    use crate::{GpxReader, Options};
    use earth::{Metres, Position};
    use proptest::prelude::*;

    fn written(name: &str, segments: &[Vec<Fix>]) -> Vec<u8> {
        let mut out = Vec::new();
        write_gpx(&mut out, name, segments.iter().map(|s| s.iter().copied())).unwrap();
        out
    }

    prop_compose! {
        fn any_fix()(
            time in TIMES.start().0..=TIMES.end().0,
            lat in -90.0..=90.0_f64,
            lon in -180.0..180.0_f64,
            altitude in proptest::option::of(-1000.0..100_000.0_f64),
        ) -> Fix {
            Fix {
                altitude: altitude.map(Metres::of),
                ..Fix::at(Utc(time), Position::new(lat, lon).unwrap())
            }
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(
            segments in proptest::collection::vec(proptest::collection::vec(any_fix(), 0..9), 0..4),
            name in ".*",
        ) {
            let bytes = written(&name, &segments);
            let mut reader = GpxReader::new(&bytes[..], "x", Options::default());
            let mut back = vec![Vec::new(); segments.len()];
            while let Some(fix) = reader.next_fix() {
                let at = usize::try_from(reader.segment()).unwrap() - 1;
                back[at].push(fix);
            }
            prop_assert_eq!(&back, &segments);
            let points = segments.iter().map(Vec::len).sum::<usize>();
            let report = reader.into_report();
            prop_assert!(points == 0 || report.diagnostics.is_empty(), "{:?}", report.diagnostics);
        }
    }

    #[test]
    fn the_meridian_is_written_as_the_standard_has_it() {
        let fix = Fix::at(Utc(0), Position::new(1.0, 180.0).unwrap());
        let text = String::from_utf8(written("a\u{1}<b", &[vec![fix]])).unwrap();
        assert!(text.contains(r#"lon="-180""#), "{text}");
        assert!(text.contains("<name>a&lt;b</name>"), "{text}");
        assert!(
            text.contains(r#"version="1.1""#) && text.contains(r#"creator="fulmar""#),
            "{text}"
        );
    }

    #[test]
    fn a_time_without_a_form_is_an_error() {
        let place = Position::new(1.0, 1.0).unwrap();
        let fixes = [Fix::at(Utc(0), place), Fix::at(Utc(i64::MAX), place)];
        let error = write_gpx(Vec::new(), "x", [fixes]).unwrap_err();
        assert_eq!(error.to_string(), "the time of fix 2 is outside the years 0001 to 9999");
    }
}
