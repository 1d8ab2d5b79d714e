//! `fulmar light`.

use std::io::Write;
use std::path::PathBuf;

use coverage::light::on_flight;
use diagnostic::{Diagnostic, Place};
use earth::{Millis, Utc};

use super::fly::prepare;
use super::seen::{Looked, look};
use crate::args::{LightArgs, MessageFormat, TextFormat};
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render;
use crate::render::light::{Departure, Page, json, svg, text};
use crate::terminal::Terminal;

/// Says what light the sights have at each departure that is sold.
pub(super) fn run(
    args: &LightArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let mut findings = Findings::default();
    let asked = (&args.flight, args.which.flight_number);
    let watched = terminal.err_is_watched;
    let looked = look(&ready, asked, &args.terrain, watched, &mut findings)?;
    let Some(Looked { flight, poses, coverage, .. }) = looked else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    let offset = plan.route.utc_offset;
    let midnight = match args.date {
        Some(date) => midnight(date, offset),
        None => {
            let local = plan.route.departure.0 + offset.0;
            Utc(local - local.rem_euclid(DAY) - offset.0)
        }
    };
    let took_off = flight.zero.unwrap_or(flight.span.from);
    let mut times =
        if args.at.is_empty() { plan.route.departures.clone() } else { args.at.clone() };
    if times.is_empty() {
        // Nothing is sold: then the planned departure is looked at.
        times.push(Millis((plan.route.departure.0 + offset.0).rem_euclid(DAY)));
        let place = Place::whole(crate::input::file::name(&args.flight.tour));
        findings.push(
            Diagnostic::note("no-departures", place, "the tour says no departures that are sold")
                .help("write `departures: [\"09:00\", \"10:30\"]`, or give --at 09:00,10:30"),
        );
    }
    let departures: Vec<Departure> = times
        .into_iter()
        .map(|time| {
            let later = midnight + time - took_off;
            let lights = on_flight(plan, &flight, &poses, &coverage, later);
            Departure::new(time, lights, &coverage)
        })
        .collect();
    let page = Page {
        identity: &ready.loaded.identity,
        plan,
        day: &ready.day_words,
        midnight,
        coverage: &coverage,
        departures: &departures,
    };
    match args.format {
        TextFormat::Text => text(&mut *terminal.out, &page)?,
        TextFormat::Json => render::json(&mut *terminal.out, &json(&page))?,
    }
    if let Some(path) = &args.chart {
        let read = ready.read_files(&args.flight);
        let read = read.iter().chain(&args.terrain.terrain).map(PathBuf::as_path);
        let mut output = Output::begin(path, read)?;
        output.write_all(svg(&page).as_bytes())?;
        output.finish(format, terminal)?;
    }
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    Ok(said.max(ready.told))
}

const DAY: i64 = 86_400_000;

/// The beginning of a local day.
fn midnight(date: jiff::civil::Date, offset: Millis) -> Utc {
    let start = jiff::civil::date(1970, 1, 1);
    let days = (date - start).get_days();
    Utc(i64::from(days) * DAY - offset.0)
}
