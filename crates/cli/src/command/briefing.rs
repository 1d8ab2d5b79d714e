//! `fulmar briefing`.

use std::io::Write;
use std::path::PathBuf;

use briefing::{Facts, compose, fit, html, pdf};
use coverage::light::on_flight;
use diagnostic::{Diagnostic, Place};
use earth::Millis;

use super::fly::prepare;
use super::seen::{Looked, look};
use crate::args::{BriefingArgs, FlightArgs, MessageFormat};
use crate::input::file;
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render::words::counted;
use crate::terminal::Terminal;

/// Writes the pilot's card for a day.
pub(super) fn run(
    args: &BriefingArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let ending = args.output.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let to_pdf = match ending.as_deref() {
        Some("pdf") => true,
        Some("html" | "htm") => false,
        _ => {
            let place = Place::whole(file::name(&args.output));
            findings.push(
                Diagnostic::error("card-format", place, "a card is an HTML or a PDF file")
                    .help("let its name end with .html or .pdf"),
            );
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let flight = FlightArgs::planned(args.tour.clone(), args.today.clone());
    let ready = match prepare(&flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let looked = look(&ready, (&flight, 1), &args.terrain, false, &mut findings)?;
    let Some(Looked { flight: flown, poses, coverage, .. }) = looked else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    let lights = on_flight(plan, &flown, &poses, &coverage, Millis::ZERO);
    let card = compose(&Facts {
        plan,
        code: &ready.loaded.identity.code,
        day: &ready.day,
        day_words: &ready.day_words,
        flight: &flown,
        poses: &poses,
        coverage: &coverage,
        lights: &lights,
    });
    let fitted = fit(&card);
    if fitted.left_out > 0 {
        let headline = format!(
            "{} had no room on the page; the card says so",
            counted(fitted.left_out, "item")
        );
        let place = Place::whole(file::name(&args.output));
        findings.push(
            Diagnostic::note("card-full", place, headline)
                .help("`fulmar coverage` and `fulmar plan` show all of it"),
        );
    }
    if to_pdf && !fitted.unknown.is_empty() {
        let letters: String = fitted.unknown.iter().take(20).collect();
        let headline = format!("the PDF file has no letters for {letters} and shows empty boxes");
        let place = Place::whole(file::name(&args.output));
        findings
            .push(Diagnostic::warning("letters-missing", place, headline).help(
                "write the card as .html and print that, or give those places a Latin title",
            ));
    }
    let bytes = if to_pdf {
        pdf(&fitted).map_err(|error| {
            let place = Place::whole(file::name(&args.output));
            let finding = Diagnostic::error("card-format", place, error.to_string());
            Stop::Found(Box::new(finding.help("write it as .html, and print that")))
        })?
    } else {
        html(&fitted).into_bytes()
    };
    let read = ready.read_files(&flight);
    let read = read.iter().chain(&args.terrain.terrain).map(PathBuf::as_path);
    let mut output = Output::begin(&args.output, read)?;
    output.write_all(&bytes)?;
    output.finish(format, terminal)?;
    writeln!(terminal.out, "{}", ready.loaded.identity.head())?;
    if let Some(sights) = fitted.card.sections.iter().find(|it| it.title.contains("sights")) {
        writeln!(terminal.out, "{}", sights.title)?;
    }
    writeln!(terminal.out, "one page at {} points", fitted.size)?;
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    Ok(said.max(ready.told))
}
