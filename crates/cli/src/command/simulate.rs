//! `fulmar simulate`.

use std::io::{self, Write};
use std::path::PathBuf;

use diagnostic::{Diagnostic, Severity};
use engine::{Change, Notice, RuleActivity, Sink, State};
use plan::Plan;

use super::fly::{self, Ready, Source, fly_all, prepare};
use super::notices::{PLANNED_FLIGHT, notice_findings};
use crate::args::{MessageFormat, SimulateArgs, TextFormat};
use crate::input::file;
use crate::input::findings::Findings;
use crate::input::flight::{Flown, Go};
use crate::outcome::{Outcome, Stop};
use crate::output::Output;
use crate::render;
use crate::render::identity::Identity;
use crate::render::summary::{Page, json, text};
use crate::sink::changes::Changes;
use crate::sink::notices::Notices;
use crate::sink::states::States;
use crate::terminal::Terminal;
use compiler::summary::{Flight, Summary};

/// Everything that listens to one simulation.
struct Listeners<'a, 'w> {
    summary: Summary,
    notices: Notices,
    changes: Option<Changes<'a, Box<dyn Write + 'w>>>,
    states: Option<States<'a, Box<dyn Write + 'w>>>,
}

impl Listeners<'_, '_> {
    fn has_failed(&self) -> bool {
        self.changes.as_ref().is_some_and(Changes::has_failed)
            || self.states.as_ref().is_some_and(States::has_failed)
    }
}

impl Sink for Listeners<'_, '_> {
    fn change(&mut self, change: &Change) {
        self.summary.change(change);
        self.changes.change(change);
        self.states.change(change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.summary.state(state);
        self.states.state(state);
    }

    fn notice(&mut self, notice: &Notice) {
        self.notices.notice(notice);
    }

    fn rule(&mut self, activity: &RuleActivity) {
        self.summary.rule(activity);
    }
}

/// Flies a recording, or the planned route, and prints what happened.
pub(super) fn run(
    args: &SimulateArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let ready = match prepare(&args.flight, format, terminal)? {
        Ok(ready) => ready,
        Err(outcome) => return Ok(outcome),
    };
    let plan = &ready.loaded.plan;
    let identity = &ready.loaded.identity;
    let detail = args.changes || args.states.is_some();
    let mut file = match &args.output {
        Some(path) => {
            let read = ready.read_files(&args.flight);
            Some(Output::begin(path, read.iter().map(PathBuf::as_path))?)
        }
        None => None,
    };

    let (flown, summary, notices) = {
        let detail_out: Option<Box<dyn Write + '_>> = match (&mut file, detail) {
            (_, false) => None,
            (Some(file), true) => Some(Box::new(file)),
            (None, true) => Some(Box::new(&mut terminal.out)),
        };
        let listeners = listeners(args, plan, identity, detail_out)?;
        fly(&ready, listeners, terminal.err_is_watched)?
    };

    let mut findings = Findings::default();
    let flight = ready.files.first().map_or(PLANNED_FLIGHT, String::as_str);
    let hand = args.flight.hand.as_ref().map(|path| file::name(path));
    findings.extend(notice_findings(plan, &notices, flight, hand.as_deref()));
    let fixes = flown.fixes;
    findings.extend(flown.findings);
    if fixes == 0 {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }

    let planned = planned_flight(&ready, &mut findings)?;
    let page = Page {
        plan,
        identity,
        files: ready.files.clone(),
        day: ready.day_words.clone(),
        points_left_out: flown.points - fixes,
        summary: &summary,
        notices: &notices,
        raised: ready.raised,
        planned: planned.as_ref(),
    };
    match (file, detail) {
        (None, true) => {}
        (None, false) => print(&mut *terminal.out, &page, args.format)?,
        (Some(mut file), false) => {
            print(&mut file, &page, args.format)?;
            file.finish(format, terminal)?;
        }
        (Some(file), true) => {
            file.finish(format, terminal)?;
            print(&mut *terminal.out, &page, args.format)?;
        }
    }
    terminal.flush()?;
    let told = findings.tell(terminal, format)?;
    Ok(told.max(ready.told))
}

fn listeners<'a, 'w>(
    args: &SimulateArgs,
    plan: &'a Plan,
    identity: &Identity,
    out: Option<Box<dyn Write + 'w>>,
) -> io::Result<Listeners<'a, 'w>> {
    let (changes, states) = match (out, args.states) {
        (None, _) => (None, None),
        (Some(out), Some(format)) => (None, Some(States::new(plan, identity, out, format)?)),
        (Some(out), None) => (Some(Changes::new(plan, identity, out, args.format)?), None),
    };
    Ok(Listeners { summary: Summary::new(plan), notices: Notices::new(), changes, states })
}

fn fly(
    ready: &Ready<'_>,
    mut listeners: Listeners<'_, '_>,
    watched: bool,
) -> Result<(Flown, Summary, Notices), Stop> {
    let mut engine = ready.engine()?;
    for (time, action) in ready.hand() {
        engine.hand(time, action);
    }
    let flown = ready.fixes(watched, |fix| {
        engine.fix(fix, &mut listeners);
        if listeners.has_failed() { Go::Stop } else { Go::On }
    });
    engine.finish(&mut listeners);
    let Listeners { summary, notices, changes, states } = listeners;
    if let Some(changes) = changes {
        changes.finish()?;
    }
    if let Some(states) = states {
        states.finish()?;
    }
    Ok((flown, summary, notices))
}

/// The planned flight to compare with, on the same day; none where it is what was flown, or where
/// it cannot be flown in the wind of the day, which is then said.
fn planned_flight(ready: &Ready<'_>, findings: &mut Findings) -> Result<Option<Flight>, Stop> {
    if matches!(ready.source, Source::Planned(_)) {
        return Ok(None);
    }
    let plan = &ready.loaded.plan;
    let fixes = match fly::planned_flight(plan, &ready.day) {
        Ok(flight) => flight.fixes,
        Err(finding) => {
            findings.push(Diagnostic { severity: Severity::Warning, ..*finding });
            return Ok(None);
        }
    };
    let mut engine = ready.engine()?;
    let mut summary = Summary::new(plan);
    fly_all(&mut engine, &fixes, &mut summary);
    Ok(summary.flights.into_iter().find(Flight::flew))
}

fn print(out: &mut dyn Write, page: &Page<'_>, format: TextFormat) -> io::Result<()> {
    match format {
        TextFormat::Text => text::print(out, page),
        TextFormat::Json => render::json(out, &json::value(page)),
    }
}
