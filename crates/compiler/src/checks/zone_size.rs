//! Zones too large to be meant.

use diagnostic::{Page, Severity};
use earth::{Metres, Position, geodesic};
use route::{Name, Spanned};

use crate::findings::Findings;

/// Up to this size edges are exact to 0.1 m.
const LARGE: f64 = 200_000.0;
/// A point farther than this from the first of its zone is a slip.
const FAR: f64 = 1_000_000.0;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "zone-too-large",
        severity: Severity::Warning,
        finds: "A zone more than 200 km across.",
        why: "No sightseeing flight is that long, so a coordinate is probably wrong; and at \
                  that size the edge is no longer kept to 0.1 m.",
        example: "zones:\n  bay: {circle: {centre: BAY, radius: 130 km}}",
        better: "zones:\n  bay: {circle: {centre: BAY, radius: 1.3 km}}",
    },
    Page {
        name: "zone-torn",
        severity: Severity::Error,
        finds: "A point of a zone more than 1000 km from the zone's first point.",
        why: "Most often latitude and longitude are swapped, or a hemisphere is wrong.",
        example: "gate: {line: [\"61.2 N, 6.7 W\", \"6.7 N, 61.3 W\"]}",
        better: "gate: {line: [\"61.2 N, 6.7 W\", \"61.3 N, 6.7 W\"]}",
    },
];

pub(crate) fn check_radius(
    name: &Spanned<Name>,
    radius: Spanned<Metres>,
    findings: &mut Findings<'_>,
) {
    let across = radius.value.get() * 2.0;
    if across > LARGE {
        large(name, radius.span, across, findings);
    }
}

/// Reports points that lie too far from each other; none is returned where they make no zone.
pub(crate) fn check_points(
    name: &Spanned<Name>,
    points: &[Spanned<Position>],
    findings: &mut Findings<'_>,
) -> Option<()> {
    let first = points.first()?;
    let mut whole = Some(());
    // The extent as seen from the first point: ahead and aside, in metres.
    let (mut least, mut most) = ([0.0_f64; 2], [0.0_f64; 2]);
    for point in points {
        let way = geodesic::inverse(first.value, point.value);
        let distance = way.distance.get();
        if distance > FAR {
            let headline = format!(
                "this point of the zone `{}` lies {:.0} km from its first point",
                name.value,
                distance / 1000.0
            );
            let finding = findings
                .error("zone-torn", point.span, headline)
                .related(findings.sources().place(first.span), "the first point")
                .help("are latitude and longitude swapped, or north and south, or east and west?");
            findings.put(finding);
            whole = None;
            continue;
        }
        let (sin, cos) = earth::trig::sin_cos(way.azimuth_start.get());
        for (axis, value) in [distance * cos, distance * sin].into_iter().enumerate() {
            if let (Some(least), Some(most)) = (least.get_mut(axis), most.get_mut(axis)) {
                *least = least.min(value);
                *most = most.max(value);
            }
        }
    }
    let across = (most[0] - least[0]).max(most[1] - least[1]);
    if whole.is_some() && across > LARGE {
        large(name, name.span, across, findings);
    }
    whole
}

fn large(name: &Spanned<Name>, at: route::Span, across: f64, findings: &mut Findings<'_>) {
    let headline = format!("the zone `{}` is {:.0} km across", name.value, across / 1000.0);
    let finding = findings
        .warning("zone-too-large", at, headline)
        .help("is the size meant, and is every coordinate right?");
    findings.put(finding);
}
