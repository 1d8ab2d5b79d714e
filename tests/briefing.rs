//! The pilot's card, read back by a reader that is not ours (pypdf, from the Python registry).

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

#[expect(dead_code, reason = "shared with the other tests of the command line")]
#[path = "command_line/mod.rs"]
mod project;

use std::path::{Path, PathBuf};
use std::process::Command;

use project::Project;
use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(command: &mut Command) -> String {
    let done = command.current_dir(root()).output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{command:?}: {said}");
    String::from_utf8(done.stdout).unwrap()
}

fn readers() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readers");
    run(Command::new(root().join("tests/readers/prepare")).arg(&folder));
    folder.join("bin/python")
}

fn pdf(path: &Path) -> Value {
    let printed = run(Command::new(readers()).arg("tests/readers/pdf.py").arg(path));
    serde_json::from_str(&printed).unwrap()
}

/// The text of a card with one blank wherever there is any, for lines break where they must.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of an HTML card: what stands between the tags of its body.
fn html_text(html: &str) -> String {
    let body = html.split("<body>").nth(1).unwrap();
    let mut text = String::new();
    for piece in body.split('<').skip(1) {
        let (_, words) = piece.split_once('>').unwrap();
        text.push_str(words);
        text.push(' ');
    }
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    plain(&text.replace("&amp;", "&"))
}

/// One sheet of A4, nothing under 11 points, and every word of the HTML form in it.
fn whole(project: &Project, args: &[&str]) -> String {
    let mut words = vec!["briefing"];
    words.extend(args);
    let mut pdf_words = words.clone();
    pdf_words.extend(["--output", "card.pdf"]);
    words.extend(["--output", "card.html"]);
    for words in [&pdf_words, &words] {
        let done = project.fulmar(words);
        assert!(done.code < 2, "{words:?}: {}", done.err);
    }
    let read = pdf(&project.path("card.pdf"));
    let pages = read["pages"].as_array().unwrap();
    assert_eq!(pages.len(), 1);
    let page = &pages[0];
    assert!((page["wide"].as_f64().unwrap() - 595.28).abs() < 0.1);
    assert!((page["high"].as_f64().unwrap() - 841.89).abs() < 0.1);
    let pieces = page["pieces"].as_array().unwrap();
    assert!(pieces.len() > 20, "{pieces:?}");
    for piece in pieces {
        assert!(piece["size"].as_f64().unwrap() >= 10.99, "{piece}");
    }
    let html = std::fs::read_to_string(project.path("card.html")).unwrap();
    let size = html.split("--size: ").nth(1).unwrap().split("pt").next().unwrap();
    assert!(size.parse::<f64>().unwrap() >= 11.0, "{size}");
    let (of_pdf, of_html) = (plain(page["text"].as_str().unwrap()), html_text(&html));
    let sorted = |text: &str| {
        // A word may be broken where it is wider than a column.
        let mut letters: Vec<char> = text.chars().filter(|it| !it.is_whitespace()).collect();
        letters.sort_unstable();
        letters.into_iter().collect::<String>()
    };
    assert_eq!(sorted(&of_pdf), sorted(&of_html), "{of_pdf}\n\n{of_html}");
    of_html
}

fn demo(args: &[&str]) -> String {
    let out = tempfile::tempdir().unwrap();
    let html = out.path().join("card.html");
    let mut command = Command::new(env!("CARGO_BIN_EXE_fulmar"));
    command.arg("briefing").args(args).arg("--output").arg(&html).current_dir(root());
    assert!(command.output().unwrap().status.code().unwrap() < 2, "{args:?}");
    html_text(&std::fs::read_to_string(&html).unwrap())
}

