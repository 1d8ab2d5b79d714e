//! The camera.

use earth::Degrees;
use engine::{CameraWhy, Event, HandOutcome};
use plan::{Hand, ManualCamera, Test};

use crate::reference::Film;
use crate::reference::build::*;

fn outcomes(film: &Film) -> Vec<HandOutcome> {
    film.changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Hand { outcome, .. } => Some(outcome),
            _ => None,
        })
        .collect()
}

/// A tour with a rule that shows a camera within a circle entered at second 11, left at 31.
fn inside(camera: plan::CameraId) -> Tour {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(zone)).shows(camera));
    tour
}

#[test]
fn with_no_rule_the_default_sequence_runs_over_all_cameras_in_order() {
    let film = Tour::new().fly(&Flight::eastward(0.0, 22.0));
    assert_eq!(film.cuts(), [(0.0, LEFT), (5.0, RIGHT), (10.0, NOSE), (15.0, TAIL), (20.0, LEFT)]);
    assert_eq!(film.at(3.0).camera_why, CameraWhy::DefaultSequence);
}

#[test]
fn a_rule_shows_one_camera() {
    let film = inside(TAIL).fly(&Flight::eastward(0.0, 20.0));
    // The nose went live at 10: its shot lasts three seconds.
    assert_eq!(film.cuts(), [(0.0, LEFT), (5.0, RIGHT), (10.0, NOSE), (13.0, TAIL)]);
    assert_eq!(film.at(12.0).camera_next, Some(TAIL));
}

#[test]
fn a_change_waits_for_the_minimum_shot_then_the_camera_wanted_at_that_moment_is_taken() {
    let mut tour = inside(TAIL);
    let short = tour.circle(580.0, 0.0, 30.0);
    tour.margin(short, 0.0);
    // Only from 550 to 610 m: at second 11 and 12 it wants the right camera, then the tail again.
    tour.rule(rule().priority(5).when(Test::In(short)).shows(RIGHT));
    let film = tour.fly(&Flight::eastward(0.0, 20.0));
    assert_eq!(film.cuts().last(), Some(&(13.0, TAIL)));
}

#[test]
fn a_camera_wanted_again_while_live_is_no_change_its_shot_goes_on() {
    let film = inside(NOSE).fly(&Flight::eastward(0.0, 40.0));
    // The nose is live from 10 and stays; at 31 the default sequence begins with the left camera.
    assert_eq!(film.cuts()[2..], [(10.0, NOSE), (31.0, LEFT), (36.0, RIGHT)]);
}

#[test]
fn cameras_in_turn_each_for_its_time() {
    let mut tour = Tour::new();
    tour.rule(rule().shows_in_turn(&[(TAIL, 4.0), (NOSE, 6.5)]));
    let film = tour.fly(&Flight::eastward(0.0, 16.0));
    assert_eq!(film.cuts(), [(0.0, TAIL), (4.0, NOSE), (10.5, TAIL), (14.5, NOSE)]);
}

#[test]
fn whoever_gets_the_channel_again_starts_with_its_first_camera() {
    let film = inside(TAIL).fly(&Flight::eastward(0.0, 48.0));
    let after: Vec<_> = film.cuts().into_iter().filter(|(time, _)| *time >= 30.0).collect();
    assert_eq!(after, [(31.0, LEFT), (36.0, RIGHT), (41.0, NOSE), (46.0, TAIL)]);
}

#[test]
fn a_turn_counts_from_when_its_camera_goes_live() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(zone)).shows_in_turn(&[(TAIL, 4.0), (LEFT, 4.0)]));
    // The nose goes live at 10, the rule has the channel from 11, the tail is live from 13.
    let film = tour.fly(&Flight::eastward(0.0, 20.0));
    assert_eq!(film.cuts()[2..], [(10.0, NOSE), (13.0, TAIL), (17.0, LEFT)]);
}

#[test]
fn or_if_it_is_live_already_from_when_its_turn_came() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(zone)).shows_in_turn(&[(NOSE, 4.0), (LEFT, 4.0)]));
    let film = tour.fly(&Flight::eastward(0.0, 20.0));
    assert_eq!(film.cuts()[2..], [(10.0, NOSE), (15.0, LEFT), (19.0, NOSE)]);
}

#[test]
fn a_turn_shorter_than_the_minimum_shot_waits_for_it() {
    let mut tour = Tour::new();
    tour.rule(rule().shows_in_turn(&[(TAIL, 2.0), (NOSE, 2.0)]));
    let film = tour.fly(&Flight::eastward(0.0, 10.0));
    assert_eq!(film.cuts(), [(0.0, TAIL), (3.0, NOSE), (6.0, TAIL), (9.0, NOSE)]);
}

