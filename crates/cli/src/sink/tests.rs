//! The sinks, fed with made-up changes and states; what they write is read back by other code.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

use earth::{DegreesTrue, Metres, MetresPerSecond, Millis, Position, Utc};
use engine::{
    CameraWhy, Change, Cut, Event, Gps, HeadingFrom, NarrationEvent, Obstacle, RecordWhy,
    RuleActivity, Sink, State, TakeTime,
};
use plan::{CameraId, NarrationId, Plan, RuleId, ZoneId};
use serde_json::Value;

use super::as_planned::{Differences, Never};
use super::changes::Changes;
use super::states::States;
use crate::args::{StatesFormat, TextFormat};
use crate::render::identity::Identity;
use crate::render::testing::small_plan;
use compiler::summary::Summary;

/// 2026-06-01T10:30:00Z.
const BEGIN: i64 = 1_780_309_800_000;
/// Take-off, a minute later.
const TAKE_OFF: i64 = 60;

fn identity(plan: &Plan) -> Identity {
    Identity::new(plan, "3f9a2c".into())
}

fn at(second: i64) -> Utc {
    Utc(BEGIN + second * 1000)
}

fn change(second: i64, event: Event) -> Change {
    Change {
        effect: at(second),
        own: None,
        run: 1,
        flight: 1,
        since_takeoff: (second >= TAKE_OFF).then(|| Millis::from_secs(second - TAKE_OFF)),
        take: None,
        event,
        rule: None,
        position: Position::of(10.01, 20.01),
        altitude: Some(Metres::of(300.0)),
    }
}

fn state(second: i64) -> State<'static> {
    State {
        time: at(second),
        run: 1,
        flight: 1,
        since_first: Millis::from_secs(second),
        since_takeoff: (second >= TAKE_OFF).then(|| Millis::from_secs(second - TAKE_OFF)),
        position: Position::of(10.01, 20.01),
        altitude: None,
        groundspeed: Some(MetresPerSecond::of(45.5)),
        track: Some(DegreesTrue::of(359.5)),
        heading: Some((DegreesTrue::of(2.0), HeadingFrom::Wind)),
        airborne: Some(second >= TAKE_OFF),
        zones: &[ZoneId(0)],
        camera: Some(CameraId(0)),
        camera_why: CameraWhy::Rule(RuleId(0)),
        camera_next: None,
        narration: None,
        music: None,
        music_ducked: false,
        title: None,
        take: Some(TakeTime { take: 2, time: Millis(1500) }),
        stills: &[CameraId(0), CameraId(1)],
        gps: Gps::Good,
        voice_on: true,
        radio_busy: false,
    }
}

/// A short flight: on the ground, off, one camera, a narration that waits and is cut off.
fn flight() -> Vec<Change> {
    let zone = ZoneId(0);
    let story = |what| Event::Narration { narration: NarrationId(0), what };
    let camera = |from, to| Event::Camera { from, to, why: CameraWhy::Rule(RuleId(0)) };
    let take = |time| Some(TakeTime { take: 1, time: Millis::from_secs(time) });
    vec![
        change(0, Event::RunBegan),
        change(0, camera(None, Some(CameraId(0)))),
        change(60, Event::TookOff),
        change(60, Event::RecordOn { why: RecordWhy::Rule(RuleId(0)) }),
        Change {
            own: Some(Utc(BEGIN + 99_500)),
            rule: Some(RuleId(0)),
            ..change(100, Event::Entered { zone, pass: 1 })
        },
        change(100, story(NarrationEvent::Waits(Obstacle::Radio))),
        change(104, story(NarrationEvent::Started)),
        change(110, camera(Some(CameraId(0)), Some(CameraId(1)))),
        change(
            112,
            story(NarrationEvent::CutOff { by: Cut::Skipped, played: Millis::from_secs(8) }),
        ),
        Change { take: take(100), ..change(160, Event::RecordOff { why: RecordWhy::OnGround }) },
        change(160, Event::Landed { home: true }),
        change(200, Event::RunEnded),
    ]
}

