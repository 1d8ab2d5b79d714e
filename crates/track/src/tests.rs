//! Damaged and odd documents: read in one piece or in small ones, the quick way or by events alone,
//! they give the same, and nothing makes the reader stop short of its report.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::io::{self, Read};

use earth::{Fix, MetresPerSecond, Utc};

use crate::{GpxReader, MadeTimes, Options, Report, read_waypoints};

/// Gives at most so many bytes at once.
struct Chunks<'a>(&'a [u8], usize);

impl Read for Chunks<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let most = into.len().min(self.1);
        self.0.read(&mut into[..most])
    }
}

/// SplitMix64, to damage documents in a way that can be repeated.
struct Random(u64);

impl Random {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((mixed ^ (mixed >> 31)) % u64::try_from(limit.max(1)).unwrap()).unwrap()
    }
}

type Outcome = (Vec<(Fix, u64)>, Report);

fn read(reader: GpxReader<'_>) -> Outcome {
    let mut reader = reader;
    let mut fixes = Vec::new();
    while let Some(fix) = reader.next_fix() {
        fixes.push((fix, reader.segment()));
    }
    assert_eq!(reader.next_fix(), None, "the end stays the end");
    (fixes, reader.into_report())
}

fn outcome(bytes: &[u8], options: Options) -> Outcome {
    let (fixes, report) = read(GpxReader::new(bytes, "x", options));
    assert_eq!(report.points, report.fixes + report.rejected(), "every point is accounted for");
    assert_eq!(report.fixes, u64::try_from(fixes.len()).unwrap());
    (fixes, report)
}

fn assert_same(a: &Outcome, b: &Outcome, what: &str) {
    assert_eq!(format!("{a:?}"), format!("{b:?}"), "{what}");
}

fn made() -> Options {
    Options { made_times: Some(MadeTimes::at(MetresPerSecond::of(50.0)).unwrap()) }
}

/// Documents with everything in them that the reader knows (places and names are invented).
fn documents() -> Vec<String> {
    let plain = r#"<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
<metadata><name>whole</name></metadata><wpt lat="1" lon="2"><ele>3</ele><name>Pad</name></wpt>
<trk><name>Morning &amp; noon</name><trkseg>
<trkpt lat="60.1" lon="-1.25"><ele>120.5</ele><time>2026-03-01T10:00:00Z</time></trkpt>
<trkpt lon="-1.26" lat="60.2"><time>2026-03-01T10:00:01.5Z</time><sat>7</sat><hdop>1.1</hdop></trkpt>
<trkpt lat='60.3' lon='-1.27'>
  <ele>122</ele>
  <time>2026-03-01T10:00:02Z</time>
  <extensions><a:TrackPointExtension xmlns:a="urn:a"><a:speed>50.25</a:speed><a:course>359</a:course></a:TrackPointExtension></extensions>
</trkpt>
</trkseg><trkseg><trkpt lat="91" lon="0"><time>2026-03-01T10:00:03Z</time></trkpt>
<trkpt lat="60.4" lon="-1.28"><!-- c --><ele><![CDATA[123]]></ele><time>2026-03-01T10:00:0&#52;Z</time></trkpt>
</trkseg></trk></gpx>
"#;
    let older = r#"<gpx version="1.0" creator="x" xmlns="http://www.topografix.com/GPX/1/0">
<rte><name>r</name><rtept lat="1" lon="1"/></rte><trk><trkseg>
<trkpt lat="-5.5" lon="180"><ele>1</ele><time>2026-03-01T10:00:00Z</time><course>360</course><speed>41.5</speed><magvar>350</magvar></trkpt>
<trkpt lat="-5.6" lon="179.9"><time>2026-03-01T10:00:01Z</time><course>12.5</course><speed>41</speed></trkpt>
<trkpt lat="-5.7" lon="179.8"><time>2026-03-01T10:00:02</time><speed>41</speed><course>12.5</course><heading_mag>4</heading_mag></trkpt>
<trkpt lat="-5.8" lon="179.7"/><trkpt lat="x" lon="1"/>
</trkseg></trk></gpx>"#;
    let prefixed = plain
        .replace("<gpx", "<g:gpx")
        .replace("</gpx", "</g:gpx")
        .replace("xmlns=", "xmlns:g=")
        .replace("trkpt", "g:trkpt")
        .replace("time>", "g:time>");
    let timeless = r#"<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
<trkpt lat="60.1" lon="-1.25"><ele>120.5</ele></trkpt><trkpt lat="60.2" lon="-1.25"/>
<trkpt lat="60.3" lon="-1.25"></trkpt></trkseg></trk></gpx>"#;
    let extended = r#"<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1" xmlns:v="urn:v"><trk><trkseg>
<trkpt lat="1" lon="2"><ele>3</ele><time>2026-03-01T10:00:00Z</time><extensions><v:speed>4</v:speed><v:cog>5</v:cog></extensions></trkpt>
<trkpt lat="1" lon="2"><time>2026-03-01T10:00:01Z</time><extensions>
 <v:m xmlns:v="urn:v" a="b"><v:in><v:speed_kt>90</v:speed_kt><v:temp u="c">7</v:temp></v:in><v:hdg_mag>12</v:hdg_mag></v:m> <speed>9</speed>
</extensions></trkpt>
<trkpt lat="1" lon="2"><time>2026-03-01T10:00:02Z</time><extensions><m xmlns="urn:v"><speed>4</speed><track>5</track></m></extensions></trkpt>
<trkpt lat="1" lon="2"><time>2026-03-01T10:00:03Z</time><extensions><v:track><v:track>6</v:track></v:track><v:speed unit="kt">4</v:speed></extensions></trkpt>
</trkseg></trk></gpx>"#;
    vec![plain.to_owned(), older.to_owned(), prefixed, timeless.to_owned(), extended.to_owned()]
}