#[test]
fn cameras_out_of_service_or_not_allowed_are_left_out_of_every_list() {
    let mut tour = Tour::new();
    tour.day.out_of_service = vec![RIGHT];
    tour.day.not_allowed = vec![NOSE];
    let film = tour.fly(&Flight::eastward(0.0, 11.0));
    assert_eq!(film.cuts(), [(0.0, LEFT), (5.0, TAIL), (10.0, LEFT)]);
}

#[test]
fn a_rule_left_with_none_yields_the_channel() {
    let mut tour = Tour::new();
    tour.day.out_of_service = vec![TAIL];
    tour.rule(rule().priority(3).shows(TAIL));
    tour.rule(rule().shows(NOSE));
    assert_eq!(tour.fly(&Flight::eastward(0.0, 9.0)).cuts(), [(0.0, NOSE)]);
}

#[test]
fn the_default_sequence_left_with_none_shows_none() {
    let mut tour = Tour::new();
    tour.day.out_of_service = vec![LEFT, RIGHT, NOSE, TAIL];
    let film = tour.fly(&Flight::eastward(0.0, 9.0));
    assert!(film.cuts().is_empty());
    assert_eq!((film.at(5.0).camera, film.at(5.0).camera_why), (None, CameraWhy::NoCamera));
}

#[test]
fn a_pick_by_hand_does_not_wait_the_change_after_it_does() {
    let mut tour = Tour::new();
    tour.plan.settings.manual_camera = ManualCamera::For(secs(2.0));
    let film = tour.fly_with(&Flight::eastward(0.0, 9.0), &[(1.0, Hand::Camera(TAIL))]);
    // It runs out at 3; the tail's shot lasts until 4; the default sequence starts afresh.
    assert_eq!(film.cuts(), [(0.0, LEFT), (1.0, TAIL), (4.0, LEFT), (9.0, RIGHT)]);
    assert_eq!(film.when(|event| matches!(event, Event::HandCameraEnded)), [3.0]);
}

#[test]
fn a_pick_by_hand_stays_for_the_time_the_route_sets_from_the_last_pick() {
    let film = Tour::new().fly_with(
        &Flight::eastward(0.0, 140.0),
        &[(1.0, Hand::Camera(TAIL)), (31.0, Hand::Camera(NOSE)), (61.0, Hand::Camera(NOSE))],
    );
    assert_eq!(film.cuts()[..4], [(0.0, LEFT), (1.0, TAIL), (31.0, NOSE), (121.0, LEFT)]);
}

#[test]
fn until_returned_may_be_said() {
    let mut tour = Tour::new();
    tour.plan.settings.manual_camera = ManualCamera::UntilReturned;
    let hands = [(1.0, Hand::Camera(TAIL)), (130.0, Hand::Automatic), (131.0, Hand::Automatic)];
    let film = tour.fly_with(&Flight::eastward(0.0, 140.0), &hands);
    assert_eq!(film.cuts()[..3], [(0.0, LEFT), (1.0, TAIL), (130.0, LEFT)]);
    assert_eq!(outcomes(&film), [HandOutcome::Done, HandOutcome::Done, HandOutcome::NoEffect]);
}

#[test]
fn a_pick_ends_at_landing() {
    let mut tour = Tour::new();
    tour.plan.settings.manual_camera = ManualCamera::UntilReturned;
    tour.home(500.0, 0.0);
    let flight = Flight::eastward(0.0, 10.0).turn((0.0, 0.0)).climb_to(1.0).on(20.0);
    let film = tour.fly_with(&flight, &[(1.0, Hand::Camera(TAIL))]);
    assert_eq!(film.cuts()[..3], [(0.0, LEFT), (1.0, TAIL), (20.0, LEFT)]);
}

#[test]
fn a_camera_out_of_service_or_not_allowed_is_refused_and_reported() {
    let mut tour = Tour::new();
    tour.day.out_of_service = vec![TAIL];
    tour.day.not_allowed = vec![NOSE];
    let hands = [(1.0, Hand::Camera(TAIL)), (2.0, Hand::Camera(NOSE))];
    let film = tour.fly_with(&Flight::eastward(0.0, 4.0), &hands);
    assert_eq!(outcomes(&film), [HandOutcome::OutOfService, HandOutcome::NotAllowed]);
    assert_eq!(film.cuts(), [(0.0, LEFT)]);
}

#[test]
fn a_sequence_is_the_same_whether_or_not_fixes_fall_in_between() {
    let mut tour = Tour::new();
    tour.rule(rule().shows_in_turn(&[(TAIL, 4.0), (NOSE, 6.5)]));
    let slow = Flight::start(0.0, 0.0, (50.0, 0.0)).every(4.9).on(19.6);
    assert_eq!(tour.fly(&slow).cuts()[..3], [(0.0, TAIL), (4.0, NOSE), (10.5, TAIL)]);
}

