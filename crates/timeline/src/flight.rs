//! One flight, channel by channel.

use earth::{Metres, Millis, Position, Utc};
use engine::{CameraWhy, Cut, GivenUp, MusicWhy, Obstacle, RecordWhy, StillWhy, TakeTime};
use plan::{CameraId, MusicId, NarrationId, RuleId, TitleId, ZoneId};

/// From a moment up to, but without, another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Its first moment.
    pub from: Utc,
    /// The first moment after it; never before `from`.
    pub to: Utc,
}

impl Span {
    /// How long it is.
    #[must_use]
    pub fn length(self) -> Millis {
        self.to - self.from
    }

    /// Whether a moment lies in it.
    #[must_use]
    pub fn holds(self, time: Utc) -> bool {
        self.from <= time && time < self.to
    }

    /// What two have in common; none if that is not even a millisecond.
    #[must_use]
    pub fn overlap(self, other: Self) -> Option<Self> {
        let (from, to) = (self.from.max(other.from), self.to.min(other.to));
        (from < to).then_some(Self { from, to })
    }
}

/// One flight: what was live, recorded, said, played and shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flight {
    /// Number of the run, from 1.
    pub run: u32,
    /// Number of the flight in its run, from 1.
    pub number: u32,
    /// From its first moment, on the ground or in the air, to the beginning of the next or the end
    /// of the run.
    pub span: Span,
    /// From when its time is counted: its first take-off, or the first fix of a run that began in
    /// the air. `None`: it never flew.
    pub zero: Option<Utc>,
    /// Its take-offs that were seen, also those after a landing on the way.
    pub take_offs: Vec<Utc>,
    /// Its landings.
    pub landings: Vec<Landing>,
    /// What was live; where no camera was, there is no shot.
    pub shots: Vec<Shot>,
    /// What was recorded.
    pub takes: Vec<Take>,
    /// Narrations that were started.
    pub narrations: Vec<Telling>,
    /// Narrations that were asked for and never started.
    pub untold: Vec<Untold>,
    /// What music played.
    pub music: Vec<MusicSpan>,
    /// What titles showed.
    pub titles: Vec<TitleSpan>,
    /// Stills, in the order in which they were told.
    pub stills: Vec<Still>,
    /// When radio or intercom was busy.
    pub radio_busy: Vec<Span>,
    /// When the pilot had the voice off.
    pub voice_off: Vec<Span>,
    /// When GPS was lost.
    pub lost: Vec<Span>,
    /// Visits to all zones, and crossings of gates, in the order of entry.
    pub visits: Vec<Visit>,
    /// The visits to quiet zones, without those that were over at once; they may overlap.
    pub quiet: Vec<Visit>,
    /// The visits to no-filming zones, without those that were over at once; they may overlap.
    pub no_filming: Vec<Visit>,
}

impl Flight {
    /// Time since the flight's take-off of a moment, negative before it; since the flight's first
    /// moment if it never flew.
    #[must_use]
    pub fn since(&self, time: Utc) -> Millis {
        time - self.zero.unwrap_or(self.span.from)
    }

    /// The shot that is live at a moment.
    #[must_use]
    pub fn shot_at(&self, time: Utc) -> Option<&Shot> {
        self.shots.iter().find(|shot| shot.span.holds(time))
    }

    /// The take being recorded at a moment, and the time in it.
    #[must_use]
    pub fn take_at(&self, time: Utc) -> Option<TakeTime> {
        let take = self.takes.iter().find(|take| take.span.holds(time))?;
        Some(TakeTime { take: take.number, time: time - take.span.from })
    }

    /// How long was recorded in all its takes together.
    #[must_use]
    pub fn recorded(&self) -> Millis {
        self.takes.iter().fold(Millis::ZERO, |sum, take| sum + take.span.length())
    }
}

/// A landing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Landing {
    /// When it was known.
    pub time: Utc,
    /// Whether it was at home.
    pub home: bool,
}

/// A camera, live from when to when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shot {
    /// Which camera.
    pub camera: CameraId,
    /// When, in this flight.
    pub span: Span,
    /// When it went live: earlier than `span` if it already was when the flight began.
    pub began: Utc,
    /// Why it went live.
    pub why: CameraWhy,
    /// The rule that chose it, if one did.
    pub rule: Option<RuleId>,
}

/// A take: recorded from on to off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Take {
    /// Its number in its flight, from 1.
    pub number: u32,
    /// When.
    pub span: Span,
    /// Why it began.
    pub why: RecordWhy,
    /// The rule that had it begin, if one did.
    pub rule: Option<RuleId>,
    /// Why it ended; [`RecordWhy::RunEnded`] where nothing told of its end.
    pub ended: RecordWhy,
}

/// A narration that was started, with the stretches in which it played.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Telling {
    /// Which narration.
    pub narration: NarrationId,
    /// The rule that asked for it, if one is told.
    pub rule: Option<RuleId>,
    /// The wait before it, if it waited.
    pub waited: Option<Waited>,
    /// From its start until it was over, pauses included.
    pub span: Span,
    /// What played of it, in order. Between two either it was paused, or they touch and it was
    /// ducked or came back to its level.
    pub stretches: Vec<Stretch>,
    /// How it ended.
    pub ending: Ending,
}

