//! The outlines of zones, dense enough to be drawn with straight edges.
//!
//! For drawing only: whether the aircraft is inside is the engine's to say. What has to be laid
//! together (corridors, combined zones) is laid together on a plane about its own middle, on which
//! distances from the middle are true; over the 200 km that a zone may measure that is wrong by a
//! few metres, less than a line is wide.

use earth::geodesic::{self, inverse};
use earth::{Degrees, DegreesTrue, Metres, Position};
use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::{BooleanOps, Buffer, Coord, LineString, MultiPolygon, Polygon};
use plan::{Shape, Zone, ZoneId};

/// A polygon: its outer ring, then its holes. Rings are closed.
pub(crate) type Rings = Vec<Vec<Position>>;

/// A whole circle is drawn with so many edges: they leave it by less than a thousandth of the radius.
const ROUND: u32 = 90;
/// An edge is never drawn longer than that, so that it bends as the geodesic does.
const LONGEST_EDGE: f64 = 5_000.0;
/// However long an edge is, it has no more pieces.
const MOST_PIECES: f64 = 100.0;
/// The angle, in radians, between two edges of a corridor's round end.
const ROUND_END: f64 = 0.14;

/// What the zones of a plan look like, in their order: polygons to fill, none of a gate.
#[must_use]
pub(crate) fn areas(zones: &[Zone]) -> Vec<Vec<Rings>> {
    let mut all: Vec<Vec<Rings>> = Vec::with_capacity(zones.len());
    for zone in zones {
        let area = match &zone.shape {
            Shape::Circle { centre, radius } => vec![vec![circle(*centre, *radius)]],
            Shape::Sector { centre, radius, from, to } => {
                vec![vec![sector(*centre, *radius, *from, *to)]]
            }
            Shape::Polygon { outer, holes } => {
                vec![std::iter::once(outer).chain(holes).map(|ring| closed(ring)).collect()]
            }
            Shape::Corridor { line, half_width } => corridor(line, *half_width),
            Shape::Gate { .. } => Vec::new(),
            Shape::Combined { any_of, all_of, except } => combined(&all, any_of, all_of, except),
        };
        all.push(area);
    }
    all
}

/// A line with its edges as the geodesics they are.
#[must_use]
pub(crate) fn dense(line: &[Position]) -> Vec<Position> {
    let mut points: Vec<Position> = line.first().copied().into_iter().collect();
    for edge in line.windows(2) {
        let [from, to] = *edge else { continue };
        let way = inverse(from, to);
        let pieces = (way.distance.get() / LONGEST_EDGE).ceil().clamp(1.0, MOST_PIECES);
        let geodesic = geodesic::Line::new(from, way.azimuth_start);
        for piece in 1..pieces as u32 {
            let along = way.distance.get() * f64::from(piece) / pieces;
            points.push(geodesic.at(Metres::of(along)).0);
        }
        points.push(to);
    }
    points
}

fn closed(ring: &[Position]) -> Vec<Position> {
    let mut ring = ring.to_vec();
    ring.extend(ring.first().copied());
    dense(&ring)
}

fn circle(centre: Position, radius: Metres) -> Vec<Position> {
    arc(centre, radius, 0.0, 360.0)
}

fn sector(centre: Position, radius: Metres, from: Degrees, to: Degrees) -> Vec<Position> {
    let from = DegreesTrue::of(from.get());
    let sweep = from.clockwise_to(DegreesTrue::of(to.get())).get();
    // Equal ends are the whole circle.
    if sweep == 0.0 {
        return circle(centre, radius);
    }
    let side = |to: &Position| dense(&[centre, *to]);
    let arc = arc(centre, radius, from.get(), sweep);
    let mut ring = Vec::new();
    ring.extend(arc.first().map(side).unwrap_or_default());
    ring.extend(arc.iter().skip(1));
    let back = arc.last().map(side).unwrap_or_default();
    ring.extend(back.into_iter().rev().skip(1));
    ring
}

/// Points on a circle, clockwise from a bearing.
fn arc(centre: Position, radius: Metres, from: f64, sweep: f64) -> Vec<Position> {
    let edges = (f64::from(ROUND) * sweep / 360.0).ceil().max(1.0);
    let at = |edge: u32| {
        let bearing = DegreesTrue::of(from + sweep * f64::from(edge) / edges);
        geodesic::direct(centre, bearing, radius).0
    };
    (0..=edges as u32).map(at).collect()
}

fn corridor(line: &[Position], half_width: Metres) -> Vec<Rings> {
    let Some(middle) = line.get(line.len() / 2) else { return Vec::new() };
    let plane = Plane(*middle);
    let flat = plane.flat(&dense(line));
    let style = BufferStyle::new(half_width.get())
        .line_cap(LineCap::Round(ROUND_END))
        .line_join(LineJoin::Round(ROUND_END));
    plane.rings(&flat.buffer_with_style(style))
}

fn combined(
    before: &[Vec<Rings>],
    any_of: &[ZoneId],
    all_of: &[ZoneId],
    except: &[ZoneId],
) -> Vec<Rings> {
    let area = |id: &ZoneId| before.get(id.index()).map_or(&[][..], Vec::as_slice);
    let mut parts = any_of.iter().chain(all_of);
    let Some(first) = parts.find_map(|id| area(id).first()?.first()?.first()) else {
        return Vec::new();
    };
    let plane = Plane(*first);
    let flat = |id: &ZoneId| -> MultiPolygon<f64> {
        let polygons = area(id).iter().map(|rings| {
            let mut rings = rings.iter().map(|ring| plane.flat(ring));
            let outer = rings.next().unwrap_or_else(|| LineString::new(Vec::new()));
            Polygon::new(outer, rings.collect())
        });
        MultiPolygon::new(polygons.collect())
    };
    let any = any_of.iter().map(flat).reduce(|one, other| one.union(&other));
    let all = all_of.iter().map(flat).reduce(|one, other| one.intersection(&other));
    let whole = match (any, all) {
        (Some(any), Some(all)) => any.intersection(&all),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return Vec::new(),
    };
    plane.rings(&except.iter().map(flat).fold(whole, |rest, out| rest.difference(&out)))
}

/// A plane about a middle: distances and bearings from there are true.
struct Plane(Position);

impl Plane {
    fn flat(&self, line: &[Position]) -> LineString<f64> {
        let points = line.iter().map(|at| {
            let way = inverse(self.0, *at);
            let (east, north) = earth::trig::sin_cos(way.azimuth_start.get());
            Coord { x: way.distance.get() * east, y: way.distance.get() * north }
        });
        LineString::new(points.collect())
    }

    fn rings(&self, polygons: &MultiPolygon<f64>) -> Vec<Rings> {
        let back = |ring: &LineString<f64>| -> Vec<Position> {
            let point = |at: &Coord<f64>| {
                let bearing = DegreesTrue::of(earth::trig::bearing(at.x, at.y));
                let distance = (at.x * at.x + at.y * at.y).sqrt();
                geodesic::direct(self.0, bearing, Metres::of(distance)).0
            };
            ring.coords().map(point).collect()
        };
        let polygon = |polygon: &Polygon<f64>| {
            std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(back).collect()
        };
        polygons.iter().map(polygon).collect()
    }
}
