//! How far a point is from a zone, and where a leg enters and leaves it.

use earth::Position;
use plan::{AltitudeBand, Plan, Shape, Side, Zone};

use super::ground::{self, Line};
use super::without::Without;

/// A zone with its lines laid out.
pub struct Ground {
    outer: Vec<Line>,
    holes: Vec<Vec<Line>>,
    /// A circle round everything: a point farther away than the radius is outside.
    about: Option<(Position, f64)>,
}

/// A flight between two fixes: a geodesic at constant speed, altitude running linearly.
pub struct Leg {
    pub line: Line,
    /// At its start and end; both known, or not known along the leg.
    pub altitude: Option<(f64, f64)>,
}

impl Leg {
    pub fn altitude_at(&self, part: f64) -> Option<f64> {
        self.altitude.map(|(start, end)| start + (end - start) * part)
    }
}

/// A crossing on a leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Part of the leg, 0 to 1.
    pub part: f64,
    pub what: What,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    Entered,
    Left,
    Crossed { from: Side },
}

impl Ground {
    pub fn of(zone: &Zone) -> Self {
        let (outer, holes, extent) = match &zone.shape {
            Shape::Circle { radius, .. } => (vec![], vec![], radius.get()),
            Shape::Polygon { outer, holes } => {
                (ground::ring(outer), holes.iter().map(|hole| ground::ring(hole)).collect(), 0.0)
            }
            Shape::Corridor { line, half_width } => {
                (ground::polyline(line), vec![], half_width.get())
            }
            Shape::Sector { centre, radius, from, to } => {
                let edges = if is_whole(from.get(), to.get()) {
                    vec![]
                } else {
                    [from.get(), to.get()]
                        .iter()
                        .map(|bearing| {
                            let end = ground::direct(*centre, *bearing, radius.get()).0;
                            Line { start: *centre, end, azimuth: *bearing, length: radius.get() }
                        })
                        .collect()
                };
                (edges, vec![], radius.get())
            }
            Shape::Gate { line, .. } => (ground::polyline(line), vec![], 0.0),
            Shape::Combined { .. } => (vec![], vec![], 0.0),
        };
        let middle = match &zone.shape {
            Shape::Circle { centre, .. } | Shape::Sector { centre, .. } => Some(*centre),
            _ => outer.first().map(|line: &Line| line.start),
        };
        let about = middle.map(|middle| {
            let farthest = outer
                .iter()
                .map(|line| ground::distance(middle, line.end) + line.length)
                .fold(0.0, f64::max);
            (middle, farthest + extent + 1.0)
        });
        Self { outer, holes, about }
    }

    /// Whether a leg is so far away that it can cross nothing, margin counted.
    fn is_far(&self, zone: &Zone, leg: &Leg) -> bool {
        self.about.is_some_and(|(middle, radius)| {
            ground::distance(middle, leg.line.start)
                > radius + leg.line.length + zone.margin.get() + 10.0
        })
    }

    /// Metres from the edge: negative inside, positive outside. Of a gate: from its line.
    pub fn outside(&self, zone: &Zone, point: Position) -> f64 {
        match &zone.shape {
            Shape::Circle { centre, radius } => ground::distance(*centre, point) - radius.get(),
            Shape::Polygon { .. } => self
                .holes
                .iter()
                .map(|hole| -outside_ring(hole, point))
                .fold(outside_ring(&self.outer, point), f64::max),
            Shape::Corridor { half_width, .. } => {
                ground::distance_to(&self.outer, point) - half_width.get()
            }
            Shape::Sector { centre, radius, from, to } => {
                let (distance, bearing, _) = ground::inverse(*centre, point);
                let from_arc = distance - radius.get();
                if is_whole(from.get(), to.get()) {
                    return from_arc;
                }
                let width = (to.get() - from.get()).rem_euclid(360.0);
                if (bearing - from.get()).rem_euclid(360.0) > width {
                    return ground::distance_to(&self.outer, point);
                }
                if from_arc > 0.0 {
                    return from_arc;
                }
                from_arc.max(-ground::distance_to(&self.outer, point))
            }
            Shape::Gate { .. } => ground::distance_to(&self.outer, point),
            Shape::Combined { .. } => f64::INFINITY,
        }
    }

    /// Whether a point at an altitude lies in the zone, margin not counted.
    pub fn lies_in(&self, zone: &Zone, point: Position, altitude: Option<f64>) -> bool {
        let in_band = match (zone.band, altitude) {
            (None, _) => true,
            (Some(_), None) => false,
            (Some(band), Some(altitude)) => beyond(band, altitude) <= 0.0,
        };
        in_band && self.outside(zone, point) <= 0.0
    }

