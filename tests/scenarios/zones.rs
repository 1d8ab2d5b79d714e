//! Zones: kinds, edges, margins, gates, passes, bands.

use engine::Event;
use plan::{Shape, Side, Test, ZoneId};

use crate::reference::Film;
use crate::reference::build::*;
use earth::{Degrees, Position};

fn entered(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::Entered { .. }))
}

fn left(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::Left { .. }))
}

fn crossed(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::Crossed { .. }))
}

/// Seconds from the start of the own times of changes of a kind.
fn own(film: &Film, wanted: impl Fn(&Event) -> bool) -> Vec<f64> {
    film.all(wanted)
        .iter()
        .map(|change| (change.own.unwrap_or(change.effect) - START).secs())
        .collect()
}

fn near(found: &[f64], expected: &[f64]) {
    let close = found.len() == expected.len()
        && found.iter().zip(expected).all(|(found, expected)| (found - expected).abs() <= 0.021);
    assert!(close, "{found:?} is not {expected:?}");
}

#[test]
fn a_crossing_keeps_its_own_time_and_takes_effect_at_the_second_fix() {
    let mut tour = Tour::new();
    tour.circle(1000.0, 0.0, 520.0);
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    assert_eq!(entered(&film), [10.0]);
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[9.6]);
}

#[test]
fn a_zone_is_left_where_its_margin_is_passed() {
    let mut tour = Tour::new();
    tour.circle(1000.0, 0.0, 520.0);
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    // 1000 + 520 + 50 = 1570 m.
    assert_eq!(left(&film), [32.0]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[31.4]);
}

#[test]
fn the_margin_does_not_count_for_the_entry() {
    let mut tour = Tour::new();
    // Passed at 20 m from the edge, inside the margin of 50 m.
    tour.circle(1000.0, 320.0, 300.0);
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    assert!(entered(&film).is_empty());
}

#[test]
fn inside_the_margin_one_stays_in() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 505.0);
    // Out to 1530 m, which is 25 m outside the edge, and back.
    let flight = Flight::eastward(0.0, 25.0).turn((14.0, 0.0)).on(20.0).turn((-50.0, 0.0)).on(10.0);
    let film = tour.fly(&flight);
    assert_eq!(entered(&film).len(), 1);
    assert!(left(&film).is_empty());
    assert_eq!(film.states.last().unwrap().zones, [zone]);
}

#[test]
fn a_zone_flown_through_between_two_fixes_was_entered_and_left() {
    let mut tour = Tour::new();
    tour.circle(1100.0, 0.0, 60.0);
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert_eq!(entered(&film), [30.0]);
    assert_eq!(left(&film), [30.0]);
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[20.8]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[24.2]);
}

#[test]
fn the_boundary_belongs_to_the_zone() {
    let mut tour = Tour::new();
    // The fix lies on the centre's meridian and parallel exactly, at a radius of nothing but 0.1 m.
    tour.circle(0.0, 0.0, 0.1);
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).on(2.0));
    assert_eq!(entered(&film), [0.0]);
}

#[test]
fn the_first_fix_enters_the_zones_it_lies_in() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 500.0);
    let film = tour.fly(&Flight::eastward(0.0, 2.0));
    assert_eq!(entered(&film), [0.0]);
    assert_eq!(film.at(0.0).zones, [zone]);
}

fn square(east: f64, half: f64) -> Vec<Position> {
    vec![
        at(east - half, -half),
        at(east + half, -half),
        at(east + half, half),
        at(east - half, half),
    ]
}

#[test]
fn a_polygon_is_entered_through_its_edge() {
    let mut tour = Tour::new();
    tour.zone(Shape::Polygon { outer: square(1000.0, 210.0), holes: vec![] });
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[15.8]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[25.2]);
}

#[test]
fn the_order_of_a_ring_does_not_matter_the_inside_is_the_smaller_side() {
    let mut tour = Tour::new();
    let mut outer = square(1000.0, 210.0);
    outer.reverse();
    tour.zone(Shape::Polygon { outer, holes: vec![] });
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(entered(&film), [16.0]);
}

#[test]
fn a_hole_is_outside() {
    let mut tour = Tour::new();
    let zone = tour
        .zone(Shape::Polygon { outer: square(1000.0, 510.0), holes: vec![square(1000.0, 210.0)] });
    tour.margin(zone, 0.0);
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[9.8, 24.2]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[15.8, 30.2]);
}

