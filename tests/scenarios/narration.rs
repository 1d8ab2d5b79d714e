//! Narration, music and the radio.

use earth::{Metres, MetresPerSecond};
use engine::{Cut, Event, GivenUp, NarrationEvent, Obstacle, Playing};
use plan::{Hand, NarrationId, OnRadio, Otherwise, Room, Test};

use crate::reference::Film;
use crate::reference::build::*;
use NarrationEvent::{CutOff, Ended, Paused, Skipped, Started, Waits, WentOn};

fn eastward() -> Flight {
    Flight::eastward(0.0, 60.0)
}

/// What happened to one narration.
fn of(film: &Film, narration: NarrationId) -> Vec<(f64, NarrationEvent)> {
    film.spoken()
        .into_iter()
        .filter(|(_, said, _)| *said == narration)
        .map(|(time, _, what)| (time, what))
        .collect()
}

/// A tour in which one narration plays from the start and another is asked for at second 11, in a
/// zone left at 31.
fn two(first: f64, second: f64, otherwise: Otherwise) -> (Tour, NarrationId, NarrationId) {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let (one, two) = (tour.narration(first), tour.narration(second));
    tour.rule(rule().says(one));
    tour.rule(rule().when(Test::In(zone)).says_or(two, otherwise));
    (tour, one, two)
}

#[test]
fn asked_for_when_its_rule_becomes_active() {
    let (tour, _, asked) = two(5.0, 4.0, Otherwise::Wait);
    assert_eq!(of(&tour.fly(&eastward()), asked), [(11.0, Started), (15.0, Ended)]);
}

#[test]
fn if_one_is_playing_it_waits_and_then_for_the_breath() {
    let (tour, playing, asked) = two(15.0, 4.0, Otherwise::Wait);
    let film = tour.fly(&eastward());
    assert_eq!(
        of(&film, asked),
        [(11.0, Waits(Obstacle::Playing(playing))), (16.0, Started), (20.0, Ended)]
    );
}

#[test]
fn the_breath_after_one_stands_in_the_way_too() {
    let (tour, _, asked) = two(10.4, 4.0, Otherwise::Wait);
    let film = tour.fly(&eastward());
    assert_eq!(of(&film, asked)[..2], [(11.0, Waits(Obstacle::Breath)), (11.4, Started)]);
}

#[test]
fn it_waits_as_long_as_its_rule_stays_active() {
    let (tour, playing, asked) = two(40.0, 4.0, Otherwise::Wait);
    let film = tour.fly(&eastward());
    assert_eq!(
        of(&film, asked),
        [
            (11.0, Waits(Obstacle::Playing(playing))),
            (31.0, NarrationEvent::GivenUp(GivenUp::RuleEnded))
        ]
    );
}

#[test]
fn or_for_a_time_given_counted_from_the_asking() {
    let (mut tour, _, asked) = two(30.0, 4.0, Otherwise::Wait);
    tour.plan.rules[1].narration.as_mut().unwrap().waits = Some(secs(12.5));
    let given_up = NarrationEvent::GivenUp(GivenUp::WaitedLongEnough);
    assert_eq!(of(&tour.fly(&eastward()), asked)[1], (23.5, given_up));
    tour.plan.rules[1].narration.as_mut().unwrap().waits = Some(secs(25.0));
    assert_eq!(of(&tour.fly(&eastward()), asked)[1], (31.0, Started));
    tour.lasts(NarrationId(0), 33.0);
    assert_eq!(of(&tour.fly(&eastward()), asked)[1], (34.0, Started), "though the rule has ended");
}

#[test]
fn a_wait_that_ends_as_the_way_is_free_has_ended() {
    let (mut tour, _, asked) = two(15.0, 4.0, Otherwise::Wait);
    tour.plan.rules[1].narration.as_mut().unwrap().waits = Some(secs(5.0));
    let given_up = NarrationEvent::GivenUp(GivenUp::WaitedLongEnough);
    assert_eq!(of(&tour.fly(&eastward()), asked)[1], (16.0, given_up));
}

/// At 50 m/s a way of so many metres takes a fiftieth of that in seconds.
fn room(way: f64, stands: f64) -> Option<Room> {
    Some(Room {
        way: Metres::of(way),
        stands: secs(stands),
        groundspeed: MetresPerSecond::of(25.0),
    })
}

