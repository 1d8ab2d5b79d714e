//! Makes the demo operator's recordings: a synthesiser's voice for every narration, in English and
//! in German, and tones of our own for the music.
//!
//! ```text
//! cargo run --release --example voice [-- NAME …]
//! ```
//!
//! It needs `espeak-ng` and `oggenc` (`apt-get install espeak-ng vorbis-tools`) and writes Ogg
//! Vorbis files into `routes/audio`; with names it makes only those anew. Nobody spoke or played
//! any of it. Each text is spoken at the pace at which it lasts as long as a plan reckons with
//! before there is a recording, so that the tours stay as they are.
//! The same texts give the same files with the same versions of the two programs.

#![allow(clippy::print_stdout, reason = "a program that says what it writes")]

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use route::world::{World, WorldError, join};
use sound::{Lufs, Measurement};

mod piece;
mod speech;
mod tones;

use piece::Piece;
use speech::Voice;

/// Why the recordings could not be made.
type Failure = Box<dyn std::error::Error>;

/// The tours whose narrations are told; both take them from the same library.
const TOURS: &[&str] = &["routes/tours/west-coast.yaml", "routes/tours/eastern-isles.yaml"];
/// Where the recordings go.
const FOLDER: &str = "routes/audio";
/// How loud each is, in LUFS: two below what a mix brings narrations to unless told otherwise.
const LOUDNESS: f64 = -20.0;
/// Its highest point before it is encoded, in decibels below full scale: so that a mix can raise it
/// to its own loudness and stays below its own peak, encoding included.
const PEAK: f64 = -8.5;
/// What speech is sampled at; enough for a voice, and small.
const SPEECH_HZ: &str = "16000";
/// What music is sampled at: that of the tones.
const MUSIC_HZ: &str = "22050";

/// How each language is spoken: the voice's name, and words a minute as the plan reckons.
const VOICES: &[Voice] = &[
    Voice { language: "en", name: "en-gb", pace: 130.0 },
    Voice { language: "de", name: "de", pace: 115.0 },
];

/// Words whose times the library states, so that they can be measured: language, narration, the
/// words before it, and the word.
const MARKED: &[(&str, &str, &str, &str)] =
    &[("en", "orrick", "Its ", "lamp"), ("de", "orrick", "Die ", "Lampe")];

/// The real files, as seen from where the program was started.
struct Disk;

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        fs::read(path).map_err(|error| WorldError(error.to_string()))
    }
}

fn main() -> Result<(), Failure> {
    let only: Vec<String> = std::env::args().skip(1).collect();
    let wanted = |name: &str| only.is_empty() || only.iter().any(|asked| asked == name);
    for program in ["espeak-ng", "oggenc"] {
        there(program)?;
    }
    let mut made = 0;
    for (name, language, text) in texts()? {
        if wanted(&name) {
            made += 1;
            say(&name, &language, &text)?;
        }
    }
    for piece in piece::PIECES.iter().filter(|piece| wanted(piece.name)) {
        made += 1;
        play(piece)?;
    }
    if made == 0 {
        return Err(format!("nothing is called {}", only.join(" or ")).into());
    }
    Ok(())
}

/// Whether a program can be started.
fn there(program: &str) -> Result<(), Failure> {
    let asked = Command::new(program).arg("--version").stdout(Stdio::null()).status();
    match asked {
        Ok(_) => Ok(()),
        Err(error) => Err(format!(
            "{program} cannot be started ({error}): apt-get install espeak-ng vorbis-tools"
        )
        .into()),
    }
}

/// All that is said on the tours: name (`-short` behind that of a short version), language, text.
fn texts() -> Result<Vec<(String, String, String)>, Failure> {
    let mut texts: Vec<(String, String, String)> = Vec::new();
    for tour in TOURS {
        let (project, findings) = route::read(&Disk, tour, None);
        let project = project.ok_or_else(|| {
            findings.first().map_or_else(String::new, |finding| finding.headline.clone())
        })?;
        for entry in &project.narrations.entries {
            let long = (entry.name.value.to_string(), &entry.value.told);
            let short = entry.value.short.as_ref();
            let short = short.map(|short| (format!("{}-short", entry.name.value), &short.value));
            for (name, version) in std::iter::once(long).chain(short) {
                for voice in VOICES {
                    if texts.iter().any(|(n, l, _)| *n == name && l == voice.language) {
                        continue;
                    }
                    let own = *voice.language == *project.language;
                    let text = version.text.get(voice.language, own).ok_or_else(|| {
                        format!("{tour}: {name} has no text in the language {}", voice.language)
                    })?;
                    texts.push((name.clone(), voice.language.to_owned(), text.value.clone()));
                }
            }
        }
    }
    Ok(texts)
}

