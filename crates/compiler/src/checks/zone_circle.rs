//! Combined zones that are made of themselves.

use diagnostic::{Page, Severity};
use route::Span;
use route::model::Project;

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "zones-in-circle",
    severity: Severity::Error,
    finds: "Combined zones each of which is made of the next, and the last of the first.",
    why: "Nobody can say where such a zone is.",
    example: "zones:\n  shore: {any of: [bay, reef]}\n  bay: {all of: [shore, town]}",
    better: "zones:\n  shore: {any of: [bay, reef]}\n  bay: {circle: {centre: BAY, radius: 1 NM}}",
}];

/// The zones in an order in which each comes after its parts, else as written. Circles are
/// reported and cut open.
pub(crate) fn order(
    project: &Project,
    parts: &[Vec<(usize, Span)>],
    findings: &mut Findings<'_>,
) -> Vec<usize> {
    let mut state = vec![State::New; parts.len()];
    let mut order = Vec::new();
    for start in 0..parts.len() {
        // A stack of our own: zones may be combined to any depth.
        let mut stack = vec![(start, 0_usize)];
        while let Some((zone, next)) = stack.last_mut() {
            let Some(slot) = state.get_mut(*zone) else { break };
            if *slot == State::Done {
                stack.pop();
                continue;
            }
            *slot = State::Open;
            let part = parts.get(*zone).and_then(|parts| parts.get(*next)).copied();
            *next += 1;
            match part {
                Some((part, at)) if state.get(part) == Some(&State::Open) => {
                    let circle: Vec<usize> =
                        stack.iter().map(|(zone, _)| *zone).skip_while(|z| *z != part).collect();
                    report(project, &circle, at, findings);
                }
                Some((part, _)) => stack.push((part, 0)),
                None => {
                    if let Some((zone, _)) = stack.pop() {
                        order.push(zone);
                        if let Some(slot) = state.get_mut(zone) {
                            *slot = State::Done;
                        }
                    }
                }
            }
        }
    }
    order
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    New,
    Open,
    Done,
}

fn report(project: &Project, circle: &[usize], at: Span, findings: &mut Findings<'_>) {
    let entries = || circle.iter().filter_map(|zone| project.zones.entries.get(*zone));
    let names: Vec<String> = entries().map(|entry| format!("`{}`", entry.name.value)).collect();
    let headline = match names.as_slice() {
        [one] => format!("the zone {one} is made of itself"),
        several => format!("the zones {} are made of each other", several.join(", ")),
    };
    let mut finding = findings
        .error("zones-in-circle", at, headline)
        .label("here the circle closes")
        .help("take one of the zones out of the other");
    for entry in entries() {
        let place = findings.sources().place(entry.name.span);
        finding = finding.related(place, format!("`{}` is here", entry.name.value));
    }
    findings.put(finding);
}
