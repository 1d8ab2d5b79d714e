//! What the engine says: changes in the order of their effects, the state at every good fix, and
//! notices about what it was given.

use earth::{DegreesTrue, Metres, MetresPerSecond, Millis, Position, Utc};
use plan::{CameraId, Hand, MusicId, NarrationId, RuleId, Side, TitleId, ZoneId};

/// Takes what the engine says, as it says it.
///
/// At one instant the changes come first, in their order, then the state. What is borrowed is good
/// for the call only.
pub trait Sink {
    /// Something changed.
    fn change(&mut self, change: &Change);
    /// The state at a good fix, with all that was due up to and including it.
    fn state(&mut self, state: &State<'_>);
    /// Something about the input that people should know.
    fn notice(&mut self, notice: &Notice);
    /// A rule became active or inactive. Not a change of the film; nothing by default.
    fn rule(&mut self, activity: &RuleActivity) {
        let _ = activity;
    }
}

/// Nobody listens.
impl Sink for () {
    fn change(&mut self, _: &Change) {}
    fn state(&mut self, _: &State<'_>) {}
    fn notice(&mut self, _: &Notice) {}
}

/// Whoever listens goes on doing so elsewhere afterwards.
impl<S: Sink + ?Sized> Sink for &mut S {
    fn change(&mut self, change: &Change) {
        (**self).change(change);
    }
    fn state(&mut self, state: &State<'_>) {
        (**self).state(state);
    }
    fn notice(&mut self, notice: &Notice) {
        (**self).notice(notice);
    }
    fn rule(&mut self, activity: &RuleActivity) {
        (**self).rule(activity);
    }
}

/// Somebody listens, or nobody.
impl<S: Sink> Sink for Option<S> {
    fn change(&mut self, change: &Change) {
        if let Some(sink) = self {
            sink.change(change);
        }
    }
    fn state(&mut self, state: &State<'_>) {
        if let Some(sink) = self {
            sink.state(state);
        }
    }
    fn notice(&mut self, notice: &Notice) {
        if let Some(sink) = self {
            sink.notice(notice);
        }
    }
    fn rule(&mut self, activity: &RuleActivity) {
        if let Some(sink) = self {
            sink.rule(activity);
        }
    }
}

/// Two listen, the first before the second.
impl<A: Sink, B: Sink> Sink for (A, B) {
    fn change(&mut self, change: &Change) {
        self.0.change(change);
        self.1.change(change);
    }
    fn state(&mut self, state: &State<'_>) {
        self.0.state(state);
        self.1.state(state);
    }
    fn notice(&mut self, notice: &Notice) {
        self.0.notice(notice);
        self.1.notice(notice);
    }
    fn rule(&mut self, activity: &RuleActivity) {
        self.0.rule(activity);
        self.1.rule(activity);
    }
}

/// A rule became active or inactive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuleActivity {
    /// When that took effect.
    pub time: Utc,
    /// Which rule.
    pub rule: RuleId,
    /// Whether it is active now.
    pub active: bool,
}

/// A take and the time in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TakeTime {
    /// Number of the take in its flight, from 1.
    pub take: u32,
    /// Time since the take began; of its end, its length.
    pub time: Millis,
}

/// One change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// When it took effect.
    pub effect: Utc,
    /// Its own time, where that differs: the time of a crossing on the leg, the time of the closest
    /// point, the time stamped on a late hand action.
    pub own: Option<Utc>,
    /// Number of the run, from 1.
    pub run: u32,
    /// Number of the flight in the run, from 1; before the first take-off it is the flight to come.
    pub flight: u32,
    /// Time since the flight's take-off (since the run's first fix if it began in the air); `None`
    /// while the take-off is yet to come.
    pub since_takeoff: Option<Millis>,
    /// The take on at the effect and the time in it, if one is on; of a take's end, its length.
    pub take: Option<TakeTime>,
    /// What changed.
    pub event: Event,
    /// The rule that caused it, if one did.
    pub rule: Option<RuleId>,
    /// Where the aircraft was: for a crossing the crossing point, for a closest point that point,
    /// else the last good fix.
    pub position: Position,
    /// The altitude there, if known.
    pub altitude: Option<Metres>,
}

