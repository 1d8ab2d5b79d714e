//! Zones narrower than pilots stray.

use std::collections::BTreeSet;

use diagnostic::{Page, Severity};
use earth::{Position, geodesic, trig};
use engine::Event;
use plan::Shape;
use route::model::ConditionKind;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "zone-narrow",
    severity: Severity::Warning,
    finds: "A zone under `in` that the planned route enters and that is narrower than three times \
            the `cross-track deviation` (150 m unless the tour sets another). Zones in which the \
            aircraft stands on the ground are left out.",
    why: "Pilots fly by eye beside the line, not on it. On many flights a narrow zone is passed \
          outside, and what hangs on it does not happen.",
    example: "zones:\n  arch: {circle: {centre: ARCH, radius: 150 m}}",
    better: "zones:\n  arch: {circle: {centre: ARCH, radius: 900 m}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let least = 3.0 * flown.project.defaults.cross_track_deviation.get();
    let entered: BTreeSet<_> = flown
        .changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Entered { zone, .. } | Event::Crossed { zone, .. } => Some(zone),
            _ => None,
        })
        .collect();
    for zone in entered {
        let (Some(entry), Some(planned)) = (flown.zone(zone), flown.plan.zones.get(zone.index()))
        else {
            continue;
        };
        let name = entry.name.value.as_str();
        let wanted = flown.project.rules.entries.iter().any(|rule| {
            rule.value.conditions.iter().any(|condition| match &condition.kind.value {
                ConditionKind::In(zones) => zones.iter().any(|zone| zone.value.as_str() == name),
                _ => false,
            })
        });
        let Some(width) = width(&planned.shape) else { continue };
        // On the ground one knows where one is.
        let stands = flown.moments.iter().any(|m| !m.airborne && m.zones.contains(&zone));
        if !wanted || stands || width >= least {
            continue;
        }
        let headline = format!(
            "the zone `{name}` is {width:.0} m wide; pilots who fly by eye need {least:.0} m"
        );
        let finding = findings
            .warning("zone-narrow", entry.name.span, headline)
            .label("three times the cross-track deviation is not inside it")
            .help("make it wider, or set the `cross-track deviation` that your pilots have");
        findings.put(finding);
    }
}

/// The least width of a zone in metres; none for combined zones, which have that of their parts.
fn width(shape: &Shape) -> Option<f64> {
    match shape {
        Shape::Circle { radius, .. } => Some(2.0 * radius.get()),
        Shape::Corridor { half_width, .. } => Some(2.0 * half_width.get()),
        Shape::Gate { line, .. } => {
            let pairs = line.iter().zip(line.iter().skip(1));
            Some(pairs.map(|(one, next)| geodesic::inverse(*one, *next).distance.get()).sum())
        }
        Shape::Polygon { outer, .. } => narrowest(outer),
        Shape::Sector { radius, from, to, .. } => {
            let opening = (to.get() - from.get()).rem_euclid(360.0);
            // A slice of less than a half circle is as wide as the chord at its rim.
            let half = if opening == 0.0 { 90.0 } else { (opening / 2.0).min(90.0) };
            Some(2.0 * radius.get() * trig::sin_cos(half).0)
        }
        Shape::Combined { .. } => None,
    }
}

/// The least distance between two parallels that hold all points, to a degree of their direction.
fn narrowest(points: &[Position]) -> Option<f64> {
    let origin = *points.first()?;
    let flat: Vec<(f64, f64)> = points
        .iter()
        .map(|point| {
            let line = geodesic::inverse(origin, *point);
            let (sin, cos) = trig::sin_cos(line.azimuth_start.get());
            (line.distance.get() * sin, line.distance.get() * cos)
        })
        .collect();
    let extent = |degrees: u32| {
        let (sin, cos) = trig::sin_cos(f64::from(degrees));
        let across = flat.iter().map(|(east, north)| east * cos - north * sin);
        let (least, most) =
            across.fold((f64::MAX, f64::MIN), |(least, most), at| (least.min(at), most.max(at)));
        most - least
    };
    (0..180).map(extent).min_by(f64::total_cmp)
}