fn changes(format: TextFormat) -> String {
    let plan = small_plan();
    let mut out = Vec::new();
    let mut sink = Changes::new(&plan, &identity(&plan), &mut out, format).unwrap();
    for change in flight() {
        sink.change(&change);
    }
    sink.finish().unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn the_list_of_changes_reads_from_before_take_off_to_the_end() {
    let text = changes(TextFormat::Text);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "Out and back, Heron XX-HER");
    assert_eq!(lines[1], "plan 3f9a2c, revision 3, draft; not for navigation");
    let of = |what: &str| *lines.iter().find(|line| line.contains(what)).unwrap();
    assert!(of("begins with the first fix").starts_with("T-01:00   10:30:00"));
    assert!(of("on the ground -> airborne").starts_with("T+00:00   10:31:00"));
    let entered = of("entered arch");
    assert!(entered.contains("arch-northbound (tour.yaml:40:3)"), "{entered}");
    assert!(entered.contains("its own time 10:31:39.500"), "{entered}");
    assert!(entered.contains("NE of ARCH"), "{entered}");
    assert!(of("is cut off").contains("after 8 s, skipped by the pilot"));
    assert!(of("on -> off").contains("1/01:40"));
}

#[test]
fn the_list_of_changes_as_json_is_what_its_description_says() {
    let text = changes(TextFormat::Json);
    let lines: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines[0]["format"], "fulmar-changes");
    assert_eq!(lines[0]["version"], 1);
    assert_eq!(lines[0]["plan"]["code"], "3f9a2c");
    assert_eq!(lines.len(), 1 + flight().len());
    assert_eq!(lines[1]["since_takeoff_ms"], -60_000);
    assert_eq!(lines[1]["t"], "T-01:00");
    let keys: Vec<&String> = lines[1].as_object().unwrap().keys().collect();
    for line in &lines[1..] {
        assert_eq!(line.as_object().unwrap().keys().collect::<Vec<_>>(), keys);
    }
    let entered = &lines[5];
    assert_eq!(entered["event"], "entered");
    assert_eq!(entered["of"], "arch");
    assert_eq!(entered["own_time"], "2026-06-01T10:31:39.500Z");
    assert_eq!(entered["rule"]["line"], 40);
    let cut = &lines[9];
    assert_eq!((&cut["event"], &cut["why"]), (&"narration_cut_off".into(), &"skipped".into()));
    assert_eq!(cut["length_ms"], 8000);
}

fn states(format: StatesFormat) -> String {
    let plan = small_plan();
    let mut out = Vec::new();
    let mut sink = States::new(&plan, &identity(&plan), &mut out, format).unwrap();
    sink.change(&change(0, Event::RunBegan));
    sink.state(&state(0));
    sink.state(&state(30));
    sink.change(&change(60, Event::TookOff));
    sink.state(&state(60));
    sink.finish().unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn states_as_csv_are_read_by_any_reader_of_csv() {
    let text = states(StatesFormat::Csv);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let get = |row: usize, column: &str| {
        let index = head.iter().position(|name| name == column).unwrap();
        rows[row].get(index).unwrap().to_owned()
    };
    assert_eq!(rows.len(), 3);
    assert_eq!([get(0, "t"), get(1, "t"), get(2, "t")], ["T-01:00", "T-00:30", "T+00:00"]);
    assert_eq!(get(1, "time"), "2026-06-01T10:30:30Z");
    assert_eq!(get(0, "plan"), "3f9a2c");
    assert_eq!(get(0, "status"), "draft");
    assert_eq!(get(0, "groundspeed_m_s"), "45.5");
    assert_eq!(get(0, "altitude_m"), "");
    assert_eq!(get(0, "stills"), "left right");
    assert_eq!(get(0, "camera_rule"), "arch-northbound");
    assert_eq!((get(0, "take"), get(0, "take_time_ms")), ("2".into(), "1500".into()));
    assert_eq!((get(0, "phase"), get(2, "phase")), ("on_the_ground".into(), "airborne".into()));
}

#[test]
fn states_as_json_say_the_same() {
    let text = states(StatesFormat::Json);
    let lines: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines[0]["format"], "fulmar-states");
    assert_eq!(lines[0]["plan"]["use"], "not for navigation");
    assert_eq!(lines.len(), 4);
    assert_eq!(lines[2]["since_takeoff_ms"], -30_000);
    assert_eq!(lines[3]["zones"], serde_json::json!(["arch"]));
    assert_eq!(lines[3]["heading_from"], "wind");
    assert_eq!(lines[3]["narration"], Value::Null);
}

