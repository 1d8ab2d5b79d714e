//! Soundness: every bound at both its ends, and every rule that is no bound.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::*;
use earth::{Dbtp, Decibels, Degrees, Lufs, Metres, MetresPerSecond, Millis, Utc, geodesic};
use plan::bounds::{self, Bound};
use plan::*;

type Set = fn(&mut Plan, f64);

fn time(seconds: f64) -> Millis {
    Millis::from_secs_f64(seconds)
}

fn names<T>(count: f64, make: impl Fn(&str) -> T) -> Vec<T> {
    (0..count as usize).map(|n| make(&format!("n{n}"))).collect()
}

fn one_camera(plan: &mut Plan) -> &mut Camera {
    plan.aircraft.cameras = vec![camera("left")];
    &mut plan.aircraft.cameras[0]
}

fn one_zone(plan: &mut Plan, shape: Shape) -> &mut Zone {
    plan.zones = vec![zone("z", shape)];
    &mut plan.zones[0]
}

fn one_rule(plan: &mut Plan) -> &mut Rule {
    plan.rules = vec![rule("r")];
    &mut plan.rules[0]
}

fn room(plan: &mut Plan) -> &mut Room {
    one_narration(plan);
    let room =
        Room { way: Metres::of(900.0), stands: Millis(0), groundspeed: MetresPerSecond::of(40.0) };
    let rule = one_rule(plan);
    rule.narration = Some(NarrationEffect {
        narration: NarrationId(0),
        otherwise: Otherwise::Wait,
        waits: None,
        room: Some(room),
    });
    rule.narration.as_mut().unwrap().room.as_mut().unwrap()
}

fn one_test(plan: &mut Plan, test: Test) {
    one_rule(plan).conditions = vec![condition(test)];
}

fn one_leg(plan: &mut Plan, flown: Flown) -> &mut Leg {
    plan.route.legs = vec![leg(flown)];
    &mut plan.route.legs[0]
}

fn to() -> Flown {
    Flown::To(at(-40.0, -150.0))
}

fn one_narration(plan: &mut Plan) -> &mut Narration {
    plan.narrations = vec![narration("n")];
    &mut plan.narrations[0]
}

/// How a value of each bound gets into a plan.
fn wanted(plan: &mut Plan) -> &mut Wanted {
    plan.places[0].kind = PlaceKind::Sight;
    plan.places[0].wanted.get_or_insert_default()
}