#[test]
fn the_short_version_is_told_where_there_is_no_room_for_the_whole() {
    let (mut tour, _, asked) = two(5.0, 20.0, Otherwise::Wait);
    let short = tour.shortened(asked, 8.0);
    let mut told = |way: f64, stands: f64| {
        tour.plan.rules[1].narration.as_mut().unwrap().room = room(way, stands);
        let film = tour.fly(&eastward());
        (of(&film, asked), of(&film, short))
    };
    let whole = vec![(11.0, Started), (31.0, Ended)];
    let shorter = vec![(11.0, Started), (19.0, Ended)];
    assert_eq!(told(1001.0, 0.0), (whole.clone(), vec![]));
    assert_eq!(told(999.0, 0.0), (vec![], shorter.clone()));
    assert_eq!(told(751.0, 5.0), (whole, vec![]), "it stands for the rest");
    assert_eq!(told(749.0, 5.0), (vec![], shorter));
    tour.plan.rules[1].narration.as_mut().unwrap().room = None;
    let film = tour.fly(&eastward());
    assert_eq!(of(&film, asked)[0], (11.0, Started), "where nothing spoils it there is room");
}

#[test]
fn waiting_takes_of_the_room_and_both_versions_are_one_narration() {
    let (mut tour, playing, asked) = two(15.0, 10.0, Otherwise::Wait);
    let short = tour.shortened(asked, 4.0);
    let later = tour.circle(2000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(later)).says(asked));
    // Asked for at 11, and the way is free at 16.
    for (way, told) in [(751.0, asked), (749.0, short)] {
        tour.plan.rules[1].narration.as_mut().unwrap().room = room(way, 0.0);
        let film = tour.fly(&eastward());
        let mut all = of(&film, asked);
        all.extend(of(&film, short));
        assert_eq!(all[0], (11.0, Waits(Obstacle::Playing(playing))));
        assert_eq!(all[1], (16.0, Started), "{way}");
        assert_eq!(of(&film, told).iter().filter(|it| it.1 == Started).count(), 1);
        assert_eq!(all.iter().filter(|it| it.1 == Started).count(), 1, "once a flight");
    }
}

#[test]
fn skip_means_not_at_all_and_it_was_not_played() {
    let (mut tour, playing, asked) = two(15.0, 4.0, Otherwise::Skip);
    let later = tour.circle(2000.0, 0.0, 480.0);
    tour.rule(rule().when(Test::In(later)).says(asked));
    let film = tour.fly(&eastward());
    assert_eq!(
        of(&film, asked),
        [(11.0, Skipped(Obstacle::Playing(playing))), (31.0, Started), (35.0, Ended)]
    );
}

#[test]
fn interrupt_cuts_off_one_of_no_higher_priority() {
    let (mut tour, playing, asked) = two(20.0, 4.0, Otherwise::Interrupt);
    let film = tour.fly(&eastward());
    let cut = CutOff { by: Cut::Interrupted(asked), played: secs(11.0) };
    assert_eq!(of(&film, playing), [(0.0, Started), (11.0, cut)]);
    assert_eq!(of(&film, asked)[0], (11.0, Started));
    tour.plan.rules[0].priority = 1;
    let film = tour.fly(&eastward());
    assert_eq!(of(&film, asked)[0], (11.0, Waits(Obstacle::Playing(playing))));
    assert_eq!(of(&film, playing)[1], (20.0, Ended));
}

#[test]
fn interrupt_needs_no_breath() {
    let (tour, _, asked) = two(10.4, 4.0, Otherwise::Interrupt);
    assert_eq!(of(&tour.fly(&eastward()), asked)[0], (11.0, Started));
}

#[test]
fn interrupt_waits_while_the_radio_is_busy() {
    let (tour, playing, asked) = two(30.0, 4.0, Otherwise::Interrupt);
    let hands = [(10.0, Hand::RadioBusy), (14.0, Hand::RadioClear)];
    let film = tour.fly_with(&eastward(), &hands);
    assert!(!of(&film, playing).iter().any(|(_, what)| matches!(what, CutOff { .. })));
    assert!(matches!(of(&film, asked)[0], (11.0, Waits(_))));
}

