//! What is said, played and shown, and how it is balanced.

use crate::bounds;
use crate::decode::{Keys, Mapping, Reader, Reads, of};
use crate::lists::by_language;
use crate::model::{
    Licence, Mix, Music, MusicOnRadio, Narration, OnRadio, Repeat, Side, SyncWord, Title, Version,
};
use crate::shape::{Shape, Shapes};
use crate::span::Span;
use crate::units::{NUMBER_PATTERN, Quantity};
use crate::values::{
    Day, Flag, NameText, Text, amount_of, decibels, loudness, millis, number, pattern, peak,
    shortened, word,
};
use crate::yaml::Node;

/// What a busy radio does to a narration.
pub(super) const ON_RADIO: &[(&str, OnRadio)] =
    &[("ducked", OnRadio::Ducked), ("paused", OnRadio::Paused), ("dropped", OnRadio::Dropped)];

impl Mapping for Narration {
    const NAME: &'static str = "narration";
    const ABOUT: &'static str = "Something said. It is played once in a flight.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let told = version(keys);
        let short = keys.opt(
            "short",
            "what is said instead where there is no room for the whole when it starts",
            of::<Version>(),
        );
        let pronunciation = keys.opt(
            "pronunciation",
            "notes for whoever speaks it: how names are said",
            by_language(Text),
        );
        let sight = keys.opt(
            "sight",
            "what it is about; where it is not written, the sight of its rule's `before abeam`, or \
             of its `look at`",
            NameText,
        );
        let words_per_minute = keys.opt(
            "words per minute",
            "the pace of this one; where it is not written, that of the `defaults`",
            number(bounds::WORDS_PER_MINUTE),
        );
        let on_radio = keys.opt(
            "on radio",
            "what a busy radio does to it: it plays on softer, stops and goes on, or is cut off; \
             where it is not written, as the `defaults` say",
            word(ON_RADIO),
        );
        let longest_pause = keys.opt(
            "longest pause",
            "after which it is cut off; where it is not written, that of the `defaults`",
            millis(bounds::LONGEST_PAUSE),
        );
        let on_the_ground = keys.or(
            "on the ground",
            "false",
            "whether it plays on the ground, and only there; there also in quiet zones",
            Flag,
        );
        let again =
            keys.or("again", "false", "whether it may be played more than once a flight", Flag);
        let side = keys.opt(
            "side",
            "on which side of the aircraft what it speaks of is meant to be while it is told; \
             checked on the planned flight in place of the words of its text",
            word(&[("left", Side::Left), ("right", Side::Right)]),
        );
        Some(Self {
            told: told?,
            short,
            pronunciation: pronunciation.map(|notes| notes.value),
            sight,
            words_per_minute,
            on_radio: on_radio.map(|on_radio| on_radio.value),
            longest_pause,
            on_the_ground: on_the_ground.unwrap_or_default(),
            again: again.unwrap_or_default(),
            side,
        })
    }
}

impl Mapping for Version {
    const NAME: &'static str = "short version";
    const ABOUT: &'static str = "A narration in fewer words, with a recording of its own.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        version(keys)
    }
}

fn version(keys: &mut Keys<'_, '_>) -> Option<Version> {
    let text = keys.req("text", "what is said", by_language(Text));
    let audio = keys.opt(
        "audio",
        "its recording, relative to this file: WAV, FLAC, MP3 or Ogg Vorbis",
        by_language(Text),
    );
    let length = keys.opt(
        "length",
        "how long it takes; where it is not written, as long as its recording, or reckoned from \
         the words",
        by_language(millis(bounds::NARRATION_LENGTH)),
    );
    let sync_word = keys.opt(
        "sync word",
        "a word that belongs on a moment of the picture, with its time in the recording; a rule \
         aims it at a sight with `before abeam: {sight: …, by: sync word}`",
        by_language(SyncWordText),
    );
    Some(Version {
        text: text?.value,
        audio: audio.map(|audio| audio.value),
        length: length.map(|length| length.value),
        sync_word: sync_word.map(|word| word.value),
    })
}

/// A sync word with its time.
struct SyncWordText;

impl Reads for SyncWordText {
    type Out = SyncWord;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let units: Vec<&str> = Quantity::Time.units().iter().map(|unit| unit.symbol).collect();
        let form = format!(".+ at {NUMBER_PATTERN} ?({})", units.join("|"));
        let about = "A word of the text, `at`, and its time in the recording.";
        pattern(shapes, "sync word", about, form, &["arch at 6.4 s"])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<SyncWord> {
        let text = &reader.scalar(node, "a word and its time")?.text;
        let parts = text.trim().rsplit_once(" at ");
        let Some((word, at)) = parts.filter(|(word, _)| !word.trim().is_empty()) else {
            reader.error(
                "bad-sync-word",
                node.span,
                format!("`{}` is not a word and its time", shortened(text)),
                "write the word, `at`, and its time in the recording: `arch at 6.4 s`",
            );
            return None;
        };
        let seconds = amount_of(at.trim(), bounds::SYNC_WORD, node.span, reader)?;
        Some(SyncWord { word: word.trim().to_owned(), at: earth::Millis::from_secs_f64(seconds) })
    }
}

