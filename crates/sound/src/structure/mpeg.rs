//! The frames of an MP3 file, walked from header to header.
//!
//! An MP3 has no header of its own: its length is that of its frames. A first frame that holds a
//! table (by the words `Xing`, `Info` or `VBRI`) instead of sound may give their number, and may be
//! wrong.
//!
//! # References
//! ISO/IEC 11172-3, 2.4.1.3 and 2.4.2.3, and 13818-3, 2.4.2.3, for the header of a frame; the
//! informal description of ID3v2, id3.org, for the tag before them; the places of the tables are
//! common knowledge of decoders, without a standard.

use std::io::{BufReader, Read, Seek, SeekFrom};

use super::{Broken, End, Structure, read_at};
use crate::kind::{Kind, Sniffed};
use crate::measure::Coding;

/// Kilobits a second of layer III, by index; of MPEG 1, and of MPEG 2 and 2.5.
const BIT_RATES: [[u16; 14]; 2] = [
    [32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
    [8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
];
/// Hertz of MPEG 1, by index. MPEG 2 has half of that, 2.5 a quarter.
const SAMPLE_RATES: [u32; 3] = [44_100, 48_000, 32_000];

/// The header of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Header {
    rate: u32,
    /// MPEG 1 has two granules of 576 samples in a frame, the others one.
    first: bool,
    mono: bool,
    /// Bytes of the frame, its header among them.
    length: u32,
}

impl Header {
    fn read(bytes: &[u8]) -> Option<Self> {
        let [sync, b1, b2, b3] = *bytes.first_chunk::<4>()?;
        if sync != 0xFF || b1 & 0xE0 != 0xE0 || layer(b1) != LAYER_III {
            return None;
        }
        let (first, divide) = match b1 >> 3 & 3 {
            3 => (true, 1),
            2 => (false, 2),
            0 => (false, 4),
            _ => return None,
        };
        // Index 0 leaves the rate open, 15 is forbidden.
        let index = usize::from(b2 >> 4).checked_sub(1)?;
        let kilobits = u32::from(*BIT_RATES[usize::from(!first)].get(index)?);
        let rate = SAMPLE_RATES.get(usize::from(b2 >> 2 & 3))? / divide;
        let padding = u32::from(b2 >> 1 & 1);
        let factor = if first { 144_000 } else { 72_000 };
        let mono = b3 >> 6 == 3;
        Some(Self { rate, first, mono, length: factor * kilobits / rate + padding })
    }

    fn frames(self) -> u64 {
        if self.first { 1152 } else { 576 }
    }

    /// Whether one stream can have both: the rate of bits and the padding may change from frame to
    /// frame, and joint stereo may come and go.
    fn goes_with(self, other: Self) -> bool {
        (self.rate, self.first, self.mono) == (other.rate, other.first, other.mono)
    }
}

const LAYER_III: u8 = 1;

fn layer(second_byte: u8) -> u8 {
    second_byte >> 1 & 3
}

/// Whether this is MPEG audio, behind an ID3 tag or not. `head` begins with the file, or behind the
/// tag where [`tag_length`] has found one.
pub(crate) fn sniff(head: &[u8]) -> Option<Sniffed> {
    if let Some(start) = first_frame(head) {
        return Some(Sniffed::Known { kind: Kind::Mp3, start });
    }
    let second = *head.get(1)?;
    if head.first() != Some(&0xFF) || second & 0xE0 != 0xE0 {
        return None;
    }
    match layer(second) {
        // Layer nought under twelve bits of sync is the header of an AAC frame (ADTS).
        0 if second & 0xF0 == 0xF0 => Some(Sniffed::Foreign("an AAC recording")),
        2 if is_older_layer(head) => Some(Sniffed::Foreign("an MPEG layer II recording")),
        _ => None,
    }
}

/// Two bytes of sync alone are too little to go by: what follows has to be possible too.
fn is_older_layer(head: &[u8]) -> bool {
    head.get(2).is_some_and(|byte| (1..15).contains(&(byte >> 4)) && byte >> 2 & 3 != 3)
}

/// Where the first frame begins, whose next one is there too or would be past the end.
fn first_frame(head: &[u8]) -> Option<u64> {
    let found = (0..head.len().saturating_sub(3)).find(|at| {
        let Some(header) = Header::read(&head[*at..]) else { return false };
        match head.get(*at + header.length as usize..) {
            // Nothing but this one frame counts only where the file begins with it.
            None | Some([]) => *at == 0,
            Some(next) => Header::read(next).is_some_and(|next| next.goes_with(header)),
        }
    })?;
    u64::try_from(found).ok()
}

/// How long the ID3 tag is with which `head` begins; nought for none.
pub(crate) fn tag_length(head: &[u8]) -> u64 {
    match head.first_chunk::<10>() {
        Some([b'I', b'D', b'3', major, _, flags, a, b, c, d]) if *major < 0xFF => {
            let seven = |byte: &u8| u64::from(byte & 0x7F);
            let length = seven(a) << 21 | seven(b) << 14 | seven(c) << 7 | seven(d);
            // A footer repeats the header.
            length + if flags & 0x10 != 0 { 20 } else { 10 }
        }
        _ => 0,
    }
}

/// Walks the frames from `start` on.
pub(crate) fn look(
    source: &mut (impl Read + Seek),
    start: u64,
    size: u64,
) -> Result<Structure, Broken> {
    let first = read_at(source, start, 4096)?;
    let header = Header::read(&first).ok_or(Broken::Header("has no frame where one was"))?;
    let table = Table::read(&first, header);
    let walked = walk(source, start, size, header)?;
    // The frame with the table holds no sound.
    let frames = walked.frames - u64::from(table.is_some()).min(walked.frames);
    let counted = table.as_ref().and_then(|table| table.frames);
    // Some encoders count the frame with the table, some do not.
    let short = counted.is_some_and(|counted| frames + 1 < counted);
    // A table that promises too little would have the rest left out as padding.
    let trims = counted.is_some_and(|counted| frames <= counted + 1);
    let padding = table.as_ref().map_or(0, |table| table.padding);
    let stated = counted.map(|counted| (counted * header.frames()).saturating_sub(padding));
    let end = if short || walked.cut_off { End::CutOff } else { End::Reached };
    Ok(Structure {
        coding: Coding::Lossy,
        stated,
        end,
        bytes: (start, walked.until - start),
        header: Vec::new(),
        pieces: None,
        trims,
    })
}

struct Walked {
    frames: u64,
    /// Where the last whole frame ends.
    until: u64,
    /// The last frame is there in part only.
    cut_off: bool,
}

fn walk(
    source: &mut (impl Read + Seek),
    start: u64,
    size: u64,
    like: Header,
) -> Result<Walked, Broken> {
    source.seek(SeekFrom::Start(start))?;
    let mut reader = BufReader::with_capacity(1 << 16, source);
    let mut walked = Walked { frames: 0, until: start, cut_off: false };
    let mut at = start;
    let mut window = [0_u8; 4];
    loop {
        if !fill(&mut reader, &mut window)? {
            return Ok(walked);
        }
        at += 4;
        // What lies between frames is passed byte by byte.
        let header = loop {
            match Header::read(&window).filter(|header| header.goes_with(like)) {
                Some(header) => break header,
                None if is_trailer(&window) => return Ok(walked),
                None => {}
            }
            let mut byte = [0];
            if !fill(&mut reader, &mut byte)? {
                return Ok(walked);
            }
            window.rotate_left(1);
            window[3] = byte[0];
            at += 1;
        };
        let rest = u64::from(header.length).saturating_sub(4);
        if at + rest > size {
            // Only where it follows on the frame before is this a frame and not chance.
            walked.cut_off = at - 4 == walked.until;
            return Ok(walked);
        }
        reader.seek_relative(i64::try_from(rest).unwrap_or(i64::MAX))?;
        at += rest;
        walked.frames += 1;
        walked.until = at;
    }
}

/// Tags that are put behind the last frame.
fn is_trailer(window: &[u8; 4]) -> bool {
    window.starts_with(b"TAG") || window == b"APET" || window == b"LYRI"
}

/// Fills all of `bytes`; false at the end of the file.
fn fill(reader: &mut impl Read, bytes: &mut [u8]) -> Result<bool, Broken> {
    match reader.read_exact(bytes) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error.into()),
    }
}

