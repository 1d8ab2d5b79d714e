//! The command line: exit codes and output, with a sound project and with broken inputs.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

#[path = "command_line/checked.rs"]
mod checked;
#[path = "command_line/handed_on.rs"]
mod handed_on;
#[path = "command_line/mix.rs"]
mod mix;
#[path = "command_line/music.rs"]
mod music;
#[path = "command_line/mod.rs"]
mod project;
#[path = "command_line/recordings.rs"]
mod recordings;
#[path = "command_line/script.rs"]
mod script;
#[path = "command_line/seen.rs"]
mod seen;
#[path = "command_line/takes.rs"]
mod takes;

use project::{Project, gpx};
use serde_json::Value;

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn lines(text: &str) -> Vec<Value> {
    text.lines().map(json).collect()
}

#[test]
fn a_sound_tour_is_clean_and_its_code_does_not_depend_on_where_it_is_checked() {
    let project = Project::new();
    let from_above = project.fulmar(&["check", "tours/west.yaml"]);
    assert_eq!((from_above.code, from_above.err.as_str()), (0, ""), "{}", from_above.out);
    assert!(from_above.out.contains("Out to the arch and back, Heron XX-HER: can be flown"));
    let beside = project.fulmar_in("tours", &["check", "west.yaml"]);
    let absolute = project.path("tours/west.yaml");
    let absolute = project.fulmar_in("aircraft", &["check", absolute.to_str().unwrap()]);
    assert_eq!(beside.out, from_above.out);
    assert_eq!(absolute.out, from_above.out);
    // Also where another aircraft is given from elsewhere.
    let other = project.path("aircraft/heron.yaml");
    let other =
        project.fulmar(&["check", "tours/west.yaml", "--aircraft", other.to_str().unwrap()]);
    assert_eq!(other.out, from_above.out);
}

#[test]
fn every_mistake_of_all_files_is_shown_with_its_place() {
    let project = Project::new();
    project.edit_tour("camera: left", "camera: lft");
    project.write("library/arch.yaml", "library: The arch\nsights:\n  ARCH: {at: \"95N 20E\"}\n");
    let done = project.fulmar(&["check", "tours/west.yaml"]);
    assert_eq!(done.code, 1);
    assert!(done.out.contains("tours/west.yaml:26:13"), "{}", done.out);
    assert!(done.out.contains("`left`"), "{}", done.out);
    assert!(done.out.contains("library/arch.yaml:3:"), "{}", done.out);
    assert!(done.out.contains("^^^"), "{}", done.out);
    assert!(!done.out.contains('\u{1b}'), "no colours in a file");

    let concise = project.fulmar(&["check", "tours/west.yaml", "--message-format", "concise"]);
    assert!(concise.out.lines().any(|line| line.starts_with("tours/west.yaml:26:13: error[")));

    let findings =
        lines(&project.fulmar(&["check", "tours/west.yaml", "--message-format=json"]).out);
    assert!(findings.iter().all(|finding| finding["format"] == "fulmar-finding"));
    let camera = findings
        .iter()
        .find(|finding| finding["place"]["line"] == 26)
        .expect("the camera's mistake");
    let bytes = &camera["place"]["bytes"];
    let text = project.read("tours/west.yaml");
    let (start, end) = (bytes[0].as_u64().unwrap() as usize, bytes[1].as_u64().unwrap() as usize);
    assert_eq!(&text[start..end], "lft");
    let page = project.fulmar(&["explain", camera["name"].as_str().unwrap()]);
    assert_eq!(page.code, 0);
    assert!(page.out.contains("Why it matters"), "{}", page.out);
}

