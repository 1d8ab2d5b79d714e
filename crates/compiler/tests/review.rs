//! Checks of a tour as it is flown. One tour without a fault, `review/base.yaml`, and beside it one
//! case a check that spoils it: lines behind `-` are taken out of the tour and those behind `+` put
//! in their place. What is then found stands behind the line it points into, with the very text it
//! points at: `#! warning zone-narrow: the text`. So the base is the mended twin of every case. One in
//! another file stands on the first line, with the file. A line `#: arch.flac length=22.5` makes up a
//! recording.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

#[path = "texts/recordings.rs"]
mod recordings;
mod texts;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use diagnostic::{Diagnostic, Place};
use recordings::recordings;
use route::{Choice, MemoryWorld, Said};
use texts::{folder, texts};

fn base() -> String {
    fs::read_to_string(folder("review/base.yaml")).unwrap()
}

fn cases() -> Vec<(String, String)> {
    let mut all = texts("review");
    all.retain(|(name, _)| name.ends_with(".case"));
    all
}

/// All findings of a tour, and the texts they point into.
fn review(text: &str) -> (Vec<Diagnostic>, BTreeMap<String, String>) {
    reviewed(text, &plan::Day::default())
}

fn reviewed(text: &str, day: &plan::Day) -> (Vec<Diagnostic>, BTreeMap<String, String>) {
    let mut texts = BTreeMap::from([("tour.yaml".to_owned(), text.to_owned())]);
    for name in ["aircraft.yaml", "places.yaml"] {
        let text = fs::read_to_string(folder("shared").join(name)).unwrap();
        texts.insert(name.to_owned(), text);
    }
    let world =
        texts.iter().fold(MemoryWorld::new(), |world, (name, text)| world.with(name, &**text));
    let (project, found) = route::read(&world, "tour.yaml", None);
    assert!(found.is_empty(), "{found:#?}");
    let chosen = text.lines().find_map(|line| line.strip_prefix("#? variant "));
    let place = Place::whole("the case");
    let variant = chosen.map(|name| Said { value: name.to_owned(), place });
    let choice = Choice { variant, ..Choice::default() };
    let mut project = project.unwrap();
    project.recordings = recordings(text);
    let project = route::choose(&project, &choice).unwrap();
    let (plan, mut found) = compiler::compile(&project);
    if let Some(plan) = plan {
        found.extend(compiler::review(&project, &plan, day));
    }
    (found, texts)
}

/// The marks of a case: by the line of the spoilt tour, what is found there.
type Marks = BTreeSet<(usize, String)>;

/// The spoilt tour, and what the case expects of it.
fn spoil(name: &str, case: &str) -> (String, Marks) {
    let base = base();
    let mut lines: Vec<(&str, Vec<String>)> = base.lines().map(|line| (line, vec![])).collect();
    let mut case = case.lines().filter(|line| !line.starts_with("# ")).peekable();
    while case.peek().is_some() {
        let mut out = Vec::new();
        while let Some(line) = case.next_if(|line| line.starts_with('-')) {
            out.push(line.strip_prefix('-').unwrap());
        }
        let mut put = Vec::new();
        while let Some(line) = case.next_if(|line| line.starts_with('+')) {
            let mut parts = line.strip_prefix('+').unwrap().split("#!");
            let text = parts.next().unwrap().trim_end();
            put.push((text, parts.map(|mark| mark.trim().to_owned()).collect()));
        }
        assert!(!out.is_empty(), "{name}: a line begins with neither `-` nor `+`");
        let matches = |window: &[(&str, Vec<String>)]| {
            window.iter().zip(&out).all(|((line, _), out)| line == out)
        };
        let at = lines.windows(out.len()).position(matches);
        let at = at.unwrap_or_else(|| panic!("{name}: {out:?} is not in the base"));
        lines.splice(at..at + out.len(), put);
    }
    let marks = lines.iter().enumerate();
    let marks =
        marks.flat_map(|(at, (_, marks))| marks.iter().map(move |mark| (at + 1, mark.clone())));
    let marks = marks.collect();
    let text = lines.iter().flat_map(|(line, _)| [*line, "\n"]).collect();
    (text, marks)
}

fn marks(found: &[Diagnostic], texts: &BTreeMap<String, String>) -> Marks {
    found
        .iter()
        .map(|finding| {
            let text = &texts[&*finding.place.file];
            let (start, end) = finding.place.bytes;
            let exact = text[start..end].replace('\n', " ");
            let mark = format!("{} {}: {exact}", finding.severity, finding.name);
            match &*finding.place.file {
                "tour.yaml" => (finding.place.line as usize, mark),
                other => (1, format!("{mark} in {other}")),
            }
        })
        .collect()
}