#[test]
fn once_a_flight_by_whichever_rule() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let narration = tour.narration(3.0);
    tour.rule(rule().says(narration));
    tour.rule(rule().when(Test::In(zone)).says(narration));
    assert_eq!(of(&tour.fly(&eastward()), narration), [(0.0, Started), (3.0, Ended)]);
    tour.plan.narrations[0].again = true;
    assert_eq!(of(&tour.fly(&eastward()), narration).len(), 4, "unless told otherwise");
}

#[test]
fn not_asked_for_while_it_is_playing() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let narration = tour.narration(20.0);
    tour.plan.narrations[0].again = true;
    tour.rule(rule().says(narration));
    tour.rule(rule().when(Test::In(zone)).says(narration));
    assert_eq!(of(&tour.fly(&eastward()), narration), [(0.0, Started), (20.0, Ended)]);
}

#[test]
fn one_that_was_cut_off_counts_as_played() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let narration = tour.narration(20.0);
    tour.rule(rule().says(narration));
    tour.rule(rule().when(Test::In(zone)).says(narration));
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::Skip)]);
    let cut = CutOff { by: Cut::Skipped, played: secs(5.0) };
    assert_eq!(of(&film, narration), [(0.0, Started), (5.0, cut)]);
}

#[test]
fn of_several_the_highest_priority_then_the_longest_waiting_then_the_one_written_first() {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    let long = tour.narration(20.0);
    let names: Vec<NarrationId> = (0..4).map(|_| tour.narration(2.0)).collect();
    tour.rule(rule().says(names[3]).when(Test::In(zone)));
    tour.rule(rule().says(names[2]).when(Test::In(zone)));
    tour.rule(rule().says(long).priority(1));
    tour.rule(rule().says(names[1]));
    tour.rule(rule().says(names[0]).when(Test::In(zone)).priority(1));
    let film = tour.fly(&eastward());
    let started: Vec<NarrationId> =
        film.spoken().iter().filter(|said| said.2 == Started).map(|said| said.1).collect();
    assert_eq!(started, [long, names[0], names[1], names[3], names[2]]);
    assert_eq!(of(&film, names[0])[1], (21.0, Started));
    assert_eq!(of(&film, names[1])[1], (24.0, Started));
    assert_eq!(of(&film, names[3])[1], (27.0, Started));
    assert_eq!(of(&film, names[2])[1], (30.0, Started));
}

/// A narration of 20 s from the start, with a quiet circle entered at 11, left at 31.
fn quiet() -> (Tour, NarrationId) {
    let mut tour = Tour::new();
    let zone = tour.circle(1000.0, 0.0, 480.0);
    tour.quiet(zone);
    let narration = tour.narration(20.0);
    tour.rule(rule().says(narration));
    (tour, narration)
}

#[test]
fn a_narration_is_cut_off_at_the_entry_of_a_quiet_zone() {
    let (tour, narration) = quiet();
    let film = tour.fly(&eastward());
    let (time, what) = of(&film, narration)[1];
    assert_eq!(time, 11.0);
    assert!(matches!(what, CutOff { by: Cut::Quiet(_), played } if played == secs(11.0)));
}

#[test]
fn in_a_quiet_zone_none_starts_before_the_exit() {
    let (mut tour, _) = quiet();
    let asked = tour.narration(3.0);
    tour.rule(rule().when(Test::In(plan::ZoneId(0))).says_within(asked, 60.0));
    let film = tour.fly(&eastward());
    assert!(matches!(of(&film, asked)[..2], [(11.0, Waits(_)), (31.0, Started)]));
}

#[test]
fn music_stops_in_a_quiet_zone_and_starts_again_after_it() {
    let (mut tour, _) = quiet();
    let music = tour.music();
    tour.rule(rule().plays(music));
    let film = tour.fly(&eastward());
    let changes = film.when(|event| matches!(event, Event::Music { .. }));
    assert_eq!(changes, [0.0, 11.0, 31.0, 60.0]);
}

#[test]
fn a_quiet_zone_crossed_within_a_leg_silences_nothing() {
    let mut tour = Tour::new();
    let zone = tour.circle(1100.0, 0.0, 60.0);
    tour.quiet(zone);
    let narration = tour.narration(50.0);
    tour.rule(rule().says(narration));
    let film = tour.fly(&Flight::start(0.0, 0.0, (50.0, 0.0)).every(10.0).on(60.0));
    assert_eq!(of(&film, narration), [(0.0, Started), (50.0, Ended)]);
}

