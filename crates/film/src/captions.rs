//! The captions of a flight.

use earth::Millis;
use plan::{NarrationId, Plan, Voice};
use timeline::{Flight, Span, Telling};

use crate::clock::{Clock, Sections};
use crate::guidelines::Guidelines;
use crate::split::{Phrase, Spoken, split};

/// What is said of a narration in a language of a plan: the text, how long it takes, and when a
/// word of it is heard, where that is known.
#[must_use]
pub fn spoken<'p>(plan: &'p Plan, narration: NarrationId, language: &str) -> Option<Spoken<'p>> {
    let voice = voice(plan, narration, language)?;
    Some(Spoken {
        text: &voice.text,
        length: voice.length,
        word: voice.sync_word.as_ref().map(|sync| (sync.word.as_str(), sync.at)),
    })
}

/// The voice of a narration in a language of a plan.
pub(crate) fn voice<'p>(
    plan: &'p Plan,
    narration: NarrationId,
    language: &str,
) -> Option<&'p Voice> {
    let narration = plan.narrations.get(narration.index())?;
    let place = plan.languages.iter().position(|carried| carried == language)?;
    narration.voices.get(place)
}

/// Something that is shown from when to when, on a clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// When it comes.
    pub from: Millis,
    /// When it goes, later than `from`.
    pub to: Millis,
    /// Its lines, from the top; never none, and none of them empty.
    pub lines: Vec<String>,
}

/// Said while nothing was recorded, or before the clock begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outside {
    /// Which narration.
    pub narration: NarrationId,
    /// How much of what was said of it has no time on the clock.
    pub length: Millis,
}

/// The captions of a flight in one language.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Captions {
    /// The captions in the order of their times; no two overlap, and between two there is the least
    /// gap wherever the earlier one is long enough to give way.
    pub cues: Vec<Cue>,
    /// What was said and has no time on the clock.
    pub outside: Vec<Outside>,
    /// How many captions, cut short by a pause, by what cut a narration off or by the end of a take,
    /// would have stood for less than the least time and were left out.
    pub too_short: usize,
}

/// A caption, or a part of one, on the flight.
#[derive(Clone, Copy, Debug)]
struct Shown<'p> {
    span: Span,
    phrase: &'p Phrase,
    /// Whether all of it is shown here.
    whole: bool,
    /// Whether its last word is heard here.
    ends: bool,
}

impl Captions {
    /// The captions of a flight in a language of its plan.
    ///
    /// A caption stands while its words are heard. A narration paused pauses its captions: one that
    /// is in the middle goes, and comes again when the narration goes on. One cut off takes its
    /// caption with it. A caption that would be too short, or too fast to read, stands a little
    /// longer where nothing follows; none stands longer than the longest time.
    #[must_use]
    pub fn of(
        flight: &Flight,
        plan: &Plan,
        language: &str,
        clock: Clock,
        guidelines: &Guidelines,
    ) -> Self {
        let sections = Sections::of(flight, clock);
        let mut outside = Vec::new();
        let mut told: Vec<(&Telling, Vec<Phrase>)> = Vec::new();
        for telling in &flight.narrations {
            let Some(spoken) = spoken(plan, telling.narration, language) else { continue };
            let phrases = split(&spoken, guidelines);
            if phrases.is_empty() {
                continue;
            }
            let length = unheard(telling, spoken.length, &sections);
            if length > Millis::ZERO {
                outside.push(Outside { narration: telling.narration, length });
            }
            told.push((telling, phrases));
        }
        let mut shown: Vec<Shown<'_>> =
            told.iter().flat_map(|(telling, phrases)| show(telling, phrases)).collect();
        hang(&mut shown, guidelines);
        let mut captions = Self { outside, ..Self::default() };
        for one in &shown {
            captions.put(one, &sections, guidelines);
        }
        captions.keep_apart(guidelines.gap);
        captions
    }

    fn put(&mut self, shown: &Shown<'_>, sections: &Sections, guidelines: &Guidelines) {
        for (_, (from, to)) in sections.place(shown.span) {
            let whole = shown.whole && to - from == shown.span.length();
            if !whole && to - from < guidelines.shortest {
                self.too_short += 1;
                continue;
            }
            self.cues.push(Cue { from, to, lines: shown.phrase.lines.clone() });
        }
    }

    /// Where two are closer than the gap, the earlier one goes earlier.
    fn keep_apart(&mut self, gap: Millis) {
        let mut next: Option<Millis> = None;
        for cue in self.cues.iter_mut().rev() {
            if let Some(next) = next {
                cue.to = cue.to.min(next - gap).max(cue.from + Millis(1)).min(next);
            }
            next = Some(cue.from);
        }
        // Two that begin at one millisecond cannot both be read.
        self.cues.retain(|cue| cue.from < cue.to);
    }
}

/// How much of a narration in a language was said where the clock has no time.
fn unheard(telling: &Telling, length: Millis, sections: &Sections) -> Millis {
    let mut unheard = Millis::ZERO;
    for stretch in &telling.stretches {
        let left = Millis((length - stretch.into).0.max(0));
        let said = stretch.span.length().min(left);
        let span = Span { from: stretch.span.from, to: stretch.span.from + said };
        let heard =
            sections.place(span).fold(Millis::ZERO, |sum, (_, (from, to))| sum + (to - from));
        unheard = unheard + (said - heard);
    }
    unheard
}

/// When the captions of a narration are shown on the flight.
fn show<'p>(telling: &Telling, phrases: &'p [Phrase]) -> Vec<Shown<'p>> {
    let mut shown: Vec<Shown<'p>> = Vec::new();
    for phrase in phrases {
        let first = shown.len();
        for stretch in &telling.stretches {
            let from = phrase.from.max(stretch.into);
            let to = phrase.to.min(stretch.into + stretch.span.length());
            if from >= to {
                continue;
            }
            let begins = stretch.span.from + (from - stretch.into);
            let span = Span { from: begins, to: begins + (to - from) };
            let ends = to == phrase.to;
            // Where it was only ducked it stands on.
            match shown.get_mut(first..).and_then(<[_]>::last_mut) {
                Some(last) if last.span.to == span.from => {
                    last.span.to = span.to;
                    last.ends = ends;
                    last.whole = ends && last.span.length() == phrase.to - phrase.from;
                }
                _ => shown.push(Shown { span, phrase, whole: ends && from == phrase.from, ends }),
            }
        }
    }
    shown
}

/// What is too short or too fast stands longer where there is room, and nothing stands too long.
fn hang(shown: &mut [Shown<'_>], guidelines: &Guidelines) {
    let mut next = None;
    for one in shown.iter_mut().rev() {
        let from = one.span.from;
        if one.ends {
            let wanted = guidelines.shortest.max(reading_time(one.phrase, guidelines));
            let room = next.map_or(one.span.to + guidelines.hang, |next| next - guidelines.gap);
            let longer = (from + wanted).min(one.span.to + guidelines.hang).min(room);
            one.span.to = one.span.to.max(longer);
        }
        one.span.to = one.span.to.min(from + guidelines.longest);
        next = Some(from);
    }
}

/// How long it takes to read a caption.
pub(crate) fn reading_time(phrase: &Phrase, guidelines: &Guidelines) -> Millis {
    #[expect(clippy::cast_precision_loss, reason = "a caption has few characters")]
    let characters = phrase.characters() as f64;
    Millis::from_secs_f64(characters / guidelines.speed)
}
