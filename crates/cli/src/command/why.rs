//! `fulmar why`.

use std::cell::Cell;

use diagnostic::{Diagnostic, Place};
use earth::{Millis, Utc};
use engine::{Change, Channel, Event, Notice, Sink, State};

use super::fly::{Ready, prepare};
use crate::args::{ChannelName, MessageFormat, Moment, TextFormat, WhyArgs};
use crate::input::findings::Findings;
use crate::input::flight::Go;
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::render::time::{Since, UtcText};
use crate::render::why::{Answer, json, text};
use crate::terminal::Terminal;

/// Flies up to a moment and says why a channel is as it is then.
pub(super) fn run(
    args: &WhyArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let found = find(&ready, args, terminal.err_is_watched)?;
    let mut findings = Findings::default();
    let moment = match found {
        Ok(moment) => moment,
        Err(found) => {
            findings.extend(found);
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let answer = ask(&ready, &moment, args.channel)?;
    match args.format {
        TextFormat::Text => text(&mut *terminal.out, &answer)?,
        TextFormat::Json => {
            render::json(&mut *terminal.out, &json(&answer))?;
        }
    }
    Ok(ready.told)
}

/// A moment of the flight, found.
struct Found {
    time: Utc,
    since: Option<Millis>,
    /// How many fixes are given before it: all up to the last good one that is not after it.
    fixes: u64,
}

/// What a look through the flight notes.
#[derive(Default)]
struct Times {
    /// From when each flight that flew counts its time.
    zeros: Vec<((u32, u32), Utc)>,
    first: Option<Utc>,
    last: Option<Utc>,
    /// The latest flight that was seen in the air.
    now: Option<(u32, u32)>,
}

impl Times {
    fn note(&mut self, flight: (u32, u32), time: Utc, since: Option<Millis>) {
        let Some(since) = since else { return };
        if self.now != Some(flight) {
            self.now = Some(flight);
            self.zeros.push((flight, time - since));
        }
    }
}

impl Sink for Times {
    fn change(&mut self, change: &Change) {
        let since = match change.event {
            Event::TookOff => Some(change.since_takeoff.unwrap_or_default()),
            _ => change.since_takeoff,
        };
        self.note((change.run, change.flight), change.effect, since);
    }

    fn state(&mut self, state: &State<'_>) {
        self.first = self.first.or(Some(state.time));
        self.last = Some(state.time);
        self.note((state.run, state.flight), state.time, state.since_takeoff);
    }

    fn notice(&mut self, _notice: &Notice) {}
}

/// Finds the moment asked for: looks through the whole flight for take-off and end, then once more
/// for the fixes before the moment.
fn find(
    ready: &Ready<'_>,
    args: &WhyArgs,
    watched: bool,
) -> Result<Result<Found, Vec<Diagnostic>>, Stop> {
    let mut engine = ready.engine()?;
    let mut times = Times::default();
    let flown = ready.fixes(watched, |fix| {
        engine.fix(fix, &mut times);
        Go::On
    });
    engine.finish(&mut times);
    let (Some(first), Some(last)) = (times.first, times.last) else {
        return Ok(Err(flown.findings));
    };
    let number = usize::try_from(args.flight_number).unwrap_or(usize::MAX);
    let (time, since) = match args.at {
        Moment::At(time) => {
            let zero = times.zeros.iter().rev().find(|(_, zero)| *zero <= time);
            let zero = zero.or(times.zeros.first());
            (time, zero.map(|(_, zero)| time - *zero))
        }
        Moment::SinceTakeoff(since) => match times.zeros.get(number - 1) {
            Some((_, zero)) => (*zero + since, Some(since)),
            None => return Ok(Err(vec![no_such_flight(&times, args.flight_number)])),
        },
    };
    if time < first || time > last {
        return Ok(Err(vec![outside(&times, time, first, last)]));
    }
    Ok(Ok(Found { time, since, fixes: fixes_until(ready, time)? }))
}

/// How many fixes are given before the first good one after `time`.
fn fixes_until(ready: &Ready<'_>, time: Utc) -> Result<u64, Stop> {
    struct After<'c>(Utc, &'c Cell<bool>);
    impl Sink for After<'_> {
        fn change(&mut self, _change: &Change) {}
        fn state(&mut self, state: &State<'_>) {
            if state.time > self.0 {
                self.1.set(true);
            }
        }
        fn notice(&mut self, _notice: &Notice) {}
    }
    let mut engine = ready.engine()?;
    let passed = Cell::new(false);
    let mut sink = After(time, &passed);
    let mut fixes = 0;
    ready.fixes(false, |fix| {
        engine.fix(fix, &mut sink);
        if passed.get() {
            return Go::Stop;
        }
        fixes += 1;
        Go::On
    });
    Ok(fixes)
}

