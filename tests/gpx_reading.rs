//! What the GPX reader makes of files as they are found: damaged, hostile, packed, in other
//! encodings, without times. All flights are invented.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::io::{Read, Write};

use diagnostic::{Diagnostic, Severity};
use earth::{Fix, HeadingReading, Metres, MetresPerSecond, Utc};
use track::{GpxReader, Kind, MadeTimes, Options, Report, read_waypoints, usual_interval};

const HEAD: &str =
    "<gpx version='1.1' creator='x' xmlns='http://www.topografix.com/GPX/1/1'>\n<trk><trkseg>\n";
const TAIL: &str = "</trkseg></trk></gpx>\n";
/// 2026-03-01T10:00:00Z.
const TEN: i64 = 1_772_359_200_000;

fn point(second: usize, inside: &str) -> String {
    let (minute, second) = (second / 60, second % 60);
    format!(
        "<trkpt lat='60.{minute:02}{second:02}' lon='-1.5'>{inside}<time>2026-03-01T10:{minute:02}:{second:02}Z</time></trkpt>\n"
    )
}

fn points(count: usize) -> String {
    (0..count).map(|n| point(n, "")).collect()
}

fn file(inside: &str) -> String {
    format!("{HEAD}{inside}{TAIL}")
}

fn read(source: impl Read) -> (Vec<Fix>, Report) {
    read_with(source, Options::default())
}

fn read_with(source: impl Read, options: Options) -> (Vec<Fix>, Report) {
    let mut reader = GpxReader::new(source, "flight.gpx", options);
    let fixes: Vec<Fix> = reader.by_ref().collect();
    let report = reader.into_report();
    assert_eq!(report.points, report.fixes + report.rejected());
    (fixes, report)
}

fn names(report: &Report) -> Vec<&'static str> {
    report.diagnostics.iter().map(|d| d.name).collect()
}

fn only(report: &Report) -> &Diagnostic {
    assert_eq!(report.diagnostics.len(), 1, "{:?}", report.diagnostics);
    &report.diagnostics[0]
}

#[test]
fn a_bad_point_is_rejected_with_its_line_and_the_others_fly() {
    let text = file(&format!(
        "{}  <trkpt lat='96.5' lon='0'><time>2026-03-01T10:00:03Z</time></trkpt>\n{}",
        points(3),
        point(4, "")
    ));
    let (fixes, report) = read(text.as_bytes());
    assert_eq!(fixes.len(), 4);
    assert_eq!(report.count(Kind::BadLatitude), 1);
    let said = only(&report);
    assert_eq!((said.name, said.severity), ("gpx-bad-latitude", Severity::Warning));
    assert_eq!(said.place.to_string(), "flight.gpx:6:3");
    assert!(said.headline.contains("96.5"), "{}", said.headline);
    assert!(!said.help.is_empty());
}

#[test]
fn the_first_few_of_a_kind_are_said_and_the_rest_counted() {
    let bad = "<trkpt lat='1' lon='181'/>\n".repeat(1000);
    let (fixes, report) = read(file(&format!("{}{bad}", points(1))).as_bytes());
    assert_eq!((fixes.len(), report.count(Kind::BadLongitude)), (1, 1000));
    assert_eq!(names(&report), ["gpx-bad-longitude"; 6]);
    assert!(report.diagnostics[5].headline.contains("995 more of 1000"));
    assert_eq!(report.diagnostics[4].place.line, 8);
}

#[test]
fn a_bad_value_is_left_out_and_its_point_flies() {
    for (inside, kind) in [
        ("<ele>high</ele>", Kind::BadAltitude),
        ("<ele>1e300</ele>", Kind::BadAltitude),
        ("<ele>INF</ele>", Kind::BadAltitude),
        ("<extensions><a:speed xmlns:a='a'>-1</a:speed></extensions>", Kind::BadSpeed),
        (
            "<extensions><a:speed xmlns:a='a' unit='furlong'>1</a:speed></extensions>",
            Kind::UnknownUnit,
        ),
        ("<extensions><a:cog xmlns:a='a'>361</a:cog></extensions>", Kind::BadCourse),
        ("<extensions><a:cog_mag xmlns:a='a'>36</a:cog_mag></extensions>", Kind::MagneticCourse),
        ("<extensions><a:hdg xmlns:a='a'>-1</a:hdg></extensions>", Kind::BadHeading),
        ("<magvar>361</magvar>", Kind::BadVariation),
    ] {
        let (fixes, report) = read(file(&point(0, inside)).as_bytes());
        assert_eq!(report.count(kind), 1, "{inside}: {:?}", report.diagnostics);
        let expected = Fix::at(Utc(TEN), fixes[0].position);
        assert_eq!(fixes, [expected], "{inside}");
    }
}

