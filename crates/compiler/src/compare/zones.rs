//! Zones.

use earth::Position;
use plan::{AltitudeBand, HandFilming, Shape, Zone, ZoneId};

use super::matching::Fate;
use super::places::Carried;
use super::shape;
use super::words::{band, names};
use super::{Detail, Details, Difference, FlownPlan, How, Part, Two, Value};

/// Points of the planned route's line, which the corridors along it are made of.
const ALONG_THE_ROUTE: &str = "the planned route";

/// Tells what has become of the zones. Those that moved with a place have been told with it.
pub(super) fn compare(
    two: &Two<'_>,
    flown: &[&FlownPlan<'_>; 2],
    carried: &Carried,
    into: &mut Vec<Difference>,
) {
    let [old_flown, new_flown] = *flown;
    let lines = (old_flown.line(), new_flown.line());
    for fate in two.matched.zones.all(&two.old.zones, &two.new.zones) {
        match fate {
            Fate::Kept { old, new, at } => {
                if old.name == new.name {
                    let mut details = Details::default();
                    of_both(two, (old, new), lines, &mut details);
                    if carried.contains(&at) {
                        details.0.retain(|detail| !matches!(detail, Detail::Moved { .. }));
                    }
                    into.extend(details.changed(Part::Zone, &new.name, None));
                } else {
                    let how = How::Renamed { from: old.name.clone() };
                    into.push(Details::default().alone(Part::Zone, &new.name, None, how));
                }
            }
            Fate::Added(zone, _) => into.push(alone(new_flown, zone, How::Added)),
            Fate::Gone(zone, _) => into.push(alone(old_flown, zone, How::Gone)),
        }
    }
}

fn of_both(
    two: &Two<'_>,
    (old, new): (&Zone, &Zone),
    (old_line, new_line): (&[Position], &[Position]),
    details: &mut Details,
) {
    let Zone { name: _, shape: old_shape, band: old_band, margin, quiet, no_filming, source: _ } =
        old;
    match (follows(old_shape, old_line), follows(&new.shape, new_line)) {
        // It goes where the route goes, whose changes have been told.
        (Some(old), Some(new)) => details.both("half width", old, new, Value::Length),
        (None, None) => shape::compare(old_shape, &new.shape, details),
        (old, _) => {
            let words = |follows| if follows { ALONG_THE_ROUTE } else { "a line of its own" };
            let (old, new) = (old.is_some(), old.is_none());
            details.both("runs along", old, new, |follows| Value::Words(words(follows).into()));
        }
    }
    parts(two, old_shape, &new.shape, details);
    let height = |band_of: &Option<AltitudeBand>| band_of.as_ref().map(band).map(Value::Words);
    details.value("altitude band", height(old_band), height(&new.band));
    details.both("exit margin", *margin, new.margin, Value::Length);
    details.both("quiet", *quiet, new.quiet, Value::Yes);
    details.both("no filming", no_filming.is_some(), new.no_filming.is_some(), Value::Yes);
    if let (Some(old), Some(new)) = (no_filming, new.no_filming) {
        details.both("filming by hand", *old, new, |by_hand| Value::Words(hand(by_hand).into()));
    }
}

/// The half-width of a corridor along the planned route.
fn follows(shape: &Shape, route: &[Position]) -> Option<earth::Metres> {
    let Shape::Corridor { line, half_width } = shape else { return None };
    let same = line.len() == route.len()
        && line.iter().zip(route).all(|(line, route)| shape::same(*line, *route));
    same.then_some(*half_width)
}

const fn hand(filming: HandFilming) -> &'static str {
    match filming {
        HandFilming::Refused => "refused",
        HandFilming::Allowed => "allowed",
    }
}

/// What combined zones are made of.
fn parts(two: &Two<'_>, old: &Shape, new: &Shape, details: &mut Details) {
    let (
        Shape::Combined { any_of: old_any, all_of: old_all, except: old_except },
        Shape::Combined { any_of, all_of, except },
    ) = (old, new)
    else {
        return;
    };
    let lists =
        [("any of", old_any, any_of), ("all of", old_all, all_of), ("except", old_except, except)];
    for (what, old, new) in lists {
        let sorted = |mut list: Vec<Option<usize>>| {
            list.sort_unstable();
            list
        };
        let was = sorted(old.iter().map(|id| Some(id.index())).collect());
        let is = sorted(new.iter().map(|id| two.matched.zones.old(id.index())).collect());
        if was != is {
            let list = |zones: &[Zone], ids: &[ZoneId]| {
                let named = ids.iter().filter_map(|id| zones.get(id.index()));
                let named: Vec<&str> = named.map(|zone| zone.name.as_str()).collect();
                (!named.is_empty()).then(|| Value::Words(names(&named)))
            };
            details.value(what, list(&two.old.zones, old), list(&two.new.zones, new));
        }
    }
}

/// What a zone is that is only in one of the plans.
fn alone(flown: &FlownPlan<'_>, zone: &Zone, how: How) -> Difference {
    let zones = &flown.plan.zones;
    let mut details = Details::default();
    let mut only = |what, value| details.only(&how, what, value);
    only("kind", Value::Words(shape::kind(&zone.shape).into()));
    let along_the_route = follows(&zone.shape, flown.line()).is_some();
    if let Some(middle) = shape::middle(&zone.shape).filter(|_| !along_the_route) {
        only("where", Value::Words(flown.whereabouts(middle)));
    }
    match &zone.shape {
        Shape::Circle { radius, .. } => only("radius", Value::Length(*radius)),
        Shape::Sector { radius, from, to, .. } => {
            only("radius", Value::Length(*radius));
            only("begins at bearing", Value::Angle(*from));
            only("ends at bearing", Value::Angle(*to));
        }
        Shape::Polygon { outer, holes } => {
            if let Some((_, area)) = super::plane::of_polygon(outer, holes) {
                only("area", Value::Area(area));
            }
        }
        Shape::Corridor { half_width, .. } => {
            if along_the_route {
                only("runs along", Value::Words(ALONG_THE_ROUTE.into()));
            }
            only("half width", Value::Length(*half_width));
        }
        Shape::Gate { crossed_from, .. } => {
            only("crossed", Value::Words(shape::side(*crossed_from).into()));
        }
        Shape::Combined { any_of, all_of, except } => {
            for (what, ids) in [("any of", any_of), ("all of", all_of), ("except", except)] {
                let named = ids.iter().filter_map(|id| zones.get(id.index()));
                let named: Vec<&str> = named.map(|zone| zone.name.as_str()).collect();
                if !named.is_empty() {
                    only(what, Value::Words(names(&named)));
                }
            }
        }
    }
    if let Some(heights) = &zone.band {
        only("altitude band", Value::Words(band(heights)));
    }
    if zone.quiet {
        only("quiet", Value::Yes(true));
    }
    if let Some(by_hand) = zone.no_filming {
        only("no filming", Value::Yes(true));
        only("filming by hand", Value::Words(hand(by_hand).into()));
    }
    details.alone(Part::Zone, &zone.name, None, how)
}
