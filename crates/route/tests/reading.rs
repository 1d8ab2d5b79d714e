//! What comes out of files that are read, and that no file does harm.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::time::{Duration, Instant};

use earth::Degrees;
use route::model::{
    CameraEffect, ConditionKind, Defaults, HandCamera, LegKind, North, Spot, StillTime, Window,
    ZoneKind,
};
use route::{MemoryWorld, Project};

const EVERYTHING: &str = include_str!("cases/everything.yaml");

fn files() -> Vec<(String, String)> {
    EVERYTHING
        .split("#= ")
        .skip(1)
        .map(|part| {
            let (path, text) = part.split_once('\n').unwrap();
            (path.to_owned(), text.to_owned())
        })
        .collect()
}

fn world(files: &[(String, Vec<u8>)]) -> MemoryWorld {
    files.iter().fold(MemoryWorld::new(), |world, (path, bytes)| world.with(path, bytes.clone()))
}

fn project() -> Project {
    let files: Vec<_> = files().into_iter().map(|(p, t)| (p, t.into_bytes())).collect();
    let (project, findings) = route::read(&world(&files), "tour.yaml", None);
    assert_eq!(findings, []);
    let project = project.unwrap();
    assert!(project.complete);
    project
}

/// A tour around some keys of a library.
fn with_library(library: &str) -> (Option<Project>, Vec<diagnostic::Diagnostic>) {
    let tour = "tour: T\nrevision: 1\naircraft: a.yaml\ninclude: l.yaml\ndeparture: \
                2026-06-01T10:30:00Z\nroute: {legs: [{from: A}, {land: A}]}\n";
    let aircraft = "aircraft: A\ncameras: {nose: {input: 1, mount: {bearing: 0}, field of view: \
                    {width: 80 deg}}}\n";
    let world = MemoryWorld::new()
        .with("tour.yaml", tour)
        .with("a.yaml", aircraft)
        .with("l.yaml", format!("library: L\n{library}"));
    route::read(&world, "tour.yaml", None)
}

#[test]
fn values_arrive_in_si_units_with_their_places() {
    let project = project();
    let arch = project.zones.get("arch").unwrap();
    let ZoneKind::Circle { centre, radius } = &arch.value.kind.value else { panic!() };
    assert_eq!(radius.value.get(), 0.4 * 1852.0);
    assert_eq!(project.sources.text(radius.span), "0.4 NM");
    assert_eq!(project.sources.text(centre.span), "ARCH");
    assert_eq!(project.sources.text(arch.name.span), "arch");
    let place = project.sources.place(radius.span);
    let line = project.sources.files()[0].text.lines().nth(place.line as usize - 1).unwrap();
    assert!(line.trim_start().starts_with("arch: {circle"), "{line}");
    let band = arch.value.band.as_ref().unwrap();
    let low = band.value.from.as_ref().unwrap();
    assert_eq!(project.sources.text(low.span), "300 ft");

    let on_route = project.zones.get("on-route").unwrap().value.band.as_ref().unwrap();
    let pad = on_route.value.from.as_ref().unwrap().value.above.as_ref().unwrap();
    assert_eq!((pad.value.as_str(), project.sources.text(pad.span)), ("PAD", "PAD"));

    assert_eq!(project.defaults.manual_camera, HandCamera::UntilReturned);
    assert_eq!(project.departure.value.0, 1_780_309_800_000);
    let LegKind::To(Spot::At(at)) = &project.route.legs[2].kind.value else { panic!() };
    assert_eq!((at.lat(), at.lon()), (61.24, -6.79));
    let recorder = project.aircraft.as_ref().unwrap().recorder.unwrap().value;
    assert_eq!((recorder.bit_rate.0, recorder.card.0), (25_000_000, 128_000_000_000));
}