#[test]
fn motion_is_read_wherever_it_stands() {
    for (inside, speed, track, heading) in [
        ("<x:speed xmlns:x='x'>51.5</x:speed>", Some(51.5), None, None),
        (
            "<extensions><a xmlns='a'><b><speed>9</speed><course>8</course></b></a></extensions>",
            Some(9.0),
            Some(8.0),
            None,
        ),
        (
            "<extensions><v:speed_kt xmlns:v='v'>90</v:speed_kt></extensions>",
            Some(90.0 * 1852.0 / 3600.0),
            None,
            None,
        ),
        (
            "<extensions><v:speed xmlns:v='v' uom='km/h'>90</v:speed></extensions>",
            Some(25.0),
            None,
            None,
        ),
        ("<extensions><v:hdg xmlns:v='v'>271.5</v:hdg></extensions>", None, None, Some(271.5)),
        (
            "<extensions><v:track xmlns:v='v'>5</v:track><v:heading xmlns:v='v'>7</v:heading></extensions>",
            None,
            Some(5.0),
            Some(7.0),
        ),
    ] {
        let (fixes, report) = read(file(&point(0, inside)).as_bytes());
        // The time comes late in these points, which is noted.
        assert!(report.diagnostics.iter().all(|d| d.name == "gpx-order"), "{report:?}");
        let fix = fixes[0];
        assert_eq!(fix.groundspeed.map(MetresPerSecond::get), speed, "{inside}");
        assert_eq!(fix.track.map(|t| t.get()), track, "{inside}");
        let nose = fix.heading.map(|h| match h.reading {
            HeadingReading::True(degrees) => degrees.get(),
            HeadingReading::Magnetic { .. } => f64::NAN,
        });
        assert_eq!(nose, heading, "{inside}");
        assert!(fix.heading.is_none_or(|h| h.time == fix.time));
    }
}

#[test]
fn what_stands_directly_in_the_point_stands_above_an_extension() {
    let inside = "<extensions><v:speed xmlns:v='v'>1</v:speed></extensions><speed>2</speed>\
                  <extensions><v:speed xmlns:v='v'>3</v:speed></extensions>";
    let (fixes, report) = read(file(&point(0, inside)).as_bytes());
    assert_eq!(fixes[0].groundspeed, Some(MetresPerSecond::of(2.0)));
    assert_eq!(report.count(Kind::Repeated), 2);
}

#[test]
fn tracks_segments_names_and_what_is_not_flown_are_counted() {
    let text = format!(
        "<gpx version='1.1' creator='x' xmlns='http://www.topografix.com/GPX/1/1'>\
         <wpt lat='1' lon='2'><ele>30</ele><name>Quay &amp; mole</name></wpt><wpt lat='95' lon='2'/>\
         <rte><name>r</name><rtept lat='3' lon='4'/><rtept lat='5' lon='6'><name>T</name></rtept></rte>\
         <trk><name>Morning</name><trkseg>{}</trkseg><trkseg>{}</trkseg></trk>\
         <trk><name>Noon</name><trkseg>{}</trkseg></trk></gpx>",
        point(0, ""),
        point(1, ""),
        point(2, "")
    );
    let mut reader = GpxReader::new(text.as_bytes(), "x", Options::default());
    let mut segments = Vec::new();
    while reader.next_fix().is_some() {
        segments.push(reader.segment());
    }
    assert_eq!(segments, [1, 2, 3]);
    let report = reader.into_report();
    assert_eq!((report.tracks, report.segments, report.points), (2, 3, 3));
    assert_eq!((report.waypoints, report.routes, report.route_points), (2, 1, 2));
    assert_eq!(report.names, ["Morning", "Noon"]);
    assert!(report.diagnostics.is_empty());

    let (places, report) = read_waypoints(text.as_bytes(), "x");
    assert_eq!(places.len(), 3);
    assert_eq!(places[0].name.as_deref(), Some("Quay & mole"));
    assert_eq!(places[0].elevation, Some(Metres::of(30.0)));
    assert_eq!((places[0].route, places[1].route), (None, Some(1)));
    assert_eq!((places[2].position.lat(), places[2].name.as_deref()), (5.0, Some("T")));
    assert_eq!(names(&report), ["gpx-bad-latitude"]);
}

