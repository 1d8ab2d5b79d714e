//! The container of a recording, looked at without decoding: what its header says, where the sound
//! lies, and whether the file reaches its own end.

pub(crate) mod flac;
pub(crate) mod mpeg;
pub(crate) mod ogg;
pub(crate) mod wav;

use std::io::{self, Read, Seek, SeekFrom};

use crate::measure::Coding;

/// What the container shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Structure {
    /// How samples are kept.
    pub(crate) coding: Coding,
    /// How many frames the header promises, where it does.
    pub(crate) stated: Option<u64>,
    /// Whether the file reaches its end.
    pub(crate) end: End,
    /// Where the decoder begins to read, and how many bytes it is given.
    pub(crate) bytes: (u64, u64),
    /// What the decoder reads before them: a header made from what was found.
    pub(crate) header: Vec<u8>,
    /// How many bytes of pieces there are for the decoder to find, where nothing else says whether
    /// it has found them all.
    pub(crate) pieces: Option<u64>,
    /// Whether the encoder's own padding is left out, as the header says; not where that header is
    /// wrong about the length.
    pub(crate) trims: bool,
}

/// How a container ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    /// Where it should, or the container does not say where that is.
    Reached,
    /// Too early.
    CutOff,
    /// The header was never completed: the recorder stopped without closing the file.
    NeverClosed,
}

/// Why a container cannot be used.
#[derive(Debug)]
pub(crate) enum Broken {
    /// Reading failed.
    Io(io::Error),
    /// It contradicts itself, or ends before there is anything to decode; in words that go on from
    /// "the file".
    Header(&'static str),
    /// WAV with another coding than plain samples; its name.
    Coding(&'static str),
}

impl From<io::Error> for Broken {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

/// Reads up to `most` bytes from `at`; fewer only at the end of the file.
pub(crate) fn read_at(source: &mut (impl Read + Seek), at: u64, most: u64) -> io::Result<Vec<u8>> {
    source.seek(SeekFrom::Start(at))?;
    let mut bytes = Vec::new();
    source.by_ref().take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A number of two bytes, the low one first; nought where there are no two.
fn low_first_u16(bytes: &[u8], at: usize) -> u16 {
    match bytes.get(at..at + 2) {
        Some([low, high]) => u16::from_le_bytes([*low, *high]),
        _ => 0,
    }
}

/// A number of four bytes, the low one first; nought where there are no four.
fn low_first_u32(bytes: &[u8], at: usize) -> u32 {
    match bytes.get(at..at + 4) {
        Some([a, b, c, d]) => u32::from_le_bytes([*a, *b, *c, *d]),
        _ => 0,
    }
}
