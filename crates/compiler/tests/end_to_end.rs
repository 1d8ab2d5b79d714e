//! A small tour from its text to its event plan.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use compiler::{EventPlan, PlaceIndex, event_plan, whereabouts};
use diagnostic::Place;
use earth::{Millis, Position, geodesic};
use engine::{CameraWhy, Event, NarrationEvent};
use plan::{Day, Plan, Shape};
use route::{Choice, MemoryWorld, Said};

const AIRCRAFT: &str = include_str!("shared/aircraft.yaml");

const PLACES: &str = include_str!("shared/places.yaml");

/// North past the arch, which lies 1.6 km to the left of the way, and back.
const TOUR: &str = "\
tour: Out and back
revision: 7
status: draft
aircraft: aircraft.yaml
departure: 2026-06-01T10:30:00Z
include: [places.yaml]
wind: {from: 240, speed: 12 kt}
route:
  airspeed: 90 kt
  altitude: 800 ft
  legs:
    - from: PAD
    - to: HEAD
    - land: PAD
zones:
  arch: {circle: {centre: ARCH, radius: 1.5 NM}}
  pad: {circle: {centre: PAD, radius: 1 km}, quiet: true}
  on-route: {corridor: {line: route, half width: 500 m}}
rules:
  northbound:
    when: {in: arch, track: 320..040}
    camera: left
    narration: arch
  southbound:
    when: {in: arch, track: 140..220}
    camera: {look at: ARCH}
    narration: arch
    still: {at closest: ARCH}
  off-route: {when: {not in: on-route}, title: lost, priority: 9}
