//! `fulmar plan`.

use std::io::Write;
use std::path::PathBuf;

use compiler::PLANNED_EVERY;
use engine::Sink;

use super::fly::{cannot_be_flown, shorten};
use super::notices::{PLANNED_FLIGHT, notice_findings};
use crate::args::{MessageFormat, PlanArgs, PlanFormat};
use crate::input::findings::Findings;
use crate::input::tour::{Load, load};
use crate::input::world::Disk;
use crate::input::{day, today};
use crate::outcome::{Outcome, Stop};
use crate::output::{Output, files_of};
use crate::render;
use crate::render::event_plan::{Page, json, table};
use crate::sink::notices::Notices;
use crate::terminal::Terminal;

/// Compiles a tour, flies its planned route and prints what happens when.
pub(super) fn run(
    args: &PlanArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let Some(today) = today::read(&Disk::default(), &args.today, &mut findings) else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    let loaded = match load(&args.tour, &today, &mut findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => {
            findings.tell(terminal, format)?;
            return Ok(Outcome::Findings);
        }
        Load::Unusable => {
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let plan = &loaded.plan;
    let day = match day::day(&today, plan) {
        Ok(day) => day,
        Err(found) => {
            findings.extend(found);
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    if !loaded.review(&day, &mut findings) {
        findings.tell(terminal, format)?;
        return Ok(Outcome::Findings);
    }
    shorten(&mut findings, &args.tour, &today, format, terminal)?;
    let event_plan = compiler::event_plan(plan, &day, PLANNED_EVERY)
        .map_err(|error| findings.push(cannot_be_flown(&error)))
        .ok();
    let mut notices = Notices::new();
    for notice in event_plan.iter().flat_map(|event_plan| &event_plan.notices) {
        notices.notice(notice);
    }
    findings.extend(notice_findings(plan, &notices, PLANNED_FLIGHT, None));
    let failed = findings.has_errors();
    let told = findings.tell(terminal, format)?;
    let Some(event_plan) = event_plan.filter(|_| !failed) else {
        return Ok(Outcome::CouldNotRun);
    };

    if let Some(path) = &args.output {
        let read = files_of(&args.tour, plan);
        let read = read.iter().map(PathBuf::as_path).chain(args.today.files());
        let mut output = Output::begin(path, read)?;
        output.write_all(plan::write(plan).as_bytes())?;
        output.finish(format, terminal)?;
    }

    let page = Page {
        plan,
        identity: &loaded.identity,
        day: day::words(&today),
        against: loaded.against_written(&Disk::default(), &day),
        event_plan: &event_plan,
    };
    match args.format {
        PlanFormat::Table => table(&mut *terminal.out, &page)?,
        PlanFormat::Json => {
            render::json(&mut *terminal.out, &json(&page))?;
        }
    }
    Ok(told)
}
