//! The real engine, fed with a case.

use earth::{Millis, Utc};
use engine::{Change, Engine, Limits, Notice, Sink, State};

use super::compare::compare;
use super::{Case, Film, Row, fly};

struct Collect(Film);

impl Sink for Collect {
    fn change(&mut self, change: &Change) {
        self.0.changes.push(*change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.0.states.push(owned(state));
    }

    fn notice(&mut self, notice: &Notice) {
        self.0.notices.push(*notice);
    }
}

fn owned(state: &State<'_>) -> Row {
    Row {
        time: state.time,
        run: state.run,
        flight: state.flight,
        since_first: state.since_first,
        since_takeoff: state.since_takeoff,
        position: state.position,
        altitude: state.altitude,
        groundspeed: state.groundspeed,
        track: state.track,
        heading: state.heading,
        airborne: state.airborne,
        zones: state.zones.to_vec(),
        camera: state.camera,
        camera_why: state.camera_why,
        camera_next: state.camera_next,
        narration: state.narration,
        music: state.music,
        music_ducked: state.music_ducked,
        title: state.title,
        take: state.take,
        stills: state.stills.to_vec(),
        gps: state.gps,
        voice_on: state.voice_on,
        radio_busy: state.radio_busy,
    }
}

fn engine_for(case: &Case) -> Engine {
    let limits =
        Limits { lost_after: Millis(case.limits.lost_after), bridge: Millis(case.limits.bridge) };
    Engine::new(&case.plan, &case.day, limits).unwrap()
}

/// Flies a case with the real engine.
pub fn fly_real(case: &Case) -> Film {
    fly_real_asking(case, |_| None)
}

/// Flies a case with the real engine, each fix by itself, and asks it to run its timers in between:
/// `ask` says for the number of a fix up to when, before that fix is given.
pub fn fly_real_asking(case: &Case, ask: impl Fn(usize) -> Option<Utc>) -> Film {
    let mut engine = engine_for(case);
    let mut collect = Collect(Film::default());
    for (time, hand) in &case.hands {
        engine.hand(*time, *hand);
    }
    for (number, fix) in case.fixes.iter().enumerate() {
        if let Some(until) = ask(number) {
            engine.advance(until, &mut collect);
        }
        engine.fix(fix, &mut collect);
    }
    engine.finish(&mut collect);
    collect.0
}

/// Flies a case with both engines, which must agree, and gives what the real one says.
pub fn fly_both(case: &Case) -> Film {
    let real = fly_real(case);
    let reference = fly(case);
    if let Some(difference) = compare(&real, &reference) {
        panic!("the engines do not agree\n{difference}");
    }
    real
}
