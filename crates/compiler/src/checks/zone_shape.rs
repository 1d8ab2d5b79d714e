//! Lines and rings that make no sound zone.

use std::collections::BTreeSet;

use diagnostic::{Page, Severity};
use earth::{Position, geodesic, trig};
use geo::line_intersection::{LineIntersection, line_intersection};
use geo::{Area, Contains, Coord, Line, LineString, Point, Polygon};
use route::{Name, Spanned};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use crate::findings::Findings;

/// Points nearer than this are one point, in metres.
const SAME: f64 = 0.01;
/// A ring with less inside has no inside, in square metres.
const LEAST_AREA: f64 = 1.0;
/// How many crossings of one zone are reported.
const MOST: usize = 3;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "polygon-crosses-itself",
        severity: Severity::Error,
        finds: "A ring of a polygon two edges of which cross or touch.",
        why: "Which side is inside is then nobody's guess. Most often two points are in the \
                  wrong order.",
        example: "points: [\"61.0 N, 7.0 W\", \"61.1 N, 6.9 W\", \"61.1 N, 7.0 W\", \"61.0 N, 6.9 W\"]",
        better: "points: [\"61.0 N, 7.0 W\", \"61.1 N, 7.0 W\", \"61.1 N, 6.9 W\", \"61.0 N, 6.9 W\"]",
    },
    Page {
        name: "polygon-without-area",
        severity: Severity::Error,
        finds: "A ring that encloses nothing: fewer than three different points, or all in line.",
        why: "Nothing is ever inside.",
        example: "points: [\"61.0 N, 7.0 W\", \"61.1 N, 7.0 W\", \"61.2 N, 7.0 W\"]",
        better: "points: [\"61.0 N, 7.0 W\", \"61.1 N, 7.0 W\", \"61.2 N, 6.9 W\"]",
    },
    Page {
        name: "hole-outside",
        severity: Severity::Error,
        finds: "A hole that is not wholly inside its polygon.",
        why: "A hole outside takes nothing away; one over the edge was meant to be something \
                  else.",
        example: "polygon:\n  points: [SW, NW, NE, SE]\n  holes: [[FAR1, FAR2, FAR3]]",
        better: "polygon:\n  points: [SW, NW, NE, SE]\n  holes: [[IN1, IN2, IN3]]",
    },
    Page {
        name: "point-twice",
        severity: Severity::Warning,
        finds: "A point of a line or ring that repeats the one before it, or the last of a ring \
                that repeats the first.",
        why: "It changes nothing and is left out; but another point may have been meant.",
        example: "line: [A, B, B, C]",
        better: "line: [A, B, C]",
    },
    Page {
        name: "line-without-length",
        severity: Severity::Error,
        finds: "A corridor or gate all of whose points are one place.",
        why: "Nothing can be along it, and nothing crosses it.",
        example: "gate: {line: [ARCH, ARCH]}",
        better: "gate: {line: [ARCH, HEAD]}",
    },
];

fn apart(a: &Spanned<Position>, b: &Spanned<Position>) -> f64 {
    geodesic::inverse(a.value, b.value).distance.get()
}

/// The points without those that repeat the one before them.
fn without_repeats(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    points: Vec<Spanned<Position>>,
) -> Vec<Spanned<Position>> {
    let mut kept: Vec<Spanned<Position>> = Vec::with_capacity(points.len());
    for point in points {
        match kept.last() {
            Some(before) if apart(before, &point) < SAME => {
                let headline =
                    format!("this point of the zone `{}` repeats the one before it", name.value);
                let finding =
                    findings.warning("point-twice", point.span, headline).help("take it out");
                findings.put(finding);
            }
            _ => kept.push(point),
        }
    }
    kept
}

/// A line of different points, at least two.
pub(crate) fn line(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    points: Vec<Spanned<Position>>,
) -> Option<Vec<Spanned<Position>>> {
    let kept = without_repeats(findings, name, points);
    if kept.len() < 2 {
        let headline = format!("the line of the zone `{}` is one point", name.value);
        let finding = findings
            .error("line-without-length", name.span, headline)
            .help("give it two different points at least");
        findings.put(finding);
        return None;
    }
    Some(kept)
}

/// A ring of different points, at least three; the last does not repeat the first.
pub(crate) fn ring(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    points: Vec<Spanned<Position>>,
) -> Option<Vec<Spanned<Position>>> {
    let mut kept = without_repeats(findings, name, points);
    if let [first, .., last] = kept.as_slice()
        && apart(first, last) < SAME
    {
        let headline = format!("the last point of the zone `{}` repeats the first", name.value);
        let finding = findings
            .warning("point-twice", last.span, headline)
            .help("take it out: the last point is joined to the first anyway");
        findings.put(finding);
        kept.pop();
    }
    if kept.len() < 3 {
        without_area(findings, name);
        return None;
    }
    Some(kept)
}

fn without_area(findings: &mut Findings<'_>, name: &Spanned<Name>) {
    let headline = format!("a ring of the zone `{}` encloses nothing", name.value);
    let finding = findings
        .error("polygon-without-area", name.span, headline)
        .help("give it three points at least that are not in line");
    findings.put(finding);
}

