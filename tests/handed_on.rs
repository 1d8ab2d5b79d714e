//! What is handed on, read by readers that are not ours: OpenTimelineIO's reference library with its
//! reader of edit decision lists, webvtt-py and srt, from the Python registry. What they find is
//! compared with the list of changes that `simulate` prints, which is made on another way.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(command: &mut Command) -> String {
    let done = command.current_dir(root()).output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{command:?}: {said}");
    String::from_utf8(done.stdout).unwrap()
}

fn fulmar(args: &[&str]) -> String {
    run(Command::new(env!("CARGO_BIN_EXE_fulmar")).args(args))
}

/// The Python of the readers; made if it is not there.
fn readers() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readers");
    run(Command::new(root().join("tests/readers/prepare")).arg(&folder));
    folder.join("bin/python")
}

fn read(files: &[(&str, &Path)]) -> Vec<Value> {
    let words = files.iter().flat_map(|(kind, path)| [*kind, path.to_str().unwrap()]);
    let printed = run(Command::new(readers()).arg("tests/readers/read.py").args(words));
    serde_json::from_str::<Value>(&printed).unwrap().as_array().unwrap().clone()
}

/// A time of day in milliseconds.
fn time(text: &str) -> i64 {
    let (whole, fraction) =
        text[11..text.len() - 1].split_once('.').unwrap_or((&text[11..19], "0"));
    let parts: Vec<i64> = whole.split(':').map(|part| part.parse().unwrap()).collect();
    ((parts[0] * 60 + parts[1]) * 60 + parts[2]) * 1000
        + format!("{fraction:0<3}").parse::<i64>().unwrap()
}

/// A camera live in a take: camera, take, from and to in the film, and the time of day at its
/// beginning.
type Live = (String, u64, i64, i64, i64);

/// What a flight is by its list of changes.
#[derive(Default)]
struct Told {
    live: Vec<Live>,
    /// Narrations: from and to in the film.
    said: Vec<(String, i64, i64)>,
}

/// Replays the changes of the first flight.
fn replay(changes: &str) -> Told {
    let mut told = Told::default();
    let mut film = 0;
    let mut take: Option<(u64, i64)> = None;
    let mut shot: Option<(String, i64)> = None;
    let mut saying: Option<(String, i64)> = None;
    for line in changes.lines().skip(1) {
        let change: Value = serde_json::from_str(line).unwrap();
        if change["run"] != 1 || change["flight"] != 1 {
            break;
        }
        let now = time(change["time"].as_str().unwrap());
        let event = change["event"].as_str().unwrap();
        let at = |take: (u64, i64), time: i64| film + (time - take.1);
        match event {
            "camera" | "record_off" => {
                if let (Some(take), Some((camera, since))) = (take, &shot) {
                    let from = take.1.max(*since);
                    if from < now {
                        let live = (camera.clone(), take.0, at(take, from), at(take, now), from);
                        told.live.push(live);
                    }
                }
                if event == "camera" {
                    shot = change["to"].as_str().map(|camera| (camera.to_owned(), now));
                } else if let Some(ended) = take.take() {
                    film += now - ended.1;
                }
            }
            "record_on" => take = Some((change["take"].as_u64().unwrap(), now)),
            "narration_started" => saying = Some((change["of"].as_str().unwrap().to_owned(), now)),
            "narration_ended" => {
                if let (Some((name, since)), Some(take)) = (saying.take(), take)
                    && since >= take.1
                {
                    told.said.push((name, at(take, since), at(take, now)));
                }
            }
            _ => {}
        }
    }
    told
}

const FLIGHT: [&str; 2] = ["routes/tours/west-coast.yaml", "examples/flights/west-coast-wind.gpx"];

fn with<'a>(first: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    [first].into_iter().chain(FLIGHT).chain(more.iter().copied()).collect()
}

fn number(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("{value} is no whole number of frames"))
}

/// Rates with frames a second as a fraction.
const RATES: &[(&str, i64, i64)] =
    &[("25", 25, 1), ("23.976", 24_000, 1001), ("29.97", 30_000, 1001), ("60", 60, 1)];

