//! Sheets that go out and come back: as they were, edited, sorted, and as the spreadsheet programs
//! of several countries write them.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on has failed"
)]

mod common;

use calamine::{Data, Reader, Xlsx};
use proptest::prelude::*;

use common::{TOUR, cells, column, document, import, names, project, separated};
use route::TextPlace;
use rust_xlsxwriter::Workbook;
use script::{Field, Sheet, Version, write_csv, write_xlsx};

fn german() -> Vec<Vec<String>> {
    cells(&String::from_utf8(write_csv(&document(TOUR, "de"))).unwrap())
}

/// The German sheet with one text edited.
fn edited(text: &str) -> Vec<Vec<String>> {
    let mut cells = german();
    let at = column(&cells, "text");
    cells[2][at] = text.to_owned();
    cells
}

/// A workbook of these cells, written as one that was never ours.
fn workbook(cells: &[Vec<String>]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    workbook.add_worksheet().write_string(0, 0, "something else").unwrap();
    let sheet = workbook.add_worksheet();
    for (row, cells) in (2_u32..).zip(cells) {
        for (column, cell) in (1_u16..).zip(cells) {
            sheet.write_string(row, column, cell).unwrap();
        }
    }
    workbook.save_to_buffer().unwrap()
}

/// The one change of a sheet in which nothing is found.
fn one_change(bytes: &[u8]) -> (String, String) {
    let import = import(bytes);
    assert_eq!(names(&import), [] as [&str; 0], "{:?}", import.findings);
    let [change] = &import.changes[..] else { panic!("{:?}", import.changes) };
    assert_eq!((change.language.as_str(), change.field), ("de", Field::Text));
    assert_eq!(import.unchanged, 2);
    (change.name.clone(), change.after.clone())
}

#[test]
fn a_sheet_that_nobody_touched_changes_nothing() {
    for language in ["en", "de"] {
        let document = document(TOUR, language);
        for bytes in [write_csv(&document), write_xlsx(&document).unwrap()] {
            let import = import(&bytes);
            assert_eq!((import.changes.len(), import.unchanged), (0, 3), "{:?}", import.changes);
            assert_eq!(names(&import), [] as [&str; 0]);
        }
    }
}

#[test]
fn what_is_written_is_what_another_reader_reads() {
    let document = document(TOUR, "en");
    let csv = cells(&String::from_utf8(write_csv(&document)).unwrap());
    assert_eq!(csv.len(), 4);
    let text = column(&csv, "text");
    assert_eq!(csv[0][text], "text");
    assert_eq!(csv[0][0], "[number]");
    assert_eq!(
        csv[2][text],
        "The arch is high enough for a boat with its mast up. So they say.\nLook up."
    );
    // No formula for whoever opens it.
    assert_eq!(csv[3][text], "'= And back, \"home\" again.");

    let bytes = write_xlsx(&document).unwrap();
    assert_eq!(bytes, write_xlsx(&document).unwrap(), "the same script is the same bytes");
    let mut workbook = Xlsx::new(std::io::Cursor::new(bytes)).unwrap();
    assert_eq!(workbook.sheet_names(), ["Script", "About"]);
    let range = workbook.worksheet_range("Script").unwrap();
    assert_eq!(range.get_value((0, 0)), Some(&Data::String("[number]".into())));
    let at = |row, column: usize| range.get_value((row, u32::try_from(column).unwrap())).unwrap();
    assert_eq!(at(1, 0), &Data::Float(1.0));
    assert_eq!(at(3, text), &Data::String("= And back, \"home\" again.".into()));
    let about = workbook.worksheet_range("About").unwrap();
    assert_eq!(about.get_value((0, 1)), Some(&Data::String("Out & back".into())));
    assert_eq!(about.get_value((5, 1)), Some(&Data::String("130 words a minute".into())));
}