/// Parked for 20 s, then away.
fn departure() -> Flight {
    Flight::parked(0.0, 0.0).on(20.0).turn((50.0, 0.0)).climb_to(100.0).on(40.0)
}

fn for_ground() -> (Tour, NarrationId) {
    let mut tour = Tour::new();
    let narration = tour.narration(30.0);
    tour.plan.narrations[0].on_ground = true;
    tour.rule(rule().says(narration));
    (tour, narration)
}

#[test]
fn a_narration_for_the_ground_is_cut_off_by_the_take_off() {
    let (tour, narration) = for_ground();
    let cut = CutOff { by: Cut::TookOff, played: secs(20.0) };
    assert_eq!(of(&tour.fly(&departure()), narration), [(0.0, Started), (20.0, cut)]);
}

#[test]
fn it_plays_on_the_ground_also_in_quiet_zones() {
    let (mut tour, narration) = for_ground();
    let zone = tour.circle(0.0, 0.0, 1000.0);
    tour.quiet(zone);
    assert_eq!(of(&tour.fly(&departure()), narration)[0], (0.0, Started));
}

#[test]
fn no_other_narration_cuts_it_off() {
    let (mut tour, narration) = for_ground();
    let other = tour.narration(3.0);
    let zone = tour.circle(0.0, 0.0, 1000.0);
    let second = tour.title();
    tour.rule(rule().when(Test::In(zone)).titles(second));
    tour.rule(rule().priority(9).says_or(other, Otherwise::Interrupt));
    tour.plan.rules[0].priority = 10;
    let film = tour.fly(&departure());
    assert_eq!(of(&film, narration)[0], (0.0, Started));
    assert!(of(&film, other).iter().all(|(time, what)| *what != Started || *time >= 20.0));
}

#[test]
fn asked_for_in_the_air_it_waits_for_the_ground() {
    let (mut tour, narration) = for_ground();
    tour.home(500.0, 0.0);
    let flight = Flight::eastward(0.0, 10.0).turn((0.0, 0.0)).climb_to(1.0).on(30.0);
    let film = tour.fly(&flight);
    assert_eq!(of(&film, narration)[..2], [(0.0, Waits(Obstacle::NotOnGround)), (20.0, Started)]);
}

#[test]
fn while_the_radio_is_busy_no_narration_starts() {
    let (tour, _, asked) = two(5.0, 4.0, Otherwise::Wait);
    let hands = [(9.0, Hand::RadioBusy), (14.3, Hand::RadioClear)];
    let film = tour.fly_with(&eastward(), &hands);
    assert_eq!(of(&film, asked)[..2], [(11.0, Waits(Obstacle::Radio)), (14.3, Started)]);
}

/// One narration of 20 s, busy from 5 to 9.
fn radio(how: OnRadio) -> Vec<(f64, NarrationEvent)> {
    let mut tour = Tour::new();
    let narration = tour.narration(20.0);
    tour.on_radio(narration, how);
    tour.rule(rule().says(narration));
    let hands = [(5.0, Hand::RadioBusy), (9.0, Hand::RadioClear)];
    of(&tour.fly_with(&eastward(), &hands), narration)
}

#[test]
fn busy_radio_ducks_a_narration() {
    assert_eq!(
        radio(OnRadio::Ducked)[1..],
        [(5.0, NarrationEvent::Ducked(true)), (9.0, NarrationEvent::Ducked(false)), (20.0, Ended)]
    );
}

#[test]
fn or_pauses_it_and_it_goes_on_from_there() {
    assert_eq!(radio(OnRadio::Paused)[1..], [(5.0, Paused), (9.0, WentOn), (24.0, Ended)]);
}

#[test]
fn or_drops_it() {
    assert_eq!(radio(OnRadio::Dropped)[1..], [(5.0, CutOff { by: Cut::Radio, played: secs(5.0) })]);
}

#[test]
fn the_plan_says_it_where_the_narration_does_not() {
    let mut tour = Tour::new();
    let narration = tour.narration(20.0);
    tour.plan.settings.on_radio = OnRadio::Dropped;
    tour.rule(rule().says(narration));
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RadioBusy)]);
    assert_eq!(of(&film, narration).len(), 2);
}

