//! Small tours and flights for tests, in metres and seconds about an invented place.

use earth::{
    Degrees, DegreesTrue, Fix, HeadingReading, Metres, MetresPerSecond, Millis, Position,
    SourceHeading, Utc,
};
use engine::{Change, Event};
use plan::{
    Aircraft, AltitudeBand, Approval, Camera, CameraEffect, CameraId, CameraTurn, Condition, Day,
    Hand, HandFilming, LandingSite, Lens, Mix, Music, MusicId, Narration, NarrationEffect,
    NarrationId, OnRadio, Otherwise, Place, PlaceId, PlaceKind, Plan, PlannedRoute, RecordEffect,
    Recorder, Rule, RuleId, Settings, Shape, Side, Source, StillEffect, StillMoment, Test, Title,
    TitleId, Voice, Zone, ZoneId,
};

use super::fixes::{Limits, later};
use super::{Case, Film, Row, ground};

/// The middle of the invented place.
pub const MIDDLE: (f64, f64) = (61.3, -6.8);
/// When flights begin: 2026-06-01T10:30:00Z.
pub const START: Utc = Utc(1_780_309_800_000);

pub const LEFT: CameraId = CameraId(0);
pub const RIGHT: CameraId = CameraId(1);
pub const NOSE: CameraId = CameraId(2);
pub const TAIL: CameraId = CameraId(3);

/// A position so many metres east and north of the middle.
pub fn at(east: f64, north: f64) -> Position {
    let middle = Position::of(MIDDLE.0, MIDDLE.1);
    ground::direct(middle, east.atan2(north).to_degrees(), east.hypot(north)).0
}

pub fn secs(seconds: f64) -> Millis {
    Millis::from_secs_f64(seconds)
}

pub fn metres(value: f64) -> Metres {
    Metres::of(value)
}

pub fn source(line: u32) -> Source {
    Source { file: 0, line, column: 1 }
}

/// A tour in the making.
#[derive(Clone)]
pub struct Tour {
    pub plan: Plan,
    pub day: Day,
}

pub fn camera(name: &str, bearing: f64) -> Camera {
    Camera {
        name: name.to_owned(),
        input: 1,
        bearing: Degrees::of(bearing),
        depression: Degrees::of(0.0),
        width: Degrees::of(90.0),
        height: None,
        lens: Lens::Rectilinear,
        cabin: false,
        hidden: vec![],
    }
}

impl Tour {
    /// A tour with cameras left, right, nose and tail, home far away, and nothing else.
    pub fn new() -> Self {
        let home = Place {
            name: "PAD".to_owned(),
            title: "PAD".to_owned(),
            kind: PlaceKind::Waypoint,
            position: at(-50_000.0, 0.0),
            elevation: Some(metres(0.0)),
            height: None,
            wanted: None,
        };
        let cameras = vec![
            camera("left", 270.0),
            camera("right", 90.0),
            camera("nose", 0.0),
            camera("tail", 180.0),
        ];
        let plan = Plan {
            title: "Invented".to_owned(),
            revision: 1,
            approval: Approval::Draft,
            languages: vec!["en".to_owned()],
            mix: Mix::default(),
            light: plan::Light::default(),
            differences: Vec::new(),
            sources: vec!["tour.yaml".to_owned()],
            settings: Settings::default(),
            wind: None,
            aircraft: Aircraft {
                name: "Invented".to_owned(),
                registration: None,
                heading_source: true,
                cameras,
                recorder: Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None },
            },
            places: vec![home],
            landing_sites: vec![],
            route: PlannedRoute {
                departure: START,
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
        };
        Self { plan, day: Day::default() }
    }

    pub fn zone(&mut self, shape: Shape) -> ZoneId {
        let id = count(self.plan.zones.len());
        let margin = if matches!(shape, Shape::Combined { .. }) { 0.0 } else { 50.0 };
        self.plan.zones.push(Zone {
            name: format!("z{id}"),
            shape,
            band: None,
            margin: metres(margin),
            quiet: false,
            no_filming: None,
            source: source(1000 + id),
        });
        ZoneId(id)
    }

    /// A circle about a point so many metres east and north.
    pub fn circle(&mut self, east: f64, north: f64, radius: f64) -> ZoneId {
        self.zone(Shape::Circle { centre: at(east, north), radius: metres(radius) })
    }

    /// A gate across the way east: its line runs from south to north.
    pub fn gate(&mut self, east: f64, crossed_from: Side) -> ZoneId {
        let line = vec![at(east, -2000.0), at(east, 2000.0)];
        self.zone(Shape::Gate { line, crossed_from })
    }

    pub fn band(&mut self, zone: ZoneId, from: f64, to: f64) {
        self.plan.zones[zone.index()].band =
            Some(AltitudeBand { from: Some(metres(from)), to: Some(metres(to)) });
    }