#[test]
fn what_cannot_be_used_at_all_is_said_plainly_and_ends_with_2() {
    let project = Project::new();
    project.write("empty.yaml", "");
    project.write("not-text.yaml", [0xff, 0xfe, 0x00]);
    project.write("nested.yaml", "[".repeat(100_000));
    project.write("nested.json", "{\"a\":".repeat(100_000));
    project.write("cut.json", "{\"format\":\"fulmar-plan\",");
    project.write("flight.gpx", gpx(0.0));
    for tour in [
        "none.yaml",
        "tours",
        "empty.yaml",
        "not-text.yaml",
        "nested.yaml",
        "nested.json",
        "cut.json",
        "flight.gpx",
    ] {
        for command in ["check", "plan", "simulate"] {
            let mut args = vec![command, tour];
            if command == "simulate" {
                args.push("flight.gpx");
            }
            let done = project.fulmar(&args);
            let said = if command == "check" { &done.out } else { &done.err };
            assert_eq!(done.code, 2, "{command} {tour}: {said}");
            assert!(said.contains("error[") && said.contains("help: "), "{tour}: {said}");
            assert!(said.contains(tour), "{tour}: {said}");
        }
    }
}

#[test]
fn a_tour_with_mistakes_is_not_flown() {
    let project = Project::new();
    project.edit_tour("title: arch-title", "title: arch-titel");
    project.write("flight.gpx", gpx(0.0));
    for args in [
        vec!["plan", "tours/west.yaml"],
        vec!["simulate", "tours/west.yaml", "flight.gpx"],
        vec!["why", "tours/west.yaml", "flight.gpx", "--at", "T+01:00", "--channel", "camera"],
    ] {
        let done = project.fulmar(&args);
        assert_eq!((done.code, done.out.as_str()), (1, ""), "{}", done.err);
        assert!(done.err.contains("arch-title"), "{}", done.err);
    }
}

#[test]
fn the_event_plan_says_what_happens_when_and_why() {
    let project = Project::new();
    let table = project.fulmar(&["plan", "tours/west.yaml"]);
    assert_eq!((table.code, table.err.as_str()), (0, ""));
    assert!(table.out.contains("revision 3, draft; not for navigation"), "{}", table.out);
    let story = table.out.lines().find(|line| line.contains("arch-story starts")).unwrap();
    assert!(story.starts_with("T+"), "{story}");
    assert!(story.contains("1 FAR"), "{story}");
    assert!(story.contains("arch-northbound (west.yaml:21:3)"), "{story}");

    let value = json(&project.fulmar(&["plan", "tours/west.yaml", "--format", "json"]).out);
    assert_eq!(value["format"], "fulmar-event-plan");
    let events = value["events"].as_array().unwrap();
    let times: Vec<&str> =
        events.iter().map(|event| event["change"]["time"].as_str().unwrap()).collect();
    assert!(times.is_sorted());
    let still = events.iter().find(|event| event["change"]["event"] == "still").unwrap();
    assert_eq!(still["change"]["of"], "right");
    assert_eq!(still["change"]["why"], "closest");
    assert_eq!(still["leg"], 2);
}

#[test]
fn a_compiled_plan_is_flown_like_the_tour_it_was_made_of() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    assert_eq!(project.fulmar(&["plan", "tours/west.yaml", "--output", "plan.json"]).code, 0);
    let first = project.read("plan.json");
    assert_eq!(project.fulmar_in("tours", &["plan", "west.yaml", "-o", "../plan.json"]).code, 0);
    assert_eq!(project.read("plan.json"), first);
    let tour = project.fulmar(&["simulate", "tours/west.yaml", "flight.gpx", "--states", "csv"]);
    let plan = project.fulmar(&["simulate", "plan.json", "flight.gpx", "--states", "csv"]);
    assert_eq!(tour.code, 0, "{}", tour.err);
    assert_eq!(tour.out, plan.out);

    project.write("plan.json", first.replacen("\"revision\": 3", "\"revision\": 4", 1));
    assert_ne!(project.read("plan.json"), first);
    let changed = project.fulmar(&["simulate", "plan.json", "flight.gpx"]);
    assert_eq!(changed.code, 2);
    assert!(changed.err.contains("plan-changed"), "{}", changed.err);
}

