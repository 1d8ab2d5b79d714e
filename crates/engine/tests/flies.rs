//! One small flight through one small plan, end to end.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use earth::{Degrees, DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Position, Utc, geodesic};
use engine::{CameraWhy, Change, Engine, Event, Limits, NarrationEvent, Notice, Sink, State};
use plan::*;

#[derive(Default)]
struct Log {
    changes: Vec<Change>,
    cameras: Vec<(Utc, Option<CameraId>, CameraWhy)>,
    notices: Vec<Notice>,
}

impl Sink for Log {
    fn change(&mut self, change: &Change) {
        self.changes.push(*change);
    }
    fn state(&mut self, state: &State<'_>) {
        self.cameras.push((state.time, state.camera, state.camera_why));
    }
    fn notice(&mut self, notice: &Notice) {
        self.notices.push(*notice);
    }
}

const SOURCE: Source = Source { file: 0, line: 1, column: 1 };

fn camera(name: &str, bearing: f64) -> Camera {
    Camera {
        name: name.into(),
        input: 1,
        bearing: Degrees::of(bearing),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: Some(Degrees::of(58.0)),
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    }
}

fn small_plan() -> Plan {
    let home = Position::of(-48.0, -20.0);
    let sight = geodesic::direct(home, DegreesTrue::of(0.0), Metres::of(6000.0)).0;
    let place = |name: &str, kind, position| Place {
        name: name.into(),
        title: name.into(),
        kind,
        position,
        elevation: Some(Metres::of(10.0)),
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
            cameras: vec![camera("left", 270.0), camera("right", 90.0), camera("nose", 0.0)],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![
            place("PAD", PlaceKind::Waypoint, home),
            place("ARCH", PlaceKind::Sight, sight),
        ],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: vec![Zone {
            name: "arch".into(),
            shape: Shape::Circle { centre: sight, radius: Metres::of(1000.0) },
            band: None,
            margin: Metres::of(60.0),
            quiet: false,
            no_filming: None,
            source: SOURCE,
        }],
        rules: vec![Rule {
            name: "arch".into(),
            source: SOURCE,
            priority: 0,
            conditions: vec![Condition {
                test: Test::In(ZoneId(0)),
                written: "in: arch".into(),
                source: SOURCE,
            }],
            camera: Some(CameraEffect::Sequence(vec![CameraTurn {
                camera: CameraId(0),
                lasts: None,
            }])),
            record: Some(RecordEffect { on: true, post_roll: Millis(4500), on_ground: false }),
            narration: Some(NarrationEffect {
                narration: NarrationId(0),
                otherwise: Otherwise::Wait,
                waits: None,
                room: None,
            }),
            music: None,
            title: None,
            stills: vec![StillEffect { camera: None, moment: StillMoment::Closest(PlaceId(1)) }],
        }],
        narrations: vec![Narration::new(
            "arch",
            vec![Voice::unrecorded("en", "The arch.", Millis(20_250))],
            SOURCE,
        )],
        music: Vec::new(),
        titles: Vec::new(),
    }
}

fn straight_flight() -> Vec<Fix> {
    let home = Position::of(-48.0, -20.0);
    (0..240)
        .map(|second| {
            let at =
                geodesic::direct(home, DegreesTrue::of(0.0), Metres::of(50.0 * f64::from(second)))
                    .0;
            Fix {
                altitude: Some(Metres::of(300.0)),
                groundspeed: Some(MetresPerSecond::of(50.0)),
                track: Some(DegreesTrue::of(0.0)),
                ..Fix::at(Utc(1_000_000 + 1000 * i64::from(second)), at)
            }
        })
        .collect()
}

#[test]
fn a_zone_brings_its_camera_narration_take_and_still() {
    let plan = small_plan();
    let mut engine = Engine::new(&plan, &Day::default(), Limits::of(&plan.settings)).unwrap();
    let mut log = Log::default();
    for fix in straight_flight() {
        engine.fix(&fix, &mut log);
    }
    engine.finish(&mut log);
    let at = |wanted: fn(&Event) -> bool| {
        let found = log.changes.iter().find(|change| wanted(&change.event)).unwrap();
        ((found.effect.0 - 1_000_000), found.own.map(|own| own.0 - 1_000_000))
    };
    // The edge is 5,000 m on: 100.000 s at 50 m/s, at a fix; the end of the margin at 7,060 m.
    assert_eq!(at(|event| matches!(event, Event::Entered { .. })), (100_000, None));
    assert_eq!(at(|event| matches!(event, Event::Left { .. })), (142_000, Some(141_200)));
    assert_eq!(
        at(|event| matches!(
            event,
            Event::Camera { to: Some(CameraId(0)), why: CameraWhy::Rule(_), .. }
        )),
        (100_000, None)
    );
    let narration = |what: NarrationEvent| {
        let event = Event::Narration { narration: NarrationId(0), what };
        log.changes
            .iter()
            .find(|change| change.event == event)
            .map(|change| change.effect.0 - 1_000_000)
    };
    assert_eq!(narration(NarrationEvent::Started), Some(100_000));
    assert_eq!(narration(NarrationEvent::Ended), Some(120_250));
    assert_eq!(at(|event| matches!(event, Event::RecordOn { .. })), (100_000, None));
    assert_eq!(at(|event| matches!(event, Event::RecordOff { .. })), (146_500, None));
    assert_eq!(at(|event| matches!(event, Event::Still { .. })), (121_000, Some(120_000)));
    assert_eq!(log.cameras.len(), 240);
}
