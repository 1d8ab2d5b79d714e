//! The demo operator's tours and flights: every tour compiles for every aircraft and is a good
//! tour on each, and every demo flight shows what it is there to show.
//!
//! All the material is invented. What a good tour is (each sight from its side, stories that end
//! before the next one, no long silence) is common practice, no source.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot go on has failed")]

use std::io::Read;
use std::path::Path;
use std::sync::LazyLock;

use earth::{Degrees, DegreesTrue, Fix, Millis, Position, Utc, geodesic};
use engine::{
    CameraWhy, Change, Cut, Engine, Event, GivenUp, HandOutcome, Limits, NarrationEvent, Notice,
    Obstacle, RecordWhy, RuleActivity, Sink, State,
};
use plan::{CameraEffect, CameraId, Day, Hand, NarrationId, Plan, RuleId, ZoneId};

#[path = "../examples/flights.rs"]
#[allow(dead_code, reason = "writing the files is for the program alone")]
mod flights;

const WEST_COAST: &str = "tours/west-coast.yaml";
const EASTERN_ISLES: &str = "tours/eastern-isles.yaml";
const AIRCRAFT: [&str; 2] = ["aircraft/dunlin.yaml", "aircraft/whimbrel.yaml"];
const LANGUAGES: [&str; 2] = ["en", "de"];

static WEST_COAST_PLAN: LazyLock<Plan> = LazyLock::new(|| compiled(WEST_COAST, None, None));
static EASTERN_ISLES_PLAN: LazyLock<Plan> = LazyLock::new(|| compiled(EASTERN_ISLES, None, None));

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Fails for any finding, a warning too.
fn compiled(tour: &str, aircraft: Option<&str>, language: Option<&str>) -> Plan {
    flights::compiled(&top().join("routes"), tour, aircraft, language).unwrap()
}

/// Every tour on every aircraft in every language.
fn all_plans() -> Vec<(String, Plan)> {
    let mut all = Vec::new();
    for tour in [WEST_COAST, EASTERN_ISLES] {
        for aircraft in AIRCRAFT {
            for language in LANGUAGES {
                let name = format!("{tour} on {aircraft} in {language}");
                all.push((name, compiled(tour, Some(aircraft), Some(language))));
            }
        }
    }
    all
}

/// What is kept of the state at a fix.
#[derive(Clone, Copy)]
struct At {
    time: Utc,
    since_takeoff: Option<Millis>,
    position: Position,
    heading: Option<DegreesTrue>,
    airborne: bool,
    recording: bool,
    speaking: bool,
    quiet: bool,
    no_filming: bool,
    camera: Option<CameraId>,
    why: CameraWhy,
}

/// What a flight came to.
struct Flown<'a> {
    plan: &'a Plan,
    changes: Vec<Change>,
    notices: Vec<Notice>,
    states: Vec<At>,
    fired: Vec<RuleId>,
}

impl Sink for Flown<'_> {
    fn change(&mut self, change: &Change) {
        self.changes.push(*change);
    }

    fn state(&mut self, state: &State<'_>) {
        let zone = |zone: &ZoneId| &self.plan.zones[zone.index()];
        self.states.push(At {
            time: state.time,
            since_takeoff: state.since_takeoff,
            position: state.position,
            heading: state.heading.map(|(heading, _)| heading),
            airborne: state.airborne == Some(true),
            recording: state.take.is_some(),
            speaking: state.narration.is_some(),
            quiet: state.zones.iter().any(|id| zone(id).quiet),
            no_filming: state.zones.iter().any(|id| zone(id).no_filming.is_some()),
            camera: state.camera,
            why: state.camera_why,
        });
    }

    fn notice(&mut self, notice: &Notice) {
        self.notices.push(*notice);
    }

    fn rule(&mut self, activity: &RuleActivity) {
        if activity.active {
            self.fired.push(activity.rule);
        }
    }
}