#[test]
fn a_flight_as_planned_shows_everything_and_one_far_away_says_what_is_missing() {
    let project = Project::new();
    project.write("near.gpx", gpx(0.0));
    project.write("far.gpx", gpx(0.1));
    let near = project.fulmar(&["simulate", "tours/west.yaml", "near.gpx"]);
    assert_eq!(near.code, 0, "{}", near.err);
    assert!(near.out.contains("flight 1: take-off 12:00:2"), "{}", near.out);
    assert!(near.out.contains("at home"), "{}", near.out);
    assert!(near.out.contains("played (20 s)"), "{}", near.out);
    assert!(near.out.contains("every rule, zone and narration came as planned"), "{}", near.out);

    let far = project.fulmar(&["simulate", "tours/west.yaml", "far.gpx"]);
    assert!(far.out.contains("planned, but it did not happen"), "{}", far.out);
    assert!(far.out.contains("not asked for"), "{}", far.out);
    assert!(far.out.contains("never active; west.yaml:21:3"), "{}", far.out);

    let far = project.fulmar(&["simulate", "tours/west.yaml", "far.gpx", "--format", "json"]);
    let value = json(&far.out);
    let flight = &value["flights"][0];
    assert_eq!(flight["planned_not_happened"]["zones"][0]["zone"], "arch");
    assert_eq!(flight["narrations"][0]["started"], 0);
    let recorded = flight["recorded_ms"].as_u64().unwrap();
    assert_eq!(value["card_bytes_used"], recorded * 2 * 25_000_000 / 8000);
}

#[test]
fn states_as_csv_and_as_json_lines_say_the_same() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let run = |format| {
        project.fulmar(&["simulate", "tours/west.yaml", "flight.gpx", "--states", format]).out
    };
    let (csv_text, json_text) = (run("csv"), run("json"));
    let mut reader = csv::Reader::from_reader(csv_text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let states = lines(&json_text);
    assert_eq!(states[0]["format"], "fulmar-states");
    assert_eq!((rows.len(), states.len()), (531, 532));
    for (row, state) in rows.iter().zip(&states[1..]) {
        for (name, cell) in head.iter().zip(row) {
            let value = match name {
                "plan" => states[0]["plan"]["code"].clone(),
                "revision" => states[0]["plan"]["revision"].clone(),
                "status" => states[0]["plan"]["status"].clone(),
                "voice" => if state["voice_on"] == true { "on" } else { "off" }.into(),
                "radio" => if state["radio_busy"] == true { "busy" } else { "clear" }.into(),
                "record" => if state["record"] == true { "on" } else { "off" }.into(),
                "music_ducked" => if state[name] == true { "yes" } else { "no" }.into(),
                _ => state[name].clone(),
            };
            let shown = match value {
                Value::Null => String::new(),
                Value::String(text) => text,
                Value::Array(list) => {
                    list.iter().map(|item| item.as_str().unwrap()).collect::<Vec<_>>().join(" ")
                }
                Value::Number(number) if number.is_f64() => {
                    assert_eq!(cell.parse::<f64>().ok(), number.as_f64(), "{name}");
                    continue;
                }
                other => other.to_string(),
            };
            assert_eq!(cell, shown, "{name}");
        }
    }
    assert!(states.iter().any(|state| state["narration"] == "arch-story"));
    assert!(states.iter().any(|state| state["camera"] == "right" && state["record"] == true));
}

#[test]
fn changes_go_to_a_file_and_the_summary_is_printed_beside() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let done = project.fulmar(&[
        "simulate",
        "tours/west.yaml",
        "flight.gpx",
        "--changes",
        "--format",
        "json",
        "--output",
        "changes.jsonl",
    ]);
    assert_eq!(done.code, 0);
    assert_eq!(json(&done.out)["format"], "fulmar-summary");
    let changes = lines(&project.read("changes.jsonl"));
    assert_eq!(changes[0]["format"], "fulmar-changes");
    let entered = changes.iter().find(|change| change["event"] == "entered").unwrap();
    // A crossing has its own time on the leg and takes effect at the fix.
    assert!(entered["own_time"].as_str() < entered["time"].as_str());
    let camera =
        changes.iter().find(|change| change["event"] == "camera" && change["to"] == "left");
    assert!(camera.is_some());
    assert_eq!(changes[1]["event"], "run_began");
    assert!(changes[1]["since_takeoff_ms"].as_i64().unwrap() < 0);
}

