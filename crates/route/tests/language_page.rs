//! The examples of `routes/README.md` are read without a finding.
//!
//! A block that begins with a path in a comment is that file; every other is read as a library of
//! its own.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::Path;

use route::MemoryWorld;

#[test]
fn the_examples_of_the_language_are_read_without_a_finding() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let mut files = MemoryWorld::new();
    let mut fragments = Vec::new();
    for block in page.split("```yaml\n").skip(1) {
        let (text, _) = block.split_once("```").unwrap();
        let path = text.lines().next().and_then(|line| line.strip_prefix("# "));
        match path.filter(|path| path.ends_with(".yaml")) {
            Some(path) => files = files.with(path, text),
            None => fragments.push(text),
        }
    }
    let (project, findings) = route::read(&files, "tour.yaml", None);
    assert_eq!(findings, []);
    assert!(project.unwrap().complete);

    assert!(fragments.len() >= 4, "examples have gone missing");
    for text in fragments {
        let files = files.clone().with("library/sights.yaml", format!("library: Example\n{text}"));
        let (_, findings) = route::read(&files, "tour.yaml", None);
        assert_eq!(findings, [], "{text}");
    }
}
