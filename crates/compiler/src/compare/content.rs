//! Narrations, titles and music: what is said, shown and played.

use std::collections::BTreeSet;

use plan::{Audio, Licence, Music, Narration, PlaceId, Plan, Repeat, Title, Voice};

use super::matching::Fate;
use super::words::{beginning, on_radio};
use super::{Details, Difference, How, Part, Two, Value};

/// Narrations, by their index in the newer plan, whose length has been told with the flight.
pub(super) type LengthsTold = BTreeSet<usize>;

/// Tells what has become of the texts and the music.
pub(super) fn compare(two: &Two<'_>, told: &LengthsTold, into: &mut Vec<Difference>) {
    narrations(two, told, into);
    titles(two, into);
    music(two, into);
}

fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}

fn narrations(two: &Two<'_>, told: &LengthsTold, into: &mut Vec<Difference>) {
    let part = Part::Narration;
    for fate in two.matched.narrations.all(&two.old.narrations, &two.new.narrations) {
        match fate {
            Fate::Kept { old, new, .. } if old.name != new.name => {
                let how = How::Renamed { from: old.name.clone() };
                let known_as = Some(beginning(new.text()));
                into.push(Details::default().alone(part, &new.name, known_as, how));
            }
            Fate::Kept { old, new, at } => {
                let mut details = narration(two, old, new);
                if told.contains(&at) {
                    details.0.retain(|detail| {
                        !matches!(detail, super::Detail::Value { what: LENGTH, .. })
                    });
                }
                // Where the text has changed it is quoted.
                let known_as = (old.text() == new.text()).then(|| beginning(new.text()));
                into.extend(details.changed(part, &new.name, known_as));
            }
            Fate::Added(narration, _) => into.push(alone(narration, How::Added)),
            Fate::Gone(narration, _) => into.push(alone(narration, How::Gone)),
        }
    }
}

const LENGTH: &str = "length";

fn length_from(estimated: bool) -> Value {
    Value::Words(if estimated { "reckoned from the words" } else { "as given" }.to_owned())
}

/// What is said in each language, as values to be compared.
struct Voices {
    text: String,
    others: Option<Value>,
    recordings: Option<Value>,
    sync_words: Option<Value>,
}

impl Voices {
    fn of(voices: &[Voice]) -> Self {
        // Every member of a voice is compared; the compiler asks here about a new one. Its length is
        // that of the narration or shorter.
        let mut all =
            Self { text: String::new(), others: None, recordings: None, sync_words: None };
        let (mut others, mut recordings, mut sync_words) = (Vec::new(), Vec::new(), Vec::new());
        for (at, voice) in voices.iter().enumerate() {
            let Voice { language, text, length: _, estimated: _, audio, sync_word } = voice;
            if at == 0 {
                all.text.clone_from(text);
            } else {
                others.push(format!("{language}: {text}"));
            }
            recordings.extend(audio.iter().map(short_content));
            let word = sync_word.iter();
            sync_words.extend(word.map(|it| format!("{} at {} s", it.word, it.at.secs())));
        }
        let some = |list: Vec<String>| (!list.is_empty()).then(|| list.join(", "));
        all.others = some(others).map(Value::Text);
        all.recordings = some(recordings).map(Value::Words);
        all.sync_words = some(sync_words).map(Value::Words);
        all
    }
}

/// A recording by the first six digits of its content; what its file is called does not matter.
fn short_content(audio: &Audio) -> String {
    let Audio { file: _, content } = audio;
    content.chars().take(6).collect()
}

fn narration(two: &Two<'_>, old: &Narration, new: &Narration) -> Details {
    let Narration {
        name: _,
        voices: was,
        length,
        again,
        on_ground,
        on_radio: radio,
        longest_pause,
        sight,
        short,
        source: _,
    } = old;
    let mut details = Details::default();
    let (was, is) = (Voices::of(was), Voices::of(&new.voices));
    let Voices { text: words, others, recordings, sync_words } = &was;
    details.both("text", words.as_str(), &is.text, text);
    details.value("texts in other languages", others.clone(), is.others);
    details.value("recording", recordings.clone(), is.recordings);
    details.value("sync word", sync_words.clone(), is.sync_words);
    details.both(LENGTH, *length, new.length, Value::Time);
    details.both("its length is", old.estimated(), new.estimated(), length_from);
    let sight_of = |plan: &Plan, sight: Option<PlaceId>| {
        let place = plan.places.get(sight?.index())?;
        Some(Value::Words(place.name.clone()))
    };
    details.value("about", sight_of(two.old, *sight), sight_of(two.new, new.sight));
    details.both("has a short version", short.is_some(), new.short.is_some(), Value::Yes);
    details.both("may be told again in a flight", *again, new.again, Value::Yes);
    details.both("for the ground only", *on_ground, new.on_ground, Value::Yes);
    let says = |radio: &Option<_>| radio.map(|radio| Value::Words(on_radio(radio).into()));
    details.value("while the radio is busy", says(radio), says(&new.on_radio));
    details.value(
        "longest pause",
        longest_pause.map(Value::Time),
        new.longest_pause.map(Value::Time),
    );
    details
}

