//! The summary as JSON; its form is described in `FORMATS.md`.

use earth::{Millis, Utc};
use plan::Plan;
use serde_json::{Value, json};

use super::{Page, bytes_of};
use crate::render::time::{Since, UtcText};
use crate::render::wire::{self, change::RuleWire};
use crate::render::words;
use crate::sink::as_planned::{Differences, Never};
use compiler::summary::Flight;

/// The summary.
pub(crate) fn value(page: &Page<'_>) -> Value {
    let (format, version) = wire::SUMMARY;
    let flights: Vec<Value> = page.flights().map(|flight| flight_value(page, flight)).collect();
    let never = Never::of(page.plan, page.summary.flights.iter().chain(page.planned));
    let plan = page.plan;
    json!({
        "format": format,
        "version": version,
        "plan": page.identity.json(),
        "files": page.files,
        "planned_flight": page.files.is_empty(),
        "day": page.day,
        "good_fixes": page.summary.fixes,
        "points_left_out": page.points_left_out,
        "fixes_rejected": page.rejected(),
        "changes": page.summary.changes,
        "limits_raised": page.raised.map(|raised| json!({
            "usual_interval_ms": raised.usual_interval.0,
            "lost_after_ms": raised.lost_after.0,
            "bridge_ms": raised.bridge.0,
        })),
        "flights": flights,
        "recorded_ms": page.recorded().0,
        "card_bytes_used": bytes_of(plan, page.recorded()),
        "card_bytes": plan.aircraft.recorder.card_bytes,
        "never": {
            "also_as_planned": page.planned.is_some(),
            "rules": never.rules.iter().map(|id| words::rule(plan, *id)).collect::<Vec<_>>(),
            "narrations":
                never.narrations.iter().map(|id| words::narration(plan, *id)).collect::<Vec<_>>(),
            "zones": never.zones.iter().map(|id| words::zone(plan, *id)).collect::<Vec<_>>(),
        },
    })
}

fn utc(time: Utc) -> String {
    UtcText(time).to_string()
}

fn t(since: Option<Millis>) -> Option<String> {
    since.map(|since| Since(since).to_string())
}

fn flight_value(page: &Page<'_>, flight: &Flight) -> Value {
    let plan = page.plan;
    let landings: Vec<Value> = flight
        .landings
        .iter()
        .map(
            |(time, home)| json!({ "time": utc(*time), "home": home, "t": t(flight.since(*time)) }),
        )
        .collect();
    let last = flight.landings.last().map_or(flight.last, |(time, _)| *time);
    let cameras: Vec<Value> = plan
        .aircraft
        .cameras
        .iter()
        .zip(&flight.cameras)
        .enumerate()
        .map(|(index, (camera, used))| {
            let planned = page.planned.and_then(|planned| planned.cameras.get(index));
            json!({
                "camera": camera.name,
                "shots": used.shots,
                "live_ms": used.live.0,
                "recorded_ms": used.recorded.0,
                "planned_recorded_ms": planned.map(|planned| planned.recorded.0),
                "stills": used.stills,
            })
        })
        .collect();
    let inside: Vec<Value> = flight
        .filmed_inside
        .iter()
        .map(|inside| {
            json!({
                "zone": words::zone(plan, inside.zone),
                "from": utc(inside.from),
                "to": utc(inside.to),
                "by_hand": inside.by_hand,
            })
        })
        .collect();
    json!({
        "run": flight.run,
        "flight": flight.number,
        "first": utc(flight.first),
        "last": utc(flight.last),
        "take_off": flight.took_off.map(utc),
        "landings": landings,
        "landings_times": flight.landings_times,
        "duration_ms": flight.zero.map(|zero| (last - zero).0),
        "cameras": cameras,
        "narrations": narrations(plan, flight),
        "stills": flight.stills(),
        "takes": flight.takes,
        "recorded_ms": flight.recorded.0,
        "card_bytes_used": bytes_of(plan, flight.recorded),
        "gps_losses": flight.losses,
        "gps_lost_ms": flight.lost_for.0,
        "gps_gaps": flight.gaps,
        "filmed_inside": inside,
        "filmed_inside_times": flight.filmed_inside_times,
        "hand_actions": flight.hand,
        "hand_refused": flight.refused,
        "planned_not_happened": page.planned.filter(|_| flight.flew())
            .map(|planned| differences(plan, &Differences::only_in(plan, planned, flight))),
        "happened_not_planned": page.planned.filter(|_| flight.flew())
            .map(|planned| differences(plan, &Differences::only_in(plan, flight, planned))),
    })
}

fn narrations(plan: &Plan, flight: &Flight) -> Vec<Value> {
    plan.narrations
        .iter()
        .zip(&flight.narrations)
        .map(|(narration, used)| {
            let cuts: Vec<Value> = used
                .cut_off
                .iter()
                .map(|(by, played)| json!({ "by": words::cut(plan, *by), "played_ms": played.0 }))
                .collect();
            json!({
                "narration": narration.name,
                "length_ms": narration.length.0,
                "first_started": used.first_started.map(utc),
                "t": t(used.first_started.and_then(|time| flight.since(time))),
                "started": used.started,
                "ended": used.ended,
                "waited": used.waited,
                "longest_wait_ms": used.longest_wait.0,
                "waited_for": used.waited_for.map(|by| words::obstacle(plan, by)),
                "paused": used.paused,
                "cut_offs": used.cut_offs,
                "cut_off": cuts,
                "skipped": used.skipped,
                "skipped_for": used.skipped_for.map(|by| words::obstacle(plan, by)),
                "given_up": used.given_up,
                "given_up_for": used.given_up_for.map(words::given_up),
            })
        })
        .collect()
}

fn differences(plan: &Plan, differences: &Differences) -> Value {
    let rules: Vec<Value> = differences
        .rules
        .iter()
        .map(|(id, since)| json!({ "rule": RuleWire::of(plan, *id), "t": t(*since) }))
        .collect();
    let zones: Vec<Value> = differences
        .zones
        .iter()
        .map(|(id, since)| json!({ "zone": words::zone(plan, *id), "t": t(*since) }))
        .collect();
    let narrations: Vec<Value> = differences
        .narrations
        .iter()
        .map(|(id, since)| json!({ "narration": words::narration(plan, *id), "t": t(*since) }))
        .collect();
    json!({ "rules": rules, "zones": zones, "narrations": narrations })
}
