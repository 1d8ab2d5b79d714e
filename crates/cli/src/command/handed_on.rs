//! What `captions` and `edit` share: a flight flown into what is handed on of it.

use diagnostic::{Diagnostic, Place};
use engine::{Change, Notice, Sink, State};
use film::{Clock, Sections, Sights, Titles};
use timeline::{Builder, Flight, Timeline};

use super::fly::Ready;
use super::notices::{PLANNED_FLIGHT, notice_findings};
use crate::args::{FlightArgs, TimesArgs};
use crate::input::file;
use crate::input::flight::Go;
use crate::outcome::Stop;
use crate::render::time::Length;
use crate::sink::notices::Notices;

/// Everything that listens.
pub(super) struct Listeners {
    /// What the flights are made of.
    builder: Builder,
    /// Titles and live values, where they are asked for.
    pub(super) titles: Option<Titles>,
    /// Sights passed, where they are asked for.
    pub(super) sights: Option<Sights>,
    notices: Notices,
}

impl Sink for Listeners {
    fn change(&mut self, change: &Change) {
        self.builder.change(change);
        if let Some(titles) = &mut self.titles {
            titles.change(change);
        }
        if let Some(sights) = &mut self.sights {
            sights.change(change);
        }
    }

    fn state(&mut self, state: &State<'_>) {
        self.builder.state(state);
        if let Some(titles) = &mut self.titles {
            titles.state(state);
        }
        if let Some(sights) = &mut self.sights {
            sights.state(state);
        }
    }

    fn notice(&mut self, notice: &Notice) {
        self.notices.notice(notice);
    }
}

/// What came of it.
pub(super) struct Flown {
    /// The flights.
    pub(super) timeline: Timeline,
    /// Titles and live values, where they were asked for.
    pub(super) titles: Option<Titles>,
    /// Sights passed, where they were asked for.
    pub(super) sights: Option<Sights>,
    /// What is to be said of the flight.
    pub(super) findings: Vec<Diagnostic>,
    /// Whether there was a fix at all.
    pub(super) any: bool,
}

/// Flies all of it.
///
/// # Errors
/// Where the plan cannot be flown.
pub(super) fn fly(
    ready: &Ready<'_>,
    args: &FlightArgs,
    (titles, sights): (Option<Titles>, Option<Sights>),
    watched: bool,
) -> Result<Flown, Stop> {
    let plan = &ready.loaded.plan;
    let builder = Builder::new(plan);
    let mut listeners = Listeners { builder, titles, sights, notices: Notices::new() };
    let mut engine = ready.engine()?;
    for (time, action) in ready.hand() {
        engine.hand(time, action);
    }
    let read = ready.fixes(watched, |fix| {
        engine.fix(fix, &mut listeners);
        Go::On
    });
    engine.finish(&mut listeners);
    let Listeners { builder, titles, sights, notices } = listeners;
    let flight = ready.files.first().map_or(PLANNED_FLIGHT, String::as_str);
    let hand = args.hand.as_ref().map(|path| file::name(path));
    let mut findings = notice_findings(plan, &notices, flight, hand.as_deref());
    findings.extend(read.findings);
    Ok(Flown { timeline: builder.finish(), titles, sights, findings, any: read.fixes > 0 })
}

/// The flight that is asked for: the first is the first that was in the air, or, where none was, the
/// first at all. With it, the parts of it that have a time on the clock that is asked for.
///
/// # Errors
/// A finding where there is no such flight, or where it has nothing on that clock.
pub(super) fn choose<'t>(
    timeline: &'t Timeline,
    times: &TimesArgs,
) -> Result<(&'t Flight, Sections), Box<Diagnostic>> {
    let flight = the_flight(timeline, times.flight_number)?;
    let clock = times.clock();
    let sections = Sections::of(flight, clock);
    if sections.length().0 > 0 {
        return Ok((flight, sections));
    }
    let takes = flight.takes.len();
    let (headline, help) = match clock {
        Clock::Take(take) if takes > 0 => (
            format!("the flight has no take {take}; its takes are 1 to {takes}"),
            "give another --take",
        ),
        Clock::Take(_) | Clock::Film => (
            "nothing was recorded in this flight, so there is no film".to_owned(),
            "let a rule record, or count from --clock flight",
        ),
        Clock::TakeOff | Clock::Flight => (
            "the flight has no take-off to count from".to_owned(),
            "count from its first fix: --clock flight",
        ),
    };
    let finding = Diagnostic::error("no-such-time", Place::whole("--clock"), headline);
    Err(Box::new(finding.help(help)))
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

/// The clock in words, with each take's place on it.
pub(super) fn clock_words(clock: Clock, sections: &Sections) -> Vec<String> {
    let head = match clock {
        Clock::Flight => "times are counted from the first fix of the flight".to_owned(),
        Clock::TakeOff => "times are counted from take-off".to_owned(),
        Clock::Take(take) => format!("times are those in take {take}"),
        Clock::Film => "times are those in the film, all takes one after the other".to_owned(),
    };
    let mut lines = vec![head];
    if clock == Clock::Film {
        lines.extend(sections.all.iter().filter_map(|section| {
            let (at, length) = (Length(section.at), Length(section.span.length()));
            Some(format!("take {} begins at {at} and lasts {length}", section.take?))
        }));
    }
    lines
}
