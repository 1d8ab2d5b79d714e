//! A text split to captions and lines, each with its time in the narration.

use earth::Millis;

use crate::breaks::{Break, Piece, line, pieces, total};
use crate::guidelines::Guidelines;

/// What is said, for how long: a narration in one language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spoken<'a> {
    /// The words.
    pub text: &'a str,
    /// How long it takes to say them.
    pub length: Millis,
    /// A word and when it is heard, where that is known.
    pub word: Option<(&'a str, Millis)>,
}

/// A caption within a narration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    /// Its lines, from the top.
    pub lines: Vec<String>,
    /// When its first word begins, from the beginning of the narration.
    pub from: Millis,
    /// When its last word ends.
    pub to: Millis,
}

impl Phrase {
    /// How many characters are to be read, a new line counting as a blank; as
    /// [`columns`](crate::columns) counts.
    #[must_use]
    pub fn characters(&self) -> usize {
        let lines: usize = self.lines.iter().map(|line| crate::columns(line)).sum();
        lines + self.lines.len().saturating_sub(1)
    }
}

/// What a break in the middle of a sentence costs, in a currency of our own; a caption more costs
/// 20, and what a line is too long, far more than all else.
fn cost_of_ending(after: Break) -> u64 {
    match after {
        Break::Sentence => 0,
        Break::Phrase => 15,
        Break::Fair => 60,
        Break::Poor => 90,
    }
}

fn cost_of_line(after: Break) -> u64 {
    match after {
        Break::Sentence => 0,
        Break::Phrase => 3,
        Break::Fair => 10,
        Break::Poor => 25,
    }
}

const CAPTION: u64 = 20;
const SENTENCE_INSIDE: u64 = 12;
const TOO_SHORT: u64 = 200;
const TOO_LONG: u64 = 100_000;

/// Splits what is said to captions.
///
/// Within the narration, time passes in proportion to the characters; where it is known when a word
/// is heard, so before it and after it. Captions end with sentences where they can, else with
/// phrases, else with words; of all ways to split, the best one by such a reckoning is taken, so
/// that a text changed at its end changes its beginning little.
#[must_use]
pub fn split(spoken: &Spoken<'_>, guidelines: &Guidelines) -> Vec<Phrase> {
    let pieces = pieces(spoken.text);
    let clock = Pace::new(spoken, &pieces);
    // The best way to say the first n pieces: its cost, and where its last caption begins.
    let mut best: Vec<(u64, usize)> = vec![(0, 0)];
    for end in 1..=pieces.len() {
        let mut found = (u64::MAX, end - 1);
        for start in (0..end).rev() {
            let caption = pieces.get(start..end).unwrap_or_default();
            let Some(cost) = cost(caption, &clock, guidelines) else { break };
            let before = best.get(start).map_or(u64::MAX, |(cost, _)| *cost);
            let cost = before.saturating_add(cost);
            if cost < found.0 {
                found = (cost, start);
            }
        }
        best.push(found);
    }
    let mut phrases = Vec::new();
    let mut end = pieces.len();
    while end > 0 {
        let start = best.get(end).map_or(0, |(_, start)| *start).min(end - 1);
        let caption = pieces.get(start..end).unwrap_or_default();
        let (_, breaks) = lines(caption, guidelines);
        phrases.push(Phrase {
            lines: at(caption, &breaks),
            from: clock.at(caption.first().map_or(0, |first| first.from)),
            to: clock.at(caption.last().map_or(0, |last| last.from + last.width)),
        });
        end = start;
    }
    phrases.reverse();
    phrases
}

/// What a caption costs; none where it is more than may stand at once, so that a longer one would
/// be too.
fn cost(caption: &[Piece], clock: &Pace, guidelines: &Guidelines) -> Option<u64> {
    let [.., last] = caption else { return None };
    let from = clock.at(caption.first().map_or(0, |first| first.from));
    let lasts = clock.at(last.from + last.width) - from;
    let (lines, _) = lines(caption, guidelines);
    if caption.len() > 1 && (lines >= TOO_LONG || lasts > guidelines.longest) {
        return None;
    }
    let inside = caption.iter().rev().skip(1).filter(|it| it.after == Break::Sentence).count();
    let short = if lasts < guidelines.shortest { TOO_SHORT } else { 0 };
    let inside = SENTENCE_INSIDE.saturating_mul(u64::try_from(inside).unwrap_or(u64::MAX));
    Some(CAPTION + cost_of_ending(last.after) + lines.saturating_add(inside) + short)
}