#[test]
fn an_edited_text_comes_back_from_whatever_a_spreadsheet_writes() {
    let text = "Der Bogen – „so sagt man“ – ist hoch; „höher“, als man denkt.\nUnd alt.";
    let wanted = ("arch".to_owned(), text.to_owned());
    let cells = edited(&text.replace('\n', "\r\n"));
    assert_eq!(one_change(&workbook(&cells)), wanted);
    for separator in [",", ";", "\t"] {
        let text = separated(&cells, separator);
        assert_eq!(one_change(text.as_bytes()), wanted, "{separator:?}");
        assert_eq!(one_change(format!("\u{FEFF}{text}").as_bytes()), wanted, "{separator:?}");
        // Unix line ends, and a line that one such program writes at the top.
        assert_eq!(one_change(text.replace("\r\n", "\n").as_bytes()), wanted);
        assert_eq!(one_change(format!("sep={separator}\r\n{text}").as_bytes()), wanted);
        for (mark, order) in [(true, 0), (true, 1), (false, 0), (false, 1)] {
            let marked = if mark { format!("\u{FEFF}{text}") } else { text.clone() };
            let bytes: Vec<u8> = marked
                .encode_utf16()
                .flat_map(|unit| if order == 0 { unit.to_le_bytes() } else { unit.to_be_bytes() })
                .collect();
            let import = import(&bytes);
            assert_eq!(names(&import), ["sheet-encoding"]);
            assert_eq!(import.changes[0].after, wanted.1);
        }
    }
}

#[test]
fn windows_1252_is_read_and_said_with_a_word_to_look_at() {
    let text = separated(&edited("Wärter, „für“ 5 €"), ";");
    let byte = |c: char| match c {
        '„' => 0x84,
        '“' => 0x93,
        '€' => 0x80,
        c => u8::try_from(u32::from(c)).unwrap(),
    };
    let bytes: Vec<u8> = text.chars().map(byte).collect();
    let import = import(&bytes);
    assert_eq!(names(&import), ["sheet-encoding"]);
    assert!(
        import.findings[0].headline.contains("`zurück:`")
            || import.findings[0].headline.contains("`Wärter`"),
        "{}",
        import.findings[0].headline
    );
    assert_eq!(import.changes[0].after, "Wärter, „für“ 5 €");
    assert_eq!(import.changes.len(), 1, "the other texts are the same");
}

#[test]
fn rows_and_columns_may_stand_in_any_order() {
    let mut cells = edited("Der Bogen ist hoch.");
    let heading = cells.remove(0);
    cells.reverse();
    cells.insert(0, heading);
    for row in &mut cells {
        row.reverse();
        row.insert(3, "mine".to_owned());
    }
    cells.insert(2, vec![String::new(); 5]);
    cells.insert(0, vec!["Script for Ms Loveday".to_owned()]);
    let import = import(separated(&cells, ";").as_bytes());
    assert_eq!(names(&import), ["sheet-column-unknown"]);
    assert_eq!((import.changes.len(), import.unchanged), (1, 2));
    assert_eq!(import.changes[0].after, "Der Bogen ist hoch.");
    assert_eq!(import.changes[0].number, Some(2));
    let at = import.changes[0].place.span();
    assert!(project(TOUR).sources.text(at).starts_with("Der Bogen ist so hoch"));
}

#[test]
fn what_is_taken_out_of_a_sheet_is_said_and_stays() {
    let mut cells = german();
    cells.remove(3);
    cells.remove(1);
    let import = import(separated(&cells, ",").as_bytes());
    assert_eq!(names(&import), ["sheet-row-missing"]);
    assert!(import.findings[0].headline.contains("hello, back"), "{}", import.findings[0].headline);
    assert_eq!(import.changes, []);
}

