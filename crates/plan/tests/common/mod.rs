//! Plans for tests: the least one, one with everything in it, and made-up ones. All invented.

#![allow(dead_code, reason = "each test file uses what it needs of this one")]

use earth::{Degrees, DegreesTrue, Lufs, Metres, MetresPerSecond, Millis, Position, Utc};
use plan::bounds::{self, Bound};
use plan::*;

pub(crate) const SOURCE: Source = Source { file: 0, line: 1, column: 1 };

pub(crate) fn at(lat: f64, lon: f64) -> Position {
    Position::of(lat, lon)
}

/// The least plan that is sound: a home and nothing else.
pub(crate) fn bare() -> Plan {
    Plan {
        title: "Nothing to see".into(),
        revision: 1,
        approval: Approval::Draft,
        languages: vec!["en".into()],
        mix: Mix::default(),
        light: plan::Light::default(),
        differences: Vec::new(),
        sources: vec!["tours/bare.yaml".into()],
        settings: Settings::default(),
        wind: None,
        aircraft: Aircraft {
            name: "Kite".into(),
            registration: None,
            heading_source: false,
            cameras: vec![],
            recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
        },
        places: vec![place("PAD")],
        landing_sites: vec![],
        route: PlannedRoute {
            departure: Utc(1_780_000_000_000),
            utc_offset: earth::Millis(0),
            departures: Vec::new(),
            home: PlaceId(0),
            legs: vec![],
        },
        zones: vec![],
        rules: vec![],
        narrations: vec![],
        music: vec![],
        titles: vec![],
    }
}

pub(crate) fn place(name: &str) -> Place {
    Place {
        name: name.into(),
        title: name.into(),
        kind: PlaceKind::Waypoint,
        position: at(-40.25, -150.5),
        elevation: Some(Metres::of(12.0)),
        height: None,
        wanted: None,
    }
}

pub(crate) fn landing_site(place: u32) -> LandingSite {
    LandingSite { place: PlaceId(place), radius: Metres::of(1000.0) }
}

