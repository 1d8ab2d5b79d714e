//! `fulmar music`.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::PathBuf;

use diagnostic::{Diagnostic, Place};
use earth::{Fix, Utc};
use engine::{Engine, Limits};
use indicatif::ProgressBar;
use plan::{Day, Plan};
use rayon::prelude::*;
use timeline::{Builder, Played, Timeline};

use super::fly::{cannot_be_flown, fly_all, planned_flight, raise, shorten};
use super::notices::PLANNED_FLIGHT;
use crate::args::{MessageFormat, MusicArgs, SheetFormat, SheetPer};
use crate::input::findings::Findings;
use crate::input::flight::{Go, Recording};
use crate::input::flights::flights;
use crate::input::tour::{Load, Loaded, load};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::output::{Output, files_of};
use crate::render;
use crate::render::cue_sheet::{self, Page, Sheet};
use crate::terminal::Terminal;

/// So many files, and a person who waits is shown how far it is.
const MANY: usize = 10;

/// What was heard on a flight.
struct Flight {
    file: String,
    took_off: Utc,
    played: Vec<Played>,
}

/// What came of a file.
#[derive(Default)]
struct Flown {
    flights: Vec<Flight>,
    fixes: u64,
    findings: Vec<Diagnostic>,
}

/// Prints what music was played on flights, and by what right.
pub(super) fn run(
    args: &MusicArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let loaded = match prepare(args, &mut findings, format, terminal)? {
        Ok(loaded) => loaded,
        Err(outcome) => {
            findings.tell(terminal, format)?;
            return Ok(outcome);
        }
    };
    let (loaded, day) = *loaded;
    let plan = &loaded.plan;
    let (files, all_there) = flights(&args.flights, &mut findings);
    let mut file = match &args.output {
        Some(path) => {
            let read = files_of(&args.tour, plan);
            let read = files.iter().chain(&read).map(PathBuf::as_path);
            Some(Output::begin(path, read.chain(args.today.files()))?)
        }
        None => None,
    };
    let all = if args.planned {
        vec![planned(plan, &day)?]
    } else {
        fly_each(&files, plan, &day, terminal)
    };
    let fixes: u64 = all.iter().map(|flown| flown.fixes).sum();
    let mut flights: Vec<Flight> = Vec::new();
    for flown in all {
        findings.extend(flown.findings);
        flights.extend(flown.flights);
    }
    if fixes == 0 {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    flights.sort_by_key(|flight| flight.took_off);
    take_out_doubles(&mut flights, &mut findings);
    judge(plan, &flights, &mut findings);
    let sheets = match args.per {
        SheetPer::Flight => flights.iter().map(of_flight).collect(),
        SheetPer::Year => of_years(&flights),
    };
    let page = Page { plan, identity: &loaded.identity, sheets };
    match &mut file {
        Some(file) => print(file, &page, args.format)?,
        None => print(&mut *terminal.out, &page, args.format)?,
    }
    if let Some(file) = file {
        file.finish(format, terminal)?;
    }
    terminal.flush()?;
    let told = findings.tell(terminal, format)?;
    Ok(if all_there { told } else { Outcome::CouldNotRun })
}

/// The plan, and the day; what is wrong is among the findings.
fn prepare(
    args: &MusicArgs,
    findings: &mut Findings,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Result<Box<(Loaded, Day)>, Outcome>, Stop> {
    if args.flights.is_empty() && !args.planned {
        findings.push(
            Diagnostic::error("no-flight", Place::whole("the command"), "no flight is given")
                .help("name the GPX files of recorded flights or their folder, or give --planned"),
        );
        return Ok(Err(Outcome::CouldNotRun));
    }
    let Some(today) = today::read(&Disk::default(), &args.today, findings) else {
        return Ok(Err(Outcome::CouldNotRun));
    };
    let loaded = match load(&args.tour, &today, findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => return Ok(Err(Outcome::Findings)),
        Load::Unusable => return Ok(Err(Outcome::CouldNotRun)),
    };
    shorten(findings, &args.tour, &today, format, terminal)?;
    Ok(match day::day(&today, &loaded.plan) {
        Ok(day) => Ok(Box::new((*loaded, day))),
        Err(found) => {
            findings.extend(found);
            Err(Outcome::CouldNotRun)
        }
    })
}

fn planned(plan: &Plan, day: &Day) -> Result<Flown, Stop> {
    let fixes: Vec<Fix> = planned_flight(plan, day).map_err(Stop::Found)?.fixes;
    let mut engine = Engine::new(plan, day, Limits::of(&plan.settings))
        .map_err(|error| Stop::Found(Box::new(cannot_be_flown(&error))))?;
    let mut builder = Builder::new(plan);
    fly_all(&mut engine, &fixes, &mut builder);
    let flights = heard(plan, &builder.finish(), PLANNED_FLIGHT);
    Ok(Flown { flights, fixes: fixes.len() as u64, findings: Vec::new() })
}

/// Flies every file by itself, side by side.
fn fly_each(files: &[PathBuf], plan: &Plan, day: &Day, terminal: &Terminal) -> Vec<Flown> {
    let watched = terminal.err_is_watched && files.len() >= MANY;
    let bar = watched.then(|| ProgressBar::new(files.len() as u64));
    let flown = files
        .par_iter()
        .map(|path| {
            let flown = fly(path, plan, day);
            if let Some(bar) = &bar {
                bar.inc(1);
            }
            flown
        })
        .collect();
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
    flown
}

fn fly(path: &PathBuf, plan: &Plan, day: &Day) -> Flown {
    let paths = std::slice::from_ref(path);
    let recording = Recording::new(paths, None);
    let mut findings = Findings::default();
    let measure = match recording.measure() {
        Ok(measure) => measure,
        Err(findings) => return Flown { findings, ..Flown::default() },
    };
    let (limits, _) = raise(Limits::of(&plan.settings), &measure, paths, &mut findings);
    let mut engine = match Engine::new(plan, day, limits) {
        Ok(engine) => engine,
        Err(error) => {
            return Flown { findings: vec![cannot_be_flown(&error)], ..Flown::default() };
        }
    };
    let mut builder = Builder::new(plan);
    let flown = recording.fly(
        |fix| {
            engine.fix(fix, &mut builder);
            Go::On
        },
        |_| (),
    );
    engine.finish(&mut builder);
    findings.extend(flown.findings);
    let flights = heard(plan, &builder.finish(), &file::name(path));
    Flown { flights, fixes: flown.fixes, findings: findings.list }
}

fn heard(plan: &Plan, timeline: &Timeline, file: &str) -> Vec<Flight> {
    let flown = timeline.flown().filter_map(|flight| {
        let took_off = flight.zero?;
        Some(Flight { file: file.to_owned(), took_off, played: flight.played(plan) })
    });
    flown.collect()
}

/// A flight that lies in two files is told once: those that took off at the same instant.
fn take_out_doubles(flights: &mut Vec<Flight>, findings: &mut Findings) {
    flights.dedup_by(|again, kept| {
        let twice = again.took_off == kept.took_off;
        if twice {
            let headline = format!("this flight is in {} too, and is told once", kept.file);
            findings.push(
                Diagnostic::warning("flight-twice", Place::whole(again.file.as_str()), headline)
                    .help("give each recording once"),
            );
        }
        twice
    });
}

/// What is found of the music that was played: licences that were over, and what a cue sheet needs
/// and nobody has written.
fn judge(plan: &Plan, flights: &[Flight], findings: &mut Findings) {
    for (number, piece) in (0..).zip(&plan.music) {
        let id = plan::MusicId(number);
        let on: Vec<&Flight> =
            flights.iter().filter(|flight| flight.played.iter().any(|p| p.music == id)).collect();
        let Some(first) = on.first() else { continue };
        let past: Vec<&&Flight> =
            on.iter().filter(|flight| cue_sheet::is_past(piece, &flight.took_off.day())).collect();
        let until = piece.licence.as_ref().and_then(|licence| licence.until.as_deref());
        if let Some((first, until)) = past.first().zip(until) {
            let flights = crate::render::words::counted(past.len(), "flight");
            let headline = format!(
                "the licence for `{}` ended on {until}, and it was played on {flights}, first on {}",
                piece.name,
                first.took_off.day()
            );
            findings.push(
                Diagnostic::warning("licence-past", Place::whole(first.file.as_str()), headline)
                    .help("renew it, and report these flights to whoever gave it"),
            );
        }
        let missing: Vec<&str> = [
            ("composer", piece.composer.is_none()),
            ("publisher", piece.publisher.is_none()),
            ("licence", piece.licence.is_none()),
        ]
        .iter()
        .filter_map(|(key, missing)| missing.then_some(*key))
        .collect();
        if !missing.is_empty() {
            let headline = format!(
                "the cue sheet does not say everything of `{}`: no {} is written",
                piece.name,
                missing.join(", no ")
            );
            findings.push(
                Diagnostic::note("cue-sheet-gap", Place::whole(first.file.as_str()), headline)
                    .help("add it to the piece in the tour's library"),
            );
        }
    }
}

fn of_flight(flight: &Flight) -> Sheet {
    Sheet {
        day: flight.took_off.day(),
        took_off: Some(flight.took_off),
        file: Some(flight.file.clone()),
        flights: 1,
        played: flight.played.clone(),
    }
}

fn of_years(flights: &[Flight]) -> Vec<Sheet> {
    let mut years: BTreeMap<String, Sheet> = BTreeMap::new();
    for flight in flights {
        let day = flight.took_off.day();
        // What stands before the month and the day.
        let year = day.get(..day.len().saturating_sub(6)).unwrap_or(&day).to_owned();
        let sheet = years.entry(year).or_default();
        // The last day of those in it: by that a licence is judged.
        sheet.day = day;
        sheet.flights += 1;
        for played in &flight.played {
            match sheet.played.iter_mut().find(|known| known.music == played.music) {
                Some(known) => known.add(*played),
                None => sheet.played.push(*played),
            }
        }
    }
    years.into_values().collect()
}

fn print(out: &mut dyn Write, page: &Page<'_>, format: SheetFormat) -> io::Result<()> {
    match format {
        SheetFormat::Text => cue_sheet::text(out, page),
        SheetFormat::Csv => cue_sheet::csv(out, page),
        SheetFormat::Json => render::json(out, &cue_sheet::json(page)),
    }
}
