//! One mistake is one finding: what hangs on a value that could not be read is not judged.
//!
//! Each value and each key of the demo operator's tours, libraries and aircraft is spoilt alone, and
//! no more than one thing may be said of it.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::path::Path;

use diagnostic::Diagnostic;
use route::MemoryWorld;

const FILES: &[&str] = &[
    "tours/west-coast.yaml",
    "tours/eastern-isles.yaml",
    "library/field.yaml",
    "library/music.yaml",
    "library/narrations.yaml",
    "library/sights.yaml",
    "library/titles.yaml",
    "library/zones.yaml",
    "aircraft/dunlin.yaml",
    "aircraft/whimbrel.yaml",
];

fn files() -> Vec<(&'static str, String)> {
    let routes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes");
    FILES.iter().map(|name| (*name, fs::read_to_string(routes.join(name)).unwrap())).collect()
}

/// Everything found in a tour of which one file is another.
fn found(files: &[(&str, String)], tour: &str, changed: &str, text: &str) -> Vec<Diagnostic> {
    let world = files
        .iter()
        .fold(MemoryWorld::new(), |world, (name, text)| world.with(name, text.as_str()));
    let world = world.with(changed, text);
    let (project, mut findings) = route::read(&world, tour, None);
    if let Some(project) = &project {
        findings.extend(compiler::compile(project).1);
    }
    // Of whatever is changed that is true as well.
    findings.retain(|finding| finding.name != "approval-of-another-plan");
    diagnostic::sort(&mut findings);
    findings
}

/// Where the keys and the values of a YAML text stand that are written `key: value`.
fn pairs(text: &str) -> Vec<(Range<usize>, Range<usize>)> {
    let mut all = Vec::new();
    let mut start = 0;
    let mut in_block = None;
    for line in text.split_inclusive('\n') {
        let indent = line.len() - line.trim_start().len();
        let blank = line.trim().is_empty();
        if in_block.is_some_and(|block| indent <= block) && !blank {
            in_block = None;
        }
        let bare = line.split(" #").next().unwrap_or_default().trim_end();
        if in_block.is_none() && !bare.trim_start().starts_with('#') {
            for (at, _) in bare.match_indices(": ") {
                let key_from = bare[..at].rfind(['{', ',', '[']).map_or(0, |at| at + 1);
                let key = bare[key_from..at].trim_start().trim_start_matches("- ");
                if key.contains('"') {
                    continue;
                }
                let from = at + 2;
                let rest = &bare[from..];
                let end = match rest.as_bytes().first() {
                    Some(b'"') => rest[1..].find('"').map_or(rest.len(), |at| at + 2),
                    Some(b'{' | b'[') => closed(rest),
                    _ => rest.find([',', '}', ']']).unwrap_or(rest.len()),
                };
                if rest.starts_with(['>', '|']) {
                    in_block = Some(indent);
                }
                let key = start + at - key.len()..start + at;
                all.push((key, start + from..start + from + end));
            }
        }
        start += line.len();
    }
    all
}

/// Where the bracket that `text` begins with is closed, in this line.
fn closed(text: &str) -> usize {
    let mut depth = 0;
    for (at, char) in text.char_indices() {
        match char {
            '{' | '[' => depth += 1,
            '}' | ']' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at + 1;
        }
    }
    text.len()
}

/// Spoils each value or key alone.
fn each(spoil: impl Fn(&str, &Range<usize>, &Range<usize>) -> Option<String>) {
    let files = files();
    let mut many = Vec::new();
    let mut spoilt = 0;
    for (name, text) in &files {
        // The tour that uses the file.
        let tour = match *name {
            "tours/eastern-isles.yaml" => name,
            _ => FILES[0],
        };
        let mut tried: BTreeMap<&str, u32> = BTreeMap::new();
        for (key, value) in pairs(text) {
            // The same key is tried three times in a file, names each by itself.
            let times = tried.entry(&text[key.clone()]).or_default();
            *times += 1;
            let Some(new) = spoil(text, &key, &value).filter(|_| *times <= 3) else { continue };
            let findings = found(&files, tour, name, &new);
            spoilt += usize::from(!findings.is_empty());
            if findings.len() > 1 {
                let said: Vec<String> = findings
                    .iter()
                    .map(|f| format!("    {} {} {}", f.place, f.name, f.headline))
                    .collect();
                let (line, said) = (text[..key.start].lines().count(), said.join("\n"));
                many.push(format!("{name}:{line} `{}: {}`\n{said}", &text[key], &text[value]));
            }
        }
    }
    assert!(spoilt > 150, "only {spoilt} were mistakes");
    assert!(many.is_empty(), "{} of {spoilt}:\n{}", many.len(), many.join("\n"));
}

#[test]
fn a_value_that_cannot_be_read_is_told_once() {
    each(|text, _, value| {
        let mut new = text.to_owned();
        new.replace_range(value.clone(), "7 ?!");
        Some(new)
    });
}

#[test]
fn a_value_of_the_wrong_kind_is_told_once() {
    each(|text, _, value| {
        let mut new = text.to_owned();
        new.replace_range(value.clone(), "[[]]");
        Some(new)
    });
}

#[test]
fn a_misspelt_key_is_told_once() {
    each(|text, key, _| {
        // A letter too much near the end.
        let mut new = text.to_owned();
        let at = text[..key.end].char_indices().next_back()?.0;
        new.insert(at.max(key.start), 'q');
        Some(new)
    });
}

#[test]
fn a_part_under_a_name_of_ones_own_is_told_once() {
    let files = files();
    let text = &files.iter().find(|(name, _)| *name == "library/sights.yaml").unwrap().1;
    let new = text.replace("\nsights:\n", "\nlookouts:\n");
    let findings = found(&files, FILES[0], "library/sights.yaml", &new);
    let names: Vec<_> = findings.iter().map(|finding| finding.name).collect();
    assert_eq!(names, ["unknown-key"]);
}

#[test]
fn a_misspelt_definition_is_told_once_with_every_place_that_uses_it() {
    let files = files();
    let text = &files.iter().find(|(name, _)| *name == "library/sights.yaml").unwrap().1;
    let new = text.replace("  ARCH:", "  ARHC:");
    assert_ne!(*text, new);
    let findings = found(&files, FILES[0], "library/sights.yaml", &new);
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(findings[0].name, "unknown-name");
    let further = findings[0].related.iter().filter(|related| related.label == "and here").count();
    let uses = files[0].1.matches("ARCH").count();
    assert!(further >= 3 && further < uses, "{further} of {uses}");
}
