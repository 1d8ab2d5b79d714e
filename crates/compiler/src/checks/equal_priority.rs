//! Rules that only their order tells apart.

use diagnostic::{Page, Severity};
use plan::Rule;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "equal-priority",
    severity: Severity::Warning,
    finds: "Two rules of equal priority that are active together on the planned flight and want \
            different things of camera, recording, music or title.",
    why: "The one written first wins. Whoever sorts the file, or moves a rule to a library, \
          changes the film.",
    example: "rules:\n  coast: {when: {in: coast}, camera: left}\n\
              \u{20} arch:  {when: {in: arch}, camera: right}    # inside coast",
    better: "rules:\n  coast: {when: {in: coast}, camera: left}\n\
             \u{20} arch:  {when: {in: arch}, priority: 10, camera: right}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let rules = &flown.plan.rules;
    let mut said = std::collections::BTreeSet::new();
    for moment in &flown.moments {
        for second in &moment.active {
            for first in moment.active.iter().filter(|first| *first < second) {
                if said.contains(&(*first, *second)) {
                    continue;
                }
                let (Some(one), Some(other)) =
                    (rules.get(first.index()), rules.get(second.index()))
                else {
                    continue;
                };
                let Some(channel) = shared(one, other).filter(|_| one.priority == other.priority)
                else {
                    continue;
                };
                said.insert((*first, *second));
                let entries = &flown.project.rules.entries;
                let (Some(one), Some(other)) =
                    (entries.get(first.index()), entries.get(second.index()))
                else {
                    continue;
                };
                let headline = format!(
                    "`{}` and `{}` both want the {channel} at {}, with equal priority",
                    one.name.value,
                    other.name.value,
                    flown.clock(moment.time)
                );
                let place = findings.sources().place(one.name.span);
                let finding = findings
                    .warning("equal-priority", other.name.span, headline)
                    .related(place, "this one wins, for it is written first")
                    .help("give the one that shall win a higher `priority`");
                findings.put(finding.moment(flown.moment(moment.time)));
            }
        }
    }
}

/// The channel for which two rules want different things.
fn shared(one: &Rule, other: &Rule) -> Option<&'static str> {
    fn differ<T: PartialEq>(one: Option<&T>, other: Option<&T>) -> bool {
        one.zip(other).is_some_and(|(one, other)| one != other)
    }
    let on = |rule: &Rule| rule.record.map(|record| record.on);
    if differ(one.camera.as_ref(), other.camera.as_ref()) {
        Some("camera")
    } else if differ(on(one).as_ref(), on(other).as_ref()) {
        Some("recording")
    } else if differ(one.music.as_ref(), other.music.as_ref()) {
        Some("music")
    } else if differ(one.title.as_ref(), other.title.as_ref()) {
        Some("title")
    } else {
        None
    }
}
