//! Legs that cannot be flown, or not as written.

use diagnostic::{Page, Related, Severity};
use earth::flight::{FlightError, Remark, RemarkKind};
use earth::geodesic;
use plan::{Flown, PlannedRoute};
use route::Span;

use crate::findings::Findings;
use crate::places::Places;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "leg-setting-missing",
        severity: Severity::Error,
        finds: "A leg without an airspeed or an altitude, where the route has none for all legs.",
        why: "The planned flight is flown from these; neither has a value that could be \
                  guessed.",
        example: "route:\n  legs:\n    - from: PAD\n    - to: ARCH",
        better: "route:\n  airspeed: 90 kt\n  altitude: 1000 ft\n  legs:\n    - from: PAD\n    - to: ARCH",
    },
    Page {
        name: "wind-too-strong",
        severity: Severity::Error,
        finds: "A leg whose track cannot be made good in the planned wind at the planned airspeed.",
        why: "The aircraft would be blown off the leg, or backwards along it.",
        example: "- {to: ARCH, airspeed: 30 kt, wind: {from: 240, speed: 40 kt}}",
        better: "- {to: ARCH, airspeed: 60 kt, wind: {from: 240, speed: 40 kt}}",
    },
    Page {
        name: "flight-too-long",
        severity: Severity::Error,
        finds: "A planned flight of more than 24 hours.",
        why: "No sightseeing flight is that long: most often latitude and longitude of a \
                  waypoint are swapped.",
        example: "waypoints:\n  HEAD: {at: \"6.7 N, 61.2 W\"}",
        better: "waypoints:\n  HEAD: {at: \"61.2 N, 6.7 W\"}",
    },
    Page {
        name: "no-room-to-turn",
        severity: Severity::Warning,
        finds: "A turn from one leg to the next for which the legs are too short at the planned \
                bank and groundspeed.",
        why: "The planned flight passes over the point and turns behind it, so it is not where \
                  the legs are; and in flight the pilot has to bank more, or cut the corner.",
        example: "- {to: A, airspeed: 100 kt}\n- {to: B, airspeed: 100 kt}   # 300 m on, at right angles",
        better: "- {to: A, airspeed: 60 kt}\n- {to: B, airspeed: 60 kt}   # or points farther apart",
    },
    Page {
        name: "orbit-too-tight",
        severity: Severity::Warning,
        finds: "An orbit that asks for more bank than planned.",
        why: "The pilot will fly it wider, or bank so much that the cameras see sky and sea.",
        example: "- orbit: {around: ARCH, radius: 300 m, turn: left, turns: 1}\n  airspeed: 90 kt",
        better: "- orbit: {around: ARCH, radius: 600 m, turn: left, turns: 1}\n  airspeed: 60 kt",
    },
    Page {
        name: "orbit-from-inside",
        severity: Severity::Warning,
        finds: "An orbit that is begun inside its own circle.",
        why: "It cannot be joined along its tangent: the planned flight goes straight out to \
                  the circle, stops there, and goes round.",
        example: "- hover: {at: ARCH, for: 30 s}\n- orbit: {around: ARCH, radius: 600 m, turn: left, turns: 1}",
        better: "- orbit: {around: ARCH, radius: 600 m, turn: left, turns: 1}\n- hover: {at: ARCH, for: 30 s}",
    },
    Page {
        name: "altitude-not-reached",
        severity: Severity::Warning,
        finds: "A leg at the end of which its altitude is not reached at the planned rate of climb.",
        why: "Zones and rules with a band of altitude may not see the aircraft where they \
                  were meant to.",
        example: "- {to: ARCH, altitude: 3000 ft}   # 1 NM after take-off",
        better: "- {to: ARCH, altitude: 800 ft}\n- {to: HEAD, altitude: 3000 ft}",
    },
    Page {
        name: "steep-descent",
        severity: Severity::Warning,
        finds: "A landing whose last leg is too short to come down from its altitude at the \
                planned rate.",
        why: "The planned flight loses the rest straight down over the landing site.",
        example: "- {to: GATE, altitude: 1500 ft}\n- {land: PAD, altitude: 1500 ft}   # 0.5 NM on",
        better: "- {to: GATE, altitude: 600 ft}\n- {land: PAD, altitude: 500 ft}",
    },
    Page {
        name: "no-landing",
        severity: Severity::Warning,
        finds: "A route whose last leg does not land.",
        why: "The planned flight ends in the air: nothing that waits for the ground happens.",
        example: "legs:\n  - from: PAD\n  - to: ARCH",
        better: "legs:\n  - from: PAD\n  - to: ARCH\n  - land: PAD",
    },
    Page {
        name: "landing-not-foreseen",
        severity: Severity::Warning,
        finds: "A planned landing at a place that is neither home nor a landing site.",
        why: "There the aircraft counts as hovering: what is for the ground does not happen.",
        example: "legs: [{from: PAD}, {land: MEADOW}, {land: PAD}]",
        better: "landing sites:\n  MEADOW: {at: \"61.2 N, 6.7 W\", elevation: 30 ft}",
    },
    Page {
        name: "route-without-line",
        severity: Severity::Error,
        finds: "A corridor along the planned route, where the route goes nowhere.",
        why: "There is no line to be near to.",
        example: "zones:\n  on-route: {corridor: {line: route, half width: 600 m}}\nroute:\n  legs: [{from: PAD}]",
        better: "route:\n  legs: [{from: PAD}, {to: ARCH}, {land: PAD}]",
    },
];

