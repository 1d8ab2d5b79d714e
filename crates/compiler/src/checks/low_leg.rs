//! Legs flown low.

use diagnostic::{Page, Severity};
use earth::Surface;
use plan::Flown as How;

use crate::findings::Findings;
use crate::review::Flown;

/// A caution of ours, not a rule of the air: 500 ft above the field (common practice, no source).
const LEAST_FEET: f64 = 500.0;
/// Within this of a take-off or landing one is low because one has to be: 1.5 NM (common practice,
/// no source).
const NEAR: f64 = 1.5 * 1852.0;

pub(super) const PAGES: &[Page] = &[Page {
    name: "leg-low",
    severity: Severity::Warning,
    finds: "A planned leg that is flown below 500 ft above the elevation of the field, more than \
            1.5 NM from every take-off and landing.",
    why: "A caution: the ground may be higher than the field, and what is allowed is said by the \
          pilot in command, the flight manual, the operator's procedures and local rules, not \
          here.",
    example: "- {to: ARCH, altitude: 400 ft}    # the field lies at 12 ft",
    better: "- {to: ARCH, altitude: 800 ft}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let Some(home) = flown.plan.places.get(flown.plan.route.home.index()) else { return };
    let field = home.elevation.unwrap_or_default();
    let landings = flown.plan.route.legs.iter().filter_map(|leg| match leg.flown {
        How::Land { at, .. } => Some(Surface::from(at)),
        _ => None,
    });
    let grounds: Vec<Surface> = landings.chain([Surface::from(home.position)]).collect();
    let mut said = std::collections::BTreeSet::new();
    for moment in flown.moments.iter().filter(|moment| moment.airborne) {
        let Some(altitude) = moment.altitude else { continue };
        let height = (altitude - field).feet();
        let near = grounds.iter().any(|ground| ground.chord(&moment.surface) <= NEAR);
        // A foot for what is planned exactly at the limit.
        if height >= LEAST_FEET - 1.0 || near {
            continue;
        }
        let span = flown.leg_span(moment.time);
        if !said.insert(span) {
            continue;
        }
        let headline = format!(
            "this leg is flown {height:.0} ft above the field, at {}",
            flown.clock(moment.time)
        );
        let finding = findings.warning("leg-low", span, headline).help(
            "plan it higher, or make sure that it may be flown: the pilot in command, the flight \
             manual and local rules decide",
        );
        findings.put(finding.moment(flown.moment(moment.time)));
    }
}