#[test]
fn the_tour_without_a_fault_has_none() {
    let (found, _) = review(&base());
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_case_finds_what_it_expects_and_nothing_else() {
    let mut wrong = Vec::new();
    for (name, case) in cases() {
        let (text, expected) = spoil(&name, &case);
        let (found, texts) = review(&text);
        let marks = marks(&found, &texts);
        if marks != expected || marks.is_empty() {
            let said: Vec<_> = found.iter().map(|finding| &finding.headline).collect();
            wrong.push(format!("{name}: {marks:#?}\nexpected {expected:#?}\n{said:#?}"));
        }
        assert!(found.iter().all(|finding| !finding.help.is_empty()), "{name}: nothing to do");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_check_has_a_page_and_a_case_of_its_name() {
    let names: BTreeSet<String> = compiler::checks().iter().map(|p| p.name.to_owned()).collect();
    assert_eq!(names.len(), compiler::checks().len(), "two checks of one name");
    assert!(compiler::checks().iter().all(|page| page.is_whole()));
    let levels = ["unknown-check", "check-level-unneeded", "without-unneeded"].map(str::to_owned);
    let cases = cases();
    let named: BTreeSet<String> =
        cases.iter().map(|(name, _)| name.trim_end_matches(".case").to_owned()).collect();
    assert_eq!(named, names.into_iter().chain(levels).collect(), "cases and checks");
    for (name, case) in &cases {
        let own = format!(" {}:", name.trim_end_matches(".case"));
        assert!(case.split("#!").skip(1).any(|mark| mark.contains(&own)), "{name} does not fire");
    }
}

#[test]
fn the_level_of_a_check_is_what_the_tour_says() {
    let narrow = base().replace("600 s", "60 s");
    let (plain, _) = review(&narrow);
    let silences = |found: &[Diagnostic]| -> Vec<diagnostic::Severity> {
        found.iter().filter(|f| f.name == "silence-long").map(|f| f.severity).collect()
    };
    let count = silences(&plain).len();
    assert!(count > 0, "{plain:#?}");
    for (level, severity) in [
        ("off", None),
        ("note", Some(diagnostic::Severity::Note)),
        ("warning", Some(diagnostic::Severity::Warning)),
        ("error", Some(diagnostic::Severity::Error)),
    ] {
        let levels = format!("checks: {{silence-long: {{level: {level}, because: tests}}}}\n");
        let (found, _) = review(&(narrow.clone() + &levels));
        let expected = severity.map_or(Vec::new(), |severity| vec![severity; count]);
        assert_eq!(silences(&found), expected, "{level}");
    }
}

#[test]
fn a_variant_is_not_asked_for_what_it_is_without_and_sets_levels_of_its_own() {
    let east = base()
        .replace("zones:\n", "zones:\n  east: {circle: {centre: EAST, radius: 1 km}}\n")
        .replace("rules:\n", "rules:\n  east: {when: {in: east}, title: arch}\n");
    let names = |variant: &str| -> Vec<&str> {
        let text = format!("{east}#? variant short\nvariants:\n  short: {variant}\n");
        review(&text).0.into_iter().map(|finding| finding.name).collect()
    };
    assert_eq!(names("{}"), ["zone-not-entered"]);
    assert_eq!(names("{without: east}"), [""; 0]);
    let off = "{checks: {zone-not-entered: {level: off, because: tests}}}";
    assert_eq!(names(off), [""; 0]);
    let unneeded = "{without: east, checks: {zone-not-entered: {level: off, because: tests}}}";
    assert_eq!(names(unneeded), ["check-level-unneeded"]);
}

#[test]
fn the_level_of_what_is_found_before_the_flight_is_what_the_tour_says_too() {
    // Nothing hangs on this rule, and it does nothing.
    let idle = base().replace("rules:\n", "rules:\n  idle: {when: {phase: airborne}}\n");
    let severities = |level: &str| -> Vec<diagnostic::Severity> {
        let levels = format!("checks: {{rule-without-effect: {{level: {level}, because: x}}}}\n");
        let (found, _) = review(&(idle.clone() + &levels));
        found.iter().map(|f| f.severity).collect()
    };
    let (plain, _) = review(&idle);
    assert!(plain.iter().any(|finding| finding.name == "rule-without-effect"), "{plain:#?}");
    assert_eq!(severities("off"), []);
    assert_eq!(severities("note"), [diagnostic::Severity::Note]);
    assert_eq!(severities("error"), [diagnostic::Severity::Error]);
    let unneeded = base() + "checks: {rule-without-effect: {level: off, because: x}}\n";
    let (found, _) = review(&unneeded);
    assert_eq!(found.iter().map(|f| f.name).collect::<Vec<_>>(), ["check-level-unneeded"]);
}

#[test]
fn every_language_and_version_is_to_be_recorded_once_anything_is() {
    let say = |arch: &str| -> Vec<String> {
        let text = base()
            .replace("arch: {text: Here is the Arch., length: 20 s}", arch)
            .replace(
                "rules:\n",
                "other languages: {de: {fallback: en}}\n#: arch.flac length=2\n#: de.flac length=2\nrules:\n",
            );
        let (found, _) = review(&text);
        let missing = found.into_iter().filter(|finding| finding.name == "audio-missing");
        missing.map(|finding| finding.headline).collect()
    };
    let rest = "`line`, `tower`, `back`";
    // Nothing is recorded yet.
    assert!(say("arch: {text: Here is the Arch.}").is_empty());
    // What has no German words of its own is told, and recorded, in English.
    assert_eq!(
        say("arch: {text: Here is the Arch., audio: arch.flac}"),
        [format!("not recorded in `en`: {rest}")]
    );
    let both = "{en: Here is the Arch., de: Hier ist der Bogen.}";
    assert_eq!(
        say(&format!("arch: {{text: {both}, audio: {{en: arch.flac}}}}")),
        ["not recorded in `de`: `arch`".to_owned(), format!("not recorded in `en`: {rest}")]
    );
    let short = "short: {text: The Arch.}";
    assert_eq!(
        say(&format!("arch: {{text: {both}, audio: {{en: arch.flac, de: de.flac}}, {short}}}")),
        [format!("not recorded in `en`: `arch` (short), {rest}")]
    );
}

#[test]
fn a_zone_is_brief_at_the_greatest_groundspeed_of_the_day() {
    // A short chord: more than 4 s at the planned 90 kt, less at 90 kt and the wind's 40 kt behind.
    let zone = "  brief: {circle: {centre: \"61.30 N, 7.0092 W\", radius: 508 m}, margin: 0 m}\n";
    let text = base()
        .replace("narrations:\n", &format!("{zone}narrations:\n"))
        .replace("rules:\n", "rules:\n  brief: {when: {in: brief}, still: once}\n");
    let brief = |wind: Option<f64>| {
        let speed = earth::MetresPerSecond::from_knots(40.0);
        let wind = wind.map(|from| plan::Wind { from: earth::DegreesTrue::of(from), speed });
        let day = plan::Day { wind, ..plan::Day::default() };
        reviewed(&text, &day).0.iter().any(|finding| finding.name == "zone-brief")
    };
    assert!(!brief(None));
    // Flown northward: with the wind, and against it on a leg that may be flown the other way round.
    assert!(brief(Some(180.0)));
    assert!(brief(Some(0.0)));
}

/// The names of what is found in the base with one text in place of another, in German.
fn in_german(text: &str) -> Vec<&'static str> {
    let base = base().replacen("\n", "\nlanguage: de\n", 1);
    let base = base.replace("language: en\n", "");
    let base = base.replace("text: Here is the Arch.", &format!("text: {text}"));
    review(&base).0.iter().map(|finding| finding.name).collect()
}

#[test]
fn words_for_a_side_are_known_in_german() {
    for words in [
        "Rechts sehen Sie den Bogen.",
        "Auf der rechten Seite sehen Sie den Bogen.",
        "Zu Ihrer rechten Hand sehen Sie den Bogen.",
        "Rechter Hand sehen Sie den Bogen.",
    ] {
        assert_eq!(in_german(words), ["wrong-side"], "{words}");
    }
    for words in [
        "Links sehen Sie den Bogen.",
        "Auf der linken Seite sehen Sie den Bogen.",
        "Linker Hand sehen Sie den Bogen.",
        // No side, for all that it begins with the same letters; and both.
        "Rechtsanwalt Krog hat den Bogen gemalt.",
        "Erst links und dann rechts sehen Sie den Bogen.",
    ] {
        assert_eq!(in_german(words), [""; 0], "{words}");
    }
}

/// The list of checks for authors is made from their pages.
#[test]
fn the_list_of_checks_is_fresh() {
    let mut now = String::from(
        "# Checks\n\nWhat `fulmar check` and `fulmar plan` look for in a tour that can be flown, most of \
         it on its planned flight.\nA tour sets the level of one of them, with a reason:\n\n```yaml\nchecks:\n  \
         silence-long: {level: off, because: the crossing is for the music}\n```\n\n`level` is \
         `off`, `note`, `warning` or `error`. `fulmar explain NAME` prints a page with examples.\n\
         This list is made from those pages by the test `review` of the compiler.\n\n\
         | check | level | what it finds | why it matters |\n| --- | --- | --- | --- |\n",
    );
    for page in compiler::settable() {
        now +=
            &format!("| `{}` | {} | {} | {} |\n", page.name, page.severity, page.finds, page.why);
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes/CHECKS.md");
    if fs::read_to_string(&path).unwrap_or_default() == now {
        return;
    }
    let update = std::env::var_os("UPDATE").is_some();
    assert!(
        update,
        "routes/CHECKS.md is stale: UPDATE=1 cargo test -p fulmar-compiler --test review"
    );
    fs::write(path, now).unwrap();
}
