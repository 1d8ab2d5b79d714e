//! Conditions, slack, before abeam, priorities.

use earth::{Degrees, DegreesTrue, MetresPerSecond};
use engine::Event;
use plan::{AltitudeBand, North, SpeedBand, Test, Window};

use crate::reference::Film;
use crate::reference::build::*;

fn window(from: f64, to: f64) -> Window {
    Window { from: Degrees::of(from), to: Degrees::of(to), north: North::True }
}

fn tracks(directions: &[f64]) -> Flight {
    let mut flight = Flight::start(0.0, 0.0, (50.0, 0.0));
    for direction in directions {
        flight = flight.on(1.0).but(|fix| fix.track = Some(DegreesTrue::of(*direction)));
    }
    flight
}

fn title_over(film: &Film, seconds: u32) -> Vec<bool> {
    (1..=seconds).map(|second| film.at(f64::from(second)).title.is_some()).collect()
}

#[test]
fn all_conditions_must_hold() {
    let mut tour = Tour::new();
    let one = tour.circle(0.0, 0.0, 980.0);
    let two = tour.circle(1000.0, 0.0, 520.0);
    let title = tour.title();
    tour.rule(rule().when(Test::In(one)).when(Test::NotIn(two)).titles(title));
    // In two from 480 m, out of one at 1030 m.
    assert_eq!(tour.fly(&Flight::eastward(0.0, 60.0)).titles(), [(0.0, Some(title)), (10.0, None)]);
}

#[test]
fn a_rule_without_conditions_is_always_active() {
    let mut tour = Tour::new();
    let title = tour.title();
    tour.rule(rule().titles(title));
    assert_eq!(tour.fly(&Flight::eastward(0.0, 5.0)).titles(), [(0.0, Some(title))]);
}

#[test]
fn an_active_rule_is_not_ended_by_a_track_up_to_ten_degrees_outside() {
    let mut tour = Tour::new();
    let title = tour.title();
    tour.rule(rule().when(Test::Track(window(80.0, 100.0))).titles(title));
    let film = tour.fly(&tracks(&[95.0, 109.9, 110.1, 105.0, 99.9, 70.1, 69.9]));
    assert_eq!(title_over(&film, 7), [true, true, false, false, true, true, false]);
}

#[test]
fn nor_by_a_heading() {
    let mut tour = Tour::new();
    let title = tour.title();
    tour.rule(rule().when(Test::Heading(window(355.0, 5.0))).titles(title));
    let film = tour.fly(&tracks(&[0.0, 14.9, 15.1, 10.0, 355.0, 345.1, 344.9]));
    assert_eq!(title_over(&film, 7), [true, true, false, false, true, true, false]);
}

#[test]
fn nor_by_an_altitude_up_to_25_metres_outside() {
    let mut tour = Tour::new();
    let title = tour.title();
    let band = AltitudeBand { from: Some(metres(200.0)), to: Some(metres(300.0)) };
    tour.rule(rule().when(Test::Altitude(band)).titles(title));
    let mut flight = Flight::start(0.0, 0.0, (50.0, 0.0));
    for altitude in [250.0, 325.0, 325.1, 301.0, 300.0, 175.0, 174.9] {
        flight = flight.climb_to(altitude).on(1.0);
    }
    assert_eq!(title_over(&tour.fly(&flight), 7), [true, true, false, false, true, true, false]);
}

#[test]
fn nor_by_a_speed_up_to_three_knots_outside() {
    let mut tour = Tour::new();
    let title = tour.title();
    let knots = MetresPerSecond::from_knots;
    let band = SpeedBand { from: Some(knots(60.0)), to: Some(knots(80.0)) };
    tour.rule(rule().when(Test::Groundspeed(band)).titles(title));
    let mut flight = Flight::start(0.0, 0.0, (30.0, 0.0));
    for speed in [70.0, 82.9, 83.1, 81.0, 80.0, 57.1, 56.9] {
        flight = flight.on(1.0).but(|fix| fix.groundspeed = Some(knots(speed)));
    }
    assert_eq!(title_over(&tour.fly(&flight), 7), [true, true, false, false, true, true, false]);
}

