//! What a variant is without.

use diagnostic::{Diagnostic, Page, Place, Severity};
use route::model::Project;

pub(super) const PAGES: &[Page] = &[Page {
    name: "without-unneeded",
    severity: Severity::Note,
    finds: "A zone, rule or sight that a variant is said to be `without`, and about which nothing \
            is found on that variant.",
    why: "It is met after all; the word would hide it if one day it is not.",
    example: "variants:\n  short: {without: arch}    # which is met on it",
    better: "variants:\n  short: {}",
}];

/// Takes out what is found about the zones, rules and sights that the variant is without.
pub(crate) fn apply(project: &Project, mut found: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let Some(name) = &project.chosen.variant else { return found };
    let Some(variant) = project.variants.get(name) else { return found };
    let mut unneeded = Vec::new();
    for name in &variant.value.without {
        let places = places(project, &name.value);
        let before = found.len();
        found.retain(|finding| {
            let related = finding.related.iter().map(|related| &related.place);
            let mut all = related.chain([&finding.place]);
            !all.any(|place| places.iter().any(|own| holds(own, place)))
        });
        if found.len() == before && project.chosen.differences.len() == 1 {
            let place = project.sources.place(name.span);
            let headline = format!("nothing is found about `{}` on this variant", name.value);
            let unneeded_here = Diagnostic::note("without-unneeded", place, headline);
            unneeded.push(unneeded_here.help("take it out"));
        }
    }
    found.append(&mut unneeded);
    found
}

/// Where the zones, rules and sights of a name are written.
fn places(project: &Project, name: &str) -> Vec<Place> {
    let zone = project.zones.get(name).map(|entry| entry.span);
    let rule = project.rules.get(name).map(|entry| entry.span);
    let sight = project.sights.get(name).map(|entry| entry.span);
    let spans = [zone, rule, sight].into_iter().flatten();
    spans.map(|span| project.sources.place(span)).collect()
}

fn holds(own: &Place, place: &Place) -> bool {
    own.file == place.file && own.bytes.0 <= place.bytes.0 && place.bytes.1 <= own.bytes.1
}
