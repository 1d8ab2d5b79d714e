//! Zones.

use earth::{Metres, Position, geodesic};

use super::{At, unique};
use crate::bounds::{self, Bound};
use crate::error::PlanError;
use crate::model::{Plan, Shape, Zone, ZoneId};

pub(super) fn check_zones(plan: &Plan) -> Result<(), PlanError> {
    let at = At::of("plan");
    at.count(&bounds::ZONES, plan.zones.len())?;
    unique("zone", plan.zones.iter().map(|zone| (zone.name.as_str(), Some(zone.source))))?;
    let points = plan.zones.iter().map(|zone| point_count(&zone.shape)).sum();
    at.count(&bounds::POINTS, points)?;
    for (index, zone) in plan.zones.iter().enumerate() {
        check_zone(plan, index, zone)?;
    }
    Ok(())
}

fn point_count(shape: &Shape) -> usize {
    match shape {
        Shape::Polygon { outer, holes } => outer.len() + holes.iter().map(Vec::len).sum::<usize>(),
        Shape::Corridor { line, .. } | Shape::Gate { line, .. } => line.len(),
        Shape::Circle { .. } | Shape::Sector { .. } | Shape::Combined { .. } => 0,
    }
}

fn check_zone(plan: &Plan, index: usize, zone: &Zone) -> Result<(), PlanError> {
    let at = At::named("zone", &zone.name).written(zone.source);
    at.source(plan, zone.source)?;
    at.metres(&bounds::MARGIN, zone.margin)?;
    if let Some(band) = &zone.band {
        at.part("altitude band").altitude_band(band)?;
    }
    match &zone.shape {
        Shape::Circle { radius, .. } => at.metres(&bounds::RADIUS, *radius),
        Shape::Polygon { outer, holes } => check_polygon(&at, outer, holes),
        Shape::Corridor { line, half_width } => {
            at.metres(&bounds::HALF_WIDTH, *half_width)?;
            check_points(&at, &bounds::LINE_POINTS, line)
        }
        Shape::Sector { radius, from, to, .. } => {
            at.metres(&bounds::RADIUS, *radius)?;
            at.clockwise(*from, *to)
        }
        Shape::Gate { line, .. } => {
            if zone.quiet || zone.no_filming.is_some() {
                return at.broken("a gate is never in, so it cannot be a quiet or no-filming zone");
            }
            check_points(&at, &bounds::LINE_POINTS, line)
        }
        Shape::Combined { any_of, all_of, except } => {
            if zone.band.is_some() {
                return at.broken("a combined zone has no altitude band of its own");
            }
            if zone.margin != Metres::ZERO {
                return at.broken("a combined zone has no margin of its own");
            }
            let parts = || any_of.iter().chain(all_of).chain(except);
            at.count(&bounds::PARTS, parts().count())?;
            parts().try_for_each(|part| check_part(plan, &at, index, *part))
        }
    }
}

fn check_part(plan: &Plan, at: &At, index: usize, part: ZoneId) -> Result<(), PlanError> {
    at.exists("zone", part.0, plan.zones.len())?;
    if part.index() >= index {
        return at.broken("it is combined of a zone that does not come before it");
    }
    match plan.zones.get(part.index()).map(|zone| &zone.shape) {
        Some(Shape::Gate { .. }) => at.broken("a gate is never in, so it cannot be combined"),
        _ => Ok(()),
    }
}

fn check_polygon(at: &At, outer: &[Position], holes: &[Vec<Position>]) -> Result<(), PlanError> {
    at.count(&bounds::HOLES, holes.len())?;
    for ring in std::iter::once(outer).chain(holes.iter().map(Vec::as_slice)) {
        check_points(at, &bounds::RING_POINTS, ring)?;
        if let (Some(first), Some(last)) = (ring.first(), ring.last())
            && same_place(*first, *last)
        {
            return at.broken("the last point of a ring repeats its first");
        }
    }
    Ok(())
}

/// A line or ring: enough points, no edge without length, none so far away that the edges between
/// them would be no zone of a sightseeing flight.
fn check_points(at: &At, bound: &'static Bound, points: &[Position]) -> Result<(), PlanError> {
    at.count(bound, points.len())?;
    let Some(first) = points.first() else { return Ok(()) };
    for pair in points.windows(2) {
        let [before, point] = pair else { continue };
        if same_place(*before, *point) {
            return at.broken("a point repeats the one before it");
        }
        at.metres(&bounds::EXTENT, geodesic::inverse(*first, *point).distance)?;
    }
    Ok(())
}

/// Whether two positions are the same place: 180 and −180 are one meridian, a pole has no longitude.
fn same_place(a: Position, b: Position) -> bool {
    let pole = a.lat().abs() == 90.0;
    a.lat() == b.lat() && (pole || (a.lon() - b.lon()) % 360.0 == 0.0)
}
