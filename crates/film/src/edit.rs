//! What a flight is cut to.

use earth::{Millis, Utc};
use plan::{Audio, CameraId, Music, MusicOnRadio, Plan};
use timeline::{Ending, Flight, MusicSpan, Span};

use crate::captions::{spoken, voice};
use crate::clock::{Clock, Sections};
use crate::rate::Rate;
use crate::sights::Pass;

/// How an edit is made.
#[derive(Clone, Debug, PartialEq)]
pub struct EditOptions {
    /// Frames a second.
    pub rate: Rate,
    /// On which clock: the film's own, or the flight's with gaps where nothing was recorded.
    pub clock: Clock,
    /// The frame of the timecode at which the edit begins.
    pub start: i64,
    /// How far the recorder's clock is ahead of UTC: its timecode is the time of day, and what it
    /// wrote at 10:00:00 UTC is found at 10:00:00 and this.
    pub recorder_ahead: Millis,
    /// What the recorder's files are called, with `{camera}`, `{input}` and `{take}` in it; `None`:
    /// nothing is known of them.
    pub media: Option<String>,
    /// The languages whose narration is laid, a track each.
    pub languages: Vec<String>,
    /// The folder from which the plan names its recordings, as a URL without `/` at its end; `None`:
    /// it is not known.
    pub recordings: Option<String>,
}

/// From a frame up to, but without, another, counted from the beginning of the edit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Frames {
    /// The first frame.
    pub from: i64,
    /// The first frame after it; later than `from`.
    pub to: i64,
}

impl Frames {
    /// How many they are.
    #[must_use]
    pub fn count(self) -> i64 {
        self.to - self.from
    }
}

/// Where a clip comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Media {
    /// What it is called.
    pub name: String,
    /// Its file, if it is known.
    pub file: Option<String>,
    /// The frames that there are of it, by its own timecode; none where its length is not known.
    pub available: Option<Frames>,
}

/// A piece of a camera's or a sound's media, in its place in the edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clip {
    /// When, in the edit.
    pub at: Frames,
    /// The first frame of the media that is used; as many follow as in `at`.
    pub source: i64,
    /// The media.
    pub media: Media,
    /// What a person reads.
    pub name: String,
    /// The number of the take, of a camera's clip.
    pub take: Option<u32>,
    /// The rule that had it begin, if one did.
    pub rule: Option<String>,
    /// What else is to be known of it.
    pub note: String,
}

/// The clips of one camera.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameraTrack {
    /// Which camera.
    pub camera: CameraId,
    /// Its name.
    pub name: String,
    /// The input it is wired to.
    pub input: u32,
    /// What was live of it, in order.
    pub clips: Vec<Clip>,
}

/// The clips of one channel of sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoundTrack {
    /// What it is: `narration` and its language, or `music`.
    pub name: String,
    /// The clips, in order; no two overlap.
    pub clips: Vec<Clip>,
}

/// What a mark marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MarkKind {
    /// A take begins.
    Take,
    /// A title shows.
    Title,
    /// A sight is passed.
    Sight,
    /// A still was taken.
    Still,
}

impl MarkKind {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Take => "take",
            Self::Title => "title",
            Self::Sight => "sight",
            Self::Still => "still",
        }
    }
}

/// A mark in the edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// When; `to` is `from` where it marks a moment.
    pub at: Frames,
    /// What it marks.
    pub kind: MarkKind,
    /// The title, the sight, the camera.
    pub name: String,
    /// What else is to be known of it.
    pub note: String,
}

/// What a flight is cut to: what was live, said and played, laid out in frames.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// Frames a second.
    pub rate: Rate,
    /// The frame of the timecode at which it begins.
    pub start: i64,
    /// How many frames it has.
    pub length: i64,
    /// A track for each camera of the aircraft, in its order.
    pub cameras: Vec<CameraTrack>,
    /// The narration, a track for each language.
    pub narration: Vec<SoundTrack>,
    /// The music.
    pub music: SoundTrack,
    /// The marks, in the order of time.
    pub marks: Vec<Mark>,
    /// How many stills lie outside the film and have no mark.
    pub stills_outside: usize,
}

