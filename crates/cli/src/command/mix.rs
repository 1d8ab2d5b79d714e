//! `fulmar mix`.

mod score;

use std::fs::File;
use std::io::{self, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use diagnostic::{Diagnostic, Place};
use earth::Lufs;
use indicatif::{ProgressBar, ProgressStyle};
use plan::Plan;
use sound::mix::{
    Bits, Failed, Heard, Mixer, NotWritten, Prepared, RATE, Score, Side, Source, WavFile, prepare,
};
use sound::{Digest, Refusal};

use super::flown::{fly, the_flight};
use super::fly;
use crate::args::{MessageFormat, MixArgs, MixBits, TextFormat};
use crate::input::file;
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop, cannot_write};
use crate::output::Output;
use crate::render;
use crate::render::mix::{Line, Page, Piece, json, text};
use crate::render::time::Length;
use crate::render::words;
use crate::terminal::Terminal;
use score::{Programme, programme};

/// So far from what they are brought to, narrations are heard to differ, in LU.
const APART: f64 = 1.0;

/// So many frames are mixed at a time: a tenth of a second.
const BLOCK: usize = RATE as usize / 10;

/// The moment at which the mix of a flight begins.
pub(super) fn begins(plan: &Plan, flight: &timeline::Flight) -> earth::Utc {
    score::extent(plan, flight).0
}

