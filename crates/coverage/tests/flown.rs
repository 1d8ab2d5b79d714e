//! Made flights: what hinders a sight, one thing at a time; the light on it against sums made by
//! hand; and what the ground says.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

use coverage::ground::{Caution, flown_low, of_plan};
use coverage::light::{OnSight, SightLight, on_flight, score};
use coverage::{Coverage, Hindrance, Pose, SightSeen, Watch, cover};
use earth::sun::Sun;
use earth::{Degrees, DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Position, Utc, geodesic};
use engine::{Engine, Limits};
use plan::*;
use terrain::{Grid, Terrain};
use timeline::{Builder, Flight, Timeline};

const SOURCE: Source = Source { file: 0, line: 1, column: 1 };
/// Midnight of 20 March 2026, the day of the equinox.
const MIDNIGHT: Utc = Utc(1_773_964_800_000);

/// On the equator, where on that day the sun rises in the east and sets in the west.
fn home() -> Position {
    Position::of(0.0, 0.0)
}

fn there(azimuth: f64, metres: f64) -> Position {
    geodesic::direct(home(), DegreesTrue::of(azimuth), Metres::of(metres)).0
}

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

/// 6 km north and 600 m to the left of the line.
fn arch() -> Position {
    geodesic::direct(there(0.0, 6000.0), DegreesTrue::of(270.0), Metres::of(600.0)).0
}

