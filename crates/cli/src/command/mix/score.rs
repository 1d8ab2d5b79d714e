//! From what happened on a flight to what is heard of it.

use earth::{Millis, Utc};
use plan::{Audio, MusicId, MusicOnRadio, NarrationId, Plan};
use sound::mix::{Bed, Ducking, Level, Repeat, Score, Side, Span, Stretch, Voice};
use timeline::{Ending, Flight, MusicSpan, Telling};

/// What is heard of a flight, and from when to when.
pub(super) struct Programme {
    /// The first moment.
    pub(super) from: Utc,
    /// The last.
    pub(super) to: Utc,
    /// What sounds.
    pub(super) score: Score,
    /// The recordings; their places are the numbers of the score's sources.
    pub(super) recordings: Vec<Audio>,
    /// Every narration in each language heard, in the order of their beginnings.
    pub(super) told: Vec<Told>,
    /// Every piece of music, in the order of their beginnings.
    pub(super) played: Vec<Played>,
}

/// A narration that was told.
pub(super) struct Told {
    /// Which one.
    pub(super) narration: NarrationId,
    /// The language of its words.
    pub(super) language: String,
    /// When it began.
    pub(super) at: Utc,
    /// How much of it was told.
    pub(super) told: Millis,
    /// How long it was paused.
    pub(super) paused: Millis,
    /// How it ended.
    pub(super) ending: Ending,
    /// Its place among the voices of the score; none where it has no recording.
    pub(super) voice: Option<usize>,
}

/// A piece of music that was played.
pub(super) struct Played {
    /// Which one.
    pub(super) music: MusicId,
    /// When it began.
    pub(super) at: Utc,
    /// How long it was on, without its fade at the end.
    pub(super) length: Millis,
    /// How long it was ducked, from the beginning of the attack to that of the release.
    pub(super) ducked: Millis,
    /// How long it was paused.
    pub(super) paused: Millis,
    /// Its place among the beds of the score; none where it has no recording.
    pub(super) bed: Option<usize>,
}

/// Makes the score of a flight: `heard` has the place of each language among the plan's, and who
/// hears it.
///
/// It begins with take-off or with the first that is told or played, whichever is earlier, and ends
/// with the last landing or the last sound: the quiet on the ground before and after is left out.
/// Music that was on already when the flight began begins here, at its beginning. Music is ducked
/// under a narration also where that has no recording, as it will be once it has one.
pub(super) fn programme(plan: &Plan, flight: &Flight, heard: &[(usize, Side)]) -> Programme {
    let (from, to) = extent(plan, flight);
    let mix = &plan.mix;
    let mut programme = Programme {
        from,
        to,
        score: Score {
            length: to - from,
            voices: Vec::new(),
            beds: Vec::new(),
            ducking: Ducking {
                depth: mix.duck,
                attack: mix.attack,
                release: mix.release,
                spans: Vec::new(),
            },
            peak: mix.peak,
            apart: heard.len() > 1,
        },
        recordings: Vec::new(),
        told: Vec::new(),
        played: Vec::new(),
    };
    let mut ducked: Vec<timeline::Span> = Vec::new();
    for telling in &flight.narrations {
        ducked.extend(telling.stretches.iter().map(|stretch| stretch.span));
        for (language, side) in heard {
            programme.tell(plan, telling, *language, *side);
        }
    }
    for (number, music) in flight.music.iter().enumerate() {
        if mix.radio == MusicOnRadio::Ducked {
            ducked.extend(&music.ducked);
        }
        let before = number.checked_sub(1).and_then(|number| flight.music.get(number));
        programme.play(plan, music, before);
    }
    let ducked = joined(ducked);
    programme.score.ducking.spans = ducked.iter().map(|span| programme.span(*span)).collect();
    for (played, music) in programme.played.iter_mut().zip(&flight.music) {
        let overlaps = ducked.iter().filter_map(|span| span.overlap(music.span));
        played.ducked = overlaps.fold(Millis::ZERO, |sum, span| sum + span.length());
    }
    programme
}

impl Programme {
    /// The place of a recording among the sources.
    fn source(&mut self, audio: &Audio) -> usize {
        let known = self.recordings.iter().position(|known| known == audio);
        known.unwrap_or_else(|| {
            self.recordings.push(audio.clone());
            self.recordings.len() - 1
        })
    }

    fn span(&self, span: timeline::Span) -> Span {
        Span { from: span.from - self.from, until: span.to - self.from }
    }