impl Edit {
    /// The edit of a flight.
    ///
    /// Each moment is rounded to the nearest frame by itself, so that nothing drifts however long
    /// the flight is. Within a take the media's timecode and the edit's go on together: their
    /// difference is that at the take's beginning, and each is at most a frame off the clock.
    #[must_use]
    pub fn of(flight: &Flight, plan: &Plan, passes: &[Pass], options: &EditOptions) -> Self {
        let laying = Laying {
            flight,
            plan,
            options,
            sections: Sections::of(flight, options.clock),
            midnight: Utc(flight.span.from.0.div_euclid(DAY) * DAY),
        };
        let (marks, stills_outside) = laying.marks(passes);
        Self {
            rate: options.rate,
            start: options.start,
            length: options.rate.frame_at(laying.sections.length()),
            cameras: laying.cameras(),
            narration: options.languages.iter().map(|it| laying.narration(it)).collect(),
            music: laying.music(),
            marks,
            stills_outside,
        }
    }

    /// All clips of all cameras, in the order of time: the film as it was live.
    #[must_use]
    pub fn live(&self) -> Vec<(&CameraTrack, &Clip)> {
        let mut live: Vec<(&CameraTrack, &Clip)> = self
            .cameras
            .iter()
            .flat_map(|track| track.clips.iter().map(move |clip| (track, clip)))
            .collect();
        live.sort_by_key(|(_, clip)| clip.at);
        live
    }
}

const DAY: i64 = 86_400_000;

/// What an edit is laid from.
struct Laying<'a> {
    flight: &'a Flight,
    plan: &'a Plan,
    options: &'a EditOptions,
    sections: Sections,
    /// The midnight before the flight, UTC.
    midnight: Utc,
}