impl Telling {
    /// How much of it played.
    #[must_use]
    pub fn played(&self) -> Millis {
        self.stretches.last().map_or(Millis::ZERO, |last| last.into + last.span.length())
    }

    /// When it was paused, in order; the last may run until it was cut off.
    #[must_use]
    pub fn pauses(&self) -> Vec<Span> {
        let mut pauses = Vec::new();
        let mut from = self.span.from;
        for stretch in &self.stretches {
            if from < stretch.span.from {
                pauses.push(Span { from, to: stretch.span.from });
            }
            from = stretch.span.to;
        }
        if from < self.span.to {
            pauses.push(Span { from, to: self.span.to });
        }
        pauses
    }

    /// The moment at which it had come so far: when a word at that time in the recording was heard.
    /// What begins where it was paused is heard after the pause. `None` if it was over before.
    #[must_use]
    pub fn moment(&self, into: Millis) -> Option<Utc> {
        let heard = |stretch: &&Stretch| {
            stretch.into <= into && into < stretch.into + stretch.span.length()
        };
        if let Some(stretch) = self.stretches.iter().find(heard) {
            return Some(stretch.span.from + (into - stretch.into));
        }
        self.stretches.last().filter(|_| into == self.played()).map(|last| last.span.to)
    }
}

/// A stretch in which a narration played without a break and at one level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// When.
    pub span: Span,
    /// How far into the narration it begins; pauses are not counted.
    pub into: Millis,
    /// Whether it was ducked for the radio.
    pub ducked: bool,
}

/// How a narration ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// It was told to its end.
    Told,
    /// It was cut off.
    CutOff(Cut),
}

/// A wait before a narration started.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Waited {
    /// Since when it waited.
    pub since: Utc,
    /// What stood in its way at first.
    pub obstacle: Obstacle,
}

/// A narration that was asked for and never started.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untold {
    /// It was skipped at once.
    Skipped {
        /// Which narration.
        narration: NarrationId,
        /// The rule that asked for it, if one is told.
        rule: Option<RuleId>,
        /// When.
        time: Utc,
        /// What stood in its way.
        obstacle: Obstacle,
    },
    /// It waited and was given up.
    GivenUp {
        /// Which narration.
        narration: NarrationId,
        /// The rule that asked for it, if one is told.
        rule: Option<RuleId>,
        /// When it was given up.
        time: Utc,
        /// The wait, if it was told.
        waited: Option<Waited>,
        /// Why it was given up.
        why: GivenUp,
    },
}

impl Untold {
    /// Which narration.
    #[must_use]
    pub fn narration(&self) -> NarrationId {
        match self {
            Self::Skipped { narration, .. } | Self::GivenUp { narration, .. } => *narration,
        }
    }
}

/// Music, playing from when to when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MusicSpan {
    /// Which music.
    pub music: MusicId,
    /// When, in this flight; fades are not reckoned.
    pub span: Span,
    /// When it began at its beginning: earlier than `span` if it was playing when the flight began.
    pub began: Utc,
    /// The rule that had it when it began, if one is told.
    pub rule: Option<RuleId>,
    /// When it was ducked for the radio.
    pub ducked: Vec<Span>,
    /// Why it ended; `None` where it plays on in the next flight.
    pub ended: Option<MusicWhy>,
    /// The music that follows at once, if one does.
    pub followed_by: Option<MusicId>,
}

/// A title, showing from when to when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TitleSpan {
    /// Which title.
    pub title: TitleId,
    /// When, in this flight.
    pub span: Span,
    /// When it came: earlier than `span` if it was showing when the flight began.
    pub began: Utc,
    /// The rule that had it when it came, if one is told.
    pub rule: Option<RuleId>,
}

/// A still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Still {
    /// By which camera.
    pub camera: CameraId,
    /// Its moment: of one at the closest point, when the aircraft was there.
    pub time: Utc,
    /// When it was known and told; not before `time`.
    pub told: Utc,
    /// Where the aircraft was at its moment.
    pub position: Position,
    /// The altitude there, if known.
    pub altitude: Option<Metres>,
    /// Why it was taken.
    pub why: StillWhy,
    /// The rule that took it, if one did.
    pub rule: Option<RuleId>,
}

/// A visit to a zone, or the crossing of a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Visit {
    /// Which zone.
    pub zone: ZoneId,
    /// The how-manieth entry or crossing in this flight, from 1.
    pub pass: u32,
    /// From when to when it had effect. Empty for a gate, and for a zone entered and left between
    /// two fixes.
    pub span: Span,
    /// When the edge or line was crossed inwards, which is not after `span` begins.
    pub entered: Utc,
    /// When the edge was crossed outwards, which is not after `span` ends; `None` where it was
    /// still inside at the end of the flight.
    pub left: Option<Utc>,
}
