//! Whether two films are the same, and where they first differ.

use std::fmt::{self, Write};

use earth::{Metres, Millis, Position, Utc};
use engine::{
    CameraWhy, Change, Cut, Event, GivenUp, HandOutcome, MusicWhy, NarrationEvent, Notice,
    RecordWhy, StillWhy,
};

use plan::{NarrationId, RuleId};

use super::film::{Class, class_of, moments};
use super::without::Without;
use super::zone::{Ground, What};
use super::{Case, Film, Row, fly_without, ground};

/// How far own times of crossings may lie apart, in milliseconds.
const TIMES: i64 = 20;
/// How far two doubtful things must lie apart before the order is sure.
const DOUBT_TIME: i64 = 45;
const DOUBT_METRES: f64 = 0.25;

/// The first difference.
pub struct Difference {
    pub effect: Utc,
    pub text: String,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Debug for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// The changes of one instant.
fn instants(changes: &[Change]) -> Vec<Vec<Change>> {
    let mut all: Vec<Vec<Change>> = Vec::new();
    for change in changes {
        match all.last_mut() {
            Some(last)
                if last[0].effect == change.effect
                    && last[0].run == change.run
                    && !matches!(change.event, Event::RunEnded) =>
            {
                last.push(*change);
            }
            _ => all.push(vec![*change]),
        }
    }
    all
}

/// A change with one reason where two hold at once: recording that ends by the landing though
/// nothing asks for it either, a wait given up with its rule for a narration that has just started,
/// a narration for the ground cut off by voice off and take-off.
fn one_reason(change: &Change, instant: &[Change]) -> Change {
    let has = |wanted: Event| instant.iter().any(|change| change.event == wanted);
    let landed = instant.iter().any(|change| matches!(change.event, Event::Landed { .. }));
    let event = match change.event {
        Event::RecordOff { why: RecordWhy::NoRule } if landed => {
            Event::RecordOff { why: RecordWhy::OnGround }
        }
        Event::Narration { narration, what: NarrationEvent::GivenUp(GivenUp::RuleEnded) }
            if has(Event::Narration { narration, what: NarrationEvent::Started }) =>
        {
            Event::Narration { narration, what: NarrationEvent::GivenUp(GivenUp::PlayedAlready) }
        }
        Event::Narration {
            narration,
            what: NarrationEvent::CutOff { by: Cut::VoiceOff, played },
        } if has(Event::TookOff) => {
            let what = NarrationEvent::CutOff { by: Cut::TookOff, played };
            Event::Narration { narration, what }
        }
        event => event,
    };
    Change { event, ..*change }
}

/// The same changes in an order that does not depend on what the rules leave open: within one
/// channel of one instant.
fn sorted(instant: &[Change]) -> Vec<Change> {
    let mut sorted: Vec<Change> =
        instant.iter().map(|change| one_reason(change, instant)).collect();
    sorted.sort_by_cached_key(|change| {
        let event = match change.event {
            Event::FilmedInside { zone, by_hand, .. } => format!("FilmedInside {zone:?} {by_hand}"),
            Event::RecordOff { why: RecordWhy::NoFilming(_) } => "RecordOff inside".to_owned(),
            Event::Narration { narration, what: NarrationEvent::Waits(_) } => {
                format!("Narration {narration:?} waits")
            }
            Event::Narration { narration, what: NarrationEvent::Skipped(_) } => {
                format!("Narration {narration:?} is skipped")
            }
            event => format!("{event:?}"),
        };
        (class_of(&change.event), event, change.rule)
    });
    sorted
}

/// The first difference between two films, if there is one.
pub fn compare(real: &Film, reference: &Film) -> Option<Difference> {
    let order = out_of_order(real);
    let changes = compare_changes(real, reference);
    let states = compare_states(real, reference);
    let notices = compare_notices(real, reference);
    [order, changes, states, notices]
        .into_iter()
        .flatten()
        .min_by_key(|difference| difference.effect)
}

/// Whether the changes of an instant stand in their order.
fn out_of_order(film: &Film) -> Option<Difference> {
    for instant in instants(&film.changes) {
        for pair in instant.windows(2) {
            let classes = (class_of(&pair[0].event), class_of(&pair[1].event));
            let by_own_time = classes == (Class::Zone, Class::Zone)
                && pair[0].own.unwrap_or(pair[0].effect) > pair[1].own.unwrap_or(pair[1].effect);
            // The end of a pick stands with the hand or beside what ended it.
            let free = classes.1 == Class::Run
                || pair.iter().any(|change| matches!(change.event, Event::HandCameraEnded));
            if (classes.0 > classes.1 && !free) || by_own_time {
                return Some(Difference {
                    effect: pair[0].effect,
                    text: format!("out of order:\n  {:?}\n  {:?}", pair[0], pair[1]),
                });
            }
        }
    }
    None
}

/// Without what the rules leave open: whether one that waits already says so again when its rule
/// asks again.
fn told_once(changes: &[Change]) -> Vec<Change> {
    let mut waiting: Vec<(NarrationId, Option<RuleId>)> = Vec::new();
    let mut told = Vec::new();
    for change in changes {
        if let Event::Narration { narration, what } = change.event {
            let who = (narration, change.rule);
            let waits = waiting.contains(&who);
            match what {
                NarrationEvent::Waits(_) if waits => continue,
                NarrationEvent::Waits(_) => waiting.push(who),
                _ => waiting.retain(|other| *other != who),
            }
        }
        told.push(*change);
    }
    told
}

fn compare_changes(real: &Film, reference: &Film) -> Option<Difference> {
    let ours = instants(&told_once(&real.changes));
    let theirs = instants(&told_once(&reference.changes));
    let count = ours.len().max(theirs.len());
    let differs = (0..count).find(|index| match (ours.get(*index), theirs.get(*index)) {
        (Some(ours), Some(theirs)) => !same_instant(ours, theirs),
        _ => true,
    })?;
    let effect = [&ours, &theirs]
        .iter()
        .filter_map(|side| side.get(differs).map(|instant| instant[0].effect))
        .min()?;
    let mut text = String::new();
    for (name, side) in [("real engine", &ours), ("reference", &theirs)] {
        let _ = writeln!(text, "{name}:");
        let from = differs.saturating_sub(3);
        for (index, instant) in side.iter().enumerate().skip(from).take(5) {
            for change in instant {
                let mark = if index == differs { ">" } else { " " };
                let _ = writeln!(text, "{mark} {}", brief(change));
            }
        }
    }
    Some(Difference { effect, text })
}

fn brief(change: &Change) -> String {
    let own = change.own.map(|own| format!(" own {}", own.0)).unwrap_or_default();
    let rule = change.rule.map(|rule| format!(" by rule {}", rule.0)).unwrap_or_default();
    let take = change.take.map(|take| format!(" take {} at {}", take.take, take.time.0));
    format!(
        "{}{own} run {} flight {} T+{:?}{rule}{} at {:.6},{:.6} {:?}: {:?}",
        change.effect.0,
        change.run,
        change.flight,
        change.since_takeoff.map(|time| time.0),
        take.unwrap_or_default(),
        change.position.lat(),
        change.position.lon(),
        change.altitude.map(Metres::get),
        change.event,
    )
}

fn same_instant(ours: &[Change], theirs: &[Change]) -> bool {
    ours.len() == theirs.len()
        && sorted(ours).iter().zip(sorted(theirs)).all(|(ours, theirs)| same(ours, &theirs))
}

/// Whether two changes are the same but for what lies within the tolerance of a crossing.
fn same(ours: &Change, theirs: &Change) -> bool {
    let measured = matches!(class_of(&ours.event), Class::Zone)
        || matches!(
            ours.event,
            Event::Still { why: StillWhy::Closest, .. } | Event::FilmedInside { .. }
        );
    let slack = if measured { TIMES } else { 0 };
    // In a hover every moment is the closest.
    let closest = matches!(ours.event, Event::Still { why: StillWhy::Closest, .. });
    let hovers = closest && near(ours.position, theirs.position, 0.5);
    let own = (ours.own.unwrap_or(ours.effect) - theirs.own.unwrap_or(theirs.effect)).0.abs();
    let metres = if measured { 4.0 } else { 0.001 };
    ours.effect == theirs.effect
        && (own <= slack || hovers)
        && ours.run == theirs.run
        && ours.flight == theirs.flight
        && ours.since_takeoff == theirs.since_takeoff
        && ours.take == theirs.take
        && ours.rule == theirs.rule
        && same_event(&ours.event, &theirs.event)
        && near(ours.position, theirs.position, metres)
        && (close(ours.altitude, theirs.altitude, metres) || hovers)
}

fn same_event(ours: &Event, theirs: &Event) -> bool {
    match (ours, theirs) {
        (
            Event::FilmedInside { zone, from, to, by_hand },
            Event::FilmedInside { zone: z, from: f, to: t, by_hand: h },
        ) => {
            let close = |a: &Utc, b: &Utc| (*a - *b).0.abs() <= TIMES;
            zone == z && by_hand == h && close(from, f) && close(to, t)
        }
        // Nor which of several quiet or no-filming zones is named.
        (
            Event::RecordOff { why: RecordWhy::NoFilming(_) },
            Event::RecordOff { why: RecordWhy::NoFilming(_) },
        ) => true,
        (
            Event::Hand { action, outcome: HandOutcome::NoFilming(_) },
            Event::Hand { action: other, outcome: HandOutcome::NoFilming(_) },
        ) => action == other,
        (
            Event::Music { from, to, why: MusicWhy::Quiet(_) },
            Event::Music { from: f, to: t, why: MusicWhy::Quiet(_) },
        ) => (from, to) == (f, t),
        (
            Event::Narration {
                narration,
                what: NarrationEvent::CutOff { by: Cut::Quiet(_), played },
            },
            Event::Narration {
                narration: other,
                what: NarrationEvent::CutOff { by: Cut::Quiet(_), played: p },
            },
        ) => (narration, played) == (other, p),
        // Which of several obstacles is named first is left open.
        (
            Event::Narration { narration, what: NarrationEvent::Waits(_) },
            Event::Narration { narration: other, what: NarrationEvent::Waits(_) },
        )
        | (
            Event::Narration { narration, what: NarrationEvent::Skipped(_) },
            Event::Narration { narration: other, what: NarrationEvent::Skipped(_) },
        ) => narration == other,
        _ => ours == theirs,
    }
}

fn near(ours: Position, theirs: Position, metres: f64) -> bool {
    ours == theirs || ground::distance(ours, theirs) <= metres
}

fn close(ours: Option<Metres>, theirs: Option<Metres>, metres: f64) -> bool {
    match (ours, theirs) {
        (Some(ours), Some(theirs)) => (ours.get() - theirs.get()).abs() <= metres,
        (ours, theirs) => ours == theirs,
    }
}

fn compare_states(real: &Film, reference: &Film) -> Option<Difference> {
    let count = real.states.len().max(reference.states.len());
    let differs =
        (0..count).find(|index| match (real.states.get(*index), reference.states.get(*index)) {
            (Some(ours), Some(theirs)) => !same_row(ours, theirs),
            _ => true,
        })?;
    let (ours, theirs) = (real.states.get(differs), reference.states.get(differs));
    let effect = ours.into_iter().chain(theirs).map(|row| row.time).min()?;
    Some(Difference { effect, text: format!("states{}", different_lines(ours, theirs)) })
}

/// The lines in which two states differ, printed one below the other.
fn different_lines(ours: Option<&Row>, theirs: Option<&Row>) -> String {
    let (Some(ours), Some(theirs)) = (ours, theirs) else {
        return format!("\nreal engine: {ours:?}\nreference: {theirs:?}");
    };
    let mut text = format!(" at {}", ours.time.0);
    let fields = |row: &Row| {
        [
            format!("{:?}", (row.time, row.run, row.flight, row.since_first, row.since_takeoff)),
            format!("{:?}", (row.position, row.altitude)),
            format!("{:?}", (row.groundspeed, row.track, row.heading)),
            format!("{:?}", (row.airborne, row.gps, row.voice_on, row.radio_busy)),
            format!("{:?}", row.zones),
            format!("{:?}", (row.camera, row.camera_why, row.camera_next)),
            format!("{:?}", row.narration),
            format!("{:?}", (row.music, row.music_ducked, row.title)),
            format!("{:?}", (row.take, &row.stills)),
        ]
    };
    for (ours, theirs) in fields(ours).iter().zip(fields(theirs)) {
        if *ours != theirs {
            let _ = write!(text, "\n  real engine {ours}\n  reference   {theirs}");
        }
    }
    text
}

fn same_row(ours: &Row, theirs: &Row) -> bool {
    let angle = |a: f64, b: f64| ground::turn(a - b).abs() < 1e-5;
    let track = match (ours.track, theirs.track) {
        (Some(a), Some(b)) => angle(a.get(), b.get()),
        (a, b) => a == b,
    };
    let heading = match (ours.heading, theirs.heading) {
        (Some((a, from)), Some((b, other))) => angle(a.get(), b.get()) && from == other,
        (a, b) => a == b,
    };
    let speed = match (ours.groundspeed, theirs.groundspeed) {
        (Some(a), Some(b)) => (a.get() - b.get()).abs() < 1e-6,
        (a, b) => a == b,
    };
    let stills = |row: &Row| {
        let mut stills = row.stills.clone();
        stills.sort();
        stills
    };
    // While another camera waits, the one live may still stand there for a loss that is over.
    let why = |row: &Row| match row.camera_why {
        CameraWhy::ShotHold(rule) => CameraWhy::Rule(rule),
        CameraWhy::Lost => CameraWhy::DefaultSequence,
        why => why,
    };
    let plain = |row: &Row| Row {
        camera_why: why(row),
        stills: stills(row),
        altitude: None,
        track: None,
        heading: None,
        groundspeed: None,
        ..row.clone()
    };
    track
        && heading
        && speed
        && close(ours.altitude, theirs.altitude, 1e-9)
        && plain(ours) == plain(theirs)
}

fn compare_notices(real: &Film, reference: &Film) -> Option<Difference> {
    let of = |film: &Film| -> Vec<Notice> {
        let told = |notice: &&Notice| {
            matches!(
                notice,
                Notice::Rejected { .. } | Notice::Believed { .. } | Notice::HandAfterEnd { .. }
            )
        };
        film.notices.iter().filter(told).copied().collect()
    };
    let (ours, theirs) = (of(real), of(reference));
    if ours == theirs {
        return None;
    }
    let effect = Utc(i64::MAX);
    Some(Difference { effect, text: format!("notices\nreal: {ours:?}\nreference: {theirs:?}") })
}

/// From when on a case hangs on less than the tolerance: a crossing at a fix or at another
/// crossing, an edge or margin only just touched, the end of a gate, a closest point at the very
/// crossing of a no-filming zone.
pub fn doubtful_from(case: &Case) -> Option<Utc> {
    closest_at_crossing(case).into_iter().chain(crossing_in_doubt(case)).min()
}

fn closest_at_crossing(case: &Case) -> Option<Utc> {
    let film = fly_without(case, Some(Without::ClosestInside));
    let crossings: Vec<Utc> = film
        .changes
        .iter()
        .filter(|change| match change.event {
            Event::Entered { zone, .. } | Event::Left { zone } => {
                case.plan.zones[zone.index()].no_filming.is_some()
            }
            _ => false,
        })
        .map(|change| change.own.unwrap_or(change.effect))
        .collect();
    let at_crossing = |change: &&Change| {
        let own = change.own.unwrap_or(change.effect);
        matches!(change.event, Event::Still { why: StillWhy::Closest, .. })
            && crossings.iter().any(|crossing| (own - *crossing).0.abs() <= 2)
    };
    film.changes.iter().find(at_crossing).map(|change| change.effect)
}

fn crossing_in_doubt(case: &Case) -> Option<Utc> {
    let (moments, _) = moments(case, None);
    let grounds: Vec<Ground> = case.plan.zones.iter().map(Ground::of).collect();
    for moment in &moments {
        let Some((leg, began)) = &moment.crossed.leg else { continue };
        let mut times: Vec<Utc> = vec![*began, moment.time()];
        times.extend(moment.crossed.events.iter().filter_map(|event| {
            // A combined zone follows its parts at the very same time.
            let zone = match event.event {
                engine::Event::Entered { zone, .. }
                | engine::Event::Left { zone }
                | engine::Event::Crossed { zone, .. } => zone,
                _ => return None,
            };
            let combined =
                matches!(case.plan.zones[zone.index()].shape, plan::Shape::Combined { .. });
            (!combined && event.own != moment.time()).then_some(event.own)
        }));
        times.sort();
        let close = times.windows(2).any(|pair| (pair[1] - pair[0]) < Millis(DOUBT_TIME));
        if close && times.len() > 2 {
            return Some(moment.time());
        }
        for (zone, ground) in case.plan.zones.iter().zip(&grounds) {
            let combined = matches!(zone.shape, plan::Shape::Combined { .. });
            if !combined && touches(zone, ground, leg) {
                return Some(moment.time());
            }
        }
    }
    None
}

/// Whether somewhere on a leg the distance to an edge or margin turns round within the tolerance,
/// or begins or ends within it.
fn touches(zone: &plan::Zone, ground: &Ground, leg: &super::zone::Leg) -> bool {
    const STEPS: u32 = 400;
    let reach = zone.margin.get() + leg.line.length + 1.0;
    if leg.line.length < 0.01 || ground.outside(zone, leg.line.start) > reach {
        return false;
    }
    let values: Vec<f64> = (0..=STEPS)
        .map(|step| ground.outside(zone, leg.line.at(f64::from(step) / f64::from(STEPS))))
        .collect();
    let step = leg.line.length / f64::from(STEPS);
    let is_gate = matches!(zone.shape, plan::Shape::Gate { .. });
    if is_gate {
        let (all, _) = ground.crossings(zone, leg, true, None);
        let near_end = |part: f64| {
            let plan::Shape::Gate { line, .. } = &zone.shape else { return false };
            line.iter().any(|end| super::ground::distance(*end, leg.line.at(part)) < DOUBT_METRES)
        };
        if all.iter().any(|c| matches!(c.what, What::Crossed { .. }) && near_end(c.part)) {
            return true;
        }
    }
    let thresholds = if is_gate { vec![zone.margin.get()] } else { vec![0.0, zone.margin.get()] };
    thresholds.into_iter().any(|threshold| {
        let off = |index: usize| (values[index] - threshold).abs();
        let ends = off(0) < DOUBT_METRES || off(values.len() - 1) < DOUBT_METRES;
        let turns = values.windows(3).enumerate().any(|(index, three)| {
            let turns = (three[1] - three[0]) * (three[2] - three[1]) <= 0.0;
            turns && off(index + 1) < DOUBT_METRES + 2.0 * step
        });
        ends || turns
    })
}
