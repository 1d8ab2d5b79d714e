//! What is said, played and shown, and how it is balanced.

use earth::{Dbtp, Decibels, Lufs, Millis};

use super::text::ByLanguage;
use super::zone::Side;
use crate::span::{Name, Spanned};

/// `narrations`: something said.
#[derive(Clone, Debug)]
pub struct Narration {
    /// What is said, and its recordings.
    pub told: Version,
    /// `short`: what is said instead where there is no room for that.
    pub short: Option<Spanned<Version>>,
    /// `pronunciation`: notes for whoever speaks it.
    pub pronunciation: Option<ByLanguage<String>>,
    /// `sight`: what it is about.
    pub sight: Option<Spanned<Name>>,
    /// `words per minute`; none for the tour's.
    pub words_per_minute: Option<Spanned<f64>>,
    /// `on radio`: what a busy radio does to it; none for what the tour says.
    pub on_radio: Option<OnRadio>,
    /// `longest pause`; none for the tour's.
    pub longest_pause: Option<Spanned<Millis>>,
    /// `on the ground`: plays only on the ground, there also in quiet zones.
    pub on_the_ground: bool,
    /// `again`: may be played more than once in a flight.
    pub again: bool,
    /// `side`: on which side of the aircraft what it speaks of is meant to be while it is told.
    pub side: Option<Spanned<Side>>,
}

/// A version of a narration, long or short: its words and its recordings.
#[derive(Clone, Debug)]
pub struct Version {
    /// `text`.
    pub text: ByLanguage<String>,
    /// `audio`: the paths of the recordings, as a [`crate::World`] knows them.
    pub audio: Option<ByLanguage<String>>,
    /// `length`; none to take it from the recording, or to reckon it from the text.
    pub length: Option<ByLanguage<Millis>>,
    /// `sync word`.
    pub sync_word: Option<ByLanguage<SyncWord>>,
}

/// A word that belongs on a moment of the picture, written `arch at 6.4 s`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyncWord {
    /// The word, as it stands in the text.
    pub word: String,
    /// Its time in the recording.
    pub at: Millis,
}

/// What becomes of the narration that plays when the radio is busy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OnRadio {
    /// It plays on, softer.
    Ducked,
    /// It stops and goes on from there.
    Paused,
    /// It is cut off.
    Dropped,
}

/// `music`: a piece.
#[derive(Clone, Debug)]
pub struct Music {
    /// `title` of the piece.
    pub title: Option<Spanned<String>>,
    /// `composer`.
    pub composer: Option<Spanned<String>>,
    /// `publisher`.
    pub publisher: Option<Spanned<String>>,
    /// `audio`: the path of its recording, as a [`crate::World`] knows it.
    pub audio: Option<Spanned<String>>,
    /// `loop`: which part of it is played over and over; none to play it once.
    pub repeat: Option<Spanned<Repeat>>,
    /// `level`: how loud it is; none for what the mix says.
    pub level: Option<Spanned<Lufs>>,
    /// `licence` to play it.
    pub licence: Option<Spanned<Licence>>,
}

/// `loop`: the part of a piece that is played over and over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeat {
    /// `from`: where it goes back to.
    pub from: Millis,
    /// `to`: where it goes back; later than `from`.
    pub to: Millis,
    /// `crossfade` from its end into its beginning; at most half of it.
    pub crossfade: Millis,
}

/// `licence` to play a piece.
#[derive(Clone, Debug)]
pub struct Licence {
    /// `reference`: its number or name.
    pub reference: Option<Spanned<String>>,
    /// `until`: its last day, as `YYYY-MM-DD`; none where it has none.
    pub until: Option<Spanned<String>>,
}

/// `titles`: text on the picture.
#[derive(Clone, Debug)]
pub struct Title {
    /// `text`.
    pub text: ByLanguage<String>,
}

/// `mix`: how voice and music are balanced.
///
/// [`Mix::default`] is what holds where nothing is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mix {
    /// `narration`: how loud each narration is. -18 LUFS.
    pub narration: Lufs,
    /// `peak`: above which no peak goes. -3 dBTP.
    pub peak: Dbtp,
    /// `music`: how loud a piece is where nothing is said. -26 LUFS (common practice, no source).
    pub music: Lufs,
    /// `duck`: by how much music is lower while something is said. 12 dB.
    pub duck: Decibels,
    /// `attack`: how long music takes to go down. 0.3 s.
    pub attack: Millis,
    /// `release`: how long it takes to come up again. 1.5 s.
    pub release: Millis,
    /// `fade`: how long music takes to begin and to end. 1.5 s.
    pub fade: Millis,
    /// `crossfade`: how long one piece takes to give way to another. 3 s.
    pub crossfade: Millis,
    /// `radio`: what a busy radio does to music. Ducked.
    pub radio: MusicOnRadio,
}

impl Default for Mix {
    fn default() -> Self {
        Self {
            narration: Lufs::of(-18.0),
            peak: Dbtp::of(-3.0),
            music: Lufs::of(-26.0),
            duck: Decibels::of(12.0),
            attack: Millis(300),
            release: Millis(1500),
            fade: Millis(1500),
            crossfade: Millis(3000),
            radio: MusicOnRadio::Ducked,
        }
    }
}

/// What becomes of music when the radio is busy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MusicOnRadio {
    /// It plays on, softer.
    Ducked,
    /// It fades out, and goes on from there when the line is clear.
    Paused,
}
