//! What differs in what is told on the planned flights.

use earth::Millis;
use engine::{Cut, GivenUp, Obstacle};
use plan::{Plan, ZoneId};

use super::content::LengthsTold;
use super::flight::{noticed, noticed_since, noticed_time};
use super::matching::Fate;
use super::words::beginning;
use super::{Details, Difference, How, Part, Two, Value};
use crate::summary::{Flight, NarrationUse};

/// Tells which narrations are told otherwise, and of which the length has been told.
pub(super) fn narrations(
    two: &Two<'_>,
    old_flight: &Flight,
    new_flight: &Flight,
    told: &mut LengthsTold,
    into: &mut Vec<Difference>,
) {
    let nothing = NarrationUse::default();
    let mut found = Vec::new();
    for fate in two.matched.narrations.all(&two.old.narrations, &two.new.narrations) {
        let (narration, in_old, in_new, lengths) = match fate {
            Fate::Kept { old, new, at } => {
                let lengths = Some((old.length, new.length));
                (new, two.matched.narrations.old(at), Some(at), lengths)
            }
            Fate::Added(new, at) => (new, None, Some(at), None),
            Fate::Gone(old, at) => (old, Some(at), None, None),
        };
        let was = in_old.and_then(|index| old_flight.narrations.get(index));
        let is = in_new.and_then(|index| new_flight.narrations.get(index));
        let how = match (was.map_or(0, |was| was.started), is.map_or(0, |is| is.started)) {
            (0, 0) => continue,
            (0, _) => How::Added,
            (_, 0) => How::Gone,
            _ => How::Changed,
        };
        let starts = |flight: &Flight, of: Option<&NarrationUse>| {
            of.and_then(|of| of.first_started).and_then(|time| flight.since(time))
        };
        let mut details = Details::default();
        let (old_start, new_start) = (starts(old_flight, was), starts(new_flight, is));
        noticed_since(&mut details, "starts", old_start, new_start);
        match how {
            How::Added => {
                details.value(
                    "not told",
                    Some(Value::Words(why_not(two.old, old_flight, in_old))),
                    None,
                );
            }
            How::Gone => {
                details.value(
                    "not told",
                    None,
                    Some(Value::Words(why_not(two.new, new_flight, in_new))),
                );
            }
            _ => {
                let times = |of: &NarrationUse| Value::Count(of.started.into());
                details.both("times told", was.unwrap_or(&nothing), is.unwrap_or(&nothing), times);
                if let (Some((old, new)), Some(at)) = (lengths, in_new) {
                    noticed_time(&mut details, "lasts", Some(old), Some(new));
                    if noticed(old, new) {
                        told.insert(at);
                    }
                }
            }
        }
        let (old_end, new_end) = (end(two.old, was), end(two.new, is));
        // That one is told to its end goes without saying where it is told in one of them only.
        let ends_otherwise = match how {
            How::Added => cut_short(is),
            How::Gone => cut_short(was),
            _ => is_other_end(was, is),
        };
        if ends_otherwise {
            details.value("told", old_end.map(Value::Words), new_end.map(Value::Words));
        }
        let known_as = Some(beginning(narration.text()));
        let difference = match &how {
            How::Changed => details.changed(Part::Told, &narration.name, known_as),
            how => Some(details.alone(Part::Told, &narration.name, known_as, how.clone())),
        };
        // First what is missed most.
        let rank = match how {
            How::Gone => 0,
            How::Added => 1,
            _ if ends_otherwise => 2,
            _ => 3,
        };
        found.extend(difference.map(|difference| (rank, new_start.or(old_start), difference)));
    }
    found.sort_by_key(|(rank, start, _)| (*rank, *start));
    into.extend(found.into_iter().map(|(_, _, difference)| difference));
}

/// Whether it was cut off and never told to its end.
fn cut_short(of: Option<&NarrationUse>) -> bool {
    of.is_some_and(|of| of.cut_offs > 0 && of.ended == 0)
}

