//! A recording decoded to its end, and what that shows.

use std::fmt;
use std::io::{Read, Seek};

use earth::{Dbtp, Lufs, Millis};

use crate::kind::Kind;
use crate::level::Levels;
use crate::quantity::SampleRate;
use crate::reader::{Ended, Reader};
use crate::refusal::Refusal;
use crate::structure::{End, Structure};

/// How the samples of a recording are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Coding {
    /// As whole numbers of so many bits.
    Whole {
        /// Bits of a sample.
        bits: u16,
    },
    /// As floating point of so many bits.
    Float {
        /// Bits of a sample.
        bits: u16,
    },
    /// With loss: what comes out is not what went in, and has no width of its own.
    Lossy,
}

impl fmt::Display for Coding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Whole { bits } => write!(f, "{bits} bit"),
            Self::Float { bits } => write!(f, "{bits} bit float"),
            Self::Lossy => f.write_str("lossy"),
        }
    }
}

/// Whether a recording is whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// All there is of it can be decoded. For a kind that does not state its length anywhere (an
    /// MP3 without a table, a stream) this cannot tell a file cut exactly between two frames.
    Whole,
    /// It ends before its end.
    CutOff,
    /// The recorder never closed it: its header states no length, though sound follows.
    NeverClosed,
    /// It reaches its end, but something inside cannot be decoded, or is not what was recorded.
    Damaged,
}

impl State {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Whole, Self::CutOff, Self::NeverClosed, Self::Damaged];

    /// As it stands in files: `whole`, `cut-off`, `never-closed`, `damaged`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::CutOff => "cut-off",
            Self::NeverClosed => "never-closed",
            Self::Damaged => "damaged",
        }
    }
}

/// What decoding a recording to its end has shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurement {
    /// What it is.
    pub kind: Kind,
    /// How its samples are kept.
    pub coding: Coding,
    /// Its sampling rate.
    pub rate: SampleRate,
    /// How many channels it has; never nought.
    pub channels: u16,
    /// How many frames (one sample for each channel) were decoded; never nought.
    pub frames: u64,
    /// How many frames its header promises, where it does.
    pub stated_frames: Option<u64>,
    /// Whether it is whole.
    pub state: State,
    /// Silence before the first sound, to ten milliseconds; all of it where there is no sound.
    pub head: Millis,
    /// Silence behind the last sound, to ten milliseconds; all of it where there is no sound.
    pub tail: Millis,
    /// Integrated loudness; `None` where it is silent or shorter than 0.4 s, the shortest that has
    /// one. A recording of one channel is measured as that channel alone: played on two, it is
    /// 3 LU louder.
    pub loudness: Option<Lufs>,
    /// True peak of its loudest channel; `None` where every sample is nought.
    pub true_peak: Option<Dbtp>,
    /// How often at least three samples of a channel, one behind the other, are at full scale.
    pub clipped: u64,
    /// How many samples of a floating-point recording are no numbers; they are taken for silence.
    pub not_numbers: u64,
}

impl Measurement {
    /// How long it lasts, as decoded; a millisecond begun counts.
    #[must_use]
    pub fn length(&self) -> Millis {
        self.rate.length(self.frames)
    }

    /// How long it would last by its header, where that says so.
    #[must_use]
    pub fn stated_length(&self) -> Option<Millis> {
        self.stated_frames.map(|frames| self.rate.length(frames))
    }

    /// Whether there is no sound in it at all.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.head >= self.length()
    }
}

/// Decodes a recording to its end and measures it. Memory does not grow with its length.
///
/// # Errors
/// Why it is not measured. A recording that is damaged or cut off is measured as far as it goes,
/// and its [`State`] says so.
///
/// ```
/// // A second of a WAV file's silence, 8 kHz, 8 bit, one channel.
/// let mut wav = b"RIFF\x64\x1f\0\0WAVEfmt \x10\0\0\0\x01\0\x01\0".to_vec();
/// wav.extend(b"\x40\x1f\0\0\x40\x1f\0\0\x01\0\x08\0data\x40\x1f\0\0");
/// wav.extend([128; 8000]);
/// let measured = sound::measure(std::io::Cursor::new(wav)).map_err(|_| "refused")?;
/// assert_eq!(measured.length(), earth::Millis(1000));
/// assert!(measured.is_silent());
/// # Ok::<(), &str>(())
/// ```
pub fn measure(source: impl Read + Seek + Send + Sync) -> Result<Measurement, Refusal> {
    let mut reader = Reader::open(source)?;
    let mut samples: Vec<f32> = Vec::new();
    let mut meters: Option<(SampleRate, Levels)> = None;
    while let Some(spec) = reader.next(&mut samples)? {
        let (rate, levels) = match &mut meters {
            Some(known) => known,
            None => {
                let levels = Levels::new(spec.rate, &spec.channels)
                    .ok_or(Refusal::Channels(spec.channels.count()))?;
                meters.insert((spec.rate, levels))
            }
        };
        levels.take(&mut samples);
        if levels.frames() > u64::from(rate.hertz()) * 3600 * Refusal::MOST_HOURS {
            return Err(Refusal::TooLong);
        }
    }
    let kind = reader.kind();
    let structure = reader.structure().clone();
    let (rate, levels) = meters.ok_or(Refusal::NoSound(kind))?;
    let frames = levels.frames();
    if frames == 0 {
        return Err(Refusal::NoSound(kind));
    }
    let state = state(kind, &structure, frames, &reader.ended());
    let channels = u16::try_from(levels.channels()).unwrap_or(u16::MAX);
    let shown = levels.shown();
    Ok(Measurement {
        kind,
        coding: structure.coding,
        rate,
        channels,
        frames,
        stated_frames: structure.stated,
        state,
        head: rate.length(shown.head),
        tail: rate.length(shown.tail),
        loudness: shown.loudness,
        true_peak: shown.true_peak,
        clipped: shown.clipped,
        not_numbers: shown.not_numbers,
    })
}

fn state(kind: Kind, structure: &Structure, frames: u64, ended: &Ended) -> State {
    // FLAC states its length but not where its bytes end: one that ends early is one whose last
    // piece is not its last, or that has bytes behind its last piece.
    let too_few = structure.pieces.is_some_and(|pieces| ended.found < pieces);
    let ends_early =
        kind == Kind::Flac && structure.stated.map_or(too_few, |stated| ended.until < stated);
    let lacks = kind == Kind::Vorbis && structure.stated.is_some_and(|stated| frames < stated);
    match structure.end {
        End::CutOff => State::CutOff,
        End::NeverClosed => State::NeverClosed,
        End::Reached if ends_early => State::CutOff,
        End::Reached if ended.errors > 0 || lacks || !ended.matches => State::Damaged,
        End::Reached => State::Whole,
    }
}