impl Flown<'_> {
    /// What happened to a narration, in order.
    fn narration(&self, name: &str) -> Vec<NarrationEvent> {
        let id = self.narration_id(name);
        let events = self.changes.iter().filter_map(|change| match change.event {
            Event::Narration { narration, what } if narration == id => Some(what),
            _ => None,
        });
        events.collect()
    }

    fn narration_id(&self, name: &str) -> NarrationId {
        let place = self.plan.narrations.iter().position(|n| n.name == name);
        NarrationId(u32::try_from(place.expect(name)).unwrap())
    }

    fn zone(&self, name: &str) -> ZoneId {
        let place = self.plan.zones.iter().position(|zone| zone.name == name);
        ZoneId(u32::try_from(place.expect(name)).unwrap())
    }

    fn rule(&self, name: &str) -> RuleId {
        let place = self.plan.rules.iter().position(|rule| rule.name == name);
        RuleId(u32::try_from(place.expect(name)).unwrap())
    }

    fn has_fired(&self, name: &str) -> bool {
        self.fired.contains(&self.rule(name))
    }

    fn entered(&self, name: &str) -> bool {
        let id = self.zone(name);
        self.count(|event| matches!(event, Event::Entered { zone, .. } if *zone == id)) > 0
    }

    fn count(&self, wanted: impl Fn(&Event) -> bool) -> usize {
        self.changes.iter().filter(|change| wanted(&change.event)).count()
    }

    /// For how long a camera of this name was live.
    fn live(&self, camera: &str) -> Millis {
        let pairs = self.states.windows(2);
        let times = pairs.filter_map(|pair| {
            let name =
                pair[0].camera.map(|id| self.plan.aircraft.cameras[id.index()].name.as_str());
            (name == Some(camera)).then(|| pair[1].time - pair[0].time)
        });
        times.fold(Millis::ZERO, |sum, time| sum + time)
    }
}

fn flown<'a>(
    plan: &'a Plan,
    fixes: &[Fix],
    limits: Limits,
    hand: impl IntoIterator<Item = (Utc, Hand)>,
) -> Flown<'a> {
    let mut engine = Engine::new(plan, &Day::default(), limits).unwrap();
    let mut flown = Flown { plan, changes: vec![], notices: vec![], states: vec![], fired: vec![] };
    for (time, action) in hand {
        engine.hand(time, action);
    }
    for fix in fixes {
        engine.fix(fix, &mut flown);
    }
    engine.finish(&mut flown);
    flown
}

fn as_planned(plan: &Plan) -> Flown<'_> {
    let fixes = compiler::fly(plan, Millis::from_secs(1)).unwrap().fixes;
    flown(plan, &fixes, Limits::of(&plan.settings), [])
}

/// The text of one of the files beside the program that makes the flights.
fn file(name: &str) -> Vec<u8> {
    let bytes = std::fs::read(top().join("examples/flights").join(name)).expect(name);
    if !name.ends_with(".gz") {
        return bytes;
    }
    let mut text = Vec::new();
    flate2::read::MultiGzDecoder::new(&*bytes).read_to_end(&mut text).unwrap();
    text
}

/// The fixes of a demo flight, all of them good points.
fn recorded(name: &str) -> Vec<Fix> {
    let text = file(name);
    let mut reader = track::GpxReader::new(&*text, name, track::Options::default());
    let fixes: Vec<Fix> = std::iter::from_fn(|| reader.next_fix()).collect();
    let report = reader.into_report();
    assert_eq!((report.rejected(), report.has_errors()), (0, false), "{name}: {report:?}");
    fixes
}

fn flown_from_file<'a>(plan: &'a Plan, name: &str) -> Flown<'a> {
    flown_by_hand(plan, name, |_| Vec::new())
}

fn flown_by_hand<'a>(
    plan: &'a Plan,
    name: &str,
    hand: impl FnOnce(Utc) -> Vec<(Utc, Hand)>,
) -> Flown<'a> {
    let fixes = recorded(name);
    let usual = track::usual_interval(fixes.iter().map(|fix| fix.time)).unwrap();
    assert_eq!(usual, Millis::from_secs(1), "{name} has one fix a second");
    let limits = Limits::of(&plan.settings).raised_for(usual);
    flown(plan, &fixes, limits, hand(fixes[0].time))
}

