//! A small tour, edited in one way or another and compared with itself; everything in it is
//! invented. What is found is written on a line each.

#![allow(dead_code, reason = "each test uses some of it")]

use compiler::compare::{Detail, Difference, FlownPlan, How, PlanComparison, Value, compare};
use plan::{Day, Plan};
use route::MemoryWorld;

/// North past the arch and round the stack, and back.
pub(crate) const TOUR: &str = "\
tour: Out and back
revision: 7
status: draft
language: en
aircraft: aircraft.yaml
departure: 2026-06-01T10:30:00Z
wind: {from: 240, speed: 12 kt}
waypoints:
  PAD:  {at: \"61.20 N, 7.00 W\", elevation: 12 ft}
  HEAD: {at: \"61.32 N, 7.00 W\"}
  FAR:  {at: \"61.36 N, 7.00 W\"}
sights:
  ARCH:  {at: \"61.28 N, 7.03 W\", elevation: 40 m, name: The Arch}
  STACK: {at: \"61.33 N, 6.99 W\", elevation: 10 m}
route:
  airspeed: 90 kt
  altitude: 800 ft
  bank: 30 deg
  legs:
    - from: PAD
    - to: HEAD
    - orbit: {around: STACK, radius: 600 m, turn: right, turns: 1}
    - to: FAR
    - hover: {at: FAR, for: 30 s}
    - land: PAD
zones:
  arch: {circle: {centre: ARCH, radius: 1.5 NM}, band: below 1500 ft}
  pad: {circle: {centre: PAD, radius: 1 km}, quiet: true}
  north: {sector: {centre: STACK, radius: 4 km, from: 300, to: 060}}
  on-route: {corridor: {line: route, half width: 500 m}}
  lane: {corridor: {line: [PAD, HEAD], half width: 300 m}}
  rookery:
    polygon:
      points: [\"61.25 N, 7.10 W\", \"61.25 N, 7.06 W\", \"61.23 N, 7.06 W\", \"61.23 N, 7.10 W\"]
    no filming: true
  line: {gate: {line: [\"61.30 N, 7.02 W\", \"61.30 N, 6.98 W\"], crossed from: either}}
  coast: {any of: [arch, north], except: [pad]}
rules:
  film:
    when: {phase: airborne}
    record: on
    post-roll: 4 s
  out-bound:
    when: {in: arch, track: 320..040}
    camera: left
    narration: {play: arch, wait: 20 s}
  home-bound:
    when: {in: arch, track: 140..220}
    priority: 5
    camera: {look at: ARCH}
    still: {at closest: ARCH}
  crossed:
    when: {in: line}
    narration: stack
  after-line:
    when: {after: crossed, in: coast}
    music: strings
  lost:
    when: {not in: on-route}
    title: lost
  hold:
    when: {groundspeed: below 20 kt, in: north}
    camera: [{nose: 8 s}, {right: 6 s}]
    still: {every: 10 s}
narrations:
  arch: {text: \"Here is the arch that the sea has made out of the cliff.\"}
  stack: {text: \"The stack stands alone.\", length: 12 s}
music:
  strings: {title: Strings and wind}
titles:
  lost: {text: The long way round}
defaults:
  minimum shot: 3 s
";

pub(crate) const AIRCRAFT: &str = include_str!("../shared/aircraft.yaml");

pub(crate) fn compile_with(tour: &str, aircraft: &str) -> Plan {
    let world = MemoryWorld::new().with("tour.yaml", tour).with("aircraft.yaml", aircraft);
    let (project, findings) = route::read(&world, "tour.yaml", None);
    assert!(project.is_some(), "{findings:#?}");
    let (plan, more) = compiler::compile(&project.unwrap());
    assert!(plan.is_some(), "{findings:#?} {more:#?}");
    plan.unwrap()
}

pub(crate) fn compile(tour: &str) -> Plan {
    compile_with(tour, AIRCRAFT)
}

pub(crate) fn edited(edits: &[(&str, &str)]) -> Plan {
    // An approval names the plan that it was given for.
    let code = || plan::digest(&compile(TOUR)).code();
    let text = edited_text(TOUR, edits);
    compile(&if text.contains("CODE") { text.replace("CODE", &code()) } else { text })
}

pub(crate) fn edited_text(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    })
}

pub(crate) fn between(old: &Plan, new: &Plan) -> PlanComparison {
    let day = Day::default();
    compare(&FlownPlan::new(old, &day).unwrap(), &FlownPlan::new(new, &day).unwrap())
}

fn value(value: &Value) -> String {
    match value {
        Value::Words(text) | Value::Text(text) => text.clone(),
        Value::Yes(yes) => yes.to_string(),
        Value::Count(number) | Value::Rate(number) | Value::Bytes(number) => number.to_string(),
        Value::Length(length) | Value::Altitude(length) => format!("{:.1}m", length.get()),
        Value::Area(area) => format!("{:.2}km2", area.get() / 1e6),
        Value::Speed(speed) | Value::Climb(speed) => format!("{:.2}m/s", speed.get()),
        Value::Angle(angle) => format!("{:.1}deg", angle.get()),
        Value::Time(time) => format!("{}s", time.secs()),
        Value::Since(time) => format!("T{:+}s", time.secs()),
        Value::Moment(moment) => format!("@{}", moment.0),
    }
}

fn detail(detail: &Detail) -> String {
    match detail {
        Detail::Value { what, old, new } => {
            let old = old.as_ref().map_or_else(|| "-".to_owned(), value);
            let new = new.as_ref().map_or_else(|| "-".to_owned(), value);
            format!("{what} {old} > {new}")
        }
        Detail::Moved { what, by, towards } => {
            format!("{what} moved {:.0}m {:03.0}", by.get(), towards.get())
        }
        Detail::Corners { moved, of, by } => format!("{moved}/{of} corners {:.0}m", by.get()),
        Detail::With(zones) => format!("with {}", zones.join(",")),
    }
}

pub(crate) fn line(one: &Difference) -> String {
    let how = match &one.how {
        How::Added => " added".to_owned(),
        How::Gone => " gone".to_owned(),
        How::Changed => String::new(),
        How::Renamed { from } => format!(" was {from}"),
    };
    let details: Vec<String> = one.details.iter().map(detail).collect();
    format!("{:?} {}{how}: {}", one.part, one.name, details.join("; "))
}

pub(crate) fn lines(differences: &[Difference]) -> Vec<String> {
    differences.iter().map(line).collect()
}
