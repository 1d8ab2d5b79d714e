//! Gates where only a zone that lasts makes sense.

use diagnostic::{Page, Severity};
use route::model::{Project, ZoneKind};
use route::{Name, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "gate-is-never-in",
    severity: Severity::Error,
    finds: "A gate under `not in`, or as a part of a combined zone.",
    why: "One crosses a gate and is never inside it: `not in` always holds, and a combination \
              gains nothing from it.",
    example: "rules:\n  before-the-line: {when: {not in: [lighthouse-line]}, camera: nose}",
    better: "rules:\n  line: {when: {in: lighthouse-line}}\n  past-the-line: {when: {after: line}, camera: nose}",
}];

fn is_gate(project: &Project, zone: u32) -> bool {
    let entry = project.zones.entries.get(zone as usize);
    entry.is_some_and(|entry| matches!(entry.value.kind.value, ZoneKind::Gate { .. }))
}

pub(crate) fn in_combination(
    project: &Project,
    zone: u32,
    name: &Spanned<Name>,
    findings: &mut Findings<'_>,
) {
    if is_gate(project, zone) {
        let help = "combine zones that last: circles, polygons, corridors, sectors";
        report(name, "as a part of another zone", help, findings);
    }
}

pub(crate) fn not_in(
    project: &Project,
    zone: u32,
    name: &Spanned<Name>,
    findings: &mut Findings<'_>,
) {
    if is_gate(project, zone) {
        let help = "give the crossing a rule of its own and come `after` it";
        report(name, "under `not in`", help, findings);
    }
}

fn report(name: &Spanned<Name>, place: &str, help: &str, findings: &mut Findings<'_>) {
    let headline = format!("the gate `{}` stands {place}", name.value);
    let finding = findings
        .error("gate-is-never-in", name.span, headline)
        .label("a gate is crossed; one is never inside it")
        .help(help);
    findings.put(finding);
}
