//! What is mended for an author: `mended/*.before.yaml` becomes `*.after.yaml`, and nothing else
//! of it changes. `UPDATE=1 cargo test -p fulmar-compiler --test mended` writes the latter anew;
//! read the difference.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

mod texts;

use std::fs;

use diagnostic::Diagnostic;
use route::MemoryWorld;
use texts::{folder, texts};

/// All findings of a tour, sorted.
fn check(shared: &[(String, String)], tour: &str) -> Vec<Diagnostic> {
    let world = shared
        .iter()
        .fold(MemoryWorld::new(), |world, (name, text)| world.with(name, text.as_str()))
        .with("tour.yaml", tour);
    let (project, mut findings) = route::read(&world, "tour.yaml", None);
    if let Some(project) = project {
        findings.extend(compiler::compile(&project).1);
    }
    diagnostic::sort(&mut findings);
    findings
}

/// The tour mended until nothing is left that can be, and how many rounds that took.
fn settled(shared: &[(String, String)], tour: &str) -> (String, usize) {
    let mut tour = tour.to_owned();
    for round in 0..20 {
        let findings = check(shared, &tour);
        let mended = diagnostic::mend(&tour, |file| file == "tour.yaml", &findings);
        if mended.made.is_empty() {
            return (tour, round);
        }
        assert_ne!(mended.text, tour, "a change that changes nothing: {:?}", mended.made);
        tour = mended.text;
    }
    panic!("never settles:\n{tour}");
}

#[test]
fn what_is_certain_is_mended_and_all_else_stays() {
    let shared = texts("shared");
    for (name, before) in texts("mended") {
        let Some(name) = name.strip_suffix(".before.yaml") else { continue };
        let path = folder("mended").join(format!("{name}.after.yaml"));
        let (after, _) = settled(&shared, &before);
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&path, &after).unwrap();
        }
        assert_eq!(after, fs::read_to_string(&path).unwrap(), "{name}");
        assert_eq!(settled(&shared, &after), (after.clone(), 0), "{name}: a second time");
        // The line ends are the author's, and so is a byte order mark.
        let crlf = |text: &str| text.replace('\n', "\r\n");
        assert_eq!(settled(&shared, &crlf(&before)).0, crlf(&after), "{name}");
        let marked = |text: &str| format!("\u{feff}{text}");
        assert_eq!(settled(&shared, &marked(&before)).0, marked(&after), "{name}");
    }
}

/// The names of the faults that keep a text from being read as YAML.
fn not_yaml(findings: &[Diagnostic]) -> bool {
    let names = ["yaml-syntax", "yaml-too-deep", "yaml-documents", "yaml-key", "duplicate-key"];
    findings.iter().any(|finding| names.contains(&finding.name))
}

/// Puts slips of the pen into a text: letters exchanged, doubled, left out or put in.
fn slipped(text: &str, seed: u64) -> String {
    let mut state = seed;
    let mut roll = |sides: usize| {
        // Numerical Recipes' 64-bit linear congruential generator; the high bits are the good ones.
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) as usize) % sides.max(1)
    };
    let mut letters: Vec<char> = text.chars().collect();
    for _ in 0..=roll(6) {
        let at = roll(letters.len() - 1);
        match roll(4) {
            0 => letters.swap(at, at + 1),
            1 => letters.insert(at, letters[at]),
            2 => {
                letters.remove(at);
            }
            _ => letters.insert(at, ['"', '\'', ',', ' ', '#', 'e', '-', '1'][roll(8)]),
        }
    }
    letters.into_iter().collect()
}

#[test]
fn what_could_be_read_can_be_read_when_it_is_mended() {
    let shared = texts("shared");
    let sources: Vec<_> = texts("cases").into_iter().chain(texts("mended")).collect();
    let mut changed = 0;
    for seed in 0..1_200 {
        let (name, text) = &sources[seed as usize % sources.len()];
        if text.len() > 6_000 {
            continue;
        }
        let tour = slipped(text, seed);
        let before = check(&shared, &tour);
        let mended = diagnostic::mend(&tour, |file| file == "tour.yaml", &before);
        if mended.made.is_empty() {
            continue;
        }
        changed += 1;
        let after = check(&shared, &mended.text);
        assert!(not_yaml(&before) || !not_yaml(&after), "{name}, seed {seed}: {:#?}", mended.made);
        let lines = |text: &str| text.lines().count();
        assert_eq!(lines(&tour), lines(&mended.text), "{name}, seed {seed}");
        let (settled_text, _) = settled(&shared, &tour);
        assert_eq!(settled(&shared, &settled_text).1, 0, "{name}, seed {seed}");
    }
    assert!(changed > 150, "only {changed} texts were mended");
}
