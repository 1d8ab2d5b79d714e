//! Texts written anew in the files of their authors: read again as they should be, in the style in
//! which they stood, with every byte round them as it was.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use proptest::prelude::*;
use route::{MemoryWorld, NewText, NotRewritten, Project, SourceFile, Span, TextPlace, rewrite};

const TOUR: &str = "tour: T\nrevision: 1\naircraft: a.yaml\ninclude: library/l.yaml\ndeparture: \
                    2026-06-01T10:30:00Z\nroute: {legs: [{from: A}, {land: A}]}\n";
const AIRCRAFT: &str = "aircraft: A\ncameras: {nose: {input: 1, mount: {bearing: 0}, field of \
                        view: {width: 80 deg}}}\n";

/// Every style, each among comments and other texts.
const STYLES: &str = r#"# at the top
library: L

narrations:
  # before
  folded: # at the key
    text: >-  # at the sign
      The first line of a folded text, broken where
      the width of this file is, which is fifty.
      Then a short one.

      A second paragraph.

  # between
  clipped:
    text: >
      One line.
    length: 20 s   # not measured
  kept:
    text: >+
      Lines, and what follows them.


  indented:
    text: >2
      Lines with a number that says how far in they are.
  literal:
    text: |-
      As it stands,
        with blanks,

      and an empty line. # no comment
    side: left # a comment
  plain:
    text: in plain words # a comment
  lines:
    text: in plain words that go on
      over two lines   # a comment

  single: {text: 'in single quotes, it''s said', side: left} # a comment
  double: {text: "in \"double\" quotes", side: right}
  quoted lines:
    text: "in double quotes over
      two lines, and

      a paragraph"
  languages:
    text: {en: English here, de: 'Deutsch, hier'}
  languages below:
    text:
      en: >-
        English
        here
      de: "Deutsch" # zum Schluss
# at the end
"#;

fn file(styles: &str) -> (Project, SourceFile) {
    let named = styles.replace("quoted lines:", "quoted-lines:");
    let named = named.replace("languages below:", "languages-below:");
    let (project, file) = read(&named);
    (project.unwrap(), file)
}

fn read(library: &str) -> (Option<Project>, SourceFile) {
    let world = MemoryWorld::new()
        .with("tour.yaml", TOUR)
        .with("a.yaml", AIRCRAFT)
        .with("library/l.yaml", library);
    let (project, found) = route::read(&world, "tour.yaml", None);
    let wrong = found.iter().any(|finding| finding.place.file.as_ref() == "library/l.yaml");
    (project.filter(|_| !wrong), SourceFile::new("library/l.yaml", library))
}

fn new_text(at: Span, text: &str) -> NewText<'_> {
    NewText { place: TextPlace::InPlaceOf(at), text }
}

fn under<'t>(project: &Project, entry: &str, keys: &[&str], text: &'t str) -> NewText<'t> {
    let entry = project.narrations.get(entry).unwrap().name.span;
    let keys = keys.iter().map(|key| (*key).to_owned()).collect();
    NewText { place: TextPlace::Under { entry, keys }, text }
}

/// Every text with its place, in the order written.
fn texts(project: &Project) -> Vec<(Span, String)> {
    let each = project.narrations.entries.iter().flat_map(|entry| entry.value.told.text.values());
    each.map(|text| (text.span, text.value.clone())).collect()
}

/// Each text of the file written anew, one at a time; the pieces round it are as they were.
fn each_written(styles: &str, new: &str) {
    let (project, file) = file(styles);
    let all = texts(&project);
    assert!(all.len() > 12, "{}", all.len());
    for (index, (at, _)) in all.iter().enumerate() {
        let after = rewrite(&file, &[new_text(*at, new)]).unwrap();
        // The sign of a block may have to give way to quotes.
        let key = file.text.get(..at.start).unwrap().trim_end().rfind(": ").unwrap();
        assert_eq!(after.get(..key), file.text.get(..key));
        let tail = file.text.get(at.end..).unwrap();
        assert_eq!(after.get(after.len() - tail.len()..), Some(tail));
        let (again, _) = read(&after);
        let again = again.unwrap_or_else(|| panic!("cannot be read again:\n{after}"));
        for (other, ((_, before), (_, now))) in all.iter().zip(texts(&again)).enumerate() {
            let wanted = if other == index { new.trim() } else { before };
            assert_eq!(now, wanted, "{after}");
        }
        assert_eq!(format!("{:?}", project.music.entries), format!("{:?}", again.music.entries));
    }
}

fn written(library: &str, which: usize, new: &str) -> String {
    let (project, file) = read(library);
    let at = texts(&project.unwrap())[which].0;
    rewrite(&file, &[new_text(at, new)]).unwrap()
}

#[test]
fn a_folded_text_is_filled_at_the_width_of_its_file_and_keeps_its_comments() {
    let after = written(
        &file(STYLES).1.text,
        0,
        "The first line of a much longer folded text, that has to be broken anew: all of it.\nA \
         second paragraph.\nA third: # no comment.",
    );
    assert!(
        after.contains(
            "\
  folded: # at the key
    text: >-  # at the sign
      The first line of a much longer folded text,
      that has to be broken anew: all of it.

      A second paragraph.

      A third: # no comment.

  # between
"
        ),
        "{after}"
    );
}

