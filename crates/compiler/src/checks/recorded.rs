//! What is not recorded.

use diagnostic::{Page, Severity};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "never-recorded",
        severity: Severity::Warning,
        finds: "A tour on whose planned flight recording is never on.",
        why: "There is no film.",
        example: "rules:\n  arch: {when: {in: arch}, camera: left}",
        better: "rules:\n  film: {when: {phase: airborne}, record: on}\n\
                 \u{20} arch: {when: {in: arch}, camera: left}",
    },
    Page {
        name: "lift-off-missed",
        severity: Severity::Warning,
        finds: "A tour that records, but not at the planned lift-off.",
        why: "Passengers look for the moment in which they left the ground before any other.",
        example: "rules:\n  film: {when: {in: coast}, record: on}",
        better: "rules:\n  film: {when: {phase: airborne}, record: on}",
    },
    Page {
        name: "told-unrecorded",
        severity: Severity::Warning,
        finds: "A narration in the air that is told, wholly or in part, while nothing is recorded.",
        why: "The film has a hole where the story is.",
        example: "rules:\n  film: {when: {in: arch}, record: on}\n\
                  \u{20} moor: {when: {in: moor}, narration: moor}",
        better: "rules:\n  film: {when: {phase: airborne}, record: on}",
    },
];

/// How late after lift-off recording still has it: the first fix that shows it may come so much
/// later.
const LATE: earth::Millis = earth::Millis::from_secs(3);

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let title = flown.project.title.span;
    if !flown.moments.iter().any(|moment| moment.recording) {
        let finding = findings
            .warning("never-recorded", title, "nothing of this tour is recorded")
            .help("add a rule with `record: on`, such as `when: {phase: airborne}`");
        findings.put(finding);
        return;
    }
    let lift_off = flown.flight.lift_off;
    let seen = flown.moments.iter().any(|moment| {
        moment.recording && moment.time >= lift_off && moment.time <= lift_off + LATE
    });
    if !seen {
        let finding = findings
            .warning("lift-off-missed", title, "the lift-off is not recorded")
            .help("record from `phase: airborne` on, or from the first roll on the ground");
        findings.put(finding);
    }
    for (number, entry) in (0..).zip(&flown.project.narrations.entries) {
        let missed = flown.moments.iter().find(|moment| {
            moment.narration == Some(plan::NarrationId(number))
                && moment.airborne
                && !moment.recording
        });
        let Some(missed) = missed else { continue };
        let headline = format!(
            "`{}` is told while nothing is recorded, at {}",
            entry.name.value,
            flown.clock(missed.time)
        );
        let asks = flown.project.rules.entries.iter().find_map(|rule| {
            let name = &rule.value.narration.as_ref()?.value.narration;
            (name.value == entry.name.value).then_some(name.span)
        });
        let span = asks.unwrap_or(entry.name.span);
        let finding = findings
            .warning("told-unrecorded", span, headline)
            .help("record there too, or tell it elsewhere");
        findings.put(finding.moment(flown.moment(missed.time)));
    }
}
