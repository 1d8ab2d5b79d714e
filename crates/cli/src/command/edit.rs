//! `fulmar edit`.

use std::io::Write;
use std::path::PathBuf;

use diagnostic::{Diagnostic, Place};
use film::{Clock, Edit, EditOptions, MOST_EVENTS, Sights};
use serde_json::{Value, json};
use timeline::Flight;

use super::flown::fly;
use super::fly::{Ready, prepare};
use super::handed_on::{choose, clock_words};
use crate::args::{EditArgs, EditFormat, MessageFormat};
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render::time::{Length, UtcText};
use crate::render::words::counted;
use crate::terminal::Terminal;

/// Flies a flight and writes what it is cut to.
pub(super) fn run(
    args: &EditArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let start = match args.rate.frame_of(&args.start) {
        Ok(start) => start,
        Err(wrong) => {
            findings.push(
                Diagnostic::error("timecode-unusable", Place::whole("--start"), wrong)
                    .help("give hours, minutes, seconds and frames, such as 01:00:00:00"),
            );
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let mut sights = Sights::new(plan);
    let flown = fly(&ready, &args.flight, terminal.err_is_watched, &mut sights)?;
    findings.extend(flown.findings);
    if !flown.any {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    let (flight, sections) = match choose(&flown.timeline, &args.times) {
        Ok(found) => found,
        Err(finding) => {
            findings.push(*finding);
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let options = EditOptions {
        rate: args.rate,
        clock: args.times.clock(),
        start,
        recorder_ahead: args.clock_offset,
        media: args.media.clone(),
        languages: plan.languages.clone(),
        recordings: ready.loaded.folder(&args.flight.tour),
    };
    let passes = sights.finish();
    let edit = Edit::of(flight, plan, &passes, &options);
    let text = write(args, &ready, flight, &edit, &options, &mut findings)?;
    match &args.output {
        None => terminal.out.write_all(text.as_bytes())?,
        Some(path) => {
            let read = ready.read_files(&args.flight);
            let mut output = Output::begin(path, read.iter().map(PathBuf::as_path))?;
            output.write_all(text.as_bytes())?;
            output.finish(format, terminal)?;
            summary(&mut *terminal.out, &ready, &edit, &clock_words(options.clock, &sections))?;
        }
    }
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    Ok(said.max(ready.told))
}

fn write(
    args: &EditArgs,
    ready: &Ready<'_>,
    flight: &Flight,
    edit: &Edit,
    options: &EditOptions,
    findings: &mut Findings,
) -> Result<String, Stop> {
    if edit.stills_outside > 0 {
        let headline = format!(
            "{} lie outside the film and have no mark",
            counted(edit.stills_outside, "still")
        );
        findings.push(
            Diagnostic::note("still-outside-the-film", Place::whole("the film"), headline)
                .help("with --clock flight every still has its time"),
        );
    }
    let identity = &ready.loaded.identity;
    let name = format!("{}, flight {}", identity.title, flight.number);
    match args.format {
        EditFormat::Otio => {
            let value = film::otio(edit, &name, &about(ready, flight, options));
            let mut text = serde_json::to_string_pretty(&value).map_err(std::io::Error::from)?;
            text.push('\n');
            Ok(text)
        }
        EditFormat::Edl => {
            let code =
                format!("plan {} r{} {}", identity.code, identity.revision, identity.status());
            let (text, events) =
                film::edl(edit, &format!("{code} flight {} {}", flight.number, identity.title));
            if events > MOST_EVENTS {
                let headline = format!(
                    "the list has {events} events, and not every reader counts beyond {MOST_EVENTS}"
                );
                findings.push(
                    Diagnostic::warning("edit-list-too-long", Place::whole("the edit"), headline)
                        .help("write a list for each take with --take, or write --format otio"),
                );
            }
            Ok(text)
        }
    }
}

/// What is kept of the flight in an edit.
fn about(ready: &Ready<'_>, flight: &Flight, options: &EditOptions) -> Value {
    let clock = match options.clock {
        Clock::Film => "film",
        Clock::Take(_) => "take",
        Clock::Flight => "flight",
        Clock::TakeOff => "take_off",
    };
    json!({
        "plan": ready.loaded.identity.json(),
        "run": flight.run,
        "flight": flight.number,
        "first_fix": UtcText(flight.span.from).to_string(),
        "take_off": flight.zero.map(|zero| UtcText(zero).to_string()),
        "clock": clock,
        "recorder_ahead_ms": options.recorder_ahead.0,
    })
}

fn summary(
    out: &mut dyn Write,
    ready: &Ready<'_>,
    edit: &Edit,
    clock: &[String],
) -> std::io::Result<()> {
    writeln!(out, "{}", ready.loaded.identity.head())?;
    let length = Length(edit.rate.time_of(edit.length));
    writeln!(out, "{length} at {} frames a second; {}", edit.rate, clock.join("; "))?;
    for track in &edit.cameras {
        let frames: i64 = track.clips.iter().map(|clip| clip.at.count()).sum();
        let shots = counted(track.clips.len(), "shot");
        let live = Length(edit.rate.time_of(frames));
        writeln!(out, "  {:<12} {shots}, {live}", track.name)?;
    }
    let said: usize = edit.narration.iter().map(|track| track.clips.len()).sum();
    writeln!(
        out,
        "  {}, {}, {}",
        counted(said, "narration clip"),
        counted(edit.music.clips.len(), "music clip"),
        counted(edit.marks.len(), "mark")
    )
}