#[test]
fn the_margin_counts_into_a_hole_too() {
    let mut tour = Tour::new();
    let zone = tour
        .zone(Shape::Polygon { outer: square(1000.0, 510.0), holes: vec![square(1000.0, 210.0)] });
    tour.margin(zone, 215.0);
    let film = tour.fly(&Flight::eastward(0.0, 26.0));
    assert_eq!(entered(&film), [10.0]);
    assert!(left(&film).is_empty(), "the middle of the hole is 210 m from its edge");
}

#[test]
fn a_corridor_has_round_ends() {
    let mut tour = Tour::new();
    tour.zone(Shape::Corridor {
        line: vec![at(1000.0, 0.0), at(2000.0, 0.0)],
        half_width: metres(210.0),
    });
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[15.8]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[45.2]);
}

#[test]
fn a_corridor_ends_beside_its_line_at_its_half_width() {
    let mut tour = Tour::new();
    // The line runs from south to north 1000 m east, 5 km either way.
    tour.zone(Shape::Corridor {
        line: vec![at(1000.0, -5000.0), at(1000.0, 5000.0)],
        half_width: metres(210.0),
    });
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[15.8]);
}

fn sector(from: f64, to: f64) -> Shape {
    Shape::Sector {
        centre: at(1000.0, 0.0),
        radius: metres(510.0),
        from: Degrees::of(from),
        to: Degrees::of(to),
    }
}

#[test]
fn a_sector_is_the_slice_clockwise_between_its_bearings() {
    let mut tour = Tour::new();
    let west = tour.zone(sector(225.0, 315.0));
    let east = tour.zone(sector(45.0, 135.0));
    tour.margin(west, 0.0);
    tour.margin(east, 0.0);
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.at(15.0).zones, [west]);
    assert_eq!(film.at(25.0).zones, [east]);
}

#[test]
fn a_sector_may_run_through_north() {
    let mut tour = Tour::new();
    let north = tour.zone(sector(315.0, 45.0));
    let flight = Flight::start(1000.0, 300.0, (50.0, 0.0)).on(4.0);
    assert_eq!(tour.fly(&flight).at(4.0).zones, [north]);
    let south = Flight::start(1000.0, -300.0, (50.0, 0.0)).on(4.0);
    assert!(tour.fly(&south).at(4.0).zones.is_empty());
}

#[test]
fn a_sector_of_all_bearings_is_a_circle() {
    let mut tour = Tour::new();
    let zone = tour.zone(sector(0.0, 360.0));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.at(25.0).zones, [zone]);
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[9.8]);
}

#[test]
fn a_gate_is_crossed_from_its_left_to_its_right() {
    // Its line runs from south to north, so an eastward flight comes from its left.
    for (side, count) in [(Side::Left, 1), (Side::Right, 0), (Side::Either, 1)] {
        let mut tour = Tour::new();
        tour.gate(1010.0, side);
        let film = tour.fly(&Flight::eastward(0.0, 40.0));
        assert_eq!(crossed(&film).len(), count, "{side:?}");
    }
    let mut tour = Tour::new();
    tour.gate(1010.0, Side::Right);
    let westward = Flight::start(2000.0, 0.0, (-50.0, 0.0)).on(40.0);
    assert_eq!(crossed(&tour.fly(&westward)), [20.0]);
}

#[test]
fn a_gate_says_from_which_side_it_was_crossed() {
    let mut tour = Tour::new();
    tour.gate(1010.0, Side::Either);
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    let from_left =
        |event: &Event| matches!(event, Event::Crossed { from: Side::Left, pass: 1, .. });
    assert_eq!(film.when(from_left), [21.0]);
    near(&own(&film, from_left), &[20.2]);
}

#[test]
fn a_gate_has_ends() {
    let mut tour = Tour::new();
    tour.zone(Shape::Gate {
        line: vec![at(1010.0, 100.0), at(1010.0, 300.0)],
        crossed_from: Side::Either,
    });
    let passes = |north: f64| {
        let flight = Flight::start(0.0, north, (50.0, 0.0)).on(40.0);
        crossed(&tour.fly(&flight)).len()
    };
    assert_eq!([passes(50.0), passes(200.0), passes(350.0)], [0, 1, 0]);
}

