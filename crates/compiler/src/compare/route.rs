//! The planned route, leg by leg.

use std::collections::BTreeMap;

use earth::{Degrees, Metres, Millis, Position};
use plan::{Flown, Leg, Place, Plan, PlannedRoute, Turn, Wind};

use super::{Details, Difference, How, Pair, Part, Two, Value, align, shape};

/// Tells what the planned routes differ in. When take-off is planned is told with the flight.
pub(super) fn compare(two: &Two<'_>, into: &mut Vec<Difference>) {
    let PlannedRoute { departure: _, utc_offset, departures, home, legs: old } = &two.old.route;
    let new = &two.new.route.legs;
    let mut details = Details::default();
    let same_home = two.matched.places.old(two.new.route.home.index()) == Some(home.index());
    if !same_home {
        let place = |plan: &Plan, id| Some(Value::Words(super::words::place(plan, id)));
        details.value("begins at", place(two.old, *home), place(two.new, two.new.route.home));
    }
    let route = &two.new.route;
    details.both("local time is ahead of UTC by", *utc_offset, route.utc_offset, Value::Time);
    details.both("departures sold", departures, &route.departures, |times: &Vec<Millis>| {
        Value::Words(times.iter().map(|time| time.clock()).collect::<Vec<_>>().join(", "))
    });
    details.value("wind", two.old.wind.map(wind), two.new.wind.map(wind));
    let (old_keys, new_keys) = (keys(two, old, From::Old), keys(two, new, From::New));
    let turned = same_home && is_reversed(&old_keys, &new_keys);
    let way = if turned { Way::Other } else { Way::Same };
    if way == Way::Other {
        let words = |words: &str| Value::Words(words.to_owned());
        details.both("way round", "as before", "the other way round", words);
    }
    into.extend(details.changed(Part::Route, "", None));
    let found = match way {
        Way::Same => same_way(two, &old_keys, &new_keys),
        Way::Other => other_way(two, &old_keys, &new_keys),
    };
    let mut told: Vec<Difference> = Vec::new();
    for difference in found {
        // What is set for the whole route changes many legs alike.
        let alike = told
            .iter_mut()
            .find(|other| other.how == difference.how && other.details == difference.details);
        match alike.filter(|other| other.how == How::Changed) {
            Some(other) => other.name = format!("{}, {}", other.name, difference.name),
            None => told.push(difference),
        }
    }
    into.extend(told);
}

/// Which way round a route is flown, seen from the older plan.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Same,
    Other,
}

fn same_way(two: &Two<'_>, old_keys: &[Key<'_>], new_keys: &[Key<'_>]) -> Vec<Difference> {
    let (old, new) = (&two.old.route.legs, &two.new.route.legs);
    let one = |pair: Pair| match pair {
        Pair::Both(at, index) => {
            let (old, leg) = (old.get(at)?, new.get(index)?);
            let mut details = Details::default();
            at_its_end(two, old, leg, Way::Same, &mut details);
            on_the_way(two, old, leg, &mut details);
            details.changed(Part::Route, &name(index, leg), None)
        }
        Pair::Old(index) => old.get(index).map(|leg| alone(index, leg, How::Gone)),
        Pair::New(index) => new.get(index).map(|leg| alone(index, leg, How::Added)),
    };
    align(old_keys, new_keys).into_iter().filter_map(one).collect()
}

