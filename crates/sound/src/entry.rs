//! What a cache keeps of a recording: a text for each content.
//!
//! A measurement belongs to the bytes that were measured, whatever the file is called and whenever
//! it was written, so an entry is named by its [`Digest`] and a changed file is simply another
//! content. The text is a line of JSON and a line with the digest of the first. [`read`] takes
//! nothing that is damaged, of another version or about another content: what it does not take is
//! measured anew and written over.

use serde::{Deserialize, Serialize};

use earth::{Dbtp, Lufs, Millis};

use crate::digest::Digest;
use crate::kind::Kind;
use crate::measure::{Coding, Measurement, State};
use crate::quantity::SampleRate;

/// What the first line is.
const FORMAT: &str = "fulmar-recording";
/// Goes up with every change of the form, and with every change of what is measured or how: an
/// older measurement is then made anew.
const VERSION: u32 = 1;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire {
    format: String,
    version: u32,
    content: String,
    kind: String,
    /// Bits of a sample; none for a lossy coding.
    bits: Option<u16>,
    float: bool,
    rate_hz: u32,
    channels: u16,
    frames: u64,
    stated_frames: Option<u64>,
    state: String,
    head_ms: i64,
    tail_ms: i64,
    loudness_lufs: Option<f64>,
    true_peak_dbtp: Option<f64>,
    clipped: u64,
    not_numbers: u64,
}

/// The text of an entry: this measurement, of this content.
#[must_use]
pub fn write(content: Digest, measured: &Measurement) -> String {
    let (bits, float) = match measured.coding {
        Coding::Whole { bits } => (Some(bits), false),
        Coding::Float { bits } => (Some(bits), true),
        Coding::Lossy => (None, false),
    };
    let wire = Wire {
        format: FORMAT.to_owned(),
        version: VERSION,
        content: content.to_string(),
        kind: measured.kind.word().to_owned(),
        bits,
        float,
        rate_hz: measured.rate.hertz(),
        channels: measured.channels,
        frames: measured.frames,
        stated_frames: measured.stated_frames,
        state: measured.state.word().to_owned(),
        head_ms: measured.head.0,
        tail_ms: measured.tail.0,
        loudness_lufs: measured.loudness.map(Lufs::get),
        true_peak_dbtp: measured.true_peak.map(Dbtp::get),
        clipped: measured.clipped,
        not_numbers: measured.not_numbers,
    };
    // A plain struct of numbers and texts always has a JSON form; were it not so, an empty entry
    // would be one that is not taken.
    let line = serde_json::to_string(&wire).unwrap_or_default();
    let digest = Digest::of_text(&line);
    format!("{line}\n{digest}\n")
}

/// Reads an entry about this content; `None` for everything else.
#[must_use]
pub fn read(content: Digest, text: &str) -> Option<Measurement> {
    let (line, digest) = text.strip_suffix('\n')?.split_once('\n')?;
    if digest != Digest::of_text(line).to_string() {
        return None;
    }
    let wire: Wire = serde_json::from_str(line).ok()?;
    let ours = wire.format == FORMAT && wire.version == VERSION;
    if !ours || wire.content != content.to_string() || wire.frames == 0 || wire.channels == 0 {
        return None;
    }
    Some(Measurement {
        kind: Kind::of_word(&wire.kind)?,
        coding: match (wire.bits, wire.float) {
            (Some(bits), false) => Coding::Whole { bits },
            (Some(bits), true) => Coding::Float { bits },
            (None, _) => Coding::Lossy,
        },
        rate: SampleRate::new(wire.rate_hz)?,
        channels: wire.channels,
        frames: wire.frames,
        stated_frames: wire.stated_frames,
        state: State::ALL.into_iter().find(|state| state.word() == wire.state)?,
        head: Millis(wire.head_ms),
        tail: Millis(wire.tail_ms),
        loudness: wire.loudness_lufs.and_then(Lufs::new),
        true_peak: wire.true_peak_dbtp.and_then(Dbtp::new),
        clipped: wire.clipped,
        not_numbers: wire.not_numbers,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    fn measured() -> Measurement {
        Measurement {
            kind: Kind::Flac,
            coding: Coding::Whole { bits: 24 },
            rate: SampleRate::new(48_000).unwrap(),
            channels: 2,
            frames: 96_000,
            stated_frames: Some(96_001),
            state: State::CutOff,
            head: Millis(120),
            tail: Millis(40),
            loudness: Lufs::new(-18.37),
            true_peak: None,
            clipped: 3,
            not_numbers: 0,
        }
    }

    #[test]
    fn what_is_written_is_read() {
        let content = Digest::of_text("a");
        for coding in [Coding::Lossy, Coding::Float { bits: 32 }, Coding::Whole { bits: 16 }] {
            let measured = Measurement { coding, ..measured() };
            assert_eq!(read(content, &write(content, &measured)), Some(measured));
        }
    }

    #[test]
    fn another_content_and_a_damaged_entry_are_not_taken() {
        let content = Digest::of_text("a");
        let text = write(content, &measured());
        assert_eq!(read(Digest::of_text("b"), &text), None);
        assert_eq!(read(content, ""), None);
        for at in 0..text.len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1;
            let damaged = String::from_utf8(bytes).unwrap();
            assert_eq!(read(content, &damaged), None, "byte {at}");
            assert_eq!(read(content, &text[..at]), None, "cut at {at}");
        }
    }

    #[test]
    fn another_version_is_not_taken() {
        let content = Digest::of_text("a");
        let text = write(content, &measured());
        let line = text.lines().next().unwrap().replace("\"version\":1", "\"version\":2");
        assert_eq!(read(content, &format!("{line}\n{}\n", Digest::of_text(&line))), None);
    }
}
