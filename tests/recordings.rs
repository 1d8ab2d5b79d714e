//! The demo operator's recordings, `routes/audio`, against the texts they were made of, and what
//! their music is made of. `cargo run --release --example voice` makes them; these tests need
//! neither synthesiser nor encoder.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

#[path = "../examples/voice/piece.rs"]
mod piece;
#[path = "../examples/voice/tones.rs"]
mod tones;

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use route::world::{World, WorldError, join};
use sound::{Measurement, State};

/// All of it together, in bytes.
const MOST_BYTES: u64 = 6_000_000;
/// Narrations, each against each, in LU.
const LOUDNESS_APART: f64 = 1.0;
/// A recording against what its text is reckoned at, as a part of that.
const LENGTH_OFF: f64 = 0.15;

struct Disk;

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        fs::read(path).map_err(|error| WorldError(error.to_string()))
    }
}

fn audio() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("routes/audio")
}

/// All recordings, by the name of the file as seen from the folder; measured once for all tests.
fn recordings() -> &'static BTreeMap<String, Measurement> {
    static MEASURED: LazyLock<BTreeMap<String, Measurement>> = LazyLock::new(|| {
        let measured = files().into_iter().map(|file| {
            let measured = sound::measure(File::open(audio().join(&file)).unwrap());
            (file, measured.unwrap())
        });
        measured.collect()
    });
    &MEASURED
}

/// The texts of all narrations that the demo tours know, by language and name, each with the
/// seconds that it is reckoned at.
fn texts() -> BTreeMap<(String, String), f64> {
    let mut texts = BTreeMap::new();
    for tour in ["west-coast", "eastern-isles"] {
        let path = format!("{}/routes/tours/{tour}.yaml", env!("CARGO_MANIFEST_DIR"));
        let (project, _) = route::read(&Disk, &path, None);
        let project = project.unwrap();
        let german = project.other_languages.get("de").unwrap().value.words_per_minute;
        let paces = [("en", project.defaults.words_per_minute), ("de", german.unwrap().value)];
        for entry in &project.narrations.entries {
            let name = entry.name.value.to_string();
            let short = entry.value.short.as_ref();
            let short = short.map(|short| (format!("{name}-short"), &short.value));
            for (name, version) in std::iter::once((name, &entry.value.told)).chain(short) {
                for (language, pace) in paces {
                    let text = version.text.get(language, language == "en").unwrap();
                    let words = text.value.split_whitespace();
                    let words = words.filter(|word| word.contains(char::is_alphanumeric)).count();
                    let reckoned = words as f64 * 60.0 / pace;
                    texts.insert((language.to_owned(), name.clone()), reckoned);
                }
            }
        }
    }
    texts
}

/// All files below the folder, as seen from it.
fn files() -> BTreeSet<String> {
    let mut files = BTreeSet::new();
    for folder in fs::read_dir(audio()).unwrap() {
        let folder = folder.unwrap();
        for file in fs::read_dir(folder.path()).unwrap() {
            let (folder, file) = (folder.file_name(), file.unwrap().file_name());
            files.insert(format!("{}/{}", folder.to_str().unwrap(), file.to_str().unwrap()));
        }
    }
    files
}

#[test]
fn there_is_a_recording_for_every_text_and_every_piece_and_no_other_file() {
    let said = texts().into_keys().map(|(language, name)| format!("{language}/{name}.ogg"));
    let played = piece::PIECES.iter().map(|piece| format!("music/{}.ogg", piece.name));
    assert_eq!(files(), said.chain(played).collect());
    let bytes = files().into_iter().map(|file| fs::metadata(audio().join(file)).unwrap().len());
    let bytes: u64 = bytes.sum();
    assert!(bytes < MOST_BYTES, "{bytes} bytes");
}

#[test]
fn nothing_is_the_matter_with_any_of_them() {
    for (file, measured) in recordings() {
        assert_eq!(measured.state, State::Whole, "{file}");
        let found = measured.review(file);
        assert!(found.is_empty(), "{file}: {found:?}");
    }
}

#[test]
fn narrations_are_alike_in_loudness_and_last_about_as_long_as_their_texts_are_reckoned_at() {
    let mut loudness = Vec::new();
    for ((language, name), reckoned) in texts() {
        let measured = &recordings()[&format!("{language}/{name}.ogg")];
        let off = measured.length().secs() / reckoned - 1.0;
        assert!(off.abs() <= LENGTH_OFF, "{language} {name}: {:+.1} %", off * 100.0);
        loudness.push(measured.loudness.unwrap().get());
    }
    let least = loudness.iter().copied().fold(f64::INFINITY, f64::min);
    let most = loudness.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!(most - least <= LOUDNESS_APART, "from {least} to {most} LUFS");
}

/// One more round sounds as the first, to the last digit, so that no seam is heard.
#[test]
fn a_piece_goes_round_without_a_seam() {
    let second = tones::frames(1.0);
    for piece in piece::PIECES {
        let played = piece.play();
        let begin = tones::frames(2.0);
        let round = piece.round().frames();
        assert_eq!(round, tones::frames(piece.turn()), "{}", piece.name);
        let (first, again) = (&played[begin..begin + second], &played[begin + round..]);
        assert_eq!(first, &again[..second], "{}", piece.name);
        // It is not silent there, nor the same everywhere.
        assert!(first.iter().any(|sample| sample.abs() > 0.01), "{}", piece.name);
        assert_ne!(first, &played[begin + second..begin + 2 * second], "{}", piece.name);
        // What was played is what was recorded.
        let rate = f64::from(tones::RATE);
        let seconds = recordings()[&format!("music/{}.ogg", piece.name)].length().secs();
        assert!((seconds - played.len() as f64 / rate).abs() < 0.01, "{}", piece.name);
        assert!(!piece.looped().is_empty());
    }
}

#[test]
fn peaks_are_held_down_and_what_is_far_from_them_is_left() {
    let mut samples = vec![0.25; tones::frames(1.0)];
    let middle = samples.len() / 2;
    samples[middle] = -0.9;
    tones::hold_down(&mut samples, 0.5);
    assert!(samples.iter().all(|sample| sample.abs() <= 0.5));
    assert_eq!(samples[middle], -0.5);
    // Its neighbours go down with it, on both sides alike.
    assert!(samples[middle - 1] < 0.2 && samples[middle + 1] < 0.2);
    let far = tones::frames(0.2);
    assert!((samples[middle - far] - 0.25).abs() < 1e-4);
    assert!((samples[middle + far] - 0.25).abs() < 1e-4);
    assert!((samples[0] - 0.25).abs() < 1e-9);
}
