//! What two extents on the ground differ in.

use earth::{DegreesTrue, Metres, Position, geodesic};
use plan::{Shape, Side};

use super::{Detail, Details, SAME_PLACE, Value, plane};

/// Corners that have moved by the same way, to this part of it or to a metre, have moved alike.
const ALIKE: f64 = 0.01;

/// The one point a zone lies round, if it has one.
pub(super) fn centre(shape: &Shape) -> Option<Position> {
    match shape {
        Shape::Circle { centre, .. } | Shape::Sector { centre, .. } => Some(*centre),
        Shape::Polygon { .. }
        | Shape::Corridor { .. }
        | Shape::Gate { .. }
        | Shape::Combined { .. } => None,
    }
}

/// What kind of zone it is, in words.
pub(super) const fn kind(shape: &Shape) -> &'static str {
    match shape {
        Shape::Circle { .. } => "circle",
        Shape::Polygon { .. } => "polygon",
        Shape::Corridor { .. } => "corridor",
        Shape::Sector { .. } => "sector",
        Shape::Gate { .. } => "gate",
        Shape::Combined { .. } => "combined zone",
    }
}

pub(super) const fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "from its left",
        Side::Right => "from its right",
        Side::Either => "from either side",
    }
}

/// What two shapes differ in; combined ones have no extent of their own.
pub(super) fn compare(old: &Shape, new: &Shape, details: &mut Details) {
    match (old, new) {
        (
            Shape::Circle { centre: old_centre, radius: old },
            Shape::Circle { centre: new_centre, radius: new },
        ) => {
            details.moved("centre", *old_centre, *new_centre);
            details.both("radius", *old, *new, Value::Length);
        }
        (
            Shape::Sector { centre: old_centre, radius: old, from: old_from, to: old_to },
            Shape::Sector { centre: new_centre, radius: new, from: new_from, to: new_to },
        ) => {
            details.moved("centre", *old_centre, *new_centre);
            details.both("radius", *old, *new, Value::Length);
            details.both("begins at bearing", *old_from, *new_from, Value::Angle);
            details.both("ends at bearing", *old_to, *new_to, Value::Angle);
        }
        (
            Shape::Polygon { outer: old, holes: old_holes },
            Shape::Polygon { outer: new, holes: new_holes },
        ) => polygons((old, old_holes), (new, new_holes), details),
        (
            Shape::Corridor { line: old_line, half_width: old },
            Shape::Corridor { line: new_line, half_width: new },
        ) => {
            lines(old_line, new_line, details);
            details.both("half width", *old, *new, Value::Length);
        }
        (
            Shape::Gate { line: old_line, crossed_from: old },
            Shape::Gate { line: new_line, crossed_from: new },
        ) => {
            lines(old_line, new_line, details);
            details.both("crossed", *old, *new, |from| Value::Words(side(from).into()));
        }
        _ => {
            details.both("kind", kind(old), kind(new), |kind| Value::Words(kind.into()));
            if let (Some(old), Some(new)) = (middle(old), middle(new)) {
                details.moved("centre", old, new);
            }
        }
    }
}

/// The middle of an extent; combined ones have none of their own.
pub(super) fn middle(shape: &Shape) -> Option<Position> {
    match shape {
        Shape::Circle { centre, .. } | Shape::Sector { centre, .. } => Some(*centre),
        Shape::Polygon { outer, holes } => {
            plane::of_polygon(outer, holes).map(|(middle, _)| middle)
        }
        Shape::Corridor { line, .. } | Shape::Gate { line, .. } => plane::of_line(line),
        Shape::Combined { .. } => None,
    }
}

type Rings<'a> = (&'a [Position], &'a [Vec<Position>]);

fn polygons(old: Rings<'_>, new: Rings<'_>, details: &mut Details) {
    let way = Way::of(old.0, new.0, Ends::Joined);
    let holes: Vec<Way> = match old.1.len() == new.1.len() {
        true => old.1.iter().zip(new.1).map(|(old, new)| Way::of(old, new, Ends::Joined)).collect(),
        false => vec![Way::Different],
    };
    if way == Way::None && holes.iter().all(|hole| *hole == Way::None) {
        return;
    }
    if let Way::All { by, towards } = way
        && holes.iter().all(|hole| hole.is_like(by, towards))
    {
        details.0.push(Detail::Moved { what: "centre", by, towards });
        return;
    }
    if let (Some((old_middle, old_area)), Some((new_middle, new_area))) =
        (plane::of_polygon(old.0, old.1), plane::of_polygon(new.0, new.1))
    {
        details.moved("centre", old_middle, new_middle);
        details.both("area", old_area, new_area, Value::Area);
    }
    if let Way::Some { moved, of, by } = way {
        details.0.push(Detail::Corners { moved, of, by });
    }
    details.both("corners", count(old.0.len()), count(new.0.len()), Value::Count);
    details.both("holes", count(old.1.len()), count(new.1.len()), Value::Count);
    if details.0.is_empty() {
        // A hole has another form, and neither the middle nor the area tell it.
        details.both("holes", "as before", "of another form", |words| Value::Words(words.into()));
    }
}

