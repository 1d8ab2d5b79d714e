//! `fulmar check --watch`, a real process on real files. Prints how long it takes from a save to
//! the printed list: `cargo test --test watching -- --nocapture`, with `--release` for the program
//! as people run it.

#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]
#![allow(clippy::print_stdout, reason = "a test that measures says what it measured")]

#[allow(dead_code, reason = "other tests use more of it")]
#[path = "command_line/mod.rs"]
mod project;

use std::fs;
use std::io::{Read, Write as _};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use project::{Project, TOUR};
use serde_json::Value;

/// Far longer than anything takes, so that a busy machine does not fail a test.
const PATIENCE: Duration = Duration::from_secs(30);

/// A process that watches, and what it has printed.
struct Watching {
    child: Child,
    pieces: Receiver<Vec<u8>>,
    printed: String,
}

impl Watching {
    fn begin(mut command: Command, folder: &Path) -> Self {
        let mut child = command
            .current_dir(folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = child.stdout.take().unwrap();
        let (sender, pieces) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(length @ 1..) = out.read(&mut buffer) {
                if sender.send(buffer[..length].to_vec()).is_err() {
                    break;
                }
            }
        });
        Self { child, pieces, printed: String::new() }
    }

    fn fulmar(folder: &Path, args: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fulmar"));
        command.args(["check", "--watch"]).args(args);
        Self::begin(command, folder)
    }

    /// Everything printed since the last call, up to when `whole` says that all is there.
    fn until(&mut self, whole: impl Fn(&str) -> bool) -> String {
        let end = Instant::now() + PATIENCE;
        while !whole(&self.printed) {
            let left = end.saturating_duration_since(Instant::now());
            let piece = self.pieces.recv_timeout(left);
            let piece = piece.unwrap_or_else(|_| panic!("only this came: {}", self.printed));
            self.printed.push_str(&String::from_utf8_lossy(&piece));
        }
        std::mem::take(&mut self.printed)
    }

    /// The next check, as printed where there is no screen.
    fn check(&mut self) -> String {
        self.until(|printed| {
            printed.ends_with("\n\n") && printed.lines().any(|line| line.starts_with("checked at"))
        })
    }

    /// That nothing is printed for a while.
    fn is_silent(&mut self) {
        let more = self.pieces.recv_timeout(Duration::from_millis(400));
        assert!(more.is_err(), "{}", String::from_utf8_lossy(&more.unwrap()));
    }

    /// Ctrl-C.
    fn interrupt(mut self) -> ExitStatus {
        let number = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &number]).status().unwrap().success());
        self.child.wait().unwrap()
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        // It has ended already, unless a test failed.
        let _ = self.child.kill();
    }
}

/// Saves as most editors do: a file beside it, which then takes its place.
fn save(path: &Path, text: &str) {
    let beside = path.with_extension("swp");
    fs::write(&beside, text).unwrap();
    fs::rename(beside, path).unwrap();
}

fn marker(block: &str) -> &str {
    block.lines().rfind(|line| line.starts_with("checked at")).unwrap()
}

#[test]
fn a_save_is_checked_at_once_and_the_last_check_is_how_it_ends() {
    let project = Project::new();
    let tour = project.path("tours/west.yaml");
    let wrong = TOUR.replacen("camera: left", "camera: lefft", 1);
    let mut watching = Watching::fulmar(project.folder(), &["tours/west.yaml"]);
    let first = watching.check();
    assert!(first.contains("can be flown"), "{first}");
    assert!(marker(&first).ends_with(": all well"), "{first}");

    save(&tour, &wrong);
    let second = watching.check();
    assert!(second.contains("error[unknown-name]") && second.contains("tours/west.yaml:26:13"));
    assert!(marker(&second).ends_with(": 1 error"), "{second}");

    // A file that an editor writes where it is.
    fs::write(&tour, TOUR).unwrap();
    assert!(marker(&watching.check()).ends_with(": all well"));

    // Of an included file as of the tour; of others nothing, and nothing for the same again.
    let library = project.read("library/arch.yaml");
    save(&project.path("library/arch.yaml"), &library.replacen("2 km", "2", 1));
    assert!(watching.check().contains("library/arch.yaml:5"));
    project.write("tours/notes.txt", "nobody asked for this");
    save(&project.path("library/arch.yaml"), &library.replacen("2 km", "2", 1));
    watching.is_silent();
    assert_eq!(watching.interrupt().code(), Some(1));
}

