//! How commands end: one rule for all of them, and one form for all that is told.

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

/// A tour with one warning: nobody is told anything for longer than its author thinks good.
fn with_a_warning() -> Project {
    let project = Project::new();
    project.edit_tour("longest silence: 10 min", "longest silence: 20 s");
    project.write("flight.gpx", gpx(0.0));
    project
}

const PLANNED: &[&str] = &["simulate", "tours/west.yaml", "--planned"];
const RECORDED: &[&str] = &["simulate", "tours/west.yaml", "flight.gpx"];
const WHY: &[&str] =
    &["why", "tours/west.yaml", "flight.gpx", "--at", "T+01:00", "--channel", "camera"];

#[test]
fn a_warning_about_the_tour_is_a_finding_where_the_tour_is_told_of() {
    let project = with_a_warning();
    let (check, plan) = (["check", "tours/west.yaml"], ["plan", "tours/west.yaml"]);
    for (command, code) in [
        (check.as_slice(), 1),
        // These tell of what happens on it, in every form of messages.
        (&plan, 0),
        (PLANNED, 0),
        (RECORDED, 0),
        (WHY, 0),
    ] {
        for format in ["full", "concise", "json"] {
            let args = [command, &["--message-format", format]].concat();
            let done = project.fulmar(&args);
            assert_eq!(done.code, code, "{args:?}: {}{}", done.out, done.err);
            assert!(!done.out.is_empty(), "{args:?}");
        }
    }
}

#[test]
fn a_warning_about_the_flight_is_a_finding_where_the_flight_is_told_of() {
    let project = Project::new();
    let good = gpx(0.0);
    let bad = good.replacen("lat=\"10.0004069\"", "lat=\"91\"", 1);
    assert_ne!(bad, good);
    project.write("flight.gpx", &good);
    assert_eq!(project.fulmar(RECORDED).code, 0);
    assert_eq!(project.fulmar(WHY).code, 0);
    project.write("flight.gpx", &bad);
    let done = project.fulmar(RECORDED);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.err.contains("gpx-bad-latitude"), "{}", done.err);
    project.write("hand.csv", "time,action,camera\n+20:00,skip,\n");
    let with_hand = [PLANNED, &["--hand", "hand.csv"]].concat();
    assert_eq!(project.fulmar(&with_hand).code, 1);
}

#[test]
fn a_file_on_the_command_line_that_is_not_there_is_2_everywhere() {
    let project = with_a_warning();
    let check = ["check", "tours/west.yaml"];
    let plan = ["plan", "tours/west.yaml"];
    for command in [check.as_slice(), &plan, PLANNED, RECORDED, WHY] {
        for aircraft in ["aircraft/gone.yaml", "aircraft"] {
            let args = [command, &["--aircraft", aircraft]].concat();
            let done = project.fulmar(&args);
            assert_eq!(done.code, 2, "{args:?}: {}{}", done.out, done.err);
            assert!((done.out + &done.err).contains(aircraft), "{args:?}");
        }
        let mut gone = command.to_vec();
        gone[1] = "tours/gone.yaml";
        assert_eq!(project.fulmar(&gone).code, 2, "{gone:?}");
    }
    // What a tour names is part of the tour.
    project.edit_tour("../aircraft/heron.yaml", "../aircraft/gone.yaml");
    for command in [check.as_slice(), &plan, PLANNED] {
        assert_eq!(project.fulmar(command).code, 1, "{command:?}");
    }
}

#[test]
fn the_rule_is_in_the_help() {
    let help = Project::new().fulmar(&["--help"]).out;
    for part in ["0 nothing to complain of", "1 an error or a warning was told", "2 could not run"]
    {
        assert!(help.contains(part), "{help}");
    }
}

#[test]
fn what_cannot_be_written_is_told_in_the_form_asked_for() {
    let project = Project::new();
    for output in ["nowhere/plan.json", "tours/west.yaml"] {
        let done = project.fulmar(&[
            "plan",
            "tours/west.yaml",
            "--message-format",
            "json",
            "--output",
            output,
        ]);
        assert_eq!(done.code, 2);
        let finding: Value = serde_json::from_str(done.err.trim()).unwrap();
        assert_eq!(finding["severity"], "error");
        assert_eq!(finding["place"]["file"], output);
        let page = project.fulmar(&["explain", finding["name"].as_str().unwrap()]);
        assert_eq!(page.code, 0);
    }
}

