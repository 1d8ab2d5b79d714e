//! `fulmar page`.

use std::io::Write;
use std::path::{Path, PathBuf};

use ::terrain::Terrain;
use compiler::fit::{Fits, Telling, fit, told_on};
use coverage::Coverage;
use diagnostic::{Diagnostic, Place};
use earth::{Fix, Position, Utc};
use preview::{Given, SoundOf, Watch};
use timeline::Flight;

use super::fly::{Ready, Source, planned_flight, prepare};
use super::mix::begins;
use super::seen::{Seen, fly};
use crate::args::{FlightArgs, MessageFormat, PageArgs, PageFormat};
use crate::input::findings::Findings;
use crate::input::flight::Go;
use crate::input::{file, map, terrain};
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::terminal::Terminal;

/// No sound is larger, in bytes: browsers do not open longer addresses of that kind.
const LOUDEST: u64 = 256 << 20;

/// Flies a flight, or two, and writes the page that shows it.
pub(super) fn run(
    args: &PageArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let all = sides(args);
    let mut readies = Vec::new();
    for (flight, _) in &all {
        match prepare(flight, format, terminal)? {
            Ok(ready) => readies.push(ready),
            Err(outcome) => return Ok(outcome),
        }
    }
    let Some(first) = readies.first() else { return Ok(Outcome::CouldNotRun) };
    let mut findings = Findings::default();
    let map = map::read(args, &first.loaded, &mut findings);
    let ground = terrain::read(&args.terrain, &first.loaded, &mut findings);
    let sound = args
        .sound
        .as_deref()
        .and_then(|path| sound(path).map_err(|finding| findings.push(*finding)).ok());
    let mut flown = Vec::new();
    for (ready, (flight, _)) in readies.iter().zip(&all) {
        let mut watch = Watch::default();
        let seen = fly(ready, flight, terminal.err_is_watched, &mut watch)?;
        findings.extend(seen.flown.findings.iter().cloned());
        flown.push((seen, watch));
    }
    let mut shown = Vec::new();
    for ((ready, (_, number)), (seen, watch)) in readies.iter().zip(&all).zip(&flown) {
        if !seen.flown.any {
            continue;
        }
        match Shown::of(ready, seen, watch, *number, &ground) {
            Ok(one) => shown.push(one),
            Err(finding) => findings.push(*finding),
        }
    }
    if findings.has_errors() || shown.len() < all.len() {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    let ground = (!ground.is_empty()).then_some(&ground);
    let mut given: Vec<Given<'_>> = shown.iter().map(|shown| shown.given(ground)).collect();
    if let (Some(sound), Some(first)) = (&sound, given.first_mut()) {
        let starts = begins(first.plan, first.flight);
        first.sound = Some(SoundOf { media_type: sound.0, bytes: &sound.1, starts });
    }
    let made = preview::make(&given, &map);
    let text = match args.format {
        PageFormat::Html => made.html,
        PageFormat::Json => made.data,
    };
    let mut output =
        Output::begin(&args.output, read_files(args, &all, &readies).iter().map(PathBuf::as_path))?;
    output.write_all(text.as_bytes())?;
    output.finish(format, terminal)?;
    summary(&mut *terminal.out, &shown, text.len())?;
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    let told = readies.iter().map(|ready| ready.told).max().unwrap_or(Outcome::Clean);
    Ok(said.max(told))
}

/// What is flown on each side, and which flight of it is shown.
fn sides(args: &PageArgs) -> Vec<(FlightArgs, u32)> {
    let own = |mut flight: FlightArgs| {
        flight.planned = flight.flights.is_empty();
        flight
    };
    let first = (own(args.flight.clone()), args.which.flight_number);
    let plan = |path: &&PathBuf| {
        path.extension().is_some_and(|ending| {
            ["yaml", "yml", "json"].iter().any(|plan| ending.eq_ignore_ascii_case(plan))
        })
    };
    let other_plan = args.beside.iter().find(plan);
    let tracks: Vec<PathBuf> = args.beside.iter().filter(|path| !plan(path)).cloned().collect();
    let mut other = args.flight.clone();
    if let Some(plan) = other_plan {
        other.tour = plan.clone();
    }
    if !tracks.is_empty() {
        other.flights = tracks.clone();
        // What the hand did belongs to the flight it was done on.
        other.hand = None;
    }
    let number = match args.beside_number {
        Some(number) => number,
        None if args.beside.is_empty() => return vec![first],
        None if tracks.is_empty() => args.which.flight_number,
        None => 1,
    };
    vec![first, (own(other), number)]
}

/// Every file that is read in this run.
fn read_files(args: &PageArgs, all: &[(FlightArgs, u32)], readies: &[Ready<'_>]) -> Vec<PathBuf> {
    let sides = all.iter().zip(readies);
    let mut files: Vec<PathBuf> =
        sides.flat_map(|((flight, _), ready)| ready.read_files(flight)).collect();
    files.extend(args.sound.iter().chain(&args.shapes).chain(&args.terrain.terrain).cloned());
    files
}

/// A side with all that it is shown from.
struct Shown<'a> {
    ready: &'a Ready<'a>,
    seen: &'a Seen,
    watch: &'a Watch,
    flight: &'a Flight,
    coverage: Coverage,
    route: Vec<Position>,
    told: Vec<(Utc, Telling)>,
    fits: Option<Fits>,
    findings: Vec<Diagnostic>,
    notes: Vec<String>,
}

impl<'a> Shown<'a> {
    fn of(
        ready: &'a Ready<'a>,
        seen: &'a Seen,
        watch: &'a Watch,
        number: u32,
        ground: &Terrain,
    ) -> Result<Self, Box<Diagnostic>> {
        let (flight, coverage) = seen.of_flight(ready, number, ground)?;
        let plan = &ready.loaded.plan;
        let mut notes = Vec::new();
        let planned = planned_flight(plan, &ready.day);
        let route = planned.as_ref().map_or_else(
            |_| Vec::new(),
            |planned| planned.fixes.iter().map(|fix| fix.position).collect(),
        );
        if route.is_empty() {
            notes.push("The planned route cannot be flown in the wind of the day.".to_owned());
        }
        let mut findings = Findings::default();
        let mut told = Vec::new();
        let mut fits = None;
        match ready.loaded.project() {
            None => notes.push(
                "This plan was compiled before: whether narrations fit is told where the tour \
                 itself is shown."
                    .to_owned(),
            ),
            Some(project) => {
                told = told_on(project, plan, &ready.day, &fixes(ready), ready.limits);
                fits = fit(project, plan, &ready.day);
                if matches!(ready.source, Source::Planned(_)) {
                    ready.loaded.review(&ready.day, &mut findings);
                }
            }
        }
        let mut findings = ready.loaded.as_in_the_plan(findings.list);
        findings.extend(seen.flown.findings.iter().cloned());
        Ok(Self { ready, seen, watch, flight, coverage, route, told, fits, findings, notes })
    }

    fn given<'s>(&'s self, ground: Option<&'s Terrain>) -> Given<'s> {
        Given {
            plan: &self.ready.loaded.plan,
            code: &self.ready.loaded.identity.code,
            day: &self.ready.day,
            today: &self.ready.day_words,
            files: &self.ready.files,
            flight: self.flight,
            flights: self.seen.flown.timeline.flown().count(),
            poses: &self.seen.poses,
            coverage: &self.coverage,
            ground,
            watch: self.watch,
            route: &self.route,
            told: &self.told,
            fits: self.fits.as_ref(),
            findings: &self.findings,
            notes: &self.notes,
            sound: None,
        }
    }
}

/// All fixes that are flown.
fn fixes(ready: &Ready<'_>) -> Vec<Fix> {
    let mut all = Vec::new();
    ready.fixes(false, |fix| {
        all.push(*fix);
        Go::On
    });
    all
}

/// A file of sound, with what it is.
fn sound(path: &Path) -> Result<(&'static str, Vec<u8>), Box<Diagnostic>> {
    let (_, size) = file::open(path, "a file of sound")?;
    let refuse = |headline: &str| {
        let place = Place::whole(file::name(path));
        let found = Diagnostic::error("sound-unusable", place, headline);
        Box::new(found.help("give what `fulmar mix` wrote, or turn that into Ogg Vorbis or MP3"))
    };
    if size > LOUDEST {
        return Err(refuse("it is larger than 256 MiB, more than a page can carry"));
    }
    let bytes = file::read_up_to(path, "a file of sound", LOUDEST)?;
    let media_type = match bytes.as_slice() {
        [b'R', b'I', b'F', b'F', ..] => "audio/wav",
        [b'O', b'g', b'g', b'S', ..] => "audio/ogg",
        [b'f', b'L', b'a', b'C', ..] => "audio/flac",
        [b'I', b'D', b'3', ..] | [0xff, 0xe2..=0xff, ..] => "audio/mpeg",
        _ => return Err(refuse("it is no sound that a browser plays: WAV, Ogg, FLAC or MP3")),
    };
    Ok((media_type, bytes))
}

fn summary(out: &mut dyn Write, shown: &[Shown<'_>], bytes: usize) -> std::io::Result<()> {
    for one in shown {
        writeln!(out, "{}", one.ready.loaded.identity.head())?;
        let filmed = one.coverage.sights.iter().filter(|sight| sight.is_filmed()).count();
        let sights = one.coverage.sights.len();
        writeln!(out, "flight {}: {filmed} of {sights} sights filmed", one.flight.number)?;
    }
    writeln!(out, "{:.2} MB", bytes as f64 / 1e6)
}
