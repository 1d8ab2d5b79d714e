//! Speed, track, heading and altitude.

use earth::{Degrees, DegreesTrue, Fix, HeadingReading, MetresPerSecond, SourceHeading};
use engine::HeadingFrom;
use plan::{North, Test, Wind, Window};

use crate::reference::build::*;

fn knots(value: f64) -> f64 {
    MetresPerSecond::from_knots(value).get()
}

/// A fix without the receiver's own speed and track.
fn bare(fix: &mut Fix) {
    fix.groundspeed = None;
    fix.track = None;
}

fn wind(from: f64, speed: f64) -> Option<Wind> {
    Some(Wind { from: DegreesTrue::of(from), speed: MetresPerSecond::of(speed) })
}

#[test]
fn groundspeed_is_the_receivers_own() {
    let flight =
        Flight::eastward(0.0, 3.0).all(|fix| fix.groundspeed = Some(MetresPerSecond::of(44.0)));
    assert_eq!(Tour::new().fly(&flight).at(2.0).groundspeed.unwrap().get(), 44.0);
}

#[test]
fn else_it_is_distance_over_time() {
    let film = Tour::new().fly(&Flight::eastward(0.0, 3.0).all(bare));
    assert_eq!(film.at(0.0).groundspeed, None);
    assert!((film.at(1.0).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
}

#[test]
fn track_is_the_receivers_own_else_the_azimuth_at_this_fix() {
    let film =
        Tour::new().fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(100.0).all(bare));
    assert_eq!(film.at(0.0).track, None);
    // So far north an eastward geodesic bends south: 1 km east of the middle it points 90.016°.
    let track = film.at(20.0).track.unwrap().get();
    assert!(track > 90.012 && track < 90.018, "{track}");
    let own = Flight::eastward(0.0, 3.0).all(|fix| fix.track = Some(DegreesTrue::of(77.0)));
    assert_eq!(Tour::new().fly(&own).at(2.0).track.unwrap().get(), 77.0);
}

#[test]
fn below_the_minimum_speed_the_last_good_track_is_held() {
    let flight = Flight::eastward(0.0, 3.0).turn((0.0, knots(9.9))).on(3.0);
    let film = Tour::new().fly(&flight);
    assert_eq!(film.at(5.0).track.unwrap().get(), 90.0);
    let flight = Flight::eastward(0.0, 3.0).turn((0.0, knots(10.1))).on(3.0);
    assert_eq!(Tour::new().fly(&flight).at(5.0).track.unwrap().get(), 0.0);
}

#[test]
fn without_a_speed_a_course_is_noise() {
    let film =
        Tour::new().fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).all(|fix| fix.groundspeed = None));
    assert_eq!(film.at(0.0).track, None);
}

