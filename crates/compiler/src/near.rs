//! The nearest place that has a name.

use earth::{DegreesTrue, Metres, Position, geodesic, trig};
use plan::{PlaceId, Plan};
use rstar::RTree;
use rstar::primitives::GeomWithData;

/// Nearer than this one is at a place rather than beside it.
const AT: Metres = Metres::of(50.0);
/// Of so many places nearest by the sphere, the nearest by the geodesic is taken.
const CANDIDATES: usize = 4;

/// Where something is, seen from a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// The place.
    pub place: PlaceId,
    /// How far away it is.
    pub distance: Metres,
    /// In which direction from the place.
    pub bearing: DegreesTrue,
}

impl Near {
    /// In words, with the name of the place: `at ARCH`, `400 m W of ARCH`, `0.6 NM NE of ARCH`.
    #[must_use]
    pub fn words(&self, name: &str) -> String {
        if self.distance < AT {
            return format!("at {name}");
        }
        let wind = eighth(self.bearing);
        let metres = self.distance.get();
        if metres < 995.0 {
            format!("{:.0} m {wind} of {name}", (metres / 10.0).round() * 10.0)
        } else {
            format!("{:.1} NM {wind} of {name}", self.distance.nautical_miles())
        }
    }
}

/// The nearest of the eight principal directions.
fn eighth(direction: DegreesTrue) -> &'static str {
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

/// The places of a plan, to be asked for the nearest one.
#[derive(Debug)]
pub struct PlaceIndex {
    tree: RTree<GeomWithData<[f64; 3], (u32, Located)>>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Located(Position);

impl PlaceIndex {
    /// Takes the places of a plan.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let places = (0..).zip(&plan.places);
        let points = places.map(|(number, place)| {
            GeomWithData::new(on_sphere(place.position), (number, Located(place.position)))
        });
        Self { tree: RTree::bulk_load(points.collect()) }
    }

    /// The place nearest to a position; of several equally near, the one written first.
    #[must_use]
    pub fn near(&self, at: Position) -> Option<Near> {
        let candidates = self.tree.nearest_neighbor_iter(&on_sphere(at)).take(CANDIDATES);
        let lines = candidates.map(|candidate| {
            let (number, Located(place)) = candidate.data;
            let line = geodesic::inverse(place, at);
            let bearing = line.azimuth_start;
            Near { place: PlaceId(number), distance: line.distance, bearing }
        });
        lines.min_by(|a, b| {
            let by_distance = a.distance.get().total_cmp(&b.distance.get());
            by_distance.then(a.place.cmp(&b.place))
        })
    }
}

/// A position as a point of the unit sphere, where the 180° meridian and the poles are nothing
/// special.
fn on_sphere(at: Position) -> [f64; 3] {
    let (sin_lat, cos_lat) = trig::sin_cos(at.lat());
    let (sin_lon, cos_lon) = trig::sin_cos(at.lon());
    [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(metres: f64, bearing: f64) -> Near {
        Near { place: PlaceId(0), distance: Metres::of(metres), bearing: DegreesTrue::of(bearing) }
    }

    #[test]
    fn in_words() {
        assert_eq!(near(49.9, 10.0).words("ARCH"), "at ARCH");
        assert_eq!(near(404.0, 270.0).words("ARCH"), "400 m W of ARCH");
        assert_eq!(near(1111.2, 44.0).words("ARCH"), "0.6 NM NE of ARCH");
        assert_eq!(near(994.0, 337.5).words("ARCH"), "990 m N of ARCH");
        assert_eq!(near(995.0, 337.4).words("ARCH"), "0.5 NM NW of ARCH");
    }
}