    pub fn margin(&mut self, zone: ZoneId, margin: f64) {
        self.plan.zones[zone.index()].margin = metres(margin);
    }

    pub fn quiet(&mut self, zone: ZoneId) {
        self.plan.zones[zone.index()].quiet = true;
    }

    pub fn no_filming(&mut self, zone: ZoneId, by_hand: HandFilming) {
        self.plan.zones[zone.index()].no_filming = Some(by_hand);
    }

    pub fn sight(&mut self, east: f64, north: f64) -> PlaceId {
        let id = count(self.plan.places.len());
        self.plan.places.push(Place {
            name: format!("P{id}"),
            title: format!("P{id}"),
            kind: PlaceKind::Sight,
            position: at(east, north),
            elevation: Some(metres(0.0)),
            height: None,
            wanted: Some(plan::Wanted::default()),
        });
        PlaceId(id)
    }

    /// The planned route begins here: home for a run that begins in the air.
    pub fn home(&mut self, east: f64, north: f64) {
        self.plan.places[0].position = at(east, north);
    }

    pub fn landing_site(&mut self, east: f64, north: f64) {
        let place = self.sight(east, north);
        self.plan.landing_sites.push(LandingSite { place, radius: metres(1000.0) });
    }

    pub fn narration(&mut self, seconds: f64) -> NarrationId {
        let id = count(self.plan.narrations.len());
        let voice = Voice::unrecorded("en", "Invented.", secs(seconds));
        let name = format!("n{id}");
        self.plan.narrations.push(Narration::new(&name, vec![voice], source(2000 + id)));
        NarrationId(id)
    }

    pub fn lasts(&mut self, narration: NarrationId, seconds: f64) {
        let narration = &mut self.plan.narrations[narration.index()];
        narration.voices[0].length = secs(seconds);
        narration.length = secs(seconds);
    }

    /// Gives a narration a short version, and the rule that asks for it the room that is planned.
    pub fn shortened(&mut self, narration: NarrationId, seconds: f64) -> NarrationId {
        let short = self.narration(seconds);
        let whole = self.plan.narrations[narration.index()].clone();
        let same = &mut self.plan.narrations[short.index()];
        (same.again, same.on_ground) = (whole.again, whole.on_ground);
        (same.on_radio, same.longest_pause) = (whole.on_radio, whole.longest_pause);
        self.plan.narrations[narration.index()].short = Some(short);
        short
    }

    pub fn on_radio(&mut self, narration: NarrationId, how: OnRadio) {
        self.plan.narrations[narration.index()].on_radio = Some(how);
    }

    pub fn music(&mut self) -> MusicId {
        let id = count(self.plan.music.len());
        self.plan.music.push(Music::new(&format!("m{id}")));
        MusicId(id)
    }

    pub fn title(&mut self) -> TitleId {
        let id = count(self.plan.titles.len());
        self.plan.titles.push(Title { name: format!("t{id}"), text: "Invented".to_owned() });
        TitleId(id)
    }

    /// Adds a rule; conditions and effects are chained on to what [`rule`] gives.
    pub fn rule(&mut self, mut rule: Rule) -> RuleId {
        let id = count(self.plan.rules.len());
        rule.name = format!("r{id}");
        rule.source = source(id + 1);
        self.plan.rules.push(rule);
        RuleId(id)
    }

    /// Flies the tour. The limits are the plan's: nothing is raised.
    pub fn fly(&self, flight: &Flight) -> Film {
        self.fly_with(flight, &[])
    }

    /// Flies the tour with a hand at the controls: actions at seconds from the start.
    pub fn fly_with(&self, flight: &Flight, hands: &[(f64, Hand)]) -> Film {
        let case = self.case(flight, hands);
        super::real::fly_both(&case)
    }

    pub fn case(&self, flight: &Flight, hands: &[(f64, Hand)]) -> Case {
        self.plan.check().unwrap();
        Case {
            plan: self.plan.clone(),
            day: self.day.clone(),
            limits: Limits::of(&self.plan.settings),
            fixes: flight.fixes.clone(),
            hands: hands.iter().map(|(at, hand)| (START + secs(*at), *hand)).collect(),
        }
    }
}

pub fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap()
}

