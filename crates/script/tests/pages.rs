//! Whatever is found in a sheet has its page, and each page belongs to something that is found.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeSet;
use std::path::Path;

/// The source files of the crate but that of the pages.
fn sources(folder: &Path, into: &mut String) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if !path.ends_with("pages.rs") {
            into.push_str(&std::fs::read_to_string(path).unwrap());
        }
    }
}

#[test]
fn findings_and_pages_are_the_same() {
    let mut text = String::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut text);
    let words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut used = BTreeSet::new();
    for call in ["Diagnostic::error(", "Diagnostic::warning(", "Diagnostic::note(", "self.error("] {
        let calls = words.match_indices(call).map(|(at, _)| &words[at + call.len()..]);
        let names = calls.filter_map(|rest| rest.trim_start().strip_prefix('"')?.split('"').next());
        used.extend(names.map(str::to_owned));
    }
    assert!(used.len() > 15, "{used:?}");
    // This one is found where files are written.
    used.insert("text-not-written".to_owned());
    let told: BTreeSet<String> = script::pages().iter().map(|page| page.name.to_owned()).collect();
    assert_eq!(used, told);
}
