//! Small projects with the findings that are expected, written below the line they are about.
//!
//! A case is one file of `tests/cases`. A line `#= PATH` begins a file of the project; files that
//! a case does not bring are taken from [`base`]. A line `#~` says what is found on the line above
//! it: column, name, the text underlined, what is wrong, what to do, and in braces the change that
//! mends it, if it is certain. These lines are taken out before the project is read. A file
//! `today.yaml` is read as one for the day, and what it chooses is chosen; all variants of the tour
//! are chosen once. To write them anew: `UPDATE=1 cargo test -p fulmar-route --test
//! cases`.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use diagnostic::{Diagnostic, Severity};
use route::{Choice, MemoryWorld, Said};

/// A tour around a library, for cases that need no tour of their own.
fn base() -> Vec<(&'static str, &'static str)> {
    vec![
        (
            "tour.yaml",
            "tour: Base\nrevision: 1\naircraft: aircraft.yaml\ninclude: library.yaml\n\
             departure: 2026-06-01T10:30:00Z\nwaypoints: {PAD: {at: '61, -6'}, B: {at: '61, -6.1'}}\n\
             route: {legs: [{from: PAD}, {to: B}, {land: PAD}]}\n",
        ),
        (
            "aircraft.yaml",
            "aircraft: Base\ncameras:\n  nose: {input: 1, mount: {bearing: 0}, field of view: \
             {width: 80 deg}}\n",
        ),
        ("library.yaml", "library: Base\n"),
    ]
}

struct Part {
    path: String,
    lines: Vec<String>,
}

/// The files of a case, without the expected findings.
fn parts(case: &str) -> (Vec<String>, Vec<Part>) {
    let mut preface = Vec::new();
    let mut parts: Vec<Part> = Vec::new();
    for line in case.lines().filter(|line| !line.trim_start().starts_with("#~")) {
        if let Some(path) = line.strip_prefix("#= ") {
            parts.push(Part { path: path.to_owned(), lines: Vec::new() });
        } else if let Some(part) = parts.last_mut() {
            part.lines.push(line.to_owned());
        } else {
            preface.push(line.to_owned());
        }
    }
    (preface, parts)
}

fn found(parts: &[Part]) -> Vec<Diagnostic> {
    let mut world = MemoryWorld::new();
    for (path, text) in base() {
        world = world.with(path, text);
    }
    for part in parts {
        // In a case, bytes that are no text and control characters are written as escapes.
        let text = part.lines.join("\n").replace("%00", "\0").replace("%09", "\t");
        let mut bytes = Vec::new();
        for (at, piece) in text.split("%ff").enumerate() {
            if at > 0 {
                bytes.push(0xff);
            }
            bytes.extend_from_slice(piece.as_bytes());
        }
        if !part.lines.is_empty() {
            bytes.push(b'\n');
        }
        world = world.with(&part.path, bytes);
    }
    let (project, mut findings) = route::read(&world, "tour.yaml", None);
    let mut choices = Vec::new();
    if parts.iter().any(|part| part.path == "today.yaml") {
        let (today, _, found) = route::read_today(&world, "today.yaml");
        findings.extend(found);
        choices.extend(today.map(|today| today.choice));
    }
    if let Some(project) = project {
        // Every variant is tried too, as if it had been asked for where it is named.
        choices.extend(project.variants.entries.iter().map(|entry| Choice {
            variant: Some(Said {
                value: entry.name.value.to_string(),
                place: project.sources.place(entry.name.span),
            }),
            ..Choice::default()
        }));
        for choice in choices {
            findings.extend(route::choose(&project, &choice).err().unwrap_or_default());
        }
    }
    diagnostic::sort(&mut findings);
    findings
}

