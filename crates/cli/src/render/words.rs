//! What the engine says, in words.

use engine::{
    CameraWhy, Change, Cut, Event, GivenUp, HandOutcome, HeadingFrom, MusicWhy, NarrationEvent,
    Obstacle, RecordWhy, Rejection, StillWhy,
};
use plan::{CameraId, Hand, MusicId, NarrationId, Plan, RuleId, Side, TitleId, ZoneId};

use super::time::{Length, UtcText};

/// A number of things, such as `1 tour` or `2 tours`.
pub(crate) fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

/// A change in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Words {
    /// What it belongs to: a channel, or `run`, `gps`, `hand`, `flight`, `zone`.
    pub(crate) channel: &'static str,
    /// What changed, from what to what.
    pub(crate) what: String,
    /// Why, where that is not the rule alone; may be empty.
    pub(crate) why: String,
}

fn named<T>(list: &[T], index: usize, name: impl Fn(&T) -> &str) -> &str {
    list.get(index).map_or("?", name)
}

/// The name of a camera.
pub(crate) fn camera(plan: &Plan, id: CameraId) -> &str {
    named(&plan.aircraft.cameras, id.index(), |camera| &camera.name)
}

/// The name of a zone.
pub(crate) fn zone(plan: &Plan, id: ZoneId) -> &str {
    named(&plan.zones, id.index(), |zone| &zone.name)
}

/// The name of a rule.
pub(crate) fn rule(plan: &Plan, id: RuleId) -> &str {
    named(&plan.rules, id.index(), |rule| &rule.name)
}

/// The name of a narration.
pub(crate) fn narration(plan: &Plan, id: NarrationId) -> &str {
    named(&plan.narrations, id.index(), |narration| &narration.name)
}

/// The name of a piece of music.
pub(crate) fn music(plan: &Plan, id: MusicId) -> &str {
    named(&plan.music, id.index(), |music| &music.name)
}

/// The name of a title.
pub(crate) fn title(plan: &Plan, id: TitleId) -> &str {
    named(&plan.titles, id.index(), |title| &title.name)
}

/// A name, or `none`.
pub(crate) fn or_none(name: Option<&str>) -> &str {
    name.unwrap_or("none")
}

/// A rule's place in the authored text, `tours/west.yaml:40:3`; empty where it is not known.
pub(crate) fn source(plan: &Plan, source: plan::Source) -> String {
    let file = usize::try_from(source.file).ok().and_then(|file| plan.sources.get(file));
    file.map_or_else(String::new, |file| format!("{file}:{}:{}", source.line, source.column))
}

/// A rule with its place, `arch-northbound (tours/west.yaml:40:3)`.
pub(crate) fn rule_and_place(plan: &Plan, id: RuleId) -> String {
    let Some(found) = plan.rules.get(id.index()) else { return "?".to_owned() };
    format!("{} ({})", found.name, source(plan, found.source))
}

/// A change in words.
pub(crate) fn change(plan: &Plan, change: &Change) -> Words {
    let words = |channel, what: String, why: String| Words { channel, what, why };
    let plain = |channel, what: &str| words(channel, what.to_owned(), String::new());
    match change.event {
        Event::RunBegan => plain("run", "begins with the first fix"),
        Event::RunEnded => plain("run", "is over"),
        Event::GpsLost => plain("gps", "good -> lost"),
        Event::GpsBack { gap: false } => plain("gps", "lost -> good"),
        Event::GpsBack { gap: true } => {
            words("gps", "lost -> good".into(), "after a gap; what was crossed is not known".into())
        }
        Event::Hand { action, outcome } => {
            words("hand", hand(plan, action), hand_outcome(plan, outcome))
        }
        Event::HandCameraEnded => plain("hand", "camera picked by hand -> automatic"),
        Event::TookOff => plain("flight", "on the ground -> airborne"),
        Event::Landed { home } => words(
            "flight",
            "airborne -> on the ground".into(),
            if home { "at home" } else { "away from home" }.into(),
        ),
        Event::FlightBegan => plain("flight", "the next flight begins"),
        Event::Entered { zone: id, pass } => {
            words("zone", format!("entered {}", zone(plan, id)), pass_words(pass))
        }
        Event::Left { zone: id } => {
            words("zone", format!("left {}", zone(plan, id)), String::new())
        }
        Event::Crossed { zone: id, from, pass } => {
            let side = match from {
                Side::Left => " from its left",
                Side::Right => " from its right",
                Side::Either => "",
            };
            words("zone", format!("crossed {}{side}", zone(plan, id)), pass_words(pass))
        }
        Event::Camera { from, to, why } => {
            let name = |id: Option<CameraId>| or_none(id.map(|id| camera(plan, id)));
            words("camera", format!("{} -> {}", name(from), name(to)), camera_why(why).into())
        }
        Event::RecordOn { why } => words("record", "off -> on".into(), record_why(plan, why)),
        Event::RecordOff { why } => words("record", "on -> off".into(), record_why(plan, why)),
        Event::FilmedInside { zone: id, from, to, by_hand } => words(
            "record",
            format!("filmed inside {} for {}", zone(plan, id), Length(to - from)),
            if by_hand { "by hand, which the route allows" } else { "before the entry was known" }
                .into(),
        ),
        Event::Narration { narration: id, what } => {
            let (what, why) = narration_words(plan, what);
            words("narration", format!("{} {what}", narration(plan, id)), why)
        }
        Event::Music { from, to, why } => {
            let name = |id: Option<MusicId>| or_none(id.map(|id| music(plan, id)));
            words("music", format!("{} -> {}", name(from), name(to)), music_why(plan, why))
        }
        Event::MusicDucked { music: id, ducked } => {
            let how = if ducked { "full -> ducked" } else { "ducked -> full" };
            words("music", format!("{} {how}", music(plan, id)), "radio".into())
        }
        Event::Title { from, to } => {
            let name = |id: Option<TitleId>| or_none(id.map(|id| title(plan, id)));
            words("title", format!("{} -> {}", name(from), name(to)), String::new())
        }
        Event::Still { camera: id, why } => {
            words("still", format!("taken by {}", camera(plan, id)), still_why(why).into())
        }
    }
}