/// Keeps the last change of a channel.
struct Last {
    channel: ChannelName,
    change: Option<Change>,
}

impl Sink for Last {
    fn change(&mut self, change: &Change) {
        let channel = match change.event {
            Event::Camera { .. } | Event::HandCameraEnded => ChannelName::Camera,
            Event::RecordOn { .. } | Event::RecordOff { .. } => ChannelName::Record,
            Event::Narration { .. } => ChannelName::Narration,
            Event::Music { .. } | Event::MusicDucked { .. } => ChannelName::Music,
            Event::Title { .. } => ChannelName::Title,
            Event::Still { .. } => ChannelName::Still,
            _ => return,
        };
        if channel == self.channel {
            self.change = Some(*change);
        }
    }

    fn state(&mut self, _state: &State<'_>) {}

    fn notice(&mut self, _notice: &Notice) {}
}

fn ask<'a>(ready: &'a Ready<'_>, moment: &Found, channel: ChannelName) -> Result<Answer<'a>, Stop> {
    let mut engine = ready.engine()?;
    for (time, action) in ready.hand() {
        engine.hand(time, action);
    }
    let mut sink = Last { channel, change: None };
    let mut left = moment.fixes;
    ready.fixes(false, |fix| {
        if left == 0 {
            return Go::Stop;
        }
        left -= 1;
        engine.fix(fix, &mut sink);
        Go::On
    });
    engine.advance(moment.time, &mut sink);
    let explanation = engine.why(match channel {
        ChannelName::Camera => Channel::Camera,
        ChannelName::Record => Channel::Record,
        ChannelName::Narration => Channel::Narration,
        ChannelName::Music => Channel::Music,
        ChannelName::Title => Channel::Title,
        ChannelName::Still => Channel::Still,
    });
    Ok(Answer {
        plan: &ready.loaded.plan,
        identity: &ready.loaded.identity,
        time: moment.time,
        since: moment.since,
        last: sink.change,
        explanation,
    })
}

fn no_such_flight(times: &Times, number: u32) -> Diagnostic {
    let headline = match times.zeros.len() {
        0 => "there is no take-off in the recording, so no time since take-off".to_owned(),
        1 => format!("there is one flight in the recording and no flight {number}"),
        many => format!("there are {many} flights in the recording and no flight {number}"),
    };
    Diagnostic::error("moment-outside", Place::whole("--at"), headline)
        .help("give the time in UTC, such as 2026-06-01T10:35:00Z, or another --flight-number")
}

fn outside(times: &Times, time: Utc, first: Utc, last: Utc) -> Diagnostic {
    let since = |time: Utc| match times.zeros.first() {
        Some((_, zero)) => format!("{} ({})", UtcText(time), Since(time - *zero)),
        None => UtcText(time).to_string(),
    };
    Diagnostic::error(
        "moment-outside",
        Place::whole("--at"),
        format!("{} is outside the recording", UtcText(time)),
    )
    .help(format!("it runs from {} to {}", since(first), since(last)))
}
