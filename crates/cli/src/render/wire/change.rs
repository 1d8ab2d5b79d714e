//! A change as JSON: one object of the same keys for every kind of change.

use earth::Millis;
use engine::{
    CameraWhy, Change, Cut, Event, GivenUp, HandOutcome, MusicWhy, NarrationEvent, Obstacle,
    RecordWhy, StillWhy,
};
use plan::{Hand, Plan, RuleId, Side};
use serde::Serialize;

use super::{SinceWire, UtcWire};
use crate::render::words;

/// A rule and where it is written.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct RuleWire<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// The file, as the plan names it.
    pub(crate) file: &'a str,
    /// Line, from 1.
    pub(crate) line: u32,
    /// Column in characters, from 1.
    pub(crate) column: u32,
}

impl<'a> RuleWire<'a> {
    /// Of a rule of the plan.
    pub(crate) fn of(plan: &'a Plan, id: RuleId) -> Option<Self> {
        let rule = plan.rules.get(id.index())?;
        let file = usize::try_from(rule.source.file).ok()?;
        Some(Self {
            name: &rule.name,
            file: plan.sources.get(file).map_or("?", String::as_str),
            line: rule.source.line,
            column: rule.source.column,
        })
    }
}

/// A change on the wire.
#[derive(Debug, Serialize)]
pub(crate) struct ChangeWire<'a> {
    time: UtcWire,
    own_time: Option<UtcWire>,
    t: Option<SinceWire>,
    since_takeoff_ms: Option<i64>,
    run: u32,
    flight: u32,
    channel: &'static str,
    event: &'static str,
    of: Option<&'a str>,
    from: Option<&'a str>,
    to: Option<&'a str>,
    why: Option<&'static str>,
    why_of: Option<&'a str>,
    pass: Option<u32>,
    length_ms: Option<i64>,
    rule: Option<RuleWire<'a>>,
    take: Option<u32>,
    take_time_ms: Option<i64>,
    lat: f64,
    lon: f64,
    altitude_m: Option<f64>,
    text: String,
}

/// What depends on the kind of event.
#[derive(Default)]
struct Kind<'a> {
    event: &'static str,
    of: Option<&'a str>,
    from: Option<&'a str>,
    to: Option<&'a str>,
    why: Option<&'static str>,
    why_of: Option<&'a str>,
    pass: Option<u32>,
    length: Option<Millis>,
}

impl<'a> ChangeWire<'a> {
    /// A change, with the time since take-off as it is known now.
    pub(crate) fn of(plan: &'a Plan, change: &Change, since: Option<Millis>) -> Self {
        let words = words::change(plan, change);
        let kind = kind(plan, change.event);
        let text = if words.why.is_empty() {
            words.what
        } else {
            format!("{} ({})", words.what, words.why)
        };
        Self {
            time: UtcWire(change.effect),
            own_time: change.own.map(UtcWire),
            t: since.map(SinceWire),
            since_takeoff_ms: since.map(|since| since.0),
            run: change.run,
            flight: change.flight,
            channel: words.channel,
            event: kind.event,
            of: kind.of,
            from: kind.from,
            to: kind.to,
            why: kind.why,
            why_of: kind.why_of,
            pass: kind.pass,
            length_ms: kind.length.map(|length| length.0),
            rule: change.rule.and_then(|rule| RuleWire::of(plan, rule)),
            take: change.take.map(|take| take.take),
            take_time_ms: change.take.map(|take| take.time.0),
            lat: change.position.lat(),
            lon: change.position.lon(),
            altitude_m: change.altitude.map(earth::Metres::get),
            text,
        }
    }
}