#[test]
fn the_pilots_hand_is_played_along() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    project.write(
        "hand.csv",
        "time,action,camera\n+00:40,camera,right\n2026-06-02T12:03:00Z,radio busy,\n\
         +03:20,radio clear,\n+20:00,skip,\n",
    );
    let args = ["simulate", "tours/west.yaml", "flight.gpx", "--hand", "hand.csv"];
    let done = project.fulmar(&[&args[..], &["--changes", "--format", "json"]].concat());
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.err.contains("hand-after-end"), "{}", done.err);
    let changes = lines(&done.out);
    let hand: Vec<(&str, &str)> = changes
        .iter()
        .filter(|change| change["channel"] == "hand")
        .map(|change| (change["time"].as_str().unwrap(), change["event"].as_str().unwrap()))
        .collect();
    assert_eq!(
        hand,
        [
            ("2026-06-02T12:00:40Z", "hand_camera"),
            ("2026-06-02T12:01:40Z", "hand_camera_ended"),
            ("2026-06-02T12:03:00Z", "hand_radio_busy"),
            ("2026-06-02T12:03:20Z", "hand_radio_clear"),
        ]
    );

    project.write("hand.csv", "time,action,camera\n+00:40,camera,middle\n");
    let wrong = project.fulmar(&args);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("hand.csv:2:15"), "{}", wrong.err);
}

#[test]
fn why_names_the_first_condition_that_failed_as_it_is_written() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let ask = |at: &str, channel: &str, more: &[&str]| {
        let args = ["why", "tours/west.yaml", "flight.gpx", "--at", at, "--channel", channel];
        project.fulmar(&[&args[..], more].concat())
    };
    let done = ask("2026-06-02T12:02:10Z", "camera", &[]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("arch-northbound has it"), "{}", done.out);
    assert!(
        done.out.contains(
            "arch-southbound: `track: 140..220` does not hold: it was 000 (west.yaml:32:7)"
        ),
        "{}",
        done.out
    );
    let before = json(&ask("T-00:05", "record", &["--format", "json"]).out);
    assert_eq!(before["rules"][0]["standing"], "inactive");
    assert_eq!(before["rules"][0]["condition"]["written"], "phase: airborne");
    assert_eq!(before["t"], "T-00:05");

    let after = ask("T+30:00", "camera", &[]);
    assert_eq!(after.code, 2);
    assert!(after.err.contains("it runs from"), "{}", after.err);
    assert_eq!(ask("T+01:00", "camera", &["--flight-number", "2"]).code, 2);
}

#[test]
fn a_recording_that_is_in_parts_unreadable_is_flown_as_far_as_it_goes() {
    let project = Project::new();
    let whole = gpx(0.0);
    let bad = whole.replacen("lat=\"10.0004069\"", "lat=\"91\"", 1);
    assert_ne!(bad, whole);
    project.write("bad-point.gpx", &bad);
    let done = project.fulmar(&["simulate", "tours/west.yaml", "bad-point.gpx"]);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.out.contains("530 good fixes, 1 point that cannot be read"), "{}", done.out);
    assert!(done.err.contains("bad-point.gpx:"), "{}", done.err);

    let cut = &whole[..whole.len() / 2];
    project.write("cut.gpx", cut);
    let done = project.fulmar(&["simulate", "tours/west.yaml", "cut.gpx"]);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.out.contains("ends in the air"), "{}", done.out);
    assert!(done.err.contains("gpx-truncated"), "{}", done.err);
}

