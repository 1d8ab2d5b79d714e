//! `fulmar why`: what a condition found in place of what it asks for, and by which clock.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

#[allow(dead_code, reason = "other tests use more of it")]
#[path = "command_line/mod.rs"]
mod project;

use project::{Project, gpx};
use serde_json::Value;

/// The line about the southbound rule with other conditions, 110 s after the first fix: northbound
/// at 45 m/s along a meridian, 300 m up, 4,050 m north of the pad.
fn southbound(condition: &str) -> (String, Value) {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    project.edit_tour("track: 140..220", condition);
    let at = "2026-06-02T12:01:50Z";
    let args = ["why", "tours/west.yaml", "flight.gpx", "--at", at, "--channel", "camera"];
    let done = project.fulmar(&args);
    assert_eq!(done.code, 0, "{}", done.err);
    let line = done.out.lines().find(|line| line.contains("arch-southbound")).unwrap().to_owned();
    let answer = project.fulmar(&[&args[..], &["--format", "json"]].concat());
    let answer: Value = serde_json::from_str(&answer.out).unwrap();
    let rules = answer["rules"].as_array().unwrap().clone();
    let rule = rules.into_iter().find(|rule| rule["rule"]["name"] == "arch-southbound").unwrap();
    (line, rule["condition"]["actual"].clone())
}

#[test]
fn what_a_condition_found_stands_beside_it() {
    for (condition, said) in [
        ("track: 140..220", "does not hold: it was 000 ("),
        // Into a wind of 5 kt from 240: its part across is 4.3 kt from the left, 2.7° at 92 kt.
        ("heading: 140..220", "does not hold: it was 357 ("),
        ("altitude: above 2000 ft", "does not hold: it was 984 ft above sea level ("),
        ("altitude: above 900 m", "does not hold: it was 300 m above sea level ("),
        ("groundspeed: below 60 kt", "does not hold: it was 87 kt ("),
        ("pass: 2", "does not hold: it was number 1 ("),
        // 0.05° north of the pad and 0.01° west: 5,530 m and 1,097 m. 1,480 m at 45 m/s are 32.9 s.
        (
            "before abeam: {sight: ARCH, by: 20 s}",
            "does not hold: by this track it is abeam in 32 s, 0.6 NM aside (",
        ),
        // What says it itself.
        ("phase: on the ground", "does not hold ("),
    ] {
        let (line, _) = southbound(condition);
        assert!(line.contains(said), "{condition}: {line}");
    }
}

#[test]
fn what_a_condition_found_is_told_to_programs_with_its_unit() {
    let (_, actual) = southbound("track: 140..220");
    let direction = actual["direction_deg"].as_f64().unwrap();
    assert!(((direction + 180.0) % 360.0 - 180.0).abs() < 0.1, "{actual}");
    let (_, actual) = southbound("altitude: above 2000 ft");
    assert_eq!(actual["altitude_m"], 300.0);
    let (_, actual) = southbound("groundspeed: below 60 kt");
    assert!((actual["groundspeed_m_s"].as_f64().unwrap() - 45.0).abs() < 0.1, "{actual}");
    let (_, actual) = southbound("before abeam: {sight: ARCH, by: 20 s}");
    assert!(actual["ahead_ms"].as_i64().unwrap() > 20_000, "{actual}");
    assert!(actual["aside_m"].as_f64().unwrap() > 1000.0, "{actual}");
    let (_, actual) = southbound("phase: on the ground");
    assert_eq!(actual, Value::Null);
}

#[test]
fn a_magnetic_window_is_answered_in_magnetic_degrees() {
    // No figure of a model here: the two differ by what the model says, and both say which.
    let (_, by_true) = southbound("track: 140..220");
    let (line, magnetic) = southbound("track: 140..220 magnetic");
    assert!(line.contains(" magnetic ("), "{line}");
    let (by_true, magnetic) = (&by_true["direction_deg"], &magnetic["direction_deg_magnetic"]);
    assert!((by_true.as_f64().unwrap() - magnetic.as_f64().unwrap()).abs() > 0.01);
}

#[test]
fn before_take_off_all_is_told_by_the_clock_of_the_flight() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let args = |at| ["why", "tours/west.yaml", "flight.gpx", "--at", at, "--channel", "camera"];
    let done = project.fulmar(&args("T-00:05"));
    assert!(done.out.contains("camera at T-00:05 (2026-06-02T12:"), "{}", done.out);
    assert!(done.out.contains("  last change T-00:"), "{}", done.out);
    assert_eq!(done.out.matches("2026-").count(), 1, "{}", done.out);
}

#[test]
fn without_a_take_off_all_is_told_in_utc() {
    let project = Project::new();
    let taxi: Vec<&str> = "0 1 2 3 4 5 6 7 8 9 10 11 12".split(' ').collect();
    let points: String = taxi
        .iter()
        .map(|second| {
            format!(
                "<trkpt lat=\"10.0\" lon=\"20.0\"><ele>0</ele>\
                 <time>2026-06-02T12:00:{second:0>2}Z</time></trkpt>"
            )
        })
        .collect();
    project.write(
        "flight.gpx",
        format!(
            "<gpx version=\"1.1\" creator=\"made for a test\" \
             xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{points}</trkseg></trk></gpx>"
        ),
    );
    let done = project.fulmar(&[
        "why",
        "tours/west.yaml",
        "flight.gpx",
        "--at",
        "2026-06-02T12:00:10Z",
        "--channel",
        "camera",
    ]);
    assert!(done.out.contains("camera at 2026-06-02T12:00:10Z\n"), "{}{}", done.out, done.err);
    assert!(done.out.contains("  last change 2026-06-02T12:00:"), "{}", done.out);
    assert!(!done.out.contains("T+") && !done.out.contains("T-"), "{}", done.out);
}
