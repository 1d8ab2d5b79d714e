//! Every `fulmar` command that README.md tells a reader to type is typed, in the order told.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../examples/takes.rs"]
mod takes;

use std::path::Path;
use std::process::{Command, Stdio};

/// What begins the command that makes up recordings.
const TAKES: &str = "cargo run --release --example takes -- ";

/// The commands in the page's shell blocks, a continued line made one.
fn commands(page: &str) -> Vec<String> {
    let blocks = page.split("```sh\n").skip(1).filter_map(|rest| rest.split("```").next());
    let joined: Vec<String> = blocks.map(|block| block.replace("\\\n", " ")).collect();
    let lines = joined.iter().flat_map(|block| block.lines());
    lines
        .filter_map(|line| {
            let typed = line.strip_prefix("cargo run --release -- ");
            let typed = typed.or_else(|| line.strip_prefix("fulmar "));
            typed.or_else(|| line.starts_with(TAKES).then_some(line)).map(str::to_owned)
        })
        .collect()
}

#[cfg(unix)]
#[test]
fn the_commands_of_the_readme_do_what_is_asked() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(root.join("README.md")).unwrap();
    let commands = commands(&page);
    assert!(commands.len() > 10, "README.md has {} commands", commands.len());
    // What they write stays out of the repository.
    let desk = tempfile::tempdir().unwrap();
    for folder in ["routes", "examples"] {
        std::os::unix::fs::symlink(root.join(folder), desk.path().join(folder)).unwrap();
    }
    for command in commands {
        // A program of the page that is not `fulmar`; what it makes is used further down.
        if let Some(args) = command.strip_prefix(TAKES) {
            let (tour, folder) = args.split_once(' ').unwrap();
            let tour = root.join(tour);
            takes::make(tour.to_str().unwrap(), &desk.path().join(folder)).unwrap();
            continue;
        }
        let run = Command::new(env!("CARGO_BIN_EXE_fulmar"))
            .args(command.split_whitespace())
            .current_dir(desk.path())
            // What is kept from one run to the next is kept there too.
            .env("XDG_CACHE_HOME", desk.path().join("cache"))
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr);
        // One tour has been left with findings, which the page says.
        let found = [
            ("check routes/tours/eastern-isles.yaml", "[equal-priority]"),
            ("grid routes/tours", "[equal-priority]"),
            ("fit routes/tours/eastern-isles.yaml", "isles is "),
            (
                "check routes/tours/west-coast.yaml --today routes/days/low-cloud.yaml",
                "[sight-not-filmed]",
            ),
            (
                "coverage routes/tours/west-coast.yaml examples/flights/west-coast-wind.gpx",
                "Pell Falls: in the picture of `left` no nearer than",
            ),
        ];
        let expected = found.iter().find(|(of, _)| *of == command).map(|(_, finding)| *finding);
        let wanted = i32::from(expected.is_some());
        assert_eq!(run.status.code(), Some(wanted), "fulmar {command}: {said}");
        let printed = String::from_utf8_lossy(&run.stdout);
        let there = found.iter().any(|(_, finding)| printed.contains(finding));
        assert_eq!(there, expected.is_some_and(|it| printed.contains(it)), "{command}: {printed}");
        assert!(!run.stdout.is_empty(), "fulmar {command} says nothing");
    }
}