fn table() -> Vec<(&'static Bound, Set)> {
    vec![
        (&bounds::REVISION, |p, v| p.revision = v as u32),
        (&bounds::NAME_LENGTH, |p, v| p.places[0].name = "é".repeat(v as usize)),
        (&bounds::TEXT_LENGTH, |p, v| one_narration(p).voices[0].text = "é".repeat(v as usize)),
        (&bounds::DIFFERENCES, |p, v| p.differences = names(v, str::to_owned)),
        (&bounds::SOURCES, |p, v| p.sources = names(v, str::to_owned)),
        (&bounds::SOURCE_COUNT, |p, v| one_narration(p).source.column = v as u32),
        (&bounds::CAMERAS, |p, v| p.aircraft.cameras = names(v, camera)),
        (&bounds::HIDDEN, |p, v| {
            let (from, to) = (Degrees::of(350.0), Degrees::of(10.0));
            let hidden = Hidden { from, to, below: None, above: None };
            one_camera(p).hidden = vec![hidden; v as usize];
        }),
        (&bounds::PLACES, |p, v| p.places = names(v, place)),
        (&bounds::LANDING_SITES, |p, v| p.landing_sites = vec![landing_site(0); v as usize]),
        (&bounds::LANDING_SITE_RADIUS, |p, v| {
            p.landing_sites = vec![LandingSite { place: PlaceId(0), radius: Metres::of(v) }];
        }),
        (&bounds::LEGS, |p, v| p.route.legs = vec![leg(to()); v as usize]),
        (&bounds::ZONES, |p, v| p.zones = names(v, |name| zone(name, circle()))),
        (&bounds::RING_POINTS, |p, v| {
            one_zone(p, Shape::Polygon { outer: line(v as usize), holes: vec![] });
        }),
        (&bounds::LINE_POINTS, |p, v| {
            one_zone(p, Shape::Gate { line: line(v as usize), crossed_from: Side::Left });
        }),
        (&bounds::HOLES, |p, v| {
            one_zone(p, Shape::Polygon { outer: line(4), holes: vec![line(3); v as usize] });
        }),
        (&bounds::POINTS, |p, v| {
            let mut left = v as usize;
            let mut n = 0;
            while left > 0 {
                let points = left.min(99_000);
                let shape = Shape::Gate { line: line(points), crossed_from: Side::Left };
                p.zones.push(zone(&format!("n{n}"), shape));
                (left, n) = (left - points, n + 1);
            }
        }),
        (&bounds::PARTS, |p, v| {
            let (any_of, all_of) = (vec![ZoneId(0); v as usize], vec![]);
            let combined = Shape::Combined { any_of, all_of, except: vec![] };
            p.zones = vec![zone("a", circle()), zone("b", combined)];
        }),
        (&bounds::RULES, |p, v| p.rules = names(v, rule)),
        (&bounds::CONDITIONS, |p, v| {
            one_rule(p).conditions = vec![condition(Test::Airborne); v as usize];
        }),
        (&bounds::CAMERA_LIST, |p, v| {
            one_camera(p);
            let turn = CameraTurn { camera: CameraId(0), lasts: Some(Millis(1000)) };
            one_rule(p).camera = Some(CameraEffect::Sequence(vec![turn; v as usize]));
        }),
        (&bounds::STILLS, |p, v| {
            let still = StillEffect { camera: None, moment: StillMoment::Start };
            one_rule(p).stills = vec![still; v as usize];
        }),
        (&bounds::NARRATIONS, |p, v| p.narrations = names(v, narration)),
        (&bounds::MUSIC, |p, v| {
            p.music = names(v, Music::new);
        }),
        (&bounds::TITLES, |p, v| {
            p.titles = names(v, |name| Title { name: name.into(), text: String::new() });
        }),
        (&bounds::MINIMUM_SPEED, |p, v| p.settings.minimum_speed = MetresPerSecond::of(v)),
        (&bounds::GREATEST_SPEED, |p, v| p.settings.greatest_speed = MetresPerSecond::of(v)),
        (&bounds::LOST_AFTER, |p, v| {
            p.settings.bridge = time(1000.0);
            p.settings.lost_after = time(v);
        }),
        (&bounds::BRIDGE, |p, v| {
            p.settings.lost_after = time(0.1);
            p.settings.bridge = time(v);
        }),
        (&bounds::LATE_ALLOWANCE, |p, v| p.settings.late_allowance = time(v)),
        (&bounds::TURNAROUND, |p, v| p.settings.turnaround = time(v)),
        (&bounds::CAMERA_TURN, |p, v| p.settings.default_turn = time(v)),
        (&bounds::MINIMUM_SHOT, |p, v| p.settings.minimum_shot = time(v)),
        (&bounds::SHOT_HOLD, |p, v| p.settings.shot_hold = time(v)),
        (&bounds::MANUAL_CAMERA, |p, v| p.settings.manual_camera = ManualCamera::For(time(v))),
        (&bounds::BREATH, |p, v| p.settings.breath = time(v)),
        (&bounds::DIRECTION_SLACK, |p, v| p.settings.direction_slack = Degrees::of(v)),
        (&bounds::ALTITUDE_SLACK, |p, v| p.settings.altitude_slack = Metres::of(v)),
        (&bounds::GROUNDSPEED_SLACK, |p, v| p.settings.groundspeed_slack = MetresPerSecond::of(v)),
        (&bounds::LONGEST_PAUSE, |p, v| p.settings.longest_pause = time(v)),
        (&bounds::WIND_SPEED, |p, v| {
            let from = earth::DegreesTrue::of(240.0);
            p.wind = Some(Wind { from, speed: MetresPerSecond::of(v) });
        }),
        (&bounds::AROUND, |p, v| {
            let (from, to) = (Degrees::of(v), Degrees::of(180.0));
            one_test(p, Test::Track(Window { from, to, north: North::True }));
        }),
        (&bounds::UP_OR_DOWN, |p, v| one_camera(p).depression = Degrees::of(v)),
        (&bounds::FIELD_OF_VIEW, |p, v| {
            let camera = one_camera(p);
            camera.lens = Lens::Equidistant;
            camera.width = Degrees::of(v);
        }),
        (&bounds::RECTILINEAR_FIELD, |p, v| one_camera(p).height = Some(Degrees::of(v))),
        (&bounds::STREAMS, |p, v| p.aircraft.recorder.streams = v as u32),
        (&bounds::BIT_RATE, |p, v| p.aircraft.recorder.bits_per_second = v as u64),
        (&bounds::CARD, |p, v| p.aircraft.recorder.card_bytes = Some(v as u64)),
        (&bounds::ALTITUDE, |p, v| p.places[0].elevation = Some(Metres::of(v))),
        (&bounds::SIGHT_HEIGHT, |p, v| p.places[0].height = Some(Metres::of(v))),
        (&bounds::WANTED_TIME, |p, v| wanted(p).lasts = time(v)),
        (&bounds::WANTED_DISTANCE, |p, v| wanted(p).within = Some(Metres::of(v))),
        (&bounds::WANTED_SIZE, |p, v| wanted(p).size = Some(earth::Share::of(v))),
        (&bounds::INTO_LENS, |p, v| p.light.into_lens = Degrees::of(v)),
        (&bounds::UTC_OFFSET, |p, v| p.route.utc_offset = time(v)),
        (&bounds::TIME_OF_DAY, |p, v| p.route.departures = vec![time(v)]),
        (&bounds::DEPARTURES, |p, v| {
            p.route.departures = (0..v as i64).map(Millis::from_secs).collect();
        }),
        (&bounds::GROUNDSPEED, |p, v| {
            let from = Some(MetresPerSecond::of(v));
            one_test(p, Test::Groundspeed(SpeedBand { from, to: None }));
        }),
        (&bounds::AIRSPEED, |p, v| one_leg(p, to()).airspeed = MetresPerSecond::of(v)),
        (&bounds::BANK, |p, v| one_leg(p, to()).bank = Degrees::of(v)),
        (&bounds::CLIMB, |p, v| one_leg(p, to()).climb = MetresPerSecond::of(v)),
        (&bounds::STAY, |p, v| {
            one_leg(p, Flown::Hover { at: at(0.0, 0.0), lasts: time(v), facing: None });
        }),
        (&bounds::ORBIT_RADIUS, |p, v| {
            let (turn, sweep) = (Turn::Left, Degrees::of(360.0));
            one_leg(p, Flown::Orbit { centre: at(0.0, 0.0), radius: Metres::of(v), turn, sweep });
        }),
        (&bounds::ORBIT_SWEEP, |p, v| {
            let (turn, sweep) = (Turn::Left, Degrees::of(v));
            let radius = Metres::of(400.0);
            one_leg(p, Flown::Orbit { centre: at(0.0, 0.0), radius, turn, sweep });
        }),
        (&bounds::DEPARTURE, |p, v| p.route.departure = Utc(v as i64)),
        (&bounds::RADIUS, |p, v| {
            one_zone(p, Shape::Circle { centre: at(0.0, 0.0), radius: Metres::of(v) });
        }),
        (&bounds::HALF_WIDTH, |p, v| {
            one_zone(p, Shape::Corridor { line: line(2), half_width: Metres::of(v) });
        }),
        (&bounds::EXTENT, |p, v| {
            let first = at(-40.0, 179.0);
            let (second, _) = geodesic::direct(first, earth::DegreesTrue::of(70.0), Metres::of(v));
            one_zone(p, Shape::Gate { line: vec![first, second], crossed_from: Side::Left });
        }),
        (&bounds::MARGIN, |p, v| one_zone(p, circle()).margin = Metres::of(v)),
        (&bounds::BEFORE_ABEAM_BY, |p, v| {
            let within = Metres::of(100.0);
            one_test(p, Test::BeforeAbeam { sight: PlaceId(0), by: time(v), within });
        }),
        (&bounds::BEFORE_ABEAM_WITHIN, |p, v| {
            let by = Millis(20_000);
            one_test(p, Test::BeforeAbeam { sight: PlaceId(0), by, within: Metres::of(v) });
        }),
        (&bounds::PASS, |p, v| {
            one_zone(p, circle());
            one_test(p, Test::Pass { zone: ZoneId(0), nth: v as u32 });
        }),
        (&bounds::POST_ROLL, |p, v| {
            one_rule(p).record =
                Some(RecordEffect { on: true, post_roll: time(v), on_ground: false });
        }),
        (&bounds::WAITS, |p, v| {
            one_narration(p);
            let (narration, otherwise) = (NarrationId(0), Otherwise::Wait);
            one_rule(p).narration =
                Some(NarrationEffect { narration, otherwise, waits: Some(time(v)), room: None });
        }),
        (&bounds::NARRATION_LENGTH, |p, v| {
            one_narration(p).voices[0].length = time(v);
            p.narrations[0].length = time(v);
        }),
        (&bounds::LANGUAGES, |p, v| p.languages = names(v, str::to_owned)),
        (&bounds::SYNC_WORD, |p, v| {
            one_narration(p).voices[0].sync_word =
                Some(SyncWord { word: "arch".into(), at: time(v) });
        }),
        (&bounds::ROOM_WAY, |p, v| room(p).way = Metres::of(v)),
        (&bounds::ROOM_STANDS, |p, v| room(p).stands = time(v)),
        (&bounds::ROOM_GROUNDSPEED, |p, v| room(p).groundspeed = MetresPerSecond::of(v)),
        (&bounds::MUSIC_TIME, |p, v| {
            let audio = Audio { file: "x.flac".into(), content: "0a".repeat(32) };
            let (audio, length) = (Some(audio), Some(time(v)));
            p.music = vec![Music { audio, length, ..Music::new("m") }];
        }),
        (&bounds::LOUDNESS, |p, v| p.mix.music = Lufs::of(v)),
        (&bounds::PEAK, |p, v| p.mix.peak = Dbtp::of(v)),
        (&bounds::DUCK, |p, v| p.mix.duck = Decibels::of(v)),
        (&bounds::FADE, |p, v| p.mix.attack = time(v)),
        (&bounds::STILL_EVERY, |p, v| {
            let moment = StillMoment::Every(time(v));
            one_rule(p).stills = vec![StillEffect { camera: None, moment }];
        }),
    ]
}