/// The other way round a place is compared with itself, and a stretch with the one flown in the
/// opposite direction. That an orbit turns to the other side goes without saying.
fn other_way(two: &Two<'_>, old_keys: &[Key<'_>], new_keys: &[Key<'_>]) -> Vec<Difference> {
    let (old, new) = (&two.old.route.legs, &two.new.route.legs);
    let at_place: BTreeMap<Key<'_>, &Leg> = old_keys.iter().copied().zip(old).collect();
    // A flight begins at home, which both have under the older name.
    let home = two.old.places.get(two.old.route.home.index()).map_or("", |home| &home.name);
    let begins = |keys: &[Key<'_>], index: usize| -> String {
        let before = index.checked_sub(1).and_then(|index| keys.get(index));
        before.map_or(home, |(_, label)| label).to_owned()
    };
    let stretches: BTreeMap<(String, String), &Leg> = old_keys
        .iter()
        .zip(old)
        .enumerate()
        .map(|(index, ((_, label), leg))| ((begins(old_keys, index), (*label).to_owned()), leg))
        .collect();
    let one = |(index, leg): (usize, &Leg)| {
        let key = new_keys.get(index)?;
        let there = at_place.get(key).copied();
        if stays(leg) && there.is_none() {
            return Some(alone(index, leg, How::Added));
        }
        let mut details = Details::default();
        if let Some(old) = there {
            at_its_end(two, old, leg, Way::Other, &mut details);
        }
        let stretch = stretches.get(&(key.1.to_owned(), begins(new_keys, index))).copied();
        if let Some(old) = if stays(leg) { there } else { stretch } {
            on_the_way(two, old, leg, &mut details);
        }
        details.changed(Part::Route, &name(index, leg), None)
    };
    let gone = old_keys.iter().zip(old).enumerate().filter_map(|(index, (key, leg))| {
        let lost = stays(leg) && !new_keys.contains(key);
        lost.then(|| alone(index, leg, How::Gone))
    });
    new.iter().enumerate().filter_map(one).chain(gone).collect()
}

/// Whether a leg is about one place, and not the way to it.
const fn stays(leg: &Leg) -> bool {
    matches!(leg.flown, Flown::Hover { .. } | Flown::Orbit { .. })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum From {
    Old,
    New,
}

/// What a leg is told by: how it is flown, and the place it is about as the older plan names it.
type Key<'a> = (&'static str, &'a str);

fn keys<'a>(two: &Two<'a>, legs: &'a [Leg], from: From) -> Vec<Key<'a>> {
    let named: BTreeMap<&str, usize> =
        two.new.places.iter().enumerate().map(|(at, place)| (place.name.as_str(), at)).collect();
    let older_name = |label: &'a str| {
        let old = two.matched.places.old(*named.get(label)?)?;
        two.old.places.get(old).map(|place| place.name.as_str())
    };
    let label = |leg: &'a Leg| match from {
        From::Old => leg.label.as_str(),
        From::New => older_name(&leg.label).unwrap_or(&leg.label),
    };
    legs.iter().map(|leg| (manner(leg), label(leg))).collect()
}

const fn manner(leg: &Leg) -> &'static str {
    match leg.flown {
        Flown::To(_) => "to",
        Flown::Land { .. } => "to land at",
        Flown::Hover { .. } => "hover at",
        Flown::Orbit { .. } => "orbit of",
    }
}

fn name(index: usize, leg: &Leg) -> String {
    format!("{} {} {}", index + 1, manner(leg), leg.label)
}

/// Whether the same places are flown to in the opposite order, the landing at the end left aside.
fn is_reversed(old: &[Key<'_>], new: &[Key<'_>]) -> bool {
    let (Some((old_last, old)), Some((new_last, new))) = (old.split_last(), new.split_last())
    else {
        return false;
    };
    let places = |keys: &[Key<'_>]| {
        let mut labels: Vec<String> = keys.iter().map(|(_, label)| (*label).to_owned()).collect();
        labels.dedup();
        labels
    };
    let (old, new) = (places(old), places(new));
    old_last == new_last && old.len() > 1 && old != new && old.iter().rev().eq(&new)
}

pub(super) fn wind(wind: Wind) -> Value {
    let (from, speed) = (wind.from.get(), (wind.speed.knots() * 10.0).round() / 10.0);
    Value::Words(format!("{from:03}/{speed} kt"))
}

fn place_of<'a>(plan: &'a Plan, leg: &Leg) -> Option<&'a Place> {
    plan.places.iter().find(|place| place.name == leg.label)
}

/// A position, unless it is that of the place the leg is about: that has been told with the place.
fn position(
    details: &mut Details,
    two: &Two<'_>,
    (old, was): (&Leg, Position),
    (new, is): (&Leg, Position),
) {
    let named = |plan: &Plan, leg: &Leg, at: Position| {
        place_of(plan, leg).is_some_and(|place| shape::same(place.position, at))
    };
    if !(named(two.old, old, was) && named(two.new, new, is)) {
        details.moved("position", was, is);
    }
}