#[test]
fn a_track_without_times_is_refused_and_the_way_out_is_named() {
    let text = file("<trkpt lat='60' lon='0'/><trkpt lat='60.01' lon='0'/>");
    let (fixes, report) = read(text.as_bytes());
    assert!(fixes.is_empty());
    let said = only(&report);
    assert_eq!((said.name, said.severity), ("gpx-no-times", Severity::Error));
    assert!(said.help.contains("--groundspeed 80kt"));
    assert_eq!(report.count(Kind::MissingTime), 2);
}

#[test]
fn times_are_made_from_a_groundspeed() {
    let text = file("<trkpt lat='60' lon='0'><speed>1</speed></trkpt><trkpt lat='60.01' lon='0'/>");
    let how = MadeTimes::at(MetresPerSecond::of(50.0)).unwrap();
    let (fixes, report) = read_with(text.as_bytes(), Options { made_times: Some(how) });
    assert_eq!(fixes[0].time, MadeTimes::START);
    let metres = earth::geodesic::inverse(fixes[0].position, fixes[1].position).distance.get();
    assert!((metres - 1114.0).abs() < 1.0);
    let seconds = (fixes[1].time - fixes[0].time).secs();
    assert!((seconds - metres / 50.0).abs() <= 0.0005);
    assert_eq!(fixes[0].groundspeed, None, "it belongs to other times");
    assert_eq!(names(&report), ["gpx-own-motion", "gpx-made-times"]);
    assert!(report.diagnostics[1].headline.contains("2000-01-01T00:00:00Z"));

    let later = Options { made_times: Some(how.from(Utc(TEN))) };
    assert_eq!(read_with(text.as_bytes(), later).0[0].time, Utc(TEN));

    for wrong in [0.0, -1.0, 1001.0] {
        assert!(MadeTimes::at(MetresPerSecond::of(wrong)).is_err());
    }
}

#[test]
fn a_file_with_some_times_keeps_them_and_its_other_points_are_rejected() {
    let text = file(&format!("<trkpt lat='60' lon='0'/>\n{}<trkpt lat='60' lon='0'/>", points(2)));
    let how = MadeTimes::at(MetresPerSecond::of(50.0)).unwrap();
    for (options, said) in [
        (Options::default(), vec!["gpx-missing-time"; 2]),
        (
            Options { made_times: Some(how) },
            vec!["gpx-missing-time", "gpx-groundspeed-not-used", "gpx-missing-time"],
        ),
    ] {
        let (fixes, report) = read_with(text.as_bytes(), options);
        assert_eq!(fixes.iter().map(|f| f.time.0).collect::<Vec<_>>(), [TEN, TEN + 1000]);
        assert_eq!(report.count(Kind::MissingTime), 2);
        assert_eq!(names(&report), said);
        assert_eq!(report.diagnostics[0].place.line, 3);
    }
}

#[test]
fn very_many_points_without_times_do_not_grow_the_memory_and_a_late_time_is_said() {
    let text = file(&format!("{}{}", "<trkpt lat='60' lon='0'/>\n".repeat(60_000), points(1)));
    let how = MadeTimes::at(MetresPerSecond::of(50.0)).unwrap();
    let (fixes, report) = read_with(text.as_bytes(), Options { made_times: Some(how) });
    assert_eq!(fixes.len(), 60_001);
    assert_eq!(names(&report), ["gpx-made-times", "gpx-late-times"]);
    assert_eq!(report.diagnostics[1].place.line, 60_003);
}

#[test]
fn times_that_repeat_or_go_back_are_handed_out_as_they_stand() {
    let text = file(&[point(5, ""), point(5, ""), point(3, "")].concat());
    let (fixes, report) = read(text.as_bytes());
    let times: Vec<i64> = fixes.iter().map(|f| (f.time.0 - TEN) / 1000).collect();
    assert_eq!(times, [5, 5, 3]);
    assert!(report.diagnostics.is_empty());
}

