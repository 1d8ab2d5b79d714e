//! What the engine says, in the words that every output uses.

use engine::{Cut, GivenUp, HandOutcome, Obstacle, RecordWhy};
use plan::{CameraId, Hand, MusicId, NarrationId, Plan, RuleId, TitleId, ZoneId};

fn named<T>(list: &[T], index: usize, name: impl Fn(&T) -> &str) -> &str {
    list.get(index).map_or("?", name)
}

/// The name of a camera.
#[must_use]
pub fn camera(plan: &Plan, id: CameraId) -> &str {
    named(&plan.aircraft.cameras, id.index(), |camera| &camera.name)
}

/// The name of a zone.
#[must_use]
pub fn zone(plan: &Plan, id: ZoneId) -> &str {
    named(&plan.zones, id.index(), |zone| &zone.name)
}

/// The name of a rule.
#[must_use]
pub fn rule(plan: &Plan, id: RuleId) -> &str {
    named(&plan.rules, id.index(), |rule| &rule.name)
}

/// The name of a narration.
#[must_use]
pub fn narration(plan: &Plan, id: NarrationId) -> &str {
    named(&plan.narrations, id.index(), |narration| &narration.name)
}

/// The name of a piece of music.
#[must_use]
pub fn music(plan: &Plan, id: MusicId) -> &str {
    named(&plan.music, id.index(), |music| &music.name)
}

/// The name of a title.
#[must_use]
pub fn title(plan: &Plan, id: TitleId) -> &str {
    named(&plan.titles, id.index(), |title| &title.name)
}

/// A rule's place in the authored text, `tours/west.yaml:40:3`; empty where it is not known.
#[must_use]
pub fn source(plan: &Plan, source: plan::Source) -> String {
    let file = usize::try_from(source.file).ok().and_then(|file| plan.sources.get(file));
    file.map_or_else(String::new, |file| format!("{file}:{}:{}", source.line, source.column))
}

/// What the pilot did.
#[must_use]
pub fn hand(plan: &Plan, action: Hand) -> String {
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

/// What came of it; empty where it was done.
#[must_use]
pub fn hand_outcome(plan: &Plan, outcome: HandOutcome) -> String {
    match outcome {
        HandOutcome::Done => String::new(),
        HandOutcome::NoEffect => "no effect".into(),
        HandOutcome::OutOfService => "refused: out of service".into(),
        HandOutcome::NotAllowed => "refused: not allowed today".into(),
        HandOutcome::NoFilming(id) => format!("refused: no filming in {}", zone(plan, id)),
    }
}

/// Why recording is on or off; empty where its rule says it.
#[must_use]
pub fn record_why(plan: &Plan, why: RecordWhy) -> String {
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

/// What stands in a narration's way.
#[must_use]
pub fn obstacle(plan: &Plan, obstacle: Obstacle) -> String {
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
#[must_use]
pub fn cut(plan: &Plan, by: Cut) -> String {
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
#[must_use]
pub fn given_up(why: GivenUp) -> &'static str {
    match why {
        GivenUp::RuleEnded => "its rule ended",
        GivenUp::WaitedLongEnough => "it waited long enough",
        GivenUp::PlayedAlready => "it was played for another rule",
        GivenUp::NewFlight => "a new flight",
        GivenUp::RunEnded => "the run ended",
    }
}