    /// Whether a point is so far outside that a zone once entered is left there.
    pub fn is_left_at(
        &self,
        zone: &Zone,
        margin: f64,
        point: Position,
        altitude: Option<f64>,
    ) -> bool {
        let over = match (zone.band, altitude) {
            (Some(band), Some(altitude)) => beyond(band, altitude) > margin,
            _ => false,
        };
        over || self.outside(zone, point) > margin
    }

    /// Entries and exits along a leg, in order. Where the altitude is not known along the leg a
    /// zone with a band can only be left by its edge, unless it counts as having none.
    pub fn along(
        &self,
        zone: &Zone,
        margin: f64,
        leg: &Leg,
        was_in: bool,
        ignore_band: bool,
    ) -> Vec<Crossing> {
        let band = if ignore_band { None } else { zone.band };
        if !was_in && (self.is_far(zone, leg) || (band.is_some() && leg.altitude.is_none())) {
            return vec![];
        }
        let outside = |part: f64| self.outside(zone, leg.line.at(part));
        let mut found = Vec::new();
        let mut is_in = was_in;
        let mut at = 0.0;
        loop {
            let next = if is_in {
                let by_edge = first_above(&outside, margin, leg.line.length, at, 1.0);
                let by_band = band
                    .zip(leg.altitude)
                    .and_then(|(band, altitude)| leaves_band(band, margin, altitude, at));
                match (by_edge, by_band) {
                    (Some(edge), Some(band)) => Some(edge.min(band)),
                    (edge, band) => edge.or(band),
                }
            } else {
                let stretch = match band.zip(leg.altitude) {
                    None => Some((0.0, 1.0)),
                    Some((band, altitude)) => in_band(band, altitude),
                };
                stretch.and_then(|(from, to)| {
                    let from = from.max(at);
                    if from > to {
                        return None;
                    }
                    first_below(&outside, 0.0, leg.line.length, from, to)
                })
            };
            let Some(part) = next else { return found };
            is_in = !is_in;
            found.push(Crossing { part, what: if is_in { What::Entered } else { What::Left } });
            at = part;
            // Touching an edge with a margin of nought would go on for ever.
            if found.len() > 1000 {
                return found;
            }
        }
    }

    /// Crossings of a gate along a leg that count, and whether it can count again at the leg's end.
    pub fn crossings(
        &self,
        zone: &Zone,
        leg: &Leg,
        mut armed: bool,
        without: Option<Without>,
    ) -> (Vec<Crossing>, bool) {
        let Shape::Gate { crossed_from, .. } = &zone.shape else { return (vec![], armed) };
        let outside = |part: f64| self.outside(zone, leg.line.at(part));
        let mut all: Vec<(f64, Side)> = if self.is_far(zone, leg) {
            vec![]
        } else {
            self.outer.iter().filter_map(|line| crosses(line, &leg.line)).collect()
        };
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.dedup_by(|b, a| (b.0 - a.0).abs() * leg.line.length < 1e-3 && a.1 == b.1);
        let mut found = Vec::new();
        let mut at = 0.0;
        let gone = |from: f64, to: f64| {
            first_above(&outside, zone.margin.get(), leg.line.length, from, to).is_some()
        };
        for (part, from) in all {
            armed = armed || without == Some(Without::GateMargin) || gone(at, part);
            at = part;
            let side_counts = *crossed_from == Side::Either
                || *crossed_from == from
                || without == Some(Without::GateSide);
            let in_band = zone.band.is_none_or(|band| {
                leg.altitude_at(part).is_some_and(|altitude| beyond(band, altitude) <= 0.0)
            });
            if armed && side_counts && in_band {
                found.push(Crossing { part, what: What::Crossed { from } });
                armed = false;
            }
        }
        let armed = armed || gone(at, 1.0);
        (found, armed)
    }
}

/// Membership of every zone, once that of those with an extent of their own is known.
pub fn combine(plan: &Plan, own: &[bool], without: Option<Without>) -> Vec<bool> {
    let mut all = own.to_vec();
    for (index, zone) in plan.zones.iter().enumerate() {
        let Shape::Combined { any_of, all_of, except } = &zone.shape else { continue };
        let is_in = |id: &plan::ZoneId| all[id.index()];
        all[index] = (any_of.is_empty() || any_of.iter().any(is_in))
            && (all_of.iter().all(is_in) || without == Some(Without::CombinedAllOf))
            && (!except.iter().any(is_in) || without == Some(Without::CombinedExcept));
    }
    all
}