#[test]
fn other_encodings_are_refused_by_name() {
    let utf16: Vec<u8> = file("").encode_utf16().flat_map(u16::to_le_bytes).collect();
    let mut with_mark = vec![0xff, 0xfe];
    with_mark.extend(&utf16);
    let declared = |name: &str| {
        format!("<?xml version='1.0' encoding='{name}'?>{}", file(&points(1))).into_bytes()
    };
    for (bytes, name) in [
        (with_mark, "UTF-16"),
        (utf16, "UTF-16"),
        (declared("UTF-16"), "UTF-16"),
        (declared("Shift_JIS"), "Shift_JIS"),
        (declared("KOI8-R"), "KOI8-R"),
    ] {
        let (fixes, report) = read(&bytes[..]);
        assert!(fixes.is_empty());
        let said = only(&report);
        assert_eq!(said.name, "gpx-encoding");
        assert!(said.headline.contains(name) && said.help.contains("UTF-8"), "{said:?}");
    }
}

#[test]
fn latin_files_are_read_as_far_as_they_are_ascii() {
    for name in ["ISO-8859-1", "us-ascii", "windows-1252"] {
        let head = format!("<?xml version='1.0' encoding='{name}'?>");
        let (fixes, report) = read(format!("{head}{}", file(&points(3))).as_bytes());
        assert_eq!((fixes.len(), report.diagnostics.len()), (3, 0));

        let mut bytes = format!("{head}{HEAD}{}<!-- \n F", points(2)).into_bytes();
        bytes.extend(b"\xe6r\xf8 -->");
        bytes.extend(format!("{}{TAIL}", points(2)).bytes());
        let (fixes, report) = read(&bytes[..]);
        assert_eq!(fixes.len(), 2);
        let said = only(&report);
        assert_eq!((said.name, said.place.line, said.place.column), ("gpx-encoding", 6, 3));
        assert!(said.headline.contains(name));
    }
}

#[test]
fn bytes_that_are_not_utf8_cost_a_name_and_not_the_flight() {
    let mut bytes = HEAD.replace("<trk>", "<trk><name>F\u{1}r</name>").into_bytes();
    let at = bytes.iter().position(|b| *b == 1).unwrap();
    bytes[at] = 0xe6;
    bytes.extend(format!("{}{TAIL}", points(2)).bytes());
    let (fixes, report) = read(&bytes[..]);
    assert_eq!((fixes.len(), report.names), (2, vec!["F?r".to_owned()]));
    assert_eq!(report.diagnostics[0].name, "gpx-not-utf8");
    assert_eq!((report.diagnostics[0].place.line, report.diagnostics[0].place.column), (2, 13));
}

#[test]
fn a_byte_order_mark_and_any_prefix_are_taken() {
    let text = format!("\u{feff}{}", file(&points(2)));
    assert_eq!(read(text.as_bytes()).0.len(), 2);
    let text =
        file(&points(2)).replace('<', "<p:").replace("<p:/", "</p:").replace("xmlns", "xmlns:p");
    let (fixes, report) = read(text.as_bytes());
    assert_eq!((fixes.len(), report.diagnostics.len()), (2, 0), "{report:?}");
}

#[test]
fn a_wrong_or_missing_namespace_is_said_once() {
    for namespace in ["xmlns='http://www.topografix.com/GPX/1/1/'", ""] {
        let text = file(&points(2)).replace("xmlns='http://www.topografix.com/GPX/1/1'", namespace);
        let (fixes, report) = read(text.as_bytes());
        assert_eq!((fixes.len(), only(&report).name), (2, "gpx-namespace"));
    }
}

fn packed(text: &str) -> Vec<u8> {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(text.as_bytes()).unwrap();
    packer.finish().unwrap()
}

#[test]
fn gzip_is_unpacked_in_several_members_and_its_damage_is_said() {
    let (head, tail) = (format!("{HEAD}{}", points(3)), format!("{}{TAIL}", points(2)));
    let whole = [packed(&head), packed(&tail)].concat();
    let (fixes, report) = read(&whole[..]);
    assert_eq!((fixes.len(), report.diagnostics.len()), (5, 0));

    let long = packed(&file(&points(3000)));
    for cut in [1, 2, 3, 9, 20, long.len() / 2, long.len() - 1] {
        let (fixes, report) = read(&long[..cut]);
        assert!(fixes.len() <= 3000);
        assert!(report.has_errors(), "{cut}");
        if cut > 10 {
            assert!(names(&report).contains(&"gpx-gzip-damaged"), "{cut}: {report:?}");
        }
    }
    let (fixes, _) = read(&long[..long.len() / 2]);
    assert!(fixes.len() > 1000, "what came before the damage is kept: {}", fixes.len());
}

