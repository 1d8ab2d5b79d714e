//! Rings and lines laid flat, for their middles and areas.
//!
//! Points are laid out by distance and direction from the first one. Within the size that zones may
//! have, 200 km, an area comes out good to a thousandth, which is what people read of it.

use earth::{DegreesTrue, Metres, Position, SquareMetres, geodesic, trig};
use geo::{Area, Centroid, Coord, LineString, Polygon};

fn flat(origin: Position, points: &[Position]) -> LineString {
    let lay = |point: &Position| {
        let line = geodesic::inverse(origin, *point);
        let (sin, cos) = trig::sin_cos(line.azimuth_start.get());
        Coord { x: line.distance.get() * sin, y: line.distance.get() * cos }
    };
    points.iter().map(lay).collect()
}

fn on_earth(origin: Position, at: Coord) -> Position {
    let bearing = DegreesTrue::of(trig::bearing(at.x, at.y));
    let distance = Metres::of((at.x * at.x + at.y * at.y).sqrt());
    geodesic::direct(origin, bearing, distance).0
}

fn polygon(origin: Position, outer: &[Position], holes: &[Vec<Position>]) -> Polygon {
    Polygon::new(flat(origin, outer), holes.iter().map(|hole| flat(origin, hole)).collect())
}

/// The middle and the area of a polygon; none of one without points.
pub(super) fn of_polygon(
    outer: &[Position],
    holes: &[Vec<Position>],
) -> Option<(Position, SquareMetres)> {
    let origin = *outer.first()?;
    let polygon = polygon(origin, outer, holes);
    let middle = polygon.centroid()?;
    Some((on_earth(origin, middle.0), SquareMetres::of(polygon.unsigned_area())))
}

/// The middle of a line; none of one without points.
pub(super) fn of_line(line: &[Position]) -> Option<Position> {
    let origin = *line.first()?;
    Some(on_earth(origin, flat(origin, line).centroid()?.0))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    /// A square of 2 km about a point, from offsets along meridian and parallel.
    fn square(about: Position) -> Vec<Position> {
        let corner = |bearing: f64| {
            let reach = Metres::of(1000.0 * 2.0_f64.sqrt());
            geodesic::direct(about, DegreesTrue::of(bearing), reach).0
        };
        vec![corner(45.0), corner(135.0), corner(225.0), corner(315.0)]
    }

    #[test]
    fn a_square_has_its_middle_and_its_area_also_across_the_meridian_of_180_and_near_a_pole() {
        for about in [(46.4, -33.2), (0.0, 180.0), (89.99, 10.0), (-60.0, 0.0)] {
            let about = Position::of(about.0, about.1);
            let (middle, area) = of_polygon(&square(about), &[]).unwrap();
            assert!(geodesic::inverse(about, middle).distance < Metres::of(0.5), "{middle:?}");
            assert!((area.get() / 4e6 - 1.0).abs() < 1e-5, "{area:?}");
        }
    }

    #[test]
    fn a_hole_is_taken_from_the_area_and_the_middle_of_a_line_is_by_its_length() {
        let about = Position::of(46.4, -33.2);
        let small: Vec<Position> = square(about)
            .iter()
            .map(|corner| {
                let line = geodesic::inverse(about, *corner);
                geodesic::direct(about, line.azimuth_start, line.distance * 0.5).0
            })
            .collect();
        let (_, area) = of_polygon(&square(about), &[small]).unwrap();
        assert!((area.get() / 3e6 - 1.0).abs() < 1e-5, "{area:?}");
        let east =
            |metres: f64| geodesic::direct(about, DegreesTrue::of(90.0), Metres::of(metres)).0;
        let middle = of_line(&[about, east(100.0), east(4000.0)]).unwrap();
        assert!(geodesic::inverse(east(2000.0), middle).distance < Metres::of(0.5));
    }
}