#[test]
fn a_recording_that_cannot_be_flown_ends_with_2_and_says_what_to_do() {
    let project = Project::new();
    project.write("empty.gpx", "");
    project.write("other.gpx", "<?xml version=\"1.0\"?><kml/>");
    project.write("text.gpx", "time,lat,lon\n");
    let times = gpx(0.0);
    let without: String = times
        .lines()
        .map(|line| match (line.find("<time>"), line.find("</time>")) {
            (Some(from), Some(to)) => format!("{}{}\n", &line[..from], &line[to + 7..]),
            _ => format!("{line}\n"),
        })
        .collect();
    project.write("no-times.gpx", &without);
    for flight in ["none.gpx", "tours", "empty.gpx", "other.gpx", "text.gpx", "no-times.gpx"] {
        let done = project.fulmar(&["simulate", "tours/west.yaml", flight]);
        assert_eq!((done.code, done.out.as_str()), (2, ""), "{flight}: {}", done.err);
        assert!(done.err.contains(flight) && done.err.contains("help: "), "{}", done.err);
    }
    let advice = project.fulmar(&["simulate", "tours/west.yaml", "no-times.gpx"]).err;
    assert!(advice.contains("--groundspeed 80kt"), "{advice}");
    let at_80 = ["simulate", "tours/west.yaml", "no-times.gpx", "--groundspeed", "80kt"];
    assert_eq!(project.fulmar(&at_80).code, 0);
    let none = project.fulmar(&["simulate", "tours/west.yaml"]);
    assert_eq!(none.code, 2);
    assert!(none.err.contains("--planned"), "{}", none.err);
}

#[test]
fn few_fixes_raise_the_limits_and_that_is_said() {
    let project = Project::new();
    let whole = gpx(0.0);
    let sparse: String = whole
        .lines()
        .enumerate()
        .filter(|(number, line)| !line.starts_with("<trkpt") || number % 10 == 2)
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    project.write("sparse.gpx", sparse);
    let done = project.fulmar(&["simulate", "tours/west.yaml", "sparse.gpx"]);
    assert_eq!(done.code, 0);
    assert!(done.err.starts_with("note[limits-raised]"), "{}", done.err);
    assert!(done.out.contains("GPS counts as lost after 30 s"), "{}", done.out);
}

#[test]
fn the_day_stands_above_the_plan() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let args = ["simulate", "tours/west.yaml", "flight.gpx"];
    let day = ["--wind", "270/10kt", "--out-of-service", "left", "--format", "json"];
    let done = project.fulmar(&[&args[..], &day].concat());
    let value = json(&done.out);
    assert_eq!(value["day"], "wind 270/10 kt; out of service left");
    let cameras = value["flights"][0]["cameras"].as_array().unwrap();
    assert_eq!((&cameras[0]["camera"], &cameras[0]["shots"]), (&"left".into(), &0.into()));
    let wrong = project.fulmar(&[&args[..], &["--not-allowed", "lefft"]].concat());
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("its cameras are left, right"), "{}", wrong.err);
    assert_eq!(project.fulmar(&[&args[..], &["--wind", "270"]].concat()).code, 2);
}