#[test]
fn what_is_no_gpx_is_said_to_be_none() {
    for (text, name) in [
        ("", "gpx-empty"),
        (" \n ", "gpx-empty"),
        ("<?xml version='1.0'?>", "gpx-empty"),
        ("<!-- nothing -->", "gpx-empty"),
        ("\0\0\0\0\0\0\0\0", "gpx-empty"),
        ("time,lat,lon\n1,2,3\n", "gpx-not-xml"),
        ("{\"type\": \"FeatureCollection\"}", "gpx-not-xml"),
        ("PK\u{3}\u{4}aaaa", "gpx-archive"),
        ("<kml><Document/></kml>", "gpx-not-gpx"),
        ("<html><body></html>", "gpx-not-gpx"),
        ("<trkpt lat='1' lon='1'/>", "gpx-not-gpx"),
        ("<gpx version='1.1' creator='x'", "gpx-truncated"),
    ] {
        let (fixes, report) = read(text.as_bytes());
        assert!(fixes.is_empty());
        assert!(names(&report).contains(&name), "{text:?}: {:?}", report.diagnostics);
        assert!(report.has_errors());
        assert!(report.diagnostics.iter().all(|d| !d.help.is_empty()));
    }
}

#[test]
fn a_break_in_the_xml_keeps_what_came_before() {
    for (broken, name, place) in [
        ("<trkpt lat='1' lon='1'></trkseg>", "gpx-not-well-formed", "flight.gpx:5:24"),
        ("<a & b></x>", "gpx-not-well-formed", "flight.gpx:5:8"),
        ("<trkpt lat='1' lon='1'><time>2026-03-01T10", "gpx-not-well-formed", "flight.gpx:6:1"),
    ] {
        let (fixes, report) = read(file(&format!("{}{broken}\n", points(2))).as_bytes());
        assert_eq!(fixes.len(), 2, "{broken}");
        let said = report.diagnostics.iter().find(|d| d.severity == Severity::Error).unwrap();
        assert_eq!((said.name, said.place.to_string().as_str()), (name, place), "{said:?}");
        assert!(said.help.contains("the 2 track points before this place are kept"), "{said:?}");
    }
    let (fixes, report) = read(format!("{HEAD}{}<trkpt lat='1'", points(2)).as_bytes());
    assert_eq!((fixes.len(), only(&report).name), (2, "gpx-truncated"));
    assert_eq!(only(&report).place.to_string(), "flight.gpx:5:1");
}

#[test]
fn a_recorder_that_lost_power_leaves_what_it_wrote() {
    let text = format!("{HEAD}{}<trkpt lat='60.1'{}", points(4), "\0".repeat(100_000));
    let (fixes, report) = read(text.as_bytes());
    assert_eq!(fixes.len(), 4);
    assert_eq!(names(&report), ["gpx-truncated", "gpx-nul"]);
    assert!(report.diagnostics[1].headline.contains("100000 bytes"));
    assert_eq!(report.diagnostics[1].place.to_string(), "flight.gpx:7:18");
}

#[test]
fn declared_entities_are_never_put_in() {
    let bomb = "<!DOCTYPE gpx [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'>\
                <!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;'><!ENTITY t SYSTEM 'file:///etc/hostname'>]>";
    let inside = format!(
        "{}<trkpt lat='&a;' lon='1'/><trkpt lat='1' lon='1'><time>&c;</time></trkpt>\
         <trkpt lat='1' lon='1'><ele>&t;</ele><time>2026-03-01T10:00:0&#x31;Z</time></trkpt>",
        points(1)
    );
    let text = format!("{bomb}{}", file(&inside)).replace("<trk>", "<trk><name>&c;&t;</name>");
    let (fixes, report) = read(text.as_bytes());
    assert_eq!(fixes.len(), 2);
    assert_eq!((fixes[1].time.0, fixes[1].altitude), (TEN + 1000, None));
    assert_eq!(report.names, ["\u{fffd}\u{fffd}"]);
    assert_eq!(
        names(&report),
        ["gpx-doctype", "gpx-bad-latitude", "gpx-bad-time", "gpx-bad-altitude"]
    );
}

