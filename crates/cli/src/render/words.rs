//! What the engine says, in words.

use engine::{
    CameraWhy, Change, Event, HeadingFrom, MusicWhy, NarrationEvent, Rejection, StillWhy,
};
use plan::{CameraId, MusicId, Plan, RuleId, Side, TitleId};

pub(crate) use timeline::words::{
    camera, cut, given_up, hand, hand_outcome, music, narration, obstacle, record_why, rule,
    source, title, zone,
};

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

/// A name, or `none`.
pub(crate) fn or_none(name: Option<&str>) -> &str {
    name.unwrap_or("none")
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

/// A number of things, such as `1 point` or `2 points`.
pub(crate) fn so_many(number: u64, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
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
