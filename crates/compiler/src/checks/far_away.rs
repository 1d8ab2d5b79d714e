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

/// So many places near home say that it is home that is right, and not the place far away.
const WITNESSES: usize = 2;

/// Looks at all waypoints and sights.
pub(crate) fn check<'n>(
    findings: &mut Findings<'_>,
    places: impl Iterator<Item = (&'n Name, Spanned<Position>)>,
    home: Position,
) {
    let (mut near, mut far) = (0, Vec::new());
    for (name, at) in places {
        let distance = geodesic::inverse(home, at.value).distance;
        if distance.get() > FAR {
            far.push((name, at, distance));
        } else if distance.get() > 0.0 {
            near += 1;
        }
    }
    let home_is_right = near >= WITNESSES && near > far.len();
    for (name, at, distance) in far {
        let headline =
            format!("`{name}` lies {:.0} km from where the flight begins", distance.get() / 1000.0);
        let slips = slips(at.value, home);
        let help = match slips.first() {
            Some(Slip { what, mended, distance, .. }) => format!(
                "{what} it would be {:.4}, {:.4}, {:.0} km away: mend it if that is meant",
                mended.lat(),
                mended.lon(),
                distance / 1000.0
            ),
            None => {
                "are latitude and longitude swapped, or north and south, or east and west?".into()
            }
        };
        let edits = match slips.as_slice() {
            [Slip { exchanges: true, mended, .. }] if home_is_right => {
                findings.sources().exchanged(at.span, *mended)
            }
            _ => Vec::new(),
        };
        let finding = findings.warning("place-far-away", at.span, headline).help(help).edits(edits);
        findings.put(finding);
    }
}

/// A slip that would explain a place far away.
struct Slip {
    what: &'static str,
    /// Whether it is the exchange of latitude and longitude.
    exchanges: bool,
    mended: Position,
    /// From home, in metres.
    distance: f64,
}

/// The slips that would explain a place far away: first the one that brings it nearest to home.
fn slips(at: Position, home: Position) -> Vec<Slip> {
    let (lat, lon) = (at.lat(), at.lon());
    let slips = [
        ("with latitude and longitude swapped", true, lon, lat),
        ("with north and south swapped", false, -lat, lon),
        ("with east and west swapped", false, lat, -lon),
        ("with latitude and longitude swapped, each with its own hemisphere", true, -lon, -lat),
    ];
    let near = slips.into_iter().filter_map(|(what, exchanges, lat, lon)| {
        let mended = Position::new(lat, lon).ok()?;
        let distance = geodesic::inverse(home, mended).distance.get();
        (distance <= FAR).then_some(Slip { what, exchanges, mended, distance })
    });
    let mut near: Vec<Slip> = near.collect();
    near.sort_by(|one, other| one.distance.total_cmp(&other.distance));
    near
}