/// A narration with a short version and notes, and one without a text in German.
fn told(tour: &str) -> String {
    let short = "narrations:\n  later:\n    pronunciation: {en: 'Orrick: ORR-ick'}\n    text: {en: \
                 Later on.}\n    short: {text: {en: Later.}}\n  once: {text: Only once.}\n";
    let rules = "rules:\n  later: {when: {after: back}, narration: later}\n  once: {when: {after: \
                 later}, narration: once}\n";
    let tour = tour.replace("{words per minute: 120}", "{fallback: en}");
    tour.replace("narrations:\n", short).replace("rules:\n", rules)
}

#[test]
fn what_a_translator_adds_has_its_place_in_the_file() {
    let tour = told(TOUR);
    let mut cells = cells(&String::from_utf8(write_csv(&document(&tour, "de"))).unwrap());
    let at = |key| column(&cells, key);
    let (name, version, text, note) = (at("name"), at("version"), at("text"), at("pronunciation"));
    assert_eq!((cells[1][name].as_str(), cells[1][version].as_str()), ("later", "long"));
    assert_eq!((cells[2][name].as_str(), cells[2][version].as_str()), ("later", "short"));
    assert_eq!((cells[1][text].as_str(), cells[2][text].as_str()), ("", ""));
    let compare = |cells: &[Vec<String>]| {
        let sheet = Sheet::read(separated(cells, ",").as_bytes(), "s").unwrap();
        script::compare(&project(&tour), &sheet)
    };
    let import = compare(&cells);
    assert_eq!((import.changes.len(), import.unchanged, names(&import)), (0, 6, vec![]));
    cells[1][text] = "Später.".to_owned();
    cells[1][note] = "Orrick: OR-rick".to_owned();
    cells[2][text] = "Bald.".to_owned();
    let import = compare(&cells);
    assert_eq!(names(&import), [] as [&str; 0]);
    let keys = |change: usize| match &import.changes[change].place {
        TextPlace::Under { keys, .. } => keys.join("/"),
        TextPlace::InPlaceOf(_) => String::new(),
    };
    assert_eq!([keys(0), keys(1), keys(2)], ["text/de", "pronunciation/de", "short/text/de"]);
    assert_eq!(import.changes[2].version, Version::Short);
    assert_eq!(import.changes[1].field, Field::Pronunciation);

    // What has no place yet is said with what to do.
    cells[2][note] = "Orrick".to_owned();
    cells[3][text] = "Nur einmal.".to_owned();
    let import = compare(&cells);
    assert_eq!(names(&import), ["sheet-text-no-place", "sheet-text-no-place"]);
    assert!(import.findings[0].help.contains("long version"), "{}", import.findings[0].help);
    assert!(import.findings[1].help.contains("`{en: …}`"), "{}", import.findings[1].help);
}

#[test]
fn notes_on_pronunciation_come_back_as_texts_do() {
    let tour = told(TOUR);
    let mut cells = cells(&String::from_utf8(write_csv(&document(&tour, "en"))).unwrap());
    let note = column(&cells, "pronunciation");
    assert_eq!((cells[1][note].as_str(), cells[2][note].as_str()), ("Orrick: ORR-ick", ""));
    let compare = |cells: &[Vec<String>]| {
        let sheet = Sheet::read(separated(cells, ",").as_bytes(), "s").unwrap();
        script::compare(&project(&tour), &sheet)
    };
    cells[1][note] = "Orrick: OR-ick".to_owned();
    let import = compare(&cells);
    assert_eq!((names(&import), import.changes.len()), (vec![], 1));
    assert_eq!(import.changes[0].before.as_deref(), Some("Orrick: ORR-ick"));
    cells[1][note] = String::new();
    assert_eq!(names(&compare(&cells)), ["sheet-text-empty"]);
    // Whoever takes the whole column out takes no note away.
    for row in &mut cells {
        row.remove(note);
    }
    let import = compare(&cells);
    assert_eq!((names(&import), import.changes.len()), (vec![], 0));
}