#[test]
fn what_was_written_is_said() {
    let project = with_a_warning();
    let plan = ["plan", "tours/west.yaml", "--output", "west.plan.json"];
    let done = project.fulmar(&plan);
    assert!(done.err.ends_with("written: west.plan.json\n"), "{}", done.err);
    let simulate = [RECORDED, &["--states", "csv", "--output", "states.csv"]].concat();
    let done = project.fulmar(&simulate);
    assert!(done.err.ends_with("written: states.csv\n"), "{}", done.err);
    // Every line is JSON where JSON is asked for.
    let done = project.fulmar(&[&plan[..], &["--message-format", "json"]].concat());
    for line in done.err.lines() {
        assert!(serde_json::from_str::<Value>(line).is_ok(), "{line}");
    }
}

#[test]
fn a_byte_order_mark_hides_neither_a_plan_nor_a_tour() {
    let project = with_a_warning();
    let marked = |name: &str| [b"\xEF\xBB\xBF".to_vec(), project.read(name).into_bytes()].concat();
    project.fulmar(&["plan", "tours/west.yaml", "--output", "west.plan.json"]);
    let (plan, tour) = (marked("west.plan.json"), marked("tours/west.yaml"));
    project.write("west.plan", plan);
    project.write("tours/west.yaml", tour);
    let from_plan = project.fulmar(&["simulate", "west.plan", "flight.gpx"]);
    assert_eq!((from_plan.code, from_plan.err.as_str()), (0, ""));
    assert_eq!(project.fulmar(RECORDED).out, from_plan.out);
}

#[test]
fn times_made_for_a_track_that_stands_still_are_no_fault_of_the_track() {
    let project = Project::new();
    let timed = gpx(0.0);
    let bare: Vec<&str> = timed.split("<time>").collect();
    let without =
        |part: &&str| part.split_once("</time>").map_or(*part, |(_, rest)| rest).to_owned();
    project.write("flight.gpx", bare.iter().map(without).collect::<String>());
    let done = project.fulmar(&[RECORDED, &["--groundspeed", "80kt"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("531 good fixes;"), "{}", done.out);
}

#[test]
fn a_picture_in_place_of_a_flight_is_refused_once() {
    let project = Project::new();
    let bytes: Vec<u8> = (0..2_000_u32).map(|at| (at * 37 % 251) as u8).collect();
    project.write("flight.gpx", [b"\x89PNG\r\n\x1a\n".as_slice(), &bytes].concat());
    let done = project.fulmar(&[RECORDED, &["--message-format", "json"]].concat());
    assert_eq!(done.code, 2);
    assert_eq!(done.err.lines().count(), 1, "{}", done.err);
    assert!(done.err.contains("gpx-not-xml"), "{}", done.err);
}

#[test]
fn a_recording_from_its_end_to_its_beginning_is_said_to_be_one() {
    let project = Project::new();
    let whole = gpx(0.0);
    let (points, others): (Vec<&str>, Vec<&str>) =
        whole.lines().partition(|line| line.starts_with("<trkpt"));
    let turned: Vec<&str> = others[..2]
        .iter()
        .copied()
        .chain(points.into_iter().rev())
        .chain(others[2..].iter().copied())
        .collect();
    project.write("flight.gpx", turned.join("\n"));
    let done = project.fulmar(RECORDED);
    assert!(done.err.contains("the times run backwards: "), "{}", done.err);
    assert_eq!(done.code, 1);
}

#[test]
fn the_plan_says_when_the_closest_point_was() {
    let done = Project::new().fulmar(&["plan", "tours/west.yaml"]);
    assert!(done.out.contains("closest point, which was at T+"), "{}", done.out);
}

#[test]
fn a_mistake_in_one_tour_hides_nothing_of_the_next() {
    let project = Project::new();
    let good = project.read("tours/west.yaml");
    project.write("tours/broken.yaml", good.replace("camera: left", "camera: lft"));
    let done = project.fulmar(&["check", "tours/broken.yaml", "tours/west.yaml"]);
    assert_eq!(done.code, 1);
    assert_eq!(done.out.matches(": can be flown; ").count(), 1, "{}", done.out);
}