impl Mapping for Music {
    const NAME: &'static str = "music";
    const ABOUT: &'static str = "A piece of music.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let title = keys.opt("title", "its title", Text);
        let composer = keys.opt("composer", "who wrote it", Text);
        let publisher = keys.opt("publisher", "who publishes it", Text);
        let audio = keys.opt(
            "audio",
            "its recording, relative to this file: WAV, FLAC, MP3 or Ogg Vorbis",
            Text,
        );
        let repeat = keys.opt(
            "loop",
            "the part of it that is played over and over; where it is not written, it is played \
             once",
            of::<Repeat>(),
        );
        let level = keys.opt(
            "level",
            "how loud it is; where it is not written, as the `mix` says",
            loudness(bounds::LOUDNESS),
        );
        let licence = keys.opt("licence", "the right to play it", of::<Licence>());
        if audio.is_none() && keys.could_be_read("audio") {
            keys.without_effect("loop", "the piece has no `audio`");
            keys.without_effect("level", "the piece has no `audio`");
        }
        Some(Self { title, composer, publisher, audio, repeat, level, licence })
    }
}

impl Mapping for Repeat {
    const NAME: &'static str = "loop";
    const ABOUT: &'static str = "The part of a piece that is played over and over.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let from = keys.or("from", "0 s", "where it goes back to", millis(bounds::LOOP));
        let to = keys.req(
            "to",
            "where it goes back: the same place in the music as `from`, so that a beat stays one",
            millis(bounds::LOOP),
        );
        let crossfade = keys.or(
            "crossfade",
            "0 s",
            "how long its end and its beginning sound together: what lies before `to` going, what lies \
             before `from` coming; at most half of it",
            millis(bounds::FADE),
        );
        let (from, to, crossfade) = (from?, to?, crossfade?);
        let refuse = |keys: &mut Keys<'_, '_>, span: Span, what: &str, help: &str| {
            keys.error("bad-loop", span, what, help);
            None
        };
        if to.value <= from {
            return refuse(
                keys,
                to.span,
                "the loop ends before it begins",
                "make `to` later than `from`",
            );
        }
        if crossfade.get() * 2.0 > (to.value - from).get() {
            let at = keys.key_span("crossfade").unwrap_or(to.span);
            let what = "the crossfade is longer than half of the loop";
            return refuse(keys, at, what, "make it shorter, or the loop longer");
        }
        Some(Self { from, to: to.value, crossfade })
    }
}

impl Mapping for Licence {
    const NAME: &'static str = "licence";
    const ABOUT: &'static str = "The right to play a piece of music.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let reference = keys.opt("reference", "its number or name", Text);
        let until = keys.opt("until", "its last day; where it is not written, it has none", Day);
        Some(Self { reference, until })
    }
}

impl Mapping for Title {
    const NAME: &'static str = "title";
    const ABOUT: &'static str = "A text on the picture.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let text = keys.req("text", "what it says", by_language(Text));
        Some(Self { text: text?.value })
    }
}

impl Mapping for Mix {
    const NAME: &'static str = "mix";
    const ABOUT: &'static str = "How voice and music are balanced. Recordings are not touched: it is done when they are \
         played.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let base = Self::default();
        let narration = keys.or(
            "narration",
            "-18 LUFS",
            "how loud each narration is",
            loudness(bounds::LOUDNESS),
        );
        let top = keys.or("peak", "-3 dBTP", "above which no peak goes", peak(bounds::PEAK));
        let music = keys.or(
            "music",
            "-26 LUFS",
            "how loud music is where nothing is said",
            loudness(bounds::LOUDNESS),
        );
        let duck = keys.or(
            "duck",
            "12 dB",
            "by how much music is lower while something is said, or the radio is busy",
            decibels(bounds::DUCK),
        );
        let attack =
            keys.or("attack", "0.3 s", "how long it takes to go down", millis(bounds::FADE));
        let release =
            keys.or("release", "1.5 s", "how long it takes to come up again", millis(bounds::FADE));
        let fade = keys.or(
            "fade",
            "1.5 s",
            "how long music takes to begin and to end, at a quiet zone too",
            millis(bounds::FADE),
        );
        let crossfade = keys.or(
            "crossfade",
            "3 s",
            "how long one piece takes to give way to another",
            millis(bounds::FADE),
        );
        let radio = keys.or(
            "radio",
            "ducked",
            "what a busy radio does to music: it plays on softer, or stops and goes on",
            word(&[("ducked", MusicOnRadio::Ducked), ("paused", MusicOnRadio::Paused)]),
        );
        Some(Self {
            narration: narration.unwrap_or(base.narration),
            peak: top.unwrap_or(base.peak),
            music: music.unwrap_or(base.music),
            duck: duck.unwrap_or(base.duck),
            attack: attack.unwrap_or(base.attack),
            release: release.unwrap_or(base.release),
            fade: fade.unwrap_or(base.fade),
            crossfade: crossfade.unwrap_or(base.crossfade),
            radio: radio.unwrap_or(base.radio),
        })
    }
}