#[test]
fn the_summary_counts_shots_takes_and_what_became_of_narrations() {
    let plan = small_plan();
    let mut summary = Summary::new(&plan);
    for change in flight() {
        // Rules are told before the changes of their instant.
        if change.event == Event::TookOff {
            summary.rule(&RuleActivity { time: change.effect, rule: RuleId(0), active: true });
        }
        summary.change(&change);
    }
    let [flown] = summary.flights.as_slice() else { panic!("one flight") };
    assert_eq!(flown.took_off, Some(at(60)));
    assert_eq!(flown.landings, [(at(160), true)]);
    assert_eq!((flown.takes, flown.recorded), (1, Millis::from_secs(100)));
    let [left, right] = flown.cameras.as_slice() else { panic!("two cameras") };
    assert_eq!((left.shots, left.live), (1, Millis::from_secs(110)));
    assert_eq!(left.recorded, Millis::from_secs(50));
    assert_eq!((right.shots, right.live), (1, Millis::from_secs(90)));
    assert_eq!(right.recorded, Millis::from_secs(50));
    let story = &flown.narrations[0];
    assert_eq!((story.started, story.ended, story.cut_offs), (1, 0, 1));
    assert_eq!(story.longest_wait, Millis::from_secs(4));
    assert_eq!(flown.entered[0], (Some(Utc(BEGIN + 99_500)), 1));

    let mut elsewhere = Summary::new(&plan);
    for change in flight()
        .iter()
        .filter(|change| !matches!(change.event, Event::Entered { .. } | Event::Narration { .. }))
    {
        elsewhere.change(change);
    }
    let missing = Differences::only_in(&plan, flown, &elsewhere.flights[0]);
    assert_eq!(missing.zones, [(ZoneId(0), Some(Millis(39_500)))]);
    assert_eq!(missing.narrations, [(NarrationId(0), Some(Millis::from_secs(44)))]);
    assert_eq!(missing.rules, [(RuleId(0), Some(Millis::ZERO))]);
    assert!(Differences::only_in(&plan, &elsewhere.flights[0], flown).is_empty());
    let never = Never::of(&plan, summary.flights.iter().chain(&elsewhere.flights));
    assert_eq!(never.rules, [RuleId(1)]);
    assert!(never.zones.is_empty() && never.narrations.is_empty());
}

#[test]
fn a_writer_that_fails_is_noticed_and_not_written_to_again() {
    struct Full;
    impl std::io::Write for Full {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(std::io::Error::other("no room"))
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let plan = small_plan();
    let out = std::io::BufWriter::with_capacity(1 << 10, Full);
    let mut sink = States::new(&plan, &identity(&plan), out, StatesFormat::Json).unwrap();
    for second in 60..200 {
        sink.state(&state(second));
    }
    assert!(sink.has_failed());
    assert_eq!(sink.finish().unwrap_err().to_string(), "no room");
}

#[test]
fn what_a_new_flight_ends_is_counted_to_the_one_before_and_what_begins_to_the_new_one() {
    let plan = small_plan();
    let mut summary = Summary::new(&plan);
    for change in flight().into_iter().filter(|change| change.event != Event::RunEnded) {
        summary.change(&change);
    }
    let story = |what| Event::Narration { narration: NarrationId(0), what };
    let next = |event| Change { flight: 2, since_takeoff: None, ..change(400, event) };
    summary.rule(&RuleActivity { time: at(400), rule: RuleId(1), active: true });
    summary.change(&next(Event::FlightBegan));
    let cut = NarrationEvent::CutOff { by: Cut::NewFlight, played: Millis(1) };
    summary.change(&next(story(cut)));
    summary.state(&State { flight: 2, since_takeoff: None, ..state(410) });
    let [first, second] = summary.flights.as_slice() else { panic!("two flights") };
    assert_eq!((first.narrations[0].cut_offs, second.narrations[0].cut_offs), (2, 0));
    assert_eq!((first.fired[1], second.fired[1]), (None, Some(at(400))));
    // The camera that stays live has a shot in each.
    assert_eq!(second.cameras[1].shots, 1);
    assert_eq!(second.cameras[1].live, Millis::from_secs(10));
    assert!(first.flew() && !second.flew());
}