/// Up north from home with the left camera live and recording in the air, past a sight on the left.
fn plan() -> Plan {
    let sequence = vec![CameraTurn { camera: CameraId(0), lasts: None }];
    let rule = Rule {
        name: "in the air".into(),
        source: SOURCE,
        priority: 0,
        conditions: vec![Condition {
            test: Test::Airborne,
            written: "phase: airborne".into(),
            source: SOURCE,
        }],
        camera: Some(CameraEffect::Sequence(sequence)),
        record: Some(RecordEffect { on: true, post_roll: Millis(0), on_ground: false }),
        narration: None,
        music: None,
        title: None,
        stills: vec![StillEffect { camera: None, moment: StillMoment::Closest(PlaceId(1)) }],
    };
    let place = |name: &str, kind, position, elevation| Place {
        name: name.into(),
        title: name.into(),
        kind,
        position,
        elevation: Some(Metres::of(elevation)),
        height: (kind == PlaceKind::Sight).then(|| Metres::of(40.0)),
        wanted: (kind == PlaceKind::Sight).then(Wanted::default),
    };
    Plan {
        title: "Small".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: Light::default(),
        differences: Vec::new(),
        sources: vec!["small.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Tern".into(),
            registration: None,
            heading_source: false,
            cameras: vec![camera("left", 270.0), camera("right", 90.0)],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![
            place("PAD", PlaceKind::Waypoint, home(), 0.0),
            place("ARCH", PlaceKind::Sight, arch(), 0.0),
        ],
        landing_sites: Vec::new(),
        route: PlannedRoute {
            departure: MIDNIGHT,
            utc_offset: Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: Vec::new(),
        },
        zones: Vec::new(),
        rules: vec![rule],
        narrations: Vec::new(),
        music: Vec::new(),
        titles: Vec::new(),
    }
}

/// Stands for 20 s, then flies north for 4 min at 50 m/s and 300 m.
fn fixes() -> Vec<Fix> {
    (0..260)
        .map(|second| {
            let flying = f64::from((second - 19).max(0));
            Fix {
                altitude: Some(Metres::of(if flying > 0.0 { 300.0 } else { 0.0 })),
                groundspeed: Some(MetresPerSecond::of(if flying > 0.0 { 50.0 } else { 0.0 })),
                track: Some(DegreesTrue::of(0.0)),
                ..Fix::at(MIDNIGHT + Millis::from_secs(second.into()), there(0.0, flying * 50.0))
            }
        })
        .collect()
}

fn fly(plan: &Plan, day: &Day, fixes: &[Fix]) -> (Timeline, Vec<Pose>) {
    let mut engine = Engine::new(plan, day, Limits::of(&plan.settings)).unwrap();
    let mut both = (Builder::new(plan), Watch::new(plan));
    for fix in fixes {
        engine.fix(fix, &mut both);
    }
    engine.finish(&mut both);
    (both.0.finish(), both.1.finish(None))
}

struct Flown {
    flight: Flight,
    poses: Vec<Pose>,
    coverage: Coverage,
}

fn flown(plan: &Plan, day: &Day, ground: Option<&Terrain>) -> Flown {
    let (timeline, poses) = fly(plan, day, &fixes());
    let flight = timeline.flights.first().unwrap().clone();
    let coverage = cover(plan, day, &flight, &poses, ground);
    Flown { flight, poses, coverage }
}

fn seen(plan: &Plan, day: &Day, ground: Option<&Terrain>) -> SightSeen {
    let mut sights = flown(plan, day, ground).coverage.sights;
    assert_eq!(sights.len(), 1);
    sights.remove(0)
}

fn hindrance(change: impl FnOnce(&mut Plan)) -> Hindrance {
    let mut plan = plan();
    change(&mut plan);
    let seen = seen(&plan, &Day::default(), None);
    assert!(!seen.is_filmed());
    seen.hindrance.unwrap()
}

/// By hand: the sight is 600 m aside, and the frame reaches 45 degrees to either side of the beam at
/// the height of its middle; so it is in the picture from 600 m before abeam to 600 m behind it, 24 s
/// at 50 m/s. The frame is tilted by 15 degrees: the sight, 25 degrees below the level abeam, is in
/// the lower half of the picture, whose lower edge is 44 degrees down.
#[test]
fn a_sight_on_the_left_is_filmed_by_the_left_camera() {
    let seen = seen(&plan(), &Day::default(), None);
    assert!(seen.is_filmed(), "{seen:?}");
    let filmed = seen.filmed.unwrap();
    assert_eq!(filmed.camera, CameraId(0));
    let seconds = filmed.span.length().secs();
    assert!((22.0..=27.0).contains(&seconds), "{seconds}");
    assert_eq!((seen.in_live, seen.in_any), (filmed.span.length(), filmed.span.length()));
    assert_eq!(seen.by_camera[1], Millis::ZERO);
    let best = seen.best.unwrap();
    // Abeam, 600 m aside and 280 m below: 662 m.
    assert!((best.distance.get() - 662.0).abs() < 3.0, "{best:?}");
    assert!(best.live);
}

#[test]
fn each_hindrance_by_itself() {
    let never = hindrance(|plan| {
        for rule in &mut plan.rules {
            rule.record = None;
        }
    });
    let Hindrance::NotRecorded { camera: CameraId(0), zone: None, .. } = never else {
        panic!("{never:?}")
    };
    let forbidden = hindrance(|plan| {
        plan.zones.push(Zone {
            name: "farm".into(),
            shape: Shape::Circle { centre: there(0.0, 6000.0), radius: Metres::of(2000.0) },
            band: None,
            margin: Metres::of(50.0),
            quiet: false,
            no_filming: Some(HandFilming::Refused),
            source: SOURCE,
        });
    });
    let Hindrance::NotRecorded { zone: Some(ZoneId(0)), .. } = forbidden else {
        panic!("{forbidden:?}")
    };
    let right = vec![CameraTurn { camera: CameraId(1), lasts: None }];
    let other = hindrance(|plan| {
        for rule in &mut plan.rules {
            rule.camera = Some(CameraEffect::Sequence(right.clone()));
        }
    });
    let Hindrance::OtherCameraLive { had: CameraId(0), live: Some(CameraId(1)), .. } = other else {
        panic!("{other:?}")
    };
    let wanted = |plan: &mut Plan, wanted: Wanted| {
        for place in plan.places.iter_mut().filter(|place| place.kind == PlaceKind::Sight) {
            place.wanted = Some(wanted);
        }
    };
    let short = hindrance(|plan| {
        wanted(plan, Wanted { lasts: Millis::from_secs(60), ..Wanted::default() });
    });
    assert!(matches!(short, Hindrance::TooShort { .. }), "{short:?}");
    let far = hindrance(|plan| {
        wanted(plan, Wanted { within: Some(Metres::of(500.0)), ..Wanted::default() });
    });
    let Hindrance::TooFar { nearest: (CameraId(0), distance), .. } = far else { panic!("{far:?}") };
    assert!((distance.get() - 662.0).abs() < 3.0, "{distance:?}");
    let airframe = hindrance(|plan| {
        let all =
            Hidden { from: Degrees::of(200.0), to: Degrees::of(340.0), below: None, above: None };
        for camera in &mut plan.aircraft.cameras {
            camera.hidden.push(all);
        }
    });
    assert!(matches!(airframe, Hindrance::BehindAirframe { camera: CameraId(0), .. }));
    let away = hindrance(|plan| plan.aircraft.cameras[0].bearing = Degrees::of(90.0));
    assert!(matches!(away, Hindrance::OutOfFrame), "{away:?}");
    let inside = hindrance(|plan| {
        for camera in &mut plan.aircraft.cameras {
            camera.cabin = true;
        }
    });
    assert!(matches!(inside, Hindrance::NoCamera), "{inside:?}");
}

#[test]
fn a_camera_that_is_not_used_today_hinders() {
    for day in [
        Day { out_of_service: vec![CameraId(0)], ..Day::default() },
        Day { not_allowed: vec![CameraId(0)], ..Day::default() },
    ] {
        let seen = seen(&plan(), &day, None);
        let Some(Hindrance::CameraNotUsed { camera: CameraId(0), .. }) = seen.hindrance else {
            panic!("{:?}", seen.hindrance)
        };
        assert_eq!(seen.in_any, Millis::ZERO);
    }
}

/// A grid of 111 m around the flight, so high where the longitude, in thousandths of a degree, says
/// so.
fn ridge(height: impl Fn(i32) -> f32) -> Terrain {
    let heights = (0..161_i32).flat_map(|_| (0..61).map(|column| height(column - 30)));
    let grid = Grid::new((0.14, -0.03), (0.001, 0.001), (161, 61), heights.collect()).unwrap();
    Terrain::new(vec![grid])
}

/// A wall of 290 m along the way, 330 m to the left: halfway to the sight the line of sight is 170 m
/// high.
#[test]
fn a_hill_between_hides_the_sight_and_a_low_one_does_not() {
    let wall = |height: f32| ridge(move |column| if column == -3 { height } else { 0.0 });
    let hidden = seen(&plan(), &Day::default(), Some(&wall(290.0)));
    assert!(matches!(hidden.hindrance, Some(Hindrance::BehindGround { .. })), "{hidden:?}");
    assert_eq!(hidden.in_any, Millis::ZERO);
    assert!(seen(&plan(), &Day::default(), Some(&wall(100.0))).is_filmed());
    // Of a place elsewhere nothing is known, and nothing is hidden.
    let grid = Grid::new((50.0, 10.0), (0.5, 0.5), (2, 2), vec![900.0; 4]).unwrap();
    let elsewhere = Terrain::new(vec![grid]);
    let flown = flown(&plan(), &Day::default(), Some(&elsewhere));
    assert!(!flown.coverage.ground_known && flown.coverage.sights[0].is_filmed());
}

fn light(plan: &Plan, hour: f64) -> SightLight {
    let flown = flown(plan, &Day::default(), None);
    let later = Millis::from_secs_f64(hour * 3600.0);
    let lights = on_flight(plan, &flown.flight, &flown.poses, &flown.coverage, later);
    assert_eq!(lights.len(), 1);
    *lights.first().unwrap()
}

/// By hand: at the equinox on the equator the sun climbs 15 degrees an hour, due east until noon and
/// due west after it; the equation of time puts it 7.5 min late. The camera looks west, 15 degrees
/// down. In the evening with the sun 10 degrees up, its angle to the axis is 25: into the lens for as
/// long as the sight is seen, and within the upper half of the frame, 29 degrees. So 40 less the half.
#[test]
fn the_light_on_a_sight_in_the_west_through_a_day() {
    let plan = plan();
    let morning = light(&plan, 7.125);
    assert_eq!((morning.on_sight, morning.score), (OnSight::Front, 100));
    assert!((morning.sun.azimuth.get() - 90.0).abs() < 1.0, "{morning:?}");
    assert!((morning.sun.elevation.get() - 15.0).abs() < 1.0, "{morning:?}");
    assert_eq!((morning.in_frame, morning.into_lens), (Millis::ZERO, Millis::ZERO));

    let evening = light(&plan, 17.43);
    assert_eq!((evening.on_sight, evening.score), (OnSight::Back, 20));
    assert!((evening.sun.azimuth.get() - 270.0).abs() < 1.0, "{evening:?}");
    assert!((evening.sun.elevation.get() - 10.0).abs() < 1.5, "{evening:?}");
    assert!(evening.of > Millis::from_secs(20));
    assert_eq!((evening.into_lens, evening.in_frame), (evening.of, evening.of));

    // Higher than 15 degrees it is out of the angle that the plan says, but behind the sight.
    let before = light(&plan, 16.5);
    assert_eq!(
        (before.on_sight, before.into_lens, before.score),
        (OnSight::Back, Millis::ZERO, 40)
    );
    // A smaller angle, and the evening sun shines into no lens; in the picture it is all the same.
    let mut narrow = plan.clone();
    narrow.light.into_lens = Degrees::of(20.0);
    let evening = light(&narrow, 17.43);
    assert_eq!(
        (evening.into_lens, evening.in_frame, evening.score),
        (Millis::ZERO, evening.of, 40)
    );

    let night = light(&plan, 22.0);
    assert_eq!((night.on_sight, night.score), (OnSight::Dark, 0));
    assert_eq!((night.in_frame, night.into_lens), (Millis::ZERO, Millis::ZERO));
}

/// The airframe shades the lens.
#[test]
fn a_sun_behind_the_airframe_is_in_no_lens() {
    let mut plan = plan();
    let above = Hidden {
        from: Degrees::of(180.0),
        to: Degrees::of(0.0),
        below: None,
        above: Some(Degrees::of(2.0)),
    };
    plan.aircraft.cameras[0].hidden.push(above);
    let evening = light(&plan, 17.43);
    assert_eq!(
        (evening.in_frame, evening.into_lens, evening.score),
        (Millis::ZERO, Millis::ZERO, 40)
    );
    assert!(evening.of > Millis::from_secs(20));
}

#[test]
fn scores_by_hand() {
    let seconds = Millis::from_secs;
    for (on_sight, into, of, wanted) in [
        (OnSight::Front, 0, 10, 100),
        (OnSight::Front, 10, 10, 50),
        (OnSight::Side, 5, 10, 60),
        (OnSight::Back, 5, 20, 35),
        (OnSight::Dark, 0, 10, 0),
        // Never in the live picture.
        (OnSight::Side, 0, 0, 80),
    ] {
        assert_eq!(score(on_sight, seconds(into), seconds(of)), wanted, "{on_sight:?}");
    }
}

/// The same direction as the sun is in by the published algorithm, whatever the flight.
#[test]
fn the_sun_is_that_of_the_moment_of_the_flight_moved() {
    let evening = light(&plan(), 17.43);
    let moved = evening.time + Millis::from_secs_f64(17.43 * 3600.0);
    let again = Sun::at(moved, there(0.0, 6000.0), Some(Metres::of(300.0))).unwrap();
    assert!(again.apart(evening.sun.azimuth, evening.sun.elevation).get() < 0.05);
}

fn banded(from: Option<f64>, to: Option<f64>, shape: Shape) -> Zone {
    Zone {
        name: "town".into(),
        shape,
        band: Some(AltitudeBand { from: from.map(Metres::of), to: to.map(Metres::of) }),
        margin: Metres::of(50.0),
        quiet: true,
        no_filming: None,
        source: SOURCE,
    }
}

fn corners(half: f64) -> Vec<Position> {
    [45.0, 135.0, 225.0, 315.0].map(|azimuth| there(azimuth, half * 2_f64.sqrt())).to_vec()
}

/// A hill of 250 m, two points wide, 1.1 km east of home; the sea elsewhere.
fn hill() -> Terrain {
    let heights = (0..161_i32).flat_map(|row| {
        (0..61_i32).map(move |column| {
            let at_hill = (row - 140).abs() <= 1 && (column - 40).abs() <= 1;
            if at_hill { 250.0 } else { 0.0 }
        })
    });
    let grid = Grid::new((0.14, -0.03), (0.001, 0.001), (161, 61), heights.collect()).unwrap();
    Terrain::new(vec![grid])
}

#[test]
fn bands_of_every_shape_are_held_against_the_ground() {
    let line = vec![there(270.0, 1500.0), there(90.0, 1500.0)];
    let shapes = [
        Shape::Circle { centre: home(), radius: Metres::of(1500.0) },
        Shape::Sector {
            centre: home(),
            radius: Metres::of(1500.0),
            from: Degrees::of(45.0),
            to: Degrees::of(135.0),
        },
        Shape::Polygon { outer: corners(1500.0), holes: Vec::new() },
        Shape::Corridor { line: line.clone(), half_width: Metres::of(200.0) },
        Shape::Gate { line, crossed_from: Side::Left },
    ];
    let ground = hill();
    let coverage = flown(&plan(), &Day::default(), None).coverage;
    let about = |from, to, shape: &Shape| {
        let mut plan = plan();
        plan.zones.push(banded(from, to, shape.clone()));
        of_plan(&plan, &coverage, &ground)
    };
    for shape in &shapes {
        let beneath = about(None, Some(200.0), shape);
        let [Caution::BandBeneathGround { zone: ZoneId(0), at, ground, ceiling }] =
            beneath.as_slice()
        else {
            panic!("{shape:?}: {beneath:?}")
        };
        assert_eq!(ceiling.get(), 200.0);
        assert!(ground.get() > 200.0);
        let away = geodesic::inverse(there(90.0, 1112.0), *at).distance.get();
        assert!(away < 250.0, "{shape:?}: {away} m from the hill");
        let floor = about(Some(100.0), Some(400.0), shape);
        assert!(matches!(floor.as_slice(), [Caution::FloorInGround { .. }]), "{floor:?}");
        // Above the hill, and with a lower end at the sea.
        assert_eq!(about(Some(260.0), None, shape), []);
        assert_eq!(about(Some(0.0), Some(400.0), shape), []);
    }
    // Beside the hill.
    let west = Shape::Sector {
        centre: home(),
        radius: Metres::of(1500.0),
        from: Degrees::of(135.0),
        to: Degrees::of(45.0),
    };
    assert_eq!(about(None, Some(200.0), &west), []);
    // The hill lies in the hole.
    let hole = [1.0, -1.0, -1.0, 1.0]
        .iter()
        .zip([1.0, 1.0, -1.0, -1.0])
        .map(|(north, east)| Position::of(0.004 * north, 0.01 + 0.004 * east))
        .collect();
    let holed = Shape::Polygon { outer: corners(1500.0), holes: vec![hole] };
    assert_eq!(about(None, Some(200.0), &holed), []);
    // Nothing is known of the ground: nothing is said.
    let mut plan = plan();
    plan.zones.push(banded(None, Some(-100.0), shapes[0].clone()));
    assert_eq!(of_plan(&plan, &coverage, &Terrain::default()), []);
}

#[test]
fn an_elevation_that_is_not_that_of_the_ground_is_told() {
    let coverage = flown(&plan(), &Day::default(), None).coverage;
    let cautions = |height: f32| of_plan(&plan(), &coverage, &ridge(move |_| height));
    assert_eq!(cautions(29.0), []);
    let told = cautions(31.0);
    let places = [PlaceId(0), PlaceId(1)].map(|place| Caution::ElevationDiffers {
        place,
        elevation: Metres::ZERO,
        ground: Metres::of(31.0),
    });
    assert_eq!(told, places);
}

/// By hand: the flight is at 300 m over ground of 200 m, so 100 m above it, and 1.5 NM (2778 m) from
/// where it left the ground after 55.6 s; it ends 12 km out, after 240 s.
#[test]
fn a_flight_low_above_the_ground_is_told_once_and_not_at_the_pad() {
    let plan = plan();
    let flown = flown(&plan, &Day::default(), None);
    let low = |ground: &Terrain| flown_low(&plan, &flown.flight, &flown.poses, ground);
    let told = low(&ridge(|_| 200.0));
    let [Caution::FlownLow { from, lasts, height, .. }] = told.as_slice() else {
        panic!("{told:?}")
    };
    assert!((height.get() - 100.0).abs() < 0.01, "{height:?}");
    let took_off = flown.flight.zero.unwrap();
    assert!(((*from - took_off).secs() - 55.6).abs() < 3.0, "{:?}", *from - took_off);
    assert!((lasts.secs() - (240.0 - 55.6)).abs() < 3.0, "{lasts:?}");
    assert_eq!(low(&ridge(|_| 150.0)), []);
    assert_eq!(low(&ridge(|_| f32::NAN)), []);
    // In the ground.
    let told = low(&ridge(|_| 320.0));
    assert!(matches!(told.as_slice(), [Caution::FlownLow { height, .. }] if height.get() < 0.0));
}

/// Above the polar circle in winter, across the 180th meridian, and with times beyond all reckoning:
/// light that is dark, or none, and never a crash.
#[test]
fn night_poles_and_the_180th_meridian() {
    let moved = |lat: f64, lon: f64, months: i64| {
        let mut plan = plan();
        let there = |at: Position| {
            let way = geodesic::inverse(home(), at);
            geodesic::direct(Position::of(lat, lon), way.azimuth_start, way.distance).0
        };
        for place in &mut plan.places {
            place.position = there(place.position);
        }
        let fixes: Vec<Fix> =
            fixes().into_iter().map(|fix| Fix { position: there(fix.position), ..fix }).collect();
        let (timeline, poses) = fly(&plan, &Day::default(), &fixes);
        let flight = timeline.flights.first().unwrap();
        let coverage = cover(&plan, &Day::default(), flight, &poses, None);
        let later = Millis::from_secs((months * 30 * 24 + 12) * 3600);
        on_flight(&plan, flight, &poses, &coverage, later)
    };
    // December at 78 north: dark at noon.
    let dark = moved(78.0, 15.0, 9);
    assert_eq!(dark.first().map(|it| (it.on_sight, it.score)), Some((OnSight::Dark, 0)));
    // June there at noon, and at midnight across the meridian: light.
    assert!(moved(78.0, 15.0, 3).first().unwrap().score > 0);
    let far_side = moved(70.0, 180.0, 3);
    assert!(far_side.first().unwrap().sun.is_up(), "{far_side:?}");
    assert_eq!(moved(0.0, 0.0, 12 * 9000), []);
}
