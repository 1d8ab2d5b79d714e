//! A small plan for tests of this crate; everything in it is invented.

use earth::{Degrees, Metres, MetresPerSecond, Millis, Position, Utc};
use plan::{
    Aircraft, Approval, Camera, Condition, HandFilming, Lens, Mix, Music, Narration, Place,
    PlaceKind, Plan, PlannedRoute, Recorder, Rule, Settings, Shape, Source, Test, Title, Voice,
    Zone, ZoneId,
};

/// Two cameras, a sight, a zone, two rules, a narration, music and a title.
pub(crate) fn small_plan() -> Plan {
    let source = |line| Source { file: 0, line, column: 3 };
    let camera = |name: &str, input, bearing| Camera {
        name: name.into(),
        input,
        bearing: Degrees::of(bearing),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    };
    let rule = |name: &str, line| Rule {
        name: name.into(),
        source: source(line),
        priority: 0,
        conditions: vec![Condition {
            test: Test::In(ZoneId(0)),
            written: "in: arch".into(),
            source: source(line + 2),
        }],
        camera: None,
        record: None,
        narration: None,
        music: None,
        title: None,
        stills: Vec::new(),
    };
    Plan {
        title: "Out and back".into(),
        revision: 3,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["tour.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Heron".into(),
            registration: Some("XX-HER".into()),
            heading_source: false,
            cameras: vec![camera("left", 1, 270.0), camera("right", 2, 90.0)],
            recorder: Recorder {
                streams: 2,
                bits_per_second: 25_000_000,
                card_bytes: Some(128_000_000_000),
            },
        },
        places: vec![Place {
            name: "ARCH".into(),
            title: "The Sea Arch".into(),
            kind: PlaceKind::Sight,
            position: Position::of(10.0, 20.0),
            elevation: Some(Metres::ZERO),
            height: None,
            wanted: Some(plan::Wanted::default()),
        }],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: plan::PlaceId(0),
            legs: vec![plan::Leg {
                flown: plan::Flown::To(Position::of(10.1, 20.0)),
                label: "ARCH".into(),
                airspeed: MetresPerSecond::of(45.0),
                altitude: Metres::of(300.0),
                bank: Degrees::of(15.0),
                climb: MetresPerSecond::of(2.5),
                wind: None,
                source: source(20),
            }],
        },
        zones: vec![Zone {
            name: "arch".into(),
            shape: Shape::Circle { centre: Position::of(10.0, 20.0), radius: Metres::of(700.0) },
            band: None,
            margin: Metres::of(50.0),
            quiet: false,
            no_filming: Some(HandFilming::Refused),
            source: source(30),
        }],
        rules: vec![rule("arch-northbound", 40), rule("never", 50)],
        narrations: vec![Narration::new(
            "arch-story",
            vec![Voice::unrecorded("en", "Look left.", Millis(20_000))],
            source(60),
        )],
        music: vec![Music { title: "Strings".into(), ..Music::new("strings") }],
        titles: vec![Title { name: "arch-title".into(), text: "The Sea Arch".into() }],
    }
}