/// Speaks a text and writes its recording.
fn say(name: &str, language: &str, text: &str) -> Result<(), Failure> {
    let voice = VOICES.iter().find(|voice| voice.language == language);
    let voice = voice.ok_or_else(|| format!("there is no voice for {language}"))?;
    let reckoned = voice.reckoned(text);
    let spoken = voice.speak(text, reckoned)?;
    let file = Path::new(FOLDER).join(language).join(format!("{name}.ogg"));
    let measured = write(&file, &spoken.sound, "-1", SPEECH_HZ)?;
    let off = (measured.length().secs() / reckoned.secs() - 1.0) * 100.0;
    told(&file, &measured, &format!("{off:+.1} % of its text, -s {}", spoken.speed))?;
    for (l, n, before, word) in MARKED {
        if *l == language && *n == name {
            let at = voice.word_at(text, before, word, spoken.speed)?;
            println!("  \"{word}\" falls at {:.1} s", at.secs());
        }
    }
    Ok(())
}

/// Plays a piece and writes its recording.
fn play(piece: &Piece) -> Result<(), Failure> {
    let file = Path::new(FOLDER).join("music").join(format!("{}.ogg", piece.name));
    let measured = write(&file, &piece.play(), "1", MUSIC_HZ)?;
    told(&file, &measured, &piece.looped())
}

/// Brings a sound to the loudness, holds its peaks down, encodes it, and measures the file.
fn write(file: &Path, sound: &[f64], quality: &str, rate: &str) -> Result<Measurement, Failure> {
    let wanted = Lufs::new(LOUDNESS).ok_or("the loudness is no number")?;
    let mut louder = sound.to_vec();
    // Holding the peaks down takes a little of the loudness: what is missing is added again.
    for _ in 0..4 {
        let now = measured(speech::wav(&louder)?)?.loudness.ok_or("there is no sound in it")?;
        let gain = libm::pow(10.0, (wanted.get() - now.get()) / 20.0);
        louder.iter_mut().for_each(|sample| *sample *= gain);
        tones::hold_down(&mut louder, libm::pow(10.0, PEAK / 20.0));
    }
    fs::create_dir_all(file.parent().ok_or("the recording has no folder")?)?;
    let folder = tempfile::tempdir()?;
    let whole: PathBuf = folder.path().join("whole.wav");
    fs::write(&whole, speech::wav(&louder)?)?;
    let encoded = Command::new("oggenc")
        // The stream's number is else drawn by lot.
        .args(["--quiet", "--serial", "1", "--quality", quality, "--resample", rate, "--output"])
        .args([file, &whole])
        .status()?;
    if !encoded.success() {
        return Err(format!("oggenc could not encode {}", file.display()).into());
    }
    measured(fs::read(file)?)
}

fn measured(bytes: Vec<u8>) -> Result<Measurement, Failure> {
    sound::measure(Cursor::new(bytes))
        .map_err(|refusal| refusal.finding("the recording").headline.into())
}

/// One line about a file that was written.
fn told(file: &Path, measured: &Measurement, more: &str) -> Result<(), Failure> {
    let loudness = measured.loudness.map_or_else(String::new, |l| format!("{:.1}", l.get()));
    let peak = measured.true_peak.map_or_else(String::new, |p| format!("{:.1}", p.get()));
    println!(
        "{:<36} {:6.1} s {loudness:>6} LUFS {peak:>6} dBTP {:>7} bytes  {more}",
        file.display(),
        measured.length().secs(),
        fs::metadata(file)?.len(),
    );
    Ok(())
}
