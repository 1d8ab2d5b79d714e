//! What is heard of a flight, on the command line: the WAV file read back sample by sample, and what
//! is told of it.

use serde_json::Value;

use crate::project::{Done, Project, gpx};

const RATE: usize = 48_000;

/// A tone of so many seconds, 16 bit, one channel, in a WAV file written by hand.
fn tone(hertz: f64, seconds: u32, peak_db: f64) -> Vec<u8> {
    let (rate, frames) = (48_000_u32, 48_000 * seconds);
    let amplitude = libm::pow(10.0, peak_db / 20.0) * 32_767.0;
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((36 + frames * 2).to_le_bytes());
    bytes.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    bytes.extend(rate.to_le_bytes());
    bytes.extend((rate * 2).to_le_bytes());
    bytes.extend(b"\x02\0\x10\0data");
    bytes.extend((frames * 2).to_le_bytes());
    for frame in 0..frames {
        let turn = std::f64::consts::TAU * hertz * f64::from(frame) / f64::from(rate);
        bytes.extend(((amplitude * libm::sin(turn)) as i16).to_le_bytes());
    }
    bytes
}

/// The samples of a WAV file of whole numbers, read by hand: each channel by itself, 1 full scale.
fn samples(bytes: &[u8]) -> [Vec<f64>; 2] {
    assert_eq!((&bytes[..4], &bytes[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    let whole = u32::from_le_bytes(bytes[4..8].try_into().unwrap());
    assert_eq!(whole as usize, bytes.len() - 8, "the header says how long the file is");
    let (mut at, mut width) = (12, 0);
    loop {
        let size = u32::from_le_bytes(bytes[at + 4..at + 8].try_into().unwrap()) as usize;
        let body = &bytes[at + 8..at + 8 + size];
        if &bytes[at..at + 4] == b"fmt " {
            assert_eq!(body[2..8], [2, 0, 0x80, 0xBB, 0, 0], "two channels at 48 kHz");
            width = usize::from(body[14]) / 8;
        }
        if &bytes[at..at + 4] == b"data" {
            let one = |sample: &[u8]| {
                let mut wide = [0; 4];
                wide[4 - width..].copy_from_slice(sample);
                f64::from(i32::from_le_bytes(wide)) / 2_147_483_648.0
            };
            let side = |side: usize| {
                body.chunks_exact(2 * width)
                    .map(|frame| one(&frame[side * width..][..width]))
                    .collect()
            };
            return [side(0), side(1)];
        }
        at += 8 + size;
    }
}

/// Level in dB from one time to another: of a sine, 3.01 dB below its peak.
fn level(samples: &[f64], from: f64, until: f64) -> f64 {
    let place = |seconds: f64| (seconds * RATE as f64) as usize;
    let piece = &samples[place(from)..place(until)];
    let power = piece.iter().map(|sample| sample * sample).sum::<f64>() / piece.len() as f64;
    10.0 * libm::log10(power)
}

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// A tour with a narration of 20 s in English and in German, and music all the way, which loops.
fn project() -> Project {
    let project = Project::new();
    project.write("audio/arch-en.wav", tone(1_000.0, 20, -30.0));
    project.write("audio/arch-de.wav", tone(2_000.0, 12, -6.0));
    project.write("audio/sea.wav", tone(500.0, 20, -10.0));
    project.edit_tour(
        "  arch-story: {text: On our left the sea has cut an arch., length: 20 s}\n",
        "  arch-story:\n    text: {en: On our left the sea has cut an arch., de: Links der Bogen.}\n    \
         audio: {en: ../audio/arch-en.wav, de: ../audio/arch-de.wav}\n\
         music:\n  sea: {audio: ../audio/sea.wav, loop: {from: 2 s, to: 18 s, crossfade: 1 s}}\n",
    );
    let tour = project.read("tours/west.yaml");
    let tour = tour.replace("    record: on\n", "    record: on\n    music: sea\n");
    let title = "{text: {en: The Sea Arch, de: Der Bogen}}";
    let tour = tour.replace("{text: The Sea Arch}", title);
    let languages = "language: en\nother languages:\n  de: {words per minute: 115}\nrules:\n";
    project.write("tours/west.yaml", tour.replacen("rules:\n", languages, 1));
    project.write("flight.gpx", gpx(0.0));
    project
}

fn mix(project: &Project, more: &[&str]) -> Done {
    let args = ["mix", "tours/west.yaml", "flight.gpx", "-o", "mix.wav"];
    project.fulmar(&[&args[..], more].concat())
}

/// Mixes, and gives what is told and the two channels.
fn mixed(project: &Project, more: &[&str], code: i32) -> (Value, [Vec<f64>; 2]) {
    let done = mix(project, &[&["--format", "json"][..], more].concat());
    assert_eq!(done.code, code, "{}{}", done.out, done.err);
    let bytes = std::fs::read(project.path("mix.wav")).unwrap();
    (crate::json(&done.out), samples(&bytes))
}

/// When something began in the mix, in seconds, and how long it was on.
fn place(told: &Value, of: &str, length: &str) -> (f64, f64) {
    let seconds = |text: &Value| {
        let text = text.as_str().unwrap().trim_end_matches('Z');
        let (_, time) = text.split_once('T').unwrap();
        time.split(':').fold(0.0, |sum, part| sum * 60.0 + part.parse::<f64>().unwrap())
    };
    let one = &told[of][0];
    let at = seconds(&one["time"]) - seconds(&told["from"]);
    (at, one[length].as_f64().unwrap() / 1000.0)
}

#[test]
fn a_flight_is_heard_as_it_was_flown_and_told_of() {
    let project = project();
    let sources = ["audio/arch-en.wav", "audio/sea.wav"];
    let before = sources.map(|name| std::fs::read(project.path(name)).unwrap());
    let (told, [left, right]) = mixed(&project, &[], 0);
    assert_eq!((&told["format"], &told["version"]), (&"fulmar-mix".into(), &1.into()));
    assert_eq!(told["plan"]["use"], "not for navigation");
    assert_eq!(told["voices"][0]["language"], "en");
    assert!(left == right, "one channel is heard on both sides");
    let length = told["length_ms"].as_f64().unwrap() / 1000.0;
    near(left.len() as f64 / RATE as f64, length, 1e-9, "the file's length");

    let narration = &told["narrations"][0];
    assert_eq!(narration["narration"], "arch-story");
    assert_eq!(narration["told_ms"], 20_000);
    near(narration["found_lufs"].as_f64().unwrap(), -30.0, 0.1, "found");
    near(narration["gain_db"].as_f64().unwrap(), 12.0, 0.1, "gain");
    near(narration["loudness_lufs"].as_f64().unwrap(), -18.0, 0.1, "brought to");
    assert_eq!(narration["limited_db"], Value::Null);
    let (at, told_for) = place(&told, "narrations", "told_ms");
    // A sine of 1 kHz on both channels at -18 LUFS has its peak at -18 dBFS.
    near(level(&left, at + 0.5, at + told_for - 0.1), -21.01, 0.15, "the voice");

    // Music of 500 Hz reads 0.6 LU lower than one of 1 kHz by the curve of the standard.
    let (music_at, music_on) = place(&told, "music", "length_ms");
    let music = level(&left, music_at + 2.0, at - 0.1);
    near(music, -28.4, 0.3, "the music");
    near(level(&left, at + told_for + 1.6, at + told_for + 60.0), music, 0.01, "loops and all");
    assert_eq!(told["music"][0]["ducked_ms"], 20_000);
    // It fades over a second and a half at both its ends.
    near(level(&left, music_at + 0.74, music_at + 0.76), music - 3.0, 0.2, "half in");
    let end = music_at + music_on;
    near(level(&left, end + 0.74, end + 0.76), music - 3.0, 0.2, "half out");

    let whole = told["true_peak_dbtp"].as_f64().unwrap();
    assert!(whole <= -3.0, "{whole}");
    let after = sources.map(|name| std::fs::read(project.path(name)).unwrap());
    assert!(before == after, "the recordings are not touched");

    // What another command measures of the file.
    let measured = project.fulmar(&["audio", "mix.wav", "--no-cache", "--format", "json"]);
    let measured = crate::json(&measured.out);
    let found = measured["recordings"][0]["loudness_lufs"].as_f64().unwrap();
    near(found, told["loudness_lufs"].as_f64().unwrap(), 0.1, "the whole");
    assert_eq!(measured["recordings"][0]["state"], "whole");
}

#[test]
fn what_has_no_recording_is_told_and_silent_and_the_music_is_ducked_by_the_depth() {
    let project = project();
    let tour = project.read("tours/west.yaml");
    let audio = "    audio: {en: ../audio/arch-en.wav, de: ../audio/arch-de.wav}\n";
    assert!(tour.contains(audio));
    project.write("tours/west.yaml", tour.replace(audio, "    length: 20 s\n"));
    let (told, [left, _]) = mixed(&project, &[], 1);
    let narration = &told["narrations"][0];
    assert_eq!((&narration["recording"], &narration["gain_db"]), (&Value::Null, &Value::Null));
    let (at, _) = place(&told, "narrations", "told_ms");
    let music = level(&left, at - 10.0, at - 0.1);
    near(level(&left, at + 0.31, at + 19.9), music - 12.0, 0.01, "ducked");
    near(level(&left, at + 0.145, at + 0.155), music - 6.0, 0.1, "half way down");
    near(level(&left, at + 20.745, at + 20.755), music - 6.0, 0.1, "half way up");
    let said = mix(&project, &[]);
    assert!(said.err.contains("[mix-silent]"), "{}", said.err);
    assert!(said.err.contains("`arch-story` has no recording in `en`"), "{}", said.err);
    assert!(said.out.contains("silent: no recording"), "{}", said.out);
}

#[test]
fn two_languages_are_heard_on_two_sides() {
    let project = project();
    let both = ["--language", "en,de"];
    let (told, [left, right]) =
        mixed(&project, &[&both[..], &["--voice", "en", "--voice", "de"]].concat(), 0);
    assert_eq!(told["narrations"].as_array().unwrap().len(), 2);
    let (at, _) = place(&told, "narrations", "told_ms");
    let crossings = |samples: &[f64]| {
        let from = ((at + 2.0) * RATE as f64) as usize;
        let piece = &samples[from..from + RATE];
        piece.windows(2).filter(|pair| pair[0] < 0.0 && pair[1] >= 0.0).count()
    };
    near(crossings(&left) as f64, 1_000.0, 2.0, "English on the left");
    near(crossings(&right) as f64, 2_000.0, 2.0, "German on the right");
    near(level(&left, at + 14.0, at + 19.0), -21.01, 0.15, "English goes on");
    near(level(&right, at + 14.0, at + 19.0), -40.4, 0.4, "ducked music where German is over");
    // The second alone.
    let (told, [left, right]) = mixed(&project, &[&both[..], &["--voice", "de"]].concat(), 0);
    assert!(left == right);
    assert_eq!(told["narrations"][0]["language"], "de");
    near(crossings(&left) as f64, 2_000.0, 2.0, "German on both");
    for wrong in [&["--voice", "fr"][..], &["--voice", "en", "--voice", "en"]] {
        let done = mix(&project, &[&both[..], wrong].concat());
        assert_eq!(done.code, 2);
        assert!(done.err.contains("[unknown-voice]"), "{}", done.err);
    }
}

#[test]
fn a_narration_paused_or_cut_off_by_hand_is_heard_so() {
    let project = project();
    let (told, _) = mixed(&project, &[], 0);
    let began = told["narrations"][0]["since_takeoff_ms"].as_i64().unwrap();
    // Take-off is 20 s into the recording, when the aircraft is first fast enough.
    let time = told["narrations"][0]["time"].as_str().unwrap();
    let (hour, rest) = time.split_once('T').unwrap().1.split_at(2);
    assert_eq!(hour, "12");
    let (minute, second) = (&rest[1..3], &rest[4..6]);
    let start = minute.parse::<i64>().unwrap() * 60 + second.parse::<i64>().unwrap();
    assert!(began > 0 && start > 30);
    let at = |after: i64| {
        let time = start + after;
        format!("2026-06-02T12:{:02}:{:02}Z", time / 60, time % 60)
    };
    project.write("off.csv", format!("time,action,camera\n{},voice off,\n", at(5)));
    let (told, [left, _]) = mixed(&project, &["--hand", "off.csv"], 0);
    let (from, told_for) = place(&told, "narrations", "told_ms");
    near(told_for, 5.0, 0.001, "cut off");
    assert!(told["narrations"][0]["cut_off"].is_string());
    near(level(&left, from + 1.0, from + 5.0), -21.01, 0.15, "until then");
    assert!(level(&left, from + 5.06, from + 5.1) < -38.0, "gone within 50 ms");

    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", tour.replace("defaults: {", "defaults: {on radio: paused, "));
    let hand = format!("time,action,camera\n{},radio busy,\n{},radio clear,\n", at(5), at(12));
    project.write("radio.csv", hand);
    let (told, [left, _]) = mixed(&project, &["--hand", "radio.csv"], 0);
    assert_eq!(told["narrations"][0]["paused_ms"], 7_000);
    assert_eq!(told["narrations"][0]["told_ms"], 20_000);
    assert!(level(&left, from + 5.1, from + 11.9) < -38.0, "paused");
    near(level(&left, from + 12.1, from + 26.9), -21.01, 0.15, "and on again");
}

#[test]
fn a_compiled_plan_is_mixed_with_its_recordings_and_a_changed_one_is_told() {
    let project = project();
    let compiled = ["plan", "tours/west.yaml", "-o", "tours/west.plan.json"];
    assert_eq!(project.fulmar(&compiled).code, 0);
    let args = ["mix", "tours/west.plan.json", "--planned", "-o", "plan.wav", "--bits", "16"];
    let done = project.fulmar(&args);
    assert_eq!(done.code, 0, "{}", done.err);
    samples(&std::fs::read(project.path("plan.wav")).unwrap());
    // Carried away, the recordings are looked for beside it, or where one says.
    project.write("card/west.plan.json", project.read("tours/west.plan.json"));
    let away = ["mix", "card/west.plan.json", "--planned", "-o", "away.wav"];
    let done = project.fulmar(&[&away[..], &["--recordings", "tours"]].concat());
    assert_eq!(done.code, 0, "{}", done.err);
    std::fs::create_dir(project.path("elsewhere")).unwrap();
    let done = project.fulmar(&[&away[..], &["--recordings", "elsewhere/none"]].concat());
    assert_eq!(done.code, 2);
    assert_eq!(done.err.matches("[file-missing]").count(), 2, "each is told: {}", done.err);

    project.write("audio/arch-en.wav", tone(900.0, 15, -20.0));
    let done = project.fulmar(&args);
    assert_eq!(done.code, 1);
    assert!(done.err.contains("[recording-changed]"), "{}", done.err);
    project.write("audio/arch-en.wav", "no sound at all");
    project.write("audio/sea.wav", "nor this");
    project.write("plan.wav", "older");
    let done = project.fulmar(&args);
    assert_eq!(done.code, 2);
    assert_eq!(done.err.matches("[not-a-recording]").count(), 2, "{}", done.err);
    assert_eq!(project.read("plan.wav"), "older", "what was there stays");
}

#[test]
fn what_cannot_be_mixed_is_refused() {
    let project = project();
    let done = mix(&project, &["--flight-number", "2"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("[no-such-flight]"), "{}", done.err);
    let onto = |output: &str| {
        project.fulmar(&["mix", "tours/west.yaml", "flight.gpx", "--output", output])
    };
    let before = std::fs::read(project.path("audio/sea.wav")).unwrap();
    for input in ["audio/sea.wav", "flight.gpx", "tours/west.yaml"] {
        let done = onto(input);
        assert_eq!(done.code, 2, "{input}");
        assert!(done.err.contains("[output-is-input]"), "{}", done.err);
    }
    assert!(before == std::fs::read(project.path("audio/sea.wav")).unwrap());
    assert_eq!(onto("none/mix.wav").code, 2);
    assert_eq!(project.fulmar(&["mix", "tours/west.yaml", "flight.gpx"]).code, 2);
    assert_eq!(mix(&project, &["--bits", "8"]).code, 2);
}

#[test]
fn every_key_of_a_mix_is_described() {
    let description = include_str!("../../crates/cli/FORMATS.md");
    let (told, _) = mixed(&project(), &[], 0);
    let mut keys = Vec::new();
    crate::keys(&told, &mut keys);
    for key in keys {
        assert!(description.contains(&format!("`{key}`")), "`{key}` is not described");
    }
}

/// Inside the arch zone another piece plays: the two change over within the tour's crossfade.
#[test]
fn one_piece_gives_way_to_another() {
    let project = project();
    project.write("audio/arch-music.wav", tone(1_500.0, 300, -12.0));
    let tour = project.read("tours/west.yaml");
    let tour = tour.replace("    narration: arch-story\n", "    music: arch\n");
    let tour =
        tour.replace("music:\n  sea", "music:\n  arch: {audio: ../audio/arch-music.wav}\n  sea");
    let tour = tour.replacen("rules:\n", "mix: {crossfade: 4 s, music: -24 LUFS}\nrules:\n", 1);
    project.write("tours/west.yaml", tour);
    let (told, [left, _]) = mixed(&project, &[], 0);
    let names: Vec<&str> = told["music"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["music"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["sea", "arch", "sea"]);
    let (at, on) = place(&told, "music", "length_ms");
    let change = at + on;
    let power = |at: f64| libm::pow(10.0, level(&left, at - 0.02, at + 0.02) / 10.0);
    // The power of the first goes as that of the second comes; each is where the other's is not.
    let (before, after) = (power(change - 0.5), power(change + 4.5));
    for part in [0.25, 0.5, 0.75] {
        let found = power(change + 4.0 * part);
        let going = libm::cos(std::f64::consts::FRAC_PI_2 * part);
        let expected = before * going * going + after * (1.0 - going * going);
        near(found / expected, 1.0, 0.05, &format!("at {part} of the crossfade"));
    }
}

#[test]
fn a_busy_radio_ducks_the_music_or_pauses_it() {
    let project = project();
    let hand = "time,action,camera\n+06:00,radio busy,\n+06:10,radio clear,\n";
    project.write("radio.csv", hand);
    let (told, [left, _]) = mixed(&project, &["--hand", "radio.csv"], 0);
    assert_eq!(told["music"][0]["ducked_ms"], 30_000, "under a narration and for the radio");
    // The recording begins at 12:00:00.
    let from = told["from"].as_str().unwrap();
    let second = |text: &str| text.parse::<f64>().unwrap();
    let zero = second(&from[14..16]) * 60.0 + second(&from[17..19]);
    let busy = 360.0 - zero;
    let music = level(&left, busy - 5.0, busy - 0.1);
    near(level(&left, busy + 0.4, busy + 9.9), music - 12.0, 0.02, "ducked");
    let tour = project.read("tours/west.yaml");
    project
        .write("tours/west.yaml", tour.replacen("rules:\n", "mix: {radio: paused}\nrules:\n", 1));
    let (told, [left, _]) = mixed(&project, &["--hand", "radio.csv"], 0);
    assert_eq!(told["music"][0]["paused_ms"], 10_000);
    assert_eq!(level(&left, busy + 0.4, busy + 9.9), f64::NEG_INFINITY, "paused");
    near(level(&left, busy + 11.6, busy + 20.0), music, 0.02, "and on again");
}

/// The log of a day: each flight is heard by itself, without the waits between them.
#[test]
fn each_flight_of_a_day_is_heard_by_itself() {
    let project = project();
    let one = gpx(0.0);
    let points: Vec<&str> = one.lines().filter(|line| line.starts_with("<trkpt")).collect();
    let other = points.iter().map(|point| point.replace("T12:0", "T12:2"));
    let all: Vec<String> = points.iter().map(|point| (*point).to_owned()).chain(other).collect();
    let day = format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"made for a test\" \
         xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n{}\n</trkseg></trk></gpx>\n",
        all.join("\n")
    );
    project.write("flight.gpx", day);
    let (first, _) = mixed(&project, &[], 0);
    let (second, _) = mixed(&project, &["--flight-number", "2"], 0);
    assert_eq!(first["length_ms"], second["length_ms"]);
    assert!(first["length_ms"].as_i64().unwrap() < 600_000);
    assert!(second["from"].as_str().unwrap().contains("T12:2"), "{}", second["from"]);
    let told = |mix: &Value| mix["narrations"][0]["since_takeoff_ms"].as_i64().unwrap();
    assert_eq!(told(&first), told(&second));
}