/// A first frame that holds a table instead of sound.
struct Table {
    /// How many frames it says there are.
    frames: Option<u64>,
    /// Samples that the encoder put before and behind the sound.
    padding: u64,
}

impl Table {
    fn read(frame: &[u8], header: Header) -> Option<Self> {
        let frame = frame.get(..header.length as usize)?;
        let number = |at: usize| match frame.get(at..at + 4) {
            Some([a, b, c, d]) => Some(u64::from(u32::from_be_bytes([*a, *b, *c, *d]))),
            _ => None,
        };
        // It stands where the side information of a silent frame ends.
        let side = match (header.first, header.mono) {
            (true, false) => 32,
            (true, true) | (false, false) => 17,
            (false, true) => 9,
        };
        let at = 4 + side;
        let mark = frame.get(at..at + 4)?;
        if mark == b"Xing" || mark == b"Info" {
            let flags = number(at + 4)?;
            let frames = if flags & 1 != 0 { number(at + 8) } else { None };
            let lengths = [(1, 4), (2, 4), (4, 100), (8, 4)];
            let before = lengths.iter().filter(|(flag, _)| flags & flag != 0);
            let encoder = at + 8 + before.map(|(_, length)| length).sum::<usize>();
            // The name of the encoder, then at byte 21 twice twelve bits of padding.
            let padding = match frame.get(encoder + 21..encoder + 24) {
                Some([a, b, c]) if frame[encoder].is_ascii_alphabetic() => {
                    let front = u64::from(*a) << 4 | u64::from(b >> 4);
                    front + (u64::from(b & 15) << 8 | u64::from(*c))
                }
                _ => 0,
            };
            return Some(Self { frames, padding });
        }
        if frame.get(36..40) == Some(b"VBRI") {
            return Some(Self { frames: number(36 + 14), padding: 0 });
        }
        None
    }
}
