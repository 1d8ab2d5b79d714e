//! Sights that passengers were promised and that are not filmed.

use coverage::{Hindrance, SightSeen};
use diagnostic::{Page, Severity};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "sight-not-filmed",
    severity: Severity::Warning,
    finds: "A must-have sight that is not filmed on the planned flight. It is filmed when the live \
            camera, while recording, holds it in one shot for the time that it is wanted (6 s unless \
            the sight says another), large enough or near enough (within 2 NM unless the sight says \
            another). The aircraft banks in its turns as a coordinated turn would have it; no hill \
            hides a sight here, as the heights of the ground are asked only by `fulmar coverage`.",
    why: "The passengers were promised it and it is not in the film. In the picture is not filmed: a \
          glimpse, a speck, or a moment in which nothing is recorded is not what they paid for.",
    example: "must have: [ARCH]\nrules:\n  \
              arch: {when: {in: arch}, camera: left}    # the arch lies to the right",
    better: "must have: [ARCH]\nrules:\n  arch: {when: {in: arch}, camera: {look at: ARCH}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let must_have = &flown.project.must_have;
    if must_have.is_empty() {
        return;
    }
    let flights = flown.timeline().flights;
    for name in must_have {
        let Some(sight) = flown.place_id(name.value.as_str()) else { continue };
        // Of several flights the one on which it was filmed, or came nearest to it.
        let seen = flights.iter().filter_map(|flight| flown.coverage_of(flight, sight));
        let Some(seen) = seen.max_by_key(|seen| (seen.is_filmed(), length(seen), seen.in_live))
        else {
            continue;
        };
        let Some(hindrance) = &seen.hindrance else { continue };
        let when = hindrance
            .when()
            .map_or_else(String::new, |span| format!("at {} ", flown.clock(span.from)));
        let words = hindrance.words(flown.plan, &seen.wanted);
        let headline = format!("`{}` is not filmed: {when}{words}", name.value.as_str());
        let finding =
            findings.warning("sight-not-filmed", name.span, headline).help(help(hindrance));
        findings.put(finding);
    }
}

fn length(seen: &SightSeen) -> earth::Millis {
    seen.filmed.map_or(earth::Millis::ZERO, |filmed| filmed.span.length())
}

/// What an author can do about it.
fn help(hindrance: &Hindrance) -> &'static str {
    match hindrance {
        Hindrance::TooShort { .. } => {
            "keep one camera on it for longer: a larger zone, a higher priority, a slower leg; or \
             lessen what is wanted under `film` of the sight"
        }
        Hindrance::NotRecorded { zone: None, .. } => "let a rule record there",
        Hindrance::NotRecorded { zone: Some(_), .. } => {
            "lead the route so that it is seen from outside of the zone, or promise it no longer"
        }
        Hindrance::OtherCameraLive { .. } => "let a rule make that camera live, or `look at` it",
        Hindrance::CameraNotUsed { .. } => {
            "lead the route past it on the side of another camera, or promise it no longer today"
        }
        Hindrance::TooFar { .. } => {
            "lead the route nearer, or say under `film` of the sight from how far it counts"
        }
        Hindrance::BehindAirframe { .. } => {
            "lead the route past it where the airframe does not stand before it"
        }
        Hindrance::BehindGround { .. }
        | Hindrance::BelowHorizon
        | Hindrance::OutOfFrame
        | Hindrance::NoCamera => "lead the route past it on the side of a camera",
        Hindrance::HeadingNotKnown => {
            "its camera can only be told where the heading is known: fly past it, or take an aircraft \
             with a heading source"
        }
    }
}