#[test]
fn a_gate_counts_again_only_after_its_margin() {
    let mut tour = Tour::new();
    tour.gate(1003.0, Side::Either);
    // Across by 40 m, back by 40 m, across and away by 140 m, back.
    let flight = Flight::start(960.0, 0.0, (20.0, 0.0))
        .on(4.0)
        .turn((-20.0, 0.0))
        .on(4.0)
        .turn((20.0, 0.0))
        .on(9.0)
        .turn((-20.0, 0.0))
        .on(9.0);
    let film = tour.fly(&flight);
    assert_eq!(crossed(&film).len(), 2, "{:?}", crossed(&film));
}

#[test]
fn a_gate_is_never_in() {
    let mut tour = Tour::new();
    tour.gate(1010.0, Side::Either);
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert!(film.states.iter().all(|row| row.zones.is_empty()));
    assert!(entered(&film).is_empty() && left(&film).is_empty());
}

#[test]
fn a_point_on_the_line_counts_as_across() {
    let mut tour = Tour::new();
    // A gate along a meridian, with a fix exactly on it.
    let on = at(1000.0, 0.0);
    let end = |lat: f64| Position::of(lat, on.lon());
    tour.zone(Shape::Gate {
        line: vec![end(on.lat() - 0.01), end(on.lat() + 0.01)],
        crossed_from: Side::Left,
    });
    let flight = Flight::start(950.0, 0.0, (50.0, 0.0)).on(1.0);
    assert_eq!(crossed(&tour.fly(&flight)), [1.0]);
    assert_eq!(crossed(&tour.fly(&flight.on(5.0))), [1.0], "and it is not crossed again");
}

#[test]
fn a_gate_with_a_band_is_crossed_only_within_it() {
    let mut tour = Tour::new();
    let gate = tour.gate(1010.0, Side::Either);
    tour.band(gate, 0.0, 200.0);
    assert!(crossed(&tour.fly(&Flight::eastward(0.0, 40.0))).is_empty());
    tour.band(gate, 200.0, 400.0);
    assert_eq!(crossed(&tour.fly(&Flight::eastward(0.0, 40.0))), [21.0]);
}

/// Level to the first second, then climbing 10 m in each.
fn climb(from: f64, to: f64) -> Flight {
    let mut flight =
        Flight::start(0.0, 0.0, (50.0, 0.0)).but(|fix| fix.altitude = Some(metres(from)));
    let mut altitude = from;
    while (altitude - to).abs() > 1e-9 {
        altitude += 10.0 * (to - from).signum();
        flight = flight.climb_to(altitude).on(1.0);
    }
    flight
}

#[test]
fn a_band_is_entered_by_climbing_and_left_beyond_the_margin() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 5000.0);
    tour.band(zone, 204.0, 304.0);
    let film = tour.fly(&climb(100.0, 400.0));
    near(&own(&film, |event| matches!(event, Event::Entered { .. })), &[10.4]);
    // 304 + 50 m.
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[25.4]);
}

#[test]
fn the_ends_of_a_band_belong_to_it() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 5000.0);
    tour.band(zone, 300.0, 400.0);
    assert_eq!(entered(&tour.fly(&Flight::eastward(0.0, 2.0))), [0.0]);
}

#[test]
fn with_altitude_not_known_a_zone_with_a_band_is_not_entered() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 520.0);
    tour.band(zone, 0.0, 400.0);
    let blind = Flight::eastward(0.0, 40.0).all(|fix| fix.altitude = None);
    assert!(entered(&tour.fly(&blind)).is_empty());
}

#[test]
fn with_altitude_not_known_a_zone_is_left_by_its_edge_all_the_same() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 520.0);
    tour.band(zone, 0.0, 400.0);
    let flight = Flight::start(0.0, 0.0, (50.0, 0.0)).without_altitude().on(20.0);
    let film = tour.fly(&flight);
    assert_eq!(entered(&film), [0.0]);
    near(&own(&film, |event| matches!(event, Event::Left { .. })), &[11.4]);
}

#[test]
fn an_altitude_that_comes_back_enters_at_that_fix() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 520.0);
    tour.band(zone, 0.0, 400.0);
    let mut flight = Flight::eastward(0.0, 15.0).all(|fix| fix.altitude = None);
    flight = flight.climb_to(300.0).on(5.0);
    let film = tour.fly(&flight);
    assert_eq!(entered(&film), [16.0]);
    assert_eq!(own(&film, |event| matches!(event, Event::Entered { .. })), [16.0]);
}

#[test]
fn with_altitude_not_known_a_quiet_zone_counts_as_if_it_had_no_band() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 520.0);
    tour.band(zone, 0.0, 100.0);
    tour.quiet(zone);
    let flight = Flight::eastward(0.0, 40.0);
    assert!(entered(&tour.fly(&flight)).is_empty(), "it flies above");
    assert_eq!(entered(&tour.fly(&flight.all(|fix| fix.altitude = None))), [10.0]);
}