/// Whether one that is told in both flights ends otherwise.
fn is_other_end(was: Option<&NarrationUse>, is: Option<&NarrationUse>) -> bool {
    if cut_short(was) != cut_short(is) {
        return true;
    }
    let played = |of: Option<&NarrationUse>| {
        of.and_then(|of| of.cut_off.first()).map_or(Millis::ZERO, |(_, played)| *played)
    };
    cut_short(was) && noticed(played(was), played(is))
}

/// How a narration that was told came to its end.
fn end(plan: &Plan, of: Option<&NarrationUse>) -> Option<String> {
    let of = of.filter(|of| of.started > 0)?;
    let cut = of.cut_off.first().filter(|_| cut_short(Some(of)));
    Some(cut.map_or_else(
        || "to its end".to_owned(),
        |(by, played)| {
            let seconds = (played.secs()).round();
            format!("{seconds} s of it, then cut off: {}", cut_by(plan, *by))
        },
    ))
}

fn narration_name(plan: &Plan, index: usize) -> &str {
    plan.narrations.get(index).map_or("", |narration| &narration.name)
}

fn zone_name(plan: &Plan, id: ZoneId) -> &str {
    plan.zones.get(id.index()).map_or("", |zone| &zone.name)
}

fn cut_by(plan: &Plan, by: Cut) -> String {
    match by {
        Cut::Interrupted(id) => format!("{} interrupts it", narration_name(plan, id.index())),
        Cut::Quiet(zone) => format!("the quiet zone {} is entered", zone_name(plan, zone)),
        Cut::TookOff => "take-off".into(),
        Cut::Radio | Cut::PausedTooLong => "the radio".into(),
        Cut::Skipped | Cut::VoiceOff => "by hand".into(),
        Cut::NewFlight => "the next flight begins".into(),
        Cut::RunEnded => "the flight is over".into(),
    }
}

/// Why a narration was not told, by its index in the plan.
fn why_not(plan: &Plan, flight: &Flight, narration: Option<usize>) -> String {
    let found = narration.and_then(|index| Some((index, flight.narrations.get(index)?)));
    let Some((index, of)) = found else { return "it is not in the plan".to_owned() };
    let asks = plan.rules.iter().filter_map(|rule| rule.narration);
    let asks = asks.map(|asked| asked.narration.index()).any(|asked| asked == index);
    if let Some(why) = of.given_up_for {
        let waited = of
            .waited_for
            .map_or_else(String::new, |by| format!("waited for {} and was ", obstacle(plan, by)));
        let why = match why {
            GivenUp::RuleEnded => "its rule ended",
            GivenUp::WaitedLongEnough => "it had waited long enough",
            GivenUp::PlayedAlready => "it had been told for another rule",
            GivenUp::NewFlight => "the next flight began",
            GivenUp::RunEnded => "the flight was over",
        };
        return format!("{waited}given up: {why}");
    }
    if let Some(by) = of.skipped_for {
        return format!("left out for {}", obstacle(plan, by));
    }
    if of.waited > 0 {
        return "it still waits at the end".to_owned();
    }
    if asks { "its rule does not come up" } else { "no rule asks for it" }.to_owned()
}

fn obstacle(plan: &Plan, by: Obstacle) -> String {
    match by {
        Obstacle::Playing(id) => {
            format!("{}, which was playing,", narration_name(plan, id.index()))
        }
        Obstacle::Breath => "the breath after the one before".into(),
        Obstacle::Quiet(zone) => format!("the quiet zone {}", zone_name(plan, zone)),
        Obstacle::Radio => "the radio".into(),
        Obstacle::VoiceOff => "the voice, which was off,".into(),
        Obstacle::NotOnGround => "a landing, being for the ground,".into(),
        Obstacle::Lost => "GPS, which was lost,".into(),
    }
}
