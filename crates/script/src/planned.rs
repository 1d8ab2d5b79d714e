//! When and where a narration starts on the planned flight, and how much room it has.

use compiler::fit::{Fits, Spoiler};
use compiler::{EventPlan, Near, PlaceIndex};
use earth::{Metres, MetresPerSecond, Millis, Position, geodesic};
use engine::{Event, NarrationEvent};
use plan::{NarrationId, PlaceId, PlaceKind, Plan};

/// How a narration starts on the planned flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// When, since take-off; negative before it.
    pub since: Millis,
    /// Where, in words: `0.6 NM N of The Three Clerks`; empty where no place has a name.
    pub place: String,
}

/// The first start of a narration, of whichever of its versions, on the planned flight.
pub(crate) fn planned(plan: &Plan, events: &EventPlan, either: &[NarrationId]) -> Option<Planned> {
    let started = |event: &Event| match *event {
        Event::Narration { narration: id, what } => {
            either.contains(&id) && what == NarrationEvent::Started
        }
        _ => false,
    };
    let row = events.rows.iter().find(|row| started(&row.change.event))?;
    let at = row.change.position;
    let near = near_sight(plan, at).or_else(|| PlaceIndex::new(plan).near(at));
    let place = near.and_then(|near| Some(near.words(&plan.places.get(near.place.index())?.title)));
    Some(Planned { since: row.since, place: place.unwrap_or_default() })
}

/// Farther away than this a sight says less of a place than a point of the route does.
const NEAR: Metres = Metres::from_nautical_miles(3.0);

/// The nearest sight: whoever speaks knows what is told about, and not the points of the route.
fn near_sight(plan: &Plan, at: Position) -> Option<Near> {
    let sights = (0..).zip(&plan.places).filter(|(_, place)| place.kind == PlaceKind::Sight);
    let each = sights.map(|(index, place)| {
        let inverse = geodesic::inverse(place.position, at);
        Near { place: PlaceId(index), distance: inverse.distance, bearing: inverse.azimuth_start }
    });
    let nearest = each.min_by(|one, other| one.distance.get().total_cmp(&other.distance.get()))?;
    (nearest.distance <= NEAR).then_some(nearest)
}

/// How much time there is for a narration, from its start to the first thing that would spoil it.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Where there is the least of it, of all the winds and airspeeds that the tour expects.
    pub least: Millis,
    /// The mean groundspeed there.
    pub groundspeed: MetresPerSecond,
    /// What ends it there, in words: `the next one, arch`.
    pub until: String,
    /// As planned; none where it is not told then.
    pub planned: Option<Millis>,
}

/// The room of a narration; none where it is never told.
pub(crate) fn room(plan: &Plan, fits: &Fits, narration: NarrationId) -> Option<Room> {
    let fit = fits.narrations.iter().find(|fit| fit.narration == narration)?;
    let tightest = fit.tightest.as_ref()?;
    Some(Room {
        least: tightest.room,
        groundspeed: tightest.groundspeed,
        until: until(plan, tightest.spoiler),
        planned: fit.planned.as_ref().map(|telling| telling.room),
    })
}

fn until(plan: &Plan, spoiler: Spoiler) -> String {
    let name = |id: NarrationId| {
        plan.narrations.get(id.index()).map_or("?", |narration| narration.name.as_str())
    };
    match spoiler {
        Spoiler::Next(id) => format!("the next one, {}", name(id)),
        Spoiler::Waiting(id) => format!("{} has waited too long", name(id)),
        Spoiler::Quiet(id) => {
            let zone = plan.zones.get(id.index()).map_or("?", |zone| zone.name.as_str());
            format!("the quiet zone {zone}")
        }
        Spoiler::Behind(id) => {
            let sight = plan.places.get(id.index()).map_or("?", |place| place.title.as_str());
            format!("{sight} is out of the picture")
        }
        Spoiler::TakeOff => "take-off".to_owned(),
        Spoiler::Landing => "landing".to_owned(),
    }
}
