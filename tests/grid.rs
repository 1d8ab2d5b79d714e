//! The grid of tours by aircraft, variant and language, from the command line.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

#[expect(dead_code, reason = "shared with the other tests of the command line")]
#[path = "command_line/mod.rs"]
mod project;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use earth::{DegreesTrue, Metres, Position, geodesic};
use project::{Project, TOUR};
use serde_json::Value;

/// A copy of the demo's tours, aircraft and libraries, to be edited.
struct Season {
    folder: tempfile::TempDir,
}

impl Season {
    fn new() -> Self {
        let season = Self { folder: tempfile::tempdir().unwrap() };
        let routes = Path::new(env!("CARGO_MANIFEST_DIR")).join("routes");
        for part in ["tours", "library", "aircraft", "audio/en", "audio/de", "audio/music"] {
            let to = season.folder.path().join("routes").join(part);
            std::fs::create_dir_all(&to).unwrap();
            for file in std::fs::read_dir(routes.join(part)).unwrap() {
                let file = file.unwrap();
                std::fs::copy(file.path(), to.join(file.file_name())).unwrap();
            }
        }
        season
    }

    fn edit(&self, name: &str, edit: impl FnOnce(&str) -> String) {
        let path = self.folder.path().join("routes").join(name);
        let before = std::fs::read_to_string(&path).unwrap();
        let after = edit(&before);
        assert_ne!(before, after, "nothing was edited");
        std::fs::write(path, after).unwrap();
    }

    fn run(&self, args: &[&str]) -> (i32, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_fulmar"))
            .args(args)
            .current_dir(self.folder.path())
            .output()
            .unwrap();
        (output.status.code().unwrap(), String::from_utf8(output.stdout).unwrap())
    }

    /// The cells in which something is found, by its name: `tour, aircraft, variant, language`.
    fn red(&self, finding: &str) -> BTreeSet<String> {
        let (_, out) = self.run(&["grid", "routes/tours", "--format", "json"]);
        let grid: Value = serde_json::from_str(&out).unwrap();
        let is_it = |reason: &Value| grid["reasons"][at(reason)]["name"] == finding;
        let mut red = BTreeSet::new();
        for tour in grid["tours"].as_array().unwrap() {
            let file = Path::new(tour["file"].as_str().unwrap()).file_stem().unwrap();
            for cell in tour["cells"].as_array().unwrap() {
                if cell["reasons"].as_array().unwrap().iter().any(is_it) {
                    red.insert(format!(
                        "{}, {}, {}, {}",
                        file.to_string_lossy(),
                        cell["aircraft"].as_str().unwrap(),
                        cell["variant"].as_str().unwrap_or("as written"),
                        cell["language"].as_str().unwrap()
                    ));
                }
            }
        }
        red
    }
}

fn at(number: &Value) -> usize {
    usize::try_from(number.as_u64().unwrap()).unwrap()
}

/// A place so many metres away, as a tour writes it.
fn moved(from: (f64, f64), direction: f64, metres: f64) -> String {
    let from = Position::new(from.0, from.1).unwrap();
    let (to, _) = geodesic::direct(from, DegreesTrue::of(direction), Metres::of(metres));
    format!("\"{:.6}, {:.6}\"", to.lat(), to.lon())
}

/// Port Wennick's quay, 46°29'06"N 33°12'07"W.
const QUAY: (f64, f64) = (46.485, -33.201_944);