#[test]
fn the_documents_read_as_they_should() {
    let counts: Vec<_> = documents()
        .iter()
        .map(|d| {
            let (fixes, report) = outcome(d.as_bytes(), Options::default());
            (fixes.len(), report.rejected(), report.has_errors())
        })
        .collect();
    assert_eq!(counts, [(4, 1, false), (3, 2, false), (4, 1, false), (0, 3, true), (4, 0, false)]);
    assert_eq!(outcome(documents()[3].as_bytes(), made()).0.len(), 3);
}

#[test]
fn in_pieces_or_whole_and_quick_or_not_they_give_the_same() {
    for document in documents() {
        let document = document.repeat(40);
        for options in [Options::default(), made()] {
            let whole = outcome(document.as_bytes(), options);
            let by_events =
                read(GpxReader::new(document.as_bytes(), "x", options).by_events_alone());
            assert_same(&whole, &by_events, "by events");
            for size in [1, 2, 3, 7, 64, 1000, 70_000] {
                let chunks = Chunks(document.as_bytes(), size);
                let pieces = read(GpxReader::new(chunks, "x", options));
                assert_same(&whole, &pieces, &format!("pieces of {size}"));
            }
        }
    }
}

#[test]
fn cut_off_anywhere_what_came_before_is_kept_and_the_cut_is_said() {
    for document in documents() {
        let bytes = document.trim_end().as_bytes();
        let whole = outcome(bytes, Options::default());
        for length in 0..bytes.len() {
            let (fixes, report) = outcome(&bytes[..length], Options::default());
            assert!(report.has_errors(), "{length}");
            assert!(whole.0.starts_with(&fixes), "{length}");
            let slow =
                read(GpxReader::new(&bytes[..length], "x", Options::default()).by_events_alone());
            assert_same(&(fixes, report), &slow, &format!("cut at {length}"));
        }
    }
}

/// Pieces of text that mean something in XML or in GPX.
const TOKENS: &[&str] = &[
    "<",
    ">",
    "&",
    "\"",
    "'",
    "/",
    "=",
    "</",
    "/>",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<?",
    "?>",
    "<!DOCTYPE x [<!ENTITY a \"b\">]>",
    "<!-->",
    "<!",
    "&a;",
    "&#0;",
    "&#x110000;",
    "&lt;",
    "\0",
    "\u{feff}",
    "é",
    "\u{1f681}",
    "<trkpt lat=\"1\" lon=\"1\">",
    "</trkpt>",
    "<trkseg>",
    "</trkseg>",
    "<time>",
    "</time>",
    "2026-03-01T10:00:00Z",
    "NaN",
    "1e999",
    "-",
    "<ele/>",
    "<speed>4</speed>",
    "<v:speed>4</v:speed>",
    "<extensions>",
    "</extensions>",
    "<v:hdg>7</v:hdg>",
    "xmlns=\"x\"",
    "<gpx>",
    "</gpx>",
    "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>",
    "\r\n",
    " ",
];

fn damaged(document: &str, random: &mut Random) -> Vec<u8> {
    let mut bytes = document.as_bytes().to_vec();
    for _ in 0..=random.below(4) {
        let at = random.below(bytes.len());
        let until = (at + random.below(40)).min(bytes.len());
        match random.below(7) {
            0 => bytes[at] = u8::try_from(random.below(256)).unwrap(),
            1 => bytes[at] ^= 1 << random.below(8),
            2 => {
                bytes.drain(at..until);
            }
            3 => {
                let copy = bytes[at..until].to_vec();
                let to = random.below(bytes.len());
                bytes.splice(to..to, copy);
            }
            4 => {
                let size = until - at;
                let to = random.below(bytes.len() - size);
                for n in 0..size {
                    bytes.swap(at + n, to + n);
                }
            }
            5 => bytes[at] = b"0123456789.-+eE:TZ"[random.below(18)],
            _ => {
                let token = TOKENS[random.below(TOKENS.len())];
                bytes.splice(at..at, token.bytes());
            }
        }
        if bytes.is_empty() {
            bytes.push(b'<');
        }
    }
    bytes
}

#[test]
fn damaged_documents_never_stop_the_reader() {
    let documents = documents();
    let mut random = Random(20_260_301);
    let mut flown = 0;
    for number in 0..12_000 {
        let document = &documents[number % documents.len()];
        let bytes = damaged(document, &mut random);
        let options = if random.below(3) == 0 { made() } else { Options::default() };
        let whole = outcome(&bytes, options);
        let shown = || format!("mutant {number}: {}", String::from_utf8_lossy(&bytes));
        let slow = read(GpxReader::new(&bytes[..], "x", options).by_events_alone());
        assert_same(&whole, &slow, &shown());
        let size = 1 + random.below(90);
        let pieces = read(GpxReader::new(Chunks(&bytes, size), "x", options));
        assert_same(&whole, &pieces, &shown());
        let _ = read_waypoints(&bytes[..], "x");
        flown += whole.0.len();
        for (fix, _) in whole.0 {
            assert!(fix.groundspeed.is_none_or(|s| s.get() >= 0.0), "{}", shown());
            assert!(fix.time >= Utc(-62_135_596_800_000), "{}", shown());
        }
    }
    assert!(flown > 6_000, "much of what was not damaged is flown: {flown}");
}
