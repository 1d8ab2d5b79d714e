//! What is said, played and shown, and how it is balanced.

use earth::{Dbtp, Decibels, Lufs, Millis};
use serde::{Deserialize, Serialize};

use super::{NarrationId, OnRadio, PlaceId, Source};

/// A narration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Narration {
    /// Its name.
    pub name: String,
    /// What is said in each of the plan's languages, in their order.
    pub voices: Vec<Voice>,
    /// How long it lasts: as long as the longest of its voices.
    pub length: Millis,
    /// Whether it may be played more than once a flight.
    pub again: bool,
    /// Whether it is for the ground: played only there, there also in quiet zones.
    pub on_ground: bool,
    /// What busy radio does to it, if it says.
    pub on_radio: Option<OnRadio>,
    /// How long it may be paused, if it says.
    pub longest_pause: Option<Millis>,
    /// What it is about, if it says.
    pub sight: Option<PlaceId>,
    /// What is told instead where there is no room for it: a narration without a short version of
    /// its own, named `NAME (short)`.
    pub short: Option<NarrationId>,
    /// Where the author wrote it.
    pub source: Source,
}

impl Narration {
    /// A narration of which nothing more is said; there is a voice for each language of the plan.
    #[must_use]
    pub fn new(name: &str, voices: Vec<Voice>, source: Source) -> Self {
        Self {
            name: name.to_owned(),
            length: voices.iter().map(|voice| voice.length).max().unwrap_or_default(),
            voices,
            again: false,
            on_ground: false,
            on_radio: None,
            longest_pause: None,
            sight: None,
            short: None,
            source,
        }
    }

    /// What is said in the first of the plan's languages.
    #[must_use]
    pub fn text(&self) -> &str {
        self.voices.first().map_or("", |voice| &voice.text)
    }

    /// Whether its length is an estimate: that of the voice which lasts longest is.
    #[must_use]
    pub fn estimated(&self) -> bool {
        let longest = self.voices.iter().filter(|voice| voice.length == self.length);
        longest.into_iter().all(|voice| voice.estimated)
    }
}

/// What is said of a narration in one language.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Voice {
    /// The language of the words: another than the plan's where the author has it fall back.
    pub language: String,
    /// The words.
    pub text: String,
    /// How long they last.
    pub length: Millis,
    /// Whether the length is an estimate from the text.
    pub estimated: bool,
    /// The recording, where there is one.
    pub audio: Option<Audio>,
    /// A word that belongs on a moment of the picture.
    pub sync_word: Option<SyncWord>,
}

impl Voice {
    /// Words that nobody has recorded yet, with the time that they are reckoned to take.
    #[must_use]
    pub fn unrecorded(language: &str, text: &str, length: Millis) -> Self {
        let (language, text) = (language.to_owned(), text.to_owned());
        Self { language, text, length, estimated: true, audio: None, sync_word: None }
    }
}

/// A recording.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Audio {
    /// Its file, as seen from the tour's folder.
    pub file: String,
    /// The digest of its bytes: BLAKE3, 64 hexadecimal digits in lower case.
    pub content: String,
}

/// A word with its time in a recording.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SyncWord {
    /// The word.
    pub word: String,
    /// When it is said, from the beginning of the narration.
    pub at: Millis,
}

/// A piece of music.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Music {
    /// Its name.
    pub name: String,
    /// Its title for people; the same as `name` where the author gave none.
    pub title: String,
    /// Who wrote it.
    pub composer: Option<String>,
    /// Who publishes it.
    pub publisher: Option<String>,
    /// The recording, where there is one.
    pub audio: Option<Audio>,
    /// How long the recording lasts; none without one.
    pub length: Option<Millis>,
    /// Which part of it is played over and over; none: it is played once.
    pub repeat: Option<Repeat>,
    /// How loud it is where nothing is said; none: as the mix says.
    pub level: Option<Lufs>,
    /// The right to play it.
    pub licence: Option<Licence>,
}

impl Music {
    /// A piece of which only its name is known.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            title: name.to_owned(),
            composer: None,
            publisher: None,
            audio: None,
            length: None,
            repeat: None,
            level: None,
            licence: None,
        }
    }
}

/// The part of a piece that is played over and over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Repeat {
    /// Where it goes back to.
    pub from: Millis,
    /// Where it goes back.
    pub to: Millis,
    /// How long its end and its beginning sound together.
    pub crossfade: Millis,
}

/// The right to play a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Licence {
    /// Its number or name.
    pub reference: Option<String>,
    /// Its last day, `YYYY-MM-DD`; none where it has none.
    pub until: Option<String>,
}

/// A title: text on the picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Title {
    /// Its name.
    pub name: String,
    /// What it shows, in the first of the plan's languages.
    pub text: String,
}

/// How voice and music are balanced.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mix {
    /// How loud each narration is.
    pub narration: Lufs,
    /// Above which no peak goes.
    pub peak: Dbtp,
    /// How loud music is where nothing is said.
    pub music: Lufs,
    /// By how much music is lower while something is said.
    pub duck: Decibels,
    /// How long music takes to go down.
    pub attack: Millis,
    /// How long it takes to come up again.
    pub release: Millis,
    /// How long music takes to begin and to end, at a quiet zone too.
    pub fade: Millis,
    /// How long one piece takes to give way to another.
    pub crossfade: Millis,
    /// What busy radio does to music.
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

/// What busy radio or intercom does to music.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MusicOnRadio {
    /// It plays on, quieter.
    Ducked,
    /// It fades out, and goes on from there when the line is clear.
    Paused,
}
