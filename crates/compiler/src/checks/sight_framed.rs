//! Sights that are never filmed.

use std::collections::BTreeMap;

use diagnostic::{Page, Severity};
use earth::Surface;
use plan::PlaceKind;
use route::Span;
use route::model::{CameraEffect, ConditionKind, StillTime};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "sight-never-in-frame",
    severity: Severity::Warning,
    finds: "A sight that a rule names and that on the planned flight is never in the frame of the \
            live camera within the distance of `abeam within` (2 NM unless the tour sets another), \
            the aircraft taken as level. Of a must-have, `sight-not-filmed` says more, and it is not \
            found here.",
    why: "The passengers were promised it and it is not in the film.",
    example: "rules:\n  arch: {when: {in: arch}, camera: left}    # the arch lies to the right",
    better: "rules:\n  arch: {when: {in: arch}, camera: {look at: ARCH}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for (name, span) in named(flown) {
        let place = flown.plan.places.iter().find(|place| place.name == name);
        let Some(place) = place.filter(|place| place.kind == PlaceKind::Sight) else { continue };
        if place.wanted.is_some_and(|wanted| wanted.must_have) {
            continue;
        }
        let sight = Surface::from(place.position);
        let mut airborne = flown.moments.iter().filter(|moment| moment.airborne);
        let framed = airborne.any(|moment| flown.frames(moment, place, &sight));
        if framed {
            continue;
        }
        let headline = format!("`{name}` is never in the frame of the live camera");
        let finding = findings
            .warning("sight-never-in-frame", span, headline)
            .help("lead the route past it on the side of a camera, or let a rule `look at` it");
        findings.put(finding);
    }
}

/// The sights that rules name, each with the first place that names it.
pub(crate) fn named<'p>(flown: &Flown<'p>) -> BTreeMap<&'p str, Span> {
    let mut named = BTreeMap::new();
    for entry in &flown.project.rules.entries {
        let rule = &entry.value;
        if let Some(CameraEffect::LookAt { sight, .. }) = rule.camera.as_ref().map(|it| &it.value) {
            named.entry(sight.value.as_str()).or_insert(sight.span);
        }
        for condition in &rule.conditions {
            if let ConditionKind::BeforeAbeam { sight, .. } = &condition.kind.value {
                named.entry(sight.value.as_str()).or_insert(sight.span);
            }
        }
        for still in &rule.stills {
            if let StillTime::AtClosest(sight) = &still.value.time {
                named.entry(sight.value.as_str()).or_insert(sight.span);
            }
        }
    }
    named
}
