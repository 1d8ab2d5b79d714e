//! When, where and with how much room a narration starts on the planned flight.

use compiler::{EventPlan, Near, PlaceIndex};
use earth::{Metres, Millis, Position, geodesic};
use engine::{Event, NarrationEvent};
use plan::{NarrationId, PlaceId, PlaceKind, Plan};

/// How a narration starts on the planned flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// When, since take-off; negative before it.
    pub since: Millis,
    /// Where, in words: `0.6 NM N of The Three Clerks`; empty where no place has a name.
    pub place: String,
    /// How much time there is for it; none where nothing comes after it.
    pub room: Option<Millis>,
    /// What ends that time, in words: `the next one, arch`; empty where nothing does.
    pub until: String,
}

/// The first start of a narration, of whichever of its versions, on the planned flight, and the time from there to the first thing
/// that would spoil it: the next narration less its breath, a quiet zone, take-off or landing.
pub(crate) fn planned(plan: &Plan, events: &EventPlan, either: &[NarrationId]) -> Option<Planned> {
    let started = |event: &Event| match *event {
        Event::Narration { narration: id, what } => {
            either.contains(&id) && what == NarrationEvent::Started
        }
        _ => false,
    };
    let index = events.rows.iter().position(|row| started(&row.change.event))?;
    let row = events.rows.get(index)?;
    let at = row.change.position;
    let near = near_sight(plan, at).or_else(|| PlaceIndex::new(plan).near(at));
    let place = near.and_then(|near| Some(near.words(&plan.places.get(near.place.index())?.title)));
    let later = events.rows.get(index + 1..).unwrap_or_default();
    let ends = later.iter().filter_map(|later| {
        let (until, until_since) = spoilt(plan, either, &later.change.event)?;
        Some((later.since - until_since, until))
    });
    // What needs a breath before it can come sooner than what comes first.
    let end = ends.min_by_key(|(since, _)| *since);
    Some(Planned {
        since: row.since,
        place: place.unwrap_or_default(),
        room: end.as_ref().map(|(since, _)| Millis((*since - row.since).0.max(0))),
        until: end.map(|(_, until)| until).unwrap_or_default(),
    })
}

/// Farther away than this a sight says less of a place than a point of the route does.
const NEAR: Metres = Metres::from_nautical_miles(3.0);

/// The nearest sight: whoever speaks knows what is told about, and not the points of the route.
fn near_sight(plan: &Plan, at: Position) -> Option<Near> {
    let sights = (0..).zip(&plan.places).filter(|(_, place)| place.kind == PlaceKind::Sight);
    let each = sights.map(|(index, place)| {
        let inverse = geodesic::inverse(place.position, at);
        let bearing = inverse.azimuth_start;
        Near { place: PlaceId(index), distance: inverse.distance, bearing }
    });
    let nearest = each.min_by(|one, other| one.distance.get().total_cmp(&other.distance.get()))?;
    (nearest.distance <= NEAR).then_some(nearest)
}

/// What an event spoils a narration by, and how long before it there has to be an end.
fn spoilt(plan: &Plan, either: &[NarrationId], event: &Event) -> Option<(String, Millis)> {
    let name = |index: usize| plan.narrations.get(index).map_or("?", |one| one.name.as_str());
    let on_ground =
        either.iter().any(|id| plan.narrations.get(id.index()).is_some_and(|one| one.on_ground));
    match *event {
        Event::Narration { narration: id, what: NarrationEvent::Started }
        | Event::Narration { narration: id, what: NarrationEvent::Waits(_) }
            if !either.contains(&id) =>
        {
            Some((format!("the next one, {}", name(id.index())), plan.settings.breath))
        }
        Event::Entered { zone, .. } if !on_ground => {
            let zone = plan.zones.get(zone.index()).filter(|zone| zone.quiet)?;
            Some((format!("the quiet zone {}", zone.name), Millis(0)))
        }
        Event::TookOff if on_ground => Some(("take-off".to_owned(), Millis(0))),
        Event::Landed { .. } if !on_ground => Some(("landing".to_owned(), Millis(0))),
        _ => None,
    }
}
