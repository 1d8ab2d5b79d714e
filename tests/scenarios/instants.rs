//! What happens when: looks at the rules, one instant, ends before beginnings.

use engine::{Event, NarrationEvent};
use plan::{Hand, Side, StillMoment, Test};

use crate::reference::build::*;

#[test]
fn what_a_crossing_causes_takes_effect_at_the_second_fix() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let title = tour.title();
    tour.rule(rule().when(Test::In(zone)).titles(title));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.titles(), [(11.0, Some(title)), (31.0, None)]);
}

#[test]
fn a_rule_active_and_inactive_within_one_leg_has_fired() {
    let mut tour = Tour::new();
    let zone = tour.circle(1100.0, 0.0, 60.0);
    let narration = tour.narration(5.0);
    let (flash, after) = (tour.title(), tour.title());
    let first = tour.rule(rule().when(Test::In(zone)).says(narration).titles(flash));
    tour.rule(rule().when(Test::After(first)).titles(after));
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    // Its narration starts at that fix; its title is never seen.
    assert_eq!(film.spoken()[0], (30.0, narration, NarrationEvent::Started));
    assert_eq!(film.titles(), [(30.0, Some(after))]);
}

#[test]
fn the_narration_of_such_a_rule_starts_at_that_fix_or_not_at_all() {
    let mut tour = Tour::new();
    let zone = tour.circle(1100.0, 0.0, 60.0);
    let (long, late) = (tour.narration(25.0), tour.narration(5.0));
    tour.rule(rule().says(long));
    tour.rule(rule().when(Test::In(zone)).says(late));
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    // The long one ends at 25; its breath is over at 26: at 30 the way is free.
    assert!(film.spoken().contains(&(30.0, late, NarrationEvent::Started)));
    tour.lasts(long, 35.0);
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert!(
        !film
            .spoken()
            .iter()
            .any(|(_, said, what)| { *said == late && *what == NarrationEvent::Started })
    );
}

#[test]
fn unless_it_has_a_time_to_wait() {
    let mut tour = Tour::new();
    tour.plan.settings.lost_after = secs(12.0);
    let zone = tour.circle(1100.0, 0.0, 60.0);
    let (long, late) = (tour.narration(35.0), tour.narration(5.0));
    tour.rule(rule().says(long));
    tour.rule(rule().when(Test::In(zone)).says_within(late, 20.0));
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert!(film.spoken().contains(&(36.0, late, NarrationEvent::Started)));
}

#[test]
fn a_still_of_such_a_rule_is_taken() {
    let mut tour = Tour::new();
    let zone = tour.circle(1100.0, 0.0, 60.0);
    tour.rule(rule().when(Test::In(zone)).takes_still_by(LEFT, StillMoment::Start));
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert_eq!(film.stills(), [(30.0, LEFT)]);
}

#[test]
fn every_look_uses_the_second_fix() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let narration = tour.narration(3.0);
    let window = plan::AltitudeBand { from: Some(metres(400.0)), to: None };
    tour.rule(rule().when(Test::In(zone)).when(Test::Altitude(window)).says(narration));
    // At the crossing, 520 m on, it was still below 400 m; at the second fix it is above.
    let flight = Flight::eastward(0.0, 10.0).climb_to(450.0).on(5.0);
    let film = tour.fly(&flight);
    assert_eq!(film.spoken()[0].0, 11.0);
}

#[test]
fn a_gate_rule_is_active_for_the_instant_only() {
    let mut tour = Tour::new();
    let gate = tour.gate(1010.0, Side::Either);
    let (flash, stays) = (tour.title(), tour.title());
    let crossing = tour.rule(rule().when(Test::In(gate)).titles(flash));
    tour.rule(rule().when(Test::After(crossing)).titles(stays));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.titles(), [(21.0, Some(stays))]);
}

#[test]
fn after_sees_at_once_that_another_has_fired_wherever_it_is_written() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let title = tour.title();
    // Written before the one it is after.
    tour.rule(rule().when(Test::After(plan::RuleId(1))).titles(title));
    tour.rule(rule().when(Test::In(zone)));
    let film = tour.fly(&Flight::eastward(0.0, 40.0));
    assert_eq!(film.titles(), [(11.0, Some(title))]);
}

#[test]
fn an_exit_of_one_zone_and_entry_of_another_in_one_leg_are_looked_at_in_their_order() {
    let mut tour = Tour::new();
    let one = tour.circle(0.0, 0.0, 500.0);
    tour.margin(one, 0.0);
    let two = tour.circle(1010.0, 0.0, 500.0);
    let both = tour.narration(3.0);
    tour.rule(rule().when(Test::In(one)).when(Test::In(two)).says(both));
    // One is left at 500 m, two is entered at 510 m: never in both, though one leg crosses both.
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(8.0).on(24.0));
    assert_eq!(film.when(|event| matches!(event, Event::Left { .. })), [16.0]);
    assert_eq!(film.when(|event| matches!(event, Event::Entered { .. })), [0.0, 16.0]);
    assert!(film.spoken().is_empty());
}