fn leg_name(route: &PlannedRoute, segment: usize) -> String {
    match route.legs.get(segment) {
        Some(leg) => match leg.flown {
            Flown::To(_) => format!("the leg to {}", leg.label),
            Flown::Land { .. } => format!("the landing at {}", leg.label),
            Flown::Hover { .. } => format!("the hover at {}", leg.label),
            Flown::Orbit { .. } => format!("the orbit round {}", leg.label),
        },
        None => format!("leg {}", segment + 1),
    }
}

/// A leg that lacks a setting. Of several legs the first has the finding and the others are shown
/// beside it: most often one line below `route` mends them all.
pub(crate) fn missing(what: &str, such_as: &str, at: Span, findings: &mut Findings<'_>) {
    let headline = format!("this leg has no {what}");
    let finding = findings.error("leg-setting-missing", at, headline.as_str());
    if let Some(first) = findings.same(finding.name, &headline) {
        let related = Related { place: finding.place, label: format!("no {what} here either") };
        first.related.push(related);
        return;
    }
    findings.put(
        finding.help(format!(
            "write `{what}: {such_as}` beside the leg, or below `route` for all legs"
        )),
    );
}

pub(crate) fn unflyable(
    route: &PlannedRoute,
    error: FlightError,
    spans: &[Span],
    whole: Span,
    findings: &mut Findings<'_>,
) {
    let (name, at, headline, help) = match error {
        FlightError::CannotMakeGood { segment, track } => {
            let wind = route.legs.get(segment).and_then(|leg| leg.wind);
            let speed = wind.map_or(0.0, |wind| wind.speed.knots());
            let from = wind.map_or(0.0, |wind| wind.from.get());
            let airspeed = route.legs.get(segment).map_or(0.0, |leg| leg.airspeed.knots());
            (
                "wind-too-strong",
                spans.get(segment).copied().unwrap_or(whole),
                format!(
                    "{} cannot be flown: at {airspeed:.0} kt through the air, a wind of \
                     {speed:.0} kt from {from:03.0}° does not let a track of {:03.0}° be made good",
                    leg_name(route, segment),
                    track.get()
                ),
                "plan more airspeed or less wind for this leg",
            )
        }
        FlightError::Unflyable { segment, what } => (
            "plan-refused",
            spans.get(segment).copied().unwrap_or(whole),
            format!("{} cannot be flown with this {what}", leg_name(route, segment)),
            "plan something that an aircraft can fly",
        ),
        FlightError::TooLong => (
            "flight-too-long",
            whole,
            "the planned flight would take more than 24 hours".to_owned(),
            "are latitude and longitude of a waypoint swapped, or is a hover too long?",
        ),
        FlightError::Empty => (
            "plan-refused",
            whole,
            "the planned route has no leg".to_owned(),
            "add legs after `from`",
        ),
    };
    let finding = findings.error(name, at, headline).help(help);
    findings.put(finding);
}