fn lines(old: &[Position], new: &[Position], details: &mut Details) {
    let way = Way::of(old, new, Ends::Apart);
    match way {
        Way::None => return,
        Way::All { by, towards } => {
            details.0.push(Detail::Moved { what: "line", by, towards });
            return;
        }
        Way::Some { moved, of, by } => details.0.push(Detail::Corners { moved, of, by }),
        Way::Different => {}
    }
    if let (Some(old), Some(new)) = (plane::of_line(old), plane::of_line(new)) {
        details.moved("middle of the line", old, new);
    }
    details.both("length of the line", length(old), length(new), Value::Length);
    details.both("corners of the line", count(old.len()), count(new.len()), Value::Count);
    let turned = old.iter().rev().zip(new).all(|(old, new)| same(*old, *new));
    if turned && old.len() == new.len() {
        details.both("runs", "one way", "the other way", |words| Value::Words(words.into()));
    }
}

fn length(line: &[Position]) -> Metres {
    let legs = line.iter().zip(line.iter().skip(1));
    legs.fold(Metres::ZERO, |sum, (from, to)| sum + geodesic::inverse(*from, *to).distance)
}

pub(super) fn count(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}

pub(super) fn same(old: Position, new: Position) -> bool {
    geodesic::inverse(old, new).distance <= SAME_PLACE
}

/// Whether the last point of a list is joined to the first.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ends {
    Joined,
    Apart,
}

/// How the points of a line or ring have moved.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    /// Not at all.
    None,
    /// All alike.
    All { by: Metres, towards: DegreesTrue },
    /// Not all alike.
    Some { moved: usize, of: usize, by: Metres },
    /// There are more of them, or fewer.
    Different,
}

impl Way {
    fn of(old: &[Position], new: &[Position], ends: Ends) -> Self {
        if old.len() != new.len() {
            return Self::Different;
        }
        // The same ring may begin at another of its corners, or run the other way round.
        if ends == Ends::Joined && same_ring(old, new) {
            return Self::None;
        }
        let ways: Vec<_> =
            old.iter().zip(new).map(|(old, new)| geodesic::inverse(*old, *new)).collect();
        let moved = ways.iter().filter(|way| way.distance > SAME_PLACE).count();
        let Some(first) = ways.first().filter(|_| moved > 0) else { return Self::None };
        let (by, towards) = (first.distance, first.azimuth_start);
        if ways.iter().all(|way| is_alike((by, towards), (way.distance, way.azimuth_start))) {
            return Self::All { by, towards };
        }
        let farthest = ways.iter().map(|way| way.distance.get()).fold(0.0, f64::max);
        Self::Some { moved, of: ways.len(), by: Metres::of(farthest) }
    }

    fn is_like(&self, by: Metres, towards: DegreesTrue) -> bool {
        match self {
            Self::All { by: other, towards: other_way } => {
                is_alike((by, towards), (*other, *other_way))
            }
            _ => false,
        }
    }
}

fn same_ring(old: &[Position], new: &[Position]) -> bool {
    let Some(first) = old.first() else { return new.is_empty() };
    let starts = new.iter().enumerate().filter(|(_, point)| same(*first, **point));
    starts.map(|(start, _)| start).any(|start| {
        let forward = new.iter().cycle().skip(start).take(new.len());
        let behind = new.len() - start - 1;
        let backward = new.iter().rev().cycle().skip(behind).take(new.len());
        old.iter().zip(forward).all(|(old, new)| same(*old, *new))
            || old.iter().zip(backward).all(|(old, new)| same(*old, *new))
    })
}

/// Whether two moves are alike: their ends are near together, as the moves are long.
fn is_alike(one: (Metres, DegreesTrue), other: (Metres, DegreesTrue)) -> bool {
    let end = |(by, towards): (Metres, DegreesTrue)| {
        let (sin, cos) = earth::trig::sin_cos(towards.get());
        (by.get() * sin, by.get() * cos)
    };
    let ((x, y), (other_x, other_y)) = (end(one), end(other));
    let apart = ((x - other_x) * (x - other_x) + (y - other_y) * (y - other_y)).sqrt();
    apart <= (one.0.get() * ALIKE).max(1.0)
}