#[test]
fn a_shared_zone_moved_by_300_m_shows_what_it_breaks_and_where() {
    let season = Season::new();
    // The demo is green but for its planted finding, on which the one tour is red everywhere.
    assert_eq!(season.red("narration-not-told"), BTreeSet::new());
    assert_eq!(season.red("silence-long"), BTreeSet::new());
    let planted = season.red("equal-priority");
    assert!(planted.iter().all(|cell| cell.starts_with("eastern-isles, ")), "{planted:?}");

    // To the north it costs the eastern tour a story, and only the other way round.
    let zones = |direction: f64| {
        move |text: &str| {
            let from = "quay:      {circle: {centre: QUAY,";
            assert!(text.contains(from));
            let to = format!("quay: {{circle: {{centre: {},", moved(QUAY, direction, 300.0));
            text.replace(from, &to)
        }
    };
    season.edit("library/zones.yaml", zones(0.0));
    let broken = season.red("narration-not-told");
    assert!(!broken.is_empty());
    let only = |cell: &String| cell.starts_with("eastern-isles, Dunlin 6, reversed, ");
    assert!(broken.iter().all(only), "{broken:?}");
    let (code, out) = season.run(&["grid", "routes/tours", "--language", "en"]);
    assert_eq!(code, 1);
    let told = "at T+31:12\n   to do: start it where nothing stands in its way, or let it `wait` \
                longer\n   in: Round the eastern isles: Dunlin 6 reversed\n";
    assert!(out.contains(told), "{out}");
    // The western tour does what it did, but what somebody has approved was another plan.
    assert!(out.contains(", draft; its approval was given for another plan\n"), "{out}");
    assert!(!out.contains("west-coast.yaml:"), "{out}");

    // To the west it leaves the western tour silent for too long, on every aircraft and at every
    // height, and the eastern tour as it was.
    let season = Season::new();
    season.edit("library/zones.yaml", zones(270.0));
    assert_eq!(season.red("equal-priority"), planted);
    let broken = season.red("silence-long");
    let cells: BTreeSet<&str> =
        broken.iter().filter_map(|cell| cell.strip_suffix(", en")).collect();
    let expected = [
        "west-coast, Dunlin 6, as written",
        "west-coast, Dunlin 6, low",
        "west-coast, Whimbrel 4, as written",
        "west-coast, Whimbrel 4, low",
    ];
    assert_eq!(cells, BTreeSet::from(expected));
}

#[test]
fn a_green_grid_ends_with_0() {
    let season = Season::new();
    let (code, out) = season.run(&["grid", "routes/tours/west-coast.yaml"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("0 red; not for navigation"), "{out}");
    assert!(!out.contains("what is wrong"), "{out}");
}

#[test]
fn what_differs_today_differs_in_all_cells() {
    let season = Season::new();
    let today = ["--out-of-service", "left", "--not-above", "600 ft", "--format", "json"];
    let tour = ["grid", "routes/tours/west-coast.yaml", "--variant", "as-written"];
    let (_, out) = season.run(&[&tour[..], &today].concat());
    let grid: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(grid["day"], "not above 600 ft; out of service left");
    for cell in grid["tours"][0]["cells"].as_array().unwrap() {
        assert_eq!(cell["variant"], Value::Null);
        let differences = cell["plan"]["differences"].as_array().unwrap();
        assert_eq!(differences.last().unwrap(), "not above 600 ft");
    }
}

#[test]
fn a_folder_without_tours_and_a_variant_that_nobody_has_are_said() {
    let project = Project::new();
    let done = project.fulmar(&["grid", "library"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("there is no tour in this folder"), "{}", done.err);
    let done = project.fulmar(&["grid", "gone"]);
    assert_eq!(done.code, 2);
    assert!(done.out.contains("gone"), "{}", done.out);
    let done = project.fulmar(&["grid", "tours", "--variant", "reversed"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("no tour has the variant `reversed`"), "{}", done.err);
}

#[test]
fn a_tour_with_mistakes_is_red_and_the_others_are_judged_all_the_same() {
    let project = Project::new();
    project.write("tours/broken.yaml", TOUR.replace("camera: left", "camera: lft"));
    project.write("tours/notes.yaml", "library: Not a tour\n");
    let done = project.fulmar(&["grid", "."]);
    assert!(done.out.contains("2 tours, 2 cells:"), "{}", done.out);
    assert!(done.out.contains("\n1. tours/broken.yaml:26:13: error[unknown-name]"), "{}", done.out);
    assert!(done.out.contains("   in: Out to the arch and back\n"), "{}", done.out);
    assert_eq!(done.code, 1);
}