/// A tour with one sight 200 m beside the way, 3000 m on, and a rule before it.
fn abeam(by: f64) -> (Tour, plan::TitleId) {
    let mut tour = Tour::new();
    let sight = tour.sight(3000.0, 200.0);
    let title = tour.title();
    let test = Test::BeforeAbeam { sight, by: secs(by), within: metres(3704.0) };
    tour.rule(rule().when(test).titles(title));
    (tour, title)
}

#[test]
fn before_abeam_counts_seconds_at_the_present_speed() {
    let (tour, title) = abeam(20.2);
    // 20.2 s before 3000 m at 50 m/s: 1990 m, second 39.8; and past at second 60.
    let film = tour.fly(&Flight::eastward(0.0, 80.0));
    assert_eq!(film.titles(), [(40.0, Some(title)), (61.0, None)]);
    // At 25 m/s: 505 m before.
    let film = tour.fly(&Flight::start(0.0, 0.0, (25.0, 0.0)).on(130.0));
    assert_eq!(film.titles(), [(100.0, Some(title)), (121.0, None)]);
}

#[test]
fn the_sight_lies_within_a_distance_of_the_closest_point() {
    let (mut tour, _) = abeam(20.2);
    let test = &mut tour.plan.rules[0].conditions[0].test;
    let Test::BeforeAbeam { within, .. } = test else { panic!() };
    *within = metres(190.0);
    assert!(tour.fly(&Flight::eastward(0.0, 80.0)).titles().is_empty());
}

#[test]
fn past_is_behind() {
    let (tour, _) = abeam(20.2);
    let film = tour.fly(&Flight::start(3010.0, 0.0, (50.0, 0.0)).on(20.0));
    assert!(film.titles().is_empty());
}

#[test]
fn a_sight_that_comes_within_the_time_and_is_past_in_the_same_leg_is_missed() {
    let (tour, _) = abeam(8.0);
    // Fixes at 2590 m, 8.2 s before the sight, and at 3240 m.
    let film = tour.fly(&Flight::start(-10.0, 0.0, (50.0, 0.0)).every(13.0).on(91.0));
    assert!(film.titles().is_empty());
    // Fixes at 2610 m, 7.8 s before it, and at 3260 m.
    let film = tour.fly(&Flight::start(10.0, 0.0, (50.0, 0.0)).every(13.0).on(91.0));
    assert_eq!(film.when(|event| matches!(event, Event::Title { .. })), [52.0, 65.0]);
}

#[test]
fn a_hover_neither_starts_nor_ends_it() {
    let (tour, title) = abeam(20.2);
    let hover = Flight::start(2500.0, 0.0, (1.0, 0.0)).on(20.0);
    assert!(tour.fly(&hover).titles().is_empty());
    // Within the time at second 10, then a hover that would need minutes.
    let flight = Flight::start(2100.0, 0.0, (50.0, 0.0)).on(5.0).turn((1.0, 0.0)).on(30.0);
    assert_eq!(tour.fly(&flight).titles(), [(0.0, Some(title))]);
}

#[test]
fn an_active_one_is_ended_only_by_more_than_double_the_time() {
    let (tour, title) = abeam(20.2);
    // Second 0: 18 s ahead. Then slower: 900 m at 25 m/s are 36 s, at 20 m/s 45 s.
    let flight = Flight::start(2100.0, 0.0, (50.0, 0.0)).turn((25.0, 0.0)).but(|fix| {
        fix.groundspeed = Some(MetresPerSecond::of(50.0));
    });
    let flight = flight.on(3.0).turn((20.0, 0.0));
    let film = tour.fly(&flight);
    assert_eq!(film.titles(), [(0.0, Some(title)), (3.0, None)]);
    assert!(film.at(2.0).title.is_some());
}

