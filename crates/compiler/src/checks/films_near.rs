//! Filming beside a zone where nothing may be filmed.

use diagnostic::{Page, Severity};
use earth::{Position, Surface, geodesic, trig};
use engine::Event;
use plan::{Shape, Zone, ZoneId};

use crate::findings::Findings;
use crate::review::{Flown, Moment};

pub(super) const PAGES: &[Page] = &[Page {
    name: "films-near-no-filming",
    severity: Severity::Warning,
    finds: "A planned flight that records or takes stills within the margin of a no-filming zone \
            (a circle, a corridor or a polygon), on the way in or past it.",
    why: "Recording ends where the zone begins, and the aircraft is seldom exactly where it was \
          planned: what may not be filmed is in the film for some seconds.",
    example: "zones:\n  colony: {circle: {centre: COLONY, radius: 1 km}, no filming: true}\n\
              rules:\n  film: {when: {phase: airborne}, record: on}",
    better: "zones:\n  near-colony: {circle: {centre: COLONY, radius: 1200 m}}\n\
             rules:\n  film: {when: {phase: airborne}, record: on}\n\
             \u{20} rest: {when: {in: near-colony}, priority: 10, record: off}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for (number, zone) in (0..).zip(&flown.plan.zones) {
        if zone.no_filming.is_none() {
            continue;
        }
        let id = ZoneId(number);
        let around = Around::of(zone);
        let stills: Vec<_> = flown
            .changes
            .iter()
            .filter(|change| matches!(change.event, Event::Still { .. }))
            .map(|change| change.effect)
            .collect();
        let beside = flown.moments.iter().find(|moment| {
            let films = moment.recording || stills.contains(&moment.time);
            films && !moment.zones.contains(&id) && around.may_hold(moment) && beside(zone, moment)
        });
        let (Some(moment), Some(entry)) = (beside, flown.zone(id)) else { continue };
        let headline = format!(
            "the planned flight films within {:.0} m of `{}`, at {}",
            zone.margin.get(),
            zone.name,
            flown.clock(moment.time)
        );
        let finding = findings
            .warning("films-near-no-filming", entry.name.span, headline)
            .help("end recording before it with a wider zone of its own, or lead the route wide");
        findings.put(finding.moment(flown.moment(moment.time)));
    }
}

/// A ball that a zone lies in with its margin: what is outside need not be measured.
struct Around {
    middle: Surface,
    reach: f64,
}

impl Around {
    fn of(zone: &Zone) -> Self {
        let (points, wide): (&[Position], f64) = match &zone.shape {
            Shape::Circle { centre, radius } => (std::slice::from_ref(centre), radius.get()),
            Shape::Corridor { line, half_width } => (line, half_width.get()),
            Shape::Polygon { outer, .. } => (outer, 0.0),
            Shape::Sector { .. } | Shape::Gate { .. } | Shape::Combined { .. } => (&[], 0.0),
        };
        let middle = points.first().map_or(Position::of(0.0, 0.0), |first| *first);
        let middle = Surface::from(middle);
        let far = |point: &Position| middle.chord(&Surface::from(*point));
        let far = points.iter().map(far).fold(0.0, f64::max);
        // A hundredth more than enough: the chord is a little shorter than the way.
        Self { middle, reach: 1.01 * (far + wide + zone.margin.get()) }
    }

    fn may_hold(&self, moment: &Moment) -> bool {
        self.middle.chord(&moment.surface) <= self.reach
    }
}

/// Whether a moment outside a zone is within its margin.
fn beside(zone: &Zone, moment: &Moment) -> bool {
    let margin = zone.margin.get();
    if let (Some(band), Some(altitude)) = (zone.band, moment.altitude) {
        let altitude = altitude.get();
        let below = band.from.is_some_and(|from| altitude < from.get() - margin);
        let above = band.to.is_some_and(|to| altitude > to.get() + margin);
        if below || above {
            return false;
        }
    }
    let here = moment.surface.position();
    let outside = match &zone.shape {
        Shape::Circle { centre, radius } => {
            geodesic::inverse(here, *centre).distance.get() - radius.get()
        }
        Shape::Corridor { line, half_width } => to_line(here, line) - half_width.get(),
        Shape::Polygon { outer, .. } => {
            let mut ring = outer.clone();
            ring.extend(outer.first().copied());
            to_line(here, &ring)
        }
        Shape::Sector { .. } | Shape::Gate { .. } | Shape::Combined { .. } => return false,
    };
    outside <= margin
}

/// Metres from a point to a line, in the plane that touches the earth at the point; near it, where
/// margins are, that is exact to far less than a metre.
fn to_line(here: Position, line: &[Position]) -> f64 {
    let flat: Vec<(f64, f64)> = line
        .iter()
        .map(|point| {
            let line = geodesic::inverse(here, *point);
            let (sin, cos) = trig::sin_cos(line.azimuth_start.get());
            (line.distance.get() * sin, line.distance.get() * cos)
        })
        .collect();
    let pairs = flat.iter().zip(flat.iter().skip(1));
    pairs.map(|(one, next)| to_segment(*one, *next)).fold(f64::MAX, f64::min)
}

/// From the origin to a straight piece.
fn to_segment((x, y): (f64, f64), (next_x, next_y): (f64, f64)) -> f64 {
    let (along_x, along_y) = (next_x - x, next_y - y);
    let length = along_x * along_x + along_y * along_y;
    let part = if length == 0.0 { 0.0 } else { -(x * along_x + y * along_y) / length };
    let part = part.clamp(0.0, 1.0);
    let (at_x, at_y) = (x + part * along_x, y + part * along_y);
    (at_x * at_x + at_y * at_y).sqrt()
}