fn pass_words(pass: u32) -> String {
    if pass > 1 { format!("pass {pass}") } else { String::new() }
}

/// What the pilot did.
pub(crate) fn hand(plan: &Plan, action: Hand) -> String {
    match action {
        Hand::Camera(id) => format!("picks camera {}", camera(plan, id)),
        Hand::Automatic => "camera to automatic".into(),
        Hand::RecordOn => "record on".into(),
        Hand::RecordOff => "record off".into(),
        Hand::Still => "still".into(),
        Hand::VoiceOff => "voice off".into(),
        Hand::VoiceOn => "voice on".into(),
        Hand::Skip => "skips the narration".into(),
        Hand::RadioBusy => "radio busy".into(),
        Hand::RadioClear => "radio clear".into(),
    }
}

/// A number of things, such as `1 point` or `2 points`.
pub(crate) fn so_many(number: u64, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

fn hand_outcome(plan: &Plan, outcome: HandOutcome) -> String {
    match outcome {
        HandOutcome::Done => String::new(),
        HandOutcome::NoEffect => "no effect".into(),
        HandOutcome::OutOfService => "refused: out of service".into(),
        HandOutcome::NotAllowed => "refused: not allowed today".into(),
        HandOutcome::NoFilming(id) => format!("refused: no filming in {}", zone(plan, id)),
    }
}

/// Why a camera is live; empty where its rule says it.
pub(crate) fn camera_why(why: CameraWhy) -> &'static str {
    match why {
        CameraWhy::Rule(_) => "",
        CameraWhy::DefaultSequence => "default sequence",
        CameraWhy::ShotHold(_) => "GPS lost: held",
        CameraWhy::Lost => "GPS lost: default sequence",
        CameraWhy::Hand => "by hand",
        CameraWhy::NoCamera => "no camera to show",
    }
}

fn record_why(plan: &Plan, why: RecordWhy) -> String {
    match why {
        RecordWhy::Rule(_) => String::new(),
        RecordWhy::PostRoll(id) => format!("post-roll of {}", rule(plan, id)),
        RecordWhy::NoRule => "no rule asks for it".into(),
        RecordWhy::Hand => "by hand".into(),
        RecordWhy::OnGround => "on the ground".into(),
        RecordWhy::NoFilming(id) => format!("no filming in {}", zone(plan, id)),
        RecordWhy::NewFlight => "a new flight".into(),
        RecordWhy::RunEnded => "the run ended".into(),
    }
}

