//! What is in a script, and that the page of it stands by itself.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on has failed"
)]

mod common;

use common::{TOUR, document};
use earth::Millis;
use script::{Document, LengthFrom};

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
    let room = |document: &Document, line: usize| document.lines[line].room.clone().unwrap();
    let document = document(TOUR, "de");
    assert_eq!(room(&document, 0).until, "take-off");
    // By the time that it is before it abeam.
    assert_eq!(room(&document, 1).until, "Tinker's Arch is out of the picture");
    assert!((room(&document, 1).least - Millis(20_000)).0.abs() <= 1_000);
    assert_eq!(room(&document, 2).until, "the quiet zone field");
    assert!(room(&document, 2).least > Millis(60_000));
    // As planned is all that is expected.
    assert!((0..3).all(|line| {
        let room = room(&document, line);
        room.planned == Some(room.least)
    }));

    // To the next one less its breath, which is 1 s.
    let tour = TOUR.replace("      before abeam: {sight: ARCH, by: 20 s}\n", "");
    let document = common::document(&tour, "de");
    let since = |line: usize| document.lines[line].planned.clone().unwrap().since;
    assert_eq!(room(&document, 1).until, "the next one, back");
    let wanted = since(2) - since(1) - Millis(1_000);
    assert_eq!(room(&document, 1).planned, Some(wanted));
}

#[test]
fn the_budget_is_the_least_room_of_all_that_is_expected() {
    let planned = document(TOUR, "de");
    let windy = TOUR.replace("departure:", "airspeed tolerance: 15 kt\ndeparture:");
    let windy = document(&windy, "de");
    let [before, now] = [&planned, &windy].map(|document| document.lines[2].room.clone().unwrap());
    assert_eq!(now.planned, before.planned);
    assert!(now.least < before.least - Millis(10_000), "{now:?}");
    assert!((now.groundspeed.knots() - 105.0).abs() < 2.0, "{now:?}");
    let page = script::page(&windy);
    assert!(page.contains("(at 105 kt; "), "{page}");
    assert!(page.contains(" as planned)"));
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
