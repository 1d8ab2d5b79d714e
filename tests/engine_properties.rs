//! What must not change what the real engine says: the date, east and west, the meridian, asking in
//! between, and what comes later.
#![allow(clippy::unwrap_used, reason = "a test may stop at once")]
#![allow(dead_code, reason = "other tests use other parts of the reference")]
#![allow(unreachable_pub, reason = "the reference is shared by several tests")]

mod reference;

use earth::{Degrees, DegreesTrue, HeadingReading, Millis, Position, Utc};
use engine::Event;
use plan::{North, Shape, Side, Test, Window};

use reference::compare::{compare, doubtful_from};
use reference::dice::Dice;
use reference::film::{moments, opposite};
use reference::real::{fly_real, fly_real_asking};
use reference::{Case, Film, generate};

const CASES: u64 = 400;

/// Flies every case and its changed twin: the film of the twin is the film changed alike.
fn twins(change: impl Fn(&mut Case), change_film: impl Fn(&mut Film)) {
    let mut doubtful = 0;
    for seed in 1..=CASES {
        let mut case = generate::case(seed);
        without_magnetism(&mut case);
        let mut film = fly_real(&case);
        let mut twin = case.clone();
        change(&mut twin);
        change_film(&mut film);
        if let Some(difference) = compare(&fly_real(&twin), &film) {
            if doubtful_from(&case).is_some() {
                doubtful += 1;
                continue;
            }
            panic!("seed {seed}: the twin (first) flies another film\n{difference}");
        }
    }
    assert!(doubtful * 50 <= CASES, "{doubtful} of {CASES} are doubtful");
}

/// Magnetic north depends on place and date; here it is left out.
fn without_magnetism(case: &mut Case) {
    for fix in &mut case.fixes {
        if let Some(heading) = &mut fix.heading
            && let HeadingReading::Magnetic { degrees, .. } = heading.reading
        {
            heading.reading = HeadingReading::True(degrees);
        }
    }
    for window in windows(case) {
        window.north = North::True;
    }
}

fn windows(case: &mut Case) -> Vec<&mut Window> {
    let conditions = case.plan.rules.iter_mut().flat_map(|rule| &mut rule.conditions);
    conditions
        .filter_map(|condition| match &mut condition.test {
            Test::Track(window) | Test::Heading(window) => Some(window),
            _ => None,
        })
        .collect()
}

fn positions(case: &mut Case) -> Vec<&mut Position> {
    let mut all: Vec<&mut Position> = Vec::new();
    all.extend(case.fixes.iter_mut().map(|fix| &mut fix.position));
    all.extend(case.plan.places.iter_mut().map(|place| &mut place.position));
    for zone in &mut case.plan.zones {
        match &mut zone.shape {
            Shape::Circle { centre, .. } | Shape::Sector { centre, .. } => all.push(centre),
            Shape::Polygon { outer, holes } => {
                all.extend(outer);
                all.extend(holes.iter_mut().flatten());
            }
            Shape::Corridor { line, .. } | Shape::Gate { line, .. } => all.extend(line),
            Shape::Combined { .. } => {}
        }
    }
    all
}

fn positions_of(film: &mut Film) -> Vec<&mut Position> {
    let changes = film.changes.iter_mut().map(|change| &mut change.position);
    changes.chain(film.states.iter_mut().map(|row| &mut row.position)).collect()
}

#[test]
fn a_shift_in_time_shifts_everything() {
    let by = Millis(40 * 24 * 3_600_000 + 12_345_678);
    let shift = |time: &mut Utc| *time = *time + by;
    twins(
        |case| {
            for fix in &mut case.fixes {
                shift(&mut fix.time);
                if let Some(heading) = &mut fix.heading {
                    shift(&mut heading.time);
                }
            }
            case.hands.iter_mut().for_each(|(time, _)| shift(time));
        },
        |film| {
            for change in &mut film.changes {
                shift(&mut change.effect);
                change.own.iter_mut().for_each(shift);
                if let Event::FilmedInside { from, to, .. } = &mut change.event {
                    shift(from);
                    shift(to);
                }
            }
            film.states.iter_mut().for_each(|row| shift(&mut row.time));
            for notice in &mut film.notices {
                match notice {
                    engine::Notice::Rejected { time, .. }
                    | engine::Notice::Believed { time, .. }
                    | engine::Notice::HandAfterEnd { time, .. }
                    | engine::Notice::TrackStandsIn { time }
                    | engine::Notice::MagneticModelDate { time } => shift(time),
                }
            }
        },
    );
}

fn turned_by(position: &mut Position, degrees: f64) {
    *position = Position::of(position.lat(), position.lon() + degrees);
}

#[test]
fn another_meridian_is_as_good() {
    for degrees in [180.0, 97.3, -173.2] {
        twins(
            |case| positions(case).into_iter().for_each(|at| turned_by(at, degrees)),
            |film| positions_of(film).into_iter().for_each(|at| turned_by(at, degrees)),
        );
    }
}

