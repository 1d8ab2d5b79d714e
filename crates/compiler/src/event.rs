//! The event plan: what happens when and where on the planned flight.

use earth::flight::FlightError;
use earth::{Fix, Millis, Position};
use engine::{Change, Engine, Event, Limits, Notice, Sink, State};
use plan::{Day, Plan, PlanError};

use crate::fly::{PlannedFlight, fly_in};
use crate::near::{Near, PlaceIndex};

/// What happens when, as planned: every change in the order of its effects.
#[derive(Clone, Debug, PartialEq)]
pub struct EventPlan {
    /// The changes.
    pub rows: Vec<Row>,
    /// What the engine had to say about the flight as a whole.
    pub notices: Vec<Notice>,
    /// The flight they happen on.
    pub flight: PlannedFlight,
}

/// One change of the planned flight. The rule that caused it, if one did, is in the change, and
/// where that is written is in the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Its effect, since take-off; negative before it.
    pub since: Millis,
    /// The leg on which it happened at its own time, by its place in the plan's route.
    pub leg: Option<usize>,
    /// Where, seen from the nearest place that has a name; none if the plan has no places.
    pub near: Option<Near>,
    /// What changed.
    pub change: Change,
}

/// Why there is no event plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EventPlanError {
    /// The planned route cannot be flown.
    #[error(transparent)]
    Flight(#[from] FlightError),
    /// The plan is not sound.
    #[error("the plan is not sound: {0}")]
    Plan(#[from] PlanError),
}

/// Flies the planned route of a plan, in the day's wind if it has one, with a fix each `interval`
/// (one second is usual), and takes down what happens.
///
/// # Errors
/// [`EventPlanError`]; none for a plan that was compiled and a day without a wind of its own.
pub fn event_plan(plan: &Plan, day: &Day, interval: Millis) -> Result<EventPlan, EventPlanError> {
    let flight = fly_in(plan, interval, day.wind)?;
    let taken = run(plan, day, &flight.fixes)?;
    let took_off = taken.changes.iter().find(|change| change.event == Event::TookOff);
    let zero = took_off.map_or(flight.lift_off, |change| change.effect);
    let places = PlaceIndex::new(plan);
    let row = |change: &Change| Row {
        since: change.effect - zero,
        leg: flight.leg_at(change.own.unwrap_or(change.effect)),
        near: places.near(change.position),
        change: *change,
    };
    let rows = taken.changes.iter().map(row).collect();
    Ok(EventPlan { rows, notices: taken.notices, flight })
}

fn run(plan: &Plan, day: &Day, fixes: &[Fix]) -> Result<Taken, PlanError> {
    let mut engine = Engine::new(plan, day, Limits::of(&plan.settings))?;
    let mut taken = Taken::default();
    for fix in fixes {
        engine.fix(fix, &mut taken);
    }
    engine.finish(&mut taken);
    Ok(taken)
}

#[derive(Default)]
struct Taken {
    changes: Vec<Change>,
    notices: Vec<Notice>,
}

impl Sink for Taken {
    fn change(&mut self, change: &Change) {
        self.changes.push(*change);
    }

    fn state(&mut self, _state: &State<'_>) {}

    fn notice(&mut self, notice: &Notice) {
        self.notices.push(*notice);
    }
}

/// Where something is, in words: `at ARCH`, `400 m W of ARCH`, `0.6 NM NE of ARCH`; coordinates
/// where no place has a name.
#[must_use]
pub fn whereabouts(plan: &Plan, at: Position, near: Option<Near>) -> String {
    let place = near.and_then(|near| Some((near, plan.places.get(near.place.index())?)));
    match place {
        Some((near, place)) => near.words(&place.name),
        None => format!("{:.5} {:.5}", at.lat(), at.lon()),
    }
}
