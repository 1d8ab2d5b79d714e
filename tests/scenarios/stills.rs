//! Stills.

use engine::{Event, HandOutcome, StillWhy};
use plan::{Hand, HandFilming, StillMoment, Test};

use crate::reference::build::*;

/// A tour that takes a still in a circle entered at second 11, left at 31.
fn inside(moment: StillMoment) -> Tour {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(zone)).takes_still_by(NOSE, moment));
    tour
}

fn eastward() -> Flight {
    Flight::eastward(0.0, 60.0)
}

#[test]
fn a_still_when_the_rule_becomes_active() {
    assert_eq!(inside(StillMoment::Start).fly(&eastward()).stills(), [(11.0, NOSE)]);
}

#[test]
fn every_so_often_from_then_on_at_its_own_times() {
    let film = inside(StillMoment::Every(secs(7.5))).fly(&eastward());
    assert_eq!(film.stills(), [(11.0, NOSE), (18.5, NOSE), (26.0, NOSE)]);
}

#[test]
fn one_due_as_the_rule_ends_is_not_taken() {
    let film = inside(StillMoment::Every(secs(10.0))).fly(&eastward());
    assert_eq!(film.stills(), [(11.0, NOSE), (21.0, NOSE)], "not at 31");
}

/// A still at the point closest to a sight 100 m beside the way at 1010 m.
fn closest(radius: f64) -> Tour {
    let mut tour = Tour::new();
    let sight = tour.sight(1010.0, 100.0);
    let zone = tour.circle(1000.0, 0.0, radius);
    let moment = StillMoment::Closest(sight);
    tour.rule(rule().when(Test::In(zone)).takes_still_by(NOSE, moment));
    tour
}

#[test]
fn at_the_closest_point_once_the_distance_has_grown_by_25_metres() {
    let film = closest(480.0).fly(&eastward());
    // Closest at 1010 m, second 20.2. Then 140 m away at 23 s, but 123 m already at ... 22 s:
    // the way is 90 m past, 134.5 m away.
    let stills = film.all(|event| matches!(event, Event::Still { .. }));
    assert_eq!(stills.len(), 1);
    assert_eq!(stills[0].effect, START + secs(22.0));
    let own = (stills[0].own.unwrap() - START).secs();
    assert!((own - 20.2).abs() < 0.021, "{own}");
    let off = crate::reference::ground::distance(stills[0].position, at(1010.0, 0.0));
    assert!(off < 1.0, "{off}");
}

#[test]
fn or_when_the_rule_ends() {
    let mut tour = closest(480.0);
    tour.margin(plan::ZoneId(0), 0.0);
    // The sight is ahead all the time: the least is at the exit, 480 m past the middle.
    tour.plan.places[1].position = at(3000.0, 100.0);
    let film = tour.fly(&eastward());
    let stills = film.all(|event| matches!(event, Event::Still { .. }));
    assert_eq!(stills.len(), 1);
    assert_eq!(stills[0].effect, START + secs(30.0));
    let own = (stills[0].own.unwrap() - START).secs();
    assert!((own - 29.6).abs() < 0.021, "{own}");
}

#[test]
fn from_the_crossing_that_made_the_rule_active() {
    let mut tour = closest(480.0);
    // The sight lies behind: the least is at the entry, 520 m on, second 10.4.
    tour.plan.places[1].position = at(0.0, 100.0);
    let film = tour.fly(&eastward());
    let still = film.all(|event| matches!(event, Event::Still { .. }))[0];
    assert_eq!(still.effect, START + secs(11.0));
    let own = (still.own.unwrap() - START).secs();
    assert!((own - 10.4).abs() < 0.021, "{own}");
}

#[test]
fn once_each_time() {
    let flight = Flight::eastward(0.0, 40.0).turn((-50.0, 0.0)).on(40.0);
    assert_eq!(closest(480.0).fly(&flight).stills().len(), 2);
}

#[test]
fn by_the_camera_named_else_the_one_live_once_the_instant_is_settled() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 430.0);
    tour.plan.settings.minimum_shot = secs(0.0);
    tour.rule(rule().when(Test::In(zone)).shows(TAIL).takes_still(StillMoment::Start));
    assert_eq!(tour.fly(&eastward()).stills(), [(12.0, TAIL)]);
}

#[test]
fn none_by_one_out_of_service_or_not_allowed() {
    let mut tour = inside(StillMoment::Start);
    tour.day.out_of_service = vec![NOSE];
    assert!(tour.fly(&eastward()).stills().is_empty());
    let mut tour = inside(StillMoment::Start);
    tour.day.not_allowed = vec![NOSE];
    assert!(tour.fly(&eastward()).stills().is_empty());
}

#[test]
fn by_hand_by_the_one_live() {
    let film = Tour::new().fly_with(&eastward(), &[(7.3, Hand::Still)]);
    assert_eq!(film.stills(), [(7.3, RIGHT)]);
    let why = Event::Still { camera: RIGHT, why: StillWhy::Hand };
    assert_eq!(film.all(|event| *event == why).len(), 1);
    assert_eq!(film.at(8.0).stills, [RIGHT]);
    assert!(film.at(9.0).stills.is_empty());
}

#[test]
fn none_in_a_no_filming_zone() {
    let mut tour = inside(StillMoment::Every(secs(7.5)));
    let zone = tour.circle(1000.0, 0.0, 210.0);
    tour.no_filming(zone, HandFilming::Refused);
    // Inside from 790 m, second 16, until 1260 m, second 26.
    let film = tour.fly_with(&eastward(), &[(20.0, Hand::Still)]);
    let times: Vec<f64> = film.stills().iter().map(|still| still.0).collect();
    assert!(times.contains(&11.0) && !times.contains(&18.5) && !times.contains(&20.0));
    let refused =
        film.all(|event| matches!(event, Event::Hand { outcome: HandOutcome::NoFilming(_), .. }));
    assert_eq!(refused.len(), 1);
}

#[test]
fn nor_one_whose_closest_point_was_inside() {
    let mut tour = closest(480.0);
    let zone = tour.circle(1000.0, 0.0, 30.0);
    tour.margin(zone, 0.0);
    tour.no_filming(zone, HandFilming::Refused);
    // Out of it again at 1030 m; the closest point, 1010 m, was inside.
    assert!(tour.fly(&eastward()).stills().is_empty());
}