#[test]
fn every_bound_is_held_at_both_ends() {
    let table = table();
    for bound in bounds::ALL {
        let tried = table.iter().filter(|(tried, _)| tried.name == bound.name).count();
        assert_eq!(tried, 1, "{} is tried {tried} times", bound.name);
    }
    for (bound, set) in table {
        // The least step the field can hold; a point on the ground only comes out to a micrometre.
        let (step, slack) = match (bound.name, bound.unit) {
            (name, _) if name == bounds::EXTENT.name => (0.01, 0.01),
            (_, "s") => (0.001, 0.0),
            (_, "m" | "m/s" | "degrees") => (1e-6, 0.0),
            _ => (1.0, 0.0),
        };
        for inside in [bound.least + slack, bound.greatest - slack] {
            let mut plan = bare();
            set(&mut plan, inside);
            assert_eq!(plan.check(), Ok(()), "{} of {inside}", bound.name);
        }
        for outside in [bound.least - step, bound.greatest + step] {
            let unsigned = !matches!(bound.unit, "m" | "m/s" | "degrees" | "s" | "ms since 1970");
            let cannot_be = unsigned && (outside < 0.0 || outside > f64::from(u32::MAX));
            let too_long = unsigned && bound.greatest >= 1e12 && outside > 0.0;
            let said_otherwise = outside == 0.0 && bound.name == bounds::NAME_LENGTH.name
                || outside < 0.0 && bound.name == bounds::EXTENT.name;
            if cannot_be && !too_long || said_otherwise {
                continue;
            }
            let mut plan = bare();
            set(&mut plan, outside);
            let error = plan.check().expect_err(bound.name);
            let Fault::OutOfBounds { bound: said, .. } = error.fault else {
                panic!("{}: {error}", bound.name)
            };
            assert_eq!(said.name, bound.name, "{error}");
        }
    }
}