#[test]
fn combined_zones_follow_their_parts() {
    let mut tour = Tour::new();
    let one = tour.circle(1000.0, 0.0, 520.0);
    let two = tour.circle(1500.0, 0.0, 520.0);
    let combined = |any_of: &[ZoneId], all_of: &[ZoneId], except: &[ZoneId]| Shape::Combined {
        any_of: any_of.to_vec(),
        all_of: all_of.to_vec(),
        except: except.to_vec(),
    };
    let any = tour.zone(combined(&[one, two], &[], &[]));
    let all = tour.zone(combined(&[], &[one, two], &[]));
    let but = tour.zone(combined(&[one], &[], &[two]));
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    assert_eq!(film.at(15.0).zones, [one, any, but]);
    assert_eq!(film.at(25.0).zones, [one, two, any, all]);
    assert_eq!(film.at(38.0).zones, [two, any]);
}

#[test]
fn a_combined_zone_has_no_margin_of_its_own() {
    let mut tour = Tour::new();
    let one = tour.circle(1000.0, 0.0, 520.0);
    let any = tour.zone(Shape::Combined { any_of: vec![one], all_of: vec![], except: vec![] });
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    let left = film.all(|event| matches!(event, Event::Left { .. }));
    assert_eq!(left.len(), 2);
    assert_eq!(left[0].own, left[1].own);
    assert_eq!(left[1].event, Event::Left { zone: any });
}

#[test]
fn a_pass_is_an_entry_and_is_counted() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 310.0);
    let title = tour.title();
    tour.rule(rule().when(Test::Pass { zone, nth: 2 }).titles(title));
    let there_and_back_and_there =
        Flight::eastward(0.0, 40.0).turn((-50.0, 0.0)).on(40.0).turn((50.0, 0.0)).on(40.0);
    let film = tour.fly(&there_and_back_and_there);
    let passes: Vec<u32> = film
        .changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Entered { pass, .. } => Some(pass),
            _ => None,
        })
        .collect();
    assert_eq!(passes, [1, 2, 3]);
    // The second holds from its entry, 690 m on the way back, until the third entry.
    assert_eq!(film.titles(), [(54.0, Some(title)), (94.0, None)]);
}

#[test]
fn zones_agree_across_the_180th_meridian() {
    let mut tour = Tour::new();
    let centre = Position::of(-16.5, 180.0);
    tour.zone(Shape::Circle { centre, radius: metres(510.0) });
    let ring = [(-16.6, 179.9), (-16.6, -179.9), (-16.4, -179.9), (-16.4, 179.9)];
    let outer = ring.iter().map(|(lat, lon)| Position::of(*lat, *lon)).collect();
    let polygon = tour.zone(Shape::Polygon { outer, holes: vec![] });
    let mut flight = Flight::eastward(-2000.0, 80.0);
    for (index, fix) in flight.fixes.iter_mut().enumerate() {
        let east = -2000.0 + 50.0 * f64::from(count(index));
        fix.position = crate::reference::ground::direct(centre, 90.0, east).0;
    }
    let film = tour.fly(&flight);
    assert_eq!(entered(&film), [0.0, 30.0]);
    assert_eq!(left(&film), [52.0], "beyond 510 + 50 m");
    assert!(film.states.iter().all(|row| row.zones.contains(&polygon)));
}

#[test]
fn zones_agree_round_a_pole() {
    let mut tour = Tour::new();
    let ring = [0.0, 60.0, 120.0, 180.0, -120.0, -60.0];
    let outer = ring.iter().map(|lon| Position::of(89.99, *lon)).collect();
    tour.zone(Shape::Polygon { outer, holes: vec![] });
    let mut flight = Flight::eastward(-3010.0, 120.0);
    for (index, fix) in flight.fixes.iter_mut().enumerate() {
        let gone = 3010.0 - 50.0 * f64::from(count(index));
        let lon = if gone > 0.0 { 30.0 } else { -150.0 };
        fix.position = Position::of(90.0 - gone.abs() / 111_694.0, lon);
        fix.track = None;
    }
    // The edge's middle is 1116.9 m × cos 30° from the pole: 967.3 m.
    let film = tour.fly(&flight);
    assert_eq!(entered(&film), [41.0]);
    assert_eq!(left(&film), [81.0]);
}