#[test]
fn pauses_are_not_counted() {
    let mut tour = Tour::new();
    let narration = tour.narration(20.0);
    tour.on_radio(narration, OnRadio::Paused);
    tour.rule(rule().says(narration));
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RadioBusy), (9.0, Hand::RadioClear)]);
    let at = |second: f64| film.at(second).narration.unwrap();
    assert_eq!((at(7.0).into, at(7.0).how), (secs(5.0), Playing::Paused));
    assert_eq!((at(12.0).into, at(12.0).how), (secs(8.0), Playing::Full));
}

#[test]
fn a_paused_one_goes_on_before_any_that_waits() {
    let (mut tour, playing, asked) = two(15.0, 4.0, Otherwise::Wait);
    tour.plan.rules[1].priority = 9;
    tour.on_radio(playing, OnRadio::Paused);
    let hands = [(10.0, Hand::RadioBusy), (13.0, Hand::RadioClear)];
    let film = tour.fly_with(&eastward(), &hands);
    assert_eq!(of(&film, playing)[1..], [(10.0, Paused), (13.0, WentOn), (18.0, Ended)]);
    assert_eq!(of(&film, asked)[1], (19.0, Started));
}

#[test]
fn a_pause_lasts_at_most_a_time_then_it_is_cut_off() {
    let mut tour = Tour::new();
    let narration = tour.narration(20.0);
    tour.on_radio(narration, OnRadio::Paused);
    tour.rule(rule().says(narration));
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RadioBusy)]);
    let cut = CutOff { by: Cut::PausedTooLong, played: secs(5.0) };
    assert_eq!(of(&film, narration)[2], (35.0, cut));
    tour.plan.narrations[0].longest_pause = Some(secs(10.0));
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RadioBusy)]);
    assert_eq!(of(&film, narration)[2], (15.0, cut));
}

#[test]
fn what_cuts_off_one_that_plays_cuts_off_a_paused_one_too() {
    let (mut tour, narration) = quiet();
    tour.on_radio(narration, OnRadio::Paused);
    let film = tour.fly_with(&eastward(), &[(5.0, Hand::RadioBusy)]);
    let (time, what) = of(&film, narration)[2];
    assert_eq!(time, 11.0);
    assert!(matches!(what, CutOff { by: Cut::Quiet(_), played } if played == secs(5.0)));
}

#[test]
fn music_is_ducked_while_the_radio_is_busy() {
    let mut tour = Tour::new();
    let music = tour.music();
    tour.rule(rule().plays(music));
    let hands = [(5.0, Hand::RadioBusy), (9.0, Hand::RadioClear)];
    let film = tour.fly_with(&eastward(), &hands);
    assert_eq!(film.when(|event| matches!(event, Event::MusicDucked { .. })), [5.0, 9.0]);
    assert!(film.at(7.0).music_ducked && !film.at(10.0).music_ducked);
}

#[test]
fn with_the_voice_off_the_one_playing_is_cut_off_and_none_starts() {
    let (tour, playing, asked) = two(20.0, 4.0, Otherwise::Wait);
    let hands = [(5.0, Hand::VoiceOff), (25.0, Hand::VoiceOn)];
    let film = tour.fly_with(&eastward(), &hands);
    let cut = CutOff { by: Cut::VoiceOff, played: secs(5.0) };
    assert_eq!(of(&film, playing)[1], (5.0, cut));
    assert_eq!(of(&film, asked)[..2], [(11.0, Waits(Obstacle::VoiceOff)), (25.0, Started)]);
}

#[test]
fn skip_cuts_off_the_one_playing_and_no_other() {
    let (tour, playing, asked) = two(20.0, 4.0, Otherwise::Wait);
    let film = tour.fly_with(&eastward(), &[(12.5, Hand::Skip), (13.0, Hand::Skip)]);
    let cut = CutOff { by: Cut::Skipped, played: secs(12.5) };
    assert_eq!(of(&film, playing)[1], (12.5, cut));
    assert_eq!(of(&film, asked)[1], (13.5, Started), "after the breath");
}

#[test]
fn a_breath_follows_however_one_ended() {
    let (mut tour, playing, asked) = two(20.0, 4.0, Otherwise::Wait);
    tour.on_radio(playing, OnRadio::Dropped);
    let film = tour.fly_with(&eastward(), &[(11.5, Hand::RadioBusy), (11.75, Hand::RadioClear)]);
    assert_eq!(of(&film, asked)[1], (12.5, Started));
}
