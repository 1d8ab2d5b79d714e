//! The chunks of a WAV file.
//!
//! # References
//! Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0 (1991), chapters
//! 2 and 3, for RIFF and the `fmt ` chunk; for the extensible form, Microsoft, Multiple Channel
//! Audio Data and WAVE Files.

use std::io::{Read, Seek};

use super::{Broken, End, Structure, low_first_u16, low_first_u32, read_at};
use crate::measure::Coding;

/// A length that a writer leaves who cannot come back to the header.
const NOT_KNOWN: u32 = u32::MAX;

/// The most chunks before the sound; more are no recorder's doing.
const MOST_CHUNKS: usize = 1000;

pub(super) const WHOLE_NUMBERS: u16 = 1;
pub(super) const FLOATING_POINT: u16 = 3;
const EXTENSIBLE: u16 = 0xFFFE;

/// Walks the chunks up to the sound.
pub(crate) fn look(source: &mut (impl Read + Seek), size: u64) -> Result<Structure, Broken> {
    let riff_length = low_first_u32(&read_at(source, 0, 12)?, 4);
    let mut at = 12_u64;
    let mut format = None;
    for _ in 0..MOST_CHUNKS {
        let head = read_at(source, at, 8)?;
        if head.len() < 8 {
            break;
        }
        let length = low_first_u32(&head, 4);
        let content = at + 8;
        if head.starts_with(b"fmt ") {
            format = Some(Format::read(&read_at(source, content, u64::from(length.min(40)))?)?);
        }
        if head.starts_with(b"data") {
            let format = format.ok_or(Broken::Header("has no format before its sound"))?;
            return sound(&format, riff_length, content, length, size);
        }
        // Chunks begin at even places.
        at = content + u64::from(length) + u64::from(length % 2);
    }
    Err(Broken::Header("ends before its sound begins"))
}

/// What the `data` chunk promises against what is there.
fn sound(
    format: &Format,
    riff_length: u32,
    content: u64,
    length: u32,
    size: u64,
) -> Result<Structure, Broken> {
    let there = size.saturating_sub(content);
    let frame = u64::from(format.frame_bytes);
    // A header as it was begun: no length yet, nor one of the whole that reaches past this chunk.
    let begun = length == 0 && u64::from(riff_length) + 8 <= content && there >= frame;
    let (stated, promised, end) = if begun {
        (None, there, End::NeverClosed)
    } else if length == NOT_KNOWN {
        (None, there, End::Reached)
    } else {
        let promised = u64::from(length);
        let end = if promised > there { End::CutOff } else { End::Reached };
        (Some(promised / frame), promised, end)
    };
    // The decoder's own header counts in 32 bits; what is longer is refused as too long anyway.
    let bytes = promised.min(there).min(u64::from(NOT_KNOWN - 128)) / frame * frame;
    Ok(Structure {
        coding: format.coding,
        stated,
        end,
        bytes: (content, bytes),
        header: format.header(bytes),
        pieces: None,
        trims: false,
    })
}

/// The `fmt ` chunk.
struct Format {
    /// Its bytes, for the decoder.
    bytes: Vec<u8>,
    coding: Coding,
    /// Bytes of one frame.
    frame_bytes: u16,
}

impl Format {
    fn read(bytes: &[u8]) -> Result<Self, Broken> {
        if bytes.len() < 16 {
            return Err(Broken::Header("has a format that is cut short"));
        }
        let named = low_first_u16(bytes, 0);
        // The extensible form keeps the coding at the front of its sub-format.
        let tag = if named == EXTENSIBLE { low_first_u16(bytes, 24) } else { named };
        let channels = low_first_u16(bytes, 2);
        let frame_bytes = low_first_u16(bytes, 12);
        let bits = low_first_u16(bytes, 14);
        let coding = match (tag, bits) {
            (WHOLE_NUMBERS, 8 | 16 | 24 | 32) => Coding::Whole { bits },
            (FLOATING_POINT, 32 | 64) => Coding::Float { bits },
            (WHOLE_NUMBERS | FLOATING_POINT, _) => {
                return Err(Broken::Coding("samples of an unusual width"));
            }
            (tag, _) => return Err(Broken::Coding(coding_name(tag))),
        };
        if channels == 0 {
            return Err(Broken::Header("says that it has no channels"));
        }
        if u32::from(frame_bytes) != u32::from(channels) * u32::from(bits / 8) {
            return Err(Broken::Header(
                "contradicts itself: channels and width of a sample do not make its frame",
            ));
        }
        Ok(Self { bytes: bytes.to_vec(), coding, frame_bytes })
    }

    /// The header of a plain WAV file with so many bytes of sound.
    fn header(&self, bytes: u64) -> Vec<u8> {
        let short = |length: u64| u32::try_from(length).unwrap_or(NOT_KNOWN).to_le_bytes();
        let format_bytes = self.bytes.len() as u64;
        let mut header = b"RIFF".to_vec();
        header.extend(short(4 + 8 + format_bytes + 8 + bytes));
        header.extend(b"WAVEfmt ");
        header.extend(short(format_bytes));
        header.extend(&self.bytes);
        header.extend(b"data");
        header.extend(short(bytes));
        header
    }
}

/// Codings that are met inside WAV files, from the registry of wave formats (RFC 2361).
fn coding_name(tag: u16) -> &'static str {
    match tag {
        0x0002 | 0x0011 => "ADPCM",
        0x0006 => "A-law",
        0x0007 => "mu-law",
        0x0031 => "GSM 6.10",
        0x0050 | 0x0055 => "MPEG audio",
        _ => "a coding that is not plain samples",
    }
}
