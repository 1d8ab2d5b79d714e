//! Places far from home.

use diagnostic::{Page, Severity};
use earth::Metres;
use route::{Name, Span};

use crate::findings::Findings;

/// Farther from home than this no sightseeing flight goes: 500 km (common practice, no source).
const FAR: f64 = 500_000.0;

pub(super) const PAGES: &[Page] = &[Page {
    name: "place-far-away",
    severity: Severity::Warning,
    finds: "A waypoint or sight more than 500 km from where the flight begins.",
    why: "Most often latitude and longitude are swapped, or a hemisphere is wrong; the sight \
              is then never filmed, and nobody is told so.",
    example: "sights:\n  ARCH: {at: \"6.7 N, 61.2 W\"}",
    better: "sights:\n  ARCH: {at: \"61.2 N, 6.7 W\"}",
}];

pub(crate) fn check(findings: &mut Findings<'_>, name: &Name, at: Span, distance: Metres) {
    if distance.get() <= FAR {
        return;
    }
    let headline =
        format!("`{name}` lies {:.0} km from where the flight begins", distance.get() / 1000.0);
    let finding = findings
        .warning("place-far-away", at, headline)
        .help("are latitude and longitude swapped, or north and south, or east and west?");
    findings.put(finding);
}
