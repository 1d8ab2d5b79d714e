//! Recording and no-filming zones.

use engine::{Event, HandOutcome, RecordWhy, TakeTime};
use plan::{Hand, HandFilming, Test};

use crate::reference::Film;
use crate::reference::build::*;

/// A tour that records within a circle entered at second 11, left at 31, with a post-roll.
fn inside(post_roll: f64) -> Tour {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(zone)).records_with_post_roll(post_roll));
    tour
}

/// A tour that always records, with a no-filming circle entered at 11 (own 10.4), left at 31.
fn forbidden(by_hand: HandFilming) -> Tour {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.no_filming(zone, by_hand);
    tour.rule(rule().records());
    tour
}

fn outcomes(film: &Film) -> Vec<HandOutcome> {
    film.changes
        .iter()
        .filter_map(|change| match change.event {
            Event::Hand { outcome, .. } => Some(outcome),
            _ => None,
        })
        .collect()
}

/// What was filmed inside: from, to, by hand.
fn filmed(film: &Film) -> Vec<(f64, f64, bool)> {
    let since = |time: earth::Utc| ((time - START).secs() * 10.0).round() / 10.0;
    film.changes
        .iter()
        .filter_map(|change| match change.event {
            Event::FilmedInside { from, to, by_hand, .. } => {
                Some((since(from), since(to), by_hand))
            }
            _ => None,
        })
        .collect()
}

fn eastward() -> Flight {
    Flight::eastward(0.0, 50.0)
}

#[test]
fn recording_is_on_while_the_rule_is() {
    assert_eq!(inside(0.0).fly(&eastward()).takes(), [(11.0, true), (31.0, false)]);
}

#[test]
fn it_runs_on_for_the_rules_post_roll() {
    assert_eq!(inside(4.5).fly(&eastward()).takes(), [(11.0, true), (35.5, false)]);
}

#[test]
fn a_rule_that_says_off_ends_it_at_once() {
    let mut tour = inside(10.0);
    let off = tour.circle(1800.0, 0.0, 190.0);
    tour.rule(rule().when(Test::In(off)).stops_recording());
    // Off from 1610 m, second 33.
    assert_eq!(tour.fly(&eastward()).takes(), [(11.0, true), (33.0, false)]);
}

#[test]
fn no_post_roll_where_another_rule_speaks() {
    let mut tour = inside(10.0);
    tour.rule(rule().priority(-1).stops_recording());
    assert_eq!(tour.fly(&eastward()).takes(), [(11.0, true), (31.0, false)]);
}

#[test]
fn another_rule_that_records_goes_on_with_the_take() {
    let mut tour = inside(10.0);
    let on = tour.circle(1800.0, 0.0, 190.0);
    tour.rule(rule().when(Test::In(on)).records());
    // 1800 + 190 + 50 m are passed at 40.8.
    assert_eq!(tour.fly(&eastward()).takes(), [(11.0, true), (41.0, false)]);
}

#[test]
fn it_records_only_while_airborne() {
    let mut tour = Tour::new();
    tour.rule(rule().records_with_post_roll(5.0));
    tour.home(500.0, 0.0);
    let flight = Flight::eastward(0.0, 10.0).turn((0.0, 0.0)).climb_to(1.0).on(30.0);
    let film = tour.fly(&flight);
    assert_eq!(film.takes(), [(0.0, true), (20.0, false)]);
    let why = film.all(|event| matches!(event, Event::RecordOff { why: RecordWhy::OnGround }));
    assert_eq!(why.len(), 1);
    assert!(tour.fly(&Flight::parked(0.0, 0.0).on(10.0)).takes().is_empty());
}

#[test]
fn unless_the_rule_names_the_ground() {
    let mut tour = Tour::new();
    tour.rule(rule().records_on_ground());
    assert_eq!(tour.fly(&Flight::parked(0.0, 0.0).on(10.0)).takes(), [(0.0, true), (10.0, false)]);
}

#[test]
fn landing_ends_a_post_roll() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 420.0);
    tour.rule(rule().when(Test::In(zone)).records_with_post_roll(600.0));
    tour.home(500.0, 0.0);
    let flight = Flight::eastward(0.0, 10.0).turn((0.0, 0.0)).climb_to(1.0).on(30.0);
    assert_eq!(tour.fly(&flight).takes(), [(0.0, true), (20.0, false)]);
}

#[test]
fn takes_are_numbered_and_timed_from_nought() {
    let mut tour = inside(0.0);
    let second = tour.circle(2000.0, 0.0, 190.0);
    tour.rule(rule().when(Test::In(second)).records());
    let film = tour.fly(&eastward());
    assert_eq!(film.at(15.0).take, Some(TakeTime { take: 1, time: secs(4.0) }));
    assert_eq!(film.at(35.0).take, None);
    assert_eq!(film.at(40.0).take, Some(TakeTime { take: 2, time: secs(3.0) }));
    let end = film.all(|event| matches!(event, Event::RecordOff { .. }))[0];
    assert_eq!(end.take, Some(TakeTime { take: 1, time: secs(20.0) }), "its length");
}

#[test]
fn off_and_on_at_one_instant_is_no_cut() {
    let mut tour = Tour::new();
    let one = tour.circle(500.0, 0.0, 480.0);
    tour.margin(one, 0.0);
    let two = tour.circle(1450.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(one)).records());
    tour.rule(rule().when(Test::In(two)).records());
    assert_eq!(tour.fly(&Flight::eastward(0.0, 36.0)).takes(), [(1.0, true), (36.0, false)]);
}

