//! A voice: texts spoken by the synthesiser, trimmed to what is heard.

use std::fs;
use std::io::Cursor;
use std::process::Command;

use earth::Millis;

use crate::Failure;
use crate::tones::RATE;

/// Silence before the first sound and behind the last, in seconds.
const ENDS: f64 = 0.1;
/// A sample counts as sound from here, full scale at 1.
const SOUND: f64 = 0.002;
/// What the synthesiser takes for a speed, in its own words a minute.
const SPEEDS: (u32, u32) = (80, 260);

/// One who speaks a language.
pub(crate) struct Voice {
    pub(crate) language: &'static str,
    /// As the synthesiser calls it.
    pub(crate) name: &'static str,
    /// Words a minute, as the plan reckons.
    pub(crate) pace: f64,
}

/// A text as it was spoken.
pub(crate) struct Spoken {
    pub(crate) sound: Vec<f64>,
    /// The speed that the synthesiser was asked for.
    pub(crate) speed: u32,
}

impl Voice {
    /// How long a text is reckoned to take before there is a recording: its words, which have a
    /// letter or a digit, at the pace.
    pub(crate) fn reckoned(&self, text: &str) -> Millis {
        let words = text.split_whitespace().filter(|word| word.contains(char::is_alphanumeric));
        Millis::from_secs_f64(words.count() as f64 * 60.0 / self.pace)
    }

    /// Speaks a text at the speed at which it comes nearest to lasting so long.
    pub(crate) fn speak(&self, text: &str, wanted: Millis) -> Result<Spoken, Failure> {
        let (mut slow, mut fast) = SPEEDS;
        // The slowest speed at which it is no longer than that; the one below it may be nearer.
        while slow < fast {
            let middle = slow.midpoint(fast);
            if seconds(&self.said(text, middle)?) > wanted.secs() {
                slow = middle + 1;
            } else {
                fast = middle;
            }
        }
        let mut nearest = Spoken { sound: self.said(text, slow)?, speed: slow };
        let below = self.said(text, slow - 1)?;
        let off = |sound: &[f64]| (seconds(sound) - wanted.secs()).abs();
        if off(&below) < off(&nearest.sound) {
            nearest = Spoken { sound: below, speed: slow - 1 };
        }
        Ok(nearest)
    }

    /// When a word falls in a text that is spoken at this speed: by what the text up to the next
    /// stop is longer than what is left of it from the word on, for both end alike. Good
    /// to a fifth of a second: at its beginning a word takes longer than within a sentence.
    pub(crate) fn word_at(
        &self,
        text: &str,
        before: &str,
        word: &str,
        speed: u32,
    ) -> Result<Millis, Failure> {
        let at = text.find(&format!("{before}{word}")).map(|at| at + before.len());
        let at = at.ok_or_else(|| format!("the text has no word {word}"))?;
        let behind = text.get(at..).unwrap_or_default();
        let stop =
            behind.find(['.', ',', ';', ':', '!', '?']).map_or(behind.len(), |stop| stop + 1);
        let (all, rest) = (text.get(..at + stop), behind.get(..stop));
        let (all, rest) = (all.unwrap_or(text), rest.unwrap_or(behind));
        let all = seconds(&self.said(all, speed)?);
        Ok(Millis::from_secs_f64(all - seconds(&self.said(rest, speed)?) + ENDS))
    }

    /// A text spoken, without the silence around it but for a little.
    fn said(&self, text: &str, speed: u32) -> Result<Vec<f64>, Failure> {
        let folder = tempfile::tempdir()?;
        let file = folder.path().join("said.wav");
        let said = Command::new("espeak-ng")
            // Quieter than usual, or the loudest syllables are clipped.
            .args(["-v", self.name, "-s", &speed.to_string(), "-a", "50", "-w"])
            .arg(&file)
            // A text is no option, whatever it begins with.
            .args(["--", text])
            .status()?;
        if !said.success() {
            return Err(format!("espeak-ng could not say: {text}").into());
        }
        let mut reader = hound::WavReader::new(Cursor::new(fs::read(&file)?))?;
        if reader.spec().sample_rate != RATE || reader.spec().channels != 1 {
            return Err(format!("espeak-ng writes {:?}, not {RATE} Hz", reader.spec()).into());
        }
        let samples = reader.samples::<i16>();
        let samples: Result<Vec<f64>, _> =
            samples.map(|sample| sample.map(|sample| f64::from(sample) / 32_768.0)).collect();
        Ok(trimmed(&samples?))
    }
}

/// What is heard of a sound, with a little silence around it.
pub(crate) fn trimmed(samples: &[f64]) -> Vec<f64> {
    let heard = |sample: &f64| sample.abs() > SOUND;
    let first = samples.iter().position(heard).unwrap_or(0);
    let last = samples.iter().rposition(heard).map_or(0, |last| last + 1);
    let silence = vec![0.0; (ENDS * f64::from(RATE)) as usize];
    let heard = samples.get(first..last).unwrap_or_default();
    [&silence, heard, &silence].concat()
}

/// How long a sound lasts.
pub(crate) fn seconds(samples: &[f64]) -> f64 {
    samples.len() as f64 / f64::from(RATE)
}

/// A WAV file of one channel and 16 bit; what is too loud for it is an error.
pub(crate) fn wav(samples: &[f64]) -> Result<Vec<u8>, Failure> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut bytes, spec)?;
    for sample in samples {
        if sample.abs() >= 1.0 {
            return Err("it would be clipped: bring it to a lower loudness".into());
        }
        writer.write_sample((sample * 32_767.0) as i16)?;
    }
    writer.finalize()?;
    Ok(bytes.into_inner())
}