/// The best way to part a caption into lines: its cost, and after how many pieces each line ends
/// but the last.
fn lines(caption: &[Piece], guidelines: &Guidelines) -> (u64, Vec<usize>) {
    let width = |from: usize, to: usize| total_of(caption.get(from..to).unwrap_or_default());
    let whole = width(0, caption.len());
    if whole <= guidelines.line || caption.len() <= 1 {
        let over = whole.saturating_sub(guidelines.line);
        return (if over > 0 { TOO_LONG } else { 0 }, Vec::new());
    }
    // More than full lines hold needs no trying; a new line takes the place of a blank.
    let most = guidelines.lines * (guidelines.line + 1);
    if whole >= most {
        return (TOO_LONG, Vec::new());
    }
    // The best way to set the first n pieces in one line, ...
    let one = |end: usize| {
        let wide = width(0, end);
        if end > 0 && wide <= guidelines.line { raggedness(wide, guidelines) } else { u64::MAX }
    };
    // ... and in more than one, but no more than one less than there may be: its cost, and where the
    // last of the lines begins. With as many as there may be only the whole is asked for.
    let mut several: Vec<Vec<(u64, usize)>> = Vec::new();
    let mut best = (u64::MAX, 0, 0);
    for level in 1..guidelines.lines {
        let before = several.last();
        let cost_before = |end: usize| match before {
            Some(before) => before.get(end).map_or(u64::MAX, |(cost, _)| *cost),
            None => one(end),
        };
        let set = |end: usize| {
            let mut found = (u64::MAX, 0);
            for start in (1..end).rev() {
                let wide = width(start, end);
                if wide > guidelines.line {
                    break;
                }
                let cost = cost_before(start);
                if cost == u64::MAX {
                    continue;
                }
                let after = caption.get(start - 1).map_or(Break::Fair, |it| it.after);
                let cost = cost + cost_of_line(after) + raggedness(wide, guidelines);
                if cost < found.0 {
                    found = (cost, start);
                }
            }
            found
        };
        let (cost, start) = set(caption.len());
        if cost < best.0 {
            best = (cost, level, start);
        }
        if level + 1 < guidelines.lines {
            several.push((0..=caption.len()).map(set).collect());
        }
    }
    let (cost, level, mut start) = best;
    if cost == u64::MAX {
        return (TOO_LONG, Vec::new());
    }
    let mut breaks = vec![start];
    for table in several.get(..level - 1).unwrap_or_default().iter().rev() {
        start = table.get(start).map_or(0, |(_, start)| *start);
        breaks.push(start);
    }
    breaks.reverse();
    (cost, breaks)
}

/// Lines of about one length read best: what is missing to a full line, squared, in hundredths.
fn raggedness(width: usize, guidelines: &Guidelines) -> u64 {
    let missing = guidelines.line.saturating_sub(width);
    u64::try_from(missing * missing / 100).unwrap_or(u64::MAX)
}

fn total_of(pieces: &[Piece]) -> usize {
    pieces.first().map_or(0, |first| total(pieces) - first.from)
}

fn at(caption: &[Piece], breaks: &[usize]) -> Vec<String> {
    let ends = breaks.iter().copied().chain([caption.len()]);
    let mut start = 0;
    ends.map(|end| {
        let text = line(caption.get(start..end).unwrap_or_default());
        start = end;
        text
    })
    .collect()
}

/// When which character is heard.
struct Pace {
    characters: i64,
    length: i64,
    /// A character and when it is heard.
    known: Option<(i64, i64)>,
}

impl Pace {
    fn new(spoken: &Spoken<'_>, pieces: &[Piece]) -> Self {
        let characters = i64::try_from(total(pieces)).unwrap_or(i64::MAX).max(1);
        let length = spoken.length.0.max(0);
        let known = spoken.word.and_then(|(word, at)| {
            let from = i64::try_from(place_of(word, pieces)?).ok()?;
            // A word that begins the text is heard at its beginning or not where it was said to be.
            let sound = from > 0 && from < characters && at.0 > 0 && at.0 < length;
            sound.then_some((from, at.0))
        });
        Self { characters, length, known }
    }

    /// When the character after so many is heard.
    fn at(&self, character: usize) -> Millis {
        let character = i64::try_from(character).unwrap_or(i64::MAX).min(self.characters);
        let (base, start, characters, length) = match self.known {
            Some((from, at)) if character < from => (0, 0, from, at),
            Some((from, at)) => (from, at, self.characters - from, self.length - at),
            None => (0, 0, self.characters, self.length),
        };
        Millis(start + share(character - base, characters, length))
    }
}

/// `part` of `whole` of a length, to the nearest.
fn share(part: i64, whole: i64, length: i64) -> i64 {
    let nearest = (i128::from(part) * i128::from(length) * 2 + i128::from(whole))
        / (i128::from(whole) * 2).max(1);
    i64::try_from(nearest).unwrap_or(i64::MAX)
}

/// How many characters come before a word in the text: the first piece that is it, punctuation and
/// capitals not counted, else the first place where it is written at all.
fn place_of(word: &str, pieces: &[Piece]) -> Option<usize> {
    let bare = |text: &str| text.trim_matches(|it: char| !it.is_alphanumeric()).to_lowercase();
    let wanted = bare(word);
    if wanted.is_empty() {
        return None;
    }
    if let Some(piece) = pieces.iter().find(|piece| bare(&piece.text) == wanted) {
        return Some(piece.from);
    }
    let text = line(pieces).to_lowercase();
    let before = text.find(&wanted)?;
    text.get(..before).map(crate::columns)
}
