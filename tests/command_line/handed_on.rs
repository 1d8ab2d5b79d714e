//! Captions and edits on the command line, with what can be wrong about them.

use crate::project::{Done, Project};

/// The project, its narration as long as it takes to say.
fn project() -> Project {
    let project = Project::new();
    project.edit_tour("length: 20 s", "length: 3 s");
    project
}

fn captions(project: &Project, more: &[&str]) -> Done {
    let mut args = vec!["captions", "tours/west.yaml", "--planned"];
    args.extend(more);
    project.fulmar(&args)
}

fn edit(project: &Project, more: &[&str]) -> Done {
    let mut args = vec!["edit", "tours/west.yaml", "--planned"];
    args.extend(more);
    project.fulmar(&args)
}

#[test]
fn captions_are_written_whole_and_say_which_plan_they_are_of() {
    let project = project();
    let done = captions(&project, &[]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    assert!(done.out.starts_with("WEBVTT\n\nNOTE\nOut to the arch and back, Heron XX-HER\nplan "));
    assert!(done.out.contains("not for navigation"));
    assert!(done.out.contains("On our left the sea has cut an arch.\n"), "{}", done.out);
    assert!(done.out.contains("times are those in the film"));

    let written = captions(&project, &["--format", "srt", "--output", "arch.srt"]);
    assert_eq!((written.code, written.err.as_str()), (0, "written: arch.srt\n"));
    assert!(written.out.contains("1 caption in en"), "{}", written.out);
    let text = project.read("arch.srt");
    assert!(text.starts_with("1\r\n00:") && text.ends_with("arch.\r\n\r\n"), "{text}");
    // Never over what is read.
    let over = captions(&project, &["--output", "tours/west.yaml"]);
    assert_eq!(over.code, 2);
    assert!(over.err.contains("output-is-input"), "{}", over.err);
}

#[test]
fn a_text_that_is_told_too_fast_is_found_where_it_is_written() {
    let project = Project::new();
    project.edit_tour("length: 20 s", "length: 1 s");
    let done = captions(&project, &["--output", "arch.vtt"]);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("caption-too-fast"), "{}", done.err);
    assert!(done.err.contains("tours/west.yaml:37:3"), "{}", done.err);
    assert!(done.err.contains("and 17 can be read"), "{}", done.err);
    assert!(project.read("arch.vtt").contains("arch."), "and is written all the same");
    assert_eq!(captions(&project, &["--speed", "50"]).code, 0);
    let page = project.fulmar(&["explain", "caption-too-fast"]);
    assert!(page.out.contains("Why it matters"));
}

#[test]
fn what_has_no_captions_is_said_plainly() {
    let project = Project::new();
    for (options, name, said) in [
        (&["--flight-number", "2"][..], "no-such-flight", "one flight"),
        (&["--take", "7"], "no-such-time", "its takes are 1 to 1"),
        (&["--in", "de"], "language-not-carried", "it is told in en"),
    ] {
        let done = captions(&project, options);
        assert_eq!((done.code, done.out.as_str()), (2, ""), "{options:?}");
        assert!(done.err.contains(name) && done.err.contains(said), "{}", done.err);
    }
    project.edit_tour("record: on", "record: off");
    let done = captions(&project, &[]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("nothing was recorded"), "{}", done.err);
    // The flight has a clock all the same.
    let done = captions(&project, &["--clock", "flight"]);
    assert_eq!(done.code, 0, "{}", done.err);
    let done = captions(&project, &["--clock", "flight", "--format", "srt"]);
    assert!(done.out.contains("arch."), "{}", done.out);
    for wrong in [
        &["--rate", "26"][..],
        &["--lines", "0"],
        &["--speed", "0"],
        &["--utc-offset", "+02:00"],
        &["--titles", "weather"],
        &["--titles", "time", "--in", "en"],
        &["--clock", "wall"],
    ] {
        assert_eq!(captions(&project, wrong).code, 2, "{wrong:?}");
    }
}

#[test]
fn what_is_said_while_nothing_is_recorded_is_told() {
    let project = Project::new();
    project.edit_tour(
        "when: {phase: airborne}\n    record: on",
        "when: {not in: arch}\n    record: on",
    );
    let done = captions(&project, &[]);
    assert_eq!(done.code, 0, "a note is no fault: {}", done.err);
    assert!(done.err.contains("said-outside-the-film"), "{}", done.err);
    assert!(done.err.contains("20.0 s of the narration `arch-story`"), "{}", done.err);
}