/// Looks at a sight 1000 m north of the way at 1000 m, flying east past it.
fn look(from: &[plan::CameraId]) -> Tour {
    let mut tour = Tour::new();
    let sight = tour.sight(1000.0, 1000.0);
    tour.plan.settings.minimum_shot = secs(0.0);
    tour.rule(rule().looks_at(sight, from));
    tour
}

#[test]
fn look_at_takes_the_camera_whose_frame_holds_the_sight() {
    // Frames of 90°: ahead within 45° until 0 m on, to the left from there, behind from 2000 m.
    let film =
        look(&[NOSE, LEFT, RIGHT, TAIL]).fly(&Flight::start(-1000.0, 0.0, (50.0, 0.0)).on(90.0));
    let cuts = film.cuts();
    assert_eq!(cuts[0], (0.0, NOSE));
    assert_eq!(cuts.iter().map(|cut| cut.1).collect::<Vec<_>>(), [NOSE, LEFT, TAIL]);
    assert!((20.0..=22.0).contains(&cuts[1].0), "{cuts:?}");
    assert!((60.0..=62.0).contains(&cuts[2].0), "{cuts:?}");
}

#[test]
fn another_must_be_more_than_five_degrees_nearer() {
    let mut tour = look(&[NOSE, LEFT]);
    for camera in &mut tour.plan.aircraft.cameras {
        camera.width = Degrees::of(170.0);
    }
    let film = tour.fly(&Flight::start(-1000.0, 0.0, (50.0, 0.0)).on(60.0));
    // 45° off both at 0 m, second 20; 5° nearer where the sight lies more than 47.5° aside:
    // 1000 / tan 47.5° = 916 m before it, 84 m on.
    assert_eq!(film.cuts(), [(0.0, NOSE), (22.0, LEFT)]);
}

#[test]
fn between_equals_the_first_named() {
    let mut tour = look(&[LEFT, NOSE]);
    for camera in &mut tour.plan.aircraft.cameras {
        camera.width = Degrees::of(170.0);
        camera.bearing = Degrees::of(315.0);
    }
    assert_eq!(tour.fly(&Flight::eastward(0.0, 3.0)).cuts(), [(0.0, LEFT)]);
}

#[test]
fn if_no_frame_holds_it_the_rule_yields() {
    let mut tour = look(&[RIGHT]);
    tour.rule(rule().priority(-1).shows(TAIL));
    assert_eq!(tour.fly(&Flight::eastward(0.0, 3.0)).cuts(), [(0.0, TAIL)]);
}

#[test]
fn if_the_heading_is_not_known_when_it_would_begin_the_rule_yields() {
    let mut tour = look(&[LEFT, RIGHT, NOSE, TAIL]);
    tour.rule(rule().priority(-1).shows(TAIL));
    let flight = Flight::eastward(0.0, 3.0).all(|fix| fix.track = None);
    let film = tour.fly(&flight);
    assert_eq!(film.cuts()[0], (0.0, TAIL));
    assert_ne!(film.at(1.0).camera, Some(TAIL));
}

#[test]
fn a_frame_has_a_height_where_it_is_known() {
    let shows = |depression: f64, height: Option<f64>| {
        let mut tour = look(&[LEFT]);
        let camera = &mut tour.plan.aircraft.cameras[0];
        camera.depression = Degrees::of(depression);
        camera.height = height.map(Degrees::of);
        tour.rule(rule().priority(-1).shows(TAIL));
        // Abeam the sight, 300 m above it and 1000 m away: 16.7° down.
        tour.fly(&Flight::start(1000.0, 0.0, (50.0, 0.0))).cuts()[0].1
    };
    assert_eq!(shows(0.0, None), LEFT);
    assert_eq!(shows(0.0, Some(33.0)), TAIL);
    assert_eq!(shows(0.0, Some(34.0)), LEFT);
    assert_eq!(shows(10.0, Some(20.0)), LEFT);
    assert_eq!(shows(-10.0, Some(20.0)), TAIL);
}

#[test]
fn the_nose_is_along_the_heading_not_the_track() {
    let tour = look(&[LEFT, NOSE]);
    // Abeam the sight, flown sideways: the nose points at it.
    let flight = Flight::start(1000.0, 0.0, (20.0, 0.0)).but(|fix| fix.heading = heading(fix, 0.0));
    assert_eq!(tour.fly(&flight).cuts(), [(0.0, NOSE)]);
}