    fn tell(&mut self, plan: &Plan, telling: &Telling, language: usize, side: Side) {
        let narration = plan.narrations.get(telling.narration.index());
        let Some(voice) = narration.and_then(|narration| narration.voices.get(language)) else {
            return;
        };
        let place = voice.audio.as_ref().map(|audio| {
            let source = self.source(audio);
            let stretches = stretches(telling, self.from);
            let ducked = telling.stretches.iter().filter(|stretch| stretch.ducked);
            let ducked = ducked.map(|stretch| self.span(stretch.span)).collect();
            let level = Level::Loudness(plan.mix.narration);
            self.score.voices.push(Voice { source, level, side, stretches, ducked });
            self.score.voices.len() - 1
        });
        let told = telling.played();
        self.told.push(Told {
            narration: telling.narration,
            language: voice.language.clone(),
            at: telling.span.from,
            told,
            paused: telling.span.length() - told,
            ending: telling.ending,
            voice: place,
        });
    }

    fn play(&mut self, plan: &Plan, music: &MusicSpan, before: Option<&MusicSpan>) {
        let piece = plan.music.get(music.music.index());
        let mix = &plan.mix;
        let paused: Vec<timeline::Span> = match mix.radio {
            MusicOnRadio::Paused => music.ducked.clone(),
            MusicOnRadio::Ducked => Vec::new(),
        };
        let bed = piece.and_then(|piece| Some((piece, piece.audio.as_ref()?)));
        let place = bed.map(|(piece, audio)| {
            let follows = before.is_some_and(|before| {
                before.followed_by == Some(music.music) && before.span.to == music.span.from
            });
            let leads = music.followed_by.is_some();
            let bed = Bed {
                source: self.source(audio),
                level: Level::Loudness(piece.level.unwrap_or(mix.music)),
                at: music.span.from - self.from,
                until: music.span.to - self.from,
                fade_in: if follows { mix.crossfade } else { mix.fade },
                fade_out: if leads { mix.crossfade } else { mix.fade },
                repeat: piece.repeat.map(|repeat| Repeat {
                    from: repeat.from,
                    to: repeat.to,
                    crossfade: repeat.crossfade,
                }),
                pauses: paused.iter().map(|span| self.span(*span)).collect(),
            };
            self.score.beds.push(bed);
            self.score.beds.len() - 1
        });
        self.played.push(Played {
            music: music.music,
            at: music.span.from,
            length: music.span.length(),
            ducked: Millis::ZERO,
            paused: paused.iter().fold(Millis::ZERO, |sum, span| sum + span.length()),
            bed: place,
        });
    }
}

/// From when to when something is to be heard of a flight.
pub(super) fn extent(plan: &Plan, flight: &Flight) -> (Utc, Utc) {
    let sounds = flight.narrations.iter().map(|telling| telling.span);
    let sounds: Vec<_> = sounds.chain(flight.music.iter().map(|music| music.span)).collect();
    let take_off = flight.take_offs.first().copied();
    let first = sounds.iter().map(|span| span.from).chain(take_off).min();
    let last_music = flight.music.iter().map(|music| music.span.to + plan.mix.fade);
    let landing = flight.landings.last().map(|landing| landing.time);
    let last = sounds.iter().map(|span| span.to).chain(last_music).chain(landing).max();
    let in_the_air = take_off.is_some() && landing.is_none();
    let first = first.unwrap_or(flight.span.from);
    let last = last.filter(|_| !in_the_air).unwrap_or(flight.span.to);
    (first, last.max(first))
}

/// What plays of a narration: what lies side by side at different levels is one stretch.
fn stretches(telling: &Telling, zero: Utc) -> Vec<Stretch> {
    let mut all: Vec<Stretch> = Vec::new();
    for stretch in &telling.stretches {
        let at = stretch.span.from - zero;
        let length = stretch.span.length();
        match all.last_mut() {
            Some(last) if last.at + last.length == at => last.length = last.length + length,
            _ => all.push(Stretch { at, from: stretch.into, length }),
        }
    }
    all.retain(|stretch| stretch.length > Millis::ZERO);
    all
}

/// Spans by time, those that touch or overlap made one.
fn joined(mut spans: Vec<timeline::Span>) -> Vec<timeline::Span> {
    spans.sort_by_key(|span| (span.from, span.to));
    let mut joined: Vec<timeline::Span> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.from <= last.to => last.to = last.to.max(span.to),
            _ => joined.push(span),
        }
    }
    joined
}
