//! Lost and bad fixes, gaps and runs.

use engine::{Event, Gps, Notice, Rejection};
use plan::Hand;

use crate::reference::Film;
use crate::reference::build::*;

fn rejected(film: &Film) -> Vec<Rejection> {
    film.notices
        .iter()
        .filter_map(|notice| match notice {
            Notice::Rejected { why, .. } => Some(*why),
            _ => None,
        })
        .collect()
}

#[test]
fn a_fix_not_later_than_the_last_is_rejected_and_changes_nothing() {
    let tour = Tour::new();
    let mut flight = Flight::eastward(0.0, 5.0);
    let again = flight.fixes[5];
    flight.fixes.push(again);
    flight.fixes.push(flight.fixes[3]);
    let film = tour.fly(&flight.on(5.0));
    assert_eq!(rejected(&film), [Rejection::NotLater, Rejection::NotLater]);
    assert_eq!(film.states.len(), 11);
}

#[test]
fn a_fix_that_needs_more_than_the_greatest_speed_is_rejected() {
    let tour = Tour::new();
    // 250 kt are 128.6 m/s: in one second 128.6 m and the 30 m that are not counted.
    let jump = |metres: f64| {
        Flight::eastward(0.0, 5.0).but(|fix| fix.position = at(200.0 + metres, 0.0)).on(1.0)
    };
    assert!(rejected(&tour.fly(&jump(158.0))).is_empty());
    assert_eq!(rejected(&tour.fly(&jump(159.0))), [Rejection::TooFast]);
}

#[test]
fn a_fix_more_than_half_an_hour_later_is_rejected() {
    let tour = Tour::new();
    let film = tour.fly(&Flight::eastward(0.0, 5.0).silent(1800.0));
    assert!(rejected(&film).is_empty());
    let film = tour.fly(&Flight::eastward(0.0, 5.0).silent(1800.001));
    assert_eq!(rejected(&film), [Rejection::TooLate]);
}

#[test]
fn speed_is_not_asked_after_a_gap() {
    let tour = Tour::new();
    let far = Flight::eastward(0.0, 5.0).silent(15.001).but(|fix| fix.position = at(90e3, 0.0));
    assert!(rejected(&tour.fly(&far)).is_empty());
    let far = Flight::eastward(0.0, 5.0).silent(15.0).but(|fix| fix.position = at(90e3, 0.0));
    assert_eq!(rejected(&tour.fly(&far)), [Rejection::TooFast]);
}

/// Five good fixes, then the aircraft is suddenly 20 km away and flies on there.
fn displaced(seconds: f64) -> Flight {
    let mut flight = Flight::eastward(0.0, 5.0);
    flight.east += 20_000.0;
    flight.on(seconds)
}

#[test]
fn three_rejected_in_a_row_that_agree_are_believed_as_after_a_gap() {
    let mut tour = Tour::new();
    tour.circle(20_400.0, 0.0, 200.0);
    let film = tour.fly(&displaced(2.0));
    assert_eq!(rejected(&film).len(), 2);
    let film = tour.fly(&displaced(5.0));
    assert_eq!(rejected(&film).len(), 2);
    assert!(film.notices.contains(&Notice::Believed { time: START + secs(8.0), new_run: false }));
    assert_eq!(film.at(8.0).gps, Gps::Gap);
    assert_eq!(film.at(9.0).gps, Gps::Good);
    assert_eq!(film.when(|event| matches!(event, Event::Entered { .. })), [8.0]);
}

#[test]
fn three_rejected_that_do_not_agree_are_not_believed() {
    let tour = Tour::new();
    let mut flight = Flight::eastward(0.0, 5.0);
    for (index, east) in [20e3, 40e3, 60e3, 80e3].iter().enumerate() {
        flight = flight.on(1.0).but(|fix| fix.position = at(*east, 0.0));
        assert_eq!(flight.fixes.len(), 7 + index);
    }
    assert_eq!(rejected(&tour.fly(&flight)).len(), 4);
}

#[test]
fn a_good_fix_between_breaks_the_row() {
    let tour = Tour::new();
    let mut flight = Flight::eastward(0.0, 5.0);
    for index in 0..6 {
        flight = flight.on(1.0);
        if index % 3 != 2 {
            flight = flight.but(|fix| fix.position = at(30e3, 0.0));
        }
    }
    let film = tour.fly(&flight);
    assert_eq!(rejected(&film).len(), 4);
    assert_eq!(film.at(8.0).gps, Gps::Good);
}

/// Flies, then the clock steps back.
fn step_back(seconds: f64, then: f64) -> Flight {
    let mut flight = Flight::eastward(0.0, 200.0);
    let more = Flight::start(flight.east, 0.0, (50.0, 0.0)).on(then);
    for mut fix in more.fixes {
        fix.time = fix.time + secs(200.0 - seconds);
        flight.fixes.push(fix);
    }
    flight
}

#[test]
fn a_small_step_back_in_time_is_waited_out() {
    let tour = Tour::new();
    let film = tour.fly(&step_back(30.0, 40.0));
    // 170 to 200 are rejected, 201 to 210 are good.
    assert_eq!(rejected(&film).len(), 31);
    assert!(film.states.iter().all(|row| row.run == 1));
    assert_eq!(film.states.len(), 201 + 10);
}

