//! The script on the command line: out as a page and as sheets, back into the files.

use serde_json::Value;

use crate::project::{Done, Project};

const TEXT: &str = "{text: On our left the sea has cut an arch., length: 20 s}";
const TEXTS: &str = "\n    # the sea, mostly\n    text:\n      en: >-  # a comment\n        On our \
                     left the sea has cut an arch.\n      de: 'Links hat das Meer einen Bogen \
                     gegraben.'   # noch einer";

/// The project, its narration told in two languages.
fn project() -> Project {
    let project = Project::new();
    project.edit_tour(TEXT, TEXTS);
    let tour = project.read("tours/west.yaml");
    let tour = tour.replace("{text: The Sea Arch}", "{text: {en: The Sea Arch, de: Der Bogen}}");
    project.write("tours/west.yaml", format!("{tour}other languages: {{de: {{}}}}\n"));
    project
}

fn script(project: &Project, language: &str, output: &str) -> Done {
    project.fulmar(&["script", "tours/west.yaml", "--language", language, "--output", output])
}

/// The German sheet, with one text in place of another.
fn edited(project: &Project, from: &str, to: &str) {
    assert_eq!(script(project, "de", "de.csv").code, 0);
    let sheet = project.read("de.csv");
    assert!(sheet.contains(from), "{sheet}");
    project.write("de.csv", sheet.replacen(from, to, 1));
}

fn texts(project: &Project, more: &[&str]) -> Done {
    let args = [&["texts", "tours/west.yaml", "de.csv"], more].concat();
    project.fulmar(&args)
}

#[test]
fn a_script_is_written_in_each_form() {
    let project = project();
    for (output, begins) in
        [("s.html", &b"<!DOCTYPE html>"[..]), ("s.csv", b"\xEF\xBB\xBF[num"), ("s.xlsx", b"PK")]
    {
        let done = script(&project, "de", output);
        assert_eq!(
            (done.code, done.out.as_str()),
            (0, "1 text in de, 0 min 03 s in all, 130 words a minute\n")
        );
        assert!(done.err.contains(&format!("written: {output}")), "{}", done.err);
        assert!(std::fs::read(project.path(output)).unwrap().starts_with(begins), "{output}");
    }
    let page = project.read("s.html");
    assert!(page.contains("Links hat das Meer einen Bogen gegraben."), "{page}");
    assert!(page.contains("in the zone arch, on the way north (track 320..040)"), "{page}");

    let done = script(&project, "de", "script");
    assert_eq!(done.code, 2);
    assert!(done.err.contains("script-form-unknown"), "{}", done.err);
    let named = ["script", "tours/west.yaml", "--format", "csv", "--output", "script"];
    assert_eq!(project.fulmar(&named).code, 0);
    assert!(script(&project, "fr", "s.html").err.contains("fr"));
    // Never over what is read.
    let over = ["script", "tours/west.yaml", "--format", "csv", "--output", "tours/west.yaml"];
    assert_eq!(project.fulmar(&over).code, 2);
    assert!(project.fulmar(&over).err.contains("output-is-input"));
}

#[test]
fn a_compiled_plan_has_no_script() {
    let project = project();
    project.fulmar(&["plan", "tours/west.yaml", "--output", "west.plan.json"]);
    let done = project.fulmar(&["script", "west.plan.json", "--output", "s.csv"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("plan-is-compiled"), "{}", done.err);
}

#[test]
fn an_edited_sheet_is_told_shown_and_written_and_then_is_no_change() {
    let project = project();
    let before = project.read("tours/west.yaml");
    edited(&project, "einen Bogen gegraben", "den Bogen da gegraben: seht");
    let done = texts(&project, &[]);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.out.contains("1 arch-story, de\n  7 words before, 9 now;"), "{}", done.out);
    assert!(done.out.contains("[-einen-]{+den+} Bogen"), "{}", done.out);
    assert!(done.out.contains("1 text changed, 0 rows unchanged"), "{}", done.out);
    let done = texts(&project, &["--diff"]);
    assert_eq!(done.code, 1);
    let wanted = "-      de: 'Links hat das Meer einen Bogen gegraben.'   # noch einer\n\
                  +      de: 'Links hat das Meer den Bogen da gegraben: seht.'   # noch einer\n";
    assert!(done.out.contains(wanted), "{}", done.out);
    assert_eq!(project.read("tours/west.yaml"), before, "nothing was written");

    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 0, "{}", done.err);
    let after = project.read("tours/west.yaml");
    let by_hand = before.replace("einen Bogen gegraben", "den Bogen da gegraben: seht");
    assert_eq!(after, by_hand, "comments and layout are as they were");
    let again = texts(&project, &["--write"]);
    assert_eq!((again.code, again.out.as_str()), (0, "0 texts changed, 1 row unchanged\n"));
    assert_eq!(project.read("tours/west.yaml"), after);
    assert_eq!(project.fulmar(&["check", "tours/west.yaml", "--language", "de"]).code, 0);
}