/// What two legs differ in where they end, or where they hover or orbit.
fn at_its_end(two: &Two<'_>, old: &Leg, new: &Leg, way: Way, details: &mut Details) {
    // The rest belongs to the way there.
    let Leg { flown, label: _, altitude, .. } = old;
    match (*flown, new.flown) {
        (Flown::To(was), Flown::To(is)) => position(details, two, (old, was), (new, is)),
        (
            Flown::Land { at: was, elevation, stays },
            Flown::Land { at: is, elevation: new_elevation, stays: new_stays },
        ) => {
            position(details, two, (old, was), (new, is));
            let of_place = |plan: &Plan, leg: &Leg, elevation: Metres| {
                place_of(plan, leg).is_some_and(|place| place.elevation == Some(elevation))
            };
            if !(of_place(two.old, old, elevation) && of_place(two.new, new, new_elevation)) {
                details.both("elevation", elevation, new_elevation, Value::Altitude);
            }
            details.both("stay on the ground", stays, new_stays, Value::Time);
        }
        (
            Flown::Hover { at: was, lasts, facing },
            Flown::Hover { at: is, lasts: new_lasts, facing: new_facing },
        ) => {
            position(details, two, (old, was), (new, is));
            details.both("lasts", lasts, new_lasts, Value::Time);
            let angle = |direction: Option<earth::DegreesTrue>| {
                direction.map(|direction| Value::Angle(Degrees::of(direction.get())))
            };
            details.value("facing", angle(facing), angle(new_facing));
        }
        (
            Flown::Orbit { centre: was, radius, turn, sweep },
            Flown::Orbit { centre: is, radius: new_radius, turn: new_turn, sweep: new_sweep },
        ) => {
            position(details, two, (old, was), (new, is));
            details.both("radius", radius, new_radius, Value::Length);
            let words = |turn| match turn {
                Turn::Left => Value::Words("to the left".into()),
                Turn::Right => Value::Words("to the right".into()),
            };
            let turn = match (way, turn) {
                (Way::Same, turn) => turn,
                (Way::Other, Turn::Left) => Turn::Right,
                (Way::Other, Turn::Right) => Turn::Left,
            };
            details.both("turn", turn, new_turn, words);
            details.both("how far round", sweep, new_sweep, Value::Angle);
        }
        // Legs flown in another manner are not laid side by side.
        _ => {}
    }
    details.both("altitude", *altitude, new.altitude, Value::Altitude);
}

/// What two legs differ in on the way.
fn on_the_way(two: &Two<'_>, old: &Leg, new: &Leg, details: &mut Details) {
    let Leg { flown: _, label: _, airspeed, altitude: _, bank, climb, wind: blows, source: _ } =
        old;
    details.both("airspeed", *airspeed, new.airspeed, Value::Speed);
    details.both("bank", *bank, new.bank, Value::Angle);
    details.both("climb and descent", *climb, new.climb, Value::Climb);
    // The wind of the whole tour has been told.
    if *blows != two.old.wind || new.wind != two.new.wind {
        details.value("wind", blows.map(wind), new.wind.map(wind));
    }
}

fn alone(index: usize, leg: &Leg, how: How) -> Difference {
    let mut details = Details::default();
    details.only(&how, "altitude", Value::Altitude(leg.altitude));
    details.only(&how, "airspeed", Value::Speed(leg.airspeed));
    match leg.flown {
        Flown::To(_) => {}
        Flown::Land { stays, .. } => details.only(&how, "stay on the ground", Value::Time(stays)),
        Flown::Hover { lasts, .. } => details.only(&how, "lasts", Value::Time(lasts)),
        Flown::Orbit { radius, sweep, .. } => {
            details.only(&how, "radius", Value::Length(radius));
            details.only(&how, "how far round", Value::Angle(sweep));
        }
    }
    details.alone(Part::Route, &name(index, leg), None, how)
}
