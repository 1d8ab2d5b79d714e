//! Cue sheets on the command line.

use serde_json::Value;

use crate::project::{Done, Project, gpx};

/// The project with a piece that plays, and is recorded, while it is airborne.
fn project(piece: &str) -> Project {
    let project = Project::new();
    project.edit_tour("    record: on\n", "    record: on\n    music: song\n");
    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", format!("{tour}music:\n  song: {piece}\n"));
    project.write("logs/2026/june.gpx", gpx(0.0));
    project.write("logs/2026/july.gpx", gpx(0.0).replace("2026-06-02T", "2026-07-01T"));
    project.write("logs/2027/june.gpx", gpx(0.0).replace("2026-06-02T", "2027-06-01T"));
    project
}

const WHOLE: &str = "{title: A Song, composer: Ida Reef, publisher: Reef and Sons, \
                     licence: {reference: L-7, until: 2026-06-30}}";

fn music(project: &Project, more: &[&str]) -> Done {
    project.fulmar(&[&["music", "tours/west.yaml"], more].concat())
}

fn sheets(done: &Done) -> Vec<Value> {
    let found = crate::json(&done.out);
    assert_eq!((&found["format"], &found["version"]), (&"fulmar-cue-sheet".into(), &1.into()));
    assert_eq!(found["plan"]["use"], "not for navigation");
    found["sheets"].as_array().unwrap().clone()
}

#[test]
fn a_sheet_for_each_flight_with_what_was_heard_and_what_is_in_the_film() {
    let project = project(WHOLE);
    let done = music(&project, &["logs/2026/june.gpx", "--format", "json"]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    let sheets = sheets(&done);
    assert_eq!(sheets.len(), 1);
    let sheet = &sheets[0];
    assert_eq!((&sheet["period"], &sheet["flights"]), (&"2026-06-02".into(), &1.into()));
    assert_eq!(sheet["file"], "logs/2026/june.gpx");
    let played = &sheet["played"][0];
    let words = ["title", "composer", "publisher", "use", "licence", "licence_until"];
    let words: Vec<&str> = words.iter().map(|word| played[word].as_str().unwrap()).collect();
    assert_eq!(words, ["A Song", "Ida Reef", "Reef and Sons", "background", "L-7", "2026-06-30"]);
    assert_eq!((&played["times"], &played["licence_past"]), (&1.into(), &false.into()));
    // Out and back take 480 s; it is on the ground again once it has been slow for 10 s.
    let heard = played["heard_ms"].as_i64().unwrap();
    assert!((478_000..=495_000).contains(&heard), "{heard}");
    assert_eq!(played["in_film_ms"], heard);

    // The film stops where nothing is recorded; the music goes on.
    let tour = project.read("tours/west.yaml");
    let tour = tour.replace("    still: {at closest: ARCH}\n", "    record: off\n");
    project.write("tours/west.yaml", tour);
    let done = music(&project, &["logs/2026/june.gpx", "--format", "json"]);
    let played = self::sheets(&done)[0]["played"][0].clone();
    assert_eq!(played["heard_ms"], heard);
    let in_film = played["in_film_ms"].as_i64().unwrap();
    assert!(in_film > 0 && in_film < heard - 30_000, "{in_film} of {heard}");
}

#[test]
fn a_sheet_for_each_year_adds_its_flights_and_tells_a_flight_once() {
    let project = project(WHOLE);
    let once = music(&project, &["logs", "--format", "json"]);
    let heard = |sheet: &Value| sheet["played"][0]["heard_ms"].as_i64().unwrap();
    let all: Vec<i64> = sheets(&once).iter().map(heard).collect();
    assert_eq!(all.len(), 3);
    project.write("logs/copy.gpx", project.read("logs/2026/june.gpx"));
    let done = music(&project, &["logs", "--per", "year", "--format", "json"]);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("warning[flight-twice]"), "{}", done.err);
    let years = sheets(&done);
    let periods: Vec<&Value> = years.iter().map(|year| &year["period"]).collect();
    assert_eq!(periods, ["2026", "2027"]);
    assert_eq!(years[0]["flights"], 2);
    assert_eq!(years[0]["played"][0]["times"], 2);
    assert_eq!(years.iter().map(heard).sum::<i64>(), all.iter().sum::<i64>());

    // The same as a table for a spreadsheet, read as text.
    let rows = music(&project, &["logs", "--per=year", "--format=csv"]).out;
    let rows: Vec<Vec<&str>> = rows.lines().map(|row| row.split(',').collect()).collect();
    let column = |name: &str| rows[0].iter().position(|head| *head == name).unwrap();
    assert_eq!(rows.len(), 3);
    assert_eq!(rows[1][column("period")], "2026");
    assert_eq!(rows[2][column("licence_past")], "yes");
    let seconds: f64 = rows[1][column("heard_s")].parse().unwrap();
    assert_eq!((seconds * 1000.0).round() as i64, heard(&years[0]));
}

#[test]
fn a_licence_counts_to_its_last_day_and_is_found_when_it_is_past() {
    let project = project(WHOLE);
    let done = music(&project, &["logs/2026", "logs/2027"]);
    assert_eq!(done.code, 1);
    let told = "the licence for `song` ended on 2026-06-30, and it was played on 2 flights, first on \
                2026-07-01";
    assert!(done.err.contains(told), "{}", done.err);
    assert_eq!(done.err.matches("[licence-past]").count(), 1, "{}", done.err);
    assert_eq!(done.out.matches("2026-06-30, past").count(), 2, "{}", done.out);
    project.write("logs/last.gpx", gpx(0.0).replace("2026-06-02T", "2026-06-30T"));
    assert_eq!(music(&project, &["logs/last.gpx"]).code, 0);
    // The tour itself, by its departure.
    assert_eq!(project.fulmar(&["check", "tours/west.yaml"]).code, 0);
    let check = ["check", "tours/west.yaml", "--departure", "2026-07-01T10:30:00Z"];
    let done = project.fulmar(&check);
    assert_eq!(done.code, 1);
    assert!(done.out.contains("warning[licence-past]"), "{}", done.out);
}

#[test]
fn what_a_cue_sheet_needs_and_nobody_wrote_is_noted() {
    let project = project("{title: A Song}");
    let done = music(&project, &["--planned"]);
    assert_eq!(done.code, 0, "a note is no complaint");
    assert!(done.err.contains("note[cue-sheet-gap]"), "{}", done.err);
    assert!(done.err.contains("no composer, no publisher, no licence is written"), "{}", done.err);
    assert!(done.out.contains("A Song"), "{}", done.out);
}

#[test]
fn what_cannot_be_flown_is_told_and_the_rest_is_not_lost() {
    let project = project(WHOLE);
    let done = music(&project, &[]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("error[no-flight]"), "{}", done.err);
    let done = music(&project, &["logs/none.gpx", "logs/2026/june.gpx"]);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("error[file-missing]"), "{}", done.err);
    assert!(done.out.contains("A Song"), "{}", done.out);
    std::fs::create_dir(project.path("empty")).unwrap();
    let done = music(&project, &["empty"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("[folder-empty]"), "{}", done.err);
    // A file that is read is never written over.
    let done = music(&project, &["logs", "--output", "logs/2026/june.gpx"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("error[output-is-input]"), "{}", done.err);
    assert_eq!(project.read("logs/2026/june.gpx"), gpx(0.0));
}