fn alone(narration: &Narration, how: How) -> Difference {
    let mut details = Details::default();
    details.only(&how, "text", text(narration.text()));
    details.only(&how, LENGTH, Value::Time(narration.length));
    if narration.again {
        details.only(&how, "may be told again in a flight", Value::Yes(true));
    }
    if narration.on_ground {
        details.only(&how, "for the ground only", Value::Yes(true));
    }
    if let Some(radio) = narration.on_radio {
        details.only(&how, "while the radio is busy", Value::Words(on_radio(radio).into()));
    }
    if let Some(pause) = narration.longest_pause {
        details.only(&how, "longest pause", Value::Time(pause));
    }
    details.alone(Part::Narration, &narration.name, None, how)
}

fn titles(two: &Two<'_>, into: &mut Vec<Difference>) {
    for fate in two.matched.titles.all(&two.old.titles, &two.new.titles) {
        let alone = |title: &Title, how: How| {
            let mut details = Details::default();
            details.only(&how, "text", text(&title.text));
            details.alone(Part::Title, &title.name, None, how)
        };
        match fate {
            Fate::Kept { old, new, .. } if old.name != new.name => {
                let how = How::Renamed { from: old.name.clone() };
                let known_as = Some(new.text.clone());
                into.push(Details::default().alone(Part::Title, &new.name, known_as, how));
            }
            Fate::Kept { old, new, .. } => {
                let mut details = Details::default();
                let Title { name: _, text: words } = old;
                details.both("text", words.as_str(), new.text.as_str(), text);
                into.extend(details.changed(Part::Title, &new.name, None));
            }
            Fate::Added(title, _) => into.push(alone(title, How::Added)),
            Fate::Gone(title, _) => into.push(alone(title, How::Gone)),
        }
    }
}

/// The title of a piece, where it has one of its own.
pub(super) fn music_title(music: &Music) -> Option<String> {
    (music.title != music.name).then(|| music.title.clone())
}

fn music(two: &Two<'_>, into: &mut Vec<Difference>) {
    let part = Part::Music;
    for fate in two.matched.music.all(&two.old.music, &two.new.music) {
        let alone = |music: &Music, how| {
            Details::default().alone(part, &music.name, music_title(music), how)
        };
        match fate {
            Fate::Kept { old, new, .. } if old.name != new.name => {
                into.push(alone(new, How::Renamed { from: old.name.clone() }));
            }
            Fate::Kept { old, new, .. } => {
                let Music {
                    name: _,
                    title: _,
                    composer,
                    publisher,
                    audio,
                    length,
                    repeat,
                    level,
                    licence,
                } = old;
                let mut details = Details::default();
                let title = |music| music_title(music).map(Value::Words);
                details.value("title", title(old), title(new));
                let words = |text: &Option<String>| text.clone().map(Value::Words);
                details.value("composer", words(composer), words(&new.composer));
                details.value("publisher", words(publisher), words(&new.publisher));
                let recording =
                    |audio: &Option<Audio>| audio.as_ref().map(short_content).map(Value::Words);
                details.value("recording", recording(audio), recording(&new.audio));
                details.value(LENGTH, length.map(Value::Time), new.length.map(Value::Time));
                details.value("loop", repeat.map(looped), new.repeat.map(looped));
                let loudness = |level: earth::Lufs| Value::Words(level.to_string());
                details.value("level", level.map(loudness), new.level.map(loudness));
                let licence_of = |licence: &Option<Licence>| licence.as_ref().map(licensed);
                details.value("licence", licence_of(licence), licence_of(&new.licence));
                into.extend(details.changed(part, &new.name, None));
            }
            Fate::Added(music, _) => into.push(alone(music, How::Added)),
            Fate::Gone(music, _) => into.push(alone(music, How::Gone)),
        }
    }
}

fn looped(repeat: Repeat) -> Value {
    let Repeat { from, to, crossfade } = repeat;
    let ends = format!("{} s to {} s", from.secs(), to.secs());
    Value::Words(if crossfade.0 == 0 {
        ends
    } else {
        format!("{ends}, crossfade {} s", crossfade.secs())
    })
}

fn licensed(licence: &Licence) -> Value {
    let Licence { reference, until } = licence;
    let until = until.as_ref().map(|until| format!("until {until}"));
    let parts: Vec<String> = reference.clone().into_iter().chain(until).collect();
    Value::Words(if parts.is_empty() { "yes".to_owned() } else { parts.join(", ") })
}
