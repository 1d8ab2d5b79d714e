//! `fulmar takes`.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::Path;

use diagnostic::{Diagnostic, Place, Severity};
use sound::State;
use sound::takes::{Cue, Ledger, Matched, TakeFile, match_takes};

use super::audio::measure_watched;
use crate::args::{MessageFormat, TakesArgs, TextFormat};
use crate::input::cues::{Script, read};
use crate::input::file;
use crate::input::findings::Findings;
use crate::input::recording::{Cache, Recording, candidates};
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render;
use crate::render::takes::{Page, json, table};
use crate::terminal::Terminal;

/// The notes of a folder of takes.
const NOTES: &str = "takes.json";

/// Matches a folder of takes to what a tour says, and prints how each narration stands.
pub(super) fn run(
    args: &TakesArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let prepared = prepare(args, &mut findings);
    let (cues, ledger) = match prepared {
        Ok(prepared) => prepared,
        Err(outcome) => {
            findings.tell(terminal, format)?;
            return Ok(outcome);
        }
    };
    // That the folder is empty is said by what is missing.
    let mut found = Findings::default();
    let (candidates, all_there) = candidates(std::slice::from_ref(&args.folder), &mut found);
    findings.extend(found.list.into_iter().filter(|one| one.severity == Severity::Error));
    if !all_there {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    let cache = Cache::new(&args.cache);
    let recordings = measure_watched(&candidates, &cache, terminal);
    findings.extend(cache.finding());
    findings.extend(recordings.iter().flat_map(Recording::findings));
    let files: Vec<TakeFile> = recordings.iter().map(|one| take_file(one, &args.folder)).collect();
    let matched = match_takes(&cues, &files, &ledger);
    let folder = file::name(&args.folder);
    findings.extend(matched.findings(&cues, &files, folder.trim_end_matches(['/', '\\'])));
    let accepted = accepted(args, &cues, &matched, &mut findings);
    let told = findings.tell(terminal, format)?;
    if let Some(accepted) = &accepted
        && (args.note || !accepted.is_empty())
    {
        let noted = matched.noted(&cues, &files, &ledger, accepted);
        if noted != ledger {
            let mut output = Output::begin(&args.folder.join(NOTES), [])?;
            output.write_all(noted.write().as_bytes())?;
            output.finish(format, terminal)?;
        }
    }
    let page = Page { cues: &cues, recordings: &recordings, matched: &matched };
    match args.format {
        TextFormat::Text => table(&mut *terminal.out, &page)?,
        TextFormat::Json => {
            render::json(&mut *terminal.out, &json(&page))?;
        }
    }
    Ok(if accepted.is_none() { Outcome::CouldNotRun } else { told })
}

/// What the tour says, and what was noted of the folder.
fn prepare(args: &TakesArgs, findings: &mut Findings) -> Result<(Vec<Cue>, Ledger), Outcome> {
    let cues = match read(&args.tour, &args.language, findings) {
        Script::Ready(cues) => cues,
        Script::Mistakes => return Err(Outcome::Findings),
        Script::Unusable => return Err(Outcome::CouldNotRun),
    };
    if args.folder.is_file() {
        findings.push(
            Diagnostic::error(
                file::NOT_A_FOLDER,
                Place::whole(file::name(&args.folder)),
                "this is a file, and the folder of takes is wanted",
            )
            .help("name the folder that the takes are in"),
        );
        return Err(Outcome::CouldNotRun);
    }
    let path = args.folder.join(NOTES);
    let name = file::name(&path);
    let ledger = match fs::read_to_string(&path) {
        Ok(text) => Ledger::read(&text, &name).map_err(|finding| {
            findings.texts.insert(name.into(), text.into());
            findings.push(*finding);
        }),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(Ledger::default()),
        Err(error) => {
            findings.push(
                Diagnostic::error(
                    file::UNREADABLE,
                    Place::whole(name),
                    format!("the notes of this folder cannot be read: {error}"),
                )
                .help("they are UTF-8 text; undo what was last done to them, or take them away"),
            );
            Err(())
        }
    };
    ledger.map(|ledger| (cues, ledger)).map_err(|()| Outcome::CouldNotRun)
}

/// A recording as seen from the folder of takes.
fn take_file(recording: &Recording, folder: &Path) -> TakeFile {
    let path = recording.path.strip_prefix(folder).unwrap_or(&recording.path);
    let parts: Vec<_> = path.iter().map(|part| part.to_string_lossy()).collect();
    let usable = recording
        .measured
        .as_ref()
        .is_ok_and(|measured| measured.state == State::Whole && !measured.is_silent());
    TakeFile { path: parts.join("/"), content: recording.content, usable }
}

/// The places of the cues whose takes are accepted; none where one of them is not there.
fn accepted(
    args: &TakesArgs,
    cues: &[Cue],
    matched: &Matched,
    findings: &mut Findings,
) -> Option<Vec<usize>> {
    let mut places = Vec::new();
    let mut all_there = true;
    for wanted in &args.accept {
        let place = cues.iter().position(|cue| *wanted == format!("{}/{}", cue.name, cue.language));
        match place.filter(|place| matched.cues[*place].take().is_some()) {
            Some(place) => places.push(place),
            None => {
                all_there = false;
                findings.push(
                    Diagnostic::error(
                        "unknown-take",
                        Place::whole(file::name(&args.folder)),
                        format!("there is no take of `{wanted}` to be accepted"),
                    )
                    .help("name the narration and its language, such as --accept arch/de"),
                );
            }
        }
    }
    all_there.then_some(places)
}
