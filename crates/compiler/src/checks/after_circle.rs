//! Rules that wait for each other.

use diagnostic::{Page, Severity};
use route::Span;
use route::model::Project;

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "after-in-circle",
    severity: Severity::Error,
    finds: "Rules each of which comes `after` the next, and the last after the first.",
    why: "None of them can ever be the first to fire, so none ever does.",
    example: "rules:\n  out:  {when: {after: back}, record: on}\n  back: {when: {after: out}, record: off}",
    better: "rules:\n  out:  {when: {in: arch}, record: on}\n  back: {when: {after: out}, record: off}",
}];

/// Reports circles. By rule: the rules it comes after, and where it says so.
pub(crate) fn check(project: &Project, after: &[Vec<(usize, Span)>], findings: &mut Findings<'_>) {
    // 0 new, 1 open, 2 done.
    let mut state = vec![0_u8; after.len()];
    for start in 0..after.len() {
        let mut stack = vec![(start, 0_usize)];
        while let Some((rule, next)) = stack.last_mut() {
            let (rule, at) = (*rule, *next);
            *next += 1;
            if state.get(rule) == Some(&2) {
                stack.pop();
                continue;
            }
            if let Some(slot) = state.get_mut(rule) {
                *slot = 1;
            }
            match after.get(rule).and_then(|named| named.get(at)).copied() {
                Some((other, span)) if state.get(other) == Some(&1) => {
                    let circle: Vec<usize> =
                        stack.iter().map(|(rule, _)| *rule).skip_while(|r| *r != other).collect();
                    report(project, &circle, span, findings);
                }
                Some((other, _)) => stack.push((other, 0)),
                None => {
                    stack.pop();
                    if let Some(slot) = state.get_mut(rule) {
                        *slot = 2;
                    }
                }
            }
        }
    }
}

fn report(project: &Project, circle: &[usize], at: Span, findings: &mut Findings<'_>) {
    let entries = || circle.iter().filter_map(|rule| project.rules.entries.get(*rule));
    let names: Vec<String> = entries().map(|entry| format!("`{}`", entry.name.value)).collect();
    let headline = match names.as_slice() {
        [one] => format!("the rule {one} waits until it has fired itself"),
        several => format!("the rules {} wait for each other", several.join(", ")),
    };
    let mut finding = findings
        .error("after-in-circle", at, headline)
        .label("here the circle closes")
        .help("give one of them another condition than `after`");
    for entry in entries() {
        let place = findings.sources().place(entry.name.span);
        finding = finding.related(place, format!("`{}` is here", entry.name.value));
    }
    findings.put(finding);
}
