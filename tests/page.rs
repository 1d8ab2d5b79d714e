//! The page in a real browser: the demo's, and everything that could make one empty. What is tested
//! stands in `tests/browser`; here the pages are made and the browser is found.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(command: &mut Command) {
    let done = command.current_dir(root()).output().unwrap();
    let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    assert!(done.status.success(), "{command:?}\n{out}\n{err}");
}

#[test]
fn pages_open_and_do_what_they_should_in_a_browser() {
    let scratch = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let (driver, pages) = (scratch.join("browser"), scratch.join("pages"));
    run(Command::new(root().join("tests/browser/prepare")).arg(&driver));
    // What an older run made, perhaps by another program, is not looked at.
    let _ = std::fs::remove_dir_all(&pages);
    run(Command::new("node")
        .arg("tests/browser/make.mjs")
        .env("FULMAR", env!("CARGO_BIN_EXE_fulmar"))
        .env("PAGES", &pages));
    let mut tests: Vec<PathBuf> = std::fs::read_dir(root().join("tests/browser"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    tests.sort();
    assert!(!tests.is_empty());
    run(Command::new("node")
        .arg("--test")
        .args(tests)
        .env("BROWSER_DRIVER", &driver)
        .env("PAGES", &pages));
}