impl Laying<'_> {
    /// Where a span lies in the edit, in frames, with the part of the span that lies there; nothing
    /// that is shorter than a frame.
    fn place(&self, span: Span) -> Vec<(Frames, Span)> {
        let rate = self.options.rate;
        let placed = self.sections.place(span).filter_map(|(section, (from, to))| {
            let section = self.sections.all.get(section)?;
            let at = Frames { from: rate.frame_at(from), to: rate.frame_at(to) };
            let begins = section.span.from + (from - section.at);
            (at.from < at.to).then_some((at, Span { from: begins, to: begins + (to - from) }))
        });
        placed.collect()
    }

    fn rule(&self, rule: Option<plan::RuleId>) -> Option<String> {
        rule.and_then(|rule| self.plan.rules.get(rule.index())).map(|rule| rule.name.clone())
    }

    fn cameras(&self) -> Vec<CameraTrack> {
        let cameras = (0..).zip(&self.plan.aircraft.cameras);
        let mut tracks: Vec<CameraTrack> = cameras
            .map(|(index, camera)| CameraTrack {
                camera: CameraId(index),
                name: camera.name.clone(),
                input: camera.input,
                clips: Vec::new(),
            })
            .collect();
        for take in &self.flight.takes {
            // The whole take in the edit, and what the recorder's clock showed at its beginning.
            let placed = self.place(take.span);
            let (Some((first, part)), Some((last, _))) = (placed.first(), placed.last()) else {
                continue;
            };
            let (begins, ends) = (first.from, last.to);
            let shown = |time: Utc| {
                self.options.rate.frame_at(time - self.midnight + self.options.recorder_ahead)
            };
            let source = shown(part.from);
            // All of the take, also where only a part of it has a time on the clock.
            let available = Frames {
                from: shown(take.span.from).min(source),
                to: shown(take.span.to).max(source + (ends - begins)),
            };
            for shot in &self.flight.shots {
                let Some(track) = tracks.get_mut(shot.camera.index()) else { continue };
                let Some(both) = shot.span.overlap(take.span) else { continue };
                for (at, _) in self.place(both) {
                    let media = Media {
                        name: format!("{}, take {}", track.name, take.number),
                        file: self.options.media.as_ref().map(|pattern| {
                            pattern
                                .replace("{camera}", &track.name)
                                .replace("{input}", &track.input.to_string())
                                .replace("{take}", &take.number.to_string())
                        }),
                        available: Some(available),
                    };
                    track.clips.push(Clip {
                        at,
                        source: source + (at.from - begins),
                        name: media.name.clone(),
                        media,
                        take: Some(take.number),
                        rule: self.rule(shot.rule),
                        note: String::new(),
                    });
                }
            }
        }
        tracks
    }

    fn narration(&self, language: &str) -> SoundTrack {
        let mut clips = Vec::new();
        for telling in &self.flight.narrations {
            let Some(narration) = self.plan.narrations.get(telling.narration.index()) else {
                continue;
            };
            let Some(spoken) = spoken(self.plan, telling.narration, language) else { continue };
            let recorded = voice(self.plan, telling.narration, language);
            let recorded = recorded.and_then(|voice| voice.audio.as_ref());
            let available = Frames { from: 0, to: self.options.rate.frame_at(spoken.length) };
            let note = match telling.ending {
                Ending::Told => "",
                Ending::CutOff(_) => "cut off",
            };
            for stretch in &telling.stretches {
                // In another language it may last longer.
                let left = Millis((spoken.length - stretch.into).0.max(0));
                let to = stretch.span.to.min(stretch.span.from + left);
                let heard = Span { from: stretch.span.from, to };
                for (at, part) in self.place(heard) {
                    let into = stretch.into + (part.from - stretch.span.from);
                    let media = Media {
                        name: narration.name.clone(),
                        file: self.recording(recorded),
                        available: Some(available).filter(|it| it.from < it.to),
                    };
                    let ducked = if stretch.ducked { "ducked" } else { "" };
                    let notes: Vec<&str> =
                        [ducked, note].into_iter().filter(|it| !it.is_empty()).collect();
                    clips.push(Clip {
                        at,
                        source: self.options.rate.frame_at(into),
                        media,
                        name: narration.name.clone(),
                        take: None,
                        rule: self.rule(telling.rule),
                        note: notes.join(", "),
                    });
                }
            }
        }
        SoundTrack { name: format!("narration {language}"), clips }
    }

    fn music(&self) -> SoundTrack {
        let mut clips = Vec::new();
        for span in &self.flight.music {
            let Some(music) = self.plan.music.get(span.music.index()) else { continue };
            for (heard, into) in heard(span, music, self.plan.mix.radio) {
                for (at, part) in self.place(heard) {
                    let into = into + (part.from - heard.from);
                    let ducked = span.ducked.iter().any(|span| span.overlap(part).is_some());
                    let rate = self.options.rate;
                    let available =
                        music.length.map(|it| Frames { from: 0, to: rate.frame_at(it) });
                    clips.push(Clip {
                        at,
                        source: rate.frame_at(into),
                        media: Media {
                            name: music.title.clone(),
                            file: self.recording(music.audio.as_ref()),
                            available: available.filter(|it| it.from < it.to),
                        },
                        name: music.title.clone(),
                        take: None,
                        rule: self.rule(span.rule),
                        note: if ducked { "ducked".to_owned() } else { String::new() },
                    });
                }
            }
        }
        SoundTrack { name: "music".to_owned(), clips }
    }

    /// Where a recording is.
    fn recording(&self, audio: Option<&Audio>) -> Option<String> {
        let folder = self.options.recordings.as_ref()?;
        audio.map(|audio| joined(folder, &audio.file))
    }

    /// The marks, and how many stills have none.
    fn marks(&self, passes: &[Pass]) -> (Vec<Mark>, usize) {
        let mut marks = Vec::new();
        for take in &self.flight.takes {
            if let Some((at, _)) = self.place(take.span).first() {
                let name = format!("take {}", take.number);
                marks.push(Mark { at: *at, kind: MarkKind::Take, name, note: String::new() });
            }
        }
        for title in &self.flight.titles {
            let text = self.plan.titles.get(title.title.index());
            let name = text.map_or_else(String::new, |title| title.text.clone());
            for (at, _) in self.place(title.span) {
                let kind = MarkKind::Title;
                marks.push(Mark { at, kind, name: name.clone(), note: String::new() });
            }
        }
        for pass in passes {
            let Some(place) = self.plan.places.get(pass.sight.index()) else { continue };
            let note = format!("closest, {:.0} m away", pass.distance.get());
            let name = place.title.clone();
            marks.extend(self.moment(pass.time).map(|at| Mark {
                at,
                kind: MarkKind::Sight,
                name,
                note,
            }));
        }
        let mut outside = 0;
        for still in &self.flight.stills {
            let camera = self.plan.aircraft.cameras.get(still.camera.index());
            let name = camera.map_or_else(String::new, |camera| camera.name.clone());
            let note = format!("{:.5}, {:.5}", still.position.lat(), still.position.lon());
            match self.moment(still.time) {
                Some(at) => marks.push(Mark { at, kind: MarkKind::Still, name, note }),
                None => outside += 1,
            }
        }
        marks.sort_by_key(|mark| (mark.at, mark.kind));
        (marks, outside)
    }

    /// The frame of a moment, if it is in the film.
    fn moment(&self, time: Utc) -> Option<Frames> {
        let (_, (from, _)) =
            self.sections.place(Span { from: time, to: time + Millis(1) }).next()?;
        let frame = self.options.rate.frame_at(from);
        Some(Frames { from: frame, to: frame })
    }
}

