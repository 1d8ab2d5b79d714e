//! `fulmar check --fix` and `--diff`, on files.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

#[allow(dead_code, reason = "other tests use more of it")]
#[path = "command_line/mod.rs"]
mod project;

use std::fs;

use project::{Project, TOUR};
use serde_json::Value;

const LIBRARY: &str = "library: The arch  # shared\r\nsights:\r\n  ARCH: {at: \"10.0500N 19.9900E\", \
                       elevation: 20 m}\r\nzones:\r\n  arch: {cicle: {centre: ARCH, radius: 2 \
                       km}}\r\n";

/// A project with two slips in its tour and one in its library, which has line ends of its own.
fn slipped() -> Project {
    let project = Project::new();
    let tour = TOUR.replacen("camera: left", "camera: lefft  # at the arch", 1);
    project.write("tours/west.yaml", tour.replacen("5 kt", "5 kts", 1));
    project.write("library/arch.yaml", LIBRARY);
    project
}

#[test]
fn what_is_certain_is_mended_in_every_file_and_told() {
    let project = slipped();
    let done = project.fulmar(&["check", "tours/west.yaml", "--fix"]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
    for said in [
        "library/arch.yaml:5: wrote `circle` instead of `cicle`\n",
        "tours/west.yaml:4: wrote `5 kt` instead of `5 kts`\n",
        "tours/west.yaml:26: wrote `left` instead of `lefft`\n",
        "3 changes made in 2 files\n",
        "can be flown",
    ] {
        assert!(done.out.contains(said), "{said}: {}", done.out);
    }
    let tour = TOUR.replacen("camera: left", "camera: left  # at the arch", 1);
    assert_eq!(project.read("tours/west.yaml"), tour);
    assert_eq!(project.read("library/arch.yaml"), LIBRARY.replacen("cicle", "circle", 1));
    let files: Vec<_> = fs::read_dir(project.path("tours")).unwrap().collect();
    assert_eq!(files.len(), 1, "nothing is left beside the tour");

    let again = project.fulmar(&["check", "tours/west.yaml", "--fix"]);
    assert_eq!(again.code, 0);
    assert!(!again.out.contains("wrote"), "{}", again.out);
    assert_eq!(project.read("tours/west.yaml"), tour);
}

#[test]
fn what_is_not_certain_is_left_and_reported() {
    let project = Project::new();
    project.edit_tour("altitude: 300 m", "altitude: 300");
    let before = project.read("tours/west.yaml");
    let done = project.fulmar(&["check", "tours/west.yaml", "--fix"]);
    assert_eq!(done.code, 1, "{}", done.out);
    assert!(done.out.contains("error[unit-missing]"), "{}", done.out);
    assert_eq!(project.read("tours/west.yaml"), before);
}

#[test]
fn a_library_of_two_tours_is_mended_once() {
    let project = slipped();
    fs::copy(project.path("tours/west.yaml"), project.path("tours/east.yaml")).unwrap();
    let west = project.path("tours/west.yaml");
    let done = project.fulmar(&[
        "check",
        "tours/east.yaml",
        west.to_str().unwrap(),
        "--fix",
        "--message-format",
        "json",
    ]);
    let lines: Vec<Value> =
        done.out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert!(lines.iter().all(|line| line["format"] == "fulmar-fix"), "{}", done.out);
    let wrote = |what: &str| lines.iter().filter(|line| line["replacement"] == what).count();
    assert_eq!((wrote("circle"), wrote("left"), wrote("5 kt")), (1, 2, 2));
    assert_eq!(done.code, 0, "{}", done.out);
}

#[test]
fn a_diff_shows_the_changes_and_makes_none() {
    let project = slipped();
    let done = project.fulmar(&["check", "tours/west.yaml", "--diff"]);
    assert_eq!(done.code, 1, "{}", done.err);
    let library = "--- library/arch.yaml\n+++ library/arch.yaml\n@@ -2,4 +2,4 @@\n";
    assert!(done.out.starts_with(library), "{}", done.out);
    assert!(done.out.contains("\n-  arch: {cicle: {centre: ARCH, radius: 2 km}}\r\n"));
    assert!(done.out.contains("\n+  arch: {circle: {centre: ARCH, radius: 2 km}}\r\n"));
    assert!(done.out.contains("\n-    camera: lefft  # at the arch\n"), "{}", done.out);
    assert_eq!(done.err, "3 changes in 2 files; --fix instead of --diff makes them\n");
    assert_eq!(project.read("library/arch.yaml"), LIBRARY);

    let sound = Project::new().fulmar(&["check", "tours/west.yaml", "--diff"]);
    assert_eq!((sound.code, sound.out.as_str(), sound.err.as_str()), (0, "", ""));
    let none = project.fulmar(&["check", "none.yaml", "--diff"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.err.contains("error[file-missing]"), "{}", none.err);
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_written_is_named_and_the_others_are_mended() {
    use std::os::unix::fs::PermissionsExt;
    let project = slipped();
    let library = project.path("library/arch.yaml");
    fs::set_permissions(&library, fs::Permissions::from_mode(0o444)).unwrap();
    let done = project.fulmar(&["check", "tours/west.yaml", "--fix"]);
    assert_eq!(done.code, 2, "{}", done.out);
    assert!(done.err.contains("error[output-unwritable]"), "{}", done.err);
    assert!(done.err.contains("library/arch.yaml"), "{}", done.err);
    assert!(done.out.contains("2 changes made in 1 file"), "{}", done.out);
    assert!(done.out.contains("error[unknown-key]"), "what is left is told: {}", done.out);
    assert_eq!(project.read("library/arch.yaml"), LIBRARY);
}

#[cfg(unix)]
#[test]
fn links_and_rights_stay() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let project = slipped();
    fs::rename(project.path("library/arch.yaml"), project.path("arch-2026.yaml")).unwrap();
    symlink("../arch-2026.yaml", project.path("library/arch.yaml")).unwrap();
    let tour = project.path("tours/west.yaml");
    fs::set_permissions(&tour, fs::Permissions::from_mode(0o640)).unwrap();
    let done = project.fulmar(&["check", "tours/west.yaml", "--fix"]);
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert!(project.path("library/arch.yaml").symlink_metadata().unwrap().is_symlink());
    assert_eq!(project.read("arch-2026.yaml"), LIBRARY.replacen("cicle", "circle", 1));
    assert_eq!(fs::metadata(&tour).unwrap().permissions().mode() & 0o777, 0o640);
}