/// Reads a hand file, apart from the reader of the command.
fn hand_file(plan: &Plan, name: &str, first_fix: Utc) -> Vec<(Utc, Hand)> {
    let text = file(name);
    let mut rows = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(&*text);
    let heading: Vec<_> = rows.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(heading, ["time", "action", "camera"]);
    let actions = rows.records().map(|row| {
        let row = row.unwrap();
        let time = match row[0].strip_prefix('+') {
            Some(clock) => {
                let seconds =
                    clock.split(':').fold(0, |sum, part| sum * 60 + part.parse::<i64>().unwrap());
                first_fix + Millis::from_secs(seconds)
            }
            None => Utc(row[0].parse::<jiff::Timestamp>().unwrap().as_millisecond()),
        };
        let action = match &row[1] {
            "camera" => {
                let cameras = &plan.aircraft.cameras;
                let camera = cameras.iter().position(|camera| camera.name == row[2]).unwrap();
                Hand::Camera(CameraId(u32::try_from(camera).unwrap()))
            }
            "automatic" => Hand::Automatic,
            "record on" => Hand::RecordOn,
            "record off" => Hand::RecordOff,
            "still" => Hand::Still,
            "voice off" => Hand::VoiceOff,
            "voice on" => Hand::VoiceOn,
            "skip" => Hand::Skip,
            "radio busy" => Hand::RadioBusy,
            "radio clear" => Hand::RadioClear,
            other => unreachable!("{name}: {other}"),
        };
        (time, action)
    });
    actions.collect()
}

fn played_in_full(events: &[NarrationEvent]) -> bool {
    events.first() == Some(&NarrationEvent::Started)
        && events.last() == Some(&NarrationEvent::Ended)
}

#[test]
fn every_tour_compiles_for_every_aircraft_without_a_finding() {
    for (name, plan) in all_plans() {
        plan.check().unwrap();
        let sights = plan.places.iter().filter(|p| p.kind == plan::PlaceKind::Sight).count();
        assert!(sights >= 10, "{name}: {sights} sights");
        assert!(plan.narrations.len() >= 10, "{name}: {} narrations", plan.narrations.len());
        assert!(!plan.music.is_empty() && !plan.titles.is_empty(), "{name}");
        assert!(plan.zones.iter().any(|zone| zone.quiet), "{name}: no quiet zone");
        assert!(plan.zones.iter().any(|zone| zone.no_filming.is_some()), "{name}");
    }
}

#[test]
fn a_planned_tour_lasts_15_to_30_minutes_and_is_recorded_from_lift_off_to_landing() {
    for (name, plan) in all_plans() {
        let flown = as_planned(&plan);
        let airborne: Vec<&At> = flown.states.iter().filter(|at| at.airborne).collect();
        let lasts = airborne.last().unwrap().time - airborne[0].time;
        assert!((15.0 * 60.0..=30.0 * 60.0).contains(&lasts.secs()), "{name}: {lasts:?}");

        // What is not recorded is the rookery and what is a few seconds round it.
        let rests: Vec<_> = airborne.iter().filter(|at| !at.recording).collect();
        let in_the_rookery = airborne.iter().filter(|at| at.no_filming).count();
        assert!(rests.len() <= in_the_rookery + 30, "{name}: {} s are not recorded", rests.len());
        assert!(airborne.iter().all(|at| !(at.no_filming && at.recording)), "{name}");
        let filmed = flown.count(|event| matches!(event, Event::FilmedInside { .. }));
        assert_eq!(filmed, 0, "{name}: filmed inside the no-filming zone");
        let landing = flown
            .changes
            .iter()
            .rposition(|change| matches!(change.event, Event::Landed { home: true }));
        let off = flown
            .changes
            .iter()
            .rposition(|change| matches!(change.event, Event::RecordOff { .. }));
        assert!(landing.unwrap() < off.unwrap(), "{name}: recording ends before the landing");
    }
    let coast = as_planned(&WEST_COAST_PLAN);
    assert!(coast.entered("seals"), "the coast tour passes through the no-filming zone");
}

