//! What `captions` and `edit` share: the flight and the clock that are asked for.

use diagnostic::{Diagnostic, Place};
use film::{Clock, Sections};
use timeline::{Flight, Timeline};

use super::flown::the_flight;
use crate::args::TimesArgs;
use crate::render::time::Length;

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