#[test]
fn schemas_pages_and_completions_are_printed() {
    let project = Project::new();
    for kind in ["tour", "aircraft", "library"] {
        let value = json(&project.fulmar(&["schema", kind]).out);
        assert_eq!(value["$schema"], "https://json-schema.org/draft/2020-12/schema");
    }
    assert_eq!(project.fulmar(&["schema", "song"]).code, 2);
    let list = project.fulmar(&["explain"]).out;
    for name in ["unknown-key", "gpx-truncated", "plan-changed", "file-missing"] {
        assert!(list.lines().any(|line| line.starts_with(name)), "{name}");
    }
    let unknown = project.fulmar(&["explain", "unkown-key"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("did you mean `unknown-key`"), "{}", unknown.err);
    assert!(project.fulmar(&["completions", "bash"]).out.contains("fulmar"));
    assert_eq!(project.fulmar(&["--version"]).code, 0);
    assert_eq!(project.fulmar(&["fly"]).code, 2);
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    use std::io::Read;
    use std::process::{Command, Stdio};
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let mut child = Command::new(env!("CARGO_BIN_EXE_fulmar"))
        .args(["simulate", "tours/west.yaml", "flight.gpx", "--states", "json"])
        .current_dir(project.folder())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = [0; 16];
    let mut out = child.stdout.take().unwrap();
    out.read_exact(&mut first).unwrap();
    drop(out);
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    assert_eq!((child.wait().unwrap().code(), err.as_str()), (Some(0), ""));
}

#[test]
fn an_output_that_cannot_be_written_is_said() {
    let project = Project::new();
    let done = project.fulmar(&["plan", "tours/west.yaml", "--output", "nowhere/plan.json"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("it cannot be written"), "{}", done.err);
    assert!(done.err.contains("--> nowhere/plan.json"), "{}", done.err);
}

#[test]
fn an_output_never_takes_the_place_of_what_is_read() {
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let before = project.read("flight.gpx");
    let states = ["--states", "csv", "--output"];
    for (command, target) in [
        (["simulate", "tours/west.yaml", "flight.gpx"].as_slice(), "flight.gpx"),
        (&["simulate", "tours/west.yaml", "flight.gpx"], "tours/../flight.gpx"),
        (&["simulate", "tours/west.yaml", "flight.gpx"], "library/arch.yaml"),
    ] {
        let args: Vec<&str> = command.iter().copied().chain(states).chain([target]).collect();
        let done = project.fulmar(&args);
        assert_eq!(done.code, 2, "{target}");
        assert!(done.err.contains("would be lost"), "{}", done.err);
    }
    let tour = project.read("tours/west.yaml");
    assert_eq!(project.fulmar(&["plan", "tours/west.yaml", "-o", "tours/west.yaml"]).code, 2);
    assert_eq!(project.fulmar(&["plan", "tours/west.yaml", "-o", "library/arch.yaml"]).code, 2);
    assert_eq!((project.read("flight.gpx"), project.read("tours/west.yaml")), (before, tour));
}

#[test]
fn a_run_that_fails_leaves_an_older_output_as_it_was() {
    let project = Project::new();
    project.write("picture.gpx", b"\x89PNG\r\n\x1a\n");
    project.write("states.csv", "older");
    let args =
        ["simulate", "tours/west.yaml", "picture.gpx", "--states", "csv", "-o", "states.csv"];
    assert_eq!(project.fulmar(&args).code, 2);
    assert_eq!(project.read("states.csv"), "older");
    let left: Vec<_> = std::fs::read_dir(project.folder())
        .unwrap()
        .filter(|entry| entry.as_ref().unwrap().path().extension().is_some_and(|end| end == "part"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

/// All keys of a JSON value and of what is in it.
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

#[test]
fn every_key_that_is_written_is_described() {
    let description = include_str!("../crates/cli/FORMATS.md");
    let project = Project::new();
    project.write("flight.gpx", gpx(0.0));
    let run = |args: &[&str]| project.fulmar(args).out;
    let tour = "tours/west.yaml";
    let simulate = ["simulate", tour, "flight.gpx"];
    let why = ["why", tour, "flight.gpx", "--at", "T+01:00", "--channel", "camera"];
    let mut outputs = vec![
        run(&["music", "tours/west.yaml", "--planned", "--format", "json"]),
        run(&["plan", tour, "--format", "json", "--not-allowed", "left"]),
        run(&[&simulate[..], &["--format", "json"]].concat()),
        run(&[&why[..], &["--format", "json"]].concat()),
    ];
    for more in [["--changes", "--format=json"], ["--states", "json"]] {
        outputs.extend(run(&[&simulate[..], &more].concat()).lines().map(str::to_owned));
    }
    project.edit_tour("camera: left", "camera: lft");
    let findings = run(&["check", tour, "--message-format", "json"]);
    outputs.extend(findings.lines().map(str::to_owned));
    let mut found = Vec::new();
    for output in &outputs {
        keys(&json(output), &mut found);
    }
    found.sort();
    found.dedup();
    assert!(found.len() > 100, "{found:?}");
    for key in found {
        assert!(description.contains(&format!("`{key}`")), "`{key}` is not described");
    }
}
