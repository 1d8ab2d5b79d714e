//! The planned route of a plan, flown.

use earth::flight::{Flight, FlightError, HeadingSource, Itinerary, Manoeuvre, Segment, Way};
use earth::{Fix, Metres, Millis, Position, Utc, wind};
use plan::{Flown, Plan, PlannedRoute, Turn, Wind};

/// How often the planned flight has a fix: once a second, as a receiver gives them.
pub const PLANNED_EVERY: Millis = Millis::from_secs(1);

/// The planned flight of a plan, as an ideal receiver would give it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedFlight {
    /// Fixes at a steady interval, from standing before take-off to standing after landing.
    pub fixes: Vec<Fix>,
    /// When each leg of the plan's route begins and ends.
    pub legs: Vec<LegTimes>,
    /// The moment of lift-off: the planned departure.
    pub lift_off: Utc,
}

/// When a leg is flown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LegTimes {
    /// Which leg, by its place in the plan's route.
    pub leg: usize,
    /// When it begins.
    pub from: Utc,
    /// When it ends, which is when the next begins.
    pub to: Utc,
}

impl PlannedFlight {
    /// The leg flown at a moment; the first before the flight, the last after it.
    #[must_use]
    pub fn leg_at(&self, time: Utc) -> Option<usize> {
        let after = self.legs.partition_point(|leg| leg.from <= time);
        self.legs.get(after.saturating_sub(1)).map(|leg| leg.leg)
    }
}

/// Flies the planned route of a plan, in the planned winds.
///
/// # Errors
/// [`FlightError`] if it cannot be flown; a plan that was compiled can.
pub fn fly(plan: &Plan, interval: Millis) -> Result<PlannedFlight, FlightError> {
    fly_in(plan, interval, None)
}

/// Flies the planned route of a plan in one wind instead of the planned ones.
///
/// # Errors
/// [`FlightError`] if it cannot be flown in that wind.
pub fn fly_in(
    plan: &Plan,
    interval: Millis,
    wind: Option<Wind>,
) -> Result<PlannedFlight, FlightError> {
    Ok(sampled(plan, &planned(plan, wind)?, interval))
}

/// The flight of a plan's route as the receiver of its aircraft would give it.
pub(crate) fn sampled(plan: &Plan, flight: &Flight, interval: Millis) -> PlannedFlight {
    let source =
        if plan.aircraft.heading_source { HeadingSource::Ideal } else { HeadingSource::None };
    let fixes = flight.samples(interval).map(|sample| sample.fix(source)).collect();
    let times = flight.segments().into_iter().enumerate();
    let legs = times.map(|(leg, (from, to))| LegTimes { leg, from, to }).collect();
    PlannedFlight { fixes, legs, lift_off: flight.lift_off() }
}

/// The planned route of a plan as a flight that can be asked for any moment.
///
/// # Errors
/// [`FlightError`] if it cannot be flown.
pub fn planned(plan: &Plan, wind: Option<Wind>) -> Result<Flight, FlightError> {
    let home = plan.places.get(plan.route.home.index());
    let start = Start {
        position: home.map_or(Position::of(0.0, 0.0), |home| home.position),
        elevation: home.and_then(|home| home.elevation).unwrap_or_default(),
    };
    Flight::plan(&itinerary(&plan.route, start, wind))
}

/// Where a route begins.
#[derive(Clone, Copy)]
pub(crate) struct Start {
    pub(crate) position: Position,
    pub(crate) elevation: Metres,
}

pub(crate) fn itinerary(route: &PlannedRoute, start: Start, wind: Option<Wind>) -> Itinerary {
    let segments = route.legs.iter().map(|leg| Segment {
        manoeuvre: match leg.flown {
            Flown::To(at) => Manoeuvre::To(at),
            Flown::Land { at, elevation, stays } => Manoeuvre::Land { at, elevation, stays },
            Flown::Hover { at, lasts, facing } => Manoeuvre::Hover { at, lasts, facing },
            Flown::Orbit { centre, radius, turn, sweep } => {
                let way = match turn {
                    Turn::Left => Way::Left,
                    Turn::Right => Way::Right,
                };
                Manoeuvre::Orbit { centre, radius, way, sweep }
            }
        },
        airspeed: leg.airspeed,
        altitude: leg.altitude,
        bank: leg.bank,
        climb: leg.climb,
        wind: moving_air(wind.or(leg.wind)),
    });
    Itinerary {
        start: start.position,
        elevation: start.elevation,
        departure: route.departure,
        before: Itinerary::STAND,
        after: Itinerary::STAND,
        segments: segments.collect(),
    }
}

pub(crate) fn moving_air(wind: Option<Wind>) -> wind::Wind {
    wind.map_or(wind::Wind::CALM, |wind| wind::Wind { from: wind.from, speed: wind.speed })
}
