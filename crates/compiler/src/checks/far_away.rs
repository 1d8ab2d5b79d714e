//! Places far from home.

use diagnostic::{Page, Severity};
use earth::{Position, geodesic};
use route::{Name, Spanned};

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

pub(crate) fn check(
    findings: &mut Findings<'_>,
    name: &Name,
    at: Spanned<Position>,
    home: Position,
) {
    let distance = geodesic::inverse(home, at.value).distance;
    if distance.get() <= FAR {
        return;
    }
    let headline =
        format!("`{name}` lies {:.0} km from where the flight begins", distance.get() / 1000.0);
    let help = match remedy(at.value, home) {
        Some((what, mended)) => format!(
            "{what} it would be {:.4}, {:.4}, {:.0} km away: mend it if that is meant",
            mended.lat(),
            mended.lon(),
            geodesic::inverse(home, mended).distance.get() / 1000.0
        ),
        None => "are latitude and longitude swapped, or north and south, or east and west?".into(),
    };
    let finding = findings.warning("place-far-away", at.span, headline).help(help);
    findings.put(finding);
}

/// The slip that would explain a place far away: the one that brings it nearest to home.
fn remedy(at: Position, home: Position) -> Option<(&'static str, Position)> {
    let (lat, lon) = (at.lat(), at.lon());
    let slips = [
        ("with latitude and longitude swapped", lon, lat),
        ("with north and south swapped", -lat, lon),
        ("with east and west swapped", lat, -lon),
        ("with latitude and longitude swapped, each with its own hemisphere", -lon, -lat),
    ];
    let near = slips.into_iter().filter_map(|(what, lat, lon)| {
        let mended = Position::new(lat, lon).ok()?;
        let distance = geodesic::inverse(home, mended).distance.get();
        (distance <= FAR).then_some((distance, what, mended))
    });
    let nearest = near.min_by(|one, other| one.0.total_cmp(&other.0));
    nearest.map(|(_, what, mended)| (what, mended))
}