/// The case with the findings written into it.
fn annotated(case: &str) -> String {
    let (preface, parts) = parts(case);
    let mut at: BTreeMap<(String, u32), Vec<String>> = BTreeMap::new();
    for finding in found(&parts) {
        let place = &finding.place;
        let known = parts.iter().find(|part| *part.path == *place.file);
        let text = known.map(|part| part.lines.join("\n")).unwrap_or_default();
        let meant = text.get(place.bytes.0..place.bytes.1).unwrap_or_default();
        let meant = meant.lines().next().unwrap_or_default();
        let mut line = format!("#~ {} {}", place.column, finding.name);
        if finding.severity != Severity::Error {
            write!(line, " ({})", finding.severity).unwrap();
        }
        write!(line, " [{meant}] {}; {}", finding.headline, finding.help).unwrap();
        for related in &finding.related {
            write!(line, " ({} {})", related.place, related.label).unwrap();
        }
        for edit in &finding.edits {
            let before = text.get(edit.place.bytes.0..edit.place.bytes.1).unwrap_or_default();
            write!(line, " {{{before} -> {}}}", edit.replacement).unwrap();
        }
        let line = line.replace('\n', "\\n");
        let key = if known.is_some() {
            (place.file.to_string(), place.line)
        } else {
            // Of a file that the case does not bring: shown above all.
            (String::new(), 0)
        };
        let line = if known.is_some() { line } else { line.replace("#~", &format!("#~ {place}")) };
        at.entry(key).or_default().push(line);
    }
    let mut out = preface;
    out.extend(at.remove(&(String::new(), 0)).unwrap_or_default());
    for part in parts {
        out.push(format!("#= {}", part.path));
        out.extend(at.remove(&(part.path.clone(), 0)).unwrap_or_default());
        for (number, line) in (1..).zip(part.lines) {
            out.push(line);
            out.extend(at.remove(&(part.path.clone(), number)).unwrap_or_default());
        }
        // A mistake may be at the very end, on a line that is not there.
        let rest: Vec<_> = at.keys().filter(|(path, _)| *path == part.path).cloned().collect();
        for key in rest {
            out.extend(at.remove(&key).unwrap_or_default());
        }
    }
    out.join("\n") + "\n"
}

fn cases() -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

#[test]
fn every_case_finds_what_it_says() {
    let update = std::env::var_os("UPDATE").is_some();
    let mut wrong = String::new();
    for path in cases() {
        let case = std::fs::read_to_string(&path).unwrap();
        let now = annotated(&case);
        if now == case {
            continue;
        }
        if update {
            std::fs::write(&path, now).unwrap();
            continue;
        }
        writeln!(wrong, "{}", path.display()).unwrap();
        let count = |lines: &str, wanted: &str| lines.lines().filter(|l| *l == wanted).count();
        for line in case.lines().filter(|line| count(&case, line) > count(&now, line)) {
            writeln!(wrong, "  expected: {line}").unwrap();
        }
        for line in now.lines().filter(|line| count(&now, line) > count(&case, line)) {
            writeln!(wrong, "  found:    {line}").unwrap();
        }
    }
    assert!(
        wrong.is_empty(),
        "{wrong}\nif that is right: UPDATE=1 cargo test -p fulmar-route --test cases"
    );
}

#[test]
fn the_base_is_without_mistakes() {
    assert_eq!(found(&[]), []);
}

/// Names that only files too big for a case bring out, with the project that does.
fn brought_out_here() -> Vec<(&'static str, String)> {
    let many: String = (0..600).fold(String::new(), |mut text, at| {
        writeln!(text, "  z{at}: 1").unwrap();
        text
    });
    vec![
        ("file-too-large", "#".repeat(route::bounds::FILE_BYTES + 1)),
        ("too-many-findings", format!("library: L\nzones:\n{many}")),
        ("yaml-too-deep", format!("library: {}", "[".repeat(100_000))),
    ]
}

#[test]
fn every_page_is_whole_and_fired_by_a_case() {
    let pages = route::pages();
    let mut fired = String::new();
    for path in cases() {
        for line in std::fs::read_to_string(path).unwrap().lines() {
            if let Some(found) = line.trim_start().strip_prefix("#~ ") {
                writeln!(fired, " {found} ").unwrap();
            }
        }
    }
    for (name, text) in brought_out_here() {
        let part = Part { path: "library.yaml".into(), lines: vec![text] };
        let findings = found(&[part]);
        assert!(findings.iter().any(|finding| finding.name == name), "{name}: {findings:?}");
        writeln!(fired, " {name} ").unwrap();
    }
    for (at, page) in pages.iter().enumerate() {
        assert!(page.is_whole(), "{page:?}");
        assert!(at == 0 || pages[at - 1].name < page.name, "{} is out of order", page.name);
        assert!(fired.contains(&format!(" {} ", page.name)), "no case for {}", page.name);
    }
    for word in fired.lines().filter_map(|line| line.split_whitespace().find(|w| w.contains('-'))) {
        assert!(pages.iter().any(|page| page.name == word), "no page for {word}");
    }
}
