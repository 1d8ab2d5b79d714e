//! The rules of the house, held by the machine: who may use whom, what is absent where, licences
//! and sources of what we build on, and that DEVELOPERS.md and README.md speak of what there is.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// What cargo knows of every package, ours and others'.
fn packages() -> Vec<Value> {
    let ask = |more: &[&str]| {
        Command::new(env!("CARGO"))
            .args(["metadata", "--format-version", "1", "--locked"])
            .args(more)
            .current_dir(root())
            .output()
            .unwrap()
    };
    let mut answer = ask(&["--offline"]);
    if !answer.status.success() {
        answer = ask(&[]);
    }
    let said = String::from_utf8_lossy(&answer.stderr);
    assert!(answer.status.success(), "{said}; run `cargo fetch --locked` first");
    let document: Value = serde_json::from_slice(&answer.stdout).unwrap();
    document["packages"].as_array().unwrap().clone()
}

fn ours(package: &Value) -> bool {
    package["source"].is_null()
}

fn name(package: &Value) -> &str {
    package["name"].as_str().unwrap()
}

/// A crate of ours by its directory, such as `earth`.
fn short(package: &str) -> &str {
    package.strip_prefix("fulmar-").unwrap_or(package)
}

/// The table of crates in DEVELOPERS.md: each with the crates of ours that it may use.
fn table() -> BTreeMap<String, BTreeSet<String>> {
    let mut table = BTreeMap::new();
    for line in text("DEVELOPERS.md").lines() {
        let Some(row) = line.strip_prefix("| `crates/") else { continue };
        let cells: Vec<&str> = row.trim_end_matches('|').split(" | ").collect();
        let [first, .., last] = cells[..] else { panic!("no table row: {line}") };
        let used = last.split('`').skip(1).step_by(2).map(str::to_owned).collect();
        let crate_name = first.trim().trim_end_matches('`').to_owned();
        assert!(table.insert(crate_name, used).is_none(), "twice in the table: {line}");
    }
    table
}

#[test]
fn the_table_of_crates_is_the_workspace() {
    let there: BTreeSet<String> = packages()
        .iter()
        .filter(|package| ours(package) && name(package) != "fulmar")
        .map(|package| short(name(package)).to_owned())
        .collect();
    let told: BTreeSet<String> = table().into_keys().collect();
    assert_eq!(told, there, "the table of crates in DEVELOPERS.md is not the workspace");
}

#[test]
fn crates_use_only_what_lies_to_their_left() {
    let table = table();
    let mut wrong = vec![];
    for package in packages().iter().filter(|package| ours(package)) {
        let user = short(name(package));
        let Some(allowed) = table.get(user) else { continue };
        for dependency in package["dependencies"].as_array().unwrap() {
            let used = name(dependency);
            if used.starts_with("fulmar-") && !allowed.contains(short(used)) {
                wrong.push(format!("{user} uses {used}"));
            }
        }
    }
    assert!(wrong.is_empty(), "not in the table of DEVELOPERS.md: {wrong:?}");
}

/// Walks the table: nothing may use, by whatever way, what uses it.
#[test]
fn the_table_of_crates_goes_one_way() {
    let table = table();
    let mut done = BTreeSet::new();
    while done.len() < table.len() {
        let next = table.iter().find(|(name, uses)| {
            !done.contains(*name) && uses.iter().all(|used| done.contains(used))
        });
        let (name, _) = next.unwrap_or_else(|| panic!("a circle, or a crate not in the table"));
        done.insert(name.clone());
    }
}

#[test]
fn every_crate_of_ours_has_our_licence_our_lints_and_a_description() {
    for package in packages().iter().filter(|package| ours(package)) {
        let manifest = fs::read_to_string(package["manifest_path"].as_str().unwrap()).unwrap();
        let package_name = name(package);
        assert_eq!(package["license"], "MIT OR Apache-2.0", "{package_name}");
        assert!(manifest.contains("[lints]\nworkspace = true"), "{package_name} has no lints");
        assert!(package["description"].as_str().is_some_and(|d| d.len() > 20), "{package_name}");
    }
    assert!(text("Cargo.toml").contains("unsafe_code = \"forbid\""));
}

/// Licences that ask for no more than to be named.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Licences that ask for more, each with why that is no burden here.
const LICENCES_THAT_ASK: &[(&str, &str)] =
    &[("MPL-2.0", "changes to its own files have to be published, and we change none of them")];

/// Whether a licence expression (SPDX, with the older `/` for OR) can be met with [`LICENCES`].
fn licence_is_allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().peekable();
    any_of(&mut words)
}

type Words<'a> = std::iter::Peekable<std::str::SplitWhitespace<'a>>;