#[test]
fn the_reference_library_reads_the_same_times() {
    let told = replay(&fulmar(&with("simulate", &["--changes", "--format", "json"])));
    assert!(told.live.len() > 50, "{} shots", told.live.len());
    let desk = tempfile::tempdir().unwrap();
    for (rate, per, seconds) in RATES {
        let write = |format: &str| {
            let path = desk.path().join(format!("edit.{format}"));
            let to = path.to_str().unwrap().to_owned();
            let options = [
                "--rate",
                rate,
                "--format",
                format,
                "--output",
                &to,
                "--clock-offset",
                "+00:02.5",
                "--media",
                "card/{camera} {take}.mov",
            ];
            fulmar(&with("edit", &options));
            path
        };
        let (otio, edl) = (write("otio"), write("edl"));
        let found = read(&[("otio", &otio), (&format!("edl:{per}/{seconds}"), &edl)]);
        let frame = |millis: i64| (millis * per * 2 + 1000 * seconds) / (2000 * seconds);
        let (timeline, list) = (&found[0], &found[1]);
        assert_eq!(timeline["again"], true, "written again by the library it is the same");
        assert_eq!(number(&timeline["length"]), frame(told.live.last().unwrap().3), "{rate}");
        let mut live: Vec<(i64, &str, &Value)> = Vec::new();
        for track in timeline["tracks"].as_array().unwrap() {
            assert_eq!(track["length"], timeline["length"], "{}", track["name"]);
            if track["kind"] == "Video" {
                let name = track["name"].as_str().unwrap();
                let clips = track["clips"].as_array().unwrap().iter();
                live.extend(clips.map(|clip| (number(&clip["from"]), name, clip)));
            }
        }
        live.sort_by_key(|(from, ..)| *from);
        let cut = list["tracks"][0]["clips"].as_array().unwrap();
        assert_eq!((live.len(), cut.len()), (told.live.len(), told.live.len()), "{rate}");
        for ((from, camera, clip), (event, told)) in live.iter().zip(cut.iter().zip(&told.live)) {
            let (wanted, take, begins, ends, day) = told;
            assert_eq!((*camera, *from), (wanted.as_str(), frame(*begins)), "{rate}");
            assert_eq!(from + number(&clip["count"]), frame(*ends), "{rate}");
            assert_eq!(clip["about"]["take"], *take);
            assert_eq!(clip["url"], format!("card/{camera}%20{take}.mov"));
            let source = number(&clip["source"]);
            assert!((source - frame(day + 2500)).abs() <= 1, "{rate}: {source}");
            // The list says the same of the same shot.
            assert_eq!(event["from"], clip["from"], "{rate}");
            assert_eq!(event["count"], clip["count"], "{rate}");
            assert_eq!(event["source"], clip["source"], "{rate}");
            assert_eq!(event["reel"], camera.to_uppercase());
        }
        let audio = timeline["tracks"].as_array().unwrap().iter();
        let said = audio.clone().find(|track| track["name"] == "narration en").unwrap();
        for (name, from, _) in &told.said {
            let clips = said["clips"].as_array().unwrap();
            let clip = clips.iter().find(|clip| clip["name"] == name.as_str()).unwrap();
            assert_eq!(number(&clip["from"]), frame(*from), "{rate} {name}");
            assert_eq!(number(&clip["source"]), 0);
            // Its recording is where the edit says.
            let url = clip["url"].as_str().unwrap();
            let path = url.strip_prefix("file://").unwrap().replace("%20", " ");
            assert!(Path::new(&path).is_file() && !path.contains(".."), "{url}");
        }
        let kinds = ["title", "sight", "still", "take"];
        let marks = timeline["marks"].as_array().unwrap();
        assert!(kinds.iter().all(|kind| marks.iter().any(|mark| mark["kind"] == *kind)), "{rate}");
    }
}

#[test]
fn other_readers_find_the_same_captions() {
    let changes = ["--changes", "--format", "json", "--language", "de"];
    let told = replay(&fulmar(&with("simulate", &changes)));
    assert!(told.said.len() > 5);
    let desk = tempfile::tempdir().unwrap();
    let write = |format: &str| {
        let path = desk.path().join(format!("captions.{format}"));
        let to = path.to_str().unwrap().to_owned();
        fulmar(&with("captions", &["--language", "de", "--format", format, "--output", &to]));
        path
    };
    let (vtt, srt) = (write("vtt"), write("srt"));
    let found = read(&[("vtt", &vtt), ("srt", &srt)]);
    assert_eq!(found[0], found[1], "both formats hold the same captions");
    let cues = found[0].as_array().unwrap();
    let times: Vec<(i64, i64)> =
        cues.iter().map(|cue| (number(&cue["from"]), number(&cue["to"]))).collect();
    for pair in times.windows(2) {
        assert!(pair[0].0 < pair[0].1 && pair[0].1 + 80 <= pair[1].0, "{pair:?}");
    }
    for (name, from, to) in &told.said {
        // Its captions begin with it and end with it, hanging at most 1.5 s.
        let during: Vec<usize> =
            (0..times.len()).filter(|at| (*from..*to).contains(&times[*at].0)).collect();
        assert_eq!(times[during[0]].0, *from, "{name}");
        let last = times[*during.last().unwrap()].1;
        assert!(last >= *to - 100 && last <= *to + 1500, "{name}: {last} and {to}");
        // And say all its words: the beginning of its text is in the library.
        let words: Vec<&str> = during
            .iter()
            .flat_map(|at| cues[*at]["lines"].as_array().unwrap())
            .map(|line| line.as_str().unwrap())
            .collect();
        assert!(words.iter().all(|line| line.chars().count() <= 42), "{words:?}");
        let library = std::fs::read_to_string(root().join("routes/library/narrations.yaml"));
        let library = library.unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        let said = words.join(" ");
        assert!(library.contains(&said), "{name}: {said}");
    }
}

#[test]
fn other_readers_read_titles_and_live_values() {
    let desk = tempfile::tempdir().unwrap();
    let write = |format: &str| {
        let path = desk.path().join(format!("titles.{format}"));
        let to = path.to_str().unwrap().to_owned();
        let values = "title,place,height,groundspeed,heading,time";
        fulmar(&with("captions", &["--titles", values, "--format", format, "--output", &to]));
        path
    };
    let (vtt, srt) = (write("vtt"), write("srt"));
    let found = read(&[("vtt", &vtt), ("srt", &srt)]);
    assert_eq!(found[0], found[1]);
    let cues = found[0].as_array().unwrap();
    assert!(cues.len() > 300, "{} cues", cues.len());
    assert!(cues.iter().all(|cue| cue["lines"].as_array().unwrap().len() <= 3));
}