#[test]
fn conditions_keep_their_order_and_their_words() {
    let project = project();
    let rule = &project.rules.get("arch-northbound").unwrap().value;
    let written: Vec<_> = rule.conditions.iter().map(|c| &*c.written).collect();
    assert_eq!(
        written,
        [
            "in: arch",
            "not in: [town, field]",
            "track: 320..040",
            "heading: 090..180 magnetic",
            "altitude: 300 ft..500 ft above PAD",
            "groundspeed: 40 kt..80 kt",
            "before abeam: {sight: ARCH, by: 20 s, within: 2 NM}",
            "after: [lift, first]",
            "pass: 2",
            "phase: airborne",
        ]
    );
    for condition in &rule.conditions {
        assert_eq!(project.sources.text(condition.kind.span), &*condition.written);
    }
    let ConditionKind::Heading(Window::Between { from, to, north }) = rule.conditions[3].kind.value
    else {
        panic!()
    };
    assert_eq!((from, to, north), (Degrees::of(90.0), Degrees::of(180.0), North::Magnetic));
    let ConditionKind::Pass { of, .. } = &rule.conditions[8].kind.value else { panic!() };
    assert_eq!(of.value.as_str(), "arch");
    assert!(matches!(rule.stills[1].value.time, StillTime::AtClosest(_)));
    let Some(CameraEffect::InTurn(turns)) = rule.camera.as_ref().map(|c| &c.value) else {
        panic!()
    };
    let times: Vec<_> = turns.iter().map(|turn| turn.time.map(|time| time.value.0)).collect();
    assert_eq!(times, [None, Some(4000), Some(3000)]);
}

#[test]
fn a_condition_over_several_lines_is_written_on_one() {
    let (project, findings) = with_library(
        "rules:\n  r:\n    when:\n      # Nobody here.\n      not in:\n        - a # town\n        \
         - b\n      before abeam:\n        sight: S\n        by: 20 s\n",
    );
    assert_eq!(findings, []);
    let project = project.unwrap();
    let written: Vec<_> =
        project.rules.entries[0].value.conditions.iter().map(|c| &*c.written).collect();
    assert_eq!(written, ["not in: [a, b]", "before abeam: {sight: S, by: 20 s}"]);
}

#[test]
fn what_is_not_written_is_the_default() {
    let (project, findings) = with_library("");
    assert_eq!(findings, []);
    assert_eq!(project.unwrap().defaults, Defaults::default());
    // The same where the key is there with nothing below it but one value.
    let tour = files()[0].1.replace("manual camera: until returned", "manual camera: 60 s");
    let world = files()
        .into_iter()
        .skip(1)
        .fold(MemoryWorld::new().with("tour.yaml", tour), |world, (path, text)| {
            world.with(&path, text)
        });
    let (written_out, findings) = route::read(&world, "tour.yaml", None);
    assert_eq!(findings, []);
    assert_eq!(written_out.unwrap().defaults, Defaults::default());
}

#[test]
fn included_rules_stand_where_the_library_is_named() {
    let library = "library: L\nrules: {of-library: {record: on}}\n";
    let own = "rules: {own: {record: off}}\n";
    let include = "include: l.yaml\n";
    let rest = "tour: T\nrevision: 1\naircraft: a.yaml\ndeparture: 2026-06-01T10:30:00Z\nroute: \
                {legs: [{from: A}, {land: A}]}\n";
    for (tour, expected) in [
        (format!("{rest}{include}{own}"), ["of-library", "own"]),
        (format!("{rest}{own}{include}"), ["own", "of-library"]),
        (format!("{include}{rest}{own}"), ["of-library", "own"]),
    ] {
        let world = MemoryWorld::new()
            .with("t.yaml", tour)
            .with("a.yaml", "aircraft: A\ncameras: {c: {input: 1, cabin: true}}\n")
            .with("l.yaml", library);
        let (project, findings) = route::read(&world, "t.yaml", None);
        assert_eq!(findings, []);
        let names: Vec<_> = project
            .unwrap()
            .rules
            .entries
            .iter()
            .map(|entry| entry.name.value.to_string())
            .collect();
        assert_eq!(names, expected);
    }
}

#[test]
fn another_aircraft_can_be_given() {
    let mut files: Vec<_> = files().into_iter().map(|(p, t)| (p, t.into_bytes())).collect();
    files.push((
        "other.yaml".into(),
        b"aircraft: Other\ncameras: {c: {input: 1, cabin: true}}\n".to_vec(),
    ));
    let (project, findings) = route::read(&world(&files), "tour.yaml", Some("other.yaml"));
    assert_eq!(findings, []);
    assert_eq!(project.unwrap().aircraft.unwrap().model.value, "Other");
}