#[test]
fn what_the_artist_writes_is_told_to_the_editor() {
    let mut cells = german();
    let (take, remark) = (column(&cells, "take"), column(&cells, "remark"));
    cells[2][take] = "2".to_owned();
    cells[2][remark] = "breath before „So“".to_owned();
    let import = import(separated(&cells, ",").as_bytes());
    assert_eq!(import.remarks.len(), 1);
    assert_eq!(import.remarks[0].words, ["take: 2", "remark: breath before „So“"]);
    assert_eq!(import.changes, []);
}

/// One cell of the German sheet's row for the arch put in place of another.
fn with(key: &str, cell: &str) -> script::Import {
    let mut cells = german();
    let at = column(&cells, key);
    cells[2][at] = cell.to_owned();
    import(separated(&cells, ",").as_bytes())
}

#[test]
fn what_belongs_nowhere_is_refused_with_its_place() {
    let found = |key, cell: &str| {
        let import = with(key, cell);
        assert_eq!(import.changes, [], "{key}: {cell}");
        let finding = import.findings[0].clone();
        let cells = german();
        let place = u32::try_from(column(&cells, key) + 1).unwrap();
        assert_eq!((finding.place.line, finding.place.column), (3, place), "{key}: {cell}");
        finding
    };
    let unknown = found("name", "arhc");
    assert_eq!((unknown.name, unknown.help.as_str()), ("sheet-name-unknown", "`arch` is near"));
    assert_eq!(found("name", "").name, "sheet-name-unknown");
    assert_eq!(found("language", "fr").help, "it is told in en, de");
    assert_eq!(found("language", "").name, "sheet-language-unknown");
    assert_eq!(found("version", "").name, "sheet-version-unknown");
    assert_eq!(found("version", "middle").name, "sheet-version-unknown");
    assert_eq!(found("made from", "").name, "sheet-origin-missing");
    assert_eq!(found("text", " ").name, "sheet-text-empty");
    assert_eq!(found("text", "Der Bogen wei\u{FFFD}").name, "sheet-garbled");
    assert_eq!(found("text", "Der Bogen weiÃŸ").name, "sheet-garbled");
    // The row of another language belongs to another text, and brings nothing of its own.
    let english = with("language", "en");
    assert_eq!(names(&english), ["sheet-text-older", "sheet-row-missing", "sheet-row-missing"]);
    assert_eq!(english.changes, []);

    let mut cells = german();
    cells.push(cells[2].clone());
    let import = import(separated(&cells, ",").as_bytes());
    assert_eq!(names(&import), ["sheet-row-twice"]);
    assert_eq!(import.findings[0].related[0].place.line, 3);
}

#[test]
fn rows_are_counted_as_a_spreadsheet_shows_them() {
    let mut cells = german();
    let (name, remark) = (column(&cells, "name"), column(&cells, "remark"));
    cells[1][remark] = "one\ntwo\nthree".to_owned();
    cells[3][name] = "bcak".to_owned();
    let text = separated(&cells, ",").replace("\r\n\"1\"", "\r\n\r\n\r\n\"1\"");
    let row = |text: &str| {
        let import = import(text.as_bytes());
        let found = import.findings.iter().find(|one| one.name == "sheet-name-unknown").unwrap();
        assert!(found.headline.starts_with(&format!("row {},", found.place.line)));
        found.place.line
    };
    assert_eq!(row(&text), 6, "two empty rows");
    assert_eq!(row(&text.replace("\r\n", "\n")), 6);
    assert_eq!(row(&separated(&cells, ",")), 4);
}

