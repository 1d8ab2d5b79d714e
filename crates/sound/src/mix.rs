//! What is heard: narration and music brought to their levels and mixed to two channels, a block at
//! a time.
//!
//! This module knows nothing of plans. It is given a [`Score`]: which source sounds when. It renders
//! 48 kHz stereo, and its memory does not grow with the length of the score. Sources are opened by
//! whoever asks, and none is changed.
//!
//! First every source is measured as it will be heard ([`prepare`]): resampled, and one of a single
//! channel on both sides, where it is 3 LU louder than that channel alone. From that come the gains;
//! where a plain gain would take a voice's true peak above the limit, a limiter that looks ahead
//! takes down the peaks, and the gain makes up for what that costs. Then [`Mixer`] renders.
//!
//! # Which way levels move, and why
//! - Ducking moves evenly in decibels, the whole depth in the attack and in the release: that is how
//!   a hand on a fader does it, and to the ear it is even. Turned round half way, it goes on from
//!   where it is.
//! - Music fades in and out as a quarter of a sine. Two pieces that have nothing to do with each
//!   other then keep their power in a crossfade, and a fade is half of a crossfade: it ends in
//!   silence, which a fade in decibels never does.
//! - A loop is crossfaded with itself, which is more or less the same sound. How alike the two ends
//!   are is measured, and the sum is kept at their level for whatever that is: a sample-exact loop
//!   is not louder at its seam, and a free one not softer.
//! - A voice that is cut off or paused goes within [`CUT`]: short enough to be a cut, long enough
//!   not to click. One that goes on after a pause comes back over the same time.
//!
//! All of this is common practice, no source; the loudness is ITU-R BS.1770-4's.
//!
//! The resampler and the meters use the processor's vector units, so that a sample may differ in its
//! last bit from one kind of processor to another; nothing is planned from what comes out here.

mod fader;
mod limiter;
mod meter;
mod mixer;
mod play;
mod prepare;
mod stream;
mod wav;

use std::io::{self, Read, Seek};

use earth::{Dbtp, Decibels, Lufs, Millis};

use crate::refusal::Refusal;

use fader::{Fader, Gain, Law};

pub use mixer::{Heard, Mixer};
pub use prepare::{Brought, Prepared, prepare};
pub use wav::{Bits, NotWritten, WavFile};

/// How many frames make a second of what is rendered.
pub const RATE: u32 = 48_000;

/// A sample for the left and one for the right; 1 is full scale.
pub type Frame = [f32; 2];

/// Over this time a voice that is cut off or paused goes, and comes back after a pause.
pub const CUT: Millis = Millis(50);

/// What a source is read from.
pub trait Source: Read + Seek + Send + Sync {}

impl<T: Read + Seek + Send + Sync> Source for T {}

/// Opens a source by its number, from its beginning; may be asked for the same one several times.
pub trait Open: FnMut(usize) -> io::Result<Box<dyn Source>> {}

impl<T: FnMut(usize) -> io::Result<Box<dyn Source>>> Open for T {}

/// All that sounds, and when. Times count from the beginning; one below nought is taken for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// How long it is; what sounds longer is cut there.
    pub length: Millis,
    /// What is said.
    pub voices: Vec<Voice>,
    /// The music.
    pub beds: Vec<Bed>,
    /// When music is lower.
    pub ducking: Ducking,
    /// The highest true peak of a voice and of the whole.
    pub peak: Dbtp,
    /// Whether left and right are two listeners' (two languages, each with the music) and not two
    /// ears. Then a voice with several channels, and all music, is mixed to one.
    pub apart: bool,
}

/// Something said.
#[derive(Clone, Debug, PartialEq)]
pub struct Voice {
    /// The number of its source.
    pub source: usize,
    /// What it is brought to.
    pub level: Level,
    /// Who hears it.
    pub side: Side,
    /// What plays of it, in the order of time; a pause makes two of one.
    pub stretches: Vec<Stretch>,
    /// When it is lower, as music is: by the depth, attack and release of the ducking.
    pub ducked: Vec<Span>,
}

/// A stretch of a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// When it begins.
    pub at: Millis,
    /// From where in the source.
    pub from: Millis,
    /// How long it plays. What the source has behind it fades within [`CUT`].
    pub length: Millis,
}

/// Who hears a voice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Everybody.
    Both,
    /// Whoever listens to the left channel. The level is that of a channel played on both ears, so
    /// that it is as loud as [`Side::Both`].
    Left,
    /// The same for the right channel.
    Right,
}

/// What a source is brought to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Level {
    /// Changed by so much.
    Gain(Decibels),
    /// To an integrated loudness of its whole length.
    Loudness(Lufs),
}

/// A piece of music.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// The number of its source.
    pub source: usize,
    /// What it is brought to, on its own.
    pub level: Level,
    /// When it begins, at the source's beginning.
    pub at: Millis,
    /// When it begins to go.
    pub until: Millis,
    /// How long it comes in, from `at`.
    pub fade_in: Millis,
    /// How long it goes out, from `until`. A crossfade is one piece that goes out while the next
    /// comes in.
    pub fade_out: Millis,
    /// What is repeated; without it the source plays once.
    pub repeat: Option<Repeat>,
    /// When it is stopped, to go on from there; it goes and comes back by the attack and release of
    /// the ducking.
    pub pauses: Vec<Span>,
}

/// What of a piece of music is repeated.
///
/// `from` and `to` are the same place in the music: whenever `to` is reached it goes on from `from`,
/// so that a beat stays a beat. The crossfade lies before those places, the piece before `to` going
/// and the piece before `from` coming. Where there is too little before `from`, the rest lies behind
/// the places, as far as the source goes; and it is never shorter than five milliseconds, nor longer
/// than what is repeated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeat {
    /// Where it goes on.
    pub from: Millis,
    /// From where it goes back; the source's end, where that is earlier.
    pub to: Millis,
    /// How long both sound.
    pub crossfade: Millis,
}

/// From when until when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// From then.
    pub from: Millis,
    /// Until then.
    pub until: Millis,
}

/// When music is lower, and by how much and how fast music and voices are.
#[derive(Clone, Debug, PartialEq)]
pub struct Ducking {
    /// By how much; what is below nought is nought.
    pub depth: Decibels,
    /// How long it takes all the way down, from the beginning of a span.
    pub attack: Millis,
    /// How long it takes all the way up, from the end of a span.
    pub release: Millis,
    /// When music is lower. They may overlap, and come in any order.
    pub spans: Vec<Span>,
}

impl Ducking {
    /// What is lower in these spans.
    fn gain(&self, spans: &[Span]) -> Gain {
        let law = Law::Decibels(self.depth.get().max(0.0));
        Gain::new(Fader::closed_in(spans, self.attack, self.release), law)
    }
}

/// A source that cannot be played.
#[derive(Debug)]
pub struct Failed {
    /// Its number.
    pub source: usize,
    /// Why.
    pub refusal: Refusal,
}

/// Frames in a time; none in one below nought.
fn frames(time: Millis) -> u64 {
    u64::try_from(time.0).unwrap_or(0).saturating_mul(u64::from(RATE) / 1000)
}

/// An amplitude from decibels.
fn amplitude(decibels: f64) -> f64 {
    libm::pow(10.0, decibels / 20.0)
}

/// Decibels of an amplitude.
fn decibels(amplitude: f64) -> f64 {
    20.0 * libm::log10(amplitude)
}