fn is_whole(from: f64, to: f64) -> bool {
    from == 0.0 && to == 360.0
}

fn outside_ring(lines: &[Line], point: Position) -> f64 {
    let distance = ground::distance_to(lines, point);
    if ground::goes_round(lines, point) { -distance } else { distance }
}

/// How far an altitude is above or below a band; nought or less inside.
pub fn beyond(band: AltitudeBand, altitude: f64) -> f64 {
    let below = band.from.map_or(f64::NEG_INFINITY, |from| from.get() - altitude);
    let above = band.to.map_or(f64::NEG_INFINITY, |to| altitude - to.get());
    below.max(above)
}

/// The part of a leg on which its altitude is in a band.
fn in_band(band: AltitudeBand, (start, end): (f64, f64)) -> Option<(f64, f64)> {
    if start == end {
        return (beyond(band, start) <= 0.0).then_some((0.0, 1.0));
    }
    let when = |altitude: f64| (altitude - start) / (end - start);
    let low = band.from.map(|from| when(from.get()));
    let high = band.to.map(|to| when(to.get()));
    let (enters, leaves) = if end > start { (low, high) } else { (high, low) };
    let from = enters.unwrap_or(0.0).max(0.0);
    let to = leaves.unwrap_or(1.0).min(1.0);
    (from <= to).then_some((from, to))
}

/// Where, from a part of a leg on, its altitude is more than the margin outside a band.
fn leaves_band(band: AltitudeBand, margin: f64, (start, end): (f64, f64), at: f64) -> Option<f64> {
    if beyond(band, start + (end - start) * at) > margin {
        return Some(at);
    }
    if beyond(band, end) <= margin {
        return None;
    }
    let edge = if end > start { band.to?.get() + margin } else { band.from?.get() - margin };
    Some(((edge - start) / (end - start)).clamp(at, 1.0))
}

/// The first part from `from` to `to` at which a distance is at most `threshold`. The distance
/// cannot change by more than one metre in a metre flown, so a point 100 m from the threshold
/// allows a step of 100 m; near it the steps are 0.1 m.
fn first_below(
    distance: &dyn Fn(f64) -> f64,
    threshold: f64,
    length: f64,
    from: f64,
    to: f64,
) -> Option<f64> {
    let mut at = from;
    let mut value = distance(at) - threshold;
    if value <= 0.0 {
        return Some(at);
    }
    while at < to {
        let step = value.max(0.1) / length.max(1e-9);
        let next = (at + step).min(to);
        value = distance(next) - threshold;
        if value <= 0.0 {
            return Some(bisect(|part| distance(part) - threshold <= 0.0, at, next));
        }
        at = next;
    }
    None
}

/// The first part from `from` to `to` at which a distance is more than `threshold`.
fn first_above(
    distance: &dyn Fn(f64) -> f64,
    threshold: f64,
    length: f64,
    from: f64,
    to: f64,
) -> Option<f64> {
    let mut at = from;
    let mut value = threshold - distance(at);
    if value < 0.0 {
        return Some(at);
    }
    while at < to {
        let step = value.max(0.1) / length.max(1e-9);
        let next = (at + step).min(to);
        value = threshold - distance(next);
        if value < 0.0 {
            return Some(bisect(|part| distance(part) > threshold, at, next));
        }
        at = next;
    }
    None
}

/// Where something that does not hold at `not` and holds at `yes` begins to hold.
fn bisect(holds: impl Fn(f64) -> bool, mut not: f64, mut yes: f64) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(not, yes);
        if middle <= not || middle >= yes {
            break;
        }
        if holds(middle) {
            yes = middle;
        } else {
            not = middle;
        }
    }
    yes
}

/// Where a leg crosses one line of a gate, and from which side. A point on the line counts as
/// across, so a leg that begins on the line does not cross it again.
fn crosses(line: &Line, leg: &Line) -> Option<(f64, Side)> {
    if leg.length == 0.0 || line.distance(leg.start) > leg.length + 1.0 {
        return None;
    }
    let (start, end) = (line.side(leg.start), line.side(leg.end));
    let (from, part) = if start < 0.0 && end >= 0.0 {
        (Side::Left, bisect(|part| line.side(leg.at(part)) >= 0.0, 0.0, 1.0))
    } else if start > 0.0 && end <= 0.0 {
        (Side::Right, bisect(|part| line.side(leg.at(part)) <= 0.0, 0.0, 1.0))
    } else {
        return None;
    };
    (line.distance(leg.at(part)) < 1e-4).then_some((part, from))
}
