//! A recording decoded a piece at a time, for whoever wants its samples.

use std::io::{self, Cursor, Read, Seek, SeekFrom};

use symphonia::core::audio::Channels;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::{MediaSourceStream, ReadOnlySource};
use symphonia::default::codecs::{FlacDecoder, MpaDecoder, PcmDecoder, VorbisDecoder};
use symphonia::default::formats::{FlacReader, MpaReader, OggReader, WavReader};

use crate::kind::{Kind, Sniffed, sniff};
use crate::quantity::SampleRate;
use crate::refusal::Refusal;
use crate::structure::{Broken, Structure, flac, mpeg, ogg, read_at, wav};

/// A recording being decoded.
pub(crate) struct Reader<'s> {
    kind: Kind,
    structure: Structure,
    format: Box<dyn FormatReader + 's>,
    decoder: Box<dyn AudioDecoder>,
    spec: Option<Spec>,
    ended: Ended,
    in_a_row: u64,
}

/// What the samples are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Spec {
    /// How many frames make a second.
    pub(crate) rate: SampleRate,
    /// Which channels a frame has, in the order of its samples.
    pub(crate) channels: Channels,
}

/// What was noticed until the end.
#[derive(Clone, Debug)]
pub(crate) struct Ended {
    /// The frame behind the last piece, by the place that the piece itself states.
    pub(crate) until: u64,
    /// Bytes of the pieces that were found.
    pub(crate) found: u64,
    /// Pieces that could not be decoded.
    pub(crate) errors: u64,
    /// Whether what came out is what went in, where the file has a digest of that.
    pub(crate) matches: bool,
}

/// So many mistakes one behind the other, and the rest of the file is given up.
const MOST_ERRORS: u64 = 1000;

impl<'s> Reader<'s> {
    /// Looks at the beginning of a recording and makes ready to decode it.
    ///
    /// # Errors
    /// Why it is not decoded.
    pub(crate) fn open(mut source: impl Read + Seek + Send + Sync + 's) -> Result<Self, Refusal> {
        let size = source.seek(SeekFrom::End(0)).map_err(Refusal::Unreadable)?;
        if size == 0 {
            return Err(Refusal::Empty);
        }
        let (kind, structure) = recognise(&mut source, size)?;
        let (at, length) = structure.bytes;
        source.seek(SeekFrom::Start(at)).map_err(Refusal::Unreadable)?;
        let bytes = Cursor::new(structure.header.clone()).chain(source.take(length));
        // A source that cannot be moved about in: no reader guesses a length from its end.
        let stream =
            MediaSourceStream::new(Box::new(ReadOnlySource::new(bytes)), Default::default());
        let broken = |error: Error| refused(kind, error);
        let format = format_reader(kind, stream).map_err(broken)?;
        let parameters = format
            .first_track(TrackType::Audio)
            .and_then(|track| track.codec_params.as_ref()?.audio())
            .ok_or_else(|| Refusal::Broken { kind, what: "holds no sound".to_owned() })?
            .clone();
        let mut options = AudioDecoderOptions::default();
        options.gapless = structure.trims;
        options.verify = kind == Kind::Flac;
        let decoder = decoder(kind, &parameters, &options).map_err(broken)?;
        let ended = Ended { until: 0, found: 0, errors: 0, matches: true };
        Ok(Self { kind, structure, format, decoder, spec: None, ended, in_a_row: 0 })
    }

    /// What it is.
    pub(crate) fn kind(&self) -> Kind {
        self.kind
    }

    /// What its container shows.
    pub(crate) fn structure(&self) -> &Structure {
        &self.structure
    }

    /// What was noticed so far; at the end, of all of it.
    pub(crate) fn ended(&mut self) -> Ended {
        let matches = self.decoder.finalize().verify_ok != Some(false);
        Ended { matches, ..self.ended.clone() }
    }

    /// Puts the next piece into `samples`, channels interleaved, and says what they are; `None` at
    /// the end. What they are is the same for all pieces.
    ///
    /// # Errors
    /// Why it is not decoded further. A piece that cannot be decoded is counted and left out.
    pub(crate) fn next(&mut self, samples: &mut Vec<f32>) -> Result<Option<&Spec>, Refusal> {
        loop {
            if self.in_a_row >= MOST_ERRORS {
                return Ok(None);
            }
            let packet = match self.format.next_packet() {
                Ok(Some(packet)) => packet,
                Ok(None) => return Ok(None),
                Err(Error::IoError(error)) if error.kind() == io::ErrorKind::UnexpectedEof => {
                    return Ok(None);
                }
                Err(Error::IoError(error)) => return Err(Refusal::Unreadable(error)),
                Err(Error::ResetRequired) => {
                    let what = "holds several recordings one behind the other".to_owned();
                    return Err(Refusal::Broken { kind: self.kind, what });
                }
                Err(_) => {
                    self.ended.errors += 1;
                    self.in_a_row += 1;
                    continue;
                }
            };
            let end = packet.pts.get().saturating_add_unsigned(packet.dur.get());
            self.ended.until = self.ended.until.max(u64::try_from(end).unwrap_or(0));
            self.ended.found += packet.data.len() as u64;
            let Ok(sound) = self.decoder.decode(&packet) else {
                self.ended.errors += 1;
                self.in_a_row += 1;
                continue;
            };
            self.in_a_row = 0;
            let now = sound.spec();
            let known = match &mut self.spec {
                Some(known) => known,
                None => self.spec.insert(spec(now.rate(), now.channels())?),
            };
            if now.rate() != known.rate.hertz() || now.channels().count() != known.channels.count()
            {
                // It changes its mind in the middle; no player goes along with that.
                self.ended.errors += 1;
                continue;
            }
            sound.copy_to_vec_interleaved(samples);
            return Ok(self.spec.as_ref());
        }
    }
}

fn spec(hertz: u32, channels: &Channels) -> Result<Spec, Refusal> {
    let rate = SampleRate::new(hertz).ok_or(Refusal::Rate(hertz))?;
    let count = channels.count();
    if count == 0 || count > Refusal::MOST_CHANNELS {
        return Err(Refusal::Channels(count));
    }
    Ok(Spec { rate, channels: channels.clone() })
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

fn format_reader(
    kind: Kind,
    stream: MediaSourceStream<'_>,
) -> Result<Box<dyn FormatReader + '_>, Error> {
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