#[test]
fn what_is_broken_is_left_out_and_named() {
    let (project, findings) =
        with_library("zones:\n  good: {any of: [a]}\n  bad: {circle: {centre: A, radius: 900}}\n");
    assert_eq!(findings.len(), 1);
    let project = project.unwrap();
    assert!(!project.complete);
    assert!(project.zones.get("bad").is_none());
    assert!(project.zones.names("bad") && project.zones.names("good"));
}

/// A byte order mark and the line ends of another system change no place by more than they are.
#[test]
fn byte_order_marks_and_carriage_returns_are_taken() {
    let plain = "library: L\nzones:\n  Æ: {circle: {centre: A, radius: 900}}\n";
    let places = |text: String| {
        let world = MemoryWorld::new()
            .with("tour.yaml", "tour: T\ninclude: l.yaml\n")
            .with("l.yaml", text.clone());
        let (_, findings) = route::read(&world, "tour.yaml", None);
        let of_library: Vec<_> =
            findings.into_iter().filter(|finding| &*finding.place.file == "l.yaml").collect();
        assert_eq!(of_library.len(), 1, "{of_library:?}");
        let place = of_library[0].place.clone();
        assert_eq!(&text[place.bytes.0..place.bytes.1], "900");
        (place.line, place.column)
    };
    let expected = places(plain.to_owned());
    assert_eq!(expected, (3, 35));
    assert_eq!(places(plain.replace('\n', "\r\n")), expected);
    assert_eq!(places(format!("\u{feff}{plain}")), expected);
}

/// A file made to do harm is refused at once.
#[test]
fn hostile_files_are_refused_fast() {
    let aliases: String = (1..60).fold("a0: &a0 [x, x]\n".to_owned(), |text, at| {
        let before = at - 1;
        text + &format!("a{at}: &a{at} [*a{before}, *a{before}, *a{before}]\n")
    });
    let keys: String = (0..200_000).map(|at| format!("k{at}: 1\n")).collect();
    let same: String = "zones: {}\n".repeat(200_000);
    for (name, text) in [
        ("yaml-too-deep", format!("zones: {}", "[".repeat(100_000))),
        ("yaml-too-deep", format!("zones: {}", "{a: ".repeat(100_000))),
        ("yaml-too-deep", format!("zones:\n{}", "- ".repeat(100_000))),
        ("yaml-too-deep", (0..1000).map(|at| format!("{}a:\n", " ".repeat(at))).collect()),
        ("yaml-alias", aliases),
        ("too-many-findings", keys),
        ("too-many-findings", same),
        ("yaml-syntax", "zones: \0".to_owned()),
        (
            "bad-quantity",
            format!("zones: {{z: {{circle: {{centre: A, radius: {} m}}}}}}", "9".repeat(1_000_000)),
        ),
        ("number-out-of-range", format!("rules: {{r: {{priority: {}}}}}", "9".repeat(300))),
        ("bad-number", "rules: {r: {priority: .nan}}".to_owned()),
        ("bad-quantity", "zones: {z: {circle: {centre: A, radius: NaN m}}}".to_owned()),
        ("bad-coordinate", format!("waypoints: {{A: {{at: \"{}\"}}}}", "1 ".repeat(100_000))),
    ] {
        let start = Instant::now();
        let (_, findings) = with_library(&text);
        let shown: String = text.chars().take(40).collect();
        assert!(findings.iter().any(|finding| finding.name == name), "{name}: {shown}");
        // Far more than it takes, so that a busy machine does not fail it.
        assert!(start.elapsed() < Duration::from_secs(20), "{name}: {shown}");
    }
}

/// Numbers in a fixed order that looks like none (Marsaglia's xorshift, 64 bit).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(limit.max(1)).unwrap()).unwrap()
    }
}