#[test]
fn lines_broken_by_hand_stay_where_they_say_the_same() {
    let by_hand = "library: L\nnarrations:\n  a:\n    text: >-\n      One sentence.\n      Another, \
                   which is longer.\n      A third.\n      The last of them all.\n";
    let after = written(by_hand, 0, "One sentence. Another. A third. The last of them all.");
    let wanted = by_hand.replace("Another, which is longer.", "Another.");
    assert_eq!(after, wanted);
}

#[test]
fn quotes_and_plain_words_stay_what_they_are_while_they_can() {
    let library = "library: L\nnarrations:\n  a: {text: plain, side: left}\n  b: {text: 'single'}\n  \
                   c: {text: \"double\"} # d\n";
    let after = |which, new| written(library, which, new);
    assert!(after(0, "still plain").contains("{text: still plain, side: left}"));
    assert!(after(0, "not, plain").contains("{text: 'not, plain', side: left}"));
    assert!(after(0, "null").contains("{text: 'null', side: left}"));
    assert!(after(1, "it's").contains("b: {text: 'it''s'}\n"));
    assert!(after(2, "it's \"so\"").contains("c: {text: \"it's \\\"so\\\"\"} # d\n"));
}

#[test]
fn a_text_that_is_not_changed_is_left_as_it_stood() {
    let (project, file) = file(STYLES);
    let all = texts(&project);
    let same: Vec<_> = all.iter().map(|(at, text)| new_text(*at, text)).collect();
    assert_eq!(rewrite(&file, &same).unwrap(), *file.text);
}

#[test]
fn the_demo_texts_are_changed_and_back_again_byte_for_byte() {
    // Here the library lies at the top, where `..` leads nowhere.
    let text = include_str!("../../../routes/library/narrations.yaml").replace("../audio", "audio");
    let (project, file) = read(&text);
    let all = texts(&project.unwrap());
    assert!(all.len() > 50);
    for number in (0..all.len()).step_by(7) {
        let (at, text) = &all[number];
        let shorter: Vec<&str> = text.split(' ').skip(3).collect();
        let after = written(&file.text, number, &shorter.join(" "));
        assert_ne!(after, *file.text);
        assert_eq!(after.get(..at.start), file.text.get(..at.start));
        assert_eq!(written(&after, number, text), *file.text, "{number}: {text}");
    }
}

#[test]
fn a_file_with_carriage_returns_keeps_them() {
    let returns = file(STYLES).1.text.replace('\n', "\r\n");
    each_written(&returns, "Somewhat longer than a line of this file, so that it must be broken.");
    let after = written(&returns, 0, "First a line that is so long that it is broken.\nThen two.");
    assert!(!after.replace("\r\n", "").contains('\n'), "{after}");
}

#[test]
fn what_cannot_be_written_is_refused_and_nothing_is_written() {
    let (project, file) = file(STYLES);
    let all = texts(&project);
    let at = all[0].0;
    let new = |at, text| rewrite(&file, &[new_text(at, text)]);
    assert_eq!(new(at, "  \n "), Err(NotRewritten::Blank(at)));
    let key = Span { start: 2, end: 4, ..at };
    assert_eq!(new(key, "x"), Err(NotRewritten::NoText(key)));
    let twice = [new_text(at, "x"), new_text(at, "y")];
    assert_eq!(rewrite(&file, &twice), Err(NotRewritten::NoText(at)));
    let broken = SourceFile::new("l.yaml", "a: [");
    assert_eq!(rewrite(&broken, &[new_text(at, "x")]), Err(NotRewritten::Unreadable));
}

#[test]
fn a_text_where_none_is_yet_stands_as_its_neighbours_do() {
    let (project, file) = file(STYLES);
    let added = |entry, keys: &[&str], text| {
        let after = rewrite(&file, &[under(&project, entry, keys, text)]).unwrap();
        let (again, _) = read(&after);
        assert!(again.is_some(), "{after}");
        after
    };
    let after = added("languages", &["text", "fr"], "Bonjour");
    // Wider than this file is.
    assert!(after.contains("text: {en: English here, de: 'Deutsch, hier',\n      fr: Bonjour}\n"));
    let after = added("languages", &["text", "fr"], "Bonjour: voici l'arche");
    assert!(after.contains("hier',\n      fr: 'Bonjour: voici l''arche'}\n"), "{after}");
    let after = added("languages-below", &["text", "fr"], "Bonjour.\nAu revoir.");
    let wanted = "      de: \"Deutsch\" # zum Schluss\n      fr: >-\n        Bonjour.\n\n        Au \
                  revoir.\n# at the end\n";
    assert!(after.ends_with(wanted), "{after}");
    let after = added("folded", &["pronunciation", "de"], "Loveday: LAW-dä");
    let wanted = "      A second paragraph.\n    pronunciation:\n      de: 'Loveday: LAW-dä'\n\n  # \
                  between\n";
    assert!(after.contains(wanted), "{after}");
    let after = added("single", &["pronunciation", "en"], "x");
    assert!(after.contains(", side: left,\n    pronunciation: {en: x}} # a comment"), "{after}");
    // All of it at once, with a text beside it that is written anew.
    let at = texts(&project)[12].0;
    let all = [
        under(&project, "languages-below", &["text", "fr"], "Bonjour"),
        new_text(at, "Anglais"),
        under(&project, "languages-below", &["text", "is"], "Hallo"),
        under(&project, "plain", &["pronunciation", "de"], "p: l"),
    ];
    let after = rewrite(&file, &all).unwrap();
    let again = read(&after).0.unwrap();
    let told = &again.narrations.get("languages-below").unwrap().value.told.text;
    let told: Vec<&str> = told.values().map(|text| text.value.as_str()).collect();
    assert_eq!(told.len(), 4);
    assert!(told.contains(&"Anglais") && told.contains(&"Hallo") && told.contains(&"Bonjour"));
}