#[test]
fn a_great_step_back_in_time_is_a_new_run() {
    let tour = Tour::new();
    let film = tour.fly(&step_back(100.0, 40.0));
    assert_eq!(rejected(&film).len(), 2);
    assert!(film.notices.contains(&Notice::Believed { time: START + secs(102.0), new_run: true }));
    assert_eq!(film.states.last().unwrap().run, 2);
    assert_eq!(film.states.len(), 201 + 39);
}

#[test]
fn half_an_hour_after_the_last_fix_the_run_is_over_and_another_begins() {
    let mut tour = Tour::new();
    let title = tour.title();
    tour.rule(rule().records().titles(title));
    let film = tour.fly(&Flight::eastward(0.0, 5.0).silent(2000.0).on(5.0));
    assert_eq!(rejected(&film), [Rejection::TooLate, Rejection::TooLate]);
    assert_eq!(film.when(|event| matches!(event, Event::RunEnded)), [1805.0, 2010.0]);
    assert_eq!(film.when(|event| matches!(event, Event::RunBegan)), [0.0, 2007.0]);
    assert_eq!(film.at(2007.0).run, 2);
    assert_eq!(film.at(2007.0).gps, Gps::First);
    assert_eq!(film.at(2007.0).since_first, secs(0.0));
}

#[test]
fn a_run_begins_with_voice_on_and_radio_clear() {
    let tour = Tour::new();
    let flight = Flight::eastward(0.0, 5.0).silent(2000.0).on(5.0);
    let film = tour.fly_with(&flight, &[(1.0, Hand::VoiceOff), (2.0, Hand::RadioBusy)]);
    assert!(!film.at(5.0).voice_on && film.at(5.0).radio_busy);
    assert!(film.at(2007.0).voice_on && !film.at(2007.0).radio_busy);
}

#[test]
fn the_last_fix_ends_the_run_and_what_is_due_later_does_not_happen() {
    let mut tour = Tour::new();
    let (narration, music) = (tour.narration(20.0), tour.music());
    tour.rule(rule().says(narration).plays(music).records());
    let film = tour.fly(&Flight::eastward(0.0, 15.0));
    let last: Vec<&Event> = film
        .changes
        .iter()
        .filter(|change| change.effect == START + secs(15.0))
        .map(|change| &change.event)
        .collect();
    assert!(last.iter().any(|event| matches!(event, Event::RunEnded)));
    assert!(last.iter().any(|event| matches!(event, Event::RecordOff { .. })));
    assert!(last.iter().any(|event| matches!(event, Event::Music { to: None, .. })));
    assert!(last.iter().any(|event| matches!(
        event,
        Event::Narration {
            what: engine::NarrationEvent::CutOff { by: engine::Cut::RunEnded, .. },
            ..
        }
    )));
    assert!(film.changes.iter().all(|change| change.effect <= START + secs(15.0)));
}

#[test]
fn at_the_end_of_a_run_no_zone_is_left() {
    let mut tour = Tour::new();
    tour.circle(0.0, 0.0, 5000.0);
    let film = tour.fly(&Flight::eastward(0.0, 15.0));
    assert!(film.when(|event| matches!(event, Event::Left { .. })).is_empty());
}

#[test]
fn hand_actions_after_the_last_fix_do_not_happen() {
    let tour = Tour::new();
    let film = tour.fly_with(&Flight::eastward(0.0, 5.0), &[(6.0, Hand::Camera(TAIL))]);
    assert!(film.cuts().iter().all(|(_, camera)| *camera != TAIL));
    let time = START + secs(6.0);
    assert!(film.notices.contains(&Notice::HandAfterEnd { time, action: Hand::Camera(TAIL) }));
}

#[test]
fn a_flight_with_long_intervals_raises_lost_after_and_bridge() {
    use crate::reference::fixes::{Limits, usual_interval};
    let flight = Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(100.0);
    assert_eq!(usual_interval(&flight.fixes), Some(10_000));
    let raised = Limits::for_recorded(&plan::Settings::default(), &flight.fixes);
    assert_eq!((raised.lost_after, raised.bridge), (30_000, 30_000));
    let quick = Flight::eastward(0.0, 100.0);
    let same = Limits::for_recorded(&plan::Settings::default(), &quick.fixes);
    assert_eq!((same.lost_after, same.bridge), (5_000, 15_000));
    let real = engine::Limits::of(&plan::Settings::default()).raised_for(secs(10.0));
    assert_eq!((real.lost_after, real.bridge), (secs(30.0), secs(30.0)));
    let real = engine::Limits::of(&plan::Settings::default()).raised_for(secs(4.0));
    assert_eq!((real.lost_after, real.bridge), (secs(12.0), secs(15.0)));
}

#[test]
fn of_two_middle_intervals_the_lesser_is_usual() {
    use crate::reference::fixes::usual_interval;
    let flight = Flight::eastward(0.0, 2.0).every(9.0).on(18.0);
    assert_eq!(usual_interval(&flight.fixes), Some(1_000));
}