/// At the point closest to each sight that is on the tour, the picture holds it: reckoned here from
/// where the sight lies, apart from the engine's reckoning.
#[test]
fn every_sight_is_filmed_from_its_side() {
    let mut seen = 0;
    for (name, plan) in all_plans() {
        let flown = as_planned(&plan);
        for (number, rule) in plan.rules.iter().enumerate() {
            let Some(CameraEffect::LookAt { sight, .. }) = &rule.camera else { continue };
            let sight = &plan.places[sight.index()];
            let id = RuleId(u32::try_from(number).unwrap());
            let won = flown.states.iter().filter(|at| at.why == CameraWhy::Rule(id));
            let distance = |at: &At| geodesic::inverse(at.position, sight.position).distance;
            let closest = won.min_by(|a, b| distance(a).get().total_cmp(&distance(b).get()));
            let closest =
                closest.unwrap_or_else(|| panic!("{name}: {} is never filmed", rule.name));
            let bearing = geodesic::inverse(closest.position, sight.position).azimuth_start;
            let camera = &plan.aircraft.cameras[closest.camera.unwrap().index()];
            let axis = closest.heading.unwrap().turned(camera.bearing);
            let off_axis = axis.shortest_to(bearing).abs();
            assert!(
                off_axis <= Degrees::of(camera.width.get() / 2.0),
                "{name}: {} at {:?} by {} is {} degrees off its axis",
                sight.name,
                closest.since_takeoff,
                camera.name,
                off_axis.get(),
            );
            seen += 1;
        }
    }
    assert!(seen >= 8 * 8, "only {seen} sights were looked at");
}

#[test]
fn stories_are_told_whole_with_a_breath_between_and_no_long_silence() {
    for (name, plan) in all_plans() {
        let flown = as_planned(&plan);
        let asked: Vec<NarrationId> =
            plan.rules.iter().filter_map(|rule| Some(rule.narration.as_ref()?.narration)).collect();
        assert!(asked.len() >= 10, "{name}");
        for id in asked {
            let narration = &plan.narrations[id.index()];
            let mut events = flown.narration(&narration.name);
            // Without a tail camera there is room for the short version of some.
            if let (Some(short), true) = (narration.short, events.is_empty()) {
                events = flown.narration(&plan.narrations[short.index()].name);
            }
            let mut whole = vec![NarrationEvent::Started, NarrationEvent::Ended];
            // The one before it has been left too long in German: so this one waits for its breath.
            if narration.name == "veil-bench" && plan.languages == ["de"] {
                whole.insert(0, NarrationEvent::Waits(Obstacle::Breath));
            }
            assert_eq!(events, whole, "{name}: {}", narration.name);
            let farewell = narration.name == "goodbye";
            let length = narration.length.secs();
            assert!(
                farewell || (15.0..=40.0).contains(&length),
                "{} is {length} s",
                narration.name
            );
        }

        let mut last_end: Option<Utc> = None;
        for change in &flown.changes {
            let Event::Narration { what, .. } = change.event else { continue };
            match (what, last_end) {
                (NarrationEvent::Started, Some(end)) => {
                    let breath = change.effect - end;
                    assert!(breath >= Millis::from_secs(8), "{name}: {breath:?} at {change:?}");
                }
                (NarrationEvent::Ended, _) => last_end = Some(change.effect),
                _ => {}
            }
        }

        // Silences in the air, where something may be said.
        let mut silences = vec![0_u32];
        for at in flown.states.iter().filter(|at| at.airborne && !at.quiet) {
            if at.speaking {
                silences.push(0);
            } else {
                *silences.last_mut().unwrap() += 1;
            }
        }
        let long: Vec<_> = silences.iter().filter(|seconds| **seconds > 90).collect();
        assert!(long.len() <= 1 && long.iter().all(|s| **s <= 100), "{name}: {long:?}");
    }
}

/// Rules that are there for what is not planned.
const NOT_PLANNED: [&str; 2] = ["off-the-route", "shore-to-starboard"];

