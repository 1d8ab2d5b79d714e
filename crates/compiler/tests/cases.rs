//! Tours as data. A finding that is expected on a line is written behind it, as
//! `#! error unknown-name` or with `warning` or `note`; one in another file on the first line, with
//! the file. The first line may choose a language or a variant, as `#? language de`. A line
//! `#: arch.flac length=22.5` makes up a recording. With `UPDATE=1` in the environment the
//! expectations are written anew from what was found.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

#[path = "texts/recordings.rs"]
mod recordings;
mod texts;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use diagnostic::{Diagnostic, Place};
use recordings::recordings;
use route::{Choice, MemoryWorld, Said};
use texts::{folder, texts};

/// What the first line of a case chooses, as `#? language de` or `#? variant reversed`.
fn choice(text: &str) -> Choice {
    let mut choice = Choice::default();
    let words = text.lines().next().and_then(|line| line.strip_prefix("#? "));
    if let Some((what, value)) = words.and_then(|words| words.split_once(' ')) {
        let said = Some(Said { value: value.to_owned(), place: Place::whole("the case") });
        match what {
            "language" => {
                let tags = |said: Said<String>| Said {
                    value: said.value.split(',').map(str::to_owned).collect(),
                    place: said.place,
                };
                choice.languages = said.map(tags);
            }
            "variant" => choice.variant = said,
            other => panic!("`{other}` cannot be chosen"),
        }
    }
    choice
}

/// All findings of a tour and whether a plan came out.
fn compile(text: &str) -> (bool, Vec<Diagnostic>) {
    let world = texts("shared")
        .into_iter()
        .fold(MemoryWorld::new(), |world, (name, text)| world.with(&name, text))
        .with("tour.yaml", text);
    let (project, mut findings) = route::read(&world, "tour.yaml", None);
    assert!(findings.is_empty(), "a case is about the compiler alone: {findings:#?}");
    let mut project = project.unwrap();
    project.recordings = recordings(text);
    let project = route::choose(&project, &choice(text)).unwrap();
    let (plan, found) = compiler::compile(&project);
    findings.extend(found);
    (plan.is_some(), findings)
}

fn expected(text: &str) -> BTreeMap<u32, Vec<String>> {
    let mut all = BTreeMap::new();
    for (line, text) in (1..).zip(text.lines()) {
        let marks: Vec<String> =
            text.split("#!").skip(1).map(|mark| mark.trim().to_owned()).collect();
        if !marks.is_empty() {
            all.insert(line, marks);
        }
    }
    all
}

fn found(findings: &[Diagnostic]) -> BTreeMap<u32, Vec<String>> {
    let mut all: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for finding in findings {
        let mark = format!("{} {}", finding.severity, finding.name);
        let (line, mark) = match &*finding.place.file {
            "tour.yaml" => (finding.place.line.max(1), mark),
            other => (1, format!("{mark} in {other}")),
        };
        all.entry(line).or_default().push(mark);
    }
    all
}

fn rewritten(text: &str, found: &BTreeMap<u32, Vec<String>>) -> String {
    let mut new = String::new();
    for (line, text) in (1..).zip(text.lines()) {
        new.push_str(text.split("#!").next().unwrap_or_default().trim_end());
        for mark in found.get(&line).into_iter().flatten() {
            new.push_str("  #! ");
            new.push_str(mark);
        }
        new.push('\n');
    }
    new
}

#[test]
fn every_case_finds_what_it_expects() {
    let update = std::env::var_os("UPDATE").is_some();
    let mut wrong = Vec::new();
    for (name, text) in texts("cases") {
        let (made, findings) = compile(&text);
        let found = found(&findings);
        let errors = found.values().flatten().any(|mark| mark.starts_with("error"));
        assert_eq!(made, !errors, "{name}: a plan comes out unless there is an error");
        if update {
            fs::write(folder("cases").join(&name), rewritten(&text, &found)).unwrap();
        } else if expected(&text) != found {
            wrong.push(format!("{name}: {findings:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}\nUPDATE=1 writes the expectations anew", wrong.join("\n"));
}

#[test]
fn every_finding_has_a_page_and_a_case() {
    let fired: BTreeSet<(String, String)> = texts("cases")
        .iter()
        .flat_map(|(_, text)| expected(text).into_values().flatten())
        .filter_map(|mark| {
            let mut words = mark.split(' ').map(str::to_owned);
            Some((words.next()?, words.next()?))
        })
        .collect();
    // The checks of a tour as it is flown, and their levels, have cases of their own.
    let elsewhere: BTreeSet<&str> = compiler::checks()
        .iter()
        .map(|page| page.name)
        .chain(["unknown-check", "check-level-unneeded", "without-unneeded"])
        .collect();
    let mut pages = compiler::pages();
    pages.retain(|page| !elsewhere.contains(page.name));
    let names: BTreeSet<(String, String)> =
        pages.iter().map(|page| (page.severity.to_string(), page.name.to_owned())).collect();
    let distinct: BTreeSet<&str> = pages.iter().map(|page| page.name).collect();
    assert_eq!(distinct.len(), pages.len(), "two pages of one name");
    for page in &pages {
        let kebab = page.name.chars().all(|c| c.is_ascii_lowercase() || c == '-');
        assert!(kebab && !page.name.starts_with('-') && !page.name.ends_with('-'), "{}", page.name);
        let parts = [page.finds, page.why, page.example, page.better];
        assert!(parts.iter().all(|part| part.len() > 10), "{} is not documented", page.name);
        assert_ne!(page.example, page.better, "{}", page.name);
    }
    let silent: Vec<_> = names.difference(&fired).collect();
    assert!(silent.is_empty(), "pages without a case: {silent:?}");
    let unknown: Vec<_> = fired.difference(&names).collect();
    assert!(unknown.is_empty(), "cases without a page: {unknown:?}");
}
