//! Windows too narrow to be met.

use diagnostic::{Page, Severity};
use route::model::{ConditionKind, Window};

use crate::findings::Findings;
use crate::review::Flown;

/// Narrower than this a window is missed by a pilot who turns a little early or late: 60° (common
/// practice, no source).
const LEAST: f64 = 60.0;

pub(super) const PAGES: &[Page] = &[Page {
    name: "window-narrow",
    severity: Severity::Warning,
    finds: "A window of track or heading that is under 60° wide.",
    why: "In wind, in a turn or beside the line the nose points elsewhere, and the rule is missed.",
    example: "rules:\n  arch: {when: {in: arch, track: 350..010}, camera: left}",
    better: "rules:\n  arch: {when: {in: arch, track: 315..045}, camera: left}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for rule in &flown.project.rules.entries {
        for condition in &rule.value.conditions {
            let (ConditionKind::Track(window) | ConditionKind::Heading(window)) =
                &condition.kind.value
            else {
                continue;
            };
            let Window::Between { from, to, .. } = window else { continue };
            let width = (to.get() - from.get()).rem_euclid(360.0);
            if width >= LEAST {
                continue;
            }
            let headline = format!("this window is {width:.0}° wide");
            let finding = findings
                .warning("window-narrow", condition.kind.span, headline)
                .help("make it 60° wide or more; 90° to each side of the leg tells two ways apart");
            findings.put(finding);
        }
    }
}