fn kind(plan: &Plan, event: Event) -> Kind<'_> {
    let plain = |event| Kind { event, ..Kind::default() };
    match event {
        Event::RunBegan => plain("run_began"),
        Event::RunEnded => plain("run_ended"),
        Event::GpsLost => plain("gps_lost"),
        Event::GpsBack { gap } => Kind { why: gap.then_some("gap"), ..plain("gps_back") },
        Event::Hand { action, outcome } => hand(plan, action, outcome),
        Event::HandCameraEnded => plain("hand_camera_ended"),
        Event::TookOff => plain("took_off"),
        Event::Landed { home } => {
            Kind { why: Some(if home { "home" } else { "away" }), ..plain("landed") }
        }
        Event::FlightBegan => plain("flight_began"),
        Event::Entered { zone, pass } => {
            Kind { of: Some(words::zone(plan, zone)), pass: Some(pass), ..plain("entered") }
        }
        Event::Left { zone } => Kind { of: Some(words::zone(plan, zone)), ..plain("left") },
        Event::Crossed { zone, from, pass } => Kind {
            of: Some(words::zone(plan, zone)),
            from: match from {
                Side::Left => Some("left"),
                Side::Right => Some("right"),
                Side::Either => None,
            },
            pass: Some(pass),
            ..plain("crossed")
        },
        Event::Camera { from, to, why } => Kind {
            from: from.map(|id| words::camera(plan, id)),
            to: to.map(|id| words::camera(plan, id)),
            why: Some(camera_why(why)),
            ..plain("camera")
        },
        Event::RecordOn { why } => {
            let (why, why_of) = record_why(plan, why);
            Kind { why: Some(why), why_of, ..plain("record_on") }
        }
        Event::RecordOff { why } => {
            let (why, why_of) = record_why(plan, why);
            Kind { why: Some(why), why_of, ..plain("record_off") }
        }
        Event::FilmedInside { zone, from, to, by_hand } => Kind {
            of: Some(words::zone(plan, zone)),
            why: Some(if by_hand { "hand" } else { "entry_not_known" }),
            length: Some(to - from),
            ..plain("filmed_inside")
        },
        Event::Narration { narration, what } => {
            Kind { of: Some(words::narration(plan, narration)), ..narration_kind(plan, what) }
        }
        Event::Music { from, to, why } => {
            let (why, why_of) = music_why(plan, why);
            Kind {
                from: from.map(|id| words::music(plan, id)),
                to: to.map(|id| words::music(plan, id)),
                why: Some(why),
                why_of,
                ..plain("music")
            }
        }
        Event::MusicDucked { music, ducked } => Kind {
            of: Some(words::music(plan, music)),
            ..plain(if ducked { "music_ducked" } else { "music_at_its_level" })
        },
        Event::Title { from, to } => Kind {
            from: from.map(|id| words::title(plan, id)),
            to: to.map(|id| words::title(plan, id)),
            ..plain("title")
        },
        Event::Still { camera, why } => Kind {
            of: Some(words::camera(plan, camera)),
            why: Some(match why {
                StillWhy::Start => "start",
                StillWhy::Every => "every",
                StillWhy::Closest => "closest",
                StillWhy::Hand => "hand",
            }),
            ..plain("still")
        },
    }
}

fn hand(plan: &Plan, action: Hand, outcome: HandOutcome) -> Kind<'_> {
    let (event, of) = match action {
        Hand::Camera(id) => ("hand_camera", Some(words::camera(plan, id))),
        Hand::Automatic => ("hand_automatic", None),
        Hand::RecordOn => ("hand_record_on", None),
        Hand::RecordOff => ("hand_record_off", None),
        Hand::Still => ("hand_still", None),
        Hand::VoiceOff => ("hand_voice_off", None),
        Hand::VoiceOn => ("hand_voice_on", None),
        Hand::Skip => ("hand_skip", None),
        Hand::RadioBusy => ("hand_radio_busy", None),
        Hand::RadioClear => ("hand_radio_clear", None),
    };
    let (why, why_of) = match outcome {
        HandOutcome::Done => ("done", None),
        HandOutcome::NoEffect => ("no_effect", None),
        HandOutcome::OutOfService => ("refused_out_of_service", None),
        HandOutcome::NotAllowed => ("refused_not_allowed", None),
        HandOutcome::NoFilming(id) => ("refused_no_filming", Some(words::zone(plan, id))),
    };
    Kind { event, of, why: Some(why), why_of, ..Kind::default() }
}