#[test]
fn a_narration_of_twenty_seconds_is_over_at_twenty_also_between_fixes() {
    let mut tour = Tour::new();
    let narration = tour.narration(20.0);
    tour.rule(rule().says(narration));
    let slow = Flight::start(0.0, 0.0, (50.0, 0.0)).every(4.7).on(47.0);
    assert!(tour.fly(&slow).spoken().contains(&(20.0, narration, NarrationEvent::Ended)));
    let film = tour.fly(&Flight::eastward(0.0, 30.0));
    assert!(film.at(20.0).narration.is_none());
    assert_eq!(film.at(19.0).narration.unwrap().into, secs(19.0));
}

#[test]
fn a_turn_due_at_a_fix_goes_by_the_rules_as_the_fix_leaves_them() {
    let mut tour = Tour::new();
    let zone = tour.circle(0.0, 0.0, 450.0);
    tour.rule(rule().when(Test::In(zone)).shows_in_turn(&[(LEFT, 10.0), (RIGHT, 10.0)]));
    // The rule ends at the fix of second 10: beyond 500 m is 10.02 s. Make it 10 by a little speed.
    let flight = Flight::start(0.0, 0.0, (50.1, 0.0)).on(12.0);
    let film = tour.fly(&flight);
    // The default sequence takes over with its first camera, which is live: RIGHT is never seen.
    assert_eq!(film.cuts(), [(0.0, LEFT)]);
}

#[test]
fn hand_actions_take_effect_at_their_own_time() {
    let tour = Tour::new();
    let film = tour.fly_with(&Flight::eastward(0.0, 20.0), &[(7.25, Hand::Camera(TAIL))]);
    assert!(film.cuts().contains(&(7.25, TAIL)));
}

#[test]
fn a_hand_action_before_the_first_fix_takes_effect_at_it() {
    let tour = Tour::new();
    let film = tour.fly_with(&Flight::eastward(0.0, 20.0), &[(-3.0, Hand::Camera(TAIL))]);
    assert_eq!(film.cuts()[0], (0.0, TAIL));
    let hand = film.all(|event| matches!(event, Event::Hand { .. }))[0];
    assert_eq!(hand.own, Some(START - secs(3.0)));
}

#[test]
fn the_hand_comes_before_the_fix_of_its_instant() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let narration = tour.narration(3.0);
    tour.rule(rule().when(Test::In(zone)).says(narration));
    // Busy comes at the very fix at which the narration is asked for.
    let film = tour.fly_with(
        &Flight::eastward(0.0, 20.0),
        &[(11.0, Hand::RadioBusy), (14.0, Hand::RadioClear)],
    );
    assert!(film.spoken().contains(&(14.0, narration, NarrationEvent::Started)));
}

#[test]
fn changes_of_one_instant_stand_in_their_order() {
    let mut tour = Tour::new();
    tour.plan.settings.minimum_shot = secs(0.0);
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let (narration, music, title) = (tour.narration(3.0), tour.music(), tour.title());
    tour.rule(
        rule()
            .when(Test::In(zone))
            .shows(TAIL)
            .records()
            .says(narration)
            .plays(music)
            .titles(title)
            .takes_still(StillMoment::Start),
    );
    let film = tour.fly_with(&Flight::eastward(0.0, 20.0), &[(11.0, Hand::VoiceOn)]);
    let kinds: Vec<&str> = film
        .changes
        .iter()
        .filter(|change| change.effect == START + secs(11.0))
        .map(|change| match change.event {
            Event::Hand { .. } => "hand",
            Event::Entered { .. } => "zone",
            Event::Camera { .. } => "camera",
            Event::RecordOn { .. } => "record",
            Event::Narration { .. } => "narration",
            Event::Music { .. } => "music",
            Event::Title { .. } => "title",
            Event::Still { .. } => "still",
            _ => "another",
        })
        .collect();
    assert_eq!(kinds, ["hand", "zone", "camera", "record", "narration", "music", "title", "still"]);
}

#[test]
fn the_crossing_point_is_where_the_crossing_was() {
    let mut tour = Tour::new();
    tour.circle(1000.0, 0.0, 520.0);
    let film = tour.fly(&Flight::eastward(0.0, 20.0));
    let entered = film.all(|event| matches!(event, Event::Entered { .. }))[0];
    let off = crate::reference::ground::distance(entered.position, at(480.0, 0.0));
    assert!(off < 1.1, "20 ms are 1 m: {off}");
}
