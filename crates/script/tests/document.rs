//! What is in a script, and that the page of it stands by itself.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on has failed"
)]

mod common;

use common::{TOUR, document};
use earth::Millis;
use script::LengthFrom;

#[test]
fn lines_are_numbered_and_told_in_plain_words() {
    let document = document(TOUR, "de");
    assert_eq!((document.language.as_str(), document.revision), ("de", 3));
    assert_eq!((document.status.as_str(), document.pace), ("draft", compiler::Pace::Words(120.0)));
    let names: Vec<(u32, &str)> =
        document.lines.iter().map(|line| (line.number, line.name.as_str())).collect();
    assert_eq!(names, [(1, "hello"), (2, "arch"), (3, "back")]);
    assert_eq!(document.lines[0].when, ["on the ground"]);
    assert_eq!(
        document.lines[1].when,
        ["20 s before passing Tinker's Arch, on the way north (track 320..040), outside field"]
    );
    assert_eq!(document.lines[2].when, ["after the rule arch, on the way south (track 140..220)"]);
    // By what is told about, and not by the points of the route.
    let place = document.lines[1].planned.as_ref().unwrap().place.as_str();
    assert!(place.ends_with(" of Tinker's Arch"), "{place}");
    // 18 words at 120 a minute.
    assert_eq!(document.lines[1].length, Some((Millis(9_000), LengthFrom::Text)));
}

#[test]
fn room_ends_with_what_comes_first() {
    let document = document(TOUR, "de");
    let planned = |line: usize| document.lines[line].planned.clone().unwrap();
    assert_eq!(planned(0).until, "take-off");
    assert!(planned(0).since < Millis(0));
    assert_eq!(planned(0).room, Some(Millis(0) - planned(0).since));
    // To the next one less its breath, which is 1 s.
    assert_eq!(planned(1).until, "the next one, back");
    assert_eq!(planned(1).room, Some(planned(2).since - planned(1).since - Millis(1_000)));
    assert_eq!(planned(2).until, "the quiet zone field");
    assert!(planned(2).room.unwrap() > Millis(60_000));
}

#[test]
fn a_page_stands_by_itself_and_breaks_between_cues() {
    let document = document(TOUR, "de");
    let page = script::page(&document);
    for outside in ["http", "src=", "href=", "url(", "@import", "<script"] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.contains("Out &amp; back") && !page.contains("Out & back"));
    assert!(page.contains("<div class=\"text\" lang=\"de\" dir=\"auto\"><p>Der Bogen ist so hoch"));
    assert!(page.contains("article { break-inside: avoid;"));
    for needed in [&document.code, "German (de)", "Revision", "120 words a minute", "draft"] {
        assert!(page.contains(needed), "{needed}");
    }
    assert!(!page.contains("Differs from the tour"), "the language is no difference worth a line");
    // No text is smaller than 11 pt.
    let sizes = page.match_indices("pt").filter_map(|(at, _)| {
        let before = &page[..at];
        let number = before.rsplit(|c: char| !(c.is_ascii_digit() || c == '.')).next()?;
        let what = before.strip_suffix(number)?.rsplit([';', '{', '}']).next()?;
        what.contains("font").then(|| number.parse::<f64>().unwrap())
    });
    let sizes: Vec<f64> = sizes.collect();
    assert!(sizes.len() > 5 && sizes.iter().all(|size| *size >= 11.0), "{sizes:?}");
    // Two paragraphs are two.
    let english = script::page(&common::document(TOUR, "en"));
    assert!(english.contains(
        "<p>The arch is high enough for a boat with its mast up. So they say.</p><p>Look up.</p>"
    ));
}

#[test]
fn what_is_told_in_another_language_is_named_and_not_recorded() {
    let tour = TOUR.replace("{de: {words per minute: 120}}", "{de: {fallback: en}}");
    let tour = tour.replace(", de: Willkommen an Bord.", "");
    let document = document(&tour, "de");
    assert_eq!(document.lines[0].text, None);
    assert_eq!(document.lines[0].told_in.as_deref(), Some("en"));
    assert_eq!(document.lines[0].length, None);
    let page = script::page(&document);
    assert!(page.contains("<h2>Not in this language</h2><ul><li>1 hello: told in en</li></ul>"));
    assert!(page.contains("2 texts"));
}