#[test]
fn a_text_of_a_library_is_written_into_the_library() {
    let project = project();
    let library = project.read("library/arch.yaml");
    let tour = project.read("tours/west.yaml");
    let (tour, narrations) = tour.split_once("narrations:\n").unwrap();
    let (narrations, rest) = narrations.split_once("titles:\n").unwrap();
    project.write("tours/west.yaml", format!("{tour}titles:\n{rest}"));
    project.write("library/arch.yaml", format!("{library}narrations:\n{narrations}"));
    edited(&project, "einen Bogen", "einen großen Bogen");
    let before = project.read("library/arch.yaml");
    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.err.contains("written: library/arch.yaml"), "{}", done.err);
    assert_eq!(
        project.read("library/arch.yaml"),
        before.replace("einen Bogen", "einen großen Bogen")
    );
}

#[test]
fn while_there_is_an_error_nothing_is_written() {
    let project = project();
    edited(&project, "einen Bogen", "einen großen Bogen");
    let sheet = project.read("de.csv");
    project.write("de.csv", format!("{sheet}9,arhc,long,de,,,x,,,,,,,,,,text-none note-none\r\n"));
    let before = project.read("tours/west.yaml");
    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.err.contains("de.csv:3:2"), "{}", done.err);
    assert!(done.err.contains("nothing is written while there is an error"), "{}", done.err);
    assert_eq!(project.read("tours/west.yaml"), before);

    // A text without a word in it would make a tour that cannot be flown.
    project.write(
        "de.csv",
        sheet
            .replace("'Links", "Links")
            .replace("Links hat das Meer einen großen Bogen gegraben.", "…"),
    );
    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 1, "{}", done.err);
    assert!(done.err.contains("narration-without-words"), "{}", done.err);
    assert_eq!(project.read("tours/west.yaml"), before);

    // What somebody changed in the files meanwhile is shown with what the sheet has.
    project.write("de.csv", &sheet);
    project.write("tours/west.yaml", before.replace("einen Bogen", "einen hohen Bogen"));
    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 1);
    for shown in
        ["text-changed-twice", "einen hohen Bogen", "einen großen Bogen", "tours/west.yaml:"]
    {
        assert!(done.err.contains(shown), "{shown}: {}", done.err);
    }
    assert!(project.read("tours/west.yaml").contains("einen hohen Bogen"));
}

#[test]
fn a_translation_that_is_not_there_yet_is_written_from_its_script() {
    let project = Project::new();
    project.edit_tour(TEXT, "{text: {en: The sea has cut an arch.}}   # one language so far");
    let tour = project.read("tours/west.yaml");
    let tour = tour.replace("{text: The Sea Arch}", "{text: {en: The Sea Arch, de: Der Bogen}}");
    let tour = format!("{tour}other languages: {{de: {{}}}}\n");
    project.write("tours/west.yaml", &tour);
    let done = script(&project, "de", "de.csv");
    assert_eq!(done.code, 1);
    assert!(done.err.contains("script-incomplete"), "{}", done.err);
    assert!(done.err.contains("a text is missing in de"), "{}", done.err);
    let sheet = project.read("de.csv");
    assert!(sheet.contains("text-none note-none"), "{sheet}");
    // The translator writes it.
    let filled = sheet.replacen(",,,,", ",Das Meer hat einen Bogen gegraben.,,,", 1);
    assert_ne!(filled, sheet);
    project.write("de.csv", filled);
    let done = texts(&project, &["--write"]);
    assert_eq!(done.code, 0, "{}{}", done.err, done.out);
    let wanted = tour.replace(
        "{text: {en: The sea has cut an arch.}}",
        // On a line of its own, since one would be wider than this file is.
        "{text: {en: The sea has cut an arch.,\n    de: Das Meer hat einen Bogen gegraben.}}",
    );
    assert_eq!(project.read("tours/west.yaml"), wanted);
    assert_eq!(script(&project, "de", "de.csv").code, 0);

    let both = script(&project, "en,de", "de.csv");
    assert_eq!(both.code, 2);
    assert!(both.err.contains("script-in-several-languages"), "{}", both.err);
}

