//! `fulmar coverage`.

use std::io::Write;
use std::path::PathBuf;

use super::fly::prepare;
use super::ground::cautions;
use super::seen::{Looked, look};
use diagnostic::{Diagnostic, Place};

use crate::args::{CoverageArgs, CoverageFormat, MessageFormat};
use crate::input::file;
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render;
use crate::render::coverage::{Page, csv, json, text};
use crate::terminal::Terminal;

/// Flies a flight and says which sights its cameras filmed.
pub(super) fn run(
    args: &CoverageArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let mut findings = Findings::default();
    let asked = (&args.flight, args.which.flight_number);
    let watched = terminal.err_is_watched;
    let looked = look(&ready, asked, &args.terrain, watched, &mut findings)?;
    let Some(Looked { flight, poses, coverage, ground }) = looked else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    if !ground.is_empty() {
        let flown = (&flight, poses.as_slice(), &coverage);
        findings.extend(cautions(&ready, &args.flight, flown, &ground));
        unknown(&coverage, &args.terrain.terrain, &mut findings);
    }
    let page = Page {
        identity: &ready.loaded.identity,
        plan: &ready.loaded.plan,
        day: &ready.day_words,
        flight: &flight,
        coverage: &coverage,
        poses: &poses,
        ground: (!ground.is_empty()).then_some(&ground),
    };
    let print = |out: &mut dyn Write| match args.format {
        CoverageFormat::Text => text(out, &page),
        CoverageFormat::Json => render::json(out, &json(&page)),
        CoverageFormat::Csv => csv(out, &page),
    };
    match &args.output {
        None => print(&mut *terminal.out)?,
        Some(path) => {
            let read = ready.read_files(&args.flight);
            let read = read.iter().chain(&args.terrain.terrain).map(PathBuf::as_path);
            let mut output = Output::begin(path, read)?;
            print(&mut output)?;
            output.finish(format, terminal)?;
        }
    }
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    let missed = coverage.sights.iter().any(|seen| seen.wanted.must_have && !seen.is_filmed());
    let judged = if missed { Outcome::Findings } else { Outcome::Clean };
    Ok(judged.max(said).max(ready.told))
}

/// Files of heights that know nothing of where the flight is: they are for another place.
fn unknown(coverage: &coverage::Coverage, given: &[PathBuf], findings: &mut Findings) {
    if coverage.ground_known {
        return;
    }
    let name = given.first().map_or_else(|| "terrain".to_owned(), |path| file::name(path));
    findings.push(
        Diagnostic::warning(
            "terrain-elsewhere",
            Place::whole(name),
            "the files of heights know nothing of any place on this flight",
        )
        .help("give files that cover the route; without them no hill hides a sight"),
    );
}
