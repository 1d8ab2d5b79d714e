//! What every command shares that looks at a whole flight: everything flown to its end.

use diagnostic::{Diagnostic, Place};
use engine::Sink;
use timeline::{Builder, Flight, Timeline};

use super::fly::Ready;
use super::notices::{PLANNED_FLIGHT, notice_findings};
use crate::args::FlightArgs;
use crate::input::file;
use crate::input::flight::Go;
use crate::outcome::Stop;
use crate::sink::notices::Notices;

/// What was flown.
pub(super) struct Flown {
    /// The flights.
    pub(super) timeline: Timeline,
    /// What is to be said of them.
    pub(super) findings: Vec<Diagnostic>,
    /// Whether there was a fix at all.
    pub(super) any: bool,
}

/// Flies all of it, with somebody more who listens.
///
/// # Errors
/// Where the plan cannot be flown.
pub(super) fn fly(
    ready: &Ready<'_>,
    args: &FlightArgs,
    watched: bool,
    more: &mut impl Sink,
) -> Result<Flown, Stop> {
    let plan = &ready.loaded.plan;
    let (mut builder, mut notices) = (Builder::new(plan), Notices::new());
    let mut all = ((&mut builder, &mut notices), more);
    let mut engine = ready.engine()?;
    for (time, action) in ready.hand() {
        engine.hand(time, action);
    }
    let read = ready.fixes(watched, |fix| {
        engine.fix(fix, &mut all);
        Go::On
    });
    engine.finish(&mut all);
    let flight = ready.files.first().map_or(PLANNED_FLIGHT, String::as_str);
    let hand = args.hand.as_ref().map(|path| file::name(path));
    let mut findings = notice_findings(plan, &notices, flight, hand.as_deref());
    findings.extend(read.findings);
    Ok(Flown { timeline: builder.finish(), findings, any: read.fixes > 0 })
}

/// The flight of this number, from 1: the first is the first that was in the air, or, where none
/// was, the first at all.
///
/// # Errors
/// A finding where there is no such flight.
pub(super) fn the_flight(timeline: &Timeline, number: u32) -> Result<&Flight, Box<Diagnostic>> {
    let place = usize::try_from(number).unwrap_or(usize::MAX).saturating_sub(1);
    let flown = timeline.flown().count();
    let flight = match timeline.flown().nth(place) {
        None if flown == 0 && place == 0 => timeline.flights.first(),
        flight => flight,
    };
    flight.ok_or_else(|| {
        let headline = match flown {
            0 => "there is no take-off in the recording".to_owned(),
            1 => format!("there is one flight in the recording and no flight {number}"),
            many => format!("there are {many} flights in the recording and no flight {number}"),
        };
        Box::new(
            Diagnostic::error("no-such-flight", Place::whole("--flight-number"), headline)
                .help("give another number, or another recording"),
        )
    })
}