#[test]
fn no_change_of_bytes_makes_reading_panic() {
    let original: Vec<_> = files().into_iter().map(|(p, t)| (p, t.into_bytes())).collect();
    let spice: &[&[u8]] = &[
        b"",
        b"\0",
        b"\xff",
        b"\xc3",
        b"{",
        b"}",
        b"[",
        b"]",
        b":",
        b": ",
        b"\n",
        b"\t",
        b"\"",
        b"'",
        b"- ",
        b"? ",
        b"#",
        b"&a ",
        b"*a",
        b"!x ",
        b"|",
        b">",
        b"..",
        b"..",
        b"-",
        b"\xc2\xb0",
        b"999999999999999999999",
        b"1e999",
        b"nan",
        b"---\n",
        b"...\n",
        b"%YAML 1.2\n",
        b"\r\n",
        b"\xef\xbb\xbf",
        b" above ",
        b"above ",
        b",",
    ];
    let mut dice = Dice(0x5eed_f00d_1234_5678);
    let mut unharmed = 0;
    for round in 0..3000 {
        let mut files = original.clone();
        for _ in 0..=dice.below(3) {
            let which = dice.below(files.len());
            let bytes = &mut files[which].1;
            let at = dice.below(bytes.len());
            match dice.below(4) {
                0 => bytes[at] = u8::try_from(dice.below(256)).unwrap(),
                1 => {
                    let end = (at + dice.below(40)).min(bytes.len());
                    bytes.drain(at..end);
                }
                2 => bytes.truncate(at),
                _ => {
                    let piece = spice[dice.below(spice.len())];
                    bytes.splice(at..at, piece.iter().copied());
                }
            }
            if bytes.is_empty() {
                bytes.push(b'x');
            }
        }
        let (project, findings) = route::read(&world(&files), "tour.yaml", None);
        let errors = findings.iter().any(|finding| finding.severity == diagnostic::Severity::Error);
        assert_eq!(project.as_ref().is_some_and(|p| p.complete), !errors, "round {round}");
        unharmed += usize::from(!errors);
        for finding in &findings {
            assert!(!finding.headline.is_empty() && !finding.help.is_empty(), "{finding:?}");
            assert!(route::pages().iter().any(|page| page.name == finding.name), "{finding:?}");
        }
    }
    // Some changes fall into comments and texts; if all or none did, nothing would be tried.
    assert!((50..2000).contains(&unharmed), "{unharmed}");
}

#[test]
fn coordinates_agree_in_all_forms() {
    let mut dice = Dice(0x00c0_ffee);
    for _ in 0..2000 {
        // Whole seconds, so that every form is exact.
        let mut angle = |most: usize| dice.below(most * 3600 + 1);
        let (lat, lon) = (angle(90), angle(180));
        let (south, west) = (dice.below(2) == 1, dice.below(2) == 1);
        let (ns, ew) = (if south { 'S' } else { 'N' }, if west { 'W' } else { 'E' });
        let sign = |negative: bool| if negative { "-" } else { "" };
        let seconds = |a: usize| (a / 3600, a / 60 % 60, a % 60);
        let minutes = |a: usize| (a / 3600, format!("{:.6}", (a % 3600) as f64 / 60.0));
        let degrees = |a: usize| format!("{:.9}", a as f64 / 3600.0);
        let (a, b) = (seconds(lat), seconds(lon));
        let (c, d) = (minutes(lat), minutes(lon));
        let forms = [
            format!("{}{}, {}{}", sign(south), degrees(lat), sign(west), degrees(lon)),
            format!("{}°{}'{}\"{ns} {}°{}'{}\"{ew}", a.0, a.1, a.2, b.0, b.1, b.2),
            format!("{ns}{} {} {} {ew}{} {} {}", a.0, a.1, a.2, b.0, b.1, b.2),
            format!("{ew}{}°{}′ {ns}{}°{}′", d.0, d.1, c.0, c.1),
            format!("{}{} {} {}{} {}", sign(south), c.0, c.1, sign(west), d.0, d.1),
        ];
        let expected = (lat as f64 / 3600.0, lon as f64 / 3600.0);
        let expected = (
            if south { -expected.0 } else { expected.0 },
            if west { -expected.1 } else { expected.1 },
        );
        for form in forms {
            let at = route::coordinates::position(&form).unwrap();
            let near = (at.lat() - expected.0).abs() < 1e-8 && (at.lon() - expected.1).abs() < 1e-8;
            assert!(near, "{form}: {at:?}");
        }
    }
}