fn any_of(words: &mut Words<'_>) -> bool {
    let mut allowed = all_of(words);
    while words.next_if_eq(&"OR").is_some() {
        let other = all_of(words);
        allowed |= other;
    }
    allowed
}

fn all_of(words: &mut Words<'_>) -> bool {
    let mut allowed = one(words);
    while words.next_if_eq(&"AND").is_some() {
        let other = one(words);
        allowed &= other;
    }
    allowed
}

fn one(words: &mut Words<'_>) -> bool {
    match words.next() {
        Some("(") => {
            let inner = any_of(words);
            inner && words.next() == Some(")")
        }
        Some(licence) => {
            // An exception only gives more freedom.
            if words.next_if_eq(&"WITH").is_some() {
                words.next();
            }
            let asks = LICENCES_THAT_ASK.iter().any(|(name, _)| *name == licence);
            LICENCES.contains(&licence) || asks
        }
        None => false,
    }
}

#[test]
fn licence_expressions_are_understood() {
    for good in ["MIT", "GPL-3.0 OR MIT", "(MIT OR X) AND Zlib", "Apache-2.0 WITH x", "X/MIT"] {
        assert!(licence_is_allowed(good), "{good}");
    }
    for bad in ["", "GPL-3.0", "MIT AND X", "(MIT OR Zlib) AND X", "X WITH MIT"] {
        assert!(!licence_is_allowed(bad), "{bad}");
    }
}

/// Crates that must not come in, not even by another: with the reason.
const BANNED: &[(&str, &str)] = &[
    ("serde_yaml", "archived, and the last of two equal keys wins silently"),
    ("serde_yml", "unsound, RUSTSEC-2025-0068"),
    ("openssl", "nothing of fulmar talks to a network"),
    ("reqwest", "nothing of fulmar talks to a network"),
];

#[test]
fn what_we_build_on_is_free_and_comes_from_the_registry() {
    for package in packages().iter().filter(|package| !ours(package)) {
        let who = format!("{} {}", name(package), package["version"]);
        let source = package["source"].as_str().unwrap();
        assert_eq!(source, "registry+https://github.com/rust-lang/crates.io-index", "{who}");
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(licence_is_allowed(licence), "{who}: licence {licence:?} is not on the list");
        let banned = BANNED.iter().find(|(banned, _)| *banned == name(package));
        assert!(banned.is_none(), "{who} is banned: {banned:?}");
    }
}

/// What npm fetches: as free, from its registry, and by its content.
#[test]
fn what_comes_from_npm_is_free_pinned_and_comes_from_the_registry() {
    for lock in ["crates/preview/web/package-lock.json", "tests/browser/package-lock.json"] {
        let document: Value = serde_json::from_str(&text(lock)).unwrap();
        let packages = document["packages"].as_object().unwrap();
        let others = packages.iter().filter(|(path, _)| !path.is_empty());
        let mut seen = 0;
        for (path, package) in others {
            seen += 1;
            let said = |key: &str| package[key].as_str().unwrap_or_default();
            // Where it does not say whence, it comes from npm's registry, or a copy of that.
            let whence = package.get("resolved").is_none()
                || said("resolved").starts_with("https://registry.npmjs.org/");
            assert!(whence, "{lock}: {path} comes from {}", said("resolved"));
            assert!(said("integrity").starts_with("sha512-"), "{lock}: {path} is not pinned");
            let licence = said("license");
            assert!(licence_is_allowed(licence), "{lock}: {path}: licence {licence:?}");
        }
        assert!(seen > 0, "{lock} names nothing");
    }
}

/// Every file under a directory with an ending, in order.
fn files(directory: &Path, ending: &str, into: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(directory).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        let hidden = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
        if hidden || path.file_name().is_some_and(|n| n == "target" || n == "node_modules") {
            continue;
        }
        if path.is_dir() {
            files(&path, ending, into);
        } else if path.to_string_lossy().ends_with(ending) {
            into.push(path);
        }
    }
}

fn files_of(directory: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = vec![];
    files(&root().join(directory), ending, &mut found);
    assert!(!found.is_empty(), "no {ending} in {directory}");
    found
}

#[test]
fn no_source_file_needs_a_table_of_contents() {
    let long: Vec<String> = files_of(".", ".rs")
        .iter()
        .map(|path| (path, fs::read_to_string(path).unwrap().lines().count()))
        .filter(|(_, lines)| *lines > 600)
        .map(|(path, lines)| format!("{} has {lines} lines", path.display()))
        .collect();
    assert!(long.is_empty(), "more than 600 lines, make it two files: {long:?}");
}

