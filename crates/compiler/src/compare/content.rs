//! Narrations, titles and music: what is said, shown and played.

use std::collections::BTreeSet;

use plan::{Music, Narration, Title};

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
                let known_as = Some(beginning(&new.text));
                into.push(Details::default().alone(part, &new.name, known_as, how));
            }
            Fate::Kept { old, new, at } => {
                let mut details = narration(old, new);
                if told.contains(&at) {
                    details.0.retain(|detail| {
                        !matches!(detail, super::Detail::Value { what: LENGTH, .. })
                    });
                }
                // Where the text has changed it is quoted.
                let known_as = (old.text == new.text).then(|| beginning(&new.text));
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

fn narration(old: &Narration, new: &Narration) -> Details {
    let Narration {
        name: _,
        text: words,
        length,
        estimated,
        again,
        on_ground,
        on_radio: radio,
        longest_pause,
        source: _,
    } = old;
    let mut details = Details::default();
    details.both("text", words.as_str(), new.text.as_str(), text);
    details.both(LENGTH, *length, new.length, Value::Time);
    details.both("its length is", *estimated, new.estimated, length_from);
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
    details.only(&how, "text", text(&narration.text));
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
                let Music { name: _, title: _ } = old;
                let mut details = Details::default();
                let title = |music| music_title(music).map(Value::Words);
                details.value("title", title(old), title(new));
                into.extend(details.changed(part, &new.name, None));
            }
            Fate::Added(music, _) => into.push(alone(music, How::Added)),
            Fate::Gone(music, _) => into.push(alone(music, How::Gone)),
        }
    }
}
