//! The ground, take-offs, landings and flights.

use earth::Millis;
use engine::{Cut, Event, GivenUp, NarrationEvent};
use plan::{Hand, Test};

use crate::reference::Film;
use crate::reference::build::*;

fn took_off(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::TookOff))
}

fn landed(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::Landed { .. }))
}

const KNOT: f64 = 1852.0 / 3600.0;

/// From rest at the middle for ten seconds, away at 50 m/s for a time.
fn away(seconds: f64) -> Flight {
    Flight::parked(0.0, 0.0).on(10.0).turn((50.0, 0.0)).climb_to(100.0).on(seconds)
}

/// There and back, on the ground again at second 60 exactly: slow from there on.
fn tour_of_a_minute() -> Flight {
    away(25.0).turn((-50.0, 0.0)).on(24.0).climb_to(0.0).on(1.0).turn((0.0, 0.0))
}

#[test]
fn until_a_speed_is_known_it_is_neither_on_the_ground_nor_airborne() {
    let flight = Flight::eastward(0.0, 2.0).all(|fix| fix.groundspeed = None);
    let film = Tour::new().fly(&flight);
    assert_eq!(film.at(0.0).airborne, None);
    assert_eq!(film.at(1.0).airborne, Some(true));
}

#[test]
fn then_it_is_on_the_ground_below_thirty_knots_else_airborne() {
    let aloft = |knots: f64| {
        let flight = Flight::start(0.0, 0.0, (knots * KNOT, 0.0));
        Tour::new().fly(&flight).at(0.0).airborne
    };
    assert_eq!(aloft(29.9), Some(false));
    assert_eq!(aloft(30.001), Some(true));
}

#[test]
fn it_takes_off_at_thirty_knots() {
    let flight =
        Flight::parked(0.0, 0.0).on(5.0).turn((29.9 * KNOT, 0.0)).on(3.0).turn((30.1 * KNOT, 0.0));
    assert_eq!(took_off(&Tour::new().fly(&flight.on(3.0))), [8.0]);
}

#[test]
fn it_takes_off_by_height_above_the_last_slow_fix() {
    // Up at 9 kt over the ground: the fixes are not slow, so the last slow one stays on the ground.
    let mut flight = Flight::parked(0.0, 0.0).on(5.0).turn((0.0, 0.0)).on(1.0);
    flight = flight.climb_to(10.0);
    flight = moving(flight, 9.0).on(1.0).climb_to(30.0).on(1.0).climb_to(30.1).on(1.0);
    assert_eq!(took_off(&Tour::new().fly(&flight)), [9.0]);
}

/// The same flight, moving on from its last fix at so many knots from the next fix on.
fn moving(flight: Flight, knots: f64) -> Flight {
    let last = *flight.fixes.last().unwrap();
    let mut flight = flight.turn((knots * KNOT, 0.0));
    *flight.fixes.last_mut().unwrap() = last;
    flight
}

#[test]
fn it_lands_after_ten_slow_seconds_near_home() {
    let film = Tour::new().fly(&tour_of_a_minute().on(20.0));
    assert_eq!(took_off(&film), [10.0]);
    assert_eq!(landed(&film), [70.0]);
}

#[test]
fn the_ten_seconds_are_without_a_break() {
    let flight = tour_of_a_minute().on(5.0).turn((9.0 * KNOT, 0.0)).on(1.0).turn((0.0, 0.0));
    assert_eq!(landed(&Tour::new().fly(&flight.on(20.0))), [76.0]);
}

#[test]
fn and_without_a_gap() {
    let flight = tour_of_a_minute().on(5.0).silent(16.0).on(20.0);
    assert_eq!(landed(&Tour::new().fly(&flight)), [91.0]);
}

#[test]
fn a_hover_at_a_sight_is_no_landing() {
    let flight = away(25.0).turn((0.0, 0.0)).on(30.0);
    assert!(landed(&Tour::new().fly(&flight)).is_empty(), "1250 m from home");
}

#[test]
fn a_hover_high_above_home_is_no_landing() {
    let flight = away(25.0).turn((-50.0, 0.0)).on(25.0).turn((0.0, 0.0)).on(30.0);
    assert!(landed(&Tour::new().fly(&flight)).is_empty());
    let low = away(25.0).turn((-50.0, 0.0)).climb_to(29.0).on(25.0).turn((0.0, 0.0)).on(30.0);
    assert_eq!(landed(&Tour::new().fly(&low)), [70.0]);
}

#[test]
fn a_landing_site_of_the_route_serves_as_well() {
    let mut tour = Tour::new();
    tour.landing_site(1250.0, 0.0);
    let flight = away(25.0).turn((0.0, 0.0)).climb_to(5.0).on(30.0);
    let film = tour.fly(&flight);
    assert_eq!(film.all(|event| matches!(event, Event::Landed { home: false })).len(), 1);
}

#[test]
fn hover_taxi_at_the_pad_is_ground() {
    let flight = Flight::parked(0.0, 0.0).on(5.0).turn((10.0 * KNOT, 0.0)).climb_to(3.0).on(20.0);
    let film = Tour::new().fly(&flight);
    assert!(took_off(&film).is_empty());
    assert_eq!(film.at(20.0).airborne, Some(false));
}

#[test]
fn for_a_run_that_begins_in_the_air_home_is_where_the_planned_route_begins() {
    let mut tour = Tour::new();
    tour.home(1000.0, 0.0);
    let flight = Flight::eastward(0.0, 20.0).turn((0.0, 0.0)).climb_to(5.0).on(20.0);
    let film = tour.fly(&flight);
    assert_eq!(film.when(|event| matches!(event, Event::Landed { home: true })), [30.0]);
    tour.home(3000.0, 0.0);
    assert!(landed(&tour.fly(&flight)).is_empty());
}