#[test]
fn nothing_is_recorded_in_a_no_filming_zone() {
    let film = forbidden(HandFilming::Refused).fly(&eastward());
    assert_eq!(film.takes(), [(0.0, true), (11.0, false), (31.0, true), (50.0, false)]);
}

#[test]
fn what_was_filmed_inside_until_the_entry_was_known_is_reported() {
    let film = forbidden(HandFilming::Refused).fly(&eastward());
    assert_eq!(filmed(&film), [(10.4, 11.0, false)]);
}

#[test]
fn what_was_filmed_in_one_crossed_within_a_leg_is_reported() {
    let mut tour = Tour::new();
    let zone = tour.circle(1100.0, 0.0, 60.0);
    tour.no_filming(zone, HandFilming::Refused);
    tour.rule(rule().records());
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert_eq!(filmed(&film), [(20.8, 24.2, false)]);
    assert_eq!(film.takes(), [(0.0, true), (60.0, false)], "the take goes on");
}

#[test]
fn entry_ends_a_post_roll_and_none_begins_inside() {
    let mut tour = inside(20.0);
    let zone = tour.circle(1700.0, 0.0, 90.0);
    tour.no_filming(zone, HandFilming::Refused);
    // Rule ends at 31, post-roll until 51; entry at 1610 m, second 33.
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    assert_eq!(film.takes(), [(11.0, true), (33.0, false)]);
    let mut tour = inside(20.0);
    let zone = tour.circle(1500.0, 0.0, 190.0);
    tour.no_filming(zone, HandFilming::Refused);
    // Entry at 1310 m, second 27; the rule ends inside at 31; exit at 1740 m, second 35.
    let film = tour.fly(&Flight::eastward(0.0, 60.0));
    assert_eq!(film.takes(), [(11.0, true), (27.0, false)]);
}

#[test]
fn a_press_inside_is_refused_and_leaves_nothing_behind() {
    let mut tour = forbidden(HandFilming::Refused);
    tour.plan.rules.clear();
    let film = tour.fly_with(&eastward(), &[(20.0, Hand::RecordOn)]);
    assert!(film.takes().is_empty());
    assert!(matches!(outcomes(&film)[..], [HandOutcome::NoFilming(_)]));
}

#[test]
fn where_the_route_allows_it_a_press_inside_films_until_the_exit_and_that_is_reported() {
    let mut tour = forbidden(HandFilming::Allowed);
    tour.plan.rules.clear();
    let film = tour.fly_with(&eastward(), &[(20.0, Hand::RecordOn)]);
    assert_eq!(film.takes(), [(20.0, true), (31.0, false)]);
    assert_eq!(outcomes(&film), [HandOutcome::Done]);
    let inside = filmed(&film);
    assert_eq!(inside.len(), 1);
    assert!(inside[0].2 && inside[0].0 == 20.0);
}

#[test]
fn or_until_off() {
    let tour = forbidden(HandFilming::Allowed);
    let film = tour.fly_with(&eastward(), &[(20.0, Hand::RecordOn), (25.0, Hand::RecordOff)]);
    assert_eq!(film.takes()[..4], [(0.0, true), (11.0, false), (20.0, true), (25.0, false)]);
}

#[test]
fn a_press_made_outside_does_not_film_inside_even_where_it_is_allowed() {
    let mut tour = forbidden(HandFilming::Allowed);
    tour.plan.rules.clear();
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RecordOn)]);
    assert_eq!(film.takes(), [(5.0, true), (11.0, false), (31.0, true), (50.0, false)]);
}

#[test]
fn recording_switched_by_hand_stays_until_landing() {
    let mut tour = Tour::new();
    tour.home(500.0, 0.0);
    let flight = Flight::eastward(0.0, 10.0).turn((0.0, 0.0)).climb_to(1.0).on(30.0);
    let film = tour.fly_with(&flight, &[(3.0, Hand::RecordOn)]);
    assert_eq!(film.takes(), [(3.0, true), (20.0, false)]);
}

#[test]
fn off_by_hand_is_obeyed_and_stays() {
    let film = inside(0.0).fly_with(&eastward(), &[(15.0, Hand::RecordOff)]);
    assert_eq!(film.takes(), [(11.0, true), (15.0, false)]);
}

#[test]
fn or_until_it_is_switched_to_what_the_plan_wants_at_that_moment() {
    let hands = [(15.0, Hand::RecordOff), (20.0, Hand::RecordOn)];
    let film = inside(0.0).fly_with(&eastward(), &hands);
    // On is what the plan wants at 20, so it is the plan's again and ends with the rule.
    assert_eq!(film.takes(), [(11.0, true), (15.0, false), (20.0, true), (31.0, false)]);
    let film = inside(0.0).fly_with(&eastward(), &[(5.0, Hand::RecordOn)]);
    // On is not what the plan wants at 5: it stays beyond the rule.
    assert_eq!(film.takes(), [(5.0, true), (50.0, false)]);
}

#[test]
fn what_the_plan_wants_is_reckoned_without_no_filming_zones() {
    let tour = forbidden(HandFilming::Refused);
    // Inside, off is not what the plan wants (it wants on): so it stays after the exit.
    let film = tour.fly_with(&eastward(), &[(20.0, Hand::RecordOff)]);
    assert_eq!(film.takes(), [(0.0, true), (11.0, false)]);
}

#[test]
fn by_hand_it_records_on_the_ground_too() {
    let film = Tour::new().fly_with(&Flight::parked(0.0, 0.0).on(10.0), &[(4.0, Hand::RecordOn)]);
    assert_eq!(film.takes(), [(4.0, true), (10.0, false)]);
}