/// One change to a sound plan, and words of the fault that it must give.
type Case = (&'static str, fn(&mut Plan));

fn polygon(plan: &mut Plan, outer: Vec<earth::Position>) {
    one_zone(plan, Shape::Polygon { outer, holes: vec![] });
}

fn track(plan: &mut Plan, from: f64, to: f64) {
    let (from, to) = (Degrees::of(from), Degrees::of(to));
    one_test(plan, Test::Track(Window { from, to, north: North::Magnetic }));
}

fn combined(plan: &mut Plan, except: u32) {
    let shape =
        Shape::Combined { any_of: vec![ZoneId(0)], all_of: vec![], except: vec![ZoneId(except)] };
    plan.zones = vec![zone("a", circle()), zone("b", shape), zone("c", circle())];
}

const CASES: &[Case] = &[
    ("text is empty", |p| p.title = " ".into()),
    ("name is empty", |p| p.places[0].name = String::new()),
    ("control characters", |p| p.places[0].name = "PAD\n".into()),
    ("control characters", |p| p.aircraft.name = "\u{7f}".into()),
    ("`PAD` stands twice", |p| p.places.push(place("PAD"))),
    ("`left` stands twice", |p| p.aircraft.cameras = vec![camera("left"), camera("left")]),
    ("`z` stands twice", |p| p.zones = vec![zone("z", circle()), zone("z", circle())]),
    ("`r` stands twice", |p| p.rules = vec![rule("r"), rule("r")]),
    ("`n` stands twice", |p| p.narrations = vec![narration("n"), narration("n")]),
    ("not a date", |p| approve(p, "2026-02-29")),
    ("not a date", |p| approve(p, "2026-13-01")),
    ("not a date", |p| approve(p, "26-1-1")),
    ("not a date", |p| approve(p, "2026-01-01-01")),
    ("not below the greatest", |p| {
        p.settings.minimum_speed = MetresPerSecond::of(20.0);
        p.settings.greatest_speed = MetresPerSecond::of(20.0);
    }),
    ("bridge is less", |p| p.settings.bridge = Millis(4_999)),
    ("bearing is 360", |p| one_camera(p).bearing = Degrees::of(360.0)),
    ("ends of a window are equal", |p| track(p, 90.0, 90.0)),
    ("ends of a window are equal", |p| track(p, 0.0, 0.0)),
    ("ends of a window are equal", |p| track(p, 360.0, 0.0)),
    ("ends of a window are equal", |p| track(p, 360.0, 360.0)),
    ("at least one end", |p| one_test(p, Test::Altitude(AltitudeBand { from: None, to: None }))),
    ("above its upper end", |p| {
        let (from, to) = (Some(Metres::of(2.0)), Some(Metres::of(1.0)));
        one_zone(p, circle()).band = Some(AltitudeBand { from, to });
    }),
    ("above its upper end", |p| {
        let (from, to) = (Some(MetresPerSecond::of(2.0)), Some(MetresPerSecond::of(1.0)));
        one_test(p, Test::Groundspeed(SpeedBand { from, to }));
    }),
    ("no place 1", |p| p.landing_sites = vec![landing_site(1)]),
    ("no place 1", |p| p.route.home = PlaceId(1)),
    ("no source file 1", |p| one_zone(p, circle()).source.file = 1),
    ("no source file 1", |p| one_rule(p).source.file = 1),
    ("no source file 1", |p| one_leg(p, to()).source.file = 1),
    ("no zone 0", |p| one_test(p, Test::In(ZoneId(0)))),
    ("no zone 0", |p| one_test(p, Test::NotIn(ZoneId(0)))),
    ("no zone 0", |p| one_test(p, Test::Pass { zone: ZoneId(0), nth: 1 })),
    ("no rule 1", |p| one_test(p, Test::After(RuleId(1)))),
    ("no camera 0", |p| sequence(p, &[None])),
    ("no camera 3", |p| {
        one_camera(p);
        let effect = CameraEffect::LookAt { sight: PlaceId(0), from: vec![CameraId(3)] };
        one_rule(p).camera = Some(effect);
    }),
    ("no place 4", |p| {
        one_camera(p);
        let effect = CameraEffect::LookAt { sight: PlaceId(4), from: vec![CameraId(0)] };
        one_rule(p).camera = Some(effect);
    }),
    ("no narration 0", |p| {
        let (narration, otherwise) = (NarrationId(0), Otherwise::Skip);
        one_rule(p).narration =
            Some(NarrationEffect { narration, otherwise, waits: None, room: None });
    }),
    ("no piece of music 0", |p| one_rule(p).music = Some(MusicId(0))),
    ("no title 0", |p| one_rule(p).title = Some(TitleId(0))),
    ("no camera 2", |p| {
        let still = StillEffect { camera: Some(CameraId(2)), moment: StillMoment::Start };
        one_rule(p).stills = vec![still];
    }),
    ("no place 5", |p| {
        let still = StillEffect { camera: None, moment: StillMoment::Closest(PlaceId(5)) };
        one_rule(p).stills = vec![still];
    }),
    ("each of several cameras", |p| {
        one_camera(p);
        sequence(p, &[Some(Millis(1000)), None]);
    }),
    ("has no post-roll", |p| {
        let record = RecordEffect { on: false, post_roll: Millis(1), on_ground: false };
        one_rule(p).record = Some(record);
    }),
    ("`not in` says nothing", |p| {
        one_zone(p, Shape::Gate { line: line(2), crossed_from: Side::Either });
        one_test(p, Test::NotIn(ZoneId(0)));
    }),
    ("quiet or no-filming", |p| {
        one_zone(p, Shape::Gate { line: line(2), crossed_from: Side::Either }).quiet = true;
    }),
    ("repeats its first", |p| {
        polygon(p, vec![at(0.0, 0.0), at(0.0, 1.0), at(1.0, 0.0), at(0.0, 0.0)])
    }),
    ("repeats the one before", |p| {
        polygon(p, vec![at(0.0, 180.0), at(0.0, -180.0), at(1.0, 180.0)])
    }),
    ("repeats the one before", |p| polygon(p, vec![at(90.0, 5.0), at(90.0, 6.0), at(89.0, 0.0)])),
    ("does not come before", |p| combined(p, 1)),
    ("does not come before", |p| combined(p, 2)),
    ("no zone 7", |p| combined(p, 7)),
    ("cannot be combined", |p| {
        combined(p, 0);
        p.zones[0].shape = Shape::Gate { line: line(2), crossed_from: Side::Right };
    }),
    ("no altitude band of its own", |p| {
        combined(p, 0);
        p.zones[1].band = Some(AltitudeBand { from: Some(Metres::ZERO), to: None });
    }),
    ("no margin of its own", |p| {
        combined(p, 0);
        p.zones[1].margin = Metres::of(50.0);
    }),
];

fn approve(plan: &mut Plan, on: &str) {
    plan.approval = Approval::Approved { by: "M. Oke".into(), on: on.into() };
}

fn sequence(plan: &mut Plan, times: &[Option<Millis>]) {
    let turn = |lasts: &Option<Millis>| CameraTurn { camera: CameraId(0), lasts: *lasts };
    one_rule(plan).camera = Some(CameraEffect::Sequence(times.iter().map(turn).collect()));
}

#[test]
fn every_fault_is_found_and_named() {
    for (words, change) in CASES {
        let mut plan = bare();
        change(&mut plan);
        let error = plan.check().expect_err(words).to_string();
        assert!(error.contains(words), "`{words}` is not said in `{error}`");
    }
}

#[test]
fn rules_that_wait_for_each_other_are_all_named() {
    let mut plan = bare();
    let names = ["a", "b", "c", "d"];
    plan.rules = names.map(rule).to_vec();
    let waits = [(0_usize, 2_u32), (2, 3), (3, 1), (1, 2)];
    for (rule, other) in waits {
        plan.rules[rule].conditions = vec![condition(Test::After(RuleId(other)))];
    }
    let error = plan.check().unwrap_err();
    assert_eq!(error.fault, Fault::AfterCircle(vec![RuleId(2), RuleId(3), RuleId(1)]));
    assert!(error.to_string().starts_with("rules `c`, `d`, `b`: "), "{error}");
    plan.rules[3].conditions.clear();
    assert_eq!(plan.check(), Ok(()));
    plan.rules[3].conditions = vec![condition(Test::After(RuleId(3)))];
    assert_eq!(plan.check().unwrap_err().fault, Fault::AfterCircle(vec![RuleId(3)]));
}

/// A chain as long as a plan can be: walking it must not use up the stack.
#[test]
fn a_long_chain_of_rules_is_no_circle() {
    let mut plan = bare();
    plan.rules = names(bounds::RULES.greatest, rule);
    let count = plan.rules.len();
    for (index, rule) in plan.rules.iter_mut().enumerate().take(count - 1) {
        rule.conditions = vec![condition(Test::After(RuleId(index as u32 + 1)))];
    }
    assert_eq!(plan.check(), Ok(()));
}
