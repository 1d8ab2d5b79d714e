//! What a loss of GPS does.

use engine::{CameraWhy, Event, Gps, NarrationEvent};
use plan::{Hand, OnRadio, StillMoment, Test};

use crate::reference::Film;
use crate::reference::build::*;

/// Ten seconds of fixes, a silence, and ten more.
fn silence(seconds: f64) -> Flight {
    Flight::eastward(0.0, 10.0).silent(seconds).on(10.0)
}

fn lost(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::GpsLost))
}

fn back(film: &Film) -> Vec<f64> {
    film.when(|event| matches!(event, Event::GpsBack { .. }))
}

#[test]
fn gps_is_lost_from_the_last_good_fix_and_lost_after_until_the_next() {
    let film = Tour::new().fly(&silence(8.0));
    assert_eq!((lost(&film), back(&film)), (vec![15.0], vec![18.0]));
    assert_eq!(film.at(18.0).gps, Gps::Back);
}

#[test]
fn a_fix_exactly_at_lost_after_is_in_time() {
    let film = Tour::new().fly(&silence(5.0));
    assert!(lost(&film).is_empty());
    assert_eq!(film.at(15.0).gps, Gps::Good);
    assert_eq!(lost(&Tour::new().fly(&silence(5.001))), [15.0]);
}

#[test]
fn a_gap_is_more_than_the_bridge() {
    assert_eq!(Tour::new().fly(&silence(15.0)).at(25.0).gps, Gps::Back);
    let film = Tour::new().fly(&silence(15.001));
    assert_eq!(film.at(25.001).gps, Gps::Gap);
    assert_eq!(film.all(|event| matches!(event, Event::GpsBack { gap: true })).len(), 1);
}

#[test]
fn a_zone_crossed_while_lost_within_the_bridge_was_crossed() {
    let mut tour = Tour::new();
    tour.circle(700.0, 0.0, 60.0);
    let film = tour.fly(&silence(12.0));
    let entered = film.all(|event| matches!(event, Event::Entered { .. }))[0];
    assert_eq!(entered.effect, START + secs(22.0));
    let own = (entered.own.unwrap() - START).secs();
    assert!((own - 12.8).abs() < 0.021, "{own}");
    assert_eq!(film.when(|event| matches!(event, Event::Left { .. })), [22.0]);
}

#[test]
fn over_a_gap_no_crossing_is_invented_and_no_gate_crossed() {
    let mut tour = Tour::new();
    tour.circle(700.0, 0.0, 60.0);
    tour.gate(800.0, plan::Side::Either);
    let film = tour.fly(&silence(16.0));
    assert!(film.when(|event| matches!(event, Event::Entered { .. })).is_empty());
    assert!(film.when(|event| matches!(event, Event::Crossed { .. })).is_empty());
}

#[test]
fn after_a_gap_memberships_are_compared() {
    let mut tour = Tour::new();
    let was = tour.circle(300.0, 0.0, 300.0);
    let stays = tour.circle(600.0, 0.0, 1500.0);
    let comes = tour.circle(1400.0, 0.0, 200.0);
    let film = tour.fly(&silence(16.0));
    let at_26: Vec<Event> = film
        .changes
        .iter()
        .filter(|change| change.effect == START + secs(26.0))
        .map(|change| change.event)
        .filter(|event| matches!(event, Event::Entered { .. } | Event::Left { .. }))
        .collect();
    assert_eq!(at_26, [Event::Entered { zone: comes, pass: 1 }, Event::Left { zone: was }]);
    assert_eq!(film.at(26.0).zones, [stays, comes]);
}

#[test]
fn after_a_gap_the_margin_counts_for_what_it_was_in() {
    let mut tour = Tour::new();
    // 1300 m east at second 26; the edge is at 1260 m.
    let zone = tour.circle(0.0, 0.0, 1260.0);
    let film = tour.fly(&silence(16.0));
    assert_eq!(film.at(26.0).zones, [zone]);
    tour.margin(zone, 30.0);
    assert!(tour.fly(&silence(16.0)).at(26.0).zones.is_empty());
}

