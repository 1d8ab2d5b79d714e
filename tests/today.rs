//! What differs today, from the command line: as options and in a file, and what becomes of the
//! tour. Everything here is invented.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

#[expect(dead_code, reason = "shared with the other tests of the command line")]
#[path = "command_line/mod.rs"]
mod project;

use project::Project;
use serde_json::Value;

const VARIANTS: &str = "other languages: {de: {fallback: en}}
variants:
  reversed: {reversed: true}
  low: {not above: 500 ft}
rules:
";

fn project() -> Project {
    let project = Project::new();
    project.edit_tour("rules:\n", VARIANTS);
    project
}

#[test]
fn a_camera_that_is_not_allowed_loses_its_sight_and_that_is_said() {
    let project = project();
    let done = project.fulmar(&["check", "tours/west.yaml", "--not-allowed", "left"]);
    assert!(done.out.contains("today: not allowed left"), "{}", done.out);
    assert!(done.out.contains("  against the tour as written (plan "), "{}", done.out);
    // On the way back the right camera still films it, so only northbound is lost.
    assert!(!done.out.contains("not filmed today"), "{}", done.out);
    let both = ["check", "tours/west.yaml", "--not-allowed", "left", "--out-of-service", "right"];
    let done = project.fulmar(&both);
    assert!(done.out.contains("    not filmed today: ARCH\n"), "{}", done.out);
    assert!(done.out.contains("    no still at the closest point today: ARCH\n"), "{}", done.out);
    assert!(done.out.contains("    stills: 0 instead of 1\n"), "{}", done.out);
    assert_eq!(done.code, 1, "{}", done.out);
}

#[test]
fn a_file_says_what_options_say_and_options_stand_above_it() {
    let project = project();
    project.write(
        "today.yaml",
        "today: a low cloud\nvariant: low\nlanguage: de\nnot allowed: [left]\n\
         wind: {from: 200, speed: 9 kt}\n",
    );
    let json = |args: &[&str]| -> Value {
        let plan = ["plan", "tours/west.yaml", "--format", "json"];
        let done = project.fulmar(&[&plan[..], args].concat());
        assert_eq!(done.code, 0, "{}", done.err);
        serde_json::from_str(&done.out).unwrap()
    };
    let by_file = json(&["--today", "today.yaml"]);
    let options = ["--variant", "low", "--language", "de", "--not-allowed", "left"];
    let by_options = json(&[&options[..], &["--wind", "200/9kt"]].concat());
    assert_eq!(by_file, by_options);
    let differences = serde_json::json!(["variant low", "told in de"]);
    assert_eq!(by_file["plan"]["differences"], differences);
    assert_eq!(by_file["day"], "wind 200/09 kt; not allowed left".replace("/09", "/9"));
    let written = json(&[]);
    assert_eq!(written["today"], Value::Null);
    assert_ne!(written["plan"]["code"], by_file["plan"]["code"]);
    assert_eq!(by_file["today"]["written_code"], written["plan"]["code"]);

    let other = json(&["--today", "today.yaml", "--variant", "reversed", "--not-allowed", "right"]);
    assert_eq!(other["plan"]["differences"][0], "variant reversed");
    assert_eq!(other["day"], "wind 200/9 kt; not allowed left, right");
}

#[test]
fn what_the_tour_does_not_have_is_refused_where_it_is_said() {
    let project = project();
    project.write("today.yaml", "today: x\nvariant: revresed\nlanguage: fr\nnot allowed: lft\n");
    let done = project.fulmar(&["plan", "tours/west.yaml", "--today", "today.yaml"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("today.yaml:2:10"), "{}", done.err);
    assert!(done.err.contains("`reversed` is probably meant"), "{}", done.err);
    assert!(done.err.contains("its languages are en, de"), "{}", done.err);
    assert!(done.err.contains("Heron has no camera `lft`"), "{}", done.err);
    let done = project.fulmar(&["simulate", "tours/west.yaml", "--planned", "--variant", "x"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("its variants are reversed, low"), "{}", done.err);
    let done = project.fulmar(&["plan", "tours/west.yaml", "--not-above", "700"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("needs a unit"), "{}", done.err);
    let done = project.fulmar(&["check", "tours/west.yaml", "--today", "tours/west.yaml"]);
    assert_eq!(done.code, 2);
    assert!(done.out.contains("is of kind `tour`, but `today` is needed here"), "{}", done.out);
}

#[test]
fn a_compiled_plan_keeps_what_was_chosen_for_it() {
    let project = project();
    let made = ["plan", "tours/west.yaml", "--variant", "reversed", "--output", "plan.json"];
    assert_eq!(project.fulmar(&made).code, 0);
    let flown = project.fulmar(&["simulate", "plan.json", "--planned"]);
    assert!(flown.out.contains("variant reversed"), "{}", flown.out);
    let done = project.fulmar(&["simulate", "plan.json", "--planned", "--language", "de"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("--language"), "{}", done.err);
    assert!(done.err.contains("holds its language"), "{}", done.err);
}

#[test]
fn a_variant_that_flies_past_a_waypoint_does_not_call_it_unused() {
    let project = project();
    let arrival =
        "variants:\n  short: {departure: {joins: PAD, legs: [{from: PAD}, {to: ARCH}]}}\n";
    project.edit_tour("rules:\n", &format!("{arrival}rules:\n"));
    let done = project.fulmar(&["check", "tours/west.yaml", "--variant", "short"]);
    assert!(done.out.contains("can be flown"), "{}", done.out);
    assert!(!done.out.contains("name-unused"), "{}", done.out);
}
