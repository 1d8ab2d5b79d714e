//! What becomes of a tour today, against the tour as written.

use std::collections::BTreeSet;

use earth::Millis;
use engine::{Event, NarrationEvent, StillWhy};
use plan::{Day, Plan, StillMoment};
use route::Project;

use crate::fly::{PLANNED_EVERY, fly, fly_in};
use crate::review::Flown;

/// What is lost and won today on the planned flight. Names as the author gave them, in alphabetical
/// order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Effect {
    /// Sights that are filmed by the tour as written and not today.
    pub not_filmed: Vec<String>,
    /// Sights that are filmed only today.
    pub newly_filmed: Vec<String>,
    /// Narrations that are told to their end by the tour as written and not today.
    pub not_told: Vec<String>,
    /// Narrations that are told to their end only today.
    pub newly_told: Vec<String>,
    /// Sights of which the tour as written takes a still at the closest point, and none today.
    pub no_still: Vec<String>,
    /// Stills by the tour as written, and today.
    pub stills: (usize, usize),
    /// How long is recorded by the tour as written, and today.
    pub recorded: (Millis, Millis),
}

/// Flies the planned route of a tour as written, and as it is chosen for a day.
///
/// Sights are those that a rule or a narration names, and the must-haves. One is filmed as
/// [`coverage`] tells it: the live camera, while recording, holds it in one shot for as long and as
/// large, or as near, as it is wanted. None where either cannot be flown.
#[must_use]
pub fn effect(
    (written, written_plan): (&Project, &Plan),
    (today, today_plan, day): (&Project, &Plan, &Day),
) -> Option<Effect> {
    let usual = Day::default();
    let flight = fly(written_plan, PLANNED_EVERY).ok()?;
    let before = Outcome::of(&Flown::new(written, written_plan, &usual, &flight)?);
    let flight = fly_in(today_plan, PLANNED_EVERY, day.wind).ok()?;
    let after = Outcome::of(&Flown::new(today, today_plan, day, &flight)?);
    let only = |one: &BTreeSet<String>, other: &BTreeSet<String>| -> Vec<String> {
        one.difference(other).cloned().collect()
    };
    Some(Effect {
        not_filmed: only(&before.filmed, &after.filmed),
        newly_filmed: only(&after.filmed, &before.filmed),
        not_told: only(&before.told, &after.told),
        newly_told: only(&after.told, &before.told),
        no_still: only(&before.closest, &after.closest),
        stills: (before.stills, after.stills),
        recorded: (before.recorded, after.recorded),
    })
}

/// What passengers get of a flight.
struct Outcome {
    filmed: BTreeSet<String>,
    told: BTreeSet<String>,
    closest: BTreeSet<String>,
    stills: usize,
    recorded: Millis,
}

impl Outcome {
    fn of(flown: &Flown<'_>) -> Self {
        let flights = flown.timeline().flights;
        let sights = flights.iter().flat_map(|flight| flown.coverage(flight).sights);
        let filmed = sights
            .filter(|seen| seen.is_filmed())
            .filter_map(|seen| flown.plan.places.get(seen.place.index()));
        let told = flown.changes.iter().filter_map(|change| match change.event {
            Event::Narration { narration, what: NarrationEvent::Ended } => {
                // The short version is the same narration.
                let told = flown.plan.narrations.get(narration.index());
                told.map(|it| it.name.trim_end_matches(" (short)").to_owned())
            }
            _ => None,
        });
        let stills = |event: &Event| matches!(event, Event::Still { .. });
        let recorded = flown.changes.iter().filter_map(|change| match change.event {
            Event::RecordOff { .. } => change.take.map(|take| take.time.0),
            _ => None,
        });
        Self {
            filmed: filmed.map(|sight| sight.name.clone()).collect(),
            told: told.collect(),
            closest: closest(flown),
            stills: flown.changes.iter().filter(|change| stills(&change.event)).count(),
            recorded: Millis(recorded.sum()),
        }
    }
}

/// The sights of which a still is taken at the closest point.
fn closest(flown: &Flown<'_>) -> BTreeSet<String> {
    let stills = flown
        .changes
        .iter()
        .filter(|change| matches!(change.event, Event::Still { why: StillWhy::Closest, .. }));
    let rules = stills.filter_map(|change| flown.plan.rules.get(change.rule?.index()));
    let places = rules.flat_map(|rule| &rule.stills).filter_map(|still| match still.moment {
        StillMoment::Closest(place) => flown.plan.places.get(place.index()),
        _ => None,
    });
    places.map(|place| place.name.clone()).collect()
}