#[test]
fn no_rule_starts_or_ends_while_lost() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 560.0);
    let music = tour.music();
    tour.rule(rule().when(Test::In(zone)).plays(music));
    let film = tour.fly(&silence(10.0));
    // It left the zone within the loss; the music stops at the next good fix.
    assert_eq!(
        film.when(|event| matches!(event, Event::Music { to: None, .. })),
        [20.0, 30.0][..1]
    );
}

#[test]
fn the_rule_keeps_camera_and_title_for_the_shot_hold() {
    let mut tour = Tour::new();
    tour.plan.settings.bridge = secs(60.0);
    let title = tour.title();
    let holds = tour.rule(rule().shows(TAIL).titles(title));
    let film = tour.fly(&silence(30.0));
    // Lost at 15, held until 25, then the default sequence: left 25, right 30, nose 35. The tail
    // comes back at 40.
    assert_eq!(film.cuts(), [(0.0, TAIL), (25.0, LEFT), (30.0, RIGHT), (35.0, NOSE), (40.0, TAIL)]);
    assert_eq!(film.titles(), [(0.0, Some(title)), (25.0, None), (40.0, Some(title))]);
    let why: Vec<CameraWhy> = film
        .changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Camera { why, .. } => Some(why),
            _ => None,
        })
        .collect();
    assert_eq!(why[0], CameraWhy::Rule(holds));
    assert_eq!(why[1], CameraWhy::Lost);
}

#[test]
fn turns_go_on_in_the_shot_hold() {
    let mut tour = Tour::new();
    tour.rule(rule().shows_in_turn(&[(LEFT, 6.0), (RIGHT, 6.0)]));
    let film = tour.fly(&silence(14.0));
    assert_eq!(
        film.cuts(),
        [(0.0, LEFT), (6.0, RIGHT), (12.0, LEFT), (18.0, RIGHT), (24.0, LEFT), (30.0, RIGHT)]
    );
}

#[test]
fn a_short_loss_changes_nothing_on_the_picture() {
    let mut tour = Tour::new();
    tour.rule(rule().shows(TAIL));
    assert_eq!(tour.fly(&silence(14.0)).cuts(), [(0.0, TAIL)]);
}

#[test]
fn record_and_music_stay_as_they_are() {
    let mut tour = Tour::new();
    let music = tour.music();
    tour.rule(rule().records().plays(music));
    let film = tour.fly(&silence(600.0));
    assert_eq!(film.takes(), [(0.0, true), (620.0, false)]);
    assert_eq!(film.at(610.0).music, Some(music));
}

#[test]
fn a_post_roll_that_ends_in_a_loss_ends_at_the_next_good_fix() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 440.0);
    tour.rule(rule().when(Test::In(zone)).records_with_post_roll(7.0));
    // The rule ends at the fix of second 10; the post-roll would end at 17.
    assert_eq!(tour.fly(&silence(12.0)).takes(), [(0.0, true), (22.0, false)]);
    assert_eq!(tour.fly(&silence(4.0)).takes(), [(0.0, true), (17.0, false)]);
}

#[test]
fn a_narration_playing_finishes_and_none_starts() {
    let mut tour = Tour::new();
    let (first, second) = (tour.narration(16.0), tour.narration(5.0));
    tour.rule(rule().says(first));
    tour.rule(rule().says(second));
    let film = tour.fly(&silence(12.0));
    assert!(film.spoken().contains(&(16.0, first, NarrationEvent::Ended)));
    assert!(film.spoken().contains(&(22.0, second, NarrationEvent::Started)));
}

#[test]
fn waits_run_down_while_lost() {
    let mut tour = Tour::new();
    let (first, second) = (tour.narration(16.0), tour.narration(5.0));
    tour.rule(rule().says(first));
    tour.rule(rule().says_within(second, 20.0));
    let film = tour.fly(&silence(12.0));
    let given_up = NarrationEvent::GivenUp(engine::GivenUp::WaitedLongEnough);
    assert!(film.spoken().contains(&(20.0, second, given_up)));
}

