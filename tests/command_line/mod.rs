//! A small project in a folder of its own, the command run in it, and flights for it. Everything in
//! it is invented.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The tour of the project.
pub(crate) const TOUR: &str = r#"tour: Out to the arch and back
revision: 3
departure: 2026-06-01T10:30:00Z
wind: {from: 240, speed: 5 kt}
aircraft: ../aircraft/heron.yaml
include: [../library/arch.yaml]
waypoints:
  PAD: {at: "10.0000N 20.0000E", elevation: 0 m}
  FAR: {at: "10.1000N 20.0000E"}
route:
  airspeed: 90 kt
  altitude: 300 m
  legs:
    - from: PAD
    - to: FAR
    - land: PAD
rules:
  film:
    when: {phase: airborne}
    record: on
  arch-northbound:
    when:
      in: arch
      track: 320..040
    priority: 20
    camera: left
    title: arch-title
    narration: arch-story
  arch-southbound:
    when:
      in: arch
      track: 140..220
    priority: 20
    camera: right
    still: {at closest: ARCH}
narrations:
  arch-story: {text: On our left the sea has cut an arch., length: 20 s}
titles:
  arch-title: {text: The Sea Arch}
defaults: {longest silence: 10 min}
"#;

const AIRCRAFT: &str = r"aircraft: Heron
registration: XX-HER
heading source: none
cameras:
  left:
    input: 1
    mount: {bearing: 270, depression: 15 deg}
    field of view: {width: 90 deg, height: 58 deg}
  right:
    input: 2
    mount: {bearing: 90, depression: 15 deg}
    field of view: {width: 90 deg, height: 58 deg}
recorder: {streams: 2, bit rate: 25 Mbit/s, card: 128 GB}
";

const LIBRARY: &str = r#"library: The arch
sights:
  ARCH: {at: "10.0500N 19.9900E", elevation: 20 m}
zones:
  arch: {circle: {centre: ARCH, radius: 2 km}}
"#;

/// A project in a folder that goes away with it.
pub(crate) struct Project {
    folder: tempfile::TempDir,
}

/// What a command did.
pub(crate) struct Done {
    /// Exit code.
    pub(crate) code: i32,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Project {
    /// The sound project.
    pub(crate) fn new() -> Self {
        let project = Self { folder: tempfile::tempdir().unwrap() };
        for folder in ["tours", "aircraft", "library"] {
            std::fs::create_dir(project.path(folder)).unwrap();
        }
        project.write("tours/west.yaml", TOUR);
        project.write("aircraft/heron.yaml", AIRCRAFT);
        project.write("library/arch.yaml", LIBRARY);
        project
    }

    /// A path in it.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Its folder.
    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Writes a file, and makes the folder that it is in.
    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
    }

    /// Writes the tour with one text in place of another, which must be there.
    pub(crate) fn edit_tour(&self, from: &str, to: &str) {
        assert!(TOUR.contains(from), "{from}");
        self.write("tours/west.yaml", TOUR.replacen(from, to, 1));
    }

    /// Reads a file.
    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Runs `fulmar` in its folder.
    pub(crate) fn fulmar(&self, args: &[&str]) -> Done {
        self.fulmar_in("", args)
    }

    /// Runs `fulmar` in a folder below.
    pub(crate) fn fulmar_in(&self, folder: &str, args: &[&str]) -> Done {
        let output = Command::new(env!("CARGO_BIN_EXE_fulmar"))
            .args(args)
            .current_dir(self.path(folder))
            .output()
            .unwrap();
        Done {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// A recorded flight: 20 s on the pad, then north at 45 m/s for 240 s along a meridian so many
/// degrees east of the pad's, back again, and 30 s on the pad; a fix a second from 12:00:00.
pub(crate) fn gpx(east: f64) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"made for a test\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n",
    );
    for second in 0_i32..=530 {
        let away = (second - 20).min(500 - second).max(0);
        // 110.6 km to a degree of latitude there.
        let lat = 10.0 + f64::from(away) * 45.0 / 110_600.0;
        let lon = 20.0 + east;
        let ele = f64::from(away.min(60)) * 5.0;
        writeln!(
            text,
            "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{ele}</ele>\
             <time>2026-06-02T12:{:02}:{:02}Z</time></trkpt>",
            second / 60,
            second % 60
        )
        .unwrap();
    }
    text.push_str("</trkseg></trk></gpx>\n");
    text
}
