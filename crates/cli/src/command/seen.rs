//! What `coverage`, `light`, `page` and `briefing` share: a flight flown with somebody looking.

use coverage::{Coverage, Pose, Watch, cover};
use diagnostic::Diagnostic;
use engine::{Change, Notice, Sink, State};
use terrain::Terrain;
use timeline::{Builder, Flight, Timeline};

use super::fly::Ready;
use super::handed_on::the_flight;
use super::notices::{PLANNED_FLIGHT, notice_findings};
use crate::args::FlightArgs;
use crate::input::file;
use crate::input::flight::Go;
use crate::outcome::Stop;
use crate::sink::notices::Notices;

/// Everything that looks and listens, and whatever else the caller has.
struct Looking<'s, S> {
    builder: Builder,
    watch: Watch,
    notices: Notices,
    more: &'s mut S,
}

impl<S: Sink> Sink for Looking<'_, S> {
    fn change(&mut self, change: &Change) {
        self.builder.change(change);
        self.more.change(change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.builder.state(state);
        self.watch.state(state);
        self.more.state(state);
    }

    fn notice(&mut self, notice: &Notice) {
        self.notices.notice(notice);
        self.more.notice(notice);
    }
}

/// A sink that does not listen.
pub(super) struct Nobody;

impl Sink for Nobody {
    fn change(&mut self, _: &Change) {}
    fn state(&mut self, _: &State<'_>) {}
    fn notice(&mut self, _: &Notice) {}
}

/// What was flown, and what was seen.
pub(super) struct Seen {
    /// The flights.
    pub(super) timeline: Timeline,
    /// Where the aircraft was at every good fix of all flights.
    pub(super) poses: Vec<Pose>,
    /// What is to be said of the flight.
    pub(super) findings: Vec<Diagnostic>,
    /// Whether there was a fix at all.
    pub(super) any: bool,
}

impl Seen {
    /// The flight of this number, from 1, and what the cameras saw on it.
    ///
    /// # Errors
    /// A finding where there is no such flight.
    pub(super) fn of_flight(
        &self,
        ready: &Ready<'_>,
        number: u32,
        ground: &Terrain,
    ) -> Result<(&Flight, Coverage), Box<Diagnostic>> {
        let flight = the_flight(&self.timeline, number)?;
        let ground = (!ground.is_empty()).then_some(ground);
        let coverage = cover(&ready.loaded.plan, &ready.day, flight, &self.poses, ground);
        Ok((flight, coverage))
    }
}

/// Flies all of it.
///
/// # Errors
/// Where the plan cannot be flown.
pub(super) fn fly(
    ready: &Ready<'_>,
    args: &FlightArgs,
    watched: bool,
    more: &mut impl Sink,
) -> Result<Seen, Stop> {
    let plan = &ready.loaded.plan;
    let mut looking = Looking {
        builder: Builder::new(plan),
        watch: Watch::new(plan),
        notices: Notices::new(),
        more,
    };
    let mut engine = ready.engine()?;
    for (time, action) in ready.hand() {
        engine.hand(time, action);
    }
    let read = ready.fixes(watched, |fix| {
        engine.fix(fix, &mut looking);
        Go::On
    });
    engine.finish(&mut looking);
    let Looking { builder, watch, notices, .. } = looking;
    let flight = ready.files.first().map_or(PLANNED_FLIGHT, String::as_str);
    let hand = args.hand.as_ref().map(|path| file::name(path));
    let mut findings = notice_findings(plan, &notices, flight, hand.as_deref());
    findings.extend(read.findings);
    let poses = watch.finish(Some(ready.limits.bridge));
    Ok(Seen { timeline: builder.finish(), poses, findings, any: read.fixes > 0 })
}