#[test]
fn what_is_missing_is_waited_for() {
    let project = Project::new();
    let tour = project.path("tours/west.yaml");
    fs::rename(project.path("library"), project.path("away")).unwrap();
    let mut watching = Watching::fulmar(project.folder(), &["tours/west.yaml"]);
    assert!(watching.check().contains("no such file"));
    // The whole folder comes, is taken away and comes back.
    fs::rename(project.path("away"), project.path("library")).unwrap();
    assert!(marker(&watching.check()).ends_with(": all well"));
    fs::rename(project.path("library"), project.path("away")).unwrap();
    assert!(watching.check().contains("no such file"));
    fs::rename(project.path("away"), project.path("library")).unwrap();
    assert!(marker(&watching.check()).ends_with(": all well"));

    fs::remove_file(&tour).unwrap();
    let gone = watching.check();
    assert!(gone.contains("tours/west.yaml") && gone.contains("no such file"), "{gone}");
    fs::write(&tour, TOUR).unwrap();
    assert!(marker(&watching.check()).ends_with(": all well"));
    assert_eq!(watching.interrupt().code(), Some(0));
}

#[test]
fn a_program_that_listens_sees_where_a_check_ends() {
    let project = Project::new();
    project.edit_tour("camera: left", "camera: lefft");
    let args = ["tours/west.yaml", "--message-format", "json"];
    let mut watching = Watching::fulmar(project.folder(), &args);
    let block = watching.until(|printed| printed.contains("fulmar-checked"));
    let lines: Vec<Value> = block.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let (last, findings) = lines.split_last().unwrap();
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0]["edits"][0]["replacement"], "left");
    assert_eq!((last["outcome"].as_str(), last["errors"].as_u64()), (Some("findings"), Some(1)));
    assert_eq!(watching.interrupt().code(), Some(1));
}

/// A terminal of 60 columns and 8 lines, by the `script` of util-linux.
#[test]
fn on_a_screen_the_list_is_drawn_anew_and_never_longer_or_wider() {
    let project = Project::new();
    let tour = project.path("tours/west.yaml");
    let mut command = Command::new("script");
    let fulmar = env!("CARGO_BIN_EXE_fulmar");
    let run = format!("stty rows 8 cols 60; exec '{fulmar}' check --watch tours/west.yaml");
    command.args(["-qec", &run, "/dev/null"]).env("TERM", "xterm").env("NO_COLOR", "1");
    let mut watching = Watching::begin(command, project.folder());
    let drawn = |printed: &str| printed.ends_with("\u{1b}[J");
    let screen = |text: &str| -> Vec<String> {
        let (_, screen) = text.rsplit_once("\u{1b}[H").unwrap();
        screen
            .split("\r\n")
            .map(|line| line.replace("\u{1b}[K", "").replace("\u{1b}[J", ""))
            .collect()
    };
    let lines = screen(&watching.until(drawn));
    assert!(lines[0].starts_with("all well; checked at"), "{lines:#?}");
    assert!(lines[1].contains("can be flown"), "{lines:#?}");

    let keys: String = (0..11).map(|at| format!("x{at}: 1\n")).collect();
    let wrong = TOUR.to_owned() + &keys;
    save(&tour, &wrong);
    let lines = screen(&watching.until(drawn));
    assert_eq!(lines.len(), 8, "{lines:#?}");
    assert!(lines[0].starts_with("11 errors; checked at"), "{lines:#?}");
    assert_eq!(lines[7], "and 5 errors more", "{lines:#?}");
    assert!(lines.iter().all(|line| line.chars().count() < 60), "{lines:#?}");

    save(&tour, TOUR);
    let lines = screen(&watching.until(drawn));
    assert!(lines[0].starts_with("all well; checked at"), "{lines:#?}");

    // Ctrl-C, as it is typed.
    watching.child.stdin.as_mut().unwrap().write_all(b"\x03").unwrap();
    assert_eq!(watching.child.wait().unwrap().code(), Some(0));
}

/// How long it takes with the demo. Only printed: a time that a busy machine makes longer is no
/// test.
#[test]
fn from_a_save_to_the_list() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("routes");
    let desk = tempfile::tempdir().unwrap();
    for folder in ["tours", "library", "aircraft"] {
        fs::create_dir(desk.path().join(folder)).unwrap();
        for file in fs::read_dir(root.join(folder)).unwrap() {
            let file = file.unwrap();
            fs::copy(file.path(), desk.path().join(folder).join(file.file_name())).unwrap();
        }
    }
    let tour = desk.path().join("tours/west-coast.yaml");
    let text = fs::read_to_string(&tour).unwrap();
    let tours = ["tours/west-coast.yaml", "tours/eastern-isles.yaml"];
    let mut watching = Watching::fulmar(desk.path(), &tours);
    watching.check();
    let mut times: Vec<u128> = (0..15)
        .map(|round| {
            // Long enough for the one before to be over.
            std::thread::sleep(Duration::from_millis(50));
            let begin = Instant::now();
            save(&tour, &format!("{text}# {round}\n"));
            watching.check();
            begin.elapsed().as_millis()
        })
        .collect();
    times.sort_unstable();
    println!(
        "from a save to the printed list, both demo tours: {} ms (least {}, most {} of {})",
        times[times.len() / 2],
        times[0],
        times[times.len() - 1],
        times.len()
    );
    watching.interrupt();
}