#[test]
fn every_rule_is_active_on_the_planned_flight_but_those_for_what_is_not_planned() {
    for (name, plan) in all_plans() {
        let flown = as_planned(&plan);
        for rule in &plan.rules {
            let spared = NOT_PLANNED.contains(&rule.name.as_str());
            assert_eq!(flown.has_fired(&rule.name), !spared, "{name}: {}", rule.name);
        }
    }
}

#[test]
fn the_flights_are_fresh() {
    for made in flights::all(&WEST_COAST_PLAN, &EASTERN_ISLES_PLAN).unwrap() {
        assert!(
            file(made.name) == made.gpx,
            "examples/flights/{} is out of date: cargo run --example flights",
            made.name
        );
    }
}

#[test]
fn the_planned_flight_gives_what_the_plan_says() {
    for (plan, file) in [
        (&*WEST_COAST_PLAN, "west-coast-planned.gpx"),
        (&*EASTERN_ISLES_PLAN, "eastern-isles-planned.gpx"),
    ] {
        let planned = as_planned(plan);
        let flown = flown_from_file(plan, file);
        for rule in &plan.rules {
            assert_eq!(planned.has_fired(&rule.name), flown.has_fired(&rule.name), "{}", rule.name);
        }
        for narration in &plan.narrations {
            let name = &narration.name;
            assert_eq!(planned.narration(name), flown.narration(name), "{name}");
        }
        assert_eq!(flown.notices.iter().filter(|n| is_trouble(n)).count(), 0, "{file}");
    }
}

fn is_trouble(notice: &Notice) -> bool {
    matches!(notice, Notice::Rejected { .. } | Notice::Believed { .. })
}

#[test]
fn a_strong_wind_and_a_wandering_pilot_cost_no_story() {
    let plan = &*WEST_COAST_PLAN;
    let (planned, windy) = (as_planned(plan), flown_from_file(plan, "west-coast-wind.gpx"));
    let airborne = |flown: &Flown<'_>| flown.states.iter().filter(|at| at.airborne).count();
    assert!(airborne(&windy) > airborne(&planned), "the wind costs time");
    for narration in &plan.narrations {
        if planned.narration(&narration.name).is_empty() {
            continue;
        }
        assert!(played_in_full(&windy.narration(&narration.name)), "{}", narration.name);
    }
    let off_line = |at: &At| {
        let line = planned.states.iter();
        let metres = line.map(|p| geodesic::inverse(p.position, at.position).distance.get());
        metres.fold(f64::INFINITY, f64::min)
    };
    // Every twentieth fix is enough to see it.
    let most = windy.states.iter().step_by(20).map(off_line).fold(0.0, f64::max);
    assert!((150.0..400.0).contains(&most), "strays {most} m at most");
}

#[test]
fn the_loop_flown_the_other_way_round_is_filmed_from_the_other_side() {
    let plan = &*EASTERN_ISLES_PLAN;
    let (planned, reversed) =
        (as_planned(plan), flown_from_file(plan, "eastern-isles-reversed.gpx"));
    assert!(planned.live("right") > planned.live("left") * 2, "clockwise, the isles are right");
    assert!(reversed.live("left") > reversed.live("right") * 2, "anticlockwise, they are left");
    for sight in ["quay", "northhead", "hooper", "kettle", "adelphine", "cask", "veil", "jury"] {
        let rule = CameraWhy::Rule(reversed.rule(sight));
        assert!(reversed.states.iter().any(|at| at.why == rule), "{sight} is never filmed");
    }
    assert!(reversed.has_fired("shore-to-starboard") && !reversed.has_fired("shore-to-port"));
}

#[test]
fn the_dropout_flight_loses_gps_twice_and_one_sight() {
    let flown = flown_from_file(&WEST_COAST_PLAN, "west-coast-dropout.gpx");
    assert_eq!(flown.count(|event| *event == Event::GpsLost), 2);
    assert_eq!(flown.count(|event| *event == Event::GpsBack { gap: false }), 1, "bridged");
    assert_eq!(flown.count(|event| *event == Event::GpsBack { gap: true }), 1, "a gap");
    assert!(played_in_full(&flown.narration("arch")), "a story that plays goes on through a loss");
    assert_eq!(flown.narration("pell"), [], "the falls were passed in the gap");
}

