//! Lasting effects on the instant of a crossing.

use diagnostic::{Page, Severity};
use route::Span;
use route::model::{ConditionKind, ZoneKind};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "effect-of-an-instant",
    severity: Severity::Warning,
    finds: "A rule `in` a gate that wants a camera, recording, music or a title.",
    why: "A gate is crossed in an instant: the rule is over as it begins, and nothing of it is \
          seen or heard.",
    example: "rules:\n  home: {when: {in: home-line}, music: homeward}",
    better: "rules:\n  home-line: {when: {in: home-line}}\n\
             \u{20} home: {when: {after: home-line}, music: homeward}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let project = flown.project;
    for entry in &project.rules.entries {
        let rule = &entry.value;
        let gate = rule.conditions.iter().find_map(|condition| match &condition.kind.value {
            ConditionKind::In(zones) => zones.iter().find(|name| {
                let zone = project.zones.get(&name.value);
                zone.is_some_and(|z| matches!(z.value.kind.value, ZoneKind::Gate { .. }))
            }),
            _ => None,
        });
        let Some(gate) = gate else { continue };
        let lasting: [(&str, Option<Span>); 4] = [
            ("camera", rule.camera.as_ref().map(|effect| effect.span)),
            ("recording", rule.record.filter(|effect| effect.value.on).map(|effect| effect.span)),
            ("music", rule.music.as_ref().map(|effect| effect.span)),
            ("title", rule.title.as_ref().map(|effect| effect.span)),
        ];
        for (what, span) in lasting {
            let Some(span) = span else { continue };
            let headline = format!("this {what} lasts only for the instant of a crossing");
            let place = findings.sources().place(gate.span);
            let finding = findings
                .warning("effect-of-an-instant", span, headline)
                .related(place, "a gate is crossed; one is never inside it")
                .help("give it to a rule that comes `after` this one");
            findings.put(finding);
        }
    }
}
