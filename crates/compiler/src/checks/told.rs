//! Narrations that do not come as they were meant.

use diagnostic::{Page, Severity};
use engine::{Change, Cut, Event, GivenUp, NarrationEvent, Obstacle};
use route::Span;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "narration-waits",
        severity: Severity::Warning,
        finds: "A narration that on the planned flight must wait, for another one, for its breath \
                or for a quiet zone, where its rule says nothing of how long it may `wait`.",
        why: "It is told late, perhaps about a sight that is already behind.",
        example: "narration: arch    # asked for while the one before is being told",
        better: "narration: {play: arch, wait: 10 s}    # or start it earlier, or shorten the other",
    },
    Page {
        name: "narration-cut-off",
        severity: Severity::Warning,
        finds: "A narration that on the planned flight is cut off: by a quiet zone, by another \
                narration, by take-off or by the end of the flight.",
        why: "Half a story is worse than none.",
        example: "arch: {when: {in: arch}, narration: arch}    # the quiet zone comes 10 s later",
        better: "arch: {when: {in: arch, not in: pad-quiet}, narration: arch}    # and earlier",
    },
    Page {
        name: "narration-not-told",
        severity: Severity::Warning,
        finds: "A narration that on the planned flight is asked for and never told: it waited too \
                long, its rule ended, or it was to be skipped.",
        why: "The passengers never hear it, and nobody is told so.",
        example: "narration: {play: arch, wait: 5 s}    # the one before takes 20 s longer",
        better: "narration: {play: arch, wait: 30 s}    # or start it where there is room for it",
    },
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for (number, narration) in (0..).zip(&flown.plan.narrations) {
        let id = plan::NarrationId(number);
        let name = &narration.name;
        let own: Vec<(&Change, NarrationEvent)> = flown
            .changes
            .iter()
            .filter_map(|change| match change.event {
                Event::Narration { narration, what } if narration == id => Some((change, what)),
                _ => None,
            })
            .collect();
        let told = own.iter().any(|(_, what)| matches!(what, NarrationEvent::Started));
        let mut in_the_way = None;
        for (change, what) in own {
            if let NarrationEvent::Waits(obstacle) = what {
                in_the_way = Some(obstacle);
            }
            let Some((span, states_wait)) = asked(flown, change) else { continue };
            let at = flown.clock(change.effect);
            let (check, headline, help) = match what {
                NarrationEvent::Waits(obstacle) if !states_wait && told => (
                    "narration-waits",
                    format!("`{name}` must wait at {at}: {}", words(flown, obstacle)),
                    "start it elsewhere, shorten the one before, or say how long it may `wait`",
                ),
                NarrationEvent::CutOff { by, played } => (
                    "narration-cut-off",
                    format!(
                        "`{name}` is cut off at {at}, after {:.0} s: {}",
                        played.secs(),
                        cut(by)
                    ),
                    "start it earlier, shorten it, or keep it out of there",
                ),
                NarrationEvent::Skipped(obstacle) if !told => (
                    "narration-not-told",
                    format!("`{name}` is left out at {at}: {}", words(flown, obstacle)),
                    "start it where nothing stands in its way, or let it `wait`",
                ),
                NarrationEvent::GivenUp(why) if !told => {
                    let obstacle = in_the_way.map(|obstacle| words(flown, obstacle));
                    let obstacle = obstacle.map(|words| format!(": {words}, and"));
                    let (over, help) = given_up(why);
                    (
                        "narration-not-told",
                        format!(
                            "`{name}` waits in vain{} {over} at {at}",
                            obstacle.unwrap_or_else(|| ";".to_owned())
                        ),
                        help,
                    )
                }
                _ => continue,
            };
            let finding = findings.warning(check, span, headline).help(help);
            findings.put(finding.moment(flown.moment(change.effect)));
        }
    }
}

/// Where a change's rule asks for its narration, and whether it says how long it may wait.
fn asked(flown: &Flown<'_>, change: &Change) -> Option<(Span, bool)> {
    let rule = flown.project.rules.entries.get(change.rule?.index())?;
    let effect = rule.value.narration.as_ref()?;
    Some((effect.value.narration.span, effect.value.wait.is_some()))
}

fn words(flown: &Flown<'_>, obstacle: Obstacle) -> String {
    match obstacle {
        Obstacle::Playing(other) => {
            let other = flown.plan.narrations.get(other.index());
            format!("`{}` is being told", other.map_or("", |other| &other.name))
        }
        Obstacle::Breath => "the breath after the one before is not over".to_owned(),
        Obstacle::Quiet(zone) => {
            let zone = flown.plan.zones.get(zone.index());
            format!("it is quiet in `{}`", zone.map_or("", |zone| &zone.name))
        }
        Obstacle::NotOnGround => "it is for the ground".to_owned(),
        Obstacle::Radio | Obstacle::VoiceOff | Obstacle::Lost => "it cannot start".to_owned(),
    }
}

/// Why a narration that waits is given up, and what helps.
fn given_up(why: GivenUp) -> (&'static str, &'static str) {
    match why {
        GivenUp::WaitedLongEnough => (
            "its time to wait is over",
            "start it where nothing stands in its way, or let it `wait` longer",
        ),
        GivenUp::RuleEnded => (
            "its rule ends",
            "start it where nothing stands in its way, or say how long it may `wait`",
        ),
        GivenUp::PlayedAlready => ("another rule has had it told", "ask for it once"),
        GivenUp::NewFlight | GivenUp::RunEnded => {
            ("the flight is over", "start it earlier: waiting longer does not help")
        }
    }
}

fn cut(by: Cut) -> &'static str {
    match by {
        Cut::Interrupted(_) => "another one interrupts it",
        Cut::Quiet(_) => "a quiet zone begins",
        Cut::TookOff => "it is for the ground, and the aircraft takes off",
        Cut::RunEnded | Cut::NewFlight => "the flight is over",
        Cut::Radio | Cut::PausedTooLong | Cut::Skipped | Cut::VoiceOff => "it is stopped",
    }
}