/// The word for why a camera is live.
pub(crate) const fn camera_why(why: CameraWhy) -> &'static str {
    match why {
        CameraWhy::Rule(_) => "rule",
        CameraWhy::DefaultSequence => "default_sequence",
        CameraWhy::ShotHold(_) => "shot_hold",
        CameraWhy::Lost => "lost",
        CameraWhy::Hand => "hand",
        CameraWhy::NoCamera => "no_camera",
    }
}

fn record_why(plan: &Plan, why: RecordWhy) -> (&'static str, Option<&str>) {
    match why {
        RecordWhy::Rule(id) => ("rule", Some(words::rule(plan, id))),
        RecordWhy::PostRoll(id) => ("post_roll", Some(words::rule(plan, id))),
        RecordWhy::NoRule => ("no_rule", None),
        RecordWhy::Hand => ("hand", None),
        RecordWhy::OnGround => ("on_ground", None),
        RecordWhy::NoFilming(id) => ("no_filming", Some(words::zone(plan, id))),
        RecordWhy::NewFlight => ("new_flight", None),
        RecordWhy::RunEnded => ("run_ended", None),
    }
}

fn music_why(plan: &Plan, why: MusicWhy) -> (&'static str, Option<&str>) {
    match why {
        MusicWhy::Rule(id) => ("rule", Some(words::rule(plan, id))),
        MusicWhy::NoRule => ("no_rule", None),
        MusicWhy::Quiet(id) => ("quiet", Some(words::zone(plan, id))),
        MusicWhy::RunEnded => ("run_ended", None),
    }
}

fn narration_kind(plan: &Plan, what: NarrationEvent) -> Kind<'_> {
    let plain = |event| Kind { event, ..Kind::default() };
    let blocked = |event, by| {
        let (why, why_of) = obstacle(plan, by);
        Kind { event, why: Some(why), why_of, ..Kind::default() }
    };
    match what {
        NarrationEvent::Waits(by) => blocked("narration_waits", by),
        NarrationEvent::Started => plain("narration_started"),
        NarrationEvent::Ended => plain("narration_ended"),
        NarrationEvent::CutOff { by, played } => {
            let (why, why_of) = cut(plan, by);
            Kind { why: Some(why), why_of, length: Some(played), ..plain("narration_cut_off") }
        }
        NarrationEvent::Skipped(by) => blocked("narration_skipped", by),
        NarrationEvent::GivenUp(why) => {
            let why = match why {
                GivenUp::RuleEnded => "rule_ended",
                GivenUp::WaitedLongEnough => "waited_long_enough",
                GivenUp::PlayedAlready => "played_already",
                GivenUp::NewFlight => "new_flight",
                GivenUp::RunEnded => "run_ended",
            };
            Kind { why: Some(why), ..plain("narration_given_up") }
        }
        NarrationEvent::Paused => plain("narration_paused"),
        NarrationEvent::WentOn => plain("narration_went_on"),
        NarrationEvent::Ducked(true) => plain("narration_ducked"),
        NarrationEvent::Ducked(false) => plain("narration_at_its_level"),
    }
}

fn obstacle(plan: &Plan, obstacle: Obstacle) -> (&'static str, Option<&str>) {
    match obstacle {
        Obstacle::Playing(id) => ("playing", Some(words::narration(plan, id))),
        Obstacle::Breath => ("breath", None),
        Obstacle::Quiet(id) => ("quiet", Some(words::zone(plan, id))),
        Obstacle::Radio => ("radio", None),
        Obstacle::VoiceOff => ("voice_off", None),
        Obstacle::NotOnGround => ("not_on_ground", None),
        Obstacle::Lost => ("lost", None),
    }
}

fn cut(plan: &Plan, by: Cut) -> (&'static str, Option<&str>) {
    match by {
        Cut::Interrupted(id) => ("interrupted", Some(words::narration(plan, id))),
        Cut::Quiet(id) => ("quiet", Some(words::zone(plan, id))),
        Cut::TookOff => ("took_off", None),
        Cut::Radio => ("radio", None),
        Cut::PausedTooLong => ("paused_too_long", None),
        Cut::Skipped => ("skipped", None),
        Cut::VoiceOff => ("voice_off", None),
        Cut::NewFlight => ("new_flight", None),
        Cut::RunEnded => ("run_ended", None),
    }
}