/// A rule without conditions or effects, to be chained on to.
pub fn rule() -> Rule {
    Rule {
        name: String::new(),
        source: source(1),
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

/// Conditions and effects, one word each.
pub trait Chain {
    fn when(self, test: Test) -> Self;
    fn priority(self, priority: i32) -> Self;
    fn shows(self, camera: CameraId) -> Self;
    fn shows_in_turn(self, cameras: &[(CameraId, f64)]) -> Self;
    fn looks_at(self, sight: PlaceId, from: &[CameraId]) -> Self;
    fn records(self) -> Self;
    fn records_with_post_roll(self, seconds: f64) -> Self;
    fn records_on_ground(self) -> Self;
    fn stops_recording(self) -> Self;
    fn says(self, narration: NarrationId) -> Self;
    fn says_or(self, narration: NarrationId, otherwise: Otherwise) -> Self;
    fn says_within(self, narration: NarrationId, seconds: f64) -> Self;
    fn plays(self, music: MusicId) -> Self;
    fn titles(self, title: TitleId) -> Self;
    fn takes_still(self, moment: StillMoment) -> Self;
    fn takes_still_by(self, camera: CameraId, moment: StillMoment) -> Self;
}

impl Chain for Rule {
    fn when(mut self, test: Test) -> Self {
        let source = source(3000);
        self.conditions.push(Condition { test, written: "as written".to_owned(), source });
        self
    }
    fn priority(mut self, priority: i32) -> Self {
        self.priority = priority;
        self
    }
    fn shows(mut self, camera: CameraId) -> Self {
        self.camera = Some(CameraEffect::Sequence(vec![CameraTurn { camera, lasts: None }]));
        self
    }
    fn shows_in_turn(mut self, cameras: &[(CameraId, f64)]) -> Self {
        let turn = |(camera, seconds): &(CameraId, f64)| CameraTurn {
            camera: *camera,
            lasts: Some(secs(*seconds)),
        };
        self.camera = Some(CameraEffect::Sequence(cameras.iter().map(turn).collect()));
        self
    }
    fn looks_at(mut self, sight: PlaceId, from: &[CameraId]) -> Self {
        self.camera = Some(CameraEffect::LookAt { sight, from: from.to_vec() });
        self
    }
    fn records(self) -> Self {
        self.records_with_post_roll(0.0)
    }
    fn records_with_post_roll(mut self, seconds: f64) -> Self {
        self.record = Some(RecordEffect { on: true, post_roll: secs(seconds), on_ground: false });
        self
    }
    fn records_on_ground(mut self) -> Self {
        self.record = Some(RecordEffect { on: true, post_roll: Millis::ZERO, on_ground: true });
        self
    }
    fn stops_recording(mut self) -> Self {
        self.record = Some(RecordEffect { on: false, post_roll: Millis::ZERO, on_ground: false });
        self
    }
    fn says(self, narration: NarrationId) -> Self {
        self.says_or(narration, Otherwise::Wait)
    }
    fn says_or(mut self, narration: NarrationId, otherwise: Otherwise) -> Self {
        self.narration = Some(NarrationEffect { narration, otherwise, waits: None, room: None });
        self
    }
    fn says_within(mut self, narration: NarrationId, seconds: f64) -> Self {
        self.narration = Some(NarrationEffect {
            narration,
            otherwise: Otherwise::Wait,
            waits: Some(secs(seconds)),
            room: None,
        });
        self
    }
    fn plays(mut self, music: MusicId) -> Self {
        self.music = Some(music);
        self
    }
    fn titles(mut self, title: TitleId) -> Self {
        self.title = Some(title);
        self
    }
    fn takes_still(mut self, moment: StillMoment) -> Self {
        self.stills.push(StillEffect { camera: None, moment });
        self
    }
    fn takes_still_by(mut self, camera: CameraId, moment: StillMoment) -> Self {
        self.stills.push(StillEffect { camera: Some(camera), moment });
        self
    }
}

/// A flight in the making: fixes with position, altitude, speed and track.
#[derive(Clone)]
pub struct Flight {
    pub fixes: Vec<Fix>,
    pub east: f64,
    pub north: f64,
    pub altitude: Option<f64>,
    time: Utc,
    step: f64,
    velocity: (f64, f64),
}

impl Flight {
    /// One fix at the start, at so many metres east and north, 300 m high, flying with a velocity
    /// in metres a second east and north. From there on one fix a second.
    pub fn start(east: f64, north: f64, velocity: (f64, f64)) -> Self {
        let mut flight = Self {
            fixes: vec![],
            east,
            north,
            altitude: Some(300.0),
            time: START,
            step: 1.0,
            velocity,
        };
        flight.mark();
        flight
    }

    /// One fix at rest on the ground.
    pub fn parked(east: f64, north: f64) -> Self {
        let mut flight = Self {
            fixes: vec![],
            east,
            north,
            altitude: Some(0.0),
            time: START,
            step: 1.0,
            velocity: (0.0, 0.0),
        };
        flight.mark();
        flight
    }

    /// A flight due east along the line through the middle at 50 m/s, so that at second t it is
    /// 50 t metres east of where it began.
    pub fn eastward(from_east: f64, seconds: f64) -> Self {
        Self::start(from_east, 0.0, (50.0, 0.0)).on(seconds)
    }

    fn mark(&mut self) {
        let (east, north) = self.velocity;
        let mut fix = Fix::at(self.time, at(self.east, self.north));
        fix.altitude = self.altitude.map(metres);
        fix.groundspeed = Some(MetresPerSecond::of(east.hypot(north)));
        fix.track = Some(DegreesTrue::of(east.atan2(north).to_degrees()));
        self.fixes.push(fix);
    }

    fn advance(&mut self, seconds: f64) {
        self.east += self.velocity.0 * seconds;
        self.north += self.velocity.1 * seconds;
        self.time = later(self.time, secs(seconds).0);
    }

    /// Seconds between fixes from here on.
    pub fn every(mut self, seconds: f64) -> Self {
        self.step = seconds;
        self
    }

    /// Flies on for a time, with a fix at every step.
    pub fn on(mut self, seconds: f64) -> Self {
        let mut left = seconds;
        while left > 1e-9 {
            let step = self.step.min(left);
            self.advance(step);
            self.mark();
            left -= step;
        }
        self
    }

    /// Flies on for a time with no fix until its end, where there is one.
    pub fn silent(mut self, seconds: f64) -> Self {
        self.advance(seconds);
        self.mark();
        self
    }

    /// Turns at once to another velocity: the present fix says so already.
    pub fn turn(mut self, velocity: (f64, f64)) -> Self {
        self.velocity = velocity;
        self.fixes.pop();
        self.mark();
        self
    }

    /// Is at once at another altitude from the next fix on.
    pub fn climb_to(mut self, altitude: f64) -> Self {
        self.altitude = Some(altitude);
        self
    }

    /// Altitude is not given from the next fix on.
    pub fn without_altitude(mut self) -> Self {
        self.altitude = None;
        self
    }

    /// Changes the last fix.
    pub fn but(mut self, change: impl FnOnce(&mut Fix)) -> Self {
        change(self.fixes.last_mut().unwrap());
        self
    }

    /// Changes every fix so far.
    pub fn all(mut self, change: impl Fn(&mut Fix)) -> Self {
        self.fixes.iter_mut().for_each(change);
        self
    }
}

/// A heading in degrees true from a source, spoken with the fix.
pub fn heading(fix: &Fix, degrees: f64) -> Option<SourceHeading> {
    let reading = HeadingReading::True(DegreesTrue::of(degrees));
    Some(SourceHeading { time: fix.time, reading })
}

impl Film {
    /// Seconds from the start at which changes of a kind took effect.
    pub fn when(&self, wanted: impl Fn(&Event) -> bool) -> Vec<f64> {
        self.all(wanted).iter().map(|change| (change.effect - START).secs()).collect()
    }

    /// Changes of a kind.
    pub fn all(&self, wanted: impl Fn(&Event) -> bool) -> Vec<Change> {
        self.changes.iter().filter(|change| wanted(&change.event)).copied().collect()
    }

    /// The state at the fix so many seconds from the start.
    pub fn at(&self, seconds: f64) -> &Row {
        let time = START + secs(seconds);
        let found = self.states.iter().find(|row| row.time == time);
        found.unwrap_or_else(|| panic!("no good fix at {seconds} s"))
    }

    /// Camera changes: seconds and camera.
    pub fn cuts(&self) -> Vec<(f64, CameraId)> {
        self.changes
            .iter()
            .filter_map(|change| match change.event {
                Event::Camera { to: Some(to), .. } => Some(((change.effect - START).secs(), to)),
                _ => None,
            })
            .collect()
    }

    /// When a title came and went, and which.
    pub fn titles(&self) -> Vec<(f64, Option<TitleId>)> {
        self.changes
            .iter()
            .filter_map(|change| match change.event {
                Event::Title { to, .. } => Some(((change.effect - START).secs(), to)),
                _ => None,
            })
            .collect()
    }

    /// What happened to narrations, and when.
    pub fn spoken(&self) -> Vec<(f64, NarrationId, engine::NarrationEvent)> {
        self.changes
            .iter()
            .filter_map(|change| match change.event {
                Event::Narration { narration, what } => {
                    Some(((change.effect - START).secs(), narration, what))
                }
                _ => None,
            })
            .collect()
    }

    /// When takes began (true) and ended (false).
    pub fn takes(&self) -> Vec<(f64, bool)> {
        self.changes
            .iter()
            .filter_map(|change| {
                let on = match change.event {
                    Event::RecordOn { .. } => true,
                    Event::RecordOff { .. } => false,
                    _ => return None,
                };
                Some(((change.effect - START).secs(), on))
            })
            .collect()
    }

    /// Stills: seconds and camera.
    pub fn stills(&self) -> Vec<(f64, CameraId)> {
        self.changes
            .iter()
            .filter_map(|change| match change.event {
                Event::Still { camera, .. } => Some(((change.effect - START).secs(), camera)),
                _ => None,
            })
            .collect()
    }
}