#[test]
fn where_something_else_stands_nothing_is_added() {
    let (project, file) = file(STYLES);
    let refused = |entry: &str, keys: &[&str]| {
        let new = under(&project, entry, keys, "x");
        let at = new.place.span();
        assert_eq!(rewrite(&file, &[new]), Err(NotRewritten::NoText(at)), "{entry} {keys:?}");
    };
    // A text that is given once is no mapping of languages.
    refused("plain", &["text", "de"]);
    refused("languages", &["text", "de"]);
    refused("languages", &[]);
}

/// Texts that are likely to go wrong.
fn text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        8 => "[a-zäß]{1,12}",
        2 => "[A-Z]{1,3}",
        1 => "[a-z]{60,130}",
        4 => r##"[-:#"'{}\[\],&*!|>%@`?\\~=<]{1,3}"##,
        2 => Just("null".to_owned()),
        1 => Just("日本語の長い文章".to_owned()),
        1 => "[\u{A0}\u{2028}\u{85}\u{FEFF}😀\t\u{7}]",
    ];
    let gap = prop_oneof![
        12 => Just(" "), 2 => Just(""), 1 => Just("  "), 1 => Just("\n"), 1 => Just("\n\n"),
        1 => Just("\n  "), 1 => Just(" \n"), 1 => Just(": "), 1 => Just(" #")
    ];
    proptest::collection::vec((piece, gap), 1..40).prop_map(|pieces| {
        pieces.into_iter().fold(String::new(), |text, (piece, gap)| text + &piece + gap)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(192) })]

    #[test]
    fn any_text_is_read_again_as_it_was_meant_in_any_style(new in text()) {
        prop_assume!(!new.trim().is_empty());
        each_written(STYLES, &new);
    }

    #[test]
    fn texts_written_together_are_as_those_written_one_by_one(new in proptest::collection::vec(text(), 5)) {
        prop_assume!(new.iter().all(|new| !new.trim().is_empty()));
        let (project, file) = file(STYLES);
        let all = texts(&project);
        let places: Vec<usize> = [9, 0, 4, 13, 6].into();
        let together: Vec<NewText<'_>> = places.iter().zip(&new)
            .map(|(place, text)| new_text(all[*place].0, text)).collect();
        let after = rewrite(&file, &together).unwrap();
        let again = texts(&read(&after).0.unwrap());
        for (index, (_, before)) in all.iter().enumerate() {
            let wanted = places.iter().position(|place| *place == index);
            let wanted = wanted.map_or(before.as_str(), |place| new[place].trim());
            prop_assert_eq!(&again[index].1, wanted);
        }
    }

    #[test]
    fn any_text_can_be_added_in_any_place(new in text()) {
        prop_assume!(!new.trim().is_empty());
        let (project, file) = file(STYLES);
        let before = texts(&project);
        for (entry, keys) in [
            ("languages", ["text", "fr"]),
            ("languages-below", ["text", "fr"]),
            ("folded", ["pronunciation", "de"]),
            ("kept", ["pronunciation", "de"]),
            ("single", ["pronunciation", "de"]),
        ] {
            let after = rewrite(&file, &[under(&project, entry, &keys, &new)]).unwrap();
            // What was there is there, byte for byte, round the one place where something came in.
            let same = file.text.bytes().zip(after.bytes()).take_while(|(old, new)| old == new);
            let same = same.count();
            let tail = file.text.len() - same;
            prop_assert!(after.as_bytes().ends_with(&file.text.as_bytes()[file.text.len() - tail..]));
            let again = read(&after).0.unwrap();
            let narration = &again.narrations.get(entry).unwrap().value;
            let texts_of = if keys[0] == "text" { &narration.told.text } else { narration.pronunciation.as_ref().unwrap() };
            prop_assert_eq!(texts_of.get(keys[1], false).unwrap().value.as_str(), new.trim());
            prop_assert_eq!(texts(&again).len(), before.len() + usize::from(keys[0] == "text"));
        }
    }
}
