//! Why a file is not measured.

use std::io;

use crate::kind::Kind;

/// Why a file is not measured. [`Refusal::finding`] says it to people, with what to do.
#[derive(Debug)]
pub enum Refusal {
    /// It could not be read.
    Unreadable(io::Error),
    /// It has no content.
    Empty,
    /// It is sound of a kind that is not decoded; its name.
    Foreign(&'static str),
    /// It is no sound; what it seems to be.
    NotSound(&'static str),
    /// A WAV file whose samples are coded; the name of the coding.
    Coding(&'static str),
    /// Nothing of it can be decoded.
    Broken {
        /// The kind that its beginning shows.
        kind: Kind,
        /// What is wrong, in words that go on from "the file".
        what: String,
    },
    /// Its sound has no length.
    NoSound(Kind),
    /// A sampling rate outside what is measured, in hertz.
    Rate(u32),
    /// More channels than are measured.
    Channels(usize),
    /// It is longer than anything that is meant.
    TooLong,
}

impl Refusal {
    /// The most channels that are measured.
    pub const MOST_CHANNELS: usize = 24;
    /// The longest recording that is measured, in hours: longer than any flight, and short enough
    /// that a file made to waste time does not waste much.
    pub const MOST_HOURS: u64 = 4;
}
