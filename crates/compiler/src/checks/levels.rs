//! The levels that a tour sets for checks.

use diagnostic::{Diagnostic, Page, Severity};
use route::model::{CheckLevel, Entry, Level, Project};

use super::settable;
use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "unknown-check",
        severity: Severity::Error,
        finds: "A name under `checks` that is no check whose level can be set.",
        why: "Somebody thinks that a finding is silenced, or raised, and it is not.",
        example: "checks:\n  silence-longg: {level: off, because: the crossing is for the music}",
        better: "checks:\n  silence-long: {level: off, because: the crossing is for the music}",
    },
    Page {
        name: "check-level-unneeded",
        severity: Severity::Note,
        finds: "A check that is given a level and finds nothing.",
        why: "What it was silenced for is mended; the line would hide the next one that comes up.",
        example: "checks:\n  silence-long: {level: off, because: the crossing is for the music}",
        better: "# without the line, once no silence is long",
    },
];

/// Reports names that are no checks.
pub(crate) fn unknown(project: &Project, findings: &mut Findings<'_>) {
    let variants = project.variants.entries.iter().flat_map(|entry| &entry.value.checks.entries);
    for entry in project.checks.entries.iter().chain(variants) {
        let known = || settable().into_iter().map(|page| page.name);
        if known().any(|name| name == entry.name.value.as_str()) {
            continue;
        }
        let headline = format!("there is no check `{}` whose level can be set", entry.name.value);
        let help = match route::near(&entry.name.value, known()) {
            Some(near) => format!("write `{near}`"),
            None => "`fulmar explain` lists all names".to_owned(),
        };
        let (span, written) = (entry.name.span, entry.name.value.as_str());
        let edit = route::slip(written, known())
            .filter(|meant| project.checks.get(meant).is_none())
            .and_then(|meant| findings.sources().instead(span, written, meant));
        let finding = findings.error("unknown-check", span, headline).help(help).edits(edit);
        findings.put(finding);
    }
}

/// Gives findings the levels that the tour sets, and notes levels that were not needed: those of
/// the checks that `mine` picks.
pub(crate) fn apply(
    project: &Project,
    found: Vec<Diagnostic>,
    mine: impl Fn(&str) -> bool,
) -> Vec<Diagnostic> {
    let set = |name: &str| project.checks.get(name).map(|entry| entry.value.level.value);
    let mut kept = Vec::new();
    for entry in own(project).iter().filter(|entry| mine(&entry.name.value)) {
        if found.iter().any(|finding| finding.name == entry.name.value.as_str()) {
            continue;
        }
        let place = project.sources.place(entry.name.span);
        let headline = format!("`{}` finds nothing in this tour", entry.name.value);
        let unneeded = Diagnostic::note("check-level-unneeded", place, headline);
        kept.push(unneeded.help("take the line out"));
    }
    for mut finding in found {
        match set(finding.name).filter(|_| mine(finding.name)) {
            Some(Level::Off) => continue,
            Some(Level::Note) => finding.severity = Severity::Note,
            Some(Level::Warning) => finding.severity = Severity::Warning,
            Some(Level::Error) => finding.severity = Severity::Error,
            None => {}
        }
        kept.push(finding);
    }
    kept
}

/// The levels that are set for just what is flown, so that one that finds nothing can go: those of
/// the tour for the tour as written, those of the variant for a variant. On a day on which anything
/// else differs nothing can be said of them.
fn own(project: &Project) -> &[Entry<CheckLevel>] {
    let chosen = &project.chosen;
    let variant = chosen.variant.as_ref().and_then(|name| project.variants.get(name));
    match (chosen.differences.len(), variant) {
        (0, _) => &project.checks.entries,
        (1, Some(variant)) => &variant.value.checks.entries,
        _ => &[],
    }
}