narrations:
  arch: {text: \"Here is the arch that the sea has made out of the cliff.\"}
titles:
  lost: {text: The long way round}
";

fn compile(tour: &str) -> Plan {
    let world = MemoryWorld::new()
        .with("tour.yaml", tour)
        .with("aircraft.yaml", AIRCRAFT)
        .with("places.yaml", PLACES);
    let (project, findings) = route::read(&world, "tour.yaml", None);
    assert!(findings.is_empty(), "{findings:#?}");
    let (plan, findings) = compiler::compile(&project.unwrap());
    assert!(findings.is_empty(), "{findings:#?}");
    plan.unwrap()
}

fn planned(plan: &Plan) -> EventPlan {
    event_plan(plan, &Day::default(), Millis::from_secs(1)).unwrap()
}

#[test]
fn the_event_plan_tells_the_flight_in_order() {
    let plan = compile(TOUR);
    assert_eq!(plan.check(), Ok(()));
    let events = planned(&plan);
    let rows = &events.rows;
    assert!(rows.windows(2).all(|pair| pair[0].change.effect <= pair[1].change.effect));

    // Take-off is the planned departure, on the first leg, at the pad.
    let took_off = rows.iter().find(|row| row.change.event == Event::TookOff).unwrap();
    assert_eq!(took_off.change.effect, plan.route.departure);
    assert_eq!((took_off.since, took_off.leg), (Millis::ZERO, Some(0)));
    let pad = plan.places.iter().position(|place| place.name == "PAD").unwrap();
    assert_eq!(took_off.near.unwrap().place.index(), pad);

    // Past the arch on the way out the left camera is live.
    let camera = |name| plan.aircraft.cameras.iter().position(|camera| camera.name == name);
    let ruled = rows.iter().find_map(|row| match row.change.event {
        Event::Camera { to: Some(to), why: CameraWhy::Rule(_), .. } => Some((row.leg?, to)),
        _ => None,
    });
    let (leg, first) = ruled.unwrap();
    assert_eq!((leg, Some(first.index())), (0, camera("left")));

    // The narration plays once: 13 words at 130 a minute are 6 s.
    assert_eq!(plan.narrations[0].length, Millis(6_000));
    assert!(plan.narrations[0].estimated());
    let times: Vec<_> = rows
        .iter()
        .filter_map(|row| match row.change.event {
            Event::Narration { what, .. } => Some((what, row.change.effect)),
            _ => None,
        })
        .collect();
    let [(NarrationEvent::Started, from), (NarrationEvent::Ended, to)] = times.as_slice() else {
        unreachable!("{times:?}")
    };
    assert_eq!(*to - *from, Millis(6_000));

    // On the way back the right camera has it, and the still is taken where it is nearest: abeam,
    // 1.6 km east of it.
    let (still, by) = rows
        .iter()
        .find_map(|row| match row.change.event {
            Event::Still { camera, .. } => Some((row, camera)),
            _ => None,
        })
        .unwrap();
    assert_eq!((still.leg, Some(by.index())), (Some(1), camera("right")));
    let words = whereabouts(&plan, still.change.position, still.near);
    assert_eq!(words, "0.9 NM E of ARCH");

    // It ends on the ground, and was never off its own route.
    let landed = rows.iter().find(|row| matches!(row.change.event, Event::Landed { home: true }));
    assert_eq!(landed.unwrap().leg, Some(1));
    let off_route = plan.titles.iter().position(|title| title.name == "lost");
    assert!(off_route.is_some());
    assert!(!rows.iter().any(|row| matches!(row.change.event, Event::Title { .. })));

    // Every rule that caused something is written where the plan says.
    for row in rows {
        if let Some(rule) = row.change.rule {
            let rule = &plan.rules[rule.index()];
            assert_eq!(plan.sources[rule.source.file as usize], "tour.yaml");
            let line = TOUR.lines().nth(rule.source.line as usize - 1).unwrap();
            assert!(line.trim_start().starts_with(rule.name.as_str()), "{line}");
        }
    }
}

#[test]
fn the_same_text_gives_the_same_plan_and_events() {
    let (one, two) = (compile(TOUR), compile(TOUR));
    assert_eq!(plan::write(&one), plan::write(&two));
    assert_eq!(planned(&one), planned(&two));
    // What is read back flies the same.
    let read = plan::read(plan::write(&one).as_bytes(), "plan.json").unwrap();
    assert_eq!(planned(&read), planned(&one));
}

#[test]
fn the_days_wind_stands_above_the_plans() {
    let plan = compile(TOUR);
    let day = |from: f64| Day {
        wind: Some(plan::Wind {
            from: earth::DegreesTrue::of(from),
            speed: earth::MetresPerSecond::from_knots(30.0),
        }),
        ..Day::default()
    };
    let arrival = |from| {
        let events = event_plan(&plan, &day(from), Millis::from_secs(1)).unwrap();
        events.flight.legs[0].to - events.flight.lift_off
    };
    // 7.2 NM north against 30 kt take almost twice as long as with it.
    assert!(arrival(0.0).0 > arrival(180.0).0 * 17 / 10);
}

#[test]
fn combined_zones_stand_behind_their_parts() {
    let tour = TOUR.replace(
        "zones:\n",
        "zones:\n  last: {any of: [middle, pad]}\n  middle: {all of: [arch], except: [pad]}\n",
    );
    let plan = compile(&tour);
    let names: Vec<&str> = plan.zones.iter().map(|zone| zone.name.as_str()).collect();
    assert_eq!(names, ["arch", "pad", "middle", "last", "on-route"]);
    let Shape::Combined { all_of, except, .. } = &plan.zones[2].shape else {
        unreachable!("{:?}", plan.zones[2])
    };
    assert_eq!((all_of[0].index(), except[0].index()), (0, 1));
}

#[test]
fn a_corridor_along_the_route_goes_round_behind_its_turning_point() {
    let plan = compile(TOUR);
    let zone = plan.zones.iter().find(|zone| zone.name == "on-route").unwrap();
    let Shape::Corridor { line, .. } = &zone.shape else { unreachable!("{zone:?}") };
    let head = plan.places.iter().find(|place| place.name == "HEAD").unwrap().position;
    assert!(line.contains(&head));
    // Beside the two ends there is the turn, at the radius of its bank.
    assert!(line.len() > 10, "{line:?}");
    let flight = compiler::fly(&plan, Millis::from_secs(1)).unwrap();
    for fix in &flight.fixes {
        let nearest = line
            .iter()
            .map(|point| geodesic::inverse(*point, fix.position).distance.get())
            .fold(f64::MAX, f64::min);
        // Points are far apart on the straight part only.
        if geodesic::inverse(head, fix.position).distance.get() < 1_500.0
            && fix.position.lat() > head.lat()
        {
            assert!(nearest < 150.0, "{nearest} m: {fix:?}");
        }
    }
}

#[test]
fn the_nearest_place_is_found_across_the_180th_meridian() {
    let mut plan = compile(TOUR);
    plan.places[0].position = Position::of(10.0, 179.99);
    plan.places[1].position = Position::of(10.0, -179.0);
    let near = PlaceIndex::new(&plan).near(Position::of(10.0, -179.99)).unwrap();
    assert_eq!(near.place.index(), 0);
    assert!((near.distance.get() - 2192.0).abs() < 5.0, "{near:?}");
    assert!((near.bearing.get() - 90.0).abs() < 0.01);
    // Nearest of all, whatever the order of the tree.
    for step in 0..200 {
        let at = Position::of(61.0 + f64::from(step) * 0.002, -7.2 + f64::from(step) * 0.003);
        let found = PlaceIndex::new(&plan).near(at).unwrap();
        let least = plan
            .places
            .iter()
            .map(|place| geodesic::inverse(place.position, at).distance.get())
            .fold(f64::MAX, f64::min);
        assert_eq!(found.distance.get(), least);
    }
}

#[test]
fn a_landing_on_the_way_is_one_and_ends_no_flight() {
    let tour = TOUR
        .replace("    - land: PAD\n", "    - {land: MEADOW, stay: 5 min}\n    - land: PAD\n")
        .replace(
            "zones:\n",
            "landing sites:\n  MEADOW: {at: \"61.26 N, 6.95 W\", elevation: 30 ft}\nzones:\n",
        );
    let plan = compile(&tour);
    let events = planned(&plan);
    let ground: Vec<(Option<usize>, Event)> = events
        .rows
        .iter()
        .filter(|row| {
            matches!(row.change.event, Event::TookOff | Event::Landed { .. } | Event::FlightBegan)
        })
        .map(|row| (row.leg, row.change.event))
        .collect();
    assert_eq!(
        ground,
        [
            (Some(0), Event::TookOff),
            (Some(1), Event::Landed { home: false }),
            (Some(2), Event::TookOff),
            (Some(2), Event::Landed { home: true }),
        ]
    );
    let stands = events
        .flight
        .fixes
        .iter()
        .filter(|fix| fix.groundspeed == Some(earth::MetresPerSecond::ZERO))
        .filter(|fix| events.flight.leg_at(fix.time) == Some(1))
        .count();
    assert!((300..=301).contains(&stands), "{stands} s on the meadow");
}

#[test]
fn a_library_that_is_not_there_is_not_blamed_on_every_name_of_it() {
    // Nor is a name that is near another: the library may well give it.
    let tour = TOUR
        .replace("[places.yaml]", "[places.yaml, gone.yaml]")
        .replace("zones:\n", "zones:\n  a: {any of: [of-the-library]}\n  b: {any of: [artch]}\n");
    let world = MemoryWorld::new()
        .with("tour.yaml", tour)
        .with("aircraft.yaml", AIRCRAFT)
        .with("places.yaml", PLACES);
    let (project, findings) = route::read(&world, "tour.yaml", None);
    let names = |findings: &[diagnostic::Diagnostic]| {
        findings.iter().map(|finding| (finding.name, finding.headline.clone())).collect::<Vec<_>>()
    };
    assert_eq!(names(&findings)[0].0, "file-unreadable");
    let (plan, findings) = compiler::compile(&project.unwrap());
    assert!(plan.is_none());
    assert_eq!(names(&findings), []);
}

/// A flight of known ground: out to the head, round the stack, a hover, and in at another field.
const THERE: &str = r#"
tour: There
revision: 1
aircraft: aircraft.yaml
departure: 2026-06-01T10:30:00Z
waypoints:
  PAD: {at: "61.2000 N, 6.7500 W", elevation: 12 ft}
  HEAD: {at: "61.2300 N, 6.8500 W"}
  BAY: {at: "61.2600 N, 6.7800 W"}
  STACK: {at: "61.2900 N, 6.9000 W"}
  STRIP: {at: "61.3300 N, 6.7000 W", elevation: 90 ft}
landing sites:
  STRIP: {at: STRIP}
route:
  airspeed: 90 kt
  altitude: 800 ft
  legs:
    - from: PAD
    - {to: HEAD, airspeed: 80 kt, altitude: 700 ft}
    - orbit: {around: STACK, radius: 900 m, turn: left, turns: 1}
      airspeed: 60 kt
    - {to: BAY, altitude: 900 ft, airspeed: 100 kt}
    - hover: {for: 30 s, facing: 200}
    - {land: STRIP, airspeed: 70 kt}
variants:
  reversed: {reversed: true}
  from-the-bay:
    reversed: true
    departure: {legs: [{from: PAD}], joins: BAY}
    arrival: {leaves: HEAD, legs: [{land: STRIP, airspeed: 75 kt}]}
  as-planned: {}
  low: {not above: 750 ft}
  level: {altitude: 500 ft above PAD}
"#;

fn chosen(variant: &str) -> Plan {
    let world = MemoryWorld::new().with("tour.yaml", THERE).with("aircraft.yaml", AIRCRAFT);
    let (project, findings) = route::read(&world, "tour.yaml", None);
    assert_eq!(findings, []);
    let place = Place::whole("the test");
    let variant = Some(Said { value: variant.to_owned(), place });
    let project = route::choose(&project.unwrap(), &Choice { variant, ..Choice::default() });
    let (plan, findings) = compiler::compile(&project.unwrap());
    plan.unwrap_or_else(|| panic!("{findings:#?}"))
}

/// The legs in words: what is flown, its airspeed in knots, its altitude in feet.
fn legs(plan: &Plan) -> Vec<String> {
    let leg = |leg: &plan::Leg| {
        let what = match leg.flown {
            plan::Flown::To(_) => "to",
            plan::Flown::Land { .. } => "land",
            plan::Flown::Hover { .. } => "hover",
            plan::Flown::Orbit { turn: plan::Turn::Left, .. } => "left round",
            plan::Flown::Orbit { turn: plan::Turn::Right, .. } => "right round",
        };
        format!("{what} {} {:.0} {:.0}", leg.label, leg.airspeed.knots(), leg.altitude.feet())
    };
    plan.route.legs.iter().map(leg).collect()
}

#[test]
fn the_other_way_round_each_stretch_keeps_its_airspeed_and_each_place_its_altitude() {
    let plan = chosen("reversed");
    assert_eq!(
        legs(&plan),
        ["hover BAY 70 800", "right round STACK 60 800", "to HEAD 60 700", "land PAD 80 800",]
    );
    assert_eq!(plan.places[plan.route.home.index()].name, "STRIP");
    assert_eq!(plan.differences, ["variant reversed"]);
}

#[test]
fn departure_and_arrival_replace_what_lies_before_and_behind() {
    let plan = chosen("from-the-bay");
    assert_eq!(
        legs(&plan),
        ["hover BAY 70 800", "right round STACK 60 800", "to HEAD 60 700", "land STRIP 75 800",]
    );
    assert_eq!(plan.places[plan.route.home.index()].name, "PAD");
}

#[test]
fn a_variant_may_be_flown_at_other_heights() {
    let highest = |variant| {
        let plan = chosen(variant);
        plan.route.legs.iter().map(|leg| leg.altitude.feet().round()).collect::<Vec<_>>()
    };
    assert_eq!(highest("low"), [700.0, 750.0, 750.0, 750.0, 750.0]);
    assert_eq!(highest("level"), [512.0; 5]);
}

/// The plan of the tour with another status and, where one is given, another line for `from`.
fn approved(status: &str, from: &str, to: &str) -> (plan::Plan, Vec<&'static str>) {
    assert!(TOUR.contains("status: draft"));
    let tour = TOUR.replace("status: draft", status).replace(from, to);
    let world = MemoryWorld::new()
        .with("tour.yaml", tour)
        .with("aircraft.yaml", AIRCRAFT)
        .with("places.yaml", PLACES);
    let (project, _) = route::read(&world, "tour.yaml", None);
    let (plan, findings) = compiler::compile(&project.unwrap());
    (plan.unwrap(), findings.iter().map(|finding| finding.name).collect())
}

#[test]
fn an_approval_is_of_one_plan_and_no_longer_holds_when_the_tour_is_changed() {
    let (draft, _) = approved("status: draft", "", "");
    let code = plan::digest(&draft).code();
    let status = format!("status: {{approved by: M. Oke, on: 2026-05-01, plan: {code}}}");
    let outdated = "approval-of-another-plan";

    let (plan, found) = approved(&status, "", "");
    assert!(matches!(plan.approval, plan::Approval::Approved { .. }));
    assert!(!found.contains(&outdated), "{found:?}");
    // The approval is no part of what it approves, and neither are lines and comments.
    assert_eq!(plan::digest(&plan), plan::digest(&draft));
    let (plan, found) = approved(&status, "route:\n", "\n# the way\n\nroute:\n");
    assert!(matches!(plan.approval, plan::Approval::Approved { .. }), "{found:?}");
    assert_ne!(plan, approved(&status, "", "").0, "places in the text are still kept");

    let (plan, found) = approved(&status, "90 kt", "80 kt");
    assert_eq!(plan.approval, plan::Approval::Draft);
    assert!(found.contains(&outdated), "{found:?}");
    let (plan, found) = approved("status: {approved by: M. Oke, on: 2026-05-01}", "", "");
    assert_eq!(plan.approval, plan::Approval::Draft);
    assert!(found.contains(&outdated), "{found:?}");
}

#[test]
fn the_other_way_round_the_same_places_come_in_the_other_order() {
    // When each place is nearest, and how near.
    let nearest = |variant: &str, name: &str| -> (usize, f64) {
        let plan = chosen(variant);
        let place = plan.places.iter().find(|place| place.name == name).unwrap().position;
        let fixes = compiler::fly(&plan, Millis::from_secs(1)).unwrap().fixes;
        let distances = fixes.iter().map(|fix| geodesic::inverse(fix.position, place).distance);
        distances
            .map(earth::Metres::get)
            .enumerate()
            .min_by(|one, other| one.1.total_cmp(&other.1))
            .unwrap()
    };
    // A corner is cut by less than the radius of a turn: 760 m at 15 degrees of bank and 87 kt.
    for (name, least, most) in [("HEAD", 0.0, 760.0), ("STACK", 899.0, 901.0), ("BAY", 0.0, 5.0)] {
        for variant in ["as-planned", "reversed"] {
            let (_, distance) = nearest(variant, name);
            assert!((least..most).contains(&distance), "{name}, {variant}: {distance:.1} m");
        }
    }
    let order = |variant: &str| ["HEAD", "STACK", "BAY"].map(|name| nearest(variant, name).0);
    assert!(order("as-planned").is_sorted());
    assert!(order("reversed").iter().rev().is_sorted());
}

#[test]
fn a_place_far_away_comes_with_the_slip_that_explains_it() {
    for (at, hint) in [
        ("\"-7.03, 61.28\"", "latitude and longitude swapped"),
        ("\"-61.28, -7.03\"", "north and south swapped"),
        ("\"61.28, 7.03\"", "east and west swapped"),
    ] {
        let away = format!("waypoints:\n  AWAY: {{at: {at}}}\nroute:\n");
        let tour = TOUR.replacen("route:\n", &away, 1);
        assert_ne!(tour, TOUR);
        let world = MemoryWorld::new()
            .with("tour.yaml", tour)
            .with("aircraft.yaml", AIRCRAFT)
            .with("places.yaml", PLACES);
        let (project, findings) = route::read(&world, "tour.yaml", None);
        let (_, more) = compiler::compile(&project.unwrap_or_else(|| panic!("{findings:?}")));
        let far: Vec<_> = more.iter().filter(|found| found.name == "place-far-away").collect();
        assert!(far.iter().any(|found| found.help.contains(hint)), "{at}: {more:#?}");
    }
}