/// The code of a source file: without its comments and its unit tests.
fn code(path: &Path) -> String {
    let whole = fs::read_to_string(path).unwrap();
    let before_tests = whole.split("#[cfg(test)]").next().unwrap_or_default();
    let lines = before_tests.lines().filter(|line| !line.trim_start().starts_with("//"));
    lines.fold(String::new(), |code, line| code + line + "\n")
}

fn assert_absent(crates: &[&str], absent: &[&str]) {
    let mut found = vec![];
    for name in crates {
        for path in files_of(&format!("crates/{name}/src"), ".rs") {
            let code = code(&path);
            let words = absent.iter().filter(|word| code.contains(*word));
            found.extend(words.map(|word| format!("{}: {word}", path.display())));
        }
    }
    assert!(found.is_empty(), "must not be there: {found:#?}");
}

/// The same input gives the same output, everywhere and always.
#[test]
fn the_core_has_no_world_no_clock_no_chance_and_no_order_by_chance() {
    let absent = [
        "std::fs",
        "std::net",
        "std::env",
        "std::process",
        "std::thread",
        "SystemTime",
        "Instant",
        "HashMap",
        "HashSet",
        "println!",
    ];
    assert_absent(&["earth", "plan", "engine", "timeline", "film"], &absent);
}

#[test]
fn the_core_never_gives_up() {
    let absent = ["panic!(", "unreachable!(", ".unwrap()", ".expect(", "assert!(", "assert_eq!("];
    assert_absent(&["earth", "engine", "timeline", "film"], &absent);
}

/// Only the command line opens files, asks the environment or looks at the clock.
#[test]
fn libraries_do_not_touch_the_world() {
    let libraries: Vec<String> = table().into_keys().filter(|name| name != "cli").collect();
    let libraries: Vec<&str> = libraries.iter().map(String::as_str).collect();
    let absent = [
        "std::fs",
        "std::net",
        "std::env",
        "std::process",
        "SystemTime",
        "Instant::now",
        "println!",
    ];
    assert_absent(&libraries, &absent);
}

#[test]
fn nothing_lies_about_at_the_top() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "crates",
        "routes",
        "tests",
        "examples",
        "target",
    ];
    let mut astray: Vec<String> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && !allowed.contains(&name.as_str()))
        .collect();
    astray.sort();
    assert!(astray.is_empty(), "does not belong at the top: {astray:?}");
}

/// What stands in backticks and looks like a path of this repository is one.
#[test]
fn the_pages_name_only_files_that_exist() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = text(page);
        let mut named = 0;
        for quoted in text.split('`').skip(1).step_by(2) {
            let tops = ["crates/", "routes/", "tests/", "examples/", ".ci/"];
            let plain = !quoted.contains(|c: char| c.is_whitespace() || "*<>{}…".contains(c));
            let made_up = quoted.contains("NAME");
            if tops.iter().any(|top| quoted.starts_with(top)) && plain && !made_up {
                named += 1;
                assert!(
                    root().join(quoted).exists(),
                    "{page} names `{quoted}`, which is not there"
                );
            }
        }
        assert!(named > 3, "{page} names {named} paths: is this test still reading it?");
    }
}

/// Every test, bench, example and package that a command in the pages names is there.
#[test]
fn the_pages_name_only_targets_that_exist() {
    let packages = packages();
    let ours = || packages.iter().filter(|package| ours(package));
    let targets: BTreeSet<String> = ours()
        .flat_map(|package| package["targets"].as_array().unwrap())
        .map(|target| format!("--{} {}", target["kind"][0].as_str().unwrap(), name(target)))
        .chain(ours().map(|package| format!("-p {}", name(package))))
        .collect();
    let mut named = 0;
    for page in ["README.md", "DEVELOPERS.md", "routes/README.md", "routes/CHECKS.md"] {
        let text = text(page);
        let words: Vec<&str> = text.split(|c: char| c.is_whitespace() || c == '`').collect();
        for pair in words
            .windows(2)
            .filter(|pair| ["--test", "--bench", "--example", "-p"].contains(&pair[0]))
        {
            named += 1;
            let said = pair.join(" ");
            assert!(targets.contains(&said), "{page} names `{said}`, which is not there");
        }
    }
    assert!(named > 5, "{named} named: is this test still reading the pages?");
}

/// What is left to do is left outside the text.
#[test]
fn no_reminders_are_left_in_the_text() {
    let words = [concat!("TO", "DO"), concat!("FIX", "ME"), concat!("XX", "X:")];
    let mut found = vec![];
    for ending in [".rs", ".md", ".toml", ".yaml"] {
        for path in files_of(".", ending) {
            let text = fs::read_to_string(&path).unwrap_or_default();
            let word = words.iter().find(|word| text.contains(*word));
            found.extend(word.map(|word| format!("{}: {word}", path.display())));
        }
    }
    assert!(found.is_empty(), "{found:?}");
}
