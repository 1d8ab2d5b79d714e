//! Hovers and orbits that need to know where the nose points.

use diagnostic::{Page, Severity};
use plan::{CameraEffect, Flown as How, Test};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "heading-not-known",
    severity: Severity::Warning,
    finds: "A hover, or an orbit on a tour without a wind, during which a rule hangs on the \
            heading (a window of heading, or `look at`), on an aircraft without a heading source.",
    why: "In a hover the last heading is held while the nose turns, and in an orbit without a \
          wind the track stands in for it: the camera chosen may look the other way. How the \
          aircraft is turned is for the pilot in command, the flight manual and local rules.",
    example: "heading source: none\nlegs:\n  - hover: {at: ARCH, for: 30 s, facing: 295}\n\
              rules:\n  arch: {when: {in: arch}, camera: {look at: ARCH}}",
    better: "rules:\n  arch: {when: {in: arch}, camera: [{nose: 10 s}, {left: 10 s}]}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    if flown.plan.aircraft.heading_source {
        return;
    }
    for times in &flown.flight.legs {
        let Some(leg) = flown.plan.route.legs.get(times.leg) else { continue };
        let what = match leg.flown {
            How::Hover { .. } => "hover",
            // With a wind the heading in an orbit is reckoned, and sound.
            How::Orbit { .. } if flown.plan.wind.is_none() => "orbit",
            How::Orbit { .. } | How::To(_) | How::Land { .. } => continue,
        };
        let during = flown.moments.iter().filter(|m| m.time >= times.from && m.time < times.to);
        let mut active = during.flat_map(|moment| &moment.active);
        let relying = active.find(|rule| {
            flown.plan.rules.get(rule.index()).is_some_and(|rule| {
                let looks = matches!(rule.camera, Some(CameraEffect::LookAt { .. }));
                let mut tests = rule.conditions.iter().map(|condition| &condition.test);
                looks || tests.any(|test| matches!(test, Test::Heading(_)))
            })
        });
        let Some(entry) = relying.and_then(|rule| flown.project.rules.entries.get(rule.index()))
        else {
            continue;
        };
        let headline = format!(
            "`{}` hangs on the heading in this {what}, and the aircraft has no heading source",
            entry.name.value
        );
        let place = findings.sources().place(entry.name.span);
        let finding = findings
            .warning("heading-not-known", flown.leg_span(times.from), headline)
            .related(place, "the rule is here")
            .help(
                "name cameras there instead of a heading, or fly it on an aircraft with a source",
            );
        findings.put(finding);
    }
}
