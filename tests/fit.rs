//! `fulmar fit` against sums made by hand on a straight leg.
//!
//! From the pad the route leads north along a meridian. Two lines across it are 3318 m apart: three
//! hundredths of a degree of latitude at 10 degrees north, by 110 608 m to a degree (WGS 84, the
//! geodesic from 10.03 N to 10.06 N as GeographicLib has it). The first line asks for one narration,
//! the second for the next, which wants its breath. So the room for the first is the time from line
//! to line at the groundspeed of the day, less the breath, and no more than a fix's second off.

#![allow(clippy::unwrap_used, reason = "a test may stop")]
#![allow(dead_code, reason = "the project serves other tests too")]

#[path = "command_line/mod.rs"]
mod project;

use geographiclib_rs::{Geodesic, InverseGeodesic};
use project::Project;
use serde_json::Value;

const KNOT: f64 = 1852.0 / 3600.0;

const TOUR: &str = r#"tour: From line to line
revision: 1
departure: 2026-06-01T10:30:00Z
aircraft: ../aircraft/heron.yaml
include: [../library/arch.yaml]
language: en
other languages:
  de: {words per minute: 100}
winds expected: [{from: 180, speed: 20 kt}, {from: 000, speed: 20 kt}]
airspeed tolerance: 10 kt
waypoints:
  PAD: {at: "10.0000N 20.0000E", elevation: 0 m}
  FAR: {at: "10.1500N 20.0000E"}
route:
  airspeed: 90 kt
  altitude: 300 m
  legs:
    - from: PAD
    - to: FAR
    - land: PAD
zones:
  first-line: {gate: {line: ["10.03N 19.98E", "10.03N 20.02E"], crossed from: right}}
  second-line: {gate: {line: ["10.06N 19.98E", "10.06N 20.02E"], crossed from: right}}
rules:
  film: {when: {phase: airborne}, record: on}
  first: {when: {in: first-line}, narration: {play: first, wait: 5 s}}
  second: {when: {in: second-line}, narration: {play: second, wait: 5 s}}
  word: {when: {before abeam: {sight: ARCH, by: sync word}, track: 150..210}, narration: word}
narrations:
  first: {text: {en: "One.", de: "Eins."}, length: {en: 55 s, de: 62 s}}
  second: {text: {en: "Two.", de: "Zwei."}, length: 20 s}
  word:
    text: {en: "Here is the arch.", de: "Dies ist der Bogen."}
    length: 30 s
    sync word: {en: arch at 12 s, de: Bogen at 15 s}
defaults: {breath: 2 s, longest silence: 10 min}
"#;

fn fit(project: &Project, more: &[&str]) -> (i32, Value) {
    let args = [&["fit", "tours/west.yaml", "--format", "json"], more].concat();
    let done = project.fulmar(&args);
    (done.code, serde_json::from_str(&done.out).unwrap_or_else(|_| panic!("{}", done.err)))
}

fn written(tour: &str) -> Project {
    let project = Project::new();
    project.write("tours/west.yaml", tour);
    project
}

fn narration<'v>(fits: &'v Value, language: usize, name: &str) -> &'v Value {
    let all = fits["languages"][language]["narrations"].as_array().unwrap();
    all.iter().find(|narration| narration["narration"] == name).unwrap()
}

/// From line to line, in metres.
fn between_the_lines() -> f64 {
    let (metres, _, _, _) = Geodesic::wgs84().inverse(10.03, 20.0, 10.06, 20.0);
    assert!((metres - 3318.2).abs() < 1.0, "{metres}");
    metres
}