pub(crate) fn camera(name: &str) -> Camera {
    Camera {
        name: name.into(),
        input: 1,
        bearing: Degrees::of(270.0),
        depression: Degrees::of(15.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: vec![],
    }
}

pub(crate) fn zone(name: &str, shape: Shape) -> Zone {
    let margin = match shape {
        Shape::Combined { .. } => Metres::ZERO,
        _ => Metres::of(50.0),
    };
    Zone {
        name: name.into(),
        shape,
        band: None,
        margin,
        quiet: false,
        no_filming: None,
        source: SOURCE,
    }
}

pub(crate) fn circle() -> Shape {
    Shape::Circle { centre: at(-40.0, -150.0), radius: Metres::of(600.0) }
}

/// A line of so many points, one arc second apart.
pub(crate) fn line(points: usize) -> Vec<Position> {
    let wide = 500;
    let step = 1.0 / 3600.0;
    let point = |n: usize| at(-40.0 + (n / wide) as f64 * step, -150.0 + (n % wide) as f64 * step);
    (0..points).map(point).collect()
}

pub(crate) fn rule(name: &str) -> Rule {
    Rule {
        name: name.into(),
        source: SOURCE,
        priority: 0,
        conditions: vec![],
        camera: None,
        record: None,
        narration: None,
        music: None,
        title: None,
        stills: vec![],
    }
}

pub(crate) fn condition(test: Test) -> Condition {
    Condition { test, written: "as written".into(), source: SOURCE }
}

pub(crate) fn narration(name: &str) -> Narration {
    let voice = Voice::unrecorded("en", "The arch was cut by the sea.", Millis(14_500));
    Narration::new(name, vec![voice], SOURCE)
}

pub(crate) fn leg(flown: Flown) -> Leg {
    Leg {
        flown,
        label: "ARCH".into(),
        airspeed: MetresPerSecond::from_knots(95.0),
        altitude: Metres::from_feet(1000.0),
        bank: Degrees::of(15.0),
        climb: MetresPerSecond::of(2.5),
        wind: None,
        source: SOURCE,
    }
}

/// A source of values for made-up plans: SplitMix64, the same on every machine.
pub(crate) struct Maker(u64);

impl Maker {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.bits() % end.max(1) as u64) as usize
    }

    pub(crate) fn coin(&mut self) -> bool {
        self.bits() & 1 == 1
    }

    pub(crate) fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        if self.coin() { Some(make(self)) } else { None }
    }

    /// A value within a bound: now and then one of its ends.
    pub(crate) fn within(&mut self, bound: &Bound) -> f64 {
        match self.below(8) {
            0 => bound.least,
            1 => bound.greatest,
            _ => {
                let part = (self.bits() >> 11) as f64 / (1_u64 << 53) as f64;
                (bound.least + (bound.greatest - bound.least) * part)
                    .clamp(bound.least, bound.greatest)
            }
        }
    }

    pub(crate) fn metres(&mut self, bound: &Bound) -> Metres {
        Metres::of(self.within(bound))
    }

    pub(crate) fn speed(&mut self, bound: &Bound) -> MetresPerSecond {
        MetresPerSecond::of(self.within(bound))
    }

    pub(crate) fn degrees(&mut self, bound: &Bound) -> Degrees {
        Degrees::of(self.within(bound))
    }

    pub(crate) fn time(&mut self, bound: &Bound) -> Millis {
        Millis::from_secs_f64(self.within(bound))
    }

    fn text(&mut self) -> String {
        let bits = ["rock", " ", "é", "日", "\"", "\\", "\n", "🚁", "&", "</b>", "\u{2028}"];
        (0..self.below(12)).map(|_| bits[self.below(bits.len())]).collect()
    }

    fn text_of_one_line(&mut self) -> String {
        format!("x{}", self.text().replace(char::is_control, " "))
    }

    fn audio(&mut self) -> Audio {
        let digit = char::from_digit(self.below(16) as u32, 16).unwrap();
        Audio { file: self.text_of_one_line(), content: digit.to_string().repeat(64) }
    }

    fn name(&mut self, kind: &str, index: usize) -> String {
        let tails = ["", " é", " \"x\"", "-日", "_\\"];
        format!("{kind}{index}{}", tails[self.below(tails.len())])
    }

    fn ends(&mut self) -> (Degrees, Degrees) {
        let (from, to) = (self.degrees(&bounds::AROUND), self.degrees(&bounds::AROUND));
        if from.get() % 360.0 == to.get() % 360.0 {
            return (Degrees::of(0.0), Degrees::of(360.0));
        }
        (from, to)
    }

    fn window(&mut self) -> Window {
        let (from, to) = self.ends();
        let north = if self.coin() { North::True } else { North::Magnetic };
        Window { from, to, north }
    }

    fn band(&mut self) -> AltitudeBand {
        let (a, b) = (self.metres(&bounds::ALTITUDE), self.metres(&bounds::ALTITUDE));
        let (low, high) = if a <= b { (a, b) } else { (b, a) };
        match self.below(3) {
            0 => AltitudeBand { from: Some(low), to: None },
            1 => AltitudeBand { from: None, to: Some(high) },
            _ => AltitudeBand { from: Some(low), to: Some(high) },
        }
    }

    fn wind(&mut self) -> Wind {
        Wind {
            from: DegreesTrue::of(self.within(&bounds::AROUND)),
            speed: self.speed(&bounds::WIND_SPEED),
        }
    }

    fn position(&mut self) -> Position {
        let part = |bits: u64| (bits >> 11) as f64 / (1_u64 << 53) as f64 * 2.0 - 1.0;
        at(part(self.bits()) * 90.0, part(self.bits()) * 180.0)
    }

    /// A line that never stands still and stays within the greatest extent.
    fn line(&mut self, least: usize) -> Vec<Position> {
        let start = self.position();
        let lat = start.lat().clamp(-80.0, 80.0);
        (0..least + self.below(5))
            .map(|n| at(lat + n as f64 * 0.01, start.lon() + (self.below(90) as f64) * 0.001))
            .collect()
    }
}

