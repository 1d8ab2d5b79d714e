//! Sights, waypoints and landing sites.

use std::collections::{BTreeMap, BTreeSet};

use earth::{Metres, Position, Share};
use plan::{LandingSite, Place, PlaceKind, Plan, Wanted};

use crate::leg::coordinates;

use super::matching::Fate;
use super::shape;
use super::{Detail, Details, Difference, How, Part, Two, Value};

/// What of a zone moves with a place: by the zone's place in the newer plan.
pub(super) type Carried = BTreeSet<usize>;

const fn kind(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Sight => "sight",
        PlaceKind::Waypoint => "waypoint",
    }
}

/// The title of a place, where it has one of its own.
pub(super) fn title(place: &Place) -> Option<String> {
    (place.title != place.name).then(|| place.title.clone())
}

fn landing(plan: &Plan) -> BTreeMap<usize, Metres> {
    let radius = |site: &LandingSite| (site.place.index(), site.radius);
    plan.landing_sites.iter().map(radius).collect()
}

/// Tells what has become of the places, and which zones have moved with one.
pub(super) fn compare(two: &Two<'_>, into: &mut Vec<Difference>) -> Carried {
    let (old_landing, new_landing) = (landing(two.old), landing(two.new));
    let mut carried = Carried::new();
    let places = &two.matched.places;
    for fate in places.all(&two.old.places, &two.new.places) {
        let mut details = Details::default();
        match fate {
            Fate::Kept { old, new, at } => {
                let was = places.old(at);
                details.moved("position", old.position, new.position);
                if !details.0.is_empty() {
                    let zones = moved_along(two, old.position, new.position);
                    let names = zones.iter().filter_map(|zone| two.new.zones.get(*zone));
                    let names: Vec<String> = names.map(|zone| zone.name.clone()).collect();
                    if !names.is_empty() {
                        details.0.push(Detail::With(names));
                    }
                    carried.extend(zones);
                }
                of_both(old, new, &mut details);
                details.value(
                    "a landing is foreseen within",
                    was.and_then(|was| old_landing.get(&was)).copied().map(Value::Length),
                    new_landing.get(&at).copied().map(Value::Length),
                );
                if old.name == new.name {
                    into.extend(details.changed(Part::Place, &new.name, title(new)));
                } else {
                    let how = How::Renamed { from: old.name.clone() };
                    into.push(details.alone(Part::Place, &new.name, title(new), how));
                }
            }
            Fate::Added(place, at) => {
                into.push(alone(place, new_landing.get(&at), How::Added));
            }
            Fate::Gone(place, at) => {
                into.push(alone(place, old_landing.get(&at), How::Gone));
            }
        }
    }
    carried
}

fn of_both(old: &Place, new: &Place, details: &mut Details) {
    let Place { name: _, title: _, kind: was, position: _, elevation, height, wanted: of_old } =
        old;
    let words = |words: &str| Value::Words(words.to_owned());
    details.both("kind", kind(*was), kind(new.kind), words);
    details.value("title", title(old).map(Value::Words), title(new).map(Value::Words));
    details.value("elevation", elevation.map(Value::Altitude), new.elevation.map(Value::Altitude));
    details.value("height", height.map(Value::Altitude), new.height.map(Value::Altitude));
    // A waypoint that became a sight has been told with its kind.
    if let (Some(Wanted { must_have, lasts, within, size }), Some(new)) = (of_old, &new.wanted) {
        details.both("must-have", *must_have, new.must_have, Value::Yes);
        details.both("wanted in one shot for", *lasts, new.lasts, Value::Time);
        details.value("wanted within", within.map(Value::Length), new.within.map(Value::Length));
        let share = |size: Option<Share>| {
            size.map(|size| Value::Words(format!("{} % of the picture's height", size.percent())))
        };
        details.value("wanted at a size of", share(*size), share(new.size));
    }
}

fn alone(place: &Place, landing: Option<&Metres>, how: How) -> Difference {
    let mut details = Details::default();
    details.only(&how, "kind", Value::Words(kind(place.kind).into()));
    details.only(&how, "position", Value::Words(coordinates(place.position)));
    if let Some(radius) = landing {
        details.only(&how, "a landing is foreseen within", Value::Length(*radius));
    }
    details.alone(Part::Place, &place.name, title(place), how)
}

/// The zones, by their places in the newer plan, whose centre was there and is here.
fn moved_along(two: &Two<'_>, old: Position, new: Position) -> Vec<usize> {
    let zones = two.new.zones.iter().enumerate();
    let lies = |zone: Option<&plan::Zone>, at: Position| {
        let centre = zone.and_then(|zone| shape::centre(&zone.shape));
        centre.is_some_and(|centre| shape::same(centre, at))
    };
    zones
        .filter(|(index, zone)| {
            let was = two.matched.zones.old(*index).and_then(|was| two.old.zones.get(was));
            lies(Some(zone), new) && lies(was, old)
        })
        .map(|(index, _)| index)
        .collect()
}