#[test]
fn the_room_is_the_time_from_line_to_line_at_each_groundspeed() {
    let project = written(TOUR);
    let (code, fits) = fit(&project, &[]);
    assert_eq!(code, 1);
    assert_eq!(fits["conditions"].as_array().unwrap().len(), 9);
    let first = narration(&fits, 0, "first");
    for (which, knots, condition) in [
        ("planned", 90.0, 0),
        ("least", 90.0 - 10.0 - 20.0, 7),
        ("greatest", 90.0 + 10.0 + 20.0, 5),
    ] {
        let told = &first[which];
        assert_eq!(told["condition"], condition, "{which}");
        assert_eq!(told["spoiler"], "next_narration");
        assert_eq!(told["spoiler_name"], "second");
        let speed = told["groundspeed_m_s"].as_f64().unwrap();
        assert!((speed - knots * KNOT).abs() < 0.2, "{which}: {speed}");
        let room = told["room_ms"].as_f64().unwrap() / 1000.0;
        let by_hand = between_the_lines() / (knots * KNOT) - 2.0;
        assert!((room - by_hand).abs() <= 1.0, "{which}: {room} s, by hand {by_hand} s");
    }
    // 55 s fit as planned (69.7 s) and not at 120 kt (51.7 s); at the least speed it stays silent.
    assert_eq!(first["verdict"], "too_long");
    let over = -first["spare_ms"].as_f64().unwrap() / 1000.0;
    assert!((over - (55.0 - 51.7)).abs() <= 1.0, "{over}");
    let advice = &first["advice"];
    // At 130 words a minute a word takes 0.46 s.
    let words = advice["shorter_by"].as_f64().unwrap();
    assert!((words - over * 130.0 / 60.0).abs() <= 1.0, "{words}");
    let room = first["greatest"]["room_ms"].as_f64().unwrap() / 1000.0;
    assert_eq!(advice["room_for"].as_f64().unwrap(), (room * 130.0 / 60.0).floor());
    // Nothing is told before it, so it may begin earlier: at 120 kt that is 61.7 m for each second.
    let earlier = advice["earlier_m"].as_f64().unwrap();
    assert!((earlier - over * 120.0 * KNOT).abs() < 2.0, "{earlier}");
    let silence = first["least"]["silence_after_ms"].as_f64().unwrap() / 1000.0;
    let by_hand = between_the_lines() / (60.0 * KNOT) - 55.0;
    assert!((silence - by_hand).abs() <= 1.0, "{silence} s, by hand {by_hand} s");
}

#[test]
fn each_language_has_its_own_length_and_pace() {
    let project = written(TOUR);
    let (_, fits) = fit(&project, &[]);
    assert_eq!(fits["languages"][1]["language"], "de");
    let (en, de) = (narration(&fits, 0, "first"), narration(&fits, 1, "first"));
    let over = |of: &Value| -of["spare_ms"].as_f64().unwrap() / 1000.0;
    assert!((over(de) - over(en) - 7.0).abs() < 0.01);
    assert_eq!(de["a_minute"], 100.0);
    // Carried at once it lasts as long as the longest, and each is judged by its own voice.
    let (_, at_once) = fit(&project, &["--language", "en,de"]);
    let (both_en, both_de) = (narration(&at_once, 0, "first"), narration(&at_once, 1, "first"));
    assert_eq!((&both_en["length_ms"], &both_de["length_ms"]), (&55_000.into(), &62_000.into()));
    assert_eq!(both_en["spare_ms"], en["spare_ms"]);
    let second = narration(&at_once, 0, "second");
    assert!(second["planned"]["waited_ms"].as_i64().unwrap() == 0);
}

#[test]
fn the_word_falls_on_the_sight_at_every_groundspeed() {
    let project = written(TOUR);
    let (_, fits) = fit(&project, &[]);
    for (language, at) in [(0, 12_000.0), (1, 15_000.0)] {
        let word = narration(&fits, language, "word");
        for which in ["planned", "least", "greatest"] {
            // It is aimed by time, so that no wind moves it more than to the next fix.
            let late = word[which]["word_late_ms"].as_f64().unwrap();
            assert!((0.0..=1000.0).contains(&late), "{which}: {late}");
            let abeam = word[which]["abeam_ms"].as_f64().unwrap();
            assert!((abeam - at + late).abs() < 1.0);
        }
    }
    // Begun at a place instead of a time it is off by what the groundspeed makes of the way.
    let place = TOUR
        .replace("before abeam: {sight: ARCH, by: sync word}, track: 150..210", "in: second-line")
        .replace("crossed from: right}}\nrules", "crossed from: left}}\nrules")
        .replace("  second: {when: {in: second-line}, narration: {play: second, wait: 5 s}}\n", "")
        .replace("length: 30 s\n", "length: 30 s\n    sight: ARCH\n");
    let (_, fits) = fit(&written(&place), &[]);
    let word = narration(&fits, 0, "word");
    let (way, _, _, _) = Geodesic::wgs84().inverse(10.06, 20.0, 10.05, 20.0);
    for (which, knots) in [("planned", 90.0), ("least", 60.0), ("greatest", 120.0)] {
        let late = word[which]["word_late_ms"].as_f64().unwrap() / 1000.0;
        // Of the fix at which the crossing is known only the second is known.
        let by_hand = 12.0 - way / (knots * KNOT);
        assert!(
            (by_hand..=by_hand + 1.1).contains(&late),
            "{which}: {late} s, by hand {by_hand} s"
        );
    }
}

