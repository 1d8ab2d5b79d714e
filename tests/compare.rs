//! `fulmar compare` on the demo, of which a copy is edited; the JSON read without its types.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// The demo as it is, and a copy of it, in a folder that goes away with it.
struct Demo {
    folder: tempfile::TempDir,
}

const TOUR: &str = "tours/eastern-isles.yaml";

impl Demo {
    fn new() -> Self {
        let demo = Self { folder: tempfile::tempdir().unwrap() };
        let routes = Path::new(env!("CARGO_MANIFEST_DIR")).join("routes");
        for copy in ["old", "new"] {
            for folder in ["tours", "library", "aircraft"] {
                let to = demo.path(copy).join(folder);
                fs::create_dir_all(&to).unwrap();
                for entry in fs::read_dir(routes.join(folder)).unwrap() {
                    let entry = entry.unwrap();
                    fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
                }
            }
        }
        demo
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Puts one text in place of another, which must be there, in a file of the copy.
    fn edit(&self, file: &str, from: &str, to: &str) {
        let path = self.path("new").join(file);
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{from}");
        fs::write(path, text.replacen(from, to, 1)).unwrap();
    }

    /// Exit code, standard output, standard error.
    fn fulmar(&self, args: &[&str]) -> (i32, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_fulmar"))
            .args(args)
            .current_dir(self.folder.path())
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (output.status.code().unwrap_or(-1), text(output.stdout), text(output.stderr))
    }

    fn compare(&self, more: &[&str]) -> (i32, String, String) {
        let (old, new) = (format!("old/{TOUR}"), format!("new/{TOUR}"));
        let args = ["compare", &old, &new].into_iter().chain(more.iter().copied());
        self.fulmar(&args.collect::<Vec<_>>())
    }

    fn json(&self) -> Value {
        let (code, out, err) = self.compare(&["--format", "json"]);
        assert!(code < 2, "{err}");
        serde_json::from_str(&out).unwrap()
    }
}

#[test]
fn a_shared_zone_moved_300_m_north_is_told_so() {
    let demo = Demo::new();
    // KETTLE lies at 46 25 35 N, 32 59 11 W. There a degree of latitude is 111,160 m long (WGS 84,
    // from the radius of curvature of the meridian), so that 300 m are 0.002699 degrees.
    let round = "kettle:    {circle: {centre: KETTLE,";
    let moved = "kettle:    {circle: {centre: \"46.429088 N, 32.986389 W\",";
    demo.edit("library/zones.yaml", round, moved);
    let (code, out, err) = demo.compare(&[]);
    assert_eq!((code, err.as_str()), (1, ""));
    assert!(out.lines().any(|line| line == "    kettle: moved 300 m north"), "{out}");

    let page = demo.json();
    assert_eq!((&page["format"], &page["version"]), (&"fulmar-plan-comparison".into(), &1.into()));
    assert_eq!(page["differs"], true);
    let [zone] = page["changed"].as_array().unwrap().as_slice() else { panic!("{page:#}") };
    assert_eq!((zone["part"].as_str(), zone["name"].as_str()), (Some("zone"), Some("kettle")));
    let way = &zone["details"][0];
    assert!((way["moved_m"].as_f64().unwrap() - 300.0).abs() < 0.5, "{way}");
    let towards = way["towards_deg"].as_f64().unwrap();
    assert!(!(0.1..=359.9).contains(&towards), "{way}");
}

#[test]
fn nothing_differs_from_itself_nor_from_its_plan() {
    let demo = Demo::new();
    let (code, out, _) = demo.compare(&[]);
    assert_eq!(code, 0, "{out}");
    assert!(out.ends_with("Nothing differs: this is the same plan.\n"), "{out}");
    let plan = format!("old/{TOUR}");
    let (code, _, err) = demo.fulmar(&["plan", &plan, "--output", "old.plan.json"]);
    assert_eq!(code, 0, "{err}");
    let new = format!("new/{TOUR}");
    let (code, out, err) = demo.fulmar(&["compare", "old.plan.json", &new, "--format", "json"]);
    assert_eq!(code, 0, "{err}");
    let page: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(page["differs"], false);
    assert_eq!(page["old"]["plan"], page["new"]["plan"]);
    assert!(page["flight"].as_array().unwrap().is_empty());
    // A comment more is another text and the same plan.
    demo.edit(TOUR, "include:\n", "# What is shared.\ninclude:\n");
    let (code, out, _) = demo.compare(&[]);
    assert_eq!(code, 0, "{out}");
    assert!(out.ends_with("Nothing differs: this is the same plan.\n"), "{out}");
}

/// What starts when, by the event plan.
fn starts(demo: &Demo, tour: &str, narration: &str) -> i64 {
    let (code, out, err) = demo.fulmar(&["plan", tour, "--format", "json"]);
    assert_eq!(code, 0, "{err}");
    let page: Value = serde_json::from_str(&out).unwrap();
    let events = page["events"].as_array().unwrap();
    let started = events
        .iter()
        .map(|event| &event["change"])
        .find(|change| change["event"] == "narration_started" && change["of"] == narration);
    started.unwrap()["since_takeoff_ms"].as_i64().unwrap()
}

#[test]
fn what_differs_on_the_flight_comes_first_and_is_what_the_event_plans_say() {
    let demo = Demo::new();
    demo.edit(TOUR, "- {to: SOUND, airspeed: 105 kt}", "- {to: SOUND, airspeed: 90 kt}");
    demo.edit("library/narrations.yaml", "the second for the quiet", "the second for peace");
    let bank = "  tell-bank:\n    when:\n      in: hollow-bank\n    \
                narration: {play: bank, wait: 30 s}\n";
    demo.edit(TOUR, bank, "");
    let page = demo.json();
    let flight = page["flight"].as_array().unwrap();
    let told = |name: &str| {
        let found =
            flight.iter().find(|one| one["part"] == "narration_told" && one["name"] == name);
        found.unwrap_or_else(|| panic!("{name}: {page:#}"))
    };
    for name in ["hooper", "kettle", "jury"] {
        let detail = &told(name)["details"][0];
        let found = (detail["old"].as_i64().unwrap(), detail["new"].as_i64().unwrap());
        let wanted = (
            starts(&demo, &format!("old/{TOUR}"), name),
            starts(&demo, &format!("new/{TOUR}"), name),
        );
        assert_eq!(found, wanted, "{name}");
        assert!(found.1 > found.0 + 15_000, "{name}: {found:?}");
    }
    assert_eq!(told("bank")["how"], "gone");
    for one in flight.iter().chain(page["changed"].as_array().unwrap()) {
        for key in ["part", "name", "known_as", "how", "old_name", "details", "text"] {
            assert!(one.get(key).is_some(), "{key}: {one}");
        }
        assert!(!one["text"].as_str().unwrap().is_empty(), "{one}");
    }

    let (_, out, _) = demo.compare(&[]);
    let at = |text: &str| out.find(text).unwrap_or_else(|| panic!("{text}: {out}"));
    let order = [
        "On the planned flight",
        "    bank (“The pale green water is …”), no longer told: was at T+13:50",
        " s later: hooper at T+",
        "Changed in the plan",
        "    3 to SOUND: airspeed 105 kt -> 90 kt",
        "    tell-bank, gone:",
        "“… the second for the quiet, and the third …” -> \
         “… the second for peace, and the third …”",
    ];
    assert!(order.map(at).is_sorted(), "{out}");
    assert_eq!(out, demo.compare(&[]).1, "the same every time");
}

#[test]
fn a_revision_is_told_above_and_only_there() {
    let demo = Demo::new();
    demo.edit(TOUR, "revision: 2", "revision: 3");
    let (code, out, _) = demo.compare(&[]);
    assert_eq!(code, 1);
    assert_eq!(out.matches("revision").count(), 1, "{out}");
    assert!(out.contains("On the planned flight nothing differs."), "{out}");
    assert!(out.contains("In the plan nothing differs but what stands above."), "{out}");
    // The same number on two plans is said.
    demo.edit(TOUR, "revision: 3", "revision: 2");
    demo.edit(TOUR, "breath: 8 s", "breath: 7 s");
    let (_, out, _) = demo.compare(&[]);
    assert!(out.contains("Both say revision 2, and they differ."), "{out}");
}

#[test]
fn one_tour_is_compared_on_two_aircraft_and_on_a_day() {
    let demo = Demo::new();
    let whimbrel = "new/aircraft/whimbrel.yaml";
    let (code, out, err) = demo.compare(&["--new-aircraft", whimbrel]);
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("Whimbrel 4 WI-WHM"), "{out}");
    assert!(out.contains("    tail, gone"), "{out}");
    assert!(!out.contains("\n  Rules\n"), "the rules are the same: {out}");
    fs::write(demo.path("day.yaml"), "today: The left camera is away\nout of service: left\n")
        .unwrap();
    let (code, out, err) = demo.compare(&["--new-today", "day.yaml"]);
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("out of service left"), "{out}");
    assert!(out.contains("    left: 4 min 19 s shorter, 4 min 19 s -> 0 s"), "{out}");
    assert!(out.contains("In the plan nothing differs but what stands above."), "{out}");
}

#[test]
fn what_cannot_be_compared_ends_with_2() {
    let demo = Demo::new();
    let tour = format!("new/{TOUR}");
    let (code, out, err) = demo.fulmar(&["compare", "none.yaml", &tour]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("none.yaml"), "{err}");
    demo.edit(TOUR, "look at: QUAY", "look at: QUAI");
    let (code, out, err) = demo.compare(&[]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("QUAI"), "{err}");
    let old = format!("old/{TOUR}");
    assert_eq!(demo.fulmar(&["plan", &old, "--output", "old.plan.json"]).0, 0);
    let aircraft = ["--old-aircraft", "old/aircraft/whimbrel.yaml"];
    let (code, _, err) =
        demo.fulmar(&[&["compare", "old.plan.json", &old], &aircraft[..]].concat());
    assert_eq!(code, 2);
    assert!(err.contains("compiled plan"), "{err}");
}
