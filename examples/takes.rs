//! Makes a folder of takes for a tour: what a voice artist might send back, without the voice.
//!
//! ```text
//! cargo run --release --example takes -- TOUR FOLDER
//! ```
//!
//! Every narration that the tour says, in every language of it and in its short version too, gets a
//! WAV file that murmurs for as long as its text takes to read at 130 words a minute: a buzz at the
//! pitch of a voice, a swell for each syllable, a rest at each comma and full stop. Nobody spoke it.
//! The same texts give the same bytes on every machine.

#![allow(clippy::print_stdout, reason = "a program that says what it writes")]

use std::f64::consts::TAU;
use std::path::{Path, PathBuf};

use route::world::{World, WorldError, join};

/// Why the takes could not be made.
pub(crate) type Failure = Box<dyn std::error::Error>;

/// Enough for a voice.
const RATE: u32 = 16_000;
/// Silence before the first syllable and behind the last, in seconds.
const ENDS: f64 = 0.1;
/// Words a minute.
const PACE: f64 = 130.0;

/// The real files, as seen from where the program was started.
struct Disk;

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        std::fs::read(path).map_err(|error| WorldError(error.to_string()))
    }
}

#[allow(dead_code, reason = "a test takes this file for a module and calls `make`")]
fn main() -> Result<(), Failure> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [tour, folder] = args.as_slice() else {
        return Err("cargo run --release --example takes -- TOUR FOLDER".into());
    };
    for path in make(tour, Path::new(folder))? {
        println!("{}", path.display());
    }
    Ok(())
}

/// Makes the takes of a tour in a folder, and says which files it wrote.
///
/// # Errors
/// What is wrong with the tour or the folder.
pub(crate) fn make(tour: &str, folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let (project, findings) = route::read(&Disk, tour, None);
    let project = project.ok_or_else(|| {
        findings.first().map_or_else(String::new, |finding| finding.headline.clone())
    })?;
    std::fs::create_dir_all(folder)?;
    let other = project.other_languages.entries.iter().map(|entry| entry.name.value.as_str());
    let languages: Vec<&str> = std::iter::once(project.language.as_str()).chain(other).collect();
    let asked = project.rules.entries.iter().filter_map(|rule| rule.value.narration.as_ref());
    let said: Vec<&str> = asked.map(|effect| effect.value.narration.value.as_str()).collect();
    let mut written = Vec::new();
    for entry in &project.narrations.entries {
        if !said.contains(&entry.name.value.as_str()) {
            continue;
        }
        let name = entry.name.value.as_str();
        let short = entry.value.short.as_ref();
        let short = short.map(|short| (format!("{name}-short"), &short.value));
        for (name, version) in std::iter::once((name.to_owned(), &entry.value.told)).chain(short) {
            for language in &languages {
                let own = *language == project.language;
                let Some(text) = version.text.get(language, own) else { continue };
                let path = folder.join(format!("{name}_{language}_t1.wav"));
                std::fs::write(&path, wav(&murmur(&text.value)))?;
                written.push(path);
            }
        }
    }
    Ok(written)
}

/// One period of the buzz: harmonics that fall off as those of a voice do.
fn buzz() -> Vec<f64> {
    let period = 512;
    let sample = |at: usize| {
        let angle = TAU * at as f64 / f64::from(period);
        (1..=20).map(|n| libm::sin(f64::from(n) * angle) / f64::from(n)).sum::<f64>()
    };
    (0..period as usize).map(sample).collect()
}

/// Samples, full scale at 1, that last as long as the text takes to read.
fn murmur(text: &str) -> Vec<f64> {
    // Syllables and rests, each with its share of the time: how loud, how long.
    let mut pieces: Vec<(f64, f64)> = Vec::new();
    for word in text.split_whitespace() {
        let letters = word.chars().filter(|c| c.is_alphanumeric()).count();
        for syllable in 0..letters.div_ceil(3).max(1) {
            pieces.push((if syllable == 0 { 1.0 } else { 0.7 }, 1.0));
        }
        match word.chars().last() {
            Some('.' | '?' | '!') => pieces.push((0.0, 3.0)),
            Some(',' | ';' | ':') => pieces.push((0.0, 1.5)),
            _ => {}
        }
    }
    // The last rest is none.
    while pieces.last().is_some_and(|(loud, _)| *loud == 0.0) {
        pieces.pop();
    }
    let words = text.split_whitespace().count() as f64;
    let shares: f64 = pieces.iter().map(|(_, share)| share).sum();
    let unit = (words * 60.0 / PACE - 2.0 * ENDS).max(0.2) / shares.max(1.0);
    let buzz = buzz();
    let silence = vec![0.0; (ENDS * f64::from(RATE)) as usize];
    let mut samples = silence.clone();
    let mut phase = 0.0;
    for (number, (loud, share)) in pieces.iter().enumerate() {
        let frames = (unit * share * f64::from(RATE)) as usize;
        // The pitch wanders a little from syllable to syllable.
        let pitch = 115.0 + 15.0 * libm::sin(number as f64 * 0.9);
        for frame in 0..frames {
            phase += pitch / f64::from(RATE);
            let at = ((phase - phase.floor()) * buzz.len() as f64) as usize;
            let swell = 0.5 - 0.5 * libm::cos(TAU * frame as f64 / frames as f64);
            samples.push(0.25 * loud * swell * buzz.get(at).copied().unwrap_or_default());
        }
    }
    samples.extend(silence);
    samples
}

/// A WAV file of one channel and 16 bit.
fn wav(samples: &[f64]) -> Vec<u8> {
    let bytes = u32::try_from(samples.len() * 2).unwrap_or(u32::MAX - 36);
    let mut wav = b"RIFF".to_vec();
    wav.extend((36 + bytes).to_le_bytes());
    wav.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    wav.extend(RATE.to_le_bytes());
    wav.extend((RATE * 2).to_le_bytes());
    wav.extend(b"\x02\0\x10\0data");
    wav.extend(bytes.to_le_bytes());
    wav.extend(samples.iter().flat_map(|sample| ((sample * 32_767.0) as i16).to_le_bytes()));
    wav
}
