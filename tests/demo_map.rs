//! The coastline of the invented islands, read apart from any reader of the product.
//!
//! Rules: RFC 7946, sections 3.1.1 (longitude first) and 3.1.6 (polygons).

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot go on has failed")]

use std::path::Path;

use earth::Position;

#[path = "../examples/flights.rs"]
#[allow(dead_code, reason = "only the plan of a tour is wanted here")]
mod flights;

/// A strict reading by the rules of RFC 7946: closed rings, the outer one anticlockwise, holes
/// clockwise, longitude before latitude. And it is the same place that the tours fly round.
#[test]
fn the_coastline_is_a_sound_map_of_the_same_islands() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read(top.join("routes/coastline.geojson")).unwrap();
    let map: serde_json::Value = serde_json::from_slice(&text).unwrap();
    assert_eq!(map["type"], "FeatureCollection");
    let plan = flights::compiled(&top.join("routes"), "tours/west-coast.yaml", None, None).unwrap();
    let mut points = 0;
    let mut on_land = Vec::new();
    let place =
        |name: &str| plan.places.iter().find(|place| place.name == name).expect(name).position;
    for feature in map["features"].as_array().unwrap() {
        assert_eq!(
            (&feature["type"], &feature["geometry"]["type"]),
            (&"Feature".into(), &"Polygon".into())
        );
        let rings: Vec<Vec<(f64, f64)>> =
            serde_json::from_value(feature["geometry"]["coordinates"].clone()).unwrap();
        for (number, ring) in rings.iter().enumerate() {
            points += ring.len();
            assert!(ring.len() >= 4 && ring.first() == ring.last(), "{}", feature["properties"]);
            assert_eq!(twice_area(ring) > 0.0, number == 0, "{}", feature["properties"]);
        }
        let name = feature["properties"]["name"].as_str().unwrap().to_owned();
        for sight in ["FIELD", "JURY", "KETTLE", "ADELPHINE"] {
            if rings.iter().filter(|ring| holds(ring, place(sight))).count() % 2 == 1 {
                on_land.push((sight, name.clone()));
            }
        }
    }
    assert!(points >= 300, "{points} points");
    // The Kettle is a lake, the wreck lies in the sea.
    let great_wennick = "Great Wennick".to_owned();
    assert_eq!(on_land, [("FIELD", great_wennick.clone()), ("JURY", great_wennick)]);
}

/// Twice the area in square degrees, positive for an anticlockwise ring.
fn twice_area(ring: &[(f64, f64)]) -> f64 {
    ring.windows(2).map(|pair| pair[0].0 * pair[1].1 - pair[1].0 * pair[0].1).sum()
}

/// Whether a position lies in a ring, by the even-odd rule on longitude and latitude.
fn holds(ring: &[(f64, f64)], at: Position) -> bool {
    let crossings = ring.windows(2).filter(|pair| {
        let ((lon, lat), (next_lon, next_lat)) = (pair[0], pair[1]);
        let spans = (lat > at.lat()) != (next_lat > at.lat());
        spans && at.lon() < lon + (at.lat() - lat) / (next_lat - lat) * (next_lon - lon)
    });
    crossings.count() % 2 == 1
}
