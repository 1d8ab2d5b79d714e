//! Where something was, in words.

use earth::{DegreesTrue, Metres, Position, geodesic};
use plan::Plan;

/// Nearer than this one is at a place rather than beside it.
const AT: f64 = 50.0;

/// The nearest named place with distance and direction, such as `0.6 NM NE of ARCH`; the position
/// itself where the plan names no place.
///
/// Every place is looked at, so it is for lists that people read and not for every fix.
pub(crate) fn words(plan: &Plan, position: Position) -> String {
    let nearest = plan
        .places
        .iter()
        .map(|place| (place, geodesic::inverse(place.position, position)))
        .min_by(|a, b| a.1.distance.get().total_cmp(&b.1.distance.get()));
    let Some((place, line)) = nearest else {
        return format!("{:.5} {:.5}", position.lat(), position.lon());
    };
    if line.distance.get() < AT {
        return format!("at {}", place.name);
    }
    format!("{} {} of {}", distance(line.distance), wind_rose(line.azimuth_start), place.name)
}

/// A distance for people: metres below a kilometre, else nautical miles.
fn distance(distance: Metres) -> String {
    if distance.get() < 995.0 {
        format!("{:.0} m", (distance.get() / 10.0).round() * 10.0)
    } else {
        format!("{:.1} NM", distance.nautical_miles())
    }
}

/// The nearest of the eight winds.
fn wind_rose(direction: DegreesTrue) -> &'static str {
    const NAMES: [(f64, &str); 8] = [
        (22.5, "N"),
        (67.5, "NE"),
        (112.5, "E"),
        (157.5, "SE"),
        (202.5, "S"),
        (247.5, "SW"),
        (292.5, "W"),
        (337.5, "NW"),
    ];
    NAMES.iter().find(|(end, _)| direction.get() < *end).map_or("N", |(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_eight_winds() {
        let name = |degrees| wind_rose(DegreesTrue::of(degrees));
        assert_eq!([name(0.0), name(22.5), name(90.0), name(200.0)], ["N", "NE", "E", "S"]);
        assert_eq!([name(337.4), name(337.5), name(359.9)], ["NW", "N", "N"]);
    }
}