#[test]
fn a_paused_one_may_go_on_while_lost() {
    let mut tour = Tour::new();
    let narration = tour.narration(30.0);
    tour.on_radio(narration, OnRadio::Paused);
    tour.rule(rule().says(narration));
    let film = tour.fly_with(&silence(12.0), &[(8.0, Hand::RadioBusy), (17.0, Hand::RadioClear)]);
    assert!(film.spoken().contains(&(17.0, narration, NarrationEvent::WentOn)));
}

#[test]
fn stills_due_by_time_are_left_out() {
    let mut tour = Tour::new();
    tour.rule(rule().takes_still_by(NOSE, StillMoment::Every(secs(4.0))));
    let times: Vec<f64> = tour.fly(&silence(12.0)).stills().iter().map(|still| still.0).collect();
    assert_eq!(times, [0.0, 4.0, 8.0, 12.0, 24.0, 28.0, 32.0]);
}

#[test]
fn the_hand_works_as_always() {
    let film = Tour::new().fly_with(
        &silence(12.0),
        &[(16.0, Hand::Camera(LEFT)), (17.0, Hand::RecordOn), (18.0, Hand::Still)],
    );
    assert!(film.cuts().contains(&(16.0, LEFT)));
    assert_eq!(film.takes()[0], (17.0, true));
    assert_eq!(film.stills(), [(18.0, LEFT)]);
}

#[test]
fn look_at_keeps_its_camera_in_the_shot_hold() {
    let mut tour = Tour::new();
    let sight = tour.sight(0.0, 3000.0);
    tour.rule(rule().looks_at(sight, &[LEFT, TAIL]));
    assert_eq!(tour.fly(&silence(14.0)).cuts(), [(0.0, LEFT)]);
}

#[test]
fn a_rule_whose_condition_is_not_known_stays_as_it_was() {
    let mut tour = Tour::new();
    let (music, title) = (tour.music(), tour.title());
    let slow = plan::SpeedBand { from: None, to: Some(earth::MetresPerSecond::of(60.0)) };
    tour.rule(rule().when(Test::Groundspeed(slow)).plays(music));
    let low = plan::AltitudeBand { from: None, to: Some(metres(400.0)) };
    tour.rule(rule().when(Test::Altitude(low)).titles(title));
    // After the gap neither speed nor altitude is known.
    let flight = Flight::eastward(0.0, 10.0).silent(16.0).but(|fix| {
        fix.groundspeed = None;
        fix.track = None;
        fix.altitude = None;
    });
    let film = tour.fly(&flight);
    assert_eq!((film.at(26.0).groundspeed, film.at(26.0).altitude), (None, None));
    assert_eq!((film.at(26.0).music, film.at(26.0).title), (Some(music), Some(title)));
}

#[test]
fn but_another_condition_that_fails_ends_it() {
    let mut tour = Tour::new();
    let title = tour.title();
    let zone = tour.circle(0.0, 0.0, 600.0);
    let low = plan::AltitudeBand { from: None, to: Some(metres(400.0)) };
    tour.rule(rule().when(Test::Altitude(low)).when(Test::In(zone)).titles(title));
    let flight = Flight::eastward(0.0, 10.0).silent(16.0).but(|fix| fix.altitude = None);
    assert_eq!(tour.fly(&flight).at(26.0).title, None);
}

#[test]
fn what_is_not_known_does_not_start_a_rule() {
    let mut tour = Tour::new();
    let title = tour.title();
    let low = plan::AltitudeBand { from: None, to: Some(metres(400.0)) };
    tour.rule(rule().when(Test::Altitude(low)).titles(title));
    let blind = Flight::eastward(0.0, 10.0).all(|fix| fix.altitude = None);
    assert!(tour.fly(&blind).titles().is_empty());
}