/// Points as metres east and north of the first point of all, along the geodesics from there.
/// Within the size that zones may have, edges cross here where their geodesics do, but for
/// near misses far below what an author can mean.
fn flat(from: Position, ring: &[Spanned<Position>]) -> Vec<Coord> {
    let project = |point: &Spanned<Position>| {
        let way = geodesic::inverse(from, point.value);
        let (sin, cos) = trig::sin_cos(way.azimuth_start.get());
        Coord { x: way.distance.get() * sin, y: way.distance.get() * cos }
    };
    ring.iter().map(project).collect()
}

/// Reports rings that cross themselves, enclose nothing or lie outside; none is returned then.
pub(crate) fn check(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    outer: &[Spanned<Position>],
    holes: &[Vec<Spanned<Position>>],
) -> Option<()> {
    let from = outer.first()?.value;
    let flat_outer = flat(from, outer);
    let mut sound = check_ring(findings, name, outer, &flat_outer);
    let mut flat_holes = Vec::new();
    for hole in holes {
        let flat_hole = flat(from, hole);
        sound &= check_ring(findings, name, hole, &flat_hole);
        flat_holes.push(flat_hole);
    }
    if !sound {
        return None;
    }
    let area = Polygon::new(LineString(flat_outer.clone()), Vec::new());
    let edges = index(&flat_outer);
    for (hole, flat_hole) in holes.iter().zip(&flat_holes) {
        let outside = flat_hole.iter().position(|point| !area.contains(&Point(*point)));
        let crosses =
            || (0..flat_hole.len()).find(|edge| !crossings(&edges, flat_hole, *edge).is_empty());
        if let Some(point) = outside.or_else(crosses).and_then(|point| hole.get(point)) {
            let headline = format!("a hole of the zone `{}` is not wholly inside it", name.value);
            let finding = findings
                .error("hole-outside", point.span, headline)
                .label("outside from here on")
                .help("move the hole inside, or take it out with `except` of a combined zone");
            findings.put(finding);
            sound = false;
        }
    }
    sound.then_some(())
}

type Edge = GeomWithData<Rectangle<[f64; 2]>, (usize, Line)>;

fn edge(ring: &[Coord], number: usize) -> Option<Line> {
    let (from, to) = (ring.get(number)?, ring.get((number + 1) % ring.len())?);
    Some(Line::new(*from, *to))
}

fn index(ring: &[Coord]) -> RTree<Edge> {
    let edges = (0..ring.len()).filter_map(|number| {
        let line = edge(ring, number)?;
        let corners =
            Rectangle::from_corners([line.start.x, line.start.y], [line.end.x, line.end.y]);
        Some(GeomWithData::new(corners, (number, line)))
    });
    RTree::bulk_load(edges.collect())
}

/// The numbers of the indexed edges that an edge of a ring meets, with how.
fn crossings(edges: &RTree<Edge>, ring: &[Coord], number: usize) -> BTreeSet<(usize, bool)> {
    let Some(line) = edge(ring, number) else { return BTreeSet::new() };
    let corners = AABB::from_corners([line.start.x, line.start.y], [line.end.x, line.end.y]);
    edges
        .locate_in_envelope_intersecting(&corners)
        .filter_map(|other| {
            let (other_number, other_line) = other.data;
            let meets = line_intersection(line, other_line)?;
            Some((
                other_number,
                matches!(meets, LineIntersection::Collinear { intersection }
                if intersection.start != intersection.end),
            ))
        })
        .collect()
}

fn check_ring(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    ring: &[Spanned<Position>],
    flat: &[Coord],
) -> bool {
    let edges = index(flat);
    let area = Polygon::new(LineString(flat.to_vec()), Vec::new()).unsigned_area();
    let mut found = Vec::new();
    for number in 0..flat.len() {
        for (other, overlaps) in crossings(&edges, flat, number) {
            let next = (number + 1) % flat.len() == other || (other + 1) % flat.len() == number;
            // Each pair once. Neighbours share a point and may not run back over each other.
            if other <= number || (next && !overlaps) {
                continue;
            }
            found.push((number, other, overlaps));
        }
    }
    // Points in line overlap and enclose nothing; a figure of eight may enclose as much to the
    // left as to the right.
    if area < LEAST_AREA && found.iter().all(|(_, _, overlaps)| *overlaps) {
        without_area(findings, name);
        return false;
    }
    for (one, other, _) in found.iter().take(MOST) {
        crossing(findings, name, ring, *one, *other);
    }
    found.is_empty()
}

fn crossing(
    findings: &mut Findings<'_>,
    name: &Spanned<Name>,
    ring: &[Spanned<Position>],
    one: usize,
    other: usize,
) {
    let (Some(a), Some(b)) = (ring.get(one), ring.get(other)) else { return };
    let headline = format!(
        "the zone `{}` crosses itself: edge {} meets edge {}",
        name.value,
        one + 1,
        other + 1
    );
    let finding = findings
        .error("polygon-crosses-itself", b.span, headline)
        .label(format!("edge {} begins here", other + 1))
        .related(findings.sources().place(a.span), format!("edge {} begins here", one + 1))
        .help("put the points in the order in which one walks round the zone");
    findings.put(finding);
}
