//! How long one fix takes: far from every zone, and along the edge of one.

#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a bench may stop, and its macro writes no docs"
)]

use criterion::{Criterion, criterion_group, criterion_main};
use earth::{Degrees, DegreesTrue, Fix, Metres, MetresPerSecond, Position, Utc, geodesic};
use engine::{Change, Engine, Limits, Notice, Sink, State};
use plan::{
    Aircraft, Approval, Camera, Day, Lens, Mix, Place, PlaceId, PlaceKind, Plan, PlannedRoute,
    Recorder, Settings, Shape, Source, Zone,
};

struct Nothing;

impl Sink for Nothing {
    fn change(&mut self, change: &Change) {
        std::hint::black_box(change);
    }
    fn state(&mut self, state: &State<'_>) {
        std::hint::black_box(state);
    }
    fn notice(&mut self, _: &Notice) {}
}

fn sea() -> Position {
    Position::of(-40.0, -20.0)
}

/// One circle of 2 km, invented.
fn plan() -> Plan {
    let camera = Camera {
        name: "nose".into(),
        input: 1,
        bearing: Degrees::ZERO,
        depression: Degrees::of(10.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: Vec::new(),
    };
    let place = Place {
        name: "PAD".into(),
        title: "Pad".into(),
        kind: PlaceKind::Waypoint,
        position: sea(),
        elevation: None,
        height: None,
        wanted: None,
    };
    let zone = Zone {
        name: "round".into(),
        shape: Shape::Circle { centre: sea(), radius: Metres::of(2000.0) },
        band: None,
        margin: Metres::of(50.0),
        quiet: false,
        no_filming: None,
        source: Source { file: 0, line: 1, column: 1 },
    };
    Plan {
        title: "Bench".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["bench.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Tern".into(),
            registration: None,
            heading_source: false,
            cameras: vec![camera],
            recorder: Recorder { streams: 1, bits_per_second: 1, card_bytes: None },
        },
        places: vec![place],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: Utc(0),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: vec![zone],
        rules: Vec::new(),
        narrations: Vec::new(),
        music: Vec::new(),
        titles: Vec::new(),
    }
}

/// A thousand fixes round the middle at a distance, 50 m apart.
fn round(distance: f64) -> Vec<Fix> {
    let turn = 50.0 / distance * 180.0 / std::f64::consts::PI;
    let at = |number: i64, bearing: f64| {
        let position = geodesic::direct(sea(), DegreesTrue::of(bearing), Metres::of(distance)).0;
        Fix {
            groundspeed: Some(MetresPerSecond::of(50.0)),
            track: Some(DegreesTrue::of(bearing + 90.0)),
            ..Fix::at(Utc(number * 1000), position)
        }
    };
    (0..1000)
        .zip(std::iter::successors(Some(0.0), |bearing| Some(bearing + turn)))
        .map(|(number, bearing)| at(number, bearing))
        .collect()
}

fn thousand_fixes(criterion: &mut Criterion) {
    let plan = plan();
    for (name, distance) in [("far from a zone", 20_000.0), ("along an edge", 2000.5)] {
        let fixes = round(distance);
        criterion.bench_function(&format!("a thousand fixes {name}"), |bencher| {
            bencher.iter(|| {
                let mut engine =
                    Engine::new(&plan, &Day::default(), Limits::of(&plan.settings)).unwrap();
                for fix in &fixes {
                    engine.fix(fix, &mut Nothing);
                }
                engine.finish(&mut Nothing);
            });
        });
    }
}

criterion_group!(benches, thousand_fixes);
criterion_main!(benches);