/// A made-up sound plan; the same seed gives the same plan.
pub(crate) fn made_up(seed: u64) -> Plan {
    let mut m = Maker::new(seed);
    let mut plan = bare();
    plan.title = m.name("tour", 0);
    plan.revision = m.within(&bounds::REVISION) as u32;
    if m.coin() {
        plan.approval = Approval::Approved { by: m.name("p", 1), on: "2028-02-29".into() };
    }
    plan.settings = made_up_settings(&mut m);
    plan.wind = m.maybe(Maker::wind);
    for n in 0..m.below(5) {
        plan.aircraft.cameras.push(made_up_camera(&mut m, n));
    }
    plan.aircraft.recorder.card_bytes = m.maybe(|m| m.within(&bounds::CARD) as u64);
    for n in 0..m.below(6) {
        let mut place = place(&m.name("place", n));
        place.position = m.position();
        place.elevation = m.maybe(|m| m.metres(&bounds::ALTITUDE));
        plan.places.push(place);
    }
    let places = plan.places.len();
    for _ in 0..m.below(3) {
        let place = PlaceId(m.below(places) as u32);
        let radius = m.metres(&bounds::LANDING_SITE_RADIUS);
        plan.landing_sites.push(LandingSite { place, radius });
    }
    plan.route.departure = Utc(m.within(&bounds::DEPARTURE) as i64);
    for _ in 0..m.below(5) {
        let flown = made_up_flown(&mut m);
        let mut leg = leg(flown);
        leg.label = m.text();
        leg.wind = m.maybe(Maker::wind);
        plan.route.legs.push(leg);
    }
    for n in 0..m.below(7) {
        let zone = made_up_zone(&mut m, &plan, n);
        plan.zones.push(zone);
    }
    for n in 0..m.below(3) {
        let length = m.time(&bounds::NARRATION_LENGTH);
        let mut voice = Voice::unrecorded("en", &m.text(), length);
        voice.audio = m.maybe(Maker::audio);
        voice.sync_word =
            m.maybe(|m| SyncWord { word: m.name("word", n), at: m.time(&bounds::SYNC_WORD) });
        let mut narration = Narration::new(&m.name("said", n), vec![voice], SOURCE);
        narration.on_radio = m.maybe(|_| OnRadio::Paused);
        narration.longest_pause = m.maybe(|m| m.time(&bounds::LONGEST_PAUSE));
        plan.narrations.push(narration);
    }
    for n in 0..m.below(3) {
        let audio = m.maybe(Maker::audio);
        let length = audio.as_ref().map(|_| m.time(&bounds::MUSIC_TIME));
        plan.music.push(Music {
            title: m.name("t", n),
            length,
            audio,
            level: m.maybe(|_| Lufs::of(-24.5)),
            licence: m.maybe(|m| Licence {
                reference: m.maybe(Maker::text_of_one_line),
                until: m.maybe(|_| "2027-05-31".to_owned()),
            }),
            ..Music::new(&m.name("music", n))
        });
        plan.titles.push(Title { name: m.name("title", n), text: m.text() });
    }
    for n in 0..m.below(7) {
        let rule = made_up_rule(&mut m, &plan, n);
        plan.rules.push(rule);
    }
    plan
}

fn made_up_settings(m: &mut Maker) -> Settings {
    let lost_after = m.time(&bounds::LOST_AFTER);
    Settings {
        minimum_speed: m.speed(&bounds::MINIMUM_SPEED),
        greatest_speed: MetresPerSecond::of(51.0 + m.below(900) as f64),
        lost_after,
        bridge: m.time(&bounds::BRIDGE).max(lost_after),
        late_allowance: m.time(&bounds::LATE_ALLOWANCE),
        turnaround: m.time(&bounds::TURNAROUND),
        default_turn: m.time(&bounds::CAMERA_TURN),
        minimum_shot: m.time(&bounds::MINIMUM_SHOT),
        shot_hold: m.time(&bounds::SHOT_HOLD),
        manual_camera: if m.coin() {
            ManualCamera::For(m.time(&bounds::MANUAL_CAMERA))
        } else {
            ManualCamera::UntilReturned
        },
        breath: m.time(&bounds::BREATH),
        direction_slack: m.degrees(&bounds::DIRECTION_SLACK),
        altitude_slack: m.metres(&bounds::ALTITUDE_SLACK),
        groundspeed_slack: m.speed(&bounds::GROUNDSPEED_SLACK),
        on_radio: if m.coin() { OnRadio::Ducked } else { OnRadio::Dropped },
        longest_pause: m.time(&bounds::LONGEST_PAUSE),
    }
}

fn made_up_camera(m: &mut Maker, n: usize) -> Camera {
    let mut camera = camera(&m.name("camera", n));
    camera.bearing = Degrees::of(m.within(&bounds::AROUND) % 360.0);
    camera.depression = m.degrees(&bounds::UP_OR_DOWN);
    camera.height = m.maybe(|m| m.degrees(&bounds::RECTILINEAR_FIELD));
    if m.coin() {
        camera.lens = Lens::Equidistant;
        camera.width = m.degrees(&bounds::FIELD_OF_VIEW);
    }
    for _ in 0..m.below(3) {
        let (from, to) = m.ends();
        let below = m.maybe(|m| m.degrees(&bounds::UP_OR_DOWN));
        camera.hidden.push(Hidden { from, to, below, above: None });
    }
    camera
}

fn made_up_flown(m: &mut Maker) -> Flown {
    let place = m.position();
    match m.below(4) {
        0 => Flown::To(place),
        1 => Flown::Land {
            at: place,
            elevation: m.metres(&bounds::ALTITUDE),
            stays: m.time(&bounds::STAY),
        },
        2 => Flown::Hover {
            at: place,
            lasts: m.time(&bounds::STAY),
            facing: m.maybe(|m| DegreesTrue::of(m.within(&bounds::AROUND))),
        },
        _ => Flown::Orbit {
            centre: place,
            radius: m.metres(&bounds::ORBIT_RADIUS),
            turn: if m.coin() { Turn::Left } else { Turn::Right },
            sweep: m.degrees(&bounds::ORBIT_SWEEP),
        },
    }
}

