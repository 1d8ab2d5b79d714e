//! Zones that the planned route misses, or only brushes.

use diagnostic::{Page, Severity};
use engine::Event;
use plan::{Flown as How, ZoneId};
use route::model::{ConditionKind, ZoneKind};

use crate::findings::Findings;
use crate::review::{Flown, Moment};

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "zone-not-entered",
        severity: Severity::Warning,
        finds: "A zone under `in` that the planned route never enters, or a gate that it never \
                crosses.",
        why: "Nothing that hangs on it happens. Most often the zone has been moved, or the route.",
        example: "rules:\n  arch: {when: {in: arch}, camera: left}    # the route passes 2 NM west",
        better: "# move the zone or a leg, or take the rule out",
    },
    Page {
        name: "zone-brief",
        severity: Severity::Warning,
        finds: "A zone under `in` in which the planned route stays for less than the `least time \
                in zone` (4 s unless the tour sets another) at the greatest groundspeed that the \
                planned airspeed and wind give.",
        why: "A receiver that is late, or a pilot a little beside the line, misses it; and what is \
              shown there is over before it is seen.",
        example: "zones:\n  arch: {circle: {centre: ARCH, radius: 300 m}}    # passed at its rim",
        better: "zones:\n  arch: {circle: {centre: ARCH, radius: 900 m}}",
    },
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let mut done = std::collections::BTreeSet::new();
    for rule in &flown.project.rules.entries {
        for condition in &rule.value.conditions {
            let ConditionKind::In(names) = &condition.kind.value else { continue };
            for name in names {
                let Some(zone) = flown.zone_id(&name.value).filter(|zone| done.insert(*zone))
                else {
                    continue;
                };
                let Some(entry) = flown.zone(zone) else { continue };
                let entered = flown.changes.iter().any(|change| match change.event {
                    Event::Entered { zone: it, .. } | Event::Crossed { zone: it, .. } => it == zone,
                    _ => false,
                });
                let gate = matches!(entry.value.kind.value, ZoneKind::Gate { .. });
                let place = findings.sources().place(entry.name.span);
                if !entered {
                    let verb = if gate { "crosses the gate" } else { "enters the zone" };
                    let headline = format!("the planned route never {verb} `{}`", name.value);
                    let finding = findings
                        .warning("zone-not-entered", name.span, headline)
                        .related(place, "it lies here")
                        .help("move the zone or the route, or take the rule out");
                    findings.put(finding);
                    continue;
                }
                let least = flown.project.defaults.least_time_in_zone.secs();
                let longest = longest(flown, zone);
                if gate || longest >= least {
                    continue;
                }
                let headline = format!(
                    "the planned route is in `{}` for {longest:.1} s at the greatest groundspeed",
                    name.value
                );
                let finding = findings
                    .warning("zone-brief", name.span, headline)
                    .related(place, "it lies here")
                    .help(format!(
                        "make it larger or lead the route through it: {least} s or more"
                    ));
                findings.put(finding);
            }
        }
    }
}

/// The longest stay in a zone in seconds, flown as fast as the planned airspeeds and winds allow.
fn longest(flown: &Flown<'_>, zone: ZoneId) -> f64 {
    let mut longest = 0.0_f64;
    let mut began = None;
    for change in &flown.changes {
        let own = change.own.unwrap_or(change.effect);
        match change.event {
            Event::Entered { zone: it, .. } if it == zone => began = Some(own),
            Event::Left { zone: it } if it == zone => {
                let Some(from) = began.take() else { continue };
                longest = longest.max(hurried(flown, from, own));
            }
            _ => {}
        }
    }
    // Still inside as the flight ends.
    if began.is_some() { f64::MAX } else { longest }
}

/// How long a stretch of the flight takes at the greatest groundspeed.
fn hurried(flown: &Flown<'_>, from: earth::Utc, to: earth::Utc) -> f64 {
    let seconds = (to - from).secs();
    let middle = from + earth::Millis((to - from).0 / 2);
    let leg = flown.flight.leg_at(middle).and_then(|leg| flown.plan.route.legs.get(leg));
    let Some(leg) = leg.filter(|leg| !matches!(leg.flown, How::Hover { .. })) else {
        return seconds;
    };
    // The wind of the day, if one is said, is the one that the legs were flown in.
    let wind = flown.day.wind.or(leg.wind).map_or(0.0, |wind| wind.speed.get());
    let at = flown.moments.partition_point(|moment| moment.time < middle);
    let speed = flown.moments.get(at).and_then(|moment: &Moment| moment.groundspeed);
    let flown_at = speed.map_or(0.0, |speed| speed.get());
    seconds * (flown_at / (leg.airspeed.get() + wind)).min(1.0)
}
