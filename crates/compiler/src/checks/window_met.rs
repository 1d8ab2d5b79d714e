//! Windows that the planned route never meets.

use diagnostic::{Page, Severity};
use earth::DegreesTrue;
use plan::{North, Test, Window};
use route::model::ConditionKind;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "window-not-met",
    severity: Severity::Warning,
    finds: "A window of track or heading that the planned flight never meets while it is in the \
            zones of the rule. A window that the route flown the other way round would meet is \
            for that way, and is not found.",
    why: "The rule never begins. Most often the window is a quarter turn off, or its ends are \
          swapped.",
    example: "rules:\n  arch: {when: {in: arch, track: 060..120}, camera: left}    # flown north",
    better: "rules:\n  arch: {when: {in: arch, track: 330..030}, camera: left}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for (planned, entry) in flown.plan.rules.iter().zip(&flown.project.rules.entries) {
        let zones: Vec<_> = planned
            .conditions
            .iter()
            .filter_map(|condition| match condition.test {
                Test::In(zone) => Some(zone),
                _ => None,
            })
            .collect();
        let written = entry.value.conditions.iter().filter(|condition| {
            matches!(condition.kind.value, ConditionKind::Track(_) | ConditionKind::Heading(_))
        });
        let windows = planned.conditions.iter().filter_map(|condition| match condition.test {
            Test::Track(window) => Some((window, false)),
            Test::Heading(window) => Some((window, true)),
            _ => None,
        });
        for ((window, heading), written) in windows.zip(written) {
            let inside = flown.moments.iter().filter(|moment| {
                moment.airborne && zones.iter().all(|zone| moment.zones.contains(zone))
            });
            let mut any = false;
            let mut met = false;
            for moment in inside {
                let direction = if heading { moment.heading } else { moment.track };
                let Some(direction) = direction else { continue };
                any = true;
                let north = match window.north {
                    North::True => direction,
                    North::Magnetic => magnetic(flown, direction),
                };
                met = holds(window, north) || holds(window, north.reversed());
                if met {
                    break;
                }
            }
            // A zone that is not entered at all, and a gate, are for other checks.
            if met || !any {
                continue;
            }
            let headline = format!(
                "the planned flight never meets this window in the zones of `{}`",
                entry.name.value
            );
            let finding = findings
                .warning("window-not-met", written.kind.span, headline)
                .help("are its ends swapped? a window runs clockwise from the first to the second");
            findings.put(finding);
        }
    }
}

/// A direction from magnetic north, as it is where the flight begins.
fn magnetic(flown: &Flown<'_>, direction: DegreesTrue) -> DegreesTrue {
    let Some(home) = flown.plan.places.get(flown.plan.route.home.index()) else { return direction };
    let time = flown.plan.route.departure;
    let here = earth::magnetic::declination(home.position, home.elevation, time);
    direction.turned(earth::Degrees::of(-here.degrees.get()))
}

fn holds(window: Window, direction: DegreesTrue) -> bool {
    let width = window.to.get() - window.from.get();
    let width = if width == 360.0 { 360.0 } else { width.rem_euclid(360.0) };
    (direction.get() - window.from.get()).rem_euclid(360.0) <= width
}
