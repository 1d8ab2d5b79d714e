//! A recording decoded to its end, and what that shows.

use std::fmt;
use std::io::{self, Cursor, Read, Seek, SeekFrom};

use earth::{Dbtp, Lufs, Millis};
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::{MediaSourceStream, ReadOnlySource};
use symphonia::default::codecs::{FlacDecoder, MpaDecoder, PcmDecoder, VorbisDecoder};
use symphonia::default::formats::{FlacReader, MpaReader, OggReader, WavReader};

use crate::kind::{Kind, Sniffed, sniff};
use crate::level::Levels;
use crate::quantity::SampleRate;
use crate::refusal::Refusal;
use crate::structure::{Broken, End, Structure, flac, mpeg, ogg, read_at, wav};

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
pub fn measure(mut source: impl Read + Seek + Send + Sync) -> Result<Measurement, Refusal> {
    let size = source.seek(SeekFrom::End(0)).map_err(Refusal::Unreadable)?;
    if size == 0 {
        return Err(Refusal::Empty);
    }
    let (kind, structure) = recognise(&mut source, size)?;
    let decoded = decode(source, kind, &structure)?;
    let Decoded { rate, channels, levels, until, found, errors, matches } = decoded;
    let frames = levels.frames();
    if frames == 0 {
        return Err(Refusal::NoSound(kind));
    }
    // FLAC states its length but not where its bytes end: one that ends early is one whose last
    // piece is not its last, or that has bytes behind its last piece.
    let too_few = structure.pieces.is_some_and(|pieces| found < pieces);
    let ends_early =
        kind == Kind::Flac && structure.stated.map_or(too_few, |stated| until < stated);
    let lacks = kind == Kind::Vorbis && structure.stated.is_some_and(|stated| frames < stated);
    let state = match structure.end {
        End::CutOff => State::CutOff,
        End::NeverClosed => State::NeverClosed,
        End::Reached if ends_early => State::CutOff,
        End::Reached if errors > 0 || lacks || !matches => State::Damaged,
        End::Reached => State::Whole,
    };
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

/// How much of a file's beginning its kind is told by.
const HEAD: u64 = 8192;

/// The most ID3 tags before the sound; more are no player's doing.
const MOST_TAGS: usize = 16;

fn recognise(source: &mut (impl Read + Seek), size: u64) -> Result<(Kind, Structure), Refusal> {
    let mut at = 0;
    let mut head = read_at(source, at, HEAD).map_err(Refusal::Unreadable)?;
    for _ in 0..MOST_TAGS {
        let tag = mpeg::tag_length(&head);
        if tag == 0 {
            break;
        }
        at += tag;
        head = read_at(source, at, HEAD).map_err(Refusal::Unreadable)?;
    }
    if at > 0 && head.is_empty() {
        return Err(Refusal::NotSound("a tag of titles with nothing behind it"));
    }
    let (kind, start) = match sniff(&head) {
        Sniffed::Known { kind, start } => (kind, start),
        Sniffed::Foreign(name) => return Err(Refusal::Foreign(name)),
        Sniffed::NotSound(name) => return Err(Refusal::NotSound(name)),
    };
    if at > 0 && !matches!(kind, Kind::Mp3 | Kind::Flac) {
        let what = "begins with an ID3 tag, which belongs to an MP3".to_owned();
        return Err(Refusal::Broken { kind, what });
    }
    let structure = match kind {
        Kind::Wav => wav::look(source, size),
        Kind::Flac => flac::look(source, at, size),
        Kind::Mp3 => mpeg::look(source, at + start, size),
        Kind::Vorbis => ogg::look(source, size),
    };
    structure.map(|structure| (kind, structure)).map_err(|broken| match broken {
        Broken::Io(error) => Refusal::Unreadable(error),
        Broken::Header(what) => Refusal::Broken { kind, what: what.to_owned() },
        Broken::Coding(name) => Refusal::Coding(name),
    })
}

struct Decoded {
    rate: SampleRate,
    channels: u16,
    levels: Levels,
    /// The frame behind the last piece, by the place that the piece itself states.
    until: u64,
    /// Bytes of the pieces that were found.
    found: u64,
    /// Pieces that could not be decoded.
    errors: u64,
    /// Whether what came out is what went in, where the file has a digest of that.
    matches: bool,
}

/// So many mistakes one behind the other, and the rest of the file is given up.
const MOST_ERRORS: u64 = 1000;

fn decode(
    mut source: impl Read + Seek + Send + Sync,
    kind: Kind,
    structure: &Structure,
) -> Result<Decoded, Refusal> {
    let (at, length) = structure.bytes;
    source.seek(SeekFrom::Start(at)).map_err(Refusal::Unreadable)?;
    let bytes = Cursor::new(structure.header.clone()).chain(source.take(length));
    // A source that cannot be moved about in: no reader guesses a length from its end.
    let stream = MediaSourceStream::new(Box::new(ReadOnlySource::new(bytes)), Default::default());
    let broken = |error: Error| refused(kind, error);
    let mut reader = reader(kind, stream).map_err(broken)?;
    let parameters = reader
        .first_track(TrackType::Audio)
        .and_then(|track| track.codec_params.as_ref()?.audio())
        .ok_or_else(|| Refusal::Broken { kind, what: "holds no sound".to_owned() })?
        .clone();
    let mut options = AudioDecoderOptions::default();
    options.gapless = structure.trims;
    options.verify = kind == Kind::Flac;
    let mut decoder = decoder(kind, &parameters, &options).map_err(broken)?;

    let mut levels: Option<(SampleRate, Levels)> = None;
    let mut samples: Vec<f32> = Vec::new();
    let (mut until, mut found, mut errors, mut in_a_row) = (0, 0_u64, 0, 0);
    while in_a_row < MOST_ERRORS {
        let packet = match reader.next_packet() {
            Ok(Some(packet)) => packet,
            Ok(None) => break,
            Err(Error::IoError(error)) if error.kind() == io::ErrorKind::UnexpectedEof => break,
            Err(Error::IoError(error)) => return Err(Refusal::Unreadable(error)),
            Err(Error::ResetRequired) => {
                let what = "holds several recordings one behind the other".to_owned();
                return Err(Refusal::Broken { kind, what });
            }
            Err(_) => {
                errors += 1;
                in_a_row += 1;
                continue;
            }
        };
        let end = packet.pts.get().saturating_add_unsigned(packet.dur.get());
        until = until.max(u64::try_from(end).unwrap_or(0));
        found += packet.data.len() as u64;
        let Ok(sound) = decoder.decode(&packet) else {
            errors += 1;
            in_a_row += 1;
            continue;
        };
        in_a_row = 0;
        let spec = sound.spec();
        let (rate, meters) = match &mut levels {
            Some(known) => known,
            None => levels.insert(meters(spec.rate(), spec.channels())?),
        };
        if spec.rate() != rate.hertz() || spec.channels().count() != meters.channels() {
            // It changes its mind in the middle; no player goes along with that.
            errors += 1;
            continue;
        }
        sound.copy_to_vec_interleaved(&mut samples);
        meters.take(&mut samples);
        if meters.frames() > u64::from(rate.hertz()) * 3600 * Refusal::MOST_HOURS {
            return Err(Refusal::TooLong);
        }
    }
    let matches = decoder.finalize().verify_ok != Some(false);
    let (rate, levels) = levels.ok_or(Refusal::NoSound(kind))?;
    let channels = u16::try_from(levels.channels()).unwrap_or(u16::MAX);
    Ok(Decoded { rate, channels, levels, until, found, errors, matches })
}

fn meters(
    hertz: u32,
    channels: &symphonia::core::audio::Channels,
) -> Result<(SampleRate, Levels), Refusal> {
    let rate = SampleRate::new(hertz).ok_or(Refusal::Rate(hertz))?;
    let count = channels.count();
    if count > Refusal::MOST_CHANNELS {
        return Err(Refusal::Channels(count));
    }
    let levels = Levels::new(rate, channels).ok_or(Refusal::Channels(count))?;
    Ok((rate, levels))
}

fn refused(kind: Kind, error: Error) -> Refusal {
    match error {
        Error::IoError(error) if error.kind() != io::ErrorKind::UnexpectedEof => {
            Refusal::Unreadable(error)
        }
        Error::IoError(_) => {
            Refusal::Broken { kind, what: "ends before its sound begins".to_owned() }
        }
        _ => Refusal::Broken { kind, what: "has a header that makes no sense".to_owned() },
    }
}

fn reader(kind: Kind, stream: MediaSourceStream<'_>) -> Result<Box<dyn FormatReader + '_>, Error> {
    let options = FormatOptions::default();
    Ok(match kind {
        Kind::Wav => Box::new(WavReader::try_new(stream, options)?),
        Kind::Flac => Box::new(FlacReader::try_new(stream, options)?),
        Kind::Mp3 => Box::new(MpaReader::try_new(stream, options)?),
        Kind::Vorbis => Box::new(OggReader::try_new(stream, options)?),
    })
}

fn decoder(
    kind: Kind,
    parameters: &AudioCodecParameters,
    options: &AudioDecoderOptions,
) -> Result<Box<dyn AudioDecoder>, Error> {
    Ok(match kind {
        Kind::Wav => Box::new(PcmDecoder::try_new(parameters, options)?),
        Kind::Flac => Box::new(FlacDecoder::try_new(parameters, options)?),
        Kind::Mp3 => Box::new(MpaDecoder::try_new(parameters, options)?),
        Kind::Vorbis => Box::new(VorbisDecoder::try_new(parameters, options)?),
    })
}