#[test]
fn across_a_gap_nothing_is_derived_and_nothing_held() {
    let flight = Flight::eastward(0.0, 3.0).silent(15.5).but(bare).on(1.0).but(bare);
    let film = Tour::new().fly(&flight);
    let after = film.at(18.5);
    assert_eq!((after.groundspeed, after.track, after.heading), (None, None, None));
    assert!((film.at(19.5).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
}

#[test]
fn within_the_bridge_they_are_derived() {
    let flight = Flight::eastward(0.0, 3.0).silent(14.0).but(bare);
    let film = Tour::new().fly(&flight);
    assert!((film.at(17.0).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
}

#[test]
fn a_derived_value_is_reckoned_over_half_a_second_at_least() {
    let mut flight = Flight::start(0.0, 0.0, (50.0, 0.0)).on(1.0);
    flight.fixes.iter_mut().for_each(bare);
    // 0.2 s later at twice the speed: held; 0.5 s after the last that renewed it: reckoned.
    let mut fast = flight.turn((100.0, 0.0)).but(bare);
    fast = fast.every(0.2).on(0.4).every(0.1).on(0.1);
    fast.fixes.iter_mut().for_each(bare);
    let film = Tour::new().fly(&fast);
    assert!((film.at(1.2).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
    assert!((film.at(1.4).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
    assert!((film.at(1.5).groundspeed.unwrap().get() - 100.0).abs() < 1e-6);
}

#[test]
fn a_repeated_position_is_an_old_one_sent_again() {
    let mut flight = Flight::eastward(0.0, 6.0).all(bare);
    flight.fixes[4].position = flight.fixes[3].position;
    let film = Tour::new().fly(&flight);
    assert!((film.at(4.0).groundspeed.unwrap().get() - 50.0).abs() < 1e-6, "held");
    // 100 m from second 3, when that position first came, to second 5.
    assert!((film.at(5.0).groundspeed.unwrap().get() - 50.0).abs() < 1e-6);
}

#[test]
fn but_for_no_longer_than_lost_after() {
    let mut flight = Flight::eastward(0.0, 3.0).all(bare);
    let still = flight.fixes[3].position;
    for _ in 0..7 {
        flight = flight.on(1.0).but(|fix| {
            bare(fix);
            fix.position = still;
        });
    }
    let film = Tour::new().fly(&flight);
    assert!((film.at(8.0).groundspeed.unwrap().get() - 50.0).abs() < 1e-6, "5 s after it came");
    assert_eq!(film.at(9.0).groundspeed.unwrap().get(), 0.0);
}

#[test]
fn heading_comes_from_the_source() {
    let flight = Flight::eastward(0.0, 3.0).all(|fix| fix.heading = heading(fix, 75.0));
    let film = Tour::new().fly(&flight);
    assert_eq!(film.at(2.0).heading.unwrap(), (DegreesTrue::of(75.0), HeadingFrom::Source));
    assert_eq!(film.at(2.0).track.unwrap().get(), 90.0);
}

#[test]
fn a_source_counts_no_longer_than_lost_after() {
    let flight = Flight::eastward(0.0, 2.0).but(|fix| fix.heading = heading(fix, 75.0)).on(8.0);
    let film = Tour::new().fly(&flight);
    assert_eq!(film.at(7.0).heading.unwrap(), (DegreesTrue::of(75.0), HeadingFrom::Source));
    assert_eq!(film.at(8.0).heading.unwrap(), (DegreesTrue::of(90.0), HeadingFrom::Track));
}

#[test]
fn a_magnetic_source_takes_its_own_variation_or_the_models() {
    let reading = |variation: Option<f64>| HeadingReading::Magnetic {
        degrees: DegreesTrue::of(80.0),
        variation: variation.map(Degrees::of),
    };
    let with = |variation: Option<f64>| {
        Flight::eastward(0.0, 1.0).all(|fix| {
            fix.heading = Some(SourceHeading { time: fix.time, reading: reading(variation) });
        })
    };
    let own = Tour::new().fly(&with(Some(-4.0)));
    assert_eq!(own.at(1.0).heading.unwrap().0.get(), 76.0);
    let model = Tour::new().fly(&with(None)).at(1.0).heading.unwrap().0.get();
    let declination = earth::magnetic::declination(at(50.0, 0.0), Some(metres(300.0)), START);
    assert!((model - 80.0 - declination.degrees.get()).abs() < 1e-3);
    assert!(declination.degrees.get().abs() > 0.5, "else this shows nothing");
}

#[test]
fn with_a_wind_the_heading_is_the_velocity_over_the_ground_less_the_winds() {
    let mut tour = Tour::new();
    // 50 m/s east over the ground in a wind of 20 m/s from the north: through the air 50 east and
    // 20 north, so the nose points 68.2°.
    tour.plan.wind = wind(0.0, 20.0);
    let (found, from) = tour.fly(&Flight::eastward(0.0, 2.0)).at(1.0).heading.unwrap();
    assert!((found.get() - 68.198_590_5).abs() < 1e-6, "{found:?}");
    assert_eq!(from, HeadingFrom::Wind);
}

#[test]
fn the_days_wind_stands_above_the_plans() {
    let mut tour = Tour::new();
    tour.plan.wind = wind(0.0, 20.0);
    tour.day.wind = wind(180.0, 20.0);
    let found = tour.fly(&Flight::eastward(0.0, 2.0)).at(1.0).heading.unwrap().0;
    assert!((found.get() - 111.801_409_5).abs() < 1e-6);
}

#[test]
fn in_a_hover_the_last_good_heading_is_held() {
    let mut tour = Tour::new();
    tour.plan.wind = wind(0.0, 20.0);
    let film = tour.fly(&Flight::eastward(0.0, 2.0).turn((2.0, 0.0)).on(2.0));
    let (found, from) = film.at(4.0).heading.unwrap();
    assert!((found.get() - 68.198_590_5).abs() < 1e-6);
    assert_eq!(from, HeadingFrom::Held);
}

#[test]
fn with_none_to_hold_the_heading_is_not_known() {
    let mut tour = Tour::new();
    tour.plan.wind = wind(0.0, 20.0);
    let film = tour.fly(&Flight::start(0.0, 0.0, (2.0, 0.0)).on(2.0));
    assert_eq!(film.at(2.0).heading, None);
}

#[test]
fn drifting_with_the_wind_the_heading_is_held_too() {
    let mut tour = Tour::new();
    tour.plan.wind = wind(270.0, 20.0);
    let film = tour.fly(&Flight::start(0.0, 0.0, (0.0, 50.0)).on(2.0).turn((22.0, 0.0)).on(2.0));
    let (found, from) = film.at(4.0).heading.unwrap();
    assert!((found.get() - 338.198_590_5).abs() < 1e-6, "{found:?}");
    assert_eq!(from, HeadingFrom::Held);
}

#[test]
fn without_source_and_wind_the_track_stands_in() {
    let film = Tour::new().fly(&Flight::eastward(0.0, 2.0));
    assert_eq!(film.at(1.0).heading.unwrap(), (DegreesTrue::of(90.0), HeadingFrom::Track));
    let said = |notice: &&engine::Notice| matches!(notice, engine::Notice::TrackStandsIn { .. });
    assert_eq!(film.notices.iter().filter(said).count(), 1);
}

#[test]
fn an_altitude_is_kept_for_lost_after() {
    let flight = Flight::eastward(0.0, 2.0).without_altitude().on(8.0);
    let film = Tour::new().fly(&flight);
    assert_eq!(film.at(7.0).altitude, Some(metres(300.0)));
    assert_eq!(film.at(8.0).altitude, None);
}

#[test]
fn a_window_runs_clockwise_with_both_ends_included() {
    let holds = |from: f64, to: f64, track: f64| {
        let mut tour = Tour::new();
        let title = tour.title();
        let window = Window { from: Degrees::of(from), to: Degrees::of(to), north: North::True };
        tour.rule(rule().when(Test::Track(window)).titles(title));
        let flight = Flight::eastward(0.0, 1.0).all(|fix| fix.track = Some(DegreesTrue::of(track)));
        tour.fly(&flight).at(0.0).title.is_some()
    };
    assert!(holds(320.0, 40.0, 0.0), "320..040 contains 000");
    assert!(holds(320.0, 40.0, 320.0) && holds(320.0, 40.0, 40.0), "both included");
    assert!(!holds(320.0, 40.0, 319.99) && !holds(320.0, 40.0, 40.01));
    assert!(!holds(320.0, 40.0, 180.0));
    assert!(holds(40.0, 320.0, 180.0) && !holds(40.0, 320.0, 0.0));
    assert!(holds(0.0, 360.0, 0.0) && holds(0.0, 360.0, 359.99), "every direction");
}

#[test]
fn a_window_may_be_magnetic() {
    let declination = earth::magnetic::declination(at(0.0, 0.0), Some(metres(300.0)), START);
    let east = declination.degrees.get();
    let holds = |track: f64| {
        let mut tour = Tour::new();
        let title = tour.title();
        let window =
            Window { from: Degrees::of(80.0), to: Degrees::of(100.0), north: North::Magnetic };
        tour.rule(rule().when(Test::Track(window)).titles(title));
        let flight = Flight::eastward(0.0, 1.0).all(|fix| fix.track = Some(DegreesTrue::of(track)));
        tour.fly(&flight).at(0.0).title.is_some()
    };
    // True is magnetic and the declination.
    assert!(holds(80.1 + east) && !holds(79.9 + east));
    assert!(holds(99.9 + east) && !holds(100.1 + east));
}

#[test]
fn heading_and_track_windows_are_two_things() {
    let mut tour = Tour::new();
    let (by_track, by_heading) = (tour.music(), tour.title());
    let window = Window { from: Degrees::of(70.0), to: Degrees::of(80.0), north: North::True };
    tour.rule(rule().when(Test::Track(window)).plays(by_track));
    tour.rule(rule().when(Test::Heading(window)).titles(by_heading));
    let flight = Flight::eastward(0.0, 3.0).all(|fix| fix.heading = heading(fix, 75.0));
    let film = tour.fly(&flight);
    assert_eq!((film.at(2.0).music, film.at(2.0).title), (None, Some(by_heading)));
}