#[test]
fn what_spoils_it_is_the_first_of_all() {
    // A quiet zone from 10.04 N on: a circle of 1 km round 10.049 N.
    let quiet = TOUR.replace(
        "rules:\n",
        "  hush: {circle: {centre: \"10.0490N 20.0000E\", radius: 1 km}, quiet: true}\nrules:\n",
    );
    let (_, fits) = fit(&written(&quiet), &[]);
    let planned = &narration(&fits, 0, "first")["planned"];
    assert_eq!(planned["spoiler"], "quiet_zone");
    assert_eq!(planned["spoiler_name"], "hush");
    let (way, _, _, _) = Geodesic::wgs84().inverse(10.03, 20.0, 10.049, 20.0);
    let by_hand = (way - 1000.0) / (90.0 * KNOT);
    let room = planned["room_ms"].as_f64().unwrap() / 1000.0;
    assert!((room - by_hand).abs() <= 1.0, "{room} {by_hand}");

    // The arch, about 1.1 km aside, passes abeam at 10.05 N, and 45 degrees behind abeam it leaves
    // the frame of the left camera, 90 degrees wide: as far behind as it is aside.
    let about = TOUR
        .replace("length: {en: 55 s, de: 62 s}", "length: 55 s, sight: ARCH")
        .replace("10.06N", "10.08N");
    let (_, fits) = fit(&written(&about), &[]);
    let planned = &narration(&fits, 0, "first")["planned"];
    assert_eq!(planned["spoiler"], "sight_behind");
    let (aside, _, _, _) = Geodesic::wgs84().inverse(10.05, 20.0, 10.05, 19.99);
    let (way, _, _, _) = Geodesic::wgs84().inverse(10.03, 20.0, 10.05, 20.0);
    let room = planned["room_ms"].as_f64().unwrap() / 1000.0;
    let by_hand = (way + aside) / (90.0 * KNOT);
    assert!((room - by_hand).abs() <= 2.0, "{room} {by_hand}");
}

#[test]
fn without_expectations_only_the_plan_is_looked_at_and_that_is_said() {
    let alone = TOUR
        .replace("winds expected: [{from: 180, speed: 20 kt}, {from: 000, speed: 20 kt}]\n", "")
        .replace("airspeed tolerance: 10 kt\n", "");
    let project = written(&alone);
    let done = project.fulmar(&["fit", "tours/west.yaml"]);
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(done.out.contains("no `winds expected`"), "{}", done.out);
    // A wind in which it cannot be flown is named and left out; the wind of the day stands for all.
    let project = written(&TOUR.replace("speed: 20 kt}]", "speed: 120 kt}]"));
    let done = project.fulmar(&["fit", "tours/west.yaml"]);
    assert!(done.out.contains("cannot be flown so: wind 000/120 kt"), "{}", done.out);
    let (_, fits) = fit(&project, &["--wind", "180/5kt"]);
    assert_eq!(fits["conditions"].as_array().unwrap().len(), 3);
    let description = include_str!("../crates/cli/FORMATS.md");
    let mut found = Vec::new();
    keys(&fits, &mut found);
    for key in found {
        assert!(description.contains(&format!("`{key}`")), "`{key}` is not described");
    }
}

fn keys(value: &Value, into: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                into.push(key.clone());
                keys(value, into);
            }
        }
        Value::Array(list) => list.iter().for_each(|item| keys(item, into)),
        _ => {}
    }
}