/// A file as seen from a folder, without going up and down again.
fn joined(folder: &str, file: &str) -> String {
    let mut parts: Vec<&str> = folder.split('/').collect();
    for part in file.split('/') {
        let may_go_up = parts.last().is_some_and(|last| !last.is_empty() && *last != "..");
        match part {
            "." => {}
            ".." if may_go_up => {
                parts.pop();
            }
            part => parts.push(part),
        }
    }
    parts.join("/")
}

/// What is heard of music: when, and how far into it. What is played over and over goes back hard,
/// without its crossfade; what is played once is over at its end; where a busy radio pauses music
/// it goes on after it from where it was.
fn heard(span: &MusicSpan, music: &Music, radio: MusicOnRadio) -> Vec<(Span, Millis)> {
    let mut playing = vec![];
    let mut from = span.span.from;
    let mut into = from - span.began;
    let pauses = if radio == MusicOnRadio::Paused { span.ducked.as_slice() } else { &[] };
    for pause in pauses {
        playing.push((Span { from, to: pause.from }, into));
        into = into + (pause.from - from);
        from = pause.to;
    }
    playing.push((Span { from, to: span.span.to }, into));
    let mut heard = Vec::new();
    for (span, into) in playing {
        go_round(span, into, music, &mut heard);
    }
    heard
}

/// Parts what plays from so far into a piece where it goes back.
fn go_round(span: Span, into: Millis, music: &Music, heard: &mut Vec<(Span, Millis)>) {
    // What goes round faster is a sound of its own and not laid piece by piece.
    let shortest = Millis(100);
    let repeat = music.repeat.as_ref().filter(|repeat| repeat.to - repeat.from >= shortest);
    let mut from = span.from;
    let mut place = into;
    if let Some(repeat) = repeat.filter(|repeat| place >= repeat.to) {
        let round = (repeat.to - repeat.from).0;
        place = repeat.from + Millis((place - repeat.to).0.rem_euclid(round));
    }
    while from < span.to {
        let end = repeat.map(|repeat| repeat.to).or(music.length);
        let left = end.map_or(span.to - from, |end| end - place);
        let to = span.to.min(from + left);
        if to <= from {
            return;
        }
        heard.push((Span { from, to }, place));
        from = to;
        match repeat {
            Some(repeat) => place = repeat.from,
            None => return,
        }
    }
}