fn made_up_zone(m: &mut Maker, plan: &Plan, n: usize) -> Zone {
    let solid: Vec<ZoneId> = (0_u32..)
        .zip(&plan.zones)
        .filter(|(_, zone)| !matches!(zone.shape, Shape::Gate { .. }))
        .map(|(index, _)| ZoneId(index))
        .collect();
    let centre = m.position();
    let shape = match m.below(6) {
        0 => Shape::Polygon { outer: m.line(3), holes: vec![m.line(3)] },
        1 => Shape::Corridor { line: m.line(2), half_width: m.metres(&bounds::HALF_WIDTH) },
        2 => {
            let (from, to) = m.ends();
            Shape::Sector { centre, radius: m.metres(&bounds::RADIUS), from, to }
        }
        3 => Shape::Gate { line: m.line(2), crossed_from: Side::Either },
        4 if !solid.is_empty() => Shape::Combined {
            any_of: vec![solid[m.below(solid.len())]],
            all_of: vec![solid[m.below(solid.len())]],
            except: if m.coin() { vec![] } else { vec![solid[m.below(solid.len())]] },
        },
        _ => Shape::Circle { centre, radius: m.metres(&bounds::RADIUS) },
    };
    let mut zone = zone(&m.name("zone", n), shape);
    if !matches!(zone.shape, Shape::Combined { .. }) {
        zone.margin = m.metres(&bounds::MARGIN);
        zone.band = m.maybe(Maker::band);
    }
    if !matches!(zone.shape, Shape::Gate { .. }) {
        zone.quiet = m.coin();
        zone.no_filming = m.maybe(|_| HandFilming::Refused);
    }
    zone
}

fn made_up_rule(m: &mut Maker, plan: &Plan, n: usize) -> Rule {
    let mut rule = rule(&m.name("rule", n));
    rule.priority = m.bits() as i32;
    let place = PlaceId(m.below(plan.places.len()) as u32);
    let zone = ZoneId(m.below(plan.zones.len()) as u32);
    let mut tests = vec![
        Test::Track(m.window()),
        Test::Heading(m.window()),
        Test::Altitude(m.band()),
        Test::Groundspeed(SpeedBand { from: Some(m.speed(&bounds::GROUNDSPEED)), to: None }),
        Test::BeforeAbeam {
            sight: place,
            by: m.time(&bounds::BEFORE_ABEAM_BY),
            within: m.metres(&bounds::BEFORE_ABEAM_WITHIN),
        },
        Test::OnGround,
        Test::Airborne,
    ];
    if !plan.zones.is_empty() {
        tests.push(Test::In(zone));
        tests.push(Test::Pass { zone, nth: m.within(&bounds::PASS) as u32 });
    }
    if n > 0 {
        tests.push(Test::After(RuleId(m.below(n) as u32)));
    }
    for _ in 0..m.below(4) {
        let test = tests.swap_remove(m.below(tests.len()));
        rule.conditions.push(Condition { test, written: m.text(), source: SOURCE });
    }
    let cameras = plan.aircraft.cameras.len();
    if cameras > 0 {
        let from: Vec<_> = (0..1 + m.below(3)).map(|_| CameraId(m.below(cameras) as u32)).collect();
        rule.camera = Some(if m.coin() {
            CameraEffect::LookAt { sight: place, from }
        } else {
            let turn = |camera| CameraTurn { camera, lasts: Some(Millis(2_500)) };
            CameraEffect::Sequence(from.into_iter().map(turn).collect())
        });
    }
    rule.record = m.maybe(|m| RecordEffect {
        on: true,
        post_roll: m.time(&bounds::POST_ROLL),
        on_ground: m.coin(),
    });
    if !plan.narrations.is_empty() {
        rule.narration = m.maybe(|m| NarrationEffect {
            narration: NarrationId(0),
            otherwise: Otherwise::Interrupt,
            waits: m.maybe(|m| m.time(&bounds::WAITS)),
            room: m.maybe(|m| Room {
                way: m.metres(&bounds::ROOM_WAY),
                stands: m.time(&bounds::ROOM_STANDS),
                groundspeed: m.speed(&bounds::ROOM_GROUNDSPEED),
            }),
        });
    }
    if !plan.music.is_empty() {
        rule.music = m.maybe(|_| MusicId(0));
        rule.title = m.maybe(|_| TitleId(0));
    }
    if m.coin() {
        rule.stills.push(StillEffect {
            camera: None,
            moment: match m.below(3) {
                0 => StillMoment::Start,
                1 => StillMoment::Every(m.time(&bounds::STILL_EVERY)),
                _ => StillMoment::Closest(place),
            },
        });
    }
    rule
}