fn mirrored(position: &mut Position) {
    *position = Position::of(position.lat(), -position.lon());
}

fn mirrored_direction(direction: DegreesTrue) -> DegreesTrue {
    DegreesTrue::of(-direction.get())
}

/// A range clockwise from one direction to another; 0 to 360 is every direction.
fn mirrored_range(from: &mut Degrees, to: &mut Degrees) {
    if from.get() == 0.0 && to.get() == 360.0 {
        return;
    }
    let mirror = |degrees: Degrees| Degrees::of((-degrees.get()).rem_euclid(360.0));
    (*from, *to) = (mirror(*to), mirror(*from));
}

fn mirror_side(side: &mut Side) {
    *side = opposite(*side);
}

#[test]
fn east_and_west_are_alike() {
    twins(
        |case| {
            positions(case).into_iter().for_each(mirrored);
            windows(case).into_iter().for_each(|w| mirrored_range(&mut w.from, &mut w.to));
            for zone in &mut case.plan.zones {
                match &mut zone.shape {
                    Shape::Sector { from, to, .. } => mirrored_range(from, to),
                    Shape::Gate { crossed_from, .. } => mirror_side(crossed_from),
                    _ => {}
                }
            }
            for camera in &mut case.plan.aircraft.cameras {
                camera.bearing = Degrees::of((-camera.bearing.get()).rem_euclid(360.0));
            }
            for wind in [&mut case.plan.wind, &mut case.day.wind].into_iter().flatten() {
                wind.from = mirrored_direction(wind.from);
            }
            for fix in &mut case.fixes {
                fix.track = fix.track.map(mirrored_direction);
                if let Some(heading) = &mut fix.heading
                    && let HeadingReading::True(degrees) = heading.reading
                {
                    heading.reading = HeadingReading::True(mirrored_direction(degrees));
                }
            }
        },
        |film| {
            positions_of(film).into_iter().for_each(mirrored);
            for change in &mut film.changes {
                if let Event::Crossed { from, .. } = &mut change.event {
                    mirror_side(from);
                }
            }
            for row in &mut film.states {
                row.track = row.track.map(mirrored_direction);
                row.heading =
                    row.heading.map(|(heading, from)| (mirrored_direction(heading), from));
            }
        },
    );
}

#[test]
fn asking_in_between_changes_nothing() {
    for seed in 1..=CASES {
        let case = generate::case(seed);
        let together = fly_real(&case);
        let (good, _) = moments(&case, None);
        // For each fix, how many good ones came before it.
        let mut before = Vec::new();
        let mut count = 0;
        for fix in &case.fixes {
            before.push(count);
            if good.get(count).is_some_and(|good| good.good.fix == *fix) {
                count += 1;
            }
        }
        let dice = std::cell::RefCell::new(Dice::new(seed));
        let asked = fly_real_asking(&case, |number| {
            // Up to any moment before the next good fix.
            let next = good.get(before[number])?.time();
            let last = good.get(before[number].checked_sub(1)?)?.time();
            let mut dice = dice.borrow_mut();
            // Whoever asks beyond the end of the run has been told that it is over, and a fix that
            // comes later with an earlier stamp does not undo that.
            const OVER: f64 = 30.0 * 60_000.0;
            let wait = ((next - last).get().min(OVER) - 1.0).max(0.0) * dice.part();
            (dice.chance(0.7) && last < next).then(|| last + Millis::from_secs_f64(wait / 1000.0))
        });
        if let Some(difference) = compare(&asked, &together) {
            panic!("seed {seed}: asked in between (first) and not\n{difference}");
        }
        assert_eq!(together.states, asked.states, "seed {seed}");
        assert_eq!(together.changes, asked.changes, "seed {seed}");
        assert_eq!(together.notices, asked.notices, "seed {seed}");
    }
}

#[test]
fn what_comes_later_changes_nothing_before() {
    for seed in 1..=CASES {
        let mut case = generate::case(seed);
        let whole = fly_real(&case);
        let keep = case.fixes.len() / 2;
        case.fixes.truncate(keep);
        let half = fly_real(&case);
        assert_eq!(half.states, whole.states[..half.states.len()], "seed {seed}");
        let ended = half.changes.iter().rposition(|change| change.event == Event::RunEnded);
        let before = ended.unwrap_or(half.changes.len());
        assert_eq!(half.changes[..before], whole.changes[..before], "seed {seed}");
    }
}

#[test]
fn the_same_flight_gives_the_same_film() {
    for seed in 1..=20 {
        let case = generate::case(seed);
        let (one, other) = (fly_real(&case), fly_real(&case));
        assert_eq!(one.changes, other.changes);
        assert_eq!(one.states, other.states);
    }
}
