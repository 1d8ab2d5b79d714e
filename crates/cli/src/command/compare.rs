//! `fulmar compare`.

use std::path::Path;

use compiler::compare::{FlownPlan, compare};
use diagnostic::{Diagnostic, Place};
use plan::Day;

use super::fly::{cannot_be_flown, shorten};
use crate::args::{CompareArgs, MessageFormat, TextFormat, TodayArgs};
use crate::input::findings::Findings;
use crate::input::tour::{Load, Loaded, load_from};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::render::compare::{Page, Side, json, text};
use crate::terminal::Terminal;

/// One of the plans, with what is said for the day.
struct Read {
    loaded: Loaded,
    day: Day,
    day_words: String,
}

/// Says what two plans differ in.
pub(super) fn run(
    args: &CompareArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    // Each is told by itself: a mistake in a file that both use is one of both.
    let old = read(&args.old, &args.sides.of_old(), &mut findings, format, terminal)?;
    let new = read(&args.new, &args.sides.of_new(), &mut findings, format, terminal)?;
    let (Some(old), Some(new)) = (old, new) else { return Ok(Outcome::CouldNotRun) };
    let old_flown = fly(&args.old, &old, &mut findings);
    let new_flown = fly(&args.new, &new, &mut findings);
    findings.tell(terminal, format)?;
    let (Some(old_flown), Some(new_flown)) = (old_flown, new_flown) else {
        return Ok(Outcome::CouldNotRun);
    };
    let comparison = compare(&old_flown, &new_flown);
    let side = |path: &Path, read: &Read| Side {
        file: file::name(path),
        identity: read.loaded.identity.clone(),
        day: read.day_words.clone(),
    };
    let page =
        Page { old: side(&args.old, &old), new: side(&args.new, &new), comparison: &comparison };
    match args.format {
        TextFormat::Text => text::print(&mut *terminal.out, &page)?,
        TextFormat::Json => {
            render::json(&mut *terminal.out, &json::value(&page))?;
        }
    }
    Ok(if page.differs() { Outcome::Findings } else { Outcome::Clean })
}

/// Reads one of the plans; why there is none has been told.
fn read(
    path: &Path,
    args: &TodayArgs,
    findings: &mut Findings,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Option<Read>, Stop> {
    let disk = Disk::default();
    let Some(today) = today::read(&disk, args, findings) else {
        findings.tell(terminal, format)?;
        return Ok(None);
    };
    let Load::Ready(loaded) = load_from(&disk, path, &today, findings) else {
        findings.tell(terminal, format)?;
        return Ok(None);
    };
    shorten(findings, path, &today, format, terminal)?;
    match day::day(&today, &loaded.plan) {
        Ok(day) => Ok(Some(Read { loaded: *loaded, day, day_words: day::words(&today) })),
        Err(found) => {
            findings.extend(found);
            findings.tell(terminal, format)?;
            Ok(None)
        }
    }
}

fn fly<'a>(path: &Path, read: &'a Read, findings: &mut Findings) -> Option<FlownPlan<'a>> {
    let flown = FlownPlan::new(&read.loaded.plan, &read.day).map_err(|error| {
        let finding = cannot_be_flown(&error);
        findings.push(Diagnostic { place: Place::whole(file::name(path)), ..finding });
    });
    flown.ok()
}
