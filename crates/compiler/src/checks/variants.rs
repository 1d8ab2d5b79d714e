//! Variants of the route that cannot be flown.

use std::collections::BTreeSet;

use diagnostic::Severity;
use route::model::Project;
use route::{Choice, Name, Said, Spanned};

use crate::findings::Findings;
use crate::leg;
use crate::places::Places;

/// Compiles the route of every variant, and reports the mistakes that are not those of the route as
/// written. What is only chosen for the day has been looked at when it was chosen.
pub(crate) fn check(project: &Project, places: &Places<'_>, findings: &mut Findings<'_>) {
    if project.chosen != route::Chosen::default() || !project.complete {
        return;
    }
    for entry in &project.variants.entries {
        without(project, &entry.value.without, findings);
        let place = findings.sources().place(entry.name.span);
        let variant = Some(Said { value: entry.name.value.to_string(), place });
        let varied = match route::choose(project, &Choice { variant, ..Choice::default() }) {
            Ok(varied) => varied,
            Err(found) => {
                found.into_iter().for_each(|finding| findings.put(finding));
                continue;
            }
        };
        let mut own = Findings::new(findings.sources());
        leg::compile(&varied, places, &mut own);
        for finding in own.sorted() {
            if finding.severity == Severity::Error && !findings.has(&finding) {
                findings.put_or_join(finding);
            }
        }
    }
}

/// Names of what a variant is without, which nothing has.
fn without(project: &Project, names: &[Spanned<Name>], findings: &mut Findings<'_>) {
    let mut known: BTreeSet<&str> = BTreeSet::new();
    known.extend(project.zones.entries.iter().map(|entry| entry.name.value.as_str()));
    known.extend(project.rules.entries.iter().map(|entry| entry.name.value.as_str()));
    known.extend(project.sights.entries.iter().map(|entry| entry.name.value.as_str()));
    for name in names {
        if known.contains(name.value.as_str()) {
            continue;
        }
        let headline = format!("no zone, rule or sight is called `{}`", name.value);
        let help = match route::near(&name.value, known.iter().copied()) {
            Some(near) => format!("`{near}` is probably meant"),
            None => "take it out".to_owned(),
        };
        let finding = findings.error("unknown-name", name.span, headline).help(help);
        findings.put(finding);
    }
}