#[test]
fn a_text_that_was_changed_meanwhile_is_never_written_over() {
    let newer = TOUR.replace("Der Bogen ist so hoch", "Der Bogen ist sehr hoch");
    let compare = |cells: &[Vec<String>]| {
        let sheet = Sheet::read(separated(cells, ",").as_bytes(), "s").unwrap();
        script::compare(&project(&newer), &sheet)
    };
    // Nobody touched it in the sheet: the newer one stays.
    let import = compare(&german());
    assert_eq!((names(&import), import.changes.len()), (vec!["sheet-text-older"], 0));
    // Both were changed: both are shown.
    let import = compare(&edited("Der Bogen ist alt."));
    assert_eq!((names(&import), import.changes.len()), (vec!["text-changed-twice"], 0));
    let finding = &import.findings[0];
    assert!(finding.help.contains("Der Bogen ist sehr hoch"), "{}", finding.help);
    assert!(finding.help.contains("in the sheet: Der Bogen ist alt."), "{}", finding.help);
    assert_eq!(finding.related[0].place.file.as_ref(), "tour.yaml");
    // Both were changed to the same.
    let same = "Der Bogen ist sehr hoch, dass ein Boot mit stehendem Mast hindurchpasst. „So sagt \
                man“; mehr weiß niemand.";
    let import = compare(&edited(same));
    assert_eq!((names(&import), import.changes.len()), (vec![], 0));
}

#[test]
fn what_is_no_sheet_of_a_script_is_refused() {
    let name = |bytes: &[u8]| Sheet::read(bytes, "s").unwrap_err().name;
    assert_eq!(name(b""), "not-a-sheet");
    assert_eq!(name(b" \n"), "not-a-sheet");
    assert_eq!(name(b"%PDF-1.7"), "not-a-sheet");
    assert_eq!(name(b"<!DOCTYPE html>"), "not-a-sheet");
    assert_eq!(name(&[0xD0, 0xCF, 0x11, 0xE0, 0, 0]), "not-a-sheet");
    assert_eq!(name(b"PK\x03\x04 and then nothing"), "not-a-sheet");
    assert_eq!(name(b"a,b\n1,2\n"), "sheet-without-headings");
    assert_eq!(name(b"name,text\narch,x\n"), "sheet-column-missing");
    assert_eq!(name(b"name,text,text\narch,x\n"), "sheet-column-twice");
    assert_eq!(name(b"\xEF\xBB\xBFname,text\n\xFF"), "sheet-undecodable");
    assert_eq!(name(b"name,text\nW\xE4rter \x81\n"), "sheet-undecodable");
    assert_eq!(name(b"\xFF\xFEn\0a\0m"), "sheet-undecodable");
    assert_eq!(name(&vec![b','; 100_000]), "sheet-too-large");
    // Cut off within its last cell, or at the end of a row, which is then missing.
    let mut cells = german();
    cells.iter_mut().for_each(|row| row.reverse());
    let text = separated(&cells, ";");
    assert_eq!(name(&text.as_bytes()[..text.len() - 4]), "sheet-cut-off");
    let short = text.trim_end().rsplit_once("\r\n").unwrap().0;
    assert_eq!(names(&import(short.as_bytes())), ["sheet-row-missing"]);
    let mut twice = Workbook::new();
    for _ in 0..2 {
        let sheet = twice.add_worksheet();
        for (at, key) in (0_u16..).zip(["name", "version", "language", "text", "made from"]) {
            sheet.write_string(0, at, key).unwrap();
        }
    }
    assert_eq!(name(&twice.save_to_buffer().unwrap()), "sheet-twice");
    // A cell in the last of a million rows takes no room for those between.
    let mut far = Workbook::new();
    let sheet = far.add_worksheet();
    sheet.write_string(1_048_575, 16_383, "here").unwrap();
    assert_eq!(name(&far.save_to_buffer().unwrap()), "sheet-too-large");
}