#[test]
fn the_hand_does_what_its_file_says() {
    let plan = &*WEST_COAST_PLAN;
    let flown = flown_by_hand(plan, "west-coast-planned.gpx", |first| {
        hand_file(plan, "west-coast-hand.csv", first)
    });
    let outcome = |wanted: HandOutcome| {
        flown.count(|event| matches!(event, Event::Hand { outcome, .. } if *outcome == wanted))
    };
    assert_eq!(outcome(HandOutcome::NoFilming(flown.zone("seals"))), 1, "refused at the seals");
    assert_eq!(outcome(HandOutcome::Done), 11, "and everything else is done");
    assert_eq!(flown.count(|event| *event == Event::HandCameraEnded), 1, "the tail camera");
    let arch = flown.narration("arch");
    assert!(played_in_full(&arch) && arch.contains(&NarrationEvent::Ducked(true)), "{arch:?}");
    let keepers = flown.narration("keepers");
    let skipped = matches!(
        keepers[..],
        [NarrationEvent::Started, NarrationEvent::CutOff { by: Cut::Skipped, .. }]
    );
    assert!(skipped, "{keepers:?}");
    for silenced in ["weather", "pots"] {
        let given_up = NarrationEvent::GivenUp(GivenUp::WaitedLongEnough);
        assert_eq!(flown.narration(silenced).last(), Some(&given_up), "{silenced}");
    }
    let by_hand = |event: &Event| matches!(event, Event::RecordOff { why: RecordWhy::Hand });
    assert_eq!(flown.count(by_hand), 1);
}

#[test]
fn a_busy_radio_pauses_a_story_and_a_long_exchange_ends_it() {
    let plan = &*EASTERN_ISLES_PLAN;
    let flown = flown_by_hand(plan, "eastern-isles-planned.gpx", |first| {
        hand_file(plan, "eastern-isles-radio.csv", first)
    });
    for paused in ["quay", "hooper"] {
        use NarrationEvent::{Ended, Paused, Started, WentOn};
        assert_eq!(flown.narration(paused), [Started, Paused, WentOn, Ended], "{paused}");
    }
    let boat = flown.narration("kettle-boat");
    let ended = matches!(boat[..], [.., NarrationEvent::CutOff { by: Cut::PausedTooLong, .. }]);
    assert!(ended, "{boat:?}");
}

#[test]
fn the_day_is_three_flights_each_with_its_own_stories() {
    let plan = &*WEST_COAST_PLAN;
    let flown = flown_from_file(plan, "west-coast-day.gpx.gz");
    assert_eq!(flown.count(|event| *event == Event::TookOff), 3);
    assert_eq!(flown.count(|event| *event == Event::Landed { home: true }), 3);
    assert_eq!(flown.count(|event| *event == Event::FlightBegan), 2, "the first is there already");
    assert_eq!(flown.count(|event| *event == Event::RunBegan), 1, "one power-up");
    for narration in ["welcome", "clerks", "keepers", "goodbye"] {
        let whole = [NarrationEvent::Started, NarrationEvent::Ended].repeat(3);
        assert_eq!(flown.narration(narration), whole, "{narration}");
    }
}

#[test]
fn the_flight_off_course_misses_zones_and_their_stories() {
    let plan = &*WEST_COAST_PLAN;
    let flown = flown_from_file(plan, "west-coast-off-course.gpx");
    for missed in ["arch", "orrick", "strand"] {
        assert!(!flown.entered(missed), "{missed} is entered");
        assert!(!flown.has_fired(missed), "{missed} is filmed");
    }
    for untold in ["arch", "orrick", "bay", "beach-landing"] {
        assert_eq!(flown.narration(untold), [], "{untold} is told");
    }
    assert_eq!(flown.narration("keepers"), [], "it belongs to the second pass of the light");
    assert!(flown.has_fired("off-the-route"), "the title says that it is the long way round");
    assert!(played_in_full(&flown.narration("pell")), "and afterwards all goes on as planned");
    assert_eq!(flown.notices.iter().filter(|notice| is_trouble(notice)).count(), 0);
}
