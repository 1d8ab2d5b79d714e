//! What becomes of a tour today, against the tour as written.

use std::collections::BTreeSet;

use earth::{Millis, Surface};
use engine::{Event, NarrationEvent, StillWhy};
use plan::{Day, PlaceKind, Plan, StillMoment};
use route::Project;

use crate::checks::sight_framed;
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
/// Sights are those that rules name. One counts as filmed if the live camera, while recording,
/// holds it in its frame for the length of a shot (`minimum shot`) altogether, no farther away than
/// `abeam within`; the aircraft is taken as level. None where either cannot be flown.
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
        // What no rule names may be in a picture by chance.
        let named = sight_framed::named(flown);
        let sights = flown.plan.places.iter().filter(|place| {
            place.kind == PlaceKind::Sight && named.contains_key(place.name.as_str())
        });
        let filmed = sights.filter(|sight| {
            let at = Surface::from(sight.position);
            let recorded = flown.moments.iter().filter(|moment| moment.recording);
            let framed = recorded.filter(|moment| flown.frames(moment, sight, &at)).count();
            let framed = i64::try_from(framed).unwrap_or(i64::MAX);
            Millis::from_secs(framed) >= flown.plan.settings.minimum_shot
        });
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
