//! Places, landing sites and the planned route.

use super::{At, Naming, unique};
use crate::bounds;
use crate::error::PlanError;
use crate::model::{Flown, Leg, PlaceKind, Plan, Wanted};

pub(super) fn check_places(plan: &Plan) -> Result<(), PlanError> {
    let at = At::of("plan");
    at.count(&bounds::PLACES, plan.places.len())?;
    unique("place", plan.places.iter().map(|place| (place.name.as_str(), None)))?;
    for place in &plan.places {
        let at = At::named("place", &place.name);
        at.part("title").name(&place.title, Naming::ForPeople)?;
        if let Some(elevation) = place.elevation {
            at.metres(&bounds::ALTITUDE, elevation)?;
        }
        if let Some(height) = place.height {
            at.metres(&bounds::SIGHT_HEIGHT, height)?;
        }
        match (place.kind, &place.wanted) {
            (PlaceKind::Sight, Some(wanted)) => check_wanted(&at, wanted)?,
            (PlaceKind::Waypoint, None) => {}
            (PlaceKind::Sight, None) => return at.broken("a sight says how it is to be filmed"),
            (PlaceKind::Waypoint, Some(_)) => return at.broken("a waypoint is not filmed"),
        }
    }
    at.count(&bounds::LANDING_SITES, plan.landing_sites.len())?;
    for site in &plan.landing_sites {
        let at = At::of("landing sites");
        at.exists("place", site.place.0, plan.places.len())?;
        at.metres(&bounds::LANDING_SITE_RADIUS, site.radius)?;
    }
    Ok(())
}

fn check_wanted(at: &At, wanted: &Wanted) -> Result<(), PlanError> {
    let at = at.part("wanted");
    at.time(&bounds::WANTED_TIME, wanted.lasts)?;
    if let Some(within) = wanted.within {
        at.metres(&bounds::WANTED_DISTANCE, within)?;
    }
    if let Some(size) = wanted.size {
        at.within(&bounds::WANTED_SIZE, size.get())?;
    }
    if wanted.within.is_none() && wanted.size.is_none() {
        return at.broken("a sight is wanted within a distance, at a size, or both");
    }
    Ok(())
}

#[expect(clippy::cast_precision_loss, reason = "milliseconds within the bound are exact")]
pub(super) fn check_route(plan: &Plan) -> Result<(), PlanError> {
    let at = At::of("route");
    at.within(&bounds::DEPARTURE, plan.route.departure.0 as f64)?;
    at.time(&bounds::UTC_OFFSET, plan.route.utc_offset)?;
    at.count(&bounds::DEPARTURES, plan.route.departures.len())?;
    for departure in &plan.route.departures {
        at.part("departures").time(&bounds::TIME_OF_DAY, *departure)?;
    }
    if !plan.route.departures.is_sorted_by(|one, next| one < next) {
        return at.broken("departures stand in order, each once");
    }
    at.exists("place", plan.route.home.0, plan.places.len())?;
    at.count(&bounds::LEGS, plan.route.legs.len())?;
    for (index, leg) in plan.route.legs.iter().enumerate() {
        check_leg(plan, index, leg)?;
    }
    Ok(())
}

fn check_leg(plan: &Plan, index: usize, leg: &Leg) -> Result<(), PlanError> {
    let at = At::of(format!("leg {} of the route", index.saturating_add(1))).written(leg.source);
    at.source(plan, leg.source)?;
    at.text(&leg.label)?;
    at.speed(&bounds::AIRSPEED, leg.airspeed)?;
    at.metres(&bounds::ALTITUDE, leg.altitude)?;
    at.angle(&bounds::BANK, leg.bank)?;
    at.speed(&bounds::CLIMB, leg.climb)?;
    if let Some(wind) = &leg.wind {
        at.wind(wind)?;
    }
    match leg.flown {
        Flown::To(_) => Ok(()),
        Flown::Land { elevation, stays, .. } => {
            at.metres(&bounds::ALTITUDE, elevation)?;
            at.time(&bounds::STAY, stays)
        }
        Flown::Hover { lasts, .. } => at.time(&bounds::STAY, lasts),
        Flown::Orbit { radius, sweep, .. } => {
            at.metres(&bounds::ORBIT_RADIUS, radius)?;
            at.angle(&bounds::ORBIT_SWEEP, sweep)
        }
    }
}