#[test]
fn it_fires_once_in_an_orbit() {
    let mut tour = Tour::new();
    let sight = tour.sight(0.0, 0.0);
    let test = Test::BeforeAbeam { sight, by: secs(10.0), within: metres(3704.0) };
    let narration = tour.narration(1.0);
    tour.plan.narrations[0].again = true;
    tour.rule(rule().when(test).says(narration));
    // Round the sight at 400 m, 40 m/s, a wobble of 3° in the track: the sight is now a little
    // ahead, now a little behind.
    let mut flight = Flight::start(0.0, -400.0, (40.0, 0.0));
    for second in 1..=120_i32 {
        let round = f64::from(second) * 0.1;
        flight.east = 400.0 * round.sin();
        flight.north = -400.0 * round.cos();
        let wobble = if second % 2 == 0 { 3.0 } else { -3.0 };
        let track = 90.0 - round.to_degrees() + wobble;
        flight = orbit_fix(flight, track);
    }
    let film = tour.fly(&flight);
    let started = film.when(|event| {
        matches!(event, Event::Narration { what: engine::NarrationEvent::Started, .. })
    });
    assert_eq!(started.len(), 1, "{started:?}");
}

/// Adds a fix a second later at the flight's present place.
fn orbit_fix(flight: Flight, track: f64) -> Flight {
    let (east, north) = (flight.east, flight.north);
    let mut flight = flight.turn((0.0, 0.0)).but(|_| {});
    flight.fixes.pop();
    let time = flight.fixes.last().map_or(START, |fix| fix.time) + secs(1.0);
    let mut fix = earth::Fix::at(time, at(east, north));
    fix.altitude = Some(metres(300.0));
    fix.groundspeed = Some(MetresPerSecond::of(40.0));
    fix.track = Some(DegreesTrue::of(track));
    flight.fixes.push(fix);
    flight.fixes.push(fix);
    flight
}

#[test]
fn after_needs_the_other_to_have_fired_whether_or_not_it_won_anything() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let (high, low, after) = (tour.title(), tour.title(), tour.title());
    tour.rule(rule().priority(5).when(Test::NotIn(zone)).titles(high));
    let fired = tour.rule(rule().when(Test::In(zone)).titles(low));
    tour.rule(rule().priority(9).when(Test::After(fired)).titles(after));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.titles(), [(0.0, Some(high)), (11.0, Some(after))]);
}

#[test]
fn the_highest_priority_wins() {
    let mut tour = Tour::new();
    let (low, high) = (tour.title(), tour.title());
    tour.rule(rule().priority(1).titles(low));
    tour.rule(rule().priority(2).titles(high));
    assert_eq!(tour.fly(&Flight::eastward(0.0, 2.0)).at(0.0).title, Some(high));
}

#[test]
fn between_equals_the_one_written_first() {
    let mut tour = Tour::new();
    let (first, second) = (tour.title(), tour.title());
    tour.rule(rule().titles(first));
    tour.rule(rule().titles(second));
    assert_eq!(tour.fly(&Flight::eastward(0.0, 2.0)).at(0.0).title, Some(first));
}

#[test]
fn a_rule_that_says_nothing_about_a_channel_does_not_take_part_in_it() {
    let mut tour = Tour::new();
    let (title, music) = (tour.title(), tour.music());
    tour.rule(rule().priority(9).plays(music));
    tour.rule(rule().titles(title));
    let film = tour.fly(&Flight::eastward(0.0, 2.0));
    assert_eq!((film.at(0.0).title, film.at(0.0).music), (Some(title), Some(music)));
}

#[test]
fn the_rule_stands_beside_what_it_causes() {
    let mut tour = Tour::new();
    let title = tour.title();
    let cause = tour.rule(rule().titles(title));
    let film = tour.fly(&Flight::eastward(0.0, 2.0));
    assert_eq!(film.all(|event| matches!(event, Event::Title { .. }))[0].rule, Some(cause));
}

#[test]
fn music_that_the_new_winner_names_too_goes_on() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let (same, other) = (tour.music(), tour.music());
    tour.rule(rule().priority(1).when(Test::In(zone)).plays(same));
    tour.rule(rule().when(Test::Pass { zone, nth: 1 }).plays(other));
    tour.rule(rule().plays(same));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.when(|event| matches!(event, Event::Music { to: Some(_), .. })), [0.0, 31.0]);
    assert_eq!(film.at(11.0).music, Some(same));
    assert_eq!(film.at(31.0).music, Some(other));
}