pub(crate) fn orbit_in_wind(at: Span, findings: &mut Findings<'_>) {
    let finding = findings
        .error("wind-too-strong", at, "the orbit cannot be flown all round in the planned wind")
        .help("plan more airspeed or less wind for this leg");
    findings.put(finding);
}

pub(crate) fn no_line(at: Span, findings: &mut Findings<'_>) {
    let finding = findings
        .error("route-without-line", at, "the planned route goes nowhere, so it has no line")
        .help("add legs to the route, or give the corridor a line of its own");
    findings.put(finding);
}

pub(crate) fn remarks(
    route: &PlannedRoute,
    remarks: &[Remark],
    spans: &[Span],
    findings: &mut Findings<'_>,
) {
    for remark in remarks {
        let Some(at) = spans.get(remark.segment).copied() else { continue };
        let leg = leg_name(route, remark.segment);
        let (name, headline, help) = match remark.kind {
            RemarkKind::NoRoomToTurn { radius, needs, has } => (
                "no-room-to-turn",
                format!(
                    "there is no room to turn onto {leg}: a turn of {:.0} m radius takes {:.0} m \
                     of each leg, there are {:.0} m",
                    radius.get(),
                    needs.get(),
                    has.get()
                ),
                "plan less airspeed or more bank there, or points farther apart",
            ),
            RemarkKind::OrbitTooTight { bank } => (
                "orbit-too-tight",
                format!(
                    "{leg} asks for {:.0}° of bank, planned are {:.0}°",
                    bank.get(),
                    route.legs.get(remark.segment).map_or(0.0, |leg| leg.bank.get())
                ),
                "plan a wider orbit, less airspeed or more bank",
            ),
            RemarkKind::OrbitFromInside => (
                "orbit-from-inside",
                format!("{leg} is begun inside its circle"),
                "begin it from a point outside, so that it is joined along its tangent",
            ),
            RemarkKind::AltitudeNotReached { reached } => (
                "altitude-not-reached",
                format!(
                    "at the end of {leg} the aircraft is at {:.0} ft, not at {:.0} ft",
                    reached.feet(),
                    route.legs.get(remark.segment).map_or(0.0, |leg| leg.altitude.feet())
                ),
                "plan another altitude for this leg, or a greater rate of `climb`",
            ),
            RemarkKind::SteepDescent { height } => (
                "steep-descent",
                format!("{leg} arrives {:.0} ft above the ground", height.feet()),
                "plan a lower altitude for the last legs, or a greater rate of `climb`",
            ),
        };
        let finding = findings.warning(name, at, headline).help(help);
        findings.put(finding);
    }
}

pub(crate) fn landings(
    route: &PlannedRoute,
    places: &Places<'_>,
    spans: &[Span],
    findings: &mut Findings<'_>,
) {
    let home = places.all.get(route.home.index()).map(|place| place.position);
    for (leg, span) in route.legs.iter().zip(spans) {
        let Flown::Land { at, .. } = leg.flown else { continue };
        let near = |position, radius: f64| geodesic::inverse(position, at).distance.get() <= radius;
        let at_home = home.is_some_and(|home| near(home, 1000.0));
        let at_site = places.landing_sites.iter().any(|site| {
            let place = places.all.get(site.place.index());
            place.is_some_and(|place| near(place.position, site.radius.get()))
        });
        if !at_home && !at_site {
            let headline = format!("{} is neither home nor a landing site", leg.label);
            let finding = findings
                .warning("landing-not-foreseen", *span, headline)
                .help("add it under `landing sites`");
            findings.put(finding);
        }
    }
    let lands = route.legs.last().is_some_and(|leg| matches!(leg.flown, Flown::Land { .. }));
    if let (Some(span), false) = (spans.last(), lands) {
        let finding = findings
            .warning("no-landing", *span, "the planned flight ends in the air")
            .help("end it with `land`");
        findings.put(finding);
    }
}