fn narration_words(plan: &Plan, what: NarrationEvent) -> (String, String) {
    match what {
        NarrationEvent::Waits(by) => ("waits".into(), obstacle(plan, by)),
        NarrationEvent::Started => ("starts".into(), String::new()),
        NarrationEvent::Ended => ("ends".into(), String::new()),
        NarrationEvent::CutOff { by, played } => {
            (format!("is cut off after {}", Length(played)), cut(plan, by))
        }
        NarrationEvent::Skipped(by) => ("is skipped".into(), obstacle(plan, by)),
        NarrationEvent::GivenUp(why) => ("is given up".into(), given_up(why).into()),
        NarrationEvent::Paused => ("is paused".into(), "radio".into()),
        NarrationEvent::WentOn => ("goes on".into(), "radio clear".into()),
        NarrationEvent::Ducked(true) => ("is ducked".into(), "radio".into()),
        NarrationEvent::Ducked(false) => ("is back at its level".into(), "radio clear".into()),
    }
}

/// What stands in a narration's way.
pub(crate) fn obstacle(plan: &Plan, obstacle: Obstacle) -> String {
    match obstacle {
        Obstacle::Playing(id) => format!("{} is playing", narration(plan, id)),
        Obstacle::Breath => "the breath after the one before".into(),
        Obstacle::Quiet(id) => format!("quiet zone {}", zone(plan, id)),
        Obstacle::Radio => "radio busy".into(),
        Obstacle::VoiceOff => "voice off".into(),
        Obstacle::NotOnGround => "it is for the ground".into(),
        Obstacle::Lost => "GPS lost".into(),
    }
}

/// What cut a narration off.
pub(crate) fn cut(plan: &Plan, by: Cut) -> String {
    match by {
        Cut::Interrupted(id) => format!("interrupted by {}", narration(plan, id)),
        Cut::Quiet(id) => format!("quiet zone {}", zone(plan, id)),
        Cut::TookOff => "take-off".into(),
        Cut::Radio => "radio busy".into(),
        Cut::PausedTooLong => "paused too long".into(),
        Cut::Skipped => "skipped by the pilot".into(),
        Cut::VoiceOff => "voice off".into(),
        Cut::NewFlight => "a new flight".into(),
        Cut::RunEnded => "the run ended".into(),
    }
}

/// Why a waiting narration was given up.
pub(crate) fn given_up(why: GivenUp) -> &'static str {
    match why {
        GivenUp::RuleEnded => "its rule ended",
        GivenUp::WaitedLongEnough => "it waited long enough",
        GivenUp::PlayedAlready => "it was played for another rule",
        GivenUp::NewFlight => "a new flight",
        GivenUp::RunEnded => "the run ended",
    }
}

fn music_why(plan: &Plan, why: MusicWhy) -> String {
    match why {
        MusicWhy::Rule(_) => String::new(),
        MusicWhy::NoRule => "no rule asks for it".into(),
        MusicWhy::Quiet(id) => format!("quiet zone {}", zone(plan, id)),
        MusicWhy::RunEnded => "the run ended".into(),
    }
}

fn still_why(why: StillWhy) -> &'static str {
    match why {
        StillWhy::Start => "",
        StillWhy::Every => "its time had come",
        StillWhy::Closest => "closest point",
        StillWhy::Hand => "by hand",
    }
}

/// Where a heading came from, in one word.
pub(crate) const fn heading_from(from: HeadingFrom) -> &'static str {
    match from {
        HeadingFrom::Source => "source",
        HeadingFrom::Wind => "wind",
        HeadingFrom::Held => "held",
        HeadingFrom::Track => "track",
    }
}

/// Why a fix was rejected.
pub(crate) const fn rejection(why: Rejection) -> &'static str {
    match why {
        Rejection::NotLater => "not later than the last good one",
        Rejection::TooLate => "more than 30 min after the last good one",
        Rejection::TooFast => "faster than the greatest plausible speed",
    }
}

/// A notice in words.
pub(crate) fn notice(plan: &Plan, notice: &engine::Notice) -> String {
    match *notice {
        engine::Notice::Rejected { time, number, why } => {
            format!("fix {number} at {} is rejected: {}", UtcText(time), rejection(why))
        }
        engine::Notice::Believed { time, new_run: false } => format!(
            "three rejected fixes agree; the third, at {}, is taken as the first after a gap",
            UtcText(time)
        ),
        engine::Notice::Believed { time, new_run: true } => {
            format!("three rejected fixes agree; the third, at {}, begins a new run", UtcText(time))
        }
        engine::Notice::TrackStandsIn { time } => format!(
            "from {} there is no heading source and no wind; the track stands in for the heading",
            UtcText(time)
        ),
        engine::Notice::MagneticModelDate { time } => {
            format!("the magnetic model does not cover {}; its nearest day is used", UtcText(time))
        }
        engine::Notice::HandAfterEnd { time, action } => {
            format!("after the last fix, so not done: {} at {}", hand(plan, action), UtcText(time))
        }
    }
}