/// Two languages at once: the captions of each, and what falls back is said.
#[test]
fn one_of_several_languages_is_written() {
    let project = Project::new();
    project.edit_tour(
        "narrations:\n  arch-story: {text: On our left the sea has cut an arch., length: 20 s}",
        "language: en\nother languages: {de: {fallback: en}}\nnarrations:\n  arch-story: {text: {en: \
         The arch., de: Der Bogen.}}\n  far: {text: {en: Far out.}}",
    );
    let tour = project.read("tours/west.yaml");
    let rules = "rules:\n  tell-far: {when: {not in: arch, phase: airborne}, narration: far}\n";
    project.write("tours/west.yaml", tour.replacen("rules:\n", rules, 1));
    let of = |options: &[&str]| {
        let done = captions(&project, options);
        assert!(done.code < 2, "{}", done.err);
        done.out
    };
    let english = of(&["--language", "en,de"]);
    assert!(english.contains("The arch.\n") && english.contains("captions in en\n"), "{english}");
    let german = of(&["--language", "en,de", "--in", "de"]);
    assert!(german.contains("Der Bogen.\n") && german.contains("Far out.\n"), "{german}");
    let said = "2 captions in de; 1 narration told in en, for want of a text\n";
    assert!(german.contains(said), "{german}");
}

#[test]
fn live_values_show_local_time_as_the_tour_departs() {
    let project = Project::new();
    project.edit_tour("2026-06-01T10:30:00Z", "2026-06-01T10:30:00-09:30");
    let first = |more: &[&str]| {
        let mut options = vec!["--titles", "time", "--clock", "take-off", "--format", "srt"];
        options.extend(more);
        let done = captions(&project, &options);
        done.out.lines().nth(2).unwrap().to_owned()
    };
    assert_eq!(first(&[]), "10:30");
    assert_eq!(first(&["--utc-offset", "+01:00"]), "21:00");
    let plan = project.fulmar(&["plan", "tours/west.yaml", "--output", "plan.json"]);
    assert_eq!(plan.code, 0, "{}", plan.err);
    // A compiled plan holds local time too.
    let options = ["--planned", "--titles", "time", "--clock", "take-off", "--format", "srt"];
    let mut args = vec!["captions", "plan.json"];
    args.extend(options);
    assert_eq!(project.fulmar(&args).out.lines().nth(2), Some("10:30"));
}

#[test]
fn an_edit_names_cameras_takes_and_files() {
    let project = Project::new();
    let done = edit(&project, &["--media", "card/{camera}-{take}.mov", "--clock-offset", "-00:01"]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    let value = crate::json(&done.out);
    let about = &value["metadata"]["fulmar"];
    assert_eq!(about["plan"]["status"], "draft");
    assert_eq!(
        (about["clock"].as_str(), about["recorder_ahead_ms"].as_i64()),
        (Some("film"), Some(-1000))
    );
    assert_eq!(about["take_off"], "2026-06-01T10:30:00Z");
    let tracks = value["tracks"]["children"].as_array().unwrap();
    let names: Vec<&str> = tracks.iter().map(|track| track["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["left", "right", "narration en", "music"]);
    let mut clips = tracks[0]["children"].as_array().unwrap().iter();
    let clip = clips.find(|child| child["OTIO_SCHEMA"] == "Clip.2").unwrap();
    let media = &clip["media_references"]["DEFAULT_MEDIA"];
    assert_eq!(media["target_url"], "card/left-1.mov");
    // Recording begins as it takes off, at 10:30, on a clock that is a second behind.
    assert_eq!(media["available_range"]["start_time"]["value"], 25.0 * (10.5 * 3600.0 - 1.0));

    let list = edit(&project, &["--format", "edl", "--rate", "29.97", "--start", "10:00:00;00"]);
    assert_eq!(list.code, 0, "{}", list.err);
    assert!(list.out.contains("FCM: DROP FRAME") && list.out.contains(" 10:00:00;00 "));
    let written = edit(&project, &["--output", "a.otio"]);
    assert_eq!(written.err, "written: a.otio\n");
    assert!(written.out.contains("left") && written.out.contains("at 25 frames a second"));
}

#[test]
fn an_edit_that_cannot_be_is_refused() {
    let project = Project::new();
    let done = edit(&project, &["--start", "10:00:00:25"]);
    assert_eq!((done.code, done.out.as_str()), (2, ""));
    assert!(done.err.contains("timecode-unusable"), "{}", done.err);
    for wrong in [
        &["--media", "all.mov"][..],
        &["--media", "{camera}{day}.mov"],
        &["--rate", "0"],
        &["--clock-offset", "2.5"],
        &["--take", "0"],
    ] {
        let done = edit(&project, wrong);
        assert_eq!((done.code, done.out.as_str()), (2, ""), "{wrong:?}");
        assert!(!done.err.is_empty());
    }
    let done = project.fulmar(&["edit", "tours/west.yaml"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("no flight is given"), "{}", done.err);
}