/// Flies a recording, or the planned route, and mixes what is heard on it.
pub(super) fn run(
    args: &MixArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match fly::prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let heard = voices(args, plan).map_err(Stop::Found)?;
    let flown = fly(&ready, &args.flight, terminal.err_is_watched, &mut ())?;
    let mut findings = Findings::default();
    findings.extend(flown.findings);
    if !flown.any {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    let flight = the_flight(&flown.timeline, args.flight_number).map_err(Stop::Found)?;
    let programme = programme(plan, flight, &heard);
    let Some(paths) = recordings(args, &programme, &mut findings) else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };

    let read = ready.read_files(&args.flight);
    let read = read.iter().chain(&paths).map(PathBuf::as_path);
    let mut file = Output::begin(&args.output, read)?;
    // A pipe cannot be gone back in, and the header of the file is completed at its end.
    file.stream_position()
        .map_err(|error| Stop::Found(Box::new(cannot_write(&file::name(&args.output), &error))))?;
    let watched = terminal.err_is_watched;
    let prepared = match measure(&programme.score, &paths, watched) {
        Ok(prepared) => prepared,
        Err(failed) => {
            findings.extend(failed.iter().map(|failed| refused(failed, &paths)));
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let lines = lines(&prepared, &programme, &paths);
    let pieces = pieces(&prepared, &programme, &paths);
    let whole = render(args, prepared, &paths, &mut file, watched)?;
    findings.extend(judge(plan, &lines, &pieces));
    let page = Page {
        plan,
        identity: &ready.loaded.identity,
        files: &ready.files,
        day: &ready.day_words,
        flight_number: args.flight_number,
        flight,
        voices: heard
            .iter()
            .map(|(place, side)| (plan.languages.get(*place).map_or("", String::as_str), *side))
            .collect(),
        from: programme.from,
        to: programme.to,
        output: file::name(&args.output),
        bits: bits(args).number(),
        whole,
        lines,
        pieces,
    };
    match args.format {
        TextFormat::Text => text(&mut *terminal.out, &page)?,
        TextFormat::Json => render::json(&mut *terminal.out, &json(&page))?,
    }
    terminal.flush()?;
    file.finish(format, terminal)?;
    let told = findings.tell(terminal, format)?;
    Ok(told.max(ready.told))
}

fn bits(args: &MixArgs) -> Bits {
    match args.bits {
        MixBits::Sixteen => Bits::Sixteen,
        MixBits::TwentyFour => Bits::TwentyFour,
    }
}

/// The places of the languages that are heard among those that are carried, and who hears them.
fn voices(args: &MixArgs, plan: &Plan) -> Result<Vec<(usize, Side)>, Box<Diagnostic>> {
    let refuse = |headline: String, help: String| {
        Box::new(Diagnostic::error("unknown-voice", Place::whole("--voice"), headline).help(help))
    };
    let mut places = Vec::new();
    for voice in &args.voice {
        let place = plan.languages.iter().position(|language| language == voice);
        places.push(place.ok_or_else(|| {
            let carried = plan.languages.join(", ");
            refuse(
                format!("the language `{voice}` is not carried on this flight"),
                format!("carried is {carried}; --language carries another, or several"),
            )
        })?);
    }
    match places[..] {
        [] => Ok(vec![(0, Side::Both)]),
        [one] => Ok(vec![(one, Side::Both)]),
        [left, right] if left != right => Ok(vec![(left, Side::Left), (right, Side::Right)]),
        _ => Err(refuse(
            "there are two sides, so two different languages are the most".to_owned(),
            "give one or two; a mix of another is another run".to_owned(),
        )),
    }
}

/// Where the recordings are; none where one of them cannot be opened, which is then said. One that
/// is not what the plan was made with is said too, and heard.
fn recordings(
    args: &MixArgs,
    programme: &Programme,
    findings: &mut Findings,
) -> Option<Vec<PathBuf>> {
    let folder = args.recordings.as_deref().or(args.flight.tour.parent());
    let folder = folder.unwrap_or(Path::new(""));
    let mut paths = Vec::new();
    let mut all_there = true;
    for audio in &programme.recordings {
        let path = folder.join(&audio.file);
        let name = file::name(&path);
        let content = file::open(&path, "a recording").and_then(|(source, _)| {
            Digest::of(source).map_err(|error| Box::new(Refusal::Unreadable(error).finding(&name)))
        });
        match content {
            Ok(content) if content.to_string() != audio.content => findings.push(
                Diagnostic::warning(
                    "recording-changed",
                    Place::whole(name),
                    "this is another recording than the one that the plan was made with",
                )
                .help("compile the tour again, so that its times are those of this recording"),
            ),
            Ok(_) => {}
            Err(finding) => {
                findings.push(*finding);
                all_there = false;
            }
        }
        paths.push(path);
    }
    all_there.then_some(paths)
}

/// Opens a recording by its number.
fn opener(paths: &[PathBuf]) -> impl FnMut(usize) -> io::Result<Box<dyn Source>> {
    move |number| {
        let path = paths.get(number).ok_or(io::ErrorKind::NotFound)?;
        let mut file = File::open(path)?;
        file.seek(SeekFrom::Start(0))?;
        Ok(Box::new(file))
    }
}

fn bar(length: u64, what: &'static str) -> ProgressBar {
    // Draws on standard error.
    let bar = ProgressBar::new(length).with_message(what);
    if let Ok(style) =
        ProgressStyle::with_template("{msg}  {bar:40} {percent:>3} %  {elapsed}, {eta} left")
    {
        bar.set_style(style);
    }
    bar
}

fn measure(score: &Score, paths: &[PathBuf], watched: bool) -> Result<Prepared, Vec<Failed>> {
    let steps = score.voices.len() + score.beds.len();
    let bar = watched.then(|| bar(steps as u64, "measuring"));
    let prepared = prepare(score.clone(), &mut opener(paths), || {
        if let Some(bar) = &bar {
            bar.inc(1);
        }
    });
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
    prepared
}

fn render(
    args: &MixArgs,
    prepared: Prepared,
    paths: &[PathBuf],
    file: &mut Output,
    watched: bool,
) -> Result<Heard, Stop> {
    let mut mixer = Mixer::new(prepared, opener(paths));
    let frames = mixer.length();
    let unwritten = |error: NotWritten| Stop::Found(Box::new(unwritten(args, frames, &error)));
    let mut wav = WavFile::begin(file, bits(args), frames).map_err(unwritten)?;
    let bar = watched.then(|| bar(frames, "mixing"));
    let mut block = vec![[0.0; 2]; BLOCK];
    loop {
        let filled = mixer
            .fill(&mut block)
            .map_err(|failed| Stop::Found(Box::new(refused(&failed, paths))))?;
        if filled == 0 {
            break;
        }
        wav.write(block.get(..filled).unwrap_or_default()).map_err(unwritten)?;
        if let Some(bar) = &bar {
            bar.inc(filled as u64);
        }
    }
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
    wav.finish().map_err(unwritten)?;
    Ok(mixer.heard())
}

fn refused(failed: &Failed, paths: &[PathBuf]) -> Diagnostic {
    let name = paths.get(failed.source).map(|path| file::name(path)).unwrap_or_default();
    failed.refusal.finding(&name)
}

fn unwritten(args: &MixArgs, frames: u64, error: &NotWritten) -> Diagnostic {
    let name = file::name(&args.output);
    let length = |frames: u64| {
        let millis = frames / (u64::from(RATE) / 1000);
        Length(earth::Millis(i64::try_from(millis).unwrap_or(i64::MAX)))
    };
    match error {
        NotWritten::Io(error) => cannot_write(&name, error),
        NotWritten::TooLong { most } => Diagnostic::error(
            "mix-too-long",
            Place::whole(name),
            format!(
                "the mix is {} long, and a WAV file of {} bit holds {} at most",
                length(frames),
                bits(args).number(),
                length(*most)
            ),
        )
        .help("give --bits 16, or another --flight-number"),
    }
}

fn lines(prepared: &Prepared, programme: &Programme, paths: &[PathBuf]) -> Vec<Line> {
    let brought: Vec<_> = prepared.voices().copied().collect();
    let told = programme.told.iter().map(|told| {
        let voice = told.voice.and_then(|place| programme.score.voices.get(place));
        Line {
            narration: told.narration,
            language: told.language.clone(),
            at: told.at,
            told: told.told,
            paused: told.paused,
            ending: told.ending,
            recording: voice.and_then(|voice| paths.get(voice.source)).map(|path| file::name(path)),
            brought: told.voice.and_then(|place| brought.get(place)).copied(),
        }
    });
    told.collect()
}

fn pieces(prepared: &Prepared, programme: &Programme, paths: &[PathBuf]) -> Vec<Piece> {
    let brought: Vec<_> = prepared.beds().copied().collect();
    let played = programme.played.iter().map(|played| {
        let bed = played.bed.and_then(|place| programme.score.beds.get(place));
        Piece {
            music: played.music,
            at: played.at,
            length: played.length,
            ducked: played.ducked,
            paused: played.paused,
            recording: bed.and_then(|bed| paths.get(bed.source)).map(|path| file::name(path)),
            brought: played.bed.and_then(|place| brought.get(place)).copied(),
        }
    });
    played.collect()
}

/// What is to be said of what was mixed: what stayed silent, and what could not be brought to its
/// level; each thing once.
fn judge(plan: &Plan, lines: &[Line], pieces: &[Piece]) -> Vec<Diagnostic> {
    let mut silent: Vec<(String, u64)> = Vec::new();
    let mut note = |name: String| match silent.iter_mut().find(|(known, _)| *known == name) {
        Some((_, times)) => *times += 1,
        None => silent.push((name, 1)),
    };
    for line in lines.iter().filter(|line| line.brought.is_none()) {
        let narration = words::narration(plan, line.narration);
        note(format!("the narration `{narration}` has no recording in `{}`", line.language));
    }
    for piece in pieces.iter().filter(|piece| piece.brought.is_none()) {
        note(format!("the music `{}` has no recording", words::music(plan, piece.music)));
    }
    let silent = silent.into_iter().map(|(what, times)| {
        let times = words::so_many(times, "time", "times");
        let headline = format!("{what}, so {times} nothing is heard of it");
        Diagnostic::warning("mix-silent", Place::whole("the mix"), headline)
            .help("name a recording beside its text or title")
    });
    let mut all: Vec<Diagnostic> = silent.collect();
    let mut known: Vec<&str> = Vec::new();
    for line in lines {
        let (Some(recording), Some(brought)) = (&line.recording, &line.brought) else { continue };
        let target = plan.mix.narration;
        let headline = match brought.loudness {
            Some(there) if (there.get() - target.get()).abs() <= APART => continue,
            Some(there) => off(there, target),
            None => "it is silent, or shorter than the 0.4 s that have a loudness, so it is \
                     heard as it is"
                .to_owned(),
        };
        if known.contains(&recording.as_str()) {
            continue;
        }
        known.push(recording);
        all.push(
            Diagnostic::warning("mix-level", Place::whole(recording.as_str()), headline)
                .help("record it with less distance between its loudest peaks and the rest"),
        );
    }
    all
}

fn off(there: Lufs, target: Lufs) -> String {
    format!("it could only be brought to {there}, and the others are at {target}")
}