/// Bytes without end, made as they are asked for.
struct Endless<'a>(&'a [u8], &'a [u8], u64);

impl Read for Endless<'_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if !self.0.is_empty() {
            return self.0.read(into);
        }
        for (to, from) in into.iter_mut().zip(self.1.iter().cycle()) {
            *to = *from;
        }
        self.2 += u64::try_from(into.len()).unwrap();
        assert!(self.2 < 50_000_000, "the reader must have stopped by now");
        Ok(into.len())
    }
}

#[test]
fn nesting_names_and_texts_without_end_are_refused() {
    let head = format!("{HEAD}{}", points(2));
    let inside = format!("{head}<trkpt lat='1' lon='1'><time>");
    let attribute = format!("{head}<trkpt lat='");
    for (start, again, name) in [
        (&head, "<a>", "gpx-too-deep"),
        (&head, "<trkpt lat='1' lon='1'>", "gpx-too-deep"),
        (&head, "<!--", "gpx-too-long"),
        (&inside, "9", "gpx-too-long"),
        (&attribute, "9", "gpx-too-long"),
        (&String::new(), "9", "gpx-too-long"),
    ] {
        let (fixes, report) = read(Endless(start.as_bytes(), again.as_bytes(), 0));
        assert_eq!(fixes.len(), if start.is_empty() { 0 } else { 2 }, "{again}");
        assert!(names(&report).contains(&name), "{again}: {:?}", report.diagnostics);
    }
    let deep = "<a>".repeat(100_000) + &"</a>".repeat(100_000);
    let (fixes, report) = read(file(&format!("{}{deep}", points(2))).as_bytes());
    assert_eq!((fixes.len(), only(&report).name), (2, "gpx-too-deep"));
    let name = format!("<{}/>", "n".repeat(2_000));
    let (_, report) = read(file(&name).as_bytes());
    assert_eq!(only(&report).name, "gpx-too-long");
    let text = file(&point(0, &format!("<ele>{}</ele>", "9".repeat(100_000))));
    let (fixes, report) = read(text.as_bytes());
    assert_eq!((fixes.len(), only(&report).name), (1, "gpx-bad-altitude"));
    assert!(only(&report).headline.len() < 200);
}

#[test]
fn a_second_document_in_the_file_is_read_on() {
    let text = format!("{}{}", file(&points(2)), file(&points(3)));
    let (fixes, report) = read(text.as_bytes());
    assert_eq!((fixes.len(), only(&report).name), (5, "gpx-second-document"));
}

#[test]
fn a_failing_medium_keeps_what_came_before() {
    struct Failing;
    impl Read for Failing {
        fn read(&mut self, _: &mut [u8]) -> std::io::Result<usize> {
            Err(std::io::Error::other("the card is gone"))
        }
    }
    let text = format!("{HEAD}{}", points(2));
    let (fixes, report) = read(text.as_bytes().chain(Failing));
    assert_eq!((fixes.len(), only(&report).name), (2, "gpx-read-failed"));
    assert!(only(&report).headline.contains("the card is gone"));
    let (fixes, report) = read(Failing);
    assert_eq!((fixes.len(), only(&report).name), (0, "gpx-read-failed"));
}

#[test]
fn the_usual_interval_can_be_measured_from_a_file() {
    let text = file(&[point(0, ""), point(5, ""), point(10, ""), point(11, "")].concat());
    let reader = GpxReader::new(text.as_bytes(), "x", Options::default());
    assert_eq!(usual_interval(reader.map(|f| f.time)).map(|m| m.0), Some(5000));
}

#[test]
fn what_lies_further_on_is_not_blamed_for_a_break_before_it() {
    let head = "<?xml version='1.0' encoding='ISO-8859-1'?>";
    let mut bytes = format!("{head}{HEAD}{}</trk>", points(1)).into_bytes();
    bytes.push(0xe6);
    let (fixes, report) = read(&bytes[..]);
    assert_eq!((fixes.len(), only(&report).name), (1, "gpx-not-well-formed"));
    assert!(only(&report).help.contains("the 1 track point before this place is kept"));
}
