//! Titles, live values and sights of a small flight that the engine flies.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::{Degrees, DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Position, Utc, geodesic};
use engine::{Engine, Limits};
use film::{Clock, Cue, Shown, Sights, Titles, Units, Value};
use plan::{
    Aircraft, Approval, Camera, Condition, Day, Lens, Mix, Place, PlaceId, PlaceKind, Plan,
    PlannedRoute, Recorder, Rule, Settings, Source, Test, Title, TitleId, Wind,
};
use timeline::{Builder, Timeline};

const SOURCE: Source = Source { file: 0, line: 1, column: 1 };
/// 2026-06-01T22:30:00Z.
const BEGINS: i64 = 1_780_353_000_000;

fn ahead(metres: f64) -> Position {
    geodesic::direct(Position::of(-48.0, -20.0), DegreesTrue::of(0.0), Metres::of(metres)).0
}

/// A pad 50 m above the sea, an arch 6 km north of it, and a waypoint beyond that only the author
/// has a name for; a title while airborne.
fn plan() -> Plan {
    let place = |name: &str, title: &str, kind, position, elevation: Option<f64>| Place {
        name: name.into(),
        title: title.into(),
        kind,
        position,
        elevation: elevation.map(Metres::of),
        height: None,
        wanted: (kind == PlaceKind::Sight).then(plan::Wanted::default),
    };
    Plan {
        title: "Small".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["small.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Tern".into(),
            registration: None,
            heading_source: false,
            cameras: vec![Camera {
                name: "left".into(),
                input: 1,
                bearing: Degrees::of(270.0),
                depression: Degrees::of(15.0),
                width: Degrees::of(90.0),
                height: None,
                lens: Lens::Rectilinear,
                cabin: false,
                hidden: Vec::new(),
            }],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![
            place("PAD", "The Pad", PlaceKind::Waypoint, ahead(0.0), Some(50.0)),
            place("ARCH", "The Arch", PlaceKind::Sight, ahead(6000.0), None),
            place("FAR", "FAR", PlaceKind::Waypoint, ahead(11_000.0), None),
        ],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: Vec::new(),
        rules: vec![Rule {
            name: "up".into(),
            source: SOURCE,
            priority: 0,
            conditions: vec![Condition {
                test: Test::Airborne,
                written: "phase: airborne".into(),
                source: SOURCE,
            }],
            camera: None,
            record: None,
            narration: None,
            music: None,
            title: Some(TitleId(0)),
            stills: Vec::new(),
        }],
        narrations: Vec::new(),
        music: Vec::new(),
        titles: vec![Title { name: "up".into(), text: "Northwards".into() }],
    }
}

/// 10 s on the pad, then 200 s north at 50 m/s, 300 m above the sea; the fixes from 100 s to 120 s
/// are missing.
fn fixes() -> Vec<Fix> {
    let fix = |second: i32| {
        let flown = f64::from((second - 9).max(0)) * 50.0;
        let moving = second > 9;
        Fix {
            altitude: Some(Metres::of(if moving { 300.0 } else { 50.0 })),
            groundspeed: Some(MetresPerSecond::of(if moving { 50.0 } else { 0.0 })),
            track: Some(DegreesTrue::of(0.0)),
            ..Fix::at(Utc(BEGINS + 1000 * i64::from(second)), ahead(flown))
        }
    };
    (0..=210).filter(|second| !(100..=120).contains(second)).map(fix).collect()
}

fn fly(values: &[Value], every: i64, day: &Day, units: Units) -> (Timeline, Titles, Sights) {
    let plan = plan();
    let shown = Shown {
        values: values.to_vec(),
        units,
        offset: Millis::from_secs(5 * 3600 + 1800),
        every: Millis::from_secs(every),
        line: 42,
    };
    let mut engine = Engine::new(&plan, day, Limits::of(&plan.settings)).unwrap();
    let mut all = (Builder::new(&plan), (Titles::new(&plan, shown), Sights::new(&plan)));
    for fix in fixes() {
        engine.fix(&fix, &mut all);
    }
    engine.finish(&mut all);
    let (builder, (titles, sights)) = all;
    (builder.finish(), titles, sights)
}

fn cues(values: &[Value], every: i64) -> Vec<Cue> {
    let (timeline, titles, _) = fly(values, every, &Day::default(), Units::Aviation);
    titles.cues(&timeline.flights[0], Clock::Flight)
}

fn at(cues: &[Cue], second: i64) -> Option<Vec<&str>> {
    let now = Millis::from_secs(second);
    let cue = cues.iter().find(|cue| cue.from <= now && now < cue.to)?;
    Some(cue.lines.iter().map(String::as_str).collect())
}

#[test]
fn titles_and_values_as_they_stand() {
    let all = [Value::Title, Value::Place, Value::Height, Value::Groundspeed, Value::LocalTime];
    let cues = cues(&all, 1);
    // 22:30 in UTC and 5 h 30 min ahead: it is the next day.
    assert_eq!(at(&cues, 5), Some(vec!["The Pad", "0 ft   0 kt   04:00"]));
    // 250 m above the pad are 820 ft; 50 m/s are 97 kt.
    assert_eq!(at(&cues, 20), Some(vec!["Northwards", "The Pad", "820 ft   97 kt   04:00"]));
    assert_eq!(at(&cues, 140).unwrap()[1], "The Arch");
    // Beyond, where only a waypoint without a title is near, the arch is until it is 2 NM away.
    assert_eq!(at(&cues, 203).unwrap()[1], "The Arch");
    assert_eq!(at(&cues, 209), Some(vec!["Northwards", "820 ft   97 kt   04:03"]));
    // None overlap, and what stays the same stays one.
    assert!(
        cues.windows(2).all(|pair| pair[0].to <= pair[1].from && pair[0].lines != pair[1].lines)
    );
}

/// GPS is lost 5 s after the last fix: from then on only what is still known is shown.
#[test]
fn while_gps_is_lost_no_values_are_shown() {
    let cues = cues(&[Value::Title, Value::Groundspeed, Value::LocalTime], 1);
    assert_eq!(at(&cues, 103).unwrap()[1], "97 kt   04:01");
    assert_eq!(at(&cues, 108).unwrap().last(), Some(&"04:01"));
    assert_eq!(at(&cues, 122).unwrap()[1], "97 kt   04:02");
    let only = crate::cues(&[Value::Groundspeed], 1);
    assert_eq!(at(&only, 110), None, "nothing is shown rather than something old");
}

/// A heading is shown where there is one, and not a track that stands in for it.
#[test]
fn a_heading_is_a_heading() {
    let values = [Value::Heading, Value::Track, Value::Altitude];
    let (timeline, titles, _) = fly(&values, 5, &Day::default(), Units::Metric);
    let shown = titles.cues(&timeline.flights[0], Clock::TakeOff);
    assert_eq!(at(&shown, 30), Some(vec!["track 000°   300 m above sea level"]));
    let wind = Wind { from: DegreesTrue::of(270.0), speed: MetresPerSecond::of(10.0) };
    let day = Day { wind: Some(wind), ..Day::default() };
    let (timeline, titles, _) = fly(&values, 5, &day, Units::Metric);
    let shown = titles.cues(&timeline.flights[0], Clock::TakeOff);
    // With 10 m/s from the left and 50 m/s along the track the nose points arctan(10/50) to the left.
    assert_eq!(at(&shown, 30), Some(vec!["heading 349°   track 000°   300 m above sea level"]));
}

/// Values change at whole multiples of the interval, and show the last fix before.
#[test]
fn values_change_every_so_often() {
    let cues = cues(&[Value::Height], 7);
    for pair in cues.windows(2) {
        let changes = (BEGINS + pair[1].from.0) % 7000;
        assert_eq!(changes, 0, "{pair:?}");
    }
}

/// A fix that lies on the very moment counts there.
#[test]
fn a_fix_on_the_step_is_shown_from_it() {
    let cues = cues(&[Value::Height], 5);
    assert_eq!(at(&cues, 9), Some(vec!["0 ft"]));
    assert_eq!(at(&cues, 10), Some(vec!["820 ft"]), "it takes off at 10 s");
}

#[test]
fn sights_are_passed_where_they_are_closest() {
    let (timeline, _, sights) = fly(&[Value::Title], 1, &Day::default(), Units::Aviation);
    let passes = sights.finish();
    assert_eq!(passes.len(), 1, "waypoints are no sights");
    // 6 km at 50 m/s, from 9 s on.
    assert_eq!((passes[0].sight, passes[0].time), (PlaceId(1), Utc(BEGINS + 129_000)));
    assert!(passes[0].distance < Metres::of(1.0));
    assert_eq!(timeline.flights.len(), 1);
}