/// What a pilot has to find in a minute, on the demo's day of low cloud.
#[test]
fn the_demo_answers_what_a_pilot_asks() {
    let card = demo(&["routes/tours/west-coast.yaml", "--today", "routes/days/low-cloud.yaml"]);
    for wanted in [
        "NOT FOR NAVIGATION",
        "draft",
        "out of service left",
        "take-off 10:30 local time (UTC−2)",
        "refused today: left, cabin",
        "Lit from behind: Port Wennick, Orrick Light, Long Strand",
        "Silent (no voice, no music)",
        "field-quiet",
        "Filming forbidden",
        "seals, by Seal Ledges; recording by hand is refused",
        "3 of 6 must-have sights will NOT be filmed",
        "Tinker's Arch: ",
        "Morrow Keep: only left has it, which is out of service",
        "Pell Falls: only left has it, which is out of service",
        "Farewell Rock: right",
        "stays for 1 min 30 s from the last pick",
        "After 5 s without a fix: camera and title stay for 10 s",
        "the flight manual, the operator's procedures and local rules come first",
        "no passenger safety briefing",
    ] {
        let found = card.to_lowercase().replace(" :", ":").contains(&wanted.to_lowercase());
        assert!(found, "{wanted:?} is not in: {card}");
    }
    // Neither distances nor frequencies.
    for forbidden in [" NM", " km", "MHz", " ft"] {
        assert!(!card.contains(forbidden), "{forbidden:?} is in: {card}");
    }
    let approved = demo(&["routes/tours/west-coast.yaml"]);
    assert!(approved.contains("approved by Hester Prowse on 2026-05-20"), "{approved}");
    assert!(approved.contains("All 6 must-have sights will be filmed"), "{approved}");
}

#[test]
fn a_small_tour_makes_a_whole_card_in_both_forms() {
    let project = Project::new();
    let card = whole(&project, &["tours/west.yaml"]);
    assert!(card.contains("nowhere on this flight"), "{card}");
    assert!(card.contains("wind 240/5 kt"), "{card}");
    let windy = whole(&project, &["tours/west.yaml", "--wind", "090/15kt"]);
    assert!(windy.contains("wind 090/15 kt"), "{windy}");
}

#[test]
fn names_with_markup_are_text() {
    let project = Project::new();
    project
        .edit_tour("tour: Out to the arch and back", "tour: \"<script>alert(1)</script> & <b>\"");
    let card = whole(&project, &["tours/west.yaml"]);
    assert!(card.contains("<script>alert(1)</script> & <b>"), "{card}");
    let html = std::fs::read_to_string(project.path("card.html")).unwrap();
    assert!(!html.contains("<script"), "{html}");
}

#[test]
fn names_of_other_scripts_and_long_names_have_room() {
    let project = Project::new();
    let long = "Ἀκρωτήριον Мыс ".repeat(40);
    project.edit_tour("tour: Out to the arch and back", &format!("tour: \"{long}\""));
    let card = whole(&project, &["tours/west.yaml"]);
    assert!(card.contains('…') && card.contains("Мыс"), "{card}");
}

#[test]
fn what_has_no_room_is_counted_on_the_card() {
    let project = Project::new();
    let mut zones = String::from("zones:\n");
    for number in 0..60 {
        let latitude = 10.003 + f64::from(number) * 0.0015;
        zones.push_str(&format!(
            "  hush-{number}: {{circle: {{centre: \"{latitude:.4}N 20.0000E\", radius: 60 m}}, quiet: true}}\n"
        ));
    }
    project.edit_tour("narrations:\n", &format!("{zones}narrations:\n"));
    let card = whole(&project, &["tours/west.yaml"]);
    assert!(card.contains("more have no room here"), "{card}");
    assert!(card.contains("GPS lost") && card.contains("Voice off"), "{card}");
}

#[test]
fn a_flight_at_night_has_no_sun_and_a_tour_without_sights_no_sights() {
    let project = Project::new();
    project.edit_tour("2026-06-01T10:30:00Z", "2026-06-01T22:30:00Z");
    let card = whole(&project, &["tours/west.yaml"]);
    assert!(card.contains("the sun is below the horizon"), "{card}");
}

#[test]
fn a_card_is_html_or_pdf() {
    let project = Project::new();
    let done = project.fulmar(&["briefing", "tours/west.yaml", "--output", "card.doc"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("card-format") && done.err.contains(".pdf"), "{}", done.err);
    assert!(!project.path("card.doc").exists());
}

#[test]
fn letters_that_the_pdf_does_not_have_are_told() {
    let project = Project::new();
    project.edit_tour("tour: Out to the arch and back", "tour: \"城 Мыс\"");
    let pdf = project.fulmar(&["briefing", "tours/west.yaml", "--output", "card.pdf"]);
    assert_eq!(pdf.code, 1, "{}", pdf.err);
    assert!(pdf.err.contains("letters-missing") && pdf.err.contains("for 城 and"), "{}", pdf.err);
    let html = project.fulmar(&["briefing", "tours/west.yaml", "--output", "card.html"]);
    assert_eq!(html.code, 0, "{}", html.err);
}