#[test]
fn a_cell_that_a_spreadsheet_took_for_something_else_is_named() {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    let cells = german();
    for (row, cells) in (0_u32..).zip(&cells) {
        for (column, cell) in (0_u16..).zip(cells) {
            sheet.write_string(row, column, cell).unwrap();
        }
    }
    let text = u16::try_from(column(&cells, "text")).unwrap();
    sheet.write_boolean(2, text, true).unwrap();
    let import = import(&workbook.save_to_buffer().unwrap());
    assert_eq!(names(&import)[0], "sheet-cell-no-text");
    assert!(
        import.findings[0]
            .headline
            .starts_with("row 3, column `text`: the cell holds a truth value"),
        "{}",
        import.findings[0].headline
    );
    assert_eq!(import.changes, []);
}

/// The same numbers on every machine: xorshift.
struct Dice(u64);

impl Dice {
    fn below(&mut self, many: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(many.max(1)).unwrap()).unwrap()
    }
}

#[test]
fn whatever_bytes_come_nothing_gives_up_and_no_text_is_lost_unsaid() {
    let document = document(TOUR, "de");
    let project = project(TOUR);
    let mut dice = Dice(2026);
    for good in [write_csv(&document), write_xlsx(&document).unwrap()] {
        for _ in 0..400 {
            let mut bytes = good.clone();
            for _ in 0..=dice.below(6) {
                let at = dice.below(bytes.len());
                match dice.below(4) {
                    0 => bytes.truncate(at),
                    1 => bytes.insert(at, u8::try_from(dice.below(256)).unwrap()),
                    2 => drop(bytes.drain(at..(at + dice.below(40)).min(bytes.len()))),
                    _ => {
                        if let Some(byte) = bytes.get_mut(at) {
                            *byte = u8::try_from(dice.below(256)).unwrap();
                        }
                    }
                }
                if bytes.is_empty() {
                    break;
                }
            }
            let Ok(sheet) = Sheet::read(&bytes, "s") else { continue };
            let import = script::compare(&project, &sheet);
            let told = import.changes.len() + import.unchanged + import.findings.len();
            assert!(told > 0, "nothing is said of a sheet with texts in it");
        }
    }
}

/// A text with what parts cells, quotes, breaks lines and begins formulas.
fn text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        6 => "[a-zäß„“]{1,9}",
        2 => "[=+@',;:\"\t-]{1,3}",
        1 => Just("\n".to_owned()),
        1 => Just("日本語😀".to_owned()),
        1 => Just("_x000D_".to_owned()),
        1 => Just("1,5".to_owned()),
    ];
    proptest::collection::vec(piece, 1..20).prop_map(|pieces| pieces.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(128) })]

    #[test]
    fn any_text_comes_back_as_it_went_out(new in text()) {
        // As it is compared: without blanks at the ends of lines.
        let lines: Vec<&str> = new.trim().split('\n').map(str::trim_end).collect();
        let wanted = lines.join("\n");
        prop_assume!(!wanted.is_empty());
        // Written by us, read by others.
        let mut document = document(TOUR, "de");
        document.lines[1].text = Some(wanted.clone());
        let csv = cells(&String::from_utf8(write_csv(&document)).unwrap());
        let at = column(&csv, "text");
        let guarded = csv[2][at].strip_prefix('\'').filter(|_| csv[2][at].trim_start_matches('\'').starts_with(['=', '+', '-', '@']));
        prop_assert_eq!(guarded.unwrap_or(&csv[2][at]), wanted.as_str());
        let mut book = Xlsx::new(std::io::Cursor::new(write_xlsx(&document).unwrap())).unwrap();
        let range = book.worksheet_range("Script").unwrap();
        let cell = range.get_value((2, u32::try_from(at).unwrap())).unwrap().to_string();
        prop_assert_eq!(cell.trim_start_matches('\''), wanted.trim_start_matches('\''));
        // Written by others, read by us.
        let mut theirs = german();
        theirs[2][at] = csv[2][at].clone();
        for bytes in [separated(&theirs, ";").into_bytes(), workbook(&theirs)] {
            let import = import(&bytes);
            prop_assert_eq!(names(&import), Vec::<&str>::new());
            prop_assert_eq!(&import.changes[0].after, &wanted);
        }
    }
}