/// What changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Event {
    /// The run began with its first fix.
    RunBegan,
    /// The run is over; what was still going on is cut there.
    RunEnded,
    /// GPS was lost.
    GpsLost,
    /// GPS is back with a good fix; `gap` tells whether it came later than the bridge.
    GpsBack {
        /// Whether the flight since the last good fix is not reckoned.
        gap: bool,
    },
    /// The pilot's hand.
    Hand {
        /// What was done.
        action: Hand,
        /// What came of it.
        outcome: HandOutcome,
    },
    /// A camera picked by hand has run out and the plan has the camera again.
    HandCameraEnded,
    /// Took off.
    TookOff,
    /// Landed.
    Landed {
        /// Whether it is a landing at home.
        home: bool,
    },
    /// A new flight begins on the ground.
    FlightBegan,
    /// A zone was entered.
    Entered {
        /// Which zone.
        zone: ZoneId,
        /// The how-manieth time in this flight.
        pass: u32,
    },
    /// A zone was left.
    Left {
        /// Which zone.
        zone: ZoneId,
    },
    /// A gate was crossed, and it counts.
    Crossed {
        /// Which gate.
        zone: ZoneId,
        /// From which side; never [`Side::Either`].
        from: Side,
        /// The how-manieth time in this flight.
        pass: u32,
    },
    /// Another camera is live.
    Camera {
        /// The one before.
        from: Option<CameraId>,
        /// The one now.
        to: Option<CameraId>,
        /// Why.
        why: CameraWhy,
    },
    /// Recording began: a new take.
    RecordOn {
        /// Why.
        why: RecordWhy,
    },
    /// Recording ended. [`Change::take`] holds the take and its length.
    RecordOff {
        /// Why.
        why: RecordWhy,
    },
    /// What was filmed inside a no-filming zone, though nothing may be: before the entry was known,
    /// or by a press that the route allows.
    FilmedInside {
        /// Which zone.
        zone: ZoneId,
        /// From when.
        from: Utc,
        /// Until when.
        to: Utc,
        /// Whether it was by hand where the route allows that.
        by_hand: bool,
    },
    /// Something happened to a narration.
    Narration {
        /// Which narration.
        narration: NarrationId,
        /// What happened.
        what: NarrationEvent,
    },
    /// Other music plays.
    Music {
        /// What played before.
        from: Option<MusicId>,
        /// What plays now.
        to: Option<MusicId>,
        /// Why.
        why: MusicWhy,
    },
    /// Music is quieter or back at its level, for the radio.
    MusicDucked {
        /// Which music.
        music: MusicId,
        /// Whether it is ducked now.
        ducked: bool,
    },
    /// Another title shows.
    Title {
        /// The one before.
        from: Option<TitleId>,
        /// The one now.
        to: Option<TitleId>,
    },
    /// A still was taken.
    Still {
        /// By which camera.
        camera: CameraId,
        /// Why.
        why: StillWhy,
    },
}

/// What came of a hand action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandOutcome {
    /// Done.
    Done,
    /// It changed nothing: it was so already, or there was nothing to act on.
    NoEffect,
    /// Refused: the camera is out of service.
    OutOfService,
    /// Refused: the camera is not allowed today.
    NotAllowed,
    /// Refused: inside a no-filming zone.
    NoFilming(ZoneId),
}

/// Why a camera is live.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CameraWhy {
    /// A rule won the channel.
    Rule(RuleId),
    /// No rule has it: the default sequence.
    DefaultSequence,
    /// GPS is lost: what had the channel keeps it for the shot hold.
    ShotHold(RuleId),
    /// GPS is lost and the shot hold is over: the default sequence.
    Lost,
    /// Picked by hand.
    Hand,
    /// There is no camera to show.
    NoCamera,
}

/// Why recording is on or off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RecordWhy {
    /// A rule won the channel.
    Rule(RuleId),
    /// The post-roll of a rule that has ended.
    PostRoll(RuleId),
    /// No rule says anything.
    NoRule,
    /// Switched by hand.
    Hand,
    /// On the ground.
    OnGround,
    /// Inside a no-filming zone.
    NoFilming(ZoneId),
    /// The flight was followed by the next.
    NewFlight,
    /// The run ended.
    RunEnded,
}

/// What happened to a narration.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NarrationEvent {
    /// It was asked for and waits.
    Waits(Obstacle),
    /// It started.
    Started,
    /// It is over, in full.
    Ended,
    /// It was cut off.
    CutOff {
        /// By what.
        by: Cut,
        /// How much of it had played.
        played: Millis,
    },
    /// It was asked for and skipped.
    Skipped(Obstacle),
    /// It waited and was given up.
    GivenUp(GivenUp),
    /// It stopped for the radio.
    Paused,
    /// It went on after the radio.
    WentOn,
    /// It is quieter or back at its level, for the radio.
    Ducked(bool),
}

/// What stands in a narration's way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Obstacle {
    /// One is playing or paused.
    Playing(NarrationId),
    /// The breath after one is not over.
    Breath,
    /// The aircraft is in a quiet zone.
    Quiet(ZoneId),
    /// Radio or intercom is busy.
    Radio,
    /// The voice is off.
    VoiceOff,
    /// It is for the ground and the aircraft is not on it.
    NotOnGround,
    /// GPS is lost.
    Lost,
}

/// What cut a narration off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// Another that interrupts.
    Interrupted(NarrationId),
    /// A quiet zone was entered.
    Quiet(ZoneId),
    /// Take-off, of one for the ground.
    TookOff,
    /// Busy radio, where it is dropped.
    Radio,
    /// It had been paused for too long.
    PausedTooLong,
    /// The pilot skipped it.
    Skipped,
    /// The pilot switched the voice off.
    VoiceOff,
    /// A new flight began.
    NewFlight,
    /// The run ended.
    RunEnded,
}

