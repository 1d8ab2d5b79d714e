//! `fulmar captions`.

use std::io::Write;
use std::path::PathBuf;

use diagnostic::{Diagnostic, Place};
use earth::Millis;
use film::{Captions, Cue, Format, Guidelines, Sections, Shown, Titles, Units, Value};

use super::flown::fly;
use super::fly::{Ready, prepare};
use super::handed_on::{choose, clock_words};
use plan::Plan;

use timeline::Flight;

use crate::args::{CaptionFormat, CaptionsArgs, MessageFormat, ShownValue};
use crate::input::findings::Findings;
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render::identity::Identity;
use crate::render::time::Length;
use crate::render::words::counted;
use crate::terminal::Terminal;

/// Flies a flight and writes what is said in it, or its titles and live values, as captions.
pub(super) fn run(
    args: &CaptionsArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let mut titles = shown(args, &ready).map(|shown| Titles::new(plan, shown));
    let flown = fly(&ready, &args.flight, terminal.err_is_watched, &mut titles)?;
    let mut findings = Findings::default();
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
    let clock = args.times.clock();
    let (cues, words) = match &titles {
        Some(titles) => {
            let cues = titles.cues(flight, clock);
            let words = format!("{} of titles and values", counted(cues.len(), "caption"));
            (cues, words)
        }
        None => {
            let guidelines = guidelines(args);
            let language = match language(args, plan) {
                Ok(language) => language,
                Err(finding) => {
                    findings.push(*finding);
                    findings.tell(terminal, format)?;
                    return Ok(Outcome::CouldNotRun);
                }
            };
            let found = film::review(plan, language, &guidelines).into_iter();
            let found = found.map(|(_, finding)| finding).collect();
            findings.extend(ready.loaded.located(found));
            let captions = Captions::of(flight, plan, language, clock, &guidelines);
            let found = film::outside(plan, &captions.outside, clock);
            findings.extend(ready.loaded.located(found));
            let words =
                format!("{}{}", told(&captions, language), elsewhere(plan, flight, language));
            (captions.cues, words)
        }
    };
    let mut notes: Vec<String> = ready.loaded.identity.head().lines().map(str::to_owned).collect();
    notes.push(words.clone());
    notes.extend(clock_words(clock, &sections));
    let to = match args.format {
        CaptionFormat::Vtt => Format::WebVtt,
        CaptionFormat::Srt => Format::SubRip,
    };
    let text = film::write(&cues, to, &notes, !args.titles.is_empty());
    match &args.output {
        None => terminal.out.write_all(text.as_bytes())?,
        Some(path) => {
            let read = ready.read_files(&args.flight);
            let mut output = Output::begin(path, read.iter().map(PathBuf::as_path))?;
            output.write_all(text.as_bytes())?;
            output.finish(format, terminal)?;
            summary(&mut *terminal.out, &ready.loaded.identity, &words, &sections, &cues)?;
        }
    }
    terminal.flush()?;
    let said = findings.tell(terminal, format)?;
    Ok(said.max(ready.told))
}

/// The language whose captions are written.
fn language<'p>(args: &CaptionsArgs, plan: &'p Plan) -> Result<&'p str, Box<Diagnostic>> {
    let carried = plan.languages.iter();
    let found = match &args.spoken {
        None => carried.clone().next(),
        Some(wanted) => carried.clone().find(|carried| *carried == wanted),
    };
    found.map(String::as_str).ok_or_else(|| {
        let wanted = args.spoken.as_deref().unwrap_or_default();
        let all = plan.languages.join(", ");
        let headline = format!("the tour is not told in `{wanted}` on this flight");
        Box::new(
            Diagnostic::error("language-not-carried", Place::whole("--in"), headline)
                .help(format!("it is told in {all}; choose others with --language")),
        )
    })
}

fn guidelines(args: &CaptionsArgs) -> Guidelines {
    Guidelines {
        line: usize::from(args.line),
        lines: usize::from(args.lines),
        speed: f64::from(args.speed),
        ..Guidelines::adult(args.rate)
    }
}

/// What is to be shown; none where it is what is said.
fn shown(args: &CaptionsArgs, ready: &Ready<'_>) -> Option<Shown> {
    let values = args.titles.iter().map(|value| match value {
        ShownValue::Title => Value::Title,
        ShownValue::Place => Value::Place,
        ShownValue::Height => Value::Height,
        ShownValue::Altitude => Value::Altitude,
        ShownValue::Groundspeed => Value::Groundspeed,
        ShownValue::Heading => Value::Heading,
        ShownValue::Track => Value::Track,
        ShownValue::Time => Value::LocalTime,
    });
    let values: Vec<Value> = values.collect();
    let offset = args.utc_offset.unwrap_or(ready.loaded.plan.route.utc_offset);
    (!values.is_empty()).then(|| Shown {
        values,
        units: if args.metric { Units::Metric } else { Units::Aviation },
        offset,
        every: Millis::from_secs(i64::from(args.every)),
        line: usize::from(args.line),
    })
}

fn told(captions: &Captions, language: &str) -> String {
    let mut words = format!("{} in {language}", counted(captions.cues.len(), "caption"));
    if captions.too_short > 0 {
        let left_out = counted(captions.too_short, "caption");
        words.push_str(&format!(
            "; {left_out} left out, cut so short by a pause or an end that nobody could read them"
        ));
    }
    words
}

/// What is told in another language, because the author lets it fall back.
fn elsewhere(plan: &Plan, flight: &Flight, language: &str) -> String {
    let place = plan.languages.iter().position(|carried| carried == language);
    let voices = flight
        .narrations
        .iter()
        .filter_map(|telling| plan.narrations.get(telling.narration.index())?.voices.get(place?));
    let other: Vec<&str> =
        voices.map(|voice| voice.language.as_str()).filter(|it| *it != language).collect();
    let Some(first) = other.first() else { return String::new() };
    format!("; {} told in {first}, for want of a text", counted(other.len(), "narration"))
}

fn summary(
    out: &mut dyn Write,
    identity: &Identity,
    words: &str,
    sections: &Sections,
    cues: &[Cue],
) -> std::io::Result<()> {
    writeln!(out, "{}\n{words}", identity.head())?;
    if let (Some(first), Some(last)) = (cues.first(), cues.last()) {
        let whole = Length(sections.length());
        writeln!(out, "from {} to {} of {whole}", Length(first.from), Length(last.to))?;
    }
    Ok(())
}