#[test]
fn a_short_version_has_a_line_and_takes_of_its_own() {
    let project = Project::new();
    let short =
        "{text: The sea has cut an arch., short: {text: An arch.}, pronunciation: 'arch: ARTCH'}";
    project.edit_tour(TEXT, short);
    let done = script(&project, "en", "de.csv");
    assert_eq!(
        (done.code, done.out.lines().next().unwrap()),
        (0, "2 texts in en, 0 min 03 s in all, 130 words a minute"),
        "{}",
        done.err
    );
    script(&project, "en", "s.html");
    let page = project.read("s.html");
    for name in ["001_arch-story_en_t1.wav", "001_arch-story-short_en_t1.wav", "short version"] {
        assert!(page.contains(name), "{name}");
    }
    assert_eq!(page.matches("ARTCH").count(), 1);
    project.write("takes/001_arch-story-short_en_t1.wav", crate::recordings::wav(48_000, 0.1));
    let takes = ["takes", "tours/west.yaml", "takes", "--format", "json", "--no-cache"];
    let found = crate::json(&project.fulmar(&takes).out);
    assert_eq!(found["cues"][0]["standing"], "missing");
    assert_eq!(found["cues"][1]["narration"], "arch-story-short");
    assert_eq!(found["cues"][1]["standing"], "new");
    // Both come back, and the notes.
    let sheet = project.read("de.csv");
    let sheet = sheet.replace(",An arch.", ",Here.").replace("ARTCH", "ARCH");
    project.write("de.csv", sheet);
    assert_eq!(texts(&project, &["--write"]).code, 0);
    let tour = project.read("tours/west.yaml");
    let wanted = short.replace("An arch.", "Here.").replace("ARTCH", "ARCH");
    assert!(tour.contains(&wanted), "{tour}");
}

#[test]
fn what_cannot_be_read_as_a_sheet_ends_with_2() {
    let project = project();
    assert_eq!(texts(&project, &[]).code, 2);
    script(&project, "de", "de.html");
    for (bytes, name) in [
        (std::fs::read(project.path("de.html")).unwrap(), "not-a-sheet"),
        (b"PK\x03\x04".to_vec(), "not-a-sheet"),
        (Vec::new(), "file-empty"),
        (b"a,b\r\n".to_vec(), "sheet-without-headings"),
    ] {
        project.write("de.csv", bytes);
        let done = texts(&project, &["--write"]);
        assert_eq!((done.code, done.out.as_str()), (2, ""));
        assert!(done.err.contains(name), "{name}: {}", done.err);
    }
}

#[test]
fn what_programs_read_is_described() {
    let project = project();
    edited(&project, "einen Bogen", "einen großen Bogen");
    let sheet = project.read("de.csv").replace(",,,,,", ",,2,,well,");
    project.write("de.csv", sheet);
    let done = texts(&project, &["--format", "json"]);
    let found = crate::json(&done.out);
    assert_eq!(found["format"], "fulmar-texts");
    assert_eq!(found["changes"][0]["new_count"], 8);
    assert_eq!(found["changes"][0]["old_length_ms"], 3_300);
    assert_eq!(found["remarks"][0]["remarks"], Value::from(vec!["take: 2", "remark: well"]));
    let mut keys = Vec::new();
    crate::keys(&found, &mut keys);
    let description = include_str!("../../crates/cli/FORMATS.md");
    for key in keys {
        assert!(description.contains(&format!("`{key}`")), "`{key}` is not described");
    }
}