/// Why a waiting narration was given up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GivenUp {
    /// Its rule ended.
    RuleEnded,
    /// Its waiting time ran out.
    WaitedLongEnough,
    /// It was played for another rule meanwhile.
    PlayedAlready,
    /// A new flight began.
    NewFlight,
    /// The run ended.
    RunEnded,
}

/// Why music changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MusicWhy {
    /// A rule won the channel.
    Rule(RuleId),
    /// No rule wants music.
    NoRule,
    /// In a quiet zone.
    Quiet(ZoneId),
    /// The run ended.
    RunEnded,
}

/// Why a still was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StillWhy {
    /// The rule became active.
    Start,
    /// Its time had come.
    Every,
    /// The closest point to its place had been passed.
    Closest,
    /// By hand.
    Hand,
}

/// Where a heading came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadingFrom {
    /// A heading source.
    Source,
    /// The wind triangle.
    Wind,
    /// The last good heading is held.
    Held,
    /// Neither source nor wind: the track stands in.
    Track,
}

/// The state at a good fix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State<'a> {
    /// The fix's time.
    pub time: Utc,
    /// Number of the run, from 1.
    pub run: u32,
    /// Number of the flight in the run, from 1.
    pub flight: u32,
    /// Time since the run's first fix.
    pub since_first: Millis,
    /// Time since the flight's take-off; `None` while it is yet to come.
    pub since_takeoff: Option<Millis>,
    /// Where.
    pub position: Position,
    /// Altitude above mean sea level, if known.
    pub altitude: Option<Metres>,
    /// Groundspeed, if known.
    pub groundspeed: Option<MetresPerSecond>,
    /// Track over the ground, if known.
    pub track: Option<DegreesTrue>,
    /// Heading and where it came from, if known.
    pub heading: Option<(DegreesTrue, HeadingFrom)>,
    /// Airborne or on the ground; `None` until a speed is known.
    pub airborne: Option<bool>,
    /// The zones it is in, in the plan's order.
    pub zones: &'a [ZoneId],
    /// The camera that is live.
    pub camera: Option<CameraId>,
    /// Why that camera.
    pub camera_why: CameraWhy,
    /// A camera that is wanted and waits for the minimum shot.
    pub camera_next: Option<CameraId>,
    /// The narration playing or paused.
    pub narration: Option<NarrationState>,
    /// The music playing.
    pub music: Option<MusicId>,
    /// Whether the music is ducked for the radio.
    pub music_ducked: bool,
    /// The title showing.
    pub title: Option<TitleId>,
    /// The take being recorded and the time in it; `None` while record is off.
    pub take: Option<TakeTime>,
    /// The cameras by which stills were taken since the fix before.
    pub stills: &'a [CameraId],
    /// How the fix came: on a leg from the one before, or after a loss or gap.
    pub gps: Gps,
    /// Whether the voice is on.
    pub voice_on: bool,
    /// Whether radio or intercom is busy.
    pub radio_busy: bool,
}

/// How a good fix came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gps {
    /// The first fix of a run.
    First,
    /// In time after the one before.
    Good,
    /// After GPS had been lost, within the bridge.
    Back,
    /// After a gap.
    Gap,
}

/// A narration playing or paused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NarrationState {
    /// Which narration.
    pub narration: NarrationId,
    /// How far into it; pauses are not counted.
    pub into: Millis,
    /// How it plays.
    pub how: Playing,
}

/// How a narration plays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Playing {
    /// At its level.
    Full,
    /// Ducked for the radio.
    Ducked,
    /// Paused for the radio.
    Paused,
}

/// Something about the input that people should know.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Notice {
    /// A fix was rejected and changed nothing.
    Rejected {
        /// The time stamped on it.
        time: Utc,
        /// The how-manieth fix given to the engine, from 1.
        number: u64,
        /// Why.
        why: Rejection,
    },
    /// Three rejected fixes agreed and the third was believed.
    Believed {
        /// The time stamped on it.
        time: Utc,
        /// Whether it began a new run; else it is the first fix after a gap.
        new_run: bool,
    },
    /// There is no heading source and no wind: the track stands in for the heading. Said once a run.
    TrackStandsIn {
        /// From when.
        time: Utc,
    },
    /// The magnetic model does not cover the date; its nearest day is used. Said once a run.
    MagneticModelDate {
        /// The date asked for.
        time: Utc,
    },
    /// A hand action after the last fix, which did not happen.
    HandAfterEnd {
        /// The time stamped on it.
        time: Utc,
        /// What would have been done.
        action: Hand,
    },
}

/// Why a fix was rejected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rejection {
    /// Not later than the last good one.
    NotLater,
    /// More than 30 min later than the last good one.
    TooLate,
    /// It would need more than the greatest plausible speed.
    TooFast,
}
