//! An edit as a plain edit decision list.
//!
//! Plain text, in the form that has been exchanged since linear cutting rooms and that is called
//! CMX 3600 after one of them: numbered events, each with the reel it comes from, the track it goes
//! to, the way it comes in (here always a cut, `C`), and four times: in and out of the source, in
//! and out of the edit. No official specification is free to read; the columns follow common
//! practice, and a reader of our tests' own choice reads them back.

use crate::edit::{Clip, Edit, MarkKind};

/// How many events such a list can number.
pub const MOST_EVENTS: usize = 999;

/// How long a title may be.
const TITLE: usize = 70;

/// An edit decision list, and how many events it has; a list of more than [`MOST_EVENTS`] is not
/// understood by every reader.
///
/// The film as it was live goes to track `V`, the languages of the narration to `A`, `A2` and so on,
/// music to the track after them. Reels are cameras, named by up to eight letters and figures, each
/// name once; their times are those of the recorder's clock. Titles, sights and stills are comments
/// after the event they lie in. The list is plain ASCII: another character becomes `_`.
#[must_use]
pub fn edl(edit: &Edit, title: &str) -> (String, usize) {
    let mut events: Vec<Event<'_>> = Vec::new();
    let reels = reels(edit);
    for (track, clip) in edit.live() {
        let reel = reels.get(track.camera.index()).map_or("AX", String::as_str);
        events.push(Event { reel, track: "V".to_owned(), clip });
    }
    for (number, track) in (1..).zip(edit.narration.iter().chain([&edit.music])) {
        let name = if number == 1 { "A".to_owned() } else { format!("A{number}") };
        let more = track.clips.iter();
        events.extend(more.map(|clip| Event { reel: "AX", track: name.clone(), clip }));
    }
    // At one moment the picture first, then the sound by its tracks.
    events.sort_by_key(|event| event.clip.at.from);
    let drop_frame = if edit.rate.is_drop_frame() { "DROP FRAME" } else { "NON-DROP FRAME" };
    let mut text = format!("TITLE: {}\nFCM: {drop_frame}\n\n", plain(title, TITLE));
    for (number, event) in (1..).zip(&events) {
        let number: usize = number;
        text.push_str(&event.write(number, edit));
        if event.track == "V" {
            text.push_str(&comments(event.clip, edit));
        }
        text.push('\n');
    }
    (text, events.len())
}

struct Event<'e> {
    reel: &'e str,
    track: String,
    clip: &'e Clip,
}

impl Event<'_> {
    fn write(&self, number: usize, edit: &Edit) -> String {
        let clip = self.clip;
        let time = |frame: i64| edit.rate.timecode(frame);
        let (source_in, source_out) = (time(clip.source), time(clip.source + clip.at.count()));
        let (from, to) = (time(edit.start + clip.at.from), time(edit.start + clip.at.to));
        let mut text = format!(
            "{number:03}  {:<8} {:<5} C        {source_in} {source_out} {from} {to}\n",
            self.reel, self.track
        );
        text.push_str(&format!("* FROM CLIP NAME: {}\n", plain(&clip.name, usize::MAX)));
        if let Some(file) = &clip.media.file {
            text.push_str(&format!("* SOURCE FILE: {}\n", plain(file, usize::MAX)));
        }
        if !clip.note.is_empty() {
            text.push_str(&format!("* COMMENT: {}\n", plain(&clip.note, usize::MAX)));
        }
        text
    }
}

/// The marks that lie in a clip.
fn comments(clip: &Clip, edit: &Edit) -> String {
    let mut text = String::new();
    let within = |frame: i64| clip.at.from <= frame && frame < clip.at.to;
    for mark in edit.marks.iter().filter(|mark| within(mark.at.from)) {
        if mark.kind == MarkKind::Take {
            continue;
        }
        let time = |frame: i64| edit.rate.timecode(edit.start + frame);
        let mut times = time(mark.at.from);
        if mark.at.count() > 0 {
            times = format!("{times} {}", time(mark.at.to));
        }
        let kind = mark.kind.word().to_uppercase();
        text.push_str(&format!("* COMMENT: {kind} {times} {}\n", plain(&mark.name, usize::MAX)));
    }
    text
}

/// The name of each camera as a reel: letters and figures, at most eight, each name once.
fn reels(edit: &Edit) -> Vec<String> {
    let mut reels: Vec<String> = Vec::new();
    for track in &edit.cameras {
        let letters = track.name.chars().filter(char::is_ascii_alphanumeric);
        let mut name: String = letters.take(8).collect::<String>().to_uppercase();
        if name.is_empty() {
            name = "CAMERA".to_owned();
        }
        // AX is no reel at all, BL is black.
        let taken = |name: &str, reels: &[String]| {
            ["AX", "BL"].contains(&name) || reels.iter().any(|reel| reel == name)
        };
        let mut number = 1;
        let mut reel = name.clone();
        while taken(&reel, &reels) {
            number += 1;
            let ending = number.to_string();
            let room = 8_usize.saturating_sub(ending.len());
            reel = name.chars().take(room).chain(ending.chars()).collect();
        }
        reels.push(reel);
    }
    reels
}

/// Plain ASCII in one line, no longer than asked for.
fn plain(text: &str, most: usize) -> String {
    let ascii = |it: char| if it.is_ascii() && !it.is_ascii_control() { it } else { '_' };
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").chars().map(ascii).take(most).collect()
}