#[test]
fn people_are_shown_the_time_from_the_take_off() {
    let film = Tour::new().fly(&away(10.0));
    assert_eq!(film.at(5.0).since_takeoff, None);
    assert_eq!(film.at(10.0).since_takeoff, Some(Millis(0)));
    assert_eq!(film.at(15.0).since_takeoff, Some(secs(5.0)));
    let film = Tour::new().fly(&Flight::eastward(0.0, 5.0));
    assert_eq!(film.at(3.0).since_takeoff, Some(secs(3.0)));
}

fn quick_turnaround() -> Tour {
    let mut tour = Tour::new();
    tour.plan.settings.turnaround = secs(30.0);
    tour
}

fn began(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::FlightBegan))
}

#[test]
fn a_turnaround_after_a_landing_at_home_a_new_flight_begins() {
    let film = quick_turnaround().fly(&tour_of_a_minute().on(60.0));
    assert_eq!(began(&film), [100.0]);
    assert_eq!(film.at(99.0).flight, 1);
    assert_eq!(film.at(100.0).flight, 2);
    assert_eq!(film.at(110.0).since_takeoff, None);
}

#[test]
fn no_new_flight_begins_if_it_took_off_before() {
    let flight = tour_of_a_minute().on(35.0).turn((50.0, 0.0)).climb_to(100.0).on(30.0);
    assert!(began(&quick_turnaround().fly(&flight)).is_empty());
}

#[test]
fn a_landing_away_does_not_end_the_flight() {
    let mut tour = quick_turnaround();
    tour.landing_site(1250.0, 0.0);
    let flight = away(25.0).turn((0.0, 0.0)).climb_to(5.0).on(100.0);
    let film = tour.fly(&flight);
    assert_eq!(landed(&film).len(), 1);
    assert!(began(&film).is_empty());
}

#[test]
fn a_new_flight_begins_everything_anew() {
    let mut tour = quick_turnaround();
    let pad = tour.circle(0.0, 0.0, 310.0);
    let narration = tour.narration(5.0);
    tour.rule(rule().when(Test::In(pad)).says(narration).records_on_ground());
    let film = tour.fly(&tour_of_a_minute().on(60.0));
    let passes: Vec<(f64, u32)> = film
        .changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Entered { pass, .. } => Some(((change.effect - START).secs(), pass)),
            _ => None,
        })
        .collect();
    assert_eq!(passes, [(0.0, 1), (54.0, 2), (100.0, 1)]);
    let started: Vec<f64> = film
        .spoken()
        .iter()
        .filter(|(_, _, what)| *what == NarrationEvent::Started)
        .map(|(time, _, _)| *time)
        .collect();
    assert_eq!(started, [0.0, 100.0], "once in each flight");
    assert_eq!(film.at(99.0).take.unwrap().take, 2);
    assert_eq!(film.at(101.0).take.unwrap(), engine::TakeTime { take: 1, time: secs(1.0) });
}

#[test]
fn what_still_plays_or_waits_is_cut_off_or_given_up() {
    let mut tour = quick_turnaround();
    let (long, next) = (tour.narration(60.0), tour.narration(5.0));
    let pad = tour.circle(0.0, 0.0, 310.0);
    tour.rule(rule().when(Test::Pass { zone: pad, nth: 2 }).says(long));
    tour.rule(rule().when(Test::Pass { zone: pad, nth: 2 }).says(next));
    let film = tour.fly(&tour_of_a_minute().on(60.0));
    let at_100: Vec<NarrationEvent> =
        film.spoken().iter().filter(|said| said.0 == 100.0).map(|said| said.2).collect();
    assert_eq!(
        at_100,
        [
            NarrationEvent::CutOff { by: Cut::NewFlight, played: secs(46.0) },
            NarrationEvent::GivenUp(GivenUp::NewFlight)
        ]
    );
}

#[test]
fn voice_off_and_radio_busy_last_into_a_new_flight() {
    let film = quick_turnaround()
        .fly_with(&tour_of_a_minute().on(60.0), &[(20.0, Hand::VoiceOff), (21.0, Hand::RadioBusy)]);
    assert!(!film.at(105.0).voice_on && film.at(105.0).radio_busy);
}

#[test]
fn on_ground_and_airborne_are_conditions() {
    let mut tour = Tour::new();
    let (ground, air) = (tour.title(), tour.title());
    tour.rule(rule().when(Test::OnGround).titles(ground));
    tour.rule(rule().when(Test::Airborne).titles(air));
    let film = tour.fly(&tour_of_a_minute().on(15.0));
    assert_eq!(film.titles(), [(0.0, Some(ground)), (10.0, Some(air)), (70.0, Some(ground))]);
}

#[test]
fn slow_means_below_eight_knots() {
    let with = |knots: f64| {
        let flight = tour_of_a_minute().turn((knots * KNOT, 0.0)).on(15.0);
        landed(&Tour::new().fly(&flight)).len()
    };
    assert_eq!([with(7.9), with(8.1)], [1, 0]);
}

#[test]
fn height_counts_only_where_the_altitude_is_known() {
    let flight = away(25.0).turn((-50.0, 0.0)).on(25.0).turn((0.0, 0.0)).on(30.0);
    let blind = flight.all(|fix| fix.altitude = None);
    assert_eq!(landed(&Tour::new().fly(&blind)), [70.0]);
}
