//! The examples of `routes/README.md` are read without a finding.
//!
//! A block that begins with a path in a comment is that file; one that begins with `added to the
//! tour` takes the place of the tour's own keys of that name, or stands behind them; every other is
//! read as a library of its own.

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
    let (additions, fragments): (Vec<&str>, Vec<&str>) =
        fragments.into_iter().partition(|text| text.starts_with("# added to the tour\n"));
    assert!(additions.len() >= 2, "examples have gone missing");
    let tour =
        additions.iter().fold(files_text(&files, "tour.yaml"), |tour, text| with(&tour, text));
    let files = files.with("tour.yaml", tour);
    let (project, findings) = route::read(&files, "tour.yaml", None);
    assert_eq!(findings, []);
    let project = project.unwrap();
    assert!(project.complete);
    let (today, _, findings) = route::read_today(&files, "today.yaml");
    assert_eq!(findings, []);
    let varied = route::choose(&project, &today.unwrap().choice).unwrap();
    assert_eq!(varied.chosen.differences.len(), 4);

    assert!(fragments.len() >= 4, "examples have gone missing");
    for text in fragments {
        let files = files.clone().with("library/sights.yaml", format!("library: Example\n{text}"));
        let (_, findings) = route::read(&files, "tour.yaml", None);
        assert_eq!(findings, [], "{text}");
    }
}

fn files_text(files: &MemoryWorld, path: &str) -> String {
    String::from_utf8(route::World::read(files, path).unwrap()).unwrap()
}

/// A tour with some of its keys, each with all that is indented below it, written otherwise.
fn with(tour: &str, addition: &str) -> String {
    let is_key = |line: &str| line.starts_with(char::is_alphabetic);
    let key = |line: &str| line.split(':').next().unwrap().to_owned();
    let new: Vec<String> = addition.lines().filter(|line| is_key(line)).map(key).collect();
    let mut keep = true;
    let kept: Vec<&str> = tour
        .lines()
        .filter(|line| {
            if is_key(line) {
                keep = !new.contains(&key(line));
            }
            keep
        })
        .collect();
    format!("{}\n{addition}", kept.join("\n"))
}
